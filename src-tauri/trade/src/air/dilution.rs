//! How much air dilution needs, what may be used with the air there is, and how long a purge takes.
//!
//! Dilution suits small amounts, given off evenly, of substances with limits of about 100 ppm and
//! more, away from the worker's face (ACGIH). Where the need exceeds the flow, work elsewhere, draw
//! the vapour off at its source, or use less.

use super::vapour::{Liquid, above_zero, zero_or_more};
use super::{AirError, ExposurePeriod, MixingFactor, Room, Vapour};
use uom::si::f64::{Ratio, ThermodynamicTemperature, Time, VolumeRate};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::time::second;
use uom::si::volume_rate::cubic_meter_per_second;

/// 250 °F, up to which the lower flammable limit is taken as at room temperature (ACGIH), in °C.
const WARM_CELSIUS: f64 = 121.12;
/// Share of the lower flammable limit taken above that (ACGIH's B). Measured limits fall by about
/// a tenth there, so this is a wide margin.
const WARM_SHARE: f64 = 0.7;
/// The lowest safety factor for fire: one quarter of the limit, which several OSHA rules take for
/// adequate ventilation.
const LEAST_SAFETY_FACTOR: f64 = 4.0;

/// Flow that keeps the air at the exposure limit while `used` of `liquid` evaporates steadily:
/// `Q = K sum(G_i / L_i)`, G the vapour given off. In US units for one vapour
/// `Q = 403 10⁶ SG ER K / (MW TLV)` (ACGIH, Industrial Ventilation). The sum takes effects as
/// additive (29 CFR 1910.1000(d)(2)(i)).
///
/// `used` is liquid per time, zero or more; `temperature` that of the room, -50 to 400 °C.
pub fn health_flow(
    liquid: &Liquid,
    used: VolumeRate,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    period: ExposurePeriod,
) -> Result<VolumeRate, AirError> {
    flow_for(used, health_demand(liquid, temperature, mixing, period)?)
}

/// Liquid per time that `flow` keeps at the exposure limit: the inverse of [`health_flow`]. An
/// error if no component has such a limit, since that is no leave to use any amount.
pub fn health_use(
    liquid: &Liquid,
    flow: VolumeRate,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    period: ExposurePeriod,
) -> Result<VolumeRate, AirError> {
    use_for(flow, health_demand(liquid, temperature, mixing, period)?)
}

/// Flow that keeps the air at 1 / `safety_factor` of the lower flammable limit while `used` of
/// `liquid` evaporates steadily: `Q = K Sf / B sum(G_i / LFL_i)`. In US units for one vapour
/// `Q = 403 100 SG ER Sf / (MW LEL B)` (ACGIH, Industrial Ventilation), which has no K: a mixing
/// factor of 1 gives ACGIH's own figure. B is 1 up to 250 °F (121 °C) and 0.7 above.
///
/// `safety_factor` is 4 or more: 4 means 25 % of the limit, 10 means 10 %; ACGIH takes 4 for
/// continuous work with good distribution of air, 10 to 12 for batches or poor mixing. The flow is
/// that at `temperature`, -50 to 400 °C. It is far above what a health limit allows.
pub fn fire_flow(
    liquid: &Liquid,
    used: VolumeRate,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    safety_factor: f64,
) -> Result<VolumeRate, AirError> {
    flow_for(used, fire_demand(liquid, temperature, mixing, safety_factor)?)
}

/// Liquid per time that `flow` keeps at 1 / `safety_factor` of the lower flammable limit: the
/// inverse of [`fire_flow`]. An error if no component burns.
pub fn fire_use(
    liquid: &Liquid,
    flow: VolumeRate,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    safety_factor: f64,
) -> Result<VolumeRate, AirError> {
    use_for(flow, fire_demand(liquid, temperature, mixing, safety_factor)?)
}

/// Time in which `flow` brings the air of `room` from one level down to another, nothing more
/// being released: `t = (K V / Q) ln(C1 / C2)` (MMWR 1994;43(RR-13) Table S3-1). Zero if it is
/// there already; an error without flow, or for a target of zero, which is never reached.
///
/// `from` and `to` are any two levels in the same measure.
pub fn purge_time(room: &Room, flow: VolumeRate, from: Ratio, to: Ratio) -> Result<Time, AirError> {
    let rate = room.decay_rate(flow)?;
    if rate == 0.0 {
        return Err(AirError::NoFlow);
    }
    let (from, to) = (from.get::<ratio>(), to.get::<ratio>());
    if !(zero_or_more(from) && above_zero(to)) {
        return Err(AirError::Level);
    }
    let seconds = if from > to { (from / to).ln() / rate } else { 0.0 };
    if seconds.is_finite() { Ok(Time::new::<second>(seconds)) } else { Err(AirError::TooLarge) }
}

/// Volumes of air per volume of liquid that the exposure limits ask for.
fn health_demand(
    liquid: &Liquid,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    period: ExposurePeriod,
) -> Result<f64, AirError> {
    let weight = |vapour: &Vapour| vapour.per_exposure_limit(period);
    Ok(mixing.divisor() * weighed(liquid, temperature, weight)?)
}

/// Volumes of air per volume of liquid that the lower flammable limit asks for.
fn fire_demand(
    liquid: &Liquid,
    temperature: ThermodynamicTemperature,
    mixing: MixingFactor,
    safety_factor: f64,
) -> Result<f64, AirError> {
    if !(safety_factor >= LEAST_SAFETY_FACTOR && safety_factor.is_finite()) {
        return Err(AirError::SafetyFactor);
    }
    let share = if temperature.get::<degree_celsius>() > WARM_CELSIUS { WARM_SHARE } else { 1.0 };
    let per_limit = weighed(liquid, temperature, Vapour::per_lower_limit)?;
    Ok(mixing.divisor() * safety_factor / share * per_limit)
}

fn weighed(
    liquid: &Liquid,
    temperature: ThermodynamicTemperature,
    weight: impl Fn(&Vapour) -> Result<f64, AirError>,
) -> Result<f64, AirError> {
    let mut sum = 0.0;
    for (component, times) in liquid.vapour_per_liquid(temperature)? {
        sum += times * weight(&component.vapour)?;
    }
    Ok(sum)
}

fn flow_for(used: VolumeRate, demand: f64) -> Result<VolumeRate, AirError> {
    if !zero_or_more(used.get::<cubic_meter_per_second>()) {
        return Err(AirError::Amount { what: "liquid in a given time".to_owned() });
    }
    if demand == 0.0 {
        return Err(AirError::NoLimit);
    }
    let flow = used * demand;
    if flow.is_finite() { Ok(flow) } else { Err(AirError::TooLarge) }
}

fn use_for(flow: VolumeRate, demand: f64) -> Result<VolumeRate, AirError> {
    if !zero_or_more(flow.get::<cubic_meter_per_second>()) {
        return Err(AirError::Flow);
    }
    if demand == 0.0 {
        return Err(AirError::NoLimit);
    }
    if demand.is_finite() { Ok(flow / demand) } else { Err(AirError::TooLarge) }
}
