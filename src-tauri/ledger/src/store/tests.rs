use super::*;
use crate::verify::verify;

fn pin() -> Pin {
    Pin::new("4711".to_owned())
}

fn event(kind: &str, n: u32) -> NewEvent {
    NewEvent {
        at: chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap(),
        station: "S-1".to_owned(),
        kind: kind.to_owned(),
        body: json!({"n": n}),
    }
}

/// A ledger with one person and some events of theirs.
fn filled(folder: &Path) -> Ledger {
    let mut ledger = Ledger::create(folder).unwrap();
    let enrolment = Enrolment::make("P-1", &pin()).unwrap();
    ledger.append(vec![event("founded", 0)], vec![enrolment], None).unwrap();
    let key = ledger.unlock("P-1", &pin()).unwrap();
    for n in 1..5 {
        ledger.append(vec![event("step", n)], vec![], Some(&key)).unwrap();
    }
    ledger
}

#[test]
fn what_is_appended_is_read_and_holds() {
    let folder = tempfile::tempdir().unwrap();
    let ledger = filled(folder.path());
    let events = ledger.events().unwrap();
    assert_eq!(events.len(), 6);
    assert_eq!(events[5].person, "P-1");
    assert_eq!(events[0].person, "", "the installation signs what it notes itself");
    let report = verify(&events, &ledger.installation_public().unwrap()).unwrap();
    assert_eq!(report.events, 6);
    assert_eq!(report.heads[0].1, ledger.head().digest);
    drop(ledger);
    let again = Ledger::open(folder.path(), Access::Read).unwrap();
    assert_eq!(again.events().unwrap(), events);
}

#[test]
fn the_schema_refuses_change_removal_gaps_and_replacement() {
    let folder = tempfile::tempdir().unwrap();
    drop(filled(folder.path()));
    let raw = Connection::open(folder.path().join(FILE)).unwrap();
    for sql in [
        "UPDATE event SET body = '{}' WHERE seq = 2",
        "DELETE FROM event WHERE seq = 6",
        "INSERT INTO event SELECT origin, 9, at, person, station, kind, body, prev, hash, signer, signature FROM event WHERE seq = 1",
        "INSERT OR REPLACE INTO event SELECT origin, 2, at, person, station, kind, body, prev, hash, signer, signature FROM event WHERE seq = 1",
        "DELETE FROM sealed_key",
        "UPDATE installation SET origin = 'x'",
    ] {
        assert!(raw.execute(sql, []).is_err(), "{sql}");
    }
}

/// Someone with a database tool drops the triggers: the chain still tells.
#[test]
fn change_behind_the_triggers_is_found_and_named() {
    for (sql, expected) in [
        ("UPDATE event SET body = '{\"n\":9}' WHERE seq = 4", 4),
        ("UPDATE event SET at = '2026-11-25T10:00:01.000+01:00' WHERE seq = 3", 3),
        ("UPDATE event SET person = 'P-2' WHERE seq = 3", 3),
        ("UPDATE event SET station = '' WHERE seq = 5", 5),
        ("UPDATE event SET kind = 'x' WHERE seq = 1", 1),
        ("DELETE FROM event WHERE seq = 3", 3),
        (
            "UPDATE event SET signature = (SELECT signature FROM event WHERE seq = 5) WHERE seq = 4",
            4,
        ),
    ] {
        let folder = tempfile::tempdir().unwrap();
        drop(filled(folder.path()));
        let raw = Connection::open(folder.path().join(FILE)).unwrap();
        raw.execute_batch("DROP TRIGGER event_stays; DROP TRIGGER event_is_kept").unwrap();
        raw.execute(sql, []).unwrap();
        drop(raw);
        let ledger = Ledger::open(folder.path(), Access::Read).unwrap();
        let fault =
            verify(&ledger.events().unwrap(), &ledger.installation_public().unwrap()).unwrap_err();
        assert_eq!(fault.seq, expected, "{sql}: {fault}");
    }
}

#[test]
fn wrong_pins_slow_down() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    let wrong = || Pin::new("0000".to_owned());
    for _ in 0..3 {
        assert!(matches!(ledger.unlock("P-1", &wrong()), Err(LedgerError::WrongPin { .. })));
    }
    assert!(matches!(ledger.unlock("P-1", &pin()), Err(LedgerError::TooManyTries { .. })));
    assert!(matches!(ledger.unlock("P-9", &pin()), Err(LedgerError::NoKey { .. })));
}

#[test]
fn a_newer_a_foreign_and_a_broken_file_are_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    drop(filled(folder.path()));
    let file = folder.path().join(FILE);
    let raw = Connection::open(&file).unwrap();
    raw.pragma_update(None, "user_version", SCHEMA + 1).unwrap();
    drop(raw);
    assert!(matches!(Ledger::open(folder.path(), Access::Write), Err(LedgerError::Newer { .. })));
    let raw = Connection::open(&file).unwrap();
    raw.pragma_update(None, "application_id", 1).unwrap();
    drop(raw);
    let error = Ledger::open(folder.path(), Access::Write).err().unwrap();
    assert_eq!(error.fault(), Some(crate::StorageFault::Damaged));
    std::fs::write(&file, "not a database, but long enough to be looked at as one").unwrap();
    let error = Ledger::open(folder.path(), Access::Write).err().unwrap();
    assert_eq!(error.fault(), Some(crate::StorageFault::Damaged));
}

#[test]
fn a_missing_installation_key_is_named() {
    let folder = tempfile::tempdir().unwrap();
    drop(filled(folder.path()));
    std::fs::remove_file(folder.path().join(KEY_FILE)).unwrap();
    assert!(matches!(
        Ledger::open(folder.path(), Access::Write),
        Err(LedgerError::InstallationKey { .. })
    ));
    assert!(Ledger::open(folder.path(), Access::Read).is_ok(), "reading needs no key");
}

#[test]
fn a_reader_stands_beside_the_writer_and_cannot_write() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = filled(folder.path());
    let mut reader = Ledger::open(folder.path(), Access::Read).unwrap();
    let key = writer.unlock("P-1", &pin()).unwrap();
    writer.append(vec![event("step", 6)], vec![], Some(&key)).unwrap();
    assert_eq!(reader.events().unwrap().len(), 7);
    assert!(matches!(
        reader.append(vec![event("step", 7)], vec![], Some(&key)),
        Err(LedgerError::ReadOnly)
    ));
}
