//! What was read at one end of the blank.

use super::circular::Circular;
use super::{SpineError, degrees, is_angle, shortest, wrap};
use uom::si::angle::degree;
use uom::si::f64::Angle;

/// Farthest that two jumps of a trial may be from opposite, degrees. House rule: beyond
/// it the two hardly belong to one axis.
const OPPOSITE_WITHIN: f64 = 30.0;
/// The coarsest step of a scale, degrees. House rule.
const COARSEST: f64 = 30.0;

/// To how many sides the blank jumps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sides {
    /// Always to the same one: directions.
    One,
    /// To two opposite ones: an axis. An angle and the one opposite mean the same.
    Two,
}

impl Sides {
    /// By how much angles are stretched so that what means the same falls together.
    pub(super) fn fold(self) -> f64 {
        match self {
            Self::One => 1.0,
            Self::Two => 2.0,
        }
    }

    /// After how many degrees angles repeat.
    pub(super) fn period(self) -> f64 {
        360.0 / self.fold()
    }
}

/// Where the blank came to rest in one trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Jump {
    /// On one side.
    One(Angle),
    /// On one side and, rolled on, on the opposite one. Counts as one trial, for one axis.
    Pair(Angle, Angle),
}

/// The trials at one end, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Trials {
    sides: Sides,
    read_to: Angle,
    /// One angle for each trial: of a pair the middle of its axis.
    angles: Vec<Angle>,
    from_opposite: Vec<Option<Angle>>,
}

impl Trials {
    /// At least one trial, any finite angles. `read_to` is the smallest step that can be told apart
    /// on the scale, above zero and at most 30°: no result is given more exactly than it. The jumps
    /// of a pair must lie within 30° of opposite (house rule), and only a blank that jumps to two
    /// sides has pairs.
    pub fn new(sides: Sides, read_to: Angle, jumps: &[Jump]) -> Result<Self, SpineError> {
        let step = read_to.get::<degree>();
        if !(step > 0.0 && step <= COARSEST) {
            return Err(SpineError::Scale);
        }
        if jumps.is_empty() {
            return Err(SpineError::NoTrial);
        }
        let mut angles = Vec::with_capacity(jumps.len());
        let mut from_opposite = Vec::with_capacity(jumps.len());
        for (trial, jump) in jumps.iter().enumerate() {
            let (angle, off) = match *jump {
                Jump::One(angle) => (finite(angle, trial)?, None),
                Jump::Pair(..) if sides == Sides::One => {
                    return Err(SpineError::PairOnOneSide { trial });
                }
                Jump::Pair(first, second) => {
                    let off = from_opposite_of(finite(first, trial)?, finite(second, trial)?);
                    if off.abs() > OPPOSITE_WITHIN {
                        let off = degrees(off.abs());
                        return Err(SpineError::NotOpposite { trial, first, second, off });
                    }
                    (first + degrees(off / 2.0), Some(degrees(off)))
                }
            };
            angles.push(angle);
            from_opposite.push(off);
        }
        Ok(Self { sides, read_to, angles, from_opposite })
    }

    /// To how many sides the blank was said to jump.
    pub fn sides(&self) -> Sides {
        self.sides
    }

    /// The step of the scale.
    pub fn read_to(&self) -> Angle {
        self.read_to
    }

    /// One angle for each trial, as given; of a pair the middle of its axis, at its first jump.
    pub fn angles(&self) -> &[Angle] {
        &self.angles
    }

    /// For each trial that gave both jumps, how far the second lies beyond the opposite of the
    /// first, -30 to 30°.
    pub fn from_opposite(&self) -> &[Option<Angle>] {
        &self.from_opposite
    }

    /// All but one, counted from 0; None where it is the only one or is not there.
    pub(super) fn without(&self, trial: usize) -> Option<Self> {
        if trial >= self.angles.len() || self.angles.len() == 1 {
            return None;
        }
        let mut rest = self.clone();
        rest.angles.remove(trial);
        rest.from_opposite.remove(trial);
        Some(rest)
    }

    /// The trials as a sample.
    pub(super) fn sample(&self, sides: Sides) -> Result<Circular, SpineError> {
        Circular::new(sides, &self.angles)
    }
}

fn finite(angle: Angle, trial: usize) -> Result<Angle, SpineError> {
    if is_angle(angle) { Ok(angle) } else { Err(SpineError::NotAnAngle { trial }) }
}

/// How far `second` lies beyond the opposite of `first`, degrees, -180 up to 180.
fn from_opposite_of(first: Angle, second: Angle) -> f64 {
    let [first, second] = [first, second].map(|angle| wrap(angle.get::<degree>(), 360.0));
    shortest(second - first - 180.0, 360.0)
}
