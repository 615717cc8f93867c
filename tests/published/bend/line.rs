//! The line through the guides.

use super::{blank, close, deg, grams, m, n, tip};
use coldbench_trade::bend::{
    Curve, Friction, Guide, LineLoad, Loads, Reel, Running, Stiffness, solve,
};
use coldbench_trade::units::{Mass, Ratio, meter, millimeter, newton, newton_meter, radian, ratio};

/// An invented layout on blank A: places and heights off the axis in m, the reel first.
pub(super) const LAYOUT: [(f64, f64); 7] = [
    (0.1, 0.050),
    (0.6, 0.030),
    (1.0, 0.020),
    (1.35, 0.014),
    (1.65, 0.010),
    (1.85, 0.008),
    (2.0, 0.006),
];

/// The layout below the blank (side 1) or on top of it (side -1).
pub(super) fn line(side: f64, tension: f64, direction: f64) -> LineLoad {
    let [reel, guides @ ..] = LAYOUT.map(|(at, height)| (m(at), m(side * height)));
    LineLoad {
        reel: Reel { from_butt: reel.0, height: reel.1 },
        guides: guides
            .map(|(from_butt, height)| Guide { from_butt, height, mass: Mass::default() })
            .to_vec(),
        tension: n(tension),
        direction: deg(direction),
        friction: None,
    }
}

struct Case {
    side: f64,
    tension: f64,
    direction: f64,
    friction: Option<Running>,
    /// Slope (degrees), x and y (m) of the tip, moment at the butt (N m).
    tip: [f64; 4],
    /// Tension at the reel, and the force on each guide, N.
    reel: f64,
    guides: [f64; 6],
    /// Where the line runs through the first and the last guide, m.
    first: [f64; 2],
    last: [f64; 2],
}

/// Computed with scipy 1.17.1 in another way: backward from the tip with DOP853 at rtol 1e-12, the
/// tip slope and the direction of each span as unknowns, that each span meets the next ring as
/// equations, `fsolve` with growing tension. Friction 0.15.
#[rustfmt::skip]
const CASES: [Case; 5] = [
    Case {
        side: 1.0, tension: 5.0, direction: 90.0, friction: None,
        tip: [83.858_904_63, 1.508_984_706_6, 0.986_339_252_9, 7.515_095_689_0],
        reel: 5.0,
        guides: [1.202_692_04, 1.433_423_14, 1.658_204_29, 1.465_938_96, 0.848_992_44, 0.807_956_21],
        first: [0.588_406_604, 0.092_088_127], last: [1.503_019_138, 0.986_981_116],
    },
    Case {
        side: -1.0, tension: 5.0, direction: 90.0, friction: None,
        tip: [82.406_038_89, 1.527_061_314_3, 0.970_184_536_3, 7.665_043_456_0],
        reel: 5.0,
        guides: [1.016_445_22, 1.325_870_39, 1.601_194_62, 1.426_274_28, 0.871_623_65, 0.796_479_32],
        first: [0.602_307_183, 0.031_984_739], last: [1.533_008_691, 0.969_391_625],
    },
    Case {
        side: 1.0, tension: 5.0, direction: 90.0, friction: Some(Running::Out),
        tip: [83.661_845_72, 1.511_714_765_0, 0.983_920_831_8, 7.528_757_195_3],
        reel: 3.999_476_95,
        guides: [0.986_055_82, 1.223_971_29, 1.484_795_11, 1.378_646_48, 0.828_809_16, 0.822_150_97],
        first: [0.588_479_915, 0.091_850_829], last: [1.505_751_439, 0.984_583_209],
    },
    Case {
        side: 1.0, tension: 5.0, direction: 90.0, friction: Some(Running::In),
        tip: [84.065_481_40, 1.505_765_336_8, 0.989_298_780_1, 7.498_987_462_7],
        reel: 6.249_745_86,
        guides: [1.501_278_78, 1.716_624_69, 1.892_207_16, 1.591_436_13, 0.887_167_47, 0.809_984_45],
        first: [0.588_311_949, 0.092_394_401], last: [1.499_797_493, 0.989_919_131],
    },
    Case {
        side: -1.0, tension: 8.0, direction: 150.0, friction: None,
        tip: [144.948_349_04, 0.787_527_800_4, 1.157_900_238_7, 11.220_092_930_3],
        reel: 8.0,
        guides: [2.946_318_40, 4.135_002_72, 4.941_469_51, 3.941_464_69, 1.957_918_86, 1.007_867_40],
        first: [0.599_740_915, 0.067_479_984], last: [0.790_973_688, 1.162_812_047],
    },
];

#[test]
fn line_through_the_guides() {
    let rod = blank('A');
    for case in CASES {
        let coefficient = Ratio::new::<ratio>(0.15);
        let friction = case.friction.map(|running| Friction { coefficient, running });
        let line = LineLoad { friction, ..line(case.side, case.tension, case.direction) };
        let curve = solve(&rod, &Loads { line: Some(line), ..Loads::default() }).unwrap();
        let found = tip(&curve);
        close(found.slope, case.tip[0], 1e-6);
        close(found.x, case.tip[1], 1e-8);
        close(found.y, case.tip[2], 1e-8);
        close(-curve.reaction().moment.get::<newton_meter>(), case.tip[3], 1e-7);
        let path = curve.line().unwrap();
        close(path.at_reel.get::<newton>(), case.reel, 2e-8);
        for (load, expected) in path.loads[1..].iter().zip(case.guides) {
            close(load.force.get::<newton>(), expected, 3e-7);
        }
        for (load, expected) in [(path.loads[1], case.first), (path.loads[6], case.last)] {
            close(load.x.get::<meter>(), expected[0], 2e-8);
            close(load.y.get::<meter>(), expected[1], 2e-8);
        }
        rests(&rod, &curve, case.friction.is_none().then_some(case.tension));
    }
}

/// With weight and guides of 5, 3, 2, 1, 1 and 1 g, butt at -20°, 3 N at 70°: computed as above.
#[test]
fn line_and_own_weight() {
    let mut line = line(1.0, 3.0, 70.0);
    for (guide, mass) in line.guides.iter_mut().zip([5.0, 3.0, 2.0, 1.0, 1.0, 1.0]) {
        guide.mass = grams(mass);
    }
    let loads = Loads { butt: deg(-20.0), own_weight: true, line: Some(line), ..Loads::default() };
    let curve = solve(&blank('A'), &loads).unwrap();
    let found = tip(&curve);
    close(found.slope, 54.381_611_74, 1e-6);
    close(found.x, 1.842_706_781_6, 1e-8);
    close(found.y, 0.203_343_745_0, 1e-8);
    close(-curve.reaction().moment.get::<newton_meter>(), 5.358_393_182_1, 1e-7);
}

/// The figure checked as a rod at rest, by statics alone: integrated from the butt with the classic
/// fourth-order rule of Runge and Kutta in 2 mm steps, it passes every ring where the line does, the
/// pull of the line on each ring is the sum of its two spans, and at the tip nothing is left over.
fn rests(rod: &Stiffness, curve: &Curve, tension: Option<f64>) {
    let path = curve.line().unwrap();
    let held = curve.reaction();
    let mut force = [-held.force_x.get::<newton>(), -held.force_y.get::<newton>()];
    // Slope, moment, x, y.
    let mut state = [0.0, -held.moment.get::<newton_meter>(), 0.0, 0.0];
    let mut at = 0.0;
    for (index, load) in path.loads.iter().enumerate() {
        let to = load.from_butt.get::<meter>();
        let steps = ((to - at) / 0.002).ceil();
        let mut step = 0.0;
        while step < steps {
            let long = (to - at) / steps;
            state = runge_kutta(rod, state, force, at + long * step, long);
            step += 1.0;
        }
        at = to;
        let height = LAYOUT[index].1 * if path.loads[0].y.value > 0.0 { 1.0 } else { -1.0 };
        let ring = [state[2] - height * state[0].sin(), state[3] + height * state[0].cos()];
        close(ring[0], load.x.get::<meter>(), 1e-8);
        close(ring[1], load.y.get::<meter>(), 1e-8);
        let pull = [load.force_x.get::<newton>(), load.force_y.get::<newton>()];
        if let Some(tension) = tension {
            let towards = |other: usize| {
                let other = &path.loads[other];
                let way = [(other.x - load.x).get::<meter>(), (other.y - load.y).get::<meter>()];
                way.map(|part| part * tension / way[0].hypot(way[1]))
            };
            let behind = if index > 0 { towards(index - 1) } else { [0.0; 2] };
            let ahead = if index + 1 < path.loads.len() {
                towards(index + 1)
            } else {
                // All that pulls on the rod from outside is the load.
                [-held.force_x.get::<newton>(), -held.force_y.get::<newton>()]
            };
            close(pull[0], behind[0] + ahead[0], 1e-9);
            close(pull[1], behind[1] + ahead[1], 1e-9);
        }
        state[1] -= (ring[0] - state[2]) * pull[1] - (ring[1] - state[3]) * pull[0];
        force = [force[0] - pull[0], force[1] - pull[1]];
    }
    for left in [state[1], force[0], force[1]] {
        close(left, 0.0, 1e-7);
    }
}

fn runge_kutta(rod: &Stiffness, at: [f64; 4], force: [f64; 2], s: f64, step: f64) -> [f64; 4] {
    let change = |s: f64, [slope, moment, ..]: [f64; 4]| {
        let (sine, cosine) = slope.sin_cos();
        [moment / rod.at(m(s)).value, force[0] * sine - force[1] * cosine, cosine, sine]
    };
    let moved = |by: [f64; 4], part: f64| std::array::from_fn(|i| at[i] + by[i] * part * step);
    let one = change(s, at);
    let two = change(s + step / 2.0, moved(one, 0.5));
    let three = change(s + step / 2.0, moved(two, 0.5));
    let four = change(s + step, moved(three, 1.0));
    std::array::from_fn(|i| at[i] + step / 6.0 * (one[i] + 2.0 * two[i] + 2.0 * three[i] + four[i]))
}

/// Under next to no tension the rod is straight, and plain geometry gives the distance from the
/// line to the surface: between the rings of the layout the line is straight, the surface is half
/// the diameter off the axis.
#[test]
fn clearance_over_a_straight_blank() {
    for side in [1.0, -1.0] {
        let line = line(side, 1e-9, 90.0);
        let curve = solve(&blank('A'), &Loads { line: Some(line), ..Loads::default() }).unwrap();
        for (span, two) in curve.line().unwrap().spans.iter().zip(LAYOUT.windows(2)) {
            let ((from, high), (to, low)) = (two[0], two[1]);
            let slope = (low - high) / (to - from);
            // The line comes down faster than the flank of the blank, 2.5 mm a metre, so that the
            // ring at the tip end is nearest: its distance to the flank.
            assert!(slope < -0.0025);
            let flank = 0.0025_f64;
            let expected = low * (1.0 - flank * flank).sqrt() - (6.0 - 2.5 * to) / 1000.0;
            close(span.clearance.get::<millimeter>(), expected * 1000.0, 1e-6);
        }
    }
}

/// The clearance on a bent rod with guides on top, against the plainest search: ten thousand places
/// along each span of blank, ten thousand along the line.
#[test]
fn clearance_over_a_bent_blank() {
    let mut line = line(-1.0, 9.0, 90.0);
    line.guides.drain(1..3);
    let rod = blank('A');
    let curve = solve(&rod, &Loads { line: Some(line), ..Loads::default() }).unwrap();
    let path = curve.line().unwrap();
    let mut touching = 0;
    for (span, two) in path.spans.iter().zip(path.loads.windows(2)) {
        let [ax, ay, bx, by] =
            [two[0].x, two[0].y, two[1].x, two[1].y].map(|length| length.get::<meter>());
        let mut least = f64::INFINITY;
        for step in 0..=2000_u32 {
            let s = span.from_butt + (span.to - span.from_butt) * (f64::from(step) / 2000.0);
            let here = curve.at(s).unwrap();
            let (x, y) = (here.x.get::<meter>(), here.y.get::<meter>());
            let slope = here.slope.get::<radian>();
            // Where the normal of the axis meets the line, counted towards the guides.
            let (nx, ny) = (slope.sin(), -slope.cos());
            let cross = (bx - ax) * ny - (by - ay) * nx;
            let off = ((bx - ax) * (ay - y) - (by - ay) * (ax - x)) / cross;
            let lean = (cross / (bx - ax).hypot(by - ay)).abs();
            let half = rod.diameter_at(s).get::<meter>() / 2.0;
            least = least.min(off * lean - half);
        }
        close(span.clearance.get::<millimeter>(), least * 1000.0, 1e-3);
        assert_eq!(span.touches, least < 0.0);
        touching += usize::from(span.touches);
    }
    assert!(touching > 0, "{path:?}");
    assert_eq!(curve.warnings().len(), touching);
}
