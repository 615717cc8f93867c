//! From the events of one day to the printed log of a station.

use crate::build_log::clearance as clearance_record;
use crate::error::ShellError;
use crate::events::from_ledger;
use crate::show;
use crate::workshop::Workshop;
use chrono::{NaiveDate, TimeDelta};
use coldbench_ledger::digest_hex;
use coldbench_record as page;
use coldbench_record::{EntryKind, StationEntry, WatchRecord};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Event, Happened, Moment, Refusal, State, StationId, WithdrawalCause, celsius, day_course,
    flow_of, station_of,
};

/// Points of the drawn course.
const POINTS: usize = 240;

/// The log of a station on one day, as the clock of the workshop counted days.
pub fn station_log(
    workshop: &Workshop,
    id: &StationId,
    day: NaiveDate,
    paper: page::Paper,
) -> Result<page::StationLog, ShellError> {
    let now_state = workshop.state();
    let unknown = || Refusal::Unknown { what: "station", id: id.to_string() };
    let station = now_state.stations.get(id).ok_or_else(unknown)?;
    let shop = now_state.workshop.as_ref().ok_or(Refusal::NotFounded)?;
    let ledger = workshop.ledger().ok_or(Refusal::NotFounded)?;
    let head = ledger.head();
    let mut state = State::default();
    let mut entries = Vec::new();
    let mut last = None;
    for stored in ledger.events()? {
        let Some(happened) = from_ledger(&stored)? else { continue };
        if happened.at.date_naive() > day && state.latest.is_some_and(|l| l.date_naive() > day) {
            break;
        }
        if happened.at.date_naive() == day {
            entries.extend(entry(&state, id, &happened));
        }
        last = Some(happened.at);
        state.evolve(&happened);
    }
    let printed = workshop.now();
    let midnight = |day: NaiveDate| {
        let start = day.and_hms_opt(0, 0, 0).unwrap_or_default();
        start.and_local_timezone(*printed.offset()).earliest().unwrap_or(printed)
    };
    let from = midnight(day);
    let until = midnight(day + TimeDelta::days(1)).min(printed);
    let of_day = |c: &&coldbench_shop::Clearance| {
        &c.station == id && c.granted.date_naive() <= day && c.until.date_naive() >= day
    };
    for (reference, lapsed) in state.clearances.iter().filter(|(_, c)| {
        of_day(c)
            && c.withdrawn.is_none()
            && !c.lapsed
            && c.until <= printed
            && c.until.date_naive() == day
    }) {
        entries.push(StationEntry {
            when: lapsed.until,
            kind: EntryKind::Lapse,
            words: format!("{reference}: {}", WithdrawalCause::Lapsed.words()),
            who: String::new(),
        });
    }
    entries.sort_by_key(|entry| entry.when);
    let (curve, curve_limit_percent, curve_word) = course(workshop, &state, id, from, until);
    Ok(page::StationLog {
        shop: shop.name.clone(),
        demo: shop.demo,
        station: station.name.clone(),
        station_id: id.to_string(),
        room: room_words(now_state, id),
        day: day.format("%Y-%m-%d").to_string(),
        entries,
        clearances: state
            .clearances
            .iter()
            .filter(|(_, clearance)| of_day(clearance))
            .map(|(reference, clearance)| clearance_record(&state, reference, clearance, printed))
            .collect(),
        // Whether a watch was kept is known today, even if it ended after midnight.
        watches: now_state
            .clearances
            .iter()
            .filter(|(_, c)| &c.station == id)
            .filter_map(|(reference, c)| {
                let heat = c.last_heat.filter(|at| at.date_naive() == day)?;
                Some(WatchRecord {
                    clearance: reference.to_string(),
                    last_heat: heat,
                    until: c.watch_until()?,
                    kept: c
                        .watched
                        .as_ref()
                        .map(|mark| (mark.at, show::name(now_state, mark.by.as_ref()))),
                })
            })
            .collect(),
        curve,
        curve_limit_percent,
        curve_word,
        ledger: page::LedgerHead {
            origin: head.origin.clone(),
            events: head.events,
            digest: digest_hex(&head.digest),
            last: last.unwrap_or(printed),
        },
        printed,
        paper,
    })
}

fn room_words(state: &State, id: &StationId) -> String {
    let volume = state.stations.get(id).and_then(|s| s.room.as_ref()).map(|r| r.text.clone());
    let others: Vec<&str> = state
        .stations
        .iter()
        .filter(|(other, _)| *other != id && state.share_a_room(other, id))
        .map(|(_, station)| station.name.as_str())
        .collect();
    match (volume, others.is_empty()) {
        (None, true) => String::new(),
        (None, false) => format!("not measured, shared with {}", others.join(", ")),
        (Some(volume), true) => volume,
        (Some(volume), false) => format!("{volume}, shared with {}", others.join(", ")),
    }
}

fn course(
    workshop: &Workshop,
    state: &State,
    id: &StationId,
    from: Moment,
    until: Moment,
) -> (Vec<(Moment, f64)>, f64, String) {
    let list = workshop.library().list(StationKind::HeatClearance);
    let Some(limits) = list.and_then(|signed| signed.list.limits.as_ref()) else {
        return (Vec::new(), 0.0, "There is no usable checklist for heat clearance.".to_owned());
    };
    match day_course(state, id, limits, from, until, POINTS) {
        Ok(points) => (
            points,
            limits.vapour_percent_of_lfl,
            format!(
                "All that was set down as used is taken as evaporated at once in the whole room; the air is divided by the mixing factor {} and counts for {} minutes after it was read.",
                limits.mixing_factor, limits.air_reading_holds_minutes
            ),
        ),
        Err(why) => (Vec::new(), limits.vapour_percent_of_lfl, format!("Not known: {why}")),
    }
}

/// What an event is to the log of a station; `state` is that before it.
#[expect(clippy::too_many_lines, reason = "one short arm for each event, in one place")]
fn entry(state: &State, id: &StationId, happened: &Happened) -> Option<StationEntry> {
    let at = station_of(&happened.event, state);
    let here = at.as_ref() == Some(id);
    let in_room = at.as_ref().is_some_and(|at| state.share_a_room(at, id));
    // What happens to the air at another station of the room belongs here too.
    let elsewhere = || {
        let name = at.as_ref().and_then(|at| state.stations.get(at));
        name.filter(|_| !here).map_or_else(String::new, |s| format!(" (at {})", s.name))
    };
    let container = |container| {
        let found: Option<&coldbench_shop::Container> = state.containers.get(container);
        found.map_or_else(String::new, |found| format!("“{}”", found.name))
    };
    let (kind, words) = match &happened.event {
        Event::AirRead { shown, .. } if in_room => {
            (EntryKind::Reading, format!("{shown}{}", elsewhere()))
        }
        // There is one for each station of the room.
        Event::RoomMeasured { room, .. } if here => {
            (EntryKind::Reading, format!("Room volume set down: {}.", room.text))
        }
        Event::AirStopped { .. } if in_room => {
            (EntryKind::Reading, format!("The ventilation stopped.{}", elsewhere()))
        }
        Event::CheckAnswered { answer, shown, .. } if in_room && flow_of(answer).is_ok() => {
            (EntryKind::Reading, format!("{shown}{}", elsewhere()))
        }
        Event::ReleaseRecorded { material, amount, purpose, .. } if in_room => {
            let title = state
                .material_text(material)
                .map_or("a material of unknown text", |material| material.title.as_str());
            let words = format!("{} of {title}: {purpose}{}", amount.text, elsewhere());
            (EntryKind::Release, words)
        }
        Event::FlammableUsed { at: place, .. } if in_room => {
            let words =
                format!("A flammable was used at {} on {}{}.", place.step, place.rod, elsewhere());
            (EntryKind::Release, words)
        }
        Event::ContainerListed { name, .. } if in_room => {
            (EntryKind::Container, format!("“{name}” is kept here from now on.{}", elsewhere()))
        }
        Event::ContainerOpened { container: id } if in_room => {
            (EntryKind::Container, format!("{} was opened.{}", container(id), elsewhere()))
        }
        Event::ContainerClosed { container: id } if in_room => {
            let words = format!("{} was closed and put away.{}", container(id), elsewhere());
            (EntryKind::Container, words)
        }
        Event::ContainerRemoved { container: id } if in_room => {
            (EntryKind::Container, format!("{} was taken away.{}", container(id), elsewhere()))
        }
        Event::ListBegun { digest, from_paper, .. } if here => {
            let title = state.list_text(digest).map_or("A checklist", |list| list.title.as_str());
            let paper = from_paper.as_ref().map_or_else(String::new, |paper| {
                format!(
                    " Copied from a sheet that {} filled in by hand, {}.",
                    show::name(state, Some(&paper.by)),
                    paper.when.format("%Y-%m-%d %H:%M")
                )
            });
            (EntryKind::List, format!("Begun: {title}.{paper}"))
        }
        Event::ListComplete { .. } if here => {
            let list = state.stations.get(id).and_then(|station| station.in_hand.as_ref());
            let list = list.and_then(|list| state.list_text(&list.digest));
            let title = list.map_or("A checklist", |list| list.title.as_str());
            (EntryKind::List, format!("Gone through: {title}."))
        }
        Event::ClearanceGranted { clearance, until, watcher, gun_c, vapour, .. } if here => {
            let words = format!(
                "{clearance}: heat until {}, {} watches, gun at {}. {}",
                until.format("%H:%M"),
                show::name(state, Some(watcher)),
                celsius(*gun_c),
                vapour.words()
            );
            (EntryKind::Clearance, words)
        }
        Event::ClearanceWithdrawn { clearance, cause } if here => {
            let kind = match cause {
                WithdrawalCause::Lapsed => EntryKind::Lapse,
                _ => EntryKind::Withdrawal,
            };
            (kind, format!("{clearance}: {}", cause.words()))
        }
        Event::StepDone { at: place, clearance: Some(clearance), .. } if here => {
            let step = state
                .rods
                .get(&place.rod)
                .and_then(|rod| rod.stage(&place.stage))
                .and_then(|run| state.stage_text(&run.digest)?.step(&place.step))
                .map_or_else(|| place.step.to_string(), |step| step.what.clone());
            (EntryKind::Heat, format!("{} under {clearance}: {step}", place.rod))
        }
        Event::WatchKept { clearance } if here => {
            (EntryKind::Watch, format!("The watch after {clearance} was kept to its end."))
        }
        Event::StationClosed { .. } if here => {
            (EntryKind::Other, "The station was closed.".to_owned())
        }
        Event::ClockWentBack { latest } => (
            EntryKind::Clock,
            format!(
                "The clock shows an earlier time than before ({latest}). What was cleared ended."
            ),
        ),
        _ => return None,
    };
    let who = show::name(state, happened.person.as_ref());
    Some(StationEntry { when: happened.at, kind, words, who })
}
