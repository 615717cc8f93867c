//! The single sheets from the command line: each made from a workshop, and what stands on it.

use crate::bench::{
    BENCH, HELPER, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step, own_checklist, pin, shipped_text,
};
use crate::cli::{coldbench, demo, refused, run, told};
use crate::walk::{begin_list, clear, clear_watched, prepare_step};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{Command, PersonId, RodId, StageId, StationId};
use std::path::Path;

/// Makes a sheet, has it checked, and gives its text without the white between the words.
fn sheet(folder: &Path, arguments: &[&str]) -> String {
    let file = folder.join("sheet.pdf");
    let pdf = file.to_str().unwrap();
    let mut all = arguments.to_vec();
    all.extend(["--workshop", folder.to_str().unwrap(), "-o", pdf]);
    assert_eq!(told(&coldbench(&all)), format!("Saved as {pdf}.\n"));
    let checked = run("qpdf", &["--check", pdf]);
    assert!(checked.contains("No syntax or stream encoding errors found"), "{checked}");
    let letter = arguments.contains(&"letter");
    assert!(run("pdfinfo", &[pdf]).contains(if letter { "(letter)" } else { "(A4)" }));
    // A sheet carries no record, so the workshop's seal would vouch for nothing there.
    let sealed = coldbench_record::sealed(&std::fs::read(&file).unwrap()).unwrap().is_some();
    assert_eq!(sealed, arguments[0] == "record");
    let text = run("pdftotext", &["-layout", pdf, "-"]);
    assert!(text.contains("Page 1 of "), "{text}");
    assert!(!text.to_lowercase().contains("safe to"), "{text}");
    bare(&text)
}

fn bare(text: &str) -> String {
    text.split_whitespace().collect()
}

fn says(text: &str, all: &[&str]) {
    for words in all {
        assert!(text.contains(&bare(words)), "{words:?} is not in {text}");
    }
}

#[test]
fn each_sheet_comes_from_the_demo_workshop() {
    let (_there, folder) = demo();
    let made = |arguments: &[&str]| {
        let text = sheet(&folder, arguments);
        says(&text, &["Demonstration: workshop, people and numbers are invented."]);
        text
    };
    says(
        &made(&["training", "P-2"]),
        &[
            "Training record",
            "Odo Fennick",
            "helper",
            "10 signatures for steps done, 1 of them witnessed",
            "No step with heat was signed by this person.",
            "No step of others was witnessed by this person.",
            "I have seen this person work.",
        ],
    );
    says(
        &made(&["training", "P-1", "--paper", "letter"]),
        &["Marta Quillfeather", "Steps of others, witnessed", "weigh resin and hardener"],
    );
    says(
        &made(&["crew-table"]),
        &[
            "Crew table",
            "Leads",
            "Marta Quillfeather",
            "Odo Fennick",
            "Bed the reel seat",
            "as its steps ask",
        ],
    );
    let rod = made(&["rod-sheet", "R-2"]);
    says(&rod, &["Rod sheet", "Light spinning rod", "Blank as measured", "Guides", "Guides weigh"]);
    assert!(!rod.contains(&bare("did this step")), "{rod}");
    let any = made(&["by-hand", "rear-grip"]);
    says(
        &any,
        &[
            "Checklist to fill in by hand",
            "Sheet number",
            "rear-grip, revised",
            "must be 0.05 mm to 0.25 mm",
            "Lot of: Wiping alcohol",
            "Gloves: glove change, at most 30 min",
            "Witness: initials",
            "These entries are to be keyed in later",
        ],
    );
    let digest = run(
        "sha256sum",
        &[crate::shipped::folder().join("stages/rear-grip.toml").to_str().unwrap()],
    );
    says(&any, &[digest.split(' ').next().unwrap()]);
    says(
        &made(&["by-hand", "reel-seat", "--rod", "R-2"]),
        &["R-2, Light spinning rod", "Left out on this rod. Only for a fly rod."],
    );
    says(&made(&["by-hand", "rear-grip", "--rod", "R-2"]), &["Signed in Coldbench by Odo Fennick"]);
    says(
        &made(&["by-hand", "heat-clearance", "--paper", "letter"]),
        &["this sheet grants no clearance", "does not pass", "Mineral spirits, half a can"],
    );
    says(
        &made(&["by-hand", "sleeve-by-heat"]),
        &[
            "Heat waits for a clearance that Coldbench granted",
            "Clearance granted by Coldbench, number",
        ],
    );
    let bench = made(&["bench-sheet", "R-2", "reel-seat"]);
    says(
        &bench,
        &["Bench sheet, R-2", "Bed the reel seat", "Tape under the seat", "What to measure out"],
    );
    // Moments reckoned from the printing would be wrong at the bench.
    assert!(!bench.contains(&bare("Load after")), "{bench}");
    let other = made(&["bench-sheet", "R-1", "sleeve-by-heat"]);
    says(&other, &["This stage is not for this rod. Only for a composite grip under a sleeve."]);
}

#[test]
fn a_clearance_is_drawn_with_what_was_done_under_it() {
    let (folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at));
    drop(shop);
    let text = sheet(folder.path(), &["clearance", "C-1"]);
    says(
        &text,
        &[
            "Clearance for heat",
            "C-1, Test bench",
            "heat-clearance, revised",
            "set to 140 °C",
            "6 changes an hour or more",
            "Where are the wiping rags and",
            "all in the metal bin, lid shut",
            "Heat under this clearance",
            "Watch until",
            "I granted this clearance, and this is what was found.",
        ],
    );
    assert!(!text.contains("Demonstration"), "{text}");
    let text = sheet(folder.path(), &["training", "P-1"]);
    says(&text, &["Steps with heat", "C-1"]);
    let text = sheet(folder.path(), &["training", HELPER]);
    says(&text, &["No step was signed by this person."]);
}

/// A list of the shop's own that warns otherwise: the sheet and the build log print who signed for it.
#[test]
fn a_clearance_by_the_shops_own_list_says_what_that_takes_away() {
    let (folder, mut shop) = at_heat_step();
    let text = shipped_text("stations/heat-clearance.toml");
    let caution = text.lines().find(|line| line.starts_with("caution = ")).unwrap();
    let less = text.replacen(caution, "caution = \"Mind the air. The data sheet comes first.\"", 1);
    own_checklist(&mut shop, "stations/heat-clearance.toml", &less);
    let texts = Box::new(shop.library().override_of("heat-clearance").unwrap());
    let reason = "The long one hangs over the bench.".to_owned();
    let accept = Command::AcceptOverride { texts, reason };
    shop.act_once(&PersonId::new("P-1"), &pin(LEAD_PIN), accept).unwrap();
    clear(&mut shop, BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at));
    assert!(shop.verify(&[]).is_ok());
    drop(shop);
    for arguments in [&["clearance", "C-1"][..], &["record", ROD]] {
        let text = sheet(folder.path(), arguments);
        says(&text, &["takes guards away", "Mind the air", "The long one hangs over the bench"]);
    }
}

/// Who held the gun and watched, and whether the watch was signed: on screen before, on paper after.
#[test]
fn the_log_says_who_held_the_gun_and_watched() {
    const BOTH: &str = "Ines Probe was named as who watches, and used the gun as well";
    for (watcher, both) in [(HELPER, false), (LEAD, true)] {
        let (folder, mut shop) = at_heat_step();
        clear_watched(&mut shop, BENCH, watcher);
        let walk = coldbench::walk(&shop, &RodId::new(ROD), &StageId::new(SLEEVE)).unwrap();
        let gate = walk.step.unwrap().gate.unwrap();
        assert_eq!(gate.watches_alone, both);
        assert_eq!(gate.watcher, if both { "Ines Probe" } else { "Kai Probe" });
        let at = prepare_step(&mut shop, ROD, SLEEVE);
        act(&mut shop, Command::SignStep(at));
        drop(shop);
        let text = sheet(folder.path(), &["record", ROD]);
        assert_eq!(text.contains(&bare(BOTH)), both);
        says(&text, &["not signed as kept"]);
    }
}

/// The hint beside the gun's setting is in degrees, and says whose they are.
#[test]
fn the_gun_is_told_what_bounds_it() {
    let (_folder, mut shop) = at_heat_step();
    let bench = StationId::new(BENCH);
    let begin = begin_list(&shop, StationKind::HeatClearance, BENCH);
    act(&mut shop, begin);
    let view = coldbench::station(&shop, &bench).unwrap().in_hand.unwrap();
    let gun = view.checks.iter().find(|check| check.id == "gun").unwrap();
    // 80 % of 399 °C, rounded down.
    assert!(gun.limits.starts_with("319 °C or less, for “Wiping alcohol”"), "{}", gun.limits);
    assert!(gun.limits.ends_with("in hand here, allows 145 °C"), "{}", gun.limits);
}

#[test]
fn what_is_not_there_is_said_in_a_sentence() {
    let (_there, folder) = demo();
    let shop = folder.to_str().unwrap();
    let file = folder.join("no.pdf");
    for (arguments, words) in [
        (vec!["training", "P-9"], "There is no person of the crew “P-9” here."),
        (vec!["rod-sheet", "R-9"], "There is no rod “R-9” here."),
        (vec!["clearance", "C-9"], "There is no clearance “C-9” here."),
        (vec!["by-hand", "nothing"], "There is no checklist “nothing” here."),
        (vec!["by-hand", "rear-grip", "--rod", "R-9"], "There is no rod “R-9” here."),
        (vec!["by-hand", "open-bench", "--rod", "R-1"], "leave the rod out"),
        (vec!["bench-sheet", "R-1", "nothing"], "The checklist “nothing” is missing"),
    ] {
        let mut all = arguments;
        all.extend(["--workshop", shop, "-o", file.to_str().unwrap()]);
        let said = refused(&coldbench(&all));
        assert!(said.contains(words), "{said}");
        assert!(!file.exists());
    }
}
