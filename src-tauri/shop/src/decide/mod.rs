//! The only place where a rule lives: what may happen next, given what happened so far.

mod air;
mod away;
mod build;
mod correct;
mod lot;
mod own_text;
mod paper;
mod revise;
mod setup;
mod station;
mod teach;

pub use build::clock_runs;
pub use teach::lead_sees;

use crate::command::{Actor, Command};
use crate::crew::Role;
use crate::event::{Event, Moment, WithdrawalCause};
use crate::ids::{ClearanceId, PersonId, StationId, TextDigest};
use crate::refusal::Refusal;
use crate::state::{Clearance, State};

/// What a command amounts to: the events to store, in order, or why nothing happens.
///
/// `now` is the wall clock of the workshop; `actor` the person whose key is unlocked.
pub fn decide(
    state: &State,
    actor: &Actor,
    command: Command,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    if matches!(command, Command::Tick) {
        return Ok(tick(state, now));
    }
    if matches!(command, Command::Interrupted) {
        return Ok(interrupted(state, now));
    }
    if let Command::Found { name, demo, lengths, lead, station } = command {
        return setup::found(state, &name, demo, lengths, &lead, &station);
    }
    if state.workshop.is_none() {
        return Err(Refusal::NotFounded);
    }
    let person = present(state, actor)?;
    let asks_pin = asks_pin(state, &command);
    let events = decided(state, person, command, now)?;
    // Last, so that what else is missing is said first.
    if asks_pin && !matches!(actor, Actor::PersonNow(_)) {
        return Err(Refusal::PinAgain);
    }
    Ok(events)
}

/// Whether a command is one past which nobody goes in passing: it needs the PIN with it.
fn asks_pin(state: &State, command: &Command) -> bool {
    match command {
        Command::WitnessStep(_)
        | Command::AskTeaching { .. }
        | Command::PresentStep { .. }
        | Command::HearKeyPoints { .. }
        | Command::KeyInStep { .. }
        | Command::AcceptValue { .. }
        | Command::AcceptExpiredLot { .. }
        | Command::Correct { .. }
        | Command::MoveStage { .. }
        | Command::LeaveOutStage { .. }
        | Command::AcceptOverride { .. }
        | Command::RenewKey { .. } => true,
        // Adding a measurement is work at the bench; putting one right changes what others saw.
        Command::ReviseRod { change, .. } => change.is_correction(),
        Command::SignStep(at) => {
            build::step_of(state, at).is_some_and(crate::checklist::Step::is_hold_point)
        }
        Command::CompleteList { station } => station::clears_heat(state, station),
        _ => false,
    }
}

fn decided(
    state: &State,
    person: &PersonId,
    command: Command,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    match command {
        Command::Tick | Command::Interrupted | Command::Found { .. } => Ok(Vec::new()),
        Command::AddPerson { name, role } => setup::add_person(state, person, &name, role),
        Command::PersonLeaves { person: leaving } => {
            setup::person_leaves(state, person, leaving, now)
        }
        Command::RenewKey { person: whose } => setup::renew_key(state, person, whose),
        Command::AddStation(station) => setup::add_station(state, person, &station),
        Command::ListContainer { station, name, autoignition, material } => {
            station::list_container(state, station, &name, &autoignition, material, now)
        }
        Command::ReadAir { station, answer } => air::read(state, station, answer),
        Command::StopAir { station } => air::stop(state, station, now),
        Command::RecordRelease { station, material, amount, purpose } => {
            air::release(state, station, *material, &amount, &purpose, now)
        }
        Command::SignWatch { station } => air::sign_watch(state, person, &station, now),
        Command::CloseStation { station } => air::close(state, station, now),
        Command::OpenContainer { container } => station::open_container(state, container, now),
        Command::CloseContainer { container } => station::close_container(state, container),
        Command::RemoveContainer { container } => station::remove_container(state, container),
        Command::BeginList { station, list, from_paper } => {
            station::begin(state, station, person, *list, from_paper, now)
        }
        Command::AnswerCheck { station, check, answer } => {
            station::answer(state, station, &check, answer)
        }
        Command::CompleteList { station } => station::complete(state, person, station, now),
        Command::Withdraw { clearance, cause } => station::withdraw(state, &clearance, cause, now),
        Command::BeginRod(plan) => build::begin_rod(state, *plan),
        Command::ReviseRod { rod, change, reason, sure } => {
            revise::revise(state, person, rod, change, &reason, sure)
        }
        Command::MeasureRoom { station, volume } => {
            setup::measure_room(state, person, &station, &volume, now)
        }
        Command::ChooseUnits(units) => setup::choose_units(state, person, units),
        Command::ReadTemperature { station, text } => air::warm(state, station, &text),
        Command::BeginStage { rod, stage, station } => {
            build::begin_stage(state, rod, *stage, station, now)
        }
        Command::LeaveOutStage { rod, stage, reason } => {
            build::leave_out(state, person, rod, &stage, &reason)
        }
        Command::TakeInStage { rod, stage } => build::take_in(state, rod, stage),
        Command::MoveStage { rod, stage } => own_text::move_stage(state, person, rod, *stage),
        Command::AcceptOverride { texts, reason } => {
            own_text::accept(state, person, *texts, &reason)
        }
        Command::UnderstandCaution(at) => build::understand(state, person, at, now),
        Command::MeasureValue { at, text } => build::measure(state, at, &text, now),
        Command::AcceptValue { at, reason } => build::accept(state, person, at, &reason, now),
        Command::RegisterLot { what, marking, expires } => {
            lot::register(state, &what, &marking, &expires)
        }
        Command::LotGone { lot } => lot::gone(state, lot),
        Command::AcceptExpiredLot { at, reason } => {
            lot::accept_expired(state, person, at, &reason, now)
        }
        Command::NameLot { at, lot } => build::name_lot(state, at, &lot, now),
        Command::StartClock { at, minutes } => build::start_clock(state, at, minutes, now),
        Command::SignStep(at) => build::sign(state, person, at, now),
        Command::KeyInStep { at, sheet } => paper::key_in(state, person, at, sheet, now),
        Command::AskTeaching { stage, runs, refresh_days } => {
            teach::ask(state, person, stage, runs, refresh_days)
        }
        Command::PresentStep { at, learner } => teach::present(state, person, at, learner),
        Command::HearKeyPoints { at, learner } => teach::hear(state, person, at, learner),
        Command::WitnessStep(at) => build::witness(state, person, at),
        Command::CallAway(at) => away::call_away(state, person, at, now),
        Command::ComeBack(at) => away::come_back(state, at),
        Command::WriteNote { at, text } => build::note(state, at, &text),
        Command::Correct { at, event, says, reason } => {
            correct::correct(state, person, at, event, &says, &reason)
        }
        Command::RecordPrinted { rod, head, events } => {
            known(state.rods.contains_key(&rod), "rod", rod.as_str())?;
            Ok(vec![Event::RecordPrinted { rod, head, events }])
        }
    }
}

/// A clock that runs backwards is noted once, and ends every clearance. A clearance whose time ran
/// out is noted too: set back later, the clock must not bring it to life again.
fn tick(state: &State, now: Moment) -> Vec<Event> {
    let open = || state.clearances.iter().filter(|(_, c)| c.withdrawn.is_none() && !c.lapsed);
    let ended = |(id, _): (&ClearanceId, &Clearance), cause| Event::ClearanceWithdrawn {
        clearance: id.clone(),
        cause,
    };
    match state.latest {
        Some(latest) if state.clock_is_behind(now) => {
            if state.clock_behind {
                return Vec::new();
            }
            let mut events = vec![Event::ClockWentBack { latest }];
            let live = open().filter(|(_, c)| latest < c.until);
            events.extend(live.map(|found| ended(found, WithdrawalCause::ClockWentBack)));
            events
        }
        _ => open()
            .filter(|(_, c)| now >= c.until)
            .map(|found| ended(found, WithdrawalCause::Lapsed))
            .collect(),
    }
}

/// Nobody knows what went on while the program or the machine stood still: whether the air moved,
/// whether somebody watched. What was live is over, and the air is to be read anew.
fn interrupted(state: &State, now: Moment) -> Vec<Event> {
    state
        .clearances
        .iter()
        .filter(|(_, clearance)| state.is_live(clearance, now))
        .map(|(id, _)| Event::ClearanceWithdrawn {
            clearance: id.clone(),
            cause: WithdrawalCause::Interrupted,
        })
        .collect()
}

/// The person who asks, if they are of the crew.
fn present<'a>(state: &State, actor: &'a Actor) -> Result<&'a PersonId, Refusal> {
    let (Actor::Person(id) | Actor::PersonNow(id)) = actor else {
        return Err(Refusal::Missing { what: "The person who does this" });
    };
    let person = state
        .crew
        .get(id)
        .ok_or_else(|| Refusal::Unknown { what: "person of the crew", id: id.to_string() })?;
    if person.present { Ok(id) } else { Err(Refusal::LeftCrew { name: person.name.clone() }) }
}

fn lead_only(state: &State, person: &PersonId, what: &'static str) -> Result<(), Refusal> {
    match state.crew.get(person) {
        Some(person) if person.role == Role::Lead => Ok(()),
        _ => Err(Refusal::LeadOnly { what }),
    }
}

fn known(is_known: bool, what: &'static str, id: &str) -> Result<(), Refusal> {
    if is_known { Ok(()) } else { Err(Refusal::Unknown { what, id: id.to_owned() }) }
}

/// Longest single-line text on a record.
const LINE: usize = 200;
/// Longest free text on a record.
const PROSE: usize = 4000;

fn text(what: &'static str, text: &str, most: usize) -> Result<String, Refusal> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(Refusal::Missing { what });
    }
    if trimmed.chars().count() > most {
        return Err(Refusal::TooLong { what, most });
    }
    Ok(trimmed.to_owned())
}

/// Withdraws all that is live at a station.
fn withdraw_live(
    state: &State,
    station: &StationId,
    cause: WithdrawalCause,
    now: Moment,
) -> impl Iterator<Item = Event> {
    state
        .clearances
        .iter()
        .filter(move |(_, c)| &c.station == station && state.is_live(c, now))
        .map(move |(id, _)| Event::ClearanceWithdrawn { clearance: id.clone(), cause })
}

/// Withdraws all that is live at any station of the same room: its air is one.
fn withdraw_room(
    state: &State,
    station: &StationId,
    cause: WithdrawalCause,
    now: Moment,
) -> impl Iterator<Item = Event> {
    state
        .clearances
        .iter()
        .filter(move |(_, c)| state.share_a_room(&c.station, station) && state.is_live(c, now))
        .map(move |(id, _)| Event::ClearanceWithdrawn { clearance: id.clone(), cause })
}

/// Keeps a text in the ledger the first time something is begun by it.
fn keep_text(state: &State, digest: &TextDigest, source: String) -> Option<Event> {
    (!state.texts.contains_key(digest))
        .then(|| Event::TextKept { digest: digest.clone(), text: source })
}

/// The next free number for ids of the form `R-3`.
fn next<'a>(prefix: &str, ids: impl Iterator<Item = &'a str>) -> String {
    let highest = ids
        .filter_map(|id| id.strip_prefix(prefix)?.strip_prefix('-')?.parse::<u64>().ok())
        .max()
        .unwrap_or(0);
    format!("{prefix}-{}", highest + 1)
}

#[cfg(test)]
mod tests;
