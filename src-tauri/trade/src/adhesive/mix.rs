//! Resin and hardener by weight and by volume, as a scale or a syringe can show them.

use super::{AdhesiveError, above_zero};
use uom::si::f64::{Mass, MassDensity, Ratio, Volume};
use uom::si::mass::gram;
use uom::si::mass_density::gram_per_cubic_centimeter;
use uom::si::ratio::{percent, ratio};
use uom::si::volume::milliliter;

/// One of the two parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The resin, often called part A.
    Resin,
    /// The hardener, often called part B.
    Hardener,
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Resin => "resin",
            Self::Hardener => "hardener",
        })
    }
}

/// To which side a mix is off its ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Off {
    /// Too much hardener.
    Much,
    /// Too little hardener.
    Little,
}

impl std::fmt::Display for Off {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Much => "much",
            Self::Little => "little",
        })
    }
}

/// How the product's sheet states its ratio. The two differ wherever the densities do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RatioBasis {
    /// Parts by weight.
    Weight,
    /// Parts by volume.
    Volume,
}

/// What the product's data sheet says of mixing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixSheet {
    /// Density of the resin, 0.5 to 5 g/mL.
    pub resin_density: MassDensity,
    /// Density of the hardener, 0.5 to 5 g/mL.
    pub hardener_density: MassDensity,
    /// Whether the parts are by weight or by volume.
    pub basis: RatioBasis,
    /// Parts of resin, above zero.
    pub resin_parts: f64,
    /// Parts of hardener, above zero.
    pub hardener_parts: f64,
    /// How far off the ratio the product may be, as a share of the hardener: 0.1 to 20 %. None where
    /// the sheet is silent: then 5 % is taken.
    pub tolerance: Option<Ratio>,
}

/// Taken where the sheet states no tolerance. Source: an adhesive maker's open page on mix ratios
/// advises to stay within 5 % either way.
const TOLERANCE_PERCENT: f64 = 5.0;
/// Taken where the sheet does not say how much may stand in one cup. Source: an adhesive maker's
/// open page on two-part epoxies: 50 g should not be exceeded.
const POT_LIMIT_G: f64 = 50.0;
/// What rounding may make of a comparison, relative.
const ROUNDING: f64 = 1e-9;
/// Most that is reckoned with at once, mL: beyond it a unit was mistaken.
const MOST_ML: f64 = 20_000.0;

/// A two-part product.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Product {
    /// g/mL.
    resin_density: f64,
    hardener_density: f64,
    /// Hardener to resin, by weight.
    by_weight: f64,
    /// As a share.
    tolerance: f64,
    tolerance_stated: bool,
}

/// What the amounts are measured with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeasuredBy {
    /// A scale that shows this step; 0.1 g is common.
    Scale(Mass),
    /// A syringe with this division; 0.5 mL is common.
    Syringe(Volume),
}

/// A caution that goes with amounts to mix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MixWarning {
    /// The sheet states no tolerance of the ratio: 5 % is taken.
    ToleranceNotOnSheet,
    /// The sheet does not say how much may stand in one cup: 50 g is taken.
    PotLimitNotOnSheet,
    /// More is mixed than needed, since less can't be measured to the ratio.
    Enlarged,
    /// One batch would set in the cup, hot enough to burn and smoke: mix the next one when the one
    /// before is used up.
    SeveralBatches,
}

impl std::fmt::Display for MixWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::ToleranceNotOnSheet => {
                "No tolerance of the ratio was given: 5 % is taken. Look for it on the data sheet."
            }
            Self::PotLimitNotOnSheet => {
                "How much may stand in one cup was not given: 50 g is taken. Look for it on the data sheet."
            }
            Self::Enlarged => {
                "More is mixed than needed, since less can't be measured to the ratio."
            }
            Self::SeveralBatches => {
                "One batch would set in the cup, hot enough to burn and smoke. Mix the next one when the one before is used up."
            }
        };
        f.write_str(words)
    }
}

/// One cup, as it is to be measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// Resin by weight.
    pub resin: Mass,
    /// Hardener by weight.
    pub hardener: Mass,
    /// The same resin by volume.
    pub resin_volume: Volume,
    /// The same hardener by volume.
    pub hardener_volume: Volume,
    /// How far off the ratio these amounts are from being rounded: positive is too much hardener.
    pub off: Ratio,
    /// How far off, either way, a mix may be that reads these amounts: what rounding makes, and
    /// half a step of the scale or syringe on each part.
    pub at_most_off: Ratio,
}

impl Batch {
    /// Weight of the mix.
    pub fn mass(&self) -> Mass {
        self.resin + self.hardener
    }

    /// Volume of the mix; the parts are taken not to shrink on mixing.
    pub fn volume(&self) -> Volume {
        self.resin_volume + self.hardener_volume
    }
}

/// What to mix for a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Batches {
    /// How many cups, one after the other.
    pub count: u32,
    /// Each of them.
    pub each: Batch,
    /// What to mind.
    pub warnings: Vec<MixWarning>,
}

/// What would bring a mix back to its ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mend {
    /// What to add.
    pub part: Part,
    /// How much of it.
    pub mass: Mass,
}

/// A mix that keeps its ratio.
#[derive(Debug, Clone, PartialEq)]
pub struct MixCheck {
    /// How far off the ratio: positive is too much hardener.
    pub off: Ratio,
    /// What the product bears, either way.
    pub tolerance: Ratio,
    /// What to mind.
    pub warnings: Vec<MixWarning>,
}

impl Product {
    /// Checks what the sheet says.
    pub fn new(sheet: MixSheet) -> Result<Self, AdhesiveError> {
        let density = |density: MassDensity, part| {
            let density = density.get::<gram_per_cubic_centimeter>();
            if (0.5..=5.0).contains(&density) {
                Ok(density)
            } else {
                Err(AdhesiveError::Density { part })
            }
        };
        let resin_density = density(sheet.resin_density, Part::Resin)?;
        let hardener_density = density(sheet.hardener_density, Part::Hardener)?;
        let stated = sheet.hardener_parts / sheet.resin_parts;
        let positive = above_zero(sheet.hardener_parts) && above_zero(sheet.resin_parts);
        if !positive || !(1e-3..=1e3).contains(&stated) {
            return Err(AdhesiveError::MixRatio);
        }
        let by_weight = match sheet.basis {
            RatioBasis::Weight => stated,
            RatioBasis::Volume => stated * hardener_density / resin_density,
        };
        let tolerance = sheet.tolerance.map_or(TOLERANCE_PERCENT, |t| t.get::<percent>());
        if !(0.1 - ROUNDING..=20.0 + ROUNDING).contains(&tolerance) {
            return Err(AdhesiveError::Tolerance);
        }
        Ok(Self {
            resin_density,
            hardener_density,
            by_weight,
            tolerance: tolerance / 100.0,
            tolerance_stated: sheet.tolerance.is_some(),
        })
    }

    /// Hardener to resin by weight.
    pub fn weight_ratio(&self) -> f64 {
        self.by_weight
    }

    /// Hardener to resin by volume: that by weight times the density of resin over hardener.
    pub fn volume_ratio(&self) -> f64 {
        self.by_weight * self.resin_density / self.hardener_density
    }

    /// Density of the mix, if the parts don't shrink on mixing.
    pub fn mixed_density(&self) -> MassDensity {
        let volume = 1.0 / self.resin_density + self.by_weight / self.hardener_density;
        MassDensity::new::<gram_per_cubic_centimeter>((1.0 + self.by_weight) / volume)
    }

    /// What the product bears off its ratio, either way.
    pub fn tolerance(&self) -> Ratio {
        Ratio::new::<ratio>(self.tolerance)
    }

    /// The exact amounts for a volume of mix above zero, at most 20 L; nothing rounded.
    pub fn exactly(&self, volume: Volume) -> Result<Batch, AdhesiveError> {
        let volume = volume.get::<milliliter>();
        if !(volume > 0.0 && volume <= MOST_ML) {
            return Err(AdhesiveError::Amount);
        }
        let mass = volume * self.mixed_density().get::<gram_per_cubic_centimeter>();
        let resin = mass / (1.0 + self.by_weight);
        Ok(self.batch(resin, mass - resin, 0.0))
    }

    /// What to measure for at least `volume` of mix, in as many equal cups as keep each at or below
    /// `pot_limit`, the mass the sheet says may stand in one cup (None where it is silent: 50 g).
    ///
    /// Amounts are whole steps of the scale or syringe. A batch grows until rounding, and half a
    /// step of reading error on both parts, together stay within the product's tolerance. `least` is
    /// the smallest batch worth mixing, zero or more: common practice, no source.
    pub fn batches(
        &self,
        volume: Volume,
        by: MeasuredBy,
        pot_limit: Option<Mass>,
        least: Mass,
    ) -> Result<Batches, AdhesiveError> {
        let (volume, least) = (volume.get::<milliliter>(), least.get::<gram>());
        let limit = pot_limit.map_or(POT_LIMIT_G, |limit| limit.get::<gram>());
        let least_volume = least / self.mixed_density().get::<gram_per_cubic_centimeter>();
        if !(volume > 0.0 && (0.0..=MOST_ML).contains(&least_volume) && volume <= MOST_ML) {
            return Err(AdhesiveError::Amount);
        }
        if !(limit > 0.0 && limit <= 10.0 * MOST_ML) {
            return Err(AdhesiveError::PotLimit);
        }
        let step = match by {
            MeasuredBy::Scale(step) => step.get::<gram>(),
            MeasuredBy::Syringe(step) => step.get::<milliliter>(),
        };
        if !(1e-3..=1e3).contains(&step) {
            return Err(AdhesiveError::Step);
        }
        // The smallest that can be measured at all: if even that would set, no split helps.
        self.measured((0.0, 0.0), by, step, limit).ok_or(AdhesiveError::TooCoarse)?;
        let mut count = 1_u32;
        let (each, enlarged) = loop {
            let share = (volume / f64::from(count), least / f64::from(count));
            if let Some(found) = self.measured(share, by, step, limit) {
                break found;
            }
            count = count.checked_add(1).ok_or(AdhesiveError::TooCoarse)?;
        };
        let warnings = [
            (!self.tolerance_stated, MixWarning::ToleranceNotOnSheet),
            (pot_limit.is_none(), MixWarning::PotLimitNotOnSheet),
            (enlarged, MixWarning::Enlarged),
            (count > 1, MixWarning::SeveralBatches),
        ];
        let warnings = warnings.into_iter().filter(|(holds, _)| *holds).map(|(_, w)| w).collect();
        Ok(Batches { count, each, warnings })
    }

    /// The smallest batch of whole steps of `need` mL and `least` g or more that keeps the ratio and
    /// weighs at most `limit` g, and whether it is larger than rounding up alone would make it.
    fn measured(
        &self,
        (need, least): (f64, f64),
        by: MeasuredBy,
        step: f64,
        limit: f64,
    ) -> Option<(Batch, bool)> {
        // One step of either part in g, and hardener to resin counted in steps.
        let (resin_g, hardener_g, in_steps) = match by {
            MeasuredBy::Scale(_) => (step, step, self.by_weight),
            MeasuredBy::Syringe(_) => {
                (step * self.resin_density, step * self.hardener_density, self.volume_ratio())
            }
        };
        let mass = need * self.mixed_density().get::<gram_per_cubic_centimeter>();
        let mass = mass.max(least);
        let first = (mass / (1.0 + self.by_weight) / resin_g - ROUNDING).ceil().max(1.0);
        let mut resin = first;
        loop {
            let hardener = (resin * in_steps).round().max(1.0);
            let grams = (resin * resin_g, hardener * hardener_g);
            if grams.0 + grams.1 > limit * (1.0 + ROUNDING) {
                return None;
            }
            let over = (hardener + 0.5) / (resin - 0.5) / in_steps - 1.0;
            let under = 1.0 - (hardener - 0.5) / (resin + 0.5) / in_steps;
            let at_most_off = over.max(under);
            let filled = grams.0 / self.resin_density + grams.1 / self.hardener_density;
            let enough =
                filled >= need * (1.0 - ROUNDING) && grams.0 + grams.1 >= least * (1.0 - ROUNDING);
            if at_most_off <= self.tolerance && enough {
                // One step more is rounding: the hardener may have been rounded down.
                return Some((self.batch(grams.0, grams.1, at_most_off), resin > first + 1.0));
            }
            resin += 1.0;
        }
    }

    /// Whether a batch as weighed keeps the ratio. Beyond the tolerance it is refused, with what
    /// would mend it if stirred in at once.
    pub fn check(&self, resin: Mass, hardener: Mass) -> Result<MixCheck, AdhesiveError> {
        let (resin, hardener) = (resin.get::<gram>(), hardener.get::<gram>());
        if !(above_zero(resin) && above_zero(hardener)) {
            return Err(AdhesiveError::Amount);
        }
        let off = hardener / resin / self.by_weight - 1.0;
        if off.abs() > self.tolerance * (1.0 + ROUNDING) {
            let (part, mass, off_to) = if off > 0.0 {
                (Part::Resin, hardener / self.by_weight - resin, Off::Much)
            } else {
                (Part::Hardener, resin * self.by_weight - hardener, Off::Little)
            };
            return Err(AdhesiveError::OffRatio {
                off_percent: off.abs() * 100.0,
                off: off_to,
                tolerance_percent: self.tolerance * 100.0,
                mend: Mend { part, mass: Mass::new::<gram>(mass) },
            });
        }
        let silent = (!self.tolerance_stated).then_some(MixWarning::ToleranceNotOnSheet);
        Ok(MixCheck {
            off: Ratio::new::<ratio>(off),
            tolerance: self.tolerance(),
            warnings: silent.into_iter().collect(),
        })
    }

    /// The same for a batch as drawn into syringes.
    pub fn check_by_volume(
        &self,
        resin: Volume,
        hardener: Volume,
    ) -> Result<MixCheck, AdhesiveError> {
        let density = |density| MassDensity::new::<gram_per_cubic_centimeter>(density);
        self.check(resin * density(self.resin_density), hardener * density(self.hardener_density))
    }

    /// From grams.
    fn batch(&self, resin: f64, hardener: f64, at_most_off: f64) -> Batch {
        Batch {
            resin: Mass::new::<gram>(resin),
            hardener: Mass::new::<gram>(hardener),
            resin_volume: Volume::new::<milliliter>(resin / self.resin_density),
            hardener_volume: Volume::new::<milliliter>(hardener / self.hardener_density),
            off: Ratio::new::<ratio>(hardener / resin / self.by_weight - 1.0),
            at_most_off: Ratio::new::<ratio>(at_most_off),
        }
    }
}
