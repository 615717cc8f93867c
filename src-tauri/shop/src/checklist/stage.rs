//! A stage of the build: what the file says, and the rules it must keep.

use super::common;
use super::condition::Condition;
use super::diagnostic::Findings;
use super::figure::{self, FigureAsked, RawFigure};
use super::schema::{Hazard, MeasureName};
use super::spanned::Spanned;
use super::wording::{self, MANY_STEPS};
use crate::hazard;
use crate::ids::{ClockId, StageId, StepId};
use crate::rod::PartKind;
use coldbench_trade::Measure;
use coldbench_trade::adhesive::Milestone;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

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
    /// Bonds of earlier stages that have to be cured so far; the stages stand in `needs` too.
    pub cures: Vec<CureNeed>,
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

    /// The products that its figures and clocks rest on, by the id of their files.
    pub fn products(&self) -> impl Iterator<Item = &str> {
        let figures = self.steps.iter().flat_map(|step| &step.figures);
        let named = figures.flat_map(|figure| figure.product.iter().chain(&figure.open));
        named.map(String::as_str).chain(self.cure_products())
    }

    /// The adhesives whose cure its clocks follow.
    pub fn cure_products(&self) -> impl Iterator<Item = &str> {
        self.steps.iter().filter_map(|step| match &step.starts.as_ref()?.runs {
            Runs::Cure { product, .. } => Some(product.as_str()),
            Runs::Minutes(_) => None,
        })
    }

    /// Whether any step uses heat.
    pub fn uses_heat(&self) -> bool {
        self.steps.iter().any(|step| step.heat)
    }
}

/// A bond of an earlier stage that has to be cured so far before this one may begin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CureNeed {
    /// The stage that made the bond.
    pub stage: StageId,
    /// How far.
    pub until: Milestone,
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
    /// Rods on which it is done; on others it is left out.
    pub condition: Condition,
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
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "clock-kind")]
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
    pub runs: Runs,
}

/// How long a clock runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Runs {
    /// So many minutes, as the file says.
    Minutes(u32),
    /// Until the adhesive has cured so far, worked out from its file and from how warm the room is.
    Cure {
        /// The adhesive, by the id of its file.
        product: String,
        /// How far.
        until: Milestone,
        /// The earlier clock whose start was that of the cure; none: it begins with this clock.
        since: Option<ClockId>,
    },
}

/// Most times that a step may ask for one value.
const MOST_REPEATS: usize = 20;
/// Least watch after heat: 29 CFR 1910.252(a)(2)(iii)(B), half an hour.
const LEAST_WATCH_MINUTES: u32 = 30;
/// Longest clock that is taken for one: four weeks.
const LONGEST_CLOCK_MINUTES: u32 = 4 * 7 * 24 * 60;

/// A stage: one part of the build of a rod, gone through step by step.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawStage {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens. Other stages
    /// name it under needs.
    #[schemars(example = &"rear-grip")]
    id: Spanned<String>,
    /// Short title, as on the screen.
    #[schemars(example = &"Bond the rear grip")]
    title: Spanned<String>,
    /// What is reached when the stage is done, in a sentence.
    #[schemars(example = &"The rear grip sits at its mark in a thin, even bond of cured epoxy.")]
    aim: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// The part of the rod that is worked on. Leave it out for the blank as a whole.
    part: Option<PartKind>,
    /// Stages that have to be done first, by their id. Where a bond must be cured further than its own
    /// stage waits for, write `{ stage = "reel-seat", cured = "full" }` for it.
    #[schemars(example = vec!["spine"])]
    #[serde(default)]
    needs: Vec<Spanned<RawNeed>>,
    /// Which rods need this stage: `only-for = { grip = ["composite"] }`. Leave it out for all rods.
    #[serde(default)]
    only_for: Condition,
    /// The steps in their order, each one a [[step]].
    #[schemars(length(min = 1))]
    #[serde(default)]
    step: Vec<Spanned<RawStep>>,
}

/// A stage that comes first: its id, or its id and how far its bond must be cured.
#[derive(Deserialize, JsonSchema)]
#[serde(
    untagged,
    expecting = "a stage's id, or { stage = \"…\", cured = \"handle\", \"load\" or \"full\" }"
)]
#[schemars(rename = "need")]
enum RawNeed {
    /// The id of the stage.
    Done(String),
    /// A stage and its bond.
    Cured(RawCured),
}

/// A stage whose bond must be cured so far.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "cured-need")]
struct RawCured {
    /// The id of the stage. One of its clocks names an adhesive.
    #[schemars(example = &"reel-seat")]
    stage: String,
    /// How far.
    cured: RawMilestone,
}

impl RawNeed {
    fn stage(&self) -> &String {
        match self {
            Self::Done(stage) | Self::Cured(RawCured { stage, .. }) => stage,
        }
    }
}

/// How far an adhesive has cured, as its file says under the keys of the same name.
#[derive(Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "milestone")]
enum RawMilestone {
    /// It may be moved with care.
    Handle,
    /// It may be worked on and loaded.
    Load,
    /// It has the strength of its sheet.
    Full,
}

impl From<RawMilestone> for Milestone {
    fn from(raw: RawMilestone) -> Self {
        match raw {
            RawMilestone::Handle => Self::Handle,
            RawMilestone::Load => Self::Load,
            RawMilestone::Full => Self::FullCure,
        }
    }
}

/// One line of the stage that somebody signs off.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "step")]
struct RawStep {
    /// A name of its own within the stage: small letters, digits and hyphens.
    #[schemars(example = &"dry-fit")]
    id: Spanned<String>,
    /// What to do, in a sentence that reads at arm's length.
    #[schemars(example = &"Slide the grip dry to its mark, then measure the gap.")]
    what: Spanned<String>,
    /// What makes or breaks it.
    #[schemars(example = &"Turn it and never force it.")]
    key_point: Spanned<String>,
    /// Why the key point matters.
    #[schemars(example = &"A tight bore scrapes the resin off.")]
    reason: Spanned<String>,
    /// What hurts, and then what to do about it. It stands before the step, and is needed where hazards
    /// are named. The safety data sheet comes first.
    #[schemars(
        example = &"Dust harms the lungs. Wear a dust mask. The product's safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// What can hurt: codes of the safety data sheet, or words of this list.
    #[schemars(with = "Vec<Hazard>", example = vec!["H225", "heat"])]
    #[serde(default)]
    hazards: Vec<Spanned<String>>,
    /// What to wear.
    #[schemars(example = vec!["nitrile gloves", "eye protection"])]
    #[serde(default)]
    wear: Vec<String>,
    /// Whether heat is used. Then it needs gun-limit and the hazard "heat", and can't be begun without
    /// a live clearance, whatever else the file says.
    #[schemars(example = true)]
    #[serde(default)]
    heat: bool,
    /// The highest setting of the gun, from the data sheet of what is heated. Only with heat = true.
    #[schemars(example = &"180 °C")]
    gun_limit: Option<Spanned<String>>,
    /// The figures that are shown, worked out for this rod:
    /// `figures = [{ name = "ream", most = "0.25 mm" }]`.
    #[serde(default)]
    figures: Vec<RawFigure>,
    /// A value to be measured, with its limits:
    /// `record = { name = "Gap", measure = "length", most = "0.25 mm" }`.
    record: Option<RawRecord>,
    /// A clock that runs from here: `starts = { id = "cure", clock = "cure", name = "Cure", minutes = 1440 }`.
    starts: Option<Spanned<RawClock>>,
    /// The clock that this step ends, by its id. An earlier step starts it.
    #[schemars(example = &"gloves")]
    ends: Option<Spanned<String>>,
    /// The clock that must have run out before the step can be signed, by its id. An earlier step starts
    /// it.
    #[schemars(example = &"cure")]
    waits_for: Option<Spanned<String>>,
    /// The material whose lot is to be named.
    #[schemars(example = &"Epoxy resin and hardener")]
    lot: Option<String>,
    /// Whether a lead must witness it when a helper does it. Heat always asks for that.
    #[schemars(example = true)]
    #[serde(default)]
    witness: bool,
    /// Whether it is a hold point, at which the PIN is asked for again. Heat always is one.
    #[schemars(example = true)]
    #[serde(default)]
    hold: bool,
    /// Where the values in the step come from.
    #[schemars(example = &"common practice, no source")]
    source: Option<String>,
    /// Which rods need this step: `only-for = { reel = ["casting"] }`. Leave it out for all rods. A stage
    /// that uses heat leaves no step out.
    only_for: Option<Spanned<Condition>>,
}

/// A value to be measured.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "record")]
struct RawRecord {
    /// What is measured, and where.
    #[schemars(example = &"Gap at the butt end, all round")]
    name: Spanned<String>,
    /// What kind of value it is.
    #[schemars(with = "MeasureName", example = &"length")]
    measure: Measure,
    /// The least it may be, with its unit. Leave it out where there is none.
    #[schemars(example = &"0.05 mm")]
    least: Option<Spanned<String>>,
    /// The most it may be, with its unit. Leave it out where there is none.
    #[schemars(example = &"0.25 mm")]
    most: Option<Spanned<String>>,
    /// Whether it is how warm the room is: then it counts for cure and working time. Only with
    /// measure = "temperature".
    #[serde(default)]
    room: bool,
    /// How many times it is to be measured, at least. Leave it out for once.
    #[schemars(example = 3, range(min = 2, max = MOST_REPEATS))]
    repeat: Option<Spanned<usize>>,
    /// Two angles may be written for one, with a stroke between: both sides to which the blank
    /// jumps. For angles alone.
    #[serde(default)]
    pairs: bool,
}

/// A clock that a step starts.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "clock")]
struct RawClock {
    /// A name of its own within the stage, for ends and waits-for: small letters, digits and hyphens.
    #[schemars(example = &"cure")]
    id: Spanned<String>,
    /// What it counts.
    clock: ClockKind,
    /// What is shown beside it.
    #[schemars(example = &"Cure of the rear grip")]
    name: Spanned<String>,
    /// How many minutes it runs. A watch after heat runs 30 or more. A cure names its product in place of
    /// this.
    #[schemars(example = 45, range(min = 1, max = LONGEST_CLOCK_MINUTES))]
    minutes: Option<Spanned<u32>>,
    /// The adhesive that cures, by the id of its file. Of the clock cure, with until.
    #[schemars(example = &"slow-cure-epoxy")]
    product: Option<Spanned<String>>,
    /// How far it has to cure; how long that takes follows from its file and the warmth of the room.
    until: Option<Spanned<RawMilestone>>,
    /// The earlier clock with which the cure began, by its id. Leave it out where it begins with this one.
    #[schemars(example = &"turning")]
    since: Option<Spanned<String>>,
}

pub(super) fn read(raw: RawStage, findings: &mut Findings<'_>) -> Option<Stage> {
    common::slug(&raw.id, findings);
    common::not_blank("The title", &raw.title, findings);
    common::not_blank("The aim", &raw.aim, findings);
    for need in &raw.needs {
        let id = Spanned::new(need.span(), need.get_ref().stage().clone());
        common::slug(&id, findings);
        if id.get_ref() == raw.id.get_ref() {
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
    check_conditions(&raw, findings);
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
        cures: raw
            .needs
            .iter()
            .filter_map(|need| match need.get_ref() {
                RawNeed::Done(_) => None,
                RawNeed::Cured(RawCured { stage, cured }) => Some(CureNeed {
                    stage: StageId::new(stage.clone()),
                    until: Milestone::from(*cured),
                }),
            })
            .collect(),
        needs: raw.needs.iter().map(|need| StageId::new(need.get_ref().stage().clone())).collect(),
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
                wording::split_help("Split the stage, or put a waiting step between."),
            );
        }
    }
}

/// A step may be left out only where nothing that is done leans on it.
fn check_conditions(raw: &RawStage, findings: &mut Findings<'_>) {
    let steps: Vec<&RawStep> = raw.step.iter().map(Spanned::get_ref).collect();
    let condition = |step: &RawStep| step.only_for.as_ref().map(|it| it.get_ref().clone());
    let heats = steps.iter().any(|step| step.heat);
    for only in steps.iter().filter_map(|step| step.only_for.as_ref()) {
        if heats {
            findings.error(
                "checklist::left-out-by-heat",
                only.span(),
                "This stage uses heat, and a step of it would be left out for some rods.",
                "Take only-for out of the step. Make two stages, or put it at the head of the file.",
            );
        }
        if !only.get_ref().goes_with(&raw.only_for) {
            findings.error(
                "checklist::never-applies",
                only.span(),
                "No rod that needs this stage meets this condition, so the step is never done.",
                "Mend the condition, or the one at the head of the file.",
            );
        }
    }
    if steps.iter().all(|step| condition(step).is_some_and(|only| !only.is_for_all())) {
        findings.error(
            "checklist::nothing-for-all",
            raw.id.span(),
            "Every step is left out for some rods, so nothing could be left of the stage.",
            "Put the condition at the head of the file, or keep one step for all rods.",
        );
    }
    for step in &steps {
        let since = step.starts.as_ref().and_then(|starts| starts.get_ref().since.as_ref());
        for clock in [step.ends.as_ref(), step.waits_for.as_ref(), since].into_iter().flatten() {
            let starter = steps.iter().find(|earlier| {
                earlier
                    .starts
                    .as_ref()
                    .is_some_and(|starts| starts.get_ref().id.get_ref() == clock.get_ref())
            });
            leans_on(clock, starter.copied(), step, findings);
        }
        for trials in step.figures.iter().flat_map(RawFigure::steps_named) {
            let named = steps.iter().find(|earlier| earlier.id.get_ref() == trials.get_ref());
            leans_on(trials, named.copied(), step, findings);
        }
    }
}

/// What a step leans on must be there whenever the step is.
fn leans_on(
    named: &Spanned<String>,
    on: Option<&RawStep>,
    step: &RawStep,
    findings: &mut Findings<'_>,
) {
    let Some(only) = on.and_then(|on| on.only_for.as_ref()) else { return };
    let own = step.only_for.as_ref().map(|own| own.get_ref().clone()).unwrap_or_default();
    if !only.get_ref().takes_all_of(&own) {
        findings.error(
            "checklist::leans-on-left-out",
            named.span(),
            "What this step leans on comes from a step that is left out for some rods.",
            "Give both steps the same only-for, or take it out of the earlier one.",
        );
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
    let answerless = raw.record.is_none() && raw.lot.is_none();
    wording::action(&raw.what, answerless, findings);
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
            unknown_clock(name, findings);
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
        condition: raw.only_for.map(Spanned::into_inner).unwrap_or_default(),
    }
}

fn unknown_clock(name: &Spanned<String>, findings: &mut Findings<'_>) {
    findings.error(
        "checklist::unknown-clock",
        name.span(),
        format!("No earlier step starts a clock “{}”.", name.get_ref()),
        "Start the clock in an earlier step with starts = { id = \"…\", … }.",
    );
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

fn read_clock(
    raw: RawClock,
    clocks: &mut BTreeSet<String>,
    findings: &mut Findings<'_>,
) -> ClockStart {
    common::slug(&raw.id, findings);
    common::not_blank("The name of the clock", &raw.name, findings);
    let runs = read_runs(&raw, clocks, findings);
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
        runs,
    }
}

/// Minutes, or a product and how far it has to cure; never both.
fn read_runs(raw: &RawClock, clocks: &BTreeSet<String>, findings: &mut Findings<'_>) -> Runs {
    if let Some(product) = &raw.product {
        common::slug(product, findings);
        if raw.clock != ClockKind::Cure {
            findings.error(
                "checklist::product-without-cure",
                product.span(),
                "Only the clock of a cure follows a product.",
                "Write clock = \"cure\", or minutes = a number in place of product and until.",
            );
        }
        if let Some(minutes) = &raw.minutes {
            findings.error(
                "checklist::cure-and-minutes",
                minutes.span(),
                "How long the product cures follows from its file, so minutes says it a second time.",
                "Take minutes out; or take product and until out, and keep the minutes.",
            );
        }
        let until = raw.until.as_ref().map(|until| Milestone::from(*until.get_ref()));
        if until.is_none() {
            findings.error(
                "checklist::cure-without-until",
                product.span(),
                "The clock does not say how far the product has to cure.",
                "Write until = \"handle\", \"load\" or \"full\".",
            );
        }
        let until = until.unwrap_or(Milestone::Load);
        if let Some(since) = raw.since.as_ref().filter(|it| !clocks.contains(it.get_ref())) {
            unknown_clock(since, findings);
        }
        let since = raw.since.as_ref().map(|since| ClockId::new(since.get_ref().clone()));
        return Runs::Cure { product: product.get_ref().clone(), until, since };
    }
    if let Some(since) = &raw.since {
        findings.error(
            "checklist::until-without-product",
            since.span(),
            "The clock says when something began to cure, and not what.",
            "Write product = \"…\" with the id of an adhesive's file.",
        );
    }
    if let Some(until) = &raw.until {
        findings.error(
            "checklist::until-without-product",
            until.span(),
            "The clock says how far something has to cure, and not what.",
            "Write product = \"…\" with the id of an adhesive's file.",
        );
    }
    let Some(written) = &raw.minutes else {
        findings.error(
            "checklist::no-minutes",
            raw.id.span(),
            "The clock does not say how long it runs.",
            "Write minutes = a number; for a cure product = \"…\" and until = \"load\" do as well.",
        );
        return Runs::Minutes(1);
    };
    let minutes = *written.get_ref();
    if minutes == 0 || minutes > LONGEST_CLOCK_MINUTES {
        findings.error(
            "checklist::bad-clock",
            written.span(),
            "A clock runs from one minute to four weeks.",
            "Mend the number of minutes.",
        );
    }
    if raw.clock == ClockKind::Watch && minutes < LEAST_WATCH_MINUTES {
        findings.error(
            "checklist::short-watch",
            written.span(),
            format!("A watch after heat lasts at least {LEAST_WATCH_MINUTES} minutes (29 CFR 1910.252(a)(2)(iii)(B))."),
            "Write 30 or more.",
        );
    }
    Runs::Minutes(minutes)
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
