import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { fakeBackend } from '../src/lib/fake';
import Print from '../src/views/Print.svelte';
import { sheetOf } from '../src/views/print/sheet';
import { at, press, settle, show, type } from './screen';

let close = () => {};
beforeEach(() => vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] }));
afterEach(() => {
  close();
  close = () => {};
  vi.useRealTimers();
});

/** The screen, with everything that is sent to the shell. */
async function print(scene = 'normal') {
  const sent: [string, unknown][] = [];
  const spy = async (fake: ReturnType<typeof fakeBackend>) => {
    const invoke = fake.invoke.bind(fake);
    fake.invoke = async (command, args) => {
      sent.push([command, args]);
      return invoke(command, args);
    };
  };
  const shown = await show(Print, { id: 'r3' }, scene, spy);
  close = () => void shown.close();
  return { ...shown, sent: (command: string) => sent.filter(([name]) => name === command) };
}
const what = { kind: 'build-log', rod: 'r3' };
const words = (id: string) => at(id).textContent?.trim();
async function key(name: string, target: Element = document.body, more = {}) {
  const event = { key: name, bubbles: true, cancelable: true, ...more };
  target.dispatchEvent(new KeyboardEvent('keydown', event));
  await settle();
}

async function pickPrinter(prefix = '') {
  const printer = at<HTMLSelectElement>(`${prefix}printer`);
  printer.selectedIndex = 1;
  printer.dispatchEvent(new Event('change', { bubbles: true }));
  await settle();
}

test('the pages are shown one at a time, turned by buttons and by arrow keys', async () => {
  const { sent } = await print();
  expect(words('page-number')).toBe('Page 1 of 4');
  expect(words('preview')).toBe('build-log r3, page 1');
  expect(at('preview').getAttribute('aria-label')).toBe('The build log, Page 1 of 4');
  expect(at('page-before').getAttribute('aria-disabled')).toBe('true');
  await press('page-before');
  expect(sent('preview_pages').length).toBe(1);

  await press('page-after');
  expect(words('preview')).toBe('build-log r3, page 2');
  await key('ArrowRight');
  await key('ArrowRight');
  expect(words('page-number')).toBe('Page 4 of 4');
  expect(at('page-after').getAttribute('aria-disabled')).toBe('true');
  await key('ArrowRight');
  await key('ArrowLeft');
  expect(words('page-number')).toBe('Page 3 of 4');
  // Where an arrow moves the cursor or picks, or goes with another key, no page is turned.
  await key('ArrowLeft', at('save-path'));
  await key('ArrowLeft', at('paper-a4'));
  await key('ArrowLeft', document.body, { altKey: true });
  expect(words('page-number')).toBe('Page 3 of 4');
  expect(document.querySelectorAll('#preview > svg').length).toBe(1);
});

test('another paper shows the same page anew, and whole or full size is a choice', async () => {
  const { sent } = await print();
  await press('page-after');
  await press('paper-a4');
  expect(sent('preview_pages').at(-1)![1]).toEqual({ what, paper: 'a4', page: 2 });
  expect(document.querySelector('#preview svg')!.getAttribute('viewBox')).toBe('0 0 595.28 841.89');
  expect(at('preview').classList.contains('whole')).toBe(true);
  await press('zoom-full');
  expect(at('preview').classList.contains('whole')).toBe(false);
  expect(at('zoom-full').getAttribute('aria-pressed')).toBe('true');
});

test('a job is followed to its end and no further', async () => {
  const { sent } = await print();
  await pickPrinter();
  type('copies', '2');
  await press('print');
  expect(sent('print_pages')[0]![1]).toEqual({
    what,
    printer: at<HTMLSelectElement>('printer').value,
    paper: 'letter',
    copies: 2,
  });
  expect(words('printed')).toContain('Sent to');
  expect(words('job')).toBe('Waits: the printer is out of paper.');
  for (const [told, times] of [
    ['Waits: the printer is out of paper.', 1],
    ['Printed, as far as the print system knows.', 2],
    ['Printed, as far as the print system knows.', 2],
  ] as const) {
    vi.advanceTimersByTime(2000);
    await settle();
    expect(words('job')).toBe(told);
    expect(sent('print_job').length).toBe(times);
  }
});

test('a screen that was left asks for no job', async () => {
  const { sent } = await print();
  await pickPrinter();
  await press('print');
  close();
  close = () => {};
  vi.advanceTimersByTime(60_000);
  await settle();
  expect(sent('print_job').length).toBe(0);
});

test('copies that are none are told at their field', async () => {
  const { sent } = await print();
  await pickPrinter();
  for (const copies of ['0', '21', 'two', '-1', '1.5', '9999999999']) {
    type('copies', copies);
    await press('print');
    expect(words('copies-wrong')).toBe('Print 1 to 20 copies at once.');
  }
  expect(sent('print_job').length).toBe(0);
});

test('the folder of a saved file is opened, or it is said that nothing opens it', async () => {
  const { sent } = await print();
  expect(document.getElementById('open-folder')).toBeNull();
  type('save-path', '/tmp/mine.pdf');
  await press('save');
  expect(words('saved')).toBe('Saved as /tmp/mine.pdf.');
  await press('open-folder');
  expect(sent('open_folder')).toEqual([['open_folder', { path: '/tmp/mine.pdf' }]]);
  expect(words('folder-trouble')).toBe('No file manager opens here.');
});

test('a page that holds anything but shapes and text is not shown', () => {
  const page = (inner: string, more = '') =>
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"${more}>${inner}</svg>`;
  expect(sheetOf(page('<path d="M0 0"/><text>a &lt;b&gt;</text>')).textContent).toBe('a <b>');
  for (const bad of [
    page('<script>1</script>'),
    page('<text><tspan>a</tspan></text>'),
    page('<path onclick="1"/>'),
    page('<path style="fill:url(x)"/>'),
    page('<image href="x"/>'),
    page('<text>a'),
    page('', ' onload="1"'),
    '<p>a</p>',
    '',
  ])
    expect(() => sheetOf(bad), bad).toThrow('can’t be shown');
});

test('a single sheet asks for its stage where it is of one, and is saved under a name of its own', async () => {
  const { sent } = await print();
  const pick = async (id: string, value: string) => {
    const select = at<HTMLSelectElement>(id);
    select.value = value;
    select.dispatchEvent(new Event('change', { bubbles: true }));
    await settle();
  };
  // What is still to be picked is asked for first.
  await press('sheet-open');
  expect(document.getElementById('sheet-preview')).toBeNull();
  const stage = at<HTMLSelectElement>('sheet-stage').options[1]!.value;
  await pick('sheet-stage', stage);
  await press('sheet-open');
  expect(at<HTMLInputElement>('sheet-save-path').value).toContain(`by-hand-${stage}-r3.pdf`);
  await pick('sheet', 'rod-sheet');
  expect(document.getElementById('sheet-stage')).toBeNull();
  const rodSheet = { kind: 'rod-sheet', rod: 'r3' };
  await press('sheet-save');
  expect(sent('save_pages')[0]?.[1]).toMatchObject({ what: rodSheet });
  expect(words('sheet-preview')).toBe('rod-sheet r3, page 1');
  // Arrow keys turn the pages that have the focus, or else the first on the screen.
  await key('ArrowRight');
  expect(words('sheet-page-number')).toBe('Page 1 of 4');
  expect(words('page-number')).toBe('Page 2 of 4');
  await key('ArrowRight', at('sheet-preview'));
  expect(words('sheet-page-number')).toBe('Page 2 of 4');
  expect(words('page-number')).toBe('Page 2 of 4');
  await pickPrinter('sheet-');
  await press('sheet-print');
  expect(sent('print_pages')[0]?.[1]).toMatchObject({ what: rodSheet, copies: 1 });
  await press('sheet-open');
  expect(document.getElementById('sheet-preview')).toBeNull();
  // Rows for other programs, from the same screen.
  await pick('row-form', 'json');
  type('row-from', '2026-11-01');
  await press('row-save');
  expect(sent('save_table')[0]?.[1]).toMatchObject({
    rod: 'r3',
    from: '2026-11-01',
    to: '',
    form: 'json',
  });
});
