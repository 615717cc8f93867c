//! Between the domain's events and the ledger's.

use crate::error::ShellError;
use coldbench_ledger::{Extract, Ledger, LedgerError, NewEvent, OWN_KINDS, StoredEvent, Told};
use coldbench_shop::{
    AuditFault, Audited, Event, EventRef, Happened, Moment, PersonId, State, audit, station_of,
    subject_of,
};
use std::num::NonZero;
use std::thread::ScopedJoinHandle;

/// A domain event as the ledger keeps it. `state` is that before the event.
pub fn to_ledger(event: &Event, state: &State, at: Moment) -> Result<NewEvent, LedgerError> {
    let mut value = serde_json::to_value(event)?;
    let kind = value.get("kind").and_then(|kind| kind.as_str()).unwrap_or_default().to_owned();
    let body = value.get_mut("body").map(serde_json::Value::take).unwrap_or_default();
    let station = station_of(event, state).map_or_else(String::new, |id| id.to_string());
    Ok(NewEvent { at, station, kind, subject: subject_of(event, state), body })
}

/// A stored event as the domain reads it; `None` for the ledger's own.
pub fn from_ledger(stored: &StoredEvent) -> Result<Option<Happened>, LedgerError> {
    let StoredEvent { origin, seq, at, person, kind, body, .. } = stored;
    understood(origin, *seq, at, person, kind, body)
}

fn understood(origin: &str, seq: u64, at: &str, person: &str, kind: &str, body: &str) -> Read {
    if kind.starts_with(OWN_KINDS) {
        return Ok(None);
    }
    let unreadable = |what: String| LedgerError::Unreadable { seq, what };
    let at = chrono::DateTime::parse_from_rfc3339(at)
        .map_err(|_| unreadable("its time is none".to_owned()))?;
    // The body goes in as it stands: a detour over a tree of values takes twice as long.
    let name = serde_json::to_string(kind)?;
    let event = serde_json::from_str(&format!("{{\"kind\":{name},\"body\":{body}}}"));
    let event = event.map_err(|error| {
        unreadable(format!("“{kind}” is unknown to this Coldbench or damaged ({error})"))
    })?;
    let person = (!person.is_empty()).then(|| PersonId::new(person));
    let id = EventRef { origin: origin.to_owned(), number: seq };
    Ok(Some(Happened { id, at, person, event }))
}

/// All of a ledger as the domain reads it, with the number of events that it can't read: none,
/// unless a newer program wrote them.
///
/// While one batch is fetched from the disk, the one before is understood beside it.
pub fn read_all(ledger: &Ledger) -> Result<(State, u64), ShellError> {
    let mut state = State::default();
    let mut unknown = 0;
    let mut settle = |reads: Vec<Read>| {
        for read in reads {
            match read {
                Ok(Some(happened)) => state.evolve(&happened),
                Ok(None) => {}
                Err(_) if ledger.is_newer() => unknown += 1,
                Err(error) => return Err(ShellError::from(error)),
            }
        }
        Ok(())
    };
    std::thread::scope(|scope| {
        let mut before: Option<ScopedJoinHandle<'_, Vec<Read>>> = None;
        ledger.each_told(|batch| {
            let batch = std::mem::take(batch);
            let next = scope.spawn(move || on_all_cores(&batch, told));
            before.replace(next).map_or(Ok(()), |done| settle(joined(done)?))
        })?;
        before.map_or(Ok(()), |done| settle(joined(done)?))
    })?;
    Ok((state, unknown))
}

fn told(told: &Told) -> Read {
    let Told { origin, seq, at, person, kind, body } = told;
    understood(origin, *seq, at, person, kind, body)
}

fn joined(thread: ScopedJoinHandle<'_, Vec<Read>>) -> Result<Vec<Read>, LedgerError> {
    let what = || "the program failed over it".to_owned();
    thread.join().map_err(|_| LedgerError::Unreadable { seq: 0, what: what() })
}

type Read = Result<Option<Happened>, LedgerError>;

/// Reads events on all cores, in order.
fn on_all_cores<T: Sync>(events: &[T], read: impl Fn(&T) -> Read + Sync) -> Vec<Read> {
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
    let share = events.len().div_ceil(cores).max(256);
    if events.len() <= share {
        return events.iter().map(read).collect();
    }
    let read = &read;
    std::thread::scope(|scope| {
        let threads: Vec<_> = events
            .chunks(share)
            .map(|part| (part, scope.spawn(move || part.iter().map(read).collect::<Vec<_>>())))
            .collect();
        threads
            .into_iter()
            .flat_map(|(part, thread)| {
                thread.join().unwrap_or_else(|_| part.iter().map(read).collect())
            })
            .collect()
    })
}

/// Asks of each event of a record whether it could be, and gives the state they come to.
pub fn audit_extract(extract: &Extract) -> Result<State, ShellError> {
    let entries: Vec<Result<Option<Happened>, &str>> = extract
        .events()
        .map(|entry| match entry {
            Ok(stored) => from_ledger(stored).map(Ok),
            Err(subject) => Ok(Err(subject)),
        })
        .collect::<Result<_, _>>()?;
    Ok(audited(entries.iter().map(|entry| match entry {
        Ok(Some(happened)) => Audited::Whole(happened),
        Ok(None) => Audited::Own,
        Err(subject) => Audited::Folded(subject),
    }))?)
}

/// Asks the same of a whole ledger.
pub fn audit_ledger(ledger: &Ledger) -> Result<State, ShellError> {
    let events = ledger.events()?;
    let read = on_all_cores(&events, from_ledger).into_iter().collect::<Result<Vec<_>, _>>()?;
    Ok(audited(read.iter().map(|entry| match entry {
        Some(happened) => Audited::Whole(happened),
        None => Audited::Own,
    }))?)
}

fn audited<'a>(events: impl Iterator<Item = Audited<'a>>) -> Result<State, AuditFault> {
    audit(events, coldbench_ledger::sha256_hex)
}
