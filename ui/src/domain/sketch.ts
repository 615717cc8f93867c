// Where the lines of a figure's drawing go: one side of the rod cut open, the gap enlarged.

import type { SectionView } from '../lib/generated/types';

export interface Frame {
  width: number;
  height: number;
}

export interface CutOpen {
  /** Outlines as SVG paths; empty where there is nothing to draw. */
  blank: string;
  part: string;
  bore: string;
  goal: string;
  /** Each with its outline, which follows the blank. */
  bands: { path: string; label: string }[];
  marks: { x: number; label: string; row: number }[];
  /** How many times more across than along. */
  times: number;
  /** Both ends, in mm from the butt. */
  from: number;
  to: number;
}

const MARGIN = 12;
/** Room above for the words at marks and bands. */
const WORDS = 46;
const LETTER = 8;

type Point = readonly [number, number];

function spread(values: number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

function path(points: Point[]): string {
  return points
    .map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`)
    .join('');
}

/** The value at a place, straight between two points; beyond the ends, that of the end. */
function valueAt(points: [number, number][], at: number): number {
  const after = points.findIndex(([place]) => place >= at);
  const [b, a] = [points[after], points[after - 1]];
  if (!b) return points.at(-1)?.[1] ?? 0;
  if (!a || b[0] === a[0]) return b[1];
  return a[1] + ((at - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
}

/** Lays out the cut; null where the blank was not measured there. */
export function cutOpen(section: SectionView, frame: Frame): CutOpen | null {
  if (section.blank.length < 2) return null;
  const places = [...section.blank, ...section.bore, ...section.outside].map(([at]) => at);
  const [from, to] = spread(places);
  const inner = [...section.blank, ...section.bore, ...section.goal].map(([, d]) => d / 2);
  const [low, high] = spread(inner);
  // The blank and the part are cut off: what matters lies between them.
  const span = Math.max(high - low, 0.2);
  const bottom = low - span * 0.35;
  const top = high + span * 0.5;
  const x = (at: number) =>
    MARGIN + ((at - from) / Math.max(to - from, 1e-9)) * (frame.width - 2 * MARGIN);
  const y = (diameter: number) =>
    frame.height - ((diameter / 2 - bottom) / (top - bottom)) * (frame.height - WORDS);
  const line = (points: [number, number][]): Point[] => points.map(([at, d]) => [x(at), y(d)]);

  const closed = (points: Point[], edge: number): string => {
    const first = points[0];
    const last = points.at(-1);
    if (!first || !last) return '';
    return `${path(points)}L${last[0].toFixed(1)} ${edge}L${first[0].toFixed(1)} ${edge}Z`;
  };
  const bands = section.bands.map(([begins, ends, label]) => {
    const between = section.blank.map(([at]) => at).filter((at) => at > begins && at < ends);
    const places = [begins, ...between, ends];
    const under = places.map((at): Point => [x(at), y(valueAt(section.blank, at))]);
    // Roughening lies on the blank; tape and bushings fill the gap.
    const fills = label !== 'roughen' && section.bore.length > 0;
    const over = places.map((at, i): Point => {
      const foot = under[i]![1];
      return [x(at), fills ? Math.min(y(valueAt(section.bore, at)), foot - 4) : foot - 7];
    });
    return { path: `${path([...under, ...over.reverse()])}Z`, label };
  });
  // Words that would run into each other stand in a second row.
  let taken = -Infinity;
  const marks = [...section.marks]
    .sort((a, b) => a[0] - b[0])
    .map(([at, label]) => {
      const here = x(Math.min(Math.max(at, from), to));
      const row = here - (label.length * LETTER) / 2 < taken ? 1 : 0;
      if (row === 0) taken = here + (label.length * LETTER) / 2;
      return { x: here, label, row };
    });
  const across = (frame.height - WORDS) / (top - bottom);
  const along = (frame.width - 2 * MARGIN) / Math.max(to - from, 1e-9);
  return {
    blank: closed(line(section.blank), frame.height),
    part: section.bore.length > 0 ? closed(line(section.bore), WORDS) : '',
    bore: path(line(section.bore)),
    goal: path(line(section.goal)),
    bands,
    marks,
    times: Math.max(1, Math.round(across / along)),
    from,
    to,
  };
}

/** Where a moment stands on a line that runs from now to the last of them, 0 to 1. */
export function alongTime(minutes: number, last: number): number {
  if (last <= 0) return 0;
  return Math.min(Math.max(minutes / last, 0), 1);
}
