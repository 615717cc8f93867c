//! The cubic on an element, and how its two inner unknowns are left out of the matrix.

use super::mesh::GAUSS;

/// Values and slopes of the four functions of an element at its Gauss points, over -1..1: two for
/// its nodes and two that vanish there.
pub(super) const SHAPES: [[(f64, f64); 4]; 4] =
    [shapes_at(GAUSS[0].0), shapes_at(GAUSS[1].0), shapes_at(GAUSS[2].0), shapes_at(GAUSS[3].0)];

/// The same anywhere.
pub(super) const fn shapes_at(x: f64) -> [(f64, f64); 4] {
    [
        (f64::midpoint(1.0, -x), -0.5),
        (f64::midpoint(1.0, x), 0.5),
        (1.0 - x * x, -2.0 * x),
        (x * (1.0 - x * x), 1.0 - 3.0 * x * x),
    ]
}

/// What is left of an element once its inner unknowns are gone.
#[derive(Clone, Copy, Default)]
pub(super) struct Inner {
    /// Inverse of their matrix, and their product with the nodes.
    pub(super) inverse: [f64; 3],
    pub(super) nodes: [[f64; 2]; 2],
    /// Their part of the gradient and of the span of line over the element.
    pub(super) gradient: [f64; 2],
    pub(super) span: [f64; 2],
}

impl Inner {
    pub(super) fn solve(&self, [a, b]: [f64; 2]) -> [f64; 2] {
        let [aa, ab, bb] = self.inverse;
        [aa * a + ab * b, ab * a + bb * b]
    }

    /// What `inner` adds to the nodes when it is gone.
    pub(super) fn onto_nodes(&self, inner: [f64; 2]) -> [f64; 2] {
        let [a, b] = self.solve(inner);
        [0, 1].map(|n| -(self.nodes[n][0] * a + self.nodes[n][1] * b))
    }
}
