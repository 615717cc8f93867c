//! The spine of a blank: the side to which it jumps when it is bent and rolled.
//!
//! A blank bent too far breaks and throws splinters: [`BENDING_CAUTION`] goes before every trial, and
//! the maker's data sheet goes before both.
//!
//! Angles are read on a scale round the blank, from the builder's mark; any number of turns, either
//! way. Both ends are read the same way round, seen from the butt, from marks on one line along the
//! blank. Which side is read (the one on top at rest, say) is the builder's, the same one in every
//! trial.
//!
//! Theory of unsymmetrical bending gives a blank two stiffnesses that repeat every half turn, so one
//! without a bow jumps to two opposite sides: that is an axis, and its angles are doubled before they
//! are averaged. A bow makes one of the two win. Trials are taken as independent of each other:
//! turn the blank on between them.
//!
//! A spine is never claimed from doubt: what is not clear says so and asks for more trials.

mod circular;
mod doubt;
mod error;
mod judge;
mod mark;
mod outlier;
mod stiffness;
mod student;
mod trials;
mod verdict;

#[cfg(test)]
mod tests;

pub use circular::{Circular, Rayleigh};
pub use doubt::DoubtForm;
pub use error::SpineError;
pub use judge::{
    AtEnd, Judged, LeftOut, Readings, Spine, SpineLimits, Twist, judge, judge_done_again,
};
pub use mark::{Axis, GuideRun, GuideStand, Mark, Reel, RodSide, guide_sides, mark};
pub use outlier::{Outlier, outliers};
pub use stiffness::{Deflection, StiffAxes, Stiffness, stiffness};
pub use trials::{Jump, Sides, Trials};
pub use verdict::{ReadAt, Short, Trouble, Verdict};

use uom::si::angle::{degree, radian};
use uom::si::f64::Angle;

/// Stands before every trial and before whatever asks for one.
pub const BENDING_CAUTION: &str = "A blank bent too far breaks and throws splinters into eyes and skin. Wear eye protection, bend it gently, and go by its maker's data sheet first.";

/// The share of wrong alarms that a test is let have: convention.
const SIGNIFICANCE: f64 = 0.05;
/// Quantile of the chi-squared distribution with one degree of freedom at 95 % (any table).
const CHI_SQUARED: f64 = 3.841_458_820_694_124;
/// Trials below this give no answer: with two, no agreement is beyond chance at 5 %.
const NEEDED: usize = 3;

fn degrees(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn radians(value: f64) -> Angle {
    Angle::new::<radian>(value)
}

/// Whether an angle is one: not infinite in degrees either.
fn is_angle(angle: Angle) -> bool {
    angle.get::<degree>().is_finite()
}

/// Into 0 up to `turn`, both in one unit. Rounding must not give the whole turn.
fn wrap(value: f64, turn: f64) -> f64 {
    let wrapped = value.rem_euclid(turn);
    if wrapped < turn { wrapped } else { 0.0 }
}

/// The shortest way round: -`turn`/2 up to `turn`/2.
fn shortest(value: f64, turn: f64) -> f64 {
    wrap(value + turn / 2.0, turn) - turn / 2.0
}

/// The size of an angle in degrees, to a tenth.
fn show(angle: Angle) -> String {
    let tenths = (angle.get::<degree>() * 10.0).round() / 10.0;
    // Adding zero turns -0 into 0.
    format!("{}°", tenths + 0.0)
}

/// A place on the scale, in degrees to a tenth, 0 up to 360.
fn show_place(angle: Angle) -> String {
    show(degrees(wrap((angle.get::<degree>() * 10.0).round() / 10.0, 360.0)))
}

/// A trial as a builder counts it.
fn ordinal(trial: usize) -> usize {
    trial + 1
}
