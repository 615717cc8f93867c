//! Student's t distribution with whole degrees of freedom, in closed form.

use super::SIGNIFICANCE;
use std::f64::consts::FRAC_2_PI;

/// Largest t that is looked for: that of one degree of freedom at 95 % is 12.7.
const LARGEST: f64 = 16.0;

/// How often |t| is exceeded; `t` zero or more, infinity for never. At least one degree of freedom.
///
/// Source: Abramowitz and Stegun 26.7.3 and 26.7.4, from memory; checked against scipy. Exact to
/// some 1e-15 absolute, so good for significance and not for tiny tails.
pub(super) fn two_sided(t: f64, freedom: usize) -> f64 {
    if t.is_infinite() {
        return 0.0;
    }
    let angle = (t / whole(freedom).sqrt()).atan();
    let (sine, cosine) = angle.sin_cos();
    let odd = freedom % 2 == 1;
    // Terms cos^k with the factor (k - 1) / k from the one before; k even from 2, or odd from 3.
    let (mut term, first) = if odd { (cosine, 3) } else { (1.0, 2) };
    let mut sum = if odd && freedom == 1 { 0.0 } else { term };
    for power in (first..freedom.saturating_sub(1)).step_by(2) {
        term *= cosine * cosine * whole(power - 1) / whole(power);
        sum += term;
    }
    let within = if odd { FRAC_2_PI * (angle + sine * sum) } else { sine * sum };
    (1.0 - within).clamp(0.0, 1.0)
}

/// The t that is exceeded either way in 5 %. At least one degree of freedom.
pub(super) fn t_95(freedom: usize) -> f64 {
    let (mut low, mut high) = (0.0, LARGEST);
    // Halving 16 sixty times leaves nothing of it.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if two_sided(middle, freedom) > SIGNIFICANCE { low = middle } else { high = middle }
    }
    high
}

/// Degrees of freedom as a number; far fewer than a float can count.
#[allow(clippy::cast_precision_loss)]
fn whole(freedom: usize) -> f64 {
    freedom as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `2 * scipy.stats.t.sf` and `scipy.stats.t.ppf(0.975)`, computed with scipy 1.17.1.
    #[test]
    fn agrees_with_scipy() {
        for (t, freedom, p) in [
            (2.0, 1, 0.295_167_235),
            (38.2, 1, 0.016_661_633_8),
            (3.5, 2, 0.072_827_350_1),
            (1.1, 3, 0.351_683_195),
            (12.0, 7, 6.358_310_38e-6),
        ] {
            assert!((two_sided(t, freedom) - p).abs() < 1e-9, "{t} {freedom}");
        }
        for (freedom, t) in [
            (1, 12.706_204_74),
            (2, 4.302_652_73),
            (3, 3.182_446_31),
            (5, 2.570_581_84),
            (7, 2.364_624_25),
            (24, 2.063_898_56),
        ] {
            assert!((t_95(freedom) - t).abs() < 1e-8, "{freedom}");
        }
        assert!(two_sided(f64::INFINITY, 3).abs() < 1e-300);
        assert!((two_sided(0.0, 4) - 1.0).abs() < 1e-15);
    }
}
