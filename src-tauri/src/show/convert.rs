//! The words that cross, and the domain's own, one for one.

use crate::views;
use coldbench_shop as shop;
use coldbench_shop::checklist;
use coldbench_shop::layout::{GuidePlan, LayoutPlan, MarkPlan, SpacingAsked};
use coldbench_trade::guides::Side;
use coldbench_trade::{LengthForm, LengthUnit, LiquidForm, MassForm, TemperatureForm, Units};

macro_rules! one_for_one {
    ($screen:ty, $domain:ty { $($from:ident <=> $to:ident),* $(,)? }) => {
        impl From<$screen> for $domain {
            fn from(word: $screen) -> Self {
                match word { $(<$screen>::$from => Self::$to),* }
            }
        }
        impl From<$domain> for $screen {
            fn from(word: $domain) -> Self {
                match word { $(<$domain>::$to => Self::$from),* }
            }
        }
    };
}

one_for_one!(views::LengthWord, LengthUnit { Inch <=> Inch, Millimetre <=> Millimetre });
one_for_one!(views::RoleWord, shop::Role { Lead <=> Lead, Helper <=> Helper });
one_for_one!(views::ReelWord, shop::ReelType {
    Spinning <=> Spinning, Casting <=> Casting, Conventional <=> Conventional, Fly <=> Fly,
});
one_for_one!(views::GripWord, shop::GripMaterial {
    Cork <=> Cork, Eva <=> Eva, Composite <=> Composite,
});
one_for_one!(views::PartWord, shop::PartKind {
    RearGrip <=> RearGrip, Sleeve <=> Sleeve, ReelSeat <=> ReelSeat, ForeGrip <=> ForeGrip,
    TrimRing <=> TrimRing, ButtCap <=> ButtCap, HookKeeper <=> HookKeeper,
});
one_for_one!(views::LengthFormWord, LengthForm {
    Millimetre <=> Millimetre, DecimalInch <=> DecimalInch, FractionInch <=> FractionInch,
});
one_for_one!(views::MassFormWord, MassForm { Gram <=> Gram, Ounce <=> Ounce });
one_for_one!(views::LiquidFormWord, LiquidForm {
    Millilitre <=> Millilitre, FluidOunce <=> FluidOunce,
});
one_for_one!(views::TemperatureFormWord, TemperatureForm {
    Celsius <=> Celsius, Fahrenheit <=> Fahrenheit,
});
one_for_one!(views::ClockWord, checklist::ClockKind {
    WorkingTime <=> WorkingTime, Cure <=> Cure, GloveChange <=> GloveChange, Watch <=> Watch,
});
one_for_one!(views::ListWord, checklist::StationKind {
    OpenBench <=> OpenBench, HeatClearance <=> HeatClearance, CloseBench <=> CloseBench,
    Spill <=> Spill, Contact <=> Contact, NewProduct <=> NewProduct, MonthlyLook <=> MonthlyLook,
    Own <=> Own,
});
one_for_one!(views::ContainerWord, shop::ContainerState {
    ClosedAway <=> ClosedAway, ClosedHere <=> ClosedHere, Open <=> Open,
});

impl From<views::CauseWord> for shop::WithdrawalCause {
    fn from(word: views::CauseWord) -> Self {
        match word {
            views::CauseWord::AirflowStopped => Self::AirflowStopped,
            views::CauseWord::ReadingLost => Self::ReadingLost,
            views::CauseWord::WatcherLeft => Self::WatcherLeft,
            views::CauseWord::StoppedByHand => Self::StoppedByHand,
        }
    }
}

impl From<views::UnitsChoice> for Units {
    fn from(choice: views::UnitsChoice) -> Self {
        Self {
            diameters: choice.diameters.into(),
            distances: choice.distances.into(),
            masses: choice.masses.into(),
            liquids: choice.liquids.into(),
            temperatures: choice.temperatures.into(),
        }
    }
}

impl From<Units> for views::UnitsChoice {
    fn from(units: Units) -> Self {
        Self {
            diameters: units.diameters.into(),
            distances: units.distances.into(),
            masses: units.masses.into(),
            liquids: units.liquids.into(),
            temperatures: units.temperatures.into(),
        }
    }
}

impl From<views::ChangeDraft> for shop::NewChange {
    fn from(draft: views::ChangeDraft) -> Self {
        use views::ChangeDraft as Draft;
        let index = |row: u32| usize::try_from(row).unwrap_or(usize::MAX);
        match draft {
            Draft::Blank { length, joins } => Self::Blank { length, joins },
            Draft::Grip { to } => Self::Grip(to.into()),
            Draft::Diameter { row, from_butt, diameter } => {
                Self::Diameter { row: row.map(index), from_butt, diameter }
            }
            Draft::Layout { layout } => Self::Layout(Box::new((*layout).into())),
            Draft::Cut { tip, butt } => Self::Cut { tip, butt },
            Draft::Bore { part, butt, tip } => Self::Bore { part: index(part), butt, tip },
            Draft::Part { row, kind, description, from, to, diameter, thinnest } => Self::Part {
                row: row.map(index),
                kind: kind.into(),
                description,
                from,
                to,
                diameter,
                thinnest,
            },
        }
    }
}

impl From<views::LayoutDraft> for LayoutPlan {
    fn from(draft: views::LayoutDraft) -> Self {
        Self {
            wall: draft.wall,
            modulus: draft.modulus,
            weight: draft.weight,
            ferrule: draft.ferrule,
            test_hang: draft.test_hang,
            test_held: draft.test_held,
            marks: draft
                .marks
                .into_iter()
                .map(|mark| MarkPlan { from_butt: mark.from_butt, drop: mark.drop })
                .collect(),
            // Decided by what is kept.
            tested: None,
            hang: draft.hang,
            held: draft.held,
            reel_from_butt: draft.reel_from_butt,
            reel_height: draft.reel_height,
            tip_height: draft.tip_height,
            tip_mass: draft.tip_mass,
            guides: draft
                .guides
                .into_iter()
                .map(|guide| GuidePlan {
                    from_tip: guide.from_tip,
                    ring: guide.ring,
                    height: guide.height,
                    mass: guide.mass,
                    turned: guide.turned,
                })
                .collect(),
            spiral: match draft.spiral {
                views::SpiralWord::None => None,
                views::SpiralWord::Left => Some(Side::Left),
                views::SpiralWord::Right => Some(Side::Right),
            },
            least_clearance: draft.least_clearance,
        }
    }
}

impl From<&LayoutPlan> for views::LayoutDraft {
    fn from(plan: &LayoutPlan) -> Self {
        let plan = plan.clone();
        Self {
            wall: plan.wall,
            modulus: plan.modulus,
            weight: plan.weight,
            ferrule: plan.ferrule,
            test_hang: plan.test_hang,
            test_held: plan.test_held,
            marks: plan
                .marks
                .into_iter()
                .map(|mark| views::MarkDraft { from_butt: mark.from_butt, drop: mark.drop })
                .collect(),
            hang: plan.hang,
            held: plan.held,
            reel_from_butt: plan.reel_from_butt,
            reel_height: plan.reel_height,
            tip_height: plan.tip_height,
            tip_mass: plan.tip_mass,
            guides: plan
                .guides
                .into_iter()
                .map(|guide| views::GuideDraft {
                    from_tip: guide.from_tip,
                    ring: guide.ring,
                    height: guide.height,
                    mass: guide.mass,
                    turned: guide.turned,
                })
                .collect(),
            spiral: match plan.spiral {
                None => views::SpiralWord::None,
                Some(Side::Left) => views::SpiralWord::Left,
                Some(Side::Right) => views::SpiralWord::Right,
            },
            least_clearance: plan.least_clearance,
        }
    }
}

impl From<views::SpacingDraft> for SpacingAsked {
    fn from(draft: views::SpacingDraft) -> Self {
        Self { count: draft.count, first: draft.first, tip_gap: draft.tip_gap, spool: draft.spool }
    }
}

impl From<views::Place> for shop::StepPlace {
    fn from(place: views::Place) -> Self {
        Self {
            rod: shop::RodId::new(place.rod),
            stage: shop::StageId::new(place.stage),
            step: shop::StepId::new(place.step),
        }
    }
}

impl From<views::AnswerDraft> for shop::Answer {
    fn from(draft: views::AnswerDraft) -> Self {
        use views::AnswerDraft as Draft;
        match draft {
            Draft::Choice { state } => Self::Choice { state },
            Draft::Value { text } => Self::Value { text },
            Draft::MeasuredAirflow { speed, opening } => Self::MeasuredAirflow { speed, opening },
            Draft::Traverse { speeds, opening, free } => Self::Traverse { speeds, opening, free },
            Draft::FilteredFan { flow, share, filter } => Self::FilteredFan { flow, share, filter },
            Draft::RatedAirflow { flow, share } => Self::RatedAirflow { flow, share },
            Draft::Containers { states } => Self::Containers {
                states: states
                    .into_iter()
                    .map(|one| (shop::ContainerId::new(one.container), one.state.into()))
                    .collect(),
            },
            Draft::Distance { nearest, shielded } => Self::Distance { nearest, shielded },
            Draft::Watcher { person } => Self::Watcher { person: shop::PersonId::new(person) },
            Draft::NoMeter => Self::NoMeter,
        }
    }
}

/// A part in words, as a heading.
pub fn part_words(kind: shop::PartKind) -> &'static str {
    match kind {
        shop::PartKind::RearGrip => "Rear grip",
        shop::PartKind::Sleeve => "Sleeve",
        shop::PartKind::ReelSeat => "Reel seat",
        shop::PartKind::ForeGrip => "Fore grip",
        shop::PartKind::TrimRing => "Trim ring",
        shop::PartKind::ButtCap => "Butt cap",
        shop::PartKind::HookKeeper => "Hook keeper",
    }
}
