//! A checklist to fill in by hand: from its text to the printed page's plain data.

use crate::build_log::hazard_words;
use crate::error::ShellError;
use crate::pages::{
    as_if_begun, clock_words, heat_words, imprint, in_hand, left_out, notices, rod, rod_name,
    stage_text,
};
use crate::show;
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_record::{HandAnswer, HandClock, HandLine, HandList, TextOf};
use coldbench_shop::checklist::{AnswerKind, Check, Signed, Stage, StationKind, StationList, Step};
use coldbench_shop::{Refusal, Rod, RodId, StageId, StageRun, State};

/// A stage or a list of a station to fill in by hand; a stage also for one rod.
pub fn hand_list(
    workshop: &Workshop,
    id: &str,
    rod: Option<&RodId>,
    paper: page::Paper,
) -> Result<HandList, ShellError> {
    let stage = StageId::new(id);
    let library = workshop.library();
    let known = library.stage(&stage);
    if let Some(rod) = rod {
        let begun = self::rod(workshop.state(), rod)?.stage(&stage).is_some();
        if known.is_none() && !begun && library.list_for(id).is_some() {
            return Err(ShellError::Field {
                field: "rod".to_owned(),
                message: format!("“{id}” is a list of a station: leave the rod out."),
            });
        }
        return of_rod(workshop, rod, &stage, paper);
    }
    if let Some(stage) = known {
        return of_any_rod(workshop, stage, paper);
    }
    match library.list_for(id) {
        Some(list) => of_station(workshop, &list.list, paper),
        None => Err(Refusal::Unknown { what: "checklist", id: id.to_owned() }.into()),
    }
}

fn of_rod(
    workshop: &Workshop,
    id: &RodId,
    stage: &StageId,
    paper: page::Paper,
) -> Result<HandList, ShellError> {
    let state = as_if_begun(workshop, id, stage)?;
    let (rod, run, stage) = in_hand(&state, id, stage)?;
    Ok(HandList {
        imprint: imprint(workshop, paper)?,
        text: stage_text(stage, &run.digest),
        rod: Some(rod_name(id, rod)),
        of_rod: true,
        notices: notices(rod, stage),
        lines: (1..)
            .zip(&stage.steps)
            .map(|(number, step)| HandLine {
                closed: closed(&state, rod, run, step),
                ..line_of_step(&state, Some(run), stage, number, step)
            })
            .collect(),
    })
}

/// Why there is nothing to fill in at a step of a rod.
fn closed(state: &State, rod: &Rod, run: &StageRun, step: &Step) -> String {
    if let Some((signed, done)) = run.steps.get(&step.id).and_then(|s| Some((s, s.done.as_ref()?)))
    {
        let (who, when) = (show::name(state, done.by.as_ref()), done.at.format("%Y-%m-%d %H:%M"));
        let awaits = signed.awaits_witness(step, &state.crew);
        let witness = if awaits { " Its witness still has to sign there." } else { "" };
        return format!("Signed in Coldbench by {who}, {when}.{witness}");
    }
    let why = left_out(rod, run, step);
    if why.is_empty() { why } else { format!("Left out on this rod. {why}") }
}

fn of_any_rod(
    workshop: &Workshop,
    signed: &Signed<Stage>,
    paper: page::Paper,
) -> Result<HandList, ShellError> {
    let stage = &signed.list;
    let lines = (1..)
        .zip(&stage.steps)
        .map(|(number, step)| line_of_step(workshop.state(), None, stage, number, step));
    let mut notices = Vec::new();
    if stage.steps.iter().any(|step| !step.condition.is_for_all()) {
        notices.push(
            "Some steps are for some rods alone: strike out those that this rod has no use for."
                .to_owned(),
        );
    }
    Ok(HandList {
        imprint: imprint(workshop, paper)?,
        text: stage_text(stage, &signed.digest),
        rod: None,
        of_rod: true,
        notices,
        lines: lines.collect(),
    })
}

fn line_of_step(
    state: &State,
    run: Option<&StageRun>,
    stage: &Stage,
    number: u32,
    step: &Step,
) -> HandLine {
    let values = step.record.iter().map(|record| HandAnswer::Value {
        name: record.name.clone(),
        limits: record.limits.clone(),
        times: u32::try_from(record.repeat.max(1)).unwrap_or(u32::MAX),
    });
    let starts = step.starts.iter().map(|clock| (clock, true));
    let over = step.waits_for.iter().chain(&step.ends);
    let over = over.filter_map(|id| stage.clock(id)).map(|(_, clock)| (clock, false));
    let clocks = starts
        .chain(over)
        .map(|(clock, starts)| HandClock { words: clock_words(state, run, clock), starts });
    HandLine {
        number,
        what: step.what.clone(),
        asks: false,
        key_point: step.key_point.clone(),
        caution: step.caution.clone(),
        hazards: step.hazards.iter().map(|code| hazard_words(code)).collect(),
        wear: step.wear.clone(),
        heat: heat_words(step),
        answers: values.collect(),
        lot: step.lot.clone(),
        clocks: clocks.collect(),
        witness: step.needs_witness(),
        closed: String::new(),
    }
}

fn of_station(
    workshop: &Workshop,
    signed: &Signed<StationList>,
    paper: page::Paper,
) -> Result<HandList, ShellError> {
    let list = &signed.list;
    let mut notices = Vec::new();
    if list.kind == StationKind::HeatClearance {
        notices.push(
            "Filled in by hand, this sheet grants no clearance: heat waits until Coldbench runs again and has granted one."
                .to_owned(),
        );
    }
    Ok(HandList {
        imprint: imprint(workshop, paper)?,
        text: TextOf {
            title: list.title.clone(),
            aim: list.aim.clone(),
            id: list.id.clone(),
            revised: list.revised.clone(),
            sha256: signed.digest.to_string(),
        },
        rod: None,
        of_rod: false,
        notices,
        lines: (1..)
            .zip(&list.checks)
            .map(|(number, check)| line_of_check(workshop.state(), number, check))
            .collect(),
    })
}

fn line_of_check(state: &State, number: u32, check: &Check) -> HandLine {
    let lines = |labels: &[&str]| {
        HandAnswer::Lines(labels.iter().map(|label| (*label).to_owned()).collect())
    };
    let answer = match &check.answer {
        AnswerKind::Choice { states, pass } => HandAnswer::Choice(
            states.iter().map(|state| (state.clone(), pass.contains(state))).collect(),
        ),
        AnswerKind::Value { limits, .. } => {
            HandAnswer::Value { name: "Value".to_owned(), limits: limits.clone(), times: 1 }
        }
        AnswerKind::Airflow => lines(&[
            "Mean air speed, with its unit",
            "Free opening, with its unit",
            "Or the fan's rated flow, with its unit",
            "Share of it that counts, in percent",
        ]),
        AnswerKind::Containers => HandAnswer::Ticks {
            head: "Container".to_owned(),
            states: ["closed, in its store", "closed, still here", "open"]
                .map(str::to_owned)
                .into(),
            rows: state
                .containers
                .values()
                .filter(|container| !container.removed)
                .map(|container| container.name.clone())
                .collect(),
        },
        AnswerKind::Distance => {
            lines(&["Nearest thing that burns, and how far", "Shield of what, if one stands there"])
        }
        AnswerKind::Watcher => lines(&["Name"]),
        AnswerKind::GunTemperature => lines(&["Set to, with its unit"]),
        AnswerKind::Vapour => lines(&["Percent, or “no meter”"]),
    };
    HandLine {
        number,
        what: check.ask.clone(),
        asks: true,
        key_point: check.key_point.clone(),
        caution: check.caution.clone(),
        hazards: check.hazards.iter().map(|code| hazard_words(code)).collect(),
        wear: Vec::new(),
        heat: None,
        answers: vec![answer],
        lot: None,
        clocks: Vec::new(),
        witness: false,
        closed: String::new(),
    }
}
