// Lots as they are named at a step, and found again.

import type { LotLine } from '../lib/generated/types';

/** How many registered lots a step shows to touch; the others are typed. */
export const SHOWN = 6;

const alike = (one: string, other: string) =>
  one.trim().toLowerCase() === other.trim().toLowerCase();

/** The lots named in a line, set apart by commas or semicolons. */
const partsOf = (named: string) =>
  named
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter(Boolean);

/** Whether a lot is named in the line already. */
export const names = (named: string, marking: string) =>
  partsOf(named).some((part) => alike(part, marking));

/** The line with a lot touched: named as well, after those that stand there; never twice. */
export function touched(named: string, marking: string): string {
  if (names(named, marking)) return named;
  return [...partsOf(named), marking].join(', ');
}

/** The lots whose marking or kind has the words looked for in it; all of them for no words. */
export function matching(lots: LotLine[], words: string): LotLine[] {
  const wanted = words.trim().toLowerCase();
  return lots.filter((lot) =>
    [lot.marking, lot.what].some((text) => text.toLowerCase().includes(wanted)),
  );
}
