import { expect, test } from 'vitest';
import { curveWords, levelStep, percentAt, plotCurve, topOf } from '../src/domain/curve';
import type { CurvePoint } from '../src/lib/generated/types';

const NOON = new Date(2026, 10, 25, 12, 0, 0).getTime();
const iso = (minutes: number) => new Date(NOON + minutes * 60_000).toISOString();
const points = (...pairs: [number, number][]): CurvePoint[] =>
  pairs.map(([minutes, percent]) => ({ at: iso(minutes), percent }));
const FRAME = { width: 700, height: 260, left: 50, right: 50, top: 30, bottom: 30 };
/** From 11:00 to 13:00, falling from 40 to 0. */
const FALLING = points([-60, 40], [0, 20], [60, 0]);
const plot = (curve: CurvePoint[], limit = 10, now = NOON, releases: string[] = []) =>
  plotCurve(curve, releases, limit, now, FRAME)!;
const ys = (path: string) => [...path.matchAll(/[ML]\S+ (\S+)/g)].map((match) => Number(match[1]));

test('the limit is always on the sheet, with air above it', () => {
  expect(topOf(points([0, 400]), 10)).toBe(400);
  expect(topOf(points([0, 0.01]), 10)).toBe(13);
  expect(topOf([], 0)).toBe(1);
  for (const percent of [0, 0.01, 9, 11, 400]) {
    const { limitY, past, coming } = plot(points([-60, percent], [60, percent]));
    for (const y of [limitY, ...ys(past), ...ys(coming)]) {
      expect(y).toBeGreaterThanOrEqual(FRAME.top);
      expect(y).toBeLessThanOrEqual(FRAME.height - FRAME.bottom);
    }
    expect(limitY).toBeGreaterThan(FRAME.top);
  }
});

test('half the height is half the percent, half the way half the time', () => {
  const { past, coming, nowX, limitY } = plot(FALLING);
  expect(past).toBe('M50 30 L350 130');
  expect(coming).toBe('M350 130 L650 230');
  expect(nowX).toBe(350);
  expect(limitY).toBe(180);
});

test('what was and what comes meet at now, between two points', () => {
  const { past, coming } = plot(FALLING, 10, NOON + 30 * 60_000);
  expect(past.endsWith('L500 180')).toBe(true);
  expect(coming).toBe('M500 180 L650 230');
  expect(percentAt(FALLING, NOON + 30 * 60_000)).toBe(10);
  expect(percentAt(FALLING, NOON - 999 * 60_000)).toBe(40);
  expect(percentAt(FALLING, NOON + 999 * 60_000)).toBe(0);
});

test('all past or all to come is one line and no other', () => {
  expect(plot(FALLING, 10, NOON + 90 * 60_000).coming).toBe('');
  expect(plot(FALLING, 10, NOON - 90 * 60_000).past).toBe('');
});

test('levels are round and few', () => {
  expect([1, 7, 13, 22, 40, 400].map(levelStep)).toEqual([0.5, 2, 5, 10, 10, 100]);
  expect(plot(FALLING).levels.map((level) => level.label)).toEqual([
    '0 %',
    '10 %',
    '20 %',
    '30 %',
    '40 %',
  ]);
});

test('whole hours stand on the axis, as many as have room; midnight says the day', () => {
  expect(plot(FALLING).hours.map((hour) => hour.label)).toEqual(['11:00', '12:00', '13:00']);
  const long = plot(points([-8 * 60, 40], [24 * 60, 0]));
  expect(long.hours.length).toBeLessThanOrEqual(11);
  expect(long.hours.map((hour) => hour.label)).toContain('Thu');
  const gaps = long.hours.slice(1).map((hour, i) => hour.at - long.hours[i]!.at);
  expect(Math.min(...gaps)).toBeGreaterThanOrEqual(54);
});

test('what was used before the sheet begins has no tick', () => {
  expect(plot(FALLING, 10, NOON, [iso(-120), iso(-30), iso(0)]).releases).toEqual([200, 350]);
});

test('the words tell the last fall, after something was used again', () => {
  const twice = points([-90, 40], [-60, 0], [-60, 40], [60, 0]);
  expect(curveWords(twice, 10, NOON)).toContain('for heat at about 12:30.');
});

test('no curve is no plot', () => {
  expect(plotCurve([], [], 10, NOON, FRAME)).toBeNull();
  expect(curveWords([], 10, NOON)).toBe('');
});

test('the curve in words: highest, now, and when it is down at the limit', () => {
  expect(curveWords(FALLING, 10, NOON)).toBe(
    'Vapour estimate over time, in percent of the lower flammable limit. Highest 40 % at 11:00; now 20 %. It is down at the limit of 10 % for heat at about 12:30.',
  );
  expect(curveWords(points([-60, 4], [60, 1]), 10, NOON)).toContain(
    'never passes the limit of 10 %',
  );
  expect(curveWords(points([-60, 40], [60, 30]), 10, NOON)).toContain('does not fall to the limit');
});
