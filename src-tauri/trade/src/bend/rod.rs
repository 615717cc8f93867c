//! The rod on its way to equilibrium: one step of Newton's method.

use super::Plane;
use super::inner::{Inner, SHAPES, shapes_at};
use super::line::Line;
use super::load::Acting;
use super::mesh::{GAUSS, Mesh};
use super::spans::coupled;

/// One iteration: how far the slopes went, and whether the energy is least in every direction.
pub(super) struct Went {
    pub(super) far: f64,
    pub(super) stable: bool,
}

/// Slopes of the axis, or changes of them: at the nodes, and the inner unknowns of each element.
#[derive(Debug, Clone, Default)]
pub(super) struct Slopes {
    pub(super) node: Vec<f64>,
    pub(super) inner: Vec<[f64; 2]>,
}

/// What to work out with the matrix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    /// The step towards rest at this share of the load.
    Rest,
    /// The change of the slopes for more load, from rest: per whole load.
    Onward,
}

impl Slopes {
    pub(super) fn add(&mut self, other: &Self, times: f64) {
        for (to, by) in self.node.iter_mut().zip(&other.node) {
            *to += times * by;
        }
        for (to, by) in self.inner.iter_mut().zip(&other.inner) {
            *to = [to[0] + times * by[0], to[1] + times * by[1]];
        }
    }

    /// The largest at a node.
    pub(super) fn largest(&self) -> f64 {
        self.node.iter().fold(0.0, |most, slope| most.max(slope.abs()))
    }
}

/// The rod on its way.
pub(super) struct Rod<'a> {
    pub(super) mesh: &'a Mesh,
    pub(super) acting: &'a Acting,
    /// Share of the loads that acts.
    pub(super) share: f64,
    pub(super) slopes: Slopes,
    /// What was worked out last.
    pub(super) step: Slopes,
    pub(super) cosine: Vec<[f64; 4]>,
    pub(super) sine: Vec<[f64; 4]>,
    pub(super) place: Vec<Plane>,
    /// Force on all that lies beyond the tip end of each element, without weight of the blank.
    pub(super) beyond: Vec<Plane>,
    pub(super) line: Option<Line>,
    work: Work,
}

#[derive(Default)]
struct Work {
    diagonal: Vec<f64>,
    beside: Vec<f64>,
    right: Vec<f64>,
    inner: Vec<Inner>,
    /// One column for each span of line.
    columns: Vec<Vec<f64>>,
}

impl<'a> Rod<'a> {
    pub(super) fn new(mesh: &'a Mesh, acting: &'a Acting) -> Self {
        let (elements, nodes) = (mesh.elements.len(), mesh.force.len());
        let line = acting.line.as_ref().map(Line::new);
        let spans = acting.line.as_ref().map_or(0, |line| line.rings.len() - 1);
        Self {
            mesh,
            acting,
            share: 0.0,
            slopes: Slopes { node: vec![acting.butt; nodes], inner: vec![[0.0; 2]; elements] },
            step: Slopes { node: vec![0.0; nodes], inner: vec![[0.0; 2]; elements] },
            cosine: vec![[0.0; 4]; elements],
            sine: vec![[0.0; 4]; elements],
            place: vec![[0.0; 2]; nodes],
            beyond: vec![[0.0; 2]; elements],
            line,
            work: Work {
                diagonal: vec![0.0; nodes],
                beside: vec![0.0; nodes],
                right: vec![0.0; nodes],
                inner: vec![Inner::default(); elements],
                columns: vec![vec![0.0; nodes]; spans],
            },
        }
    }

    /// Straight again, and without load.
    pub(super) fn unload(&mut self) {
        self.share = 0.0;
        self.slopes.node.fill(self.acting.butt);
        self.slopes.inner.fill([0.0; 2]);
    }

    /// The slopes of another rod, with other elements of the same blank.
    pub(super) fn follow(&mut self, other: &Rod<'_>) {
        let mut near = 0;
        let mut slope_of = |s: f64| {
            let elements = &other.mesh.elements;
            while near + 1 < elements.len() && elements[near].to < s {
                near += 1;
            }
            let element = &elements[near];
            let x = (2.0 * (s - element.from) / element.long() - 1.0).clamp(-1.0, 1.0);
            other.sum_in(near, shapes_at(x).map(|shape| shape.0))
        };
        for (e, element) in self.mesh.elements.iter().enumerate() {
            let quarter = element.long() / 4.0;
            let [one, three] = [element.from + quarter, element.to - quarter].map(&mut slope_of);
            let end = slope_of(element.to);
            let start = self.slopes.node[e];
            // The cubic through four slopes.
            let (one, three) = (one - 0.75 * start - 0.25 * end, three - 0.25 * start - 0.75 * end);
            self.slopes.inner[e] = [(one + three) / 1.5, (three - one) / 0.75];
            self.slopes.node[e + 1] = end;
        }
    }

    /// Whether no element is longer than the length over which the rod bends into the pull.
    pub(super) fn fine_enough(&self) -> bool {
        self.mesh.elements.iter().zip(&self.beyond).all(|(element, [x, y])| {
            let softest = element.rigidity.iter().copied().fold(f64::INFINITY, f64::min);
            let pull = x.hypot(y + self.share * element.weight[0]);
            pull * element.long().powi(2) <= softest
        })
    }

    /// Sines, places and forces for the slopes as they stand.
    pub(super) fn shape(&mut self) {
        for (e, element) in self.mesh.elements.iter().enumerate() {
            let half = element.long() / 2.0;
            let mut by = [0.0; 2];
            for (q, (_, weight)) in GAUSS.iter().enumerate() {
                let (sine, cosine) = self.slope_in(e, q).sin_cos();
                (self.sine[e][q], self.cosine[e][q]) = (sine, cosine);
                by[0] += half * weight * cosine;
                by[1] += half * weight * sine;
            }
            self.place[e + 1] = [self.place[e][0] + by[0], self.place[e][1] + by[1]];
        }
        if let (Some(line), Some(acting)) = (&mut self.line, &self.acting.line) {
            let at = self.mesh.rings.iter().map(|&node| (self.place[node], self.slopes.node[node]));
            line.stretch(acting, self.share, at);
        }
        let mut beyond = [0.0; 2];
        let mut ring = self.mesh.rings.len();
        for e in (0..self.mesh.elements.len()).rev() {
            let [x, y] = self.mesh.force[e + 1];
            beyond = [beyond[0] + self.share * x, beyond[1] + self.share * y];
            if let Some(line) = &self.line
                && ring > 0
                && self.mesh.rings[ring - 1] == e + 1
            {
                ring -= 1;
                beyond = [beyond[0] + line.force[ring][0], beyond[1] + line.force[ring][1]];
            }
            self.beyond[e] = beyond;
        }
    }

    fn slope_in(&self, e: usize, q: usize) -> f64 {
        self.sum_in(e, SHAPES[q].map(|shape| shape.0))
    }

    /// Curvature at a Gauss point.
    pub(super) fn curvature_in(&self, e: usize, q: usize) -> f64 {
        let along = self.sum_in(e, SHAPES[q].map(|shape| shape.1));
        along * 2.0 / self.mesh.elements[e].long()
    }

    fn sum_in(&self, e: usize, shapes: [f64; 4]) -> f64 {
        let Slopes { node, inner } = &self.slopes;
        let [one, two] = inner[e];
        let ends = shapes[0] * node[e] + shapes[1] * node[e + 1];
        ends + shapes[2] * one + shapes[3] * two
    }

    /// Force on all that lies beyond a Gauss point.
    pub(super) fn beyond_in(&self, e: usize, q: usize) -> Plane {
        let [x, y] = self.beyond[e];
        [x, y + self.share * self.mesh.elements[e].weight[q]]
    }

    /// Works out `step`, a step of Newton's method or the way onward; None where the rod is unstable
    /// within an element, or a number was lost.
    pub(super) fn work_out(&mut self, aim: Aim) -> Option<Went> {
        self.shape();
        self.gather(aim)?;
        let nodes = self.slopes.node.len();
        let Work { diagonal, beside, right, inner, columns } = &mut self.work;
        // The first slope is held fast.
        let mut negative = 0_usize;
        for n in 1..nodes {
            if n > 1 {
                let by = beside[n - 1] / diagonal[n - 1];
                diagonal[n] -= by * beside[n - 1];
                right[n] -= by * right[n - 1];
                for (column, &from) in columns.iter_mut().zip(&self.mesh.rings) {
                    if n > from.max(1) {
                        column[n] -= by * column[n - 1];
                    }
                }
            }
            negative += usize::from(diagonal[n] < 0.0);
        }
        let mut bound = 0_usize;
        if let Some(line) = &self.line {
            let pulls = line.pulls();
            if !pulls.is_empty() {
                let (pull, below) =
                    coupled(diagonal, right, inner, columns, &self.mesh.rings, &pulls);
                bound = below;
                for ((column, pull), two) in
                    columns.iter().zip(pull).zip(self.mesh.rings.windows(2))
                {
                    for n in two[0].max(1)..nodes {
                        right[n] -= column[n] * pull;
                    }
                    for own in &mut inner[two[0]..two[1]] {
                        own.gradient = [0, 1].map(|i| own.gradient[i] + own.span[i] * pull);
                    }
                }
            }
        }
        // A maximum passes over what is no number; a sum does not.
        let (mut far, mut sum) = (0.0_f64, 0.0);
        for n in (1..nodes).rev() {
            let ahead = if n + 1 < nodes { beside[n] * right[n + 1] } else { 0.0 };
            right[n] = (right[n] - ahead) / diagonal[n];
            far = far.max(right[n].abs());
            sum += right[n];
        }
        right[0] = 0.0;
        for (e, own) in inner.iter().enumerate() {
            let ends = [right[e], right[e + 1]];
            let load = [0, 1]
                .map(|i| -own.gradient[i] - own.nodes[0][i] * ends[0] - own.nodes[1][i] * ends[1]);
            let by = own.solve(load);
            self.step.inner[e] = by;
            far = far.max(by[0].abs()).max(by[1].abs());
            sum += by[0] + by[1];
        }
        self.step.node.clone_from(right);
        sum.is_finite().then_some(Went { far, stable: negative == bound })
    }

    /// Matrix, gradient (with its sign turned) and columns of the spans, inner unknowns gone.
    fn gather(&mut self, aim: Aim) -> Option<()> {
        // At rest the bending balances the load, so what more load asks for is that bending per load.
        let (bends, turns) = match aim {
            Aim::Rest => (1.0, 1.0),
            Aim::Onward => (-1.0 / self.share, 0.0),
        };
        let Work { diagonal, beside, right, columns, .. } = &mut self.work;
        for values in [diagonal, beside, right].into_iter().chain(columns) {
            values.fill(0.0);
        }
        let mut span = 0;
        for (e, element) in self.mesh.elements.iter().enumerate() {
            while span + 1 < self.mesh.rings.len() && self.mesh.rings[span + 1] <= e {
                span += 1;
            }
            let over = self.line.as_ref().filter(|line| {
                span < line.across.len() && self.mesh.rings[span] <= e && !line.slack()
            });
            let across = over.map(|line| line.across[span]);
            let half = element.long() / 2.0;
            let (mut stiff, mut gradient, mut sweep) = ([[0.0; 4]; 4], [0.0; 4], [0.0; 4]);
            for q in 0..4 {
                let weight = half * GAUSS[q].1;
                let (cosine, sine) = (self.cosine[e][q], self.sine[e][q]);
                let [x, y] = self.beyond_in(e, q);
                let rigidity = element.rigidity[q];
                let bending = rigidity * self.curvature_in(e, q) / half;
                let turning = weight * (x * sine - y * cosine);
                let pull = weight * (x * cosine + y * sine);
                let (bending, rigidity) = (weight * bending, weight * rigidity / (half * half));
                let aside = across.map_or(0.0, |[x, y]| weight * (y * cosine - x * sine));
                for a in 0..4 {
                    let (value, slope) = SHAPES[q][a];
                    gradient[a] += bends * bending * slope + turns * turning * value;
                    sweep[a] += aside * value;
                    for (b, entry) in stiff[a].iter_mut().enumerate().skip(a) {
                        let (other, other_slope) = SHAPES[q][b];
                        *entry += rigidity * slope * other_slope + pull * value * other;
                    }
                }
            }
            let (aa, ab, bb) = (stiff[2][2], stiff[2][3], stiff[3][3]);
            let determinant = aa * bb - ab * ab;
            if !(aa > 0.0 && determinant > 0.0) {
                return None;
            }
            let own = Inner {
                inverse: [bb / determinant, -ab / determinant, aa / determinant],
                nodes: [[stiff[0][2], stiff[0][3]], [stiff[1][2], stiff[1][3]]],
                gradient: [gradient[2], gradient[3]],
                span: [sweep[2], sweep[3]],
            };
            let by = [own.onto_nodes(own.nodes[0]), own.onto_nodes(own.nodes[1])];
            let down = own.onto_nodes(own.gradient);
            let work = &mut self.work;
            work.diagonal[e] += stiff[0][0] + by[0][0];
            work.diagonal[e + 1] += stiff[1][1] + by[1][1];
            work.beside[e] += stiff[0][1] + by[0][1];
            work.right[e] -= gradient[0] + down[0];
            work.right[e + 1] -= gradient[1] + down[1];
            if across.is_some() {
                let aside = own.onto_nodes(own.span);
                work.columns[span][e] += sweep[0] + aside[0];
                work.columns[span][e + 1] += sweep[1] + aside[1];
            }
            work.inner[e] = own;
        }
        if let (Some(line), Some(acting)) = (&self.line, &self.acting.line) {
            for (ring, (&node, &(_, height))) in
                self.mesh.rings.iter().zip(&acting.rings).enumerate()
            {
                let (sine, cosine) = self.slopes.node[node].sin_cos();
                let [x, y] = line.force[ring];
                self.work.right[node] -= turns * height * (x * cosine + y * sine);
                self.work.diagonal[node] += height * (y * cosine - x * sine);
                if line.slack() {
                    continue;
                }
                let lean = |[x, y]: Plane| -height * (x * cosine + y * sine);
                if let Some(&across) = line.across.get(ring) {
                    self.work.columns[ring][node] -= lean(across);
                }
                if ring > 0 {
                    self.work.columns[ring - 1][node] += lean(line.across[ring - 1]);
                }
            }
        }
        Some(())
    }
}
