//! Argon2id as the ledger uses it.

use coldbench_ledger::{Cost, argon2id};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vectors {
    tag: Vec<Vector>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Vector {
    name: String,
    #[serde(with = "hex::serde")]
    password: Vec<u8>,
    #[serde(with = "hex::serde")]
    salt: Vec<u8>,
    #[serde(with = "hex::serde")]
    secret: Vec<u8>,
    #[serde(with = "hex::serde")]
    associated: Vec<u8>,
    memory_kib: u32,
    passes: u32,
    lanes: u32,
    tag: String,
    source: String,
}

#[test]
fn passwords_have_their_published_tags() {
    let tags = crate::vectors::<Vectors>(include_str!("argon2id.toml")).tag;
    assert_eq!(tags.len(), 4);
    let mut as_for_a_pin = 0;
    for vector in tags {
        let Vector { memory_kib, passes, lanes, .. } = vector;
        let cost = Cost { memory_kib, passes, lanes };
        let stretched =
            argon2id(&vector.password, &vector.salt, &vector.secret, &vector.associated, cost);
        let tag = hex::encode(*stretched.unwrap());
        assert_eq!(tag, vector.tag, "{}, {}", vector.name, vector.source);
        as_for_a_pin += usize::from(cost == Cost::PIN);
    }
    assert_eq!(as_for_a_pin, 1);
}

#[test]
fn settings_out_of_range_are_refused() {
    let least = Cost { memory_kib: 8, passes: 1, lanes: 1 };
    let stretch = |salt: &[u8], cost| argon2id(b"1357", salt, &[], &[], cost);
    assert!(stretch(&[2; 8], least).is_ok());
    assert!(stretch(&[2; 7], least).is_err());
    for cost in [
        Cost { memory_kib: 7, ..least },
        Cost { passes: 0, ..least },
        Cost { lanes: 0, ..least },
        Cost { lanes: 2, ..least },
    ] {
        assert!(stretch(&[2; 8], cost).is_err(), "{cost:?}");
    }
    let long = [4; 33];
    assert!(argon2id(b"1357", &[2; 8], &[], &long, least).is_err());
}
