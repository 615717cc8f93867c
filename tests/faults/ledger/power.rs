//! Power cut at any moment: from all that a program asked of its disk, the disks are computed that
//! a cut could leave, and the ledger is opened on each.
//!
//! The disk in mind promises little. What a file was told to sync is there; of what came since,
//! each write may be there, be missing, or be torn at its sectors of 512 bytes, in any order, and
//! a size may have changed without its bytes. Which names a folder holds is certain once the
//! folder was synced; of the changes since, each may be there or not. One promise of real disks is
//! relied on, as SQLite does: writing a sector does not harm the bytes beside those written.

use crate::system::{Call, Chance, memory_folder, order, read_record};
use crate::victim::{append, copy_ledger, enrol, old_ledger, verified, victim_under_faults};
use coldbench_ledger::{Access, Ledger, StoredEvent};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::fs::File as OpenFile;
use std::path::Path;

const SECTOR: usize = 512;
const FOLDER: &str = "COLDBENCH_TEST_POWER_FOLDER";

/// The one whose power is cut: it founds a ledger, enrols somebody, and appends for long enough
/// that the write-ahead log is carried over into the database several times.
#[test]
#[ignore = "started by the tests beside it, with the library in front of libc"]
fn victim() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let acknowledge = |ledger: &Ledger| {
        order(&format!("say/acknowledged {}", ledger.head().events));
    };
    let mut ledger = Ledger::create(folder).unwrap();
    acknowledge(&ledger);
    let ines = enrol(&mut ledger, "Ines");
    acknowledge(&ledger);
    let mut chance = Chance(0x001e_46e5);
    for number in 1..=620 {
        let mut events = vec![(number, chance.below(500))];
        if number % 5 == 0 {
            // Over the edge of a page, and over several.
            events[0].1 = 3_000 + chance.below(14_000);
        }
        if number % 14 == 0 {
            // All or none.
            events.extend([(10_000 + number, 700), (20_000 + number, 5_000)]);
        }
        append(&mut ledger, &events, (number % 2 == 0).then_some(&ines)).unwrap();
        acknowledge(&ledger);
        if number == 60 {
            order("say/closing");
            drop(ledger);
            ledger = Ledger::open(folder, Access::Write).unwrap();
            acknowledge(&ledger);
        }
    }
}

/// The same with a ledger of the first schema, which opening brings up to today's.
#[test]
#[ignore = "started by the tests beside it, with the library in front of libc"]
fn victim_with_an_old_ledger() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    copy_ledger(&old_ledger(), folder);
    let sync = |path: &Path| OpenFile::open(path).unwrap().sync_all().unwrap();
    for file in std::fs::read_dir(folder).unwrap() {
        sync(&file.unwrap().path());
    }
    sync(folder);
    // How many events there are, without any trace on this disk.
    let copy = memory_folder();
    copy_ledger(&old_ledger(), copy.path());
    let count = Ledger::open(copy.path(), Access::Write).unwrap().head().events;
    order(&format!("say/acknowledged {count}"));
    let mut ledger = Ledger::open(folder, Access::Write).unwrap();
    order(&format!("say/acknowledged {count}"));
    for number in 1..=10 {
        append(&mut ledger, &[(number, 3_000)], None).unwrap();
        order(&format!("say/acknowledged {}", ledger.head().events));
    }
}

/// What a program asked of its disk, and what it stored at the end.
struct Asked {
    calls: Vec<Call>,
    stored: Vec<StoredEvent>,
}

fn ask(test: &str, swallow_syncs: bool) -> Asked {
    let place = memory_folder();
    let (folder, record) = (place.path().join("ledger"), place.path().join("record"));
    std::fs::create_dir(&folder).unwrap();
    let mut victim = victim_under_faults(test, &folder);
    victim.env("FAULTS_RECORD", &record).env(FOLDER, &folder);
    if swallow_syncs {
        victim.env("FAULTS_NO_SYNC", "1");
    }
    let output = victim.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let calls = read_record(&record, &folder);
    let syncs = calls.iter().filter(|call| matches!(call, Call::Sync { .. })).count();
    assert_eq!(syncs == 0, swallow_syncs, "{syncs} syncs were recorded");
    let ledger = Ledger::open(&folder, Access::Write).unwrap();
    Asked { calls, stored: verified(&ledger).unwrap() }
}

enum Change<'a> {
    Write { offset: usize, bytes: &'a [u8] },
    Resize { size: usize, only_grows: bool },
}

/// A file, whatever its name: what is certain of it, and what was asked since.
#[derive(Default)]
struct File<'a> {
    certain: Vec<u8>,
    since: Vec<Change<'a>>,
}

#[derive(Clone, Copy)]
enum Open {
    Folder,
    File(usize),
    /// SQLite's `-shm`: made anew after a crash.
    Shared,
}

type Names<'a> = BTreeMap<&'a str, usize>;

#[derive(Default)]
struct Disk<'a> {
    files: Vec<File<'a>>,
    /// As the program sees them.
    names: Names<'a>,
    certain_names: Names<'a>,
    /// What became of names since the folder was synced; those of one entry go together.
    names_since: Vec<Vec<(&'a str, Option<usize>)>>,
    open: HashMap<i64, Open>,
}

impl<'a> Disk<'a> {
    fn rename(&mut self, changes: Vec<(&'a str, Option<usize>)>) {
        set_names(&mut self.names, &changes);
        self.names_since.push(changes);
    }

    fn change(&mut self, file: i64, change: Change<'a>) {
        if let Open::File(file) = self.open[&file] {
            self.files[file].since.push(change);
        }
    }

    fn run(&mut self, call: &'a Call) {
        match call {
            Call::Open { file, path, creates, truncates } => {
                let opened = if path.is_empty() {
                    Open::Folder
                } else if path.ends_with("-shm") {
                    Open::Shared
                } else if let Some(&known) = self.names.get(path.as_str()) {
                    Open::File(known)
                } else {
                    assert!(creates, "{path} was there before the record began");
                    self.files.push(File::default());
                    self.rename(vec![(path, Some(self.files.len() - 1))]);
                    Open::File(self.files.len() - 1)
                };
                self.open.insert(*file, opened);
                if *truncates {
                    self.change(*file, Change::Resize { size: 0, only_grows: false });
                }
            }
            Call::Close { file } => drop(self.open.remove(file)),
            Call::Write { file, offset, bytes } => {
                self.change(*file, Change::Write { offset: *offset, bytes });
            }
            Call::Resize { file, size, only_grows } => {
                self.change(*file, Change::Resize { size: *size, only_grows: *only_grows });
            }
            Call::Sync { file } => match self.open[file] {
                Open::Folder => {
                    self.names_since.clear();
                    self.certain_names.clone_from(&self.names);
                }
                Open::File(file) => {
                    let File { certain, since } = &mut self.files[file];
                    for change in since.drain(..) {
                        let fate = fate_of(&change, true);
                        bring_about(certain, &change, &fate);
                    }
                }
                Open::Shared => {}
            },
            Call::Rename { from, to } => {
                let file = self.names[from.as_str()];
                self.rename(vec![(from, None), (to, Some(file))]);
            }
            Call::Unlink { path } if path.ends_with("-shm") => {}
            Call::Unlink { path } => self.rename(vec![(path, None)]),
            Call::Said(_) => {}
        }
    }

    /// One disk that a power cut could leave now; `None` if `seen` has it already.
    fn cut(
        &self,
        manner: Manner,
        chance: &mut Chance,
        seen: &mut HashSet<Fates>,
    ) -> Option<BTreeMap<&'a str, Vec<u8>>> {
        let count = self.names_since.len();
        let kept = match manner {
            Manner::AllLost => vec![false; count],
            Manner::AllKept => vec![true; count],
            Manner::Drawn => draw(count, chance),
        };
        let mut names = self.certain_names.clone();
        for (changes, kept) in self.names_since.iter().zip(kept) {
            if kept {
                set_names(&mut names, changes);
            }
        }
        let mut fates = Vec::new();
        let mut left = BTreeMap::new();
        for (&name, &number) in &names {
            let File { certain, since } = &self.files[number];
            let drawn: Vec<Fate> = match manner {
                Manner::AllLost => since.iter().map(|change| fate_of(change, false)).collect(),
                Manner::AllKept => since.iter().map(|change| fate_of(change, true)).collect(),
                Manner::Drawn => draw_fates(since, chance),
            };
            let mut bytes = certain.clone();
            for (change, fate) in since.iter().zip(&drawn) {
                bring_about(&mut bytes, change, fate);
            }
            left.insert(name, bytes);
            fates.push((number, drawn));
        }
        let names = names.into_iter().map(|(name, file)| (name.to_owned(), file)).collect();
        seen.insert(Fates { names, fates }).then_some(left)
    }
}

fn set_names<'a>(names: &mut Names<'a>, changes: &[(&'a str, Option<usize>)]) {
    for &(name, file) in changes {
        match file {
            Some(file) => names.insert(name, file),
            None => names.remove(name),
        };
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Manner {
    AllLost,
    AllKept,
    Drawn,
}

/// What becomes of one change: whether the size is there, and which sectors are.
#[derive(PartialEq, Eq, Hash)]
struct Fate {
    size: bool,
    sectors: Vec<bool>,
}

#[derive(PartialEq, Eq, Hash)]
struct Fates {
    names: Vec<(String, usize)>,
    fates: Vec<(usize, Vec<Fate>)>,
}

/// Where the sectors of a write begin and end, counted in its bytes.
fn sectors(offset: usize, length: usize) -> impl Iterator<Item = (usize, usize)> {
    let sectors = offset / SECTOR..(offset + length).div_ceil(SECTOR);
    sectors.map(move |sector| {
        let (begin, end) = (sector * SECTOR, (sector + 1) * SECTOR);
        (begin.max(offset) - offset, end.min(offset + length) - offset)
    })
}

fn fate_of(change: &Change<'_>, kept: bool) -> Fate {
    let count = match change {
        Change::Write { offset, bytes } => sectors(*offset, bytes.len()).count(),
        Change::Resize { .. } => 0,
    };
    Fate { size: kept, sectors: vec![kept; count] }
}

fn bring_about(file: &mut Vec<u8>, change: &Change<'_>, fate: &Fate) {
    match change {
        Change::Resize { size, only_grows } => {
            if fate.size && !(*only_grows && file.len() >= *size) {
                file.resize(*size, 0);
            }
        }
        Change::Write { offset, bytes } => {
            if fate.size && file.len() < offset + bytes.len() {
                file.resize(offset + bytes.len(), 0);
            }
            for ((begin, end), kept) in sectors(*offset, bytes.len()).zip(&fate.sectors) {
                // What lies past the end of a file is not in it.
                let (from, to) = (offset + begin, (offset + end).min(file.len()));
                if *kept && from < to {
                    file[from..to].copy_from_slice(&bytes[begin..begin + to - from]);
                }
            }
        }
    }
}

/// Which of so many changes are there: the first ones, each by chance, or all but one.
fn draw(count: usize, chance: &mut Chance) -> Vec<bool> {
    let most = count + 1;
    match chance.below(4) {
        0 => {
            let first = chance.below(most);
            (0..count).map(|number| number < first).collect()
        }
        1 => {
            let one = chance.below(most);
            (0..count).map(|number| number != one).collect()
        }
        _ => {
            let share = [10, 50, 90][chance.below(3)];
            (0..count).map(|_| chance.in_hundred(share)).collect()
        }
    }
}

fn draw_fates(changes: &[Change<'_>], chance: &mut Chance) -> Vec<Fate> {
    match chance.below(8) {
        0 => return changes.iter().map(|change| fate_of(change, false)).collect(),
        1 => return changes.iter().map(|change| fate_of(change, true)).collect(),
        _ => {}
    }
    let torn = chance.in_hundred(60);
    let kept = draw(changes.len(), chance);
    let fate = |(change, kept): (&Change<'_>, bool)| {
        let mut fate = fate_of(change, kept);
        if torn && chance.in_hundred(50) {
            fate.size = kept || chance.in_hundred(50);
            for sector in &mut fate.sectors {
                *sector = chance.in_hundred(50);
            }
        }
        fate
    };
    changes.iter().zip(kept).map(fate).collect()
}

/// What does not hold after a power cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Harm {
    NoLedger,
    DoesNotOpen,
    Lost,
    Damaged,
    CannotGoOn,
}

/// What the program had said when the power went.
#[derive(Clone, Copy)]
struct Said {
    /// How many events it had acknowledged; `None` while it made the ledger.
    acknowledged: Option<usize>,
    /// How many there are once the append in flight is done.
    next: usize,
}

/// Opens the ledger on a disk as it was left.
fn look(
    left: &BTreeMap<&str, Vec<u8>>,
    said: Said,
    stored: &[StoredEvent],
    thorough: bool,
) -> Result<(), (Harm, String)> {
    let folder = memory_folder();
    for (name, bytes) in left {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    if !Ledger::exists(folder.path()) {
        return match said.acknowledged {
            Some(_) => Err((Harm::NoLedger, "the ledger is gone".to_owned())),
            // Broken off while it was made: it can be made again.
            None => Ledger::create(folder.path())
                .map(|ledger| assert_eq!(ledger.head().events, 0))
                .map_err(|error| (Harm::CannotGoOn, error.to_string())),
        };
    }
    let mut ledger = Ledger::open(folder.path(), Access::Write)
        .map_err(|error| (Harm::DoesNotOpen, format!("{error} {error:?}")))?;
    let events = ledger.events().map_err(|error| (Harm::Damaged, error.to_string()))?;
    let acknowledged = said.acknowledged.unwrap_or(0);
    if events.len() < acknowledged {
        let what = format!("{acknowledged} were acknowledged, {} are there", events.len());
        return Err((Harm::Lost, what));
    }
    if events.len() != acknowledged && events.len() != said.next {
        let what = format!("{} are there of {acknowledged}, then {}", events.len(), said.next);
        return Err((Harm::Damaged, what));
    }
    // Each field of each event: what they were compared with was verified as a whole.
    if events[..] != stored[..events.len()] {
        return Err((Harm::Damaged, "an event is not what was stored".to_owned()));
    }
    ledger.check_file().map_err(|error| (Harm::Damaged, format!("{error} {error:?}")))?;
    append(&mut ledger, &[(99_999, 50)], None)
        .map_err(|error| (Harm::CannotGoOn, error.to_string()))?;
    if thorough {
        let after = verified(&ledger).map_err(|error| (Harm::Damaged, error))?;
        assert_eq!(after.len(), events.len() + 1);
    }
    Ok(())
}

#[derive(Debug, Default)]
struct Tally {
    states: usize,
    points: usize,
    before_there_was_a_ledger: usize,
    thorough: usize,
    harms: BTreeMap<Harm, (usize, String)>,
}

/// Cuts the power at the given calls, several ways each.
fn cut_power(asked: &Asked, points: &[usize], draws: usize, seed: u64) -> Tally {
    let acknowledged = |call: &Call| match call {
        Call::Said(words) => words.strip_prefix("acknowledged ")?.parse().ok(),
        _ => None,
    };
    let mut to_come: Vec<usize> = asked.calls.iter().filter_map(acknowledged).rev().collect();
    let mut said = Said { acknowledged: None, next: 0 };
    let (mut disk, mut tally) = (Disk::default(), Tally::default());
    let mut points = points.iter().copied().peekable();
    for (number, call) in asked.calls.iter().enumerate() {
        disk.run(call);
        if let Some(count) = acknowledged(call) {
            to_come.pop();
            said = Said { acknowledged: Some(count), next: *to_come.last().unwrap_or(&count) };
        }
        if points.next_if_eq(&number).is_none() {
            continue;
        }
        tally.points += 1;
        let mut chance = Chance(seed ^ (number as u64) << 20);
        let mut seen = HashSet::new();
        let manners = [Manner::AllLost, Manner::AllKept];
        for manner in manners.into_iter().chain((0..draws).map(|_| Manner::Drawn)) {
            let Some(left) = disk.cut(manner, &mut chance, &mut seen) else { continue };
            let thorough = tally.states % 50 == 0;
            tally.states += 1;
            tally.thorough += usize::from(thorough);
            tally.before_there_was_a_ledger += usize::from(said.acknowledged.is_none());
            if let Err((harm, what)) = look(&left, said, &asked.stored, thorough) {
                let what = format!("after call {number}, {call:.200?}: {what}");
                tally.harms.entry(harm).or_insert((0, what)).0 += 1;
            }
        }
    }
    assert!(to_come.is_empty(), "it did not acknowledge all");
    tally
}

/// Where the power is cut: at each call until there is a ledger and where names are in doubt, at
/// many by which the log is carried over into the database, at some of the others. Shares are in
/// a hundred. Says too how often the log was carried over, closing aside.
fn points(calls: &[Call], carrying_share: usize, share: usize) -> (Vec<usize>, usize) {
    let (mut disk, mut chance) = (Disk::default(), Chance(0xc01d));
    let (mut points, mut carried_over, mut made, mut closing) = (Vec::new(), 0, false, false);
    let carrying = |disk: &Disk<'_>| {
        let database = disk.names.get("ledger.db");
        database.is_some_and(|&file| !disk.files[file].since.is_empty())
    };
    for (number, call) in calls.iter().enumerate() {
        let before = carrying(&disk);
        disk.run(call);
        if let Call::Said(words) = call {
            made = true;
            closing = words == "closing";
        }
        carried_over += usize::from(made && !closing && before && !carrying(&disk));
        let all = !made || !disk.names_since.is_empty();
        let share = if carrying(&disk) { carrying_share } else { share };
        if all || chance.in_hundred(share) {
            points.push(number);
        }
    }
    (points, carried_over)
}

/// Both halves of the points at once, each on a core.
fn cut_power_everywhere(asked: &Asked, points: &[usize], draws: usize, seed: u64) -> Tally {
    println!("seed {seed:#x}");
    let half = |odd| points.iter().copied().skip(odd).step_by(2).collect::<Vec<_>>();
    let (even, odd) = (half(0), half(1));
    let (mut tally, other) = std::thread::scope(|scope| {
        let other = scope.spawn(|| cut_power(asked, &odd, draws, seed));
        (cut_power(asked, &even, draws, seed), other.join().unwrap())
    });
    tally.states += other.states;
    tally.points += other.points;
    tally.before_there_was_a_ledger += other.before_there_was_a_ledger;
    tally.thorough += other.thorough;
    for (harm, (count, what)) in other.harms {
        tally.harms.entry(harm).or_insert((0, what)).0 += count;
    }
    println!("{tally:#?}");
    tally
}

#[test]
fn a_power_cut_loses_nothing_that_was_acknowledged() {
    let asked = ask("power::victim", false);
    let (points, carried_over) = points(&asked.calls, 24, 8);
    println!(
        "{} calls, {} events, carried over {carried_over} times",
        asked.calls.len(),
        asked.stored.len()
    );
    assert!(carried_over >= 2, "the log was carried over {carried_over} times");
    let tally = cut_power_everywhere(&asked, &points, 7, 0x0ba1_ad0c);
    assert!(tally.harms.is_empty(), "{:#?}", tally.harms);
    assert!(tally.states >= 2_000, "{} states are too few", tally.states);
    assert!(tally.before_there_was_a_ledger >= 100 && tally.thorough >= 40);
}

#[test]
fn a_power_cut_while_an_old_ledger_is_brought_up_loses_nothing() {
    let asked = ask("power::victim_with_an_old_ledger", false);
    let there = |call: &Call| matches!(call, Call::Said(_));
    let first = asked.calls.iter().position(there).unwrap();
    let points: Vec<usize> = (first..asked.calls.len()).collect();
    let tally = cut_power_everywhere(&asked, &points, 7, 0x000b_0b0e);
    assert!(tally.harms.is_empty(), "{:#?}", tally.harms);
    assert!(tally.states >= 200, "{} states are too few", tally.states);
}

/// The control: the same program on a system that swallows its syncs. If nothing were found here,
/// the test above would show nothing.
#[test]
fn without_syncs_a_power_cut_does_harm() {
    let asked = ask("power::victim", true);
    let (mut points, _) = points(&asked.calls, 100, 100);
    // Without syncs all are in doubt.
    points.retain(|point| *point < 60 || point % 25 == 0);
    let tally = cut_power_everywhere(&asked, &points, 3, 0x00dd_ba11);
    for harm in [Harm::NoLedger, Harm::DoesNotOpen, Harm::Lost, Harm::Damaged] {
        assert!(tally.harms.contains_key(&harm), "no {harm:?} was found");
    }
}
