//! Every screen by axe-core, in every theme. What a person does to come there is in the other tests.

use crate::air::write_sheet;
use crate::axe::Findings;
use crate::driver::{Bench, Window};
use coldbench::{Clock, Workshop, demo};
use serde_json::{Value, json};
use std::path::Path;

const LEAD: (&str, &str) = ("P-1", "2468");
const HELPER: (&str, &str) = ("P-2", "1357");
/// The spinning rod of the demo: its sleeve is next.
const SPIN: &str = "R-2";
/// The fly rod: its reel seat cures.
const FLY: &str = "R-1";
const SLEEVE: &str = "sleeve-by-heat";

#[tokio::test(flavor = "multi_thread")]
async fn a_new_workshop_has_no_fault_that_axe_finds() {
    let bench = Bench::new();
    let window = bench.open(&bench.folder().join("shop")).await;
    let mut findings = Findings::default();
    window.find("#found-name").await;
    findings.look_at(&window, "first run").await;
    for (field, text) in [
        ("#found-name", "Kettle Yard Rods"),
        ("#found-lead", "Ilse Brandvoll"),
        ("#found-pin", "12"),
        ("#found-station", "Bench"),
    ] {
        window.write(field, text).await;
    }
    window.press("#found-submit").await;
    window.says("at least 4 characters").await;
    findings.look_at(&window, "first run, refused").await;
    window.write("#found-pin", "lead-4711").await;
    window.press("#found-submit").await;
    window.find("#rack-empty").await;
    findings.look_at(&window, "empty rack").await;
    window.kill().await;
    findings.are_none();
}

#[tokio::test(flavor = "multi_thread")]
async fn the_screens_of_the_demo_have_no_fault_that_axe_finds() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    let mut findings = Findings::default();
    at(&window, "#/", "rack").await;
    findings.look_at(&window, "rack").await;
    window.press("#unlock").await;
    window.choose("#unlock-person", LEAD.0).await;
    window.write("#unlock-pin", "0000").await;
    window.press("#unlock-submit").await;
    window.says("does not open").await;
    findings.look_at(&window, "unlock, refused").await;
    window.press("#unlock-cancel").await;
    window.unlock(LEAD.0, LEAD.1).await;
    rods(&window, &mut findings).await;
    rooms(&window, &mut findings).await;
    papers(&window, &mut findings).await;
    window.kill().await;
    findings.are_none();
}

/// New rod, a rod's sheet with its dialogs, its layout.
async fn rods(window: &Window, findings: &mut Findings) {
    at(window, "#/new", "new").await;
    for (field, text) in [
        ("#customer", "Agnetha Moorcroft"),
        ("#title", "Light spinning rod"),
        ("#blank", "One-piece carbon, 7 ft"),
        ("#length", "-7 ft"),
        ("#diameters-0-fromButt", "0 mm"),
        ("#diameters-0-diameter", "11.2 mm"),
        ("#diameters-1-fromButt", "7 ft"),
        ("#diameters-1-diameter", "1.8 mm"),
    ] {
        window.write(field, text).await;
    }
    window.press("#add-rear-grip").await;
    window.find("#length-wrong").await;
    findings.look_at(window, "new rod, with a fault").await;
    at(window, &format!("#/rod/{SPIN}"), "rod").await;
    findings.look_at(window, "rod sheet").await;
    window.press("[id^=leave-out-]").await;
    window.find("#leave-out-reason").await;
    findings.look_at(window, "leave a stage out").await;
    at(window, &format!("#/layout/{SPIN}"), "layout").await;
    window.find("#guide-row-6").await;
    findings.look_at(window, "bend and guides").await;
}

async fn rooms(window: &Window, findings: &mut Findings) {
    at(window, "#/air/S-1", "air").await;
    findings.look_at(window, "air").await;
    window.press("#used-isopropyl-alcohol").await;
    window.press("#open-F-1").await;
    window.find("#unsaid, #close-F-1").await;
    window.press("#at-once-spill summary").await;
    findings.look_at(window, "air, a can open").await;
    window.press("#log-open").await;
    window.find("#log-preview svg text").await;
    findings.look_at(window, "station log").await;
    at(window, "#/air/S-2", "air").await;
    window.press("#begin-open-bench").await;
    window.find("#state-air-0").await;
    findings.look_at(window, "a list in hand").await;
    at(window, "#/crew", "crew").await;
    findings.look_at(window, "crew").await;
    window.press("#renew-P-2").await;
    window.find("#renew-new").await;
    findings.look_at(window, "a new PIN").await;
    at(window, "#/lots", "lots").await;
    findings.look_at(window, "lots").await;
    at(window, "#/material", "material").await;
    write_sheet(window).await;
    window.press("#mat-save").await;
    window.find("#mat-outcome[data-written='false']").await;
    findings.look_at(window, "material, refused").await;
}

async fn papers(window: &Window, findings: &mut Findings) {
    at(window, "#/checklists", "checklists").await;
    window.find("#file-spine").await;
    findings.look_at(window, "checklists").await;
    window.press("#read-spine").await;
    window.find("#editor-text").await.send_keys("x").await.unwrap();
    window.find("#editor-finding-0").await;
    findings.look_at(window, "checklist editor, with a finding").await;
    window.press("#editor-close").await;
    window.find("#unsaved-drop").await;
    findings.look_at(window, "something unsaved").await;
    window.press("#unsaved-drop").await;
    at(window, "#/ledger", "ledger").await;
    findings.look_at(window, "ledger").await;
    at(window, &format!("#/print/{FLY}"), "print").await;
    window.find("#preview svg text").await;
    findings.look_at(window, "print").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_walk_has_no_fault_that_axe_finds() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    let mut findings = Findings::default();
    window.unlock(LEAD.0, LEAD.1).await;
    window.at_walk(SPIN, "spine").await;
    window.find("#finished").await;
    findings.look_at(&window, "walk, finished").await;
    window.press("#entries-scale").await;
    window.press("[aria-label^='Correct: Once round the butt']").await;
    window.find("#correct-says").await;
    findings.look_at(&window, "a correction").await;
    window.at_walk(FLY, "reel-seat").await;
    window.press("#overview-toggle").await;
    findings.look_at(&window, "walk, curing, all steps").await;

    // As the helper, so that somebody has to witness.
    window.clear_for_heat("S-1", "F-1", LEAD.0).await;
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage(SPIN, SLEEVE, "S-1").await;
    let mut view = window.at_walk(SPIN, SLEEVE).await;
    window.find("#understand").await;
    findings.look_at(&window, "walk, held by its caution").await;
    while view["step"]["gate"].is_null() {
        let number = view["step"]["number"].as_u64().unwrap();
        window.prepare_step(SLEEVE, &view).await;
        if number == 1 {
            findings.look_at(&window, "walk, a step with its caution read").await;
        }
        window.sign(false).await;
        view = window.moved_on(SPIN, SLEEVE, number).await;
    }
    gate_and_witness(&window, &view, &mut findings).await;
    window.kill().await;
    findings.are_none();
}

async fn gate_and_witness(window: &Window, view: &Value, findings: &mut Findings) {
    window.find("#gate[data-open=true]").await;
    findings.look_at(window, "walk, cleared for heat").await;
    window.prepare_step(SLEEVE, view).await;
    findings.look_at(window, "walk, a hold point").await;
    window.sign(false).await;
    window.find("#witness-form").await;
    findings.look_at(window, "walk, a lead has to witness").await;
    let place = json!({ "rod": SPIN, "stage": SLEEVE, "step": view["step"]["id"] });
    let seen = json!({ "place": place, "person": LEAD.0, "pin": LEAD.1 });
    let witnessed = window.invoke("witness", seen).await;
    assert!(witnessed.get("ok").is_some(), "{witnessed}");
    window.invoke("stop_air", json!({ "station": "S-1" })).await;
    window.find("#gate[data-open=false]").await;
    findings.look_at(window, "walk, no heat").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_workshop_is_told_without_a_fault_that_axe_finds() {
    let bench = Bench::new();
    let mut findings = Findings::default();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let first = Workshop::open(&folder, Clock::Wall).unwrap();
    let window = bench.open(&folder).await;
    window.find("#read-only").await;
    findings.look_at(&window, "read only").await;
    window.kill().await;
    drop(first);

    let papers = bench.folder().join("papers");
    std::fs::create_dir(&papers).unwrap();
    std::fs::write(papers.join("letter.txt"), "not ours").unwrap();
    let window = bench.open(&papers).await;
    window.find("#unopened").await;
    findings.look_at(&window, "no workshop").await;
    window.kill().await;

    damage(&folder, "DROP TRIGGER event_stays; UPDATE event SET person = 'P-2' WHERE seq = 20");
    std::fs::create_dir_all(folder.join("checklists/stages")).unwrap();
    std::fs::write(folder.join("checklists/stages/half.toml"), "format = 1\nid = \"half\n")
        .unwrap();
    let window = bench.open(&folder).await;
    window.find("#ledger-fault").await;
    window.find("#problems").await;
    findings.look_at(&window, "rack, damaged").await;
    at(&window, "#/ledger", "ledger").await;
    window.press("#wayback-look").await;
    window.find("#wayback-none").await;
    findings.look_at(&window, "damaged ledger").await;
    window.kill().await;
    findings.are_none();
}

fn damage(folder: &Path, how: &str) {
    let raw = rusqlite::Connection::open(folder.join("ledger.db")).unwrap();
    raw.execute_batch(how).unwrap();
}

/// A fault that is put there is found: axe looks at the page, by the rules that were asked for.
#[tokio::test(flavor = "multi_thread")]
async fn a_fault_that_is_put_there_is_found() {
    let bench = Bench::new();
    let window = bench.open(&bench.folder().join("shop")).await;
    window.find("#found-name").await;
    let script = "document.querySelector('#found-submit').style.color = '#555';
        document.querySelector('label[for=found-name]').remove()";
    window.client.execute(script, vec![]).await.unwrap();
    let found = window.axe().await.join("\n");
    for rule in ["color-contrast at “#found-submit”", "label at “#found-name”"] {
        assert!(found.contains(rule), "axe does not find {rule}:\n{found}");
    }
    window.kill().await;
}

async fn at(window: &Window, route: &str, view: &str) {
    window.go(route).await;
    window.find(&format!("main[data-view='{view}']")).await;
}
