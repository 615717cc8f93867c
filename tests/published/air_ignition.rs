//! Flammable categories and gun settings against the rules as published.

use coldbench_trade::air::{
    FlammableCategory, Handling, HeatRule, flammable_category, gun_against_autoignition,
    gun_against_material, handling_when_heated,
};
use coldbench_trade::units::{degree_celsius, kelvins};

use crate::air::{close, warmth};

fn code(flash: &str, boiling: &str) -> Option<&'static str> {
    flammable_category(warmth(flash), Some(warmth(boiling))).unwrap().map(FlammableCategory::h_code)
}

/// Regulation (EC) No 1272/2008 Annex I Table 2.6.1 (categories 1 to 3) and 29 CFR
/// 1910.106(a)(19) (1 to 4, printed in °F): below 23 °C and at most 35 °C; below 23 °C; 23 to 60 °C;
/// above 60 to 93 °C. Bounds exact.
#[test]
fn category_bounds() {
    for (flash, boiling, expected) in [
        ("22.9 °C", "35 °C", Some("H224")),
        ("22.9 °C", "35.1 °C", Some("H225")),
        ("23 °C", "35 °C", Some("H226")),
        ("60 °C", "150 °C", Some("H226")),
        ("60.1 °C", "150 °C", Some("H227")),
        ("93 °C", "200 °C", Some("H227")),
        ("93.1 °C", "200 °C", None),
        ("73.3 °F", "95 °F", Some("H224")),
        ("73.3 °F", "95.1 °F", Some("H225")),
        ("73.4 °F", "95 °F", Some("H226")),
        ("140 °F", "300 °F", Some("H226")),
        ("140.1 °F", "300 °F", Some("H227")),
        ("199.4 °F", "400 °F", Some("H227")),
        ("199.5 °F", "400 °F", None),
    ] {
        assert_eq!(code(flash, boiling), expected, "{flash}, {boiling}");
    }
}

/// The hazard statement that Annex VI of the same regulation gives these substances (from memory),
/// from flash points of NIOSH, NRC and IEC 60079-20-1 and boiling points of the CRC tables.
/// n-Butyl acetate is left out on purpose: with 22 °C the bounds put it into category 2, its
/// harmonised entry into 3; the stricter figure stands here.
#[test]
fn substances_with_a_harmonised_entry() {
    for (name, flash, boiling, expected) in [
        ("diethyl ether", "-45 °C", "34.6 °C", "H224"),
        ("acetone", "-18 °C", "56 °C", "H225"),
        ("isopropanol", "11.7 °C", "82.8 °C", "H225"),
        ("ethanol", "12.8 °C", "78.3 °C", "H225"),
        ("methanol", "11 °C", "65 °C", "H225"),
        ("methyl ethyl ketone", "-9 °C", "79.6 °C", "H225"),
        ("toluene", "4.4 °C", "111.1 °C", "H225"),
        ("ethyl acetate", "-4 °C", "77 °C", "H225"),
        ("n-hexane", "-21.7 °C", "68.9 °C", "H225"),
        ("n-heptane", "-3.9 °C", "98.4 °C", "H225"),
        ("xylene", "25 °C", "140 °C", "H226"),
        ("1-methoxy-2-propanol", "32 °C", "120 °C", "H226"),
        ("turpentine", "35 °C", "153.9 °C", "H226"),
    ] {
        assert_eq!(code(flash, boiling), Some(expected), "{name}");
    }
    assert_eq!(code("22 °C", "126 °C"), Some("H225"));
}

/// 29 CFR 1910.106(a)(19): a liquid of category 3 with a flash point at or above 100 °F counts as one
/// below it when heated to within 30 °F (16.7 °C) of the flash point; one of category 4 so heated
/// counts as category 3. Mineral spirits (flash 40 °C) so count from 23.3 °C: in a shop of 24 °C.
#[test]
fn heated_to_near_the_flash_point() {
    for (flash, warmest, expected) in [
        ("40 °C", "24 °C", Some(Handling::Category3Below100F)),
        ("40 °C", "23.3 °C", Some(Handling::Category3Below100F)),
        ("40 °C", "23.2 °C", Some(Handling::Category3From100F)),
        ("40 °C", "90 °C", Some(Handling::Category3Below100F)),
        ("99.9 °F", "0 °F", Some(Handling::Category3Below100F)),
        ("37.8 °C", "0 °C", Some(Handling::Category3From100F)),
        ("150 °F", "120 °F", Some(Handling::Category3From100F)),
        ("150 °F", "119 °F", Some(Handling::Category4)),
        ("94 °C", "94 °C", None),
    ] {
        let handling = handling_when_heated(warmth(flash), None, warmth(warmest)).unwrap();
        assert_eq!(handling, expected, "{flash} at {warmest}");
    }
    let boiling = |text| Some(warmth(text));
    let handling = |flash, b| handling_when_heated(warmth(flash), b, warmth("20 °C")).unwrap();
    assert_eq!(handling("-45 °C", boiling("34.6 °C")), Some(Handling::Category1));
    assert_eq!(handling("-18 °C", boiling("56 °C")), Some(Handling::Category2));
}

/// 80 % of the autoignition temperature in °C, a margin stated by a test laboratory for surfaces of
/// explosion-protected equipment: acetone 465 gives 372, isopropanol 399 gives 319, n-heptane 204
/// gives 163 (to the degree); autoignition temperatures by NFPA 497 and IEC 60079-20-1 as the
/// `chemicals` 1.5.2 package holds them. 29 CFR 1910.125: 100 °F (37.8 °C) below it, stricter for 150
/// °C. Both exact.
#[test]
fn gun_below_autoignition() {
    for (autoignition, highest, rule) in [
        ("465 °C", 372.0, HeatRule::ShareOfAutoignition),
        ("399 °C", 319.2, HeatRule::ShareOfAutoignition),
        ("204 °C", 163.2, HeatRule::ShareOfAutoignition),
        ("150 °C", 150.0 - 37.8, HeatRule::BelowAutoignition),
    ] {
        let limit = gun_against_autoignition(warmth("200 °C"), Some(warmth(autoignition))).unwrap();
        close(limit.highest.get::<degree_celsius>(), highest, 1e-9);
        close(limit.margin.get::<kelvins>(), highest - 200.0, 1e-9);
        assert_eq!(limit.rule, rule, "{autoignition}");
        assert_eq!(limit.holds(), highest >= 200.0, "{autoignition}");
    }
}

/// Commercial PVC gives off hydrogen chloride from 150 °C on (Energy & Fuels 17(4):896-900, 2003):
/// a gun at 200 °C stands 50 °C above what such a sleeve bears.
#[test]
fn gun_against_a_sleeve() {
    let limit = gun_against_material(warmth("200 °C"), Some(warmth("150 °C"))).unwrap();
    assert_eq!(limit.rule, HeatRule::Material);
    assert!(!limit.holds());
    close(limit.margin.get::<kelvins>(), -50.0, 1e-9);
}
