//! The exact bytes that are hashed and signed. They may never change: what is stored would no
//! longer verify.
//!
//! Form 1 hashes all fields of an event at once. Form 2, written since schema 2, hashes them in
//! two steps, so that an event can be *folded* in the record of one rod: its content goes, the
//! digest of its content stays, and the chain can still be followed past it. A salt keeps a
//! short content from being guessed from its digest.

use crate::event::{Form, Unsealed};
use serde::Serialize;
use serde_json::json;
use sha2::{Digest, Sha256};

/// SHA-256 (FIPS 180-4).
pub(crate) fn sha256(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// SHA-256 (FIPS 180-4) of `bytes` as 64 hex digits.
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

/// Canonical JSON (RFC 8785) of a JSON text. Fails where the text is no JSON, holds a lone
/// surrogate, or a number outside the range of a double. A name that stands twice in one object
/// does not fail here, but what comes out then differs from what went in: see [`is_canonical`].
pub fn canonical_json(text: &str) -> Result<String, serde_json::Error> {
    canonical(&serde_json::from_str(text)?)
}

/// Whether a text is the one canonical way (RFC 8785) to write what it says.
pub fn is_canonical(text: &str) -> bool {
    canonical_json(text).is_ok_and(|canonical| canonical == text)
}

/// The hash of an event, over the canonical JSON of all its fields. The body goes in as the text
/// that is stored, so that not a byte of it can differ.
pub(crate) fn event_hash(event: &Unsealed<'_>) -> Result<[u8; 32], serde_json::Error> {
    match event.form {
        Form::One => {
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
        Form::Two => {
            let content = content_digest(event)?;
            link_hash(event.origin, event.seq, event.subject, &content, event.prev)
        }
    }
}

/// The fields of the content of an event of form 2. Serialised as they stand, without a detour
/// over a tree of values: this is done for every event of every verification.
#[derive(Serialize)]
struct Content<'a> {
    at: &'a str,
    body: &'a str,
    kind: &'a str,
    person: &'a str,
    #[serde(with = "hex::serde")]
    salt: &'a [u8; 16],
    station: &'a str,
}

/// What ties an event of form 2 into the chain.
#[derive(Serialize)]
struct Link<'a> {
    #[serde(with = "hex::serde")]
    content: &'a [u8; 32],
    origin: &'a str,
    #[serde(with = "hex::serde")]
    prev: &'a [u8; 32],
    seq: u64,
    subject: &'a str,
    v: u8,
}

/// The digest that stands for the content of an event of form 2.
pub(crate) fn content_digest(event: &Unsealed<'_>) -> Result<[u8; 32], serde_json::Error> {
    let Unsealed { at, body, kind, person, salt, station, .. } = *event;
    let content = Content { at, body, kind, person, salt, station };
    Ok(sha256(&serde_json_canonicalizer::to_vec(&content)?))
}

/// The hash of an event of form 2 from the digest of its content: all a folded event has.
pub(crate) fn link_hash(
    origin: &str,
    seq: u64,
    subject: &str,
    content: &[u8; 32],
    prev: &[u8; 32],
) -> Result<[u8; 32], serde_json::Error> {
    let link = Link { content, origin, prev, seq, subject, v: Form::Two.number() };
    Ok(sha256(&serde_json_canonicalizer::to_vec(&link)?))
}

/// What a key signs: the purpose, so that no signature can be carried to another use, and the
/// hash.
pub(crate) fn signing_bytes(form: Form, hash: &[u8; 32]) -> Vec<u8> {
    let purpose: &[u8] = match form {
        Form::One => b"coldbench event v1\0",
        Form::Two => b"coldbench event v2\0",
    };
    [purpose, hash].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(form: Form) -> Unsealed<'static> {
        Unsealed {
            form,
            origin: "0011",
            seq: 7,
            at: "2026-11-25T10:00:00.000+01:00",
            person: "P-1",
            station: "",
            kind: "note-written",
            subject: "R-1",
            salt: &[0x22; 16],
            body: "{\"text\":\"½ turn\"}",
            prev: &[0x11; 32],
        }
    }

    /// The stored forms are frozen: these very hashes have to come out for ever.
    #[test]
    fn the_event_hashes_are_pinned() {
        let plain = "{\"at\":\"2026-11-25T10:00:00.000+01:00\",\"body\":\"{\\\"text\\\":\\\"½ turn\\\"}\",\"kind\":\"note-written\",\"origin\":\"0011\",\"person\":\"P-1\",\"prev\":\"1111111111111111111111111111111111111111111111111111111111111111\",\"seq\":7,\"station\":\"\",\"v\":1}";
        assert_eq!(event_hash(&event(Form::One)).unwrap(), sha256(plain.as_bytes()));
        let content = "{\"at\":\"2026-11-25T10:00:00.000+01:00\",\"body\":\"{\\\"text\\\":\\\"½ turn\\\"}\",\"kind\":\"note-written\",\"person\":\"P-1\",\"salt\":\"22222222222222222222222222222222\",\"station\":\"\"}";
        let link = format!(
            "{{\"content\":\"{}\",\"origin\":\"0011\",\"prev\":\"1111111111111111111111111111111111111111111111111111111111111111\",\"seq\":7,\"subject\":\"R-1\",\"v\":2}}",
            sha256_hex(content.as_bytes())
        );
        assert_eq!(event_hash(&event(Form::Two)).unwrap(), sha256(link.as_bytes()));
    }

    #[test]
    fn a_name_that_stands_twice_is_not_canonical() {
        assert!(is_canonical("{\"a\":1,\"b\":2}"));
        for text in ["{\"a\":1,\"a\":2}", "{\"b\":1,\"a\":2}", "{\"a\": 1}", "{\"a\":1.0}", "{"] {
            assert!(!is_canonical(text), "{text}");
        }
    }
}
