//! What other people's programs find in a finished file: qpdf, poppler, mutool and zbar.

use std::{collections::BTreeMap, fs, path::Path, process::Command};

use tempfile::TempDir;

use crate::{
    attachment, build_log,
    fonts::{Face, Fonts},
    head_text,
    model::{BuildLog, Paper},
    page_texts, specimen, station_log, station_specimen,
    words::{INVENTED, STANDING},
};

/// Runs a program of this machine in the folder and gives what it printed.
pub(crate) fn run(folder: &Path, program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).current_dir(folder).output();
    let output = output.unwrap_or_else(|error| panic!("{program} did not start: {error}"));
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let warned = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program} {arguments:?}: {said}{warned}");
    said
}

/// A folder with the log in it, as `log.pdf`.
fn printed(log: &BuildLog) -> TempDir {
    folder_with(&build_log(log).unwrap())
}

pub(crate) fn folder_with(pdf: &[u8]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("log.pdf"), pdf).unwrap();
    folder
}

#[test]
fn qpdf_finds_no_fault_and_lists_what_is_carried() {
    for log in [specimen::rich(), specimen::empty()] {
        let folder = printed(&log);
        let checked = run(folder.path(), "qpdf", &["--check", "log.pdf"]);
        assert!(checked.contains("No syntax or stream encoding errors found"), "{checked}");
        let listed = run(folder.path(), "qpdf", &["--list-attachments", "--verbose", "log.pdf"]);
        for attachment in &log.attached {
            for text in [&attachment.name, &attachment.mime, &attachment.words] {
                assert!(listed.contains(text.as_str()), "{text:?} is not in {listed}");
            }
            let show = format!("--show-attachment={}", attachment.name);
            let folder = folder.path();
            let output = Command::new("qpdf").args([&show, "log.pdf"]).current_dir(folder).output();
            assert_eq!(output.unwrap().stdout, attachment.bytes);
        }
        assert_eq!(listed.contains("no embedded files"), log.attached.is_empty(), "{listed}");
    }
}

#[test]
fn poppler_gives_the_same_bytes_back() {
    let mut log = specimen::rich();
    log.attached[1].name = "Schlüssel für Łódź (alle).bin".to_owned();
    let folder = printed(&log);
    let listed = run(folder.path(), "pdfdetach", &["-list", "log.pdf"]);
    assert!(listed.starts_with("2 embedded files"), "{listed}");
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    run(folder.path(), "pdfdetach", &["-enc", "UTF-8", "-saveall", "-o", "out", "log.pdf"]);
    for attachment in &log.attached {
        let saved = fs::read(out.join(&attachment.name)).unwrap();
        assert_eq!(saved, attachment.bytes, "{}", attachment.name);
    }
}

#[test]
fn the_document_as_a_whole_names_its_source() {
    let folder = printed(&specimen::rich());
    let catalog = run(folder.path(), "qpdf", &["--show-object=trailer", "log.pdf"]);
    let root = catalog.split("/Root ").nth(1).unwrap().split(" R").next().unwrap();
    let show = |id: &str| {
        let id = id.trim().replace(' ', ",");
        run(folder.path(), "qpdf", &[&format!("--show-object={id}"), "log.pdf"])
    };
    let catalog = show(root);
    let associated = catalog.split("/AF [").nth(1).unwrap().split(']').next().unwrap();
    let relations: Vec<String> =
        associated.split('R').map(str::trim).filter(|id| !id.is_empty()).map(show).collect();
    assert_eq!(relations.len(), 2);
    assert!(relations[0].contains("/AFRelationship /Source"), "{relations:?}");
    assert!(relations[1].contains("/AFRelationship /Supplement"), "{relations:?}");
}

#[test]
fn a_camera_reads_the_head_from_the_page() {
    for paper in [Paper::A4, Paper::Letter] {
        let log = BuildLog { paper, ..specimen::rich() };
        let folder = printed(&log);
        // No finer than an office printer, and once coarser.
        for dots in ["150", "300"] {
            run(folder.path(), "pdftoppm", &["-r", dots, "-gray", "-png", "log.pdf", "page"]);
            let mut found = Vec::new();
            for page in fs::read_dir(folder.path()).unwrap() {
                let page = page.unwrap().path();
                if page.extension().is_some_and(|extension| extension == "png") {
                    let image = page.to_str().unwrap();
                    let output = Command::new("zbarimg")
                        .args(["--quiet", "--raw", "--set", "*.enable=0", "--set"])
                        .args(["qrcode.enable=1", image])
                        .output();
                    let output = output.unwrap_or_else(|error| panic!("zbarimg: {error}"));
                    found.push(String::from_utf8(output.stdout).unwrap());
                    fs::remove_file(&page).unwrap();
                }
            }
            found.retain(|text| !text.is_empty());
            assert_eq!(found, [format!("{}\n", head_text(&log.ledger))], "at {dots}");
        }
    }
}

#[test]
fn poppler_reads_the_same_words_as_we_do() {
    let rod = build_log(&specimen::rich()).unwrap();
    let station = station_log(&station_specimen::ordinary()).unwrap();
    for pdf in [rod, station] {
        same_words(&pdf);
    }
}

fn same_words(pdf: &[u8]) {
    let folder = folder_with(pdf);
    let texts = page_texts(pdf).unwrap();
    for (page, text) in (1..).zip(&texts) {
        let page = page.to_string();
        let arguments = ["-f", &page, "-l", &page, "-raw", "log.pdf", "-"];
        let theirs = run(folder.path(), "pdftotext", &arguments);
        // Which letters there are, whatever their order on the page.
        let letters = |text: &str| {
            let mut letters: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
            letters.sort_unstable();
            letters.into_iter().collect::<String>()
        };
        assert_eq!(letters(text), letters(&theirs), "page {page}");
    }
}

#[test]
fn a_station_log_is_whole_to_qpdf_and_poppler() {
    let ordinary = station_specimen::ordinary();
    for log in [ordinary, station_specimen::ordinary(), station_specimen::overfull()] {
        let folder = folder_with(&station_log(&log).unwrap());
        let checked = run(folder.path(), "qpdf", &["--check", "log.pdf"]);
        assert!(checked.contains("No syntax or stream encoding errors found"), "{checked}");
        let facts = run(folder.path(), "pdfinfo", &["log.pdf"]);
        assert!(facts.contains(&format!("Station log 2026-11-25: {}\n", log.station)), "{facts}");
        let size = if log.paper == Paper::A4 { "(A4)" } else { "(letter)" };
        assert!(facts.contains(size), "{facts}");
    }
}

/// Letters of one byte and of two, more of these than share a first byte.
#[test]
fn every_letter_of_the_faces_comes_back() {
    let fonts = Fonts::load().unwrap();
    let is_there =
        |letter: &char| Face::ALL.iter().all(|face| fonts.glyph(*face, *letter).is_some());
    let letters: Vec<char> = ('!'..='\u{2122}')
        .filter(|letter| letter.is_alphanumeric() || letter.is_ascii_punctuation())
        .filter(is_there)
        .collect();
    assert!(letters.len() > 500, "{} letters", letters.len());
    let text: String = letters.iter().flat_map(|letter| [*letter, ' ']).collect();
    let mut log = specimen::rich();
    let steps = log.stages.iter_mut().flat_map(|stage| &mut stage.steps);
    let step = steps.into_iter().find(|step| !step.notes.is_empty()).unwrap();
    step.notes[0].text.clone_from(&text);
    step.what.clone_from(&text);
    step.reason = text;
    let pdf = build_log(&log).unwrap();
    same_words(&pdf);
    let folder = folder_with(&pdf);
    let seen = run(folder.path(), "pdftotext", &["log.pdf", "-"]);
    run(folder.path(), "mutool", &["draw", "-F", "text", "-o", "words.txt", "log.pdf"]);
    let other = fs::read_to_string(folder.path().join("words.txt")).unwrap();
    for letter in letters {
        // The step, its reason and its note, each in a face of its own.
        assert!(seen.matches(letter).count() >= 3, "poppler does not see {letter:?}");
        assert!(other.matches(letter).count() >= 3, "mutool does not see {letter:?}");
    }
}

/// Whoever has nothing left but a page's own bytes can still read it.
#[test]
fn the_words_of_a_page_stand_in_its_content() {
    let folder = printed(&specimen::rich());
    run(folder.path(), "qpdf", &["--stream-data=uncompress", "log.pdf", "plain.pdf"]);
    let plain = fs::read(folder.path().join("plain.pdf")).unwrap();
    let plain = String::from_utf8_lossy(&plain);
    for words in ["(Ream the rear grip until it stops 40 mm short of its mark. )", "(Page 2 of 10)"]
    {
        assert!(plain.contains(words), "{words}");
    }
}

/// What is packed can be lost, and so can the end of the file, where the table that leads to its parts
/// is: another program still finds the pages, and what the file carries.
#[test]
fn pages_outlive_what_is_packed_and_the_table() {
    let log = specimen::rich();
    let whole = build_log(&log).unwrap();
    let expected = run(folder_with(&whole).path(), "pdftotext", &["-raw", "log.pdf", "-"]);
    let mut spoiled = whole.clone();
    let packs: Vec<usize> =
        (0..whole.len()).filter(|at| whole[*at..].starts_with(b"/Type/ObjStm")).collect();
    assert!(!packs.is_empty());
    let stands = |words: &[u8]| whole.windows(words.len()).any(|window| window == words);
    for plain in ["/Type/Catalog", "/Type/Page/", "/Type/Font/", "/Type/Filespec"] {
        assert!(stands(plain.as_bytes()), "{plain} is packed");
    }
    for many in ["/S/P/P ", "/S/TD/P ", "/Nums[", "/Type/Outlines"] {
        assert!(!stands(many.as_bytes()), "{many} stands by itself");
    }
    for at in packs {
        let data = whole[at..].windows(7).position(|window| window == b"stream\n").unwrap();
        spoiled[at + data + 7..][..64].fill(0);
    }
    let folder = folder_with(&spoiled);
    assert_eq!(run(folder.path(), "pdftotext", &["-raw", "log.pdf", "-"]), expected);
    for carried in &log.attached {
        assert_eq!(attachment(&spoiled, &carried.name, 1 << 20).as_ref(), Ok(&carried.bytes));
    }
    let ends = |window: &[u8]| window == b"endobj\n";
    let table = whole.windows(10).rposition(|window| window == b"/Type/XRef").unwrap();
    let before = whole[..table].windows(7).rposition(ends).unwrap() + 7;
    let folder = folder_with(&whole[..before]);
    run(folder.path(), "mutool", &["draw", "-F", "text", "-o", "words.txt", "log.pdf"]);
    let drawn = fs::read_to_string(folder.path().join("words.txt")).unwrap();
    assert_eq!(words(&drawn), words(&expected));
}

/// A third reader of its own make: every page is drawn without a complaint, and says what poppler reads.
#[test]
fn mutool_draws_every_page_and_reads_the_same_words() {
    for log in [specimen::rich(), specimen::empty()] {
        let pdf = build_log(&log).unwrap();
        let folder = folder_with(&pdf);
        let drawn = Command::new("mutool")
            .args(["draw", "-F", "text", "-o", "words.txt", "log.pdf"])
            .current_dir(folder.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&drawn.stderr);
        // It may be built without colour management; anything else it says is of our file.
        let complaints = said.lines().filter(|line| {
            let line = line.to_lowercase();
            (line.contains("warning") || line.contains("error")) && !line.contains("icc support")
        });
        assert_eq!(complaints.collect::<Vec<_>>(), Vec::<&str>::new());
        assert!(drawn.status.success(), "{said}");
        let seen = run(folder.path(), "pdftotext", &["-raw", "log.pdf", "-"]);
        let other = fs::read_to_string(folder.path().join("words.txt")).unwrap();
        assert_eq!(words(&other), words(&seen));
    }
}

/// What poppler finds of the pieces of the paper: one line each, the words behind the kind.
fn pieces(pdf: &[u8]) -> Vec<(String, String)> {
    let folder = folder_with(pdf);
    let tree = run(folder.path(), "pdfinfo", &["-struct-text", "log.pdf"]);
    let mut pieces: Vec<(String, String)> = Vec::new();
    for line in tree.lines().map(str::trim) {
        match (line.strip_prefix('"'), pieces.last_mut()) {
            (Some(words), Some((_, last))) => {
                last.push_str(words.strip_suffix('"').unwrap_or(words));
            }
            _ if line.starts_with('/') => {}
            _ => {
                let kind = line.split([' ', ':']).next().unwrap_or_default();
                pieces.push((kind.to_owned(), String::new()));
            }
        }
    }
    pieces
}

/// How often each word stands in a text. Dots that lead to an answer are no words.
fn words(text: &str) -> BTreeMap<String, usize> {
    let mut words = BTreeMap::new();
    let bare =
        text.split_whitespace().map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric()));
    for word in bare.filter(|word| !word.is_empty()) {
        *words.entry(word.to_owned()).or_default() += 1;
    }
    words
}

/// Headings step down one level at a time, and every row of a table has a cell for every head.
fn well_formed(pieces: &[(String, String)]) {
    let mut level = 0;
    let mut rows: Vec<(&str, usize)> = Vec::new();
    for (kind, words) in pieces {
        if let Some(deep) = kind.strip_prefix('H').and_then(|level| level.parse::<u8>().ok()) {
            assert!(deep <= level + 1, "level {deep} follows {level} at {words:?}");
            level = deep;
        }
        match kind.as_str() {
            "Table" | "TR" => rows.push((kind, 0)),
            "TH" | "TD" => rows.last_mut().unwrap().1 += 1,
            _ => {}
        }
    }
    let mut columns = None;
    for (kind, cells) in rows {
        match (kind, columns) {
            ("Table", _) => columns = None,
            (_, None) => columns = Some(cells),
            (_, Some(columns)) => assert_eq!(cells, columns),
        }
    }
}

/// What is on the pages and in no piece: the foot and the edge of each page, and heads that are said
/// again. Everything else is told once.
fn told(pdf: &[u8], pieces: &[(String, String)]) {
    let folder = folder_with(pdf);
    let seen = run(folder.path(), "pdftotext", &["-raw", "log.pdf", "-"]);
    let seen = words(&seen);
    let told = words(&pieces.iter().map(|piece| piece.1.as_str()).collect::<String>());
    // What only leads the eye, or says again where one is, is read to nobody.
    for (kind, words) in pieces {
        assert!(!words.contains(". .") && !words.contains(" continued"), "{kind}: {words}");
    }
    for (word, count) in &told {
        assert!(*count <= seen.get(word).copied().unwrap_or(0), "{word:?} is told too often");
    }
    let foot = words(&format!("{INVENTED} {STANDING} Ledger Page of continued"));
    let pages = page_texts(pdf).unwrap().len();
    for (word, count) in &seen {
        let short = *count - told.get(word).copied().unwrap_or(0);
        let page = word.parse().is_ok_and(|number: usize| (1..=pages).contains(&number));
        let again = short < pages && told.contains_key(word);
        // The foot says its words and the names in it once a page.
        let in_foot = foot.contains_key(word) || short == pages;
        assert!(short == 0 || page || again || in_foot, "{word:?} is not told {short} times");
    }
}

#[test]
fn whoever_has_it_read_aloud_hears_every_word_by_its_kind() {
    for log in [specimen::rich(), specimen::empty()] {
        let pdf = build_log(&log).unwrap();
        let pieces = pieces(&pdf);
        let of = |kind: &str| -> Vec<&str> {
            let all = pieces.iter().filter(|piece| piece.0 == kind);
            all.map(|(_, words)| words.trim()).collect()
        };
        let title = if log.rod.title.is_empty() { &log.rod.id } else { &log.rod.title };
        assert_eq!(of("H1"), [title]);
        assert!(of("H2").contains(&"What this record proves"), "{:?}", of("H2"));
        assert_eq!(of("H3").len(), log.stages.len() + log.clearances.len());
        assert_eq!(of("TH").is_empty(), log.rod.stations.is_empty());
        well_formed(&pieces);
        told(&pdf, &pieces);
        let folder = folder_with(&pdf);
        assert!(run(folder.path(), "pdfinfo", &["log.pdf"]).contains("Tagged:          yes"));
    }
    let pdf = station_log(&station_specimen::ordinary()).unwrap();
    well_formed(&pieces(&pdf));
    told(&pdf, &pieces(&pdf));
}
