// The fake's changes of a rod's sheet: just enough to move the screens. Everything in it is invented.
// Not part of the window.

import { refuse } from './fakeLedger';
import { iso, type World } from './fakeWorld';
import type { ChangeDraft, UnitsChoice } from './generated/types';

export function rodCommands(
  w: World,
  again: (pin: string | null) => void,
  bend: (rod: string, change: ChangeDraft & { form: 'layout' | 'cut' }) => string,
) {
  return {
    revise_rod: (args: Record<string, unknown>) => {
      const { rod, change, reason, sure, pin } = args as {
        rod: string;
        change: ChangeDraft;
        reason: string;
        sure: boolean;
        pin: string | null;
      };
      const found = w.rods.find((one) => one.id === rod)!;
      const revised = (was: string | null, now: string) =>
        (found.revisions ??= []).push({
          was,
          now,
          reason,
          signed: `Ada Reeve, ${iso().slice(11, 16)}`,
        });
      if (change.form === 'layout' || change.form === 'cut') {
        revised(null, bend(rod, change));
        return;
      }
      if (change.form === 'blank' || change.form === 'grip') {
        again(pin);
        const { draft } = found;
        if (change.form === 'grip') {
          revised(draft.grip, change.to);
          draft.grip = change.to;
          return;
        }
        if (!/^\d/.test(change.length))
          throw refuse(`Length: “${change.length}” is not a value with a unit known here.`);
        revised(draft.length, change.length);
        Object.assign(draft, { length: change.length, joins: change.joins.filter(Boolean) });
        return;
      }
      if (change.form === 'bore') {
        const part = found.draft.parts[change.part]!;
        revised(part.boreButt || null, `bore ${change.butt}`);
        Object.assign(part, { boreButt: change.butt, boreTip: change.tip });
        return;
      }
      if (change.form === 'part') {
        const { row, kind, description, from, to, diameter, thinnest } = change;
        const before = row === null ? undefined : found.draft.parts[row];
        if (before) again(pin);
        const { boreButt, boreTip } = before ?? { boreButt: '', boreTip: '' };
        const part = { kind, description, from, to, diameter, thinnest, boreButt, boreTip };
        found.draft.parts.splice(row ?? found.draft.parts.length, 1, part);
        revised(before?.description ?? null, description);
        return;
      }
      const { row, fromButt, diameter } = change;
      const rows = found.draft.diameters;
      if (row === null && rows.some((one) => one.fromButt === fromButt))
        throw refuse(
          `At ${fromButt} from the butt another is written down already.`,
          'measured-twice',
        );
      if (parseFloat(diameter) > 100 && !sure)
        throw refuse('It fits only when it is divided by 25.4.', 'mixed-units');
      if (row !== null) again(pin);
      if (row === null) rows.push({ fromButt, diameter });
      else rows[row] = { fromButt, diameter };
      revised(row === null ? null : 'before', `${diameter} at ${fromButt}`);
    },
    choose_units: ({ units }: Record<string, unknown>) => {
      w.units = units as UnitsChoice;
    },
    read_temperature: () => undefined,
  };
}
