//! Rules that hold for every product and joint, and what is refused.

use super::*;
use crate::units::{
    Length, Mass, MassDensity, MolarEnergy, Ratio, Time, Volume, gram, gram_per_cubic_centimeter,
    hour, kilojoule_per_mole, milliliter, millimeter, percent, ratio, second,
};
use proptest::collection::vec;
use proptest::prelude::*;

const HOUR: f64 = 3600.0;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn ml(value: f64) -> Volume {
    Volume::new::<milliliter>(value)
}

fn grams(value: f64) -> Mass {
    Mass::new::<gram>(value)
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn hours(value: f64) -> Time {
    Time::new::<hour>(value)
}

fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn section((at, bore, blank): (f64, f64, f64)) -> Section {
    Section { at: mm(at), bore: mm(bore), blank: mm(blank) }
}

fn joint(places: &[(f64, f64, f64)]) -> Result<f64, AdhesiveError> {
    let sections: Vec<_> = places.iter().copied().map(section).collect();
    joint_volume(&sections).map(|volume| volume.get::<milliliter>() * 1000.0)
}

fn mix_sheet(resin: f64, hardener: f64, basis: RatioBasis, parts: (f64, f64)) -> MixSheet {
    let density = |value| MassDensity::new::<gram_per_cubic_centimeter>(value);
    MixSheet {
        resin_density: density(resin),
        hardener_density: density(hardener),
        basis,
        resin_parts: parts.0,
        hardener_parts: parts.1,
        tolerance: Some(Ratio::new::<percent>(5.0)),
    }
}

fn product() -> Product {
    Product::new(mix_sheet(1.15, 0.95, RatioBasis::Volume, (1.0, 1.0))).unwrap()
}

fn pot_life() -> PotLife {
    PotLife { time: hours(1.0), mass: grams(100.0), temperature: celsius(25.0) }
}

fn working(batch: f64, warmest: f64, since: f64) -> WorkingTime {
    let room = Some(celsius(warmest));
    working_time(&pot_life(), grams(batch), room, Activation::published(), hours(since)).unwrap()
}

fn from_time() -> Cure {
    let needed = Needed::Time(hours(24.0));
    Cure::new(celsius(23.0), &needed, None, Activation::published()).unwrap()
}

fn table(rows: &[(f64, f64)]) -> Needed {
    Needed::Table(rows.iter().map(|&(t, h)| (celsius(t), hours(h))).collect())
}

/// An invented product's table.
fn from_table() -> Cure {
    let rows = table(&[(12.0, 60.0), (23.0, 24.0), (40.0, 9.0), (60.0, 3.0)]);
    Cure::new(celsius(23.0), &rows, None, Activation::published()).unwrap()
}

fn readings(places: &[(f64, f64)]) -> Vec<Reading> {
    places.iter().map(|&(at, t)| Reading { at: at * HOUR, temperature: celsius(t) }).collect()
}

fn parts(span: Span) -> [f64; 3] {
    [span.least, span.likely, span.most].map(|time| time.get::<second>())
}

#[test]
fn a_joint_names_the_place_at_fault() {
    use AdhesiveError::{BoreTooNarrow, NoGap, Section, SectionOrder, TooFewSections};
    assert_eq!(joint(&[(0.0, 12.4, 12.0)]), Err(TooFewSections));
    assert_eq!(joint(&[(0.0, 12.4, 12.0), (9.0, 0.0, 12.0)]), Err(Section { row: 1 }));
    assert_eq!(joint(&[(0.0, f64::NAN, 12.0), (9.0, 12.4, 12.0)]), Err(Section { row: 0 }));
    assert_eq!(joint(&[(0.0, 12.4, 12.0), (9.0, 11.0, 12.0)]), Err(BoreTooNarrow { row: 1 }));
    assert_eq!(joint(&[(5.0, 12.4, 12.0), (4.0, 12.4, 12.0)]), Err(SectionOrder { row: 1 }));
    assert_eq!(joint(&[(0.0, 12.0, 12.0), (9.0, 11.0, 11.0)]), Err(NoGap));
    assert_eq!(joint(&[(0.0, 12.4, 12.0), (0.0, 12.4, 12.0)]), Err(NoGap));
    for bad in [-0.01, 0.96, f64::NAN] {
        assert_eq!(volume_to_mix(ml(1.0), share(bad)), Err(AdhesiveError::Lost));
    }
    assert_eq!(volume_to_mix(ml(0.0), share(0.3)), Err(AdhesiveError::Amount));
}

#[test]
fn a_product_needs_densities_and_a_ratio() {
    let with = |resin, hardener, parts| {
        Product::new(mix_sheet(resin, hardener, RatioBasis::Weight, parts))
    };
    for bad in [0.0, -1.0, f64::NAN, 1150.0] {
        assert_eq!(with(bad, 1.0, (2.0, 1.0)), Err(AdhesiveError::Density { part: Part::Resin }));
        assert_eq!(
            with(1.0, bad, (2.0, 1.0)),
            Err(AdhesiveError::Density { part: Part::Hardener })
        );
    }
    for bad in [(0.0, 1.0), (1.0, 0.0), (-2.0, -1.0), (f64::NAN, 1.0), (1.0, 2000.0)] {
        assert_eq!(with(1.1, 1.0, bad), Err(AdhesiveError::MixRatio));
    }
    for bad in [0.0, -5.0, 21.0, f64::NAN] {
        let mut sheet = mix_sheet(1.1, 1.0, RatioBasis::Weight, (2.0, 1.0));
        sheet.tolerance = Some(Ratio::new::<percent>(bad));
        assert_eq!(Product::new(sheet), Err(AdhesiveError::Tolerance));
    }
}

#[test]
fn amounts_that_are_none_are_refused() {
    let product = product();
    let scale = MeasuredBy::Scale(grams(0.1));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert_eq!(product.exactly(ml(bad)), Err(AdhesiveError::Amount));
        let batches = product.batches(ml(bad), scale, None, grams(0.0));
        assert_eq!(batches, Err(AdhesiveError::Amount));
    }
    for bad in [0.0, -1.0, f64::NAN] {
        let limit = product.batches(ml(1.0), scale, Some(grams(bad)), grams(0.0));
        assert_eq!(limit, Err(AdhesiveError::PotLimit));
        let step = product.batches(ml(1.0), MeasuredBy::Syringe(ml(bad)), None, grams(0.0));
        assert_eq!(step, Err(AdhesiveError::Step));
        assert_eq!(product.check(grams(bad), grams(1.0)), Err(AdhesiveError::Amount));
        assert_eq!(product.check(grams(1.0), grams(bad)), Err(AdhesiveError::Amount));
    }
}

#[test]
fn a_mix_off_its_ratio_is_refused_and_mended() {
    let product = product();
    let held = product.check(grams(11.5), grams(9.9)).unwrap();
    assert!((held.off.get::<percent>() - 400.0 / 95.0).abs() < 1e-9, "{held:?}");
    // 10.5 mL of hardener on 10 mL of resin lies just on the limit.
    assert!(product.check_by_volume(ml(10.0), ml(10.5)).is_ok());
    let over = product.check_by_volume(ml(10.0), ml(12.0)).unwrap_err();
    let AdhesiveError::OffRatio { off_percent, off, mend, .. } = &over else {
        panic!("{over:?}");
    };
    assert!((off_percent - 20.0).abs() < 1e-9);
    assert_eq!((*off, mend.part), (Off::Much, Part::Resin));
    assert!((mend.mass - grams(2.0 * 1.15)).abs() < grams(1e-9));
    assert_eq!(
        over.to_string(),
        "There is 20.0 % too much hardener and the product bears 5.0 %. Do not use this mix: it stays soft or brittle."
    );
    let under = product.check_by_volume(ml(10.0), ml(9.0)).unwrap_err();
    assert!(under.to_string().contains("10.0 % too little hardener"), "{under}");
    let AdhesiveError::OffRatio { mend, .. } = under else { panic!() };
    assert_eq!(mend.part, Part::Hardener);
    assert!((mend.mass - grams(0.95)).abs() < grams(1e-9));
}

#[test]
fn a_silent_sheet_is_said_to_be_silent() {
    let mut sheet = mix_sheet(1.15, 0.95, RatioBasis::Volume, (1.0, 1.0));
    sheet.tolerance = None;
    let product = Product::new(sheet).unwrap();
    let batches =
        product.batches(ml(80.0), MeasuredBy::Scale(grams(0.1)), None, grams(0.0)).unwrap();
    assert_eq!(
        batches.warnings,
        [
            MixWarning::ToleranceNotOnSheet,
            MixWarning::PotLimitNotOnSheet,
            MixWarning::SeveralBatches
        ]
    );
    // 84 g in cups of 50 g at most.
    assert_eq!(batches.count, 2);
    assert!(batches.each.mass() <= grams(50.0));
}

#[test]
fn a_coarse_syringe_makes_the_batch_larger_or_is_refused() {
    let product = product();
    let syringe = MeasuredBy::Syringe(ml(0.5));
    let batches = product.batches(ml(1.0), syringe, Some(grams(100.0)), grams(0.0)).unwrap();
    // Half a division on each part is 5 % of a ratio 1 to 1 only from about 10 mL of each.
    assert_eq!(batches.warnings, [MixWarning::Enlarged]);
    assert!((batches.each.resin_volume - ml(10.5)).abs() < ml(1e-9), "{batches:?}");
    let small = product.batches(ml(1.0), syringe, Some(grams(10.0)), grams(0.0));
    assert_eq!(small, Err(AdhesiveError::TooCoarse));
}

#[test]
fn working_time_is_cut_and_never_lengthened() {
    let hour_left = |time: &WorkingTime| time.whole.get::<hour>();
    assert!((hour_left(&working(100.0, 25.0, 0.0)) - 1.0).abs() < 1e-12);
    let small_and_cold = working(10.0, 15.0, 0.25);
    assert!((hour_left(&small_and_cold) - 1.0).abs() < 1e-12);
    assert!((small_and_cold.left.get::<hour>() - 0.75).abs() < 1e-12);
    assert_eq!(
        small_and_cold.warnings,
        [PotWarning::ColdAddsNothing, PotWarning::SmallAddsNothing]
    );
    let large = working(200.0, 25.0, 0.0);
    assert!((hour_left(&large) - 0.5).abs() < 1e-12);
    assert_eq!(large.warnings, [PotWarning::LargeBatch]);
    let over = working(100.0, 35.0, 2.0);
    assert_eq!((over.left, over.warnings), (hours(0.0), vec![PotWarning::Warm]));
}

#[test]
fn a_broken_clock_or_an_unknown_room_takes_the_cautious_side() {
    let activation = Activation::published();
    let sheet = pot_life();
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        let time = working_time(&sheet, grams(100.0), Some(celsius(25.0)), activation, hours(bad))
            .unwrap();
        assert_eq!((time.left, time.warnings), (hours(0.0), vec![PotWarning::ClockBroken]));
    }
    let unknown = working_time(&sheet, grams(100.0), None, activation, hours(0.0)).unwrap();
    assert_eq!(unknown.warnings, [PotWarning::TemperatureUnknown]);
    assert_eq!(unknown.whole, working(100.0, 35.0, 0.0).whole);
    for (time, mass, room) in [(0.0, 10.0, 20.0), (f64::NAN, 10.0, 20.0)] {
        let sheet = PotLife { time: hours(time), ..sheet };
        let got = working_time(&sheet, grams(mass), Some(celsius(room)), activation, hours(0.0));
        assert_eq!(got, Err(AdhesiveError::SheetTime));
    }
    for bad in [0.0, -1.0, f64::NAN] {
        let got = working_time(&sheet, grams(bad), None, activation, hours(0.0));
        assert_eq!(got, Err(AdhesiveError::Amount));
    }
    let hot = working_time(&sheet, grams(9.0), Some(celsius(300.0)), activation, hours(0.0));
    assert!(matches!(hot, Err(AdhesiveError::Temperature { .. })));
}

#[test]
fn a_cure_needs_a_sheet_that_hangs_together() {
    use AdhesiveError::{Activation as Energy, Reference, SheetTime, TableOrder, TableTooShort};
    let activation = Activation::published();
    let at = |reference: f64, needed: &Needed, coldest: Option<f64>| {
        Cure::new(celsius(reference), needed, coldest.map(celsius), activation).map(|_| ())
    };
    for bad in [0.0, -1.0, f64::NAN] {
        assert_eq!(at(23.0, &Needed::Time(hours(bad)), None), Err(SheetTime));
    }
    assert_eq!(at(23.0, &Needed::Time(hours(24.0)), Some(23.0)), Err(Reference));
    assert_eq!(at(23.0, &table(&[(23.0, 24.0)]), None), Err(TableTooShort));
    assert_eq!(at(23.0, &table(&[(23.0, 24.0), (15.0, 40.0)]), None), Err(TableOrder { row: 1 }));
    assert_eq!(at(23.0, &table(&[(15.0, 24.0), (23.0, 40.0)]), None), Err(TableOrder { row: 1 }));
    assert_eq!(at(23.0, &table(&[(25.0, 24.0), (40.0, 9.0)]), None), Err(Reference));
    let energy = |value| MolarEnergy::new::<kilojoule_per_mole>(value);
    for bad in [0.0, -55.0, f64::NAN, 55_000.0] {
        assert_eq!(Activation::exactly(energy(bad)), Err(Energy));
    }
    assert_eq!(Activation::new(energy(60.0), energy(55.0), energy(65.0)), Err(Energy));
    let day = from_time();
    let week = Cure::new(celsius(23.0), &Needed::Time(hours(168.0)), None, activation).unwrap();
    let fault = CureSheet::new(week, day.clone(), day).unwrap_err();
    assert_eq!(fault, AdhesiveError::MilestoneOrder);
}

#[test]
fn a_history_must_run_forward_and_bounds_are_kept() {
    let cure = from_time();
    let steady = readings(&[(0.0, 20.0), (1.0, 20.0)]);
    assert_eq!(cure.progress(&steady, HOUR, 0.0), Err(AdhesiveError::Backwards));
    assert_eq!(cure.progress(&steady, f64::NAN, 0.0), Err(AdhesiveError::Time));
    let back = readings(&[(1.0, 20.0), (0.0, 20.0)]);
    let fault = cure.progress(&back, 0.0, HOUR).unwrap_err();
    assert_eq!(fault, AdhesiveError::ReadingOrder { row: 1 });
    let hot = readings(&[(0.0, 20.0), (1.0, 700.0)]);
    let fault = cure.progress(&hot, 0.0, HOUR).unwrap_err();
    assert!(matches!(fault, AdhesiveError::Temperature { .. }));
}

#[test]
fn cold_gaps_and_warmth_are_said() {
    let cure = from_time();
    let progress = |places: &[(f64, f64)], now: f64| {
        cure.progress(&readings(places), 0.0, now * HOUR).unwrap()
    };
    let cold = progress(&[(0.0, 9.9), (5.0, 9.9)], 5.0);
    assert_eq!(cold.equivalent.most, hours(0.0));
    assert_eq!(cold.warnings, [CureWarning::TooCold]);
    let never = cure.ready_in(&cold, celsius(5.0)).unwrap();
    assert_eq!((never.soonest, never.latest), (None, None));
    let warm = progress(&[(0.0, 35.0), (5.0, 35.0)], 5.0);
    assert!((warm.equivalent.most.get::<hour>() - 5.0).abs() < 1e-9);
    assert_eq!(warm.warnings, [CureWarning::WarmthNotCounted]);
    // Over a long gap the colder reading counts.
    let gap = progress(&[(0.0, 23.0), (7.0, 9.0)], 7.0);
    assert_eq!(gap.equivalent.most, hours(0.0));
    assert_eq!(gap.warnings, [CureWarning::TooCold, CureWarning::LongGap]);
    let short = progress(&[(0.0, 23.0), (4.0, 23.0)], 5.0);
    assert!((short.equivalent.least.get::<hour>() - 4.0).abs() < 1e-9);
    assert_eq!(short.warnings, [CureWarning::NoReadings]);
    assert_eq!(progress(&[], 5.0).warnings, [CureWarning::NoReadings]);
}

#[test]
fn the_sheets_own_time_is_met_at_its_own_temperature() {
    for cure in [from_time(), from_table()] {
        let places: Vec<_> = (0..=24).map(|h| (f64::from(h), 23.0)).collect();
        let day = readings(&places);
        let done = cure.progress(&day, 0.0, 24.0 * HOUR).unwrap();
        assert!(done.reached() && done.share() <= share(1.0));
        let before = cure.progress(&day, 0.0, 23.9 * HOUR).unwrap();
        assert!(!before.reached());
        let ready = cure.ready_in(&before, celsius(23.0)).unwrap();
        assert!((ready.latest.unwrap() - hours(0.1)).abs() < hours(1e-9));
    }
    // The table's own row, no sooner and no later.
    let hot = readings(&[(0.0, 60.0), (3.0, 60.0)]);
    let cure = from_table();
    assert!(cure.progress(&hot, 0.0, 3.0 * HOUR).unwrap().reached());
    let short = cure.progress(&hot, 0.0, 2.99 * HOUR).unwrap();
    assert!(!short.reached() && short.missing.least > hours(0.0));
}

/// Temperatures over time, from half an hour to five hours apart: never a long gap.
fn course() -> impl Strategy<Value = Vec<(f64, f64)>> {
    vec((0.5..5.0, -5.0..70.0), 2..12).prop_map(|steps| {
        let mut at = 0.0;
        steps
            .into_iter()
            .map(|(gap, temperature)| {
                at += gap;
                (at, temperature)
            })
            .collect()
    })
}

/// Rounded towards the lighter part, as much volume weighs less.
#[test]
fn the_least_worth_mixing_is_kept_by_weight() {
    let parts = (4.285_051_293_090_096, 1.907_494_834_290_194_5);
    let mut sheet = mix_sheet(0.8, 1.059_064_116_889_692_2, RatioBasis::Weight, parts);
    sheet.tolerance = Some(Ratio::new::<percent>(11.5));
    let least = grams(4.305_314_833_284_031);
    let by = MeasuredBy::Scale(grams(0.1));
    let batches =
        Product::new(sheet).unwrap().batches(ml(0.05), by, Some(grams(5.0)), least).unwrap();
    assert!(batches.each.mass() >= least, "{:?}", batches.each);
}

fn near(got: f64, expected: f64, relative: f64) -> Result<(), TestCaseError> {
    let off = (got - expected).abs();
    prop_assert!(off <= relative * expected.abs().max(1e-3), "{got} is not {expected}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// A joint measured once more in between has the same volume; twice the size, eight times it.
    #[test]
    fn joints_add_up_and_scale(
        blank in (4.0..15.0, 4.0..15.0), gap in (0.0..1.0, 0.01..1.0), length in 10.0..400.0,
        cut in 0.01..0.99, scale in 0.1..10.0_f64,
    ) {
        let ends = [(0.0, blank.0 + gap.0, blank.0), (length, blank.1 + gap.1, blank.1)];
        let mix = |a: f64, b: f64| a + (b - a) * cut;
        let middle = (length * cut, mix(ends[0].1, ends[1].1), mix(ends[0].2, ends[1].2));
        let whole: f64 = joint(&ends).unwrap();
        near(joint(&[ends[0], middle, ends[1]]).unwrap(), whole, 1e-9)?;
        let larger = ends.map(|(x, bore, blank)| (x * scale, bore * scale, blank * scale));
        near(joint(&larger).unwrap(), whole * scale.powi(3), 1e-9)?;
        // Turned end for end it is the same joint.
        let turned = [(0.0, ends[1].1, ends[1].2), (length, ends[0].1, ends[0].2)];
        near(joint(&turned).unwrap(), whole, 1e-12)?;
    }

    /// Resin and hardener make up the mix, by weight and by volume, in the sheet's ratio; and what
    /// is filled and lost makes up what is mixed.
    #[test]
    fn mass_balance(
        densities in (0.8..2.0, 0.8..2.0), parts in (0.1..10.0, 0.1..10.0), weight: bool,
        volume in 0.1..1000.0, lost in 0.0..0.95,
    ) {
        let basis = if weight { RatioBasis::Weight } else { RatioBasis::Volume };
        let product = Product::new(mix_sheet(densities.0, densities.1, basis, parts)).unwrap();
        let mixed = volume_to_mix(ml(volume), share(lost)).unwrap();
        near(mixed.get::<milliliter>() * (1.0 - lost), volume, 1e-9)?;
        let batch = product.exactly(mixed).unwrap();
        let mass = (mixed * product.mixed_density()).get::<gram>();
        near(batch.mass().get::<gram>(), mass, 1e-9)?;
        near(batch.volume().get::<milliliter>(), mixed.get::<milliliter>(), 1e-9)?;
        let stated = parts.1 / parts.0;
        let got = if weight {
            batch.hardener / batch.resin
        } else {
            batch.hardener_volume / batch.resin_volume
        };
        near(got.get::<ratio>(), stated, 1e-9)?;
        near((batch.resin_volume * densities.0 / batch.resin.get::<gram>()).get::<milliliter>(), 1.0, 1e-9)?;
    }

    /// Batches are whole steps, hold what is needed, weigh no more than may stand in a cup, and
    /// whatever was really poured while the display showed them lies within what is reported.
    #[test]
    fn rounding_stays_within_what_is_reported(
        densities in (0.8..1.5, 0.8..1.5), parts in (0.5..5.0, 0.5..5.0), by_scale: bool,
        step in prop_oneof![Just(0.01), Just(0.1), Just(0.5)], need in 0.05..200.0,
        limit in 5.0..120.0, least in 0.0..6.0, tolerance in 1.0..15.0,
        poured in (-0.5..0.5, -0.5..0.5),
    ) {
        let mut sheet = mix_sheet(densities.0, densities.1, RatioBasis::Weight, parts);
        sheet.tolerance = Some(Ratio::new::<percent>(tolerance));
        let product = Product::new(sheet).unwrap();
        let by = if by_scale { MeasuredBy::Scale(grams(step)) } else { MeasuredBy::Syringe(ml(step)) };
        let limit = grams(limit);
        let batches = match product.batches(ml(need), by, Some(limit), grams(least)) {
            Ok(batches) => batches,
            Err(fault) => {
                prop_assert_eq!(fault, AdhesiveError::TooCoarse);
                return Ok(());
            }
        };
        let each = batches.each;
        prop_assert!(each.mass() <= limit * 1.000_001);
        prop_assert!(each.volume() * f64::from(batches.count) >= ml(need * 0.999_999));
        prop_assert!(each.mass() * f64::from(batches.count) >= grams(least * 0.999_999));
        let shown = if by_scale {
            [each.resin.get::<gram>(), each.hardener.get::<gram>()]
        } else {
            [each.resin_volume.get::<milliliter>(), each.hardener_volume.get::<milliliter>()]
        };
        for amount in shown {
            prop_assert!((amount / step - (amount / step).round()).abs() < 1e-6);
        }
        let real = [shown[0] + poured.0 * step, shown[1] + poured.1 * step];
        let off = each.off.get::<ratio>();
        let real_off: f64 = real[1] / real[0] / (shown[1] / shown[0]) * (1.0 + off) - 1.0;
        let reported = each.at_most_off.get::<ratio>() + 1e-9;
        prop_assert!(real_off.abs() <= reported && off.abs() <= reported);
        prop_assert!(reported <= tolerance / 100.0 + 1e-6);
        let weighed = if by_scale {
            product.check(grams(real[0]), grams(real[1]))
        } else {
            product.check_by_volume(ml(real[0]), ml(real[1]))
        };
        near(weighed.unwrap().off.get::<ratio>(), real_off, 1e-6)?;
    }

    /// A mix is refused just beyond its tolerance, and what it says mends it.
    #[test]
    fn a_mended_mix_keeps_its_ratio(resin in 1.0..100.0, hardener in 1.0..100.0) {
        let product = product();
        match product.check(grams(resin), grams(hardener)) {
            Ok(check) => prop_assert!(check.off.abs() <= check.tolerance * 1.000_001),
            Err(AdhesiveError::OffRatio { off_percent, mend, .. }) => {
                prop_assert!(off_percent > 5.0 * 0.999_999 && mend.mass > grams(0.0));
                let added = mend.mass.get::<gram>();
                let (resin, hardener) = match mend.part {
                    Part::Resin => (resin + added, hardener),
                    Part::Hardener => (resin, hardener + added),
                };
                let mended = product.check(grams(resin), grams(hardener)).unwrap();
                prop_assert!(mended.off.abs() < share(1e-9));
            }
            Err(other) => prop_assert!(false, "{other:?}"),
        }
    }

    /// Warmer, more in the cup or later never leaves more time, and never more than the sheet.
    #[test]
    fn working_time_only_falls(
        batch in 1.0..500.0, more in 0.0..500.0, room in -10.0..60.0, warmer in 0.0..40.0,
        since in 0.0..3.0, later in 0.0..3.0,
    ) {
        let sooner = working(batch, room, since);
        let after = working(batch + more, room + warmer, since + later);
        prop_assert!(sooner.whole <= hours(1.0) * (1.0 + 1e-12));
        prop_assert!(after.whole <= sooner.whole && after.left <= sooner.left);
        prop_assert!(sooner.left >= hours(0.0));
    }

    /// The equivalent time of two stretches is that of both together, and reading more often along
    /// the same course changes nothing.
    #[test]
    fn equivalent_time_is_additive_and_independent_of_sampling(
        course in course(), cut in 0.0..1.0, extra in vec(0.0..1.0, 0..20), use_table: bool,
    ) {
        let cure = if use_table { from_table() } else { from_time() };
        let (from, now) = (course[0].0, course[course.len() - 1].0);
        let worth = |places: &[(f64, f64)], from: f64, now: f64| {
            parts(cure.progress(&readings(places), from * HOUR, now * HOUR).unwrap().equivalent)
        };
        let whole = worth(&course, from, now);
        let middle = from + (now - from) * cut;
        let (one, other) = (worth(&course, from, middle), worth(&course, middle, now));
        let mut denser = course.clone();
        for part in extra {
            let at = from + (now - from) * part;
            let next = course.partition_point(|place| place.0 <= at).clamp(1, course.len() - 1);
            let (before, after) = (course[next - 1], course[next]);
            let t = before.1 + (after.1 - before.1) * (at - before.0) / (after.0 - before.0);
            denser.push((at, t));
        }
        denser.sort_by(|a, b| a.0.total_cmp(&b.0));
        let dense = worth(&denser, from, now);
        for i in 0..3 {
            near(one[i] + other[i], whole[i], 1e-7)?;
            near(dense[i], whole[i], 1e-7)?;
        }
        prop_assert!(whole[0] <= whole[1] * (1.0 + 1e-9) && whole[1] <= whole[2] * (1.0 + 1e-9));
    }

    /// A warmer course is worth as much or more, a warmer forecast is ready as soon or sooner.
    #[test]
    fn warmer_is_never_later(
        course in course(), warmer in 0.0..20.0, forecast in -5.0..60.0, use_table: bool,
    ) {
        let cure = if use_table { from_table() } else { from_time() };
        let now = course[course.len() - 1].0 * HOUR;
        let warm: Vec<_> = course.iter().map(|&(at, t)| (at, t + warmer)).collect();
        let cold = cure.progress(&readings(&course), course[0].0 * HOUR, now).unwrap();
        let warm = cure.progress(&readings(&warm), course[0].0 * HOUR, now).unwrap();
        for (w, c) in parts(warm.equivalent).iter().zip(parts(cold.equivalent)) {
            prop_assert!(*w >= c * (1.0 - 1e-9));
        }
        prop_assert!(warm.share() >= cold.share() * (1.0 - 1e-9));
        let later = cure.ready_in(&cold, celsius(forecast)).unwrap();
        let sooner = cure.ready_in(&warm, celsius(forecast + warmer)).unwrap();
        for (s, l) in [
            (sooner.soonest, later.soonest),
            (sooner.likely, later.likely),
            (sooner.latest, later.latest),
        ] {
            let end = |time: Option<Time>| time.map_or(f64::INFINITY, |t| t.get::<second>());
            prop_assert!(end(s) <= end(l) * (1.0 + 1e-9) + 1e-6);
        }
    }

    /// With one time on the sheet nothing is ready sooner than it, whatever the warmth.
    #[test]
    fn never_sooner_than_the_sheet(course in course(), forecast in -5.0..150.0) {
        let cure = from_time();
        let (from, now) = (course[0].0 * HOUR, course[course.len() - 1].0 * HOUR);
        let progress = cure.progress(&readings(&course), from, now).unwrap();
        prop_assert!(progress.equivalent.most.get::<second>() <= (now - from) * (1.0 + 1e-9));
        let ready = cure.ready_in(&progress, celsius(forecast)).unwrap();
        // None is never.
        let [soonest, likely, latest] = [ready.soonest, ready.likely, ready.latest]
            .map(|time| time.map_or(f64::INFINITY, |time| time.get::<second>()));
        prop_assert!(now - from + soonest >= cure.needed().get::<second>() * (1.0 - 1e-9));
        prop_assert!(soonest <= likely * (1.0 + 1e-9) && likely <= latest * (1.0 + 1e-9));
    }

    /// Twice the needed time at the same room takes twice as long.
    #[test]
    fn waits_scale_with_the_sheet(factor in 0.1..20.0, forecast in 11.0..40.0) {
        let wait = |hours_needed: f64| {
            let needed = Needed::Time(hours(hours_needed));
            let cure = Cure::new(celsius(23.0), &needed, None, Activation::published()).unwrap();
            let fresh = cure.progress(&[], 0.0, 0.0).unwrap();
            cure.ready_in(&fresh, celsius(forecast)).unwrap().latest.unwrap().get::<second>()
        };
        near(wait(24.0 * factor), factor * wait(24.0), 1e-9)?;
    }
}
