//! The ledger: an append-only, chained, signed store of events. It knows no domain.
//!
//! Each event carries who, when, where, what kind, its body, the hash of the event before it and
//! its own; a person's key (or the installation's, for what the program notes) signs the hash.
//! This shows accident, and change by anyone without the keys. Against an owner who holds every
//! key, only a head digest held by somebody else counts: the one on a printed record.

mod canonical;
mod error;
mod event;
mod keys;
mod store;
mod verify;

pub use canonical::{digest_hex, sha256_hex};
pub use error::{LedgerError, StorageFault};
pub use event::{NewEvent, StoredEvent};
pub use keys::{Enrolment, Pin, UnlockedKey};
pub use store::{Access, Head, Ledger};
pub use verify::{VerifyFault, VerifyReport, verify};
