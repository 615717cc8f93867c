//! The rules of WCAG that a program can judge, judged by axe-core in the real window. The product does not
//! carry axe: its script is read from the UI's packages and put into the page under test.

use crate::driver::Window;
use serde_json::{Value, json};
use std::path::Path;

/// Every theme of app.css, the default one first.
pub const THEMES: [&str; 3] = ["", "dark", "sun"];

const TAGS: [&str; 5] = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/// What axe found on all screens that were looked at.
#[derive(Default)]
pub struct Findings {
    found: Vec<String>,
    screens: usize,
}

impl Findings {
    /// Judges the screen as it stands, in each theme.
    pub async fn look_at(&mut self, window: &Window, screen: &str) {
        self.screens += 1;
        for theme in THEMES {
            window.theme(theme).await;
            let found = window.axe().await;
            let shown = if theme.is_empty() { "paper" } else { theme };
            self.found.extend(found.iter().map(|fault| format!("{screen}, {shown}: {fault}")));
        }
        window.theme("").await;
    }

    /// Fails with all that was found, on all screens.
    pub fn are_none(self) {
        assert!(self.screens > 0, "no screen was looked at");
        assert!(
            self.found.is_empty(),
            "{} faults on {} screens:\n{}",
            self.found.len(),
            self.screens,
            self.found.join("\n")
        );
    }
}

impl Window {
    /// Shows a theme as the settings do: by a word on the page's root.
    pub async fn theme(&self, name: &str) {
        let script = "document.documentElement.dataset.theme = arguments[0]";
        self.client.execute(script, vec![name.into()]).await.unwrap();
    }

    /// What axe finds on the screen: the rule, where, and how to mend it.
    pub async fn axe(&self) -> Vec<String> {
        let there = self.client.execute("return typeof window.axe", vec![]).await.unwrap();
        if there != "object" {
            let file = Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("../ui/node_modules/axe-core/axe.min.js");
            let script = std::fs::read_to_string(file).expect("npm ci brings axe-core");
            self.client.execute(&script, vec![]).await.unwrap();
        }
        // At its end, the bar to sign lies over nothing.
        let script = "const done = arguments[arguments.length - 1];
            window.scrollTo(0, document.documentElement.scrollHeight);
            axe.run(document, {
                runOnly: { type: 'tag', values: arguments[0] },
                resultTypes: ['violations'],
            }).then(
                ({ violations }) => done(violations.map(({ id, help, nodes }) => ({
                    id,
                    help,
                    nodes: nodes.map(({ target, failureSummary }) => [target.join(' '), failureSummary]),
                }))),
                (error) => done(String(error)),
            )";
        let answer = self.client.execute_async(script, vec![json!(TAGS)]).await.unwrap();
        let rules = answer.as_array().unwrap_or_else(|| panic!("axe did not run: {answer}"));
        rules.iter().flat_map(faults_of).collect()
    }
}

fn faults_of(rule: &Value) -> Vec<String> {
    let words = |value: &Value| value.as_str().unwrap_or_default().replace('\n', " ");
    let nodes = rule["nodes"].as_array().unwrap();
    let fault = |node: &Value| {
        format!(
            "{} at “{}”. {}. {}",
            words(&rule["id"]),
            words(&node[0]),
            words(&rule["help"]),
            words(&node[1])
        )
    };
    nodes.iter().map(fault).collect()
}
