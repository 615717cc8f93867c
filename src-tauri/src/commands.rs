//! The window's typed commands: each unpacks, calls, and maps the error to a code and a sentence.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use crate::error::ShellError;
use crate::handed_out::HandedOut;
use crate::preview::{Previews, Subject};
use crate::printing::Printing;
use crate::proof::Record;
use crate::views::{
    AnswerDraft, BackupsView, CauseWord, ChangeDraft, ChecklistText, ChecklistsView, Desk,
    DraftView, EntryPlace, Founding, JobView, LayoutDraft, LayoutView, LotLine, MaterialDraft,
    PaperWord, Place, PreviewView, PrintView, PrintedView, Problem, RodDraft, RodView, RoleWord,
    SheetWord, SpacingDraft, StationView, TrimView, Trouble, UnitsChoice, WalkView, WayBackView,
};
use crate::workshop::Workshop;
use crate::{backups, draft, material_form, own_checklists, print_system, printing, show};
use coldbench_ledger::Pin;
use coldbench_shop::checklist::{Material, Signed, ToBegin};
use coldbench_shop::{
    ClearanceId, Command, ContainerId, Event, EventRef, LotId, NewStation, PersonId, Refusal,
    RodId, StageId, StationId, StepId,
};
use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};
use tauri::State;

/// The open workshop, shared by all commands.
pub struct Open(pub Mutex<Workshop>);

type Answered<T> = Result<T, Trouble>;

impl Open {
    /// A panic in one command must not shut the others out: what is shown follows from the
    /// ledger, and a broken-off command stored nothing.
    fn get(&self) -> MutexGuard<'_, Workshop> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The digest of the newest event.
    fn head(&self) -> Answered<[u8; 32]> {
        self.get().head().map(|head| head.digest).ok_or_else(|| refused(Refusal::NotFounded))
    }

    fn act(&self, command: Command) -> Answered<()> {
        self.get().act(command).map(drop).map_err(told)
    }

    fn act_with(&self, pin: Option<String>, command: Command) -> Answered<()> {
        match pin {
            Some(pin) => self.get().act_now(&Pin::new(pin), command).map(drop).map_err(told),
            None => self.act(command),
        }
    }
}

/// Logs a failure of the machine; what a rule refused is no failure.
fn told(error: ShellError) -> Trouble {
    match &error {
        ShellError::Refused(refusal) => tracing::info!(code = refusal.code(), "refused"),
        other => tracing::warn!(code = other.code(), error = %other, "failed"),
    }
    error.into()
}

fn refused(refusal: coldbench_shop::Refusal) -> Trouble {
    told(refusal.into())
}

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

/// Begins a station checklist, by its id.
#[tauri::command(async)]
pub fn begin_list(open: State<'_, Open>, station: String, list: String) -> Answered<()> {
    let mut workshop = open.get();
    workshop.reload_library();
    let missing = || ShellError::NoChecklist { what: list.clone() };
    let ready = workshop.library().list_for(&list).ok_or_else(missing).map_err(told)?;
    let command = Command::BeginList { station: StationId::new(station), list: Box::new(ready) };
    workshop.act(command).map(drop).map_err(told)
}

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

/// What is wrong with a draft of a rod, and how it looks.
#[tauri::command(async)]
pub fn check_draft(open: State<'_, Open>, draft: RodDraft) -> DraftView {
    draft::check(&open.get(), &draft)
}

/// Begins a rod and says its id.
#[tauri::command(async)]
pub fn begin_rod(open: State<'_, Open>, draft: RodDraft) -> Answered<String> {
    let mut workshop = open.get();
    let plan = draft::plan(&workshop, &draft).map_err(told)?;
    let events = workshop.act(Command::BeginRod(Box::new(plan))).map_err(told)?;
    Ok(events
        .iter()
        .find_map(|event| match event {
            Event::RodBegun { rod, .. } => Some(rod.to_string()),
            _ => None,
        })
        .unwrap_or_default())
}

/// Adds to what is written down of a rod, or, with the PIN, puts it right.
#[tauri::command(async)]
pub fn revise_rod(
    open: State<'_, Open>,
    rod: String,
    change: ChangeDraft,
    reason: String,
    sure: bool,
    pin: Option<String>,
) -> Answered<()> {
    let (rod, change) = (RodId::new(rod), change.into());
    open.act_with(pin, Command::ReviseRod { rod, change, reason, sure })
}

/// How a rod bends and where its guides stand, as kept; else a beginning.
#[tauri::command(async)]
pub fn layout(open: State<'_, Open>, rod: String) -> Answered<LayoutView> {
    show::layout(&open.get(), &RodId::new(rod)).map_err(refused)
}

/// A layout as it is being made, worked out.
#[tauri::command(async)]
pub fn try_layout(open: State<'_, Open>, rod: String, draft: LayoutDraft) -> Answered<LayoutView> {
    show::try_layout(&open.get(), &RodId::new(rod), draft).map_err(refused)
}

/// A layout with its guides spaced anew.
#[tauri::command(async)]
pub fn space_guides(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
    spacing: SpacingDraft,
) -> Answered<LayoutView> {
    show::space_guides(&open.get(), &RodId::new(rod), draft, spacing).map_err(refused)
}

/// A layout with its guides moved for the better.
#[tauri::command(async)]
pub fn improve_layout(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
) -> Answered<LayoutView> {
    show::improve_layout(&open.get(), &RodId::new(rod), draft).map_err(refused)
}

/// What cutting the blank would do.
#[tauri::command(async)]
pub fn try_trim(
    open: State<'_, Open>,
    rod: String,
    draft: LayoutDraft,
    tip: String,
    butt: String,
) -> Answered<TrimView> {
    show::try_trim(&open.get(), &RodId::new(rod), draft, &tip, &butt).map_err(refused)
}

/// Chooses the units in which figures are shown.
#[tauri::command(async)]
pub fn choose_units(open: State<'_, Open>, units: UnitsChoice) -> Answered<()> {
    open.act(Command::ChooseUnits(units.into()))
}

/// Sets down the temperature of a room.
#[tauri::command(async)]
pub fn read_temperature(open: State<'_, Open>, station: String, text: String) -> Answered<()> {
    open.act(Command::ReadTemperature { station: StationId::new(station), text })
}

/// A rod with everything on its sheet.
#[tauri::command(async)]
pub fn rod(open: State<'_, Open>, rod: String) -> Answered<RodView> {
    show::rod(&open.get(), &RodId::new(rod)).map_err(refused)
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
    open.get().act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
}

/// Names a lot.
#[tauri::command(async)]
pub fn name_lot(open: State<'_, Open>, place: Place, lot: String) -> Answered<()> {
    open.act(Command::NameLot { at: place.into(), lot })
}

/// All lots with their rods.
#[tauri::command(async)]
pub fn lots(open: State<'_, Open>) -> Vec<LotLine> {
    show::lots(&open.get())
}

/// Registers a lot.
#[tauri::command(async)]
pub fn register_lot(
    open: State<'_, Open>,
    what: String,
    marking: String,
    expires: String,
) -> Answered<()> {
    open.act(Command::RegisterLot { what, marking, expires })
}

/// Says that a lot is used up.
#[tauri::command(async)]
pub fn lot_gone(open: State<'_, Open>, lot: String) -> Answered<()> {
    open.act(Command::LotGone { lot: LotId::new(lot) })
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
    open.get().act_once(&PersonId::new(person), &Pin::new(pin), command).map(drop).map_err(told)
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

/// A lead witnesses a step.
#[tauri::command(async)]
pub fn witness(open: State<'_, Open>, place: Place, person: String, pin: String) -> Answered<()> {
    open.get()
        .act_once(&PersonId::new(person), &Pin::new(pin), Command::WitnessStep(place.into()))
        .map(drop)
        .map_err(told)
}

/// Writes a note.
#[tauri::command(async)]
pub fn note(open: State<'_, Open>, place: Place, text: String) -> Answered<()> {
    open.act(Command::WriteNote { at: place.into(), text })
}

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

/// Saves a single sheet of a rod or a person.
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
    let saved = printing::save_sheet(&open.get(), sheet, &of, &stage, &PathBuf::from(path), paper);
    saved.map(|saved| handed.note(saved)).map_err(told)
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

/// Closes the window.
#[tauri::command]
pub fn quit(app: tauri::AppHandle) {
    app.exit(0);
}
