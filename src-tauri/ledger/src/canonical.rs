//! The exact bytes that are hashed and signed. They may never change: what is stored would no
//! longer verify.

use crate::event::Unsealed;
use serde_json::json;
use sha2::{Digest, Sha256};

/// SHA-256 (FIPS 180-4).
pub(crate) fn sha256(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// SHA-256 of `bytes` as 64 hex digits.
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex::encode(sha256(bytes))
}

/// A digest as 64 hex digits.
pub fn digest_hex(digest: &[u8; 32]) -> String {
    hex::encode(digest)
}

/// Canonical JSON (RFC 8785) of a value.
pub(crate) fn canonical(value: &serde_json::Value) -> Result<String, serde_json::Error> {
    serde_json_canonicalizer::to_string(value)
}

/// The hash of an event: SHA-256 over the canonical JSON of all its fields. The body goes in as
/// the text that is stored, so that not a byte of it can differ.
pub(crate) fn event_hash(event: &Unsealed<'_>) -> Result<[u8; 32], serde_json::Error> {
    let fields = json!({
        "v": 1,
        "origin": event.origin,
        "seq": event.seq,
        "at": event.at,
        "person": event.person,
        "station": event.station,
        "kind": event.kind,
        "body": event.body,
        "prev": hex::encode(event.prev),
    });
    Ok(sha256(canonical(&fields)?.as_bytes()))
}

/// What a key signs: the purpose, so that no signature can be carried to another use, and the
/// hash.
pub(crate) fn signing_bytes(hash: &[u8; 32]) -> Vec<u8> {
    let mut bytes = b"coldbench event v1\0".to_vec();
    bytes.extend_from_slice(hash);
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 / RFC 6234 section 8.5 test driver: "abc".
    #[test]
    fn sha256_of_abc() {
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256_hex(b"abc"), expected);
    }

    /// RFC 8785 section 3.2.3: names sort by UTF-16 code units, so U+1F600 (a surrogate pair)
    /// comes before U+FB33.
    #[test]
    fn names_sort_by_utf16() {
        let value = json!({"\u{fb33}": 1, "\u{1f600}": 2, "a": 3.0});
        assert_eq!(canonical(&value).unwrap(), "{\"a\":3,\"\u{1f600}\":2,\"\u{fb33}\":1}");
    }

    /// The stored form is frozen: this very hash has to come out for ever.
    #[test]
    fn the_event_hash_is_pinned() {
        let event = Unsealed {
            origin: "0011",
            seq: 7,
            at: "2026-11-25T10:00:00.000+01:00",
            person: "P-1",
            station: "",
            kind: "note-written",
            body: "{\"text\":\"½ turn\"}",
            prev: &[0x11; 32],
        };
        let plain = "{\"at\":\"2026-11-25T10:00:00.000+01:00\",\"body\":\"{\\\"text\\\":\\\"½ turn\\\"}\",\"kind\":\"note-written\",\"origin\":\"0011\",\"person\":\"P-1\",\"prev\":\"1111111111111111111111111111111111111111111111111111111111111111\",\"seq\":7,\"station\":\"\",\"v\":1}";
        assert_eq!(event_hash(&event).unwrap(), sha256(plain.as_bytes()));
    }
}
