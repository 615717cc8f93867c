//! What an event is about, and which events belong to the record of a rod.

use crate::event::{Event, Happened};
use crate::ids::{ClearanceId, RodId, StationId, TextDigest};
use crate::state::State;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

/// The subject of what happens to the crew.
pub const CREW: &str = "crew";
const WORKSHOP: &str = "workshop";
const CLOCK: &str = "clock";
const TEXT: &str = "text";
const LOT: &str = "lot";

/// Where an event happened, for the station's own log. `state` is that before the event.
pub fn station_of(event: &Event, state: &State) -> Option<StationId> {
    let of_container = |id| state.containers.get(id).map(|container| container.station.clone());
    match event {
        Event::StationAdded { station, .. }
        | Event::ContainerListed { station, .. }
        | Event::ListBegun { station, .. }
        | Event::CheckAnswered { station, .. }
        | Event::ListComplete { station }
        | Event::ClearanceGranted { station, .. }
        | Event::StageBegun { station, .. }
        | Event::AirRead { station, .. }
        | Event::AirStopped { station }
        | Event::TemperatureRead { station, .. }
        | Event::ReleaseRecorded { station, .. }
        | Event::StationClosed { station }
        | Event::FlammableUsed { station, .. } => Some(station.clone()),
        Event::ContainerOpened { container }
        | Event::ContainerClosed { container }
        | Event::ContainerRemoved { container } => of_container(container),
        Event::ClearanceWithdrawn { clearance, .. } | Event::WatchKept { clearance } => {
            state.clearances.get(clearance).map(|clearance| clearance.station.clone())
        }
        Event::CautionUnderstood { at }
        | Event::ValueMeasured { at, .. }
        | Event::ValueAccepted { at, .. }
        | Event::LotNamed { at, .. }
        | Event::ExpiredLotAccepted { at, .. }
        | Event::ClockStarted { at, .. }
        | Event::StepDone { at, .. }
        | Event::StepWitnessed { at }
        | Event::Corrected { at, .. }
        | Event::NoteWritten { at, .. } => {
            let run = state.rods.get(&at.rod)?.stage(&at.stage)?;
            Some(run.station.clone())
        }
        Event::WorkshopFounded { .. }
        | Event::PersonJoined { .. }
        | Event::PersonLeft { .. }
        | Event::KeyRenewed { .. }
        | Event::LotRegistered { .. }
        | Event::LotGone { .. }
        | Event::TextKept { .. }
        | Event::OverrideAccepted { .. }
        | Event::StageMoved { .. }
        | Event::StageLeftOut { .. }
        | Event::StageTakenIn { .. }
        | Event::ClockWentBack { .. }
        | Event::UnitsChosen { .. }
        | Event::RodBegun { .. }
        | Event::RodRevised { .. }
        | Event::RecordPrinted { .. } => None,
    }
}

/// What an event is about, in one word that stays readable in the record of another rod: a rod
/// for what was done on it, a station for what was done there, the crew, or a word of its own.
/// It never tells a customer's name. `state` is that before the event.
pub fn subject_of(event: &Event, state: &State) -> String {
    match event {
        Event::WorkshopFounded { .. } | Event::UnitsChosen { .. } => WORKSHOP.to_owned(),
        Event::PersonJoined { .. } | Event::PersonLeft { .. } | Event::KeyRenewed { .. } => {
            CREW.to_owned()
        }
        Event::TextKept { .. } | Event::OverrideAccepted { .. } => TEXT.to_owned(),
        Event::LotRegistered { .. } | Event::LotGone { .. } => LOT.to_owned(),
        Event::ClockWentBack { .. } => CLOCK.to_owned(),
        Event::RodBegun { rod, .. }
        | Event::RodRevised { rod, .. }
        | Event::StageBegun { rod, .. }
        | Event::StageMoved { rod, .. }
        | Event::StageLeftOut { rod, .. }
        | Event::StageTakenIn { rod, .. }
        | Event::RecordPrinted { rod, .. } => rod.to_string(),
        Event::CautionUnderstood { at }
        | Event::ValueMeasured { at, .. }
        | Event::ValueAccepted { at, .. }
        | Event::LotNamed { at, .. }
        | Event::ExpiredLotAccepted { at, .. }
        | Event::ClockStarted { at, .. }
        | Event::StepDone { at, .. }
        | Event::StepWitnessed { at }
        | Event::Corrected { at, .. }
        | Event::NoteWritten { at, .. } => at.rod.to_string(),
        _ => station_of(event, state).map_or_else(String::new, |station| station.to_string()),
    }
}

/// The numbers of the events that belong to the record of a rod beside those about it: the crew,
/// the texts that were followed, the stations, and of each clearance that heat was used under
/// everything at its station from the first question to its last use and its end.
///
/// `events` come in order, each with its subject.
pub fn record_of<'a>(
    rod: &RodId,
    events: impl Iterator<Item = (&'a Happened, &'a str)> + Clone,
) -> BTreeSet<u64> {
    let mut texts: BTreeSet<&TextDigest> = BTreeSet::new();
    let mut stations: BTreeSet<&StationId> = BTreeSet::new();
    let mut lots: Vec<&str> = Vec::new();
    let mut last_use: BTreeMap<&ClearanceId, u64> = BTreeMap::new();
    for (happened, _) in events.clone() {
        match &happened.event {
            Event::StageBegun { rod: on, digest, station, products, over, .. } if on == rod => {
                texts.insert(digest);
                texts.extend(products.iter().chain(over));
                stations.insert(station);
            }
            Event::StageMoved { rod: on, digest, products, over, .. } if on == rod => {
                texts.insert(digest);
                texts.extend(products.iter().chain(over));
            }
            Event::LotNamed { at, lot } if at.rod == *rod => {
                lots.extend(lot.split([',', ';']).map(str::trim));
            }
            Event::StepDone { at, clearance: Some(clearance), .. } if at.rod == *rod => {
                last_use.insert(clearance, happened.id.number);
            }
            _ => {}
        }
    }
    let mut begun: BTreeMap<&StationId, (u64, Vec<&TextDigest>)> = BTreeMap::new();
    let mut spans: BTreeMap<&ClearanceId, (&StationId, RangeInclusive<u64>)> = BTreeMap::new();
    for (happened, _) in events.clone() {
        let number = happened.id.number;
        match &happened.event {
            Event::ListBegun { station, digest, over } => {
                begun.insert(station, (number, [digest].into_iter().chain(over).collect()));
            }
            Event::ClearanceGranted { clearance, station, .. } => {
                if let Some(last) = last_use.get(clearance) {
                    let (first, followed) = begun.get(station).cloned().unwrap_or((number, vec![]));
                    texts.extend(followed);
                    stations.insert(station);
                    spans.insert(clearance, (station, first..=*last));
                }
            }
            Event::ClearanceWithdrawn { clearance, .. } | Event::WatchKept { clearance } => {
                if let Some((_, span)) = spans.get_mut(clearance) {
                    let last = number.max(*span.end());
                    *span = *span.start()..=last;
                }
            }
            _ => {}
        }
    }
    let in_span = |number: u64, subject: &str| {
        spans.values().any(|(station, span)| station.as_str() == subject && span.contains(&number))
    };
    events
        .filter(|(happened, subject)| match &happened.event {
            Event::WorkshopFounded { .. }
            | Event::UnitsChosen { .. }
            | Event::PersonJoined { .. }
            | Event::PersonLeft { .. }
            | Event::KeyRenewed { .. }
            | Event::ClockWentBack { .. } => true,
            Event::TextKept { digest, .. } | Event::OverrideAccepted { digest, .. } => {
                texts.contains(digest)
            }
            Event::LotRegistered { marking, .. } => {
                lots.iter().any(|named| named.eq_ignore_ascii_case(marking))
            }
            Event::StationAdded { station, .. } => stations.contains(station),
            _ => in_span(happened.id.number, subject),
        })
        .map(|(happened, _)| happened.id.number)
        .collect()
}
