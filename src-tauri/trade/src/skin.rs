//! Gloves: when to change them, by what is open.
//!
//! Uncured resin and hardener on skin can bring an allergy that stays for life. A breakthrough time
//! comes from a laboratory at rest; the product's safety data sheet and the glove's own come first.

use std::fmt;
use uom::si::f64::{Ratio, Time};
use uom::si::ratio::ratio;
use uom::si::time::{minute, second};

/// To be shown wherever skin may be touched. Source: suppliers' guidance; no official text was found.
pub const WASH: &str = "On skin, uncured resin and hardener can bring an allergy that stays for life. Wash at once \
     with soap and water. Never use solvent on skin: it carries them in. The safety data sheet \
     comes first.";

/// Why no glove time follows.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SkinError {
    /// A breakthrough time is negative, zero or no number.
    #[error(
        "The breakthrough time for {name} must be more than zero. Take it from the glove maker's list, or leave it out."
    )]
    Breakthrough {
        /// The material.
        name: String,
    },
    /// The reduction does not lie from 0 to 95 percent.
    #[error("The part of a breakthrough time taken off for movement must lie between 0 and 95 %.")]
    Reduction,
}

/// Permeation performance level of EN ISO 374-1:2016, for one glove and one chemical.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum PermeationLevel {
    /// Longer than 10 min.
    One,
    /// Longer than 30 min.
    Two,
    /// Longer than 60 min.
    Three,
    /// Longer than 120 min.
    Four,
    /// Longer than 240 min.
    Five,
    /// Longer than 480 min.
    Six,
}

impl PermeationLevel {
    const ALL: [Self; 6] = [Self::One, Self::Two, Self::Three, Self::Four, Self::Five, Self::Six];

    /// The time that breakthrough takes longer than. Source: EN ISO 374-1:2016.
    pub fn longer_than(self) -> Time {
        Time::new::<minute>(match self {
            Self::One => 10.0,
            Self::Two => 30.0,
            Self::Three => 60.0,
            Self::Four => 120.0,
            Self::Five => 240.0,
            Self::Six => 480.0,
        })
    }

    /// The level for a measured breakthrough time; None at 10 min or less, or for no number.
    pub fn of(breakthrough: Time) -> Option<Self> {
        Self::ALL.into_iter().rev().find(|level| breakthrough > level.longer_than())
    }
}

/// Type of a glove by EN ISO 374-1:2016. It says nothing of a chemical that was not tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum GloveType {
    /// Level 2 or more against six of the test chemicals.
    A,
    /// Level 2 or more against three of them.
    B,
    /// Level 1 or more against one of them.
    C,
}

impl fmt::Display for GloveType {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::A => "Type A",
            Self::B => "Type B",
            Self::C => "Type C",
        })
    }
}

/// The type for the levels a glove reached, one for each different test chemical of
/// [`TEST_CHEMICALS`]; None where it reached too little. Source: EN ISO 374-1:2016.
pub fn glove_type(levels: &[PermeationLevel]) -> Option<GloveType> {
    match levels.iter().filter(|&&level| level >= PermeationLevel::Two).count() {
        6.. => Some(GloveType::A),
        3..6 => Some(GloveType::B),
        _ if levels.is_empty() => None,
        _ => Some(GloveType::C),
    }
}

/// The test chemicals whose letters stand under a glove's pictogram. Source: EN ISO 374-1:2016.
pub const TEST_CHEMICALS: [(char, &str); 18] = [
    ('A', "methanol"),
    ('B', "acetone"),
    ('C', "acetonitrile"),
    ('D', "dichloromethane"),
    ('E', "carbon disulphide"),
    ('F', "toluene"),
    ('G', "diethylamine"),
    ('H', "tetrahydrofuran"),
    ('I', "ethyl acetate"),
    ('J', "n-heptane"),
    ('K', "sodium hydroxide 40 %"),
    ('L', "sulphuric acid 96 %"),
    ('M', "nitric acid 65 %"),
    ('N', "acetic acid 99 %"),
    ('O', "ammonia 25 %"),
    ('P', "hydrogen peroxide 30 %"),
    ('S', "hydrofluoric acid 40 %"),
    ('T', "formaldehyde 37 %"),
];

/// What is known of a glove against a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Breakthrough {
    /// A level of EN ISO 374-1.
    Level(PermeationLevel),
    /// A time from the glove maker's list, above zero.
    After(Time),
    /// Nothing. The type of a glove alone is nothing, too.
    Unknown,
}

/// A material that is open and may get onto gloves.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenMaterial {
    /// What it is.
    pub name: String,
    /// What is known of the gloves worn against it.
    pub breakthrough: Breakthrough,
}

/// Greatest shortening of breakthrough by movement that was measured, as a share: 6 to 33 %, mean
/// 18 %, in 28 of 30 disposable nitrile gloves with ethanol (Phalen 2012, abstract).
pub const MOVEMENT: f64 = 0.33;

/// A caution that goes with a glove time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SkinWarning {
    /// Nothing is known of these gloves against an open material: the shortest class is taken, and
    /// gloves it has touched are changed at once.
    Unknown,
    /// The clock is broken or runs backwards: change now.
    ClockBroken,
}

impl std::fmt::Display for SkinWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::Unknown => {
                "Nothing is known of these gloves against an open material: 10 min is taken, and gloves it has touched are changed at once."
            }
            Self::ClockBroken => "The time worn is no time: change now.",
        };
        f.write_str(words)
    }
}

/// When to change gloves.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeBy {
    /// How long gloves may be worn from the first contact, or from putting them on, whichever is
    /// counted.
    pub after: Time,
    /// What is left of it; zero means change now.
    pub left: Time,
    /// The material that sets it.
    pub because: String,
    /// Whether a splash means change at once, whatever is left. Torn, sticky or swollen gloves are
    /// always changed at once.
    pub contact_means_now: bool,
    /// What to mind.
    pub warnings: Vec<SkinWarning>,
}

/// When to change gloves `worn` so long, with these materials open: the shortest of their
/// breakthrough times, less `movement` of it (see [`MOVEMENT`]; 0 to 95 %). None if nothing is open.
///
/// A level counts as the time it is longer than. Where nothing is known, a time of the shortest
/// class (10 min) is taken for sitting by it, and any contact means change at once. A `worn` that is
/// negative or no number leaves no time. Two pairs of gloves are not reckoned with.
pub fn change_by(
    open: &[OpenMaterial],
    worn: Time,
    movement: Ratio,
) -> Result<Option<ChangeBy>, SkinError> {
    let movement = movement.get::<ratio>();
    if !(0.0..=0.95).contains(&movement) {
        return Err(SkinError::Reduction);
    }
    let mut shortest: Option<(f64, &str)> = None;
    let mut unknown = false;
    for material in open {
        let time = match material.breakthrough {
            Breakthrough::Level(level) => level.longer_than(),
            Breakthrough::After(time) => time,
            Breakthrough::Unknown => {
                unknown = true;
                PermeationLevel::One.longer_than()
            }
        };
        let time = time.get::<second>();
        if !(time > 0.0 && time.is_finite()) {
            return Err(SkinError::Breakthrough { name: material.name.clone() });
        }
        if shortest.is_none_or(|(before, _)| time < before) {
            shortest = Some((time, &material.name));
        }
    }
    let worn = worn.get::<second>();
    let broken = !(worn >= 0.0 && worn.is_finite());
    Ok(shortest.map(|(time, because)| {
        let after = time * (1.0 - movement);
        let left = if broken { 0.0 } else { (after - worn).max(0.0) };
        let warnings = [(unknown, SkinWarning::Unknown), (broken, SkinWarning::ClockBroken)];
        ChangeBy {
            after: Time::new::<second>(after),
            left: Time::new::<second>(left),
            because: because.to_owned(),
            contact_means_now: unknown,
            warnings: warnings.into_iter().filter(|(holds, _)| *holds).map(|(_, w)| w).collect(),
        }
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn minutes(value: f64) -> Time {
        Time::new::<minute>(value)
    }

    fn open(name: &str, breakthrough: Breakthrough) -> OpenMaterial {
        OpenMaterial { name: name.to_owned(), breakthrough }
    }

    fn change(open: &[OpenMaterial], worn: f64, movement: f64) -> ChangeBy {
        change_by(open, minutes(worn), Ratio::new::<ratio>(movement)).unwrap().unwrap()
    }

    #[test]
    fn nothing_known_is_the_shortest_class_and_now_on_contact() {
        let long = open("demo finish", Breakthrough::Level(PermeationLevel::Six));
        let resin = open("demo resin", Breakthrough::Unknown);
        let by = change(&[long.clone(), resin], 0.0, 0.0);
        assert!((by.after - minutes(10.0)).abs() < minutes(1e-9));
        assert!(by.contact_means_now);
        assert_eq!(by.because, "demo resin");
        assert_eq!(by.warnings, [SkinWarning::Unknown]);
        let by = change(&[long], 500.0, 0.0);
        assert_eq!((by.left, by.contact_means_now), (minutes(0.0), false));
    }

    #[test]
    fn a_broken_clock_leaves_no_time_and_nothing_open_needs_no_change() {
        let finish = [open("demo finish", Breakthrough::Level(PermeationLevel::Six))];
        for worn in [-1.0, f64::NAN, f64::INFINITY] {
            let by = change(&finish, worn, 0.0);
            assert_eq!(by.left, minutes(0.0));
            assert_eq!(by.warnings, [SkinWarning::ClockBroken]);
        }
        let none = Ratio::new::<ratio>(0.0);
        assert_eq!(change_by(&[], minutes(1.0), none), Ok(None));
    }

    #[test]
    fn refuses_what_is_no_time() {
        let none = Ratio::new::<ratio>(0.0);
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let material = [open("demo thinner", Breakthrough::After(minutes(bad)))];
            let name = "demo thinner".to_owned();
            assert_eq!(
                change_by(&material, minutes(0.0), none),
                Err(SkinError::Breakthrough { name }),
                "{bad}"
            );
        }
        for bad in [-0.1, 1.0, f64::NAN] {
            assert_eq!(
                change_by(&[], minutes(0.0), Ratio::new::<ratio>(bad)),
                Err(SkinError::Reduction)
            );
        }
    }

    proptest::proptest! {
        /// One more open material never gives more time, and time runs down minute by minute.
        #[test]
        fn more_open_never_gives_longer(
            times in proptest::collection::vec(0.1..600.0, 1..6), worn in 0.0..600.0,
        ) {
            let materials: Vec<_> =
                times.iter().map(|t| open("demo", Breakthrough::After(minutes(*t)))).collect();
            let all = change(&materials, worn, MOVEMENT);
            let fewer = change(&materials[..1], worn, MOVEMENT);
            proptest::prop_assert!(all.after <= fewer.after && all.left <= fewer.left);
            let least = times.iter().copied().fold(f64::INFINITY, f64::min) * (1.0 - MOVEMENT);
            proptest::prop_assert!((all.after.get::<minute>() - least).abs() < 1e-9);
            let left = (least - worn).max(0.0);
            proptest::prop_assert!((all.left.get::<minute>() - left).abs() < 1e-9);
        }
    }
}
