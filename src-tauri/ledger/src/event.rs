//! Events as they go in and as they are kept.

use chrono::{DateTime, FixedOffset, SecondsFormat};

/// How the fields of an event are put together to be hashed and signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// All at once: what schema 1 wrote. It can't be folded.
    One,
    /// The content by its digest; see [`crate::Entry::Folded`].
    Two,
}

impl Form {
    pub(crate) fn number(self) -> u8 {
        match self {
            Self::One => 1,
            Self::Two => 2,
        }
    }

    pub(crate) fn of(number: i64) -> Option<Self> {
        match number {
            1 => Some(Self::One),
            2 => Some(Self::Two),
            _ => None,
        }
    }
}

/// An event to be stored. The kinds `ledger.…` are the ledger's own.
#[derive(Debug, Clone, PartialEq)]
pub struct NewEvent {
    /// When, by the wall clock of the workshop.
    pub at: DateTime<FixedOffset>,
    /// The station, if one is concerned; else empty.
    pub station: String,
    /// What kind of event.
    pub kind: String,
    /// What it is about: one word, which stays readable where the event is folded, so that
    /// nothing about one subject can be left out of its record unseen. May be empty.
    pub subject: String,
    /// Its body; kept as canonical JSON.
    pub body: serde_json::Value,
}

/// An event as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredEvent {
    /// How it is hashed.
    pub form: Form,
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
    /// What it is about; empty in form 1.
    pub subject: String,
    /// Random bytes that keep its content from being guessed by its digest; zeros in form 1.
    pub salt: [u8; 16],
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

/// What an event says, without what proves it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The installation that wrote it.
    pub origin: String,
    /// Its number within the origin.
    pub seq: u64,
    /// When, as RFC 3339 text.
    pub at: String,
    /// Who; empty for what the program notes.
    pub person: String,
    /// What kind.
    pub kind: String,
    /// Its body, canonical JSON.
    pub body: String,
}

/// The fields that are hashed.
pub(crate) struct Unsealed<'a> {
    pub(crate) form: Form,
    pub(crate) origin: &'a str,
    pub(crate) seq: u64,
    pub(crate) at: &'a str,
    pub(crate) person: &'a str,
    pub(crate) station: &'a str,
    pub(crate) kind: &'a str,
    pub(crate) subject: &'a str,
    pub(crate) salt: &'a [u8; 16],
    pub(crate) body: &'a str,
    pub(crate) prev: &'a [u8; 32],
}

impl StoredEvent {
    pub(crate) fn unsealed(&self) -> Unsealed<'_> {
        Unsealed {
            form: self.form,
            origin: &self.origin,
            seq: self.seq,
            at: &self.at,
            person: &self.person,
            station: &self.station,
            kind: &self.kind,
            subject: &self.subject,
            salt: &self.salt,
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
