//! The tables of the ledger, and how an older ledger becomes one of today.

use rusqlite::Transaction;

/// `CBLG`, so that another program's database is not taken for ours.
pub(crate) const APPLICATION_ID: i64 = 0x4342_4c47;
/// The newest schema this program knows; it writes no other.
pub(crate) const SCHEMA: i64 = 2;

/// Append-only is the schema's word, not a habit: triggers refuse change and removal, and a
/// number can neither be skipped nor used twice. Only the count of wrong PINs may change.
pub(crate) const CREATE: &str = "
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
    form INTEGER NOT NULL,
    subject TEXT NOT NULL,
    salt BLOB NOT NULL,
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
CREATE TABLE wrong_pin (
    person TEXT NOT NULL PRIMARY KEY,
    tries INTEGER NOT NULL
) STRICT;
";

/// Each entry leads from one schema to the next, from 1 on. What was stored stays as it is: its
/// hash has to come out for ever.
const STEPS: [&str; 1] = ["
ALTER TABLE event ADD COLUMN form INTEGER NOT NULL DEFAULT 1;
ALTER TABLE event ADD COLUMN subject TEXT NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN salt BLOB NOT NULL DEFAULT x'00000000000000000000000000000000';
CREATE TABLE wrong_pin (
    person TEXT NOT NULL PRIMARY KEY,
    tries INTEGER NOT NULL
) STRICT;
"];

/// Brings a ledger of schema `found` up to today's, in the transaction of the caller.
pub(crate) fn migrate(transaction: &Transaction<'_>, found: i64) -> rusqlite::Result<()> {
    let from = usize::try_from(found - 1).unwrap_or(usize::MAX);
    for step in STEPS.iter().skip(from) {
        transaction.execute_batch(step)?;
    }
    transaction.pragma_update(None, "user_version", SCHEMA)
}

/// The columns of an event in the order in which they are read. An older ledger on a disk that
/// can't be written is read as it is.
pub(crate) fn columns(schema: i64) -> &'static str {
    const NOW: &str = "origin, seq, at, person, station, kind, body, prev, hash, signer, signature, form, subject, salt";
    match schema {
        ..=1 => {
            "origin, seq, at, person, station, kind, body, prev, hash, signer, signature, 1, '', zeroblob(16)"
        }
        _ => NOW,
    }
}
