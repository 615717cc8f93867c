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
    let read = library.stages().len() + library.lists().len() + library.materials().len();
    assert_eq!(read, on_disk);
    for id in ["spine", "rear-grip", "sleeve-by-heat", "reel-seat"] {
        assert!(library.stage(&StageId::new(id)).is_some(), "{id} is not shipped");
    }
    for kind in [StationKind::OpenBench, StationKind::HeatClearance] {
        let lists = library.lists().iter().filter(|list| list.list.kind == kind).count();
        assert_eq!(lists, 1, "{kind:?}");
    }
}

/// What comes with Coldbench never holds heat back for want of a figure: only a builder's own
/// entry can leave one out.
#[test]
fn every_material_can_be_estimated() {
    let library = library();
    for signed in library.materials() {
        let material = &signed.list;
        assert_eq!(material.missing_for_estimate(), Vec::<String>::new(), "{}", material.id);
        assert!(material.is_flammable().is_some(), "{}: flammable or not?", material.id);
        assert!(material.caution.is_some(), "{} has no caution", material.id);
        assert!(material.sheet.contains("safety data sheet comes first"), "{}", material.id);
        if material.is_flammable() == Some(true) {
            assert!(material.lowest_autoignition().is_some(), "{}: no autoignition", material.id);
            assert!(!material.worst().unwrap().is_empty(), "{} gives off nothing", material.id);
        }
    }
    for id in [
        "acetone",
        "isopropyl-alcohol",
        "denatured-alcohol",
        "lacquer-thinner",
        "vmp-naphtha",
        "mineral-spirits",
        "colour-preserver",
    ] {
        let material = library.material(id).unwrap_or_else(|| panic!("{id} is not shipped"));
        assert_eq!(material.list.is_flammable(), Some(true), "{id}");
    }
    for id in ["epoxy-resin", "epoxy-hardener", "thread-finish", "hot-melt-adhesive"] {
        let material = library.material(id).unwrap_or_else(|| panic!("{id} is not shipped"));
        assert_eq!(material.list.is_flammable(), Some(false), "{id}");
    }
}

/// The generic entries keep to the cautious end of the published tables (lowest over NIOSH, IEC
/// 60079-20-1, NFPA 497, NTP, NRC, ATSDR): flash °C, lower limit %, autoignition °C.
#[test]
fn single_solvents_keep_to_the_cautious_end() {
    let library = library();
    for (id, flash, lower_limit, autoignition) in [
        ("acetone", -20.0, 2.5, 465.0),
        ("isopropyl-alcohol", 11.67, 2.0, 399.0),
        ("vmp-naphtha", -6.7, 0.9, 232.0),
        ("mineral-spirits", 21.0, 0.7, 232.0),
    ] {
        let material = &library.material(id).unwrap().list;
        assert!(material.flash_c.given().unwrap().least <= flash, "{id}");
        assert!(material.lowest_autoignition().unwrap() <= autoignition, "{id}");
        let worst = material.worst().unwrap();
        assert!(worst[0].lower_limit_percent.unwrap() <= lower_limit, "{id}");
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
