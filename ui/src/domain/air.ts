// The air of a room in words, and the speeds of a traverse as they are typed. Pure.

import type { AirView } from '../lib/generated/types';
import { timeOfDay } from '../shared/time';

/** What stands beside every estimate. */
export const NO_DETECTOR =
  'An estimate, no gas detector: it knows only what was set down, and near the bench and the floor there is more. Local codes and the product’s safety data sheet come first. If you smell solvent, treat it as no clearance.';

/** What is sent where no more was used than is set down: the amount, and what for. */
export const NO_MORE = { amount: '0 mL', purpose: 'no more than is set down already' };

/** Percent, always rounded up: what is above a limit must not read as if it were at it. */
export function percentWords(percent: number): string {
  // The little that is taken away first is the rounding of a computer, not vapour.
  const up = (figure: number) => Math.ceil(figure - 1e-6);
  return `${Math.max(0, percent >= 100 ? up(percent) : up(percent * 10) / 10)} %`;
}

/** The first whole minute at or after a moment: a time to wait for is never told too early. */
export function wholeMinute(iso: string): string {
  const minute = 60_000;
  return new Date(Math.ceil(Date.parse(iso) / minute) * minute).toISOString();
}

/** Words that end as a sentence does, whether or not they brought their full stop along. */
export const sentence = (words: string) =>
  /[.!?”]$/.test(words.trim()) ? words.trim() : `${words.trim()}.`;

/** Why there is no figure. */
export const unknownWords = (air: AirView) =>
  `No data: ${sentence(air.unknown ?? 'the estimate can’t be made')} No data means no heat.`;

/** Whether the estimate is known and above the limit for heat. */
export const isAbove = (air: AirView) => air.percent !== null && air.percent > air.limitPercent;

/** When heat may begin, as far as the vapour goes; empty where nothing is known. */
export function heatFromWords(air: AirView, nowMs: number): string {
  if (air.percent === null) return '';
  const later = air.heatFrom !== null && Date.parse(air.heatFrom) > nowMs;
  if (air.heatFrom !== null && (isAbove(air) || later))
    return `Heat may begin at ${timeOfDay(wholeMinute(air.heatFrom), nowMs)} if the air goes on as it was read, and all else on the clearance list is in order.`;
  if (!isAbove(air))
    return 'The estimate is at or below the limit for heat already. The clearance list asks for more than this.';
  return 'As the air was read last, the estimate does not fall to the limit. Move more air, then read it anew.';
}

/** Whether the reading of the airflow counts now. Between two looks our own clock decides. */
export const flowCounts = (air: AirView, nowMs: number) =>
  air.flowM3H > 0 && air.readingUntil !== null && Date.parse(air.readingUntil) > nowMs;

/** What the last reading is worth now. */
export function flowWords(air: AirView, nowMs: number): string {
  if (air.flow === null) return 'Nobody has read the air yet: no airflow counts.';
  if (flowCounts(air, nowMs))
    return `${Math.floor(air.flowM3H)} m³/h count now, until ${timeOfDay(air.readingUntil ?? '', nowMs)}.`;
  const since =
    air.readingUntil !== null && Date.parse(air.readingUntil) <= nowMs
      ? ` since ${timeOfDay(air.readingUntil, nowMs)}`
      : '';
  return `This reading counts no more${since}: 0 m³/h are counted. Read the air anew.`;
}

/** The other stations in the room; empty where there are none. */
export function sharedWords(names: string[]): string {
  if (names.length === 0) return '';
  const last = names.at(-1) ?? '';
  const list = names.length === 1 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
  return `Shares its air with ${list}.`;
}

/**
 * The speeds of a traverse from one line, such as `0.8 0.7 0.9 0.8 m/s`, split at spaces and
 * semicolons. A unit written once, at the end, holds for all. Where units are mixed none is lent to
 * a bare number: the shell will ask.
 */
export function splitSpeeds(line: string): string[] {
  const speeds: { number: string; unit: string }[] = [];
  for (const word of line.split(/[\s;]+/)) {
    const bare = word.replace(/,+$/, '');
    if (bare === '') continue;
    const [, number = '', unit = ''] = /^([+-]?[\d.,]*)(.*)$/.exec(bare) ?? [];
    const last = speeds.at(-1);
    if (number !== '' || !last) speeds.push({ number, unit });
    else last.unit += unit;
  }
  const once = speeds.filter((speed) => speed.unit !== '').length === 1;
  const common = once ? (speeds.at(-1)?.unit ?? '') : '';
  return speeds.map(({ number, unit }) => `${number} ${unit || common}`.trim());
}

/** How a traverse was understood, beside its field; empty while nothing is typed. */
export function speedsWords(line: string): string {
  const speeds = splitSpeeds(line);
  if (speeds.length === 0) return '';
  return `Read as ${speeds.length === 1 ? '1 speed' : `${speeds.length} speeds`}: ${speeds.join(', ')}.`;
}
