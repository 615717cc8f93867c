//! The file of a record in any state: cut, edited, put together anew. Reading it never breaks
//! down, and what holds is what was recorded.

use crate::system::Chance;
use coldbench_ledger::{
    Entry, Extract, ExtractError, Head, LARGEST_RECORD, canonical_json, sha256_hex,
};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;

/// A record that was written once, of some events whole and some folded.
const WRITTEN: &[u8] = include_bytes!("corpus/holds-as-written.json");

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Verdict {
    Holds,
    Unreadable,
    Newer,
    Fault,
    LeftOut,
    OtherHead,
    OpenEnd,
}

/// What a record says, apart from what nobody signed.
struct Recorded {
    entries: Vec<Entry>,
    head: Head,
    installation: [u8; 32],
}

impl Recorded {
    fn as_written() -> Self {
        let extract = Extract::from_bytes(WRITTEN).unwrap();
        let report = extract.verify().unwrap();
        assert_eq!(report.heads, std::slice::from_ref(&extract.head));
        assert!(report.folded > 2 && report.events > report.folded + 4, "{report:?}");
        let Extract { entries, head, installation, .. } = extract;
        Self { entries, head, installation }
    }

    /// Reads and verifies; what holds has to say what was recorded.
    fn check(&self, bytes: &[u8]) -> Verdict {
        let read = Extract::from_bytes(bytes).and_then(|read| read.verify().map(|_| read));
        match read {
            Ok(read) => {
                assert!(
                    read.entries == self.entries
                        && read.head == self.head
                        && read.installation == self.installation,
                    "it holds and is another one: {}",
                    String::from_utf8_lossy(bytes)
                );
                Verdict::Holds
            }
            Err(error) => {
                assert!(error.to_string().ends_with('.'), "{error}");
                match error {
                    ExtractError::Unreadable(_) => Verdict::Unreadable,
                    ExtractError::Newer(_) => Verdict::Newer,
                    ExtractError::Fault(_) => Verdict::Fault,
                    ExtractError::LeftOut { .. } => Verdict::LeftOut,
                    ExtractError::OtherHead { .. } => Verdict::OtherHead,
                    ExtractError::OpenEnd => Verdict::OpenEnd,
                }
            }
        }
    }
}

/// The first words of a file's name say what has to come of it.
#[test]
fn the_kept_records_are_judged_as_their_names_say() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/faults/ledger/corpus");
    let recorded = Recorded::as_written();
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        let verdicts = [
            ("holds-", Verdict::Holds),
            ("unreadable-", Verdict::Unreadable),
            ("newer-", Verdict::Newer),
            ("fault-", Verdict::Fault),
            ("left-out-", Verdict::LeftOut),
            ("other-head-", Verdict::OtherHead),
            ("open-end-", Verdict::OpenEnd),
        ];
        let expected = verdicts.iter().find(|(begins, _)| name.starts_with(begins)).unwrap().1;
        assert_eq!(recorded.check(&std::fs::read(&path).unwrap()), expected, "{name}");
        *found.entry(expected).or_insert(0) += 1;
    }
    println!("{found:?}");
    assert_eq!(found.len(), 7);
    assert!(found.values().sum::<usize>() >= 40, "{found:?}");
}

#[test]
fn every_flipped_bit_of_a_record_is_found_or_says_the_same() {
    let recorded = Recorded::as_written();
    let share = |share: usize| {
        let mut tally = BTreeMap::new();
        let mut bytes = WRITTEN.to_vec();
        for bit in (share..bytes.len() * 8).step_by(2) {
            bytes[bit / 8] ^= 1 << (bit % 8);
            *tally.entry(recorded.check(&bytes)).or_insert(0) += 1;
            bytes[bit / 8] ^= 1 << (bit % 8);
        }
        assert_eq!(bytes, WRITTEN);
        tally
    };
    let (even, odd) = std::thread::scope(|scope| {
        let even = scope.spawn(|| share(0));
        (share(1), even.join().unwrap())
    });
    println!("{even:?}, {odd:?}");
    assert_eq!(even.values().chain(odd.values()).sum::<usize>(), WRITTEN.len() * 8);
    // A digit in upper case, a letter of what nobody signed.
    assert!(odd[&Verdict::Holds] > 0 && odd[&Verdict::Fault] > 1000);
}

#[test]
fn a_cut_off_record_is_never_read() {
    let recorded = Recorded::as_written();
    for length in 0..WRITTEN.len() {
        assert_eq!(recorded.check(&WRITTEN[..length]), Verdict::Unreadable, "{length}");
        assert_eq!(recorded.check(&WRITTEN[WRITTEN.len() - length..]), Verdict::Unreadable);
    }
    for behind in ["x", "{}", "\0", ",", "}"] {
        let bytes = [WRITTEN, behind.as_bytes()].concat();
        assert_eq!(recorded.check(&bytes), Verdict::Unreadable, "{behind}");
    }
}

/// One edit of bytes: a few changed, a piece cut out, doubled, moved, or put in from elsewhere.
fn edit(bytes: &mut Vec<u8>, chance: &mut Chance) {
    if bytes.is_empty() {
        return bytes.extend_from_slice(WRITTEN);
    }
    let mut below = |most: usize| chance.below(most);
    let from = below(bytes.len());
    let longest = if below(4) == 0 { 900 } else { 12 };
    let to = (from + 1 + below(longest)).min(bytes.len());
    let at = below(bytes.len());
    match below(8) {
        0 => bytes[from] = u8::try_from(below(256)).unwrap(),
        1 => bytes[from..to].fill_with(|| u8::try_from(below(256)).unwrap()),
        2 => drop(bytes.drain(from..to)),
        3 => {
            let piece = bytes[from..to].to_vec();
            bytes.splice(at..at, piece);
        }
        4 => {
            let piece: Vec<u8> = bytes.drain(from..to).collect();
            let at = at.min(bytes.len());
            bytes.splice(at..at, piece);
        }
        5 => {
            let from = below(WRITTEN.len());
            let to = (from + 1 + below(400)).min(WRITTEN.len());
            bytes.splice(at..at, WRITTEN[from..to].iter().copied());
        }
        6 => {
            let words: [&[u8]; 12] = [
                b"null",
                b"{}",
                b"[]",
                b"\"\"",
                b"0",
                b"-1",
                b"1e999",
                b"18446744073709551616",
                b"\\u0000",
                b"\\ud800",
                b"\xff",
                b"\"folded\":",
            ];
            bytes.splice(at..at, words[below(words.len())].iter().copied());
        }
        // Hex stays hex, so that more is read of it.
        _ => {
            for byte in &mut bytes[from..to] {
                if byte.is_ascii_hexdigit() {
                    *byte = b"0123456789abcdefABCDEF"[below(22)];
                }
            }
        }
    }
}

#[test]
fn a_record_edited_at_random_is_found_or_says_the_same() {
    let recorded = Recorded::as_written();
    let mut chance = Chance(0xec0d);
    let mut tally = BTreeMap::new();
    for _ in 0..12_000 {
        let mut bytes = WRITTEN.to_vec();
        for _ in 0..=chance.below(3) {
            edit(&mut bytes, &mut chance);
        }
        *tally.entry(recorded.check(&bytes)).or_insert(0_usize) += 1;
    }
    println!("{tally:?}");
    assert!(tally[&Verdict::Unreadable] > 1000 && tally[&Verdict::Fault] > 300, "{tally:?}");
}

/// The places of all values in a JSON document, from the root on.
fn places(value: &Value, here: &str, all: &mut Vec<String>) {
    all.push(here.to_owned());
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                places(
                    value,
                    &format!("{here}/{}", name.replace('~', "~0").replace('/', "~1")),
                    all,
                );
            }
        }
        Value::Array(values) => {
            for (index, value) in values.iter().enumerate() {
                places(value, &format!("{here}/{index}"), all);
            }
        }
        _ => {}
    }
}

/// A name that JSON text gets in place of another, so that one can stand twice.
const TWIN: &str = "twin of the name before";

#[test]
fn a_record_with_any_value_replaced_dropped_or_doubled_is_found_or_says_the_same() {
    let recorded = Recorded::as_written();
    let written: Value = serde_json::from_slice(WRITTEN).unwrap();
    let mut all = Vec::new();
    places(&written, "", &mut all);
    let deep = |depth: usize| format!("{}{}", "[".repeat(depth), "]".repeat(depth));
    let replacements: Vec<String> = [
        "null",
        "true",
        "0",
        "1",
        "2",
        "-1",
        "0.5",
        "1e999",
        "18446744073709551615",
        "18446744073709551616",
        "1e300",
        "\"\"",
        "\"x\"",
        "\"\\u0000\"",
        "\"\\ud800\"",
        "[]",
        "{}",
        "[[]]",
        "[null]",
        "{\"folded\":[]}",
        "{\"folded\":null}",
        "NaN",
    ]
    .map(str::to_owned)
    .into_iter()
    .chain([deep(100), deep(200), deep(50_000), "[".repeat(50_000), "{\"a\":".repeat(50_000)])
    .collect();
    let mut tally = BTreeMap::new();
    let mut judge = |text: &str| {
        let verdict = recorded.check(text.as_bytes());
        *tally.entry(verdict).or_insert(0_usize) += 1;
        verdict
    };
    let mark = "the value to replace";
    for place in &all {
        let mut marked = written.clone();
        *marked.pointer_mut(place).unwrap() = json!(mark);
        let marked = marked.to_string();
        assert_eq!(marked.matches(mark).count(), 1);
        for replacement in &replacements {
            judge(&marked.replace(&format!("\"{mark}\""), replacement));
        }
        let Some((parent, name)) = place.rsplit_once('/') else { continue };
        let signed = !place.starts_with("/context/");
        let mut dropped = written.clone();
        let mut doubled = written.clone();
        let mut beside = written.clone();
        match dropped.pointer_mut(parent).unwrap() {
            Value::Object(fields) => {
                fields.remove(name).unwrap();
                // The same field twice, with the same value, with another, in either order.
                let same = doubled.pointer(place).unwrap().clone();
                for (first, second) in
                    [(same.clone(), same.clone()), (same.clone(), json!(0)), (json!(0), same)]
                {
                    let fields = doubled.pointer_mut(parent).unwrap().as_object_mut().unwrap();
                    fields.insert(name.to_owned(), first);
                    fields.insert(TWIN.to_owned(), second);
                    let text = doubled.to_string();
                    assert_eq!(text.matches(TWIN).count(), 1);
                    let verdict = judge(&text.replace(TWIN, name));
                    assert!(!signed || verdict == Verdict::Unreadable, "{place} stands twice");
                }
                let fields = beside.pointer_mut(parent).unwrap().as_object_mut().unwrap();
                fields.insert("more".to_owned(), json!(1));
            }
            Value::Array(values) => {
                let index: usize = name.parse().unwrap();
                values.remove(index);
                let values = doubled.pointer_mut(parent).unwrap().as_array_mut().unwrap();
                values.insert(index, values[index].clone());
                let verdict = judge(&doubled.to_string());
                assert!(!signed || verdict != Verdict::Holds, "{place} stands twice");
                let values = beside.pointer_mut(parent).unwrap().as_array_mut().unwrap();
                values.rotate_left(index);
            }
            other => panic!("{parent} holds {name} and is {other}"),
        }
        judge(&dropped.to_string());
        judge(&beside.to_string());
    }
    println!("{} values: {tally:?}", all.len());
    assert!(all.len() > 90 && tally[&Verdict::Unreadable] > 1000 && tally[&Verdict::Fault] > 100);
    assert!(tally[&Verdict::Holds] > 20, "what nobody signed may be anything: {tally:?}");
}

#[test]
fn a_record_larger_than_any_is_not_read() {
    let spaces = vec![b' '; LARGEST_RECORD + 1 - WRITTEN.len()];
    let recorded = Recorded::as_written();
    assert_eq!(recorded.check(&[WRITTEN, &spaces].concat()), Verdict::Unreadable);
    assert_eq!(recorded.check(&[WRITTEN, &spaces[..1000]].concat()), Verdict::Holds);
}

/// Behind the newest whole event nobody's signature reaches: somebody without a key can end the
/// record earlier, or otherwise, with a head that fits. So a record is compared with the head
/// that is printed, and its head then is another one.
#[test]
fn an_end_put_on_by_somebody_else_shows_in_the_head() {
    let recorded = Recorded::as_written();
    let written: Value = serde_json::from_slice(WRITTEN).unwrap();
    let chain = written["chain"].as_array().unwrap();
    let other_end = json!({ "folded": [["R-3", "11".repeat(32)]] });
    for (kept, end) in
        [(chain.len() - 1, None), (7, None), (3, None), (chain.len() - 1, Some(other_end))]
    {
        let mut record = written.clone();
        let pieces = record["chain"].as_array_mut().unwrap();
        pieces.truncate(kept);
        pieces.extend(end);
        let count = pieces
            .iter()
            .map(|piece| piece["folded"].as_array().map_or(1, Vec::len))
            .sum::<usize>();
        record["events"] = json!(count);
        record["head"] = json!(head_of(&record));
        let read = Extract::from_bytes(record.to_string().as_bytes()).unwrap();
        if let Ok(report) = read.verify() {
            assert_eq!(report.events, count as u64);
            assert_ne!(report.heads[0], recorded.head);
        }
    }
}

/// The digest at the end of a record's chain, worked out here once more.
fn head_of(record: &Value) -> String {
    let digest =
        |fields: Value| sha256_hex(canonical_json(&fields.to_string()).unwrap().as_bytes());
    let mut head = "00".repeat(32);
    let mut seq = 0;
    let mut link = |subject: &Value, content: &str| {
        seq += 1;
        head = digest(json!({
            "content": content, "origin": record["origin"], "prev": head, "seq": seq,
            "subject": subject, "v": 2,
        }));
    };
    for piece in record["chain"].as_array().unwrap() {
        if let Some(folded) = piece["folded"].as_array() {
            for pair in folded {
                link(&pair[0], pair[1].as_str().unwrap());
            }
        } else {
            let names = ["at", "body", "kind", "person", "salt", "station"];
            let content: serde_json::Map<_, _> =
                names.iter().map(|name| ((*name).to_owned(), piece[name].clone())).collect();
            link(&piece["subject"], &digest(Value::Object(content)));
        }
    }
    head
}

#[test]
fn the_head_worked_out_here_is_the_one_that_was_written() {
    let written: Value = serde_json::from_slice(WRITTEN).unwrap();
    assert_eq!(head_of(&written), written["head"]);
}
