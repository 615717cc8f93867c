use super::*;
use crate::backup;
use crate::extract::Extract;
use crate::extract::{Entry, ExtractError};
use crate::keys::{Enrolment, Pin};

fn pin() -> Pin {
    Pin::new("4711".to_owned())
}

fn event(kind: &str, n: u32) -> NewEvent {
    NewEvent {
        at: chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap(),
        station: "S-1".to_owned(),
        kind: kind.to_owned(),
        subject: format!("R-{}", n % 2),
        body: serde_json::json!({"n": n}),
    }
}

fn enrol(person: &str, may_enrol: bool) -> KeyChange {
    KeyChange::Enrol(Enrolment::make(person, &pin()).unwrap().that_may_enrol(may_enrol))
}

/// A ledger with one person and some events of theirs.
fn filled(folder: &Path) -> Ledger {
    let mut ledger = Ledger::create(folder).unwrap();
    ledger.append(vec![event("founded", 0)], vec![enrol("P-1", true)], None).unwrap();
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
    let report = ledger.verify(&[]).unwrap();
    assert_eq!((report.events, report.folded), (6, 0));
    assert_eq!(report.heads, [ledger.head().clone()]);
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
        "INSERT INTO event SELECT origin, 9, at, person, station, kind, body, prev, hash, signer, signature, form, subject, salt FROM event WHERE seq = 1",
        "INSERT OR REPLACE INTO event SELECT origin, 2, at, person, station, kind, body, prev, hash, signer, signature, form, subject, salt FROM event WHERE seq = 1",
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
        let LedgerError::Fault(fault) = ledger.verify(&[]).unwrap_err() else { panic!("{sql}") };
        assert_eq!(fault.seq(), Some(expected), "{sql}: {fault}");
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
    // Starting anew gives no free tries.
    drop(ledger);
    let mut again = Ledger::open(folder.path(), Access::Write).unwrap();
    assert!(matches!(again.unlock("P-1", &pin()), Err(LedgerError::TooManyTries { .. })));
}

#[test]
fn a_right_pin_makes_tries_free_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    for _ in 0..3 {
        assert!(ledger.unlock("P-1", &Pin::new("0000".to_owned())).is_err());
        assert!(ledger.unlock("P-1", &pin()).is_ok());
    }
}

#[test]
fn a_new_key_is_linked_to_the_one_who_may_enrol_and_ends_the_old() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    let lead = ledger.unlock("P-1", &pin()).unwrap();
    ledger.append(vec![event("joined", 1)], vec![enrol("P-2", false)], Some(&lead)).unwrap();
    let old = ledger.unlock("P-2", &pin()).unwrap();
    // A second key beside the first is none.
    let beside = ledger.append(vec![event("x", 1)], vec![enrol("P-2", false)], Some(&lead));
    assert!(matches!(beside, Err(LedgerError::HasKey { .. })));
    let fresh = Enrolment::make("P-2", &Pin::new("9876".to_owned())).unwrap();
    let renewal = vec![KeyChange::Enrol(fresh.in_place_of_the_old())];
    ledger.append(vec![event("renewed", 1)], renewal, Some(&lead)).unwrap();
    let refused = ledger.append(vec![event("step", 1)], vec![], Some(&old));
    assert!(matches!(refused, Err(LedgerError::KeyEnded { .. })));
    assert!(matches!(ledger.unlock("P-2", &pin()), Err(LedgerError::WrongPin { .. })));
    let new = ledger.unlock("P-2", &Pin::new("9876".to_owned())).unwrap();
    ledger.append(vec![event("step", 2)], vec![], Some(&new)).unwrap();
    // Who leaves signs no more; what they signed stays.
    let end = || vec![KeyChange::End { person: "P-2".to_owned() }];
    ledger.append(vec![event("left", 1)], end(), Some(&lead)).unwrap();
    assert!(matches!(ledger.unlock("P-2", &pin()), Err(LedgerError::NoKey { .. })));
    let again = ledger.append(vec![event("left", 1)], end(), Some(&lead));
    assert!(matches!(again, Err(LedgerError::NoKey { .. })));
    ledger.verify(&[]).unwrap();
}

/// The rights stand in the chain, not in this program's manners: whoever stores events past it
/// is found out.
#[test]
fn rights_are_checked_when_verifying() {
    type Change = fn(&mut Ledger, &UnlockedKey, &UnlockedKey);
    let cases: [(Change, &str); 3] = [
        (
            |ledger, _, helper| {
                ledger
                    .append(vec![event("joined", 1)], vec![enrol("P-3", false)], Some(helper))
                    .unwrap();
            },
            "had no right",
        ),
        (
            |ledger, _, _| {
                ledger.append(vec![event("joined", 1)], vec![enrol("P-3", true)], None).unwrap();
            },
            "had no right",
        ),
        (
            |ledger, lead, helper| {
                let end = vec![KeyChange::End { person: "P-2".to_owned() }];
                ledger.append(vec![event("left", 1)], end, Some(lead)).unwrap();
                ledger.ended.clear();
                ledger.append(vec![event("step", 1)], vec![], Some(helper)).unwrap();
            },
            "had ended before",
        ),
    ];
    for (change, words) in cases {
        let folder = tempfile::tempdir().unwrap();
        let mut ledger = filled(folder.path());
        let lead = ledger.unlock("P-1", &pin()).unwrap();
        ledger.append(vec![event("joined", 1)], vec![enrol("P-2", false)], Some(&lead)).unwrap();
        let helper = ledger.unlock("P-2", &pin()).unwrap();
        ledger.verify(&[]).unwrap();
        change(&mut ledger, &lead, &helper);
        let fault = ledger.verify(&[]).unwrap_err().to_string();
        assert!(fault.contains(words), "{fault}");
    }
}

#[test]
fn what_is_kept_of_a_key_is_checked_too() {
    for (sql, words) in [
        ("UPDATE sealed_key SET kdf = 'none'", "changed after"),
        ("UPDATE sealed_key SET salt = randomblob(16)", "changed after"),
        ("UPDATE sealed_key SET nonce = randomblob(24)", "changed after"),
        ("UPDATE sealed_key SET sealed = randomblob(48)", "changed after"),
        ("UPDATE sealed_key SET person = 'P-2'", "somebody else"),
        ("UPDATE sealed_key SET public = randomblob(32)", "no event enrols it"),
        ("DELETE FROM sealed_key", "is missing"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        drop(filled(folder.path()));
        let raw = Connection::open(folder.path().join(FILE)).unwrap();
        raw.execute_batch("DROP TRIGGER sealed_key_stays; DROP TRIGGER sealed_key_is_kept")
            .unwrap();
        raw.execute(sql, []).unwrap();
        drop(raw);
        let ledger = Ledger::open(folder.path(), Access::Read).unwrap();
        let fault = ledger.verify(&[]).unwrap_err().to_string();
        assert!(fault.starts_with("The sealed key of P-") && fault.contains(words), "{fault}");
    }
}

#[test]
fn a_head_held_outside_must_be_in_the_history() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    let paper = ledger.head().clone();
    ledger.append(vec![event("step", 6)], vec![], None).unwrap();
    ledger.verify(std::slice::from_ref(&paper)).unwrap();
    let other = Head { digest: [7; 32], ..paper.clone() };
    let fault = ledger.verify(&[other]).unwrap_err().to_string();
    assert!(fault.contains("another history"), "{fault}");
    let longer = Head { events: 99, ..paper };
    let fault = ledger.verify(&[longer]).unwrap_err().to_string();
    assert!(fault.starts_with("Event 99 ") && fault.contains("does not reach"), "{fault}");
}

#[test]
fn a_record_shows_its_subject_and_folds_the_rest() {
    let folder = tempfile::tempdir().unwrap();
    let ledger = filled(folder.path());
    let extract = ledger.extract("R-1", serde_json::json!({"rod": "R-1"}), |_| false).unwrap();
    let bytes = extract.to_bytes().unwrap();
    let read = Extract::from_bytes(&bytes).unwrap();
    assert!(read == extract, "what is read is not what was written");
    let report = read.verify().unwrap();
    assert_eq!((report.events, report.folded), (6, 3));
    assert_eq!(report.heads, [ledger.head().clone()]);
    // Nothing of what is folded can be read.
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.contains(r#"{\"n\":1}"#) && !text.contains(r#"{\"n\":2}"#), "{text}");
    // Folding one more about the subject leaves a chain that holds, and is found out.
    let mut hidden = read.clone();
    let at = hidden
        .entries
        .iter()
        .rposition(|entry| matches!(entry, Entry::Whole(event) if event.subject == "R-1"))
        .unwrap();
    let Entry::Whole(event) = hidden.entries[at].clone() else { unreachable!() };
    let content = crate::canonical::content_digest(&event.unsealed()).unwrap();
    let fold = |subject: &str| {
        Entry::Folded(crate::verify::Folded { subject: subject.to_owned(), content })
    };
    hidden.entries[at] = fold("R-1");
    assert!(matches!(hidden.verify(), Err(ExtractError::LeftOut { .. })));
    // Under another name it is another chain.
    hidden.entries[at] = fold("R-0");
    assert!(matches!(
        hidden.verify(),
        Err(ExtractError::Fault(_) | ExtractError::OtherHead { .. })
    ));
    // Cut off at the end, it does not end where it says.
    let mut cut = read;
    cut.entries.pop();
    assert!(matches!(cut.verify(), Err(ExtractError::OtherHead { .. })));
}

#[test]
fn a_backup_is_verified_and_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    let there = tempfile::tempdir().unwrap();
    let kept = there.path().join("kept");
    let report = backup::back_up(folder.path(), &kept, |_| Ok(())).unwrap();
    assert_eq!(report.heads, [ledger.head().clone()]);
    assert_eq!(backup::head_of(&kept).unwrap(), *ledger.head());
    let names: Vec<_> =
        std::fs::read_dir(&kept).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
    let head = ledger.head().clone();
    ledger.append(vec![event("step", 7)], vec![], None).unwrap();
    let back = there.path().join("back");
    let at = event("", 0).at;
    backup::restore(&kept, &back, at).unwrap();
    let mut restored = Ledger::open(&back, Access::Write).unwrap();
    let events = restored.events().unwrap();
    assert_eq!(events.last().unwrap().kind, "ledger.restored");
    restored.verify(&[head]).unwrap();
    let key = restored.unlock("P-1", &pin()).unwrap();
    restored.append(vec![event("step", 8)], vec![], Some(&key)).unwrap();
    restored.verify(&[]).unwrap();
    assert!(matches!(backup::restore(&kept, &back, at), Err(LedgerError::Present { .. })));
}

#[test]
fn a_damaged_ledger_makes_no_backup_and_a_damaged_backup_comes_not_back() {
    let folder = tempfile::tempdir().unwrap();
    drop(filled(folder.path()));
    let there = tempfile::tempdir().unwrap();
    let kept = there.path().join("kept");
    backup::back_up(folder.path(), &kept, |_| Ok(())).unwrap();
    for place in [folder.path(), &kept] {
        let raw = Connection::open(place.join(FILE)).unwrap();
        raw.execute_batch("DROP TRIGGER event_stays; UPDATE event SET body = '{}' WHERE seq = 3")
            .unwrap();
    }
    let second = there.path().join("second");
    let error = backup::back_up(folder.path(), &second, |_| Ok(())).unwrap_err();
    assert!(matches!(error, LedgerError::Fault(_)), "{error}");
    let back = there.path().join("back");
    assert!(backup::restore(&kept, &back, event("", 0).at).is_err());
    let left: Vec<_> =
        std::fs::read_dir(there.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["kept"], "something was left that looks like a ledger");
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
    let newer = Ledger::open(folder.path(), Access::Read).unwrap();
    assert!(newer.is_newer());
    assert_eq!(newer.events().unwrap().len(), 6, "what is known of it can be read");
    drop(newer);
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

/// What could not be read back as it went in would spoil the ledger for good.
#[test]
fn what_cannot_be_written_down_exactly_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    let last = chrono::DateTime::parse_from_rfc3339("9999-12-31T23:59:59-12:00").unwrap();
    let far = NewEvent { at: last + chrono::TimeDelta::days(1), ..event("x", 1) };
    assert!(matches!(ledger.append(vec![far], vec![], None), Err(LedgerError::Time { .. })));
    let body = serde_json::json!({"deep": [{"n": 9_007_199_254_740_993_u64}]});
    let great = NewEvent { body, ..event("x", 1) };
    assert!(matches!(ledger.append(vec![great], vec![], None), Err(LedgerError::Number { .. })));
    ledger.append(vec![event("x", 1)], vec![], None).unwrap();
    ledger.verify(&[]).unwrap();
}

/// Nobody without a key puts another end on a record, not even one that shows nothing.
#[test]
fn the_folded_end_of_a_record_is_signed() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = filled(folder.path());
    ledger.append(vec![event("step", 6)], vec![], None).unwrap();
    let record = ledger.extract("R-1", serde_json::json!({}), |_| false).unwrap();
    assert!(matches!(record.entries.last(), Some(Entry::Folded(_))));
    record.verify().unwrap();
    let mut open = record.clone();
    open.end = None;
    assert!(matches!(open.verify(), Err(ExtractError::OpenEnd)));
    // Another end, with a head that fits it.
    let mut other = record.clone();
    let Some(Entry::Folded(last)) = other.entries.last_mut() else { unreachable!() };
    last.content = [7; 32];
    let before = ledger.events().unwrap();
    let prev = before[before.len() - 2].hash;
    let Some(Entry::Folded(last)) = other.entries.last() else { unreachable!() };
    let (origin, seq) = (other.head.origin.clone(), other.head.events);
    other.head.digest =
        crate::canonical::link_hash(&origin, seq, &last.subject, &last.content, &prev).unwrap();
    assert!(matches!(other.verify(), Err(ExtractError::OpenEnd)));
    let read = Extract::from_bytes(&other.to_bytes().unwrap()).unwrap();
    assert!(matches!(read.verify(), Err(ExtractError::OpenEnd)));
    let zero = String::from_utf8(record.to_bytes().unwrap()).unwrap();
    let zero = zero.replace("\"coldbench-record\":1", "\"coldbench-record\":0");
    assert!(Extract::from_bytes(zero.as_bytes()).is_err());
}
