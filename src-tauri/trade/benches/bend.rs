//! How long the bent rod with twelve guides and its line takes, against the sines and cosines that
//! any such solver has to work out.
//! Run with `cargo bench -p coldbench-trade --bench bend`. It prints and judges nothing.

use coldbench_trade::Measured;
use coldbench_trade::bend::{
    BendError, Curve, Guide, LineLoad, Loads, Modulus, Reel, Stiffness, Tube, Wall, solve,
};
use coldbench_trade::units::{
    Angle, Force, Length, Mass, Pressure, degree, gigapascal, gram, meter, millimeter, newton,
};
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 201;
/// Slopes at which sine and cosine are needed: 200 elements of four points, some twenty iterations.
const SINES: u32 = 200 * 4 * 20;
const AIM: f64 = 12.0;
/// What the picture of a screen takes at 60 a second.
const FRAME_MICROSECONDS: f64 = 16_667.0;

/// An invented blank of 2 m.
fn blank() -> Result<Stiffness, BendError> {
    let at = |at, d| Measured {
        from_butt: Length::new::<meter>(at),
        diameter: Length::new::<millimeter>(d),
    };
    let wall = |at, t| (Length::new::<meter>(at), Length::new::<millimeter>(t));
    Stiffness::of(&Tube {
        length: Length::new::<meter>(2.0),
        measured: vec![at(0.0, 12.0), at(0.7, 9.1), at(1.4, 5.2), at(2.0, 2.0)],
        joins: Vec::new(),
        wall: Wall::At(vec![wall(0.0, 0.8), wall(2.0, 0.4)]),
        modulus: Modulus::Even(Pressure::new::<gigapascal>(60.0)),
    })
}

/// Twelve guides, nearer each other towards the tip, 6 N straight down.
fn loads() -> Loads {
    let guides = (0..12).map(|count| {
        let part = f64::from(count) / 11.0;
        Guide {
            from_butt: Length::new::<meter>(0.55 + 1.45 * part * (1.6 - 0.6 * part)),
            height: Length::new::<millimeter>(32.0 - 28.0 * part),
            mass: Mass::new::<gram>(3.0 - 2.5 * part),
        }
    });
    let reel =
        Reel { from_butt: Length::new::<meter>(0.1), height: Length::new::<millimeter>(60.0) };
    let line = LineLoad {
        reel,
        guides: guides.collect(),
        tension: Force::new::<newton>(6.0),
        direction: Angle::new::<degree>(90.0),
        friction: None,
    };
    Loads { line: Some(line), ..Loads::default() }
}

fn sines() -> f64 {
    (0..SINES).map(|n| (f64::from(n) * 1e-4).sin_cos()).fold(0.0, |sum, (a, b)| sum + a * b)
}

fn microseconds(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64() * 1e6
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn main() -> Result<(), BendError> {
    let (rod, line) = (blank()?, loads());
    let tip_load = Loads::on_tip(Force::new::<newton>(2.0), Angle::new::<degree>(90.0));
    let curve: Curve = solve(&rod, &line)?;
    let stations = curve.points().len();

    // In turn, so that all see the same machine.
    let (mut limits, mut lines, mut tips) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        limits.push(microseconds(|| {
            black_box(sines());
        }));
        lines.push(microseconds(|| {
            black_box(solve(black_box(&rod), black_box(&line)).is_ok());
        }));
        tips.push(microseconds(|| {
            black_box(solve(black_box(&rod), black_box(&tip_load)).is_ok());
        }));
    }
    let (limit, line, tip) = (median(limits), median(lines), median(tips));
    println!("{stations} stations, 12 guides, median of {ROUNDS} rounds");
    println!("{SINES} sines and cosines      {limit:.0} µs");
    println!("load on the tip              {tip:.0} µs");
    println!("line through the guides      {line:.0} µs");
    println!("ratio                        {:.1} (aim: at most {AIM})", line / limit);
    println!("share of a frame             {:.2}", line / FRAME_MICROSECONDS);
    Ok(())
}
