//! What a person does at the bench, by pressing and writing in the window.

use crate::driver::Window;
use serde_json::{Value, json};

/// What was measured, by stage and step. Invented.
const MEASURED: &[(&str, &str, &str)] = &[
    ("blank-intake", "look-over", "0"),
    ("blank-intake", "length", "7 ft"),
    ("blank-intake", "taper", "1.8 mm"),
    ("blank-intake", "weigh", "62 g"),
    ("blank-intake", "clamp", "900 mm"),
    ("blank-intake", "load-test", "410 mm"),
    ("blank-intake", "trim-tip", "0 mm"),
    ("blank-intake", "trim-butt", "0 mm"),
    ("blank-intake", "cut", "7 ft"),
    ("spine", "look-over", "2 mm"),
    ("spine", "scale", "1 1/4 in"),
    ("spine", "zero", "0.2 mm"),
    ("spine", "butt-trials", "112° | 118° | 115°"),
    ("spine", "tip-scale", "1°"),
    ("spine", "tip-trials", "117° | 114° | 116°"),
    ("spine", "mark", "115°"),
    ("rear-grip", "ream-to-fit", "1/128 in"),
    ("rear-grip", "bore", "12.3 mm"),
    ("rear-grip", "mark-edge", "300 mm"),
    ("rear-grip", "tape-and-roughen", "0.5 mm"),
    ("rear-grip", "weigh", "101 %"),
    ("rear-grip", "mix", "21.5 °C"),
    ("rear-grip", "bond", "0.3 mm"),
    ("rear-grip", "cured", "0.3 mm"),
    ("sleeve-by-heat", "thick-end", "76 %"),
    ("sleeve-by-heat", "thin-end", "63 %"),
    ("sleeve-by-heat", "beneath", "150 °C"),
    ("sleeve-by-heat", "cut-and-slide", "18 mm"),
    ("sleeve-by-heat", "shrink-middle", "140 °C"),
    ("sleeve-by-heat", "shrink-ends", "112 °C"),
    ("sleeve-by-heat", "watch-end", "23 °C"),
    ("sleeve-by-heat", "trim", "0.2 mm"),
    ("reel-seat", "bore", "17 mm"),
    ("reel-seat", "place", "415 mm"),
    ("reel-seat", "roughen", "0.5 mm"),
    ("reel-seat", "wipe", "10 min"),
    ("reel-seat", "build-up", "0.15 mm"),
    ("reel-seat", "dry-align", "1°"),
    ("reel-seat", "weigh", "100 %"),
    ("reel-seat", "mix", "21.5 °C"),
    ("reel-seat", "bond", "0.2 mm"),
    ("reel-seat", "wet-align", "1°"),
    ("reel-seat", "cured", "0.5°"),
];

pub fn measured(stage: &str, step: &str) -> &'static str {
    MEASURED
        .iter()
        .find(|(s, n, _)| *s == stage && *n == step)
        .map_or_else(|| panic!("no value for {stage} {step}"), |(_, _, value)| *value)
}

impl Window {
    pub async fn unlock(&self, person: &str, pin: &str) {
        if self.has("#lock").await {
            self.press("#lock").await;
        }
        self.press("#unlock").await;
        self.choose("#unlock-person", person).await;
        self.write("#unlock-pin", pin).await;
        self.press("#unlock-submit").await;
        self.find("#lock").await;
        self.pin.replace(pin.to_owned());
    }

    /// The view behind the screen, for looking only.
    pub async fn walk(&self, rod: &str, stage: &str) -> Value {
        let answer = self.invoke("walk", json!({ "rod": rod, "stage": stage })).await;
        answer.get("ok").cloned().unwrap_or_else(|| panic!("no walk: {answer}"))
    }

    /// Begins a stage from the rod's sheet.
    pub async fn begin_stage(&self, rod: &str, stage: &str, station: &str) {
        self.go(&format!("#/rod/{rod}")).await;
        self.find(&format!("#begin-{stage}")).await;
        self.choose(&format!("#station-{stage}"), station).await;
        self.press(&format!("#begin-{stage}")).await;
    }

    /// Opens the bench at a station, check by check.
    pub async fn open_bench(&self, station: &str) {
        self.go(&format!("#/air/{station}")).await;
        self.press("#begin-open-bench").await;
        for check in ["air", "rag-bin", "extinguisher", "washing"] {
            self.press(&format!("#state-{check}-0")).await;
            self.answered(check).await;
        }
        for (check, value) in [("gloves", "12"), ("temperature", "70 °F")] {
            self.write(&format!("#answer-{check}"), value).await;
            self.press(&format!("#record-{check}")).await;
            self.answered(check).await;
        }
        self.press("#state-bench-top-0").await;
        self.answered("bench-top").await;
        self.press("#complete").await;
        self.gone("#complete").await;
    }

    /// Clears a station for heat, check by check, with a meter reading.
    pub async fn clear_for_heat(&self, station: &str, container: &str, watcher: &str) {
        self.go(&format!("#/air/{station}")).await;
        self.press("#begin-heat-clearance").await;
        self.write("#speed-airflow", "200 fpm").await;
        self.write("#opening-airflow", "1.2 ft2").await;
        self.press("#record-measured-airflow").await;
        self.answered("airflow").await;
        self.press(&format!("#where-{container}-closed-away")).await;
        self.press("#record-flammables").await;
        self.answered("flammables").await;
        for check in ["rags", "wet-work"] {
            self.press(&format!("#state-{check}-0")).await;
            self.answered(check).await;
        }
        self.write("#answer-vapour", "1 %").await;
        self.press("#record-vapour").await;
        self.answered("vapour").await;
        self.write("#answer-distance", "36 ft").await;
        self.press("#record-distance").await;
        self.answered("distance").await;
        self.write("#answer-gun", "140 °C").await;
        self.press("#record-gun").await;
        self.answered("gun").await;
        self.press("#state-extinguisher-0").await;
        self.answered("extinguisher").await;
        self.choose("#answer-watcher", watcher).await;
        self.press("#record-watcher").await;
        self.answered("watcher").await;
        // A clearance for heat is a hold point.
        let pin = self.pin.borrow().clone();
        self.write("#complete-pin", &pin).await;
        self.press("#complete").await;
        self.gone("#complete").await;
    }

    async fn answered(&self, check: &str) {
        self.find(&format!("#check-{check}[data-standing='passes']")).await;
    }

    /// Does all that the step at hand asks for, up to the signature.
    pub async fn prepare_step(&self, stage: &str, view: &Value) {
        let step = &view["step"];
        let id = step["id"].as_str().unwrap();
        // The screen follows the shell a moment later.
        self.says(step["what"].as_str().unwrap()).await;
        self.says(&format!("Step {} of", step["number"])).await;
        if !step["caution"].is_null() && step["understood"] == false {
            self.press("#understand").await;
            self.gone("#understand").await;
        }
        if !step["record"].is_null() {
            for (n, value) in measured(stage, id).split(" | ").enumerate() {
                self.write("#value", value).await;
                self.press("#value-record").await;
                // An earlier value may stand there, outside its limits.
                let count = format!("#value-now[data-within='true'][data-count='{}']", n + 1);
                let once = "#value-now[data-within='true']";
                let repeated = step["record"]["repeat"].as_u64().is_some_and(|repeat| repeat > 1);
                self.find(if repeated { &count } else { once }).await;
                // The step may show it before the field knows that it was taken.
                self.gone("#sign-unrecorded").await;
            }
        }
        if !step["lot"].is_null() {
            self.write("#lot", "R 2207-B, H 2207-A").await;
            self.press("#lot-name").await;
            self.find("#lot-now").await;
        }
        if !step["starts"].is_null() {
            self.press("#clock-start").await;
            self.find("#clock-running").await;
        }
    }

    /// Begins a stage and walks it to its end, a lead doing all of it.
    pub async fn walk_through(&self, rod: &str, stage: &str, station: &str) {
        self.begin_stage(rod, stage, station).await;
        let mut view = self.at_walk(rod, stage).await;
        while view["position"] != "finished" {
            let number = view["step"]["number"].as_u64().unwrap();
            self.prepare_step(stage, &view).await;
            self.sign(true).await;
            view = self.moved_on(rod, stage, number).await;
        }
        // The key locks with the stage; the header follows a moment later.
        self.find("#unlock").await;
    }

    /// Waits until the walk shows another step than `number`, or its end.
    pub async fn moved_on(&self, rod: &str, stage: &str, number: u64) -> Value {
        for _ in 0..200 {
            let view = self.walk(rod, stage).await;
            let at = view["step"]["number"].as_u64();
            if view["position"] == "finished" || at.is_some_and(|at| at != number) {
                return view;
            }
            if view["position"] == "witness" {
                return view;
            }
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        panic!("step {number} of {stage} was not signed:\n{}", self.text().await);
    }

    pub async fn gone(&self, css: &str) {
        for _ in 0..400 {
            if !self.has(css).await {
                return;
            }
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        panic!("“{css}” stays:\n{}", self.text().await);
    }

    /// Goes to a walk and waits for its step.
    pub async fn at_walk(&self, rod: &str, stage: &str) -> Value {
        self.go(&format!("#/walk/{rod}/{stage}")).await;
        self.find("main[data-view='walk']").await;
        self.walk(rod, stage).await
    }

    /// Signs with the large button, or with the space bar as a pedal would; what waits then is signed at once.
    pub async fn sign(&self, by_space: bool) {
        let at_once = self.has("#sign-pin").await;
        if at_once {
            let pin = self.pin.borrow().clone();
            self.write("#sign-pin", &pin).await;
        }
        if at_once && by_space {
            // The PIN is typed: Enter behind it is the press.
            self.find("#sign-pin").await.send_keys("\u{e007}").await.unwrap();
        } else if by_space {
            let page = self.find("#step-what").await;
            let script = "arguments[0].focus()";
            let element = serde_json::to_value(&page).unwrap();
            self.client.execute(script, vec![element]).await.unwrap();
            page.send_keys(" ").await.unwrap();
        } else {
            self.press("#sign").await;
        }
        if at_once {
            return;
        }
        self.find("#sign-now, #sign-trouble").await;
        if self.has("#sign-now").await {
            self.press("#sign-now").await;
        }
    }
}
