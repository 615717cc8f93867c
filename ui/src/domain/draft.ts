// The draft of a rod while it is typed: empty rows, and where a trouble belongs.

import type { PartWord, RodDraft, Trouble } from '../lib/generated/types';

export function emptyDraft(): RodDraft {
  return {
    title: '',
    customer: '',
    wishes: '',
    reel: 'spinning',
    grip: 'cork',
    blank: '',
    length: '',
    joins: [],
    diameters: [
      { fromButt: '', diameter: '' },
      { fromButt: '', diameter: '' },
    ],
    parts: [],
    sure: false,
  };
}

export const emptyPart = (kind: PartWord) => ({
  kind,
  description: '',
  from: '',
  to: '',
  diameter: '',
  thinnest: '',
  boreButt: '',
  boreTip: '',
});

/** The id of the input for a field: `diameters.2.diameter` is typed in `diameters-2-diameter`. */
export const inputId = (field: string) => field.replaceAll('.', '-');

/** The fields for which the form has an input. */
export function fieldsOf(draft: RodDraft): string[] {
  return [
    'customer',
    'title',
    'wishes',
    'blank',
    'length',
    ...draft.joins.map((_, i) => `joins.${i}`),
    ...draft.diameters.flatMap((_, i) => [`diameters.${i}.fromButt`, `diameters.${i}.diameter`]),
    ...draft.parts.flatMap((_, i) =>
      ['description', 'from', 'to', 'diameter', 'thinnest', 'boreButt', 'boreTip'].map(
        (name) => `parts.${i}.${name}`,
      ),
    ),
  ];
}

/**
 * The first trouble of each field, and the sentences that belong to none: those without a field
 * and those whose field the form does not have, so that nothing is swallowed.
 */
export function sortTroubles(
  draft: RodDraft,
  troubles: Trouble[],
): { byField: Record<string, string>; general: string[] } {
  const known = new Set(fieldsOf(draft));
  const byField: Record<string, string> = {};
  const general: string[] = [];
  for (const { field, message } of troubles) {
    if (field === null || !known.has(field)) general.push(message);
    else byField[field] ??= message;
  }
  return { byField, general };
}
