//! The whole job without a window.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod arrows;
mod bench;
mod broken;
mod cli;
mod doors;
mod heat;
mod job;
mod shipped;
mod steps;
mod types_drift;
mod walk;
mod withdrawn;
