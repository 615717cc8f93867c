//! A walk through a stage.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, refused, told};
use crate::error::ShellError;
use crate::from_paper::sheet_line;
use crate::show;
use crate::views::{EntryPlace, Place, SheetDraft, Trouble, WalkView};
use coldbench_ledger::Pin;
use coldbench_shop::{Command, EventRef, PersonId, Refusal, RodId, StageId};
use tauri::State;

/// Puts right what was signed at a step.
#[tauri::command(async)]
pub fn correct(
    open: State<'_, Open>,
    place: Place,
    entry: EntryPlace,
    says: String,
    reason: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let event = EventRef { origin: entry.origin, number: entry.number.into() };
    let command = Command::Correct { at: place.into(), event, says, reason };
    let done = open.get().act_once(&PersonId::new(person), &Pin::new(pin), command);
    done.map(drop).map_err(|error| {
        let field = match &error {
            ShellError::Refused(Refusal::Missing { what } | Refusal::TooLong { what, .. }) => {
                Some(if *what == "The reason" { "reason" } else { "says" })
            }
            ShellError::Refused(Refusal::BadValue { .. }) => Some("says"),
            _ => None,
        };
        Trouble { field: field.map(str::to_owned), ..told(error) }
    })
}

/// A walk through a stage.
#[tauri::command(async)]
pub fn walk(open: State<'_, Open>, rod: String, stage: String) -> Answered<WalkView> {
    show::walk(&open.get(), &RodId::new(rod), &StageId::new(stage)).map_err(refused)
}

/// Takes note of a caution.
#[tauri::command(async)]
pub fn understand(open: State<'_, Open>, place: Place) -> Answered<()> {
    open.act(Command::UnderstandCaution(place.into()))
}

/// Sets down a measured value.
#[tauri::command(async)]
pub fn measure(open: State<'_, Open>, place: Place, text: String) -> Answered<()> {
    open.act(Command::MeasureValue { at: place.into(), text })
}

/// A lead accepts a value outside its limits.
#[tauri::command(async)]
pub fn accept(
    open: State<'_, Open>,
    place: Place,
    reason: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let command = Command::AcceptValue { at: place.into(), reason };
    open.act_once(person, pin, command)
}

/// Names a lot.
#[tauri::command(async)]
pub fn name_lot(open: State<'_, Open>, place: Place, lot: String) -> Answered<()> {
    open.act(Command::NameLot { at: place.into(), lot })
}

/// A lead lets a lot be used after its last day.
#[tauri::command(async)]
pub fn accept_lot(
    open: State<'_, Open>,
    place: Place,
    reason: String,
    person: String,
    pin: String,
) -> Answered<()> {
    let command = Command::AcceptExpiredLot { at: place.into(), reason };
    open.act_once(person, pin, command)
}

/// Starts the clock of a step.
#[tauri::command(async)]
pub fn start_clock(open: State<'_, Open>, place: Place, minutes: Option<u32>) -> Answered<()> {
    open.act(Command::StartClock { at: place.into(), minutes })
}

/// Signs a step as done; at a hold point, with the PIN.
#[tauri::command(async)]
pub fn sign(open: State<'_, Open>, place: Place, pin: Option<String>) -> Answered<()> {
    open.act_with(pin, Command::SignStep(place.into()))
}

/// Copies in a step from a sheet that was filled in by hand.
#[tauri::command(async)]
pub fn key_in(
    open: State<'_, Open>,
    place: Place,
    sheet: SheetDraft,
    pin: Option<String>,
) -> Answered<()> {
    let sheet = sheet_line(sheet).map_err(told)?;
    open.act_with(pin, Command::KeyInStep { at: place.into(), sheet })
}

/// A lead witnesses a step.
#[tauri::command(async)]
pub fn witness(open: State<'_, Open>, place: Place, person: String, pin: String) -> Answered<()> {
    open.act_once(person, pin, Command::WitnessStep(place.into()))
}

/// Writes a note.
#[tauri::command(async)]
pub fn note(open: State<'_, Open>, place: Place, text: String) -> Answered<()> {
    open.act(Command::WriteNote { at: place.into(), text })
}

/// Leaves a step for a while; its clocks go on.
#[tauri::command(async)]
pub fn call_away(open: State<'_, Open>, place: Place) -> Answered<()> {
    open.act(Command::CallAway(place.into()))
}

/// Is at the step again that was left.
#[tauri::command(async)]
pub fn come_back(open: State<'_, Open>, place: Place) -> Answered<()> {
    open.act(Command::ComeBack(place.into()))
}
