//! The files of a ledger: how the database is opened, and the key beside it.

use super::Access;
use crate::canonical::sha256_hex;
use crate::error::LedgerError;
use crate::keys::UnlockedKey;
use rusqlite::{Connection, OpenFlags};
use std::io::{ErrorKind, Write as _};
use std::path::Path;
use std::time::Duration;
use zeroize::Zeroizing;

/// The id of an installation follows from its key, so that neither can be changed alone.
pub(crate) fn origin_of(public: &[u8; 32]) -> String {
    sha256_hex(public)[..32].to_owned()
}

pub(super) fn damaged(code: i32) -> rusqlite::Error {
    rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None)
}

pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, LedgerError> {
    Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
        .map_err(|source| LedgerError::sqlite(path, source))
}

/// On a disk that can't be written, SQLite can't keep its shared-memory file beside the
/// database; if nothing waits in a write-ahead log, the file may be read as it stands.
pub(super) fn connect_to_read(path: &Path) -> Result<Connection, LedgerError> {
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
pub(super) fn prepare(connection: &Connection, access: Access) -> rusqlite::Result<()> {
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

/// Makes a rename last: without this it may be gone after a loss of power.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), LedgerError> {
    if cfg!(unix) {
        std::fs::File::open(folder)
            .and_then(|folder| folder.sync_all())
            .map_err(LedgerError::file(folder))?;
    }
    Ok(())
}

pub(super) fn write_key(path: &Path, origin: &str, seed: &[u8; 32]) -> Result<(), LedgerError> {
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

pub(super) fn read_key(
    path: &Path,
    origin: &str,
    public: &[u8],
) -> Result<UnlockedKey, LedgerError> {
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
