//! What cutting off the tip or the butt does to the bend.
//!
//! Sawing and sanding a blank makes fine dust and splinters that go into skin and lungs: the step
//! that shows a figure carries that caution, and the blank's data sheet goes before it.

use super::mesh::{GAUSS, cut_up};
use super::{BendError, Curve, Loads, SAME_PLACE, STATIONS, Stiffness, TipLoad, m, solve};
use uom::ConstZero;
use uom::si::f64::{Angle, Length, SurfaceTension};
use uom::si::length::{inch, meter};
use uom::si::surface_tension::newton_per_meter;

/// How much is cut off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Off the tip; zero or more.
    pub tip: Length,
    /// Off the butt; zero or more.
    pub butt: Length,
}

/// A tube size of a tip guide: named in 64ths of an inch, with half sizes (common practice, no
/// source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TipTube {
    half_sizes: u32,
}

/// A blank before or after a cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Trimmed {
    /// The blank.
    pub stiffness: Stiffness,
    /// Its curve under the load.
    pub curve: Curve,
    /// How far the load moves the tip.
    pub deflection: Length,
    /// Load over deflection for a small load across the tip.
    pub tip_stiffness: SurfaceTension,
    /// Outside diameter of the tip.
    pub tip_diameter: Length,
    /// The smallest tip tube that slides over it.
    pub tip_tube: TipTube,
}

/// What a cut does.
#[derive(Debug, Clone, PartialEq)]
pub struct TrimEffect {
    /// As it is.
    pub before: Trimmed,
    /// After the cut.
    pub after: Trimmed,
}

impl TipTube {
    /// The smallest size whose bore is `diameter` (0 to 60 mm) and `clearance` (zero or more) or
    /// wider; None for anything else.
    ///
    /// A size is taken to be its bore: size / 64 in. Makers differ by some hundredths of a
    /// millimetre, so try it on.
    pub fn over(diameter: Length, clearance: Length) -> Option<Self> {
        let wide = (diameter + clearance).get::<inch>();
        let known = diameter.value >= 0.0 && clearance.value >= 0.0 && wide <= 2.5;
        // A diameter converted from inches and back must not cost half a size.
        let half_sizes = (wide * 128.0 * (1.0 - 1e-9)).ceil();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        known.then_some(Self { half_sizes: half_sizes as u32 })
    }

    /// In 64ths of an inch; halves exist.
    pub fn size(self) -> f64 {
        f64::from(self.half_sizes) / 2.0
    }

    /// Its bore.
    pub fn bore(self) -> Length {
        Length::new::<inch>(f64::from(self.half_sizes) / 128.0)
    }
}

impl Stiffness {
    /// The blank with so much cut off. An error where nothing is left, or nothing can be cut.
    pub fn trimmed(&self, cut: Cut) -> Result<Self, BendError> {
        let (tip, butt) = (cut.tip.get::<meter>(), cut.butt.get::<meter>());
        let length = self.profile.length;
        let known = tip >= 0.0 && butt >= 0.0 && tip + butt < length - SAME_PLACE;
        if !known {
            return Err(BendError::TrimTooLong { length: m(length) });
        }
        Ok(self.part(butt, length - tip))
    }

    /// How stiff the blank is against a small load across its tip with the butt held fast: the load
    /// over how far the tip goes, `1 / ∫ (L - s)² / (E I) ds` (linear beam theory, any
    /// strength-of-materials text).
    pub fn tip_stiffness(&self) -> SurfaceTension {
        let profile = &self.profile;
        let nodes = cut_up(profile, [].into_iter(), STATIONS);
        let mut give = 0.0;
        for two in nodes.windows(2) {
            let half = (two[1] - two[0]) / 2.0;
            let stretch = profile.index_at(two[0] + half);
            for (at, weight) in GAUSS {
                let s = two[0] + half * (1.0 + at);
                let arm = profile.length - s;
                give += half * weight * arm * arm / profile.rigidity(stretch, s).0;
            }
        }
        SurfaceTension::new::<newton_per_meter>(1.0 / give)
    }
}

/// The blank before and after a cut, the butt held at `butt` and the same load on the tip; the tip
/// tube without clearance.
pub fn trim(
    stiffness: &Stiffness,
    cut: Cut,
    butt: Angle,
    load: TipLoad,
) -> Result<TrimEffect, BendError> {
    let look = |stiffness: Stiffness| -> Result<Trimmed, BendError> {
        let loads = Loads { butt, tip: Some(load), ..Loads::default() };
        let curve = solve(&stiffness, &loads)?;
        let tip = curve.tip();
        let length = stiffness.length();
        let straight = [length * butt.cos(), length * butt.sin()];
        let tip_diameter = stiffness.diameter_at(length);
        let tip_tube = TipTube::over(tip_diameter, Length::ZERO);
        Ok(Trimmed {
            tip_tube: tip_tube.ok_or(BendError::Diameter { at: length })?,
            deflection: (tip.x - straight[0]).hypot(tip.y - straight[1]),
            tip_stiffness: stiffness.tip_stiffness(),
            tip_diameter,
            curve,
            stiffness,
        })
    };
    Ok(TrimEffect { before: look(stiffness.clone())?, after: look(stiffness.trimmed(cut)?)? })
}
