//! Quantities as text with their unit. A bare number is refused wherever there is a unit.

use coldbench_trade::air::Limit;
use coldbench_trade::bend::weight;
use coldbench_trade::units::{
    Angle, Force, Length, Mass, MassDensity, MolarEnergy, MolarMass, Pressure, Ratio, Time, degree,
    gigapascal, gram_per_cubic_centimeter, gram_per_mole, kilogram, kilojoule_per_mole, newton,
    part_per_million, second,
};
use coldbench_trade::{LengthUnit, Measure, parse_length, parse_measure};

use super::fields::short;

/// A value, or a sentence that says why there is none.
pub type Reading<T> = Result<T, String>;

/// Longest time taken, s: ten years. Beyond it a unit was mistaken.
const LONGEST_S: f64 = 10.0 * 365.25 * 86_400.0;

/// A length with its unit.
pub fn length(text: &str) -> Reading<Length> {
    let millimetres = parse_length(text, LengthUnit::Millimetre).map_err(|e| e.to_string())?;
    let inches = parse_length(text, LengthUnit::Inch).map_err(|e| e.to_string())?;
    let has_unit = text
        .contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'' | '″' | '′' | '”' | '’'));
    // Where the unit of a bare number matters, a number is bare.
    if has_unit && millimetres == inches {
        Ok(millimetres)
    } else {
        let text = short(text);
        Err(format!("“{text}” has no unit. Write for example 16.2 mm or 5/8 in."))
    }
}

/// A quantity in the unit of its measure, within what a workshop can hold.
pub fn measure(text: &str, measure: Measure) -> Reading<f64> {
    let value = parse_measure(text, measure, LengthUnit::Millimetre).map_err(|e| e.to_string())?;
    let (least, most) = match measure {
        Measure::Temperature => (-273.15, 3000.0),
        Measure::AirSpeed => (0.0, 100.0),
        Measure::Area => (0.0, 1e3),
        Measure::AirFlow | Measure::Volume | Measure::Mass | Measure::Liquid => (0.0, 1e6),
        _ => (0.0, 1e9),
    };
    within(text, value, least, most)
}

fn within(text: &str, value: f64, least: f64, most: f64) -> Reading<f64> {
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        let text = short(text);
        Err(format!("“{text}” is beyond anything in a workshop. Check the unit."))
    }
}

/// A number and the unit behind it, lower case, without spaces.
fn split(text: &str) -> Option<(f64, String)> {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '−' | '+');
    let end = text.find(|c| !is_number(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number: f64 = number.replace(',', ".").replace('−', "-").parse().ok()?;
    let unit = unit.to_lowercase().replace('³', "3").replace([' ', '\t'], "");
    number.is_finite().then_some((number, unit))
}

/// A number of zero or more in one of these units, times its factor.
fn in_units(text: &str, units: &[(&str, f64)]) -> Option<f64> {
    let (number, unit) = split(text)?;
    let factor = units.iter().find(|(known, _)| *known == unit)?.1;
    (number >= 0.0).then_some(number * factor)
}

/// The same, or a sentence that shows an example.
fn scaled(text: &str, units: &[(&str, f64)], example: &str) -> Reading<f64> {
    let value = in_units(text, units).ok_or_else(|| {
        let text = short(text);
        format!("“{text}” is not a value with a unit known here. Write for example {example}.")
    })?;
    within(text, value, 0.0, 1e9)
}

/// A percentage of either sign.
pub fn signed_percent(text: &str) -> Reading<f64> {
    match split(text) {
        Some((number, unit)) if unit == "%" => within(text, number, -1e6, 1e6),
        _ => Err(format!("“{}” is no percentage. Write for example 5 %.", short(text))),
    }
}

/// An angle of either sign, up to ten turns.
pub fn angle(text: &str) -> Reading<Angle> {
    match split(text) {
        Some((number, unit)) if matches!(unit.as_str(), "°" | "deg" | "degree" | "degrees") => {
            within(text, number, -3600.0, 3600.0).map(Angle::new::<degree>)
        }
        _ => Err(format!("“{}” is no angle. Write for example 37°.", short(text))),
    }
}

/// The pound in kg (international yard and pound agreement of 1959), and its ounce.
const POUND_KG: f64 = 0.453_592_37;

pub fn force(text: &str) -> Reading<Force> {
    let of = |kilograms| weight(Mass::new::<kilogram>(kilograms)).get::<newton>();
    let units = [("n", 1.0), ("kgf", of(1.0)), ("lbf", of(POUND_KG))];
    scaled(text, &units, "5 N").map(Force::new::<newton>)
}

/// The force with which a mass hangs down.
pub fn hung(text: &str) -> Reading<Force> {
    let units = [("g", 1e-3), ("kg", 1.0), ("oz", POUND_KG / 16.0), ("lb", POUND_KG)];
    scaled(text, &units, "200 g").map(|kilograms| weight(Mass::new::<kilogram>(kilograms)))
}

pub fn modulus(text: &str) -> Reading<Pressure> {
    scaled(text, &[("gpa", 1.0)], "60 GPa").map(Pressure::new::<gigapascal>)
}

/// A duration, e.g. `90 min` or `1 h 30 min`.
pub fn time(text: &str) -> Reading<Time> {
    const UNITS: [(&str, f64); 10] = [
        ("s", 1.0),
        ("sec", 1.0),
        ("min", 60.0),
        ("minutes", 60.0),
        ("h", 3600.0),
        ("hour", 3600.0),
        ("hours", 3600.0),
        ("d", 86_400.0),
        ("day", 86_400.0),
        ("days", 86_400.0),
    ];
    let mut seconds = 0.0;
    let mut rest = text.trim();
    while !rest.is_empty() {
        let unit_at = rest.find(|c: char| c.is_alphabetic()).unwrap_or(rest.len());
        let after = rest.get(unit_at..).unwrap_or_default();
        let end = unit_at + after.find(|c: char| !c.is_alphabetic()).unwrap_or(after.len());
        let (part, tail) = rest.split_at(end);
        // Quoted whole, so that who reads it finds what was typed.
        seconds += in_units(part, &UNITS).ok_or_else(|| {
            let text = short(text);
            format!("“{text}” is not a time with a unit known here. Write for example 90 min or 1 h 30 min.")
        })?;
        rest = tail.trim_start();
    }
    within(text, seconds, 0.0, LONGEST_S).map(Time::new::<second>)
}

pub fn density(text: &str) -> Reading<MassDensity> {
    let units = [("g/ml", 1.0), ("g/cm3", 1.0), ("g/cc", 1.0), ("kg/l", 1.0), ("kg/m3", 1e-3)];
    scaled(text, &units, "1.15 g/mL").map(MassDensity::new::<gram_per_cubic_centimeter>)
}

pub fn molar_mass(text: &str) -> Reading<MolarMass> {
    scaled(text, &[("g/mol", 1.0)], "60.1 g/mol").map(MolarMass::new::<gram_per_mole>)
}

pub fn molar_energy(text: &str) -> Reading<MolarEnergy> {
    let energy = scaled(text, &[("kj/mol", 1.0)], "55 kJ/mol");
    energy.map(MolarEnergy::new::<kilojoule_per_mole>)
}

/// A difference of temperatures in kelvin; a degree Celsius would be taken for a temperature.
pub fn kelvin(text: &str) -> Reading<f64> {
    scaled(text, &[("k", 1.0)], "10 K")
}

const IN_AIR: [(&str, f64); 4] = [("ppm", 1.0), ("%", 1e4), ("vol%", 1e4), ("volume%", 1e4)];

/// A level in the air.
pub fn level(text: &str) -> Reading<Ratio> {
    scaled(text, &IN_AIR, "25 % or 400 ppm").map(Ratio::new::<part_per_million>)
}

/// A limit in air: ppm, percent of the volume, or `none` where a source says that there is none.
pub fn limit(text: &str) -> Reading<Limit> {
    if text == "none" {
        return Ok(Limit::NoneSet);
    }
    let value = scaled(text, &IN_AIR, "2 vol %, 400 ppm, or none where a source says so")?;
    Ok(Limit::At(Ratio::new::<part_per_million>(value)))
}
