//! Everything that can go wrong in the shell, and how it crosses to the screen.

use crate::views::Trouble;
use coldbench_ledger::{LedgerError, StorageFault};
use coldbench_record::RecordError;
use coldbench_shop::Refusal;
use std::path::PathBuf;

/// A shell error; its text is for the person at the bench.
#[derive(Debug, thiserror::Error)]
pub enum ShellError {
    /// A rule refused it.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The ledger failed.
    #[error(transparent)]
    Ledger(#[from] LedgerError),
    /// A record could not be drawn.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// A file could not be read or written.
    #[error("{}", file_words(.path, .source))]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// A workshop can't be made in a folder with other things in it.
    #[error("The folder {} holds other files and no workshop. Choose an empty folder, or one that does not exist yet.", .path.display())]
    NotEmpty {
        /// The folder.
        path: PathBuf,
    },
    /// The workshop is open for reading.
    #[error("{reason} Nothing can be signed or changed here.")]
    ReadOnly {
        /// Why.
        reason: String,
    },
    /// Nobody's key is unlocked.
    #[error("Unlock with your name and PIN first.")]
    Locked,
    /// A checklist is missing or can't be used.
    #[error(
        "The checklist “{what}” is missing or can't be used. Look at the findings on the rack."
    )]
    NoChecklist {
        /// Which.
        what: String,
    },
    /// The rows for other programs can't be written.
    #[error("The table can't be written: {0}.")]
    Table(String),
    /// A field of a form.
    #[error("{message}")]
    Field {
        /// Its name.
        field: String,
        /// What is wrong with it.
        message: String,
    },
    /// The machine's printing failed.
    #[error("The printer “{printer}” took nothing: {words}")]
    Printing {
        /// Which.
        printer: String,
        /// What the print system said.
        words: String,
    },
    /// No desktop opens a folder here.
    #[error("No file manager opens here. The file is in the folder {}.", .folder.display())]
    NoFileManager {
        /// The folder.
        folder: PathBuf,
    },
    /// An event was written past the rules.
    #[error(transparent)]
    Audit(#[from] coldbench_shop::AuditFault),
    /// A record can't be read or does not hold.
    #[error(transparent)]
    Extract(#[from] coldbench_ledger::ExtractError),
    /// A PDF can't be read.
    #[error(transparent)]
    Pdf(#[from] coldbench_record::ReadError),
    /// The seal on a PDF does not hold.
    #[error(transparent)]
    Seal(#[from] coldbench_seal::SealFault),
    /// No seal could be made.
    #[error(transparent)]
    Sealing(#[from] coldbench_seal::SealError),
    /// A seal holds, and is somebody else's.
    #[error(
        "The seal on this PDF is not this workshop's: its certificate has the fingerprint {found}, and this workshop's has {here}."
    )]
    OtherSeal {
        /// The fingerprint in the file.
        found: String,
        /// The workshop's.
        here: String,
    },
    /// A page of a PDF is not what its record says.
    #[error("Page {page} of this PDF does not hold: {why}.")]
    OtherPage {
        /// Which page, from 1.
        page: usize,
        /// Why.
        why: String,
    },
    /// The text of a PDF is as its record says, its bytes are not.
    #[error(
        "This PDF was changed after it was drawn: its text is that of the record inside, but something on its pages is not."
    )]
    ChangedFile,
    /// The record and the workshop are of two histories.
    #[error(
        "This record is not of this workshop: it was written by the installation {found}, and this one is {here}."
    )]
    OtherOrigin {
        /// The record's.
        found: String,
        /// The workshop's.
        here: String,
    },
    /// A settings file can't be read.
    #[error("{} can't be read: {words}. Mend the file, or remove it and set it anew in the window.", .path.display())]
    Settings {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        words: String,
    },
    /// The desktop can't be asked.
    #[error("The desktop could not be asked: {0}.")]
    NoDesktop(String),
    /// The desktop shows no notifications.
    #[error(
        "This desktop shows no notifications. Alarms stand along the top of the window, and are heard."
    )]
    NoNotifications,
    /// Nothing here can speak.
    #[error(
        "Nothing on this machine can read aloud. Install the package espeak-ng, or speech-dispatcher, and press again."
    )]
    NoVoice,
    /// What speaks failed.
    #[error("The voice did not start: {0}.")]
    Voice(String),
    /// The system names no folder for settings.
    #[error(
        "This system names no folder for settings (neither XDG_CONFIG_HOME nor HOME is set), so nothing is kept and all is as it comes."
    )]
    NoSettingsFolder,
    /// A record of the workshop itself.
    #[error("This record is of this very workshop, which holds it already.")]
    OwnRecord,
    /// A newer record of the same rod is there.
    #[error("A newer record of {id} is here already.")]
    OlderRecord {
        /// Which.
        id: String,
    },
    /// A ledger that is whole is not put aside.
    #[error("The ledger of this workshop holds; there is nothing to bring back.")]
    NotDamaged,
    /// Another window is at work.
    #[error("Another Coldbench window has this workshop open. Close it and do this again.")]
    OtherWindow,
    /// The folder for backups is not known.
    #[error("No folder for backups is named yet. Name one, best on another disk.")]
    NoBackupFolder,
    /// There is no backup.
    #[error("There is no backup of this workshop in {}.", .path.display())]
    NoBackup {
        /// Where one was looked for.
        path: PathBuf,
    },
    /// There is no screen to open a window on.
    #[error(
        "There is no screen here to open the window on (neither DISPLAY nor WAYLAND_DISPLAY is set). Start Coldbench from a desktop."
    )]
    NoScreen,
    /// The window could not be opened.
    #[error("The window could not be opened: {0}")]
    Window(#[from] tauri::Error),
}

fn file_words(path: &std::path::Path, source: &std::io::Error) -> String {
    use std::io::ErrorKind as Kind;
    let path = path.display();
    match source.kind() {
        Kind::NotFound => format!("{path} is not there. Check the path."),
        Kind::PermissionDenied => {
            format!("{path} may not be written or read by you. Check its permissions.")
        }
        Kind::ReadOnlyFilesystem => {
            format!("{path} lies on a read-only disk. Choose another place.")
        }
        Kind::StorageFull => {
            format!("The disk of {path} is full. Make room, or choose another place.")
        }
        _ => format!("{path} can't be used: {source}."),
    }
}

impl ShellError {
    /// Rows that can't be written.
    pub fn table(error: impl std::fmt::Display) -> Self {
        Self::Table(error.to_string())
    }

    /// An error about a file.
    pub fn file(path: impl Into<PathBuf>) -> impl FnOnce(std::io::Error) -> Self {
        let path = path.into();
        move |source| Self::File { path, source }
    }

    /// A stable name on which a screen may switch.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Refused(refusal) => refusal.code(),
            Self::Ledger(LedgerError::WrongPin { .. } | LedgerError::TooManyTries { .. }) => {
                "wrong-pin"
            }
            Self::Ledger(LedgerError::ShortPin) | Self::Field { .. } => "bad-input",
            Self::Ledger(error) => match error.fault() {
                Some(StorageFault::Full) => "disk-full",
                Some(StorageFault::Damaged) => "damaged",
                _ => "storage",
            },
            Self::ReadOnly { .. } => "read-only",
            Self::Locked => "locked",
            Self::NoChecklist { .. } => "no-checklist",
            Self::File { .. } | Self::NotEmpty { .. } => "file",
            Self::Printing { .. } => "printing",
            Self::NoFileManager { .. } => "no-file-manager",
            Self::NoBackupFolder | Self::NoBackup { .. } | Self::Settings { .. } => "no-backup",
            Self::NoVoice => "no-voice",
            Self::NoSettingsFolder
            | Self::NoDesktop(_)
            | Self::NoNotifications
            | Self::Voice(_)
            | Self::Record(_)
            | Self::Table(_)
            | Self::Audit(_)
            | Self::Extract(_)
            | Self::Pdf(_)
            | Self::Seal(_)
            | Self::Sealing(_)
            | Self::OtherSeal { .. }
            | Self::OtherPage { .. }
            | Self::ChangedFile
            | Self::OtherOrigin { .. }
            | Self::NotDamaged
            | Self::OwnRecord
            | Self::OlderRecord { .. }
            | Self::OtherWindow
            | Self::Window(_)
            | Self::NoScreen => "failed",
        }
    }
}

impl From<ShellError> for Trouble {
    fn from(error: ShellError) -> Self {
        let field = match &error {
            ShellError::Field { field, .. } => Some(field.clone()),
            ShellError::Ledger(LedgerError::ShortPin) => Some("pin".to_owned()),
            _ => None,
        };
        Self { code: error.code().to_owned(), message: error.to_string(), field }
    }
}
