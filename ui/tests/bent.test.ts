import { expect, test } from 'vitest';
import {
  barOf,
  clearanceWords,
  diameterAt,
  layOutBent,
  layOutCurves,
  placeText,
  roomOf,
  shareAlong,
  type PlacedBent,
  type Spot,
} from '../src/domain/bent';
import { textWidth } from '../src/domain/geometry';
import type { BentView } from '../src/lib/generated/types';

const SHEET = { width: 800, height: 520 };
const LENGTH = 2000;

/** An arc of so many degrees, the butt pointing up by some more; rings 12 mm off on one side. */
function arc(turns: number, up: number, guides: number, tight: number[] = [], side = 1): BentView {
  const rad = (degrees: number) => (degrees * Math.PI) / 180;
  const many = 200;
  const at = (mm: number): Spot => {
    const [from, whole] = [rad(-up), rad(turns)];
    const radius = LENGTH / whole;
    const now = from + (whole * mm) / LENGTH;
    return [radius * (Math.sin(now) - Math.sin(from)), radius * (Math.cos(from) - Math.cos(now))];
  };
  const ring = (number: number | null, mm: number) => {
    const now = rad(-up) + (rad(turns) * mm) / LENGTH;
    const [x, y] = at(mm);
    return {
      number,
      fromButtMm: mm,
      heightMm: side * 12,
      foot: [x, y] as [number, number],
      ring: [x - Math.sin(now) * 12 * side, y + Math.cos(now) * 12 * side] as [number, number],
      clearance: number === null ? null : tight.includes(number) ? '0.4 mm' : '9.0 mm',
      tight: number !== null && tight.includes(number),
    };
  };
  const places = Array.from({ length: guides }, (_, i) => 900 + (1000 * i) / Math.max(guides, 1));
  return {
    lengthMm: LENGTH,
    straight: [LENGTH * Math.cos(rad(-up)), LENGTH * Math.sin(rad(-up))],
    axis: Array.from({ length: many + 1 }, (_, i) => at((LENGTH * i) / many) as [number, number]),
    outline: [
      [0, 14],
      [LENGTH, 2],
    ],
    rings:
      guides === 0
        ? []
        : [ring(null, 300), ...places.map((mm, i) => ring(guides - i, mm)), ring(0, LENGTH)],
    load: '500 g on the line, 4.9 N',
    pull: [0, 1],
  };
}
const spots = (placed: PlacedBent): Spot[] => [
  placed.butt,
  placed.straightTip,
  ...placed.axis,
  ...placed.rings.flatMap((ring) => [ring.foot, ring.at]),
  placed.load.to,
];
const boxes = (placed: PlacedBent) =>
  placed.texts.map((text) => {
    const half = textWidth(text.text, 14) / 2;
    return {
      text,
      left: text.x - half,
      right: text.x + half,
      top: text.y - 12,
      bottom: text.y + 3,
    };
  });

test.each([
  [60, 0, 8],
  [150, 0, 8],
  [175, 60, 8],
  [40, 90, 8],
  [20, -60, 8],
  [90, 30, 60],
  [90, 0, 0],
])(
  'a rod that turns %i° with the butt %i° up and %i guides stays on the sheet',
  (turns, up, many) => {
    for (const sheet of [SHEET, { width: 640, height: 390 }]) {
      const placed = layOutBent(arc(turns, up, many), sheet)!;
      for (const [x, y] of spots(placed)) {
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(sheet.width);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(placed.height);
      }
      for (const box of boxes(placed)) {
        expect(box.left).toBeGreaterThanOrEqual(0);
        expect(box.right).toBeLessThanOrEqual(sheet.width);
        expect(box.bottom).toBeLessThanOrEqual(placed.height);
      }
    }
  },
);

test('straight and bent are drawn to one scale, as long as one another', () => {
  const placed = layOutBent(arc(100, 20, 8), SHEET)!;
  const straight = Math.hypot(
    placed.straightTip[0] - placed.butt[0],
    placed.straightTip[1] - placed.butt[1],
  );
  const bent = placed.axis
    .slice(1)
    .reduce(
      (sum, [x, y], i) => sum + Math.hypot(x - placed.axis[i]![0], y - placed.axis[i]![1]),
      0,
    );
  expect(straight).toBeCloseTo(LENGTH * placed.scale, 6);
  expect(bent / straight).toBeCloseTo(1, 3);
  const ring = placed.rings[3]!;
  const off = Math.hypot(ring.at[0] - ring.foot[0], ring.at[1] - ring.foot[1]);
  expect(off).toBeCloseTo(12 * placed.scale, 6);
});

test('thickness is drawn larger, but never so that the blank swallows a ring', () => {
  const view = arc(60, 0, 8);
  const placed = layOutBent(view, SHEET)!;
  expect(placed.times).toBeGreaterThanOrEqual(1);
  for (const { ring } of placed.rings)
    expect((placed.times * diameterAt(view.outline, ring.fromButtMm)) / 2).toBeLessThan(12);
  const bare = layOutBent(arc(60, 0, 0), SHEET)!;
  expect(bare.times).toBeGreaterThanOrEqual(2);
});

test('every tight span has its words on the sheet, however many guides there are', () => {
  // Several beside one another: their words must make way and still be there.
  const tight = [1, 2, 3, 4, 30, 31, 32, 59];
  for (const side of [1, -1]) {
    const placed = layOutBent(arc(80, 0, 60, tight, side), SHEET)!;
    const written = placed.texts.filter((text) => text.tight);
    expect(written.map((text) => text.number).sort((a, b) => a - b)).toEqual(tight);
    for (const text of written) expect(text.text).toBe('tight, 0.4 mm');
    expect(placed.spans.filter((span) => span.tight)).toHaveLength(tight.length);
  }
});

test('no word stands on another', () => {
  for (const view of [arc(70, 0, 8, [3, 4]), arc(140, 45, 12, [0], -1), arc(60, 0, 60, [5, 6])]) {
    const all = boxes(layOutBent(view, SHEET)!);
    for (const [i, a] of all.entries())
      for (const b of all.slice(i + 1)) {
        const apart =
          a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
        expect(apart, `${a.text.text} on ${b.text.text}`).toBe(true);
      }
  }
});

test('the sheet holds still when a curve changes a little', () => {
  const [one, two] = [layOutBent(arc(60, 0, 8), SHEET)!, layOutBent(arc(60.4, 0, 8), SHEET)!];
  expect(two.scale).toBe(one.scale);
  expect(two.height).toBe(one.height);
  expect(two.butt).toEqual(one.butt);
});

test('without a curve nothing is drawn', () => {
  expect(layOutBent({ ...arc(60, 0, 8), axis: [] }, SHEET)).toBeNull();
  expect(layOutCurves([], [[0, 0]], SHEET)).toBeNull();
});

test('two curves are laid over one another to one scale', () => {
  const placed = layOutCurves(arc(60, 0, 0).axis, arc(30, 0, 0).axis, SHEET)!;
  expect(placed.before[0]).toEqual(placed.after[0]);
  expect(placed.height).toBeLessThanOrEqual(SHEET.height);
});

test('a spot is found along the curve by what lies nearest', () => {
  const corner: Spot[] = [
    [0, 0],
    [10, 0],
    [10, 30],
  ];
  expect(shareAlong(corner, [5, 3])).toBeCloseTo(5 / 40);
  expect(shareAlong(corner, [14, 20])).toBeCloseTo(30 / 40);
  expect(shareAlong(corner, [-9, -9])).toBe(0);
});

test('a guide stops 5 mm before its neighbours, the tip and the reel', () => {
  expect(roomOf([100, 220, 400], 1, 1700)).toEqual({ min: 105, max: 395 });
  expect(roomOf([100, 220, 400], 0, 1700)).toEqual({ min: 5, max: 215 });
  expect(roomOf([100, 220, 400], 2, 1700)).toEqual({ min: 225, max: 1695 });
  expect(roomOf([100, null, 400], 2, 1700)).toEqual({ min: 105, max: 1695 });
  // Where two stand nearer than that already, there is no way to go.
  expect(roomOf([100, 104, 106], 1, 1700)).toEqual({ min: 105, max: 105 });
});

test('a place is written in the unit of the workshop', () => {
  expect(placeText(412.04, false)).toBe('412.0 mm');
  expect(placeText(412.04, true)).toBe('16.222 in');
});

test('the scale bar is a round length in the builder’s unit', () => {
  expect(barOf(2134, false)).toEqual({ mm: 200, words: '200 mm' });
  expect(barOf(3000, false)).toEqual({ mm: 500, words: '500 mm' });
  expect(barOf(2134, true).words).toBe('10 in');
  expect(barOf(2134, true).mm).toBeCloseTo(254);
});

test('a tight clearance says so in words', () => {
  expect(clearanceWords('0.4 mm', true)).toBe('tight, 0.4 mm');
  expect(clearanceWords('touches the blank', true)).toBe('touches the blank');
  expect(clearanceWords('9.0 mm', false)).toBe('9.0 mm');
});
