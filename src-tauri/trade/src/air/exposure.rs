//! What one person has breathed in so far.

use super::curve::{Piece, finite};
use super::{AirError, Curve};

const EIGHT_HOURS: f64 = 8.0 * 3600.0;
const FIFTEEN_MINUTES: f64 = 15.0 * 60.0;

/// A time that a person spent in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay<'a> {
    /// The room's concentration or exposure index.
    pub curve: &'a Curve,
    /// When they came in, s.
    pub from: f64,
    /// When they left, s; infinity for one who is still there.
    pub until: f64,
}

/// One person's day: the stays in one or several rooms. Time outside them counts as clean air,
/// since nothing is known of it; so does what a person breathes closer to the work than the mean
/// of the room, which may be far more. Respirators are not reckoned with.
///
/// All averages are in the measure of the curves, which must be the same for all stays: with the
/// curves of [`super::RoomAir::exposure_index`] for a period, the average over that period is the
/// sum that shall not exceed 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Exposure<'a> {
    /// In order of time, none overlapping.
    stays: Vec<Stay<'a>>,
}

impl<'a> Exposure<'a> {
    /// A day of these stays, in any order. They may touch but not overlap.
    pub fn new(mut stays: Vec<Stay<'a>>) -> Result<Self, AirError> {
        for stay in &stays {
            if !stay.from.is_finite() || stay.until.is_nan() {
                return Err(AirError::Time);
            }
            if stay.until <= stay.from {
                return Err(AirError::Interval);
            }
        }
        stays.sort_by(|a, b| a.from.total_cmp(&b.from));
        if stays.windows(2).any(|pair| pair[0].until > pair[1].from) {
            return Err(AirError::StaysOverlap);
        }
        Ok(Self { stays })
    }

    /// The eight-hour average of the day up to `now`: the integral over all stays divided by eight
    /// hours, however long the day was so far (29 CFR 1910.1000(d)(1)(i)).
    pub fn eight_hour_average(&self, now: f64) -> Result<f64, AirError> {
        finite(now)?;
        Ok(self.integral(f64::NEG_INFINITY, now)? / EIGHT_HOURS)
    }

    /// The average over the fifteen minutes before `now`.
    pub fn fifteen_minute_average(&self, now: f64) -> Result<f64, AirError> {
        finite(now)?;
        Ok(self.integral(now - FIFTEEN_MINUTES, now)? / FIFTEEN_MINUTES)
    }

    /// The highest average over any fifteen minutes of the day that end at or before `now`.
    pub fn highest_fifteen_minutes(&self, now: f64) -> Result<f64, AirError> {
        finite(now)?;
        let parts = self.parts(now);
        // The window's average changes its form only where its end or its beginning meets an event.
        let mut ends: Vec<f64> = parts
            .iter()
            .flat_map(|part| [part.from, part.until])
            .flat_map(|event| [event, event + FIFTEEN_MINUTES])
            .filter(|&end| end < now)
            .collect();
        ends.push(now);
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let mut highest = 0.0_f64;
        for &end in &ends {
            highest = highest.max(self.fifteen_minute_average(end)?);
        }
        // In between it is highest where what comes in at the end equals what drops out at the
        // beginning, going over from more to less.
        for pair in ends.windows(2) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let coming = part_at(&parts, middle);
            let going = part_at(&parts, middle - FIFTEEN_MINUTES);
            for top in tops(coming, going, pair[0], pair[1]).into_iter().flatten() {
                highest = highest.max(self.fifteen_minute_average(top)?);
            }
        }
        Ok(highest)
    }

    /// The highest value met up to `now`, to set against a ceiling.
    pub fn highest(&self, now: f64) -> Result<f64, AirError> {
        finite(now)?;
        let mut highest = 0.0_f64;
        for stay in &self.stays {
            let until = stay.until.min(now);
            if stay.from < until {
                highest = highest.max(stay.curve.highest(stay.from, until)?);
            } else if stay.from <= until {
                // Came in just now.
                highest = highest.max(stay.curve.value(until)?);
            }
        }
        Ok(highest)
    }

    fn integral(&self, from: f64, until: f64) -> Result<f64, AirError> {
        let mut sum = 0.0;
        for stay in &self.stays {
            let (from, until) = (stay.from.max(from), stay.until.min(until));
            if from < until {
                sum += stay.curve.integral(from, until)?;
            }
        }
        Ok(sum)
    }

    /// The pieces of the curves that fall into the stays up to `now`.
    fn parts(&self, now: f64) -> Vec<Part<'a>> {
        let mut parts = Vec::new();
        for stay in &self.stays {
            for piece in stay.curve.pieces() {
                let from = stay.from.max(piece.start);
                let until = stay.until.min(piece.end).min(now);
                if from < until {
                    parts.push(Part { from, until, piece });
                }
            }
        }
        parts
    }
}

struct Part<'a> {
    from: f64,
    until: f64,
    piece: &'a Piece,
}

fn part_at<'a, 'b>(parts: &'b [Part<'a>], time: f64) -> Option<&'b Part<'a>> {
    let after = parts.partition_point(|part| part.from <= time);
    parts[..after].last().filter(|part| time < part.until)
}

/// Where, between `from` and `until`, the difference of what comes in and what goes out falls
/// through zero. Its slope is a difference of two exponentials, which is zero once at most; so the
/// difference falls through zero at most once on either side of that.
fn tops(
    coming: Option<&Part<'_>>,
    going: Option<&Part<'_>>,
    from: f64,
    until: f64,
) -> [Option<f64>; 2] {
    let value = |part: Option<&Part<'_>>, time: f64| part.map_or(0.0, |p| p.piece.value_at(time));
    let slope = |part: Option<&Part<'_>>, time: f64| part.map_or(0.0, |p| p.piece.slope_at(time));
    let rate = |part: Option<&Part<'_>>| part.map_or(0.0, |p| p.piece.rate);
    let gain = |end: f64| value(coming, end) - value(going, end - FIFTEEN_MINUTES);
    let turn = (slope(coming, from) / slope(going, from - FIFTEEN_MINUTES)).ln()
        / (rate(coming) - rate(going));
    // NaN where the slope has no zero.
    let turn = if turn.is_nan() { until } else { (from + turn).clamp(from, until) };
    [(from, turn), (turn, until)].map(|(mut low, mut high)| {
        if !(gain(low) > 0.0 && gain(high) < 0.0) {
            return None;
        }
        // Halved until the two meet: at most about as often as a number has bits.
        loop {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                return Some(middle);
            }
            if gain(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
    })
}
