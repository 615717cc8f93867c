//! Vapour, mixtures and dilution against published tables and worked examples.
//!
//! US examples reckon at 70 °F, exposure limits at 25 °C. "From memory" marks an example that was
//! recalled, its arithmetic checked again, and not read anew in its source.

use coldbench_trade::air::{
    Component, ExposurePeriod, Limit, Liquid, MixingFactor, Vapour, exposure_index, fire_flow,
    fire_use, fraction_of_lower_limit, health_flow, health_use, mass_concentration,
    mixture_lower_limit, volume_fraction,
};
use coldbench_trade::units::{
    Area, MassDensity, MolarMass, Ratio, ThermodynamicTemperature, Velocity, Volume, VolumeRate,
    cubic_meter, cubic_meter_per_hour, degree_celsius, gram_per_cubic_centimeter, gram_per_mole,
    meter_per_second, milligram_per_cubic_meter, part_per_million, percent, ratio, square_meter,
};
use coldbench_trade::{Measure, fan_flow, traverse_flow};

use crate::measured;

/// US liquid gallon and pint, exact (NIST SP 811): 231 cubic inches and an eighth of it.
const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;
const PINT: f64 = GALLON / 8.0;
const CUBIC_FOOT: f64 = 0.3048 * 0.3048 * 0.3048;
const POUND: f64 = 453.592_37;

pub fn close(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} is not {expected} ± {tolerance}");
}

pub fn vapour(name: &str, molar_mass: f64, lower_percent: f64, eight_hours_ppm: f64) -> Vapour {
    Vapour {
        name: name.to_owned(),
        molar_mass: MolarMass::new::<gram_per_mole>(molar_mass),
        lower_limit: Limit::At(Ratio::new::<percent>(lower_percent)),
        eight_hours: Limit::At(Ratio::new::<part_per_million>(eight_hours_ppm)),
        fifteen_minutes: Limit::Unknown,
        ceiling: Limit::Unknown,
    }
}

fn pure(density: f64, vapour: Vapour) -> Liquid {
    let whole = Component { share: Ratio::new::<ratio>(1.0), vapour };
    Liquid::new(MassDensity::new::<gram_per_cubic_centimeter>(density), vec![whole]).unwrap()
}

pub fn warmth(text: &str) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(measured(text, Measure::Temperature))
}

/// Volumes of vapour per volume of liquid.
fn expansion(density: f64, molar_mass: f64, temperature: &str) -> f64 {
    let liquid = pure(density, vapour("vapour", molar_mass, 1.0, 100.0));
    let vapours = liquid.vapours(Volume::new::<cubic_meter>(1.0), warmth(temperature)).unwrap();
    vapours[0].volume.get::<cubic_meter>()
}

/// The constants of the trade, all for the ideal gas at 1 atm:
/// - 24.04 L/mol at 20 °C, 24.15 at 70 °F, 24.45 at 25 °C (limit tables; the exact value is 24.465,
///   so 0.07 % is allowed);
/// - 403 ft³ of vapour per pint of specific gravity 1 and molar mass 1 at 70 °F (University of
///   Toledo, industrial ventilation formulae, after ACGIH; 0.3 %, since it is rounded from 403.5 and
///   specific gravity stands for density in g/mL);
/// - 387 ft³ per pound-mole at 70 °F (D. J. Burton's form; 0.1 %, rounded from 386.8).
#[test]
fn gas_constants() {
    for (temperature, litres) in [("20 °C", 24.04), ("70 °F", 24.15), ("25 °C", 24.45)] {
        // 1 g/mL and 100 g/mol: ten moles in a litre.
        close(expansion(1.0, 100.0, temperature) / 10.0, litres, 7e-4 * litres);
    }
    let per_pint = expansion(1.0, 100.0, "70 °F") * PINT / CUBIC_FOOT * 100.0;
    close(per_pint, 403.0, 0.003 * 403.0);
    let pound_mole = expansion(1.0, 100.0, "70 °F") * POUND * 1e-6 / CUBIC_FOOT * 100.0;
    close(pound_mole, 387.0, 0.001 * 387.0);
}

/// 29 CFR 1910.94(c)(6)(ii) Table G-11, cubic feet of vapour per gallon at 70 °F (from memory),
/// with densities and molar masses of the NIOSH Pocket Guide, NRC Prudent Practices and the open
/// data of the `chemicals` 1.5.2 and `thermo` 0.6.1 packages. The table is rounded and rests on
/// older specific gravities: 1.5 %; isopropanol stands there as 44.0, 4.3 % above theory.
#[test]
fn vapour_volumes_of_table_g11() {
    for (name, density, molar_mass, cubic_feet, tolerance) in [
        ("acetone", 0.791, 58.08, 44.0, 0.015),
        ("toluene", 0.87, 92.14, 30.4, 0.015),
        ("methyl ethyl ketone", 0.8054, 72.11, 36.0, 0.015),
        ("ethyl acetate", 0.9, 88.11, 32.8, 0.015),
        ("ethanol", 0.79, 46.07, 55.2, 0.015),
        ("xylene", 0.864, 106.17, 26.4, 0.015),
        ("methanol", 0.792, 32.04, 80.8, 0.015),
        ("n-butyl acetate", 0.881, 116.16, 24.8, 0.015),
        ("turpentine", 0.86, 136.0, 20.8, 0.02),
        ("isopropanol", 0.79, 60.1, 44.0, 0.045),
    ] {
        let got = expansion(density, molar_mass, "70 °F") * GALLON / CUBIC_FOOT;
        assert!((got / cubic_feet - 1.0).abs() <= tolerance, "{name}: {got}, not {cubic_feet}");
    }
}

/// A blend is the sum of its parts by mass: half a litre's mass of each gives half the vapour of
/// each. Shares by mass after 24.04 L/mol at 20 °C.
#[test]
fn a_blend_by_mass_share() {
    let half = |vapour| Component { share: Ratio::new::<percent>(50.0), vapour };
    let parts = vec![
        half(vapour("ethanol", 46.07, 3.3, 1000.0)),
        half(vapour("toluene", 92.14, 1.1, 200.0)),
    ];
    let liquid = Liquid::new(MassDensity::new::<gram_per_cubic_centimeter>(0.83), parts).unwrap();
    let vapours = liquid.vapours(Volume::new::<cubic_meter>(0.001), warmth("20 °C")).unwrap();
    for (vapour, molar_mass) in vapours.iter().zip([46.07, 92.14]) {
        let litres = 0.83 * 1000.0 * 0.5 / molar_mass * 24.04;
        close(vapour.volume.get::<cubic_meter>() * 1000.0, litres, 0.002 * litres);
    }
}

/// NIOSH Pocket Guide, mg/m³ per ppm at 25 °C and 1 atm: printed with two decimals, so ± 0.01.
#[test]
fn pocket_guide_factors() {
    for (name, molar_mass, factor) in [
        ("isopropanol", 60.1, 2.46),
        ("ethanol", 46.1, 1.89),
        ("toluene", 92.1, 3.77),
        ("n-hexane", 86.2, 3.53),
        ("turpentine", 136.0, 5.56),
        ("petroleum naphtha", 99.0, 4.05),
        ("2-hexanone", 100.2, 4.10),
    ] {
        let molar_mass = MolarMass::new::<gram_per_mole>(molar_mass);
        let one = Ratio::new::<part_per_million>(1.0);
        let mass = mass_concentration(one, molar_mass).unwrap();
        let got = mass.get::<milligram_per_cubic_meter>();
        assert!((got - factor).abs() <= 0.01, "{name}: {got}, not {factor}");
        close(volume_fraction(mass, molar_mass).unwrap().get::<part_per_million>(), 1.0, 1e-12);
    }
}

/// A published how-to: acetone, 35 mg/m³, 58.09 g/mol: 14.7 ppm (± 0.05, its last digit). And 29
/// CFR 1910.1000 Table Z-1 prints 1000 ppm of acetone as 2400 mg/m³, xylene's 100 ppm as 435, both
/// rounded: 1.5 %.
#[test]
fn ppm_and_milligrams() {
    let mass = MassDensity::new::<milligram_per_cubic_meter>(35.0);
    let acetone = volume_fraction(mass, MolarMass::new::<gram_per_mole>(58.09)).unwrap();
    close(acetone.get::<part_per_million>(), 14.7, 0.05);
    for (ppm, molar_mass, milligrams) in [(1000.0, 58.08, 2400.0), (100.0, 106.17, 435.0)] {
        let molar_mass = MolarMass::new::<gram_per_mole>(molar_mass);
        let mass = mass_concentration(Ratio::new::<part_per_million>(ppm), molar_mass).unwrap();
        close(mass.get::<milligram_per_cubic_meter>(), milligrams, 0.015 * milligrams);
    }
}

/// A part of a mixture: concentration in ppm and its eight-hour limit in ppm.
fn index(parts: &[(f64, f64)]) -> f64 {
    let vapours: Vec<Vapour> =
        parts.iter().map(|&(_, limit)| vapour("substance", 100.0, 1.0, limit)).collect();
    let parts: Vec<_> = parts
        .iter()
        .zip(&vapours)
        .map(|(&(ppm, _), vapour)| (Ratio::new::<part_per_million>(ppm), vapour))
        .collect();
    exposure_index(&parts, ExposurePeriod::EightHours).unwrap().get::<ratio>()
}

/// 29 CFR 1910.1000(d)(2)(ii): 500 of 1000, 45 of 200 and 40 of 200 ppm make 0.925. Crowl and
/// Louvar, Chemical Process Safety: 5 of 10, 20 of 50 and 10 of 20 ppm, sum 1.4 (inputs read, sum
/// worked out). Both exact.
#[test]
fn additive_mixture_rule() {
    close(index(&[(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)]), 0.925, 1e-12);
    close(index(&[(5.0, 10.0), (20.0, 50.0), (10.0, 20.0)]), 1.4, 1e-12);
}

/// The lower limit in vol % of a mixture of (amount, lower limit in vol %).
fn mixture(parts: &[(f64, f64)]) -> f64 {
    let vapours: Vec<Vapour> =
        parts.iter().map(|&(_, lower)| vapour("gas", 100.0, lower, 100.0)).collect();
    let parts: Vec<_> = parts
        .iter()
        .zip(&vapours)
        .map(|(&(amount, _), vapour)| (Ratio::new::<percent>(amount), vapour))
        .collect();
    let limit = mixture_lower_limit(&parts).unwrap();
    // Both forms of the rule are one: at its own limit a mixture is at 100 % of it.
    let total: f64 = parts.iter().map(|(amount, _)| amount.get::<ratio>()).sum();
    let diluted: Vec<_> =
        parts.iter().map(|&(a, v)| (a * (limit.get::<ratio>() / total), v)).collect();
    close(fraction_of_lower_limit(&diluted).unwrap().get::<ratio>(), 1.0, 1e-12);
    limit.get::<percent>()
}

/// A published examination item (its own limits): 80 % methane (5), 15 % ethane (2), 4 % propane
/// (2), 1 % butane (1.8): 3.84, printed 3.8 (± 0.01). Crowl and Louvar, from memory: 0.8 % hexane
/// (1.1), 2.0 % methane (5.0), 0.5 % ethylene (2.7): about 2.5 (2.51; 2.53 with rounded shares).
#[test]
fn le_chatelier() {
    close(mixture(&[(80.0, 5.0), (15.0, 2.0), (4.0, 2.0), (1.0, 1.8)]), 3.84, 0.01);
    close(mixture(&[(0.8, 1.1), (2.0, 5.0), (0.5, 2.7)]), 2.51, 0.02);
}

/// NIOSH documentation for immediately dangerous concentrations (1994): 10 % of the lower limit in
/// ppm, exact. A maker's note: 25 % of ethanol's 3.3 % is 0.8 vol % (0.825, rounded).
#[test]
fn tenth_and_quarter_of_the_lower_limit() {
    for (name, lower_percent, ppm) in [
        ("ethanol", 3.3, 3300.0),
        ("methanol", 6.0, 6000.0),
        ("n-hexane", 1.1, 1100.0),
        ("petroleum naphtha", 1.1, 1100.0),
        ("toluene", 1.1, 1100.0),
        ("n-butyl acetate", 1.7, 1700.0),
        ("ethyl acetate", 2.0, 2000.0),
        ("n-heptane", 1.05, 1050.0),
        ("turpentine", 0.8, 800.0),
    ] {
        let vapour = vapour(name, 100.0, lower_percent, 100.0);
        let part = [(Ratio::new::<part_per_million>(ppm), &vapour)];
        close(fraction_of_lower_limit(&part).unwrap().get::<ratio>(), 0.1, 1e-12);
    }
    let ethanol = vapour("ethanol", 46.07, 3.3, 1000.0);
    let part = [(Ratio::new::<percent>(0.8), &ethanol)];
    close(fraction_of_lower_limit(&part).unwrap().get::<ratio>(), 0.25, 0.01);
}

fn per_hour(cubic_metres: f64) -> VolumeRate {
    VolumeRate::new::<cubic_meter_per_hour>(cubic_metres)
}

fn cfm(flow: VolumeRate) -> f64 {
    flow.get::<cubic_meter_per_hour>() / measured("1 cfm", Measure::AirFlow)
}

fn dividing(k: f64) -> MixingFactor {
    MixingFactor::dividing_the_flow(k).unwrap()
}

/// Health form. ACGIH, Industrial Ventilation (from memory): 1.5 pints of methyl chloroform in an
/// hour, limit 350 ppm, specific gravity 1.32, 133.4 g/mol, K 5: 285 cfm without and 1425 cfm with
/// K. University of Toledo: `Q' = 403 10⁶ SG ER / (MW C)`, read, for the same numbers. 0.4 %:
/// 403 is rounded from 403.5, and the printed flows to whole cfm.
#[test]
fn health_ventilation() {
    let liquid = pure(1.32, vapour("methyl chloroform", 133.4, 7.5, 350.0));
    let used = per_hour(1.5 * PINT);
    let period = ExposurePeriod::EightHours;
    let mixed = health_flow(&liquid, used, warmth("70 °F"), dividing(1.0), period).unwrap();
    let toledo = 403.0 * 1e6 * 1.32 * (1.5 / 60.0) / (133.4 * 350.0);
    close(cfm(mixed), 285.0, 0.004 * 285.0);
    close(cfm(mixed), toledo, 0.004 * toledo);
    let flow = health_flow(&liquid, used, warmth("70 °F"), dividing(5.0), period).unwrap();
    close(cfm(flow), 1425.0, 0.004 * 1425.0);
    let back = health_use(&liquid, flow, warmth("70 °F"), dividing(5.0), period).unwrap();
    close(back.get::<cubic_meter_per_hour>(), 1.5 * PINT, 1e-15);
}

/// Fire form. ACGIH, Industrial Ventilation (from memory): 2 pints of xylol in an hour, specific
/// gravity 0.88, 106 g/mol, lower limit 1.0 %, safety factor 10, B 0.7: 159 cfm of standard air
/// (70 °F), 243 cfm at 350 °F. 0.5 %, as above.
#[test]
fn fire_ventilation() {
    let liquid = pure(0.88, vapour("xylol", 106.0, 1.0, 100.0));
    let used = per_hour(2.0 * PINT);
    let hot = fire_flow(&liquid, used, warmth("350 °F"), dividing(1.0), 10.0).unwrap();
    close(cfm(hot), 243.0, 0.005 * 243.0);
    // The same air at 70 °F.
    close(cfm(hot) * (70.0 + 459.67) / (350.0 + 459.67), 159.0, 0.005 * 159.0);
    let back = fire_use(&liquid, hot, warmth("350 °F"), dividing(1.0), 10.0).unwrap();
    close(back.get::<cubic_meter_per_hour>(), 2.0 * PINT, 1e-15);
    // Up to 250 °F the limit is taken whole: B is 1.
    let at = |t| fire_flow(&liquid, used, warmth(t), dividing(1.0), 10.0).unwrap();
    close(cfm(at("250 °F")) / cfm(at("70 °F")), (250.0 + 459.67) / (70.0 + 459.67), 1e-9);
    close(cfm(at("251 °F")) * 0.7 / cfm(at("70 °F")), (251.0 + 459.67) / (70.0 + 459.67), 1e-9);
}

/// 29 CFR 1910.94(c)(6)(ii), whose method stands in WAC 296-62-11019 (numbers from memory): a
/// gallon of toluene, 30.4 ft³ of vapour, lower limit 1.4 %, needs 4 (100 - LEL) 30.4 / LEL = 8564
/// ft³ of air to stay at a quarter of it. That counts air without the vapour itself, hence the
/// factor. 0.5 %, since 30.4 is rounded.
#[test]
fn air_for_a_gallon_of_toluene() {
    let liquid = pure(0.87, vapour("toluene", 92.14, 1.4, 200.0));
    let flow = fire_flow(&liquid, per_hour(GALLON), warmth("70 °F"), dividing(1.0), 4.0).unwrap();
    let cubic_feet = flow.get::<cubic_meter_per_hour>() / CUBIC_FOOT;
    close(cubic_feet * (1.0 - 0.014), 8564.0, 0.005 * 8564.0);
}

/// `Q = A v` (USAF Bioenvironmental Engineering apprentice, unit 5) with the mean of points: OSHA
/// Table G-10 gives 75 to 125 fpm, design 100, for a face; four points over 2 ft² behind a grille
/// half open make 100 cfm. A fan of 300 cfm at 2/3 with a filter that takes half gives 100 too.
#[test]
fn flow_from_readings() {
    let speeds: Vec<Velocity> = ["75 fpm", "125 fpm", "90 fpm", "110 fpm"]
        .iter()
        .map(|text| Velocity::new::<meter_per_second>(measured(text, Measure::AirSpeed)))
        .collect();
    let opening = Area::new::<square_meter>(measured("2 ft2", Measure::Area));
    let free = Ratio::new::<percent>(50.0);
    close(cfm(traverse_flow(&speeds, opening, free).unwrap()), 100.0, 1e-9);
    let rated = per_hour(measured("300 cfm", Measure::AirFlow));
    let flow = fan_flow(rated, Ratio::new::<ratio>(2.0 / 3.0), Ratio::new::<percent>(50.0));
    close(cfm(flow.unwrap()), 100.0, 1e-9);
}
