//! The transfer types: what crosses between the shell and the screen, and nothing else.
//!
//! They are written to `ui/src/lib/generated/types.ts` by `tests/app/types_drift.rs`. Times cross
//! as RFC 3339 text and ids as text; stored events never cross.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

macro_rules! outgoing {
    ($($(#[$doc:meta])* pub struct $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, TS)]
        #[serde(rename_all = "camelCase")]
        pub struct $name { $($body)* }
    )* };
}

macro_rules! incoming {
    ($($(#[$doc:meta])* pub struct $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
        #[serde(rename_all = "camelCase", deny_unknown_fields)]
        pub struct $name { $($body)* }
    )* };
}

macro_rules! words {
    ($($(#[$doc:meta])* pub enum $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
        #[serde(rename_all = "kebab-case")]
        pub enum $name { $($body)* }
    )* };
}

words! {
    /// The unit in which lengths are shown.
    pub enum LengthWord {
        /// Inches.
        Inch,
        /// Millimetres.
        Millimetre,
    }
    /// A person's role.
    pub enum RoleWord {
        /// Lead.
        Lead,
        /// Helper.
        Helper,
    }
    /// Reel types.
    pub enum ReelWord {
        /// Spinning.
        Spinning,
        /// Casting.
        Casting,
        /// Conventional.
        Conventional,
        /// Fly.
        Fly,
    }
    /// Grip materials.
    pub enum GripWord {
        /// Cork.
        Cork,
        /// EVA foam.
        Eva,
        /// Composite core under a sleeve.
        Composite,
    }
    /// Parts fitted to the blank.
    pub enum PartWord {
        /// Rear grip.
        RearGrip,
        /// Sleeve.
        Sleeve,
        /// Reel seat.
        ReelSeat,
        /// Fore grip.
        ForeGrip,
        /// Trim ring.
        TrimRing,
        /// Butt cap.
        ButtCap,
        /// Hook keeper.
        HookKeeper,
    }
    /// How a length is shown.
    pub enum LengthFormWord {
        /// Millimetres.
        Millimetre,
        /// Decimal inches.
        DecimalInch,
        /// Inches with fractions.
        FractionInch,
    }
    /// How a mass is shown.
    pub enum MassFormWord {
        /// Grams.
        Gram,
        /// Ounces.
        Ounce,
    }
    /// How a volume of liquid is shown.
    pub enum LiquidFormWord {
        /// Millilitres.
        Millilitre,
        /// US fluid ounces.
        FluidOunce,
    }
    /// How a temperature is shown.
    pub enum TemperatureFormWord {
        /// °C.
        Celsius,
        /// °F.
        Fahrenheit,
    }
    /// How a part is drawn.
    pub enum PartDrawn {
        /// Done: solid.
        Done,
        /// Its resin cures: hatched.
        Curing,
        /// In hand: outlined, with its step count.
        InHand,
        /// To come: dashed.
        ToCome,
    }
    /// Where a rod stands with a stage.
    pub enum StandingWord {
        /// Does not apply to this rod.
        NotApplicable,
        /// Other stages come first.
        Waits,
        /// Can be begun.
        Ready,
        /// In hand.
        InHand,
        /// In hand, and a cure or watch has to run out first.
        Curing,
        /// Done.
        Done,
    }
    /// To which side guides turn round the blank, seen from the butt.
    pub enum SpiralWord {
        /// They don't.
        None,
        /// To the left.
        Left,
        /// To the right.
        Right,
    }
    /// Where a walk stands.
    pub enum PositionWord {
        /// At a step.
        Step,
        /// A lead has to witness the step.
        Witness,
        /// All done.
        Finished,
    }
    /// What a clock counts.
    pub enum ClockWord {
        /// Working time of mixed resin.
        WorkingTime,
        /// Cure.
        Cure,
        /// Gloves.
        GloveChange,
        /// Watch after heat.
        Watch,
    }
    /// Station checklists.
    pub enum ListWord {
        /// Opening the bench.
        OpenBench,
        /// Clearance for heat.
        HeatClearance,
        /// Closing the bench.
        CloseBench,
        /// Something was spilt.
        Spill,
        /// Something got on skin or into an eye.
        Contact,
        /// A product that was never on the shelf before.
        NewProduct,
        /// What is looked at every few weeks.
        MonthlyLook,
        /// A list of the shop's own.
        Own,
    }
    /// The form of an answer.
    pub enum AnswerForm {
        /// Pick a state.
        Choice,
        /// Write a value.
        Value,
        /// Air speed and opening, or rated flow and share.
        Airflow,
        /// A state for each container.
        Containers,
        /// Distance, and whether shielded.
        Distance,
        /// A person of the crew.
        Watcher,
        /// The gun's set temperature.
        GunTemperature,
        /// A meter reading, or no meter.
        Vapour,
    }
    /// A single sheet.
    pub enum SheetWord {
        /// The order, the blank, the parts.
        RodSheet,
        /// One stage in large type.
        BenchSheet,
        /// A checklist to fill in by hand.
        Blank,
        /// What a person has done.
        Training,
    }
    /// Why a clearance is withdrawn by hand.
    pub enum CauseWord {
        /// The ventilation stopped.
        AirflowStopped,
        /// The reading was lost.
        ReadingLost,
        /// The watcher left.
        WatcherLeft,
        /// Stopped by hand.
        StoppedByHand,
    }
    /// Where a container is.
    pub enum ContainerWord {
        /// Closed and in its store.
        ClosedAway,
        /// Closed, still on the bench.
        ClosedHere,
        /// Open.
        Open,
    }
    /// Paper sizes.
    pub enum PaperWord {
        /// A4.
        A4,
        /// US Letter.
        Letter,
    }
}

outgoing! {
    /// A command that was refused or failed.
    pub struct Trouble {
        /// A stable name the screen may switch on.
        pub code: String,
        /// What happened, to what, and how to mend it.
        pub message: String,
        /// The field at fault, e.g. `diameters.2.diameter`.
        pub field: Option<String>,
    }
    /// The workshop at a glance: the rack and all that runs.
    pub struct Desk {
        /// What is known of the ledger and its backups.
        pub health: HealthView,
        /// The workshop; nothing in an empty folder.
        pub workshop: Option<WorkshopView>,
        /// The folder.
        pub folder: String,
        /// Why nothing can be written here, if so.
        pub read_only: Option<String>,
        /// Checklist files with something wrong.
        pub problems: Vec<Problem>,
        /// The crew.
        pub crew: Vec<PersonView>,
        /// The person whose key is unlocked.
        pub active: Option<String>,
        /// The stations.
        pub stations: Vec<StationLine>,
        /// The rods, what can be done now first.
        pub rods: Vec<RodLine>,
        /// The clocks that run or have run out unanswered, the next to run out first.
        pub clocks: Vec<ClockView>,
        /// The workshop's wall clock.
        pub now: String,
        /// The clock shows an earlier time than before.
        pub clock_behind: bool,
    }
    /// The workshop itself.
    pub struct WorkshopView {
        /// Its name.
        pub name: String,
        /// Everything in it is invented.
        pub demo: bool,
        /// Unit for lengths.
        pub lengths: LengthWord,
        /// Units in which figures are shown.
        pub units: UnitsChoice,
        /// In a demo: the people's PINs, so that it can be tried.
        pub demo_pins: Option<String>,
    }
    /// What is known of the ledger and its backups.
    pub struct HealthView {
        /// So many events were verified at the start; none while that goes on.
        pub verified: Option<u32>,
        /// Why the ledger does not open or does not hold.
        pub fault: Option<String>,
        /// What the last backup came to.
        pub backup: Option<String>,
        /// Why the last backup could not be made.
        pub backup_trouble: Option<String>,
    }
    /// Where backups go and what is there.
    pub struct BackupsView {
        /// The folder, if one was named.
        pub folder: Option<String>,
        /// A folder that would do.
        pub suggestion: String,
        /// The newest backup, in words.
        pub newest: Option<String>,
        /// The id of this installation.
        pub origin: String,
        /// How many events the ledger holds.
        pub events: u32,
        /// Digest of the newest event, 64 hex digits.
        pub head: String,
    }
    /// A backup that verifies, for a ledger that does not.
    pub struct WayBackView {
        /// Its folder.
        pub path: String,
        /// When it was made and how many events it holds, in words.
        pub words: String,
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
    /// A finding in a checklist file.
    pub struct Problem {
        /// The file.
        pub path: String,
        /// The file is not used.
        pub unusable: bool,
        /// Stable name.
        pub code: String,
        /// What is wrong.
        pub message: String,
        /// How to mend it.
        pub help: String,
        /// Line, from 1.
        pub line: u32,
        /// Column, from 1.
        pub column: u32,
        /// The line itself.
        pub excerpt: String,
    }
    /// A person.
    pub struct PersonView {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// Role.
        pub role: RoleWord,
        /// Still of the crew.
        pub present: bool,
    }
    /// A station, one line.
    pub struct StationLine {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// The bench is open until then.
        pub open_until: Option<String>,
        /// Heat is cleared until then.
        pub heat_until: Option<String>,
    }
    /// A rod, one line of the rack.
    pub struct RodLine {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// Its drawing.
        pub drawing: Drawing,
        /// What can be done now, or what is waited for.
        pub next: String,
        /// Something can be done now.
        pub can_do_now: bool,
        /// Every stage that applies is done.
        pub all_done: bool,
    }
    /// A rod drawn from its measurements. All in mm from the butt.
    pub struct Drawing {
        /// Length of the blank.
        pub length_mm: f64,
        /// The same in the builder's unit.
        pub length: String,
        /// Joins.
        pub joins_mm: Vec<f64>,
        /// Measured diameters, butt to tip.
        pub outline: Vec<OutlinePoint>,
        /// Parts.
        pub parts: Vec<DrawnPart>,
        /// Guides as planned, from butt to tip.
        pub guides: Vec<DrawnGuide>,
    }
    /// A guide as drawn.
    pub struct DrawnGuide {
        /// Its place from the butt.
        pub from_butt_mm: f64,
        /// Its height off the axis, below zero for one on top.
        pub height_mm: f64,
    }
    /// A measured diameter.
    pub struct OutlinePoint {
        /// Distance from the butt.
        pub from_butt_mm: f64,
        /// Diameter.
        pub diameter_mm: f64,
        /// The same in the builder's unit.
        pub diameter: String,
    }
    /// A part as drawn.
    pub struct DrawnPart {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub label: String,
        /// Near end.
        pub from_mm: f64,
        /// Far end.
        pub to_mm: f64,
        /// Greatest diameter.
        pub diameter_mm: f64,
        /// How it is drawn.
        pub drawn: PartDrawn,
        /// The stage that works on it.
        pub stage: Option<String>,
        /// Its clock.
        pub clock: Option<ClockView>,
    }
    /// A clock.
    pub struct ClockView {
        /// What is shown beside it.
        pub name: String,
        /// What it counts.
        pub kind: ClockWord,
        /// When it was started.
        pub started: String,
        /// When it runs out.
        pub runs_out: String,
        /// How long it runs.
        pub minutes: u32,
        /// It has run out.
        pub over: bool,
        /// Why it does not come to its end as things are, in a sentence: the room is too cold.
        pub stalled: Option<String>,
        /// The rod.
        pub rod: String,
        /// The rod's title.
        pub rod_title: String,
        /// The stage.
        pub stage: String,
    }
    /// A rod with everything on its sheet.
    pub struct RodView {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// What the customer asked.
        pub wishes: String,
        /// Reel type.
        pub reel: ReelWord,
        /// Grip material.
        pub grip: GripWord,
        /// The blank.
        pub blank: String,
        /// Length as written.
        pub length: String,
        /// Joins as written.
        pub joins: Vec<String>,
        /// Measurements as written: from the butt, diameter.
        pub diameters: Vec<(String, String)>,
        /// Its parts, in the order in which they were written down.
        pub parts: Vec<PartLine>,
        /// In which order they go on.
        pub assembly: Option<FigureView>,
        /// What was added or put right since it was begun, oldest first.
        pub revisions: Vec<RevisionLine>,
        /// When it was begun.
        pub begun: String,
        /// Its drawing.
        pub drawing: Drawing,
        /// Its stages, what is needed first.
        pub stages: Vec<StageLine>,
    }
    /// A part of a rod, as written.
    pub struct PartLine {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub description: String,
        /// Near end, from the butt.
        pub from: String,
        /// Far end, from the butt.
        pub to: String,
        /// Greatest diameter.
        pub diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        pub thinnest: String,
        /// It has a bore that the blank goes through.
        pub bored: bool,
        /// Its bore at the butt end; empty if not measured.
        pub bore_butt: String,
        /// Its bore at the tip end; empty where it is the same.
        pub bore_tip: String,
    }
    /// Something that was added to a rod's sheet, or put right on it.
    pub struct RevisionLine {
        /// What stood there.
        pub was: Option<String>,
        /// What stands there now.
        pub now: String,
        /// Why; empty where something was added.
        pub reason: String,
        /// By whom and when, in words.
        pub signed: String,
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
    /// A stage of a rod.
    pub struct StageLine {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// Where it stands.
        pub standing: StandingWord,
        /// What the standing leaves unsaid, e.g. what comes first; may be empty.
        pub words: String,
        /// Until when it waits at the least, where only time is waited for.
        pub until: Option<String>,
        /// Steps settled.
        pub done: u32,
        /// All steps.
        pub of: u32,
        /// It uses heat.
        pub heat: bool,
        /// A lead left it out on this rod.
        pub left_out: bool,
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
    }
    /// A newer text of a stage that is in hand.
    pub struct NewerView {
        /// In what it differs from the one that holds.
        pub differences: Vec<DifferenceLine>,
        /// Why the stage can't go on by it, if so.
        pub refused: Option<String>,
    }
    /// One thing in which a text differs from another.
    pub struct DifferenceLine {
        /// The step or check; empty for the text as a whole.
        pub place: String,
        /// What of it.
        pub of: String,
        /// What stood there; empty for nothing.
        pub was: String,
        /// What stands there now; empty for nothing.
        pub now: String,
        /// A guard is taken away by it.
        pub takes_away: bool,
    }
    /// All checklist files, and what is wrong with them.
    pub struct ChecklistsView {
        /// The folder of the shop's own.
        pub folder: String,
        /// Those that can be used.
        pub files: Vec<ChecklistLine>,
        /// What is wrong or unwise.
        pub problems: Vec<Problem>,
    }
    /// A checklist file.
    pub struct ChecklistLine {
        /// Its id.
        pub id: String,
        /// Its kind, in words.
        pub kind: String,
        /// Its title.
        pub title: String,
        /// Its path.
        pub path: String,
        /// It comes with Coldbench.
        pub shipped: bool,
        /// It is the shop's own, in the place of one that comes with Coldbench.
        pub over: bool,
        /// In what it differs from that.
        pub differences: Vec<DifferenceLine>,
        /// It takes a guard away, and no lead signed for it: it can't be begun.
        pub held: bool,
        /// Why a lead signed for it, who and when.
        pub accepted: Option<String>,
    }
    /// The text of a checklist file.
    pub struct ChecklistText {
        /// Its path among the shop's own files, where it is or will be saved.
        pub path: String,
        /// The text.
        pub text: String,
        /// It stands in a file of the shop's own.
        pub own: bool,
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
        /// How long, by the checklist.
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
        /// Highest gun setting for this step.
        pub gun_limit: String,
        /// What is missing.
        pub missing: Vec<String>,
    }
    /// A station: its air, its flammables, its clearance.
    pub struct StationView {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// Room volume as written.
        pub room: Option<String>,
        /// The bench is open until then.
        pub open_until: Option<String>,
        /// What is kept here.
        pub containers: Vec<ContainerView>,
        /// When a flammable was last known to be open or in use here.
        pub last_release: Option<String>,
        /// On what the word about vapour rests now.
        pub vapour: String,
        /// Something is known about vapour.
        pub vapour_known: bool,
        /// The air of its room.
        pub air: AirView,
        /// The watch that is due after heat.
        pub watch: Option<WatchView>,
        /// The latest clearance.
        pub clearance: Option<ClearanceView>,
        /// Why no heat may be used now; empty under a live clearance.
        pub heat_missing: Vec<String>,
        /// The checklists that can be begun.
        pub lists: Vec<ListLine>,
        /// The checklist in hand.
        pub in_hand: Option<ListView>,
    }
    /// The air of a station's room, as far as it is known.
    pub struct AirView {
        /// Room volume as written.
        pub volume: Option<String>,
        /// Other stations in the same room.
        pub shared_with: Vec<String>,
        /// The last reading of the airflow in words, and who took it when.
        pub flow: Option<String>,
        /// The airflow that counts now, in m³/h; 0 without a reading that counts.
        pub flow_m3_h: f64,
        /// Until when the last reading counts.
        pub reading_until: Option<String>,
        /// The estimate now, in percent of the lower flammable limit.
        pub percent: Option<f64>,
        /// Why it is not known.
        pub unknown: Option<String>,
        /// At or below so many percent heat may begin.
        pub limit_percent: f64,
        /// When it falls to that, the air moving on as it was read.
        pub heat_from: Option<String>,
        /// Exposure of each person who signed anything in the room today, in words.
        pub exposure: Vec<String>,
        /// Exposure limits are passed.
        pub over_exposed: bool,
        /// The course of the estimate: what was, and what comes.
        pub curve: Vec<CurvePoint>,
        /// What was used today, oldest first.
        pub releases: Vec<ReleaseLine>,
        /// What is open, or was opened or used and not set down.
        pub unsaid: Vec<String>,
        /// Products that can be set down as used.
        pub materials: Vec<MaterialLine>,
        /// Days for which the station has anything to print, newest first.
        pub days: Vec<String>,
    }
    /// A point of the curve.
    pub struct CurvePoint {
        /// When.
        pub at: String,
        /// Percent of the lower flammable limit.
        pub percent: f64,
    }
    /// Something that was used.
    pub struct ReleaseLine {
        /// When.
        pub at: String,
        /// What and how much, what for, by whom.
        pub words: String,
    }
    /// A product that can be set down as used.
    pub struct MaterialLine {
        /// Its id.
        pub id: String,
        /// What it is called.
        pub title: String,
        /// Whether it burns, in words; also that nobody knows.
        pub burns: String,
        /// What hurts and what to do about it.
        pub caution: Option<String>,
        /// What is missing for an estimate; then there is no heat after it was used.
        pub missing: Vec<String>,
        /// How much an hour bears at the airflow that counts now; none without one.
        pub hourly: Option<String>,
        /// Amounts that are offered.
        pub amounts: Vec<QuickAmountView>,
    }
    /// An amount that is offered.
    pub struct QuickAmountView {
        /// What for.
        pub name: String,
        /// How much, e.g. `15 mL`.
        pub amount: String,
    }
    /// A watch after heat.
    pub struct WatchView {
        /// Until when.
        pub until: String,
        /// It may be signed now.
        pub over: bool,
        /// Who watches.
        pub watcher: String,
    }
    /// A container.
    pub struct ContainerView {
        /// Id.
        pub id: String,
        /// What is in it.
        pub name: String,
        /// Autoignition temperature as written.
        pub autoignition: Option<String>,
        /// It is open.
        pub open: bool,
    }
    /// A clearance.
    pub struct ClearanceView {
        /// Its reference.
        pub id: String,
        /// It holds now.
        pub live: bool,
        /// From when.
        pub granted: String,
        /// Until when.
        pub until: String,
        /// By whom.
        pub by: String,
        /// Who watches.
        pub watcher: String,
        /// The gun's set temperature.
        pub gun: String,
        /// On what the word about vapour rested.
        pub vapour: String,
        /// How it ended.
        pub ended: Option<String>,
    }
    /// A station checklist that can be begun.
    pub struct ListLine {
        /// Its id.
        pub id: String,
        /// Which.
        pub kind: ListWord,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// When it was last gone through here, and when it is due again; may be empty.
        pub words: String,
        /// It is due: it comes round, and was not gone through in time.
        pub due: bool,
        /// What to do, in the order of its checks, for whoever has no time for a PIN; of urgent lists
        /// alone.
        pub at_once: Vec<String>,
    }
    /// A station checklist in hand.
    pub struct ListView {
        /// Which.
        pub kind: ListWord,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// When it was begun.
        pub begun: String,
        /// Its checks.
        pub checks: Vec<CheckView>,
        /// What is missing before it can be completed.
        pub missing: Vec<String>,
        /// Whoever completes it gives their PIN again.
        pub asks_pin: bool,
        /// Titles of lists that wait until this one is done.
        pub set_aside: Vec<String>,
    }
    /// A check.
    pub struct CheckView {
        /// Id.
        pub id: String,
        /// Number, from 1.
        pub number: u32,
        /// What is asked.
        pub ask: String,
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
        /// The form of the answer.
        pub form: AnswerForm,
        /// The states to pick from.
        pub states: Vec<String>,
        /// Limits in words.
        pub limits: String,
        /// A value that would be taken.
        pub example: String,
        /// The answer so far.
        pub answered: Option<AnsweredView>,
    }
    /// An answer.
    pub struct AnsweredView {
        /// In words.
        pub shown: String,
        /// Whether it passes.
        pub passes: bool,
        /// It is too old to rest a clearance on.
        pub stale: bool,
        /// When.
        pub at: String,
        /// By whom.
        pub by: String,
    }
    /// What a draft of a rod amounts to.
    pub struct DraftView {
        /// What is wrong, by field.
        pub troubles: Vec<Trouble>,
        /// The rod drawn, once the measurements make a blank.
        pub drawing: Option<Drawing>,
    }
    /// Where a record can go.
    pub struct PrintView {
        /// The folder offered.
        pub folder: String,
        /// The file name offered.
        pub file: String,
        /// Printers known to the machine.
        pub printers: Vec<String>,
        /// What the machine says about printing, if nothing can be printed.
        pub printer_word: Option<String>,
    }
    /// What became of a record.
    pub struct PrintedView {
        /// Where it was saved; empty where it was printed.
        pub path: String,
        /// In words.
        pub words: String,
        /// The job in the print queue, where there is one.
        pub job: Option<JobView>,
    }
    /// How a print job stands.
    pub struct JobView {
        /// Its id in the print system.
        pub job: String,
        /// Nothing more will happen to it.
        pub done: bool,
        /// In words.
        pub words: String,
    }
    /// A page as it will be printed.
    pub struct PreviewView {
        /// An SVG document, its view box in points of the paper.
        pub svg: String,
        /// Which page, from 1.
        pub page: u32,
        /// Of how many.
        pub pages: u32,
    }
    /// A layout of guides worked out.
    pub struct LayoutView {
        /// The draft, as it stands after what was asked.
        pub draft: LayoutDraft,
        /// Whether this is what is kept on the rod's sheet.
        pub kept: bool,
        /// The rod's title.
        pub rod_title: String,
        /// Faults, each at its field.
        pub troubles: Vec<Trouble>,
        /// Why there is no curve though no field is at fault.
        pub missing: Option<String>,
        /// The rod straight and bent.
        pub bent: Option<BentView>,
        /// The tip-top and the guides, from the tip.
        pub rows: Vec<GuideLine>,
        /// What was worked out besides, label and value.
        pub facts: Vec<(String, String)>,
        /// What the load test says, label and value; empty where none was done.
        pub fitted: Vec<(String, String)>,
        /// What to mind.
        pub warnings: Vec<String>,
        /// The caution of the work.
        pub caution: String,
        /// Where the formulas come from.
        pub source: String,
        /// What improving came to, in words.
        pub told: Option<String>,
    }
    /// The rod straight and under load, in mm: away from the butt, and down.
    pub struct BentView {
        /// Length of the rod.
        pub length_mm: f64,
        /// The straight rod: its direction, as the end of a line from the butt.
        pub straight: (f64, f64),
        /// The axis under load, butt to tip.
        pub axis: Vec<(f64, f64)>,
        /// Diameters along the blank, from the butt.
        pub outline: Vec<(f64, f64)>,
        /// The reel, then the guides from butt to tip, the tip-top last.
        pub rings: Vec<BentRingView>,
        /// What hangs on it, in words.
        pub load: String,
        /// Where the load pulls, as a direction of length 1.
        pub pull: (f64, f64),
    }
    /// The reel, a guide or the tip-top on the rod.
    pub struct BentRingView {
        /// Its number from the tip: 0 is the tip-top; none for the reel.
        pub number: Option<u32>,
        /// Its place on the straight rod.
        pub from_butt_mm: f64,
        /// Its height off the axis, below zero for one on top.
        pub height_mm: f64,
        /// Its foot on the bent axis.
        pub foot: (f64, f64),
        /// Its ring.
        pub ring: (f64, f64),
        /// Between the line from it towards the butt and the blank; none for the reel.
        pub clearance: Option<String>,
        /// Whether that line touches the blank, or comes nearer than is wanted.
        pub tight: bool,
    }
    /// A guide in the table.
    pub struct GuideLine {
        /// Its number from the tip; 0 is the tip-top.
        pub number: u32,
        /// Place from the tip.
        pub from_tip: String,
        /// Place from the butt.
        pub from_butt: String,
        /// To the next one towards the butt.
        pub gap: String,
        /// Load on it.
        pub load: String,
        /// How much the line turns in it.
        pub turn: String,
        /// Between line and blank, towards the butt.
        pub clearance: String,
        /// Whether that is less than wanted.
        pub tight: bool,
    }
    /// What cutting the blank does.
    pub struct TrimView {
        /// Faults, each at its field.
        pub troubles: Vec<Trouble>,
        /// Why there is no figure.
        pub missing: Option<String>,
        /// What, before, after.
        pub rows: Vec<(String, String, String)>,
        /// The bent axis before, in mm.
        pub before: Vec<(f64, f64)>,
        /// The bent axis after.
        pub after: Vec<(f64, f64)>,
        /// What to mind.
        pub warnings: Vec<String>,
    }
}

incoming! {
    /// Setting up an empty workshop.
    pub struct Founding {
        /// Name of the workshop.
        pub name: String,
        /// Name of the lead.
        pub lead: String,
        /// The lead's PIN.
        pub pin: String,
        /// Name of the first station.
        pub station: String,
        /// Room volume, e.g. `60 m3`; may be empty.
        pub room: String,
        /// Unit for lengths.
        pub lengths: LengthWord,
    }
    /// A rod as it is being written down; everything as typed.
    pub struct RodDraft {
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// What the customer asked.
        pub wishes: String,
        /// Reel type.
        pub reel: ReelWord,
        /// Grip material.
        pub grip: GripWord,
        /// The blank.
        pub blank: String,
        /// Length of the assembled blank.
        pub length: String,
        /// Joins, from the butt.
        pub joins: Vec<String>,
        /// Measurements.
        pub diameters: Vec<DiameterDraft>,
        /// Parts.
        pub parts: Vec<PartDraft>,
        /// Readings that seem to mix up units were looked at again and stand.
        pub sure: bool,
    }
    /// The builder's choice of units.
    pub struct UnitsChoice {
        /// Diameters, gaps and walls.
        pub diameters: LengthFormWord,
        /// Places and lengths along the rod.
        pub distances: LengthFormWord,
        /// Masses.
        pub masses: MassFormWord,
        /// Volumes of liquid.
        pub liquids: LiquidFormWord,
        /// Temperatures.
        pub temperatures: TemperatureFormWord,
    }
    /// How a blank bends and where its guides stand, as typed. What may be empty is taken as said at
    /// its field.
    pub struct LayoutDraft {
        /// Thickness of the wall; empty for a house value.
        pub wall: String,
        /// Modulus in `GPa`; empty for a house value.
        pub modulus: String,
        /// What the blank weighs; empty where it was not weighed.
        pub weight: String,
        /// Stiffness of a ferrule against the blank, in percent; empty for the same.
        pub ferrule: String,
        /// What was hung on the tip to find the stiffness; empty where no such test was done.
        pub test_hang: String,
        /// How far the butt pointed up in that test, in degrees; empty for level.
        pub test_held: String,
        /// Marks of that test.
        pub marks: Vec<MarkDraft>,
        /// What hangs on the line in the figure.
        pub hang: String,
        /// How far the butt points up, in degrees; empty for level.
        pub held: String,
        /// Where the line leaves the reel, from the butt.
        pub reel_from_butt: String,
        /// How far off the axis it leaves.
        pub reel_height: String,
        /// The height of the ring of the tip-top.
        pub tip_height: String,
        /// What the tip-top weighs; empty for nothing.
        pub tip_mass: String,
        /// The guides, from the tip.
        pub guides: Vec<GuideDraft>,
        /// To which side a spiral turns.
        pub spiral: SpiralWord,
        /// The least distance between line and blank that is wanted; empty for none.
        pub least_clearance: String,
    }
    /// A mark of a load test, as typed.
    pub struct MarkDraft {
        /// Its place from the butt.
        pub from_butt: String,
        /// How far it went down.
        pub drop: String,
    }
    /// A guide as typed.
    pub struct GuideDraft {
        /// Its place from the tip.
        pub from_tip: String,
        /// Its size: about the diameter of the ring in mm.
        pub ring: String,
        /// From the axis of the blank to the middle of the ring.
        pub height: String,
        /// What it weighs; empty for nothing.
        pub mass: String,
        /// How far it is turned round the blank from the top, in degrees; empty for the reel's side.
        pub turned: String,
    }
    /// What spacing is asked for, as typed.
    pub struct SpacingDraft {
        /// How many guides; empty for what is usual.
        pub count: String,
        /// Place of the first guide from the butt; empty for what the reel asks for.
        pub first: String,
        /// Gap between the tip and the next guide; empty for what is usual.
        pub tip_gap: String,
        /// The reel's spool, across; empty where it is unknown.
        pub spool: String,
    }
    /// A measurement as typed.
    pub struct DiameterDraft {
        /// From the butt.
        pub from_butt: String,
        /// Diameter.
        pub diameter: String,
    }
    /// A part as typed.
    pub struct PartDraft {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub description: String,
        /// Near end, from the butt.
        pub from: String,
        /// Far end, from the butt.
        pub to: String,
        /// Greatest diameter.
        pub diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        pub thinnest: String,
        /// Bore at the butt end; may be empty.
        pub bore_butt: String,
        /// Bore at the tip end; empty where it is the same.
        pub bore_tip: String,
    }
    /// A step of a rod.
    pub struct Place {
        /// The rod.
        pub rod: String,
        /// The stage.
        pub stage: String,
        /// The step.
        pub step: String,
    }
    /// A product as it is written down from its safety data sheet; everything as typed, empty
    /// where the sheet says nothing.
    pub struct MaterialDraft {
        /// What it is called at the bench (section 1).
        pub title: String,
        /// Whose sheet, of which date.
        pub sheet: String,
        /// Hazard codes (section 2).
        pub hazards: Vec<String>,
        /// What hurts and what to do about it.
        pub caution: String,
        /// Density (section 9).
        pub density: String,
        /// Flash point, closed cup.
        pub flash: String,
        /// Initial boiling point.
        pub boils: String,
        /// Autoignition temperature.
        pub autoignition: String,
        /// Lower flammable limit of the product.
        pub lower_limit: String,
        /// What it is made of (section 3).
        pub components: Vec<ComponentDraft>,
        /// An amount to be offered at the bench.
        pub amount: String,
        /// What that amount is used for.
        pub purpose: String,
    }
    /// A component as it is written down.
    pub struct ComponentDraft {
        /// Name.
        pub name: String,
        /// CAS number.
        pub cas: String,
        /// Share by mass, a range as the sheet gives it.
        pub share: String,
        /// Whether it evaporates.
        pub volatile: bool,
        /// Molar mass.
        pub molar_mass: String,
        /// Lower flammable limit.
        pub lower_limit: String,
        /// Exposure limit, eight hours (section 8).
        pub day_limit: String,
        /// Exposure limit, fifteen minutes.
        pub short_limit: String,
        /// Exposure limit that may never be passed.
        pub ceiling: String,
    }
    /// An event at a step.
    pub struct EntryPlace {
        /// The installation that wrote it.
        pub origin: String,
        /// Its number.
        pub number: u32,
    }
    /// The state of a container, as answered.
    pub struct ContainerAnswer {
        /// Which.
        pub container: String,
        /// Where it is.
        pub state: ContainerWord,
    }
}

/// A change of what is written down of a rod, as typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(
    tag = "form",
    rename_all = "kebab-case",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum ChangeDraft {
    /// A diameter of the blank.
    Diameter {
        /// The reading it takes the place of, from 0; none: one more.
        row: Option<u32>,
        /// Where, from the butt.
        from_butt: String,
        /// The diameter there.
        diameter: String,
    },
    /// The bore of a part, as it is now.
    Bore {
        /// Which part, from 0.
        part: u32,
        /// At its butt end.
        butt: String,
        /// At its tip end; empty where it is the same.
        tip: String,
    },
    /// A part.
    Part {
        /// The part it takes the place of, from 0; none: one more.
        row: Option<u32>,
        /// Kind.
        kind: PartWord,
        /// What it is.
        description: String,
        /// Near end, from the butt.
        from: String,
        /// Far end, from the butt.
        to: String,
        /// Greatest diameter.
        diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        thinnest: String,
    },
    /// How the blank bends and where its guides stand.
    Layout {
        /// The layout.
        layout: Box<LayoutDraft>,
    },
    /// The blank was cut.
    Cut {
        /// Off the tip; empty for nothing.
        tip: String,
        /// Off the butt; empty for nothing.
        butt: String,
    },
}

/// An answer to a check, as typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(
    tag = "form",
    rename_all = "kebab-case",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum AnswerDraft {
    /// One of the states.
    Choice {
        /// The state.
        state: String,
    },
    /// A value.
    Value {
        /// As typed.
        text: String,
    },
    /// Mean air speed over an opening.
    MeasuredAirflow {
        /// Air speed.
        speed: String,
        /// Free area.
        opening: String,
    },
    /// Air speed at several points of an opening.
    Traverse {
        /// The speeds.
        speeds: Vec<String>,
        /// Area of the opening.
        opening: String,
        /// Free share of it in percent.
        free: String,
    },
    /// Rated flow, cut down for ducts and age, and for the filter.
    FilteredFan {
        /// Rated flow.
        flow: String,
        /// Share counted, in percent.
        share: String,
        /// What the filter takes of that, in percent.
        filter: String,
    },
    /// Rated flow, cut down.
    RatedAirflow {
        /// Rated flow.
        flow: String,
        /// Share counted, in percent.
        share: String,
    },
    /// Where each container is.
    Containers {
        /// A state for each.
        states: Vec<ContainerAnswer>,
    },
    /// Distance to what burns.
    Distance {
        /// As typed.
        nearest: String,
        /// A shield that doesn't burn stands between.
        shielded: bool,
    },
    /// Who watches.
    Watcher {
        /// The person.
        person: String,
    },
    /// No meter at hand.
    NoMeter,
}

macro_rules! every_type {
    ($($name:ident),* $(,)?) => {
        /// All transfer types as one TypeScript module.
        pub fn typescript() -> String {
            let config = ts_rs::Config::default();
            let mut out = String::from(
                "// Written from src-tauri/src/views.rs. Do not edit: change the Rust types and run\n// COLDBENCH_WRITE_TYPES=1 cargo test -p coldbench --test app types\n",
            );
            $(
                out.push_str("\nexport ");
                out.push_str(&<$name as TS>::decl(&config));
                out.push('\n');
            )*
            out
        }
    };
}

every_type!(
    LengthWord,
    RoleWord,
    ReelWord,
    GripWord,
    PartWord,
    LengthFormWord,
    MassFormWord,
    LiquidFormWord,
    TemperatureFormWord,
    PartDrawn,
    StandingWord,
    SpiralWord,
    PositionWord,
    ClockWord,
    ListWord,
    AnswerForm,
    SheetWord,
    CauseWord,
    ContainerWord,
    PaperWord,
    Trouble,
    Desk,
    WorkshopView,
    HealthView,
    BackupsView,
    WayBackView,
    EntryView,
    Problem,
    PersonView,
    StationLine,
    RodLine,
    Drawing,
    OutlinePoint,
    DrawnPart,
    ClockView,
    RodView,
    PartLine,
    RevisionLine,
    FigureView,
    SketchView,
    SectionView,
    TimeMarkView,
    StageLine,
    WalkView,
    NewerView,
    DifferenceLine,
    ChecklistsView,
    ChecklistLine,
    ChecklistText,
    GlovesView,
    LayoutView,
    BentView,
    BentRingView,
    GuideLine,
    TrimView,
    DrawnGuide,
    StepLine,
    HazardView,
    StatementsView,
    StepView,
    RecordView,
    LotView,
    LotLine,
    StartView,
    GateView,
    StationView,
    AirView,
    CurvePoint,
    ReleaseLine,
    MaterialLine,
    QuickAmountView,
    WatchView,
    ContainerView,
    ClearanceView,
    ListLine,
    ListView,
    CheckView,
    AnsweredView,
    DraftView,
    PrintView,
    PrintedView,
    JobView,
    PreviewView,
    Founding,
    LayoutDraft,
    MarkDraft,
    GuideDraft,
    SpacingDraft,
    UnitsChoice,
    RodDraft,
    DiameterDraft,
    PartDraft,
    ChangeDraft,
    Place,
    MaterialDraft,
    ComponentDraft,
    EntryPlace,
    ContainerAnswer,
    AnswerDraft,
);
