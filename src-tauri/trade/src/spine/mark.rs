//! The mark to draw, and the side on which the guides stand.
//!
//! Which side that is, is the workshop's choice: common practice, no source, for all of it.

use super::{Sides, Spine, SpineError, degrees, is_angle, show_place, wrap};
use std::fmt;
use uom::si::angle::degree;
use uom::si::f64::Angle;

/// The kind of reel, which decides where the guides stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reel {
    /// Open-face reel below the rod.
    Spinning,
    /// Low-profile reel above the rod.
    Casting,
    /// Round multiplier above the rod.
    Conventional,
    /// Fly reel below the rod.
    Fly,
}

/// How the guides run along the rod.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GuideRun {
    /// All on one side.
    Straight,
    /// Round the blank from the top at the reel to the underside at the tip.
    Spiral,
}

/// A side of the rod as it is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RodSide {
    /// Towards the sky.
    Top,
    /// Towards the water.
    Underside,
}

impl fmt::Display for RodSide {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Top => "on top",
            Self::Underside => "on the underside",
        })
    }
}

/// The sides of the first guide, nearest the reel, and of the last. A reel on top has its guides on
/// top, one below has them below; a spiral wrap takes them from the top to the underside, and is
/// for reels on top only. Common practice, no source.
pub fn guide_sides(reel: Reel, run: GuideRun) -> Result<(RodSide, RodSide), SpineError> {
    match (reel, run) {
        (Reel::Casting | Reel::Conventional, GuideRun::Straight) => {
            Ok((RodSide::Top, RodSide::Top))
        }
        (Reel::Casting | Reel::Conventional, GuideRun::Spiral) => {
            Ok((RodSide::Top, RodSide::Underside))
        }
        (Reel::Spinning | Reel::Fly, GuideRun::Straight) => {
            Ok((RodSide::Underside, RodSide::Underside))
        }
        (Reel::Spinning | Reel::Fly, GuideRun::Spiral) => Err(SpineError::NoSpiral),
    }
}

/// The line along the blank that is to be the top of the rod, and why. Its text is what a record
/// prints.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    at: Angle,
    why: Why,
}

#[derive(Debug, Clone, PartialEq)]
enum Why {
    Spine { spine: Spine, other_end: bool },
    Straightest { reason: String },
}

impl Axis {
    /// The spine; of an axis the end at 0 up to 180°.
    pub fn spine(spine: Spine) -> Self {
        Self { at: spine.at(), why: Why::Spine { spine, other_end: false } }
    }

    /// The other end of a spine that has two. By the theory both bend alike.
    pub fn other_end(spine: Spine) -> Result<Self, SpineError> {
        match spine.sides() {
            Sides::One => Err(SpineError::OneSided),
            Sides::Two => {
                Ok(Self { at: spine.opposite(), why: Why::Spine { spine, other_end: true } })
            }
        }
    }

    /// The straightest axis in place of the spine: the inside of the natural curve (the hollow side
    /// of the bow) on top, so that the guides' weight draws the tip down and straight. Any finite
    /// angle, and a reason with something in it. Common practice, no source.
    pub fn straightest(inside_of_curve: Angle, reason: &str) -> Result<Self, SpineError> {
        if !is_angle(inside_of_curve) {
            return Err(SpineError::NoCurve);
        }
        let reason = reason.trim();
        if reason.is_empty() {
            return Err(SpineError::NoReason);
        }
        let at = degrees(wrap(inside_of_curve.get::<degree>(), 360.0));
        Ok(Self { at, why: Why::Straightest { reason: reason.to_owned() } })
    }

    /// Where the mark goes, 0 up to 360°.
    pub fn at(&self) -> Angle {
        self.at
    }

    /// Whether it is the spine, and not the straightest axis.
    pub fn is_spine(&self) -> bool {
        matches!(self.why, Why::Spine { .. })
    }

    /// Why the straightest axis was chosen; None for the spine.
    pub fn reason(&self) -> Option<&str> {
        match &self.why {
            Why::Spine { .. } => None,
            Why::Straightest { reason } => Some(reason),
        }
    }
}

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.why {
            Why::Spine { spine, other_end } => {
                write!(f, "Marked on the spine. {spine}")?;
                if *other_end {
                    write!(f, " Its end at {} was taken.", show_place(self.at))?;
                }
                Ok(())
            }
            Why::Straightest { reason } => write!(
                f,
                "Marked on the straightest axis, not on the spine: the inside of the natural curve is at {}. Reason: “{reason}”.",
                show_place(self.at)
            ),
        }
    }
}

/// Where a guide stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideStand {
    /// The side of the rod.
    pub side: RodSide,
    /// The angle on the blank's scale, 0 up to 360°.
    pub at: Angle,
}

/// What to draw on the blank. Its text is what a record prints.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// The line that was chosen, and why: the top of the rod.
    pub axis: Axis,
    /// Where to draw it, 0 up to 360°.
    pub at: Angle,
    /// The opposite side: the underside of the rod.
    pub opposite: Angle,
    /// The guide nearest the reel.
    pub first: GuideStand,
    /// The guide nearest the tip.
    pub last: GuideStand,
}

/// The mark for a chosen axis: the axis is the top of the rod, so guides on top stand on it and
/// guides below stand opposite. An error for a spiral wrap with a reel below the rod. Common
/// practice, no source.
pub fn mark(axis: &Axis, reel: Reel, run: GuideRun) -> Result<Mark, SpineError> {
    let (first, last) = guide_sides(reel, run)?;
    let at = axis.at();
    let opposite = degrees(wrap(at.get::<degree>() + 180.0, 360.0));
    let stand = |side| GuideStand {
        side,
        at: match side {
            RodSide::Top => at,
            RodSide::Underside => opposite,
        },
    };
    Ok(Mark { axis: axis.clone(), at, opposite, first: stand(first), last: stand(last) })
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} Top of the rod at {}, underside at {}. ",
            self.axis,
            show_place(self.at),
            show_place(self.opposite)
        )?;
        let (first, last) = (self.first, self.last);
        if first == last {
            write!(f, "The guides stand {}, at {}.", first.side, show_place(first.at))
        } else {
            write!(
                f,
                "The first guide stands {}, at {}; the last {}, at {}.",
                first.side,
                show_place(first.at),
                last.side,
                show_place(last.at)
            )
        }
    }
}
