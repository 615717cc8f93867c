//! The lowest frequency.

use super::{blank, close, grams, m, mm, readings, uniform};
use coldbench_trade::bend::{Loads, Modulus, PointMass, Stiffness, Tube, Wall, lowest_frequency};
use coldbench_trade::units::{
    Length, MassDensity, Pressure, gigapascal, gram_per_cubic_centimeter, hertz,
};
use std::f64::consts::TAU;

const ROOTS: [(f64, f64); 5] = [
    (0.0, 1.875_104_068_711_96),
    (0.5, 1.419_964_429_768_15),
    (1.0, 1.247_917_409_606_47),
    (10.0, 0.735_781_919_389_65),
    (100.0, 0.415_934_240_674_848),
];

const SWINGS: [(char, f64, f64); 3] = [
    ('A', 5.192_942_72, 3.391_282_67),
    ('B', 7.862_743_16, 5.385_981_65),
    ('C', 8.504_622_09, 5.609_495_64),
];

/// `1.875104069² sqrt(E I / (m L⁴)) / (2 pi)` for a uniform rod, and with a mass on its tip of
/// `share` of its own the root of `1 + cos b cosh b + share b (cos b sinh b - sin b cosh b) = 0` in
/// place of 1.875 (any textbook of vibrations; the roots computed with mpmath). A hundred times its
/// own mass comes near a spring of 3 E I / L³.
#[test]
fn uniform_rod_with_a_mass_on_its_tip() {
    let rod = uniform().with_weight(grams(50.0)).unwrap();
    for (share, root) in ROOTS {
        let mass = PointMass { from_butt: m(1.0), mass: grams(50.0 * share) };
        let loads = Loads { masses: vec![mass], ..Loads::default() };
        let found = lowest_frequency(&rod, &loads).unwrap().get::<hertz>();
        close(found / (root * root * (1.0 / 0.05_f64).sqrt() / TAU), 1.0, 1e-9);
    }
}

/// A solid cone down to a point: 8.719 in place of 1.875104² (G. Kirchhoff 1879, in tables of
/// natural frequencies as of Blevins; from memory), with E I and m of its base. This one is cut off
/// where it is a thousandth of its base thick.
#[test]
fn cone() {
    let base = 20.0;
    let rod = Stiffness::of(&Tube {
        length: m(1.0),
        measured: readings(&[(0.0, base), (1.0, base / 1000.0)]),
        joins: Vec::new(),
        wall: Wall::Solid,
        modulus: Modulus::Even(Pressure::new::<gigapascal>(40.0)),
    });
    let rod =
        rod.unwrap().with_density(MassDensity::new::<gram_per_cubic_centimeter>(1.9)).unwrap();
    let found = lowest_frequency(&rod, &Loads::default()).unwrap().get::<hertz>();
    let mass = rod.mass_per_length(Length::default()).unwrap().value;
    let to_the_point: f64 = 1.0 / (1.0 - 0.001);
    let unit = (rod.at(mm(0.0)).value / mass).sqrt() / to_the_point.powi(2);
    close(found * TAU / unit, 8.719, 5e-4);
}

/// The three blanks, bare and with 3 g on the tip, Hz, by another method: 400 cubic beam elements
/// with their full matrices, computed with numpy 2.4 and scipy 1.17.1.
#[test]
fn tapered_tubes() {
    for (name, bare, loaded) in SWINGS {
        let rod = blank(name);
        let mass = PointMass { from_butt: rod.length(), mass: grams(3.0) };
        let with = Loads { masses: vec![mass], ..Loads::default() };
        let found = lowest_frequency(&rod, &Loads::default()).unwrap().get::<hertz>();
        close(found / bare, 1.0, 1e-6);
        close(lowest_frequency(&rod, &with).unwrap().get::<hertz>() / loaded, 1.0, 1e-6);
    }
}
