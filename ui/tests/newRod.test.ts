import { afterEach, expect, test } from 'vitest';
import NewRod from '../src/views/NewRod.svelte';
import { at, press, settle, show } from './screen';

let close = () => {};
afterEach(() => close());

async function fresh() {
  const shown = await show(NewRod, {});
  close = () => void shown.close();
}

test('a part that is added has the keyboard in its first field', async () => {
  await fresh();
  await press('add-rear-grip');
  expect(document.activeElement).toBe(at('parts-0-description'));
  await press('add-reel-seat');
  expect(document.activeElement).toBe(at('parts-1-description'));
});

test('a sleeve on another grip says which grip brings the stage for shrinking it', async () => {
  await fresh();
  await press('add-rear-grip');
  await press('add-sleeve');
  const grip = at<HTMLSelectElement>('grip');
  const choice = grip.querySelector('option[value="composite"]')!.textContent;
  expect(document.getElementById('sleeve-grip-0')).toBeNull();
  expect(at('sleeve-grip-1').textContent).toContain(choice);
  grip.value = 'composite';
  grip.dispatchEvent(new Event('change', { bubbles: true }));
  await settle();
  expect(document.getElementById('sleeve-grip-1')).toBeNull();
});
