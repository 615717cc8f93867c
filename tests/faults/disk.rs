//! Disks that are really full or read-only: small ones of their own, in memory.

use crate::bench::{
    LEAD, LEAD_PIN, ROD, SLEEVE, act, add_corner, at_heat_step, lay_out_founded, lay_out_heat,
    place, start, unlock,
};
use crate::kill::{Victim, look_over};
use coldbench::views::PaperWord;
use coldbench::{Clock, Record, Workshop};
use coldbench_shop::{Command, RodId, State};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command as Program, Output};
use std::time::Duration;
use tempfile::TempDir;

/// A disk in memory, taken away again when the value goes.
struct Disk {
    place: TempDir,
}

impl Disk {
    /// `None`, with a word, where this machine lets nobody mount.
    fn new(size: &str) -> Option<Self> {
        let place = TempDir::new().unwrap();
        let options = format!("size={size}");
        let mounted = Program::new("mount")
            .args(["-t", "tmpfs", "-o", &options, "tmpfs"])
            .arg(place.path())
            .output();
        match mounted {
            Ok(output) if output.status.success() => Some(Self { place }),
            other => {
                eprintln!("SKIPPED, no disk may be mounted here: {other:?}");
                None
            }
        }
    }

    fn path(&self) -> &Path {
        self.place.path()
    }

    fn filler(&self) -> PathBuf {
        self.path().join("filler")
    }

    /// Writes until nothing more goes in.
    fn fill(&self) {
        let mut file = fs::File::options().create(true).append(true).open(self.filler()).unwrap();
        for piece in [vec![0x46u8; 4096], vec![0x46]] {
            while file.write_all(&piece).is_ok() {}
        }
    }

    fn make_room(&self) {
        fs::remove_file(self.filler()).unwrap();
    }

    fn make_read_only(&self) {
        let output =
            Program::new("mount").args(["-o", "remount,ro"]).arg(self.path()).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Program::new("umount").arg("-l").arg(self.path()).status();
    }
}

fn coldbench(arguments: &[&str]) -> Output {
    Program::new(env!("CARGO_BIN_EXE_coldbench")).args(arguments).output().unwrap()
}

fn rack(number: u64) -> Command {
    // Long enough to fill a page soon.
    add_corner(&format!("Rack {number} {}", "x".repeat(150)))
}

#[test]
fn a_full_disk_is_named_and_nothing_signed_is_lost() {
    let Some(disk) = Disk::new("2m") else { return };
    let folder = disk.path().join("shop");
    lay_out_founded(&folder);
    let mut shop = Workshop::open(&folder, Clock::Set(start())).unwrap();
    let latest = shop.state().latest.unwrap();
    *shop.clock_mut() = Clock::Set(latest);
    unlock(&mut shop, LEAD, LEAD_PIN);
    act(&mut shop, rack(0));
    disk.fill();
    let mut number = 0;
    let (command, error) = loop {
        number += 1;
        let (state, events) = (shop.state().clone(), shop.events());
        if let Err(error) = shop.act(rack(number)) {
            assert_eq!(shop.events(), events);
            assert!(*shop.state() == state, "a failed command changed the state");
            break (rack(number), error);
        }
        assert!(number < 10_000, "the disk does not get full");
    };
    assert_eq!(error.code(), "disk-full", "{error}");
    let words = error.to_string();
    assert!(words.contains("The disk is full") && words.contains("Make room"), "{words}");
    // The key stays unlocked, and asking again changes nothing.
    assert_eq!(shop.act(command.clone()).unwrap_err().code(), "disk-full");
    let (state, events) = (shop.state().clone(), shop.events());
    shop.verify(&[]).unwrap();
    let outside = Workshop::open_to_read(&folder, Clock::Set(start()), "A look.").unwrap();
    assert!(*outside.state() == state && outside.events() == events);
    drop(outside);
    disk.make_room();
    shop.act(command).unwrap();
    assert_eq!(shop.events(), events + 1);
    let state = shop.state().clone();
    drop(shop);
    let shop = Workshop::open(&folder, Clock::Set(start())).unwrap();
    assert!(*shop.state() == state);
    shop.verify(&[]).unwrap();
}

#[test]
fn on_a_full_disk_it_opens_and_can_be_read() {
    let Some(disk) = Disk::new("2m") else { return };
    let folder = disk.path().join("shop");
    lay_out_heat(&folder);
    disk.fill();
    let said = coldbench(&["rods", "--workshop", folder.to_str().unwrap()]);
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    assert!(String::from_utf8_lossy(&said.stdout).starts_with("R-1\t"));
    let shop = Workshop::open(&folder, Clock::Set(start()))
        .unwrap_or_else(|error| panic!("it does not open: {error}"));
    assert!(shop.state().rods.contains_key(&RodId::new(ROD)));
    if let Some(word) = shop.read_only() {
        assert!(word.contains("full"), "{word}");
    }
    shop.verify(&[]).unwrap();
    drop(shop);
    disk.make_room();
    let shop = Workshop::open(&folder, Clock::Set(start())).unwrap();
    assert_eq!(shop.read_only(), None);
}

fn assert_readable(folder: &Path) -> State {
    let mut shop = Workshop::open(folder, Clock::Set(start()))
        .unwrap_or_else(|error| panic!("it does not open: {error}"));
    let word = shop.read_only().expect("it opened for writing").to_owned();
    assert!(word.contains("read-only"), "{word}");
    assert_eq!(shop.act(add_corner("Rack")).unwrap_err().code(), "read-only");
    shop.look_around().unwrap();
    shop.verify(&[]).unwrap();
    let rods: Vec<RodId> = shop.state().rods.keys().cloned().collect();
    for rod in &rods {
        let pdf = Record::take(&shop, rod, PaperWord::A4).unwrap().draw().unwrap();
        assert!(pdf.starts_with(b"%PDF"));
    }
    let listed = coldbench(&["rods", "--workshop", folder.to_str().unwrap()]);
    let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
    assert_eq!(listed.lines().count(), rods.len(), "{listed}");
    shop.state().clone()
}

#[test]
fn a_read_only_disk_is_read_and_said_to_be_so() {
    let Some(disk) = Disk::new("4m") else { return };
    let folder = disk.path().join("shop");
    lay_out_heat(&folder);
    disk.make_read_only();
    let state = assert_readable(&folder);
    let run = &state.rods[&RodId::new(ROD)];
    assert!(run.stage(&place(ROD, SLEEVE, "").stage).is_some());
}

/// A reader leaves an empty log beside the ledger; it must not shut the next one out.
#[test]
fn a_read_only_disk_is_read_after_a_reader_was_there() {
    let Some(disk) = Disk::new("4m") else { return };
    let folder = disk.path().join("shop");
    lay_out_heat(&folder);
    assert!(coldbench(&["rods", "--workshop", folder.to_str().unwrap()]).status.success());
    // As a copy on another disk has it: the shared-memory file means nothing there.
    let _ = fs::remove_file(folder.join("ledger.db-shm"));
    disk.make_read_only();
    assert_readable(&folder);
}

/// Killed, and then the disk turns read-only: what waits in the write-ahead log is read too.
#[test]
fn a_read_only_disk_is_read_after_a_kill() {
    let Some(disk) = Disk::new("16m") else { return };
    let folder = disk.path().join("shop");
    lay_out_founded(&folder);
    let mut victim = Victim::start("kill::victim_that_works", &folder);
    for _ in 0..40 {
        victim.wait_for("ok ");
    }
    let said = victim.kill_after(Duration::ZERO);
    disk.make_read_only();
    let state = assert_readable(&folder);
    let output =
        Program::new("mount").args(["-o", "remount,rw"]).arg(disk.path()).output().unwrap();
    assert!(output.status.success());
    let after = look_over(&folder, &said, &state);
    assert!(after == state);
}

#[test]
fn a_record_is_saved_whole_or_not_at_all() {
    let Some(disk) = Disk::new("64k") else { return };
    let (folder, shop) = at_heat_step();
    drop(shop);
    let pdf = disk.path().join("r1.pdf");
    fs::write(disk.path().join("filler"), vec![0x46; 30_000]).unwrap();
    let shop = folder.path().to_str().unwrap();
    let output = coldbench(&["record", ROD, "--workshop", shop, "-o", pdf.to_str().unwrap()]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "the record fitted after all: {said}");
    assert!(said.contains("full") && said.contains("r1.pdf"), "{said}");
    let left: Vec<_> = fs::read_dir(disk.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["filler"], "half a file was left");
    // A demo that does not fit leaves nothing either.
    let demo = disk.path().join("demo");
    let output = coldbench(&["demo", demo.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("full"), "{said}");
    let left: Vec<_> = fs::read_dir(disk.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["filler"], "half a demo was left");
}
