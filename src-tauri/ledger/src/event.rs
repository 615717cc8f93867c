//! Events as they go in and as they are kept.

use chrono::{DateTime, FixedOffset, SecondsFormat};

/// An event to be stored. The kinds `ledger.…` are the ledger's own.
#[derive(Debug, Clone, PartialEq)]
pub struct NewEvent {
    /// When, by the wall clock of the workshop.
    pub at: DateTime<FixedOffset>,
    /// The station, if one is concerned; else empty.
    pub station: String,
    /// What kind of event.
    pub kind: String,
    /// Its body; kept as canonical JSON.
    pub body: serde_json::Value,
}

/// An event as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredEvent {
    /// The installation that wrote it.
    pub origin: String,
    /// Its number within the origin, from 1, without gaps.
    pub seq: u64,
    /// When, as RFC 3339 text with milliseconds and the offset from UTC.
    pub at: String,
    /// Who; empty for what the program notes.
    pub person: String,
    /// Where; may be empty.
    pub station: String,
    /// What kind.
    pub kind: String,
    /// Its body, canonical JSON.
    pub body: String,
    /// Hash of the event before it in its origin; zeros for the first.
    pub prev: [u8; 32],
    /// Its own hash.
    pub hash: [u8; 32],
    /// Public key of who signed.
    pub signer: [u8; 32],
    /// Signature over the hash.
    pub signature: [u8; 64],
}

/// The fields that are hashed.
pub(crate) struct Unsealed<'a> {
    pub(crate) origin: &'a str,
    pub(crate) seq: u64,
    pub(crate) at: &'a str,
    pub(crate) person: &'a str,
    pub(crate) station: &'a str,
    pub(crate) kind: &'a str,
    pub(crate) body: &'a str,
    pub(crate) prev: &'a [u8; 32],
}

impl StoredEvent {
    pub(crate) fn unsealed(&self) -> Unsealed<'_> {
        Unsealed {
            origin: &self.origin,
            seq: self.seq,
            at: &self.at,
            person: &self.person,
            station: &self.station,
            kind: &self.kind,
            body: &self.body,
            prev: &self.prev,
        }
    }

    /// When it happened, or `None` if the text is no time.
    pub fn moment(&self) -> Option<DateTime<FixedOffset>> {
        DateTime::parse_from_rfc3339(&self.at).ok()
    }
}

pub(crate) fn time_text(at: DateTime<FixedOffset>) -> String {
    at.to_rfc3339_opts(SecondsFormat::Millis, false)
}
