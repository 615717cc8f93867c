//! The workshop as it follows from its events. `evolve` never fails: what was stored happened.

use crate::checklist::{self, Checklist, Stage, StationList};
use crate::crew::Person;
use crate::event::{
    Answer, Event, Happened, KeptLimits, Moment, StepPlace, Vapour, WithdrawalCause,
};
use crate::ids::{
    ClearanceId, ContainerId, PersonId, RodId, StageId, StationId, StepId, TextDigest,
};
use crate::rod::{Reading, RodPlan};
use crate::run::{Clock, Corrected, Mark, Position, StageRun, StepRun, Value};
use chrono::TimeDelta;
use coldbench_trade::LengthUnit;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A clock may be put right by this much without counting as running backwards.
pub(crate) const CLOCK_GRACE: TimeDelta = TimeDelta::seconds(2);

/// Everything that is known about a workshop.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct State {
    /// What was said when it was set up; `None` for an empty folder.
    pub workshop: Option<Workshop>,
    /// The crew, past and present.
    pub crew: BTreeMap<PersonId, Person>,
    /// The stations.
    pub stations: BTreeMap<StationId, Station>,
    /// Containers of flammables, past and present.
    pub containers: BTreeMap<ContainerId, Container>,
    /// The texts of checklists that were begun.
    pub texts: BTreeMap<TextDigest, Arc<KeptText>>,
    /// Clearances, past and present.
    pub clearances: BTreeMap<ClearanceId, Clearance>,
    /// The rods.
    pub rods: BTreeMap<RodId, Rod>,
    /// The latest time any event carries.
    pub latest: Option<Moment>,
    /// Whether the clock was noted to run behind `latest`.
    pub clock_behind: bool,
}

/// What was said when the workshop was set up.
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// Its name.
    pub name: String,
    /// Whether everything in it is invented.
    pub demo: bool,
    /// Unit in which lengths are shown.
    pub lengths: LengthUnit,
}

/// The text of a checklist as it was when something was begun by it.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptText {
    /// The text.
    pub source: String,
    /// What it says; `None` if this program can't read it.
    pub checklist: Option<Checklist>,
}

/// A place with its own log.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its name.
    pub name: String,
    /// Volume of its room.
    pub room: Option<Reading>,
    /// Until when the bench counts as open.
    pub open_until: Option<Moment>,
    /// The checklist in hand.
    pub in_hand: Option<ListInHand>,
    /// When a flammable was last known to be open or in use here.
    pub last_release: Option<Moment>,
}

/// A station checklist that was begun and not completed.
#[derive(Debug, Clone, PartialEq)]
pub struct ListInHand {
    /// Its text.
    pub digest: TextDigest,
    /// When it was begun.
    pub begun: Moment,
    /// The latest answer to each check.
    pub answers: BTreeMap<StepId, Answered>,
}

/// An answer with who gave it and when.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The answer.
    pub answer: Answer,
    /// In words.
    pub shown: String,
    /// Whether it passes.
    pub passes: bool,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: Option<PersonId>,
}

/// A container of something flammable.
#[derive(Debug, Clone, PartialEq)]
pub struct Container {
    /// Where it is kept.
    pub station: StationId,
    /// What is in it.
    pub name: String,
    /// Autoignition temperature in °C, if known.
    pub autoignition: Option<Reading>,
    /// Whether it is recorded as open.
    pub open: bool,
    /// Whether it left the station.
    pub removed: bool,
}

/// The time-limited permission to use heat at one station.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearance {
    /// Where.
    pub station: StationId,
    /// From when.
    pub granted: Moment,
    /// Until when.
    pub until: Moment,
    /// By whom.
    pub by: Option<PersonId>,
    /// Who watches.
    pub watcher: PersonId,
    /// The gun's set temperature in °C.
    pub gun_c: f64,
    /// On what the word about vapour rests.
    pub vapour: Vapour,
    /// The bounds that held.
    pub limits: KeptLimits,
    /// When and why it ended before its time.
    pub withdrawn: Option<(Moment, WithdrawalCause)>,
    /// The answers on which it rests.
    pub answers: BTreeMap<StepId, Answered>,
    /// The text that was gone through.
    pub digest: TextDigest,
}

/// A rod and what was done on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    /// What was written down.
    pub plan: RodPlan,
    /// When it was begun.
    pub begun: Moment,
    /// Its stages in the order in which they were begun.
    pub stages: Vec<StageRun>,
}

impl Rod {
    /// The run of a stage, if it was begun.
    pub fn stage(&self, id: &StageId) -> Option<&StageRun> {
        self.stages.iter().find(|run| &run.id == id)
    }
}

impl State {
    /// The workshop as it follows from all its events.
    pub fn from_events<'a>(events: impl IntoIterator<Item = &'a Happened>) -> Self {
        let mut state = Self::default();
        for event in events {
            state.evolve(event);
        }
        state
    }

    /// The stage whose text was kept under this digest.
    pub fn stage_text(&self, digest: &TextDigest) -> Option<&Stage> {
        match self.texts.get(digest)?.checklist.as_ref()? {
            Checklist::Stage(stage) => Some(stage),
            Checklist::Station(_) => None,
        }
    }

    /// The station checklist whose text was kept under this digest.
    pub fn list_text(&self, digest: &TextDigest) -> Option<&StationList> {
        match self.texts.get(digest)?.checklist.as_ref()? {
            Checklist::Station(list) => Some(list),
            Checklist::Stage(_) => None,
        }
    }

    /// Containers that are kept at a station.
    pub fn containers_at<'a>(
        &'a self,
        station: &'a StationId,
    ) -> impl Iterator<Item = (&'a ContainerId, &'a Container)> {
        self.containers.iter().filter(move |(_, c)| &c.station == station && !c.removed)
    }

    /// The clearance of a station that holds at `now`, if one does.
    pub fn live_clearance(
        &self,
        station: &StationId,
        now: Moment,
    ) -> Option<(&ClearanceId, &Clearance)> {
        self.clearances.iter().find(|(_, c)| &c.station == station && self.is_live(c, now))
    }

    /// Whether a clearance holds at `now`: granted, not withdrawn, not lapsed, and the clock is
    /// not behind the latest time seen.
    pub fn is_live(&self, clearance: &Clearance, now: Moment) -> bool {
        clearance.withdrawn.is_none()
            && now + CLOCK_GRACE >= clearance.granted
            && now < clearance.until
            && !self.clock_is_behind(now)
    }

    /// Whether the wall clock shows less than it already has.
    pub fn clock_is_behind(&self, now: Moment) -> bool {
        self.latest.is_some_and(|latest| now + CLOCK_GRACE < latest)
    }

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
        match event {
            Event::WorkshopFounded { name, demo, lengths } => {
                self.workshop =
                    Some(Workshop { name: name.clone(), demo: *demo, lengths: *lengths });
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
            Event::StationAdded { station, name, room } => {
                self.stations.insert(
                    station.clone(),
                    Station {
                        name: name.clone(),
                        room: room.clone(),
                        open_until: None,
                        in_hand: None,
                        last_release: None,
                    },
                );
            }
            Event::ContainerListed { container, station, name, autoignition } => {
                self.containers.insert(
                    container.clone(),
                    Container {
                        station: station.clone(),
                        name: name.clone(),
                        autoignition: autoignition.clone(),
                        open: false,
                        removed: false,
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
            Event::ListBegun { station, digest } => {
                if let Some(station) = self.stations.get_mut(station) {
                    station.in_hand = Some(ListInHand {
                        digest: digest.clone(),
                        begun: *at,
                        answers: BTreeMap::new(),
                    });
                }
            }
            Event::CheckAnswered { station, check, answer, shown, passes } => {
                let by = person.clone();
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
                    self.stations.get_mut(station).and_then(|s| s.in_hand.take()).map_or_else(
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
                    },
                );
            }
            Event::ClearanceWithdrawn { clearance, cause } => {
                if let Some(clearance) = self.clearances.get_mut(clearance) {
                    clearance.withdrawn.get_or_insert((*at, *cause));
                }
            }
            Event::ClockWentBack { .. } => self.clock_behind = true,
            Event::RodBegun { rod, plan } => {
                self.rods.insert(
                    rod.clone(),
                    Rod { plan: plan.clone(), begun: *at, stages: Vec::new() },
                );
            }
            Event::StageBegun { rod, stage, digest, station } => {
                if let Some(rod) = self.rods.get_mut(rod) {
                    rod.stages.push(StageRun {
                        id: stage.clone(),
                        digest: digest.clone(),
                        station: station.clone(),
                        begun: *at,
                        by: person.clone(),
                        finished: None,
                        steps: BTreeMap::new(),
                        clocks: BTreeMap::new(),
                    });
                }
            }
            Event::CautionUnderstood { at: place } => {
                self.step(place, |run| run.understood.push(mark()));
            }
            Event::ValueMeasured { at: place, reading, within } => self.step(place, |run| {
                run.values.push(Value {
                    reading: reading.clone(),
                    within: *within,
                    mark: mark(),
                    accepted: None,
                });
            }),
            Event::ValueAccepted { at: place, reason } => self.step(place, |run| {
                if let Some(value) = run.values.last_mut() {
                    value.accepted = Some((reason.clone(), mark()));
                }
            }),
            Event::LotNamed { at: place, lot } => {
                self.step(place, |run| run.lot = Some((lot.clone(), mark())));
            }
            Event::ClockStarted { at: place, clock, counts, name, minutes } => {
                let started = Clock {
                    kind: *counts,
                    name: name.clone(),
                    minutes: *minutes,
                    started: mark(),
                    ended: None,
                };
                self.step(place, |run| run.clock_starts.push(started.clone()));
                if let Some(stage) = self.stage_run(place) {
                    stage.clocks.insert(clock.clone(), started);
                }
            }
            Event::StepDone { at: place, clearance } => {
                self.step(place, |run| {
                    run.done = Some(mark());
                    run.clearance.clone_from(clearance);
                });
                self.end_clock(place, *at);
                self.settle(place, *at);
            }
            Event::StepWitnessed { at: place } => {
                self.step(place, |run| run.witnessed = Some(mark()));
                self.settle(place, *at);
            }
            Event::NoteWritten { at: place, text } => {
                self.step(place, |run| run.notes.push((text.clone(), mark())));
            }
            Event::FlammableUsed { station, .. } => {
                if let Some(station) = self.stations.get_mut(station) {
                    station.last_release = Some(*at);
                }
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
        // Closing counts too: until then vapour came out.
        if (open || container.open)
            && let Some(station) = self.stations.get_mut(&container.station)
        {
            station.last_release = Some(at);
        }
        container.open = open;
        container.removed |= removed;
    }

    fn complete(&mut self, station: &StationId, at: Moment) {
        let lasts = self
            .stations
            .get(station)
            .and_then(|s| s.in_hand.as_ref())
            .and_then(|list| self.list_text(&list.digest))
            .map(|list| TimeDelta::minutes(i64::from(list.lasts_minutes)));
        if let Some(station) = self.stations.get_mut(station) {
            station.in_hand = None;
            station.open_until = lasts.map(|lasts| at + lasts);
        }
    }

    fn stage_run(&mut self, place: &StepPlace) -> Option<&mut StageRun> {
        self.rods.get_mut(&place.rod)?.stages.iter_mut().find(|run| run.id == place.stage)
    }

    fn step(&mut self, place: &StepPlace, change: impl FnOnce(&mut StepRun)) {
        if let Some(stage) = self.stage_run(place) {
            change(stage.steps.entry(place.step.clone()).or_default());
        }
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

    /// Marks the stage finished once its last step is settled.
    fn settle(&mut self, place: &StepPlace, at: Moment) {
        let finished = self
            .rods
            .get(&place.rod)
            .and_then(|rod| rod.stage(&place.stage))
            .and_then(|run| Some((run, self.stage_text(&run.digest)?)))
            .is_some_and(|(run, stage)| run.position(stage, &self.crew) == Position::Finished);
        if finished && let Some(stage) = self.stage_run(place) {
            stage.finished = Some(at);
        }
    }
}
