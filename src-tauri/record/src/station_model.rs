//! What the log of one station on one day holds, as plain data.
//!
//! As in [`crate::BuildLog`], whoever asks for the print fills it in from the ledger.

use crate::model::{ClearanceRecord, LedgerHead, Paper, When};

/// The printed record of one station on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct StationLog {
    /// The workshop's name, as it should stand on the paper.
    pub shop: String,
    /// True for the demonstration workshop: every page then says that it is invented.
    pub demo: bool,
    /// What the station is called.
    pub station: String,
    /// The station's identity in the shop.
    pub station_id: String,
    /// The room it stands in, like "60 m³, shared with Heat corner". Empty: not measured.
    pub room: String,
    /// The day, as `2026-11-25`. Times of other days are printed with their date.
    pub day: String,
    /// Everything recorded at the station on that day, in the order of the ledger. May be empty.
    pub entries: Vec<StationEntry>,
    /// The clearances that were granted or held on that day, oldest first. May be empty.
    pub clearances: Vec<ClearanceRecord>,
    /// The watches after heat, oldest first. May be empty.
    pub watches: Vec<WatchRecord>,
    /// The vapour estimate over the day, in percent of the lower flammable limit, 0 or more.
    /// A number that is not finite, or below 0, means that it is not known at that moment.
    /// Between two points it is drawn straight. May be empty.
    pub curve: Vec<(When, f64)>,
    /// The most the estimate may be for heat, in percent of the lower flammable limit.
    pub curve_limit_percent: f64,
    /// Why there is no curve; or, if there is one, what it rests on.
    pub curve_word: String,
    /// The end of the ledger at the moment of printing.
    pub ledger: LedgerHead,
    /// When this was printed. Nothing in this crate reads a clock.
    pub printed: When,
    /// The sheet to lay it out for.
    pub paper: Paper,
}

/// One thing that was recorded at a station.
#[derive(Debug, Clone, PartialEq)]
pub struct StationEntry {
    /// When it was recorded.
    pub when: When,
    /// What kind of thing it is.
    pub kind: EntryKind,
    /// What was recorded, in words. May hold several lines.
    pub words: String,
    /// Who recorded it. May be empty.
    pub who: String,
}

/// The kinds of things recorded at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// A reading of the ventilation.
    Reading,
    /// A flammable was opened or used, so that vapour got into the air.
    Release,
    /// A container of a flammable came, went, or was looked at.
    Container,
    /// A station checklist was begun, answered or brought to its end.
    List,
    /// A clearance for heat was granted.
    Clearance,
    /// A clearance was withdrawn.
    Withdrawal,
    /// A clearance lapsed by itself.
    Lapse,
    /// Heat was used.
    Heat,
    /// A watch after heat.
    Watch,
    /// The wall clock was set back, or showed an earlier time than before.
    Clock,
    /// Anything else.
    Other,
}

/// The watch that follows the last heat under a clearance.
#[derive(Debug, Clone, PartialEq)]
pub struct WatchRecord {
    /// The clearance it belongs to, like "C-3".
    pub clearance: String,
    /// When heat was last used under it.
    pub last_heat: When,
    /// Until when the watch has to last.
    pub until: When,
    /// When it was signed as kept, and by whom. `None`: nobody has signed it.
    pub kept: Option<(When, String)>,
}
