//! Single figures as a product's technical sheet writes them, each with its unit.
//!
//! Of a range one end has to be written, the worse one: only who holds the sheet knows which that is.

use super::common;
use super::diagnostic::Findings;
use super::sheet_figure::{Quantity, has_thousands_comma, is_unknown, single};
use super::spanned::Spanned;
use coldbench_trade::units::{
    Length, Mass, MassDensity, MolarEnergy, Ratio, ThermodynamicTemperature, Time, degree_celsius,
    gram, gram_per_cubic_centimeter, kilojoule_per_mole, millimeter, minute, percent as percents,
};
use coldbench_trade::{LengthUnit, Measure, parse_measure};
use std::fmt::Display;
use std::ops::Range;

/// What is written, unless that is `unknown`: it says no more than leaving the key out.
pub(super) fn known(text: Option<&Spanned<String>>) -> Option<&Spanned<String>> {
    text.filter(|text| !is_unknown(text))
}

/// What trade makes of the figures, or its own sentence at the place of the one at fault.
pub(super) fn accepted<T, E: Display>(
    made: Result<T, E>,
    place: Range<usize>,
    findings: &mut Findings<'_>,
) -> Option<T> {
    made.map_err(|error| {
        findings.error(
            "checklist::refused",
            place,
            error.to_string(),
            "Look at the product's sheet again, and mind the unit and the point.",
        );
    })
    .ok()
}

pub(super) fn length(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Length> {
    let bare = common::is_bare(text.get_ref());
    with_unit(text, bare, Measure::Length, findings).map(Length::new::<millimeter>)
}

pub(super) fn time(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Time> {
    measured(text, Measure::Time, findings).map(Time::new::<minute>)
}

pub(super) fn mass(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Mass> {
    measured(text, Measure::Mass, findings).map(Mass::new::<gram>)
}

pub(super) fn temperature(
    text: &Spanned<String>,
    findings: &mut Findings<'_>,
) -> Option<ThermodynamicTemperature> {
    let celsius = measured(text, Measure::Temperature, findings)?;
    Some(ThermodynamicTemperature::new::<degree_celsius>(celsius))
}

/// Zero or more, with its sign for percent: `0.05` might stand for five.
pub(super) fn percent(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Ratio> {
    let bare = !text.get_ref().contains('%');
    with_unit(text, bare, Measure::Percent, findings).map(Ratio::new::<percents>)
}

/// One density: with a range, weight can't be turned into volume.
pub(super) fn density(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<MassDensity> {
    let kept = single(text.get_ref())
        .and_then(|(number, unit)| Quantity::Density.keep(&number.to_string(), &unit));
    if kept.is_none() {
        findings.error(
            "checklist::bad-value",
            text.span(),
            format!("“{}” is no density.", text.get_ref()),
            "Write one number with its unit, for example 1.15 g/mL; of a range, the typical one.",
        );
    }
    kept.map(MassDensity::new::<gram_per_cubic_centimeter>)
}

pub(super) fn energy(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<MolarEnergy> {
    match single(text.get_ref()) {
        Some((number, unit)) if unit == "kj/mol" => {
            Some(MolarEnergy::new::<kilojoule_per_mole>(number))
        }
        _ => {
            findings.error(
                "checklist::bad-value",
                text.span(),
                format!("“{}” is no activation energy.", text.get_ref()),
                "Write for example 55 kJ/mol.",
            );
            None
        }
    }
}

fn with_unit(
    text: &Spanned<String>,
    bare: bool,
    measure: Measure,
    findings: &mut Findings<'_>,
) -> Option<f64> {
    if bare {
        findings.error(
            "checklist::no-unit",
            text.span(),
            format!("“{}” has no unit.", text.get_ref()),
            format!("Write for example {}.", measure.example()),
        );
        return None;
    }
    measured(text, measure, findings)
}

/// The value in the kept unit of the measure.
fn measured(text: &Spanned<String>, measure: Measure, findings: &mut Findings<'_>) -> Option<f64> {
    let words = text.get_ref().trim();
    let number = words.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')));
    // “1,440 min” read as a minute and a half would let a bond be loaded wet.
    if number.into_iter().any(has_thousands_comma) {
        findings.error(
            "checklist::bad-value",
            text.span(),
            format!("The comma in “{words}” may stand for a point or for thousands."),
            "Write the number with a point, and thousands without anything.",
        );
        return None;
    }
    match parse_measure(words, measure, LengthUnit::Millimetre) {
        Ok(value) => Some(value),
        Err(error) => {
            findings.error(
                "checklist::bad-value",
                text.span(),
                error.to_string(),
                "Write one value with its unit; of a range, the worse end.",
            );
            None
        }
    }
}
