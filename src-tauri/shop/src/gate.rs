//! The heat gate: what stands between a cold bench and a hot gun.
//!
//! It advises and records. It is no interlock and no gas detector; local codes, the product's
//! safety data sheet and licensed practice come first.

use crate::air::{Estimate, airflow_words, anything_released, estimate, flow_of};
use crate::checklist::{AnswerKind, Check, HeatLimits, Proof, StationKind, StationList, Step};
use crate::crew::Role;
use crate::event::{Answer, ContainerState, Moment, Vapour};
use crate::ids::{ClearanceId, PersonId, StationId};
use crate::refusal::Refusal;
use crate::rod::Reading;
use crate::state::{Answered, ListInHand, State, Station};
use crate::words;
use chrono::TimeDelta;
use coldbench_trade::units::{Volume, cubic_meter, cubic_meter_per_hour};
use coldbench_trade::{LengthUnit, Measure, air_changes_per_hour, parse_measure};

/// Whether heat may be used at a step now: the clearance under which, or what is missing.
pub fn heat_gate(
    state: &State,
    station_id: &StationId,
    step: &Step,
    now: Moment,
) -> Result<ClearanceId, Refusal> {
    let station = state.stations.get(station_id);
    let name = station.map_or_else(|| station_id.to_string(), |s| s.name.clone());
    let refuse =
        |missing: Vec<String>| Err(Refusal::NoClearance { station: name.clone(), missing });
    if state.clock_is_behind(now) {
        return refuse(vec![
            "The clock shows an earlier time than before. Put it right; then clear the station anew."
                .to_owned(),
        ]);
    }
    let Some((id, clearance)) = state.live_clearance(station_id, now) else {
        return refuse(vec![why_not_live(state, station_id, now)]);
    };
    let mut missing = Vec::new();
    for (_, container) in state.containers_in_room(station_id).filter(|(_, c)| c.open) {
        missing.push(format!("“{}” is open.", container.name));
    }
    match step.gun_limit_c {
        Some(limit) if clearance.gun_c <= limit => {}
        Some(limit) => missing.push(format!(
            "The gun is set to {}; this step allows {} at most. Set it lower and clear the station anew.",
            words::celsius(clearance.gun_c),
            words::celsius(limit)
        )),
        None => missing.push("The step gives no highest gun setting.".to_owned()),
    }
    if missing.is_empty() { Ok(id.clone()) } else { refuse(missing) }
}

/// Whether this person may use heat under this clearance: a helper only with a lead beside them, who
/// watches.
pub fn lead_beside(
    state: &State,
    person: &PersonId,
    clearance: &ClearanceId,
) -> Result<(), Refusal> {
    let is_lead = |id: &PersonId| {
        state.crew.get(id).is_some_and(|found| found.present && found.role == Role::Lead)
    };
    let watcher = state.clearances.get(clearance).map(|clearance| &clearance.watcher);
    if is_lead(person) || watcher.is_some_and(is_lead) {
        return Ok(());
    }
    let named = watcher.and_then(|watcher| state.crew.get(watcher));
    Err(Refusal::HeatAlone { watcher: named.map_or("nobody", |found| &found.name).to_owned() })
}

fn why_not_live(state: &State, station: &StationId, now: Moment) -> String {
    let last =
        state.clearances.values().filter(|c| &c.station == station).max_by_key(|c| c.granted);
    match last {
        None => "No clearance has been given here. Clear the station for heat on the Air screen."
            .to_owned(),
        Some(c) => match c.withdrawn {
            Some((_, cause)) => {
                format!("The clearance was withdrawn: {} Clear the station anew.", cause.words())
            }
            None if c.lapsed || now >= c.until => {
                "The clearance has lapsed. Clear the station anew.".to_owned()
            }
            None => "The clearance does not hold. Clear the station anew.".to_owned(),
        },
    }
}

/// What an answer amounts to.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Whether it passes.
    pub passes: bool,
    /// The answer in words, with the reason where it does not pass.
    pub shown: String,
}

fn judged(passes: bool, shown: String, why: impl FnOnce() -> String) -> Judged {
    if passes {
        Judged { passes, shown }
    } else {
        Judged { passes, shown: format!("{shown} {}", why()) }
    }
}

/// Judges an answer against the check, the limits and what is known about the station.
pub fn judge(
    state: &State,
    station_id: &StationId,
    list: &StationList,
    check: &Check,
    answer: &Answer,
) -> Result<Judged, Refusal> {
    let station = state
        .stations
        .get(station_id)
        .ok_or_else(|| Refusal::Unknown { what: "station", id: station_id.to_string() })?;
    match (&check.answer, answer, &list.limits) {
        (AnswerKind::Choice { states, pass }, Answer::Choice { state }, _)
            if states.contains(state) =>
        {
            Ok(judged(pass.contains(state), format!("{state}."), || {
                format!("Needed: {}.", pass.join(" or "))
            }))
        }
        (AnswerKind::Value { measure, least, most, limits }, Answer::Value { text }, _) => {
            let value = read(&check.ask, text, *measure)?;
            let within =
                least.is_none_or(|least| value >= least) && most.is_none_or(|most| value <= most);
            Ok(judged(within, format!("{}.", text.trim()), || format!("Needed: {limits}.")))
        }
        (AnswerKind::Airflow, answer, Some(limits)) => airflow(station, limits, check, answer),
        (AnswerKind::Containers, Answer::Containers { states }, _) => {
            containers(state, station_id, states)
        }
        (AnswerKind::Distance, Answer::Distance { nearest, shielded }, Some(limits)) => {
            let distance = read(&check.ask, nearest, Measure::Length)?;
            let far = distance >= limits.distance_mm - 1.0;
            let shown = format!(
                "{} to the nearest thing that burns{}.",
                nearest.trim(),
                if *shielded { ", shielded" } else { ", not shielded" }
            );
            Ok(judged(far || *shielded, shown, || {
                format!(
                    "Move it {} away, or put a shield that doesn't burn between.",
                    words::metres(limits.distance_mm)
                )
            }))
        }
        (AnswerKind::Watcher, Answer::Watcher { person }, _) => {
            let found = state.crew.get(person).filter(|person| person.present);
            let named = found.ok_or_else(|| Refusal::Unknown {
                what: "person of the crew",
                id: person.to_string(),
            })?;
            if state.is_called_away(person) {
                return Err(Refusal::WatcherAway { name: named.name.clone() });
            }
            Ok(Judged { passes: true, shown: format!("{} watches.", named.name) })
        }
        (AnswerKind::GunTemperature, Answer::Value { text }, Some(limits)) => {
            let gun = read(&check.ask, text, Measure::Temperature)?;
            Ok(gun_setting(state, station_id, limits, gun, text))
        }
        (AnswerKind::Vapour, Answer::Value { text }, Some(limits)) => {
            let percent = read(&check.ask, text, Measure::Percent)?;
            let shown = format!("{} % of the lower flammable limit.", words::number(percent));
            Ok(judged(percent <= limits.vapour_percent_of_lfl, shown, || {
                format!(
                    "Needed: {} % or less. Air the room and read again.",
                    words::number(limits.vapour_percent_of_lfl)
                )
            }))
        }
        (AnswerKind::Vapour, Answer::NoMeter, _) => Ok(Judged {
            passes: true,
            shown: "No meter at hand: the estimate from what was set down decides.".to_owned(),
        }),
        _ => Err(Refusal::AnswerDoesNotFit { check: check.ask.clone() }),
    }
}

fn read(field: &str, text: &str, measure: Measure) -> Result<f64, Refusal> {
    parse_measure(text, measure, LengthUnit::Millimetre)
        .map_err(|error| Refusal::BadValue { field: field.to_owned(), error })
}

fn airflow(
    station: &Station,
    limits: &HeatLimits,
    check: &Check,
    answer: &Answer,
) -> Result<Judged, Refusal> {
    let flow = flow_of(answer).map_err(|refusal| match refusal {
        Refusal::BadValue { error, .. } => Refusal::BadValue { field: check.ask.clone(), error },
        Refusal::AnswerDoesNotFit { .. } => Refusal::AnswerDoesNotFit { check: check.ask.clone() },
        other => other,
    })?;
    let how = airflow_words(answer);
    let shown = format!("{how}: {:.0} m³/h", flow.get::<cubic_meter_per_hour>());
    let Some(room) = station.room.as_ref().filter(|room| room.value > 0.0) else {
        return Ok(judged(false, format!("{shown}."), || {
            "The volume of the room is not known, so nothing follows from the flow. Set it down at the station’s air, under Ventilation.".to_owned()
        }));
    };
    let changes = air_changes_per_hour(flow, Volume::new::<cubic_meter>(room.value));
    let enough = changes >= limits.air_changes_per_hour;
    Ok(judged(enough, format!("{shown}, {changes:.1} air changes an hour."), || {
        format!("Needed: {} or more.", words::number(limits.air_changes_per_hour))
    }))
}

fn containers(
    state: &State,
    station: &StationId,
    states: &std::collections::BTreeMap<crate::ids::ContainerId, ContainerState>,
) -> Result<Judged, Refusal> {
    let missing: Vec<&str> = state
        .containers_at(station)
        .filter(|(id, _)| !states.contains_key(*id))
        .map(|(_, c)| c.name.as_str())
        .collect();
    if !missing.is_empty() {
        return Err(Refusal::ContainersMissing { missing: missing.join(", ") });
    }
    let mut shown = Vec::new();
    let mut passes = true;
    for (id, container) in state.containers_at(station) {
        let (word, good) = match states.get(id) {
            Some(ContainerState::ClosedAway) if container.open => {
                ("said to be closed, but recorded as open: close it first", false)
            }
            Some(ContainerState::ClosedAway) => ("closed and away", true),
            Some(ContainerState::ClosedHere) => ("closed but still here: put it away", false),
            Some(ContainerState::Open) | None => ("open: close it and put it away", false),
        };
        passes &= good;
        shown.push(format!("{}: {word}.", container.name));
    }
    // The air of the room is one: what stands open at another station counts here.
    for (_, container) in state
        .containers_in_room(station)
        .filter(|(_, container)| &container.station != station && container.open)
    {
        passes = false;
        shown.push(format!("{}: open at another station of this room, close it.", container.name));
    }
    if shown.is_empty() {
        let nothing = "No container of anything flammable is kept here.".to_owned();
        let used = used_from_nothing(state, station);
        return Ok(judged(used.is_none(), nothing, || {
            format!(
                "But {} was used in this room: list what it came out of, then say where that is.",
                used.as_deref().unwrap_or("something flammable")
            )
        }));
    }
    Ok(Judged { passes, shown: shown.join(" ") })
}

/// What was used in the room last that burns or may burn, if no container was ever listed there: it
/// came out of one.
fn used_from_nothing(state: &State, station: &StationId) -> Option<String> {
    if state.containers.values().any(|container| state.share_a_room(&container.station, station)) {
        return None;
    }
    let room = state.room_of(station)?;
    let named = room.releases.iter().rev().find_map(|release| {
        let material = state.material_text(&release.material);
        let burns = material.is_none_or(|material| material.is_flammable() != Some(false));
        (burns && release.amount.value > 0.0)
            .then(|| material.map_or(SOMETHING.to_owned(), |found| format!("“{}”", found.title)))
    });
    // A step that asks for a solvent was done, and nobody set down what was used.
    named.or_else(|| (!room.unaccounted.is_empty()).then(|| SOMETHING.to_owned()))
}

const SOMETHING: &str = "something flammable";

/// How hot the gun may be by what is kept in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HottestGun<'a> {
    /// Nothing flammable is kept there.
    NothingKept,
    /// A container whose autoignition temperature nobody wrote down.
    Unknown {
        /// What is in it.
        name: &'a str,
    },
    /// At most this.
    AtMost {
        /// In °C.
        celsius: f64,
        /// What ignites by itself first.
        name: &'a str,
        /// When, as it was written.
        ignites: &'a str,
    },
}

/// Looks through the containers of the room. The stricter of two bounds counts: the share of the lowest
/// autoignition temperature that the list gives, and 100 °F (37.8 °C) below it (29 CFR 1910.125).
pub fn hottest_gun<'a>(
    state: &'a State,
    station: &'a StationId,
    limits: &HeatLimits,
) -> HottestGun<'a> {
    let mut lowest: Option<(&Reading, &str)> = None;
    for (_, container) in state.containers_in_room(station) {
        let Some(known) = &container.autoignition else {
            return HottestGun::Unknown { name: &container.name };
        };
        if lowest.is_none_or(|(lowest, _)| known.value < lowest.value) {
            lowest = Some((known, &container.name));
        }
    }
    match lowest {
        None => HottestGun::NothingKept,
        Some((autoignition, name)) => {
            let share = autoignition.value * limits.gun_percent_of_autoignition / 100.0;
            let celsius = share.min(autoignition.value - 37.8);
            HottestGun::AtMost { celsius, name, ignites: &autoignition.text }
        }
    }
}

fn gun_setting(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    gun_c: f64,
    text: &str,
) -> Judged {
    match hottest_gun(state, station, limits) {
        HottestGun::NothingKept => Judged {
            passes: true,
            shown: format!("{}; nothing flammable is kept here.", text.trim()),
        },
        HottestGun::Unknown { name } => judged(false, format!("{}.", text.trim()), || {
            format!(
                "The autoignition temperature of “{name}” is not known: find it in section 9 of its data sheet, or remove the container."
            )
        }),
        HottestGun::AtMost { celsius, name, ignites } => {
            let shown = format!("{}; “{name}” ignites by itself at {ignites}.", text.trim());
            judged(gun_c <= celsius, shown, || {
                format!("Set the gun to {celsius:.0} °C or lower, or remove the container.")
            })
        }
    }
}

/// What is known about vapour at a station: a meter that was read after the last release, else
/// the estimate for its room. Where the estimate lacks anything, nothing is known.
pub fn vapour(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    reading: Option<&Answered>,
    now: Moment,
) -> Vapour {
    let release = state
        .stations
        .iter()
        .filter(|(id, _)| state.share_a_room(id, station))
        .filter_map(|(_, station)| station.last_release)
        .max();
    if let Some(Answered { answer: Answer::Value { text }, at, .. }) = reading
        && let Ok(percent_of_lfl) = parse_measure(text, Measure::Percent, LengthUnit::Millimetre)
    {
        if release.is_some_and(|release| release > *at) {
            return Vapour::NoData {
                why: "a flammable was open or used in this room after the meter was read; read it again."
                    .to_owned(),
            };
        }
        return Vapour::MeterReading { percent_of_lfl };
    }
    let remembered = TimeDelta::hours(i64::from(limits.release_remembered_hours));
    let recent = release.is_some_and(|release| now - release < remembered);
    if !recent && !anything_released(state, station, limits, now) {
        return Vapour::NothingReleased { hours: limits.release_remembered_hours };
    }
    let Estimate { percent_of_lfl, flow_m3_h, .. } = estimate(state, station, limits, now);
    match percent_of_lfl {
        Ok(percent_of_lfl) => {
            Vapour::Estimate { percent_of_lfl, flow_m3_h, mixing_factor: limits.mixing_factor }
        }
        Err(why) => Vapour::NoData { why },
    }
}

/// Why the vapour that is known keeps heat back, if it does.
fn too_much(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    vapour: &Vapour,
    now: Moment,
) -> Option<String> {
    match vapour {
        Vapour::NoData { why } => Some(format!("No data about vapour: {why}")),
        Vapour::Estimate { percent_of_lfl, .. }
            if *percent_of_lfl > limits.vapour_percent_of_lfl =>
        {
            let when = match estimate(state, station, limits, now).heat_from {
                Some(from) => format!(
                    "It falls to that in {} if the air goes on moving as it was read.",
                    words::span(from - now)
                ),
                None => "It does not fall: no reading of moving air counts now.".to_owned(),
            };
            Some(format!(
                "The estimate is {} % of the lower flammable limit; needed: {} % or less. {when}",
                (percent_of_lfl * 10.0).ceil() / 10.0,
                words::number(limits.vapour_percent_of_lfl)
            ))
        }
        // A reading of the meter was judged where it was answered.
        Vapour::Estimate { .. } | Vapour::MeterReading { .. } | Vapour::NothingReleased { .. } => {
            None
        }
    }
}

/// What is still missing before the list in hand can be completed, a sentence each.
pub fn missing(
    state: &State,
    station_id: &StationId,
    list: &StationList,
    in_hand: &ListInHand,
    now: Moment,
) -> Vec<String> {
    let mut missing = Vec::new();
    for check in &list.checks {
        let Some(answered) = in_hand.answers.get(&check.id) else {
            missing.push(format!("Not answered: {}", check.ask));
            continue;
        };
        // What was true when it was said may not be any more: judge anew.
        match judge(state, station_id, list, check, &answered.answer) {
            Ok(judged) if judged.passes => {}
            Ok(judged) => missing.push(format!("{} {}", check.ask, judged.shown)),
            Err(refusal) => missing.push(format!("{} {refusal}", check.ask)),
        }
        if let Some(limits) = &list.limits
            && is_stale(answered, limits, now)
        {
            missing.push(format!(
                "Answered more than {} minutes ago, look again: {}",
                limits.answers_fresh_minutes, check.ask
            ));
        }
    }
    if list.kind == StationKind::HeatClearance {
        if state.clock_is_behind(now) {
            missing.push(
                "The clock shows an earlier time than before. Put it right first.".to_owned(),
            );
        }
        match &list.limits {
            Some(limits) => {
                let reading = proof(list, in_hand, Proof::Vapour);
                let known = vapour(state, station_id, limits, reading, now);
                missing.extend(too_much(state, station_id, limits, &known, now));
            }
            None => missing.push("The checklist gives no limits.".to_owned()),
        }
    }
    missing
}

/// Whether an answer is too old to rest a clearance on, or from the future.
pub fn is_stale(answered: &Answered, limits: &HeatLimits, now: Moment) -> bool {
    let age = now - answered.at;
    age > TimeDelta::minutes(i64::from(limits.answers_fresh_minutes))
        || age < -crate::state::CLOCK_GRACE
}

/// The answer to the check that proves `proof`.
pub(crate) fn proof<'a>(
    list: &StationList,
    in_hand: &'a ListInHand,
    proof: Proof,
) -> Option<&'a Answered> {
    list.checks
        .iter()
        .find(|check| check.proves == Some(proof))
        .and_then(|check| in_hand.answers.get(&check.id))
}
