//! What an event is about, and which events belong to the record of a rod.

use crate::event::{Event, Happened, StepPlace};
use crate::ids::{ClearanceId, ContainerId, RodId, StageId, StationId, TextDigest};
use crate::state::State;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

/// The subject of what happens to the crew.
pub const CREW: &str = "crew";
const WORKSHOP: &str = "workshop";
const CLOCK: &str = "clock";
const TEXT: &str = "text";
const LOT: &str = "lot";

/// What an event is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum About<'a> {
    /// The workshop as a whole.
    Workshop,
    /// A person.
    Crew,
    /// The text of a checklist.
    Text,
    /// A lot of a material.
    Lot,
    /// The clock.
    Clock,
    /// A rod.
    Rod(&'a RodId),
    /// A step of a rod.
    Step(&'a StepPlace),
    /// A station.
    Station(&'a StationId),
    /// A container, wherever it stands.
    Container(&'a ContainerId),
    /// A clearance, wherever it was given.
    Clearance(&'a ClearanceId),
}

impl Event {
    /// What it is about. A new event has to be named here.
    pub fn about(&self) -> About<'_> {
        match self {
            Self::WorkshopFounded { .. }
            | Self::UnitsChosen { .. }
            | Self::TeachingAsked { .. } => About::Workshop,
            Self::PersonJoined { .. } | Self::PersonLeft { .. } | Self::KeyRenewed { .. } => {
                About::Crew
            }
            Self::TextKept { .. } | Self::OverrideAccepted { .. } => About::Text,
            Self::LotRegistered { .. } | Self::LotGone { .. } => About::Lot,
            Self::ClockWentBack { .. } => About::Clock,
            Self::RodBegun { rod, .. }
            | Self::RodRevised { rod, .. }
            | Self::StageBegun { rod, .. }
            | Self::StageMoved { rod, .. }
            | Self::StageLeftOut { rod, .. }
            | Self::StageTakenIn { rod, .. }
            | Self::RecordPrinted { rod, .. } => About::Rod(rod),
            Self::CautionUnderstood { at }
            | Self::ValueMeasured { at, .. }
            | Self::ValueAccepted { at, .. }
            | Self::LotNamed { at, .. }
            | Self::ExpiredLotAccepted { at, .. }
            | Self::ClockStarted { at, .. }
            | Self::StepDone { at, .. }
            | Self::StepPresented { at, .. }
            | Self::KeyPointsTold { at, .. }
            | Self::StepWitnessed { at }
            | Self::CalledAway { at }
            | Self::CameBack { at }
            | Self::Corrected { at, .. }
            | Self::NoteWritten { at, .. } => About::Step(at),
            Self::StationAdded { station, .. }
            | Self::RoomMeasured { station, .. }
            | Self::ContainerListed { station, .. }
            | Self::ListBegun { station, .. }
            | Self::CheckAnswered { station, .. }
            | Self::ListComplete { station }
            | Self::ClearanceGranted { station, .. }
            | Self::AirRead { station, .. }
            | Self::AirStopped { station }
            | Self::TemperatureRead { station, .. }
            | Self::ReleaseRecorded { station, .. }
            | Self::StationClosed { station }
            | Self::FlammableUsed { station, .. } => About::Station(station),
            Self::ContainerOpened { container }
            | Self::ContainerClosed { container }
            | Self::ContainerRemoved { container } => About::Container(container),
            Self::ClearanceWithdrawn { clearance, .. } | Self::WatchKept { clearance } => {
                About::Clearance(clearance)
            }
        }
    }
}

/// Where an event happened, for the station's own log. `state` is that before the event.
pub fn station_of(event: &Event, state: &State) -> Option<StationId> {
    let found = match (event, event.about()) {
        // About a rod, and done at a station all the same.
        (Event::StageBegun { station, .. }, _) | (_, About::Station(station)) => station,
        (_, About::Container(id)) => &state.containers.get(id)?.station,
        (_, About::Clearance(id)) => &state.clearances.get(id)?.station,
        (_, About::Step(at)) => &state.rods.get(&at.rod)?.stage(&at.stage)?.station,
        (
            _,
            About::Workshop | About::Crew | About::Text | About::Lot | About::Clock | About::Rod(_),
        ) => return None,
    };
    Some(found.clone())
}

/// What an event is about, in one word that stays readable in the record of another rod: a rod
/// for what was done on it, a station for what was done there, the crew, or a word of its own.
/// It never tells a customer's name. `state` is that before the event.
pub fn subject_of(event: &Event, state: &State) -> String {
    match event.about() {
        About::Workshop => WORKSHOP.to_owned(),
        About::Crew => CREW.to_owned(),
        About::Text => TEXT.to_owned(),
        About::Lot => LOT.to_owned(),
        About::Clock => CLOCK.to_owned(),
        About::Rod(rod) => rod.to_string(),
        About::Step(at) => at.rod.to_string(),
        About::Station(_) | About::Container(_) | About::Clearance(_) => {
            station_of(event, state).map_or_else(String::new, |station| station.to_string())
        }
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
    let mut stages: BTreeSet<&StageId> = BTreeSet::new();
    let mut lots: Vec<&str> = Vec::new();
    let mut last_use: BTreeMap<&ClearanceId, u64> = BTreeMap::new();
    for (happened, _) in events.clone() {
        match &happened.event {
            Event::StageBegun { rod: on, stage, digest, station, products, over } if on == rod => {
                stages.insert(stage);
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
            Event::ListBegun { station, digest, over, .. } => {
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
            Event::StationAdded { station, .. } | Event::RoomMeasured { station, .. } => {
                stations.contains(station)
            }
            Event::TeachingAsked { stage, .. } => stages.contains(stage),
            _ => in_span(happened.id.number, subject),
        })
        .map(|(happened, _)| happened.id.number)
        .collect()
}
