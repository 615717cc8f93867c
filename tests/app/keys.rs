//! Keys and their rights: renewed, ended, locked, asked for again.

use crate::bench::{
    HELPER, HELPER_PIN, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, founded, pin, place,
    refused, unlock,
};
use crate::walk::{clear, prepare_step};
use chrono::TimeDelta;
use coldbench::{ShellError, Workshop};
use coldbench_shop::{Command, PersonId, Refusal};

fn renew(
    shop: &mut Workshop,
    whose: &str,
    new: &str,
    by: &str,
    with: &str,
) -> Result<(), ShellError> {
    shop.renew_key(&PersonId::new(whose), &pin(new), &PersonId::new(by), &pin(with))
}

#[test]
fn a_forgotten_pin_is_a_new_key_with_a_leads_word() {
    let (_folder, mut shop) = founded();
    let error = renew(&mut shop, LEAD, "1111", HELPER, HELPER_PIN).unwrap_err();
    assert_eq!(error.code(), "lead-only", "{error}");
    let error = renew(&mut shop, HELPER, "1111", LEAD, "0000").unwrap_err();
    assert_eq!(error.code(), "wrong-pin", "{error}");
    let error = renew(&mut shop, HELPER, "111", LEAD, LEAD_PIN).unwrap_err();
    assert!(error.to_string().contains("at least 4"), "{error}");
    let before = shop.events();
    renew(&mut shop, HELPER, "8642", LEAD, LEAD_PIN).unwrap();
    assert_eq!(shop.events(), before + 2, "the key and the word of the lead");
    assert!(shop.unlock(&PersonId::new(HELPER), &pin(HELPER_PIN)).is_err());
    shop.unlock(&PersonId::new(HELPER), &pin("8642")).unwrap();
    shop.verify(&[]).unwrap();
    // A lead may vouch for others after a renewal of their own as before.
    renew(&mut shop, LEAD, "9753", LEAD, LEAD_PIN).unwrap();
    renew(&mut shop, HELPER, "1357", LEAD, "9753").unwrap();
    shop.verify(&[]).unwrap();
}

#[test]
fn a_renewed_key_that_was_unlocked_is_locked() {
    let (_folder, mut shop) = founded();
    renew(&mut shop, LEAD, "9753", LEAD, LEAD_PIN).unwrap();
    assert_eq!(shop.active(), None);
    unlock(&mut shop, HELPER, HELPER_PIN);
    renew(&mut shop, HELPER, "8642", HELPER, HELPER_PIN).unwrap();
    assert_eq!(shop.active(), None, "a helper may change their own");
}

#[test]
fn who_leaves_signs_no_more_and_what_they_signed_holds() {
    let (_folder, mut shop) = founded();
    let leaves = Command::PersonLeaves { person: PersonId::new(HELPER) };
    act(&mut shop, leaves);
    let error = shop.unlock(&PersonId::new(HELPER), &pin(HELPER_PIN)).unwrap_err();
    assert!(error.to_string().contains("no longer of the crew"), "{error}");
    let once =
        shop.act_once(&PersonId::new(HELPER), &pin(HELPER_PIN), crate::bench::add_corner("Rack"));
    assert!(once.unwrap_err().to_string().contains("has no key here"));
    assert!(renew(&mut shop, HELPER, "8642", LEAD, LEAD_PIN).is_err());
    shop.verify(&[]).unwrap();
}

#[test]
fn a_hold_point_asks_for_the_pin_with_it() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, crate::bench::BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    let sign = || Command::SignStep(at.clone());
    assert_eq!(refused(&mut shop, sign()), Refusal::PinAgain);
    let error = shop.act_now(&pin("0000"), sign()).unwrap_err();
    assert_eq!(error.code(), "wrong-pin", "{error}");
    assert_eq!(shop.active(), Some(PersonId::new(LEAD)), "a slip does not lock");
    crate::bench::pass(&mut shop, TimeDelta::seconds(1));
    shop.act_now(&pin(LEAD_PIN), sign()).unwrap();
    // What else is missing is said before the PIN is asked for.
    let next = Command::SignStep(place(ROD, SLEEVE, "shrink-ends"));
    assert_eq!(refused(&mut shop, next), Refusal::CautionNotRead);
}

#[test]
fn a_key_is_unlocked_for_a_stage() {
    let (_folder, mut shop) = founded();
    crate::walk::open_bench(&mut shop, crate::bench::BENCH);
    crate::walk::begin_rod(&mut shop, coldbench_shop::GripMaterial::Cork);
    crate::walk::walk_stage(&mut shop, ROD, "spine", Some("mark"));
    let last = prepare_step(&mut shop, ROD, "spine");
    assert!(shop.active().is_some());
    shop.act(Command::SignStep(last)).unwrap();
    assert_eq!(shop.active(), None);
    assert!(matches!(shop.act(crate::bench::add_corner("Rack")), Err(ShellError::Locked)));
}
