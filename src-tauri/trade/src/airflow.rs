//! How much air moves through the room, from what a builder can read.

use uom::ConstZero;
use uom::si::area::square_meter;
use uom::si::f64::{Area, Ratio, Velocity, Volume, VolumeRate};
use uom::si::ratio::ratio;
use uom::si::velocity::meter_per_second;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::{cubic_meter_per_hour, cubic_meter_per_second};

/// Why no flow follows from the reading.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AirflowError {
    /// Speed, opening or rated flow is zero or less: no air moves.
    #[error("The reading shows no air moving. Turn the ventilation on and read it again.")]
    NoFlow,
    /// The derating is not between 1 and 100 percent.
    #[error("The share of the rated flow must lie between 1 and 100 %.")]
    Derating,
    /// The free share of a grille does not lie above 0 and at or below 100 percent.
    #[error("The free share of the opening must lie above 0 and at most 100 %.")]
    FreeShare,
    /// The share lost to a loaded filter does not lie from 0 to below 100 percent.
    #[error("What a loaded filter takes from the flow must lie between 0 and less than 100 %.")]
    FilterLoading,
    /// Too few points of a traverse.
    #[error("Measure the air speed in at least {least} points spread evenly over the opening.")]
    TooFewPoints {
        /// The least number taken.
        least: usize,
    },
    /// A point of a traverse is negative or no number. `point` counts from 0 as entered.
    #[error(
        "An air speed must be a number of zero or more. Where air comes back, mend that first."
    )]
    Point {
        /// The point at fault.
        point: usize,
    },
}

/// Fewest points of a traverse: one for each quarter of the opening. A house rule; a reading in the
/// middle alone overstates the flow.
const LEAST_POINTS: usize = 4;

/// Flow through an opening: mean air speed times free area, `Q = A v`.
///
/// Source: USAF Bioenvironmental Engineering apprentice course, ventilation unit. Valid for a
/// speed averaged over the whole opening.
pub fn measured_flow(speed: Velocity, opening: Area) -> Result<VolumeRate, AirflowError> {
    let (v, a) = (speed.get::<meter_per_second>(), opening.get::<square_meter>());
    moving(if v > 0.0 && a > 0.0 { v * a } else { 0.0 })
}

/// Flow of a fan from its plate, cut down to `share_percent` of the rating for filters, ducts
/// and age. The share is the builder's judgement (common practice, no source); 1 to 100.
pub fn rated_flow(rated: VolumeRate, share_percent: f64) -> Result<VolumeRate, AirflowError> {
    if !(1.0..=100.0).contains(&share_percent) {
        return Err(AirflowError::Derating);
    }
    moving(rated.get::<cubic_meter_per_second>() * (share_percent / 100.0))
}

/// Flow through an opening from a traverse with an anemometer: mean of the speeds at points spread
/// evenly over it, times its area, times the share of it that is free (1 without a grille).
///
/// Four points or more, each zero or more. Source: `Q = A v` as in [`measured_flow`]; averaging
/// several points and counting the free area of a grille is common practice.
pub fn traverse_flow(
    speeds: &[Velocity],
    opening: Area,
    free_share: Ratio,
) -> Result<VolumeRate, AirflowError> {
    let free = free_share.get::<ratio>();
    if !(free > 0.0 && free <= 1.0) {
        return Err(AirflowError::FreeShare);
    }
    let mut sum = 0.0;
    let mut points = 0.0;
    for (point, speed) in speeds.iter().enumerate() {
        let speed = speed.get::<meter_per_second>();
        if !(speed >= 0.0 && speed.is_finite()) {
            return Err(AirflowError::Point { point });
        }
        sum += speed;
        points += 1.0;
    }
    if speeds.len() < LEAST_POINTS {
        return Err(AirflowError::TooFewPoints { least: LEAST_POINTS });
    }
    measured_flow(Velocity::new::<meter_per_second>(sum / points), opening * free_share)
}

/// Flow of a fan from its plate: its rating, times the `share` of it that the fan gives as built in
/// (ducts, grilles, age; 0.01 to 1), less what a loaded filter takes of that (0 to below 1). Both
/// are the builder's judgement, from the fan's curve or the filter's gauge where there is one.
pub fn fan_flow(
    rated: VolumeRate,
    share: Ratio,
    lost_to_filter: Ratio,
) -> Result<VolumeRate, AirflowError> {
    let lost = lost_to_filter.get::<ratio>();
    if !(0.0..1.0).contains(&lost) {
        return Err(AirflowError::FilterLoading);
    }
    let flow = rated_flow(rated, share.get::<ratio>() * 100.0)?;
    moving(flow.get::<cubic_meter_per_second>() * (1.0 - lost))
}

/// An open window or door.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Window {
    /// Open, but not relied on.
    NotCounted,
    /// Counted on purpose, with a speed measured in it just now.
    Counted {
        /// Mean air speed through it.
        speed: Velocity,
        /// Free opening.
        opening: Area,
    },
}

/// Flow through an open window: none unless it is counted explicitly. Wind and warmth drive it; it
/// can stop or turn without anyone noticing, and then blows vapour back into the room. A fan can be
/// seen and heard to run.
pub fn window_flow(window: Window) -> Result<VolumeRate, AirflowError> {
    match window {
        Window::NotCounted => Ok(VolumeRate::ZERO),
        Window::Counted { speed, opening } => measured_flow(speed, opening),
    }
}

/// A flow in m³/s, unless no air moves or it is no number.
fn moving(flow: f64) -> Result<VolumeRate, AirflowError> {
    if flow > 0.0 && flow.is_finite() {
        Ok(VolumeRate::new::<cubic_meter_per_second>(flow))
    } else {
        Err(AirflowError::NoFlow)
    }
}

/// Room volumes of air moved in an hour, `N = Q / V`. Infinite for a room of no volume, so
/// callers check the volume first.
///
/// Source: CDC ventilation guidance, air changes = flow x 60 / (area x height) in cfm and feet.
pub fn air_changes_per_hour(flow: VolumeRate, room: Volume) -> f64 {
    flow.get::<cubic_meter_per_hour>() / room.get::<cubic_meter>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_reading_no_flow() {
        let still = Velocity::new::<meter_per_second>(0.0);
        let nan = Velocity::new::<meter_per_second>(f64::NAN);
        let opening = Area::new::<square_meter>(0.1);
        assert_eq!(measured_flow(still, opening), Err(AirflowError::NoFlow));
        assert_eq!(measured_flow(nan, opening), Err(AirflowError::NoFlow));
        let rated = VolumeRate::new::<cubic_meter_per_hour>(500.0);
        assert_eq!(rated_flow(rated, 0.0), Err(AirflowError::Derating));
        assert_eq!(rated_flow(rated, 101.0), Err(AirflowError::Derating));
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
            let rated = VolumeRate::new::<cubic_meter_per_hour>(bad);
            assert_eq!(rated_flow(rated, 50.0), Err(AirflowError::NoFlow), "{bad}");
        }
        assert_eq!(
            measured_flow(Velocity::new::<meter_per_second>(f64::INFINITY), opening),
            Err(AirflowError::NoFlow)
        );
    }

    #[test]
    fn a_traverse_needs_points_and_a_free_opening() {
        let speed = |v: f64| Velocity::new::<meter_per_second>(v);
        let opening = Area::new::<square_meter>(0.1);
        let free = Ratio::new::<ratio>(0.6);
        let flow = |speeds: &[f64], free| {
            let speeds: Vec<_> = speeds.iter().copied().map(speed).collect();
            traverse_flow(&speeds, opening, free)
        };
        assert_eq!(flow(&[1.0, 2.0, 3.0], free), Err(AirflowError::TooFewPoints { least: 4 }));
        assert_eq!(flow(&[1.0, 2.0, -0.1, 3.0], free), Err(AirflowError::Point { point: 2 }));
        assert_eq!(flow(&[f64::NAN; 4], free), Err(AirflowError::Point { point: 0 }));
        assert_eq!(flow(&[0.0; 4], free), Err(AirflowError::NoFlow));
        for bad in [0.0, 1.01, f64::NAN] {
            assert_eq!(flow(&[1.0; 4], Ratio::new::<ratio>(bad)), Err(AirflowError::FreeShare));
        }
    }

    #[test]
    fn a_window_counts_for_nothing_unless_said() {
        assert_eq!(window_flow(Window::NotCounted), Ok(VolumeRate::ZERO));
        let speed = Velocity::new::<meter_per_second>(0.0);
        let opening = Area::new::<square_meter>(1.0);
        let still = Window::Counted { speed, opening };
        assert_eq!(window_flow(still), Err(AirflowError::NoFlow));
    }

    #[test]
    fn a_filter_can_only_take_from_a_fan() {
        let rated = VolumeRate::new::<cubic_meter_per_hour>(500.0);
        let share = Ratio::new::<ratio>(0.6);
        for bad in [1.0, -0.1, f64::NAN] {
            let lost = Ratio::new::<ratio>(bad);
            assert_eq!(fan_flow(rated, share, lost), Err(AirflowError::FilterLoading));
        }
    }
}
