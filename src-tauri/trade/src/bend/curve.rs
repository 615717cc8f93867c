//! The bent rod.

use super::clearance::least_clearance;
use super::line::{GuideLoad, Line, LinePath, LineSpan};
use super::load::place;
use super::mesh::{GAUSS, Mesh};
use super::profile::Profile;
use super::rod::Rod;
use super::{BendError, BendWarning, Plane, Stiffness, cross, m};
use uom::si::angle::radian;
use uom::si::curvature::radian_per_meter;
use uom::si::energy::joule;
use uom::si::f64::{Angle, Curvature, Energy, Force, Length, Ratio, Torque};
use uom::si::force::newton;
use uom::si::ratio::ratio;
use uom::si::torque::newton_meter;

/// The rod at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// The place, along the blank.
    pub from_butt: Length,
    /// Away from the butt, level.
    pub x: Length,
    /// Down from the butt.
    pub y: Length,
    /// Slope of the axis.
    pub slope: Angle,
    /// Bending moment that the part beyond puts on the place: just on the butt side of a guide,
    /// where the force on it makes the moment step.
    pub moment: Torque,
    /// Curvature, moment over stiffness.
    pub curvature: Curvature,
    /// Strain of the surface, curvature times half the diameter: stretched on one side, squeezed on
    /// the other.
    pub strain: Ratio,
}

/// What holds the butt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// Force of the holder on the rod.
    pub force_x: Force,
    /// Force of the holder on the rod, down.
    pub force_y: Force,
    /// Moment of the holder on the rod.
    pub moment: Torque,
}

/// An element of the bent rod, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Arc {
    from: f64,
    to: f64,
    stretch: usize,
    start: Plane,
    /// Slope, curvature and its change along the blank, at both ends.
    ends: [[f64; 3]; 2],
    /// Moment and force at the tip end, just inside.
    moment: f64,
    force: Plane,
}

/// The rod in equilibrium.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    arcs: Vec<Arc>,
    profile: Profile,
    /// N/kg.
    gravity: f64,
    points: Vec<CurvePoint>,
    reaction: Reaction,
    energy: f64,
    line: Option<LinePath>,
    warnings: Vec<BendWarning>,
}

impl Curve {
    pub(super) fn of(stiffness: &Stiffness, mesh: &Mesh, rod: Rod<'_>) -> Self {
        let (profile, acting) = (&stiffness.profile, rod.acting);
        let couple = |node: usize| {
            let (Some(line), Some(acting)) = (&rod.line, &acting.line) else { return 0.0 };
            let Some(ring) = mesh.rings.iter().position(|&n| n == node) else { return 0.0 };
            let (sine, cosine) = rod.slopes.node[node].sin_cos();
            let height = acting.rings[ring].1;
            cross([-height * sine, height * cosine], line.force[ring])
        };
        let mut arcs = Vec::with_capacity(mesh.elements.len());
        let mut moment = couple(mesh.elements.len());
        let mut energy = 0.0;
        for (e, element) in mesh.elements.iter().enumerate().rev() {
            let half = element.long() / 2.0;
            let end = moment;
            for (q, (_, weight)) in GAUSS.iter().enumerate() {
                let [x, y] = rod.beyond_in(e, q);
                let weight = half * weight;
                moment += weight * (rod.cosine[e][q] * y - rod.sine[e][q] * x);
                energy += weight * element.rigidity[q] * rod.curvature_in(e, q).powi(2) / 2.0;
            }
            let force = [rod.beyond[e][0], rod.beyond[e][1] + element.weight_beyond];
            let mut arc = Arc {
                from: element.from,
                to: element.to,
                stretch: element.stretch,
                start: rod.place[e],
                ends: [[rod.slopes.node[e], 0.0, 0.0], [rod.slopes.node[e + 1], 0.0, 0.0]],
                moment: end,
                force,
            };
            for (side, s, moment) in [(0, arc.from, moment), (1, arc.to, end)] {
                let (rigidity, slope) = profile.rigidity(arc.stretch, s);
                let [x, y] = arc.force_at(profile, acting.gravity, s);
                let (sine, cosine) = arc.ends[side][0].sin_cos();
                let curvature = moment / rigidity;
                arc.ends[side][1] = curvature;
                arc.ends[side][2] = (sine * x - cosine * y - curvature * slope) / rigidity;
            }
            arcs.push(arc);
            moment += couple(e);
        }
        arcs.reverse();
        let held = arcs.first().map_or([0.0; 2], |arc| {
            let [x, y] = arc.force_at(profile, acting.gravity, 0.0);
            let [more_x, more_y] = mesh.force[0];
            let reel = rod.line.as_ref().filter(|_| mesh.rings[0] == 0);
            let [reel_x, reel_y] = reel.map_or([0.0; 2], |line| line.force[0]);
            [x + more_x + reel_x, y + more_y + reel_y]
        });
        let mut curve = Self {
            arcs,
            profile: profile.clone(),
            gravity: acting.gravity,
            points: Vec::new(),
            reaction: Reaction {
                force_x: Force::new::<newton>(-held[0]),
                force_y: Force::new::<newton>(-held[1]),
                moment: Torque::new::<newton_meter>(-moment),
            },
            energy,
            line: None,
            warnings: stiffness.warnings().to_vec(),
        };
        let ends = curve.arcs.iter().enumerate().map(|(index, arc)| curve.point_on(index, arc.to));
        curve.points = std::iter::once(curve.point(0.0)).chain(ends).collect();
        curve.line = rod.line.map(|line| curve.path(&line, mesh));
        curve
    }

    fn path(&mut self, line: &Line, mesh: &Mesh) -> LinePath {
        let at: Vec<f64> = mesh.rings.iter().map(|&node| self.node(node)).collect();
        let loads = line.ring.iter().enumerate().map(|(ring, place)| {
            let [x, y] = line.force[ring];
            let axis = self.axis(at[ring]).0;
            let moment = cross([place[0] - axis[0], place[1] - axis[1]], [x, y]);
            GuideLoad {
                from_butt: m(at[ring]),
                x: m(place[0]),
                y: m(place[1]),
                force_x: Force::new::<newton>(x),
                force_y: Force::new::<newton>(y),
                force: Force::new::<newton>(x.hypot(y)),
                moment: Torque::new::<newton_meter>(moment),
                turn: Angle::new::<radian>(line.turn[ring]),
            }
        });
        let loads = loads.collect();
        let spans: Vec<LineSpan> = (0..line.along.len())
            .map(|k| {
                let ends = [line.ring[k], line.ring[k + 1]];
                let (clearance, nearest) =
                    least_clearance(self, ends, [mesh.rings[k], mesh.rings[k + 1]]);
                let [x, y] = line.along[k];
                LineSpan {
                    from_butt: m(at[k]),
                    to: m(at[k + 1]),
                    length: m(line.long[k]),
                    direction: Angle::new::<radian>(y.atan2(x)),
                    tension: Force::new::<newton>(line.tension[k]),
                    clearance: m(clearance),
                    nearest: m(nearest),
                    touches: clearance < 0.0,
                }
            })
            .collect();
        self.warnings.extend(spans.iter().filter(|span| span.touches).map(|span| {
            BendWarning::LineTouches {
                from: span.from_butt,
                to: span.to,
                at: span.nearest,
                inside: -span.clearance,
            }
        }));
        LinePath {
            loads,
            spans,
            length: m(line.long.iter().sum()),
            at_reel: Force::new::<newton>(line.tension.first().copied().unwrap_or(0.0)),
        }
    }

    /// The stations from butt to tip: at least as many as asked for, and every place where a load
    /// or a guide sits or the blank changes.
    pub fn points(&self) -> &[CurvePoint] {
        &self.points
    }

    /// The rod at any place, to the order of the stations.
    pub fn at(&self, from_butt: Length) -> Result<CurvePoint, BendError> {
        let s = place("A place on the curve", from_butt, self.profile.length)?;
        Ok(self.point(s))
    }

    /// The rod at its tip.
    pub fn tip(&self) -> CurvePoint {
        self.point(self.profile.length)
    }

    /// What holds the butt.
    pub fn reaction(&self) -> Reaction {
        self.reaction
    }

    /// The line, if there is one.
    pub fn line(&self) -> Option<&LinePath> {
        self.line.as_ref()
    }

    /// Energy stored in the bent blank.
    pub fn strain_energy(&self) -> Energy {
        Energy::new::<joule>(self.energy)
    }

    /// The station where the surface is strained most.
    pub fn most_strained(&self) -> CurvePoint {
        let strain = |point: &CurvePoint| point.strain.value.abs();
        let worst = self.points.iter().copied();
        worst.reduce(|a, b| if strain(&b) > strain(&a) { b } else { a }).unwrap_or(self.tip())
    }

    /// What to tell beside it.
    pub fn warnings(&self) -> &[BendWarning] {
        &self.warnings
    }

    /// The place of a node, m.
    pub(super) fn node(&self, node: usize) -> f64 {
        self.arcs.get(node).map_or(self.profile.length, |arc| arc.from)
    }

    /// Where the axis is and how it slopes, on the butt side of a border.
    pub(super) fn axis(&self, s: f64) -> (Plane, f64) {
        let arc = &self.arcs[self.arc_at(s)];
        (arc.place(s), arc.slope(s))
    }

    pub(super) fn diameter(&self, s: f64) -> f64 {
        self.profile.stretches[self.arcs[self.arc_at(s)].stretch].diameter_at(s)
    }

    /// The element at `s`, at a border that on the butt side.
    fn arc_at(&self, s: f64) -> usize {
        self.arcs.partition_point(|arc| arc.to < s).min(self.arcs.len() - 1)
    }

    fn point(&self, s: f64) -> CurvePoint {
        self.point_on(self.arc_at(s), s)
    }

    fn point_on(&self, index: usize, s: f64) -> CurvePoint {
        let arc = &self.arcs[index];
        let [x, y] = match self.arcs.get(index + 1) {
            Some(next) if next.from <= s => next.start,
            _ => arc.place(s),
        };
        let moment = arc.moment_at(&self.profile, self.gravity, s);
        let curvature = moment / self.profile.rigidity(arc.stretch, s).0;
        let half = self.profile.stretches[arc.stretch].diameter_at(s) / 2.0;
        CurvePoint {
            from_butt: m(s),
            x: m(x),
            y: m(y),
            slope: Angle::new::<radian>(arc.slope(s)),
            moment: Torque::new::<newton_meter>(moment),
            curvature: Curvature::new::<radian_per_meter>(curvature),
            strain: Ratio::new::<ratio>(curvature * half),
        }
    }
}

impl Arc {
    /// Hermite's polynomial of fifth degree through slope, curvature and its change at both ends.
    fn slope(&self, s: f64) -> f64 {
        let long = self.to - self.from;
        let scaled =
            self.ends.map(|[slope, once, twice]| [slope, once * long, twice * long * long]);
        let [[start, out, out_again], [end, back, back_again]] = scaled;
        let rise = end - start;
        let third = 10.0 * rise - 6.0 * out - 4.0 * back - 1.5 * out_again + 0.5 * back_again;
        let fourth = -15.0 * rise + 8.0 * out + 7.0 * back + 1.5 * out_again - back_again;
        let fifth = 6.0 * rise - 3.0 * (out + back) + 0.5 * (back_again - out_again);
        let x = (s - self.from) / long;
        start + x * (out + x * (out_again / 2.0 + x * (third + x * (fourth + x * fifth))))
    }

    fn place(&self, s: f64) -> Plane {
        let half = (s - self.from) / 2.0;
        GAUSS.iter().fold(self.start, |[x, y], (at, weight)| {
            let (sine, cosine) = self.slope(self.from + half * (1.0 + at)).sin_cos();
            [x + half * weight * cosine, y + half * weight * sine]
        })
    }

    /// Force on all that lies beyond `s`.
    fn force_at(&self, profile: &Profile, gravity: f64, s: f64) -> Plane {
        let material = profile.material(self.stretch, s, self.to);
        let weight = gravity * profile.density.unwrap_or(0.0) * material;
        [self.force[0], self.force[1] + weight]
    }

    /// The moment at the tip end and what the forces beyond add on the way back.
    fn moment_at(&self, profile: &Profile, gravity: f64, s: f64) -> f64 {
        if s >= self.to {
            return self.moment;
        }
        let half = (self.to - s) / 2.0;
        GAUSS.iter().fold(self.moment, |moment, (at, weight)| {
            let here = s + half * (1.0 + at);
            let [x, y] = self.force_at(profile, gravity, here);
            let (sine, cosine) = self.slope(here).sin_cos();
            moment + half * weight * (cosine * y - sine * x)
        })
    }
}
