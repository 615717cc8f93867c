//! The shell of Coldbench: window, typed commands, printing, command line, wiring.

pub mod backups;
mod build_log;
pub mod cli;
mod clock;
mod commands;
pub mod demo;
pub mod draft;
mod error;
mod events;
pub mod figure;
mod folder;
mod handed_out;
mod imported;
pub mod material_form;
pub mod own_checklists;
mod preview;
mod print_job;
mod print_system;
mod printing;
mod proof;
mod show;
mod station_log;
pub mod views;
mod window;
mod workshop;

pub use clock::Clock;
pub use error::ShellError;
pub use folder::read_library;
pub use printing::draw_station_log;
pub use proof::{Checked, RECORD_FILE, Record, check_file};
pub use show::{desk, station};
pub use workshop::{Health, Workshop};
