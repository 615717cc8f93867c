//! What a person asks for. Who asks comes beside it, from whoever unlocked their key.

use crate::checklist::{ListToBegin, Material, Signed, Stage, StationList, ToBegin};
use crate::crew::Role;
use crate::event::{Answer, EventRef, FromPaper, Moment, StepPlace, WithdrawalCause};
use crate::ids::{ClearanceId, ContainerId, LotId, PersonId, RodId, StageId, StationId, StepId};
use crate::layout::LayoutPlan;
use crate::rod::{GripMaterial, PartKind, RodPlan};
use coldbench_trade::{LengthUnit, Units};

/// Who asks. The shell fills it in from the unlocked key; a screen can't.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Actor {
    /// A person whose key is unlocked.
    Person(PersonId),
    /// A person who gave their PIN for this very command.
    PersonNow(PersonId),
    /// The program itself: setting up an empty workshop, noting the clock.
    Program,
}

/// A station to be set up.
#[derive(Debug, Clone, PartialEq)]
pub struct NewStation {
    /// Name.
    pub name: String,
    /// Room volume as written; empty if not measured, and where the room is that of another.
    pub room: String,
    /// Another station in the same room.
    pub shares_room_with: Option<StationId>,
}

/// The shop's own text of a checklist, and the one that comes with Coldbench.
#[derive(Debug, Clone, PartialEq)]
pub enum Override {
    /// Of a stage.
    Stage {
        /// The shop's own.
        own: Signed<Stage>,
        /// The one that comes with Coldbench.
        shipped: Signed<Stage>,
    },
    /// Of a list of a station.
    List {
        /// The shop's own.
        own: Signed<StationList>,
        /// The one that comes with Coldbench.
        shipped: Signed<StationList>,
    },
}

/// Everything that can be asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Set up an empty workshop with its first lead and station.
    Found {
        /// Name of the workshop.
        name: String,
        /// Whether everything in it is invented.
        demo: bool,
        /// Unit in which lengths are shown.
        lengths: LengthUnit,
        /// Name of the first lead.
        lead: String,
        /// The first station.
        station: NewStation,
    },
    /// Add a person to the crew.
    AddPerson {
        /// Name.
        name: String,
        /// Role.
        role: Role,
    },
    /// End a person's authority.
    PersonLeaves {
        /// Who.
        person: PersonId,
    },
    /// Give a person a new key, because the PIN of the old one is forgotten or was seen.
    RenewKey {
        /// Whose.
        person: PersonId,
    },
    /// Set up a station.
    AddStation(NewStation),
    /// List a container of something flammable.
    ListContainer {
        /// Where.
        station: StationId,
        /// What is in it.
        name: String,
        /// Autoignition temperature as written; empty if unknown or as the material has it.
        autoignition: String,
        /// The material that describes it.
        material: Option<Box<Signed<Material>>>,
    },
    /// Set down a reading of a room's airflow.
    ReadAir {
        /// At which station of the room.
        station: StationId,
        /// The reading.
        answer: Answer,
    },
    /// Say that the ventilation of a room stopped.
    StopAir {
        /// At which station of the room.
        station: StationId,
    },
    /// Set down how much of a product was used.
    RecordRelease {
        /// Where.
        station: StationId,
        /// The product.
        material: Box<Signed<Material>>,
        /// How much, as written, e.g. `15 mL`; 0 for "no more than is set down already".
        amount: String,
        /// What it was used for.
        purpose: String,
    },
    /// Sign that the watch after heat was kept.
    SignWatch {
        /// At which station.
        station: StationId,
    },
    /// Close a station for the day.
    CloseStation {
        /// Which.
        station: StationId,
    },
    /// The program was started, or the machine woke up, or the clock jumped: what was live is
    /// not known to hold.
    Interrupted,
    /// Open a container.
    OpenContainer {
        /// Which.
        container: ContainerId,
    },
    /// Close a container and put it away.
    CloseContainer {
        /// Which.
        container: ContainerId,
    },
    /// Take a container away for good.
    RemoveContainer {
        /// Which.
        container: ContainerId,
    },
    /// Begin a station checklist.
    BeginList {
        /// Where.
        station: StationId,
        /// The checklist with its text.
        list: Box<ListToBegin>,
        /// Where its answers are copied from a sheet filled in by hand.
        from_paper: Option<FromPaper>,
    },
    /// Answer one of its checks.
    AnswerCheck {
        /// Where.
        station: StationId,
        /// Which.
        check: StepId,
        /// The answer.
        answer: Answer,
    },
    /// Bring it to its end; for heat this grants the clearance.
    CompleteList {
        /// Where.
        station: StationId,
    },
    /// End a clearance before its time.
    Withdraw {
        /// Which.
        clearance: ClearanceId,
        /// Why.
        cause: WithdrawalCause,
    },
    /// Begin a rod.
    BeginRod(Box<RodPlan>),
    /// Add to what is written down of a rod, or put it right.
    ReviseRod {
        /// Which rod.
        rod: RodId,
        /// What changes, as written.
        change: NewChange,
        /// Why, where something is put right.
        reason: String,
        /// Whether readings that seem to mix up units were looked at again and stand.
        sure: bool,
    },
    /// Set down the volume of a room.
    MeasureRoom {
        /// A station in it.
        station: StationId,
        /// As written.
        volume: String,
    },
    /// Choose the units in which figures are shown.
    ChooseUnits(Units),
    /// Set down the temperature of a room.
    ReadTemperature {
        /// At which station of the room.
        station: StationId,
        /// As written.
        text: String,
    },
    /// Begin a stage.
    BeginStage {
        /// Which rod.
        rod: RodId,
        /// The stage with its text, and those of its products.
        stage: Box<ToBegin>,
        /// Where.
        station: StationId,
    },
    /// Leave a stage out on one rod.
    LeaveOutStage {
        /// Which rod.
        rod: RodId,
        /// The stage.
        stage: Box<Stage>,
        /// Why.
        reason: String,
    },
    /// Do a stage after all that was left out.
    TakeInStage {
        /// Which rod.
        rod: RodId,
        /// Which stage.
        stage: StageId,
    },
    /// Let a stage in hand go on by another text.
    MoveStage {
        /// Which rod.
        rod: RodId,
        /// The stage with its new text, and those of its products.
        stage: Box<ToBegin>,
    },
    /// Let the shop's own text of a checklist take a guard away.
    AcceptOverride {
        /// The two texts.
        texts: Box<Override>,
        /// Why.
        reason: String,
    },
    /// Take note of a caution.
    UnderstandCaution(StepPlace),
    /// Set down a measured value.
    MeasureValue {
        /// The step.
        at: StepPlace,
        /// As written.
        text: String,
    },
    /// Accept a value outside its limits.
    AcceptValue {
        /// The step.
        at: StepPlace,
        /// Why.
        reason: String,
    },
    /// Name the lot of the step's material.
    NameLot {
        /// The step.
        at: StepPlace,
        /// What is written on the container.
        lot: String,
    },
    /// Register a lot of a material.
    RegisterLot {
        /// What it is.
        what: String,
        /// What is written on the container.
        marking: String,
        /// Its last day, as written (`2027-03-31` or `2027-03`); empty if the container names none.
        expires: String,
    },
    /// Say that a lot is used up or was thrown away.
    LotGone {
        /// Which.
        lot: LotId,
    },
    /// Let a lot be used after its last day.
    AcceptExpiredLot {
        /// The step.
        at: StepPlace,
        /// Why.
        reason: String,
    },
    /// Start the clock of a step.
    StartClock {
        /// The step.
        at: StepPlace,
        /// The number from the product's sheet, if it is stricter than the file's.
        minutes: Option<u32>,
    },
    /// Sign a step as done.
    SignStep(StepPlace),
    /// Copy in a step that was done away from the program, from a sheet filled in by hand.
    KeyInStep {
        /// The step.
        at: StepPlace,
        /// What the sheet says.
        sheet: SheetLine,
    },
    /// Say how many witnessed runs of a stage a helper needs before doing it alone.
    AskTeaching {
        /// The stage.
        stage: StageId,
        /// How many; 0 for none.
        runs: u8,
        /// After how many days without doing it they are due for a refresh.
        refresh_days: Option<u32>,
    },
    /// Sign that a step was shown and told to a helper, with its key point and reason.
    PresentStep {
        /// The step.
        at: StepPlace,
        /// Who learns it.
        learner: PersonId,
    },
    /// Sign that a helper told the key point of a step in their own words.
    HearKeyPoints {
        /// The step.
        at: StepPlace,
        /// Who told it.
        learner: PersonId,
    },
    /// Witness a step.
    WitnessStep(StepPlace),
    /// Leave a step for a while: somebody or something calls.
    CallAway(StepPlace),
    /// Be at the step again that was left.
    ComeBack(StepPlace),
    /// Write a note.
    WriteNote {
        /// The step.
        at: StepPlace,
        /// The note.
        text: String,
    },
    /// Put right what was signed at a step.
    Correct {
        /// The step.
        at: StepPlace,
        /// The event that is put right.
        event: EventRef,
        /// What it should have said, as written.
        says: String,
        /// Why.
        reason: String,
    },
    /// Note that a record was printed.
    RecordPrinted {
        /// Which rod.
        rod: RodId,
        /// The head digest on it.
        head: String,
        /// How many events it vouches for.
        events: u64,
    },
    /// Look at the clock: nothing is asked, but time may have gone wrong.
    Tick,
}

/// A line of a sheet that was filled in by hand, as written.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLine {
    /// When it was done and by whom.
    pub done: FromPaper,
    /// Values, in their order; those of a pair stand in one, parted by `/`.
    pub values: Vec<String>,
    /// What is written on the containers; empty where the step uses none.
    pub lot: String,
    /// When the clock of the step was started, if the step has one; none: when it was done.
    pub clock: Option<Moment>,
    /// The number from the product's sheet, if it is stricter than the file's.
    pub minutes: Option<u32>,
    /// Why a lead accepts a value outside its limits, or a lot past its day; empty for neither.
    pub reason: String,
}

/// A change of what is written down of a rod, as written.
#[derive(Debug, Clone, PartialEq)]
pub enum NewChange {
    /// How long the blank is, and where its pieces meet.
    Blank {
        /// Length of the assembled blank.
        length: String,
        /// Each join, from the butt; none: one piece.
        joins: Vec<String>,
    },
    /// What the rear grip is made of.
    Grip(GripMaterial),
    /// How the blank bends and where its guides stand, everything as typed.
    Layout(Box<LayoutPlan>),
    /// The blank was cut.
    Cut {
        /// Off the tip; empty for nothing.
        tip: String,
        /// Off the butt; empty for nothing.
        butt: String,
    },
    /// A diameter of the blank.
    Diameter {
        /// The reading it takes the place of, counted from 0; none: one more.
        row: Option<usize>,
        /// Where, from the butt.
        from_butt: String,
        /// The diameter there.
        diameter: String,
    },
    /// The bore of a part, as it is now.
    Bore {
        /// Which part, counted from 0.
        part: usize,
        /// At its butt end.
        butt: String,
        /// At its tip end; empty where it is the same.
        tip: String,
    },
    /// A part.
    Part {
        /// The part it takes the place of, counted from 0; none: one more.
        row: Option<usize>,
        /// What kind.
        kind: PartKind,
        /// What it is; empty: its kind in words.
        description: String,
        /// Near end, from the butt.
        from: String,
        /// Far end, from the butt.
        to: String,
        /// Greatest outside diameter.
        diameter: String,
        /// Outside where it is thinnest; empty where it is the same throughout.
        thinnest: String,
    },
}

impl NewChange {
    /// Whether it puts right what was written, rather than adding to it.
    pub fn is_correction(&self) -> bool {
        matches!(
            self,
            Self::Blank { .. }
                | Self::Grip(_)
                | Self::Diameter { row: Some(_), .. }
                | Self::Part { row: Some(_), .. }
        )
    }
}
