//! Invented station logs to look at and to test with: no such shop, people or numbers exist.

use crate::{
    model::{ClearanceRecord, Paper, When},
    specimen::{self, HELPER, LEAD, LONG_NAME, text},
    station_model::{EntryKind, StationEntry, StationLog, WatchRecord},
};

/// A moment of the day that is told.
fn at(hour: u32, minute: u32) -> When {
    specimen::at(25, hour, minute)
}

fn entry(when: When, kind: EntryKind, words: &str, who: &str) -> StationEntry {
    StationEntry { when, kind, words: text(words), who: text(who) }
}

/// A day on which nobody did anything here.
pub(crate) fn empty_day() -> StationLog {
    StationLog {
        shop: text("Lower Mill Rods (invented)"),
        demo: true,
        station: text("Finishing rack"),
        station_id: text("finishing-rack"),
        room: String::new(),
        day: text("2026-11-25"),
        entries: vec![],
        clearances: vec![],
        watches: vec![],
        curve: vec![],
        curve_limit_percent: 10.0,
        curve_word: text("the room has not been measured."),
        ledger: specimen::ledger(3, specimen::at(24, 9, 2)),
        printed: at(18, 10),
        paper: Paper::A4,
    }
}

/// The estimate every five minutes: each release adds to what is left of those before it.
fn curve(releases: &[(u32, f64)], from: u32, to: u32) -> Vec<(When, f64)> {
    const HALF_IN: f64 = 38.0;
    let air = |minute: u32, with: &dyn Fn(u32) -> bool| -> f64 {
        let all = releases.iter().filter(|(begin, _)| with(*begin));
        all.map(|(begin, peak)| peak * 0.5_f64.powf(f64::from(minute - begin) / HALF_IN)).sum()
    };
    let mut points = Vec::new();
    for minute in from..=to {
        let when = at(minute / 60, minute % 60);
        if releases.iter().any(|(begin, _)| *begin == minute) {
            points.push((when, air(minute, &|begin| begin < minute)));
            points.push((when, air(minute, &|begin| begin <= minute)));
        } else if minute % 5 == 0 {
            points.push((when, air(minute, &|begin| begin <= minute)));
        }
    }
    points
}

fn clearances() -> Vec<ClearanceRecord> {
    let mut clearances = specimen::clearances();
    let next = |when: When| when + chrono::TimeDelta::days(1);
    for clearance in &mut clearances {
        // It is told in a part of its own.
        clearance.watch = None;
        clearance.granted = next(clearance.granted);
        clearance.until = next(clearance.until);
        for check in &mut clearance.checks {
            check.when = next(check.when);
        }
    }
    clearances[0].ended = Some((at(15, 8), text("a newer clearance took its place")));
    clearances[1].ended = Some((at(15, 24), text("a flammable was opened or used in the room")));
    clearances
}

/// A day at the heat corner on which nothing went wrong.
pub(crate) fn quiet() -> StationLog {
    let mut log = empty_day();
    log.station = text("Heat corner");
    log.station_id = text("heat-corner");
    log.room = text("60 m³, shared with Bench");
    let mut clearance = clearances().remove(1);
    clearance.ended = Some((at(15, 24), text("gun off and cooling")));
    log.clearances = vec![clearance];
    log.entries = vec![
        entry(at(15, 1), EntryKind::Reading, "0.62 m/s through 0.30 m by 0.30 m: 201 m³/h", LEAD),
        entry(at(15, 8), EntryKind::Clearance, "C-3 granted until 15:38", LEAD),
        entry(at(15, 22), EntryKind::Heat, "R-0007, shrink the sleeve, under C-3", LEAD),
        entry(at(15, 53), EntryKind::Watch, "C-3: watched for 30 min, nothing seen", HELPER),
    ];
    log.watches = vec![WatchRecord {
        clearance: text("C-3"),
        last_heat: at(15, 22),
        until: at(15, 52),
        kept: Some((at(15, 53), text(HELPER))),
    }];
    log.curve = curve(&[(14 * 60, 4.0)], 14 * 60, 16 * 60);
    log.curve_word = text("Well-mixed room, mixing factor K = 3.");
    log.ledger = specimen::ledger(184, at(17, 31));
    log
}

/// A day with some of everything that can happen at a station.
pub(crate) fn ordinary() -> StationLog {
    let mut log = quiet();
    log.clearances = clearances();
    log.watches[0].kept = None;
    log.watches.insert(
        0,
        WatchRecord {
            clearance: text("C-2"),
            last_heat: at(15, 2),
            until: at(15, 32),
            kept: Some((at(15, 33), text(HELPER))),
        },
    );
    log.entries = [
        (8, 12, EntryKind::List, "Opening the station: list begun, revised 2026-10-30", LEAD),
        (
            8,
            19,
            EntryKind::Container,
            "Solvent, 0.5 l can: lid on, moved to the cabinet, 6 m away",
            LEAD,
        ),
        (8, 21, EntryKind::Container, "Thread finish, 2 bottles: lids on, on the shelf", HELPER),
        (8, 30, EntryKind::Reading, "0.60 m/s through 0.30 m by 0.30 m: 194 m³/h", LEAD),
        (
            9,
            41,
            EntryKind::Release,
            "Solvent, 12 ml: R-0007, wipe the blank before bonding",
            LONG_NAME,
        ),
        (12, 31, EntryKind::Release, "Solvent, 5 ml: R-0012, wipe the seat", HELPER),
        (14, 50, EntryKind::Reading, "0.62 m/s through 0.30 m by 0.30 m: 201 m³/h", LEAD),
        (14, 51, EntryKind::List, "Before heat: all seven checks answered and passed", LEAD),
        (14, 52, EntryKind::Clearance, "C-2 granted until 15:22, Pim Aldersey watches", LEAD),
        (15, 2, EntryKind::Heat, "R-0012, shrink the sleeve over the fore grip, under C-2", LEAD),
        (15, 8, EntryKind::Clearance, "C-3 granted until 15:38, takes the place of C-2", LEAD),
        (15, 22, EntryKind::Heat, "R-0007, shrink the sleeve over the rear grip, under C-3", LEAD),
        (15, 24, EntryKind::Release, "Solvent, 0.5 l can, lid off: 9 ml", HELPER),
        (
            15,
            24,
            EntryKind::Withdrawal,
            "C-3: A flammable was opened or used in the room. Solvent, 0.5 l can, lid off.",
            HELPER,
        ),
        (15, 33, EntryKind::Watch, "C-2: watched for 30 min, nothing seen", HELPER),
        (16, 58, EntryKind::Other, "Note: the fan rattles at its upper setting.", LEAD),
        (
            16,
            40,
            EntryKind::Clock,
            "The clock shows 16:40:07, after it had shown 16:58:07. Heat waits until the clock \
             has been looked at.",
            "",
        ),
    ]
    .map(|(hour, minute, kind, words, who)| entry(at(hour, minute), kind, words, who))
    .to_vec();
    let releases = [(9 * 60 + 41, 16.5), (12 * 60 + 31, 6.8), (15 * 60 + 24, 12.4)];
    log.curve = curve(&releases, 8 * 60 + 30, 17 * 60 + 30);
    log.curve_word = text(
        "All that was recorded as used is taken as evaporated at once into a well-mixed room of \
         60 m³ at 194 m³/h, from 14:50 at 201 m³/h, mixing factor K = 3.",
    );
    log
}

/// A day with 400 entries, long names and twelve clearances, on Letter paper.
pub(crate) fn overfull() -> StationLog {
    let mut log = ordinary();
    log.paper = Paper::Letter;
    log.station = text("Heat corner behind the long bench of the upper workshop by the river");
    let kinds = [
        EntryKind::Reading,
        EntryKind::Release,
        EntryKind::Container,
        EntryKind::List,
        EntryKind::Clearance,
        EntryKind::Lapse,
        EntryKind::Other,
    ];
    log.entries = (0..400_u32)
        .map(|nth| {
            let minute = 300 + nth * 2;
            let mut words = format!("Entry {} of 400 on this invented day.", nth + 1);
            if nth % 9 == 0 {
                words.push_str(" The words go on, for somebody had much to tell: ");
                words.push_str(&"and more was seen, and written down as it was seen; ".repeat(5));
            }
            let who = if nth % 4 == 0 { LONG_NAME } else { LEAD };
            let kind = kinds[usize::try_from(nth).unwrap_or(0) % kinds.len()];
            entry(at(minute / 60, minute % 60), kind, &words, who)
        })
        .collect();
    log.clearances = (1..=12)
        .zip(log.clearances.iter().cycle())
        .map(|(number, clearance)| ClearanceRecord {
            reference: format!("C-{number}"),
            watcher: text(LONG_NAME),
            ..clearance.clone()
        })
        .collect();
    let watch = log.watches[1].clone();
    log.watches = (1..=12)
        .map(|number| WatchRecord { clearance: format!("C-{number}"), ..watch.clone() })
        .collect();
    log.curve = curve(&[(360, 40.0), (600, 9.0), (900, 71.0)], 300, 1_100);
    log.ledger.events = 41_207;
    log
}
