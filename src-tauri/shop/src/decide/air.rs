//! The air of a room: readings, what was used, the watch after heat, closing for the day.

use super::station::station;
use super::{LINE, keep_text, known, text, withdraw_room};
use crate::air::{airflow_read, flow_of};
use crate::checklist::{Material, Signed};
use crate::crew::Role;
use crate::event::{Answer, Event, Moment, WithdrawalCause};
use crate::ids::{ClearanceId, PersonId, StationId};
use crate::refusal::Refusal;
use crate::rod::Reading;
use crate::state::{Clearance, State};
use crate::words;
use coldbench_trade::{LengthUnit, Measure, parse_measure};

/// More than this much at once is no bench work: a unit was mistaken.
const MOST_ML: f64 = 5000.0;

pub(super) fn read(state: &State, at: StationId, answer: Answer) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let flow = flow_of(&answer)?;
    let shown = airflow_read(&answer, flow);
    Ok(vec![Event::AirRead { station: at, answer, shown }])
}

pub(super) fn stop(state: &State, at: StationId, now: Moment) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let withdrawn: Vec<Event> =
        withdraw_room(state, &at, WithdrawalCause::AirflowStopped, now).collect();
    Ok([Event::AirStopped { station: at }].into_iter().chain(withdrawn).collect())
}

/// Coldest and warmest that a room is taken to be, °C: beyond them a unit was mistaken.
const ROOM_C: std::ops::RangeInclusive<f64> = -20.0..=60.0;

pub(super) fn warm(state: &State, at: StationId, written: &str) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let bad = |error| Refusal::BadValue { field: "Temperature of the room".to_owned(), error };
    let value =
        parse_measure(written, Measure::Temperature, LengthUnit::Millimetre).map_err(bad)?;
    if !ROOM_C.contains(&value) {
        return Err(Refusal::NoRoomTemperature { shown: written.trim().to_owned() });
    }
    let reading = Reading { text: text("The temperature", written, LINE)?, value };
    Ok(vec![Event::TemperatureRead { station: at, reading }])
}

pub(super) fn release(
    state: &State,
    at: StationId,
    material: Signed<Material>,
    amount: &str,
    purpose: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let field = || format!("How much {} was used", material.list.title);
    let value = parse_measure(amount, Measure::Liquid, LengthUnit::Millimetre)
        .map_err(|error| Refusal::BadValue { field: field(), error })?;
    if value > MOST_ML {
        return Err(Refusal::TooMuch { amount: amount.trim().to_owned() });
    }
    let purpose = text("What it was used for", purpose, LINE)?;
    let amount = Reading { text: text("The amount", amount, LINE)?, value };
    // In doubt it burns.
    let burns = material.list.is_flammable() != Some(false) && value > 0.0;
    let withdrawn: Vec<Event> = withdraw_room(state, &at, WithdrawalCause::FlammableReleased, now)
        .filter(|_| burns)
        .collect();
    let kept = keep_text(state, &material.digest, material.source);
    let recorded =
        Event::ReleaseRecorded { station: at, material: material.digest, amount, purpose };
    Ok(kept.into_iter().chain([recorded]).chain(withdrawn).collect())
}

/// The clearances at a station under which heat was used and nobody has signed the watch since.
pub(crate) fn to_watch<'a>(
    state: &'a State,
    at: &'a StationId,
) -> impl Iterator<Item = (&'a ClearanceId, &'a Clearance, Moment)> {
    state
        .clearances
        .iter()
        .filter(move |(_, c)| &c.station == at && c.watched.is_none())
        .filter_map(|(id, c)| Some((id, c, c.watch_until()?)))
}

pub(super) fn sign_watch(
    state: &State,
    person: &PersonId,
    at: &StationId,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    station(state, at)?;
    let until = to_watch(state, at).map(|(_, _, until)| until).max().ok_or(Refusal::NoWatch)?;
    // A clock that is behind proves nothing.
    if now < until || state.clock_is_behind(now) {
        return Err(Refusal::WatchRuns { left: words::span(until - now) });
    }
    let lead = state.crew.get(person).is_some_and(|person| person.role == Role::Lead);
    let watched = to_watch(state, at).all(|(_, clearance, _)| &clearance.watcher == person);
    if !lead && !watched {
        return Err(Refusal::LeadOnly { what: "sign a watch that another person kept" });
    }
    Ok(to_watch(state, at).map(|(id, _, _)| Event::WatchKept { clearance: id.clone() }).collect())
}

pub(super) fn close(state: &State, at: StationId, now: Moment) -> Result<Vec<Event>, Refusal> {
    let found = station(state, &at)?;
    known(found.open_until.is_some_and(|until| now < until), "open station", &found.name)?;
    let missing = keeps_open(state, &at, now);
    if missing.is_empty() {
        Ok(vec![Event::StationClosed { station: at }])
    } else {
        Err(Refusal::NotClosed { missing })
    }
}

/// Why a station can't be closed yet, a sentence each.
pub(super) fn keeps_open(state: &State, at: &StationId, now: Moment) -> Vec<String> {
    let mut missing = Vec::new();
    if let Some((_, clearance)) = state.live_clearance(at, now) {
        missing.push(format!(
            "heat is cleared until {}; stop it first.",
            clearance.until.format("%H:%M")
        ));
    }
    for (_, _, until) in to_watch(state, at) {
        missing.push(format!(
            "the watch after heat runs until {} and is to be signed.",
            until.with_timezone(now.offset()).format("%H:%M")
        ));
    }
    for (_, container) in state.containers_at(at).filter(|(_, container)| container.open) {
        missing.push(format!("“{}” is open.", container.name));
    }
    missing
}
