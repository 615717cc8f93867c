//! Lots of materials: registered with their last day, and refused after it.

use super::build::here;
use super::{LINE, PROSE, known, lead_only, next, text};
use crate::event::{Event, Moment, StepPlace};
use crate::ids::{LotId, PersonId};
use crate::refusal::Refusal;
use crate::run::StepRun;
use crate::state::{Lot, State};
use chrono::{Days, Months, NaiveDate};

pub(super) fn register(
    state: &State,
    what: &str,
    marking: &str,
    expires: &str,
) -> Result<Vec<Event>, Refusal> {
    let what = text("What it is", what, LINE)?;
    let marking = text("The lot", marking, LINE)?;
    // A comma sets lots apart where they are named.
    let marking = marking.replace([',', ';'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let same = |lot: &Lot| !lot.gone && lot.marking.eq_ignore_ascii_case(&marking);
    if state.lots.values().any(same) {
        return Err(Refusal::LotKnown { marking });
    }
    let expires = last_day(expires)?;
    let lot = LotId::new(next("L", state.lots.keys().map(LotId::as_str)));
    Ok(vec![Event::LotRegistered { lot, what, marking, expires }])
}

/// A day, or the last day of a month, as containers print it.
fn last_day(written: &str) -> Result<Option<NaiveDate>, Refusal> {
    let written = written.trim();
    if written.is_empty() {
        return Ok(None);
    }
    let day = NaiveDate::parse_from_str(written, "%Y-%m-%d").ok();
    let month = || {
        let first = NaiveDate::parse_from_str(&format!("{written}-01"), "%Y-%m-%d").ok()?;
        first.checked_add_months(Months::new(1))?.checked_sub_days(Days::new(1))
    };
    let day = day.or_else(month);
    day.map(Some).ok_or_else(|| Refusal::NoDay { text: written.to_owned() })
}

pub(super) fn gone(state: &State, lot: LotId) -> Result<Vec<Event>, Refusal> {
    known(state.lots.get(&lot).is_some_and(|lot| !lot.gone), "lot", lot.as_str())?;
    Ok(vec![Event::LotGone { lot }])
}

/// The lot named at a step that is past its last day, if one is.
pub(super) fn expired<'a>(state: &'a State, done: &'a StepRun, now: Moment) -> Option<&'a Lot> {
    let (named, _) = done.lot.as_ref()?;
    state
        .lots_named(named)
        .map(|(_, lot)| lot)
        .find(|lot| lot.expires.is_some_and(|expires| now.date_naive() > expires))
}

pub(super) fn accept_expired(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    reason: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, person, "let a lot be used after its last day")?;
    let here = here(state, &at, now)?;
    let lot = here.done.and_then(|done| expired(state, done, now)).ok_or(Refusal::NoExpiredLot)?;
    let (marking, reason) = (lot.marking.clone(), text("The reason", reason, PROSE)?);
    Ok(vec![Event::ExpiredLotAccepted { at, marking, reason }])
}
