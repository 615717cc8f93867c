//! From an empty folder to the first signed step with the keyboard alone, every press counted.

use crate::driver::{Bench, Screen, Window};
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use std::time::Duration;

const TAB: char = '\u{e004}';
const ENTER: char = '\u{e007}';
const SPACE: char = ' ';

impl Window {
    /// One key, pressed and let go, wherever the keyboard is.
    pub async fn key(&self, key: char) {
        let press = KeyActions::new("keys".to_owned())
            .then(KeyAction::Down { value: key })
            .then(KeyAction::Up { value: key });
        self.client.perform_actions(press).await.unwrap();
    }

    /// Waits until the keyboard is at an element: nothing here puts it there but the program.
    pub async fn at(&self, css: &str) {
        let script = "return document.activeElement.matches(arguments[0])";
        for _ in 0..400 {
            let there = self.client.execute(script, vec![css.into()]).await.unwrap();
            if there == true {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        let script = "return document.activeElement.outerHTML.slice(0, 200)";
        let at = self.client.execute(script, vec![]).await.unwrap();
        self.picture("failed").await;
        panic!("the keyboard never comes to “{css}”; it is at {at}");
    }
}

/// Keys pressed one at a time. What is typed into fields (names, PINs, numbers) is counted by itself.
struct Keys<'a> {
    window: &'a Window,
    presses: usize,
    typed: usize,
}

impl Keys<'_> {
    async fn press(&mut self, key: char) {
        self.presses += 1;
        self.window.key(key).await;
    }

    async fn write(&mut self, text: &str) {
        for letter in text.chars() {
            self.typed += 1;
            self.window.key(letter).await;
        }
    }

    /// Goes through fields in their order: what is not to be written is left as it is.
    async fn fill(&mut self, fields: &[(&str, &str)]) {
        for (n, (css, text)) in fields.iter().enumerate() {
            if n > 0 {
                self.press(TAB).await;
            }
            self.window.at(css).await;
            self.write(text).await;
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_first_step_is_signed_in_few_presses() {
    let screen = Screen::new();
    let bench = Bench::with_environment(&[("DISPLAY", &screen.name)]);
    let window = bench.open(&bench.folder().join("shop")).await;
    let mut keys = Keys { window: &window, presses: 0, typed: 0 };

    keys.fill(&[
        ("#found-name", "Alder Row Rods"),
        ("#found-lead", "Jorun Aske"),
        ("#found-pin", "rows-1906"),
    ])
    .await;
    window.picture("first-steps-1-set-up").await;
    keys.press(ENTER).await;

    window.at("#rack-empty-new").await;
    window.picture("first-steps-2-rack").await;
    keys.press(ENTER).await;
    keys.fill(&[
        ("#customer", "Tove Marn"),
        ("#title", "Perch rod"),
        ("#blank", "Carbon, one piece"),
        ("#wishes", ""),
        ("#reel", ""),
        ("#grip", ""),
        ("#length", "7 ft"),
        ("#diameters-0-fromButt", "0"),
        ("#diameters-0-diameter", "11 mm"),
        ("#diameters-1-fromButt", "7 ft"),
        ("#diameters-1-diameter", "1.8 mm"),
    ])
    .await;
    window.picture("first-steps-3-new-rod").await;
    keys.press(ENTER).await;

    // The bench is not open: the sheet of the rod leads there, and the list leads back.
    window.at("#open-first-blank-intake").await;
    window.picture("first-steps-4-rod").await;
    keys.press(ENTER).await;
    window.at("#begin-open-bench").await;
    window.picture("first-steps-5-air").await;
    keys.press(ENTER).await;
    window.at("#lists-title").await;
    for check in ["air", "rag-bin", "extinguisher", "washing"] {
        answer(&mut keys, check).await;
    }
    for (check, value) in [("gloves", "12"), ("temperature", "70 °F")] {
        window.at(&format!("#answer-{check}")).await;
        window.picture(&format!("first-steps-6-{check}")).await;
        keys.write(value).await;
        keys.press(ENTER).await;
    }
    answer(&mut keys, "bench-top").await;
    window.at("#complete").await;
    keys.press(ENTER).await;
    window.at("#list-way").await;
    window.picture("first-steps-7-open").await;
    keys.press(ENTER).await;

    window.at("#begin-blank-intake").await;
    window.picture("first-steps-8-begin").await;
    keys.press(ENTER).await;
    window.at("#caution-title").await;
    window.picture("first-steps-9-caution").await;
    keys.press(TAB).await;
    window.at("#understand").await;
    keys.press(ENTER).await;
    window.at("#step-what").await;
    keys.press(TAB).await;
    window.at("#value").await;
    window.picture("first-steps-10-step").await;
    keys.write("0").await;
    keys.press(ENTER).await;
    window.at("#step-what").await;
    window.find("#value-now[data-within='true']").await;
    keys.press(SPACE).await;
    window.says("Step 2 of").await;
    window.says("Last signed: step 1").await;
    window.picture("first-steps-11-signed").await;

    eprintln!("{} presses, and {} letters and digits typed into fields", keys.presses, keys.typed);
    assert!(keys.presses < 40, "{} presses", keys.presses);
    window.kill().await;
}

/// Gives the first answer of a check: from its question one Tab leads there, so that no key held down
/// answers the checks after it.
async fn answer(keys: &mut Keys<'_>, check: &str) {
    keys.window.find(&format!("#check-{check}.open")).await;
    if check != "air" {
        keys.window.at(&format!("#check-{check} .ask-words")).await;
    }
    keys.press(TAB).await;
    keys.window.at(&format!("#state-{check}-0")).await;
    keys.press(ENTER).await;
    keys.window.find(&format!("#check-{check}[data-standing='passes']")).await;
}
