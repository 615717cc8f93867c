//! A clock that goes wrong: in doubt, no heat and no cure.

use crate::bench::{
    BENCH, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, pass, pin, place, refused, unlock,
};
use crate::walk::{answer, begin_list, clear, good_answers, prepare_step, walk_stage};
use chrono::TimeDelta;
use coldbench::{Clock, ShellError, Workshop};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    ClearanceId, Command, Moment, Refusal, StationId, StepPlace, WithdrawalCause,
};
use tempfile::TempDir;

fn set(shop: &mut Workshop, moment: Moment) {
    *shop.clock_mut() = Clock::Set(moment);
}

fn withdrawn(shop: &Workshop, id: &str) -> Option<WithdrawalCause> {
    shop.state().clearances[&ClearanceId::new(id)].withdrawn.map(|(_, cause)| cause)
}

fn sign() -> Command {
    Command::SignStep(place(ROD, SLEEVE, "shrink-middle"))
}

/// Cleared, the heat step all but signed.
fn cleared() -> (TempDir, Workshop) {
    let (folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    assert!(shop.would(sign()).is_ok());
    (folder, shop)
}

#[test]
fn set_back_it_ends_the_clearance_until_it_is_right_and_cleared_anew() {
    let (_folder, mut shop) = cleared();
    let right = shop.now();
    let events = shop.events();
    set(&mut shop, right - TimeDelta::hours(1));
    // Nobody presses anything: a look at the window is enough, and it is noted once.
    shop.look_around().unwrap();
    shop.look_around().unwrap();
    assert_eq!(shop.events(), events + 2);
    assert_eq!(withdrawn(&shop, "C-1"), Some(WithdrawalCause::ClockWentBack));
    let Refusal::NoClearance { missing, .. } = refused(&mut shop, sign()) else { panic!() };
    assert!(missing.join(" ").contains("Put it right; then clear the station anew."));
    // No new clearance while the clock is wrong, however well the checks are answered.
    let begin = begin_list(&shop, StationKind::HeatClearance, BENCH);
    act(&mut shop, begin);
    for (check, given) in good_answers(&shop, BENCH, "140 °C") {
        act(&mut shop, answer(BENCH, check, given));
    }
    let complete = Command::CompleteList { station: StationId::new(BENCH) };
    let Refusal::ListIncomplete { missing } = refused(&mut shop, complete.clone()) else {
        panic!()
    };
    assert!(missing.join(" ").contains("The clock shows an earlier time than before."));
    // Right again: the old clearance stays ended, the answers are an hour old.
    set(&mut shop, right + TimeDelta::minutes(1));
    assert!(matches!(refused(&mut shop, sign()), Refusal::NoClearance { .. }));
    assert!(matches!(refused(&mut shop, complete), Refusal::ListIncomplete { .. }));
    clear(&mut shop, BENCH);
    shop.act_now(&pin(LEAD_PIN), sign()).unwrap();
    shop.verify(&[]).unwrap();
}

/// Closed and opened again with a wrong clock: the same.
#[test]
fn set_back_while_it_was_closed() {
    let (folder, shop) = cleared();
    let right = shop.now();
    drop(shop);
    let wrong = right - TimeDelta::days(365);
    let mut shop = Workshop::open(folder.path(), Clock::Set(wrong)).unwrap();
    unlock(&mut shop, LEAD, LEAD_PIN);
    shop.look_around().unwrap();
    assert_eq!(withdrawn(&shop, "C-1"), Some(WithdrawalCause::ClockWentBack));
    assert!(matches!(refused(&mut shop, sign()), Refusal::NoClearance { .. }));
    set(&mut shop, right);
    assert!(matches!(refused(&mut shop, sign()), Refusal::NoClearance { .. }));
}

/// Put right to within a second of where it was, and cleared in that second: what is granted
/// then is ended by the next time the clock goes back, like any other.
#[test]
fn set_back_twice_it_ends_both() {
    let (_folder, mut shop) = cleared();
    let right = shop.now();
    set(&mut shop, right - TimeDelta::hours(1));
    shop.look_around().unwrap();
    set(&mut shop, right - TimeDelta::seconds(1));
    let begin = begin_list(&shop, StationKind::HeatClearance, BENCH);
    shop.act(begin).unwrap();
    for (check, given) in good_answers(&shop, BENCH, "140 °C") {
        shop.act(answer(BENCH, check, given)).unwrap();
    }
    let complete = Command::CompleteList { station: StationId::new(BENCH) };
    shop.act_now(&pin(LEAD_PIN), complete).unwrap();
    assert!(shop.would(sign()).is_ok());
    set(&mut shop, right - TimeDelta::hours(1));
    shop.look_around().unwrap();
    set(&mut shop, right + TimeDelta::seconds(1));
    assert_eq!(withdrawn(&shop, "C-2"), Some(WithdrawalCause::ClockWentBack));
}

/// A watch after heat, like a cure, is not over because the clock can't be trusted.
#[test]
fn a_wait_is_not_over_while_the_clock_is_behind() {
    let (_folder, mut shop) = cleared();
    shop.act_now(&pin(LEAD_PIN), sign()).unwrap();
    walk_stage(&mut shop, ROD, SLEEVE, Some("watch-end"));
    let end = prepare_step(&mut shop, ROD, SLEEVE);
    pass(&mut shop, TimeDelta::minutes(70));
    act(&mut shop, crate::bench::add_corner("Rack"));
    assert!(shop.would(Command::SignStep(end.clone())).is_ok());
    pass(&mut shop, TimeDelta::seconds(-10));
    assert!(matches!(refused_now(&mut shop, end.clone()), Refusal::ClockRunning { .. }));
    pass(&mut shop, TimeDelta::seconds(11));
    shop.act(Command::SignStep(end)).unwrap();
}

/// The clock is noted first, so events grow though the command is refused.
fn refused_now(shop: &mut Workshop, at: StepPlace) -> Refusal {
    match shop.act(Command::SignStep(at)) {
        Err(ShellError::Refused(refusal)) => refusal,
        other => panic!("not refused: {other:?}"),
    }
}
