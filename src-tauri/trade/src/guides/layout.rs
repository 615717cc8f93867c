//! Where the guides sit, and moving one of them.

use super::{GuideError, MOST_GUIDES, SAME_PLACE_MM, mm, positive, zero_or_more};
use uom::ConstZero;
use uom::si::f64::Length;

/// Where the guides sit on a rod: in order from the tip, no two at one place. The tip-top is not
/// among them, it sits at the tip.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    length: Length,
    from_tip: Vec<Length>,
}

/// How far guides may be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// The least gap between a guide and its neighbour or the tip, above zero.
    pub least_gap: Length,
    /// The place of the first guide nearest the butt that is allowed, from the butt.
    pub first_from: Length,
    /// The one nearest the tip, from the butt.
    pub first_to: Length,
}

impl Room {
    /// Checks the lengths: least gap above zero, the bounds of the first guide zero or more and in
    /// order.
    pub fn check(&self) -> Result<(), GuideError> {
        positive("The least gap", self.least_gap)?;
        for given in [self.first_from, self.first_to] {
            if !zero_or_more(given) {
                return Err(GuideError::BadPlace { what: "A bound of the first guide", given });
            }
        }
        if self.first_from <= self.first_to {
            Ok(())
        } else {
            Err(GuideError::FirstBounds { from: self.first_from, to: self.first_to })
        }
    }
}

impl Layout {
    /// Guides on a rod of `length` (butt to tip, above zero), by their places from the tip, each
    /// farther from it than the one before. One to sixty guides.
    pub fn new(length: Length, from_tip: &[Length]) -> Result<Self, GuideError> {
        positive("The length of the rod", length)?;
        if from_tip.is_empty() {
            return Err(GuideError::NoGuides);
        }
        if from_tip.len() > MOST_GUIDES {
            return Err(GuideError::TooManyGuides { count: from_tip.len(), most: MOST_GUIDES });
        }
        let mut before = Length::ZERO;
        for (number, &at) in (1..).zip(from_tip) {
            if !zero_or_more(at) {
                return Err(GuideError::BadPlace { what: "The place of a guide", given: at });
            }
            if at > length {
                return Err(GuideError::OffTheRod { number, at, length });
            }
            if (at - before).abs() < mm(SAME_PLACE_MM) {
                return Err(GuideError::OnePlace { number, at });
            }
            if at < before {
                return Err(GuideError::OutOfOrder { number, at, before });
            }
            before = at;
        }
        Ok(Self { length, from_tip: from_tip.to_vec() })
    }

    /// Length of the rod, butt to tip.
    pub fn length(&self) -> Length {
        self.length
    }

    /// How many guides there are, the tip-top not counted.
    pub fn count(&self) -> usize {
        self.from_tip.len()
    }

    /// Their places from the tip.
    pub fn from_tip(&self) -> &[Length] {
        &self.from_tip
    }

    /// Their places from the butt, still the one next to the tip first.
    pub fn from_butt(&self) -> Vec<Length> {
        self.from_tip.iter().map(|&at| self.length - at).collect()
    }

    /// From the tip to the first guide the line meets after the reel.
    pub fn reach(&self) -> Length {
        self.from_tip.last().copied().unwrap_or(Length::ZERO)
    }

    /// The gaps: from the tip to guide 1, from there to guide 2, and so on. They add up to
    /// [`Layout::reach`].
    pub fn gaps(&self) -> Vec<Length> {
        let before = std::iter::once(Length::ZERO).chain(self.from_tip.iter().copied());
        self.from_tip.iter().zip(before).map(|(&at, before)| at - before).collect()
    }

    /// The least and the most from the tip that guide `number` (from 1) may be moved to while the
    /// others stay.
    pub fn room_of(&self, number: usize, room: &Room) -> Result<(Length, Length), GuideError> {
        room.check()?;
        let index = self.index(number)?;
        let before = if index == 0 { Length::ZERO } else { self.from_tip[index - 1] };
        let (mut least, most) = match self.from_tip.get(index + 1) {
            Some(&next) => (before + room.least_gap, next - room.least_gap),
            None => (before + room.least_gap, self.length - room.first_from),
        };
        if number == self.count() {
            least = least.max(self.length - room.first_to);
        }
        if least <= most {
            Ok((least, most))
        } else {
            Err(GuideError::NoRoom { number, least_gap: room.least_gap })
        }
    }

    /// The layout with guide `number` (from 1) moved towards `to` from the tip, as far as its
    /// neighbours and `room` allow: for dragging and for arrow keys. A place beyond is no error.
    /// Moved back to where it was, it is the layout from before, if that kept to `room`.
    pub fn moved(&self, number: usize, to: Length, room: &Room) -> Result<Self, GuideError> {
        let (least, most) = self.room_of(number, room)?;
        if to.is_nan() {
            return Err(GuideError::BadPlace { what: "The place of a guide", given: to });
        }
        self.placed(number, to.max(least).min(most))
    }

    /// The layout with guide `number` (from 1) at just that place from the tip: for a place that
    /// was typed in. An error where it would not lie between its neighbours.
    pub fn placed(&self, number: usize, at: Length) -> Result<Self, GuideError> {
        let index = self.index(number)?;
        let mut from_tip = self.from_tip.clone();
        from_tip[index] = at;
        Self::new(self.length, &from_tip)
    }

    fn index(&self, number: usize) -> Result<usize, GuideError> {
        match number.checked_sub(1) {
            Some(index) if index < self.count() => Ok(index),
            _ => Err(GuideError::NoSuchGuide { number, count: self.count() }),
        }
    }
}
