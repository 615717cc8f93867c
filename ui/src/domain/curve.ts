// Where the lines of the vapour curve go. Pure: moments and percents in, pixels out.

import type { CurvePoint } from '../lib/generated/types';
import { timeOfDay } from '../shared/time';
import { percentWords, wholeMinute } from './air';

/** The sheet of the curve in pixels, and its bare margins. */
export interface CurveFrame {
  width: number;
  height: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export interface Mark {
  at: number;
  label: string;
}

export interface PlottedCurve {
  /** What was, and what comes if the air moves on as it was read, as SVG paths. */
  past: string;
  coming: string;
  /** All that lies under the curve, as an SVG path. */
  under: string;
  limitY: number;
  nowX: number;
  hours: Mark[];
  levels: Mark[];
  /** Where something was used. */
  releases: number[];
}

const HOUR = 3_600_000;
/** Least room for the word at an hour, in pixels. */
const HOUR_WIDTH = 54;
const DAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];

/** The highest percent on the sheet: the limit is always on it, with some air above. */
export function topOf(curve: CurvePoint[], limit: number): number {
  const top = Math.max(1.3 * limit, ...curve.map((point) => point.percent));
  return top > 0 ? top : 1;
}

/** A round step of which four or so make up `top`. */
export function levelStep(top: number): number {
  const raw = top / 4;
  const ten = 10 ** Math.floor(Math.log10(raw));
  return ([1, 2, 5, 10].find((times) => times * ten >= raw * (1 - 1e-9)) ?? 10) * ten;
}

/** The percent at a moment, on the straight line between two points. */
export function percentAt(curve: CurvePoint[], ms: number): number {
  const after = curve.findIndex((point) => Date.parse(point.at) >= ms);
  if (after <= 0) return curve.at(after)?.percent ?? 0;
  const [one, two] = [curve[after - 1]!, curve[after]!];
  const [from, to] = [Date.parse(one.at), Date.parse(two.at)];
  const share = to > from ? (ms - from) / (to - from) : 1;
  return one.percent + share * (two.percent - one.percent);
}

/** Lays the curve out; null where there is none. */
export function plotCurve(
  curve: CurvePoint[],
  releases: string[],
  limit: number,
  nowMs: number,
  frame: CurveFrame,
): PlottedCurve | null {
  const first = curve[0];
  const last = curve.at(-1);
  if (!first || !last) return null;
  const from = Math.min(Date.parse(first.at), nowMs);
  const to = Math.max(Date.parse(last.at), nowMs, from + HOUR / 4);
  const wide = frame.width - frame.left - frame.right;
  const high = frame.height - frame.top - frame.bottom;
  const top = topOf(curve, limit);
  const round = (n: number) => Math.round(n * 10) / 10;
  const x = (ms: number) => round(frame.left + ((ms - from) / (to - from)) * wide);
  const y = (percent: number) => round(frame.top + (1 - percent / top) * high);

  const seam = { ms: nowMs, percent: percentAt(curve, nowMs) };
  const points = curve.map((point) => ({ ms: Date.parse(point.at), percent: point.percent }));
  const line = (some: typeof points) =>
    some.length < 2
      ? ''
      : some.map(({ ms, percent }, i) => `${i === 0 ? 'M' : 'L'}${x(ms)} ${y(percent)}`).join(' ');
  const past = points.filter((point) => point.ms < nowMs);
  const coming = points.filter((point) => point.ms > nowMs);
  const floor = y(0);
  const [start, end] = [points[0]!, points.at(-1)!];

  const hourWidth = (HOUR / (to - from)) * wide;
  const every = [1, 2, 3, 4, 6, 12].find((hours) => hours * hourWidth >= HOUR_WIDTH) ?? 24;
  const hours: Mark[] = [];
  for (let ms = new Date(from - 1).setMinutes(60, 0, 0); ms <= to; ms += HOUR) {
    const at = new Date(ms);
    const hour = at.getHours();
    // At midnight the day is what has to be said.
    const label = hour === 0 ? (DAYS[at.getDay()] ?? '') : `${String(hour).padStart(2, '0')}:00`;
    if (hour % every === 0) hours.push({ at: x(ms), label });
  }
  const step = levelStep(top);
  const levels: Mark[] = [];
  for (let n = 0; n * step <= top * (1 + 1e-9); n += 1)
    levels.push({ at: y(n * step), label: `${Number((n * step).toPrecision(6))} %` });

  return {
    past: line(past.length > 0 ? [...past, seam] : []),
    coming: line(coming.length > 0 ? [seam, ...coming] : []),
    under: `${line(points)} L${x(end.ms)} ${floor} L${x(start.ms)} ${floor} Z`,
    limitY: y(limit),
    nowX: x(nowMs),
    hours,
    levels,
    releases: releases
      .map((at) => Date.parse(at))
      .filter((ms) => ms >= from && ms <= to)
      .map(x),
  };
}

/** When the curve crosses the limit downwards for the last time. */
function lastFall(curve: CurvePoint[], limit: number): number | null {
  for (let i = curve.length - 1; i > 0; i -= 1) {
    const [one, two] = [curve[i - 1]!, curve[i]!];
    if (two.percent > limit || one.percent <= limit) continue;
    const [from, to] = [Date.parse(one.at), Date.parse(two.at)];
    return from + ((one.percent - limit) / (one.percent - two.percent)) * (to - from);
  }
  return null;
}

/** The curve in words, for whoever can't see it. */
export function curveWords(curve: CurvePoint[], limit: number, nowMs: number): string {
  const [first, ...rest] = curve;
  if (!first) return '';
  const peak = rest.reduce((high, point) => (point.percent > high.percent ? point : high), first);
  const down = lastFall(curve, limit);
  const says =
    peak.percent <= limit
      ? `It never passes the limit of ${percentWords(limit)} for heat.`
      : (curve.at(-1)?.percent ?? 0) > limit || down === null
        ? `As far as it is drawn it does not fall to the limit of ${percentWords(limit)} for heat.`
        : `It is down at the limit of ${percentWords(limit)} for heat at about ${timeOfDay(wholeMinute(new Date(down).toISOString()), nowMs)}.`;
  return `Vapour estimate over time, in percent of the lower flammable limit. Highest ${percentWords(peak.percent)} at ${timeOfDay(peak.at, nowMs)}; now ${percentWords(percentAt(curve, nowMs))}. ${says}`;
}
