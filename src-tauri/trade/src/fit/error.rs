//! Why a figure of the fit can't be given.

use super::{FitWarning, THICKEST_MM, THINNEST_MM, both, inch_slip, mm};
use crate::blank::Measured;
use uom::si::f64::Length;

/// Why a figure of the fit can't be given. No figure is given in its place. [`FitError::slip`] says
/// whether inches and millimetres may have been mixed up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// A length is zero, negative, infinite or no number.
    #[error("{what} must be more than zero. Measure it again.")]
    NotPositive {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// The length as given.
        given: Length,
    },
    /// A place is negative, infinite or no number.
    #[error("A place must be a distance of zero or more from the butt. Measure it again.")]
    BadPlace {
        /// The place as given.
        given: Length,
    },
    /// The bound of a caliper reading is zero or less, above 1 mm, or no number.
    #[error(
        "The error of a caliper reading must lie above zero and at most at 1 mm. Take it from the caliper's maker."
    )]
    Caliper {
        /// The bound as given.
        given: Length,
    },
    /// A diameter no rod blank has.
    #[error("{} is thicker than any rod blank. Check the unit.", both(*.diameter))]
    TooThick {
        /// The diameter as given.
        diameter: Length,
    },
    /// A place beyond the tip.
    #[error(
        "{} from the butt lies beyond the tip. The blank is {} long. Measure the place again.",
        both(*.at),
        both(*.length)
    )]
    BeyondTip {
        /// The place.
        at: Length,
        /// The length of the blank.
        length: Length,
    },
    /// A join that does not lie between butt and tip.
    #[error("A join must lie between butt and tip. Measure where the pieces meet.")]
    JoinOutside {
        /// The join as given.
        at: Length,
    },
    /// Fewer than two measured diameters.
    #[error("Measure the blank in at least two places: near the butt and near the tip.")]
    TooFew,
    /// Two different diameters for one place.
    #[error(
        "Two diameters are given at {} from the butt: {} and {}. Measure there again and keep one. At a join, measure a little to either side.",
        both(*.at),
        both(*.thicker),
        both(*.thinner)
    )]
    MeasuredTwice {
        /// The place.
        at: Length,
        /// The larger of the two.
        thicker: Length,
        /// The smaller of the two.
        thinner: Length,
    },
    /// The diameter grows towards the tip by more than the caliper explains, within one piece.
    #[error(
        "The diameter grows towards the tip, from {} to {} at {} from the butt. Measure again, or name the join if a ferrule lies between.",
        both(.before.diameter),
        both(.after.diameter),
        both(.after.from_butt)
    )]
    GrowsTowardsTip {
        /// The measurement nearer the butt.
        before: Measured,
        /// The measurement nearer the tip.
        after: Measured,
    },
    /// A place outside what was measured on this piece. Toward the butt the blank is at least as
    /// thick as `diameter`, toward the tip at most; nothing more is known.
    #[error(
        "Nothing was measured at {} from the butt: this piece was measured from {} to {}. Measure there or beyond.",
        both(*.at),
        both(*.from),
        both(*.to)
    )]
    NotMeasured {
        /// The place asked for.
        at: Length,
        /// The measured place nearest the butt on this piece.
        from: Length,
        /// The measured place nearest the tip on this piece.
        to: Length,
        /// The diameter at the nearer of the two.
        diameter: Length,
    },
    /// Nothing at all was measured on a piece.
    #[error(
        "No diameter was measured on the piece from {} to {}. Measure it in two places.",
        both(*.from),
        both(*.to)
    )]
    PieceNotMeasured {
        /// Where the piece begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// A diameter that was found nowhere.
    #[error(
        "The blank is {} nowhere between its measured places; there it runs from {} down to {}. Check the diameter and its unit.",
        both(*.diameter),
        both(*.thickest),
        both(*.thinnest)
    )]
    NoSuchDiameter {
        /// The diameter asked for.
        diameter: Length,
        /// The thickest measured.
        thickest: Length,
        /// The thinnest measured.
        thinnest: Length,
    },
    /// A part longer than the piece of the blank that it sits on.
    #[error(
        "The part is {} long, and the piece of the blank it sits on {}. Check the unit.",
        both(*.part),
        both(*.piece)
    )]
    PartTooLong {
        /// The length of the part.
        part: Length,
        /// The length of the piece.
        piece: Length,
    },
    /// A part that would reach past the end of its piece or over a join.
    #[error(
        "The part would reach from {} to {}, past an end of the piece of the blank it sits on ({} to {}). Move it, or take another piece.",
        both(*.from),
        both(*.to),
        both(*.piece_from),
        both(*.piece_to)
    )]
    OffThePiece {
        /// Where the part begins.
        from: Length,
        /// Where it ends.
        to: Length,
        /// Where the piece begins.
        piece_from: Length,
        /// Where it ends.
        piece_to: Length,
    },
    /// A bore as wide as the part, or wider.
    #[error(
        "The bore of {} leaves nothing of a part that is {} outside. Measure both again.",
        both(*.bore),
        both(*.outside)
    )]
    BoreThroughPart {
        /// The bore.
        bore: Length,
        /// The smallest outside diameter of the part.
        outside: Length,
    },
    /// A bore without a single length in it.
    #[error("The bore has no length. Enter its diameter and how long the part is.")]
    NoBore,
    /// A bore narrower than the blank where the part is to sit.
    #[error(
        "The bore of {} is narrower than the blank, {} at {} from the butt. Ream it first.",
        both(*.bore),
        both(*.blank),
        both(*.at)
    )]
    TooTight {
        /// Where.
        at: Length,
        /// The bore there.
        bore: Length,
        /// The blank there.
        blank: Length,
    },
    /// A bore narrower than the thinnest place that was measured: it can't be slid on from there.
    #[error(
        "A bore of {} won't slide on: the thinnest measured place is {}. Measure nearer the tip, or ream it first.",
        both(*.bore),
        both(*.thinnest)
    )]
    WontGoOn {
        /// The tightest bore.
        bore: Length,
        /// The diameter of the measured place nearest the tip.
        thinnest: Length,
    },
    /// A range of the glue line that is upside down, or not above zero.
    #[error("The glue line must have a least thickness above zero and a larger greatest one.")]
    BondLine,
    /// More stations than can be worked.
    #[error("A station every {} makes too many. Take a larger distance.", both(*.every))]
    TooManyStations {
        /// The distance as given.
        every: Length,
    },
    /// So many turns of tape that a thickness was mistaken.
    #[error("It would take more than {most} turns of tape. Use bushings, or check the thickness.")]
    TooManyTurns {
        /// The most that are counted.
        most: u32,
    },
    /// No bushing fits between blank and bore.
    #[error(
        "Between the blank of {} and the bore of {} there is no room for a bushing and two glue lines. Use tape, or bond it bare.",
        both(*.blank),
        both(*.bore)
    )]
    NoRoomForBushing {
        /// The blank at its thickest under the bushing.
        blank: Length,
        /// The bore over it.
        bore: Length,
    },
    /// Bushings that leave no room between them.
    #[error(
        "Bushings of {} with spaces for resin between them don't fit into {}. Take narrower ones, or allow longer spaces.",
        both(*.width),
        both(*.room)
    )]
    NoRoomBetween {
        /// The width of one bushing.
        width: Length,
        /// The length that they share.
        room: Length,
    },
    /// A set-back as long as the part.
    #[error("A set-back of {} leaves nothing of a part {} long.", both(*.back), both(*.part))]
    SetBack {
        /// The set-back.
        back: Length,
        /// The length of the part.
        part: Length,
    },
    /// No order lets every part get to its place.
    #[error(
        "There is no order in which these parts can all go on: {}. Change a bore, a place, or which end one comes from.",
        .names.join(", ")
    )]
    NoOrder {
        /// The parts that stand in each other's way.
        names: Vec<String>,
    },
}

impl FitError {
    /// Whether the lengths in this error would fit if inches and millimetres had been mixed up.
    pub fn slip(&self) -> Option<FitWarning> {
        let zero = mm(0.0);
        match *self {
            Self::TooThick { diameter } => inch_slip(diameter, mm(THINNEST_MM), mm(THICKEST_MM)),
            Self::BeyondTip { at, length } => inch_slip(at, zero, length),
            Self::NoSuchDiameter { diameter, thickest, thinnest } => {
                inch_slip(diameter, thinnest, thickest)
            }
            Self::PartTooLong { part, piece } => inch_slip(part, zero, piece),
            Self::BoreThroughPart { bore, outside } => inch_slip(bore, zero, outside),
            // A bore of inches read as millimetres is far too tight; of a few times the blank is
            // taken for one that would fit.
            Self::TooTight { bore, blank, .. } => inch_slip(bore, blank, blank * 4.0),
            Self::WontGoOn { bore, thinnest } => inch_slip(bore, thinnest, mm(THICKEST_MM)),
            Self::GrowsTowardsTip { before, after } => {
                inch_slip(after.diameter, before.diameter / 4.0, before.diameter)
                    .or_else(|| inch_slip(before.diameter, after.diameter, after.diameter * 4.0))
            }
            _ => None,
        }
    }
}
