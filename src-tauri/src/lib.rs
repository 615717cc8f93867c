//! The shell of Coldbench: window, typed commands, printing, command line, wiring.

mod build_log;
pub mod cli;
mod clock;
mod commands;
pub mod demo;
pub mod draft;
mod error;
mod folder;
mod printing;
mod show;
pub mod views;
mod window;
mod workshop;

pub use clock::Clock;
pub use error::ShellError;
pub use folder::read_library;
pub use printing::draw;
pub use workshop::Workshop;
