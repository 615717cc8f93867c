//! The figures in a step, for this rod: what a step's file asks for, worked out by `trade` from what
//! is written down. They advise; nothing here decides what may be signed.

mod blank;
mod fit;
mod product;

use crate::checklist::{FigureAsked, FigureKind, Stage, Step};
use crate::event::{Moment, StepPlace};
use crate::rod::{Part, PartKind};
use crate::run::StageRun;
use crate::state::{Rod, State};
use coldbench_trade::units::Length;
use coldbench_trade::{LengthUnit, Units, millimetres};
use serde::{Deserialize, Serialize};

/// A figure as it stands in a step.
#[derive(Debug, Clone, PartialEq)]
pub struct StepFigure {
    /// Its name in the file.
    pub name: &'static str,
    /// What it tells.
    pub title: String,
    /// What was worked out, in the builder's units: what, and how much.
    pub rows: Vec<FigureRow>,
    /// What to tell beside it.
    pub warnings: Vec<String>,
    /// Where the formula comes from.
    pub source: &'static str,
    /// Its drawing.
    pub sketch: Option<Sketch>,
    /// Why there is no figure, and how to come by it.
    pub missing: Option<String>,
}

/// One line of a figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FigureRow {
    /// What it is.
    pub label: String,
    /// How much, with its unit and bounds.
    pub value: String,
}

/// A figure as it stood when its step was signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct KeptFigure {
    /// Its name in the file.
    pub name: String,
    /// What it told.
    pub title: String,
    /// What was worked out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<FigureRow>,
    /// What was told beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
    /// Where the formula comes from.
    pub source: String,
    /// Why there was no figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub missing: Option<String>,
}

impl From<&StepFigure> for KeptFigure {
    fn from(figure: &StepFigure) -> Self {
        Self {
            name: figure.name.to_owned(),
            title: figure.title.clone(),
            rows: figure.rows.clone(),
            warnings: figure.warnings.clone(),
            source: figure.source.to_owned(),
            missing: figure.missing.clone(),
        }
    }
}

/// What a figure's drawing shows, in mm and minutes.
#[derive(Debug, Clone, PartialEq)]
pub enum Sketch {
    /// Part of the rod cut along its axis.
    Section(Section),
    /// Shares of a whole, e.g. resin and hardener.
    Shares(Vec<(String, f64)>),
    /// Moments on a line, counted from now; the last may be far.
    Times(Vec<TimeMark>),
}

/// Part of the rod cut along its axis: diameters along the distance from the butt, in mm.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Section {
    /// The blank.
    pub blank: Vec<(f64, f64)>,
    /// The bore of the part as it is.
    pub bore: Vec<(f64, f64)>,
    /// The bore it is to get.
    pub goal: Vec<(f64, f64)>,
    /// The outside of the part.
    pub outside: Vec<(f64, f64)>,
    /// Stretches with a name: tape, a bushing, what is roughened.
    pub bands: Vec<(f64, f64, String)>,
    /// Places with a name.
    pub marks: Vec<(f64, String)>,
}

/// A moment on a line.
#[derive(Debug, Clone, PartialEq)]
pub struct TimeMark {
    /// What happens.
    pub label: String,
    /// When it is likely, in minutes from now; below zero for what is past.
    pub minutes: f64,
    /// The latest it may be.
    pub latest: f64,
}

/// The most by which one caliper reading may be off, in mm, where the file says nothing: a common
/// digital caliper states 0.03 mm (common practice, no source).
const CALIPER_MM: f64 = 0.03;

/// What a figure is worked out from.
struct Here<'a> {
    state: &'a State,
    rod: &'a Rod,
    stage: &'a Stage,
    run: &'a StageRun,
    step: &'a Step,
    asked: &'a FigureAsked,
    units: Units,
    now: Moment,
}

/// Why there is no figure: a sentence that says how to come by it.
type Worked = Result<StepFigure, String>;

/// The figures of a step as they are now; none where the stage was not begun.
pub fn figures(state: &State, at: &StepPlace, now: Moment) -> Vec<StepFigure> {
    asked_at(state, at, now).iter().map(Here::figure).collect()
}

/// How many whole minutes fresh gloves may be worn by the figure of a step; `None` where it has none.
pub(crate) fn fresh_gloves_last(state: &State, at: &StepPlace, now: Moment) -> Option<u32> {
    let asked = asked_at(state, at, now);
    let gloves = asked.iter().filter(|here| here.asked.kind == FigureKind::Gloves);
    gloves.filter_map(Here::fresh_gloves_last).min()
}

fn asked_at<'a>(state: &'a State, at: &StepPlace, now: Moment) -> Vec<Here<'a>> {
    let found = || {
        let rod = state.rods.get(&at.rod)?;
        let run = rod.stage(&at.stage)?;
        let stage = state.stage_text(&run.digest)?;
        Some((rod, run, stage, stage.step(&at.step)?))
    };
    let Some((rod, run, stage, step)) = found() else { return Vec::new() };
    let units = state
        .workshop
        .as_ref()
        .map_or_else(|| Units::usual(LengthUnit::Millimetre), |shop| shop.units);
    let here = |asked| Here { state, rod, stage, run, step, asked, units, now };
    step.figures.iter().map(here).collect()
}

/// The order in which the parts of a rod go on, and what stands in the way, for its sheet.
pub fn assembly(rod: &Rod, units: Units) -> Result<StepFigure, String> {
    fit::assembly_order(rod, units, millimetres(CALIPER_MM))
}

fn row(label: impl Into<String>, value: impl Into<String>) -> FigureRow {
    FigureRow { label: label.into(), value: value.into() }
}

impl Here<'_> {
    fn figure(&self) -> StepFigure {
        let worked = match self.asked.kind {
            FigureKind::BoreStop => self.bore_stop(),
            FigureKind::Ream => self.ream(),
            FigureKind::GlueLine => self.glue_line(),
            FigureKind::AssemblyOrder => fit::assembly_order(self.rod, self.units, self.caliper()),
            FigureKind::Roughening => self.roughening(),
            FigureKind::TapeBuildUp => self.tape_build_up(),
            FigureKind::Bushings => self.bushings(),
            FigureKind::Mix => self.mix(),
            FigureKind::WorkingTime => self.working_time(),
            FigureKind::Cure => self.cure(),
            FigureKind::Sleeve => self.sleeve(),
            FigureKind::HeatBeneath => self.heat_beneath(),
            FigureKind::Gloves => self.gloves(),
            FigureKind::Spine => self.spine(),
            FigureKind::SpineMark => self.spine_mark(),
            FigureKind::TrimTip | FigureKind::TrimButt => self.trim(),
            FigureKind::GuideLayout => self.guide_layout(),
            FigureKind::StaticTest => self.static_test(),
        };
        worked.unwrap_or_else(|missing| StepFigure {
            name: self.asked.kind.name(),
            title: title(self.asked.kind).to_owned(),
            rows: Vec::new(),
            warnings: Vec::new(),
            source: "",
            sketch: None,
            missing: Some(missing),
        })
    }

    fn made(&self, source: &'static str) -> StepFigure {
        StepFigure {
            name: self.asked.kind.name(),
            title: title(self.asked.kind).to_owned(),
            rows: Vec::new(),
            warnings: Vec::new(),
            source,
            sketch: None,
            missing: None,
        }
    }

    /// What the file gives under this key, in the kept unit of its measure.
    fn given(&self, key: &str) -> Option<f64> {
        self.asked.given.get(key).copied()
    }

    fn caliper(&self) -> Length {
        millimetres(self.given("caliper").unwrap_or(CALIPER_MM))
    }

    fn part_kind(&self) -> Result<PartKind, String> {
        self.asked.part.or(self.stage.part).ok_or_else(|| {
            "The checklist does not say which part this figure is about. Write part = \"…\" in it."
                .to_owned()
        })
    }

    fn part(&self) -> Result<&Part, String> {
        let kind = self.part_kind()?;
        self.rod.plan.part(kind).ok_or_else(|| {
            format!("No {} is written down for this rod. Add it on the rod's sheet.", kind.words())
        })
    }
}

fn title(kind: FigureKind) -> &'static str {
    match kind {
        FigureKind::BoreStop => "Where it stops as it is",
        FigureKind::Ream => "How far to ream",
        FigureKind::GlueLine => "The glue line along the part",
        FigureKind::AssemblyOrder => "The order in which parts go on",
        FigureKind::Roughening => "Where to roughen",
        FigureKind::TapeBuildUp => "Tape under the seat",
        FigureKind::Bushings => "Bushings under the seat",
        FigureKind::Mix => "What to measure out",
        FigureKind::WorkingTime => "How long it can be worked",
        FigureKind::Cure => "When it may be handled and loaded",
        FigureKind::Sleeve => "Which sleeve, and how long",
        FigureKind::HeatBeneath => "What the heat does to what lies beneath",
        FigureKind::Gloves => "When to change gloves",
        FigureKind::Spine => "What the trials say",
        FigureKind::SpineMark => "The mark, and the side of the guides",
        FigureKind::TrimTip => "What a cut off the tip does",
        FigureKind::TrimButt => "What a cut off the butt does",
        FigureKind::GuideLayout => "The guides at the test load",
        FigureKind::StaticTest => "The rod under load against the figure",
    }
}

#[cfg(test)]
mod tests;
