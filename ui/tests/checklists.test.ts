import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import {
  countWords,
  cutAt,
  dayOf,
  freeId,
  fromWords,
  groupFiles,
  idIn,
  inOrder,
  isOwnPath,
  rangeOf,
  template,
} from '../src/domain/checklists';
import type { ChecklistLine, Problem } from '../src/lib/generated/types';
import { page, parseRoute, to } from '../src/shared/page.svelte';
import Checklists from '../src/views/Checklists.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
});
afterEach(() => {
  close();
  vi.useRealTimers();
});
const maybe = (id: string) => document.getElementById(id);
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ').trim();
const text = () => at<HTMLTextAreaElement>('editor-text');
async function screen(scene = 'normal') {
  const shown = await show(Checklists, {}, scene);
  close = () => void shown.close();
  return shown.fake;
}
/** Time goes by, and what was asked meanwhile is answered. */
async function pass(ms: number) {
  vi.advanceTimersByTime(ms);
  await settle();
}
async function write(what: string) {
  type('editor-text', what);
  await pass(300);
}
const choose = (id: string, value: string) => {
  at<HTMLSelectElement>(id).value = value;
  at(id).dispatchEvent(new Event('change', { bubbles: true }));
};
const count = (calls: string[], name: string) => calls.filter((call) => call === name).length;

const problem = (unusable: boolean, line = 1): Problem => ({
  path: 'a.toml',
  unusable,
  code: '',
  message: '',
  help: '',
  line,
  column: 1,
  excerpt: '',
});

test('the place of a finding: a word, what stands in quotes or brackets, else one character', () => {
  expect(cutAt('lenght = "12 mm"', 1)).toEqual(['', 'lenght', ' = "12 mm"']);
  expect(cutAt('lenght = "12 mm"', 10)).toEqual(['lenght = ', '"12 mm"', '']);
  expect(cutAt('gun-limit = 3', 1)).toEqual(['', 'gun-limit', ' = 3']);
  expect(cutAt('[[step]]', 1)).toEqual(['', '[[step]]', '']);
  expect(cutAt('a = { b = 1 } # c', 5)).toEqual(['a = ', '{ b = 1 }', ' # c']);
  expect(cutAt('a = "open', 5)).toEqual(['a = ', '"', 'open']);
  expect(cutAt('a = = b', 5)).toEqual(['a = ', '=', ' b']);
});

test('a column counts characters, and one past the line marks its end', () => {
  expect(cutAt('“🎣” = lenght', 7)).toEqual(['“🎣” = ', 'lenght', '']);
  expect(cutAt('id', 3)).toEqual(['id', ' ', '']);
  expect(cutAt('id', 99)).toEqual(['id', ' ', '']);
  expect(cutAt('', 1)).toEqual(['', ' ', '']);
});

test('the cursor goes to the place, whatever stands before it', () => {
  const whole = 'title = "🎣"\n  lenght = 3\nid';
  const [from, end] = rangeOf(whole, 2, 3);
  expect(whole.slice(from, end)).toBe('lenght');
  expect(rangeOf(whole, 3, 3)).toEqual([whole.length, whole.length]);
  expect(rangeOf(whole, 99, 1)).toEqual([whole.length - 2, whole.length]);
  expect(rangeOf('', 1, 1)).toEqual([0, 0]);
});

test('files by kind, each in the order given, and where each comes from', () => {
  const file = (id: string, kind: string) => ({ id, kind }) as ChecklistLine;
  const groups = groupFiles([
    file('m', 'Material'),
    file('b', 'Stage'),
    file('l', 'Station list'),
    file('a', 'Stage'),
    file('g', 'Gloves'),
  ]);
  expect(groups.map(({ title, files }) => [title, files.map(({ id }) => id)])).toEqual([
    ['Stages', ['b', 'a']],
    ['Station lists', ['l']],
    ['Products', ['m', 'g']],
  ]);
  expect(fromWords({ shipped: true, over: false })).toBe('comes with Coldbench');
  expect(fromWords({ shipped: false, over: false })).toBe('the shop’s own');
  expect(fromWords({ shipped: false, over: true })).toContain('in place of the one');
  expect(isOwnPath('stages/a.toml')).toBe(true);
  expect(isOwnPath('stages/a.toml of Coldbench')).toBe(false);
});

test('errors come first and are counted apart', () => {
  const all = [problem(false, 1), problem(true, 2), problem(false, 3)];
  expect(inOrder(all).map(({ line }) => line)).toEqual([2, 1, 3]);
  expect(countWords(all)).toBe('1 error, 2 warnings');
  expect(countWords([problem(true), problem(true)])).toBe('2 errors');
  expect(countWords([])).toBe('');
});

test('a text to begin with has an id of its own and the day', () => {
  expect(freeId(['my-stage', 'my-stage-2'], 'my-stage')).toBe('my-stage-3');
  const made = template('stage', 'my-stage-3', dayOf(new Date(2026, 10, 8).getTime()));
  expect(idIn(made)).toBe('my-stage-3');
  expect(made).toContain('revised = "2026-11-08"');
  expect(template('station-list', 'x', '')).toContain('kind = "station-list"');
  expect(idIn('title = "no"')).toBeNull();
});

test('all files stand there, and new findings come in by themselves', async () => {
  expect(parseRoute(to.checklists).name).toBe('checklists');
  page.loaded = null;
  const fake = await screen();
  expect(page.loaded).toBe('checklists');
  expect(words('checklists-folder')).toContain('/home/builder/Coldbench/checklists');
  expect(words('findings-count')).toBe('Nothing is wrong with any file.');
  expect(words('file-acetone')).toContain('Material, comes with Coldbench');
  expect(words('file-friday-sweep')).toContain('the shop’s own: stations/friday-sweep.toml');
  await fake.invoke('save_checklist', { path: 'stages/x.toml', text: 'id = "x"\n  lenght = 1\n' });
  await pass(2000);
  expect(words('findings-count')).toContain('1 error. A file with an error is not used');
  const row = at('finding-0');
  expect(row.textContent).toMatch(/Error\s+in stages\/x\.toml, line 2, column 3/);
  expect(row.textContent).toContain('How to mend it: Write “length”.');
  // It is none of those that can be used, and opens by its path all the same.
  await press('finding-0-go');
  expect(at<HTMLTextAreaElement>('editor-text').value).toContain('lenght');
  await press('editor-close');
  await press('aside-broken-0');
  await press('aside-broken-0-yes');
  expect(words('checklists-said')).toContain('The file is kept as');
  expect(maybe('finding-0')).toBeNull();
});

test('errors stand before warnings and differ by word and sign', async () => {
  await screen('mend');
  expect(at('finding-0').textContent).toMatch(/^\s*▲\s*Error/);
  expect(at('finding-1').textContent).toMatch(/^\s*△\s*Warning/);
  await press('finding-1-go');
  const { value, selectionStart, selectionEnd } = text();
  expect(document.activeElement).toBe(text());
  expect(value.slice(selectionStart, selectionEnd)).toContain('Check the rings');
});

test('what takes a guard away is held until a lead signs for it', async () => {
  const fake = await screen();
  expect(at('file-spine').dataset.held).toBe('true');
  expect(words('held-spine')).toContain('It can’t be begun until a lead signs for it.');
  // Only what is taken away stands there; all of it below.
  expect(at('away-spine').querySelectorAll('.line')).toHaveLength(1);
  expect(at('all-spine').querySelectorAll('.line')).toHaveLength(3);
  type('override-spine-reason', 'We look at each blank at intake.');
  choose('override-spine-person', 'p1');
  type('override-spine-pin', '0000');
  await press('override-spine');
  expect(at('override-spine-trouble').dataset.code).toBe('wrong-pin');
  type('override-spine-pin', '2468');
  await press('override-spine');
  expect(fake.calls).toContain('accept_override');
  expect(maybe('held-spine')).toBeNull();
  expect(words('accepted-spine')).toContain('We look at each blank at intake. (Ada Reeve');
});

test('typing tries the text once the hands pause; the newest wins', async () => {
  const fake = await screen();
  await press('read-rear-grip');
  expect(words('editor-path')).toContain('What you save goes to stages/rear-grip.toml');
  expect(words('editor-count')).toBe('Nothing is wrong.');
  expect(at<HTMLButtonElement>('editor-save').disabled).toBe(true);
  const before = count(fake.calls, 'try_checklist');
  type('editor-text', `${text().value}lengh`);
  await pass(200);
  await write(`${text().value}t = 3\n`);
  expect(count(fake.calls, 'try_checklist')).toBe(before + 1);
  expect(words('editor-count')).toBe('1 error');
  expect(words('editor-unusable')).toContain('It will not be used as it stands.');
  expect(words('editor-unusable')).toContain('the one that comes with Coldbench counts');
  await press('editor-finding-0-go');
  const { value, selectionStart, selectionEnd } = text();
  expect(value.slice(selectionStart, selectionEnd)).toBe('lenght');
  await press('editor-save');
  expect(words('editor-said')).toBe(
    'Saved as stages/rear-grip.toml. It is not used until its errors are mended.',
  );
  await write(value.replace('lenght = 3\n', ''));
  await press('editor-save');
  expect(words('editor-said')).toBe('Saved as stages/rear-grip.toml.');
  await press('editor-close');
  expect(words('file-rear-grip')).toContain('in place of the one that comes with Coldbench');
  expect(document.activeElement).toBe(at('read-rear-grip'));
});

test('put aside, the one that comes with Coldbench counts again, and it says where it is kept', async () => {
  await screen();
  await press('aside-spine');
  expect(words('aside-spine-yes')).toContain('the one that comes with Coldbench counts again');
  await press('aside-spine-no');
  expect(document.activeElement).toBe(at('aside-spine'));
  await press('read-spine');
  await press('editor-aside');
  await press('editor-aside-yes');
  expect(words('checklists-said')).toContain('.aside');
  expect(at('file-spine').dataset.own).toBe('false');
  expect(maybe('aside-spine')).toBeNull();
});

test('a broken file in the way is not written over unasked', async () => {
  const fake = await screen();
  await fake.invoke('save_checklist', { path: 'stages/rear-grip.toml', text: 'lenght\n' });
  await pass(2000);
  await press('read-rear-grip');
  await write(`${text().value}# ours\n`);
  expect(words('editor-in-the-way')).toContain('stages/rear-grip.toml already');
  expect(at<HTMLButtonElement>('editor-save').disabled).toBe(true);
  await press('editor-replace');
  await press('editor-save');
  expect(words('editor-said')).toContain('Saved as');
  expect(maybe('editor-in-the-way')).toBeNull();
});

test('a new stage: its file follows the id, another name is told where it is wrong', async () => {
  await screen();
  await press('new-stage');
  expect(at<HTMLInputElement>('editor-file').value).toBe('stages/my-stage.toml');
  await write(text().value.replace('id = "my-stage"', 'id = "burnish"'));
  expect(at<HTMLInputElement>('editor-file').value).toBe('stages/burnish.toml');
  type('editor-file', 'burnish');
  await press('editor-save');
  expect(words('editor-file-wrong')).toContain('ends with .toml');
  expect(maybe('editor-trouble')).toBeNull();
  type('editor-file', 'stages/burnish.toml');
  await press('editor-save');
  expect(words('editor-path')).toBe('The shop’s own: stages/burnish.toml');
  await press('editor-close');
  expect(words('file-burnish')).toContain('the shop’s own: stages/burnish.toml');
});

test('what is not saved is asked about, on the way back and on the way to another screen', async () => {
  location.hash = to.checklists;
  const stop = page.start();
  await screen();
  await press('new-list');
  // As it was given, it may go.
  await press('editor-close');
  expect(maybe('editor-text')).toBeNull();
  await press('new-list');
  await write(`${text().value}# more\n`);
  await press('editor-close');
  expect(words('unsaved-title')).toContain('not saved');
  await press('unsaved-stay');
  expect(text().value).toContain('# more');

  location.hash = to.crew;
  window.dispatchEvent(new HashChangeEvent('hashchange'));
  await settle();
  expect(location.hash).toBe(to.checklists);
  expect(page.route.name).toBe('checklists');
  await press('unsaved-save');
  window.dispatchEvent(new HashChangeEvent('hashchange'));
  expect(location.hash).toBe(to.crew);
  expect(page.route.name).toBe('crew');
  stop();
  location.hash = '';
});

test('left without saving, the text is gone and the way is free', async () => {
  await screen();
  await press('read-spine');
  await write('gone');
  let left = false;
  page.leave(() => (left = true));
  await settle();
  expect(left).toBe(false);
  await press('unsaved-drop');
  expect(left).toBe(true);
  expect(page.wanted).toBeNull();
});

test('nobody unlocked: nothing is saved, what was typed stays', async () => {
  const fake = await screen('locked');
  await press('read-rear-grip');
  await write(`${text().value}# ours\n`);
  await press('editor-save');
  expect(fake.calls).not.toContain('save_checklist');
  expect(words('editor-trouble')).toContain('Unlock first');
  expect(text().value).toContain('# ours');
});
