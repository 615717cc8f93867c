//! What was done, as rows for other programs: one row an event, of one rod or of a span of days, as CSV
//! or JSON. [`COLUMNS`] says what stands in each.

use crate::error::ShellError;
use crate::events::from_ledger;
use crate::show;
use crate::workshop::Workshop;
use chrono::NaiveDate;
use coldbench_shop::{
    About, Event, Happened, Moment, Refusal, RodId, State, StepPlace, station_of, subject_of,
};
use serde::Serialize;

/// Every column: its name, and what stands in it. An empty cell means that there is none.
pub const COLUMNS: [(&str, &str); 20] = [
    ("event", "number of the event in the ledger, from 1"),
    ("at", "when, by the clock of the workshop: RFC 3339 with its offset from UTC"),
    ("done", "when it was done, where that is copied from a sheet filled in by hand: RFC 3339"),
    ("person", "name of the person who signed; Coldbench for what the program noted"),
    ("role", "their role: lead or helper"),
    ("subject", "what it is about: a rod, a station, or one word"),
    ("station", "name of the station where it happened"),
    ("rod", "id of the rod"),
    ("rod-title", "what the rod is called"),
    ("stage", "id of the stage"),
    ("step", "id of the step"),
    ("what", "what the step asks to be done, by the text that was signed"),
    ("kind", "kind of the event, as the ledger names it"),
    ("says", "what was entered: a value, a lot, a note, a correction, as written"),
    ("value", "the measured value as a number in its kept unit"),
    ("unit", "that unit"),
    ("within", "true or false: whether the value keeps its limits"),
    ("reason", "why, where a reason was given"),
    ("clearance", "reference of the clearance under which heat was used or that is spoken of"),
    ("body", "all that the event holds, as JSON"),
];

/// One event as a row. The order of the fields is that of [`COLUMNS`].
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Row {
    event: u64,
    at: String,
    done: String,
    person: String,
    role: String,
    subject: String,
    station: String,
    rod: String,
    rod_title: String,
    stage: String,
    step: String,
    what: String,
    kind: String,
    says: String,
    value: Option<f64>,
    unit: String,
    within: Option<bool>,
    reason: String,
    clearance: String,
    body: String,
}

/// Which events.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// Those of this rod; none: of all, and of the stations, the crew, the lots.
    pub rod: Option<RodId>,
    /// From this day on, by the clock of the workshop.
    pub from: Option<NaiveDate>,
    /// Up to this day, and with it.
    pub to: Option<NaiveDate>,
}

/// The form of the rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Comma-separated values (RFC 4180), the names of the columns first, in UTF-8.
    Csv,
    /// An array of objects, the columns as keys.
    Json,
}

/// The rows that are asked for, as text.
pub fn table(workshop: &Workshop, asked: &Asked, form: Form) -> Result<Vec<u8>, ShellError> {
    if let Some(rod) = &asked.rod
        && !workshop.state().rods.contains_key(rod)
    {
        return Err(Refusal::Unknown { what: "rod", id: rod.to_string() }.into());
    }
    let rows = rows(workshop, asked)?;
    match form {
        Form::Json => {
            let mut text = serde_json::to_vec_pretty(&rows).map_err(ShellError::table)?;
            text.push(b'\n');
            Ok(text)
        }
        Form::Csv => {
            let mut writer = csv::Writer::from_writer(Vec::new());
            if rows.is_empty() {
                let names = COLUMNS.iter().map(|(name, _)| *name);
                writer.write_record(names).map_err(ShellError::table)?;
            }
            for row in &rows {
                writer.serialize(row).map_err(ShellError::table)?;
            }
            writer.into_inner().map_err(ShellError::table)
        }
    }
}

fn rows(workshop: &Workshop, asked: &Asked) -> Result<Vec<Row>, ShellError> {
    let ledger = workshop.ledger().ok_or(Refusal::NotFounded)?;
    let mut state = State::default();
    let mut rows = Vec::new();
    for stored in ledger.events()? {
        let Some(happened) = from_ledger(&stored)? else { continue };
        let day = happened.at.date_naive();
        let subject = subject_of(&happened.event, &state);
        let wanted = asked.rod.as_ref().is_none_or(|rod| subject == rod.as_str())
            && asked.from.is_none_or(|from| day >= from)
            && asked.to.is_none_or(|to| day <= to);
        if wanted {
            rows.push(row(&state, &happened, subject, &stored.kind, &stored.body));
        }
        state.evolve(&happened);
    }
    Ok(rows)
}

/// `state` is that before the event.
fn row(state: &State, happened: &Happened, subject: String, kind: &str, body: &str) -> Row {
    let Happened { id, at, person, event } = happened;
    let signer = person.as_ref().and_then(|person| state.crew.get(person));
    let station = station_of(event, state).and_then(|id| state.stations.get(&id));
    let mut row = Row {
        event: id.number,
        at: at.to_rfc3339(),
        done: on_paper(event).map_or_else(String::new, Moment::to_rfc3339),
        person: show::name(state, person.as_ref()),
        role: signer.map_or_else(String::new, |person| person.role.words().to_owned()),
        subject,
        station: station.map_or_else(String::new, |station| station.name.clone()),
        kind: kind.to_owned(),
        body: body.to_owned(),
        ..Row::default()
    };
    if let Some((rod, place)) = rod_of(event) {
        row.rod = rod.to_string();
        let known = state.rods.get(rod).map(|rod| rod.plan.title.clone());
        row.rod_title = match (known, event) {
            (Some(title), _) => title,
            (None, Event::RodBegun { plan, .. }) => plan.title.clone(),
            (None, _) => String::new(),
        };
        if let Some(place) = place {
            at_step(state, place, &mut row);
        }
    }
    entered(event, &mut row);
    match event {
        Event::StepPresented { learner, .. } => {
            row.says = format!("presented to {}", show::name(state, Some(learner)));
        }
        Event::KeyPointsTold { learner, .. } => {
            row.says = format!("key point told by {}", show::name(state, Some(learner)));
        }
        _ => {}
    }
    row
}

fn at_step(state: &State, place: &StepPlace, row: &mut Row) {
    row.stage = place.stage.to_string();
    row.step = place.step.to_string();
    let run = state.rods.get(&place.rod).and_then(|rod| rod.stage(&place.stage));
    let step = run.and_then(|run| state.stage_text(&run.digest)?.step(&place.step));
    if let Some(step) = step {
        row.what.clone_from(&step.what);
        if let (Some(record), true) = (&step.record, row.kind == "value-measured") {
            record.measure.unit().clone_into(&mut row.unit);
        }
    }
}

/// The rod of an event, and the step if it is about one.
fn rod_of(event: &Event) -> Option<(&RodId, Option<&StepPlace>)> {
    match (event, event.about()) {
        (Event::FlammableUsed { at, .. }, _) | (_, About::Step(at)) => Some((&at.rod, Some(at))),
        (_, About::Rod(rod)) => Some((rod, None)),
        _ => None,
    }
}

/// When it was done by what paper says, where it is copied from a sheet.
fn on_paper(event: &Event) -> Option<&Moment> {
    match event {
        Event::StepDone { from_paper, .. } | Event::ListBegun { from_paper, .. } => {
            from_paper.as_ref().map(|paper| &paper.when)
        }
        Event::ValueMeasured { when, .. } | Event::ClockStarted { when, .. } => when.as_ref(),
        _ => None,
    }
}

/// What was entered, in the columns that hold it.
fn entered(event: &Event, row: &mut Row) {
    match event {
        Event::ValueMeasured { reading, within, .. } => {
            row.says.clone_from(&reading.text);
            row.value = Some(reading.value);
            row.within = Some(*within);
        }
        Event::LotNamed { lot, .. } => row.says.clone_from(lot),
        Event::NoteWritten { text, .. } => row.says.clone_from(text),
        Event::ClockStarted { name, minutes, .. } => row.says = format!("{name}, {minutes} min"),
        Event::CheckAnswered { shown, passes, .. } => {
            row.says.clone_from(shown);
            row.within = Some(*passes);
        }
        Event::AirRead { shown, .. } => row.says.clone_from(shown),
        Event::TemperatureRead { reading, .. } => {
            row.says.clone_from(&reading.text);
            row.value = Some(reading.value);
            "°C".clone_into(&mut row.unit);
        }
        Event::ReleaseRecorded { amount, purpose, .. } => {
            row.says = format!("{}: {purpose}", amount.text);
            row.value = Some(amount.value);
            "mL".clone_into(&mut row.unit);
        }
        Event::StepDone { clearance: Some(clearance), .. }
        | Event::ClearanceGranted { clearance, .. }
        | Event::WatchKept { clearance } => row.clearance = clearance.to_string(),
        Event::ClearanceWithdrawn { clearance, cause } => {
            row.clearance = clearance.to_string();
            cause.words().clone_into(&mut row.says);
        }
        Event::Corrected { to, reason, .. } => {
            to.shown().clone_into(&mut row.says);
            row.reason.clone_from(reason);
        }
        Event::ValueAccepted { reason, .. }
        | Event::ExpiredLotAccepted { reason, .. }
        | Event::RodRevised { reason, .. }
        | Event::OverrideAccepted { reason, .. } => row.reason.clone_from(reason),
        Event::StageLeftOut { stage, reason, .. } => {
            row.stage = stage.to_string();
            row.reason.clone_from(reason);
        }
        Event::TeachingAsked { stage, runs, refresh_days } => {
            row.stage = stage.to_string();
            let asked = format!("witnessed runs {runs}");
            row.says = refresh_days
                .map_or(asked.clone(), |days| format!("{asked}, refresh after {days} days"));
        }
        Event::StageBegun { stage, .. }
        | Event::StageMoved { stage, .. }
        | Event::StageTakenIn { stage, .. } => row.stage = stage.to_string(),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_columns_are_those_of_a_row_in_their_order() {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.serialize(Row::default()).unwrap();
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let names: Vec<&str> = text.lines().next().unwrap().split(',').collect();
        assert_eq!(names, COLUMNS.map(|(name, _)| name));
        assert!(COLUMNS.iter().all(|(_, words)| !words.is_empty()));
    }
}
