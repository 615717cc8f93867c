//! The whole job without a window.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod air;
mod arrows;
mod backups;
mod bench;
mod broken;
mod cli;
mod corrections;
mod doors;
mod figure;
mod from_paper;
mod heat;
mod job;
mod keys;
mod lists;
mod mutated;
mod own_texts;
mod records;
mod rod_kinds;
mod schema;
mod seal;
mod sheets;
mod shipped;
mod steps;
mod teaching;
mod types_drift;
mod waits;
mod walk;
mod withdrawn;
