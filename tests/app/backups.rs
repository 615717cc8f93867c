//! Backups: named, made, due, and brought back in the place of a damaged ledger.

use crate::bench::{
    LEAD, LEAD_PIN, act, add_corner, founded, founding, own_checklist, pin, read_files,
    shipped_text, start, unlock,
};
use chrono::TimeDelta;
use coldbench::{Clock, Health, ShellError, Workshop, backups};
use std::path::Path;
use tempfile::TempDir;

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<_> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// What goes on beside the work, done here and now.
fn quiet_backup(shop: &mut Workshop) {
    if let Some(job) = shop.backup_beside() {
        job();
    }
}

#[test]
fn a_quiet_one_is_made_after_a_closed_day() {
    let (folder, mut shop) = founded();
    let there = TempDir::new().unwrap();
    quiet_backup(&mut shop);
    backups::set_folder(folder.path(), there.path()).unwrap();
    assert!(names(there.path()).is_empty(), "the day is not closed");
    let now = shop.now();
    *shop.clock_mut() = Clock::Set(now + TimeDelta::days(1));
    quiet_backup(&mut shop);
    assert_eq!(names(there.path()).len(), 1);
    assert!(matches!(shop.health(), Health { backup: Some(Ok(_)), .. }));
    // Nothing new: none on the next day, and none twice on one.
    *shop.clock_mut() = Clock::Set(now + TimeDelta::days(2));
    quiet_backup(&mut shop);
    assert_eq!(names(there.path()).len(), 1);
    act(&mut shop, add_corner("Rack"));
    for day in 3..40 {
        *shop.clock_mut() = Clock::Set(now + TimeDelta::days(day));
        quiet_backup(&mut shop);
        act(&mut shop, add_corner("Rack"));
    }
    assert_eq!(names(there.path()).len(), 30, "the oldest give way");
    let newest = backups::newest(there.path(), &shop.head().unwrap().origin).unwrap();
    assert_eq!(newest.head.events + 1, shop.events());
    // The folder is gone, as a stick is: said, and the work goes on.
    std::fs::remove_dir_all(there.path()).unwrap();
    std::fs::write(there.path(), "").unwrap();
    *shop.clock_mut() = Clock::Set(now + TimeDelta::days(60));
    quiet_backup(&mut shop);
    let Some(Err(words)) = shop.health().backup else { panic!("{:?}", shop.health()) };
    assert!(words.starts_with("The quiet backup could not be made."), "{words}");
    act(&mut shop, add_corner("Rack"));
    std::fs::remove_file(there.path()).unwrap();
}

#[test]
fn a_backup_by_hand_stays_and_takes_the_checklists_along() {
    let (folder, mut shop) = founded();
    let text = shipped_text("stages/spine.toml").replace("Find and mark", "Find");
    own_checklist(&mut shop, "stages/spine.toml", &text);
    assert!(matches!(shop.back_up(), Err(ShellError::NoBackupFolder)));
    let inside = folder.path().join("backups");
    assert!(backups::set_folder(folder.path(), &inside).is_err(), "a backup inside is none");
    let there = TempDir::new().unwrap();
    backups::set_folder(folder.path(), there.path()).unwrap();
    let (one, report) = shop.back_up().unwrap();
    let (two, _) = shop.back_up().unwrap();
    assert_ne!(one, two);
    assert_eq!(report.events, shop.events());
    let kept: Vec<_> = read_files(&one).into_iter().map(|(path, _)| path).collect();
    assert!(kept.contains(&"checklists/stages/spine.toml".into()), "{kept:?}");
    let back = there.path().join("back");
    backups::restore(&one, &back, shop.now()).unwrap();
    let again = Workshop::open(&back, Clock::Set(shop.now())).unwrap();
    assert_eq!(again.state(), shop.state());
    assert_eq!(again.events(), shop.events() + 1, "that it was restored is noted");
    assert!(backups::restore(&one, &back, shop.now()).is_err());
}

fn damage(folder: &Path, sql: &str) {
    let raw = rusqlite::Connection::open(folder.join("ledger.db")).unwrap();
    raw.execute_batch(&format!("DROP TRIGGER event_stays; DROP TRIGGER event_is_kept; {sql}"))
        .unwrap();
}

/// A ledger that opens and does not hold: found out beside the work, then nothing is signed, and
/// the last good backup comes back while the damaged file is kept.
#[test]
fn a_ledger_that_does_not_hold_gives_way_to_a_backup() {
    let (folder, mut shop) = founded();
    let there = TempDir::new().unwrap();
    backups::set_folder(folder.path(), there.path()).unwrap();
    shop.back_up().unwrap();
    act(&mut shop, add_corner("Rack"));
    assert!(matches!(shop.bring_back(there.path()), Err(ShellError::NotDamaged)));
    let (good, now) = (shop.events() - 1, shop.now());
    drop(shop);
    damage(folder.path(), "UPDATE event SET at = '2026-03-02T08:00:01.000+01:00' WHERE seq = 3");
    let mut shop = Workshop::open(folder.path(), Clock::Set(now)).unwrap();
    unlock(&mut shop, LEAD, LEAD_PIN);
    shop.verify_beside()();
    shop.look_around().unwrap();
    let word = shop.read_only().unwrap().to_owned();
    assert!(word.starts_with("Event 3 of ") && word.contains("changed after"), "{word}");
    assert_eq!(shop.active(), None);
    assert_eq!(shop.act(add_corner("No")).unwrap_err().code(), "read-only");
    let way = shop.way_back().unwrap();
    assert_eq!(way.head.events, good);
    let aside = shop.bring_back(&way.path).unwrap();
    assert!(names(&aside).contains(&"ledger.db".to_owned()));
    assert_eq!(shop.read_only(), None);
    assert_eq!(shop.events(), good + 1);
    unlock(&mut shop, LEAD, LEAD_PIN);
    *shop.clock_mut() = Clock::Set(now + TimeDelta::minutes(1));
    act(&mut shop, add_corner("Shelf"));
    shop.verify(&[]).unwrap();
}

/// A ledger that does not even open.
#[test]
fn a_broken_file_gives_way_to_a_backup() {
    let (folder, shop) = founded();
    let there = TempDir::new().unwrap();
    backups::set_folder(folder.path(), there.path()).unwrap();
    shop.back_up().unwrap();
    let (events, now) = (shop.events(), shop.now());
    drop(shop);
    let file = folder.path().join("ledger.db");
    std::fs::write(&file, "broken").unwrap();
    let error = Workshop::open(folder.path(), Clock::Set(now)).err().unwrap();
    let mut shop = Workshop::unopened(folder.path(), Clock::Set(now), &error);
    let desk = coldbench::desk(&shop);
    assert!(desk.health.fault.unwrap().contains("is damaged"));
    assert!(shop.found(founding("New", "New"), &pin(LEAD_PIN)).is_err());
    let way = shop.way_back().unwrap();
    let aside = shop.bring_back(&way.path).unwrap();
    assert_eq!(std::fs::read(aside.join("ledger.db")).unwrap(), b"broken", "it is kept");
    assert_eq!(shop.events(), events + 1);
    shop.verify(&[]).unwrap();
}

/// Events cut off the end of the ledger: the newest backup tells.
#[test]
fn a_backup_tells_of_a_cut_off_end() {
    let (folder, shop) = founded();
    let there = TempDir::new().unwrap();
    backups::set_folder(folder.path(), there.path()).unwrap();
    shop.back_up().unwrap();
    drop(shop);
    damage(folder.path(), "DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)");
    let shop = Workshop::open_to_read(folder.path(), Clock::Set(start()), "A look.").unwrap();
    let fault = shop.verify(&[]).unwrap_err().to_string();
    assert!(fault.contains("does not reach it"), "{fault}");
    // Every backup but the damaged one is passed over.
    let way = shop.way_back().unwrap();
    std::fs::write(way.path.join("ledger.db"), "broken").unwrap();
    assert!(shop.way_back().is_none());
}
