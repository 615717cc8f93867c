//! The folder of a workshop: its lock, its checklists, its log file.

use crate::error::ShellError;
use coldbench_ledger::sha256_hex;
use coldbench_shop::{Flaw, Library, SourceFile, TextDigest};
use include_dir::{Dir, include_dir};
use std::fs::{self, File, TryLockError};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};
use tracing_appender::rolling::{RollingFileAppender, Rotation};

/// The checklists that come with Coldbench.
static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../checklists");
pub const CHECKLISTS: &str = "checklists";
/// Records of rods that were built in other workshops.
pub const RECORDS: &str = "records";
const LOCK: &str = "coldbench.lock";
const LOG: &str = "log";
/// A program that was killed lets go of its lock when its last thread is gone, a moment later.
const MOMENT: Duration = Duration::from_millis(100);
const PATIENCE: usize = 15;

/// Whether a workshop may be made here: the folder is empty or not there yet. What an earlier,
/// broken-off start left does not count.
pub fn is_free(folder: &Path) -> Result<bool, ShellError> {
    match fs::read_dir(folder) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(ShellError::file(folder)(error)),
        Ok(entries) => {
            let ours = [CHECKLISTS, LOCK, LOG, "installation.key", "unfinished"];
            let is_ours = |name: &str| ours.contains(&name) || name.starts_with("ledger.new");
            Ok(entries.flatten().all(|entry| entry.file_name().to_str().is_some_and(is_ours)))
        }
    }
}

/// The lock of a folder, held as long as the value lives.
pub struct FolderLock(#[expect(dead_code, reason = "held, never looked at")] File);

impl FolderLock {
    /// Takes the lock, or says `None` if another window has it.
    pub fn take(folder: &Path) -> Result<Option<Self>, ShellError> {
        let path = folder.join(LOCK);
        let file = File::options()
            .create(true)
            .write(true)
            .truncate(false)
            .open(&path)
            .map_err(ShellError::file(&path))?;
        for _ in 0..PATIENCE {
            match file.try_lock() {
                Ok(()) => return Ok(Some(Self(file))),
                Err(TryLockError::WouldBlock) => std::thread::sleep(MOMENT),
                Err(TryLockError::Error(error)) => return Err(ShellError::file(&path)(error)),
            }
        }
        Ok(None)
    }
}

/// The id of the installation a folder belongs to, as its key file says; it is needed where the
/// ledger itself can't be read.
pub fn origin(folder: &Path) -> Option<String> {
    let text = fs::read_to_string(folder.join("installation.key")).ok()?;
    text.lines().next().map(str::to_owned)
}

/// What comes with Coldbench. A workshop needs no copy of it: a file of its own with the same id takes
/// its place.
fn shipped() -> impl Iterator<Item = SourceFile> {
    let mut files: Vec<_> = SHIPPED.dirs().flat_map(Dir::files).collect();
    files.sort_by_key(|file| file.path());
    files.into_iter().filter(|file| file.path().extension().is_some_and(|end| end == "toml")).map(
        |file| {
            source_file(format!("{} of Coldbench", file.path().display()), file.contents(), true)
        },
    )
}

/// Reads all checklists of a workshop: what comes with Coldbench, and the shop's own. A file that
/// can't be read is a finding, not the end.
pub fn load_library(folder: &Path) -> Library {
    read_own(&folder.join(CHECKLISTS))
}

/// What comes with Coldbench, and over it the files at or below `path`.
pub fn read_own(path: &Path) -> Library {
    Library::load(shipped().chain(files_at(path)))
}

/// What comes with Coldbench and a workshop's own files, with one more text that stands in no file yet,
/// or in the place of one.
pub fn load_with(folder: &Path, path: &str, text: &str) -> Library {
    let own = files_at(&folder.join(CHECKLISTS)).into_iter().filter(|file| file.path != path);
    let written = source_file(path.to_owned(), text.as_bytes(), false);
    Library::load(shipped().chain(own).chain([written]))
}

/// Reads the checklist files at or below `path`, and nothing else.
pub fn read_library(path: &Path) -> Library {
    Library::load(files_at(path))
}

/// A sign that changes when a workshop's own files do.
pub fn stamp(folder: &Path) -> Vec<(PathBuf, Option<SystemTime>, u64)> {
    let mut files = Vec::new();
    collect(&folder.join(CHECKLISTS), &mut files);
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let known = fs::metadata(&path).ok();
            let changed = known.as_ref().and_then(|known| known.modified().ok());
            (path, changed, known.map_or(0, |known| known.len()))
        })
        .collect()
}

fn files_at(path: &Path) -> Vec<SourceFile> {
    let mut files = Vec::new();
    collect(path, &mut files);
    files.sort();
    let base = if path.is_dir() { path } else { path.parent().unwrap_or(path) };
    files
        .into_iter()
        .map(|file| {
            let shown = file.strip_prefix(base).unwrap_or(&file).display().to_string();
            match fs::read(&file) {
                Ok(bytes) => source_file(shown, &bytes, false),
                Err(error) => SourceFile {
                    flaw: Some(Flaw::Unreadable(error.to_string())),
                    ..source_file(shown, &[], false)
                },
            }
        })
        .collect()
}

fn source_file(path: String, bytes: &[u8], shipped: bool) -> SourceFile {
    let error = std::str::from_utf8(bytes).err();
    SourceFile {
        path,
        digest: TextDigest::new(sha256_hex(bytes)),
        text: String::from_utf8_lossy(bytes).into_owned(),
        flaw: error.map(|error| Flaw::NotUtf8(error.valid_up_to())),
        shipped,
    }
}

fn collect(path: &Path, files: &mut Vec<PathBuf>) {
    if path.is_file() {
        files.push(path.to_owned());
        return;
    }
    let Ok(entries) = fs::read_dir(path) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|end| end == "toml") {
            files.push(path);
        }
    }
}

/// Writes a file whole or not at all: into a neighbour first, synced, then renamed over it.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), ShellError> {
    let failed = |source| ShellError::File { path: path.to_owned(), source };
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file =
        tempfile::Builder::new().prefix(".coldbench-").tempfile_in(parent).map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    // A temporary file is for its owner alone; a record is to be handed on.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let readable = fs::Permissions::from_mode(0o644);
        file.as_file().set_permissions(readable).map_err(failed)?;
    }
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}

/// Notes what the program does in the workshop's own folder, a file a day, seven kept. What is
/// typed at the bench, PINs above all, never goes in. Without a folder to write to, no log.
pub fn start_log(folder: &Path) {
    let folder = folder.join(LOG);
    if fs::create_dir_all(&folder).is_err() {
        return;
    }
    let appender = RollingFileAppender::builder()
        .rotation(Rotation::DAILY)
        .filename_prefix("coldbench")
        .filename_suffix("log")
        .max_log_files(7)
        .build(folder);
    if let Ok(appender) = appender {
        // A second window in one process keeps the first log; there is none in practice.
        let _ = tracing_subscriber::fmt()
            .with_writer(std::sync::Mutex::new(appender))
            .with_ansi(false)
            .try_init();
    }
}
