//! The workshop as it follows from its events.

mod evolve;

use crate::air::RoomRecord;
use crate::checklist::{Checklist, Material, Stage, StationList};
use crate::crew::Person;
use crate::difference::Difference;
use crate::event::{Answer, FromPaper, Happened, KeptLimits, Moment, Vapour, WithdrawalCause};
use crate::ids::{
    ClearanceId, ContainerId, LotId, PersonId, RodId, StageId, StationId, StepId, TextDigest,
};
use crate::rod::{Reading, RodPlan};
use crate::run::{Mark, Revised, StageRun};
use crate::teaching::TeachingAsked;
use chrono::TimeDelta;
use coldbench_trade::{LengthUnit, Units};
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
    /// The air of each room, by the station that was set up in it first.
    pub rooms: BTreeMap<StationId, RoomRecord>,
    /// Clearances, past and present.
    pub clearances: BTreeMap<ClearanceId, Clearance>,
    /// Lots of materials, past and present.
    pub lots: BTreeMap<LotId, Lot>,
    /// The rods.
    pub rods: BTreeMap<RodId, Rod>,
    /// What leads signed for of the shop's own texts, by that text and the one it takes the place of.
    pub accepted: BTreeMap<(TextDigest, TextDigest), Accepted>,
    /// What leads asked of the teaching of each stage.
    pub teaching: BTreeMap<StageId, TeachingAsked>,
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
    /// When it was founded.
    pub founded: Moment,
    /// Unit in which lengths are shown.
    pub lengths: LengthUnit,
    /// Units in which figures are shown.
    pub units: Units,
}

/// The text of a checklist as it was when something was begun by it.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptText {
    /// The text.
    pub source: String,
    /// What it says; `None` if this program can't read it.
    pub checklist: Option<Checklist>,
}

/// A lead let the shop's own text take guards away.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    /// The checklist.
    pub id: String,
    /// What is taken away.
    pub takes_away: Vec<Difference>,
    /// Why.
    pub reason: String,
    /// By whom and when.
    pub mark: Mark,
}

/// A place with its own log.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its name.
    pub name: String,
    /// Volume of its room.
    pub room: Option<Reading>,
    /// The station under which the air of its room is kept; its own id if it was the first there.
    pub room_of: StationId,
    /// Until when the bench counts as open.
    pub open_until: Option<Moment>,
    /// The checklist in hand.
    pub in_hand: Option<ListInHand>,
    /// Lists that were in hand when something went wrong; the last comes back when that is settled.
    pub set_aside: Vec<ListInHand>,
    /// When a flammable was last known to be open or in use here.
    pub last_release: Option<Moment>,
    /// When each list was last brought to its end here, by its id.
    pub lists_done: BTreeMap<String, Moment>,
}

impl Station {
    /// Takes the list in hand away; the one that was set aside last comes back.
    fn put_away(&mut self) -> Option<ListInHand> {
        let done = self.in_hand.take();
        self.in_hand = self.set_aside.pop();
        done
    }
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
    /// What its answers are copied from, where it was filled in by hand.
    pub from_paper: Option<FromPaper>,
}

impl ListInHand {
    /// As of when its answers hold: when they were written on paper, if they were, else `at`.
    pub fn as_of(&self, at: Moment) -> Moment {
        self.from_paper.as_ref().map_or(at, |paper| paper.when)
    }
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
    /// The material file that describes it.
    pub material: Option<TextDigest>,
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
    /// Its time ran out, and that was seen.
    pub lapsed: bool,
    /// When a step that used heat was signed under it last.
    pub last_heat: Option<Moment>,
    /// Who kept the watch after it to its end.
    pub watched: Option<Mark>,
}

impl Clearance {
    /// Until when the place is to be watched: none if no heat was used under it.
    pub fn watch_until(&self) -> Option<Moment> {
        let minutes = self.limits.watch_minutes.unwrap_or(30);
        self.last_heat.map(|at| at + TimeDelta::minutes(i64::from(minutes)))
    }
}

/// A lot of a material.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lot {
    /// What it is.
    pub what: String,
    /// What is written on the container.
    pub marking: String,
    /// Its last day, if the container names one.
    pub expires: Option<chrono::NaiveDate>,
    /// Whether it is used up.
    pub gone: bool,
}

/// A rod and what was done on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    /// What was written down.
    pub plan: RodPlan,
    /// When it was begun.
    pub begun: Moment,
    /// By whom.
    pub by: Option<PersonId>,
    /// What was added or put right since, oldest first.
    pub revisions: Vec<Revised>,
    /// Its stages in the order in which they were begun.
    pub stages: Vec<StageRun>,
    /// Stages that a lead left out on it.
    pub left_out: BTreeMap<StageId, LeftOut>,
}

/// A stage that was left out on a rod.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// Its title.
    pub title: String,
    /// Why.
    pub reason: String,
    /// By whom and when.
    pub mark: Mark,
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
            _ => None,
        }
    }

    /// The station checklist whose text was kept under this digest.
    pub fn list_text(&self, digest: &TextDigest) -> Option<&StationList> {
        match self.texts.get(digest)?.checklist.as_ref()? {
            Checklist::Station(list) => Some(list),
            _ => None,
        }
    }

    /// Containers that are kept at a station.
    pub fn containers_at<'a>(
        &'a self,
        station: &'a StationId,
    ) -> impl Iterator<Item = (&'a ContainerId, &'a Container)> {
        self.containers.iter().filter(move |(_, c)| &c.station == station && !c.removed)
    }

    /// The registered lots that a lot as it was named stands for: several may stand in one line,
    /// set apart by commas, as resin and hardener do. One that is used up counts only where none
    /// of the same marking is at hand.
    pub fn lots_named<'a>(&'a self, named: &'a str) -> impl Iterator<Item = (&'a LotId, &'a Lot)> {
        named.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()).flat_map(|part| {
            let same = move |lot: &Lot| lot.marking.eq_ignore_ascii_case(part);
            let at_hand = self.lots.values().any(|lot| same(lot) && !lot.gone);
            self.lots.iter().filter(move |(_, lot)| same(lot) && !(at_hand && lot.gone))
        })
    }

    /// The material whose text was kept under this digest.
    pub fn material_text(&self, digest: &TextDigest) -> Option<&Material> {
        match self.texts.get(digest)?.checklist.as_ref()? {
            Checklist::Material(material) => Some(material),
            _ => None,
        }
    }

    /// What is recorded of the air of a station's room.
    pub fn room_of(&self, station: &StationId) -> Option<&RoomRecord> {
        self.rooms.get(&self.stations.get(station)?.room_of)
    }

    /// Whether two stations share their air.
    pub fn share_a_room(&self, one: &StationId, other: &StationId) -> bool {
        let room = |id| self.stations.get(id).map(|station: &Station| &station.room_of);
        one == other || room(one).is_some_and(|found| room(other) == Some(found))
    }

    /// Containers kept at any station of the same room.
    pub fn containers_in_room<'a>(
        &'a self,
        station: &'a StationId,
    ) -> impl Iterator<Item = (&'a ContainerId, &'a Container)> {
        self.containers
            .iter()
            .filter(move |(_, c)| !c.removed && self.share_a_room(&c.station, station))
    }

    /// The clearance of a station that holds at `now`, if one does.
    pub fn live_clearance(
        &self,
        station: &StationId,
        now: Moment,
    ) -> Option<(&ClearanceId, &Clearance)> {
        self.clearances.iter().find(|(_, c)| &c.station == station && self.is_live(c, now))
    }

    /// Whether a person was called away from some stage and nobody has come back there since.
    pub fn is_called_away(&self, person: &PersonId) -> bool {
        let stages = self.rods.values().flat_map(|rod| &rod.stages);
        stages.filter_map(StageRun::away_since).any(|left| left.by.as_ref() == Some(person))
    }

    /// Whether a clearance holds at `now`: granted, not withdrawn, not lapsed, and the clock is
    /// not behind the latest time seen.
    pub fn is_live(&self, clearance: &Clearance, now: Moment) -> bool {
        clearance.withdrawn.is_none()
            && !clearance.lapsed
            && now + CLOCK_GRACE >= clearance.granted
            && now < clearance.until
            && !self.clock_is_behind(now)
    }

    /// Whether the wall clock shows less than it already has.
    pub fn clock_is_behind(&self, now: Moment) -> bool {
        self.latest.is_some_and(|latest| now + CLOCK_GRACE < latest)
    }
}
