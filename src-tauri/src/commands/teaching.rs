//! Teaching at the bench, and the crew against the stages.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open};
use crate::show;
use crate::views::{CrewTableView, Place};
use coldbench_shop::{Command, PersonId, StageId};
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
    open.act_once(person, pin, command)
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
    open.act_once(person, pin, command)
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
    open.act_once(person, pin, command)
}
