//! Putting right what was signed: a new event that points at the old one, never a change of it.
//!
//! A correction says what should have been written. It opens no gate, ends no clock and makes no
//! step undone: what had to hold when the step was signed was judged then.

use super::build::{measured, stage_of};
use super::{LINE, PROSE, lead_only, text};
use crate::event::{Correction, Event, EventRef, StepPlace};
use crate::ids::PersonId;
use crate::refusal::Refusal;
use crate::run::CorrectableKind;
use crate::state::State;

pub(super) fn correct(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    event: EventRef,
    says: &str,
    reason: &str,
) -> Result<Vec<Event>, Refusal> {
    let (run, stage) = stage_of(state, &at)?;
    let done = run.steps.get(&at.step).filter(|done| done.done.is_some());
    let done = done.ok_or(Refusal::NotSignedYet)?;
    let unknown =
        || Refusal::Unknown { what: "entry to correct at this step", id: event.number.to_string() };
    let found = done
        .correctables()
        .into_iter()
        .find(|found| found.mark.event == event)
        .ok_or_else(unknown)?;
    if found.mark.by.as_ref() != Some(person) {
        lead_only(state, person, "correct what another person signed")?;
    }
    let reason = text("The reason", reason, PROSE)?;
    let to = match found.kind {
        CorrectableKind::Value => {
            let step = stage.step(&at.step).ok_or(Refusal::NoValueAsked)?;
            let (reading, within) = measured(state, step, says)?;
            if !within {
                lead_only(state, person, "correct a value to one outside its limits")?;
            }
            Correction::Value { reading, within }
        }
        CorrectableKind::Lot => Correction::Lot { lot: text("The lot", says, LINE)? },
        CorrectableKind::Words => Correction::Words { text: text("The correction", says, PROSE)? },
    };
    Ok(vec![Event::Corrected { at, corrects: event, to, reason }])
}
