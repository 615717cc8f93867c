// Drawings of the guides: in line, under load, the line's clearance, feet and rings.

import {
  arrow,
  circle,
  dim,
  ellipse,
  label,
  line,
  pen,
  rect,
  right,
  sheet,
  text,
  turning,
  wrong,
} from './draw';
import { clamp, reel, weight } from './parts';

const rings = (x: number, off: number) => [
  line(x, 62, x, 214, 'unseen'),
  circle('line', x, 138, 74),
  circle('line', x, 138, 64),
  circle('line', x + off, 138, 44),
  circle('line', x + off, 138, 36),
  circle('line', x, 138, 20),
  circle('line', x, 138, 14),
  rect('solid', x - 5, 212, 10, 12),
];

export const ringsInLine = sheet(
  290,
  'Sighted from the butt, all rings stand one in the other on one line. Where one stands off, it is measured sideways from that line.',
  [
    rings(112, 0),
    text('from the butt', 112, 42),
    text('in line', 100, 264),
    right(162, 256),
    rings(352, 18),
    line(370, 84, 370, 232, 'fine'),
    dim(352, 236, 370, 236),
    text('one ring off', 352, 42),
    text('off', 352, 280),
    wrong(394, 272),
  ],
);

export const rodUnderLoad = sheet(
  320,
  'The handle is clamped with its reel on. The line runs from the reel through all guides and carries a weight. The tip’s height before, less its height now, says how far it went down.',
  [
    line(96, 118, 452, 22, 'unseen'),
    pen('body', 'M14 134L100 110Q330 40 408 152L402 156Q326 58 104 126L18 150Z'),
    clamp(64, 130, 312),
    reel(150, 112),
    line(164, 148, 206, 106, 'line'),
    line(206, 106, 284, 96, 'line'),
    line(284, 96, 352, 118, 'line'),
    line(352, 118, 398, 164, 'line'),
    circle('body', 206, 106, 11),
    circle('body', 284, 96, 9),
    circle('body', 352, 118, 8),
    circle('body', 400, 163, 7),
    weight(400, 170, 34),
    dim(452, 26, 452, 160),
    line(420, 160, 464, 160, 'fine'),
    text('tip before', 330, 30, 'end'),
    text('down', 444, 110, 'end'),
    label('line through all guides', 250, 292, [246, 103]),
    text('weight', 374, 232, 'end'),
  ],
);

export const lineClear = sheet(
  270,
  'The bent rod between two guides. The line runs straight from ring to ring and comes nearest to the blank in the middle; there the gap is measured.',
  [
    pen('body', 'M14 212Q240 92 466 212L466 244Q240 126 14 244Z'),
    line(76, 184, 80, 128, 'bold'),
    line(106, 173, 88, 128, 'bold'),
    ellipse('body', 84, 108, 11, 24),
    line(404, 184, 400, 128, 'bold'),
    line(374, 173, 392, 128, 'bold'),
    ellipse('body', 396, 108, 11, 24),
    line(14, 148, 84, 112, 'bold'),
    line(84, 112, 396, 112, 'bold'),
    line(396, 112, 466, 148, 'bold'),
    dim(240, 114, 240, 152),
    label('line', 160, 66, [180, 110]),
    text('nearest here', 300, 66),
    text('the blank, bent', 240, 250),
  ],
);

export const footRunOut = sheet(
  300,
  'A guide’s foot with a blunt end has a step at which the thread slips off. Filed on top to a slope that runs out thin, a fingernail slides up without a catch.',
  [
    rect('body', 14, 98, 400, 26),
    pen('shade', 'M120 98V76H340L366 28H392L366 98Z'),
    pen('bold', 'M92 98H118V78'),
    text('a step', 72, 68),
    wrong(446, 92),
    rect('body', 14, 228, 400, 26),
    pen('shade', 'M92 228L300 206H340L366 158H392L366 228Z'),
    arrow(84, 206, 206, 194),
    text('runs out thin', 130, 174),
    right(446, 222),
    label('file the top only', 250, 290, [260, 212]),
  ],
);

export const cottonInRing = sheet(
  290,
  'A strand of cotton is drawn all round the inside of the ring. At a chip or a crack it snags.',
  [
    circle('shade', 170, 140, 108),
    circle('body', 170, 140, 76),
    pen('bold', 'M206 72L212 62L218 54'),
    pen(
      'line',
      'M40 250Q120 226 126 194Q150 224 196 206Q244 190 240 142Q236 96 210 78Q244 56 284 84Q320 110 316 150',
    ),
    pen('line', 'M210 78l-14 12M212 76l2 18M208 76l-16 2'),
    turning(170, 140, 46, 140, 20),
    label('it snags', 360, 62, [226, 70]),
    text('all round', 170, 274),
    label('cotton', 396, 196, [316, 150]),
  ],
);
