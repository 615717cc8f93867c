//! What can be put on paper: text, lines and shapes, before any PDF is involved.

use crate::{
    element::Element,
    style::Ink,
    wrap::{Line, Run},
};

/// How a line is broken up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dash {
    /// Unbroken.
    Solid,
    /// Dashes: a part still to come.
    Dashed,
    /// Dots: not measured.
    Dotted,
    /// Dots that lead from a question to its answer.
    Leader,
    /// Long and short: an axis, as on any drawing.
    Axis,
}

impl Dash {
    /// Lengths of dash and gap in turn, in points.
    pub(crate) fn pattern(self) -> &'static [f32] {
        match self {
            Self::Solid => &[],
            Self::Dashed => &[2.2, 1.5],
            Self::Dotted => &[0.7, 1.9],
            Self::Leader => &[1.0, 3.5],
            Self::Axis => &[9.0, 2.0, 1.5, 2.0],
        }
    }
}

/// How an edge is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stroke {
    /// Thickness in points.
    pub(crate) weight: f32,
    pub(crate) ink: Ink,
    pub(crate) dash: Dash,
}

impl Stroke {
    pub(crate) const fn solid(weight: f32, ink: Ink) -> Self {
        Self { weight, ink, dash: Dash::Solid }
    }
}

/// A place: points to the right, and points down from the top.
pub(crate) type Spot = (f32, f32);

/// One thing on the paper.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Mark {
    /// Text on one line; the spot is the left end of its baseline.
    Text(Spot, Run),
    /// A straight line.
    Line(Spot, Spot, Stroke),
    /// A closed shape.
    Shape {
        /// Its corners in order.
        corners: Vec<Spot>,
        fill: Option<Ink>,
        edge: Option<Stroke>,
    },
    /// Upright rectangles filled in one go, so that no seam shows where they meet: the top
    /// left corner, width and height of each.
    Blocks(Vec<(Spot, f32, f32)>, Ink),
    /// Nothing that is seen: what the marks from here on are a piece of. `None`: of nothing, like a
    /// frame, or the head of a table that is said again.
    In(Option<Element>),
}

impl Mark {
    /// A rectangle by its top left corner and its size.
    pub(crate) fn rectangle(
        (x, y): Spot,
        width: f32,
        height: f32,
        fill: Option<Ink>,
        edge: Option<Stroke>,
    ) -> Self {
        let corners = vec![(x, y), (x + width, y), (x + width, y + height), (x, y + height)];
        Self::Shape { corners, fill, edge }
    }

    /// The same mark, moved.
    #[must_use]
    pub(crate) fn moved(&self, dx: f32, dy: f32) -> Self {
        let mut mark = self.clone();
        mark.move_by(dx, dy);
        mark
    }

    /// Moves it by so many points to the right, and down.
    pub(crate) fn move_by(&mut self, dx: f32, dy: f32) {
        let by = |(x, y): &mut Spot| {
            *x += dx;
            *y += dy;
        };
        match self {
            Self::In(_) => {}
            Self::Text(spot, _) => by(spot),
            Self::Line(from, to, _) => [from, to].into_iter().for_each(by),
            Self::Blocks(blocks, _) => blocks.iter_mut().for_each(|(spot, ..)| by(spot)),
            Self::Shape { corners, .. } => corners.iter_mut().for_each(by),
        }
    }
}

/// The marks of one line of set text whose left end is at `x` and whose baseline is at `y`.
pub(crate) fn line_marks(line: &Line, x: f32, y: f32) -> impl Iterator<Item = Mark> + '_ {
    line.runs.iter().map(move |(offset, run)| Mark::Text((x + offset, y), run.clone()))
}

/// The baseline that centres capitals in a line `leading` points high.
pub(crate) fn baseline(size: f32, leading: f32) -> f32 {
    // Capitals of this type are 0.66 of its size high.
    f32::midpoint(leading, 0.66 * size)
}
