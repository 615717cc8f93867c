//! Records of rods from other workshops: kept as files, verified whenever they are read.

use crate::error::ShellError;
use crate::folder::{RECORDS, write_whole};
use crate::proof::{Record, check_file};
use std::path::Path;

/// Takes in a record from its file or its printed PDF, and says under which id.
pub fn take_in(workshop: &Path, file: &Path) -> Result<String, ShellError> {
    let (record, _) = check_file(file)?;
    if crate::folder::origin(workshop).as_ref() == Some(&record.head().origin) {
        return Err(ShellError::OwnRecord);
    }
    let folder = workshop.join(RECORDS);
    std::fs::create_dir_all(&folder).map_err(ShellError::file(&folder))?;
    let id = id_of(&record);
    let path = folder.join(format!("{id}.json"));
    if path.exists() {
        let (held, _) = check_file(&path)?;
        // An older record of the same rod must not hide what a newer one tells.
        if held.head().events > record.head().events {
            return Err(ShellError::OlderRecord { id });
        }
    }
    write_whole(&path, &record.to_bytes()?)?;
    Ok(id)
}

/// `R-1@5df3cfd1`: the rod there, and where.
fn id_of(record: &Record) -> String {
    let origin = &record.head().origin;
    format!("{}@{}", record.rod(), origin.get(..8).unwrap_or(origin))
}

/// All records that were taken in, by id.
pub fn all(workshop: &Path) -> Result<Vec<(String, Record)>, ShellError> {
    let folder = workshop.join(RECORDS);
    let mut paths: Vec<_> = match std::fs::read_dir(&folder) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(ShellError::file(folder)(error)),
        Ok(entries) => entries.flatten().map(|entry| entry.path()).collect(),
    };
    paths.retain(|path| path.extension().is_some_and(|end| end == "json"));
    paths.sort();
    let read = |path: &std::path::PathBuf| {
        let (record, _) = check_file(path)?;
        Ok((id_of(&record), record))
    };
    paths.iter().map(read).collect()
}

/// The record that was taken in under an id.
pub fn find(workshop: &Path, id: &str) -> Result<Option<Record>, ShellError> {
    if !id.contains('@') {
        return Ok(None);
    }
    Ok(all(workshop)?.into_iter().find(|(found, _)| found == id).map(|(_, record)| record))
}
