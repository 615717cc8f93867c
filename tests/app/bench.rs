//! A workshop to test on: founded once, kept in memory, laid out anew for every test.
//!
//! Unlocking stretches a PIN with 64 MiB, so a test unlocks once and not more than it must.
#![allow(dead_code, reason = "each test target uses a part of it")]

use chrono::{DateTime, TimeDelta};
use coldbench::{Clock, ShellError, Workshop};
use coldbench_ledger::Pin;
use coldbench_shop::{
    Command, Event, GripMaterial, Moment, NewStation, PersonId, Refusal, RodId, Role, StageId,
    StationId, StepId, StepPlace,
};
use coldbench_trade::LengthUnit;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tempfile::TempDir;

use crate::walk::{begin_rod, open_bench, walk_stage};

pub const LEAD: &str = "P-1";
pub const HELPER: &str = "P-2";
pub const LEAD_PIN: &str = "2468";
pub const HELPER_PIN: &str = "1357";
pub const BENCH: &str = "S-1";
pub const CORNER: &str = "S-2";
/// A can of wiping alcohol at the bench.
pub const CAN: &str = "F-1";
/// A can of spirits at the heat corner.
pub const OTHER_CAN: &str = "F-2";
pub const ROD: &str = "R-1";
pub const SLEEVE: &str = "sleeve-by-heat";

pub fn start() -> Moment {
    DateTime::parse_from_rfc3339("2026-03-02T08:00:00.000+01:00").unwrap()
}

pub fn pin(text: &str) -> Pin {
    Pin::new(text.to_owned())
}

pub fn founding(name: &str, lead: &str) -> Command {
    Command::Found {
        name: name.to_owned(),
        demo: false,
        lengths: LengthUnit::Millimetre,
        lead: lead.to_owned(),
        station: NewStation {
            name: "Test bench".to_owned(),
            room: "50 m3".to_owned(),
            shares_room_with: None,
        },
    }
}

/// A command that is taken at any time.
pub fn add_corner(name: &str) -> Command {
    Command::AddStation(NewStation {
        name: name.to_owned(),
        room: "50 m3".to_owned(),
        shares_room_with: None,
    })
}

type Files = Vec<(PathBuf, Vec<u8>)>;

/// Founded, with lead, helper, two stations and a closed can at each.
fn founded_files() -> &'static Files {
    static FILES: OnceLock<Files> = OnceLock::new();
    FILES.get_or_init(|| {
        let folder = TempDir::new().unwrap();
        let mut shop = Workshop::open(folder.path(), Clock::Set(start())).unwrap();
        shop.found(founding("Test loft", "Ines Probe"), &pin(LEAD_PIN)).unwrap();
        unlock(&mut shop, LEAD, LEAD_PIN);
        let helper = Command::AddPerson { name: "Kai Probe".to_owned(), role: Role::Helper };
        shop.add_person(helper, &pin(HELPER_PIN)).unwrap();
        act(&mut shop, add_corner("Test corner"));
        for (station, name, autoignition) in
            [(BENCH, "Wiping alcohol", "399 °C"), (CORNER, "Spirits", "232 °C")]
        {
            act(
                &mut shop,
                Command::ListContainer {
                    station: StationId::new(station),
                    name: name.to_owned(),
                    autoignition: autoignition.to_owned(),
                    material: None,
                },
            );
        }
        drop(shop);
        read_files(folder.path())
    })
}

/// The same, with a rod on which the sleeve is about to be shrunk, and nothing flammable used
/// for more than a day.
fn heat_files() -> &'static Files {
    static FILES: OnceLock<Files> = OnceLock::new();
    FILES.get_or_init(|| {
        let (folder, mut shop) = founded();
        open_bench(&mut shop, BENCH);
        begin_rod(&mut shop, GripMaterial::Composite);
        walk_stage(&mut shop, ROD, "spine", None);
        walk_stage(&mut shop, ROD, "rear-grip", None);
        pass(&mut shop, TimeDelta::hours(25));
        open_bench(&mut shop, BENCH);
        walk_stage(&mut shop, ROD, SLEEVE, Some("shrink-middle"));
        drop(shop);
        read_files(folder.path())
    })
}

/// A founded workshop with the lead unlocked.
pub fn founded() -> (TempDir, Workshop) {
    laid_out(founded_files(), start() + TimeDelta::hours(1))
}

/// A workshop whose rod [`ROD`] waits at the heat step, with the lead unlocked.
pub fn at_heat_step() -> (TempDir, Workshop) {
    laid_out(heat_files(), start() + TimeDelta::days(4))
}

/// The founded workshop's files, in a folder.
pub fn lay_out_founded(folder: &Path) {
    write_files(founded_files(), folder);
}

/// The files of the workshop at its heat step, in a folder.
pub fn lay_out_heat(folder: &Path) {
    write_files(heat_files(), folder);
}

fn laid_out(files: &Files, now: Moment) -> (TempDir, Workshop) {
    let folder = TempDir::new().unwrap();
    write_files(files, folder.path());
    let mut shop = Workshop::open(folder.path(), Clock::Set(now)).unwrap();
    unlock(&mut shop, LEAD, LEAD_PIN);
    (folder, shop)
}

fn write_files(files: &Files, folder: &Path) {
    for (path, bytes) in files {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
}

/// The text of a checklist that comes with Coldbench.
pub fn shipped_text(path: &str) -> String {
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("../checklists");
    fs::read_to_string(shipped.join(path)).unwrap()
}

/// Writes a checklist of the shop's own, and has it read.
pub fn own_checklist(shop: &mut Workshop, path: &str, text: &str) {
    let path = shop.folder().join("checklists").join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
    shop.reload_library();
}

/// Every file below a folder, by its path within it.
pub fn read_files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    fn collect(folder: &Path, base: &Path, files: &mut Files) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                collect(&path, base, files);
            } else {
                let name = path.strip_prefix(base).unwrap().to_owned();
                files.push((name, fs::read(&path).unwrap()));
            }
        }
    }
    let mut files = Vec::new();
    collect(folder, folder, &mut files);
    files.sort();
    files
}

pub fn unlock(shop: &mut Workshop, person: &str, with: &str) {
    shop.unlock(&PersonId::new(person), &pin(with)).unwrap();
}

/// Lets time pass.
pub fn pass(shop: &mut Workshop, time: TimeDelta) {
    shop.clock_mut().advance(time);
}

/// Does a command a few seconds later; it has to be taken. The PIN is given with it at a hold
/// point, and once more where the end of a stage locked the key.
pub fn act(shop: &mut Workshop, command: Command) -> Vec<Event> {
    pass(shop, TimeDelta::seconds(7));
    let words = format!("{command:?}");
    let person = shop.active();
    let mut result = shop.act(command.clone());
    if let (Err(ShellError::Refused(Refusal::PinAgain)), Some(person)) = (&result, &person) {
        result = shop.act_now(&pin(pin_of(person)), command);
    }
    let events = result.unwrap_or_else(|error| panic!("{error}\nrefused: {words:.300}"));
    if let (Some(person), None) = (person, shop.active())
        && shop.state().crew[&person].present
    {
        unlock(shop, person.as_str(), pin_of(&person));
    }
    events
}

fn pin_of(person: &PersonId) -> &'static str {
    if person.as_str() == LEAD { LEAD_PIN } else { HELPER_PIN }
}

/// Does a command that has to be refused, and checks that nothing at all was stored.
pub fn refused(shop: &mut Workshop, command: Command) -> Refusal {
    // What the clock has to say is noted whatever is asked.
    shop.look_around().unwrap();
    let (before, state) = (shop.events(), shop.state().clone());
    let words = format!("{command:?}");
    match shop.act(command) {
        Err(ShellError::Refused(refusal)) => {
            assert_eq!(shop.events(), before, "a refusal stored something");
            assert_eq!(*shop.state(), state, "a refusal changed the state");
            refusal
        }
        Err(error) => panic!("not refused but failed: {error}\n{words:.300}"),
        Ok(events) => panic!("taken though it must not be: {words:.300}\n{events:?}"),
    }
}

pub fn place(rod: &str, stage: &str, step: &str) -> StepPlace {
    StepPlace { rod: RodId::new(rod), stage: StageId::new(stage), step: StepId::new(step) }
}
