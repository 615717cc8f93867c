//! Trials that don't belong to the others.

use super::student::two_sided;
use super::{Circular, SIGNIFICANCE, SpineError};
use uom::si::f64::Angle;

/// A trial that doesn't belong to the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// Which, counted from 0 in the order given.
    pub trial: usize,
    /// How far from the mean of the others, the shorter way round; by sign.
    pub off: Angle,
}

/// The trials that don't belong to the others, in the order given. Each one is held against all the
/// others; it is named if all three hold:
///
/// - the others agree by themselves: their angular deviation is at most `within`;
/// - it lies farther than `within` from their mean;
/// - `F = (n - 2) (S - S') / S'` is beyond chance at 5 % shared among n trials (Bonferroni), with one
///   and n - 2 degrees of freedom. S is `n - nR` of all, S' of the others.
///
/// The test is Collett's (1980) for one trial of a von Mises sample close together, from memory; for
/// small spreads it is the test of Grubbs. It takes 3 trials, and two strays can hide each other: then
/// the trials disagree, and none is named.
pub fn outliers(sample: &Circular, within: Angle) -> Result<Vec<Outlier>, SpineError> {
    let mut found = Vec::new();
    if sample.trials() < 3 {
        return Ok(found);
    }
    let n = sample.count();
    let all = n * sample.variance();
    for trial in 0..sample.trials() {
        let Some(others) = sample.without(trial) else { continue };
        if others.angular_deviation() > within {
            continue;
        }
        let off = sample.off(others.mean()?)[trial];
        let left = (n - 1.0) * others.variance();
        // Where the others agree exactly, this divides by zero: beyond any chance.
        let ratio = ((n - 2.0) * (all - left) / left).max(0.0);
        let beyond = two_sided(ratio.sqrt(), sample.trials() - 2) < SIGNIFICANCE / n;
        if off.abs() > within && beyond {
            found.push(Outlier { trial, off });
        }
    }
    Ok(found)
}
