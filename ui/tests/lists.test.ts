import { afterEach, expect, test } from 'vitest';
import { mount, unmount } from 'svelte';
import { desk } from '../src/domain/desk.svelte';
import Unlock from '../src/domain/Unlock.svelte';
import {
  completeWords,
  endsHeat,
  failedWords,
  groupLists,
  waitingWords,
} from '../src/domain/lists';
import type { ListLine, ListView } from '../src/lib/generated/types';
import Air from '../src/views/Air.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => {
  close();
  close = () => {};
});
const maybe = (id: string) => document.getElementById(id);
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ').trim();
async function air(before?: Parameters<typeof show>[3]) {
  const shown = await show(Air, { id: 'bench' }, 'normal', before);
  close = () => void shown.close();
  return shown.fake;
}

const line = (kind: ListLine['kind'], id: string = kind): ListLine => ({
  id,
  kind,
  title: id,
  aim: '',
  words: '',
  due: false,
  atOnce: [],
});

test('lists stand in the order of the day, those for when something went wrong apart', () => {
  const groups = groupLists([
    line('close-bench'),
    line('contact'),
    line('own', 'b'),
    line('heat-clearance'),
    line('monthly-look'),
    line('own', 'a'),
    line('open-bench'),
    line('spill'),
    line('new-product'),
  ]);
  const ids = (lists: ListLine[]) => lists.map(({ id }) => id);
  expect(ids(groups.day)).toEqual(['open-bench', 'heat-clearance', 'close-bench']);
  expect(ids(groups.wrong)).toEqual(['spill', 'contact']);
  expect(ids(groups.other)).toEqual(['new-product', 'monthly-look', 'b', 'a']);
});

test('what waits is named, and each button says what it ends', () => {
  const waiting = (...setAside: string[]) => waitingWords({ setAside } as unknown as ListView);
  expect(waiting()).toBe('');
  expect(waiting('Open the bench')).toBe('“Open the bench” waits until this is done.');
  expect(waiting('A', 'B', 'C')).toBe('“A”, “B” and “C” wait until this is done.');
  expect(completeWords('heat-clearance')).toContain('give the clearance');
  expect(completeWords('spill')).toBe('Complete the list');
  expect(endsHeat('spill')).toContain('clearance for heat');
  expect(endsHeat('open-bench')).toBe('');
});

test('what is due says so; an urgent list says beside its button that it ends the clearance', async () => {
  await air();
  expect(at('list-monthly-look').textContent).toContain('due');
  expect(words('list-words-monthly-look')).toContain('due since');
  expect(at('list-open-bench').textContent).not.toContain('due');
  expect(at('begin-spill').getAttribute('aria-describedby')).toBe('list-ends-spill');
  expect(words('list-ends-spill')).toContain('ends every clearance for heat');
  expect(at('urgent-lists').contains(at('begin-contact'))).toBe(true);
  await press('to-urgent');
  expect(document.activeElement).toBe(at('begin-spill'));
});

test('a list begun by its id; a spill in the middle of it sets it aside and brings it back', async () => {
  const sent: unknown[] = [];
  const fake = await air();
  const invoke = fake.invoke.bind(fake);
  fake.invoke = async (command, args) => {
    if (command === 'begin_list') sent.push(args);
    return invoke(command, args);
  };
  await press('begin-open-bench');
  await press('state-air-0');
  expect(words('begin-another')).toContain('gives up the answers');
  await press('begin-spill');
  expect(sent).toEqual([
    { station: 'bench', list: 'open-bench', sheet: null },
    { station: 'bench', list: 'spill', sheet: null },
  ]);
  expect(words('list-waiting')).toBe('“Open the bench” waits until this is done.');
  expect(words('lists-title')).toContain('Something went wrong: Something was spilt');
  expect(document.activeElement).toBe(at('lists-title'));
  // It can't be begun once more on top of itself; the other urgent one can.
  expect(maybe('begin-spill')).toBeNull();
  expect(maybe('begin-contact')).not.toBeNull();
  await press('state-seen-0');
  await press('complete');
  expect(words('lists-title')).toBe('Open the bench');
  expect(at('check-air').dataset.standing).toBe('passes');
  expect(maybe('list-waiting')).toBeNull();
});

test('a list of the shop’s own is begun by its own id', async () => {
  await air();
  await press('begin-friday-sweep');
  expect(words('lists-title')).toBe('Friday sweep');
  expect(words('complete')).toBe('Complete the list');
});

test('what to do after a spill or a splash can be read without a PIN', async () => {
  await air();
  expect(words('at-once-spill')).toContain('What to do, without a PIN');
  expect(words('at-once-contact')).toContain('Water first.');
  expect(maybe('at-once-open-bench')).toBeNull();
});

test('a check that failed is said on top, with what that means', () => {
  const check = (number: number, passes: boolean | null) => ({
    number,
    answered: passes === null ? null : { passes },
  });
  const said = (...checks: ReturnType<typeof check>[]) =>
    failedWords({ checks } as unknown as ListView);
  expect(said(check(1, true), check(2, null))).toBe('');
  expect(said(check(1, true), check(2, false))).toBe(
    'Check 2 does not pass: nothing comes of this list until it does.',
  );
  expect(said(check(1, false), check(2, false), check(3, false))).toContain('Checks 1, 2 and 3 do');
});

test('nobody unlocked: a list begins once somebody is, and not if they say not now', async () => {
  const fake = await air((fake) => fake.invoke('lock', {}));
  const dialog = mount(Unlock, { target: document.body });
  await press('begin-open-bench');
  expect(words('unlock-then')).toContain('Open the bench');
  await press('unlock-cancel');
  expect(desk.asking).toBe(false);
  expect(fake.calls).not.toContain('begin_list');
  await press('begin-open-bench');
  at<HTMLSelectElement>('unlock-person').value = 'p1';
  at('unlock-person').dispatchEvent(new Event('change', { bubbles: true }));
  type('unlock-pin', '2468');
  await press('unlock-submit');
  await settle();
  expect(fake.calls.filter((call) => call === 'begin_list')).toHaveLength(1);
  expect(words('lists-title')).toContain('Open the bench');
  await unmount(dialog);
});
