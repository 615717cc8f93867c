import { expect, test } from 'vitest';
import { flags, layOut, textWidth, type Label } from '../src/domain/geometry';
import type { Drawing } from '../src/lib/generated/types';

const ROD: Drawing = {
  lengthMm: 2000,
  length: '2000 mm',
  joinsMm: [1000],
  outline: [
    { fromButtMm: 100, diameterMm: 16, diameter: '16 mm' },
    { fromButtMm: 1900, diameterMm: 2, diameter: '2 mm' },
  ],
  guides: [],
  parts: [
    {
      kind: 'rear-grip',
      label: 'grip',
      fromMm: 0,
      toMm: 500,
      diameterMm: 25,
      drawn: 'done',
      stage: null,
      clock: null,
    },
  ],
};
const FRAME = { width: 1040, margin: 20, fullMm: 0, thick: 50 };

test('lengths are to scale: half the rod is half the line', () => {
  const placed = layOut(ROD, FRAME);
  expect(placed.butt).toBe(20);
  expect(placed.tip).toBe(1020);
  expect(placed.joins).toEqual([520]);
  expect(placed.parts[0]?.width).toBe(250);
});

test('rods under one another share the scale of the longest', () => {
  expect(layOut(ROD, { ...FRAME, fullMm: 4000 }).tip).toBe(520);
});

test('diameters are drawn a whole number of times thicker, no thicker than there is room', () => {
  const placed = layOut(ROD, FRAME);
  expect(placed.times).toBe(4);
  expect(placed.height).toBe(50);
  expect(placed.measured[0]?.half).toBe(16);
  expect(layOut(ROD, { ...FRAME, thick: 5 }).times).toBe(1);
});

test('what was not measured is drawn apart from what was', () => {
  const placed = layOut(ROD, FRAME);
  expect(placed.outline.startsWith('M70.0 -16.0L970.0')).toBe(true);
  expect(placed.assumed).toContain('M20.0 -16.0L70.0 -16.0');
  const whole = {
    ...ROD,
    outline: [
      { fromButtMm: 0, diameterMm: 16, diameter: '16 mm' },
      { fromButtMm: 2000, diameterMm: 2, diameter: '2 mm' },
    ],
  };
  expect(layOut(whole, FRAME).assumed).toBe('');
});

function overlapping(labels: Label[], width: number): number {
  const placed = flags(labels, width);
  let hits = 0;
  for (let i = 0; i < labels.length; i += 1) {
    for (let j = 0; j < labels.length; j += 1) {
      const a = placed[i]!;
      const b = placed[j]!;
      if (i === j || a.below !== b.below) continue;
      const wide = labels[j]!.width;
      // Text on text, or a's leader through b's text on the way down to the rod.
      const text = a.row === b.row && a.left < b.left + wide && b.left < a.left + labels[i]!.width;
      const leader = a.row > b.row && a.x > b.left && a.x < b.left + wide;
      if (text || leader) hits += 1;
    }
  }
  return hits;
}

test('no label overlaps another and no leader crosses one', () => {
  const crowded = [60, 62, 120, 150, 151, 600, 980].map((x, i) => ({ x, width: 90 + i * 40 }));
  expect(overlapping(crowded, 1040)).toBe(0);
  expect(flags(crowded, 1040).some((flag) => flag.row > 1)).toBe(true);
});

test('labels with room stay beside one another in the row next to the rod', () => {
  const rows = flags(
    [100, 400, 700].map((x) => ({ x, width: 80 })),
    1040,
  ).map((flag) => flag.row);
  expect(rows).toEqual([0, 0, 0]);
});

test('a label that would run off the sheet flies the other way, below the rod', () => {
  const [flag] = flags([{ x: 1000, width: 200 }], 1040);
  expect(flag).toMatchObject({ below: true, left: 800 });
});

test('longer words take more room, and capitals more than small letters', () => {
  expect(textWidth('Rear grip · done', 15)).toBeGreaterThan(textWidth('Rear grip', 15));
  expect(textWidth('GRIP', 15)).toBeGreaterThan(textWidth('grip', 15));
});

test('guides stand on the side they sit on, long enough to be seen', () => {
  const guides = [
    { fromButtMm: 1000, heightMm: 20 },
    { fromButtMm: 1500, heightMm: -2 },
  ];
  const frame = { width: 960, margin: 20, fullMm: 0, thick: 36 };
  const [below, above] = layOut({ ...ROD, guides }, frame).guides as [
    { x: number; from: number; to: number },
    { x: number; from: number; to: number },
  ];
  expect(below.from).toBeGreaterThan(0);
  expect(below.to - below.from).toBeGreaterThanOrEqual(6);
  expect(above.from).toBeLessThan(0);
  expect(above.to - above.from).toBeLessThanOrEqual(-6);
  // The blank is thinner there.
  expect(Math.abs(above.from)).toBeLessThan(below.from);
});
