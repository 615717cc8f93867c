//! The workshop at a glance, its people, its ledger and backups.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, Open, told};
use crate::views::{BackupsView, Desk, Founding, RoleWord, UnitsChoice, WayBackView};
use crate::{backups, printing, show};
use coldbench_ledger::Pin;
use coldbench_shop::{Command, NewStation, PersonId};
use std::path::PathBuf;
use tauri::State;

/// The workshop at a glance.
#[tauri::command(async)]
pub fn look(open: State<'_, Open>) -> Answered<Desk> {
    let mut workshop = open.get();
    workshop.look_around().map_err(told)?;
    // The window asks at every turn; a backup is due once a day and must not hold it up.
    if let Some(job) = workshop.backup_beside() {
        std::thread::spawn(job);
    }
    Ok(show::desk(&workshop))
}

/// Sets up an empty workshop, and unlocks its first lead.
#[tauri::command(async)]
pub fn found(open: State<'_, Open>, founding: Founding) -> Answered<()> {
    let mut workshop = open.get();
    let pin = founding.pin;
    let command = Command::Found {
        name: founding.name,
        demo: false,
        lengths: founding.lengths.into(),
        lead: founding.lead,
        station: NewStation { name: founding.station, room: founding.room, shares_room_with: None },
    };
    workshop.found(command, &Pin::new(pin.clone())).map_err(told)?;
    std::thread::spawn(workshop.verify_beside());
    workshop.unlock(&PersonId::new("P-1"), &Pin::new(pin)).map_err(told)
}

/// Unlocks a person's key.
#[tauri::command(async)]
pub fn unlock(open: State<'_, Open>, person: String, pin: String) -> Answered<()> {
    open.get().unlock(&PersonId::new(person), &Pin::new(pin)).map_err(told)
}

/// Locks again.
#[tauri::command]
pub fn lock(open: State<'_, Open>) {
    open.get().lock();
}

/// Adds a person to the crew.
#[tauri::command(async)]
pub fn add_person(
    open: State<'_, Open>,
    name: String,
    role: RoleWord,
    pin: String,
) -> Answered<()> {
    let command = Command::AddPerson { name, role: role.into() };
    open.get().add_person(command, &Pin::new(pin)).map_err(told)
}

/// Takes a person off the crew.
#[tauri::command(async)]
pub fn person_leaves(open: State<'_, Open>, person: String) -> Answered<()> {
    open.act(Command::PersonLeaves { person: PersonId::new(person) })
}

/// Gives a person a new key under a new PIN; somebody vouches for them with theirs.
#[tauri::command(async)]
pub fn renew_key(
    open: State<'_, Open>,
    person: String,
    new_pin: String,
    by: String,
    pin: String,
) -> Answered<()> {
    open.get()
        .renew_key(&PersonId::new(person), &Pin::new(new_pin), &PersonId::new(by), &Pin::new(pin))
        .map_err(told)
}

/// Where backups go and what is there.
#[tauri::command(async)]
pub fn backups(open: State<'_, Open>) -> Answered<BackupsView> {
    show::backups_view(&open.get()).map_err(told)
}

/// Names the folder for backups.
#[tauri::command(async)]
pub fn set_backup_folder(open: State<'_, Open>, folder: String) -> Answered<()> {
    let workshop = open.get();
    backups::set_folder(workshop.folder(), &printing::in_home(&PathBuf::from(folder))).map_err(told)
}

/// Makes a backup now.
#[tauri::command(async)]
pub fn back_up(open: State<'_, Open>) -> Answered<String> {
    let (path, report) = open.get().back_up().map_err(told)?;
    Ok(format!("Backed up and verified: {} events in {}.", report.events, path.display()))
}

/// The backup that could take the place of a damaged ledger.
#[tauri::command(async)]
pub fn way_back(open: State<'_, Open>) -> Option<WayBackView> {
    show::way_back(&open.get())
}

/// Puts a backup in the place of a damaged ledger, which is kept.
#[tauri::command(async)]
pub fn bring_back(open: State<'_, Open>, path: String) -> Answered<String> {
    let mut workshop = open.get();
    let aside = workshop.bring_back(&PathBuf::from(path)).map_err(told)?;
    std::thread::spawn(workshop.verify_beside());
    Ok(format!("The backup is in place. The damaged ledger is kept in {}.", aside.display()))
}

/// Chooses the units in which figures are shown.
#[tauri::command(async)]
pub fn choose_units(open: State<'_, Open>, units: UnitsChoice) -> Answered<()> {
    open.act(Command::ChooseUnits(units.into()))
}

/// Closes the window.
#[tauri::command]
pub fn quit(app: tauri::AppHandle) {
    app.exit(0);
}
