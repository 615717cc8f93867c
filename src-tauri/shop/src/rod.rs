//! A rod: what the customer asked, the blank as measured, the parts.

use crate::layout::{LayoutPlan, TestedBlank};
use coldbench_trade::fit::{self, Bore, End, FitError, Taper};
use coldbench_trade::{Blank, BlankError, LengthUnit, Measured, millimetres, units};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::Length;

/// The kind of reel, which decides on which side the guides stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "reel")]
pub enum ReelType {
    /// Open-face reel below the rod.
    Spinning,
    /// Low-profile reel above the rod.
    Casting,
    /// Round multiplier above the rod.
    Conventional,
    /// Fly reel behind the grip.
    Fly,
}

impl ReelType {
    /// In words, as a kind of rod.
    pub fn words(self) -> &'static str {
        match self {
            Self::Spinning => "a spinning rod",
            Self::Casting => "a casting rod",
            Self::Conventional => "a conventional rod",
            Self::Fly => "a fly rod",
        }
    }
}

/// What the rear grip is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "grip")]
pub enum GripMaterial {
    /// Cork rings.
    Cork,
    /// EVA foam.
    Eva,
    /// Rigid composite core under a shrunk sleeve.
    Composite,
}

impl GripMaterial {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Cork => "a cork grip",
            Self::Eva => "a foam grip",
            Self::Composite => "a composite grip under a sleeve",
        }
    }
}

/// A part that is fitted to the blank.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "part")]
pub enum PartKind {
    /// Grip behind the reel (or the whole handle of a fly rod).
    RearGrip,
    /// Sleeve over the rear grip.
    Sleeve,
    /// Reel seat.
    ReelSeat,
    /// Grip before the reel.
    ForeGrip,
    /// Ring that covers the end of a grip or seat.
    TrimRing,
    /// Cap over the butt end.
    ButtCap,
    /// Base of the keeper that the hook hangs in.
    HookKeeper,
}

impl PartKind {
    /// Over which end of the blank it is slid on: a cap over the butt, everything else over the
    /// tip.
    pub fn comes_from(self) -> End {
        match self {
            Self::ButtCap => End::Butt,
            _ => End::Tip,
        }
    }

    /// Whether it has a bore that the blank goes through. A sleeve is chosen by size instead.
    pub fn is_bored(self) -> bool {
        self != Self::Sleeve
    }

    /// In words, as a name.
    pub fn words(self) -> &'static str {
        match self {
            Self::RearGrip => "rear grip",
            Self::Sleeve => "sleeve",
            Self::ReelSeat => "reel seat",
            Self::ForeGrip => "fore grip",
            Self::TrimRing => "trim ring",
            Self::ButtCap => "butt cap",
            Self::HookKeeper => "hook keeper",
        }
    }
}

/// A part as it will sit on the blank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Which part.
    pub kind: PartKind,
    /// What it is, in the builder's words.
    pub description: String,
    /// Distance from the butt to its near end, in mm.
    pub from_mm: f64,
    /// Distance from the butt to its far end, in mm.
    pub to_mm: f64,
    /// Greatest outside diameter, in mm.
    pub diameter_mm: f64,
    /// Its outside where it is thinnest, if it is contoured and was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thinnest: Option<Reading>,
    /// Its bore, if it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bore: Option<PartBore>,
    /// Place and diameter as they were written; an earlier Coldbench kept none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub written: Option<PartWritten>,
}

/// The bore of a part as it was measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartBore {
    /// At its butt end.
    pub butt: Reading,
    /// At its tip end, where that differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tip: Option<Reading>,
}

impl PartBore {
    /// As written, for screen and paper.
    pub fn shown(&self) -> String {
        match &self.tip {
            Some(tip) => format!("{} at the butt end, {} at the tip end", self.butt.text, tip.text),
            None => self.butt.text.clone(),
        }
    }
}

/// What was written of a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartWritten {
    /// Near end, from the butt.
    pub from: String,
    /// Far end, from the butt.
    pub to: String,
    /// Greatest outside diameter.
    pub diameter: String,
}

/// One measurement as it was written and as it was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// As written, with its unit.
    pub text: String,
    /// In the kept unit of its measure (mm for lengths).
    pub value: f64,
}

/// A measured diameter of the blank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DiameterReading {
    /// Where, from the butt.
    pub from_butt: Reading,
    /// Outside diameter there.
    pub diameter: Reading,
}

/// What is written down when a rod is begun.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RodPlan {
    /// What the rod is called in the shop.
    pub title: String,
    /// For whom.
    pub customer: String,
    /// What the customer asked.
    pub wishes: String,
    /// The reel.
    pub reel: ReelType,
    /// The rear grip.
    pub grip: GripMaterial,
    /// The blank, in the builder's words.
    pub blank: String,
    /// Length of the assembled blank.
    pub length: Reading,
    /// Where pieces meet, from the butt.
    pub joins: Vec<Reading>,
    /// Measured diameters, butt to tip.
    pub diameters: Vec<DiameterReading>,
    /// The parts.
    pub parts: Vec<Part>,
    /// How the blank bends and where its guides stand, once that was worked out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<Box<LayoutPlan>>,
    /// Somebody looked again at readings that seemed to mix up inches and millimetres, and stood
    /// by them.
    #[serde(default, skip_serializing_if = "is_false")]
    pub sure: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
fn is_false(word: &bool) -> bool {
    !word
}

/// A change of what is written down of a rod. What was written stays in the ledger.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub enum RodChange {
    /// How long the blank is, and where its pieces meet.
    Blank {
        /// Length of the assembled blank.
        length: Reading,
        /// Each join, from the butt.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        joins: Vec<Reading>,
    },
    /// What the rear grip is made of.
    Grip {
        /// The material.
        to: GripMaterial,
    },
    /// A diameter of the blank.
    Diameter {
        /// The reading it takes the place of, counted from 0 at the butt; none: one more.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        row: Option<usize>,
        /// The reading.
        to: DiameterReading,
    },
    /// The bore of a part, as it is now.
    Bore {
        /// Which part, counted from 0.
        part: usize,
        /// The bore.
        to: PartBore,
    },
    /// A part.
    Part {
        /// The part it takes the place of, counted from 0; none: one more.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        row: Option<usize>,
        /// The part.
        to: Part,
    },
    /// How the blank bends and where its guides stand.
    Layout {
        /// The layout.
        to: Box<LayoutPlan>,
    },
    /// The blank was cut: every place counts from the new butt, what was cut off is gone.
    Cut {
        /// Off the tip.
        tip: Reading,
        /// Off the butt.
        butt: Reading,
    },
}

impl RodChange {
    /// Whether it puts right what was written, rather than adding to it.
    pub fn is_correction(&self) -> bool {
        matches!(
            self,
            Self::Blank { .. }
                | Self::Grip { .. }
                | Self::Diameter { row: Some(_), .. }
                | Self::Part { row: Some(_), .. }
        )
    }
}

impl RodPlan {
    /// The blank, checked. `shown_in` is the unit for error texts.
    pub fn checked_blank(&self, shown_in: LengthUnit) -> Result<Blank, BlankError> {
        Blank::new(millimetres(self.length.value), self.joins_at(), self.measured(), shown_in)
    }

    /// The measured diameters, in the order in which they stand.
    pub fn measured(&self) -> Vec<Measured> {
        let measured = |row: &DiameterReading| Measured {
            from_butt: millimetres(row.from_butt.value),
            diameter: millimetres(row.diameter.value),
        };
        self.diameters.iter().map(measured).collect()
    }

    fn joins_at(&self) -> Vec<Length> {
        self.joins.iter().map(|join| millimetres(join.value)).collect()
    }

    /// The taper of the blank; `caliper` as [`Taper::new`] takes it.
    pub fn taper(&self, caliper: Length) -> Result<Taper, FitError> {
        Taper::new(millimetres(self.length.value), &self.joins_at(), &self.measured(), caliper)
    }

    /// The plan with a change made; `None` where it names a row that is not there. Measurements are
    /// kept in order from the butt.
    pub fn changed(&self, change: &RodChange) -> Option<Self> {
        let mut plan = self.clone();
        match change {
            RodChange::Blank { length, joins } => {
                plan.length = length.clone();
                plan.joins.clone_from(joins);
            }
            RodChange::Grip { to } => plan.grip = *to,
            RodChange::Diameter { row: Some(row), to } => {
                *plan.diameters.get_mut(*row)? = to.clone();
            }
            RodChange::Diameter { row: None, to } => plan.diameters.push(to.clone()),
            RodChange::Bore { part, to } => {
                plan.parts.get_mut(*part)?.bore = Some(to.clone());
            }
            RodChange::Part { row: Some(row), to } => *plan.parts.get_mut(*row)? = to.clone(),
            RodChange::Part { row: None, to } => plan.parts.push(to.clone()),
            RodChange::Layout { to } => plan.layout = Some(to.clone()),
            RodChange::Cut { tip, butt } => plan.cut(tip.value, butt.value),
        }
        plan.diameters.sort_by(|a, b| a.from_butt.value.total_cmp(&b.from_butt.value));
        Some(plan)
    }

    /// What stood where a change was made, and what stands there now, in words.
    pub fn words_of(&self, change: &RodChange) -> (Option<String>, String) {
        let diameter = |row: &DiameterReading| {
            format!("{} at {} from the butt", row.diameter.text, row.from_butt.text)
        };
        let blank = |length: &Reading, joins: &[Reading]| {
            let at: Vec<&str> = joins.iter().map(|join| join.text.as_str()).collect();
            let joined = match at.as_slice() {
                [] => "in one piece".to_owned(),
                at => format!("joined at {} from the butt", at.join(" and ")),
            };
            format!("blank {} long, {joined}", length.text)
        };
        match change {
            RodChange::Blank { length, joins } => {
                (Some(blank(&self.length, &self.joins)), blank(length, joins))
            }
            RodChange::Grip { to } => (Some(self.grip.words().to_owned()), to.words().to_owned()),
            RodChange::Diameter { row, to } => {
                (row.and_then(|row| self.diameters.get(row)).map(diameter), diameter(to))
            }
            RodChange::Bore { part, to } => {
                let of = self.parts.get(*part);
                let name = of.map_or_else(String::new, |part| part.description.clone());
                let was = of.and_then(|part| part.bore.as_ref());
                let bore = |bore: &PartBore| format!("bore of “{name}”: {}", bore.shown());
                (was.map(bore), bore(to))
            }
            RodChange::Part { row, to } => {
                (row.and_then(|row| self.parts.get(row)).map(Part::shown), to.shown())
            }
            RodChange::Layout { to } => {
                (self.layout.as_ref().map(|layout| layout.words()), to.words())
            }
            RodChange::Cut { tip, butt } => {
                let length = |plan: &Self| format!("blank {} long", plan.length.text);
                let cut = self.changed(change).map_or_else(String::new, |plan| length(&plan));
                let words =
                    format!("{cut}: {} cut off the tip, {} off the butt", tip.text, butt.text);
                (Some(length(self)), words)
            }
        }
    }

    /// Takes so many mm off tip and butt. Parts keep their place from the butt, since they are put
    /// on after the cut.
    fn cut(&mut self, tip: f64, butt: f64) {
        if let Some(layout) = self.layout.as_mut().filter(|layout| !layout.test_hang.is_empty()) {
            // Its load test was done on the whole blank.
            let tested = layout.tested.get_or_insert_with(|| {
                Box::new(TestedBlank {
                    length: self.length.clone(),
                    joins: self.joins.clone(),
                    diameters: self.diameters.clone(),
                    off_tip: 0.0,
                    off_butt: 0.0,
                })
            });
            tested.off_tip += tip;
            tested.off_butt += butt;
        }
        let length = self.length.value - tip - butt;
        let moved = |reading: &Reading| {
            // To the hundredth of a millimetre: a saw is no finer.
            let value = ((reading.value - butt) * 100.0).round() / 100.0;
            Reading { text: format!("{value} mm"), value }
        };
        self.length = Reading { text: format!("{length:.1} mm"), value: length };
        let on_it = |at: f64| at >= 0.0 && at <= length;
        if butt > 0.0 {
            self.joins = self.joins.iter().map(moved).collect();
            for row in &mut self.diameters {
                row.from_butt = moved(&row.from_butt);
            }
        }
        self.joins.retain(|join| join.value > 0.0 && join.value < length);
        self.diameters.retain(|row| on_it(row.from_butt.value));
    }

    /// The part of this kind, if the rod has it.
    pub fn part(&self, kind: PartKind) -> Option<&Part> {
        self.parts.iter().find(|part| part.kind == kind)
    }
}

impl Part {
    /// As written, for screen and paper.
    pub fn shown(&self) -> String {
        let (from, to, diameter) = match &self.written {
            Some(PartWritten { from, to, diameter }) => {
                (from.clone(), to.clone(), diameter.clone())
            }
            None => (
                format!("{} mm", self.from_mm),
                format!("{} mm", self.to_mm),
                format!("{} mm", self.diameter_mm),
            ),
        };
        let thin = self
            .thinnest
            .as_ref()
            .map_or_else(String::new, |thin| format!(", {} where thinnest", thin.text));
        let bore =
            self.bore.as_ref().map_or_else(String::new, |bore| format!(", bore {}", bore.shown()));
        format!(
            "{} “{}” from {from} to {to}, {diameter} thick{thin}{bore}",
            self.kind.words(),
            self.description
        )
    }

    /// The part as the figures of the fit take it; `None` while its bore is not measured.
    pub fn fitted(&self) -> Option<Result<fit::Part, FitError>> {
        let bore = self.bore.as_ref()?;
        let (butt, length) = (millimetres(bore.butt.value), millimetres(self.to_mm - self.from_mm));
        let tip = bore.tip.as_ref().map_or(butt, |tip| millimetres(tip.value));
        let part = |bore| fit::Part {
            name: self.kind.words().to_owned(),
            bore,
            thinnest: millimetres(
                self.thinnest.as_ref().map_or(self.diameter_mm, |thin| thin.value),
            ),
            thickest: millimetres(self.diameter_mm),
            sits_at: millimetres(self.from_mm),
            comes_from: self.kind.comes_from(),
        };
        Some(Bore::tapered(butt, tip, length).map(part))
    }
}
