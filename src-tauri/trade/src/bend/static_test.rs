//! Marks on a rod under a known load, against the curve.
//!
//! A loaded blank can break and fly, and so can weight and line: wear eye protection, and stay out
//! of the way of rod and weight. The step that shows a figure carries that caution before it.

use super::load::place;
use super::{BendError, Curve, Loads, PointMass, Stiffness, m, solve};
use uom::ConstZero;
use uom::si::angle::radian;
use uom::si::f64::Length;
use uom::si::length::meter;

/// Something read off the rod under load, at a mark made on the blank beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mark {
    /// How far the mark went down when the load came on.
    Drop {
        /// The mark, along the blank.
        from_butt: Length,
        /// From where it was without the load; own weight counts where the loads say so.
        drop: Length,
    },
    /// Where the mark is under load.
    Place {
        /// The mark, along the blank.
        from_butt: Length,
        /// Away from the butt, level.
        x: Length,
        /// Down from the butt.
        y: Length,
    },
}

/// A load test.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadTest {
    /// What acts on the rod in the test.
    pub loads: Loads,
    /// What was read.
    pub marks: Vec<Mark>,
}

/// One reading beside the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// As read.
    pub mark: Mark,
    /// What the curve says in its place.
    pub figured: Mark,
    /// How far they are apart.
    pub off: Length,
}

/// A load test beside the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Each mark, in the order given.
    pub deviations: Vec<Deviation>,
    /// Root of the mean square of what they are off.
    pub rms: Length,
    /// The most that one is off.
    pub largest: Length,
    /// Whether none is off by more than the tolerance.
    pub within: bool,
    /// The curve.
    pub curve: Curve,
}

/// The marks of a test against the curve of this blank; `tolerance` zero or more. At least one
/// mark.
pub fn compare(
    stiffness: &Stiffness,
    test: &LoadTest,
    tolerance: Length,
) -> Result<Comparison, BendError> {
    if !(tolerance.value >= 0.0 && tolerance.is_finite()) {
        return Err(BendError::Tolerance);
    }
    check_marks(stiffness, &test.marks, 1)?;
    let (deviations, curve) = deviations(stiffness, test)?;
    let (rms, largest) = size(&deviations);
    Ok(Comparison { deviations, rms, largest, within: largest <= tolerance, curve })
}

impl Mark {
    pub(super) fn place(self) -> Length {
        match self {
            Self::Drop { from_butt, .. } | Self::Place { from_butt, .. } => from_butt,
        }
    }

    /// As read less the figure, in m: one number for a drop, two for a place.
    pub(super) fn less(self, figured: Self) -> (f64, Option<f64>) {
        match (self, figured) {
            (Self::Drop { drop, .. }, Self::Drop { drop: figure, .. }) => {
                ((drop - figure).get::<meter>(), None)
            }
            (Self::Place { x, y, .. }, Self::Place { x: at_x, y: at_y, .. }) => {
                ((x - at_x).get::<meter>(), Some((y - at_y).get::<meter>()))
            }
            // `deviations` never makes one of the other.
            _ => (f64::NAN, None),
        }
    }
}

/// Whether there are enough readings, each on the blank and a number.
pub(super) fn check_marks(
    stiffness: &Stiffness,
    marks: &[Mark],
    least: usize,
) -> Result<(), BendError> {
    if marks.len() < least {
        return Err(BendError::TooFewMarks { least });
    }
    for mark in marks {
        place("A mark", mark.place(), stiffness.profile.length)?;
        let read = match *mark {
            Mark::Drop { drop, .. } => [drop, drop],
            Mark::Place { x, y, .. } => [x, y],
        };
        // No mark gets farther from the butt than along the blank, nor drops by more than twice.
        let most = stiffness.length() * 2.0;
        if !read.iter().all(|length| length.abs() <= most) {
            return Err(BendError::Mark { at: mark.place() });
        }
    }
    Ok(())
}

/// Each mark beside the curve, and the curve.
pub(super) fn deviations(
    stiffness: &Stiffness,
    test: &LoadTest,
) -> Result<(Vec<Deviation>, Curve), BendError> {
    let curve = solve(stiffness, &test.loads)?;
    let before = if test.loads.own_weight {
        Some(solve(stiffness, &test.loads.weight_alone())?)
    } else {
        None
    };
    let straight = test.loads.butt.get::<radian>().sin();
    let each = test.marks.iter().map(|&mark| {
        let from_butt = mark.place();
        let here = curve.at(from_butt)?;
        let figured = match mark {
            Mark::Place { .. } => Mark::Place { from_butt, x: here.x, y: here.y },
            Mark::Drop { .. } => {
                let unloaded = match &before {
                    Some(before) => before.at(from_butt)?.y,
                    None => from_butt * straight,
                };
                Mark::Drop { from_butt, drop: here.y - unloaded }
            }
        };
        let (one, other) = mark.less(figured);
        Ok(Deviation { mark, figured, off: m(one.hypot(other.unwrap_or(0.0))) })
    });
    Ok((each.collect::<Result<_, BendError>>()?, curve))
}

/// Root mean square and largest of what the marks are off.
pub(super) fn size(deviations: &[Deviation]) -> (Length, Length) {
    let (mut squares, mut largest, mut count) = (0.0, Length::ZERO, 0.0);
    for deviation in deviations {
        squares += deviation.off.get::<meter>().powi(2);
        largest = largest.max(deviation.off);
        count += 1.0;
    }
    (m((squares / f64::max(count, 1.0)).sqrt()), largest)
}

impl Loads {
    /// The same rod with nothing but its weight and what sits on it.
    fn weight_alone(&self) -> Self {
        let guides = self.line.iter().flat_map(|line| &line.guides);
        let guides = guides.map(|g| PointMass { from_butt: g.from_butt, mass: g.mass });
        Self {
            butt: self.butt,
            own_weight: self.own_weight,
            masses: self.masses.iter().copied().chain(guides).collect(),
            ..Self::default()
        }
    }
}
