//! The two stiffnesses of a blank, from its deflection in several directions.

use super::{BENDING_CAUTION, SIGNIFICANCE, SpineError, is_angle, radians, show, show_place, wrap};
use std::f64::consts::PI;
use std::fmt;
use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length, Ratio};
use uom::si::length::{meter, millimeter};
use uom::si::ratio::{percent, ratio};

/// Directions closer than this count as one, degrees. House rule: a scale read to a degree or two
/// then can't turn the fit round.
const APART: f64 = 10.0;
/// Beyond this ratio of stiffnesses a reading was mistaken. House rule: blanks differ by some
/// hundredths to tenths (common practice, no source).
const STIFFEST: f64 = 2.0;
/// Unknowns of the fit.
const UNKNOWNS: usize = 3;

/// How far the blank went down under the load with one side facing it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deflection {
    /// The side, on the blank's scale; any number of turns.
    pub side: Angle,
    /// From where it rested without the load to where it is with it, so that its bow doesn't count.
    /// Above zero, and small against the length that bends.
    pub deflection: Length,
}

/// The stiffest and the softest way to bend a blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StiffAxes {
    /// It goes down farthest with this side, or the opposite one, to the load: 0 up to 180°.
    pub softest: Angle,
    /// The least; a quarter turn from the softest, 0 up to 180°.
    pub stiffest: Angle,
    /// How far either may lie to each side of it, 95 %: below 45°.
    pub doubt: Angle,
    /// The stiffest over the softest stiffness, above 1.
    pub ratio: Ratio,
    /// The least that it may be, 95 %.
    pub least_ratio: Ratio,
}

/// What deflections say of a blank. Its text is a few sentences; where it asks for more readings, the
/// caution stands first.
#[derive(Debug, Clone, PartialEq)]
pub struct Stiffness {
    /// Mean deflection all round.
    pub mean: Length,
    /// How far the deflection goes above and below the mean.
    pub amplitude: Length,
    /// What the amplitude may be wrong by, 95 %. As large as the amplitude, or larger, and nothing
    /// can be told.
    pub noise: Length,
    /// For each reading, what it lies above the fit; in the order given.
    pub residuals: Vec<Length>,
    /// Standard deviation of the residuals with three degrees of freedom less than there are
    /// readings; None for three readings, which any fit goes through.
    pub scatter: Option<Length>,
    /// None where the amplitude can't be told from the noise.
    pub axes: Option<StiffAxes>,
    /// The most that the stiffest over the softest stiffness may be, 95 %, whether or not the axes
    /// can be told; None where the readings set no bound.
    pub most_ratio: Option<Ratio>,
}

/// Fits `a + b cos 2(side - softest)` to the deflections by least squares: in at least 3 directions
/// that differ by 10° or more, a half turn counting as none. Evenly spread all round is best.
/// `reading_error`, above zero, is what a reading may be off by.
///
/// The deflection in line with the load is `P L³/3 (cos²/EI1 + sin²/EI2)`, so the stiffnesses are as
/// `(a + b)` to `(a - b)`. Source: theory of unsymmetrical bending, any strength-of-materials text
/// (from memory); small deflections.
///
/// Axes are given only if the amplitude is above the noise: the longest radius of the joint 95 %
/// confidence ellipse of both harmonic coefficients, with F of Fisher from the residuals or with
/// chi-squared from the reading error taken as a standard deviation, whichever is wider (the theory
/// of linear least squares). The bounds of the ratio take the mean as exact.
pub fn stiffness(readings: &[Deflection], reading_error: Length) -> Result<Stiffness, SpineError> {
    let error = reading_error.get::<meter>();
    if !(error > 0.0 && error.is_finite()) {
        return Err(SpineError::ReadingError);
    }
    for (reading, one) in readings.iter().enumerate() {
        let known = is_angle(one.side) && one.deflection.is_finite();
        if !(known && one.deflection.value > 0.0) {
            return Err(SpineError::BadReading { reading });
        }
    }
    let given = directions(readings);
    if given < UNKNOWNS {
        return Err(SpineError::FewDirections { given });
    }
    let fit = Fit::of(readings);
    let (amplitude, noise) = (fit.cosine.hypot(fit.sine), fit.noise(error));
    if fit.mean + amplitude > STIFFEST * (fit.mean - amplitude) {
        return Err(SpineError::NoFit);
    }
    let stiff_to_soft = |b: f64| Ratio::new::<ratio>((fit.mean + b) / (fit.mean - b));
    let axes = (amplitude > noise).then(|| {
        let softest = wrap(fit.sine.atan2(fit.cosine) / 2.0, PI);
        StiffAxes {
            softest: radians(softest),
            stiffest: radians(wrap(softest + PI / 2.0, PI)),
            doubt: radians((noise / amplitude).asin() / 2.0),
            ratio: stiff_to_soft(amplitude),
            least_ratio: stiff_to_soft(amplitude - noise),
        }
    });
    let most = amplitude + noise;
    Ok(Stiffness {
        mean: metres(fit.mean),
        amplitude: metres(amplitude),
        noise: metres(noise),
        residuals: fit.residuals.iter().copied().map(metres).collect(),
        scatter: fit.variance().map(|variance| metres(variance.sqrt())),
        axes,
        most_ratio: (most < fit.mean).then(|| stiff_to_soft(most)),
    })
}

/// `mean + cosine cos 2x + sine sin 2x`, in m.
struct Fit {
    mean: f64,
    cosine: f64,
    sine: f64,
    residuals: Vec<f64>,
    /// By how many more readings than unknowns.
    freedom: f64,
    /// The smaller eigenvalue of the matrix of both harmonics about their means.
    weakest: f64,
}

impl Fit {
    /// Readings in at least three directions, so that the matrix can be inverted.
    fn of(readings: &[Deflection]) -> Self {
        let n = count(readings.len());
        // A whole turn taken off first keeps the figures of angles of many turns.
        let doubled = |one: &Deflection| 2.0 * wrap(one.side.get::<radian>(), PI);
        let points: Vec<[f64; 3]> = readings
            .iter()
            .map(|one| [doubled(one).cos(), doubled(one).sin(), one.deflection.get::<meter>()])
            .collect();
        let mean_of = |which: usize| points.iter().map(|point| point[which]).sum::<f64>() / n;
        let means = [mean_of(0), mean_of(1), mean_of(2)];
        let sum = |one: usize, other: usize| {
            let product = |p: &[f64; 3]| (p[one] - means[one]) * (p[other] - means[other]);
            points.iter().map(product).sum::<f64>()
        };
        let (cc, cs, ss) = (sum(0, 0), sum(0, 1), sum(1, 1));
        let (cy, sy) = (sum(0, 2), sum(1, 2));
        let determinant = cc * ss - cs * cs;
        let cosine = (cy * ss - sy * cs) / determinant;
        let sine = (sy * cc - cy * cs) / determinant;
        let mean = means[2] - cosine * means[0] - sine * means[1];
        let residual = |p: &[f64; 3]| p[2] - mean - cosine * p[0] - sine * p[1];
        let largest = f64::midpoint(cc, ss) + ((cc - ss) / 2.0).hypot(cs);
        Self {
            mean,
            cosine,
            sine,
            residuals: points.iter().map(residual).collect(),
            freedom: count(readings.len() - UNKNOWNS),
            weakest: determinant / largest,
        }
    }

    /// Of the residuals, m²; None where there is nothing left to judge it by.
    fn variance(&self) -> Option<f64> {
        let squares = self.residuals.iter().map(|r| r * r).sum::<f64>();
        (self.freedom > 0.0).then(|| squares / self.freedom)
    }

    /// Longest radius of the 95 % ellipse of both coefficients, m. With two degrees of freedom the
    /// quantiles have closed forms: of chi-squared `-2 ln p`, of twice F `m (p^(-2/m) - 1)`.
    fn noise(&self, error: f64) -> f64 {
        let from_error = -2.0 * SIGNIFICANCE.ln() * error * error;
        let from_residuals = self.variance().map_or(0.0, |variance| {
            self.freedom * (SIGNIFICANCE.powf(-2.0 / self.freedom) - 1.0) * variance
        });
        (from_error.max(from_residuals) / self.weakest).sqrt()
    }
}

/// How many directions differ, a half turn counting as none; the most that any start gives.
fn directions(readings: &[Deflection]) -> usize {
    let mut sides: Vec<f64> =
        readings.iter().map(|one| wrap(one.side.get::<degree>(), 180.0)).collect();
    sides.sort_by(f64::total_cmp);
    // What a conversion to radians and back may lose must not make two of one.
    let apart = APART - 1e-6;
    let from = |start: usize| {
        let (mut last, mut found) = (0.0, 1);
        for step in 1..sides.len() {
            let at = wrap(sides[(start + step) % sides.len()] - sides[start], 180.0);
            if at - last >= apart && 180.0 - at >= apart {
                (last, found) = (at, found + 1);
            }
        }
        found
    };
    (0..sides.len()).map(from).max().unwrap_or(0)
}

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// Readings as a number to reckon with; far fewer than a float can count.
#[allow(clippy::cast_precision_loss)]
fn count(readings: usize) -> f64 {
    readings as f64
}

impl fmt::Display for Stiffness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let more = |share: Ratio| format!("{:.1} %", share.get::<percent>() - 100.0);
        if let Some(axes) = &self.axes {
            return write!(
                f,
                "Softest at {} and the opposite, stiffest a quarter turn from it, give or take {} (95 %). The stiffest way is {} stiffer.",
                show_place(axes.softest),
                show(axes.doubt),
                more(axes.ratio)
            );
        }
        write!(
            f,
            "{BENDING_CAUTION} No softest side can be told: the deflection goes {:.2} mm up and down around the blank, and that is known only to {:.2} mm.",
            self.amplitude.get::<millimeter>(),
            self.noise.get::<millimeter>()
        )?;
        if let Some(most) = self.most_ratio {
            write!(f, " At most, one way is {} stiffer than another.", more(most))?;
        }
        f.write_str(" Read it in more directions, or to a finer step.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::{degrees, shortest};
    use proptest::collection::vec;
    use proptest::prelude::*;

    /// Degrees from one axis to another, the shorter way round.
    fn apart(one: Angle, other: f64) -> f64 {
        shortest(one.get::<degree>() - other, 180.0).abs()
    }

    fn deflections(readings: &[(f64, f64)]) -> Vec<Deflection> {
        let one = |&(side, down): &(f64, f64)| Deflection {
            side: degrees(side),
            deflection: Length::new::<millimeter>(down),
        };
        readings.iter().map(one).collect()
    }

    fn fitted(readings: &[(f64, f64)], error: f64) -> Result<Stiffness, SpineError> {
        stiffness(&deflections(readings), Length::new::<millimeter>(error))
    }

    #[test]
    fn deflections_that_fit_nothing_are_refused() {
        let good = [(0.0, 13.0), (60.0, 13.2), (120.0, 12.9)];
        for error in [0.0, -0.1, f64::NAN, f64::INFINITY] {
            assert_eq!(fitted(&good, error), Err(SpineError::ReadingError));
        }
        for bad in [(60.0, 0.0), (60.0, -1.0), (60.0, f64::NAN), (f64::INFINITY, 13.0)] {
            let readings = [good[0], bad, good[2]];
            assert_eq!(fitted(&readings, 0.1), Err(SpineError::BadReading { reading: 1 }));
        }
        for (readings, given) in [
            (vec![], 0),
            (vec![(0.0, 13.0), (180.0, 13.0), (360.0, 13.0), (90.0, 12.0), (270.0, 12.0)], 2),
            (vec![(0.0, 13.0), (60.0, 13.0), (175.0, 13.0)], 2),
        ] {
            assert_eq!(fitted(&readings, 0.1), Err(SpineError::FewDirections { given }));
        }
        // Readings close together fix nothing on the far side.
        let near = [(0.0, 10.0), (10.0, 12.0), (20.0, 20.0)];
        assert_eq!(fitted(&near, 0.1), Err(SpineError::NoFit));
    }

    #[test]
    fn three_readings_are_told_by_the_error_of_reading() {
        let readings = [(0.0, 13.5), (60.0, 12.5), (120.0, 13.0)];
        let fine = fitted(&readings, 0.05).unwrap();
        assert!(fine.axes.is_some() && fine.scatter.is_none());
        assert!(
            fine.residuals.iter().all(|residual| residual.abs() < Length::new::<millimeter>(1e-9))
        );
        let coarse = fitted(&readings, 0.5).unwrap();
        assert!(coarse.axes.is_none());
        let text = coarse.to_string();
        assert!(text.starts_with(BENDING_CAUTION) && text.contains("No softest side can be told"));
    }

    proptest! {
    /// Whatever two stiffnesses and directions, the fit finds them; a turned blank turns the axes.
    #[test]
    fn exact_deflections_are_fitted_exactly(
        softest in 0.0f64..180.0, mean in 1.0f64..500.0, share in 0.01f64..0.3,
        first in -360.0f64..360.0, steps in vec(12.0f64..58.0, 3..15),
    ) {
        let amplitude = mean * share;
        let mut side = first;
        let readings: Vec<(f64, f64)> = steps
            .iter()
            .map(|step| {
                side += step;
                let turn = 2.0 * (side - softest).to_radians();
                (side, mean + amplitude * turn.cos())
            })
            .collect();
        let fit = fitted(&readings, 1e-6 * mean).unwrap();
        let in_mm = |length: Length| length.get::<millimeter>();
        prop_assert!((in_mm(fit.mean) - mean).abs() < 1e-6 * mean);
        prop_assert!((in_mm(fit.amplitude) - amplitude).abs() < 1e-6 * mean);
        prop_assert!(fit.residuals.iter().all(|&residual| in_mm(residual).abs() < 1e-6 * mean));
        let axes = fit.axes.unwrap();
        prop_assert!(apart(axes.softest, softest) < 1e-3);
        prop_assert!((apart(axes.stiffest, axes.softest.get::<degree>()) - 90.0).abs() < 1e-9);
            let share = 100.0 * (1.0 + share) / (1.0 - share);
        prop_assert!((axes.ratio.get::<percent>() - share).abs() < 1e-3 * share);
        prop_assert!(axes.least_ratio <= axes.ratio && axes.ratio <= fit.most_ratio.unwrap());
    }
    }
}
