//! What else ends a clearance: people, things that arrive, the clock, the hand.

use crate::bench::{
    BENCH, HELPER, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, pass, pin, place, refused,
};
use crate::walk::{clear, prepare_step};
use chrono::TimeDelta;
use coldbench::{ShellError, Workshop};
use coldbench_shop::{ClearanceId, Command, Event, PersonId, Refusal, StationId, WithdrawalCause};

fn sign() -> Command {
    Command::SignStep(place(ROD, SLEEVE, "shrink-middle"))
}

/// Cleared, and all but signed.
fn cleared() -> (tempfile::TempDir, Workshop) {
    let (folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    assert!(shop.would(sign()).is_ok());
    (folder, shop)
}

fn no_heat(shop: &mut Workshop) {
    let refusal = refused(shop, sign());
    assert!(matches!(refusal, Refusal::NoClearance { .. }), "{refusal}");
}

#[test]
fn by_hand() {
    let (_folder, mut shop) = cleared();
    let stop = Command::Withdraw {
        clearance: ClearanceId::new("C-1"),
        cause: WithdrawalCause::AirflowStopped,
    };
    act(&mut shop, stop.clone());
    no_heat(&mut shop);
    assert_eq!(refused(&mut shop, stop), Refusal::ClearanceOver);
}

/// Cleared twice, stopped once: stopped is stopped.
#[test]
fn by_hand_whichever_is_named() {
    let (_folder, mut shop) = cleared();
    clear(&mut shop, BENCH);
    let clearance = ClearanceId::new("C-2");
    act(&mut shop, Command::Withdraw { clearance, cause: WithdrawalCause::AirflowStopped });
    no_heat(&mut shop);
}

#[test]
fn when_the_watcher_leaves_the_crew() {
    let (_folder, mut shop) = cleared();
    act(&mut shop, Command::PersonLeaves { person: PersonId::new(HELPER) });
    no_heat(&mut shop);
}

/// Nobody answered for a can that came after the clearance, and it may light at less heat.
#[test]
fn when_another_container_arrives() {
    let (_folder, mut shop) = cleared();
    act(
        &mut shop,
        Command::ListContainer {
            station: StationId::new(BENCH),
            name: "A can nobody looked at".to_owned(),
            autoignition: String::new(),
            material: None,
        },
    );
    no_heat(&mut shop);
}

#[test]
fn when_the_clock_goes_back() {
    let (_folder, mut shop) = cleared();
    let before = shop.now();
    pass(&mut shop, TimeDelta::minutes(-5));
    // The very command that comes too late notes the clock, ends the clearance, and is refused.
    let events = shop.events();
    let Err(ShellError::Refused(refusal)) = shop.act(sign()) else { panic!("signed") };
    assert!(matches!(refusal, Refusal::NoClearance { .. }), "{refusal}");
    assert_eq!(shop.events(), events + 2);
    let (_, cause) = shop.state().clearances[&ClearanceId::new("C-1")].withdrawn.unwrap();
    assert_eq!(cause, WithdrawalCause::ClockWentBack);
    // Once it is right again, the clearance stays taken back.
    let ahead = before + TimeDelta::seconds(5) - shop.now();
    pass(&mut shop, ahead);
    no_heat(&mut shop);
}

/// A clock put right by a second or two is no clock that runs backwards.
#[test]
fn not_when_the_clock_is_put_right_by_a_second() {
    let (_folder, mut shop) = cleared();
    pass(&mut shop, TimeDelta::seconds(-1));
    let events = act_now(&mut shop, sign());
    assert!(matches!(events.as_slice(), [Event::StepDone { .. }]), "{events:?}");
}

fn act_now(shop: &mut Workshop, command: Command) -> Vec<Event> {
    shop.act_now(&pin(LEAD_PIN), command).unwrap()
}
