//! Units against NIST SP 811 (2008), appendix B: the factors there are exact.

use coldbench_trade::units::{Length, Mass, Volume, gram, milliliter, millimeter};
use coldbench_trade::{
    LengthForm, LengthUnit, LiquidForm, MassForm, Measure, Units, in_inches, in_millimetres,
    parse_length,
};

use crate::measured;

fn close(got: f64, expected: f64, relative: f64) {
    assert!((got - expected).abs() <= relative * expected.abs(), "{got} is not {expected}");
}

/// NIST SP 811: inch 2.54 E-02 m, foot 3.048 E-01 m, both exact.
#[test]
fn lengths() {
    for (text, mm) in [
        ("1 in", 25.4),
        ("1 ft", 304.8),
        ("1/64 in", 25.4 / 64.0),
        ("1 cm", 10.0),
        // Rows of any inch-to-millimetre drill chart: 5/8 in is 15.875, 37/64 in is 14.684375.
        ("5/8 in", 15.875),
        ("37/64 in", 14.684_375),
        ("1 3/16 in", 30.1625),
    ] {
        let length = parse_length(text, LengthUnit::Millimetre).unwrap();
        close(in_millimetres(length), mm, 1e-12);
        close(in_inches(length), mm / 25.4, 1e-12);
    }
}

/// NIST SP 811: cubic foot per minute 4.719474 E-04 m3/s; cubic foot 2.831685 E-02 m3;
/// square foot 9.290304 E-02 m2 (exact); square inch 6.4516 E-04 m2 (exact);
/// foot per minute 5.08 E-03 m/s (exact); avoirdupois ounce 2.834952 E-02 kg.
#[test]
fn other_quantities() {
    close(measured("1 cfm", Measure::AirFlow), 4.719_474e-4 * 3600.0, 2e-7);
    close(measured("1 ft3", Measure::Volume), 2.831_685e-2, 2e-7);
    close(measured("1 ft2", Measure::Area), 9.290_304e-2, 1e-12);
    close(measured("1 in2", Measure::Area), 6.4516e-4, 1e-12);
    close(measured("1 fpm", Measure::AirSpeed), 5.08e-3, 1e-12);
    close(measured("1 oz", Measure::Mass), 28.349_52, 2e-7);
    // The same table, from memory: avoirdupois pound 4.535924 E-01 kg.
    close(measured("1 lb", Measure::Mass), 453.592_4, 2e-7);
    close(measured("1 kg", Measure::Mass), 1000.0, 1e-12);
}

/// NIST SP 811: minute 6.0 E+01 s, hour 3.6 E+03 s, day 8.64 E+04 s, all exact; here in minutes.
#[test]
fn times() {
    close(measured("1 s", Measure::Time), 1.0 / 60.0, 1e-12);
    close(measured("45 min", Measure::Time), 45.0, 1e-12);
    close(measured("24 h", Measure::Time), 8.64e4 / 60.0, 1e-12);
    close(measured("7 d", Measure::Time), 7.0 * 8.64e4 / 60.0, 1e-12);
}

/// Fixed points: water freezes at 32 °F and boils at 212 °F; OSHA 29 CFR 1910.106(a)(19) prints
/// 73.4 °F as 23 °C and 199.4 °F as 93 °C.
#[test]
fn temperatures() {
    for (fahrenheit, celsius) in [("212 °F", 100.0), ("73.4 °F", 23.0), ("199.4 °F", 93.0)] {
        close(measured(fahrenheit, Measure::Temperature), celsius, 1e-12);
    }
    assert!(measured("32 °F", Measure::Temperature).abs() < 1e-12);
}

/// NIST SP 811: inch 25.4 mm exactly; avoirdupois ounce 28.34952 g; US fluid ounce 29.57353 mL.
/// The drill chart's 37/64 in is 14.684375 mm.
#[test]
fn what_is_shown() {
    let units = Units {
        diameters: LengthForm::FractionInch,
        distances: LengthForm::DecimalInch,
        masses: MassForm::Ounce,
        liquids: LiquidForm::FluidOunce,
        ..Units::usual(LengthUnit::Inch)
    };
    let mm = |value| Length::new::<millimeter>(value);
    assert_eq!(units.diameter(mm(14.684_375)), "37/64 in (0.578 in)");
    assert_eq!(units.distance(mm(2159.0)), "85.000 in");
    assert_eq!(units.mass(Mass::new::<gram>(141.747_6)), "5.00 oz");
    assert_eq!(units.liquid(Volume::new::<milliliter>(14.786_765)), "0.50 fl oz");
}
