// The stage of the fake that most of the walk's tests walk: its rod has nothing begun before.

import Walk from '../src/views/Walk.svelte';
import { press, show, type } from './screen';

export const spine = () =>
  show(Walk, { rodId: 'r3', stage: 'spine' }, 'normal', (fake) =>
    fake.invoke('begin_stage', { rod: 'r3', stage: 'spine', station: 'bench' }),
  );

/** The first of its two steps, done and signed. */
export async function signFirstStep(): Promise<void> {
  await press('understand');
  type('value', '4 mm');
  await press('value-record');
  await press('sign');
  await press('sign-now');
}
