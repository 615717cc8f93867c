//! The equilibrium of the bent rod.
//!
//! Source of the method: the energy of the rod, `½ E I θ'²` along it less the work of the dead
//! loads, plus tension times length for each span of line, is least at equilibrium (stationary
//! potential energy; any text on the finite element method). The slope θ is a cubic on each element,
//! so that slopes and places at the nodes converge with the sixth power of the element length.
//! Newton's method finds the least: the matrix is tridiagonal once the two inner unknowns of each
//! element are gone, and each span of line adds one rank to it.
//!
//! The load grows from nothing in steps, each checked to lie near where the last pointed and to be
//! stable, so that the equilibrium is the one that the unloaded rod grows into. With friction the
//! tensions follow the turns from one iteration to the next, a fixed point that converges the
//! faster the smaller the friction is.

use super::curve::Curve;
use super::load::Loads;
use super::mesh::Mesh;
use super::rod::Rod;
use super::{BendError, Stiffness};
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

/// Stations along the curve if nothing else is asked for.
pub const STATIONS: usize = 200;

/// Most iterations within one load step, without and with friction.
const ITERATIONS: usize = 15;
const ITERATIONS_WITH_FRICTION: usize = 120;
/// Most load steps tried.
const STEPS: usize = 200;
/// Most by which a slope may change in one load step, rad.
const TURN: f64 = 0.9;
/// Change of slope at which an iteration ends, rad: on the way and at the whole load. The error
/// left is of the order of its square.
const ON_THE_WAY: f64 = 1e-4;
const AT_THE_END: f64 = 1e-9;
/// The same with friction, where it converges more slowly.
const AT_THE_END_WITH_FRICTION: f64 = 1e-13;

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
        let start = self.slope.clone();
        if self.settle(&start, Grain::Fine).is_ok_and(|turned| turned < NEAR_COARSE) {
            self.shape();
            return true;
        }
        self.unload();
        false
    }

    /// From no load to the whole.
    fn load_up(&mut self, grain: Grain) -> Result<(), BendError> {
        let (mut reached, mut step) = (0.0_f64, 1.0_f64);
        let (mut slope, mut inner) = (self.slope.clone(), self.inner.clone());
        for _ in 0..STEPS {
            self.share = (reached + step).min(1.0);
            // The last bit of a sum must not leave a sliver of a step.
            if 1.0 - self.share < 1e-9 {
                self.share = 1.0;
            }
            match self.settle(&slope, grain) {
                Ok(turned) => {
                    reached = self.share;
                    if reached >= 1.0 {
                        self.shape();
                        return Ok(());
                    }
                    slope.clone_from(&self.slope);
                    inner.clone_from(&self.inner);
                    step *= (0.6 * TURN / turned).clamp(0.5, 3.0);
                }
                Err(by) => {
                    self.slope.clone_from(&slope);
                    self.inner.clone_from(&inner);
                    step *= by;
                    if step < 1e-12 + 1e-4 * reached {
                        break;
                    }
                }
            }
        }
        Err(BendError::TooGreat { share: Ratio::new::<ratio>(reached) })
    }

    /// Iterates at one share of the load. How far it turned, or by what to shorten the step.
    fn settle(&mut self, before: &[f64], grain: Grain) -> Result<f64, f64> {
        let friction = self.acting.line.as_ref().is_some_and(|line| line.friction != 0.0);
        let most = if friction { ITERATIONS_WITH_FRICTION } else { ITERATIONS };
        let near = match (self.share < 1.0 || grain == Grain::Coarse, friction) {
            (true, _) => ON_THE_WAY,
            (false, false) => AT_THE_END,
            (false, true) => AT_THE_END_WITH_FRICTION,
        };
        let mut pointed: Vec<f64> = Vec::new();
        for iteration in 0..most {
            let went = self.iterate().ok_or(0.25)?;
            if iteration == 0 {
                if went.far > TURN {
                    return Err((0.6 * TURN / went.far).max(1e-3));
                }
                pointed.clone_from(&self.slope);
            }
            if went.far > 2.0 * TURN {
                return Err(0.25);
            }
            if went.far <= near {
                let apart = |other: &[f64]| {
                    let each = self.slope.iter().zip(other).map(|(a, b)| (a - b).abs());
                    each.fold(0.0, f64::max)
                };
                let turned = apart(before);
                let strays = apart(&pointed) > 0.5 * turned + 1e-3;
                // What comes of the coarse ones is looked at again on the fine ones.
                let sharp = grain == Grain::Fine && !self.fine_enough();
                if turned > TURN || strays || !went.stable || sharp {
                    return Err(0.35);
                }
                return Ok(turned.max(1e-12));
            }
        }
        Err(0.25)
    }
}
