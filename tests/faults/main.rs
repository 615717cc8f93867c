//! Faults of the machine, and real ones: killed, full, read-only, damaged, out of time.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../app/bench.rs"]
mod bench;
mod clock;
mod damage;
mod disk;
mod kill;
#[path = "../app/walk.rs"]
mod walk;
