//! What a builder is told beside a figure.

use super::both;
use std::fmt;
use uom::si::f64::Length;

/// What a builder is told beside a figure. Its text is a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BendWarning {
    /// Nothing was measured on a stretch: the nearest reading of the piece stands for it.
    Unmeasured {
        /// What was not measured, as the beginning of a sentence.
        what: &'static str,
        /// Where the stretch begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// The line would touch the blank. Contact is not worked out, so the curve is not that of the
    /// rod that touches.
    LineTouches {
        /// The guide or reel nearer the butt.
        from: Length,
        /// The guide nearer the tip.
        to: Length,
        /// Where on the blank.
        at: Length,
        /// How far the line would lie inside the blank.
        inside: Length,
    },
    /// The marks of a load test can't tell how the stiffness is shared between butt and tip.
    TaperNotTold,
}

impl fmt::Display for BendWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Unmeasured { what, from, to } => write!(
                f,
                "{what} was not measured from {} to {}; the nearest reading is taken. Measure there.",
                both(from),
                both(to)
            ),
            Self::LineTouches { from, to, at, inside } => write!(
                f,
                "Between {} and {} the line would lie on the blank at {}, {} deep. Move a guide, add one, or take a higher one.",
                both(from),
                both(to),
                both(at),
                both(inside)
            ),
            Self::TaperNotTold => f.write_str(
                "These marks can't tell whether butt or tip is the stiffer than its diameters say, so one factor is fitted to the whole blank. Read more marks: one near the middle, one near the tip.",
            ),
        }
    }
}
