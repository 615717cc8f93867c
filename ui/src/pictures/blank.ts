// Drawings of the bare blank: looking over, loading, cutting, joints.

import {
  arrow,
  circle,
  dim,
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
import { blank, clamp, fist, pad, tape, weight } from './parts';

export const padSnags = sheet(
  250,
  'A cotton pad is drawn along the blank from butt to tip; at a broken fibre a strand of the cotton stays behind.',
  [
    blank(16, 464, 150, 40, 28),
    text('butt', 22, 112, 'start'),
    text('tip', 458, 112, 'end'),
    pen('hurt', 'M158 134L142 112M164 134L156 106M171 134L172 110'),
    pen('line', 'M158 112Q190 92 214 122M156 106Q184 74 218 108'),
    pad(252, 148),
    arrow(206, 60, 320, 60),
    label('cotton pad', 340, 226, [266, 178]),
    label('a snag', 100, 226, [152, 140], 'middle', true),
  ],
);

export const blankLoaded = sheet(
  320,
  'The butt is clamped level and a weight hangs from the tip. How far the tip and the middle go down is measured from where they were before.',
  [
    line(90, 92, 462, 92, 'unseen'),
    pen('body', 'M22 82H96Q300 84 424 196L420 202Q292 96 96 102H22Z'),
    clamp(58, 92, 310),
    weight(422, 200, 22),
    dim(250, 95, 250, 116),
    text('middle', 240, 170, 'middle'),
    dim(452, 94, 452, 198),
    text('tip', 440, 156, 'end'),
    text('before', 330, 78),
    line(396, 200, 466, 200, 'fine'),
  ],
);

export const sawThroughTape = sheet(
  290,
  'Tape is wound round the blank over the mark and the saw cuts through the tape. Seen from the end, the blank is rolled under the saw.',
  [
    blank(14, 226, 140, 46, 42),
    tape(88, 140, 64, 52),
    line(120, 92, 120, 196, 'unseen'),
    label('tape', 60, 240, [104, 160]),
    text('mark', 120, 82),
    circle('body', 352, 168, 58),
    circle('body', 352, 168, 50),
    circle('line', 352, 168, 34),
    poly('body', [
      [258, 98],
      [446, 98],
      [446, 112],
      [258, 112],
    ]),
    pen(
      'hurt',
      'M258 112l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8l8 -8l8 8',
    ),
    rect('shade', 440, 88, 34, 34, 6),
    dim(290, 72, 414, 72),
    text('fine saw', 352, 52),
    turning(352, 168, 74, 150, 30),
    text('roll it', 352, 280),
  ],
);

export const ferruleClosed = sheet(
  300,
  'Two pieces are pushed together straight, both hands near the joint. The gap that is left between the two shoulders is measured.',
  [
    blank(14, 220, 140, 54, 52, 'right'),
    blank(260, 466, 140, 48, 42, 'left'),
    rect('body', 220, 121, 40, 38),
    pen('unseen', 'M130 123H220M130 157H220M130 123V157'),
    dim(220, 92, 260, 92),
    line(220, 84, 220, 112, 'fine'),
    line(260, 84, 260, 112, 'fine'),
    text('gap', 240, 62),
    fist(104, 140),
    fist(376, 140),
    arrow(158, 200, 216, 200),
    arrow(322, 200, 264, 200),
    text('straight', 240, 240),
    dim(150, 262, 330, 262),
    text('hands near the joint', 240, 292),
  ],
);

export const ferruleDots = sheet(
  290,
  'On a joint that is closed right, the pencil dots of both pieces lie in one line. Where the pieces are turned against each other, they do not.',
  [
    blank(14, 206, 84, 54, 52, 'right'),
    blank(206, 400, 84, 46, 40, 'left'),
    circle('solid', 184, 84, 7),
    circle('solid', 230, 84, 7),
    line(96, 84, 330, 84, 'unseen'),
    right(444, 84),
    text('dots in line', 206, 38),
    blank(14, 206, 206, 54, 52, 'right'),
    blank(206, 400, 206, 46, 40, 'left'),
    circle('solid', 184, 206, 7),
    circle('solid', 230, 192, 7),
    line(96, 206, 330, 206, 'unseen'),
    wrong(444, 206),
    text('turned', 206, 266),
  ],
);
