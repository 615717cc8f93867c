// Drawings of heat work. What can burn is drawn in rust, and its word stands beside it.

import { arrow, circle, dim, label, line, pen, rect, sheet, text, turning } from './draw';
import { blank, gun, hotAir, knife, person } from './parts';

export const gunOffSleeve = sheet(
  320,
  'The gun points at the middle of the sleeve with its nozzle 50 millimetres off. The gun moves to and fro all the time while the rod turns, until a ring at the middle lies tight.',
  [
    blank(14, 466, 238, 40, 32),
    pen(
      'shade',
      'M60 200Q190 200 220 212H262Q292 200 420 200V276Q292 276 262 264H220Q190 276 60 276Z',
    ),
    line(220, 212, 220, 264, 'fine'),
    line(262, 212, 262, 264, 'fine'),
    gun(241, 150, 90),
    hotAir(241, 154, 56, 90),
    dim(290, 151, 290, 210, true),
    line(258, 150, 302, 150, 'hurt'),
    text('50 mm off', 308, 178, 'start', true),
    dim(40, 136, 190, 136),
    text('keep moving', 116, 116),
    turning(60, 238, 62, 130, 230, 0.4),
    label('tight ring', 380, 312, [250, 268]),
    text('turn the rod', 110, 312),
  ],
);

export const heatToTheEnds = sheet(
  290,
  'From the tight ring at the middle the gun works to one end, then to the other, and drives the air out ahead of it. It stays off the bare blank.',
  [
    blank(14, 466, 150, 36, 30),
    pen(
      'shade',
      'M56 106Q140 108 176 122H306Q342 108 426 106V194Q342 192 306 178H176Q140 192 56 194Z',
    ),
    line(176, 122, 176, 178, 'fine'),
    line(306, 122, 306, 178, 'fine'),
    text('tight', 241, 159),
    arrow(190, 78, 70, 78),
    arrow(292, 78, 412, 78),
    text('first', 130, 58),
    text('then', 352, 58),
    pen('line', 'M50 130q-14 -8 -22 4M50 170q-14 8 -22 -4M432 130q14 -8 22 4M432 170q14 8 22 -4'),
    text('air out', 62, 232),
    label('bare blank: no heat', 240, 278, [446, 164], 'middle', true),
  ],
);

export const gunInStand = sheet(
  300,
  'The gun is switched off and stands nozzle up on bare metal. The nozzle stays hot. Somebody stays and watches while the clock runs.',
  [
    gun(130, 80, -90),
    hotAir(130, 74, 62, -90),
    rect('shade', 30, 226, 220, 16),
    line(14, 244, 466, 244, 'bold'),
    label('hot', 214, 62, [142, 92], 'middle', true),
    text('gun off', 236, 150),
    text('bare metal', 130, 276),
    person(344, 242),
    circle('body', 424, 84, 34),
    pen('bold', 'M424 84V62M424 84L440 92'),
    text('stay, and watch', 376, 276),
  ],
);

export const cardUnderCut = sheet(
  280,
  'A turn of thin metal lies on the blank under the end of the sleeve, so that the knife never meets the blank. The cut goes away from the hand.',
  [
    blank(16, 464, 176, 44, 36),
    pen('shade', 'M16 118H176Q190 118 196 128L204 140H258V212H204L196 224Q190 234 176 234H16Z'),
    rect('body', 214, 144, 132, 7),
    rect('body', 214, 201, 132, 7),
    line(214, 96, 214, 232, 'unseen'),
    knife(217, 138, 125),
    label('sharp', 96, 60, [224, 112], 'middle', true),
    label('thin metal', 390, 96, [320, 146]),
    label('blank stays whole', 350, 262, [380, 190]),
    text('sleeve', 96, 184),
  ],
);

export const tipTopWarmed = sheet(
  310,
  'Pliers hold the tip-top by its frame while the gun warms its tube. Its ring and hot adhesive burn; the blank lies one metre away.',
  [
    gun(150, 150, 0),
    hotAir(156, 150, 62),
    rect('body', 224, 138, 78, 24, 3),
    line(262, 138, 296, 96, 'bold'),
    line(296, 138, 306, 104, 'bold'),
    circle('body', 306, 82, 26),
    circle('line', 306, 82, 17),
    pen('shade', 'M322 62L328 52L474 94L470 106Z'),
    pen('shade', 'M322 98L328 108L474 58L470 46Z'),
    circle('solid', 386, 79, 6),
    label('tube', 214, 212, [262, 158]),
    text('pliers', 414, 140),
    label('hot', 214, 74, [246, 134], 'middle', true),
    blank(356, 466, 252, 24, 30, 'left'),
    text('blank', 420, 298),
    dim(230, 252, 352, 252, true),
    line(228, 236, 228, 268, 'hurt'),
    text('1 m away', 262, 292, 'middle', true),
  ],
);
