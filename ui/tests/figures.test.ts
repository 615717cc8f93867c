import { afterEach, expect, test } from 'vitest';
import { alongTime, cutOpen } from '../src/domain/sketch';
import type { FigureView, SectionView } from '../src/lib/generated/types';
import Crew from '../src/views/Crew.svelte';
import RodSheet from '../src/views/RodSheet.svelte';
import FigurePanel from '../src/views/walk/FigurePanel.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());
const FRAME = { width: 640, height: 190 };
const SECTION: SectionView = {
  blank: [
    [0, 11.2],
    [300, 10.1],
  ],
  bore: [
    [0, 11],
    [300, 11],
  ],
  goal: [
    [0, 11.4],
    [300, 11],
  ],
  outside: [],
  bands: [[2, 298, 'roughen']],
  marks: [
    [40, 'stops'],
    [0, 'to sit'],
  ],
};

test('what is wider lies higher, and the butt lies at the left', () => {
  const cut = cutOpen(SECTION, FRAME)!;
  const points = (path: string) =>
    [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((found) => [+found[1]!, +found[2]!]);
  const [first, last] = points(cut.blank) as [number[], number[]];
  expect(first[0]).toBeLessThan(last[0]!);
  // SVG counts downwards: the thicker butt end lies higher.
  expect(first[1]).toBeLessThan(last[1]!);
  const goal = points(cut.goal)[0]!;
  const bore = points(cut.bore)[0]!;
  expect(goal[1]).toBeLessThan(bore[1]!);
  expect(bore[1]).toBeGreaterThan(first[1]!);
  expect(cut.times).toBeGreaterThan(10);
  // A band follows the blank: it starts and ends on it, and is as thick at both ends.
  const band = points(cut.bands[0]!.path);
  const slope = (last[1]! - first[1]!) / (last[0]! - first[0]!);
  const onBlank = (x: number) => first[1]! + (x - first[0]!) * slope;
  expect(band).toHaveLength(4);
  for (const [x, y] of band.slice(0, 2)) expect(y).toBeCloseTo(onBlank(x!), 0);
  expect(band[1]![1]! - band[2]![1]!).toBeCloseTo(band[0]![1]! - band[3]![1]!, 1);
});

test('a stretch that was not measured is not drawn', () => {
  expect(cutOpen({ ...SECTION, blank: [[0, 11]] }, FRAME)).toBeNull();
});

test('words that would run into each other stand in two rows', () => {
  const rows = cutOpen(SECTION, FRAME)!.marks.map((mark) => mark.row);
  expect(rows).toEqual([0, 0]);
  const close: SectionView = {
    ...SECTION,
    marks: [
      [40, 'stops'],
      [45, 'to sit'],
    ],
  };
  expect(cutOpen(close, FRAME)!.marks.map((mark) => mark.row)).toEqual([0, 1]);
});

test('a moment that is past stands at the beginning, the last at the end', () => {
  expect(alongTime(-5, 60)).toBe(0);
  expect(alongTime(30, 60)).toBe(0.5);
  expect(alongTime(90, 60)).toBe(1);
  expect(alongTime(5, 0)).toBe(0);
});

const figure = (more: Partial<FigureView>): FigureView => ({
  name: 'ream',
  title: 'How far to ream',
  rows: [['Butt end', 'ream to 11.40 mm']],
  warnings: ['Dust.'],
  source: 'Geometry.',
  sketch: { section: SECTION, shares: [], times: [] },
  missing: null,
  ...more,
});

test('a figure tells its numbers, its doubts and its source, also to those who can’t see', async () => {
  const shown = await show(FigurePanel, { figure: figure({}), id: 'figure-0' });
  close = () => void shown.close();
  const panel = at('figure-0');
  for (const words of ['How far to ream', 'ream to 11.40 mm', 'Dust.', 'Geometry.'])
    expect(panel.textContent).toContain(words);
  const drawing = panel.querySelector('svg[role="img"]')!;
  expect(drawing.getAttribute('aria-label')).toContain('Butt end: ream to 11.40 mm.');
});

test('where there is no figure, it says how to come by one', async () => {
  const none = figure({ rows: [], sketch: null, missing: 'The bore is not written down.' });
  const shown = await show(FigurePanel, { figure: none, id: 'figure-0' });
  close = () => void shown.close();
  expect(at('figure-0').textContent).toContain('No figure. The bore is not written down.');
  expect(at('figure-0').querySelector('dl')).toBeNull();
});

test('a measurement is added without a PIN and put right with one', async () => {
  const shown = await show(RodSheet, { id: 'r1', focus: null });
  close = () => void shown.close();
  await press('measured-add');
  expect(document.getElementById('measured-pin')).toBeNull();
  type('measured-from', '33 in');
  type('measured-diameter', '7 mm');
  await press('measured-submit');
  expect(at('revisions').textContent).toContain('7 mm at 33 in');
  expect(document.getElementById('measured-from')).toBeNull();

  await press('measured-0-correct');
  type('measured-diameter', '11.3 mm');
  type('measured-reason', 'Read at the wrong mark.');
  type('measured-pin', '2468');
  await press('measured-submit');
  expect(at('measures').textContent).toContain('11.3 mm');
  expect(at('revisions').textContent).toContain('Read at the wrong mark.');
});

test('length, joins and kind of grip are put right with a reason and the PIN', async () => {
  const shown = await show(RodSheet, { id: 'r1', focus: null });
  close = () => void shown.close();
  await press('blank-correct');
  expect(at<HTMLInputElement>('blank-to').value).not.toBe('');
  type('blank-to', 'long');
  type('blank-reason', 'Typed from the wrong label.');
  type('blank-pin', '2468');
  await press('blank-submit');
  expect(at('blank-trouble').textContent).toContain('“long” is not a value');
  // The PIN is typed again, the rest is kept.
  expect(at<HTMLInputElement>('blank-pin').value).toBe('');
  expect(at<HTMLInputElement>('blank-reason').value).toContain('wrong label');
  type('blank-to', '2140 mm');
  type('joins-to', '700 mm, 1400 mm');
  type('blank-pin', '2468');
  await press('blank-submit');
  expect(document.getElementById('blank-to')).toBeNull();
  const words = at('blank-length').textContent.replace(/\s+/g, ' ').trim();
  expect(words).toBe('Blank: 2140 mm, joined at 700 mm and 1400 mm from the butt');
  expect(at('revisions').textContent).toContain('Typed from the wrong label.');

  await press('grip-correct');
  at<HTMLSelectElement>('grip-to').value = 'eva';
  at('grip-to').dispatchEvent(new Event('change', { bubbles: true }));
  type('blank-reason', 'The customer changed their mind.');
  type('blank-pin', '2468');
  await press('blank-submit');
  expect(at('grip-kind').textContent).toBe('Grip: EVA foam');
});

test('a part is put right with a reason and the PIN, and keeps its bore', async () => {
  const shown = await show(RodSheet, { id: 'r1', focus: null });
  close = () => void shown.close();
  await press('part-add');
  type('part-from', '0 mm');
  type('part-to', '260 mm');
  type('part-diameter', '26 mm');
  await press('part-submit');
  await press('part-0-correct');
  expect(at<HTMLInputElement>('part-to').value).toBe('260 mm');
  type('part-description', 'Burl cork');
  type('part-thinnest', '21 mm');
  type('part-reason', 'The waist was measured later.');
  type('part-pin', '0000');
  await press('part-submit');
  expect(at('part-pin-wrong').textContent).toContain('does not fit');
  type('part-pin', '2468');
  await press('part-submit');
  expect(document.getElementById('part-from')).toBeNull();
  const now = at('part-0').textContent;
  expect(now).toContain('Burl cork');
  expect(now).toContain('21 mm where thinnest');
  expect(at('revisions').textContent).toContain('The waist was measured later.');
  // One more begins empty, and without a PIN.
  await press('part-add');
  expect(at<HTMLInputElement>('part-description').value).toBe('');
  expect(document.getElementById('part-pin')).toBeNull();
});

test('mixed units are asked about before they are taken', async () => {
  const shown = await show(RodSheet, { id: 'r1', focus: null });
  close = () => void shown.close();
  await press('measured-add');
  type('measured-from', '40 in');
  type('measured-diameter', '180 mm');
  await press('measured-submit');
  expect(at('measured-trouble').textContent).toContain('divided by 25.4');
  at<HTMLInputElement>('measured-sure').click();
  await press('measured-submit');
  expect(at('measures').textContent).toContain('180 mm');
});

test('each quantity keeps its own unit', async () => {
  const shown = await show(Crew, {});
  close = () => void shown.close();
  const masses = at<HTMLSelectElement>('units-masses');
  expect(masses.value).toBe('gram');
  expect(at<HTMLButtonElement>('units-submit').disabled).toBe(true);
  masses.value = 'ounce';
  masses.dispatchEvent(new Event('change', { bubbles: true }));
  await settle();
  await press('units-submit');
  expect(shown.fake.world.units).toMatchObject({ masses: 'ounce', liquids: 'millilitre' });
});
