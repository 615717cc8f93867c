// Invented stages for trying the screens without the shell. Not part of the window.

import type { RecordView, StepView } from './generated/types';

export interface FakeStage {
  id: string;
  title: string;
  aim: string;
  needs: string[];
  part: string | null;
  steps: StepView[];
}

type Some = Partial<StepView> & Pick<StepView, 'id' | 'what' | 'keyPoint' | 'reason'>;

const record = (name: string, limits: string, example: string): RecordView => ({
  name,
  limits,
  example,
  room: false,
  repeat: 1,
  values: [],
  value: null,
  within: false,
  accepted: null,
  acceptable: true,
});

function steps(list: Some[]): StepView[] {
  return list.map((some, i) => ({
    number: i + 1,
    caution: null,
    hazards: [],
    statements: null,
    wear: [],
    understood: false,
    figures: [],
    picture: null,
    record: null,
    lot: null,
    starts: null,
    waitsFor: null,
    mixAnew: null,
    gate: null,
    witness: false,
    asksPin: false,
    doneBy: null,
    source: null,
    notes: [],
    blocked: null,
    ...some,
  }));
}

const SKIN = [
  { code: 'EUH205', words: 'contains epoxy and can make skin allergic' },
  { code: 'H317', words: 'can make skin allergic' },
];

export const STAGES: FakeStage[] = [
  {
    id: 'spine',
    title: 'Find and mark the spine',
    aim: 'Three trials agree on the spine, and it is marked where the mark will outlast the handle.',
    needs: [],
    part: null,
    steps: steps([
      {
        id: 'look-over',
        what: 'Wipe along the blank with a cotton pad, then roll it slowly on a flat board.',
        keyPoint: 'The pad snags where fibres are broken.',
        reason: 'A cracked blank breaks in the trials.',
        caution:
          'Broken fibres stick in the skin, and a cracked blank can burst when bent. Wear eye protection and gloves; put a blank that snags aside.',
        wear: ['eye protection', 'work gloves'],
        picture: 'pad-snags',
        record: record('Most that the gap changes in one turn', '10 mm at most', '4 mm'),
      },
      {
        id: 'mark',
        what: 'Mark the middle of the three at the butt and again ahead of the handle.',
        keyPoint: 'Across zero mind the count: 350 and 10 meet at 0, not at 180.',
        reason: 'The butt mark goes under the grip.',
        record: record('Mark, read on the scale', '0° to 360°', '184°'),
        witness: true,
        asksPin: true,
      },
    ]),
  },
  {
    id: 'rear-grip',
    title: 'Bond the rear grip',
    aim: 'The rear grip sits at its mark in a thin, even bond of cured epoxy.',
    needs: ['spine'],
    part: 'rear-grip',
    steps: steps([
      {
        id: 'weigh',
        what: 'Put on fresh gloves, and weigh resin and hardener into one cup by the ratio on the product’s sheet.',
        keyPoint:
          'The weight ratio is for the scale, the volume ratio for the lines on the cup. Read both; they must agree.',
        reason:
          'The two liquids differ in density, so the two ratios differ. More hardener does not cure faster; it stays soft.',
        caution:
          'Uncured resin and hardener can make skin allergic and harm eyes. Wear nitrile gloves; change them when soiled. On skin: soap and water, no solvent. The safety data sheet comes first.',
        hazards: [...SKIN, { code: 'H318', words: 'can damage eyes for good' }],
        wear: ['fresh nitrile gloves', 'eye protection', 'sleeves rolled down'],
        record: record(
          'Hardener weighed, in percent of what the sheet asks',
          '95 % to 105 %',
          '100 %',
        ),
        lot: {
          material: 'Epoxy resin and hardener',
          named: null,
          offered: [],
          expired: null,
          accepted: null,
        },
        witness: true,
        source: 'Common practice, no source; the product’s sheet comes first.',
      },
      {
        id: 'mix',
        what: 'Stir slowly for two minutes, scrape wall and bottom, then pour it out into a flat tray.',
        keyPoint:
          'Start the clock when the stick first goes in, and read the thermometer beside the cup.',
        reason:
          'Resin left on the wall never sets. A deep cup heats itself and shortens your time.',
        caution:
          'A full cup can heat up and smoke: pour it out thin, and never cap it. Keep gloves on; resin can make skin allergic. The safety data sheet comes first.',
        hazards: SKIN,
        wear: ['nitrile gloves', 'eye protection'],
        record: record('Room beside the cup', '18 °C to 27 °C', '21 °C'),
        starts: { name: 'Resin for the grip', kind: 'working-time', minutes: 45, running: null },
      },
      {
        id: 'bond',
        what: 'Spread a thin, even layer on the blank and in the bore, and turn the grip home to its mark.',
        keyPoint:
          'Turn it as it slides. Measure the front edge, start the cure clock, and let the grip rest.',
        reason: 'Turning carries resin all round. A dry patch creaks under load and lets water in.',
        record: record('Front edge off its mark', '1 mm at most', '0.5 mm'),
        starts: { name: 'Bond of the rear grip', kind: 'cure', minutes: 1440, running: null },
      },
      {
        id: 'cured',
        what: 'When the cure has run out, try the leftover in the tray, then measure the grip’s front edge.',
        keyPoint:
          'The leftover takes no mark from a fingernail in a glove. If it does, wait longer.',
        reason: 'The clock knows nothing of a cold night or a poor mix. The leftover shows both.',
        record: record('Front edge off its mark, cured', '1 mm at most', '0.5 mm'),
      },
    ]),
  },
  {
    id: 'sleeve-by-heat',
    title: 'Shrink the sleeve over the grip',
    aim: 'The sleeve grips the core all round, was not overheated, and the place was watched afterwards.',
    needs: ['rear-grip'],
    part: 'sleeve',
    steps: steps([
      {
        id: 'shrink-middle',
        what: 'Under a live clearance, shrink a ring at the middle, turning the rod and moving the gun all the time.',
        keyPoint: 'Set the gun first. At any smoke or sharp smell, gun off, air on, and stop.',
        reason: 'Air at the nozzle is hotter than the sleeve ever needs to be.',
        caution:
          'Hot air burns skin and lights vapour; an overheated sleeve gives off acid fumes. Air on, gloves on, watcher there. Local codes and the safety data sheet come first.',
        hazards: [
          { code: 'heat', words: 'heat that burns and lights vapour' },
          { code: 'fumes', words: 'fumes from overheated plastic' },
        ],
        wear: ['heat-resistant gloves', 'eye protection'],
        gate: {
          open: false,
          clearance: null,
          until: null,
          watcher: '',
          watchesAlone: false,
          gunLimit: '150 °C',
          missing: [],
        },
        record: record('Gun, as set', '90 °C to 150 °C', '140 °C'),
        witness: true,
        asksPin: true,
      },
      {
        id: 'trim',
        what: 'Trim the cold sleeve square at both ends of the core.',
        keyPoint: 'Slip a turn of thin metal under the cut.',
        reason: 'A blank scored by a knife breaks at the score.',
      },
    ]),
  },
  {
    id: 'reel-seat',
    title: 'Bed the reel seat',
    aim: 'The reel seat is bedded in cured epoxy, with the reel foot in line with the guide side.',
    needs: ['rear-grip', 'sleeve-by-heat'],
    part: 'reel-seat',
    steps: steps([
      {
        id: 'dry-align',
        what: 'Slide the seat on dry, fit the reel, and turn its foot to the guide side.',
        keyPoint: 'Sight from the butt over the foot to the forward mark.',
        reason: 'A seat out of line drags every guide with it.',
        record: record('Reel foot off the guide side, dry', '-3° to 3°', '1°'),
        witness: true,
      },
    ]),
  },
];
