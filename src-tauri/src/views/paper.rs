//! What goes on paper.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// Where a record can go.
    pub struct PrintView {
        /// The folder offered.
        pub folder: String,
        /// The file name offered.
        pub file: String,
        /// Printers known to the machine.
        pub printers: Vec<String>,
        /// What the machine says about printing, if nothing can be printed.
        pub printer_word: Option<String>,
    }
    /// What became of a record.
    pub struct PrintedView {
        /// Where it was saved; empty where it was printed.
        pub path: String,
        /// In words.
        pub words: String,
        /// The job in the print queue, where there is one.
        pub job: Option<JobView>,
    }
    /// How a print job stands.
    pub struct JobView {
        /// Its id in the print system.
        pub job: String,
        /// Nothing more will happen to it.
        pub done: bool,
        /// In words.
        pub words: String,
    }
    /// A page as it will be printed.
    pub struct PreviewView {
        /// An SVG document, its view box in points of the paper.
        pub svg: String,
        /// Which page, from 1.
        pub page: u32,
        /// Of how many.
        pub pages: u32,
    }
}

/// What can be printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(
    tag = "kind",
    rename_all = "kebab-case",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum Printable {
    /// What was done on a rod.
    BuildLog {
        /// Which.
        rod: String,
    },
    /// What happened at a station.
    StationLog {
        /// Which.
        station: String,
        /// On which day, as in `2026-11-25`.
        day: String,
    },
    /// The order, the blank, the parts.
    RodSheet {
        /// Of which rod.
        rod: String,
    },
    /// One stage in large type.
    BenchSheet {
        /// Of which rod.
        rod: String,
        /// Which stage.
        stage: String,
    },
    /// A checklist to fill in by hand.
    ByHand {
        /// Which stage or list.
        list: String,
        /// For which rod, if for one.
        rod: Option<String>,
    },
    /// What a person did, and who saw it.
    Training {
        /// Who.
        person: String,
    },
    /// A clearance for heat.
    Clearance {
        /// Which.
        clearance: String,
    },
    /// Helpers against stages.
    CrewTable,
}
