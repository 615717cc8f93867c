//! The stiffness that a load test tells: the figure turned round.
//!
//! One or two unknowns and some dozen readings: Gauss-Newton with Levenberg's damping is a page of
//! its own, and a linear algebra crate for a matrix of two by two would cost more to build than the
//! rest of this crate.

use super::profile::Fitted;
use super::static_test::{Deviation, check_marks, deviations, size};
use super::{BendError, BendWarning, Curve, LoadTest, Stiffness};
use uom::si::f64::{Length, Ratio};
use uom::si::ratio::ratio;

/// Most rounds.
const ROUNDS: usize = 60;
/// Farthest from the diameters that a fit may lead, as a logarithm: a hundred times.
const FARTHEST: f64 = 4.7;
/// Step of the difference quotients. Its square is the error.
const NUDGE: f64 = 1e-4;
/// Standard error of the logarithm of the second unknown, from which on the marks can't tell it: a
/// tip that may be 1.4 times stiffer or softer against the butt. A house rule.
const TELLS: f64 = 0.35;

/// What a load test is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknowns {
    /// One factor for the whole blank.
    Scale,
    /// A factor at the butt and another at the tip, and in between in even ratio along the blank.
    ScaleAndTaper,
}

/// A stiffness fitted to a load test.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedStiffness {
    /// The blank so fitted.
    pub stiffness: Stiffness,
    /// How many times stiffer than before at the butt.
    pub at_butt: Ratio,
    /// How many times stiffer than before at the tip.
    pub at_tip: Ratio,
    /// What was found. One factor, though two were asked for, where the marks can't tell two.
    pub found: Unknowns,
    /// Standard error of the factor in the middle of the blank, as a share of it. It takes each
    /// reading to be off by the larger of what was stated and what is left over.
    pub scale_error: Ratio,
    /// Standard error of tip factor over butt factor, as a share of it, where two were asked for:
    /// large where the marks can't tell.
    pub taper_error: Option<Ratio>,
    /// Each mark beside the fitted curve, in the order given.
    pub deviations: Vec<Deviation>,
    /// Root of the mean square of what they are off.
    pub rms: Length,
    /// The curve of the test.
    pub curve: Curve,
    /// What to tell beside it.
    pub warnings: Vec<BendWarning>,
}

/// The factor or factors on the stiffness of `start` with which the curve comes nearest to the marks
/// of the test (least squares). `reading` is the standard error of one reading: above zero and at
/// most 100 mm.
///
/// At least two numbers must be read, away from the butt and under load. Where two factors are asked
/// for and the standard error of their ratio is above 35 %, one is fitted, with a warning.
///
/// Source: Levenberg-Marquardt least squares; standard errors from the covariance `σ² (JᵀJ)⁻¹` (any
/// text on regression).
pub fn fit_stiffness(
    start: &Stiffness,
    test: &LoadTest,
    unknowns: Unknowns,
    reading: Length,
) -> Result<FittedStiffness, BendError> {
    if !(reading.value > 0.0 && reading.value <= 0.1) {
        return Err(BendError::Reading);
    }
    check_marks(start, &test.marks, 1)?;
    let numbers = test.marks.iter().map(|mark| 1 + usize::from(mark.less(*mark).1.is_some()));
    if numbers.sum::<usize>() < 2 {
        return Err(BendError::TooFewMarks { least: 2 });
    }
    let problem = Problem { start, test };
    let one = problem.search([first_guess(&problem)?, 0.0], 1)?;
    let (best, found, taper_error) = match unknowns {
        Unknowns::Scale => (one, Unknowns::Scale, None),
        Unknowns::ScaleAndTaper => match problem.search(one.at, 2) {
            Ok(two) => {
                let error = two.errors(reading.value)[1];
                let told = error <= TELLS;
                let (best, found) =
                    if told { (two, Unknowns::ScaleAndTaper) } else { (one, Unknowns::Scale) };
                (best, found, Some(Ratio::new::<ratio>(error)))
            }
            // Two unknowns lead nowhere where the marks can tell but one.
            Err(_) => (one, Unknowns::Scale, Some(Ratio::new::<ratio>(f64::INFINITY))),
        },
    };
    let scale_error = best.errors(reading.value)[0];
    if !scale_error.is_finite() {
        return Err(BendError::MarksTellNothing);
    }
    let stiffness = problem.blank(best.at);
    let (deviations, curve) = deviations(&stiffness, test)?;
    let mut warnings = curve.warnings().to_vec();
    if unknowns != found {
        warnings.push(BendWarning::TaperNotTold);
    }
    let factor = |place: f64| Ratio::new::<ratio>((best.at[0] + best.at[1] * (place - 0.5)).exp());
    Ok(FittedStiffness {
        at_butt: factor(0.0),
        at_tip: factor(1.0),
        found,
        scale_error: Ratio::new::<ratio>(scale_error),
        taper_error,
        rms: size(&deviations).0,
        deviations,
        curve,
        stiffness,
        warnings,
    })
}

/// A factor under which the rod can be worked out at all: a guess may be far too soft.
fn first_guess(problem: &Problem<'_>) -> Result<f64, BendError> {
    let mut last = BendError::MarksTellNothing;
    for guess in [0.0, 1.5, 3.0, 4.5] {
        match problem.off([guess, 0.0]) {
            Ok(_) => return Ok(guess),
            Err(error) => last = error,
        }
    }
    Err(last)
}

/// Unknowns: the logarithm of the factor in the middle, and that of tip factor over butt factor.
type Point = [f64; 2];

struct Problem<'a> {
    start: &'a Stiffness,
    test: &'a LoadTest,
}

struct Best {
    at: Point,
    count: usize,
    readings: f64,
    squares: f64,
    /// `JᵀJ`.
    normal: [f64; 3],
}

impl Best {
    /// Standard errors; without end where the readings don't tell.
    fn errors(&self, reading: f64) -> [f64; 2] {
        let [aa, ab, bb] = self.normal;
        #[allow(clippy::cast_precision_loss)]
        let left = self.readings - self.count as f64;
        let over = if left > 0.0 { self.squares / left } else { 0.0 };
        let variance = over.max(reading * reading);
        let (first, second) = if self.count == 1 {
            (1.0 / aa, f64::INFINITY)
        } else {
            let determinant = aa * bb - ab * ab;
            // Rounding and difference quotients leave a millionth.
            let told = determinant > 1e-6 * aa * bb;
            let over = if told { determinant } else { 0.0 };
            (bb / over, aa / over)
        };
        [first, second].map(|value| (variance * value).sqrt())
    }
}

impl Problem<'_> {
    fn blank(&self, [scale, taper]: Point) -> Stiffness {
        let mut blank = self.start.clone();
        let length = blank.profile.length;
        let Fitted { scale: before, taper: steep, over } = blank.profile.fitted;
        blank.profile.fitted = Fitted {
            scale: before * (scale - taper / 2.0).exp(),
            taper: steep * length / over + taper,
            over: length,
        };
        blank
    }

    /// What each reading is off the figure, m.
    fn off(&self, at: Point) -> Result<Vec<f64>, BendError> {
        let (deviations, _) = deviations(&self.blank(at), self.test)?;
        let pairs = deviations.iter().map(|each| each.mark.less(each.figured));
        Ok(pairs.flat_map(|(one, other)| [Some(one), other]).flatten().collect())
    }

    /// Gauss-Newton with Levenberg's damping in the first `count` unknowns.
    fn search(&self, from: Point, count: usize) -> Result<Best, BendError> {
        let mut at = from;
        let mut off = self.off(at)?;
        let mut damping = 1e-3;
        for _ in 0..ROUNDS {
            let (normal, gradient) = self.slopes(at, count, &off)?;
            let [aa, ab, bb] = normal;
            if !(aa > 0.0 && aa.is_finite()) {
                return Err(BendError::MarksTellNothing);
            }
            let squares = |off: &[f64]| off.iter().map(|each| each * each).sum::<f64>();
            let before = squares(&off);
            #[allow(clippy::cast_precision_loss)]
            let best = Best { at, count, readings: off.len() as f64, squares: before, normal };
            loop {
                let (a, b) = (aa * (1.0 + damping), bb * (1.0 + damping) + 1e-12 * aa);
                let determinant = a * b - ab * ab;
                let step = if count == 1 {
                    [gradient[0] / a, 0.0]
                } else {
                    [
                        (gradient[0] * b - gradient[1] * ab) / determinant,
                        (gradient[1] * a - gradient[0] * ab) / determinant,
                    ]
                };
                let far = step[0].abs().max(step[1].abs());
                if far < 1e-9 || damping > 1e12 {
                    return Ok(best);
                }
                let next = [at[0] + step[0], at[1] + step[1]];
                let within = next.iter().all(|x| x.abs() <= FARTHEST);
                let there = if within { self.off(next).ok() } else { None };
                if let Some(there) = there.filter(|there| squares(there) < before) {
                    (at, off) = (next, there);
                    damping = (damping / 10.0).max(1e-12);
                    break;
                }
                damping *= 10.0;
            }
        }
        Err(BendError::MarksTellNothing)
    }

    /// `JᵀJ` and `Jᵀ` times what is off, by central differences.
    fn slopes(&self, at: Point, count: usize, off: &[f64]) -> Result<([f64; 3], Point), BendError> {
        let mut columns = [vec![0.0; off.len()], vec![0.0; off.len()]];
        for (unknown, column) in columns.iter_mut().enumerate().take(count) {
            let moved = |by: f64| {
                let mut there = at;
                there[unknown] += by;
                self.off(there)
            };
            let (ahead, behind) = (moved(NUDGE)?, moved(-NUDGE)?);
            for (value, (a, b)) in column.iter_mut().zip(ahead.iter().zip(&behind)) {
                *value = (a - b) / (2.0 * NUDGE);
            }
        }
        let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let [first, second] = &columns;
        Ok((
            [product(first, first), product(first, second), product(second, second)],
            [-product(first, off), -product(second, off)],
        ))
    }
}
