//! A station: its lists, its air, its containers.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, refused, told};
use crate::error::ShellError;
use crate::from_paper::from_paper;
use crate::views::{AnswerDraft, CauseWord, MaterialDraft, PaperDraft, Problem, StationView};
use crate::workshop::Workshop;
use crate::{material_form, show};
use coldbench_shop::checklist::{Material, Signed};
use coldbench_shop::{ClearanceId, Command, ContainerId, NewStation, StationId, StepId};
use tauri::State;

/// Sets up a station.
#[tauri::command(async)]
pub fn add_station(
    open: State<'_, Open>,
    name: String,
    room: String,
    shares_room_with: Option<String>,
) -> Answered<()> {
    let shares_room_with = shares_room_with.map(StationId::new);
    open.act(Command::AddStation(NewStation { name, room, shares_room_with }))
}

/// Sets down the volume of a station's room.
#[tauri::command(async)]
pub fn measure_room(open: State<'_, Open>, station: String, volume: String) -> Answered<()> {
    open.act(Command::MeasureRoom { station: StationId::new(station), volume })
}

/// Lists a container of something flammable; with the id of its material where a file describes
/// it.
#[tauri::command(async)]
pub fn list_container(
    open: State<'_, Open>,
    station: String,
    name: String,
    autoignition: String,
    material: Option<String>,
) -> Answered<()> {
    let mut workshop = open.get();
    let material = match material {
        Some(id) => Some(Box::new(described(&mut workshop, id).map_err(told)?)),
        None => None,
    };
    let station = StationId::new(station);
    let command = Command::ListContainer { station, name, autoignition, material };
    workshop.act(command).map(drop).map_err(told)
}

/// A material by the file that describes it now.
fn described(workshop: &mut Workshop, id: String) -> Result<Signed<Material>, ShellError> {
    workshop.reload_library();
    let found = workshop.library().material(&id).cloned();
    found.ok_or(ShellError::NoChecklist { what: id })
}

/// Writes down a product from its safety data sheet; gives what is wrong or unwise about it. With
/// an unusable among that, nothing was written.
#[tauri::command(async)]
pub fn save_material(open: State<'_, Open>, draft: MaterialDraft) -> Answered<Vec<Problem>> {
    material_form::save(&mut open.get(), &draft).map_err(told)
}

/// The hazard codes that can be named, with their words.
#[tauri::command(async)]
pub fn hazard_codes() -> Vec<(String, String)> {
    material_form::hazards()
}

/// Sets down a reading of the airflow.
#[tauri::command(async)]
pub fn read_air(open: State<'_, Open>, station: String, answer: AnswerDraft) -> Answered<()> {
    open.act(Command::ReadAir { station: StationId::new(station), answer: answer.into() })
}

/// Says that the ventilation stopped.
#[tauri::command(async)]
pub fn stop_air(open: State<'_, Open>, station: String) -> Answered<()> {
    open.act(Command::StopAir { station: StationId::new(station) })
}

/// Sets down how much of a product was used.
#[tauri::command(async)]
pub fn record_release(
    open: State<'_, Open>,
    station: String,
    material: String,
    amount: String,
    purpose: String,
) -> Answered<()> {
    let mut workshop = open.get();
    let material = Box::new(described(&mut workshop, material).map_err(told)?);
    let station = StationId::new(station);
    let command = Command::RecordRelease { station, material, amount, purpose };
    workshop.act(command).map(drop).map_err(told)
}

/// Signs that the watch after heat was kept.
#[tauri::command(async)]
pub fn sign_watch(open: State<'_, Open>, station: String) -> Answered<()> {
    open.act(Command::SignWatch { station: StationId::new(station) })
}

/// Closes a station for the day.
#[tauri::command(async)]
pub fn close_station(open: State<'_, Open>, station: String) -> Answered<()> {
    open.act(Command::CloseStation { station: StationId::new(station) })
}

/// Opens a container.
#[tauri::command(async)]
pub fn open_container(open: State<'_, Open>, container: String) -> Answered<()> {
    open.act(Command::OpenContainer { container: ContainerId::new(container) })
}

/// Closes a container.
#[tauri::command(async)]
pub fn close_container(open: State<'_, Open>, container: String) -> Answered<()> {
    open.act(Command::CloseContainer { container: ContainerId::new(container) })
}

/// Takes a container away for good.
#[tauri::command(async)]
pub fn remove_container(open: State<'_, Open>, container: String) -> Answered<()> {
    open.act(Command::RemoveContainer { container: ContainerId::new(container) })
}

/// A station as it stands.
#[tauri::command(async)]
pub fn station(open: State<'_, Open>, station: String) -> Answered<StationView> {
    show::station(&open.get(), &StationId::new(station)).map_err(refused)
}

/// Begins a station checklist, by its id; with the sheet where it was filled in by hand before.
#[tauri::command(async)]
pub fn begin_list(
    open: State<'_, Open>,
    station: String,
    list: String,
    sheet: Option<PaperDraft>,
) -> Answered<()> {
    let from_paper = sheet.map(from_paper).transpose().map_err(told)?;
    let mut workshop = open.get();
    workshop.reload_library();
    let missing = || ShellError::NoChecklist { what: list.clone() };
    let ready = workshop.library().list_for(&list).ok_or_else(missing).map_err(told)?;
    let station = StationId::new(station);
    let command = Command::BeginList { station, list: Box::new(ready), from_paper };
    workshop.act(command).map(drop).map_err(told)
}

/// Answers a check.
#[tauri::command(async)]
pub fn answer(
    open: State<'_, Open>,
    station: String,
    check: String,
    answer: AnswerDraft,
) -> Answered<()> {
    open.act(Command::AnswerCheck {
        station: StationId::new(station),
        check: StepId::new(check),
        answer: answer.into(),
    })
}

/// Brings the checklist in hand to its end; where it gives a clearance, with the PIN.
#[tauri::command(async)]
pub fn complete(open: State<'_, Open>, station: String, pin: Option<String>) -> Answered<()> {
    open.act_with(pin, Command::CompleteList { station: StationId::new(station) })
}

/// Ends a clearance before its time.
#[tauri::command(async)]
pub fn withdraw(open: State<'_, Open>, clearance: String, cause: CauseWord) -> Answered<()> {
    open.act(Command::Withdraw { clearance: ClearanceId::new(clearance), cause: cause.into() })
}

/// Sets down the temperature of a room.
#[tauri::command(async)]
pub fn read_temperature(open: State<'_, Open>, station: String, text: String) -> Answered<()> {
    open.act(Command::ReadTemperature { station: StationId::new(station), text })
}
