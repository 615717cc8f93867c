//! One rod, from an empty folder to the signed build log, in the window.

use crate::driver::{Bench, Window};
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;

const LEAD: (&str, &str) = ("P-1", "lead-4711");
const HELPER: (&str, &str) = ("P-2", "help-0815");
const ROD: &str = "R-1";
/// A day and a bit: the cure has run out. More than the 24 hours of the sheet: the room is a little colder than the sheet speaks of.
const A_DAY: i64 = 30 * 60;

#[tokio::test(flavor = "multi_thread")]
async fn from_an_empty_folder_to_a_signed_build_log() {
    let bench = Bench::new();
    let shop = bench.folder().join("shop");
    let window = bench.open(&shop).await;
    first_run(&window).await;
    crew_and_stations(&window).await;
    new_rod(&window).await;

    // A stage waits for the bench to be opened.
    window.begin_stage(ROD, "blank-intake", "S-1").await;
    window.says("is not open").await;
    window.open_bench("S-1").await;
    window.picture("bench-opened").await;

    window.walk_through(ROD, "blank-intake", "S-1").await;
    spine_by_the_helper(&window).await;
    let window = rear_grip_with_kills(&bench, &shop, window).await;
    sleeve_by_heat(&bench, &window).await;
    reel_seat(&bench, &window).await;
    print(&bench, &window, &shop).await;
    window.kill().await;
}

async fn first_run(window: &Window) {
    window.find("#found-name").await;
    window.picture("first-run").await;
    // Whoever sets the workshop up is at the bench then.
    window.pin.replace(LEAD.1.to_owned());
    window.write("#found-name", "Kettle Yard Rods").await;
    window.write("#found-lead", "Ilse Brandvoll").await;
    window.write("#found-pin", "12").await;
    window.write("#found-station", "Bench").await;
    window.write("#found-room", "55 m3").await;
    window.press("#found-submit").await;
    window.says("at least 4 characters").await;
    window.write("#found-pin", LEAD.1).await;
    window.press("#found-submit").await;
    window.find("#rack-empty").await;
    window.picture("rack-empty").await;
}

async fn crew_and_stations(window: &Window) {
    window.go("#/crew").await;
    window.write("#person-name", "Pip Lanternby").await;
    window.choose("#person-role", "helper").await;
    window.write("#person-pin", HELPER.1).await;
    window.press("#person-add").await;
    window.says("Pip Lanternby").await;
    window.write("#station-name", "Heat corner").await;
    window.press("#station-add").await;
    window.says("Heat corner").await;
    window.picture("crew").await;
    // Its volume was left for later, as the form says it may be.
    window.go("#/air/S-2").await;
    window.says("of unknown volume").await;
    window.press("#to-room").await;
    window.picture("air-room").await;
    window.write("#room-volume", "0 m3").await;
    window.press("#room-submit").await;
    window.says("is no volume of a room").await;
    window.write("#room-volume", "55 m3").await;
    window.press("#room-submit").await;
    window.says("Room: 55 m3.").await;
    window.picture("air-room-known").await;
    window.write("#container-name", "Wiping alcohol").await;
    window.write("#container-autoignition", "750 °F").await;
    window.press("#container-add").await;
    window.find("#container-F-1").await;
}

async fn new_rod(window: &Window) {
    window.go("#/new").await;
    window.write("#customer", "Agnetha Moorcroft").await;
    window.write("#title", "Light spinning rod").await;
    window.write("#wishes", "Small lures from the pier; a grip that wipes clean.").await;
    window.choose("#reel", "spinning").await;
    window.choose("#grip", "composite").await;
    window.write("#blank", "One-piece carbon, 7 ft").await;
    window.write("#length", "7 ft").await;
    let rows = [("0 mm", "11.2 mm"), ("2 ft", "5/16 in"), ("1400 mm", "4.1"), ("7 ft", "1.8 mm")];
    for (n, (from, diameter)) in rows.iter().enumerate() {
        if n > 1 {
            window.press("#add-diameter").await;
        }
        window.write(&format!("#diameters-{n}-fromButt"), from).await;
        window.write(&format!("#diameters-{n}-diameter"), diameter).await;
    }
    // Each fault is told at its field.
    window.write("#diameters-2-diameter", "9 mm").await;
    window.says("grows towards the tip").await;
    window.find("#diameters-2-diameter-wrong").await;
    window.write("#diameters-2-diameter", "5/0").await;
    window.says("divides by zero").await;
    window.write("#length", "-7 ft").await;
    window.says("is negative").await;
    window.find("#length-wrong").await;
    window.picture("new-rod-faults").await;
    window.write("#length", "7 ft").await;
    window.write("#diameters-2-diameter", "4.1 mm").await;
    for (n, (part, from, to, diameter)) in [
        ("rear-grip", "0 mm", "300 mm", "24 mm"),
        ("sleeve", "0 mm", "300 mm", "26 mm"),
        ("reel-seat", "300 mm", "415 mm", "23 mm"),
    ]
    .iter()
    .enumerate()
    {
        window.press(&format!("#add-{part}")).await;
        window.write(&format!("#parts-{n}-description"), &format!("The {part}")).await;
        window.write(&format!("#parts-{n}-from"), from).await;
        window.write(&format!("#parts-{n}-to"), to).await;
        window.write(&format!("#parts-{n}-diameter"), diameter).await;
    }
    window.find("#draft-drawing svg").await;
    window.picture("new-rod").await;
    window.press("#begin-rod").await;
    window.find("main[data-view='rod']").await;
    window.picture("rod-sheet").await;
}

async fn spine_by_the_helper(window: &Window) {
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage(ROD, "spine", "S-1").await;
    let mut view = window.at_walk(ROD, "spine").await;
    window.picture("walk-caution").await;
    let mut by_space = false;
    let mut witnessed = 0;
    while view["position"] != "finished" {
        let number = view["step"]["number"].as_u64().unwrap();
        if view["position"] == "witness" {
            witnessed += 1;
            witness(window, &view).await;
        } else {
            if view["step"]["id"] == "look-over" {
                outside_limits(window).await;
                view = window.walk(ROD, "spine").await;
            }
            window.prepare_step("spine", &view).await;
            window.sign(by_space).await;
            by_space = !by_space;
        }
        view = if view["position"] == "witness" {
            settled_witness(window, "spine").await
        } else {
            window.moved_on(ROD, "spine", number).await
        };
    }
    assert_eq!(witnessed, 1, "the mark is witnessed");
    window.find("#finished").await;
    window.picture("walk-finished").await;
    window.unlock(LEAD.0, LEAD.1).await;
}

/// A value outside its limits is told, and does not let the step be signed.
async fn outside_limits(window: &Window) {
    window.press("#understand").await;
    window.gone("#understand").await;
    window.write("#value", "14 mm").await;
    window.press("#value-record").await;
    window.says("must be 10 mm or less").await;
    window.picture("walk-outside-limits").await;
    let place = json!({ "place": { "rod": ROD, "stage": "spine", "step": "look-over" } });
    let refused = window.invoke("sign", place).await;
    assert_eq!(refused["error"]["code"], "outside-limits", "{refused}");
}

/// The helper can't witness their own step; the lead can.
async fn witness(window: &Window, view: &Value) {
    window.picture("walk-witness").await;
    let step = view["step"]["id"].as_str().unwrap();
    let arguments = json!({
        "place": { "rod": ROD, "stage": "spine", "step": step },
        "person": HELPER.0,
        "pin": HELPER.1,
    });
    let refused = window.invoke("witness", arguments).await;
    assert!(refused["error"]["message"].as_str().unwrap().contains("another person"), "{refused}");
    window.find("#witness-person").await;
    window.choose("#witness-person", LEAD.0).await;
    window.write("#witness-pin", LEAD.1).await;
    window.press("#witness").await;
}

async fn settled_witness(window: &Window, stage: &str) -> Value {
    for _ in 0..200 {
        let view = window.walk(ROD, stage).await;
        if view["position"] != "witness" {
            return view;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("never witnessed:\n{}", window.text().await);
}

/// The program is killed between every two steps, and comes back where it was.
async fn rear_grip_with_kills(bench: &Bench, shop: &Path, mut window: Window) -> Window {
    let stage = "rear-grip";
    window.begin_stage(ROD, stage, "S-1").await;
    let mut view = window.at_walk(ROD, stage).await;
    let mut kills = 0;
    while view["position"] != "finished" {
        let number = view["step"]["number"].as_u64().unwrap();
        let step = view["step"]["id"].as_str().unwrap().to_owned();
        if step == "cured" {
            window.press("#understand").await;
            window.picture("walk-cure-waits").await;
            let place = json!({ "place": { "rod": ROD, "stage": stage, "step": step } });
            window.write("#value", "0.3 mm").await;
            window.press("#value-record").await;
            window.find("#value-now").await;
            let refused = window.invoke("sign", place).await;
            assert_eq!(refused["error"]["code"], "clock-running", "{refused}");
            bench.shift_clock(A_DAY);
            view = window.walk(ROD, stage).await;
        }
        window.prepare_step(stage, &view).await;
        if step == "mix" {
            window.picture("walk-working-time").await;
        }
        // Killed with the value measured and the clock started, but not signed.
        let before = window.walk(ROD, stage).await;
        window = reopen(bench, shop, window).await;
        kills += 1;
        let after = window.at_walk(ROD, stage).await;
        assert_eq!(after["step"]["id"], before["step"]["id"]);
        assert_eq!(after["step"]["record"]["value"], before["step"]["record"]["value"]);
        assert_eq!(starts_of(&after), starts_of(&before));
        window.sign(false).await;
        view = window.moved_on(ROD, stage, number).await;
        // Killed again, right after the signature.
        let before = view.clone();
        window = reopen(bench, shop, window).await;
        kills += 1;
        view = window.at_walk(ROD, stage).await;
        assert_eq!(view["position"], before["position"]);
        assert_eq!(view["step"]["id"], before["step"]["id"]);
        assert_eq!(starts_of(&view), starts_of(&before));
    }
    assert!(kills >= 16, "{kills}");
    window
}

/// When each clock was started and runs out: what must not move.
fn starts_of(view: &Value) -> Vec<(Value, Value, Value)> {
    let clocks = view["clocks"].as_array().unwrap();
    clocks.iter().map(|c| (c["name"].clone(), c["started"].clone(), c["runsOut"].clone())).collect()
}

async fn reopen(bench: &Bench, shop: &Path, window: Window) -> Window {
    window.kill().await;
    let window = bench.open(shop).await;
    window.unlock(LEAD.0, LEAD.1).await;
    window
}

async fn sleeve_by_heat(bench: &Bench, window: &Window) {
    let stage = "sleeve-by-heat";
    window.open_bench("S-2").await;
    window.begin_stage(ROD, stage, "S-2").await;
    let mut view = window.at_walk(ROD, stage).await;
    let mut shift = A_DAY;
    while view["position"] != "finished" {
        let number = view["step"]["number"].as_u64().unwrap();
        let step = view["step"]["id"].as_str().unwrap().to_owned();
        match step.as_str() {
            "shrink-middle" => {
                no_heat(window, &step, "No clearance has been given").await;
                window.picture("walk-no-heat").await;
                window.clear_for_heat("S-2", "F-1", LEAD.0).await;
                window.picture("air-cleared").await;
                // Opening a flammable withdraws it at once.
                window.press("#open-F-1").await;
                window.says("was withdrawn").await;
                window.at_walk(ROD, stage).await;
                no_heat(window, &step, "A flammable was opened").await;
                window.go("#/air/S-2").await;
                window.press("#close-F-1").await;
                window.find("#open-F-1").await;
                window.clear_for_heat("S-2", "F-1", LEAD.0).await;
                view = window.at_walk(ROD, stage).await;
                window.picture("walk-heat").await;
            }
            "shrink-ends" => {
                // The clock jumps, as when the machine slept: nobody knows what went on.
                shift += 10;
                bench.shift_clock(shift);
                no_heat(window, &step, "the clock jumped").await;
                window.clear_for_heat("S-2", "F-1", LEAD.0).await;
                view = window.at_walk(ROD, stage).await;
            }
            "watch-end" => {
                shift += 61;
                bench.shift_clock(shift);
                view = window.walk(ROD, stage).await;
            }
            _ => {}
        }
        window.prepare_step(stage, &view).await;
        window.sign(number % 2 == 0).await;
        view = window.moved_on(ROD, stage, number).await;
    }
    window.go("#/air/S-2").await;
    window.find("main[data-view='air']").await;
    window.picture("air").await;
}

/// The window says so, and so does the command behind it, whatever a page sends.
async fn no_heat(window: &Window, step: &str, why: &str) {
    let place = json!({ "place": { "rod": ROD, "stage": "sleeve-by-heat", "step": step } });
    for command in ["understand", "sign"] {
        let refused = window.invoke(command, place.clone()).await;
        assert_eq!(refused["error"]["code"], "no-clearance", "{command}: {refused}");
        assert!(refused["error"]["message"].as_str().unwrap().contains(why), "{refused}");
    }
    window.find("#gate").await;
    window.says(why).await;
}

async fn reel_seat(bench: &Bench, window: &Window) {
    let stage = "reel-seat";
    // The sleeve's last signature locked the key.
    window.unlock(LEAD.0, LEAD.1).await;
    window.open_bench("S-1").await;
    window.begin_stage(ROD, stage, "S-1").await;
    let mut view = window.at_walk(ROD, stage).await;
    while view["position"] != "finished" {
        let number = view["step"]["number"].as_u64().unwrap();
        if view["step"]["id"] == "cured" {
            window.go("#/").await;
            window.find("main[data-view='rack']").await;
            window.picture("rack-curing").await;
            bench.shift_clock(3 * A_DAY);
            view = window.at_walk(ROD, stage).await;
        }
        if view["step"]["id"] == "dry-align" {
            on_a_sheet(bench, window).await;
        } else {
            alarms_of_resin(bench, window, view["step"]["id"].as_str().unwrap()).await;
            view = window.walk(ROD, stage).await;
            window.prepare_step(stage, &view).await;
            window.sign(number % 2 == 1).await;
        }
        view = window.moved_on(ROD, stage, number).await;
    }
    window.go("#/rod/R-1").await;
    window.find("main[data-view='rod']").await;
    window.picture("rod-done").await;
}

/// The resin is wet: gloves and working time alarm as they run out, and stay in sight once noted.
async fn alarms_of_resin(bench: &Bench, window: &Window, step: &str) {
    let shift = std::fs::read_to_string(bench.folder().join("clock")).unwrap();
    let shift: i64 = shift.trim().parse().unwrap();
    match step {
        // Of the 30 minutes of gloves and the 45 of the resin.
        "bond" => {
            assert!(!window.text().await.contains("Change gloves."), "alarmed too early");
            bench.shift_clock(shift + 41);
            window.says("Working time runs out.").await;
            window.says("Change gloves.").await;
            window.picture("alarm-resin").await;
            // What presses stands before all else.
            for _ in 0..2 {
                window.press("#alarm-noted-0").await;
            }
            window.says("Noted, and still so:").await;
            window.press("#gloves-fresh").await;
            window.says_no_more("Change gloves").await;
            window.says("Working time runs out").await;
        }
        "wet-align" => {
            bench.shift_clock(shift + 6);
            window.says("Working time over.").await;
            window.picture("alarm-working-time-over").await;
            // No seat is turned in resin that sets: it is mixed anew.
            window.press("#understand").await;
            window.press("#mix-anew").await;
            window.says_no_more("Working time over.").await;
        }
        _ => {}
    }
}

/// The power was out: the step was done by a sheet, and is copied in.
async fn on_a_sheet(bench: &Bench, window: &Window) {
    if window.has("#understand").await {
        window.press("#understand").await;
        window.gone("#understand").await;
    }
    window.press("#key-in-open").await;
    window.choose("#key-in-by", HELPER.0).await;
    window.write("#key-in-value-0", "1°").await;
    window.write("#key-in-pin", LEAD.1).await;
    window.write("#key-in-when", "half past two").await;
    window.press("#key-in-sign").await;
    window.says("“half past two” is no time").await;
    let shift = std::fs::read_to_string(bench.folder().join("clock")).unwrap();
    let now = chrono::Local::now() + chrono::TimeDelta::minutes(shift.trim().parse().unwrap());
    window.write("#key-in-when", &now.format("%Y-%m-%d %H:%M").to_string()).await;
    window.write("#key-in-pin", LEAD.1).await;
    window.picture("walk-from-paper").await;
    window.press("#key-in-sign").await;
    // It was a helper's work, wherever it was written down.
    window.choose("#witness-person", LEAD.0).await;
    window.says("on paper; copied in by").await;
    window.write("#witness-pin", LEAD.1).await;
    window.press("#witness").await;
}

async fn print(bench: &Bench, window: &Window, shop: &Path) {
    let file = bench.folder().join("out").join("log.pdf");
    window.go("#/print/R-1").await;
    window.find("main[data-view='print']").await;
    let pages = looked_at(window).await;
    window.write("#save-path", file.to_str().unwrap()).await;
    window.press("#save").await;
    window.says("Saved as").await;
    window.picture("print").await;
    read_back(&file);
    let told = program("pdfinfo", &[file.to_str().unwrap()]);
    let printed = told.lines().find_map(|line| line.strip_prefix("Pages:")).unwrap();
    assert_eq!(printed.trim(), pages.to_string(), "not as many pages as were looked at");
    // No desktop stands behind the display of a test.
    window.press("#open-folder").await;
    window.says("No file manager opens here. The file is in the folder").await;
    let elsewhere = window.invoke("open_folder", json!({ "path": "/etc/passwd" })).await;
    assert_eq!(elsewhere["error"]["code"], "bad-input", "{elsewhere}");
    let other_job = window.invoke("print_job", json!({ "job": "coldbench-test-1" })).await;
    assert_eq!(other_job["error"]["code"], "bad-input", "{other_job}");
    let alone = program(env!("CARGO_BIN_EXE_coldbench"), &["verify", file.to_str().unwrap()]);
    assert!(alone.contains("pages were drawn again from the record and say the same"), "{alone}");
    let verified =
        program(env!("CARGO_BIN_EXE_coldbench"), &["verify", "--workshop", shop.to_str().unwrap()]);
    assert!(verified.contains("The ledger holds"), "{verified}");
    sheets(bench, window).await;
    on_paper(window).await;
}

/// The sheets beside the build log, each looked at and saved in the same place.
async fn sheets(bench: &Bench, window: &Window) {
    let out = bench.folder().join("out");
    for (sheet, stage, says) in [
        ("by-hand", Some("reel-seat"), "Bed the reel seat"),
        ("bench-sheet", Some("reel-seat"), "Bed the reel seat"),
        ("rod-sheet", None, "Blank as measured"),
    ] {
        window.choose("#sheet", sheet).await;
        if let Some(stage) = stage {
            window.choose("#sheet-stage", stage).await;
        }
        window.save_sheet("sheet", &out.join(format!("{sheet}.pdf")), says).await;
    }
    window.picture("print-sheets").await;
    let rows = out.join("rows.csv");
    window.write("#row-save-path", rows.to_str().unwrap()).await;
    window.write("#row-from", "yesterday").await;
    window.press("#row-save").await;
    window.says("“yesterday” is no day").await;
    window.write("#row-from", "2026-01-01").await;
    window.press("#row-save").await;
    window.says(&format!("Saved as {}", rows.display())).await;
    assert!(std::fs::read_to_string(&rows).unwrap().contains("step-done"));
    window.go("#/crew").await;
    window.choose("#training-person", HELPER.0).await;
    window.save_sheet("training", &out.join("training.pdf"), "Pip Lanternby").await;
    window.picture("crew-training").await;
    window.go("#/air/S-2").await;
    window.save_sheet("clearance", &out.join("clearance.pdf"), "Clearance").await;
    window.go("#/print/R-1").await;
    window.find("main[data-view='print']").await;
}

/// Every page is shown before anything is printed; says how many there are.
async fn looked_at(window: &Window) -> u64 {
    window.find("#preview svg text").await;
    window.says("Page 1 of").await;
    window.picture("print-preview").await;
    window.press("#zoom-full").await;
    window.picture("print-preview-full-size").await;
    // The type of the paper is there: no text is pulled by more than a screen rounds its letters.
    let script = "return [...document.querySelectorAll('#preview text')].map((text) => {
        const told = text.getAttribute('textLength');
        text.removeAttribute('textLength');
        const natural = text.getComputedTextLength();
        text.setAttribute('textLength', told);
        return Math.abs(natural - told) / told;
    })";
    let off = window.client.execute(script, vec![]).await.unwrap();
    let off: Vec<f64> = serde_json::from_value(off).unwrap();
    assert!(off.len() > 10 && off.iter().all(|share| *share < 0.1), "texts are off by {off:?}");
    window.press("#zoom-fit").await;

    let what = json!({ "kind": "build-log", "rod": ROD });
    let asked = json!({ "what": what, "paper": "letter", "page": 10_000 });
    let last = window.invoke("preview_pages", asked).await;
    let pages = last["ok"]["pages"].as_u64().unwrap();
    assert!(pages > 8 && last["ok"]["page"] == pages, "{pages} pages");
    let body = window.find("#preview").await;
    let (right, left) = ("\u{e014}", "\u{e012}");
    for page in 2..=pages {
        body.send_keys(right).await.unwrap();
        window.says(&format!("Page {page} of {pages}")).await;
        window.find(&format!("#preview[aria-label$='Page {page} of {pages}'] svg text")).await;
        assert!(!window.has("#preview-trouble").await, "page {page} is not shown");
    }
    window.picture("print-preview-last").await;
    body.send_keys(left).await.unwrap();
    window.says(&format!("Page {} of {pages}", pages - 1)).await;
    pages
}

fn program(name: &str, arguments: &[&str]) -> String {
    let output =
        Command::new(name).args(arguments).output().unwrap_or_else(|e| panic!("{name}: {e}"));
    assert!(output.status.success(), "{name} {arguments:?}: {output:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// Other people's tools read the PDF.
fn read_back(file: &Path) {
    let path = file.to_str().unwrap();
    program("qpdf", &["--check", path]);
    let text = program("pdftotext", &["-layout", path, "-"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Kettle Yard Rods",
        "Agnetha Moorcroft",
        "Ilse Brandvoll",
        "Pip Lanternby",
        "shrink a ring at the middle",
        "PVC gives off acid fumes",
        "witnessed this step",
        "did this step",
        "read and understood the caution",
        "14 mm",
        "140 °C",
        "Heat was used under clearance C-2",
        "Heat was used under clearance C-3",
        "stood still, or the clock jumped",
        "1 % of the lower flammable limit",
        "Local codes",
        "no gas detector",
    ] {
        assert!(text.contains(words), "the log does not say “{words}”:\n{text}");
    }
    let zone = chrono::Local::now().format("%:z").to_string();
    assert!(text.contains(&zone), "no UTC offset {zone}");
}

/// A real job through a real CUPS, to a queue that writes PDF files.
async fn on_paper(window: &Window) {
    if std::env::var_os("COLDBENCH_TEST_NO_CUPS").is_some() {
        eprintln!("Left out: printing on a real queue (CUPS could not be started).");
        return;
    }
    // tests/run makes the queue.
    window.find("#printer option[value='coldbench-test']").await;
    window.choose("#printer", "coldbench-test").await;
    window.write("#copies", "21").await;
    window.press("#print").await;
    window.says("Print 1 to 20 copies at once.").await;
    window.write("#copies", "2").await;
    window.press("#print").await;
    window.says("2 copies sent to coldbench-test, job coldbench-test-").await;
    window.find("#job[data-done='true']").await;
    window.says("Printed, as far as the print system knows.").await;
    window.picture("printed").await;
    waits_and_is_taken_out(window).await;
    assert!(came_out("Build_log").await > 8);
    // A stage to fill in by hand, before the power goes out.
    window.choose("#sheet", "by-hand").await;
    window.choose("#sheet-stage", "reel-seat").await;
    window.press("#sheet-open").await;
    window.choose("#sheet-printer", "coldbench-test").await;
    window.press("#sheet-print").await;
    window.says("Sent to coldbench-test, job coldbench-test-").await;
    window.find("#sheet-job[data-done='true']").await;
    assert!(came_out("by_hand").await > 0);
}

/// The pages of what came out of the queue under a name, once it is whole; the file is taken away.
async fn came_out(name: &str) -> u32 {
    let spool = dirs::home_dir().unwrap().join("PDF");
    for _ in 0..300 {
        let printed = std::fs::read_dir(&spool).ok().and_then(|entries| {
            let mut paths = entries.flatten().map(|entry| entry.path());
            paths.find(|path| path.to_string_lossy().contains(name))
        });
        if let Some(path) = printed
            && std::fs::metadata(&path).is_ok_and(|meta| meta.len() > 1000)
        {
            // The spooler may still be writing: then there are no pages yet.
            let output = Command::new("pdfinfo").arg(&path).output().unwrap();
            let pages = String::from_utf8_lossy(&output.stdout)
                .lines()
                .find_map(|line| line.strip_prefix("Pages:")?.trim().parse::<u32>().ok());
            if let Some(pages) = pages {
                std::fs::remove_file(&path).unwrap();
                return pages;
            }
        }
        tokio::time::sleep(std::time::Duration::from_millis(200)).await;
    }
    panic!("nothing came out of the print queue in {}", spool.display());
}

/// A queue that is stopped says so, and so does a job that somebody takes out of it.
async fn waits_and_is_taken_out(window: &Window) {
    program("cupsdisable", &["-r", "Out for cleaning", "coldbench-test"]);
    window.write("#copies", "1").await;
    window.press("#print").await;
    window.says("Waits: the printer is stopped in the print system.").await;
    window.says("Out for cleaning").await;
    let job = window.find("#printed").await.text().await.unwrap();
    let job = job.rsplit_once("job ").unwrap().1.trim_end_matches('.').to_owned();
    program("cancel", &[&job]);
    window.find("#job[data-done='true']").await;
    window.says("Stopped: the job left the queue before the printer began").await;
    window.picture("print-stopped").await;
    program("cupsenable", &["coldbench-test"]);
}
