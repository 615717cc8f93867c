//! Adhesive against mensuration, data sheets of adhesives and published cure times.
//!
//! "Read" marks a figure that stood in the text named; makers are not named. What has no mark is
//! exact arithmetic.

use coldbench_trade::adhesive::{
    Activation, Cure, CureProgress, MeasuredBy, MixSheet, Needed, PotLife, Product, RatioBasis,
    Reading, Section, arrhenius_factor, joint_volume, volume_to_mix, working_time,
};
use coldbench_trade::units::{
    Length, Mass, MassDensity, MolarEnergy, Ratio, ThermodynamicTemperature, Time, Volume,
    degree_celsius, gram, gram_per_cubic_centimeter, hour, inch, kilojoule_per_mole, milliliter,
    millimeter, minute, percent, ratio, second,
};

use crate::air::close;

/// The exact molar gas constant over the 8.314 that the figures below were worked out with.
const EXACT_GAS_CONSTANT: f64 = 8.314_462_618_153_24 / 8.314;

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn energy(kilojoules: f64) -> MolarEnergy {
    MolarEnergy::new::<kilojoule_per_mole>(kilojoules * EXACT_GAS_CONSTANT)
}

fn cubic_millimetres(places: &[(f64, f64, f64)]) -> f64 {
    let mm = |value| Length::new::<millimeter>(value);
    let sections: Vec<_> = places
        .iter()
        .map(|&(at, bore, blank)| Section { at: mm(at), bore: mm(bore), blank: mm(blank) })
        .collect();
    joint_volume(&sections).unwrap().get::<milliliter>() * 1000.0
}

fn product(densities: (f64, f64), basis: RatioBasis, parts: (f64, f64)) -> Product {
    let density = |value| MassDensity::new::<gram_per_cubic_centimeter>(value);
    Product::new(MixSheet {
        resin_density: density(densities.0),
        hardener_density: density(densities.1),
        basis,
        resin_parts: parts.0,
        hardener_parts: parts.1,
        tolerance: Some(Ratio::new::<percent>(5.0)),
    })
    .unwrap()
}

fn table(rows: &[(f64, f64)]) -> Needed {
    let row = |&(t, minutes): &(f64, f64)| (celsius(t), Time::new::<minute>(minutes));
    Needed::Table(rows.iter().map(row).collect())
}

fn fresh(cure: &Cure) -> CureProgress {
    cure.progress(&[], 0.0, 0.0).unwrap()
}

/// Mensuration: the annulus pi/4 (D² - d²) L of a 12.4 mm bore on 12.0 mm over 100 mm; a 13.0 mm bore
/// over a frustum from 12.6 to 12.0 mm; a gap that stays 0.2 mm wide on a taper is the mean
/// circumference of the gap times its width times its length; and a stepped bore is two annuli.
#[test]
fn volumes_of_the_gap() {
    close(cubic_millimetres(&[(0.0, 12.4, 12.0), (100.0, 12.4, 12.0)]), 766.548_607, 1e-5);
    close(cubic_millimetres(&[(0.0, 13.0, 12.6), (120.0, 13.0, 12.0)]), 1_666.300_74, 1e-4);
    let constant_gap = std::f64::consts::PI * 11.2 * 0.2 * 150.0;
    close(cubic_millimetres(&[(0.0, 12.4, 12.0), (150.0, 10.4, 10.0)]), constant_gap, 1e-9);
    let stepped = [(0.0, 12.4, 12.0), (50.0, 12.4, 12.0), (50.0, 12.8, 12.0), (100.0, 12.8, 12.0)];
    let annuli =
        50.0 * std::f64::consts::FRAC_PI_4 * (12.4 * 12.4 + 12.8 * 12.8 - 2.0 * 12.0 * 12.0);
    close(cubic_millimetres(&stepped), annuli, 1e-9);
}

/// Simpson's rule is exact for the area of the gap, a square of the place, so it gives the volume of
/// any straight taper: here 11.9 to 13.1 mm bore over 11.7 to 9.3 mm.
#[test]
fn a_taper_against_simpsons_rule() {
    let area = |bore: f64, blank: f64| std::f64::consts::FRAC_PI_4 * (bore * bore - blank * blank);
    let simpson = 210.0 / 6.0 * (area(11.9, 11.7) + 4.0 * area(12.5, 10.5) + area(13.1, 9.3));
    close(cubic_millimetres(&[(0.0, 11.9, 11.7), (210.0, 13.1, 9.3)]), simpson, 1e-8);
}

/// 0.8432 g of net need at 1.1 g/mL with 30 % lost is 1.2046 g, and the least batch is 3 g: gross =
/// net / (1 - lost). Lost share and least batch are common practice, without a source.
#[test]
fn need_loss_and_the_least_batch() {
    let joint = Volume::new::<milliliter>(0.766_548_607_5);
    let mixed = volume_to_mix(joint, Ratio::new::<ratio>(0.3)).unwrap();
    let product = product((1.1, 1.1), RatioBasis::Weight, (2.0, 1.0));
    close(product.exactly(joint).unwrap().mass().get::<gram>(), 0.843_203_468, 1e-8);
    close(product.exactly(mixed).unwrap().mass().get::<gram>(), 1.204_576_38, 1e-8);
    // A fine scale, so that nothing but the least batch counts.
    let scale = MeasuredBy::Scale(Mass::new::<gram>(0.01));
    let least = Mass::new::<gram>(3.0);
    let batches = product.batches(mixed, scale, None, least).unwrap();
    close(batches.each.mass().get::<gram>(), 3.0, 1e-9);
}

/// A maker's sheet of a two-part epoxy paste, read: 100 to 100 by volume and 100 to 80 by weight,
/// specific gravity about 1.15 and 0.95, of the mix about 1.05. The printed weight ratio is rounded:
/// 82.6 follows from the densities, 3.3 % off. A second maker's sheet, read: 1.16 and 1.15, 100 to
/// 100 either way.
#[test]
fn weight_and_volume_ratio_of_two_sheets() {
    let paste = product((1.15, 0.95), RatioBasis::Volume, (100.0, 100.0));
    close(paste.weight_ratio(), 0.80, 0.04 * 0.80);
    close(paste.mixed_density().get::<gram_per_cubic_centimeter>(), 1.05, 1e-12);
    let weighed = product((1.15, 0.95), RatioBasis::Weight, (100.0, 80.0));
    close(weighed.volume_ratio(), 1.0, 0.04);
    let fast = product((1.16, 1.15), RatioBasis::Volume, (100.0, 100.0));
    close(fast.weight_ratio(), 1.0, 0.01);
    close(fast.mixed_density().get::<gram_per_cubic_centimeter>(), 1.16, 0.01);
}

/// An open coverage guide, read: 50 x 36 x 0.010 in is 18 cubic inches, 0.0779 US gallon, 326.79 g at
/// 4195 g a gallon. The guide rounds the gallons before it multiplies; 0.1 g is allowed for it.
#[test]
fn mass_of_a_layer() {
    let inches = |value| Length::new::<inch>(value);
    let volume = inches(50.0) * inches(36.0) * inches(0.010);
    let gallon_ml = 231.0 * 2.54_f64.powi(3);
    close(volume.get::<milliliter>() / gallon_ml, 0.0779, 5e-5);
    let density = 4195.0 / gallon_ml;
    let mixed = product((density, density), RatioBasis::Volume, (2.0, 1.0));
    close(mixed.exactly(volume).unwrap().mass().get::<gram>(), 326.79, 0.1);
}

/// Arrhenius over ten degrees, worked out with other software, and the rule that a reaction doubles
/// over them (adhesive and maturity pages, read): exactly so at 51.213 kJ/mol from 20 to 30 °C and
/// at 52.946 from 25 to 35 °C.
#[test]
fn ten_degrees_about_double() {
    for (kilojoules, from_15, from_20, from_25) in [
        (45.0, 1.877_634, 1.838_689, 1.802_406),
        (50.0, 2.013_780, 1.967_425, 1.924_335),
        (55.0, 2.159_799, 2.105_174, 2.054_512),
        (60.0, 2.316_405, 2.252_567, 2.193_496),
        (51.213, f64::NAN, 2.0, f64::NAN),
        (52.946, f64::NAN, f64::NAN, 2.0),
    ] {
        for (low, expected) in [(15.0, from_15), (20.0, from_20), (25.0, from_25)] {
            let factor =
                arrhenius_factor(celsius(low + 10.0), celsius(low), energy(kilojoules)).unwrap();
            assert!(expected.is_nan() || (factor - expected).abs() < 1e-4, "{factor} {expected}");
        }
    }
}

/// Equivalent age, ASTM C1074 form: 2 h at 18 °C, 6 h at 22, 10 h at 15, 6 h at 21 against 23 °C,
/// worked out with other software for three energies; the doubling rule gives 17.979 h. Given as
/// steps, and with a reading each quarter of an hour.
#[test]
fn equivalent_age_of_a_day() {
    let steps = [(2.0, 18.0), (6.0, 22.0), (10.0, 15.0), (6.0, 21.0)];
    let mut readings = Vec::new();
    let mut quarters = 0_u32;
    for (length, temperature) in steps {
        let mut left = length;
        loop {
            let at = f64::from(quarters) * 900.0;
            readings.push(Reading { at, temperature: celsius(temperature) });
            if left <= 0.0 {
                break;
            }
            quarters += 1;
            left -= 0.25;
        }
    }
    let needed = Needed::Time(Time::new::<hour>(48.0));
    for (kilojoules, hours) in [(50.0, 17.928_894), (55.0, 17.458_513), (60.0, 17.008_137)] {
        let activation = Activation::exactly(energy(kilojoules)).unwrap();
        let cure = Cure::new(celsius(23.0), &needed, None, activation).unwrap();
        let day = cure.progress(&readings, 0.0, 24.0 * 3600.0).unwrap();
        close(day.equivalent.likely.get::<hour>(), hours, 2e-6);
        close(day.missing.likely.get::<hour>(), 48.0 - hours, 2e-6);
        close(day.equivalent.likely.get::<hour>(), 17.979, 1.0);
        assert_eq!(day.warnings, []);
    }
}

/// Instrument maker's application note on an epoxy adhesive, read: 95 % at 150, 170 and 200 °C after
/// 16.4, 9.2 and 4.2 min. From the two ends, straight in 1/T, 170 °C takes 9.166 min.
#[test]
fn the_middle_of_a_published_hot_cure() {
    let ends = table(&[(150.0, 16.4), (200.0, 4.2)]);
    let cure = Cure::new(celsius(170.0), &ends, None, Activation::published()).unwrap();
    close(cure.needed().get::<minute>(), 9.166_14, 1e-4);
    close(cure.needed().get::<minute>(), 9.2, 0.05);
    // 45.35 kJ/mol joins the ends.
    let factor = arrhenius_factor(celsius(200.0), celsius(150.0), energy(45.349_56)).unwrap();
    close(factor, 16.4 / 4.2, 1e-5);
}

/// A maker's page on a cold-curing two-part epoxy, read: least cure 24 h at 25 °C, 8 h at 40, 3 h at
/// 60, 20 min at 100. Each row is met as printed. The energies that join neighbours lie within what
/// is taken where a sheet is silent, 5 kJ/mol allowed for printed times rounded so hard. Without the
/// rows for 40 and 60 °C, the time to plan by is no shorter than the printed one.
#[test]
fn a_published_table_of_a_cold_curing_epoxy() {
    let rows = [(25.0, 1440.0), (40.0, 480.0), (60.0, 180.0), (100.0, 20.0)];
    let activation = Activation::published();
    let cure = Cure::new(celsius(25.0), &table(&rows), None, activation).unwrap();
    for (temperature, minutes) in rows {
        let ready = cure.ready_in(&fresh(&cure), celsius(temperature)).unwrap();
        for time in [ready.soonest, ready.likely, ready.latest] {
            close(time.unwrap().get::<minute>(), minutes, 1e-4);
        }
    }
    for pair in rows.windows(2) {
        let slower = pair[0].1 / pair[1].1;
        let with = |kilojoules: f64| {
            arrhenius_factor(celsius(pair[1].0), celsius(pair[0].0), energy(kilojoules)).unwrap()
        };
        assert!(with(39.0) <= slower && slower <= with(65.5), "{pair:?}");
    }
    for (left_out, between) in [(480.0, [rows[0], rows[2]]), (180.0, [rows[1], rows[3]])] {
        let at = rows.iter().find(|row| (row.1 - left_out).abs() < 1e-9).unwrap().0;
        let cure = Cure::new(celsius(between[0].0), &table(&between), None, activation).unwrap();
        let ready = cure.ready_in(&fresh(&cure), celsius(at)).unwrap();
        close(ready.likely.unwrap().get::<minute>(), left_out, 0.2 * left_out);
        assert!(ready.latest.unwrap().get::<minute>() >= left_out * 0.95, "{ready:?}");
    }
}

/// Kinetics that go by one activation energy come out the same by equivalent time: second order,
/// alpha = 1 - 1 / (1 + k t) with k 1e-4 per s at the reference, has 0.264706, 0.5 and 0.782609 after
/// 3600, 10 000 and 36 000 s; stepped through a changing temperature in small strides it has what the
/// closed form has at the equivalent time.
#[test]
fn second_order_kinetics() {
    let closed = |seconds: f64| 1.0 - 1.0 / (1.0 + 1e-4 * seconds);
    for (seconds, alpha) in [(3600.0, 0.264_705_882), (1e4, 0.5), (36_000.0, 0.782_608_696)] {
        close(closed(seconds), alpha, 1e-9);
    }
    let readings: Vec<_> = [(0.0, 14.0), (3.0, 22.0), (8.0, 18.0), (13.0, 23.0)]
        .iter()
        .map(|&(hours, t)| Reading { at: hours * 3600.0, temperature: celsius(t) })
        .collect();
    let needed = Needed::Time(Time::new::<hour>(24.0));
    let activation = Activation::exactly(energy(52.0)).unwrap();
    let cure = Cure::new(celsius(23.0), &needed, None, activation).unwrap();
    let equivalent = cure.progress(&readings, 0.0, 13.0 * 3600.0).unwrap().equivalent.likely;
    let mut alpha = 0.0_f64;
    for stride in 0..46_800 {
        let hours = (f64::from(stride) + 0.5) / 3600.0;
        let after = readings.partition_point(|reading| reading.at <= hours * 3600.0);
        let (before, next) = (readings[after - 1], readings[after]);
        let celsius_at = |reading: Reading| reading.temperature.get::<degree_celsius>();
        let part = (hours * 3600.0 - before.at) / (next.at - before.at);
        let now = celsius_at(before) + (celsius_at(next) - celsius_at(before)) * part;
        let k = 1e-4 * (52_000.0 / 8.314 * (1.0 / (23.0 + 273.15) - 1.0 / (now + 273.15))).exp();
        // Midpoint rule: second order in the stride.
        let half = alpha + 0.5 * k * (1.0 - alpha).powi(2);
        alpha += k * (1.0 - half).powi(2);
    }
    close(closed(equivalent.get::<second>()), alpha, 1e-7);
}

/// A sheet of a two-part epoxy paste, read: 100 minutes for 100 g at 25 °C. So much is given just so,
/// and no more in the cold or for less; by the doubling rule (read) 35 °C leaves about half or, since
/// the greatest energy is taken, less, but above 1/2.5, the steepest rule read.
#[test]
fn the_pot_life_of_a_sheet() {
    let sheet = PotLife {
        time: Time::new::<minute>(100.0),
        mass: Mass::new::<gram>(100.0),
        temperature: celsius(25.0),
    };
    let whole = |grams: f64, room: f64| {
        let mass = Mass::new::<gram>(grams);
        let none = Time::new::<minute>(0.0);
        working_time(&sheet, mass, Some(celsius(room)), Activation::published(), none)
            .unwrap()
            .whole
            .get::<minute>()
    };
    close(whole(100.0, 25.0), 100.0, 1e-9);
    close(whole(20.0, 10.0), 100.0, 1e-9);
    let warm = whole(100.0, 35.0);
    assert!((40.0..=50.0).contains(&warm), "{warm}");
}
