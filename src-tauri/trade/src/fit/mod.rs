//! How parts fit a blank: its taper between measurements, where a bored part stops, what to ream,
//! the glue line along it, the order in which parts go on, and the build-up under a reel seat.
//!
//! Every place is a distance from the butt end of the assembled blank; a part's place is that of
//! its own butt end. A gap is per side: half the difference of two diameters. What is called a
//! bound adds up as a worst case, it is no standard deviation.
//!
//! Reaming, sanding and roughening make dust and use blades: the step that shows a figure carries
//! that caution before it, and the product's safety data sheet goes before both.

mod bond;
mod bore;
mod error;
mod order;
mod ream;
mod seat;
mod stop;
mod taper;
mod warning;

#[cfg(test)]
mod tests;

pub use bond::{BondLine, Gap, GlueLine, glue_line};
pub use bore::{Bore, BoreStep, End, Part};
pub use error::FitError;
pub use order::{Before, Conflict, before, conflicts, working_order};
pub use ream::{Ream, ReamStation, ReamStep, ream};
pub use seat::{
    Bushing, BushingPlan, Bushings, Looseness, Pocket, Roughening, TapeBuildUp, bushings,
    looseness, roughening, tape_turns,
};
pub use stop::{Held, Stop, stop};
pub use taper::{Diameter, Place, Section, Taper};
pub use warning::{FitWarning, inch_slip, reading_slips};

use crate::length::{LengthUnit, show_length};
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;

/// Places closer than this are one place: the same mark written in inches and in millimetres.
const SAME_PLACE_MM: f64 = 1e-3;
/// Thickest outside diameter taken for a blank, as in [`crate::Blank`].
const THICKEST_MM: f64 = 60.0;
/// Thinnest diameter to which a reading is taken to have slipped.
const THINNEST_MM: f64 = 0.5;
/// Most stations in one schedule; a shorter step was a slip.
const MOST_STATIONS: u32 = 10_000;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn above_zero(length: Length) -> bool {
    length.value > 0.0 && length.is_finite()
}

fn zero_or_more(length: Length) -> bool {
    length.value >= 0.0 && length.is_finite()
}

/// The length, or why it is none.
fn positive(what: &'static str, length: Length) -> Result<Length, FitError> {
    if above_zero(length) { Ok(length) } else { Err(FitError::NotPositive { what, given: length }) }
}

/// A length in both units, since who reads the sentence may use either.
fn both(length: Length) -> String {
    format!(
        "{} ({})",
        show_length(length, LengthUnit::Millimetre),
        show_length(length, LengthUnit::Inch)
    )
}

/// Volume of a frustum of a cone with these end diameters: `pi L / 12 (D1² + D1 D2 + D2²)`
/// (textbook mensuration).
fn frustum(one_end: Length, other_end: Length, length: Length) -> Volume {
    (one_end * one_end + one_end * other_end + other_end * other_end)
        * length
        * (std::f64::consts::PI / 12.0)
}

/// Offsets 0, `every`, 2 `every` ... and `length` itself.
fn stations(length: Length, every: Length) -> Result<Vec<Length>, FitError> {
    positive("The distance between stations", every)?;
    let mut found = Vec::new();
    for count in 0..MOST_STATIONS {
        let offset = every * f64::from(count);
        if offset >= length - mm(SAME_PLACE_MM) {
            found.push(length);
            return Ok(found);
        }
        found.push(offset);
    }
    Err(FitError::TooManyStations { every })
}
