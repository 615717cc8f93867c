// What the one key does next at a step. It never skips what must be typed: then it leads to the field.

import { ranOut, warns } from '../../domain/words';
import type { WalkView } from '../../lib/generated/types';

/** `press`: the element is pressed; `field`: it gets the focus, and `says` tells why; `sign`: done. */
export type Next =
  | { does: 'nothing' }
  | { does: 'press'; id: string }
  | { does: 'field'; id: string; says: string }
  /** Led to first, and pressed by the next press: a claim, or what was typed. */
  | { does: 'offer'; id: string; says: string }
  | { does: 'sign' };

export const UNRECORDED = 'Press Record first: what is typed is not recorded yet.';

const field = (id: string, says: string): Next => ({ does: 'field', id, says });
const offer = (id: string, says: string): Next => ({ does: 'offer', id, says });

/** `unrecorded`: something stands in the field for the value and is not recorded. */
export function next(walk: WalkView, now: number, unrecorded = false): Next {
  const step = walk.step;
  if (!step) return { does: 'nothing' };
  if (walk.position === 'witness')
    return field('witness-pin', 'A lead has to witness this step and types their PIN.');
  if (step.caution && !step.understood) return { does: 'press', id: 'understand' };
  if (walk.gloves && ranOut(walk.gloves.clock, now))
    return offer('gloves-fresh', 'The gloves are due. Once more, when fresh ones are on.');
  if (step.mixAnew)
    return offer('mix-anew', 'The working time is over. Once more, when it is mixed anew.');
  const start: Next | null =
    step.starts && !step.starts.running ? { does: 'press', id: 'clock-start' } : null;
  if (start && step.starts && warns(step.starts.kind)) return start;
  const record = step.record;
  if (record) {
    if (unrecorded) return offer('value-record', UNRECORDED);
    if (record.value === null) return field('value', `Type it, then Enter: ${record.name}.`);
    if (!record.within && record.accepted === null)
      return field('value', 'The value is outside its limits. Measure again, or tell a lead.');
    const more = record.repeat - record.values.length;
    if (record.repeat > 1 && more > 0)
      return field('value', `Type the next one, then Enter: ${more} to go.`);
  }
  if (step.lot && step.lot.named === null)
    return field('lot', `Type the lot, then Enter: ${step.lot.material}.`);
  if (step.lot?.expired && step.lot.accepted === null)
    return field('lot', 'The lot is past its last day. Name another, or fetch a lead.');
  if (start) return start;
  if (step.asksPin)
    return field('sign-pin', 'A hold point: type your PIN, then Enter. That signs at once.');
  return { does: 'sign' };
}
