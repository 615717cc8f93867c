//! What is refused, and that the sentence says what to do.

use super::*;

fn tube_with(change: impl FnOnce(&mut Tube)) -> Result<Stiffness, BendError> {
    let mut tube = tube();
    change(&mut tube);
    Stiffness::of(&tube)
}

fn loads_with(change: impl FnOnce(&mut Loads)) -> Result<Curve, BendError> {
    let mut loads = Loads::on_tip(n(1.0), deg(90.0));
    change(&mut loads);
    solve(&rod(), &loads)
}

fn line_with(change: impl FnOnce(&mut LineLoad)) -> Result<Curve, BendError> {
    let guide = |at, height| Guide { from_butt: m(at), height: mm(height), mass: Mass::default() };
    let mut line = LineLoad {
        reel: Reel { from_butt: m(0.1), height: mm(50.0) },
        guides: vec![guide(0.7, 20.0), guide(1.4, 10.0), guide(2.0, 5.0)],
        tension: n(3.0),
        direction: deg(90.0),
        friction: None,
    };
    change(&mut line);
    solve(&rod(), &on_line(line))
}

#[track_caller]
fn refused<T: std::fmt::Debug>(found: Result<T, BendError>, expected: &BendError) {
    let text = expected.to_string();
    assert!(text.ends_with('.') && !text.contains("NaN"), "{text}");
    assert_eq!(&found.unwrap_err(), expected);
}

#[test]
fn what_is_no_blank() {
    for long in [0.0, -1.0, 21.0, f64::NAN] {
        refused(tube_with(|tube| tube.length = m(long)), &BendError::BlankLength);
    }
    refused(tube_with(|tube| tube.measured.truncate(1)), &BendError::TooFew);
    for thick in [0.0, -2.0, 61.0, f64::NAN, f64::INFINITY] {
        let found = tube_with(|tube| tube.measured[1].diameter = mm(thick));
        refused(found, &BendError::Diameter { at: m(2.0) });
    }
    for place in [-0.1, 2.1, f64::NAN] {
        let error = BendError::OffTheBlank { what: "The diameters", length: m(2.0) };
        refused(tube_with(|tube| tube.measured[1].from_butt = m(place)), &error);
    }
    let found = tube_with(|tube| tube.measured[1].from_butt = m(0.0));
    refused(found, &BendError::NotInOrder { what: "The diameters" });
    for wall in [0.0, -0.5, f64::NAN] {
        refused(tube_with(|tube| tube.wall = Wall::Even(mm(wall))), &BendError::NoWall);
    }
    let thick = BendError::WallTooThick { at: m(2.0), wall: mm(1.01), diameter: mm(2.0) };
    refused(tube_with(|tube| tube.wall = Wall::Even(mm(1.01))), &thick);
    assert!(tube_with(|tube| tube.wall = Wall::Even(mm(1.0))).is_ok());
    for modulus in [0.0, 0.9, 1001.0, f64::NAN] {
        let found = tube_with(|tube| tube.modulus = Modulus::Even(gpa(modulus)));
        refused(found, &BendError::Modulus);
    }
    let error = BendError::OffTheBlank { what: "The places of the wall", length: m(2.0) };
    refused(tube_with(|tube| tube.wall = Wall::At(Vec::new())), &error);
    for density in [0.0, 0.09, 21.0, f64::NAN] {
        let density = MassDensity::new::<gram_per_cubic_centimeter>(density);
        refused(rod().with_density(density), &BendError::Density);
    }
    for weight in [0.0, -1.0, f64::NAN, 30_000.0] {
        let found = rod().with_weight(Mass::new::<gram>(weight));
        refused(found, &BendError::Mass { what: "The blank" });
    }
}

#[test]
fn what_is_no_join() {
    let join = |from, at, to, factor| Join {
        at: m(at),
        from: m(from),
        to: m(to),
        factor: Ratio::new::<ratio>(factor),
    };
    for (from, at, to) in
        [(1.1, 1.0, 1.2), (0.8, 1.0, 0.9), (0.8, 1.0, 2.1), (-0.1, 0.0, 0.1), (0.9, f64::NAN, 1.1)]
    {
        let found = tube_with(|tube| tube.joins = vec![join(from, at, to, 2.0)]);
        refused(found, &BendError::Ferrule);
    }
    let two = vec![join(0.9, 1.0, 1.1, 2.0), join(1.05, 1.2, 1.3, 2.0)];
    refused(tube_with(|tube| tube.joins = two), &BendError::Ferrule);
    for factor in [0.0, 11.0, f64::NAN] {
        let found = tube_with(|tube| tube.joins = vec![join(0.9, 1.0, 1.1, factor)]);
        refused(found, &BendError::Factor);
    }
    let three = vec![join(0.4, 0.5, 0.6, 2.0), join(0.9, 1.0, 1.1, 2.0)];
    let error = BendError::PieceNotMeasured { from: m(0.5), to: m(1.0) };
    refused(tube_with(|tube| tube.joins = three), &error);
}

#[test]
fn what_is_no_load() {
    let tip = |force, direction| Some(TipLoad { force: n(force), direction: deg(direction) });
    for force in [-1.0, f64::NAN, f64::INFINITY] {
        let error = BendError::Force { what: "The load on the tip" };
        refused(loads_with(|loads| loads.tip = tip(force, 90.0)), &error);
    }
    for direction in [f64::NAN, 361.0] {
        let error = BendError::NoDirection { what: "The load on the tip" };
        refused(loads_with(|loads| loads.tip = tip(1.0, direction)), &error);
    }
    let found = loads_with(|loads| loads.butt = deg(f64::NAN));
    refused(found, &BendError::NoDirection { what: "The butt" });
    for place in [-0.1, 2.01, f64::NAN] {
        let load = PointLoad { from_butt: m(place), force: n(1.0), direction: deg(90.0) };
        let error = BendError::OffTheBlank { what: "A load", length: m(2.0) };
        refused(loads_with(|loads| loads.points = vec![load]), &error);
    }
    let mass = PointMass { from_butt: m(1.0), mass: Mass::new::<gram>(-1.0) };
    let found = loads_with(|loads| loads.masses = vec![mass]);
    refused(found, &BendError::Mass { what: "A mass" });
    refused(loads_with(|loads| loads.own_weight = true), &BendError::MassUnknown);
    refused(lowest_frequency(&rod(), &Loads::default()), &BendError::MassUnknown);
    for stations in [0, 3, 2001] {
        let found = solve_at(&rod(), &Loads::default(), stations);
        refused(found, &BendError::Stations);
    }
    let off = BendError::OffTheBlank { what: "A place on the curve", length: m(2.0) };
    refused(solve(&rod(), &Loads::default()).unwrap().at(m(2.1)), &off);
}

#[test]
fn what_is_no_line() {
    assert!(line_with(|_| ()).is_ok());
    refused(line_with(|line| line.guides.clear()), &BendError::NoGuides);
    let order = BendError::NotInOrder { what: "Guides" };
    refused(line_with(|line| line.guides.swap(1, 2)), &order);
    let beyond = BendError::OffTheBlank { what: "A guide", length: m(2.0) };
    refused(line_with(|line| line.guides[2].from_butt = m(2.1)), &beyond);
    refused(line_with(|line| line.reel.from_butt = m(0.7)), &BendError::ReelPlace);
    for height in [501.0, f64::NAN] {
        let error = BendError::Height { what: "A guide" };
        refused(line_with(|line| line.guides[0].height = mm(height)), &error);
    }
    let error = BendError::Height { what: "The reel" };
    refused(line_with(|line| line.reel.height = mm(-501.0)), &error);
    for tension in [-1.0, f64::NAN] {
        let error = BendError::Force { what: "The line" };
        refused(line_with(|line| line.tension = n(tension)), &error);
    }
    let error = BendError::NoDirection { what: "The line" };
    refused(line_with(|line| line.direction = deg(f64::NAN)), &error);
    for coefficient in [-0.1, 1.1, f64::NAN] {
        let coefficient = Ratio::new::<ratio>(coefficient);
        let friction = Some(Friction { coefficient, running: Running::In });
        refused(line_with(|line| line.friction = friction), &BendError::Friction);
    }
    let heavy = Mass::new::<gram>(f64::NAN);
    let error = BendError::Mass { what: "A guide" };
    let found = line_with(|line| line.guides[0].mass = heavy);
    // Weighs nothing here, but can't be a mass.
    refused(found, &error);
}

#[test]
fn what_is_no_cut() {
    let load = TipLoad { force: n(1.0), direction: deg(90.0) };
    for (tip, butt) in [(-1.0, 0.0), (0.0, -1.0), (1000.0, 1000.0), (2500.0, 0.0), (f64::NAN, 0.0)]
    {
        let cut = Cut { tip: mm(tip), butt: mm(butt) };
        refused(rod().trimmed(cut), &BendError::TrimTooLong { length: m(2.0) });
        refused(trim(&rod(), cut, deg(0.0), load), &BendError::TrimTooLong { length: m(2.0) });
    }
    for (diameter, clearance) in [(-1.0, 0.0), (1.0, -0.1), (f64::NAN, 0.0), (70.0, 0.0)] {
        assert_eq!(TipTube::over(mm(diameter), mm(clearance)), None);
    }
}

#[test]
fn what_is_no_load_test() {
    let mark = |at, drop| Mark::Drop { from_butt: m(at), drop: mm(drop) };
    let test = |force, marks: &[Mark]| LoadTest {
        loads: Loads::on_tip(n(force), deg(90.0)),
        marks: marks.to_vec(),
    };
    let fit = |test: &LoadTest, reading| fit_stiffness(&rod(), test, Unknowns::Scale, mm(reading));
    let good = test(1.0, &[mark(1.0, 40.0), mark(2.0, 300.0)]);
    assert!(fit(&good, 1.0).is_ok());
    for reading in [0.0, -1.0, 101.0, f64::NAN] {
        refused(fit(&good, reading), &BendError::Reading);
    }
    let few = BendError::TooFewMarks { least: 2 };
    refused(fit(&test(1.0, &[mark(2.0, 300.0)]), 1.0), &few);
    refused(compare(&rod(), &test(1.0, &[]), mm(1.0)), &BendError::TooFewMarks { least: 1 });
    for drop in [f64::NAN, 5000.0] {
        let odd = test(1.0, &[mark(1.0, 40.0), mark(2.0, drop)]);
        refused(fit(&odd, 1.0), &BendError::Mark { at: m(2.0) });
    }
    let off = test(1.0, &[mark(1.0, 40.0), mark(2.1, 300.0)]);
    assert!(matches!(fit(&off, 1.0), Err(BendError::OffTheBlank { .. })));
    // Marks at the butt, and marks without a load, tell nothing.
    for nothing in
        [test(1.0, &[mark(0.0, 0.0), mark(0.0, 0.0)]), test(0.0, &[mark(1.0, 0.0), mark(2.0, 0.0)])]
    {
        refused(fit(&nothing, 1.0), &BendError::MarksTellNothing);
    }
    for tolerance in [-1.0, f64::NAN, f64::INFINITY] {
        refused(compare(&rod(), &good, mm(tolerance)), &BendError::Tolerance);
    }
}
