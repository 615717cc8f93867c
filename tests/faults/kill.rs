//! Really killed, at any moment: what was said to be stored is there when it starts again.
//!
//! This program starts itself as the one to be killed (the ignored tests below), reads from it
//! what it holds for stored, and looks into the folder once it is dead.

use crate::bench::{BENCH, LEAD, LEAD_PIN, founding, lay_out_founded, pin, place, start, unlock};
use crate::walk::{
    begin_list, begin_stage, good_bench_answer, next_command, plan, step_at, wait_for_clock,
};
use chrono::TimeDelta;
use coldbench::{Clock, Workshop};
use coldbench_ledger::{Access, Ledger, StoredEvent, sha256_hex};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Command, ContainerId, EventRef, GripMaterial, Happened, PersonId, State, StationId,
};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::thread;
use std::time::Duration;
use tempfile::TempDir;

const FOLDER: &str = "COLDBENCH_TEST_KILL_FOLDER";

/// Whole lines that a child said; what was cut off by its death does not count.
pub struct Victim {
    child: Child,
    lines: BufReader<std::process::ChildStdout>,
    said: Vec<String>,
}

impl Victim {
    /// Starts this program anew, as one of the ignored tests, on a folder.
    pub fn start(test: &str, folder: &Path) -> Self {
        let mut child = std::process::Command::new(std::env::current_exe().unwrap())
            .args(["--exact", test, "--ignored", "--nocapture", "--test-threads", "1"])
            .env(FOLDER, folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap());
        Self { child, lines, said: Vec::new() }
    }

    fn read_line(&mut self) -> bool {
        let mut line = String::new();
        let whole = self.lines.read_line(&mut line).unwrap() > 0 && line.ends_with('\n');
        if whole {
            self.said.push(line.trim_end().to_owned());
        }
        whole
    }

    /// Waits until it has said a line that begins so.
    pub fn wait_for(&mut self, words: &str) {
        while self.read_line() {
            if self.said.last().is_some_and(|line| line.starts_with(words)) {
                return;
            }
        }
        panic!("the child ended by itself: {:?}", self.said.last());
    }

    /// Kills it (SIGKILL) after a while and gives all it said.
    pub fn kill_after(mut self, wait: Duration) -> Vec<String> {
        thread::sleep(wait);
        self.child.kill().unwrap();
        let status = self.child.wait().unwrap();
        while self.read_line() {}
        assert!(!status.success() && status.code().is_none(), "it was not killed: {status}");
        self.said
    }
}

/// Numbers without a pattern (xorshift); the seed is printed, though no moment comes twice.
struct Chance(u64);

impl Chance {
    fn new() -> Self {
        let seed = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap();
        Self(u64::try_from(seed.as_nanos() & 0xffff_ffff).unwrap() | 1)
    }

    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }
}

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("\n{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

fn fingerprint(state: &State) -> String {
    sha256_hex(format!("{state:?}").as_bytes())
}

/// What is done next in a workshop in which there is always something to do.
fn next(shop: &mut Workshop) -> Command {
    let events = shop.events();
    // Now and then something beside the walk.
    if events.is_multiple_of(11) {
        let container = ContainerId::new("F-1");
        let is_open = shop.state().containers[&container].open;
        return if is_open {
            Command::CloseContainer { container }
        } else {
            Command::OpenContainer { container }
        };
    }
    let rods: Vec<String> = shop.state().rods.keys().map(ToString::to_string).collect();
    for rod in &rods {
        for stage in ["blank-intake", "spine", "rear-grip"] {
            let run = shop.state().rods[&coldbench_shop::RodId::new(rod.as_str())]
                .stage(&coldbench_shop::StageId::new(stage));
            match run {
                Some(run) if run.finished.is_some() => {}
                Some(_) => {
                    wait_for_clock(shop, rod, stage);
                    let step = step_at(shop, rod, stage).unwrap();
                    if events.is_multiple_of(7) {
                        let at = place(rod, stage, step.id.as_str());
                        return Command::WriteNote { at, text: format!("Note {events}.") };
                    }
                    return next_command(shop, rod, stage).unwrap();
                }
                None => {
                    return open_bench_next(shop)
                        .unwrap_or_else(|| begin_stage(shop, rod, stage, BENCH));
                }
            }
        }
    }
    Command::BeginRod(Box::new(plan(GripMaterial::Cork)))
}

/// The next word of opening the bench, if it is not open.
fn open_bench_next(shop: &Workshop) -> Option<Command> {
    let id = StationId::new(BENCH);
    let station = &shop.state().stations[&id];
    if station.open_until.is_some_and(|until| until > shop.now() + TimeDelta::minutes(1)) {
        return None;
    }
    let Some(in_hand) = &station.in_hand else {
        return Some(begin_list(shop, StationKind::OpenBench, BENCH));
    };
    let list = shop.state().list_text(&in_hand.digest).unwrap();
    let open = list.checks.iter().find(|check| !in_hand.answers.contains_key(&check.id));
    Some(match open {
        Some(check) => Command::AnswerCheck {
            station: id,
            check: check.id.clone(),
            answer: good_bench_answer(check.id.as_str()),
        },
        None => Command::CompleteList { station: id },
    })
}

/// The one that is killed: it works without end and says what is stored.
#[test]
#[ignore = "started and killed by the tests beside it"]
fn victim_that_works() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let mut shop = Workshop::open(Path::new(&folder), Clock::Set(start())).unwrap();
    let latest = shop.state().latest.unwrap();
    *shop.clock_mut() = Clock::Set(latest);
    unlock(&mut shop, LEAD, LEAD_PIN);
    say(&format!("ok {} {}", shop.events(), fingerprint(shop.state())));
    say("ready");
    loop {
        let command = next(&mut shop);
        shop.clock_mut().advance(TimeDelta::seconds(1));
        let events = shop.would(command.clone()).map_or(0, |events| events.len() as u64);
        say(&format!("do {}", shop.events() + events));
        if let Err(error) = shop.act(command) {
            say(&format!("failed {error}"));
            return;
        }
        // The end of a stage locks the key.
        if shop.active().is_none() {
            unlock(&mut shop, LEAD, LEAD_PIN);
        }
        say(&format!("ok {} {}", shop.events(), fingerprint(shop.state())));
    }
}

/// The one that is killed while it opens and closes.
#[test]
#[ignore = "started and killed by the tests beside it"]
fn victim_that_opens() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    say("ready");
    loop {
        let shop = Workshop::open(Path::new(&folder), Clock::Set(start())).unwrap();
        assert_eq!(shop.read_only(), None);
    }
}

/// The one that is killed while it makes ledgers.
#[test]
#[ignore = "started and killed by the tests beside it"]
fn victim_that_begins() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    say("ready");
    for number in 0.. {
        let made = PathBuf::from(&folder).join(number.to_string());
        std::fs::create_dir(&made).unwrap();
        say(&format!("making {number}"));
        Ledger::create(&made).unwrap();
    }
}

/// A stored event as the domain reads it, read here by other code than the shell's.
fn domain_event(stored: &StoredEvent) -> Option<Happened> {
    if stored.kind.starts_with("ledger.") {
        return None;
    }
    let body: serde_json::Value = serde_json::from_str(&stored.body).unwrap();
    let event = serde_json::json!({ "kind": stored.kind, "body": body });
    Some(Happened {
        id: EventRef { origin: stored.origin.clone(), number: stored.seq },
        at: stored.moment().unwrap(),
        person: (!stored.person.is_empty()).then(|| PersonId::new(stored.person.as_str())),
        event: serde_json::from_value(event).unwrap(),
    })
}

fn folded(events: &[StoredEvent]) -> State {
    let happened: Vec<Happened> = events.iter().filter_map(domain_event).collect();
    State::from_events(&happened)
}

/// Every clock that was ever started: where, which, when.
fn clock_starts(state: &State) -> Vec<String> {
    let runs = state.rods.iter().flat_map(|(rod, r)| r.stages.iter().map(move |run| (rod, run)));
    runs.flat_map(|(rod, run)| {
        run.steps.iter().flat_map(move |(step, done)| {
            done.clock_starts.iter().map(move |clock| {
                let end = clock.runs_out();
                format!("{rod} {} {step} {} to {end}", run.id, clock.started.at)
            })
        })
    })
    .collect()
}

/// What holds after a kill; gives the state it was left in.
pub fn look_over(folder: &Path, said: &[String], before: &State) -> State {
    let failed = said.iter().find(|line| line.starts_with("failed"));
    assert_eq!(failed, None, "the child could not work");
    let acknowledged = said.iter().rev().find_map(|line| line.strip_prefix("ok "));
    let shop = Workshop::open(folder, Clock::Set(start())).unwrap();
    assert_eq!(shop.read_only(), None);
    let report = shop.verify(&[]).unwrap();
    assert_eq!(report.events, shop.events());
    let events = Ledger::open(folder, Access::Read).unwrap().events().unwrap();
    assert_eq!(events.len() as u64, shop.events());
    assert!(folded(&events) == *shop.state(), "the state is not what its events make");
    if let Some((number, print)) = acknowledged.and_then(|words| words.split_once(' ')) {
        let number: usize = number.parse().unwrap();
        assert!(events.len() >= number, "{number} were stored, {} are there", events.len());
        let then = folded(&events[..number]);
        assert_eq!(fingerprint(&then), print, "what was shown is not what was stored");
        // What came after the last word is the one command it was at, whole.
        let whole = said.iter().rev().find_map(|line| line.strip_prefix("do "));
        let whole: usize = whole.map_or(number, |count| count.parse().unwrap());
        let more = &events[number..];
        let holds = more.is_empty() || events.len() == whole;
        assert!(holds, "{number} were said, {whole} to come, there are {more:#?}");
    }
    let now = clock_starts(shop.state());
    for clock in clock_starts(before) {
        assert!(now.contains(&clock), "this clock is lost or moved: {clock}");
    }
    shop.state().clone()
}

#[test]
fn killed_at_any_moment_it_loses_nothing() {
    const FOLDERS: usize = 3;
    const LIVES: usize = 10;
    let mut chance = Chance::new();
    println!("seed {}", chance.0);
    let (mut acknowledged, mut clocks) = (0, 0);
    for _ in 0..FOLDERS {
        let folder = TempDir::new().unwrap();
        lay_out_founded(folder.path());
        let mut state = State::default();
        for _ in 0..LIVES {
            let mut victim = Victim::start("kill::victim_that_works", folder.path());
            victim.wait_for("ready");
            let said = victim.kill_after(Duration::from_micros(chance.below(400_000)));
            state = look_over(folder.path(), &said, &state);
            acknowledged += said.iter().filter(|line| line.starts_with("ok ")).count();
        }
        clocks += clock_starts(&state).len();
    }
    // Else the kills came before the work and showed nothing.
    assert!(acknowledged > 2 * FOLDERS * LIVES, "only {acknowledged} commands were done at all");
    assert!(clocks > 0, "no clock was ever started");
}

/// Killed while it opens and closes, over and over: while it takes over what a dead one left,
/// and while it tidies the write-ahead log away.
#[test]
fn killed_while_it_opens_it_loses_nothing() {
    let mut chance = Chance::new();
    let folder = TempDir::new().unwrap();
    lay_out_founded(folder.path());
    let mut victim = Victim::start("kill::victim_that_works", folder.path());
    for _ in 0..40 {
        victim.wait_for("ok ");
    }
    let said = victim.kill_after(Duration::ZERO);
    assert!(folder.path().join("ledger.db-wal").exists(), "nothing was left to take over");
    for _ in 0..12 {
        let mut victim = Victim::start("kill::victim_that_opens", folder.path());
        victim.wait_for("ready");
        victim.kill_after(Duration::from_micros(chance.below(30_000)));
    }
    look_over(folder.path(), &said, &State::default());
}

/// A founding that was killed leaves a folder that can be founded.
#[test]
fn killed_while_it_begins_it_can_begin_again() {
    let mut chance = Chance::new();
    let mut founded = 0;
    for _ in 0..20 {
        let there = TempDir::new().unwrap();
        let mut victim = Victim::start("kill::victim_that_begins", there.path());
        victim.wait_for("making ");
        let said = victim.kill_after(Duration::from_micros(chance.below(100_000)));
        let last = said.iter().rev().find_map(|line| line.strip_prefix("making ")).unwrap();
        let folder = there.path().join(last);
        let files = crate::bench::read_files(&folder);
        let names: Vec<String> = files
            .iter()
            .map(|(path, bytes)| format!("{} {}", path.display(), bytes.len()))
            .collect();
        let mut shop = Workshop::open(&folder, Clock::Set(start()))
            .unwrap_or_else(|error| panic!("{error} It was left with {names:?}"));
        assert_eq!(shop.read_only(), None, "it was left with {names:?}");
        assert_eq!(shop.state().workshop, None);
        if founded < 3 {
            shop.found(founding("Loft", "Ines"), &pin(LEAD_PIN)).unwrap();
            founded += 1;
        }
    }
}
