//! A product as its safety data sheet describes it: what is in it, what of it evaporates, when it
//! burns.
//!
//! The file asks for what the sheet states in sections 2 (hazards), 3 (composition, as ranges), 8
//! (exposure limits) and 9 (density, flash point, boiling point, lower limit, autoignition).
//! Nothing is filled in here: a figure that the sheet leaves out stays unknown, and with an unknown
//! figure there is no vapour estimate and so no heat.

use super::common;
use super::diagnostic::Findings;
use super::schema::Hazard;
use super::sheet_figure::{Quantity, figure, given, is_none, is_unknown, single, stated};
use super::spanned::Spanned;
use schemars::JsonSchema;
use serde::Deserialize;

/// A product that is kept, opened and used at a station.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Stable id.
    pub id: String,
    /// What it is called at the bench.
    pub title: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// The safety data sheet it was written from, or that there is none.
    pub sheet: String,
    /// Where the figures come from.
    pub source: String,
    /// Hazard codes of section 2.
    pub hazards: Vec<String>,
    /// What hurts and what to do about it.
    pub caution: Option<String>,
    /// Density in g/mL.
    pub density_g_ml: Option<Given>,
    /// Flash point in °C, closed cup.
    pub flash_c: Stated,
    /// Initial boiling point in °C.
    pub boils_c: Option<Given>,
    /// Autoignition temperature in °C.
    pub autoignition_c: Stated,
    /// Lower flammable limit of the product's vapour as a whole, vol % in air.
    pub lower_limit_percent: Stated,
    /// Mass fraction (0 to 1) that stays behind and is not named as a component.
    pub solids: Option<Given>,
    /// What it is made of; at least one.
    pub components: Vec<Component>,
    /// Amounts that are offered at the bench.
    pub uses: Vec<QuickAmount>,
}

/// One line of section 3.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    /// Its name.
    pub name: String,
    /// Its CAS number, if the sheet gives one.
    pub cas: Option<String>,
    /// Mass fraction of the product, 0 to 1.
    pub share: Given,
    /// Whether it evaporates. What stays behind is asked for no limits.
    pub volatile: bool,
    /// Molar mass in g/mol.
    pub molar_mass_g_mol: Option<Given>,
    /// Lower flammable limit, vol % in air; [`Stated::HasNone`] where the vapour does not burn.
    pub lower_limit_percent: Stated,
    /// Mean over eight hours; `None` where none is stated.
    pub day_limit: Option<AirLimit>,
    /// Mean over fifteen minutes; `None` where none is stated.
    pub short_limit: Option<AirLimit>,
    /// Never to be passed; `None` where none is stated.
    pub ceiling: Option<AirLimit>,
    /// Where its figures come from, if not from where those of the product do.
    pub source: Option<String>,
}

/// An amount offered at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct QuickAmount {
    /// What it is used for.
    pub name: String,
    /// How much, in mL.
    pub amount_ml: f64,
}

/// A figure as a sheet gives it: one number, a range, or a range with an open end.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The least it can be, in the kept unit. After `>` it lies just above the number written.
    pub least: f64,
    /// The most it can be, in the kept unit; infinite where the sheet leaves it open.
    pub most: f64,
    /// As it was written.
    pub words: String,
}

/// A figure that a product may do without.
#[derive(Debug, Clone, PartialEq)]
pub enum Stated {
    /// The sheet does not say.
    Unknown,
    /// The sheet says that there is none: it does not flash, it does not burn.
    HasNone,
    /// The sheet gives it.
    Given(Given),
}

impl Stated {
    /// The figure, if the sheet gives one.
    pub fn given(&self) -> Option<&Given> {
        match self {
            Self::Given(given) => Some(given),
            Self::Unknown | Self::HasNone => None,
        }
    }
}

/// An exposure limit, kept in the unit it was published in: a petroleum mixture has no one molar
/// mass, and its limits are published in mg/m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AirLimit {
    /// Parts per million by volume, at 25 °C and 760 torr.
    Ppm(f64),
    /// Milligrams per cubic metre.
    MgPerM3(f64),
}

/// Litres of a mole of vapour at 25 °C and 760 torr (29 CFR 1910.1000, Table Z-1, footnotes).
const LITRES_PER_MOLE: f64 = 24.45;

impl AirLimit {
    /// The limit in ppm: mg/m³ x 24.45 / molar mass. With the molar mass that the vapour is
    /// reckoned with, the ratio of vapour to limit is that of the masses, whatever it is.
    pub fn ppm(self, molar_mass_g_mol: f64) -> f64 {
        match self {
            Self::Ppm(ppm) => ppm,
            Self::MgPerM3(mg) => mg * LITRES_PER_MOLE / molar_mass_g_mol,
        }
    }
}

/// A component that evaporates, each figure at its worst end. The shares of all components
/// together may pass the whole: each is taken at its most.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaporating {
    /// Its name.
    pub name: String,
    /// Mass fraction of the product, 0 to 1: the most.
    pub share: f64,
    /// Grams of it in a millilitre of the product: greatest density times greatest share.
    pub grams_per_ml: f64,
    /// Molar mass in g/mol: the least, which makes the most vapour.
    pub molar_mass_g_mol: f64,
    /// Lower flammable limit, vol %: the lowest, of the component and of the product; `None`
    /// where the sheet says that its vapour does not burn.
    pub lower_limit_percent: Option<f64>,
    /// Mean over eight hours, ppm.
    pub day_limit_ppm: Option<f64>,
    /// Mean over fifteen minutes, ppm.
    pub short_limit_ppm: Option<f64>,
    /// Never to be passed, ppm.
    pub ceiling_ppm: Option<f64>,
}

/// Highest flash point of a flammable liquid: 29 CFR 1910.106(a)(19), 199.4 °F; GHS category 4.
const MOST_FLASH_C: f64 = 93.0;

impl Material {
    /// Whether it counts as a flammable liquid: a flash point at or below 93 °C. `None` means
    /// that nobody knows, and is to be treated as worse than `Some(true)`.
    ///
    /// A product that does not flash in the cup still counts where something in it burns as
    /// vapour: water that leaves first lets the rest burn.
    pub fn is_flammable(&self) -> Option<bool> {
        match &self.flash_c {
            Stated::Unknown => None,
            Stated::Given(flash) => Some(flash.least <= MOST_FLASH_C),
            Stated::HasNone => self
                .volatile()
                .map(|component| match component.lower_limit_percent {
                    Stated::Unknown => None,
                    Stated::HasNone => Some(false),
                    Stated::Given(_) => Some(true),
                })
                .try_fold(false, |any, burns| Some(any | burns?)),
        }
    }

    /// The lowest autoignition temperature in °C; `None` where none is stated.
    pub fn lowest_autoignition(&self) -> Option<f64> {
        self.autoignition_c.given().map(|given| given.least)
    }

    /// What keeps the vapour from being estimated, a sentence for each figure. Empty means that
    /// [`Material::worst`] gives an answer; anything else means no heat.
    pub fn missing_for_estimate(&self) -> Vec<String> {
        self.worst().err().unwrap_or_default()
    }

    /// What evaporates, each figure at its worst end: most mass, least molar mass, lowest limits.
    ///
    /// # Errors
    /// A sentence for each figure that is missing; then there is no estimate, and no heat.
    pub fn worst(&self) -> Result<Vec<Evaporating>, Vec<String>> {
        let mut missing = Vec::new();
        let any = self.volatile().next().is_some();
        if any && self.density_g_ml.is_none() {
            missing.push("The density is not stated (section 9 of the sheet).".to_owned());
        }
        let burns =
            self.volatile().any(|component| component.lower_limit_percent != Stated::HasNone);
        match self.is_flammable() {
            Some(true) if !burns => missing.push(
                "It has a flash point, but no component is named that evaporates and burns (section 3)."
                    .to_owned(),
            ),
            None if !burns => missing.push("The flash point is not stated (section 9).".to_owned()),
            _ => {}
        }
        // The vapour of a product with one volatile component is the vapour of that component.
        let alone = self.volatile().count() == 1;
        let whole = self.lower_limit_percent.given().map(|given| given.least);
        let density = self.density_g_ml.as_ref().map_or(0.0, |given| given.most);
        let mut found = Vec::new();
        for component in self.volatile() {
            let name = &component.name;
            let lower_limit_percent = match &component.lower_limit_percent {
                Stated::HasNone => None,
                Stated::Given(own) => Some(whole.map_or(own.least, |whole| own.least.min(whole))),
                Stated::Unknown => {
                    if !alone || whole.is_none() {
                        missing.push(format!("{name}: the lower flammable limit is not stated."));
                    }
                    whole
                }
            };
            let Some(molar_mass) = &component.molar_mass_g_mol else {
                missing.push(format!("{name}: the molar mass is not stated."));
                continue;
            };
            let ppm = |limit: Option<AirLimit>| limit.map(|limit| limit.ppm(molar_mass.least));
            found.push(Evaporating {
                name: name.clone(),
                share: component.share.most,
                grams_per_ml: density * component.share.most,
                molar_mass_g_mol: molar_mass.least,
                lower_limit_percent,
                day_limit_ppm: ppm(component.day_limit),
                short_limit_ppm: ppm(component.short_limit),
                ceiling_ppm: ppm(component.ceiling),
            });
        }
        if missing.is_empty() { Ok(found) } else { Err(missing) }
    }

    fn volatile(&self) -> impl Iterator<Item = &Component> {
        self.components.iter().filter(|component| component.volatile)
    }
}

/// A product that is kept, opened and used at a station, from its safety data sheet. A figure that the
/// sheet leaves out is left out here too: with an unknown one there is no estimate of the vapour, and so
/// no heat.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawMaterial {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens. Gloves and
    /// stations name it.
    #[schemars(example = &"acetone")]
    id: Spanned<String>,
    /// What it is called at the bench.
    #[schemars(example = &"Acetone")]
    title: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// The safety data sheet it was written from, or that there is none.
    #[schemars(example = &"Safety data sheet of the maker, revision of 2026-01-15.")]
    sheet: Spanned<String>,
    /// Where the figures come from.
    #[schemars(example = &"Sections 2, 3, 8 and 9 of the sheet.")]
    source: Spanned<String>,
    /// What can hurt: the codes of section 2 of the sheet, or words of this list.
    #[schemars(with = "Vec<Hazard>", example = vec!["H225", "vapour"])]
    #[serde(default)]
    hazards: Vec<Spanned<String>>,
    /// What hurts, and then what to do about it. Needed where hazards are named. The safety data sheet
    /// comes first.
    #[schemars(
        example = &"Vapour catches fire at once. Keep flames out. The safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// Density, section 9: a number or a range, with its unit.
    #[schemars(example = &"0.78–0.80 g/mL")]
    density: Option<Spanned<String>>,
    /// Flash point, section 9, closed cup: a number, a range or an open end, with its unit; "none" where
    /// it does not flash.
    #[schemars(example = &"-20 °C")]
    flash: Option<Spanned<String>>,
    /// Initial boiling point, section 9, with its unit.
    #[schemars(example = &"56 °C")]
    boils: Option<Spanned<String>>,
    /// Autoignition temperature, section 9, with its unit; "none" where the sheet says that there is none.
    #[schemars(example = &"465 °C")]
    autoignition: Option<Spanned<String>>,
    /// Lower flammable limit of the product as a whole, section 9, by volume in air; "none" where its
    /// vapour does not burn.
    #[schemars(example = &"2.5 %")]
    lower_limit: Option<Spanned<String>>,
    /// What stays behind and is not named as a component, by mass.
    #[schemars(example = &"0–5 %")]
    solids: Option<Spanned<String>>,
    /// Amounts that are offered at the bench, each one a [[use]].
    #[serde(default, rename = "use")]
    uses: Vec<RawUse>,
    /// What it is made of, section 3, each one a [[component]].
    #[schemars(length(min = 1))]
    #[serde(default)]
    component: Vec<RawComponent>,
}

/// An amount that is offered at the bench.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "use")]
struct RawUse {
    /// What takes this much.
    #[schemars(example = &"a damp cloth")]
    name: Spanned<String>,
    /// How much, with its unit: mL, L or fl oz.
    #[schemars(example = &"5 mL")]
    amount: Spanned<String>,
}

/// One line of section 3 of the sheet.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "component")]
struct RawComponent {
    /// Its name.
    #[schemars(example = &"Acetone")]
    name: Spanned<String>,
    /// Its CAS number, where the sheet gives one.
    #[schemars(example = &"67-64-1")]
    cas: Option<Spanned<String>>,
    /// How much of the product it is, by mass: a number, a range or an open end. 0–100 % where it is
    /// unknown.
    #[schemars(example = &"95–100 %")]
    share: Spanned<String>,
    /// Whether it evaporates; volatile = false for what stays behind.
    #[schemars(example = true)]
    #[serde(default = "evaporates")]
    volatile: bool,
    /// Molar mass, with its unit.
    #[schemars(example = &"58.08 g/mol")]
    molar_mass: Option<Spanned<String>>,
    /// Lower flammable limit by volume in air; "none" where its vapour does not burn.
    #[schemars(example = &"2.5 %")]
    lower_limit: Option<Spanned<String>>,
    /// Exposure limit as a mean over eight hours, section 8: one number, the strictest, in ppm or mg/m3;
    /// "none" where there is none.
    #[schemars(example = &"250 ppm")]
    day_limit: Option<Spanned<String>>,
    /// Exposure limit as a mean over fifteen minutes, section 8, in ppm or mg/m3; "none" where there is
    /// none.
    #[schemars(example = &"500 ppm")]
    short_limit: Option<Spanned<String>>,
    /// Exposure limit never to be passed, section 8, in ppm or mg/m3; "none" where there is none.
    #[schemars(example = &"1000 mg/m3")]
    ceiling: Option<Spanned<String>>,
    /// Where its figures come from, if not from where those of the product do.
    #[schemars(example = &"Section 8 of the sheet.")]
    source: Option<Spanned<String>>,
}

fn evaporates() -> bool {
    true
}

pub(super) fn read(raw: RawMaterial, findings: &mut Findings<'_>) -> Option<Material> {
    common::slug(&raw.id, findings);
    common::not_blank("The title", &raw.title, findings);
    common::written("The sheet", &raw.sheet, findings);
    common::written("The source", &raw.source, findings);
    common::hazards(&raw.hazards, findings);
    if raw.caution.is_none() && !raw.hazards.is_empty() {
        findings.error(
            "checklist::no-caution",
            raw.id.span(),
            "The material names a hazard but gives no caution.",
            "Write caution = \"…\": what hurts, and what to do about it.",
        );
    }
    if let Some(caution) = &raw.caution {
        common::not_blank("The caution", caution, findings);
    }
    let flash_c = stated(raw.flash.as_ref(), Quantity::Temperature, findings);
    for code in &raw.hazards {
        flash_like_hazard(code, &flash_c, findings);
    }
    let solids = given(raw.solids.as_ref(), Quantity::Share, findings);
    if raw.component.is_empty() {
        findings.error(
            "checklist::no-component",
            raw.id.span(),
            "The material has no component.",
            "Add a [[component]] with name and share for each line of section 3 of the sheet.",
        );
        return None;
    }
    let components: Vec<Option<Component>> =
        raw.component.into_iter().map(|component| read_component(component, findings)).collect();
    // A share that could not be read is named already; the sum would only be named after it.
    let components = components.into_iter().collect::<Option<Vec<Component>>>()?;
    make_a_whole(&raw.id, solids.as_ref(), &components, findings);
    let uses = raw.uses.into_iter().filter_map(|amount| read_use(amount, findings)).collect();
    Some(Material {
        id: raw.id.into_inner(),
        title: raw.title.into_inner(),
        revised: raw.revised,
        sheet: raw.sheet.into_inner(),
        source: raw.source.into_inner(),
        hazards: raw.hazards.into_iter().map(Spanned::into_inner).collect(),
        caution: raw.caution.map(Spanned::into_inner),
        density_g_ml: given(raw.density.as_ref(), Quantity::Density, findings),
        flash_c,
        boils_c: given(raw.boils.as_ref(), Quantity::Temperature, findings),
        autoignition_c: stated(raw.autoignition.as_ref(), Quantity::Autoignition, findings),
        lower_limit_percent: stated(raw.lower_limit.as_ref(), Quantity::LowerLimit, findings),
        solids,
        components,
        uses,
    })
}

/// A slip between °C and °F, or between two sheets, shows in the hazard code.
fn flash_like_hazard(code: &Spanned<String>, flash: &Stated, findings: &mut Findings<'_>) {
    let (stands_for, most) = match code.get_ref().as_str() {
        "H225" => ("below 23 °C", 23.0),
        "H226" => ("up to 60 °C", 60.0),
        _ => return,
    };
    let words = match flash {
        Stated::Given(given) if given.least > most => given.words.clone(),
        Stated::HasNone => "none".to_owned(),
        Stated::Given(_) | Stated::Unknown => return,
    };
    findings.error(
        "checklist::flash-unlike-hazard",
        code.span(),
        format!(
            "{} stands for a flash point {stands_for}, but flash says “{words}”.",
            code.get_ref()
        ),
        "Look at sections 2 and 9 of the sheet again, and mind °C and °F.",
    );
}

fn make_a_whole(
    id: &Spanned<String>,
    solids: Option<&Given>,
    components: &[Component],
    findings: &mut Findings<'_>,
) {
    /// Sheets round their shares: 99 % is a whole.
    const LEAST_WHOLE: f64 = 0.99;
    let shares = || components.iter().map(|component| &component.share).chain(solids);
    let least: f64 = shares().map(|share| share.least).sum();
    let most: f64 = shares().map(|share| share.most).sum();
    if least > 1.0 + 1e-6 {
        findings.error(
            "checklist::shares-above-whole",
            id.span(),
            format!("The least shares come to {:.1} % together.", 100.0 * least),
            "Write each share as a range of mass, as section 3 of the sheet does.",
        );
    }
    if most < LEAST_WHOLE {
        findings.error(
            "checklist::shares-below-whole",
            id.span(),
            format!("The shares come to {:.1} % at most; the rest is not named.", 100.0 * most),
            "Add a [[component]] “not named on the sheet” for the rest, or solids for what stays behind.",
        );
    }
}

fn read_component(raw: RawComponent, findings: &mut Findings<'_>) -> Option<Component> {
    common::not_blank("The name of the component", &raw.name, findings);
    if let Some(source) = &raw.source {
        common::written("The source", source, findings);
    }
    if let Some(cas) = &raw.cas
        && !is_cas(cas.get_ref())
    {
        findings.error(
            "checklist::bad-cas",
            cas.span(),
            format!("“{}” is no CAS number: its check digit does not fit.", cas.get_ref()),
            "Copy it from section 3 of the sheet again, or leave it out if the sheet gives none.",
        );
    }
    if !raw.volatile {
        let limits = [&raw.lower_limit, &raw.day_limit, &raw.short_limit, &raw.ceiling];
        for limit in limits.into_iter().flatten() {
            findings.error(
                "checklist::stays-behind",
                limit.span(),
                format!("“{}” is said to stay behind, yet has a limit in air.", raw.name.get_ref()),
                "Take volatile = false out if it evaporates, or else the limit.",
            );
        }
    }
    let molar_mass_g_mol = given(raw.molar_mass.as_ref(), Quantity::MolarMass, findings);
    let lower_limit_percent = stated(raw.lower_limit.as_ref(), Quantity::LowerLimit, findings);
    let day_limit = air_limit(raw.day_limit.as_ref(), findings);
    let short_limit = air_limit(raw.short_limit.as_ref(), findings);
    let ceiling = air_limit(raw.ceiling.as_ref(), findings);
    Some(Component {
        share: figure(&raw.share, Quantity::Share, findings)?,
        name: raw.name.into_inner(),
        cas: raw.cas.map(Spanned::into_inner),
        volatile: raw.volatile,
        molar_mass_g_mol,
        lower_limit_percent,
        day_limit,
        short_limit,
        ceiling,
        source: raw.source.map(Spanned::into_inner),
    })
}

/// A CAS number ends in a check digit: the digits before it, counted from the right, times their
/// place, modulo ten.
fn is_cas(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [first, second, check] = parts.as_slice() else { return false };
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !(2..=7).contains(&first.len()) || second.len() != 2 || check.len() != 1 {
        return false;
    }
    if !parts.iter().all(|part| digits(part)) {
        return false;
    }
    let sum: u32 = first
        .bytes()
        .chain(second.bytes())
        .rev()
        .zip(1u32..)
        .map(|(byte, place)| u32::from(byte - b'0') * place)
        .sum();
    check.bytes().all(|byte| u32::from(byte - b'0') == sum % 10)
}

fn read_use(raw: RawUse, findings: &mut Findings<'_>) -> Option<QuickAmount> {
    common::not_blank("The name of the amount", &raw.name, findings);
    let amount_ml = single(raw.amount.get_ref()).and_then(|(number, unit)| {
        let factor = match unit.as_str() {
            "ml" | "cm3" | "cc" => 1.0,
            "l" => 1000.0,
            // A US fluid ounce, exactly.
            "floz" => 29.573_529_562_5,
            _ => return None,
        };
        Some(number * factor)
    });
    if amount_ml.is_none() {
        findings.error(
            "checklist::bad-value",
            raw.amount.span(),
            format!("“{}” is no amount of a liquid.", raw.amount.get_ref()),
            "Write for example 15 mL or 0.5 fl oz.",
        );
    }
    Some(QuickAmount { name: raw.name.into_inner(), amount_ml: amount_ml? })
}

fn air_limit(text: Option<&Spanned<String>>, findings: &mut Findings<'_>) -> Option<AirLimit> {
    let text = text?;
    if is_unknown(text) || is_none(text) {
        return None;
    }
    let limit = single(text.get_ref()).and_then(|(number, unit)| match unit.as_str() {
        "ppm" => Some(AirLimit::Ppm(number)),
        "mg/m3" => Some(AirLimit::MgPerM3(number)),
        _ => None,
    });
    if limit.is_none() {
        findings.error(
            "checklist::bad-value",
            text.span(),
            format!("“{}” is no exposure limit.", text.get_ref()),
            "Write one number, the strictest, for example 250 ppm or 350 mg/m3.",
        );
    }
    limit
}
