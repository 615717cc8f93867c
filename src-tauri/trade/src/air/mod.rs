//! The air of a room: vapour from liquids, its course under ventilation, and how near it comes to
//! flammable and exposure limits.
//!
//! These figures advise. An estimate is no gas detector: it knows only what was recorded, and near
//! the liquid and near the floor the air is richer than the mean of the room. Local codes, the
//! product's safety data sheet and licensed practice come first.
//!
//! Times are seconds since a zero that the caller chooses once for all of them; a zero on the same
//! day keeps them exact to well under a microsecond.

mod curve;
mod dilution;
mod exposure;
mod ignition;
mod room;
mod vapour;

#[cfg(test)]
mod tests;

pub use curve::{Curve, Sample};
pub use dilution::{fire_flow, fire_use, health_flow, health_use, purge_time};
pub use exposure::{Exposure, Stay};
pub use ignition::{
    FlammableCategory, Handling, HeatLimit, HeatRule, flammable_category, gun_against_autoignition,
    gun_against_material, handling_when_heated,
};
pub use room::{Flow, MixingFactor, Release, Room, RoomAir};
pub use vapour::{
    Component, Emitted, ExposurePeriod, Limit, Liquid, Vapour, exposure_index,
    fraction_of_lower_limit, mass_concentration, mixture_lower_limit, volume_fraction,
};

/// Why a figure of the air can't be worked out. No figure is given in its place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AirError {
    /// The room volume is zero, negative or no number.
    #[error("The room volume must be more than zero. Measure length, width and height.")]
    RoomVolume,
    /// A mixing factor that divides the flow lies below 1 or is no number.
    #[error(
        "The mixing factor that divides the flow must be 1 or more. Take a higher one if in doubt."
    )]
    MixingDivisor,
    /// A mixing factor that multiplies the flow does not lie above 0 and at or below 1.
    #[error("The mixing factor that multiplies the flow must be above 0 and at most 1.")]
    MixingMultiplier,
    /// A time is infinite or no number.
    #[error("A time is missing or is no number. Check the clock and the record.")]
    Time,
    /// An interval ends before it begins, or is empty where it may not be.
    #[error("An interval must end after it begins. Correct its times.")]
    Interval,
    /// A flow is negative, infinite or no number.
    #[error("A flow must be a number of zero or more. Read it again.")]
    Flow,
    /// No air moves, so nothing is carried off.
    #[error("No air moves. Turn the ventilation on and read it.")]
    NoFlow,
    /// Two flows are given for one time.
    #[error("Two flows are given for the same time. Give one, and end it where the next begins.")]
    FlowsOverlap,
    /// A person is said to be in two places at one time, or twice in one place.
    #[error("A person's stays overlap. Correct when they came and left.")]
    StaysOverlap,
    /// An amount of liquid or vapour, or a rate of use, is negative, infinite or no number.
    #[error("The amount of {what} must be a number of zero or more. Enter what was used.")]
    Amount {
        /// The liquid or vapour.
        what: String,
    },
    /// A density is not above zero or is no number.
    #[error("The density must be more than zero. Take it from the safety data sheet.")]
    Density,
    /// A molar mass is below that of hydrogen, beyond that of any vapour, or no number.
    #[error(
        "The molar mass of {name} must lie between 2 and 1000 g/mol. Take it from the safety data sheet."
    )]
    MolarMass {
        /// The component.
        name: String,
    },
    /// A mass share does not lie from 0 to 1.
    #[error("The mass share of {name} must lie between 0 and 100 %.")]
    Share {
        /// The component.
        name: String,
    },
    /// A liquid has no components.
    #[error(
        "The product has no components. Enter what it holds, from section 3 of the safety data sheet."
    )]
    NoComponents,
    /// A temperature lies outside the range of the formula.
    #[error("A temperature of {celsius} °C is outside the range of this figure. Check the unit.")]
    Temperature {
        /// The temperature as given, in °C; NaN for none.
        celsius: f64,
    },
    /// A flammable or exposure limit does not lie above 0 and below 100 vol %.
    #[error("A limit of {name} must lie above 0 and below 100 vol %. Check the unit.")]
    LimitRange {
        /// The component.
        name: String,
    },
    /// The lower flammable limit of a vapour in the air is not known.
    #[error(
        "The lower flammable limit of {name} is not known, so the air can't be judged. Take it from the safety data sheet."
    )]
    UnknownLowerLimit {
        /// The component.
        name: String,
    },
    /// An exposure limit of a vapour in the air is not known.
    #[error(
        "The exposure limit of {name} is not known, so the air can't be judged. Take it from the safety data sheet."
    )]
    UnknownExposureLimit {
        /// The component.
        name: String,
    },
    /// None of the parts has the limit that was asked for.
    #[error("Nothing in the mixture has such a limit, so no figure follows from it.")]
    NoLimit,
    /// A concentration or level is negative, infinite or no number, or zero where it divides.
    #[error("A concentration must be a number of zero or more, and a target more than zero.")]
    Level,
    /// The safety factor for fire is below 4, which would allow more than 25 % of the limit.
    #[error("The safety factor for fire must be 4 or more.")]
    SafetyFactor,
    /// Fewer than two samples were asked for, or more than can be counted.
    #[error("A curve is drawn from two samples or more, up to four thousand million.")]
    Samples,
    /// Inputs so large that the result is no number.
    #[error("The amounts are too large to reckon with. Check the units.")]
    TooLarge,
    /// The autoignition temperature of a vapour that may be present is not known.
    #[error(
        "The autoignition temperature is not known, so no gun setting can be judged. Take it from the safety data sheet."
    )]
    UnknownAutoignition,
    /// The temperature that a material bears is not known.
    #[error(
        "The temperature this material bears is not known. Take it from the maker's data sheet."
    )]
    UnknownMaterialLimit,
}
