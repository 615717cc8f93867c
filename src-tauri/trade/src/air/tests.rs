//! Rules that hold for every room, and what is refused.

use super::*;
use crate::units::{
    MassDensity, MolarMass, Ratio, ThermodynamicTemperature, Volume, VolumeRate, cubic_meter,
    cubic_meter_per_hour, degree_celsius, gram_per_cubic_centimeter, gram_per_mole, liter, percent,
    ratio, second,
};
use proptest::collection::vec;
use proptest::prelude::*;

const DAY: f64 = 86_400.0;

fn at(share: f64) -> Limit {
    Limit::At(Ratio::new::<ratio>(share))
}

fn vapour() -> Vapour {
    Vapour {
        name: "demo solvent".to_owned(),
        molar_mass: MolarMass::new::<gram_per_mole>(58.08),
        lower_limit: at(0.025),
        eight_hours: at(250e-6),
        fifteen_minutes: at(500e-6),
        ceiling: Limit::NoneSet,
    }
}

fn room(volume: f64, k: f64) -> Room {
    let mixing = MixingFactor::dividing_the_flow(k).unwrap();
    Room::new(Volume::new::<cubic_meter>(volume), mixing).unwrap()
}

fn flow(from: f64, until: f64, rate: f64) -> Flow {
    Flow { from, until, rate: VolumeRate::new::<cubic_meter_per_hour>(rate) }
}

fn release(from: f64, until: f64, litres: f64) -> Release {
    let volume = Volume::new::<liter>(litres);
    Release { from, until, vapours: vec![Emitted { vapour: vapour(), volume }] }
}

/// The share of the vapour in the air over time.
fn share(room: Room, flows: &[Flow], releases: &[Release]) -> Curve {
    let air = RoomAir::new(room, flows.to_vec(), releases.to_vec()).unwrap();
    air.weighed(|_| Ok(1.0)).unwrap()
}

/// A day: flows one after the other with gaps, and releases at once or over a time.
#[derive(Debug, Clone)]
struct Day {
    volume: f64,
    k: f64,
    flows: Vec<Flow>,
    releases: Vec<Release>,
}

impl Day {
    fn curve(&self) -> Curve {
        share(room(self.volume, self.k), &self.flows, &self.releases)
    }
}

fn day() -> impl Strategy<Value = Day> {
    let flows = vec((0.0..7200.0, 60.0..20_000.0, prop_oneof![Just(0.0), 5.0..3000.0]), 0..6)
        .prop_map(|steps| {
            let mut time = 0.0;
            let mut flows = Vec::new();
            for (gap, length, rate) in steps {
                // Some begin just where the one before ends.
                let from = time + if gap < 2000.0 { 0.0 } else { gap };
                time = from + length;
                flows.push(flow(from, time, rate));
            }
            flows
        });
    // Some fall on the same hour.
    let times = prop_oneof![0.0..DAY, (0_u32..24).prop_map(|hour| f64::from(hour) * 3600.0)];
    let releases = vec((times, prop_oneof![Just(0.0), 1.0..30_000.0], 0.0..300.0), 0..12)
        .prop_map(|all| all.into_iter().map(|(t, d, v)| release(t, t + d, v)).collect());
    (10.0..200.0, 1.0..10.0, flows, releases).prop_map(|(volume, k, flows, releases)| Day {
        volume,
        k,
        flows,
        releases,
    })
}

fn close(got: f64, expected: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((got - expected).abs() <= tolerance, "{got} is not {expected} ± {tolerance}");
    Ok(())
}

/// The fresh air flow at a time, in m³/s, over the mixing factor.
fn effective(day: &Day, time: f64) -> f64 {
    let now = day.flows.iter().find(|f| f.from <= time && time < f.until);
    now.map_or(0.0, |f| f.rate.get::<cubic_meter_per_hour>() / 3600.0 / day.k)
}

/// What all releases gave off by a time, m³.
fn given_off(day: &Day, time: f64) -> f64 {
    day.releases
        .iter()
        .map(|r| {
            let share = if time < r.from {
                0.0
            } else if time >= r.until {
                1.0
            } else {
                (time - r.from) / (r.until - r.from)
            };
            r.vapours[0].volume.get::<cubic_meter>() * share
        })
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Twice the vapour is twice the curve, and two sets of releases add up.
    #[test]
    fn linear(day in day(), more in day(), time in 0.0..3.0 * DAY) {
        let both = Day {
            releases: day.releases.iter().chain(&more.releases).cloned().collect(),
            ..day.clone()
        };
        let other = Day { releases: more.releases.clone(), ..day.clone() };
        let (a, b) = (day.curve().value(time).unwrap(), other.curve().value(time).unwrap());
        let sum = both.curve().value(time).unwrap();
        close(sum, a + b, 1e-12 * (a + b) + 1e-18)?;
        let twice: Vec<_> = day.releases.iter().map(|r| release(
            r.from, r.until, 2.0 * r.vapours[0].volume.get::<liter>())).collect();
        let doubled = Day { releases: twice, ..day.clone() };
        close(doubled.curve().value(time).unwrap(), 2.0 * a, 2e-12 * a)?;
    }

    #[test]
    fn never_negative(day in day(), times in vec(-DAY..4.0 * DAY, 20)) {
        let curve = day.curve();
        for time in times {
            let value = curve.value(time).unwrap();
            prop_assert!(value >= 0.0 && value.is_finite());
            prop_assert!(curve.average(time, time + 100.0).unwrap() >= 0.0);
        }
    }

    /// What came in is in the air or was carried off.
    #[test]
    fn mass_balance(day in day(), time in 0.0..3.0 * DAY) {
        let curve = day.curve();
        let mut carried = 0.0;
        for f in &day.flows {
            let until = f.until.min(time);
            if f.from < until {
                carried += effective(&day, f.from) * curve.integral(f.from, until).unwrap();
            }
        }
        let inside = curve.value(time).unwrap() * day.volume;
        let came = given_off(&day, time);
        close(inside + carried, came, 1e-9 * came + 1e-15)?;
    }

    #[test]
    fn splitting_an_interval_changes_nothing(day in day(), mut times in vec(-100.0..3.0 * DAY, 5)) {
        times.sort_by(f64::total_cmp);
        let curve = day.curve();
        let whole = curve.integral(times[0], times[4]).unwrap();
        let split: f64 =
            times.windows(2).map(|pair| curve.integral(pair[0], pair[1]).unwrap()).sum();
        close(split, whole, 1e-11 * whole + 1e-15)?;
        // Nor does cutting a flow in two.
        let mut cut = day.clone();
        cut.flows = day.flows.iter().flat_map(|f| {
            let middle = f64::midpoint(f.from, f.until);
            [Flow { until: middle, ..*f }, Flow { from: middle, ..*f }]
        }).collect();
        let value = curve.value(times[2]).unwrap();
        close(cut.curve().value(times[2]).unwrap(), value, 1e-12 * value)?;
    }

    #[test]
    fn order_of_records_does_not_matter(day in day(), time in 0.0..2.0 * DAY, turn in 0_usize..12) {
        let mut other = day.clone();
        other.flows.reverse();
        other.releases.reverse();
        let turn = turn % other.releases.len().max(1);
        other.releases.rotate_left(turn);
        // To the last bit.
        prop_assert_eq!(day.curve(), other.curve());
        prop_assert_eq!(day.curve().value(time), other.curve().value(time));
    }

    /// From the time given on the value stays at or below the limit; just before it did not.
    #[test]
    fn settles_and_stays(
        day in day(), ppm in 1.0..3000.0, now in 0.0..2.0 * DAY, last in prop_oneof![Just(0.0), 5.0..3000.0]
    ) {
        let (mut day, limit) = (day, ppm * 1e-6);
        let end = day.flows.last().map_or(0.0, |f| f.until);
        day.flows.push(flow(end, f64::INFINITY, last));
        let curve = day.curve();
        let far = curve.value(1e9).unwrap();
        match curve.settles_at(limit, now).unwrap() {
            None => prop_assert!(far > limit && last == 0.0),
            Some(time) => {
                prop_assert!(time >= now);
                let ends = [2.0 * DAY, 4.0 * DAY, 1e8];
                for until in ends.into_iter().filter(|&until| until > time) {
                    let highest = curve.highest(time, until).unwrap();
                    prop_assert!(curve.value(time).unwrap() <= limit);
                    prop_assert!(highest <= limit * (1.0 + 1e-12), "{highest} > {limit}");
                }
                if time > now {
                    let before = curve.value(time - 1e-3).unwrap();
                    prop_assert!(before > limit * (1.0 - 1e-9), "{before} <= {limit}");
                }
            }
        }
    }

    #[test]
    fn more_flow_is_never_later(
        day in day(), ppm in 1.0..3000.0, now in 0.0..DAY, last in 0.0..2000.0, more in 1.0..5.0,
        extra in 0.0..500.0
    ) {
        let with = |factor: f64, extra: f64| {
            let mut flows: Vec<Flow> =
                day.flows.iter().map(|f| Flow { rate: f.rate * factor, ..*f }).collect();
            let end = flows.last().map_or(0.0, |f| f.until);
            flows.push(flow(end, f64::INFINITY, last * factor + extra));
            let curve = Day { flows, ..day.clone() }.curve();
            curve.settles_at(ppm * 1e-6, now).unwrap().unwrap_or(f64::INFINITY)
        };
        let (less, more) = (with(1.0, 0.0), with(more, extra));
        prop_assert!(more <= less * (1.0 + 1e-12) + 1e-6, "{more} is later than {less}");
    }

    /// One release under one flow is `C0 exp(-Q t / (K V))`, and one steady release
    /// `(G K / Q) (1 - exp(-Q t / (K V)))`.
    #[test]
    fn one_release_is_the_known_solution(
        volume in 10.0..200.0, k in 1.0..10.0, q in 1.0..3000.0, litres in 0.1..500.0,
        time in 0.0..DAY
    ) {
        let room = room(volume, k);
        let flows = [flow(0.0, f64::INFINITY, q)];
        let left = (-q / 3600.0 / k / volume * time).exp();
        let at_once = share(room, &flows, &[release(0.0, 0.0, litres)]);
        let expected = litres / 1000.0 / volume * left;
        close(at_once.value(time).unwrap(), expected, 1e-12 * expected)?;
        let steady = share(room, &flows, &[release(0.0, DAY, litres)]);
        let expected = litres / 1000.0 / DAY * 3600.0 * k / q * (1.0 - left);
        close(steady.value(time).unwrap(), expected, 1e-9 * expected + 1e-15)?;
    }

    #[test]
    fn samples_are_the_curve(day in day(), from in -1000.0..DAY, length in 1.0..2.0 * DAY,
                             count in 2_usize..3000) {
        let curve = day.curve();
        let samples = curve.samples(from, from + length, count).unwrap();
        prop_assert_eq!(samples.len(), count);
        prop_assert_eq!(samples[0].at.to_bits(), from.to_bits());
        prop_assert_eq!(samples[count - 1].at.to_bits(), (from + length).to_bits());
        let highest = curve.highest(from, from + length).unwrap();
        for Sample { at, value } in samples {
            close(value, curve.value(at).unwrap(), 1e-12 * highest)?;
            prop_assert!(value <= highest * (1.0 + 1e-12));
        }
    }

    /// The highest quarter of an hour against windows tried one by one.
    #[test]
    fn highest_fifteen_minutes_is_not_missed(
        day in day(), mut times in vec(0.0..DAY, 6), steps in 10_u32..2000
    ) {
        times.sort_by(f64::total_cmp);
        let curve = day.curve();
        let other = Day { releases: day.releases.iter().rev().take(3).cloned().collect(), ..day }
            .curve();
        let stays = vec![
            Stay { curve: &curve, from: times[0], until: times[1] },
            Stay { curve: &other, from: times[2], until: times[3] },
            Stay { curve: &curve, from: times[3], until: f64::INFINITY },
        ];
        prop_assume!(times.windows(2).all(|pair| pair[0] < pair[1]));
        let exposure = Exposure::new(stays).unwrap();
        let now = times[5];
        let highest = exposure.highest_fifteen_minutes(now).unwrap();
        let mut tried = 0.0_f64;
        for step in 0..=steps {
            let end = times[0] + (now - times[0]) * f64::from(step) / f64::from(steps);
            tried = tried.max(exposure.fifteen_minute_average(end).unwrap());
        }
        prop_assert!(tried <= highest * (1.0 + 1e-12), "{tried} > {highest}");
        prop_assert!(highest <= exposure.highest(now).unwrap() * (1.0 + 1e-12));
        // It is the average of some window: between two tries it can't be far off.
        let width = (now - times[0]) / f64::from(steps);
        let most = exposure.highest(now).unwrap() * width / 900.0;
        prop_assert!(highest <= tried + most * (1.0 + 1e-9), "{highest} far above {tried}");
    }
}

proptest! {
    // Each case takes thousands of steps.
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Against a fourth-order Runge-Kutta method with fine steps, which knows nothing of the
    /// closed form. It is started anew at each event, where the right side jumps.
    #[test]
    fn agrees_with_runge_kutta(day in day()) {
        let curve = day.curve();
        let mut events: Vec<f64> = vec![0.0, 1.5 * DAY];
        events.extend(day.flows.iter().flat_map(|f| [f.from, f.until]));
        events.extend(day.releases.iter().flat_map(|r| [r.from, r.until]));
        events.sort_by(f64::total_cmp);
        events.dedup();
        let (mut c, mut highest) = (0.0, 0.0_f64);
        for pair in events.windows(2) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let litres = |r: &Release| r.vapours[0].volume.get::<cubic_meter>();
            for r in &day.releases {
                if r.from >= r.until && r.from.to_bits() == pair[0].to_bits() {
                    c += litres(r) / day.volume;
                }
            }
            highest = highest.max(c);
            close(curve.value(pair[0]).unwrap(), c, 1e-9 * highest)?;
            let source: f64 = day.releases.iter()
                .filter(|r| r.from < middle && middle < r.until)
                .map(|r| litres(r) / (r.until - r.from)).sum();
            let q = effective(&day, middle);
            let slope = |c: f64| (source - q * c) / day.volume;
            let h = (pair[1] - pair[0]) / 4000.0;
            for _ in 0..4000 {
                let k1 = slope(c);
                let k2 = slope(c + h / 2.0 * k1);
                let k3 = slope(c + h / 2.0 * k2);
                let k4 = slope(c + h * k3);
                c += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            }
            highest = highest.max(c);
        }
    }
}

#[test]
fn without_flow_it_never_settles() {
    let room = room(40.0, 3.0);
    let releases = [release(0.0, 0.0, 100.0)];
    let limit = 0.0025 * 0.5;
    // No reading, a reading of nothing, and a flow that stops too early.
    for flows in [vec![], vec![flow(0.0, f64::INFINITY, 0.0)], vec![flow(0.0, 60.0, 300.0)]] {
        assert_eq!(share(room, &flows, &releases).settles_at(limit, 30.0), Ok(None));
    }
    let flows = [flow(0.0, f64::INFINITY, 300.0)];
    let time = share(room, &flows, &releases).settles_at(limit, 30.0).unwrap().unwrap();
    assert!((time - 3.0 * 40.0 / 300.0 * 3600.0 * 2.0_f64.ln()).abs() < 1e-6, "{time}");
    // Zero is never reached, but it is there when nothing was released.
    assert_eq!(share(room, &flows, &releases).settles_at(0.0, 0.0), Ok(None));
    assert_eq!(share(room, &flows, &[]).settles_at(0.0, 5.0), Ok(Some(5.0)));
    // A release still to come is on record too.
    let later = [release(0.0, 0.0, 100.0), release(50_000.0, 50_000.0, 100.0)];
    let settles = share(room, &flows, &later).settles_at(limit, 30.0).unwrap().unwrap();
    assert!(settles > 50_000.0);
}

/// In so short a time next to nothing is carried off: half the growth times the time, less a third
/// of that for what is.
#[test]
fn the_first_seconds_of_a_steady_release() {
    let curve =
        share(room(100.0, 1.0), &[flow(0.0, f64::INFINITY, 3.6)], &[release(0.0, 1000.0, 100.0)]);
    let rate = 1e-5;
    for time in [1e-3, 0.1, 10.0] {
        let expected = 1e-6 * time * time / 2.0 * (1.0 - rate * time / 3.0);
        let got = curve.integral(0.0, time).unwrap();
        assert!((got / expected - 1.0).abs() < (rate * time).powi(2) + 1e-14, "{got} {expected}");
    }
}

#[test]
fn a_release_counts_at_its_own_time() {
    let curve = share(room(50.0, 1.0), &[], &[release(10.0, 10.0, 50.0)]);
    assert_eq!(curve.value(10.0_f64.next_down()), Ok(0.0));
    assert_eq!(curve.value(10.0), Ok(0.001));
    assert_eq!(curve.highest(0.0, 10.0), Ok(0.001));
    let stay = Stay { curve: &curve, from: 10.0, until: f64::INFINITY };
    assert_eq!(Exposure::new(vec![stay]).unwrap().highest(10.0), Ok(0.001));
}

#[test]
fn unknown_limits_give_no_figure() {
    let unknown = Vapour {
        name: "thinner".to_owned(),
        lower_limit: Limit::Unknown,
        eight_hours: Limit::Unknown,
        ..vapour()
    };
    let name = || "thinner".to_owned();
    // Even if next to nothing of it is there.
    let trace = Emitted { vapour: unknown.clone(), volume: Volume::new::<liter>(0.0) };
    let mut with_trace = release(0.0, 0.0, 10.0);
    with_trace.vapours.push(trace);
    let air = RoomAir::new(room(40.0, 1.0), vec![], vec![with_trace]).unwrap();
    let (fire, health) = (
        AirError::UnknownLowerLimit { name: name() },
        AirError::UnknownExposureLimit { name: name() },
    );
    assert_eq!(air.fraction_of_lower_limit(), Err(fire.clone()));
    assert_eq!(air.exposure_index(ExposurePeriod::EightHours), Err(health.clone()));
    assert!(air.exposure_index(ExposurePeriod::FifteenMinutes).is_ok());
    let part = [(Ratio::new::<ratio>(0.0), &unknown)];
    assert_eq!(fraction_of_lower_limit(&part), Err(fire.clone()));
    assert_eq!(mixture_lower_limit(&part), Err(fire.clone()));
    assert_eq!(exposure_index(&part, ExposurePeriod::EightHours), Err(health.clone()));
    let liquid = liquid(unknown, 1.0).unwrap();
    let (flow, mixing) = (VolumeRate::new::<cubic_meter_per_hour>(100.0), mixing());
    assert_eq!(fire_use(&liquid, flow, celsius(20.0), mixing, 10.0), Err(fire));
    assert_eq!(
        health_use(&liquid, flow, celsius(20.0), mixing, ExposurePeriod::EightHours),
        Err(health)
    );
    // A percent taken for a share, and limits that are none.
    for bad in [2.5, 1.0, 0.0, -0.1, f64::NAN, f64::INFINITY] {
        let wrong = Vapour { lower_limit: at(bad), ..vapour() };
        assert_eq!(
            fraction_of_lower_limit(&[(Ratio::new::<ratio>(0.001), &wrong)]),
            Err(AirError::LimitRange { name: "demo solvent".to_owned() }),
            "{bad}"
        );
    }
    // What does not burn counts nothing, and sets no flow.
    let water = Vapour { lower_limit: Limit::NoneSet, ..vapour() };
    let part = [(Ratio::new::<ratio>(0.01), &water)];
    assert_eq!(fraction_of_lower_limit(&part), Ok(Ratio::new::<ratio>(0.0)));
    assert_eq!(mixture_lower_limit(&part), Err(AirError::NoLimit));
    let water = self::liquid(water, 1.0).unwrap();
    assert_eq!(fire_use(&water, flow, celsius(20.0), mixing, 10.0), Err(AirError::NoLimit));
}

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

fn mixing() -> MixingFactor {
    MixingFactor::dividing_the_flow(1.0).unwrap()
}

fn liquid(vapour: Vapour, share: f64) -> Result<Liquid, AirError> {
    let component = Component { share: Ratio::new::<ratio>(share), vapour };
    Liquid::new(MassDensity::new::<gram_per_cubic_centimeter>(0.79), vec![component])
}

#[test]
fn bad_rooms_flows_and_records_are_refused() {
    for bad in [0.0, -5.0, f64::NAN, f64::INFINITY] {
        let volume = Volume::new::<cubic_meter>(bad);
        assert_eq!(Room::new(volume, mixing()), Err(AirError::RoomVolume));
    }
    for bad in [0.99, 0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(MixingFactor::dividing_the_flow(bad), Err(AirError::MixingDivisor));
    }
    for bad in [1.01, 0.0, -0.2, f64::NAN, f64::INFINITY] {
        assert_eq!(MixingFactor::multiplying_the_flow(bad), Err(AirError::MixingMultiplier));
    }
    let room = room(40.0, 3.0);
    let build = |flows: Vec<Flow>, releases: Vec<Release>| RoomAir::new(room, flows, releases);
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(build(vec![flow(0.0, 1.0, bad)], vec![]), Err(AirError::Flow), "{bad}");
        let amount = AirError::Amount { what: "demo solvent".to_owned() };
        assert_eq!(build(vec![], vec![release(0.0, 0.0, bad)]), Err(amount), "{bad}");
    }
    let overlapping = vec![flow(10.0, 30.0, 100.0), flow(0.0, 11.0, 100.0)];
    assert_eq!(build(overlapping, vec![]), Err(AirError::FlowsOverlap));
    let running_on = vec![flow(0.0, f64::INFINITY, 100.0), flow(20.0, 30.0, 100.0)];
    assert_eq!(build(running_on, vec![]), Err(AirError::FlowsOverlap));
    assert_eq!(build(vec![flow(5.0, 5.0, 100.0)], vec![]), Err(AirError::Interval));
    assert_eq!(build(vec![], vec![release(5.0, 4.0, 1.0)]), Err(AirError::Interval));
    assert_eq!(build(vec![flow(f64::NAN, 5.0, 1.0)], vec![]), Err(AirError::Time));
    assert_eq!(build(vec![flow(0.0, f64::NAN, 1.0)], vec![]), Err(AirError::Time));
    assert_eq!(build(vec![], vec![release(0.0, f64::INFINITY, 1.0)]), Err(AirError::Time));
    assert_eq!(build(vec![flow(0.0, 1.0, 1e12)], vec![]), Err(AirError::TooLarge));
    let huge = build(vec![], vec![release(0.0, 0.0, 1e308); 2000]).unwrap();
    assert_eq!(huge.fraction_of_lower_limit(), Err(AirError::TooLarge));

    let curve = share(room, &[], &[release(0.0, 0.0, 1.0)]);
    assert_eq!(curve.value(f64::NAN), Err(AirError::Time));
    assert_eq!(curve.average(1.0, 1.0), Err(AirError::Interval));
    assert_eq!(curve.average(f64::NAN, 1.0), Err(AirError::Time));
    assert_eq!(curve.samples(0.0, 1.0, 1), Err(AirError::Samples));
    assert_eq!(curve.settles_at(f64::NAN, 0.0), Err(AirError::Level));
    assert_eq!(curve.settles_at(-1.0, 0.0), Err(AirError::Level));
    assert_eq!(curve.settles_at(0.1, f64::NAN), Err(AirError::Time));
    let stay = |from, until| Stay { curve: &curve, from, until };
    assert_eq!(Exposure::new(vec![stay(5.0, 9.0), stay(0.0, 6.0)]), Err(AirError::StaysOverlap));
    assert_eq!(Exposure::new(vec![stay(5.0, 5.0)]), Err(AirError::Interval));
    assert_eq!(Exposure::new(vec![stay(f64::NAN, 5.0)]), Err(AirError::Time));
}

#[test]
fn bad_liquids_and_targets_are_refused() {
    let name = || "demo solvent".to_owned();
    for bad in [-0.1, 1.1, f64::NAN] {
        assert_eq!(liquid(vapour(), bad), Err(AirError::Share { name: name() }), "{bad}");
    }
    // 0.058 is a molar mass in kg/mol read as g/mol.
    for bad in [0.0, 0.058, -1.0, f64::NAN, 1e6] {
        let molar_mass = MolarMass::new::<gram_per_mole>(bad);
        let wrong = Vapour { molar_mass, ..vapour() };
        assert_eq!(liquid(wrong, 1.0), Err(AirError::MolarMass { name: name() }), "{bad}");
        assert!(mass_concentration(Ratio::new::<percent>(1.0), molar_mass).is_err());
    }
    let density = MassDensity::new::<gram_per_cubic_centimeter>(0.8);
    assert_eq!(Liquid::new(density, vec![]), Err(AirError::NoComponents));
    assert_eq!(Liquid::new(-density, vec![]), Err(AirError::Density));
    let good = liquid(vapour(), 1.0).unwrap();
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        let used = Volume::new::<liter>(bad);
        assert!(matches!(good.vapours(used, celsius(20.0)), Err(AirError::Amount { .. })));
        let level = Ratio::new::<ratio>(bad);
        assert_eq!(fraction_of_lower_limit(&[(level, &vapour())]), Err(AirError::Level));
        assert_eq!(
            mass_concentration(level, MolarMass::new::<gram_per_mole>(58.0)),
            Err(AirError::Level)
        );
    }
    // 20 K: a Celsius number read as kelvin.
    for bad in [-253.15, 500.0, f64::NAN] {
        let vapours = good.vapours(Volume::new::<liter>(1.0), celsius(bad));
        assert!(matches!(vapours, Err(AirError::Temperature { .. })), "{bad}");
    }
    let flow = VolumeRate::new::<cubic_meter_per_hour>(100.0);
    for bad in [3.9, 0.0, f64::NAN, f64::INFINITY] {
        let used = fire_use(&good, flow, celsius(20.0), mixing(), bad);
        assert_eq!(used, Err(AirError::SafetyFactor));
    }
    let level = |share: f64| Ratio::new::<ratio>(share);
    let purge = |flow, from, to| purge_time(&room(40.0, 3.0), flow, level(from), level(to));
    assert_eq!(purge(flow * 0.0, 1.0, 0.1), Err(AirError::NoFlow));
    assert_eq!(purge(-flow, 1.0, 0.1), Err(AirError::Flow));
    assert_eq!(purge(flow, 1.0, 0.0), Err(AirError::Level));
    assert_eq!(purge(flow, f64::NAN, 0.1), Err(AirError::Level));
    assert!(purge(flow, 0.1, 1.0).unwrap().get::<second>().abs() < 1e-12);
    // No flow allows no use: zero, not an error, and nothing that looks good.
    let none = fire_use(&good, flow * 0.0, celsius(20.0), mixing(), 10.0).unwrap();
    assert!(none.get::<cubic_meter_per_hour>().abs() < 1e-300);
}

#[test]
fn heat_without_its_limits_is_refused() {
    assert_eq!(gun_against_autoignition(celsius(300.0), None), Err(AirError::UnknownAutoignition));
    assert_eq!(gun_against_material(celsius(300.0), None), Err(AirError::UnknownMaterialLimit));
    for bad in [f64::NAN, f64::INFINITY, -300.0] {
        assert!(gun_against_autoignition(celsius(bad), Some(celsius(400.0))).is_err());
        assert!(gun_against_autoignition(celsius(300.0), Some(celsius(bad))).is_err());
        assert!(gun_against_material(celsius(bad), Some(celsius(90.0))).is_err());
        assert!(flammable_category(celsius(bad), None).is_err());
        assert!(handling_when_heated(celsius(40.0), None, celsius(bad)).is_err());
    }
    assert_eq!(flammable_category(celsius(10.0), None), Ok(Some(FlammableCategory::One)));
    assert!(gun_against_material(celsius(90.0), Some(celsius(90.0))).unwrap().holds());
    assert!(!gun_against_material(celsius(90.1), Some(celsius(90.0))).unwrap().holds());
}
