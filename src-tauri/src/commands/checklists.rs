//! Checklist files, and what is signed for about them.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, told};
use crate::error::ShellError;
use crate::views::{ChecklistText, ChecklistsView, Problem};
use crate::workshop::Workshop;
use crate::{own_checklists, show};
use coldbench_ledger::Pin;
use coldbench_shop::checklist::ToBegin;
use coldbench_shop::{Command, PersonId, RodId, StageId, StationId};
use tauri::State;

/// All checklist files, and what is wrong with them.
#[tauri::command(async)]
pub fn checklists(open: State<'_, Open>) -> ChecklistsView {
    show::checklists(&open.get())
}

/// The text of a checklist, to be read or changed.
#[tauri::command(async)]
pub fn checklist_text(open: State<'_, Open>, id: String) -> Answered<ChecklistText> {
    own_checklists::text(&open.get(), &id).map_err(told)
}

/// What would be wrong with a text if it were saved.
#[tauri::command(async)]
pub fn try_checklist(open: State<'_, Open>, path: String, text: String) -> Vec<Problem> {
    own_checklists::tried(&open.get(), &path, &text)
}

/// Saves a text among the shop's own files.
#[tauri::command(async)]
pub fn save_checklist(open: State<'_, Open>, path: String, text: String) -> Answered<Vec<Problem>> {
    own_checklists::save(&mut open.get(), &path, &text).map_err(told)
}

/// Puts a file of the shop's own aside: it is kept, and not read any more.
#[tauri::command(async)]
pub fn put_checklist_aside(open: State<'_, Open>, path: String) -> Answered<String> {
    own_checklists::put_aside(&mut open.get(), &path).map_err(told)
}

/// A lead signs for what the shop's own text of a checklist takes away.
#[tauri::command(async)]
pub fn accept_override(
    open: State<'_, Open>,
    id: String,
    reason: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let mut workshop = open.get();
    workshop.reload_library();
    let missing = || ShellError::NoChecklist { what: id.clone() };
    let texts = workshop.library().override_of(&id).ok_or_else(missing).map_err(told)?;
    let command = Command::AcceptOverride { texts: Box::new(texts), reason };
    workshop.act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// A lead lets a stage in hand go on by the text its file has now.
#[tauri::command(async)]
pub fn move_stage(
    open: State<'_, Open>,
    rod: String,
    stage: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let mut workshop = open.get();
    workshop.reload_library();
    let rod = RodId::new(rod);
    let ready = stage_ready(&workshop, &rod, stage).map_err(told)?;
    let command = Command::MoveStage { rod, stage: Box::new(ready) };
    workshop.act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// A lead leaves a stage out on one rod.
#[tauri::command(async)]
pub fn leave_out_stage(
    open: State<'_, Open>,
    rod: String,
    stage: String,
    reason: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let mut workshop = open.get();
    let missing = || ShellError::NoChecklist { what: stage.clone() };
    let found = workshop.library().stage(&StageId::new(stage.as_str()));
    let text = found.ok_or_else(missing).map_err(told)?.list.clone();
    let rod = RodId::new(rod);
    let command = Command::LeaveOutStage { rod, stage: Box::new(text), reason };
    workshop.act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// Does a stage after all that was left out.
#[tauri::command(async)]
pub fn take_in_stage(open: State<'_, Open>, rod: String, stage: String) -> Answered<()> {
    open.act(Command::TakeInStage { rod: RodId::new(rod), stage: StageId::new(stage) })
}

/// A stage with the text its file has now.
fn stage_ready(workshop: &Workshop, rod: &RodId, stage: String) -> Result<ToBegin, ShellError> {
    let rod = workshop.state().rods.get(rod);
    let found =
        rod.and_then(|rod| workshop.library().stage_for(rod, &StageId::new(stage.as_str())));
    found.ok_or(ShellError::NoChecklist { what: stage })
}

/// Begins a stage of a rod.
#[tauri::command(async)]
pub fn begin_stage(
    open: State<'_, Open>,
    rod: String,
    stage: String,
    station: String,
) -> Answered<()> {
    let mut workshop = open.get();
    // The text that holds from here on is the one in the folder now.
    workshop.reload_library();
    let rod = RodId::new(rod);
    let stage = stage_ready(&workshop, &rod, stage).map_err(told)?;
    let station = StationId::new(station);
    let command = Command::BeginStage { rod, stage: Box::new(stage), station };
    workshop.act(command).map(drop).map_err(told)
}
