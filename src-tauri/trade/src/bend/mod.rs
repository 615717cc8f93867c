//! The bend of a blank under load: the curve, the line through the guides, a load test turned
//! round, what a trim does, and the lowest frequency.
//!
//! The blank is an inextensible Euler-Bernoulli rod, straight when unloaded, held fast at its butt
//! and bent in one plane. It neither shears, twists nor buckles sideways here; a rod with its guides
//! on top may twist over, and no figure tells it. A cut through the blank stays round: where a thin
//! wall would be squeezed flat, the rod is softer than the figure and may break.
//!
//! A blank under load can break and fly, and so can the weight and the line: the step that shows a
//! figure carries that caution before it. No figure here is a breaking load.
//!
//! Frame: x points away from the butt along the floor, y points down, and every angle is counted
//! from x towards y. A rod held level with a weight on its tip has the butt at 0° and the load at
//! 90°. A height off the axis is positive on the side towards y of a level rod: the side that such
//! a load squeezes, where the guides of a spinning rod sit. Guides on top have negative heights.
//! Every place is a distance from the butt end along the blank.

mod clearance;
mod curve;
mod error;
mod fit;
mod frequency;
mod inner;
mod line;
mod load;
mod mesh;
mod profile;
mod rod;
mod solve;
mod spans;
mod static_test;
mod stiffness;
#[cfg(test)]
mod tests;
mod trim;
mod warning;

pub use curve::{Curve, CurvePoint, Reaction};
pub use error::BendError;
pub use fit::{FittedStiffness, Unknowns, fit_stiffness};
pub use frequency::lowest_frequency;
pub use line::{GuideLoad, LinePath, LineSpan};
pub use load::{
    Friction, Guide, LineLoad, Loads, PointLoad, PointMass, Reel, Running, TipLoad, weight,
};
pub use solve::{STATIONS, solve, solve_at};
pub use static_test::{Comparison, Deviation, LoadTest, Mark, compare};
pub use stiffness::{Join, Modulus, Rigidity, Stiffness, Tube, Wall};
pub use trim::{Cut, TipTube, TrimEffect, Trimmed, trim};
pub use warning::BendWarning;

use crate::length::{LengthUnit, show_length};
use uom::si::f64::Length;
use uom::si::length::meter;

/// Places closer than this are one place, m.
const SAME_PLACE: f64 = 1e-6;
/// Standard acceleration of free fall, m/s² (General Conference on Weights and Measures, 1901).
const GRAVITY: f64 = 9.806_65;

/// A vector in the plane of the bend, x and y.
type Plane = [f64; 2];

fn cross(a: Plane, b: Plane) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn dot(a: Plane, b: Plane) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// A length in both units, since who reads the sentence may use either.
fn both(length: Length) -> String {
    format!(
        "{} ({})",
        show_length(length, LengthUnit::Millimetre),
        show_length(length, LengthUnit::Inch)
    )
}
