//! The line through the guides: how it runs, and what it does to each guide.

use super::load::ActingLine;
use super::{Plane, cross, dot};
use uom::si::f64::{Angle, Force, Length, Torque};

/// A straight stretch of line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineSpan {
    /// Place on the blank of the reel or guide nearer the butt.
    pub from_butt: Length,
    /// Place on the blank of the guide nearer the tip.
    pub to: Length,
    /// How long.
    pub length: Length,
    /// Its direction towards the tip.
    pub direction: Angle,
    /// Its tension.
    pub tension: Force,
    /// The least distance from the line to the surface of the bent blank, on the side where the
    /// guide nearer the tip stands; below zero where the line would lie inside the blank.
    pub clearance: Length,
    /// Where on the blank that is.
    pub nearest: Length,
    /// Whether the line would touch the blank. Contact is not worked out.
    pub touches: bool,
}

/// What the line does to a guide, or to the reel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideLoad {
    /// Its place on the blank.
    pub from_butt: Length,
    /// Where the line runs through it.
    pub x: Length,
    /// Where the line runs through it, down.
    pub y: Length,
    /// Force on it.
    pub force_x: Force,
    /// Force on it, down.
    pub force_y: Force,
    /// How strong that is.
    pub force: Force,
    /// Moment of it about the axis of the blank, because of its height.
    pub moment: Torque,
    /// How much the line turns in it, zero or more; zero at the reel.
    pub turn: Angle,
}

/// The line at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePath {
    /// The reel, then the guides from butt to tip.
    pub loads: Vec<GuideLoad>,
    /// From the reel to the first guide, and on to the last.
    pub spans: Vec<LineSpan>,
    /// From the reel to the last guide along the line.
    pub length: Length,
    /// Tension at the reel.
    pub at_reel: Force,
}

/// The line while the rod bends.
pub(super) struct Line {
    /// Of the reel and each guide.
    pub(super) ring: Vec<Plane>,
    pub(super) force: Vec<Plane>,
    /// Of each span: unit vector towards the tip, the one across, length and tension.
    pub(super) along: Vec<Plane>,
    pub(super) across: Vec<Plane>,
    pub(super) long: Vec<f64>,
    pub(super) tension: Vec<f64>,
    /// How far the line turns in each guide.
    pub(super) turn: Vec<f64>,
}

impl Line {
    pub(super) fn new(acting: &ActingLine) -> Self {
        let rings = acting.rings.len();
        Self {
            ring: vec![[0.0; 2]; rings],
            force: vec![[0.0; 2]; rings],
            along: vec![[0.0; 2]; rings - 1],
            across: vec![[0.0; 2]; rings - 1],
            long: vec![0.0; rings - 1],
            tension: vec![0.0; rings - 1],
            turn: vec![0.0; rings],
        }
    }

    /// For nodes at these places with these slopes, under a share of the load.
    ///
    /// With friction the tension falls or grows by `exp(µ φ)` in a guide that turns it by φ (the
    /// capstan equation, Euler-Eytelwein; any text on statics).
    pub(super) fn stretch(
        &mut self,
        acting: &ActingLine,
        share: f64,
        nodes: impl Iterator<Item = (Plane, f64)>,
    ) {
        for ((ring, (place, slope)), (_, height)) in
            self.ring.iter_mut().zip(nodes).zip(&acting.rings)
        {
            *ring = [place[0] - height * slope.sin(), place[1] + height * slope.cos()];
        }
        let (mut ahead, mut tension) = (acting.direction, share * acting.tension);
        let mut force = [tension * ahead[0], tension * ahead[1]];
        for k in (0..self.along.len()).rev() {
            let (a, b) = (self.ring[k], self.ring[k + 1]);
            let span = [b[0] - a[0], b[1] - a[1]];
            let long = span[0].hypot(span[1]);
            let along = [span[0] / long, span[1] / long];
            let turn = cross(along, ahead).atan2(dot(along, ahead)).abs();
            tension *= (acting.friction * turn).exp();
            self.turn[k + 1] = turn;
            self.force[k + 1] = [force[0] - tension * along[0], force[1] - tension * along[1]];
            force = [tension * along[0], tension * along[1]];
            (self.along[k], self.long[k], self.tension[k]) = (along, long, tension);
            self.across[k] = [-along[1], along[0]];
            ahead = along;
        }
        self.force[0] = force;
    }

    pub(super) fn slack(&self) -> bool {
        self.tension.iter().any(|tension| *tension <= 0.0)
    }

    /// How hard each span resists being pushed aside, N/m; empty when the line is slack.
    pub(super) fn pulls(&self) -> Vec<f64> {
        if self.slack() {
            return Vec::new();
        }
        self.tension.iter().zip(&self.long).map(|(tension, long)| tension / long).collect()
    }
}
