//! What a screen reader is told: the accessibility tree of the real window, read from outside over a
//! D-Bus session of the test's own.

use crate::driver::{Bench, Window};
use coldbench::demo;
use serde_json::Value;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// A message bus that only this test and its programs are on.
struct Bus {
    daemon: Child,
    address: String,
}

impl Bus {
    fn new() -> Self {
        let mut daemon = Command::new("dbus-daemon")
            .args(["--session", "--nofork", "--print-address=1"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("dbus-daemon is needed: tests/run installs it");
        let mut address = String::new();
        BufReader::new(daemon.stdout.take().unwrap()).read_line(&mut address).unwrap();
        Self { daemon, address: address.trim().to_owned() }
    }

    /// The page as it is told at this moment.
    fn tree(&self) -> Node {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/window/tree.py");
        // Debian's own: another Python in front of it doesn't know Debian's bindings.
        let output = Command::new("/usr/bin/python3")
            .arg(script)
            .env("DBUS_SESSION_BUS_ADDRESS", &self.address)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{told}");
        Node(serde_json::from_slice(&output.stdout).unwrap())
    }

    /// Waits until the page is told to have something of a role and a name that begins so.
    async fn find(&self, role: &str, name: &str) -> Node {
        let mut last = String::new();
        for _ in 0..40 {
            let tree = self.tree();
            if let Some(found) = tree.first(role, name) {
                return found;
            }
            last = tree.lines(0);
            tokio::time::sleep(std::time::Duration::from_millis(200)).await;
        }
        panic!("no {role} “{name}” is told of:\n{last}");
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        let _ = self.daemon.kill();
        let _ = self.daemon.wait();
    }
}

/// One node of the tree and what is in it.
struct Node(Value);

impl Node {
    fn text(&self, key: &str) -> &str {
        self.0[key].as_str().unwrap_or_default()
    }

    fn is(&self, state: &str) -> bool {
        self.0["states"].as_array().is_some_and(|states| states.iter().any(|it| it == state))
    }

    fn children(&self) -> Vec<Node> {
        self.0["children"].as_array().unwrap().iter().cloned().map(Node).collect()
    }

    fn first(&self, role: &str, name: &str) -> Option<Node> {
        if self.text("role") == role && self.text("name").starts_with(name) {
            return Some(Node(self.0.clone()));
        }
        self.children().iter().find_map(|child| child.first(role, name))
    }

    fn all(&self) -> Vec<Node> {
        let mut all: Vec<Node> = self.children().iter().flat_map(Node::all).collect();
        all.push(Node(self.0.clone()));
        all
    }

    fn lines(&self, depth: usize) -> String {
        let line = format!(
            "{}{} “{}” ({})\n",
            "  ".repeat(depth),
            self.text("role"),
            self.text("name"),
            self.text("description")
        );
        self.children().iter().fold(line, |lines, child| lines + &child.lines(depth + 1))
    }
}

/// What can be acted on has a name, wherever it is.
fn all_are_named(tree: &Node, screen: &str) {
    const ACTED_ON: [&str; 9] = [
        "push button",
        "link",
        "entry",
        "text",
        "password text",
        "combo box",
        "check box",
        "radio button",
        "slider",
    ];
    let nameless: Vec<String> = tree
        .all()
        .iter()
        .filter(|node| ACTED_ON.contains(&node.text("role")) && node.is("focusable"))
        .filter(|node| node.text("name").trim().is_empty())
        .map(|node| node.lines(0))
        .collect();
    assert!(nameless.is_empty(), "{screen}: without a name:\n{}", nameless.join(""));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_screen_reader_is_told_what_stands_there() {
    let bus = Bus::new();
    let bench = Bench::with_environment(&[("DBUS_SESSION_BUS_ADDRESS", &bus.address)]);
    let folder = bench.folder().join("shop");
    demo::make(&folder).unwrap();
    let window = bench.open(&folder).await;

    let rack = bus.find("list", "Stations").await;
    assert_eq!(rack.children().len(), 2, "{}", rack.lines(0));
    let tree = bus.tree();
    all_are_named(&tree, "rack");
    assert!(tree.first("image", "").is_none(), "lines of a drawing:\n{}", tree.lines(0));
    the_dialog(&window, &bus).await;
    the_walk(&window, &bus).await;
    for (route, view) in [
        ("#/air/S-1", "air"),
        ("#/rod/R-2", "rod"),
        ("#/layout/R-2", "layout"),
        ("#/new", "new"),
        ("#/crew", "crew"),
        ("#/lots", "lots"),
        ("#/material", "material"),
        ("#/checklists", "checklists"),
        ("#/ledger", "ledger"),
        ("#/print/R-2", "print"),
    ] {
        window.go(route).await;
        window.find(&format!("main[data-view='{view}']")).await;
        let tree = bus.tree();
        all_are_named(&tree, view);
        assert!(tree.first("heading", "").is_some(), "{view} has no heading:\n{}", tree.lines(0));
    }
    window.kill().await;
}

async fn the_dialog(window: &Window, bus: &Bus) {
    window.press("#unlock").await;
    let dialog = bus.find("dialog", "Who is at the bench?").await;
    assert!(dialog.is("modal"), "{}", dialog.lines(0));
    let pin = dialog.first("password text", "PIN").unwrap_or_else(|| panic!("{}", dialog.lines(0)));
    assert!(pin.text("description").starts_with("It unlocks your key"), "{}", pin.lines(0));
    assert!(pin.is("required"), "{}", pin.lines(0));
    assert!(dialog.first("combo box", "Name").is_some(), "{}", dialog.lines(0));
    assert!(dialog.first("push button", "Unlock").is_some(), "{}", dialog.lines(0));
    all_are_named(&dialog, "unlock");
    window.press("#unlock-cancel").await;
    window.unlock("P-1", "2468").await;
}

async fn the_walk(window: &Window, bus: &Bus) {
    window.begin_stage("R-2", "sleeve-by-heat", "S-1").await;
    window.find("#understand").await;
    // The caution is a region with its name, and stands before the step.
    let held = bus.find("landmark", "Caution").await;
    assert!(held.first("heading", "Caution").is_some(), "{}", held.lines(0));
    let caution = held.first("paragraph", "").map(|words| words.lines(0)).unwrap_or_default();
    assert!(
        held.first("push button", "I have read and understood this caution").is_some(),
        "{caution}"
    );
    let lines = bus.tree().lines(0);
    let place =
        |words: &str| lines.find(words).unwrap_or_else(|| panic!("no {words} in:\n{lines}"));
    assert!(place("heading “Caution”") < place("heading “Measure the core"), "{lines}");
    let sign = bus.find("push button", "Done – sign").await;
    assert!(!sign.is("sensitive"), "{}", sign.lines(0));
    assert_eq!(sign.text("description"), "Read the caution above first.");

    window.press("#understand").await;
    window.gone("#understand").await;
    window.find("#value").await;
    let value = bus.find("entry", "Thickest place, in percent").await;
    let limits = value.text("description");
    assert!(limits.starts_with("Limits: ") && limits.contains("55 %"), "{}", value.lines(0));
    assert!(value.is("editable"), "{}", value.lines(0));
    let sign = bus.find("push button", "Done – sign").await;
    assert!(sign.is("sensitive"), "{}", sign.lines(0));
    assert!(!sign.text("description").is_empty(), "it is not told what is missing");
    all_are_named(&bus.tree(), "walk");
}
