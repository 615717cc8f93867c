//! Rules that hold for every bent rod.

mod refused;

use super::mesh::GAUSS;
use super::*;
use crate::blank::Measured;
use proptest::prelude::*;
use std::f64::consts::PI;
use uom::si::angle::{degree, radian};
use uom::si::energy::joule;
use uom::si::f64::{Angle, Force, Mass, MassDensity, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::mass::gram;
use uom::si::mass_density::gram_per_cubic_centimeter;
use uom::si::pressure::gigapascal;
use uom::si::ratio::ratio;
use uom::si::surface_tension::newton_per_meter;
use uom::si::torque::newton_meter;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn gpa(value: f64) -> Pressure {
    Pressure::new::<gigapascal>(value)
}

#[track_caller]
fn close(found: f64, expected: f64, tolerance: f64) {
    let off = (found - expected).abs();
    assert!(off <= tolerance, "{found} is not {expected} within {tolerance}");
}

/// A tube of 2 m that tapers from 12 mm to 2 mm.
fn tube() -> Tube {
    let at = |at, d| Measured { from_butt: m(at), diameter: mm(d) };
    Tube {
        length: m(2.0),
        measured: vec![at(0.0, 12.0), at(2.0, 2.0)],
        joins: Vec::new(),
        wall: Wall::Even(mm(0.5)),
        modulus: Modulus::Even(gpa(60.0)),
    }
}

fn rod() -> Stiffness {
    Stiffness::of(&tube()).unwrap()
}

/// A rod made up at random: length in m, diameters in mm, wall as a share of the half diameter at
/// the tip, modulus in gigapascals.
#[derive(Debug, Clone, Copy)]
struct Made {
    long: f64,
    butt: f64,
    middle: f64,
    tip: f64,
    wall: f64,
    modulus: f64,
}

impl Made {
    /// With all lengths and the modulus so many times as large.
    fn times(self, lengths: f64, modulus: f64) -> Stiffness {
        let at = |share: f64, d: f64| Measured {
            from_butt: m(lengths * self.long * share),
            diameter: mm(lengths * d),
        };
        let middle = self.tip + (self.butt - self.tip) * self.middle;
        let tube = Tube {
            length: m(lengths * self.long),
            measured: vec![at(0.0, self.butt), at(0.5, middle), at(1.0, self.tip)],
            joins: Vec::new(),
            wall: Wall::Even(mm(lengths * self.wall * self.tip / 2.0)),
            modulus: Modulus::Even(gpa(modulus * self.modulus)),
        };
        Stiffness::of(&tube).unwrap()
    }

    fn blank(self) -> Stiffness {
        self.times(1.0, 1.0)
    }

    /// The load across the tip that would move it by the length of the blank if it stayed linear.
    fn unit(self) -> f64 {
        self.blank().tip_stiffness().get::<newton_per_meter>() * self.long
    }

    /// Six guides on one side, and a line that pulls so many units.
    fn line(self, side: f64, units: f64, direction: f64) -> LineLoad {
        let guide = |k: u32| {
            let part = f64::from(k) / 5.0;
            Guide {
                from_butt: m(self.long * (0.3 + 0.7 * part * (1.4 - 0.4 * part))),
                height: m(side * self.long * (0.015 - 0.012 * part)),
                mass: Mass::default(),
            }
        };
        LineLoad {
            reel: Reel { from_butt: m(0.05 * self.long), height: m(side * 0.025 * self.long) },
            guides: (0..6).map(guide).collect(),
            tension: n(units * self.unit()),
            direction: deg(direction),
            friction: None,
        }
    }
}

fn made() -> impl Strategy<Value = Made> {
    (0.8..4.0, 8.0..16.0, 0.3..0.7, 1.5..3.0, 0.2..1.0, 30.0..150.0).prop_map(
        |(long, butt, middle, tip, wall, modulus)| Made { long, butt, middle, tip, wall, modulus },
    )
}

fn side() -> impl Strategy<Value = f64> {
    prop_oneof![Just(1.0), Just(-1.0)]
}

fn on_line(line: LineLoad) -> Loads {
    Loads { line: Some(line), ..Loads::default() }
}

fn place_of(point: CurvePoint) -> Plane {
    [point.x.value, point.y.value]
}

/// Integral over the share of the load, from none to all, in four parts that grow with the share.
fn over_share(of: impl Fn(f64) -> f64) -> f64 {
    let mut sum = 0.0;
    for part in 0..4_u32 {
        for (at, weight) in GAUSS {
            let root = (f64::from(part) + f64::midpoint(1.0, at)) / 4.0;
            sum += weight / 8.0 * 2.0 * root * of(root * root);
        }
    }
    sum
}

#[test]
fn a_joined_rod_is_the_sum_of_its_stretches() {
    let at = |at, d| Measured { from_butt: m(at), diameter: mm(d) };
    let joined = Tube {
        length: m(1.0),
        measured: vec![at(0.2, 10.0), at(0.7, 6.0)],
        joins: vec![Join {
            at: m(0.5),
            from: m(0.45),
            to: m(0.6),
            factor: Ratio::new::<ratio>(2.5),
        }],
        wall: Wall::Solid,
        modulus: Modulus::Even(gpa(40.0)),
    };
    let rod = Stiffness::of(&joined).unwrap();
    let rigid = |d: f64| 40e9 * PI / 64.0 * (d / 1000.0).powi(4);
    let give: f64 = [
        (0.0, 0.45, rigid(10.0)),
        (0.45, 0.5, 2.5 * rigid(10.0)),
        (0.5, 0.6, 2.5 * rigid(6.0)),
        (0.6, 1.0, rigid(6.0)),
    ]
    .map(|(from, to, rigid)| ((1.0_f64 - from).powi(3) - (1.0_f64 - to).powi(3)) / (3.0 * rigid))
    .iter()
    .sum();
    close(rod.tip_stiffness().get::<newton_per_meter>() * give, 1.0, 1e-12);
    let curve = solve(&rod, &Loads::on_tip(n(0.001 / give), deg(90.0))).unwrap();
    close(curve.tip().y.get::<millimeter>(), 1.0, 1e-5);
    // What was not measured is told of each piece, and takes its own reading, not the neighbour's.
    let told: Vec<_> = rod
        .warnings()
        .iter()
        .map(|warning| match warning {
            BendWarning::Unmeasured { from, to, .. } => (from.value, to.value),
            other => panic!("{other}"),
        })
        .collect();
    assert_eq!(told, [(0.0, 0.2), (0.2, 0.5), (0.5, 0.7), (0.7, 1.0)]);
    close(rod.diameter_at(m(0.499)).get::<millimeter>(), 10.0, 1e-12);
    close(rod.diameter_at(m(0.501)).get::<millimeter>(), 6.0, 1e-12);
    // A cut piece tells it too, from its own butt.
    let cut = rod.trimmed(Cut { tip: mm(350.0), butt: mm(100.0) }).unwrap();
    close(cut.length().value, 0.55, 1e-12);
    assert_eq!(cut.warnings().len(), 3);
    close(cut.at(m(0.4)).value / rod.at(m(0.5)).value, 1.0, 1e-12);
}

#[test]
fn a_fitted_blank_keeps_its_stiffness_when_cut() {
    let mut fitted = rod();
    fitted.profile.fitted = profile::Fitted { scale: 0.8, taper: 0.5, over: 2.0 };
    close(fitted.at(m(0.0)).value / rod().at(m(0.0)).value, 0.8, 1e-12);
    close(fitted.at(m(2.0)).value / rod().at(m(2.0)).value, 0.8 * 0.5_f64.exp(), 1e-12);
    let cut = fitted.trimmed(Cut { tip: mm(200.0), butt: mm(300.0) }).unwrap();
    for at in [0.0, 0.7, 1.5] {
        close(cut.at(m(at)).value / fitted.at(m(at + 0.3)).value, 1.0, 1e-12);
    }
}

#[test]
fn a_drop_is_counted_from_the_rod_as_it_hangs() {
    let rod = rod().with_weight(Mass::new::<gram>(80.0)).unwrap();
    let weighs = Loads { butt: deg(-10.0), own_weight: true, ..Loads::default() };
    let tip = Some(TipLoad { force: n(1.0), direction: deg(90.0) });
    let hung = solve(&rod, &weighs).unwrap().tip().y;
    let loads = Loads { tip, ..weighs };
    let drop = solve(&rod, &loads).unwrap().tip().y - hung;
    assert!(hung > m(2.0) * deg(-10.0).sin());
    let test = LoadTest { loads, marks: vec![Mark::Drop { from_butt: m(2.0), drop }] };
    let found = compare(&rod, &test, mm(0.0001)).unwrap();
    assert!(found.within, "{found:?}");
}

#[test]
fn the_weight_of_a_blank_counts_as_weighed() {
    let rod = rod().with_weight(Mass::new::<gram>(60.0)).unwrap();
    let masses = vec![PointMass { from_butt: m(1.5), mass: Mass::new::<gram>(10.0) }];
    let loads = Loads { own_weight: true, masses, ..Loads::default() };
    let held = solve(&rod, &loads).unwrap().reaction();
    close(held.force_y.get::<newton>(), -0.070 * GRAVITY, 1e-12);
    let light = rod.mass_per_length(m(1.9)).unwrap() < rod.mass_per_length(m(0.1)).unwrap();
    assert!(light, "the tip is the lighter end");
}

#[test]
fn a_load_past_the_range_tells_how_much_it_can_be() {
    // Too sharp for 20 stations, not for 200.
    let loads = |force| Loads::on_tip(n(force), deg(90.0));
    let error = solve_at(&rod(), &loads(2000.0), 20).unwrap_err();
    let BendError::TooGreat { share } = error else { panic!("{error}") };
    let share = share.get::<ratio>();
    assert!(0.0 < share && share < 1.0, "{share}");
    assert!(solve_at(&rod(), &loads(1990.0 * share), 20).is_ok());
    assert!(solve_at(&rod(), &loads(2020.0 * share), 20).is_err());
    assert!(solve(&rod(), &loads(2000.0 * share)).is_ok());
}

/// Pulled back over the top, this rod gives way. Farther on it would be firm again the other way
/// round, and a load step must not lead there.
#[test]
fn it_never_leaps_to_another_way_of_being_bent() {
    let at = |at, d| Measured { from_butt: m(at), diameter: mm(d) };
    let rod = Stiffness::of(&Tube {
        length: m(0.858),
        measured: vec![at(0.0, 24.28), at(0.429, 15.11), at(0.858, 1.353)],
        joins: Vec::new(),
        wall: Wall::Solid,
        modulus: Modulus::Even(gpa(51.26)),
    })
    .unwrap();
    let guide = |at, height| Guide { from_butt: m(at), height: mm(height), mass: Mass::default() };
    let pulled = |tension| {
        let line = LineLoad {
            reel: Reel { from_butt: m(0.0686), height: mm(-60.0) },
            guides: vec![guide(0.1964, -40.0), guide(0.858, -5.0)],
            tension: n(tension),
            direction: deg(172.206),
            friction: None,
        };
        let loads = Loads { butt: deg(9.672), ..on_line(line) };
        solve(&rod, &loads).map(|curve| curve.tip().slope.get::<radian>())
    };
    close(pulled(25.5).unwrap(), -0.0074, 1e-4);
    // Whatever was asked for, it ends at one pull.
    for tension in 26..=45 {
        let Err(BendError::TooGreat { share }) = pulled(f64::from(tension)) else {
            panic!("leapt at {tension} N");
        };
        close(share.get::<ratio>() * f64::from(tension), 25.6879, 1e-3);
    }
}

#[test]
fn a_slack_line_does_nothing() {
    let line = LineLoad {
        reel: Reel { from_butt: m(0.1), height: mm(50.0) },
        guides: vec![Guide { from_butt: m(2.0), height: mm(5.0), mass: Mass::default() }],
        tension: n(0.0),
        direction: deg(90.0),
        friction: None,
    };
    let curve = solve(&rod(), &on_line(line)).unwrap();
    close(curve.tip().y.value, 0.0, 1e-15);
    close(curve.line().unwrap().loads[1].force.get::<newton>(), 0.0, 1e-15);
}

proptest! {
    // A debug build works each rod out in some ten milliseconds.
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn work_of_a_slowly_grown_load_is_the_energy(
        made in made(), units in 0.05..3.0, psi in 20.0f64..160.0,
    ) {
        let rod = made.blank();
        let force = units * made.unit();
        let along = |share: f64| {
            let curve = solve(&rod, &Loads::on_tip(n(share * force), deg(psi))).unwrap();
            let tip = curve.tip();
            let (sine, cosine) = psi.to_radians().sin_cos();
            let far = (tip.x.value - made.long) * cosine + tip.y.value * sine;
            (far, curve.strain_energy().get::<joule>())
        };
        let (whole, energy) = along(1.0);
        let work: f64 = force * (whole - over_share(|share| along(share).0));
        prop_assert!((work / energy - 1.0).abs() < 1e-4, "{work} {energy}");
    }

    #[test]
    fn work_of_the_line_is_the_energy(
        made in made(), side in side(), units in 0.05..1.5, psi in 60.0f64..120.0,
    ) {
        let rod = made.blank();
        let line = |share: f64| {
            let curve = solve(&rod, &on_line(made.line(side, share * units, psi))).unwrap();
            let path = curve.line().unwrap();
            let end = path.loads[6];
            let (sine, cosine) = psi.to_radians().sin_cos();
            // What the line gives out at the tip guide lets the load go that much farther.
            let far = end.x.value * cosine + end.y.value * sine - path.length.value;
            (far, curve.strain_energy().get::<joule>())
        };
        let (start, (whole, energy)) = (line(0.0).0, line(1.0));
        let work: f64 = units * made.unit() * (whole - over_share(|share| line(share).0));
        prop_assert!(whole > start);
        prop_assert!((work / energy - 1.0).abs() < 1e-4, "{work} {energy}");
    }

    #[test]
    fn every_part_is_at_rest(
        made in made(), side in side(), units in 0.05..1.5, psi in 30.0f64..150.0, at in 0.1..0.9,
    ) {
        let line = made.line(side, units, psi);
        let force = units * made.unit();
        let point =
            PointLoad { from_butt: m(made.long * at), force: n(force), direction: deg(-70.0) };
        let loads = Loads { butt: deg(15.0), points: vec![point], ..on_line(line) };
        let curve = solve(&made.blank(), &loads).unwrap();
        let (sine, cosine) = point.direction.get::<radian>().sin_cos();
        let mut pulls = vec![(
            point.from_butt.value,
            place_of(curve.at(point.from_butt).unwrap()),
            [force * cosine, force * sine],
        )];
        pulls.extend(curve.line().unwrap().loads.iter().map(|load| {
            let pull = [load.force_x.get::<newton>(), load.force_y.get::<newton>()];
            (load.from_butt.value, [load.x.value, load.y.value], pull)
        }));
        let scale = made.unit() * made.long;
        for here in curve.points() {
            let [x, y] = place_of(*here);
            // All that pulls on the part from here to the tip.
            let beyond = pulls.iter().filter(|pull| pull.0 > here.from_butt.value - 1e-9);
            let turn = |(_, at, pull): &(f64, Plane, Plane)| cross([at[0] - x, at[1] - y], *pull);
            let moment: f64 = beyond.map(turn).sum();
            prop_assert!((here.moment.get::<newton_meter>() - moment).abs() < 1e-8 * scale);
            let bent = here.curvature.value * made.blank().at(here.from_butt - m(1e-9)).value;
            prop_assert!((bent - moment).abs() < 1e-6 * scale);
        }
        let held = curve.reaction();
        let sum = |part: usize| pulls.iter().map(|(_, _, pull)| pull[part]).sum::<f64>();
        prop_assert!((held.force_x.get::<newton>() + sum(0)).abs() < 1e-9 * made.unit());
        prop_assert!((held.force_y.get::<newton>() + sum(1)).abs() < 1e-9 * made.unit());
        let turning: f64 = pulls.iter().map(|(_, at, pull)| cross(*at, *pull)).sum();
        prop_assert!((held.moment.get::<newton_meter>() + turning).abs() < 1e-8 * scale);
    }

    #[test]
    fn between_the_stations_it_is_as_good_as_on_them(
        made in made(), side in side(), units in 0.05..1.5, at in 0.0..1.0,
    ) {
        let loads = on_line(made.line(side, units, 90.0));
        let from_butt = m(at * made.long);
        let few = solve(&made.blank(), &loads).unwrap().at(from_butt).unwrap();
        let many = solve_at(&made.blank(), &loads, 1000).unwrap().at(from_butt).unwrap();
        prop_assert!((few.x - many.x).value.hypot((few.y - many.y).value) < 1e-8 * made.long);
        prop_assert!((few.slope - many.slope).get::<radian>().abs() < 1e-6);
        let most = made.unit() * made.long;
        prop_assert!((few.moment - many.moment).get::<newton_meter>().abs() < 1e-7 * most);
    }

    #[test]
    fn turned_over_it_bends_the_other_way(
        made in made(), side in side(), units in 0.05..1.5, psi in -120.0..120.0,
        butt in -60.0..60.0,
    ) {
        let one = Loads { butt: deg(butt), ..on_line(made.line(side, units, psi)) };
        let other = Loads { butt: deg(-butt), ..on_line(made.line(-side, units, -psi)) };
        match (solve(&made.blank(), &one), solve(&made.blank(), &other)) {
            (Ok(one), Ok(other)) => {
                for (one, other) in one.points().iter().zip(other.points()) {
                    let off = (one.x - other.x).value.hypot((one.y + other.y).value);
                    prop_assert!(off < 1e-10, "{off}");
                }
            }
            (one, other) => prop_assert_eq!(one.err(), other.err()),
        }
    }

    #[test]
    fn turned_as_a_whole_it_keeps_its_shape(
        made in made(), side in side(), units in 0.05..1.5, psi in 30.0..150.0, by in -90.0..90.0,
    ) {
        let level = on_line(made.line(side, units, psi));
        let tilted = Loads { butt: deg(by), ..on_line(made.line(side, units, psi + by)) };
        let [level, tilted] = [level, tilted].map(|loads| solve(&made.blank(), &loads).unwrap());
        let (sine, cosine) = by.to_radians().sin_cos();
        for (one, other) in level.points().iter().zip(tilted.points()) {
            let ([x, y], [u, v]) = (place_of(*one), place_of(*other));
            prop_assert!((x * cosine - y * sine - u).hypot(x * sine + y * cosine - v) < 1e-9);
        }
    }

    #[test]
    fn one_shape_for_one_load_over_stiffness(
        made in made(), side in side(), units in 0.05..1.5, by in 0.5..1.3, stiffer in 0.7..1.4,
    ) {
        let one = solve(&made.blank(), &on_line(made.line(side, units, 90.0))).unwrap();
        // E I grows with the modulus and the fourth power of the lengths, P L² / (E I) stays.
        let mut line = made.line(side, units, 90.0);
        line.tension *= stiffer * by * by;
        line.reel.from_butt *= by;
        line.reel.height *= by;
        for guide in &mut line.guides {
            guide.from_butt *= by;
            guide.height *= by;
        }
        let other = solve(&made.times(by, stiffer), &on_line(line)).unwrap();
        for (one, other) in one.points().iter().zip(other.points()) {
            let off = (one.x * by - other.x).value.hypot((one.y * by - other.y).value);
            prop_assert!(off < 1e-8, "{off}");
            prop_assert!((one.strain - other.strain).value.abs() < 1e-8);
        }
    }

    #[test]
    fn a_small_load_moves_it_as_the_linear_beam(made in made(), psi in 10.0f64..170.0) {
        let units = 1e-4;
        let curve = solve(&made.blank(), &Loads::on_tip(n(units * made.unit()), deg(psi))).unwrap();
        let linear = units * made.long * psi.to_radians().sin();
        prop_assert!((curve.tip().y.value / linear - 1.0).abs() < 1e-3);
    }

    #[test]
    fn more_load_bends_it_farther_and_never_past_the_load(
        made in made(), psi in 10.0f64..170.0, units in 0.05..4.0,
    ) {
        let bent = |units: f64| {
            solve(&made.blank(), &Loads::on_tip(n(units * made.unit()), deg(psi))).unwrap()
        };
        let (less, more) = (bent(units), bent(1.2 * units));
        prop_assert!(more.tip().slope > less.tip().slope);
        if psi <= 90.0 {
            prop_assert!(more.tip().y > less.tip().y);
        }
        for two in more.points().windows(2) {
            // The moment of a load on the tip keeps its sign on the way that begins unloaded.
            prop_assert!(two[0].slope <= two[1].slope && two[1].slope < deg(psi));
        }
    }

    #[test]
    fn any_load_ends_in_a_rod_at_rest_or_a_share(
        made in made(), side in side(), strong in -3.0f64..4.0, psi in -180.0..180.0,
        butt in -90.0..90.0, friction in proptest::option::of((0.0..0.6, any::<bool>())),
    ) {
        let line = |by: f64| {
            let friction = friction.map(|(coefficient, out)| Friction {
                coefficient: Ratio::new::<ratio>(coefficient),
                running: if out { Running::Out } else { Running::In },
            });
            let line = LineLoad { friction, ..made.line(side, by * 10.0_f64.powf(strong), psi) };
            Loads { butt: deg(butt), ..on_line(line) }
        };
        match solve(&made.blank(), &line(1.0)) {
            Ok(curve) => {
                let [x, y] = place_of(curve.tip());
                prop_assert!(x.hypot(y) <= made.long * (1.0 + 1e-12));
                prop_assert!(curve.points().iter().all(|point| point.moment.value.is_finite()));
                // The way there is no leap: nearly the same load, nearly the same rod.
                if let Ok(near) = solve(&made.blank(), &line(0.999)) {
                    let turned = (near.tip().slope - curve.tip().slope).get::<radian>();
                    prop_assert!(turned.abs() < 0.3, "{turned}");
                }
            }
            Err(BendError::TooGreat { share }) => {
                let share = share.get::<ratio>();
                prop_assert!((0.0..1.0).contains(&share));
                prop_assert!(share == 0.0 || solve(&made.blank(), &line(0.98 * share)).is_ok());
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn a_fit_gives_back_the_blank_that_was_read(
        made in made(), units in 0.3..1.5, butt in 0.5..2.0, tip in 0.5..2.0,
    ) {
        // A rod of the same diameters whose modulus runs from one factor to the other.
        let even = made.blank();
        let mut other = even.clone();
        let taper = f64::ln(tip / butt);
        other.profile.fitted = profile::Fitted { scale: butt, taper, over: made.long };
        let loads = Loads::on_tip(n(units * made.unit()), deg(90.0));
        let curve = solve(&other, &loads).unwrap();
        let marks = [0.4, 0.7, 0.9, 1.0].map(|part| {
            let here = curve.at(m(part * made.long)).unwrap();
            Mark::Place { from_butt: here.from_butt, x: here.x, y: here.y }
        });
        let test = LoadTest { loads, marks: marks.to_vec() };
        let fitted = fit_stiffness(&even, &test, Unknowns::ScaleAndTaper, mm(0.01)).unwrap();
        prop_assert_eq!(fitted.found, Unknowns::ScaleAndTaper);
        let off = [fitted.at_butt.get::<ratio>() / butt, fitted.at_tip.get::<ratio>() / tip];
        prop_assert!(off.iter().all(|by: &f64| (by - 1.0).abs() < 1e-5), "{:?}", off);
        prop_assert!(fitted.rms < mm(1e-3));
    }

    #[test]
    fn a_tip_tube_slides_over_and_half_a_size_less_does_not(d in 0.3..20.0f64) {
        let tube = TipTube::over(mm(d), mm(0.05)).unwrap();
        prop_assert!(tube.bore() >= mm(d + 0.05 - 1e-7));
        prop_assert!(tube.bore() - mm(25.4 / 128.0) < mm(d + 0.05));
    }
}
