// The pen of the drawings: lines, shapes, arrows, measures and words. Pure data, in pixels of a sheet
// that is shown at its own size; Picture.svelte puts it on the screen.

/** How a line or an area looks. Rust, the `hurt` ones, is kept for what hurts. */
export type Look =
  'line' | 'bold' | 'fine' | 'unseen' | 'body' | 'shade' | 'solid' | 'hurt' | 'hurt-solid';

/** Width of each line. A hairline that has to be seen from a metre away has one pixel and a half. */
export const STROKE: Record<Look, number> = {
  line: 2.5,
  bold: 4,
  fine: 2,
  unseen: 2.2,
  body: 2.5,
  shade: 2.5,
  solid: 1.5,
  hurt: 3,
  'hurt-solid': 1.5,
};

/** Size of words, and of the letters that stand on the blank. */
export const TEXT = 26;
export const LETTER = 38;
/** How wide a letter is, on the average, as a part of its size. */
export const WIDE = 0.48;

export interface Stroke {
  d: string;
  look: Look;
}
export interface Words {
  words: string;
  x: number;
  y: number;
  anchor: 'start' | 'middle' | 'end';
  size: number;
  hurt: boolean;
}
/** Marks moved, and turned by degrees. */
export interface Group {
  marks: Mark[];
  x: number;
  y: number;
  turn: number;
}
export type Mark = Stroke | Words | Group;

export interface Picture {
  /** What is shown, for those who don't see it. */
  alt: string;
  width: number;
  height: number;
  marks: Mark[];
}

/** All sheets are equally wide. */
export const WIDTH = 480;

type Point = readonly [number, number];
type Marks = (Mark | Mark[])[];

export function sheet(height: number, alt: string, marks: Marks): Picture {
  return { alt, width: WIDTH, height, marks: marks.flat() };
}

const n = (value: number) => String(Math.round(value * 10) / 10);
const at = (x: number, y: number) => `${n(x)} ${n(y)}`;

export function pen(look: Look, d: string): Stroke {
  return { look, d };
}

export function poly(look: Look, points: Point[], closed = true): Stroke {
  const path = points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${at(x, y)}`).join('');
  return pen(look, closed ? `${path}Z` : path);
}

export function line(x1: number, y1: number, x2: number, y2: number, look: Look = 'line'): Stroke {
  return pen(look, `M${at(x1, y1)}L${at(x2, y2)}`);
}

export function rect(look: Look, x: number, y: number, w: number, h: number, r = 0): Stroke {
  if (r === 0) return pen(look, `M${at(x, y)}h${n(w)}v${n(h)}h${n(-w)}Z`);
  const corner = (dx: number, dy: number) => `a${n(r)} ${n(r)} 0 0 1 ${at(dx, dy)}`;
  return pen(
    look,
    `M${at(x + r, y)}h${n(w - 2 * r)}${corner(r, r)}v${n(h - 2 * r)}${corner(-r, r)}` +
      `h${n(2 * r - w)}${corner(-r, -r)}v${n(2 * r - h)}${corner(r, -r)}Z`,
  );
}

export function ellipse(look: Look, cx: number, cy: number, rx: number, ry: number): Stroke {
  const half = (dx: number) => `a${n(rx)} ${n(ry)} 0 1 0 ${n(dx)} 0`;
  return pen(look, `M${at(cx - rx, cy)}${half(2 * rx)}${half(-2 * rx)}Z`);
}

export function circle(look: Look, cx: number, cy: number, r: number): Stroke {
  return ellipse(look, cx, cy, r, r);
}

/** Slanting lines over a rectangle, each ended at its edge. */
export function hatch(x: number, y: number, w: number, h: number, step = 9, back = false): Stroke {
  let d = '';
  for (let c = step; c < w + h; c += step) {
    const [x1, y1] = c < h ? [0, c] : [c - h, h];
    const [x2, y2] = c < w ? [c, 0] : [w, c - w];
    const side = (px: number) => (back ? x + w - px : x + px);
    d += `M${at(side(x1), y + y1)}L${at(side(x2), y + y2)}`;
  }
  return pen('fine', d);
}

/** A point on a circle; degrees go clockwise from the right. */
function around(cx: number, cy: number, r: number, degrees: number): Point {
  const a = (degrees * Math.PI) / 180;
  return [cx + r * Math.cos(a), cy + r * Math.sin(a)];
}

function head(x: number, y: number, degrees: number, hurt: boolean): Stroke {
  const [bx, by] = around(x, y, 17, degrees + 180);
  const left = around(bx, by, 7, degrees + 90);
  const right = around(bx, by, 7, degrees - 90);
  return poly(hurt ? 'hurt-solid' : 'solid', [[x, y], left, right]);
}

function direction(x1: number, y1: number, x2: number, y2: number): number {
  return (Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI;
}

export function arrow(x1: number, y1: number, x2: number, y2: number, hurt = false): Mark[] {
  const turn = direction(x1, y1, x2, y2);
  const [ex, ey] = around(x2, y2, 12, turn + 180);
  return [line(x1, y1, ex, ey, hurt ? 'hurt' : 'bold'), head(x2, y2, turn, hurt)];
}

/** An arrow that goes round: from one angle to another, clockwise where the second is greater. */
export function turning(
  cx: number,
  cy: number,
  r: number,
  from: number,
  to: number,
  flat = 1,
): Mark[] {
  const way = to > from ? 1 : -1;
  const point = (degrees: number): Point => {
    const [x, y] = around(0, 0, r, degrees);
    return [cx + x * flat, cy + y];
  };
  const steps = Array.from({ length: 25 }, (_, i) =>
    point(from + ((to - from - way * 10) * i) / 24),
  );
  const [hx, hy] = point(to);
  const last = steps[23] ?? [cx, cy];
  return [poly('bold', steps, false), head(hx, hy, direction(last[0], last[1], hx, hy), false)];
}

/** A measure with arrow heads at both ends; where there is no room, they point in from outside. */
export function dim(x1: number, y1: number, x2: number, y2: number, hurt = false): Mark[] {
  const turn = direction(x1, y1, x2, y2);
  const look: Look = hurt ? 'hurt' : 'fine';
  if (Math.hypot(x2 - x1, y2 - y1) >= 44) {
    return [line(x1, y1, x2, y2, look), head(x1, y1, turn + 180, hurt), head(x2, y2, turn, hurt)];
  }
  const [ax, ay] = around(x1, y1, 30, turn + 180);
  const [bx, by] = around(x2, y2, 30, turn);
  return [
    line(ax, ay, x1, y1, look),
    line(x2, y2, bx, by, look),
    head(x1, y1, turn, hurt),
    head(x2, y2, turn + 180, hurt),
  ];
}

export function text(
  words: string,
  x: number,
  y: number,
  anchor: Words['anchor'] = 'middle',
  hurt = false,
): Words {
  return { words, x, y, anchor, size: TEXT, hurt };
}

/** A letter as it stands on the blank. */
export function letter(words: string, x: number, y: number): Words {
  return { words, x, y, anchor: 'middle', size: LETTER, hurt: false };
}

/** Words with a line to what they name. */
export function label(
  words: string,
  x: number,
  y: number,
  to: Point,
  anchor: Words['anchor'] = 'middle',
  hurt = false,
): Mark[] {
  const said = text(words, x, y, anchor, hurt);
  const [left, right] = extent(said);
  const [tx, ty] = to;
  const clamp = (value: number, least: number, most: number) =>
    Math.min(Math.max(value, least), most);
  const sx = clamp(tx, left - 5, right + 5);
  const sy = clamp(ty, y - TEXT * 0.85, y + 9);
  return [
    line(sx, sy, tx, ty, hurt ? 'hurt' : 'fine'),
    circle(hurt ? 'hurt-solid' : 'solid', tx, ty, 4),
    said,
  ];
}

/** Where words begin and end, as near as can be told without the font. */
export function extent({ words, x, anchor, size }: Words): [number, number] {
  const wide = words.length * size * WIDE;
  const left = anchor === 'start' ? x : anchor === 'end' ? x - wide : x - wide / 2;
  return [left, left + wide];
}

/** So it is right; not so. Both stand beside words that say it too. */
export function right(x: number, y: number): Stroke {
  return pen('bold', `M${at(x - 13, y)}l9 11l17 -24`);
}
export function wrong(x: number, y: number): Stroke {
  return pen('bold', `M${at(x - 11, y - 11)}l22 22m0 -22l-22 22`);
}

export function group(marks: Marks, x: number, y: number, turn = 0): Group {
  return { marks: marks.flat(), x, y, turn };
}
