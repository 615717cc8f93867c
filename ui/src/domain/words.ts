// The words for the short names that cross from the shell.

import type {
  CauseWord,
  ClockView,
  ClockWord,
  ContainerWord,
  DrawnPart,
  GripWord,
  PartDrawn,
  PartWord,
  ReelWord,
  RoleWord,
  StandingWord,
  Trouble,
} from '../lib/generated/types';
import { span, timeOfDay } from '../shared/time';

export const PART: Record<PartWord, string> = {
  'rear-grip': 'Rear grip',
  sleeve: 'Sleeve',
  'reel-seat': 'Reel seat',
  'fore-grip': 'Fore grip',
  'trim-ring': 'Trim ring',
  'butt-cap': 'Butt cap',
  'hook-keeper': 'Hook keeper',
};

const DRAWN: Record<PartDrawn, string> = {
  done: 'done',
  curing: 'curing',
  'in-hand': 'in hand',
  'to-come': 'to come',
};

/** How a part stands: what waits for a watch after heat does not cure. */
export const drawnWords = ({ drawn, clock }: Pick<DrawnPart, 'drawn' | 'clock'>): string =>
  drawn === 'curing' && clock?.kind === 'watch' ? 'watched' : DRAWN[drawn];

export const STANDING: Record<StandingWord, string> = {
  'not-applicable': 'Not for this rod',
  waits: 'Waits',
  ready: 'Can begin',
  'in-hand': 'In hand',
  curing: 'Curing',
  done: 'Done',
};

export const REEL: Record<ReelWord, string> = {
  spinning: 'Spinning',
  casting: 'Casting',
  conventional: 'Conventional',
  fly: 'Fly',
};

export const GRIP: Record<GripWord, string> = {
  cork: 'Cork',
  eva: 'EVA foam',
  composite: 'Composite core under a sleeve',
};

export const ROLE: Record<RoleWord, string> = { lead: 'Lead', helper: 'Helper' };

export const CAUSE: Record<CauseWord, string> = {
  'airflow-stopped': 'Ventilation stopped',
  'reading-lost': 'Reading lost',
  'watcher-left': 'Watcher leaves',
  'stopped-by-hand': 'Stop heat',
};

export const CONTAINER: Record<ContainerWord, string> = {
  'closed-away': 'closed and away',
  'closed-here': 'closed, still here',
  open: 'open',
};

export const CLOCK: Record<ClockWord, string> = {
  'working-time': 'working time',
  cure: 'cure',
  'glove-change': 'gloves',
  watch: 'watch',
};

const RUN_OUT: Record<ClockWord, string> = {
  'working-time': 'working time over since',
  cure: 'cure time ran out',
  'glove-change': 'change gloves, due since',
  watch: 'watch ran out',
};

/** A working time or a glove change warns; a cure or a watch is waited for. */
export const warns = (kind: ClockWord) => kind === 'working-time' || kind === 'glove-change';

/** Whether a clock has run out by now. The shell's word counts; between two looks, ours does. */
export const ranOut = (clock: ClockView, nowMs: number) =>
  clock.over || (clock.stalled === null && Date.parse(clock.runsOut) <= nowMs);

/** What a clock shows: `12 min 05 s left`, or what it means that it ran out, and when. */
export function clockWords(clock: ClockView, nowMs: number): string {
  if (clock.stalled !== null) return 'Too cold to cure';
  if (ranOut(clock, nowMs)) return `${RUN_OUT[clock.kind]} ${timeOfDay(clock.runsOut, nowMs)}`;
  return `${span(Date.parse(clock.runsOut) - nowMs)} left`;
}

/** What is wrong with a PIN that was given to sign with: it is said at its field. */
export const pinTrouble = (trouble: Trouble | null): string | null =>
  trouble && (trouble.code === 'wrong-pin' || trouble.code === 'pin-again')
    ? trouble.message
    : null;

/** Text in groups, as it is read aloud and compared by eye: `3f2a 90c1 …`. */
export const groups = (text: string, size = 4): string[] =>
  text.match(new RegExp(`.{1,${size}}`, 'g')) ?? [];

/** So many of something: `1 event`, `412 events`. */
export const count = (n: number, one: string) => `${n} ${n === 1 ? one : `${one}s`}`;

/** How far the ledger was verified when the workshop was opened. Nothing yet: it goes on. */
export function verifiedWords(events: number | null): string {
  if (events === null) return 'Being verified …';
  if (events === 1) return 'Its one event was verified when the workshop was opened.';
  return `All ${events} events were verified when the workshop was opened.`;
}
