// The checklist files as they are shown: where each comes from, and the place of a finding in its text.

import type { ChecklistLine, Problem } from '../lib/generated/types';

export interface FileGroup {
  title: string;
  files: ChecklistLine[];
}

const isStage = (file: ChecklistLine) => file.kind === 'Stage';
const isList = (file: ChecklistLine) => file.kind === 'Station list';
/** What is no checklist but the sheet of a product. */
export const isProduct = (file: ChecklistLine) => !isStage(file) && !isList(file);

/** Stages, station lists and products, each in the order given. */
export const groupFiles = (files: ChecklistLine[]): FileGroup[] => [
  { title: 'Stages', files: files.filter(isStage) },
  { title: 'Station lists', files: files.filter(isList) },
  { title: 'Products', files: files.filter(isProduct) },
];

export function fromWords(file: Pick<ChecklistLine, 'shipped' | 'over'>): string {
  if (file.shipped) return 'comes with Coldbench';
  return file.over
    ? 'the shop’s own, in place of the one that comes with Coldbench'
    : 'the shop’s own';
}

/** A file in the shop's folder; what comes with Coldbench has no path that ends so. */
export const isOwnPath = (path: string) => path.endsWith('.toml');

/** Errors first; otherwise as given. */
export const inOrder = (problems: Problem[]): Problem[] =>
  problems.toSorted((a, b) => Number(b.unusable) - Number(a.unusable));

const many = (n: number, one: string) => `${n} ${n === 1 ? one : `${one}s`}`;

/** `2 errors, 1 warning`; empty for nothing. */
export function countWords(problems: Problem[]): string {
  const errors = problems.filter((problem) => problem.unusable).length;
  const warnings = problems.length - errors;
  return [errors > 0 && many(errors, 'error'), warnings > 0 && many(warnings, 'warning')]
    .filter(Boolean)
    .join(', ');
}

const CLOSE: Record<string, string> = { '"': '"', "'": "'", '[': ']', '{': '}' };

/** How many characters from `at` on belong together: a word, or what stands in quotes or brackets. */
function reach(letters: string[], at: number): number {
  const first = letters[at];
  if (first === undefined) return 0;
  const close = CLOSE[first];
  if (close !== undefined) {
    let end = letters.indexOf(close, at + 1);
    while (first === '[' && letters[end + 1] === ']') end += 1;
    if (end > 0) return end - at + 1;
  }
  let end = at;
  while (end < letters.length && /[\p{L}\p{N}_-]/u.test(letters[end]!)) end += 1;
  return Math.max(1, end - at);
}

/**
 * A line, cut at the place of a finding: before it, the place itself, after it. The column counts
 * characters from 1; one past the line marks its end.
 */
export function cutAt(line: string, column: number): [string, string, string] {
  const letters = Array.from(line);
  const at = Math.min(Math.max(0, column - 1), letters.length);
  const end = at + reach(letters, at);
  const text = (from: number, to?: number) => letters.slice(from, to).join('');
  return [text(0, at), text(at, end) || ' ', text(end)];
}

/** The line with this number, from 1; empty past the end. */
export const lineOf = (text: string, line: number): string => text.split('\n')[line - 1] ?? '';

/** Where a place of the text begins and ends, as a text field counts. */
export function rangeOf(text: string, line: number, column: number): [number, number] {
  const lines = text.split('\n');
  const index = Math.min(Math.max(1, line), lines.length) - 1;
  const start = lines.slice(0, index).reduce((sum, one) => sum + one.length + 1, 0);
  const whole = lines[index]!;
  const [before, place] = cutAt(whole, column);
  const from = start + before.length;
  return [from, Math.min(from + place.length, start + whole.length)];
}

/** The id that a text gives itself, if it can be read. */
export const idIn = (text: string): string | null =>
  /^\s*id\s*=\s*(["'])([a-z0-9-]+)\1/m.exec(text)?.[2] ?? null;

/** An id that no file has yet: `my-stage`, `my-stage-2`. */
export function freeId(taken: string[], base: string): string {
  let id = base;
  for (let n = 2; taken.includes(id); n += 1) id = `${base}-${n}`;
  return id;
}

export type NewKind = 'stage' | 'station-list';

export const FOLDER: Record<NewKind, string> = { stage: 'stages', 'station-list': 'stations' };

/** The folder of a file and its name, e.g. `stages/my-stage.toml`. */
export const pathFor = (kind: NewKind, id: string) => `${FOLDER[kind]}/${id}.toml`;

const STAGE = `# A stage of our own. Each [[step]] is one line that somebody
# signs: write as many as the work has. Where work can hurt, the
# step also has hazards = ["..."] and caution = "...", and the
# caution stands before it.
format = 1
kind = "stage"
id = "ID"
title = "My stage"
aim = "What is reached when every step is signed, in one sentence."
revised = "DAY"

[[step]]
id = "measure"
what = "Measure from the butt to the mark."
key-point = "Pull the tape straight, its zero at the very end."
reason = "A wrong mark shows only when the next part is fitted."
record = { name = "Butt to mark", measure = "length", least = "1 mm", most = "3000 mm" }
source = "common practice, no source"
`;

const LIST = `# A station list of our own. Each [[check]] asks for a state that
# is seen, or a value that is read. Where it comes round, write for
# example due-again-days = 7 below revised.
format = 1
kind = "station-list"
id = "ID"
title = "My list"
aim = "What holds when every check has passed, in one sentence."
revised = "DAY"

[[check]]
id = "tape"
ask = "How does the masking tape stand?"
key-point = "Pull a finger's length off each roll."
reason = "Old tape tears, and leaves its glue on the blank."
states = ["two rolls, clean edges", "one roll left", "dry or torn"]
pass = ["two rolls, clean edges"]
`;

/** A small text that is correct as it stands, to begin with. */
export const template = (kind: NewKind, id: string, day: string): string =>
  (kind === 'stage' ? STAGE : LIST).replace('ID', id).replace('DAY', day);

/** The day as a file writes it: `2026-11-28`. */
export function dayOf(nowMs: number): string {
  const at = new Date(nowMs);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

/** A text that is open in the editor. */
export interface Opened {
  /** The id of the file it was read from; none for a new one. */
  id: string | null;
  /** What is written above it. */
  title: string;
  path: string;
  text: string;
  /** It stands in a file of the shop's own. */
  own: boolean;
  /** What a new one is to be. */
  kind: NewKind | null;
  /** Where the cursor goes first: line and column. */
  place: [number, number] | null;
}
