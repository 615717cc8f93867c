//! The program under faults: this one, started anew, and what it and the tests do with a ledger.

use crate::system::library;
use coldbench_ledger::{
    Enrolment, KeyChange, Ledger, LedgerError, NewEvent, Pin, StoredEvent, UnlockedKey,
};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The only place where an event is made.
pub fn new_event(number: usize, length: usize) -> NewEvent {
    NewEvent {
        at: chrono::DateTime::parse_from_rfc3339("2026-03-14T09:26:53+01:00").unwrap(),
        station: "bench".to_owned(),
        kind: "test.noted".to_owned(),
        subject: format!("rod-{}", number % 3),
        body: serde_json::json!({ "number": number, "text": "x".repeat(length) }),
    }
}

/// The number an event was made with.
pub fn number_of(event: &StoredEvent) -> Option<usize> {
    let body: serde_json::Value = serde_json::from_str(&event.body).unwrap();
    body.get("number").map(|number| usize::try_from(number.as_u64().unwrap()).unwrap())
}

/// The only place where a ledger is verified: all it holds, or why it does not hold.
pub fn verified(ledger: &Ledger) -> Result<Vec<StoredEvent>, String> {
    let events = ledger.events().map_err(|error| error.to_string())?;
    ledger.verify(&[]).map_err(|error| error.to_string())?;
    ledger.check_file().map_err(|error| error.to_string())?;
    Ok(events)
}

/// The files of a folder that make up a ledger. SQLite's `-shm` is left out: it is made anew.
pub fn copy_ledger(from: &Path, to: &Path) {
    for name in ["ledger.db", "ledger.db-wal", "ledger.db-journal", "installation.key"] {
        match std::fs::read(from.join(name)) {
            Ok(bytes) => std::fs::write(to.join(name), bytes).unwrap(),
            Err(error) => assert_eq!(error.kind(), std::io::ErrorKind::NotFound, "{name}: {error}"),
        }
    }
}

/// A ledger as the first schema had it.
pub fn old_ledger() -> PathBuf {
    let kept =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/faults/ledger/kept/schema-1");
    // Where SQLite's header has the number of the schema.
    assert_eq!(std::fs::read(kept.join("ledger.db")).unwrap()[60..64], [0, 0, 0, 1]);
    kept
}

/// This program, to be started anew as one of its ignored tests.
pub fn victim(test: &str) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", test, "--ignored", "--nocapture", "--test-threads", "1"]);
    command
}

/// The same with the library in front of libc, looking at one folder.
pub fn victim_under_faults(test: &str, folder: &Path) -> Command {
    let mut command = victim(test);
    command.env("LD_PRELOAD", library()).env("FAULTS_FOLDER", folder.canonicalize().unwrap());
    command
}

/// The only place where events are appended: what they are numbered, and how long their texts are.
pub fn append(
    ledger: &mut Ledger,
    events: &[(usize, usize)],
    signer: Option<&UnlockedKey>,
) -> Result<Vec<StoredEvent>, LedgerError> {
    let events = events.iter().map(|&(number, length)| new_event(number, length)).collect();
    ledger.append(events, vec![], signer)
}

/// The only place where somebody is enrolled.
pub fn enrol(ledger: &mut Ledger, person: &str) -> UnlockedKey {
    let pin = || Pin::new("4711 at dawn".to_owned());
    let enrolment = Enrolment::make(person, &pin()).unwrap();
    let changes = vec![KeyChange::Enrol(enrolment)];
    ledger.append(vec![new_event(0, 0)], changes, None).unwrap();
    ledger.unlock(person, &pin()).unwrap()
}
