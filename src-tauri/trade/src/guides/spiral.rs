//! Guides that turn from the top of the blank to its underside.

use super::{GuideError, Layout, peak, positive, within};
use crate::blank::Blank;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

/// To which side the guides turn, seen from the butt with the reel on top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Side {
    /// The other side.
    #[must_use]
    pub fn mirrored(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// How far each guide is turned from the top of the blank: 0 degrees on top, where the reel is, 180
/// on the underside. The tip-top is on the underside.
#[derive(Debug, Clone, PartialEq)]
pub struct Spiral {
    side: Side,
    /// From the tip, in degrees, never growing.
    degrees: Vec<f64>,
}

/// A straight line from the middle of one ring to the next, and the blank under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpanClearance {
    /// The guide at its end nearer the tip; 0 is the tip-top.
    pub number: usize,
    /// Where the line comes nearest to the blank, from the butt.
    pub at: Length,
    /// Between line and surface there, square to the axis; below zero where the line would cut
    /// through the blank.
    pub clearance: Length,
}

impl SpanClearance {
    /// The one of them where the line runs nearest to the blank; None of none.
    pub fn tightest(spans: &[Self]) -> Option<Self> {
        spans.iter().copied().reduce(|a, b| if b.clearance < a.clearance { b } else { a })
    }
}

impl Spiral {
    /// A spiral for `count` guides: the first `at_top` of them, counted from the reel, on top, then
    /// `turning` guides (at least one) that turn in even steps, the last of them and all that
    /// follow on the underside. An even split is common practice, no source.
    pub fn evenly(
        count: usize,
        at_top: usize,
        turning: usize,
        side: Side,
    ) -> Result<Self, GuideError> {
        if turning == 0 || at_top.saturating_add(turning) > count {
            return Err(GuideError::Turning { at_top, turning, count });
        }
        let mut degrees = vec![0.0; at_top];
        let steps = u32::try_from(turning).unwrap_or(u32::MAX);
        degrees.extend((1..=steps).map(|step| 180.0 * f64::from(step) / f64::from(steps)));
        degrees.resize(count, 180.0);
        degrees.reverse();
        Ok(Self { side, degrees })
    }

    /// A spiral by given angles, one for each guide from the tip, 0 to 180 degrees and none larger
    /// than the one before it.
    pub fn by_angles(from_tip: &[Angle], side: Side) -> Result<Self, GuideError> {
        if from_tip.is_empty() {
            return Err(GuideError::NoGuides);
        }
        let mut before = 180.0;
        let mut degrees = Vec::with_capacity(from_tip.len());
        for (number, &angle) in (1..).zip(from_tip) {
            let here = within("The angle of a guide", angle, 0.0, 180.0)?;
            if here > before {
                return Err(GuideError::TurnsBack { number: number - 1 });
            }
            degrees.push(here);
            before = here;
        }
        Ok(Self { side, degrees })
    }

    /// To which side it turns.
    pub fn side(&self) -> Side {
        self.side
    }

    /// How far each guide is turned, from the tip.
    pub fn angles(&self) -> Vec<Angle> {
        self.degrees.iter().map(|&degrees| Angle::new::<degree>(degrees)).collect()
    }

    /// The same spiral to the other side.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { side: self.side.mirrored(), degrees: self.degrees.clone() }
    }

    /// Where the middle of a ring is that stands `height` (above zero) over the axis, for a drawing
    /// seen along the blank from the butt: how far to the right of the axis (below zero to the
    /// left), and how far over it (below zero on the underside). `number` counts from the tip; 0 is
    /// the tip-top. Geometry.
    pub fn across(&self, number: usize, height: Length) -> Result<(Length, Length), GuideError> {
        positive("The height of a ring", height)?;
        let count = self.degrees.len();
        let degrees = match number.checked_sub(1) {
            None => 180.0,
            Some(index) => {
                *self.degrees.get(index).ok_or(GuideError::NoSuchGuide { number, count })?
            }
        };
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let right = match self.side {
            Side::Left => -sine,
            Side::Right => sine,
        };
        Ok((height * right, height * cosine))
    }

    /// How near the line comes to a straight blank between each ring and the next, from the tip-top
    /// to the first guide. `heights` are those of the guides from the tip, `tip_height` that of the
    /// tip-top's ring, over the axis of the blank.
    ///
    /// The line runs straight from the middle of one ring to the middle of the next; one that lies
    /// on the edge of a ring runs nearer the blank by up to half the ring's inside. Between two
    /// measured diameters the distance to the axis is convex and the taper straight, so there is
    /// one nearest place. Geometry. Beyond the measured diameters the nearest one is taken.
    pub fn clearances(
        &self,
        layout: &Layout,
        heights: &[Length],
        tip_height: Length,
        blank: &Blank,
    ) -> Result<Vec<SpanClearance>, GuideError> {
        let count = layout.count();
        for (what, given) in [("Heights", heights.len()), ("Angles", self.degrees.len())] {
            if given != count {
                return Err(GuideError::CountDiffers { what, given, count });
            }
        }
        let mut near_tip = self.ring(0, layout.length(), tip_height, blank)?;
        let mut found = Vec::with_capacity(count);
        for (number, (at, &height)) in (1..).zip(layout.from_butt().into_iter().zip(heights)) {
            let near_butt = self.ring(number, at, height, blank)?;
            found.push(nearest(number - 1, &near_butt, &near_tip, blank));
            near_tip = near_butt;
        }
        Ok(found)
    }

    fn ring(
        &self,
        number: usize,
        at: Length,
        height: Length,
        blank: &Blank,
    ) -> Result<Middle, GuideError> {
        let (right, over) = self.across(number, height)?;
        let diameter = blank.diameter_at(at);
        if height <= diameter / 2.0 {
            return Err(GuideError::HeightInBlank { number, height, blank: diameter });
        }
        let (right, over) = (right.get::<meter>(), over.get::<meter>());
        Ok(Middle { at: at.get::<meter>(), right, over })
    }
}

/// The middle of a ring, in metres: from the butt, to the right of the axis, and over it.
struct Middle {
    at: f64,
    right: f64,
    over: f64,
}

/// Where the line from one ring to the next comes nearest to the blank.
fn nearest(number: usize, butt: &Middle, tip: &Middle, blank: &Blank) -> SpanClearance {
    let mut edges = vec![butt.at, tip.at];
    let measured = blank.stations().iter().map(|station| station.from_butt.get::<meter>());
    edges.extend(measured.filter(|&at| at > butt.at && at < tip.at));
    edges.sort_by(f64::total_cmp);
    let closeness = |at: f64| {
        let part = (at - butt.at) / (tip.at - butt.at);
        let right = butt.right + (tip.right - butt.right) * part;
        let over = butt.over + (tip.over - butt.over) * part;
        blank.diameter_at(Length::new::<meter>(at)).get::<meter>() / 2.0 - right.hypot(over)
    };
    let (at, closest) = edges
        .iter()
        .zip(edges.iter().skip(1))
        .map(|(&from, &to)| peak(from, to, closeness))
        .reduce(|best, here| if here.1 > best.1 { here } else { best })
        .unwrap_or((butt.at, closeness(butt.at)));
    SpanClearance {
        number,
        at: Length::new::<meter>(at),
        clearance: Length::new::<meter>(-closest),
    }
}
