// What is drawn again and again: the blank and its parts, tools, hands.

import { circle, group, hatch, line, pen, poly, rect, type Group, type Mark } from './draw';

/** The blank from the side, thinner to the right; an end that goes on is drawn broken off. */
export function blank(
  x1: number,
  x2: number,
  y: number,
  h1: number,
  h2: number,
  whole: 'none' | 'left' | 'right' | 'both' = 'none',
): Mark[] {
  const end = (x: number, h: number, up: boolean, cut: boolean) => {
    const way = up ? -1 : 1;
    if (!cut) return `L${x} ${y + (way * h) / 2}`;
    return `Q${x + h * 0.24} ${y - (way * h) / 4} ${x} ${y}T${x} ${y + (way * h) / 2}`;
  };
  const cutLeft = whole === 'none' || whole === 'right';
  const cutRight = whole === 'none' || whole === 'left';
  return [
    pen(
      'body',
      `M${x1} ${y - h1 / 2}L${x2} ${y - h2 / 2}${end(x2, h2, false, cutRight)}` +
        `L${x1} ${y + h1 / 2}${end(x1, h1, true, cutLeft)}Z`,
    ),
  ];
}

export function grip(x1: number, x2: number, y: number, h1: number, h2: number): Mark[] {
  const r = 14;
  return [
    pen(
      'shade',
      `M${x1 + r} ${y - h1 / 2}L${x2 - r} ${y - h2 / 2}Q${x2} ${y - h2 / 2} ${x2} ${y - h2 / 2 + r}` +
        `L${x2} ${y + h2 / 2 - r}Q${x2} ${y + h2 / 2} ${x2 - r} ${y + h2 / 2}` +
        `L${x1 + r} ${y + h1 / 2}Q${x1} ${y + h1 / 2} ${x1} ${y + h1 / 2 - r}` +
        `L${x1} ${y - h1 / 2 + r}Q${x1} ${y - h1 / 2} ${x1 + r} ${y - h1 / 2}Z`,
    ),
  ];
}

/** A reel seat: a tube, the hood at its left end, thread and nut at its right. */
export function seat(x1: number, x2: number, y: number, h: number): Mark[] {
  const thread = Array.from({ length: 6 }, (_, i) => x2 - 12 - i * 9);
  return [
    rect('body', x1, y - h / 2, x2 - x1, h),
    rect('shade', x1, y - h / 2 - 5, 30, h + 10, 4),
    ...thread.map((x) => line(x, y - h / 2, x - 4, y + h / 2, 'fine')),
    rect('shade', x2 - 92, y - h / 2 - 5, 24, h + 10, 3),
  ];
}

/** Tape wound round: hatched. */
export function tape(x: number, y: number, w: number, h: number): Mark[] {
  return [rect('body', x, y - h / 2, w, h), hatch(x, y - h / 2, w, h, 8)];
}

/** Turns of thread across the blank, one beside the other. */
export function turns(x1: number, x2: number, y: number, h: number, step = 9): Mark[] {
  const count = Math.round((x2 - x1) / step);
  const all = Array.from({ length: count }, (_, i) => x1 + i * step);
  return [
    rect('body', x1, y - h / 2, x2 - x1, h, 3),
    ...all.map((x) => line(x + step * 0.8, y - h / 2, x + step * 0.2, y + h / 2, 'line')),
  ];
}

/** A reel from the side, hanging by its foot from `x`, `y`. */
export function reel(x: number, y: number): Mark[] {
  return [
    rect('shade', x - 34, y, 68, 8, 3),
    rect('body', x - 7, y + 8, 14, 24),
    circle('body', x, y + 54, 27),
    circle('shade', x, y + 54, 9),
  ];
}

/** A hot-air gun with its nozzle's end at `x`, `y`; pointing right, or turned clockwise. */
export function gun(x: number, y: number, turn: number): Group {
  return group(
    [
      pen('body', 'M-96 16L-104 88Q-105 98 -114 98H-136Q-146 98 -144 88L-132 16Z'),
      rect('body', -146, -24, 104, 48, 12),
      poly('shade', [
        [-42, -16],
        [0, -10],
        [0, 10],
        [-42, 16],
      ]),
      line(-128, -8, -82, -8, 'fine'),
      line(-128, 3, -82, 3, 'fine'),
    ],
    x,
    y,
    turn,
  );
}

/** Hot air, going right from `x`, `y`, or turned clockwise. */
export function hotAir(x: number, y: number, long: number, turn = 0): Group {
  const wave = (from: number) => {
    let d = `M6 ${from}`;
    for (let done = 0; done + 14 <= long - 8; done += 14) d += 'q3.5 -6 7 0t7 0';
    return pen('hurt', d);
  };
  return group([wave(-13), wave(0), wave(13)], x, y, turn);
}

/** A gloved finger with its tip at `x`, `y`, pointing down, or turned clockwise. */
export function finger(x: number, y: number, turn = 0): Group {
  return group(
    [
      pen('body', 'M-17 -92V-17Q-17 0 0 0Q17 0 17 -17V-92'),
      pen('fine', 'M-9 -27Q-9 -8 0 -7Q9 -8 9 -27Q0 -33 -9 -27'),
      rect('shade', -24, -112, 48, 22, 5),
    ],
    x,
    y,
    turn,
  );
}

/** A gloved hand closed round something at `x`, `y`; the arm comes from below, or turned. */
export function fist(x: number, y: number, turn = 0): Group {
  const knuckles = [-40, -20, 0, 20];
  return group(
    [
      pen('body', 'M-40 14Q-42 50 -26 64V84H26V64Q42 50 40 14Z'),
      rect('shade', -32, 78, 64, 22, 5),
      ...knuckles.map((left) => rect('body', left, -30, 20, 58, 9)),
      pen('body', 'M40 30Q54 18 48 0Q42 -10 36 -2Q36 14 26 24Z'),
    ],
    x,
    y,
    turn,
  );
}

/** A cup on `y`, with what is in it. */
export function cup(x: number, y: number, w: number, h: number, full: number): Mark[] {
  const lean = w * 0.1;
  const level = y - h * full;
  const inset = lean * (1 - full);
  return [
    poly('body', [
      [x - w / 2, y - h],
      [x + w / 2, y - h],
      [x + w / 2 - lean, y],
      [x - w / 2 + lean, y],
    ]),
    poly('shade', [
      [x - w / 2 + inset, level],
      [x + w / 2 - inset, level],
      [x + w / 2 - lean, y],
      [x - w / 2 + lean, y],
    ]),
  ];
}

/** A cloth in folds, about 84 wide. */
export function cloth(x: number, y: number): Mark[] {
  return [
    pen(
      'body',
      `M${x - 42} ${y - 30}Q${x - 20} ${y - 46} ${x} ${y - 34}Q${x + 24} ${y - 48} ${x + 42} ${y - 28}` +
        `Q${x + 50} ${y} ${x + 40} ${y + 30}Q${x + 16} ${y + 44} ${x - 6} ${y + 34}` +
        `Q${x - 30} ${y + 44} ${x - 44} ${y + 26}Q${x - 50} ${y} ${x - 42} ${y - 30}Z`,
    ),
    pen(
      'fine',
      `M${x - 22} ${y - 36}Q${x - 12} ${y} ${x - 20} ${y + 34}M${x + 14} ${y - 38}Q${x + 22} ${y} ${x + 14} ${y + 36}`,
    ),
  ];
}

/** A cotton pad: a cloud. */
export function pad(x: number, y: number): Mark[] {
  return [
    pen(
      'body',
      `M${x - 36} ${y + 22}a20 20 0 0 1 -4 -36a22 22 0 0 1 32 -20a22 22 0 0 1 38 10a20 20 0 0 1 6 38` +
        `a20 20 0 0 1 -32 20a22 22 0 0 1 -40 -12Z`,
    ),
  ];
}

/** A clamp with its pads, closed on the butt at `y`, standing on a bench. */
export function clamp(x: number, y: number, floor: number): Mark[] {
  return [
    rect('shade', x - 34, y + 20, 68, floor - y - 20),
    rect('body', x - 38, y - 34, 76, 18, 3),
    rect('body', x - 38, y + 14, 76, 18, 3),
    line(x, y - 60, x, y - 34, 'bold'),
    line(x - 18, y - 60, x + 18, y - 60, 'bold'),
  ];
}

/** A weight on a loop that begins at `x`, `y`. */
export function weight(x: number, y: number, loop = 26): Mark[] {
  return [
    line(x, y, x, y + loop, 'line'),
    poly('solid', [
      [x - 15, y + loop],
      [x + 15, y + loop],
      [x + 23, y + loop + 40],
      [x - 23, y + loop + 40],
    ]),
  ];
}

/** A brush with the end of its hairs at `x`, `y`, handle up, or turned clockwise. */
export function brush(x: number, y: number, turn = 0): Group {
  return group(
    [
      pen('body', 'M-14 -40L-15 0H15L14 -40Z'),
      pen('fine', 'M-7 -38V-4M0 -38V-4M7 -38V-4'),
      rect('shade', -17, -62, 34, 24),
      pen('body', 'M-9 -62L-6 -150Q0 -158 6 -150L9 -62Z'),
    ],
    x,
    y,
    turn,
  );
}

/** A knife with the point of its blade at `x`, `y`, pointing right with the edge down, or turned. */
export function knife(x: number, y: number, turn = 0): Group {
  return group(
    [
      pen('body', 'M0 0L-26 -16H-92V8H-30Z'),
      pen('hurt', 'M0 0L-30 8H-92'),
      rect('shade', -182, -18, 92, 28, 8),
    ],
    x,
    y,
    turn,
  );
}

/** Somebody, standing on `y`. */
export function person(x: number, y: number): Mark[] {
  return [
    pen(
      'body',
      `M${x - 26} ${y}V${y - 66}Q${x - 26} ${y - 92} ${x} ${y - 92}Q${x + 26} ${y - 92} ${x + 26} ${y - 66}V${y}Z`,
    ),
    circle('body', x, y - 114, 20),
  ];
}
