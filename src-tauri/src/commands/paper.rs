//! What goes on paper.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, told};
use crate::error::ShellError;
use crate::handed_out::HandedOut;
use crate::preview::Previews;
use crate::printable::Taken;
use crate::printing::Printing;
use crate::views::{JobView, PaperWord, PreviewView, PrintView, Printable, PrintedView, TableWord};
use crate::{print_system, printing};
use coldbench_shop::RodId;
use std::path::PathBuf;
use tauri::State;

/// Where something printed can go.
#[tauri::command(async)]
pub fn print_targets(what: Printable) -> PrintView {
    printing::targets(&what)
}

/// The folder offered for files.
#[tauri::command(async)]
pub fn save_folder() -> String {
    printing::folder()
}

/// One page as it will be printed.
#[tauri::command(async)]
pub fn preview_pages(
    open: State<'_, Open>,
    previews: State<'_, Previews>,
    what: Printable,
    paper: PaperWord,
    page: u32,
) -> Answered<PreviewView> {
    let draw = || Taken::of(&open.get(), &what, paper)?.preview();
    let head = open.head()?;
    previews.page(&what, paper, head, page, draw).map_err(told)
}

/// Saves pages as a file.
#[tauri::command(async)]
pub fn save_pages(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    what: Printable,
    path: String,
    paper: PaperWord,
) -> Answered<PrintedView> {
    let saved = printing::save(&open.0, &what, &PathBuf::from(path), paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
}

/// Sends pages to a printer.
#[tauri::command(async)]
pub fn print_pages(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    what: Printable,
    printer: String,
    paper: PaperWord,
    copies: u32,
) -> Answered<PrintedView> {
    let sent = printing::print(&open.0, &what, &Printing { printer, paper, copies });
    sent.map(|sent| handed.note(sent)).map_err(told)
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

/// Opens the folder of a file that this session saved.
#[tauri::command(async)]
pub fn open_folder(handed: State<'_, HandedOut>, path: String) -> Answered<()> {
    handed.open_folder(&PathBuf::from(path)).map_err(told)
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
