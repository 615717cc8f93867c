//! A rod: what the customer asked, the blank as measured, the parts.

use coldbench_trade::{Blank, BlankError, LengthUnit, Measured, units};
use serde::{Deserialize, Serialize};
use units::{Length, millimeter};

/// The kind of reel, which decides on which side the guides stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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

/// What the rear grip is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GripMaterial {
    /// Cork rings.
    Cork,
    /// EVA foam.
    Eva,
    /// Rigid composite core under a shrunk sleeve.
    Composite,
}

/// A part that is fitted to the blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Grip behind the reel (or the whole handle of a fly rod).
    RearGrip,
    /// Sleeve over the rear grip.
    Sleeve,
    /// Reel seat.
    ReelSeat,
    /// Grip before the reel.
    ForeGrip,
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
}

impl RodPlan {
    /// The blank, checked. `shown_in` is the unit for error texts.
    pub fn checked_blank(&self, shown_in: LengthUnit) -> Result<Blank, BlankError> {
        let mm = |value: f64| Length::new::<millimeter>(value);
        Blank::new(
            mm(self.length.value),
            self.joins.iter().map(|join| mm(join.value)).collect(),
            self.diameters
                .iter()
                .map(|row| Measured {
                    from_butt: mm(row.from_butt.value),
                    diameter: mm(row.diameter.value),
                })
                .collect(),
            shown_in,
        )
    }

    /// The part of this kind, if the rod has it.
    pub fn part(&self, kind: PartKind) -> Option<&Part> {
        self.parts.iter().find(|part| part.kind == kind)
    }
}
