//! The window itself.

use crate::commands::{self, Open};
use crate::desktop::Awake;
use crate::error::ShellError;
use crate::handed_out::HandedOut;
use crate::preview::Previews;
use crate::read_aloud::Voice;
use crate::workshop::Workshop;
use std::sync::Mutex;
use tauri::{WebviewUrl, WebviewWindowBuilder};

/// Opens the window on a workshop and returns when it is closed.
#[expect(clippy::too_many_lines, reason = "a line for each command, in one place")]
pub fn run(workshop: Workshop) -> Result<(), ShellError> {
    // The toolkit would end the program without a word.
    let has = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if cfg!(target_os = "linux") && !has("DISPLAY") && !has("WAYLAND_DISPLAY") {
        return Err(ShellError::NoScreen);
    }
    // All of the ledger is gone through at every start, beside the work: it may take seconds.
    std::thread::spawn(workshop.verify_beside());
    tauri::Builder::default()
        .manage(Open(Mutex::new(workshop)))
        .manage(HandedOut::default())
        .manage(Previews::default())
        .manage(Awake::default())
        .manage(Voice::default())
        .invoke_handler(tauri::generate_handler![
            commands::people::look,
            commands::people::found,
            commands::people::unlock,
            commands::people::lock,
            commands::people::add_person,
            commands::people::person_leaves,
            commands::people::renew_key,
            commands::people::backups,
            commands::people::set_backup_folder,
            commands::people::back_up,
            commands::people::way_back,
            commands::people::bring_back,
            commands::walk::correct,
            commands::station::add_station,
            commands::station::save_material,
            commands::station::hazard_codes,
            commands::station::read_air,
            commands::station::stop_air,
            commands::station::record_release,
            commands::station::sign_watch,
            commands::station::close_station,
            commands::station::list_container,
            commands::station::open_container,
            commands::station::close_container,
            commands::station::remove_container,
            commands::station::station,
            commands::station::begin_list,
            commands::checklists::checklists,
            commands::checklists::checklist_text,
            commands::checklists::try_checklist,
            commands::checklists::save_checklist,
            commands::checklists::put_checklist_aside,
            commands::checklists::accept_override,
            commands::checklists::move_stage,
            commands::checklists::leave_out_stage,
            commands::checklists::take_in_stage,
            commands::station::answer,
            commands::station::complete,
            commands::station::withdraw,
            commands::rod::check_draft,
            commands::rod::begin_rod,
            commands::rod::revise_rod,
            commands::rod::layout,
            commands::rod::try_layout,
            commands::rod::space_guides,
            commands::rod::improve_layout,
            commands::rod::try_trim,
            commands::station::measure_room,
            commands::people::choose_units,
            commands::station::read_temperature,
            commands::scale::enlarge,
            commands::rod::rod,
            commands::checklists::begin_stage,
            commands::walk::walk,
            commands::walk::understand,
            commands::walk::measure,
            commands::walk::accept,
            commands::walk::name_lot,
            commands::rod::lots,
            commands::rod::register_lot,
            commands::rod::lot_gone,
            commands::walk::accept_lot,
            commands::walk::start_clock,
            commands::walk::sign,
            commands::walk::key_in,
            commands::walk::witness,
            commands::walk::note,
            commands::walk::call_away,
            commands::walk::come_back,
            commands::paper::print_targets,
            commands::paper::save_folder,
            commands::paper::preview_pages,
            commands::paper::save_pages,
            commands::paper::print_pages,
            commands::paper::save_table,
            commands::paper::open_folder,
            commands::paper::print_job,
            commands::bench::bench_settings,
            commands::bench::set_bench_settings,
            commands::bench::notify,
            commands::bench::keep_awake,
            commands::bench::read_aloud,
            commands::bench::stop_reading,
            commands::teaching::crew_table,
            commands::teaching::ask_teaching,
            commands::teaching::present_step,
            commands::teaching::hear_key_points,
            commands::people::quit,
        ])
        .setup(|app| {
            WebviewWindowBuilder::new(app, "main", WebviewUrl::default())
                .title("Coldbench")
                .inner_size(1280.0, 900.0)
                .min_inner_size(800.0, 560.0)
                // The window shows our own pages and nothing else.
                .on_navigation(|url| url.scheme() == "tauri")
                .build()?;
            Ok(())
        })
        .run(tauri::generate_context!())?;
    Ok(())
}
