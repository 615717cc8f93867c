//! What is recorded of the air of a room, and what is estimated from it.
//!
//! An estimate is no gas detector. It knows what was set down and nothing else: everything that
//! was used counts as vapour at once, spread over the whole room, and the air moves only as long
//! as a reading of it counts. Near the bench and the floor there is more.

use crate::checklist::{HeatLimits, Material};
use crate::event::{Answer, Moment};
use crate::ids::{ContainerId, PersonId, StationId, TextDigest};
use crate::refusal::Refusal;
use crate::rod::Reading;
use crate::state::State;
use chrono::TimeDelta;
use coldbench_trade::air::{
    AirError, Component, Curve, Exposure, ExposurePeriod, FlammableCategory, Flow, Limit, Liquid,
    MixingFactor, Release, Room, RoomAir, Stay, Vapour, fire_use, flammable_category, health_use,
};
use coldbench_trade::units::{
    Area, MassDensity, MolarMass, Ratio, ThermodynamicTemperature, Velocity, Volume, VolumeRate,
    cubic_meter, cubic_meter_per_hour, degree_celsius, gram_per_cubic_centimeter, gram_per_mole,
    meter_per_second, milliliter, part_per_million, percent, ratio, square_meter,
};
use coldbench_trade::{
    LengthUnit, Measure, fan_flow, measured_flow, parse_measure, rated_flow, traverse_flow,
};
use std::collections::BTreeMap;

/// Vapour takes the room that 25 °C gives it: published limits are stated for that.
const ROOM_CELSIUS: f64 = 25.0;

/// What is recorded of the air of one room.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RoomRecord {
    /// Readings of the airflow, oldest first.
    pub readings: Vec<AirReading>,
    /// What was used, oldest first.
    pub releases: Vec<Released>,
    /// What was opened or used and not set down since.
    pub unaccounted: Vec<Unaccounted>,
    /// Since when each person signed anything in the room on the last day they did: they are
    /// taken to have stayed.
    pub since: BTreeMap<PersonId, Moment>,
    /// How warm it was, in °C, in the order in which it was set down.
    pub temperatures: Vec<(Moment, f64)>,
}

/// A reading of the airflow.
#[derive(Debug, Clone, PartialEq)]
pub struct AirReading {
    /// When.
    pub at: Moment,
    /// In m³/h; 0 once it was stopped.
    pub flow_m3_h: f64,
    /// In words.
    pub shown: String,
    /// By whom.
    pub by: Option<PersonId>,
}

/// What was used of a product.
#[derive(Debug, Clone, PartialEq)]
pub struct Released {
    /// When it was set down.
    pub at: Moment,
    /// At which station.
    pub station: StationId,
    /// Which material.
    pub material: TextDigest,
    /// How much, in mL.
    pub amount: Reading,
    /// What for.
    pub purpose: String,
    /// By whom.
    pub by: Option<PersonId>,
}

/// Something that gave off vapour, nobody has said how much.
#[derive(Debug, Clone, PartialEq)]
pub struct Unaccounted {
    /// Since when.
    pub at: Moment,
    /// At which station.
    pub station: StationId,
    /// What it was.
    pub what: String,
    /// The container, if it was one.
    pub container: Option<ContainerId>,
}

impl RoomRecord {
    pub(crate) fn read(&mut self, at: Moment, flow: VolumeRate, shown: &str, by: Option<PersonId>) {
        let flow_m3_h = flow.get::<cubic_meter_per_hour>();
        self.readings.push(AirReading { at, flow_m3_h, shown: shown.to_owned(), by });
    }

    pub(crate) fn warm(&mut self, at: Moment, celsius: f64) {
        self.temperatures.push((at, celsius));
    }

    pub(crate) fn stop(&mut self, at: Moment, by: Option<PersonId>) {
        let shown = "Stopped, or not known to run.".to_owned();
        self.readings.push(AirReading { at, flow_m3_h: 0.0, shown, by });
    }

    /// Somebody signed something in the room: on that day they are taken to stay.
    pub(crate) fn seen(&mut self, person: &PersonId, at: Moment) {
        match self.since.get_mut(person) {
            Some(since) if since.date_naive() == at.date_naive() => {}
            Some(since) => *since = at,
            None => {
                self.since.insert(person.clone(), at);
            }
        }
    }

    pub(crate) fn open(&mut self, what: Unaccounted) {
        self.unaccounted.push(what);
    }

    /// Takes in what was used. It answers for all that was used at that station before; for a
    /// container only once it is closed.
    pub(crate) fn release(&mut self, release: Released, open: &[ContainerId]) {
        self.unaccounted.retain(|earlier| {
            earlier.station != release.station
                || earlier.container.as_ref().is_some_and(|id| open.contains(id))
        });
        self.releases.push(release);
    }
}

/// An airflow as it was read, in words, without what follows from it for a room.
pub(crate) fn airflow_read(answer: &Answer, flow: VolumeRate) -> String {
    format!("{}: {:.0} m³/h.", airflow_words(answer), flow.get::<cubic_meter_per_hour>())
}

/// What an answer about the airflow comes to.
pub fn flow_of(answer: &Answer) -> Result<VolumeRate, Refusal> {
    let read = |text: &str, measure: Measure| {
        parse_measure(text, measure, LengthUnit::Millimetre)
            .map_err(|error| Refusal::BadValue { field: "Airflow".to_owned(), error })
    };
    let speed = |text: &str| {
        Ok::<_, Refusal>(Velocity::new::<meter_per_second>(read(text, Measure::AirSpeed)?))
    };
    let opening =
        |text: &str| Ok::<_, Refusal>(Area::new::<square_meter>(read(text, Measure::Area)?));
    let flow = |text: &str| {
        Ok::<_, Refusal>(VolumeRate::new::<cubic_meter_per_hour>(read(text, Measure::AirFlow)?))
    };
    let share_of =
        |text: &str| Ok::<_, Refusal>(Ratio::new::<percent>(read(text, Measure::Percent)?));
    Ok(match answer {
        Answer::MeasuredAirflow { speed: v, opening: a } => measured_flow(speed(v)?, opening(a)?)?,
        Answer::RatedAirflow { flow: q, share } => {
            rated_flow(flow(q)?, read(share, Measure::Percent)?)?
        }
        Answer::Traverse { speeds, opening: a, free } => {
            let speeds = speeds.iter().map(|v| speed(v)).collect::<Result<Vec<_>, _>>()?;
            traverse_flow(&speeds, opening(a)?, share_of(free)?)?
        }
        Answer::FilteredFan { flow: q, share, filter } => {
            fan_flow(flow(q)?, share_of(share)?, share_of(filter)?)?
        }
        _ => return Err(Refusal::AnswerDoesNotFit { check: "Airflow".to_owned() }),
    })
}

/// The airflow answer in words.
pub(crate) fn airflow_words(answer: &Answer) -> String {
    match answer {
        Answer::MeasuredAirflow { speed, opening } => {
            format!("{} through {}", speed.trim(), opening.trim())
        }
        Answer::RatedAirflow { flow, share } => {
            format!("{} rated, {} % counted", flow.trim(), bare(share))
        }
        Answer::Traverse { speeds, opening, free } => format!(
            "{} through {}, {} % of it free",
            speeds.iter().map(|speed| speed.trim()).collect::<Vec<_>>().join(", "),
            opening.trim(),
            bare(free)
        ),
        Answer::FilteredFan { flow, share, filter } => format!(
            "{} rated, {} % counted, less {} % for the filter",
            flow.trim(),
            bare(share),
            bare(filter)
        ),
        _ => String::new(),
    }
}

fn bare(share: &str) -> &str {
    share.trim().trim_end_matches('%').trim_end()
}

/// What can be said about the air of a room now.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// Percent of the lower flammable limit; or why it is not known.
    pub percent_of_lfl: Result<f64, String>,
    /// When it is at or below the limit for heat, the air moving on as it was read last; `None`
    /// if it never is, or is not known.
    pub heat_from: Option<Moment>,
    /// The airflow that counts now, in m³/h.
    pub flow_m3_h: f64,
    /// Until when the last reading counts.
    pub reading_until: Option<Moment>,
    /// The exposure of each person who signed anything in the room today.
    pub exposures: Vec<PersonExposure>,
}

/// What somebody breathed today, as the sum of the shares of the exposure limits; or why it is not
/// known. At 1 or less the limits are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonExposure {
    /// Who.
    pub person: PersonId,
    /// Since when they are taken to be in the room.
    pub since: Moment,
    /// Mean of the last fifteen minutes.
    pub fifteen_minutes: Result<f64, String>,
    /// The day so far as a mean of eight hours.
    pub eight_hours: Result<f64, String>,
}

/// Everything an estimate is made from, in seconds from a common zero.
struct Record {
    zero: Moment,
    air: RoomAir,
}

impl Record {
    fn seconds(&self, at: Moment) -> f64 {
        seconds(self.zero, at)
    }

    fn moment(&self, at: f64) -> Option<Moment> {
        // A settling time beyond a month is as good as never.
        if !(0.0..=3.0e6).contains(&at) {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "bounded just above")]
        let millis = (at * 1000.0).ceil() as i64;
        Some(self.zero + TimeDelta::milliseconds(millis))
    }
}

#[expect(clippy::cast_precision_loss, reason = "a few days in milliseconds are exact in a double")]
fn seconds(zero: Moment, at: Moment) -> f64 {
    (at - zero).num_milliseconds() as f64 / 1000.0
}

/// Estimates the air of a station's room.
pub fn estimate(state: &State, station: &StationId, limits: &HeatLimits, now: Moment) -> Estimate {
    let (flow_m3_h, reading_until) = flow_now(state, station, limits, now);
    let mut estimate = Estimate {
        percent_of_lfl: Err(String::new()),
        heat_from: None,
        flow_m3_h,
        reading_until,
        exposures: Vec::new(),
    };
    let today: Vec<(&PersonId, Moment)> = state
        .room_of(station)
        .into_iter()
        .flat_map(|room| &room.since)
        .filter(|(_, since)| since.date_naive() == now.date_naive() && **since <= now)
        .map(|(person, since)| (person, *since))
        .collect();
    let unknown = unaccounted(state, station, limits, now);
    // As it is now, and as it goes on if the air moves as it was read last.
    match (
        unknown,
        record(state, station, limits, now, false),
        record(state, station, limits, now, true),
    ) {
        (Some(why), _, _) | (None, Err(why), _) | (None, _, Err(why)) => {
            estimate.percent_of_lfl = Err(why.clone());
            estimate.exposures = today
                .into_iter()
                .map(|(person, since)| PersonExposure {
                    person: person.clone(),
                    since,
                    fifteen_minutes: Err(why.clone()),
                    eight_hours: Err(why.clone()),
                })
                .collect();
        }
        (None, Ok(now_is), Ok(goes_on)) => {
            let at = now_is.seconds(now);
            let known = now_is
                .air
                .fraction_of_lower_limit()
                .and_then(|curve| curve.value(at))
                .map(|fraction| fraction * 100.0);
            estimate.percent_of_lfl = known.map_err(|error| error.to_string());
            let limit = limits.vapour_percent_of_lfl / 100.0;
            estimate.heat_from = goes_on
                .air
                .fraction_of_lower_limit()
                .and_then(|curve| curve.settles_at(limit, at))
                .ok()
                .flatten()
                .and_then(|settled| goes_on.moment(settled));
            let short = now_is.air.exposure_index(ExposurePeriod::FifteenMinutes);
            let long = now_is.air.exposure_index(ExposurePeriod::EightHours);
            let mean = |index: &Result<Curve, AirError>, since, long: bool| {
                let curve = index.as_ref().map_err(ToString::to_string)?;
                let from = now_is.seconds(since).max(0.0);
                if from >= at {
                    return Ok(0.0);
                }
                Exposure::new(vec![Stay { curve, from, until: at }])
                    .and_then(|stay| {
                        if long {
                            stay.eight_hour_average(at)
                        } else {
                            stay.fifteen_minute_average(at)
                        }
                    })
                    .map_err(|error| error.to_string())
            };
            estimate.exposures = today
                .into_iter()
                .map(|(person, since)| PersonExposure {
                    person: person.clone(),
                    since,
                    fifteen_minutes: mean(&short, since, false),
                    eight_hours: mean(&long, since, true),
                })
                .collect();
        }
    }
    estimate
}

/// The course of the estimate in percent of the lower flammable limit, to be drawn: what was, and
/// what comes if the air moves on as it was read last.
pub fn course(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    now: Moment,
    until: Moment,
    points: usize,
) -> Result<Vec<(Moment, f64)>, String> {
    if let Some(why) = unaccounted(state, station, limits, now) {
        return Err(why);
    }
    let record = record(state, station, limits, now, true)?;
    let curve: Curve = record.air.fraction_of_lower_limit().map_err(|error| error.to_string())?;
    let from = record.zero.max(now - TimeDelta::hours(8));
    let samples = curve
        .samples(record.seconds(from), record.seconds(until), points)
        .map_err(|error| error.to_string())?;
    Ok(samples
        .into_iter()
        .filter_map(|sample| Some((record.moment(sample.at)?, sample.value * 100.0)))
        .collect())
}

/// The course over a time that is past, from `from` to `until`; `state` is that at `until`.
pub fn day_course(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    from: Moment,
    until: Moment,
    points: usize,
) -> Result<Vec<(Moment, f64)>, String> {
    if let Some(why) = unaccounted(state, station, limits, until) {
        return Err(why);
    }
    let record = record(state, station, limits, until, false)?;
    let told = |error: AirError| error.to_string();
    let curve = record.air.fraction_of_lower_limit().map_err(told)?;
    let samples = curve
        .samples(record.seconds(from.max(record.zero)), record.seconds(until), points)
        .map_err(told)?;
    Ok(samples
        .into_iter()
        .filter_map(|sample| Some((record.moment(sample.at)?, sample.value * 100.0)))
        .collect())
}

/// Why nothing is known, where something was opened or used of which nobody said how much.
fn unaccounted(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    now: Moment,
) -> Option<String> {
    let since = now - remembered(limits);
    let room = state.room_of(station)?;
    let is_open = |earlier: &Unaccounted| {
        let container = earlier.container.as_ref().and_then(|id| state.containers.get(id));
        container.is_some_and(|container| container.open)
    };
    room.unaccounted.iter().find(|earlier| is_open(earlier) || earlier.at >= since).map(|earlier| {
        if is_open(earlier) {
            format!("“{}” is open, so nobody knows how much vapour it gives off.", earlier.what)
        } else {
            format!("Nobody has set down how much was used: {}", earlier.what)
        }
    })
}

/// Whether anything at all was set down as used in the remembered time.
pub(crate) fn anything_released(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    now: Moment,
) -> bool {
    let since = now - remembered(limits);
    state.room_of(station).is_some_and(|room| {
        room.releases.iter().any(|release| release.at >= since && release.amount.value > 0.0)
    })
}

fn remembered(limits: &HeatLimits) -> TimeDelta {
    TimeDelta::hours(i64::from(limits.release_remembered_hours))
}

fn reading_holds(limits: &HeatLimits) -> TimeDelta {
    TimeDelta::minutes(i64::from(limits.air_reading_holds_minutes))
}

/// The airflow that counts at `now`, and until when.
fn flow_now(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    now: Moment,
) -> (f64, Option<Moment>) {
    let last = state.room_of(station).and_then(|room| room.readings.last());
    match last {
        Some(reading) if reading.flow_m3_h > 0.0 => {
            let until = reading.at + reading_holds(limits);
            // A reading from the future is none: the clock was put right since.
            let counts = now < until && reading.at <= now + crate::state::CLOCK_GRACE;
            (if counts { reading.flow_m3_h } else { 0.0 }, Some(until))
        }
        _ => (0.0, None),
    }
}

fn record(
    state: &State,
    station: &StationId,
    limits: &HeatLimits,
    now: Moment,
    goes_on: bool,
) -> Result<Record, String> {
    let told = |error: AirError| error.to_string();
    let volume = state
        .stations
        .get(station)
        .and_then(|station| station.room.as_ref())
        .map(|room| room.value)
        .ok_or("The volume of the room is not known. Measure it and set it down at the station’s air, under Ventilation.")?;
    let mixing = MixingFactor::dividing_the_flow(limits.mixing_factor).map_err(told)?;
    let room = Room::new(Volume::new::<cubic_meter>(volume), mixing).map_err(told)?;
    let empty = RoomRecord::default();
    let air = state.room_of(station).unwrap_or(&empty);
    let zero = now - remembered(limits);
    let mut releases = Vec::new();
    for release in air.releases.iter().filter(|release| release.at >= zero) {
        let material = state
            .material_text(&release.material)
            .ok_or("The text of a material can't be read by this version of Coldbench.")?;
        let at = seconds(zero, release.at);
        let liquid = liquid(material)?;
        let vapours = match liquid {
            Some(liquid) => liquid
                .vapours(
                    Volume::new::<milliliter>(release.amount.value),
                    ThermodynamicTemperature::new::<degree_celsius>(ROOM_CELSIUS),
                )
                .map_err(told)?,
            None => Vec::new(),
        };
        releases.push(Release { from: at, until: at, vapours });
    }
    let flows = flows(air, limits, zero, now, goes_on);
    Ok(Record { zero, air: RoomAir::new(room, flows, releases).map_err(told)? })
}

/// Each reading counts until the next one, and no longer than a reading holds.
fn flows(
    air: &RoomRecord,
    limits: &HeatLimits,
    zero: Moment,
    now: Moment,
    goes_on: bool,
) -> Vec<Flow> {
    let mut flows = Vec::new();
    // The clock may have been put back between two readings: only what comes in order counts.
    let mut readings: Vec<&AirReading> =
        air.readings.iter().filter(|reading| reading.at <= now).collect();
    readings.sort_by_key(|reading| reading.at);
    for (n, reading) in readings.iter().enumerate() {
        let next = readings.get(n + 1).map(|next| next.at);
        let holds_until = reading.at + reading_holds(limits);
        let runs_on = goes_on && next.is_none() && now < holds_until;
        let until = match next {
            Some(next) => seconds(zero, next.min(holds_until)),
            None if runs_on => f64::INFINITY,
            None => seconds(zero, holds_until),
        };
        let from = seconds(zero, reading.at);
        if until > from && until > 0.0 && reading.flow_m3_h > 0.0 {
            let rate = VolumeRate::new::<cubic_meter_per_hour>(reading.flow_m3_h);
            flows.push(Flow { from, until, rate });
        }
    }
    flows
}

/// How much of a material may evaporate in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourlyUse {
    /// In mL, so that the mean of the room stays at the limit for heat.
    pub for_heat_ml: f64,
    /// In mL, so that it stays at the eight-hour exposure limits; `None` where one is not stated.
    pub for_health_ml: Option<f64>,
}

/// How much of a material may evaporate in an hour at an airflow in m³/h, the air moving on.
/// `Ok(None)` where nothing of it evaporates and burns.
pub fn hourly_use(
    material: &Material,
    limits: &HeatLimits,
    flow_m3_h: f64,
) -> Result<Option<HourlyUse>, String> {
    let told = |error: AirError| error.to_string();
    let Some(liquid) = liquid(material)? else { return Ok(None) };
    let flow = VolumeRate::new::<cubic_meter_per_hour>(flow_m3_h);
    let warm = ThermodynamicTemperature::new::<degree_celsius>(ROOM_CELSIUS);
    let mixing = MixingFactor::dividing_the_flow(limits.mixing_factor).map_err(told)?;
    let millilitres = |rate: VolumeRate| rate.get::<cubic_meter_per_hour>() * 1e6;
    let factor = 100.0 / limits.vapour_percent_of_lfl;
    let for_heat = fire_use(&liquid, flow, warm, mixing, factor).map_err(told)?;
    let for_health = health_use(&liquid, flow, warm, mixing, ExposurePeriod::EightHours);
    Ok(Some(HourlyUse {
        for_heat_ml: millilitres(for_heat),
        for_health_ml: for_health.ok().map(millilitres),
    }))
}

/// The category of a material as a flammable liquid, by its flash and boiling point; `None` where
/// it has no flash point that is known, or one too high.
pub fn flammable_category_of(material: &Material) -> Option<FlammableCategory> {
    let celsius = |c: f64| ThermodynamicTemperature::new::<degree_celsius>(c);
    let flash = material.flash_c.given()?.least;
    let boils = material.boils_c.as_ref().map(|given| celsius(given.least));
    flammable_category(celsius(flash), boils).ok().flatten()
}

/// A material as a liquid that evaporates, at the worst end of its sheet; `None` if nothing of it
/// does.
fn liquid(material: &Material) -> Result<Option<Liquid>, String> {
    let worst = material.worst().map_err(|missing| {
        format!("{}: {}", material.title, missing.first().map_or("", String::as_str))
    })?;
    let (Some(density), false) = (&material.density_g_ml, worst.is_empty()) else {
        return Ok(None);
    };
    let components: Vec<Component> = worst
        .iter()
        .map(|component| Component {
            share: Ratio::new::<ratio>(component.share),
            vapour: Vapour {
                name: component.name.clone(),
                molar_mass: MolarMass::new::<gram_per_mole>(component.molar_mass_g_mol),
                lower_limit: component
                    .lower_limit_percent
                    .map_or(Limit::NoneSet, |lfl| Limit::At(Ratio::new::<percent>(lfl))),
                eight_hours: ppm(component.day_limit_ppm),
                fifteen_minutes: ppm(component.short_limit_ppm),
                ceiling: ppm(component.ceiling_ppm),
            },
        })
        .collect();
    let density = MassDensity::new::<gram_per_cubic_centimeter>(density.most);
    Liquid::new(density, components).map(Some).map_err(|error| error.to_string())
}

/// A limit that the sheet does not give is unknown, not absent.
fn ppm(limit: Option<f64>) -> Limit {
    limit.map_or(Limit::Unknown, |ppm| Limit::At(Ratio::new::<part_per_million>(ppm)))
}
