//! One step of a stage: what the file says, and the rules it must keep.

use super::clock::{self, ClockStart, RawClock, unknown_clock};
use super::common;
use super::condition::Condition;
use super::diagnostic::Findings;
use super::figure::{self, FigureAsked, RawFigure};
use super::picture::PictureName;
use super::schema::{Hazard, MeasureName};
use super::spanned::Spanned;
use super::wording;
use crate::hazard;
use crate::ids::{ClockId, StepId};
use coldbench_trade::{LengthUnit, Measure};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeSet;

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
    /// The drawing it shows.
    pub picture: Option<PictureName>,
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
    /// The kind of unit that they are written in; `None` where they are no lengths.
    pub limits_in: Option<LengthUnit>,
    /// Whether it is how warm the room is: then it counts for cure and working time.
    pub room: bool,
    /// How many times it is to be measured, at least; each value counts.
    pub repeat: usize,
    /// Whether two angles may be written for one, with a stroke between: both sides of an axis.
    pub pairs: bool,
}

impl Record {
    /// Whether a lead may accept a value outside the limits. Where the stage uses heat, what bears how much
    /// and how hot the gun is are no matter of judgement.
    pub fn is_open_to_judgement(&self, uses_heat: bool) -> bool {
        !uses_heat || self.measure != Measure::Temperature || self.room
    }
}

/// Most times that a step may ask for one value.
const MOST_REPEATS: usize = 20;

/// One line of the stage that somebody signs off.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "step")]
pub(super) struct RawStep {
    /// A name of its own within the stage: small letters, digits and hyphens.
    #[schemars(example = &"dry-fit")]
    pub(super) id: Spanned<String>,
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
    pub(super) heat: bool,
    /// The highest setting of the gun, from the data sheet of what is heated. Only with heat = true.
    #[schemars(example = &"180 °C")]
    gun_limit: Option<Spanned<String>>,
    /// The figures that are shown, worked out for this rod:
    /// `figures = [{ name = "ream", most = "0.25 mm" }]`.
    #[serde(default)]
    pub(super) figures: Vec<RawFigure>,
    /// A drawing of what the hands do, shown beside the step. It comes with Coldbench.
    #[schemars(example = &"ream-to-fit")]
    picture: Option<PictureName>,
    /// A value to be measured, with its limits:
    /// `record = { name = "Gap", measure = "length", most = "0.25 mm" }`.
    record: Option<RawRecord>,
    /// A clock that runs from here: `starts = { id = "cure", clock = "cure", name = "Cure", minutes = 1440 }`.
    pub(super) starts: Option<Spanned<RawClock>>,
    /// The clock that this step ends, by its id. An earlier step starts it.
    #[schemars(example = &"gloves")]
    pub(super) ends: Option<Spanned<String>>,
    /// The clock that must have run out before the step can be signed, by its id. An earlier step starts
    /// it.
    #[schemars(example = &"cure")]
    pub(super) waits_for: Option<Spanned<String>>,
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
    pub(super) only_for: Option<Spanned<Condition>>,
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

pub(super) fn read(
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
    let starts = raw.starts.map(|clock| clock::read(clock.into_inner(), clocks, findings));
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
        picture: raw.picture,
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
        limits_in: bounds.unit,
        room: raw.room,
        pairs: raw.pairs,
        repeat: raw.repeat.map_or(1, |repeat| *repeat.get_ref()).clamp(1, MOST_REPEATS),
    }
}
