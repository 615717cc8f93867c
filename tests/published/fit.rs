//! The fit of parts to a blank against tables, textbook mensuration, and other people's curves.

use coldbench_trade::Measured;
use coldbench_trade::fit::{
    BondLine, Bore, Diameter, End, FitWarning, Part, Section, Stop, Taper, glue_line, inch_slip,
    looseness, roughening, stop, tape_turns,
};
use coldbench_trade::units::{Length, degree, inch, millimeter};
use std::f64::consts::PI;
use uom::si::area::square_millimeter;
use uom::si::volume::cubic_millimeter;

/// A caliper so fine that it doesn't count.
const EXACT: f64 = 1e-9;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn in_mm(length: Length) -> f64 {
    length.get::<millimeter>()
}

fn close(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

fn taper(length: f64, stations: &[(f64, f64)]) -> Taper {
    let measured: Vec<Measured> =
        stations.iter().map(|&(x, d)| Measured { from_butt: mm(x), diameter: mm(d) }).collect();
    Taper::new(mm(length), &[], &measured, mm(EXACT)).unwrap()
}

fn part(bore: f64, length: f64, sits_at: f64) -> Part {
    Part {
        name: "part".to_owned(),
        bore: Bore::straight(mm(bore), mm(length)).unwrap(),
        thinnest: mm(bore + 10.0),
        thickest: mm(bore + 10.0),
        sits_at: mm(sits_at),
        comes_from: End::Tip,
    }
}

fn volume(section: &Section, part: &Part) -> f64 {
    let line = glue_line(section, part, BondLine::default(), mm(1000.0)).unwrap();
    let (least, most) = (line.least_volume, line.most_volume);
    assert!(least <= line.volume && line.volume <= most);
    line.volume.get::<cubic_millimeter>()
}

/// A blank of 2000 mm from 12 to 2 mm: diameters at 0, 350, 1234 and 2000 mm, and where it is
/// 7.5 mm. Reference case of linear interpolation (computed).
#[test]
fn straight_taper() {
    let taper = taper(2000.0, &[(0.0, 12.0), (2000.0, 2.0)]);
    for (x, d) in [(0.0, 12.0), (350.0, 10.25), (1234.0, 5.83), (2000.0, 2.0)] {
        close(in_mm(taper.diameter_at(mm(x)).unwrap().diameter), d, 1e-9);
    }
    close(in_mm(taper.places(mm(7.5)).unwrap()[0].from_butt), 900.0, 1e-9);
}

/// A table of common logarithms: log 867 = 2.9380190975, log 868 = 2.9385197252, and by linear
/// interpolation log 867.5310 = 2.9382849308 (worked example in a mathematician's article on tables
/// and interpolation, 2021; read). Its error bound h²/8 |f''| with |f''| = 5.7776e-7 is 7.222e-8
/// and the true error 7.18e-8 (the article prints both ten times as large, a slip). The neighbours
/// 866 and 869 are computed. The bound here comes from the neighbours, not from a derivative.
#[test]
fn linear_interpolation_in_a_table() {
    let place = |number: f64| 1000.0 * (869.0 - number);
    let table = [
        (place(869.0), 869f64.log10()),
        (place(868.0), 2.938_519_725_2),
        (place(867.0), 2.938_019_097_5),
        (place(866.0), 866f64.log10()),
    ];
    let found = taper(3000.0, &table).diameter_at(mm(place(867.531))).unwrap();
    close(in_mm(found.diameter), 2.938_284_930_8, 6e-11);
    let off = 867.531f64.log10() - in_mm(found.diameter);
    close(off, 7.18e-8, 1e-10);
    assert!(in_mm(found.from_spacing) >= off, "{found:?}");
    // The bound is wide, yet of the size of the curvature: h²/8 |f''| times four at the most.
    assert!(in_mm(found.from_spacing) < 4.1 * 7.222e-8, "{found:?}");
}

/// sin(3 pi/8) by a line from sin(pi/4) = 0.707 to sin(pi/2) = 1.000: about 0.854 (Pang, An
/// Introduction to Computational Physics, section 2.1; read). The true 0.9239 lies in the bounds.
#[test]
fn two_readings_bound_what_lies_between() {
    let taper = taper(100.0, &[(0.0, 1.0), (100.0, 0.707)]);
    let found = taper.diameter_at(mm(50.0)).unwrap();
    close(in_mm(found.diameter), 0.854, 5.1e-4);
    let truth = mm((3.0 * PI / 8.0).sin());
    assert!(found.lowest < truth && truth < found.highest, "{found:?}");
}

/// The radiochemical data "RPN 14", the test example of Fritsch & Carlson, Monotone piecewise cubic
/// interpolation, SIAM J. Numer. Anal. 17 (1980) 238 (values read in test programs of two numerical
/// libraries that cite it), with their kind of monotone cubic at a quarter, half and three quarters
/// of each span (computed with scipy 1.17.1, `PchipInterpolator`). It has a steep rise between two
/// plateaus, where an ordinary cubic spline overshoots. The line never leaves its two neighbours,
/// and the cubic never leaves the line's bounds.
#[test]
fn monotone_cubic_of_fritsch_and_carlson_lies_within_the_bounds() {
    let x = [7.99, 8.09, 8.19, 8.7, 9.2, 10.0, 12.0, 15.0, 20.0];
    let y = [
        0.0,
        2.764_29e-5,
        4.374_98e-2,
        0.169_183,
        0.469_428,
        0.943_740,
        0.998_636,
        0.999_919,
        0.999_994,
    ];
    let cubic = [
        [0.000_001_729, 0.000_006_915, 0.000_015_554],
        [0.005_292_577, 0.017_697_167, 0.032_197_535],
        [0.079_083_385, 0.105_601_164, 0.132_551_561],
        [0.226_675_717, 0.303_836_183, 0.388_731_307],
        [0.608_434_983, 0.760_247_639, 0.885_228_476],
        [0.969_198_607, 0.986_043_363, 0.995_460_437],
        [0.999_211_904, 0.999_603_364, 0.999_831_892],
        [0.999_952_814, 0.999_976_140, 0.999_989_646],
    ];
    // Turned round so that it falls towards the tip, and lifted off zero.
    let at = |x: f64| 100.0 * (20.0 - x);
    let stations: Vec<(f64, f64)> = x.iter().zip(y).map(|(&x, y)| (at(x), 1.0 + y)).collect();
    let taper = taper(at(7.99), &stations);
    let rounding = mm(5e-10);
    for (span, values) in cubic.iter().enumerate() {
        for (&value, part) in values.iter().zip([0.25, 0.5, 0.75]) {
            let place = x[span] + part * (x[span + 1] - x[span]);
            let found = taper.diameter_at(mm(at(place))).unwrap();
            let d = in_mm(found.diameter) - 1.0;
            assert!(d > y[span] && d < y[span + 1], "{place}: {d}");
            let value = mm(1.0 + value);
            assert!(
                found.lowest - rounding <= value && value <= found.highest + rounding,
                "{place}"
            );
        }
    }
}

/// Morse tapers 2 and 3 (Machinery's Handbook; from memory): diameter at the gauge line and at the
/// small end, plug depth between, and taper in inches per foot. A ring of given bore pushed on
/// stops where the taper per foot says.
#[test]
fn a_ring_on_a_standard_taper() {
    let inches = |value: f64| in_mm(Length::new::<inch>(value));
    for (large, small, depth, per_foot) in
        [(0.700, 0.572, 2.5625, 0.59941), (0.938, 0.778, 3.1875, 0.60235)]
    {
        let plug = taper(inches(depth), &[(0.0, inches(large)), (inches(depth), inches(small))]);
        for share in [0.2, 0.5, 0.9] {
            let bore = large - share * (large - small);
            let ring = Bore::straight(Length::new::<inch>(bore), mm(1.0)).unwrap();
            let Stop::Held(held) = stop(&plug.sections()[0], &ring).unwrap() else {
                panic!("it went through")
            };
            let expected = (large - bore) / per_foot * 12.0;
            // Ends printed to 0.001 in over a taper of 1 in 20: 0.02 in.
            close(in_mm(held.from_butt) / 25.4, expected, 0.02);
        }
    }
}

/// Volume between a straight bore and a cone frustum, against printed frusta: radii 8 and 4, height
/// 6 gives 224 pi; diameters 28 and 4, height 9 gives 684 pi and a lateral area of 240 pi;
/// diameters 20 and 12, height 3, slant 5 gives a lateral area of 80 pi (three worked examples of
/// school mensuration; read).
#[test]
fn frusta_of_the_textbook() {
    for (butt, tip, height, solid, lateral) in [
        (16.0, 8.0, 6.0, Some(224.0), None),
        (28.0, 4.0, 9.0, Some(684.0), Some(240.0)),
        (20.0, 12.0, 3.0, None, Some(80.0)),
    ] {
        let cone = taper(height, &[(0.0, butt), (height, tip)]);
        let section = &cone.sections()[0];
        let sleeve = part(30.0, height, 0.0);
        if let Some(solid) = solid {
            close(volume(section, &sleeve), PI * (225.0 * height - solid), 1e-6);
        }
        if let Some(lateral) = lateral {
            let area = roughening(section, &sleeve, mm(0.0)).unwrap().area;
            close(area.get::<square_millimeter>(), PI * lateral, 1e-6);
        }
    }
}

/// Reference cases (computed): a ring of 12.4 over 12.0 mm, 100 mm long, holds 766.548607 mm³; a
/// bore of 13.0 over a blank from 12.6 to 12.0 mm, 120 mm long, holds 1666.30074 mm³ with gaps of
/// 0.2 and 0.5 mm per side.
#[test]
fn glue_of_a_ring_and_of_a_straight_bore_over_a_taper() {
    let level = taper(100.0, &[(0.0, 12.0), (100.0, 12.0)]);
    close(volume(&level.sections()[0], &part(12.4, 100.0, 0.0)), 766.548_607, 1e-5);
    let tapered = taper(120.0, &[(0.0, 12.6), (120.0, 12.0)]);
    let sleeve = part(13.0, 120.0, 0.0);
    close(volume(&tapered.sections()[0], &sleeve), 1666.30074, 1e-5);
    let range = BondLine::default();
    let line = glue_line(&tapered.sections()[0], &sleeve, range, mm(30.0)).unwrap();
    close(in_mm(line.thinnest.gap), 0.2, 1e-9);
    close(in_mm(line.thickest.gap), 0.5, 1e-9);
    assert_eq!(line.gaps.len(), 5);
}

/// Duct tape of 0.011 in on a core of 2 in fills a roll of 5 in: 1499.39 in (worked example of a
/// roll length; read). Of the (5 - 2) / (2 x 0.011) = 136.36 turns, 136 are whole; the rest is part
/// of one more turn at the outer diameter. The count by layers is that of a mathematics help
/// column (2003; read).
#[test]
fn tape_on_a_core() {
    let two = Length::new::<inch>(2.0);
    let core = Diameter {
        at: mm(0.0),
        diameter: two,
        lowest: two,
        highest: two,
        from_caliper: mm(0.0),
        from_spacing: mm(0.0),
        warnings: Vec::new(),
    };
    let range = BondLine::default();
    let bore = Length::new::<inch>(5.0) + range.least() * 2.0;
    let built = tape_turns(&core, bore, Length::new::<inch>(0.011), range).unwrap();
    assert_eq!(built.turns, 136);
    let whole = built.tape_length.get::<inch>();
    let outer = built.over_tape.get::<inch>();
    let rest = (3.0 / 0.022 - 136.0) * PI * (outer + 5.0) / 2.0;
    close(whole + rest, 1499.39, 0.01);
}

/// A taper of 1 in per foot has an angle of 2° 23' 9" with its centre line (Machinery's Handbook,
/// table of tapers per foot and angles; from memory): a part that leans by 1 in 24 leans as much.
#[test]
fn leaning_in_the_gap() {
    let loose = looseness(mm(0.2), mm(0.3), mm(12.0)).unwrap();
    close(loose.tilt.get::<degree>(), 2.0 + 23.0 / 60.0 + 9.0 / 3600.0, 1e-3);
    close(in_mm(loose.off_axis), 0.3, 1e-12);
}

/// The ranges of the glue line: 0.1 to 0.2 mm (German adhesives industry guideline, section 3.4.3;
/// read), 2 to 5 mil for the highest strength and up to 20 mil for gap-filling epoxies (an adhesive
/// maker's questions and answers; read), rounded there to hundredths of a millimetre.
#[test]
fn glue_line_ranges() {
    close(in_mm(BondLine::default().least()), 0.1, 1e-12);
    close(in_mm(BondLine::default().most()), 0.2, 1e-12);
    let mil = |count: f64| count * 0.0254;
    close(in_mm(BondLine::thin().least()), mil(2.0), 0.005);
    close(in_mm(BondLine::thin().most()), mil(5.0), 0.005);
    close(in_mm(BondLine::gap_filling().most()), mil(20.0), 0.01);
    // A bore is then judged by it: 12.3 over 12.0 is 0.15 per side.
    let level = taper(100.0, &[(0.0, 12.0), (100.0, 12.0)]);
    let section = &level.sections()[0];
    for (bore, bare) in [(12.19, false), (12.21, true), (12.3, true), (12.39, true), (12.41, false)]
    {
        let line =
            glue_line(section, &part(bore, 50.0, 0.0), BondLine::default(), mm(10.0)).unwrap();
        assert_eq!(line.fits_bare, bare, "{bore}");
    }
}

/// The row 5/8 in, 0.625, 15.875 mm of any drill chart: 0.625 read as millimetres is a slip.
#[test]
fn a_drill_chart_read_in_the_wrong_column() {
    let slip = |given| inch_slip(mm(given), mm(10.0), mm(20.0));
    let Some(FitWarning::InchSlip { fits, .. }) = slip(0.625) else { panic!("not suspected") };
    close(in_mm(fits), 15.875, 1e-9);
    let Some(FitWarning::InchSlip { fits, .. }) = slip(15.875 * 25.4) else {
        panic!("not suspected")
    };
    close(in_mm(fits), 15.875, 1e-9);
    assert_eq!(slip(15.875), None);
    assert_eq!(slip(0.1), None);
}
