//! The printed record: the build log of a rod and the log of a station, as PDF.
//!
//! The crate knows no other of ours and reads no clock, no file and no ledger. It takes a
//! [`BuildLog`], a [`StationLog`] or a [`SingleSheet`] of plain data and gives the bytes of a PDF;
//! the same data give the same bytes.
//! [`build_log_preview`], [`station_log_preview`] and [`SingleSheet::preview`] draw the same pages as pictures for a screen.
//! [`seal`] adds the place of a workshop's seal to such a PDF and puts in what it is given.
//! The other way, [`attachment`] and [`page_texts`] read such a PDF, or any file said to be one.

#![cfg_attr(test, allow(clippy::unwrap_used, clippy::panic))]

mod archive;
mod attach;
mod bench_sheet;
mod block;
mod build_log;
mod caution;
mod clearance;
mod clearance_page;
mod content;
mod crew_table;
mod element;
mod error;
mod file;
mod finish;
mod flow;
#[cfg(test)]
mod font_widths;
mod fonts;
mod glance;
#[cfg(test)]
mod golden;
mod guide_drawing;
mod guide_layout;
#[cfg(test)]
mod guide_layout_tests;
mod guide_places;
#[cfg(test)]
mod guide_specimen;
mod hand_list;
mod head_code;
mod label;
mod mark;
mod model;
mod names;
mod pages_model;
#[cfg(test)]
mod pages_specimen;
#[cfg(test)]
mod pages_whole;
mod pdf;
mod pdf_file;
mod pdf_syntax;
mod proof;
mod reading;
mod rod;
mod rod_page;
mod rod_sheet;
mod scale;
mod seal;
#[cfg(test)]
mod seal_tests;
mod sheet;
mod single;
mod single_sheet;
#[cfg(test)]
mod specimen;
mod stage;
mod statements;
mod station_course;
mod station_log;
mod station_model;
mod station_notice;
#[cfg(test)]
mod station_specimen;
#[cfg(test)]
mod station_whole;
mod step;
#[cfg(test)]
mod strangers;
#[cfg(test)]
mod strangers_fuzz;
mod structure;
mod style;
mod subset;
mod svg;
#[cfg(test)]
mod tools;
mod training;
#[cfg(test)]
mod whole;
mod words;
mod wrap;

pub use build_log::{build_log, build_log_preview};
pub use error::RecordError;
pub use head_code::head_text;
pub use model::*;
pub use pages_model::*;
pub use reading::{ReadError, attachment, page_texts};
pub use seal::{SealedPdf, seal, sealed};
pub use single_sheet::SingleSheet;
pub use station_log::{station_log, station_log_preview};
pub use station_model::*;
