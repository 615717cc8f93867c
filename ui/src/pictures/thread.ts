// Drawings of wrapping: the start, up the foot, the loop that draws the end through.

import { arrow, dim, label, line, pen, poly, sheet, text } from './draw';
import { blank, turns } from './parts';

/** The free end of a guide's foot, running out to the left, and the frame at its right. */
const foot = (x: number, y: number, long: number) => [
  poly('shade', [
    [x, y],
    [x + long, y - 26],
    [x + long + 30, y - 26],
    [x + long + 30, y],
  ]),
];

export const threadStart = sheet(
  300,
  'The thread’s end lies along the blank towards the foot. Five turns are wound over it, from the crossing towards the foot, which is four millimetres away.',
  [
    blank(14, 466, 160, 84, 80),
    foot(330, 120, 104),
    line(128, 150, 318, 146, 'bold'),
    pen('body', 'M128 112Q120 160 128 206H200Q192 160 200 112Z'),
    pen(
      'bold',
      'M132 116Q124 160 132 204M146 116Q138 160 146 204M160 116Q152 160 160 204M174 116Q166 160 174 204M188 116Q180 160 188 204',
    ),
    pen('bold', 'M190 116Q210 60 236 16'),
    text('from the spool', 250, 34, 'start'),
    label('five turns', 84, 70, [150, 108]),
    label('over its own end', 360, 70, [290, 147]),
    dim(130, 240, 330, 240),
    text('4 mm', 230, 274),
    text('foot', 420, 146),
    line(130, 208, 130, 250, 'fine'),
    line(330, 124, 330, 250, 'fine'),
  ],
);

export const threadUpFoot = sheet(
  300,
  'The turns lie one against the other up the slope of the foot, pushed together with a smooth rounded tool. A gap is unwound and wound anew.',
  [
    blank(14, 466, 190, 92, 88),
    poly('shade', [
      [150, 144],
      [360, 104],
      [440, 104],
      [440, 144],
    ]),
    ...Array.from({ length: 13 }, (_, i) => {
      const x = 70 + i * 14 + (i > 9 ? 22 : 0);
      const top = x < 150 ? 144 : 144 - (x - 150) * 0.19;
      return pen('bold', `M${x} ${top - 3}Q${x - 9} 190 ${x} 236`);
    }),
    pen('body', 'M284 150Q262 142 264 122Q268 106 290 108L390 40L404 58Z'),
    arrow(300, 178, 258, 178),
    text('push together', 330, 34, 'end'),
    label('a gap: unwind', 120, 78, [212, 150]),
    text('foot', 410, 134),
    label('turn against turn', 150, 286, [130, 232]),
  ],
);

export const threadLoop = sheet(
  300,
  'A loop of fine thread lies over the turns that are done and under the last ones, its eye to the frame. The thread’s end goes into the eye, and the loop is pulled out straight and draws it under the turns.',
  [
    blank(14, 466, 170, 92, 88),
    poly('shade', [
      [60, 124],
      [160, 96],
      [404, 96],
      [404, 124],
    ]),
    pen('bold', 'M404 124L420 40L436 36L440 124Z'),
    turns(74, 190, 162, 120, 14),
    pen('line', 'M30 176H310Q346 172 350 186Q346 200 310 196H30'),
    turns(190, 306, 157, 134, 14),
    pen('bold', 'M304 104Q376 126 336 186Q322 226 372 240'),
    arrow(120, 186, 30, 186),
    label('eye to the frame', 340, 282, [346, 190]),
    text('pull it straight', 110, 256),
    label('the last turns', 210, 44, [250, 92]),
    text('frame', 400, 28),
  ],
);
