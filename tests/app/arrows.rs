//! The house: who may know whom.

use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Who may know whom; nothing else is allowed.
const ARROWS: &[(&str, &str)] = &[
    ("coldbench", "coldbench-record"),
    ("coldbench", "coldbench-ledger"),
    ("coldbench", "coldbench-seal"),
    ("coldbench", "coldbench-shop"),
    ("coldbench", "coldbench-trade"),
    ("coldbench-shop", "coldbench-trade"),
];

fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    let Value::Array(packages) = metadata["packages"].take() else { panic!("no packages") };
    packages
}

/// Each dependency of a package of the house, of any kind: what it has only for its tests counts.
fn dependencies(packages: &[Value]) -> Vec<(&str, &str)> {
    let name = |value: &Value| value["name"].as_str().map(str::to_owned);
    assert!(packages.iter().filter_map(name).count() >= 6, "a crate of the house is missing");
    packages
        .iter()
        .flat_map(|package| {
            let from = package["name"].as_str().unwrap();
            let to = package["dependencies"].as_array().unwrap();
            to.iter().map(move |dependency| (from, dependency["name"].as_str().unwrap()))
        })
        .collect()
}

#[test]
fn no_arrow_runs_the_wrong_way() {
    let packages = packages();
    let ours: Vec<&str> = packages.iter().map(|p| p["name"].as_str().unwrap()).collect();
    let found: Vec<(&str, &str)> =
        dependencies(&packages).into_iter().filter(|(_, to)| ours.contains(to)).collect();
    assert!(!found.is_empty(), "cargo metadata names no dependency between our crates");
    let wrong: Vec<_> = found.iter().filter(|arrow| !ARROWS.contains(arrow)).collect();
    assert!(wrong.is_empty(), "these crates may not know each other: {wrong:?}");
}

#[test]
fn only_the_shell_names_the_window() {
    let packages = packages();
    for (from, to) in dependencies(&packages) {
        assert!(from == "coldbench" || !to.starts_with("tauri"), "{from} depends on {to}");
    }
    // What a manifest says of it anywhere, the workspace's own too, which is no package.
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../Cargo.toml");
    let manifests = packages
        .iter()
        .filter(|package| package["name"] != "coldbench")
        .map(|package| Path::new(package["manifest_path"].as_str().unwrap()).to_owned())
        .chain([root]);
    for manifest in manifests {
        let text = std::fs::read_to_string(&manifest).unwrap().replace("src-tauri", "");
        assert!(!text.contains("tauri"), "{} names tauri", manifest.display());
    }
}
