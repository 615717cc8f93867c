//! Putting right what was signed: a new event beside the old one, and both on the paper.

use crate::bench::{
    BENCH, HELPER, HELPER_PIN, LEAD, LEAD_PIN, ROD, act, founded, pin, place, refused, unlock,
};
use crate::walk::{begin_rod, open_bench, walk_stage};
use coldbench::views::PaperWord;
use coldbench::{Record, ShellError, Workshop};
use coldbench_shop::{
    Command, EventRef, GripMaterial, PersonId, Refusal, RodId, StageId, StepId, StepRun,
};
use tempfile::TempDir;

/// The helper signed the first steps of the spine, the lead is at the bench.
fn signed_by_helper() -> (TempDir, Workshop) {
    let (folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, ROD, "blank-intake", None);
    unlock(&mut shop, HELPER, HELPER_PIN);
    walk_stage(&mut shop, ROD, "spine", Some("tip-trials"));
    unlock(&mut shop, LEAD, LEAD_PIN);
    (folder, shop)
}

fn step<'a>(shop: &'a Workshop, step: &str) -> &'a StepRun {
    let rod = &shop.state().rods[&RodId::new(ROD)];
    &rod.stage(&StageId::new("spine")).unwrap().steps[&StepId::new(step)]
}

fn correct(of: &str, event: &EventRef, says: &str, reason: &str) -> Command {
    Command::Correct {
        at: place(ROD, "spine", of),
        event: event.clone(),
        says: says.to_owned(),
        reason: reason.to_owned(),
    }
}

fn by(shop: &mut Workshop, person: &str, command: Command) -> Result<(), Refusal> {
    let with = if person == LEAD { LEAD_PIN } else { HELPER_PIN };
    match shop.act_once(&PersonId::new(person), &pin(with), command) {
        Ok(_) => Ok(()),
        Err(ShellError::Refused(refusal)) => Err(refusal),
        Err(other) => panic!("{other}"),
    }
}

#[test]
fn both_stay_and_both_print() {
    let (_folder, mut shop) = signed_by_helper();
    let value = step(&shop, "scale").values[0].clone();
    let wrong = value.reading.text.clone();
    let event = value.mark.event.clone();
    by(&mut shop, HELPER, correct("scale", &event, "33 mm", "read upside down")).unwrap();
    let run = step(&shop, "scale");
    assert_eq!(run.values, [value], "what was signed is as it was");
    assert_eq!(run.corrections[0].was, wrong);
    assert_eq!(run.corrections[0].to.shown(), "33 mm");
    // Corrected again, at its correction.
    let second = run.corrections[0].mark.event.clone();
    by(&mut shop, LEAD, correct("scale", &second, "34", "the strip had slipped")).unwrap();
    // And what has to be said about a signature.
    let done = step(&shop, "look-over").done.clone().unwrap().event;
    by(&mut shop, LEAD, correct("look-over", &done, "Looked at again by me.", "bad light"))
        .unwrap();
    shop.verify(&[]).unwrap();
    let pdf = Record::take(&shop, &RodId::new(ROD), PaperWord::A4).unwrap().draw().unwrap();
    let pages = coldbench_record::page_texts(&pdf).unwrap().join("\n").replace('\n', " ");
    for words in [
        wrong.as_str(),
        "33 mm",
        "34 mm",
        "read upside down",
        "the strip had slipped",
        "Looked at again by me.",
        &format!("corrects event {}", event.number),
        &format!("corrects event {}", second.number),
    ] {
        assert!(pages.contains(words), "“{words}” is not printed");
    }
}

#[test]
fn who_may_correct_what() {
    let (_folder, mut shop) = signed_by_helper();
    let event = step(&shop, "scale").values[0].mark.event.clone();
    let good = || correct("scale", &event, "33 mm", "misread");
    // An unlocked key is not enough.
    assert_eq!(refused(&mut shop, good()), Refusal::PinAgain);
    // A helper can't write a value outside its limits, not even over their own.
    let outside = correct("scale", &event, "900 mm", "misread");
    assert!(matches!(by(&mut shop, HELPER, outside.clone()), Err(Refusal::LeadOnly { .. })));
    by(&mut shop, LEAD, outside).unwrap();
    let by_lead = step(&shop, "scale").corrections[0].mark.event.clone();
    let over_lead = correct("scale", &by_lead, "33 mm", "misread");
    assert!(matches!(by(&mut shop, HELPER, over_lead), Err(Refusal::LeadOnly { .. })));
    // A reason, a value that can be read, an entry of this very step.
    let missing = by(&mut shop, HELPER, correct("scale", &event, "33 mm", " ")).unwrap_err();
    assert!(matches!(missing, Refusal::Missing { what: "The reason" }), "{missing}");
    let unread = by(&mut shop, HELPER, correct("scale", &event, "much", "misread")).unwrap_err();
    assert!(matches!(unread, Refusal::BadValue { .. }), "{unread}");
    let other = by(&mut shop, LEAD, correct("look-over", &event, "1 mm", "misread")).unwrap_err();
    assert!(matches!(other, Refusal::Unknown { .. }), "{other}");
    let elsewhere = EventRef { origin: "elsewhere".to_owned(), ..event };
    let other = by(&mut shop, LEAD, correct("scale", &elsewhere, "33 mm", "misread")).unwrap_err();
    assert!(matches!(other, Refusal::Unknown { .. }), "{other}");
}

#[test]
fn what_is_not_signed_is_entered_anew() {
    let (_folder, mut shop) = signed_by_helper();
    let at = place(ROD, "spine", "tip-trials");
    let _ = shop.act(Command::UnderstandCaution(at.clone()));
    act(&mut shop, Command::MeasureValue { at, text: "100°".to_owned() });
    let event = step(&shop, "tip-trials").values[0].mark.event.clone();
    let early = by(&mut shop, LEAD, correct("tip-trials", &event, "101°", "misread"));
    assert_eq!(early, Err(Refusal::NotSignedYet));
}
