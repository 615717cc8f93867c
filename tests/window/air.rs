//! The air of a room in the window: what was used, the estimate, what it does to a clearance at
//! another station, the watch, the day on paper.

use crate::driver::{Bench, Window};
use coldbench::demo;

#[tokio::test(flavor = "multi_thread")]
async fn what_is_used_at_one_station_ends_heat_at_the_other() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;

    window.clear_for_heat("S-2", "F-2", "P-2").await;
    window.find("#air-panel").await;
    window.says("gas detector").await;
    window.go("#/air/S-1").await;
    window.find("#used-isopropyl-alcohol").await;
    window.go("#/air/S-2").await;
    window.says("Cleared for heat").await;
    window.picture("air-estimate").await;

    // Two touches: what, and how much of it.
    window.go("#/air/S-1").await;
    window.press("#used-isopropyl-alcohol").await;
    window.press("#amount-1").await;
    window.says("15 mL of Isopropyl alcohol").await;
    window.picture("air-used").await;
    window.go("#/air/S-2").await;
    window.says("was withdrawn").await;
    window.says("A flammable was opened or used in the room").await;

    // A can that stands open: nothing is known until it is closed and somebody says how much.
    window.go("#/air/S-1").await;
    window.press("#open-F-1").await;
    window.says("is open").await;
    window.find("#unsaid").await;
    window.press("#close-F-1").await;
    window.find("#open-F-1").await;
    window.says("Say how much was used").await;
    window.picture("air-unsaid").await;
    window.press("#used-isopropyl-alcohol").await;
    window.press("#used-none").await;
    window.gone("#unsaid").await;

    window.press("#stop-air").await;
    window.says("Stopped, or not known to run").await;

    // The day on paper.
    let file = bench.folder().join("day.pdf");
    window.press("#log-open").await;
    window.find("#log-preview svg text").await;
    window.says("Page 1 of").await;
    window.write("#log-save-path", file.to_str().unwrap()).await;
    window.press("#log-save").await;
    window.says("Saved as").await;
    let output = std::process::Command::new("pdftotext")
        .args(["-layout", file.to_str().unwrap(), "-"])
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    for words in ["Station log", "Long bench", "15 mL of Isopropyl alcohol", "was opened"] {
        assert!(text.contains(words), "the log does not say “{words}”:\n{text}");
    }
    let script = "document.getElementById('station-log').scrollIntoView()";
    window.client.execute(script, vec![]).await.unwrap();
    window.picture("air-log").await;
    window.kill().await;
}

/// A product written down from the sheet in the hand can be set down as used.
#[tokio::test(flavor = "multi_thread")]
async fn a_product_is_written_down_from_its_sheet() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock("P-1", "2468").await;
    window.go("#/material").await;
    window.find("main[data-view='material']").await;
    write_sheet(&window).await;
    window.write("#mat-hazard", "H225").await;
    window.press("#mat-hazard-add").await;
    window.find("#mat-hazard-remove-H225").await;
    window.press("#mat-save").await;
    window.find("#mat-outcome[data-written='false']").await;
    window.picture("material-refused").await;
    window.write("#mat-flash", "-4 °C").await;
    window.press("#mat-save").await;
    window.find("#mat-outcome[data-written='true']").await;
    assert!(folder.join("checklists/materials/bench-wash.toml").exists());
    window.go("#/air/S-1").await;
    window.press("#used-bench-wash").await;
    window.press("#amount-0").await;
    window.says("10 mL of Bench wash").await;
    window.kill().await;
}

/// Writes down an invented product, with one fault in it.
pub async fn write_sheet(window: &Window) {
    for (field, text) in [
        ("#mat-title", "Bench wash"),
        ("#mat-sheet", "Its sheet of 2026-01-12, invented."),
        ("#mat-caution", "It burns. Keep air moving. The sheet comes first."),
        ("#mat-name-0", "Ethyl acetate"),
        ("#mat-share-0", "100 %"),
        ("#mat-molar-0", "88.11 g/mol"),
        ("#mat-limit-0", "2.0 %"),
        ("#mat-day-0", "400 ppm"),
        ("#mat-density", "0.9 g/mL"),
        ("#mat-flash", "cold"),
        ("#mat-boils", "77 °C"),
        ("#mat-autoignition", "427 °C"),
        ("#mat-amount", "10 mL"),
        ("#mat-purpose", "a wet cloth"),
    ] {
        window.write(field, text).await;
    }
}
