//! Faults under the ledger itself: power lost, system calls that fail, a full disk, killed, tampered.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod calls;
mod kill;
mod migrate;
mod power;
mod records;
mod system;
mod victim;
mod writers;
