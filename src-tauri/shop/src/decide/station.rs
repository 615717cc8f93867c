//! What happens at a station: containers, checklists, clearances.

use super::{
    LINE, air, keep_text, known, lead_only, next, own_text, paper, text, withdraw_live,
    withdraw_room,
};
use crate::checklist::{ListToBegin, Material, Proof, Signed, StationKind, StationList};
use crate::event::{Answer, Event, FromPaper, Moment, WithdrawalCause};
use crate::gate;
use crate::ids::{ClearanceId, ContainerId, PersonId, StationId, StepId};
use crate::refusal::Refusal;
use crate::rod::Reading;
use crate::state::{Container, State, Station};
use crate::words;
use chrono::TimeDelta;
use coldbench_trade::{LengthUnit, Measure, parse_measure};

pub(super) fn station<'a>(state: &'a State, id: &StationId) -> Result<&'a Station, Refusal> {
    state.stations.get(id).ok_or_else(|| Refusal::Unknown { what: "station", id: id.to_string() })
}

fn container<'a>(state: &'a State, id: &ContainerId) -> Result<&'a Container, Refusal> {
    state
        .containers
        .get(id)
        .filter(|container| !container.removed)
        .ok_or_else(|| Refusal::Unknown { what: "container", id: id.to_string() })
}

pub(super) fn list_container(
    state: &State,
    at: StationId,
    name: &str,
    autoignition: &str,
    material: Option<Box<Signed<Material>>>,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let autoignition = autoignition.trim();
    let autoignition = if autoignition.is_empty() {
        material
            .as_ref()
            .and_then(|material| material.list.lowest_autoignition())
            .map(|celsius| Reading { text: words::celsius(celsius), value: celsius })
    } else {
        let value =
            parse_measure(autoignition, Measure::Temperature, LengthUnit::Millimetre).map_err(
                |error| Refusal::BadValue { field: "Autoignition temperature".to_owned(), error },
            )?;
        Some(Reading { text: autoignition.to_owned(), value })
    };
    let container = ContainerId::new(next("F", state.containers.keys().map(ContainerId::as_str)));
    let name = text("The name of what is in it", name, LINE)?;
    // What was cleared did not know of it.
    let withdrawn: Vec<Event> =
        withdraw_room(state, &at, WithdrawalCause::ContainerArrived, now).collect();
    let (kept, material) = match material {
        Some(signed) => (keep_text(state, &signed.digest, signed.source), Some(signed.digest)),
        None => (None, None),
    };
    let listed = Event::ContainerListed { container, station: at, name, autoignition, material };
    Ok(kept.into_iter().chain([listed]).chain(withdrawn).collect())
}

pub(super) fn open_container(
    state: &State,
    id: ContainerId,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let found = container(state, &id)?;
    if found.open {
        return Err(Refusal::ContainerAlready { name: found.name.clone(), state: "open" });
    }
    let withdrawn = withdraw_room(state, &found.station, WithdrawalCause::FlammableReleased, now);
    let mut events = vec![Event::ContainerOpened { container: id }];
    events.extend(withdrawn);
    Ok(events)
}

pub(super) fn close_container(state: &State, id: ContainerId) -> Result<Vec<Event>, Refusal> {
    let found = container(state, &id)?;
    if !found.open {
        return Err(Refusal::ContainerAlready { name: found.name.clone(), state: "closed" });
    }
    Ok(vec![Event::ContainerClosed { container: id }])
}

pub(super) fn remove_container(state: &State, id: ContainerId) -> Result<Vec<Event>, Refusal> {
    container(state, &id)?;
    Ok(vec![Event::ContainerRemoved { container: id }])
}

pub(super) fn begin(
    state: &State,
    at: StationId,
    person: &PersonId,
    ready: ListToBegin,
    from_paper: Option<FromPaper>,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    station(state, &at)?;
    let ListToBegin { list, over } = ready;
    if let Some(paper) = &from_paper {
        if list.list.kind == StationKind::HeatClearance {
            return Err(Refusal::HeatNotFromPaper);
        }
        paper::by_whom(state, person, paper, now)?;
    }
    if !list.list.kind.is_urgent()
        && let Ok((here, _)) = in_hand(state, &at)
        && here.kind.is_urgent()
    {
        return Err(Refusal::FirstThis { title: here.title.clone() });
    }
    own_text::stands(state, &list.list.title, &list, over.as_ref())?;
    // Where something went wrong already, what was cleared does not hold any more.
    let withdrawn: Vec<Event> = match list.list.kind {
        StationKind::Spill => {
            withdraw_room(state, &at, WithdrawalCause::FlammableReleased, now).collect()
        }
        StationKind::Contact => {
            withdraw_live(state, &at, WithdrawalCause::StoppedByHand, now).collect()
        }
        _ => Vec::new(),
    };
    let over_digest = over.as_ref().map(|over| over.digest.clone());
    let texts = [(list.digest.clone(), list.source)];
    let shipped = over.map(|over| (over.digest, over.source));
    let mut events = own_text::kept(state, texts.into_iter().chain(shipped));
    events.push(Event::ListBegun {
        station: at,
        digest: list.digest,
        over: over_digest,
        from_paper,
    });
    events.extend(withdrawn);
    Ok(events)
}

/// The checklist in hand at a station.
fn in_hand<'a>(
    state: &'a State,
    at: &StationId,
) -> Result<(&'a StationList, &'a crate::state::ListInHand), Refusal> {
    let in_hand = station(state, at)?.in_hand.as_ref().ok_or(Refusal::NoListInHand)?;
    let list = state.list_text(&in_hand.digest).ok_or(Refusal::TextUnreadable)?;
    Ok((list, in_hand))
}

/// Whether the checklist in hand, brought to its end, would give a clearance for heat.
pub(super) fn clears_heat(state: &State, at: &StationId) -> bool {
    in_hand(state, at).is_ok_and(|(list, _)| list.kind == StationKind::HeatClearance)
}

pub(super) fn answer(
    state: &State,
    at: StationId,
    check: &StepId,
    answer: Answer,
) -> Result<Vec<Event>, Refusal> {
    let (list, _) = in_hand(state, &at)?;
    let found = list
        .check(check)
        .ok_or_else(|| Refusal::Unknown { what: "check", id: check.to_string() })?;
    let judged = gate::judge(state, &at, list, found, &answer)?;
    Ok(vec![Event::CheckAnswered {
        station: at,
        check: check.clone(),
        answer,
        shown: judged.shown,
        passes: judged.passes,
    }])
}

pub(super) fn complete(
    state: &State,
    person: &PersonId,
    at: StationId,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let (list, answers) = in_hand(state, &at)?;
    let missing = gate::missing(state, &at, list, answers, now);
    if !missing.is_empty() {
        return Err(Refusal::ListIncomplete { missing });
    }
    match list.kind {
        StationKind::HeatClearance => {}
        StationKind::CloseBench => {
            let missing = air::keeps_open(state, &at, now);
            if !missing.is_empty() {
                return Err(Refusal::NotClosed { missing });
            }
            let complete = Event::ListComplete { station: at.clone() };
            return Ok(vec![complete, Event::StationClosed { station: at }]);
        }
        _ => return Ok(vec![Event::ListComplete { station: at }]),
    }
    lead_only(state, person, "give a clearance for heat")?;
    let incomplete = |what: &str| Refusal::ListIncomplete { missing: vec![what.to_owned()] };
    let limits =
        list.limits.as_ref().ok_or_else(|| incomplete("The checklist gives no limits."))?;
    let reading = |proof| gate::proof(list, answers, proof);
    let Some(Answer::Watcher { person: watcher }) = reading(Proof::Watcher).map(|a| &a.answer)
    else {
        return Err(incomplete("Nobody is named who watches."));
    };
    let Some(Answer::Value { text }) = reading(Proof::GunTemperature).map(|a| &a.answer) else {
        return Err(incomplete("The gun's set temperature is not known."));
    };
    let gun_c = parse_measure(text, Measure::Temperature, LengthUnit::Millimetre)
        .map_err(|error| Refusal::BadValue { field: "Gun".to_owned(), error })?;
    let vapour = gate::vapour(state, &at, limits, reading(Proof::Vapour), now);
    let clearance = ClearanceId::new(next("C", state.clearances.keys().map(ClearanceId::as_str)));
    // One clearance a station: else what withdraws the one would leave the other.
    let mut events: Vec<Event> =
        withdraw_live(state, &at, WithdrawalCause::Replaced, now).collect();
    let lasts = now + TimeDelta::minutes(i64::from(limits.lasts_minutes));
    // A reading that is too old counts no more, and the clearance that rests on it lapses.
    let read = reading(Proof::Airflow).map(|answered| {
        answered.at + TimeDelta::minutes(i64::from(limits.air_reading_holds_minutes))
    });
    events.push(Event::ClearanceGranted {
        clearance,
        station: at,
        until: read.map_or(lasts, |read| read.min(lasts)),
        watcher: watcher.clone(),
        gun_c,
        vapour,
        limits: limits.into(),
    });
    Ok(events)
}

pub(super) fn withdraw(
    state: &State,
    id: &ClearanceId,
    cause: WithdrawalCause,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let clearance = state.clearances.get(id);
    known(clearance.is_some(), "clearance", id.as_str())?;
    if clearance.is_some_and(|c| c.withdrawn.is_some() || c.lapsed || now >= c.until) {
        return Err(Refusal::ClearanceOver);
    }
    let mut events = vec![Event::ClearanceWithdrawn { clearance: id.clone(), cause }];
    // What stopped here stopped for the whole room.
    if let Some(clearance) = clearance
        && matches!(cause, WithdrawalCause::AirflowStopped | WithdrawalCause::ReadingLost)
    {
        let others = withdraw_room(state, &clearance.station, cause, now);
        events.extend(others.filter(|event| {
            !matches!(event, Event::ClearanceWithdrawn { clearance, .. } if clearance == id)
        }));
    }
    Ok(events)
}
