//! The glue line: how thick it is along a part, how much it holds, and the range it should keep to.

use super::taper::Section;
use super::{FitError, FitWarning, Part, above_zero, frustum, mm, stations};
use uom::ConstZero;
use uom::si::f64::{Length, Volume};

/// The range in which a glue line should lie, per side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondLine {
    least: Length,
    most: Length,
}

impl BondLine {
    /// A range of one's own, best from the adhesive's data sheet; above zero, the second larger.
    pub fn new(least: Length, most: Length) -> Result<Self, FitError> {
        if above_zero(least) && above_zero(most) && least < most {
            Ok(Self { least, most })
        } else {
            Err(FitError::BondLine)
        }
    }

    /// 0.1 to 0.2 mm, where lap shear strength is highest in general. Source: German adhesives
    /// industry guideline on bonding, section 3.4.3. The default.
    pub fn guideline() -> Self {
        Self { least: mm(0.1), most: mm(0.2) }
    }

    /// 0.05 to 0.13 mm (2 to 5 mil), where an adhesive maker's questions and answers put the
    /// highest strength of epoxies.
    pub fn thin() -> Self {
        Self { least: mm(0.05), most: mm(0.13) }
    }

    /// 0.05 to 0.5 mm (2 to 20 mil): up to the thickness that gap-filling epoxies tolerate by the
    /// same maker. Strength falls as the line grows (Tomblin et al., J. Compos. Technol. Res. 24
    /// (2002) 332), so this is what still holds, not what to aim at.
    pub fn gap_filling() -> Self {
        Self { least: mm(0.05), most: mm(0.5) }
    }

    /// The least thickness.
    pub fn least(&self) -> Length {
        self.least
    }

    /// The greatest thickness.
    pub fn most(&self) -> Length {
        self.most
    }
}

impl Default for BondLine {
    fn default() -> Self {
        Self::guideline()
    }
}

/// The gap at one place, per side, with bounds from the blank and from the bore's own reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Where, from the butt of the blank.
    pub at: Length,
    /// The blank there.
    pub blank: Length,
    /// The bore there.
    pub bore: Length,
    /// Half their difference.
    pub gap: Length,
    /// The least it may be; below zero where the part may jam.
    pub least: Length,
    /// The most it may be.
    pub most: Length,
}

/// The glue line along a part at its place, before any build-up.
#[derive(Debug, Clone, PartialEq)]
pub struct GlueLine {
    /// The gap along the part, from its butt end; at a step of the bore there are two.
    pub gaps: Vec<Gap>,
    /// The thinnest of them.
    pub thinnest: Gap,
    /// The thickest of them.
    pub thickest: Gap,
    /// What the gap holds.
    pub volume: Volume,
    /// The least it may hold.
    pub least_volume: Volume,
    /// The most it may hold.
    pub most_volume: Volume,
    /// Whether it lies within the range everywhere, so that the part can be bonded bare.
    pub fits_bare: bool,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

/// The glue line between a part and a piece of the blank, looked at every `every` (above zero), at
/// each measurement and at each step. An error where the bore is narrower than the blank.
///
/// Source: half the difference of diameters; the volume is bore less blank, both as frusta of cones
/// (textbook mensuration). The bounds take the bore as read with the same caliper as the blank.
pub fn glue_line(
    section: &Section,
    part: &Part,
    range: BondLine,
    every: Length,
) -> Result<GlueLine, FitError> {
    part.check()?;
    section.holds(part.sits_at, part.bore.length())?;
    let regular = stations(part.bore.length(), every)?;
    let (mut gaps, mut far): (Vec<Gap>, Option<(Length, FitWarning)>) = (Vec::new(), None);
    let (mut volume, mut least_volume, mut most_volume) =
        (Volume::ZERO, Volume::ZERO, Volume::ZERO);
    for stretch in part.bore.stretches() {
        let mut offsets: Vec<Length> = knots(section, part.sits_at, &regular)
            .filter(|&offset| offset > stretch.from && offset < stretch.to)
            .collect();
        offsets.extend([stretch.from, stretch.to]);
        offsets.sort_by(|a, b| a.value.total_cmp(&b.value));
        offsets.dedup();
        let mut before: Option<(Gap, Length, Length)> = None;
        for at in offsets.iter().map(|&offset| part.sits_at + offset) {
            let blank = section.diameter_at(at)?;
            let bore = stretch.diameter(at - part.sits_at);
            if bore < blank.diameter {
                return Err(FitError::TooTight { at, bore, blank: blank.diameter });
            }
            if let Some(warning) = blank.warnings.first()
                && far.as_ref().is_none_or(|(adds, _)| blank.from_spacing > *adds)
            {
                far = Some((blank.from_spacing, warning.clone()));
            }
            let gap = Gap {
                at,
                blank: blank.diameter,
                bore,
                gap: (bore - blank.diameter) / 2.0,
                least: (bore - section.caliper() - blank.highest) / 2.0,
                most: (bore + section.caliper() - blank.lowest) / 2.0,
            };
            if let Some((last, highest, lowest)) = before {
                let (long, doubt) = (at - last.at, section.caliper());
                let between = |wider: Length, one: Length, other: Length| {
                    let hollow = frustum(last.bore + wider, bore + wider, long);
                    (hollow - frustum(one, other, long)).max(Volume::ZERO)
                };
                volume += between(Length::ZERO, last.blank, blank.diameter);
                least_volume += between(-doubt, highest, blank.highest);
                most_volume += between(doubt, lowest, blank.lowest);
            }
            before = Some((gap, blank.highest, blank.lowest));
            gaps.push(gap);
        }
    }
    let pick = |better: fn(Length, Length) -> bool, key: fn(&Gap) -> Length| {
        gaps.iter().copied().reduce(|a, b| if better(key(&b), key(&a)) { b } else { a })
    };
    let thinner: fn(Length, Length) -> bool = |a, b| a < b;
    let thicker: fn(Length, Length) -> bool = |a, b| a > b;
    let (Some(thinnest), Some(thickest)) = (pick(thinner, |g| g.gap), pick(thicker, |g| g.gap))
    else {
        return Err(FitError::NoBore);
    };
    let mut warnings: Vec<FitWarning> = far.into_iter().map(|(_, warning)| warning).collect();
    if let Some(Gap { at, least: gap, .. }) = pick(thinner, |g| g.least)
        && gap < range.least
    {
        let gap = gap.max(Length::ZERO);
        warnings.push(FitWarning::LineTooThin { at, gap, least: range.least });
    }
    if let Some(Gap { at, most: gap, .. }) = pick(thicker, |g| g.most)
        && gap > range.most
    {
        warnings.push(FitWarning::LineTooThick { at, gap, most: range.most });
    }
    let fits_bare = thinnest.gap >= range.least && thickest.gap <= range.most;
    Ok(GlueLine {
        gaps,
        thinnest,
        thickest,
        volume,
        least_volume,
        most_volume,
        fits_bare,
        warnings,
    })
}

/// Regular offsets and those of measurements, counted from the part's butt end.
pub(super) fn knots(
    section: &Section,
    sits_at: Length,
    regular: &[Length],
) -> impl Iterator<Item = Length> {
    let measured = section.measured().iter().map(move |m| m.from_butt - sits_at);
    regular.iter().copied().chain(measured)
}
