//! In which units figures are shown: the builder's choice for each kind of quantity.
//!
//! What is entered is kept as it was written; these are for what is worked out.

use crate::length::LengthUnit;
use serde::{Deserialize, Serialize};
use uom::si::f64::{Length, Mass, ThermodynamicTemperature, Volume};
use uom::si::length::{inch, millimeter};
use uom::si::mass::{gram, ounce};
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};
use uom::si::volume::{fluid_ounce, milliliter};

/// How a length is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthForm {
    /// Millimetres, to a hundredth.
    Millimetre,
    /// Inches, to a thousandth.
    DecimalInch,
    /// Inches, to the nearest 64th, with the decimal beside it, since a 64th (0.4 mm) is coarser
    /// than a glue line.
    FractionInch,
}

impl LengthForm {
    /// The unit that a bare number is taken in beside it.
    pub fn unit(self) -> LengthUnit {
        match self {
            Self::Millimetre => LengthUnit::Millimetre,
            Self::DecimalInch | Self::FractionInch => LengthUnit::Inch,
        }
    }
}

/// How a mass is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MassForm {
    /// Grams, to a tenth.
    Gram,
    /// Avoirdupois ounces, to a hundredth.
    Ounce,
}

/// How a volume of liquid is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LiquidForm {
    /// Millilitres, to a tenth.
    Millilitre,
    /// US fluid ounces, to a hundredth.
    FluidOunce,
}

/// How a temperature is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TemperatureForm {
    /// °C, to a tenth.
    Celsius,
    /// °F, to a tenth.
    Fahrenheit,
}

/// The builder's choice for each kind of quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Units {
    /// Diameters, gaps and walls: what a caliper reads.
    pub diameters: LengthForm,
    /// Places and lengths along the rod: what a rule reads.
    pub distances: LengthForm,
    /// Masses.
    pub masses: MassForm,
    /// Volumes of liquid.
    pub liquids: LiquidForm,
    /// Temperatures.
    pub temperatures: TemperatureForm,
}

impl Units {
    /// What a workshop begins with that measures in this unit.
    pub fn usual(lengths: LengthUnit) -> Self {
        let (form, temperatures) = match lengths {
            LengthUnit::Millimetre => (LengthForm::Millimetre, TemperatureForm::Celsius),
            LengthUnit::Inch => (LengthForm::DecimalInch, TemperatureForm::Fahrenheit),
        };
        Self {
            diameters: form,
            distances: form,
            // Small scales and syringes show grams and millilitres everywhere.
            masses: MassForm::Gram,
            liquids: LiquidForm::Millilitre,
            temperatures,
        }
    }

    /// A diameter, gap or wall.
    pub fn diameter(&self, length: Length) -> String {
        shown(length, self.diameters)
    }

    /// A place or a length along the rod.
    pub fn distance(&self, length: Length) -> String {
        match self.distances {
            // A rule shows half a millimetre at best.
            LengthForm::Millimetre => format!("{} mm", plain(length.get::<millimeter>(), 1)),
            form => shown(length, form),
        }
    }

    /// A mass.
    pub fn mass(&self, mass: Mass) -> String {
        match self.masses {
            MassForm::Gram => format!("{} g", plain(mass.get::<gram>(), 1)),
            MassForm::Ounce => format!("{} oz", plain(mass.get::<ounce>(), 2)),
        }
    }

    /// A volume of liquid.
    pub fn liquid(&self, volume: Volume) -> String {
        match self.liquids {
            LiquidForm::Millilitre => format!("{} mL", plain(volume.get::<milliliter>(), 1)),
            LiquidForm::FluidOunce => format!("{} fl oz", plain(volume.get::<fluid_ounce>(), 2)),
        }
    }

    /// A temperature.
    pub fn temperature(&self, temperature: ThermodynamicTemperature) -> String {
        match self.temperatures {
            TemperatureForm::Celsius => {
                format!("{} °C", plain(temperature.get::<degree_celsius>(), 1))
            }
            TemperatureForm::Fahrenheit => {
                format!("{} °F", plain(temperature.get::<degree_fahrenheit>(), 1))
            }
        }
    }
}

fn shown(length: Length, form: LengthForm) -> String {
    let inches = length.get::<inch>();
    match form {
        LengthForm::Millimetre => format!("{} mm", plain(length.get::<millimeter>(), 2)),
        LengthForm::DecimalInch => format!("{} in", plain(inches, 3)),
        LengthForm::FractionInch => format!("{} in ({} in)", in_64ths(inches), plain(inches, 3)),
    }
}

/// No minus before nothing.
fn plain(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

/// The nearest 64th, in lowest terms: `1 3/16`, `31/64`, `2`.
fn in_64ths(inches: f64) -> String {
    let sign = if inches < 0.0 { "-" } else { "" };
    let whole = inches.abs().trunc();
    let mut above = ((inches.abs() - whole) * 64.0).round();
    let whole = if above >= 64.0 { whole + 1.0 } else { whole };
    let mut below = 64.0;
    if above >= 64.0 {
        above = 0.0;
    }
    while above > 0.0 && above % 2.0 == 0.0 {
        (above, below) = (above / 2.0, below / 2.0);
    }
    match (whole > 0.0, above > 0.0) {
        (true, true) => format!("{sign}{whole:.0} {above:.0}/{below:.0}"),
        (false, true) => format!("{sign}{above:.0}/{below:.0}"),
        (true, false) => format!("{sign}{whole:.0}"),
        (false, false) => "0".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::{in_millimetres, parse_length};

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[test]
    fn fractions_are_in_lowest_terms() {
        for (inches, shown) in [
            (0.0, "0"),
            (0.5, "1/2"),
            (1.1875, "1 3/16"),
            (31.0 / 64.0, "31/64"),
            (1.999, "2"),
            (0.004, "0"),
            (12.0, "12"),
        ] {
            assert_eq!(in_64ths(inches), shown);
        }
    }

    #[test]
    fn each_quantity_has_its_own_unit() {
        let units = Units {
            diameters: LengthForm::Millimetre,
            distances: LengthForm::FractionInch,
            masses: MassForm::Ounce,
            liquids: LiquidForm::FluidOunce,
            temperatures: TemperatureForm::Fahrenheit,
        };
        assert_eq!(units.diameter(mm(12.204)), "12.20 mm");
        assert_eq!(units.distance(mm(304.8)), "12 in (12.000 in)");
        assert_eq!(units.mass(Mass::new::<gram>(28.349_523_125)), "1.00 oz");
        assert_eq!(units.liquid(Volume::new::<milliliter>(29.573_529_562_5)), "1.00 fl oz");
        let warm = ThermodynamicTemperature::new::<degree_celsius>(23.0);
        assert_eq!(units.temperature(warm), "73.4 °F");
        let usual = Units::usual(LengthUnit::Millimetre);
        assert_eq!(usual.distance(mm(304.8)), "304.8 mm");
        assert_eq!(usual.diameter(mm(-0.001)), "0.00 mm");
    }

    proptest::proptest! {
        /// The nearest 64th is never more than half of one away.
        #[test]
        fn a_fraction_reads_back(inches in 0.0f64..200.0) {
            let text = format!("{} in", in_64ths(inches));
            let back = in_millimetres(parse_length(&text, LengthUnit::Inch).unwrap()) / 25.4;
            proptest::prop_assert!((back - inches).abs() <= 0.5 / 64.0 + 1e-9);
        }
    }
}
