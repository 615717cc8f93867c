//! Ledgers as older programs wrote them: kept, one of each schema, in `kept/schema-N`. Each opens
//! for reading as it is, and becomes one of today's when it is written to, all at once or not.

use crate::system::memory_folder;
use coldbench_ledger::{
    Access, Enrolment, Entry, Extract, Form, Head, KeyChange, Ledger, LedgerError, NewEvent, Pin,
    StorageFault, backup,
};
use rusqlite::{Connection, OpenFlags};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// What each kept ledger holds: written down when it was kept.
struct Kept {
    schema: i64,
    events: u64,
    head: &'static str,
    /// Who has a key, with its PIN; the first may enrol.
    people: &'static [(&'static str, &'static str)],
    /// So many of its events are of form 1.
    of_form_one: u64,
}

/// Whoever raises the schema adds a line here.
const KEPT: [Kept; 1] = [Kept {
    schema: 1,
    events: 179,
    head: "b8d6cef1623ab7068ae273954d5f70797af71ec23caca7c160b31b27111075da",
    people: &[("P-1", "2468"), ("P-2", "1357")],
    of_form_one: 179,
}];

impl Kept {
    fn folder(&self) -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join(format!("../../tests/faults/ledger/kept/schema-{}", self.schema))
    }

    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.folder().join(name)).unwrap()
    }

    fn copy(&self) -> TempDir {
        let folder = memory_folder();
        self.copy_into(folder.path());
        folder
    }

    fn copy_into(&self, folder: &Path) {
        for name in ["ledger.db", "installation.key"] {
            std::fs::write(folder.join(name), self.bytes(name)).unwrap();
        }
    }

    /// Reads and verifies it whole, as it was kept.
    fn verify(&self, folder: &Path) -> Head {
        let ledger = Ledger::open(folder, Access::Read).unwrap();
        ledger.check_file().unwrap();
        let head = ledger.head().clone();
        assert_eq!((head.events, hex::encode(head.digest).as_str()), (self.events, self.head));
        let report = ledger.verify(std::slice::from_ref(&head)).unwrap();
        assert_eq!(report.heads, std::slice::from_ref(&head));
        head
    }
}

/// The schema a file has, read past the ledger.
fn schema_of(folder: &Path) -> i64 {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY;
    let raw = Connection::open_with_flags(folder.join("ledger.db"), flags).unwrap();
    raw.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap()
}

/// What a file is made of: tables, columns, triggers.
fn made_of(folder: &Path) -> BTreeMap<String, Vec<String>> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY;
    let raw = Connection::open_with_flags(folder.join("ledger.db"), flags).unwrap();
    let list = |sql: &str| -> Vec<String> {
        let mut query = raw.prepare(sql).unwrap();
        query.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
    };
    let tables = list("SELECT name FROM sqlite_schema WHERE type = 'table'");
    let mut made: BTreeMap<_, _> = tables
        .into_iter()
        .map(|table| {
            let columns = list(&format!(
                "SELECT name || ' ' || type || ' ' || pk FROM pragma_table_info('{table}')"
            ));
            (table, columns)
        })
        .collect();
    let triggers = list("SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name");
    made.insert("its triggers".to_owned(), triggers);
    made
}

fn today() -> (i64, BTreeMap<String, Vec<String>>) {
    let folder = memory_folder();
    drop(Ledger::create(folder.path()).unwrap());
    (schema_of(folder.path()), made_of(folder.path()))
}

fn event(kind: &str) -> NewEvent {
    NewEvent {
        at: chrono::DateTime::parse_from_rfc3339("2026-11-26T08:15:00+01:00").unwrap(),
        station: "S-1".to_owned(),
        kind: kind.to_owned(),
        subject: "R-9".to_owned(),
        body: serde_json::json!({ "after": "migration" }),
    }
}

fn pin(text: &str) -> Pin {
    Pin::new(text.to_owned())
}

#[test]
fn a_ledger_of_every_older_schema_is_kept() {
    let (schema, _) = today();
    assert!(schema > 1);
    for number in 1..schema {
        let kept = KEPT.iter().find(|kept| kept.schema == number);
        let kept = kept.filter(|kept| kept.folder().join("ledger.db").is_file());
        let Some(kept) = kept else {
            panic!(
                "Schema {schema} is new, and no ledger of schema {number} is kept. Before the \
                 schema is raised, let the program make a demo workshop, close it so that no \
                 ledger.db-wal is left, copy its ledger.db and installation.key to \
                 tests/faults/ledger/kept/schema-{number}/, and add a line with its head to KEPT."
            )
        };
        let folder = kept.copy();
        assert_eq!(schema_of(folder.path()), number, "{}", kept.folder().display());
        let left: Vec<_> = std::fs::read_dir(kept.folder()).unwrap().collect();
        assert_eq!(left.len(), 2, "only the file and its key are kept: {left:?}");
    }
    assert_eq!(KEPT.len(), usize::try_from(schema - 1).unwrap());
}

#[test]
fn an_older_ledger_is_read_as_it_is() {
    for kept in &KEPT {
        let folder = kept.copy();
        kept.verify(folder.path());
        let ledger = Ledger::open(folder.path(), Access::Read).unwrap();
        assert!(!ledger.is_newer());
        let events = ledger.events().unwrap();
        let of_form_one = events.iter().filter(|event| event.form == Form::One).count() as u64;
        assert_eq!(of_form_one, kept.of_form_one);
        drop(ledger);
        for name in ["ledger.db", "installation.key"] {
            let now = std::fs::read(folder.path().join(name)).unwrap();
            assert!(now == kept.bytes(name), "{name} was written to");
        }
        assert_eq!(schema_of(folder.path()), kept.schema);
    }
}

const FOLDER: &str = "COLDBENCH_TEST_MIGRATE_FOLDER";

fn child(test: &str, program: &Path, folder: &Path) -> Command {
    let mut command = Command::new(program);
    command
        .args(["--exact", test, "--ignored", "--nocapture", "--test-threads", "1"])
        .env(FOLDER, folder)
        .env("RUST_BACKTRACE", "0");
    command
}

/// In a folder that can't be written: reading goes, writing says why it doesn't.
#[test]
#[ignore = "started by the test beside it, as somebody who may not write there"]
fn reader() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    for kept in &KEPT {
        let place = folder.join(kept.schema.to_string());
        // What this is about: nothing can be written here.
        for name in ["new", "ledger.db-wal", "ledger.db-shm"] {
            let error = std::fs::write(place.join(name), "x").unwrap_err();
            assert_eq!(error.kind(), std::io::ErrorKind::PermissionDenied);
        }
        let file = std::fs::OpenOptions::new().write(true).open(place.join("ledger.db"));
        assert_eq!(file.unwrap_err().kind(), std::io::ErrorKind::PermissionDenied);
        kept.verify(&place);
        let ledger = Ledger::open(&place, Access::Read).unwrap();
        let extract = ledger.extract("R-1", serde_json::Value::Null, |_| false).unwrap();
        extract.verify().unwrap();
        let error = Ledger::open(&place, Access::Write).err().unwrap();
        assert_eq!(error.fault(), Some(StorageFault::ReadOnly), "{error}");
    }
    println!("all {} were read", KEPT.len());
}

#[cfg(unix)]
#[test]
fn an_older_ledger_is_read_where_nothing_can_be_written() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    use std::os::unix::process::CommandExt as _;
    let mode = |path: &Path, mode| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    let folder = TempDir::new().unwrap();
    // The superuser may write anywhere. So the reader is nobody, and has to reach the program.
    let program = folder.path().join("reader");
    std::fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
    mode(&program, 0o555);
    let superuser = std::fs::metadata(folder.path()).unwrap().uid() == 0;
    let mut places = Vec::new();
    for kept in &KEPT {
        let place = folder.path().join(kept.schema.to_string());
        std::fs::create_dir(&place).unwrap();
        kept.copy_into(&place);
        mode(&place.join("ledger.db"), 0o444);
        mode(&place.join("installation.key"), 0o444);
        mode(&place, 0o555);
        places.push(place);
    }
    mode(folder.path(), 0o755);
    let mut reader = child("migrate::reader", &program, folder.path());
    reader.current_dir("/");
    if superuser {
        reader.uid(65534).gid(65534);
    }
    let output = reader.output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    for (kept, place) in KEPT.iter().zip(&places) {
        assert!(std::fs::read(place.join("ledger.db")).unwrap() == kept.bytes("ledger.db"));
        assert_eq!(std::fs::read_dir(place).unwrap().count(), 2);
        mode(place, 0o755);
    }
    assert!(
        output.status.success() && said.contains(&format!("all {} were read", KEPT.len())),
        "{said}{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

#[test]
fn an_older_ledger_becomes_one_of_today_and_goes_on() {
    let (schema, made) = today();
    for kept in &KEPT {
        let folder = kept.copy();
        let before = Ledger::open(folder.path(), Access::Read).unwrap().events().unwrap();
        let mut ledger = Ledger::open(folder.path(), Access::Write).unwrap();
        let old_head = ledger.head().clone();
        assert_eq!(schema_of(folder.path()), schema);
        assert_eq!(made_of(folder.path()), made, "it is not made as a new one is");
        assert_eq!(kept.verify(folder.path()), old_head);
        assert_eq!(ledger.events().unwrap(), before, "what was stored became something else");
        // Everybody opens their key and signs; what they sign has today's form.
        for (person, secret) in kept.people {
            let key = ledger.unlock(person, &pin(secret)).unwrap();
            let stored = ledger.append(vec![event("step-done")], vec![], Some(&key)).unwrap();
            assert_eq!((stored[0].form, stored[0].person.as_str()), (Form::Two, *person));
        }
        // The first one renews the last one's key and their own.
        let lead = ledger.unlock(kept.people[0].0, &pin(kept.people[0].1)).unwrap();
        for ((person, secret), fresh) in kept.people.iter().zip(["86420", "97531"]).rev() {
            let renewed = Enrolment::make(person, &pin(fresh))
                .unwrap()
                .that_may_enrol(person == &kept.people[0].0)
                .in_place_of_the_old();
            let changes = vec![KeyChange::Enrol(renewed)];
            ledger.append(vec![event("key-renewed")], changes, Some(&lead)).unwrap();
            let old = ledger.unlock(person, &pin(secret));
            assert!(matches!(old, Err(LedgerError::WrongPin { .. })));
            let key = ledger.unlock(person, &pin(fresh)).unwrap();
            ledger.append(vec![event("step-done")], vec![], Some(&key)).unwrap();
        }
        let refused = ledger.append(vec![event("step-done")], vec![], Some(&lead));
        assert!(matches!(refused, Err(LedgerError::KeyEnded { .. })));
        let head = ledger.head().clone();
        let people = kept.people.len() as u64;
        assert_eq!(head.events, kept.events + 4 * people);
        // The head that was printed before is in the history still.
        let report = ledger.verify(&[old_head.clone(), head.clone()]).unwrap();
        assert_eq!((report.events, report.heads), (head.events, vec![head.clone()]));
        extract_holds(kept, &ledger, &head);
        drop(ledger);
        // Opened once more, nothing happens to it again.
        let again = Ledger::open(folder.path(), Access::Write).unwrap();
        assert_eq!(*again.head(), head);
        drop(again);
        comes_back(kept, folder.path(), &[old_head, head]);
    }
}

fn extract_holds(kept: &Kept, ledger: &Ledger, head: &Head) {
    for subject in ["R-1", "R-9", "R-77"] {
        let extract = ledger.extract(subject, serde_json::Value::Null, |_| false).unwrap();
        let read = Extract::from_bytes(&extract.to_bytes().unwrap()).unwrap();
        assert!(read == extract, "what is read is not what was written");
        let report = read.verify().unwrap();
        assert_eq!(report.heads, std::slice::from_ref(head));
        let whole_of_form_one = read
            .entries
            .iter()
            .filter(|entry| matches!(entry, Entry::Whole(event) if event.form == Form::One))
            .count();
        assert_eq!(whole_of_form_one as u64, kept.of_form_one);
        // What is of today and about another subject is folded.
        assert_eq!(report.folded > 0, subject != "R-9");
    }
}

fn comes_back(kept: &Kept, folder: &Path, heads: &[Head]) {
    let there = memory_folder();
    let (copy, back) = (there.path().join("copy"), there.path().join("back"));
    let report = backup::back_up(folder, &copy, |_| Ok(())).unwrap();
    assert_eq!(report.heads, [heads[1].clone()]);
    backup::restore(&copy, &back, event("").at).unwrap();
    let mut restored = Ledger::open(&back, Access::Write).unwrap();
    assert_eq!(restored.head().events, heads[1].events + 1);
    restored.verify(heads).unwrap();
    let key = restored.unlock(kept.people[0].0, &pin("86420")).unwrap();
    restored.append(vec![event("step-done")], vec![], Some(&key)).unwrap();
    restored.verify(heads).unwrap();
}

/// A backup of the older program is brought back by today's.
#[test]
fn an_older_backup_comes_back() {
    for kept in &KEPT {
        let folder = kept.copy();
        let there = memory_folder();
        let (copy, back) = (there.path().join("copy"), there.path().join("back"));
        let report = backup::back_up(folder.path(), &copy, |_| Ok(())).unwrap();
        assert_eq!(hex::encode(report.heads[0].digest), kept.head);
        assert_eq!(schema_of(&copy), kept.schema, "a copy is a copy");
        backup::restore(&copy, &back, event("").at).unwrap();
        let restored = Ledger::open(&back, Access::Read).unwrap();
        assert_eq!(restored.head().events, kept.events + 1);
        restored.verify(&report.heads).unwrap();
        assert_eq!(schema_of(&back), today().0);
    }
}

/// The one that migrates, and may write no further than the system lets it.
#[test]
#[ignore = "started by the test beside it, with little room"]
fn migrating() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    match Ledger::open(Path::new(&folder), Access::Write) {
        Ok(ledger) => {
            println!("migrated");
            // Without closing it: that would be carried over into the file already.
            std::mem::forget(ledger);
        }
        Err(error) => println!("refused: {error} ({:?})", error.fault()),
    }
    std::process::exit(0);
}

/// Migration breaks off after any number of bytes: killed while it writes, and with the disk
/// saying no. Each time the ledger is the old one, whole, or the new one, whole.
#[cfg(unix)]
#[test]
fn a_migration_that_breaks_off_leaves_the_old_ledger_whole() {
    let program = std::env::current_exe().unwrap();
    let (schema, made) = today();
    for kept in &KEPT {
        let old = made_of(kept.copy().path());
        // `ulimit -f` counts blocks of 512 bytes; who writes past it is killed by the system, or,
        // where that signal is ignored, told that there is no room.
        for (how, order) in [
            ("killed", "ulimit -c 0; ulimit -f \"$0\"; exec \"$@\""),
            ("refused", "trap '' XFSZ; ulimit -f \"$0\"; exec \"$@\""),
        ] {
            let (mut within, mut whole) = (0, 0);
            for blocks in 0..160 {
                let folder = kept.copy();
                // The file that readers and writers share has its size while somebody reads, so
                // that it is the log which comes up against the end.
                let reader = Ledger::open(folder.path(), Access::Read).unwrap();
                let migrating = child("migrate::migrating", &program, folder.path());
                let output = Command::new("sh")
                    .args(["-c", order, &blocks.to_string()])
                    .arg(migrating.get_program())
                    .args(migrating.get_args())
                    .envs(migrating.get_envs().filter_map(|(name, value)| Some((name, value?))))
                    .output()
                    .unwrap();
                let said = String::from_utf8_lossy(&output.stdout).into_owned();
                let about = format!("{how} at {blocks} blocks: {said}");
                let migrated = said.contains("migrated");
                let as_told = match how {
                    "killed" => {
                        std::os::unix::process::ExitStatusExt::signal(&output.status).is_some()
                    }
                    _ => said.contains("refused: "),
                };
                assert!(migrated != as_told, "{about}{}", String::from_utf8_lossy(&output.stderr));
                let log = std::fs::metadata(folder.path().join("ledger.db-wal"));
                within += usize::from(!migrated && log.is_ok_and(|log| log.len() > 0));
                whole += usize::from(migrated);
                drop(reader);
                let now = made_of(folder.path());
                assert!(now == if migrated { made.clone() } else { old.clone() }, "{about}");
                assert_eq!(
                    schema_of(folder.path()),
                    if migrated { schema } else { kept.schema },
                    "{about}"
                );
                kept.verify(folder.path());
                // With room again it becomes one of today and goes on.
                let mut ledger = Ledger::open(folder.path(), Access::Write).unwrap();
                assert_eq!(made_of(folder.path()), made, "{about}");
                ledger.append(vec![event("step-done")], vec![], None).unwrap();
                ledger.verify(&[]).unwrap();
                if whole > 1 {
                    break;
                }
            }
            println!("schema {}, {how}: {within} within, {whole} whole", kept.schema);
            assert!(within > 10 && whole > 1);
        }
    }
}
