//! Canonical JSON as the ledger uses it.

use coldbench_ledger::{canonical_json, is_canonical, sha256_hex};
use serde::Deserialize;
use std::fmt::Write as _;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vectors {
    number: Vec<Number>,
    document: Vec<Document>,
    refused: Vec<Refused>,
    stream: Stream,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Number {
    bits: String,
    /// None where the number has to be refused.
    text: Option<String>,
    note: Option<String>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Document {
    name: String,
    #[serde(with = "hex::serde")]
    input: Vec<u8>,
    #[serde(with = "hex::serde")]
    output: Vec<u8>,
    digest: Option<String>,
    #[serde(default)]
    values_in_order: Vec<String>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Refused {
    name: String,
    input: String,
    why: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stream {
    source: String,
    begin: Vec<String>,
    reach: Vec<Reach>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Reach {
    lines: usize,
    bytes: usize,
    digest: String,
}

fn vectors() -> Vectors {
    crate::vectors(include_str!("canonical.toml"))
}

fn of_bits(hex: &str) -> f64 {
    f64::from_bits(u64::from_str_radix(hex, 16).unwrap())
}

/// A number as JSON text other than the canonical one: shortest digits and an exponent.
fn written(number: f64) -> String {
    format!("{number:e}")
}

#[test]
fn numbers_are_written_as_published() {
    let numbers = vectors().number;
    assert_eq!(numbers.len(), 26);
    let mut refused = 0;
    for Number { bits, text, note, source } in numbers {
        let about = format!("{bits} {}, {source}", note.unwrap_or_default());
        let number = of_bits(&bits);
        if let Some(text) = text {
            assert_eq!(canonical_json(&written(number)).unwrap(), text, "{about}");
            assert!(is_canonical(&text), "{about}");
        } else {
            assert!(canonical_json(&number.to_string()).is_err(), "{about}");
            refused += 1;
        }
    }
    assert_eq!(refused, 2);
    // What is no number of JSON at all, and what no double can hold.
    for text in ["NaN", "Infinity", "-Infinity", "1e309", "-1e309", "01", "+1", ".5", "0x1"] {
        assert!(canonical_json(text).is_err() && !is_canonical(text), "{text}");
    }
}

#[test]
fn documents_are_written_as_published() {
    let documents = vectors().document;
    assert_eq!(documents.len(), 7);
    let mut with_order = 0;
    for Document { name, input, output, digest, values_in_order, source } in documents {
        let about = format!("{name}, {source}");
        let (input, output) =
            (String::from_utf8(input).unwrap(), String::from_utf8(output).unwrap());
        let canonical = canonical_json(&input).unwrap();
        assert_eq!(canonical, output, "{about}");
        assert!(is_canonical(&output) && !is_canonical(&input), "{about}");
        if let Some(digest) = digest {
            assert_eq!(sha256_hex(canonical.as_bytes()), digest, "{about}");
        }
        let places: Vec<_> =
            values_in_order.iter().map(|value| canonical.find(value).unwrap()).collect();
        assert!(places.is_sorted(), "{about}");
        with_order += usize::from(places.len() > 1);
    }
    assert_eq!(with_order, 1);
}

#[test]
fn what_has_to_be_refused_is_never_canonical() {
    let refused = vectors().refused;
    assert_eq!(refused.len(), 5);
    for Refused { name, input, why, source } in &refused {
        assert!(!is_canonical(input), "{name}: {why}, {source}");
    }
    // Of a name that stands twice and of an integer that no double holds, the text as canonical
    // JSON is another one. The rest fails.
    for Refused { name, input, why, source } in &refused {
        match name.as_str() {
            "duplicate-name" | "duplicate-name-after-unescape" | "integer-past-2-53" => {
                assert_ne!(canonical_json(input).unwrap(), *input, "{name}: {why}, {source}");
            }
            _ => assert!(canonical_json(input).is_err(), "{name}: {why}, {source}"),
        }
    }
}

/// The numbers of the published list, in its order.
fn numbers_in_order(begin: &[String]) -> impl Iterator<Item = f64> {
    let mut block = vec![0; 32];
    let chain = std::iter::repeat_with(move || {
        block = hex::decode(sha256_hex(&block)).unwrap();
        block
            .chunks(8)
            .map(|eight| f64::from_le_bytes(eight.try_into().unwrap()))
            .filter(|number| number.is_finite() && *number != 0.0)
            .collect::<Vec<_>>()
    });
    let first = 0x0010_0000_0000_0000;
    let in_a_row = (first..first + 2000).map(f64::from_bits);
    begin.iter().map(|bits| of_bits(bits)).chain(in_a_row).chain(chain.flatten())
}

#[test]
fn a_hundred_thousand_numbers_are_written_as_published() {
    let Stream { source, begin, mut reach } = vectors().stream;
    assert_eq!(begin.len(), 168);
    assert_eq!(reach.last().unwrap().lines, 100_000);
    reach.reverse();
    let mut lines = String::new();
    for (number, count) in numbers_in_order(&begin).zip(1..) {
        let canonical = canonical_json(&written(number)).unwrap();
        writeln!(lines, "{:x},{canonical}", number.to_bits()).unwrap();
        if let Some(Reach { bytes, digest, .. }) = reach.pop_if(|next| next.lines == count) {
            assert_eq!(lines.len(), bytes, "{count} lines, {source}");
            assert_eq!(sha256_hex(lines.as_bytes()), digest, "{count} lines, {source}");
        }
        if reach.is_empty() {
            return;
        }
    }
}
