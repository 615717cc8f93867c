//! The settings of this installation: keys, alarms, look. They belong to the screen and whoever sits before
//! it, not to the workshop, so they lie where a program's own settings do.

use crate::error::ShellError;
use crate::folder::write_whole;
use crate::views::{BenchSettings, BenchView, ThemeWord};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

const FOLDER: &str = "coldbench";
const FILE: &str = "bench.toml";
/// Between these a width of 100 mm is one that a screen can have, in the screen's own pixels.
const HUNDRED_MM: std::ops::RangeInclusive<f64> = 120.0..=2400.0;
/// Keys that write, move about in what is written, or mean something of their own in every window.
const TAKEN: &[&str] = &[
    "Tab",
    "Enter",
    "Escape",
    "Backspace",
    "Delete",
    "Home",
    "End",
    "ArrowLeft",
    "ArrowRight",
    "ArrowUp",
    "ArrowDown",
    "Shift",
    "Control",
    "Alt",
    "AltGraph",
    "Meta",
    "CapsLock",
    "NumLock",
    "Dead",
    "Process",
    "Unidentified",
    "F1",
    "F9",
];

impl Default for BenchSettings {
    fn default() -> Self {
        Self {
            theme: ThemeWord::Paper,
            go_on_key: "Space".to_owned(),
            away_key: "F8".to_owned(),
            alarm_sound: true,
            notifications: true,
            hundred_mm: None,
        }
    }
}

/// The file, made for hands: what is left out is as it comes.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
struct Kept {
    format: u32,
    theme: ThemeWord,
    go_on_key: String,
    away_key: String,
    alarm_sound: bool,
    notifications: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    hundred_mm: Option<f64>,
}

impl Default for Kept {
    fn default() -> Self {
        BenchSettings::default().into()
    }
}

impl From<BenchSettings> for Kept {
    fn from(settings: BenchSettings) -> Self {
        let BenchSettings { theme, go_on_key, away_key, alarm_sound, notifications, hundred_mm } =
            settings;
        Self { format: 1, theme, go_on_key, away_key, alarm_sound, notifications, hundred_mm }
    }
}

impl From<Kept> for BenchSettings {
    fn from(kept: Kept) -> Self {
        let Kept { theme, go_on_key, away_key, alarm_sound, notifications, hundred_mm, .. } = kept;
        Self { theme, go_on_key, away_key, alarm_sound, notifications, hundred_mm }
    }
}

fn path() -> Result<PathBuf, ShellError> {
    let base = dirs::config_dir().ok_or(ShellError::NoSettingsFolder)?;
    Ok(base.join(FOLDER).join(FILE))
}

/// The settings as kept. A file that can't be used is told in a sentence, and all is as it comes.
pub fn read() -> BenchView {
    match kept() {
        Ok(settings) => BenchView { settings, trouble: None },
        Err(error) => {
            BenchView { settings: BenchSettings::default(), trouble: Some(error.to_string()) }
        }
    }
}

fn kept() -> Result<BenchSettings, ShellError> {
    let path = path()?;
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Ok(BenchSettings::default());
        }
        Err(error) => return Err(ShellError::file(path)(error)),
    };
    let kept: Kept = toml::from_str(&text)
        .map_err(|error| ShellError::Settings { path, words: error.message().to_owned() })?;
    let settings = kept.into();
    check(&settings)?;
    Ok(settings)
}

/// Keeps the settings, after a look at whether they could be worked with.
pub fn keep(settings: BenchSettings) -> Result<(), ShellError> {
    check(&settings)?;
    let path = path()?;
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(ShellError::file(folder))?;
    }
    let text = toml::to_string(&Kept::from(settings))
        .map_err(|error| ShellError::Settings { path: path.clone(), words: error.to_string() })?;
    write_whole(&path, text.as_bytes())
}

fn check(settings: &BenchSettings) -> Result<(), ShellError> {
    key("goOnKey", &settings.go_on_key)?;
    key("awayKey", &settings.away_key)?;
    if settings.go_on_key == settings.away_key {
        return Err(field(
            "awayKey",
            "One key can't do both. Choose another for “called away”, or for “go on”.".to_owned(),
        ));
    }
    if settings.hundred_mm.is_some_and(|wide| !HUNDRED_MM.contains(&wide)) {
        return Err(field(
            "hundredMm",
            "No screen shows 100 mm as wide as that. Lay a ruler on the screen and set it again."
                .to_owned(),
        ));
    }
    Ok(())
}

/// Keys that would break typing are no keys for a pedal.
fn key(name: &str, key: &str) -> Result<(), ShellError> {
    let shown = key.chars().take(20).collect::<String>();
    if key.trim().is_empty() {
        return Err(field(name, "No key came. Press the pedal, or the key, once more.".to_owned()));
    }
    if key.chars().count() == 1 {
        return Err(field(
            name,
            format!(
                "The key “{shown}” writes. It would break typing; choose the space bar, a page key or one of F2 to F24."
            ),
        ));
    }
    if TAKEN.contains(&key) || key.chars().count() > 20 {
        return Err(field(
            name,
            format!(
                "The key “{shown}” already means something else. Choose the space bar, a page key or one of F2 to F24."
            ),
        ));
    }
    Ok(())
}

fn field(name: &str, message: String) -> ShellError {
    ShellError::Field { field: name.to_owned(), message }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(go_on: &str, away: &str) -> BenchSettings {
        BenchSettings {
            go_on_key: go_on.to_owned(),
            away_key: away.to_owned(),
            ..BenchSettings::default()
        }
    }

    #[test]
    fn keys_that_would_break_typing_are_refused_with_a_sentence() {
        for bad in ["a", "7", "é", "Tab", "Enter", "Escape", "F1", "ArrowUp", "", " "] {
            let refused = check(&with(bad, "F8")).unwrap_err();
            assert!(refused.to_string().ends_with('.'), "{refused}");
            assert!(check(&with("Space", bad)).is_err(), "{bad}");
        }
        for good in ["Space", "PageDown", "F13", "F2", "MediaPlayPause"] {
            check(&with(good, "F8")).unwrap();
        }
        assert!(check(&with("F8", "F8")).is_err(), "one key for both");
    }

    #[test]
    fn what_is_kept_is_read_again_and_what_is_left_out_is_as_it_comes() {
        let settings = BenchSettings { hundred_mm: Some(412.5), ..with("F13", "PageUp") };
        let text = toml::to_string(&Kept::from(settings.clone())).unwrap();
        assert_eq!(BenchSettings::from(toml::from_str::<Kept>(&text).unwrap()), settings);
        let short: Kept = toml::from_str("theme = \"sun\"").unwrap();
        let sun = BenchSettings { theme: ThemeWord::Sun, ..BenchSettings::default() };
        assert_eq!(BenchSettings::from(short), sun);
        assert!(toml::from_str::<Kept>("thme = \"sun\"").is_err());
    }

    #[test]
    fn a_width_that_no_screen_has_is_refused() {
        for bad in [0.0, -400.0, 1e9, f64::NAN] {
            let settings = BenchSettings { hundred_mm: Some(bad), ..BenchSettings::default() };
            assert!(check(&settings).is_err(), "{bad}");
        }
    }
}
