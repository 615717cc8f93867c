//! Copies of a ledger in another place, checked after writing and before use.
//!
//! A backup is a folder with the database, written by SQLite's own backup, and the key of the
//! installation. It gets its name once it is whole, on the disk, and verified.

use crate::canonical::digest_hex;
use crate::error::LedgerError;
use crate::event::NewEvent;
use crate::store::{Access, FILE, Head, KEY_FILE, Ledger, connect, sync_folder};
use crate::verify::VerifyReport;
use chrono::{DateTime, FixedOffset};
use rusqlite::OpenFlags;
use rusqlite::backup::Backup;
use serde_json::json;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What a folder is called while it is being filled.
const UNFINISHED: &str = "unfinished";

/// Copies the ledger in `folder` into the new folder `into` and verifies the copy. The ledger may
/// be open for writing meanwhile. `beside` may put more into the folder before it gets its name.
pub fn back_up(
    folder: &Path,
    into: &Path,
    beside: impl FnOnce(&Path) -> std::io::Result<()>,
) -> Result<VerifyReport, LedgerError> {
    let making = into.with_extension(UNFINISHED);
    remove_unfinished(&making)?;
    std::fs::create_dir_all(&making).map_err(LedgerError::file(&making))?;
    let copied = copy(folder, &making)
        .and_then(|()| beside(&making).map_err(LedgerError::file(&making)))
        .and_then(|()| check(&making));
    let report = match copied {
        Ok(report) => report,
        Err(error) => {
            // Nothing that looks like a backup may be left of it.
            let _ = std::fs::remove_dir_all(&making);
            return Err(error);
        }
    };
    std::fs::rename(&making, into).map_err(LedgerError::file(into))?;
    sync_folder(into.parent().unwrap_or(into))?;
    Ok(report)
}

fn remove_unfinished(making: &Path) -> Result<(), LedgerError> {
    match std::fs::remove_dir_all(making) {
        Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
            Err(LedgerError::File { path: making.to_owned(), source })
        }
        _ => Ok(()),
    }
}

/// Opens a backup, or any folder with a ledger, and verifies it whole.
pub fn check(folder: &Path) -> Result<VerifyReport, LedgerError> {
    let ledger = Ledger::open(folder, Access::Read)?;
    ledger.check_file()?;
    ledger.verify(&[])
}

/// The newest event of a backup, read and not verified.
pub fn head_of(folder: &Path) -> Result<Head, LedgerError> {
    Ok(Ledger::open(folder, Access::Read)?.head().clone())
}

/// Brings a backup, verified first, into a folder that holds no ledger, verifies it there, and
/// notes in it that this was done, so that the history says so itself.
pub fn restore(
    backup: &Path,
    into: &Path,
    at: DateTime<FixedOffset>,
) -> Result<VerifyReport, LedgerError> {
    if Ledger::exists(into) {
        return Err(LedgerError::Present { path: into.join(FILE) });
    }
    let held = check(backup)?;
    std::fs::create_dir_all(into).map_err(LedgerError::file(into))?;
    let making = into.join(UNFINISHED);
    remove_unfinished(&making)?;
    std::fs::create_dir_all(&making).map_err(LedgerError::file(&making))?;
    copy(backup, &making)?;
    check(&making)?;
    // The key first: a ledger without its key can't be written, a key without ledger is nothing.
    for name in [KEY_FILE, FILE] {
        let (from, to) = (making.join(name), into.join(name));
        std::fs::rename(&from, &to).map_err(LedgerError::file(&to))?;
    }
    std::fs::remove_dir(&making).map_err(LedgerError::file(&making))?;
    sync_folder(into)?;
    let mut ledger = Ledger::open(into, Access::Write)?;
    let head = ledger.head();
    let body = json!({ "events": head.events, "head": digest_hex(&head.digest) });
    ledger.append(
        vec![NewEvent {
            at,
            station: String::new(),
            kind: crate::authority::RESTORED.to_owned(),
            subject: crate::authority::OWN_SUBJECT.to_owned(),
            body,
        }],
        Vec::new(),
        None,
    )?;
    Ok(held)
}

/// Moves a damaged ledger out of the way, into a new folder beside it, where it is kept. Nothing
/// may have it open.
pub fn set_aside(folder: &Path, aside: &Path) -> Result<(), LedgerError> {
    std::fs::create_dir(aside).map_err(LedgerError::file(aside))?;
    for name in [FILE, "ledger.db-wal", "ledger.db-shm", "ledger.db-journal"] {
        let from = folder.join(name);
        match std::fs::rename(&from, aside.join(name)) {
            Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
                return Err(LedgerError::File { path: from, source });
            }
            _ => {}
        }
    }
    // The key stays where it is and is copied: it is not what is damaged.
    let key = folder.join(KEY_FILE);
    if key.exists() {
        std::fs::copy(&key, aside.join(KEY_FILE)).map_err(LedgerError::file(&key))?;
    }
    sync_folder(aside)?;
    sync_folder(folder)
}

fn copy(from: &Path, into: &Path) -> Result<(), LedgerError> {
    let (source, target): (PathBuf, PathBuf) = (from.join(FILE), into.join(FILE));
    let reader = Ledger::open(from, Access::Read)?;
    let at = |error| LedgerError::sqlite(&target, error);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
    let mut writer = connect(&target, flags)?;
    writer.pragma_update(None, "synchronous", "full").map_err(at)?;
    let backup = Backup::new(reader.connection(), &mut writer)
        .map_err(|error| LedgerError::sqlite(&source, error))?;
    // In one step: the write-ahead log lets a writer go on beside it, and a copy in many steps
    // would begin anew whenever one does.
    backup.run_to_completion(i32::MAX, Duration::from_millis(1), None).map_err(at)?;
    drop(backup);
    // One file, without a log beside it: so it can be read from a disk that can't be written.
    writer.pragma_update_and_check(None, "journal_mode", "delete", |_| Ok(())).map_err(at)?;
    writer.close().map_err(|(_, error)| at(error))?;
    let (key, copy) = (from.join(KEY_FILE), into.join(KEY_FILE));
    std::fs::copy(&key, &copy).map_err(LedgerError::file(&key))?;
    std::fs::File::open(&copy)
        .and_then(|file| file.sync_all())
        .map_err(LedgerError::file(&copy))?;
    sync_folder(into)
}
