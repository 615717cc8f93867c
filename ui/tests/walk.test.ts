import { afterEach, expect, test } from 'vitest';
import Walk from '../src/views/Walk.svelte';
import { at, press, settle, show, type } from './screen';

let close = () => {};
afterEach(() => close());

/** r2 is at the sleeve (heat); r3 has nothing begun. */
async function spine() {
  const shown = await show(Walk, { rodId: 'r3', stage: 'spine' }, 'normal', (fake) =>
    fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' }),
  );
  close = () => void shown.close();
  return shown.fake;
}
async function space(target: Element = document.body) {
  const event = new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true });
  target.dispatchEvent(event);
  await settle();
  return event;
}

test('the step is held back until the caution is understood', async () => {
  const fake = await spine();
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
  const fake = await spine();
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
  const fake = await spine();
  await press('understand');
  document.body.dispatchEvent(
    new KeyboardEvent('keydown', { key: ' ', bubbles: true, repeat: true }),
  );
  await settle();
  expect(fake.calls).not.toContain('sign');
});

test('a refused sign-off says why beside the button and keeps what was typed', async () => {
  await spine();
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
});
