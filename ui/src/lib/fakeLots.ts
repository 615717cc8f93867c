// The fake's lots: just enough of them to move the screens. Everything in it is invented. Not part
// of the window.

import { checkPin, refuse } from './fakeLedger';
import { iso, type World } from './fakeWorld';
import type { LotLine, LotView, Place } from './generated/types';

const DAY = 24 * 60;
const day = (fromNow: number) => iso(fromNow * DAY).slice(0, 10);

export function lotsOf(scene: string): LotLine[] {
  const lot = (
    id: string,
    what: string,
    marking: string,
    expires: string | null,
    rods: [string, string][],
  ): LotLine => ({
    id,
    what,
    marking,
    expires,
    expired: expires !== null && expires < day(0),
    gone: false,
    rods,
  });
  if (scene === 'full')
    return Array.from({ length: 30 }, (_, i) => ({
      ...lot(
        `L${i + 1}`,
        `Thread finish${i % 3 ? '' : ' with a very long name that somebody really typed'}`,
        `F ${2200 + i}-${'A'.repeat(i % 4 === 0 ? 40 : 1)}`,
        i % 2 ? day(90 - i * 12) : null,
        [
          ['r1', 'Rod 1'],
          ['r2', 'Rod 2'],
        ],
      ),
      gone: i % 5 === 4,
    }));
  return [
    lot('L1', 'Epoxy resin', 'R 2207-B', day(120), [['r2', 'Pike rod, casting']]),
    lot('L2', 'Hardener', 'H 2207-A', day(120), [['r2', 'Pike rod, casting']]),
    lot('L3', 'Epoxy resin', 'R 2101-C', day(-25), []),
    lot('L4', 'Thread finish', 'F 88', null, []),
    { ...lot('L5', 'Epoxy resin', 'R 2012-A', day(-300), [['r1', 'Spinning rod']]), gone: true },
  ];
}

const named = (line: string, marking: string) =>
  line.split(',').some((part) => part.trim().toLowerCase() === marking.toLowerCase());

/** What a step that asks for a lot shows of it. */
export function lotView(w: World, lot: LotView): LotView {
  const past = w.lots.find((one) => one.expired && lot.named && named(lot.named, one.marking));
  return {
    ...lot,
    offered: w.lots.filter((one) => !one.gone).map((one) => one.marking),
    expired: past ? `“${past.marking}” was good until ${past.expires}.` : null,
  };
}

/** `stepLot` finds what a place holds of a lot; `titleOf` says what a rod is called. */
export function lotCommands(
  w: World,
  stepLot: (place: Place) => LotView,
  titleOf: (rod: string) => string,
): Record<string, (a: any) => unknown> {
  return {
    lots: () => structuredClone([...w.lots].sort((a, b) => Number(a.gone) - Number(b.gone))),
    register_lot: ({ what, marking, expires }) => {
      if (w.readOnly) throw refuse(w.readOnly, 'read-only');
      if (w.lots.some((lot) => !lot.gone && lot.marking.toLowerCase() === marking.toLowerCase()))
        throw refuse(`A lot “${marking}” is registered already.`);
      if (expires !== '' && !/^\d{4}-\d{2}(-\d{2})?$/.test(expires))
        throw refuse(
          `“${expires}” is no day. Write it as 2027-03-31, or 2027-03 for the end of that month.`,
        );
      const [year, month] = expires.split('-').map(Number);
      const last =
        expires.length === 7
          ? new Date(Date.UTC(year, month, 0)).toISOString().slice(0, 10)
          : expires || null;
      w.lots.push({
        id: `L${w.lots.length + 1}`,
        what,
        marking,
        expires: last,
        expired: last !== null && last < day(0),
        gone: false,
        rods: [],
      });
    },
    lot_gone: ({ lot }) => {
      const found = w.lots.find((one) => one.id === lot && !one.gone);
      if (!found) throw refuse('There is no such lot here.');
      found.gone = true;
    },
    name_lot: ({ place, lot }) => {
      if (lot.trim() === '') throw refuse('The lot is missing. Write it in.', 'bad-input');
      Object.assign(stepLot(place), { named: lot, accepted: null });
      for (const one of w.lots)
        if (named(lot, one.marking) && !one.rods.some(([rod]) => rod === place.rod))
          one.rods.push([place.rod, titleOf(place.rod)]);
    },
    accept_lot: ({ place, reason, person, pin }) => {
      checkPin(pin);
      const name = w.crew.find((one) => one.id === person)?.name ?? person;
      Object.assign(stepLot(place), { accepted: `${reason} (${name}, a moment ago)` });
    },
  };
}
