// The fake's teaching: a crew table with some of everything, for trying the screen. Everything in it is
// invented. Not part of the window.

import { refuse } from './fakeLedger';
import { STAGES } from './fakeSteps';
import type { World } from './fakeWorld';
import type { CrewTableView, LearningCell } from './generated/types';

const CELLS: LearningCell[] = [
  { standing: 'alone', words: 'alone since 2026-11-02' },
  { standing: 'trying-out', words: 'trying out, 1 of 2 runs witnessed' },
  { standing: 'due-for-refresh', words: 'due for a refresh, last done 2026-05-30' },
  { standing: 'not-taught', words: 'not taught yet' },
];

export function teachingCommands(w: World) {
  const asked = new Map<string, { runs: number; refreshDays: number | null }>();
  return {
    crew_table: (): CrewTableView => {
      const people = w.crew.filter((person) => person.present && person.role === 'helper');
      return {
        people,
        stages: STAGES.map(({ id, title }, i) => {
          const { runs, refreshDays } = asked.get(id) ?? { runs: 0, refreshDays: null };
          const none: LearningCell = { standing: 'not-asked', words: 'as its steps ask' };
          return {
            id,
            title,
            runs,
            refreshDays,
            asked: runs > 0 ? `${runs} witnessed runs` : 'none',
            cells: people.map((_, n) => (runs > 0 ? CELLS[(i + n) % CELLS.length]! : none)),
          };
        }),
      };
    },
    ask_teaching: (it: {
      stage: string;
      runs: number;
      refreshDays: number | null;
      person: string;
    }) => {
      if (w.crew.find((person) => person.id === it.person)?.role !== 'lead')
        throw refuse('Only a lead may say how a stage is taught.', 'lead-only');
      asked.set(it.stage, it);
      return null;
    },
  };
}
