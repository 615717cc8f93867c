//! The scales a rod is drawn at: one along it, a larger one across it.

use crate::{
    model::{RodSheet, Station},
    style::MM,
};

/// How high the thickest part may become on paper, in millimetres.
const HIGHEST_MM: f64 = 20.0;

/// Scales across the rod that a drawing may use, paper to rod, largest first.
const ACROSS: [(u32, u32); 12] = [
    (5, 1),
    (4, 1),
    (3, 1),
    (2, 1),
    (1, 1),
    (1, 2),
    (1, 3),
    (1, 4),
    (1, 5),
    (1, 10),
    (1, 20),
    (1, 50),
];

/// A measured diameter that can be drawn: distance from the butt and diameter, both in mm.
pub(crate) type Measured = (f64, f64);

/// How long a way is that leads so far to the right and so far up. Not `hypot`: what is drawn again must be
/// the same to the last digit, and of that one each machine may make its own.
pub(crate) fn length(dx: f64, dy: f64) -> f64 {
    (dx * dx + dy * dy).sqrt()
}

/// All stations, butt to tip: the order in which they are numbered.
pub(crate) fn stations(rod: &RodSheet) -> Vec<&Station> {
    let mut stations: Vec<&Station> = rod.stations.iter().collect();
    stations.sort_by(|a, b| a.from_butt_mm.total_cmp(&b.from_butt_mm));
    stations
}

/// The stations that can be drawn, butt to tip. Those without a usable number are left out.
pub(crate) fn measured(rod: &RodSheet) -> Vec<Measured> {
    stations(rod)
        .into_iter()
        .map(|station| (station.from_butt_mm, station.diameter_mm))
        .filter(|&(at, diameter)| usable(at) && usable(diameter) && diameter > 0.0)
        .collect()
}

/// True for a length that can stand on paper: finite, not negative, and below a kilometre.
pub(crate) fn usable(millimetres: f64) -> bool {
    (0.0..1.0e6).contains(&millimetres)
}

/// How far the rod, its stations and its parts reach from the butt, in mm. `None`: nothing
/// says how long it is.
pub(crate) fn reach(rod: &RodSheet) -> Option<f64> {
    let stations = rod.stations.iter().map(|station| station.from_butt_mm);
    let parts = rod.fitted.iter().flat_map(|part| [part.from_mm, part.to_mm]);
    let reach = [rod.length_mm]
        .into_iter()
        .chain(stations)
        .chain(parts)
        .chain(rod.joins_mm.iter().copied())
        .filter(|&mm| usable(mm))
        .fold(0.0, f64::max);
    (reach > 0.0).then_some(reach)
}

/// The blank's diameter at a distance from the butt, both in mm: straight between stations,
/// and that of the nearest station beyond them.
pub(crate) fn diameter_at(measured: &[Measured], at: f64) -> Option<f64> {
    let after = measured.iter().position(|&(x, _)| x >= at).unwrap_or(measured.len());
    let before = after.checked_sub(1).and_then(|index| measured.get(index));
    match (before, measured.get(after)) {
        (Some(&(x0, d0)), Some(&(x1, d1))) if x1 > x0 => {
            Some(d0 + (d1 - d0) * (at - x0) / (x1 - x0))
        }
        (_, Some(&(_, d))) | (Some(&(_, d)), None) => Some(d),
        (None, None) => None,
    }
}

/// The two scales of one drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Along the rod: 1 to this.
    along: u32,
    /// Across it: paper to rod.
    across: (u32, u32),
}

impl Scale {
    /// The largest round scales at which `reach_mm` fits into `width` points and
    /// `thickest_mm` is not higher than allowed.
    pub(crate) fn fitting(reach_mm: f64, thickest_mm: f64, width: f32) -> Self {
        let room_mm = f64::from((width / MM).max(1.0));
        let along = to_count((reach_mm / room_mm).ceil());
        let across = ACROSS
            .into_iter()
            .find(|&(paper, rod)| thickest_mm * f64::from(paper) / f64::from(rod) <= HIGHEST_MM)
            .unwrap_or_else(|| (1, to_count((thickest_mm / HIGHEST_MM).ceil())));
        Self { along, across }
    }

    /// A length along the rod, in points on paper.
    pub(crate) fn along(&self, mm: f64) -> f32 {
        to_points(mm / f64::from(self.along))
    }

    /// A diameter, in points on paper.
    pub(crate) fn across(&self, mm: f64) -> f32 {
        let (paper, rod) = self.across;
        to_points(mm * f64::from(paper) / f64::from(rod))
    }

    /// Both scales in words.
    pub(crate) fn words(&self) -> String {
        let (paper, rod) = self.across;
        let enlarged = f64::from(self.along) * f64::from(paper) / f64::from(rod);
        let scales = format!("length 1:{}, diameters {paper}:{rod}", self.along);
        if enlarged > 1.0 {
            let enlarged = format!("{enlarged:.1}");
            let enlarged = enlarged.strip_suffix(".0").unwrap_or(&enlarged);
            format!("Scale: {scales} (enlarged {enlarged}× against the length).")
        } else {
            format!("Scale: {scales}.")
        }
    }
}

/// Millimetres on paper as points.
pub(crate) fn to_points(mm: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "a place on a page needs no more digits")]
    let mm = mm as f32;
    mm * MM
}

/// A whole number from 1, for a scale.
pub(crate) fn to_count(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what fits; lengths are far below"
    )]
    let count = value.clamp(1.0, f64::from(u32::MAX)) as u32;
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimen;

    #[test]
    fn a_two_metre_rod_fits_the_page_and_says_how() {
        let scale = Scale::fitting(2134.0, 28.0, 440.0);
        assert!(scale.along(2134.0) <= 440.0);
        // One step larger would not have fitted.
        assert!(to_points(2134.0 / f64::from(scale.along - 1)) > 440.0);
        assert!((scale.across(10.0) - 5.0 * MM).abs() < 1e-3);
        assert_eq!(
            scale.words(),
            "Scale: length 1:14, diameters 1:2 (enlarged 7× against the length)."
        );
    }

    #[test]
    fn thin_tips_are_enlarged_and_thick_butts_reduced() {
        assert_eq!(Scale::fitting(600.0, 4.0, 440.0).across, (5, 1));
        assert_eq!(Scale::fitting(600.0, 31.0, 440.0).across, (1, 2));
        assert_eq!(Scale::fitting(600.0, 9000.0, 440.0).across, (1, 450));
        assert_eq!(Scale::fitting(50.0, 5.0, 440.0).along, 1);
    }

    #[test]
    fn diameters_run_straight_between_stations() {
        let measured = [(0.0, 16.0), (1000.0, 8.0), (2000.0, 2.0)];
        assert_eq!(diameter_at(&measured, 500.0), Some(12.0));
        assert_eq!(diameter_at(&measured, 1000.0), Some(8.0));
        assert_eq!(diameter_at(&measured, 1500.0), Some(5.0));
        assert_eq!(diameter_at(&measured, 2500.0), Some(2.0));
        assert_eq!(diameter_at(&[], 10.0), None);
    }

    #[test]
    fn numbers_that_cannot_be_drawn_are_left_out() {
        let mut rod = specimen::empty().rod;
        rod.length_mm = f64::NAN;
        let station = |from_butt_mm, diameter_mm| Station {
            from_butt_mm,
            diameter_mm,
            from_butt_text: String::new(),
            diameter_text: String::new(),
        };
        rod.stations = vec![
            station(500.0, 9.0),
            station(0.0, 14.0),
            station(f64::INFINITY, 3.0),
            station(700.0, 0.0),
            station(-1.0, 4.0),
        ];
        assert_eq!(measured(&rod), [(0.0, 14.0), (500.0, 9.0)]);
        assert_eq!(reach(&rod), Some(700.0));
        rod.stations.clear();
        assert_eq!(reach(&rod), None);
    }
}
