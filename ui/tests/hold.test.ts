import { afterEach, expect, test } from 'vitest';
import { desk } from '../src/domain/desk.svelte';
import Air from '../src/views/Air.svelte';
import Walk from '../src/views/Walk.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());

/** The second and last step of the spine: a hold point that a lead signs alone. */
async function mark() {
  const place = { rod: 'r3', stage: 'spine', step: 'look-over' };
  const shown = await show(Walk, { rodId: 'r3', stage: 'spine' }, 'normal', async (fake) => {
    await fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' });
    await fake.invoke('understand', { place });
    await fake.invoke('measure', { place, text: '4 mm' });
    await fake.invoke('sign', { place, pin: null });
  });
  close = () => void shown.close();
  type('value', '184');
  await press('value-record');
  return shown.fake;
}
async function enter(id: string) {
  const field = at<HTMLInputElement>(id);
  field.form!.requestSubmit();
  await settle();
}
async function space(target: Element) {
  target.dispatchEvent(new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true }));
  await settle();
}
const signs = (fake: { calls: string[] }) => fake.calls.filter((call) => call === 'sign').length;

test('a hold point asks for the PIN, and an empty one is never sent', async () => {
  const fake = await mark();
  expect(at<HTMLInputElement>('sign-pin').type).toBe('password');
  await press('sign');
  await space(document.body);
  expect(signs(fake)).toBe(0);
  expect(at('sign-pin-wrong').textContent).toContain('Type your PIN');
  expect(document.activeElement).toBe(at('sign-pin'));
});

test('a wrong PIN is told at its field, which is emptied; the right one by Enter signs', async () => {
  const fake = await mark();
  type('sign-pin', '0000');
  await press('sign');
  expect(signs(fake)).toBe(1);
  expect(at('sign-pin-wrong').getAttribute('role')).toBe('alert');
  expect(at('sign-pin-wrong').textContent).toContain('does not fit');
  expect(document.getElementById('sign-trouble')).toBeNull();
  expect(at<HTMLInputElement>('sign-pin').value).toBe('');

  type('sign-pin', '2468');
  await enter('sign-pin');
  expect(signs(fake)).toBe(2);
  expect(at('witness-form')).toBeTruthy();
});

test('the space bar in the PIN field neither signs nor becomes part of the PIN', async () => {
  const fake = await mark();
  type('sign-pin', '24 68 ');
  await settle();
  expect(at<HTMLInputElement>('sign-pin').value).toBe('2468');
  await space(at('sign-pin'));
  expect(signs(fake)).toBe(0);
});

test('what else is missing is said before the PIN is asked for', async () => {
  const fake = await mark();
  type('value', '999');
  await press('value-record');
  await press('sign');
  expect(signs(fake)).toBe(1);
  expect(at('sign-trouble').dataset.code).toBe('outside-limits');
  expect(document.getElementById('sign-pin-wrong')).toBeNull();
});

test('with the last signature the key locks, and the page says so without complaint', async () => {
  await mark();
  type('sign-pin', '2468');
  await press('sign');
  at<HTMLSelectElement>('witness-person').value = 'p1';
  at('witness-person').dispatchEvent(new Event('change', { bubbles: true }));
  type('witness-pin', '2468');
  await press('witness');
  expect(desk.active).toBeNull();
  expect(at('key-locked').textContent).toContain('your key is locked again');
  expect(document.querySelector('[role="alert"]')).toBeNull();
});

test('a stage that ended before says nothing about a key', async () => {
  const shown = await show(Walk, { rodId: 'r1', stage: 'spine' }, 'locked');
  close = () => void shown.close();
  expect(at('finished')).toBeTruthy();
  expect(document.getElementById('key-locked')).toBeNull();
});

test('a clearance for heat takes the PIN; opening the bench does not', async () => {
  const shown = await show(Air, { id: 'bench' });
  close = () => void shown.close();
  const { fake } = shown;
  await press('begin-open-bench');
  expect(document.getElementById('complete-pin')).toBeNull();

  await press('begin-heat-clearance');
  expect(at<HTMLInputElement>('complete-pin').type).toBe('password');
  // What is missing is said first; no PIN is asked for in vain.
  await press('complete');
  expect(fake.calls).toContain('complete');
  expect(at('complete-trouble').textContent).toContain('Not complete');
});

test('an empty PIN gives no clearance, a wrong one is told at its field', async () => {
  const shown = await show(Air, { id: 'bench' }, 'normal', async (fake) => {
    await fake.invoke('begin_list', { station: 'bench', list: 'heat-clearance' });
    for (const check of fake.world.stations[0]!.inHand!.checks) {
      const answer = { form: 'value', text: '1' };
      await fake.invoke('answer', { station: 'bench', check: check.id, answer });
    }
  });
  close = () => void shown.close();
  const { fake } = shown;
  await press('complete');
  expect(fake.calls).not.toContain('complete');
  expect(at('complete-pin-wrong').textContent).toContain('Type your PIN');
  type('complete-pin', '0000');
  await press('complete');
  expect(at('complete-pin-wrong').textContent).toContain('does not fit');
  expect(fake.world.stations[0]!.clearance).toBeNull();
  type('complete-pin', '2468');
  await enter('complete-pin');
  expect(fake.world.stations[0]!.clearance?.live).toBe(true);
});
