//! The text of every kind of page, as poppler lays it out, and its picture, against kept ones.
//!
//! `COLDBENCH_WRITE_GOLDEN=1 cargo test -p coldbench-record golden` writes the files anew after a
//! change that is meant; read the difference.

use std::{
    env, fs,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{
    SingleSheet as Single, build_log, pages_specimen as sheet, specimen, station_log,
    station_specimen,
    tools::{folder_with, run},
};

/// Every kind of page.
fn all() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("build-log", build_log(&specimen::rich()).unwrap()),
        ("station-log", station_log(&station_specimen::ordinary()).unwrap()),
        ("hand-stage", Single::ByHand(sheet::hand_stage()).pdf().unwrap()),
        ("hand-station", Single::ByHand(sheet::hand_station()).pdf().unwrap()),
        ("training", Single::Training(sheet::training()).pdf().unwrap()),
        ("crew-table", Single::CrewTable(sheet::crew()).pdf().unwrap()),
        ("rod-sheet", Single::Rod(sheet::rod()).pdf().unwrap()),
        ("clearance", Single::Clearance(sheet::clearance()).pdf().unwrap()),
        ("bench-sheet", Single::Bench(sheet::bench()).pdf().unwrap()),
    ]
}

fn kept(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden").join(format!("{name}.txt"))
}

/// The words of each line. White between columns is poppler's: another release may count it
/// otherwise.
fn lines(text: &str) -> Vec<String> {
    let words = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    text.lines().map(words).filter(|line| !line.is_empty()).collect()
}

#[test]
fn the_text_of_every_page_is_as_it_was() {
    let mut changed = Vec::new();
    for (name, pdf) in all() {
        let folder = folder_with(&pdf);
        let text = run(folder.path(), "pdftotext", &["-layout", "log.pdf", "-"]);
        let pages: Vec<String> = text
            .trim_end()
            .split('\u{c}')
            .map(|page| page.lines().map(str::trim_end).collect::<Vec<_>>().join("\n"))
            .collect();
        let text = format!("{}\n", pages.join("\n======== page ========\n"));
        let path = kept(name);
        if env::var_os("COLDBENCH_WRITE_GOLDEN").is_some() {
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, &text).unwrap();
        }
        let before = fs::read_to_string(&path).unwrap_or_default();
        let (before, now) = (lines(&before), lines(&text));
        let other = before.iter().zip(&now).position(|(before, now)| before != now);
        if before != now {
            let at = other.unwrap_or(before.len().min(now.len()));
            changed.push(format!("{name}, line {at}: {:?} was {:?}", now.get(at), before.get(at)));
        }
    }
    assert!(changed.is_empty(), "{changed:#?}\nCOLDBENCH_WRITE_GOLDEN=1 writes the files anew");
}

#[test]
fn qpdf_finds_no_fault_in_any_of_them() {
    for (name, pdf) in all() {
        let folder = folder_with(&pdf);
        let checked = run(folder.path(), "qpdf", &["--check", "log.pdf"]);
        assert!(checked.contains("No syntax or stream encoding errors found"), "{name}: {checked}");
    }
}

/// Dots per inch of the kept pictures: enough to see a line move, little to keep.
const DOTS: &str = "36";
/// How far a page may be from its kept picture, as a root mean square of ink from 0 to 1. Another
/// release of poppler smooths letters otherwise; a block that moves by two dots is beyond it, which
/// [`a_block_that_moves_is_seen`] holds.
const TOLERANCE: f64 = 0.04;

fn pictures(folder: &Path) -> Vec<PathBuf> {
    run(folder, "pdftoppm", &["-r", DOTS, "-gray", "-png", "log.pdf", "page"]);
    let mut pages: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "png"))
        .collect();
    pages.sort();
    pages
}

/// How far two pictures are from each other, from 0 to 1; `None` where their sizes differ.
fn distance(one: &Path, other: &Path) -> Option<f64> {
    let output = Command::new("compare")
        .args(["-metric", "RMSE"])
        .args([one, other, Path::new("null:")])
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    told.split_once('(')?.1.split_once(')')?.0.parse().ok()
}

#[test]
fn every_page_looks_as_it_did() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden").join("pictures");
    let write = env::var_os("COLDBENCH_WRITE_GOLDEN").is_some();
    if write {
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
    }
    let mut known = 0;
    let mut changed = Vec::new();
    for (name, pdf) in all() {
        let made = folder_with(&pdf);
        for (number, page) in (1..).zip(pictures(made.path())) {
            let kept = folder.join(format!("{name}-{number}.png"));
            if write {
                fs::copy(&page, &kept).unwrap();
            }
            known += 1;
            match distance(&page, &kept) {
                Some(far) if far <= TOLERANCE => {}
                far => changed.push(format!("{name}, page {number}: {far:?}")),
            }
        }
    }
    assert!(changed.is_empty(), "{changed:#?}\nCOLDBENCH_WRITE_GOLDEN=1 keeps them anew");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), known, "a kept picture has no page");
}

#[test]
fn a_block_that_moves_is_seen() {
    let made = folder_with(&Single::Clearance(sheet::clearance()).pdf().unwrap());
    let pages = pictures(made.path());
    let page = &pages[0];
    assert_eq!(distance(page, page), Some(0.0));
    let moved = made.path().join("moved.png");
    // The upper half of the page, two dots further down.
    let crop = ["-crop", "100%x50%+0+0", "+repage", "-roll", "+0+2", "-flatten"];
    let upper = made.path().join("upper.png");
    let status = Command::new("convert").arg(page).args(crop).arg(&upper).status().unwrap();
    assert!(status.success());
    let laid = [page.as_path(), &upper];
    let status = Command::new("convert").args(laid).args(["-flatten"]).arg(&moved).status();
    assert!(status.unwrap().success());
    assert!(distance(page, &moved).unwrap() > TOLERANCE);
}
