//! The window's typed commands: each unpacks, calls, and maps the error to a code and a sentence.

pub mod bench;
pub mod checklists;
pub mod paper;
pub mod people;
pub mod rod;
pub mod scale;
pub mod station;
pub mod teaching;
pub mod walk;

use crate::error::ShellError;
use crate::views::Trouble;
use crate::workshop::Workshop;
use coldbench_ledger::Pin;
use coldbench_shop::{Command, PersonId, Refusal};
use std::sync::{Mutex, MutexGuard, PoisonError};

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

    /// Does a command as somebody who gives their PIN with it, whoever is unlocked.
    fn act_once(&self, person: String, pin: String, command: Command) -> Answered<()> {
        let (person, pin) = (PersonId::new(person), Pin::new(pin));
        self.get().act_once(&person, &pin, command).map(drop).map_err(told)
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
