//! What the ledger rests on, against published vectors; each carries its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod argon2id;
mod canonical;
mod ed25519;
mod sha256;

/// Reads a file of vectors that stands beside its test.
fn vectors<T: serde::de::DeserializeOwned>(text: &str) -> T {
    toml::from_str(text).unwrap()
}
