//! Killed (SIGKILL) two thousand times: while it opens, appends, carries its log over and closes.
//! What was acknowledged is there, and nothing is half-written.

use crate::system::{Chance, memory_folder};
use crate::victim::{append, copy_ledger, verified, victim};
use coldbench_ledger::{Access, Ledger, StoredEvent};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;
use tempfile::TempDir;

const FOLDER: &str = "COLDBENCH_TEST_LEDGER_KILL_FOLDER";
const KILLS: usize = 2_000;
/// Kills in one folder; then a fresh one keeps reopening quick.
const LIVES: usize = 25;
/// At once, one for each core of a small machine.
const AT_ONCE: usize = 2;

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("\n{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

/// The one that is killed. It takes over what the one before it left, and works without end.
#[test]
#[ignore = "started and killed by the test beside it"]
fn victim_that_appends() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    loop {
        say("opening");
        let mut ledger = Ledger::open(folder, Access::Write).unwrap();
        say(&format!("open {} {}", ledger.head().events, hex(&ledger.head().digest)));
        for _ in 0..12 {
            let next = usize::try_from(ledger.head().events).unwrap() + 1;
            let mut events = vec![(next, if next.is_multiple_of(4) { 9_000 } else { 60 })];
            if next.is_multiple_of(5) {
                events.push((next + 1, 200));
            }
            say(&format!("appending {}", ledger.head().events + events.len() as u64));
            append(&mut ledger, &events, None).unwrap();
            say(&format!("stored {} {}", ledger.head().events, hex(&ledger.head().digest)));
        }
        say("closing");
    }
}

fn hex(digest: &[u8; 32]) -> String {
    digest.iter().fold(String::new(), |text, byte| format!("{text}{byte:02x}"))
}

/// Where the kills struck.
#[derive(Debug, Default)]
struct Tally {
    kills: usize,
    /// Before a ledger was open for the first time in that life.
    opening: usize,
    appending: usize,
    /// After an acknowledgement and before the next append was begun.
    between: usize,
    closing: usize,
    /// Lives with at least one acknowledgement.
    after_work: usize,
    acknowledged: usize,
    /// An append in flight that was there afterwards.
    in_flight_and_there: usize,
    /// Kills that left a write-ahead log with something in it.
    logs_left: usize,
}

/// One life: started, killed, looked over. `known` is what is stored, before and after.
fn live(folder: &Path, chance: &mut Chance, known: &mut Vec<StoredEvent>, tally: &mut Tally) {
    let mut child = victim("kill::victim_that_appends")
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap());
    let mut said = Vec::new();
    let mut hear = |said: &mut Vec<String>| {
        let mut line = String::new();
        let whole = lines.read_line(&mut line).unwrap() > 0 && line.ends_with('\n');
        // What was cut off by its death does not count.
        if whole {
            said.push(line.trim().to_owned());
        }
        whole
    };
    // Some while it opens, some at any time after that, some after so many appends, however fast
    // this machine is.
    let (word, count, most) = match chance.below(10) {
        0..3 => ("opening", 1, 4_000),
        3..7 => ("open ", 1, 25_000),
        _ => ("stored ", 1 + chance.below(20), 3_000),
    };
    let mut heard = 0;
    while heard < count {
        assert!(hear(&mut said), "it ended by itself: {said:?}");
        heard += usize::from(said.last().is_some_and(|line| line.starts_with(word)));
    }
    std::thread::sleep(Duration::from_micros(chance.below(most) as u64));
    child.kill().unwrap();
    let ended = child.wait_with_output().unwrap();
    while hear(&mut said) {}
    let words = String::from_utf8_lossy(&ended.stderr);
    assert!(ended.status.code().is_none(), "it was not killed: {} {words}", ended.status);

    // What it found on opening is what its forerunner was found to have left.
    let opened = said.iter().find_map(|line| line.strip_prefix("open "));
    if let Some(opened) = opened {
        let digest = known.last().map_or([0; 32], |event| event.hash);
        assert_eq!(opened, format!("{} {}", known.len(), hex(&digest)));
    }
    let stored: Vec<&str> = said.iter().filter_map(|line| line.strip_prefix("stored ")).collect();
    let (acknowledged, digest) = match stored.last() {
        Some(last) => last.split_once(' ').map(|(n, d)| (n.parse().unwrap(), d)).unwrap(),
        None => (known.len(), ""),
    };
    let begun = said.iter().rev().find_map(|line| line.strip_prefix("appending "));
    let next = begun.map_or(acknowledged, |count| count.parse().unwrap());

    // Looked at in a copy: the next victim takes over the folder as the dead one left it.
    let copy = memory_folder();
    copy_ledger(folder, copy.path());
    let ledger = Ledger::open(copy.path(), Access::Write).unwrap();
    // Every event anew from time to time; in between, those known are compared in each field.
    let events = if tally.kills.is_multiple_of(LIVES / 5) {
        verified(&ledger).unwrap()
    } else {
        ledger.events().unwrap()
    };
    assert!(
        events.len() == acknowledged || events.len() == next,
        "{acknowledged} were acknowledged, {next} begun, {} are there",
        events.len()
    );
    assert!(events.starts_with(known), "what was stored before has changed");
    if !digest.is_empty() {
        assert_eq!(hex(&events[acknowledged - 1].hash), digest);
    }

    tally.kills += 1;
    tally.acknowledged += stored.len();
    tally.after_work += usize::from(!stored.is_empty());
    tally.in_flight_and_there += usize::from(events.len() > acknowledged);
    let log = std::fs::metadata(folder.join("ledger.db-wal"));
    tally.logs_left += usize::from(log.is_ok_and(|log| log.len() > 0));
    let last = said.iter().rev().find(|line| !line.is_empty());
    match last.map_or("", |line| line.split(' ').next().unwrap()) {
        "opening" => tally.opening += 1,
        "appending" => tally.appending += 1,
        "open" | "stored" => tally.between += 1,
        "closing" => tally.closing += 1,
        other => panic!("it said {other:?}"),
    }
    *known = events;
}

fn live_and_die(seed: u64, kills: usize) -> Tally {
    let (mut chance, mut tally) = (Chance(seed), Tally::default());
    while tally.kills < kills {
        let folder: TempDir = memory_folder();
        drop(Ledger::create(folder.path()).unwrap());
        let mut known = Vec::new();
        for _ in 0..LIVES.min(kills - tally.kills) {
            live(folder.path(), &mut chance, &mut known, &mut tally);
        }
        // Every hash and signature in what the last one left, taken over where it lies.
        let ledger = Ledger::open(folder.path(), Access::Write).unwrap();
        assert_eq!(verified(&ledger).unwrap(), known);
    }
    tally
}

#[test]
fn killed_two_thousand_times_it_loses_nothing() {
    // The delays come from these seeds; where a kill strikes is up to the machine.
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let start = |number| scope.spawn(move || live_and_die(0x6b11 + number, KILLS / AT_ONCE));
        let started: Vec<_> = (0..AT_ONCE as u64).map(start).collect();
        started.into_iter().map(|worker| worker.join().unwrap()).collect()
    });
    println!("{tallies:#?}");
    let sum = |of: fn(&Tally) -> usize| tallies.iter().map(of).sum::<usize>();
    assert_eq!(sum(|tally| tally.kills), KILLS);
    // Else the kills missed what they were for.
    assert!(sum(|tally| tally.opening) >= KILLS / 50);
    assert!(sum(|tally| tally.appending) >= KILLS / 20);
    assert!(sum(|tally| tally.after_work) >= KILLS / 5);
    assert!(sum(|tally| tally.acknowledged) >= KILLS);
    assert!(sum(|tally| tally.logs_left) >= KILLS / 10);
}
