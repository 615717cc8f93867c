//! The shop's own checklist files: reading a text to change it, trying it, saving it, putting it aside.

use crate::error::ShellError;
use crate::folder::{CHECKLISTS, load_with, write_whole};
use crate::show;
use crate::views::{ChecklistText, Problem};
use crate::workshop::Workshop;
use coldbench_shop::Library;
use std::path::{Component, Path, PathBuf};

/// What a file is called that is kept and not read any more.
const ASIDE: &str = "aside";

/// The text of a checklist by its id; or by its path, where a file of the shop's own has a fault and
/// so gives none.
pub fn text(workshop: &Workshop, id: &str) -> Result<ChecklistText, ShellError> {
    if Path::new(id).extension().is_some_and(|end| end == "toml") {
        let file = below(workshop, id)?;
        let bytes = std::fs::read(&file).map_err(ShellError::file(&file))?;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        return Ok(ChecklistText { path: id.to_owned(), text, own: true });
    }
    let missing = || ShellError::NoChecklist { what: id.to_owned() };
    let library = workshop.library();
    let listed = library.listed.iter().find(|listed| listed.id == id).ok_or_else(missing)?;
    let source = library.source_of(id).ok_or_else(missing)?;
    let path = if listed.shipped { folder_of(listed.kind, id) } else { listed.path.clone() };
    Ok(ChecklistText { path, text: source.to_owned(), own: !listed.shipped })
}

/// Where a checklist of this kind belongs among the shop's own files.
fn folder_of(kind: &str, id: &str) -> String {
    let folder = match kind {
        "stage" => "stages",
        "material" | "adhesive" | "sleeve" | "glove" => "materials",
        _ => "stations",
    };
    format!("{folder}/{id}.toml")
}

/// What is wrong or unwise about a text, among all others.
pub fn tried(workshop: &Workshop, path: &str, text: &str) -> Vec<Problem> {
    found(&load_with(workshop.folder(), path, text), path)
}

fn found(library: &Library, path: &str) -> Vec<Problem> {
    library.findings.iter().filter(|file| file.path == path).flat_map(show::problems).collect()
}

/// Saves a text; a text with faults is saved too, as an editor would, and is not used.
pub fn save(workshop: &mut Workshop, path: &str, text: &str) -> Result<Vec<Problem>, ShellError> {
    let file = own_file(workshop, path)?;
    if let Some(parent) = file.parent() {
        std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
    }
    write_whole(&file, text.as_bytes())?;
    workshop.reload_library();
    Ok(found(workshop.library(), path))
}

/// Gives a file another ending, so that it is kept and not read; says where it is.
pub fn put_aside(workshop: &mut Workshop, path: &str) -> Result<String, ShellError> {
    let file = own_file(workshop, path)?;
    let stamp = workshop.now().format("%Y-%m-%d-%H%M%S");
    let aside = file.with_extension(format!("{stamp}.{ASIDE}"));
    std::fs::rename(&file, &aside).map_err(ShellError::file(&file))?;
    workshop.reload_library();
    Ok(format!("The file is kept as {}.", aside.display()))
}

/// A file below the shop's own checklists, and nowhere else, to be written by somebody of the crew.
fn own_file(workshop: &Workshop, path: &str) -> Result<PathBuf, ShellError> {
    if let Some(reason) = workshop.read_only() {
        return Err(ShellError::ReadOnly { reason: reason.to_owned() });
    }
    if workshop.active().is_none() {
        return Err(ShellError::Locked);
    }
    below(workshop, path)
}

fn below(workshop: &Workshop, path: &str) -> Result<PathBuf, ShellError> {
    let relative = Path::new(path);
    let plain = relative.components().all(|part| matches!(part, Component::Normal(_)));
    let toml = relative.extension().is_some_and(|end| end == "toml");
    if !plain || !toml {
        let message = "Write a file name that ends with .toml, e.g. stages/my-stage.toml.";
        return Err(ShellError::Field { field: "path".to_owned(), message: message.to_owned() });
    }
    Ok(workshop.folder().join(CHECKLISTS).join(relative))
}
