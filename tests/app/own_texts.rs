//! The shop's own texts over those that come with Coldbench: what they change is known, what they take
//! away is signed for, and a stage in hand goes on by a new one only when a lead says so.

use crate::bench::{
    BENCH, HELPER, HELPER_PIN, LEAD, LEAD_PIN, act, founded, own_checklist, pass, pin, refused,
    shipped_text, unlock,
};
use crate::walk::{
    begin_list, begin_rod, begin_stage, next_command, open_bench, step_at, walk_stage,
};
use chrono::TimeDelta;
use coldbench::{ShellError, Workshop};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Command, Event, GripMaterial, Override, PersonId, Refusal, RodId, StageId, StageStanding,
    StationId, standing,
};

const ROD: &str = "R-1";
const SPINE: &str = "stages/spine.toml";

/// A workshop with a rod whose blank is taken in: its spine stage is next.
fn at_spine() -> (tempfile::TempDir, Workshop) {
    let (folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, ROD, "blank-intake", None);
    unlock(&mut shop, LEAD, LEAD_PIN);
    (folder, shop)
}

fn override_of(shop: &Workshop, id: &str) -> Box<Override> {
    Box::new(shop.library().override_of(id).unwrap())
}

fn lead_accepts(shop: &mut Workshop, id: &str, reason: &str) -> Result<Vec<Event>, ShellError> {
    let texts = override_of(shop, id);
    let command = Command::AcceptOverride { texts, reason: reason.to_owned() };
    shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), command)
}

fn without_first_caution(text: &str) -> String {
    let at = text.find("\ncaution = ").unwrap() + 1;
    let end = at + text[at..].find('\n').unwrap() + 1;
    let (head, tail) = (&text[..at], &text[end..]);
    // Without a caution no hazards may be named.
    let hazards = tail.find("hazards = ").filter(|place| *place < 60);
    match hazards {
        Some(from) => {
            let until = from + tail[from..].find('\n').unwrap() + 1;
            format!("{head}{}{}", &tail[..from], &tail[until..])
        }
        None => format!("{head}{tail}"),
    }
}

#[test]
fn what_takes_nothing_away_is_used_at_once_and_shown() {
    let (_folder, mut shop) = at_spine();
    let text = shipped_text(SPINE).replace("Find and mark the spine", "Find the spine");
    own_checklist(&mut shop, SPINE, &text);
    let listed = shop.library().listed.iter().find(|listed| listed.id == "spine").unwrap();
    assert!(!listed.shipped);
    let over = listed.over.as_ref().unwrap();
    assert!(over.differences.iter().all(|found| !found.takes_away), "{over:?}");
    assert!(over.differences.iter().any(|found| found.of == "title"));
    let begin = begin_stage(&shop, ROD, "spine", BENCH);
    act(&mut shop, begin);
    assert_eq!(shop.library().stages().len(), 20, "it stands in the place of the other");
}

#[test]
fn a_plain_copy_changes_nothing() {
    let (_folder, mut shop) = at_spine();
    let before = shop.library().clone();
    own_checklist(&mut shop, SPINE, &shipped_text(SPINE));
    assert_eq!(shop.library(), &before);
}

#[test]
fn a_caution_goes_only_with_a_leads_signed_reason() {
    let (folder, mut shop) = at_spine();
    let text = without_first_caution(&shipped_text(SPINE));
    own_checklist(&mut shop, SPINE, &text);
    let begin = begin_stage(&shop, ROD, "spine", BENCH);
    let refusal = refused(&mut shop, begin.clone());
    let Refusal::OverrideNotAccepted { lost, .. } = &refusal else { panic!("{refusal}") };
    assert!(lost.iter().any(|lost| lost.contains("caution")), "{lost:?}");

    // Without a reason, by a helper, or without the PIN: no.
    assert!(matches!(
        lead_accepts(&mut shop, "spine", "  "),
        Err(ShellError::Refused(Refusal::Missing { .. }))
    ));
    let ask = |shop: &Workshop| Command::AcceptOverride {
        texts: override_of(shop, "spine"),
        reason: "Our caution hangs on the wall.".to_owned(),
    };
    let asked = ask(&shop);
    assert_eq!(refused(&mut shop, asked), Refusal::PinAgain);
    let asked = ask(&shop);
    let helper = shop.act_once(&PersonId::new(HELPER), &pin(HELPER_PIN), asked);
    assert!(matches!(helper, Err(ShellError::Refused(Refusal::LeadOnly { .. }))), "{helper:?}");

    lead_accepts(&mut shop, "spine", "Our caution hangs on the wall.").unwrap();
    act(&mut shop, begin);
    assert!(matches!(
        lead_accepts(&mut shop, "spine", "Again."),
        Err(ShellError::Refused(Refusal::OverrideAccepted))
    ));
    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new("spine")).unwrap();
    assert!(run.over_first.is_some());
    assert!(shop.verify(&[]).is_ok());

    // It counts for this very text. Another one needs another signature.
    let more = text.replace("Find and mark the spine", "Find the spine");
    own_checklist(&mut shop, SPINE, &more);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, "R-2", "blank-intake", None);
    unlock(&mut shop, LEAD, LEAD_PIN);
    let again = begin_stage(&shop, "R-2", "spine", BENCH);
    assert!(matches!(refused(&mut shop, again), Refusal::OverrideNotAccepted { .. }));
    drop(folder);
}

#[test]
fn nothing_is_signed_for_where_nothing_is_lost() {
    let (_folder, mut shop) = at_spine();
    let text = shipped_text(SPINE).replace("Find and mark the spine", "Find the spine");
    own_checklist(&mut shop, SPINE, &text);
    let found = lead_accepts(&mut shop, "spine", "Because.");
    assert!(matches!(found, Err(ShellError::Refused(Refusal::NothingTakenAway))), "{found:?}");
}

#[test]
fn a_bench_list_that_asks_less_is_held() {
    let (_folder, mut shop) = founded();
    let text = shipped_text("stations/open-bench.toml");
    let at = text.find("[[check]]\nid = \"extinguisher\"").unwrap();
    let end = at + text[at + 5..].find("[[check]]").unwrap() + 5;
    let less = format!("{}{}", &text[..at], &text[end..]);
    own_checklist(&mut shop, "stations/open-bench.toml", &less);
    let ready = Box::new(shop.library().list_for("open-bench").unwrap());
    let begin =
        Command::BeginList { station: StationId::new(BENCH), list: ready, from_paper: None };
    let refusal = refused(&mut shop, begin.clone());
    assert!(refusal.to_string().contains("extinguisher"), "{refusal}");
    lead_accepts(&mut shop, "open-bench", "The fire brigade looks at it weekly.").unwrap();
    act(&mut shop, begin);
}

/// Moving a stage in hand: what is signed stays, what was entered becomes a note, what differs is told.
#[test]
fn a_stage_in_hand_goes_on_by_a_new_text_when_a_lead_says_so() {
    let (_folder, mut shop) = at_spine();
    walk_stage(&mut shop, ROD, "spine", Some("butt-trials"));
    let step = step_at(&shop, ROD, "spine").unwrap();
    // A value is entered, and not signed.
    while let Some(command) = next_command(&shop, ROD, "spine") {
        let measured = matches!(command, Command::MeasureValue { .. });
        act(&mut shop, command);
        if measured {
            break;
        }
    }
    let old = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new("spine")).unwrap().clone();
    let text = shipped_text(SPINE);
    let what = format!("what = \"{}\"", step.what);
    assert!(text.contains(&what), "{what}");
    let newer = text.replace(&what, "what = \"Turn it and read the scale, three times.\"");
    own_checklist(&mut shop, SPINE, &newer);
    assert_eq!(
        step_at(&shop, ROD, "spine").unwrap().what,
        step.what,
        "an edit alone moves nothing"
    );

    let ready = |shop: &Workshop| {
        let rod = &shop.state().rods[&RodId::new(ROD)];
        Box::new(shop.library().stage_for(rod, &StageId::new("spine")).unwrap())
    };
    let command = |shop: &Workshop| Command::MoveStage { rod: RodId::new(ROD), stage: ready(shop) };
    let ask = command(&shop);
    assert_eq!(refused(&mut shop, ask), Refusal::PinAgain);
    let ask = command(&shop);
    let helper = shop.act_once(&PersonId::new(HELPER), &pin(HELPER_PIN), ask);
    assert!(matches!(helper, Err(ShellError::Refused(Refusal::LeadOnly { .. }))));
    let ask = command(&shop);
    let events = shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), ask).unwrap();
    let Some(Event::StageMoved { differences, .. }) = events.last() else { panic!("{events:?}") };
    assert_eq!(differences.len(), 1, "{differences:?}");
    assert!(differences[0].now.starts_with("Turn it and read"));

    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new("spine")).unwrap();
    assert_ne!(run.digest, old.digest);
    assert_eq!(
        (run.moved[0].from.clone(), run.moved[0].to.clone()),
        (old.digest.clone(), run.digest.clone())
    );
    for (id, before) in old.steps.iter().filter(|(_, step)| step.done.is_some()) {
        assert_eq!(&run.steps[id], before, "what was signed stays");
    }
    let here = &run.steps[&step.id];
    assert!(here.values.is_empty() && here.understood.is_empty());
    assert!(here.notes[0].0.starts_with("Measured by the text before: "), "{:?}", here.notes);
    assert_eq!(
        step_at(&shop, ROD, "spine").unwrap().what,
        "Turn it and read the scale, three times."
    );
    let ask = command(&shop);
    let again = shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), ask);
    assert!(matches!(again, Err(ShellError::Refused(Refusal::SameText))), "{again:?}");
    unlock(&mut shop, LEAD, LEAD_PIN);
    walk_stage(&mut shop, ROD, "spine", None);
    let ask = command(&shop);
    let done = shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), ask);
    assert!(matches!(done, Err(ShellError::Refused(Refusal::StageIsDone { .. }))), "{done:?}");
    assert!(shop.verify(&[]).is_ok());
}

#[test]
fn a_new_text_that_lost_a_signed_step_is_refused() {
    let (_folder, mut shop) = at_spine();
    walk_stage(&mut shop, ROD, "spine", Some("scale"));
    let text = shipped_text(SPINE);
    let lost = text.replace("id = \"look-over\"", "id = \"look-it-over\"");
    assert_ne!(lost, text);
    own_checklist(&mut shop, SPINE, &lost);
    let rod = &shop.state().rods[&RodId::new(ROD)];
    let stage = Box::new(shop.library().stage_for(rod, &StageId::new("spine")).unwrap());
    let refusal = shop.would(Command::MoveStage { rod: RodId::new(ROD), stage }).unwrap_err();
    // It also loses guards, which is said first; with that signed for, the step is named.
    if let Refusal::OverrideNotAccepted { .. } = refusal {
        lead_accepts(&mut shop, "spine", "Renamed.").unwrap();
    }
    let rod = &shop.state().rods[&RodId::new(ROD)];
    let stage = Box::new(shop.library().stage_for(rod, &StageId::new("spine")).unwrap());
    let refusal = shop.would(Command::MoveStage { rod: RodId::new(ROD), stage }).unwrap_err();
    assert!(
        matches!(&refusal, Refusal::MoveLosesStep { step, .. } if step == "look-over"),
        "{refusal}"
    );
}

#[test]
fn a_stage_is_left_out_with_a_reason_and_taken_in_again() {
    let (_folder, mut shop) = at_spine();
    let stage = |shop: &Workshop| {
        Box::new(shop.library().stage(&StageId::new("spine")).unwrap().list.clone())
    };
    let leave = |shop: &Workshop, reason: &str| Command::LeaveOutStage {
        rod: RodId::new(ROD),
        stage: stage(shop),
        reason: reason.to_owned(),
    };
    let (none, good) = (leave(&shop, ""), leave(&shop, "A blank without a spine to find."));
    let by = |shop: &mut Workshop, person: &str, with: &str, command: &Command| {
        shop.act_once(&PersonId::new(person), &pin(with), command.clone())
    };
    assert!(by(&mut shop, LEAD, LEAD_PIN, &none).is_err());
    assert!(by(&mut shop, HELPER, HELPER_PIN, &good).is_err());
    by(&mut shop, LEAD, LEAD_PIN, &good).unwrap();
    let stands = |shop: &Workshop, id: &str| {
        let (state, library) = (shop.state(), shop.library());
        let stage = &library.stage(&StageId::new(id)).unwrap().list;
        standing(state, library, &state.rods[&RodId::new(ROD)], stage, shop.now())
    };
    assert!(
        matches!(stands(&shop, "spine"), StageStanding::NotApplicable(why) if why.contains("without a spine"))
    );
    assert_eq!(
        stands(&shop, "rear-grip"),
        StageStanding::Ready,
        "what needs it goes on without it"
    );
    unlock(&mut shop, LEAD, LEAD_PIN);
    let begin = begin_stage(&shop, ROD, "spine", BENCH);
    assert_eq!(refused(&mut shop, begin.clone()), Refusal::StageLeftOut);
    act(&mut shop, Command::TakeInStage { rod: RodId::new(ROD), stage: StageId::new("spine") });
    act(&mut shop, begin);
    assert!(shop.verify(&[]).is_ok());
}

#[test]
fn a_file_of_the_shops_own_adds_a_stage() {
    let (_folder, mut shop) = founded();
    let own = "format = 1\nkind = \"stage\"\nid = \"rod-bag\"\ntitle = \"Sew the bag\"\naim = \"A bag.\"\nrevised = \"2026-11-28\"\nneeds = [\"blank-intake\"]\n\n[[step]]\nid = \"sew\"\nwhat = \"Sew the bag.\"\nkey-point = \"Double seam.\"\nreason = \"A rod falls out of a single one.\"\nrecord = { name = \"Length of the bag\", measure = \"length\", least = \"500 mm\" }\n";
    own_checklist(&mut shop, "stages/rod-bag.toml", own);
    assert_eq!(shop.library().stages().len(), 21);
    assert!(shop.library().findings.is_empty(), "{:?}", shop.library().findings);
    // A file with a fault gives way to what comes with Coldbench, and says so.
    own_checklist(&mut shop, SPINE, "format = 1\nkind = \"stage\"\nid = \"spine\"\n");
    assert_eq!(shop.library().stages().len(), 21);
    assert!(shop.library().findings.iter().any(|file| file.path == SPINE && file.is_unusable()));
}

#[test]
fn a_list_that_comes_round_is_remembered() {
    let (_folder, mut shop) = founded();
    let begin = begin_list(&shop, StationKind::MonthlyLook, BENCH);
    act(&mut shop, begin);
    pass(&mut shop, TimeDelta::minutes(1));
    let station = &shop.state().stations[&StationId::new(BENCH)];
    assert!(station.lists_done.is_empty() && station.in_hand.is_some());
}
