//! Bend and guides in the window: a guide is dragged, and spacing, loads and drawing follow; what is
//! kept is printed.

use crate::driver::{Bench, Window};
use coldbench::demo;
use fantoccini::actions::{InputSource, KeyAction, KeyActions, MouseActions, PointerAction};
use serde_json::{Value, json};
use std::process::Command;
use std::time::Duration;

const LEAD: (&str, &str) = ("P-1", "2468");
/// The spinning rod of the demo, which has six guides.
const ROD: &str = "R-2";

#[tokio::test(flavor = "multi_thread")]
async fn a_dragged_guide_takes_spacing_loads_and_drawing_along() {
    let bench = Bench::new();
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;
    window.unlock(LEAD.0, LEAD.1).await;
    window.go(&format!("#/rod/{ROD}")).await;
    window.press("#to-layout").await;
    window.find("main[data-view='layout']").await;
    window.find("#guide-row-6").await;
    window.says("breaks and throws splinters").await;
    window.picture("layout").await;
    let before = Shown::now(&window).await;

    // Dragged with the mouse, 60 pixels towards the butt.
    drag(&window, "#guide-handle-3", -60.0).await;
    let dragged = before.changed(&window).await;
    assert!(dragged.place(3) > before.place(3) + 20.0, "{before:?}\n{dragged:?}");
    assert_ne!(dragged.cell(3, "gap"), before.cell(3, "gap"));
    assert_ne!(dragged.cell(2, "gap"), before.cell(2, "gap"));
    let loads = |shown: &Shown| [2, 3, 4].map(|n| (shown.cell(n, "load"), shown.cell(n, "turns")));
    assert_ne!(loads(&dragged), loads(&before));
    assert_ne!(dragged.drawing, before.drawing, "the drawing stands still");
    assert_eq!(dragged.place(5).to_bits(), before.place(5).to_bits(), "another guide moved");

    // By arrow key, and never past its neighbour.
    arrow(&window, "#guide-handle-3", '\u{E014}').await;
    let keyed = dragged.changed(&window).await;
    assert!((dragged.place(3) - keyed.place(3) - 1.0).abs() < 0.06, "{dragged:?}\n{keyed:?}");
    drag(&window, "#guide-handle-3", -380.0).await;
    let stopped = keyed.changed(&window).await;
    assert!(stopped.place(3) < stopped.place(4), "{stopped:?}");

    // Moved for the better: the number falls, in words.
    window.press("#improve").await;
    window.says("the number to lessen").await;
    window.picture("layout-improved").await;
    let better = stopped.changed(&window).await;
    window.press("#layout-keep").await;
    window.says("Kept").await;
    printed(&window, &bench, &better).await;
    window.kill().await;
}

/// What the screen shows of the guides.
#[derive(Debug, PartialEq)]
struct Shown {
    rows: Vec<Value>,
    drawing: String,
}

impl Shown {
    async fn now(window: &Window) -> Self {
        let script = "return {
            rows: [...document.querySelectorAll('#guides-table [id^=guide-row-]')].map((row) => ({
                place: row.querySelector('input[id$=fromTip]')?.value ?? '',
                cells: [...row.querySelectorAll('td, th')].map((cell) => cell.innerText.trim()),
            })),
            heads: [...document.querySelectorAll('#guides-table thead th')].map((th) => th.innerText.trim().toLowerCase()),
            drawing: document.querySelector('#bent-rod svg').innerHTML,
        }";
        let shown = window.client.execute(script, vec![]).await.unwrap();
        let heads = shown["heads"].as_array().unwrap().clone();
        let rows = shown["rows"].as_array().unwrap();
        let rows = rows.iter().map(|row| json!({ "row": row, "heads": heads })).collect();
        Self { rows, drawing: shown["drawing"].as_str().unwrap().to_owned() }
    }

    /// Waits until the screen shows something else, worked out to its end.
    async fn changed(&self, window: &Window) -> Self {
        let mut last = Self::now(window).await;
        for _ in 0..300 {
            tokio::time::sleep(Duration::from_millis(100)).await;
            let now = Self::now(window).await;
            // A guide moves at once; what follows from it comes with the answer.
            if now != *self && now == last && window.has("#bent-rod[aria-busy='false']").await {
                return now;
            }
            last = now;
        }
        panic!("nothing changed:\n{}", window.text().await);
    }

    fn place(&self, number: usize) -> f64 {
        let text = self.rows[number]["row"]["place"].as_str().unwrap();
        text.trim_end_matches("mm").trim().parse().unwrap_or_else(|_| panic!("{text}"))
    }

    fn cell(&self, number: usize, head: &str) -> String {
        let heads = self.rows[number]["heads"].as_array().unwrap();
        let at = heads.iter().position(|it| it.as_str().unwrap().contains(head)).unwrap();
        self.rows[number]["row"]["cells"][at].as_str().unwrap().to_owned()
    }
}

async fn drag(window: &Window, css: &str, by: f64) {
    window.find(css).await;
    // The driver knows no place of what is drawn.
    let script = "const handle = document.querySelector(arguments[0]);
        handle.scrollIntoView({ block: 'center' });
        const { x, y, width, height } = handle.getBoundingClientRect();
        return [x + width / 2, y + height / 2]";
    let middle = window.client.execute(script, vec![css.into()]).await.unwrap();
    let at = (middle[0].as_f64().unwrap().round(), middle[1].as_f64().unwrap().round());
    let to = |x| PointerAction::MoveTo { duration: Some(Duration::from_millis(60)), x, y: at.1 };
    let button = fantoccini::actions::MOUSE_BUTTON_LEFT;
    let mouse = MouseActions::new("mouse".to_owned())
        .then(to(at.0))
        .then(PointerAction::Down { button })
        .then(to(at.0 + by / 3.0))
        .then(to(at.0 + by * 2.0 / 3.0))
        .then(to(at.0 + by))
        .then(PointerAction::Up { button });
    window.client.perform_actions(mouse).await.unwrap();
}

/// Puts the focus on a handle and presses a key.
async fn arrow(window: &Window, css: &str, key: char) {
    let script = "document.querySelector(arguments[0]).focus()";
    window.client.execute(script, vec![css.into()]).await.unwrap();
    let press = KeyActions::new("keys".to_owned())
        .then(KeyAction::Down { value: key })
        .then(KeyAction::Up { value: key });
    window.client.perform_actions(press).await.unwrap();
}

async fn printed(window: &Window, bench: &Bench, kept: &Shown) {
    let file = bench.folder().join("log.pdf");
    window.go(&format!("#/print/{ROD}")).await;
    window.find("main[data-view='print']").await;
    window.write("#save-path", file.to_str().unwrap()).await;
    window.press("#save").await;
    window.says("Saved as").await;
    let output = Command::new("pdftotext").args(["-layout"]).arg(&file).arg("-").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for number in 1..=6 {
        let row = format!("{number} {:.1} mm", kept.place(number));
        assert!(text.contains(&row), "no “{row}” in the table of guides:\n{text}");
    }
    let held = Command::new(env!("CARGO_BIN_EXE_coldbench")).arg("verify").arg(&file).output();
    let held = String::from_utf8(held.unwrap().stdout).unwrap();
    assert!(held.contains("say the same"), "{held}");
}
