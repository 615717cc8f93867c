//! The database file: opening it, appending to it, reading it.
//!
//! The file is only ever touched through SQLite: opening it by other means in this process would
//! drop SQLite's locks when that handle closes.

use crate::authority::{Authority, OWN_KINDS, OWN_SUBJECT, RESTORED, ended, enrolled};
use crate::canonical::{canonical, event_hash, sha256_hex, signing_bytes};
use crate::error::LedgerError;
use crate::event::{Form, NewEvent, StoredEvent, Told, Unsealed, time_text};
use crate::extract::Extract;
use crate::keys::{KeyChange, Pin, SealedKey, UnlockedKey, random};
use crate::schema::{APPLICATION_ID, CREATE, SCHEMA, columns, migrate};
use crate::verify::{Verifier, VerifyFault, VerifyReport};
use rusqlite::config::DbConfig;
use rusqlite::{
    Connection, OpenFlags, OptionalExtension, Row, Transaction, TransactionBehavior, params,
};
use std::collections::{HashMap, HashSet};
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use zeroize::Zeroizing;

pub(crate) const FILE: &str = "ledger.db";
/// A ledger that is being made; it gets its name once it is whole.
const NEW_FILE: &str = "ledger.new";
pub(crate) const KEY_FILE: &str = "installation.key";
/// For reading, or for reading and writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// Reading alone; several at a time, beside one writer.
    Read,
    /// Reading and writing; the caller makes sure there is one.
    Write,
}

/// The newest event of this installation: what a printed record carries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// This installation's id.
    pub origin: String,
    /// How many events there are.
    pub events: u64,
    /// Hash of the newest; zeros when there is none.
    pub digest: [u8; 32],
}

/// So many events are read and verified at a time: enough to keep every core busy, little enough
/// to be nothing in memory.
const BATCH: usize = 4096;

/// An open ledger.
pub struct Ledger {
    connection: Connection,
    path: PathBuf,
    access: Access,
    schema: i64,
    /// The public key of this installation.
    public: [u8; 32],
    installation: Option<UnlockedKey>,
    head: Head,
    /// Keys that ended while this was open: one may still be unlocked somewhere.
    ended: HashSet<[u8; 32]>,
    wrong_pins: HashMap<String, (u32, Instant)>,
}

impl Ledger {
    /// Whether the folder holds a ledger. Where that can't be found out, it counts as yes:
    /// nothing is ever made over what may be one.
    pub fn exists(folder: &Path) -> bool {
        folder.join(FILE).try_exists().unwrap_or(true)
    }

    /// Makes a new ledger in a folder that holds none.
    pub fn create(folder: &Path) -> Result<Self, LedgerError> {
        let path = folder.join(FILE);
        if path.try_exists().map_err(LedgerError::file(&path))? {
            return Err(LedgerError::Present { path });
        }
        let seed = Zeroizing::new(random::<32>()?);
        let key = UnlockedKey::from_seed(String::new(), &seed);
        let origin = origin_of(&key.public());
        write_key(&folder.join(KEY_FILE), &origin, &seed)?;
        // Under another name first: a broken-off start leaves no half ledger.
        let making = folder.join(NEW_FILE);
        for left in ["ledger.new", "ledger.new-journal"] {
            match std::fs::remove_file(folder.join(left)) {
                Err(source) if source.kind() != ErrorKind::NotFound => {
                    return Err(LedgerError::File { path: making, source });
                }
                _ => {}
            }
        }
        let mut connection =
            connect(&making, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)?;
        let at = |source| LedgerError::sqlite(&path, source);
        connection.pragma_update(None, "synchronous", "extra").map_err(at)?;
        let transaction = connection.transaction().map_err(at)?;
        transaction.execute_batch(CREATE).map_err(at)?;
        transaction.pragma_update(None, "application_id", APPLICATION_ID).map_err(at)?;
        transaction.pragma_update(None, "user_version", SCHEMA).map_err(at)?;
        transaction
            .execute(
                "INSERT INTO installation (origin, public) VALUES (?1, ?2)",
                params![origin, key.public()],
            )
            .map_err(at)?;
        transaction.commit().map_err(at)?;
        drop(connection);
        std::fs::rename(&making, &path).map_err(LedgerError::file(&path))?;
        sync_folder(folder)?;
        Self::open(folder, Access::Write)
    }

    /// Opens the ledger of a folder. For writing, an older schema is brought up to today's; one
    /// that a newer program wrote can only be read.
    pub fn open(folder: &Path, access: Access) -> Result<Self, LedgerError> {
        let path = folder.join(FILE);
        if !path.try_exists().map_err(LedgerError::file(&path))? {
            return Err(LedgerError::Absent { path });
        }
        let mut connection = match access {
            Access::Write => connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE)?,
            Access::Read => connect_to_read(&path)?,
        };
        let at = |source| LedgerError::sqlite(&path, source);
        // An opening that fails must not tidy up: on a disk in trouble SQLite has been seen to
        // remove a write-ahead log that it had not carried over.
        let keep_log = DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE;
        connection.set_db_config(keep_log, true).map_err(at)?;
        let pragma = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
        if pragma("application_id").map_err(at)? != APPLICATION_ID {
            return Err(at(damaged(rusqlite::ffi::SQLITE_NOTADB)));
        }
        let mut schema = pragma("user_version").map_err(at)?;
        // A ledger says its schema from its first moment on.
        if schema < 1 {
            return Err(at(damaged(rusqlite::ffi::SQLITE_CORRUPT)));
        }
        if schema > SCHEMA && access == Access::Write {
            return Err(LedgerError::Newer { path, found: schema, known: SCHEMA });
        }
        // Only now: setting up the log writes to the file, and it had to be ours first.
        prepare(&connection, access).map_err(at)?;
        let (origin, public): (String, [u8; 32]) = connection
            .query_row("SELECT origin, public FROM installation", [], |row| {
                Ok((row.get(0)?, fixed(row, 1)?))
            })
            .map_err(at)?;
        if origin_of(&public) != origin {
            return Err(at(damaged(rusqlite::ffi::SQLITE_CORRUPT)));
        }
        let installation = match access {
            Access::Read => None,
            Access::Write => Some(read_key(&folder.join(KEY_FILE), &origin, &public)?),
        };
        if schema < SCHEMA && access == Access::Write {
            let transaction = begin(&mut connection).map_err(at)?;
            migrate(&transaction, schema).map_err(at)?;
            transaction.commit().map_err(at)?;
            schema = SCHEMA;
        }
        let head = read_head(&connection, &origin).map_err(at)?;
        let wrong_pins = match access {
            Access::Read => HashMap::new(),
            Access::Write => read_wrong_pins(&connection).map_err(at)?,
        };
        connection.set_db_config(keep_log, false).map_err(at)?;
        let ended = HashSet::new();
        Ok(Self { connection, path, access, schema, public, installation, head, ended, wrong_pins })
    }

    /// Whether a newer program wrote this ledger. It is then read as far as it can be.
    pub fn is_newer(&self) -> bool {
        self.schema > SCHEMA
    }

    pub(crate) fn connection(&self) -> &Connection {
        &self.connection
    }

    /// For reading, or for writing.
    pub fn access(&self) -> Access {
        self.access
    }

    /// The newest event.
    pub fn head(&self) -> &Head {
        &self.head
    }

    /// Looks whether another process wrote since; the head is then the newer one.
    pub fn refresh(&mut self) -> Result<bool, LedgerError> {
        let head = read_head(&self.connection, &self.head.origin)
            .map_err(|source| LedgerError::sqlite(&self.path, source))?;
        let newer = head != self.head;
        self.head = head;
        Ok(newer)
    }

    /// All events, by origin and number.
    pub fn events(&self) -> Result<Vec<StoredEvent>, LedgerError> {
        let mut all = Vec::new();
        self.each_batch(|batch| {
            all.append(batch);
            Ok::<_, LedgerError>(())
        })?;
        Ok(all)
    }

    /// All events, by origin and number, a few thousand at a time. What is left in the batch is
    /// dropped.
    pub fn each_batch<E: From<LedgerError>>(
        &self,
        take: impl FnMut(&mut Vec<StoredEvent>) -> Result<(), E>,
    ) -> Result<(), E> {
        self.batches(columns(self.schema), stored, |event| event.seq, take)
    }

    /// What all events say, by origin and number, a few thousand at a time: half of each event is
    /// hashes and signatures, which nobody looks at who only wants to know what happened.
    pub fn each_told<E: From<LedgerError>>(
        &self,
        take: impl FnMut(&mut Vec<Told>) -> Result<(), E>,
    ) -> Result<(), E> {
        self.batches("origin, seq, at, person, kind, body", told, |told| told.seq, take)
    }

    fn batches<T, E: From<LedgerError>>(
        &self,
        columns: &str,
        read: fn(&Row<'_>) -> rusqlite::Result<T>,
        number: fn(&T) -> u64,
        mut take: impl FnMut(&mut Vec<T>) -> Result<(), E>,
    ) -> Result<(), E> {
        let at = |source| LedgerError::sqlite(&self.path, source);
        let mut query = self
            .connection
            .prepare(&format!("SELECT {columns} FROM event ORDER BY origin, seq"))
            .map_err(at)?;
        let mut rows = query.query([]).map_err(at)?;
        let mut batch = Vec::with_capacity(BATCH);
        let mut last = 0;
        while let Some(row) = rows.next().map_err(at)? {
            let event = read(row).map_err(|error| unreadable(&self.path, last + 1, error))?;
            last = number(&event);
            batch.push(event);
            if batch.len() == BATCH {
                take(&mut batch)?;
                batch.clear();
            }
        }
        take(&mut batch)
    }

    /// Lets SQLite go through its file: what is cut off or crossed out where no event stands
    /// (a sealed key, an index) shows here.
    pub fn check_file(&self) -> Result<(), LedgerError> {
        let at = |source| LedgerError::sqlite(&self.path, source);
        let word: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(at)?;
        if word == "ok" && !self.is_cut_off().map_err(at)? {
            Ok(())
        } else {
            Err(at(damaged(rusqlite::ffi::SQLITE_CORRUPT)))
        }
    }

    /// Whether the file is shorter than its pages: SQLite reads what is missing as zeros, and on
    /// an empty page takes no offence. While a log stands beside it, the file may be the shorter.
    fn is_cut_off(&self) -> rusqlite::Result<bool> {
        if std::fs::metadata(self.path.with_extension("db-wal")).is_ok_and(|log| log.len() > 0) {
            return Ok(false);
        }
        let pragma = |name| self.connection.pragma_query_value(None, name, |row| number(row, 0));
        let length = pragma("page_count")? * pragma("page_size")?;
        Ok(std::fs::metadata(&self.path).is_ok_and(|file| file.len() < length))
    }

    /// Goes through all events and keys; `anchors` are heads that somebody holds outside and
    /// that must be in the history. Names the first thing that does not hold.
    pub fn verify(&self, anchors: &[Head]) -> Result<VerifyReport, LedgerError> {
        let mut verifier = Verifier::new([(self.head.origin.clone(), self.public)])?;
        for anchor in anchors {
            verifier = verifier.anchored(anchor.clone());
        }
        self.each_batch(|batch| Ok::<_, LedgerError>(verifier.take(batch)?))?;
        let unmade = Authority::new(self.public);
        self.verify_keys(verifier.authority().unwrap_or(&unmade))?;
        Ok(verifier.finish()?)
    }

    /// When this ledger was last brought back from a backup, as RFC 3339 text.
    pub fn last_restored(&self) -> Result<Option<String>, LedgerError> {
        self.connection
            .query_row(
                "SELECT at FROM event WHERE kind = ?1 ORDER BY origin, seq DESC LIMIT 1",
                [RESTORED],
                |row| row.get(0),
            )
            .optional()
            .map_err(|source| LedgerError::sqlite(&self.path, source))
    }

    /// Each key that was enrolled has its sealed half, unchanged, and there is no other.
    fn verify_keys(&self, authority: &Authority) -> Result<(), LedgerError> {
        let fault = |person: &str, why: &str| {
            LedgerError::from(VerifyFault::Key { person: person.to_owned(), why: why.to_owned() })
        };
        let at = |source| LedgerError::sqlite(&self.path, source);
        let mut query = self
            .connection
            .prepare("SELECT public, kdf, salt, nonce, sealed, person FROM sealed_key")
            .map_err(at)?;
        let rows = query
            .query_map([], |row| Ok((sealed_key(row)?, row.get::<_, String>(5)?)))
            .map_err(at)?;
        let mut found = HashSet::new();
        for row in rows {
            let (sealed, person) = row.map_err(at)?;
            let Some(key) = authority.key(&sealed.public) else {
                return Err(fault(&person, "no event enrols it."));
            };
            if key.person != person {
                return Err(fault(&person, "it was enrolled for somebody else."));
            }
            if key.sealed.as_ref().is_some_and(|digest| *digest != sealed.digest()) {
                return Err(fault(&person, "it was changed after it was enrolled."));
            }
            found.insert(sealed.public);
        }
        match authority.keys().find(|(public, _)| !found.contains(*public)) {
            Some((_, key)) => Err(fault(&key.person, "it is missing.")),
            None => Ok(()),
        }
    }

    /// The record of one subject, with the events that are `wanted` beside those about it.
    pub fn extract(
        &self,
        subject: &str,
        context: serde_json::Value,
        wanted: impl Fn(&StoredEvent) -> bool,
    ) -> Result<Extract, LedgerError> {
        let mut events = self.events()?;
        events.retain(|event| event.origin == self.head.origin);
        // What another process wrote since is part of what was read.
        let head = events.last().map_or_else(
            || self.head.clone(),
            |newest| Head {
                origin: newest.origin.clone(),
                events: newest.seq,
                digest: newest.hash,
            },
        );
        Extract::take(subject, head, self.public, context, events, wanted)
    }

    /// The installation's public key.
    pub fn installation_public(&self) -> [u8; 32] {
        self.public
    }

    /// Stores events in one go, all or none, signed by `signer` or, where that is `None`, by the
    /// installation; with them keys are enrolled and ended. When this returns, all of it is on
    /// the disk.
    pub fn append(
        &mut self,
        events: Vec<NewEvent>,
        changes: Vec<KeyChange>,
        signer: Option<&UnlockedKey>,
    ) -> Result<Vec<StoredEvent>, LedgerError> {
        let installation = self.installation.as_ref().ok_or(LedgerError::ReadOnly)?;
        let signer = signer.unwrap_or(installation);
        if self.ended.contains(&signer.public()) {
            return Err(LedgerError::KeyEnded { person: signer.person().to_owned() });
        }
        let path = &self.path;
        let at = |source| LedgerError::sqlite(path, source);
        let Some(moment) = events.first().map(|event| event.at) else { return Ok(Vec::new()) };
        let transaction = begin(&mut self.connection).map_err(at)?;
        // Another process may have written since: the chain goes on from what is there now.
        let mut head = read_head(&transaction, &self.head.origin).map_err(at)?;
        let mut ended_now = HashSet::new();
        let authority = if changes.is_empty() {
            None
        } else {
            Some(read_authority(&transaction, path, self.schema, self.public)?)
        };
        let own = |kind: &str, body| NewEvent {
            at: moment,
            station: String::new(),
            kind: kind.to_owned(),
            subject: OWN_SUBJECT.to_owned(),
            body,
        };
        // Keys are enrolled before the events they come with, and ended after them.
        let (mut first, mut last) = (Vec::new(), Vec::new());
        for change in changes {
            let live =
                |person: &str| authority.as_ref()?.live_key(person).map(|(public, _)| *public);
            match change {
                KeyChange::Enrol(enrolment) => {
                    let replaced = live(&enrolment.person);
                    if replaced.is_some() != enrolment.replaces {
                        return Err(match replaced {
                            Some(_) => LedgerError::HasKey { person: enrolment.person },
                            None => LedgerError::NoKey { person: enrolment.person },
                        });
                    }
                    store_key(&transaction, &enrolment).map_err(at)?;
                    let (kind, body) = enrolled(&enrolment, replaced.as_ref())?;
                    // Whoever gives themselves a new key signs what comes with it with the old one.
                    let by_itself = replaced == Some(signer.public());
                    if by_itself { &mut last } else { &mut first }.push(own(kind, body));
                    ended_now.extend(replaced);
                }
                KeyChange::End { person } => {
                    let public = live(&person)
                        .ok_or_else(|| LedgerError::NoKey { person: person.clone() })?;
                    let (kind, body) = ended(&person, &public)?;
                    last.push(own(kind, body));
                    ended_now.insert(public);
                }
            }
        }
        let kept = first
            .into_iter()
            .chain(events)
            .chain(last)
            .map(|event| store(&transaction, &mut head, event, signer, path))
            .collect::<Result<Vec<_>, _>>()?;
        transaction.commit().map_err(at)?;
        self.head = head;
        self.ended.extend(ended_now);
        Ok(kept)
    }

    /// Opens a person's key. Wrong PINs slow the next try down.
    pub fn unlock(&mut self, person: &str, pin: &Pin) -> Result<UnlockedKey, LedgerError> {
        let tries = self.wrong_pins.get(person).copied();
        if let Some((count, last)) = tries {
            let wait = slow_down(count).saturating_sub(last.elapsed());
            if !wait.is_zero() {
                return Err(LedgerError::TooManyTries { wait });
            }
        }
        let at = |source| LedgerError::sqlite(&self.path, source);
        let authority = read_authority(&self.connection, &self.path, self.schema, self.public)?;
        let public = authority.live_key(person).map(|(public, _)| *public);
        let public = public.ok_or_else(|| LedgerError::NoKey { person: person.to_owned() })?;
        let sealed = self
            .connection
            .query_row(
                "SELECT public, kdf, salt, nonce, sealed FROM sealed_key WHERE public = ?1",
                [public],
                sealed_key,
            )
            .optional()
            .map_err(at)?
            .ok_or_else(|| LedgerError::NoKey { person: person.to_owned() })?;
        let opened = sealed.open(person, pin);
        match &opened {
            Ok(_) if tries.is_some() => {
                self.wrong_pins.remove(person);
                self.keep_tries(person, 0);
            }
            Err(LedgerError::WrongPin { .. }) => {
                let count = tries.map_or(0, |(count, _)| count) + 1;
                self.wrong_pins.insert(person.to_owned(), (count, Instant::now()));
                self.keep_tries(person, count);
            }
            _ => {}
        }
        opened
    }

    /// Keeps the count, so that starting the program anew does not make tries free again. Where
    /// it can't be kept, the count in memory stands.
    fn keep_tries(&self, person: &str, count: u32) {
        let kept = if count == 0 {
            self.connection.execute("DELETE FROM wrong_pin WHERE person = ?1", [person])
        } else {
            self.connection.execute(
                "INSERT INTO wrong_pin (person, tries) VALUES (?1, ?2)
                 ON CONFLICT (person) DO UPDATE SET tries = excluded.tries",
                params![person, count],
            )
        };
        // What was asked for was to open a key, and that was answered.
        drop(kept);
    }
}

/// The counts that were kept. Each wait begins anew: no clock of the wall is asked.
fn read_wrong_pins(connection: &Connection) -> rusqlite::Result<HashMap<String, (u32, Instant)>> {
    let mut query = connection.prepare("SELECT person, tries FROM wrong_pin")?;
    let rows = query.query_map([], |row| Ok((row.get(0)?, (row.get(1)?, Instant::now()))))?;
    rows.collect()
}

/// The keys as the ledger's own events made them.
fn read_authority(
    connection: &Connection,
    path: &Path,
    schema: i64,
    installation: [u8; 32],
) -> Result<Authority, LedgerError> {
    let at = |source| LedgerError::sqlite(path, source);
    let columns = columns(schema);
    let mut query = connection
        .prepare(&format!(
            "SELECT {columns} FROM event WHERE kind LIKE '{OWN_KINDS}%' ORDER BY origin, seq"
        ))
        .map_err(at)?;
    let rows = query.query_map([], stored).map_err(at)?;
    let mut authority = Authority::new(installation);
    for event in rows {
        let event = event.map_err(at)?;
        authority.take(&event).map_err(|why| VerifyFault::Event {
            origin: event.origin.clone(),
            seq: event.seq,
            why: why.to_owned(),
        })?;
    }
    Ok(authority)
}

/// Three tries are free; then the wait doubles from two seconds to five minutes.
fn slow_down(wrong: u32) -> Duration {
    match wrong {
        0..3 => Duration::ZERO,
        more => Duration::from_secs(2u64.saturating_pow(more - 2).min(300)),
    }
}

fn store(
    transaction: &Transaction<'_>,
    head: &mut Head,
    event: NewEvent,
    signer: &UnlockedKey,
    path: &Path,
) -> Result<StoredEvent, LedgerError> {
    let (at, body) = (time_text(event.at), canonical(&event.body)?);
    // What can't be read back as it went in would spoil the ledger for good.
    if chrono::DateTime::parse_from_rfc3339(&at).is_err() {
        return Err(LedgerError::Time { at });
    }
    if let Some(number) = inexact(&event.body) {
        return Err(LedgerError::Number { number });
    }
    let seq = head.events + 1;
    let (form, salt) = (Form::Two, random::<16>()?);
    let hash = event_hash(&Unsealed {
        form,
        origin: &head.origin,
        seq,
        at: &at,
        person: signer.person(),
        station: &event.station,
        kind: &event.kind,
        subject: &event.subject,
        salt: &salt,
        body: &body,
        prev: &head.digest,
    })?;
    let stored = StoredEvent {
        form,
        origin: head.origin.clone(),
        seq,
        at,
        person: signer.person().to_owned(),
        station: event.station,
        kind: event.kind,
        subject: event.subject,
        salt,
        body,
        prev: head.digest,
        hash,
        signer: signer.public(),
        signature: signer.sign(&signing_bytes(form, &hash)),
    };
    let number = i64::try_from(stored.seq)
        .map_err(|_| LedgerError::Unreadable { seq, what: "its number is too great".to_owned() })?;
    transaction
        .prepare_cached(
            "INSERT INTO event
                (origin, seq, at, person, station, kind, body, prev, hash, signer, signature,
                 form, subject, salt)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
        )
        .and_then(|mut insert| {
            insert.execute(params![
                stored.origin,
                number,
                stored.at,
                stored.person,
                stored.station,
                stored.kind,
                stored.body,
                stored.prev,
                stored.hash,
                stored.signer,
                stored.signature,
                stored.form.number(),
                stored.subject,
                stored.salt,
            ])
        })
        .map_err(|source| LedgerError::sqlite(path, source))?;
    head.events = seq;
    head.digest = hash;
    Ok(stored)
}

/// A whole number past 2^53, which canonical JSON would round (RFC 8785 appendix D).
fn inexact(value: &serde_json::Value) -> Option<serde_json::Number> {
    const EXACT: u64 = 1 << 53;
    match value {
        serde_json::Value::Number(number) => {
            let great = number.as_u64().is_some_and(|n| n > EXACT)
                || number.as_i64().is_some_and(|n| n.unsigned_abs() > EXACT);
            great.then(|| number.clone())
        }
        serde_json::Value::Array(values) => values.iter().find_map(inexact),
        serde_json::Value::Object(fields) => fields.values().find_map(inexact),
        _ => None,
    }
}

fn store_key(
    transaction: &Transaction<'_>,
    enrolment: &crate::keys::Enrolment,
) -> rusqlite::Result<()> {
    let SealedKey { public, kdf, salt, nonce, sealed } = &enrolment.sealed;
    transaction.execute(
        "INSERT INTO sealed_key (public, person, kdf, salt, nonce, sealed)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![public, enrolment.person, kdf, salt, nonce, sealed],
    )?;
    Ok(())
}

/// The id of an installation follows from its key, so that neither can be changed alone.
pub(crate) fn origin_of(public: &[u8; 32]) -> String {
    sha256_hex(public)[..32].to_owned()
}

fn damaged(code: i32) -> rusqlite::Error {
    rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None)
}

pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, LedgerError> {
    Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
        .map_err(|source| LedgerError::sqlite(path, source))
}

/// On a disk that can't be written, SQLite can't keep its shared-memory file beside the
/// database; if nothing waits in a write-ahead log, the file may be read as it stands.
fn connect_to_read(path: &Path) -> Result<Connection, LedgerError> {
    let plain = connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let readable = plain.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()));
    match readable {
        Ok(()) => Ok(plain),
        Err(error)
            if std::fs::metadata(path.with_extension("db-wal")).is_ok_and(|log| log.len() > 0) =>
        {
            Err(LedgerError::sqlite(path, error))
        }
        Err(_) => {
            let name = path.to_string_lossy();
            let name = name.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
            connect(Path::new(&format!("file:{name}?immutable=1")), flags)
        }
    }
}

/// A commit is on the disk when it returns: write-ahead log with a sync at each commit. Where
/// the file system has no such log, the rollback journal with its folder synced.
fn prepare(connection: &Connection, access: Access) -> rusqlite::Result<()> {
    connection.busy_timeout(Duration::from_secs(5))?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    connection.pragma_update(None, "mmap_size", 0)?;
    if access == Access::Write {
        let mode: String =
            connection.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get(0))?;
        let synchronous = if mode == "wal" { "full" } else { "extra" };
        connection.pragma_update(None, "synchronous", synchronous)?;
        connection.pragma_update(None, "fullfsync", true)?;
    }
    Ok(())
}

/// Takes the right to write at once: between reading the head and writing after it nobody else
/// may come.
fn begin(connection: &mut Connection) -> rusqlite::Result<Transaction<'_>> {
    connection.transaction_with_behavior(TransactionBehavior::Immediate)
}

fn read_head(connection: &Connection, origin: &str) -> rusqlite::Result<Head> {
    let newest = connection
        .prepare_cached("SELECT seq, hash FROM event WHERE origin = ?1 ORDER BY seq DESC LIMIT 1")?
        .query_row([origin], |row| Ok((number(row, 0)?, fixed(row, 1)?)))
        .optional()?;
    let (events, digest) = newest.unwrap_or((0, [0; 32]));
    Ok(Head { origin: origin.to_owned(), events, digest })
}

fn stored(row: &Row<'_>) -> rusqlite::Result<StoredEvent> {
    let form: i64 = row.get(11)?;
    Ok(StoredEvent {
        form: Form::of(form).ok_or(rusqlite::Error::IntegralValueOutOfRange(11, form))?,
        origin: row.get(0)?,
        seq: number(row, 1)?,
        at: row.get(2)?,
        person: row.get(3)?,
        station: row.get(4)?,
        kind: row.get(5)?,
        subject: row.get(12)?,
        salt: fixed(row, 13)?,
        body: row.get(6)?,
        prev: fixed(row, 7)?,
        hash: fixed(row, 8)?,
        signer: fixed(row, 9)?,
        signature: fixed(row, 10)?,
    })
}

fn told(row: &Row<'_>) -> rusqlite::Result<Told> {
    Ok(Told {
        origin: row.get(0)?,
        seq: number(row, 1)?,
        at: row.get(2)?,
        person: row.get(3)?,
        kind: row.get(4)?,
        body: row.get(5)?,
    })
}

fn sealed_key(row: &Row<'_>) -> rusqlite::Result<SealedKey> {
    Ok(SealedKey {
        public: fixed(row, 0)?,
        kdf: row.get(1)?,
        salt: fixed(row, 2)?,
        nonce: fixed(row, 3)?,
        sealed: row.get(4)?,
    })
}

/// A row that SQLite gave and that is no event: it is named.
fn unreadable(path: &Path, seq: u64, error: rusqlite::Error) -> LedgerError {
    match error {
        error @ rusqlite::Error::SqliteFailure(..) => LedgerError::sqlite(path, error),
        other => LedgerError::Unreadable { seq, what: other.to_string() },
    }
}

fn number(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let value: i64 = row.get(column)?;
    u64::try_from(value).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(column, value))
}

fn fixed<const N: usize>(row: &Row<'_>, column: usize) -> rusqlite::Result<[u8; N]> {
    use rusqlite::types::{FromSqlError, Type};
    let failed = |error: Box<dyn std::error::Error + Send + Sync>| {
        rusqlite::Error::FromSqlConversionFailure(column, Type::Blob, error)
    };
    let bytes =
        row.get_ref(column)?.as_blob().map_err(|error: FromSqlError| failed(error.into()))?;
    bytes.try_into().map_err(|_| failed(format!("{} bytes where {N} belong", bytes.len()).into()))
}

/// Makes a rename last: without this it may be gone after a loss of power.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), LedgerError> {
    if cfg!(unix) {
        std::fs::File::open(folder)
            .and_then(|folder| folder.sync_all())
            .map_err(LedgerError::file(folder))?;
    }
    Ok(())
}

fn write_key(path: &Path, origin: &str, seed: &[u8; 32]) -> Result<(), LedgerError> {
    let at = |source| LedgerError::File { path: path.to_owned(), source };
    let mut options = std::fs::OpenOptions::new();
    // A key without its ledger is what a broken-off set-up leaves; it vouches for nothing.
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path).map_err(at)?;
    let text = Zeroizing::new(format!("{origin}\n{}\n", &*Zeroizing::new(hex::encode(seed))));
    file.write_all(text.as_bytes()).map_err(at)?;
    file.sync_all().map_err(at)
}

fn read_key(path: &Path, origin: &str, public: &[u8]) -> Result<UnlockedKey, LedgerError> {
    let wrong = || LedgerError::InstallationKey { path: path.to_owned() };
    let text = match std::fs::read_to_string(path) {
        Ok(text) => Zeroizing::new(text),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::InvalidData) => {
            return Err(wrong());
        }
        Err(source) => return Err(LedgerError::File { path: path.to_owned(), source }),
    };
    let mut lines = text.lines();
    let mut seed = Zeroizing::new([0; 32]);
    let fits = lines.next() == Some(origin)
        && lines.next().is_some_and(|line| hex::decode_to_slice(line, &mut *seed).is_ok());
    let key = UnlockedKey::from_seed(String::new(), &seed);
    if fits && key.public() == public { Ok(key) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests;
