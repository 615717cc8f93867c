// The stages of a rod by what can be done with them, each group in the order of the build.

import type { StageLine } from '../lib/generated/types';

export type StageGroupName = 'now' | 'time' | 'later' | 'done' | 'not';

export interface StageGroup {
  name: StageGroupName;
  title: string;
  stages: StageLine[];
}

const TITLES: Record<StageGroupName, string> = {
  now: 'Can be done now',
  time: 'Waits for time',
  later: 'Comes later',
  done: 'Done',
  not: 'Not for this rod',
};

export function groupOf(stage: StageLine): StageGroupName {
  switch (stage.standing) {
    case 'in-hand':
    case 'ready':
      return 'now';
    case 'curing':
      return 'time';
    case 'waits':
      return stage.until ? 'time' : 'later';
    case 'done':
      return 'done';
    case 'not-applicable':
      return 'not';
  }
}

/** What has no end yet, as in a room too cold to cure, ends last. */
const end = ({ until }: StageLine) => (until ? Date.parse(until) : Number.MAX_SAFE_INTEGER);

/** The groups that have any stage, what can be done now first. */
export function groupStages(stages: StageLine[]): StageGroup[] {
  const names = Object.keys(TITLES) as StageGroupName[];
  return names
    .map((name) => ({
      name,
      title: TITLES[name],
      stages: stages.filter((stage) => groupOf(stage) === name),
    }))
    .filter(({ stages }) => stages.length > 0)
    .map((group) =>
      group.name === 'time'
        ? { ...group, stages: group.stages.toSorted((a, b) => end(a) - end(b)) }
        : group,
    );
}

/** A lead may leave it out on this rod: nothing of it was begun. */
export const canLeaveOut = (stage: StageLine) =>
  stage.standing === 'ready' || stage.standing === 'waits';
