//! A two-part adhesive as its technical sheet describes it: how it is mixed, how long it can be
//! worked, when a bond may be handled, loaded and called cured.
//!
//! Nothing is filled in here. What the sheet leaves out stays unknown; what is taken in its place is
//! said by the figure that takes it.

use super::common;
use super::diagnostic::Findings;
use super::reading::{accepted, density, energy, known, length, mass, percent, temperature, time};
use super::schema::BasisName;
use super::spanned::Spanned;
use coldbench_trade::adhesive::{
    Activation, AdhesiveError, Cure, CureSheet, Milestone, MixSheet, Needed, Part, PotLife,
    Product, RatioBasis, arrhenius_factor, working_time,
};
use coldbench_trade::fit::BondLine;
use coldbench_trade::units::{
    Mass, MolarEnergy, ThermodynamicTemperature, Time, kilojoule_per_mole, minute,
};
use schemars::JsonSchema;
use serde::de::value::SeqAccessDeserializer;
use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;

/// A two-part adhesive.
#[derive(Debug, Clone, PartialEq)]
pub struct Adhesive {
    /// Stable id.
    pub id: String,
    /// What it is called at the bench.
    pub title: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// Where the figures come from.
    pub source: String,
    /// What hurts and what to do about it.
    pub caution: Option<String>,
    /// What the sheet says of mixing.
    pub mix: MixSheet,
    /// The same, checked.
    pub product: Product,
    /// The most that may stand in one cup; `None` where the sheet does not say.
    pub most_in_one_cup: Option<Mass>,
    /// How long it can be worked, at which mass and temperature.
    pub pot_life: PotLife,
    /// The temperature that times of cure without one of their own are for.
    pub reference: ThermodynamicTemperature,
    /// When a bond may be handled, loaded and called cured.
    pub cure: CureSheet,
    /// How strongly its cure goes with temperature; `None` where the sheet does not say.
    pub activation: Option<Activation>,
    /// The range of the glue line, per side; `None` where the sheet does not say.
    pub glue_line: Option<BondLine>,
}

impl Adhesive {
    /// How strongly its cure goes with temperature; [`Activation::published`] where the sheet is
    /// silent.
    pub fn activation(&self) -> Activation {
        self.activation.unwrap_or_else(Activation::published)
    }

    /// The range of the glue line, per side; [`BondLine::guideline`] where the sheet is silent.
    pub fn bond_line(&self) -> BondLine {
        self.glue_line.unwrap_or_else(BondLine::guideline)
    }
}

/// A two-part adhesive, from its technical sheet. What the sheet leaves out is left out here too.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawAdhesive {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens. Figures name
    /// it as their product.
    #[schemars(example = &"slow-cure-epoxy")]
    id: Spanned<String>,
    /// What it is called at the bench.
    #[schemars(example = &"Slow-cure epoxy")]
    title: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// Where the figures come from: the sheet, its maker and its date.
    #[schemars(example = &"The maker's technical sheet, revision of 2026-01-15.")]
    source: Spanned<String>,
    /// What hurts, and then what to do about it. The safety data sheet comes first.
    #[schemars(
        example = &"On skin it can bring an allergy for life. Wear gloves. The safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// Density of the resin alone: one number with its unit; of a range, the typical one.
    #[schemars(example = &"1.15 g/mL")]
    resin_density: Spanned<String>,
    /// Density of the hardener alone: one number with its unit; of a range, the typical one.
    #[schemars(example = &"0.97 g/mL")]
    hardener_density: Spanned<String>,
    /// How it is mixed: `ratio = { by = "volume", resin = 2, hardener = 1 }`.
    ratio: Spanned<RawRatio>,
    /// How far the ratio may be off, in percent.
    #[schemars(example = &"5 %")]
    tolerance: Option<Spanned<String>>,
    /// The most that may stand in one cup, as mass. More heats itself.
    #[schemars(example = &"50 g")]
    most_in_one_cup: Option<Spanned<String>>,
    /// How long it can be worked: `pot-life = { time = "45 min", mass = "100 g", at = "23 °C" }`.
    pot_life: RawPotLife,
    /// The temperature that the times of cure are for, unless they say their own.
    #[schemars(example = &"23 °C")]
    reference: Spanned<String>,
    /// After how long a bond may be handled: one time, or a table of temperatures and times.
    #[schemars(example = &"12 h")]
    handle: Spanned<RawNeeded>,
    /// After how long a bond may be loaded: one time, or a table of temperatures and times.
    #[schemars(example = &"24 h")]
    load: Spanned<RawNeeded>,
    /// After how long a bond has fully cured: one time, or a table of temperatures and times.
    #[schemars(example = &"7 d")]
    full: Spanned<RawNeeded>,
    /// The least temperature at which it cures.
    #[schemars(example = &"10 °C")]
    coldest: Option<Spanned<String>>,
    /// How strongly the cure goes with temperature, where the sheet says so:
    /// `activation = { least = "50 kJ/mol", likely = "55 kJ/mol", most = "60 kJ/mol" }`.
    activation: Option<Spanned<RawActivation>>,
    /// How thick the glue line is to be, per side: `glue-line = { least = "0.1 mm", most = "0.2 mm" }`.
    glue_line: Option<Spanned<RawGlueLine>>,
}

/// How resin and hardener are mixed.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "ratio")]
struct RawRatio {
    /// Whether the parts are by weight or by volume. The two differ wherever the densities do.
    #[schemars(with = "BasisName")]
    by: RatioBasis,
    /// Parts of resin.
    #[schemars(example = 2)]
    resin: f64,
    /// Parts of hardener.
    #[schemars(example = 1)]
    hardener: f64,
}

/// How long a batch can be worked, and which batch that is said of.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "pot-life")]
struct RawPotLife {
    /// How long it can be worked, with its unit: s, min, h or d.
    #[schemars(example = &"45 min")]
    time: Spanned<String>,
    /// The mass that was mixed for it, with its unit.
    #[schemars(example = &"100 g")]
    mass: Spanned<String>,
    /// The temperature it was tried at, with its unit.
    #[schemars(example = &"23 °C")]
    at: Spanned<String>,
}

/// The activation energy of the cure.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "activation")]
struct RawActivation {
    /// The least it may be.
    #[schemars(example = &"50 kJ/mol")]
    least: Spanned<String>,
    /// What it most likely is.
    #[schemars(example = &"55 kJ/mol")]
    likely: Spanned<String>,
    /// The most it may be.
    #[schemars(example = &"60 kJ/mol")]
    most: Spanned<String>,
}

/// How thick the glue line is to be, per side.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "glue-line")]
struct RawGlueLine {
    /// The least, with its unit.
    #[schemars(example = &"0.1 mm")]
    least: Spanned<String>,
    /// The most, with its unit.
    #[schemars(example = &"0.2 mm")]
    most: Spanned<String>,
}

/// A time of cure at a temperature.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "row")]
struct RawRow {
    /// The temperature, with its unit.
    #[schemars(example = &"18 °C")]
    at: Spanned<String>,
    /// How long it takes there, with its unit: min, h or d.
    #[schemars(example = &"36 h")]
    time: Spanned<String>,
}

/// One time, "24 h", or a table of temperatures and times:
/// `[{ at = "18 °C", time = "36 h" }, { at = "23 °C", time = "24 h" }]`.
#[derive(JsonSchema)]
#[schemars(untagged, rename = "time-or-table")]
enum RawNeeded {
    /// One time, with its unit: min, h or d. It is for the temperature under reference.
    Time(String),
    /// A time for each of several temperatures.
    Table(Vec<RawRow>),
}

/// By hand: an untagged enum would lose the places of what stands in the table.
impl<'de> Deserialize<'de> for RawNeeded {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;

        impl<'de> Visitor<'de> for Either {
            type Value = RawNeeded;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("\"24 h\" or [{ at = \"18 °C\", time = \"36 h\" }, …]")
            }

            fn visit_str<E>(self, text: &str) -> Result<RawNeeded, E> {
                Ok(RawNeeded::Time(text.to_owned()))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, rows: A) -> Result<RawNeeded, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(rows)).map(RawNeeded::Table)
            }
        }

        deserializer.deserialize_any(Either)
    }
}

pub(super) fn read(raw: RawAdhesive, findings: &mut Findings<'_>) -> Option<Adhesive> {
    common::product_head(&raw.id, &raw.title, &raw.source, raw.caution.as_ref(), findings);
    let mixing = mixing(&raw, findings);
    let most_in_one_cup = known(raw.most_in_one_cup.as_ref()).and_then(|t| one_cup(t, findings));
    let activation = raw.activation.as_ref().and_then(|raw| read_activation(raw, findings));
    let pot_life = read_pot_life(&raw.pot_life, findings);
    let reference = in_range(&raw.reference, findings);
    let cure = read_cure(&raw, reference, activation, findings);
    let glue_line = raw.glue_line.as_ref().and_then(|raw| read_glue_line(raw, findings));
    let ((mix, product), pot_life, cure) = (mixing?, pot_life?, cure?);
    workable_past_handling(&raw.pot_life, &pot_life, &cure, findings);
    Some(Adhesive {
        id: raw.id.into_inner(),
        title: raw.title.into_inner(),
        revised: raw.revised,
        source: raw.source.into_inner(),
        caution: raw.caution.map(Spanned::into_inner),
        mix,
        product,
        most_in_one_cup,
        pot_life,
        reference: reference?,
        cure,
        activation,
        glue_line,
    })
}

fn mixing(raw: &RawAdhesive, findings: &mut Findings<'_>) -> Option<(MixSheet, Product)> {
    let resin_density = density(&raw.resin_density, findings);
    let hardener_density = density(&raw.hardener_density, findings);
    let tolerance = known(raw.tolerance.as_ref()).and_then(|text| percent(text, findings));
    let ratio = raw.ratio.get_ref();
    let sheet = MixSheet {
        resin_density: resin_density?,
        hardener_density: hardener_density?,
        basis: ratio.by,
        resin_parts: ratio.resin,
        hardener_parts: ratio.hardener,
        tolerance,
    };
    let made = Product::new(sheet);
    let place = match (&made, &raw.tolerance) {
        (Err(AdhesiveError::Density { part: Part::Resin }), _) => raw.resin_density.span(),
        (Err(AdhesiveError::Density { part: Part::Hardener }), _) => raw.hardener_density.span(),
        (Err(AdhesiveError::Tolerance), Some(tolerance)) => tolerance.span(),
        _ => raw.ratio.span(),
    };
    accepted(made, place, findings).map(|product| (sheet, product))
}

fn one_cup(text: &Spanned<String>, findings: &mut Findings<'_>) -> Option<Mass> {
    let limit = mass(text, findings)?;
    if limit.value <= 0.0 {
        // Trade looks at it with a batch only.
        return accepted(Err(AdhesiveError::PotLimit), text.span(), findings);
    }
    Some(limit)
}

fn read_activation(
    raw: &Spanned<RawActivation>,
    findings: &mut Findings<'_>,
) -> Option<Activation> {
    let ends = raw.get_ref();
    let [least, likely, most] =
        [&ends.least, &ends.likely, &ends.most].map(|text| energy(text, findings));
    accepted(Activation::new(least?, likely?, most?), raw.span(), findings)
}

/// A temperature that trade takes for one of a resin.
fn in_range(
    text: &Spanned<String>,
    findings: &mut Findings<'_>,
) -> Option<ThermodynamicTemperature> {
    let temperature = temperature(text, findings)?;
    // Any energy will do: only the temperature is asked about.
    let energy = MolarEnergy::new::<kilojoule_per_mole>(55.0);
    let factor = arrhenius_factor(temperature, temperature, energy);
    accepted(factor, text.span(), findings).map(|_| temperature)
}

fn read_pot_life(raw: &RawPotLife, findings: &mut Findings<'_>) -> Option<PotLife> {
    let (time, mass) = (time(&raw.time, findings), mass(&raw.mass, findings));
    let temperature = in_range(&raw.at, findings);
    let sheet = PotLife { time: time?, mass: mass?, temperature: temperature? };
    let begun = Time::new::<minute>(0.0);
    let as_stated =
        working_time(&sheet, sheet.mass, Some(sheet.temperature), Activation::published(), begun);
    let place = match as_stated {
        Err(AdhesiveError::Amount) => raw.mass.span(),
        _ => raw.time.span(),
    };
    accepted(as_stated, place, findings).map(|_| sheet)
}

fn read_cure(
    raw: &RawAdhesive,
    reference: Option<ThermodynamicTemperature>,
    activation: Option<Activation>,
    findings: &mut Findings<'_>,
) -> Option<CureSheet> {
    let coldest = known(raw.coldest.as_ref()).and_then(|text| in_range(text, findings));
    let milestones = [&raw.handle, &raw.load, &raw.full];
    let needed = milestones.map(|milestone| read_needed(milestone, findings));
    let activation = activation.unwrap_or_else(Activation::published);
    let mut cures = Vec::new();
    for (milestone, needed) in milestones.into_iter().zip(needed) {
        let cure = Cure::new(reference?, &needed?, coldest, activation);
        let place = match (&cure, milestone.get_ref()) {
            (Err(AdhesiveError::Reference), _) => raw.reference.span(),
            (Err(AdhesiveError::TableOrder { row }), RawNeeded::Table(rows)) => {
                rows.get(*row).map_or(milestone.span(), |row| row.time.span())
            }
            _ => milestone.span(),
        };
        cures.push(accepted(cure, place, findings)?);
    }
    let [handle, load, full] = <[Cure; 3]>::try_from(cures).ok()?;
    let early = if load.needed() < handle.needed() { &raw.load } else { &raw.full };
    accepted(CureSheet::new(handle, load, full), early.span(), findings)
}

fn read_needed(raw: &Spanned<RawNeeded>, findings: &mut Findings<'_>) -> Option<Needed> {
    match raw.get_ref() {
        RawNeeded::Time(text) => {
            time(&Spanned::new(raw.span(), text.clone()), findings).map(Needed::Time)
        }
        RawNeeded::Table(rows) => {
            let rows: Vec<_> = rows
                .iter()
                .map(|row| in_range(&row.at, findings).zip(time(&row.time, findings)))
                .collect();
            rows.into_iter().collect::<Option<Vec<_>>>().map(Needed::Table)
        }
    }
}

fn read_glue_line(raw: &Spanned<RawGlueLine>, findings: &mut Findings<'_>) -> Option<BondLine> {
    let (least, most) =
        (length(&raw.get_ref().least, findings), length(&raw.get_ref().most, findings));
    accepted(BondLine::new(least?, most?), raw.span(), findings)
}

/// A thin line sets later than a full cup. Where it is the other way round, a unit slipped, and a
/// batch would be spread after it has begun to set.
fn workable_past_handling(
    raw: &RawPotLife,
    pot_life: &PotLife,
    cure: &CureSheet,
    findings: &mut Findings<'_>,
) {
    if pot_life.time > cure.towards(Milestone::Handle).needed() {
        findings.warn(
            "checklist::pot-life-too-long",
            raw.time.span(),
            "The mix could still be worked when the bond may be handled already.",
            "Look at the sheet again, and mind minutes and hours.",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::{self, Checklist, Severity};
    use coldbench_trade::adhesive::Reading;
    use coldbench_trade::units::{degree_celsius, gram, hour, millimeter};

    const EPOXY: &str = r#"format = 1
kind = "adhesive"
id = "epoxy"
title = "Epoxy"
revised = "2026-01-01"
source = "Invented for this test."
resin-density = "1.15 g/mL"
hardener-density = "970 kg/m3"
ratio = { by = "volume", resin = 2, hardener = 1 }
tolerance = "4 %"
most-in-one-cup = "50 g"
pot-life = { time = "45 min", mass = "100 g", at = "77 °F" }
reference = "23 °C"
handle = "12 h"
load = "24 h"
full = "7 d"
coldest = "12 °C"
activation = { least = "50 kJ/mol", likely = "52 kJ/mol", most = "60 kJ/mol" }
glue-line = { least = "2/1000 in", most = "0.2 mm" }
"#;

    /// The file above with some of its words replaced.
    fn changed(changes: &[(&str, &str)]) -> String {
        changes.iter().fold(EPOXY.to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from} is not there");
            text.replacen(from, to, 1)
        })
    }

    fn adhesive(source: &str) -> Adhesive {
        let read = checklist::read(source);
        assert_eq!(read.findings, []);
        let Some(Checklist::Adhesive(adhesive)) = read.checklist else { panic!("{source}") };
        adhesive
    }

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn close(got: f64, expected: f64) {
        assert!((got - expected).abs() < 1e-9 * expected.abs().max(1.0), "{got}, not {expected}");
    }

    #[test]
    fn a_sheet_becomes_what_trade_reckons_with() {
        let epoxy = adhesive(EPOXY);
        // One of hardener to two of resin by volume, each by its own density.
        close(epoxy.product.volume_ratio(), 0.5);
        close(epoxy.product.weight_ratio(), 0.5 * 0.97 / 1.15);
        close(epoxy.product.tolerance().value, 0.04);
        close(epoxy.most_in_one_cup.unwrap().get::<gram>(), 50.0);
        close(epoxy.pot_life.time.get::<minute>(), 45.0);
        close(epoxy.pot_life.mass.get::<gram>(), 100.0);
        close(epoxy.pot_life.temperature.get::<degree_celsius>(), 25.0);
        for (milestone, hours) in
            [(Milestone::Handle, 12.0), (Milestone::Load, 24.0), (Milestone::FullCure, 168.0)]
        {
            close(epoxy.cure.towards(milestone).needed().get::<hour>(), hours);
        }
        let energy = |kilojoules| MolarEnergy::new::<kilojoule_per_mole>(kilojoules);
        assert_eq!(
            Ok(epoxy.activation()),
            Activation::new(energy(50.0), energy(52.0), energy(60.0))
        );
        close(epoxy.bond_line().least().get::<millimeter>(), 0.0508);
        close(epoxy.bond_line().most().get::<millimeter>(), 0.2);
        let by_weight = adhesive(&changed(&[("by = \"volume\"", "by = \"weight\"")]));
        close(by_weight.product.weight_ratio(), 0.5);
    }

    #[test]
    fn what_the_sheet_leaves_out_stays_unknown() {
        let silent = adhesive(&changed(&[
            ("tolerance = \"4 %\"", ""),
            ("most-in-one-cup = \"50 g\"", "most-in-one-cup = \"unknown\""),
            ("activation", "#"),
            ("glue-line", "#"),
            ("coldest = \"12 °C\"", "coldest = \"Unknown\""),
        ]));
        assert_eq!(silent.mix.tolerance, None);
        assert_eq!(silent.most_in_one_cup, None);
        assert_eq!((silent.activation, silent.glue_line), (None, None));
        assert_eq!(silent.activation(), Activation::published());
        assert_eq!(silent.bond_line(), BondLine::guideline());
    }

    /// At 11 °C a product that stops at 12 °C stands still, and one whose sheet is silent does not.
    #[test]
    fn the_coldest_of_the_sheet_counts() {
        let cold = |at| Reading { at, temperature: celsius(11.0) };
        let done = |source: &str| {
            let cure = adhesive(source).cure;
            let [(_, handle), ..] = cure.progress(&[cold(0.0), cold(3600.0)], 0.0, 3600.0).unwrap();
            handle.equivalent.most.value
        };
        assert!(done(EPOXY) <= 0.0);
        assert!(done(&changed(&[("coldest", "#")])) > 0.0);
    }

    #[test]
    fn a_table_of_times_is_read_either_way() {
        let row = |at: &str, time: &str| format!("{{ at = \"{at}\", time = \"{time}\" }}");
        let inline = format!("load = [{}, {}]", row("18 °C", "36 h"), row("28 °C", "20 h"));
        let load = adhesive(&changed(&[("load = \"24 h\"", &inline)]));
        let needed = load.cure.towards(Milestone::Load).needed().get::<hour>();
        assert!(needed > 20.0 && needed < 36.0, "{needed}");
        let at_a_row = changed(&[("load = \"24 h\"", &inline), ("\"23 °C\"", "\"28 °C\"")]);
        close(adhesive(&at_a_row).cure.towards(Milestone::Load).needed().get::<hour>(), 20.0);
        let long = format!(
            "{}[[load]]\nat = \"18 °C\"\ntime = \"36 h\"\n[[load]]\nat = \"28 °C\"\ntime = \"20 h\"\n",
            changed(&[("load = \"24 h\"", "")])
        );
        assert_eq!(adhesive(&long).cure, load.cure);
    }

    /// What trade refuses stands at the figure at fault, in trade's own words.
    #[test]
    fn what_trade_refuses_is_said_in_its_words() {
        let cold_last =
            "[{ at = \"23 °C\", time = \"20 h\" }, { at = \"18 °C\", time = \"22 h\" }]";
        let one_row = "[{ at = \"23 °C\", time = \"20 h\" }]";
        for (from, to, error, marked) in [
            ("1.15 g/mL", "0.4 g/mL", AdhesiveError::Density { part: Part::Resin }, "\"0.4 g/mL\""),
            (
                "970 kg/m3",
                "450 kg/m3",
                AdhesiveError::Density { part: Part::Hardener },
                "\"450 kg/m3\"",
            ),
            ("resin = 2", "resin = 0", AdhesiveError::MixRatio, "{ by"),
            ("resin = 2", "resin = nan", AdhesiveError::MixRatio, "{ by"),
            ("\"4 %\"", "\"40 %\"", AdhesiveError::Tolerance, "\"40 %\""),
            ("\"50 g\"", "\"0 g\"", AdhesiveError::PotLimit, "\"0 g\""),
            ("45 min", "0 min", AdhesiveError::SheetTime, "\"0 min\""),
            ("100 g", "0 g", AdhesiveError::Amount, "\"0 g\""),
            ("\"77 °F\"", "\"770 °F\"", AdhesiveError::Temperature { celsius: 410.0 }, "\"770"),
            ("\"12 h\"", "\"0 h\"", AdhesiveError::SheetTime, "\"0 h\""),
            ("\"12 h\"", "\"25 h\"", AdhesiveError::MilestoneOrder, "\"24 h\""),
            ("\"7 d\"", "\"7 h\"", AdhesiveError::MilestoneOrder, "\"7 h\""),
            ("\"24 h\"", cold_last, AdhesiveError::TableOrder { row: 1 }, "\"22 h\""),
            ("\"24 h\"", one_row, AdhesiveError::TableTooShort, "[{ at"),
            ("\"12 °C\"", "\"23 °C\"", AdhesiveError::Reference, "\"23 °C\""),
            ("\"50 kJ", "\"53 kJ", AdhesiveError::Activation, "{ least = \"53"),
        ] {
            let source = changed(&[(from, to)]);
            let read = checklist::read(&source);
            let [finding] = read.findings.as_slice() else { panic!("{to}: {:?}", read.findings) };
            assert_eq!(finding.code, "checklist::refused", "{to}");
            let place = &source[finding.span.clone()];
            assert!(place.starts_with(marked), "{to}: {place}");
            if let AdhesiveError::Temperature { .. } = error {
                assert!(finding.message.contains("outside the range"), "{}", finding.message);
            } else {
                assert_eq!(finding.message, error.to_string());
            }
            assert_eq!(read.checklist, None, "{to}");
        }
        let crossed = changed(&[("2/1000 in", "0.2 mm")]);
        let read = checklist::read(&crossed);
        assert_eq!(read.findings[0].message, coldbench_trade::fit::FitError::BondLine.to_string());
    }

    #[test]
    fn each_slip_has_a_name() {
        for (from, to, code) in [
            ("1.15 g/mL", "1.15", "checklist::bad-value"),
            ("1.15 g/mL", "1.10–1.20 g/mL", "checklist::bad-value"),
            ("1.15 g/mL", "1,150 kg/m3", "checklist::bad-value"),
            ("1.15 g/mL", "1.15 lb/in3", "checklist::bad-value"),
            ("\"4 %\"", "\"0.04\"", "checklist::no-unit"),
            ("\"4 %\"", "\"-4 %\"", "checklist::bad-value"),
            ("by = \"volume\"", "by = \"spoon\"", "checklist::unreadable"),
            ("\"45 min\"", "\"45\"", "checklist::bad-value"),
            ("\"45 min\"", "\"45 m\"", "checklist::bad-value"),
            ("\"77 °F\"", "\"77\"", "checklist::bad-value"),
            ("\"24 h\"", "\"20–24 h\"", "checklist::bad-value"),
            ("\"24 h\"", "\"1,440 min\"", "checklist::bad-value"),
            ("\"24 h\"", "24", "checklist::unreadable"),
            ("\"24 h\"", "[\"24 h\"]", "checklist::unreadable"),
            ("\"50 g\"", "\"1,000 g\"", "checklist::bad-value"),
            ("50 kJ/mol", "50 kcal/mol", "checklist::bad-value"),
            ("0.2 mm", "0.2", "checklist::no-unit"),
            ("load = \"24 h\"", "", "checklist::unreadable"),
            ("\"Epoxy\"", "\"\"", "checklist::blank"),
            ("Invented for this test.", "", "checklist::blank"),
            ("\"epoxy\"", "\"Epoxy\"", "checklist::bad-id"),
        ] {
            let source = changed(&[(from, to)]);
            let read = checklist::read(&source);
            let codes: Vec<_> = read.findings.iter().map(|finding| finding.code).collect();
            assert_eq!(codes, [code], "{from} → {to}: {:?}", read.findings);
            assert_eq!(read.checklist, None, "{from} → {to}");
        }
    }

    #[test]
    fn a_working_time_past_handling_is_doubted() {
        let hours = checklist::read(&changed(&[("45 min", "45 h")]));
        assert_eq!(hours.findings[0].code, "checklist::pot-life-too-long");
        assert_eq!(hours.findings[0].severity, Severity::Warning);
        assert!(hours.checklist.is_some());
    }

    proptest::proptest! {
        /// Whatever stands where a figure should: what is read is above zero, and no reader panics.
        #[test]
        fn no_figure_makes_the_reader_panic(
            figure in "[<>≤≥ ]{0,2}[-−]?[0-9.,]{0,4} ?[-–]{0,2}[0-9.,]{0,3} ?(%|°C|g|h|min|d|g/mL|kJ/mol|mm|\\PC{0,3})"
        ) {
            let figure = figure.replace(['"', '\\'], "");
            for from in [
                "1.15 g/mL", "4 %", "50 g", "45 min", "100 g", "77 °F", "24 h", "12 °C", "52 kJ/mol", "0.2 mm",
            ] {
                let read = checklist::read(&changed(&[(from, &figure)])).checklist;
                let Some(Checklist::Adhesive(adhesive)) = read else { continue };
                proptest::prop_assert!(adhesive.pot_life.time.value > 0.0, "{figure}");
                proptest::prop_assert!(adhesive.product.weight_ratio() > 0.0, "{figure}");
                proptest::prop_assert!(adhesive.most_in_one_cup.is_none_or(|m| m.value > 0.0));
                let load = adhesive.cure.towards(Milestone::Load).needed();
                proptest::prop_assert!(load >= adhesive.cure.towards(Milestone::Handle).needed());
            }
        }
    }
}
