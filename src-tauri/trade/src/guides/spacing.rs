//! Gaps that grow from the tip to the first guide.

use super::{GuideError, Layout, MOST_GUIDES, SAME_PLACE_MM, Suggestion, mm, positive};
use uom::si::f64::{Length, Ratio};
use uom::si::length::{foot, meter};
use uom::si::ratio::ratio;

/// Longest rod for which a number of guides is suggested, in metres.
const LONGEST_M: f64 = 10.0;

/// How gaps grow towards the butt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Growth {
    /// Each is the one before times a constant.
    Geometric,
    /// Each is the one before plus a constant.
    Arithmetic,
}

/// By how much each gap is longer than the one before it, towards the butt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Grows {
    /// So many times as long, 1 or more.
    Times(Ratio),
    /// Longer by so much, zero or more.
    Plus(Length),
}

/// A spacing and how it grows.
#[derive(Debug, Clone, PartialEq)]
pub struct Spacing {
    /// Where the guides sit.
    pub layout: Layout,
    /// How the gaps grow.
    pub grows: Grows,
    /// The most that a gap is longer than the one before it.
    pub greatest_ratio: Ratio,
}

/// Progressive spacing on a rod of `length` with the first guide at `first` from the butt: `count`
/// guides, `tip_gap` between the tip and guide 1, gaps that grow from there. All lengths above
/// zero, one to sixty guides. The first guide sits exactly where it was given.
///
/// Geometric: the ratio r of `tip_gap (rⁿ - 1) / (r - 1) = reach`, found by bisection; the sum
/// grows with r, so there is one, between 1 and `(reach / tip_gap)^(1/(n-1))`. Arithmetic: the
/// difference d of `n tip_gap + d n (n - 1) / 2 = reach`. Plain mathematics; that guides are spaced
/// so is common practice, no source. An error where the gaps would have to shrink.
pub fn progressive(
    length: Length,
    first: Length,
    count: usize,
    tip_gap: Length,
    growth: Growth,
) -> Result<Spacing, GuideError> {
    let reach = reach(length, first)?;
    positive("The gap at the tip", tip_gap)?;
    counted(count)?;
    if reach < tip_gap - mm(SAME_PLACE_MM) {
        return Err(GuideError::FirstTooNear { reach, tip_gap });
    }
    let number = as_number(count);
    let spare = reach - tip_gap * number;
    if count == 1 && spare > mm(SAME_PLACE_MM) {
        return Err(GuideError::OneGap { reach, tip_gap });
    }
    if spare < -mm(SAME_PLACE_MM) {
        return Err(GuideError::GapsWouldShrink { count, tip_gap, needs: tip_gap * number, reach });
    }
    // Just as many equal gaps as fit, but for rounding.
    let even = count == 1 || spare <= mm(SAME_PLACE_MM);
    let (first_gap, grows) = match growth {
        Growth::Geometric if even => (reach / number, Grows::Times(Ratio::new::<ratio>(1.0))),
        Growth::Arithmetic if even => (reach / number, Grows::Plus(mm(0.0))),
        Growth::Geometric => {
            (tip_gap, Grows::Times(Ratio::new::<ratio>(growth_ratio(reach / tip_gap, count))))
        }
        Growth::Arithmetic => (tip_gap, Grows::Plus(spare * (2.0 / (number * (number - 1.0))))),
    };
    let mut at = first_gap;
    let mut gap = first_gap;
    let mut from_tip = vec![at];
    for _ in 1..count {
        gap = match grows {
            Grows::Times(times) => gap * times,
            Grows::Plus(plus) => gap + plus,
        };
        at += gap;
        from_tip.push(at);
    }
    // The sum is the reach but for rounding; now it is that exactly.
    from_tip[count - 1] = reach;
    let greatest_ratio = match grows {
        Grows::Times(times) => times,
        // The same difference counts for most on the shortest gap.
        Grows::Plus(plus) => (first_gap + plus) / first_gap,
    };
    Ok(Spacing { layout: Layout::new(length, &from_tip)?, grows, greatest_ratio })
}

/// The fewest guides with which no gap is longer than `greatest` (1 or more) times the one before
/// it; otherwise as [`progressive`]. An error where no number does: fewer grow faster, and more
/// would not fit.
pub fn with_greatest_ratio(
    length: Length,
    first: Length,
    tip_gap: Length,
    growth: Growth,
    greatest: Ratio,
) -> Result<Spacing, GuideError> {
    let wanted = checked_ratio(greatest)?;
    let mut best: Option<Spacing> = None;
    for count in 1..=MOST_GUIDES {
        match progressive(length, first, count, tip_gap, growth) {
            // A hair, so that a ratio worked out elsewhere is not lost to rounding.
            Ok(spacing) if spacing.greatest_ratio.get::<ratio>() <= wanted + 1e-9 => {
                return Ok(spacing);
            }
            Ok(spacing) => best = Some(spacing),
            Err(GuideError::OneGap { .. }) => {}
            Err(GuideError::GapsWouldShrink { .. }) => break,
            Err(other) => return Err(other),
        }
    }
    match best {
        Some(spacing) if spacing.layout.count() == MOST_GUIDES => Err(GuideError::MostAreTooFew {
            greatest,
            most: MOST_GUIDES,
            best: spacing.greatest_ratio,
        }),
        Some(spacing) => Err(GuideError::NoNumber {
            greatest,
            most: spacing.layout.count(),
            best: spacing.greatest_ratio,
        }),
        None => Err(GuideError::OneGap { reach: reach(length, first)?, tip_gap }),
    }
}

/// The gap at the tip with which `count` guides (1 to 60) reach from the tip over `reach` (above
/// zero) when each gap is `times` (1 or more) the one before it: `reach / (1 + r + ... + rⁿ⁻¹)`.
/// Plain mathematics.
pub fn tip_gap_for(reach: Length, count: usize, times: Ratio) -> Result<Length, GuideError> {
    positive("The distance from the tip to the first guide", reach)?;
    counted(count)?;
    Ok(reach / sum(checked_ratio(times)?, count))
}

/// A gap at the tip to begin with, 100 mm.
pub fn usual_tip_gap() -> Suggestion<Length> {
    Suggestion {
        value: mm(100.0),
        why: "About a hand's breadth between the tip-top and the next guide. Common practice, no source: set your own.",
    }
}

/// How many guides to begin with on a rod of `length` (above zero, at most 10 m), the tip-top not
/// counted: one for each foot of rod, to the nearest, and one more.
pub fn suggested_count(length: Length) -> Result<Suggestion<usize>, GuideError> {
    positive("The length of the rod", length)?;
    if length > Length::new::<meter>(LONGEST_M) {
        return Err(GuideError::RodTooLong { length, most: LONGEST_M });
    }
    let feet = length.get::<foot>().round();
    // At most 33, so counting up is quick and nothing is cast.
    let count = (1..=MOST_GUIDES).find(|&count| as_number(count) >= feet).unwrap_or(MOST_GUIDES);
    Ok(Suggestion {
        value: count + 1,
        why: "About one guide for each foot of rod and one more, besides the tip-top. Common practice, no source: set your own, and look at the bend under load.",
    })
}

/// From the tip to the first guide.
fn reach(length: Length, first: Length) -> Result<Length, GuideError> {
    positive("The length of the rod", length)?;
    positive("The place of the first guide", first)?;
    if first < length - mm(SAME_PLACE_MM) {
        Ok(length - first)
    } else {
        Err(GuideError::FirstOffTheRod { first, length })
    }
}

fn counted(count: usize) -> Result<(), GuideError> {
    match count {
        0 => Err(GuideError::NoGuides),
        _ if count > MOST_GUIDES => Err(GuideError::TooManyGuides { count, most: MOST_GUIDES }),
        _ => Ok(()),
    }
}

fn checked_ratio(given: Ratio) -> Result<f64, GuideError> {
    let times = given.get::<ratio>();
    if times >= 1.0 && times.is_finite() { Ok(times) } else { Err(GuideError::Ratio { given }) }
}

/// A number of guides, at most [`MOST_GUIDES`], as a number to calculate with.
fn as_number(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// `1 + r + ... + rⁿ⁻¹`, by Horner's rule: `(rⁿ - 1) / (r - 1)` loses its digits near r = 1.
fn sum(times: f64, count: usize) -> f64 {
    (0..count).fold(0.0, |sum, _| sum * times + 1.0)
}

/// The r of `1 + r + ... + rⁿ⁻¹ = total`, for two gaps or more and a total above their number.
fn growth_ratio(total: Ratio, count: usize) -> f64 {
    let total = total.get::<ratio>();
    let (mut low, mut high) = (1.0, total.powf(1.0 / (as_number(count) - 1.0)));
    loop {
        let middle = f64::midpoint(low, high);
        // Two neighbouring numbers have none between them: done, after some fifty halvings.
        if middle <= low || middle >= high {
            return middle;
        }
        if sum(middle, count) < total {
            low = middle;
        } else {
            high = middle;
        }
    }
}
