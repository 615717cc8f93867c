//! Rules that hold for every fit, and what is refused.

use super::*;
use crate::blank::{Blank, Measured};
use crate::length::in_millimetres;
use proptest::collection::vec;
use proptest::prelude::*;
use uom::si::volume::cubic_millimeter;

const FINE: f64 = 0.02;

fn readings(stations: &[(f64, f64)]) -> Vec<Measured> {
    stations.iter().map(|&(x, d)| Measured { from_butt: mm(x), diameter: mm(d) }).collect()
}

fn taper(length: f64, joins: &[f64], stations: &[(f64, f64)]) -> Result<Taper, FitError> {
    let joins: Vec<Length> = joins.iter().copied().map(mm).collect();
    Taper::new(mm(length), &joins, &readings(stations), mm(FINE))
}

fn straight(name: &str, bore: f64, length: f64, sits_at: f64, outside: f64) -> Part {
    Part {
        name: name.to_owned(),
        bore: Bore::straight(mm(bore), mm(length)).unwrap(),
        thinnest: mm(outside),
        thickest: mm(outside),
        sits_at: mm(sits_at),
        comes_from: End::Tip,
    }
}

fn close(got: Length, expected: f64) {
    assert!((in_millimetres(got) - expected).abs() < 1e-9, "{got:?} is not {expected} mm");
}

/// A one-piece blank, measured from butt to tip at random distances.
#[derive(Debug, Clone)]
struct Made {
    length: f64,
    stations: Vec<(f64, f64)>,
}

impl Made {
    fn taper(&self) -> Taper {
        taper(self.length, &[], &self.stations).unwrap()
    }
}

fn made() -> impl Strategy<Value = Made> {
    (1.0f64..5.0, vec((20.0f64..300.0, 0.0f64..2.0), 1..7)).prop_map(|(tip, steps)| {
        let length: f64 = steps.iter().map(|step| step.0).sum();
        let (mut x, mut d) = (length, tip);
        let mut stations = vec![(x, d)];
        for (gap, grows) in steps {
            (x, d) = (x - gap, d + grows);
            stations.push((x.max(0.0), d));
        }
        stations.reverse();
        Made { length, stations }
    })
}

proptest! {
    #[test]
    fn a_diameter_stays_between_its_neighbours(made in made(), share in 0.0f64..1.0) {
        let at = made.length * share;
        let found = made.taper().diameter_at(mm(at)).unwrap();
        let after = made.stations.partition_point(|s| s.0 < at).clamp(1, made.stations.len() - 1);
        let (butt, tip) = (made.stations[after - 1].1, made.stations[after].1);
        let d = in_millimetres(found.diameter);
        prop_assert!(d <= butt + 1e-9 && d >= tip - 1e-9);
        prop_assert!(in_millimetres(found.highest) <= butt + FINE + 1e-9);
        prop_assert!(in_millimetres(found.lowest) >= tip - FINE - 1e-9);
        prop_assert!(found.lowest < found.diameter && found.diameter < found.highest);
        let farther = made.taper().diameter_at(mm((at + 1.0).min(made.length))).unwrap();
        prop_assert!(in_millimetres(farther.diameter) <= d + 1e-9);
    }

    #[test]
    fn the_order_of_measurements_is_nothing(made in made(), swaps in vec((0usize..8, 0usize..8), 8)) {
        let mut shuffled = made.clone();
        let count = shuffled.stations.len();
        for (a, b) in swaps {
            shuffled.stations.swap(a % count, b % count);
        }
        shuffled.stations.push(shuffled.stations[0]);
        prop_assert_eq!(shuffled.taper(), made.taper());
    }

    #[test]
    fn a_place_is_the_inverse_of_a_diameter(made in made(), share in 0.0f64..1.0) {
        let taper = made.taper();
        let diameter = taper.diameter_at(mm(made.length * share)).unwrap().diameter;
        // The tip itself, worked back, may miss it by rounding.
        let Ok(places) = taper.places(diameter) else {
            prop_assert!((in_millimetres(diameter) - made.stations[made.stations.len() - 1].1).abs() < 1e-9);
            return Ok(());
        };
        let place = places[0];
        let back = taper.diameter_at(place.from_butt).unwrap().diameter;
        prop_assert!((in_millimetres(back) - in_millimetres(diameter)).abs() < 1e-9);
        prop_assert!(place.nearest_butt <= place.from_butt && place.from_butt <= place.nearest_tip);
        // Wherever the bounds hold that diameter, the place's bounds reach.
        for step in 0..200 {
            let at = mm(made.length * f64::from(step) / 199.0);
            let here = taper.diameter_at(at).unwrap();
            if here.lowest <= diameter && diameter <= here.highest {
                prop_assert!(at >= place.nearest_butt - mm(1e-6) && at <= place.nearest_tip + mm(1e-6));
            }
        }
    }

    #[test]
    fn twice_as_large_fits_twice_as_large(
        made in made(), bore in 6.0f64..16.0, part in 10.0f64..20.0, place in 0.0f64..1.0,
    ) {
        let sits_at = (made.length - part) * place;
        let of = |by: f64| {
            let stations: Vec<_> = made.stations.iter().map(|s| (s.0 * by, s.1 * by)).collect();
            let taper = Taper::new(mm(made.length * by), &[], &readings(&stations), mm(FINE * by)).unwrap();
            let range = BondLine::new(mm(0.1 * by), mm(0.2 * by)).unwrap();
            let part = straight("grip", bore * by, part * by, sits_at * by, 40.0 * by);
            let section = &taper.sections()[0];
            let line = glue_line(section, &part, range, mm(5.0 * by));
            let ream = ream(section, &part, range, mm(5.0 * by)).unwrap();
            (line, ream, stop(section, &part.bore), roughening(section, &part, mm(by)).unwrap())
        };
        let (one, two) = (of(1.0), of(2.0));
        let twice = |a: Length, b: Length| (in_millimetres(a) * 2.0 - in_millimetres(b)).abs() < 1e-6;
        match (one.0, two.0) {
            (Ok(a), Ok(b)) => {
                prop_assert!(twice(a.thinnest.gap, b.thinnest.gap));
                prop_assert!(twice(a.thickest.most, b.thickest.most));
                let volume = |v: Volume| v.get::<cubic_millimeter>();
                prop_assert!((volume(a.volume) * 8.0 - volume(b.volume)).abs() < 1e-6);
                prop_assert!((volume(a.least_volume) * 8.0 - volume(b.least_volume)).abs() < 1e-6);
                prop_assert!(a.least_volume <= a.volume && a.volume <= a.most_volume);
            }
            (Err(_), Err(_)) => {}
            (a, b) => prop_assert!(false, "{a:?} but {b:?}"),
        }
        prop_assert!(twice(one.1.butt_end.ream_to, two.1.butt_end.ream_to));
        prop_assert!(twice(one.1.tip_end.remove, two.1.tip_end.remove));
        prop_assert_eq!(one.1.steps.len(), two.1.steps.len());
        match (one.2, two.2) {
            (Ok(Stop::Held(a)), Ok(Stop::Held(b))) => prop_assert!(twice(a.from_butt, b.from_butt)),
            (Ok(Stop::Through { .. }), Ok(Stop::Through { .. })) | (Err(_), Err(_)) => {}
            (a, b) => prop_assert!(false, "{a:?} but {b:?}"),
        }
        let area = |r: &Roughening| r.area.get::<uom::si::area::square_millimeter>();
        prop_assert!((area(&one.3) * 4.0 - area(&two.3)).abs() < 1e-6);
    }

    #[test]
    fn a_reamed_bore_clears_the_blank_and_the_glue_line(
        made in made(), bore in 3.0f64..20.0, part in 10.0f64..20.0,
        place in 0.0f64..1.0, every in 1.0f64..30.0, within in 0.0f64..1.0,
    ) {
        let taper = made.taper();
        let section = &taper.sections()[0];
        let part = straight("grip", bore, part, (made.length - part) * place, 40.0);
        let range = BondLine::default();
        let plan = ream(section, &part, range, mm(every)).unwrap();
        let offset = part.bore.length() * within;
        let blank = section.diameter_at(part.sits_at + offset).unwrap();
        let needed = blank.diameter + range.least() * 2.0 - mm(1e-9);
        // Reamed to the taper: on a line between two stations.
        let after = plan.stations.partition_point(|s| s.offset < offset).max(1);
        let (near, far) = (plan.stations[after - 1], plan.stations[after]);
        let share = (offset - near.offset) / (far.offset - near.offset);
        prop_assert!(near.ream_to + (far.ream_to - near.ream_to) * share >= needed);
        // Reamed in steps: the widest tool that gets this deep, or the bore as it was.
        let tools = plan.steps.iter().filter(|s| s.depth >= offset).map(|s| s.diameter);
        prop_assert!(tools.fold(part.bore.at(offset), Length::max) >= needed);
        // Each cut is wider and less deep than the one before.
        for (one, next) in plan.steps.iter().zip(plan.steps.iter().skip(1)) {
            prop_assert!(next.diameter > one.diameter && next.depth < one.depth);
            prop_assert!(next.from < one.from);
        }
        for station in &plan.stations {
            prop_assert!(station.remove.value >= 0.0 && station.ream_to >= station.bore);
        }
        // So reamed, it stops no nearer the tip than its place.
        let reamed = Bore::tapered(
            plan.stations.iter().map(|s| s.ream_to).fold(mm(0.0), Length::max),
            plan.stations.iter().map(|s| s.ream_to).fold(mm(0.0), Length::max),
            part.bore.length(),
        ).unwrap();
        match stop(section, &reamed).unwrap() {
            Stop::Held(held) => prop_assert!(held.from_butt <= part.sits_at),
            Stop::Through { .. } => {}
        }
    }

    /// Against every order there is, each walked through part by part.
    #[test]
    fn an_order_is_found_when_there_is_one(
        made in vec((0.0f64..400.0, 20.0f64..120.0, 5.0f64..30.0, 1.0f64..10.0, any::<bool>()), 1..5)
    ) {
        let parts: Vec<Part> = made
            .iter()
            .enumerate()
            .map(|(index, &(sits_at, length, bore, wall, butt))| Part {
                comes_from: if butt { End::Butt } else { End::Tip },
                ..straight(&format!("part {index}"), bore, length, sits_at, bore + wall)
            })
            .collect();
        let passes = |part: usize, placed: &[usize]| placed.iter().all(|&other| {
            let (at, long, bore, _, butt) = made[part];
            let (there, length, other_bore, wall, _) = made[other];
            let meets = if butt { there + 1e-3 < at + long } else { there + length - 1e-3 > at };
            !meets || bore > other_bore + wall
        });
        let walks = |order: &[usize]| (0..order.len()).all(|i| passes(order[i], &order[..i]));
        let any = permutations(made.len()).into_iter().find(|order| walks(order));
        match working_order(&parts) {
            Ok(order) => prop_assert!(walks(&order), "{order:?}"),
            Err(FitError::NoOrder { names }) => {
                prop_assert!(any.is_none(), "{any:?}");
                prop_assert!(names.len() >= 2);
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn tape_never_fills_more_than_the_gap(
        blank in 3.0f64..16.0, wider in 0.3f64..6.0, tape in 0.05f64..0.4,
    ) {
        let taper = taper(100.0, &[], &[(0.0, blank), (100.0, blank)]).unwrap();
        let (range, bore) = (BondLine::default(), mm(blank + wider));
        let under = taper.diameter_at(mm(50.0)).unwrap();
        let built = tape_turns(&under, bore, mm(tape), range).unwrap();
        let nearly = mm(1e-6);
        prop_assert!(built.turns == 0 || built.least_gap >= range.least() - nearly);
        // One more turn would be one too many.
        prop_assert!(built.least_gap - mm(tape) < range.least());
        prop_assert!((built.over_tape + built.gap * 2.0 - bore).abs() < nearly);
        // Laid out flat, the tape covers its ring.
        let ring = built.over_tape * built.over_tape - under.diameter * under.diameter;
        let flat = built.tape_length * mm(tape) * (4.0 / std::f64::consts::PI);
        prop_assert!((ring - flat).value.abs() < 1e-12);
    }

    #[test]
    fn nothing_panics(numbers in vec(prop_oneof![any::<f64>(), -10.0f64..100.0], 12)) {
        let n = |i: usize| mm(numbers[i]);
        let measured =
            [(0, 1), (2, 3), (4, 5)].map(|(x, d)| Measured { from_butt: n(x), diameter: n(d) });
        let _ = reading_slips(&measured);
        let _ = inch_slip(n(0), n(1), n(2));
        let _ = Bore::stepped(&[BoreStep { length: n(0), diameter: n(1) }]);
        let _ = looseness(n(0), n(1), n(2));
        if let Ok(taper) = Taper::new(n(6), &[n(7)], &measured, mm(FINE)) {
            let _ = (taper.diameter_at(n(8)), taper.places(n(8)));
        }
        let taper = taper(1000.0, &[], &[(0.0, 12.0), (1000.0, 6.0)]).unwrap();
        let section = &taper.sections()[0];
        let (Ok(bore), set) = (
            Bore::tapered(n(6), n(7), n(8)),
            Bushings { width: n(9), inset: n(10), free_at_most: n(11) },
        ) else { return Ok(()) };
        let part = Part {
            bore, sits_at: n(9), thinnest: n(10), thickest: n(11), ..straight("x", 1.0, 1.0, 0.0, 2.0)
        };
        let range = BondLine::default();
        let _ = (stop(section, &part.bore), ream(section, &part, range, n(0)));
        let _ = (glue_line(section, &part, range, n(0)), bushings(section, &part, set, range));
        let _ = (roughening(section, &part, n(0)), conflicts(section, &[part.clone(), part]));
    }
}

proptest! {
    // Each case pushes a part some hundred times.
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Against a part pushed a little at a time and looked at all along.
    #[test]
    fn a_part_stops_where_pushing_it_stops(
        made in made(), bores in vec((5.0f64..40.0, 0.1f64..8.0), 1..4), tapered in any::<bool>(),
    ) {
        let taper = made.taper();
        let section = &taper.sections()[0];
        let tip = made.stations[made.stations.len() - 1].1;
        let bore = if tapered {
            let (length, wider) = bores[0];
            Bore::tapered(mm(tip + wider), mm(tip + bores[bores.len() - 1].1), mm(length)).unwrap()
        } else {
            let steps: Vec<_> = bores
                .iter()
                .map(|&(length, wider)| BoreStep { length: mm(length), diameter: mm(tip + wider) })
                .collect();
            Bore::stepped(&steps).unwrap()
        };
        let length = in_millimetres(bore.length());
        prop_assume!(length < made.length);
        let jams = |at: f64| (0..=150).any(|step| {
            let offset = length * f64::from(step) / 150.0;
            let diameter = section.diameter_at(mm(at + offset));
            diameter.is_ok_and(|d| d.diameter > bore.at(mm(offset)) + mm(1e-9))
        });
        let mut pushed = made.length;
        while pushed > 0.0 && !jams(pushed) {
            pushed -= 0.6;
        }
        match stop(section, &bore).unwrap() {
            Stop::Held(held) => {
                let at = in_millimetres(held.from_butt);
                prop_assert!((at - pushed).abs() < 1.2, "{at} but pushed to {pushed}");
                prop_assert!(held.nearest_butt.is_none_or(|near| near <= held.from_butt));
                prop_assert!(held.nearest_tip.is_none_or(|far| far >= held.from_butt));
            }
            Stop::Through { .. } => prop_assert!(pushed <= 0.6, "pushed to {pushed}"),
        }
    }
}

fn permutations(count: usize) -> Vec<Vec<usize>> {
    (0..count).fold(vec![Vec::new()], |orders, next| {
        orders
            .iter()
            .flat_map(|order| {
                (0..=order.len()).map(move |place| {
                    let mut longer = order.clone();
                    longer.insert(place, next);
                    longer
                })
            })
            .collect()
    })
}

const GRIP_END: [(f64, f64); 4] = [(0.0, 12.0), (200.0, 11.0), (400.0, 10.0), (1000.0, 4.0)];

#[test]
fn a_straight_taper_is_known_as_well_as_the_caliper_and_a_bent_one_less() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let straight = taper.diameter_at(mm(100.0)).unwrap();
    close(straight.diameter, 11.5);
    close(straight.from_spacing, 0.0);
    close(straight.uncertainty(), FINE);
    assert!(straight.warnings.is_empty());
    // The slope bends from 5 to 10 mm per metre at 400, so 50 mm before it may stray by 0.25.
    let bent = taper.diameter_at(mm(350.0)).unwrap();
    close(bent.from_spacing, 0.25);
    assert!(matches!(bent.warnings[..], [FitWarning::MeasuredFarApart { .. }]));
    // At a measurement there is no other doubt.
    close(taper.diameter_at(mm(400.0)).unwrap().uncertainty(), FINE);
    // Two measurements say only that it lies in between.
    let two = super::tests::taper(1000.0, &[], &[(0.0, 12.0), (1000.0, 2.0)]).unwrap();
    let middle = two.diameter_at(mm(500.0)).unwrap();
    close(middle.lowest, 2.0 - FINE);
    close(middle.highest, 12.0 + FINE);
}

#[test]
fn bounds_may_reach_farther_to_one_side() {
    // Nearly level, then steep: past 10 mm the steep part may begin, but it was never thicker.
    let taper = taper(200.0, &[], &[(0.0, 12.0), (100.0, 11.0), (200.0, 1.0)]).unwrap();
    let found = taper.diameter_at(mm(10.0)).unwrap();
    close(found.highest, 12.0 + FINE);
    close(found.lowest, 11.0 - FINE);
    close(found.from_spacing, 0.9);
    close(found.uncertainty(), 0.9 + FINE);
}

#[test]
fn a_tapered_bore_may_touch_between_its_ends() {
    // The blank bends at 100 mm, and the bore is 10 mm wide 24 mm from its butt end.
    let taper = taper(200.0, &[], &[(0.0, 10.0), (100.0, 10.0), (200.0, 5.0)]).unwrap();
    let bore = Bore::tapered(mm(11.0), mm(8.5), mm(60.0)).unwrap();
    let Stop::Held(held) = stop(&taper.sections()[0], &bore).unwrap() else { panic!("through") };
    close(held.from_butt, 76.0);
    close(held.touches_at, 100.0);
}

#[test]
fn where_a_part_stops_has_bounds_and_warnings() {
    let stopped = |stations: &[(f64, f64)], bore: f64, length: f64| {
        let taper = taper(1000.0, &[], stations).unwrap();
        stop(&taper.sections()[0], &Bore::straight(mm(bore), mm(length)).unwrap())
    };
    // 0.02 for the blank and 0.02 for the bore, over 5 mm per metre.
    let Ok(Stop::Held(held)) = stopped(&GRIP_END, 11.0, 50.0) else { panic!("not held") };
    close(held.from_butt, 200.0);
    close(held.nearest_butt.unwrap(), 192.0);
    close(held.nearest_tip.unwrap(), 208.0);
    assert_eq!(held.warnings, []);
    // Barely on: it may not even go on, and hangs out over the tip.
    let Ok(Stop::Held(held)) = stopped(&GRIP_END, 4.01, 100.0) else { panic!("not held") };
    close(held.touches_at, 999.0);
    assert_eq!(held.nearest_tip, None);
    assert!(matches!(held.warnings[..], [FitWarning::HangsOver { .. }, ..]), "{held:?}");
    assert!(matches!(stopped(&GRIP_END, 3.9, 100.0), Err(FitError::WontGoOn { .. })));
    // Nearly through, above a butt that was not measured.
    let no_butt = &GRIP_END[1..];
    let Ok(Stop::Held(held)) = stopped(no_butt, 10.99, 10.0) else { panic!("not held") };
    assert_eq!(held.nearest_butt, None);
    assert!(matches!(held.warnings[..], [FitWarning::Unmeasured { .. }, ..]), "{held:?}");
    let through = |stations: &[(f64, f64)]| match stopped(stations, 13.0, 10.0) {
        Ok(Stop::Through { thickest, warnings, .. }) => (in_millimetres(thickest), warnings.len()),
        other => panic!("{other:?}"),
    };
    assert_eq!(through(&GRIP_END).1, 0);
    assert_eq!(through(no_butt).1, 1);
    assert!((through(no_butt).0 - 11.0).abs() < 1e-9);
}

#[test]
fn a_bore_is_judged_by_its_narrower_side_at_a_step() {
    let step = |length: f64, diameter: f64| BoreStep { length: mm(length), diameter: mm(diameter) };
    for steps in [[step(30.0, 10.0), step(20.0, 12.0)], [step(30.0, 12.0), step(20.0, 10.0)]] {
        let bore = Bore::stepped(&steps).unwrap();
        close(bore.at(mm(30.0)), 10.0);
        close(bore.at(mm(29.0)), in_millimetres(steps[0].diameter));
        close(bore.at(mm(31.0)), in_millimetres(steps[1].diameter));
        close(bore.at(mm(99.0)), in_millimetres(steps[1].diameter));
        close(bore.length(), 50.0);
    }
}

#[test]
fn a_wider_place_farther_in_sets_the_cuts_on_the_way() {
    // Within the caliper's error the blank seems to grow towards the tip.
    let taper =
        taper(300.0, &[], &[(0.0, 12.0), (50.0, 12.0), (100.0, 12.03), (300.0, 8.0)]).unwrap();
    let grip = straight("grip", 8.0, 200.0, 0.0, 28.0);
    let plan = ream(&taper.sections()[0], &grip, BondLine::default(), mm(50.0)).unwrap();
    for (deeper, next) in plan.steps.iter().zip(plan.steps.iter().skip(1)) {
        assert!(next.diameter > deeper.diameter && next.depth < deeper.depth, "{:?}", plan.steps);
    }
    // The tool for 100 mm deep is the widest, and leaves nothing to cut before.
    let last = plan.steps[plan.steps.len() - 1];
    close(last.from, 0.0);
    assert!(last.diameter >= plan.butt_end.ream_to);
}

#[test]
fn outside_the_measurements_there_is_no_figure() {
    let taper = taper(1000.0, &[], &[(50.0, 12.0), (950.0, 4.0)]).unwrap();
    let nearest = |at| match taper.diameter_at(mm(at)) {
        Err(FitError::NotMeasured { diameter, .. }) => in_millimetres(diameter),
        other => panic!("{other:?}"),
    };
    assert!((nearest(49.0) - 12.0).abs() < 1e-9);
    assert!((nearest(951.0) - 4.0).abs() < 1e-9);
    assert!(matches!(taper.diameter_at(mm(1001.0)), Err(FitError::BeyondTip { .. })));
    assert!(matches!(taper.diameter_at(mm(-1.0)), Err(FitError::BadPlace { .. })));
    assert!(matches!(taper.diameter_at(mm(f64::NAN)), Err(FitError::BadPlace { .. })));
    assert!(matches!(taper.places(mm(12.5)), Err(FitError::NoSuchDiameter { .. })));
    // A grip over the unmeasured butt is refused, not guessed.
    let grip = straight("grip", 13.0, 200.0, 0.0, 30.0);
    let refused = ream(&taper.sections()[0], &grip, BondLine::default(), mm(50.0)).unwrap_err();
    assert!(matches!(refused, FitError::NotMeasured { .. }), "{refused}");
}

#[test]
fn nothing_is_interpolated_across_a_join() {
    // A tip piece whose ferrule, thicker than the butt piece, slides over it.
    let stations = [(0.0, 12.0), (900.0, 6.0), (1000.0, 7.0), (2000.0, 2.0)];
    assert!(matches!(taper(2000.0, &[], &stations), Err(FitError::GrowsTowardsTip { .. })));
    let taper = taper(2000.0, &[1000.0], &stations).unwrap();
    close(taper.diameter_at(mm(1000.0)).unwrap().diameter, 7.0);
    close(taper.diameter_at(mm(1500.0)).unwrap().diameter, 4.5);
    for at in [950.0, 999.0] {
        assert!(matches!(taper.diameter_at(mm(at)), Err(FitError::NotMeasured { .. })), "{at}");
    }
    // 6.5 mm is found on both pieces.
    let places: Vec<f64> =
        taper.places(mm(6.5)).unwrap().iter().map(|p| in_millimetres(p.from_butt)).collect();
    assert!((places[0] - 825.0).abs() < 1e-6 && (places[1] - 1100.0).abs() < 1e-6, "{places:?}");
    // A part does not sit across it.
    let ring = straight("ring", 9.0, 30.0, 985.0, 12.0);
    let section = taper.section_at(ring.sits_at).unwrap();
    assert!(matches!(
        glue_line(section, &ring, BondLine::default(), mm(10.0)),
        Err(FitError::OffThePiece { .. })
    ));
}

#[test]
fn readings_that_contradict_are_refused_with_both() {
    let twice = taper(1000.0, &[], &[(0.0, 12.0), (500.0, 8.0), (500.0, 8.4), (1000.0, 4.0)]);
    let Err(error) = twice else { panic!("taken") };
    assert_eq!(
        error.to_string(),
        "Two diameters are given at 500.00 mm (19.685 in) from the butt: 8.40 mm (0.331 in) and \
         8.00 mm (0.315 in). Measure there again and keep one. At a join, measure a little to \
         either side."
    );
    // What the caliper explains is taken, more is not, and it doesn't add up unseen.
    assert!(taper(1000.0, &[], &[(0.0, 12.0), (500.0, 12.03), (1000.0, 4.0)]).is_ok());
    assert!(taper(1000.0, &[], &[(0.0, 12.0), (500.0, 12.05), (1000.0, 4.0)]).is_err());
    let creeping = [(0.0, 12.0), (300.0, 12.03), (500.0, 12.06), (1000.0, 4.0)];
    assert!(taper(1000.0, &[], &creeping).is_err());
}

#[test]
fn no_length_is_taken_that_is_none() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let ok = [(0.0, 12.0), (500.0, 6.0)];
        assert!(taper(bad, &[], &ok).is_err(), "{bad}");
        assert!(taper(1000.0, &[bad], &ok).is_err(), "{bad}");
        assert!(taper(1000.0, &[], &[(0.0, bad), (500.0, 6.0)]).is_err(), "{bad}");
        assert!(Taper::new(mm(1000.0), &[], &readings(&ok), mm(bad)).is_err(), "{bad}");
        assert!(Bore::straight(mm(bad), mm(10.0)).is_err(), "{bad}");
        assert!(Bore::straight(mm(10.0), mm(bad)).is_err(), "{bad}");
        assert!(BondLine::new(mm(bad), mm(0.2)).is_err(), "{bad}");
        assert!(looseness(mm(0.1), mm(0.1), mm(bad)).is_err(), "{bad}");
        let taper = taper(1000.0, &[], &ok).unwrap();
        let section = &taper.sections()[0];
        let grip = straight("grip", 12.5, 100.0, 0.0, 30.0);
        assert!(glue_line(section, &grip, BondLine::default(), mm(bad)).is_err(), "{bad}");
        assert!(ream(section, &grip, BondLine::default(), mm(bad)).is_err(), "{bad}");
        let under = section.diameter_at(mm(100.0)).unwrap();
        assert!(tape_turns(&under, mm(20.0), mm(bad), BondLine::default()).is_err(), "{bad}");
        if bad != 0.0 {
            assert!(taper.section_at(mm(bad)).is_err(), "{bad}");
            assert!(roughening(section, &grip, mm(bad)).is_err(), "{bad}");
        }
    }
    assert!(Bore::stepped(&[]).is_err());
    assert_eq!(taper(1000.0, &[], &[(0.0, 12.0)]), Err(FitError::TooFew));
    assert!(BondLine::new(mm(0.2), mm(0.1)).is_err());
    assert_eq!(
        taper(1000.0, &[], &[(0.0, 12.0), (1.0, 61.0)]),
        Err(FitError::TooThick { diameter: mm(61.0) })
    );
}

#[test]
fn parts_that_can_t_be_are_refused() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let line = |part: &Part| glue_line(section, part, BondLine::default(), mm(10.0)).unwrap_err();
    let wide = line(&straight("grip", 30.0, 100.0, 0.0, 25.0));
    assert!(matches!(wide, FitError::BoreThroughPart { .. }));
    let long = line(&straight("grip", 13.0, 1001.0, 0.0, 25.0));
    assert!(matches!(long, FitError::PartTooLong { .. }));
    let past = line(&straight("grip", 13.0, 100.0, 950.0, 25.0));
    assert!(matches!(past, FitError::OffThePiece { .. }));
    let tight = line(&straight("grip", 11.0, 100.0, 0.0, 25.0));
    assert!(matches!(tight, FitError::TooTight { .. }));
    // Reaming through the wall is refused before the part is lost.
    let thin = straight("ring", 8.0, 20.0, 100.0, 11.7);
    assert!(matches!(
        ream(section, &thin, BondLine::default(), mm(10.0)),
        Err(FitError::BoreThroughPart { .. })
    ));
}

#[test]
fn a_grip_is_reamed_in_cuts() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let grip = straight("grip", 8.0, 200.0, 0.0, 28.0);
    let plan = ream(section, &grip, BondLine::default(), mm(20.0)).unwrap();
    // 12 of blank, 0.02 each for blank and bore, 0.2 of glue line.
    close(plan.butt_end.ream_to, 12.24);
    close(plan.butt_end.at_most, 12.36);
    close(plan.butt_end.remove, 4.24);
    close(plan.tip_end.ream_to, 11.24);
    close(plan.tip_end.wall, 8.38);
    assert_eq!(plan.stations.len(), 11);
    assert_eq!(plan.steps.len(), 10);
    close(plan.steps[0].diameter, 11.34);
    close(plan.steps[0].depth, 200.0);
    close(plan.steps[9].diameter, 12.24);
    close(plan.steps[9].depth, 20.0);
    assert_eq!(plan.warnings, []);
    // A cut of 50 mm leaves a quarter millimetre too much: 0.25 - 0.12 on the diameter.
    let coarse = ream(section, &grip, BondLine::default(), mm(50.0)).unwrap();
    let [FitWarning::StepTooLong { gap, .. }] = coarse.warnings[..] else {
        panic!("{:?}", coarse.warnings)
    };
    close(gap, 0.265);
    // A bore that is wide enough is left alone.
    let open = straight("grip", 12.3, 200.0, 0.0, 28.0);
    let left = ream(section, &open, BondLine::default(), mm(20.0)).unwrap();
    assert!(left.steps.is_empty());
    let widest = left.warnings.iter().any(|w| matches!(w, FitWarning::BoreTooWide { .. }));
    assert!(widest, "{:?}", left.warnings);
    // Where the taper is hardly known, no range can be promised.
    let sparse = super::tests::taper(1000.0, &[], &[(0.0, 12.0), (1000.0, 2.0)]).unwrap();
    let doubtful = ream(&sparse.sections()[0], &grip, BondLine::default(), mm(20.0)).unwrap();
    let too_narrow = |w: &FitWarning| matches!(w, FitWarning::RangeTooNarrow { .. });
    assert!(doubtful.warnings.iter().any(too_narrow), "{:?}", doubtful.warnings);
}

#[test]
fn the_order_names_the_part_in_the_way() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let grip = straight("rear grip", 12.3, 180.0, 0.0, 28.0);
    let seat = straight("reel seat", 16.0, 110.0, 180.0, 19.0);
    let ring = straight("trim ring", 12.4, 6.0, 174.0, 22.0);
    let fore = straight("fore grip", 11.0, 100.0, 290.0, 26.0);
    let cap = Part { comes_from: End::Butt, ..straight("butt cap", 28.2, 20.0, 0.0, 32.0) };
    let shortened = straight("rear grip", 12.3, 174.0, 0.0, 28.0);
    let good = [shortened.clone(), ring.clone(), seat.clone(), fore.clone(), cap.clone()];
    assert_eq!(conflicts(section, &good).unwrap(), []);
    assert_eq!(working_order(&good).unwrap(), [0, 1, 2, 3, 4]);
    let late = [shortened.clone(), seat.clone(), ring.clone(), fore.clone(), cap.clone()];
    let said: Vec<String> =
        conflicts(section, &late).unwrap().iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "The trim ring can't pass the reel seat already in place: its bore is 12.40 mm (0.488 in), \
          and the reel seat is 19.00 mm (0.748 in) outside. Put the trim ring on first."
        ]
    );
    assert_eq!(working_order(&late).unwrap(), [0, 2, 1, 3, 4]);
    // The whole grip and the ring claim the same place.
    let Err(FitError::NoOrder { names }) = working_order(&[grip, seat, ring]) else {
        panic!("an order was found")
    };
    assert_eq!(names, ["rear grip", "trim ring"]);
    // The blank itself can be in the way.
    let tight = [straight("fore grip", 10.4, 100.0, 290.0, 26.0)];
    let blank = conflicts(section, &tight).unwrap();
    assert!(matches!(blank[..], [Conflict::WontReach { .. }]), "{blank:?}");
    let [Conflict::WontReach { stops_at, .. }] = &blank[..] else { panic!("{blank:?}") };
    close(*stops_at, 320.0);
    let ring_from_butt = Part { comes_from: End::Butt, ..straight("ring", 11.5, 6.0, 174.0, 22.0) };
    let refused = conflicts(section, &[ring_from_butt]).unwrap();
    assert!(matches!(refused[..], [Conflict::WontGoOn { .. }]), "{refused:?}");
}

#[test]
fn bushings_share_the_seat_evenly() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let seat = straight("reel seat", 16.0, 110.0, 180.0, 19.0);
    let set = Bushings { width: mm(12.0), inset: mm(5.0), free_at_most: mm(40.0) };
    let plan = bushings(section, &seat, set, BondLine::default()).unwrap();
    assert_eq!(plan.bushings.len(), 3);
    close(plan.free, 32.0);
    close(plan.bushings[0].from, 185.0);
    close(plan.bushings[2].to, 285.0);
    // 11.075 of blank at 185 mm, 0.04 of reading, 0.2 of glue line; 16 - 0.02 - 0.2 outside.
    close(plan.bushings[0].inside, 11.315);
    close(plan.bushings[0].outside, 15.78);
    close((plan.bushings[0].inside - plan.bushings[0].blank.diameter) / 2.0 + mm(0.11), 0.23);
    // The last, 73 mm past a measurement, where the slope may stray by 5 mm per metre, is looser.
    close(plan.looseness.off_axis, 0.23 + 0.365 / 2.0);
    assert!(matches!(plan.warnings[..], [FitWarning::MeasuredFarApart { .. }]));
    assert_eq!(plan.pockets.len(), 4);
    // Pockets and what is under the bushings make up the whole gap.
    let whole = glue_line(section, &seat, BondLine::gap_filling(), mm(10.0)).unwrap();
    assert!(!whole.fits_bare);
    let mut rest = whole.volume;
    for pocket in &plan.pockets {
        rest -= pocket.volume;
    }
    let expected: f64 = plan
        .bushings
        .iter()
        .map(|b| {
            let ends =
                [b.from, b.to].map(|x| in_millimetres(section.diameter_at(x).unwrap().diameter));
            let solid = frustum(mm(ends[0]), mm(ends[1]), b.to - b.from);
            std::f64::consts::PI / 4.0 * 256.0 * 12.0 - solid.get::<cubic_millimeter>()
        })
        .sum();
    assert!((rest.get::<cubic_millimeter>() - expected).abs() < 1e-6);
    // Neither a thin gap nor a short seat takes any.
    let thin = straight("reel seat", 11.4, 110.0, 180.0, 19.0);
    assert!(matches!(
        bushings(section, &thin, set, BondLine::default()),
        Err(FitError::NoRoomForBushing { .. })
    ));
    let short = straight("reel seat", 16.0, 30.0, 180.0, 19.0);
    assert!(matches!(
        bushings(section, &short, set, BondLine::default()),
        Err(FitError::NoRoomBetween { .. })
    ));
    let crowded = Bushings { free_at_most: mm(0.0001), ..set };
    assert!(matches!(
        bushings(section, &seat, crowded, BondLine::default()),
        Err(FitError::NoRoomBetween { .. })
    ));
}

#[test]
fn a_seat_that_fits_bare_is_told_so() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let bare = straight("ring", 11.3, 10.0, 195.0, 19.0);
    let line = glue_line(section, &bare, BondLine::default(), mm(5.0)).unwrap();
    assert!(line.fits_bare);
    close(line.thinnest.gap, 0.1375);
    let wide = straight("ring", 11.6, 10.0, 195.0, 19.0);
    let line = glue_line(section, &wide, BondLine::default(), mm(5.0)).unwrap();
    assert!(!line.fits_bare);
    assert!(
        matches!(line.warnings[..], [.., FitWarning::LineTooThick { .. }]),
        "{:?}",
        line.warnings
    );
}

#[test]
fn roughening_keeps_back_from_what_shows() {
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let section = &taper.sections()[0];
    let seat = straight("reel seat", 16.0, 110.0, 180.0, 19.0);
    let reach = roughening(section, &seat, mm(3.0)).unwrap();
    close(reach.from, 183.0);
    close(reach.to, 287.0);
    let grip = straight("grip", 13.0, 100.0, 0.0, 28.0);
    close(roughening(section, &grip, mm(3.0)).unwrap().from, 0.0);
    assert!(matches!(roughening(section, &seat, mm(60.0)), Err(FitError::SetBack { .. })));
}

#[test]
fn a_slip_of_units_is_suspected_only_where_it_would_fit() {
    let stations =
        |third: f64| readings(&[(0.0, 12.0), (400.0, 10.0), (800.0, third), (1000.0, 6.0)]);
    assert_eq!(reading_slips(&stations(8.0)), []);
    let found = reading_slips(&stations(8.0 / 25.4));
    let [(2, FitWarning::InchSlip { fits, .. })] = found[..] else { panic!("{found:?}") };
    close(fits, 8.0);
    // Blank measured in inches and one reading in millimetres: the other way round.
    let found = reading_slips(&stations(8.0 * 25.4));
    let [(2, FitWarning::InchSlip { fits, .. })] = found[..] else { panic!("{found:?}") };
    close(fits, 8.0);
    // With two readings it can be either, and both are asked about.
    assert_eq!(reading_slips(&readings(&[(0.0, 30.0), (400.0, 1.0)])).len(), 2);
    // But 12 mm can't have been meant for 0.47 mm.
    assert_eq!(reading_slips(&readings(&[(0.0, 12.0), (400.0, 0.4)]))[0].0, 1);
    // Two slips side by side are both found; nonsense is no slip.
    let inches =
        readings(&[(0.0, 12.0), (400.0, 10.0), (800.0, 0.32), (900.0, 0.3), (1000.0, 6.0)]);
    let rows: Vec<usize> = reading_slips(&inches).iter().map(|slip| slip.0).collect();
    assert_eq!(rows, [2, 3]);
    assert_eq!(reading_slips(&readings(&[(0.0, 12.0), (400.0, 2.0), (800.0, 9.0)])), []);
    // The errors ask the same.
    let taper = taper(1000.0, &[], &GRIP_END).unwrap();
    let nowhere = taper.places(mm(0.42)).unwrap_err();
    let Some(FitWarning::InchSlip { fits, .. }) = nowhere.slip() else { panic!("{nowhere}") };
    close(fits, 10.668);
    assert_eq!(taper.places(mm(13.0)).unwrap_err().slip(), None);
    let beyond = super::tests::taper(84.0, &[], &[(0.0, 12.0), (2000.0, 2.0)]).unwrap_err();
    assert!(beyond.slip().is_some());
    assert_eq!(FitError::TooFew.slip(), None);
    assert_eq!(inch_slip(mm(f64::NAN), mm(1.0), mm(2.0)), None);
}

#[test]
fn a_blank_that_was_checked_makes_a_taper() {
    let unit = crate::length::LengthUnit::Millimetre;
    let blank = Blank::new(mm(1000.0), Vec::new(), readings(&GRIP_END), unit).unwrap();
    let taper = Taper::of(&blank, mm(FINE)).unwrap();
    for at in [0.0, 130.0, 400.0, 777.0, 1000.0] {
        let drawn = blank.diameter_at(mm(at));
        close(taper.diameter_at(mm(at)).unwrap().diameter, in_millimetres(drawn));
    }
}

#[test]
fn every_text_is_a_sentence() {
    let (l, m) = (mm(1.0), Measured { from_butt: mm(1.0), diameter: mm(2.0) });
    let texts = [
        FitError::NotPositive { what: "The bore", given: l }.to_string(),
        FitError::GrowsTowardsTip { before: m, after: m }.to_string(),
        FitError::NoOrder { names: vec!["ring".to_owned(), "seat".to_owned()] }.to_string(),
        FitError::NotMeasured { at: l, from: l, to: l, diameter: l }.to_string(),
        FitWarning::InchSlip { given: l, fits: l }.to_string(),
        FitWarning::StepTooLong { from: l, gap: l }.to_string(),
        FitWarning::HangsOver { to: l, end: l }.to_string(),
        FitWarning::Unmeasured { from: l, to: l }.to_string(),
        FitWarning::NoTurnFits { gap: l }.to_string(),
        Conflict::WontReach { part: "grip".to_owned(), stops_at: l, sits_at: l }.to_string(),
        Conflict::WontGoOn { part: "grip".to_owned(), bore: l, blank: l }.to_string(),
    ];
    for text in texts {
        assert!(text.ends_with(['.', '?']) && !text.contains("  "), "{text}");
        assert!(text.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()), "{text}");
    }
}

#[test]
fn a_tapered_bore_that_fits_asks_for_no_cuts() {
    let measured: Vec<_> =
        (0..=20).map(|n| f64::from(n) * 50.0).map(|x| (x, 12.0 - x / 125.0)).collect();
    let taper = taper(1000.0, &[], &measured).unwrap();
    let section = &taper.sections()[0];
    let (butt, tip) = (mm(12.3), mm(10.3));
    let bore = Bore::tapered(butt, tip, mm(250.0)).unwrap();
    let grip = Part { bore, ..straight("grip", 12.0, 250.0, 0.0, 25.0) };
    let plan = ream(section, &grip, BondLine::default(), mm(50.0)).unwrap();
    assert!(plan.stations.iter().all(|station| station.remove == mm(0.0)));
    assert_eq!((plan.steps.len(), plan.warnings.len()), (0, 0), "{plan:?}");
    // Tighter at the tip end alone: that end is cut, the rest left.
    let bore = Bore::tapered(butt, mm(9.9), mm(250.0)).unwrap();
    let plan = ream(section, &Part { bore, ..grip }, BondLine::default(), mm(50.0)).unwrap();
    assert!(plan.tip_end.remove > mm(0.0) && !plan.steps.is_empty());
    let first = plan.stations.iter().find(|station| station.remove > mm(0.0)).unwrap();
    assert!(plan.steps.iter().all(|step| step.from >= first.offset - mm(50.0)), "{plan:?}");
}
