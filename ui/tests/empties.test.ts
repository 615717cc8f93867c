// What a screen says while there is nothing on it: what belongs there, and the way to the first of it.

import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import Air from '../src/views/Air.svelte';
import Checklists from '../src/views/Checklists.svelte';
import Crew from '../src/views/Crew.svelte';
import Ledger from '../src/views/Ledger.svelte';
import Lots from '../src/views/Lots.svelte';
import Print from '../src/views/Print.svelte';
import Rack from '../src/views/Rack.svelte';
import { at, press, settle, show } from './screen';

let close = () => {};
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
});
afterEach(() => {
  close();
  close = () => {};
  vi.useRealTimers();
});
const maybe = (id: string) => document.getElementById(id);
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ').trim();
async function shown<P extends Record<string, unknown>>(...of: Parameters<typeof show<P>>) {
  const put = await show<P>(...of);
  close = () => void put.close();
  return put.fake;
}

test('an empty rack leads to the first rod, a full one does not speak of it', async () => {
  await shown(Rack, {}, 'fresh');
  expect(words('rack-empty')).toContain('No rod on the rack yet.');
  expect(at('rack-empty-new').getAttribute('href')).toBe('#/new');
  close();
  await shown(Rack, {}, 'normal');
  expect(maybe('rack-empty')).toBeNull();
});

test('who works alone is led to adding a person', async () => {
  await shown(Crew, {}, 'fresh');
  expect(words('crew-alone')).toContain('You work alone so far.');
  await press('crew-alone-add');
  expect(document.activeElement).toBe(at('person-name'));
  close();
  await shown(Crew, {}, 'normal');
  expect(maybe('crew-alone')).toBeNull();
});

test('without a lot the form for the first is one press away', async () => {
  await shown(Lots, {}, 'fresh');
  expect(words('lots-empty')).toContain('No lot is registered yet.');
  await press('lots-empty-first');
  expect(document.activeElement).toBe(at('lot-what'));
});

test('air that nobody read leads to the reading, and a log without a day to the lists', async () => {
  await shown(Air, { id: 'bench' }, 'fresh', async (fake) => {
    const station = fake.invoke.bind(fake);
    fake.invoke = async (command, args) => {
      const answer = await station(command, args);
      // A day on which nothing happened at all.
      if (command === 'station') (answer as { air: { days: string[] } }).air.days = [];
      return answer;
    };
  });
  expect(words('flow-empty')).toContain('Nobody has read the air yet');
  await press('to-read-air');
  expect(at('read-air').contains(document.activeElement)).toBe(true);
  expect(words('station-log-empty')).toContain('Nothing has happened here yet');
  await press('station-log-first');
  expect(document.activeElement?.id).toMatch(/^begin-/);
});

test('air that was read does not speak of a first reading', async () => {
  await shown(Air, { id: 'bench' }, 'below');
  expect(maybe('flow-empty')).toBeNull();
  expect(words('to-read-air')).toBe('Read the air anew');
});

test('without a text of the shop’s own the screen says that none is needed, and begins one', async () => {
  await shown(Checklists, {}, 'fresh');
  expect(words('checklists-empty')).toContain('no text of its own yet');
  await press('checklists-empty-new');
  expect(maybe('editor-text')).not.toBeNull();
  close();
  await shown(Checklists, {}, 'normal');
  expect(maybe('checklists-empty')).toBeNull();
});

test('a log without a signature says so, and leads to the rod', async () => {
  await shown(Print, { id: 'r3' });
  expect(words('print-empty')).toContain('Nothing is signed on this rod yet');
  expect(at('print-empty-rod').getAttribute('href')).toBe('#/rod/r3');
  close();
  await shown(Print, { id: 'r1' }, 'normal');
  await settle();
  expect(maybe('print-empty')).toBeNull();
});

test('without a folder for backups the screen says what that means, and leads to naming one', async () => {
  await shown(Ledger, {}, 'fresh');
  expect(words('backups-empty')).toContain('everything signed is lost with it');
  await press('backups-empty-name');
  expect(document.activeElement).toBe(at('backup-folder'));
  close();
  await shown(Ledger, {}, 'normal');
  expect(maybe('backups-empty')).toBeNull();
});
