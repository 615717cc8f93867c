//! How long the curve of a busy day takes, against the best plain loop for the same numbers.
//! Run with `cargo bench -p coldbench-trade`. It prints and judges nothing.
//!
//! For comparison, measured once on 2026-11-25 with Python 3.11.7 and scipy 1.17.1 on the same
//! machine (Intel Xeon, 2 cores, shared): `scipy.integrate.solve_ivp`, started anew at each of the
//! 500 releases, took 220 ms with method DOP853 at rtol 2.3e-14 to come within 6e-14 of the highest
//! value, and 243 ms with RK45 at rtol 1e-12 (2e-13). The plain loop took 0.19 ms then.

use coldbench_trade::air::{
    AirError, Emitted, Flow, Limit, MixingFactor, Release, Room, RoomAir, Sample, Vapour,
};
use coldbench_trade::units::{
    MolarMass, Ratio, Volume, VolumeRate, cubic_meter, cubic_meter_per_hour, gram_per_mole, liter,
    percent,
};
use std::hint::black_box;
use std::time::Instant;

const RELEASES: u32 = 500;
const SECONDS: u32 = 86_400;
const ROOM_M3: f64 = 60.0;
const K: f64 = 4.0;
const FLOW_M3_H: f64 = 350.0;
const LOWER_LIMIT: f64 = 0.025;
const ROUNDS: usize = 101;
const AIM: f64 = 1.5;

/// When (s) and how much vapour (litres): 500 wipes spread unevenly over the day.
fn wipes() -> Vec<(f64, f64)> {
    (0..RELEASES)
        .map(|n| {
            let x = f64::from(n);
            (x * 170.0 + 80.0 * (x * 0.7).sin() + 80.5, 3.0 + 2.0 * (x * 1.3).cos())
        })
        .collect()
}

/// The sum by hand: what is left is carried from second to second.
fn plain(wipes: &[(f64, f64)], samples: &mut Vec<Sample>) {
    let rate = FLOW_M3_H / 3600.0 / K / ROOM_M3;
    let left = (-rate).exp();
    let mut next = 0;
    let mut value = 0.0;
    for second in 0..=SECONDS {
        let at = f64::from(second);
        while next < wipes.len() && wipes[next].0 <= at {
            let (time, litres) = wipes[next];
            value += litres / 1000.0 / ROOM_M3 / LOWER_LIMIT * (-rate * (at - time)).exp();
            next += 1;
        }
        samples.push(Sample { at, value });
        value *= left;
    }
}

fn ours(air: &RoomAir) -> Result<Vec<Sample>, AirError> {
    let curve = air.fraction_of_lower_limit()?;
    curve.samples(0.0, f64::from(SECONDS), SECONDS as usize + 1)
}

fn milliseconds(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64() * 1000.0
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn main() -> Result<(), AirError> {
    let wipes = wipes();
    let vapour = Vapour {
        name: "demo solvent".to_owned(),
        molar_mass: MolarMass::new::<gram_per_mole>(58.08),
        lower_limit: Limit::At(Ratio::new::<percent>(LOWER_LIMIT * 100.0)),
        eight_hours: Limit::Unknown,
        fifteen_minutes: Limit::Unknown,
        ceiling: Limit::Unknown,
    };
    let releases = wipes
        .iter()
        .map(|&(at, litres)| {
            let volume = Volume::new::<liter>(litres);
            Release {
                from: at,
                until: at,
                vapours: vec![Emitted { vapour: vapour.clone(), volume }],
            }
        })
        .collect();
    let room = Room::new(Volume::new::<cubic_meter>(ROOM_M3), MixingFactor::dividing_the_flow(K)?)?;
    let rate = VolumeRate::new::<cubic_meter_per_hour>(FLOW_M3_H);
    let flow = Flow { from: 0.0, until: f64::INFINITY, rate };
    let air = RoomAir::new(room, vec![flow], releases)?;

    let curve = ours(&air)?;
    let mut by_hand = Vec::new();
    plain(&wipes, &mut by_hand);
    let highest = by_hand.iter().fold(0.0, |highest: f64, sample| highest.max(sample.value));
    let apart = curve.iter().zip(&by_hand).map(|(a, b)| (a.value - b.value).abs());
    let apart = apart.fold(0.0, f64::max) / highest;

    // In turn, so that both see the same machine.
    let (mut plain_times, mut our_times) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        plain_times.push(milliseconds(|| {
            let mut samples = Vec::with_capacity(SECONDS as usize + 1);
            plain(black_box(&wipes), &mut samples);
            black_box(samples);
        }));
        our_times.push(milliseconds(|| {
            black_box(ours(black_box(&air)).is_ok());
        }));
    }
    let (plain_time, our_time) = (median(plain_times), median(our_times));
    println!("{RELEASES} releases, {SECONDS} samples, median of {ROUNDS} rounds");
    println!("largest difference     {apart:.1e} of the highest value");
    println!("plain loop             {plain_time:.3} ms");
    println!("curve and its samples  {our_time:.3} ms");
    println!("ratio                  {:.2} (aim: at most {AIM})", our_time / plain_time);
    Ok(())
}
