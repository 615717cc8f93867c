//! The printed record: a rod's build log as a PDF.
//!
//! The crate knows no other of ours and reads no clock, no file and no ledger. It takes a
//! [`BuildLog`] of plain data and gives the bytes of a PDF; the same log gives the same bytes.

#![cfg_attr(test, allow(clippy::unwrap_used, clippy::panic))]

mod block;
mod build_log;
mod clearance;
mod error;
mod flow;
mod fonts;
mod glance;
mod label;
mod mark;
mod model;
mod names;
mod pdf;
mod proof;
mod rod;
mod rod_sheet;
mod scale;
mod sheet;
#[cfg(test)]
mod specimen;
mod stage;
mod step;
mod style;
#[cfg(test)]
mod whole;
mod words;
mod wrap;

pub use build_log::build_log;
pub use error::RecordError;
pub use model::*;
