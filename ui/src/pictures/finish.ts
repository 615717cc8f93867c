// Drawings of finish: the turner, measuring out, the coat, air, the blade along the thread.

import {
  arrow,
  circle,
  dim,
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
import { blank, brush, turns } from './parts';

const fan = (x: number, y: number) => [
  rect('body', x - 10, y - 60, 20, 120, 4),
  line(x, y - 46, x, y + 46, 'bold'),
];

export const stripInAir = sheet(
  280,
  'A strip of paper held at the wraps leans to the outlet: the air draws. Where it hangs straight down, the air stands still and nothing is opened.',
  [
    text('paper strip', 84, 40),
    circle('solid', 84, 70, 6),
    pen('body', 'M78 72Q88 122 150 158L158 146Q106 116 92 68Z'),
    fan(210, 130),
    arrow(150, 110, 192, 110),
    text('outlet', 196, 226),
    text('it leans', 76, 262),
    right(140, 254),
    circle('solid', 330, 70, 6),
    rect('body', 323, 72, 14, 96),
    fan(440, 130),
    text('it hangs: stop', 372, 262),
    wrong(386, 122),
    line(246, 40, 246, 262, 'fine'),
  ],
);

const rest = (x: number, y: number, floor: number) => [
  rect('shade', x - 7, y + 16, 14, floor - y - 16),
  pen(
    'body',
    `M${x - 24} ${y - 6}V${y + 10}Q${x} ${y + 30} ${x + 24} ${y + 10}V${y - 6}Q${x} ${y + 18} ${x - 24} ${y - 6}Z`,
  ),
];

export const rodInTurner = sheet(
  290,
  'The turner holds the butt and turns the rod, which lies level on padded rests, one each 500 millimetres. Sleeves and hair stay away from it.',
  [
    line(14, 232, 466, 232, 'bold'),
    rect('shade', 20, 84, 70, 148, 4),
    circle('body', 62, 124, 14),
    rect('body', 90, 104, 34, 40, 4),
    rest(196, 128, 232),
    rest(386, 126, 232),
    blank(124, 466, 124, 28, 14),
    turns(262, 296, 123, 26, 8),
    turns(424, 446, 122, 20, 7),
    turning(150, 124, 46, 130, 240, 0.5),
    dim(196, 184, 386, 184),
    text('500 mm', 291, 176),
    text('level', 330, 84),
    line(190, 98, 460, 98, 'unseen'),
    label('padded rest', 370, 274, [386, 156]),
    label('winds in hair', 150, 46, [146, 80], 'middle', true),
    text('and sleeves', 240, 46, 'start', true),
    text('turner', 54, 270),
  ],
);

const syringe = (x: number, level: number) => [
  rect('body', x - 25, 70, 50, 132),
  rect('shade', x - 25, level, 50, 202 - level),
  rect('solid', x - 25, level - 10, 50, 10),
  line(x, 34, x, level - 10, 'bold'),
  rect('body', x - 24, 26, 48, 10, 3),
  pen('body', `M${x - 8} 202V222H${x + 8}V202`),
  pen('fine', `M${x - 25} 96h14M${x - 25} 122h14M${x - 25} 148h14M${x - 25} 174h14`),
];

export const twoSyringes = sheet(
  280,
  'Resin and hardener are drawn into two marked syringes, each for one part alone. They are read with the eye at the level of the mark.',
  [
    syringe(110, 122),
    syringe(250, 122),
    text('resin', 110, 258),
    text('hardener', 250, 258),
    line(70, 122, 386, 122, 'unseen'),
    pen('line', 'M388 122Q414 96 444 122Q414 148 388 122Z'),
    circle('solid', 410, 122, 9),
    text('eye level', 400, 186),
    text('no air in it', 400, 60),
  ],
);

export const finishPastThread = sheet(
  290,
  'The brush is held still while the rod turns against it. The coat covers the thread and goes past both its ends on to the blank.',
  [
    blank(14, 466, 170, 72, 66),
    turns(140, 340, 170, 84, 10),
    pen(
      'shade',
      'M112 136Q118 116 140 116H340Q362 116 368 138L368 142Q352 126 340 126H140Q126 128 112 140Z',
    ),
    pen(
      'shade',
      'M112 204Q118 224 140 224H340Q362 224 368 202L368 198Q352 214 340 214H140Q126 212 112 200Z',
    ),
    brush(250, 118, 20),
    turning(430, 170, 56, 130, 230, 0.4),
    dim(112, 246, 140, 246),
    dim(340, 246, 368, 246),
    line(112, 208, 112, 254, 'fine'),
    line(140, 228, 140, 254, 'fine'),
    line(340, 228, 340, 254, 'fine'),
    line(368, 206, 368, 254, 'fine'),
    text('past both ends', 240, 282),
    text('brush held still', 16, 60, 'start'),
    text('rod turns', 420, 96),
  ],
);

export const finishLevelled = sheet(
  310,
  'With the rod stopped for a moment, a dry brush takes off the drop that hangs below, and the point of a needle opens a bubble. Then the rod turns on. No flame and no gun.',
  [
    blank(14, 466, 136, 56, 50),
    turns(110, 370, 136, 72, 10),
    pen(
      'shade',
      'M96 164Q104 178 130 176Q176 178 206 190Q230 222 254 190Q284 178 350 176Q376 178 384 164V158Q370 172 240 172Q110 172 96 158Z',
    ),
    brush(236, 208, 155),
    text('dry brush', 380, 230),
    text('takes the drop', 380, 260),
    circle('body', 180, 90, 15),
    line(186, 82, 236, 20, 'bold'),
    label('bubble', 74, 70, [172, 92]),
    text('needle', 300, 40),
    text('no flame,', 60, 244, 'middle', true),
    text('no gun', 60, 274, 'middle', true),
  ],
);

export const bladeFlat = sheet(
  270,
  'The blade lies flat along the thread with its edge up and takes off the fibre that stands. It is pushed away from the hand, never down into the wrap.',
  [
    blank(14, 466, 190, 64, 58),
    turns(120, 380, 190, 80, 10),
    pen('bold', 'M322 150Q330 120 318 96M330 150Q346 132 344 104'),
    rect('shade', 14, 108, 96, 36, 8),
    pen('body', 'M110 114H282L304 142H110Z'),
    pen('hurt', 'M110 114H282L304 142'),
    arrow(150, 84, 280, 84),
    text('away from the hand', 196, 62),
    label('edge up', 60, 246, [140, 116], 'middle', true),
    label('fibre', 420, 84, [344, 112]),
    text('flat on the thread', 280, 262),
  ],
);
