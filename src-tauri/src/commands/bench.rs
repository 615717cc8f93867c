//! What belongs to this installation: its settings, its voice, and what is asked of its desktop.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::{Answered, told};
use crate::bench_settings;
use crate::desktop::{self, Awake};
use crate::read_aloud::Voice;
use crate::views::{BenchSettings, BenchView};
use tauri::State;

/// The settings of this installation.
#[tauri::command(async)]
pub fn bench_settings() -> BenchView {
    let view = bench_settings::read();
    if let Some(trouble) = &view.trouble {
        tracing::warn!(trouble, "settings");
    }
    view
}

/// Keeps the settings of this installation.
#[tauri::command(async)]
pub fn set_bench_settings(settings: BenchSettings) -> Answered<()> {
    bench_settings::keep(settings).map_err(told)
}

/// Tells the desktop of an alarm.
#[tauri::command(async)]
pub fn notify(title: String, words: String) -> Answered<()> {
    desktop::notify(&title, &words).map_err(told)
}

/// Keeps the screen awake, or lets it sleep. Where no desktop can, nothing happens but a line in the log.
#[tauri::command(async)]
pub fn keep_awake(awake: State<'_, Awake>, on: bool) {
    if let Err(error) = awake.hold(on) {
        tracing::info!(%error, on, "the screen is not kept awake");
    }
}

/// Reads a text aloud, or stops if it is being read. Says whether it reads now.
#[tauri::command(async)]
pub fn read_aloud(voice: State<'_, Voice>, text: String) -> Answered<bool> {
    voice.toggle(&text).map_err(told)
}

/// Stops reading.
#[tauri::command(async)]
pub fn stop_reading(voice: State<'_, Voice>) {
    voice.stop();
}
