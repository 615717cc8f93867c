//! The command line, as a person runs it.

use crate::bench::read_files;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use tempfile::TempDir;

pub fn coldbench(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coldbench")).args(arguments).output().unwrap()
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

pub fn told(output: &Output) -> String {
    assert!(output.status.success(), "{}", text(&output.stderr));
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// The one sentence of a command that was not done.
pub fn refused(output: &Output) -> String {
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    assert!(said.starts_with("coldbench: ") && said.trim_end().ends_with('.'), "{said}");
    said
}

/// A demo workshop, made by the program itself; the tests that change one take a copy.
pub fn demo() -> (TempDir, PathBuf) {
    static FILES: OnceLock<Vec<(PathBuf, Vec<u8>)>> = OnceLock::new();
    let files = FILES.get_or_init(|| {
        let there = TempDir::new().unwrap();
        let folder = there.path().join("new/demo");
        let said = told(&coldbench(&["demo", folder.to_str().unwrap()]));
        assert!(said.contains(folder.to_str().unwrap()), "{said}");
        assert_eq!(fs::read_dir(there.path().join("new")).unwrap().count(), 1, "leftovers");
        read_files(&folder)
    });
    let there = TempDir::new().unwrap();
    for (path, bytes) in files {
        let path = there.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let folder = there.path().to_owned();
    (there, folder)
}

fn verified_head(folder: &Path) -> String {
    let said = told(&coldbench(&["verify", "--workshop", folder.to_str().unwrap()]));
    let head = said.lines().find(|line| line.starts_with("Head of ")).unwrap();
    let digest = head.rsplit(' ').next().unwrap().to_owned();
    assert!(digest.len() == 64 && digest.chars().all(|c| c.is_ascii_hexdigit()), "{head}");
    digest
}

#[test]
fn rods_are_listed_with_their_id_first() {
    let (_there, folder) = demo();
    let said = told(&coldbench(&["rods", "--workshop", folder.to_str().unwrap()]));
    let ids: Vec<&str> = said.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(ids, ["R-1", "R-2"], "{said}");
    assert!(said.contains("Light spinning rod"), "{said}");
    // The option may stand before the verb as well.
    assert_eq!(told(&coldbench(&["--workshop", folder.to_str().unwrap(), "rods"])), said);
}

pub fn run(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).output();
    let output = output.unwrap_or_else(|error| panic!("{program} is needed: {error}"));
    let said = text(&output.stdout);
    assert!(output.status.success(), "{program}: {said}{}", text(&output.stderr));
    said
}

#[test]
fn the_record_carries_what_was_signed_and_the_head() {
    let (_there, folder) = demo();
    let file = folder.join("r1.pdf");
    let (shop, pdf) = (folder.to_str().unwrap(), file.to_str().unwrap());
    told(&coldbench(&["record", "R-1", "--workshop", shop, "-o", pdf]));
    run("qpdf", &["--check", pdf]);
    let pages = run("pdftotext", &["-layout", pdf, "-"]);
    // Lines are broken to the column: compare without the white between the words.
    let bare = |text: &str| -> String { text.split_whitespace().collect() };
    let shown = bare(&pages);
    let signed = crate::bench::shipped_text("stages/spine.toml");
    let steps: Vec<&str> = signed
        .lines()
        .filter_map(|line| line.strip_prefix("what = \"").or(line.strip_prefix("caution = \"")))
        .map(|line| line.trim_end_matches('"'))
        .collect();
    assert!(steps.len() > 7);
    for words in steps.into_iter().chain([
        "Alder Loop Rod Shop",
        "Two-piece fly rod for the upper beck",
        "Wilhelmina Oakhanger",
        "Marta Quillfeather, lead",
        "read and understood the caution",
        "did this step",
        "112°",
        "2590 mm",
        "IPA-0412",
    ]) {
        assert!(shown.contains(&bare(words)), "the record does not show: {words}");
    }
    assert!(shown.contains(&verified_head(&folder)), "the head is not on the paper:\n{pages}");
    // Every signature carries its offset from UTC, seconds and all.
    let is_stamp = |line: &&str| {
        line.contains("did this step") && {
            let stamp: Vec<char> = line.trim_end().chars().rev().take(6).collect();
            matches!(stamp.as_slice(), [m, n, ':', h, i, '+' | '-'] if
                [m, n, h, i].iter().all(|c| c.is_ascii_digit()))
        }
    };
    assert!(pages.lines().filter(is_stamp).count() >= 7, "no UTC offset:\n{pages}");
    let letter = folder.join("letter.pdf");
    let letter = letter.to_str().unwrap();
    told(&coldbench(&["record", "R-2", "--paper", "letter", "--workshop", shop, "-o", letter]));
    assert!(run("pdfinfo", &[letter]).contains("letter"));
}

#[test]
fn what_can_not_be_done_is_said_in_a_sentence() {
    let (_there, folder) = demo();
    let shop = folder.to_str().unwrap();
    let pdf = folder.join("no.pdf");
    let unknown = coldbench(&["record", "R-9", "--workshop", shop, "-o", pdf.to_str().unwrap()]);
    assert!(refused(&unknown).contains("There is no rod “R-9” here."));
    assert!(!pdf.exists());
    let nowhere = folder.join("none/no.pdf");
    let nowhere =
        coldbench(&["record", "R-1", "--workshop", shop, "-o", nowhere.to_str().unwrap()]);
    assert!(refused(&nowhere).contains("none/no.pdf"));
    for verb in ["rods", "verify"] {
        assert!(refused(&coldbench(&[verb])).contains("--workshop DIR"), "{verb}");
        let empty = TempDir::new().unwrap();
        let said = refused(&coldbench(&[verb, "--workshop", empty.path().to_str().unwrap()]));
        assert!(said.contains("There is no workshop in"), "{said}");
        assert_eq!(fs::read_dir(empty.path()).unwrap().count(), 0, "looking left something");
    }
    assert_eq!(coldbench(&["polish"]).status.code(), Some(2));
    assert_eq!(coldbench(&["record", "R-1", "--workshop", shop]).status.code(), Some(2));
}

#[test]
fn the_demo_goes_nowhere_but_into_an_empty_folder() {
    let (_there, folder) = demo();
    let full = TempDir::new().unwrap();
    fs::write(full.path().join("letter.txt"), "Dear").unwrap();
    for (there, words) in [(full.path(), "empty folder"), (&folder, "already")] {
        let before = read_files(there);
        let said = refused(&coldbench(&["demo", there.to_str().unwrap()]));
        assert!(said.contains(words), "{said}");
        assert!(read_files(there) == before, "{} was changed", there.display());
    }
    // The folder one stands in is an empty folder too.
    let here = TempDir::new().unwrap();
    let inside = here.path().join("inside");
    fs::create_dir(&inside).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_coldbench"));
    told(&command.args(["demo", "."]).current_dir(&inside).output().unwrap());
    verified_head(&inside);
}

#[test]
fn verify_names_the_event_that_was_tampered_with() {
    let (_there, folder) = demo();
    verified_head(&folder);
    let ledger = rusqlite::Connection::open(folder.join("ledger.db")).unwrap();
    let change = "UPDATE event SET body = replace(body, '112°', '212°') WHERE body LIKE '%112°%'";
    assert!(ledger.execute(change, []).is_err(), "the ledger lets itself be changed");
    ledger.execute_batch("DROP TRIGGER event_stays").unwrap();
    let number: i64 = ledger
        .query_row("SELECT seq FROM event WHERE body LIKE '%112°%'", [], |row| row.get(0))
        .unwrap();
    assert_eq!(ledger.execute(change, []).unwrap(), 1);
    drop(ledger);
    let said = refused(&coldbench(&["verify", "--workshop", folder.to_str().unwrap()]));
    assert!(said.contains(&format!("Event {number} of ")), "{said}");
    assert!(said.contains("was changed"), "{said}");
}

/// The newest events cut off: the rest still holds, so only the printed head shows it.
#[test]
fn a_cut_ledger_shows_another_head() {
    let (_there, folder) = demo();
    let head = verified_head(&folder);
    let ledger = rusqlite::Connection::open(folder.join("ledger.db")).unwrap();
    ledger
        .execute_batch(
            "DROP TRIGGER event_is_kept;
             DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)",
        )
        .unwrap();
    drop(ledger);
    assert_ne!(verified_head(&folder), head);
}

#[test]
fn lint_says_where() {
    let shipped = crate::shipped::folder();
    let said = told(&coldbench(&["lint", shipped.to_str().unwrap()]));
    assert_eq!(said, "42 checklists can be used; 0 errors, 0 warnings.\n");
    let broken = crate::broken::folder().join("hazards.toml");
    let output = coldbench(&["lint", broken.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(said.contains("hazards.toml:14:"), "{said}");
    assert!(said.contains("Did you mean “heat”?"), "{said}");
    let nothing = coldbench(&["lint", "/no/such/place.toml"]);
    assert!(refused(&nothing).contains("/no/such/place.toml is not there."));
}

/// Printed or saved, it is the schema that the files are held against.
#[test]
fn the_schema_comes_out_whole() {
    let there = TempDir::new().unwrap();
    let file = there.path().join("checklist.json");
    let said = told(&coldbench(&["schema", "-o", file.to_str().unwrap()]));
    assert_eq!(said, format!("Saved as {}.\n", file.display()));
    let saved = fs::read_to_string(&file).unwrap();
    assert_eq!(told(&coldbench(&["schema"])), saved);
    let schema: serde_json::Value = serde_json::from_str(&saved).unwrap();
    assert!(schema == coldbench_shop::checklist::schema(), "{saved}");
    let nowhere = there.path().join("none/checklist.json");
    assert!(refused(&coldbench(&["schema", "-o", nowhere.to_str().unwrap()])).contains("none/"));
}

#[test]
fn without_a_screen_it_says_so() {
    let there = TempDir::new().unwrap();
    let shop = there.path().join("shop");
    let mut command = Command::new(env!("CARGO_BIN_EXE_coldbench"));
    command.args(["--workshop", shop.to_str().unwrap()]);
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    let said = refused(&command.output().unwrap());
    assert!(said.contains("no screen here"), "{said}");
}

/// The same record as paper and as a file, checked with nothing but itself, and taken in by
/// another workshop.
#[test]
fn a_record_goes_from_one_workshop_to_another() {
    let (_there, folder) = demo();
    let (shop, away) = (folder.to_str().unwrap(), TempDir::new().unwrap());
    let path = |name: &str| away.path().join(name).to_str().unwrap().to_owned();
    let (pdf, json) = (path("r1.pdf"), path("r1.json"));
    told(&coldbench(&["record", "R-1", "--workshop", shop, "-o", &pdf]));
    told(&coldbench(&["export", "R-1", "--workshop", shop, "-o", &json]));
    let head = verified_head(&folder);
    for file in [&pdf, &json] {
        let said = told(&coldbench(&["verify", file]));
        assert!(said.contains("The record of R-1 holds") && said.contains(&head), "{said}");
        assert!(said.contains("can't show that what was entered is true"), "{said}");
        let beside = told(&coldbench(&["verify", file, "--workshop", shop]));
        assert!(beside.contains("The workshop's ledger holds this record"), "{beside}");
    }
    // Held against another workshop, it is not of this one; but it can be taken in.
    let other = path("other");
    told(&coldbench(&["demo", &other]));
    let strange = refused_after_words(&coldbench(&["verify", &pdf, "--workshop", &other]));
    assert!(strange.contains("is not of this workshop"), "{strange}");
    let said = told(&coldbench(&["import", &pdf, "--workshop", &other]));
    let id = said.split_whitespace().last().unwrap().trim_end_matches('.').to_owned();
    assert!(id.starts_with("R-1@"), "{said}");
    told(&coldbench(&["import", &json, "--workshop", &other]));
    let rods = told(&coldbench(&["rods", "--workshop", &other]));
    assert_eq!(rods.lines().count(), 3, "{rods}");
    let again = path("again.pdf");
    told(&coldbench(&["record", &id, "--workshop", &other, "-o", &again]));
    told(&coldbench(&["verify", &again]));
    let own = refused(&coldbench(&["import", &pdf, "--workshop", shop]));
    assert!(own.contains("of this very workshop"), "{own}");
    // What is no record, or one with a word changed.
    let text = fs::read_to_string(&json).unwrap();
    fs::write(&json, text.replace("112°", "212°")).unwrap();
    let said = refused(&coldbench(&["verify", &json]));
    assert!(said.contains("Event ") && said.contains("does not hold"), "{said}");
    fs::write(&json, "{}").unwrap();
    assert!(refused(&coldbench(&["verify", &json])).contains("no Coldbench record"));
    let unreadable = refused(&coldbench(&["verify", away.path().to_str().unwrap()]));
    assert!(unreadable.contains(away.path().to_str().unwrap()), "{unreadable}");
}

/// Some of it held; the sentence that says what did not stands alone on the other stream.
fn refused_after_words(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(1));
    text(&output.stderr)
}

#[test]
fn a_backup_comes_back_in_a_new_folder() {
    let (_there, folder) = demo();
    let (shop, away) = (folder.to_str().unwrap(), TempDir::new().unwrap());
    let none = refused(&coldbench(&["backup", "--workshop", shop]));
    assert!(none.contains("No folder for backups is named yet"), "{none}");
    let backups = away.path().join("backups");
    let said =
        told(&coldbench(&["backup", "--workshop", shop, "--folder", backups.to_str().unwrap()]));
    let events = said.strip_prefix("Backed up and verified: ").and_then(|s| s.split(" in ").next());
    let events = events.unwrap_or_else(|| panic!("{said}")).to_owned();
    assert!(events.ends_with(" events") && !events.starts_with("0 "), "{said}");
    told(&coldbench(&["backup", "--workshop", shop]));
    let made: Vec<_> = fs::read_dir(&backups).unwrap().map(|e| e.unwrap().path()).collect();
    assert_eq!(made.len(), 2, "{made:?}");
    let back = away.path().join("back");
    let said = told(&coldbench(&["restore", made[0].to_str().unwrap(), back.to_str().unwrap()]));
    assert!(said.starts_with(&format!("Restored and verified: {events}")), "{said}");
    verified_head(&back);
    let over = refused(&coldbench(&["restore", made[0].to_str().unwrap(), shop]));
    assert!(over.contains("empty folder"), "{over}");
    let (empty, new) = (away.path().join("empty"), away.path().join("new"));
    fs::create_dir(&empty).unwrap();
    let no = refused(&coldbench(&["restore", empty.to_str().unwrap(), new.to_str().unwrap()]));
    assert!(no.contains("There is no workshop in"), "{no}");
    assert!(!new.exists(), "a restore that could not be left something");
}

#[test]
fn a_lot_is_traced_to_its_rods() {
    let (_there, folder) = demo();
    let shop = folder.to_str().unwrap();
    let said = told(&coldbench(&["lots", "--workshop", shop]));
    let resin = said.lines().find(|line| line.starts_with("R 2207-B")).unwrap();
    assert!(resin.contains("Epoxy resin") && resin.contains("at hand"), "{said}");
    assert!(resin.ends_with("R-1 R-2"), "{said}");
    let said = told(&coldbench(&["lot", "h 2207-a", "--workshop", shop]));
    assert_eq!(said.lines().count(), 2, "{said}");
    let none = told(&coldbench(&["lot", "nothing", "--workshop", shop]));
    assert!(none.contains("was used on no rod"), "{none}");
}

#[test]
fn rows_for_other_programs_hold_every_event() {
    let (_folder, demo) = demo();
    let shop = demo.to_str().unwrap();
    let csv = told(&coldbench(&["table", "--workshop", shop]));
    let mut lines = csv.lines();
    let columns = told(&coldbench(&["table", "--columns"]));
    let named: Vec<&str> = columns.lines().map(|line| line.split(':').next().unwrap()).collect();
    assert_eq!(lines.next().unwrap(), named.join(","));
    // Read again by a library that is not ours.
    let json = told(&coldbench(&["table", "--workshop", shop, "--form", "json"]));
    let rows: Vec<serde_json::Value> = serde_json::from_str(&json).unwrap();
    assert!(rows.len() > 250, "{}", rows.len());
    assert_eq!(csv_rows(&csv).len(), rows.len());
    let signed = |row: &serde_json::Value| row["kind"] == "step-done" && row["rod"] == "R-1";
    let first = rows.iter().find(|row| signed(row)).unwrap();
    assert_eq!(first["rod-title"], "Two-piece fly rod for the upper beck");
    assert_eq!(
        (first["stage"].as_str(), first["role"].as_str()),
        (Some("blank-intake"), Some("lead"))
    );
    let measured =
        rows.iter().find(|row| row["kind"] == "value-measured" && row["unit"] == "mm").unwrap();
    assert!(measured["value"].is_f64() && measured["within"] == true, "{measured}");
    // Every event of the ledger but the ledger's own, once and in order.
    let numbers: Vec<u64> = rows.iter().map(|row| row["event"].as_u64().unwrap()).collect();
    assert!(numbers.is_sorted_by(|one, other| one < other));
    let of_one = told(&coldbench(&["table", "--workshop", shop, "--rod", "R-2", "--form", "json"]));
    let of_one: Vec<serde_json::Value> = serde_json::from_str(&of_one).unwrap();
    assert!(!of_one.is_empty() && of_one.iter().all(|row| row["rod"] == "R-2"));
    let none = told(&coldbench(&["table", "--workshop", shop, "--to", "2020-01-01"]));
    assert_eq!(none.lines().count(), 1, "the names of the columns stay");
}

/// Rows of CSV as RFC 4180 quotes them.
fn csv_rows(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes()).records().collect::<Result<_, _>>().unwrap()
}
