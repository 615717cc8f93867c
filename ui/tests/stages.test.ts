import { afterEach, expect, test } from 'vitest';
import { emptyPart } from '../src/domain/draft';
import { canLeaveOut, groupStages } from '../src/domain/stages';
import { drawnWords } from '../src/domain/words';
import type { ClockView, StageLine } from '../src/lib/generated/types';
import RodSheet from '../src/views/RodSheet.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => {
  close();
  close = () => {};
});
const maybe = (id: string) => document.getElementById(id);

const line = (id: string, standing: StageLine['standing'], until: string | null = null) =>
  ({
    id,
    title: id,
    aim: '',
    standing,
    words: '',
    until,
    done: 0,
    of: 3,
    heat: false,
    leftOut: false,
  }) satisfies StageLine;
const shown = (stages: StageLine[]) =>
  groupStages(stages).map(({ name, stages }) => [name, stages.map(({ id }) => id)]);

test('stages stand by what can be done with them, each group in the order of the build', () => {
  expect(
    shown([
      line('a', 'done'),
      line('b', 'waits'),
      line('c', 'ready'),
      line('d', 'not-applicable'),
      line('e', 'in-hand'),
      line('f', 'done'),
    ]),
  ).toEqual([
    ['now', ['c', 'e']],
    ['later', ['b']],
    ['done', ['a', 'f']],
    ['not', ['d']],
  ]);
  expect(shown([])).toEqual([]);
});

test('what waits for time stands by when it ends; what has no end yet comes last', () => {
  expect(
    shown([
      line('cold', 'curing'),
      line('late', 'curing', '2026-11-29T10:00:00Z'),
      line('soon', 'waits', '2026-11-28T12:00:00+01:00'),
      line('same', 'curing', '2026-11-28T11:00:00Z'),
      line('needs', 'waits'),
    ]),
  ).toEqual([
    ['time', ['soon', 'same', 'late', 'cold']],
    ['later', ['needs']],
  ]);
});

test('only what was not begun can be left out', () => {
  const all = ['not-applicable', 'waits', 'ready', 'in-hand', 'curing', 'done'] as const;
  expect(all.filter((standing) => canLeaveOut(line('a', standing)))).toEqual(['waits', 'ready']);
});

async function sheet(id = 'r1', focus: string | null = null) {
  const there = await show(RodSheet, { id, focus });
  close = () => void there.close();
  return there.fake;
}

test('the sheet shows until when a cure runs, and keeps its buttons', async () => {
  await sheet();
  expect(at('stages-done').contains(at('stage-spine'))).toBe(true);
  expect(at('stages-time').contains(at('stage-rear-grip'))).toBe(true);
  expect(at('stage-rear-grip').textContent).toMatch(/not before .*\d\d:\d\d/);
  expect(at('go-rear-grip').textContent).toBe('Go on');
  // The next one waits for the same cure.
  expect(at('stages-time').contains(at('stage-sleeve-by-heat'))).toBe(true);
  expect(maybe('leave-out-rear-grip')).toBeNull();
});

test('a lead leaves a stage out, and it is taken in again', async () => {
  const fake = await sheet('r3');
  expect(at('begin-spine').textContent).toBe('Begin');
  await press('leave-out-spine');
  expect(at('leave-out-title').textContent).toContain('Find and mark the spine');
  type('leave-out-reason', 'Marked by the maker of the blank.');
  at<HTMLSelectElement>('leave-out-person').value = 'p1';
  at('leave-out-person').dispatchEvent(new Event('change', { bubbles: true }));
  type('leave-out-pin', '0000');
  await press('leave-out-submit');
  expect(at('leave-out-pin-wrong').textContent).toContain('does not fit');
  expect(at<HTMLInputElement>('leave-out-pin').value).toBe('');
  expect(at<HTMLInputElement>('leave-out-reason').value).toContain('Marked by');
  type('leave-out-pin', '2468');
  await press('leave-out-submit');
  expect(fake.calls.filter((call) => call === 'leave_out_stage')).toHaveLength(2);
  expect(maybe('leave-out-form')).toBeNull();
  expect(at('stages-not').contains(at('stage-spine'))).toBe(true);
  expect(at<HTMLDetailsElement>('stages-not').open).toBe(false);
  // It is said where the row stood, and the focus is there.
  const said = at('left-out-said');
  expect(document.activeElement).toBe(said);
  expect(said.textContent).toContain('Left out on this rod: Find and mark the spine.');
  expect(said.closest('li')!.nextElementSibling).toBe(at('stage-rear-grip'));
  expect(at('stage-spine').textContent).toContain(
    'Left out by a lead: Marked by the maker of the blank.',
  );
  // What needed it waits for it no more.
  expect(at('stage-rear-grip').dataset.standing).toBe('ready');
  await press('take-in-spine');
  expect(fake.calls).toContain('take_in_stage');
  expect(at('stages-now').contains(at('stage-spine'))).toBe(true);
  expect(document.activeElement).toBe(at('stage-spine'));
  expect(maybe('stages-not')).toBeNull();
  expect(maybe('left-out-said')).toBeNull();
});

test('pointing at a stage that is folded away unfolds it', async () => {
  const there = await show(RodSheet, { id: 'r3', focus: 'spine' }, 'normal', (fake) =>
    fake.invoke('leave_out_stage', { rod: 'r3', stage: 'spine', reason: 'None.', pin: '2468' }),
  );
  close = () => void there.close();
  await settle();
  expect(at<HTMLDetailsElement>('stages-not').open).toBe(true);
});

test('a stage says what it needs before it is begun: an open bench, a clearance for heat', async () => {
  const there = await show(RodSheet, { id: 'r3', focus: null }, 'normal', async (fake) => {
    fake.world.stations.splice(1);
    fake.world.stations[0]!.openUntil = null;
  });
  close = () => void there.close();
  expect(at('open-first-spine').textContent).toBe('Open the bench first');
  expect(at('stage-spine').textContent).toContain('Can begin once the bench is open.');
  expect(at('heat-sleeve-by-heat').textContent).toContain('must be cleared for heat first');
  expect(maybe('heat-spine')).toBeNull();
});

test('a part under a watch after heat is watched; it does not cure', () => {
  const clock = { kind: 'watch' } as ClockView;
  expect(drawnWords({ drawn: 'curing', clock })).toBe('watched');
  expect(drawnWords({ drawn: 'curing', clock: { ...clock, kind: 'cure' } })).toBe('curing');
  expect(drawnWords({ drawn: 'done', clock: null })).toBe('done');
});

test('a bore that tapers is told with its ends apart', async () => {
  const there = await show(RodSheet, { id: 'r1', focus: null }, 'normal', async (fake) => {
    fake.world.rods[0]!.draft.parts = [
      { ...emptyPart('rear-grip'), boreButt: '0.503 in', boreTip: '0.480 in' },
    ];
  });
  close = () => void there.close();
  expect(at('part-0').textContent).toContain('0.503 in at the butt end, 0.480 in at the tip end');
});
