//! How stiff and how heavy the blank is along its length.

use super::profile::{Fitted, Profile, Stretch};
use super::{BendError, BendWarning, SAME_PLACE, m};
use crate::blank::Measured;
use uom::si::f64::{Length, LinearMassDensity, Mass, MassDensity, Pressure, Ratio};
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N2, P1, P3, Z0};

/// Bending stiffness E I; `.value` is in N m².
pub type Rigidity = Quantity<ISQ<P3, P1, N2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

const LONGEST: f64 = 20.0;
const THICKEST: f64 = 0.06;
pub(super) const HEAVIEST: f64 = 20.0;

/// The wall of the blank.
#[derive(Debug, Clone, PartialEq)]
pub enum Wall {
    /// No bore.
    Solid,
    /// One thickness throughout; above zero.
    Even(Length),
    /// Thicknesses at distances from the butt, in order, on straight lines between; above zero, and
    /// nowhere more than half the diameter.
    At(Vec<(Length, Length)>),
}

/// The modulus of the blank along its length: 1 to 1000 gigapascals.
///
/// Unidirectional carbon in epoxy is printed with 110 to 180 gigapascals, glass with 40 to 45 gigapascals (makers'
/// open tables); a blank also has plies across and is softer. Fit it to a load test.
#[derive(Debug, Clone, PartialEq)]
pub enum Modulus {
    /// One value throughout.
    Even(Pressure),
    /// Values at distances from the butt, in order, on straight lines between.
    At(Vec<(Length, Pressure)>),
}

/// A place where two pieces meet. No diameter is drawn across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Join {
    /// Where the pieces meet, as a distance from the butt of the assembled blank.
    pub at: Length,
    /// Where the ferrule begins, at the join or before it.
    pub from: Length,
    /// Where it ends, at the join or after it.
    pub to: Length,
    /// How many times stiffer than the blank by itself it makes this stretch, 0.1 to 10. It adds no
    /// weight: give that as a [`super::PointMass`].
    pub factor: Ratio,
}

/// The blank as a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// Length of the assembled blank, at most 20 m.
    pub length: Length,
    /// Outside diameters, from butt to tip, at least two, at most 60 mm; straight lines between.
    pub measured: Vec<Measured>,
    /// Where pieces meet, from butt to tip.
    pub joins: Vec<Join>,
    /// The wall.
    pub wall: Wall,
    /// The modulus.
    pub modulus: Modulus,
}

/// Bending stiffness and mass of a blank along its length.
#[derive(Debug, Clone, PartialEq)]
pub struct Stiffness {
    pub(super) profile: Profile,
    warnings: Vec<BendWarning>,
}

impl Stiffness {
    /// From a tube: `E pi (D⁴ - d⁴) / 64` (second moment of an annulus, any strength-of-materials
    /// text). Outside what was measured on a piece the nearest reading is taken, with a warning.
    pub fn of(tube: &Tube) -> Result<Self, BendError> {
        let length = tube.length.get::<meter>();
        if !(length > 0.0 && length <= LONGEST) {
            return Err(BendError::BlankLength);
        }
        let readings = checked_readings(tube)?;
        let wall = match &tube.wall {
            Wall::Solid => None,
            Wall::Even(wall) => Some(vec![(0.0, wall.get::<meter>())]),
            Wall::At(walls) => {
                let walls: Vec<_> = walls.iter().map(|w| (w.0.value, w.1.value)).collect();
                Some(in_order("The places of the wall", walls, length)?)
            }
        };
        if wall.iter().flatten().any(|w| !(w.1 > 0.0 && w.1.is_finite())) {
            return Err(BendError::NoWall);
        }
        let modulus = match &tube.modulus {
            Modulus::Even(modulus) => vec![(0.0, modulus.get::<pascal>())],
            Modulus::At(values) => {
                let values = values.iter().map(|v| (v.0.value, v.1.value)).collect();
                in_order("The places of the modulus", values, length)?
            }
        };
        if modulus.iter().any(|v| !(1e9..=1e12).contains(&v.1)) {
            return Err(BendError::Modulus);
        }
        let joins = checked_joins(tube)?;

        let mut borders = vec![0.0, length];
        borders.extend(readings.iter().chain(wall.iter().flatten()).chain(&modulus).map(|r| r.0));
        borders.extend(joins.iter().flat_map(|join| [join.at, join.from, join.to]));
        borders.retain(|s| *s <= length);
        let borders = one_place(borders);
        let pieces = pieces(&readings, &joins, length)?;
        let mut stretches = Vec::with_capacity(borders.len());
        for (&from, &to) in borders.iter().zip(&borders[1..]) {
            let middle = f64::midpoint(from, to);
            let own = pieces.iter().find(|piece| middle < piece.to).or(pieces.last());
            let own = own.map_or(&[][..], |piece| piece.readings);
            let ends = |values: &[(f64, f64)]| [nearest(values, from), nearest(values, to)];
            let diameter = ends(own);
            let half = diameter.map(|d| d / 2.0);
            let walls = wall.as_ref().map_or(half, |wall| ends(wall));
            for (end, at) in [from, to].into_iter().enumerate() {
                // What a conversion from inches may lose must not turn a solid tip away.
                if walls[end] > half[end] * (1.0 + 1e-9) {
                    let (wall, diameter) = (m(walls[end]), m(diameter[end]));
                    return Err(BendError::WallTooThick { at: m(at), wall, diameter });
                }
            }
            let ferrule = joins.iter().find(|join| join.from < middle && middle < join.to);
            stretches.push(Stretch {
                from,
                to,
                diameter,
                wall: [walls[0].min(half[0]), walls[1].min(half[1])],
                modulus: ends(&modulus),
                factor: ferrule.map_or(1.0, |join| join.factor),
            });
        }
        let mut warnings = Vec::new();
        for piece in &pieces {
            unmeasured("The diameter", piece.readings, piece.from, piece.to, &mut warnings);
        }
        if let Wall::At(_) = tube.wall {
            let walls = wall.as_deref().unwrap_or_default();
            unmeasured("The wall", walls, 0.0, length, &mut warnings);
        }
        if let Modulus::At(_) = tube.modulus {
            unmeasured("The modulus", &modulus, 0.0, length, &mut warnings);
        }
        let fitted = Fitted { scale: 1.0, taper: 0.0, over: length };
        Ok(Self { profile: Profile { stretches, length, density: None, fitted }, warnings })
    }

    /// With the mass that a density of the laminate gives, 0.1 to 20 g/cm³.
    pub fn with_density(mut self, density: MassDensity) -> Result<Self, BendError> {
        let density = density.get::<kilogram_per_cubic_meter>();
        if !(100.0..=20_000.0).contains(&density) {
            return Err(BendError::Density);
        }
        self.profile.density = Some(density);
        Ok(self)
    }

    /// With the mass of the bare blank as weighed, above zero and at most 20 kg, spread over the
    /// area of its sections.
    pub fn with_weight(mut self, weight: Mass) -> Result<Self, BendError> {
        let weight = weight.get::<kilogram>();
        if !(weight > 0.0 && weight <= HEAVIEST) {
            return Err(BendError::Mass { what: "The blank" });
        }
        self.profile.density = Some(weight / self.profile.material_in_all());
        Ok(self)
    }

    /// Length of the blank.
    pub fn length(&self) -> Length {
        m(self.profile.length)
    }

    /// E I at a place; outside the blank that of its end. Where it steps, the value on the tip
    /// side.
    pub fn at(&self, from_butt: Length) -> Rigidity {
        let s = from_butt.value.clamp(0.0, self.profile.length);
        let value = self.profile.rigidity(self.profile.index_at(s), s).0;
        Rigidity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value }
    }

    /// Outside diameter at a place; outside the blank that of its end.
    pub fn diameter_at(&self, from_butt: Length) -> Length {
        m(self.profile.diameter_at(from_butt.value.clamp(0.0, self.profile.length)))
    }

    /// Mass per length at a place, None if neither density nor weight is known.
    pub fn mass_per_length(&self, from_butt: Length) -> Option<LinearMassDensity> {
        let s = from_butt.value.clamp(0.0, self.profile.length);
        self.profile.density?;
        let value = self.profile.mass_per_length(self.profile.index_at(s), s);
        Some(LinearMassDensity::new::<kilogram_per_meter>(value))
    }

    /// Mass of the blank, None if neither density nor weight is known.
    pub fn mass(&self) -> Option<Mass> {
        let density = self.profile.density?;
        Some(Mass::new::<kilogram>(density * self.profile.material_in_all()))
    }

    /// The part between two places, which becomes a blank of its own.
    pub(super) fn part(&self, from: f64, to: f64) -> Self {
        let (start, end) = (m(from), m(to));
        let warnings = self.warnings.iter().filter_map(|&warning| match warning {
            BendWarning::Unmeasured { what, from, to } if from < end && to > start => {
                let (from, to) = (from.max(start) - start, to.min(end) - start);
                Some(BendWarning::Unmeasured { what, from, to })
            }
            _ => None,
        });
        Self { warnings: warnings.collect(), profile: self.profile.cut(from, to) }
    }

    /// What to tell beside every figure made of it.
    pub fn warnings(&self) -> &[BendWarning] {
        &self.warnings
    }
}

struct OwnJoin {
    at: f64,
    from: f64,
    to: f64,
    factor: f64,
}

/// A piece between butt, joins and tip with its readings.
struct Piece<'a> {
    from: f64,
    to: f64,
    readings: &'a [(f64, f64)],
}

fn checked_readings(tube: &Tube) -> Result<Vec<(f64, f64)>, BendError> {
    if tube.measured.len() < 2 {
        return Err(BendError::TooFew);
    }
    for &Measured { from_butt, diameter } in &tube.measured {
        if !(diameter.value > 0.0 && diameter.value <= THICKEST) {
            return Err(BendError::Diameter { at: from_butt });
        }
    }
    let readings = tube.measured.iter().map(|r| (r.from_butt.value, r.diameter.value)).collect();
    in_order("The diameters", readings, tube.length.value)
}

fn checked_joins(tube: &Tube) -> Result<Vec<OwnJoin>, BendError> {
    let mut free_from = 0.0;
    let mut joins = Vec::with_capacity(tube.joins.len());
    for join in &tube.joins {
        let [at, from, to] = [join.at, join.from, join.to].map(|place| place.get::<meter>());
        let factor = join.factor.get::<ratio>();
        let inside = at > 0.0 && at < tube.length.value && to <= tube.length.value;
        if !(inside && from >= free_from && from <= at && at <= to) {
            return Err(BendError::Ferrule);
        }
        if !(0.1..=10.0).contains(&factor) {
            return Err(BendError::Factor);
        }
        joins.push(OwnJoin { at, from, to, factor });
        free_from = to;
    }
    Ok(joins)
}

/// Pairs of place and value if they run from butt to tip; at least one.
fn in_order(
    what: &'static str,
    mut pairs: Vec<(f64, f64)>,
    length: f64,
) -> Result<Vec<(f64, f64)>, BendError> {
    let off = BendError::OffTheBlank { what, length: m(length) };
    if pairs.is_empty() {
        return Err(off);
    }
    for pair in &mut pairs {
        if !(pair.0 >= 0.0 && pair.0 <= length + SAME_PLACE) {
            return Err(off);
        }
        pair.0 = pair.0.min(length);
    }
    if pairs.windows(2).any(|two| two[1].0 - two[0].0 <= SAME_PLACE) {
        return Err(BendError::NotInOrder { what });
    }
    Ok(pairs)
}

fn pieces<'a>(
    readings: &'a [(f64, f64)],
    joins: &[OwnJoin],
    length: f64,
) -> Result<Vec<Piece<'a>>, BendError> {
    let mut rest = readings;
    let mut from = 0.0;
    let mut found = Vec::with_capacity(joins.len() + 1);
    for to in joins.iter().map(|join| join.at).chain([length]) {
        let last = to >= length;
        let here = rest.partition_point(|r| last || r.0 < to - SAME_PLACE);
        let (own, after) = rest.split_at(here);
        if own.is_empty() {
            return Err(BendError::PieceNotMeasured { from: m(from), to: m(to) });
        }
        found.push(Piece { from, to, readings: own });
        (rest, from) = (after, to);
    }
    Ok(found)
}

/// In order, places that are one kept once. The first and the last place stay as they are.
pub(super) fn one_place(mut places: Vec<f64>) -> Vec<f64> {
    places.sort_by(f64::total_cmp);
    let last = places.last().copied();
    places.dedup_by(|a, b| *a - *b <= SAME_PLACE);
    if let (Some(end), Some(last)) = (places.last_mut(), last) {
        *end = last;
    }
    places
}

/// On the straight line between the neighbours, outside the nearest.
fn nearest(values: &[(f64, f64)], s: f64) -> f64 {
    let after = values.partition_point(|v| v.0 <= s);
    let Some(&before) = values[..after].last() else {
        return values.first().map_or(f64::NAN, |v| v.1);
    };
    let Some(&next) = values.get(after) else { return before.1 };
    before.1 + (next.1 - before.1) * (s - before.0) / (next.0 - before.0)
}

fn unmeasured(
    what: &'static str,
    values: &[(f64, f64)],
    from: f64,
    to: f64,
    warnings: &mut Vec<BendWarning>,
) {
    let (Some(first), Some(last)) = (values.first(), values.last()) else { return };
    for (a, b) in [(from, first.0), (last.0, to)] {
        if b - a > SAME_PLACE {
            warnings.push(BendWarning::Unmeasured { what, from: m(a), to: m(b) });
        }
    }
}
