//! The demo, a second window, an overfull workshop, a folder that can't be opened.

use crate::driver::Bench;
use coldbench::{Clock, Workshop, demo};
use coldbench_ledger::Pin;
use coldbench_shop::{
    Command, DiameterReading, GripMaterial, NewStation, PersonId, Reading, ReelType, RodPlan,
};
use coldbench_trade::LengthUnit;
use serde_json::json;

#[tokio::test(flavor = "multi_thread")]
async fn the_demo_says_that_it_is_invented_and_refuses_heat() {
    let bench = Bench::new();
    let folder = bench.folder().join("demo");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.says("are invented").await;
    window.picture("demo-rack").await;
    window.unlock("P-1", "2468").await;
    window.open_bench("S-2").await;
    window.go("#/rod/R-2").await;
    window.find("main[data-view='rod']").await;
    window.picture("demo-rod").await;
    window.begin_stage("R-2", "sleeve-by-heat", "S-2").await;
    let mut view = window.at_walk("R-2", "sleeve-by-heat").await;
    while view["step"]["gate"].is_null() {
        let number = view["step"]["number"].as_u64().unwrap();
        window.prepare_step("sleeve-by-heat", &view).await;
        window.sign(false).await;
        view = window.moved_on("R-2", "sleeve-by-heat", number).await;
    }
    // The heat sign-off, sent straight to the command layer.
    let place =
        json!({ "place": { "rod": "R-2", "stage": "sleeve-by-heat", "step": view["step"]["id"] } });
    let refused = window.invoke("sign", place).await;
    assert_eq!(refused["error"]["code"], "no-clearance", "{refused}");
    // And no other command is there for a hostile page.
    let refused = window.invoke("plugin:fs|read_text_file", json!({ "path": "/etc/passwd" })).await;
    assert!(refused.get("ok").is_none(), "{refused}");
    window.kill().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_second_window_reads_only_and_says_so() {
    let bench = Bench::new();
    let folder = bench.folder().join("demo");
    demo::make(&folder).unwrap();
    let first = Workshop::open(&folder, Clock::Wall).unwrap();
    assert!(first.read_only().is_none());
    let window = bench.open(&folder).await;
    window.find("#read-only").await;
    window.says("Another Coldbench window has this workshop open").await;
    window.picture("second-window").await;
    let refused = window.invoke("unlock", json!({ "person": "P-1", "pin": "2468" })).await;
    assert_eq!(refused["error"]["code"], "read-only", "{refused}");
    window.kill().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_folder_that_cannot_be_opened_is_named_in_the_window() {
    let bench = Bench::new();
    let folder = bench.folder().join("papers");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("letter.txt"), "not ours").unwrap();
    let window = bench.open(&folder).await;
    window.says("holds other files and no workshop").await;
    window.picture("not-a-workshop").await;
    assert!(!window.has("#found-submit").await, "no form that could only fail");
    window.kill().await;
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "nothing was put there");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_overfull_workshop_is_still_shown() {
    let bench = Bench::new();
    let folder = bench.folder().join("full");
    overfull(&folder);
    let window = bench.open(&folder).await;
    window.says("60 rods").await;
    window.picture("overfull-rack").await;
    window.go("#/rod/R-60").await;
    window.find("main[data-view='rod']").await;
    window.picture("overfull-rod").await;
    // The broken checklist is named, and the others are there.
    window.go("#/").await;
    window.says("broken.toml").await;
    window.says("line 3").await;
    window.kill().await;
}

fn overfull(folder: &std::path::Path) {
    let mut shop = Workshop::open(folder, Clock::Wall).unwrap();
    let pin = || Pin::new("4711".to_owned());
    let name = "Wolfeschlegelsteinhausenbergerdorff-Featherstonehaugh the Younger";
    shop.found(
        Command::Found {
            name: format!("{name} & Daughters, Makers of Invented Rods"),
            demo: false,
            lengths: LengthUnit::Inch,
            lead: name.to_owned(),
            station: NewStation {
                name: format!("{name}'s bench"),
                room: "60 m3".to_owned(),
                shares_room_with: None,
            },
        },
        &pin(),
    )
    .unwrap();
    shop.unlock(&PersonId::new("P-1"), &pin()).unwrap();
    let reading = |text: String, mm: f64| Reading { text, value: mm };
    for n in 1..=60 {
        let length = 1500.0 + f64::from(n) * 40.0;
        let steps = 5 + n % 20;
        let diameters = (0..=steps)
            .map(|k| {
                let part = f64::from(k) / f64::from(steps);
                DiameterReading {
                    from_butt: reading(format!("{:.0} mm", part * length), part * length),
                    diameter: reading("x".to_owned(), 14.0 - 12.0 * part),
                }
            })
            .collect();
        shop.act(Command::BeginRod(Box::new(RodPlan {
            title: format!("Number {n}: a rod with a name that goes on for longer than any label"),
            customer: name.to_owned(),
            wishes: "Everything at once. ".repeat(60),
            reel: ReelType::Conventional,
            grip: GripMaterial::Eva,
            blank: "Averyveryverylongblanknamewithoutasinglespaceinit-3.60-H".to_owned(),
            length: reading(format!("{length} mm"), length),
            joins: Vec::new(),
            diameters,
            parts: Vec::new(),
            layout: None,
            sure: false,
        })))
        .unwrap();
    }
    std::fs::create_dir_all(folder.join("checklists/stages")).unwrap();
    std::fs::write(
        folder.join("checklists/stages/broken.toml"),
        "format = 1\nkind = \"stage\"\nid = \"half\ntitle = \"Half a file\"\n",
    )
    .unwrap();
}
