//! A bench to try rules at, and what holds there in single cases. Whatever the order of commands, no
//! heat step is touched without a live clearance: that stands in `sequences`.

use super::decide;
use crate::air::Unaccounted;
use crate::audit::{AuditFault, Audited, audit};
use crate::checklist::{self, Checklist, Material, Signed, Stage, StationList};
use crate::command::{Actor, Command, NewStation};
use crate::crew::Role;
use crate::event::{
    Answer, ContainerState, Event, EventRef, FromPaper, Happened, Moment, StepPlace,
    WithdrawalCause,
};
use crate::gate::judge;
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

const SPIRIT: &str = r#"
format = 1
kind = "material"
id = "spirit"
title = "Spirit"
revised = "2026-01-01"
sheet = "Invented."
density = "0.8 g/mL"
flash = "12 °C"
boils = "80 °C"
autoignition = "399 °C"
source = "Invented."
[[component]]
name = "Spirit"
share = "100 %"
molar-mass = "60 g/mol"
lower-limit = "2 %"
day-limit = "200 ppm"
short-limit = "400 ppm"
"#;

fn material() -> Signed<Material> {
    static MATERIAL: std::sync::OnceLock<Signed<Material>> = std::sync::OnceLock::new();
    let read = || match checklist::read(SPIRIT).checklist {
        Some(Checklist::Material(list)) => {
            Signed { digest: TextDigest::new("spirit"), source: SPIRIT.to_owned(), list }
        }
        _ => panic!("{:?}", checklist::read(SPIRIT).findings),
    };
    MATERIAL.get_or_init(read).clone()
}

/// A list of one check for when something went wrong.
fn went_wrong(kind: &str) -> String {
    format!(
        r#"
format = 1
kind = "{kind}"
id = "{kind}"
title = "It went wrong"
aim = "Nobody is in it."
revised = "2026-01-01"
[[check]]
id = "people"
ask = "Where are they?"
key-point = "Count."
reason = "Vapour dulls."
states = ["all out", "someone is in it"]
pass = ["all out"]
"#
    )
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
#[derive(Clone)]
struct Bench {
    state: State,
    now: Moment,
    log: Vec<Happened>,
}

impl Bench {
    /// Stores what a command comes to, as the shell does: the clock is looked at first.
    fn give(&mut self, command: Command) -> Result<Vec<Event>, Refusal> {
        self.give_as("P-1", command)
    }

    fn give_as(&mut self, person: &str, command: Command) -> Result<Vec<Event>, Refusal> {
        let tick = decide(&self.state, &Actor::Program, Command::Tick, self.now)?;
        self.store(&tick, None);
        let person = PersonId::new(person);
        let events = decide(&self.state, &Actor::PersonNow(person.clone()), command, self.now)?;
        self.store(&events, Some(&person));
        Ok(events)
    }

    /// The machine woke up, or the program was started.
    fn wake(&mut self) {
        for command in [Command::Tick, Command::Interrupted] {
            let events = decide(&self.state, &Actor::Program, command, self.now).unwrap();
            self.store(&events, None);
        }
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

    fn answer_all(&mut self, gun: &str, meter: bool, watcher: &str) {
        let choice = |state: &str| Answer::Choice { state: state.to_owned() };
        let value = |text: &str| Answer::Value { text: text.to_owned() };
        // The can at the other station is not asked for here; it counts all the same.
        let away = (ContainerId::new("F-1"), ContainerState::ClosedAway);
        for (check, answer) in [
            (
                "airflow",
                Answer::MeasuredAirflow { speed: "1 m/s".to_owned(), opening: "0.2 m2".to_owned() },
            ),
            ("flammables", Answer::Containers { states: [away].into() }),
            ("rags", choice("all in the metal bin, lid shut")),
            ("wet-work", choice("nothing: all dry and cured")),
            ("vapour", if meter { value("2 %") } else { Answer::NoMeter }),
            ("distance", Answer::Distance { nearest: "12 m".to_owned(), shielded: false }),
            ("gun", value(gun)),
            ("extinguisher", choice("charged, pin in, within reach")),
            ("watcher", Answer::Watcher { person: PersonId::new(watcher) }),
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
        layout: None,
        sure: false,
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
        station: NewStation {
            name: "Bench".to_owned(),
            room: "50 m3".to_owned(),
            shares_room_with: None,
        },
    };
    let founded = decide(&bench.state, &Actor::Program, found, bench.now).unwrap();
    bench.store(&founded, None);
    let station = StationId::new("S-1");
    bench
        .give(Command::ListContainer {
            station: station.clone(),
            name: "Alcohol".to_owned(),
            autoignition: "399 °C".to_owned(),
            material: None,
        })
        .unwrap();
    // A second station in the same room, with a can of its own, and a helper.
    bench
        .give(Command::AddStation(NewStation {
            name: "Rack".to_owned(),
            room: String::new(),
            shares_room_with: Some(station.clone()),
        }))
        .unwrap();
    bench
        .give(Command::ListContainer {
            station: StationId::new("S-2"),
            name: "Thinner".to_owned(),
            autoignition: String::new(),
            material: Some(Box::new(material())),
        })
        .unwrap();
    bench.give(Command::AddPerson { name: "Helper".to_owned(), role: Role::Helper }).unwrap();
    bench
        .give(Command::BeginList {
            station: station.clone(),
            list: Box::new(list(BENCH).into()),
            from_paper: None,
        })
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
        bench
            .give(Command::BeginStage {
                rod,
                stage: Box::new((*stage).into()),
                station: station.clone(),
            })
            .unwrap();
    }
    bench
}

/// The list for heat, read once.
fn clearance_list() -> &'static Signed<StationList> {
    static LIST: std::sync::OnceLock<Signed<StationList>> = std::sync::OnceLock::new();
    LIST.get_or_init(|| list(CLEARANCE))
}

/// The same, made once: ten thousand sequences begin with it.
fn founded_bench() -> &'static Bench {
    static BENCH: std::sync::OnceLock<Bench> = std::sync::OnceLock::new();
    BENCH.get_or_init(bench)
}

fn place(stage: &str, step: &str) -> StepPlace {
    StepPlace { rod: RodId::new("R-1"), stage: StageId::new(stage), step: StepId::new(step) }
}

/// The helper, or else the lead.
fn watcher(helper: bool) -> &'static str {
    if helper { "P-2" } else { "P-1" }
}

/// The digests of these tests are the ids of their texts.
fn digest_of(text: &[u8]) -> String {
    let (spill, contact) = (went_wrong("spill"), went_wrong("contact"));
    let known = [
        (CLEARANCE, "heat-clearance"),
        (BENCH, "open-bench"),
        (HEAT, "heat"),
        (WIPE, "wipe"),
        (teaching::GLUE, "glue"),
        (SPIRIT, "spirit"),
        (&spill, "spill"),
        (&contact, "contact"),
    ];
    let found = known.into_iter().find(|(known, _)| known.as_bytes() == text);
    found.map_or_else(String::new, |(_, id)| id.to_owned())
}

/// The gate opens at all: else the property of the sequences would hold of a gate that is always shut.
#[test]
fn under_a_live_clearance_heat_goes_on() {
    let mut bench = bench();
    let station = StationId::new("S-1");
    let refused = bench.give(Command::UnderstandCaution(place("heat", "first")));
    assert!(matches!(refused, Err(Refusal::NoClearance { .. })), "{refused:?}");
    bench
        .give(Command::BeginList {
            station: station.clone(),
            list: Box::new(list(CLEARANCE).into()),
            from_paper: None,
        })
        .unwrap();
    bench.answer_all("110 °C", true, "P-1");
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

/// A bench that is cleared for heat by the lead, who watches.
fn cleared() -> Bench {
    let mut bench = bench();
    let station = StationId::new("S-1");
    let list = Box::new(list(CLEARANCE).into());
    bench.give(Command::BeginList { station: station.clone(), list, from_paper: None }).unwrap();
    bench.answer_all("110 °C", true, "P-1");
    bench.give(Command::CompleteList { station }).unwrap();
    bench
}

fn withdrawn(events: &[Event]) -> Option<WithdrawalCause> {
    events.iter().find_map(|event| match event {
        Event::ClearanceWithdrawn { cause, .. } => Some(*cause),
        _ => None,
    })
}

#[test]
fn heat_does_not_stay_unwatched_when_somebody_is_called_away() {
    let first = || place("heat", "first");
    // Another person than the watcher: the watcher is still there.
    let mut other = cleared();
    let left = other.give_as("P-2", Command::CallAway(first())).unwrap();
    assert_eq!(withdrawn(&left), None);
    // The watcher, from whatever work.
    let mut watcher = cleared();
    let left = watcher.give(Command::CallAway(place("wipe", "wipe"))).unwrap();
    assert_eq!(withdrawn(&left), Some(WithdrawalCause::WatcherLeft));
    // Whoever is away watches nothing until they are back.
    let station = StationId::new("S-1");
    let list = Box::new(list(CLEARANCE).into());
    watcher.give(Command::BeginList { station: station.clone(), list, from_paper: None }).unwrap();
    watcher.answer_all("110 °C", true, "P-1");
    let check = StepId::new("watcher");
    let answer = Answer::Watcher { person: PersonId::new("P-1") };
    let named = watcher.give(Command::AnswerCheck { station: station.clone(), check, answer });
    assert!(matches!(named, Err(Refusal::WatcherAway { .. })), "{named:?}");
    let cleared = watcher.give(Command::CompleteList { station: station.clone() });
    assert!(matches!(cleared, Err(Refusal::ListIncomplete { .. })), "{cleared:?}");
    watcher.give(Command::ComeBack(place("wipe", "wipe"))).unwrap();
    watcher.answer_all("110 °C", true, "P-1");
    watcher.give(Command::CompleteList { station }).unwrap();
}

fn audited(log: &[Happened]) -> Result<State, AuditFault> {
    audit(log.iter().map(Audited::Whole), digest_of)
}

/// A ledger that was written past the rules: the record of a rod would not hold with it.
#[test]
fn heat_by_paper_is_found_out_in_what_was_stored() {
    let mut bench = cleared();
    bench.give(Command::UnderstandCaution(place("heat", "first"))).unwrap();
    bench.give(Command::SignStep(place("heat", "first"))).unwrap();
    assert!(audited(&bench.log).is_ok());
    let paper = || Some(FromPaper { when: start(), by: PersonId::new("P-1") });
    let mut signed = bench.log.clone();
    let mut begun = bench.log.clone();
    for happened in &mut signed {
        if let Event::StepDone { from_paper, .. } = &mut happened.event {
            *from_paper = paper();
        }
    }
    for happened in &mut begun {
        if let Event::ListBegun { from_paper, .. } = &mut happened.event {
            *from_paper = paper();
        }
    }
    let why = |log: &[Happened]| audited(log).unwrap_err().why;
    assert_eq!(why(&signed), "heat was copied in from paper.");
    assert_eq!(why(&begun), "heat was cleared by paper alone.");
    let mut early = bench.log.clone();
    let last = bench.log.last().unwrap().clone();
    let reading = Reading { text: "1 mm".to_owned(), value: 1.0 };
    let when = Some(last.at + TimeDelta::minutes(1));
    let event = Event::ValueMeasured { at: place("heat", "first"), reading, within: true, when };
    early.push(Happened { event, ..last });
    assert_eq!(why(&early), "the sheet it is copied from was written later.");
}

/// Who is no lead sets down no volume, whatever was stored.
#[test]
fn a_room_measured_by_a_helper_is_found_out_in_what_was_stored() {
    let mut log = cleared().log;
    let last = log.last().unwrap().clone();
    let room = Reading { text: "900 m3".to_owned(), value: 900.0 };
    let event = Event::RoomMeasured { station: StationId::new("S-1"), room };
    log.push(Happened { event: event.clone(), ..last.clone() });
    assert!(audited(&log).is_ok());
    log.push(Happened { event, person: Some(PersonId::new("P-2")), ..last });
    let why = audited(&log).unwrap_err().why;
    assert_eq!(why, "only a lead can set down a room's volume.");
}

/// That nothing is kept here is believed only where nothing was used either.
#[test]
fn an_empty_list_of_containers_does_not_pass_where_something_was_used() {
    let mut bench = cleared();
    let station = StationId::new("S-1");
    bench.state.containers.clear();
    bench.state.rooms.clear();
    let list = list(CLEARANCE).list;
    let check = list.checks.iter().find(|check| check.id.as_str() == "flammables").unwrap();
    let nothing = Answer::Containers { states: [].into() };
    let judged = |state: &State| judge(state, &station, &list, check, &nothing).unwrap();
    assert!(judged(&bench.state).passes);
    // A step that asks for a solvent was done, and nobody said what was used.
    let what = "Wipe it.".to_owned();
    let room = bench.state.stations[&station].room_of.clone();
    let used = Unaccounted { at: bench.now, station: station.clone(), what, container: None };
    bench.state.rooms.entry(room).or_default().unaccounted.push(used);
    let doubted = judged(&bench.state);
    assert!(
        !doubted.passes && doubted.shown.contains("something flammable was used"),
        "{doubted:?}"
    );
}

/// The shop's own list without a caution, begun though no lead had signed for it.
#[test]
fn a_list_that_warns_less_is_found_out_in_what_was_stored() {
    let bench = cleared();
    // Hazards ask for a caution: both go.
    let first = |key: &str| CLEARANCE.lines().find(|line| line.starts_with(key)).unwrap();
    let text = CLEARANCE.replacen(first("caution"), "", 1).replacen(first("hazards"), "", 1);
    let last = bench.log.last().unwrap().clone();
    let own = TextDigest::new(digest_of(text.as_bytes()));
    let mut log = bench.log;
    let kept = Event::TextKept { digest: own.clone(), text };
    log.push(Happened { event: kept, ..last.clone() });
    assert!(audited(&log).is_ok());
    let begun = Event::ListBegun {
        station: StationId::new("S-1"),
        digest: own,
        over: Some(TextDigest::new("heat-clearance")),
        from_paper: None,
    };
    log.push(Happened { event: begun, ..last });
    let why = audited(&log).unwrap_err().why;
    assert!(why.starts_with("the shop's own list took a caution away"), "{why}");
}

#[test]
fn nothing_is_done_at_a_stage_that_was_left_until_somebody_is_back() {
    let mut bench = cleared();
    let first = || place("heat", "first");
    assert_eq!(bench.give(Command::ComeBack(first())), Err(Refusal::NotAway));
    let second = bench.give(Command::CallAway(place("heat", "second")));
    assert!(matches!(second, Err(Refusal::NotThisStep { .. })), "{second:?}");
    bench.give_as("P-2", Command::CallAway(first())).unwrap();
    assert_eq!(bench.give(Command::CallAway(first())), Err(Refusal::IsAway));
    assert_eq!(bench.give(Command::UnderstandCaution(first())), Err(Refusal::IsAway));
    bench.give(Command::WriteNote { at: first(), text: "Left so.".to_owned() }).unwrap();
    // Another person may come back.
    bench.now += TimeDelta::minutes(5);
    bench.give(Command::ComeBack(first())).unwrap();
    bench.give(Command::UnderstandCaution(first())).unwrap();
    let run = bench.state.rods[&RodId::new("R-1")].stage(&StageId::new("heat")).unwrap();
    let away = &run.away[0];
    assert_eq!(away.left.by, Some(PersonId::new("P-2")));
    assert_eq!(away.back.as_ref().unwrap().by, Some(PersonId::new("P-1")));
    // Signed by nobody, it is no event of the program.
    assert!(audited(&bench.log).is_ok());
}

mod sequences;
mod teaching;
