import { afterEach, beforeEach, expect, test } from 'vitest';
import AlarmBand from '../src/domain/AlarmBand.svelte';
import { alarmsOf, type Tone } from '../src/domain/alarms';
import { bell } from '../src/domain/bell.svelte';
import { bench } from '../src/domain/bench.svelte';
import { desk } from '../src/domain/desk.svelte';
import { useSounds } from '../src/domain/sound';
import type { ClockView, ClockWord, Desk } from '../src/lib/generated/types';
import { at, press, settle, show } from './screen';

const NOW = Date.parse('2026-03-01T12:00:00Z');
const iso = (minutes: number) => new Date(NOW + minutes * 60_000).toISOString();
const clock = (kind: ClockWord, left: number, minutes = 60): ClockView => ({
  rod: 'R-1',
  rodTitle: 'Light rod',
  stage: 'rear-grip',
  name: `The ${kind}`,
  kind,
  started: iso(left - minutes),
  minutes,
  runsOut: iso(left),
  over: left <= 0,
  stalled: null,
});
const view = (clocks: ClockView[], station: Partial<Desk['stations'][number]> = {}) =>
  ({
    clocks,
    stations: [
      { id: 'S-1', name: 'Bench', openUntil: null, heatUntil: null, watchUntil: null, ...station },
    ],
  }) as unknown as Desk;
const words = (desk: Desk) => alarmsOf(desk, NOW).map(({ word, tone }) => `${word} ${tone}`);

test('each thing that calls for somebody is an alarm, and nothing else is', () => {
  expect(words(view([clock('working-time', 5)]))).toEqual(['Working time runs out insistent']);
  expect(words(view([clock('working-time', 6)]))).toEqual([]);
  // Of a short one, a fifth.
  expect(words(view([clock('working-time', 3, 10)]))).toEqual([]);
  expect(words(view([clock('working-time', 2, 10)]))).toEqual(['Working time runs out insistent']);
  expect(words(view([clock('working-time', -1)]))).toEqual(['Working time over insistent']);
  expect(words(view([clock('glove-change', 1)]))).toEqual([]);
  expect(words(view([clock('glove-change', -1)]))).toEqual(['Change gloves repeated']);
  expect(words(view([clock('watch', -1)]))).toEqual(['Watch over insistent']);
  expect(words(view([clock('cure', -1)]))).toEqual(['Cure over once']);
  expect(words(view([{ ...clock('cure', -1), over: false, stalled: 'It is too cold.' }]))).toEqual(
    [],
  );
  expect(words(view([], { heatUntil: iso(9) }))).toEqual(['Clearance lapses repeated']);
  expect(words(view([], { heatUntil: iso(11) }))).toEqual([]);
  expect(words(view([], { watchUntil: iso(-1) }))).toEqual(['Watch after heat over insistent']);
  expect(words(view([], { watchUntil: iso(-1), heatUntil: iso(20) }))).toEqual([]);
  expect(words(view([clock('cure', -1), clock('glove-change', -1)]))[0]).toBe(
    'Change gloves repeated',
  );
});

let heard: Tone[] = [];
let close = () => {};
beforeEach(() => {
  heard = [];
  useSounds({ play: (tone) => void heard.push(tone) });
  bell.reset();
});
afterEach(() => close());

/** The band over a working time that is over, with the bell struck by hand. */
async function band() {
  const shown = await show(AlarmBand, {}, 'normal', async (fake) => {
    const invoke = fake.invoke.bind(fake);
    const over = { ...clock('working-time', -1), runsOut: new Date(0).toISOString() };
    fake.invoke = async (command, args) => {
      const answer = await invoke(command, args);
      return command === 'look' ? { ...(answer as Desk), clocks: [over] } : answer;
    };
  });
  close = () => void shown.close();
  await settle();
  return shown.fake;
}

test('it is heard again and again, and told to the desktop once, until somebody notes it', async () => {
  const fake = await band();
  expect(desk.view!.clocks.some((clock) => clock.kind === 'working-time')).toBe(true);
  expect(at('alarm-0').textContent).toContain('Working time over.');
  expect(at('alarm-0').textContent).toContain('Light rod');
  expect(at('alarm-said').textContent).toContain('Working time over: The working-time, Light rod.');
  expect(heard).toEqual(['insistent']);
  const later = performance.now() + 3_100;
  bell.tick(later);
  bell.tick(later + 100);
  expect(heard).toEqual(['insistent', 'insistent']);
  expect(fake.calls.filter((call) => call === 'notify').length).toBeGreaterThan(0);
  const told = fake.calls.filter((call) => call === 'notify').length;
  while (document.getElementById('alarm-noted-0')) await press('alarm-noted-0');
  bell.tick(later + 60_000);
  expect(heard).toHaveLength(2);
  expect(fake.calls.filter((call) => call === 'notify')).toHaveLength(told);
  // What is still so stays in sight.
  expect(at('alarms-still').textContent).toContain('Working time over');
});

test('switched off, it is neither heard nor told, and still seen', async () => {
  bench.settings = { ...bench.settings, alarmSound: false, notifications: false };
  const fake = await band();
  expect(at('alarm-0').textContent).toContain('Working time over');
  expect(heard).toEqual([]);
  expect(fake.calls).not.toContain('notify');
  bench.settings = { ...bench.settings, alarmSound: true, notifications: true };
});
