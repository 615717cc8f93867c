//! Where the first guide goes, by the reel.

use super::{GuideError, Suggestion, above_zero, peak, positive, within, zero_or_more};
use uom::si::angle::radian;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

/// Flattest angle that can be asked for: flatter, the guide would be beyond any tip.
const FLATTEST_DEG: f64 = 0.1;
/// Steepest angle of the line that is taken.
const STEEPEST_DEG: f64 = 60.0;
/// Most tilt of a spool's axis that is taken.
const MOST_TILT_DEG: f64 = 30.0;

/// A spinning reel and the ring of the first guide. Line leaves the lip of the spool all the way
/// round, so that it fills a cone from the lip to the ring.
///
/// Everything is measured from the middle of the lip, forward along the rod. The ring stands square
/// to the rod. A line from a point of the lip goes to the nearest point of the ring's inside; its
/// angle is that to the axis of the rod, which is also how far the line turns at the ring when it
/// goes on along the rod.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpoolLine {
    /// Diameter of the spool's lip, above zero.
    pub spool: Length,
    /// The middle of the lip over the axis of the blank, more than half the spool.
    pub height: Length,
    /// How far the spool's axis leans, -30 to 30 degrees; above zero where it nears the blank on
    /// its way to the tip.
    pub tilt: Angle,
    /// Inside diameter of the ring, above zero.
    pub ring: Length,
    /// The middle of the ring over the axis of the blank, more than half its inside.
    pub ring_height: Length,
}

impl SpoolLine {
    /// The nearest place in front of the lip at which no line is steeper than `greatest`, 0.1 to
    /// 60 degrees. Farther away every line is flatter.
    ///
    /// With R and r half of spool and ring, t the tilt, e the spool's height less the ring's and
    /// c = -1 to 1 the place on the lip (1 on top), the line starts `R c sin t` in front of the
    /// lip's middle and, seen along the rod, `sqrt(R² + e² + 2 e R c cos t - R² c² sin² t)` from the
    /// middle of the ring. The ring must be in front of it by that distance less r, over
    /// `tan greatest`. The largest over c is wanted; the root is concave in c, so there is one peak.
    /// With spool and ring on one axis it is `(R - r) / tan greatest`. Derived here, geometry.
    pub fn nearest(&self, greatest: Angle) -> Result<Length, GuideError> {
        let cone = self.cone()?;
        let slope = steepest_slope(greatest)?;
        let (_, farthest) = peak(-1.0, 1.0, |c| cone.starts(c) + (cone.off(c) - cone.ring) / slope);
        // Where the ring is so wide that every line passes straight, it only must clear the lip.
        Ok(Length::new::<meter>(farthest.max(cone.lip())))
    }

    /// The angle of the steepest line into a ring at `from_lip` in front of the lip's middle; zero
    /// where every line passes straight. The same geometry as [`SpoolLine::nearest`].
    pub fn steepest_at(&self, from_lip: Length) -> Result<Angle, GuideError> {
        let cone = self.cone()?;
        positive("The distance of the first guide from the spool", from_lip)?;
        let at = from_lip.get::<meter>();
        if at <= cone.lip() {
            let lip = Length::new::<meter>(cone.lip());
            return Err(GuideError::BehindTheLip { from_spool: from_lip, lip });
        }
        let (_, slope) = peak(-1.0, 1.0, |c| (cone.off(c) - cone.ring) / (at - cone.starts(c)));
        Ok(Angle::new::<radian>(slope.max(0.0).atan()))
    }

    /// Where in front of the lip the spool's axis meets the middle of the ring, if it does: there
    /// the cone of line is even all round. `e / tan t`, geometry.
    pub fn aims_at(&self) -> Result<Option<Length>, GuideError> {
        self.cone()?;
        let at = (self.height - self.ring_height) / self.tilt.tan().value;
        Ok(above_zero(at).then_some(at))
    }

    fn cone(&self) -> Result<Cone, GuideError> {
        positive("The diameter of the spool", self.spool)?;
        positive("The height of the spool", self.height)?;
        let tilt = within("The tilt of the spool", self.tilt, -MOST_TILT_DEG, MOST_TILT_DEG)?;
        check_ring(self.ring, self.ring_height)?;
        if self.height <= self.spool / 2.0 {
            return Err(GuideError::SpoolInBlank { spool: self.spool, height: self.height });
        }
        let (sine, cosine) = tilt.to_radians().sin_cos();
        Ok(Cone {
            spool: self.spool.get::<meter>() / 2.0,
            ring: self.ring.get::<meter>() / 2.0,
            above: (self.height - self.ring_height).get::<meter>(),
            sine,
            cosine,
        })
    }
}

/// Radii and distances in metres.
struct Cone {
    spool: f64,
    ring: f64,
    above: f64,
    sine: f64,
    cosine: f64,
}

impl Cone {
    /// How far in front of the lip's middle the line starts.
    fn starts(&self, c: f64) -> f64 {
        self.spool * c * self.sine
    }

    /// How far the tilted lip reaches forward.
    fn lip(&self) -> f64 {
        self.spool * self.sine.abs()
    }

    /// How far off the ring's middle it starts, seen along the rod.
    fn off(&self, c: f64) -> f64 {
        let across = self.spool * (1.0 - c * c).max(0.0).sqrt();
        across.hypot(self.above + self.spool * c * self.cosine)
    }
}

/// A casting or conventional reel and the ring of the first guide: the line comes from a level-wind
/// that travels to and fro, or from the spool itself where there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelWind {
    /// From end to end of the line's travel, above zero.
    pub travel: Length,
    /// The line at the reel over the axis of the blank, above zero.
    pub height: Length,
    /// Inside diameter of the ring, above zero.
    pub ring: Length,
    /// The middle of the ring over the axis of the blank, more than half its inside.
    pub ring_height: Length,
}

impl LevelWind {
    /// The nearest place in front of the level-wind at which the line runs sideways by no more than
    /// `greatest`, 0.1 to 60 degrees: `(travel - ring) / (2 tan greatest)`, from the end of the
    /// travel to the nearest edge of the ring; zero where the ring is wider than the travel.
    /// Geometry.
    pub fn nearest(&self, greatest: Angle) -> Result<Length, GuideError> {
        self.check()?;
        let off = (self.travel - self.ring) / 2.0;
        Ok((off / steepest_slope(greatest)?).max(Length::new::<meter>(0.0)))
    }

    /// How far the line runs sideways at the end of its travel, with the ring at `from_reel` (above
    /// zero) in front of the level-wind. The same geometry as [`LevelWind::nearest`].
    pub fn sideways_at(&self, from_reel: Length) -> Result<Angle, GuideError> {
        self.check()?;
        positive("The distance of the first guide from the reel", from_reel)?;
        let slope = ((self.travel - self.ring) / 2.0 / from_reel).value;
        Ok(Angle::new::<radian>(slope.max(0.0).atan()))
    }

    /// How far the line falls (above zero) or rises towards the middle of the ring, with the ring
    /// at `from_reel` (above zero) in front of the level-wind. Geometry.
    pub fn falls_at(&self, from_reel: Length) -> Result<Angle, GuideError> {
        self.check()?;
        positive("The distance of the first guide from the reel", from_reel)?;
        Ok(Angle::new::<radian>(((self.height - self.ring_height) / from_reel).value.atan()))
    }

    fn check(&self) -> Result<(), GuideError> {
        positive("The travel of the level-wind", self.travel)?;
        positive("The height of the level-wind", self.height)?;
        check_ring(self.ring, self.ring_height)
    }
}

/// Where the stripping guide of a fly rod goes, from the butt: as far in front of the hand on the
/// grip as the other arm reaches when the line is pulled in. `hand` is the place of that hand from
/// the butt, zero or more; `reach` how far the other one reaches in front of it, 0.3 to 1.2 m.
pub fn stripping_guide(hand: Length, reach: Length) -> Result<Suggestion<Length>, GuideError> {
    if !zero_or_more(hand) {
        return Err(GuideError::BadPlace { what: "The hand on the grip", given: hand });
    }
    positive("The reach of the arm", reach)?;
    if !(0.3..=1.2).contains(&reach.get::<meter>()) {
        return Err(GuideError::ArmReach { given: reach });
    }
    Ok(Suggestion {
        value: hand + reach,
        why: "Within reach of the arm that pulls the line in. Common practice, no source: try it with the owner of the rod.",
    })
}

fn check_ring(inside: Length, height: Length) -> Result<(), GuideError> {
    positive("The inside of the ring", inside)?;
    positive("The height of the ring", height)?;
    if height > inside / 2.0 { Ok(()) } else { Err(GuideError::RingInBlank { inside, height }) }
}

fn steepest_slope(greatest: Angle) -> Result<f64, GuideError> {
    let degrees = within("The greatest angle of the line", greatest, FLATTEST_DEG, STEEPEST_DEG)?;
    Ok(degrees.to_radians().tan())
}
