//! The real window by WebDriver, on a real display.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod access;
mod air;
mod arms_length;
mod atspi;
mod axe;
mod bench_work;
mod checklists;
mod driver;
mod explain;
mod figures;
mod first_steps;
mod guides;
mod hands;
mod keyboard;
mod ledger;
mod light;
mod lots;
mod other_windows;
mod teaching;
mod whole_job;
