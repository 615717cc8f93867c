//! Air flow and air changes against published examples.

use coldbench_trade::units::{
    Area, Velocity, Volume, VolumeRate, cubic_meter, cubic_meter_per_hour, meter_per_second,
    square_meter,
};
use coldbench_trade::{Measure, air_changes_per_hour, measured_flow, rated_flow};

use crate::measured;

/// 29 CFR 1910.106(d)(4)(iv) asks six changes an hour; by the CDC's form
/// ACH = cfm x 60 / (area x height) the 20 x 14 x 12 ft room (3360 ft3, USAF Bioenvironmental
/// Engineering apprentice, unit 5) needs 336 cfm for it.
#[test]
fn six_changes_of_a_3360_cubic_foot_room() {
    let flow = VolumeRate::new::<cubic_meter_per_hour>(measured("336 cfm", Measure::AirFlow));
    let room = Volume::new::<cubic_meter>(measured("3360 ft3", Measure::Volume));
    assert!((air_changes_per_hour(flow, room) - 6.0).abs() < 1e-9);
}

/// OSHA Table G-10 speaks of 100 fpm over a booth face; Q = A v (USAF, same unit): through
/// 1 ft2 that is 100 cfm.
#[test]
fn face_speed_times_opening() {
    let speed = Velocity::new::<meter_per_second>(measured("100 fpm", Measure::AirSpeed));
    let opening = Area::new::<square_meter>(measured("1 ft2", Measure::Area));
    let flow = measured_flow(speed, opening).unwrap().get::<cubic_meter_per_hour>();
    let hundred_cfm = measured("100 cfm", Measure::AirFlow);
    assert!((flow - hundred_cfm).abs() < 1e-9);
    let half = rated_flow(VolumeRate::new::<cubic_meter_per_hour>(flow), 50.0).unwrap();
    assert!((half.get::<cubic_meter_per_hour>() - hundred_cfm / 2.0).abs() < 1e-9);
}
