//! What was done while the program was away, copied in from a sheet that was filled in by hand: by the
//! rules of the walk, as of the time on the sheet.

use super::{build, known, lead_only, lot};
use crate::command::SheetLine;
use crate::event::{Event, EventRef, FromPaper, Happened, Moment, StepPlace};
use crate::ids::PersonId;
use crate::refusal::Refusal;
use crate::run::{StageRun, StepRun};
use crate::state::State;
use chrono::TimeDelta;

/// Who says so may say so, and not of a time to come.
pub(super) fn by_whom(
    state: &State,
    person: &PersonId,
    paper: &FromPaper,
    now: Moment,
) -> Result<(), Refusal> {
    known(state.crew.contains_key(&paper.by), "person of the crew", paper.by.as_str())?;
    if paper.by != *person {
        lead_only(state, person, "copy in what another person did")?;
    }
    if paper.when > now {
        let why = "it has not come yet.".to_owned();
        return Err(Refusal::PaperTime { why });
    }
    Ok(())
}

pub(super) fn key_in(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    sheet: SheetLine,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    if build::step_of(state, &at).is_some_and(|step| step.heat) {
        return Err(Refusal::HeatNotFromPaper);
    }
    let SheetLine { done, values, lot, clock, minutes, reason } = sheet;
    by_whom(state, person, &done, now)?;
    let (run, _) = build::stage_of(state, &at)?;
    let clock = clock.unwrap_or(done.when);
    in_turn(state, run, &at, clock.min(done.when))?;
    if clock > done.when {
        let why = "the clock was started after the step was done.".to_owned();
        return Err(Refusal::PaperTime { why });
    }

    let mut copied = Copied { state: state.clone(), person, now, events: Vec::new() };
    for value in values.iter().filter(|value| !value.trim().is_empty()) {
        copied.take(build::measure(&copied.state, at.clone(), value, now)?, |event| {
            if let Event::ValueMeasured { when, .. } = event {
                *when = Some(done.when);
            }
        });
        if !reason.trim().is_empty() && copied.last_is_outside(&at) {
            copied.as_it_is(build::accept(&copied.state, person, at.clone(), &reason, now)?);
        }
    }
    if !lot.trim().is_empty() {
        copied.as_it_is(build::name_lot(&copied.state, at.clone(), &lot, now)?);
        if !reason.trim().is_empty() && copied.lot_is_past(&at, done.when) {
            let accepted =
                lot::accept_expired(&copied.state, person, at.clone(), &reason, done.when)?;
            copied.as_it_is(accepted);
        }
    }
    let starts = build::step_of(state, &at).is_some_and(|step| step.starts.is_some());
    if starts {
        let started = build::start_clock(&copied.state, at.clone(), minutes, clock)?;
        copied.take(started, |event| {
            if let Event::ClockStarted { when, .. } = event {
                *when = Some(clock);
            }
        });
    }
    let signed = build::sign_what_was_done(&copied.state, person, &done.by, at, done.when, now)?;
    copied.take(signed, |event| {
        if let Event::StepDone { from_paper, .. } = event {
            *from_paper = Some(done.clone());
        }
    });
    Ok(copied.events)
}

/// No step was done before the one that comes before it, nor before the rod was begun.
fn in_turn(state: &State, run: &StageRun, at: &StepPlace, when: Moment) -> Result<(), Refusal> {
    let before = run.steps.values().filter_map(StepRun::when).max();
    let begun = state.rods.get(&at.rod).map(|rod| rod.begun);
    match before.max(begun) {
        // A sheet is written to the minute.
        Some(before) if when + TimeDelta::minutes(1) <= before => {
            let before = before.with_timezone(when.offset()).format("%a %-d %b %H:%M");
            let why = format!("what came before it was done on {before}.");
            Err(Refusal::PaperTime { why })
        }
        _ => Ok(()),
    }
}

/// What the line comes to so far, and the workshop with it.
struct Copied<'a> {
    state: State,
    person: &'a PersonId,
    now: Moment,
    events: Vec<Event>,
}

impl Copied<'_> {
    fn as_it_is(&mut self, events: Vec<Event>) {
        self.take(events, |_| {});
    }

    fn take(&mut self, events: Vec<Event>, mark: impl Fn(&mut Event)) {
        for mut event in events {
            mark(&mut event);
            self.state.evolve(&Happened {
                // Never stored under this; what comes next asks for no event by its number.
                id: EventRef::default(),
                at: self.now,
                person: Some(self.person.clone()),
                event: event.clone(),
            });
            self.events.push(event);
        }
    }

    fn last_is_outside(&self, at: &StepPlace) -> bool {
        self.step(at).and_then(|step| step.values.last()).is_some_and(|value| !value.within)
    }

    fn lot_is_past(&self, at: &StepPlace, when: Moment) -> bool {
        self.step(at).is_some_and(|step| lot::expired(&self.state, step, when).is_some())
    }

    fn step(&self, at: &StepPlace) -> Option<&StepRun> {
        self.state.rods.get(&at.rod)?.stage(&at.stage)?.steps.get(&at.step)
    }
}
