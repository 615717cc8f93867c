//! What the single sheets hold, as plain data: a checklist to fill in by hand, a person's training record, a
//! rod's sheet, a clearance and a bench sheet.
//!
//! As in [`crate::BuildLog`], whoever asks for the print fills them in from the ledger.

use crate::model::{ClearanceRecord, FigureRecord, LedgerHead, Paper, RodSheet, Watch, When};

/// What every single sheet says of the shop and of its printing.
#[derive(Debug, Clone, PartialEq)]
pub struct Imprint {
    /// The workshop's name, as it should stand on the paper.
    pub shop: String,
    /// True for the demonstration workshop: every page then says that it is invented.
    pub demo: bool,
    /// The end of the ledger at the moment of printing.
    pub ledger: LedgerHead,
    /// When this was printed. Nothing in this crate reads a clock.
    pub printed: When,
    /// The sheet to lay it out for.
    pub paper: Paper,
}

/// Which text of a checklist a sheet was made from.
#[derive(Debug, Clone, PartialEq)]
pub struct TextOf {
    /// The checklist's title.
    pub title: String,
    /// What is reached when it is done. May be empty.
    pub aim: String,
    /// Its id.
    pub id: String,
    /// The date of its revision, as it states it.
    pub revised: String,
    /// SHA-256 of its bytes, 64 hexadecimal digits.
    pub sha256: String,
}

/// A rod by its id and name.
#[derive(Debug, Clone, PartialEq)]
pub struct RodName {
    /// Its identity in the shop.
    pub id: String,
    /// What it is called. May be empty.
    pub title: String,
}

/// A checklist to fill in by hand while Coldbench does not run.
#[derive(Debug, Clone, PartialEq)]
pub struct HandList {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The text it was made from.
    pub text: TextOf,
    /// The rod, where the list is a stage of one; `None`: to be filled in, or none is asked.
    pub rod: Option<RodName>,
    /// Whether a rod is asked at all: a stage is for a rod, a station's list is not.
    pub of_rod: bool,
    /// What has to be known before the first line, whole sentences. May be empty.
    pub notices: Vec<String>,
    /// Its lines in order.
    pub lines: Vec<HandLine>,
}

/// One line of a checklist to fill in by hand: a step of a stage, or a check of a station's list.
#[derive(Debug, Clone, PartialEq)]
pub struct HandLine {
    /// Its number in the list, from 1.
    pub number: u32,
    /// What is to be done, or what is asked.
    pub what: String,
    /// Whether it asks something; else it says what to do.
    pub asks: bool,
    /// What makes or breaks it. May be empty.
    pub key_point: String,
    /// What can hurt and what to do about it; printed before the line.
    pub caution: Option<String>,
    /// The hazards in words.
    pub hazards: Vec<String>,
    /// What to wear. May be empty.
    pub wear: Vec<String>,
    /// Where heat is used: what holds for it, in a sentence or two.
    pub heat: Option<String>,
    /// What is to be written or ticked, in order.
    pub answers: Vec<HandAnswer>,
    /// The material whose lot is to be written. `None`: none is asked.
    pub lot: Option<String>,
    /// The clocks that it starts, waits for or ends.
    pub clocks: Vec<HandClock>,
    /// Whether a second person has to witness it.
    pub witness: bool,
    /// Why there is nothing to fill in, in a sentence: it is left out on this rod, or signed
    /// already. Empty where there is.
    pub closed: String,
}

/// What is to be written or ticked.
#[derive(Debug, Clone, PartialEq)]
pub enum HandAnswer {
    /// A value, or the same one several times.
    Value {
        /// What is measured.
        name: String,
        /// Its limits with their unit. May be empty: no limits.
        limits: String,
        /// How many times, at least 1.
        times: u32,
    },
    /// One of several states, each with whether it passes.
    Choice(Vec<(String, bool)>),
    /// Lines, each with what is to be written on it.
    Lines(Vec<String>),
    /// One row for each thing, with a square under each state.
    Ticks {
        /// What the rows are.
        head: String,
        /// The states.
        states: Vec<String>,
        /// The things. Rows without a name follow, to be filled in.
        rows: Vec<String>,
    },
}

/// A clock by hand: when it was started and when it ended are to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct HandClock {
    /// What is said of it, like "Gloves: glove change, 30 min at most".
    pub words: String,
    /// Whether it is started here; else it was started at an earlier line.
    pub starts: bool,
}

/// What one person did and witnessed.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainingRecord {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The person's name.
    pub name: String,
    /// Their identity in the shop.
    pub id: String,
    /// Their role.
    pub role: String,
    /// When they joined the crew; `None`: not known.
    pub joined: Option<When>,
    /// When they left it; `None`: they are of the crew.
    pub left: Option<When>,
    /// The stages of which they did a step, the one they began with first. May be empty.
    pub stages: Vec<TrainedStage>,
    /// Stages that are taught, or of which something was presented to them. May be empty.
    pub taught: Vec<TaughtStage>,
    /// Steps with heat that they did, oldest first. May be empty.
    pub heat: Vec<TrainedHeat>,
    /// Steps of others that they witnessed, by stage. May be empty.
    pub witnessed: Vec<WitnessedStep>,
}

/// Where somebody stands with a stage that is taught.
#[derive(Debug, Clone, PartialEq)]
pub struct TaughtStage {
    /// Its title.
    pub title: String,
    /// Where they stand, in words.
    pub standing: String,
    /// How many whole runs a lead witnessed, and of how many, in words.
    pub witnessed: String,
    /// Who let them do it alone, when and on which rod. May be empty: nobody did.
    pub released: String,
    /// What was presented to them and what they told back, oldest first. May be empty.
    pub lessons: Vec<Lesson>,
}

/// A step that was presented to somebody, or whose key point they told back.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// When.
    pub when: When,
    /// On which rod, by id.
    pub rod: String,
    /// What is to be done at the step.
    pub what: String,
    /// Whether they told its key point; else it was presented to them.
    pub told: bool,
    /// Which lead signed it.
    pub lead: String,
}

/// Helpers against stages.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewTable {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The leads' names.
    pub leads: Vec<String>,
    /// The helpers' names. May be empty.
    pub people: Vec<String>,
    /// The stages.
    pub stages: Vec<CrewStage>,
}

/// A stage of the crew table.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewStage {
    /// Its title.
    pub title: String,
    /// What is asked of its teaching, in words.
    pub asked: String,
    /// Where each helper stands, in words, in the order of the people.
    pub standings: Vec<String>,
}

/// A stage of which somebody did steps.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainedStage {
    /// Its title.
    pub title: String,
    /// How many steps it has in its latest text.
    pub of_steps: u32,
    /// On which rods, by id.
    pub rods: Vec<String>,
    /// When they first did a step of it.
    pub first: When,
    /// When they last did.
    pub last: When,
    /// The steps they did, in the order of the text.
    pub steps: Vec<TrainedStep>,
}

/// A step that somebody did, once or several times.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainedStep {
    /// What is to be done.
    pub what: String,
    /// Whether it uses heat.
    pub heat: bool,
    /// How often they did it, at least 1.
    pub times: u32,
    /// Who witnessed it and how often. May be empty.
    pub witnessed: Vec<(String, u32)>,
    /// When they first did it.
    pub first: When,
    /// When they last did.
    pub last: When,
}

/// A step with heat that somebody did.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainedHeat {
    /// When.
    pub when: When,
    /// On which rod, by id.
    pub rod: String,
    /// The stage's title.
    pub stage: String,
    /// What was done.
    pub what: String,
    /// Under which clearance. May be empty: none is recorded.
    pub clearance: String,
    /// Who witnessed it. May be empty: nobody did.
    pub witness: String,
}

/// A step of others that somebody witnessed, once or several times.
#[derive(Debug, Clone, PartialEq)]
pub struct WitnessedStep {
    /// The stage's title.
    pub stage: String,
    /// What was done.
    pub what: String,
    /// Who did it and how often.
    pub did: Vec<(String, u32)>,
    /// When they first witnessed it.
    pub first: When,
    /// When they last did.
    pub last: When,
}

/// The sheet of a rod without its steps.
#[derive(Debug, Clone, PartialEq)]
pub struct RodPage {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The order, the blank as measured, the parts and the guides.
    pub rod: RodSheet,
}

/// One clearance for heat.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearancePage {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The clearance with its answers.
    pub clearance: ClearanceRecord,
    /// The list that was gone through.
    pub text: TextOf,
    /// Checks of that list that were left without an answer. May be empty.
    pub unanswered: Vec<String>,
    /// What was set and what held: label ("Air") and text ("6 changes an hour or more").
    pub limits: Vec<(String, String)>,
    /// Steps with heat that were signed under it, oldest first. May be empty.
    pub heat: Vec<ClearedHeat>,
    /// The watch after the last heat; `None` where no heat was signed under it.
    pub watch: Option<Watch>,
}

/// A step with heat that was signed under a clearance.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearedHeat {
    /// When it was signed.
    pub when: When,
    /// On which rod, by id.
    pub rod: String,
    /// What was done.
    pub what: String,
    /// Who did it.
    pub who: String,
    /// Who witnessed it. May be empty: nobody did.
    pub witness: String,
}

/// One stage of a rod in large type, to be read from a metre away.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchSheet {
    /// The shop and the printing.
    pub imprint: Imprint,
    /// The rod.
    pub rod: RodName,
    /// The text it was made from.
    pub text: TextOf,
    /// What has to be known before the first step, whole sentences. May be empty.
    pub notices: Vec<String>,
    /// Its steps in order.
    pub steps: Vec<BenchStep>,
}

/// One step of a bench sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchStep {
    /// Its number in the stage, from 1.
    pub number: u32,
    /// What is to be done.
    pub what: String,
    /// What makes or breaks it. May be empty.
    pub key_point: String,
    /// What can hurt and what to do about it; printed before the step.
    pub caution: Option<String>,
    /// What to wear. May be empty.
    pub wear: Vec<String>,
    /// Where heat is used: what holds for it, in a sentence or two.
    pub heat: Option<String>,
    /// What is to be measured and its limits. `None`: nothing is.
    pub value: Option<(String, String)>,
    /// The figures for this rod when this was printed. May be empty.
    pub figures: Vec<FigureRecord>,
    /// What else belongs to it, a few words each: the lot, a clock, the witness. May be empty.
    pub also: Vec<String>,
    /// Why it is left out on this rod, in a sentence; empty where it is not.
    pub left_out: String,
}
