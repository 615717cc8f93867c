//! Guides on a rod: how many, where, how large, on which side, and what a load does to them.
//!
//! Every list runs from the tip to the butt: guide 1 is the one next to the tip-top, the last is
//! the first guide the line meets after the reel. A place is a distance from the tip, where it is
//! not said otherwise; the tip is the middle of the tip-top's ring. The height of a ring is that of
//! its middle over the axis of the blank.
//!
//! Little of this has a published source. What follows from geometry says so, what is common
//! practice says so and comes as a [`Suggestion`].
//!
//! A rod under a test load can break and fly, and so can the weight and the line: the step that
//! shows a figure carries that caution before it, and what the maker of the blank says goes before
//! both.

mod error;
mod first;
mod improve;
mod layout;
mod load;
mod size;
mod spacing;
mod spiral;

#[cfg(test)]
mod tests;

pub use error::GuideError;
pub use first::{LevelWind, SpoolLine, stripping_guide};
pub use improve::{Ended, Improved, Shortcoming};
pub use layout::{Layout, Room};
pub use load::{
    GuideRow, GuideWeight, LoadTest, Sits, UnderLoad, improve, under_load, weight_of_guides,
};
pub use size::{Ring, TubeFit, TubeSize, reduction, smallest_that_passes};
pub use spacing::{
    Grows, Growth, Spacing, progressive, suggested_count, tip_gap_for, usual_tip_gap,
    with_greatest_ratio,
};
pub use spiral::{Side, SpanClearance, Spiral};

use crate::length::{LengthUnit, show_length};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Places closer than this are one place: the same mark written in inches and in millimetres.
const SAME_PLACE_MM: f64 = 1e-3;
/// Most guides on one rod; beyond it a number was mistaken.
const MOST_GUIDES: usize = 60;

/// What is commonly done where nothing can be computed. The builder sets their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suggestion<T> {
    /// What is suggested.
    pub value: T,
    /// Why, and on what footing, as a sentence to show beside it.
    pub why: &'static str,
}

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
fn positive(what: &'static str, length: Length) -> Result<Length, GuideError> {
    if above_zero(length) {
        Ok(length)
    } else {
        Err(GuideError::NotPositive { what, given: length })
    }
}

/// The angle in degrees, or why it is none.
fn within(what: &'static str, angle: Angle, least: f64, most: f64) -> Result<f64, GuideError> {
    let degrees = angle.get::<degree>();
    if (least..=most).contains(&degrees) {
        Ok(degrees)
    } else {
        Err(GuideError::AngleOutside { what, least, most, given: angle })
    }
}

/// A length in both units, since who reads the sentence may use either.
fn both(length: Length) -> String {
    format!(
        "{} ({})",
        show_length(length, LengthUnit::Millimetre),
        show_length(length, LengthUnit::Inch)
    )
}

/// Where a function with one peak between `from` and `to` is highest, and how high, by golden
/// section; the ends count. The height is good to rounding, the place to its square root.
fn peak(from: f64, to: f64, height: impl Fn(f64) -> f64) -> (f64, f64) {
    /// Each step leaves 0.618 of the stretch: after 80 it is 2e-17 of it.
    const STEPS: u32 = 80;
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (from, to);
    let (mut left, mut right) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_left, mut at_right) = (height(left), height(right));
    for _ in 0..STEPS {
        if at_left >= at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - golden * (high - low);
            at_left = height(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + golden * (high - low);
            at_right = height(right);
        }
    }
    [(from, height(from)), (to, height(to)), (right, at_right)]
        .into_iter()
        .fold((left, at_left), |best, here| if here.1 > best.1 { here } else { best })
}
