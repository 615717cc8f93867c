//! The database file: opening it, appending to it, reading it.
//!
//! The file is only ever touched through SQLite: opening it by other means in this process would
//! drop SQLite's locks when that handle closes.

mod files;
mod pins;
mod reading;
mod rows;

use crate::authority::{Authority, OWN_KINDS, OWN_SUBJECT, ended, enrolled};
use crate::canonical::{canonical, event_hash, signing_bytes};
use crate::error::LedgerError;
use crate::event::{Form, NewEvent, StoredEvent, Unsealed, time_text};
use crate::keys::{KeyChange, SealedKey, UnlockedKey, random};
use crate::schema::{APPLICATION_ID, CREATE, SCHEMA, columns, migrate};
use crate::verify::VerifyFault;
pub(crate) use files::{connect, origin_of, sync_folder};
use files::{connect_to_read, damaged, prepare, read_key, write_key};
use pins::read_wrong_pins;
use rows::{fixed, number, stored};
use rusqlite::config::DbConfig;
use rusqlite::{
    Connection, OpenFlags, OptionalExtension, Transaction, TransactionBehavior, params,
};
use std::collections::{HashMap, HashSet};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Instant;
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

    /// The installation's public key.
    pub fn installation_public(&self) -> [u8; 32] {
        self.public
    }

    /// Secret bytes for another purpose than signing events, made from the installation's key, so
    /// that nothing more has to be kept. The key is read anew where the ledger is open for reading.
    pub fn derived(&self, purpose: &str) -> Result<Zeroizing<[u8; 32]>, LedgerError> {
        if let Some(key) = &self.installation {
            return key.derived(purpose);
        }
        let path = self.path.with_file_name(KEY_FILE);
        read_key(&path, &self.head.origin, &self.public)?.derived(purpose)
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

#[cfg(test)]
mod tests;
