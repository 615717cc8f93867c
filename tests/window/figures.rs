//! The numbers for this rod in the window: worked out from the blank as measured, following it when
//! it is put right, and kept as they were when they were signed.

use crate::driver::{Bench, Window};
use coldbench::demo;
use serde_json::Value;
use std::process::Command;

const LEAD: (&str, &str) = ("P-1", "2468");
/// After the two rods of the demo.
const ROD: &str = "R-3";
const STAGE: &str = "rear-grip";

#[tokio::test(flavor = "multi_thread")]
async fn the_grip_stage_has_the_numbers_of_the_measured_blank() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock(LEAD.0, LEAD.1).await;
    measured_rod(&window).await;
    for stage in ["blank-intake", "spine"] {
        window.walk_through(ROD, stage, "S-1").await;
        window.unlock(LEAD.0, LEAD.1).await;
    }

    window.begin_stage(ROD, STAGE, "S-1").await;
    window.at_walk(ROD, STAGE).await;
    window.press("#understand").await;
    // The blank is 12.0 mm thick at the butt; the bore, 12.1 mm, leaves too little for the glue.
    let first = figure(&window, "ream").await;
    window.find("[data-figure='bore-stop'] svg").await;
    window.picture("walk-figures").await;

    // The butt was misread: it is 0.3 mm thicker.
    put_right(&window, 0, "12.3 mm", "The jaws were not closed.").await;
    window.at_walk(ROD, STAGE).await;
    let second = figure(&window, "ream").await;
    assert_ne!(first, second, "the figure follows the blank");
    // Reaming goes by the blank: 0.3 mm thicker, 0.3 mm more to take off.
    let (before, after) = (ream_to(&first), ream_to(&second));
    assert!((after - before - 0.3).abs() < 0.011, "{before} to {after}:\n{first}\n{second}");

    window.write("#value", "0.15 mm").await;
    window.press("#value-record").await;
    window.find("#value-now[data-within='true']").await;
    window.sign(false).await;
    window.moved_on(ROD, STAGE, 1).await;

    // Measured once more, thinner than first thought: what was signed stays.
    put_right(&window, 0, "11.9 mm", "Measured again with the other caliper.").await;
    window.says("The jaws were not closed.").await;
    window.picture("rod-put-right").await;
    window.at_walk(ROD, STAGE).await;
    window.press("#overview-toggle").await;
    window.press("#entries-ream-to-fit").await;
    let kept = text_of(&window, "#kept-ream-to-fit-1").await;
    assert_eq!(rows(&kept), rows(&second), "kept as signed:\n{kept}\n{second}");
    window.picture("walk-kept-figures").await;
    printed(&window, &bench, &second).await;
    window.kill().await;
}

/// A rod of this test's own invention, with the bore of its grip measured.
pub async fn measured_rod(window: &Window) {
    window.go("#/new").await;
    window.write("#customer", "Tilda Ravensgill").await;
    window.write("#title", "Perch rod for the mill pond").await;
    window.choose("#reel", "spinning").await;
    window.choose("#grip", "cork").await;
    window.write("#blank", "One-piece carbon, 2.1 m, medium").await;
    window.write("#length", "2100 mm").await;
    let rows =
        [("0 mm", "12.0 mm"), ("300 mm", "10.8 mm"), ("1000 mm", "7.4 mm"), ("2100 mm", "1.9 mm")];
    for (n, (from, diameter)) in rows.iter().enumerate() {
        if n > 1 {
            window.press("#add-diameter").await;
        }
        window.write(&format!("#diameters-{n}-fromButt"), from).await;
        window.write(&format!("#diameters-{n}-diameter"), diameter).await;
    }
    window.press("#add-rear-grip").await;
    for (field, value) in [
        ("description", "Cork, 260 mm"),
        ("from", "0 mm"),
        ("to", "260 mm"),
        ("diameter", "25 mm"),
        ("boreButt", "12.1 mm"),
        ("boreTip", "11.1 mm"),
    ] {
        window.write(&format!("#parts-0-{field}"), value).await;
    }
    window.press("#begin-rod").await;
    window.find("main[data-view='rod']").await;
}

/// Puts a measured diameter right on the rod's sheet.
async fn put_right(window: &Window, row: usize, diameter: &str, reason: &str) {
    window.go(&format!("#/rod/{ROD}")).await;
    window.press(&format!("#measured-{row}-correct")).await;
    window.write("#measured-diameter", diameter).await;
    window.write("#measured-reason", reason).await;
    let pin = window.pin.borrow().clone();
    window.write("#measured-pin", &pin).await;
    window.press("#measured-submit").await;
    window.gone("#measured-submit").await;
    window.says(reason).await;
}

async fn figure(window: &Window, name: &str) -> String {
    text_of(window, &format!("[data-figure='{name}']")).await
}

async fn text_of(window: &Window, css: &str) -> String {
    window.find(css).await.text().await.unwrap()
}

/// What the bore is to be reamed to at its butt end, mm.
fn ream_to(text: &str) -> f64 {
    let number = text.split("ream to ").nth(1).and_then(|text| text.split(" mm").next());
    number.and_then(|text| text.parse().ok()).unwrap_or_else(|| panic!("no number in:\n{text}"))
}

/// Everything down to the drawing, which is not kept, and the sources.
fn rows(text: &str) -> &str {
    text.split(" One side cut open").next().and_then(|text| text.split(" Figure:").next()).unwrap()
}

/// The build log says what was put right, and the figure as it was signed.
async fn printed(window: &Window, bench: &Bench, signed: &str) {
    let file = bench.folder().join("log.pdf");
    window.go(&format!("#/print/{ROD}")).await;
    window.find("main[data-view='print']").await;
    window.write("#save-path", file.to_str().unwrap()).await;
    window.press("#save").await;
    window.says("Saved as").await;
    let output = Command::new("pdftotext").args(["-layout"]).arg(&file).arg("-").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["The jaws were not closed.", "Measured again with the other caliper.", "11.9 mm"]
    {
        assert!(text.contains(words), "the log does not say “{words}”:\n{text}");
    }
    let to = format!("{:.2} mm", ream_to(signed));
    assert!(text.contains(&to), "the log does not say “{to}”:\n{text}");
    let held = Command::new(env!("CARGO_BIN_EXE_coldbench")).arg("verify").arg(&file).output();
    let held: Value = Value::String(String::from_utf8(held.unwrap().stdout).unwrap());
    assert!(held.to_string().contains("say the same"), "{held}");
}
