//! Setting up the workshop, its crew and its stations.

use super::{LINE, known, lead_only, next, text};
use crate::command::NewStation;
use crate::crew::Role;
use crate::event::{Event, Moment, WithdrawalCause};
use crate::ids::{PersonId, StationId};
use crate::refusal::Refusal;
use crate::rod::Reading;
use crate::state::State;
use coldbench_trade::{LengthUnit, Measure, Units, parse_measure};

pub(super) fn found(
    state: &State,
    name: &str,
    demo: bool,
    lengths: LengthUnit,
    lead: &str,
    station: &NewStation,
) -> Result<Vec<Event>, Refusal> {
    if state.workshop.is_some() {
        return Err(Refusal::AlreadyFounded);
    }
    Ok(vec![
        Event::WorkshopFounded {
            name: text("The name of the workshop", name, LINE)?,
            demo,
            lengths,
        },
        Event::PersonJoined {
            person: PersonId::new("P-1"),
            name: text("The name of the lead", lead, LINE)?,
            role: Role::Lead,
        },
        station_added(state, StationId::new("S-1"), station)?,
    ])
}

fn station_added(state: &State, id: StationId, station: &NewStation) -> Result<Event, Refusal> {
    let shares_room_with = station.shares_room_with.clone();
    if let Some(other) = &shares_room_with {
        known(state.stations.contains_key(other), "station", other.as_str())?;
    }
    // A room has one volume: that of the station that was set up in it first.
    let room = if shares_room_with.is_some() { "" } else { station.room.trim() };
    let room = if room.is_empty() { None } else { Some(volume(room)?) };
    let name = text("The name of the station", &station.name, LINE)?;
    Ok(Event::StationAdded { station: id, name, room, shares_room_with })
}

fn volume(written: &str) -> Result<Reading, Refusal> {
    let text = written.trim();
    let value = parse_measure(text, Measure::Volume, LengthUnit::Millimetre)
        .map_err(|error| Refusal::BadValue { field: "Room volume".to_owned(), error })?;
    if value <= 0.0 {
        return Err(Refusal::NoRoom { text: text.to_owned() });
    }
    Ok(Reading { text: text.to_owned(), value })
}

/// The volume of a room, for every station in it. What was cleared for heat by another volume is so no
/// longer.
pub(super) fn measure_room(
    state: &State,
    by: &PersonId,
    station: &StationId,
    written: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "set down the volume of a room")?;
    known(state.stations.contains_key(station), "station", station.as_str())?;
    let room = volume(written)?;
    let here = || state.stations.iter().filter(|(id, _)| state.share_a_room(id, station));
    if here().all(|(_, station)| station.room.as_ref() == Some(&room)) {
        return Ok(Vec::new());
    }
    let cause = WithdrawalCause::RoomMeasured;
    let withdrawn = state
        .clearances
        .iter()
        .filter(|(_, c)| state.share_a_room(&c.station, station) && state.is_live(c, now))
        .map(|(id, _)| Event::ClearanceWithdrawn { clearance: id.clone(), cause });
    let measured =
        here().map(|(id, _)| Event::RoomMeasured { station: id.clone(), room: room.clone() });
    Ok(withdrawn.chain(measured).collect())
}

pub(super) fn choose_units(
    state: &State,
    by: &PersonId,
    units: Units,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "choose the units of the workshop")?;
    let same = state.workshop.as_ref().is_some_and(|shop| shop.units == units);
    Ok(if same { Vec::new() } else { vec![Event::UnitsChosen { units }] })
}

pub(super) fn add_person(
    state: &State,
    by: &PersonId,
    name: &str,
    role: Role,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "add a person to the crew")?;
    let person = PersonId::new(next("P", state.crew.keys().map(PersonId::as_str)));
    Ok(vec![Event::PersonJoined { person, name: text("The name", name, LINE)?, role }])
}

pub(super) fn person_leaves(
    state: &State,
    by: &PersonId,
    leaving: PersonId,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "take a person off the crew")?;
    let person = state.crew.get(&leaving).filter(|person| person.present);
    known(person.is_some(), "person of the crew", leaving.as_str())?;
    let leads = state.crew.values().filter(|p| p.present && p.role == Role::Lead).count();
    if person.is_some_and(|p| p.role == Role::Lead) && leads == 1 {
        return Err(Refusal::LastLead);
    }
    let mut events: Vec<Event> = state
        .clearances
        .iter()
        .filter(|(_, c)| c.watcher == leaving && state.is_live(c, now))
        .map(|(id, _)| Event::ClearanceWithdrawn {
            clearance: id.clone(),
            cause: WithdrawalCause::WatcherLeft,
        })
        .collect();
    events.push(Event::PersonLeft { person: leaving });
    Ok(events)
}

/// A lead vouches for anyone of the crew; everyone may change their own.
pub(super) fn renew_key(
    state: &State,
    by: &PersonId,
    whose: PersonId,
) -> Result<Vec<Event>, Refusal> {
    let person = state.crew.get(&whose).filter(|person| person.present);
    known(person.is_some(), "person of the crew", whose.as_str())?;
    if *by != whose {
        lead_only(state, by, "give another person a new key")?;
    }
    Ok(vec![Event::KeyRenewed { person: whose }])
}

pub(super) fn add_station(
    state: &State,
    by: &PersonId,
    station: &NewStation,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, by, "set up a station")?;
    let id = StationId::new(next("S", state.stations.keys().map(StationId::as_str)));
    Ok(vec![station_added(state, id, station)?])
}
