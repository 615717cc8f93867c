//! An open workshop: the one way from a command to the ledger and back.
//!
//! `act -> shop::decide -> ledger.append -> State::evolve`. Nothing is shown that is not stored.

use crate::backups::{self, Backup};
use crate::clock::Clock;
use crate::error::ShellError;
use crate::events::{audit_ledger, from_ledger, read_all, to_ledger};
use crate::folder::{self, FolderLock};
use coldbench_ledger::{
    Access, Enrolment, Head, KeyChange, Ledger, LedgerError, Pin, StorageFault, UnlockedKey,
    VerifyReport,
};
use coldbench_shop::{
    Actor, Command, Event, Library, Moment, PersonId, Refusal, Role, State, decide,
};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant, SystemTime};

/// How long an unlocked key stays so without use.
const IDLE: Duration = Duration::from_secs(15 * 60);

/// More than a slow machine or a corrected clock: it slept, or somebody set the clock.
const JUMP: chrono::TimeDelta = chrono::TimeDelta::seconds(90);

/// A workshop folder, open.
pub struct Workshop {
    folder: PathBuf,
    /// Held while this window may write.
    lock: Option<FolderLock>,
    ledger: Option<Ledger>,
    state: State,
    library: Library,
    /// The state of the shop's own files when they were read.
    library_stamp: Stamp,
    read_only: Option<String>,
    session: Option<Session>,
    clock: Clock,
    background: Background,
    /// The day on which it was last asked whether a backup is due.
    asked_for_backup: Option<chrono::NaiveDate>,
    /// The wall clock and the one that only runs on, when they were last looked at together.
    last_look: Option<(Moment, Instant)>,
}

/// What goes on beside the work, and what came of it.
#[derive(Debug, Clone, Default)]
pub struct Background(Arc<Mutex<Health>>);

/// What is known of the ledger and its backups.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Health {
    /// What verifying at the start came to: how many events hold, or what does not.
    pub verified: Option<Result<u64, String>>,
    /// What the last backup came to, in words.
    pub backup: Option<Result<String, String>>,
}

impl Background {
    fn change(&self, change: impl FnOnce(&mut Health)) {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }

    fn health(&self) -> Health {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// The shop's own files, each with when it was changed and how long it is.
type Stamp = Vec<(PathBuf, Option<SystemTime>, u64)>;

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
                    (
                        LedgerError::InstallationKey { .. }
                        | LedgerError::Newer { .. }
                        | LedgerError::File { .. },
                        _,
                    )
                    | (_, Some(StorageFault::ReadOnly | StorageFault::Full)) => {
                        return Self::open_to_read(folder, workshop.clock, &error.to_string());
                    }
                    _ => return Err(error.into()),
                },
            }
            // Nobody knows what went on while the program was shut: no heat on the strength of
            // what was cleared before.
            workshop.interrupted()?;
        }
        workshop.reload_library();
        Ok(workshop)
    }

    /// Opens a folder for reading alone: for the command line and for a second window.
    pub fn open_to_read(folder: &Path, clock: Clock, reason: &str) -> Result<Self, ShellError> {
        let mut workshop = Self::empty(folder, clock);
        workshop.read_only = Some(reason.to_owned());
        workshop.take_in(Ledger::open(folder, Access::Read)?)?;
        workshop.reload_library();
        Ok(workshop)
    }

    /// Stands for a folder that can't be opened, so that a window can say why.
    pub fn unopened(folder: &Path, clock: Clock, reason: &ShellError) -> Self {
        Self { read_only: Some(reason.to_string()), ..Self::empty(folder, clock) }
    }

    /// Why the ledger of this folder could not be opened, where this stands for one that could
    /// not. A folder that never was a workshop has no ledger to mourn.
    pub fn unopened_word(&self) -> Option<&str> {
        let was_one = self.ledger.is_none() && folder::origin(&self.folder).is_some();
        self.read_only.as_deref().filter(|_| was_one)
    }

    fn empty(folder: &Path, clock: Clock) -> Self {
        Self {
            folder: folder.to_owned(),
            lock: None,
            ledger: None,
            state: State::default(),
            library: Library::default(),
            library_stamp: Stamp::new(),
            read_only: None,
            session: None,
            clock,
            background: Background::default(),
            asked_for_backup: None,
            last_look: None,
        }
    }

    fn take_in(&mut self, ledger: Ledger) -> Result<(), ShellError> {
        let (state, unknown) = read_all(&ledger)?;
        if unknown > 0 {
            let reason = self.read_only.take().unwrap_or_default();
            self.read_only = Some(format!(
                "{reason} {unknown} events in it are unknown to this one and are not shown."
            ));
        }
        self.state = state;
        self.ledger = Some(ledger);
        Ok(())
    }

    /// Sets up an empty workshop with its first lead and station.
    pub fn found(&mut self, command: Command, pin: &Pin) -> Result<(), ShellError> {
        self.writable()?;
        // Ask the rules first: a refused founding leaves the folder as it was.
        decide(&self.state, &Actor::Program, command.clone(), self.clock.now())?;
        let enrolment = Enrolment::make("P-1", pin)?.that_may_enrol(true);
        if self.ledger.is_none() {
            self.ledger = Some(Ledger::create(&self.folder)?);
        }
        self.reload_library();
        self.store(None, &Actor::Program, command, vec![KeyChange::Enrol(enrolment)])?;
        Ok(())
    }

    /// Adds a person to the crew, with a key of their own.
    pub fn add_person(&mut self, command: Command, pin: &Pin) -> Result<(), ShellError> {
        let key = self.take_session()?;
        let actor = Actor::Person(PersonId::new(key.person()));
        let result = decide(&self.state, &actor, command.clone(), self.clock.now())
            .map_err(ShellError::from)
            .and_then(|events| match events.first() {
                Some(Event::PersonJoined { person, role, .. }) => {
                    let made = Enrolment::make(person.as_str(), pin)?;
                    Ok(vec![KeyChange::Enrol(made.that_may_enrol(*role == Role::Lead))])
                }
                _ => Ok(Vec::new()),
            })
            .and_then(|changes| self.store(Some(&key), &actor, command, changes));
        self.session = Some(Session { key, last_used: Instant::now() });
        result.map(drop)
    }

    /// Gives a person a new key under a new PIN. `by` vouches for them with their own PIN: a
    /// lead, or the person who wants another PIN.
    pub fn renew_key(
        &mut self,
        person: &PersonId,
        new_pin: &Pin,
        by: &PersonId,
        by_pin: &Pin,
    ) -> Result<(), ShellError> {
        self.writable()?;
        let key = self.ledger.as_mut().ok_or(Refusal::NotFounded)?.unlock(by.as_str(), by_pin)?;
        let (actor, command) =
            (Actor::PersonNow(by.clone()), Command::RenewKey { person: person.clone() });
        // The rules first: stretching the new PIN takes its time.
        decide(&self.state, &actor, command.clone(), self.clock.now())?;
        let lead = self.state.crew.get(person).is_some_and(|person| person.role == Role::Lead);
        let made = Enrolment::make(person.as_str(), new_pin)?;
        let made = made.in_place_of_the_old().that_may_enrol(lead);
        self.store(Some(&key), &actor, command, vec![KeyChange::Enrol(made)])?;
        if self.active().as_ref() == Some(person) {
            self.session = None;
        }
        Ok(())
    }

    /// Does what the unlocked person asks.
    pub fn act(&mut self, command: Command) -> Result<Vec<Event>, ShellError> {
        let key = self.take_session()?;
        let actor = Actor::Person(PersonId::new(key.person()));
        self.act_as(key, &actor, command)
    }

    /// Does what the unlocked person asks and gives their PIN with: a hold point.
    pub fn act_now(&mut self, pin: &Pin, command: Command) -> Result<Vec<Event>, ShellError> {
        self.writable()?;
        let person = self.active().ok_or(ShellError::Locked)?;
        let ledger = self.ledger.as_mut().ok_or(Refusal::NotFounded)?;
        let key = ledger.unlock(person.as_str(), pin)?;
        self.act_as(key, &Actor::PersonNow(person), command)
    }

    fn act_as(
        &mut self,
        key: UnlockedKey,
        actor: &Actor,
        command: Command,
    ) -> Result<Vec<Event>, ShellError> {
        let result = self.store(Some(&key), actor, command, Vec::new());
        // A key is unlocked for a stage: with its last step it locks.
        let stage_over = result.as_ref().is_ok_and(|events| self.ends_a_stage(events));
        let left = !self.state.crew.get(&PersonId::new(key.person())).is_some_and(|p| p.present);
        self.session = (!stage_over && !left).then(|| Session { key, last_used: Instant::now() });
        result
    }

    fn ends_a_stage(&self, events: &[Event]) -> bool {
        events.iter().any(|event| match event {
            Event::StepDone { at, .. } | Event::StepWitnessed { at } => {
                let run = self.state.rods.get(&at.rod).and_then(|rod| rod.stage(&at.stage));
                run.is_some_and(|run| run.finished.is_some())
            }
            _ => false,
        })
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
        let events =
            self.store(Some(&key), &Actor::PersonNow(person.clone()), command, Vec::new())?;
        if self.ends_a_stage(&events) {
            self.session = None;
        }
        Ok(events)
    }

    /// What would become of a command of the unlocked person, given the PIN where it takes one,
    /// without doing it.
    pub fn would(&self, command: Command) -> Result<Vec<Event>, Refusal> {
        let actor = self.active().map_or(Actor::Program, Actor::PersonNow);
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
        self.follow_files();
        // Nothing is signed on top of what does not hold.
        if let Some(Err(why)) = self.background.health().verified
            && self.read_only.is_none()
        {
            self.session = None;
            self.read_only = Some(why);
        }
        if self.read_only.is_none() {
            if self.jumped() {
                self.interrupted()?;
            }
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

    /// The machine slept, or somebody set the clock: the wall clock went another way than the one
    /// that only runs on.
    fn jumped(&mut self) -> bool {
        if !matches!(self.clock, Clock::Wall) {
            return false;
        }
        let here = (self.clock.now(), Instant::now());
        let Some((wall, steady)) = self.last_look.replace(here) else { return false };
        let Ok(passed) = chrono::TimeDelta::from_std(here.1 - steady) else { return true };
        ((here.0 - wall) - passed).abs() > JUMP
    }

    fn interrupted(&mut self) -> Result<(), ShellError> {
        if self.ledger.is_none() {
            return Ok(());
        }
        let now = self.clock.now();
        let events = decide(&self.state, &Actor::Program, Command::Interrupted, now)?;
        if events.is_empty() { Ok(()) } else { self.write(None, events, now, Vec::new()).map(drop) }
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
        changes: Vec<KeyChange>,
    ) -> Result<Vec<Event>, ShellError> {
        // First what the clock has to say: it may end the very clearance that is asked for.
        if self.jumped() {
            self.interrupted()?;
        }
        self.tick()?;
        let now = self.clock.now();
        let events = decide(&self.state, actor, command, now)?;
        self.write(key, events, now, changes)
    }

    fn write(
        &mut self,
        key: Option<&UnlockedKey>,
        events: Vec<Event>,
        now: Moment,
        mut changes: Vec<KeyChange>,
    ) -> Result<Vec<Event>, ShellError> {
        let ledger = self.ledger.as_mut().ok_or(Refusal::NotFounded)?;
        let new = events
            .iter()
            .map(|event| to_ledger(event, &self.state, now))
            .collect::<Result<Vec<_>, _>>()?;
        // Who leaves the crew signs no more: the ledger is told, and can show it by itself.
        changes.extend(events.iter().filter_map(|event| match event {
            Event::PersonLeft { person } => Some(KeyChange::End { person: person.to_string() }),
            _ => None,
        }));
        for stored in ledger.append(new, changes, key)? {
            if let Some(happened) = from_ledger(&stored)? {
                self.state.evolve(&happened);
            }
        }
        Ok(events)
    }

    /// Checks the whole ledger: the file, chain, signatures, keys, rights and order; that it holds
    /// each of `anchors`; and that it goes on from its newest backup.
    pub fn verify(&self, anchors: &[Head]) -> Result<VerifyReport, ShellError> {
        let ledger = self.ledger.as_ref().ok_or(Refusal::NotFounded)?;
        verify_ledger(ledger, &self.folder, anchors)
    }

    /// The same as a piece of work for another thread, with a reading connection of its own; what
    /// comes of it is found at the next [`Workshop::look_around`].
    pub fn verify_beside(&self) -> impl FnOnce() + Send + 'static {
        let (folder, background) = (self.folder.clone(), self.background.clone());
        let has_ledger = self.ledger.is_some();
        move || {
            if !has_ledger {
                return;
            }
            let verified = Ledger::open(&folder, Access::Read)
                .map_err(ShellError::from)
                .and_then(|ledger| verify_ledger(&ledger, &folder, &[]));
            if let Err(error) = &verified {
                tracing::error!(%error, "the ledger does not hold");
            }
            let told = verified.map(|report| report.events).map_err(|error| error.to_string());
            background.change(|health| health.verified = Some(told));
        }
    }

    /// The quiet backup of a closed day, if one is due, as a piece of work for another thread. It
    /// is asked for once a day.
    pub fn backup_beside(&mut self) -> Option<impl FnOnce() + Send + 'static> {
        let now = self.clock.now();
        let today = now.date_naive();
        if self.read_only.is_some() || self.asked_for_backup == Some(today) {
            return None;
        }
        let head = self.ledger.as_ref()?.head().clone();
        self.asked_for_backup = Some(today);
        let (folder, background) = (self.folder.clone(), self.background.clone());
        let latest = self.state.latest;
        Some(move || {
            let done = match backups::folder_of(&folder) {
                Ok(None) => return,
                Ok(Some(into)) if !backups::is_due(&into, &head, latest, today) => return,
                Ok(Some(into)) => backups::back_up(&folder, &into, &head.origin, now, true),
                Err(error) => Err(error),
            };
            let told = match done {
                Ok((path, _)) => Ok(format!("The quiet backup was made: {}.", path.display())),
                Err(error) => {
                    tracing::warn!(%error, "no backup");
                    Err(format!("The quiet backup could not be made. {error}"))
                }
            };
            background.change(|health| health.backup = Some(told));
        })
    }

    /// Makes a backup now, into the folder that was named for it.
    pub fn back_up(&self) -> Result<(PathBuf, VerifyReport), ShellError> {
        let into = backups::folder_of(&self.folder)?.ok_or(ShellError::NoBackupFolder)?;
        self.back_up_into(&into)
    }

    /// Makes a backup now, into a folder.
    pub fn back_up_into(&self, into: &Path) -> Result<(PathBuf, VerifyReport), ShellError> {
        let ledger = self.ledger.as_ref().ok_or(Refusal::NotFounded)?;
        let made =
            backups::back_up(&self.folder, into, &ledger.head().origin, self.clock.now(), false)?;
        let told = format!("A backup was made: {}.", made.0.display());
        self.background.change(|health| health.backup = Some(Ok(told)));
        Ok(made)
    }

    /// The newest backup that verifies, for a ledger that does not.
    pub fn way_back(&self) -> Option<Backup> {
        let into = backups::folder_of(&self.folder).ok()??;
        backups::newest_good(&into, &folder::origin(&self.folder)?)
    }

    /// Puts the ledger aside and a backup in its place, and opens it. Only where the ledger does
    /// not open or does not hold.
    pub fn bring_back(&mut self, backup: &Path) -> Result<PathBuf, ShellError> {
        let broken = matches!(self.background.health().verified, Some(Err(_)));
        if self.ledger.is_some() && !broken {
            return Err(ShellError::NotDamaged);
        }
        let now = self.clock.now();
        // The lock first: another window may be at work here.
        let lock = match self.lock.take() {
            Some(lock) => lock,
            None => FolderLock::take(&self.folder)?.ok_or(ShellError::OtherWindow)?,
        };
        self.session = None;
        self.ledger = None;
        let aside = backups::bring_back(&self.folder, backup, now);
        drop(lock);
        let opened = Self::open(&self.folder, self.clock.clone());
        let aside = aside?;
        *self = opened?;
        Ok(aside)
    }

    /// What is known of the ledger and its backups.
    pub fn health(&self) -> Health {
        self.background.health()
    }

    /// The ledger, to be read.
    pub fn ledger(&self) -> Option<&Ledger> {
        self.ledger.as_ref()
    }

    /// Reads the checklists anew: they may have been edited.
    pub fn reload_library(&mut self) {
        self.library_stamp = folder::stamp(&self.folder);
        self.library = folder::load_library(&self.folder);
    }

    /// Reads the checklists anew if a file of the shop's own was written, changed or taken away.
    fn follow_files(&mut self) {
        if self.library_stamp != folder::stamp(&self.folder) {
            self.reload_library();
        }
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

fn verify_ledger(
    ledger: &Ledger,
    folder: &Path,
    anchors: &[Head],
) -> Result<VerifyReport, ShellError> {
    ledger.check_file()?;
    let mut anchors = anchors.to_vec();
    if let Ok(Some(into)) = backups::folder_of(folder) {
        let newest = backups::newest(&into, &ledger.head().origin);
        // What was made before the ledger was brought back may be of the history that was lost.
        let restored = ledger.last_restored()?;
        let counts =
            |backup: &Backup| restored.is_none_or(|at| backup.made > backups::name_time(&at));
        anchors.extend(newest.filter(counts).map(|backup| backup.head));
    }
    let report = ledger.verify(&anchors)?;
    audit_ledger(ledger)?;
    Ok(report)
}
