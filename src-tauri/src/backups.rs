//! Backups of a workshop: where they go, the quiet one of each closed day, and the way back.
//!
//! Where they go stands in a small file in the workshop's folder and not in the ledger: it is
//! needed just when the ledger can't be read.

use crate::error::ShellError;
use crate::folder::{CHECKLISTS, RECORDS, write_whole};
use chrono::NaiveDate;
use coldbench_ledger::{Head, VerifyReport, backup};
use coldbench_shop::Moment;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

const SETTINGS: &str = "backup.toml";
/// So many quiet backups are kept; those made by hand stay until somebody removes them.
const QUIET_KEPT: usize = 30;
const QUIET: &str = "daily";
const BY_HAND: &str = "by-hand";

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Settings {
    format: u32,
    folder: PathBuf,
}

/// A backup as it lies in its folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Backup {
    /// Its folder.
    pub path: PathBuf,
    /// When it was made, as its name says: `2026-11-24 18-03-12`.
    pub made: String,
    /// The newest event in it.
    pub head: Head,
}

/// The folder for backups of a workshop, if one was named.
pub fn folder_of(workshop: &Path) -> Result<Option<PathBuf>, ShellError> {
    let path = workshop.join(SETTINGS);
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(ShellError::file(path)(error)),
    };
    let settings: Settings = toml::from_str(&text)
        .map_err(|error| ShellError::Settings { path, words: error.message().to_owned() })?;
    Ok(Some(settings.folder))
}

/// Names the folder for backups; it is made if it is not there, and must lie outside the
/// workshop's own.
pub fn set_folder(workshop: &Path, folder: &Path) -> Result<(), ShellError> {
    let field = |message: &str| ShellError::Field {
        field: "folder".to_owned(),
        message: message.to_owned(),
    };
    if folder.as_os_str().is_empty() {
        return Err(field("Name a folder."));
    }
    let folder = std::path::absolute(folder).map_err(ShellError::file(folder))?;
    std::fs::create_dir_all(&folder).map_err(ShellError::file(&folder))?;
    let real = |path: &Path| path.canonicalize().map_err(ShellError::file(path));
    if real(&folder)?.starts_with(real(workshop)?) {
        return Err(field(
            "This folder lies in the workshop's own: what takes one would take both. Choose another, best on another disk.",
        ));
    }
    let settings = toml::to_string(&Settings { format: 1, folder })
        .map_err(|error| field(&error.to_string()))?;
    write_whole(&workshop.join(SETTINGS), settings.as_bytes())
}

/// Makes a backup now. A quiet one is one of many and gives way to newer ones.
pub fn back_up(
    workshop: &Path,
    into: &Path,
    origin: &str,
    now: Moment,
    quiet: bool,
) -> Result<(PathBuf, VerifyReport), ShellError> {
    std::fs::create_dir_all(into).map_err(ShellError::file(into))?;
    let kind = if quiet { QUIET } else { BY_HAND };
    let stem = format!("coldbench-{}-{}", short(origin), now.format("%Y-%m-%dT%H-%M-%S"));
    let mut path = into.join(format!("{stem}-{kind}"));
    let mut again = 2;
    while path.exists() {
        path = into.join(format!("{stem}-{again}-{kind}"));
        again += 1;
    }
    let report = backup::back_up(workshop, &path, |made| {
        for name in [CHECKLISTS, RECORDS] {
            copy_tree(&workshop.join(name), &made.join(name))?;
        }
        Ok(())
    })?;
    if quiet {
        thin_out(into, origin);
    }
    Ok((path, report))
}

fn short(origin: &str) -> &str {
    origin.get(..8).unwrap_or(origin)
}

fn copy_tree(from: &Path, to: &Path) -> std::io::Result<()> {
    let entries = match std::fs::read_dir(from) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        entries => entries?,
    };
    std::fs::create_dir_all(to)?;
    for entry in entries {
        let entry = entry?;
        let target = to.join(entry.file_name());
        let kind = entry.file_type()?;
        if kind.is_dir() {
            copy_tree(&entry.path(), &target)?;
        } else if kind.is_file() {
            std::fs::copy(entry.path(), &target)?;
        }
    }
    Ok(())
}

/// The names of this workshop's backups in a folder, newest first: a name holds its time.
fn names(into: &Path, origin: &str) -> Vec<String> {
    let prefix = format!("coldbench-{}-", short(origin));
    let Ok(entries) = std::fs::read_dir(into) else { return Vec::new() };
    let mut names: Vec<String> = entries
        .flatten()
        .filter(|entry| entry.path().is_dir())
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| {
            name.starts_with(&prefix) && (name.ends_with(QUIET) || name.ends_with(BY_HAND))
        })
        .collect();
    names.sort_unstable_by(|one, other| other.cmp(one));
    names
}

/// Removes the oldest quiet ones. What can't be removed stays.
fn thin_out(into: &Path, origin: &str) {
    let quiet = names(into, origin).into_iter().filter(|name| name.ends_with(QUIET));
    for name in quiet.skip(QUIET_KEPT) {
        let _ = std::fs::remove_dir_all(into.join(name));
    }
}

/// A time of the ledger as the names of backups have it.
pub fn name_time(at: &str) -> String {
    at.get(..19).unwrap_or(at).replace('T', " ").replace(':', "-")
}

fn looked_at(into: &Path, name: &str) -> Option<Backup> {
    let path = into.join(name);
    let head = backup::head_of(&path).ok()?;
    let made = name.splitn(3, '-').nth(2)?;
    let made = made.get(..19)?.replace('T', " ");
    Some(Backup { path, made, head })
}

/// The newest backup that can be opened; it is not verified.
pub fn newest(into: &Path, origin: &str) -> Option<Backup> {
    names(into, origin).iter().find_map(|name| looked_at(into, name))
}

/// The newest backup that verifies.
pub fn newest_good(into: &Path, origin: &str) -> Option<Backup> {
    names(into, origin)
        .iter()
        .filter_map(|name| looked_at(into, name))
        .find(|found| backup::check(&found.path).is_ok())
}

/// Whether a day has closed since the newest backup: there are events of an earlier day that it
/// does not hold.
pub fn is_due(into: &Path, head: &Head, latest: Option<Moment>, today: NaiveDate) -> bool {
    let closed = latest.is_some_and(|latest| latest.date_naive() < today);
    closed && newest(into, &head.origin).is_none_or(|backup| backup.head.events < head.events)
}

/// Brings a backup into a new folder.
pub fn restore(backup: &Path, into: &Path, now: Moment) -> Result<VerifyReport, ShellError> {
    if !crate::folder::is_free(into)? {
        return Err(ShellError::NotEmpty { path: into.to_owned() });
    }
    let report = backup::restore(backup, into, now)?;
    for name in [CHECKLISTS, RECORDS] {
        let target = into.join(name);
        copy_tree(&backup.join(name), &target).map_err(ShellError::file(target))?;
    }
    Ok(report)
}

/// Puts the damaged ledger of a workshop aside, where it is kept, and a backup in its place. Gives
/// the folder in which the damaged one lies. Nothing may have the ledger open.
pub fn bring_back(workshop: &Path, from: &Path, now: Moment) -> Result<PathBuf, ShellError> {
    // Before anything is moved: a backup that does not hold is no way back.
    backup::check(from)?;
    let aside = workshop.join(format!("damaged-{}", now.format("%Y-%m-%dT%H-%M-%S")));
    backup::set_aside(workshop, &aside)?;
    backup::restore(from, workshop, now)?;
    Ok(aside)
}
