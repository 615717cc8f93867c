//! What ignites and what overheats: flammable categories, and the gun's setting against both.
//!
//! The element of a hot-air gun is hotter than its setting, and hot spots are hotter than the air
//! it blows. A margin here is a sum on paper; it does not replace the clearance of vapours.

use super::AirError;
use uom::si::f64::{TemperatureInterval, ThermodynamicTemperature};
use uom::si::temperature_interval::kelvin as kelvins;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};

/// Celsius bounds of the categories; see [`flammable_category`].
const LOW_FLASH: f64 = 23.0;
const LOW_BOILING: f64 = 35.0;
const MIDDLE_FLASH: f64 = 60.0;
const HIGH_FLASH: f64 = 93.0;
/// 100 °F, at which OSHA divides category 3, in °C as printed there.
const DIVIDING_FLASH: f64 = 37.8;
/// 30 °F below the flash point, from which a heated liquid counts one class stricter, in °C as
/// printed there.
const NEAR_FLASH: f64 = 16.7;
/// 100 °F below the autoignition temperature, in °C as printed in 29 CFR 1910.125.
const BELOW_AUTOIGNITION: f64 = 37.8;
/// Share of the autoignition temperature in °C that hot surfaces are kept below.
const SHARE_OF_AUTOIGNITION: f64 = 0.8;
/// What Celsius values may differ by from having come through kelvin or Fahrenheit.
const ROUNDING: f64 = 1e-6;

/// Category of a flammable liquid by the Globally Harmonised System.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum FlammableCategory {
    /// Flash below 23 °C, begins to boil at 35 °C or below.
    One,
    /// Flash below 23 °C, begins to boil above 35 °C.
    Two,
    /// Flash from 23 to 60 °C.
    Three,
    /// Flash above 60 up to 93 °C. Not part of the European CLP regulation.
    Four,
}

impl FlammableCategory {
    /// The hazard statement's code.
    pub fn h_code(self) -> &'static str {
        match self {
            Self::One => "H224",
            Self::Two => "H225",
            Self::Three => "H226",
            Self::Four => "H227",
        }
    }
}

/// How a liquid is to be handled by 29 CFR 1910.106(a)(19).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Handling {
    /// As category 1.
    Category1,
    /// As category 2.
    Category2,
    /// As category 3 with a flash point below 100 °F (37.8 °C).
    Category3Below100F,
    /// As category 3 with a flash point at or above 100 °F (37.8 °C).
    Category3From100F,
    /// As category 4.
    Category4,
}

/// The category for a flash point (closed cup) and an initial boiling point; None for a flash point
/// above 93 °C. Without a boiling point the stricter category is taken.
///
/// Source: GHS chapter 2.6; Regulation (EC) No 1272/2008 Annex I Table 2.6.1 (categories 1 to 3).
/// A label that names a stricter one goes before this figure.
pub fn flammable_category(
    flash: ThermodynamicTemperature,
    boiling: Option<ThermodynamicTemperature>,
) -> Result<Option<FlammableCategory>, AirError> {
    let flash = celsius(flash)?;
    let boiling = boiling.map(celsius).transpose()?;
    Ok(if flash < LOW_FLASH - ROUNDING {
        match boiling {
            Some(boiling) if boiling > LOW_BOILING + ROUNDING => Some(FlammableCategory::Two),
            _ => Some(FlammableCategory::One),
        }
    } else if flash <= MIDDLE_FLASH + ROUNDING {
        Some(FlammableCategory::Three)
    } else if flash <= HIGH_FLASH + ROUNDING {
        Some(FlammableCategory::Four)
    } else {
        None
    })
}

/// How a liquid is to be handled when it is as warm as `warmest` (its own temperature, that of the
/// room or of a part it lies on). A category 3 liquid with a flash point at or above 37.8 °C that is
/// within 16.7 °C of its flash point, or above it, is handled as one with a lower flash point; a
/// category 4 liquid so heated as category 3. None for a flash point above 93 °C, whatever the heat:
/// the rule says nothing of it, and it may burn all the same.
///
/// Source: 29 CFR 1910.106(a)(19).
pub fn handling_when_heated(
    flash: ThermodynamicTemperature,
    boiling: Option<ThermodynamicTemperature>,
    warmest: ThermodynamicTemperature,
) -> Result<Option<Handling>, AirError> {
    let category = flammable_category(flash, boiling)?;
    let near = celsius(warmest)? >= celsius(flash)? - NEAR_FLASH - ROUNDING;
    let below_100f = celsius(flash)? < DIVIDING_FLASH - ROUNDING;
    Ok(category.map(|category| match category {
        FlammableCategory::One => Handling::Category1,
        FlammableCategory::Two => Handling::Category2,
        FlammableCategory::Three if below_100f || near => Handling::Category3Below100F,
        FlammableCategory::Three => Handling::Category3From100F,
        FlammableCategory::Four if near => Handling::Category3From100F,
        FlammableCategory::Four => Handling::Category4,
    }))
}

/// Which rule set the highest gun setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeatRule {
    /// 80 % of the autoignition temperature in °C.
    ShareOfAutoignition,
    /// 37.8 °C (100 °F) below the autoignition temperature.
    BelowAutoignition,
    /// What the material bears.
    Material,
}

/// A gun setting against the highest that is allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatLimit {
    /// The highest setting.
    pub highest: ThermodynamicTemperature,
    /// How far the setting lies below it; negative if above.
    pub margin: TemperatureInterval,
    /// The rule that set it.
    pub rule: HeatRule,
}

impl HeatLimit {
    /// Whether the setting is at or below the highest one.
    pub fn holds(&self) -> bool {
        self.margin.get::<kelvins>() >= 0.0
    }

    fn new(set: f64, highest: f64, rule: HeatRule) -> Self {
        Self {
            highest: ThermodynamicTemperature::new::<degree_celsius>(highest),
            margin: TemperatureInterval::new::<kelvins>(highest - set),
            rule,
        }
    }
}

/// A gun setting against the lowest autoignition temperature present. The stricter counts of 80 %
/// of it in °C (a margin used for surfaces of explosion-protected equipment) and 37.8 °C (100 °F)
/// below it (29 CFR 1910.125, for heated liquids); they meet at 189 °C. None, not known, is an
/// error.
pub fn gun_against_autoignition(
    set: ThermodynamicTemperature,
    autoignition: Option<ThermodynamicTemperature>,
) -> Result<HeatLimit, AirError> {
    let set = celsius(set)?;
    let autoignition = celsius(autoignition.ok_or(AirError::UnknownAutoignition)?)?;
    let share = SHARE_OF_AUTOIGNITION * autoignition;
    let below = autoignition - BELOW_AUTOIGNITION;
    Ok(if below < share {
        HeatLimit::new(set, below, HeatRule::BelowAutoignition)
    } else {
        HeatLimit::new(set, share, HeatRule::ShareOfAutoignition)
    })
}

/// A gun setting against the temperature that a material bears (sleeve, grip foam, cured resin,
/// finish), from its maker. None, not known, is an error.
pub fn gun_against_material(
    set: ThermodynamicTemperature,
    bears: Option<ThermodynamicTemperature>,
) -> Result<HeatLimit, AirError> {
    let bears = celsius(bears.ok_or(AirError::UnknownMaterialLimit)?)?;
    Ok(HeatLimit::new(celsius(set)?, bears, HeatRule::Material))
}

/// In °C; an error below absolute zero or for no number.
fn celsius(temperature: ThermodynamicTemperature) -> Result<f64, AirError> {
    let celsius = temperature.get::<degree_celsius>();
    if celsius.is_finite() && temperature.get::<kelvin>() > 0.0 {
        Ok(celsius)
    } else {
        Err(AirError::Temperature { celsius })
    }
}
