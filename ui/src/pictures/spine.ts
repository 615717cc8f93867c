// Drawings of the spine: the scale, the trials, the mark.

import {
  arrow,
  circle,
  dim,
  ellipse,
  label,
  letter,
  line,
  pen,
  poly,
  rect,
  sheet,
  text,
  turning,
} from './draw';
import { blank, finger, grip } from './parts';

export const scaleRoundButt = sheet(
  270,
  'A paper strip with degrees is taped once round the butt. From its zero a pencil line runs along the blank to the tip.',
  [
    poly('body', [
      [70, 76],
      [462, 116],
      [462, 176],
      [70, 216],
    ]),
    ellipse('body', 70, 146, 26, 70),
    ellipse('line', 70, 146, 16, 48),
    pen('shade', 'M116 80.5Q146 146 116 211.5L166 206Q194 146 166 85.5Z'),
    pen('line', 'M120 92L146 92M128 114L146 114M131 146L172 146M128 178L146 178M120 200L146 200'),
    line(172, 146, 462, 146, 'bold'),
    label('zero', 210, 60, [160, 140]),
    text('pencil line to the tip', 320, 236),
    text('butt', 60, 250),
  ],
);

export const spineTrial = sheet(
  310,
  'The blank lies on two smooth supports and its middle is pressed down, by a hand’s width at most. It rolls until it is still, then the degrees on top are read; before each trial it is turned a quarter.',
  [
    line(60, 120, 420, 120, 'unseen'),
    pen('body', 'M24 112Q240 196 456 114L456 126Q240 218 24 134Z'),
    poly('shade', [
      [76, 144],
      [104, 252],
      [48, 252],
    ]),
    poly('shade', [
      [404, 142],
      [432, 252],
      [376, 252],
    ]),
    rect('body', 208, 146, 64, 18, 8),
    finger(240, 146),
    arrow(176, 66, 176, 122),
    dim(306, 122, 306, 166, true),
    text('a hand’s', 330, 46, 'start', true),
    text('width at most', 300, 76, 'start', true),
    line(306, 166, 262, 166, 'hurt'),
    label('read on top', 18, 56, [42, 116], 'start'),
    turning(240, 214, 30, 150, 20),
    text('a quarter turn before each', 240, 296),
  ],
);

export const spineMark = sheet(
  290,
  'Seen from the butt, T stands on top of the blank and G on the guide side. Both are carried 100 millimetres ahead of the handle, T as a stroke on top and G as a line along the guide side.',
  [
    circle('body', 92, 140, 56),
    circle('line', 92, 140, 38),
    line(92, 72, 92, 96, 'bold'),
    letter('T', 92, 62),
    line(92, 184, 92, 208, 'bold'),
    letter('G', 92, 244),
    text('from the butt', 92, 282),
    grip(196, 292, 140, 110, 92),
    blank(292, 466, 140, 50, 42, 'left'),
    line(404, 104, 404, 128, 'bold'),
    letter('T', 404, 98),
    line(330, 160, 446, 158, 'bold'),
    letter('G', 404, 204),
    dim(294, 60, 404, 60),
    text('100 mm', 348, 46),
    line(404, 48, 404, 66, 'fine'),
    line(293, 48, 293, 92, 'fine'),
    text('handle', 244, 148),
    text('guide side', 400, 240),
  ],
);
