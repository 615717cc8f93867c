//! Why a figure of the guides can't be given.

use super::both;
use crate::bend::BendError;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length, Mass, Ratio};
use uom::si::ratio::ratio;

/// Why a figure of the guides can't be given. No figure is given in its place. Guides are numbered
/// from the tip, 1 is the one next to the tip-top.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GuideError {
    /// A length is zero, negative, infinite or no number.
    #[error("{what} must be more than zero. Measure it again.")]
    NotPositive {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// The length as given.
        given: Length,
    },
    /// A length that may be zero is negative, infinite or no number.
    #[error("{what} must be zero or more. Measure it again.")]
    Negative {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// The length as given.
        given: Length,
    },
    /// A place is negative, infinite or no number.
    #[error("{what} must lie zero or more from the end of the rod. Measure it again.")]
    BadPlace {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// The place as given.
        given: Length,
    },
    /// An angle outside its bounds.
    #[error(
        "{what} must lie between {least} and {most} degrees, and {} was given. Measure it again.",
        degrees(*.given)
    )]
    AngleOutside {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// The least, in degrees.
        least: f64,
        /// The most, in degrees.
        most: f64,
        /// The angle as given.
        given: Angle,
    },
    /// No guide at all.
    #[error("A rod needs at least one guide besides the tip-top. Enter how many.")]
    NoGuides,
    /// More guides than any rod has.
    #[error("{count} guides are more than any rod takes ({most} at most). Check the number.")]
    TooManyGuides {
        /// The number as given.
        count: usize,
        /// The most that are taken.
        most: usize,
    },
    /// A rod too long for a suggested number of guides.
    #[error("A rod of {} is longer than the {most} m up to which a number of guides is suggested. Measure it again, or set the number yourself.", both(*.length))]
    RodTooLong {
        /// The length as given.
        length: Length,
        /// The longest that is taken, in metres.
        most: f64,
    },
    /// A guide that is not on the rod.
    #[error(
        "Guide {number} would sit {} from the tip, and the rod is {} long. Measure its place again.",
        both(*.at),
        both(*.length)
    )]
    OffTheRod {
        /// The guide, from the tip.
        number: usize,
        /// Its place from the tip.
        at: Length,
        /// The length of the rod.
        length: Length,
    },
    /// The first guide is not between butt and tip.
    #[error(
        "The first guide at {} from the butt is not on a rod {} long. Measure its place again.",
        both(*.first),
        both(*.length)
    )]
    FirstOffTheRod {
        /// Its place from the butt.
        first: Length,
        /// The length of the rod.
        length: Length,
    },
    /// The first guide is nearer the tip than the gap at the tip.
    #[error(
        "The first guide is {} from the tip, nearer than the gap of {} at the tip. Move the first guide towards the butt, or take a smaller gap.",
        both(*.reach),
        both(*.tip_gap)
    )]
    FirstTooNear {
        /// From the tip to the first guide.
        reach: Length,
        /// The gap at the tip.
        tip_gap: Length,
    },
    /// One guide has one gap, and it is not the one given.
    #[error(
        "With one guide the gap at the tip is all there is, {}, and {} was given. Take two guides or more.",
        both(*.reach),
        both(*.tip_gap)
    )]
    OneGap {
        /// From the tip to the first guide.
        reach: Length,
        /// The gap at the tip as given.
        tip_gap: Length,
    },
    /// So many guides that gaps would have to shrink towards the butt.
    #[error(
        "{count} guides that begin with a gap of {} need at least {} from the tip to the first guide, and there are {}. Take fewer guides or a smaller gap at the tip.",
        both(*.tip_gap),
        both(*.needs),
        both(*.reach)
    )]
    GapsWouldShrink {
        /// The number of guides.
        count: usize,
        /// The gap at the tip.
        tip_gap: Length,
        /// What they need at least.
        needs: Length,
        /// From the tip to the first guide.
        reach: Length,
    },
    /// A ratio below 1 or no number.
    #[error(
        "Gaps grow towards the butt: each is at least as long as the one before. Enter a ratio of 1 or more."
    )]
    Ratio {
        /// The ratio as given.
        given: Ratio,
    },
    /// No number of guides keeps to the greatest ratio.
    #[error(
        "No number of guides keeps each gap within {:.3} times the one before: with {most} it is {:.3}, and one more would make gaps shrink. Take a smaller gap at the tip or a larger ratio.",
        .greatest.get::<ratio>(),
        .best.get::<ratio>()
    )]
    NoNumber {
        /// The greatest ratio asked for.
        greatest: Ratio,
        /// The most guides that fit.
        most: usize,
        /// The greatest ratio with them.
        best: Ratio,
    },
    /// Even the most guides that any rod takes don't keep to the greatest ratio.
    #[error(
        "Even {most} guides, the most that any rod takes, don't keep each gap within {:.3} times the one before: with so many it is {:.3}. Take a larger gap at the tip or a larger ratio.",
        .greatest.get::<ratio>(),
        .best.get::<ratio>()
    )]
    MostAreTooFew {
        /// The greatest ratio asked for.
        greatest: Ratio,
        /// The most guides that are taken.
        most: usize,
        /// The greatest ratio with them.
        best: Ratio,
    },
    /// Guides that do not run from the tip to the butt.
    #[error(
        "Guide {number} at {} from the tip lies nearer the tip than the one before it, at {}. Enter places from the tip to the butt, or move one of the two.",
        both(*.at),
        both(*.before)
    )]
    OutOfOrder {
        /// The guide, from the tip.
        number: usize,
        /// Its place from the tip.
        at: Length,
        /// The place of the one before it.
        before: Length,
    },
    /// Two guides at one place, or a guide at the tip.
    #[error(
        "Guide {number} at {} from the tip sits where {} sits already. Move one of the two.",
        both(*.at),
        if *.number == 1 { "the tip-top" } else { "the guide before it" }
    )]
    OnePlace {
        /// The guide, from the tip.
        number: usize,
        /// Its place from the tip.
        at: Length,
    },
    /// A guide that is not there.
    #[error(
        "There is no guide {number} on this rod, which has {count}. Guides are counted from the tip."
    )]
    NoSuchGuide {
        /// The number as given.
        number: usize,
        /// How many there are.
        count: usize,
    },
    /// Nowhere to move a guide to.
    #[error(
        "Guide {number} has no room to move: its neighbours and the bounds leave nothing with gaps of at least {}. Take a smaller least gap, or move a neighbour first.",
        both(*.least_gap)
    )]
    NoRoom {
        /// The guide, from the tip.
        number: usize,
        /// The least gap.
        least_gap: Length,
    },
    /// Bounds for the first guide that are upside down or off the rod.
    #[error(
        "The first guide was to stay between {} and {} from the butt, which is no stretch of a rod. Enter the place nearer the butt first.",
        both(*.from),
        both(*.to)
    )]
    FirstBounds {
        /// The bound nearer the butt.
        from: Length,
        /// The bound nearer the tip.
        to: Length,
    },
    /// A layout to improve that does not keep to the bounds itself.
    #[error(
        "Guide {number} is outside the bounds to begin with. Move it first, or widen the bounds."
    )]
    StartsOutside {
        /// The guide, from the tip.
        number: usize,
    },
    /// A spool that reaches into the blank.
    #[error(
        "A spool {} across with its middle {} above the blank's axis would reach into the blank. Measure both again.",
        both(*.spool),
        both(*.height)
    )]
    SpoolInBlank {
        /// The diameter of the spool's lip.
        spool: Length,
        /// The height of the lip's middle over the blank's axis.
        height: Length,
    },
    /// A ring that reaches over the axis of the blank.
    #[error(
        "A ring {} inside with its middle {} above the blank's axis would reach into the blank. Measure both again.",
        both(*.inside),
        both(*.height)
    )]
    RingInBlank {
        /// The inside diameter of the ring.
        inside: Length,
        /// The height of its middle over the blank's axis.
        height: Length,
    },
    /// A first guide at or behind the spool's lip.
    #[error(
        "A ring {} in front of the spool is not clear of its lip, which reaches {} forward. Move the guide towards the tip.",
        both(*.from_spool),
        both(*.lip)
    )]
    BehindTheLip {
        /// From the middle of the lip.
        from_spool: Length,
        /// How far the tilted lip reaches forward.
        lip: Length,
    },
    /// A reach no arm has.
    #[error("An arm reaches 0.3 to 1.2 m, and {} was given. Measure from the hand on the grip to the other one in front of it.", both(*.given))]
    ArmReach {
        /// The reach as given.
        given: Length,
    },
    /// No ring to choose from.
    #[error("There is no ring to choose from. Enter the rings at hand.")]
    NoRings,
    /// No ring at hand lets the knot through.
    #[error(
        "No ring at hand lets a knot of {} through: the widest is {} inside. Tie a smaller knot, or take larger rings.",
        both(*.knot),
        both(*.widest)
    )]
    NoRingPasses {
        /// The knot across.
        knot: Length,
        /// The widest inside diameter.
        widest: Length,
    },
    /// A ring smaller than the knot.
    #[error(
        "A ring {} inside is smaller than the knot of {}. Take a larger ring.",
        both(*.inside),
        both(*.knot)
    )]
    RingSmallerThanKnot {
        /// The inside diameter of the ring.
        inside: Length,
        /// The knot across.
        knot: Length,
    },
    /// A first ring smaller than the running guides.
    #[error(
        "The first ring, {} inside, is smaller than the rings towards the tip, {}. Rings narrow towards the tip: take a larger first ring.",
        both(*.first),
        both(*.running)
    )]
    FirstRingSmaller {
        /// The inside diameter of the first ring.
        first: Length,
        /// The inside diameter of the running rings.
        running: Length,
    },
    /// A number of narrowing guides that is zero or more than there are.
    #[error(
        "Rings can narrow over 1 to {count} guides on this rod, and {given} were asked for. The first guide counts."
    )]
    Narrowing {
        /// The number as given.
        given: usize,
        /// How many guides there are.
        count: usize,
    },
    /// A mass that is negative, above 200 g, or no number.
    #[error("A guide weighs zero to 200 g. Weigh it again.")]
    Weight {
        /// The mass as given.
        given: Mass,
    },
    /// A tip too thick or too thin for any tube.
    #[error(
        "No tip-top tube fits a tip of {} with a gap of {}: tubes run from {least} to {most} sixty-fourths of an inch. Measure the tip again.",
        both(*.tip),
        both(*.gap)
    )]
    NoTube {
        /// The diameter of the tip.
        tip: Length,
        /// The gap asked for, per side.
        gap: Length,
        /// The smallest size.
        least: u32,
        /// The largest size.
        most: u32,
    },
    /// A text that is no size of a tube.
    #[error(
        "“{text}” is no size of a tip-top tube. Write sixty-fourths of an inch, for example 4.5 or 5."
    )]
    TubeText {
        /// The text as written.
        text: String,
    },
    /// More guides at the top and turning than there are, or none turning.
    #[error(
        "{at_top} guides on top and {turning} that turn don't fit on a rod with {count}. At least one must turn, and together they are no more than there are."
    )]
    Turning {
        /// Guides on top.
        at_top: usize,
        /// Guides that turn.
        turning: usize,
        /// How many guides there are.
        count: usize,
    },
    /// A spiral that turns back on its way to the tip.
    #[error(
        "Guide {number} is turned less far than the next one towards the butt. A spiral turns one way only: from the top at the reel to the underside at the tip."
    )]
    TurnsBack {
        /// The guide, from the tip.
        number: usize,
    },
    /// Lists that do not belong together.
    #[error(
        "{what} are given for {given} guides, and the rod has {count}. Enter one for each guide."
    )]
    CountDiffers {
        /// What was given, as the beginning of a sentence.
        what: &'static str,
        /// For how many.
        given: usize,
        /// How many guides there are.
        count: usize,
    },
    /// A ring whose middle lies inside the blank.
    #[error(
        "The ring of {} lies {} above the blank's axis, inside the blank, which is {} across there. Measure the height from the axis to the middle of the ring.",
        name(*.number),
        both(*.height),
        both(*.blank)
    )]
    HeightInBlank {
        /// The guide, from the tip; 0 is the tip-top.
        number: usize,
        /// The height of the ring over the blank's axis.
        height: Length,
        /// The diameter of the blank there.
        blank: Length,
    },
    /// The rod under this load can't be worked out.
    #[error(transparent)]
    Bend(#[from] BendError),
}

fn degrees(angle: Angle) -> String {
    let degrees = angle.get::<degree>();
    if degrees.is_finite() { format!("{degrees:.1}") } else { "no number".to_owned() }
}

fn name(number: usize) -> String {
    if number == 0 { "the tip-top".to_owned() } else { format!("guide {number}") }
}
