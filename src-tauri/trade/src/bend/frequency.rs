//! The lowest frequency at which the held rod swings.

use super::mesh::{GAUSS, cut_up};
use super::profile::Profile;
use super::{BendError, Loads, SAME_PLACE, STATIONS, Stiffness};
use std::f64::consts::TAU;
use uom::si::f64::Frequency;
use uom::si::frequency::hertz;

/// Most rounds; each brings the figure some thousand times nearer.
const ROUNDS: usize = 60;

/// The lowest frequency of the rod held fast at its butt, with the masses and guides of `loads`
/// on its axis; of the loads nothing else counts. The blank needs a mass. Small swings about the
/// straight rod: no damping, no turning inertia of the masses.
///
/// Source: Euler-Bernoulli beam, inverse iteration with Rayleigh's quotient (any text on
/// vibrations; Rayleigh, The Theory of Sound, from memory).
pub fn lowest_frequency(stiffness: &Stiffness, loads: &Loads) -> Result<Frequency, BendError> {
    let profile = &stiffness.profile;
    profile.density.ok_or(BendError::MassUnknown)?;
    let masses = loads.point_masses(profile.length)?;
    let beam = Beam::new(profile, &masses);
    let mut shape = beam.first_guess();
    let mut last = 0.0_f64;
    for _ in 0..ROUNDS {
        let (next, square) = beam.swing(&shape);
        shape = next;
        let settled = (square - last).abs() <= 1e-14 * square;
        last = square;
        if settled {
            break;
        }
    }
    Ok(Frequency::new::<hertz>(last.sqrt() / TAU))
}

struct Piece {
    half: f64,
    /// At the Gauss points: mass per length and one over E I.
    mass: [f64; 4],
    give: [f64; 4],
    /// Mass on the node at the tip end.
    on_end: f64,
}

/// Deflection at the Gauss points of each piece, and at its tip end.
type Shape = Vec<([f64; 4], f64)>;

struct Beam {
    pieces: Vec<Piece>,
    places: Vec<[f64; 4]>,
    ends: Vec<f64>,
    /// Integral from the butt end to each Gauss point of the cubic through the values.
    up_to: [[f64; 4]; 4],
}

impl Beam {
    fn new(profile: &Profile, masses: &[(f64, f64)]) -> Self {
        let nodes = cut_up(profile, masses.iter().map(|mass| mass.0), STATIONS);
        let mut beam =
            Self { pieces: Vec::new(), places: Vec::new(), ends: Vec::new(), up_to: up_to() };
        for two in nodes.windows(2) {
            let half = (two[1] - two[0]) / 2.0;
            let stretch = profile.index_at(two[0] + half);
            let places = GAUSS.map(|(at, _)| two[0] + half * (1.0 + at));
            let here = |mass: &&(f64, f64)| (mass.0 - two[1]).abs() <= SAME_PLACE;
            beam.pieces.push(Piece {
                half,
                mass: places.map(|s| profile.mass_per_length(stretch, s)),
                give: places.map(|s| 1.0 / profile.rigidity(stretch, s).0),
                on_end: masses.iter().filter(here).map(|mass| mass.1).sum(),
            });
            beam.places.push(places);
            beam.ends.push(two[1]);
        }
        beam
    }

    /// A parabola; anything that bends one way would do.
    fn first_guess(&self) -> Shape {
        let square = |s: f64| s * s;
        self.places.iter().zip(&self.ends).map(|(p, end)| (p.map(square), square(*end))).collect()
    }

    /// The deflection under the inertia of `shape`, its tip at one, and the square of the angular
    /// frequency by Rayleigh's quotient.
    fn swing(&self, shape: &Shape) -> (Shape, f64) {
        let (mut shear, mut moment) = (0.0, 0.0);
        let mut bent = vec![[0.0; 4]; self.pieces.len()];
        for (e, piece) in self.pieces.iter().enumerate().rev() {
            let (inside, end) = shape[e];
            shear += piece.on_end * end;
            let load: [f64; 4] = std::array::from_fn(|q| piece.mass[q] * inside[q]);
            let shears = self.until_end(piece.half, load).map(|more| shear + more);
            let moments = self.until_end(piece.half, shears).map(|more| moment + more);
            bent[e] = std::array::from_fn(|q| moments[q] * piece.give[q]);
            shear += whole(piece.half, load);
            moment += whole(piece.half, shears);
        }
        let (mut slope, mut at) = (0.0, 0.0);
        let (mut work, mut inertia) = (0.0, 0.0);
        let mut next: Shape = Vec::with_capacity(shape.len());
        for ((piece, bent), (inside, end)) in self.pieces.iter().zip(&bent).zip(shape) {
            let slopes = self.since_start(piece.half, *bent).map(|more| slope + more);
            let values = self.since_start(piece.half, slopes).map(|more| at + more);
            slope += whole(piece.half, *bent);
            at += whole(piece.half, slopes);
            for q in 0..4 {
                let mass = piece.half * GAUSS[q].1 * piece.mass[q];
                work += mass * inside[q] * values[q];
                inertia += mass * values[q] * values[q];
            }
            work += piece.on_end * end * at;
            inertia += piece.on_end * at * at;
            next.push((values, at));
        }
        for (values, end) in &mut next {
            (*values, *end) = (values.map(|value| value / at), *end / at);
        }
        (next, work / inertia)
    }

    fn since_start(&self, half: f64, values: [f64; 4]) -> [f64; 4] {
        let sum = |row: [f64; 4]| row.iter().zip(values).map(|(a, b)| a * b).sum::<f64>();
        self.up_to.map(|row| half * sum(row))
    }

    fn until_end(&self, half: f64, values: [f64; 4]) -> [f64; 4] {
        let all = whole(half, values);
        self.since_start(half, values).map(|part| all - part)
    }
}

fn whole(half: f64, values: [f64; 4]) -> f64 {
    half * GAUSS.iter().zip(values).map(|((_, weight), value)| weight * value).sum::<f64>()
}

/// Integrals of Lagrange's polynomials through the Gauss points, from -1 to each of them.
fn up_to() -> [[f64; 4]; 4] {
    let lagrange = |j: usize, x: f64| {
        let others = (0..4).filter(|&i| i != j);
        others.map(|i| (x - GAUSS[i].0) / (GAUSS[j].0 - GAUSS[i].0)).product::<f64>()
    };
    GAUSS.map(|(end, _)| {
        let half = f64::midpoint(end, 1.0);
        std::array::from_fn(|j| {
            let part = |(at, weight): (f64, f64)| weight * lagrange(j, half * (1.0 + at) - 1.0);
            half * GAUSS.into_iter().map(part).sum::<f64>()
        })
    })
}
