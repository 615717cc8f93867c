//! What a build log holds, as plain data.
//!
//! Whoever asks for the print fills these in from the ledger. Texts are printed as they are
//! given: nothing here is looked up, rounded or judged. Quantities that are only read carry
//! their unit in the text; those that are drawn are numbers in millimetres.

use std::fmt;

use chrono::{DateTime, FixedOffset};

/// A moment with its offset from UTC, printed as `2026-11-25 10:32:07 +01:00`.
pub type When = DateTime<FixedOffset>;

/// The sheet that is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// The printed record of one rod.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildLog {
    /// The workshop's name, as it should stand on the paper.
    pub shop: String,
    /// True for the demonstration workshop: every page then says that it is invented.
    pub demo: bool,
    /// The order, the blank as measured and the parts.
    pub rod: RodSheet,
    /// The stages begun so far, in the order in which they were begun. May be empty.
    pub stages: Vec<StageRecord>,
    /// What official statements ask with each hazard code of these stages: the hazard, its
    /// precautions. May be empty.
    pub statements: Vec<(String, Vec<String>)>,
    /// In which edition those are worded. May be empty.
    pub statements_edition: String,
    /// Stages that a lead left out on this rod. May be empty.
    pub left_out: Vec<LeftOutRecord>,
    /// The clearances under which heat was used on this rod, oldest first. May be empty.
    pub clearances: Vec<ClearanceRecord>,
    /// The end of the ledger at the moment of printing.
    pub ledger: LedgerHead,
    /// When this was printed. Nothing in this crate reads a clock.
    pub printed: When,
    /// The sheet to lay it out for.
    pub paper: Paper,
    /// What travels inside the file. Names are file names, each once. May be empty.
    pub attached: Vec<Attachment>,
}

/// A file inside the PDF (an associated file as of ISO 19005-3 and PDF 2.0).
#[derive(Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its file name: not empty, without a slash or a backslash.
    pub name: String,
    /// Its media type, like `application/json`.
    pub mime: String,
    /// What it is, in words.
    pub words: String,
    /// What it is to the printed pages.
    pub relation: Relation,
    /// Its content, given back byte for byte by [`crate::attachment`].
    pub bytes: Vec<u8>,
}

/// Without the content, which may be large.
impl fmt::Debug for Attachment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Attachment")
            .field("name", &self.name)
            .field("mime", &self.mime)
            .field("words", &self.words)
            .field("relation", &self.relation)
            .field("size", &self.bytes.len())
            .finish_non_exhaustive()
    }
}

/// What an attached file is to the printed pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// The pages were made from it.
    Source,
    /// It helps to read or to check them.
    Supplement,
}

/// One build order and its blank.
#[derive(Debug, Clone, PartialEq)]
pub struct RodSheet {
    /// The rod's identity in the shop, short enough to be written on a tag.
    pub id: String,
    /// What the rod is called.
    pub title: String,
    /// Whom it is built for. May be empty.
    pub customer: String,
    /// What the customer asked for, in their words. May hold several lines.
    pub wishes: String,
    /// The kind of reel it is built for.
    pub reel: String,
    /// The blank: maker's designation, lot, material.
    pub blank: String,
    /// Length butt to tip in millimetres. Zero or less, or not finite: not measured yet.
    pub length_mm: f64,
    /// The same length as the shop reads it, with its unit.
    pub length_text: String,
    /// Where the sections join, in millimetres from the butt.
    pub joins_mm: Vec<f64>,
    /// The blank's measured diameters, in any order.
    pub stations: Vec<Station>,
    /// Parts of the order: label ("Reel seat"), text ("size 16, lot 4").
    pub parts: Vec<(String, String)>,
    /// What sits, or will sit, on the blank.
    pub fitted: Vec<Fitted>,
    /// What was added or put right since the order was taken, oldest first.
    pub revisions: Vec<RevisionRecord>,
    /// Where the guides go; `None` where they have not been laid out.
    pub layout: Option<GuideLayout>,
}

/// Where the guides go, and what was worked out for them.
#[derive(Debug, Clone, PartialEq)]
pub struct GuideLayout {
    /// What was chosen and worked out, label ("Tip deflection") and value ("612 mm").
    pub facts: Vec<(String, String)>,
    /// The tip-top first, then from the tip. May be empty.
    pub rows: Vec<GuideRecord>,
    /// What to mind; whole sentences.
    pub warnings: Vec<String>,
    /// Where the formulas come from. May be empty.
    pub source: String,
    /// The rod straight and bent.
    pub curve: BentRod,
}

/// One guide of the layout. Quantities carry their unit.
#[derive(Debug, Clone, PartialEq)]
pub struct GuideRecord {
    /// What it is called: "tip", "1" and so on.
    pub number: String,
    /// Its distance from the tip.
    pub from_tip: String,
    /// Its distance from the butt.
    pub from_butt: String,
    /// Its distance from the guide before it, towards the tip.
    pub gap: String,
    /// Its ring.
    pub ring: String,
    /// How far the middle of its ring stands off the blank's axis.
    pub height: String,
    /// How far it is turned round the blank. May be empty; the column is left out if all are.
    pub turned: String,
    /// What the line presses on it with.
    pub load: String,
    /// How far the line turns in it.
    pub turn: String,
    /// The least distance from the line to the blank, between this guide and the next towards
    /// the butt.
    pub clearance: String,
    /// Whether the line touches the blank there.
    pub touches: bool,
}

/// The rod straight and under load, for the drawing. What is not a number of a length on a
/// rod is not drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct BentRod {
    /// Length butt to tip in millimetres. Zero or less, or not finite: not known.
    pub length_mm: f64,
    /// The axis under load from butt to tip: away from the butt and down, in millimetres, the
    /// butt at the origin. Fewer than two points: not known.
    pub axis: Vec<(f64, f64)>,
    /// The reel first, then the guides from butt to tip. May be empty.
    pub rings: Vec<BentRing>,
    /// Name of the load, like "1.0 kg on the line". May be empty.
    pub load: String,
}

/// What the line runs through: the reel or a guide.
#[derive(Debug, Clone, PartialEq)]
pub struct BentRing {
    /// What it is called: "reel", "3", "tip".
    pub number: String,
    /// Its place on the straight rod, in millimetres from the butt.
    pub from_butt_mm: f64,
    /// Its height off the axis in millimetres, signed: positive below a level rod.
    pub height_mm: f64,
    /// Its foot on the bent axis, in the frame of [`BentRod::axis`].
    pub foot: (f64, f64),
    /// The middle of its ring, in the same frame.
    pub ring: (f64, f64),
    /// Whether the line from this ring towards the butt touches the blank.
    pub touches: bool,
}

/// Something that was added to the rod's sheet, or put right on it. Both stay readable.
#[derive(Debug, Clone, PartialEq)]
pub struct RevisionRecord {
    /// What stood there; `None` where nothing did.
    pub was: Option<String>,
    /// What stands there now.
    pub now: String,
    /// Why. May be empty.
    pub reason: String,
    /// Who changed it.
    pub who: String,
    /// When.
    pub when: When,
    /// The number in the ledger of the changing event.
    pub event: u64,
}

/// One measured diameter of the blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Distance from the butt in millimetres, 0 or more.
    pub from_butt_mm: f64,
    /// Outside diameter in millimetres, above 0.
    pub diameter_mm: f64,
    /// The distance as it was entered, with its unit.
    pub from_butt_text: String,
    /// The diameter as it was entered, with its unit.
    pub diameter_text: String,
}

/// A part on the blank, for the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// What it is called on the drawing.
    pub label: String,
    /// Its end nearer the butt, in millimetres from the butt.
    pub from_mm: f64,
    /// Its end nearer the tip, in millimetres from the butt.
    pub to_mm: f64,
    /// Its outside diameter in millimetres.
    pub diameter_mm: f64,
    /// How far it has come.
    pub state: PartState,
}

/// How far a part has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartState {
    /// In place and cured: drawn solid.
    Done,
    /// In place, its resin or finish not yet cured: drawn hatched.
    Curing,
    /// Not in place yet: drawn dashed.
    ToCome,
}

/// One stage of the build, as it was walked through.
#[derive(Debug, Clone, PartialEq)]
pub struct StageRecord {
    /// The stage's name.
    pub title: String,
    /// The id of the checklist that was followed.
    pub checklist: String,
    /// The date of that checklist's revision, as it states it.
    pub revised: String,
    /// SHA-256 of the checklist's bytes, 64 hexadecimal digits: the text that was signed.
    pub sha256: String,
    /// Where it was done.
    pub station: String,
    /// When it was begun.
    pub begun: When,
    /// When its last step was signed; `None` while steps are open.
    pub finished: Option<When>,
    /// Every step of the checklist, signed or not, in order.
    pub steps: Vec<StepRecord>,
    /// What is to be said about its text: that the shop's own took the place of another, that it
    /// changed while the stage was in hand. Oldest first.
    pub texts: Vec<TextRecord>,
}

/// Something about the text of a stage.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRecord {
    /// What happened, in a sentence.
    pub what: String,
    /// The other text, 64 hexadecimal digits.
    pub other_sha256: String,
    /// In what the texts differ, a sentence each. May be empty.
    pub lines: Vec<String>,
    /// Why. May be empty.
    pub reason: String,
    /// Who signed for it, in which event and when; none where nobody had to.
    pub signed: Option<(String, u64, When)>,
}

/// A stage that was left out on this rod.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOutRecord {
    /// The stage's name.
    pub title: String,
    /// Why.
    pub reason: String,
    /// Who signed for it.
    pub who: String,
    /// When.
    pub when: When,
    /// In which event.
    pub event: u64,
}

/// One step and all that was recorded at it.
#[derive(Debug, Clone, PartialEq)]
pub struct StepRecord {
    /// Its number in the stage, from 1.
    pub number: u32,
    /// What is to be done.
    pub what: String,
    /// What makes or breaks it. May be empty.
    pub key_point: String,
    /// Why the key point matters. May be empty.
    pub reason: String,
    /// The hazards in words, e.g. "H317 May cause an allergic skin reaction."
    pub hazards: Vec<String>,
    /// What can hurt and what to do about it; printed before the step.
    pub caution: Option<String>,
    /// Who said that they understood the caution.
    pub acknowledged: Vec<Signature>,
    /// What was measured or entered, earlier entries too.
    pub values: Vec<ValueRecord>,
    /// The figures that stood in the step when it was signed.
    pub figures: Vec<FigureRecord>,
    /// The clocks this step started.
    pub clocks: Vec<ClockRecord>,
    /// The materials used: label ("Resin"), text ("lot 21-07, expires 2027-03-01").
    pub lots: Vec<(String, String)>,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Who was called away at this step and who came back, in order; one line each.
    pub interruptions: Vec<Note>,
    /// What was recorded at this step and corrected later, oldest correction first. The
    /// earlier entry keeps its place above.
    pub corrections: Vec<CorrectionRecord>,
    /// Who signed the step, and as what.
    pub signatures: Vec<Signature>,
    /// Where it is copied from a sheet filled in by hand: who did it, and when.
    pub from_paper: Option<(String, When)>,
    /// The reference of the clearance heat was used under, like "C-3".
    pub clearance: Option<String>,
    /// Whether the step is signed.
    pub state: StepState,
    /// Why it was left out on this rod, in a sentence; empty where it was not.
    pub left_out: String,
}

/// A figure as it stood in a step when that was signed.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureRecord {
    /// What it told.
    pub title: String,
    /// What, and how much.
    pub rows: Vec<(String, String)>,
    /// What was told beside it; why there was no figure, too.
    pub beside: Vec<String>,
    /// Where its formula comes from. May be empty.
    pub source: String,
}

/// Whether a step is signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepState {
    /// Nobody has signed it as done.
    Open,
    /// It is signed.
    Signed,
    /// It is not done on this rod; [`StepRecord::left_out`] says why.
    LeftOut,
}

/// One electronic signature.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// The person's name.
    pub who: String,
    /// Their role in the shop.
    pub role: String,
    /// What the signature means: "did", "witnessed", "understood the caution" and so on.
    pub meaning: String,
    /// When it was given.
    pub when: When,
}

/// One entry of a value.
#[derive(Debug, Clone, PartialEq)]
pub struct ValueRecord {
    /// What was measured.
    pub name: String,
    /// The value as entered, with its unit.
    pub entered: String,
    /// The limits with their unit. May be empty: no limits.
    pub limits: String,
    /// Whether the value is within its limits.
    pub within: bool,
    /// The reason a lead gave for accepting a value outside the limits.
    pub accepted: Option<String>,
    /// True if a later entry took its place. It stays readable.
    pub replaced: bool,
    /// True if a correction of it stands among the step's [`StepRecord::corrections`].
    pub corrected: bool,
    /// Who entered it.
    pub who: String,
    /// When it was entered.
    pub when: When,
}

/// A later correction of something that was recorded at a step. Both stay readable.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionRecord {
    /// The number in the ledger of the event that is corrected.
    pub event: u64,
    /// What that event said, like "Gun, as set: 140 °C".
    pub what: String,
    /// What it should have said.
    pub says: String,
    /// Why it was corrected.
    pub reason: String,
    /// Who corrected it.
    pub who: String,
    /// When it was corrected.
    pub when: When,
    /// The number in the ledger of the correcting event.
    pub by_event: u64,
}

/// A clock that a step started.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockRecord {
    /// What it is called.
    pub name: String,
    /// What it counts: "working time", "cure", "glove change".
    pub kind: String,
    /// Its length in minutes.
    pub minutes: u32,
    /// When it was begun.
    pub begun: When,
    /// Who began it.
    pub who: String,
}

/// A remark at a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Who wrote it.
    pub who: String,
    /// When.
    pub when: When,
    /// What they wrote. May hold several lines.
    pub text: String,
}

/// One clearance: the time-limited permission to use heat at one station.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceRecord {
    /// Its short name, like "C-3", that steps refer to.
    pub reference: String,
    /// Where it held.
    pub station: String,
    /// When it was granted.
    pub granted: When,
    /// When it would lapse by itself.
    pub until: When,
    /// Who granted it.
    pub granted_by: String,
    /// Who watched.
    pub watcher: String,
    /// When it ended and why; `None` if no end is recorded.
    pub ended: Option<(When, String)>,
    /// The vapour estimate at the moment of granting, in words and numbers.
    pub vapour: String,
    /// What was checked before it was granted.
    pub checks: Vec<CheckRecord>,
    /// That the list was the shop's own and takes a guard away; none where it takes nothing away.
    pub text: Option<TextRecord>,
    /// Whether who watched also used the gun under it: nobody else looked at the room meanwhile.
    pub watcher_held_gun: bool,
    /// The watch after the last heat, where it is told here; `None`: told elsewhere, or none was due.
    pub watch: Option<Watch>,
}

/// The watch after the last heat under a clearance.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// When heat was last signed.
    pub last_heat: When,
    /// Until when the watch has to last.
    pub until: When,
    /// When it was signed as kept, and by whom. `None`: nobody has signed it.
    pub kept: Option<(When, String)>,
}

/// One check before a clearance.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRecord {
    /// What was asked.
    pub what: String,
    /// What was found.
    pub answer: String,
    /// Who answered.
    pub who: String,
    /// When.
    pub when: When,
}

/// The end of the ledger when the log was printed.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerHead {
    /// The ledger's own name, fixed when it was made.
    pub origin: String,
    /// How many events it holds.
    pub events: u64,
    /// The digest of the last event, which covers all before it: 64 hexadecimal digits.
    pub digest: String,
    /// When the last of the events shown here was recorded; later ones may be about other rods.
    pub last: When,
}
