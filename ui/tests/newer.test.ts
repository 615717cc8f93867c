import { afterEach, expect, test } from 'vitest';
import { byPlace } from '../src/domain/differences';
import Walk from '../src/views/Walk.svelte';
import { at, press, show, type } from './screen';

let close = () => {};
afterEach(() => close());
const maybe = (id: string) => document.getElementById(id);

async function walk(scene: string) {
  const shown = await show(Walk, { rodId: 'r3', stage: 'spine' }, scene, (fake) =>
    fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' }),
  );
  close = () => void shown.close();
  return shown.fake;
}

test('differences stand by step, the text as a whole first', () => {
  const line = (place: string, of: string) => ({ place, of, was: '', now: '', takesAway: false });
  const found = byPlace([line('b', '1'), line('a', '2'), line('', '3'), line('b', '4')]);
  expect(found.map(({ place, lines }) => [place, lines.map(({ of }) => of)])).toEqual([
    ['', ['3']],
    ['b', ['1', '4']],
    ['a', ['2']],
  ]);
});

test('a newer text: what differs, what it takes away, and the way on for a lead', async () => {
  const fake = await walk('newer');
  expect(at('position').textContent).toBe('Step 1 of 2');
  await press('newer-see');
  const away = at('newer-differences').querySelectorAll('[data-takes-away="true"]');
  expect(away).toHaveLength(1);
  expect(away[0]!.textContent).toContain('takes a guard away');
  expect(away[0]!.textContent).toContain('nothing');
  expect(at('newer-title').closest('form')!.textContent).toContain('What is signed stays signed.');
  at<HTMLSelectElement>('newer-person').value = 'p1';
  at('newer-person').dispatchEvent(new Event('change', { bubbles: true }));
  type('newer-pin', '0000');
  await press('newer-move');
  expect(at('newer-pin-wrong').textContent).toContain('does not fit');
  expect(document.activeElement).toBe(at('newer-pin'));
  type('newer-pin', '2468');
  await press('newer-move');
  expect(fake.calls.filter((call) => call === 'move_stage')).toHaveLength(2);
  expect(maybe('newer')).toBeNull();
});

test('where the stage can’t go on by it, the reason stands in place of the button', async () => {
  await walk('refused');
  await press('newer-see');
  expect(at('newer-refused').textContent).toContain('Put the step back');
  expect(maybe('newer-move')).toBeNull();
  expect(maybe('newer-pin')).toBeNull();
});

test('a step that is left out says so, and why', async () => {
  await walk('newer');
  await press('overview-toggle');
  const [first, second] = at('overview').children;
  expect((first as HTMLElement).dataset.leftOut).toBe('false');
  expect((second as HTMLElement).dataset.leftOut).toBe('true');
  expect(second!.textContent).toContain('Left out. Only for rods with a butt cap');
});
