//! The record of one rod: it holds alone, shows nothing of others, and nothing in it or on its
//! pages can be changed unseen.

use crate::bench::{BENCH, ROD, SLEEVE, act, add_corner, at_heat_step};
use crate::walk::{begin_rod, clear, open_bench, walk_stage};
use coldbench::views::PaperWord;
use coldbench::{RECORD_FILE, Record, ShellError, Workshop, check_file};
use coldbench_ledger::{Entry, Extract};
use coldbench_shop::{Command, GripMaterial, RodId, RodPlan};
use std::sync::OnceLock;
use tempfile::TempDir;

/// A rod with heat work done on it, beside another customer's rod and much else.
fn busy() -> (TempDir, Workshop) {
    let (folder, mut shop) = at_heat_step();
    let others = RodPlan {
        title: "Surf rod".to_owned(),
        customer: "Somebody Else".to_owned(),
        ..crate::walk::plan(GripMaterial::Cork)
    };
    act(&mut shop, Command::BeginRod(Box::new(others)));
    clear(&mut shop, BENCH);
    walk_stage(&mut shop, ROD, SLEEVE, Some("watch-end"));
    open_bench(&mut shop, BENCH);
    walk_stage(&mut shop, "R-2", "spine", None);
    act(&mut shop, add_corner("Rack"));
    (folder, shop)
}

fn record() -> &'static (Vec<u8>, Vec<u8>) {
    static RECORD: OnceLock<(Vec<u8>, Vec<u8>)> = OnceLock::new();
    RECORD.get_or_init(|| {
        let (_folder, shop) = busy();
        let record = Record::take(&shop, &RodId::new(ROD), PaperWord::A4).unwrap();
        (record.to_bytes().unwrap(), record.draw().unwrap())
    })
}

fn check(bytes: &[u8]) -> Result<(), String> {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("file");
    std::fs::write(&path, bytes).unwrap();
    check_file(&path).map(drop).map_err(|error| error.to_string())
}

#[test]
fn trials_count_each_and_none_replaces_another() {
    let (_, pdf) = record();
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("log.pdf");
    std::fs::write(&path, pdf).unwrap();
    let output =
        std::process::Command::new("pdftotext").arg("-layout").arg(&path).arg("-").output();
    let text = String::from_utf8(output.unwrap().stdout).unwrap();
    assert_eq!(text.matches("at the butt, each trial").count(), 3, "{text}");
    assert!(!text.contains("replaced by a later entry"), "{text}");
}

#[test]
fn it_holds_with_nothing_but_itself() {
    let (bytes, pdf) = record();
    check(bytes).unwrap();
    check(pdf).unwrap();
    let (read, report) = Record::check(bytes).unwrap();
    assert!(report.folded > 5, "nothing was left out");
    assert!(read.draw().unwrap() == *pdf, "drawn again, it is another page");
    assert!(
        coldbench_record::attachment(pdf, RECORD_FILE, 1 << 24).unwrap() == *bytes,
        "the PDF carries another record"
    );
}

#[test]
fn it_tells_nothing_of_other_customers() {
    let (bytes, pdf) = record();
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert!(text.contains("Nobody") && text.contains("Test rod"));
    assert!(!text.contains("Somebody Else") && !text.contains("Surf rod"));
    let pages = coldbench_record::page_texts(pdf).unwrap().concat();
    assert!(pages.contains("C-1"), "the clearance that heat was used under is not printed");
}

#[test]
fn any_changed_byte_of_the_pdf_is_found_out() {
    let (_, pdf) = record();
    let mut changed = 0;
    for at in (0..pdf.len()).step_by(pdf.len() / 120) {
        let mut bytes = pdf.clone();
        bytes[at] ^= 1 << (at % 8);
        let error = check(&bytes).expect_err("a changed PDF holds");
        assert!(error.ends_with('.'), "{error}");
        changed += 1;
    }
    assert!(changed >= 120);
}

/// Taken out of the file by a program that knows nothing of us: the whole ledger is there, in order.
#[test]
fn every_event_of_the_ledger_is_in_what_is_attached() {
    let (folder, shop) = busy();
    let file = folder.path().join("log.pdf");
    let record = Record::take(&shop, &RodId::new(ROD), PaperWord::A4).unwrap();
    std::fs::write(&file, record.draw().unwrap()).unwrap();
    let show = format!("--show-attachment={RECORD_FILE}");
    let taken = std::process::Command::new("qpdf").arg(show).arg(&file).output().unwrap().stdout;
    let attached = Extract::from_bytes(&taken).unwrap();
    let stored = shop.ledger().unwrap().events().unwrap();
    assert_eq!(attached.entries.len(), stored.len());
    for (entry, event) in attached.entries.iter().zip(&stored) {
        match entry {
            Entry::Whole(whole) => assert_eq!(**whole, *event),
            Entry::Folded(folded) => {
                assert_ne!(folded.subject, ROD, "an event of the rod was left out: {event:?}");
                assert_eq!(folded.subject, event.subject);
            }
        }
    }
}

/// Whoever folds an event that belongs to the heat work, or to the rod, or to the crew.
#[test]
fn nothing_that_matters_can_be_left_out() {
    let (bytes, _) = record();
    let whole = Extract::from_bytes(bytes).unwrap();
    let mut found_out = Vec::new();
    for (at, entry) in whole.entries.iter().enumerate() {
        let Entry::Whole(event) = entry else { continue };
        let mut cut = whole.clone();
        cut.entries[at] = folded(bytes, event.seq);
        assert!(cut.to_bytes().unwrap() != *bytes);
        if Record::check(&cut.to_bytes().unwrap()).is_err() {
            found_out.push(event.kind.as_str());
        }
    }
    for kind in [
        "step-done",
        "value-measured",
        "stage-begun",
        "person-joined",
        "ledger.key-enrolled",
        "clearance-granted",
        "check-answered",
        "text-kept",
    ] {
        assert!(found_out.contains(&kind), "{kind} could be left out unseen");
    }
}

/// The event folded as the ledger folds it: taken from a record in which it is not wanted.
fn folded(bytes: &[u8], seq: u64) -> Entry {
    use coldbench_ledger::sha256_hex;
    let extract = Extract::from_bytes(bytes).unwrap();
    let Some(Entry::Whole(event)) = extract.entries.get(usize::try_from(seq - 1).unwrap()) else {
        panic!("it is not whole");
    };
    // By the published recipe (how-to-verify.txt), not by the ledger's own code.
    let content = coldbench_ledger::canonical_json(
        &serde_json::json!({
            "at": event.at,
            "body": event.body,
            "kind": event.kind,
            "person": event.person,
            "salt": hex(&event.salt),
            "station": event.station,
        })
        .to_string(),
    )
    .unwrap();
    let digest = sha256_hex(content.as_bytes());
    let mut content = [0; 32];
    for (byte, pair) in content.iter_mut().zip(digest.as_bytes().chunks(2)) {
        *byte = u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).unwrap();
    }
    Entry::Folded(coldbench_ledger::Folded { subject: event.subject.clone(), content })
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |text, byte| format!("{text}{byte:02x}"))
}

/// A record held against the workshop it is of, later on; and against one whose end was cut off.
#[test]
fn paper_contradicts_another_history() {
    let (folder, mut shop) = busy();
    let path = folder.path().join("r1.pdf");
    let take = |shop: &Workshop| {
        let record = Record::take(shop, &RodId::new(ROD), PaperWord::Letter).unwrap();
        std::fs::write(&path, record.draw().unwrap()).unwrap();
        record.head().clone()
    };
    let early = take(&shop);
    begin_rod(&mut shop, GripMaterial::Cork);
    let late = take(&shop);
    shop.verify(&[early, late.clone()]).unwrap();
    drop(shop);
    let raw = rusqlite::Connection::open(folder.path().join("ledger.db")).unwrap();
    raw.execute_batch(
        "DROP TRIGGER event_is_kept; DELETE FROM event WHERE kind = 'rod-begun' AND seq > 60",
    )
    .unwrap();
    drop(raw);
    let shop = Workshop::open_to_read(
        folder.path(),
        coldbench::Clock::Set(crate::bench::start()),
        "A look.",
    )
    .unwrap();
    let fault = match shop.verify(&[late]) {
        Err(ShellError::Ledger(error)) => error.to_string(),
        other => panic!("{other:?}"),
    };
    assert!(fault.contains("does not hold"), "{fault}");
}
