// The fake's bent rods: a curve that looks like one, by a simple rule. Everything in it is invented.
// Not part of the window.

import { diameterAt } from '../domain/bent';
import { refuse } from './fakeLedger';
import type { FakeRod, World } from './fakeWorld';
import type {
  BentRingView,
  ChangeDraft,
  GuideDraft,
  LayoutDraft,
  LayoutView,
  SpacingDraft,
  TrimView,
  Trouble,
} from './generated/types';

type Spot = [number, number];
const POINTS = 80;
const CAUTION =
  'A bent rod stores energy. If it breaks or slips, splinters and the tip fly, and a weight falls. Wear eye protection, keep faces out of its plane, and lower the weight slowly. The maker’s data sheet comes first.';

/** Millimetres of a text; `NaN` where it is none. */
const mm = (text: string, bare = 1) =>
  /^\s*-?\d/.test(text)
    ? parseFloat(text) * (/in|"|″/.test(text) ? 25.4 : /mm/.test(text) ? 1 : bare)
    : NaN;
const empty = (text: string) => text.trim() === '';

function beginning(rod: FakeRod, many: number): LayoutDraft {
  const length = rod.drawing.lengthMm;
  return {
    wall: '',
    modulus: '',
    weight: '62 g',
    ferrule: '',
    testHang: '',
    testHeld: '',
    marks: [],
    hang: '500 g',
    held: '',
    reelFromButt: `${(length * 0.17).toFixed(0)} mm`,
    reelHeight: '30 mm',
    tipHeight: '6 mm',
    tipMass: '0.4 g',
    guides: guides(length, many, length * 0.56),
    spiral: 'none',
    leastClearance: '2 mm',
  };
}

function guides(length: number, many: number, first: number): GuideDraft[] {
  return Array.from({ length: many }, (_, i) => {
    const share = (i + 1) / many;
    return {
      fromTip: `${((0.45 * share + 0.55 * share * share) * Math.min(first, length)).toFixed(1)} mm`,
      ring: `${(6 + 14 * share * share).toFixed(0)}`,
      height: `${(8 + 22 * share * share).toFixed(1)} mm`,
      mass: '0.5 g',
      turned: '',
    };
  });
}

/** Direction along the rod and place on it, for a share of the way from butt to tip. */
function curve(length: number, held: number, hang: number) {
  const bend = 2.3 * (1 - Math.exp(-hang / 700)) * (0.6 + 0.4 * Math.cos((held * Math.PI) / 180));
  const from = (-held * Math.PI) / 180;
  const direction = (t: number) => from + bend * (1.7 * t * t - 0.7 * t ** 3);
  const axis: Spot[] = [[0, 0]];
  for (let i = 1; i <= POINTS; i += 1) {
    const turn = direction((i - 0.5) / POINTS);
    const [x, y] = axis[i - 1]!;
    axis.push([x + (Math.cos(turn) * length) / POINTS, y + (Math.sin(turn) * length) / POINTS]);
  }
  const at = (share: number): Spot => {
    const i = Math.min(Math.floor(share * POINTS), POINTS - 1);
    const [a, b] = [axis[i]!, axis[i + 1]!];
    const part = share * POINTS - i;
    return [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part];
  };
  return { axis, at, direction };
}

function faults(draft: LayoutDraft, length: number): Trouble[] {
  const found: Trouble[] = [];
  const say = (field: string, message: string) => found.push(refuse(message, 'bad-input', field));
  const needed: [string, string, string][] = [
    ['hang', draft.hang, '500 g'],
    ['reelFromButt', draft.reelFromButt, '330 mm'],
    ['reelHeight', draft.reelHeight, '30 mm'],
    ['tipHeight', draft.tipHeight, '6 mm'],
    ...draft.guides.flatMap((guide, i): [string, string, string][] => [
      [`guides.${i}.fromTip`, guide.fromTip, '412 mm'],
      [`guides.${i}.height`, guide.height, '12 mm'],
    ]),
    ...draft.marks.flatMap((mark, i): [string, string, string][] => [
      [`marks.${i}.fromButt`, mark.fromButt, '1500 mm'],
      [`marks.${i}.drop`, mark.drop, '240 mm'],
    ]),
  ];
  for (const [field, text, like] of needed)
    if (Number.isNaN(mm(text))) say(field, `“${text}” is no value. Write it like ${like}.`);
  for (const field of ['wall', 'modulus', 'weight', 'ferrule', 'held', 'leastClearance'] as const)
    if (!empty(draft[field]) && Number.isNaN(mm(draft[field])))
      say(field, `“${draft[field]}” is no value. Write a number with its unit.`);
  if (draft.marks.length > 0 && empty(draft.testHang))
    say('testHang', 'Write what was hung on the tip in this test.');
  draft.guides.forEach((guide, i) => {
    const [here, before] = [mm(guide.fromTip), i > 0 ? mm(draft.guides[i - 1]!.fromTip) : 0];
    if (here <= before)
      say(`guides.${i}.fromTip`, `Guide ${i + 1} must be farther from the tip than guide ${i}.`);
    if (here >= length) say(`guides.${i}.fromTip`, `Guide ${i + 1} is off the rod.`);
  });
  return found;
}

function worked(rod: FakeRod, draft: LayoutDraft, kept: boolean): LayoutView {
  const length = rod.drawing.lengthMm;
  const view: LayoutView = {
    draft,
    kept,
    rodTitle: rod.draft.title,
    troubles: faults(draft, length),
    missing: null,
    bent: null,
    rows: [],
    facts: [],
    fitted: [],
    warnings: [],
    caution: CAUTION,
    source: 'An invented curve, for trying the screen.',
    told: null,
  };
  if (view.troubles.length > 0) return view;
  const held = empty(draft.held) ? 0 : mm(draft.held);
  if (Math.abs(held) > 90) return { ...view, missing: 'The rod can’t be held like that.' };
  const hang = mm(draft.hang);
  const { axis, at, direction } = curve(length, held, hang);
  const onTop = rod.draft.reel === 'casting' || rod.draft.reel === 'conventional';
  const side = onTop ? -1 : 1;
  const outline = rod.drawing.outline.map(({ fromButtMm, diameterMm }): Spot => [
    fromButtMm,
    diameterMm,
  ]);
  const least = empty(draft.leastClearance) ? 0 : mm(draft.leastClearance);
  const spots = [
    { number: null as number | null, place: mm(draft.reelFromButt), height: mm(draft.reelHeight) },
    ...draft.guides
      .map((guide, i) => ({
        number: i + 1,
        place: length - mm(guide.fromTip),
        height: mm(guide.height),
      }))
      .reverse(),
    { number: 0, place: length, height: mm(draft.tipHeight) },
  ];
  const ringAt = (place: number, height: number): Spot => {
    const [x, y] = at(place / length);
    const turn = direction(place / length);
    return [x - Math.sin(turn) * height, y + Math.cos(turn) * height];
  };
  const loaded = draft.guides.length > 0 ? spots : [];
  const rings = loaded.map(({ number, place, height }, i): BentRingView => {
    const ring = ringAt(place, side * height);
    const before = loaded[i - 1];
    let clear = Infinity;
    if (before) {
      const from = ringAt(before.place, side * before.height);
      // The axis against the line between the two rings, on the side where they sit.
      for (let n = 0; n <= 20; n += 1) {
        const [x, y] = at((before.place + ((place - before.place) * n) / 20) / length);
        const [dx, dy] = [ring[0] - from[0], ring[1] - from[1]];
        const off = (dx * (y - from[1]) - dy * (x - from[0])) / Math.hypot(dx, dy);
        const thick = diameterAt(outline, before.place + ((place - before.place) * n) / 20);
        clear = Math.min(clear, -side * off - thick / 2);
      }
    }
    const words = clear <= 0 ? 'touches the blank' : `${clear.toFixed(1)} mm`;
    return {
      number,
      fromButtMm: place,
      heightMm: side * height,
      foot: at(place / length),
      ring,
      clearance: number === null ? null : words,
      tight: number !== null && (clear <= 0 || clear < least),
    };
  });
  const turns = (share: number) => ((direction(share) - direction(0)) * 180) / Math.PI;
  view.bent = {
    lengthMm: length,
    straight: [length * Math.cos(direction(0)), length * Math.sin(direction(0))],
    axis,
    outline,
    rings,
    load: `${hang} g on ${draft.guides.length > 0 ? 'the line' : 'the bare tip'}, ${((hang * 9.80665) / 1000).toFixed(1)} N`,
    pull: [0, 1],
  };
  view.rows = [...rings]
    .reverse()
    .filter((ring) => ring.number !== null)
    .map((ring, i, all) => {
      const next = all[i + 1]?.fromButtMm ?? mm(draft.reelFromButt);
      const turn = turns(ring.fromButtMm / length) - turns(next / length);
      return {
        number: ring.number ?? 0,
        fromTip: `${(length - ring.fromButtMm).toFixed(1)} mm`,
        fromButt: `${ring.fromButtMm.toFixed(1)} mm`,
        gap: `${(ring.fromButtMm - next).toFixed(1)} mm`,
        load: `${(((2 * hang * 9.80665) / 1000) * Math.sin((turn * Math.PI) / 360)).toFixed(1)} N`,
        turn: `${turn.toFixed(1)}°`,
        clearance: ring.clearance ?? '',
        tight: ring.tight,
      };
    });
  const end = axis.at(-1)!;
  view.facts = [
    ['Load', view.bent.load],
    ['Tip goes down by', `${(end[1] - view.bent.straight[1]).toFixed(0)} mm`],
    ['Tip comes back by', `${(view.bent.straight[0] - end[0]).toFixed(0)} mm`],
    ['Tip diameter', `${outline.at(-1)?.[1].toFixed(2) ?? '–'} mm`],
    ['Most strained', '0.61 % at 1402.0 mm from the butt; no breaking load'],
    ['Swings, bare and with guides', '3.42 and 3.11 Hz'],
  ];
  if (empty(draft.wall)) view.warnings.push('No wall is written down: 0.8 mm is taken.');
  if (!empty(draft.testHang) && draft.marks.length > 0)
    view.fitted = [
      ['Stiffer than figured, times', '1.12'],
      ['May be off by', '4 %'],
    ];
  return view;
}

function trim(rod: FakeRod, draft: LayoutDraft, tip: string, butt: string): TrimView {
  const length = rod.drawing.lengthMm;
  const troubles = [
    ['trim.tip', tip],
    ['trim.butt', butt],
  ].flatMap(([field, text]) =>
    !empty(text!) && Number.isNaN(mm(text!))
      ? [refuse(`“${text}” is no length. Write it like 50 mm or 2 in.`, 'bad-input', field)]
      : [],
  );
  troubles.push(...faults(draft, length));
  const view: TrimView = { troubles, missing: null, rows: [], before: [], after: [], warnings: [] };
  if (troubles.length > 0) return view;
  const off = (empty(tip) ? 0 : mm(tip, 25.4)) + (empty(butt) ? 0 : mm(butt, 25.4));
  if (off >= length / 2) return { ...view, missing: 'That is more than half of the blank.' };
  const hang = mm(draft.hang);
  return {
    ...view,
    rows: [
      ['Length', `${length.toFixed(0)} mm`, `${(length - off).toFixed(0)} mm`],
      [
        'Stiffness at the tip',
        '18.2 N/m',
        `${(18.2 * (length / (length - off)) ** 3).toFixed(1)} N/m`,
      ],
      ['Tip diameter', '2.20 mm', `${(2.2 + mm(tip || '0', 25.4) / 250).toFixed(2)} mm`],
    ],
    before: curve(length, 0, hang).axis,
    after: curve(length - off, 0, hang * (1 - off / length)).axis,
    warnings: empty(tip) ? [] : ['The tip-top’s tube must be measured again after the cut.'],
  };
}

/** How many guides the invented rods begin with: also very many, and none. */
const beginsWith = (scene: string, rod: FakeRod) =>
  rod.id === 'r3' ? 0 : scene === 'full' ? 60 : 8;

export function layoutCommands(scene: string, w: World) {
  const kept = new Map<string, LayoutDraft>();
  const rodOf = (id: unknown): FakeRod => {
    const rod = w.rods.find((one) => one.id === id);
    if (!rod) throw refuse('There is no rod here.');
    return rod;
  };
  const same = (id: string, draft: LayoutDraft) =>
    JSON.stringify(kept.get(id)) === JSON.stringify(draft);
  const tried = (rod: FakeRod, draft: LayoutDraft) => worked(rod, draft, same(rod.id, draft));
  return {
    layout: (args: Record<string, unknown>) => {
      const rod = rodOf(args.rod);
      return tried(rod, kept.get(rod.id) ?? beginning(rod, beginsWith(scene, rod)));
    },
    try_layout: (args: Record<string, unknown>) =>
      tried(rodOf(args.rod), args.draft as LayoutDraft),
    space_guides: (args: Record<string, unknown>): LayoutView => {
      const rod = rodOf(args.rod);
      const draft = args.draft as LayoutDraft;
      const { count, first } = args.spacing as SpacingDraft;
      if (!empty(count) && !/^\d+$/.test(count.trim())) {
        const wrong = 'Write how many guides, digits only, e.g. 8.';
        const view = tried(rod, draft);
        return { ...view, troubles: [refuse(wrong, 'bad-input', 'spacing.count')] };
      }
      const many = empty(count) ? 8 : Number(count);
      const length = rod.drawing.lengthMm;
      const far = empty(first) ? length * 0.56 : length - mm(first, 25.4);
      const view = tried(rod, { ...draft, guides: guides(length, many, far) });
      return { ...view, told: `${many} guides are spaced, gaps growing towards the reel.` };
    },
    improve_layout: (args: Record<string, unknown>): LayoutView => {
      const draft = structuredClone(args.draft as LayoutDraft);
      draft.guides.forEach(
        (guide, i) => (guide.fromTip = `${(mm(guide.fromTip) - 2 - i).toFixed(1)} mm`),
      );
      const told = 'Moved: the number to lessen fell from 3.20 to 1.85.';
      return { ...tried(rodOf(args.rod), draft), told };
    },
    try_trim: (args: Record<string, unknown>) =>
      trim(rodOf(args.rod), args.draft as LayoutDraft, String(args.tip), String(args.butt)),
    /** What keeping and cutting do to the rod. */
    change: (id: string, change: ChangeDraft & { form: 'layout' | 'cut' }) => {
      const rod = rodOf(id);
      if (change.form === 'layout') {
        const wrong = faults(change.layout, rod.drawing.lengthMm)[0];
        if (wrong) throw refuse(wrong.message, 'no-layout');
        kept.set(id, structuredClone(change.layout));
        const rings = worked(rod, change.layout, true).bent?.rings ?? [];
        rod.drawing.guides = rings.flatMap(({ number, fromButtMm, heightMm }) =>
          number === null ? [] : [{ fromButtMm, heightMm }],
        );
        return `layout, ${change.layout.guides.length} guides`;
      }
      const off = [change.tip, change.butt].map((text) => (empty(text) ? 0 : mm(text, 25.4)));
      rod.drawing.lengthMm -= off[0]! + off[1]!;
      rod.drawing.length = `${rod.drawing.lengthMm.toFixed(0)} mm`;
      rod.drawing.guides = [];
      kept.delete(id);
      return `cut to ${rod.drawing.length}`;
    },
  };
}
