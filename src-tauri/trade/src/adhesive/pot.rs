//! How long a mixed batch can be worked.

use super::rate::ln_factor;
use super::{Activation, AdhesiveError, above_zero, in_kelvin};
use uom::si::f64::{Mass, ThermodynamicTemperature, Time};
use uom::si::mass::gram;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};
use uom::si::time::second;

/// To be shown wherever a working time is.
pub const HOW_ROUGH: &str = "Rough: cup, stirring and age of the product change it, and it may set much sooner. \
     The product's sheet comes first. Stop at the first string, lump or warmth, and set a hot cup \
     down in the open, away from anything that burns.";

/// The pot life as the product's sheet states it. It means little without mass and temperature
/// (ISO 10364: several methods that give different numbers).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// How long, above zero.
    pub time: Time,
    /// For which mass in one cup; 100 g is common.
    pub mass: Mass,
    /// At which temperature; 23 or 25 °C is common.
    pub temperature: ThermodynamicTemperature,
}

/// A caution that goes with a working time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PotWarning {
    /// The room's temperature is not known: 35 °C is taken.
    TemperatureUnknown,
    /// It is warmer than on the sheet, so less time is left.
    Warm,
    /// It is colder than on the sheet. No time is added for it.
    ColdAddsNothing,
    /// More stands in the cup than on the sheet, so less time is left, and it may get hot enough to
    /// burn and smoke.
    LargeBatch,
    /// Less stands in the cup than on the sheet. No time is added for it.
    SmallAddsNothing,
    /// The clock is broken or runs backwards: no time is left.
    ClockBroken,
}

impl std::fmt::Display for PotWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::TemperatureUnknown => {
                "The room's temperature is not known: 35 °C is taken. Read it."
            }
            Self::Warm => "It is warmer than on the sheet, so less time is left.",
            Self::ColdAddsNothing => "It is colder than on the sheet. No time is added for it.",
            Self::LargeBatch => {
                "More stands in the cup than on the sheet: less time is left, and it may get hot enough to burn and smoke."
            }
            Self::SmallAddsNothing => {
                "Less stands in the cup than on the sheet. No time is added for it."
            }
            Self::ClockBroken => "The time since mixing is no time, so none is left.",
        };
        f.write_str(words)
    }
}

/// Working time of a batch in the cup.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkingTime {
    /// From mixing to the end.
    pub whole: Time,
    /// What is left; zero when it is over.
    pub left: Time,
    /// What to mind. Show [`HOW_ROUGH`] with them.
    pub warnings: Vec<PotWarning>,
}

/// Taken for a room of which nothing is known, °C: a hot day. A house rule.
const ASSUMED_C: f64 = 35.0;

/// The working time left of `batch` in one cup, `since_mixing` after the parts met. `warmest` is the
/// warmest it has been in the room since (None: not known).
///
/// Never longer than the sheet's. Warmth shortens it by Arrhenius with the greatest activation
/// energy; mass in proportion, so that twice the mass has half the time. That mass shortens pot life
/// is published; by how much is not, so this is a house rule. Cold and small batches, which would
/// lengthen it, add nothing. Spread thin on the joint it may last longer; that is not reckoned with.
///
/// Mass above zero; temperature from -50 to 250 °C; a `since_mixing` that is negative or no number
/// leaves no time.
pub fn working_time(
    sheet: &PotLife,
    batch: Mass,
    warmest: Option<ThermodynamicTemperature>,
    activation: Activation,
    since_mixing: Time,
) -> Result<WorkingTime, AdhesiveError> {
    let stated = sheet.time.get::<second>();
    if !above_zero(stated) {
        return Err(AdhesiveError::SheetTime);
    }
    let (mass, stated_mass) = (batch.get::<gram>(), sheet.mass.get::<gram>());
    if !(above_zero(mass) && above_zero(stated_mass)) {
        return Err(AdhesiveError::Amount);
    }
    let assumed = ThermodynamicTemperature::new::<degree_celsius>(ASSUMED_C).get::<kelvin>();
    let reference = in_kelvin(sheet.temperature)?;
    let room = match warmest {
        Some(warmest) => in_kelvin(warmest)?,
        None => assumed.max(reference),
    };
    let by_warmth = (-ln_factor(room, reference, activation.greatest)).exp().min(1.0);
    let by_mass = (stated_mass / mass).min(1.0);
    let whole = stated * by_warmth * by_mass;
    let since = since_mixing.get::<second>();
    let broken = !(since >= 0.0 && since.is_finite());
    let left = if broken { 0.0 } else { (whole - since).max(0.0) };
    let warnings = [
        (warmest.is_none(), PotWarning::TemperatureUnknown),
        (warmest.is_some() && room > reference, PotWarning::Warm),
        (room < reference, PotWarning::ColdAddsNothing),
        (mass > stated_mass, PotWarning::LargeBatch),
        (mass < stated_mass, PotWarning::SmallAddsNothing),
        (broken, PotWarning::ClockBroken),
    ];
    Ok(WorkingTime {
        whole: Time::new::<second>(whole),
        left: Time::new::<second>(left),
        warnings: warnings.into_iter().filter(|(holds, _)| *holds).map(|(_, w)| w).collect(),
    })
}
