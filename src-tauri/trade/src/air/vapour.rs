//! Vapour from liquids, and what mixtures of vapours amount to.

use super::AirError;
use uom::ConstZero;
use uom::si::f64::{MassDensity, MolarMass, Ratio, ThermodynamicTemperature, Volume};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::molar_mass::kilogram_per_mole;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};
use uom::si::volume::cubic_meter;

/// Molar gas constant, J/(mol K). Exact since 2019 (CODATA 2018).
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;
/// One standard atmosphere, Pa, exact.
const ATMOSPHERE: f64 = 101_325.0;
/// Litres of gas per mole that tables of exposure limits use, for 25 °C and 760 torr (29 CFR
/// 1910.1000 Table Z-1; NIOSH Pocket Guide). The ideal gas gives 24.465, 0.06 % more.
const LIMIT_LITRES_PER_MOLE: f64 = 24.45;
/// Range of temperatures taken for vapour, °C. Below it a Celsius number was read as kelvin, which
/// would make the vapour look small.
const VAPOUR_CELSIUS: std::ops::RangeInclusive<f64> = -50.0..=400.0;
/// Molar masses taken, kg/mol: hydrogen is the lightest.
const MOLAR_MASSES: std::ops::RangeInclusive<f64> = 0.002..=1.0;

/// A limit of concentration in air, as a share of the volume (ppm or vol %).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// The limit; above 0 and below 1. Where sources differ, the caller takes the lowest.
    At(Ratio),
    /// A source says that there is none: it does not burn, or no such limit has been set. It then
    /// counts nothing in that sum, which does not make it harmless: where a data sheet is merely
    /// silent, use [`Limit::Unknown`].
    NoneSet,
    /// Not known. Every figure that needs it is then an error.
    Unknown,
}

/// Over what time an exposure limit is averaged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ExposurePeriod {
    /// Eight hours, the working day (TWA).
    EightHours,
    /// Fifteen minutes (STEL).
    FifteenMinutes,
    /// Not to be exceeded at any time (ceiling).
    Ceiling,
}

/// One substance as vapour, with its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Vapour {
    /// What it is called, for messages.
    pub name: String,
    /// Molar mass, 2 to 1000 g/mol. For a mixture sold under one name, the lowest of its range,
    /// which gives the most vapour.
    pub molar_mass: MolarMass,
    /// Lower flammable limit.
    pub lower_limit: Limit,
    /// Exposure limit, average of eight hours.
    pub eight_hours: Limit,
    /// Exposure limit, average of fifteen minutes.
    pub fifteen_minutes: Limit,
    /// Exposure limit that may never be exceeded.
    pub ceiling: Limit,
}

impl Vapour {
    /// One over the lower flammable limit, the weight of this vapour in Le Chatelier's sum; zero
    /// for one that does not burn.
    pub(super) fn per_lower_limit(&self) -> Result<f64, AirError> {
        per_limit(self.lower_limit, &self.name, |name| AirError::UnknownLowerLimit { name })
    }

    /// One over the exposure limit, the weight of this vapour in the additive mixture rule.
    pub(super) fn per_exposure_limit(&self, period: ExposurePeriod) -> Result<f64, AirError> {
        let limit = match period {
            ExposurePeriod::EightHours => self.eight_hours,
            ExposurePeriod::FifteenMinutes => self.fifteen_minutes,
            ExposurePeriod::Ceiling => self.ceiling,
        };
        per_limit(limit, &self.name, |name| AirError::UnknownExposureLimit { name })
    }
}

fn per_limit(
    limit: Limit,
    name: &str,
    unknown: impl Fn(String) -> AirError,
) -> Result<f64, AirError> {
    match limit {
        Limit::NoneSet => Ok(0.0),
        Limit::Unknown => Err(unknown(name.to_owned())),
        Limit::At(limit) => {
            let limit = limit.get::<ratio>();
            let weight = 1.0 / limit;
            if limit > 0.0 && limit < 1.0 && weight.is_finite() {
                Ok(weight)
            } else {
                Err(AirError::LimitRange { name: name.to_owned() })
            }
        }
    }
}

/// A component of a liquid that evaporates.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    /// Share of the liquid's mass, 0 to 1; of a range on a data sheet, the higher end.
    pub share: Ratio,
    /// The substance.
    pub vapour: Vapour,
}

/// An amount of one vapour.
#[derive(Debug, Clone, PartialEq)]
pub struct Emitted {
    /// The substance.
    pub vapour: Vapour,
    /// Volume of the pure vapour at the temperature of the room and 1 atm; zero or more.
    pub volume: Volume,
}

/// A liquid product.
#[derive(Debug, Clone, PartialEq)]
pub struct Liquid {
    density: MassDensity,
    components: Vec<Component>,
}

impl Liquid {
    /// A liquid of this density (of a range, the higher end) and these components that evaporate.
    /// What their shares leave of the whole is taken not to evaporate (solids, resin). They may
    /// sum to more than one, since each may stand at the higher end of its range.
    pub fn new(density: MassDensity, components: Vec<Component>) -> Result<Self, AirError> {
        if !above_zero(density.get::<kilogram_per_cubic_meter>()) {
            return Err(AirError::Density);
        }
        if components.is_empty() {
            return Err(AirError::NoComponents);
        }
        for Component { share, vapour } in &components {
            let name = || vapour.name.clone();
            if !(0.0..=1.0).contains(&share.get::<ratio>()) {
                return Err(AirError::Share { name: name() });
            }
            if !MOLAR_MASSES.contains(&vapour.molar_mass.get::<kilogram_per_mole>()) {
                return Err(AirError::MolarMass { name: name() });
            }
        }
        Ok(Self { density, components })
    }

    /// The density as given; what was weighed out, divided by it, is the volume used.
    pub fn density(&self) -> MassDensity {
        self.density
    }

    /// The components as given.
    pub fn components(&self) -> &[Component] {
        &self.components
    }

    /// Vapour of each component when `used` has evaporated completely at `temperature` (-50 to
    /// 400 °C) and 1 atm, in the order of the components.
    ///
    /// Ideal gas, `V = m R T / (M p)`: litres of vapour per litre of liquid are
    /// 1000 density / M x 24.04 at 20 °C (ACGIH's 403 ft³ per pint at 70 °F is the same constant).
    pub fn vapours(
        &self,
        used: Volume,
        temperature: ThermodynamicTemperature,
    ) -> Result<Vec<Emitted>, AirError> {
        let used_m3 = used.get::<cubic_meter>();
        if !zero_or_more(used_m3) {
            return Err(AirError::Amount { what: "liquid".to_owned() });
        }
        let per_liquid = self.vapour_per_liquid(temperature)?;
        per_liquid
            .map(|(component, times)| {
                let volume = Volume::new::<cubic_meter>(used_m3 * times);
                if !volume.is_finite() {
                    return Err(AirError::TooLarge);
                }
                Ok(Emitted { vapour: component.vapour.clone(), volume })
            })
            .collect()
    }

    /// Each component with the volume of its vapour per volume of liquid.
    pub(super) fn vapour_per_liquid(
        &self,
        temperature: ThermodynamicTemperature,
    ) -> Result<impl Iterator<Item = (&Component, f64)>, AirError> {
        let celsius = temperature.get::<degree_celsius>();
        if !VAPOUR_CELSIUS.contains(&celsius) {
            return Err(AirError::Temperature { celsius });
        }
        let per_mole = GAS_CONSTANT * temperature.get::<kelvin>() / ATMOSPHERE;
        let density = self.density.get::<kilogram_per_cubic_meter>();
        Ok(self.components.iter().map(move |component| {
            let molar_mass = component.vapour.molar_mass.get::<kilogram_per_mole>();
            (component, density * component.share.get::<ratio>() / molar_mass * per_mole)
        }))
    }
}

/// How much of the lower flammable limit vapours at these concentrations make up together: the
/// sum of `C_i / LFL_i`, Le Chatelier's rule. At 1 the mixture can burn.
///
/// Holds near room temperature and in air; good at the lower limit (Mashuga and Crowl, Process
/// Safety Progress 19(2), 2000). One unknown limit makes the whole unknown.
pub fn fraction_of_lower_limit(parts: &[(Ratio, &Vapour)]) -> Result<Ratio, AirError> {
    sum_of_shares(parts, Vapour::per_lower_limit)
}

/// Additive mixture rule for exposure limits: the sum of `C_i / L_i`, which shall not exceed 1.
/// The concentrations are averages over the same time as the limits.
///
/// Source: 29 CFR 1910.1000(d)(2)(i).
pub fn exposure_index(
    parts: &[(Ratio, &Vapour)],
    period: ExposurePeriod,
) -> Result<Ratio, AirError> {
    sum_of_shares(parts, |vapour| vapour.per_exposure_limit(period))
}

fn sum_of_shares(
    parts: &[(Ratio, &Vapour)],
    weight: impl Fn(&Vapour) -> Result<f64, AirError>,
) -> Result<Ratio, AirError> {
    let mut sum = 0.0;
    for (concentration, vapour) in parts {
        let concentration = concentration.get::<ratio>();
        if !zero_or_more(concentration) {
            return Err(AirError::Level);
        }
        sum += concentration * weight(vapour)?;
    }
    if sum.is_finite() { Ok(Ratio::new::<ratio>(sum)) } else { Err(AirError::TooLarge) }
}

/// Lower flammable limit of a mixture, `1 / sum(y_i / LFL_i)` (Le Chatelier), with `y_i` the share
/// of each among the vapours that burn. Any amounts in proportion will do for `parts`: they are
/// divided by their sum, those that do not burn left out.
pub fn mixture_lower_limit(parts: &[(Ratio, &Vapour)]) -> Result<Ratio, AirError> {
    let shares = sum_of_shares(parts, Vapour::per_lower_limit)?;
    let burns = |vapour: &Vapour| Ok(f64::from(vapour.lower_limit != Limit::NoneSet));
    let fuel = sum_of_shares(parts, burns)?;
    if fuel == Ratio::ZERO { Err(AirError::NoLimit) } else { Ok(fuel / shares) }
}

/// Mass of vapour per volume of air, `mg/m³ = ppm M / 24.45`, at 25 °C and 760 torr, as tables of
/// exposure limits convert.
pub fn mass_concentration(fraction: Ratio, molar_mass: MolarMass) -> Result<MassDensity, AirError> {
    let fraction = fraction.get::<ratio>();
    if !zero_or_more(fraction) {
        return Err(AirError::Level);
    }
    Ok(MassDensity::new::<kilogram_per_cubic_meter>(fraction * kilograms_per_volume(molar_mass)?))
}

/// Share of the volume from a mass per volume of air, `ppm = mg/m³ 24.45 / M`; the inverse of
/// [`mass_concentration`].
pub fn volume_fraction(
    concentration: MassDensity,
    molar_mass: MolarMass,
) -> Result<Ratio, AirError> {
    let concentration = concentration.get::<kilogram_per_cubic_meter>();
    if !zero_or_more(concentration) {
        return Err(AirError::Level);
    }
    Ok(Ratio::new::<ratio>(concentration / kilograms_per_volume(molar_mass)?))
}

/// Density of the pure vapour at 25 °C and 760 torr, kg/m³.
fn kilograms_per_volume(molar_mass: MolarMass) -> Result<f64, AirError> {
    let molar_mass = molar_mass.get::<kilogram_per_mole>();
    if !MOLAR_MASSES.contains(&molar_mass) {
        return Err(AirError::MolarMass { name: "the vapour".to_owned() });
    }
    Ok(molar_mass / (LIMIT_LITRES_PER_MOLE / 1000.0))
}

/// Whether `x` is a finite number of zero or more. False for NaN.
pub(super) fn zero_or_more(x: f64) -> bool {
    x >= 0.0 && x.is_finite()
}

/// Whether `x` is a finite number above zero. False for NaN.
pub(super) fn above_zero(x: f64) -> bool {
    x > 0.0 && x.is_finite()
}
