//! Teaching at the bench, and the crew against the stages.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, told};
use crate::handed_out::HandedOut;
use crate::views::{CrewTableView, PaperWord, Place, PrintView, PrintedView};
use crate::{printing, show};
use coldbench_ledger::Pin;
use coldbench_shop::{Command, PersonId, StageId};
use std::path::PathBuf;
use tauri::State;

/// Helpers against stages.
#[tauri::command(async)]
pub fn crew_table(open: State<'_, Open>) -> CrewTableView {
    show::crew_table(&open.get())
}

/// A lead says how many witnessed runs a stage takes.
#[tauri::command(async)]
pub fn ask_teaching(
    open: State<'_, Open>,
    stage: String,
    runs: u8,
    refresh_days: Option<u32>,
    person: String,
    pin: String,
) -> Answered<()> {
    let command = Command::AskTeaching { stage: StageId::new(stage), runs, refresh_days };
    open.get().act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// A lead signs that a step was presented to a helper.
#[tauri::command(async)]
pub fn present_step(
    open: State<'_, Open>,
    place: Place,
    learner: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let command = Command::PresentStep { at: place.into(), learner: PersonId::new(learner) };
    open.get().act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// A lead signs that a helper told the key point of a step.
#[tauri::command(async)]
pub fn hear_key_points(
    open: State<'_, Open>,
    place: Place,
    learner: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let command = Command::HearKeyPoints { at: place.into(), learner: PersonId::new(learner) };
    open.get().act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// Where the crew table can go.
#[tauri::command(async)]
pub fn crew_table_targets() -> PrintView {
    printing::crew_table_targets()
}

/// Saves the crew table.
#[tauri::command(async)]
pub fn save_crew_table(
    open: State<'_, Open>,
    handed: State<'_, HandedOut>,
    path: String,
    paper: PaperWord,
) -> Answered<PrintedView> {
    let saved = printing::save_crew_table(&open.get(), &PathBuf::from(path), paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
}
