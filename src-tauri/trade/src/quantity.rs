//! A measured value as a builder writes it: lengths, degrees, grams, air speeds, times.

use crate::length::{LengthError, LengthUnit, in_millimetres, parse_length};

/// What a checklist may ask to be measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Length; read by [`crate::parse_length`], kept in mm.
    Length,
    /// Temperature; °C or °F, kept in °C.
    Temperature,
    /// Angle in degrees of arc.
    Angle,
    /// Mass in grams; g, kg, oz (28.349523125 g exactly, international avoirdupois) or lb (16 oz).
    Mass,
    /// A plain count or ratio without a unit.
    Number,
    /// Percent.
    Percent,
    /// Air speed, kept in m/s; m/s or fpm (1 ft is 0.3048 m exactly).
    AirSpeed,
    /// Area of an opening, kept in m²; m2, cm2, ft2, in2.
    Area,
    /// Air flow, kept in m³/h; m3/h or cfm.
    AirFlow,
    /// Room volume, kept in m³; m3 or ft3.
    Volume,
    /// Volume of a liquid, kept in mL; mL, L, cc, fl oz (US, 29.5735295625 mL exactly: 1/128 of
    /// 231 cubic inches), tsp or tbsp (US, 1/6 and 1/2 fl oz).
    Liquid,
    /// A length of time, kept in min; s, min, h, d. The unit must be written.
    Time,
}

/// Why a text is no such quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was entered.
    #[error("Enter a value, for example {example}.")]
    Empty {
        /// A value that would be taken.
        example: &'static str,
    },
    /// Not a number with one of the units.
    #[error("“{text}” is not a value with a unit known here. Write for example {example}.")]
    NotAQuantity {
        /// The text as written.
        text: String,
        /// A value that would be taken.
        example: &'static str,
    },
    /// Not a length.
    #[error(transparent)]
    Length(#[from] LengthError),
}

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// US fluid ounce: 1/128 of a gallon of 231 cubic inches (NIST Handbook 44, appendix C).
const FLUID_OUNCE_ML: f64 = 29.573_529_562_5;

impl Measure {
    /// The unit in which the value is kept and compared with limits.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Temperature => "°C",
            Self::Angle => "°",
            Self::Mass => "g",
            Self::Number => "",
            Self::Percent => "%",
            Self::AirSpeed => "m/s",
            Self::Area => "m²",
            Self::AirFlow => "m³/h",
            Self::Volume => "m³",
            Self::Liquid => "mL",
            Self::Time => "min",
        }
    }

    /// What was written, with the unit that was taken for granted: a record must carry it even
    /// where the field supplied it.
    pub fn with_unit(self, text: &str, bare_length: LengthUnit) -> String {
        let text = text.trim();
        let bare =
            |c: char| c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ',' | '/' | '-');
        if !text.chars().all(|c| bare(c) || "½¼¾⅛⅜⅝⅞".contains(c)) {
            return text.to_owned();
        }
        match (self, bare_length) {
            (Self::Length, LengthUnit::Inch) => format!("{text} in"),
            (measure, _) => format!("{text} {}", measure.unit()).trim_end().to_owned(),
        }
    }

    /// A value that would be taken, to show in an empty field.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "16.2 mm or 5/8 in",
            Self::Temperature => "21 °C or 70 °F",
            Self::Angle => "37°",
            Self::Mass => "4.2 g",
            Self::Number => "3",
            Self::Percent => "5 %",
            Self::AirSpeed => "0.5 m/s or 100 fpm",
            Self::Area => "0.09 m2 or 1 ft2",
            Self::AirFlow => "600 m3/h or 350 cfm",
            Self::Volume => "60 m3 or 2100 ft3",
            Self::Liquid => "15 mL or 0.5 fl oz",
            Self::Time => "45 min or 24 h",
        }
    }

    /// Factor and offset that turn a number in `unit` into the kept unit; an empty unit means
    /// the kept one, except for temperature and time, where a bare number would be a guess.
    fn scale(self, unit: &str) -> Option<(f64, f64)> {
        let unit = unit.trim().to_lowercase().replace('²', "2").replace('³', "3").replace(' ', "");
        let one = (1.0, 0.0);
        Some(match (self, unit.as_str()) {
            (Self::Temperature, "°f" | "f") => (5.0 / 9.0, -32.0 * 5.0 / 9.0),
            (Self::Temperature, "°c" | "c")
            | (Self::Angle, "" | "°" | "deg" | "degrees")
            | (Self::Mass, "g" | "gram" | "grams")
            | (Self::Number, "")
            | (Self::Percent, "" | "%")
            | (Self::AirSpeed, "m/s")
            | (Self::Area, "m2" | "sqm")
            | (Self::AirFlow, "m3/h")
            | (Self::Volume, "m3")
            | (Self::Liquid, "ml" | "cc" | "cm3")
            | (Self::Time, "min" | "minute" | "minutes") => one,
            (Self::Liquid, "l" | "litre" | "liter") | (Self::Mass, "kg") => (1000.0, 0.0),
            (Self::Liquid, "floz" | "fl.oz" | "fl.oz.") => (FLUID_OUNCE_ML, 0.0),
            (Self::Liquid, "tsp") => (FLUID_OUNCE_ML / 6.0, 0.0),
            (Self::Liquid, "tbsp") => (FLUID_OUNCE_ML / 2.0, 0.0),
            (Self::Mass, "oz") => (28.349_523_125, 0.0),
            (Self::Mass, "lb" | "lbs") => (453.592_37, 0.0),
            (Self::AirSpeed, "fpm" | "ft/min") => (FOOT / 60.0, 0.0),
            (Self::Area, "cm2") => (1e-4, 0.0),
            (Self::Area, "ft2" | "sqft") => (FOOT * FOOT, 0.0),
            (Self::Area, "in2" | "sqin") => (INCH * INCH, 0.0),
            (Self::AirFlow, "cfm" | "ft3/min") => (FOOT * FOOT * FOOT * 60.0, 0.0),
            (Self::Volume, "ft3" | "cuft") => (FOOT * FOOT * FOOT, 0.0),
            (Self::Time, "s" | "sec" | "second" | "seconds") => (1.0 / 60.0, 0.0),
            (Self::Time, "h" | "hour" | "hours") => (60.0, 0.0),
            (Self::Time, "d" | "day" | "days") => (24.0 * 60.0, 0.0),
            _ => return None,
        })
    }
}

/// Reads `text` as `measure` and returns the value in [`Measure::unit`]. Negative values are
/// taken for temperature and angle alone. A length without a unit is taken in `bare_length`.
pub fn parse_measure(
    text: &str,
    measure: Measure,
    bare_length: LengthUnit,
) -> Result<f64, QuantityError> {
    if measure == Measure::Length {
        return Ok(in_millimetres(parse_length(text, bare_length)?));
    }
    let example = measure.example();
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { example });
    }
    let not = || QuantityError::NotAQuantity { text: trimmed.to_owned(), example };
    let end = trimmed
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '−' | '+')))
        .unwrap_or(trimmed.len());
    let (number, unit) = trimmed.split_at(end);
    let number: f64 = number.replace(',', ".").replace('−', "-").parse().map_err(|_| not())?;
    let (factor, offset) = measure.scale(unit).ok_or_else(not)?;
    let value = number * factor + offset;
    let may_be_negative = matches!(measure, Measure::Temperature | Measure::Angle);
    if !value.is_finite() || value < 0.0 && !may_be_negative {
        return Err(not());
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthUnit = LengthUnit::Millimetre;

    #[test]
    fn refuses_what_it_cannot_place() {
        for (text, measure) in [
            ("", Measure::Mass),
            ("70", Measure::Temperature),
            ("-3 g", Measure::Mass),
            ("0.5 knots", Measure::AirSpeed),
            ("1e999 m3", Measure::Volume),
            ("--3°", Measure::Angle),
            ("45", Measure::Time),
            // Minutes or metres?
            ("45 m", Measure::Time),
            ("8-12 h", Measure::Time),
        ] {
            assert!(parse_measure(text, measure, MM).is_err(), "{text}");
        }
        assert_eq!(parse_measure("37°", Measure::Angle, MM), Ok(37.0));
        assert_eq!(parse_measure("-4,5", Measure::Angle, MM), Ok(-4.5));
    }

    #[test]
    fn what_is_kept_carries_its_unit() {
        assert_eq!(Measure::Length.with_unit(" 5/8 ", LengthUnit::Inch), "5/8 in");
        assert_eq!(Measure::Length.with_unit("1½", LengthUnit::Inch), "1½ in");
        assert_eq!(Measure::Length.with_unit("16,2", MM), "16,2 mm");
        assert_eq!(Measure::Length.with_unit("5/8\"", MM), "5/8\"");
        assert_eq!(Measure::Number.with_unit("3", MM), "3");
        assert_eq!(Measure::Percent.with_unit("5 %", MM), "5 %");
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,16}") {
            for measure in [Measure::Temperature, Measure::Area, Measure::AirFlow, Measure::Time] {
                let _ = parse_measure(&text, measure, MM);
            }
        }
    }
}
