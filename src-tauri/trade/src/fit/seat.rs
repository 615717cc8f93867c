//! What goes under a reel seat: tape or bushings, how true it then sits, and where to roughen.
//!
//! Whether a seat fits bare is its [`super::glue_line`].

use super::taper::{Diameter, Section};
use super::{
    BondLine, FitError, FitWarning, Part, SAME_PLACE_MM, frustum, glue_line, mm, positive,
    zero_or_more,
};
use uom::ConstZero;
use uom::si::angle::radian;
use uom::si::f64::{Angle, Area, Length, Volume};

/// Most turns of tape that are counted; beyond them a thickness was mistaken.
const MOST_TURNS: u32 = 500;

/// Tape wound on the blank under a bore.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeBuildUp {
    /// Whole turns.
    pub turns: u32,
    /// The diameter over the tape.
    pub over_tape: Length,
    /// The gap left for resin, per side.
    pub gap: Length,
    /// The least it may be.
    pub least_gap: Length,
    /// The most it may be.
    pub most_gap: Length,
    /// Tape for one band.
    pub tape_length: Length,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

/// Whole turns of tape of thickness `tape` (above zero, as it lies on the blank) that build a blank
/// up under `bore`, leaving at least the least glue line over the blank's upper bound. `bore` above
/// zero, taken as exact.
///
/// Each turn adds two thicknesses to the diameter; a band of n turns takes `pi n (D + n t)` of tape,
/// the roll-length rule `pi (D² - d²) / (4 t)`. A small error of the thickness adds up: measure over
/// several turns. A tape that resin doesn't wet or that creeps holds nothing: common practice, no
/// source, is tape in narrow bands with resin between.
pub fn tape_turns(
    blank: &Diameter,
    bore: Length,
    tape: Length,
    range: BondLine,
) -> Result<TapeBuildUp, FitError> {
    positive("The diameter of the blank", blank.diameter)?;
    positive("The bore", bore)?;
    positive("The thickness of the tape", tape)?;
    if bore < blank.diameter {
        return Err(FitError::TooTight { at: blank.at, bore, blank: blank.diameter });
    }
    // A hair, so that a gap of just so many turns is not lost to rounding.
    let room = bore - range.least() * 2.0 - blank.highest + mm(1e-9);
    let fits = |turns: u32| tape * (2.0 * f64::from(turns)) <= room;
    let Some(beyond) = (1..=MOST_TURNS + 1).find(|&turns| !fits(turns)) else {
        return Err(FitError::TooManyTurns { most: MOST_TURNS });
    };
    let turns = beyond - 1;
    let build = tape * (2.0 * f64::from(turns));
    let left = |blank: Length| (bore - build - blank) / 2.0;
    let (gap, least_gap, most_gap) =
        (left(blank.diameter), left(blank.highest), left(blank.lowest));
    let mut warnings = blank.warnings.clone();
    if least_gap < range.least() - mm(1e-9) {
        let gap = least_gap.max(Length::ZERO);
        warnings.push(FitWarning::LineTooThin { at: blank.at, gap, least: range.least() });
    }
    if most_gap > range.most() {
        warnings.push(if turns == 0 {
            FitWarning::NoTurnFits { gap: most_gap }
        } else {
            FitWarning::LineTooThick { at: blank.at, gap: most_gap, most: range.most() }
        });
    }
    let tape_length = (blank.diameter + build / 2.0) * (std::f64::consts::PI * f64::from(turns));
    Ok(TapeBuildUp {
        turns,
        over_tape: blank.diameter + build,
        gap,
        least_gap,
        most_gap,
        tape_length,
        warnings,
    })
}

/// How bushings are to be set. Common practice, no source, for all three.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bushings {
    /// Width of one along the blank, above zero.
    pub width: Length,
    /// From each end of the seat to the first bushing, zero or more.
    pub inset: Length,
    /// The longest space without a bushing, above zero.
    pub free_at_most: Length,
}

/// One bushing.
#[derive(Debug, Clone, PartialEq)]
pub struct Bushing {
    /// Where it begins, from the butt of the blank.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The blank at its butt end, where it is thickest.
    pub blank: Diameter,
    /// Straight bore that clears the blank there with the least glue line.
    pub inside: Length,
    /// Outside that leaves the least glue line to the seat.
    pub outside: Length,
}

/// A space between bushings, or between one and the end of the seat, that resin fills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pocket {
    /// Where it begins, from the butt of the blank.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// What it holds.
    pub volume: Volume,
}

/// Bushings under a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct BushingPlan {
    /// From the butt; at least two.
    pub bushings: Vec<Bushing>,
    /// The space between one and the next.
    pub free: Length,
    /// What resin fills, from the butt.
    pub pockets: Vec<Pocket>,
    /// How far out of true the seat can sit.
    pub looseness: Looseness,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

/// The fewest bushings, two or more, that leave no space longer than `set.free_at_most`, evenly
/// spread under a seat at its place, with room for resin between them. Each is bored straight for
/// the blank's upper bound at its butt end; both its glue lines have the least thickness of `range`
/// there plus the caliper's error. Source: geometry.
pub fn bushings(
    section: &Section,
    seat: &Part,
    set: Bushings,
    range: BondLine,
) -> Result<BushingPlan, FitError> {
    positive("The width of a bushing", set.width)?;
    positive("The longest space between bushings", set.free_at_most)?;
    if !zero_or_more(set.inset) {
        return Err(FitError::NotPositive { what: "The inset of the bushings", given: set.inset });
    }
    let line = glue_line(section, seat, range, set.width)?;
    let room = seat.bore.length() - set.inset * 2.0;
    let no_room = FitError::NoRoomBetween { width: set.width, room: room.max(Length::ZERO) };
    let free_with = |count: u32| (room - set.width * f64::from(count)) / f64::from(count - 1);
    let longest = set.free_at_most + mm(SAME_PLACE_MM);
    let count = (2..super::MOST_STATIONS).find(|&count| free_with(count) <= longest);
    let (count, free) = match count.map(|count| (count, free_with(count))) {
        Some((count, free)) if free > mm(SAME_PLACE_MM) => (count, free),
        _ => return Err(no_room),
    };

    let caliper = section.caliper();
    let mut placed = Vec::new();
    let mut first_and_last: Option<(Length, Length)> = None;
    for index in 0..count {
        let offset = set.inset + (set.width + free) * f64::from(index);
        let (from, to) = (seat.sits_at + offset, seat.sits_at + offset + set.width);
        let blank = section.diameter_at(from)?;
        let bore = seat.bore.tightest_between(offset, offset + set.width);
        let inside = blank.highest + caliper + range.least() * 2.0;
        let outside = bore - caliper - range.least() * 2.0;
        if outside <= inside {
            return Err(FitError::NoRoomForBushing { blank: blank.diameter, bore });
        }
        // Both glue lines of a bushing let the seat move, until they are set.
        let play = (bore - outside + inside - blank.diameter) / 2.0;
        first_and_last = Some((first_and_last.map_or(play, |plays| plays.0), play));
        placed.push(Bushing { from, to, blank, inside, outside });
    }
    let apart = (set.width + free) * f64::from(count - 1);
    let (first, last) = first_and_last.ok_or(no_room)?;
    let looseness = looseness(first, last, apart)?;

    let mut edges = vec![seat.sits_at];
    edges.extend(placed.iter().flat_map(|b| [b.from, b.to]));
    edges.push(seat.ends_at());
    let pockets = edges
        .chunks_exact(2)
        .filter(|edge| edge[1] - edge[0] > mm(SAME_PLACE_MM))
        .map(|edge| pocket(section, seat, edge[0], edge[1]))
        .collect::<Result<Vec<_>, _>>()?;
    // How wide the bare gap is, is the reason for the bushings; doubt about the blank still counts.
    let warnings = line
        .warnings
        .into_iter()
        .filter(|warning| matches!(warning, FitWarning::MeasuredFarApart { .. }))
        .collect();
    Ok(BushingPlan { bushings: placed, free, pockets, looseness, warnings })
}

/// What lies between bore and blank from one place to another.
fn pocket(section: &Section, seat: &Part, from: Length, to: Length) -> Result<Pocket, FitError> {
    let mut edges: Vec<Length> = vec![from, to];
    edges.extend(section.measured().iter().map(|m| m.from_butt));
    edges.extend(seat.bore.ends().map(|(offset, _)| seat.sits_at + offset));
    edges.retain(|&at| at >= from && at <= to);
    edges.sort_by(|a, b| a.value.total_cmp(&b.value));
    let mut volume = Volume::ZERO;
    for (&near, &far) in edges.iter().zip(edges.iter().skip(1)) {
        let middle = (near + far) / 2.0 - seat.sits_at;
        let here = seat.bore.stretches().iter().find(|s| middle >= s.from && middle <= s.to);
        if let Some(stretch) = here {
            let (one, other) =
                (stretch.diameter(near - seat.sits_at), stretch.diameter(far - seat.sits_at));
            let (blank_one, blank_other) =
                (section.diameter_at(near)?.diameter, section.diameter_at(far)?.diameter);
            volume += frustum(one, other, far - near) - frustum(blank_one, blank_other, far - near);
        }
    }
    Ok(Pocket { from, to, volume })
}

/// How far out of true a part can sit in its gap before the resin sets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Looseness {
    /// The farthest its axis can lie off the blank's, between the supports.
    pub off_axis: Length,
    /// The most it can lean.
    pub tilt: Angle,
}

/// How far out of true a part can sit on two supports `apart` (above zero) with these gaps per side
/// (zero or more): off the axis by the larger gap, and leaning by `atan((first + last) / apart)`,
/// with one end against one side and the other against the opposite one. Source: geometry.
pub fn looseness(
    first_gap: Length,
    last_gap: Length,
    apart: Length,
) -> Result<Looseness, FitError> {
    positive("The distance between the supports", apart)?;
    for gap in [first_gap, last_gap] {
        if !zero_or_more(gap) {
            return Err(FitError::NotPositive { what: "A gap", given: gap });
        }
    }
    Ok(Looseness {
        off_axis: first_gap.max(last_gap),
        tilt: Angle::new::<radian>(((first_gap + last_gap) / apart).value.atan()),
    })
}

/// Where to roughen the blank under a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Roughening {
    /// From here,
    pub from: Length,
    /// to here, both from the butt of the blank.
    pub to: Length,
    /// The surface between.
    pub area: Area,
}

/// Where to roughen the blank under a part at its place, `back` (zero or more) short of either end
/// so that no scratch shows; at the very butt of the blank no set-back is made. How far back is
/// common practice, no source. The area is that of frusta of cones, `pi / 2 (D1 + D2) s` with s
/// along the slant (textbook mensuration).
pub fn roughening(section: &Section, part: &Part, back: Length) -> Result<Roughening, FitError> {
    part.check()?;
    section.holds(part.sits_at, part.bore.length())?;
    if !zero_or_more(back) {
        return Err(FitError::NotPositive { what: "The set-back", given: back });
    }
    let at_butt = part.sits_at <= mm(SAME_PLACE_MM);
    let from = if at_butt { part.sits_at } else { part.sits_at + back };
    let to = part.ends_at() - back;
    if to <= from {
        return Err(FitError::SetBack { back, part: part.bore.length() });
    }
    let mut edges: Vec<Length> = vec![from, to];
    edges.extend(section.measured().iter().map(|m| m.from_butt));
    edges.retain(|&at| at >= from && at <= to);
    edges.sort_by(|a, b| a.value.total_cmp(&b.value));
    let mut area = Area::ZERO;
    for (&near, &far) in edges.iter().zip(edges.iter().skip(1)) {
        let (one, other) =
            (section.diameter_at(near)?.diameter, section.diameter_at(far)?.diameter);
        let slant = (far - near).hypot((one - other) / 2.0);
        area += (one + other) * slant * (std::f64::consts::PI / 2.0);
    }
    Ok(Roughening { from, to, area })
}
