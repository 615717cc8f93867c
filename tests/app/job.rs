//! The whole job: from the blank to the signed build log.

use crate::bench::{
    BENCH, CORNER, HELPER, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, founded, own_checklist,
    pass, place, refused, shipped_text, unlock,
};
use crate::walk::{
    begin_rod, begin_stage, clear, next_command, open_bench, prepare_step, step_at, wait_for_clock,
    walk_stage,
};
use chrono::TimeDelta;
use coldbench::{Clock, Workshop};
use coldbench_shop::{ClockId, Command, GripMaterial, PersonId, Refusal, RodId, StageId};

fn reopened(shop: &Workshop) -> Workshop {
    Workshop::open_to_read(shop.folder(), Clock::Set(shop.now()), "A look.").unwrap()
}

/// After each single command, a look from outside finds the very same workshop.
#[test]
fn every_step_is_stored_before_it_is_shown() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Composite);
    let mut commands = 0;
    for stage in ["blank-intake", "spine", "rear-grip", SLEEVE, "reel-seat", "guide-layout"] {
        if stage == SLEEVE || stage == "guide-layout" {
            pass(&mut shop, TimeDelta::hours(25));
            open_bench(&mut shop, BENCH);
        }
        let begin = begin_stage(&shop, ROD, stage, BENCH);
        act(&mut shop, begin);
        while let Some(step) = step_at(&shop, ROD, stage) {
            let cleared =
                shop.state().live_clearance(&coldbench_shop::StationId::new(BENCH), shop.now());
            if step.heat && cleared.is_none() {
                clear(&mut shop, BENCH);
            }
            wait_for_clock(&mut shop, ROD, stage);
            let command = next_command(&shop, ROD, stage).unwrap();
            act(&mut shop, command);
            commands += 1;
            let outside = reopened(&shop);
            assert_eq!(outside.state(), shop.state(), "{stage}, {}", step.id);
            assert_eq!(outside.head(), shop.head());
        }
    }
    assert!(commands > 60, "only {commands} commands were walked");
    let rod = &shop.state().rods[&RodId::new(ROD)];
    assert_eq!(rod.stages.len(), 6);
    assert!(rod.stages.iter().all(|run| run.finished.is_some()));
    let report = shop.verify(&[]).unwrap();
    assert_eq!(report.events, shop.events());
}

/// Closed in the middle of a working time, opened again: the same step, the same clocks.
#[test]
fn a_closed_workshop_opens_at_the_same_step() {
    let (folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, ROD, "spine", None);
    walk_stage(&mut shop, ROD, "rear-grip", Some("bond"));
    let (state, now) = (shop.state().clone(), shop.now());
    let pot = &state.rods[&RodId::new(ROD)].stages[2].clocks[&ClockId::new("pot")];
    assert!(!pot.is_over(now));
    drop(shop);

    let later = now + TimeDelta::minutes(10);
    let mut shop = Workshop::open(folder.path(), Clock::Set(later)).unwrap();
    assert_eq!(shop.state(), &state);
    assert_eq!(shop.active(), None, "a key stays unlocked over a restart");
    assert_eq!(step_at(&shop, ROD, "rear-grip").unwrap().id.as_str(), "bond");
    unlock(&mut shop, LEAD, LEAD_PIN);
    prepare_step(&mut shop, ROD, "rear-grip");
    act(&mut shop, Command::SignStep(place(ROD, "rear-grip", "bond")));
    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new("rear-grip")).unwrap();
    let pot = &run.clocks[&ClockId::new("pot")];
    assert_eq!(
        pot.started.at,
        state.rods[&RodId::new(ROD)].stages[2].clocks[&ClockId::new("pot")].started.at
    );
    assert_eq!(pot.ended, shop.state().latest);
}

#[test]
fn stages_come_in_their_order() {
    let (_folder, mut shop) = founded();
    begin_rod(&mut shop, GripMaterial::Cork);
    let intake = begin_stage(&shop, ROD, "blank-intake", BENCH);
    assert!(matches!(refused(&mut shop, intake.clone()), Refusal::StationNotOpen { .. }));
    open_bench(&mut shop, BENCH);
    let seat = begin_stage(&shop, ROD, "reel-seat", BENCH);
    assert!(matches!(refused(&mut shop, seat), Refusal::NeedsStage { .. }));
    let sleeve = begin_stage(&shop, ROD, SLEEVE, BENCH);
    assert!(matches!(refused(&mut shop, sleeve), Refusal::NotForThisRod { .. }));
    // The bench is open, the corner is not.
    let corner = begin_stage(&shop, ROD, "blank-intake", CORNER);
    assert!(matches!(refused(&mut shop, corner), Refusal::StationNotOpen { .. }));
    act(&mut shop, intake.clone());
    assert_eq!(refused(&mut shop, intake), Refusal::StageBegun);
    let second = Command::SignStep(place(ROD, "blank-intake", "length"));
    assert!(matches!(refused(&mut shop, second), Refusal::NotThisStep { .. }));
    // An opened bench counts for a day's work, not for the next morning.
    begin_rod(&mut shop, GripMaterial::Cork);
    pass(&mut shop, TimeDelta::hours(12));
    let next_day = begin_stage(&shop, "R-2", "blank-intake", BENCH);
    assert!(matches!(refused(&mut shop, next_day), Refusal::StationNotOpen { .. }));
}

/// An edited checklist holds for stages begun afterwards; what was signed keeps its text.
#[test]
fn an_edit_leaves_what_was_begun_alone() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    begin_rod(&mut shop, GripMaterial::Cork);
    begin_rod(&mut shop, GripMaterial::Cork);
    walk_stage(&mut shop, ROD, "spine", Some("scale"));
    let text = shipped_text("stages/spine.toml");
    let edited = text.replace("Tape a strip with a degree scale", "Glue a paper degree scale");
    assert_ne!(text, edited);
    own_checklist(&mut shop, "stages/spine.toml", &edited);
    walk_stage(&mut shop, ROD, "spine", None);
    walk_stage(&mut shop, "R-2", "spine", None);
    let state = shop.state();
    let signed = |rod: &str| {
        let run = state.rods[&RodId::new(rod)].stage(&StageId::new("spine")).unwrap();
        (run.digest.to_string(), state.texts[&run.digest].source.clone())
    };
    for (rod, text) in [(ROD, &text), ("R-2", &edited)] {
        let (digest, source) = signed(rod);
        assert_eq!(&source, text, "{rod}");
        assert_eq!(digest, coldbench_ledger::sha256_hex(text.as_bytes()), "{rod}");
    }
}

#[test]
fn whoever_left_signs_nothing_more() {
    let (_folder, mut shop) = at_heat_step();
    unlock(&mut shop, HELPER, crate::bench::HELPER_PIN);
    let leaves = |person: &str| Command::PersonLeaves { person: PersonId::new(person) };
    assert!(matches!(refused(&mut shop, leaves(LEAD)), Refusal::LeadOnly { .. }));
    unlock(&mut shop, LEAD, LEAD_PIN);
    assert_eq!(refused(&mut shop, leaves(LEAD)), Refusal::LastLead);
    act(&mut shop, leaves(HELPER));
    let error = shop.unlock(&PersonId::new(HELPER), &crate::bench::pin(crate::bench::HELPER_PIN));
    assert!(error.unwrap_err().to_string().contains("no longer of the crew"));
    let note = Command::WriteNote { at: place(ROD, SLEEVE, "gun-off"), text: "?".to_owned() };
    let helper = PersonId::new(HELPER);
    let once = shop.act_once(&helper, &crate::bench::pin(crate::bench::HELPER_PIN), note);
    assert!(once.is_err(), "a person who left wrote a note");
}
