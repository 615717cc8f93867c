//! The blank cut into elements, with what never changes while it bends.

use super::Plane;
use super::load::Acting;
use super::profile::Profile;
use super::stiffness::one_place;

/// Gauss-Legendre points on -1..1 and their weights (any text on numerical quadrature).
pub(super) const GAUSS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_9),
    (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_9),
];

/// A piece of the blank on which nothing steps.
pub(super) struct Element {
    pub(super) from: f64,
    pub(super) to: f64,
    /// Stretch of the profile that it lies on.
    pub(super) stretch: usize,
    /// E I at the Gauss points.
    pub(super) rigidity: [f64; 4],
    /// Weight of the blank beyond each Gauss point, N.
    pub(super) weight: [f64; 4],
    /// Weight beyond the tip end.
    pub(super) weight_beyond: f64,
}

pub(super) struct Mesh {
    pub(super) elements: Vec<Element>,
    /// Dead force at each node.
    pub(super) force: Vec<Plane>,
    /// Node of the reel and of each guide.
    pub(super) rings: Vec<usize>,
}

impl Element {
    pub(super) fn long(&self) -> f64 {
        self.to - self.from
    }
}

/// Places where something steps, and between them no element longer than a `stations`-th of the
/// blank.
pub(super) fn cut_up(
    profile: &Profile,
    steps: impl Iterator<Item = f64>,
    stations: usize,
) -> Vec<f64> {
    let mut borders: Vec<f64> = profile.stretches.iter().map(|stretch| stretch.from).collect();
    borders.push(profile.length);
    borders.extend(steps);
    let borders = one_place(borders);
    #[allow(clippy::cast_precision_loss)]
    let longest = profile.length / stations as f64;
    let mut nodes = vec![0.0];
    for two in borders.windows(2) {
        // At most `stations` and above zero.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = ((two[1] - two[0]) / longest - 1e-9).ceil().max(1.0) as u32;
        let part = (two[1] - two[0]) / f64::from(count);
        nodes.extend((1..count).map(|n| two[0] + part * f64::from(n)));
        nodes.push(two[1]);
    }
    nodes
}

impl Mesh {
    pub(super) fn new(profile: &Profile, acting: &Acting, stations: usize) -> Self {
        let rings = acting.line.iter().flat_map(|line| &line.rings).map(|ring| ring.0);
        let steps = acting.forces.iter().map(|force| force.0).chain(rings.clone());
        let nodes = cut_up(profile, steps, stations);
        let mut elements = Vec::with_capacity(nodes.len());
        let mut beyond = 0.0;
        let specific = acting.gravity * profile.density.unwrap_or(0.0);
        for two in nodes.windows(2).rev() {
            let (from, to) = (two[0], two[1]);
            let stretch = profile.index_at(f64::midpoint(from, to));
            let place = |q: usize| from + (to - from) * (1.0 + GAUSS[q].0) / 2.0;
            let weigh = |a: f64| beyond + specific * profile.material(stretch, a, to);
            let rigidity = std::array::from_fn(|q| profile.rigidity(stretch, place(q)).0);
            let weight = std::array::from_fn(|q| weigh(place(q)));
            elements.push(Element { from, to, stretch, rigidity, weight, weight_beyond: beyond });
            beyond += specific * profile.material(stretch, from, to);
        }
        elements.reverse();
        let node = |s: f64| {
            let after = nodes.partition_point(|n| *n < s);
            let near = |n: usize| nodes.get(n).map_or(f64::INFINITY, |place| (place - s).abs());
            if after > 0 && near(after - 1) < near(after) { after - 1 } else { after }
        };
        let mut force = vec![[0.0; 2]; nodes.len()];
        for (s, [x, y]) in &acting.forces {
            let at = &mut force[node(*s)];
            at[0] += x;
            at[1] += y;
        }
        Self { elements, force, rings: rings.map(node).collect() }
    }
}
