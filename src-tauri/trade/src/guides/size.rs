//! Rings that narrow from the first guide to the tip, and the tube of the tip-top.

use super::{GuideError, Layout, mm, positive, zero_or_more};
use std::fmt;
use std::str::FromStr;
use uom::si::f64::{Length, Mass};
use uom::si::length::{inch, millimeter};
use uom::si::mass::gram;

/// Heaviest guide taken.
const HEAVIEST_G: f64 = 200.0;
/// Thinnest tip taken.
const THINNEST_TIP_MM: f64 = 0.5;
/// Narrowest and widest tube taken, in sixty-fourths of an inch. House bounds.
const LEAST_TUBE: u32 = 2;
const MOST_TUBE: u32 = 40;

/// A guide of one size, as the builder measured it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// What the size is called: about the diameter of the ring in millimetres. Common practice, no
    /// source, so nothing is computed from it.
    pub size: Length,
    /// Inside diameter.
    pub inside: Length,
    /// From the axis of the blank to the middle of the ring, more than half its inside.
    pub height: Length,
    /// What the guide weighs with its feet, zero to 200 g.
    pub mass: Mass,
}

impl Ring {
    /// Checks lengths and mass.
    pub fn check(&self) -> Result<(), GuideError> {
        positive("The size of a ring", self.size)?;
        positive("The inside of a ring", self.inside)?;
        positive("The height of a ring", self.height)?;
        if self.height <= self.inside / 2.0 {
            return Err(GuideError::RingInBlank { inside: self.inside, height: self.height });
        }
        if (0.0..=HEAVIEST_G).contains(&self.mass.get::<gram>()) {
            Ok(())
        } else {
            Err(GuideError::Weight { given: self.mass })
        }
    }

    /// Whether a knot that is `knot` across (above zero) passes.
    pub fn passes(&self, knot: Length) -> Result<(), GuideError> {
        positive("The knot", knot)?;
        if self.inside >= knot {
            Ok(())
        } else {
            Err(GuideError::RingSmallerThanKnot { inside: self.inside, knot })
        }
    }
}

/// The narrowest ring at hand that lets a knot through that is `knot` across (above zero): measure
/// the leader knot with a caliper and add what it needs to run freely.
pub fn smallest_that_passes(at_hand: &[Ring], knot: Length) -> Result<Ring, GuideError> {
    positive("The knot", knot)?;
    at_hand.iter().try_for_each(Ring::check)?;
    let widest = widest(at_hand).ok_or(GuideError::NoRings)?;
    narrowest_of(at_hand.iter().filter(|ring| ring.inside >= knot))
        .ok_or(GuideError::NoRingPasses { knot, widest })
}

/// A ring for each guide, from the tip: the running guides have the narrowest that passes the knot,
/// and over the last `narrowing` guides before the reel (1 up to all; the first guide counts) rings
/// narrow from the first ring to them.
///
/// The line's cone is taken as straight from the inside of the first ring to that of the first
/// running guide, or to the tip where every guide narrows. Each ring between is the narrowest at
/// hand that doesn't pinch it. The cone is geometry; that rings narrow so is common practice, no
/// source. Heights are not looked at.
pub fn reduction(
    layout: &Layout,
    at_hand: &[Ring],
    first: &Ring,
    knot: Length,
    narrowing: usize,
) -> Result<Vec<Ring>, GuideError> {
    first.check()?;
    first.passes(knot)?;
    let running = smallest_that_passes(at_hand, knot)?;
    if first.inside < running.inside {
        return Err(GuideError::FirstRingSmaller { first: first.inside, running: running.inside });
    }
    let count = layout.count();
    if narrowing == 0 || narrowing > count {
        return Err(GuideError::Narrowing { given: narrowing, count });
    }
    let level = count - narrowing;
    let narrow_end = if level == 0 { mm(0.0) } else { layout.from_tip()[level - 1] };
    let long = layout.reach() - narrow_end;
    let ring_at = |(index, &at): (usize, &Length)| {
        if index < level {
            return running;
        }
        if index + 1 == count {
            return *first;
        }
        let cone = running.inside + (first.inside - running.inside) * ((at - narrow_end) / long);
        // A hair, so that a ring of just that inside is not lost to rounding.
        let clears = |ring: &&Ring| ring.inside >= cone - mm(1e-9) && ring.inside <= first.inside;
        narrowest_of(at_hand.iter().filter(clears)).unwrap_or(*first)
    };
    Ok(layout.from_tip().iter().enumerate().map(ring_at).collect())
}

fn narrowest_of<'a>(rings: impl Iterator<Item = &'a Ring>) -> Option<Ring> {
    rings.copied().reduce(|best, ring| if ring.inside < best.inside { ring } else { best })
}

fn widest(rings: &[Ring]) -> Option<Length> {
    rings.iter().map(|ring| ring.inside).reduce(Length::max)
}

/// The inside diameter of a tip-top's tube in sixty-fourths of an inch; half sizes exist. Common
/// practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TubeSize {
    /// In half sizes, so that it is whole.
    halves: u32,
}

impl TubeSize {
    /// Inside diameter: size / 64 in, with the inch of 25.4 mm exactly (international yard and
    /// pound agreement of 1959).
    pub fn inside(self) -> Length {
        Length::new::<inch>(f64::from(self.halves) / 128.0)
    }
}

impl fmt::Display for TubeSize {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = if self.halves.is_multiple_of(2) { "" } else { ".5" };
        write!(out, "{}{half}", self.halves / 2)
    }
}

impl FromStr for TubeSize {
    type Err = GuideError;

    /// Reads `4.5` or `5`: sixty-fourths of an inch, 2 to 40.
    fn from_str(text: &str) -> Result<Self, GuideError> {
        let size: Option<f64> = text.trim().replace(',', ".").parse().ok();
        let known =
            |halves: &u32| size.is_some_and(|size| (size * 2.0 - f64::from(*halves)).abs() < 1e-9);
        (LEAST_TUBE * 2..=MOST_TUBE * 2)
            .find(known)
            .map(|halves| Self { halves })
            .ok_or_else(|| GuideError::TubeText { text: text.to_owned() })
    }
}

/// A tube on a tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeFit {
    /// The tube.
    pub size: TubeSize,
    /// What is left between tube and tip, per side.
    pub gap: Length,
}

impl TubeFit {
    /// The smallest tube that slides over a tip of diameter `tip` (0.5 mm and up) and leaves at
    /// least `gap` per side (zero or more) for the adhesive; of whole sizes only where `half_sizes`
    /// are not at hand. Measure the tip where the open end of the tube will sit, it is thickest
    /// there.
    pub fn smallest(tip: Length, gap: Length, half_sizes: bool) -> Result<Self, GuideError> {
        positive("The diameter of the tip", tip)?;
        if !zero_or_more(gap) {
            return Err(GuideError::Negative { what: "The gap in the tube", given: gap });
        }
        let none = GuideError::NoTube { tip, gap, least: LEAST_TUBE, most: MOST_TUBE };
        if tip.get::<millimeter>() < THINNEST_TIP_MM {
            return Err(none);
        }
        // A hair, so that a tip of just that size is not lost to rounding.
        let needed = tip + gap * 2.0 - mm(1e-9);
        let step = if half_sizes { 1 } else { 2 };
        (LEAST_TUBE * 2..=MOST_TUBE * 2)
            .step_by(step)
            .map(|halves| TubeSize { halves })
            .find(|size| size.inside() >= needed)
            .map(|size| Self { size, gap: (size.inside() - tip) / 2.0 })
            .ok_or(none)
    }
}
