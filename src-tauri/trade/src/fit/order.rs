//! In which order parts go on, so that none has to pass another that is too thick for it.

use super::stop::{Stop, stop};
use super::taper::Section;
use super::{End, FitError, Part, SAME_PLACE_MM, both, mm};
use std::fmt;
use uom::ConstZero;
use uom::si::f64::Length;

/// One part must go on before another. Indices into the list of parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Before {
    /// This one first,
    pub first: usize,
    /// then this one.
    pub then: usize,
    /// The tightest bore of the first that would have to pass the second,
    pub bore: Length,
    /// which is this thick outside.
    pub outside: Length,
}

/// Why a part can't get to its place. Its text is a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Conflict {
    /// Another part, already in place, is in the way.
    CantPass {
        /// The part that comes later.
        part: String,
        /// The part in its way.
        over: String,
        /// The tightest bore that would have to pass.
        bore: Length,
        /// The outside of the part in the way.
        outside: Length,
    },
    /// The blank's taper holds it before its place.
    WontReach {
        /// The part.
        part: String,
        /// Where its butt end stops.
        stops_at: Length,
        /// Where it is to be.
        sits_at: Length,
    },
    /// The blank is too thick where the part is to go on.
    WontGoOn {
        /// The part.
        part: String,
        /// Its tightest bore.
        bore: Length,
        /// The blank at that end.
        blank: Length,
    },
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CantPass { part, over, bore, outside } => write!(
                f,
                "The {part} can't pass the {over} already in place: its bore is {}, and the {over} is {} outside. Put the {part} on first.",
                both(*bore),
                both(*outside)
            ),
            Self::WontReach { part, stops_at, sits_at } => write!(
                f,
                "The {part} stops at {} from the butt, before its place at {}. Ream it first.",
                both(*stops_at),
                both(*sits_at)
            ),
            Self::WontGoOn { part, bore, blank } => write!(
                f,
                "The {part} won't go on: its bore is {}, and the blank is {} at that end. Ream it first, or slide it on from the other end.",
                both(*bore),
                both(*blank)
            ),
        }
    }
}

/// Which of these parts must go on before which, because they could not pass it once it is in
/// place. A part counts as its largest outside diameter along its whole length, so a contoured one
/// may be judged too strictly. A bore no wider than what it must pass doesn't pass. Two parts that
/// stand in each other's way are both listed. Source: geometry.
pub fn before(parts: &[Part]) -> Result<Vec<Before>, FitError> {
    parts.iter().try_for_each(Part::check)?;
    let mut found = Vec::new();
    for (first, part) in parts.iter().enumerate() {
        for (then, other) in parts.iter().enumerate() {
            if first != then
                && let Some(bore) = must_pass(part, other)
                && bore <= other.thickest
            {
                found.push(Before { first, then, bore, outside: other.thickest });
            }
        }
    }
    Ok(found)
}

/// The tightest bore of `part` that passes over `other`, in place, on its way.
fn must_pass(part: &Part, other: &Part) -> Option<Length> {
    let (same, length) = (mm(SAME_PLACE_MM), part.bore.length());
    let (from, to) = match part.comes_from {
        End::Tip => (Length::ZERO, (other.ends_at() - part.sits_at).min(length)),
        End::Butt => ((other.sits_at - part.sits_at).max(Length::ZERO), length),
    };
    (to - from > same).then(|| part.bore.tightest_between(from, to - same))
}

/// What stands in the way when these parts go on in the order of the list, all on one piece of the
/// blank. Empty: nothing. Bores are taken as they are, so ream before, or give the reamed ones.
pub fn conflicts(section: &Section, parts: &[Part]) -> Result<Vec<Conflict>, FitError> {
    let before = before(parts)?;
    let mut found = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        section.holds(part.sits_at, part.bore.length())?;
        found.extend(against_blank(section, part)?);
        let in_the_way = before.iter().filter(|b| b.first == index && b.then < index);
        found.extend(in_the_way.map(|b| Conflict::CantPass {
            part: part.name.clone(),
            over: parts[b.then].name.clone(),
            bore: b.bore,
            outside: b.outside,
        }));
    }
    Ok(found)
}

fn against_blank(section: &Section, part: &Part) -> Result<Option<Conflict>, FitError> {
    let (first, _) = section.ends()?;
    let (name, bore) = (part.name.clone(), part.bore.tightest());
    Ok(match part.comes_from {
        End::Butt if bore < first.diameter => {
            Some(Conflict::WontGoOn { part: name, bore, blank: first.diameter })
        }
        End::Butt => None,
        End::Tip => match stop(section, &part.bore) {
            Err(FitError::WontGoOn { bore, thinnest }) => {
                Some(Conflict::WontGoOn { part: name, bore, blank: thinnest })
            }
            Err(other) => return Err(other),
            Ok(Stop::Held(held)) if held.from_butt > part.sits_at + mm(SAME_PLACE_MM) => {
                Some(Conflict::WontReach {
                    part: name,
                    stops_at: held.from_butt,
                    sits_at: part.sits_at,
                })
            }
            Ok(_) => None,
        },
    })
}

/// An order in which every part can pass those already in place, as indices into the list; where
/// several will do, the one nearest the list's own. An error names the parts for which there is
/// none.
pub fn working_order(parts: &[Part]) -> Result<Vec<usize>, FitError> {
    let before = before(parts)?;
    let mut left: Vec<usize> = (0..parts.len()).collect();
    let mut order = Vec::with_capacity(parts.len());
    let waits = |index: usize, left: &[usize]| {
        before.iter().any(|b| b.then == index && left.contains(&b.first))
    };
    while let Some(place) = left.iter().position(|&index| !waits(index, &left)) {
        order.push(left.remove(place));
    }
    // What only waits for the circle is not part of it.
    let blocks = |index: usize, left: &[usize]| {
        before.iter().any(|b| b.first == index && left.contains(&b.then))
    };
    while let Some(place) = left.iter().position(|&index| !blocks(index, &left)) {
        left.remove(place);
    }
    if left.is_empty() && order.len() == parts.len() {
        Ok(order)
    } else {
        Err(FitError::NoOrder { names: left.iter().map(|&i| parts[i].name.clone()).collect() })
    }
}
