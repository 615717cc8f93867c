//! A stage of the build: what the file says, and the rules it must keep.

use super::common;
use super::diagnostic::Findings;
use super::figure::{self, FigureAsked, RawFigure};
use crate::hazard;
use crate::ids::{ClockId, StageId, StepId};
use crate::rod::{GripMaterial, PartKind, ReelType};
use coldbench_trade::Measure;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use toml::Spanned;

/// One part of the build of a rod.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Stable id, the same in every revision.
    pub id: StageId,
    /// Short title.
    pub title: String,
    /// What is reached when it is done.
    pub aim: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// The part of the rod it works on; `None` for the blank as a whole.
    pub part: Option<PartKind>,
    /// Stages that come first.
    pub needs: Vec<StageId>,
    /// Rods it applies to.
    pub condition: Condition,
    /// The steps, in order; at least one.
    pub steps: Vec<Step>,
}

impl Stage {
    /// The step with this id.
    pub fn step(&self, id: &StepId) -> Option<&Step> {
        self.steps.iter().find(|step| &step.id == id)
    }

    /// The clock with this id and the step that starts it.
    pub fn clock(&self, id: &ClockId) -> Option<(&Step, &ClockStart)> {
        self.steps.iter().find_map(|step| {
            step.starts.as_ref().filter(|clock| &clock.id == id).map(|clock| (step, clock))
        })
    }

    /// Whether any step uses heat.
    pub fn uses_heat(&self) -> bool {
        self.steps.iter().any(|step| step.heat)
    }
}

/// Which rods a stage applies to; an empty list means all.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Condition {
    /// Grip materials.
    #[serde(default)]
    pub grip: Vec<GripMaterial>,
    /// Reel types.
    #[serde(default)]
    pub reel: Vec<ReelType>,
}

impl Condition {
    /// Whether a rod with this grip and reel needs the stage.
    pub fn holds(&self, grip: GripMaterial, reel: ReelType) -> bool {
        (self.grip.is_empty() || self.grip.contains(&grip))
            && (self.reel.is_empty() || self.reel.contains(&reel))
    }
}

/// One line that someone signs off.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Unique within the stage.
    pub id: StepId,
    /// The important step: what to do.
    pub what: String,
    /// What makes or breaks it.
    pub key_point: String,
    /// Why the key point matters.
    pub reason: String,
    /// What hurts and what to do about it; stands before the step.
    pub caution: Option<String>,
    /// Hazard codes, see [`crate::hazard`].
    pub hazards: Vec<String>,
    /// What to wear.
    pub wear: Vec<String>,
    /// Whether heat is used: then a live clearance is needed.
    pub heat: bool,
    /// Highest gun setting for this step in °C.
    pub gun_limit_c: Option<f64>,
    /// The figures it shows.
    pub figures: Vec<FigureAsked>,
    /// The value to measure.
    pub record: Option<Record>,
    /// The clock it starts.
    pub starts: Option<ClockStart>,
    /// The clock it ends.
    pub ends: Option<ClockId>,
    /// The clock that must have run out before it can be signed.
    pub waits_for: Option<ClockId>,
    /// The material whose lot is to be named.
    pub lot: Option<String>,
    /// Whether a lead must witness it when a helper does it.
    pub witness: bool,
    /// Whether the author made it a hold point.
    pub hold: bool,
    /// Where the values come from.
    pub source: Option<String>,
}

impl Step {
    /// Whether working this step lets flammable vapour into the air.
    pub fn releases_flammable(&self) -> bool {
        self.hazards.iter().any(|code| hazard::is_flammable(code))
    }

    /// Whether whoever signs gives their PIN again: a hold point, past which nobody goes in
    /// passing. Heat always is one.
    pub fn is_hold_point(&self) -> bool {
        self.hold || self.heat
    }

    /// Whether a lead must witness when a helper does it. Heat always asks for it.
    pub fn needs_witness(&self) -> bool {
        self.witness || self.heat
    }
}

/// A value to measure, with the limits it must keep.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// What is measured.
    pub name: String,
    /// Its kind, which fixes the units.
    pub measure: Measure,
    /// Least value in the kept unit.
    pub least: Option<f64>,
    /// Greatest value in the kept unit.
    pub most: Option<f64>,
    /// The limits as the author wrote them.
    pub limits: String,
    /// Whether it is how warm the room is: then it counts for cure and working time.
    pub room: bool,
    /// How many times it is to be measured, at least; each value counts.
    pub repeat: usize,
    /// Whether two angles may be written for one, with a stroke between: both sides of an axis.
    pub pairs: bool,
}

/// What a clock counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClockKind {
    /// How long mixed resin can be worked; may be set shorter than the file says, never longer.
    WorkingTime,
    /// How long until the next load; may be set longer, never shorter.
    Cure,
    /// How long gloves are worn; may be set shorter, never longer.
    GloveChange,
    /// How long the place is watched after heat; may be set longer, never shorter.
    Watch,
}

impl ClockKind {
    /// Whether the number is a least time (a wait) rather than a most time.
    pub fn is_wait(self) -> bool {
        matches!(self, Self::Cure | Self::Watch)
    }
}

/// A clock that a step starts.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockStart {
    /// Unique within the stage.
    pub id: ClockId,
    /// What it counts.
    pub kind: ClockKind,
    /// What is shown beside it.
    pub name: String,
    /// How long it runs.
    pub minutes: u32,
}

/// Most times that a step may ask for one value.
const MOST_REPEATS: usize = 20;
/// Least watch after heat: 29 CFR 1910.252(a)(2)(iii)(B), half an hour.
const LEAST_WATCH_MINUTES: u32 = 30;
/// Longest clock that is taken for one: four weeks.
const LONGEST_CLOCK_MINUTES: u32 = 4 * 7 * 24 * 60;
/// Steps in a row before a list is warned about (guideline: fewer than ten to a pause).
const MANY_STEPS: usize = 9;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawStage {
    #[serde(rename = "format")]
    _format: i64,
    #[serde(rename = "kind")]
    _kind: String,
    id: Spanned<String>,
    title: Spanned<String>,
    aim: Spanned<String>,
    revised: String,
    part: Option<PartKind>,
    #[serde(default)]
    needs: Vec<Spanned<String>>,
    #[serde(default)]
    only_for: Condition,
    #[serde(default)]
    step: Vec<Spanned<RawStep>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RawStep {
    id: Spanned<String>,
    what: Spanned<String>,
    key_point: Spanned<String>,
    reason: Spanned<String>,
    caution: Option<Spanned<String>>,
    #[serde(default)]
    hazards: Vec<Spanned<String>>,
    #[serde(default)]
    wear: Vec<String>,
    #[serde(default)]
    heat: bool,
    gun_limit: Option<Spanned<String>>,
    #[serde(default)]
    figures: Vec<RawFigure>,
    record: Option<RawRecord>,
    starts: Option<Spanned<RawClock>>,
    ends: Option<Spanned<String>>,
    waits_for: Option<Spanned<String>>,
    lot: Option<String>,
    #[serde(default)]
    witness: bool,
    #[serde(default)]
    hold: bool,
    source: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RawRecord {
    name: Spanned<String>,
    measure: Measure,
    least: Option<Spanned<String>>,
    most: Option<Spanned<String>>,
    #[serde(default)]
    room: bool,
    repeat: Option<Spanned<usize>>,
    #[serde(default)]
    pairs: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RawClock {
    id: Spanned<String>,
    clock: ClockKind,
    name: Spanned<String>,
    minutes: Spanned<u32>,
}

pub(super) fn read(raw: RawStage, findings: &mut Findings<'_>) -> Option<Stage> {
    common::slug(&raw.id, findings);
    common::not_blank("The title", &raw.title, findings);
    common::not_blank("The aim", &raw.aim, findings);
    for need in &raw.needs {
        common::slug(need, findings);
        if need.get_ref() == raw.id.get_ref() {
            findings.error(
                "checklist::needs-itself",
                need.span(),
                "The stage needs itself, so it could never begin.",
                "Take this need out.",
            );
        }
    }
    if raw.step.is_empty() {
        findings.error(
            "checklist::no-steps",
            raw.id.span(),
            "The stage has no step.",
            "Add at least one [[step]] with id, what, key-point and reason.",
        );
        return None;
    }
    common::unique(raw.step.iter().map(|step| &step.get_ref().id), findings);
    warn_about_long_runs(&raw, findings);
    let mut clocks = BTreeSet::new();
    let mut angles = BTreeSet::new();
    let steps = raw
        .step
        .into_iter()
        .map(|step| read_step(step.into_inner(), &mut clocks, &mut angles, findings))
        .collect();
    Some(Stage {
        id: StageId::new(raw.id.into_inner()),
        title: raw.title.into_inner(),
        aim: raw.aim.into_inner(),
        revised: raw.revised,
        part: raw.part,
        needs: raw.needs.into_iter().map(|need| StageId::new(need.into_inner())).collect(),
        condition: raw.only_for,
        steps,
    })
}

fn warn_about_long_runs(raw: &RawStage, findings: &mut Findings<'_>) {
    let mut run = 0;
    for step in &raw.step {
        let step = step.get_ref();
        let pause = step.waits_for.is_some() || step.starts.is_some();
        run = if pause { 0 } else { run + 1 };
        if run == MANY_STEPS + 1 {
            findings.warn(
                "checklist::long-run",
                step.id.span(),
                format!("More than {MANY_STEPS} steps stand in a row without a pause."),
                "Split the stage, or put a waiting step between.",
            );
        }
    }
}

fn read_step(
    raw: RawStep,
    clocks: &mut BTreeSet<String>,
    angles: &mut BTreeSet<String>,
    findings: &mut Findings<'_>,
) -> Step {
    common::not_blank("The step", &raw.what, findings);
    common::not_blank("The key point", &raw.key_point, findings);
    common::not_blank("The reason", &raw.reason, findings);
    common::hazards(&raw.hazards, findings);
    check_caution(&raw, findings);
    check_tick(&raw, findings);
    let gun_limit_c = match (&raw.gun_limit, raw.heat) {
        (Some(text), true) => common::limit(text, Measure::Temperature, findings),
        (Some(text), false) => {
            findings.error(
                "checklist::gun-without-heat",
                text.span(),
                "A gun limit stands in a step that does not say it uses heat.",
                "Write heat = true, or take the gun limit out.",
            );
            None
        }
        (None, true) => {
            findings.error(
                "checklist::no-gun-limit",
                raw.id.span(),
                "The step uses heat but gives no highest gun setting.",
                "Write for example gun-limit = \"180 °C\", from the data sheet of what is heated.",
            );
            None
        }
        (None, false) => None,
    };
    for name in [&raw.ends, &raw.waits_for].into_iter().flatten() {
        if !clocks.contains(name.get_ref()) {
            findings.error(
                "checklist::unknown-clock",
                name.span(),
                format!("No earlier step starts a clock “{}”.", name.get_ref()),
                "Start the clock in an earlier step with starts = { id = \"…\", … }.",
            );
        }
    }
    let starts = raw.starts.map(|clock| read_clock(clock.into_inner(), clocks, findings));
    let record = raw.record.map(|record| read_record(record, findings));
    if record.as_ref().is_some_and(|record: &Record| record.measure == Measure::Angle) {
        angles.insert(raw.id.get_ref().clone());
    }
    let read = |raw| figure::read(raw, angles, findings);
    let figures = raw.figures.into_iter().filter_map(read).collect();
    Step {
        id: StepId::new(raw.id.into_inner()),
        what: raw.what.into_inner(),
        key_point: raw.key_point.into_inner(),
        reason: raw.reason.into_inner(),
        caution: raw.caution.map(Spanned::into_inner),
        hazards: raw.hazards.into_iter().map(Spanned::into_inner).collect(),
        wear: raw.wear,
        heat: raw.heat,
        gun_limit_c,
        figures,
        record,
        starts,
        ends: raw.ends.map(|id| ClockId::new(id.into_inner())),
        waits_for: raw.waits_for.map(|id| ClockId::new(id.into_inner())),
        lot: raw.lot,
        witness: raw.witness,
        hold: raw.hold,
        source: raw.source,
    }
}

fn check_caution(raw: &RawStep, findings: &mut Findings<'_>) {
    let named = raw.hazards.iter().any(|code| code.get_ref() == "heat");
    if raw.heat && !named {
        findings.error(
            "checklist::heat-not-named",
            raw.id.span(),
            "The step uses heat but does not name the hazard.",
            "Add \"heat\" to its hazards and write a caution.",
        );
    }
    match &raw.caution {
        Some(caution) => common::not_blank("The caution", caution, findings),
        None if raw.hazards.is_empty() => {}
        None => findings.error(
            "checklist::no-caution",
            raw.id.span(),
            "The step names a hazard but gives no caution.",
            "Write caution = \"…\": what hurts, and what to do about it.",
        ),
    }
}

/// A forced tick is filled in whether or not anybody looked; ask for something that can be wrong.
fn check_tick(raw: &RawStep, findings: &mut Findings<'_>) {
    let first = raw.what.get_ref().split_whitespace().next().unwrap_or_default().to_lowercase();
    let answerless = raw.record.is_none() && raw.lot.is_none();
    if answerless && matches!(first.as_str(), "check" | "verify" | "ensure" | "confirm") {
        findings.warn(
            "checklist::bare-tick",
            raw.what.span(),
            "The step only asks to check, so a signature proves no look.",
            "Ask for the value or state that was seen, with record = { … }.",
        );
    }
}

fn read_clock(
    raw: RawClock,
    clocks: &mut BTreeSet<String>,
    findings: &mut Findings<'_>,
) -> ClockStart {
    common::slug(&raw.id, findings);
    common::not_blank("The name of the clock", &raw.name, findings);
    let minutes = *raw.minutes.get_ref();
    if minutes == 0 || minutes > LONGEST_CLOCK_MINUTES {
        findings.error(
            "checklist::bad-clock",
            raw.minutes.span(),
            "A clock runs from one minute to four weeks.",
            "Mend the number of minutes.",
        );
    }
    if raw.clock == ClockKind::Watch && minutes < LEAST_WATCH_MINUTES {
        findings.error(
            "checklist::short-watch",
            raw.minutes.span(),
            format!("A watch after heat lasts at least {LEAST_WATCH_MINUTES} minutes (29 CFR 1910.252(a)(2)(iii)(B))."),
            "Write 30 or more.",
        );
    }
    if !clocks.insert(raw.id.get_ref().clone()) {
        findings.error(
            "checklist::id-twice",
            raw.id.span(),
            format!("The clock “{}” is started twice.", raw.id.get_ref()),
            "Give each clock an id of its own.",
        );
    }
    ClockStart {
        id: ClockId::new(raw.id.into_inner()),
        kind: raw.clock,
        name: raw.name.into_inner(),
        minutes,
    }
}

fn read_record(raw: RawRecord, findings: &mut Findings<'_>) -> Record {
    common::not_blank("The name of the value", &raw.name, findings);
    let bounds = common::bounds(raw.measure, raw.least.as_ref(), raw.most.as_ref(), findings);
    if raw.room && raw.measure != Measure::Temperature {
        findings.error(
            "checklist::room-without-temperature",
            raw.name.span(),
            "The value is said to be of the room, but is no temperature.",
            "Write measure = \"temperature\", or take room out.",
        );
    }
    if raw.pairs && raw.measure != Measure::Angle {
        findings.error(
            "checklist::pairs-without-angle",
            raw.name.span(),
            "The value may be a pair of opposite angles, but is no angle.",
            "Write measure = \"angle\", or take pairs out.",
        );
    }
    if let Some(repeat) =
        raw.repeat.as_ref().filter(|it| !(2..=MOST_REPEATS).contains(it.get_ref()))
    {
        findings.error(
            "checklist::repeat-out-of-range",
            repeat.span(),
            format!("A value is repeated 2 to {MOST_REPEATS} times."),
            "Write for example repeat = 3, or take it out for a value that is measured once.",
        );
    }
    Record {
        name: raw.name.into_inner(),
        measure: raw.measure,
        least: bounds.least,
        most: bounds.most,
        limits: bounds.words,
        room: raw.room,
        pairs: raw.pairs,
        repeat: raw.repeat.map_or(1, |repeat| *repeat.get_ref()).clamp(1, MOST_REPEATS),
    }
}
