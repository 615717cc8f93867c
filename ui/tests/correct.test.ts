import { afterEach, expect, test } from 'vitest';
import Crew from '../src/views/Crew.svelte';
import Walk from '../src/views/Walk.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());

async function finished() {
  const shown = await show(Walk, { rodId: 'r1', stage: 'spine' });
  close = () => void shown.close();
  const { entries } = ((await shown.fake.invoke('walk', { rod: 'r1', stage: 'spine' })) as any)
    .overview[0];
  return { fake: shown.fake, value: entries[0], done: entries[1] };
}
async function choose(id: string, value: string) {
  at<HTMLSelectElement>(id).value = value;
  at(id).dispatchEvent(new Event('change', { bubbles: true }));
  await settle();
}

test('what was signed at a step is shown on demand, each with its number', async () => {
  const { value } = await finished();
  expect(document.getElementById(`correct-${value.number}`)).toBeNull();
  expect(at('entries-look-over').textContent).toContain('What was signed (2)');
  await press('entries-look-over');
  expect(at('entries-look-over').getAttribute('aria-expanded')).toBe('true');
  const text = at('overview').textContent;
  expect(text).toContain(value.words);
  expect(text).toContain(`event ${value.number}`);
});

test('a correction stands beside what was signed, and both stay readable', async () => {
  const { fake, value } = await finished();
  await press('entries-look-over');
  await press(`correct-${value.number}`);
  expect(at<HTMLInputElement>('correct-says').value).toBe(value.said);
  expect(at<HTMLSelectElement>('correct-person').value).toBe('p1');
  type('correct-says', '3 mm');
  type('correct-reason', 'read from the wrong scale');
  type('correct-pin', '2468');
  await press('correct-submit');
  expect(fake.calls).toContain('correct');
  expect(document.getElementById('correct-says')).toBeNull();
  const text = at('overview').textContent;
  expect(text).toContain(value.words);
  expect(text).toContain('Corrected to 3 mm. Reason: read from the wrong scale');
  expect(at('overview').querySelector('s, del')).toBeNull();
});

test('words are corrected by words; a refused correction keeps what was typed but the PIN', async () => {
  const { done } = await finished();
  await press('entries-look-over');
  await press(`correct-${done.number}`);
  expect(at('correct-says').tagName).toBe('TEXTAREA');
  type('correct-says', 'It was done at the other bench.');
  type('correct-reason', 'mixed up');
  type('correct-pin', '0000');
  await press('correct-submit');
  expect(at('correct-pin-wrong').textContent).toContain('does not fit');
  expect(at<HTMLInputElement>('correct-pin').value).toBe('');
  expect(at<HTMLTextAreaElement>('correct-says').value).toBe('It was done at the other bench.');
  // The next one begins with a clean sheet.
  await press('correct-cancel');
  await press(`correct-${done.number}`);
  expect(document.getElementById('correct-pin-wrong')).toBeNull();
  expect(at<HTMLTextAreaElement>('correct-says').value).toBe('');
});

test('leads and the person themself may vouch for a new PIN', async () => {
  const shown = await show(Crew, {});
  close = () => void shown.close();
  expect(document.getElementById('renew-p3')).toBeNull();
  await press('renew-p1');
  const named = () =>
    [...at<HTMLSelectElement>('renew-by').options].map((option) => option.value).filter(Boolean);
  expect(named()).toEqual(['p1']);
  await press('renew-cancel');
  await press('renew-p2');
  expect(named()).toEqual(['p1', 'p2']);
});

test('a new PIN that is too short is told at its field, a wrong one of the voucher at theirs', async () => {
  const shown = await show(Crew, {});
  close = () => void shown.close();
  await press('renew-p2');
  type('renew-new', '12');
  await choose('renew-by', 'p1');
  type('renew-pin', '2468');
  await press('renew-submit');
  expect(at('renew-new-wrong').textContent).toContain('at least 4');
  expect(document.getElementById('renew-pin-wrong')).toBeNull();
  type('renew-new', '1357');
  type('renew-pin', '0000');
  await press('renew-submit');
  expect(at('renew-pin-wrong').textContent).toContain('does not fit');
  expect(document.getElementById('renew-new-wrong')).toBeNull();
  type('renew-pin', '2468');
  await press('renew-submit');
  expect(document.getElementById('renew-new')).toBeNull();
  expect(at('renewed').textContent).toContain('Jon Tarn has a new key');
});
