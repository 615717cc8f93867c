import { afterEach, expect, test } from 'vitest';
import type { ClockView } from '../src/lib/generated/types';
import Walk from '../src/views/Walk.svelte';
import { became } from '../src/views/walk/resin';
import { at, press, settle, show, type } from './screen';
import { signFirstStep, spine } from './spine';

let close = () => {};
afterEach(() => {
  close();
  close = () => {};
});

async function begun() {
  const shown = await spine();
  close = () => void shown.close();
  return shown.fake;
}
async function key(name: string) {
  document.body.dispatchEvent(
    new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true }),
  );
  await settle();
}

test('one key leaves the step, and the way back leads over what was done last', async () => {
  const fake = await begun();
  await signFirstStep();
  await key('F8');
  expect(fake.calls).toContain('call_away');
  expect(at('away-title').textContent).toContain('was called away');
  expect(document.activeElement?.id).toBe('away-title');
  expect(at('away-last').textContent).toContain('Step 1: Wipe along the blank');
  expect(at('away-next').textContent).toContain('step 2');
  expect(document.getElementById('sign')).toBeNull();
  await key(' ');
  expect(fake.calls).toContain('come_back');
  expect(document.getElementById('away')).toBeNull();
  expect(at('position').textContent).toBe('Step 2 of 2');
});

test('a signature that waits is not given behind the back of whoever left', async () => {
  const fake = await begun();
  await press('understand');
  type('value', '4 mm');
  await press('value-record');
  await press('sign');
  await press('called-away');
  expect(document.getElementById('away')).toBeTruthy();
  expect(fake.calls).not.toContain('sign');
});

test('what has become of the resin is said in whole sentences', () => {
  const now = Date.parse('2026-03-01T12:00:00Z');
  const clock = (kind: ClockView['kind'], left: number): ClockView => ({
    rod: 'r',
    rodTitle: 'Rod',
    stage: 's',
    name: 'Epoxy',
    kind,
    started: new Date(now - 3_600_000).toISOString(),
    minutes: 60,
    runsOut: new Date(now + left * 60_000).toISOString(),
    over: left <= 0,
    stalled: null,
  });
  expect(became(clock('working-time', -3), now)).toMatchObject({ bad: true });
  expect(became(clock('working-time', -3), now).words).toContain('Throw this mix away');
  expect(became(clock('working-time', 9), now).words).toContain('9 min 00 s left.');
  expect(became(clock('glove-change', -1), now).words).toContain('inside out');
  expect(became(clock('cure', 90), now).words).toContain('It cures until');
});

test('the step is read aloud, caution first, and stops with the walk', async () => {
  const fake = await begun();
  const read: string[] = [];
  const invoke = fake.invoke.bind(fake);
  fake.invoke = async (command, args) => {
    if (command === 'read_aloud') read.push(String(args?.text));
    return invoke(command, args);
  };
  await press('read-aloud');
  expect(read[0]).toMatch(
    /^Caution\. Broken fibres .* Step 1\. Wipe along .* Key point: .* Reason: /,
  );
  expect(read[0]).toContain('Limits: 10 mm at most.');
  await key('F9');
  expect(read).toHaveLength(2);
  await key('F9');
  close();
  close = () => {};
  await settle();
  expect(fake.calls).toContain('stop_reading');
  expect(fake.calls).toContain('keep_awake');
});

test('where nothing can speak, the button says what to install', async () => {
  const fake = await begun();
  const invoke = fake.invoke.bind(fake);
  fake.invoke = async (command, args) => {
    if (command === 'read_aloud') throw { code: 'no-voice', message: 'Install espeak-ng.' };
    return invoke(command, args);
  };
  await press('read-aloud');
  expect(at('read-trouble').textContent).toBe('Install espeak-ng.');
});
