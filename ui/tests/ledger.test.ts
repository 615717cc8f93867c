import { afterEach, expect, test } from 'vitest';
import App from '../src/App.svelte';
import { desk } from '../src/domain/desk.svelte';
import { count, groups, verifiedWords } from '../src/domain/words';
import { page } from '../src/shared/page.svelte';
import Ledger from '../src/views/Ledger.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => {
  close();
  location.hash = '';
  desk.brought = '';
});
/** As it is read: the line ends of the source are no words. */
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ');
async function ledger(scene = 'normal') {
  const shown = await show(Ledger, {}, scene);
  close = () => void shown.close();
  return shown.fake;
}
async function app(scene: string, hash = '') {
  location.hash = hash;
  const shown = await show(App, {}, scene);
  close = () => void shown.close();
  await settle();
  return shown.fake;
}

test('a digest is read in sixteen groups of four', () => {
  const digest = '0123456789abcdef'.repeat(4);
  expect(groups(digest)).toHaveLength(16);
  expect(groups(digest).join('')).toBe(digest);
  expect(groups('')).toEqual([]);
});

test('how far it was verified, in words', () => {
  expect(verifiedWords(412)).toContain('All 412 events were verified');
  expect(verifiedWords(1)).toContain('Its one event was verified');
  expect(verifiedWords(null)).toBe('Being verified …');
  expect(count(1, 'event')).toBe('1 event');
  expect(count(0, 'event')).toBe('0 events');
});

test('the page shows the head and names itself', async () => {
  const fake = await ledger();
  expect(at('head-digest').querySelectorAll('span')).toHaveLength(16);
  expect(words('head-events')).toBe(`${fake.world.events} events`);
  expect(page.loaded).toBe('ledger');
});

test('without a named folder nothing can be backed up, and the page says so', async () => {
  const fake = await ledger('fresh');
  expect(words('backup-newest')).toBe('');
  expect(at<HTMLButtonElement>('backup-now').disabled).toBe(true);
  expect(at<HTMLInputElement>('backup-folder').value).toContain('Documents/Coldbench backups');

  type('backup-folder', '/home/builder/Coldbench/inside');
  await press('backup-set');
  expect(words('backup-folder-wrong')).toContain('workshop’s own');
  type('backup-folder', '/media/disk');
  await press('backup-set');
  expect(fake.world.backupFolder).toBe('/media/disk');
  expect(at<HTMLInputElement>('backup-folder').value).toBe('/media/disk');

  await press('backup-now');
  expect(words('backup-made')).toContain('Backed up and verified');
  expect(words('backup-newest')).toContain('The newest backup');
});

test('a backup that failed is told on every page, and as an alert on this one', async () => {
  await app('full');
  expect(at('backup-line-way').getAttribute('href')).toBe('#/ledger');
  location.hash = '#/ledger';
  window.dispatchEvent(new HashChangeEvent('hashchange'));
  await settle();
  expect(at('backup-trouble').getAttribute('role')).toBe('alert');
  expect(document.getElementById('backup-line')).toBeNull();
});

test('a damaged ledger is told on every page, with the way to what can be done', async () => {
  await app('damaged');
  expect(words('ledger-fault')).toContain('no heat is cleared');
  expect(at('ledger-fault-way').getAttribute('href')).toBe('#/ledger');
  expect(document.getElementById('read-only')).toBeNull();
});

test('a backup takes the place of a ledger only after a second, separate press', async () => {
  const fake = await app('unopened');
  expect(words('fault')).toContain('malformed');
  expect(document.getElementById('found-submit')).toBeNull();
  expect(document.getElementById('wayback-bring')).toBeNull();
  await press('wayback-look');
  expect(words('wayback-found')).toContain('398 events');

  at('wayback-bring').dispatchEvent(new MouseEvent('click', { bubbles: true, detail: 2 }));
  await settle();
  expect(document.getElementById('wayback-yes')).toBeNull();
  await press('wayback-bring');
  expect(fake.calls).not.toContain('bring_back');
  expect(words('wayback-means')).toContain('is lost from the ledger');
  await press('wayback-no');
  expect(fake.calls).not.toContain('bring_back');

  await press('wayback-bring');
  await press('wayback-yes');
  expect(fake.calls).toContain('bring_back');
  // The screen that asked is gone; what came of it is still said.
  expect(document.getElementById('damaged')).toBeNull();
  expect(words('wayback-words')).toContain('The damaged ledger is kept in');
  await press('wayback-noted');
  expect(document.getElementById('wayback-words')).toBeNull();
});

test('where no backup is found, the page says how to name one', async () => {
  await app('lost');
  await press('wayback-look');
  expect(words('damaged')).toContain('coldbench restore BACKUP DIR');
  expect(document.getElementById('wayback-bring')).toBeNull();
});
