import { afterEach, expect, test } from 'vitest';
import { desk } from '../src/domain/desk.svelte';
import {
  flowWords,
  heatFromWords,
  percentWords,
  sharedWords,
  speedsWords,
  splitSpeeds,
  unknownWords,
  wholeMinute,
} from '../src/domain/air';
import type { AirView, StationView } from '../src/lib/generated/types';
import Air from '../src/views/Air.svelte';
import Crew from '../src/views/Crew.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());
const words = (id: string) => at(id).textContent.replace(/\s+/g, ' ').trim();
const here = (id: string) => document.getElementById(id) !== null;
async function air(scene: string, id = 'bench', before?: Parameters<typeof show>[3]) {
  const shown = await show(Air, { id }, scene, before);
  close = () => void shown.close();
  return shown.fake;
}
function choose(id: string, value: string) {
  const select = at<HTMLSelectElement>(id);
  select.value = value;
  expect(select.value).toBe(value);
  select.dispatchEvent(new Event('change', { bubbles: true }));
}

const NOON = new Date(2026, 10, 25, 12, 0, 0).getTime();
const iso = (minutes: number) => new Date(NOON + minutes * 60_000).toISOString();
const AIR: AirView = {
  volume: '60 m3',
  sharedWith: [],
  flow: '0.8 m/s through 0.12 m2: 346 m³/h.',
  flowM3H: 345.6,
  readingUntil: iso(40),
  percent: 23.4,
  unknown: null,
  limitPercent: 10,
  heatFrom: iso(152),
  exposure: [],
  overExposed: false,
  curve: [],
  releases: [],
  unsaid: [],
  materials: [],
  days: [],
};

test('speeds are split at spaces and semicolons, and a unit at the end holds for all', () => {
  const four = ['0.8 m/s', '0.7 m/s', '0.9 m/s', '0.8 m/s'];
  expect(splitSpeeds('0.8 0.7 0.9 0.8 m/s')).toEqual(four);
  expect(splitSpeeds(' 0.8;0.7; 0.9 ;0.8m/s ')).toEqual(four);
  expect(splitSpeeds('0.8 m/s; 0.7 m/s; 0.9 m/s; 0.8 m/s')).toEqual(four);
  expect(splitSpeeds('0.8, 0.7, 0.9, 0.8 m/s')).toEqual(four);
  expect(splitSpeeds('160 150 ft / min')).toEqual(['160 ft/min', '150 ft/min']);
  expect(splitSpeeds('  ;; ')).toEqual([]);
});

test('a unit that is not the last word is lent to nobody, nor is one among several', () => {
  expect(splitSpeeds('0.8 m/s 0.7 0.9')).toEqual(['0.8 m/s', '0.7', '0.9']);
  expect(splitSpeeds('0.8 m/s 150 160 fpm')).toEqual(['0.8 m/s', '150', '160 fpm']);
  expect(splitSpeeds('0.8 0.7')).toEqual(['0.8', '0.7']);
  expect(splitSpeeds('fast 0.7 m/s')).toEqual(['fast', '0.7 m/s']);
});

test('how the speeds were understood is said', () => {
  expect(speedsWords('')).toBe('');
  expect(speedsWords('0.8 m/s')).toBe('Read as 1 speed: 0.8 m/s.');
  expect(speedsWords('1 2 m/s')).toBe('Read as 2 speeds: 1 m/s, 2 m/s.');
});

test('a percent is rounded up, so that above the limit never reads as at it', () => {
  expect(percentWords(10.01)).toBe('10.1 %');
  expect(percentWords(10)).toBe('10 %');
  expect(percentWords(0)).toBe('0 %');
  expect(percentWords(0.001)).toBe('0.1 %');
  expect(percentWords(0.1 + 0.2)).toBe('0.3 %');
  expect(percentWords(236.2)).toBe('237 %');
});

test('the time at which heat may begin is never told too early', () => {
  const early = new Date(NOON + 61_000).toISOString();
  expect(wholeMinute(early)).toBe(iso(2));
  expect(wholeMinute(iso(2))).toBe(iso(2));
  expect(heatFromWords({ ...AIR, heatFrom: early }, NOON)).toContain('at 12:02 if the air goes on');
});

test('when heat may begin: later, already, never, or nothing is known', () => {
  expect(heatFromWords(AIR, NOON)).toContain(
    'Heat may begin at 14:32 if the air goes on as it was read',
  );
  const below = { ...AIR, percent: 9.9, heatFrom: iso(0) };
  expect(heatFromWords(below, NOON)).toContain('at or below the limit for heat already');
  // It is below now, but the shell knows that it will not stay there.
  expect(heatFromWords({ ...below, heatFrom: iso(30) }, NOON)).toContain('Heat may begin at 12:30');
  expect(heatFromWords({ ...AIR, heatFrom: null }, NOON)).toContain('does not fall to the limit');
  expect(heatFromWords({ ...AIR, percent: null }, NOON)).toBe('');
});

test('no figure is said in words, and that it means no heat', () => {
  const unknown = { ...AIR, percent: null, unknown: 'The volume is missing' };
  expect(unknownWords(unknown)).toBe('No data: The volume is missing. No data means no heat.');
  expect(unknownWords({ ...unknown, unknown: null })).toContain('No data means no heat.');
});

test('a reading counts until its time is over, by our own clock too', () => {
  expect(flowWords(AIR, NOON)).toBe('345 m³/h count now, until 12:40.');
  expect(flowWords(AIR, NOON + 40 * 60_000)).toContain('counts no more since 12:40');
  expect(flowWords({ ...AIR, flowM3H: 0, readingUntil: null }, NOON)).toContain(
    'counts no more: 0',
  );
  expect(flowWords({ ...AIR, flow: null, flowM3H: 0, readingUntil: null }, NOON)).toContain(
    'Nobody',
  );
});

test('who shares the air', () => {
  expect(sharedWords([])).toBe('');
  expect(sharedWords(['Heat corner'])).toBe('Shares its air with Heat corner.');
  expect(sharedWords(['A', 'B', 'C'])).toBe('Shares its air with A, B and C.');
});

test('above the limit: the figure, when it could be, and that it is no detector', async () => {
  await air('above');
  expect(at('air-panel').dataset.above).toBe('true');
  expect(words('air-percent')).toMatch(/^\d{3} %$/);
  expect(words('heat-from')).toMatch(/Heat may begin at .*\d\d:\d\d/);
  expect(words('air-estimate')).toContain('If you smell solvent, treat it as no clearance.');
  expect(words('exposure')).toContain('The health limits are passed.');
  expect(words('flow')).toContain('counts no more since');
  expect(words('flow')).toContain('Shares its air with Heat corner.');
  expect(at('air-curve').getAttribute('role')).toBe('img');
  expect(at('air-curve').getAttribute('aria-label')).toContain('limit of 10 % for heat');
});

test('unknown: no figure, no curve, and the way to say what was used', async () => {
  await air('unknown');
  expect(words('air-percent')).toBe('unknown');
  expect(words('air-unknown')).toContain('No data means no heat.');
  expect(words('air-estimate')).toContain('no gas detector');
  expect(here('heat-from')).toBe(false);
  expect(here('air-curve')).toBe(false);
  expect(words('unsaid')).toContain('Say how much was used');
  await press('to-used');
  expect(document.activeElement?.id).toBe('used-acetone');
});

test('nothing set down: the words stand in the place of the curve', async () => {
  await air('watch');
  expect(words('air-curve-none')).toContain('Nothing was set down today');
  expect(words('exposure')).not.toContain('are passed');
});

test('two touches set down what was used, after the caution, and a clearance is gone', async () => {
  const fake = await air('below', 'bench', async ({ world }) => {
    world.stations[0]!.clearance = {
      id: 'HC-7',
      live: true,
      granted: new Date().toISOString(),
      until: new Date(Date.now() + 600_000).toISOString(),
      by: 'Ada Reeve',
      watcher: 'Jon Tarn',
      gun: '140 °C',
      vapour: '',
      ended: null,
    };
  });
  expect(at('verdict').dataset.live).toBe('true');
  const before = at('releases').children.length;
  await press('used-isopropyl-alcohol');
  expect(document.activeElement?.id).toBe('used-chosen');
  const caution = at('used').querySelector('.hazard')!;
  const order = caution.compareDocumentPosition(at('amount-0'));
  expect(order & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();
  expect(words('amount-1')).toBe('15 mL a wet cloth');
  await press('amount-1');
  expect(fake.calls.filter((call) => call === 'record_release')).toHaveLength(1);
  expect(at('releases').children.length).toBe(before + 1);
  expect(words('releases')).toContain('15 mL of Isopropyl alcohol: a wet cloth');
  expect(words('used-said')).toContain('Set down: 15 mL of Isopropyl alcohol, a wet cloth.');
  expect(words('used-said')).toContain('Clearance HC-7 is withdrawn: no heat.');
  expect(at('verdict').dataset.live).toBe('false');
  expect(here('amount-0')).toBe(false);
});

test('an amount of one’s own; a wrong one is told and kept', async () => {
  const fake = await air('normal');
  await press('used-acetone');
  type('used-amount', 'a lot');
  type('used-purpose', 'wiping the blank');
  await press('used-record');
  expect(words('used-trouble')).toContain('a lot');
  expect(at<HTMLInputElement>('used-amount').value).toBe('a lot');
  type('used-amount', '8 mL');
  await press('used-record');
  expect(here('used-trouble')).toBe(false);
  expect(words('used-said')).toContain('every clearance in this room is withdrawn');
  expect(words('releases')).toContain('8 mL of Acetone: wiping the blank');
  expect(fake.calls.filter((call) => call === 'record_release')).toHaveLength(2);
});

test('no more than is set down settles what was unsaid', async () => {
  await air('unknown');
  expect(words('unsaid')).toContain('Isopropyl alcohol, 1 litre');
  await press('used-isopropyl-alcohol');
  await press('used-none');
  expect(words('used-said')).toBe('Set down: no more of Isopropyl alcohol than before.');
  expect(words('unsaid')).not.toContain('Isopropyl alcohol, 1 litre');
});

test('what a material file leaves out is said before its amounts', async () => {
  await air('normal');
  await press('used-colour-preserver');
  expect(words('used-missing')).toContain('no heat after it was used');
  expect(words('used-missing')).toContain('The density is not known.');
});

test('the air is read by a traverse, and the fields are empty then', async () => {
  const fake = await air('unread');
  expect(words('flow')).toContain('Nobody has read the air yet');
  await press('to-read-air');
  expect(document.activeElement?.id).toBe('speed-room');
  type('traverse-speeds-room', '0.8 0.7 0.9 m/s');
  type('traverse-opening-room', '0.12 m2');
  type('traverse-free-room', '70 %');
  await press('record-traverse-room');
  expect(words('read-air-trouble')).toContain('four speeds');
  expect(at<HTMLInputElement>('traverse-speeds-room').value).toBe('0.8 0.7 0.9 m/s');
  type('traverse-speeds-room', '0.8 0.7 0.9 0.8 m/s');
  await settle();
  expect(words('traverse-read-room')).toContain('4 speeds');
  await press('record-traverse-room');
  expect(fake.calls.filter((call) => call === 'read_air')).toHaveLength(2);
  expect(at('flow').dataset.counts).toBe('true');
  expect(words('flow')).toContain('0.8 m/s, 0.7 m/s, 0.9 m/s, 0.8 m/s');
  expect(at<HTMLInputElement>('traverse-speeds-room').value).toBe('');
  expect(words('read-air')).toContain('An open window is not counted');
});

test('a fan with a filter is three figures, in the room and in the check', async () => {
  await air('unread');
  type('fan-flow-room', '420 m3/h');
  type('fan-share-room', '60 %');
  type('fan-filter-room', '30 %');
  await press('record-fan-room');
  expect(words('read-air-said')).toContain('420 m3/h through 60 % through 30 %');
  await press('begin-heat-clearance');
  for (const id of ['speed', 'flow', 'traverse-speeds', 'fan-flow']) at(`${id}-airflow`);
  type('fan-flow-airflow', '420 m3/h');
  await press('record-fan-airflow');
  expect(at('check-airflow').dataset.standing).toBe('passes');
});

test('the ventilation stopped: nothing is counted from then on', async () => {
  await air('normal');
  expect(at('flow').dataset.counts).toBe('true');
  await press('stop-air');
  expect(at('flow').dataset.counts).toBe('false');
  expect(words('heat-from')).not.toContain('Heat may begin at');
});

test('a watch can be signed once it is over, and not before', async () => {
  await air('watch');
  expect(words('watch')).toContain('left');
  expect(words('watch')).toContain('smoulder');
  expect(here('watch-sign')).toBe(false);
  close();
  await air('watched');
  expect(words('watch')).toContain('Jon Tarn watches.');
  await press('watch-sign');
  expect(here('watch')).toBe(false);
});

test('the station is closed when nothing stands open, and the refusal is told', async () => {
  // The list for it is what closes a station; the button is there where that list can't be used.
  await air('normal', 'bench', async (fake) => {
    const invoke = fake.invoke.bind(fake);
    fake.invoke = async (command, args) => {
      const answer: unknown = await invoke(command, args);
      const station = answer as StationView;
      if (command === 'station')
        station.lists = station.lists.filter((list) => list.kind !== 'close-bench');
      return answer;
    };
  });
  await press('close-station');
  expect(words('close-station-trouble')).toContain('is open');
  await press('close-c2');
  await press('close-station');
  expect(here('close-station')).toBe(false);
  expect(here('close-station-trouble')).toBe(false);
});

test('a container by its material: the name is offered, the id is sent, other sends none', async () => {
  const fake = await air('normal');
  const sent: unknown[] = [];
  const invoke = fake.invoke.bind(fake);
  fake.invoke = async (command, args) => {
    if (command === 'list_container') sent.push(args);
    return invoke(command, args);
  };
  choose('container-material', 'acetone');
  await settle();
  expect(at<HTMLInputElement>('container-name').value).toBe('Acetone');
  await press('container-add');
  type('container-name', 'Wax');
  await press('container-add');
  expect(sent).toEqual([
    { station: 'bench', name: 'Acetone', autoignition: '', material: 'acetone' },
    { station: 'bench', name: 'Wax', autoignition: '', material: null },
  ]);
});

test('the log of a day: the name follows the day until one is typed', async () => {
  const fake = await air('normal');
  const days = [...at<HTMLSelectElement>('log-day').options].map((option) => option.value);
  const path = () => at<HTMLInputElement>('log-save-path').value;
  expect(fake.calls).not.toContain('preview_pages');
  await press('log-open');
  expect(path()).toBe(`/home/builder/Documents/station-log-bench-${days[0]}.pdf`);
  expect(words('log-preview')).toContain(`station-log bench ${days[0]}, page 1`);
  choose('log-day', days[1]!);
  await settle();
  expect(path()).toBe(`/home/builder/Documents/station-log-bench-${days[1]}.pdf`);
  expect(words('log-preview')).toContain(`station-log bench ${days[1]}, page 1`);
  type('log-save-path', '/tmp/mine.pdf');
  choose('log-day', days[2]!);
  await settle();
  expect(path()).toBe('/tmp/mine.pdf');
  await press('log-save');
  expect(fake.calls).toContain('save_pages');
  expect(words('log-saved')).toBe('Saved as /tmp/mine.pdf.');
  // The desk looks around every few seconds: no page is drawn again for that.
  const drawn = () => fake.calls.filter((call) => call === 'preview_pages').length;
  const before = drawn();
  desk.beat += 1;
  await desk.refresh();
  await settle();
  expect(drawn()).toBe(before);
});

test('forty releases: the latest few, and all of them when asked for', async () => {
  await air('full', 's0');
  expect(at('releases').children.length).toBe(4);
  expect(words('releases')).toContain('rod 40');
  await press('releases-all');
  expect(at('releases').children.length).toBe(40);
});

test('a station in a shared room is not asked for a volume, and sends none', async () => {
  const shown = await show(Crew, {}, 'normal');
  close = () => void shown.close();
  const sent: unknown[] = [];
  const invoke = shown.fake.invoke.bind(shown.fake);
  shown.fake.invoke = async (command, args) => {
    if (command === 'add_station') sent.push(args);
    return invoke(command, args);
  };
  type('station-name', 'Lathe');
  type('station-room', '12 m3');
  choose('station-shares', 'bench');
  await settle();
  expect(here('station-room')).toBe(false);
  await press('station-add');
  type('station-name', 'Shed');
  type('station-room', '12 m3');
  await press('station-add');
  expect(sent).toEqual([
    { name: 'Lathe', room: '', sharesRoomWith: 'bench' },
    { name: 'Shed', room: '12 m3', sharesRoomWith: null },
  ]);
});

test('a room without a volume says where it is set down, and one with a volume can be put right', async () => {
  await air('fresh');
  expect(words('bench')).toContain('of unknown volume');
  await press('to-room');
  expect(document.activeElement?.id).toBe('room-volume');
  type('room-volume', 'large');
  await press('room-submit');
  expect(words('room-trouble')).toContain('not a value with a unit');
  type('room-volume', '60 m3');
  await press('room-submit');
  await settle();
  expect(here('to-room')).toBe(false);
  expect(words('room')).toContain('Room: 60 m3.');
  expect(here('room-volume')).toBe(false);
  await press('room-correct');
  type('room-volume', '62 m3');
  await press('room-submit');
  await settle();
  expect(words('room')).toContain('Room: 62 m3.');
});
