//! What acts on the rod.

use super::stiffness::HEAVIEST;
use super::{BendError, GRAVITY, Plane, SAME_PLACE, Stiffness, m};
use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Force, Length, Mass, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;

const HIGHEST: f64 = 0.5;

/// The force with which a mass hangs down: mass times standard gravity (General Conference on
/// Weights and Measures, 1901).
pub fn weight(mass: Mass) -> Force {
    Force::new::<newton>(mass.get::<kilogram>() * GRAVITY)
}

/// A force on the tip that keeps its direction whatever the rod does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TipLoad {
    /// How strong; zero or more.
    pub force: Force,
    /// Where it pulls: 90° is down, across a level rod; between -360° and 360°.
    pub direction: Angle,
}

/// A force at a place on the axis of the blank that keeps its direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointLoad {
    /// Where.
    pub from_butt: Length,
    /// How strong; zero or more.
    pub force: Force,
    /// Where it pulls: 90° is down.
    pub direction: Angle,
}

/// Something with a mass on the axis of the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointMass {
    /// Where.
    pub from_butt: Length,
    /// Its mass; zero or more.
    pub mass: Mass,
}

/// A guide with the line in its ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guide {
    /// Where.
    pub from_butt: Length,
    /// From the axis of the blank to the line in the ring, at most 500 mm; positive on the side that
    /// a load on a level rod squeezes (see the module), negative for guides on top. The ring is
    /// taken as one point.
    pub height: Length,
    /// Its mass with the wrap, which counts with the own weight and in the frequency; zero or more.
    pub mass: Mass,
}

/// The reel, where the line ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reel {
    /// Where, nearer the butt than the first guide.
    pub from_butt: Length,
    /// From the axis of the blank to where the line leaves the spool; signed as for a guide.
    pub height: Length,
}

/// Which way the line runs through the guides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Running {
    /// Out, towards the load: each guide holds back, the reel feels less.
    Out,
    /// In, onto the reel: the reel feels more.
    In,
}

/// Friction of the line in the rings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// Coefficient, 0 to 1.
    pub coefficient: Ratio,
    /// Which way the line runs, or is about to.
    pub running: Running,
}

/// The line from the reel through the guides to the load.
#[derive(Debug, Clone, PartialEq)]
pub struct LineLoad {
    /// Where the line ends on the rod.
    pub reel: Reel,
    /// The guides from butt to tip, at least one. At the last the line leaves for the load.
    pub guides: Vec<Guide>,
    /// Tension at the load; zero or more.
    pub tension: Force,
    /// Where the line goes from the last guide: 90° is down. It keeps its direction.
    pub direction: Angle,
    /// None for none: the same tension everywhere.
    pub friction: Option<Friction>,
}

/// All that acts on the rod.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loads {
    /// How the butt is held: 0° is level, negative with the tip raised.
    pub butt: Angle,
    /// On the tip.
    pub tip: Option<TipLoad>,
    /// Anywhere else.
    pub points: Vec<PointLoad>,
    /// Whether the blank, the masses and the guides weigh.
    pub own_weight: bool,
    /// What sits on the blank.
    pub masses: Vec<PointMass>,
    /// The line.
    pub line: Option<LineLoad>,
}

/// Loads in SI units, checked.
pub(super) struct Acting {
    pub(super) butt: f64,
    /// Place and force; dead weights of masses among them.
    pub(super) forces: Vec<(f64, Plane)>,
    /// N/kg that the blank weighs.
    pub(super) gravity: f64,
    pub(super) line: Option<ActingLine>,
}

pub(super) struct ActingLine {
    /// Place and height: the reel first, then the guides.
    pub(super) rings: Vec<(f64, f64)>,
    pub(super) tension: f64,
    pub(super) direction: Plane,
    /// Exponent of the tension per radian of turning, towards the reel.
    pub(super) friction: f64,
}

impl Loads {
    /// A level rod with a force on its tip and nothing else.
    pub fn on_tip(force: Force, direction: Angle) -> Self {
        Self { tip: Some(TipLoad { force, direction }), ..Self::default() }
    }

    pub(super) fn check(&self, stiffness: &Stiffness) -> Result<Acting, BendError> {
        let length = stiffness.profile.length;
        let butt = angle("The butt", self.butt)?;
        let mut forces = Vec::new();
        if let Some(tip) = self.tip {
            forces.push((length, force("The load on the tip", tip.force, tip.direction)?));
        }
        for load in &self.points {
            let s = place("A load", load.from_butt, length)?;
            forces.push((s, force("A load", load.force, load.direction)?));
        }
        let mut masses = self.point_masses(length)?;
        let mut gravity = 0.0;
        if self.own_weight {
            stiffness.profile.density.ok_or(BendError::MassUnknown)?;
            gravity = GRAVITY;
            masses.retain(|mass| mass.1 > 0.0);
            forces.extend(masses.into_iter().map(|(s, mass)| (s, [0.0, mass * GRAVITY])));
        }
        let line = self.line.as_ref().map(|line| line.check(length)).transpose()?;
        Ok(Acting { butt, forces, gravity, line })
    }

    /// Place and mass of all masses and guides.
    pub(super) fn point_masses(&self, length: f64) -> Result<Vec<(f64, f64)>, BendError> {
        let guides = self.line.iter().flat_map(|line| &line.guides);
        let guides = guides.map(|guide| ("A guide", guide.from_butt, guide.mass));
        let masses = self.masses.iter().map(|mass| ("A mass", mass.from_butt, mass.mass));
        masses
            .chain(guides)
            .map(|(what, from_butt, mass)| {
                let mass = mass.get::<kilogram>();
                if !(0.0..=HEAVIEST).contains(&mass) {
                    return Err(BendError::Mass { what });
                }
                Ok((place(what, from_butt, length)?, mass))
            })
            .collect()
    }
}

impl LineLoad {
    fn check(&self, length: f64) -> Result<ActingLine, BendError> {
        if self.guides.is_empty() {
            return Err(BendError::NoGuides);
        }
        let reel = (place("The reel", self.reel.from_butt, length)?, self.reel.height);
        let mut rings = vec![(reel.0, height("The reel", reel.1)?)];
        for guide in &self.guides {
            let s = place("A guide", guide.from_butt, length)?;
            rings.push((s, height("A guide", guide.height)?));
        }
        if rings[1].0 - rings[0].0 <= SAME_PLACE {
            return Err(BendError::ReelPlace);
        }
        if rings.windows(2).any(|two| two[1].0 - two[0].0 <= SAME_PLACE) {
            return Err(BendError::NotInOrder { what: "Guides" });
        }
        force("The line", self.tension, self.direction)?;
        let tension = self.tension.get::<newton>();
        let direction = angle("The line", self.direction)?;
        let direction = [direction.cos(), direction.sin()];
        let friction = match self.friction {
            None => 0.0,
            Some(Friction { coefficient, running }) => {
                let coefficient = coefficient.get::<ratio>();
                if !(0.0..=1.0).contains(&coefficient) {
                    return Err(BendError::Friction);
                }
                if running == Running::Out { -coefficient } else { coefficient }
            }
        };
        Ok(ActingLine { rings, tension, direction, friction })
    }
}

pub(super) fn place(what: &'static str, at: Length, length: f64) -> Result<f64, BendError> {
    let s = at.get::<meter>();
    if s >= 0.0 && s <= length + SAME_PLACE {
        Ok(s.min(length))
    } else {
        Err(BendError::OffTheBlank { what, length: m(length) })
    }
}

fn height(what: &'static str, height: Length) -> Result<f64, BendError> {
    let height = height.get::<meter>();
    if height.abs() <= HIGHEST { Ok(height) } else { Err(BendError::Height { what }) }
}

fn angle(what: &'static str, angle: Angle) -> Result<f64, BendError> {
    if angle.get::<degree>().abs() <= 360.0 {
        Ok(angle.get::<radian>())
    } else {
        Err(BendError::NoDirection { what })
    }
}

fn force(what: &'static str, force: Force, direction: Angle) -> Result<Plane, BendError> {
    let newtons = force.get::<newton>();
    if !(newtons >= 0.0 && newtons.is_finite()) {
        return Err(BendError::Force { what });
    }
    let direction = angle(what, direction)?;
    Ok([newtons * direction.cos(), newtons * direction.sin()])
}
