// Invented workshops for trying the screens without the shell. Not part of the window.

import type {
  AirView,
  ContainerView,
  Drawing,
  ListLine,
  ListView,
  LotLine,
  PersonView,
  Problem,
  RevisionLine,
  RodDraft,
  StationView,
  UnitsChoice,
  WayBackView,
} from './generated/types';

const MINUTE = 60_000;
export const iso = (minutesFromNow = 0) =>
  new Date(Date.now() + minutesFromNow * MINUTE).toISOString();

export interface FakeRod {
  id: string;
  draft: RodDraft;
  begun: string;
  drawing: Drawing;
  customer: string;
  revisions?: RevisionLine[];
}

export interface World {
  founded: boolean;
  demo: boolean;
  name: string;
  crew: PersonView[];
  active: string | null;
  stations: StationView[];
  rods: FakeRod[];
  lots: LotLine[];
  units: UnitsChoice;
  problems: Problem[];
  readOnly: string | null;
  clockBehind: boolean;
  printers: string[];
  /** How many events the ledger holds. */
  events: number;
  verified: number | null;
  fault: string | null;
  backupFolder: string | null;
  newestBackup: string | null;
  backup: string | null;
  backupTrouble: string | null;
  /** The backup that would be found for a damaged ledger. */
  wayBack: WayBackView | null;
}

const FAULT =
  'Event 388 is not as it was signed: its digest should be 71d0 4e2b … and is 0a9f c3b6 …. Somebody or something changed the file after it was written.';

const LONG = ' with a very long name that a builder with patience really typed';

export function drawingOf(length: number, joins: number[], butt: number, tip: number): Drawing {
  const outline = [0, 0.12, 0.25, 0.4, 0.55, 0.7, 0.85, 1].map((share) => ({
    fromButtMm: 30 + share * (length - 60),
    diameterMm: tip + (butt - tip) * (1 - share) ** 1.2,
  }));
  return {
    lengthMm: length,
    length: `${length} mm`,
    joinsMm: joins,
    outline: outline.map((at) => ({ ...at, diameter: `${at.diameterMm.toFixed(2)} mm` })),
    parts: [],
    guides: [],
  };
}

function rod(
  id: string,
  title: string,
  customer: string,
  length: number,
  joins: number[],
): FakeRod {
  const drawing = drawingOf(length, joins, 14 + length / 700, 2.2);
  const wishes = 'Light lures from the bank. Long rear grip, no shine, room for a glove.';
  const text = (mm: number) => `${(mm / 25.4).toFixed(2)} in`;
  return {
    id,
    customer,
    begun: iso(-4 * 24 * 60),
    drawing,
    draft: {
      title,
      customer,
      wishes,
      reel: 'spinning',
      grip: 'composite',
      blank: 'Carbon, two pieces, matt',
      length: text(length),
      joins: joins.map(text),
      diameters: drawing.outline.map((at) => ({
        fromButt: text(at.fromButtMm),
        diameter: `${at.diameterMm.toFixed(1)} mm`,
      })),
      parts: [],
      sure: false,
    },
  };
}

function station(
  id: string,
  name: string,
  room: string | null,
  containers: ContainerView[],
): StationView {
  return {
    id,
    name,
    room,
    openUntil: iso(300),
    containers,
    lastRelease: iso(-95),
    vapour: 'Nothing is known about vapour here since alcohol was last open.',
    vapourKnown: false,
    // Filled in when the station is asked for.
    air: NO_AIR,
    watch: null,
    clearance: null,
    clearances: [],
    heatMissing: ['No clearance has been given here. Go through “Clear the station for heat”.'],
    lists: stationLists(),
    inHand: null,
  };
}

function stationLists(): ListLine[] {
  const list = (kind: ListLine['kind'], title: string, aim: string, words = ''): ListLine => ({
    id: kind,
    kind,
    title,
    aim,
    words,
    due: words.includes('due since'),
    atOnce: kind === 'spill' || kind === 'contact' ? ['Water first.', 'Call for help.'] : [],
  });
  // In the order of their files.
  return [
    list('close-bench', 'Close the bench', 'Nothing here can heat up or give off vapour alone.'),
    list(
      'contact',
      'On skin or in an eye',
      'Water came first, and somebody stays with the person.',
    ),
    list(
      'heat-clearance',
      'Clear the station for heat',
      'Air, vapour, flammables and people were looked at a moment ago, and heat may be used here for a short time.',
    ),
    list(
      'monthly-look',
      'The monthly look',
      'What is needed on a bad day is here, whole and in date.',
      'Last gone through 20 Oct; due since 20 Nov.',
    ),
    list(
      'new-product',
      'A new product on the shelf',
      'Its sheet was read before its lid was opened.',
    ),
    list(
      'open-bench',
      'Open the bench',
      'Air, fire cover and washing are at hand before the first resin is opened.',
    ),
    list('spill', 'Something was spilt', 'Nobody breathes it, and nothing can light it.'),
    { ...list('own', 'Friday sweep', 'The floor is clear of cork dust.'), id: 'friday-sweep' },
  ];
}

const NO_AIR: AirView = {
  volume: null,
  sharedWith: [],
  flow: null,
  flowM3H: 0,
  readingUntil: null,
  percent: null,
  unknown: null,
  limitPercent: 0,
  heatFrom: null,
  exposure: [],
  overExposed: false,
  curve: [],
  releases: [],
  unsaid: [],
  materials: [],
  days: [],
};

const PROBLEM: Problem = {
  path: 'checklists/stages/guides.toml',
  unusable: true,
  code: 'unknown-key',
  message: 'The step “first-wrap” has a key “lenght” that no step knows.',
  help: 'Write “length”, or take the line out.',
  line: 14,
  column: 3,
  excerpt: '  lenght = "12 mm"',
};

export function world(scene: string): World {
  const crew: PersonView[] = [
    { id: 'p1', name: 'Ada Reeve', role: 'lead', present: true },
    { id: 'p2', name: 'Jon Tarn', role: 'helper', present: true },
    { id: 'p3', name: 'Mina Holt', role: 'helper', present: false },
  ];
  const alcohol = {
    id: 'c1',
    name: 'Isopropyl alcohol, 1 litre',
    autoignition: '399 °C',
    open: false,
  };
  const finish = { id: 'c2', name: 'Thread finish, solvent-borne', autoignition: null, open: true };
  const base: World = {
    founded: scene !== 'empty',
    demo: true,
    name: 'Reedbank Rods',
    crew,
    active: scene === 'locked' ? null : 'p1',
    stations: [
      station('bench', 'Bench', '60 m3', [alcohol, finish]),
      station('heat', 'Heat corner', null, []),
    ],
    rods: [],
    lots: [],
    units: {
      diameters: 'millimetre',
      distances: 'decimal-inch',
      masses: 'gram',
      liquids: 'millilitre',
      temperatures: 'celsius',
    },
    problems: [],
    readOnly: null,
    clockBehind: false,
    printers: ['Workshop', 'Office'],
    events: 372,
    verified: 372,
    fault: null,
    backupFolder: '/media/builder/drawer/Coldbench backups',
    newestBackup: '2026-11-24 at 18:03:12, 398 events',
    backup: null,
    backupTrouble: null,
    wayBack: {
      path: '/media/builder/drawer/Coldbench backups/coldbench-9c41e07a-2026-11-24T18-03-12-daily',
      words: '2026-11-24 at 18:03:12, 398 events',
    },
  };
  // The ledger does not hold; it can't even be opened; the same, and there is no backup.
  if (scene === 'damaged') Object.assign(base, { fault: FAULT, readOnly: FAULT, active: null });
  if (scene === 'unopened' || scene === 'lost') {
    const why =
      'The ledger in /home/builder/Coldbench is damaged: the database disk image is malformed.';
    const gone = {
      founded: false,
      fault: why,
      readOnly: why,
      active: null,
      crew: [],
      stations: [],
    };
    return { ...base, ...gone, ...(scene === 'lost' ? { wayBack: null } : {}) };
  }
  if (scene === 'empty') return { ...base, demo: false, crew: [], active: null, stations: [] };
  if (scene === 'fresh') {
    const bench = { ...station('bench', 'Bench', null, []), openUntil: null, lastRelease: null };
    return {
      ...base,
      demo: false,
      crew: crew.slice(0, 1),
      stations: [bench],
      printers: [],
      verified: null,
      backupFolder: null,
      newestBackup: null,
    };
  }
  base.rods = [
    rod('r1', '7 ft light spinning rod', 'M. Lind', 2134, [1067]),
    rod('r2', 'Pike rod, casting', 'K. Orr', 2440, [1220]),
    rod('r3', 'Fly rod for the small river', 'T. Vale', 2286, [560, 1140, 1720]),
  ];
  base.rods[1]!.draft.reel = 'casting';
  base.rods[2]!.draft.reel = 'fly';
  if (scene !== 'full') return base;
  return {
    ...base,
    name: `Reedbank Rods${LONG}`,
    crew: Array.from({ length: 14 }, (_, i) => ({
      id: `p${i + 1}`,
      name: i === 0 ? `Ada Reeve${LONG}` : `Person number ${i + 1}${i % 3 === 0 ? LONG : ''}`,
      role: i % 4 === 0 ? 'lead' : 'helper',
      present: i !== 5,
    })),
    stations: Array.from({ length: 6 }, (_, i) =>
      station(`s${i}`, `Station ${i + 1}${i % 2 ? LONG : ''}`, '60 m3', [
        { ...alcohol, id: `a${i}`, name: `Alcohol${LONG}` },
        { ...finish, id: `f${i}` },
      ]),
    ),
    rods: Array.from({ length: 60 }, (_, i) =>
      rod(
        `r${i + 1}`,
        `Rod ${i + 1}${i % 2 === 0 ? LONG : ''}`,
        `Customer ${i + 1}${i % 3 === 0 ? LONG : ''}`,
        1500 + ((i * 137) % 1800),
        i % 3 ? [900] : [],
      ),
    ),
    problems: [PROBLEM, { ...PROBLEM, unusable: false, line: 22 }, { ...PROBLEM, line: 31 }],
    readOnly: 'another Coldbench has this folder open.',
    clockBehind: true,
    printers: [],
    backupTrouble:
      'The quiet backup could not be made. The disk of /media/builder/drawer/Coldbench backups is full. Make room, or choose another place.',
  };
}

const check = (
  number: number,
  id: string,
  form: ListView['checks'][number]['form'],
  ask: string,
  keyPoint: string,
  states: string[] = [],
  example = '',
  limits = '',
): ListView['checks'][number] => ({
  id,
  number,
  ask,
  keyPoint,
  reason: 'Vapour leaves only with moving air. Without a reading nobody knows how much leaves.',
  caution:
    'Vapour that stays can burn or dull the head. The safety data sheet and local codes come first.',
  hazards: [{ code: 'vapour', words: 'vapour that burns and dulls the head' }],
  statements: null,
  form,
  states,
  limits,
  example,
  answered: null,
});

export function heatList(): ListView {
  return {
    kind: 'heat-clearance',
    title: 'Clear the station for heat',
    aim: 'Air, vapour, flammables and people were looked at a moment ago.',
    begun: iso(),
    missing: [],
    asksPin: true,
    setAside: [],
    checks: [
      check(
        1,
        'airflow',
        'airflow',
        'How much air does the ventilation move now?',
        'Switch it on and read it: mean air speed over the free opening, or the fan’s rated flow cut down.',
        [],
        '',
        '6 air changes an hour or more',
      ),
      check(
        2,
        'flammables',
        'containers',
        'Where is each container of something flammable?',
        'Touch each lid. Closed is not enough: it goes into its store or out of the room.',
      ),
      check(
        3,
        'rags',
        'choice',
        'Where are the wiping rags and papers?',
        'Look in pockets, on the vice and under the bench, then shut the lid.',
        [
          'all in the metal bin, lid shut',
          'out of the room',
          'in a bin without a shut lid',
          'lying out',
        ],
      ),
      check(
        4,
        'vapour',
        'vapour',
        'What does the gas meter read, in percent of the lower flammable limit?',
        'Hold it low by bench and floor.',
        [],
        '2 %',
        '10 % at most',
      ),
      check(
        5,
        'distance',
        'distance',
        'How far is the nearest thing that burns, and is it shielded?',
        'Measure to paper, cork dust, foam, curtains and boxes.',
        [],
        '12 m',
        '10.7 m or more, or shielded',
      ),
      check(
        6,
        'gun',
        'gun-temperature',
        'What is the gun set to?',
        'Read the dial before you switch on.',
        [],
        '140 °C',
        'below 80 % of the lowest autoignition temperature',
      ),
      check(
        7,
        'watcher',
        'watcher',
        'Who watches during the heat and for half an hour after it?',
        'They stay in the room and can use the extinguisher.',
      ),
    ],
  };
}

export function benchList(): ListView {
  return {
    ...heatList(),
    kind: 'open-bench',
    title: 'Open the bench',
    asksPin: false,
    checks: [
      check(
        1,
        'air',
        'choice',
        'What does a paper strip show at the air outlet?',
        'Hold the strip at the grille or the open window, not at the switch.',
        ['fan on, strip drawn to the outlet', 'no air moving'],
      ),
      check(
        2,
        'temperature',
        'value',
        'What does the thermometer at the bench show?',
        'Read it where the resin and the rod will stand.',
        [],
        '21 °C',
        '18 °C to 27 °C',
      ),
    ],
  };
}

/** Any other list: one question about what is seen. */
export function plainList(line: ListLine): ListView {
  return {
    ...benchList(),
    kind: line.kind,
    title: line.title,
    aim: line.aim,
    checks: [
      check(1, 'seen', 'choice', 'What is seen?', 'Look, then say it.', [
        'in order',
        'lying about',
      ]),
    ],
  };
}
