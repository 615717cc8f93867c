// The fake's air: rooms in which an invented vapour dies away, what was used, the watch after heat.
// No second set of rules, and no physics either. Not part of the window.

import { refuse } from './fakeLedger';
import { iso, type World } from './fakeWorld';
import type { AirView, AnswerDraft, MaterialLine, StationView } from './generated/types';

const MINUTE = 60_000;
const LIMIT = 10;

interface Release {
  at: number;
  /** Percent of the lower flammable limit that it adds at once. */
  adds: number;
  words: string;
}

/** The air of one station. */
export interface FakeAir {
  flow: string | null;
  flowM3H: number;
  readAt: number;
  releases: Release[];
  unsaid: string[];
  /** In how many minutes the estimate falls to a third; grows without bound when nothing moves. */
  minutes: number;
  shares: string[];
  watchUntil: number | null;
}

const material = (
  id: string,
  title: string,
  burns: string,
  caution: string | null,
  amounts: [string, string][] = [],
  missing: string[] = [],
): MaterialLine => ({
  id,
  title,
  burns,
  caution,
  missing,
  hourly:
    burns.startsWith('burns') && missing.length === 0
      ? 'At this airflow an hour bears 31 mL before heat has to wait; 4 mL for the exposure limits.'
      : null,
  amounts: amounts.map(([name, amount]) => ({ name, amount })),
});

const SKIN =
  'Uncured resin on skin can bring an epoxy allergy that stays for life. Wear nitrile gloves, change them often. The safety data sheet comes first.';
const VAPOUR =
  'Vapour catches fire, creeps along the bench and dulls the head. Keep air moving and flames out; heat waits. The safety data sheet comes first.';
const BURNS = 'burns (H225 Highly flammable liquid and vapour)';
const CLOTHS: [string, string][] = [
  ['a damp cloth', '5 mL'],
  ['a wet cloth', '15 mL'],
  ['a brush jar filled', '60 mL'],
];

const MATERIALS: MaterialLine[] = [
  material('acetone', 'Acetone', BURNS, VAPOUR, CLOTHS),
  material('isopropyl-alcohol', 'Isopropyl alcohol', BURNS, VAPOUR, CLOTHS),
  material('denatured-alcohol', 'Denatured alcohol', BURNS, VAPOUR, CLOTHS),
  material('lacquer-thinner', 'Lacquer thinner', BURNS, VAPOUR, CLOTHS),
  material('vmp-naphtha', 'VM&P naphtha', BURNS, VAPOUR, CLOTHS),
  material('epoxy-resin', 'Slow-cure epoxy, resin', 'does not burn as a liquid', SKIN, [
    ['one grip', '20 mL'],
  ]),
  material('thread-finish', 'Thread finish (two-part epoxy)', 'does not burn as a liquid', SKIN, [
    ['one coat', '6 mL'],
  ]),
  material(
    'colour-preserver',
    'Colour preserver',
    'nobody knows whether it burns',
    VAPOUR,
    [['one rod', '3 mL']],
    ['The density is not known.', 'The share of the solvent is not known.'],
  ),
];

const LONG = ', by somebody with a name that is long enough to fill a line of its own';

function air(some: Partial<FakeAir> = {}): FakeAir {
  return {
    flow: '0.8 m/s through 0.12 m2: 346 m³/h. (Ada Reeve, 14 min ago)',
    flowM3H: 346,
    readAt: Date.now() - 14 * MINUTE,
    releases: [],
    unsaid: [],
    minutes: 38,
    shares: [],
    watchUntil: null,
    ...some,
  };
}

const used = (minutesAgo: number, adds: number, words: string): Release => ({
  at: Date.now() - minutesAgo * MINUTE,
  adds,
  words,
});

const TWO = [
  used(95, 22, '15 mL of Isopropyl alcohol: a wet cloth (Bench, Ada Reeve)'),
  used(21, 26, '5 mL of Acetone: a damp cloth (Bench, Jon Tarn)'),
];

/**
 * Scenes of the air: `normal` falls towards the limit; `unknown`: something is open; `unread`: nobody
 * read the air; `above`: far above, and nothing moves; `below`; `watch` and `watched`: heat was used;
 * `full`: forty releases with long names.
 */
function airOf(scene: string, at: number): FakeAir {
  const unread = { flow: null, flowM3H: 0, minutes: 1e9 };
  if (at > 0 && scene !== 'full') return air(unread);
  if (scene === 'fresh') return air(unread);
  if (scene === 'unknown')
    return air({
      releases: TWO,
      unsaid: [
        '“Thread finish, solvent-borne” is open.',
        'Say how much was used: Isopropyl alcohol, 1 litre (22 min ago)',
      ],
    });
  if (scene === 'unread') return air({ ...unread, releases: TWO });
  if (scene === 'above')
    return air({
      readAt: Date.now() - 90 * MINUTE,
      shares: ['Heat corner'],
      releases: [...TWO, used(12, 310, '500 mL of Lacquer thinner: spilled (Bench, Jon Tarn)')],
    });
  if (scene === 'below') return air({ releases: TWO, minutes: 14 });
  if (scene === 'watch') return air({ watchUntil: Date.now() + 41 * MINUTE });
  if (scene === 'watched') return air({ watchUntil: Date.now() - 3 * MINUTE });
  if (scene === 'full')
    return air({
      shares: [`Station 2${LONG}`, 'Station 3', `Station 4${LONG}`],
      unsaid: [],
      releases: Array.from({ length: 40 }, (_, i) =>
        used(
          460 - i * 11,
          3 + (i % 4),
          `${5 + i} mL of Denatured alcohol: a cloth for the blank of rod ${i + 1}${i % 2 ? LONG : ''} (Station ${1 + (i % 4)}, Ada Reeve${LONG})`,
        ),
      ),
    });
  return air({ releases: TWO });
}

const percentAt = (fake: FakeAir, ms: number) =>
  fake.releases
    .filter((release) => release.at <= ms)
    .reduce((sum, one) => sum + one.adds * Math.exp(-(ms - one.at) / MINUTE / fake.minutes), 0);

function unknownOf(fake: FakeAir, station: StationView): string | null {
  if (station.room === null) return 'The volume of the room is not known.';
  if (fake.flow === null) return 'Nobody has read the air of this room.';
  if (fake.unsaid.length > 0) return `Not all that was used is set down: ${fake.unsaid[0]}`;
  return null;
}

function viewOf(fake: FakeAir, station: StationView): AirView {
  const now = Date.now();
  const until = fake.readAt + 60 * MINUTE;
  const unknown = unknownOf(fake, station);
  const percent = unknown === null ? percentAt(fake, now) : null;
  const to = (ms: number) => new Date(ms).toISOString();
  let heatFrom: number | null = null;
  if (percent !== null && percent > LIMIT && fake.minutes < 1e6)
    heatFrom = now + fake.minutes * MINUTE * Math.log(percent / LIMIT);
  const first = fake.releases[0]?.at;
  const last = (heatFrom ?? now) + 60 * MINUTE;
  const curve = (from: number) =>
    Array.from({ length: 120 }, (_, i) => from + ((last - from) * i) / 119)
      .concat(fake.releases.flatMap(({ at }) => [at - 1, at]).filter((at) => at >= from))
      .sort((a, b) => a - b)
      .map((ms) => ({ at: to(ms), percent: percentAt(fake, ms) }));
  const mean = percent === null ? null : Math.round(percent * 9);
  return {
    volume: station.room,
    sharedWith: fake.shares,
    flow: fake.flow,
    flowM3H: now < until ? fake.flowM3H : 0,
    readingUntil: fake.flow !== null ? to(until) : null,
    percent,
    unknown,
    limitPercent: LIMIT,
    heatFrom: heatFrom === null ? null : to(heatFrom),
    exposure:
      mean === null
        ? [`Mean of the last 15 minutes: not known. ${unknown}`]
        : [
            `Mean of the last 15 minutes: ${mean} % of the exposure limits.`,
            `Mean of the last 8 hours: ${Math.round(mean / 3)} % of the exposure limits.`,
          ],
    overExposed: (mean ?? 0) > 100,
    curve: unknown === null && first !== undefined ? curve(first) : [],
    releases: fake.releases.map(({ at, words }) => ({ at: to(at), words })),
    unsaid: fake.unsaid,
    materials: MATERIALS,
    days: fake.releases.length > 0 ? [0, 1, 4].map((ago) => iso(-ago * 24 * 60).slice(0, 10)) : [],
  };
}

export interface AirCommands {
  /** The station with its air as it is now. */
  whole: (station: StationView) => StationView;
  commands: Record<string, (a: any) => unknown>;
}

/** `who` is unlocked; `stationOf` finds a station or refuses. */
export function airCommands(
  scene: string,
  w: World,
  stationOf: (id: string) => StationView,
  who: () => string,
): AirCommands {
  const rooms = new Map<string, FakeAir>();
  w.stations.forEach((station, i) => rooms.set(station.id, airOf(scene, i)));
  const roomOf = (id: string): FakeAir => {
    const known = rooms.get(id) ?? airOf('fresh', 0);
    rooms.set(id, known);
    return known;
  };
  const withdraw = (station: StationView, why: string) => {
    if (!station.clearance?.live) return;
    station.clearance = { ...station.clearance, live: false, ended: `Withdrawn: ${why}` };
    station.heatMissing = [`The clearance was withdrawn: ${why}`];
  };
  return {
    whole: (station) => {
      const fake = roomOf(station.id);
      const over = fake.watchUntil !== null && fake.watchUntil <= Date.now();
      const until = fake.watchUntil === null ? null : new Date(fake.watchUntil).toISOString();
      const air = viewOf(fake, station);
      const known = air.percent !== null;
      return structuredClone({
        ...station,
        air,
        vapourKnown: known,
        vapour: known
          ? `By the estimate ${air.percent?.toFixed(1)} % of the lower flammable limit.`
          : `No data: ${air.unknown}`,
        watch: until === null ? null : { until, over, watcher: 'Jon Tarn' },
      });
    },
    commands: {
      read_air: ({ station, answer }: { station: string; answer: AnswerDraft }) => {
        const words =
          answer.form === 'traverse'
            ? [answer.speeds.join(', '), answer.opening, answer.free]
            : Object.values(answer).slice(1).map(String);
        if (words.some((word) => word.trim() === ''))
          throw refuse('Airflow: Enter a value, for example 0.5 m/s or 100 fpm.', 'bad-input');
        if (answer.form === 'traverse' && answer.speeds.length < 4)
          throw refuse('Take four speeds or more, spread evenly over the opening.', 'bad-input');
        const flow = `${words.join(' through ')}: 412 m³/h. (${who()}, a moment ago)`;
        Object.assign(roomOf(station), { flow, flowM3H: 412, readAt: Date.now(), minutes: 30 });
      },
      stop_air: ({ station }) => {
        Object.assign(roomOf(station), {
          flow: `The ventilation stopped. (${who()}, a moment ago)`,
          flowM3H: 0,
          minutes: 1e9,
        });
        withdraw(stationOf(station), 'the ventilation stopped.');
      },
      record_release: ({ station, material: id, amount, purpose }) => {
        const line = MATERIALS.find((one) => one.id === id);
        const much = parseFloat(amount);
        if (!line) throw refuse('There is no such material here.');
        if (Number.isNaN(much))
          throw refuse(
            `How much ${line.title} was used: “${amount}” is not a value with a unit known here. Write for example 15 mL or 0.5 fl oz.`,
            'bad-input',
          );
        const room = roomOf(station);
        const words = `${amount} of ${line.title}: ${purpose} (${stationOf(station).name}, ${who()})`;
        room.releases.push({ at: Date.now(), adds: line.burns === BURNS ? much : 0, words });
        room.unsaid = room.unsaid.filter((said) => said.endsWith('is open.'));
        if (line.burns !== 'does not burn as a liquid' && much > 0)
          withdraw(stationOf(station), 'something that burns was opened or used here.');
      },
      sign_watch: ({ station }) => {
        const room = roomOf(station);
        if (room.watchUntil !== null && room.watchUntil > Date.now())
          throw refuse('Watch the place for another 41 min. Then sign that it was kept.');
        room.watchUntil = null;
      },
      close_station: ({ station }) => {
        const s = stationOf(station);
        const open = s.containers.filter((c) => c.open).map((c) => `“${c.name}” is open.`);
        if (open.length > 0) throw refuse(`The station can’t be closed yet: ${open.join(' ')}`);
        s.openUntil = null;
      },
    },
  };
}
