//! What can go wrong with the ledger, in words that say how to mend it.

use std::path::PathBuf;
use std::time::Duration;

/// What storage did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StorageFault {
    /// The disk is full.
    Full,
    /// The folder or disk can't be written.
    ReadOnly,
    /// Another program writes.
    Busy,
    /// The file is damaged or no ledger.
    Damaged,
    /// Reading or writing failed.
    Failed,
}

/// A ledger error. Where one comes out of an append, nothing of that append was stored. One case
/// can't be told apart: where the disk fails in the very act of storing ([`StorageFault::Failed`]),
/// the append is refused and may be there, whole, when the ledger is opened again.
#[derive(Debug, thiserror::Error)]
pub enum LedgerError {
    /// Storage failed.
    #[error("{}", storage_words(*.fault, .path))]
    Storage {
        /// In what way.
        fault: StorageFault,
        /// The file.
        path: PathBuf,
        /// What SQLite said.
        #[source]
        source: rusqlite::Error,
    },
    /// A file beside the database failed.
    #[error("The file {path} can't be used: {source}. Look at its disk and its permissions.")]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The ledger was written by a newer program.
    #[error(
        "The ledger {path} was written by a newer Coldbench (schema {found}, this one knows {known}). Use the newer one."
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: i64,
        /// The newest schema known here.
        known: i64,
    },
    /// The folder holds no ledger.
    #[error("There is no workshop in {path}.")]
    Absent {
        /// The file that was looked for.
        path: PathBuf,
    },
    /// The folder holds a ledger already.
    #[error("There is a workshop in {path} already.")]
    Present {
        /// The file.
        path: PathBuf,
    },
    /// The ledger was opened for reading.
    #[error("The workshop is open for reading only; nothing can be signed.")]
    ReadOnly,
    /// The installation's key is missing or does not fit.
    #[error(
        "The key of this installation ({path}) is missing or belongs to another ledger. Bring the file back from a backup; without it nothing can be noted."
    )]
    InstallationKey {
        /// The file.
        path: PathBuf,
    },
    /// A stored event can't be read.
    #[error("Event {seq} can't be read: {what}.")]
    Unreadable {
        /// Its number.
        seq: u64,
        /// Why.
        what: String,
    },
    /// The PIN is wrong.
    #[error("That PIN does not open the key.")]
    WrongPin {
        /// Whose.
        person: String,
    },
    /// Too many wrong PINs.
    #[error("Too many wrong PINs. Try again in {} s.", .wait.as_secs() + 1)]
    TooManyTries {
        /// How long to wait.
        wait: Duration,
    },
    /// The PIN is too short.
    #[error("A PIN has at least 4 characters.")]
    ShortPin,
    /// The person has a key already.
    #[error("{person} has a key already.")]
    HasKey {
        /// Who.
        person: String,
    },
    /// The key was ended while it was unlocked.
    #[error("The key of {person} that is unlocked here has ended. Unlock again.")]
    KeyEnded {
        /// Whose.
        person: String,
    },
    /// The clock shows a time that can't be written down.
    #[error(
        "The clock shows {at}, which is no time a record can carry. Put it right and do it again."
    )]
    Time {
        /// What it shows.
        at: String,
    },
    /// A number in a body would be stored as another one.
    #[error("The number {number} can't be written down exactly.")]
    Number {
        /// Which.
        number: serde_json::Number,
    },
    /// It does not hold.
    #[error(transparent)]
    Fault(#[from] crate::verify::VerifyFault),
    /// The person has no key.
    #[error("{person} has no key here.")]
    NoKey {
        /// Who.
        person: String,
    },
    /// A cryptographic library refused.
    #[error("The key could not be worked with: {0}.")]
    Crypto(&'static str),
    /// A body is no canonical JSON (a name twice, a number that is none).
    #[error("The event could not be written down: {0}.")]
    Body(#[from] serde_json::Error),
}

fn storage_words(fault: StorageFault, path: &std::path::Path) -> String {
    let path = path.display();
    match fault {
        StorageFault::Full => format!(
            "The disk is full, so this was not stored in {path}. What was signed before is kept. Make room and do it again."
        ),
        StorageFault::ReadOnly => format!(
            "{path} can't be opened or written: its disk or folder is read-only, or has a fault. What was signed before is kept. Make it writable and do it again."
        ),
        StorageFault::Busy => {
            format!("Another program is writing to {path}. Close it and do this again.")
        }
        StorageFault::Damaged => format!(
            "{path} is damaged or is no Coldbench ledger, or its disk can't be read. Leave the file as it is, look at the disk, and go back to a backup."
        ),
        StorageFault::Failed => format!(
            "{path} could not be read or written. What was signed before is kept. Look at the disk, open the workshop again, and see whether the last entry is there before you do it again."
        ),
    }
}

impl LedgerError {
    /// What storage did, where storage is at fault.
    pub fn fault(&self) -> Option<StorageFault> {
        match self {
            Self::Storage { fault, .. } => Some(*fault),
            _ => None,
        }
    }

    pub(crate) fn file(path: &std::path::Path) -> impl FnOnce(std::io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::File { path, source }
    }

    pub(crate) fn sqlite(path: &std::path::Path, source: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode as Code;
        // No room for the shared-memory file comes as a plain input/output error.
        let no_room = matches!(&source, rusqlite::Error::SqliteFailure(error, _)
            if error.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE);
        let fault = match source.sqlite_error_code() {
            _ if no_room => StorageFault::Full,
            Some(Code::DiskFull) => StorageFault::Full,
            Some(Code::ReadOnly | Code::PermissionDenied | Code::CannotOpen) => {
                StorageFault::ReadOnly
            }
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => StorageFault::Busy,
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => StorageFault::Damaged,
            _ => StorageFault::Failed,
        };
        Self::Storage { fault, path: path.to_owned(), source }
    }
}
