//! Embeds the built UI, and lets the window call the commands named here and no others.

const COMMANDS: &[&str] = &[
    "look",
    "found",
    "unlock",
    "lock",
    "add_person",
    "person_leaves",
    "renew_key",
    "backups",
    "set_backup_folder",
    "back_up",
    "way_back",
    "bring_back",
    "correct",
    "add_station",
    "save_material",
    "hazard_codes",
    "read_air",
    "stop_air",
    "record_release",
    "sign_watch",
    "close_station",
    "list_container",
    "open_container",
    "close_container",
    "remove_container",
    "station",
    "begin_list",
    "answer",
    "complete",
    "withdraw",
    "check_draft",
    "begin_rod",
    "revise_rod",
    "layout",
    "try_layout",
    "space_guides",
    "improve_layout",
    "try_trim",
    "choose_units",
    "read_temperature",
    "rod",
    "begin_stage",
    "walk",
    "understand",
    "measure",
    "accept",
    "name_lot",
    "lots",
    "register_lot",
    "lot_gone",
    "accept_lot",
    "start_clock",
    "sign",
    "witness",
    "note",
    "print_targets",
    "save_record",
    "save_station_log",
    "print_record",
    "quit",
];

fn main() {
    println!("cargo:rerun-if-changed=../ui/dist");
    println!("cargo:rerun-if-changed=../checklists");
    let manifest = tauri_build::AppManifest::new().commands(COMMANDS);
    if let Err(error) =
        tauri_build::try_build(tauri_build::Attributes::new().app_manifest(manifest))
    {
        println!("cargo:warning={error:#}");
        std::process::exit(1);
    }
}
