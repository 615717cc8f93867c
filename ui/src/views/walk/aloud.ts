// A step as it is read aloud: the caution first, then what to do, key point, reason, limits.

import type { StepView } from '../../lib/generated/types';

const sentence = (words: string) =>
  /[.!?]$/.test(words.trim()) ? words.trim() : `${words.trim()}.`;

export function aloud(step: StepView): string {
  const wear = step.wear.length > 0 ? [`Wear: ${step.wear.join(', ')}`] : [];
  const caution = step.caution ? ['Caution', step.caution, ...wear] : wear;
  const heat = step.gate && !step.gate.open ? ['No heat', ...step.gate.missing] : [];
  const limits = step.record
    ? [
        `To measure: ${step.record.name}`,
        step.record.limits ? `Limits: ${step.record.limits}` : 'There are no limits',
      ]
    : [];
  return [
    ...caution,
    ...heat,
    `Step ${step.number}`,
    step.what,
    `Key point: ${step.keyPoint}`,
    `Reason: ${step.reason}`,
    ...limits,
  ]
    .map(sentence)
    .join(' ');
}
