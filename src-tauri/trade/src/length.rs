//! Lengths as a builder writes them: `5/8 in`, `1 3/16"`, `0.625 in`, `16.2 mm`, `8 ft 6 in`.

use uom::si::f64::Length;
use uom::si::length::{centimeter, foot, inch, meter, millimeter};

/// The unit in which lengths are shown, and which a bare number is taken to mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthUnit {
    /// Inches; shown as a decimal to a thousandth, the way a caliper shows them.
    Inch,
    /// Millimetres; shown to a hundredth.
    Millimetre,
}

/// Why a text is no length. The message is meant to stand beside the field.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LengthError {
    /// Nothing was entered.
    #[error("Enter a length, for example 16.2 mm or 5/8 in.")]
    Empty,
    /// A part of the text is neither a number nor a unit.
    #[error(
        "“{part}” is not a number with a unit. Write for example 16.2 mm, 5/8 in or 1 3/16 in."
    )]
    NotALength {
        /// The part that could not be read.
        part: String,
    },
    /// A fraction divides by zero.
    #[error("“{fraction}” divides by zero, so it is no length. Check the number below the line.")]
    ZeroDenominator {
        /// The fraction as written.
        fraction: String,
    },
    /// A minus sign: no length on a rod is negative.
    #[error("“{text}” is negative. A length on a rod is zero or more.")]
    Negative {
        /// The text as written.
        text: String,
    },
    /// Larger than anything on a rod.
    #[error("“{text}” is longer than 20 m. Check the unit.")]
    TooLong {
        /// The text as written.
        text: String,
    },
}

/// Longest length that is taken for one on a rod or a bench; beyond it a unit was mistaken.
const LONGEST_M: f64 = 20.0;

/// A length from a plain number of millimetres.
pub fn millimetres(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

/// A length in millimetres as a plain number.
pub fn in_millimetres(length: Length) -> f64 {
    length.get::<millimeter>()
}

/// A length in inches as a plain number.
pub fn in_inches(length: Length) -> f64 {
    length.get::<inch>()
}

/// The length written out in `unit`, e.g. `16.20 mm` or `0.638 in`.
pub fn show_length(length: Length, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch => format!("{:.3} in", length.get::<inch>()),
        LengthUnit::Millimetre => format!("{:.2} mm", length.get::<millimeter>()),
    }
}

/// Reads a length of 0 to 20 m. A bare number is taken in `default_unit`; several parts with
/// units add up (`8 ft 6 in`). Units: mm, cm, m, in, `"`, ft, `'`. A decimal comma is read as a
/// decimal point. The inch is 25.4 mm exactly (international yard and pound agreement of 1959).
pub fn parse_length(text: &str, default_unit: LengthUnit) -> Result<Length, LengthError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(LengthError::Empty);
    }
    if trimmed.contains(['-', '−', '–']) {
        return minus_or_hyphen(trimmed, default_unit);
    }
    let tokens = tokens(trimmed)?;
    let total = add_up(&tokens, trimmed, default_unit)?;
    if !total.get::<meter>().is_finite() || total.get::<meter>() > LONGEST_M {
        return Err(LengthError::TooLong { text: trimmed.to_owned() });
    }
    Ok(total)
}

/// The kind of unit that stands in a length as written: that of its first part with one, `None` where
/// it is a bare number or no length.
pub fn unit_written(text: &str) -> Option<LengthUnit> {
    // A hyphen joins whole inches and a fraction, and says nothing of the unit.
    let tokens = tokens(&text.replace('-', " ")).ok()?;
    let unit = tokens.iter().find_map(|token| match token {
        Token::Unit(unit) => Some(unit),
        Token::Number(_) => None,
    })?;
    let is_imperial =
        unit(1.0) == Length::new::<inch>(1.0) || unit(1.0) == Length::new::<foot>(1.0);
    Some(if is_imperial { LengthUnit::Inch } else { LengthUnit::Millimetre })
}

/// `1-3/16` is how many builders write one and three sixteenths; `-5` is negative.
fn minus_or_hyphen(text: &str, default_unit: LengthUnit) -> Result<Length, LengthError> {
    let negative = || LengthError::Negative { text: text.to_owned() };
    let joined = text.split_once('-').filter(|(whole, rest)| {
        whole.chars().next_back().is_some_and(|c| c.is_ascii_digit())
            && rest.contains('/')
            && rest.starts_with(|c: char| c.is_ascii_digit())
    });
    let (whole, rest) = joined.ok_or_else(negative)?;
    if rest.contains(['-', '−', '–']) {
        return Err(negative());
    }
    parse_length(&format!("{whole} {rest}"), default_unit)
}

enum Token {
    Number(f64),
    Unit(fn(f64) -> Length),
}

fn tokens(text: &str) -> Result<Vec<Token>, LengthError> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        if first.is_whitespace() {
            rest = rest.trim_start();
            continue;
        }
        let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
        let numeric = is_number(first) || vulgar(first).is_some();
        let end = if vulgar(first).is_some() {
            first.len_utf8()
        } else if numeric {
            rest.find(|c| !is_number(c)).unwrap_or(rest.len())
        } else {
            rest.find(|c: char| c.is_whitespace() || c.is_ascii_digit()).unwrap_or(rest.len())
        };
        let (word, tail) = rest.split_at(end);
        rest = tail;
        found.push(if numeric { Token::Number(number(word)?) } else { Token::Unit(unit(word)?) });
    }
    Ok(found)
}

fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 1.0 / 2.0,
        '¼' => 1.0 / 4.0,
        '¾' => 3.0 / 4.0,
        '⅛' => 1.0 / 8.0,
        '⅜' => 3.0 / 8.0,
        '⅝' => 5.0 / 8.0,
        '⅞' => 7.0 / 8.0,
        _ => return None,
    })
}

fn number(word: &str) -> Result<f64, LengthError> {
    if let Some(value) = word.chars().next().and_then(vulgar) {
        return Ok(value);
    }
    let not_a_length = || LengthError::NotALength { part: word.to_owned() };
    let plain = |part: &str| part.replace(',', ".").parse::<f64>().map_err(|_| not_a_length());
    match word.split_once('/') {
        None => plain(word),
        Some((above, below)) => {
            let (above, below) = (plain(above)?, plain(below)?);
            if below == 0.0 {
                return Err(LengthError::ZeroDenominator { fraction: word.to_owned() });
            }
            Ok(above / below)
        }
    }
}

fn unit(word: &str) -> Result<fn(f64) -> Length, LengthError> {
    Ok(match word.to_lowercase().trim_end_matches('.') {
        "mm" => Length::new::<millimeter>,
        "cm" => Length::new::<centimeter>,
        "m" => Length::new::<meter>,
        "in" | "inch" | "inches" | "\"" | "″" | "”" => Length::new::<inch>,
        "ft" | "foot" | "feet" | "'" | "′" | "’" => Length::new::<foot>,
        _ => return Err(LengthError::NotALength { part: word.to_owned() }),
    })
}

/// `1 3/16 in`: numbers before a unit add up; then units add up.
fn add_up(tokens: &[Token], text: &str, default_unit: LengthUnit) -> Result<Length, LengthError> {
    let mut total = Length::new::<meter>(0.0);
    let mut waiting: Option<f64> = None;
    let mut any_unit = false;
    for token in tokens {
        match token {
            Token::Number(n) => waiting = Some(waiting.unwrap_or(0.0) + n),
            Token::Unit(make) => {
                let n = waiting
                    .take()
                    .ok_or_else(|| LengthError::NotALength { part: text.to_owned() })?;
                total += make(n);
                any_unit = true;
            }
        }
    }
    match (waiting, any_unit) {
        (None, _) => Ok(total),
        (Some(n), false) => Ok(match default_unit {
            LengthUnit::Inch => Length::new::<inch>(n),
            LengthUnit::Millimetre => Length::new::<millimeter>(n),
        }),
        // `8 ft 6`: which unit the six has would be a guess.
        (Some(_), true) => Err(LengthError::NotALength { part: text.to_owned() }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        in_millimetres(parse_length(text, LengthUnit::Millimetre).unwrap())
    }

    #[test]
    fn reads_what_builders_write() {
        for (text, expected) in [
            ("16.2 mm", 16.2),
            ("16,2", 16.2),
            ("5/8 in", 15.875),
            ("1 3/16\"", 30.1625),
            ("1-3/16 in", 30.1625),
            ("1½ in", 38.1),
            ("8 ft 6 in", 2590.8),
            ("8'6\"", 2590.8),
            ("2.59 m", 2590.0),
            ("12cm", 120.0),
            ("0", 0.0),
        ] {
            assert!((mm(text) - expected).abs() < 1e-9, "{text}: {}", mm(text));
        }
        let bare = parse_length("5/8", LengthUnit::Inch).unwrap();
        assert!((in_millimetres(bare) - 15.875).abs() < 1e-9);
    }

    #[test]
    fn refuses_with_a_sentence() {
        let err = |text: &str| parse_length(text, LengthUnit::Inch).unwrap_err();
        assert!(matches!(err("5/0"), LengthError::ZeroDenominator { .. }));
        assert!(matches!(err("-5 mm"), LengthError::Negative { .. }));
        assert!(matches!(err("− 5 mm"), LengthError::Negative { .. }));
        assert!(matches!(err("1--3/16"), LengthError::Negative { .. }));
        assert!(matches!(err("  "), LengthError::Empty));
        for text in ["abc", "5 furlong", "1/2/3", "mm", "8 ft 6", "1..2", "/", "mm 5", "∞"] {
            assert!(matches!(err(text), LengthError::NotALength { .. }), "{text}");
        }
        assert!(matches!(err("99 m"), LengthError::TooLong { .. }));
        assert!(matches!(err(&"9".repeat(400)), LengthError::TooLong { .. }));
        assert!(err("5/0").to_string().contains("5/0"));
    }

    #[test]
    fn the_unit_is_that_which_is_written() {
        let (inches, metric) = (Some(LengthUnit::Inch), Some(LengthUnit::Millimetre));
        for text in ["1/128 in", "5/8\"", "8 ft 6 in", "8'", "1-3/16 inches", "0 in"] {
            assert_eq!(unit_written(text), inches, "{text}");
        }
        for text in ["0.05 mm", "1,5 cm", "2 m", "0mm"] {
            assert_eq!(unit_written(text), metric, "{text}");
        }
        for text in ["0.1", "5/8", "1-3/16", "", "tight"] {
            assert_eq!(unit_written(text), None, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn never_panics_and_never_negative(text in "\\PC{0,24}") {
            if let Ok(length) = parse_length(&text, LengthUnit::Inch) {
                proptest::prop_assert!(in_millimetres(length) >= 0.0);
            }
        }

        #[test]
        fn what_is_shown_reads_back(mm in 0.0f64..5000.0) {
            let length = Length::new::<millimeter>(mm);
            for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
                let back = parse_length(&show_length(length, unit), unit).unwrap();
                proptest::prop_assert!((in_millimetres(back) - mm).abs() <= 0.0128);
            }
        }
    }
}
