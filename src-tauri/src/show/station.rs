//! A station: its air, its flammables, its clearance.

use super::{hazards, name, near, statements, time};
use crate::views::{
    AirView, AnswerForm, AnsweredView, CheckView, ClearanceView, ContainerView, CurvePoint,
    ListLine, ListView, MaterialLine, QuickAmountView, ReleaseLine, StationView, WatchView,
};
use crate::workshop::Workshop;
use chrono::TimeDelta;
use coldbench_shop::checklist::{
    AnswerKind, Check, HeatLimits, Material, Proof, StationKind, StationList,
};
use coldbench_shop::{
    Answered, Clearance, ClearanceId, HottestGun, ListInHand, Refusal, Released, RoomRecord, State,
    Station, StationId, Vapour, celsius, course, estimate, flammable_category_of, hazard,
    hottest_gun, hourly_use, is_stale, judge, missing, vapour,
};
use coldbench_trade::Measure;
use std::iter;

/// The station as it stands.
pub fn station(workshop: &Workshop, id: &StationId) -> Result<StationView, Refusal> {
    let (state, now) = (workshop.state(), workshop.now());
    let found = state
        .stations
        .get(id)
        .ok_or_else(|| Refusal::Unknown { what: "station", id: id.to_string() })?;
    let latest = state
        .clearances
        .iter()
        .filter(|(_, clearance)| &clearance.station == id)
        .max_by_key(|(_, clearance)| clearance.granted);
    let (vapour, vapour_known) = vapour_now(workshop, id);
    Ok(StationView {
        id: id.to_string(),
        name: found.name.clone(),
        room: found.room.as_ref().map(|room| room.text.clone()),
        open_until: found.open_until.filter(|until| now < *until).map(time),
        containers: state
            .containers_at(id)
            .map(|(id, container)| ContainerView {
                id: id.to_string(),
                name: container.name.clone(),
                autoignition: container.autoignition.as_ref().map(|reading| reading.text.clone()),
                open: container.open,
            })
            .collect(),
        // The air of the room is one, whoever used what where.
        last_release: state
            .stations
            .iter()
            .filter(|(other, _)| state.share_a_room(other, id))
            .filter_map(|(_, station)| station.last_release)
            .max()
            .map(time),
        vapour,
        vapour_known,
        air: air_view(workshop, id),
        watch: watch_view(workshop, id),
        heat_missing: heat_missing(workshop, id, latest.map(|(_, clearance)| clearance)),
        clearances: clearances(workshop, id),
        clearance: latest.map(|(id, clearance)| clearance_view(workshop, id, clearance)),
        lists: workshop
            .library()
            .lists()
            .iter()
            .map(|signed| list_line(workshop, found, &signed.list))
            .collect(),
        in_hand: found.in_hand.as_ref().and_then(|in_hand| {
            let list = state.list_text(&in_hand.digest)?;
            Some(list_view(workshop, id, list, in_hand))
        }),
    })
}

fn list_line(workshop: &Workshop, station: &Station, list: &StationList) -> ListLine {
    let now = workshop.now();
    let done = station.lists_done.get(&list.id).copied();
    let again = list.due_again_days.map(|days| TimeDelta::days(i64::from(days)));
    let due_from = done.zip(again).map(|(done, again)| done + again);
    let due = again.is_some() && due_from.is_none_or(|from| now >= from);
    let words = match (done, due_from) {
        (None, _) if again.is_some() => "Never gone through here: it is due.".to_owned(),
        (None, _) => String::new(),
        (Some(done), None) => format!("Last gone through {}.", near(done, now)),
        (Some(done), Some(from)) if due => {
            format!("Last gone through {}; due since {}.", near(done, now), near(from, now))
        }
        (Some(done), Some(from)) => {
            format!("Last gone through {}; due again {}.", near(done, now), near(from, now))
        }
    };
    ListLine {
        id: list.id.clone(),
        kind: list.kind.into(),
        title: list.title.clone(),
        aim: list.aim.clone(),
        words,
        due,
        at_once: list
            .checks
            .iter()
            .filter(|_| list.kind.is_urgent())
            .map(|check| check.key_point.clone())
            .collect(),
    }
}

/// The clearances of a station, newest first.
fn clearances(workshop: &Workshop, id: &StationId) -> Vec<(String, String)> {
    let all = workshop.state().clearances.iter();
    let mut here: Vec<_> = all.filter(|(_, clearance)| &clearance.station == id).collect();
    here.sort_by_key(|(_, clearance)| std::cmp::Reverse(clearance.granted));
    let words = |(id, clearance): (&ClearanceId, &Clearance)| {
        (id.to_string(), format!("{id}, granted {}", clearance.granted.format("%Y-%m-%d %H:%M")))
    };
    here.into_iter().map(words).collect()
}

/// Points of the curve: enough for a drawing, little enough to cross at every turn.
const POINTS: usize = 120;

/// The air of the station's room, by the bounds of the clearance checklist.
fn air_view(workshop: &Workshop, id: &StationId) -> AirView {
    let (state, now) = (workshop.state(), workshop.now());
    let empty = RoomRecord::default();
    let room = state.room_of(id).unwrap_or(&empty);
    let limits = workshop
        .library()
        .list(StationKind::HeatClearance)
        .and_then(|signed| signed.list.limits.as_ref());
    let last = room.readings.last();
    let mut view = AirView {
        volume: state.stations.get(id).and_then(|s| s.room.as_ref()).map(|room| room.text.clone()),
        shared_with: state
            .stations
            .iter()
            .filter(|(other, _)| *other != id && state.share_a_room(other, id))
            .map(|(_, station)| station.name.clone())
            .collect(),
        flow: last.map(|reading| {
            let who = name(state, reading.by.as_ref());
            format!("{} ({who}, {})", reading.shown, near(reading.at, now))
        }),
        flow_m3_h: 0.0,
        reading_until: None,
        percent: None,
        unknown: Some("There is no usable checklist for heat clearance.".to_owned()),
        limit_percent: 0.0,
        heat_from: None,
        exposure: Vec::new(),
        over_exposed: false,
        curve: Vec::new(),
        releases: releases_today(workshop, room),
        unsaid: unsaid(workshop, id, room),
        materials: Vec::new(),
        days: days(workshop, id),
    };
    let lines = |limits, flow| {
        let materials = workshop.library().materials().iter();
        materials.map(|signed| material_line(&signed.list, limits, flow)).collect()
    };
    let Some(limits) = limits else {
        view.materials = lines(None, 0.0);
        return view;
    };
    let known = estimate(state, id, limits, now);
    view.flow_m3_h = known.flow_m3_h;
    view.materials = lines(Some(limits), known.flow_m3_h);
    view.reading_until = known.reading_until.map(time);
    view.limit_percent = limits.vapour_percent_of_lfl;
    // Where heat need not wait there is no moment to name.
    view.heat_from = known.heat_from.filter(|from| *from > now).map(time);
    (view.percent, view.unknown) = match known.percent_of_lfl {
        Ok(percent) => (Some(percent), None),
        Err(why) => (None, Some(why)),
    };
    for exposure in &known.exposures {
        let said = |index: &Result<f64, String>| match index {
            Ok(index) => format!("{:.0} % of the limits", index * 100.0),
            Err(why) => format!("not known ({why})"),
        };
        let over = |index: &Result<f64, String>| index.as_ref().is_ok_and(|index| *index > 1.0);
        view.over_exposed |= over(&exposure.fifteen_minutes) || over(&exposure.eight_hours);
        view.exposure.push(format!(
            "{}, here since {}: the last 15 minutes {}; the day as a mean of 8 hours {}.",
            name(state, Some(&exposure.person)),
            near(exposure.since, now),
            said(&exposure.fifteen_minutes),
            said(&exposure.eight_hours)
        ));
    }
    // A while past the moment at which heat may begin, so that the falling line can be seen.
    let until = known.heat_from.unwrap_or(now).max(now) + TimeDelta::hours(1);
    let until = until.min(now + TimeDelta::hours(24));
    if let Ok(points) = course(state, id, limits, now, until, POINTS) {
        view.curve =
            points.into_iter().map(|(at, percent)| CurvePoint { at: time(at), percent }).collect();
    }
    view
}

fn releases_today(workshop: &Workshop, room: &RoomRecord) -> Vec<ReleaseLine> {
    let (state, now) = (workshop.state(), workshop.now());
    room.releases
        .iter()
        .filter(|release| now - release.at < TimeDelta::hours(24))
        .map(|release| ReleaseLine { at: time(release.at), words: release_words(state, release) })
        .collect()
}

/// What was used, how much, what for, where and by whom.
fn release_words(state: &State, release: &Released) -> String {
    let what = state
        .material_text(&release.material)
        .map_or("a material of unknown text", |material| material.title.as_str());
    let station = state
        .stations
        .get(&release.station)
        .map_or_else(|| release.station.to_string(), |station| station.name.clone());
    let who = name(state, release.by.as_ref());
    format!("{} of {what}: {} ({station}, {who})", release.amount.text, release.purpose)
}

fn unsaid(workshop: &Workshop, id: &StationId, room: &RoomRecord) -> Vec<String> {
    let (state, now) = (workshop.state(), workshop.now());
    let open = state
        .containers_in_room(id)
        .filter(|(_, container)| container.open)
        .map(|(_, container)| format!("“{}” is open.", container.name));
    let used = room
        .unaccounted
        .iter()
        .filter(|earlier| now - earlier.at < TimeDelta::hours(24))
        .filter(|earlier| {
            let container = earlier.container.as_ref().and_then(|id| state.containers.get(id));
            !container.is_some_and(|container| container.open)
        })
        .map(|earlier| {
            format!("Say how much was used: {} ({})", earlier.what, near(earlier.at, now))
        });
    open.chain(used).collect()
}

fn material_line(material: &Material, limits: Option<&HeatLimits>, flow: f64) -> MaterialLine {
    let hourly = limits.filter(|_| flow > 0.0).and_then(|limits| {
        let found = hourly_use(material, limits, flow).ok().flatten()?;
        let health = match found.for_health_ml {
            Some(health) => format!("{health:.0} mL for the exposure limits"),
            None => "no exposure limit is stated for all of it".to_owned(),
        };
        Some(format!(
            "At this airflow an hour bears {:.0} mL before heat has to wait; {health}.",
            found.for_heat_ml
        ))
    });
    MaterialLine {
        hourly,
        id: material.id.clone(),
        title: material.title.clone(),
        burns: match material.is_flammable() {
            Some(true) => match flammable_category_of(material) {
                Some(category) => {
                    let code = category.h_code();
                    format!("burns ({code} {})", hazard::words(code).unwrap_or_default())
                }
                None => "burns".to_owned(),
            },
            Some(false) => "does not burn as a liquid".to_owned(),
            None => "nobody knows whether it burns".to_owned(),
        },
        caution: material.caution.clone(),
        missing: material.missing_for_estimate(),
        amounts: material
            .uses
            .iter()
            .map(|quick| QuickAmountView {
                name: quick.name.clone(),
                amount: format!("{} mL", quick.amount_ml),
            })
            .collect(),
    }
}

/// Days of which there is something to print, newest first.
fn days(workshop: &Workshop, id: &StationId) -> Vec<String> {
    let state = workshop.state();
    let room = state.room_of(id);
    let mut days: Vec<String> = room
        .into_iter()
        .flat_map(|room| {
            room.readings.iter().map(|r| r.at).chain(room.releases.iter().map(|r| r.at))
        })
        .chain(state.clearances.values().filter(|c| &c.station == id).map(|c| c.granted))
        .map(|at| at.format("%Y-%m-%d").to_string())
        .collect();
    days.sort_unstable_by(|one, other| other.cmp(one));
    days.dedup();
    days.truncate(60);
    days
}

fn watch_view(workshop: &Workshop, id: &StationId) -> Option<WatchView> {
    let (state, now) = (workshop.state(), workshop.now());
    let (clearance, until) = state
        .clearances
        .values()
        .filter(|c| &c.station == id && c.watched.is_none())
        .filter_map(|c| Some((c, c.watch_until()?)))
        .max_by_key(|(_, until)| *until)?;
    Some(WatchView {
        until: time(until),
        over: now >= until && !state.clock_is_behind(now),
        watcher: name(state, Some(&clearance.watcher)),
    })
}

/// The word about vapour by the bounds of the clearance checklist; without one, no data.
fn vapour_now(workshop: &Workshop, id: &StationId) -> (String, bool) {
    let (state, now) = (workshop.state(), workshop.now());
    let limits = workshop
        .library()
        .list(StationKind::HeatClearance)
        .and_then(|signed| signed.list.limits.as_ref());
    let Some(limits) = limits else {
        return ("No data: there is no usable checklist for heat clearance.".to_owned(), false);
    };
    let reading = state.stations.get(id).and_then(|s| s.in_hand.as_ref()).and_then(|in_hand| {
        let list = state.list_text(&in_hand.digest)?;
        let check = list.checks.iter().find(|check| check.proves == Some(Proof::Vapour))?;
        in_hand.answers.get(&check.id)
    });
    let basis = vapour(state, id, limits, reading, now);
    (basis.words(), !matches!(basis, Vapour::NoData { .. }))
}

fn heat_missing(workshop: &Workshop, id: &StationId, latest: Option<&Clearance>) -> Vec<String> {
    let (state, now) = (workshop.state(), workshop.now());
    let mut missing = Vec::new();
    if state.clock_is_behind(now) {
        missing.push("The clock shows an earlier time than before. Put it right.".to_owned());
    }
    for (_, container) in state.containers_at(id).filter(|(_, container)| container.open) {
        missing.push(format!("“{}” is open. Close it and put it away.", container.name));
    }
    match latest {
        Some(clearance) if state.is_live(clearance, now) => {}
        Some(clearance) => missing.push(match clearance.withdrawn {
            Some((at, cause)) => {
                format!("The clearance was withdrawn {}: {}", near(at, now), cause.words())
            }
            None => format!("The clearance lapsed {}.", near(clearance.until, now)),
        }),
        None => missing.push("No clearance has been given here.".to_owned()),
    }
    missing
}

fn clearance_view(workshop: &Workshop, id: &ClearanceId, clearance: &Clearance) -> ClearanceView {
    let (state, now) = (workshop.state(), workshop.now());
    ClearanceView {
        id: id.to_string(),
        live: state.is_live(clearance, now),
        granted: time(clearance.granted),
        until: time(clearance.until),
        by: name(state, clearance.by.as_ref()),
        watcher: name(state, Some(&clearance.watcher)),
        gun: celsius(clearance.gun_c),
        vapour: clearance.vapour.words(),
        ended: match clearance.withdrawn {
            Some((at, cause)) => Some(format!("Withdrawn {}: {}", near(at, now), cause.words())),
            None if clearance.lapsed || now >= clearance.until => {
                Some(format!("Lapsed {}.", near(clearance.until, now)))
            }
            None => None,
        },
    }
}

fn list_view(
    workshop: &Workshop,
    id: &StationId,
    list: &StationList,
    in_hand: &ListInHand,
) -> ListView {
    let (state, now) = (workshop.state(), workshop.now());
    ListView {
        kind: list.kind.into(),
        title: list.title.clone(),
        aim: list.aim.clone(),
        begun: time(in_hand.begun),
        checks: list
            .checks
            .iter()
            .enumerate()
            .map(|(index, check)| check_view(workshop, id, list, in_hand, index, check))
            .collect(),
        missing: missing(state, id, list, in_hand, now),
        asks_pin: list.kind == StationKind::HeatClearance,
        set_aside: state
            .stations
            .get(id)
            .into_iter()
            .flat_map(|station| &station.set_aside)
            .filter_map(|aside| state.list_text(&aside.digest).map(|list| list.title.clone()))
            .collect(),
    }
}

fn check_view(
    workshop: &Workshop,
    at: &StationId,
    list: &StationList,
    in_hand: &ListInHand,
    index: usize,
    check: &Check,
) -> CheckView {
    let (state, now) = (workshop.state(), workshop.now());
    let (form, states, mut limits, example) = form(list, check);
    if let (AnswerKind::GunTemperature, Some(bounds)) = (&check.answer, &list.limits) {
        limits = gun_words(state, at, bounds);
    }
    // As it stands now: what was true when it was said may not be any more, or be true meanwhile.
    let judged = |answered: &Answered| judge(state, at, list, check, &answered.answer);
    CheckView {
        id: check.id.to_string(),
        number: u32::try_from(index + 1).unwrap_or(u32::MAX),
        ask: check.ask.clone(),
        key_point: check.key_point.clone(),
        reason: check.reason.clone(),
        caution: check.caution.clone(),
        hazards: hazards(&check.hazards),
        statements: statements(&check.hazards),
        form,
        states,
        limits,
        example,
        answered: in_hand.answers.get(&check.id).map(|answered| AnsweredView {
            shown: judged(answered).map_or_else(|refusal| refusal.to_string(), |now| now.shown),
            passes: judged(answered).is_ok_and(|now| now.passes),
            stale: list.limits.as_ref().is_some_and(|limits| is_stale(answered, limits, now)),
            at: time(answered.at),
            by: name(state, answered.by.as_ref()),
        }),
    }
}

/// How hot the gun may be here: by what is kept, and by the steps in hand, whose own limit holds it back
/// again when they are signed.
fn gun_words(state: &State, at: &StationId, limits: &HeatLimits) -> String {
    let kept = match hottest_gun(state, at, limits) {
        HottestGun::AtMost { celsius: most, name, .. } => {
            // Down, never up.
            let most = celsius(most.floor());
            format!("{most} or less, for “{name}” ignites by itself first of what is kept here")
        }
        HottestGun::Unknown { name } => {
            format!("the autoignition temperature of “{name}” first; it is not written down")
        }
        HottestGun::NothingKept => "a figure; nothing flammable is kept here".to_owned(),
    };
    let stages = state.rods.values().flat_map(|rod| &rod.stages);
    let here = stages.filter(|run| &run.station == at && run.finished.is_none());
    let allowed = here.filter_map(|run| {
        let stage = state.stage_text(&run.digest)?;
        let ahead = stage.steps.iter().filter(|step| {
            run.steps.get(&step.id).is_none_or(|done| done.done.is_none())
                && !run.left_out.contains_key(&step.id)
        });
        let most = ahead.filter_map(|step| step.gun_limit_c).reduce(f64::min)?;
        Some(format!(". “{}”, in hand here, allows {}", stage.title, celsius(most)))
    });
    iter::once(kept).chain(allowed).collect()
}

fn form(list: &StationList, check: &Check) -> (AnswerForm, Vec<String>, String, String) {
    let none = String::new;
    let bound = |words: String| if list.limits.is_some() { words } else { none() };
    match (&check.answer, &list.limits) {
        (AnswerKind::Choice { states, .. }, _) => {
            (AnswerForm::Choice, states.clone(), none(), none())
        }
        (AnswerKind::Value { measure, limits, .. }, _) => {
            // A bare number shows itself, and one outside the limits would mislead.
            let example = if *measure == Measure::Number { "" } else { measure.example() };
            (AnswerForm::Value, Vec::new(), limits.clone(), example.to_owned())
        }
        (AnswerKind::Containers, _) => (AnswerForm::Containers, Vec::new(), none(), none()),
        (AnswerKind::Watcher, _) => (AnswerForm::Watcher, Vec::new(), none(), none()),
        (AnswerKind::Airflow, limits) => {
            let least = limits.as_ref().map_or(0.0, |limits| limits.air_changes_per_hour);
            let words = bound(format!("{least} air changes an hour or more"));
            (AnswerForm::Airflow, Vec::new(), words, Measure::AirSpeed.example().to_owned())
        }
        (AnswerKind::Distance, limits) => {
            let least = limits.as_ref().map_or(0.0, |limits| limits.distance_mm / 1000.0);
            let words = bound(format!("{least:.1} m or more, or shielded"));
            (AnswerForm::Distance, Vec::new(), words, "12 m or 35 ft".to_owned())
        }
        (AnswerKind::GunTemperature, _) => {
            (AnswerForm::GunTemperature, Vec::new(), none(), "140 °C or 285 °F".to_owned())
        }
        (AnswerKind::Vapour, limits) => {
            let most = limits.as_ref().map_or(0.0, |limits| limits.vapour_percent_of_lfl);
            let words = bound(format!("{most} % of the lower flammable limit, or less"));
            (AnswerForm::Vapour, Vec::new(), words, Measure::Percent.example().to_owned())
        }
    }
}
