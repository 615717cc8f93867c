import { expect, test } from 'vitest';
import { clockWords } from '../src/domain/words';
import type { ClockView } from '../src/lib/generated/types';
import { minutesWords, span, timeOfDay } from '../src/shared/time';

const NOON = new Date(2026, 10, 25, 12, 0, 0).getTime();
const at = (minutes: number) => new Date(NOON + minutes * 60_000).toISOString();
const clock = (kind: ClockView['kind'], runsOut: string, over = false): ClockView => ({
  stalled: null,
  name: 'Resin for the grip',
  kind,
  started: at(-10),
  runsOut,
  minutes: 45,
  over,
  rod: 'r1',
  rodTitle: 'Rod',
  stage: 'rear-grip',
});

test('a span says the two units that matter', () => {
  expect(span(45_000)).toBe('45 s');
  expect(span(12 * 60_000 + 5_000)).toBe('12 min 05 s');
  expect(span(3 * 3_600_000 + 5 * 60_000)).toBe('3 h 05 min');
  expect(span(27 * 3_600_000)).toBe('1 day 3 h');
  expect(span(51 * 3_600_000)).toBe('2 days 3 h');
});

test('a span that still runs is never nothing, and one that is over is never below it', () => {
  expect(span(1)).toBe('1 s');
  expect(span(59_001)).toBe('1 min 00 s');
  expect(span(-5_000)).toBe('0 s');
});

test('minutes read as hours where they are hours', () => {
  expect(minutesWords(45)).toBe('45 min');
  expect(minutesWords(1440)).toBe('24 h');
  expect(minutesWords(90)).toBe('1 h 30 min');
});

test('the day is said unless it is today', () => {
  expect(timeOfDay(at(65), NOON)).toBe('13:05');
  expect(timeOfDay(at(24 * 60), NOON)).toBe('tomorrow 12:00');
  expect(timeOfDay(at(-24 * 60), NOON)).toBe('yesterday 12:00');
  expect(timeOfDay(at(3 * 24 * 60), NOON)).toBe('Sat 28 Nov 12:00');
});

test('a clock counts down, and says what it means when it has run out', () => {
  expect(clockWords(clock('working-time', at(2)), NOON)).toBe('2 min 00 s left');
  expect(clockWords(clock('working-time', at(0)), NOON)).toBe('working time over since 12:00');
  expect(clockWords(clock('cure', at(-30)), NOON)).toBe('cure time ran out 11:30');
});

test('the shell’s word that a clock is over counts, even if this machine’s clock says otherwise', () => {
  expect(clockWords(clock('cure', at(5), true), NOON)).toBe('cure time ran out 12:05');
});
