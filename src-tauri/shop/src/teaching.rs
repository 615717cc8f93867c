//! How a helper learns a stage: presented, tried out under a lead's eyes, followed up, then alone.
//!
//! Nothing is kept of it but what was asked of each stage; the rest follows from the rods.

use crate::checklist::Stage;
use crate::crew::Role;
use crate::event::{LeadSees, Moment};
use crate::ids::{PersonId, RodId, StageId, StepId};
use crate::run::{Mark, StageRun, StepRun};
use crate::state::State;
use chrono::TimeDelta;
use std::collections::BTreeSet;

/// The most witnessed runs that can be asked of a stage.
pub const MOST_RUNS: u8 = 5;

/// What a lead asked of the teaching of a stage.
#[derive(Debug, Clone, PartialEq)]
pub struct TeachingAsked {
    /// How many witnessed runs it takes before a helper does it alone; 0 for none.
    pub runs: u8,
    /// After how many days without doing it a helper is due for a refresh.
    pub refresh_days: Option<u32>,
    /// By whom and when.
    pub mark: Mark,
}

/// Where a person stands with a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Learning {
    /// A lead: does every stage.
    Lead,
    /// No witnessed runs are asked: a helper works alone but for the steps that ask for a witness.
    NotAsked,
    /// Nothing of it was presented yet.
    NotTaught,
    /// Some steps were presented, others not yet.
    Presenting {
        /// So many steps.
        presented: u32,
        /// Of so many.
        of: u32,
    },
    /// Does it while a lead witnesses each step.
    TryingOut {
        /// So many runs were witnessed.
        witnessed: u32,
        /// Of so many.
        of: u32,
    },
    /// Does the next run alone; a lead looks at its last step.
    ToBeReleased,
    /// Does it alone.
    Alone {
        /// Since then.
        since: Moment,
    },
    /// Does it alone, and has not done it for so long that a lead should go through it with them. This
    /// only tells; it forbids nothing.
    DueForRefresh {
        /// When they did it last.
        since: Moment,
    },
}

/// A step that was presented to somebody, or whose key point they told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Presented<'a> {
    /// On which rod.
    pub rod: &'a RodId,
    /// Which step.
    pub step: &'a StepId,
    /// By which lead, and when.
    pub mark: &'a Mark,
}

impl State {
    /// How many witnessed runs a stage takes before a helper does it alone.
    pub fn runs_asked(&self, stage: &StageId) -> u8 {
        self.teaching.get(stage).map_or(0, |asked| asked.runs)
    }

    /// Whether a person still learns a stage.
    pub fn still_learns(&self, person: &PersonId, stage: &StageId) -> bool {
        let helper = self.crew.get(person).is_some_and(|person| person.role == Role::Helper);
        helper && self.runs_asked(stage) > 0 && self.released(person, stage).is_none()
    }

    /// All that was presented to a person of a stage, on any rod, oldest first.
    pub fn presented<'a>(&'a self, person: &PersonId, stage: &StageId) -> Vec<Presented<'a>> {
        self.taught(person, stage, |step| &step.presented)
    }

    /// All of which a person told the key point.
    pub fn told<'a>(&'a self, person: &PersonId, stage: &StageId) -> Vec<Presented<'a>> {
        self.taught(person, stage, |step| &step.told)
    }

    /// How many whole runs of a stage a person did with a lead witnessing every step.
    pub fn witnessed_runs(&self, person: &PersonId, stage: &StageId) -> u32 {
        let counts = |run: &StageRun| {
            let mut signed = run.steps.values().filter(|step| step.done.is_some()).peekable();
            run.finished.is_some()
                && signed.peek().is_some()
                && signed.all(|step| step.doer() == Some(person) && step.witnessed.is_some())
        };
        let runs = self.runs_of(stage).into_iter().filter(|(_, run)| counts(run)).count();
        u32::try_from(runs).unwrap_or(u32::MAX)
    }

    /// On which rod a lead let a person do a stage alone, and who and when.
    pub fn released<'a>(
        &'a self,
        person: &PersonId,
        stage: &StageId,
    ) -> Option<(&'a RodId, &'a Mark)> {
        self.runs_of(stage).into_iter().find_map(|(rod, run)| {
            let followed_up = run.steps.values().find(|step| {
                step.lead_sees == Some(LeadSees::FollowUp) && step.doer() == Some(person)
            });
            Some((rod, followed_up?.witnessed.as_ref()?))
        })
    }

    /// When a person did a step of a stage last.
    pub fn last_done(&self, person: &PersonId, stage: &StageId) -> Option<Moment> {
        let steps = self.runs_of(stage).into_iter().flat_map(|(_, run)| run.steps.values());
        steps.filter(|step| step.doer() == Some(person)).filter_map(StepRun::when).max()
    }

    /// Where a person stands with a stage.
    pub fn learning(&self, person: &PersonId, stage: &StageId, now: Moment) -> Learning {
        if self.crew.get(person).is_some_and(|person| person.role == Role::Lead) {
            return Learning::Lead;
        }
        let Some(asked) = self.teaching.get(stage).filter(|asked| asked.runs > 0) else {
            return Learning::NotAsked;
        };
        if let Some((_, mark)) = self.released(person, stage) {
            let last = self.last_done(person, stage).unwrap_or(mark.at);
            let due = asked
                .refresh_days
                .is_some_and(|days| now > last + TimeDelta::days(i64::from(days)));
            return if due {
                Learning::DueForRefresh { since: last }
            } else {
                Learning::Alone { since: mark.at }
            };
        }
        let of = u32::from(asked.runs);
        let witnessed = self.witnessed_runs(person, stage);
        if witnessed >= of {
            return Learning::ToBeReleased;
        }
        let presented = self.presented(person, stage);
        let steps: BTreeSet<&StepId> = presented.iter().map(|presented| presented.step).collect();
        let whole = self.steps_to_present(stage, &presented);
        match u32::try_from(steps.len()).unwrap_or(u32::MAX) {
            0 if witnessed == 0 => Learning::NotTaught,
            shown if witnessed == 0 && shown < whole => {
                Learning::Presenting { presented: shown, of: whole }
            }
            _ => Learning::TryingOut { witnessed, of },
        }
    }

    fn runs_of(&self, stage: &StageId) -> Vec<(&RodId, &StageRun)> {
        self.rods.iter().filter_map(|(id, rod)| Some((id, rod.stage(stage)?))).collect()
    }

    fn taught<'a>(
        &'a self,
        person: &PersonId,
        stage: &StageId,
        of: impl Fn(&'a StepRun) -> &'a Vec<(PersonId, Mark)>,
    ) -> Vec<Presented<'a>> {
        let mut all = Vec::new();
        for (rod, found) in &self.rods {
            let Some(run) = found.stage(stage) else { continue };
            for (step, did) in &run.steps {
                let theirs = of(did).iter().filter(|(learner, _)| learner == person);
                all.extend(theirs.map(|(_, mark)| Presented { rod, step, mark }));
            }
        }
        all.sort_by_key(|presented| presented.mark.at);
        all
    }

    /// How many steps there are to present, by the rod on which something was presented last.
    fn steps_to_present(&self, stage: &StageId, presented: &[Presented<'_>]) -> u32 {
        let count = presented.last().and_then(|last| {
            let rod = self.rods.get(last.rod)?;
            let text = self.stage_text(&rod.stage(stage)?.digest)?;
            let here = text.steps.iter().filter(|step| step.condition.holds(&rod.plan));
            Some(here.count())
        });
        count.map_or(0, |count| u32::try_from(count).unwrap_or(u32::MAX))
    }
}

/// Whether no step of a stage comes after this one on this rod.
pub(crate) fn is_last(state: &State, rod: &RodId, stage: &Stage, step: &StepId) -> bool {
    let Some(rod) = state.rods.get(rod) else { return false };
    let mut after = stage.steps.iter().skip_while(|other| &other.id != step).skip(1);
    after.all(|step| !step.condition.holds(&rod.plan))
}
