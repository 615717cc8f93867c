// Where the lines of a rod's drawing go. Pure: millimetres in, pixels out.

import type { DrawnPart, Drawing } from '../lib/generated/types';

/** The sheet a rod is drawn on, in pixels. */
export interface Frame {
  /** Width of the sheet. */
  width: number;
  /** Bare margin at both ends. */
  margin: number;
  /** Length in millimetres that fills the sheet: the longest rod's, where several are compared. */
  fullMm: number;
  /** Height that the thickest place may take. */
  thick: number;
}

export interface Point {
  x: number;
  /** Half the drawn thickness. */
  half: number;
}

export interface PlacedPart {
  part: DrawnPart;
  x: number;
  width: number;
  height: number;
}

export interface Placed {
  /** Pixels for a millimetre along the rod. */
  scale: number;
  /** How many times thicker than long the diameters are drawn. */
  times: number;
  /** Left end (butt) and right end (tip). */
  butt: number;
  tip: number;
  measured: Point[];
  /** Outline between the first and the last measurement, as an SVG path. */
  outline: string;
  /** From the ends to the nearest measurement: assumed, not measured. */
  assumed: string;
  joins: number[];
  parts: PlacedPart[];
  /** Guides as strokes from the blank to the side they sit on; their height is not to scale. */
  guides: { x: number; from: number; to: number }[];
  /** Height of the thickest place as drawn. */
  height: number;
}

/** A guide's stroke, in pixels. */
const SHORTEST = 6;
const LONGEST = 14;

/** Below this a line would vanish. */
const THINNEST = 2;

/** Lays a rod out on a sheet, its middle line at y = 0. */
export function layOut(drawing: Drawing, frame: Frame): Placed {
  const full = Math.max(frame.fullMm, drawing.lengthMm, 1);
  const scale = Math.max(frame.width - 2 * frame.margin, 1) / full;
  const diameters = [...drawing.outline, ...drawing.parts].map((at) => at.diameterMm);
  const thickest = Math.max(...diameters, 1);
  const times = Math.max(1, Math.floor(frame.thick / (thickest * scale)));
  const along = (mm: number) => frame.margin + mm * scale;
  const across = (mm: number) => Math.max(mm * scale * times, THINNEST);

  const measured = drawing.outline.map((at) => ({
    x: along(at.fromButtMm),
    half: across(at.diameterMm) / 2,
  }));
  const butt = along(0);
  const tip = along(drawing.lengthMm);
  const first = measured[0];
  const last = measured.at(-1);
  const ends: Point[][] = [];
  if (first && first.x - butt > 0.5) ends.push([{ x: butt, half: first.half }, first]);
  if (last && tip - last.x > 0.5) ends.push([last, { x: tip, half: last.half }]);
  const halfAt = (x: number) => {
    const after = measured.findIndex((point) => point.x >= x);
    const [a, b] = [measured[Math.max(after - 1, 0)], measured.at(after)];
    if (!a || !b) return THINNEST / 2;
    if (after <= 0 || b.x <= a.x) return b.half;
    return a.half + ((b.half - a.half) * (x - a.x)) / (b.x - a.x);
  };
  return {
    scale,
    times,
    butt,
    tip,
    measured,
    outline: closed(measured),
    assumed: ends.map(closed).join(''),
    joins: drawing.joinsMm.map(along),
    parts: drawing.parts.map((part) => ({
      part,
      x: along(part.fromMm),
      width: Math.max((part.toMm - part.fromMm) * scale, THINNEST),
      height: across(part.diameterMm),
    })),
    guides: drawing.guides.map(({ fromButtMm, heightMm }) => {
      const x = along(fromButtMm);
      const side = heightMm < 0 ? -1 : 1;
      const long = Math.min(Math.max(Math.abs(heightMm) * scale, SHORTEST), LONGEST);
      return { x, from: side * halfAt(x), to: side * (halfAt(x) + long) };
    }),
    height: across(thickest),
  };
}

function closed(points: Point[]): string {
  if (points.length < 2) return '';
  const spot = (x: number, y: number) => `${x.toFixed(1)} ${y.toFixed(1)}`;
  const upper = points.map((p) => spot(p.x, -p.half));
  const lower = [...points].reverse().map((p) => spot(p.x, p.half));
  return `M${[...upper, ...lower].join('L')}Z`;
}

export interface Label {
  /** Where its leader stands. */
  x: number;
  /** Width of its text. */
  width: number;
}

export interface Flag {
  /** Where its leader stands; moved a little where two would stand on one another. */
  x: number;
  /** Left edge of the text. */
  left: number;
  /** Row, counted from the rod outwards. */
  row: number;
  /** It flies to the left, below the rod, because to the right the sheet ends. */
  below: boolean;
}

const GAP = 12;

/**
 * Places labels like flags on their leaders so that no two overlap and no leader crosses a label:
 * taken from the far end, a flag flies over everything that stands nearer the tip. What would run
 * off the sheet flies the other way, below the rod.
 */
export function flags(labels: Label[], width: number): Flag[] {
  const placed: Flag[] = labels.map(({ x }) => ({ x, left: x, row: 0, below: false }));
  const order = labels.map((_, i) => i).sort((a, b) => labels[a]!.x - labels[b]!.x || a - b);
  for (let i = 1; i < order.length; i += 1) {
    const before = placed[order[i - 1]!]!;
    const here = placed[order[i]!]!;
    here.x = Math.max(here.x, before.x + GAP);
  }
  for (const i of order) {
    const flag = placed[i]!;
    flag.below = flag.x + labels[i]!.width > width && flag.x - labels[i]!.width >= 0;
    if (flag.below) flag.left = flag.x - labels[i]!.width;
    else flag.left = Math.max(0, Math.min(flag.x, width - labels[i]!.width));
  }
  stack(
    [...order].reverse().filter((i) => !placed[i]!.below),
    placed,
    labels,
  );
  stack(
    order.filter((i) => placed[i]!.below),
    placed,
    labels,
  );
  return placed;
}

/** Gives each the lowest row above everything it overlaps. */
function stack(order: number[], placed: Flag[], labels: Label[]): void {
  const settled: number[] = [];
  for (const i of order) {
    const here = placed[i]!;
    const right = here.left + labels[i]!.width + GAP;
    for (const j of settled) {
      const there = placed[j]!;
      const overlaps = here.left < there.left + labels[j]!.width + GAP && there.left < right;
      if (overlaps) here.row = Math.max(here.row, there.row + 1);
    }
    settled.push(i);
  }
}

/** About how wide a text runs in Source Sans at a size in pixels; rather too wide than too narrow. */
export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const sign of text) {
    if (/[ilj.,:;'|!()·]/.test(sign)) ems += 0.3;
    else if (/[mwMW%@—]/.test(sign)) ems += 0.88;
    else if (/[A-Z]/.test(sign)) ems += 0.64;
    else if (sign === ' ') ems += 0.22;
    else ems += 0.53;
  }
  return ems * size;
}
