//! An open workshop: the one way from a command to the ledger and back.
//!
//! `act -> shop::decide -> ledger.append -> State::evolve`. Nothing is shown that is not stored.

use crate::clock::Clock;
use crate::error::ShellError;
use crate::folder::{self, FolderLock};
use coldbench_ledger::{
    Access, Enrolment, Ledger, LedgerError, NewEvent, Pin, StorageFault, StoredEvent, UnlockedKey,
    VerifyReport,
};
use coldbench_shop::{
    Actor, Command, Event, Happened, Library, Moment, PersonId, Refusal, State, StationId, decide,
};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How long an unlocked key stays so without use.
const IDLE: Duration = Duration::from_secs(15 * 60);

/// A workshop folder, open.
pub struct Workshop {
    folder: PathBuf,
    /// Held while this window may write.
    lock: Option<FolderLock>,
    ledger: Option<Ledger>,
    state: State,
    library: Library,
    read_only: Option<String>,
    session: Option<Session>,
    clock: Clock,
}

struct Session {
    key: UnlockedKey,
    last_used: Instant,
}

impl Workshop {
    /// Opens a folder for work. If another window has it, or its disk can't be written, it is
    /// opened for reading and says why. An empty folder waits to be founded.
    pub fn open(folder: &Path, clock: Clock) -> Result<Self, ShellError> {
        if !Ledger::exists(folder) {
            if !folder::is_free(folder)? {
                return Err(ShellError::NotEmpty { path: folder.to_owned() });
            }
            std::fs::create_dir_all(folder).map_err(ShellError::file(folder))?;
        }
        let lock = match FolderLock::take(folder) {
            Ok(Some(lock)) => lock,
            Ok(None) => {
                let reason = "Another Coldbench window has this workshop open.";
                return Self::open_to_read(folder, clock, reason);
            }
            Err(error) if !Ledger::exists(folder) => return Err(error),
            Err(error) => return Self::open_to_read(folder, clock, &error.to_string()),
        };
        let mut workshop = Self::empty(folder, clock);
        workshop.lock = Some(lock);
        if Ledger::exists(folder) {
            match Ledger::open(folder, Access::Write) {
                Ok(ledger) => workshop.take_in(ledger)?,
                Err(error) => match (&error, error.fault()) {
                    (LedgerError::InstallationKey { .. } | LedgerError::Newer { .. }, _)
                    | (_, Some(StorageFault::ReadOnly | StorageFault::Full)) => {
                        return Self::open_to_read(folder, workshop.clock, &error.to_string());
                    }
                    _ => return Err(error.into()),
                },
            }
            folder::lay_out_checklists(folder)?;
        }
        workshop.library = folder::load_library(folder);
        Ok(workshop)
    }

    /// Opens a folder for reading alone: for the command line and for a second window.
    pub fn open_to_read(folder: &Path, clock: Clock, reason: &str) -> Result<Self, ShellError> {
        let mut workshop = Self::empty(folder, clock);
        workshop.read_only = Some(reason.to_owned());
        workshop.take_in(Ledger::open(folder, Access::Read)?)?;
        workshop.library = folder::load_library(folder);
        Ok(workshop)
    }

    /// Stands for a folder that can't be opened, so that a window can say why.
    pub fn unopened(folder: &Path, clock: Clock, reason: &ShellError) -> Self {
        Self { read_only: Some(reason.to_string()), ..Self::empty(folder, clock) }
    }

    fn empty(folder: &Path, clock: Clock) -> Self {
        Self {
            folder: folder.to_owned(),
            lock: None,
            ledger: None,
            state: State::default(),
            library: Library::default(),
            read_only: None,
            session: None,
            clock,
        }
    }

    fn take_in(&mut self, ledger: Ledger) -> Result<(), ShellError> {
        let happened: Vec<Happened> = ledger
            .events()?
            .iter()
            .map(happened)
            .collect::<Result<Vec<_>, _>>()?
            .into_iter()
            .flatten()
            .collect();
        self.state = State::from_events(&happened);
        self.ledger = Some(ledger);
        Ok(())
    }

    /// Sets up an empty workshop with its first lead and station.
    pub fn found(&mut self, command: Command, pin: &Pin) -> Result<(), ShellError> {
        self.writable()?;
        // Ask the rules first: a refused founding leaves the folder as it was.
        decide(&self.state, &Actor::Program, command.clone(), self.clock.now())?;
        let enrolment = Enrolment::make("P-1", pin)?;
        folder::lay_out_checklists(&self.folder)?;
        if self.ledger.is_none() {
            self.ledger = Some(Ledger::create(&self.folder)?);
        }
        self.library = folder::load_library(&self.folder);
        self.store(None, &Actor::Program, command, vec![enrolment])?;
        Ok(())
    }

    /// Adds a person to the crew, with a key of their own.
    pub fn add_person(&mut self, command: Command, pin: &Pin) -> Result<(), ShellError> {
        let key = self.take_session()?;
        let actor = Actor::Person(PersonId::new(key.person()));
        let result = decide(&self.state, &actor, command.clone(), self.clock.now())
            .map_err(ShellError::from)
            .and_then(|events| match events.first() {
                Some(Event::PersonJoined { person, .. }) => {
                    Ok(vec![Enrolment::make(person.as_str(), pin)?])
                }
                _ => Ok(Vec::new()),
            })
            .and_then(|enrolments| self.store(Some(&key), &actor, command, enrolments));
        self.session = Some(Session { key, last_used: Instant::now() });
        result.map(drop)
    }

    /// Does what the unlocked person asks.
    pub fn act(&mut self, command: Command) -> Result<Vec<Event>, ShellError> {
        let key = self.take_session()?;
        let actor = Actor::Person(PersonId::new(key.person()));
        let result = self.store(Some(&key), &actor, command, Vec::new());
        self.session = Some(Session { key, last_used: Instant::now() });
        result
    }

    /// Does what a second person asks, with their PIN, without unlocking them for more.
    pub fn act_once(
        &mut self,
        person: &PersonId,
        pin: &Pin,
        command: Command,
    ) -> Result<Vec<Event>, ShellError> {
        self.writable()?;
        let key = self.ledger.as_mut().ok_or(Refusal::NotFounded)?.unlock(person.as_str(), pin)?;
        self.store(Some(&key), &Actor::Person(person.clone()), command, Vec::new())
    }

    /// What would become of a command of the unlocked person, without doing it.
    pub fn would(&self, command: Command) -> Result<Vec<Event>, Refusal> {
        let actor = self.active().map_or(Actor::Program, Actor::Person);
        decide(&self.state, &actor, command, self.now())
    }

    /// Unlocks a person's key for this window.
    pub fn unlock(&mut self, person: &PersonId, pin: &Pin) -> Result<(), ShellError> {
        self.writable()?;
        let known = self.state.crew.get(person).ok_or_else(|| Refusal::Unknown {
            what: "person of the crew",
            id: person.to_string(),
        })?;
        if !known.present {
            return Err(Refusal::LeftCrew { name: known.name.clone() }.into());
        }
        let ledger = self.ledger.as_mut().ok_or(Refusal::NotFounded)?;
        let key = ledger.unlock(person.as_str(), pin)?;
        self.session = Some(Session { key, last_used: Instant::now() });
        Ok(())
    }

    /// Locks again.
    pub fn lock(&mut self) {
        self.session = None;
    }

    /// Looks at the clock and at what another window wrote; locks a key that was idle too long.
    pub fn look_around(&mut self) -> Result<(), ShellError> {
        if self.session.as_ref().is_some_and(|session| session.last_used.elapsed() > IDLE) {
            self.session = None;
        }
        if self.read_only.is_none() {
            return self.tick();
        }
        if let Some(mut ledger) = self.ledger.take() {
            let newer = ledger.refresh();
            match newer {
                Ok(true) => self.take_in(ledger)?,
                Ok(false) => self.ledger = Some(ledger),
                Err(error) => {
                    self.ledger = Some(ledger);
                    return Err(error.into());
                }
            }
        }
        Ok(())
    }

    fn tick(&mut self) -> Result<(), ShellError> {
        if self.ledger.is_none() {
            return Ok(());
        }
        let now = self.clock.now();
        let events = decide(&self.state, &Actor::Program, Command::Tick, now)?;
        if events.is_empty() { Ok(()) } else { self.write(None, events, now, Vec::new()).map(drop) }
    }

    fn take_session(&mut self) -> Result<UnlockedKey, ShellError> {
        self.writable()?;
        match self.session.take() {
            Some(session) if session.last_used.elapsed() <= IDLE => Ok(session.key),
            _ => Err(ShellError::Locked),
        }
    }

    fn writable(&self) -> Result<(), ShellError> {
        match &self.read_only {
            Some(reason) => Err(ShellError::ReadOnly { reason: reason.clone() }),
            None => Ok(()),
        }
    }

    fn store(
        &mut self,
        key: Option<&UnlockedKey>,
        actor: &Actor,
        command: Command,
        enrolments: Vec<Enrolment>,
    ) -> Result<Vec<Event>, ShellError> {
        // First what the clock has to say: it may end the very clearance that is asked for.
        self.tick()?;
        let now = self.clock.now();
        let events = decide(&self.state, actor, command, now)?;
        self.write(key, events, now, enrolments)
    }

    fn write(
        &mut self,
        key: Option<&UnlockedKey>,
        events: Vec<Event>,
        now: Moment,
        enrolments: Vec<Enrolment>,
    ) -> Result<Vec<Event>, ShellError> {
        let ledger = self.ledger.as_mut().ok_or(Refusal::NotFounded)?;
        let new = events
            .iter()
            .map(|event| to_ledger(event, &self.state, now))
            .collect::<Result<Vec<_>, _>>()?;
        ledger.append(new, enrolments, key)?;
        let person = key.map(|key| PersonId::new(key.person()));
        for event in &events {
            let happened = Happened { at: now, person: person.clone(), event: event.clone() };
            self.state.evolve(&happened);
        }
        Ok(events)
    }

    /// Checks the whole ledger.
    pub fn verify(&self) -> Result<VerifyReport, ShellError> {
        let ledger = self.ledger.as_ref().ok_or(Refusal::NotFounded)?;
        ledger.check_file()?;
        Ok(coldbench_ledger::verify(&ledger.events()?, &ledger.installation_public()?)?)
    }

    /// Reads the checklists anew: they may have been edited.
    pub fn reload_library(&mut self) {
        self.library = folder::load_library(&self.folder);
    }

    /// The workshop as it follows from its events.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Its checklists.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Its folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Why nothing can be written, if so.
    pub fn read_only(&self) -> Option<&str> {
        self.read_only.as_deref()
    }

    /// The person whose key is unlocked.
    pub fn active(&self) -> Option<PersonId> {
        self.session.as_ref().map(|session| PersonId::new(session.key.person()))
    }

    /// The time now.
    pub fn now(&self) -> Moment {
        self.clock.now()
    }

    /// The clock, for making a demo's past.
    pub fn clock_mut(&mut self) -> &mut Clock {
        &mut self.clock
    }

    /// How many events the ledger holds.
    pub fn events(&self) -> u64 {
        self.ledger.as_ref().map_or(0, |ledger| ledger.head().events)
    }

    /// The newest event.
    pub fn head(&self) -> Option<&coldbench_ledger::Head> {
        self.ledger.as_ref().map(Ledger::head)
    }
}

/// A domain event as the ledger keeps it.
fn to_ledger(event: &Event, state: &State, at: Moment) -> Result<NewEvent, LedgerError> {
    let mut value = serde_json::to_value(event)?;
    let kind = value.get("kind").and_then(|kind| kind.as_str()).unwrap_or_default().to_owned();
    let body = value.get_mut("body").map(serde_json::Value::take).unwrap_or_default();
    let station = station_of(event, state).map_or_else(String::new, |id| id.to_string());
    Ok(NewEvent { at, station, kind, body })
}

/// Where an event happened, for the station's own log.
fn station_of(event: &Event, state: &State) -> Option<StationId> {
    let of_container = |id| state.containers.get(id).map(|container| container.station.clone());
    match event {
        Event::StationAdded { station, .. }
        | Event::ContainerListed { station, .. }
        | Event::ListBegun { station, .. }
        | Event::CheckAnswered { station, .. }
        | Event::ListComplete { station }
        | Event::ClearanceGranted { station, .. }
        | Event::StageBegun { station, .. }
        | Event::FlammableUsed { station, .. } => Some(station.clone()),
        Event::ContainerOpened { container }
        | Event::ContainerClosed { container }
        | Event::ContainerRemoved { container } => of_container(container),
        Event::ClearanceWithdrawn { clearance, .. } => {
            state.clearances.get(clearance).map(|clearance| clearance.station.clone())
        }
        Event::CautionUnderstood { at }
        | Event::ValueMeasured { at, .. }
        | Event::ValueAccepted { at, .. }
        | Event::LotNamed { at, .. }
        | Event::ClockStarted { at, .. }
        | Event::StepDone { at, .. }
        | Event::StepWitnessed { at }
        | Event::NoteWritten { at, .. } => {
            let run = state.rods.get(&at.rod)?.stage(&at.stage)?;
            Some(run.station.clone())
        }
        Event::WorkshopFounded { .. }
        | Event::PersonJoined { .. }
        | Event::PersonLeft { .. }
        | Event::TextKept { .. }
        | Event::ClockWentBack { .. }
        | Event::RodBegun { .. }
        | Event::RecordPrinted { .. } => None,
    }
}

/// A stored event as the domain reads it; `None` for the ledger's own.
fn happened(stored: &StoredEvent) -> Result<Option<Happened>, ShellError> {
    if stored.kind.starts_with("ledger.") {
        return Ok(None);
    }
    let unreadable = |what: String| LedgerError::Unreadable { seq: stored.seq, what };
    let at = stored.moment().ok_or_else(|| unreadable("its time is none".to_owned()))?;
    let body: serde_json::Value =
        serde_json::from_str(&stored.body).map_err(|error| unreadable(error.to_string()))?;
    let event = serde_json::json!({ "kind": stored.kind, "body": body });
    let event = serde_json::from_value(event).map_err(|error| {
        unreadable(format!("“{}” is unknown to this Coldbench or damaged ({error})", stored.kind))
    })?;
    let person = (!stored.person.is_empty()).then(|| PersonId::new(stored.person.as_str()));
    Ok(Some(Happened { at, person, event }))
}
