//! The rack, the crew, what is known of the ledger.

use super::{
    ClockView, Drawing, LengthFormWord, LengthWord, LiquidFormWord, MassFormWord, RoleWord,
    TemperatureFormWord,
};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// A command that was refused or failed.
    pub struct Trouble {
        /// A stable name the screen may switch on.
        pub code: String,
        /// What happened, to what, and how to mend it.
        pub message: String,
        /// The field at fault, e.g. `diameters.2.diameter`.
        pub field: Option<String>,
    }
    /// The workshop at a glance: the rack and all that runs.
    pub struct Desk {
        /// What is known of the ledger and its backups.
        pub health: HealthView,
        /// The workshop; nothing in an empty folder.
        pub workshop: Option<WorkshopView>,
        /// The folder.
        pub folder: String,
        /// Why nothing can be written here, if so.
        pub read_only: Option<String>,
        /// Checklist files with something wrong.
        pub problems: Vec<Problem>,
        /// The crew.
        pub crew: Vec<PersonView>,
        /// The person whose key is unlocked.
        pub active: Option<String>,
        /// The stations.
        pub stations: Vec<StationLine>,
        /// The rods, what can be done now first.
        pub rods: Vec<RodLine>,
        /// The clocks that run or have run out unanswered, the next to run out first.
        pub clocks: Vec<ClockView>,
        /// The workshop's wall clock.
        pub now: String,
        /// The clock shows an earlier time than before.
        pub clock_behind: bool,
    }
    /// The workshop itself.
    pub struct WorkshopView {
        /// Its name.
        pub name: String,
        /// Everything in it is invented.
        pub demo: bool,
        /// Unit for lengths.
        pub lengths: LengthWord,
        /// Units in which figures are shown.
        pub units: UnitsChoice,
        /// In a demo: the people's PINs, so that it can be tried.
        pub demo_pins: Option<String>,
    }
    /// What is known of the ledger and its backups.
    pub struct HealthView {
        /// So many events were verified at the start; none while that goes on.
        pub verified: Option<u32>,
        /// Why the ledger does not open or does not hold.
        pub fault: Option<String>,
        /// What the last backup came to.
        pub backup: Option<String>,
        /// Why the last backup could not be made.
        pub backup_trouble: Option<String>,
    }
    /// Where backups go and what is there.
    pub struct BackupsView {
        /// The folder, if one was named.
        pub folder: Option<String>,
        /// A folder that would do.
        pub suggestion: String,
        /// The newest backup, in words.
        pub newest: Option<String>,
        /// The id of this installation.
        pub origin: String,
        /// How many events the ledger holds.
        pub events: u32,
        /// Digest of the newest event, 64 hex digits.
        pub head: String,
    }
    /// A backup that verifies, for a ledger that does not.
    pub struct WayBackView {
        /// Its folder.
        pub path: String,
        /// When it was made and how many events it holds, in words.
        pub words: String,
    }
    /// A finding in a checklist file.
    pub struct Problem {
        /// The file.
        pub path: String,
        /// The file is not used.
        pub unusable: bool,
        /// Stable name.
        pub code: String,
        /// What is wrong.
        pub message: String,
        /// How to mend it.
        pub help: String,
        /// Line, from 1.
        pub line: u32,
        /// Column, from 1.
        pub column: u32,
        /// The line itself.
        pub excerpt: String,
    }
    /// A person.
    pub struct PersonView {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// Role.
        pub role: RoleWord,
        /// Still of the crew.
        pub present: bool,
    }
    /// A station, one line.
    pub struct StationLine {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// The bench is open until then.
        pub open_until: Option<String>,
        /// Heat is cleared until then.
        pub heat_until: Option<String>,
        /// Heat was used, and the place is to be watched until then at least; until that is signed.
        pub watch_until: Option<String>,
    }
    /// A rod, one line of the rack.
    pub struct RodLine {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// Its drawing.
        pub drawing: Drawing,
        /// What can be done now, or what is waited for.
        pub next: String,
        /// Something can be done now.
        pub can_do_now: bool,
        /// Every stage that applies is done.
        pub all_done: bool,
    }
}

incoming! {
    /// Setting up an empty workshop.
    pub struct Founding {
        /// Name of the workshop.
        pub name: String,
        /// Name of the lead.
        pub lead: String,
        /// The lead's PIN.
        pub pin: String,
        /// Name of the first station.
        pub station: String,
        /// Room volume, e.g. `60 m3`; may be empty.
        pub room: String,
        /// Unit for lengths.
        pub lengths: LengthWord,
    }
    /// The builder's choice of units.
    pub struct UnitsChoice {
        /// Diameters, gaps and walls.
        pub diameters: LengthFormWord,
        /// Places and lengths along the rod.
        pub distances: LengthFormWord,
        /// Masses.
        pub masses: MassFormWord,
        /// Volumes of liquid.
        pub liquids: LiquidFormWord,
        /// Temperatures.
        pub temperatures: TemperatureFormWord,
    }
}
