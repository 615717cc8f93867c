//! Gloves against EN ISO 374-1:2016 and published breakthrough times.

use coldbench_trade::skin::{
    Breakthrough, GloveType, MOVEMENT, OpenMaterial, PermeationLevel, TEST_CHEMICALS, change_by,
    glove_type,
};
use coldbench_trade::units::{Ratio, Time, minute, ratio};

use crate::air::close;

fn minutes(value: f64) -> Time {
    Time::new::<minute>(value)
}

/// EN ISO 374-1:2016 by two open texts that quote it (a glove guide, and an equipment maker's
/// manual, read): levels 1 to 6 hold longer than 10, 30, 60, 120, 240, 480 min.
#[test]
fn levels() {
    use PermeationLevel::{Five, Four, One, Six, Three, Two};
    let levels =
        [(One, 10.0), (Two, 30.0), (Three, 60.0), (Four, 120.0), (Five, 240.0), (Six, 480.0)];
    let mut below = None;
    for (level, least) in levels {
        close(level.longer_than().get::<minute>(), least, 1e-9);
        assert_eq!(PermeationLevel::of(minutes(least)), below);
        assert_eq!(PermeationLevel::of(minutes(least + 0.1)), Some(level));
        below = Some(level);
    }
    assert_eq!(PermeationLevel::of(minutes(f64::NAN)), None);
}

/// The same standard by a glove maker's page (read): type A is level 2 against six of the test
/// chemicals, type B against three, type C level 1 against one. Eighteen chemicals, A to P, S and T.
#[test]
fn types() {
    use PermeationLevel::{One, Six, Two};
    assert_eq!(glove_type(&[Two; 6]), Some(GloveType::A));
    assert_eq!(glove_type(&[Six; 5]), Some(GloveType::B));
    assert_eq!(glove_type(&[Two, Two, Two, One]), Some(GloveType::B));
    assert_eq!(glove_type(&[Six, Six]), Some(GloveType::C));
    assert_eq!(glove_type(&[One; 18]), Some(GloveType::C));
    assert_eq!(glove_type(&[]), None);
    let letters: String = TEST_CHEMICALS.iter().map(|(letter, _)| *letter).collect();
    assert_eq!(letters, "ABCDEFGHIJKLMNOPST");
}

/// Eight nitrile products of like thickness held one solvent from 30 to 300 min (Mickelsen and Hall,
/// AIHAJ 48 (1987) 941, abstract read): levels 1 to 5 for what a shop calls one glove. 2-Butoxyethanol
/// came through a single disposable nitrile glove in 5 to 10 min (read): no level at all.
#[test]
fn one_glove_is_not_another() {
    assert_eq!(PermeationLevel::of(minutes(30.0)), Some(PermeationLevel::One));
    assert_eq!(PermeationLevel::of(minutes(300.0)), Some(PermeationLevel::Five));
    assert_eq!(PermeationLevel::of(minutes(10.0)), None);
}

/// Movement cut breakthrough by 6 to 33 %, on average 18 % (Phalen 2012, abstract read). Gloves of level
/// 2 against the resin (30 min) and with 8 min against a thinner are changed after 8 min at rest,
/// 6.56 min with the average, 5.36 min with the greatest cut.
#[test]
fn movement_and_the_shortest() {
    let open = [
        OpenMaterial {
            name: "demo resin".to_owned(),
            breakthrough: Breakthrough::Level(PermeationLevel::Two),
        },
        OpenMaterial {
            name: "demo thinner".to_owned(),
            breakthrough: Breakthrough::After(minutes(8.0)),
        },
    ];
    for (movement, expected) in [(0.0, 8.0), (0.18, 6.56), (MOVEMENT, 5.36)] {
        let by = change_by(&open, minutes(1.0), Ratio::new::<ratio>(movement)).unwrap().unwrap();
        close(by.after.get::<minute>(), expected, 1e-9);
        close(by.left.get::<minute>(), expected - 1.0, 1e-9);
        assert_eq!(by.because, "demo thinner");
    }
}
