//! All that can be printed, as it was taken from a workshop: looked at, saved and printed one way.

use crate::bench_sheet::bench_sheet;
use crate::clearance_page::clearance_page;
use crate::crew_table::crew_table;
use crate::error::ShellError;
use crate::hand_list::hand_list;
use crate::proof::Record;
use crate::rod_page::rod_page;
use crate::seal::Outgoing;
use crate::station_log::station_log;
use crate::training::training;
use crate::views::{PaperWord, Printable};
use crate::workshop::Workshop;
use chrono::NaiveDate;
use coldbench_record::{SingleSheet, StationLog, station_log_preview};
use coldbench_shop::{ClearanceId, PersonId, RodId, StageId, StationId};

/// What goes on paper; what happens in the workshop later changes nothing of it.
pub enum Taken {
    /// The build log of a rod, with its record.
    BuildLog(Box<Record>),
    /// The log of a day at a station.
    StationLog(Box<StationLog>),
    /// A single sheet.
    Sheet(Box<SingleSheet>),
}

impl Taken {
    /// Takes it from the workshop as it is now.
    ///
    /// # Errors
    /// Where there is no such thing in the workshop, or no such day.
    pub fn of(workshop: &Workshop, what: &Printable, paper: PaperWord) -> Result<Self, ShellError> {
        let on = paper.into();
        let sheet = match what {
            Printable::BuildLog { rod } => {
                let record = Record::take(workshop, &RodId::new(rod), paper)?;
                return Ok(Self::BuildLog(Box::new(record)));
            }
            Printable::StationLog { station, day } => {
                let day = day_of("day", day)?.ok_or_else(|| ShellError::Field {
                    field: "day".to_owned(),
                    message: "The day is missing. Write it as 2026-11-25.".to_owned(),
                })?;
                let log = station_log(workshop, &StationId::new(station), day, on)?;
                return Ok(Self::StationLog(Box::new(log)));
            }
            Printable::RodSheet { rod } => {
                SingleSheet::Rod(rod_page(workshop, &RodId::new(rod), on)?)
            }
            Printable::BenchSheet { rod, stage } => {
                let (rod, stage) = (RodId::new(rod), StageId::new(stage));
                SingleSheet::Bench(bench_sheet(workshop, &rod, &stage, on)?)
            }
            Printable::ByHand { list, rod } => {
                let rod = rod.as_ref().map(RodId::new);
                SingleSheet::ByHand(hand_list(workshop, list, rod.as_ref(), on)?)
            }
            Printable::Training { person } => {
                SingleSheet::Training(training(workshop, &PersonId::new(person), on)?)
            }
            Printable::Clearance { clearance } => {
                let clearance = ClearanceId::new(clearance);
                SingleSheet::Clearance(clearance_page(workshop, &clearance, on)?)
            }
            Printable::CrewTable => SingleSheet::CrewTable(crew_table(workshop, on)?),
        };
        Ok(Self::Sheet(Box::new(sheet)))
    }

    /// What it is called in a print queue.
    pub fn title(&self) -> String {
        match self {
            Self::BuildLog(record) => format!("Build log {}", record.rod()),
            Self::StationLog(log) => format!("Station log {} {}", log.station_id, log.day),
            Self::Sheet(sheet) => sheet.title(),
        }
    }

    /// The bytes of the PDF, without a seal.
    pub fn pdf(&self) -> Result<Vec<u8>, ShellError> {
        match self {
            Self::BuildLog(record) => record.draw(),
            Self::StationLog(log) => Ok(coldbench_record::station_log(log)?),
            Self::Sheet(sheet) => Ok(sheet.pdf()?),
        }
    }

    /// The pages of that PDF as pictures.
    pub fn preview(&self) -> Result<Vec<String>, ShellError> {
        match self {
            Self::BuildLog(record) => record.preview(),
            Self::StationLog(log) => Ok(station_log_preview(log)?),
            Self::Sheet(sheet) => Ok(sheet.preview()?),
        }
    }

    /// The PDF as it leaves the workshop: a log is sealed as of the last event it shows, a sheet is not.
    pub fn seal(&self, workshop: &Workshop, pdf: Vec<u8>) -> Outgoing {
        match self {
            Self::BuildLog(record) => Outgoing::of(workshop, pdf, record.last()),
            Self::StationLog(log) => Outgoing::of(workshop, pdf, log.ledger.last),
            Self::Sheet(_) => Outgoing { bytes: pdf, unsealed: None },
        }
    }
}

impl Printable {
    /// The file name offered for it: small letters, and nothing that a file name can't hold.
    pub fn file_name(&self) -> String {
        let parts: &[&str] = match self {
            Self::BuildLog { rod } => &["build-log", rod],
            Self::StationLog { station, day } => &["station-log", station, day],
            Self::RodSheet { rod } => &["rod-sheet", rod],
            Self::BenchSheet { rod, stage } => &["bench-sheet", stage, rod],
            Self::ByHand { list, rod: Some(rod) } => &["by-hand", list, rod],
            Self::ByHand { list, rod: None } => &["by-hand", list],
            Self::Training { person } => &["training", person],
            Self::Clearance { clearance } => &["clearance", clearance],
            Self::CrewTable => &["crew-table"],
        };
        let plain = |c: char| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '-' };
        let name: String = parts.join("-").to_lowercase().chars().map(plain).collect();
        format!("{name}.pdf")
    }
}

/// A day as in `2026-11-25`; none where nothing is written.
pub fn day_of(field: &str, written: &str) -> Result<Option<NaiveDate>, ShellError> {
    let written = written.trim();
    if written.is_empty() {
        return Ok(None);
    }
    let day = NaiveDate::parse_from_str(written, "%Y-%m-%d");
    day.map(Some).map_err(|_| ShellError::Field {
        field: field.to_owned(),
        message: format!("“{written}” is no day. Write it as 2026-11-25."),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_offered_is_a_plain_name() {
        let of = |station: &str| {
            let (station, day) = (station.to_owned(), "2026-11-25".to_owned());
            Printable::StationLog { station, day }.file_name()
        };
        assert_eq!(of("S-1"), "station-log-s-1-2026-11-25.pdf");
        assert_eq!(of("a/b\\c"), "station-log-a-b-c-2026-11-25.pdf");
        let (rod, stage) = ("R-7".to_owned(), "tip-top".to_owned());
        assert_eq!(Printable::BenchSheet { rod, stage }.file_name(), "bench-sheet-tip-top-r-7.pdf");
        assert_eq!(Printable::CrewTable.file_name(), "crew-table.pdf");
    }
}
