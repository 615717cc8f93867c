import { afterEach, expect, test, vi } from 'vitest';
import { STAGES } from '../src/lib/fakeSteps';
import type { StepView, WalkView } from '../src/lib/generated/types';
import Walk from '../src/views/Walk.svelte';
import { at, press, settle, show, type } from './screen';
import { signFirstStep, spine } from './spine';

let close = () => {};
afterEach(() => close());

/** r2 is at the sleeve (heat); r3 has nothing begun. */
async function begun() {
  const shown = await spine();
  close = () => void shown.close();
  return shown.fake;
}
/** The walk at a step of the rear grip, changed before it is shown. */
async function grip(n: number, change: (step: StepView) => void) {
  const shown = await show(Walk, { rodId: 'r1', stage: 'rear-grip' }, 'normal', async (fake) => {
    const answer = fake.invoke.bind(fake);
    const whole = (await answer('walk', { rod: 'r1', stage: 'rear-grip' })) as WalkView;
    const step = structuredClone(STAGES.find(({ id }) => id === 'rear-grip')!.steps[n]!);
    change(step);
    fake.invoke = async (command, args) =>
      command === 'walk' ? { ...whole, step } : answer(command, args);
  });
  close = () => void shown.close();
}
const before = (a: string, b: string) =>
  Boolean(at(a).compareDocumentPosition(at(b)) & Node.DOCUMENT_POSITION_FOLLOWING);
async function space(target: Element = document.body) {
  const event = new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true });
  target.dispatchEvent(event);
  await settle();
  return event;
}

test('the step is held back until the caution is understood', async () => {
  const fake = await begun();
  expect(at('step').dataset.held).toBe('true');
  expect(document.getElementById('value')).toBeNull();
  expect(at<HTMLButtonElement>('sign').disabled).toBe(true);
  await space();
  expect(fake.calls).not.toContain('sign');
  // The caution stands before the step, not after it.
  const order = at('caution').compareDocumentPosition(at('step'));
  expect(order & Node.DOCUMENT_POSITION_FOLLOWING).toBeTruthy();

  // The one key is what takes note of it; it signs nothing by that.
  expect(fake.calls).toContain('understand');
  expect(at('step').dataset.held).toBe('false');
  expect(document.getElementById('understand')).toBeNull();
  expect(at('caution').textContent).toContain('Broken fibres');
  expect(at<HTMLButtonElement>('sign').disabled).toBe(false);
  expect(document.getElementById('value')).not.toBeNull();
});

test('Space signs when no field has the focus, and only then', async () => {
  const fake = await begun();
  await press('understand');
  type('value', '4 mm');
  await press('value-record');
  expect(at('value-now').dataset.within).toBe('true');

  expect((await space(at('value'))).defaultPrevented).toBe(false);
  expect((await space(at('overview-toggle'))).defaultPrevented).toBe(false);
  expect(fake.calls).not.toContain('sign');

  expect((await space()).defaultPrevented).toBe(true);
  await press('sign-now');
  expect(fake.calls.filter((call) => call === 'sign')).toHaveLength(1);
  expect(at('position').textContent).toBe('Step 2 of 2');
  expect(at('last-signed').textContent).toContain('step 1 (Ada Reeve');
});

test('a key held down signs once', async () => {
  const fake = await begun();
  await press('understand');
  document.body.dispatchEvent(
    new KeyboardEvent('keydown', { key: ' ', bubbles: true, repeat: true }),
  );
  await settle();
  expect(fake.calls).not.toContain('sign');
});

test('a refused sign-off says why beside the button and keeps what was typed', async () => {
  await begun();
  await press('understand');
  type('value', '99');
  await press('value-record');
  expect(at('value-now').textContent).toContain('outside the limits');
  expect(at('accept-form')).toBeTruthy();
  type('accept-reason', 'looks fine');
  await press('sign');
  expect(at('sign-trouble').getAttribute('role')).toBe('alert');
  expect(at('sign-trouble').dataset.code).toBe('outside-limits');
  expect(at<HTMLInputElement>('accept-reason').value).toBe('looks fine');
});

test('a closed gate shows each thing that is missing and the way to Air', async () => {
  const shown = await show(Walk, { rodId: 'r2', stage: 'sleeve-by-heat' });
  close = () => void shown.close();
  expect(at('gate').dataset.open).toBe('false');
  expect(at('gate').textContent).toContain('No heat');
  expect(at('gate').textContent).toContain('No clearance has been given here.');
  expect(at('gate-air').getAttribute('href')).toMatch(/^#\/air\/bench\//);
});

test('an open gate names who watches, and tells them if they would hold the gun as well', async () => {
  const gate = {
    open: true,
    clearance: 'C-1',
    until: new Date(Date.now() + 600_000).toISOString(),
    watcher: 'Ada Reeve',
    watchesAlone: false,
    gunLimit: '145 °C',
    missing: [],
  };
  await grip(0, (step) => (step.gate = gate));
  expect(at('gate').textContent).toContain('Ada Reeve watches.');
  expect(document.getElementById('gate-alone')).toBeNull();
  close();
  await grip(0, (step) => (step.gate = { ...gate, watchesAlone: true }));
  expect(at('gate-alone').textContent).toContain('You are who watches.');
});

test('nobody unlocked: asks who it is and sends nothing', async () => {
  const shown = await show(Walk, { rodId: 'r2', stage: 'sleeve-by-heat' }, 'locked');
  close = () => void shown.close();
  await press('understand');
  expect(shown.fake.calls).not.toContain('understand');
  expect(at('understand-trouble').textContent).toContain('Unlock first');
});

test('a finished stage says so and leads to the rod', async () => {
  const shown = await show(Walk, { rodId: 'r1', stage: 'spine' });
  close = () => void shown.close();
  expect(at('finished').textContent).toContain('Every step of this stage is signed');
  expect(at('finished-rod').getAttribute('href')).toBe('#/rod/r1');
  expect(document.getElementById('sign')).toBeNull();
  expect(before('finished', 'overview')).toBe(true);
});

test('the last signature leads to the closing message, which is on the screen', async () => {
  const fake = await begun();
  await signFirstStep();
  type('value', '184');
  await press('value-record');
  type('sign-pin', '2468');
  await press('sign');
  const scrolled = vi.spyOn(Element.prototype, 'scrollIntoView');
  at<HTMLSelectElement>('witness-person').value = 'p1';
  at('witness-person').dispatchEvent(new Event('change', { bubbles: true }));
  type('witness-pin', '2468');
  await press('witness');
  expect(fake.calls).toContain('witness');
  expect(document.activeElement).toBe(at('finished-title'));
  expect(scrolled.mock.contexts).toContain(at('finished-title'));
  scrolled.mockRestore();
  expect(before('finished-rod', 'overview')).toBe(true);
});

test('a clock that starts before the work stands before what the work is asked for', async () => {
  await grip(1, (step) => {
    step.understood = true;
    step.lot = { material: 'Epoxy', named: null, offered: [], expired: null, accepted: null };
  });
  expect(before('step-what', 'clock-start')).toBe(true);
  expect(before('clock-start', 'value')).toBe(true);
  expect(before('clock-start', 'lot')).toBe(true);
  close();
  // A cure begins when the work has ended.
  await grip(2, () => {});
  expect(before('value', 'clock-start')).toBe(true);
});

test('what is waited for stands above the caution, and says whether to stay', async () => {
  const running = { name: 'Bond', rod: 'r1', rodTitle: 'Rod', stage: 'rear-grip', minutes: 60 };
  const time = (minutes: number) => new Date(Date.now() + minutes * 60_000).toISOString();
  const clock = { ...running, started: time(-30), runsOut: time(30), over: false, stalled: null };
  const caution = 'Resin that is soft can make skin allergic.';
  await grip(3, (step) => Object.assign(step, { caution, waitsFor: { ...clock, kind: 'cure' } }));
  expect(at('caution').className).toContain('held');
  expect(before('waits-for', 'caution')).toBe(true);
  expect(at('waits-for').textContent).toContain('Nothing is signed here until then');
  close();
  await grip(3, (step) => Object.assign(step, { caution, waitsFor: { ...clock, kind: 'watch' } }));
  expect(before('waits-for', 'caution')).toBe(true);
  expect(at('waits-for').textContent).toContain('a watch is not left');
  expect(at('waits-for').textContent).not.toContain('Nothing is signed here');
});

test('what no lead may accept is not offered to be accepted', async () => {
  const outside = (acceptable: boolean) => (step: StepView) => {
    const record = STAGES.flatMap(({ steps }) => steps).find((one) => one.record)!.record!;
    step.caution = null;
    step.record = { ...record, value: '80 °C', within: false, accepted: null, acceptable };
  };
  await grip(1, outside(true));
  expect(document.getElementById('accept')).not.toBeNull();
  close();
  await grip(1, outside(false));
  expect(document.getElementById('accept')).toBeNull();
  expect(at('value-now').textContent).toContain('no heat on it');
});

test('where a lead is awaited, that stands on top', async () => {
  const shown = await show(Walk, { rodId: 'r1', stage: 'rear-grip' }, 'normal', async (fake) => {
    const answer = fake.invoke.bind(fake);
    const whole = (await answer('walk', { rod: 'r1', stage: 'rear-grip' })) as WalkView;
    const step = structuredClone(STAGES.find(({ id }) => id === 'rear-grip')!.steps[1]!);
    Object.assign(step, { caution: 'Dust.', understood: true, doneBy: 'Bo' });
    fake.invoke = async (command, args) =>
      command === 'walk' ? { ...whole, step, position: 'witness' } : answer(command, args);
  });
  close = () => void shown.close();
  expect(before('witness-form', 'caution')).toBe(true);
  expect(before('witness-form', 'step-what')).toBe(true);
  expect(at('witness-form').textContent).toContain('Done and signed by Bo.');
});
