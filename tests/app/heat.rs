//! Heat: no heat step without a clearance that holds, whoever asks and however.

use crate::bench::{
    BENCH, CAN, CORNER, HELPER, HELPER_PIN, LEAD, LEAD_PIN, OTHER_CAN, ROD, SLEEVE, act,
    at_heat_step, founded, pass, pin, place, refused, unlock,
};
use crate::walk::{
    answer, answer_clearance, begin_rod, clear, clear_watched, good_answers, open_bench,
    prepare_step, step_at, value, walk_stage,
};
use chrono::TimeDelta;
use coldbench::views::{PaperWord, Printable};
use coldbench::{ShellError, Taken, Workshop};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Answer, ClearanceId, Command, ContainerId, GripMaterial, NewChange, PartKind, PersonId,
    Refusal, RodId, StageId, StationId, StepId, WithdrawalCause,
};

fn bench() -> StationId {
    StationId::new(BENCH)
}

fn sign() -> Command {
    Command::SignStep(place(ROD, SLEEVE, "shrink-middle"))
}

fn complete() -> Command {
    Command::CompleteList { station: bench() }
}

fn can(id: &str) -> ContainerId {
    ContainerId::new(id)
}

/// The sentences of a refused heat step.
fn no_clearance(shop: &mut Workshop, command: Command) -> String {
    match refused(shop, command) {
        Refusal::NoClearance { missing, .. } => missing.join(" "),
        other => panic!("refused for another reason: {other}"),
    }
}

/// The sentences of a refused end of a list.
fn incomplete(shop: &mut Workshop) -> String {
    match refused(shop, complete()) {
        Refusal::ListIncomplete { missing } => missing.join(" "),
        other => panic!("refused for another reason: {other}"),
    }
}

fn cause(shop: &Workshop, clearance: &str) -> Option<WithdrawalCause> {
    shop.state().clearances[&ClearanceId::new(clearance)].withdrawn.map(|(_, cause)| cause)
}

fn is_live(shop: &Workshop) -> bool {
    shop.state().live_clearance(&bench(), shop.now()).is_some()
}

#[test]
fn nothing_at_a_heat_step_goes_without_a_clearance() {
    let (_folder, mut shop) = at_heat_step();
    let at = place(ROD, SLEEVE, "shrink-middle");
    for command in [
        Command::UnderstandCaution(at.clone()),
        Command::MeasureValue { at: at.clone(), text: "140 °C".to_owned() },
        Command::AcceptValue { at: at.clone(), reason: "none".to_owned() },
        Command::SignStep(at.clone()),
    ] {
        assert!(no_clearance(&mut shop, command).contains("No clearance has been given here."));
    }
    // One that holds at another station is none for this one.
    clear(&mut shop, CORNER);
    assert!(no_clearance(&mut shop, sign()).contains("No clearance has been given here."));
    clear(&mut shop, BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at));
    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new(SLEEVE)).unwrap();
    let used = run.steps[&StepId::new("shrink-middle")].clearance.as_ref();
    assert_eq!(used, Some(&ClearanceId::new("C-2")));
    assert_eq!(step_at(&shop, ROD, SLEEVE).unwrap().id.as_str(), "shrink-ends");
}

#[test]
fn it_lapses_to_the_second() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    let until = shop.state().clearances[&ClearanceId::new("C-1")].until;
    let granted = shop.state().clearances[&ClearanceId::new("C-1")].granted;
    assert_eq!(until - granted, TimeDelta::minutes(30));
    let left = until - shop.now();
    pass(&mut shop, left - TimeDelta::milliseconds(1));
    assert!(shop.would(sign()).is_ok());
    pass(&mut shop, TimeDelta::milliseconds(1));
    assert!(no_clearance(&mut shop, sign()).contains("has lapsed"));
    // It does not come back when the clock does.
    pass(&mut shop, TimeDelta::seconds(-1));
    act(&mut shop, crate::bench::add_corner("Rack"));
    pass(&mut shop, TimeDelta::minutes(1));
    assert!(no_clearance(&mut shop, sign()).contains("Clear the station anew."));
}

#[test]
fn an_opened_container_takes_it_back() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::OpenContainer { container: can(OTHER_CAN) });
    assert!(is_live(&shop), "a can at another station took the clearance back");
    act(&mut shop, Command::OpenContainer { container: can(CAN) });
    assert_eq!(cause(&shop, "C-1"), Some(WithdrawalCause::FlammableReleased));
    assert!(no_clearance(&mut shop, sign()).contains("withdrawn"));
    act(&mut shop, Command::CloseContainer { container: can(CAN) });
    assert!(no_clearance(&mut shop, sign()).contains("withdrawn"));
}

/// Clearing twice leaves two that hold; what ends one has to end the other.
#[test]
fn an_opened_container_takes_back_every_clearance() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::OpenContainer { container: can(CAN) });
    act(&mut shop, Command::CloseContainer { container: can(CAN) });
    assert!(!is_live(&shop), "a second clearance outlived the open can");
    no_clearance(&mut shop, sign());
}

#[test]
fn a_flammable_step_takes_it_back() {
    let (_folder, mut shop) = at_heat_step();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, "R-2", "spine", None);
    walk_stage(&mut shop, "R-2", "rear-grip", Some("wipe"));
    clear(&mut shop, BENCH);
    prepare_step(&mut shop, ROD, SLEEVE);
    assert!(shop.would(sign()).is_ok());
    act(&mut shop, Command::UnderstandCaution(place("R-2", "rear-grip", "wipe")));
    assert_eq!(cause(&shop, "C-1"), Some(WithdrawalCause::FlammableReleased));
    assert!(no_clearance(&mut shop, sign()).contains("withdrawn"));
}

/// The caution was read, then the station was cleared by a meter, then the wiping was done.
#[test]
fn a_flammable_step_that_is_signed_takes_it_back() {
    let (_folder, mut shop) = at_heat_step();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, "R-2", "spine", None);
    walk_stage(&mut shop, "R-2", "rear-grip", Some("wipe"));
    let wipe = prepare_step(&mut shop, "R-2", "rear-grip");
    let mut answers = good_answers(&shop, BENCH, "140 °C");
    answers.insert("vapour", value("1 %"));
    answer_clearance(&mut shop, BENCH, answers);
    act(&mut shop, complete());
    prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(wipe));
    assert!(!is_live(&shop), "alcohol was used and heat still goes");
    no_clearance(&mut shop, sign());
}

#[test]
fn stale_answers_clear_nothing() {
    let (_folder, mut shop) = at_heat_step();
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    pass(&mut shop, TimeDelta::minutes(16));
    let words = incomplete(&mut shop);
    assert_eq!(words.matches("look again").count(), 9, "{words}");
    for (check, given) in good_answers(&shop, BENCH, "140 °C") {
        act(&mut shop, answer(BENCH, check, given));
    }
    act(&mut shop, complete());
    assert!(is_live(&shop));
}

#[test]
fn every_check_has_to_hold() {
    let (_folder, mut shop) = at_heat_step();
    let weak = Answer::RatedAirflow { flow: "400 m3/h".to_owned(), share: "60".to_owned() };
    let near = Answer::Distance { nearest: "3 m".to_owned(), shielded: false };
    let here = coldbench_shop::ContainerState::ClosedHere;
    let closed_here = Answer::Containers { states: [(can(CAN), here)].into() };
    for (check, bad) in [
        ("airflow", weak),
        ("flammables", closed_here),
        ("rags", crate::walk::choice("lying out")),
        ("wet-work", crate::walk::choice("wet epoxy")),
        ("vapour", value("11 %")),
        ("distance", near),
        // 80 % of 399 °C is 319 °C.
        ("gun", value("320 °C")),
        ("extinguisher", crate::walk::choice("none here")),
    ] {
        let mut answers = good_answers(&shop, BENCH, "140 °C");
        answers.insert(check, bad);
        answer_clearance(&mut shop, BENCH, answers);
        let asked = shop.library().list(StationKind::HeatClearance).unwrap();
        let asked = asked.list.check(&StepId::new(check)).unwrap().ask.clone();
        let words = incomplete(&mut shop);
        assert!(words.starts_with(&asked), "{check}: {words}");
    }
    for left_out in good_answers(&shop, BENCH, "140 °C").into_keys() {
        let mut answers = good_answers(&shop, BENCH, "140 °C");
        answers.remove(left_out);
        answer_clearance(&mut shop, BENCH, answers);
        assert!(incomplete(&mut shop).contains("Not answered:"), "{left_out}");
    }
    assert!(shop.state().clearances.is_empty());
}

/// What was true when it was said is looked at again when the clearance is asked for.
#[test]
fn an_answer_that_is_no_longer_true_clears_nothing() {
    let (_folder, mut shop) = at_heat_step();
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    act(&mut shop, Command::OpenContainer { container: can(CAN) });
    let words = incomplete(&mut shop);
    assert!(words.contains("recorded as open"), "{words}");
    assert!(words.contains("No data about vapour"), "{words}");
}

#[test]
fn without_a_meter_a_release_is_remembered_for_a_day() {
    let (_folder, mut shop) = at_heat_step();
    act(&mut shop, Command::OpenContainer { container: can(CAN) });
    act(&mut shop, Command::CloseContainer { container: can(CAN) });
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    assert!(incomplete(&mut shop).contains("No data about vapour"));
    // A meter knows; one read before the can was opened does not.
    act(&mut shop, answer(BENCH, "vapour", value("2 %")));
    assert!(shop.would(complete()).is_ok());
    act(&mut shop, Command::OpenContainer { container: can(CAN) });
    act(&mut shop, Command::CloseContainer { container: can(CAN) });
    let released = shop.now();
    assert!(incomplete(&mut shop).contains("after the meter was read"));
    pass(&mut shop, TimeDelta::hours(24) - TimeDelta::minutes(2));
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    assert!(incomplete(&mut shop).contains("Nobody has set down how much was used"));
    let left = released + TimeDelta::hours(24) - shop.now();
    assert!(left > TimeDelta::zero());
    pass(&mut shop, left);
    shop.act_now(&pin(LEAD_PIN), complete()).unwrap();
    assert!(is_live(&shop));
}

#[test]
fn the_gun_keeps_the_limit_of_the_step() {
    let (_folder, mut shop) = at_heat_step();
    let answers = good_answers(&shop, BENCH, "146 °C");
    answer_clearance(&mut shop, BENCH, answers);
    act(&mut shop, complete());
    let words = no_clearance(&mut shop, sign());
    assert!(words.contains("146 °C") && words.contains("145 °C"), "{words}");
}

/// The last word on the gun is the one that holds, whichever clearance still runs.
#[test]
fn the_newest_clearance_counts() {
    let (_folder, mut shop) = at_heat_step();
    let clear_with = |shop: &mut Workshop, gun: &str| {
        let answers = good_answers(shop, BENCH, gun);
        answer_clearance(shop, BENCH, answers);
        act(shop, complete());
    };
    clear_with(&mut shop, "151 °C");
    no_clearance(&mut shop, sign());
    // Turned down and cleared anew, as the refusal says.
    clear_with(&mut shop, "140 °C");
    prepare_step(&mut shop, ROD, SLEEVE);
    assert!(shop.would(sign()).is_ok(), "cleared anew with a cooler gun, and still refused");
    // Turned up again: the cooler clearance is no cover for it.
    clear_with(&mut shop, "200 °C");
    let words = no_clearance(&mut shop, sign());
    assert!(words.contains("200 °C"), "{words}");
}

/// A helper may look and answer; the word is a lead's.
#[test]
fn a_lead_gives_the_clearance() {
    let (_folder, mut shop) = at_heat_step();
    unlock(&mut shop, HELPER, HELPER_PIN);
    let mut answers = good_answers(&shop, BENCH, "140 °C");
    answers.insert("watcher", Answer::Watcher { person: PersonId::new(LEAD) });
    answer_clearance(&mut shop, BENCH, answers);
    assert!(matches!(refused(&mut shop, complete()), Refusal::LeadOnly { .. }));
    let lead = PersonId::new(LEAD);
    shop.act_once(&lead, &pin(LEAD_PIN), complete()).unwrap();
    let given = &shop.state().clearances[&ClearanceId::new("C-1")];
    assert_eq!((given.by.as_ref(), given.watcher.as_str()), (Some(&lead), LEAD));
    // The heat step of a helper is done under it, and witnessed.
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at.clone()));
    let wait = place(ROD, SLEEVE, "shrink-ends");
    assert_eq!(refused(&mut shop, Command::UnderstandCaution(wait)), Refusal::AwaitsWitness);
    shop.act_once(&lead, &pin(LEAD_PIN), Command::WitnessStep(at)).unwrap();
    assert_eq!(step_at(&shop, ROD, SLEEVE).unwrap().id.as_str(), "shrink-ends");
}

/// Whoever watches, a helper has a lead beside them when the gun is on.
#[test]
fn a_helper_never_uses_heat_alone() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    let at = place(ROD, SLEEVE, "shrink-middle");
    unlock(&mut shop, HELPER, HELPER_PIN);
    let alone = refused(&mut shop, Command::UnderstandCaution(at.clone()));
    assert!(matches!(&alone, Refusal::HeatAlone { watcher } if watcher == "Kai Probe"), "{alone}");
    assert!(matches!(refused(&mut shop, sign()), Refusal::HeatAlone { .. }));
    // The lead may, and the caution the lead read opens nothing for the helper.
    unlock(&mut shop, LEAD, LEAD_PIN);
    act(&mut shop, Command::UnderstandCaution(at.clone()));
    unlock(&mut shop, HELPER, HELPER_PIN);
    assert!(matches!(refused(&mut shop, sign()), Refusal::HeatAlone { .. }));
    unlock(&mut shop, LEAD, LEAD_PIN);
    clear_watched(&mut shop, BENCH, LEAD);
    unlock(&mut shop, HELPER, HELPER_PIN);
    act(&mut shop, Command::UnderstandCaution(at));
}

/// What core and resin bear, and how hot the gun is, is no matter of judgement: a lead can't wave it
/// through either.
#[test]
fn no_lead_accepts_what_heat_would_go_beyond() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Composite);
    for stage in ["spine", "rear-grip"] {
        walk_stage(&mut shop, ROD, stage, None);
        unlock(&mut shop, LEAD, LEAD_PIN);
        open_bench(&mut shop, BENCH);
    }
    walk_stage(&mut shop, ROD, SLEEVE, Some("beneath"));
    let at = place(ROD, SLEEVE, "beneath");
    let step = step_at(&shop, ROD, SLEEVE).unwrap();
    if step.caution.is_some() {
        act(&mut shop, Command::UnderstandCaution(at.clone()));
    }
    act(&mut shop, Command::MeasureValue { at: at.clone(), text: "60 °C".to_owned() });
    let accept = Command::AcceptValue { at, reason: "It held last time.".to_owned() };
    let lead = PersonId::new(LEAD);
    let refused = shop.act_once(&lead, &pin(LEAD_PIN), accept);
    let Err(ShellError::Refused(refusal)) = refused else { panic!("{refused:?}") };
    assert!(matches!(refusal, Refusal::NotBeforeHeat { .. }), "{refusal}");
    assert!(refusal.to_string().contains("no heat"), "{refusal}");
}

/// What waits for a watch after heat is not said to cure.
#[test]
fn a_watched_sleeve_is_not_said_to_cure() {
    let (_folder, mut shop) = at_heat_step();
    let sleeve = NewChange::Part {
        row: None,
        kind: PartKind::Sleeve,
        description: String::new(),
        from: "0 mm".to_owned(),
        to: "300 mm".to_owned(),
        diameter: "26 mm".to_owned(),
        thinnest: String::new(),
    };
    let rod = RodId::new(ROD);
    let add = Command::ReviseRod { rod, change: sleeve, reason: String::new(), sure: true };
    act(&mut shop, add);
    clear(&mut shop, BENCH);
    walk_stage(&mut shop, ROD, SLEEVE, Some("watch-end"));
    let what = Printable::BuildLog { rod: ROD.to_owned() };
    let pages = Taken::of(&shop, &what, PaperWord::A4).unwrap().preview().unwrap().concat();
    // Once in the key to the drawing.
    assert_eq!(pages.matches(">curing<").count(), 1);
    assert_eq!(pages.matches(">to come<").count(), 2);
}
