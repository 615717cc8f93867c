import { afterEach, expect, test } from 'vitest';
import { fakeBackend } from '../src/lib/fake';
import type { TeachingView, WalkView } from '../src/lib/generated/types';
import Crew from '../src/views/Crew.svelte';
import Teaching from '../src/views/walk/Teaching.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());

const TAUGHT: TeachingView = {
  learner: 'p2',
  name: 'Pip Lanternby',
  lesson: 'present',
  prepare: true,
  standing: 'not taught yet',
  next: 'Then Pip Lanternby does it, and a lead witnesses.',
};

async function panel(teaching: TeachingView) {
  const fake = fakeBackend('normal');
  await fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' });
  const walk = (await fake.invoke('walk', { rod: 'r3', stage: 'spine' })) as WalkView;
  const place = { rod: 'r3', stage: 'spine', step: walk.step!.id };
  const settled = async () => {};
  const props = { teaching, step: walk.step!, aim: walk.aim, place, settled, after: settled };
  const shown = await show(Teaching, props);
  close = () => void shown.close();
  return walk.step!;
}

test('before the first step of a first run the lead prepares, then presents', async () => {
  const step = await panel(TAUGHT);
  expect(document.querySelectorAll('#prepare li')).toHaveLength(4);
  expect(document.querySelector('[aria-current="step"]')!.textContent).toContain('Prepare');
  expect(at('teaching-words').textContent).toContain(step.keyPoint);
  expect(at('teaching-words').textContent).toContain(step.reason);
  expect(at('teach-sign').textContent).toBe('Presented');
});

test('while the key point is told back it stands nowhere in the panel', async () => {
  const step = await panel({ ...TAUGHT, lesson: 'tell-back', prepare: false });
  expect(at('teaching').textContent).not.toContain(step.keyPoint);
  expect(document.querySelector('[aria-current="step"]')!.textContent).toContain('Try out');
  expect(at('teach-sign').textContent).toBe('Told');
});

test('nothing is signed where the helper only does the step', async () => {
  await panel({ ...TAUGHT, lesson: 'try-out', prepare: false });
  expect(document.getElementById('teach-sign')).toBeNull();
  expect(at('teaching-next').getAttribute('role')).toBe('status');
});

test('a lead asks for witnessed runs, and every cell says a word', async () => {
  const shown = await show(Crew, {});
  close = () => void shown.close();
  await settle();
  const frame = document.querySelector('#crew-table .frame')!;
  expect(frame.querySelector('caption')).toBeTruthy();
  const heads = [...frame.querySelectorAll('th')];
  expect(heads.every((head) => ['col', 'row'].includes(head.getAttribute('scope') ?? ''))).toBe(
    true,
  );
  await press('teach-spine');
  type('teaching-days', 'soon');
  const form = at<HTMLInputElement>('teaching-days').form!;
  form.dispatchEvent(new SubmitEvent('submit', { cancelable: true, bubbles: true }));
  await settle();
  expect(at('teaching-days-wrong').textContent).toContain('whole days');
  expect(shown.fake.calls).not.toContain('ask_teaching');
  const cells = [...frame.querySelectorAll('td[data-standing]')];
  expect(cells.length).toBeGreaterThan(0);
  expect(cells.every((cell) => cell.textContent!.trim() !== '')).toBe(true);
});
