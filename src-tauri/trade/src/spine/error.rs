//! Why a figure of the spine can't be given.

use super::{BENDING_CAUTION, ordinal, show, show_place};
use uom::si::f64::Angle;

/// Why a figure of the spine can't be given. No figure is given in its place. A trial or reading
/// counts from 0 in the order given; the text counts from 1.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SpineError {
    /// No trial at all.
    #[error(
        "{} There is no trial yet. Bend the blank, let it roll to rest, and enter where.",
        BENDING_CAUTION
    )]
    NoTrial,
    /// An angle is infinite or no number.
    #[error("The angle of trial {} is no number. Check what was entered.", ordinal(*.trial))]
    NotAnAngle {
        /// Which trial.
        trial: usize,
    },
    /// The step of the scale is not above zero, or above 30°.
    #[error(
        "The scale must be read to a step above zero and at most 30°. Enter the smallest step you can tell apart on it."
    )]
    Scale,
    /// A pair of jumps on a blank that was said to jump to one side.
    #[error(
        "Trial {} names two jumps, but the blank was said to jump to one side. Say that it jumps to two opposite sides, or enter one jump for each trial.",
        ordinal(*.trial)
    )]
    PairOnOneSide {
        /// Which trial.
        trial: usize,
    },
    /// The two jumps of a trial are not nearly opposite.
    #[error(
        "{} The two jumps of trial {}, {} and {}, are {} off from opposite. Read both again. If they stay so, they are no two ends of one axis: enter single jumps.",
        BENDING_CAUTION,
        ordinal(*.trial),
        show_place(*.first),
        show_place(*.second),
        show(*.off)
    )]
    NotOpposite {
        /// Which trial.
        trial: usize,
        /// One jump as given.
        first: Angle,
        /// The other.
        second: Angle,
        /// How far from opposite, 0 to 180°.
        off: Angle,
    },
    /// Butt and tip were read as different kinds.
    #[error(
        "The butt and the tip were not read alike: one as jumping to one side, the other to two. Enter both ends the same way."
    )]
    SidesDiffer,
    /// The distance between the two scales is not above zero, or more than 20 m.
    #[error(
        "The distance between the scales at butt and tip must be more than zero and at most 20 m. Measure it again."
    )]
    Between,
    /// A limit is not above zero, or above 45°.
    #[error("Each limit for judging a spine must lie above zero and at most at 45°.")]
    Limits,
    /// The directions cancel each other, so that there is no mean.
    #[error(
        "{} The trials cancel each other, so they have no middle. Roll the blank again, from other sides.",
        BENDING_CAUTION
    )]
    NoMean,
    /// Every trial reads the same, so that their spread says nothing.
    #[error(
        "All trials read the same angle, so their spread says nothing. Read the scale to a finer step, or go by the step."
    )]
    AllAlike,
    /// The trials scatter so much that the mean may lie anywhere.
    #[error(
        "{} The trials scatter so much that their middle may lie anywhere. Roll the blank again, from other sides.",
        BENDING_CAUTION
    )]
    TooScattered,
    /// A form that does not hold for so few trials.
    #[error("This form of the doubt takes {needs} trials or more, and there are {given}.")]
    FormNeeds {
        /// The fewest.
        needs: usize,
        /// As many as given.
        given: usize,
    },
    /// The other end was asked for of a spine that has only one.
    #[error("This blank jumps to one side only, so its spine has no other end to choose.")]
    OneSided,
    /// The straightest axis was chosen without saying why.
    #[error("Write why the straightest axis is taken and not the spine. The record shows it.")]
    NoReason,
    /// The angle of the natural curve is infinite or no number.
    #[error("The angle of the natural curve is no number. Check what was entered.")]
    NoCurve,
    /// A spiral wrap for a reel below the rod.
    #[error(
        "A spiral wrap takes the line from the top to the underside, so it needs a reel on top. For a spinning or fly reel the guides stay on the underside."
    )]
    NoSpiral,
    /// A deflection is not above zero or no number, or its direction is no number.
    #[error(
        "Reading {} needs an angle and a deflection of more than zero. Check what was entered.",
        ordinal(*.reading)
    )]
    BadReading {
        /// Which reading.
        reading: usize,
    },
    /// The error of a deflection reading is not above zero.
    #[error(
        "The error of a reading of the deflection must be more than zero. Take the smallest step you can tell apart."
    )]
    ReadingError,
    /// Fewer than three directions that differ, a half turn counting as none.
    #[error(
        "{} Deflections are needed in at least 3 directions that differ by 10° or more, and half a turn counts as none. There are {given}. Spread them evenly around the blank.",
        BENDING_CAUTION
    )]
    FewDirections {
        /// As many as differ.
        given: usize,
    },
    /// The fit makes the blank more than twice as stiff one way as another.
    #[error(
        "{} These deflections fit no blank: they would make it more than twice as stiff one way as another. Read each from where the blank rests without the load, in directions evenly spread around.",
        BENDING_CAUTION
    )]
    NoFit,
}
