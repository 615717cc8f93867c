//! The figures a step shows: named in the file, worked out by the program.

use super::common;
use super::diagnostic::Findings;
use super::spanned::Spanned;
use crate::rod::PartKind;
use coldbench_trade::Measure;
use schemars::{JsonSchema, Schema};
use serde::Deserialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// A figure that a step asks for, with what its file says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureAsked {
    /// Which.
    pub kind: FigureKind,
    /// The part it is about; else that of the stage.
    pub part: Option<PartKind>,
    /// The product file it rests on.
    pub product: Option<String>,
    /// Materials that are open, for gloves: ids of material files.
    pub open: Vec<String>,
    /// The step whose values are trials of the spine at the butt.
    pub trials: Option<String>,
    /// The same at the tip.
    pub tip_trials: Option<String>,
    /// The blank jumps to two opposite sides.
    pub two_sides: bool,
    /// What else the file says, in the kept unit of its measure, by key.
    pub given: BTreeMap<&'static str, f64>,
}

/// The figures that a step can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema)]
#[schemars(rename = "figure-name", rename_all = "kebab-case")]
pub enum FigureKind {
    /// Where the part stops as it is, and where it is to sit.
    BoreStop,
    /// How far to ream.
    Ream,
    /// The glue line along the part.
    GlueLine,
    /// In which order the parts go on.
    AssemblyOrder,
    /// Where to roughen.
    Roughening,
    /// Turns of tape under a seat.
    TapeBuildUp,
    /// Bushings under a seat.
    Bushings,
    /// Resin and hardener to measure out.
    Mix,
    /// How long the mix can be worked.
    WorkingTime,
    /// When the bond may be handled, loaded, and has cured.
    Cure,
    /// Which sleeve, how long, how thick after.
    Sleeve,
    /// What the heat does to what lies beneath the sleeve.
    HeatBeneath,
    /// When to change gloves.
    Gloves,
    /// What the trials of the spine say.
    Spine,
    /// The mark against the spine, and where the guides stand.
    SpineMark,
    /// What a cut off the tip does.
    TrimTip,
    /// What a cut off the butt does.
    TrimButt,
    /// The guides at the test load.
    GuideLayout,
    /// The rod under load against the figure.
    StaticTest,
}

/// What a figure reads from the file: its name, what kind of product, and keys with their measure
/// and whether they may be left out.
struct Reads {
    name: &'static str,
    kind: FigureKind,
    product: bool,
    keys: &'static [(&'static str, Measure, bool)],
}

const NEEDED: bool = false;
const OPTIONAL: bool = true;
const CALIPER: (&str, Measure, bool) = ("caliper", Measure::Length, OPTIONAL);
const READ_TO: (&str, Measure, bool) = ("read-to", Measure::Angle, OPTIONAL);
const LEAST: (&str, Measure, bool) = ("least", Measure::Length, OPTIONAL);
const MOST: (&str, Measure, bool) = ("most", Measure::Length, OPTIONAL);
const EVERY: (&str, Measure, bool) = ("every", Measure::Length, OPTIONAL);

const ALL: &[Reads] = &[
    Reads { name: "bore-stop", kind: FigureKind::BoreStop, product: false, keys: &[CALIPER] },
    Reads {
        name: "ream",
        kind: FigureKind::Ream,
        product: false,
        keys: &[CALIPER, LEAST, MOST, EVERY],
    },
    Reads {
        name: "glue-line",
        kind: FigureKind::GlueLine,
        product: false,
        keys: &[CALIPER, LEAST, MOST, EVERY],
    },
    Reads {
        name: "assembly-order",
        kind: FigureKind::AssemblyOrder,
        product: false,
        keys: &[CALIPER],
    },
    Reads {
        name: "roughening",
        kind: FigureKind::Roughening,
        product: false,
        keys: &[CALIPER, ("set-back", Measure::Length, NEEDED)],
    },
    Reads {
        name: "tape-build-up",
        kind: FigureKind::TapeBuildUp,
        product: false,
        keys: &[CALIPER, LEAST, MOST, ("tape", Measure::Length, NEEDED)],
    },
    Reads {
        name: "bushings",
        kind: FigureKind::Bushings,
        product: false,
        keys: &[
            CALIPER,
            LEAST,
            MOST,
            ("width", Measure::Length, NEEDED),
            ("inset", Measure::Length, NEEDED),
            ("free-at-most", Measure::Length, NEEDED),
        ],
    },
    Reads {
        name: "mix",
        kind: FigureKind::Mix,
        product: true,
        keys: &[
            CALIPER,
            ("lost", Measure::Percent, NEEDED),
            ("scale", Measure::Mass, OPTIONAL),
            ("syringe", Measure::Liquid, OPTIONAL),
        ],
    },
    Reads { name: "working-time", kind: FigureKind::WorkingTime, product: true, keys: &[] },
    Reads { name: "cure", kind: FigureKind::Cure, product: true, keys: &[] },
    Reads {
        name: "sleeve",
        kind: FigureKind::Sleeve,
        product: true,
        keys: &[("tuck", Measure::Length, NEEDED)],
    },
    Reads {
        name: "heat-beneath",
        kind: FigureKind::HeatBeneath,
        product: true,
        keys: &[("margin", Measure::Number, OPTIONAL)],
    },
    Reads { name: "gloves", kind: FigureKind::Gloves, product: true, keys: &[] },
    Reads { name: "spine", kind: FigureKind::Spine, product: false, keys: &[READ_TO] },
    Reads { name: "spine-mark", kind: FigureKind::SpineMark, product: false, keys: &[READ_TO] },
    Reads { name: "trim-tip", kind: FigureKind::TrimTip, product: false, keys: &[] },
    Reads { name: "trim-butt", kind: FigureKind::TrimButt, product: false, keys: &[] },
    Reads { name: "guide-layout", kind: FigureKind::GuideLayout, product: false, keys: &[] },
    Reads {
        name: "static-test",
        kind: FigureKind::StaticTest,
        product: false,
        keys: &[("at", Measure::Percent, NEEDED), ("tolerance", Measure::Percent, OPTIONAL)],
    },
];

impl FigureKind {
    /// Its name in a file.
    pub fn name(self) -> &'static str {
        ALL.iter().find(|reads| reads.kind == self).map_or("", |reads| reads.name)
    }
}

/// A figure that a step shows, worked out by the program for this rod.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "figure", transform = say_who_reads)]
pub(super) struct RawFigure {
    /// Which figure.
    #[schemars(with = "FigureKind")]
    name: Spanned<String>,
    /// The part it is about. Leave it out for that of the stage.
    part: Option<PartKind>,
    /// The product it rests on, by the id of its file.
    #[schemars(example = &"slow-cure-epoxy")]
    product: Option<Spanned<String>>,
    /// Materials that are open at the bench, by the id of their files. Of the figure gloves.
    #[schemars(example = vec!["epoxy-resin", "epoxy-hardener"])]
    #[serde(default)]
    open: Vec<Spanned<String>>,
    /// The step whose values are trials of the spine at the butt, by its id. Of the figures spine and
    /// spine-mark.
    #[schemars(example = &"spin-the-butt")]
    trials: Option<Spanned<String>>,
    /// The same with the tip held. Of the figures spine and spine-mark.
    #[schemars(example = &"spin-the-tip")]
    tip_trials: Option<Spanned<String>>,
    /// Whether the blank jumps to two opposite sides. Of the figures spine and spine-mark.
    #[schemars(example = true)]
    two_sides: Option<Spanned<bool>>,
    /// How finely the angle is read.
    #[schemars(example = &"5°")]
    read_to: Option<Spanned<String>>,
    /// Which point of the rod is looked at, in percent of its length from the butt.
    #[schemars(example = &"75 %")]
    at: Option<Spanned<String>>,
    /// How far the value may be off the figure, in percent of the figure.
    #[schemars(example = &"10 %")]
    tolerance: Option<Spanned<String>>,
    /// How finely the diameters were measured.
    #[schemars(example = &"0.02 mm")]
    caliper: Option<Spanned<String>>,
    /// The least gap or layer, per side.
    #[schemars(example = &"0.05 mm")]
    least: Option<Spanned<String>>,
    /// The greatest gap or layer, per side.
    #[schemars(example = &"0.25 mm")]
    most: Option<Spanned<String>>,
    /// How far apart it is looked along the part.
    #[schemars(example = &"25 mm")]
    every: Option<Spanned<String>>,
    /// How far behind the edge of the part the roughening stops.
    #[schemars(example = &"2 mm")]
    set_back: Option<Spanned<String>>,
    /// How thick the tape is.
    #[schemars(example = &"0.15 mm")]
    tape: Option<Spanned<String>>,
    /// How wide a bushing is, along the blank.
    #[schemars(example = &"12 mm")]
    width: Option<Spanned<String>>,
    /// How far the outer bushings keep from the ends of the seat.
    #[schemars(example = &"5 mm")]
    inset: Option<Spanned<String>>,
    /// The longest space without a bushing.
    #[schemars(example = &"40 mm")]
    free_at_most: Option<Spanned<String>>,
    /// How much is lost in the cup, on the stick and by squeezing out, in percent.
    #[schemars(example = &"30 %")]
    lost: Option<Spanned<String>>,
    /// How finely the scale reads.
    #[schemars(example = &"0.1 g")]
    scale: Option<Spanned<String>>,
    /// How finely the syringe reads.
    #[schemars(example = &"0.1 mL")]
    syringe: Option<Spanned<String>>,
    /// How much longer the sleeve is cut, to be tucked in.
    #[schemars(example = &"3 mm")]
    tuck: Option<Spanned<String>>,
    /// How many degrees (°C) full shrinkage must keep below what lies beneath the sleeve.
    #[schemars(example = &"10")]
    margin: Option<Spanned<String>>,
    // Kept so that it is named as read by no figure; the schema does not offer it.
    #[schemars(skip)]
    bears: Option<Spanned<String>>,
}

/// Names after each key the figures that read it: the table below knows, and a sentence would go stale.
fn say_who_reads(schema: &mut Schema) {
    let Some(keys) = schema.get_mut("properties").and_then(Value::as_object_mut) else { return };
    for (key, of_key) in keys {
        let reads = |reads: &&Reads| match key.as_str() {
            "product" => reads.product,
            key => reads.keys.iter().any(|(known, ..)| *known == key),
        };
        let names: Vec<&str> = ALL.iter().filter(reads).map(|reads| reads.name).collect();
        if let (Some(Value::String(words)), false) =
            (of_key.get_mut("description"), names.is_empty())
        {
            words.extend([" Read by ", &names.join(", "), "."]);
        }
    }
}

impl RawFigure {
    /// The steps whose values it takes.
    pub(super) fn steps_named(&self) -> impl Iterator<Item = &Spanned<String>> {
        [&self.trials, &self.tip_trials].into_iter().flatten()
    }
}

/// `angles` are the steps so far that measure angles.
pub(super) fn read(
    raw: RawFigure,
    angles: &BTreeSet<String>,
    findings: &mut Findings<'_>,
) -> Option<FigureAsked> {
    let Some(reads) = ALL.iter().find(|reads| reads.name == raw.name.get_ref()) else {
        let near = ALL
            .iter()
            .map(|reads| reads.name)
            .filter(|name| strsim::damerau_levenshtein(name, raw.name.get_ref()) <= 2)
            .min_by_key(|name| strsim::damerau_levenshtein(name, raw.name.get_ref()));
        let all: Vec<&str> = ALL.iter().map(|reads| reads.name).collect();
        findings.error(
            "checklist::unknown-figure",
            raw.name.span(),
            format!("There is no figure “{}” that a step can show.", raw.name.get_ref()),
            near.map_or_else(
                || format!("There are: {}.", all.join(", ")),
                |near| format!("Did you mean “{near}”?"),
            ),
        );
        return None;
    };
    let place = raw.name.span();
    match (&raw.product, reads.product) {
        (None, true) => findings.error(
            "checklist::figure-without-product",
            place.clone(),
            format!("The figure “{}” rests on a product's sheet, and none is named.", reads.name),
            "Write product = \"…\" with the id of a file in the materials folder.",
        ),
        (Some(product), false) => foreign("product", reads, product.span(), findings),
        _ => {}
    }
    if reads.kind != FigureKind::Gloves
        && let Some(open) = raw.open.first()
    {
        foreign("open", reads, open.span(), findings);
    }
    check_trials(&raw, reads, angles, findings);
    let written = [
        ("caliper", raw.caliper),
        ("least", raw.least),
        ("most", raw.most),
        ("every", raw.every),
        ("set-back", raw.set_back),
        ("tape", raw.tape),
        ("width", raw.width),
        ("inset", raw.inset),
        ("free-at-most", raw.free_at_most),
        ("lost", raw.lost),
        ("scale", raw.scale),
        ("syringe", raw.syringe),
        ("tuck", raw.tuck),
        ("margin", raw.margin),
        ("bears", raw.bears),
        ("read-to", raw.read_to),
        ("at", raw.at),
        ("tolerance", raw.tolerance),
    ];
    let mut given = BTreeMap::new();
    for (key, text) in written {
        let known = reads.keys.iter().find(|(name, ..)| *name == key);
        match (text, known) {
            (Some(text), Some((_, measure, _))) => {
                if let Some(value) = common::limit(&text, *measure, findings) {
                    given.insert(key, value);
                }
            }
            (Some(text), None) => foreign(key, reads, text.span(), findings),
            (None, Some((_, measure, NEEDED))) => findings.error(
                "checklist::figure-incomplete",
                place.clone(),
                format!("The figure “{}” needs {key}.", reads.name),
                format!("Write for example {key} = \"{}\".", measure.example()),
            ),
            (None, _) => {}
        }
    }
    Some(FigureAsked {
        kind: reads.kind,
        part: raw.part,
        product: raw.product.map(Spanned::into_inner),
        open: raw.open.into_iter().map(Spanned::into_inner).collect(),
        trials: raw.trials.map(Spanned::into_inner),
        tip_trials: raw.tip_trials.map(Spanned::into_inner),
        two_sides: raw.two_sides.is_some_and(Spanned::into_inner),
        given,
    })
}

/// Trials are values of a step that measures angles, and belong to the figures of the spine alone.
fn check_trials(
    raw: &RawFigure,
    reads: &Reads,
    angles: &BTreeSet<String>,
    findings: &mut Findings<'_>,
) {
    let of_trials = matches!(reads.kind, FigureKind::Spine | FigureKind::SpineMark);
    if of_trials && raw.trials.is_none() && raw.tip_trials.is_none() {
        findings.error(
            "checklist::figure-incomplete",
            raw.name.span(),
            format!("The figure “{}” names no step with trials.", reads.name),
            "Write trials = \"…\" with the id of an earlier step that measures angles.",
        );
    }
    for step in [&raw.trials, &raw.tip_trials].into_iter().flatten().filter(|_| of_trials) {
        if !angles.contains(step.get_ref()) {
            findings.error(
                "checklist::figure-unknown-step",
                step.span(),
                format!("No step up to here, called “{}”, measures an angle.", step.get_ref()),
                "Write the id of a step whose record has measure = \"angle\".",
            );
        }
    }
    if !of_trials {
        let keys = [("trials", &raw.trials), ("tip-trials", &raw.tip_trials)];
        for (key, text) in keys.into_iter().filter_map(|(key, text)| Some((key, text.as_ref()?))) {
            foreign(key, reads, text.span(), findings);
        }
        if let Some(two) = &raw.two_sides {
            foreign("two-sides", reads, two.span(), findings);
        }
    }
}

fn foreign(key: &str, reads: &Reads, place: std::ops::Range<usize>, findings: &mut Findings<'_>) {
    let keys: Vec<&str> = reads.keys.iter().map(|(name, ..)| *name).collect();
    findings.error(
        "checklist::figure-foreign-key",
        place,
        format!("The figure “{}” does not read {key}.", reads.name),
        if keys.is_empty() {
            "Take it out.".to_owned()
        } else {
            format!("Take it out. It reads: {}.", keys.join(", "))
        },
    );
}
