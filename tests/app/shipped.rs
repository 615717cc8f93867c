//! The checklists that come with Coldbench.

use coldbench::read_library;
use coldbench_shop::checklist::{Stage, StationKind, Step};
use coldbench_shop::{Library, StageId};
use std::collections::BTreeSet;
use std::path::PathBuf;

pub fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../checklists")
}

fn library() -> Library {
    read_library(&folder())
}

#[test]
fn all_are_read_without_a_finding() {
    let library = library();
    for file in &library.findings {
        for finding in &file.findings {
            eprintln!("{}: {finding}", file.path);
        }
    }
    assert!(library.findings.is_empty());
    let on_disk = crate::bench::read_files(&folder())
        .iter()
        .filter(|(path, _)| path.extension().is_some_and(|end| end == "toml"))
        .count();
    assert_eq!(library.stages().len() + library.lists().len(), on_disk);
    for id in ["spine", "rear-grip", "sleeve-by-heat", "reel-seat"] {
        assert!(library.stage(&StageId::new(id)).is_some(), "{id} is not shipped");
    }
    for kind in [StationKind::OpenBench, StationKind::HeatClearance] {
        let lists = library.lists().iter().filter(|list| list.list.kind == kind).count();
        assert_eq!(lists, 1, "{kind:?}");
    }
}

/// Follows the needs of a stage to their ends.
fn follow(library: &Library, stage: &Stage, above: &mut Vec<StageId>) {
    assert!(!above.contains(&stage.id), "{} comes round to itself: {above:?}", stage.id);
    above.push(stage.id.clone());
    for need in &stage.needs {
        let needed = library.stage(need).unwrap_or_else(|| panic!("{} needs {need}", stage.id));
        follow(library, &needed.list, above);
    }
    above.pop();
}

#[test]
fn needs_lead_to_a_beginning() {
    let library = library();
    let mut begun: BTreeSet<&StageId> = BTreeSet::new();
    for stage in library.stages() {
        follow(&library, &stage.list, &mut Vec::new());
        let missing: Vec<_> =
            stage.list.needs.iter().filter(|need| !begun.contains(need)).collect();
        assert!(missing.is_empty(), "{} stands before {missing:?}", stage.list.id);
        begun.insert(&stage.list.id);
    }
}

#[test]
fn heat_is_limited_and_named() {
    let library = library();
    let steps = library.stages().iter().flat_map(|stage| &stage.list.steps);
    let hot: Vec<_> = steps.filter(|step| step.heat).collect();
    assert!(!hot.is_empty(), "no shipped stage uses heat");
    for step in hot {
        // A sleeve never needs a gun that lights paper (233 °C); more is a slip of the pen.
        let limit = step.gun_limit_c.unwrap_or_else(|| panic!("{} has no gun limit", step.id));
        assert!((50.0..=233.0).contains(&limit), "{}: {limit} °C", step.id);
        assert!(step.hazards.iter().any(|code| code == "heat"), "{} does not name heat", step.id);
        assert!(step.caution.is_some(), "{} has no caution", step.id);
    }
}

/// Heat and flammables never meet in one stage: the clearance would be taken back half way.
#[test]
fn no_stage_uses_both_heat_and_a_flammable() {
    for stage in library().stages() {
        let both = stage.list.uses_heat() && stage.list.steps.iter().any(Step::releases_flammable);
        assert!(!both, "{}", stage.list.id);
    }
}

#[test]
fn nobody_is_told_that_anything_is_safe() {
    for (path, bytes) in crate::bench::read_files(&folder()) {
        let text = String::from_utf8(bytes).unwrap().to_lowercase();
        assert!(!text.contains("safe to "), "{}", path.display());
    }
}

#[test]
fn a_new_workshop_gets_these_very_files() {
    let (there, _shop) = crate::bench::founded();
    let toml = |files: Vec<(PathBuf, Vec<u8>)>| -> Vec<(PathBuf, Vec<u8>)> {
        files
            .into_iter()
            .filter(|(path, _)| path.extension().is_some_and(|e| e == "toml"))
            .collect()
    };
    let laid_out = toml(crate::bench::read_files(&there.path().join("checklists")));
    assert!(laid_out == toml(crate::bench::read_files(&folder())));
}
