//! Writes an invented build log, station log or single sheet, to be looked at.
//!
//! `cargo run -p coldbench-record --example sample -- OUT.pdf [KIND [letter]]`, where the kind
//! is one of rich, empty, small, huge, guides, guides-far, guides-up, or of a station: station,
//! station-quiet, station-empty, station-huge; or a single sheet: by-hand, by-hand-station,
//! training, crew, rod-sheet, clearance, bench.

use std::{env, error::Error, fs};

/// The specimens use the crate's own paths; here they lead to its public names.
mod model {
    pub(crate) use coldbench_record::*;
}
#[path = "../src/guide_specimen.rs"]
mod guide_specimen;
#[path = "../src/specimen.rs"]
mod specimen;
/// The same for the single sheets.
mod pages_model {
    pub(crate) use coldbench_record::*;
}
#[path = "../src/pages_specimen.rs"]
mod pages_specimen;
/// The same for the specimens of a station.
mod station_model {
    pub(crate) use coldbench_record::*;
}
#[path = "../src/station_specimen.rs"]
mod station_specimen;

/// A rod of which nothing is known but so many guides, the bend and the side they are on.
fn laid_out(count: u16, turn: f64, side: f64) -> model::BuildLog {
    let mut log = specimen::empty();
    log.rod.layout = Some(guide_specimen::with(count, turn, side));
    log
}

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let (out, kind, paper) = match arguments.as_slice() {
        [out] => (out, "rich", None),
        [out, kind] => (out, kind.as_str(), None),
        [out, kind, paper] if paper == "letter" => (out, kind.as_str(), Some(model::Paper::Letter)),
        _ => return Err("Usage: sample OUT.pdf [KIND [letter]].".into()),
    };
    let rod = |mut log: model::BuildLog| {
        log.paper = paper.unwrap_or(log.paper);
        coldbench_record::build_log(&log)
    };
    let station = |mut log: model::StationLog| {
        log.paper = paper.unwrap_or(log.paper);
        coldbench_record::station_log(&log)
    };
    /// A single sheet, on the paper that was asked for.
    macro_rules! sheet {
        ($specimen:ident, $kind:ident) => {{
            let mut sheet = pages_specimen::$specimen();
            sheet.imprint.paper = paper.unwrap_or(sheet.imprint.paper);
            coldbench_record::SingleSheet::$kind(sheet).pdf()
        }};
    }
    let pdf = match kind {
        "rich" => rod(specimen::rich()),
        "empty" => rod(specimen::empty()),
        "small" => rod(specimen::small()),
        "huge" => rod(specimen::huge()),
        "guides" => rod(laid_out(60, 1.4, 1.0)),
        "guides-far" => rod(laid_out(11, 2.9, -1.0)),
        "guides-up" => rod(laid_out(9, -1.3, 1.0)),
        "station" => station(station_specimen::ordinary()),
        "station-quiet" => station(station_specimen::quiet()),
        "station-empty" => station(station_specimen::empty_day()),
        "station-huge" => station(station_specimen::overfull()),
        "by-hand" => sheet!(hand_stage, ByHand),
        "by-hand-station" => sheet!(hand_station, ByHand),
        "training" => sheet!(training, Training),
        "crew" => sheet!(crew, CrewTable),
        "rod-sheet" => sheet!(rod, Rod),
        "bench" => sheet!(bench, Bench),
        "clearance" => sheet!(clearance, Clearance),
        other => {
            return Err(format!(
                "There is no sample {other:?}: rich, empty, small, huge, guides, guides-far, \
                 guides-up, station, station-quiet, station-empty, station-huge, by-hand, \
                 by-hand-station, training, crew, rod-sheet, clearance or bench."
            )
            .into());
        }
    };
    fs::write(out, pdf?)?;
    Ok(())
}
