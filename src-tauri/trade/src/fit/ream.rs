//! How much to ream so that a part goes to its place with room for the glue line.

use super::bond::knots;
use super::bore::leaves_wall;
use super::taper::Section;
use super::{BondLine, FitError, FitWarning, Part, SAME_PLACE_MM, mm, stations};
use uom::ConstZero;
use uom::si::f64::Length;

/// What the bore should be at one offset into the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReamStation {
    /// From the part's butt end.
    pub offset: Length,
    /// From the butt of the blank.
    pub at: Length,
    /// The blank there.
    pub blank: Length,
    /// The bore as it is; at a step the smaller one.
    pub bore: Length,
    /// Ream to this: clears the blank at its thickest with the least glue line on both sides. The
    /// bore as it is where that is already wider.
    pub ream_to: Length,
    /// Not wider than this, for the greatest glue line on the blank at its thinnest. Below
    /// `ream_to` where the diameter is not known well enough.
    pub at_most: Length,
    /// What to take off the diameter; zero for nothing.
    pub remove: Length,
    /// What is then left of the wall, where the part is thinnest outside.
    pub wall: Length,
}

/// One cut with a tool of one diameter, from the butt end of the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReamStep {
    /// Diameter of the tool.
    pub diameter: Length,
    /// How deep, from the part's butt end.
    pub depth: Length,
    /// Where this cut will remain the widest: from here to `depth`.
    pub from: Length,
}

/// How to ream a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Ream {
    /// At the part's butt end.
    pub butt_end: ReamStation,
    /// At its tip end.
    pub tip_end: ReamStation,
    /// Along it, from the butt end: for a tapered ream.
    pub stations: Vec<ReamStation>,
    /// For a stepped ream: cuts in working order, the narrowest and deepest first. Empty where
    /// nothing is to be taken off.
    pub steps: Vec<ReamStep>,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

/// How to ream a part for its place, with a station every `every` (above zero), at each measurement
/// of the blank and at both ends. An error where reaming would go through the part's wall.
///
/// `ream_to` is the blank's upper bound plus twice the least glue line plus the caliper's error on
/// the bore: read with that caliper, the bore is never under blank and glue line. Source: geometry;
/// the range is the caller's (see [`BondLine`]).
pub fn ream(
    section: &Section,
    part: &Part,
    range: BondLine,
    every: Length,
) -> Result<Ream, FitError> {
    part.check()?;
    let length = part.bore.length();
    section.holds(part.sits_at, length)?;
    let regular = stations(length, every)?;
    let (same, caliper) = (mm(SAME_PLACE_MM), section.caliper());
    let mut offsets: Vec<Length> = knots(section, part.sits_at, &regular)
        .filter(|&offset| offset >= Length::ZERO && offset <= length)
        .collect();
    offsets.sort_by(|a, b| a.value.total_cmp(&b.value));
    offsets.dedup_by(|a, b| *a - *b <= same);

    let mut stations = Vec::with_capacity(offsets.len());
    let mut doubt: Option<(Length, FitWarning)> = None;
    let mut wide: Option<(Length, FitWarning)> = None;
    for offset in offsets {
        let at = part.sits_at + offset;
        let blank = section.diameter_at(at)?;
        let least = blank.highest + caliper + range.least() * 2.0;
        let at_most = blank.lowest - caliper + range.most() * 2.0;
        let bore = part.bore.at(offset);
        let ream_to = least.max(bore);
        leaves_wall(ream_to, part.thinnest)?;
        let uncertainty = blank.uncertainty();
        if at_most < least && doubt.as_ref().is_none_or(|worst| uncertainty > worst.0) {
            doubt = Some((uncertainty, FitWarning::RangeTooNarrow { at, uncertainty }));
        }
        let (excess, widest) = (bore - at_most, at_most.max(least));
        if bore > widest && wide.as_ref().is_none_or(|worst| excess > worst.0) {
            wide = Some((excess, FitWarning::BoreTooWide { at, bore, widest }));
        }
        stations.push(ReamStation {
            offset,
            at,
            blank: blank.diameter,
            bore,
            ream_to,
            at_most,
            remove: ream_to - bore,
            wall: (part.thinnest - ream_to) / 2.0,
        });
    }
    let (Some(&butt_end), Some(&tip_end)) = (stations.first(), stations.last()) else {
        return Err(FitError::NoBore);
    };

    let mut long: Option<(Length, FitWarning)> = None;
    let mut steps = Vec::new();
    for (near, far) in stations.iter().zip(stations.iter().skip(1)).rev() {
        let diameter = near.ream_to.max(far.ream_to);
        let tightest = part.bore.tightest_between(near.offset, far.offset);
        // Wide enough for the tool, or a taper that fits at both ends and is no tighter between.
        let fits =
            near.remove.max(far.remove) <= Length::ZERO && tightest >= near.bore.min(far.bore);
        if diameter <= tightest || fits {
            continue;
        }
        steps.push(ReamStep { diameter, depth: far.offset, from: near.offset });
        let excess = diameter - far.at_most;
        // Where a tapered ream could not keep to the range either, the step is not to blame.
        let to_blame = far.ream_to <= far.at_most && excess > Length::ZERO;
        if to_blame && long.as_ref().is_none_or(|worst| excess > worst.0) {
            let gap = range.most() + excess / 2.0;
            long = Some((excess, FitWarning::StepTooLong { from: near.offset, gap }));
        }
    }
    // A narrower cut behind a wider one is made by the wider tool on its way in.
    let mut widest = Length::ZERO;
    for step in &mut steps {
        widest = widest.max(step.diameter);
        step.diameter = widest;
    }
    steps.dedup_by(|wider, deeper| {
        let same = wider.diameter == deeper.diameter;
        if same {
            deeper.from = wider.from;
        }
        same
    });
    let warnings = [doubt, wide, long].into_iter().flatten().map(|(_, warning)| warning).collect();
    Ok(Ream { butt_end, tip_end, stations, steps, warnings })
}
