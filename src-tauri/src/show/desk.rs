//! The workshop at a glance.

use super::rod::{clock, line};
use super::time;
use crate::backups::{self, Backup};
use crate::demo;
use crate::error::ShellError;
use crate::views::{
    BackupsView, ClockView, Desk, HealthView, PersonView, Problem, StationLine, WayBackView,
    WorkshopView,
};
use crate::workshop::Workshop;
use coldbench_ledger::digest_hex;
use coldbench_shop::checklist::{Diagnostic, Severity};
use coldbench_shop::{Clearance, FileFindings, Moment};

/// The rack and all that runs.
pub fn desk(workshop: &Workshop) -> Desk {
    let state = workshop.state();
    let now = workshop.now();
    let mut rods: Vec<_> =
        state.rods.iter().map(|(id, rod)| (rod.begun, line(workshop, id, rod))).collect();
    rods.sort_by(|(begun, (urgency, _)), (other_begun, (other, _))| {
        urgency.cmp(other).then(begun.cmp(other_begun))
    });
    Desk {
        workshop: state.workshop.as_ref().map(|shop| WorkshopView {
            name: shop.name.clone(),
            demo: shop.demo,
            lengths: shop.lengths.into(),
            units: shop.units.into(),
            demo_pins: shop.demo.then(demo::pins),
        }),
        folder: workshop.folder().display().to_string(),
        read_only: workshop.read_only().map(str::to_owned),
        health: health(workshop),
        problems: workshop.library().findings.iter().flat_map(problems).collect(),
        crew: state
            .crew
            .iter()
            .map(|(id, person)| PersonView {
                id: id.to_string(),
                name: person.name.clone(),
                role: person.role.into(),
                present: person.present,
            })
            .collect(),
        active: workshop.active().map(|id| id.to_string()),
        stations: state
            .stations
            .iter()
            .map(|(id, station)| StationLine {
                id: id.to_string(),
                name: station.name.clone(),
                open_until: station.open_until.filter(|until| now < *until).map(time),
                heat_until: state.live_clearance(id, now).map(|(_, c)| time(c.until)),
                watch_until: state
                    .clearances
                    .values()
                    .filter(|c| &c.station == id && c.watched.is_none())
                    .filter_map(Clearance::watch_until)
                    .max()
                    .map(time),
            })
            .collect(),
        rods: rods.into_iter().map(|(_, (_, line))| line).collect(),
        clocks: clocks(workshop),
        now: time(now),
        clock_behind: state.clock_is_behind(now),
    }
}

fn health(workshop: &Workshop) -> HealthView {
    let known = workshop.health();
    let (verified, fault) = match known.verified {
        Some(Ok(events)) => (Some(u32::try_from(events).unwrap_or(u32::MAX)), None),
        Some(Err(why)) => (None, Some(why)),
        None => (None, workshop.unopened_word().map(str::to_owned)),
    };
    let (backup, backup_trouble) = match known.backup {
        Some(Ok(words)) => (Some(words), None),
        Some(Err(words)) => (None, Some(words)),
        None => (None, None),
    };
    HealthView { verified, fault, backup, backup_trouble }
}

/// Where backups go and what is there.
pub fn backups_view(workshop: &Workshop) -> Result<BackupsView, ShellError> {
    let folder = backups::folder_of(workshop.folder())?;
    let head = workshop.head();
    let newest = head.and_then(|head| backups::newest(folder.as_ref()?, &head.origin));
    let base = dirs::document_dir().or_else(dirs::home_dir).unwrap_or_else(std::env::temp_dir);
    Ok(BackupsView {
        folder: folder.map(|folder| folder.display().to_string()),
        suggestion: base.join("Coldbench backups").display().to_string(),
        newest: newest.map(|backup| words_of(&backup)),
        origin: head.map_or_else(String::new, |head| head.origin.clone()),
        events: u32::try_from(workshop.events()).unwrap_or(u32::MAX),
        head: head.map_or_else(String::new, |head| digest_hex(&head.digest)),
    })
}

/// The newest backup that verifies.
pub fn way_back(workshop: &Workshop) -> Option<WayBackView> {
    let found = workshop.way_back()?;
    let words = words_of(&found);
    Some(WayBackView { path: found.path.display().to_string(), words })
}

fn words_of(backup: &Backup) -> String {
    let (day, time) = backup.made.split_once(' ').unwrap_or((&backup.made, ""));
    format!("{day} at {}, {} events", time.replace('-', ":"), backup.head.events)
}

/// Clocks that still matter: not ended by their step, and their stage not finished.
fn clocks(workshop: &Workshop) -> Vec<ClockView> {
    let (state, now) = (workshop.state(), workshop.now());
    let mut running: Vec<ClockView> = state
        .rods
        .iter()
        .flat_map(|(id, rod)| rod.stages.iter().map(move |run| (id, rod, run)))
        .filter(|(_, _, run)| run.finished.is_none())
        .flat_map(|(id, rod, run)| run.clocks.iter().map(move |(of, c)| (id, rod, run, of, c)))
        .filter(|(_, _, _, _, c)| c.ended.is_none())
        .filter_map(|(id, rod, run, of, _)| clock(state, (id, rod), run, of, now))
        .collect();
    running.sort_by_key(|clock| Moment::parse_from_rfc3339(&clock.runs_out).ok());
    running
}

/// What is wrong with a file, as it crosses.
pub fn problems(file: &FileFindings) -> impl Iterator<Item = Problem> {
    file.findings.iter().map(move |finding| problem(file, finding))
}

fn problem(file: &FileFindings, finding: &Diagnostic) -> Problem {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Problem {
        path: file.path.clone(),
        unusable: finding.severity == Severity::Error,
        code: finding.code.to_owned(),
        message: finding.message.clone(),
        help: finding.help.clone(),
        line: number(finding.line),
        column: number(finding.column),
        excerpt: file
            .source
            .lines()
            .nth(finding.line - 1)
            .unwrap_or_default()
            .trim_end()
            .to_owned(),
    }
}
