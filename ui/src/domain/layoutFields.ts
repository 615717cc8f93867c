// The fields for which the form of a layout has an input, so that no trouble is swallowed.

import type { LayoutDraft } from '../lib/generated/types';

export function fieldsOfLayout(draft: LayoutDraft): Set<string> {
  const rows = [
    ...draft.marks.flatMap((_, i) => [`marks.${i}.fromButt`, `marks.${i}.drop`]),
    ...draft.guides.flatMap((_, i) =>
      ['fromTip', 'ring', 'height', 'mass', 'turned'].map((name) => `guides.${i}.${name}`),
    ),
    ...['count', 'first', 'tipGap', 'spool'].map((name) => `spacing.${name}`),
  ];
  const plain = Object.entries(draft).flatMap(([name, value]) =>
    typeof value === 'string' ? [name] : [],
  );
  return new Set([...plain, ...rows]);
}
