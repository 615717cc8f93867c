// Where the lines of the bent rod go. Pure: millimetres in, pixels out. Down is down on the sheet too.

import type { BentRingView, BentView } from '../lib/generated/types';
import { textWidth } from './geometry';

export type Spot = readonly [number, number];

/** The sheet, in pixels. */
export interface Sheet {
  width: number;
  /** The rod takes no more than this from top to bottom. */
  height: number;
  /** The scale bar is in inches. */
  inches?: boolean;
}

export interface PlacedRing {
  ring: BentRingView;
  foot: Spot;
  at: Spot;
  /** Its place on the straight rod. */
  straight: Spot;
  /** Away from the blank, on the side of the ring; length 1. */
  out: Spot;
}

export interface PlacedSpan {
  from: Spot;
  to: Spot;
  tight: boolean;
}

export interface PlacedText {
  x: number;
  y: number;
  text: string;
  /** What it is of: the load, a guide's number on the straight rod or at its ring, a clearance. */
  of: 'load' | 'handle' | 'ring' | 'clearance';
  tight: boolean;
  /** Its number from the tip. */
  number: number;
  /** From where a thin line leads to it, where it stands off. */
  leader: Spot | null;
}

export interface PlacedBent {
  width: number;
  height: number;
  /** Pixels for a millimetre. */
  scale: number;
  /** How many times thicker than long the blank is drawn. */
  times: number;
  butt: Spot;
  straightTip: Spot;
  /** Square to the straight rod, on the side where it is bent to. */
  side: Spot;
  outline: string;
  axis: Spot[];
  rings: PlacedRing[];
  spans: PlacedSpan[];
  texts: PlacedText[];
  load: { from: Spot; to: Spot };
  bar: { x: number; y: number; length: number; words: string };
}

const LEFT = 34;
const TOP = 44;
/** For the arrow of the load with its words. */
const ARROW = 40;
const BELOW = ARROW + 34;
/** For the scale bar. */
const FOOT = 34;
/** The sheet grows in steps of the rod's length by this. */
const GRID = 16;
/** How thick the thickest place may be drawn, in pixels. */
const THICK = 16;
const THINNEST = 1.6;
export const TEXT = 14;
const HEIGHT = 15;

const add = (a: Spot, b: Spot, times = 1): Spot => [a[0] + b[0] * times, a[1] + b[1] * times];
const minus = (a: Spot, b: Spot): Spot => [a[0] - b[0], a[1] - b[1]];
const size = (a: Spot) => Math.hypot(a[0], a[1]);
function unit(a: Spot, otherwise: Spot = [1, 0]): Spot {
  const long = size(a);
  return long > 1e-9 ? [a[0] / long, a[1] / long] : otherwise;
}
/** A quarter turn, from along the rod to below it. */
const square = (a: Spot): Spot => [-a[1], a[0]];

/** Lengths along a line up to each of its points. */
function lengths(points: readonly Spot[]): number[] {
  let run = 0;
  return points.map((point, i) => (run += i === 0 ? 0 : size(minus(point, points[i - 1]!))));
}

/** The diameter at a place, on the straight line between two measurements. */
export function diameterAt(outline: readonly Spot[], at: number): number {
  const after = outline.findIndex(([place]) => place >= at);
  if (after <= 0) return outline.at(after)?.[1] ?? 0;
  const [a, b] = [outline[after - 1]!, outline[after]!];
  return a[1] + ((b[1] - a[1]) * (at - a[0])) / Math.max(b[0] - a[0], 1e-9);
}

/** How far along a line its nearest point to a spot lies, as a share of the whole line. */
export function shareAlong(points: readonly Spot[], spot: Spot): number {
  const runs = lengths(points);
  const whole = runs.at(-1) ?? 0;
  let best = { off: Infinity, run: 0 };
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const [along, to] = [minus(b, a), minus(spot, a)];
    const square = along[0] ** 2 + along[1] ** 2;
    const t = square > 0 ? (along[0] * to[0] + along[1] * to[1]) / square : 0;
    const held = Math.min(Math.max(t, 0), 1);
    const off = size(minus(spot, add(a, along, held)));
    if (off < best.off) best = { off, run: runs[i - 1]! + held * Math.sqrt(square) };
  }
  return whole > 0 ? best.run / whole : 0;
}

/** A round length for the scale bar, about a fifth of the rod: in mm, and in words. */
export function barOf(lengthMm: number, inches: boolean): { mm: number; words: string } {
  const one = inches ? 25.4 : 1;
  const raw = lengthMm / one / 5;
  const ten = 10 ** Math.floor(Math.log10(Math.max(raw, 1)));
  const round = ([5, 2, 1].find((times) => times * ten <= raw) ?? 1) * ten;
  return { mm: round * one, words: `${round} ${inches ? 'in' : 'mm'}` };
}

/**
 * How many times thicker the blank is drawn: enough to be seen, and never so much that the blank
 * swallows a ring.
 */
function thicker(bent: BentView, scale: number): number {
  const most = Math.max(...bent.outline.map(([, across]) => across), 1);
  let times = THICK / (most * scale);
  for (const { fromButtMm, heightMm } of bent.rings) {
    const radius = diameterAt(bent.outline, fromButtMm) / 2;
    if (radius > 0 && Math.abs(heightMm) > radius)
      times = Math.min(times, (0.8 * Math.abs(heightMm)) / radius);
  }
  return Math.max(1, Math.floor(times));
}

interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}
const meets = (a: Box, b: Box) =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

/** Lays the rod out, straight and bent to one scale; null where there is no curve. */
export function layOutBent(bent: BentView, sheet: Sheet): PlacedBent | null {
  if (bent.axis.length < 2) return null;
  const width = Math.max(sheet.width, 280);
  const every: Spot[] = [[0, 0], bent.straight, ...bent.axis];
  for (const ring of bent.rings) every.push(ring.foot, ring.ring);
  // In coarse steps, so that the sheet holds still while a guide is dragged.
  const step = Math.max(bent.lengthMm / GRID, 1);
  const spread = (i: 0 | 1) => {
    const values = every.map((spot) => spot[i]);
    const low = Math.floor(Math.min(...values) / step + 0.3) * step;
    return [Math.min(low, 0), Math.ceil(Math.max(...values) / step - 0.3) * step] as const;
  };
  const [x0, x1] = spread(0);
  const [y0, y1] = spread(1);
  const scale = Math.min(
    (width - 2 * LEFT) / Math.max(x1 - x0, 1),
    Math.max(sheet.height - TOP - BELOW - FOOT, 80) / Math.max(y1 - y0, 1),
  );
  const px = ([x, y]: Spot): Spot => [LEFT + (x - x0) * scale, TOP + (y - y0) * scale];
  const axis = bent.axis.map(px);
  const times = thicker(bent, scale);
  const butt = px([0, 0]);
  const straightTip = px(bent.straight);
  const direction = unit(minus(straightTip, butt));
  const onStraight = (mm: number): Spot => add(butt, direction, mm * scale);

  const rings = bent.rings.map((ring): PlacedRing => {
    const [foot, at] = [px(ring.foot), px(ring.ring)];
    const out = unit(minus(at, foot), square(direction));
    return { ring, foot, at, straight: onStraight(ring.fromButtMm), out };
  });
  const spans = rings.slice(1).map((to, i): PlacedSpan => {
    const from = rings[i]!;
    return { from: from.at, to: to.at, tight: to.ring.tight };
  });
  const tip = rings.at(-1)?.at ?? axis.at(-1)!;
  const end = add(tip, unit(bent.pull, [0, 1]), ARROW);
  const lowest = TOP + (y1 - y0) * scale + BELOW;
  const bar = barOf(bent.lengthMm, sheet.inches ?? false);
  const placed: PlacedBent = {
    width,
    height: lowest + FOOT,
    scale,
    times,
    butt,
    straightTip,
    side: square(direction),
    outline: outlined(axis, bent, scale * times),
    axis,
    rings,
    spans,
    texts: [],
    load: { from: tip, to: end },
    bar: { x: LEFT, y: lowest + 14, length: bar.mm * scale, words: bar.words },
  };
  placed.texts = written(placed, bent.load);
  return placed;
}

function outlined(axis: readonly Spot[], bent: BentView, scale: number): string {
  const runs = lengths(axis);
  const whole = Math.max(runs.at(-1) ?? 0, 1e-9);
  const edge = (side: 1 | -1) =>
    axis.map((spot, i): Spot => {
      const along = unit(minus(axis[Math.min(i + 1, axis.length - 1)]!, axis[Math.max(i - 1, 0)]!));
      const across = diameterAt(bent.outline, (runs[i]! / whole) * bent.lengthMm) * scale;
      return add(spot, square(along), (side * Math.max(across, THINNEST)) / 2);
    });
  return `${path([...edge(1), ...edge(-1).reverse()])}Z`;
}

/** A line through points, as an SVG path. */
export function path(points: readonly Spot[]): string {
  return points
    .map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`)
    .join('');
}

/** The words of a clearance: a tight one says so. */
export const clearanceWords = (clearance: string, tight: boolean) =>
  tight && /^[\d.−-]/.test(clearance) ? `tight, ${clearance}` : clearance;

/**
 * Writes what fits: the clearance of every tight span always, then the guides' numbers, then the
 * other clearances. Nothing is written over another word as long as there is room elsewhere.
 */
function written(placed: PlacedBent, load: string): PlacedText[] {
  // The handles stand in front of everything.
  const taken = placed.rings.flatMap(({ ring, straight: [x, y] }): Box[] =>
    ring.number ? [{ x: x - 9, y: y - 11, width: 18, height: 22 }] : [],
  );
  const lines: Spot[] = [placed.axis, dots(placed.butt, placed.straightTip)].flat();
  for (const span of placed.spans) lines.push(...dots(span.from, span.to));
  const texts: PlacedText[] = [];
  const up: Spot = add([0, 0], placed.side, -1);

  const boxOf = (middle: Spot, text: string): Box => {
    const wide = textWidth(text, TEXT) + 4;
    return { x: middle[0] - wide / 2, y: middle[1] - HEIGHT / 2, width: wide, height: HEIGHT };
  };
  const cost = (box: Box): number => {
    let sum = 0;
    if (box.x < 0 || box.x + box.width > placed.width || box.y < 0) sum += 1000;
    if (box.y + box.height > placed.bar.y - 8) sum += 1000;
    for (const other of taken) if (meets(box, other)) sum += 100;
    for (const [x, y] of lines)
      if (x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height) sum += 1;
    return sum;
  };
  const put = (
    from: Spot,
    outs: Spot[],
    steps: number[],
    always: boolean,
    text: Omit<PlacedText, 'x' | 'y' | 'leader'>,
    most = 99,
  ) => {
    let best: { box: Box; middle: Spot; cost: number; off: number } | null = null;
    for (const off of steps)
      for (const out of outs) {
        const wide = (textWidth(text.text, TEXT) / 2) * Math.abs(out[0]);
        const middle = add(from, out, off + wide);
        const box = boxOf(middle, text.text);
        const price = cost(box);
        if (!best || price < best.cost) best = { box, middle, cost: price, off };
        if (price === 0) break;
      }
    if (!best || (!always && best.cost > most)) return;
    taken.push(best.box);
    const leader = best.off > steps[0]! ? from : null;
    texts.push({ ...text, x: best.middle[0], y: best.middle[1] + 5, leader });
  };

  const clearance = (i: number, always: boolean) => {
    const ring = placed.rings[i]!;
    const before = placed.rings[i - 1]!;
    const words = clearanceWords(ring.ring.clearance ?? '', ring.ring.tight);
    if (words === '') return;
    const middle: Spot = [(ring.at[0] + before.at[0]) / 2, (ring.at[1] + before.at[1]) / 2];
    const outs: Spot[] = [ring.out, [-ring.out[0], -ring.out[1]]];
    const steps = always ? Array.from({ length: 14 }, (_, n) => 13 + n * 11) : [13, 20];
    const tight = ring.ring.tight;
    const text = { text: words, of: 'clearance' as const, tight, number: ring.ring.number ?? 0 };
    put(middle, always ? outs : outs.slice(0, 1), steps, always, text, 0);
  };
  const said = { text: load, of: 'load' as const, tight: false, number: 0 };
  const { from, to } = placed.load;
  lines.push(...dots(from, to));
  put(
    to,
    [unit(minus(to, from)), [1, 0], [-1, 0], [0.9, 0.44], [-0.9, 0.44]],
    [12, 24],
    true,
    said,
  );
  const tight = placed.rings.flatMap((ring, i) => (i > 0 && ring.ring.tight ? [i] : []));
  for (const i of tight) clearance(i, true);
  for (const ring of placed.rings) {
    const number = ring.ring.number;
    if (number === null || number === 0) continue;
    const text = { text: String(number), tight: false, number };
    put(ring.straight, [up], [21], false, { ...text, of: 'handle' }, 0);
    put(ring.at, [ring.out], [11], false, { ...text, of: 'ring' });
  }
  placed.rings.forEach((ring, i) => {
    if (i > 0 && !ring.ring.tight) clearance(i, false);
  });
  return texts;
}

/** Points on a line, near enough to one another that no word slips between them. */
function dots(from: Spot, to: Spot): Spot[] {
  const many = Math.max(1, Math.ceil(size(minus(to, from)) / 6));
  return Array.from({ length: many + 1 }, (_, n) => add(from, minus(to, from), n / many));
}

/** The least distance of two guides while one is dragged, in mm. */
export const APART = 5;

/**
 * How far a guide may go, in mm from the tip: between its neighbours, the tip and the reel. `null`
 * among the places is a guide whose place is not known.
 */
export function roomOf(
  places: readonly (number | null)[],
  index: number,
  lastMm: number,
): { min: number; max: number } {
  const before = places.slice(0, index).findLast((place) => place !== null) ?? 0;
  const after = places.slice(index + 1).find((place) => place !== null) ?? lastMm;
  return { min: before + APART, max: Math.max(after - APART, before + APART) };
}

/** A place along the rod as it is written into the draft. */
export const placeText = (mm: number, inches: boolean) =>
  inches ? `${(mm / 25.4).toFixed(3)} in` : `${mm.toFixed(1)} mm`;

/** A place along the rod as it is said. */
export const placeSaid = (mm: number, inches: boolean) =>
  inches ? `${(mm / 25.4).toFixed(1)} in` : `${mm.toFixed(0)} mm`;

/** Two curves laid over one another to one scale; null where either is missing. */
export function layOutCurves(
  before: readonly Spot[],
  after: readonly Spot[],
  sheet: { width: number; height: number },
): { before: Spot[]; after: Spot[]; height: number } | null {
  if (before.length < 2 || after.length < 2) return null;
  const every = [...before, ...after];
  const [xs, ys] = [every.map(([x]) => x), every.map(([, y]) => y)];
  const [x0, y0] = [Math.min(...xs), Math.min(...ys)];
  const [wide, high] = [Math.max(...xs) - x0, Math.max(...ys) - y0];
  const margin = 8;
  const scale = Math.min(
    (sheet.width - 2 * margin) / Math.max(wide, 1),
    (sheet.height - 2 * margin) / Math.max(high, 1),
  );
  const px = ([x, y]: Spot): Spot => [margin + (x - x0) * scale, margin + (y - y0) * scale];
  return { before: before.map(px), after: after.map(px), height: high * scale + 2 * margin };
}
