//! The lists of a station beside opening it and clearing it for heat: closing, a spill, a splash, a new
//! product, the monthly look.

use crate::bench::{
    BENCH, CAN, HELPER, HELPER_PIN, LEAD, LEAD_PIN, act, at_heat_step, founded, pass, refused,
    unlock,
};
use crate::walk::{answer, begin_list, clear, open_bench, value};
use chrono::TimeDelta;
use coldbench::{Workshop, desk};
use coldbench_shop::checklist::{AnswerKind, StationKind};
use coldbench_shop::{
    Answer, ClearanceId, Command, ContainerId, Refusal, StationId, Vapour, WithdrawalCause, vapour,
};

fn at(station: &str) -> StationId {
    StationId::new(station)
}

/// Answers every check of the list in hand with what passes.
fn answer_all(shop: &mut Workshop, station: &str) {
    let state = shop.state();
    let in_hand = state.stations[&at(station)].in_hand.as_ref().unwrap();
    let list = state.list_text(&in_hand.digest).unwrap().clone();
    for check in &list.checks {
        let good = match &check.answer {
            AnswerKind::Choice { pass, .. } => Answer::Choice { state: pass[0].clone() },
            AnswerKind::Value { measure, least, most, .. } => {
                let middle = match (least, most) {
                    (Some(least), Some(most)) => f64::midpoint(*least, *most),
                    (Some(least), None) => *least,
                    (None, most) => most.unwrap(),
                };
                value(&format!("{middle} {}", measure.unit()))
            }
            other => panic!("{other:?} is no answer of this list"),
        };
        act(shop, answer(station, check.id.as_str(), good));
    }
}

fn complete(shop: &mut Workshop, station: &str) {
    act(shop, Command::CompleteList { station: at(station) });
}

fn cause(shop: &Workshop) -> Option<WithdrawalCause> {
    shop.state().clearances[&ClearanceId::new("C-1")].withdrawn.map(|(_, cause)| cause)
}

/// What is known about vapour at the bench, by the bounds of the clearance.
fn known(shop: &Workshop) -> Vapour {
    let list = shop.library().list(StationKind::HeatClearance).unwrap();
    let limits = list.list.limits.as_ref().unwrap();
    vapour(shop.state(), &at(BENCH), limits, None, shop.now())
}

#[test]
fn every_list_that_comes_along_can_be_gone_through() {
    let (_folder, mut shop) = founded();
    for kind in [
        StationKind::Spill,
        StationKind::Contact,
        StationKind::NewProduct,
        StationKind::MonthlyLook,
        StationKind::CloseBench,
    ] {
        let begin = begin_list(&shop, kind, BENCH);
        act(&mut shop, begin);
        let early = refused(&mut shop, Command::CompleteList { station: at(BENCH) });
        assert!(
            matches!(early, Refusal::ListIncomplete { .. } | Refusal::NotClosed { .. }),
            "{kind:?}: {early}"
        );
        answer_all(&mut shop, BENCH);
        complete(&mut shop, BENCH);
        let station = &shop.state().stations[&at(BENCH)];
        assert!(station.in_hand.is_none(), "{kind:?}");
        assert!(station.open_until.is_none(), "{kind:?} opens no bench");
        let id = shop.library().list(kind).unwrap().list.id.clone();
        assert!(shop.state().stations[&at(BENCH)].lists_done.contains_key(&id), "{kind:?}");
    }
    assert!(shop.verify(&[]).is_ok());
}

/// A spill ends what was cleared at once, and heat waits until somebody says how much
/// it was.
#[test]
fn a_spill_ends_every_clearance_and_nothing_is_known_after_it() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    unlock(&mut shop, HELPER, HELPER_PIN);
    let begin = begin_list(&shop, StationKind::Spill, BENCH);
    act(&mut shop, begin);
    assert_eq!(cause(&shop), Some(WithdrawalCause::FlammableReleased));
    assert!(matches!(known(&shop), Vapour::NoData { .. }), "{:?}", known(&shop));
    answer_all(&mut shop, BENCH);
    complete(&mut shop, BENCH);
    assert!(
        matches!(known(&shop), Vapour::NoData { .. }),
        "the list alone says nothing of the air"
    );
    unlock(&mut shop, LEAD, LEAD_PIN);
    let material = Box::new(shop.library().material("isopropyl-alcohol").unwrap().clone());
    act(
        &mut shop,
        Command::RecordRelease {
            station: at(BENCH),
            material,
            amount: "40 mL".to_owned(),
            purpose: "Spilt".to_owned(),
        },
    );
    assert!(matches!(known(&shop), Vapour::Estimate { .. }), "{:?}", known(&shop));
}

/// Both have to be gone through: the splash comes first, then the spill goes on where it was.
#[test]
fn a_splash_in_the_middle_of_a_spill_loses_no_answer() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    let begin = begin_list(&shop, StationKind::Contact, BENCH);
    act(&mut shop, begin);
    assert_eq!(cause(&shop), Some(WithdrawalCause::StoppedByHand));
    answer_all(&mut shop, BENCH);
    complete(&mut shop, BENCH);

    let begin = begin_list(&shop, StationKind::Spill, BENCH);
    act(&mut shop, begin);
    let first =
        answer(BENCH, "people", Answer::Choice { state: "all outdoors, counted".to_owned() });
    act(&mut shop, first);
    let begin = begin_list(&shop, StationKind::Contact, BENCH);
    act(&mut shop, begin);
    let station = |shop: &Workshop| shop.state().stations[&at(BENCH)].clone();
    assert_eq!(station(&shop).set_aside.len(), 1);
    answer_all(&mut shop, BENCH);
    complete(&mut shop, BENCH);
    let spill = station(&shop).in_hand.unwrap();
    assert!(station(&shop).set_aside.is_empty());
    assert_eq!(spill.answers.len(), 1, "the spill goes on where it was");
}

#[test]
fn the_bench_is_not_closed_over_an_open_can() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    act(&mut shop, Command::OpenContainer { container: ContainerId::new(CAN) });
    let begin = begin_list(&shop, StationKind::CloseBench, BENCH);
    act(&mut shop, begin);
    answer_all(&mut shop, BENCH);
    let refusal = refused(&mut shop, Command::CompleteList { station: at(BENCH) });
    assert!(matches!(&refusal, Refusal::NotClosed { missing } if missing[0].contains("open")));
    act(&mut shop, Command::CloseContainer { container: ContainerId::new(CAN) });
    complete(&mut shop, BENCH);
    assert!(shop.state().stations[&at(BENCH)].open_until.is_none());
}

#[test]
fn the_monthly_look_comes_round() {
    let (_folder, mut shop) = founded();
    let line = |shop: &Workshop| {
        let view = coldbench::station(shop, &at(BENCH)).unwrap();
        view.lists.into_iter().find(|line| line.id == "monthly-look").unwrap()
    };
    assert!(line(&shop).due && line(&shop).words.contains("Never"), "{}", line(&shop).words);
    let begin = begin_list(&shop, StationKind::MonthlyLook, BENCH);
    act(&mut shop, begin);
    answer_all(&mut shop, BENCH);
    complete(&mut shop, BENCH);
    assert!(!line(&shop).due, "{}", line(&shop).words);
    pass(&mut shop, TimeDelta::days(30));
    assert!(!line(&shop).due, "{}", line(&shop).words);
    pass(&mut shop, TimeDelta::days(1));
    assert!(line(&shop).due && line(&shop).words.contains("due since"), "{}", line(&shop).words);
    // Others have no such date.
    let view = coldbench::station(&shop, &at(BENCH)).unwrap();
    assert!(view.lists.iter().filter(|line| line.due).all(|line| line.id == "monthly-look"));
    drop(desk(&shop));
}
