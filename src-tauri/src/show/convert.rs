//! The words that cross, and the domain's own, one for one.

use crate::views;
use coldbench_shop as shop;
use coldbench_shop::checklist;
use coldbench_trade::LengthUnit;

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
});
one_for_one!(views::ClockWord, checklist::ClockKind {
    WorkingTime <=> WorkingTime, Cure <=> Cure, GloveChange <=> GloveChange, Watch <=> Watch,
});
one_for_one!(views::ListWord, checklist::StationKind {
    OpenBench <=> OpenBench, HeatClearance <=> HeatClearance,
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

/// A part in words.
pub fn part_words(kind: shop::PartKind) -> &'static str {
    match kind {
        shop::PartKind::RearGrip => "Rear grip",
        shop::PartKind::Sleeve => "Sleeve",
        shop::PartKind::ReelSeat => "Reel seat",
        shop::PartKind::ForeGrip => "Fore grip",
    }
}
