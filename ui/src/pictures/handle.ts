// Drawings of the handle: seat, bands of tape, reel foot, rings, keeper, butt cap.

import {
  arrow,
  circle,
  dim,
  hatch,
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
import { blank, grip, seat } from './parts';

export const seatAgainstGrip = sheet(
  270,
  'The reel seat has come over the tip, dry, and stands against the front of the grip. A pencil marks its edge on the blank.',
  [
    blank(16, 464, 140, 48, 36),
    grip(16, 146, 140, 104, 84),
    seat(148, 336, 140, 66),
    line(340, 112, 340, 168, 'bold'),
    pen('body', 'M343 112L352 88L408 24L424 38L368 102Z'),
    pen('solid', 'M343 112L347 100L354 107Z'),
    arrow(312, 66, 206, 66),
    text('down to the grip', 176, 42),
    label('pencil mark', 396, 226, [340, 172]),
    text('grip', 76, 149),
    label('seat, dry', 210, 240, [230, 176]),
  ],
);

export const tapeBands = sheet(
  290,
  'A seat cut open over three level bands of tape. Between the bands the blank stays bare for resin, and a small gap is left over each band.',
  [
    rect('shade', 60, 48, 360, 26),
    rect('shade', 60, 206, 360, 26),
    blank(16, 464, 140, 84, 72),
    ...[76, 212, 348].flatMap((x) => [
      rect('body', x, 82, 56, 18),
      hatch(x, 82, 56, 18, 8),
      rect('body', x, 180, 56, 18),
      hatch(x, 180, 56, 18, 8),
    ]),
    label('seat, cut open', 250, 30, [300, 60]),
    label('tape', 70, 276, [92, 190]),
    label('bare: room for resin', 300, 276, [170, 190]),
    text('blank', 240, 150),
  ],
);

export const reelFootTrue = sheet(
  280,
  'Seen from above, a straight edge runs from the G ahead of the handle back over the reel’s foot. How far the middle of the foot lies off sideways is measured.',
  [
    grip(16, 96, 130, 96, 84),
    rect('body', 96, 92, 196, 76),
    blank(292, 464, 130, 46, 38, 'left'),
    pen(
      'shade',
      'M120 128Q126 112 150 110H238Q262 112 268 128Q262 146 238 146H150Q126 146 120 128Z',
    ),
    line(100, 128, 288, 128, 'unseen'),
    rect('body', 30, 140, 432, 11),
    line(388, 140, 452, 140, 'bold'),
    letter('G', 424, 98),
    dim(194, 128, 194, 140),
    label('off by so much', 190, 44, [194, 100]),
    label('reel’s foot', 110, 226, [140, 132]),
    label('straight edge', 350, 226, [340, 148]),
    text('seen from above', 240, 268),
  ],
);

export const keeperSide = sheet(
  280,
  'Seen from the butt, the guides stand at the G. The keeper stands a quarter turn from them, out of the line’s way.',
  [
    circle('body', 210, 128, 66),
    circle('line', 210, 128, 46),
    line(210, 194, 210, 214, 'bold'),
    circle('line', 210, 238, 24),
    letter('G', 164, 234),
    text('guides, line', 248, 254, 'start'),
    pen(
      'body',
      'M276 112H286Q318 112 318 134Q318 152 300 152V142Q308 140 306 132Q304 124 286 126H276Z',
    ),
    label('keeper', 350, 86, [312, 116], 'start'),
    turning(210, 128, 96, 66, 18),
    text('90°', 310, 206),
    text('from the butt', 90, 50),
  ],
);

export const ringOverFace = sheet(
  260,
  'A trim ring comes over the tip and slides down the blank until it lies on the front face of the part behind it.',
  [
    blank(16, 464, 130, 52, 36),
    pen('shade', 'M16 72H158V188H16Z'),
    pen('body', 'M272 92Q258 130 272 168H300Q314 130 300 92Z'),
    pen('shade', 'M286 106Q296 130 286 154'),
    arrow(244, 74, 172, 74),
    text('over the tip', 320, 66),
    label('the face it covers', 170, 232, [158, 164]),
    label('ring', 330, 214, [290, 162]),
    pen('unseen', 'M162 92V168M190 92V168M162 92H190M162 168H190'),
  ],
);

export const weightInCap = sheet(
  280,
  'A butt cap cut open: the weight lies at its bottom, packed in paper so that it cannot knock, and the cap closes flush with the grip.',
  [
    poly('shade', [
      [196, 70],
      [464, 84],
      [464, 184],
      [196, 198],
    ]),
    pen('body', 'M236 58H74Q30 58 30 134Q30 210 74 210H236V190H92Q66 190 66 134Q66 78 92 78H236Z'),
    hatch(74, 59, 160, 18, 10),
    hatch(74, 191, 160, 18, 10),
    rect('solid', 88, 112, 64, 44),
    pen(
      'line',
      'M84 98q8 8 16 0t16 0t16 0t16 0t16 0M84 170q8 -8 16 0t16 0t16 0t16 0t16 0M160 104q8 8 0 16t0 16t0 16t0 12M78 104q-6 8 0 16t0 16t0 16t0 8',
    ),
    line(196, 70, 196, 198, 'line'),
    text('grip', 350, 144),
    label('weight', 110, 32, [120, 120]),
    label('paper round it', 140, 258, [150, 172]),
    label('flush, no gap', 344, 36, [238, 70]),
  ],
);
