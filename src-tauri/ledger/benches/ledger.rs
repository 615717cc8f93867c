//! How fast the ledger is, as ratios to a limit measured in the same run.
//!
//! `cargo bench -p coldbench-ledger`. A ratio says what our own part costs, whatever the machine.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use coldbench_ledger::{
    Enrolment, KeyChange, Ledger, NewEvent, Pin, StoredEvent, UnlockedKey, canonical_json,
    sha256_hex,
};
use ed25519_dalek::{Signature, VerifyingKey};
use rusqlite::{Connection, params};
use std::path::Path;
use std::time::{Duration, Instant};

const EVENTS: u64 = 100_000;
/// The name under which this program is started again on one core.
const ONE_CORE: &str = "one-core-on";

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let [_, word, folder] = arguments.as_slice()
        && word == ONE_CORE
    {
        verify(Path::new(folder), "one core", 1.2);
        return;
    }
    // On the disk the build lies on: in memory a sync costs nothing and the ratio says nothing.
    let there = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    append(there.path());
    let folder = there.path().join("large");
    std::fs::create_dir(&folder).unwrap();
    fill(&folder);
    verify(&folder, "all cores", 0.7);
    // `taskset` leaves the child one core; the number of threads follows from that.
    let child = std::process::Command::new("taskset")
        .args(["-c", "0"])
        .arg(std::env::current_exe().unwrap())
        .args([ONE_CORE.as_ref(), folder.as_os_str()])
        .status();
    match child {
        Ok(status) if status.success() => {}
        other => println!("verify on one core: not measured, taskset failed ({other:?})"),
    }
}

fn told(what: &str, ours: Duration, limit: Duration, aim: f64) {
    let ratio = ours.as_secs_f64() / limit.as_secs_f64();
    println!("{what}: {ours:.2?} against {limit:.2?}, ratio {ratio:.2} (aim: at most {aim})");
}

fn event(n: u64) -> NewEvent {
    NewEvent {
        at: chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap(),
        station: "S-1".to_owned(),
        kind: "value-measured".to_owned(),
        subject: format!("R-{}", n % 60),
        body: serde_json::json!({
            "rod": format!("R-{}", n % 60),
            "stage": "rear-grip",
            "step": "ream-to-fit",
            "reading": {"text": "0.15 mm", "value": 0.15},
            "within": true,
            "n": n,
        }),
    }
}

fn founded(folder: &Path) -> (Ledger, UnlockedKey) {
    let mut ledger = Ledger::create(folder).unwrap();
    let pin = Pin::new("2468".to_owned());
    let lead = Enrolment::make("P-1", &pin).unwrap().that_may_enrol(true);
    ledger.append(vec![event(0)], vec![KeyChange::Enrol(lead)], None).unwrap();
    let key = ledger.unlock("P-1", &pin).unwrap();
    (ledger, key)
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// One append with its sync, beside a bare insert of the same bytes with a sync.
fn append(there: &Path) {
    const ROUNDS: usize = 400;
    let folder = there.join("small");
    std::fs::create_dir(&folder).unwrap();
    let (mut ledger, key) = founded(&folder);
    let bare = Connection::open(there.join("bare.db")).unwrap();
    bare.pragma_update_and_check(None, "journal_mode", "wal", |_| Ok(())).unwrap();
    bare.pragma_update(None, "synchronous", "full").unwrap();
    bare.execute_batch(
        "CREATE TABLE event (
            origin TEXT, seq INTEGER, at TEXT, person TEXT, station TEXT, kind TEXT, body TEXT,
            prev BLOB, hash BLOB, signer BLOB, signature BLOB, form INTEGER, subject TEXT,
            salt BLOB, PRIMARY KEY (origin, seq)
        ) STRICT",
    )
    .unwrap();
    let (mut ours, mut limit) = (Vec::new(), Vec::new());
    // In turns, so that whatever else the machine does falls on both.
    for n in 0..ROUNDS as u64 {
        let began = Instant::now();
        let stored = ledger.append(vec![event(n)], Vec::new(), Some(&key)).unwrap().remove(0);
        ours.push(began.elapsed());
        let began = Instant::now();
        insert(&bare, &stored);
        limit.push(began.elapsed());
    }
    told("append with sync", median(ours), median(limit), 1.3);
}

fn insert(bare: &Connection, event: &StoredEvent) {
    bare.prepare_cached(
        "INSERT INTO event VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
    )
    .unwrap()
    .execute(params![
        event.origin,
        i64::try_from(event.seq).unwrap(),
        event.at,
        event.person,
        event.station,
        event.kind,
        event.body,
        event.prev,
        event.hash,
        event.signer,
        event.signature,
        2,
        event.subject,
        event.salt,
    ])
    .unwrap();
}

fn fill(folder: &Path) {
    let (mut ledger, key) = founded(folder);
    while ledger.head().events < EVENTS {
        let from = ledger.head().events;
        let events = (from..from + 1000).map(event).collect();
        ledger.append(events, Vec::new(), Some(&key)).unwrap();
    }
}

/// Verifying the whole, beside hashing the same bytes and checking the same signatures.
fn verify(folder: &Path, cores: &str, aim: f64) {
    let ledger = Ledger::open(folder, coldbench_ledger::Access::Read).unwrap();
    let pieces: Vec<_> = ledger.events().unwrap().iter().map(bytes_of).collect();
    let began = Instant::now();
    let mut held = 0;
    for (content, link, event) in &pieces {
        let key = VerifyingKey::from_bytes(&event.signer).unwrap();
        let digest = sha256_hex(content.as_bytes());
        assert!(link.contains(&digest));
        let hash = sha256_hex(link.as_bytes());
        let message = [b"coldbench event v2\0".as_slice(), &event.hash].concat();
        let holds = key.verify_strict(&message, &Signature::from_bytes(&event.signature)).is_ok();
        held += u64::from(holds && hash.len() == 64);
    }
    let limit = began.elapsed();
    assert_eq!(held, pieces.len() as u64);
    drop(pieces);
    let began = Instant::now();
    let report = ledger.verify(&[]).unwrap();
    let ours = began.elapsed();
    told(&format!("verify {} events, {cores}", report.events), ours, limit, aim);
}

/// The bytes that are hashed, by the published recipe.
fn bytes_of(event: &StoredEvent) -> (String, String, StoredEvent) {
    let hex =
        |bytes: &[u8]| bytes.iter().fold(String::new(), |text, byte| format!("{text}{byte:02x}"));
    let content = serde_json::json!({
        "at": event.at, "body": event.body, "kind": event.kind, "person": event.person,
        "salt": hex(&event.salt), "station": event.station,
    });
    let content = canonical_json(&content.to_string()).unwrap();
    let link = serde_json::json!({
        "content": sha256_hex(content.as_bytes()), "origin": event.origin,
        "prev": hex(&event.prev), "seq": event.seq, "subject": event.subject, "v": 2,
    });
    (content, canonical_json(&link.to_string()).unwrap(), event.clone())
}
