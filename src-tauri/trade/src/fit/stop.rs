//! Where a part stops when it is slid on from the tip.

use super::taper::Section;
use super::{Bore, FitError, FitWarning, SAME_PLACE_MM, mm};
use uom::ConstZero;
use uom::si::f64::Length;

/// Where a part stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Where its butt end comes to be, from the butt of the blank.
    pub from_butt: Length,
    /// Where it touches the blank first.
    pub touches_at: Length,
    /// The nearest to the butt that its butt end may get. None: it may slide past all that was
    /// measured, or off the piece.
    pub nearest_butt: Option<Length>,
    /// The nearest to the tip that it may stop. None: it may not go on as far as the first measured
    /// place.
    pub nearest_tip: Option<Length>,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

/// What becomes of a part slid on from the tip.
#[derive(Debug, Clone, PartialEq)]
pub enum Stop {
    /// The taper holds it.
    Held(Held),
    /// It slides over all that was measured, to the butt end of the piece.
    Through {
        /// The measured place nearest the butt.
        measured_from: Length,
        /// The diameter there.
        thickest: Length,
        /// What to tell beside it.
        warnings: Vec<FitWarning>,
    },
}

/// Where a part with this bore stops when it is slid from the tip end of a piece towards its butt:
/// where bore and blank first touch, at any place along both. The piece is taken alone, as it is on
/// the bench; a part doesn't pass over a join.
///
/// The bounds take the bore as read with the same caliper, and the blank at its own bounds where it
/// touches. Nothing gives: a soft foam or cork grip goes farther when pushed. Source: geometry.
pub fn stop(section: &Section, bore: &Bore) -> Result<Stop, FitError> {
    let (first, last) = section.ends()?;
    let piece = section.to() - section.from();
    if bore.length() > piece + mm(SAME_PLACE_MM) {
        return Err(FitError::PartTooLong { part: bore.length(), piece });
    }
    if bore.tightest() < last.diameter {
        return Err(FitError::WontGoOn { bore: bore.tightest(), thinnest: last.diameter });
    }
    let mut warnings = Vec::new();
    let unmeasured = FitWarning::Unmeasured { from: section.from(), to: first.from_butt };
    let starts_late = first.from_butt > section.from() + mm(SAME_PLACE_MM);
    let touch = touches(section, bore, Length::ZERO);
    let Some((from_butt, touches_at)) = touch.filter(|touch| touch.0 >= section.from()) else {
        if starts_late {
            warnings.push(unmeasured);
        }
        return Ok(Stop::Through {
            measured_from: first.from_butt,
            thickest: first.diameter,
            warnings,
        });
    };
    let blank = section.diameter_at(touches_at)?;
    let wider = blank.diameter - blank.lowest + section.caliper();
    let tighter = blank.diameter - blank.highest - section.caliper();
    let nearest_butt =
        touches(section, bore, wider).map(|touch| touch.0).filter(|&at| at >= section.from());
    let goes_on = bore.tightest() + tighter >= last.diameter;
    let nearest_tip =
        if goes_on { touches(section, bore, tighter).map(|touch| touch.0) } else { None };
    // The part touches at a measured place, but its butt end may reach past the first of them.
    if starts_late && nearest_butt.is_none_or(|at| at < first.from_butt) {
        warnings.push(unmeasured);
    }
    let to = from_butt + bore.length();
    if to > section.to() + mm(SAME_PLACE_MM) {
        warnings.push(FitWarning::HangsOver { to, end: section.to() });
    }
    warnings.extend(blank.warnings);
    Ok(Stop::Held(Held { from_butt, touches_at, nearest_butt, nearest_tip, warnings }))
}

/// The place of the butt end nearest the tip at which a bore, made wider by `by`, touches, and
/// where. Both bore and blank run on straight lines, so one of their corners touches first.
fn touches(section: &Section, bore: &Bore, by: Length) -> Option<(Length, Length)> {
    let corners_of_bore = bore.ends().filter_map(|(offset, diameter)| {
        section.first_thicker_than(diameter + by).map(|at| (at - offset, at))
    });
    let corners_of_blank = section.measured().iter().filter_map(|m| {
        bore.first_tighter_than(m.diameter - by).map(|offset| (m.from_butt - offset, m.from_butt))
    });
    corners_of_bore.chain(corners_of_blank).reduce(|a, b| if b.0 > a.0 { b } else { a })
}
