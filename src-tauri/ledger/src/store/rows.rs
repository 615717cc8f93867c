//! Rows of the database as values, each column checked.

use crate::error::LedgerError;
use crate::event::{Form, StoredEvent, Told};
use crate::keys::SealedKey;
use rusqlite::Row;
use std::path::Path;

pub(super) fn stored(row: &Row<'_>) -> rusqlite::Result<StoredEvent> {
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

pub(super) fn told(row: &Row<'_>) -> rusqlite::Result<Told> {
    Ok(Told {
        origin: row.get(0)?,
        seq: number(row, 1)?,
        at: row.get(2)?,
        person: row.get(3)?,
        kind: row.get(4)?,
        body: row.get(5)?,
    })
}

pub(super) fn sealed_key(row: &Row<'_>) -> rusqlite::Result<SealedKey> {
    Ok(SealedKey {
        public: fixed(row, 0)?,
        kdf: row.get(1)?,
        salt: fixed(row, 2)?,
        nonce: fixed(row, 3)?,
        sealed: row.get(4)?,
    })
}

/// A row that SQLite gave and that is no event: it is named.
pub(super) fn unreadable(path: &Path, seq: u64, error: rusqlite::Error) -> LedgerError {
    match error {
        error @ rusqlite::Error::SqliteFailure(..) => LedgerError::sqlite(path, error),
        other => LedgerError::Unreadable { seq, what: other.to_string() },
    }
}

pub(super) fn number(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let value: i64 = row.get(column)?;
    u64::try_from(value).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(column, value))
}

pub(super) fn fixed<const N: usize>(row: &Row<'_>, column: usize) -> rusqlite::Result<[u8; N]> {
    use rusqlite::types::{FromSqlError, Type};
    let failed = |error: Box<dyn std::error::Error + Send + Sync>| {
        rusqlite::Error::FromSqlConversionFailure(column, Type::Blob, error)
    };
    let bytes =
        row.get_ref(column)?.as_blob().map_err(|error: FromSqlError| failed(error.into()))?;
    bytes.try_into().map_err(|_| failed(format!("{} bytes where {N} belong", bytes.len()).into()))
}
