//! What goes on paper.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, told};
use crate::error::ShellError;
use crate::handed_out::HandedOut;
use crate::preview::{Previews, Subject};
use crate::printing::{AskedSheet, Printing};
use crate::proof::Record;
use crate::views::{JobView, PaperWord, PreviewView, PrintView, PrintedView, SheetWord, TableWord};
use crate::{print_system, printing};
use coldbench_shop::{RodId, StationId};
use std::path::PathBuf;
use tauri::State;

/// Where a build log can go.
#[tauri::command(async)]
pub fn print_targets(rod: String) -> PrintView {
    printing::targets(&RodId::new(rod))
}

/// Where the log of one day of a station can go.
#[tauri::command(async)]
pub fn station_log_targets(station: String, day: String) -> PrintView {
    printing::station_log_targets(&StationId::new(station), &day)
}

/// One page of a build log as it will be printed.
#[tauri::command(async)]
pub fn preview_record(
    open: State<'_, Open>,
    previews: State<'_, Previews>,
    rod: String,
    paper: PaperWord,
    page: u32,
) -> Answered<PreviewView> {
    let rod = RodId::new(rod);
    let draw = || Record::take(&open.get(), &rod, paper)?.preview();
    let head = open.head()?;
    previews.page(Subject::Rod(rod.clone(), paper), head, page, draw).map_err(told)
}

/// One page of the log of one day of a station as it will be printed.
#[tauri::command(async)]
pub fn preview_station_log(
    open: State<'_, Open>,
    previews: State<'_, Previews>,
    station: String,
    day: String,
    paper: PaperWord,
    page: u32,
) -> Answered<PreviewView> {
    let station = StationId::new(station);
    let draw = || {
        let log = printing::log_of_day(&open.get(), &station, &day, paper)?;
        Ok(coldbench_record::station_log_preview(&log)?)
    };
    let head = open.head()?;
    let subject = Subject::Day(station.clone(), day.clone(), paper);
    previews.page(subject, head, page, draw).map_err(told)
}

/// Saves a build log.
#[tauri::command(async)]
pub fn save_record(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    rod: String,
    path: String,
    paper: PaperWord,
) -> Answered<PrintedView> {
    let (rod, path) = (RodId::new(rod), PathBuf::from(path));
    let saved = printing::save(&mut open.get(), &rod, &path, paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
}

/// Saves the log of one day of a station.
#[tauri::command(async)]
pub fn save_station_log(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    station: String,
    day: String,
    path: String,
    paper: PaperWord,
) -> Answered<PrintedView> {
    let (station, path) = (StationId::new(station), PathBuf::from(path));
    let saved = printing::save_station_log(&open.get(), &station, &day, &path, paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
}

/// Saves rows for other programs: of one rod, or of some days.
#[tauri::command(async)]
pub fn save_table(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    rod: Option<String>,
    from: String,
    to: String,
    form: TableWord,
    path: String,
) -> Answered<PrintedView> {
    let (rod, path) = (rod.map(RodId::new), PathBuf::from(path));
    let saved = printing::save_table(&open.get(), rod, (&from, &to), form, &path);
    saved.map(|saved| handed.note(saved)).map_err(told)
}

/// One page of a single sheet as it will be printed.
#[tauri::command(async)]
pub fn preview_sheet(
    open: State<'_, Open>,
    previews: State<'_, Previews>,
    sheet: SheetWord,
    of: String,
    stage: String,
    paper: PaperWord,
    page: u32,
) -> Answered<PreviewView> {
    let asked = AskedSheet { sheet, of, stage };
    let draw = || Ok(printing::single_sheet(&open.get(), &asked, paper)?.preview()?);
    let head = open.head()?;
    previews.page(Subject::Sheet(asked.clone(), paper), head, page, draw).map_err(told)
}

/// Saves a single sheet: of a rod, a person, a clearance or the crew.
#[tauri::command(async)]
pub fn save_sheet(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    sheet: SheetWord,
    of: String,
    stage: String,
    path: String,
    paper: PaperWord,
) -> Answered<PrintedView> {
    let (asked, path) = (AskedSheet { sheet, of, stage }, PathBuf::from(path));
    let saved = printing::save_sheet(&open.get(), &asked, &path, paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
}

/// Prints a single sheet.
#[tauri::command(async)]
#[expect(clippy::too_many_arguments, reason = "each is a field of the page's message")]
pub fn print_sheet(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    sheet: SheetWord,
    of: String,
    stage: String,
    printer: String,
    paper: PaperWord,
    copies: u32,
) -> Answered<PrintedView> {
    let asked = AskedSheet { sheet, of, stage };
    let sent = printing::print_sheet(&open.0, &asked, &Printing { printer, paper, copies });
    sent.map(|sent| handed.note(sent)).map_err(told)
}

/// Opens the folder of a file that this session saved.
#[tauri::command(async)]
pub fn open_folder(handed: State<'_, HandedOut>, path: String) -> Answered<()> {
    handed.open_folder(&PathBuf::from(path)).map_err(told)
}

/// Prints a build log.
#[tauri::command(async)]
pub fn print_record(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    rod: String,
    printer: String,
    paper: PaperWord,
    copies: u32,
) -> Answered<PrintedView> {
    let how = Printing { printer, paper, copies };
    let sent = printing::print(&open.0, &RodId::new(rod), &how);
    sent.map(|sent| handed.note(sent)).map_err(told)
}

/// Prints the log of one day of a station.
#[tauri::command(async)]
pub fn print_station_log(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    station: String,
    day: String,
    printer: String,
    paper: PaperWord,
    copies: u32,
) -> Answered<PrintedView> {
    let how = Printing { printer, paper, copies };
    let sent = printing::print_station_log(&open.0, &StationId::new(station), &day, &how);
    sent.map(|sent| handed.note(sent)).map_err(told)
}

/// How a job stands that this session sent.
#[tauri::command(async)]
pub fn print_job(handed: State<'_, HandedOut>, job: String) -> Answered<JobView> {
    if handed.sent(&job) {
        return Ok(print_system::look(&job));
    }
    let message = format!("The job “{job}” was not sent since Coldbench was started.");
    Err(told(ShellError::Field { field: "job".to_owned(), message }))
}
