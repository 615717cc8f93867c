//! The workshop's seal on a file: a P-256 key, the certificate the workshop issued to itself, and
//! a detached CMS signature as `PAdES` asks for it (ETSI EN 319 142-1, baseline B-B).
//!
//! The crate knows no ledger and no PDF. It is given secret bytes and what is to be signed, and
//! gives bytes; the same are given for the same. A seal speaks for a file and a workshop. Who did
//! what at the bench is signed by people, elsewhere.

#![cfg_attr(test, allow(clippy::unwrap_used, clippy::panic))]

mod certificate;
mod check;
mod cms;
mod key;
#[cfg(test)]
mod tests;

pub use certificate::Issuer;
pub use check::{Holder, SealFault, check};
pub use key::{Seal, SealError};
