// Drawings of the finished rod: its balance, how it is held, where it is not carried.

import { circle, dim, label, line, pen, rect, right, sheet, text, wrong } from './draw';
import { blank, fist, grip, person, reel } from './parts';

export const rodInLoop = sheet(
  290,
  'The rod with its reel hangs level in one soft loop. Butt and tip are equally high over the floor, and the loop’s place is measured from the butt.',
  [
    rect('shade', 226, 8, 52, 10),
    line(252, 18, 252, 92, 'bold'),
    blank(40, 466, 118, 14, 8, 'both'),
    grip(24, 112, 118, 40, 34),
    grip(176, 226, 118, 32, 24),
    reel(134, 126),
    pen('bold', 'M252 92Q238 116 252 138Q266 116 252 92'),
    line(14, 250, 466, 250, 'bold'),
    dim(34, 142, 34, 248),
    dim(440, 126, 440, 248),
    text('equally high', 330, 220),
    dim(24, 76, 250, 76),
    text('from the butt', 130, 58),
    label('soft loop', 360, 50, [255, 80]),
    line(24, 64, 24, 96, 'fine'),
  ],
);

export const belowUpright = sheet(
  320,
  'A rod lifted at a slant bends along its whole length. A rod lifted past upright breaks; its splinters and the weight fly.',
  [
    pen('bold', 'M46 226L104 128Q150 60 222 96'),
    line(222, 96, 222, 186, 'line'),
    circle('solid', 222, 192, 7),
    fist(62, 198, 30),
    text('at a slant', 150, 308),
    right(228, 298),
    line(342, 44, 342, 236, 'unseen'),
    text('upright', 342, 30),
    pen('hurt', 'M344 210L318 96M306 92l6 -10l6 10l8 -12'),
    pen('hurt', 'M318 66l8 8l4 -10l10 6M334 62Q388 62 412 112'),
    line(412, 112, 412, 186, 'line'),
    circle('solid', 412, 192, 7),
    fist(342, 180),
    label('breaks', 270, 62, [314, 78], 'end', true),
    text('past upright', 340, 312, 'middle', true),
    wrong(438, 304),
  ],
);

export const offPowerLines = sheet(
  300,
  'Somebody carries the rod level and taken down, 30 metres or more from an overhead power line, measured along the ground.',
  [
    line(14, 250, 466, 250, 'bold'),
    person(76, 248),
    pen('bold', 'M22 196H158M22 206H158'),
    rect('shade', 392, 36, 12, 214),
    line(358, 60, 438, 60, 'bold'),
    pen('hurt', 'M362 60Q420 96 466 88M434 60Q452 72 466 70'),
    pen('hurt-solid', 'M340 84L318 122H334L322 156L354 112H338L350 84Z'),
    dim(106, 228, 388, 228, true),
    text('30 m or more', 248, 216, 'middle', true),
    text('carried level, taken down', 190, 286),
    text('power line', 396, 26, 'middle', true),
  ],
);
