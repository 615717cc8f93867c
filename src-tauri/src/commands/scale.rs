//! How large the window's page is drawn.
#![expect(clippy::needless_pass_by_value, reason = "Tauri hands commands owned values")]

use super::Answered;
use crate::views::Trouble;
use tauri::WebviewWindow;

/// Draws the page so many times as large; what is out of reason is drawn at the nearest size within it.
#[tauri::command]
pub fn enlarge(window: WebviewWindow, times: f64) -> Answered<()> {
    window.set_zoom(times.clamp(1.0, 8.0)).map_err(|error| Trouble {
        code: "shell".to_owned(),
        message: format!("The window can't be drawn in another size: {error}. All else goes on."),
        field: None,
    })
}
