// What has become of the resin, the gloves and the cure while somebody was away, in whole sentences.

import { clockWords, ranOut } from '../../domain/words';
import type { ClockView } from '../../lib/generated/types';
import { timeOfDay } from '../../shared/time';

/** `bad`: something is to be done about it before anything else. */
export function became(clock: ClockView, now: number): { words: string; bad: boolean } {
  const over = ranOut(clock, now);
  const so = `${clock.name}: ${clockWords(clock, now)}.`;
  switch (clock.kind) {
    case 'working-time':
      return over
        ? {
            words: `${so} Throw this mix away as its sheet says; a full cup can go on heating.`,
            bad: true,
          }
        : { words: `${so} See that it still flows before you use it.`, bad: false };
    case 'glove-change':
      return over
        ? {
            words: `${so} Take them off inside out, wash with soap and water, put fresh ones on.`,
            bad: true,
          }
        : { words: `${so} If you took them off, put fresh ones on.`, bad: false };
    case 'cure':
      return clock.stalled || over
        ? { words: clock.stalled ? `${so} ${clock.stalled}` : so, bad: false }
        : { words: `${so} It cures until ${timeOfDay(clock.runsOut, now)}.`, bad: false };
    default:
      return { words: so, bad: false };
  }
}
