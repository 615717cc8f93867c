//! How fast a workshop of 100,000 events opens, beside reading the same events from SQLite, and
//! what memory that takes. `cargo bench -p coldbench`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use coldbench::{Clock, Workshop};
use coldbench_ledger::{Access, Ledger, NewEvent, StoredEvent};
use std::path::Path;
use std::time::{Duration, Instant};

const EVENTS: u64 = 100_000;
const ROUNDS: usize = 7;
/// The name under which this program is started again, to open a workshop and do nothing else.
const OPEN_ONLY: &str = "open-only";

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let [_, word, folder] = arguments.as_slice()
        && word == OPEN_ONLY
    {
        let before = peak_memory();
        let shop = open(Path::new(folder));
        let after = peak_memory();
        println!(
            "memory at its peak: {after} MB ({before} MB before), {} rods",
            shop.state().rods.len()
        );
        return;
    }
    let there = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let folder = there.path().join("shop");
    coldbench::demo::make(&folder).unwrap();
    fill(&folder);
    let (mut ours, mut limit) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        let began = Instant::now();
        let events = Ledger::open(&folder, Access::Read).unwrap().events().unwrap();
        limit.push(began.elapsed());
        assert!(events.len() as u64 >= EVENTS);
        drop(events);
        let began = Instant::now();
        let shop = open(&folder);
        ours.push(began.elapsed());
        assert!(shop.events() >= EVENTS);
    }
    let (ours, limit) = (median(ours), median(limit));
    let ratio = ours.as_secs_f64() / limit.as_secs_f64();
    println!(
        "open {EVENTS} events: {ours:.2?} against {limit:.2?}, ratio {ratio:.2} (aim: under 2)"
    );
    let status = std::process::Command::new(std::env::current_exe().unwrap())
        .args([OPEN_ONLY.as_ref(), folder.as_os_str()])
        .status()
        .unwrap();
    assert!(status.success());
}

fn open(folder: &Path) -> Workshop {
    Workshop::open_to_read(folder, Clock::Wall, "Measured.").unwrap()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// The most memory this process ever held, in MB; 0 where the system does not say.
fn peak_memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kib = line.and_then(|line| line.trim().trim_end_matches("kB").trim().parse::<u64>().ok());
    kib.map_or(0, |kib| kib / 1024)
}

/// The demo's first rod, told again and again under new numbers.
fn fill(folder: &Path) {
    let mut ledger = Ledger::open(folder, Access::Write).unwrap();
    let story: Vec<StoredEvent> =
        ledger.events().unwrap().into_iter().filter(|event| event.subject == "R-1").collect();
    let mut rod = 3;
    while ledger.head().events < EVENTS {
        let mut events = Vec::new();
        for _ in 0..20 {
            events.extend(story.iter().map(|event| told_of(rod, event)));
            rod += 1;
        }
        ledger.append(events, Vec::new(), None).unwrap();
    }
}

fn told_of(rod: u32, event: &StoredEvent) -> NewEvent {
    let id = format!("R-{rod}");
    let body = event.body.replace("\"R-1\"", &format!("\"{id}\""));
    NewEvent {
        at: event.moment().unwrap(),
        station: event.station.clone(),
        kind: event.kind.clone(),
        subject: id,
        body: serde_json::from_str(&body).unwrap(),
    }
}
