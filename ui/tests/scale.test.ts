import { afterEach, expect, test } from 'vitest';
import { followScale, nextStep, timesFor } from '../src/shared/scale';

let stop = () => {};
afterEach(() => stop());

test.each([
  [800, 560, 1],
  [1024, 600, 1],
  [1280, 900, 1],
  [1920, 1080, 1.2],
  [1080, 1920, 1],
  [3840, 2160, 2.4],
  [7680, 4320, 2.4],
])('in a window of %i by %i the page is drawn %f times as large', (wide, high, times) => {
  expect(timesFor(wide, high)).toBe(times);
});

test('steps go up to the last and down to the first', () => {
  expect(nextStep(1, 1)).toBe(1.25);
  expect(nextStep(1, -1)).toBe(1);
  expect(nextStep(3, 1)).toBe(3);
  expect(nextStep(2, -1)).toBe(1.75);
});

test('Ctrl with plus, minus and zero draws larger, smaller and as before', () => {
  const drawn: number[] = [];
  stop = followScale((times) => {
    drawn.push(times);
    return Promise.resolve();
  });
  const press = (key: string, ctrlKey = true) =>
    window.dispatchEvent(new KeyboardEvent('keydown', { key, ctrlKey }));
  press('+', false);
  for (const key of ['+', '=', '-', '0', '0', '-']) press(key);
  expect(drawn).toEqual([1.25, 1.5, 1.25, 1]);
});
