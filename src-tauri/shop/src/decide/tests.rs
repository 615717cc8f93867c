//! Whatever the order of commands, no heat step is touched without a live clearance: random
//! sequences against a tiny model that knows nothing of the code under test.

use super::decide;
use crate::audit::{Audited, audit};
use crate::checklist::{self, Checklist, Signed, Stage, StationList};
use crate::command::{Actor, Command, NewStation};
use crate::event::{
    Answer, ContainerState, Event, EventRef, Happened, Moment, StepPlace, WithdrawalCause,
};
use crate::ids::{
    ClearanceId, ContainerId, PersonId, RodId, StageId, StationId, StepId, TextDigest,
};
use crate::refusal::Refusal;
use crate::rod::{DiameterReading, GripMaterial, Reading, ReelType, RodPlan};
use crate::state::State;
use chrono::TimeDelta;
use coldbench_trade::LengthUnit;
use proptest::prelude::*;

const CLEARANCE: &str = include_str!("../../../../checklists/stations/heat-clearance.toml");
const BENCH: &str = include_str!("../../../../checklists/stations/open-bench.toml");
/// Two heat steps, so that a second one is tried long after the first.
const HEAT: &str = r#"
format = 1
kind = "stage"
id = "heat"
title = "Heat"
aim = "Something is warm."
revised = "2026-01-01"
[[step]]
id = "first"
what = "Warm it."
key-point = "Keep moving."
reason = "It burns."
caution = "Hot air burns. The data sheet comes first."
hazards = ["heat"]
heat = true
gun-limit = "150 °C"
[[step]]
id = "second"
what = "Warm it again."
key-point = "Keep moving."
reason = "It burns."
caution = "Hot air burns. The data sheet comes first."
hazards = ["heat"]
heat = true
gun-limit = "120 °C"
"#;
const WIPE: &str = r#"
format = 1
kind = "stage"
id = "wipe"
title = "Wipe"
aim = "It is clean."
revised = "2026-01-01"
[[step]]
id = "wipe"
what = "Wipe it."
key-point = "One way only."
reason = "Grease spreads."
caution = "Alcohol burns. The data sheet comes first."
hazards = ["H225"]
"#;

fn stage(text: &str) -> Signed<Stage> {
    match checklist::read(text).checklist {
        Some(Checklist::Stage(list)) => {
            let digest = TextDigest::new(list.id.as_str());
            Signed { digest, source: text.to_owned(), list }
        }
        _ => panic!("{:?}", checklist::read(text).findings),
    }
}

fn list(text: &str) -> Signed<StationList> {
    match checklist::read(text).checklist {
        Some(Checklist::Station(list)) => {
            let digest = TextDigest::new(list.id.as_str());
            Signed { digest, source: text.to_owned(), list }
        }
        _ => panic!("{:?}", checklist::read(text).findings),
    }
}

fn start() -> Moment {
    chrono::DateTime::parse_from_rfc3339("2026-03-01T09:00:00+01:00").unwrap()
}

/// A workshop that is driven by hand.
struct Bench {
    state: State,
    now: Moment,
    log: Vec<Happened>,
}

impl Bench {
    /// Stores what a command comes to, as the shell does: the clock is looked at first.
    fn give(&mut self, command: Command) -> Result<Vec<Event>, Refusal> {
        let tick = decide(&self.state, &Actor::Program, Command::Tick, self.now)?;
        self.store(&tick, None);
        let lead = PersonId::new("P-1");
        let events = decide(&self.state, &Actor::PersonNow(lead.clone()), command, self.now)?;
        self.store(&events, Some(&lead));
        Ok(events)
    }

    fn store(&mut self, events: &[Event], person: Option<&PersonId>) {
        for event in events {
            let person = person.cloned();
            let number = self.log.len() as u64 + 1;
            let id = EventRef { origin: "test".to_owned(), number };
            let happened = Happened { id, at: self.now, person, event: event.clone() };
            self.state.evolve(&happened);
            self.log.push(happened);
        }
    }

    fn answer(&mut self, check: &str, answer: Answer) {
        let (station, check) = (StationId::new("S-1"), StepId::new(check));
        // No list in hand: then there is nothing to answer.
        let _ = self.give(Command::AnswerCheck { station, check, answer });
    }

    fn answer_all(&mut self, gun: &str) {
        let choice = |state: &str| Answer::Choice { state: state.to_owned() };
        let value = |text: &str| Answer::Value { text: text.to_owned() };
        let away = (ContainerId::new("F-1"), ContainerState::ClosedAway);
        for (check, answer) in [
            (
                "airflow",
                Answer::MeasuredAirflow { speed: "1 m/s".to_owned(), opening: "0.2 m2".to_owned() },
            ),
            ("flammables", Answer::Containers { states: [away].into() }),
            ("rags", choice("all in the metal bin, lid shut")),
            ("wet-work", choice("nothing: all dry and cured")),
            ("vapour", value("2 %")),
            ("distance", Answer::Distance { nearest: "12 m".to_owned(), shielded: false }),
            ("gun", value(gun)),
            ("extinguisher", choice("charged, pin in, within reach")),
            ("watcher", Answer::Watcher { person: PersonId::new("P-1") }),
        ] {
            self.answer(check, answer);
        }
    }
}

fn plan() -> RodPlan {
    let reading = |text: &str, value| Reading { text: text.to_owned(), value };
    let row =
        |x: f64, d: f64| DiameterReading { from_butt: reading("x", x), diameter: reading("d", d) };
    RodPlan {
        title: "Rod".to_owned(),
        customer: "Somebody invented".to_owned(),
        wishes: String::new(),
        reel: ReelType::Fly,
        grip: GripMaterial::Cork,
        blank: "Blank".to_owned(),
        length: reading("2 m", 2000.0),
        joins: Vec::new(),
        diameters: vec![row(0.0, 10.0), row(2000.0, 2.0)],
        parts: Vec::new(),
    }
}

/// A founded workshop with an open bench, one container, and a rod whose heat stage and wipe
/// stage are begun.
fn bench() -> Bench {
    let mut bench = Bench { state: State::default(), now: start(), log: Vec::new() };
    let found = Command::Found {
        name: "Shop".to_owned(),
        demo: true,
        lengths: LengthUnit::Millimetre,
        lead: "Lead".to_owned(),
        station: NewStation { name: "Bench".to_owned(), room: "50 m3".to_owned() },
    };
    let founded = decide(&bench.state, &Actor::Program, found, bench.now).unwrap();
    bench.store(&founded, None);
    let station = StationId::new("S-1");
    bench
        .give(Command::ListContainer {
            station: station.clone(),
            name: "Alcohol".to_owned(),
            autoignition: "399 °C".to_owned(),
        })
        .unwrap();
    bench
        .give(Command::BeginList { station: station.clone(), list: Box::new(list(BENCH)) })
        .unwrap();
    let choices: Vec<(String, Answer)> = list(BENCH)
        .list
        .checks
        .iter()
        .map(|check| {
            let answer = match &check.answer {
                checklist::AnswerKind::Choice { pass, .. } => {
                    Answer::Choice { state: pass[0].clone() }
                }
                _ if check.id.as_str() == "temperature" => {
                    Answer::Value { text: "21 °C".to_owned() }
                }
                _ => Answer::Value { text: "9".to_owned() },
            };
            (check.id.to_string(), answer)
        })
        .collect();
    for (check, answer) in choices {
        bench.answer(&check, answer);
    }
    bench.give(Command::CompleteList { station: station.clone() }).unwrap();
    bench.give(Command::BeginRod(Box::new(plan()))).unwrap();
    for text in [HEAT, WIPE] {
        let (rod, stage) = (RodId::new("R-1"), Box::new(stage(text)));
        bench.give(Command::BeginStage { rod, stage, station: station.clone() }).unwrap();
    }
    bench
}

fn place(stage: &str, step: &str) -> StepPlace {
    StepPlace { rod: RodId::new("R-1"), stage: StageId::new(stage), step: StepId::new(step) }
}

#[derive(Debug, Clone)]
enum Move {
    BeginClearance,
    AnswerAll(bool),
    Complete,
    Withdraw(u32),
    Open,
    Close,
    Wipe,
    Understand(bool),
    Sign(bool),
    Wait(i64),
}

fn a_move() -> impl Strategy<Value = Move> {
    prop_oneof![
        3 => Just(Move::BeginClearance),
        4 => any::<bool>().prop_map(Move::AnswerAll),
        4 => Just(Move::Complete),
        1 => (1u32..4).prop_map(Move::Withdraw),
        1 => Just(Move::Open),
        2 => Just(Move::Close),
        1 => Just(Move::Wipe),
        4 => any::<bool>().prop_map(Move::Understand),
        4 => any::<bool>().prop_map(Move::Sign),
        3 => (-20i64..45).prop_map(Move::Wait),
    ]
}

/// What has to hold for heat, kept apart from the code: minutes, nothing else.
#[derive(Debug)]
struct Model {
    minute: i64,
    latest: i64,
    cleared_until: Option<i64>,
    gun_is_low: bool,
    open: bool,
}

impl Model {
    fn allows(&self, second_step: bool) -> bool {
        self.cleared_until.is_some_and(|until| self.minute < until)
            && self.minute >= self.latest
            && !self.open
            && (!second_step || self.gun_is_low)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]
    #[test]
    fn no_heat_without_a_live_clearance(moves in proptest::collection::vec(a_move(), 1..60)) {
        let mut bench = bench();
        let mut model =
            Model { minute: 0, latest: 0, cleared_until: None, gun_is_low: false, open: false };
        let mut answered_low = false;
        let station = StationId::new("S-1");
        for step in moves {
            bench.now = start() + TimeDelta::minutes(model.minute);
            if let Move::Wait(minutes) = step {
                model.minute += minutes;
                continue;
            }
            // The clock is looked at before every command: behind means the clearance is over.
            if model.minute < model.latest {
                model.cleared_until = None;
            }
            let (command, heat) = match step.clone() {
                Move::BeginClearance => {
                    let list = Box::new(list(CLEARANCE));
                    (Command::BeginList { station: station.clone(), list }, None)
                }
                Move::AnswerAll(low) => {
                    bench.answer_all(if low { "110 °C" } else { "140 °C" });
                    answered_low = low;
                    (Command::Tick, None)
                }
                Move::Complete => (Command::CompleteList { station: station.clone() }, None),
                Move::Withdraw(n) => {
                    let clearance = ClearanceId::new(format!("C-{n}"));
                    (Command::Withdraw { clearance, cause: WithdrawalCause::WatcherLeft }, None)
                }
                Move::Open => {
                    (Command::OpenContainer { container: ContainerId::new("F-1") }, None)
                }
                Move::Close => {
                    (Command::CloseContainer { container: ContainerId::new("F-1") }, None)
                }
                Move::Wipe => (Command::UnderstandCaution(place("wipe", "wipe")), None),
                Move::Understand(second) => {
                    let at = place("heat", if second { "second" } else { "first" });
                    (Command::UnderstandCaution(at), Some(second))
                }
                Move::Sign(second) => {
                    let at = place("heat", if second { "second" } else { "first" });
                    (Command::SignStep(at), Some(second))
                }
                Move::Wait(_) => continue,
            };
            let result = bench.give(command);
            if let (Some(second), Ok(events)) = (heat, &result) {
                prop_assert!(model.allows(second), "{step:?} passed: {model:?} {events:?}");
            }
            let stored = match &result {
                Ok(events) => !events.is_empty(),
                Err(_) => false,
            };
            if stored || matches!(step, Move::AnswerAll(_)) {
                model.latest = model.latest.max(bench_latest(&bench));
            }
            if result.is_ok() {
                match step {
                    Move::Complete => {
                        model.cleared_until = Some(model.minute + 30);
                        model.gun_is_low = answered_low;
                    }
                    Move::Open => { model.open = true; model.cleared_until = None; }
                    Move::Close => model.open = false,
                    Move::Wipe | Move::Withdraw(_) => model.cleared_until = None,
                    _ => {}
                }
            }
        }
        // Whatever `decide` lets through, the audit of a record finds in order.
        let audited = audit(bench.log.iter().map(Audited::Whole), digest_of);
        prop_assert!(audited.as_ref() == Ok(&bench.state), "{audited:?}");
    }
}

/// The digests of these tests are the ids of their texts.
fn digest_of(text: &[u8]) -> String {
    let known =
        [(CLEARANCE, "heat-clearance"), (BENCH, "open-bench"), (HEAT, "heat"), (WIPE, "wipe")];
    let found = known.into_iter().find(|(known, _)| known.as_bytes() == text);
    found.map_or_else(String::new, |(_, id)| id.to_owned())
}

/// The latest minute any event carries.
fn bench_latest(bench: &Bench) -> i64 {
    bench.state.latest.map_or(0, |latest| (latest - start()).num_minutes())
}

/// The gate opens at all: else the property above would hold of a gate that is always shut.
#[test]
fn under_a_live_clearance_heat_goes_on() {
    let mut bench = bench();
    let station = StationId::new("S-1");
    let refused = bench.give(Command::UnderstandCaution(place("heat", "first")));
    assert!(matches!(refused, Err(Refusal::NoClearance { .. })), "{refused:?}");
    bench
        .give(Command::BeginList { station: station.clone(), list: Box::new(list(CLEARANCE)) })
        .unwrap();
    bench.answer_all("110 °C");
    bench.give(Command::CompleteList { station }).unwrap();
    bench.give(Command::UnderstandCaution(place("heat", "first"))).unwrap();
    // A hold point: an unlocked key is not enough.
    let lead = Actor::Person(PersonId::new("P-1"));
    let sign = || Command::SignStep(place("heat", "first"));
    assert_eq!(decide(&bench.state, &lead, sign(), bench.now), Err(Refusal::PinAgain));
    bench.give(sign()).unwrap();
    bench.now += TimeDelta::minutes(31);
    let lapsed = bench.give(Command::UnderstandCaution(place("heat", "second")));
    assert!(matches!(lapsed, Err(Refusal::NoClearance { .. })), "{lapsed:?}");
}
