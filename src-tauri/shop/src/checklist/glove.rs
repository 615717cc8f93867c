//! A kind of glove as its maker's list describes it: how long it lasts against which material.
//!
//! What is not known stays unknown: then any contact means that the gloves are changed at once.

use super::common;
use super::diagnostic::Findings;
use super::reading::{accepted, known, percent, time};
use super::sheet_figure::at_least;
use super::spanned::Spanned;
use coldbench_trade::skin::{Breakthrough, MOVEMENT, OpenMaterial, PermeationLevel, change_by};
use coldbench_trade::units::{Ratio, Time, minute, ratio};
use schemars::JsonSchema;
use serde::Deserialize;

/// A kind of glove.
#[derive(Debug, Clone, PartialEq)]
pub struct Glove {
    /// Stable id.
    pub id: String,
    /// What it is called at the bench.
    pub title: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// What it is made of and how thick.
    pub made_of: String,
    /// Where the figures come from.
    pub source: String,
    /// What hurts and what to do about it.
    pub caution: Option<String>,
    /// What is known of it against materials; at least one, each material once.
    pub against: Vec<Against>,
}

/// What is known of a glove against one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// Id of the file of the material.
    pub material: String,
    /// How long the glove lasts.
    pub breakthrough: Breakthrough,
    /// How much of it movement takes away, a share from 0 to 0.95; `None` where nothing is stated.
    pub reduction: Option<Ratio>,
    /// Where that comes from.
    pub source: String,
}

impl Glove {
    /// How long it lasts, material by material.
    pub fn breakthroughs(&self) -> Vec<(String, Breakthrough)> {
        self.against.iter().map(|row| (row.material.clone(), row.breakthrough)).collect()
    }

    /// What is known of it against this material.
    pub fn breakthrough(&self, material: &str) -> Breakthrough {
        self.row(material).map_or(Breakthrough::Unknown, |row| row.breakthrough)
    }

    /// How much of a breakthrough time movement takes away with these materials open: the greatest
    /// that is stated for one of them, and [`MOVEMENT`] where nothing is.
    pub fn movement<'a>(&self, open: impl IntoIterator<Item = &'a str>) -> Ratio {
        let silent = Ratio::new::<ratio>(MOVEMENT);
        open.into_iter()
            .map(|material| self.row(material).and_then(|row| row.reduction).unwrap_or(silent))
            .reduce(|most, next| if next > most { next } else { most })
            .unwrap_or(silent)
    }

    fn row(&self, material: &str) -> Option<&Against> {
        self.against.iter().find(|row| row.material == material)
    }
}

/// A kind of glove, from its maker's list. What is not known is left out: then any contact means that the
/// gloves are changed at once.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawGlove {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens. Figures name
    /// it as their product.
    #[schemars(example = &"nitrile-gloves")]
    id: Spanned<String>,
    /// What it is called at the bench.
    #[schemars(example = &"Nitrile gloves, disposable")]
    title: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// Where the figures come from: the sheet, its maker and its date.
    #[schemars(example = &"The maker's list, revision of 2026-01-15.")]
    source: Spanned<String>,
    /// What hurts, and then what to do about it. The safety data sheet comes first.
    #[schemars(
        example = &"Solvent goes through unseen. Splashed or torn: change at once. The safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// What it is made of and how thick.
    #[schemars(example = &"nitrile, about 0.1 mm")]
    #[serde(rename = "type")]
    made_of: Spanned<String>,
    /// What is known of it against a material, each one an [[against]].
    #[schemars(length(min = 1))]
    #[serde(default)]
    against: Vec<RawAgainst>,
}

/// What the maker's list says of the glove against one material: a level or a time, or neither where it is
/// unknown.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "against")]
struct RawAgainst {
    /// The material, by the id of its file.
    #[schemars(example = &"isopropyl-alcohol")]
    material: Spanned<String>,
    /// The permeation level of EN ISO 374-1. Leave it out where a time is given.
    #[schemars(example = 2, range(min = 1, max = 6))]
    level: Option<Spanned<i64>>,
    /// The time until it comes through, with its unit; of a range the least.
    #[schemars(example = &"15 min")]
    breakthrough: Option<Spanned<String>>,
    /// How much of that time movement takes away. 33 % if left out.
    #[schemars(example = &"33 %")]
    reduction: Option<Spanned<String>>,
    /// Where that comes from.
    #[schemars(example = &"The maker's list, 2026-01-15.")]
    source: Spanned<String>,
}

pub(super) fn read(raw: RawGlove, findings: &mut Findings<'_>) -> Glove {
    common::product_head(&raw.id, &raw.title, &raw.source, raw.caution.as_ref(), findings);
    common::not_blank("The type", &raw.made_of, findings);
    if raw.against.is_empty() {
        findings.error(
            "checklist::no-against",
            raw.id.span(),
            "The glove names no material.",
            "Add an [[against]] with material and source for each material that it is worn against.",
        );
    }
    common::named_once(raw.against.iter().map(|row| &row.material), findings);
    let against = raw.against.into_iter().map(|row| read_against(row, findings)).collect();
    Glove {
        id: raw.id.into_inner(),
        title: raw.title.into_inner(),
        revised: raw.revised,
        made_of: raw.made_of.into_inner(),
        source: raw.source.into_inner(),
        caution: raw.caution.map(Spanned::into_inner),
        against,
    }
}

/// A row with a fault in it is kept as unknown; the file is not used then.
fn read_against(raw: RawAgainst, findings: &mut Findings<'_>) -> Against {
    common::slug(&raw.material, findings);
    common::written("The source", &raw.source, findings);
    if let (Some(level), Some(_)) = (&raw.level, known(raw.breakthrough.as_ref())) {
        findings.error(
            "checklist::level-and-time",
            level.span(),
            format!("For “{}” both a level and a time are given.", raw.material.get_ref()),
            "Keep one of them: the time if the list gives one for this material, or else the level.",
        );
    }
    let level = raw.level.as_ref().and_then(|level| read_level(level, findings));
    let after = known(raw.breakthrough.as_ref());
    let after = after.and_then(|text| read_time(text, raw.material.get_ref(), findings));
    Against {
        breakthrough: after
            .map(Breakthrough::After)
            .or(level.map(Breakthrough::Level))
            .unwrap_or(Breakthrough::Unknown),
        reduction: known(raw.reduction.as_ref()).and_then(|text| read_reduction(text, findings)),
        material: raw.material.into_inner(),
        source: raw.source.into_inner(),
    }
}

fn read_level(level: &Spanned<i64>, findings: &mut Findings<'_>) -> Option<PermeationLevel> {
    let read = match level.get_ref() {
        1 => PermeationLevel::One,
        2 => PermeationLevel::Two,
        3 => PermeationLevel::Three,
        4 => PermeationLevel::Four,
        5 => PermeationLevel::Five,
        6 => PermeationLevel::Six,
        other => {
            findings.error(
                "checklist::out-of-range",
                level.span(),
                format!("There is no level {other}: those of EN ISO 374-1 go from 1 to 6."),
                "Copy it from the glove maker's list again, or leave it out if the list gives none.",
            );
            return None;
        }
    };
    Some(read)
}

/// A time, which may be given as the least it is: lists print “> 480 min”.
fn read_time(text: &Spanned<String>, material: &str, findings: &mut Findings<'_>) -> Option<Time> {
    let Some(least) = at_least(text.get_ref()) else {
        findings.error(
            "checklist::open-end",
            text.span(),
            format!("“{}” leaves the end open that counts.", text.get_ref()),
            "Write the least time it lasts, or leave it out: then any contact means a change at once.",
        );
        return None;
    };
    let after = time(&Spanned::new(text.span(), least.to_owned()), findings)?;
    let breakthrough = Breakthrough::After(after);
    let open = [OpenMaterial { name: material.to_owned(), breakthrough }];
    let (worn, movement) = (Time::new::<minute>(0.0), Ratio::new::<ratio>(0.0));
    accepted(change_by(&open, worn, movement), text.span(), findings).map(|_| after)
}

fn read_reduction(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Ratio> {
    let reduction = percent(text, findings)?;
    let by = change_by(&[], Time::new::<minute>(0.0), reduction);
    accepted(by, text.span(), findings).map(|_| reduction)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::{self, Checklist};
    use coldbench_trade::skin::SkinError;
    use coldbench_trade::units::percent as percents;

    const NITRILE: &str = r#"format = 1
kind = "glove"
id = "gloves"
title = "Gloves"
revised = "2026-01-01"
type = "nitrile, 0.1 mm"
source = "Invented for this test."
[[against]]
material = "hardener"
level = 2
reduction = "20 %"
source = "Invented."
[[against]]
material = "spirits"
breakthrough = "15 min"
reduction = "50 %"
source = "Invented."
[[against]]
material = "acetone"
source = "Invented."
"#;

    fn changed(changes: &[(&str, &str)]) -> String {
        changes.iter().fold(NITRILE.to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from} is not there");
            text.replacen(from, to, 1)
        })
    }

    fn glove(source: &str) -> Glove {
        let read = checklist::read(source);
        assert_eq!(read.findings, []);
        let Some(Checklist::Glove(glove)) = read.checklist else { panic!("{source}") };
        glove
    }

    fn minutes(value: f64) -> Breakthrough {
        Breakthrough::After(Time::new::<minute>(value))
    }

    #[test]
    fn a_list_becomes_what_trade_reckons_with() {
        let glove = glove(NITRILE);
        let expected = [
            ("hardener".to_owned(), Breakthrough::Level(PermeationLevel::Two)),
            ("spirits".to_owned(), minutes(15.0)),
            ("acetone".to_owned(), Breakthrough::Unknown),
        ];
        assert_eq!(glove.breakthroughs(), expected);
        for (material, breakthrough) in expected {
            assert_eq!(glove.breakthrough(&material), breakthrough);
        }
        assert_eq!(glove.breakthrough("soap"), Breakthrough::Unknown);
    }

    #[test]
    fn a_time_may_be_given_as_the_least_it_is() {
        for (words, read) in [
            ("> 480 min", minutes(480.0)),
            ("≥ 8 h", minutes(480.0)),
            (">=30 min", minutes(30.0)),
            ("unknown", Breakthrough::Unknown),
        ] {
            let text = changed(&[("15 min", words)]);
            assert_eq!(glove(&text).breakthrough("spirits"), read, "{words}");
        }
    }

    /// EN ISO 374-1:2016: levels 1 to 6 are longer than 10, 30, 60, 120, 240 and 480 min.
    #[test]
    fn a_level_is_the_one_of_the_standard() {
        for (level, least) in (1..).zip([10.0, 30.0, 60.0, 120.0, 240.0, 480.0]) {
            let text = changed(&[("level = 2", &format!("level = {level}"))]);
            let read = glove(&text).breakthrough("hardener");
            let Breakthrough::Level(read) = read else { panic!("{level}: {read:?}") };
            assert!((read.longer_than().get::<minute>() - least).abs() < 1e-9, "{level}");
        }
    }

    #[test]
    fn the_greatest_reduction_of_what_is_open_counts() {
        let glove = glove(NITRILE);
        let percent_of = |open: &[&str]| glove.movement(open.iter().copied()).get::<percents>();
        let published = MOVEMENT * 100.0;
        for (open, expected) in [
            (&["hardener"] as &[_], 20.0),
            (&["hardener", "spirits"], 50.0),
            (&["hardener", "acetone"], published),
            (&["soap"], published),
            (&[], published),
        ] {
            assert!((percent_of(open) - expected).abs() < 1e-9, "{open:?}: {}", percent_of(open));
        }
    }

    #[test]
    fn each_slip_has_a_name() {
        for (from, to, code) in [
            ("level = 2", "level = 0", "checklist::out-of-range"),
            ("level = 2", "level = 7", "checklist::out-of-range"),
            ("level = 2", "level = \"2\"", "checklist::unreadable"),
            ("level = 2", "level = 2\nbreakthrough = \"1 h\"", "checklist::level-and-time"),
            ("15 min", "15", "checklist::bad-value"),
            ("15 min", "< 15 min", "checklist::open-end"),
            ("15 min", "up to 15 min", "checklist::open-end"),
            ("15 min", "1,440 min", "checklist::bad-value"),
            ("20 %", "0.2", "checklist::no-unit"),
            ("\"spirits\"", "\"hardener\"", "checklist::named-twice"),
            ("\"spirits\"", "\"White spirit\"", "checklist::bad-id"),
            ("\"nitrile, 0.1 mm\"", "\"\"", "checklist::blank"),
            ("\"Invented.\"", "\"\"", "checklist::blank"),
            ("source = \"Invented.\"", "", "checklist::unreadable"),
        ] {
            let read = checklist::read(&changed(&[(from, to)]));
            let codes: Vec<_> = read.findings.iter().map(|finding| finding.code).collect();
            assert_eq!(codes, [code], "{from} → {to}: {:?}", read.findings);
            assert_eq!(read.checklist, None, "{from} → {to}");
        }
        let empty = NITRILE.split("[[against]]").next().unwrap();
        assert_eq!(checklist::read(empty).findings[0].code, "checklist::no-against");
    }

    #[test]
    fn what_trade_refuses_is_said_in_its_words() {
        let zero = SkinError::Breakthrough { name: "spirits".to_owned() };
        for (from, to, error) in [("15 min", "0 min", zero), ("20 %", "96 %", SkinError::Reduction)]
        {
            let source = changed(&[(from, to)]);
            let read = checklist::read(&source);
            let [finding] = read.findings.as_slice() else { panic!("{to}: {:?}", read.findings) };
            assert_eq!(
                (finding.code, &finding.message),
                ("checklist::refused", &error.to_string())
            );
            assert_eq!(&source[finding.span.clone()], format!("\"{to}\""));
        }
    }
}
