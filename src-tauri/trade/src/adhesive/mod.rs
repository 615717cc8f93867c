//! Two-part epoxy: how much of it, in which ratio, how long it can be worked, how far it has cured.
//!
//! Uncured resin and hardener on skin can bring an allergy that stays for life, and a mass that
//! sets in the cup gets hot enough to burn and smoke. These figures advise; the product's own data
//! sheet and safety data sheet come first, and no figure here is more generous than the sheet.
//!
//! Times of the clock are seconds since a zero that the caller chooses once for all of them.

mod cure;
mod joint;
mod mix;
mod pot;
mod rate;

#[cfg(test)]
mod tests;

pub use cure::{
    Cure, CureProgress, CureSheet, CureWarning, LONGEST_GAP_S, Milestone, Needed, Reading, ReadyIn,
    Span,
};
pub use joint::{Section, joint_volume, volume_to_mix};
pub use mix::{
    Batch, Batches, MeasuredBy, Mend, MixCheck, MixSheet, MixWarning, Off, Part, Product,
    RatioBasis,
};
pub use pot::{HOW_ROUGH, PotLife, PotWarning, WorkingTime, working_time};
pub use rate::{Activation, arrhenius_factor};

use uom::si::f64::ThermodynamicTemperature;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};

/// Why a figure of the adhesive can't be worked out. No figure is given in its place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AdhesiveError {
    /// Fewer than two places along the joint.
    #[error("Measure bore and blank in at least two places: where the joint begins and ends.")]
    TooFewSections,
    /// A place, bore or blank is no number, or a diameter is not above zero. `row` counts from 0.
    #[error("Bore and blank must be more than zero at every place of the joint. Measure again.")]
    Section {
        /// The place at fault.
        row: usize,
    },
    /// Places do not run along the joint. `row` counts from 0.
    #[error("The places along the joint must be in order, each farther on than the one before.")]
    SectionOrder {
        /// The place at fault.
        row: usize,
    },
    /// The bore is narrower than the blank. `row` counts from 0.
    #[error("The bore is narrower than the blank here. Ream it, or measure again.")]
    BoreTooNarrow {
        /// The place at fault.
        row: usize,
    },
    /// There is no gap anywhere.
    #[error("The joint leaves no room for adhesive: bore and blank are equal all along it.")]
    NoGap,
    /// The share that is lost does not lie from 0 to 95 percent.
    #[error("The share squeezed out and left in the cup must lie between 0 and 95 %.")]
    Lost,
    /// A density lies outside 0.5 to 5 g/mL.
    #[error(
        "The density of the {part} must lie between 0.5 and 5 g/mL. Take it from the product's data sheet."
    )]
    Density {
        /// Resin or hardener.
        part: Part,
    },
    /// A part of the mix ratio is zero, negative, no number, or the ratio is beyond 1000 to 1.
    #[error(
        "The mix ratio must be two numbers above zero, for example 2 and 1. Take it from the product's data sheet."
    )]
    MixRatio,
    /// A ratio tolerance does not lie above 0 and at most 20 percent.
    #[error(
        "The tolerance of the mix ratio must lie above 0 and at most 20 %. Take it from the product's data sheet."
    )]
    Tolerance,
    /// An amount is negative, zero where something is needed, or no number.
    #[error("The amount must be a number above zero. Enter what is needed or what was measured.")]
    Amount,
    /// The step of the scale or syringe is not above zero.
    #[error("The smallest step that the scale or syringe shows must be more than zero.")]
    Step,
    /// The most that may stand in one cup is not above zero.
    #[error(
        "The most that may be mixed at once must be more than zero. Take it from the product's data sheet."
    )]
    PotLimit,
    /// The ratio can't be held with this scale or syringe in a batch that would not set in the cup.
    #[error(
        "This scale or syringe is too coarse: a batch that holds the ratio would be larger than may stand in one cup. Use a finer one."
    )]
    TooCoarse,
    /// The mix lies farther off its ratio than the product bears.
    #[error(
        "There is {off_percent:.1} % too {off} hardener and the product bears {tolerance_percent:.1} %. Do not use this mix: it stays soft or brittle."
    )]
    OffRatio {
        /// How far off, percent of the hardener there should be; above zero.
        off_percent: f64,
        /// Whether there is too much hardener or too little.
        off: Off,
        /// What the product bears, percent.
        tolerance_percent: f64,
        /// What would bring it back, if added and stirred in at once; the clock runs on.
        mend: Mend,
    },
    /// A temperature lies outside -50 to 250 °C, or is no number.
    #[error("A temperature of {celsius} °C is outside the range of this figure. Check the unit.")]
    Temperature {
        /// The temperature as given, in °C; NaN for none.
        celsius: f64,
    },
    /// Activation energies out of order or outside 20 to 200 kJ/mol.
    #[error("An activation energy must lie between 20 and 200 kJ/mol, the least one first.")]
    Activation,
    /// A time on the sheet is not above zero.
    #[error("A time of the product's data sheet must be more than zero.")]
    SheetTime,
    /// The table of the sheet has fewer than two rows. One time at one temperature is no table.
    #[error("A table of cure times needs two temperatures or more.")]
    TableTooShort,
    /// The rows of a table do not run from cold to warm, or a warmer row takes longer. `row` counts
    /// from 0.
    #[error(
        "The table of cure times must run from cold to warm, and a warmer row can't take longer."
    )]
    TableOrder {
        /// The row at fault.
        row: usize,
    },
    /// The reference temperature lies outside the table, or at or below the coldest for cure.
    #[error(
        "The reference temperature must lie inside the product's table and above the coldest at which it cures."
    )]
    Reference,
    /// Handling, loading and full cure are out of order.
    #[error("On the sheet, handling comes before loading and loading before full cure.")]
    MilestoneOrder,
    /// A time of the clock is no number.
    #[error("A time is missing or is no number. Check the clock and the record.")]
    Time,
    /// Readings are not in order of time. `row` counts from 0.
    #[error("The temperature readings are not in order of time. Check the clock and the record.")]
    ReadingOrder {
        /// The reading at fault.
        row: usize,
    },
    /// An interval ends before it begins.
    #[error("The clock stands before the time of mixing. Set it right before relying on a cure.")]
    Backwards,
}

/// Coldest and hottest temperature that is taken, °C: beyond them a unit was mistaken.
const RANGE_C: std::ops::RangeInclusive<f64> = -50.0..=250.0;

/// In kelvin; an error outside the range of these figures.
fn in_kelvin(temperature: ThermodynamicTemperature) -> Result<f64, AdhesiveError> {
    let celsius = temperature.get::<degree_celsius>();
    if RANGE_C.contains(&celsius) {
        Ok(temperature.get::<kelvin>())
    } else {
        Err(AdhesiveError::Temperature { celsius })
    }
}

fn above_zero(value: f64) -> bool {
    value > 0.0 && value.is_finite()
}
