//! Why a figure of the bend can't be given.

use super::both;
use uom::si::f64::{Length, Ratio};
use uom::si::ratio::percent;

/// Why a figure of the bend can't be given. No figure is given in its place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BendError {
    /// The length of the blank is zero, negative, above 20 m or no number.
    #[error("The blank must be longer than zero and at most 20 m. Measure it again.")]
    BlankLength,
    /// Fewer than two measured diameters.
    #[error("Measure the blank in at least two places: near the butt and near the tip.")]
    TooFew,
    /// A diameter is zero, negative, above 60 mm or no number.
    #[error("The diameter at {} from the butt must lie above zero and at most at 60 mm. Measure it again, and check the unit.", both(*.at))]
    Diameter {
        /// Where it was measured.
        at: Length,
    },
    /// A place is negative, beyond the tip or no number.
    #[error("{what} must lie between the butt and the tip at {}. Measure the place again.", both(*.length))]
    OffTheBlank {
        /// What lies there, as the beginning of a sentence.
        what: &'static str,
        /// The length of the blank.
        length: Length,
    },
    /// Readings for one place, or not from butt to tip.
    #[error(
        "{what} must be given from butt to tip, each farther from the butt than the one before."
    )]
    NotInOrder {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
    },
    /// Nothing at all was measured on a piece.
    #[error("No diameter was measured on the piece from {} to {}. Measure it in two places.", both(*.from), both(*.to))]
    PieceNotMeasured {
        /// Where the piece begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// A wall is zero, negative or no number.
    #[error(
        "The wall must be more than zero everywhere. Measure it at the butt end, or say that the blank is solid."
    )]
    NoWall,
    /// A wall thicker than half the diameter.
    #[error("At {} from the butt the wall of {} is more than half of the diameter of {}. Measure both again.", both(*.at), both(*.wall), both(*.diameter))]
    WallTooThick {
        /// Where.
        at: Length,
        /// The wall there.
        wall: Length,
        /// The outside diameter there.
        diameter: Length,
    },
    /// A modulus outside 1 to 1000 gigapascals.
    #[error(
        "The modulus must lie between 1 and 1000 GPa: glass is near 40, carbon between 60 and 180. Check the unit."
    )]
    Modulus,
    /// A density outside 0.1 to 20 g/cm³.
    #[error(
        "The density must lie between 0.1 and 20 g/cm³: glass is near 1.9, carbon near 1.6. Check the unit."
    )]
    Density,
    /// A weight of the blank, or a mass on it, that is negative, too large or no number.
    #[error("{what} must be a mass of zero or more, and at most 20 kg. Weigh it again.")]
    Mass {
        /// What was weighed, as the beginning of a sentence.
        what: &'static str,
    },
    /// Own weight or frequency asked for without a mass of the blank.
    #[error("What the blank weighs is not known. Weigh it, or give its density.")]
    MassUnknown,
    /// A ferrule whose stretch does not hold its join, or overlaps the next.
    #[error(
        "The ferrule must reach from the butt side of its join to the tip side, and end before the next begins. Measure both ends."
    )]
    Ferrule,
    /// A factor outside 0.1 to 10.
    #[error("The stiffness of a ferrule must be 0.1 to 10 times that of the blank.")]
    Factor,
    /// A load is negative or no number.
    #[error("{what} must be a force of zero or more. Turn its direction round instead.")]
    Force {
        /// Which, as the beginning of a sentence.
        what: &'static str,
    },
    /// A direction is missing or no number.
    #[error("{what} needs a direction: an angle from level, turning down, between -360° and 360°.")]
    NoDirection {
        /// Which, as the beginning of a sentence.
        what: &'static str,
    },
    /// A height off the axis above 500 mm or no number.
    #[error(
        "{what} must stand at most 500 mm off the axis of the blank. Measure from the middle of the blank to the line."
    )]
    Height {
        /// Which, as the beginning of a sentence.
        what: &'static str,
    },
    /// A line without a guide.
    #[error("The line needs at least one guide: the one at the tip.")]
    NoGuides,
    /// The reel does not sit behind the first guide.
    #[error("The reel must sit nearer the butt than the first guide.")]
    ReelPlace,
    /// A friction outside 0 to 1.
    #[error("The friction of line on a ring must lie between 0 and 1; ceramic rings are near 0.1.")]
    Friction,
    /// A cut that is negative, leaves nothing, or is no number.
    #[error("The cuts must be zero or more, and together shorter than the blank of {}. Measure them again.", both(*.length))]
    TrimTooLong {
        /// The length of the blank.
        length: Length,
    },
    /// Fewer readings than needed.
    #[error("Read at least {least} marks under load, away from the butt and from each other.")]
    TooFewMarks {
        /// How many are needed.
        least: usize,
    },
    /// A reading that no rod gives, or no number.
    #[error("The reading at the mark {} from the butt does not fit this blank. Measure it again, and check the unit.", both(*.at))]
    Mark {
        /// The mark.
        at: Length,
    },
    /// The readings don't lead to a stiffness.
    #[error(
        "No stiffness between a hundredth and a hundred times that of the diameters explains these readings. Check the load, the marks and the units."
    )]
    MarksTellNothing,
    /// A standard error of a reading outside 0 to 100 mm.
    #[error("The error of one reading must lie above zero and at most at 100 mm.")]
    Reading,
    /// A tolerance that is negative or no number.
    #[error("The tolerance must be zero or more.")]
    Tolerance,
    /// A number of stations outside 4 to 2000.
    #[error("The curve can be worked out at 4 to 2000 stations.")]
    Stations,
    /// The rod gives way or bends too sharply before the whole load is on.
    #[error("This rod can't be worked out under the whole load: the figure ends at {:.1} % of it. Take a smaller load, or check the diameters, the wall and the modulus.", .share.get::<percent>())]
    TooGreat {
        /// How much of all loads together it bears in the figure.
        share: Ratio,
    },
}
