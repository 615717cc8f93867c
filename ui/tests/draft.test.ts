import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { emptyDraft, sortTroubles } from '../src/domain/draft';
import NewRod from '../src/views/NewRod.svelte';
import { at, press, settle, show, type } from './screen';

const trouble = (field: string | null, message: string) => ({ code: 'bad-input', message, field });

test('each trouble goes to its field, the rest is said in general', () => {
  const sorted = sortTroubles(emptyDraft(), [
    trouble('diameters.1.diameter', 'No number.'),
    trouble('diameters.1.diameter', 'A second one.'),
    trouble('diameters.7.diameter', 'No such row.'),
    trouble(null, 'The blank grows towards the tip.'),
  ]);
  expect(sorted.byField).toEqual({ 'diameters.1.diameter': 'No number.' });
  expect(sorted.general).toEqual(['No such row.', 'The blank grows towards the tip.']);
});

let close = () => {};
beforeEach(async () => {
  vi.useFakeTimers();
  const shown = await show(NewRod, {});
  close = () => void shown.close();
});
afterEach(() => {
  close();
  vi.useRealTimers();
});
async function checked() {
  await vi.advanceTimersByTimeAsync(300);
  await settle();
}

test('what is wrong with a measurement stands at that measurement', async () => {
  type('diameters-1-diameter', 'thick');
  await checked();
  const input = at('diameters-1-diameter');
  expect(input.getAttribute('aria-invalid')).toBe('true');
  expect(input.getAttribute('aria-describedby')).toBe('diameters-1-diameter-wrong');
  expect(at('diameters-1-diameter-wrong').textContent).toContain('can’t be read');
  // Fields not reached yet are not complained about.
  expect(at('title').getAttribute('aria-invalid')).toBeNull();
});

test('the rod is drawn as soon as the measurements make one', async () => {
  await checked();
  expect(at('draft-drawing').dataset.drawn).toBe('false');
  type('length', '84');
  type('diameters-0-fromButt', '0');
  type('diameters-0-diameter', '0.6');
  type('diameters-1-fromButt', '80');
  type('diameters-1-diameter', '0.09');
  await checked();
  expect(at('draft-drawing').dataset.drawn).toBe('true');
});

test('two measurements stay, and a third can go', async () => {
  expect(at<HTMLButtonElement>('remove-diameter-0').disabled).toBe(true);
  await press('add-diameter');
  await press('remove-diameter-2');
  expect(document.getElementById('diameters-2-diameter')).toBeNull();
});

test('a refused beginning complains at every field and keeps what was typed', async () => {
  type('customer', 'M. Lind');
  await checked();
  await press('begin-rod');
  await checked();
  expect(at('title-wrong').textContent).toContain('title is missing');
  expect(at<HTMLInputElement>('customer').value).toBe('M. Lind');
});
