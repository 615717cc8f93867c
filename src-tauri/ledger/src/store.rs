//! The database file: opening it, appending to it, reading it.
//!
//! The file is only ever touched through SQLite: opening it by other means in this process would
//! drop SQLite's locks when that handle closes.

use crate::canonical::{canonical, event_hash, sha256_hex, signing_bytes};
use crate::error::LedgerError;
use crate::event::{NewEvent, StoredEvent, Unsealed, time_text};
use crate::keys::{Enrolment, Pin, SealedKey, UnlockedKey, random};
use rusqlite::{Connection, OpenFlags, OptionalExtension, Row, Transaction, params};
use serde_json::json;
use std::collections::HashMap;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use zeroize::Zeroizing;

const FILE: &str = "ledger.db";
/// A ledger that is being made; it gets its name once it is whole.
const NEW_FILE: &str = "ledger.new";
const KEY_FILE: &str = "installation.key";
/// `CBLG`, so that another program's database is not taken for ours.
const APPLICATION_ID: i64 = 0x4342_4c47;
const SCHEMA: i64 = 1;

/// Append-only is the schema's word, not a habit: triggers refuse change and removal, and a
/// number can neither be skipped nor used twice.
const CREATE: &str = "
CREATE TABLE event (
    origin TEXT NOT NULL,
    seq INTEGER NOT NULL,
    at TEXT NOT NULL,
    person TEXT NOT NULL,
    station TEXT NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    prev BLOB NOT NULL,
    hash BLOB NOT NULL,
    signer BLOB NOT NULL,
    signature BLOB NOT NULL,
    PRIMARY KEY (origin, seq)
) STRICT;
CREATE TRIGGER event_stays BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER event_is_kept BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER event_is_next BEFORE INSERT ON event
    WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM event WHERE origin = NEW.origin)
    BEGIN SELECT RAISE(ABORT, 'the ledger has no gaps'); END;
CREATE TABLE sealed_key (
    public BLOB NOT NULL PRIMARY KEY,
    person TEXT NOT NULL,
    kdf TEXT NOT NULL,
    salt BLOB NOT NULL,
    nonce BLOB NOT NULL,
    sealed BLOB NOT NULL
) STRICT;
CREATE TRIGGER sealed_key_stays BEFORE UPDATE ON sealed_key
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER sealed_key_is_kept BEFORE DELETE ON sealed_key
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TABLE installation (
    origin TEXT NOT NULL PRIMARY KEY,
    public BLOB NOT NULL
) STRICT;
CREATE TRIGGER installation_stays BEFORE UPDATE ON installation
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER installation_is_kept BEFORE DELETE ON installation
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
";

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

/// An open ledger.
pub struct Ledger {
    connection: Connection,
    path: PathBuf,
    access: Access,
    installation: Option<UnlockedKey>,
    head: Head,
    wrong_pins: HashMap<String, (u32, Instant)>,
}

impl Ledger {
    /// Whether the folder holds a ledger.
    pub fn exists(folder: &Path) -> bool {
        folder.join(FILE).exists()
    }

    /// Makes a new ledger in a folder that holds none.
    pub fn create(folder: &Path) -> Result<Self, LedgerError> {
        let path = folder.join(FILE);
        if path.exists() {
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
                Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
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
        let file = |source| LedgerError::File { path: path.clone(), source };
        std::fs::rename(&making, &path).map_err(file)?;
        #[cfg(unix)]
        std::fs::File::open(folder).and_then(|folder| folder.sync_all()).map_err(file)?;
        Self::open(folder, Access::Write)
    }

    /// Opens the ledger of a folder.
    pub fn open(folder: &Path, access: Access) -> Result<Self, LedgerError> {
        let path = folder.join(FILE);
        if !path.exists() {
            return Err(LedgerError::Absent { path });
        }
        let connection = match access {
            Access::Write => connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE)?,
            Access::Read => connect_to_read(&path)?,
        };
        let at = |source| LedgerError::sqlite(&path, source);
        let pragma = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
        if pragma("application_id").map_err(at)? != APPLICATION_ID {
            return Err(at(damaged(rusqlite::ffi::SQLITE_NOTADB)));
        }
        let found = pragma("user_version").map_err(at)?;
        if found > SCHEMA {
            return Err(LedgerError::Newer { path, found, known: SCHEMA });
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
        let head = read_head(&connection, &origin).map_err(at)?;
        Ok(Self { connection, path, access, installation, head, wrong_pins: HashMap::new() })
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
        let at = |source| LedgerError::sqlite(&self.path, source);
        let mut query = self
            .connection
            .prepare(
                "SELECT origin, seq, at, person, station, kind, body, prev, hash, signer, signature
                 FROM event ORDER BY origin, seq",
            )
            .map_err(at)?;
        let rows = query.query_map([], stored).map_err(at)?;
        rows.collect::<Result<_, _>>().map_err(at)
    }

    /// Lets SQLite go through its file: what is cut off or crossed out where no event stands
    /// (a sealed key, an index) shows here.
    pub fn check_file(&self) -> Result<(), LedgerError> {
        let at = |source| LedgerError::sqlite(&self.path, source);
        let word: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(at)?;
        if word == "ok" { Ok(()) } else { Err(at(damaged(rusqlite::ffi::SQLITE_CORRUPT))) }
    }

    /// The installation's public key.
    pub fn installation_public(&self) -> Result<[u8; 32], LedgerError> {
        self.connection
            .query_row("SELECT public FROM installation", [], |row| fixed(row, 0))
            .map_err(|source| LedgerError::sqlite(&self.path, source))
    }

    /// Stores events in one go, all or none, signed by `signer` or, where that is `None`, by the
    /// installation. People enrolled with it get their key in the same go. When this returns,
    /// the events are on the disk.
    pub fn append(
        &mut self,
        events: Vec<NewEvent>,
        enrolments: Vec<Enrolment>,
        signer: Option<&UnlockedKey>,
    ) -> Result<Vec<StoredEvent>, LedgerError> {
        let installation = self.installation.as_ref().ok_or(LedgerError::ReadOnly)?;
        let signer = signer.unwrap_or(installation);
        let path = &self.path;
        let at = |source| LedgerError::sqlite(path, source);
        let mut head = self.head.clone();
        let mut kept = Vec::with_capacity(events.len() + enrolments.len());
        // The same moment for the key events: they belong to what they come with.
        let moment = events.first().map(|event| event.at);
        let transaction = self.connection.transaction().map_err(at)?;
        for enrolment in enrolments {
            let Some(moment) = moment else { break };
            store_key(&transaction, &enrolment).map_err(at)?;
            let event = NewEvent {
                at: moment,
                station: String::new(),
                kind: crate::verify::KEY_ENROLLED.to_owned(),
                body: json!({
                    "person": enrolment.person,
                    "public-key": hex::encode(enrolment.sealed.public),
                }),
            };
            kept.push(store(&transaction, &mut head, event, signer, path)?);
        }
        for event in events {
            kept.push(store(&transaction, &mut head, event, signer, path)?);
        }
        transaction.commit().map_err(at)?;
        self.head = head;
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
        let sealed = self
            .connection
            .query_row(
                "SELECT public, kdf, salt, nonce, sealed FROM sealed_key
                 WHERE person = ?1 ORDER BY rowid DESC LIMIT 1",
                [person],
                |row| {
                    Ok(SealedKey {
                        public: fixed(row, 0)?,
                        kdf: row.get(1)?,
                        salt: fixed(row, 2)?,
                        nonce: fixed(row, 3)?,
                        sealed: row.get(4)?,
                    })
                },
            )
            .optional()
            .map_err(|source| LedgerError::sqlite(&self.path, source))?
            .ok_or_else(|| LedgerError::NoKey { person: person.to_owned() })?;
        match sealed.open(person, pin) {
            Ok(key) => {
                self.wrong_pins.remove(person);
                Ok(key)
            }
            Err(error) => {
                let count = tries.map_or(0, |(count, _)| count) + 1;
                self.wrong_pins.insert(person.to_owned(), (count, Instant::now()));
                Err(error)
            }
        }
    }
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
    let seq = head.events + 1;
    let hash = event_hash(&Unsealed {
        origin: &head.origin,
        seq,
        at: &at,
        person: signer.person(),
        station: &event.station,
        kind: &event.kind,
        body: &body,
        prev: &head.digest,
    })?;
    let stored = StoredEvent {
        origin: head.origin.clone(),
        seq,
        at,
        person: signer.person().to_owned(),
        station: event.station,
        kind: event.kind,
        body,
        prev: head.digest,
        hash,
        signer: signer.public(),
        signature: signer.sign(&signing_bytes(&hash)),
    };
    let number = i64::try_from(stored.seq)
        .map_err(|_| LedgerError::Unreadable { seq, what: "its number is too great".to_owned() })?;
    transaction
        .execute(
            "INSERT INTO event
                (origin, seq, at, person, station, kind, body, prev, hash, signer, signature)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            params![
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
            ],
        )
        .map_err(|source| LedgerError::sqlite(path, source))?;
    head.events = seq;
    head.digest = hash;
    Ok(stored)
}

fn store_key(transaction: &Transaction<'_>, enrolment: &Enrolment) -> rusqlite::Result<()> {
    let SealedKey { public, kdf, salt, nonce, sealed } = &enrolment.sealed;
    transaction.execute(
        "INSERT INTO sealed_key (public, person, kdf, salt, nonce, sealed)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![public, enrolment.person, kdf, salt, nonce, sealed],
    )?;
    Ok(())
}

/// The id of an installation follows from its key, so that neither can be changed alone.
fn origin_of(public: &[u8; 32]) -> String {
    sha256_hex(public)[..32].to_owned()
}

fn damaged(code: i32) -> rusqlite::Error {
    rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None)
}

fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, LedgerError> {
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

fn read_head(connection: &Connection, origin: &str) -> rusqlite::Result<Head> {
    let newest = connection
        .query_row(
            "SELECT seq, hash FROM event WHERE origin = ?1 ORDER BY seq DESC LIMIT 1",
            [origin],
            |row| Ok((number(row, 0)?, fixed(row, 1)?)),
        )
        .optional()?;
    let (events, digest) = newest.unwrap_or((0, [0; 32]));
    Ok(Head { origin: origin.to_owned(), events, digest })
}

fn stored(row: &Row<'_>) -> rusqlite::Result<StoredEvent> {
    Ok(StoredEvent {
        origin: row.get(0)?,
        seq: number(row, 1)?,
        at: row.get(2)?,
        person: row.get(3)?,
        station: row.get(4)?,
        kind: row.get(5)?,
        body: row.get(6)?,
        prev: fixed(row, 7)?,
        hash: fixed(row, 8)?,
        signer: fixed(row, 9)?,
        signature: fixed(row, 10)?,
    })
}

fn number(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let value: i64 = row.get(column)?;
    u64::try_from(value).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(column, value))
}

fn fixed<const N: usize>(row: &Row<'_>, column: usize) -> rusqlite::Result<[u8; N]> {
    let bytes: Vec<u8> = row.get(column)?;
    bytes.try_into().map_err(|wrong: Vec<u8>| {
        rusqlite::Error::FromSqlConversionFailure(
            column,
            rusqlite::types::Type::Blob,
            format!("{} bytes where {N} belong", wrong.len()).into(),
        )
    })
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
    let text = Zeroizing::new(std::fs::read_to_string(path).map_err(|_| wrong())?);
    let mut lines = text.lines();
    let mut seed = Zeroizing::new([0; 32]);
    let fits = lines.next() == Some(origin)
        && lines.next().is_some_and(|line| hex::decode_to_slice(line, &mut *seed).is_ok());
    let key = UnlockedKey::from_seed(String::new(), &seed);
    if fits && key.public() == public { Ok(key) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests;
