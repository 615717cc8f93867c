// What a safety data sheet says while it is typed: rows, hazard codes, and what is sent of it.

import type { ComponentDraft, MaterialDraft, Problem } from '../../lib/generated/types';

/** Code and words of every hazard that can be named. */
export type Hazards = [code: string, words: string][];

/** A row of section 3. It evaporates until somebody says that it doesn't: doubt means vapour. */
export const emptyComponent = (): ComponentDraft => ({
  name: '',
  cas: '',
  share: '',
  volatile: true,
  molarMass: '',
  lowerLimit: '',
  dayLimit: '',
  shortLimit: '',
  ceiling: '',
});

export const emptyMaterial = (): MaterialDraft => ({
  title: '',
  sheet: '',
  hazards: [],
  caution: '',
  density: '',
  flash: '',
  boils: '',
  autoignition: '',
  lowerLimit: '',
  components: [emptyComponent()],
  amount: '',
  purpose: '',
});

const isEmpty = (row: ComponentDraft) =>
  Object.values(row).every((value) => typeof value === 'boolean' || value.trim() === '');

/** What is sent: a row in which nothing was written is none. Everything else goes as it stands. */
export const toSend = (draft: MaterialDraft): MaterialDraft => ({
  ...draft,
  components: draft.components.filter((row) => !isEmpty(row)),
});

/** How a component is called on the page. */
export const nameOf = (row: ComponentDraft, index: number) =>
  `Component ${index + 1}${row.name.trim() === '' ? '' : `: ${row.name.trim()}`}`;

export const wordsOf = (code: string, known: Hazards) =>
  known.find(([one]) => one === code)?.[1] ?? '';

// “H225”, “H 225”, “EUH066”, “H361d”. P is how to handle it: recognised, so that it can be refused.
const NUMBERED = /\b(EUH|H|P)\s?(\d{3})([a-z]{0,2})\b/gi;

/**
 * The codes in a text as it is typed or copied from section 2, and what is none. Words that a sheet
 * prints after a code are passed over. A letter after the number narrows a hazard down (`H361d`);
 * where only the plain one is known it stands for both. With no hazards known yet every numbered
 * code is taken: the reader of the file judges it.
 */
export function splitHazards(text: string, known: Hazards): { codes: string[]; unknown: string[] } {
  const codes = new Set<string>();
  const unknown = new Set<string>();
  const find = (code: string) =>
    known.find(([one]) => one.toLowerCase() === code.toLowerCase())?.[0];
  for (const piece of text.split(/[,;\n]/).map((part) => part.trim())) {
    if (piece === '') continue;
    const numbered = [...piece.matchAll(NUMBERED)];
    for (const [whole, letters = '', digits = '', tail = ''] of numbered) {
      const plain = `${letters.toUpperCase()}${digits}`;
      const fallback = known.length === 0 && !plain.startsWith('P') ? plain : undefined;
      const code = find(plain + tail) ?? find(plain) ?? fallback;
      if (code) codes.add(code);
      else unknown.add(whole);
    }
    // Codes made of letters (`skin-contact`) count only where nothing else stands beside them:
    // “Highly flammable liquid and vapour” names no code.
    const words = piece
      .replace(NUMBERED, ' ')
      .split(/[\s+]+/)
      .filter(Boolean);
    const named = words.map(find);
    if (named.every((code) => code !== undefined)) named.forEach((code) => codes.add(code));
    else if (numbered.length === 0) unknown.add(piece);
  }
  return { codes: [...codes], unknown: [...unknown] };
}

/** What keeps the file from being written comes first; else in the order of the file. */
export const inOrder = (problems: Problem[]): Problem[] =>
  [...problems].sort((a, b) => Number(b.unusable) - Number(a.unusable) || a.line - b.line);

/** With an unusable among them, nothing was written. */
export const isWritten = (problems: Problem[]): boolean => !problems.some((one) => one.unusable);
