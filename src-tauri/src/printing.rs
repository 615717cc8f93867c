//! Making a record: drawing it, saving it whole, sending it to a printer.

use crate::error::ShellError;
use crate::folder::write_whole;
use crate::proof::Record;
use crate::station_log::station_log;
use crate::views::{PaperWord, PrintView, PrintedView};
use crate::workshop::Workshop;
use coldbench_ledger::{Head, digest_hex};
use coldbench_record::Paper;
use coldbench_shop::{Command, RodId, StationId};
use std::path::{Path, PathBuf};
use std::process::Command as Program;

impl From<PaperWord> for Paper {
    fn from(word: PaperWord) -> Self {
        match word {
            PaperWord::A4 => Self::A4,
            PaperWord::Letter => Self::Letter,
        }
    }
}

/// Draws a build log and saves it; the file is there whole or not at all.
pub fn save(
    workshop: &mut Workshop,
    rod: &RodId,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let record = Record::take(workshop, rod, paper)?;
    let bytes = record.draw()?;
    let path = in_home(path);
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
    }
    write_whole(&path, &bytes)?;
    note_printed(workshop, rod, record.head());
    let shown = path.display().to_string();
    Ok(PrintedView { words: format!("Saved as {shown}."), path: shown })
}

/// Draws the log of one day of a station.
pub fn draw_station_log(
    workshop: &Workshop,
    station: &StationId,
    day: &str,
    paper: PaperWord,
) -> Result<Vec<u8>, ShellError> {
    let day =
        chrono::NaiveDate::parse_from_str(day, "%Y-%m-%d").map_err(|_| ShellError::Field {
            field: "day".to_owned(),
            message: format!("“{day}” is no day. Write it as 2026-11-25."),
        })?;
    let log = station_log(workshop, station, day, paper.into())?;
    Ok(coldbench_record::station_log(&log)?)
}

/// Draws it and saves it; the file is there whole or not at all.
pub fn save_station_log(
    workshop: &Workshop,
    station: &StationId,
    day: &str,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let bytes = draw_station_log(workshop, station, day, paper)?;
    let path = in_home(path);
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
    }
    write_whole(&path, &bytes)?;
    let shown = path.display().to_string();
    Ok(PrintedView { words: format!("Saved as {shown}."), path: shown })
}

/// A digest that left the house vouches for what came before; the ledger notes it. Where nobody
/// is unlocked or the workshop is read-only, the paper is good all the same.
fn note_printed(workshop: &mut Workshop, rod: &RodId, head: &Head) {
    let (head, events) = (digest_hex(&head.digest), head.events);
    let noted = workshop.act(Command::RecordPrinted { rod: rod.clone(), head, events });
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

/// Where a record of this rod can go.
pub fn targets(rod: &RodId) -> PrintView {
    let folder = dirs::document_dir().or_else(dirs::home_dir).unwrap_or_else(std::env::temp_dir);
    let (printers, printer_word) = match printers() {
        Ok(printers) if printers.is_empty() => {
            (printers, Some("No printer is set up on this machine.".to_owned()))
        }
        Ok(printers) => (printers, None),
        Err(words) => (Vec::new(), Some(words)),
    };
    PrintView {
        folder: folder.display().to_string(),
        file: format!("build-log-{}.pdf", rod.as_str().to_lowercase()),
        printers,
        printer_word,
    }
}

/// The print queues that CUPS knows.
fn printers() -> Result<Vec<String>, String> {
    let output = Program::new("lpstat").arg("-e").env("LC_ALL", "C").output().map_err(|_| {
        "Printing needs CUPS (the package cups-client), which is not on this machine.".to_owned()
    })?;
    let names = String::from_utf8_lossy(&output.stdout);
    Ok(names.lines().map(str::trim).filter(|name| !name.is_empty()).map(str::to_owned).collect())
}

/// Draws a build log and hands it to a print queue.
pub fn print(
    workshop: &mut Workshop,
    rod: &RodId,
    printer: &str,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let failed = |words: String| ShellError::Printing { printer: printer.to_owned(), words };
    // A name from the screen goes to another program: only one that CUPS itself gave.
    if !printers().map_err(failed)?.iter().any(|known| known == printer) {
        return Err(failed("it is not known to this machine.".to_owned()));
    }
    let record = Record::take(workshop, rod, paper)?;
    let bytes = record.draw()?;
    let spool = std::env::temp_dir();
    let mut file = tempfile::Builder::new()
        .prefix("coldbench-")
        .suffix(".pdf")
        .tempfile_in(&spool)
        .map_err(ShellError::file(&spool))?;
    std::io::Write::write_all(&mut file, &bytes).map_err(ShellError::file(file.path()))?;
    let media = match paper {
        PaperWord::A4 => "media=A4",
        PaperWord::Letter => "media=Letter",
    };
    let output = Program::new("lp")
        .args(["-d", printer, "-o", media, "-t"])
        .arg(format!("Build log {rod}"))
        .arg(file.path())
        .env("LC_ALL", "C")
        .output()
        .map_err(|error| failed(error.to_string()))?;
    if !output.status.success() {
        return Err(failed(String::from_utf8_lossy(&output.stderr).trim().to_owned()));
    }
    note_printed(workshop, rod, record.head());
    let job = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    Ok(PrintedView { path: String::new(), words: format!("Sent to {printer}: {job}.") })
}
