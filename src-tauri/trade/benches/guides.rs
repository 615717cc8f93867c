//! How long a search for a better layout takes, against bending the rod as often with
//! the layout it begins with.
//! Run with `cargo bench -p coldbench-trade --bench guides`. It prints and judges nothing.

use coldbench_trade::Measured;
use coldbench_trade::bend::{Modulus, Stiffness, Tube, Wall};
use coldbench_trade::guides::{
    GuideError, Layout, LoadTest, Ring, Room, Sits, improve, under_load,
};
use coldbench_trade::units::{
    Angle, Force, Length, Mass, Pressure, degree, gigapascal, gram, millimeter, newton,
};
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 5;
/// More than the search needs, so that it ends by itself.
const TRIES: usize = 3000;
const AIM: f64 = 1.5;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn ring(height: f64) -> Ring {
    Ring {
        size: mm(height),
        inside: mm(height * 0.6),
        height: mm(height),
        mass: Mass::new::<gram>(0.5),
    }
}

fn seconds(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64()
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// An invented rod of 2 m whose seven guides were spread evenly.
fn main() -> Result<(), GuideError> {
    let measured = [(0.0, 12.0), (2000.0, 2.0)];
    let blank = Stiffness::of(&Tube {
        length: mm(2000.0),
        measured: measured.map(|(at, d)| Measured { from_butt: mm(at), diameter: mm(d) }).into(),
        joins: Vec::new(),
        wall: Wall::Even(mm(0.4)),
        modulus: Modulus::Even(Pressure::new::<gigapascal>(60.0)),
    })?;
    let places: Vec<Length> = (1..=7).map(|k| mm(200.0 * f64::from(k))).collect();
    let layout = Layout::new(mm(2000.0), &places)?;
    let rings = [5.0, 5.0, 5.0, 6.0, 7.0, 9.0, 12.0].map(ring);
    let test = LoadTest {
        blank: &blank,
        sits: Sits::OnTop,
        reel_from_butt: mm(250.0),
        reel_height: mm(20.0),
        tip_top: ring(4.5),
        pull: Force::new::<newton>(5.0),
        direction: Angle::new::<degree>(90.0),
        butt: Angle::new::<degree>(0.0),
        friction: None,
        own_weight: false,
    };
    let room = Room { least_gap: mm(60.0), first_from: mm(550.0), first_to: mm(650.0) };
    let search = || improve(&test, black_box(&layout), &rings, &room, mm(0.5), TRIES);
    let found = search()?;

    // In turn, so that all see the same machine.
    let (mut limits, mut searches) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        limits.push(seconds(|| {
            for _ in 0..found.tried {
                black_box(under_load(&test, black_box(&layout), &rings).is_ok());
            }
        }));
        searches.push(seconds(|| {
            black_box(search().is_ok());
        }));
    }
    let (limit, search) = (median(limits), median(searches));
    println!("{:?} after {} layouts, median of {ROUNDS} rounds", found.ended, found.tried);
    println!(
        "shortcoming          {:.3} before, {:.3} after",
        found.before.number(),
        found.after.number()
    );
    println!("bending as often     {limit:.2} s");
    println!("searching            {search:.2} s");
    println!("ratio                {:.2} (aim: at most {AIM})", search / limit);
    Ok(())
}
