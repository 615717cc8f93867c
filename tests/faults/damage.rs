//! A damaged ledger: never a panic, never another content that verifies, never made worse.

use crate::bench::{
    LEAD, LEAD_PIN, act, add_corner, founding, lay_out_founded, pin, read_files, start, unlock,
};
use coldbench::{Clock, Workshop};
use coldbench_ledger::{Head, StoredEvent};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const FILE: &str = "ledger.db";

/// A small workshop, whole: its folder, the ledger's bytes and what they say.
struct Whole {
    folder: TempDir,
    bytes: Vec<u8>,
    events: Vec<StoredEvent>,
    head: Head,
}

fn whole() -> Whole {
    let folder = TempDir::new().unwrap();
    lay_out_founded(folder.path());
    let bytes = fs::read(folder.path().join(FILE)).unwrap();
    let (events, head) = content(folder.path()).unwrap();
    assert!(events.len() > 8);
    Whole { folder, bytes, events, head }
}

/// What the ledger says, if it opens and verifies; else the sentence.
fn content(folder: &Path) -> Result<(Vec<StoredEvent>, Head), String> {
    let said = |error: coldbench::ShellError| error.to_string();
    let shop = Workshop::open_to_read(folder, Clock::Set(start()), "A look.").map_err(said)?;
    shop.verify(&[]).map_err(said)?;
    let ledger = coldbench_ledger::Ledger::open(folder, coldbench_ledger::Access::Read);
    let ledger = ledger.map_err(|error| error.to_string())?;
    let events = ledger.events().map_err(|error| error.to_string())?;
    Ok((events, shop.head().unwrap().clone()))
}

impl Whole {
    /// Puts other bytes in the ledger's place.
    fn damage(&self, bytes: &[u8]) {
        for left in ["ledger.db-wal", "ledger.db-shm"] {
            let _ = fs::remove_file(self.folder.path().join(left));
        }
        fs::write(self.folder.path().join(FILE), bytes).unwrap();
    }

    /// Reading it, and opening it for work, gives the old content or a sentence, and leaves the
    /// file as it is. Whether it was found out.
    fn is_found_out(&self, bytes: &[u8], what: &str) -> bool {
        self.damage(bytes);
        let found_out = match content(self.folder.path()) {
            Ok((events, head)) => {
                assert!(events == self.events, "{what}: another content verifies");
                assert_eq!(head, self.head, "{what}: another head is shown");
                false
            }
            Err(words) => {
                assert!(words.ends_with('.') && words.len() > 20, "{what}: no sentence: {words}");
                true
            }
        };
        drop(Workshop::open(self.folder.path(), Clock::Set(start())));
        let after = fs::read(self.folder.path().join(FILE)).unwrap();
        assert!(after == bytes, "{what}: the damaged file was changed by opening it");
        found_out
    }
}

#[test]
fn a_cut_file_is_found_out() {
    let whole = whole();
    let length = whole.bytes.len();
    let around = [0, 1, 15, 16, 99, 100, 512, 4095, 4096, 4097];
    let lengths = around.into_iter().chain((1..24).map(|n| n * length / 24)).chain([length - 1]);
    for length in lengths {
        assert!(
            whole.is_found_out(&whole.bytes[..length], &format!("cut to {length}")),
            "{length}"
        );
    }
}

#[test]
fn what_is_no_ledger_is_said_to_be_none() {
    let whole = whole();
    let mut garbage_head = whole.bytes.clone();
    garbage_head[..100].fill(0x5a);
    let mut foreign = whole.bytes.clone();
    foreign[68..72].copy_from_slice(&[0; 4]);
    for (bytes, words) in [
        (garbage_head, "damaged or is no Coldbench ledger"),
        (b"Dear diary, this is no ledger. ".repeat(200), "damaged or is no Coldbench ledger"),
        (foreign, "damaged or is no Coldbench ledger"),
    ] {
        assert!(whole.is_found_out(&bytes, words));
        let said = content(whole.folder.path()).unwrap_err();
        assert!(said.contains(words), "{said}");
    }
}

/// A ledger of a newer Coldbench is not damaged: it is read, and nothing is written.
#[test]
fn a_newer_ledger_is_read_and_says_so() {
    let whole = whole();
    let mut newer = whole.bytes.clone();
    newer[60..64].copy_from_slice(&99u32.to_be_bytes());
    assert!(!whole.is_found_out(&newer, "a newer ledger"));
    let mut shop = Workshop::open(whole.folder.path(), Clock::Set(start())).unwrap();
    let word = shop.read_only().unwrap().to_owned();
    assert!(word.contains("newer Coldbench (schema 99"), "{word}");
    assert_eq!(shop.state().crew.len(), 2);
    let refused = shop.unlock(&coldbench_shop::PersonId::new(LEAD), &pin(LEAD_PIN)).unwrap_err();
    assert_eq!(refused.code(), "read-only");
}

/// Another program's database under our name: it is theirs, down to the last byte.
#[test]
fn a_foreign_database_is_left_alone() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(FILE);
    let foreign = rusqlite::Connection::open(&path).unwrap();
    foreign
        .execute_batch("CREATE TABLE fish (name TEXT); INSERT INTO fish VALUES ('roach')")
        .unwrap();
    drop(foreign);
    let before = fs::read(&path).unwrap();
    assert!(Workshop::open_to_read(folder.path(), Clock::Set(start()), "A look.").is_err());
    let error = Workshop::open(folder.path(), Clock::Set(start())).err().unwrap();
    assert_eq!(error.code(), "damaged", "{error}");
    assert!(fs::read(&path).unwrap() == before, "another program's database was changed");
}

#[test]
fn a_flipped_bit_never_makes_another_content() {
    let whole = whole();
    let stride = 41;
    let anywhere = (0..whole.bytes.len()).step_by(stride);
    // And where the installation's id and key are written.
    let origin = whole.head.origin.as_bytes();
    let named = (0..whole.bytes.len() - origin.len())
        .filter(|&at| whole.bytes[at..].starts_with(origin))
        .flat_map(|at| [at, at + origin.len() - 1, at + origin.len()]);
    let places: Vec<usize> = anywhere.chain(named).collect();
    let mut found_out = 0;
    for &at in &places {
        let mut bytes = whole.bytes.clone();
        bytes[at] ^= 1 << (at % 8);
        found_out += usize::from(whole.is_found_out(&bytes, &format!("bit {} of {at}", at % 8)));
    }
    // Pages are half empty; yet most of what is written must be vouched for.
    assert!(found_out * 10 > places.len(), "{found_out} of {} were found out", places.len());
}

/// Bytes of what was signed, changed where they stand: always found out.
#[test]
fn a_flip_in_what_was_signed_is_always_found_out() {
    let whole = whole();
    for words in
        ["Test loft", "Ines Probe", "Wiping alcohol", "399", "person\":\"P-1", "S-2", "+01:00"]
    {
        let at = whole.bytes.windows(words.len()).rposition(|w| w == words.as_bytes());
        let at = at.unwrap_or_else(|| panic!("{words} is not in the file"));
        let mut bytes = whole.bytes.clone();
        bytes[at] ^= 1;
        assert!(whole.is_found_out(&bytes, words), "{words} was changed and still holds");
    }
}

/// The key of the installation lost or swapped: readable, and says what to do.
#[test]
fn without_its_key_it_opens_for_reading() {
    let whole = whole();
    let key = whole.folder.path().join("installation.key");
    for swapped in
        [None, Some("nonsense"), Some(&*format!("{}\n{}\n", whole.head.origin, "00".repeat(32)))]
    {
        fs::remove_file(&key).unwrap();
        if let Some(text) = swapped {
            fs::write(&key, text).unwrap();
        }
        let shop = Workshop::open(whole.folder.path(), Clock::Set(start())).unwrap();
        let word = shop.read_only().unwrap();
        assert!(word.contains("installation.key") && word.contains("backup"), "{word}");
        assert_eq!(shop.head().unwrap(), &whole.head);
        fs::write(&key, "").unwrap();
    }
}

/// A damaged workshop folder is not an empty one: nothing is founded over it.
#[test]
fn nothing_is_founded_over_a_damaged_ledger() {
    let whole = whole();
    whole.damage(b"broken");
    let before = read_files(whole.folder.path());
    if let Ok(mut shop) = Workshop::open(whole.folder.path(), Clock::Set(start())) {
        assert!(shop.found(founding("New", "New"), &pin(LEAD_PIN)).is_err());
    }
    assert!(coldbench::demo::make(whole.folder.path()).is_err());
    let ledger = |files: Vec<(std::path::PathBuf, Vec<u8>)>| -> Vec<Vec<u8>> {
        let name = |path: &Path| path.to_string_lossy().into_owned();
        let kept = |path: &Path| ["ledger.db", "installation.key"].contains(&&*name(path));
        files.into_iter().filter(|(path, _)| kept(path)).map(|(_, bytes)| bytes).collect()
    };
    assert!(ledger(read_files(whole.folder.path())) == ledger(before));
    // Brought back from a backup, it works on.
    whole.damage(&whole.bytes);
    let mut shop = Workshop::open(whole.folder.path(), Clock::Set(start())).unwrap();
    unlock(&mut shop, LEAD, LEAD_PIN);
    *shop.clock_mut() = Clock::Set(start() + chrono::TimeDelta::hours(2));
    act(&mut shop, add_corner("Rack"));
    shop.verify(&[]).unwrap();
}
