//! The ledger: an append-only, chained, signed store of events. It knows no domain.
//!
//! Each event carries who, when, where, what kind, its body, the hash of the event before it and
//! its own; a person's key (or the installation's, for what the program notes) signs the hash.
//! This shows accident, and change by anyone without the keys. Against an owner who holds every
//! key, only a head digest held by somebody else counts: the one on a printed record.

mod authority;
pub mod backup;
mod canonical;
mod error;
mod event;
mod extract;
mod keys;
mod schema;
mod store;
#[cfg(test)]
mod tamper_tests;
mod verify;

pub use authority::{OWN_KINDS, OWN_SUBJECT};
pub use canonical::{canonical_json, digest_hex, is_canonical, sha256_hex};
pub use error::{LedgerError, StorageFault};
pub use event::{Form, NewEvent, StoredEvent, Told};
pub use extract::{Entry, Extract, ExtractError, LARGEST_RECORD, Seal};
pub use keys::{Cost, Enrolment, KeyChange, Pin, UnlockedKey, argon2id, sign, signature_holds};
pub use store::{Access, Head, Ledger};
pub use verify::{Folded, Verifier, VerifyFault, VerifyReport};
