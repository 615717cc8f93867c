//! Making a record: drawing it, saving it whole, handing it to the print system.

use crate::error::ShellError;
use crate::folder::write_whole;
use crate::print_system::{self, ToPrint};
use crate::printable::{Taken, day_of};
use crate::table::{Asked, Form, table};
use crate::views::{PaperWord, PrintView, Printable, PrintedView, TableWord};
use crate::workshop::Workshop;
use coldbench_ledger::digest_hex;
use coldbench_record::Paper;
use coldbench_shop::{Command, RodId};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

impl From<PaperWord> for Paper {
    fn from(word: PaperWord) -> Self {
        match word {
            PaperWord::A4 => Self::A4,
            PaperWord::Letter => Self::Letter,
        }
    }
}

/// Draws something, seals it where it is a log, and saves it; the file is there whole or not at all. The
/// workshop is held only while it is read or written, not while pages are drawn.
pub fn save(
    workshop: &Mutex<Workshop>,
    what: &Printable,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let taken = Taken::of(&held(workshop), what, paper)?;
    let pdf = taken.pdf()?;
    let file = taken.seal(&held(workshop), pdf);
    let saved = saved(&write(path, &file.bytes)?);
    note_printed(workshop, &taken);
    Ok(PrintedView { words: file.told(&saved.words), ..saved })
}

/// Writes a file whole or not at all, in a folder that is made if need be; gives where it is.
fn write(path: &Path, bytes: &[u8]) -> Result<PathBuf, ShellError> {
    let path = in_home(path);
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
    }
    write_whole(&path, bytes)?;
    Ok(path)
}

fn saved(path: &Path) -> PrintedView {
    let path = path.display().to_string();
    PrintedView { words: format!("Saved as {path}."), path, job: None }
}

/// Rows for other programs of one rod, or of all that happened from a day on and up to a day, each as
/// in `2026-11-25`; empty: without end.
pub fn save_table(
    workshop: &Workshop,
    rod: Option<RodId>,
    (from, to): (&str, &str),
    form: TableWord,
    path: &Path,
) -> Result<PrintedView, ShellError> {
    let asked = Asked { rod, from: day_of("from", from)?, to: day_of("to", to)? };
    let form = match form {
        TableWord::Csv => Form::Csv,
        TableWord::Json => Form::Json,
    };
    Ok(saved(&write(path, &table(workshop, &asked, form)?)?))
}

/// A digest that left the house vouches for what came before; the ledger notes that of a build log. Where
/// nobody is unlocked or the workshop is read-only, the paper is good all the same.
fn note_printed(workshop: &Mutex<Workshop>, taken: &Taken) {
    let Taken::BuildLog(record) = taken else { return };
    let (head, events) = (digest_hex(&record.head().digest), record.head().events);
    let noted = held(workshop).act(Command::RecordPrinted { rod: record.rod(), head, events });
    if let Err(error) = noted {
        tracing::info!(%error, "printed without a note");
    }
}

/// `~` as a person writes it.
pub fn in_home(path: &Path) -> PathBuf {
    match (path.strip_prefix("~"), dirs::home_dir()) {
        (Ok(rest), Some(home)) => home.join(rest),
        _ => path.to_owned(),
    }
}

/// Where something printed can go.
pub fn targets(what: &Printable) -> PrintView {
    let (printers, printer_word) = match print_system::printers() {
        Ok(printers) if printers.is_empty() => {
            (printers, Some("No printer is set up on this machine.".to_owned()))
        }
        Ok(printers) => (printers, None),
        Err(words) => (Vec::new(), Some(words)),
    };
    PrintView { folder: folder(), file: what.file_name(), printers, printer_word }
}

/// The folder offered for files.
pub fn folder() -> String {
    let folder = dirs::document_dir().or_else(dirs::home_dir).unwrap_or_else(std::env::temp_dir);
    folder.display().to_string()
}

/// On which printer, on what paper, and how often.
pub struct Printing {
    /// The name of a queue.
    pub printer: String,
    /// On what.
    pub paper: PaperWord,
    /// From 1 to 20.
    pub copies: u32,
}

/// Draws something, hands it to a print queue, and follows the job for a few seconds. The workshop is
/// held only while it is read or written, not while a printer is waited for.
pub fn print(
    workshop: &Mutex<Workshop>,
    what: &Printable,
    how: &Printing,
) -> Result<PrintedView, ShellError> {
    let taken = Taken::of(&held(workshop), what, how.paper)?;
    let pdf = taken.pdf()?;
    let file = taken.seal(&held(workshop), pdf);
    let job = hand_over(&file.bytes, &taken.title(), how)?;
    note_printed(workshop, &taken);
    Ok(sent(job.as_deref(), how))
}

fn held(workshop: &Mutex<Workshop>) -> MutexGuard<'_, Workshop> {
    workshop.lock().unwrap_or_else(PoisonError::into_inner)
}

fn hand_over(pdf: &[u8], title: &str, how: &Printing) -> Result<Option<String>, ShellError> {
    let Printing { printer, paper, copies } = how;
    print_system::hand_over(&ToPrint { pdf, title, printer, paper: *paper, copies: *copies })
}

fn sent(job: Option<&str>, how: &Printing) -> PrintedView {
    let Printing { printer, copies, .. } = how;
    let copies = if *copies == 1 { String::new() } else { format!("{copies} copies ") };
    let words = match job {
        Some(job) => format!("{copies}sent to {printer}, job {job}."),
        None => format!("{copies}sent to {printer}. The print system names no job to follow."),
    };
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    let words = first + letters.as_str();
    PrintedView { path: String::new(), words, job: job.map(print_system::follow) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_sent_is_said_with_its_copies() {
        let how = |copies| Printing { printer: "bench".to_owned(), paper: PaperWord::A4, copies };
        let end = ". The print system names no job to follow.";
        assert_eq!(sent(None, &how(1)).words, format!("Sent to bench{end}"));
        assert_eq!(sent(None, &how(3)).words, format!("3 copies sent to bench{end}"));
    }
}
