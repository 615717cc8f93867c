import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { ChangeDraft, LayoutDraft } from '../src/lib/generated/types';
import Layout from '../src/views/Layout.svelte';
import RodSheet from '../src/views/RodSheet.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'requestAnimationFrame'] });
});
afterEach(() => {
  close();
  vi.useRealTimers();
});
/** Lets the hands pause, the next picture be drawn and the answer come. */
async function paused() {
  await vi.advanceTimersByTimeAsync(300);
  await settle();
}
async function shown(id = 'r1', scene = 'normal') {
  const screen = await show(Layout, { id }, scene);
  close = () => void screen.close();
  const sent: { command: string; args: any }[] = [];
  const invoke = screen.fake.invoke.bind(screen.fake);
  screen.fake.invoke = (command, args) => {
    sent.push({ command, args: structuredClone(args) });
    return invoke(command, args);
  };
  await paused();
  return { ...screen, sent, tried: () => sent.filter((one) => one.command === 'try_layout') };
}
const value = (id: string) => at<HTMLInputElement>(id).value;
const now = (id: string) => Number(at(id).getAttribute('aria-valuenow'));
function key(id: string, name: string, shiftKey = false) {
  at(id).dispatchEvent(new KeyboardEvent('keydown', { key: name, shiftKey, bubbles: true }));
}

test('the caution stands before the drawing, and the rod is drawn', async () => {
  await shown();
  const order = at('caution').compareDocumentPosition(at('bent-rod'));
  expect(order & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();
  expect(at('caution').className).toContain('hazard');
  expect(at('bent-rod').dataset.drawn).toBe('true');
  expect(document.getElementById('guide-handle-0')).toBeNull();
  expect(at('guide-handle-8').getAttribute('role')).toBe('slider');
});

test('an arrow key moves a guide by 1 mm, with Shift by 10 mm, and asks once', async () => {
  const { tried } = await shown();
  const before = now('guide-handle-3');
  key('guide-handle-3', 'ArrowLeft');
  key('guide-handle-3', 'ArrowLeft', true);
  key('guide-handle-3', 'ArrowRight');
  await paused();
  expect(tried()).toHaveLength(1);
  // The workshop of the fake measures along the rod in inches.
  const text = `${((before + 10) / 25.4).toFixed(3)} in`;
  expect(tried()[0]!.args.draft.guides[2].fromTip).toBe(text);
  expect(value('guides-2-fromTip')).toBe(text);
  expect(now('guide-handle-3')).toBeCloseTo(before + 10, 1);
  expect(at('guide-handle-3').getAttribute('aria-label')).toMatch(
    /^Guide 3, [\d.]+ in from the tip$/,
  );
  expect(at('layout-state').textContent).toContain('Not kept yet: leaving');
});

test('a guide stops before its neighbour', async () => {
  await shown();
  const max = Number(at('guide-handle-1').getAttribute('aria-valuemax'));
  expect(max).toBeCloseTo(now('guide-handle-2') - 5, 1);
  for (let i = 0; i < 40; i += 1) key('guide-handle-1', 'ArrowLeft', true);
  await paused();
  expect(now('guide-handle-1')).toBeCloseTo(max, 1);
});

test('a guide is dragged by the pointer on the straight rod', async () => {
  const { tried } = await shown();
  const before = now('guide-handle-4');
  const move = (name: string, x: number) =>
    at('guide-handle-4').dispatchEvent(
      new MouseEvent(name, { clientX: x, clientY: 40, button: 0, bubbles: true }),
    );
  move('pointerdown', 400);
  for (let x = 401; x <= 410; x += 1) move('pointermove', x);
  await paused();
  expect(tried()).toHaveLength(1);
  // To the right is towards the tip.
  expect(now('guide-handle-4')).toBeLessThan(before - 5);
  const there = now('guide-handle-4');
  move('pointerup', 410);
  move('pointermove', 300);
  await paused();
  expect(now('guide-handle-4')).toBe(there);
});

test('what is at fault is told at its field', async () => {
  await shown();
  type('hang', 'lots');
  type('guides-2-fromTip', 'x');
  await paused();
  expect(at('hang').getAttribute('aria-describedby')).toContain('hang-wrong');
  expect(at('hang-wrong').textContent).toContain('no value');
  expect(at('guides-2-fromTip').getAttribute('aria-invalid')).toBe('true');
  expect(at('guides-2-fromTip').getAttribute('aria-describedby')).toBe('guides-2-fromTip-wrong');
  expect(at('guides-2-fromTip-wrong').textContent).toContain('Guide 3, from the tip');
  // The last curve stays, and says that it is the last one.
  expect(at('bent-rod').dataset.drawn).toBe('true');
  expect(at('bent-rod').textContent).toContain('last layout without a fault');
  type('hang', '500 g');
  type('guides-2-fromTip', '300 mm');
  await paused();
  expect(document.getElementById('hang-wrong')).toBeNull();
});

test('a weight without its test is told at the load test, and marks come and go', async () => {
  await shown();
  await press('mark-add');
  type('marks-0-fromButt', '1500 mm');
  type('marks-0-drop', 'far');
  await paused();
  expect(at('marks-0-drop-wrong').textContent).toContain('no value');
  expect(at('testHang-wrong').textContent).toContain('hung on the tip');
  type('marks-0-drop', '240 mm');
  type('testHang', '200 g');
  await paused();
  expect(at('fitted').textContent).toContain('Stiffer than figured');
  await press('mark-remove-0');
  expect(document.getElementById('marks-0-drop')).toBeNull();
});

test('a tight span is written in words, on the sheet and in its row', async () => {
  await shown('r2');
  type('leastClearance', '');
  type('hang', '3000 g');
  await paused();
  expect(at('guide-row-8').dataset.tight).toBe('true');
  expect(at('guide-row-8').textContent).toContain('touches the blank');
  const written = [...document.querySelectorAll('#bent-rod text.clearance.tight')];
  expect(written.map((text) => text.textContent)).toContain('touches the blank');
  expect(at('bent-rod').querySelector('svg')!.getAttribute('aria-label')).toContain(
    'From guide 8 towards the butt: touches the blank.',
  );
  type('leastClearance', '6 mm');
  await paused();
  expect(at('guides-table').textContent).toMatch(/tight, [\d.]+ mm/);
});

test('kept, it goes out as a change of the rod, and the button says so', async () => {
  const { fake, sent } = await shown();
  type('layout-reason', 'the customer throws far');
  key('guide-handle-2', 'ArrowLeft');
  await paused();
  await press('layout-keep');
  await paused();
  const { args } = sent.find((one) => one.command === 'revise_rod')!;
  const change = args.change as ChangeDraft & { form: 'layout'; layout: LayoutDraft };
  expect(change.form).toBe('layout');
  expect(change.layout.guides[1]!.fromTip).toBe(value('guides-1-fromTip'));
  expect(args).toMatchObject({
    rod: 'r1',
    reason: 'the customer throws far',
    sure: false,
    pin: null,
  });
  expect(at<HTMLButtonElement>('layout-keep').disabled).toBe(true);
  expect(at('layout-keep').textContent).toBe('Kept');
  expect(fake.calls).toContain('revise_rod');
  type('hang', '600 g');
  await settle();
  expect(at<HTMLButtonElement>('layout-keep').disabled).toBe(false);
});

test('refused keeping says why and loses nothing', async () => {
  await shown();
  type('hang', 'lots');
  await paused();
  await press('layout-keep');
  await paused();
  expect(at('keep-trouble').textContent).toContain('no value');
  expect(value('hang')).toBe('lots');
});

test('guides are added between the last and the reel, and removed', async () => {
  await shown();
  const last = now('guide-handle-8');
  await press('guide-add');
  await paused();
  expect(now('guide-handle-9')).toBeGreaterThan(last);
  expect(value('guides-8-height')).toBe(value('guides-7-height'));
  await press('guide-remove-1');
  await paused();
  expect(document.getElementById('guide-handle-9')).toBeNull();
  expect(now('guide-handle-8')).toBeGreaterThan(last);
});

test('a bare blank gets its first guide', async () => {
  await shown('r3');
  expect(document.querySelector('[role="slider"]')).toBeNull();
  expect(document.body.textContent).toContain('No guide stands on this rod yet');
  await press('guide-add');
  await paused();
  expect(now('guide-handle-1')).toBeGreaterThan(500);
});

test('spacing and moving for the better say what they came to', async () => {
  await shown();
  type('spacing-count', 'many');
  await press('space-guides');
  expect(at('spacing-count-wrong').textContent).toContain('digits only');
  type('spacing-count', '10');
  await press('space-guides');
  expect(at('layout-told').textContent).toContain('10 guides are spaced');
  expect(document.getElementById('guide-handle-10')).not.toBeNull();
  await press('improve');
  expect(at('layout-told').textContent).toContain('Moved');
  expect(at('layout-told').getAttribute('role')).toBe('status');
  expect(at<HTMLButtonElement>('layout-keep').disabled).toBe(false);
});

test('an answer that comes late does not undo the spacing', async () => {
  const { fake } = await shown();
  const invoke = fake.invoke.bind(fake);
  let late = () => {};
  fake.invoke = async (command, args) => {
    if (command === 'try_layout') await new Promise<void>((then) => (late = then));
    return invoke(command, args);
  };
  key('guide-handle-3', 'ArrowLeft');
  await paused();
  type('spacing-count', '5');
  await press('space-guides');
  expect(document.querySelectorAll('[role="slider"]')).toHaveLength(5);
  late();
  await paused();
  expect(document.querySelectorAll('[role="slider"]')).toHaveLength(5);
  expect(at('guide-row-5').textContent).toContain('mm');
  expect(document.getElementById('guide-row-6')).toBeNull();
  expect(at('bent-rod').querySelectorAll('circle.ring')).toHaveLength(6);
});

test('a cut is shown first, asked about, and only then written down', async () => {
  const { sent } = await shown();
  expect(document.getElementById('trim-cut')).toBeNull();
  type('trim-tip', 'some');
  await paused();
  expect(at('trim-tip-wrong').textContent).toContain('no length');
  type('trim-tip', '2 in');
  await paused();
  expect(at('trim-table').textContent).toContain('Length');
  await press('trim-cut');
  expect(sent.some((one) => one.command === 'revise_rod')).toBe(false);
  expect(at('cut-title').textContent).toContain('2 in off the tip');
  await press('cut-submit');
  await paused();
  const { args } = sent.find((one) => one.command === 'revise_rod')!;
  expect(args.change).toEqual({ form: 'cut', tip: '2 in', butt: '' });
  expect(value('trim-tip')).toBe('');
  expect(at('layout-told').textContent).toContain('written down');
});

test('a rod that is not there leaves a way back', async () => {
  await shown('nothing');
  expect(at('layout-trouble').textContent).toContain('no rod');
  expect(document.querySelector('a.button')!.getAttribute('href')).toBe('#/rod/nothing');
});

test('the rod sheet leads there, and draws the guides that were kept', async () => {
  const screen = await show(RodSheet, { id: 'r1', focus: null }, 'normal', async (fake) => {
    const { draft } = (await fake.invoke('layout', { rod: 'r1' })) as { draft: LayoutDraft };
    const change = { form: 'layout', layout: draft };
    await fake.invoke('revise_rod', { rod: 'r1', change, reason: '', sure: false, pin: null });
  });
  close = () => void screen.close();
  expect(at('to-layout').getAttribute('href')).toBe('#/layout/r1');
  expect(document.querySelectorAll('.drawing .guide')).toHaveLength(9);
  expect(document.querySelector('.drawing svg')!.getAttribute('aria-label')).toContain('9 guides');
});
