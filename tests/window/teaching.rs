//! Teaching in the window: a lead and a helper, one stage on three rods, and heat that a helper never
//! uses alone.

use crate::driver::{Bench, Window};
use coldbench::{Clock, Workshop};
use coldbench_ledger::Pin;
use coldbench_shop::{
    Command, DiameterReading, GripMaterial, NewStation, PersonId, Reading, ReelType, RodPlan, Role,
    StationId,
};
use coldbench_trade::LengthUnit;
use serde_json::{Value, json};
use std::path::Path;

const LEAD: (&str, &str) = ("P-1", "lead-4711");
const HELPER: (&str, &str) = ("P-2", "help-0815");
const STAGE: &str = "badge";
const BADGE: &str = include_str!("../badge.toml");
const WARM: &str = r#"
format = 1
kind = "stage"
id = "warm"
title = "Warm the badge"
aim = "Its edge lies down."
revised = "2026-01-01"
[[step]]
id = "warm"
what = "Warm the edge of the badge until it lies down."
key-point = "Keep moving."
reason = "Held still, hot air chars the film."
caution = "Hot air burns skin, and so does the gun's mouth. Keep both hands behind it. The film's data sheet comes first."
hazards = ["heat"]
heat = true
gun-limit = "150 °C"
"#;

fn plan(title: &str) -> RodPlan {
    let reading = |value: f64| Reading { text: format!("{value} mm"), value };
    RodPlan {
        title: title.to_owned(),
        customer: "Agnetha Moorcroft".to_owned(),
        wishes: String::new(),
        reel: ReelType::Spinning,
        grip: GripMaterial::Cork,
        blank: "One-piece carbon".to_owned(),
        length: reading(2100.0),
        joins: Vec::new(),
        diameters: [(10.0, 11.0), (2090.0, 1.6)]
            .map(|(x, d)| DiameterReading { from_butt: reading(x), diameter: reading(d) })
            .to_vec(),
        parts: Vec::new(),
        layout: None,
        sure: false,
    }
}

/// A workshop with a lead, a helper with a long name, three rods and two stages of its own.
fn shop(folder: &Path) {
    let mut shop = Workshop::open(folder, Clock::Wall).unwrap();
    let pin = |pin: &str| Pin::new(pin.to_owned());
    let found = Command::Found {
        name: "Kettle Yard Rods".to_owned(),
        demo: false,
        lengths: LengthUnit::Millimetre,
        lead: "Ilse Brandvoll".to_owned(),
        station: NewStation {
            name: "Bench".to_owned(),
            room: "50 m3".to_owned(),
            shares_room_with: None,
        },
    };
    shop.found(found, &pin(LEAD.1)).unwrap();
    shop.unlock(&PersonId::new(LEAD.0), &pin(LEAD.1)).unwrap();
    let helper = Command::AddPerson { name: "Pip Lanternby".to_owned(), role: Role::Helper };
    shop.add_person(helper, &pin(HELPER.1)).unwrap();
    let long = "Maximiliana-Theodora Ochterlonyshire-Featherstonehaugh".to_owned();
    for name in [long, "Tam Ferrier".to_owned(), "Odile Marchbanks".to_owned()] {
        let other = Command::AddPerson { name, role: Role::Helper };
        shop.add_person(other, &pin("1234-5678")).unwrap();
    }
    shop.act(Command::AddStation(NewStation {
        name: "Rack".to_owned(),
        room: String::new(),
        shares_room_with: Some(StationId::new("S-1")),
    }))
    .unwrap();
    shop.act(Command::ListContainer {
        station: StationId::new("S-1"),
        name: "Wiping alcohol".to_owned(),
        autoignition: "399 °C".to_owned(),
        material: None,
    })
    .unwrap();
    for title in ["First rod", "Second rod", "Third rod"] {
        shop.act(Command::BeginRod(Box::new(plan(title)))).unwrap();
    }
    let stages = folder.join("checklists/stages");
    std::fs::create_dir_all(&stages).unwrap();
    std::fs::write(stages.join("badge.toml"), BADGE).unwrap();
    std::fs::write(stages.join("warm.toml"), WARM).unwrap();
}

/// A lead signs what was presented or told.
async fn lead_signs(window: &Window, lesson: &str) {
    window.find(&format!("#teaching[data-lesson='{lesson}']")).await;
    window.choose("#teach-person", LEAD.0).await;
    window.write("#teach-pin", LEAD.1).await;
    window.press("#teach-sign").await;
    window.gone(&format!("#teaching[data-lesson='{lesson}']")).await;
}

async fn witness(window: &Window) {
    window.choose("#witness-person", LEAD.0).await;
    window.write("#witness-pin", LEAD.1).await;
    window.press("#witness").await;
    window.gone("#witness-form").await;
}

async fn sign(window: &Window, rod: &str, number: u64) -> Value {
    // The screen follows the shell a moment later.
    window.says(&format!("Step {number} of 3")).await;
    window.sign(false).await;
    window.moved_on(rod, STAGE, number).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_helper_is_taught_does_it_alone_and_never_heats_alone() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    std::fs::create_dir_all(&folder).unwrap();
    shop(&folder);
    let window = bench.open(&folder).await;
    window.unlock(LEAD.0, LEAD.1).await;
    window.open_bench("S-1").await;
    ask(&window).await;
    first_run(&window).await;
    second_run(&window).await;
    heat(&window).await;
    on_paper(&bench, &window).await;
    window.kill().await;
}

/// One witnessed run is asked of the stage.
async fn ask(window: &Window) {
    window.go("#/crew").await;
    window.press("#teach-badge").await;
    window.choose("#teaching-runs", "1").await;
    window.write("#teaching-days", "ninety").await;
    window.choose("#teaching-person", LEAD.0).await;
    window.write("#teaching-pin", LEAD.1).await;
    window.press("#teaching-submit").await;
    window.says("Write whole days").await;
    window.write("#teaching-days", "90").await;
    window.picture("crew-asked").await;
    window.press("#teaching-submit").await;
    window.says("What is asked of “Set the badge” is signed.").await;
    window.says("1 witnessed run, refresh after 90 days").await;
}

/// Presented, tried out, told back, witnessed.
async fn first_run(window: &Window) {
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage("R-1", STAGE, "S-1").await;
    window.at_walk("R-1", STAGE).await;
    window.find("#prepare").await;
    window.says("was not presented to Pip Lanternby yet").await;
    window.picture("teach-prepare").await;
    let place = json!({ "place": { "rod": "R-1", "stage": STAGE, "step": "clean" } });
    let refused = window.invoke("sign", place).await;
    assert_eq!(refused["error"]["code"], "not-presented", "{refused}");
    // A helper presents nothing.
    let own = json!({
        "place": { "rod": "R-1", "stage": STAGE, "step": "clean" },
        "learner": HELPER.0, "person": HELPER.0, "pin": HELPER.1,
    });
    let refused = window.invoke("present_step", own).await;
    assert_eq!(refused["error"]["code"], "lead-only", "{refused}");
    lead_signs(window, "present").await;
    window.find("#teaching[data-lesson='try-out']").await;
    window.picture("teach-try-out").await;
    let view = sign(window, "R-1", 1).await;
    assert_eq!(view["position"], "witness", "the lead has to look at a step that asks for nobody");
    witness(window).await;
    window.says("Step 2 of 3").await;
    lead_signs(window, "present").await;
    window.find("#teaching[data-lesson='tell-back']").await;
    let told = window.text().await;
    assert!(!told.contains("Roll it on"), "the key point stands there: {told}");
    window.picture("teach-tell-back").await;
    lead_signs(window, "tell-back").await;
    window.says("Roll it on").await;
    sign(window, "R-1", 2).await;
    witness(window).await;
    lead_signs(window, "present").await;
    sign(window, "R-1", 3).await;
    witness(window).await;
    window.find("#finished").await;
}

/// Alone, and a lead looks at the end.
async fn second_run(window: &Window) {
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage("R-2", STAGE, "S-1").await;
    window.at_walk("R-2", STAGE).await;
    window.find("#teaching[data-lesson='follow-up']").await;
    window.picture("teach-follow-up").await;
    let view = sign(window, "R-2", 1).await;
    assert_eq!(view["position"], "step", "nobody has to look at it");
    lead_signs(window, "tell-back").await;
    let view = sign(window, "R-2", 2).await;
    assert_eq!(view["position"], "step", "nobody has to look at it");
    let view = sign(window, "R-2", 3).await;
    assert_eq!(view["position"], "witness", "the last step is the release");
    witness(window).await;
    window.find("#finished").await;
    // From then on the stage is theirs.
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage("R-3", STAGE, "S-1").await;
    window.at_walk("R-3", STAGE).await;
    assert!(!window.has("#teaching").await, "{}", window.text().await);
    for number in 1..=3 {
        sign(window, "R-3", number).await;
    }
    window.find("#finished").await;
}

/// The helper is named as who watches: then the gun stays cold for them.
async fn heat(window: &Window) {
    window.unlock(LEAD.0, LEAD.1).await;
    window.clear_for_heat("S-1", "F-1", HELPER.0).await;
    window.unlock(HELPER.0, HELPER.1).await;
    window.begin_stage("R-1", "warm", "S-1").await;
    window.at_walk("R-1", "warm").await;
    window.says("A helper never uses heat alone").await;
    window.picture("teach-heat-alone").await;
    let place = json!({ "place": { "rod": "R-1", "stage": "warm", "step": "warm" } });
    for command in ["understand", "sign"] {
        let refused = window.invoke(command, place.clone()).await;
        assert_eq!(refused["error"]["code"], "heat-alone", "{command}: {refused}");
    }
    window.unlock(LEAD.0, LEAD.1).await;
    window.clear_for_heat("S-1", "F-1", LEAD.0).await;
    window.unlock(HELPER.0, HELPER.1).await;
    window.at_walk("R-1", "warm").await;
    window.press("#understand").await;
    window.gone("#understand").await;
    window.sign(false).await;
    window.find("#witness-form").await;
}

async fn on_paper(bench: &Bench, window: &Window) {
    window.go("#/crew").await;
    window.says("alone since").await;
    window.find("td[data-standing='alone']").await;
    let frame = window.find("#crew-table .frame").await;
    let script = "arguments[0].scrollIntoView();
        return document.documentElement.scrollWidth <= document.documentElement.clientWidth";
    let fits =
        window.client.execute(script, vec![serde_json::to_value(&frame).unwrap()]).await.unwrap();
    assert_eq!(fits, true, "the table breaks the screen");
    window.picture("crew-table").await;
    let file = bench.folder().join("out").join("crew.pdf");
    window.save_sheet("crew-table", &file, "alone since").await;
    window.picture("crew-table-on-paper").await;
}
