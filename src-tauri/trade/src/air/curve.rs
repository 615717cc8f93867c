//! A concentration over time, exact between events.

use super::AirError;
use super::vapour::zero_or_more;

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Sample {
    /// Time, s.
    pub at: f64,
    /// The value then.
    pub value: f64,
}

/// Between two events the value follows `dC/dt = source - rate C`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) start: f64,
    /// The next piece's start; infinity for the last.
    pub(super) end: f64,
    /// The value at the start, a release at that very time included.
    value: f64,
    /// Decay per second.
    pub(super) rate: f64,
    /// Growth per second.
    source: f64,
}

impl Piece {
    pub(super) fn value_at(&self, time: f64) -> f64 {
        let elapsed = time - self.start;
        self.after(elapsed, (-self.rate * elapsed).exp())
    }

    fn after(&self, elapsed: f64, left: f64) -> f64 {
        let grown = if self.source > 0.0 {
            self.source * elapsed * mean_decay(self.rate * elapsed)
        } else {
            0.0
        };
        self.value * left + grown
    }

    /// The value just before the piece ends.
    fn end_value(&self) -> f64 {
        match (self.end.is_finite(), self.rate > 0.0) {
            (true, _) => self.value_at(self.end),
            (false, true) => self.source / self.rate,
            // Steady releases end, so no source is left in the last piece.
            (false, false) => self.value,
        }
    }

    /// Integral from `from` to `until`, both within the piece.
    pub(super) fn integral(&self, from: f64, until: f64) -> f64 {
        let time = until - from;
        let x = self.rate * time;
        self.value_at(from) * time * mean_decay(x) + self.source * time * time * mean_growth(x)
    }

    /// The slope at a time within the piece; it only ever shrinks, by `exp(-rate t)`.
    pub(super) fn slope_at(&self, time: f64) -> f64 {
        (self.source - self.rate * self.value) * (-self.rate * (time - self.start)).exp()
    }
}

/// Mean of `exp(-u)` for u from 0 to x: `(1 - exp(-x)) / x`.
fn mean_decay(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { -(-x).exp_m1() / x }
}

/// `(1 - mean_decay(x)) / x`, by its series where the difference would cancel.
fn mean_growth(x: f64) -> f64 {
    if x > 0.5 {
        return (1.0 - mean_decay(x)) / x;
    }
    // Sum of (-x)^n / (n + 2)!; at x = 0.5 the thirteenth term is below the last digit.
    let mut term = 0.5;
    let mut sum = term;
    for n in 3..16 {
        term *= -x / f64::from(n);
        sum += term;
    }
    sum
}

/// How a value that vapour in a room adds up to runs over time: a share of the air's volume, a
/// fraction of a flammable limit, or an exposure index. Zero before the first release. It jumps up
/// at a release and is exact in between (closed form, no steps).
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// In order of time, without gaps; the last one never ends.
    pieces: Vec<Piece>,
}

impl Curve {
    /// From `rates` (times in order, each with the decay per second from then on) and `amounts`
    /// (from, until, by how much in all); all already checked.
    pub(super) fn new(
        rates: &[(f64, f64)],
        mut amounts: Vec<(f64, f64, f64)>,
    ) -> Result<Self, AirError> {
        // By time, end and amount, so that the sums don't depend on the order they came in.
        amounts.sort_by(|a, b| {
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
        });
        let mut times: Vec<f64> = Vec::with_capacity(rates.len() + 2 * amounts.len());
        times.extend(rates.iter().map(|rate| rate.0).filter(|time| time.is_finite()));
        for &(from, until, _) in &amounts {
            times.push(from);
            if until > from {
                times.push(until);
            }
        }
        times.sort_by(f64::total_cmp);
        times.dedup();
        let mut pieces = Vec::with_capacity(times.len());
        let (mut rates, mut amounts) = (rates.iter().peekable(), amounts.iter().peekable());
        let (mut rate, mut value) = (0.0, 0.0);
        let mut steady: Vec<(f64, f64)> = Vec::new();
        for (index, &start) in times.iter().enumerate() {
            while let Some(&(_, new)) = rates.next_if(|rate| rate.0 <= start) {
                rate = new;
            }
            steady.retain(|&(until, _)| until > start);
            while let Some(&(from, until, amount)) = amounts.next_if(|amount| amount.0 <= start) {
                if until > from {
                    steady.push((until, amount / (until - from)));
                } else {
                    value += amount;
                }
            }
            // Summed anew rather than added to and taken from, which would leave a remainder.
            let source = steady.iter().fold(0.0, |sum, &(_, growth)| sum + growth);
            let end = times.get(index + 1).copied().unwrap_or(f64::INFINITY);
            let piece = Piece { start, end, value, rate, source };
            value = piece.end_value();
            if !(zero_or_more(piece.value) && zero_or_more(value) && zero_or_more(source)) {
                return Err(AirError::TooLarge);
            }
            pieces.push(piece);
        }
        Ok(Self { pieces })
    }

    /// The value at `time`, a release at that very time included.
    pub fn value(&self, time: f64) -> Result<f64, AirError> {
        finite(time)?;
        Ok(self.piece_at(time).map_or(0.0, |piece| piece.value_at(time)))
    }

    /// From when on, at or after `now`, the value stays at or below `limit`; None if it never does,
    /// for instance because no air moves. It looks only at the releases and flows that are on
    /// record: a flow that is given to run on without end is taken to do so.
    pub fn settles_at(&self, limit: f64, now: f64) -> Result<Option<f64>, AirError> {
        finite(now)?;
        if !zero_or_more(limit) {
            return Err(AirError::Level);
        }
        // Within a piece the value only rises or only falls. So the last piece that begins above
        // the limit is the one to look at: it crosses the limit, or never gets below.
        for piece in self.pieces.iter().rev() {
            if piece.end <= now {
                break;
            }
            if piece.end_value() > limit {
                // Only the last piece can end above: any other would begin the next one there.
                return Ok(None);
            }
            if piece.value <= limit {
                continue;
            }
            // It falls through the limit, so there is decay and its floor lies below the limit.
            let floor = piece.source / piece.rate;
            let elapsed = ((piece.value - floor) / (limit - floor)).ln() / piece.rate;
            let mut time = piece.start + elapsed;
            if !time.is_finite() {
                return Ok(None);
            }
            // Rounding may leave it a hair too early.
            let mut step = time.next_up() - time;
            while time < piece.end && piece.value_at(time) > limit {
                time += step;
                step *= 2.0;
            }
            return Ok(Some(time.min(piece.end).max(now)));
        }
        Ok(Some(now))
    }

    /// The integral from `from` to `until`, value times seconds, in closed form.
    pub fn integral(&self, from: f64, until: f64) -> Result<f64, AirError> {
        interval(from, until)?;
        let first = self.pieces.partition_point(|piece| piece.end <= from);
        let within = self.pieces[first..].iter().take_while(|piece| piece.start < until);
        Ok(within.map(|piece| piece.integral(from.max(piece.start), until.min(piece.end))).sum())
    }

    /// The average from `from` to `until`, in closed form.
    pub fn average(&self, from: f64, until: f64) -> Result<f64, AirError> {
        Ok(self.integral(from, until)? / (until - from))
    }

    /// The highest value from `from` to `until`, both included.
    pub fn highest(&self, from: f64, until: f64) -> Result<f64, AirError> {
        interval(from, until)?;
        let first = self.pieces.partition_point(|piece| piece.end <= from);
        let within = self.pieces[first..].iter().take_while(|piece| piece.start <= until);
        // A piece only rises or only falls, so its ends are enough.
        Ok(within.fold(0.0, |highest: f64, piece| {
            let (from, until) = (from.max(piece.start), until.min(piece.end));
            highest.max(piece.value_at(from)).max(piece.value_at(until))
        }))
    }

    /// `count` (2 to 2³² - 1) samples for drawing, evenly spaced from `from` to `until`, both
    /// included. A peak between two samples is not seen; [`Curve::highest`] sees it.
    pub fn samples(&self, from: f64, until: f64, count: usize) -> Result<Vec<Sample>, AirError> {
        interval(from, until)?;
        let last = u32::try_from(count.saturating_sub(1)).unwrap_or(0);
        if last == 0 || last == u32::MAX {
            return Err(AirError::Samples);
        }
        let step = (until - from) / f64::from(last);
        // The very times of the samples: the last one is `until` to the bit.
        let time = |index: u32| if index == last { until } else { from + f64::from(index) * step };
        // The first sample at or after `end`.
        let reaches = |end: f64| {
            let (mut low, mut high) = (0, last + 1);
            while low < high {
                let middle = low.midpoint(high);
                if time(middle) < end { low = middle + 1 } else { high = middle }
            }
            low
        };
        let mut samples = Vec::with_capacity(count);
        let mut index = reaches(self.pieces.first().map_or(f64::INFINITY, |piece| piece.start));
        samples.extend((0..index).map(|index| Sample { at: time(index), value: 0.0 }));
        for piece in &self.pieces {
            if index > last {
                break;
            }
            let stop = reaches(piece.end);
            let left = (-piece.rate * step).exp();
            let grown = Piece { value: 0.0, ..*piece }.after(step, left);
            // From one sample to the next the value shrinks by a fixed share and grows by a fixed
            // amount. Set anew from the closed form now and then, rounding stays below 1e-13.
            while index < stop {
                let anchor_ends = stop.min(index.saturating_add(SAMPLES_PER_ANCHOR));
                let mut value = piece.value_at(time(index));
                let chunk = index..anchor_ends;
                if grown > 0.0 {
                    samples.extend(chunk.map(|index| {
                        let sample = Sample { at: time(index), value };
                        value = value * left + grown;
                        sample
                    }));
                } else {
                    // The usual case, on its own because it is the faster by half again.
                    samples.extend(chunk.map(|index| {
                        let sample = Sample { at: time(index), value };
                        value *= left;
                        sample
                    }));
                }
                index = anchor_ends;
            }
        }
        Ok(samples)
    }

    /// The piece in which `time` lies; None before the first.
    fn piece_at(&self, time: f64) -> Option<&Piece> {
        let after = self.pieces.partition_point(|piece| piece.start <= time);
        self.pieces[..after].last()
    }

    pub(super) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }
}

/// How many samples are carried on from one that was worked out in closed form.
const SAMPLES_PER_ANCHOR: u32 = 256;

pub(super) fn finite(time: f64) -> Result<(), AirError> {
    if time.is_finite() { Ok(()) } else { Err(AirError::Time) }
}

fn interval(from: f64, until: f64) -> Result<(), AirError> {
    finite(from)?;
    finite(until)?;
    if from < until { Ok(()) } else { Err(AirError::Interval) }
}
