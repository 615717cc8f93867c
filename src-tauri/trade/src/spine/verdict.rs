//! What the trials say, in words for the bench.

use super::{BENDING_CAUTION, NEEDED, Spine, Twist, ordinal, show};
use std::fmt;
use uom::si::angle::degree;
use uom::si::curvature::degree_per_meter;
use uom::si::f64::Angle;

/// Farther off than this, degrees, a stray trial lies nearly opposite the others.
const NEARLY_OPPOSITE: f64 = 150.0;

/// The end at which a trial was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReadAt {
    /// The butt end.
    Butt,
    /// The tip end.
    Tip,
}

impl fmt::Display for ReadAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Butt => "butt",
            Self::Tip => "tip",
        })
    }
}

/// An end with too few trials.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Short {
    /// Which end.
    pub end: ReadAt,
    /// As many as there are.
    pub given: usize,
    /// The fewest that can answer.
    pub needed: usize,
}

/// Why the trials give no spine yet. Its text is a sentence or two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trouble {
    /// One trial doesn't belong to the others.
    Stray {
        /// Which end.
        end: ReadAt,
        /// Which trial, counted from 0 in the order given.
        trial: usize,
        /// How far from the mean of the others; by sign.
        off: Angle,
    },
    /// The trials disagree.
    Scatter {
        /// Which end.
        end: ReadAt,
        /// Their angular deviation.
        deviation: Angle,
        /// The most it may be.
        limit: Angle,
    },
    /// They agree, yet they are too few for the middle to be known well enough.
    Doubtful {
        /// Which end.
        end: ReadAt,
        /// Half the width of the 95 % interval; None where it is the whole round.
        doubt: Option<Angle>,
        /// The most it may be.
        limit: Angle,
    },
    /// They agree within the limit, yet are so few that chance gives as much too often.
    Chance {
        /// Which end.
        end: ReadAt,
        /// How often trials without any preference agree so well, 0.05 to 1.
        p: f64,
    },
    /// Entered as jumping to one side, but they agree only as an axis.
    TwoSides {
        /// Which end.
        end: ReadAt,
    },
    /// At one end the trials point all ways, at the other they don't.
    AllWays {
        /// The end at which they do.
        end: ReadAt,
    },
    /// Butt and tip each have a spine, but not at the same angle.
    Twisted {
        /// How far apart.
        twist: Twist,
        /// The most it may be.
        limit: Angle,
    },
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Stray { end, trial, off } => {
                write!(
                    f,
                    "Trial {} at the {end} is {} off from the others. Do that trial again.",
                    ordinal(trial),
                    show(off.abs())
                )?;
                if off.abs().get::<degree>() > NEARLY_OPPOSITE {
                    f.write_str(
                        " It lies nearly opposite: if the blank jumps to two sides, enter it so.",
                    )?;
                }
                Ok(())
            }
            Self::Scatter { end, deviation, limit } => write!(
                f,
                "The trials at the {end} disagree: their angular deviation is {}, and up to {} would pass. Do them again on smooth supports, without steering, with the same small bend.",
                show(deviation),
                show(limit)
            ),
            Self::Doubtful { end, doubt: Some(doubt), limit } => write!(
                f,
                "The trials at the {end} agree, but their middle is known only to {} either way (95 %), and up to {} would pass. Do one or two more.",
                show(doubt),
                show(limit)
            ),
            Self::Doubtful { end, doubt: None, .. } => write!(
                f,
                "The trials at the {end} are too few for what they scatter: their middle may lie anywhere. Do more."
            ),
            Self::Chance { end, p } => write!(
                f,
                "The trials at the {end} are so few that chance alone would agree as well in {:.0} of 100 cases. Do more.",
                p * 100.0
            ),
            Self::TwoSides { end } => write!(
                f,
                "The trials at the {end} agree only if an angle and its opposite count as one. If the blank jumps to two opposite sides, enter it so. If not, do them again."
            ),
            Self::AllWays { end } => write!(
                f,
                "At the {end} the trials point all ways, and at the other end they do not. Do them again at both."
            ),
            Self::Twisted { twist, limit } => {
                write!(
                    f,
                    "The spine at the tip lies {} {} of that at the butt, and up to {} would pass.",
                    show(twist.by.abs()),
                    if twist.by.value < 0.0 { "short" } else { "ahead" },
                    show(limit)
                )?;
                if let Some(rate) = twist.per_length {
                    write!(f, " That is {:.1}° per metre.", rate.abs().get::<degree_per_meter>())?;
                }
                f.write_str(
                    " Check that both scales grow the same way and start from one line, then do the trials at both ends again. If it stays, the blank is twisted: ask its maker, or take the straightest axis.",
                )
            }
        }
    }
}

/// What the trials say. Its text is whole sentences; where it asks for another trial, the caution
/// stands first.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// The trials agree on a spine.
    Found(Spine),
    /// They don't agree; why, butt first. At least one reason.
    TryAgain(Vec<Trouble>),
    /// At every end that was read the trials point all ways, and there were enough to see a spine.
    NoSpine,
    /// Some end has too few trials to say anything.
    TooFew(Vec<Short>),
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Found(spine) => write!(f, "{spine}"),
            Self::TryAgain(troubles) => {
                write!(f, "{BENDING_CAUTION} No spine yet.")?;
                troubles.iter().try_for_each(|trouble| write!(f, " {trouble}"))
            }
            Self::NoSpine => f.write_str(
                "The trials point all ways, so they show no spine that could be told from chance. Take the straightest axis, and write why.",
            ),
            Self::TooFew(short) => {
                write!(f, "{BENDING_CAUTION} Too few trials.")?;
                short.iter().try_for_each(|Short { end, given, needed }| {
                    write!(
                        f,
                        " At the {end} there {} {given}, and it takes {needed} or more.",
                        if *given == 1 { "is" } else { "are" }
                    )
                })
            }
        }
    }
}

impl Short {
    /// If so many trials are too few.
    pub(super) fn of(end: ReadAt, given: usize) -> Option<Self> {
        (given < NEEDED).then_some(Self { end, given, needed: NEEDED })
    }
}
