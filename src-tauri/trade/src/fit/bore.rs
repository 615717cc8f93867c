//! Parts with a bore: grip, fore grip, trim ring, seat, butt cap, base of a hook keeper.

use super::{FitError, positive, zero_or_more};
use uom::ConstZero;
use uom::si::f64::Length;

/// A length of a stepped bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoreStep {
    /// How long, above zero.
    pub length: Length,
    /// Its diameter, above zero.
    pub diameter: Length,
}

/// A stretch of bore that runs straight from one diameter to another; offsets from the butt end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    pub(super) from: Length,
    pub(super) to: Length,
    pub(super) butt: Length,
    pub(super) tip: Length,
}

impl Stretch {
    pub(super) fn diameter(&self, offset: Length) -> Length {
        let part = ((offset - self.from) / (self.to - self.from)).value.clamp(0.0, 1.0);
        self.butt + (self.tip - self.butt) * part
    }
}

/// The bore of a part along its length, from its butt end.
#[derive(Debug, Clone, PartialEq)]
pub struct Bore {
    /// At least one, without gaps.
    stretches: Vec<Stretch>,
}

impl Bore {
    /// One diameter throughout; both above zero.
    pub fn straight(diameter: Length, length: Length) -> Result<Self, FitError> {
        Self::tapered(diameter, diameter, length)
    }

    /// From one diameter at the butt end on a straight line to another at the tip end; all above
    /// zero.
    pub fn tapered(butt: Length, tip: Length, length: Length) -> Result<Self, FitError> {
        positive("The bore", butt)?;
        positive("The bore", tip)?;
        positive("The length of the part", length)?;
        Ok(Self { stretches: vec![Stretch { from: Length::ZERO, to: length, butt, tip }] })
    }

    /// Straight lengths one after the other, from the butt end; at least one.
    pub fn stepped(steps: &[BoreStep]) -> Result<Self, FitError> {
        let mut from = Length::ZERO;
        let mut stretches = Vec::with_capacity(steps.len());
        for &BoreStep { length, diameter } in steps {
            positive("The bore", diameter)?;
            positive("A length of the bore", length)?;
            let to = from + length;
            stretches.push(Stretch { from, to, butt: diameter, tip: diameter });
            from = to;
        }
        if stretches.is_empty() { Err(FitError::NoBore) } else { Ok(Self { stretches }) }
    }

    /// Length of the part.
    pub fn length(&self) -> Length {
        self.stretches.last().map_or(Length::ZERO, |last| last.to)
    }

    /// The smallest diameter.
    pub fn tightest(&self) -> Length {
        self.ends().map(|(_, diameter)| diameter).reduce(Length::min).unwrap_or(Length::ZERO)
    }

    /// The largest diameter.
    pub fn widest(&self) -> Length {
        self.ends().map(|(_, diameter)| diameter).fold(Length::ZERO, Length::max)
    }

    /// The diameter at an offset from the butt end, 0 to [`Bore::length`]; at a step the smaller
    /// one. Beyond either end, that of the end.
    pub fn at(&self, offset: Length) -> Length {
        let offset = offset.max(Length::ZERO).min(self.length());
        self.tightest_between(offset, offset)
    }

    /// Offset and diameter at both ends of each stretch.
    pub(super) fn ends(&self) -> impl Iterator<Item = (Length, Length)> {
        self.stretches.iter().flat_map(|s| [(s.from, s.butt), (s.to, s.tip)])
    }

    pub(super) fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// The smallest diameter from one offset to another, both included.
    pub(super) fn tightest_between(&self, from: Length, to: Length) -> Length {
        let touched = self.stretches.iter().filter(|s| s.from <= to && s.to >= from);
        touched
            .map(|s| s.diameter(from.max(s.from)).min(s.diameter(to.min(s.to))))
            .reduce(Length::min)
            .unwrap_or_else(|| self.tightest())
    }

    /// The offset nearest the butt end at which the bore is tighter than `diameter`.
    pub(super) fn first_tighter_than(&self, diameter: Length) -> Option<Length> {
        self.stretches.iter().find_map(|s| {
            if s.butt < diameter {
                Some(s.from)
            } else if s.tip < diameter {
                Some(s.from + (s.to - s.from) * ((s.butt - diameter) / (s.butt - s.tip)))
            } else {
                None
            }
        })
    }
}

/// From which end of its piece a part is slid on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// Over the butt, as a cap.
    Butt,
    /// Over the tip, as most parts.
    Tip,
}

/// A part, where it is to sit, and how it gets there.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the builder calls it.
    pub name: String,
    /// Its bore.
    pub bore: Bore,
    /// Its smallest outside diameter.
    pub thinnest: Length,
    /// Its largest outside diameter: what another part must clear to pass it.
    pub thickest: Length,
    /// Where its butt end is to be, from the butt of the blank.
    pub sits_at: Length,
    /// From which end it is slid on.
    pub comes_from: End,
}

impl Part {
    /// Where its tip end will be.
    pub fn ends_at(&self) -> Length {
        self.sits_at + self.bore.length()
    }

    /// Checks the lengths: place zero or more, outside above zero and wider than the bore.
    pub fn check(&self) -> Result<(), FitError> {
        positive("The outside diameter of the part", self.thinnest)?;
        positive("The outside diameter of the part", self.thickest)?;
        if !zero_or_more(self.sits_at) {
            return Err(FitError::BadPlace { given: self.sits_at });
        }
        leaves_wall(self.bore.widest(), self.thinnest.min(self.thickest))
    }
}

/// Whether a bore leaves anything of a part.
pub(super) fn leaves_wall(bore: Length, outside: Length) -> Result<(), FitError> {
    if bore < outside { Ok(()) } else { Err(FitError::BoreThroughPart { bore, outside }) }
}
