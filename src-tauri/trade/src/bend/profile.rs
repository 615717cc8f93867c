//! Stretches of the blank on which diameter, wall and modulus run straight.

use super::SAME_PLACE;
use std::f64::consts::PI;

/// A stretch; the values at its two ends in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) diameter: [f64; 2],
    pub(super) wall: [f64; 2],
    pub(super) modulus: [f64; 2],
    /// How much stiffer a ferrule makes it.
    pub(super) factor: f64,
}

/// How a load test changes the whole: `scale exp(taper s / over)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fitted {
    pub(super) scale: f64,
    pub(super) taper: f64,
    pub(super) over: f64,
}

/// The blank from butt to tip without gaps; at least one stretch.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Profile {
    pub(super) stretches: Vec<Stretch>,
    pub(super) length: f64,
    /// kg/m³.
    pub(super) density: Option<f64>,
    pub(super) fitted: Fitted,
}

impl Stretch {
    fn share(&self, s: f64) -> f64 {
        ((s - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    pub(super) fn diameter_at(&self, s: f64) -> f64 {
        between(self.diameter, self.share(s))
    }

    pub(super) fn wall_at(&self, s: f64) -> f64 {
        between(self.wall, self.share(s))
    }

    pub(super) fn modulus_at(&self, s: f64) -> f64 {
        between(self.modulus, self.share(s))
    }

    /// Area of the annulus, `pi t (D - t)`.
    fn area(&self, s: f64) -> f64 {
        let wall = self.wall_at(s);
        PI * wall * (self.diameter_at(s) - wall)
    }

    /// E I of the annulus, `I = pi (D⁴ - d⁴) / 64`, and its slope along the blank.
    fn rigidity(&self, s: f64) -> (f64, f64) {
        let long = self.to - self.from;
        let slope = |ends: [f64; 2]| (ends[1] - ends[0]) / long;
        let (outer, modulus) = (self.diameter_at(s), self.modulus_at(s));
        let inner = (outer - 2.0 * self.wall_at(s)).max(0.0);
        let inner_slope = slope(self.diameter) - 2.0 * slope(self.wall);
        let second = PI / 64.0 * (outer.powi(4) - inner.powi(4));
        let second_slope =
            PI / 16.0 * (outer.powi(3) * slope(self.diameter) - inner.powi(3) * inner_slope);
        (
            self.factor * modulus * second,
            self.factor * (slope(self.modulus) * second + modulus * second_slope),
        )
    }
}

impl Profile {
    /// The stretch at `s`; at a border that on the tip side.
    pub(super) fn index_at(&self, s: f64) -> usize {
        let after = self.stretches.partition_point(|stretch| stretch.from <= s);
        after.saturating_sub(1)
    }

    /// E I in N m² and its slope, with the values of stretch `index`.
    pub(super) fn rigidity(&self, index: usize, s: f64) -> (f64, f64) {
        let Fitted { scale, taper, over } = self.fitted;
        let by = scale * (taper * s / over).exp();
        let (value, slope) = self.stretches[index].rigidity(s);
        (by * value, by * (slope + value * taper / over))
    }

    pub(super) fn diameter_at(&self, s: f64) -> f64 {
        self.stretches[self.index_at(s)].diameter_at(s)
    }

    /// Volume of material between two places on stretch `index`, m³; Simpson's rule, exact since
    /// the area is of second degree.
    pub(super) fn material(&self, index: usize, from: f64, to: f64) -> f64 {
        let stretch = &self.stretches[index];
        let ends = stretch.area(from) + stretch.area(to);
        (to - from) / 6.0 * (ends + 4.0 * stretch.area(f64::midpoint(from, to)))
    }

    /// Volume of material of the whole blank, m³.
    pub(super) fn material_in_all(&self) -> f64 {
        let each = self.stretches.iter().enumerate();
        each.map(|(index, stretch)| self.material(index, stretch.from, stretch.to)).sum()
    }

    /// Mass per length, kg/m.
    pub(super) fn mass_per_length(&self, index: usize, s: f64) -> f64 {
        self.density.unwrap_or(0.0) * self.stretches[index].area(s)
    }

    /// The part between two places, which becomes a blank of its own.
    pub(super) fn cut(&self, from: f64, to: f64) -> Self {
        let within = |s: &&Stretch| s.from < to - SAME_PLACE && s.to > from + SAME_PLACE;
        let shorten = |stretch: &Stretch| {
            let (a, b) = (stretch.from.max(from), stretch.to.min(to));
            let ends = |of: fn(&Stretch, f64) -> f64| [of(stretch, a), of(stretch, b)];
            Stretch {
                from: a - from,
                to: b - from,
                diameter: ends(Stretch::diameter_at),
                wall: ends(Stretch::wall_at),
                modulus: ends(Stretch::modulus_at),
                factor: stretch.factor,
            }
        };
        let Fitted { scale, taper, over } = self.fitted;
        Self {
            stretches: self.stretches.iter().filter(within).map(shorten).collect(),
            length: to - from,
            density: self.density,
            fitted: Fitted { scale: scale * (taper * from / over).exp(), taper, over },
        }
    }
}

fn between(ends: [f64; 2], share: f64) -> f64 {
    ends[0] + (ends[1] - ends[0]) * share
}
