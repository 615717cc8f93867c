//! The shop's own checklists in the window: findings while a file is written, what an own text takes
//! away and who signs for it, a stage in hand that goes on by a new text, a stage left out.

use crate::driver::{Bench, Window};
use coldbench::demo;
use serde_json::json;
use std::path::Path;
use std::process::Command;

const LEAD: (&str, &str) = ("P-1", "2468");
/// The spinning rod of the demo: its sleeve is next.
const SPIN: &str = "R-2";
/// The fly rod: its reel seat cures.
const FLY: &str = "R-1";

fn shipped(path: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../checklists");
    std::fs::read_to_string(folder.join(path)).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn own_texts_are_looked_at_held_signed_for_and_gone_on_by() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let own = |path: &str, text: &str| {
        let path = folder.join("checklists").join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    let window = bench.open(&folder).await;
    // Nobody has time for a PIN with solvent on the floor.
    window.go("#/air/S-1").await;
    window.press("#at-once-spill summary").await;
    window.says("Call out, lead all to fresh air").await;
    window.picture("spill-without-a-pin").await;
    window.unlock(LEAD.0, LEAD.1).await;
    window.go("#/checklists").await;
    window.find("#file-spine").await;
    window.says("Nothing is wrong with any file").await;
    window.picture("checklists").await;
    findings_as_one_writes(&window, &own).await;
    a_guard_is_signed_for(&window, &own).await;
    in_the_window(&window).await;
    another_text(&window, &own).await;
    left_out(&window).await;
    printed(&window, &bench).await;
    window.kill().await;
}

/// Written in any editor, and named here at its line, while the screen stands open.
async fn findings_as_one_writes(window: &Window, own: &impl Fn(&str, &str)) {
    let bag = "format = 1\nkind = \"stage\"\nid = \"rod-bag\"\ntitle = \"Sew the bag\"\naim = \"The rod has a bag.\"\nrevised = \"2026-11-28\"\nneeds = [\"spine\"]\n\n[[step]]\nid = \"sew\"\nwhat = \"Sew the bag.\"\nkey-point = \"Double seam.\"\nreason = \"A rod falls out of a single one.\"\nrecord = { name = \"Length of the bag\", measure = \"lenght\", least = \"500 mm\" }\n";
    own("stages/rod-bag.toml", bag);
    window.says("in stages/rod-bag.toml, line 14").await;
    window.says("is not used until it is mended").await;
    window.picture("checklists-finding").await;
    own("stages/rod-bag.toml", &bag.replace("lenght", "length"));
    window.says("Nothing is wrong with any file").await;
    window.find("#file-rod-bag").await;
}

/// A text that warns less is held until a lead gives a reason and the PIN.
async fn a_guard_is_signed_for(window: &Window, own: &impl Fn(&str, &str)) {
    let text = shipped("stages/sleeve-by-heat.toml");
    let less = text.replace(
        "wear = [\"heat-resistant gloves\", \"eye protection\"]",
        "wear = [\"eye protection\"]",
    );
    assert_ne!(less, text);
    own("stages/sleeve-by-heat.toml", &less);
    window.find("#held-sleeve-by-heat").await;
    window.picture("checklists-held").await;
    let begin = json!({ "rod": SPIN, "stage": "sleeve-by-heat", "station": "S-1" });
    let refused = window.invoke("begin_stage", begin.clone()).await;
    assert_eq!(refused["error"]["code"], "override-not-accepted", "{refused}");
    window.write("#override-sleeve-by-heat-reason", "Our gun has a guard").await;
    window.choose("#override-sleeve-by-heat-person", LEAD.0).await;
    window.write("#override-sleeve-by-heat-pin", LEAD.1).await;
    window.press("#override-sleeve-by-heat-form button").await;
    window.find("#accepted-sleeve-by-heat").await;
    window.picture("checklists-accepted").await;
    let begun = window.invoke("begin_stage", begin).await;
    assert!(begun.get("ok").is_some(), "{begun}");
}

/// The editor in the window: typing is judged at once, and nothing is lost unasked.
async fn in_the_window(window: &Window) {
    window.press("#read-spine").await;
    let field = window.find("#editor-text").await;
    field.send_keys("x").await.unwrap();
    window.find("#editor-finding-0").await;
    window.picture("checklists-editor").await;
    window.press("#editor-close").await;
    window.find("#unsaved-drop").await;
    window.picture("checklists-unsaved").await;
    window.press("#unsaved-drop").await;
    window.find("#file-spine").await;
}

/// A stage in hand keeps its text until a lead lets it go on by the new one.
async fn another_text(window: &Window, own: &impl Fn(&str, &str)) {
    let before = window.at_walk(FLY, "reel-seat").await;
    let text = shipped("stages/reel-seat.toml");
    let newer = text.replace("title = \"Bed the reel seat\"", "title = \"Bed the seat\"");
    assert_ne!(newer, text);
    own("stages/reel-seat.toml", &newer);
    window.press("#newer-see").await;
    window.find("#newer-differences").await;
    window.picture("walk-newer").await;
    assert_eq!(window.walk(FLY, "reel-seat").await["title"], before["title"]);
    window.choose("#newer-person", LEAD.0).await;
    window.write("#newer-pin", LEAD.1).await;
    window.press("#newer-move").await;
    window.gone("#newer").await;
    let after = window.walk(FLY, "reel-seat").await;
    assert_eq!(after["title"], "Bed the seat");
    assert_eq!(after["step"]["id"], before["step"]["id"]);
}

async fn left_out(window: &Window) {
    window.go(&format!("#/rod/{FLY}")).await;
    window.find("main[data-view='rod']").await;
    window.press("#leave-out-ferrule-fit").await;
    window.write("#leave-out-reason", "The maker fitted and marked them").await;
    window.choose("#leave-out-person", LEAD.0).await;
    window.write("#leave-out-pin", LEAD.1).await;
    window.picture("leave-out").await;
    window.press("#leave-out-submit").await;
    window.gone("#leave-out-form").await;
    window.picture("rod-groups").await;
}

async fn printed(window: &Window, bench: &Bench) {
    let file = bench.folder().join("log.pdf");
    window.go(&format!("#/print/{FLY}")).await;
    window.find("main[data-view='print']").await;
    let by_hand = bench.folder().join("by-hand.pdf");
    window.find("#sheet-stage option[value='guide-layout']").await;
    window.choose("#sheet-stage", "guide-layout").await;
    window.save_sheet("sheet", &by_hand, "To be keyed in later").await;
    window.write("#save-path", file.to_str().unwrap()).await;
    window.press("#save").await;
    window.says("log.pdf.").await;
    let output = Command::new("pdftotext").args(["-layout"]).arg(&file).arg("-").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "The shop's own text, in place of the one that comes with Coldbench.",
        "The stage went on by another text.",
        "“Bed the seat” in place of “Bed the reel seat”",
        "The maker fitted and marked them",
    ] {
        assert!(text.contains(words), "the log does not say “{words}”:\n{text}");
    }
    let held = Command::new(env!("CARGO_BIN_EXE_coldbench")).arg("verify").arg(&file).output();
    let held = String::from_utf8(held.unwrap().stdout).unwrap();
    assert!(held.contains("say the same"), "{held}");
}
