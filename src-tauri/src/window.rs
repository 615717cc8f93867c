//! The window itself.

use crate::commands::{self, Open};
use crate::error::ShellError;
use crate::handed_out::HandedOut;
use crate::preview::Previews;
use crate::workshop::Workshop;
use std::sync::Mutex;
use tauri::{WebviewUrl, WebviewWindowBuilder};

/// Opens the window on a workshop and returns when it is closed.
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
        .invoke_handler(tauri::generate_handler![
            commands::look,
            commands::found,
            commands::unlock,
            commands::lock,
            commands::add_person,
            commands::person_leaves,
            commands::renew_key,
            commands::backups,
            commands::set_backup_folder,
            commands::back_up,
            commands::way_back,
            commands::bring_back,
            commands::correct,
            commands::add_station,
            commands::save_material,
            commands::hazard_codes,
            commands::read_air,
            commands::stop_air,
            commands::record_release,
            commands::sign_watch,
            commands::close_station,
            commands::list_container,
            commands::open_container,
            commands::close_container,
            commands::remove_container,
            commands::station,
            commands::begin_list,
            commands::checklists,
            commands::checklist_text,
            commands::try_checklist,
            commands::save_checklist,
            commands::put_checklist_aside,
            commands::accept_override,
            commands::move_stage,
            commands::leave_out_stage,
            commands::take_in_stage,
            commands::answer,
            commands::complete,
            commands::withdraw,
            commands::check_draft,
            commands::begin_rod,
            commands::revise_rod,
            commands::layout,
            commands::try_layout,
            commands::space_guides,
            commands::improve_layout,
            commands::try_trim,
            commands::choose_units,
            commands::read_temperature,
            commands::rod,
            commands::begin_stage,
            commands::walk,
            commands::understand,
            commands::measure,
            commands::accept,
            commands::name_lot,
            commands::lots,
            commands::register_lot,
            commands::lot_gone,
            commands::accept_lot,
            commands::start_clock,
            commands::sign,
            commands::witness,
            commands::note,
            commands::print_targets,
            commands::station_log_targets,
            commands::preview_record,
            commands::preview_station_log,
            commands::save_record,
            commands::save_station_log,
            commands::save_sheet,
            commands::open_folder,
            commands::print_record,
            commands::print_station_log,
            commands::print_job,
            commands::quit,
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
