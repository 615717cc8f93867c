//! Making a record: drawing it, saving it whole, handing it to the print system.

use crate::bench_sheet::bench_sheet;
use crate::clearance_page::clearance_page;
use crate::crew_table::crew_table;
use crate::error::ShellError;
use crate::folder::write_whole;
use crate::hand_list::hand_list;
use crate::print_system::{self, ToPrint};
use crate::proof::Record;
use crate::rod_page::rod_page;
use crate::seal::Outgoing;
use crate::station_log::station_log;
use crate::table::{Asked, Form, table};
use crate::training::training;
use crate::views::{PaperWord, PrintView, PrintedView, SheetWord, TableWord};
use crate::workshop::Workshop;
use chrono::NaiveDate;
use coldbench_ledger::{Head, digest_hex};
use coldbench_record::{Paper, SingleSheet};
use coldbench_shop::{ClearanceId, Command, PersonId, RodId, StageId, StationId};
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

/// Draws a build log and saves it; the file is there whole or not at all.
pub fn save(
    workshop: &mut Workshop,
    rod: &RodId,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let record = Record::take(workshop, rod, paper)?;
    let file = record.going_out(workshop)?;
    let path = write(path, &file.bytes)?;
    note_printed(workshop, rod, record.head());
    Ok(file_saved(&path, &file))
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

fn file_saved(path: &Path, file: &Outgoing) -> PrintedView {
    let saved = saved(path);
    PrintedView { words: file.told(&saved.words), ..saved }
}

/// Draws the log of one day of a station as a PDF, sealed as of its last event.
pub fn draw_station_log(
    workshop: &Workshop,
    station: &StationId,
    day: &str,
    paper: PaperWord,
) -> Result<Outgoing, ShellError> {
    let log = log_of_day(workshop, station, day, paper)?;
    Ok(Outgoing::of(workshop, coldbench_record::station_log(&log)?, log.ledger.last))
}

/// What there is to say of one day of a station; `day` as in `2026-11-25`.
pub fn log_of_day(
    workshop: &Workshop,
    station: &StationId,
    day: &str,
    paper: PaperWord,
) -> Result<coldbench_record::StationLog, ShellError> {
    let no_day = || ShellError::Field {
        field: "day".to_owned(),
        message: "The day is missing. Write it as 2026-11-25.".to_owned(),
    };
    let day = day_of("day", day)?.ok_or_else(no_day)?;
    station_log(workshop, station, day, paper.into())
}

/// Draws it and saves it; the file is there whole or not at all.
pub fn save_station_log(
    workshop: &Workshop,
    station: &StationId,
    day: &str,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let file = draw_station_log(workshop, station, day, paper)?;
    Ok(file_saved(&write(path, &file.bytes)?, &file))
}

/// Which single sheet: of what kind, and of what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedSheet {
    /// The kind.
    pub sheet: SheetWord,
    /// The id of the rod, person or clearance it is about; empty where it is about the whole workshop.
    pub of: String,
    /// Asked for by those of one stage, else empty.
    pub stage: String,
}

/// What there is to print on a single sheet.
pub fn single_sheet(
    workshop: &Workshop,
    asked: &AskedSheet,
    paper: PaperWord,
) -> Result<SingleSheet, ShellError> {
    let AskedSheet { sheet, of, stage } = asked;
    let (rod, paper) = (&RodId::new(of), paper.into());
    Ok(match sheet {
        SheetWord::RodSheet => SingleSheet::Rod(rod_page(workshop, rod, paper)?),
        SheetWord::BenchSheet => {
            SingleSheet::Bench(bench_sheet(workshop, rod, &StageId::new(stage), paper)?)
        }
        SheetWord::ByHand => SingleSheet::ByHand(hand_list(workshop, stage, Some(rod), paper)?),
        SheetWord::Training => {
            SingleSheet::Training(training(workshop, &PersonId::new(of), paper)?)
        }
        SheetWord::CrewTable => SingleSheet::CrewTable(crew_table(workshop, paper)?),
        SheetWord::Clearance => {
            SingleSheet::Clearance(clearance_page(workshop, &ClearanceId::new(of), paper)?)
        }
    })
}

/// Draws a single sheet and saves it; the file is there whole or not at all.
pub fn save_sheet(
    workshop: &Workshop,
    asked: &AskedSheet,
    path: &Path,
    paper: PaperWord,
) -> Result<PrintedView, ShellError> {
    let sheet = single_sheet(workshop, asked, paper)?;
    Ok(saved(&write(path, &sheet.pdf()?)?))
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

fn day_of(field: &str, written: &str) -> Result<Option<NaiveDate>, ShellError> {
    let written = written.trim();
    if written.is_empty() {
        return Ok(None);
    }
    let day = NaiveDate::parse_from_str(written, "%Y-%m-%d");
    day.map(Some).map_err(|_| ShellError::Field {
        field: field.to_owned(),
        message: format!("“{written}” is no day. Write it as 2026-11-25."),
    })
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

/// Where a build log can go.
pub fn targets(rod: &RodId) -> PrintView {
    targets_of(format!("build-log-{}.pdf", rod.as_str().to_lowercase()))
}

/// Where the log of a day can go.
pub fn station_log_targets(station: &StationId, day: &str) -> PrintView {
    let name = format!("station-log-{}-{day}.pdf", station.as_str().to_lowercase());
    let plain = |c: char| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '-' };
    targets_of(name.chars().map(plain).collect())
}

fn targets_of(file: String) -> PrintView {
    let folder = dirs::document_dir().or_else(dirs::home_dir).unwrap_or_else(std::env::temp_dir);
    let (printers, printer_word) = match print_system::printers() {
        Ok(printers) if printers.is_empty() => {
            (printers, Some("No printer is set up on this machine.".to_owned()))
        }
        Ok(printers) => (printers, None),
        Err(words) => (Vec::new(), Some(words)),
    };
    PrintView { folder: folder.display().to_string(), file, printers, printer_word }
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

/// Draws a build log, hands it to a print queue, and follows the job for a few seconds. The
/// workshop is held only while it is read or written, not while a printer is waited for.
pub fn print(
    workshop: &Mutex<Workshop>,
    rod: &RodId,
    how: &Printing,
) -> Result<PrintedView, ShellError> {
    let record = Record::take(&held(workshop), rod, how.paper)?;
    let pdf = record.draw()?;
    let file = Outgoing::of(&held(workshop), pdf, record.last());
    let job = hand_over(&file.bytes, &format!("Build log {rod}"), how)?;
    note_printed(&mut held(workshop), rod, record.head());
    Ok(sent(job.as_deref(), how))
}

/// The same for the log of one day of a station; the ledger takes no note of that.
pub fn print_station_log(
    workshop: &Mutex<Workshop>,
    station: &StationId,
    day: &str,
    how: &Printing,
) -> Result<PrintedView, ShellError> {
    let log = log_of_day(&held(workshop), station, day, how.paper)?;
    let pdf = coldbench_record::station_log(&log)?;
    let file = Outgoing::of(&held(workshop), pdf, log.ledger.last);
    let job = hand_over(&file.bytes, &format!("Station log {station} {day}"), how)?;
    Ok(sent(job.as_deref(), how))
}

/// The same for a single sheet.
pub fn print_sheet(
    workshop: &Mutex<Workshop>,
    asked: &AskedSheet,
    how: &Printing,
) -> Result<PrintedView, ShellError> {
    let sheet = single_sheet(&held(workshop), asked, how.paper)?;
    let job = hand_over(&sheet.pdf()?, &sheet.title(), how)?;
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
    fn the_file_offered_is_a_plain_name() {
        let file = |station| station_log_targets(&StationId::new(station), "2026-11-25").file;
        assert_eq!(file("S-1"), "station-log-s-1-2026-11-25.pdf");
        assert_eq!(file("a/b\\c"), "station-log-a-b-c-2026-11-25.pdf");
    }

    #[test]
    fn what_was_sent_is_said_with_its_copies() {
        let how = |copies| Printing { printer: "bench".to_owned(), paper: PaperWord::A4, copies };
        let end = ". The print system names no job to follow.";
        assert_eq!(sent(None, &how(1)).words, format!("Sent to bench{end}"));
        assert_eq!(sent(None, &how(3)).words, format!("3 copies sent to bench{end}"));
    }
}
