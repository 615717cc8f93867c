import { afterEach, expect, test } from 'vitest';
import { matching, names, touched } from '../src/domain/lots';
import { page, parseRoute, to } from '../src/shared/page.svelte';
import Lots from '../src/views/Lots.svelte';
import Walk from '../src/views/Walk.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());

const maybe = (id: string) => document.getElementById(id);
const input = (id: string) => at<HTMLInputElement>(id);

async function lots(scene = 'normal') {
  const shown = await show(Lots, {}, scene);
  close = () => void shown.close();
  return shown.fake;
}
/** At the step that asks for a lot, its caution read and its value measured. */
async function weigh(scene = 'normal') {
  const shown = await show(Walk, { rodId: 'r3', stage: 'rear-grip' }, scene, (fake) =>
    fake.invoke('begin_stage', { rod: 'r3', stage: 'rear-grip', station: 'bench' }),
  );
  close = () => void shown.close();
  await press('understand');
  type('value', '100 %');
  await press('value-record');
  return shown.fake;
}
async function choose(id: string, value: string) {
  at<HTMLSelectElement>(id).value = value;
  at(id).dispatchEvent(new Event('change', { bubbles: true }));
  await settle();
}

test('a touch fills the line, a second one adds to it, the same one adds nothing', () => {
  expect(touched('', 'R 1')).toBe('R 1');
  expect(touched('R 1', 'H 2')).toBe('R 1, H 2');
  expect(touched('R 1; old, ', 'H 2')).toBe('R 1, old, H 2');
  expect(touched('r 1 , H 2', 'R 1')).toBe('r 1 , H 2');
  // Part of a marking is not the marking.
  expect(names('R 12', 'R 1')).toBe(false);
});

test('a lot is found by its marking or by what it is', () => {
  const lot = { id: 'L1', expires: null, expired: false, gone: false, rods: [] };
  const both = [
    { ...lot, what: 'Epoxy resin', marking: 'R 2207-B' },
    { ...lot, what: 'Thread finish', marking: 'F 88' },
  ];
  const found = (words: string) => matching(both, words).map((one) => one.marking);
  expect(found(' 2207-b ')).toEqual(['R 2207-B']);
  expect(found('finish')).toEqual(['F 88']);
  expect(found('')).toHaveLength(2);
  expect(found('cork')).toEqual([]);
});

test('touched lots stand in the field and are named together', async () => {
  const fake = await weigh();
  await press('lot-offered-0');
  await press('lot-offered-1');
  await press('lot-offered-1');
  expect(input('lot').value).toBe('R 2207-B, H 2207-A');
  expect(at('lot-offered-0').getAttribute('aria-pressed')).toBe('true');
  expect(at('lot-offered-2').getAttribute('aria-pressed')).toBe('false');
  // Nothing goes out before the button; the pedal presses it next.
  expect(fake.calls).not.toContain('name_lot');
  expect(document.activeElement).toBe(at('lot-name'));
  await press('lot-name');
  expect(at('lot-now').textContent).toContain('R 2207-B, H 2207-A');
  expect(input('lot').value).toBe('');
  expect(maybe('lot-expired')).toBeNull();
});

test('no more than six lots are shown to touch', async () => {
  const shown = await show(Walk, { rodId: 'r3', stage: 'rear-grip' }, 'normal', async (fake) => {
    const [first] = fake.world.lots;
    for (let i = 0; i < 4; i += 1)
      fake.world.lots.push({ ...first!, id: `X${i}`, marking: `X ${i}` });
    await fake.invoke('begin_stage', { rod: 'r3', stage: 'rear-grip', station: 'bench' });
  });
  close = () => void shown.close();
  await press('understand');
  expect(maybe('lot-offered-5')).not.toBeNull();
  expect(maybe('lot-offered-6')).toBeNull();
  expect(at('lot-more').textContent).toContain('2 more');
});

test('a lot past its last day is held back until a lead accepts it', async () => {
  const fake = await weigh();
  await press('lot-offered-2');
  await press('lot-name');
  expect(at('lot-expired').textContent).toContain('“R 2101-C” was good until');
  expect(at('lot-expired').textContent).toContain('Past its last day.');
  await press('sign');
  expect(at('sign-trouble').dataset.code).toBe('lot-expired');

  type('lot-reason', 'A test piece cured hard.');
  await choose('lot-accept-person', 'p1');
  type('lot-accept-pin', '0000');
  await press('lot-accept');
  expect(at('lot-accept-trouble').dataset.code).toBe('wrong-pin');
  expect(input('lot-accept-pin').value).toBe('');
  expect(input('lot-reason').value).toBe('A test piece cured hard.');
  expect(maybe('lot-accepted')).toBeNull();

  type('lot-accept-pin', '2468');
  await press('lot-accept');
  expect(fake.calls).toContain('accept_lot');
  expect(at('lot-accepted').textContent).toContain('A test piece cured hard. (Ada Reeve');
  expect(at('lot-expired').textContent).toContain('was good until');
  expect(maybe('lot-accept')).toBeNull();

  // Another lot, and back: it is asked for again.
  type('lot', 'R 2101-C');
  await press('lot-name');
  expect(maybe('lot-accept')).not.toBeNull();
});

test('a value outside its limits is accepted in the same way', async () => {
  const fake = await weigh();
  type('value', '120 %');
  await press('value-record');
  type('accept-reason', 'weighed twice');
  await choose('accept-person', 'p1');
  type('accept-pin', '2468');
  await press('accept');
  expect(fake.calls).toContain('accept');
  expect(at('value-now').textContent).toContain('weighed twice');
  expect(maybe('accept')).toBeNull();
});

test('lots have an address of their own and say that they are there', async () => {
  expect(parseRoute(to.lots).name).toBe('lots');
  page.loaded = null;
  await lots();
  expect(page.loaded).toBe('lots');
});

test('each lot shows its last day and the rods it was used on', async () => {
  await lots();
  expect(at('lot-row-L1').querySelector('a')?.getAttribute('href')).toBe('#/rod/r2');
  expect(at('lot-row-L1').textContent).not.toContain('past its last day');
  expect(at('lot-row-L3').textContent).toContain('past its last day');
  expect(at('lot-row-L4').textContent).toContain('no day named');
  expect(at('lots').contains(at('lot-row-L5'))).toBe(false);
  expect(at('lots-gone').contains(at('lot-row-L5'))).toBe(true);
  expect(at<HTMLDetailsElement>('lots-gone').open).toBe(false);
});

test('what is looked for is found among the used-up ones too', async () => {
  await lots();
  type('lot-find', 'r 2012');
  await settle();
  expect(maybe('lot-row-L1')).toBeNull();
  expect(at<HTMLDetailsElement>('lots-gone').open).toBe(true);
  expect(at('lot-row-L5').querySelector('a')).not.toBeNull();
  type('lot-find', 'cork');
  await settle();
  expect(at('lots-none').textContent).toContain('“cork”');
});

test('a lot is used up only when that was confirmed', async () => {
  const fake = await lots();
  await press('lot-gone-L1');
  await press('lot-gone-no-L1');
  expect(document.activeElement).toBe(at('lot-gone-L1'));
  expect(fake.calls).not.toContain('lot_gone');
  await press('lot-gone-L1');
  await press('lot-gone-yes-L1');
  expect(fake.calls).toContain('lot_gone');
  expect(at('lots-gone').contains(at('lot-row-L1'))).toBe(true);
  expect(maybe('lot-gone-L1')).toBeNull();
  expect(at('lots-said').textContent).toContain('“R 2207-B” is used up.');
});

test('the first lot is registered; a day that is none is told and keeps what was typed', async () => {
  const fake = await lots('fresh');
  expect(at('lots-empty').textContent).toContain('one touch');
  type('lot-what', 'Epoxy resin');
  type('lot-marking', 'R 9');
  type('lot-expires', 'spring');
  await press('lot-register');
  expect(at('lot-register-trouble').textContent).toContain('“spring” is no day.');
  expect(input('lot-marking').value).toBe('R 9');
  type('lot-expires', '2099-02');
  await press('lot-register');
  expect(fake.world.lots).toMatchObject([{ marking: 'R 9', expires: '2099-02-28' }]);
  expect(at('lots').textContent).toContain('R 9');
  expect(maybe('lots-empty')).toBeNull();
  expect(input('lot-marking').value).toBe('');
});
