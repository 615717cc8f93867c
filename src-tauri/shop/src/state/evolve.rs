//! Taking in one event. It never fails: what was stored happened.

use super::{
    Accepted, Answered, Clearance, Container, KeptText, LeftOut, ListInHand, Lot, Rod, State,
    Station, Workshop,
};
use crate::air::{Released, RoomRecord, Unaccounted, airflow_read, flow_of};
use crate::checklist::{self, AnswerKind, ClockKind, StationKind};
use crate::crew::Person;
use crate::event::{Answer, Event, Happened, Moment, StepPlace, WithdrawalCause};
use crate::ids::{ContainerId, RodId, StageId, StationId, StepId, TextDigest};
use crate::run::{
    Away, Clock, Corrected, Mark, MovedText, Position, Revised, StageRun, StepRun, Value,
};
use crate::subject::station_of;
use crate::teaching::TeachingAsked;
use chrono::TimeDelta;
use coldbench_trade::{LengthUnit, Measure, Units, parse_measure};
use std::collections::BTreeMap;
use std::sync::Arc;

impl State {
    /// Takes in one event.
    #[expect(clippy::too_many_lines, reason = "one short arm for each event, in one place")]
    pub fn evolve(&mut self, happened: &Happened) {
        let Happened { id, at, person, event } = happened;
        let mark = || Mark { event: id.clone(), by: person.clone(), at: *at };
        if !self.clock_is_behind(*at) {
            self.clock_behind = false;
        }
        if self.latest.is_none_or(|latest| *at >= latest) {
            self.latest = Some(*at);
        }
        if let Some(person) = person
            && let Some(station) = station_of(event, self)
        {
            self.air(&station, |air| air.seen(person, *at));
        }
        match event {
            Event::WorkshopFounded { name, demo, lengths } => {
                self.workshop = Some(Workshop {
                    name: name.clone(),
                    demo: *demo,
                    founded: *at,
                    lengths: *lengths,
                    units: Units::usual(*lengths),
                });
            }
            Event::PersonJoined { person, name, role } => {
                self.crew.insert(
                    person.clone(),
                    Person { name: name.clone(), role: *role, present: true },
                );
            }
            Event::PersonLeft { person } => {
                if let Some(person) = self.crew.get_mut(person) {
                    person.present = false;
                }
            }
            Event::StationAdded { station, name, room, shares_room_with } => {
                let first =
                    shares_room_with.as_ref().and_then(|other| self.stations.get(other)).cloned();
                let room_of = first.as_ref().map_or_else(|| station.clone(), |s| s.room_of.clone());
                self.rooms.entry(room_of.clone()).or_default();
                self.stations.insert(
                    station.clone(),
                    Station {
                        name: name.clone(),
                        room: first.map_or_else(|| room.clone(), |first| first.room),
                        room_of,
                        open_until: None,
                        in_hand: None,
                        set_aside: Vec::new(),
                        last_release: None,
                        lists_done: BTreeMap::new(),
                    },
                );
            }
            Event::RoomMeasured { station, room } => {
                if let Some(station) = self.stations.get_mut(station) {
                    station.room = Some(room.clone());
                    // What an airflow came to for the room is said anew.
                    let lists = station.in_hand.iter_mut().chain(&mut station.set_aside);
                    lists.for_each(|list| {
                        list.answers.retain(|_, given| flow_of(&given.answer).is_err());
                    });
                }
            }
            Event::ContainerListed { container, station, name, autoignition, material } => {
                self.containers.insert(
                    container.clone(),
                    Container {
                        station: station.clone(),
                        name: name.clone(),
                        autoignition: autoignition.clone(),
                        open: false,
                        removed: false,
                        material: material.clone(),
                    },
                );
            }
            Event::ContainerOpened { container } => self.container(container, *at, true, false),
            Event::ContainerClosed { container } => self.container(container, *at, false, false),
            Event::ContainerRemoved { container } => self.container(container, *at, false, true),
            Event::TextKept { digest, text } => {
                let checklist = checklist::read(text).checklist;
                let kept = KeptText { source: text.clone(), checklist };
                self.texts.insert(digest.clone(), Arc::new(kept));
            }
            Event::OverrideAccepted { id, digest, over, takes_away, reason } => {
                let accepted = Accepted {
                    id: id.clone(),
                    takes_away: takes_away.clone(),
                    reason: reason.clone(),
                    mark: mark(),
                };
                self.accepted.insert((digest.clone(), over.clone()), accepted);
            }
            Event::ListBegun { station, digest, from_paper, .. } => {
                self.spilt(station, digest, *at);
                let urgent = self.list_text(digest).is_some_and(|list| list.kind.is_urgent());
                // What was answered for heat before something went wrong counts no more.
                let was_for_heat = self
                    .stations
                    .get(station)
                    .and_then(|station| station.in_hand.as_ref())
                    .and_then(|before| self.list_text(&before.digest))
                    .is_some_and(|list| list.kind == StationKind::HeatClearance);
                if let Some(station) = self.stations.get_mut(station) {
                    let begun = ListInHand {
                        digest: digest.clone(),
                        begun: *at,
                        answers: BTreeMap::new(),
                        from_paper: from_paper.clone(),
                    };
                    let before = station.in_hand.replace(begun);
                    // A splash in the middle of a spill: both lists are to be gone through.
                    station.set_aside.extend(before.filter(|_| urgent && !was_for_heat));
                }
            }
            Event::CheckAnswered { station, check, answer, shown, passes } => {
                let by = person.clone();
                let in_hand = self.stations.get(station).and_then(|s| s.in_hand.as_ref());
                let read = in_hand.map_or(*at, |list| list.as_of(*at));
                if let Ok(flow) = flow_of(answer) {
                    // What follows from it for the room may change; what was read does not.
                    let words = airflow_read(answer, flow);
                    self.air(station, |air| air.read(read, flow, &words, by.clone()));
                }
                if let Some(celsius) = self.room_temperature_in(station, check, answer) {
                    self.air(station, |air| air.warm(read, celsius));
                }
                if let Some(list) = self.stations.get_mut(station).and_then(|s| s.in_hand.as_mut())
                {
                    list.answers.insert(
                        check.clone(),
                        Answered {
                            answer: answer.clone(),
                            shown: shown.clone(),
                            passes: *passes,
                            at: *at,
                            by,
                        },
                    );
                }
            }
            Event::ListComplete { station } => self.complete(station, *at),
            Event::ClearanceGranted {
                clearance,
                station,
                until,
                watcher,
                gun_c,
                vapour,
                limits,
            } => {
                let (digest, answers) =
                    self.stations.get_mut(station).and_then(Station::put_away).map_or_else(
                        || (TextDigest::new(""), BTreeMap::new()),
                        |list| (list.digest, list.answers),
                    );
                self.clearances.insert(
                    clearance.clone(),
                    Clearance {
                        station: station.clone(),
                        granted: *at,
                        until: *until,
                        by: person.clone(),
                        watcher: watcher.clone(),
                        gun_c: *gun_c,
                        vapour: vapour.clone(),
                        limits: limits.clone(),
                        withdrawn: None,
                        answers,
                        digest,
                        lapsed: false,
                        last_heat: None,
                        watched: None,
                    },
                );
            }
            Event::ClearanceWithdrawn { clearance, cause } => {
                let Some(clearance) = self.clearances.get_mut(clearance) else { return };
                if *cause == WithdrawalCause::Lapsed {
                    clearance.lapsed = true;
                } else {
                    clearance.withdrawn.get_or_insert((*at, *cause));
                }
                let station = clearance.station.clone();
                if matches!(cause, WithdrawalCause::AirflowStopped | WithdrawalCause::ReadingLost) {
                    self.air(&station, |air| air.stop(*at, person.clone()));
                }
            }
            Event::AirRead { station, answer, shown } => {
                if let Ok(flow) = flow_of(answer) {
                    self.air(station, |air| air.read(*at, flow, shown, person.clone()));
                }
            }
            Event::AirStopped { station } => {
                self.air(station, |air| air.stop(*at, person.clone()));
            }
            Event::ReleaseRecorded { station, material, amount, purpose } => {
                let open: Vec<ContainerId> = self
                    .containers
                    .iter()
                    .filter(|(_, container)| container.open)
                    .map(|(id, _)| id.clone())
                    .collect();
                let release = Released {
                    at: *at,
                    station: station.clone(),
                    material: material.clone(),
                    amount: amount.clone(),
                    purpose: purpose.clone(),
                    by: person.clone(),
                };
                self.air(station, |air| air.release(release, &open));
            }
            Event::WatchKept { clearance } => {
                if let Some(clearance) = self.clearances.get_mut(clearance) {
                    clearance.watched = Some(mark());
                }
            }
            Event::StationClosed { station } => {
                if let Some(station) = self.stations.get_mut(station) {
                    station.open_until = None;
                }
            }
            Event::ClockWentBack { .. } => self.clock_behind = true,
            Event::RodBegun { rod, plan } => {
                self.rods.insert(
                    rod.clone(),
                    Rod {
                        plan: plan.clone(),
                        begun: *at,
                        by: person.clone(),
                        revisions: Vec::new(),
                        stages: Vec::new(),
                        left_out: BTreeMap::new(),
                    },
                );
            }
            Event::RodRevised { rod, change, reason } => {
                if let Some(rod) = self.rods.get_mut(rod)
                    && let Some(plan) = rod.plan.changed(change)
                {
                    let (was, now) = rod.plan.words_of(change);
                    rod.revisions.push(Revised { was, now, reason: reason.clone(), mark: mark() });
                    rod.plan = plan;
                }
                let stages: Vec<StageId> = self.rods.get(rod).map_or_else(Vec::new, |rod| {
                    let open = rod.stages.iter().filter(|run| run.finished.is_none());
                    open.map(|run| run.id.clone()).collect()
                });
                for stage in stages {
                    self.settle(rod, &stage, *at);
                }
            }
            Event::UnitsChosen { units } => {
                if let Some(workshop) = &mut self.workshop {
                    workshop.units = *units;
                    workshop.lengths = units.diameters.unit();
                }
            }
            Event::TemperatureRead { station, reading } => {
                self.air(station, |air| air.warm(*at, reading.value));
            }
            Event::StageBegun { rod, stage, digest, station, products, over } => {
                if let Some(rod) = self.rods.get_mut(rod) {
                    rod.stages.push(StageRun {
                        id: stage.clone(),
                        digest: digest.clone(),
                        station: station.clone(),
                        begun: *at,
                        by: person.clone(),
                        finished: None,
                        products: products.clone(),
                        steps: BTreeMap::new(),
                        clocks: BTreeMap::new(),
                        over_first: over.clone(),
                        moved: Vec::new(),
                        left_out: BTreeMap::new(),
                        away: Vec::new(),
                    });
                }
                self.settle(rod, stage, *at);
            }
            Event::StageLeftOut { rod, stage, title, reason } => {
                let (title, reason) = (title.clone(), reason.clone());
                if let Some(rod) = self.rods.get_mut(rod) {
                    rod.left_out.insert(stage.clone(), LeftOut { title, reason, mark: mark() });
                }
            }
            Event::StageTakenIn { rod, stage } => {
                if let Some(rod) = self.rods.get_mut(rod) {
                    rod.left_out.remove(stage);
                }
            }
            Event::StageMoved { rod, stage, digest, products, over, differences } => {
                let place =
                    StepPlace { rod: rod.clone(), stage: stage.clone(), step: StepId::new("") };
                if let Some(run) = self.stage_run(&place) {
                    run.moved.push(MovedText {
                        from: run.digest.clone(),
                        to: digest.clone(),
                        over: over.clone(),
                        differences: differences.clone(),
                        mark: mark(),
                    });
                    run.digest = digest.clone();
                    run.products.clone_from(products);
                    run.left_out.clear();
                    let open = run.steps.values_mut().filter(|step| step.done.is_none());
                    open.for_each(StepRun::set_aside);
                }
                self.settle(rod, stage, *at);
            }
            Event::CautionUnderstood { at: place } => {
                self.step(place, |run| run.understood.push(mark()));
            }
            Event::ValueMeasured { at: place, reading, within, when } => {
                self.step(place, |run| {
                    run.values.push(Value {
                        reading: reading.clone(),
                        within: *within,
                        mark: mark(),
                        accepted: None,
                    });
                });
                if let Some(station) = self.room_temperature_at(place) {
                    self.air(&station, |air| air.warm(when.unwrap_or(*at), reading.value));
                }
            }
            Event::ValueAccepted { at: place, reason } => self.step(place, |run| {
                if let Some(value) = run.values.last_mut() {
                    value.accepted = Some((reason.clone(), mark()));
                }
            }),
            Event::LotNamed { at: place, lot } => {
                self.step(place, |run| {
                    run.lot = Some((lot.clone(), mark()));
                    run.lot_accepted = None;
                });
            }
            Event::LotRegistered { lot, what, marking, expires } => {
                self.lots.insert(
                    lot.clone(),
                    Lot {
                        what: what.clone(),
                        marking: marking.clone(),
                        expires: *expires,
                        gone: false,
                    },
                );
            }
            Event::LotGone { lot } => {
                if let Some(lot) = self.lots.get_mut(lot) {
                    lot.gone = true;
                }
            }
            Event::ExpiredLotAccepted { at: place, reason, .. } => {
                self.step(place, |run| run.lot_accepted = Some((reason.clone(), mark())));
            }
            Event::ClockStarted { at: place, clock, counts, name, minutes, when } => {
                let started = Clock {
                    kind: *counts,
                    name: name.clone(),
                    minutes: *minutes,
                    started: Mark { at: when.unwrap_or(*at), ..mark() },
                    ended: None,
                };
                self.step(place, |run| run.clock_starts.push(started.clone()));
                if let Some(stage) = self.stage_run(place) {
                    stage.clocks.insert(clock.clone(), started);
                }
            }
            Event::StepDone { at: place, clearance, figures, from_paper, lead_sees } => {
                self.step(place, |run| {
                    run.done = Some(mark());
                    run.clearance.clone_from(clearance);
                    run.figures.clone_from(figures);
                    run.from_paper.clone_from(from_paper);
                    run.lead_sees = *lead_sees;
                });
                if let Some(clearance) =
                    clearance.as_ref().and_then(|id| self.clearances.get_mut(id))
                {
                    clearance.last_heat = Some(*at);
                    clearance.watched = None;
                }
                self.end_clock(place, *at);
                self.settle(&place.rod, &place.stage, *at);
            }
            Event::TeachingAsked { stage, runs, refresh_days } => {
                let (runs, refresh_days) = (*runs, *refresh_days);
                let asked = TeachingAsked { runs, refresh_days, mark: mark() };
                self.teaching.insert(stage.clone(), asked);
            }
            Event::StepPresented { at: place, learner } => {
                self.step(place, |run| run.presented.push((learner.clone(), mark())));
            }
            Event::KeyPointsTold { at: place, learner } => {
                self.step(place, |run| run.told.push((learner.clone(), mark())));
            }
            Event::StepWitnessed { at: place } => {
                self.step(place, |run| run.witnessed = Some(mark()));
                self.settle(&place.rod, &place.stage, *at);
            }
            Event::CalledAway { at: place } => {
                if let Some(run) = self.stage_run(place) {
                    run.away.push(Away { step: place.step.clone(), left: mark(), back: None });
                }
            }
            Event::CameBack { at: place } => {
                let left = self.stage_run(place).and_then(|run| run.away.last_mut());
                if let Some(away) = left {
                    away.back.get_or_insert_with(mark);
                }
            }
            Event::NoteWritten { at: place, text } => {
                self.step(place, |run| run.notes.push((text.clone(), mark())));
            }
            Event::FlammableUsed { station, at: place } => {
                if let Some(station) = self.stations.get_mut(station) {
                    station.last_release = Some(*at);
                }
                let what = self
                    .rods
                    .get(&place.rod)
                    .and_then(|rod| rod.stage(&place.stage))
                    .and_then(|run| self.stage_text(&run.digest)?.step(&place.step))
                    .map_or_else(|| place.step.to_string(), |step| step.what.clone());
                let open = Unaccounted { at: *at, station: station.clone(), what, container: None };
                self.air(station, |air| air.open(open));
            }
            Event::Corrected { at: place, corrects, to, reason } => self.step(place, |run| {
                let was = run
                    .correctables()
                    .into_iter()
                    .find(|found| found.mark.event == *corrects)
                    .map_or_else(String::new, |found| found.said);
                run.corrections.push(Corrected {
                    event: corrects.clone(),
                    was,
                    to: to.clone(),
                    reason: reason.clone(),
                    mark: mark(),
                });
            }),
            Event::KeyRenewed { .. } | Event::RecordPrinted { .. } => {}
        }
    }

    fn container(&mut self, id: &ContainerId, at: Moment, open: bool, removed: bool) {
        let Some(container) = self.containers.get_mut(id) else { return };
        if open {
            let unaccounted = Unaccounted {
                at,
                station: container.station.clone(),
                what: container.name.clone(),
                container: Some(id.clone()),
            };
            if let Some(station) = self.stations.get(&container.station) {
                self.rooms.entry(station.room_of.clone()).or_default().open(unaccounted);
            }
        }
        // Closing counts too: until then vapour came out.
        if (open || container.open)
            && let Some(station) = self.stations.get_mut(&container.station)
        {
            station.last_release = Some(at);
        }
        container.open = open;
        container.removed |= removed;
    }

    fn air(&mut self, station: &StationId, change: impl FnOnce(&mut RoomRecord)) {
        if let Some(station) = self.stations.get(station) {
            change(self.rooms.entry(station.room_of.clone()).or_default());
        }
    }

    fn complete(&mut self, station: &StationId, at: Moment) {
        let list = self
            .stations
            .get(station)
            .and_then(|s| s.in_hand.as_ref())
            .and_then(|list| self.list_text(&list.digest))
            .map(|list| (list.id.clone(), list.kind, list.lasts_minutes));
        let paper = self.stations.get(station).and_then(|s| s.in_hand.as_ref());
        let at = paper.map_or(at, |list| list.as_of(at));
        let Some(station) = self.stations.get_mut(station) else { return };
        station.put_away();
        let Some((id, kind, minutes)) = list else { return };
        station.lists_done.insert(id, at);
        if kind == StationKind::OpenBench {
            station.open_until = Some(at + TimeDelta::minutes(i64::from(minutes)));
        }
    }

    /// After a spill nobody knows how much is in the air, until somebody says how much it was.
    fn spilt(&mut self, station: &StationId, digest: &TextDigest, at: Moment) {
        if self.list_text(digest).is_none_or(|list| list.kind != StationKind::Spill) {
            return;
        }
        if let Some(found) = self.stations.get_mut(station) {
            found.last_release = Some(at);
        }
        let what = "what was spilt".to_owned();
        let open = Unaccounted { at, station: station.clone(), what, container: None };
        self.air(station, |air| air.open(open));
    }

    fn stage_run(&mut self, place: &StepPlace) -> Option<&mut StageRun> {
        self.rods.get_mut(&place.rod)?.stages.iter_mut().find(|run| run.id == place.stage)
    }

    fn step(&mut self, place: &StepPlace, change: impl FnOnce(&mut StepRun)) {
        if let Some(stage) = self.stage_run(place) {
            change(stage.steps.entry(place.step.clone()).or_default());
        }
    }

    /// The station, where a step measures the temperature of its room.
    fn room_temperature_at(&self, place: &StepPlace) -> Option<StationId> {
        let run = self.rods.get(&place.rod)?.stage(&place.stage)?;
        let step = self.stage_text(&run.digest)?.step(&place.step)?;
        let record = step.record.as_ref()?;
        record.room.then(|| run.station.clone())
    }

    /// The temperature of the room, where opening the bench asks for it.
    fn room_temperature_in(
        &self,
        station: &StationId,
        check: &StepId,
        answer: &Answer,
    ) -> Option<f64> {
        let list = self.list_text(&self.stations.get(station)?.in_hand.as_ref()?.digest)?;
        let asked = list.checks.iter().find(|asked| &asked.id == check)?;
        let of_room = list.kind == StationKind::OpenBench
            && matches!(asked.answer, AnswerKind::Value { measure: Measure::Temperature, .. });
        let Answer::Value { text } = answer else { return None };
        let read = || parse_measure(text, Measure::Temperature, LengthUnit::Millimetre).ok();
        of_room.then(read).flatten()
    }

    fn end_clock(&mut self, place: &StepPlace, at: Moment) {
        let ends = self
            .rods
            .get(&place.rod)
            .and_then(|rod| rod.stage(&place.stage))
            .and_then(|run| self.stage_text(&run.digest))
            .and_then(|stage| stage.step(&place.step))
            .and_then(|step| step.ends.clone());
        if let (Some(clock), Some(stage)) = (ends, self.stage_run(place))
            && let Some(clock) = stage.clocks.get_mut(&clock)
        {
            clock.ended = Some(at);
        }
    }

    /// Leaves out what comes next and is not for this rod, and marks the stage finished once its last
    /// step is settled.
    fn settle(&mut self, rod: &RodId, stage: &StageId, at: Moment) {
        let Some(found) = self.rods.get(rod) else { return };
        let Some(run) = found.stage(stage) else { return };
        let Some(text) = self.stage_text(&run.digest) else { return };
        let mut left_out = run.left_out.clone();
        let mut position = run.position(text, &self.crew);
        let mut passing = run.clone();
        while let Position::Step(_, step) = position {
            let Some(why) = step.condition.why_not(&found.plan) else { break };
            left_out.insert(step.id.clone(), why);
            passing.left_out.clone_from(&left_out);
            position = passing.position(text, &self.crew);
        }
        let finished = position == Position::Finished;
        let Some(run) = self
            .rods
            .get_mut(rod)
            .and_then(|rod| rod.stages.iter_mut().find(|run| &run.id == stage))
        else {
            return;
        };
        run.left_out = left_out;
        if finished && run.finished.is_none() {
            run.finished = Some(at);
            let gloves = |clock: &&mut Clock| clock.kind == ClockKind::GloveChange;
            for clock in run.clocks.values_mut().filter(gloves) {
                clock.ended.get_or_insert(at);
            }
        }
    }
}
