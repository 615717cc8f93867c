//! The blank as measured: outside diameters along its length.

use crate::length::{LengthUnit, in_millimetres, show_length};
use uom::ConstZero;
use uom::si::f64::Length;

/// One measurement of the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Distance from the butt end, measured along the assembled blank.
    pub from_butt: Length,
    /// Outside diameter there.
    pub diameter: Length,
}

/// Why measurements do not make a blank. `row` counts from 0 in the order they were entered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BlankError {
    /// Fewer than two measured diameters.
    #[error("Measure the blank in at least two places: near the butt and near the tip.")]
    TooFew,
    /// The length is not above zero.
    #[error("The length of the blank must be more than zero.")]
    NoLength,
    /// A diameter is not above zero.
    #[error("A diameter must be more than zero.")]
    NoDiameter {
        /// The measurement at fault.
        row: usize,
    },
    /// A diameter no rod blank has.
    #[error("{shown} is thicker than any rod blank. Check the unit.")]
    TooThick {
        /// The measurement at fault.
        row: usize,
        /// The diameter as read.
        shown: String,
    },
    /// A position lies beyond the tip.
    #[error("{shown} from the butt lies beyond the tip. The blank is {length} long.")]
    BeyondTip {
        /// The measurement at fault.
        row: usize,
        /// The position as read.
        shown: String,
        /// The length of the blank.
        length: String,
    },
    /// Positions do not run from butt to tip.
    #[error(
        "Measurements run from butt to tip: this place must lie farther from the butt than the one before."
    )]
    NotInOrder {
        /// The measurement at fault.
        row: usize,
    },
    /// The diameter grows towards the tip and no join lies between.
    #[error(
        "The diameter grows towards the tip, from {before} to {after}. Measure again, or name the join if a ferrule lies between."
    )]
    GrowsTowardsTip {
        /// The measurement at fault.
        row: usize,
        /// The diameter nearer the butt.
        before: String,
        /// The diameter nearer the tip.
        after: String,
    },
    /// A join does not lie inside the blank, or joins are out of order.
    #[error(
        "A join must lie between butt and tip, each farther from the butt than the one before."
    )]
    JoinOutside {
        /// The join at fault.
        row: usize,
    },
}

/// Thickest outside diameter taken for a rod blank; beyond it a unit was mistaken.
const THICKEST_MM: f64 = 60.0;

/// A blank with at least two measured diameters, none growing towards the tip except across
/// a join, where the ferrule may be thicker than what it slides over.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    length: Length,
    joins: Vec<Length>,
    stations: Vec<Measured>,
}

impl Blank {
    /// Checks the measurements. `length` is that of the assembled blank; `joins` are the
    /// distances from the butt at which pieces meet, in order; `stations` run from butt to tip.
    /// `shown_in` is the unit for error texts.
    pub fn new(
        length: Length,
        joins: Vec<Length>,
        stations: Vec<Measured>,
        shown_in: LengthUnit,
    ) -> Result<Self, BlankError> {
        let show = |l| show_length(l, shown_in);
        if length <= Length::ZERO {
            return Err(BlankError::NoLength);
        }
        let mut nearer = Length::ZERO;
        for (row, &join) in joins.iter().enumerate() {
            if join <= nearer || join >= length {
                return Err(BlankError::JoinOutside { row });
            }
            nearer = join;
        }
        if stations.len() < 2 {
            return Err(BlankError::TooFew);
        }
        for (row, station) in stations.iter().enumerate() {
            if station.diameter <= Length::ZERO {
                return Err(BlankError::NoDiameter { row });
            }
            if in_millimetres(station.diameter) > THICKEST_MM {
                return Err(BlankError::TooThick { row, shown: show(station.diameter) });
            }
            if station.from_butt > length {
                return Err(BlankError::BeyondTip {
                    row,
                    shown: show(station.from_butt),
                    length: show(length),
                });
            }
        }
        for (before, (row, here)) in stations.iter().zip(stations.iter().enumerate().skip(1)) {
            if here.from_butt <= before.from_butt {
                return Err(BlankError::NotInOrder { row });
            }
            let joined = joins.iter().any(|j| *j > before.from_butt && *j <= here.from_butt);
            if here.diameter > before.diameter && !joined {
                return Err(BlankError::GrowsTowardsTip {
                    row,
                    before: show(before.diameter),
                    after: show(here.diameter),
                });
            }
        }
        Ok(Self { length, joins, stations })
    }

    /// Length of the assembled blank.
    pub fn length(&self) -> Length {
        self.length
    }

    /// Where pieces meet, as distances from the butt.
    pub fn joins(&self) -> &[Length] {
        &self.joins
    }

    /// The measurements, butt to tip; at least two.
    pub fn stations(&self) -> &[Measured] {
        &self.stations
    }

    /// Outside diameter at a distance from the butt, by a straight line between the two
    /// measurements around it. Outside the measured span the nearest measurement is
    /// returned unchanged: good for drawing, not for reaming.
    pub fn diameter_at(&self, from_butt: Length) -> Length {
        let mut before = self.stations[0];
        for &here in &self.stations {
            if here.from_butt >= from_butt {
                let span = here.from_butt - before.from_butt;
                if span <= Length::ZERO {
                    return here.diameter;
                }
                let part = (from_butt - before.from_butt) / span;
                return before.diameter + (here.diameter - before.diameter) * part;
            }
            before = here;
        }
        before.diameter
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::length::millimeter;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn blank(length: f64, joins: &[f64], stations: &[(f64, f64)]) -> Result<Blank, BlankError> {
        Blank::new(
            mm(length),
            joins.iter().copied().map(mm).collect(),
            stations.iter().map(|&(x, d)| Measured { from_butt: mm(x), diameter: mm(d) }).collect(),
            LengthUnit::Millimetre,
        )
    }

    #[test]
    fn a_taper_is_read_between_measurements_and_held_outside() {
        let blank = blank(2000.0, &[], &[(100.0, 12.0), (1100.0, 6.0), (1900.0, 2.0)]).unwrap();
        for (x, d) in [(0.0, 12.0), (100.0, 12.0), (600.0, 9.0), (1500.0, 4.0), (2000.0, 2.0)] {
            assert!((in_millimetres(blank.diameter_at(mm(x))) - d).abs() < 1e-9, "{x}");
        }
    }

    #[test]
    fn faults_name_their_row() {
        assert_eq!(blank(2000.0, &[], &[(0.0, 12.0)]), Err(BlankError::TooFew));
        assert_eq!(blank(0.0, &[], &[(0.0, 12.0), (1.0, 1.0)]), Err(BlankError::NoLength));
        assert_eq!(
            blank(2000.0, &[], &[(0.0, 12.0), (10.0, 0.0)]),
            Err(BlankError::NoDiameter { row: 1 })
        );
        assert_eq!(
            blank(2000.0, &[], &[(10.0, 12.0), (10.0, 11.0)]),
            Err(BlankError::NotInOrder { row: 1 })
        );
        assert!(matches!(
            blank(2000.0, &[], &[(0.0, 12.0), (2001.0, 2.0)]),
            Err(BlankError::BeyondTip { row: 1, .. })
        ));
        assert!(matches!(
            blank(2000.0, &[], &[(0.0, 120.0), (2000.0, 2.0)]),
            Err(BlankError::TooThick { row: 0, .. })
        ));
        assert_eq!(
            blank(2000.0, &[2000.0], &[(0.0, 12.0), (9.0, 2.0)]),
            Err(BlankError::JoinOutside { row: 0 })
        );
    }

    #[test]
    fn growth_towards_the_tip_needs_a_join_between() {
        let grown = [(0.0, 12.0), (900.0, 6.0), (1100.0, 6.4), (2000.0, 2.0)];
        assert!(matches!(
            blank(2000.0, &[], &grown),
            Err(BlankError::GrowsTowardsTip { row: 2, .. })
        ));
        assert!(blank(2000.0, &[1000.0], &grown).is_ok());
    }
}
