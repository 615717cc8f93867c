//! The real window by WebDriver, on a real display.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod air;
mod bench_work;
mod checklists;
mod driver;
mod explain;
mod figures;
mod first_steps;
mod guides;
mod hands;
mod ledger;
mod lots;
mod other_windows;
mod teaching;
mod whole_job;
