//! What this session saved and printed: only of that does the window ask again.

use crate::error::ShellError;
use crate::views::PrintedView;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command as Program, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// How long a desktop may take to say that it can't open a folder.
const OPENING: Duration = Duration::from_secs(2);

/// Files and print jobs of this session.
#[derive(Default)]
pub struct HandedOut {
    saved: Mutex<BTreeSet<PathBuf>>,
    jobs: Mutex<BTreeSet<String>>,
}

fn held<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

impl HandedOut {
    /// Notes what was saved or sent, and passes it on.
    pub fn note(&self, printed: PrintedView) -> PrintedView {
        if !printed.path.is_empty() {
            held(&self.saved).insert(PathBuf::from(&printed.path));
        }
        if let Some(job) = &printed.job {
            held(&self.jobs).insert(job.job.clone());
        }
        printed
    }

    /// Whether this session sent that job.
    pub fn sent(&self, job: &str) -> bool {
        held(&self.jobs).contains(job)
    }

    /// Opens the folder of a saved file in the desktop's file manager.
    ///
    /// # Errors
    /// [`ShellError::NoFileManager`] where none opens it, or the file is none that this session
    /// saved.
    pub fn open_folder(&self, file: &Path) -> Result<(), ShellError> {
        let folder = file.parent().filter(|_| held(&self.saved).contains(file));
        let Some(folder) = folder else {
            return Err(ShellError::Field {
                field: "path".to_owned(),
                message: format!("{} was not saved since Coldbench was started.", file.display()),
            });
        };
        // A path may be written from the working folder; never let it be read as an option.
        let whole = std::path::absolute(folder).map_err(ShellError::file(folder))?;
        open_by("xdg-open", &whole)
    }
}

/// A file manager may stay open as long as it likes; only a quick "no" is waited for.
fn open_by(program: &str, folder: &Path) -> Result<(), ShellError> {
    let none = || ShellError::NoFileManager { folder: folder.to_owned() };
    let mut child = Program::new(program)
        .arg(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|_| none())?;
    let begun = Instant::now();
    while begun.elapsed() < OPENING {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => return Ok(()),
            Ok(Some(_)) | Err(_) => return Err(none()),
            Ok(None) => std::thread::sleep(Duration::from_millis(50)),
        }
    }
    std::thread::spawn(move || child.wait());
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_folders_of_saved_files_are_opened() {
        let handed = HandedOut::default();
        let error = handed.open_folder(Path::new("/etc/passwd")).unwrap_err();
        assert_eq!(error.to_string(), "/etc/passwd was not saved since Coldbench was started.");
        assert!(!handed.sent("bench-1"));
    }

    #[test]
    fn no_file_manager_is_told_in_a_sentence() {
        let folder = std::env::temp_dir();
        for program in ["there-is-no-such-program-here", "false"] {
            let error = open_by(program, &folder).unwrap_err();
            assert!(error.to_string().starts_with("No file manager opens here."), "{error}");
        }
        open_by("true", &folder).unwrap();
    }
}
