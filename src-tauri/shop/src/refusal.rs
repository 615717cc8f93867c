//! Why something is refused, in words a builder would use.

use coldbench_trade::fit::FitError;
use coldbench_trade::{AirflowError, BlankError, QuantityError};

/// A refused command. Nothing was stored.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The workshop is set up already.
    #[error("This workshop is set up already.")]
    AlreadyFounded,
    /// The workshop is not set up yet.
    #[error("Set up the workshop first.")]
    NotFounded,
    /// Something asked for does not exist.
    #[error("There is no {what} “{id}” here.")]
    Unknown {
        /// What kind of thing.
        what: &'static str,
        /// The id asked for.
        id: String,
    },
    /// A field is empty or too long.
    #[error("{what} is missing. Write it in.")]
    Missing {
        /// The field.
        what: &'static str,
    },
    /// A text is longer than fits on the record.
    #[error("{what} is too long. Use at most {most} characters.")]
    TooLong {
        /// The field.
        what: &'static str,
        /// The most that fits.
        most: usize,
    },
    /// The person is not of the crew any more.
    #[error("{name} is no longer of the crew and can't sign.")]
    LeftCrew {
        /// Their name.
        name: String,
    },
    /// It needs the PIN at this very moment, not only an unlocked key.
    #[error("This is a hold point: give your PIN again with it.")]
    PinAgain,
    /// Work with heat was done by paper alone.
    #[error(
        "Heat is not copied in from paper: a sheet filled in by hand grants no clearance. Write a note on what was done, and do the step under a clearance."
    )]
    HeatNotFromPaper,
    /// The time on a sheet can't be.
    #[error("The time on the sheet can't be right: {why}")]
    PaperTime {
        /// Why.
        why: String,
    },
    /// What is to be corrected was not signed yet.
    #[error("This step is not signed yet. Enter it anew; only what was signed needs a correction.")]
    NotSignedYet,
    /// Only a lead may do it.
    #[error("Only a lead may {what}.")]
    LeadOnly {
        /// What was asked.
        what: &'static str,
    },
    /// The last lead can't leave.
    #[error("The last lead can't leave the crew. Add another lead first.")]
    LastLead,
    /// A measured value can't be read.
    #[error("{}{error}", before(field))]
    BadValue {
        /// The field.
        field: String,
        /// What is wrong with it.
        error: QuantityError,
    },
    /// A length without a unit, where the limits are in another one than the workshop counts in.
    #[error(
        "“{text}” has no unit, and the limits ({limits}) are written in another one than this workshop counts in. Write mm or in behind the number."
    )]
    WhichUnit {
        /// As written.
        text: String,
        /// The limits, as their author wrote them.
        limits: String,
    },
    /// A room that holds nothing.
    #[error(
        "“{text}” is no volume of a room. Measure its length, width and height, and multiply them."
    )]
    NoRoom {
        /// As written.
        text: String,
    },
    /// The measurements don't make a blank.
    #[error(transparent)]
    BadBlank(#[from] BlankError),
    /// Two different diameters for one place.
    #[error(
        "At {at} from the butt {is} is written down already, and this says {now}. Measure there again. If the older reading is wrong, put that one right."
    )]
    MeasuredTwice {
        /// The place.
        at: String,
        /// What is written down.
        is: String,
        /// What was to be added.
        now: String,
    },
    /// A reading fits the others only when it is taken in the other unit.
    #[error(
        "The reading at {at} from the butt: {words} Mend it, or say that it is right as it stands."
    )]
    MixedUnits {
        /// The place.
        at: String,
        /// What would fit.
        words: String,
    },
    /// A part's bore or place makes no part.
    #[error("{part}: {error}{}", .error.slip().map_or_else(String::new, |slip| format!(" {slip}")))]
    Unfit {
        /// Which part.
        part: String,
        /// What is wrong with it.
        error: FitError,
    },
    /// No room is that cold or warm.
    #[error("{shown} is no temperature of a workshop. Check the unit.")]
    NoRoomTemperature {
        /// As written.
        shown: String,
    },
    /// A part does not lie on the blank.
    #[error(
        "The {part} must lie on the blank, its near end before its far end, and be thicker than nothing."
    )]
    BadPart {
        /// Which part.
        part: String,
    },
    /// The bench has not been opened.
    #[error("The station {station} is not open. Go through “Open the bench” there first.")]
    StationNotOpen {
        /// Its name.
        station: String,
    },
    /// The stage does not apply to this rod.
    #[error("The stage “{stage}” does not apply to this rod.")]
    NotForThisRod {
        /// Its title.
        stage: String,
    },
    /// Another stage comes first.
    #[error("“{needed}” comes first. Finish it before you begin this stage.")]
    NeedsStage {
        /// The stage that comes first.
        needed: String,
    },
    /// The stage has begun already.
    #[error("This stage has begun already.")]
    StageBegun,
    /// A lead left the stage out on this rod.
    #[error("The stage is left out on this rod. Take it in again first.")]
    StageLeftOut,
    /// The stage is not left out.
    #[error("This stage is not left out on this rod.")]
    NotLeftOut,
    /// The stage has not begun.
    #[error("This stage has not begun.")]
    StageNotBegun,
    /// The text of the stage can't be read by this program.
    #[error(
        "The text that was signed for this stage can't be read by this version of Coldbench. Use a newer one."
    )]
    TextUnreadable,
    /// Not the step that is next.
    #[error("This is not the step that is next. Next is: {next}")]
    NotThisStep {
        /// The next step, or that the stage is done.
        next: String,
    },
    /// The step waits for its witness.
    #[error("The step is signed. A lead has to witness it now.")]
    AwaitsWitness,
    /// Whoever was at the stage was called away.
    #[error(
        "Whoever was here was called away. Look at the last step that was done, then say that you are back."
    )]
    IsAway,
    /// Whoever is named as who watches was called away.
    #[error(
        "{name} was called away and is not back yet. Name somebody who is here, or say at the step that was left that they are back."
    )]
    WatcherAway {
        /// Their name.
        name: String,
    },
    /// Nobody was called away from there.
    #[error("Nobody is called away from this step.")]
    NotAway,
    /// There is nothing to witness.
    #[error("There is nothing to witness at this step.")]
    NothingToWitness,
    /// A witness must be someone else.
    #[error("A witness must be another person than the one who did the step.")]
    OwnWitness,
    /// The caution was not read by this person.
    #[error("Read the caution first: it stands before the step for the one who does it.")]
    CautionNotRead,
    /// A helper would use heat with no lead beside them.
    #[error(
        "A helper never uses heat alone: a lead stays beside them and watches. The clearance names {watcher}. Clear the station anew with the lead as who watches."
    )]
    HeatAlone {
        /// Who watches by the clearance.
        watcher: String,
    },
    /// The step was not presented to who does it.
    #[error(
        "This step was not presented to {name} yet. A lead shows and tells it first, with its key point and reason, and signs that."
    )]
    NotPresented {
        /// Who learns.
        name: String,
    },
    /// The key point was not told before a hold point.
    #[error(
        "This is a hold point, and {name} still learns the stage. First they tell a lead the key point in their own words, and the lead signs that."
    )]
    KeyPointNotTold {
        /// Who learns.
        name: String,
    },
    /// Who learns is no helper of the crew.
    #[error("{name} is no helper of the crew. Pick the helper who learns the step.")]
    NotALearner {
        /// Their name.
        name: String,
    },
    /// The step is signed already.
    #[error("This step is signed already. Present one that is still to come.")]
    SignedAlready,
    /// More witnessed runs than can be asked.
    #[error("{runs} witnessed runs are too many. Ask for 5 at most, or 0 for none.")]
    TooManyRuns {
        /// As asked.
        runs: u8,
    },
    /// A refresh that would be due after no time at all, or never.
    #[error("A refresh is due after 1 to 3650 days, or leave the field empty.")]
    NoRefreshDays,
    /// The step has no caution.
    #[error("This step has no caution.")]
    NoCaution,
    /// The step asks for no value.
    #[error("This step asks for no value.")]
    NoValueAsked,
    /// The value is missing.
    #[error("Measure first: {name}.")]
    ValueMissing {
        /// What is to be measured.
        name: String,
    },
    /// The value is outside the limits.
    #[error(
        "{name} is {shown}; it must be {limits}. Measure again, or have a lead accept it with a reason."
    )]
    OutsideLimits {
        /// What was measured.
        name: String,
        /// The value.
        shown: String,
        /// The limits.
        limits: String,
    },
    /// How hot something is or may get, before heat: nobody accepts what lies outside its limits.
    #[error(
        "{name} is a limit of heat work, and nobody accepts a value outside it. Without it: no heat. Change what is wrong, and measure again."
    )]
    NotBeforeHeat {
        /// What is measured.
        name: String,
    },
    /// There is nothing outside its limits to accept.
    #[error("There is no value outside its limits to accept.")]
    NothingToAccept,
    /// The lot is missing.
    #[error("Name the lot first: {material}.")]
    LotMissing {
        /// The material.
        material: String,
    },
    /// The lot is past its last day.
    #[error(
        "The lot “{marking}” was good until {expires}. Take another, or have a lead accept it with a reason."
    )]
    LotExpired {
        /// What is written on the container.
        marking: String,
        /// Its last day.
        expires: chrono::NaiveDate,
    },
    /// No lot of the step is past its last day.
    #[error("No lot named here is past its last day.")]
    NoExpiredLot,
    /// The lot is registered already.
    #[error("A lot “{marking}” is registered already.")]
    LotKnown {
        /// What is written on the container.
        marking: String,
    },
    /// A day that is none.
    #[error("“{text}” is no day. Write it as 2027-03-31, or 2027-03 for the end of that month.")]
    NoDay {
        /// As written.
        text: String,
    },
    /// The step names no lot.
    #[error("This step asks for no lot.")]
    NoLotAsked,
    /// The clock was not started.
    #[error("Start the clock first: {name}.")]
    ClockNotStarted {
        /// What it counts.
        name: String,
    },
    /// The step has no clock, or it runs already.
    #[error("There is no clock to start at this step.")]
    NoClockHere,
    /// The number of minutes is looser than the checklist's.
    #[error(
        "The checklist says {minutes} minutes. A wait may be set longer, a working time shorter, never the other way."
    )]
    ClockLooser {
        /// What the checklist says.
        minutes: u32,
    },
    /// A value is to be measured several times.
    #[error("Measure “{name}” again: {left} more {} asked for.", if *left == 1 { "is" } else { "are" })]
    ValuesMissing {
        /// What.
        name: String,
        /// How many times more.
        left: usize,
    },
    /// A layout of guides that can't be worked out.
    #[error("The layout can't be kept. {words}")]
    NoLayout {
        /// What stands in the way.
        words: String,
    },
    /// A cut of nothing.
    #[error("Nothing is cut off. Write how much comes off the tip or the butt.")]
    NothingCut,
    /// A cut that leaves nothing.
    #[error("The cuts are as long as the blank of {length}, or longer. Measure them again.")]
    CutTooLong {
        /// The blank.
        length: String,
    },
    /// The step waits for a clock.
    #[error("Wait: “{name}” runs for another {left}.")]
    ClockRunning {
        /// What it counts.
        name: String,
        /// How long, in words.
        left: String,
    },
    /// The bond has not cured so far, by the readings of the room.
    #[error(
        "Wait: “{name}” has not cured so far. By the readings of the room that takes another {left}."
    )]
    CureGoesOn {
        /// What cures.
        name: String,
        /// How long, in words.
        left: String,
    },
    /// The room is too cold for the bond to cure.
    #[error(
        "“{name}” does not cure at {celsius:.0} °C, which was read last. Warm the room, read the thermometer beside the work, and write it down."
    )]
    TooColdToCure {
        /// What cures.
        name: String,
        /// How cold it was read to be.
        celsius: f64,
    },
    /// A bond of an earlier stage has to cure further.
    #[error("The bond of “{stage}” has to cure further before this stage begins: {until}.")]
    BondCures {
        /// The stage that made it.
        stage: String,
        /// Until when, in words.
        until: String,
    },
    /// The adhesive whose cure a clock follows has no usable file.
    #[error(
        "A clock of this stage follows “{product}”, and there is no usable adhesive file with that id. Write it from the product's sheet first."
    )]
    NoAdhesive {
        /// Its id.
        product: String,
    },
    /// The shop's own text takes a guard away, and no lead signed for it.
    #[error(
        "The shop's own text of “{title}” takes away what the one that comes with Coldbench guards by: {} A lead signs for it under Checklists, or the file is taken away.",
        lost.join(" ")
    )]
    OverrideNotAccepted {
        /// The checklist.
        title: String,
        /// What is lost, a sentence each.
        lost: Vec<String>,
    },
    /// The shop's own text takes no guard away.
    #[error("The shop's own text takes nothing away that has to be signed for.")]
    NothingTakenAway,
    /// The lead signed for it already.
    #[error("This text is signed for already.")]
    OverrideAccepted,
    /// The stage is done.
    #[error("The stage “{stage}” is done. It stays with the text it was done by.")]
    StageIsDone {
        /// Its title.
        stage: String,
    },
    /// The text is the one the stage goes by.
    #[error("The stage goes by this very text already.")]
    SameText,
    /// The new text lacks a step at which something stands.
    #[error(
        "The new text has no step “{step}”, and something is signed or entered there: {what} Put the step back into the file, with the same id."
    )]
    MoveLosesStep {
        /// Its id.
        step: String,
        /// What it asks for.
        what: String,
    },
    /// The new text waits for a clock that nobody can start any more.
    #[error(
        "A step of the new text waits for the clock “{clock}”, which should have been started at a step that is signed. Start it at a later step."
    )]
    MoveNeedsClock {
        /// Its id.
        clock: String,
    },
    /// The working time has run out.
    #[error(
        "The working time of “{name}” is over: the resin has begun to set. Stop, and begin the mix again: name it in a note, then start the clock anew."
    )]
    WorkingTimeOver {
        /// The clock.
        name: String,
    },
    /// No live clearance: no heat.
    #[error("No heat at {station}: {}", missing.join(" "))]
    NoClearance {
        /// The station.
        station: String,
        /// What is missing, a sentence each.
        missing: Vec<String>,
    },
    /// Something went wrong here, and that is to be gone through first.
    #[error("“{title}” is in hand here. Go through it to its end first.")]
    FirstThis {
        /// The list in hand.
        title: String,
    },
    /// No checklist is in hand at the station.
    #[error("No checklist is in hand at this station. Begin it first.")]
    NoListInHand,
    /// The answer does not fit the check.
    #[error("This answer does not fit the check “{check}”.")]
    AnswerDoesNotFit {
        /// The check.
        check: String,
    },
    /// The airflow can't be worked out.
    #[error(transparent)]
    Airflow(#[from] AirflowError),
    /// Each container must be answered for.
    #[error("Answer for each container known at the station. Missing: {missing}.")]
    ContainersMissing {
        /// Their names.
        missing: String,
    },
    /// The list can't be completed yet.
    #[error("Not complete: {}", missing.join(" "))]
    ListIncomplete {
        /// What is missing, a sentence each.
        missing: Vec<String>,
    },
    /// The container is in that state already.
    #[error("The container “{name}” is {state} already.")]
    ContainerAlready {
        /// Its name.
        name: String,
        /// Its state.
        state: &'static str,
    },
    /// The clearance is over already.
    #[error("This clearance is over already.")]
    ClearanceOver,
    /// More than anyone uses at a bench.
    #[error("{amount} is more than is used at a bench. Look at the unit.")]
    TooMuch {
        /// As written.
        amount: String,
    },
    /// The watch after heat goes on.
    #[error("Watch the place for another {left}. Then sign that it was kept.")]
    WatchRuns {
        /// How long, in words.
        left: String,
    },
    /// No watch is due.
    #[error("No heat was used here that has not been watched.")]
    NoWatch,
    /// The station can't be closed yet.
    #[error("The station can't be closed yet: {}", missing.join(" "))]
    NotClosed {
        /// Why, a sentence each.
        missing: Vec<String>,
    },
}

/// What stands before the words about a field; a question keeps its mark alone.
fn before(field: &str) -> String {
    if field.ends_with('?') { format!("{field} ") } else { format!("{field}: ") }
}

impl Refusal {
    /// A stable name on which a screen may switch.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoClearance { .. } => "no-clearance",
            Self::OutsideLimits { .. } => "outside-limits",
            Self::LotExpired { .. } => "lot-expired",
            Self::HeatAlone { .. } => "heat-alone",
            Self::NotPresented { .. } => "not-presented",
            Self::KeyPointNotTold { .. } => "key-point-not-told",
            Self::CautionNotRead => "caution-not-read",
            Self::ClockRunning { .. } | Self::CureGoesOn { .. } | Self::TooColdToCure { .. } => {
                "clock-running"
            }
            Self::OverrideNotAccepted { .. } => "override-not-accepted",
            Self::WorkingTimeOver { .. } => "working-time-over",
            Self::AwaitsWitness => "awaits-witness",
            Self::IsAway => "is-away",
            Self::MixedUnits { .. } => "mixed-units",
            Self::MeasuredTwice { .. } => "measured-twice",
            Self::BadValue { .. }
            | Self::WhichUnit { .. }
            | Self::NoRoom { .. }
            | Self::BadBlank(_)
            | Self::Unfit { .. }
            | Self::NoRoomTemperature { .. }
            | Self::BadPart { .. }
            | Self::Missing { .. } => "bad-input",
            Self::LeadOnly { .. } => "lead-only",
            Self::PinAgain => "pin-again",
            _ => "refused",
        }
    }
}
