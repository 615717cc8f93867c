//! A stage of the build: what the file says, and the rules it must keep.

use super::clock::{ClockStart, RawMilestone, Runs};
use super::common;
use super::condition::Condition;
use super::diagnostic::Findings;
use super::figure::RawFigure;
use super::spanned::Spanned;
use super::step::{self, RawStep, Step};
use super::wording::{self, MANY_STEPS};
use crate::ids::{ClockId, StageId, StepId};
use crate::rod::PartKind;
use coldbench_trade::adhesive::Milestone;
use schemars::JsonSchema;
use serde::Deserialize;
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
        .map(|step| step::read(step.into_inner(), &mut clocks, &mut angles, findings))
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
