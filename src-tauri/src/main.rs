//! Starts Coldbench: a window, or one of the commands.

use std::process::ExitCode;

fn main() -> ExitCode {
    coldbench::cli::run()
}
