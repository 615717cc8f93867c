//! Checklist files, and in what they differ.

use super::Problem;
use serde::Serialize;
use ts_rs::TS;

outgoing! {
    /// One thing in which a text differs from another.
    pub struct DifferenceLine {
        /// The step or check; empty for the text as a whole.
        pub place: String,
        /// What of it.
        pub of: String,
        /// What stood there; empty for nothing.
        pub was: String,
        /// What stands there now; empty for nothing.
        pub now: String,
        /// A guard is taken away by it.
        pub takes_away: bool,
    }
    /// All checklist files, and what is wrong with them.
    pub struct ChecklistsView {
        /// The folder of the shop's own.
        pub folder: String,
        /// Those that can be used.
        pub files: Vec<ChecklistLine>,
        /// What is wrong or unwise.
        pub problems: Vec<Problem>,
    }
    /// A checklist file.
    pub struct ChecklistLine {
        /// Its id.
        pub id: String,
        /// Its kind, in words.
        pub kind: String,
        /// Its title.
        pub title: String,
        /// Its path.
        pub path: String,
        /// It comes with Coldbench.
        pub shipped: bool,
        /// It is the shop's own, in the place of one that comes with Coldbench.
        pub over: bool,
        /// In what it differs from that.
        pub differences: Vec<DifferenceLine>,
        /// It takes a guard away, and no lead signed for it: it can't be begun.
        pub held: bool,
        /// Why a lead signed for it, who and when.
        pub accepted: Option<String>,
    }
    /// The text of a checklist file.
    pub struct ChecklistText {
        /// Its path among the shop's own files, where it is or will be saved.
        pub path: String,
        /// The text.
        pub text: String,
        /// It stands in a file of the shop's own.
        pub own: bool,
    }
}
