import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { desk } from '../src/domain/desk.svelte';
import { bench, armsLength } from '../src/domain/bench.svelte';
import { STAGES } from '../src/lib/fakeSteps';
import type { WalkView } from '../src/lib/generated/types';
import Bench from '../src/views/Bench.svelte';
import Walk from '../src/views/Walk.svelte';
import { next } from '../src/views/walk/goOn';
import { at, press, settle, show, type } from './screen';
import { spine } from './spine';

let close = () => {};
beforeEach(() => void vi.useFakeTimers());
afterEach(() => {
  close();
  close = () => {};
  vi.useRealTimers();
  desk.brought = '';
});

async function begun() {
  const shown = await spine();
  close = () => void shown.close();
  return shown.fake;
}
async function key(name: string, target: Element = document.activeElement ?? document.body) {
  const event = new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true });
  target.dispatchEvent(event);
  await settle();
}
/** A press of the pedal, long after the one before. */
async function pedal() {
  vi.advanceTimersByTime(800);
  await key(' ');
}
async function pass(ms: number) {
  vi.advanceTimersByTime(ms);
  await settle();
}
const signed = (fake: { calls: string[] }) => fake.calls.filter((call) => call === 'sign').length;

/** The first step of the spine, up to where only the signature is missing. */
async function ready() {
  const fake = await begun();
  await press('understand');
  type('value', '4 mm');
  await press('value-record');
  return fake;
}

test('done signs after ten seconds, and nothing is sent before', async () => {
  const fake = await ready();
  await press('sign');
  expect(at('sign-waits').textContent).toBe('Signs in 10 s');
  expect(at('sign-said').getAttribute('role')).toBe('status');
  expect(at('sign-said').textContent).toContain('can still be taken back');
  // A look at the shell meanwhile finds the same step: that takes nothing back.
  desk.beat += 1;
  await desk.refresh();
  await pass(9_900);
  expect(signed(fake)).toBe(0);
  expect(at('sign-waits').textContent).toBe('Signs in 1 s');
  await pass(300);
  expect(signed(fake)).toBe(1);
  expect(at('position').textContent).toBe('Step 2 of 2');
});

test('it is taken back by its target, by the pedal, and signed at once by Enter', async () => {
  const fake = await ready();
  await press('sign');
  await press('take-back');
  expect(document.getElementById('sign-waits'), 'a double press takes nothing back').toBeTruthy();
  await pass(800);
  await press('take-back');
  expect(at('sign-said').textContent).toContain('Taken back: nothing was signed.');
  await pass(20_000);
  expect(signed(fake)).toBe(0);

  await pedal();
  expect(document.getElementById('sign-waits')).toBeTruthy();
  await key(' ');
  expect(document.getElementById('sign-waits'), 'a bounce is no second press').toBeTruthy();
  await pedal();
  expect(document.getElementById('sign-waits')).toBeNull();
  await pass(20_000);
  expect(signed(fake)).toBe(0);

  await pedal();
  await key('Enter');
  expect(signed(fake)).toBe(1);
});

test('locking, leaving and what is missing meanwhile take it back and say so', async () => {
  const fake = await ready();
  await press('sign');
  await fake.invoke('lock');
  await desk.refresh();
  await settle();
  expect(document.getElementById('sign-waits')).toBeNull();
  expect(at('sign-said').textContent).toContain('Taken back');
  await pass(20_000);
  expect(signed(fake)).toBe(0);

  close();
  const again = await ready();
  await press('sign');
  close();
  await settle();
  expect(desk.brought).toContain('nothing was signed');
  await pass(20_000);
  expect(signed(again)).toBe(0);
  close = () => {};
});

test('one key goes from the caution to the signature and stops at what must be typed', async () => {
  const fake = await begun();
  await pedal();
  expect(fake.calls).toContain('understand');
  await pedal();
  expect(document.activeElement?.id).toBe('value');
  expect(at('led').textContent).toContain('Type it, then Enter');
  await pedal();
  expect(signed(fake)).toBe(0);
  expect(document.getElementById('sign-waits')).toBeNull();
  type('value', '4 mm');
  await press('value-record');
  await pedal();
  await pass(11_000);
  expect(signed(fake)).toBe(1);
});

test('another key may be the pedal, and it goes on from within a field too', async () => {
  const fake = await begun();
  expect(await bench.change({ goOnKey: 'F13' })).toBeNull();
  await pedal();
  expect(fake.calls).not.toContain('understand');
  vi.advanceTimersByTime(800);
  await key('F13');
  expect(fake.calls).toContain('understand');
  expect(at('sign').textContent).toContain('or F13');
  await bench.change({ goOnKey: 'Space' });
});

test('the bench takes the key that is pressed, and refuses one that writes', async () => {
  const shown = await show(Bench, {});
  close = () => void shown.close();
  await press('go-on-key');
  expect(at('go-on-key-asks').textContent).toContain('Press the pedal now');
  await key('a');
  expect(at('go-on-key-wrong').textContent).toContain('writes');
  expect(at('go-on-key-now').textContent).toBe('the space bar');
  await press('go-on-key');
  await key('PageDown');
  expect(at('go-on-key-now').textContent).toBe('Page Down');
  expect(document.getElementById('go-on-key-wrong')).toBeNull();
  await press('theme-sun');
  expect(document.documentElement.dataset.theme).toBe('sun');
  await bench.change({ goOnKey: 'Space', theme: 'paper' });
});

test('a measured screen makes the type of the walk larger, never smaller', async () => {
  expect(armsLength(null)).toBe(1);
  expect(armsLength(200)).toBe(1);
  expect(armsLength(566.9)).toBeCloseTo(1.5, 2);
  const shown = await show(Bench, {});
  close = () => void shown.close();
  await press('ruler-3');
  await press('ruler-set');
  expect(document.documentElement.style.getPropertyValue('--mm')).toMatch(/^3\.97/);
  await press('ruler-usual');
});

test('at a hold point the key leads to the PIN, and signs at once when one was typed', async () => {
  const fake = await ready();
  await press('sign');
  await press('sign-now');
  // The second step is a hold point.
  type('value', '184');
  await press('value-record');
  fake.calls.length = 0;
  await pedal();
  expect(document.activeElement?.id).toBe('sign-pin');
  expect(signed(fake)).toBe(0);
  type('sign-pin', '2468');
  at('step-what').focus();
  await pedal();
  expect(signed(fake)).toBe(1);
});

test('what is typed and not recorded is said, and Done leads to Record', async () => {
  const fake = await begun();
  await press('understand');
  expect(at('value-record').classList.contains('main')).toBe(false);
  type('value', '4 mm');
  await settle();
  const said = 'Press Record first: what is typed is not recorded yet.';
  expect(at('sign-unrecorded').textContent).toContain(said);
  expect(at('value-record').classList.contains('main')).toBe(true);
  expect(at('sign').classList.contains('main')).toBe(false);
  at('value').focus();
  await press('sign');
  expect(document.activeElement).toBe(at('value-record'));
  expect(at('sign').getAttribute('aria-describedby')).toBe('sign-unrecorded');
  // The one key leads there too, from where it would have signed, and records by its next press.
  at('step-what').focus();
  await pedal();
  expect(document.activeElement).toBe(at('value-record'));
  expect(at('led').textContent).toContain(said);
  expect(fake.calls).not.toContain('measure');
  await bench.change({ goOnKey: 'F13' });
  vi.advanceTimersByTime(800);
  await key('F13');
  await bench.change({ goOnKey: 'Space' });
  expect(fake.calls).toContain('measure');
  expect(document.getElementById('sign-unrecorded')).toBeNull();
  expect(at('sign').classList.contains('main')).toBe(true);
  // Typed once more: what is recorded is not signed past it, nor while its ten seconds run.
  await press('sign');
  expect(at('sign-waits')).toBeTruthy();
  type('value', '5 mm');
  await settle();
  expect(at('sign-said').textContent).toContain('What is typed is not recorded yet.');
  await press('sign');
  expect(document.getElementById('sign-waits')).toBeNull();
  expect(at('sign-unrecorded').textContent).toContain('empty the field');
  expect(signed(fake)).toBe(0);
});

test('the one key starts a clock before the work first, and one after it last', () => {
  const at = (n: number) => {
    const step = structuredClone(STAGES.find(({ id }) => id === 'rear-grip')!.steps[n]!);
    step.understood = true;
    return next({ position: 'step', step, gloves: null } as WalkView, 0);
  };
  expect(at(1)).toEqual({ does: 'press', id: 'clock-start' });
  expect(at(2)).toMatchObject({ does: 'field', id: 'value' });
});

test('a press is kept while the signature before it is still on its way', async () => {
  const fake = await ready();
  const invoke = fake.invoke.bind(fake);
  let arrive = () => {};
  const late = new Promise<void>((then) => (arrive = then));
  // The shell is slow to say how the desk stands; the step comes at once.
  fake.invoke = async (command, args) => {
    if (command === 'look') await late;
    return invoke(command, args);
  };
  await press('sign');
  await press('sign-now');
  expect(at('position').textContent).toBe('Step 2 of 2');
  type('value', '184');
  await press('value-record');
  type('sign-pin', '2468');
  await press('sign');
  expect(signed(fake)).toBe(1);
  arrive();
  await settle();
  await settle();
  expect(signed(fake)).toBe(2);
});
