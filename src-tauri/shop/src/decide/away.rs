//! Called away from a step, and back again. The clocks go on; heat does not stay unwatched.

use super::build::stage_of;
use crate::event::{Event, Moment, StepPlace, WithdrawalCause};
use crate::ids::PersonId;
use crate::refusal::Refusal;
use crate::run::Position;
use crate::state::State;

pub(super) fn call_away(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let (run, stage) = stage_of(state, &at)?;
    match run.position(stage, &state.crew) {
        Position::Step(_, step) | Position::Witness(_, step) if step.id == at.step => {}
        Position::Step(_, step) | Position::Witness(_, step) => {
            return Err(Refusal::NotThisStep { next: step.what.clone() });
        }
        Position::Finished => {
            return Err(Refusal::NotThisStep { next: "nothing, the stage is done.".to_owned() });
        }
    }
    if run.away_since().is_some() {
        return Err(Refusal::IsAway);
    }
    let unwatched = unwatched(state, person, now);
    Ok([Event::CalledAway { at }].into_iter().chain(unwatched).collect())
}

pub(super) fn come_back(state: &State, at: StepPlace) -> Result<Vec<Event>, Refusal> {
    let (run, _) = stage_of(state, &at)?;
    // About the step that was left, whatever the text says by now.
    match run.away.last().filter(|away| away.back.is_none()) {
        Some(away) if away.step == at.step => Ok(vec![Event::CameBack { at }]),
        _ => Err(Refusal::NotAway),
    }
}

/// Every clearance of which the one who goes is the watcher. Nobody is named as one who is away, so
/// somebody who stays watches every other.
fn unwatched<'a>(
    state: &'a State,
    person: &'a PersonId,
    now: Moment,
) -> impl Iterator<Item = Event> + 'a {
    let cause = WithdrawalCause::WatcherLeft;
    state
        .clearances
        .iter()
        .filter(move |(_, clearance)| state.is_live(clearance, now) && &clearance.watcher == person)
        .map(move |(id, _)| Event::ClearanceWithdrawn { clearance: id.clone(), cause })
}
