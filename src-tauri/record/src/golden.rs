//! The text of every kind of page, as poppler lays it out, against a kept file of it.
//!
//! `COLDBENCH_WRITE_GOLDEN=1 cargo test -p coldbench-record golden` writes the files anew after a
//! change that is meant; read the difference.

use std::{env, fs, path::PathBuf};

use crate::{
    bench_sheet, build_log, clearance_page, crew_table, hand_list, pages_specimen as sheet,
    rod_page, specimen, station_log, station_specimen,
    tools::{folder_with, run},
    training_record,
};

/// Every kind of page.
fn all() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("build-log", build_log(&specimen::rich()).unwrap()),
        ("station-log", station_log(&station_specimen::ordinary()).unwrap()),
        ("hand-stage", hand_list(&sheet::hand_stage()).unwrap()),
        ("hand-station", hand_list(&sheet::hand_station()).unwrap()),
        ("training", training_record(&sheet::training()).unwrap()),
        ("crew-table", crew_table(&sheet::crew()).unwrap()),
        ("rod-sheet", rod_page(&sheet::rod()).unwrap()),
        ("clearance", clearance_page(&sheet::clearance()).unwrap()),
        ("bench-sheet", bench_sheet(&sheet::bench()).unwrap()),
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
