// Drawings of a bond: fit, tape, roughening, cleaning, mixing, turning home, the trial of the cure.

import {
  arrow,
  circle,
  dim,
  group,
  hatch,
  label,
  line,
  pen,
  poly,
  rect,
  right,
  sheet,
  text,
  turning,
  wrong,
} from './draw';
import { blank, cloth, cup, finger, fist, grip, hotAir, tape } from './parts';

export const reamToFit = sheet(
  290,
  'A grip cut open on the blank: its bore tapers as the blank does, wide end to the butt, and the gap is the same all round and all along.',
  [
    poly('shade', [
      [76, 58],
      [400, 72],
      [400, 116],
      [76, 92],
    ]),
    poly('shade', [
      [76, 242],
      [400, 228],
      [400, 184],
      [76, 208],
    ]),
    blank(16, 464, 150, 100, 32),
    dim(104, 94, 104, 107),
    dim(104, 206, 104, 193),
    label('the same gap all round', 250, 34, [250, 111]),
    text('butt', 48, 158),
    text('tip', 436, 158),
    text('wide end', 110, 282),
    text('grip, cut open', 320, 270),
  ],
);

export const boreMeasured = sheet(
  280,
  'The inner jaws of the caliper stand square in the bore; then they are turned a quarter and read again.',
  [
    circle('shade', 112, 146, 88),
    circle('body', 112, 146, 50),
    pen('solid', 'M62 146L80 126H96V166H80ZM162 146L144 126H128V166H144Z'),
    dim(62, 218, 162, 218),
    line(62, 146, 62, 226, 'fine'),
    line(162, 146, 162, 226, 'fine'),
    text('read', 112, 40),
    arrow(212, 146, 266, 146),
    circle('shade', 366, 146, 88),
    circle('body', 366, 146, 50),
    pen('solid', 'M366 96L346 114V130H386V114ZM366 196L346 178V162H386V178Z'),
    turning(366, 146, 69, 185, 262),
    text('a quarter turn, again', 346, 40),
    text('butt end, then tip end', 240, 270),
  ],
);

export const tapeAtFrontEdge = sheet(
  280,
  'The dry grip stands in its place. One layer of tape runs round the blank along its front edge, whose place is measured from the butt.',
  [
    blank(30, 464, 130, 54, 34, 'left'),
    grip(56, 286, 130, 112, 90),
    tape(288, 130, 44, 48),
    line(30, 96, 30, 226, 'fine'),
    line(287, 180, 287, 226, 'fine'),
    dim(30, 212, 287, 212),
    text('from the butt', 158, 250),
    label('front edge', 330, 48, [287, 92]),
    label('tape, one layer', 384, 250, [312, 156]),
    text('grip', 170, 139),
  ],
);

export const roughenToTape = sheet(
  250,
  'The blank is rubbed dull, round and round, up to a little short of the tape. Ahead of the tape it keeps its gloss.',
  [
    blank(16, 464, 130, 64, 46),
    hatch(46, 100, 214, 60, 10),
    hatch(46, 100, 214, 60, 10, true),
    tape(296, 130, 44, 62),
    dim(260, 74, 296, 74),
    line(260, 64, 260, 96, 'fine'),
    line(296, 64, 296, 96, 'fine'),
    text('stop short', 278, 46),
    label('rubbed dull', 120, 220, [140, 164]),
    label('tape', 310, 220, [318, 164]),
    label('glossy', 420, 220, [404, 146]),
    pen('fine', 'M362 120H446'),
  ],
);

export const wipeOneWay = sheet(
  300,
  'The cloth is drawn one way only and lifted back, each stroke with a fresh face. Then it goes into the metal bin with the lid.',
  [
    blank(16, 464, 92, 44, 34),
    cloth(120, 92),
    arrow(180, 46, 330, 46),
    text('one way only', 256, 30),
    pen('unseen', 'M340 138Q240 176 140 144'),
    wrong(240, 160),
    text('fresh face each time', 18, 224, 'start'),
    rect('body', 352, 196, 84, 84, 4),
    rect('shade', 344, 180, 100, 18, 4),
    line(352, 222, 436, 222, 'fine'),
    line(352, 256, 436, 256, 'fine'),
    arrow(264, 256, 340, 256),
    text('lidded bin', 200, 264),
  ],
);

const scale = (x: number, shown: string) => [
  rect('shade', x - 62, 196, 124, 50, 6),
  rect('body', x - 62, 186, 124, 10),
  rect('body', x - 42, 204, 84, 34),
  text(shown, x, 230),
];

export const partsOnScale = sheet(
  290,
  'One cup on a scale, three times: the resin is weighed, the scale is set to zero, and the hardener is weighed into the same cup.',
  [
    cup(82, 184, 78, 96, 0.4),
    cup(240, 184, 78, 96, 0.4),
    cup(398, 184, 78, 96, 0.68),
    scale(82, '… g'),
    scale(240, '0.0'),
    scale(398, '… g'),
    text('1 resin', 82, 40),
    text('2 zero', 240, 40),
    text('3 hardener', 398, 40),
    arrow(82, 52, 82, 112),
    arrow(398, 52, 398, 98),
    line(366, 142, 430, 142, 'unseen'),
    text('one and the same cup', 240, 282),
  ],
);

export const pourFlat = sheet(
  310,
  'The stick scrapes wall and bottom of the cup. The mix is then poured out flat; left deep in a cup it heats itself.',
  [
    cup(88, 220, 116, 150, 0.45),
    pen('body', 'M136 28L144 32L72 206L60 212L62 200Z'),
    arrow(36, 96, 44, 196),
    text('scrape wall', 88, 262),
    text('and bottom', 88, 292),
    poly('body', [
      [188, 196],
      [330, 196],
      [318, 220],
      [200, 220],
    ]),
    poly('shade', [
      [193, 207],
      [325, 207],
      [318, 220],
      [200, 220],
    ]),
    group(cup(0, 0, 74, 84, 0.35), 178, 78, 112),
    pen('line', 'M252 138Q264 160 262 204M262 132Q276 160 274 204'),
    text('pour it flat', 258, 262),
    right(258, 284),
    cup(412, 220, 96, 130, 0.85),
    hotAir(412, 84, 62, -90),
    text('deep:', 412, 262, 'middle', true),
    text('it heats', 398, 292, 'middle', true),
    wrong(462, 284),
  ],
);

const stipple = (x: number, y: number, w: number, h: number) => {
  let d = '';
  for (let row = 0; row * 13 < h; row += 1) {
    for (let px = row % 2 === 0 ? 6 : 12; px < w; px += 13) d += `M${x + px} ${y + row * 13}h3`;
  }
  return pen('bold', d);
};

export const gripTurnedHome = sheet(
  280,
  'Resin lies thin on the dull blank. The grip comes over the tip and is turned as it slides, until its front edge stands at the tape. The hands wear gloves.',
  [
    blank(16, 464, 130, 54, 34, 'left'),
    stipple(44, 112, 140, 40),
    grip(196, 366, 130, 100, 88),
    rect('unseen', 300, 107, 40, 46),
    line(300, 62, 300, 206, 'unseen'),
    fist(246, 130),
    arrow(180, 62, 96, 62),
    turning(246, 130, 66, 230, 310),
    text('turn it home', 140, 40),
    label('resin, thin', 82, 250, [104, 138], 'middle', true),
    label('stop at the tape', 350, 250, [322, 148]),
    label('gloves', 400, 50, [264, 112]),
  ],
);

export const squeezeOut = sheet(
  280,
  'A bead of resin stands at the joint. Dry paper wipes it away from the joint, and then the tape is pulled.',
  [
    blank(16, 464, 136, 48, 36),
    grip(16, 180, 136, 112, 92),
    tape(182, 136, 66, 46),
    pen('hurt-solid', 'M180 112Q188 84 206 110ZM180 160Q188 188 206 162Z'),
    cloth(300, 108),
    finger(304, 92, 24),
    arrow(352, 150, 440, 150),
    label('resin', 200, 46, [192, 98], 'middle', true),
    pen('bold', 'M226 160Q232 206 196 214'),
    arrow(196, 214, 150, 210),
    text('1 away from the joint', 468, 230, 'end'),
    text('2 pull the tape', 100, 262),
  ],
);

const leftover = (x: number) => [
  poly('body', [
    [x - 88, 176],
    [x + 88, 176],
    [x + 74, 204],
    [x - 74, 204],
  ]),
];

export const nailTest = sheet(
  290,
  'A gloved fingernail is pressed into the leftover. It leaves no mark: cured. It leaves a mark: wait longer.',
  [
    leftover(112),
    poly('shade', [
      [30, 186],
      [194, 186],
      [186, 204],
      [38, 204],
    ]),
    finger(112, 186),
    text('no mark:', 112, 240),
    text('cured', 112, 270),
    right(176, 262),
    leftover(368),
    pen('shade', 'M286 186H342Q352 204 368 201Q384 204 394 186H450L442 204H294Z'),
    finger(368, 197),
    text('a mark:', 368, 240),
    text('wait', 358, 270),
    wrong(426, 262),
    label('gloves', 240, 60, [136, 84]),
    circle('solid', 345, 92, 4),
    line(282, 54, 345, 92, 'fine'),
  ],
);
