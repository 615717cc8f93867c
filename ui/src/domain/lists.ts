// The lists of a station in the order in which they are looked for.

import type { ListLine, ListView, ListWord } from '../lib/generated/types';

/** Lists of the working day first, in the order of the day. */
const DAY: ListWord[] = ['open-bench', 'heat-clearance', 'close-bench'];
const WRONG: ListWord[] = ['spill', 'contact'];
const NOW_AND_THEN: ListWord[] = ['new-product', 'monthly-look', 'own'];

/** Something is wrong already when it is begun. */
export const isUrgent = (kind: ListWord) => WRONG.includes(kind);

/** What it means for heat that the list is begun; empty for nothing. */
export const endsHeat = (kind: ListWord): string =>
  ({
    spill: 'Beginning it ends every clearance for heat in this room.',
    contact: 'Beginning it ends the clearance for heat here.',
  })[kind as string] ?? '';

/** Who ends the list, where not everybody may; empty where they may. */
export const endedBy = (kind: ListWord): string =>
  kind === 'heat-clearance' ? 'Anybody may go through it; at its end only a lead grants it.' : '';

/** What keeps the list from its end already, by what was answered so far; empty for nothing. */
export function failedWords({ checks }: ListView): string {
  const numbers = checks
    .filter(({ answered }) => answered && !answered.passes)
    .map(({ number }) => number);
  if (numbers.length === 0) return '';
  const named = [numbers.slice(0, -1).join(', '), numbers.at(-1)].filter(Boolean).join(' and ');
  return numbers.length === 1
    ? `Check ${named} does not pass: nothing comes of this list until it does.`
    : `Checks ${named} do not pass: nothing comes of this list until they do.`;
}

export interface ListGroups {
  day: ListLine[];
  wrong: ListLine[];
  other: ListLine[];
}

const ordered = (lists: ListLine[], kinds: ListWord[]) =>
  kinds.flatMap((kind) => lists.filter((list) => list.kind === kind));

/** The lists of the day, those for when something went wrong, and the others. */
export const groupLists = (lists: ListLine[]): ListGroups => ({
  day: ordered(lists, DAY),
  wrong: ordered(lists, WRONG),
  other: ordered(lists, NOW_AND_THEN),
});

/** What is written on the button that ends the list. */
export const completeWords = (kind: ListWord): string =>
  ({
    'heat-clearance': 'Complete: give the clearance',
    'open-bench': 'Complete: open the bench',
    'close-bench': 'Complete: close the bench',
  })[kind as string] ?? 'Complete the list';

/** Which lists wait until the one in hand is done; empty for none. */
export function waitingWords(list: ListView): string {
  const titles = list.setAside.map((title) => `“${title}”`);
  if (titles.length === 0) return '';
  const named = [titles.slice(0, -1).join(', '), titles.at(-1)].filter(Boolean).join(' and ');
  return `${named} ${titles.length === 1 ? 'waits' : 'wait'} until this is done.`;
}
