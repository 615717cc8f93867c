//! The settings of this installation, and how it alarms.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

words! {
    /// How the screens look.
    pub enum ThemeWord {
        /// Dark ink on warm paper.
        Paper,
        /// Light on dark, for a dim room.
        Dark,
        /// The strongest contrast, for sun on the screen.
        Sun,
        /// Light or dark, as the desktop has it.
        System,
    }
}

incoming! {
    /// What is set for this installation.
    pub struct BenchSettings {
        /// How the screens look.
        pub theme: ThemeWord,
        /// The key that goes on in a step; a pedal sends one. `Space`, or a name such as `F13`.
        pub go_on_key: String,
        /// The key for whoever is called away.
        pub away_key: String,
        /// Alarms are heard.
        pub alarm_sound: bool,
        /// Alarms are told to the desktop too.
        pub notifications: bool,
        /// How wide 100 mm are on this screen, in its own pixels, where somebody measured it.
        pub hundred_mm: Option<f64>,
    }
}

outgoing! {
    /// The settings as kept.
    pub struct BenchView {
        /// The settings.
        pub settings: BenchSettings,
        /// Why the file could not be used; then all is as it comes.
        pub trouble: Option<String>,
    }
}
