// The guide: two pages for somebody who has never seen the program.

export interface Part {
  title: string;
  /** Numbered, where the order matters. */
  steps?: string[];
  words?: string[];
}

export interface GuidePage {
  title: string;
  lead: string;
  parts: Part[];
}

export const GUIDE: [GuidePage, GuidePage] = [
  {
    title: 'A rod, from blank to hand-over',
    lead: 'Coldbench walks you through the build of a rod one step at a time, and keeps what you sign. This is the order of the work on its screens.',
    parts: [
      {
        title: 'Once, when the workshop is new',
        steps: [
          'Crew: add who works with you, each with a PIN of their own, and a station for each place with work of its own.',
          'Lots: register resin, finish and solvent as they come in.',
          'Ledger: name a folder for backups on another disk.',
        ],
      },
      {
        title: 'Each day',
        steps: [
          'Air: go through “Open the bench”. It asks about air, fire cover and washing, and holds for twelve hours. Without it no stage begins.',
          'In the evening go through “Close the bench”.',
        ],
      },
      {
        title: 'The drawing is the map',
        words: [
          'A part drawn solid is done, a hatched one cures, a dashed one is to come. Press a part to go to its stage.',
        ],
      },
      {
        title: 'Hands full of resin',
        words: [
          'The space bar signs; a foot pedal that acts as the space bar does too. Interrupted? Open the rod again: you come back to the same step with the same clocks.',
          'If you are lost, press F1.',
        ],
      },
      {
        title: 'Each rod',
        steps: [
          'Rack: press New rod. Measure the blank and write down what you read; the rod is drawn as you type.',
          'The rod’s sheet: under “Can be done now” press Begin. The first stage takes in and trims the blank, the next finds its spine.',
          'The walk: read the caution, do the step, enter what it asks for, sign. When the stage is done, go back to the rod’s sheet.',
          'Stages that wait for a cure say until when. Work on another rod meanwhile: the rack shows what can be done.',
          'Bend and guides: see how the rod bends, and set the guides before they are wrapped.',
          'After the last inspection, print the build log, and hand it over with the rod.',
        ],
      },
    ],
  },
  {
    title: 'Heat, resin and the record',
    lead: 'Some things are held back until they have been checked. This is what is held back and why, and what your signature means.',
    parts: [
      {
        title: 'What holds heat back',
        words: [
          'Solvent and finish give off vapour that burns, and a hot-air gun can light it. So a step with heat stays shut until the station is cleared: a reading of the airflow, containers shut and away, rags, wet work, vapour, distance, the setting of the gun, an extinguisher, and somebody who watches.',
          'A clearance lasts half an hour. It ends at once when something flammable is opened or used in the room, when the air stops, when the watcher leaves, or when the program was shut. What nobody knows means no heat. After heat the place is watched for an hour, and the watch is signed.',
        ],
      },
      {
        title: 'When something goes wrong',
        words: [
          'Air has a list for a spill and one for skin and eyes. What to do first can be read there without a PIN.',
        ],
      },
      {
        title: 'What the clocks mean',
        words: [
          'Working time: how long the mix can still be worked. When it is over, mix anew.',
          'Cure: when the bond may be handled. It follows the adhesive’s sheet and how warm the room was read to be, so a cold night makes it longer.',
          'Watch: the time after heat in which somebody stays.',
        ],
      },
      {
        title: 'What is signed',
        words: [
          'That a caution was read, that a step was done, what was measured, which lot was used, who witnessed. Your PIN unlocks your key; a hold point asks for it again.',
          'Nothing signed is rubbed out. Put a mistake right with a reason: the old entry and the new one both stay, on screen and on paper.',
        ],
      },
      {
        title: 'What it can’t promise',
        words: [
          'Coldbench advises and records. It is no gas detector and no interlock, and it does not certify a place. The estimate knows only what somebody set down.',
          'The record shows that nothing was changed later, not that what was entered is true. Local codes, the product’s safety data sheet and licensed practice come first. In doubt: no heat.',
        ],
      },
    ],
  },
];
