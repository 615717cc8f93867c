//! The equilibrium of the bent rod.
//!
//! Source of the method: the energy of the rod, `½ E I θ'²` along it less the work of the dead
//! loads, plus tension times length for each span of line, is least at equilibrium (stationary
//! potential energy; any text on the finite element method). The slope θ is a cubic on each element,
//! so that slopes and places at the nodes converge with the sixth power of the element length.
//! Newton's method finds the least: the matrix is tridiagonal once the two inner unknowns of each
//! element are gone, and each span of line adds one rank to it.
//!
//! The load grows from nothing in steps. At both ends of each the way onward is known, how the slopes
//! change for a little more load (predictor and corrector; any text on numerical continuation). A step
//! that strays from the mean of the two, or ends unstable, is tried again shorter, so that the
//! equilibrium is the one that the unloaded rod grows into. Steps and iterations are bounded; where
//! they don't suffice the answer is the share of the load reached.
//!
//! Newton's method doubles the digits with each iteration. With friction the tensions follow the
//! turns from one iteration to the next, a fixed point that converges the faster the smaller the
//! friction is.

use super::curve::Curve;
use super::load::Loads;
use super::mesh::Mesh;
use super::rod::{Aim, Rod, Slopes};
use super::{BendError, Stiffness};
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

/// Stations along the curve if nothing else is asked for.
pub const STATIONS: usize = 200;

/// Most iterations within one load step, without and with friction.
const ITERATIONS: usize = 10;
const ITERATIONS_WITH_FRICTION: usize = 120;
/// Most load steps tried, and the shortest as a share of the load reached.
const STEPS: usize = 300;
const SHORTEST: f64 = 1e-6;
/// How far the slopes are meant to turn in one load step, rad.
const TURN: f64 = 0.4;
/// How far a load step may lie off the mean of the ways onward at its two ends, as a share of itself
/// and in rad. A step onto another branch lies far off.
const STRAY: (f64, f64) = (0.1, 1e-3);
/// Change of slope at which an iteration ends, rad: on the way and at the whole load. The error
/// left is of the order of its square.
const ON_THE_WAY: f64 = 1e-4;
const AT_THE_END: f64 = 1e-9;
/// The same with friction, where it converges more slowly.
const AT_THE_END_WITH_FRICTION: f64 = 1e-13;
/// The share of the load that stands for next to none.
const HARDLY_ANY: f64 = 1e-6;

/// How many times longer the elements are on which the way is found, how few of them make sense, and
/// how far their slopes may be off, rad.
const COARSER: usize = 5;
const FEWEST: usize = 10;
const NEAR_COARSE: f64 = 0.02;

/// The curve of the rod under these loads at [`STATIONS`] stations; see [`solve_at`].
pub fn solve(stiffness: &Stiffness, loads: &Loads) -> Result<Curve, BendError> {
    solve_at(stiffness, loads, STATIONS)
}

/// The curve of the rod under these loads, at least at `stations` (4 to 2000) places and wherever
/// something begins, ends or pulls.
///
/// Errors for what can't be a rod or a load, and [`BendError::TooGreat`] where no stable equilibrium
/// follows from the unloaded rod, or the rod bends too sharply for the stations: it says which share
/// of the loads can be worked out.
pub fn solve_at(stiffness: &Stiffness, loads: &Loads, stations: usize) -> Result<Curve, BendError> {
    if !(4..=2000).contains(&stations) {
        return Err(BendError::Stations);
    }
    let acting = loads.check(stiffness)?;
    let mesh = Mesh::new(&stiffness.profile, &acting, stations);
    let mut rod = Rod::new(&mesh, &acting);
    if !rod.find_coarsely(stiffness, stations) {
        rod.load_up(Grain::Fine)?;
    }
    Ok(Curve::of(stiffness, &mesh, rod))
}

/// How good the elements are meant to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Grain {
    /// To find the way: what comes of it is worked over again.
    Coarse,
    Fine,
}

impl Rod<'_> {
    /// The way from no load to the whole on a few long elements, which costs little, then the last
    /// iterations on all of them. False, and the rod unloaded, where that leads nowhere.
    fn find_coarsely(&mut self, stiffness: &Stiffness, stations: usize) -> bool {
        let few = stations / COARSER;
        if few < FEWEST {
            return false;
        }
        let mesh = Mesh::new(&stiffness.profile, self.acting, few);
        let mut coarse = Rod::new(&mesh, self.acting);
        if coarse.load_up(Grain::Coarse).is_err() {
            return false;
        }
        self.follow(&coarse);
        self.share = 1.0;
        let start = self.slopes.clone();
        if self.settle(Grain::Fine).is_some() && self.turned(&start).largest() < NEAR_COARSE {
            self.shape();
            return true;
        }
        self.unload();
        false
    }

    /// From no load to the whole.
    fn load_up(&mut self, grain: Grain) -> Result<(), BendError> {
        let mut reached = 0.0_f64;
        let none = || BendError::TooGreat { share: Ratio::new::<ratio>(0.0) };
        let mut onward = self.first_way().ok_or_else(none)?;
        let mut here = self.slopes.clone();
        let mut last: Option<(f64, Slopes)> = None;
        let mut step = 1.0_f64;
        for _ in 0..STEPS {
            step = step.min(1.2 * TURN / onward.largest().max(1e-300)).min(1.0 - reached);
            // The last bit of a sum must not leave a sliver of a step.
            self.share = if 1.0 - reached - step < 1e-9 { 1.0 } else { reached + step };
            self.slopes.add(&onward, step);
            if let Some((length, before)) = &last {
                // Where the way turns; not where it turns so sharply that it would lead astray.
                let mut bend = onward.clone();
                bend.add(before, -1.0);
                if bend.largest() * step < onward.largest() * length {
                    self.slopes.add(&bend, step * step / (2.0 * length));
                }
            }
            let Some((next, off)) = self.arrive(&here, &onward, step, grain) else {
                self.slopes.clone_from(&here);
                step *= 0.4;
                if step < SHORTEST * reached.max(SHORTEST) {
                    break;
                }
                continue;
            };
            if self.share >= 1.0 {
                self.shape();
                return Ok(());
            }
            last = Some((step, std::mem::replace(&mut onward, next)));
            reached = self.share;
            here.clone_from(&self.slopes);
            step *= if off < STRAY.0 / 4.0 { 2.5 } else { 1.2 };
        }
        Err(BendError::TooGreat { share: Ratio::new::<ratio>(reached) })
    }

    /// The way onward from the unloaded rod.
    fn first_way(&mut self) -> Option<Slopes> {
        self.share = HARDLY_ANY;
        self.work_out(Aim::Rest)?;
        let mut onward = self.step.clone();
        onward.add(&self.step, 1.0 / HARDLY_ANY - 1.0);
        Some(onward)
    }

    /// Comes to rest at the end of a load step. The way onward from there, and how far the step lay
    /// off the ways at its two ends as a share of itself; None where it can't be trusted.
    fn arrive(
        &mut self,
        here: &Slopes,
        onward: &Slopes,
        step: f64,
        grain: Grain,
    ) -> Option<(Slopes, f64)> {
        self.settle(grain)?;
        let mut turned = self.turned(here);
        let far = turned.largest();
        self.work_out(Aim::Onward)?;
        let next = self.step.clone();
        turned.add(onward, -step / 2.0);
        turned.add(&next, -step / 2.0);
        let off = turned.largest();
        let near = far <= 2.0 * TURN && off <= STRAY.0 * far + STRAY.1;
        near.then_some((next, off / far.max(STRAY.1)))
    }

    fn turned(&self, from: &Slopes) -> Slopes {
        let mut turned = self.slopes.clone();
        turned.add(from, -1.0);
        turned
    }

    /// Iterates at one share of the load; None where it does not come to a stable rest.
    fn settle(&mut self, grain: Grain) -> Option<()> {
        let friction = self.acting.line.as_ref().is_some_and(|line| line.friction != 0.0);
        let most = if friction { ITERATIONS_WITH_FRICTION } else { ITERATIONS };
        let near = match (self.share < 1.0 || grain == Grain::Coarse, friction) {
            (true, _) => ON_THE_WAY,
            (false, false) => AT_THE_END,
            (false, true) => AT_THE_END_WITH_FRICTION,
        };
        for _ in 0..most {
            let went = self.work_out(Aim::Rest)?;
            if went.far > 2.0 * TURN {
                return None;
            }
            self.slopes.add(&self.step, 1.0);
            if went.far <= near {
                // What comes of the coarse elements is looked at again on the fine ones.
                let sharp = grain == Grain::Fine && !self.fine_enough();
                return (went.stable && !sharp).then_some(());
            }
        }
        None
    }
}
