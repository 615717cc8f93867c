//! The types the screen sees are those the shell sends.

use std::path::Path;

#[test]
fn generated_types_are_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../ui/src/lib/generated/types.ts");
    let fresh = coldbench::views::typescript();
    if std::env::var_os("COLDBENCH_WRITE_TYPES").is_some() {
        std::fs::write(&path, &fresh).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == fresh,
        "ui/src/lib/generated/types.ts is not what src-tauri/src/views/ makes; \
         run COLDBENCH_WRITE_TYPES=1 cargo test -p coldbench --test app types"
    );
}
