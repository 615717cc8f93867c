//! A walk through a stage.

use super::{
    ClockView, ClockWord, DifferenceLine, Drawing, PictureName, PositionWord, TeachingView, Trouble,
};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// Somebody was called away and nobody has come back yet.
    pub struct AwayView {
        /// Who.
        pub by: String,
        /// Since when.
        pub since: String,
        /// From which step.
        pub step: String,
        /// Its number, from 1, where the text still has it.
        pub number: Option<u32>,
        /// What has become of the clearance for heat, in a stage that uses heat.
        pub clearance: Option<String>,
    }
    /// Something at a signed step that can be put right.
    pub struct EntryView {
        /// The installation that wrote it.
        pub origin: String,
        /// Its number in the ledger.
        pub number: u32,
        /// What it says, e.g. `Gun, as set: 140 °C`.
        pub words: String,
        /// What would go into the field of a correction, e.g. `140 °C`; empty for words.
        pub said: String,
        /// Who and when.
        pub signed: String,
        /// What it was corrected to, why, by whom; newest last.
        pub corrections: Vec<String>,
    }
    /// A figure in a step.
    pub struct FigureView {
        /// Its name.
        pub name: String,
        /// What it tells.
        pub title: String,
        /// What was worked out: what, and how much.
        pub rows: Vec<(String, String)>,
        /// What to tell beside it.
        pub warnings: Vec<String>,
        /// Where the formula comes from.
        pub source: String,
        /// Its drawing.
        pub sketch: Option<SketchView>,
        /// Why there is no figure.
        pub missing: Option<String>,
    }
    /// The drawing of a figure; one of the three is there.
    pub struct SketchView {
        /// Part of the rod cut along its axis.
        pub section: Option<SectionView>,
        /// Shares of a whole: name, share.
        pub shares: Vec<(String, f64)>,
        /// Moments, in minutes from now.
        pub times: Vec<TimeMarkView>,
    }
    /// Part of the rod cut along its axis: distance from the butt, diameter, in mm.
    pub struct SectionView {
        /// The blank.
        pub blank: Vec<(f64, f64)>,
        /// The bore as it is.
        pub bore: Vec<(f64, f64)>,
        /// The bore it is to get.
        pub goal: Vec<(f64, f64)>,
        /// The outside of the part.
        pub outside: Vec<(f64, f64)>,
        /// Stretches: from, to, name.
        pub bands: Vec<(f64, f64, String)>,
        /// Places: where, name.
        pub marks: Vec<(f64, String)>,
    }
    /// A moment on a line.
    pub struct TimeMarkView {
        /// What happens.
        pub label: String,
        /// When it is likely, in minutes from now.
        pub minutes: f64,
        /// The latest it may be.
        pub latest: f64,
    }
    /// A walk through a stage.
    pub struct WalkView {
        /// The rod.
        pub rod: String,
        /// Its title.
        pub rod_title: String,
        /// The stage.
        pub stage: String,
        /// Its title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// The station.
        pub station: String,
        /// Its name.
        pub station_name: String,
        /// The rod's drawing.
        pub drawing: Drawing,
        /// Where the walk stands.
        pub position: PositionWord,
        /// The step at hand; none when finished.
        pub step: Option<StepView>,
        /// All steps.
        pub overview: Vec<StepLine>,
        /// The clocks of this stage that run.
        pub clocks: Vec<ClockView>,
        /// The gloves that are on; none where no clock of theirs runs.
        pub gloves: Option<GlovesView>,
        /// The file of this stage says something else now.
        pub newer: Option<NewerView>,
        /// Who is away from it, if anyone is.
        pub away: Option<AwayView>,
        /// The helper at the bench still learns this step.
        pub teaching: Option<TeachingView>,
    }
    /// A newer text of a stage that is in hand.
    pub struct NewerView {
        /// In what it differs from the one that holds.
        pub differences: Vec<DifferenceLine>,
        /// Why the stage can't go on by it, if so.
        pub refused: Option<String>,
    }
    /// Gloves that are on.
    pub struct GlovesView {
        /// The step whose clock starts again with fresh ones.
        pub step: String,
        /// Their clock.
        pub clock: ClockView,
    }
    /// A step in the overview.
    pub struct StepLine {
        /// Id.
        pub id: String,
        /// What to do.
        pub what: String,
        /// Who signed it and when, in words.
        pub signed: Option<String>,
        /// It uses heat.
        pub heat: bool,
        /// Why it was left out for this rod, or would be as things stand.
        pub left_out: Option<String>,
        /// What was entered and signed at it, once it is signed.
        pub entries: Vec<EntryView>,
        /// The figures that stood in it when it was signed.
        pub figures: Vec<FigureView>,
    }
    /// A hazard with its words.
    pub struct HazardView {
        /// Code.
        pub code: String,
        /// Words.
        pub words: String,
    }
    /// What official precautionary statements ask.
    pub struct StatementsView {
        /// Code and words of each.
        pub lines: Vec<String>,
        /// In which edition they are worded, and what comes first.
        pub edition: String,
    }
    /// The step at hand.
    pub struct StepView {
        /// Id.
        pub id: String,
        /// Number, from 1.
        pub number: u32,
        /// What to do.
        pub what: String,
        /// What makes or breaks it.
        pub key_point: String,
        /// Why.
        pub reason: String,
        /// What hurts and what to do about it.
        pub caution: Option<String>,
        /// The hazards in words.
        pub hazards: Vec<HazardView>,
        /// What official statements ask with these hazards, where there are any.
        pub statements: Option<StatementsView>,
        /// What to wear.
        pub wear: Vec<String>,
        /// The person at the bench has taken note of the caution.
        pub understood: bool,
        /// The figures for this rod.
        pub figures: Vec<FigureView>,
        /// The drawing that explains it.
        pub picture: Option<PictureName>,
        /// The value to measure.
        pub record: Option<RecordView>,
        /// The lot to name.
        pub lot: Option<LotView>,
        /// The clock to start.
        pub starts: Option<StartView>,
        /// The clock that has to run out first.
        pub waits_for: Option<ClockView>,
        /// The step (id) whose clock may be started anew because the working time ran out.
        pub mix_anew: Option<String>,
        /// The heat gate, where the step uses heat.
        pub gate: Option<GateView>,
        /// A lead has to witness it when a helper does it.
        pub witness: bool,
        /// Whoever signs gives their PIN again: a hold point.
        pub asks_pin: bool,
        /// Who did it, where it waits for the witness.
        pub done_by: Option<String>,
        /// Where its numbers come from.
        pub source: Option<String>,
        /// Notes so far.
        pub notes: Vec<String>,
        /// What a sign-off would be refused for now.
        pub blocked: Option<Trouble>,
    }
    /// A value to measure.
    pub struct RecordView {
        /// What.
        pub name: String,
        /// Limits in words; empty if none.
        pub limits: String,
        /// A value that would be taken.
        pub example: String,
        /// Whether it is how warm the room is, as cure and working time need it.
        pub room: bool,
        /// How many times it is to be measured.
        pub repeat: u32,
        /// All that was measured, if it is to be measured several times.
        pub values: Vec<String>,
        /// What was measured last.
        pub value: Option<String>,
        /// Whether it keeps the limits.
        pub within: bool,
        /// The reason for which a lead accepted it.
        pub accepted: Option<String>,
        /// Whether a lead may accept a value outside the limits.
        pub acceptable: bool,
    }
    /// A lot to name.
    pub struct LotView {
        /// The material.
        pub material: String,
        /// What was named.
        pub named: Option<String>,
        /// Registered lots that are at hand, as they are named: those of this material first.
        pub offered: Vec<String>,
        /// The lot named is past its last day, in words.
        pub expired: Option<String>,
        /// Why a lead let it be used all the same.
        pub accepted: Option<String>,
    }
    /// A registered lot.
    pub struct LotLine {
        /// Id.
        pub id: String,
        /// What it is.
        pub what: String,
        /// What is written on the container.
        pub marking: String,
        /// Its last day, e.g. `2027-03-31`.
        pub expires: Option<String>,
        /// It is past its last day.
        pub expired: bool,
        /// It is used up.
        pub gone: bool,
        /// Rods on which it was used: id and title.
        pub rods: Vec<(String, String)>,
    }
    /// A clock to start.
    pub struct StartView {
        /// What is shown beside it.
        pub name: String,
        /// What it counts.
        pub kind: ClockWord,
        /// How long it runs if nobody makes it stricter.
        pub minutes: u32,
        /// The clock, once started.
        pub running: Option<ClockView>,
    }
    /// The heat gate.
    pub struct GateView {
        /// Heat may be used at this step now.
        pub open: bool,
        /// The clearance under which.
        pub clearance: Option<String>,
        /// Until when.
        pub until: Option<String>,
        /// Who watches by it; empty where there is none.
        pub watcher: String,
        /// Whoever is unlocked is named as who watches, and would hold the gun as well.
        pub watches_alone: bool,
        /// Highest gun setting for this step.
        pub gun_limit: String,
        /// What is missing.
        pub missing: Vec<String>,
    }
}

incoming! {
    /// A step of a rod.
    pub struct Place {
        /// The rod.
        pub rod: String,
        /// The stage.
        pub stage: String,
        /// The step.
        pub step: String,
    }
    /// A sheet that was filled in by hand.
    pub struct PaperDraft {
        /// When it was done, day and time as written.
        pub when: String,
        /// The person who did it.
        pub by: String,
    }
    /// A line of it, everything as written.
    pub struct SheetDraft {
        /// When it was done and by whom.
        pub done: PaperDraft,
        /// Values, in their order.
        pub values: Vec<String>,
        /// What is written on the containers; empty where the step uses none.
        pub lot: String,
        /// When the clock of the step was started; empty: when it was done.
        pub clock: String,
        /// The number from the product's sheet, if it is stricter than the file's.
        pub minutes: Option<u32>,
        /// Why a lead accepts what is outside its limits or past its day; empty for neither.
        pub reason: String,
    }
    /// An event at a step.
    pub struct EntryPlace {
        /// The installation that wrote it.
        pub origin: String,
        /// Its number.
        pub number: u32,
    }
}
