//! Writes an invented build log, to be looked at.
//!
//! `cargo run -p coldbench-record --example sample -- OUT.pdf [rich|empty|huge]`

use std::{env, error::Error, fs};

/// The specimens use the crate's own paths; here they lead to its public names.
mod model {
    pub(crate) use coldbench_record::*;
}
#[path = "../src/specimen.rs"]
mod specimen;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let (out, kind) = match arguments.as_slice() {
        [out] => (out, "rich"),
        [out, kind] => (out, kind.as_str()),
        _ => return Err("Usage: sample OUT.pdf [rich|empty|huge].".into()),
    };
    let log = match kind {
        "rich" => specimen::rich(),
        "empty" => specimen::empty(),
        "huge" => specimen::huge(),
        other => return Err(format!("There is no sample {other:?}: rich, empty or huge.").into()),
    };
    fs::write(out, coldbench_record::build_log(&log)?)?;
    Ok(())
}
