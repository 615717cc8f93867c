//! Teaching a helper a stage: presented, tried out, followed up, and what stands of it on paper.

use crate::bench::{
    BENCH, HELPER, HELPER_PIN, LEAD, LEAD_PIN, act, founded, own_checklist, pass, pin, place,
    refused, unlock,
};
use crate::cli::{coldbench, run, told};
use crate::walk::{begin_rod, begin_stage, open_bench};
use chrono::TimeDelta;
use coldbench::table::{Asked, Form, table};
use coldbench::views::PaperWord;
use coldbench::{Record, ShellError, Workshop};
use coldbench_shop::{
    Command, Event, GripMaterial, Learning, PersonId, Refusal, RodId, StageId, StepPlace,
};

/// An invented stage of three steps, the second of them a hold point.
pub const BADGE: &str = include_str!("../badge.toml");
const STEPS: [&str; 3] = ["clean", "press", "look"];

fn at(rod: &str, step: &str) -> StepPlace {
    place(rod, "badge", step)
}

fn once(shop: &mut Workshop, command: Command) -> Result<Vec<Event>, ShellError> {
    pass(shop, TimeDelta::seconds(9));
    shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), command)
}

fn learning(shop: &Workshop) -> Learning {
    shop.state().learning(&PersonId::new(HELPER), &StageId::new("badge"), shop.now())
}

/// Three rods at the stage, one witnessed run asked, the helper at the bench.
fn taught() -> (tempfile::TempDir, Workshop) {
    let (folder, mut shop) = founded();
    own_checklist(&mut shop, "stages/badge.toml", BADGE);
    open_bench(&mut shop, BENCH);
    for rod in ["R-1", "R-2", "R-3"] {
        begin_rod(&mut shop, GripMaterial::Cork);
        let begin = begin_stage(&shop, rod, "badge", BENCH);
        act(&mut shop, begin);
    }
    let stage = StageId::new("badge");
    act(&mut shop, Command::AskTeaching { stage, runs: 1, refresh_days: Some(60) });
    unlock(&mut shop, HELPER, HELPER_PIN);
    (folder, shop)
}

/// The helper's whole run, and how often a lead had to look.
fn run_of(shop: &mut Workshop, rod: &str, tells: bool) -> usize {
    let mut witnessed = 0;
    for step in STEPS {
        if tells && step == "press" {
            let learner = PersonId::new(HELPER);
            once(shop, Command::HearKeyPoints { at: at(rod, step), learner }).unwrap();
        }
        act(shop, Command::SignStep(at(rod, step)));
        if once(shop, Command::WitnessStep(at(rod, step))).is_ok() {
            witnessed += 1;
        }
        if shop.active().is_none() {
            unlock(shop, HELPER, HELPER_PIN);
        }
    }
    witnessed
}

#[test]
fn a_helper_is_taught_a_stage_and_then_does_it_alone() {
    let (folder, mut shop) = taught();
    let untaught = refused(&mut shop, Command::SignStep(at("R-1", "clean")));
    assert!(matches!(&untaught, Refusal::NotPresented { name } if name == "Kai Probe"));
    let learner = PersonId::new(HELPER);
    for step in STEPS {
        let present = Command::PresentStep { at: at("R-1", step), learner: learner.clone() };
        once(&mut shop, present).unwrap();
    }
    act(&mut shop, Command::SignStep(at("R-1", "clean")));
    once(&mut shop, Command::WitnessStep(at("R-1", "clean"))).unwrap();
    let untold = refused(&mut shop, Command::SignStep(at("R-1", "press")));
    assert!(matches!(untold, Refusal::KeyPointNotTold { .. }), "{untold}");
    let learner = PersonId::new(HELPER);
    once(&mut shop, Command::HearKeyPoints { at: at("R-1", "press"), learner }).unwrap();
    for step in ["press", "look"] {
        act(&mut shop, Command::SignStep(at("R-1", step)));
        once(&mut shop, Command::WitnessStep(at("R-1", step))).unwrap();
    }
    assert_eq!(learning(&shop), Learning::ToBeReleased);
    unlock(&mut shop, HELPER, HELPER_PIN);
    assert_eq!(run_of(&mut shop, "R-2", true), 1, "a lead looks at the end, and at nothing else");
    assert!(matches!(learning(&shop), Learning::Alone { .. }));
    assert_eq!(run_of(&mut shop, "R-3", false), 0);
    assert!(shop.verify(&[]).is_ok());

    // The record of each rod holds alone: it needs no other rod to tell who had to look.
    let taught = [
        "Presentedthissteptokaiprobe",
        "HeardKaiProbetellitskeypoint",
        "Witnessedthisstep,triedoutbyKaiProbe",
    ];
    let released = "WitnessedthisstepandletsKaiProbedothestagealone";
    for (rod, says, says_not) in [
        ("R-1", &taught[..], &[released][..]),
        ("R-2", &[taught[1], released], &[taught[0], taught[2]]),
        ("R-3", &[], &[taught[0], taught[1], taught[2], released]),
    ] {
        let record = Record::take(&shop, &RodId::new(rod), PaperWord::A4).unwrap();
        let bytes = record.to_bytes().unwrap();
        Record::check(&bytes).unwrap();
        let path = folder.path().join("log.pdf");
        std::fs::write(&path, record.draw().unwrap()).unwrap();
        coldbench::check_file(&path).unwrap();
        let text = run("pdftotext", &["-layout", path.to_str().unwrap(), "-"]);
        let text = text.split_whitespace().collect::<String>().to_lowercase();
        for words in says {
            assert!(text.contains(&words.to_lowercase()), "{rod}: {words} is not in {text}");
        }
        for words in says_not {
            assert!(!text.contains(&words.to_lowercase()), "{rod}: {words} is in {text}");
        }
    }
    let rows = table(&shop, &Asked::default(), Form::Csv).unwrap();
    let rows = String::from_utf8(rows).unwrap();
    assert!(rows.contains("presented to Kai Probe"), "{rows}");
    assert!(rows.contains("key point told by Kai Probe"), "{rows}");
    assert!(rows.contains("\"witnessed runs 1, refresh after 60 days\""), "{rows}");
    pass(&mut shop, TimeDelta::days(61));
    assert!(matches!(learning(&shop), Learning::DueForRefresh { .. }));
    drop(shop);

    let text = |sheet: &[&str]| {
        let pdf = folder.path().join("sheet.pdf");
        let mut all = sheet.to_vec();
        all.extend(["--workshop", folder.path().to_str().unwrap(), "-o", pdf.to_str().unwrap()]);
        told(&coldbench(&all));
        let text = run("pdftotext", &["-layout", pdf.to_str().unwrap(), "-"]);
        text.split_whitespace().collect::<String>()
    };
    let training = text(&["training", HELPER]);
    for words in ["Stagestaught", "Setthebadge", "1of1", "InesProbe,2026-03-02,on", "toldback"] {
        assert!(training.contains(words), "{words} is not in {training}");
    }
    let table = text(&["crew-table"]);
    assert!(table.contains("KaiProbe") && table.contains("1witnessedrun,"), "{table}");
}

/// What a lead copies in from paper was done by the helper, and counts as the helper's.
#[test]
fn paper_is_no_way_round_it() {
    use coldbench_shop::{FromPaper, SheetLine};
    let (_folder, mut shop) = taught();
    pass(&mut shop, TimeDelta::minutes(20));
    let copied = |shop: &Workshop| Command::KeyInStep {
        at: at("R-1", "clean"),
        sheet: SheetLine {
            done: FromPaper { when: shop.now(), by: PersonId::new(HELPER) },
            values: Vec::new(),
            lot: String::new(),
            clock: None,
            minutes: None,
            reason: String::new(),
        },
    };
    let untaught = copied(&shop);
    let error = once(&mut shop, untaught).unwrap_err();
    assert!(matches!(error, ShellError::Refused(Refusal::NotPresented { .. })), "{error}");
    let learner = PersonId::new(HELPER);
    once(&mut shop, Command::PresentStep { at: at("R-1", "clean"), learner }).unwrap();
    let taught = copied(&shop);
    once(&mut shop, taught).unwrap();
    let next = refused(&mut shop, Command::SignStep(at("R-1", "press")));
    assert_eq!(next, Refusal::AwaitsWitness);
}
