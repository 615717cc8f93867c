//! Each system call of an append fails once, or from then on: what the ledger says is true, and
//! it says it in words.

use crate::system::{memory_folder, order};
use crate::victim::{append, copy_ledger, number_of, old_ledger, verified, victim_under_faults};
use coldbench_ledger::{Access, Ledger, LedgerError, StoredEvent};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::process::{Child, ExitStatus};
use std::time::Duration;
use tempfile::TempDir;

const FOLDER: &str = "COLDBENCH_TEST_CALLS_FOLDER";
const WHAT: &str = "COLDBENCH_TEST_CALLS_WHAT";
const SHARE: &str = "COLDBENCH_TEST_CALLS_SHARE";
const SHARES: usize = 2;

const EIO: i32 = 5;
const ENOSPC: i32 = 28;

/// As `system.c` numbers them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Manner {
    Once = 0,
    FromThenOn = 1,
    HalfWritten = 2,
    /// A full disk on which SQLite is left with a `-shm` file that it may only read.
    Unwilling = 3,
}

/// What is done while calls fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    /// An append to an open ledger.
    Append,
    /// Opening, an append, and closing.
    OpenAndAppend,
    /// An append by which the write-ahead log is carried over into the database.
    CarryOver,
    /// Opening a ledger of the first schema, which brings it up to today's, and an append.
    BringUp,
    /// Making a ledger.
    Create,
    /// Trying to make one where there is one.
    CreateOver,
}

impl What {
    fn named(name: &str) -> Self {
        use What::{Append, BringUp, CarryOver, Create, CreateOver, OpenAndAppend};
        let all = [Append, OpenAndAppend, CarryOver, BringUp, Create, CreateOver];
        all.into_iter().find(|what| format!("{what:?}") == name).unwrap()
    }
}

/// Numbers of the events that are tried under faults.
const FIRST: usize = 101;
const SECOND: usize = 102;
/// The one that is appended when nothing fails any more.
const LAST: usize = 103;

/// What came of one case.
#[derive(Default)]
struct Outcome {
    /// How long the texts of its events are.
    length: usize,
    acknowledged: Vec<StoredEvent>,
    /// Appends that said they failed.
    refused: Vec<usize>,
    /// What was said, each with what was tried.
    words: Vec<String>,
    /// What must not be.
    broken: Vec<String>,
}

impl Outcome {
    fn note<T>(&mut self, what: &str, done: Result<T, LedgerError>) -> Option<T> {
        match done {
            Ok(done) => Some(done),
            Err(error) => {
                let words = error.to_string();
                if !words.ends_with('.') || words.len() < 20 || words.contains("Os {") {
                    self.broken.push(format!("no words for a builder: {words:?}"));
                }
                // All is there; who believes these would begin anew or change the key file.
                if matches!(error, LedgerError::Absent { .. } | LedgerError::InstallationKey { .. })
                {
                    self.broken.push(format!("words that mislead: {words:?}"));
                }
                self.words.push(format!("{what}: {}", general(&error)));
                None
            }
        }
    }

    fn append(&mut self, ledger: &mut Ledger, number: usize) {
        let done = append(ledger, &[(number, self.length)], None);
        match self.note("append", done) {
            Some(stored) => self.acknowledged.extend(stored),
            None => self.refused.push(number),
        }
    }

    fn open(&mut self, folder: &Path) -> Option<Ledger> {
        self.note("open", Ledger::open(folder, Access::Write))
    }
}

/// An error's words without the path in them.
fn general(error: &LedgerError) -> String {
    let words = error.to_string();
    let named = words.split(' ').map(|word| if word.contains('/') { "PATH" } else { word });
    named.collect::<Vec<_>>().join(" ")
}

/// One case: what is done, and which call of it fails, how.
#[derive(Debug, Clone, Copy)]
struct Case {
    what: What,
    /// From 1; 0 lets all go well.
    call: usize,
    error: i32,
    manner: Manner,
}

impl Case {
    /// Does it, in a copy of `model`; gives the letters of the calls of the first try as well.
    fn play(self, model: &Path, folder: &Path, outcome: &mut Outcome) -> String {
        let Self { what, call, error, manner } = self;
        let arm = format!("arm/{call}/{error}/{}", manner as u8);
        if what != What::Create {
            copy_ledger(model, folder);
        }
        match what {
            What::Append | What::CarryOver => {
                let mut ledger = Ledger::open(folder, Access::Write).unwrap();
                order(&arm);
                outcome.append(&mut ledger, FIRST);
                let letters = order("calls");
                // The same program goes on, with whatever it is left with.
                outcome.append(&mut ledger, SECOND);
                letters
            }
            What::OpenAndAppend | What::BringUp => {
                order(&arm);
                if let Some(mut ledger) = outcome.open(folder) {
                    outcome.append(&mut ledger, FIRST);
                }
                let letters = order("calls");
                if let Some(mut ledger) = outcome.open(folder) {
                    outcome.append(&mut ledger, SECOND);
                }
                letters
            }
            What::Create | What::CreateOver => {
                order(&arm);
                let made = outcome.note("create", Ledger::create(folder));
                let letters = order("calls");
                if let Some(mut ledger) = made {
                    outcome.append(&mut ledger, SECOND);
                }
                letters
            }
        }
    }

    /// What is there once nothing fails any more. Says whether an append that said it failed had
    /// been stored all the same.
    fn look(self, folder: &Path, before: &[StoredEvent], outcome: &mut Outcome) -> bool {
        let opened = if self.what == What::Create && !Ledger::exists(folder) {
            Ledger::create(folder)
        } else {
            Ledger::open(folder, Access::Write)
        };
        let mut ledger = match opened {
            Ok(ledger) => ledger,
            Err(error) => {
                outcome.broken.push(format!("it does not open afterwards: {error} {error:?}"));
                return false;
            }
        };
        // All anew where that is quick, and now and then; else each field is compared.
        let fresh = before.len() < 50 || self.call.is_multiple_of(4);
        let events = if fresh {
            verified(&ledger)
        } else {
            ledger.events().map_err(|error| error.to_string())
        };
        let events = match events {
            Ok(events) => events,
            Err(error) => {
                outcome.broken.push(format!("it does not hold afterwards: {error}"));
                return false;
            }
        };
        if !events.starts_with(before) {
            outcome.broken.push("what was stored before has changed".to_owned());
            return false;
        }
        let there = &events[before.len()..];
        let said = &outcome.acknowledged;
        let (acknowledged, more): (Vec<_>, Vec<_>) =
            there.iter().cloned().partition(|event| said.contains(event));
        let holds = acknowledged == *said && more.len() <= 1;
        let tried =
            |event: &StoredEvent| number_of(event).is_some_and(|n| outcome.refused.contains(&n));
        if !holds || !more.iter().all(tried) {
            let there: Vec<_> = there.iter().map(number_of).collect();
            let said: Vec<_> = said.iter().map(number_of).collect();
            let refused = &outcome.refused;
            outcome.broken.push(format!(
                "{said:?} were acknowledged, {refused:?} refused, {there:?} are there"
            ));
        }
        let count = events.len() as u64 + 1;
        match append(&mut ledger, &[(LAST, 100)], None) {
            Ok(last) if last[0].seq == count => {}
            other => outcome.broken.push(format!("it can't go on afterwards: {other:?}")),
        }
        !more.is_empty()
    }
}

/// The one whose calls fail: all cases of one kind, or rather this share of them.
#[test]
#[ignore = "started by the tests beside it, with the library in front of libc"]
fn victim() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let what = What::named(&std::env::var(WHAT).unwrap());
    let share: usize = std::env::var(SHARE).unwrap().parse().unwrap();
    let place = Path::new(&folder);
    let model = place.join("model");
    let before = if what == What::Create {
        Vec::new()
    } else {
        let there = TempDir::new_in(place).unwrap();
        copy_ledger(&model, there.path());
        verified(&Ledger::open(there.path(), Access::Write).unwrap()).unwrap()
    };
    let run = |case: Case| {
        let there = TempDir::new_in(place).unwrap();
        // Enough to fill up the log where it is to be carried over.
        let length = if what == What::CarryOver { 25_000 } else { 2_500 };
        let mut outcome = Outcome { length, ..Outcome::default() };
        let letters = case.play(&model, there.path(), &mut outcome);
        let struck: usize = order("calm").parse().unwrap();
        let stored_all_the_same = case.look(there.path(), &before, &mut outcome);
        (letters, struck, stored_all_the_same, outcome)
    };
    let calm = Case { what, call: 0, error: EIO, manner: Manner::Once };
    let (letters, struck, _, outcome) = run(calm);
    assert!(struck == 0 && outcome.refused.is_empty() && outcome.broken.is_empty());
    assert_eq!(outcome.words.is_empty(), what != What::CreateOver, "{:?}", outcome.words);
    say(&format!("calls {letters}"));
    let (mut number, mut cases) = (0, 0);
    for (call, letter) in (1..).zip(letters.chars()) {
        // Carrying over is the same few calls over and over for each page.
        if what == What::CarryOver && call > 40 && call + 20 < letters.len() && call % 9 != 0 {
            continue;
        }
        let manners = [Manner::Once, Manner::FromThenOn, Manner::HalfWritten, Manner::Unwilling];
        for manner in manners {
            for error in [EIO, ENOSPC] {
                let full_only = matches!(manner, Manner::HalfWritten | Manner::Unwilling);
                if (full_only && error != ENOSPC)
                    || (manner == Manner::HalfWritten && letter != 'w')
                {
                    continue;
                }
                number += 1;
                if number % SHARES != share {
                    continue;
                }
                let case = Case { what, call, error, manner };
                say(&format!("case {letter} {case:?}"));
                let (_, struck, stored, outcome) = run(case);
                assert!(struck > 0, "nothing failed");
                cases += 1;
                for words in &outcome.words {
                    say(&format!("words {words}"));
                }
                for words in &outcome.broken {
                    say(&format!("broken {words} {case:?} {letter} {:?}", outcome.words));
                }
                if stored {
                    say(&format!("stored {letter} {case:?}"));
                }
            }
        }
    }
    say(&format!("done {cases}"));
}

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("\n{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

/// A ledger with a few events; for carrying over, one whose write-ahead log is all but full.
fn make_model(what: What, model: &Path) {
    if what == What::BringUp {
        std::fs::create_dir(model).unwrap();
        return copy_ledger(&old_ledger(), model);
    }
    let making = memory_folder();
    let mut ledger = Ledger::create(making.path()).unwrap();
    let log = making.path().join("ledger.db-wal");
    // Frames of a page and 24 bytes each; SQLite carries over at a thousand.
    let almost_full = |log: &Path| std::fs::metadata(log).unwrap().len() > 993 * 4_120;
    for number in 1.. {
        append(&mut ledger, &[(number, 40)], None).unwrap();
        if number >= 5 && (what != What::CarryOver || almost_full(&log)) {
            break;
        }
    }
    std::fs::create_dir(model).unwrap();
    copy_ledger(making.path(), model);
}

/// Runs all cases of a kind; gives the letters of its calls.
fn run_all(what: What) -> String {
    let place = memory_folder();
    if what != What::Create {
        make_model(what, &place.path().join("model"));
    }
    let start = |share: usize| {
        let heard = place.path().join(format!("heard-{share}"));
        let mut victim = victim_under_faults("calls::victim", place.path());
        victim.env(FOLDER, place.path()).env(WHAT, format!("{what:?}"));
        victim.env(SHARE, share.to_string());
        victim.stdout(File::create(&heard).unwrap());
        (victim.spawn().unwrap(), heard)
    };
    let (mut cases, mut letters) = (0, String::new());
    let (mut words, mut stored) = (BTreeMap::<String, usize>::new(), Vec::new());
    let mut broken = Vec::new();
    let victims: Vec<_> = (0..SHARES).map(start).collect();
    for (mut child, heard) in victims {
        let status = wait_for(&mut child);
        let heard = std::fs::read_to_string(heard).unwrap();
        let last = heard.lines().rev().find(|line| line.starts_with("case "));
        let status = status.unwrap_or_else(|| panic!("it waits without end at {last:?}"));
        assert!(status.success(), "it ended by {status} at {last:?}");
        for line in heard.lines() {
            let (kind, rest) = line.split_once(' ').unwrap_or_default();
            match kind {
                "calls" => rest.clone_into(&mut letters),
                "done" => cases += rest.parse::<usize>().unwrap(),
                "words" => *words.entry(rest.to_owned()).or_default() += 1,
                "broken" => broken.push(rest.to_owned()),
                "stored" => stored.push(rest.to_owned()),
                _ => {}
            }
        }
    }
    println!("{what:?}: calls {letters}, {cases} cases, said {words:#?}");
    println!("in doubt when they were refused, and there afterwards: {stored:#?}");
    assert!(broken.is_empty(), "{}: {broken:#?}", broken.len());
    assert!(cases >= 4 * letters.len().min(30) && !words.is_empty(), "{cases} cases");
    letters
}

/// Waits for its end; `None` if that takes beyond all measure, and then it is killed.
fn wait_for(child: &mut Child) -> Option<ExitStatus> {
    for _ in 0..6_000 {
        if let Some(status) = child.try_wait().unwrap() {
            return Some(status);
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    None
}

#[test]
fn any_call_of_an_append_may_fail() {
    run_all(What::Append);
}

#[test]
fn any_call_of_opening_and_appending_may_fail() {
    run_all(What::OpenAndAppend);
}

#[test]
fn any_call_of_carrying_the_log_over_may_fail() {
    let letters = run_all(What::CarryOver);
    let reads = letters.chars().filter(|letter| *letter == 'r').count();
    assert!(reads >= 50, "the log was not carried over: {letters}");
}

#[test]
fn any_call_of_bringing_an_old_ledger_up_may_fail() {
    run_all(What::BringUp);
}

#[test]
fn any_call_of_making_a_ledger_may_fail() {
    run_all(What::Create);
}

/// A disk that can't say whether there is a ledger must not get the ledger replaced.
#[test]
fn any_call_may_fail_and_no_ledger_is_made_over_another() {
    run_all(What::CreateOver);
}
