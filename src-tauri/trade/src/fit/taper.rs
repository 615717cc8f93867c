//! The taper of a blank between measured diameters.

use super::{
    FitError, FitWarning, SAME_PLACE_MM, THICKEST_MM, above_zero, mm, positive, zero_or_more,
};
use crate::blank::{Blank, Measured};
use uom::ConstZero;
use uom::si::f64::{Length, Ratio};

/// Coarsest caliper taken.
const COARSEST_MM: f64 = 1.0;
/// Into how many parts a span is cut to find how far the uncertainty reaches.
const PARTS: u32 = 100;

/// An outside diameter of the blank with its bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Diameter {
    /// Where.
    pub at: Length,
    /// The diameter, on the straight line between the two measurements around it.
    pub diameter: Length,
    /// The least it may be.
    pub lowest: Length,
    /// The most it may be.
    pub highest: Length,
    /// What the caliper adds to either side.
    pub from_caliper: Length,
    /// What the distance between measurements adds, to the side where it adds more.
    pub from_spacing: Length,
    /// What to tell beside it.
    pub warnings: Vec<FitWarning>,
}

impl Diameter {
    /// The larger of the distances to both bounds.
    pub fn uncertainty(&self) -> Length {
        (self.highest - self.diameter).max(self.diameter - self.lowest)
    }
}

/// A place where the blank has a given diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The place; on a level stretch, its end nearest the tip.
    pub from_butt: Length,
    /// The nearest to the butt that it may be.
    pub nearest_butt: Length,
    /// The nearest to the tip that it may be.
    pub nearest_tip: Length,
}

/// One piece of the blank, between butt, joins and tip, with its measurements.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    from: Length,
    to: Length,
    caliper: Length,
    /// In order from the butt.
    measured: Vec<Measured>,
}

/// Outside diameter of a blank along its length, from measurements.
///
/// Between two measurements the diameter runs on a straight line: it never overshoots either, its
/// inverse is exact, volumes along it are exact frusta, and it is the line that [`Blank`] draws. A
/// smoother monotone curve (Fritsch & Carlson 1980) would differ from it by less than the bounds
/// given here, which is all that the measurements can tell. Across a join nothing is interpolated.
/// Outside what was measured on a piece there is no figure but an error: another reading takes half
/// a minute, and a part reamed too far is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct Taper {
    length: Length,
    sections: Vec<Section>,
}

impl Taper {
    /// A blank of `length` (assembled), whose pieces meet at `joins`, measured at two or more
    /// places; joins and measurements in any order. A measurement just at a join belongs to the
    /// piece on its tip side.
    ///
    /// `caliper` is the most by which one reading may be off, above zero and at most 1 mm: the
    /// maker's limit of error, and at least half a step of its last digit (JCGM 100:2008 F.2.2.1,
    /// cited from memory). Diameters are at most 60 mm. Within a piece a diameter may grow towards
    /// the tip by two such errors, no more.
    pub fn new(
        length: Length,
        joins: &[Length],
        measured: &[Measured],
        caliper: Length,
    ) -> Result<Self, FitError> {
        positive("The length of the blank", length)?;
        if !above_zero(caliper) || caliper > mm(COARSEST_MM) {
            return Err(FitError::Caliper { given: caliper });
        }
        let same = mm(SAME_PLACE_MM);
        let mut ends: Vec<Length> = joins.to_vec();
        if let Some(&at) = ends.iter().find(|&&at| !above_zero(at) || at >= length) {
            return Err(FitError::JoinOutside { at });
        }
        ends.sort_by(|a, b| a.value.total_cmp(&b.value));
        ends.dedup_by(|a, b| *a - *b <= same);
        ends.push(length);
        let measured = in_order(measured, length)?;
        let mut sections = Vec::with_capacity(ends.len());
        let mut rest = measured.as_slice();
        let mut from = Length::ZERO;
        for (index, &to) in ends.iter().enumerate() {
            let last = index + 1 == ends.len();
            let here = rest.partition_point(|m| last || m.from_butt < to - same);
            let (piece, after) = rest.split_at(here);
            let mut thinnest: Option<&Measured> = None;
            for after in piece {
                // Against the thinnest so far, or small growths could add up unseen.
                match thinnest {
                    Some(before) if after.diameter > before.diameter + caliper * 2.0 => {
                        return Err(FitError::GrowsTowardsTip { before: *before, after: *after });
                    }
                    Some(before) if after.diameter > before.diameter => {}
                    _ => thinnest = Some(after),
                }
            }
            sections.push(Section { from, to, caliper, measured: piece.to_vec() });
            (rest, from) = (after, to);
        }
        Ok(Self { length, sections })
    }

    /// From a checked [`Blank`]; `caliper` as in [`Taper::new`].
    pub fn of(blank: &Blank, caliper: Length) -> Result<Self, FitError> {
        Self::new(blank.length(), blank.joins(), blank.stations(), caliper)
    }

    /// Length of the assembled blank.
    pub fn length(&self) -> Length {
        self.length
    }

    /// The pieces, from the butt; at least one.
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// The piece at a place; a join belongs to the piece on its tip side.
    pub fn section_at(&self, from_butt: Length) -> Result<&Section, FitError> {
        if !zero_or_more(from_butt) {
            return Err(FitError::BadPlace { given: from_butt });
        }
        let beyond = FitError::BeyondTip { at: from_butt, length: self.length };
        if from_butt > self.length + mm(SAME_PLACE_MM) {
            return Err(beyond);
        }
        let same = mm(SAME_PLACE_MM);
        let found = self.sections.iter().find(|section| from_butt < section.to - same);
        found.or(self.sections.last()).ok_or(beyond)
    }

    /// Outside diameter at a place; see [`Section::diameter_at`].
    pub fn diameter_at(&self, from_butt: Length) -> Result<Diameter, FitError> {
        self.section_at(from_butt)?.diameter_at(from_butt)
    }

    /// Where the blank has this diameter (above zero): one place for each piece that has it, from
    /// the butt. An error where none has, between its measured places.
    pub fn places(&self, diameter: Length) -> Result<Vec<Place>, FitError> {
        positive("The diameter", diameter)?;
        let found: Vec<Place> = self.sections.iter().filter_map(|s| s.place(diameter)).collect();
        if !found.is_empty() {
            return Ok(found);
        }
        let all = || self.sections.iter().flat_map(|s| &s.measured).map(|m| m.diameter);
        Err(FitError::NoSuchDiameter {
            diameter,
            thickest: all().fold(Length::ZERO, Length::max),
            thinnest: all().fold(Length::new::<uom::si::length::meter>(f64::INFINITY), Length::min),
        })
    }
}

/// Checked, in order from the butt, each place once.
fn in_order(measured: &[Measured], length: Length) -> Result<Vec<Measured>, FitError> {
    let same = mm(SAME_PLACE_MM);
    for &Measured { from_butt, diameter } in measured {
        if !zero_or_more(from_butt) {
            return Err(FitError::BadPlace { given: from_butt });
        }
        positive("A diameter", diameter)?;
        if from_butt > length + same {
            return Err(FitError::BeyondTip { at: from_butt, length });
        }
        if diameter > mm(THICKEST_MM) {
            return Err(FitError::TooThick { diameter });
        }
    }
    let mut sorted = measured.to_vec();
    sorted.sort_by(|a, b| {
        let place = a.from_butt.value.total_cmp(&b.from_butt.value);
        place.then(b.diameter.value.total_cmp(&a.diameter.value))
    });
    let mut kept: Vec<Measured> = Vec::with_capacity(sorted.len());
    for here in sorted {
        match kept.last() {
            Some(before) if here.from_butt - before.from_butt <= same => {
                if (here.diameter - before.diameter).abs() > same {
                    return Err(FitError::MeasuredTwice {
                        at: before.from_butt,
                        thicker: before.diameter.max(here.diameter),
                        thinner: before.diameter.min(here.diameter),
                    });
                }
            }
            _ => kept.push(here),
        }
    }
    if kept.len() < 2 { Err(FitError::TooFew) } else { Ok(kept) }
}

/// Two measurements that follow each other, and how far the taper may stray between them.
#[derive(Clone, Copy)]
struct Span {
    butt: Measured,
    tip: Measured,
    stray: Ratio,
}

impl Span {
    fn length(&self) -> Length {
        self.tip.from_butt - self.butt.from_butt
    }

    fn diameter(&self, at: Length) -> Length {
        let part = ((at - self.butt.from_butt) / self.length()).value.clamp(0.0, 1.0);
        self.butt.diameter + (self.tip.diameter - self.butt.diameter) * part
    }
}

fn slope(butt: &Measured, tip: &Measured) -> Ratio {
    (tip.diameter - butt.diameter) / (tip.from_butt - butt.from_butt)
}

impl Section {
    /// Where the piece begins.
    pub fn from(&self) -> Length {
        self.from
    }

    /// Where it ends: a join or the tip.
    pub fn to(&self) -> Length {
        self.to
    }

    /// The bound of one caliper reading.
    pub fn caliper(&self) -> Length {
        self.caliper
    }

    /// Its measurements, from the butt; there may be none.
    pub fn measured(&self) -> &[Measured] {
        &self.measured
    }

    /// The measurements nearest the butt and nearest the tip.
    pub(super) fn ends(&self) -> Result<(Measured, Measured), FitError> {
        match (self.measured.first(), self.measured.last()) {
            (Some(&first), Some(&last)) => Ok((first, last)),
            _ => Err(FitError::PieceNotMeasured { from: self.from, to: self.to }),
        }
    }

    /// Outside diameter at a place between two measurements of this piece, by a straight line
    /// between them; an error outside them.
    ///
    /// The bounds add up two doubts. One is the caliper: a point of a line between two readings is
    /// off by no more than the worse of both. The other is the taper in between: its slope is taken
    /// to stray from the line's by no more than that of the spans on either side does (with two
    /// measurements in all: by no more than the slope itself), and the diameter never to leave its
    /// two neighbours. That is an estimate: a sudden change within one span does not show in it.
    /// Source: geometry from these assumptions; common practice, no source, for the assumptions.
    pub fn diameter_at(&self, from_butt: Length) -> Result<Diameter, FitError> {
        if !zero_or_more(from_butt) {
            return Err(FitError::BadPlace { given: from_butt });
        }
        let (first, last) = self.ends()?;
        let same = mm(SAME_PLACE_MM);
        if from_butt < first.from_butt - same || from_butt > last.from_butt + same {
            let nearest = if from_butt < first.from_butt { first } else { last };
            return Err(FitError::NotMeasured {
                at: from_butt,
                from: first.from_butt,
                to: last.from_butt,
                diameter: nearest.diameter,
            });
        }
        let mut bounds = Diameter {
            at: from_butt,
            diameter: first.diameter,
            lowest: first.diameter - self.caliper,
            highest: first.diameter + self.caliper,
            from_caliper: self.caliper,
            from_spacing: Length::ZERO,
            warnings: Vec::new(),
        };
        let Some(span) = self.span_at(from_butt) else {
            return Ok(bounds);
        };
        let (butt, tip) = (span.butt, span.tip);
        bounds.diameter = span.diameter(from_butt);
        let reach = (from_butt - butt.from_butt).min(tip.from_butt - from_butt).max(Length::ZERO);
        let stray = reach * span.stray;
        let thick = butt.diameter.max(tip.diameter) - bounds.diameter;
        let thin = bounds.diameter - butt.diameter.min(tip.diameter);
        let (up, down) = (stray.min(thick), stray.min(thin));
        bounds.highest = bounds.diameter + up + self.caliper;
        bounds.lowest = (bounds.diameter - down - self.caliper).max(Length::ZERO);
        bounds.from_spacing = up.max(down);
        if bounds.from_spacing > self.caliper {
            bounds
                .warnings
                .push(FitWarning::MeasuredFarApart { at: from_butt, adds: bounds.from_spacing });
        }
        Ok(bounds)
    }

    fn span_at(&self, at: Length) -> Option<Span> {
        let after = self.measured.partition_point(|m| m.from_butt < at).max(1);
        self.span(after.min(self.measured.len().saturating_sub(1)).checked_sub(1)?)
    }

    /// The span that begins at this measurement.
    fn span(&self, index: usize) -> Option<Span> {
        let (butt, tip) = (*self.measured.get(index)?, *self.measured.get(index + 1)?);
        let own = slope(&butt, &tip);
        let before = index.checked_sub(1).and_then(|i| self.measured.get(i));
        let after = self.measured.get(index + 2);
        let strays = [before.map(|m| slope(m, &butt)), after.map(|m| slope(&tip, m))];
        let stray = strays.into_iter().flatten().map(|other| (other - own).abs());
        let stray = stray.reduce(Ratio::max).unwrap_or(own.abs());
        Some(Span { butt, tip, stray })
    }

    /// The place nearest the tip at which the blank is that thick, if it is anywhere.
    fn place(&self, diameter: Length) -> Option<Place> {
        let last = self.measured.last()?;
        let at = if last.diameter == diameter {
            last.from_butt
        } else {
            let spans = self.measured.iter().zip(self.measured.iter().skip(1)).rev();
            spans
                .filter(|(butt, tip)| butt.diameter >= diameter && tip.diameter < diameter)
                .map(|(butt, tip)| {
                    let part = (butt.diameter - diameter) / (butt.diameter - tip.diameter);
                    butt.from_butt + (tip.from_butt - butt.from_butt) * part
                })
                .next()?
        };
        let (mut nearest_butt, mut nearest_tip) = (at, at);
        for index in 0..self.measured.len().saturating_sub(1) {
            let span = self.span(index)?;
            for part in 0..=PARTS {
                let here =
                    span.butt.from_butt + span.length() * (f64::from(part) / f64::from(PARTS));
                let Ok(bounds) = self.diameter_at(here) else { continue };
                if bounds.lowest <= diameter && diameter <= bounds.highest {
                    // One part wider, since the bounds are looked at in steps.
                    let part = span.length() / f64::from(PARTS);
                    nearest_butt = nearest_butt.min((here - part).max(span.butt.from_butt));
                    nearest_tip = nearest_tip.max((here + part).min(span.tip.from_butt));
                }
            }
        }
        Some(Place { from_butt: at, nearest_butt, nearest_tip })
    }

    /// The place nearest the tip at which the blank is thicker than `bore` just before it, coming
    /// from the tip. None if no measured place is.
    pub(super) fn first_thicker_than(&self, bore: Length) -> Option<Length> {
        let last = self.measured.last()?;
        if last.diameter > bore {
            return Some(last.from_butt);
        }
        let spans = self.measured.iter().zip(self.measured.iter().skip(1)).rev();
        spans
            .filter(|(butt, _)| butt.diameter > bore)
            .map(|(butt, tip)| {
                let part = (butt.diameter - bore) / (butt.diameter - tip.diameter);
                butt.from_butt + (tip.from_butt - butt.from_butt) * part
            })
            .next()
    }

    /// Checks that a part of this length at this place lies on the piece.
    pub(super) fn holds(&self, from: Length, length: Length) -> Result<(), FitError> {
        let (piece, same) = (self.to - self.from, mm(SAME_PLACE_MM));
        if !zero_or_more(from) {
            return Err(FitError::BadPlace { given: from });
        }
        if length > piece + same {
            return Err(FitError::PartTooLong { part: length, piece });
        }
        if from < self.from - same || from + length > self.to + same {
            return Err(FitError::OffThePiece {
                from,
                to: from + length,
                piece_from: self.from,
                piece_to: self.to,
            });
        }
        Ok(())
    }
}
