//! Teaching: what a helper may do of a stage they still learn, and what a lead signs of it.
//!
//! The four steps of job instruction as they were published in 1944: prepare, present, try out, follow up.

use super::build::stage_of;
use super::{known, lead_only};
use crate::checklist::Step;
use crate::crew::Role;
use crate::event::{Event, LeadSees, StepPlace};
use crate::ids::{PersonId, StageId};
use crate::refusal::Refusal;
use crate::run::StageRun;
use crate::state::State;
use crate::teaching::{MOST_RUNS, is_last};

/// The stage that ends with the rod leaving.
const HAND_OVER: &str = "hand-over";
/// Ten years: longer is never.
const MOST_DAYS: u32 = 3650;

pub(super) fn ask(
    state: &State,
    by: &PersonId,
    stage: StageId,
    runs: u8,
    refresh_days: Option<u32>,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "say how a stage is taught")?;
    if runs > MOST_RUNS {
        return Err(Refusal::TooManyRuns { runs });
    }
    if refresh_days.is_some_and(|days| days == 0 || days > MOST_DAYS) {
        return Err(Refusal::NoRefreshDays);
    }
    let asked = state.teaching.get(&stage).map(|asked| (asked.runs, asked.refresh_days));
    let same = asked.unwrap_or((0, None)) == (runs, refresh_days);
    Ok(if same { Vec::new() } else { vec![Event::TeachingAsked { stage, runs, refresh_days }] })
}

pub(super) fn present(
    state: &State,
    by: &PersonId,
    at: StepPlace,
    learner: PersonId,
) -> Result<Vec<Event>, Refusal> {
    still_open(state, by, &at, &learner)?;
    Ok(vec![Event::StepPresented { at, learner }])
}

pub(super) fn hear(
    state: &State,
    by: &PersonId,
    at: StepPlace,
    learner: PersonId,
) -> Result<Vec<Event>, Refusal> {
    still_open(state, by, &at, &learner)?;
    was_presented(state, &learner, &at.stage, &at)?;
    Ok(vec![Event::KeyPointsTold { at, learner }])
}

/// A lead teaches a helper of the crew a step that is not signed yet.
fn still_open(
    state: &State,
    by: &PersonId,
    at: &StepPlace,
    learner: &PersonId,
) -> Result<(), Refusal> {
    lead_only(state, by, "sign how a step was taught")?;
    let (run, _) = stage_of(state, at)?;
    if run.steps.get(&at.step).is_some_and(|step| step.done.is_some()) {
        return Err(Refusal::SignedAlready);
    }
    known(state.crew.contains_key(learner), "person of the crew", learner.as_str())?;
    let learns =
        state.crew.get(learner).is_some_and(|person| person.role == Role::Helper && person.present);
    if !learns {
        return Err(Refusal::NotALearner { name: name(state, learner) });
    }
    Ok(())
}

/// Whether who did a step may have it signed: what they still learn was presented to them, on this rod
/// or another, and before a hold point they told its key point on this one.
pub(super) fn may_do(
    state: &State,
    doer: &PersonId,
    run: &StageRun,
    step: &Step,
) -> Result<(), Refusal> {
    if !state.still_learns(doer, &run.id) {
        return Ok(());
    }
    if state.presented(doer, &run.id).iter().all(|presented| presented.step != &step.id) {
        return Err(Refusal::NotPresented { name: name(state, doer) });
    }
    let told = run
        .steps
        .get(&step.id)
        .is_some_and(|here| here.told.iter().any(|(learner, _)| learner == doer));
    if step.is_hold_point() && !told {
        return Err(Refusal::KeyPointNotTold { name: name(state, doer) });
    }
    Ok(())
}

fn was_presented(
    state: &State,
    learner: &PersonId,
    stage: &StageId,
    at: &StepPlace,
) -> Result<(), Refusal> {
    let shown = state.presented(learner, stage).iter().any(|shown| shown.step == &at.step);
    if shown { Ok(()) } else { Err(Refusal::NotPresented { name: name(state, learner) }) }
}

/// Why a lead has to look at a step, beside what its text asks. It is stored with the signature: a
/// release that comes later changes nothing of what was signed, and a rod's own record needs no other
/// rod to tell. A run of which somebody else did a part releases nobody.
pub fn lead_sees(state: &State, doer: &PersonId, at: &StepPlace) -> Option<LeadSees> {
    let (run, stage) = stage_of(state, at).ok()?;
    if state.crew.get(doer).is_none_or(|person| person.role != Role::Helper) {
        return None;
    }
    let last = is_last(state, &at.rod, stage, &at.step);
    if state.still_learns(doer, &run.id) {
        let enough = state.witnessed_runs(doer, &run.id) >= u32::from(state.runs_asked(&run.id));
        let mut signed = run.steps.values().filter(|step| step.done.is_some());
        if !enough || signed.any(|step| step.doer() != Some(doer)) {
            return Some(LeadSees::TryingOut);
        }
        if last {
            return Some(LeadSees::FollowUp);
        }
    }
    (last && run.id.as_str() == HAND_OVER).then_some(LeadSees::HandOver)
}

fn name(state: &State, person: &PersonId) -> String {
    state.crew.get(person).map_or_else(|| person.to_string(), |person| person.name.clone())
}
