//! Walking: benches opened, stations cleared, stages gone through, step by step.
#![allow(dead_code, reason = "each test target uses a part of it")]

use crate::bench::{BENCH, HELPER, act, pass, place};
use chrono::TimeDelta;
use coldbench::Workshop;
use coldbench_shop::checklist::{Record, StationKind, Step};
use coldbench_shop::cure::{Ready, wait};
use coldbench_shop::{
    Answer, Command, ContainerId, ContainerState, DiameterReading, Event, GripMaterial, PersonId,
    Position, Reading, ReelType, RodId, RodPlan, StageId, StationId, StepId, StepPlace, StepRun,
};
use std::collections::BTreeMap;

fn reading(value: f64) -> Reading {
    Reading { text: format!("{value} mm"), value }
}

pub fn plan(grip: GripMaterial) -> RodPlan {
    RodPlan {
        title: "Test rod".to_owned(),
        customer: "Nobody".to_owned(),
        wishes: String::new(),
        reel: ReelType::Spinning,
        grip,
        blank: "Invented blank".to_owned(),
        length: reading(2100.0),
        joins: Vec::new(),
        diameters: [(10.0, 11.0), (1000.0, 6.0), (2090.0, 1.6)]
            .map(|(from_butt, diameter)| DiameterReading {
                from_butt: reading(from_butt),
                diameter: reading(diameter),
            })
            .to_vec(),
        parts: Vec::new(),
        layout: None,
        sure: false,
    }
}

pub fn begin_rod(shop: &mut Workshop, grip: GripMaterial) -> RodId {
    match act(shop, Command::BeginRod(Box::new(plan(grip)))).first() {
        Some(Event::RodBegun { rod, .. }) => rod.clone(),
        other => panic!("no rod begun: {other:?}"),
    }
}

pub fn begin_stage(shop: &Workshop, rod: &str, stage: &str, station: &str) -> Command {
    let rod = RodId::new(rod);
    let signed = shop.library().stage_for(&shop.state().rods[&rod], &StageId::new(stage)).unwrap();
    Command::BeginStage { rod, stage: Box::new(signed), station: StationId::new(station) }
}

pub fn begin_list(shop: &Workshop, kind: StationKind, station: &str) -> Command {
    let id = &shop.library().list(kind).unwrap().list.id;
    let list = Box::new(shop.library().list_for(id).unwrap());
    Command::BeginList { station: StationId::new(station), list, from_paper: None }
}

pub fn answer(station: &str, check: &str, answer: Answer) -> Command {
    Command::AnswerCheck { station: StationId::new(station), check: StepId::new(check), answer }
}

pub fn choice(state: &str) -> Answer {
    Answer::Choice { state: state.to_owned() }
}

pub fn value(text: &str) -> Answer {
    Answer::Value { text: text.to_owned() }
}

/// An answer that passes, for each check of opening the bench.
pub fn good_bench_answer(check: &str) -> Answer {
    match check {
        "air" => choice("fan on, strip drawn to the outlet"),
        "rag-bin" => choice("metal, lid shut, emptied since yesterday"),
        "extinguisher" => choice("charged, pin in, within reach"),
        "washing" => choice("soap, running water and eye rinse, in date"),
        "gloves" => value("12"),
        "temperature" => value("21 °C"),
        "bench-top" => choice("clear and wiped, floor free"),
        other => panic!("no answer is known for {other}"),
    }
}

pub fn open_bench(shop: &mut Workshop, station: &str) {
    let begin = begin_list(shop, StationKind::OpenBench, station);
    act(shop, begin);
    let list = shop.library().list(StationKind::OpenBench).unwrap();
    let checks: Vec<StepId> = list.list.checks.iter().map(|check| check.id.clone()).collect();
    for check in checks {
        act(shop, answer(station, check.as_str(), good_bench_answer(check.as_str())));
    }
    act(shop, Command::CompleteList { station: StationId::new(station) });
}

/// The answers of a heat clearance that holds.
pub fn good_answers(shop: &Workshop, station: &str, gun: &str) -> BTreeMap<&'static str, Answer> {
    let at = StationId::new(station);
    let states: BTreeMap<ContainerId, ContainerState> = shop
        .state()
        .containers_at(&at)
        .map(|(id, _)| (id.clone(), ContainerState::ClosedAway))
        .collect();
    let airflow = Answer::RatedAirflow { flow: "700 m3/h".to_owned(), share: "60".to_owned() };
    BTreeMap::from([
        ("airflow", airflow),
        ("flammables", Answer::Containers { states }),
        ("rags", choice("all in the metal bin, lid shut")),
        ("wet-work", choice("nothing: all dry and cured")),
        ("vapour", Answer::NoMeter),
        ("distance", Answer::Distance { nearest: "12 m".to_owned(), shielded: false }),
        ("gun", value(gun)),
        ("extinguisher", choice("charged, pin in, within reach")),
        ("watcher", Answer::Watcher { person: PersonId::new(HELPER) }),
    ])
}

/// Goes through the heat clearance up to its end, not asking for it yet.
pub fn answer_clearance(shop: &mut Workshop, station: &str, answers: BTreeMap<&str, Answer>) {
    let begin = begin_list(shop, StationKind::HeatClearance, station);
    act(shop, begin);
    for (check, given) in answers {
        act(shop, answer(station, check, given));
    }
}

pub fn clear(shop: &mut Workshop, station: &str) {
    clear_watched(shop, station, HELPER);
}

/// A helper uses heat only while a lead watches.
pub fn clear_watched(shop: &mut Workshop, station: &str, watcher: &str) {
    let mut answers = good_answers(shop, station, "140 °C");
    answers.insert("watcher", Answer::Watcher { person: PersonId::new(watcher) });
    answer_clearance(shop, station, answers);
    act(shop, Command::CompleteList { station: StationId::new(station) });
}

/// A value that keeps the limits.
pub fn good_value(record: &Record) -> String {
    let middle = match (record.least, record.most) {
        (Some(least), Some(most)) => f64::midpoint(least, most),
        (None, Some(most)) => most / 2.0,
        (Some(least), None) => least + 1.0,
        (None, None) => 1.0,
    };
    format!("{middle:.2} {}", record.measure.unit())
}

/// What the person whose turn it is does next in a stage; `None` when it is done. A lead who does
/// all needs no witness.
pub fn next_command(shop: &Workshop, rod: &str, stage: &str) -> Option<Command> {
    let me = shop.active().unwrap();
    let state = shop.state();
    let run = state.rods[&RodId::new(rod)].stage(&StageId::new(stage)).unwrap();
    let (step, at) = match run.position(state.stage_text(&run.digest).unwrap(), &state.crew) {
        Position::Step(_, step) => (step, place(rod, stage, step.id.as_str())),
        Position::Witness(_, step) => {
            return Some(Command::WitnessStep(place(rod, stage, step.id.as_str())));
        }
        Position::Finished => return None,
    };
    let empty = StepRun::default();
    let done = run.steps.get(&step.id).unwrap_or(&empty);
    if step.caution.is_some() && !done.understood.iter().any(|mark| mark.by == Some(me.clone())) {
        return Some(Command::UnderstandCaution(at));
    }
    if let Some(record) = step.record.as_ref().filter(|it| done.values.len() < it.repeat) {
        return Some(Command::MeasureValue { at, text: good_value(record) });
    }
    if step.lot.is_some() && done.lot.is_none() {
        return Some(Command::NameLot { at, lot: "L-77".to_owned() });
    }
    if step.starts.as_ref().is_some_and(|clock| !run.clocks.contains_key(&clock.id)) {
        return Some(Command::StartClock { at, minutes: None });
    }
    Some(Command::SignStep(at))
}

/// The step a stage stands at.
pub fn step_at(shop: &Workshop, rod: &str, stage: &str) -> Option<Step> {
    let state = shop.state();
    let run = state.rods[&RodId::new(rod)].stage(&StageId::new(stage))?;
    match run.position(state.stage_text(&run.digest)?, &state.crew) {
        Position::Step(_, step) | Position::Witness(_, step) => Some(step.clone()),
        Position::Finished => None,
    }
}

/// Waits for the clock a step waits for.
pub fn wait_for_clock(shop: &mut Workshop, rod: &str, stage: &str) {
    let Some(waits) = step_at(shop, rod, stage).and_then(|step| step.waits_for) else { return };
    let state = shop.state();
    let run = state.rods[&RodId::new(rod)].stage(&StageId::new(stage)).unwrap();
    let text = state.stage_text(&run.digest).unwrap();
    let (_, until) = wait(state, run, text, &waits, shop.now()).unwrap();
    let Ready::At(until) = until else { panic!("{stage} never cures: {until:?}") };
    let left = until - shop.now();
    if left > TimeDelta::zero() {
        pass(shop, left);
    }
}

/// Walks a stage at the bench, up to the step `until` or to its end; begins it if need be.
pub fn walk_stage(shop: &mut Workshop, rod: &str, stage: &str, until: Option<&str>) {
    let begun = |shop: &Workshop, stage: &str| {
        shop.state().rods[&RodId::new(rod)].stage(&StageId::new(stage)).is_some()
    };
    // Every rod begins with its blank.
    if stage == "spine" && !begun(shop, "blank-intake") {
        walk_stage(shop, rod, "blank-intake", None);
    }
    if !begun(shop, stage) {
        let begin = begin_stage(shop, rod, stage, BENCH);
        act(shop, begin);
    }
    loop {
        let step = step_at(shop, rod, stage);
        if step.is_none_or(|step| until == Some(step.id.as_str())) {
            return;
        }
        wait_for_clock(shop, rod, stage);
        let command = next_command(shop, rod, stage).unwrap();
        act(shop, command);
    }
}

/// Everything up to the signature of the step a stage stands at.
pub fn prepare_step(shop: &mut Workshop, rod: &str, stage: &str) -> StepPlace {
    loop {
        match next_command(shop, rod, stage).unwrap() {
            Command::SignStep(at) => return at,
            command => drop(act(shop, command)),
        }
    }
}
