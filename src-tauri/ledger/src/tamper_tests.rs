//! Change behind the ledger's back, by somebody with a database tool: every single bit, and what
//! a forger would do. Each time the ledger has to say so, and to name the first event that does
//! not hold.

use crate::authority::enrolled;
use crate::canonical::{canonical, event_hash, signing_bytes};
use crate::schema::{CREATE, SCHEMA, columns};
use crate::{
    Access, Enrolment, Form, Head, KeyChange, Ledger, LedgerError, NewEvent, Pin, StorageFault,
    StoredEvent, UnlockedKey, Verifier, VerifyFault, VerifyReport,
};
use chrono::{DateTime, FixedOffset};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseError, TestRunner};
use rusqlite::types::Value;
use rusqlite::{Connection, params};
use std::cell::Cell;
use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// So many events the ledger holds that is tampered with.
const EVENTS: usize = 200;
/// So many of them are of form 1, as schema 1 wrote them.
const OF_FORM_ONE: usize = 40;

/// Numbers without a pattern, the same for the same seed (splitmix64).
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((mixed ^ (mixed >> 31)) % most as u64).unwrap()
    }
}

/// A folder in memory where there is one: nothing here asks a disk for anything.
fn memory_folder() -> TempDir {
    let memory = Path::new("/dev/shm");
    let made = if memory.is_dir() { TempDir::new_in(memory) } else { TempDir::new() };
    made.unwrap()
}

fn pin() -> Pin {
    Pin::new("2468".to_owned())
}

fn moment(number: usize) -> DateTime<FixedOffset> {
    // Some on the other side of the change of the clocks.
    let begin = if number.is_multiple_of(3) {
        "2026-03-29T01:12:05.250+01:00"
    } else {
        "2026-03-29T03:20:00+02:00"
    };
    DateTime::parse_from_rfc3339(begin).unwrap()
        + chrono::TimeDelta::seconds(i64::try_from(number * 61).unwrap())
}

/// Short events of all sorts.
fn note(number: usize) -> NewEvent {
    let body = match number % 7 {
        0 => serde_json::json!({"n": number}),
        1 => serde_json::json!({"text": "½ turn, then wait"}),
        2 => serde_json::json!([]),
        3 => serde_json::json!({"lot": null, "mixed": true, "ratio": 0.5}),
        4 => serde_json::json!("said \"so\"\n"),
        5 => serde_json::json!({"a": {"b": [1, -2.5e-7, 1e21]}}),
        _ => serde_json::json!({}),
    };
    NewEvent {
        at: moment(number),
        station: ["", "S-1", "S-2"][number % 3].to_owned(),
        kind: ["step-done", "value-measured", "note", "clock-started"][number % 4].to_owned(),
        subject: ["R-1", "", "R-2", "R-1", "R-30"][number % 5].to_owned(),
        body,
    }
}

/// A whole ledger, kept in memory, with all that its owner has.
struct Original {
    database: Vec<u8>,
    /// The same before its first event.
    empty: Vec<u8>,
    key_file: Vec<u8>,
    events: Vec<StoredEvent>,
    head: Head,
    public: [u8; 32],
    /// All keys that ever signed, the installation's too.
    keys: HashMap<[u8; 32], UnlockedKey>,
}

impl Original {
    /// Founded by schema 1, which wrote the first events, or by today's: three people, of whom
    /// one has the key renewed and one leaves.
    fn make(of_form_one: usize, all: usize) -> Self {
        let folder = memory_folder();
        let place = folder.path();
        let database = |place: &Path| std::fs::read(place.join("ledger.db")).unwrap();
        let mut ledger = Ledger::create(place).unwrap();
        let public = ledger.installation_public();
        ledger.connection().pragma_update(None, "synchronous", "off").unwrap();
        let checkpoint = |ledger: &Ledger| {
            let carried =
                ledger
                    .connection()
                    .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get::<_, i64>(0));
            assert_eq!(carried, Ok(0));
        };
        checkpoint(&ledger);
        let empty = database(place);
        let key_file = std::fs::read(place.join("installation.key")).unwrap();
        let seed = std::str::from_utf8(&key_file).unwrap().lines().nth(1).unwrap().to_owned();
        let seed: [u8; 32] = hex::decode(seed).unwrap().try_into().unwrap();
        let mut keys = HashMap::new();
        let mut hold = |key: UnlockedKey| {
            let public = key.public();
            keys.insert(public, key);
            public
        };
        let installation = hold(UnlockedKey::from_seed(String::new(), &seed));
        let enrolment = |person: &str| {
            let made = Enrolment::make(person, &pin()).unwrap().that_may_enrol(person == "P-1");
            let key = made.sealed.open(person, &pin()).unwrap();
            (made, key)
        };
        let (lead, lead_key) = enrolment("P-1");
        let (helper, helper_key) = enrolment("P-2");
        let (renewed, renewed_key) = enrolment("P-2");
        let (guest, guest_key) = enrolment("P-3");
        let [lead_id, helper_id, renewed_id, guest_id] =
            [lead_key, helper_key, renewed_key, guest_key].map(&mut hold);
        let mut number = 0;
        if of_form_one > 0 {
            for (made, signer) in [(lead, installation), (helper, lead_id)] {
                store_sealed(ledger.connection(), &made);
                let (kind, mut body) = enrolled(&made, None).unwrap();
                // Schema 1 kept neither of them.
                let fields = body.as_object_mut().unwrap();
                assert!(fields.remove("may-enrol").is_some() && fields.remove("sealed").is_some());
                append_of_form_one(
                    &mut ledger,
                    NewEvent { kind: kind.to_owned(), body, ..note(0) },
                    &keys[&signer],
                );
            }
            for _ in 2..of_form_one {
                number += 1;
                let signer = [installation, lead_id, helper_id][number % 3];
                append_of_form_one(&mut ledger, note(number), &keys[&signer]);
            }
        } else {
            for (made, signer) in [(lead, None), (helper, Some(&keys[&lead_id]))] {
                number += 1;
                ledger.append(vec![note(number)], vec![KeyChange::Enrol(made)], signer).unwrap();
            }
        }
        let rest = all - usize::try_from(ledger.head().events).unwrap();
        // What comes with keys stores two events each.
        let changes: [(usize, KeyChange); 3] = [
            (rest / 4, KeyChange::Enrol(guest)),
            (rest / 2, KeyChange::Enrol(renewed.in_place_of_the_old())),
            (2 * rest / 3, KeyChange::End { person: "P-3".to_owned() }),
        ];
        let mut changes = changes.into_iter().peekable();
        let mut people = vec![installation, lead_id, helper_id];
        for done in 0..rest - 3 {
            number += 1;
            let change = changes.next_if(|(when, _)| *when == done).map(|(_, change)| change);
            let signer = if change.is_some() { lead_id } else { people[number % people.len()] };
            match &change {
                Some(KeyChange::Enrol(made)) if made.person == "P-3" => people.push(guest_id),
                Some(KeyChange::Enrol(_)) => people[2] = renewed_id,
                Some(KeyChange::End { .. }) => drop(people.pop()),
                None => {}
            }
            let changes = change.into_iter().collect();
            ledger.append(vec![note(number)], changes, Some(&keys[&signer])).unwrap();
        }
        let events = ledger.events().unwrap();
        assert_eq!(events.len(), all);
        let of_form = |form| events.iter().filter(|event| event.form == form).count();
        assert_eq!(of_form(Form::One), of_form_one);
        let head = ledger.head().clone();
        let report = ledger.verify(std::slice::from_ref(&head)).unwrap();
        assert_eq!(report.heads, std::slice::from_ref(&head));
        checkpoint(&ledger);
        let database = database(place);
        Self { database, empty, key_file, events, head, public, keys }
    }

    /// The one that the tests share.
    fn shared() -> &'static Self {
        static SHARED: OnceLock<Original> = OnceLock::new();
        SHARED.get_or_init(|| Self::make(OF_FORM_ONE, EVENTS))
    }

    fn verifiers(&self) -> Vec<Verifier> {
        let mut verifier = Verifier::new([(self.head.origin.clone(), self.public)]).unwrap();
        let mut before = vec![verifier.clone()];
        for event in &self.events {
            verifier.take(std::slice::from_ref(event)).unwrap();
            before.push(verifier.clone());
        }
        before
    }

    fn lay_out(&self, database: &[u8]) -> TempDir {
        let folder = memory_folder();
        std::fs::write(folder.path().join("ledger.db"), database).unwrap();
        std::fs::write(folder.path().join("installation.key"), &self.key_file).unwrap();
        folder
    }
}

fn store_sealed(connection: &Connection, made: &Enrolment) {
    let sealed = &made.sealed;
    connection
        .execute(
            "INSERT INTO sealed_key (public, person, kdf, salt, nonce, sealed)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                sealed.public,
                made.person,
                sealed.kdf,
                sealed.salt,
                sealed.nonce,
                sealed.sealed
            ],
        )
        .unwrap();
}

/// As the program wrote it when it knew no other form.
fn append_of_form_one(ledger: &mut Ledger, event: NewEvent, signer: &UnlockedKey) {
    let head = ledger.head();
    let mut stored = StoredEvent {
        form: Form::One,
        origin: head.origin.clone(),
        seq: head.events + 1,
        at: crate::event::time_text(event.at),
        person: signer.person().to_owned(),
        station: event.station,
        kind: event.kind,
        subject: String::new(),
        salt: [0; 16],
        body: canonical(&event.body).unwrap(),
        prev: head.digest,
        hash: [0; 32],
        signer: signer.public(),
        signature: [0; 64],
    };
    sign_anew(&mut stored, signer);
    insert(ledger.connection(), &stored);
    assert!(ledger.refresh().unwrap());
}

/// Makes hash, signer and signature fit all else an event says.
fn sign_anew(event: &mut StoredEvent, signer: &UnlockedKey) {
    event.hash = event_hash(&event.unsealed()).unwrap();
    event.signer = signer.public();
    event.signature = signer.sign(&signing_bytes(event.form, &event.hash));
}

fn insert(connection: &Connection, event: &StoredEvent) {
    let columns = columns(SCHEMA);
    let sql = format!(
        "INSERT INTO main.event ({columns})
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)"
    );
    let inserted = connection.prepare_cached(&sql).unwrap().execute(params![
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
        event.form.number(),
        event.subject,
        event.salt,
    ]);
    assert_eq!(inserted, Ok(1));
}

/// A copy to be tampered with: no trigger stands in the way, and a number may stand twice, as
/// whoever builds the table anew can have it. All that the ledger reads comes through a window,
/// so that two rows of the many can be read by the ledger's own reader.
struct Tampered {
    _folder: TempDir,
    ledger: Ledger,
}

impl Tampered {
    fn copy(original: &Original) -> Self {
        let folder = original.lay_out(&original.database);
        let ledger = Ledger::open(folder.path(), Access::Write).unwrap();
        let table = CREATE.split("CREATE TRIGGER").next().unwrap();
        let free = table.replace("PRIMARY KEY (origin, seq)", "CHECK (true)");
        assert_ne!(free, table);
        ledger
            .connection()
            .execute_batch(&format!(
                "PRAGMA synchronous = off;
                 PRAGMA journal_mode = memory;
                 DROP TRIGGER event_stays;
                 DROP TRIGGER event_is_kept;
                 DROP TRIGGER event_is_next;
                 ALTER TABLE event RENAME TO whole;
                 {free}
                 INSERT INTO event SELECT * FROM whole ORDER BY seq;
                 DROP TABLE whole;
                 CREATE INDEX event_in_order ON event (origin, seq);
                 CREATE TEMP TABLE pane (skip INTEGER, rows INTEGER);
                 INSERT INTO pane VALUES (0, -1);
                 CREATE TEMP VIEW event AS SELECT * FROM main.event ORDER BY origin, seq
                     LIMIT (SELECT rows FROM pane) OFFSET (SELECT skip FROM pane);"
            ))
            .unwrap();
        Self { _folder: folder, ledger }
    }

    fn run(&self, sql: &str, with: impl rusqlite::Params) {
        let changed = self.ledger.connection().prepare_cached(sql).unwrap().execute(with);
        assert_eq!(changed, Ok(1), "{sql}");
    }

    fn look_at(&self, skip: usize, rows: i64) {
        let skip = i64::try_from(skip).unwrap();
        self.run("UPDATE pane SET skip = ?1, rows = ?2", [skip, rows]);
    }

    fn read(&self, skip: usize, rows: i64) -> Result<Vec<StoredEvent>, LedgerError> {
        self.look_at(skip, rows);
        self.ledger.events()
    }

    fn verify(&self, anchors: &[Head]) -> Result<VerifyReport, LedgerError> {
        self.look_at(0, -1);
        self.ledger.verify(anchors)
    }

    /// What [`Ledger::verify`] says if all before the row at `changed` is as it was and that row
    /// may now stand at `moved_to`: from there on two events are read and taken.
    fn verify_from(
        &self,
        before: &[Verifier],
        changed: usize,
        moved_to: usize,
    ) -> Result<(), LedgerError> {
        if moved_to > changed {
            // All is read before any is verified; what can't be read is told first.
            self.read(moved_to - 1, 2)?;
        }
        let first = changed.min(moved_to);
        // With the row before it, because what can't be read is named by what it follows.
        let skip = first.saturating_sub(1);
        let events = self.read(skip, if first == skip { 2 } else { 3 })?;
        let mut verifier = before[first].clone();
        for event in &events[first - skip..] {
            verifier.take(std::slice::from_ref(event))?;
        }
        Ok(())
    }

    /// Puts other events in the place of all.
    fn replace_all(&self, events: &[StoredEvent]) {
        let connection = self.ledger.connection();
        connection.execute_batch("BEGIN; DELETE FROM main.event").unwrap();
        for event in events {
            insert(connection, event);
        }
        connection.execute_batch("COMMIT").unwrap();
    }

    fn verify_instead(
        &self,
        events: &[StoredEvent],
        anchors: &[Head],
    ) -> Result<VerifyReport, LedgerError> {
        self.replace_all(events);
        self.verify(anchors)
    }

    /// The number of the event that is named; that one is named at all is asked for.
    fn named(&self, events: &[StoredEvent], anchors: &[Head]) -> u64 {
        named(&self.verify_instead(events, anchors).unwrap_err())
    }
}

fn named(error: &LedgerError) -> u64 {
    match error {
        LedgerError::Fault(VerifyFault::Event { seq, .. })
        | LedgerError::Unreadable { seq, .. } => *seq,
        other => panic!("no event is named: {other}"),
    }
}

/// The columns of a table and whether they hold text, bytes or a number.
fn columns_of(connection: &Connection, table: &str) -> Vec<(String, String)> {
    let mut query = connection.prepare(&format!("PRAGMA main.table_info({table})")).unwrap();
    let rows = query.query_map([], |row| Ok((row.get(1)?, row.get(2)?))).unwrap();
    rows.collect::<Result<_, _>>().unwrap()
}

/// Each of the values that differ from this one in a single bit, and how SQL takes it: text as
/// the bytes it is, so that what is no UTF-8 goes in too.
fn flips(kind: &str, value: Value) -> (&'static str, Value, Vec<Value>) {
    match (kind, value) {
        ("INTEGER", Value::Integer(number)) => {
            let flipped = (0..64).map(|bit| Value::Integer(number ^ (1 << bit))).collect();
            ("?1", Value::Integer(number), flipped)
        }
        ("TEXT" | "BLOB", Value::Blob(bytes)) => {
            let flipped = (0..bytes.len() * 8)
                .map(|bit| {
                    let mut bytes = bytes.clone();
                    bytes[bit / 8] ^= 1 << (bit % 8);
                    Value::Blob(bytes)
                })
                .collect();
            (if kind == "TEXT" { "CAST(?1 AS TEXT)" } else { "?1" }, Value::Blob(bytes), flipped)
        }
        (kind, value) => panic!("a column of {kind} with {value:?}"),
    }
}

fn value(connection: &Connection, table: &str, column: &str, kind: &str, row: i64) -> Value {
    let taken =
        if kind == "INTEGER" { column.to_owned() } else { format!("CAST({column} AS BLOB)") };
    connection
        .query_row(&format!("SELECT {taken} FROM main.{table} WHERE rowid = ?1"), [row], |row| {
            row.get(0)
        })
        .unwrap()
}

/// Where the row at `index` stands once it has another origin or number.
fn place_of(keys: &[(Vec<u8>, i64)], index: usize, key: &(Vec<u8>, i64)) -> usize {
    let others = keys.iter().enumerate().filter(|(other, _)| *other != index);
    others.filter(|(other, stands)| (*stands, *other) < (key, index)).count()
}

#[derive(Debug, Default)]
struct Tally {
    flips: BTreeMap<String, usize>,
    verified_whole: usize,
}

/// Flips every bit of every column of the events whose index leaves `share` over `of`.
fn flip_events(original: &Original, before: &[Verifier], share: usize, of: usize) -> Tally {
    let copy = Tampered::copy(original);
    let connection = copy.ledger.connection();
    let keys: Vec<(Vec<u8>, i64)> = original
        .events
        .iter()
        .map(|event| (event.origin.clone().into_bytes(), i64::try_from(event.seq).unwrap()))
        .collect();
    let mut chance = Chance(0xb17 + share as u64);
    let mut tally = Tally::default();
    for index in (share..keys.len()).step_by(of) {
        let seq = keys[index].1;
        // The way taken here finds nothing where there is nothing.
        copy.verify_from(before, index, index).unwrap();
        // One transaction for all flips of an event: it asks less of the system, nothing else.
        connection.execute_batch("BEGIN").unwrap();
        for (column, kind) in columns_of(connection, "event") {
            let value = value(connection, "event", &column, &kind, seq);
            let (taken, value, flipped) = flips(&kind, value);
            let set = format!("UPDATE main.event SET {column} = {taken} WHERE rowid = ?2");
            for other in flipped {
                let key = match (column.as_str(), &other) {
                    ("origin", Value::Blob(origin)) => (origin.clone(), keys[index].1),
                    ("seq", Value::Integer(seq)) => (keys[index].0.clone(), *seq),
                    _ => keys[index].clone(),
                };
                let moved_to = place_of(&keys, index, &key);
                copy.run(&set, params![other, seq]);
                let verdict = copy.verify_from(before, index, moved_to);
                let about = || format!("event {}, {column}: {other:?}", index + 1);
                let Err(error) = verdict else { panic!("not found: {}", about()) };
                let first = index.min(moved_to) as u64 + 1;
                let right = match &error {
                    // It is told by the number it would have where it stands now.
                    LedgerError::Unreadable { seq, .. } if moved_to > index => *seq > first,
                    LedgerError::Unreadable { seq, .. } => *seq == first,
                    // Where nothing is known of an origin, its numbers say nothing.
                    error if column == "origin" && moved_to == index => named(error) == 1,
                    error => named(error) == first,
                };
                assert!(right, "{}: {error}", about());
                *tally.flips.entry(column.clone()).or_default() += 1;
                if chance.below(1500) == 0 {
                    let whole = copy.verify(&[]).unwrap_err();
                    assert_eq!(whole.to_string(), error.to_string(), "{}", about());
                    tally.verified_whole += 1;
                }
            }
            copy.run(&set, params![value, seq]);
        }
        connection.execute_batch("COMMIT").unwrap();
    }
    assert_eq!(copy.read(0, -1).unwrap(), original.events, "not all was put back");
    copy.verify(std::slice::from_ref(&original.head)).unwrap();
    tally
}

/// Runs shares of the work beside each other.
fn in_threads<T: Send>(work: impl Fn(usize, usize) -> T + Sync) -> Vec<T> {
    let of = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(8);
    std::thread::scope(|scope| {
        let work = &work;
        let threads: Vec<_> = (0..of).map(|share| scope.spawn(move || work(share, of))).collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    })
}

#[test]
fn every_flipped_bit_of_every_event_is_found_and_named() {
    let original = Original::shared();
    let before = original.verifiers();
    let mut all = Tally::default();
    for tally in in_threads(|share, of| flip_events(original, &before, share, of)) {
        all.verified_whole += tally.verified_whole;
        for (column, count) in tally.flips {
            *all.flips.entry(column).or_default() += count;
        }
    }
    println!("{} flips: {all:?}", all.flips.values().sum::<usize>());
    // Counted by another way: the bits of all fields.
    let bytes: usize = original
        .events
        .iter()
        .map(|event| {
            let StoredEvent { origin, at, person, station, kind, subject, body, .. } = event;
            let text = [origin, at, person, station, kind, subject, body];
            text.into_iter().map(String::len).sum::<usize>() + 2 * 8 + 16 + 32 + 32 + 32 + 64
        })
        .sum();
    assert_eq!(all.flips.values().sum::<usize>(), 8 * bytes);
    assert_eq!(all.flips.len(), 14);
    assert!(all.verified_whole > 200, "{}", all.verified_whole);
}

/// Flips every bit of a table of few rows, and opens and verifies the whole ledger each time.
fn flip_table(original: &Original, table: &str, share: usize, of: usize) -> (i64, usize) {
    let folder = original.lay_out(&original.database);
    let raw = Connection::open(folder.path().join("ledger.db")).unwrap();
    raw.execute_batch(&format!(
        "PRAGMA synchronous = off; DROP TRIGGER {table}_stays; DROP TRIGGER {table}_is_kept"
    ))
    .unwrap();
    let check = || Ledger::open(folder.path(), Access::Read)?.verify(&[]);
    check().unwrap();
    let rows: i64 =
        raw.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap();
    let mut count = 0;
    for (row, (column, kind)) in (1..=rows)
        .flat_map(|row| columns_of(&raw, table).into_iter().map(move |column| (row, column)))
    {
        let (taken, value, flipped) = flips(&kind, value(&raw, table, &column, &kind, row));
        let set = format!("UPDATE {table} SET {column} = {taken} WHERE rowid = ?2");
        for (bit, other) in flipped.into_iter().enumerate() {
            if bit % of != share {
                continue;
            }
            assert_eq!(raw.execute(&set, params![other, row]), Ok(1));
            assert!(check().is_err(), "not found: row {row}, {column}, bit {bit}");
            count += 1;
        }
        assert_eq!(raw.execute(&set, params![value, row]), Ok(1));
    }
    check().unwrap();
    (rows, count)
}

#[test]
fn every_flipped_bit_of_keys_and_installation_is_found() {
    let original = Original::make(0, 16);
    for (table, rows, bits) in [("sealed_key", 4, 4864), ("installation", 1, 512)] {
        let shares = in_threads(|share, of| flip_table(&original, table, share, of));
        println!("{table}: {shares:?}");
        assert!(shares.iter().all(|share| share.0 == rows));
        assert_eq!(shares.iter().map(|share| share.1).sum::<usize>(), bits);
    }
}

/// What schema 1 kept of a key is not told by any event. It opens for nobody once it is changed.
#[test]
fn a_sealed_key_that_no_event_vouches_for_opens_for_nobody_once_it_is_changed() {
    let original = Original::shared();
    for change in [
        "salt = randomblob(16)",
        "nonce = randomblob(24)",
        "sealed = randomblob(48)",
        "kdf = 'none'",
        "(kdf, salt, nonce, sealed) = (SELECT kdf, salt, nonce, sealed FROM sealed_key WHERE person = 'P-2' ORDER BY rowid LIMIT 1)",
    ] {
        let folder = original.lay_out(&original.database);
        let mut ledger = Ledger::open(folder.path(), Access::Write).unwrap();
        let changed = ledger.connection().execute_batch(&format!(
            "DROP TRIGGER sealed_key_stays; UPDATE sealed_key SET {change} WHERE person = 'P-1'"
        ));
        changed.unwrap();
        let opened = ledger.unlock("P-1", &pin());
        assert!(
            matches!(opened, Err(LedgerError::WrongPin { .. } | LedgerError::Crypto(_))),
            "{change}"
        );
    }
}

#[test]
fn every_flipped_bit_of_the_numbers_of_the_file_is_found() {
    let original = Original::make(0, 16);
    let mut newer = 0;
    for name in ["application_id", "user_version"] {
        for bit in 0..32 {
            let folder = original.lay_out(&original.database);
            let raw = Connection::open(folder.path().join("ledger.db")).unwrap();
            let number: i32 = raw.pragma_query_value(None, name, |row| row.get(0)).unwrap();
            raw.pragma_update(None, name, number ^ (1 << bit)).unwrap();
            drop(raw);
            match Ledger::open(folder.path(), Access::Read) {
                // A newer one is read as far as it can be.
                Ok(ledger) if ledger.is_newer() => {
                    ledger.verify(&[]).unwrap();
                    newer += 1;
                }
                Ok(_) => panic!("not found: {name}, bit {bit}"),
                Err(error) => assert_eq!(
                    error.fault(),
                    Some(StorageFault::Damaged),
                    "{name}, bit {bit}: {error}"
                ),
            }
            let error = Ledger::open(folder.path(), Access::Write).err();
            let error = error.unwrap_or_else(|| panic!("written to: {name}, bit {bit}"));
            assert!(
                error.fault() == Some(StorageFault::Damaged)
                    || matches!(error, LedgerError::Newer { .. }),
                "{name}, bit {bit}: {error}"
            );
        }
    }
    assert_eq!(newer, 30);
}

/// Pairs of indices: all neighbours, and some that are far apart.
fn pairs() -> Vec<(usize, usize)> {
    let mut chance = Chance(0x9a1f);
    let far = (0..60).map(|_| {
        let first = chance.below(EVENTS - 1);
        (first, first + 1 + chance.below(EVENTS - 1 - first))
    });
    (1..EVENTS).map(|second| (second - 1, second)).chain(far).collect()
}

#[test]
fn exchanged_events_are_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    for (first, second) in pairs() {
        let mut numbers = original.events.clone();
        numbers[first].seq = second as u64 + 1;
        numbers[second].seq = first as u64 + 1;
        assert_eq!(copy.named(&numbers, &[]), first as u64 + 1, "numbers {first}, {second}");
        let mut contents = original.events.clone();
        contents.swap(first, second);
        for place in [first, second] {
            contents[place].seq = place as u64 + 1;
        }
        assert_eq!(copy.named(&contents, &[]), first as u64 + 1, "contents {first}, {second}");
        // Linked anew, which takes no key: then it is the signature that tells.
        rechain(&mut contents, first);
        assert_eq!(copy.named(&contents, &[]), first as u64 + 1, "linked {first}, {second}");
    }
}

#[test]
fn a_dropped_event_is_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let last = EVENTS - 1;
    for index in 0..last {
        let mut events = original.events.clone();
        events.remove(index);
        assert_eq!(copy.named(&events, &[]), index as u64 + 1);
        for (event, seq) in events.iter_mut().zip(1..) {
            event.seq = seq;
        }
        assert_eq!(copy.named(&events, &[]), index as u64 + 1, "numbered anew");
    }
}

/// The end can be cut off so that the rest holds. Only somebody who holds the head can tell.
#[test]
fn a_cut_off_end_is_found_by_a_head_held_outside() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let anchor = std::slice::from_ref(&original.head);
    for left in [0, 1, 2, OF_FORM_ONE, 100, EVENTS - 2, EVENTS - 1] {
        let events = &original.events[..left];
        // Keys without the events that enrolled them are found without it.
        let alone = copy.verify_instead(events, &[]);
        match alone {
            Ok(report) => assert_eq!(report.events, left as u64),
            Err(error) => assert!(
                left <= 100 && matches!(error, LedgerError::Fault(VerifyFault::Key { .. })),
                "{left}: {error}"
            ),
        }
        // With the keys cut off too.
        copy.ledger
            .connection()
            .execute_batch("SAVEPOINT cut; DROP TRIGGER sealed_key_is_kept")
            .unwrap();
        for key in original.keys.keys().filter(|key| {
            let named = hex::encode(key);
            !events
                .iter()
                .any(|event| event.kind == "ledger.key-enrolled" && event.body.contains(&named))
        }) {
            copy.ledger
                .connection()
                .execute("DELETE FROM sealed_key WHERE public = ?1", [key])
                .unwrap();
        }
        assert_eq!(copy.verify(&[]).unwrap().events, left as u64);
        assert_eq!(named(&copy.verify(anchor).unwrap_err()), EVENTS as u64, "{left} left");
        copy.ledger.connection().execute_batch("ROLLBACK TO cut; RELEASE cut").unwrap();
    }
    copy.verify_instead(&original.events, anchor).unwrap();
}

/// Links events anew from one on. That takes no key.
fn rechain(events: &mut [StoredEvent], from: usize) {
    for index in from..events.len() {
        events[index].prev = if index == 0 { [0; 32] } else { events[index - 1].hash };
        events[index].hash = event_hash(&events[index].unsealed()).unwrap();
    }
}

/// Links events anew from one on and signs anew those whose key is held.
fn rechain_with(
    events: &mut [StoredEvent],
    from: usize,
    keys: &HashMap<[u8; 32], UnlockedKey>,
    held: impl Fn(&UnlockedKey) -> bool,
) {
    for index in from..events.len() {
        rechain(&mut events[..=index], index);
        let signer = keys.get(&events[index].signer).filter(|key| held(key));
        if let Some(signer) = signer {
            sign_anew(&mut events[index], signer);
        }
    }
}

/// An event as it could stand at `index`, of a person, said by somebody else.
fn forged(original: &Original, index: usize, signer: &UnlockedKey) -> StoredEvent {
    let mut event = original.events[index].clone();
    event.form = Form::Two;
    event.person = signer.person().to_owned();
    event.kind = "step-done".to_owned();
    event.body = "{\"forged\":true}".to_owned();
    event.prev = if index == 0 { [0; 32] } else { original.events[index - 1].hash };
    sign_anew(&mut event, signer);
    event
}

fn with_inserted(original: &Original, index: usize, event: &StoredEvent) -> Vec<StoredEvent> {
    let mut events = original.events.clone();
    events.insert(index, event.clone());
    events
}

#[test]
fn an_inserted_event_is_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let stranger = UnlockedKey::from_seed("P-1".to_owned(), &[7; 32]);
    for index in (0..EVENTS).step_by(7) {
        let here = index as u64 + 1;
        let event = forged(original, index, &stranger);
        // Beside the one with this number, before it or after it.
        let mut events = with_inserted(original, index, &event);
        assert_eq!(copy.named(&events, &[]), here, "before");
        events.swap(index, index + 1);
        assert_eq!(copy.named(&events, &[]), here + 1, "after");
        // In its place.
        events.remove(index);
        assert_eq!(copy.named(&events, &[]), here, "instead");
        // The rest numbered anew, and then linked anew.
        let mut events = with_inserted(original, index, &event);
        for event in &mut events[index + 1..] {
            event.seq += 1;
        }
        assert_eq!(copy.named(&events, &[]), here, "numbered");
        rechain(&mut events, index + 1);
        assert_eq!(copy.named(&events, &[]), here, "linked");
        // Under a signature that the person once gave.
        let given = &original.events[1..].iter().find(|event| event.person == "P-1").unwrap();
        events[index].signer = given.signer;
        events[index].signature = given.signature;
        assert_eq!(copy.named(&events, &[]), here, "under another signature");
    }
}

/// Who holds one key can forge under it, and no further than up to the next event of another.
#[test]
fn who_holds_one_key_is_found_by_the_next_event_of_another() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let mut tried = 0;
    for index in (OF_FORM_ONE + 3..EVENTS - 5).step_by(4) {
        let held = original.events[index].signer;
        let mut events = original.events.clone();
        events[index].body = "{\"forged\":true}".to_owned();
        rechain_with(&mut events, index, &original.keys, |key| key.public() == held);
        let next = events[index..].iter().find(|event| event.signer != held).unwrap().seq;
        if original.events[index].kind.starts_with("ledger.") {
            continue;
        }
        assert_eq!(copy.named(&events, &[]), next);
        tried += 1;
    }
    assert!(tried > 25, "{tried}");
}

#[test]
fn a_replayed_event_and_a_moved_signature_are_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let mut signed_by_the_same = 0;
    for index in (0..EVENTS).step_by(5) {
        // Once more at the end, with the number that is next.
        let mut events = original.events.clone();
        let mut again = events[index].clone();
        again.seq = EVENTS as u64 + 1;
        events.push(again);
        assert_eq!(copy.named(&events, &[]), EVENTS as u64 + 1, "replayed {index}");
        rechain(&mut events, EVENTS);
        assert_eq!(copy.named(&events, &[]), EVENTS as u64 + 1, "replayed and linked {index}");
        // The signature under another event of the same person, or of another.
        for to in [index + 1, index + 2, index + 3, index + 4] {
            if to >= EVENTS {
                continue;
            }
            let mut events = original.events.clone();
            signed_by_the_same += usize::from(events[to].signer == events[index].signer);
            events[to].signature = events[index].signature;
            assert_eq!(copy.named(&events, &[]), to as u64 + 1, "signature {index} to {to}");
            events[to].signer = events[index].signer;
            assert_eq!(copy.named(&events, &[]), to as u64 + 1, "with its key {index} to {to}");
        }
    }
    assert!(signed_by_the_same > 20, "{signed_by_the_same}");
}

#[test]
fn an_event_of_another_ledger_is_found() {
    let original = Original::shared();
    let other = Original::make(0, 60);
    let copy = Tampered::copy(original);
    for index in (0..other.events.len()).step_by(3) {
        let here = index as u64 + 1;
        // In the place of ours, under our name, and linked.
        let mut events = original.events.clone();
        events[index] =
            StoredEvent { origin: original.head.origin.clone(), ..other.events[index].clone() };
        assert_eq!(copy.named(&events, &[]), here);
        rechain(&mut events, index);
        assert_eq!(copy.named(&events, &[]), here);
        // Beside ours, under its own name.
        let mut events = original.events.clone();
        events.push(other.events[index].clone());
        let error = copy.verify_instead(&events, &[]).unwrap_err();
        assert!(
            matches!(&error, LedgerError::Fault(VerifyFault::Event { origin, .. }) if *origin == other.head.origin),
            "{error}"
        );
    }
    // All of the other, under its own name or ours.
    let mut events = [&original.events[..], &other.events].concat();
    let error = copy.verify_instead(&events, &[]).unwrap_err().to_string();
    assert!(error.contains("nothing is known of the installation"), "{error}");
    events = other.events.clone();
    for event in &mut events {
        event.origin.clone_from(&original.head.origin);
    }
    assert_eq!(copy.named(&events, &[]), 1);
}

/// The owner has every key, and can write another history that holds. Heads on paper tell.
#[test]
fn another_history_by_the_owner_is_found_by_a_head_held_outside() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let head_at = |events: usize| Head {
        origin: original.head.origin.clone(),
        events: events as u64,
        digest: original.events[events - 1].hash,
    };
    let anchors = [head_at(60), head_at(EVENTS), head_at(120), head_at(1)];
    copy.verify_instead(&original.events, &anchors).unwrap();
    for (index, first) in [(30, 60), (59, 60), (60, 120), (100, 120), (150, EVENTS), (199, EVENTS)]
    {
        let mut events = original.events.clone();
        assert!(!events[index].kind.starts_with("ledger."), "{index} has to be a note");
        events[index].body = "{\"never\":\"happened\"}".to_owned();
        rechain_with(&mut events, index, &original.keys, |_| true);
        copy.verify_instead(&events, &[]).unwrap();
        copy.verify(&anchors[3..]).unwrap();
        assert_eq!(named(&copy.verify(&anchors).unwrap_err()), first as u64, "from {index} on");
    }
    // All from the first event on, under the same id; as long, longer, and shorter.
    for length in [EVENTS, EVENTS + 5, EVENTS - 5] {
        let folder = original.lay_out(&original.empty);
        let mut ledger = Ledger::open(folder.path(), Access::Write).unwrap();
        assert_eq!(ledger.head().events, 0);
        ledger.append((0..length).map(note).collect(), vec![], None).unwrap();
        assert_eq!(ledger.head().origin, original.head.origin);
        assert_eq!(ledger.verify(&[]).unwrap().events, length as u64);
        let error = ledger.verify(std::slice::from_ref(&original.head)).unwrap_err();
        assert_eq!(named(&error), EVENTS as u64, "{error}");
    }
}

/// Two histories of one ledger, as a backup that was written to gives them: each holds alone,
/// and each event in them is rightly signed. Put together they do not.
#[test]
fn two_histories_put_together_are_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let mut other = original.events.clone();
    let fork = 90;
    assert!(!other[fork].kind.starts_with("ledger."), "{fork} has to be a note");
    other[fork].body = "{\"written\":\"elsewhere\"}".to_owned();
    rechain_with(&mut other, fork, &original.keys, |_| true);
    copy.verify_instead(&other, &[]).unwrap();
    for at in fork + 1..EVENTS {
        let spliced = [&original.events[..at], &other[at..]].concat();
        assert_eq!(copy.named(&spliced, &[]), at as u64 + 1, "from {at} on");
        let mut one = original.events.clone();
        one[at] = other[at].clone();
        assert_eq!(copy.named(&one, &[]), at as u64 + 1, "only {at}");
    }
}

/// Even who holds every key can't store what two readers may read in two ways.
#[test]
fn what_is_rightly_signed_and_wrongly_written_is_found() {
    let original = Original::shared();
    let copy = Tampered::copy(original);
    let signed = |change: &dyn Fn(&mut StoredEvent)| {
        let mut events = original.events.clone();
        change(&mut events[110]);
        rechain_with(&mut events, 110, &original.keys, |_| true);
        copy.verify_instead(&events, &[])
    };
    assert!(!original.events[110].kind.starts_with("ledger."));
    signed(&|event| event.body = "{\"a\":1,\"b\":2}".to_owned()).unwrap();
    for body in [
        "",
        "{",
        "{\"a\":1,\"a\":2}",
        "{\"a\":1,\"\\u0061\":2}",
        "{\"b\":1,\"a\":2}",
        "{\"a\": 1}",
        "{\"a\":1.0}",
        "{\"a\":9007199254740993}",
        "{\"a\":1e999}",
        "{\"a\":\"\\ud800\"}",
        "{} ",
        "{}{}",
    ] {
        let error = signed(&|event| event.body = body.to_owned()).unwrap_err();
        assert_eq!(named(&error), 111, "{body}: {error}");
    }
    for at in
        ["", "yesterday", "2026-03-29", "2026-03-29T25:00:00.000+01:00", "2026-03-29T01:00:00"]
    {
        let error = signed(&|event| event.at = at.to_owned()).unwrap_err();
        assert_eq!(named(&error), 111, "{at}: {error}");
    }
}

/// What somebody with a database tool, a little program, and maybe every key may do next.
#[derive(Debug, Clone)]
enum Edit {
    SwapContents(usize, usize),
    SwapNumbers(usize, usize),
    Drop(usize),
    CutOff(usize),
    Repeat(usize, usize),
    Replace(usize, usize),
    Flip { event: usize, field: usize, bit: usize },
    MoveSignature(usize, usize),
    FromAnother(usize, usize),
    Forge(usize, usize),
    Renumber,
    LinkAnew(usize),
    SignAnewWithOneKey(usize, usize),
    SignAnewWithAll(usize),
}

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let place = || 0..2 * EVENTS;
    let one = prop_oneof![
        (place(), place()).prop_map(|(a, b)| Edit::SwapContents(a, b)),
        (place(), place()).prop_map(|(a, b)| Edit::SwapNumbers(a, b)),
        place().prop_map(Edit::Drop),
        place().prop_map(Edit::CutOff),
        (place(), place()).prop_map(|(a, b)| Edit::Repeat(a, b)),
        (place(), place()).prop_map(|(a, b)| Edit::Replace(a, b)),
        (place(), 0..13_usize, 0..4096_usize).prop_map(|(event, field, bit)| Edit::Flip {
            event,
            field,
            bit
        }),
        (place(), place()).prop_map(|(a, b)| Edit::MoveSignature(a, b)),
        (place(), place()).prop_map(|(a, b)| Edit::FromAnother(a, b)),
        (place(), 0..6_usize).prop_map(|(a, key)| Edit::Forge(a, key)),
        Just(Edit::Renumber),
        place().prop_map(Edit::LinkAnew),
        (place(), 0..6_usize).prop_map(|(a, key)| Edit::SignAnewWithOneKey(a, key)),
        place().prop_map(Edit::SignAnewWithAll),
    ];
    let edits = prop::collection::vec(one, 1..6);
    // Half of them end as an owner with all keys would end, so that the chain may hold.
    (edits, any::<bool>()).prop_map(|(mut edits, as_owner)| {
        if as_owner {
            edits.extend([Edit::Renumber, Edit::SignAnewWithAll(0)]);
        }
        edits
    })
}

fn flip_text(text: &mut String, bit: usize) {
    let mut bytes = text.clone().into_bytes();
    if bytes.is_empty() {
        bytes.push(b'x');
    } else {
        let bit = bit % (bytes.len() * 8);
        bytes[bit / 8] ^= 1 << (bit % 8);
    }
    *text = String::from_utf8_lossy(&bytes).into_owned();
}

fn flip_bytes(bytes: &mut [u8], bit: usize) {
    let bit = bit % (bytes.len() * 8);
    bytes[bit / 8] ^= 1 << (bit % 8);
}

fn edit(events: &mut Vec<StoredEvent>, edit: &Edit, original: &Original, other: &Original) {
    if events.is_empty() {
        return;
    }
    let count = events.len();
    let mut signers: Vec<&UnlockedKey> = original.keys.values().collect();
    signers.sort_by_key(|key| key.public());
    let stranger = UnlockedKey::from_seed("P-1".to_owned(), &[7; 32]);
    signers.push(&stranger);
    match *edit {
        Edit::SwapContents(a, b) => {
            let (a, b) = (a % count, b % count);
            let numbers = (events[a].seq, events[b].seq);
            events.swap(a, b);
            (events[a].seq, events[b].seq) = numbers;
        }
        Edit::SwapNumbers(a, b) => {
            let numbers = (events[a % count].seq, events[b % count].seq);
            (events[b % count].seq, events[a % count].seq) = numbers;
        }
        Edit::Drop(a) => drop(events.remove(a % count)),
        Edit::CutOff(a) => events.truncate(a % count),
        Edit::Repeat(a, b) => events.insert(b % (count + 1), events[a % count].clone()),
        Edit::Replace(a, b) => events[a % count] = events[b % count].clone(),
        Edit::Flip { event, field, bit } => {
            let event = &mut events[event % count];
            match field {
                0 => flip_text(&mut event.origin, bit),
                1 => event.seq ^= 1 << (bit % 63),
                2 => flip_text(&mut event.at, bit),
                3 => flip_text(&mut event.person, bit),
                4 => flip_text(&mut event.station, bit),
                5 => flip_text(&mut event.kind, bit),
                6 => flip_text(&mut event.subject, bit),
                7 => flip_text(&mut event.body, bit),
                8 => flip_bytes(&mut event.salt, bit),
                9 => flip_bytes(&mut event.prev, bit),
                10 => flip_bytes(&mut event.hash, bit),
                11 => flip_bytes(&mut event.signer, bit),
                _ => flip_bytes(&mut event.signature, bit),
            }
        }
        Edit::MoveSignature(a, b) => {
            let StoredEvent { signer, signature, .. } = events[a % count];
            let to = &mut events[b % count];
            (to.signer, to.signature) = (signer, signature);
        }
        Edit::FromAnother(a, b) => {
            let a = a % count;
            let there = other.events[b % other.events.len()].clone();
            events[a] =
                StoredEvent { origin: events[a].origin.clone(), seq: events[a].seq, ..there };
        }
        Edit::Forge(a, key) => {
            let a = a % count;
            let signer = signers[key % signers.len()];
            let mut made = events[a].clone();
            signer.person().clone_into(&mut made.person);
            made.body = "{\"forged\":true}".to_owned();
            sign_anew(&mut made, signer);
            events.insert(a, made);
        }
        Edit::Renumber => {
            for (event, seq) in events.iter_mut().zip(1..) {
                event.seq = seq;
            }
        }
        Edit::LinkAnew(a) => rechain(events, a % count),
        Edit::SignAnewWithOneKey(a, key) => {
            let held = signers[key % signers.len()].public();
            rechain_with(events, a % count, &original.keys, |key| key.public() == held);
        }
        Edit::SignAnewWithAll(a) => rechain_with(events, a % count, &original.keys, |_| true),
    }
}

#[test]
fn nothing_that_was_edited_holds_against_a_head_held_outside() {
    let original = Original::shared();
    let other = Original::make(0, 60);
    let copy = Tampered::copy(original);
    let anchor = std::slice::from_ref(&original.head);
    let (changed, held_alone) = (Cell::new(0), Cell::new(0));
    let config = Config { cases: 256, failure_persistence: None, ..Config::default() };
    TestRunner::new(config)
        .run(&edits(), |edits| {
            let mut events = original.events.clone();
            for one in &edits {
                edit(&mut events, one, original, &other);
            }
            // In which order rows lie in the file says nothing.
            let mut in_order = events.clone();
            in_order
                .sort_by(|a, b| (a.origin.as_bytes(), a.seq).cmp(&(b.origin.as_bytes(), b.seq)));
            let really = in_order != original.events;
            copy.replace_all(&events);
            let alone = copy.verify(&[]);
            let anchored = copy.verify(anchor);
            if !really {
                prop_assert!(anchored.is_ok());
                return Ok(());
            }
            changed.set(changed.get() + 1);
            held_alone.set(held_alone.get() + usize::from(alone.is_ok()));
            if alone.is_err() && anchored.is_ok() {
                return Err(TestCaseError::fail("a head held outside made it hold"));
            }
            prop_assert!(anchored.is_err(), "it holds");
            Ok(())
        })
        .unwrap();
    println!("{} changed, of which {} hold alone", changed.get(), held_alone.get());
    assert!(changed.get() > 180 && held_alone.get() > 10);
}
