//! A family of heat-shrink sleeves as its maker's sheet describes it: the sizes, and the temperatures
//! at which they shrink.

use super::common;
use super::diagnostic::Findings;
use super::reading::{accepted, known, length, percent, temperature};
use super::spanned::Spanned;
use coldbench_trade::sleeve::{
    Beneath, ShrinkRange, SizingWindow, SleeveSize, cut_length, under_heat,
};
use coldbench_trade::units::{
    Length, Ratio, TemperatureInterval, ThermodynamicTemperature, degree_celsius, kelvins,
    millimeter,
};
use schemars::JsonSchema;
use serde::Deserialize;

/// Sleeves of one kind in the sizes they come in.
#[derive(Debug, Clone, PartialEq)]
pub struct Sleeve {
    /// Stable id.
    pub id: String,
    /// What they are called at the bench.
    pub title: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// Where the figures come from.
    pub source: String,
    /// What hurts and what to do about it.
    pub caution: Option<String>,
    /// The sizes, as in the file; at least one.
    pub sizes: Vec<SleeveSize>,
    /// The temperatures at which they shrink.
    pub shrinks: ShrinkRange,
    /// The greatest shortening, zero or below; `None` where the sheet does not say.
    pub length_change: Option<Ratio>,
    /// What the sleeve itself bears; `None` where the sheet does not say.
    pub bears: Option<ThermodynamicTemperature>,
    /// Room in diameter while it slides on; `None` where the file does not say.
    pub clearance: Option<Length>,
}

/// Taken where the file gives no clearance, mm. Common practice, no source.
const CLEARANCE_MM: f64 = 0.5;

impl Sleeve {
    /// How a sleeve must sit: [`SizingWindow::published`] with the clearance of the file, or 0.5 mm
    /// (common practice, no source).
    pub fn window(&self) -> SizingWindow {
        let silent = || Length::new::<millimeter>(CLEARANCE_MM);
        SizingWindow::published(self.clearance.unwrap_or_else(silent))
    }

    /// The sleeve among what the heat reaches.
    pub fn itself(&self) -> Beneath {
        Beneath { name: self.title.clone(), bears: self.bears }
    }
}

/// Heat-shrink sleeves of one kind in the sizes they come in, from their maker's sheet. What the sheet
/// leaves out is left out here too.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawSleeve {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens. Figures name
    /// it as their product.
    #[schemars(example = &"polyolefin-sleeve")]
    id: Spanned<String>,
    /// What it is called at the bench.
    #[schemars(example = &"Polyolefin sleeve, 2:1")]
    title: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// Where the figures come from: the sheet, its maker and its date.
    #[schemars(example = &"The maker's sheet, revision of 2026-01-15.")]
    source: Spanned<String>,
    /// What hurts, and then what to do about it. The safety data sheet comes first.
    #[schemars(
        example = &"Hot air burns skin and lights vapour. Heat only under a clearance. The safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// The temperatures at which it shrinks: `shrinks = { from = "90 °C", full = "121 °C" }`.
    shrinks: Spanned<RawShrinks>,
    /// The greatest shortening, in percent and with its minus; 0 % if it gets no shorter.
    #[schemars(example = &"-10 %")]
    length_change: Option<Spanned<String>>,
    /// What the sleeve itself bears while it shrinks.
    #[schemars(example = &"135 °C")]
    bears: Option<Spanned<String>>,
    /// Room in diameter while it slides on. 0.5 mm if left out.
    #[schemars(example = &"0.5 mm")]
    clearance: Option<Spanned<String>>,
    /// The sizes it comes in, each one a [[size]].
    #[schemars(length(min = 1))]
    #[serde(default)]
    size: Vec<RawSize>,
}

/// The temperatures at which a sleeve shrinks.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "shrinks")]
struct RawShrinks {
    /// Where it begins to shrink.
    #[schemars(example = &"90 °C")]
    from: Spanned<String>,
    /// Where it has shrunk fully.
    #[schemars(example = &"121 °C")]
    full: Spanned<String>,
}

/// One row of the maker's table of sizes.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "size")]
struct RawSize {
    /// What the size is called, each once.
    #[schemars(example = &"1/2 in")]
    name: Spanned<String>,
    /// The least inside diameter as supplied.
    #[schemars(example = &"0.500 in")]
    expanded: Spanned<String>,
    /// The greatest inside diameter when fully shrunk.
    #[schemars(example = &"0.250 in")]
    recovered: Spanned<String>,
    /// The wall when fully shrunk.
    #[schemars(example = &"0.64 mm")]
    wall: Spanned<String>,
}

pub(super) fn read(raw: RawSleeve, findings: &mut Findings<'_>) -> Option<Sleeve> {
    common::product_head(&raw.id, &raw.title, &raw.source, raw.caution.as_ref(), findings);
    if raw.size.is_empty() {
        findings.error(
            "checklist::no-size",
            raw.id.span(),
            "The sleeve has no size.",
            "Add a [[size]] with name, expanded, recovered and wall for each row of the maker's table.",
        );
    }
    common::named_once(raw.size.iter().map(|size| &size.name), findings);
    let sizes: Vec<_> = raw.size.iter().map(|size| read_size(size, findings)).collect();
    let shrinks = read_shrinks(&raw.shrinks, findings);
    let length_change = known(raw.length_change.as_ref()).and_then(|t| shortening(t, findings));
    let bears = known(raw.bears.as_ref()).and_then(|text| read_bears(text, shrinks, findings));
    let clearance = known(raw.clearance.as_ref()).and_then(|text| length(text, findings));
    Some(Sleeve {
        id: raw.id.into_inner(),
        title: raw.title.into_inner(),
        revised: raw.revised,
        source: raw.source.into_inner(),
        caution: raw.caution.map(Spanned::into_inner),
        sizes: sizes.into_iter().collect::<Option<_>>()?,
        shrinks: shrinks?,
        length_change,
        bears,
        clearance,
    })
}

fn read_size(raw: &RawSize, findings: &mut Findings<'_>) -> Option<SleeveSize> {
    common::not_blank("The name of the size", &raw.name, findings);
    let [expanded, recovered, wall] =
        [&raw.expanded, &raw.recovered, &raw.wall].map(|text| length(text, findings));
    let size = SleeveSize::new(raw.name.get_ref(), expanded?, recovered?, wall?);
    accepted(size, raw.name.span(), findings)
}

fn read_shrinks(raw: &Spanned<RawShrinks>, findings: &mut Findings<'_>) -> Option<ShrinkRange> {
    let begins = temperature(&raw.get_ref().from, findings);
    let full = temperature(&raw.get_ref().full, findings);
    let range = ShrinkRange { begins: begins?, full: full? };
    accepted(under_heat(&range, no_margin(), &[]), raw.span(), findings).map(|_| range)
}

fn no_margin() -> TemperatureInterval {
    TemperatureInterval::new::<kelvins>(0.0)
}

/// The sleeve's own limit. Below full shrinkage no heat would ever do, which is a slip more often
/// than a fact: many sheets print the limit of long use alone.
fn read_bears(
    text: &Spanned<String>,
    shrinks: Option<ShrinkRange>,
    findings: &mut Findings<'_>,
) -> Option<ThermodynamicTemperature> {
    let (bears, shrinks) = (temperature(text, findings)?, shrinks?);
    let itself = [Beneath { name: String::new(), bears: Some(bears) }];
    accepted(under_heat(&shrinks, no_margin(), &itself), text.span(), findings)?;
    if bears < shrinks.full {
        let full = shrinks.full.get::<degree_celsius>();
        findings.warn(
            "checklist::bears-too-little",
            text.span(),
            format!(
                "“{}” lies below the {full:.0} °C at which it is fully shrunk, so no heat would do.",
                text.get_ref()
            ),
            "Look at the sheet again. The limit of long use is not what it bears while it shrinks.",
        );
    }
    Some(bears)
}

/// The greatest shortening: below zero, or zero where it gets no shorter.
fn shortening(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Ratio> {
    let words = text.get_ref().trim();
    let (sign, size) = match words.strip_prefix(['-', '−']) {
        Some(size) => (-1.0, size),
        None => (1.0, words),
    };
    let change = percent(&Spanned::new(text.span(), size.to_owned()), findings)? * sign;
    if change.value > 0.0 {
        findings.error(
            "checklist::not-shorter",
            text.span(),
            format!("“{words}” says that it gets longer, and a cut is reckoned by how much shorter it may get."),
            "Write the greatest shortening with its minus, for example -10 %, or 0 % if there is none.",
        );
        return None;
    }
    let one = Length::new::<millimeter>(1.0);
    accepted(cut_length(one, one, Some(change)), text.span(), findings).map(|_| change)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::{self, Checklist, Severity};
    use coldbench_trade::sleeve::{Covered, SleeveError, UnderHeat, choose_size, judge_size};
    use coldbench_trade::units::{inch, percent as percents};

    const TUBING: &str = r#"format = 1
kind = "sleeve"
id = "tubing"
title = "Tubing"
revised = "2026-01-01"
source = "Invented for this test."
shrinks = { from = "90 °C", full = "121 °C" }
length-change = "-10 %"
bears = "135 °C"
clearance = "1/64 in"
[[size]]
name = "1/2"
expanded = "0.500 in"
recovered = "0.250 in"
wall = "0.025 in"
[[size]]
name = "3/4"
expanded = "3/4 in"
recovered = "9.525 mm"
wall = "0.76 mm"
"#;

    fn changed(changes: &[(&str, &str)]) -> String {
        changes.iter().fold(TUBING.to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from} is not there");
            text.replacen(from, to, 1)
        })
    }

    fn sleeve(source: &str) -> Sleeve {
        let read = checklist::read(source);
        assert_eq!(read.findings, []);
        let Some(Checklist::Sleeve(sleeve)) = read.checklist else { panic!("{source}") };
        sleeve
    }

    fn inches(value: f64) -> Length {
        Length::new::<inch>(value)
    }

    #[test]
    fn a_table_becomes_what_trade_chooses_from() {
        let tubing = sleeve(TUBING);
        let names: Vec<_> = tubing.sizes.iter().map(SleeveSize::name).collect();
        assert_eq!(names, ["1/2", "3/4"]);
        let of_the_table =
            SleeveSize::new("1/2", inches(0.5), inches(0.25), inches(0.025)).unwrap();
        assert!((tubing.sizes[0].shrink_ratio() - of_the_table.shrink_ratio()).abs() < 1e-12);
        let walls = (tubing.sizes[0].expanded_wall(), of_the_table.expanded_wall());
        assert!((walls.0 - walls.1).abs() < inches(1e-9));
        let covered =
            Covered { passes: inches(0.45), largest: inches(0.4), smallest: inches(0.35) };
        let chosen = choose_size(&tubing.sizes, &covered, &tubing.window()).unwrap();
        assert_eq!(chosen.name(), "1/2");
        let change = tubing.length_change.unwrap().get::<percents>();
        assert!((change + 10.0).abs() < 1e-9, "{change}");
        let judged = under_heat(&tubing.shrinks, no_margin(), &[tubing.itself()]);
        assert_eq!(judged, Ok(vec![UnderHeat::Bears]));
    }

    #[test]
    fn what_the_sheet_leaves_out_stays_unknown() {
        let silent = sleeve(&changed(&[
            ("length-change", "#"),
            ("\"135 °C\"", "\"unknown\""),
            ("clearance", "#"),
        ]));
        assert_eq!((silent.length_change, silent.clearance), (None, None));
        let judged = under_heat(&silent.shrinks, no_margin(), &[silent.itself()]);
        assert_eq!(judged, Ok(vec![UnderHeat::Unknown]));
        // Half a millimetre of room is needed, and 0.48 in of 0.5 in leaves 0.508 mm.
        let over = |passes| {
            let covered = Covered { passes, largest: inches(0.4), smallest: inches(0.35) };
            judge_size(&silent.sizes[0], &covered, &silent.window()).unwrap().is_empty()
        };
        assert!(over(inches(0.48)) && !over(inches(0.481)));
        let none = sleeve(&changed(&[("-10 %", "0 %")]));
        assert_eq!(none.length_change, Some(Ratio::new::<percents>(0.0)));
        let typeset = sleeve(&changed(&[("-10 %", "−10 %")]));
        assert_eq!(typeset, sleeve(TUBING));
    }

    #[test]
    fn what_trade_refuses_is_said_in_its_words() {
        for (from, to, error, marked) in [
            ("0.500 in", "0.200 in", SleeveError::Size { name: "1/2".to_owned() }, "\"1/2\""),
            ("0.025 in", "0 in", SleeveError::Size { name: "1/2".to_owned() }, "\"1/2\""),
            ("\"90 °C\"", "\"190 °C\"", SleeveError::Temperature, "{ from"),
            ("121 °C", "1210 °C", SleeveError::Temperature, "{ from"),
            ("135 °C", "1350 °C", SleeveError::Temperature, "\"1350 °C\""),
            ("-10 %", "-51 %", SleeveError::Change, "\"-51 %\""),
        ] {
            let source = changed(&[(from, to)]);
            let read = checklist::read(&source);
            let [finding] = read.findings.as_slice() else { panic!("{to}: {:?}", read.findings) };
            assert_eq!(finding.code, "checklist::refused", "{to}");
            assert_eq!(finding.message, error.to_string(), "{to}");
            let place = &source[finding.span.clone()];
            assert!(place.starts_with(marked), "{to}: {place}");
            assert_eq!(read.checklist, None, "{to}");
        }
    }

    #[test]
    fn each_slip_has_a_name() {
        for (from, to, code) in [
            ("-10 %", "10 %", "checklist::not-shorter"),
            ("-10 %", "-0.1", "checklist::no-unit"),
            ("-10 %", "--10 %", "checklist::bad-value"),
            ("135 °C", "135", "checklist::bad-value"),
            ("1/64 in", "1/64", "checklist::no-unit"),
            ("1/64 in", "½", "checklist::no-unit"),
            ("1/64 in", "16,2", "checklist::no-unit"),
            ("0.500 in", "0,500 inn", "checklist::bad-value"),
            ("0.500 in", "1,500 mm", "checklist::bad-value"),
            ("\"3/4\"", "\"1/2\"", "checklist::named-twice"),
            ("\"3/4\"", "\" \"", "checklist::blank"),
            ("from", "form", "checklist::unreadable"),
        ] {
            let source = changed(&[(from, to)]);
            let read = checklist::read(&source);
            let codes: Vec<_> = read.findings.iter().map(|finding| finding.code).collect();
            assert_eq!(codes, [code], "{from} → {to}: {:?}", read.findings);
            assert_eq!(read.checklist, None, "{from} → {to}");
        }
        let empty = TUBING.split("[[size]]").next().unwrap();
        assert_eq!(checklist::read(empty).findings[0].code, "checklist::no-size");
    }

    #[test]
    fn a_sleeve_that_bears_less_than_it_needs_is_doubted() {
        let read = checklist::read(&changed(&[("135 °C", "105 °C")]));
        assert_eq!(read.findings[0].code, "checklist::bears-too-little");
        assert_eq!(read.findings[0].severity, Severity::Warning);
        assert!(read.checklist.is_some());
        assert_eq!(checklist::read(&changed(&[("135 °C", "121 °C")])).findings, []);
    }
}
