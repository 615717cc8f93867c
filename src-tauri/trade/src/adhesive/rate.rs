//! How fast a resin cures at a temperature, against its reference temperature.

use super::{AdhesiveError, in_kelvin};
use uom::si::f64::{MolarEnergy, ThermodynamicTemperature};
use uom::si::molar_energy::{joule_per_mole, kilojoule_per_mole};

/// Molar gas constant, J/(mol K): exact since 2019, CODATA.
pub(super) const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// How strongly the cure of a resin goes with temperature: the likely activation energy, and the
/// least and the greatest it may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Activation {
    pub(super) least: f64,
    pub(super) likely: f64,
    pub(super) greatest: f64,
}

impl Activation {
    /// A range, 20 to 200 kJ/mol, in order.
    pub fn new(
        least: MolarEnergy,
        likely: MolarEnergy,
        greatest: MolarEnergy,
    ) -> Result<Self, AdhesiveError> {
        let bounds = 20_000.0..=200_000.0;
        let [least, likely, greatest] =
            [least, likely, greatest].map(|energy| energy.get::<joule_per_mole>());
        let known = [least, likely, greatest].iter().all(|energy| bounds.contains(energy));
        if known && least <= likely && likely <= greatest {
            Ok(Self { least, likely, greatest })
        } else {
            Err(AdhesiveError::Activation)
        }
    }

    /// One figure without a spread, 20 to 200 kJ/mol: for a product whose maker states it.
    pub fn exactly(energy: MolarEnergy) -> Result<Self, AdhesiveError> {
        Self::new(energy, energy, energy)
    }

    /// 55 kJ/mol, between 44 and 65.5, where the product's sheet is silent.
    ///
    /// Sources: 44 to 57 for a bisphenol A epoxy with a cycloaliphatic diamine at 60 to 110 °C
    /// (Barral et al., J. Appl. Polym. Sci. 56 (1995) 1029); 55 to 60 for primary amines with epoxy
    /// (Thermochim. Acta 447 (2006) 167); 52.65 and 65.47 published for polyamidoamines.
    pub fn published() -> Self {
        let joules =
            |kilojoules| MolarEnergy::new::<kilojoule_per_mole>(kilojoules).get::<joule_per_mole>();
        Self { least: joules(44.0), likely: joules(55.0), greatest: joules(65.5) }
    }
}

/// How many times faster a reaction runs at `temperature` than at `reference`:
/// `exp(E / R (1 / T_ref - 1 / T))`, kelvin.
///
/// Temperatures from -50 to 250 °C, energy from 20 to 200 kJ/mol. Source: Arrhenius; the
/// equivalent-age form of ASTM C1074 (Freiesleben Hansen and Pedersen). It knows nothing of resin
/// that stops curing in the cold because it turned to glass.
pub fn arrhenius_factor(
    temperature: ThermodynamicTemperature,
    reference: ThermodynamicTemperature,
    energy: MolarEnergy,
) -> Result<f64, AdhesiveError> {
    let energy = Activation::exactly(energy)?.likely;
    Ok(ln_factor(in_kelvin(temperature)?, in_kelvin(reference)?, energy).exp())
}

/// Logarithm of the factor above; kelvin and J/mol.
pub(super) fn ln_factor(temperature: f64, reference: f64, energy: f64) -> f64 {
    energy / GAS_CONSTANT * (1.0 / reference - 1.0 / temperature)
}

/// Points and weights of the five-point Gauss-Legendre rule on -1 to 1 (Abramowitz and Stegun,
/// Table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (0.906_179_845_938_664, 0.236_926_885_056_189_08),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
];

/// Widest stretch of temperature under one rule, K: narrow enough to leave only rounding.
const STRETCH: f64 = 5.0;

/// Rate of cure over temperature, as a multiple of that at the reference temperature. Its logarithm
/// is straight in 1/T between knots. Below the first knot nothing cures; above the last, no more
/// than there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RateCurve {
    /// Kelvin and logarithm of the rate, from cold to warm, neither falling.
    knots: Vec<(f64, f64)>,
}

impl RateCurve {
    /// Knots from cold to warm, one at least.
    pub(super) fn new(knots: Vec<(f64, f64)>) -> Self {
        Self { knots }
    }

    /// Below it nothing cures.
    pub(super) fn coldest(&self) -> f64 {
        self.knots.first().map_or(f64::INFINITY, |&(temperature, _)| temperature)
    }

    /// Above it no more warmth counts.
    pub(super) fn hottest(&self) -> f64 {
        self.knots.last().map_or(f64::INFINITY, |&(temperature, _)| temperature)
    }

    /// Rate at a temperature in kelvin.
    pub(super) fn at(&self, temperature: f64) -> f64 {
        let after = self.knots.partition_point(|&(knot, _)| knot <= temperature);
        let Some(&(cold, ln_cold)) = after.checked_sub(1).and_then(|before| self.knots.get(before))
        else {
            return 0.0;
        };
        let ln_rate = match self.knots.get(after) {
            None => ln_cold,
            Some(&(warm, ln_warm)) => {
                let part = (1.0 / cold - 1.0 / temperature) / (1.0 / cold - 1.0 / warm);
                ln_cold + (ln_warm - ln_cold) * part
            }
        };
        ln_rate.exp()
    }

    /// The integral of the rate over `seconds` in which the temperature goes evenly from `from` to
    /// `to`: seconds at the reference temperature.
    pub(super) fn over(&self, seconds: f64, from: f64, to: f64) -> f64 {
        let (low, high) = (from.min(to), from.max(to));
        if low >= high {
            return seconds * self.at(low);
        }
        let mut cuts: Vec<f64> = vec![low];
        cuts.extend(self.knots.iter().map(|&(knot, _)| knot).filter(|k| *k > low && *k < high));
        cuts.push(high);
        let mut sum = 0.0;
        for pair in cuts.windows(2) {
            let (mut start, end) = (pair[0], pair[1]);
            while start < end {
                let stop = if end - start > 1.5 * STRETCH { start + STRETCH } else { end };
                let half = (stop - start) / 2.0;
                let middle = start + half;
                for (point, weight) in GAUSS {
                    sum += weight * half * self.at(middle + half * point);
                }
                start = stop;
            }
        }
        seconds * sum / (high - low)
    }
}
