//! Two programs that write to one ledger at once. The shell's lock keeps them apart; the ledger
//! stands it without that.

use crate::system::memory_folder;
use crate::victim::{append, number_of, verified, victim};
use coldbench_ledger::{Access, Ledger, StorageFault};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Stdio;

const FOLDER: &str = "COLDBENCH_TEST_WRITERS_FOLDER";
const WRITER: &str = "COLDBENCH_TEST_WRITERS_NUMBER";
const EACH: usize = 150;

/// One of the two: it waits until the other is open too, then appends as fast as it can.
#[test]
#[ignore = "started by the test beside it"]
fn victim_that_writes() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let writer: usize = std::env::var(WRITER).unwrap().parse().unwrap();
    let folder = Path::new(&folder);
    let mut ledger = Ledger::open(folder, Access::Write).unwrap();
    std::fs::write(folder.join(format!("ready-{writer}")), "").unwrap();
    while !folder.join(format!("ready-{}", 1 - writer)).exists() {
        std::thread::yield_now();
    }
    println!();
    for turn in 1..=EACH {
        let number = writer * 1_000 + turn;
        match append(&mut ledger, &[(number, 300)], None) {
            Ok(stored) => println!("stored {number} {}", stored[0].seq),
            Err(error) if error.fault() == Some(StorageFault::Busy) => println!("busy {number}"),
            Err(error) => println!("refused {number} {error} {error:?}"),
        }
    }
}

#[test]
fn two_writers_at_once_lose_nothing_and_break_no_chain() {
    let folder = memory_folder();
    drop(Ledger::create(folder.path()).unwrap());
    let start = |writer: usize| {
        victim("writers::victim_that_writes")
            .env(FOLDER, folder.path())
            .env(WRITER, writer.to_string())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let started = [start(0), start(1)];
    let mut acknowledged = BTreeMap::new();
    let mut refused = Vec::new();
    let mut by_writer = [0, 0];
    for (writer, child) in started.into_iter().enumerate() {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "writer {writer}: {}", output.status);
        let mut answers = 0;
        for line in String::from_utf8(output.stdout).unwrap().lines() {
            let (word, rest) = line.split_once(' ').unwrap_or_default();
            match word {
                "stored" => {
                    let (number, seq) = rest.split_once(' ').unwrap();
                    let (number, seq): (usize, u64) =
                        (number.parse().unwrap(), seq.parse().unwrap());
                    assert_eq!(acknowledged.insert(seq, number), None, "{seq} was given twice");
                    by_writer[writer] += 1;
                }
                "busy" => {}
                "refused" => refused.push(rest.to_owned()),
                _ => continue,
            }
            answers += 1;
        }
        assert_eq!(answers, EACH, "writer {writer} said too little");
    }
    let ledger = Ledger::open(folder.path(), Access::Write).unwrap();
    let events = verified(&ledger).unwrap();
    let there: BTreeMap<u64, usize> =
        events.iter().filter_map(|event| Some((event.seq, number_of(event)?))).collect();
    println!("stored {by_writer:?}, refused otherwise than busy: {}", refused.len());
    assert_eq!(there, acknowledged, "what is there is not what was acknowledged");
    assert!(refused.is_empty(), "{} refusals, the first: {}", refused.len(), refused[0]);
    assert!(by_writer.iter().all(|count| *count > 0), "only one got in: {by_writer:?}");
}
