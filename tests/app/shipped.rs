//! The checklists that come with Coldbench.

use coldbench::read_library;
use coldbench_shop::checklist::{ClockKind, PictureName, Runs, Stage, StationKind, Step};
use coldbench_shop::{Library, StageId};
use coldbench_trade::Measure;
use coldbench_trade::adhesive::{Milestone, RatioBasis};
use coldbench_trade::skin::Breakthrough;
use coldbench_trade::sleeve::{SleeveSize, UnderHeat, recovered_on, under_heat};
use coldbench_trade::units::{
    Length, Ratio, TemperatureInterval, inch, kelvins, minute, percent, ratio,
};
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
    assert_eq!(library.usable(), on_disk);
    assert_eq!(library.stages().len(), 20);
    for (name, kind) in StationKind::ALL.iter().filter(|(_, kind)| *kind != StationKind::Own) {
        let lists = library.lists().iter().filter(|list| list.list.kind == *kind).count();
        assert_eq!(lists, 1, "{name}");
    }
}

/// Of what is counted there is nothing below none.
#[test]
fn a_count_that_must_be_none_says_so() {
    let library = library();
    let stages = library.stages().iter().map(|signed| &signed.list);
    let records = stages.flat_map(|stage| &stage.steps).filter_map(|step| step.record.as_ref());
    let none: Vec<_> = records
        .filter(|record| record.measure == Measure::Number && record.most == Some(0.0))
        .collect();
    assert!(none.len() > 10);
    assert!(none.iter().all(|record| record.limits == "0, none at all"));
}

/// Where hands have to do something, words alone are not enough; and a drawing that no step shows is
/// one that nobody ever looks at.
#[test]
fn every_stage_has_a_drawing_and_every_drawing_a_step() {
    let library = library();
    let mut shown = BTreeSet::new();
    for stage in library.stages() {
        let of_stage: Vec<_> = stage.list.steps.iter().filter_map(|step| step.picture).collect();
        assert!(!of_stage.is_empty(), "{} shows no drawing", stage.list.id);
        shown.extend(of_stage);
    }
    let unseen: Vec<_> = PictureName::ALL.iter().filter(|name| !shown.contains(*name)).collect();
    assert!(unseen.is_empty(), "no step shows {unseen:?}");
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

/// The clocks of the stage that bonds with it, and the product, are one and the same epoxy.
#[test]
fn the_epoxy_agrees_with_the_stage_that_uses_it() {
    let library = library();
    let epoxy = &library.adhesive("slow-cure-epoxy").unwrap().list;
    let stage = &library.stage(&StageId::new("rear-grip")).unwrap().list;
    let runs = |id: &str| {
        let starts = |step: &Step| step.starts.clone().filter(|clock| clock.id.as_str() == id);
        stage.steps.iter().find_map(starts).unwrap().runs
    };
    let Runs::Minutes(pot) = runs("pot") else { panic!("a working time is typed") };
    assert!((epoxy.pot_life.time.get::<minute>() - f64::from(pot)).abs() < 1e-9);
    let follows = Runs::Cure { product: epoxy.id.clone(), until: Milestone::Load, since: None };
    assert_eq!(runs("cure"), follows);
    // "The two ratios differ": else the step that weighs would say what is not so.
    assert_eq!(epoxy.mix.basis, RatioBasis::Volume);
    assert!((epoxy.product.volume_ratio() - epoxy.product.weight_ratio()).abs() > 0.05);
    let weigh = stage.steps.iter().find(|step| step.id.as_str() == "weigh").unwrap();
    let most = weigh.record.as_ref().unwrap().most.unwrap();
    assert!((100.0 + epoxy.product.tolerance().get::<percent>() - most).abs() < 1e-9);
}

/// A maker's specification control drawing for 2:1 flexible polyolefin, 1996 and 2011 issues, read:
/// size, expanded, recovered, nominal wall; inches. It agrees with AMS-DTL-23053/5 class 1 from
/// memory.
#[test]
fn the_sleeves_are_those_of_the_drawing() {
    const DRAWING: [(&str, f64, f64, f64); 12] = [
        ("3/64 in", 0.046, 0.023, 0.016),
        ("1/16 in", 0.063, 0.031, 0.017),
        ("3/32 in", 0.093, 0.046, 0.020),
        ("1/8 in", 0.125, 0.062, 0.020),
        ("3/16 in", 0.187, 0.093, 0.020),
        ("1/4 in", 0.250, 0.125, 0.025),
        ("3/8 in", 0.375, 0.187, 0.025),
        ("1/2 in", 0.500, 0.250, 0.025),
        ("3/4 in", 0.750, 0.375, 0.030),
        ("1 in", 1.000, 0.500, 0.035),
        ("1 1/2 in", 1.500, 0.750, 0.040),
        ("2 in", 2.000, 1.000, 0.045),
    ];
    let library = library();
    let sleeve = &library.sleeve("polyolefin-sleeve").unwrap().list;
    assert_eq!(sleeve.sizes.len(), DRAWING.len());
    let inches = Length::new::<inch>;
    for (size, (name, expanded, recovered, wall)) in sleeve.sizes.iter().zip(DRAWING) {
        let drawn = SleeveSize::new(name, inches(expanded), inches(recovered), inches(wall));
        let drawn = drawn.unwrap();
        assert_eq!(size.name(), name);
        let none = Ratio::new::<ratio>(0.0);
        let over = inches(0.9 * expanded);
        let [got, expected] = [size, &drawn].map(|size| recovered_on(size, over, none).unwrap());
        assert!((got.wall - expected.wall).abs() < inches(1e-9), "{name}");
        assert!((size.shrink_ratio() - drawn.shrink_ratio()).abs() < 1e-9, "{name}");
        // Fully shrunk it has the wall of the drawing, on the diameter of the drawing.
        let loose = recovered_on(size, inches(1e-3), none).unwrap();
        assert!((loose.wall - inches(wall)).abs() < inches(1e-9), "{name}");
        assert!((loose.inside - inches(recovered)).abs() < inches(1e-9), "{name}");
    }
    let margin = TemperatureInterval::new::<kelvins>(10.0);
    let judged = under_heat(&sleeve.shrinks, margin, &[sleeve.itself()]).unwrap();
    assert_eq!(judged, [UnderHeat::Bears]);
}

/// A file of our own never lends a time to gloves of which nobody here read a list.
#[test]
fn the_gloves_claim_nothing_that_was_not_read() {
    let library = library();
    let gloves = &library.glove("nitrile-gloves").unwrap().list;
    let named: BTreeSet<_> = gloves.against.iter().map(|row| row.material.as_str()).collect();
    let shipped: BTreeSet<_> =
        library.materials().iter().map(|signed| signed.list.id.as_str()).collect();
    assert_eq!(named, shipped, "each material is named, even if all there is to say is “unknown”");
    for (material, breakthrough) in gloves.breakthroughs() {
        assert_eq!(breakthrough, Breakthrough::Unknown, "{material}");
    }
}

#[test]
fn every_product_says_what_hurts_and_which_sheet_comes_first() {
    let library = library();
    let adhesives = library.adhesives().iter().map(|it| (&it.list.caution, &it.list.source));
    let sleeves = library.sleeves().iter().map(|it| (&it.list.caution, &it.list.source));
    let gloves = library.gloves().iter().map(|it| (&it.list.caution, &it.list.source));
    for (caution, source) in adhesives.chain(sleeves).chain(gloves) {
        let caution = caution.as_ref().unwrap_or_else(|| panic!("no caution: {source}"));
        assert!(caution.contains("first"), "{caution}");
        assert!(source.starts_with("Generic") && source.contains("first"), "{source}");
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
fn a_new_workshop_goes_by_these_very_files_and_needs_no_copy_of_them() {
    let (there, shop) = crate::bench::founded();
    assert!(!there.path().join("checklists").exists());
    let library = library();
    assert_eq!(shop.library().usable(), library.usable());
    assert_eq!(shop.library().stages(), library.stages());
    assert_eq!(shop.library().lists(), library.lists());
    assert!(shop.library().listed.iter().all(|listed| listed.shipped && listed.over.is_none()));
}

/// Two clocks that disagree would send the watcher home early. Half an hour at least: 29 CFR
/// 1910.252(a)(2)(iii)(B), in a state's adoption of it (WAC 296-307-49503(3)(b)).
#[test]
fn the_watch_of_a_stage_is_as_long_as_that_of_its_clearance() {
    let library = library();
    let clearance = library.list(StationKind::HeatClearance).unwrap();
    let asked = clearance.list.limits.as_ref().unwrap().watch_minutes;
    assert!(asked >= 30, "{asked}");
    let mut watches = 0;
    for stage in library.stages().iter().filter(|stage| stage.list.uses_heat()) {
        let starts = stage.list.steps.iter().filter_map(|step| step.starts.as_ref());
        for clock in starts.filter(|clock| clock.kind == ClockKind::Watch) {
            assert_eq!(clock.runs, Runs::Minutes(asked), "{}", stage.list.id);
            watches += 1;
        }
    }
    assert_eq!(watches, 2);
}

/// PVC begins to give off hydrogen chloride at 150 °C (Energy & Fuels 17(4):896-900, 2003, abstract): the
/// gun that shrinks a sleeve stays below that.
#[test]
fn the_gun_stays_below_what_a_sleeve_bears() {
    let library = library();
    let stages = library.stages();
    let sleeve = stages.iter().find(|stage| stage.list.id.as_str() == "sleeve-by-heat").unwrap();
    let heat: Vec<_> = sleeve.list.steps.iter().filter(|step| step.heat).collect();
    assert_eq!(heat.len(), 2);
    for step in heat {
        assert!(step.gun_limit_c.unwrap() < 150.0, "{}", step.id);
    }
}
