//! How much air moves through the room, from what a builder can read.

use uom::si::area::square_meter;
use uom::si::f64::{Area, Velocity, Volume, VolumeRate};
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
}

/// Flow through an opening: mean air speed times free area, `Q = A v`.
///
/// Source: USAF Bioenvironmental Engineering apprentice course, ventilation unit. Valid for a
/// speed averaged over the whole opening.
pub fn measured_flow(speed: Velocity, opening: Area) -> Result<VolumeRate, AirflowError> {
    let (v, a) = (speed.get::<meter_per_second>(), opening.get::<square_meter>());
    if !(v > 0.0 && a > 0.0) {
        return Err(AirflowError::NoFlow);
    }
    Ok(VolumeRate::new::<cubic_meter_per_second>(v * a))
}

/// Flow of a fan from its plate, cut down to `share_percent` of the rating for filters, ducts
/// and age. The share is the builder's judgement (common practice, no source); 1 to 100.
pub fn rated_flow(rated: VolumeRate, share_percent: f64) -> Result<VolumeRate, AirflowError> {
    if !(1.0..=100.0).contains(&share_percent) {
        return Err(AirflowError::Derating);
    }
    if rated.get::<cubic_meter_per_hour>() <= 0.0 {
        return Err(AirflowError::NoFlow);
    }
    Ok(rated * (share_percent / 100.0))
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
    }
}
