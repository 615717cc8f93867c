//! What several kinds of file check in the same way.

use super::diagnostic::Findings;
use super::spanned::Spanned;
use super::wording;
use crate::hazard;
use coldbench_trade::{LengthUnit, Measure, parse_measure, unit_written};
use std::collections::BTreeSet;

pub(super) fn slug(text: &Spanned<String>, findings: &mut Findings<'_>) {
    let ok = !text.get_ref().is_empty()
        && text.get_ref().chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !ok {
        findings.error(
            "checklist::bad-id",
            text.span(),
            format!("“{}” can't be an id.", text.get_ref()),
            "Use small letters, digits and hyphens, for example dry-fit.",
        );
    }
}

pub(super) fn unique<'a>(
    ids: impl Iterator<Item = &'a Spanned<String>>,
    findings: &mut Findings<'_>,
) {
    let mut seen = BTreeSet::new();
    for id in ids {
        slug(id, findings);
        if !seen.insert(id.get_ref()) {
            findings.error(
                "checklist::id-twice",
                id.span(),
                format!("The id “{}” is used twice in this file.", id.get_ref()),
                "Give each step or check an id of its own.",
            );
        }
    }
}

pub(super) fn hazards(codes: &[Spanned<String>], findings: &mut Findings<'_>) {
    for code in codes {
        if hazard::words(code.get_ref()).is_none() {
            let near = hazard::HAZARDS
                .iter()
                .map(|(known, _)| *known)
                .filter(|known| strsim::damerau_levenshtein(known, code.get_ref()) <= 2)
                .min_by_key(|known| strsim::damerau_levenshtein(known, code.get_ref()));
            let all: Vec<&str> = hazard::HAZARDS.iter().map(|(known, _)| *known).collect();
            findings.error(
                "checklist::unknown-hazard",
                code.span(),
                format!("“{}” is no hazard known here.", code.get_ref()),
                near.map_or_else(
                    || format!("Known are: {}.", all.join(", ")),
                    |near| format!("Did you mean “{near}”?"),
                ),
            );
        }
    }
}

/// Reads a limit in `measure`; the unit must be written, so that nobody has to guess.
pub(super) fn limit(
    text: &Spanned<String>,
    measure: Measure,
    findings: &mut Findings<'_>,
) -> Option<f64> {
    if measure == Measure::Length && is_bare(text.get_ref()) {
        findings.error(
            "checklist::no-unit",
            text.span(),
            format!("“{}” has no unit.", text.get_ref()),
            "Write for example 0.2 mm or 1/64 in.",
        );
        return None;
    }
    match parse_measure(text.get_ref(), measure, LengthUnit::Millimetre) {
        Ok(value) => Some(value),
        Err(error) => {
            findings.error(
                "checklist::bad-value",
                text.span(),
                error.to_string(),
                "Mend the value.",
            );
            None
        }
    }
}

/// Whether a length is written without a unit.
pub(super) fn is_bare(text: &str) -> bool {
    !text.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'' | '″' | '′' | '”' | '’'))
}

/// Limits as numbers in the kept unit and in the author's words.
pub(super) struct Bounds {
    pub(super) least: Option<f64>,
    pub(super) most: Option<f64>,
    pub(super) words: String,
    /// Of lengths, the kind of unit that the author wrote.
    pub(super) unit: Option<LengthUnit>,
}

pub(super) fn bounds(
    measure: Measure,
    least: Option<&Spanned<String>>,
    most: Option<&Spanned<String>>,
    findings: &mut Findings<'_>,
) -> Bounds {
    let words = match (least, most) {
        (Some(least), Some(most)) => format!("{} to {}", least.get_ref(), most.get_ref()),
        (Some(least), None) => format!("{} or more", least.get_ref()),
        // Of what is counted there is nothing below none.
        (None, Some(most)) if measure == Measure::Number && most.get_ref().trim() == "0" => {
            "0, none at all".to_owned()
        }
        (None, Some(most)) => format!("{} or less", most.get_ref()),
        (None, None) => String::new(),
    };
    let unit = least.or(most).filter(|_| measure == Measure::Length);
    let unit = unit.and_then(|text| unit_written(text.get_ref()));
    let place = least.map_or(0..0, Spanned::span);
    let least = least.and_then(|text| limit(text, measure, findings));
    let most = most.and_then(|text| limit(text, measure, findings));
    if let (Some(least), Some(most)) = (least, most)
        && least > most
    {
        findings.error(
            "checklist::limits-crossed",
            place,
            "The least value lies above the greatest.",
            "Swap the two.",
        );
    }
    Bounds { least, most, words, unit }
}

pub(super) fn not_blank(what: &str, text: &Spanned<String>, findings: &mut Findings<'_>) {
    if text.get_ref().trim().is_empty() {
        findings.error(
            "checklist::blank",
            text.span(),
            format!("{what} is empty."),
            "Write it in a short sentence.",
        );
    }
    wording::length(what, text, findings);
}

/// Like [`not_blank`], for text that is not read at arm's length.
pub(super) fn written(what: &str, text: &Spanned<String>, findings: &mut Findings<'_>) {
    if text.get_ref().trim().is_empty() {
        not_blank(what, text, findings);
    }
}

/// What stands at the head of the file of a product.
pub(super) fn product_head(
    id: &Spanned<String>,
    title: &Spanned<String>,
    source: &Spanned<String>,
    caution: Option<&Spanned<String>>,
    findings: &mut Findings<'_>,
) {
    slug(id, findings);
    not_blank("The title", title, findings);
    written("The source", source, findings);
    if let Some(caution) = caution {
        not_blank("The caution", caution, findings);
    }
}

/// Rows of a table that go by a name: the second of two would never be found.
pub(super) fn named_once<'a>(
    names: impl Iterator<Item = &'a Spanned<String>>,
    findings: &mut Findings<'_>,
) {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name.get_ref().trim()) {
            findings.error(
                "checklist::named-twice",
                name.span(),
                format!("“{}” stands here twice.", name.get_ref()),
                "Keep one of the two.",
            );
        }
    }
}
