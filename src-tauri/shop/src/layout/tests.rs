//! Layouts: read, worked out, moved for the better, cut; every bad field named.

use super::{
    GuidePlan, LayoutPlan, MarkPlan, SpacingAsked, improved, read, spaced, trimmed, work_out,
};
use crate::rod::{DiameterReading, GripMaterial, Reading, ReelType, RodChange, RodPlan};
use coldbench_trade::{LengthUnit, Units, millimetres};

fn units() -> Units {
    Units::usual(LengthUnit::Millimetre)
}

fn mm(value: f64) -> Reading {
    Reading { text: format!("{value} mm"), value }
}

fn rod(reel: ReelType) -> RodPlan {
    RodPlan {
        title: "Invented".to_owned(),
        customer: "Nobody".to_owned(),
        wishes: String::new(),
        reel,
        grip: GripMaterial::Cork,
        blank: "Invented blank".to_owned(),
        length: mm(2130.0),
        joins: Vec::new(),
        diameters: [(0.0, 11.2), (300.0, 10.1), (700.0, 8.3), (1200.0, 5.7), (2130.0, 1.7)]
            .map(|(at, d)| DiameterReading { from_butt: mm(at), diameter: mm(d) })
            .to_vec(),
        parts: Vec::new(),
        layout: None,
        sure: false,
    }
}

fn layout() -> LayoutPlan {
    let guide = |from_tip: f64, ring: f64, height: f64| GuidePlan {
        from_tip: format!("{from_tip} mm"),
        ring: format!("{ring} mm"),
        height: format!("{height} mm"),
        mass: "0.6 g".to_owned(),
        turned: String::new(),
    };
    LayoutPlan {
        wall: "0.9 mm".to_owned(),
        modulus: "95".to_owned(),
        weight: "64 g".to_owned(),
        hang: "700 g".to_owned(),
        held: "30°".to_owned(),
        reel_from_butt: "350 mm".to_owned(),
        reel_height: "40 mm".to_owned(),
        tip_height: "6 mm".to_owned(),
        tip_mass: "0.5 g".to_owned(),
        guides: vec![
            guide(100.0, 6.0, 9.0),
            guide(220.0, 6.0, 9.0),
            guide(365.0, 6.0, 9.0),
            guide(540.0, 7.0, 12.0),
            guide(755.0, 10.0, 20.0),
            guide(1020.0, 20.0, 34.0),
        ],
        ..LayoutPlan::default()
    }
}

#[test]
fn a_layout_is_worked_out_for_the_screen_and_the_page() {
    let plan = rod(ReelType::Spinning);
    let read = read(&plan, &layout(), units()).unwrap();
    let worked = work_out(&plan, &read, units()).unwrap();
    assert_eq!(worked.rows.len(), 7, "tip-top and six guides");
    assert_eq!(worked.rows[0].from_tip, "0.0 mm");
    assert_eq!(worked.rows[6].from_butt, "1110.0 mm");
    assert_eq!(worked.rows[1].gap, "120.0 mm");
    let numbers: Vec<_> = worked.rod.rings.iter().map(|ring| ring.number).collect();
    assert_eq!(numbers, [None, Some(6), Some(5), Some(4), Some(3), Some(2), Some(1), Some(0)]);
    // Underneath, and each ring as far from its foot as it is high.
    for ring in &worked.rod.rings[1..] {
        assert!(ring.height_mm > 0.0);
        let off = (ring.ring.0 - ring.foot.0).hypot(ring.ring.1 - ring.foot.1);
        assert!((off - ring.height_mm).abs() < 1e-6, "{ring:?}");
    }
    let told: Vec<_> = worked.as_rows().iter().map(|row| row.label.clone()).collect();
    assert!(told.iter().any(|label| label == "Guide 1, 100.0 mm from the tip"), "{told:?}");
    assert!(told.iter().any(|label| label == "They make the tip hang by"), "{told:?}");
}

#[test]
fn each_bad_field_is_named() {
    let plan = rod(ReelType::Spinning);
    let mut bad = layout();
    bad.wall = "thin".to_owned();
    bad.hang = "-3 g".to_owned();
    bad.held = "120°".to_owned();
    bad.guides[2].from_tip = "at the third".to_owned();
    bad.guides[3].height = "2 mm".to_owned();
    let fields: Vec<_> =
        read(&plan, &bad, units()).unwrap_err().into_iter().map(|fault| fault.field).collect();
    for field in ["wall", "hang", "held", "guides.2.from-tip", "guides.3.height"] {
        assert!(fields.iter().any(|known| known == field), "{field} in {fields:?}");
    }
    // Out of order, at the one that is.
    let mut bad = layout();
    bad.guides[3].from_tip = "300 mm".to_owned();
    let faults = read(&plan, &bad, units()).unwrap_err();
    assert_eq!(faults[0].field, "guides.3.from-tip", "{faults:?}");
    // One diameter makes no blank.
    let mut one = plan.clone();
    one.diameters.truncate(1);
    let faults = read(&one, &layout(), units()).unwrap_err();
    assert!(faults[0].message.contains("at least two places"), "{faults:?}");
    // A spiral needs a reel on top.
    let mut spiral = layout();
    spiral.spiral = Some(coldbench_trade::guides::Side::Left);
    assert_eq!(read(&plan, &spiral, units()).unwrap_err()[0].field, "spiral");
}

#[test]
fn a_load_past_the_range_says_how_much_can_be_worked_out() {
    let plan = rod(ReelType::Spinning);
    let mut heavy = layout();
    // Upright, the weight on the tip pushes straight down until the rod gives way to a side.
    heavy.held = "90°".to_owned();
    heavy.guides.clear();
    heavy.hang = "2 kg".to_owned();
    let read = read(&plan, &heavy, units()).unwrap();
    let words = work_out(&plan, &read, units()).err().unwrap();
    assert!(words.contains("% of it") && words.contains("smaller load"), "{words}");
}

/// Marks that the program's own curve gives are found again by the fit.
#[test]
fn a_load_test_is_turned_round() {
    let plan = rod(ReelType::Spinning);
    let mut bare = layout();
    bare.guides.clear();
    bare.weight = String::new();
    bare.held = String::new();
    bare.hang = "150 g".to_owned();
    bare.modulus = "120".to_owned();
    let stiff = read(&plan, &bare, units()).unwrap();
    let curve = work_out(&plan, &stiff, units()).unwrap().curve;
    let drop = |at: f64| curve.at(millimetres(at)).unwrap().y.value * 1000.0;
    let mark =
        |at: f64| MarkPlan { from_butt: format!("{at} mm"), drop: format!("{:.2} mm", drop(at)) };
    let mut tested = layout();
    tested.modulus = "60".to_owned();
    tested.test_hang = "150 g".to_owned();
    tested.marks = vec![mark(1200.0), mark(2130.0)];
    let read = read(&plan, &tested, units()).unwrap();
    let fitted = read.fitted.as_ref().unwrap();
    assert!((fitted.at_butt.value - 2.0).abs() < 0.02, "{:?}", fitted.at_butt);
    let rows = work_out(&plan, &read, units()).unwrap().fitted;
    assert!(rows.iter().any(|row| row.label.starts_with("Mark 2 off")), "{rows:?}");
    // Marks without a weight are no test.
    tested.test_hang = String::new();
    assert_eq!(super::read(&plan, &tested, units()).unwrap_err()[0].field, "test-hang");
}

#[test]
fn guides_are_spaced_and_moved_for_the_better() {
    let plan = rod(ReelType::Spinning);
    let asked = SpacingAsked {
        count: "7".to_owned(),
        first: "1100 mm".to_owned(),
        tip_gap: "95 mm".to_owned(),
        spool: String::new(),
    };
    let (made, told) = spaced(&plan, &layout(), &asked, units()).unwrap();
    assert_eq!(made.guides.len(), 7);
    assert_eq!(made.guides[0].from_tip, "95.0 mm");
    assert_eq!(made.guides[6].from_tip, "1030.0 mm");
    assert!(told.contains("times the one before"), "{told}");
    // By the reel: the spool has to be known.
    let by_reel = SpacingAsked { first: String::new(), ..asked.clone() };
    let fault = spaced(&plan, &layout(), &by_reel, units()).unwrap_err();
    assert_eq!(fault.field, "spacing.spool");
    let by_reel = SpacingAsked { spool: "50 mm".to_owned(), ..by_reel };
    assert!(spaced(&plan, &layout(), &by_reel, units()).is_ok());
    let bad = SpacingAsked { count: "many".to_owned(), ..asked };
    assert_eq!(spaced(&plan, &layout(), &bad, units()).unwrap_err().field, "spacing.count");

    let (moved, told) = improved(&plan, &made, units()).unwrap();
    assert!(told.contains("number to lessen") || told.contains("Nothing better"), "{told}");
    assert_eq!(moved.guides.len(), made.guides.len());
    assert!(read(&plan, &moved, units()).is_ok());
}

#[test]
fn a_spiral_is_looked_at_in_space() {
    let plan = rod(ReelType::Casting);
    let mut spiral = layout();
    spiral.spiral = Some(coldbench_trade::guides::Side::Left);
    for (guide, turned) in
        spiral.guides.iter_mut().zip(["180°", "180°", "180°", "120°", "60°", "0°"])
    {
        guide.turned = turned.to_owned();
    }
    let read = read(&plan, &spiral, units()).unwrap();
    let worked = work_out(&plan, &read, units()).unwrap();
    assert!(
        worked.warnings.iter().any(|words| words.contains("In a spiral")),
        "{:?}",
        worked.warnings
    );
    assert_eq!(worked.rows[4].turned, "120.0°");
    // The reel and the first guide above, the tip-top below.
    assert!(worked.rod.rings[0].height_mm < 0.0 && worked.rod.rings[1].height_mm < 0.0);
    assert!(worked.rod.rings.last().unwrap().height_mm > 0.0);
    assert!(improved(&plan, &spiral, units()).unwrap_err().contains("by hand"));
}

#[test]
fn a_cut_is_seen_before_and_moves_what_was_measured() {
    let plan = rod(ReelType::Spinning);
    let read = read(&plan, &layout(), units()).unwrap();
    let cut = trimmed(&read, millimetres(50.0), millimetres(0.0), units()).unwrap();
    assert_eq!(cut.rows[0], ("Length".to_owned(), "2130.0 mm".to_owned(), "2080.0 mm".to_owned()));
    let too_long = trimmed(&read, millimetres(2200.0), millimetres(0.0), units()).unwrap_err();
    assert!(too_long.contains("shorter than the blank"), "{too_long}");

    let made = plan.changed(&RodChange::Cut { tip: mm(30.0), butt: mm(100.0) }).unwrap();
    assert!((made.length.value - 2000.0).abs() < 1e-9);
    let places: Vec<f64> = made.diameters.iter().map(|row| row.from_butt.value).collect();
    // The butt's own reading and the tip's are gone with what was sawn off.
    assert_eq!(places, [200.0, 600.0, 1100.0]);
    assert!(made.layout.is_none());
    assert_eq!(made.diameters[0].diameter, plan.diameters[1].diameter);
}

/// The load test was done on the whole blank; after the cut the rod is stiffer, not unknown.
#[test]
fn a_load_test_outlives_a_cut() {
    let mut plan = rod(ReelType::Spinning);
    let mut tested = layout();
    tested.test_hang = "100 g".to_owned();
    tested.marks = vec![
        MarkPlan { from_butt: "1500 mm".to_owned(), drop: "161 mm".to_owned() },
        MarkPlan { from_butt: "2130 mm".to_owned(), drop: "398 mm".to_owned() },
    ];
    plan.layout = Some(Box::new(tested.clone()));
    let stiff = |plan: &RodPlan| {
        let read = read(plan, plan.layout.as_ref().unwrap(), units()).unwrap();
        (read.blank.tip_stiffness().value, read.blank.length().value)
    };
    let (whole, _) = stiff(&plan);
    let cut = plan.changed(&RodChange::Cut { tip: mm(20.0), butt: mm(0.0) }).unwrap();
    let again = cut.changed(&RodChange::Cut { tip: mm(20.0), butt: mm(5.0) }).unwrap();
    let (once, length) = stiff(&cut);
    assert!(once > whole && (length - 2.110).abs() < 1e-9, "{whole} {once} {length}");
    let (twice, length) = stiff(&again);
    assert!(twice > once && (length - 2.085).abs() < 1e-9, "{once} {twice} {length}");
}
