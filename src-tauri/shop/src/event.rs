//! What happened. An event is never changed once it is stored; its serialised form is part of
//! the record, so fields may be added as optional, never renamed or removed.

use crate::checklist::{ClockKind, HeatLimits};
use crate::crew::Role;
use crate::difference::Difference;
use crate::figure::KeptFigure;
use crate::ids::{
    ClearanceId, ClockId, ContainerId, LotId, PersonId, RodId, StageId, StationId, StepId,
    TextDigest,
};
use crate::rod::{Reading, RodChange, RodPlan};
use coldbench_trade::{LengthUnit, Units};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A moment with its offset from UTC, as the wall clock of the workshop showed it.
pub type Moment = chrono::DateTime<chrono::FixedOffset>;

/// Which event of a ledger: what a correction points at.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct EventRef {
    /// The installation that wrote it.
    pub origin: String,
    /// Its number there.
    pub number: u64,
}

/// What was done away from the program and written on a sheet by hand, as whoever copies it in says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct FromPaper {
    /// When it was done.
    pub when: Moment,
    /// Who did it.
    pub by: PersonId,
}

/// Why a lead looks at a step that a helper did, beside what its text asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeadSees {
    /// The helper still learns the stage.
    TryingOut,
    /// The last step of the first run done alone: witnessing it lets them do the stage alone.
    FollowUp,
    /// The last step before the rod leaves.
    HandOver,
}

/// A fact with its time and who set it down. `person` is `None` for what the program notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Happened {
    /// Which event it is.
    pub id: EventRef,
    /// When.
    pub at: Moment,
    /// By whom.
    pub person: Option<PersonId>,
    /// What.
    pub event: Event,
}

/// Everything that can happen in a workshop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(
    tag = "kind",
    content = "body",
    rename_all = "kebab-case",
    rename_all_fields = "kebab-case"
)]
pub enum Event {
    /// The workshop was set up.
    WorkshopFounded {
        /// Its name.
        name: String,
        /// Whether everything in it is invented.
        demo: bool,
        /// Unit in which lengths are shown.
        lengths: LengthUnit,
    },
    /// A person joined the crew.
    PersonJoined {
        /// Who.
        person: PersonId,
        /// Name, as printed.
        name: String,
        /// Role.
        role: Role,
    },
    /// A person left the crew; their history stays.
    PersonLeft {
        /// Who.
        person: PersonId,
    },
    /// A person got a new key in place of the old one; who signs this vouches for them.
    KeyRenewed {
        /// Whose.
        person: PersonId,
    },
    /// A lead said how many witnessed runs of a stage a helper needs before doing it alone.
    TeachingAsked {
        /// The stage.
        stage: StageId,
        /// How many; 0: helpers do it alone but for the steps that ask for a witness.
        runs: u8,
        /// After how many days without doing it they are due for a refresh.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        refresh_days: Option<u32>,
    },
    /// A station was set up.
    StationAdded {
        /// Which.
        station: StationId,
        /// Name.
        name: String,
        /// Volume of its room in m³, if it was measured.
        room: Option<Reading>,
        /// Another station in the same room, whose air it shares.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        shares_room_with: Option<StationId>,
    },
    /// The volume of the room of a station was set down: for the first time, or put right.
    RoomMeasured {
        /// Which. There is one such event for each station of the room.
        station: StationId,
        /// The volume, in m³.
        room: Reading,
    },
    /// A container of something flammable is kept at a station.
    ContainerListed {
        /// Which.
        container: ContainerId,
        /// Where.
        station: StationId,
        /// What is in it.
        name: String,
        /// Autoignition temperature from its data sheet, in °C, if it was found.
        autoignition: Option<Reading>,
        /// The material file that describes it, if one does.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<TextDigest>,
    },
    /// A container was opened.
    ContainerOpened {
        /// Which.
        container: ContainerId,
    },
    /// A container was closed and put away.
    ContainerClosed {
        /// Which.
        container: ContainerId,
    },
    /// A container left the station for good.
    ContainerRemoved {
        /// Which.
        container: ContainerId,
    },
    /// The airflow of a room was read.
    AirRead {
        /// At which station of the room.
        station: StationId,
        /// As it was read.
        answer: Answer,
        /// The reading in words.
        shown: String,
    },
    /// The ventilation of a room was stopped, or is not known to run any more.
    AirStopped {
        /// At which station of the room.
        station: StationId,
    },
    /// So much of a product was used: it counts as vapour in the air, all of it at once.
    ReleaseRecorded {
        /// Where.
        station: StationId,
        /// The material file that describes it.
        material: TextDigest,
        /// How much, in mL.
        amount: Reading,
        /// What it was used for.
        purpose: String,
    },
    /// The watch after heat was kept to its end.
    WatchKept {
        /// The clearance under which heat was used.
        clearance: ClearanceId,
    },
    /// A station was closed for the day.
    StationClosed {
        /// Which.
        station: StationId,
    },
    /// The text of a checklist was kept, by its digest.
    TextKept {
        /// SHA-256 of the bytes.
        digest: TextDigest,
        /// The text itself.
        text: String,
    },
    /// A lead let the shop's own text of a checklist take away what the one that comes with Coldbench
    /// guards by.
    OverrideAccepted {
        /// The checklist.
        id: String,
        /// The shop's own text.
        digest: TextDigest,
        /// The text that comes with Coldbench.
        over: TextDigest,
        /// What is taken away.
        takes_away: Vec<Difference>,
        /// Why.
        reason: String,
    },
    /// A station checklist was begun.
    ListBegun {
        /// Where.
        station: StationId,
        /// Which text.
        digest: TextDigest,
        /// The text that comes with Coldbench, where the shop's own takes its place.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        over: Option<TextDigest>,
        /// Its answers are copied from a sheet filled in by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from_paper: Option<FromPaper>,
    },
    /// A check was answered.
    CheckAnswered {
        /// Where.
        station: StationId,
        /// Which check.
        check: StepId,
        /// The answer.
        answer: Answer,
        /// The answer in words.
        shown: String,
        /// Whether it passes.
        passes: bool,
    },
    /// A station checklist was brought to its end.
    ListComplete {
        /// Where.
        station: StationId,
    },
    /// Heat may be used at one station for a time.
    ClearanceGranted {
        /// Its reference.
        clearance: ClearanceId,
        /// Where.
        station: StationId,
        /// Until when.
        until: Moment,
        /// Who watches.
        watcher: PersonId,
        /// The gun's set temperature in °C.
        gun_c: f64,
        /// On what the word about vapour rests.
        vapour: Vapour,
        /// The bounds that held.
        limits: KeptLimits,
    },
    /// A clearance was ended before its time.
    ClearanceWithdrawn {
        /// Which.
        clearance: ClearanceId,
        /// Why.
        cause: WithdrawalCause,
    },
    /// The wall clock showed an earlier time than before.
    ClockWentBack {
        /// The latest time seen.
        latest: Moment,
    },
    /// A rod was begun.
    RodBegun {
        /// Its id.
        rod: RodId,
        /// What was written down.
        plan: RodPlan,
    },
    /// Something written down of a rod was added or put right. What was written stays.
    RodRevised {
        /// Which rod.
        rod: RodId,
        /// What changed.
        change: RodChange,
        /// Why; empty where something was added.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        reason: String,
    },
    /// The units in which figures are shown were chosen.
    UnitsChosen {
        /// For each kind of quantity.
        units: Units,
    },
    /// The temperature of a room was read.
    TemperatureRead {
        /// At which station of the room.
        station: StationId,
        /// The temperature, in °C.
        reading: Reading,
    },
    /// A stage of a rod was begun.
    StageBegun {
        /// Which rod.
        rod: RodId,
        /// Which stage.
        stage: StageId,
        /// The very text that holds for it.
        digest: TextDigest,
        /// Where.
        station: StationId,
        /// The texts of the products that its figures rest on.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        products: Vec<TextDigest>,
        /// The text that comes with Coldbench, where the shop's own takes its place.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        over: Option<TextDigest>,
    },
    /// A lead left a stage out on one rod.
    StageLeftOut {
        /// Which rod.
        rod: RodId,
        /// Which stage.
        stage: StageId,
        /// Its title.
        title: String,
        /// Why.
        reason: String,
    },
    /// A stage that was left out is to be done after all.
    StageTakenIn {
        /// Which rod.
        rod: RodId,
        /// Which stage.
        stage: StageId,
    },
    /// A stage in hand goes on by another text from here on.
    StageMoved {
        /// Which rod.
        rod: RodId,
        /// Which stage.
        stage: StageId,
        /// The text that holds from now on.
        digest: TextDigest,
        /// The texts of the products that its figures rest on.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        products: Vec<TextDigest>,
        /// The text that comes with Coldbench, where the shop's own takes its place.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        over: Option<TextDigest>,
        /// In what it differs from the text before, as whoever signed saw it.
        differences: Vec<Difference>,
    },
    /// The caution of a step was read and understood.
    CautionUnderstood {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
    },
    /// A value was measured.
    ValueMeasured {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// The value.
        reading: Reading,
        /// Whether it keeps the limits.
        within: bool,
        /// When it was measured, where it is copied from a sheet filled in by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        when: Option<Moment>,
    },
    /// A lead accepted a value outside its limits.
    ValueAccepted {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// Why.
        reason: String,
    },
    /// The lot of a material was named.
    LotNamed {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// What is written on the container.
        lot: String,
    },
    /// A lot of a material was registered.
    LotRegistered {
        /// Its id.
        lot: LotId,
        /// What it is.
        what: String,
        /// What is written on the container.
        marking: String,
        /// The last day on which it may be used, if the container names one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        expires: Option<chrono::NaiveDate>,
    },
    /// A lot is used up or was thrown away.
    LotGone {
        /// Which.
        lot: LotId,
    },
    /// A lead let a lot be used after its last day.
    ExpiredLotAccepted {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// What is written on the container.
        marking: String,
        /// Why.
        reason: String,
    },
    /// A clock was started.
    ClockStarted {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// Which clock.
        clock: ClockId,
        /// What it counts.
        counts: ClockKind,
        /// What is shown beside it.
        name: String,
        /// How long it runs.
        minutes: u32,
        /// When it began to run, where that is copied from a sheet filled in by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        when: Option<Moment>,
    },
    /// A step was signed as done.
    StepDone {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// The clearance under which heat was used.
        clearance: Option<ClearanceId>,
        /// The figures that stood in the step when it was signed.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        figures: Vec<KeptFigure>,
        /// It is copied from a sheet filled in by hand.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from_paper: Option<FromPaper>,
        /// Why a lead has to look at it, beside what its text asks.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lead_sees: Option<LeadSees>,
    },
    /// A lead showed and told a step to a helper, with its key point and reason.
    StepPresented {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// Who learns it.
        learner: PersonId,
    },
    /// A lead heard a helper tell the key point of a step in their own words.
    KeyPointsTold {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// Who told it.
        learner: PersonId,
    },
    /// A lead witnessed a step.
    StepWitnessed {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
    },
    /// Whoever was at a step was called away from it. Its clocks go on.
    CalledAway {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
    },
    /// Somebody is at the step again that was left.
    CameBack {
        /// The step that was left.
        #[serde(flatten)]
        at: StepPlace,
    },
    /// A note was written.
    NoteWritten {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// The note.
        text: String,
    },
    /// Something that was signed is put right. What was signed stays, and both are printed.
    Corrected {
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
        /// The event that is put right.
        corrects: EventRef,
        /// What it should have said.
        to: Correction,
        /// Why.
        reason: String,
    },
    /// Working a step let flammable vapour into the air of a station.
    FlammableUsed {
        /// Where.
        station: StationId,
        /// The step.
        #[serde(flatten)]
        at: StepPlace,
    },
    /// A build log was printed, so the head it carries is held outside.
    RecordPrinted {
        /// Which rod.
        rod: RodId,
        /// The head digest printed on it.
        head: String,
        /// How many events it vouches for.
        events: u64,
    },
}

/// What a corrected event should have said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "form", rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub enum Correction {
    /// A measured value.
    Value {
        /// The value.
        reading: Reading,
        /// Whether it keeps the limits.
        within: bool,
    },
    /// The lot of a material.
    Lot {
        /// What is written on the container.
        lot: String,
    },
    /// What has to be said about a signature or a note.
    Words {
        /// The words.
        text: String,
    },
}

impl Correction {
    /// What it says, for screen and paper.
    pub fn shown(&self) -> &str {
        match self {
            Self::Value { reading, .. } => &reading.text,
            Self::Lot { lot } => lot,
            Self::Words { text } => text,
        }
    }
}

/// Where in the build something happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepPlace {
    /// The rod.
    pub rod: RodId,
    /// The stage.
    pub stage: StageId,
    /// The step.
    pub step: StepId,
}

/// The answer to a check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(
    tag = "form",
    rename_all = "kebab-case",
    rename_all_fields = "kebab-case",
    deny_unknown_fields
)]
pub enum Answer {
    /// One of the states of a choice.
    Choice {
        /// The state seen.
        state: String,
    },
    /// A measured value.
    Value {
        /// As written.
        text: String,
    },
    /// Mean air speed over an opening.
    MeasuredAirflow {
        /// Air speed, as written.
        speed: String,
        /// Free area of the opening, as written.
        opening: String,
    },
    /// Flow from the fan's plate, cut down.
    RatedAirflow {
        /// Rated flow, as written.
        flow: String,
        /// The share that is counted, in percent, as written.
        share: String,
    },
    /// Air speed read at several points of an opening.
    Traverse {
        /// The speeds, as written.
        speeds: Vec<String>,
        /// Area of the opening, as written.
        opening: String,
        /// Free share of the opening (a grille) in percent, as written.
        free: String,
    },
    /// Flow from the fan's plate, cut down for ducts and age and for the load of its filter.
    FilteredFan {
        /// Rated flow, as written.
        flow: String,
        /// The share that is counted with a clean filter, in percent, as written.
        share: String,
        /// What the load of the filter takes of that, in percent, as written.
        filter: String,
    },
    /// Where each container is.
    Containers {
        /// State by container.
        states: BTreeMap<ContainerId, ContainerState>,
    },
    /// Distance to the nearest thing that burns.
    Distance {
        /// As written.
        nearest: String,
        /// Whether a shield that doesn't burn stands between.
        shielded: bool,
    },
    /// Who watches.
    Watcher {
        /// The person.
        person: PersonId,
    },
    /// No combustible-gas meter is at hand.
    NoMeter,
}

/// Where a container is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ContainerState {
    /// Closed and in its store.
    ClosedAway,
    /// Closed but still on the bench.
    ClosedHere,
    /// Open.
    Open,
}

/// On what the word about vapour rests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "basis", rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub enum Vapour {
    /// Nothing is known: no heat.
    NoData {
        /// Why nothing is known.
        why: String,
    },
    /// A meter was read.
    MeterReading {
        /// Percent of the lower flammable limit.
        percent_of_lfl: f64,
    },
    /// An estimate for the whole room, from all that was recorded as used.
    Estimate {
        /// Percent of the lower flammable limit.
        percent_of_lfl: f64,
        /// Airflow that was read, in m³/h; 0 without a reading that counts.
        flow_m3_h: f64,
        /// The mixing factor that divides it.
        mixing_factor: f64,
    },
    /// Nothing flammable was recorded as open or used here for so long.
    NothingReleased {
        /// Hours looked back.
        hours: u32,
    },
}

impl Vapour {
    /// The basis in words, for screen and paper.
    pub fn words(&self) -> String {
        match self {
            Self::NoData { why } => format!("No data: {why}"),
            Self::MeterReading { percent_of_lfl } => {
                format!("Meter reading: {percent_of_lfl} % of the lower flammable limit.")
            }
            Self::Estimate { percent_of_lfl, flow_m3_h, mixing_factor } => format!(
                "Estimate: {} % of the lower flammable limit, all that was recorded as used taken as evaporated at once, {flow_m3_h:.0} m³/h of air divided by the mixing factor {mixing_factor}. An estimate is no gas detector.",
                // Up, never down: what is shown must not look better than what is reckoned.
                (percent_of_lfl * 10.0).ceil() / 10.0
            ),
            Self::NothingReleased { hours } => format!(
                "Nothing flammable recorded as open or used here in the last {hours} hours. No meter was read; a record is no gas detector."
            ),
        }
    }
}

/// The bounds that held when a clearance was granted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct KeptLimits {
    /// How long it lasts.
    pub lasts_minutes: u32,
    /// Highest vapour in percent of the lower flammable limit.
    pub vapour_percent_of_lfl: f64,
    /// Least air changes per hour.
    pub air_changes_per_hour: f64,
    /// Least distance in mm.
    pub distance_mm: f64,
    /// Gun share of the lowest autoignition temperature in percent.
    pub gun_percent_of_autoignition: f64,
    /// How long the place is watched after the last heat; an earlier Coldbench kept none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watch_minutes: Option<u32>,
}

impl From<&HeatLimits> for KeptLimits {
    fn from(limits: &HeatLimits) -> Self {
        Self {
            lasts_minutes: limits.lasts_minutes,
            vapour_percent_of_lfl: limits.vapour_percent_of_lfl,
            air_changes_per_hour: limits.air_changes_per_hour,
            distance_mm: limits.distance_mm,
            gun_percent_of_autoignition: limits.gun_percent_of_autoignition,
            watch_minutes: Some(limits.watch_minutes),
        }
    }
}

/// Why a clearance ended before its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WithdrawalCause {
    /// A flammable was opened or used at the station.
    FlammableReleased,
    /// A container came to the station that nobody had looked at.
    ContainerArrived,
    /// The ventilation stopped.
    AirflowStopped,
    /// The reading was lost.
    ReadingLost,
    /// The watcher left.
    WatcherLeft,
    /// The room has another volume than it was granted for.
    RoomMeasured,
    /// The clock ran backwards.
    ClockWentBack,
    /// Someone stopped the heat work.
    StoppedByHand,
    /// A newer clearance took its place: a station has one at most.
    Replaced,
    /// The program or the machine stood still, or the clock jumped: nobody knows what went on.
    Interrupted,
    /// Its time ran out, and the program saw it: a clock that is set back later does not bring it
    /// to life again.
    Lapsed,
}

impl WithdrawalCause {
    /// The cause in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::FlammableReleased => "A flammable was opened or used in the room.",
            Self::ContainerArrived => "Another container of a flammable came into the room.",
            Self::AirflowStopped => "The ventilation stopped.",
            Self::ReadingLost => "The airflow reading was lost.",
            Self::WatcherLeft => "The watcher left.",
            Self::RoomMeasured => "The volume of the room was put right.",
            Self::ClockWentBack => "The clock ran backwards.",
            Self::StoppedByHand => "Heat work was stopped by hand.",
            Self::Replaced => "A newer clearance took its place.",
            Self::Lapsed => "It lapsed.",
            Self::Interrupted => {
                "The program or the machine stood still, or the clock jumped. Nobody knows what went on meanwhile."
            }
        }
    }
}
