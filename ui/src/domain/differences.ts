// In what one text of a checklist differs from another, as it is shown.

import type { DifferenceLine } from '../lib/generated/types';

export interface Place {
  /** The step or check; empty for the text as a whole. */
  place: string;
  lines: DifferenceLine[];
}

/** By step, in the order given; the text as a whole comes first. */
export function byPlace(lines: DifferenceLine[]): Place[] {
  const places = new Map<string, DifferenceLine[]>();
  for (const line of lines) places.set(line.place, [...(places.get(line.place) ?? []), line]);
  return [...places]
    .map(([place, found]) => ({ place, lines: found }))
    .sort((a, b) => Number(a.place !== '') - Number(b.place !== ''));
}

/** With a capital letter, as a line begins. */
export const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
