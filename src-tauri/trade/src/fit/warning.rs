//! What a builder is told beside a figure.

use super::{THICKEST_MM, THINNEST_MM, both, mm};
use crate::blank::Measured;
use std::fmt;
use uom::si::f64::Length;

/// The international inch in millimetres, exact.
const INCH_MM: f64 = 25.4;
/// How many times the diameter before it a ferrule may be, and how many times the one after it a
/// reading may be. House rules, far from 25.4.
const FERRULE: f64 = 1.3;
const NEIGHBOUR: f64 = 4.0;

/// What a builder is told beside a figure. Its text is a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum FitWarning {
    /// A length fits only when it is multiplied or divided by 25.4: inches and millimetres may have
    /// been mixed up. Nothing was changed; ask.
    InchSlip {
        /// The length as given.
        given: Length,
        /// The length that would fit.
        fits: Length,
    },
    /// The measurements lie so far apart that the taper between them counts for more than the
    /// caliper.
    MeasuredFarApart {
        /// Where the diameter was asked for.
        at: Length,
        /// What the distance adds to the uncertainty of the diameter.
        adds: Length,
    },
    /// The glue line is, or may be, thinner than the range.
    LineTooThin {
        /// Where.
        at: Length,
        /// The thinnest it may be there, per side.
        gap: Length,
        /// The least of the range.
        least: Length,
    },
    /// The glue line is, or may be, thicker than the range.
    LineTooThick {
        /// Where.
        at: Length,
        /// The thickest it may be there, per side.
        gap: Length,
        /// The greatest of the range.
        most: Length,
    },
    /// The diameter is not known well enough to ream into the range of the glue line for certain.
    RangeTooNarrow {
        /// Where.
        at: Length,
        /// The uncertainty of the diameter there.
        uncertainty: Length,
    },
    /// A bore is wider than the range of the glue line allows before any reaming.
    BoreTooWide {
        /// Where.
        at: Length,
        /// The bore there.
        bore: Length,
        /// The widest for the range.
        widest: Length,
    },
    /// A cut of one diameter leaves the glue line too thick at its narrow end.
    StepTooLong {
        /// Where the cut begins, from the part's butt end.
        from: Length,
        /// The glue line at its narrow end, per side.
        gap: Length,
    },
    /// A part hangs out over the end of its piece where it stops.
    HangsOver {
        /// Where its far end is.
        to: Length,
        /// Where the piece ends.
        end: Length,
    },
    /// The part was slid over, or may stop on, a stretch that was not measured.
    Unmeasured {
        /// Where the stretch begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// The gap is wide, but not wide enough for one whole turn of tape.
    NoTurnFits {
        /// The gap per side.
        gap: Length,
    },
}

impl fmt::Display for FitWarning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::InchSlip { given, fits } => write!(
                f,
                "{} does not fit here, but {} would. Were inches and millimetres mixed up?",
                both(given),
                both(fits)
            ),
            Self::MeasuredFarApart { at, adds } => write!(
                f,
                "The measurements around {} lie far apart, which adds {} of doubt. Measure there.",
                both(at),
                both(adds)
            ),
            Self::LineTooThin { at, gap, least } => write!(
                f,
                "At {} the glue line may be only {} per side, less than {}. Measure again there, or ream a little more.",
                both(at),
                both(gap),
                both(least)
            ),
            Self::LineTooThick { at, gap, most } => write!(
                f,
                "At {} the glue line may be {} per side, more than {}. Measure again there, or build the blank up.",
                both(at),
                both(gap),
                both(most)
            ),
            Self::RangeTooNarrow { at, uncertainty } => write!(
                f,
                "At {} the diameter is known only to {} either way, too little for this range of the glue line. Measure there, or ream a little at a time and try it on.",
                both(at),
                both(uncertainty)
            ),
            Self::BoreTooWide { at, bore, widest } => write!(
                f,
                "At {} the bore of {} is already wider than {}. Build the blank up there.",
                both(at),
                both(bore),
                both(widest)
            ),
            Self::StepTooLong { from, gap } => write!(
                f,
                "The cut that begins {} into the part leaves {} per side at its narrow end. Take shorter cuts, or ream to the taper.",
                both(from),
                both(gap)
            ),
            Self::HangsOver { to, end } => write!(
                f,
                "Where it stops, the part reaches to {}, past the end of the piece at {}. Ream it before it goes on.",
                both(to),
                both(end)
            ),
            Self::Unmeasured { from, to } => write!(
                f,
                "From {} to {} nothing was measured, and the part may stop there. Measure the blank there.",
                both(from),
                both(to)
            ),
            Self::NoTurnFits { gap } => write!(
                f,
                "The gap of {} per side takes no whole turn of this tape. Take thinner tape, or bond it bare.",
                both(gap)
            ),
        }
    }
}

/// Whether `given` lies outside `least..=most` but would lie inside when multiplied or divided by
/// 25.4 (the inch is 25.4 mm exactly, international yard and pound agreement of 1959). None when it
/// fits as it is, when neither fits, or for no number. A suspicion, to ask about: never a correction.
pub fn inch_slip(given: Length, least: Length, most: Length) -> Option<FitWarning> {
    let fits = |length: Length| length >= least && length <= most;
    if !given.is_finite() || given.value <= 0.0 || fits(given) {
        return None;
    }
    [given * INCH_MM, given / INCH_MM]
        .into_iter()
        .find(|&length| fits(length))
        .map(|fits| FitWarning::InchSlip { given, fits })
}

/// Readings of a blank, in any order, that fit those around them only when multiplied or divided by
/// 25.4, each with its index as given: the fewest slips that explain the readings, and where
/// several sets of so few would, all of them. A ferrule may be up to 1.3 times what it slides over,
/// a reading up to 4 times the next one, and a blank is 0.5 to 60 mm thick (house rules, far from
/// 25.4).
pub fn reading_slips(measured: &[Measured]) -> Vec<(usize, FitWarning)> {
    let mut order: Vec<usize> = (0..measured.len()).collect();
    let place = |&row: &usize| measured[row].from_butt.value;
    order.sort_by(|a, b| place(a).total_cmp(&place(b)));
    let readings: Vec<[Length; 3]> = order
        .iter()
        .map(|&row| measured[row].diameter)
        .map(|as_given| [as_given, as_given * INCH_MM, as_given / INCH_MM])
        .collect();
    // The least that a reading so meant costs together with all before it, and with all after it.
    let before = costs(readings.iter(), fits_after);
    let mut after = costs(readings.iter().rev(), |here, last| fits_after(last, here));
    after.reverse();
    let least = before.last().and_then(|last| last.iter().min()).copied().unwrap_or(0);
    let mut found = Vec::new();
    for (index, &row) in order.iter().enumerate() {
        for meant in 1..3 {
            let (given, fits) = (readings[index][0], readings[index][meant]);
            let own = own_cost(&readings[index], meant);
            if before[index][meant] + after[index][meant] - own == least {
                found.push((row, FitWarning::InchSlip { given, fits }));
            }
        }
    }
    found.sort_by_key(|&(row, _)| row);
    found
}

/// What a slip costs, and what it costs to leave something unexplained: so that one slip explains
/// one misfit, but nothing is explained by more slips than there are misfits.
const SLIP: u32 = 2;
const MISFIT: u32 = 3;

/// Whether a diameter may follow another towards the tip.
fn fits_after(diameter: Length, before: Length) -> bool {
    diameter <= before * FERRULE && diameter >= before / NEIGHBOUR
}

/// A slip must lead to a blank's diameter; a reading as given may be anything, at a cost.
fn own_cost(reading: &[Length; 3], meant: usize) -> u32 {
    let plausible = reading[meant] >= mm(THINNEST_MM) && reading[meant] <= mm(THICKEST_MM);
    match (meant, plausible) {
        (0, true) => 0,
        (0, false) => MISFIT,
        (_, true) => SLIP,
        // More than any number of readings could save.
        (_, false) => u32::MAX / 8,
    }
}

/// For each reading and each way it may be meant, the least cost of it and all that come before it.
fn costs<'a>(
    readings: impl Iterator<Item = &'a [Length; 3]>,
    follows: impl Fn(Length, Length) -> bool,
) -> Vec<[u32; 3]> {
    let mut all: Vec<[u32; 3]> = Vec::new();
    let mut last: Option<&[Length; 3]> = None;
    for reading in readings {
        let way = |meant: usize| {
            let so_far = last.zip(all.last()).and_then(|(last, costs)| {
                let from = last.iter().zip(costs).map(|(&before, &cost)| {
                    cost + if follows(reading[meant], before) { 0 } else { MISFIT }
                });
                from.min()
            });
            (own_cost(reading, meant) + so_far.unwrap_or(0)).min(u32::MAX / 8)
        };
        let next = [way(0), way(1), way(2)];
        all.push(next);
        last = Some(reading);
    }
    all
}
