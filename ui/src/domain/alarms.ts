// What is to be alarmed about, from the desk's clocks and stations alone: nothing here remembers anything.

import type { ClockView, Desk } from '../lib/generated/types';
import { to } from '../shared/page.svelte';
import { span, timeOfDay } from '../shared/time';
import { ranOut } from './words';

/** How it is heard until it is noted: every few seconds, now and then, or one time. */
export type Tone = 'insistent' | 'repeated' | 'once';

export interface Alarm {
  /** Of this very occasion. */
  id: string;
  /** What it is about, in the first words. */
  word: string;
  /** Which clock or station, of which rod. */
  of: string;
  /** Since when, or how long there still is. */
  when: string;
  tone: Tone;
  /** Something is to be done at once. */
  pressing: boolean;
  /** Where it can be done. */
  way: string;
}

const MINUTE = 60_000;
/** Working time counts as running out when this much of it is left, or a fifth where that is less. */
const RUNS_OUT_MS = 5 * MINUTE;
const LAPSES_MS = 10 * MINUTE;

function ofClock(clock: ClockView, now: number): Alarm | null {
  const name = `${clock.rod} ${clock.stage} ${clock.name} ${clock.started}`;
  const base = {
    of: `${clock.name}, ${clock.rodTitle}`,
    when: `since ${timeOfDay(clock.runsOut, now)}`,
    way: to.walk(clock.rod, clock.stage),
  };
  const left = Date.parse(clock.runsOut) - now;
  if (!ranOut(clock, now)) {
    const soon = Math.min(RUNS_OUT_MS, (clock.minutes * MINUTE) / 5);
    if (clock.kind !== 'working-time' || left > soon) return null;
    const when = `${span(left)} left`;
    return {
      ...base,
      id: `soon ${name}`,
      word: 'Working time runs out',
      when,
      tone: 'insistent',
      pressing: true,
    };
  }
  const id = `over ${name}`;
  switch (clock.kind) {
    case 'working-time':
      return { ...base, id, word: 'Working time over', tone: 'insistent', pressing: true };
    case 'glove-change':
      return { ...base, id, word: 'Change gloves', tone: 'repeated', pressing: true };
    case 'watch':
      return { ...base, id, word: 'Watch over', tone: 'insistent', pressing: false };
    default:
      return { ...base, id, word: 'Cure over', tone: 'once', pressing: false };
  }
}

/** All that is so now, what is pressing first. */
export function alarmsOf(view: Desk, now: number): Alarm[] {
  const found = view.clocks.map((clock) => ofClock(clock, now)).filter((one) => one !== null);
  for (const { id, name, heatUntil, watchUntil } of view.stations) {
    const left = heatUntil ? Date.parse(heatUntil) - now : 0;
    if (heatUntil && left > 0 && left <= LAPSES_MS)
      found.push({
        id: `lapses ${id} ${heatUntil}`,
        word: 'Clearance lapses',
        of: name,
        when: `${span(left)} left`,
        tone: 'repeated',
        pressing: true,
        way: to.air(id),
      });
    // While heat is still cleared there, the watch has not begun.
    if (watchUntil && !(left > 0) && Date.parse(watchUntil) <= now)
      found.push({
        id: `watch ${id} ${watchUntil}`,
        word: 'Watch after heat over',
        of: `${name}, to be signed`,
        when: `since ${timeOfDay(watchUntil, now)}`,
        tone: 'insistent',
        pressing: false,
        way: to.air(id),
      });
  }
  return found.sort((one, other) => Number(other.pressing) - Number(one.pressing));
}
