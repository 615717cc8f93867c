//! The real window by WebDriver, on a real display.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod access;
mod air;
mod axe;
mod bench_work;
mod checklists;
mod driver;
mod figures;
mod guides;
mod ledger;
mod light;
mod lots;
mod other_windows;
mod whole_job;
