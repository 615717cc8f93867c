//! Checklist files with faults: each fault is named, with its line, and the others still load.
//!
//! What is expected of a file stands in it: `#! error checklist::unknown-hazard line 14`. Faults
//! between files stand in folders of their own.

use crate::bench::read_files;
use coldbench::read_library;
use coldbench_shop::Library;
use coldbench_shop::checklist::Severity;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/app/broken")
}

/// `file: error checklist::unknown-hazard line 14`
fn found(library: &Library) -> Vec<String> {
    let mut lines: Vec<String> = library
        .findings
        .iter()
        .flat_map(|file| file.findings.iter().map(move |finding| (file, finding)))
        .map(|(file, finding)| {
            let severity = match finding.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
            };
            format!("{}: {severity} {} line {}", file.path, finding.code, finding.line)
        })
        .collect();
    lines.sort();
    lines
}

fn expected(entry: &Path) -> Vec<String> {
    let files = if entry.is_dir() {
        read_files(entry)
    } else {
        vec![(PathBuf::from(entry.file_name().unwrap()), fs::read(entry).unwrap())]
    };
    let mut lines = Vec::new();
    for (name, bytes) in files {
        for line in String::from_utf8_lossy(&bytes).lines() {
            if let Some(words) = line.strip_prefix("#! ") {
                lines.push(format!("{}: {words}", name.display()));
            }
        }
    }
    lines.sort();
    lines
}

fn entries() -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    assert!(entries.len() > 10, "the broken files are not there");
    entries
}

#[test]
fn every_fault_is_named_at_its_line() {
    let mut wrong = Vec::new();
    for entry in entries() {
        let (found, expected) = (found(&read_library(&entry)), expected(&entry));
        assert!(!expected.is_empty(), "{} expects nothing", entry.display());
        if found != expected {
            wrong.push(format!("{}\n found {found:#?}\n expected {expected:#?}", entry.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_finding_says_how_to_mend_it() {
    for entry in entries() {
        for file in read_library(&entry).findings {
            for finding in &file.findings {
                let (message, help) = (&finding.message, &finding.help);
                assert!(message.ends_with('.') && help.ends_with(['.', '?']), "{finding}");
                assert!(message.len() > 10 && help.len() > 10, "{finding}");
            }
        }
    }
}

/// A finding that no file here brings about is a finding nobody has seen work.
#[test]
fn every_finding_has_its_broken_file() {
    let shop = Path::new(env!("CARGO_MANIFEST_DIR")).join("shop/src");
    let mut known = BTreeSet::new();
    for (path, bytes) in read_files(&shop) {
        if path.ends_with("checklist/tests.rs") {
            continue;
        }
        let source = String::from_utf8(bytes).unwrap();
        let code = |text: &str| text.split('"').next().unwrap().to_owned();
        known.extend(source.split("\"checklist::").skip(1).map(code));
    }
    assert!(known.len() > 20, "the codes were not found: {known:?}");
    // No file can say this of itself; a test below brings it about.
    let mut seen = BTreeSet::from(["not-given-out".to_owned()]);
    for entry in entries() {
        for line in expected(&entry) {
            let code = line.split("checklist::").nth(1).unwrap();
            seen.insert(code.split(' ').next().unwrap().to_owned());
        }
    }
    let unseen: Vec<_> = known.difference(&seen).collect();
    assert!(unseen.is_empty(), "no broken file for {unseen:?}");
}

/// The shipped files with one more beside them.
fn beside_the_shipped(name: &str, bytes: &[u8]) -> (TempDir, Library) {
    let there = TempDir::new().unwrap();
    for (path, bytes) in read_files(&crate::shipped::folder()) {
        let path = there.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    fs::write(there.path().join("stages").join(name), bytes).unwrap();
    let library = read_library(there.path());
    (there, library)
}

fn assert_others_load(library: &Library) {
    let shipped = read_library(&crate::shipped::folder());
    assert!(library.stages() == shipped.stages(), "the stages are not those of before");
    assert!(library.lists() == shipped.lists(), "the lists are not those of before");
    let same = library.materials() == shipped.materials();
    assert!(same, "the materials are not those of before");
    assert!(library.adhesives() == shipped.adhesives(), "the adhesives are not those of before");
    assert!(library.sleeves() == shipped.sleeves(), "the sleeves are not those of before");
    assert!(library.gloves() == shipped.gloves(), "the gloves are not those of before");
}

#[test]
fn a_bad_file_does_not_keep_the_others_out() {
    let newer = b"# A file of tomorrow.\nformat = 2\nkind = \"stage\"\nmagic = true\n".as_slice();
    let unclosed = b"format = 1\nkind = \"stage\"\nid = \"half\ntitle = \"x\"\n".as_slice();
    let no_text = b"format = 1\nkind = \"stage\"\nid = \"caf\xe9\"\n".as_slice();
    let zeros = [0u8; 300];
    for (bytes, line, words) in [
        (newer, 2, "Format 2 is newer than this Coldbench"),
        (unclosed, 3, "can't be read"),
        (no_text, 3, ""),
        (zeros.as_slice(), 1, ""),
        (b"".as_slice(), 1, "does not say which format"),
    ] {
        let (_there, library) = beside_the_shipped("bad.toml", bytes);
        let [file] = library.findings.as_slice() else { panic!("{:?}", library.findings) };
        assert_eq!(file.path, "stages/bad.toml");
        assert!(file.is_unusable());
        assert_eq!(file.findings[0].line, line, "{:?}", file.findings);
        assert!(file.findings[0].message.contains(words), "{:?}", file.findings);
        assert_others_load(&library);
    }
}

/// A byte that is no UTF-8 must not slip through where any character would do: what is kept in
/// the ledger would not be what its digest was taken of.
#[test]
fn a_file_that_is_no_text_is_never_used() {
    let shipped = fs::read(crate::shipped::folder().join("stages/spine.toml")).unwrap();
    let text = String::from_utf8(shipped).unwrap().replace("id = \"spine\"", "id = \"spine-b\"");
    for (place, line) in [("Stage: finding", 1), ("Find and mark", 6)] {
        let (before, after) = text.split_once(place).unwrap();
        let bytes = [before.as_bytes(), b"Caf\xe9 ", place.as_bytes(), after.as_bytes()].concat();
        let (_there, library) = beside_the_shipped("latin.toml", &bytes);
        assert_others_load(&library);
        let [file] = library.findings.as_slice() else { panic!("{place}: nothing was found") };
        assert_eq!(file.findings[0].line, line);
        assert!(file.findings[0].help.contains("UTF-8"), "{:?}", file.findings);
    }
}

/// A file that the system does not give out is not an empty one.
#[test]
fn a_file_that_can_not_be_read_is_named_as_that() {
    let (there, _) = beside_the_shipped("bad.toml", b"");
    fs::remove_file(there.path().join("stages/bad.toml")).unwrap();
    let nowhere = there.path().join("nowhere");
    std::os::unix::fs::symlink(nowhere, there.path().join("stages/gone.toml")).unwrap();
    let library = read_library(there.path());
    assert_others_load(&library);
    let [file] = library.findings.as_slice() else { panic!("{:?}", library.findings) };
    assert_eq!(file.path, "stages/gone.toml");
    let message = &file.findings[0].message;
    assert_eq!(file.findings[0].code, "checklist::not-given-out");
    assert!(!message.contains("format"), "the file was taken for an empty one: {message}");
}
