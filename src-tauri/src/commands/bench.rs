//! What belongs to this installation: its settings.

use super::{Answered, told};
use crate::bench_settings;
use crate::views::{BenchSettings, BenchView};

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
