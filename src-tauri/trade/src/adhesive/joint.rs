//! The room that a joint leaves for adhesive.

use super::{AdhesiveError, above_zero};
use std::f64::consts::PI;
use uom::si::f64::{Length, Ratio, Volume};
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

/// Bore and blank at one place of the joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Where, along the rod, from any zero.
    pub at: Length,
    /// Inside diameter of the grip, seat or bushing there.
    pub bore: Length,
    /// Outside diameter of the blank, or of the build-up on it, there.
    pub blank: Length,
}

/// Most that may be taken as lost.
const MOST_LOST: f64 = 0.95;

/// The volume between bore and blank along a joint, both straight between the places measured.
/// Two places with the same `at` are a step in the bore.
///
/// Two places or more, in order; diameters above zero; the bore nowhere narrower than the blank
/// (it may touch). Source: difference of two frusta of a cone, `pi L / 12 (D1² + D1 D2 + D2²)`
/// (mensuration).
pub fn joint_volume(sections: &[Section]) -> Result<Volume, AdhesiveError> {
    let mut places = Vec::with_capacity(sections.len());
    for (row, section) in sections.iter().enumerate() {
        let at = section.at.get::<meter>();
        let (bore, blank) = (section.bore.get::<meter>(), section.blank.get::<meter>());
        if !(at.is_finite() && above_zero(bore) && above_zero(blank)) {
            return Err(AdhesiveError::Section { row });
        }
        if bore < blank {
            return Err(AdhesiveError::BoreTooNarrow { row });
        }
        places.push((at, bore, blank));
    }
    if places.len() < 2 {
        return Err(AdhesiveError::TooFewSections);
    }
    let mut volume = 0.0;
    for (row, pair) in places.windows(2).enumerate() {
        let ((from, bore_1, blank_1), (to, bore_2, blank_2)) = (pair[0], pair[1]);
        if to < from {
            return Err(AdhesiveError::SectionOrder { row: row + 1 });
        }
        // The squares differ by little where the gap is thin, so each difference is a product.
        let (gap_1, gap_2) = (bore_1 - blank_1, bore_2 - blank_2);
        let squares = gap_1 * (bore_1 + blank_1)
            + gap_1 * bore_2
            + blank_1 * gap_2
            + gap_2 * (bore_2 + blank_2);
        volume += PI * (to - from) / 12.0 * squares;
    }
    if above_zero(volume) {
        Ok(Volume::new::<cubic_meter>(volume))
    } else {
        Err(AdhesiveError::NoGap)
    }
}

/// What to mix so that `joint` is filled when the share `lost` of the mix is squeezed out or stays
/// in the cup and on the stick: `joint / (1 - lost)`.
///
/// `lost` from 0 to 95 %. The share is the builder's experience: common practice, no source.
pub fn volume_to_mix(joint: Volume, lost: Ratio) -> Result<Volume, AdhesiveError> {
    let (net, share) = (joint.get::<cubic_meter>(), lost.get::<ratio>());
    if !(0.0..=MOST_LOST).contains(&share) {
        return Err(AdhesiveError::Lost);
    }
    if above_zero(net) {
        Ok(Volume::new::<cubic_meter>(net / (1.0 - share)))
    } else {
        Err(AdhesiveError::Amount)
    }
}
