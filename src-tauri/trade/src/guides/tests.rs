//! Rules that hold for every layout, and what is refused.

use super::*;
use crate::bend::{Modulus, Stiffness, Tube, Wall};
use crate::blank::{Blank, Measured};
use crate::length::in_millimetres;
use proptest::collection::vec;
use proptest::prelude::*;
use uom::si::f64::{Force, Mass, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::mass::gram;
use uom::si::pressure::gigapascal;
use uom::si::ratio::ratio;

fn layout(length: f64, from_tip: &[f64]) -> Result<Layout, GuideError> {
    Layout::new(mm(length), &from_tip.iter().copied().map(mm).collect::<Vec<_>>())
}

fn room(least_gap: f64, first_from: f64, first_to: f64) -> Room {
    Room { least_gap: mm(least_gap), first_from: mm(first_from), first_to: mm(first_to) }
}

fn ring(inside: f64) -> Ring {
    Ring {
        size: mm(inside),
        inside: mm(inside),
        height: mm(inside * 1.5),
        mass: Mass::new::<gram>(1.0),
    }
}

fn angle(degrees: f64) -> Angle {
    Angle::new::<degree>(degrees)
}

/// A rod with guides at random gaps of 20 mm and more.
fn made() -> impl Strategy<Value = Layout> {
    (vec(20.0f64..300.0, 1..14), 100.0f64..900.0).prop_map(|(gaps, first)| {
        let mut at = 0.0;
        let places: Vec<f64> = gaps
            .iter()
            .map(|gap| {
                at += gap;
                at
            })
            .collect();
        layout(at + first, &places).unwrap()
    })
}

fn growth() -> impl Strategy<Value = Growth> {
    prop_oneof![Just(Growth::Geometric), Just(Growth::Arithmetic)]
}

proptest! {
    #[test]
    fn gaps_sum_to_the_reach_and_never_shrink(
        growth in growth(), count in 2usize..40, tip_gap in 10.0f64..200.0, more in 1.0f64..30.0,
        first in 50.0f64..1500.0,
    ) {
        let reach = tip_gap * as_f64(count) * more;
        let made = progressive(mm(reach + first), mm(first), count, mm(tip_gap), growth).unwrap();
        let gaps: Vec<f64> = made.layout.gaps().into_iter().map(in_millimetres).collect();
        prop_assert_eq!(gaps.len(), count);
        prop_assert!((gaps.iter().sum::<f64>() - reach).abs() < 1e-9 * reach);
        // The first guide sits where it was given, to the last digit.
        prop_assert_eq!(made.layout.reach(), mm(reach + first) - mm(first));
        prop_assert!((gaps[0] - tip_gap).abs() < 1e-3);
        let greatest = made.greatest_ratio.get::<ratio>();
        for pair in gaps.windows(2) {
            prop_assert!(pair[1] >= pair[0] - 1e-8 * reach, "{gaps:?}");
            prop_assert!(pair[1] <= pair[0] * greatest + 1e-8 * reach, "{gaps:?}");
        }
        // The last gap is what is left: that it grows like the others shows the root was met.
        if let Grows::Times(times) = made.grows {
            let last = gaps[count - 2] * times.get::<ratio>();
            prop_assert!((gaps[count - 1] - last).abs() < 1e-8 * reach);
        }
    }

    #[test]
    fn the_fewest_guides_for_a_ratio(
        growth in growth(), greatest in 1.0f64..1.5, tip_gap in 50.0f64..200.0,
        reach in 900.0f64..3000.0,
    ) {
        let (length, first) = (mm(reach + 500.0), mm(500.0));
        let of = |count| progressive(length, first, count, mm(tip_gap), growth);
        match with_greatest_ratio(length, first, mm(tip_gap), growth, Ratio::new::<ratio>(greatest)) {
            Ok(found) => {
                prop_assert!(found.greatest_ratio.get::<ratio>() <= greatest + 1e-9);
                let fewer = of(found.layout.count() - 1).unwrap();
                prop_assert!(fewer.greatest_ratio.get::<ratio>() > greatest);
            }
            Err(GuideError::NoNumber { most, .. }) => {
                prop_assert!(of(most).unwrap().greatest_ratio.get::<ratio>() > greatest);
                let more = of(most + 1);
                prop_assert!(matches!(more, Err(GuideError::GapsWouldShrink { .. })), "{more:?}");
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn moved_there_and_back_is_the_same(
        made in made(), number in 0usize..14, to in -500.0f64..5000.0,
    ) {
        let number = number % made.count() + 1;
        let limits = room(20.0 - 1e-9, 0.0, in_millimetres(made.length()));
        let was = made.from_tip()[number - 1];
        let there = made.moved(number, mm(to), &limits).unwrap();
        let (least, most) = made.room_of(number, &limits).unwrap();
        let now = there.from_tip()[number - 1];
        prop_assert!(now >= least && now <= most);
        prop_assert!(to < in_millimetres(least) || to > in_millimetres(most) || now == mm(to));
        prop_assert!(there.gaps().iter().all(|&gap| gap >= mm(20.0 - 1e-6)));
        prop_assert_eq!(there.moved(number, was, &limits).unwrap(), made);
    }

    #[test]
    fn a_flatter_angle_is_farther_away(
        spool in 20.0f64..80.0, over in 1.0f64..60.0, tilt in -20.0f64..20.0, inside in 5.0f64..40.0,
        ring_over in 1.0f64..40.0, greatest in 1.0f64..40.0,
    ) {
        let line = SpoolLine {
            spool: mm(spool),
            height: mm(spool / 2.0 + over),
            tilt: angle(tilt),
            ring: mm(inside),
            ring_height: mm(inside / 2.0 + ring_over),
        };
        let nearest = line.nearest(angle(greatest)).unwrap();
        prop_assert!(line.nearest(angle(greatest * 0.9)).unwrap() >= nearest);
        let steepest = line.steepest_at(nearest + mm(1e-6)).unwrap().get::<degree>();
        prop_assert!(steepest <= greatest + 1e-9, "{steepest}");
        // Just as steep as was allowed, unless the lip itself is in the way.
        let lip = spool / 2.0 * tilt.to_radians().sin().abs();
        prop_assert!(in_millimetres(nearest) < lip + 1e-6 || steepest > greatest - 1e-3);
    }

    #[test]
    fn rings_never_widen_towards_the_tip(
        made in made(), insides in vec(2.0f64..25.0, 1..9), first in 2.0f64..40.0,
        knot in 1.0f64..10.0, narrowing in 0usize..14,
    ) {
        let at_hand: Vec<Ring> = insides.iter().copied().map(ring).collect();
        let narrowing = narrowing % made.count() + 1;
        let Ok(train) = reduction(&made, &at_hand, &ring(first), mm(knot), narrowing) else {
            let widest = insides.iter().copied().fold(0.0, f64::max);
            let running =
                insides.iter().copied().filter(|&i| i >= knot).fold(f64::INFINITY, f64::min);
            prop_assert!(first < knot || widest < knot || first < running);
            return Ok(());
        };
        prop_assert_eq!(train.len(), made.count());
        prop_assert!(train.windows(2).all(|pair| pair[0].inside <= pair[1].inside));
        prop_assert!(train.iter().all(|ring| ring.inside >= mm(knot)));
        prop_assert_eq!(train[train.len() - 1].inside, mm(first));
    }

    #[test]
    fn a_tube_is_the_smallest(tip in 0.5f64..14.0, gap in 0.0f64..0.2) {
        let fit = TubeFit::smallest(mm(tip), mm(gap), true).unwrap();
        let inside = in_millimetres(fit.size.inside());
        prop_assert!((inside - tip - 2.0 * in_millimetres(fit.gap)).abs() < 1e-9);
        prop_assert!(in_millimetres(fit.gap) >= gap - 1e-9);
        prop_assert!(inside - 25.4 / 128.0 < tip + 2.0 * gap || fit.size.to_string() == "2");
        let whole = TubeFit::smallest(mm(tip), mm(gap), false).unwrap();
        prop_assert!(whole.size >= fit.size && !whole.size.to_string().contains('.'));
        prop_assert_eq!(fit.size.to_string().parse(), Ok(fit.size));
    }

    #[test]
    fn a_mirrored_spiral_clears_as_much(
        made in made(), at_top in 0usize..3, turning in 1usize..5, high in 1.0f64..30.0,
    ) {
        prop_assume!(at_top + turning <= made.count());
        let spiral = Spiral::evenly(made.count(), at_top, turning, Side::Left).unwrap();
        let blank = Blank::new(
            made.length(),
            vec![],
            vec![
                Measured { from_butt: mm(0.0), diameter: mm(12.0) },
                Measured { from_butt: made.length(), diameter: mm(2.0) },
            ],
            crate::LengthUnit::Millimetre,
        ).unwrap();
        let heights: Vec<Length> =
            made.from_butt().iter().map(|&at| blank.diameter_at(at) / 2.0 + mm(high)).collect();
        let of = |spiral: &Spiral| {
            spiral.clearances(&made, &heights, mm(1.0 + high), &blank).unwrap()
        };
        let (spans, mirrored) = (of(&spiral), of(&spiral.mirrored()));
        prop_assert_eq!(spiral.mirrored().side(), Side::Right);
        prop_assert_eq!(spiral.mirrored().mirrored(), spiral.clone());
        for number in 0..=made.count() {
            let (right, over) = spiral.across(number, mm(high)).unwrap();
            prop_assert!(right <= mm(1e-9), "{right:?}");
            prop_assert!((right.value.hypot(over.value) - mm(high).value).abs() < 1e-12);
            prop_assert_eq!(spiral.mirrored().across(number, mm(high)), Ok((-right, over)));
        }
        for (span, mirror) in spans.iter().zip(mirrored) {
            prop_assert!((span.clearance - mirror.clearance).abs() < mm(1e-9));
            // No farther than the ends, and no deeper than the axis.
            prop_assert!(span.clearance <= mm(high + 1e-9));
            prop_assert!(span.clearance >= -blank.diameter_at(span.at) / 2.0 - mm(1e-9));
        }
    }
}

fn as_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::NAN, f64::from)
}

#[test]
fn what_is_no_layout_is_refused() {
    assert_eq!(layout(2000.0, &[]), Err(GuideError::NoGuides));
    assert!(matches!(layout(0.0, &[100.0]), Err(GuideError::NotPositive { .. })));
    assert!(matches!(layout(2000.0, &[f64::NAN]), Err(GuideError::BadPlace { .. })));
    assert!(matches!(layout(2000.0, &[-1.0]), Err(GuideError::BadPlace { .. })));
    assert!(matches!(layout(2000.0, &[0.0]), Err(GuideError::OnePlace { number: 1, .. })));
    assert!(matches!(layout(2000.0, &[90.0, 90.0]), Err(GuideError::OnePlace { number: 2, .. })));
    assert!(matches!(layout(2000.0, &[90.0, 50.0]), Err(GuideError::OutOfOrder { number: 2, .. })));
    assert!(matches!(layout(2000.0, &[2001.0]), Err(GuideError::OffTheRod { number: 1, .. })));
    let many: Vec<f64> = (1..=61).map(f64::from).collect();
    assert!(matches!(layout(2000.0, &many), Err(GuideError::TooManyGuides { count: 61, .. })));
}

#[test]
fn what_is_no_spacing_is_refused() {
    let of = |first, count, gap| {
        progressive(mm(2000.0), mm(first), count, mm(gap), Growth::Geometric).map(|_| ())
    };
    assert_eq!(of(500.0, 0, 100.0), Err(GuideError::NoGuides));
    assert!(matches!(of(500.0, 61, 1.0), Err(GuideError::TooManyGuides { .. })));
    assert!(matches!(of(f64::NAN, 8, 100.0), Err(GuideError::NotPositive { .. })));
    assert!(matches!(of(500.0, 8, f64::NAN), Err(GuideError::NotPositive { .. })));
    assert!(matches!(of(500.0, 8, -5.0), Err(GuideError::NotPositive { .. })));
    assert!(matches!(of(2000.0, 8, 100.0), Err(GuideError::FirstOffTheRod { .. })));
    assert!(matches!(of(1950.0, 1, 100.0), Err(GuideError::FirstTooNear { .. })));
    assert!(matches!(of(500.0, 1, 100.0), Err(GuideError::OneGap { .. })));
    assert!(of(500.0, 1, 1500.0).is_ok());
    assert!(matches!(of(500.0, 16, 100.0), Err(GuideError::GapsWouldShrink { count: 16, .. })));
    assert!(of(500.0, 15, 100.0).is_ok());
    let with = |times| {
        let times = Ratio::new::<ratio>(times);
        with_greatest_ratio(mm(2000.0), mm(500.0), mm(700.0), Growth::Geometric, times)
    };
    assert!(matches!(with(0.9), Err(GuideError::Ratio { .. })));
    assert!(matches!(with(f64::NAN), Err(GuideError::Ratio { .. })));
    // Two gaps of 700 and 800 mm; a third would need 2100 mm.
    assert!(matches!(with(1.1), Err(GuideError::NoNumber { most: 2, .. })));
    let whole = tip_gap_for(mm(0.0), 4, Ratio::new::<ratio>(1.1));
    assert!(matches!(whole, Err(GuideError::NotPositive { .. })));
    assert!(matches!(suggested_count(mm(10_001.0)), Err(GuideError::RodTooLong { .. })));
    assert!(matches!(suggested_count(mm(f64::NAN)), Err(GuideError::NotPositive { .. })));
    assert_eq!(suggested_count(mm(10_000.0)).unwrap().value, 34);
    // Sixty even gaps of 20 mm are 1200 mm; one guide more is never tried.
    let most = with_greatest_ratio(
        mm(2000.0),
        mm(500.0),
        mm(20.0),
        Growth::Arithmetic,
        Ratio::new::<ratio>(1.0),
    );
    assert!(matches!(most, Err(GuideError::MostAreTooFew { most: 60, .. })), "{most:?}");
}

#[test]
fn a_guide_goes_no_farther_than_its_neighbours() {
    let made = layout(2000.0, &[100.0, 250.0, 450.0]).unwrap();
    let limits = room(60.0, 1400.0, 1600.0);
    for (number, to, expected) in [
        (1, 10.0, 60.0),
        (1, 240.0, 190.0),
        (2, 200.0, 200.0),
        (2, f64::INFINITY, 390.0),
        (3, 0.0, 400.0),
        (3, 900.0, 600.0),
    ] {
        let moved = made.moved(number, mm(to), &limits).unwrap();
        assert!((in_millimetres(moved.from_tip()[number - 1]) - expected).abs() < 1e-9);
    }
    for number in [0, 4] {
        let none = made.moved(number, mm(200.0), &limits);
        assert_eq!(none, Err(GuideError::NoSuchGuide { number, count: 3 }));
    }
    assert!(matches!(made.moved(2, mm(f64::NAN), &limits), Err(GuideError::BadPlace { .. })));
    let tight = room(200.0, 1400.0, 1600.0);
    assert!(matches!(made.moved(2, mm(200.0), &tight), Err(GuideError::NoRoom { number: 2, .. })));
    let bad = room(60.0, 1600.0, 1400.0);
    assert!(matches!(made.moved(2, mm(200.0), &bad), Err(GuideError::FirstBounds { .. })));
    for bad in [room(60.0, f64::NAN, 1600.0), room(60.0, -1.0, 1600.0), room(60.0, 0.0, f64::NAN)] {
        assert!(matches!(made.moved(2, mm(200.0), &bad), Err(GuideError::BadPlace { .. })));
    }
    let none = made.moved(2, mm(200.0), &room(0.0, 1400.0, 1600.0));
    assert!(matches!(none, Err(GuideError::NotPositive { .. })));
    assert!(matches!(made.placed(2, mm(99.0)), Err(GuideError::OutOfOrder { number: 2, .. })));
    assert!(matches!(made.placed(2, mm(450.0)), Err(GuideError::OnePlace { number: 3, .. })));
    assert!(matches!(made.placed(2, mm(500.0)), Err(GuideError::OutOfOrder { number: 3, .. })));
}

#[test]
fn what_is_no_reel_or_ring_is_refused() {
    let line = SpoolLine {
        spool: mm(46.0),
        height: mm(60.0),
        tilt: angle(3.0),
        ring: mm(20.0),
        ring_height: mm(33.0),
    };
    let of = |line: SpoolLine| line.nearest(angle(10.0)).map(|_| ());
    assert_eq!(of(line), Ok(()));
    let nan = SpoolLine { spool: mm(f64::NAN), ..line };
    assert!(matches!(of(nan), Err(GuideError::NotPositive { .. })));
    let low = SpoolLine { height: mm(23.0), ..line };
    assert!(matches!(of(low), Err(GuideError::SpoolInBlank { .. })));
    let tilted = SpoolLine { tilt: angle(31.0), ..line };
    assert!(matches!(of(tilted), Err(GuideError::AngleOutside { .. })));
    let sunk = SpoolLine { ring_height: mm(10.0), ..line };
    assert!(matches!(of(sunk), Err(GuideError::RingInBlank { .. })));
    for bad in [0.0, -1.0, 61.0, f64::NAN] {
        assert!(matches!(line.nearest(angle(bad)), Err(GuideError::AngleOutside { .. })), "{bad}");
    }
    assert!(matches!(line.steepest_at(mm(1.0)), Err(GuideError::BehindTheLip { .. })));
    assert!(matches!(line.steepest_at(mm(f64::NAN)), Err(GuideError::NotPositive { .. })));
    let reel =
        LevelWind { travel: mm(30.0), height: mm(0.0), ring: mm(10.0), ring_height: mm(8.0) };
    assert!(matches!(reel.sideways_at(mm(100.0)), Err(GuideError::NotPositive { .. })));
    assert!(matches!(stripping_guide(mm(200.0), mm(29.0)), Err(GuideError::ArmReach { .. })));
    assert!(matches!(stripping_guide(mm(200.0), mm(1201.0)), Err(GuideError::ArmReach { .. })));
    let none = stripping_guide(mm(200.0), mm(f64::NAN));
    assert!(matches!(none, Err(GuideError::NotPositive { .. })));
    assert!(matches!(stripping_guide(mm(-1.0), mm(500.0)), Err(GuideError::BadPlace { .. })));

    let made = layout(2000.0, &[100.0, 250.0, 450.0]).unwrap();
    let at_hand = [ring(3.0), ring(5.0)];
    let of = |first: f64, knot: f64, narrowing| {
        reduction(&made, &at_hand, &ring(first), mm(knot), narrowing).map(|_| ())
    };
    assert_eq!(of(16.0, 2.0, 2), Ok(()));
    assert!(matches!(of(4.0, 4.5, 2), Err(GuideError::RingSmallerThanKnot { .. })));
    assert!(matches!(of(16.0, 6.0, 2), Err(GuideError::NoRingPasses { .. })));
    assert!(matches!(of(4.0, 3.5, 2), Err(GuideError::FirstRingSmaller { .. })));
    assert!(matches!(of(16.0, f64::NAN, 2), Err(GuideError::NotPositive { .. })));
    assert!(matches!(of(16.0, 2.0, 0), Err(GuideError::Narrowing { given: 0, count: 3 })));
    assert!(matches!(of(16.0, 2.0, 4), Err(GuideError::Narrowing { given: 4, count: 3 })));
    assert_eq!(smallest_that_passes(&[], mm(2.0)), Err(GuideError::NoRings));
    let heavy = Ring { mass: Mass::new::<gram>(201.0), ..ring(5.0) };
    assert!(matches!(heavy.check(), Err(GuideError::Weight { .. })));
    for (tip, gap) in [(0.4, 0.0), (16.0, 0.0)] {
        let none = TubeFit::smallest(mm(tip), mm(gap), true);
        assert!(matches!(none, Err(GuideError::NoTube { .. })), "{tip}");
    }
    let none = TubeFit::smallest(mm(2.0), mm(-0.1), true);
    assert!(matches!(none, Err(GuideError::Negative { .. })));
    for text in ["4.25", "1", "41", "four", "NaN", ""] {
        let none: Result<TubeSize, _> = text.parse();
        assert_eq!(none, Err(GuideError::TubeText { text: text.to_owned() }));
    }
}

#[test]
fn what_is_no_spiral_is_refused() {
    for (count, at_top, turning) in [(5, 1, 0), (5, 3, 3), (0, 0, 1), (5, usize::MAX, 1)] {
        let none = Spiral::evenly(count, at_top, turning, Side::Left);
        assert_eq!(none, Err(GuideError::Turning { at_top, turning, count }));
    }
    let by = |degrees: &[f64]| {
        let angles: Vec<Angle> = degrees.iter().copied().map(angle).collect();
        Spiral::by_angles(&angles, Side::Right)
    };
    assert_eq!(by(&[]), Err(GuideError::NoGuides));
    assert_eq!(by(&[180.0, 60.0, 90.0]), Err(GuideError::TurnsBack { number: 2 }));
    for bad in [-1.0, 181.0, f64::NAN] {
        assert!(matches!(by(&[bad]), Err(GuideError::AngleOutside { .. })), "{bad}");
    }
    let blank = Blank::new(
        mm(2000.0),
        vec![],
        vec![
            Measured { from_butt: mm(0.0), diameter: mm(12.0) },
            Measured { from_butt: mm(2000.0), diameter: mm(2.0) },
        ],
        crate::LengthUnit::Millimetre,
    )
    .unwrap();
    let made = layout(2000.0, &[500.0, 1000.0]).unwrap();
    let of = |spiral: &Spiral, heights: &[f64], tip: f64| {
        let heights: Vec<Length> = heights.iter().copied().map(mm).collect();
        spiral.clearances(&made, &heights, mm(tip), &blank).map(|_| ())
    };
    let spiral = by(&[180.0, 90.0]).unwrap();
    assert_eq!(of(&spiral, &[8.0, 10.0], 5.0), Ok(()));
    assert!(matches!(of(&spiral, &[8.0], 5.0), Err(GuideError::CountDiffers { given: 1, .. })));
    let three = by(&[180.0, 90.0, 0.0]).unwrap();
    assert!(matches!(of(&three, &[8.0, 9.0], 5.0), Err(GuideError::CountDiffers { given: 3, .. })));
    // The blank is 7 mm across at guide 2.
    let sunk = of(&spiral, &[8.0, 3.5], 5.0);
    assert!(matches!(sunk, Err(GuideError::HeightInBlank { number: 2, .. })), "{sunk:?}");
    assert!(matches!(
        of(&spiral, &[8.0, 9.0], 0.9),
        Err(GuideError::HeightInBlank { number: 0, .. })
    ));
    assert!(matches!(of(&spiral, &[8.0, f64::NAN], 5.0), Err(GuideError::NotPositive { .. })));
    let none = spiral.across(3, mm(8.0));
    assert_eq!(none, Err(GuideError::NoSuchGuide { number: 3, count: 2 }));
    assert!(matches!(spiral.across(1, mm(0.0)), Err(GuideError::NotPositive { .. })));
}

/// A blank of 1 m from 10 to 2 mm, and a test with 4 N.
fn bendy() -> Stiffness {
    Stiffness::of(&Tube {
        length: mm(1000.0),
        measured: vec![
            Measured { from_butt: mm(0.0), diameter: mm(10.0) },
            Measured { from_butt: mm(1000.0), diameter: mm(2.0) },
        ],
        joins: Vec::new(),
        wall: Wall::Even(mm(0.5)),
        modulus: Modulus::Even(Pressure::new::<gigapascal>(60.0)),
    })
    .unwrap()
}

fn test_on(blank: &Stiffness, sits: Sits) -> LoadTest<'_> {
    LoadTest {
        blank,
        sits,
        reel_from_butt: mm(50.0),
        reel_height: mm(30.0),
        tip_top: ring(3.0),
        pull: Force::new::<newton>(4.0),
        direction: angle(90.0),
        butt: angle(0.0),
        friction: None,
        own_weight: false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// The line's pulls on the rod add up to the load, and improving on a real bend is never worse.
    #[test]
    fn a_bent_layout_hangs_together(
        gaps in vec(60.0f64..160.0, 2..6), on_top in any::<bool>(), tries in 1usize..12,
    ) {
        let mut at = 0.0;
        let places: Vec<f64> = gaps.iter().map(|gap| { at += gap; at }).collect();
        let made = layout(1000.0, &places).unwrap();
        let rings: Vec<Ring> = (0..places.len()).map(|k| ring(3.0 + as_f64(k))).collect();
        let blank = bendy();
        let sits = if on_top { Sits::OnTop } else { Sits::Underneath };
        let test = test_on(&blank, sits);
        let found = under_load(&test, &made, &rings).unwrap();
        prop_assert_eq!(found.rows.len(), rings.len() + 1);
        let along: Length = found.rows.iter().map(|row| row.gap).fold(mm(0.0), |a, b| a + b);
        prop_assert!((along - mm(950.0)).abs() < mm(1e-6), "{along:?}");
        for row in &found.rows {
            // Without friction, a line that turns by an angle pulls with 2 T sin of its half.
            let pull = 8.0 * (row.turn / 2.0).sin().get::<ratio>();
            prop_assert!((row.load.get::<newton>() - pull).abs() < 1e-6, "{row:?}");
        }
        // Turned upside down, with the load turned too, all is the same.
        let other = if on_top { Sits::Underneath } else { Sits::OnTop };
        let mirrored = LoadTest { sits: other, direction: angle(-90.0), ..test };
        let mirrored = under_load(&mirrored, &made, &rings).unwrap();
        for (row, mirror) in found.rows.iter().zip(&mirrored.rows) {
            prop_assert!((row.load - mirror.load).abs().get::<newton>() < 1e-6);
            prop_assert!((row.clearance - mirror.clearance).abs() < mm(1e-6));
        }
        let limits = room(40.0, 1000.0 - at - 30.0, 1000.0 - at + 30.0);
        let better = improve(&test, &made, &rings, &limits, mm(1.0), tries).unwrap();
        prop_assert!(better.after.number() <= better.before.number());
        prop_assert_eq!(better.before, found.shortcoming(mm(1.0)).unwrap());
    }
}

#[test]
fn what_is_no_load_test_is_refused() {
    let made = layout(1000.0, &[100.0, 250.0, 450.0]).unwrap();
    let rings = [ring(3.0), ring(4.0), ring(5.0)];
    let blank = bendy();
    let test = test_on(&blank, Sits::OnTop);
    let of = |test: &LoadTest<'_>| under_load(test, &made, &rings).map(|_| ());
    assert_eq!(of(&test), Ok(()));
    let few = under_load(&test, &made, &rings[..2]).map(|_| ());
    assert_eq!(few, Err(GuideError::CountDiffers { what: "Rings", given: 2, count: 3 }));
    let sunk = LoadTest { tip_top: Ring { height: mm(1.0), ..ring(3.0) }, ..test };
    assert!(matches!(of(&sunk), Err(GuideError::RingInBlank { .. })));
    let low = LoadTest { reel_height: mm(-1.0), ..test };
    assert!(matches!(of(&low), Err(GuideError::Negative { .. })));
    let far = LoadTest { reel_from_butt: mm(600.0), ..test };
    assert!(matches!(of(&far), Err(GuideError::Bend(_))));
    let pull = LoadTest { pull: Force::new::<newton>(f64::NAN), ..test };
    assert!(matches!(of(&pull), Err(GuideError::Bend(_))));
    let found = under_load(&test, &made, &rings).unwrap();
    assert!(matches!(found.shortcoming(mm(-1.0)), Err(GuideError::Negative { .. })));
    let long = layout(1100.0, &[100.0, 250.0, 450.0]).unwrap();
    assert!(matches!(under_load(&test, &long, &rings), Err(GuideError::Bend(_))));
    // What the blank weighs is not known.
    let weight = weight_of_guides(&blank, &made, &rings, &ring(3.0));
    assert!(matches!(weight, Err(GuideError::Bend(_))));
}

/// A bend that is known: as many degrees uneven as the worst guide is millimetres off `wanted`, and
/// as much too near the blank as the whole is.
fn off_by(layout: &Layout, wanted: &[f64]) -> Shortcoming {
    let off: Vec<f64> = layout
        .from_tip()
        .iter()
        .zip(wanted)
        .map(|(&at, wanted)| (in_millimetres(at) - wanted).abs())
        .collect();
    Shortcoming {
        shortfall: mm(off.iter().sum::<f64>() / 3.0),
        unevenness: angle(off.iter().copied().fold(0.0, f64::max)),
    }
}

proptest! {
    #[test]
    fn improving_is_never_worse_and_stays_within_bounds(
        made in made(), wanted in vec(0.0f64..4000.0, 14), tries in 1usize..300,
        least_gap in 1.0f64..20.0, slack in 0.0f64..100.0, fails in 2usize..9,
    ) {
        let first = in_millimetres(made.length() - made.reach());
        let limits = room(least_gap, (first - slack).max(0.0), first + slack);
        let of = || {
            let mut looks = 0;
            improve::search(&made, &limits, tries, |layout| {
                looks += 1;
                // Now and then a bend can't be worked out.
                if looks % fails == 0 { Err(GuideError::NoGuides) } else { Ok(off_by(layout, &wanted)) }
            })
            .unwrap()
        };
        let found = of();
        prop_assert!(found.after.number() <= found.before.number());
        prop_assert!(found.tried <= tries);
        prop_assert_eq!(off_by(&found.layout, &wanted), found.after);
        let better = matches!(found.ended, Ended::Better | Ended::BetterUnfinished);
        prop_assert_eq!(better, found.after.number() < found.before.number());
        prop_assert_eq!(better, found.layout != made);
        prop_assert_eq!(found.layout.count(), made.count());
        prop_assert!(found.layout.gaps().iter().all(|&gap| gap >= mm(least_gap - 2e-3)));
        let first = found.layout.length() - found.layout.reach();
        prop_assert!(first >= limits.first_from - mm(2e-3) && first <= limits.first_to + mm(2e-3));
        prop_assert_eq!(of(), found);
    }
}

#[test]
fn the_worse_of_two_shortcomings_counts() {
    for (short, uneven, number) in [(2.0, 0.5, 2.0), (0.0, 1.5, 1.5), (1.0, 1.0, 1.0)] {
        let shortcoming = Shortcoming { shortfall: mm(short), unevenness: angle(uneven) };
        assert!((shortcoming.number() - number).abs() < 1e-9);
    }
}

#[test]
fn improving_finds_what_is_better_and_says_when_nothing_is() {
    let made = layout(2000.0, &[100.0, 250.0, 450.0]).unwrap();
    let limits = room(50.0, 1500.0, 1600.0);
    let wanted = [120.0, 230.0, 480.0];
    let found = improve::search(&made, &limits, 1000, |l| Ok(off_by(l, &wanted))).unwrap();
    assert_eq!(found.ended, Ended::Better);
    assert!(found.after.number() < 1.0, "{found:?}");
    let again = improve::search(&found.layout, &limits, 1000, |l| Ok(off_by(l, &wanted))).unwrap();
    assert!(again.after.number() <= found.after.number());
    let best = layout(2000.0, &wanted).unwrap();
    let none = improve::search(&best, &limits, 1000, |l| Ok(off_by(l, &wanted))).unwrap();
    assert_eq!((none.ended, &none.layout), (Ended::NothingBetter, &best));
    assert!(none.tried > 12);
    let short = improve::search(&made, &limits, 1, |l| Ok(off_by(l, &wanted))).unwrap();
    assert_eq!((short.ended, short.tried), (Ended::NothingBetterUnfinished, 1));
    let cut = improve::search(&made, &limits, 30, |l| Ok(off_by(l, &wanted))).unwrap();
    assert_eq!((cut.ended, cut.tried), (Ended::BetterUnfinished, 30));
    for (limits, number) in [(room(120.0, 1500.0, 1600.0), 1), (room(50.0, 1560.0, 1600.0), 3)] {
        let refused = improve::search(&made, &limits, 100, |l| Ok(off_by(l, &wanted)));
        assert_eq!(refused, Err(GuideError::StartsOutside { number }));
    }
    let failed = improve::search(&made, &limits, 100, |_| Err(GuideError::NoRings));
    assert_eq!(failed, Err(GuideError::NoRings));
}

/// A sharp valley: whatever leaves it is worse at once, so that no guide alone can go along it.
#[test]
fn guides_move_together_where_none_gets_anywhere_alone() {
    let limits = room(20.0, 1000.0, 1990.0);
    let places = |layout: &Layout| -> Vec<f64> {
        layout.from_tip().iter().copied().map(in_millimetres).collect()
    };
    let only = |off: f64, valley: f64| {
        Ok(Shortcoming { shortfall: mm(off.abs()), unevenness: angle(100.0 * valley.abs()) })
    };
    // Guide 2 drags guide 1 along, whose share of the way from the tip stays a half.
    let made = layout(2000.0, &[100.0, 200.0]).unwrap();
    let found = improve::search(&made, &limits, 150, |layout| {
        let at = places(layout);
        only(at[1] - 260.0, 100.0 * (at[0] / at[1] - 0.5))
    });
    let found = found.unwrap();
    assert!(found.after.number() < 0.3, "{found:?}");
    // One up and one down, by about as much: only a drawn direction does that.
    let made = layout(2000.0, &[100.0, 300.0]).unwrap();
    let found = improve::search(&made, &limits, 1000, |layout| {
        let at = places(layout);
        only(at[0] - 150.0, (at[0] + at[1] - 400.0) / 20.0)
    });
    let found = found.unwrap();
    assert!(found.after.number() < 1.0, "{found:?}");
}

/// One of each error, as a builder may meet it.
fn errors() -> Vec<GuideError> {
    let (nan, times) = (mm(f64::NAN), |times| Ratio::new::<ratio>(times));
    let what = "The height of a ring";
    vec![
        GuideError::NotPositive { what, given: nan },
        GuideError::Negative { what: "The gap in the tube", given: mm(-0.1) },
        GuideError::BadPlace { what: "The place of a guide", given: nan },
        GuideError::AngleOutside {
            what: "The angle of a guide",
            least: 0.0,
            most: 180.0,
            given: angle(f64::NAN),
        },
        GuideError::NoGuides,
        GuideError::TooManyGuides { count: 61, most: 60 },
        GuideError::RodTooLong { length: mm(12_000.0), most: 10.0 },
        GuideError::OffTheRod { number: 3, at: mm(2100.0), length: mm(2000.0) },
        GuideError::FirstOffTheRod { first: mm(2100.0), length: mm(2000.0) },
        GuideError::FirstTooNear { reach: mm(50.0), tip_gap: mm(100.0) },
        GuideError::OneGap { reach: mm(1500.0), tip_gap: mm(100.0) },
        GuideError::GapsWouldShrink {
            count: 16,
            tip_gap: mm(100.0),
            needs: mm(1600.0),
            reach: mm(1500.0),
        },
        GuideError::Ratio { given: times(0.9) },
        GuideError::NoNumber { greatest: times(1.1), most: 2, best: times(8.0 / 7.0) },
        GuideError::MostAreTooFew { greatest: times(1.0), most: 60, best: times(1.02) },
        GuideError::OutOfOrder { number: 2, at: mm(50.0), before: mm(90.0) },
        GuideError::OnePlace { number: 2, at: mm(90.0) },
        GuideError::NoSuchGuide { number: 4, count: 3 },
        GuideError::NoRoom { number: 2, least_gap: mm(200.0) },
        GuideError::FirstBounds { from: mm(600.0), to: mm(500.0) },
        GuideError::StartsOutside { number: 2 },
        GuideError::SpoolInBlank { spool: mm(46.0), height: mm(20.0) },
        GuideError::RingInBlank { inside: mm(20.0), height: mm(9.0) },
        GuideError::BehindTheLip { from_spool: mm(1.0), lip: mm(2.0) },
        GuideError::ArmReach { given: mm(29.0) },
        GuideError::NoRings,
        GuideError::NoRingPasses { knot: mm(6.0), widest: mm(5.0) },
        GuideError::RingSmallerThanKnot { inside: mm(4.0), knot: mm(4.5) },
        GuideError::FirstRingSmaller { first: mm(4.0), running: mm(5.0) },
        GuideError::Narrowing { given: 4, count: 3 },
        GuideError::Weight { given: Mass::new::<gram>(f64::NAN) },
        GuideError::NoTube { tip: mm(20.0), gap: mm(0.05), least: 2, most: 40 },
        GuideError::TubeText { text: "four".to_owned() },
        GuideError::Turning { at_top: 3, turning: 3, count: 5 },
        GuideError::TurnsBack { number: 2 },
        GuideError::CountDiffers { what: "Rings", given: 2, count: 3 },
        GuideError::HeightInBlank { number: 0, height: mm(1.0), blank: mm(2.4) },
    ]
}

/// Texts a builder reads: whole sentences without a code or an empty place, and none that says
/// “safe to” or “invalid”.
#[test]
fn errors_are_sentences() {
    for error in errors() {
        let text = error.to_string();
        assert!(text.ends_with('.') && !text.contains(".."), "{text}");
        assert!(
            text.starts_with(|first: char| first.is_uppercase()
                || first.is_numeric()
                || first == '“'),
            "{text}"
        );
        for never in ["NaN", "inf", "safe", "nvalid", "  ", "-0.0"] {
            assert!(!text.contains(never), "{text}");
        }
    }
    assert_eq!(
        GuideError::OnePlace { number: 1, at: mm(0.0) }.to_string(),
        "Guide 1 at 0.00 mm (0.000 in) from the tip sits where the tip-top sits already. Move one of the two."
    );
    assert_eq!(
        GuideError::NoNumber {
            greatest: Ratio::new::<ratio>(1.1),
            most: 2,
            best: Ratio::new::<ratio>(8.0 / 7.0),
        }
        .to_string(),
        "No number of guides keeps each gap within 1.100 times the one before: with 2 it is 1.143, and one more would make gaps shrink. Take a smaller gap at the tip or a larger ratio."
    );
}
