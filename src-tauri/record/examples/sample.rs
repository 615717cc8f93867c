//! Writes an invented build log, to be looked at.
//!
//! `cargo run -p coldbench-record --example sample -- OUT.pdf [rich|empty|small|huge [letter]]`

use std::{env, error::Error, fs};

/// The specimens use the crate's own paths; here they lead to its public names.
mod model {
    pub(crate) use coldbench_record::*;
}
#[path = "../src/specimen.rs"]
mod specimen;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let (out, kind, paper) = match arguments.as_slice() {
        [out] => (out, "rich", None),
        [out, kind] => (out, kind.as_str(), None),
        [out, kind, paper] if paper == "letter" => (out, kind.as_str(), Some(paper)),
        _ => return Err("Usage: sample OUT.pdf [rich|empty|small|huge [letter]].".into()),
    };
    let mut log = match kind {
        "rich" => specimen::rich(),
        "empty" => specimen::empty(),
        "small" => specimen::small(),
        "huge" => specimen::huge(),
        other => {
            return Err(format!("There is no sample {other:?}: rich, empty, small or huge.").into());
        }
    };
    if paper.is_some() {
        log.paper = model::Paper::Letter;
    }
    fs::write(out, coldbench_record::build_log(&log)?)?;
    Ok(())
}
