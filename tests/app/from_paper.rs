//! The power was out: what was done by a sheet filled in by hand is copied in later, as of its time.

use crate::bench::{
    BENCH, HELPER, HELPER_PIN, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, founded, pass,
    refused, unlock,
};
use crate::cli::run;
use crate::walk::{
    answer, begin_list, begin_rod, clear, good_bench_answer, next_command, open_bench, step_at,
    walk_stage,
};
use chrono::TimeDelta;
use coldbench::Workshop;
use coldbench::table::{Asked, Form, table};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Command, FromPaper, GripMaterial, Moment, PersonId, Refusal, RodId, SheetLine, StageId,
    StationId, StepPlace,
};

const STAGE: &str = "rear-grip";

fn done(by: &str, when: Moment) -> FromPaper {
    FromPaper { when, by: PersonId::new(by) }
}

fn line(done: FromPaper) -> SheetLine {
    SheetLine {
        done,
        values: Vec::new(),
        lot: String::new(),
        clock: None,
        minutes: None,
        reason: String::new(),
    }
}

/// The next step of the grip, its caution read.
fn at_hand(shop: &mut Workshop) -> StepPlace {
    if let Some(Command::UnderstandCaution(at)) = next_command(shop, ROD, STAGE) {
        act(shop, Command::UnderstandCaution(at));
    }
    let step = step_at(shop, ROD, STAGE).unwrap();
    StepPlace { rod: RodId::new(ROD), stage: StageId::new(STAGE), step: step.id }
}

fn key_in(at: &StepPlace, sheet: SheetLine) -> Command {
    Command::KeyInStep { at: at.clone(), sheet }
}

/// A workshop whose rod stands at a step of its grip, and the time the last step was signed.
fn grip_at(step: &str) -> (tempfile::TempDir, Workshop, Moment) {
    let (folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Composite);
    walk_stage(&mut shop, ROD, "spine", None);
    walk_stage(&mut shop, ROD, STAGE, Some(step));
    let last = shop.now();
    (folder, shop, last)
}

#[test]
fn steps_done_by_paper_are_copied_in_as_of_their_time() {
    let (folder, mut shop, last) = grip_at("weigh");
    let minutes = |n| last + TimeDelta::minutes(n);
    pass(&mut shop, TimeDelta::hours(5));
    // Weighed by the helper; the lead copies it in, and the helper's work still asks for a witness.
    let at = at_hand(&mut shop);
    let weighed = SheetLine {
        values: vec!["100 %".to_owned()],
        lot: "L-77".to_owned(),
        clock: Some(minutes(10)),
        ..line(done(HELPER, minutes(15)))
    };
    act(&mut shop, key_in(&at, weighed));
    assert!(matches!(next_command(&shop, ROD, STAGE), Some(Command::WitnessStep(_))));
    act(&mut shop, Command::WitnessStep(at));
    let at = at_hand(&mut shop);
    let mixed = SheetLine { values: vec!["21 °C".to_owned()], ..line(done(LEAD, minutes(20))) };
    act(&mut shop, key_in(&at, mixed));
    let at = at_hand(&mut shop);
    // By the clock on the wall the working time is long over; by the sheet it was not.
    let bonded = SheetLine { values: vec!["0.5 mm".to_owned()], ..line(done(LEAD, minutes(40))) };
    act(&mut shop, key_in(&at, bonded));
    let run = |shop: &Workshop| {
        shop.state().rods[&RodId::new(ROD)].stage(&StageId::new(STAGE)).unwrap().clone()
    };
    let cure = run(&shop).clocks.values().find(|c| c.name.contains("Bond")).unwrap().clone();
    assert_eq!(cure.started.at, minutes(40), "the cure counts from the time on the sheet");
    let kept = run(&shop);
    let weigh = &kept.steps[&coldbench_shop::StepId::new("weigh")];
    assert_eq!((weigh.doer(), weigh.when()), (Some(&PersonId::new(HELPER)), Some(minutes(15))));
    assert_ne!(weigh.done.as_ref().unwrap().at, minutes(15), "it was signed when it was signed");
    // The ledger, read by somebody else, comes to the same and holds.
    assert!(shop.verify(&[]).unwrap().events > 0);

    let path = folder.path().join("log.pdf");
    let made = crate::cli::coldbench(&[
        "record",
        ROD,
        "--workshop",
        folder.path().to_str().unwrap(),
        "-o",
        path.to_str().unwrap(),
    ]);
    assert!(made.status.success(), "{made:?}");
    let text = run_text(&path);
    let helper = &shop.state().crew[&PersonId::new(HELPER)].name;
    let when = minutes(15).format("%Y-%m-%d %H:%M");
    assert!(text.contains(&format!("Done away from Coldbench by {helper}, {when}")), "{text}");
    assert!(text.contains("copied this step from paper"), "{text}");
    let rows = table(&shop, &Asked::default(), Form::Csv).unwrap();
    assert!(String::from_utf8(rows).unwrap().contains(&minutes(15).to_rfc3339()));
    let checked = crate::cli::coldbench(&["verify", path.to_str().unwrap()]);
    assert!(checked.status.success(), "{checked:?}");
}

fn run_text(pdf: &std::path::Path) -> String {
    run("pdftotext", &["-layout", pdf.to_str().unwrap(), "-"])
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn a_sheet_is_copied_in_by_the_rules_of_the_walk() {
    let (_folder, mut shop, last) = grip_at("weigh");
    pass(&mut shop, TimeDelta::hours(2));
    let minutes = |n| last + TimeDelta::minutes(n);
    let at = at_hand(&mut shop);
    let good = || SheetLine {
        values: vec!["100 %".to_owned()],
        lot: "L-77".to_owned(),
        ..line(done(LEAD, minutes(10)))
    };
    let no = |shop: &mut Workshop, sheet| refused(shop, key_in(&at, sheet)).to_string();
    let says = |refusal: String, words: &str| assert!(refusal.contains(words), "{refusal}");
    let time = |n| SheetLine { done: done(LEAD, minutes(n)), ..good() };
    says(no(&mut shop, time(600)), "has not come yet");
    says(no(&mut shop, time(-30)), "what came before it was done on");
    let late = SheetLine { clock: Some(minutes(11)), ..good() };
    says(no(&mut shop, late), "started after the step was done");
    says(no(&mut shop, SheetLine { values: Vec::new(), ..good() }), "Measure first");
    says(no(&mut shop, SheetLine { lot: String::new(), ..good() }), "lot");
    let outside = SheetLine { values: vec!["120 %".to_owned()], ..good() };
    says(no(&mut shop, outside), "it must be 95 %");
    assert_eq!(no(&mut shop, good()), Refusal::PinAgain.to_string());
    unlock(&mut shop, HELPER, HELPER_PIN);
    at_hand(&mut shop);
    says(no(&mut shop, good()), "Only a lead may copy in what another person did");
    unlock(&mut shop, LEAD, LEAD_PIN);
    act(&mut shop, key_in(&at, good()));
    // The next was bonded too late by the sheet's own times.
    let at = at_hand(&mut shop);
    let mixed = SheetLine { values: vec!["21 °C".to_owned()], ..line(done(LEAD, minutes(20))) };
    act(&mut shop, key_in(&at, mixed));
    let at = at_hand(&mut shop);
    let bonded = SheetLine { values: vec!["0.5 mm".to_owned()], ..line(done(LEAD, minutes(90))) };
    assert!(matches!(refused(&mut shop, key_in(&at, bonded)), Refusal::WorkingTimeOver { .. }));
}

#[test]
fn heat_is_never_copied_in_not_even_under_a_clearance() {
    let (_folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    let at = StepPlace {
        rod: RodId::new(ROD),
        stage: StageId::new(SLEEVE),
        step: step_at(&shop, ROD, SLEEVE).unwrap().id,
    };
    act(&mut shop, Command::UnderstandCaution(at.clone()));
    let now = shop.now();
    let refusal = refused(&mut shop, key_in(&at, line(done(LEAD, now))));
    assert_eq!(refusal, Refusal::HeatNotFromPaper);
    let Command::BeginList { station, list, .. } =
        begin_list(&shop, StationKind::HeatClearance, BENCH)
    else {
        panic!("no list")
    };
    let from_paper = Some(done(LEAD, shop.now()));
    let command = Command::BeginList { station, list, from_paper };
    assert_eq!(refused(&mut shop, command), Refusal::HeatNotFromPaper);
}

#[test]
fn a_list_copied_in_holds_as_of_its_time() {
    let (_folder, mut shop) = founded();
    let at = StationId::new(BENCH);
    let morning = shop.now();
    pass(&mut shop, TimeDelta::hours(3));
    let Command::BeginList { station, list, .. } = begin_list(&shop, StationKind::OpenBench, BENCH)
    else {
        panic!("no list")
    };
    let checks: Vec<_> = list.list.list.checks.iter().map(|check| check.id.clone()).collect();
    let lasts = i64::from(list.list.list.lasts_minutes);
    let from_paper = Some(done(LEAD, morning));
    act(&mut shop, Command::BeginList { station, list, from_paper });
    for check in checks {
        act(&mut shop, answer(BENCH, check.as_str(), good_bench_answer(check.as_str())));
    }
    act(&mut shop, Command::CompleteList { station: at.clone() });
    let open = shop.state().stations[&at].open_until;
    assert_eq!(open, Some(morning + TimeDelta::minutes(lasts)));
    let room = shop.state().room_of(&at).unwrap();
    assert_eq!(room.temperatures.last().map(|(at, _)| *at), Some(morning));
}
