//! The faults from outside: the C library `system.c`, orders to it, and what it recorded.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use tempfile::TempDir;

/// Numbers without a pattern, the same for the same seed (splitmix64).
pub struct Chance(pub u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    pub fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most as u64).unwrap()
    }

    /// True in that share of a hundred.
    pub fn in_hundred(&mut self, share: usize) -> bool {
        self.below(100) < share
    }
}

/// A folder in memory where there is one: power cuts are computed and kills leave the page cache
/// alone, so no real disk is asked for anything.
pub fn memory_folder() -> TempDir {
    let memory = Path::new("/dev/shm");
    let made = if memory.is_dir() { TempDir::new_in(memory) } else { TempDir::new() };
    made.unwrap()
}

/// Compiles the library, once for each run of the tests.
pub fn library() -> &'static Path {
    static LIBRARY: OnceLock<PathBuf> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        let source =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/faults/ledger/system.c");
        let library = Path::new(env!("CARGO_TARGET_TMPDIR")).join("faults-system.so");
        // Under another name first: another run may have the old one loaded.
        let made = library.with_extension(std::process::id().to_string());
        let output = Command::new("cc")
            .args(["-shared", "-fPIC", "-O1", "-Wall", "-Wextra", "-Werror", "-o"])
            .args([&made, &source])
            .output()
            .unwrap_or_else(|error| panic!("these tests need the C compiler `cc`: {error}"));
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{} does not compile: {said}", source.display());
        std::fs::rename(&made, &library).unwrap();
        library
    })
}

/// Says something to the library in front of this process, and gives its answer.
pub fn order(words: &str) -> String {
    let answer = std::fs::read_link(format!("/coldbench-faults/{words}"))
        .unwrap_or_else(|error| panic!("{words}: the library is not loaded: {error}"));
    answer.into_os_string().into_string().unwrap()
}

/// What the library saw. Paths are below the folder; the folder itself is the empty path.
#[derive(Debug)]
pub enum Call {
    Open {
        file: i64,
        path: String,
        creates: bool,
        truncates: bool,
    },
    Close {
        file: i64,
    },
    Write {
        file: i64,
        offset: usize,
        bytes: Vec<u8>,
    },
    /// To a size, or, for the growing kind, at least to it.
    Resize {
        file: i64,
        size: usize,
        only_grows: bool,
    },
    Sync {
        file: i64,
    },
    Rename {
        from: String,
        to: String,
    },
    Unlink {
        path: String,
    },
    Said(String),
}

/// Reads a record; anything the simulation has no idea of stops here.
pub fn read_record(record: &Path, folder: &Path) -> Vec<Call> {
    let (bytes, folder) = (std::fs::read(record).unwrap(), folder.canonicalize().unwrap());
    let mut rest = &bytes[..];
    let mut calls = Vec::new();
    while !rest.is_empty() {
        let mut number = || {
            let (first, more) = rest.split_first_chunk().unwrap();
            rest = more;
            i64::from_ne_bytes(*first)
        };
        let what = char::from(u8::try_from(number()).unwrap());
        let (file, at) = (number(), number());
        let lengths = [number(), number()].map(|length| usize::try_from(length).unwrap());
        let [one, two] = lengths.map(|length| {
            let (first, more) = rest.split_at(length);
            rest = more;
            first
        });
        let path = |bytes: &[u8]| {
            let path = PathBuf::from(String::from_utf8(bytes.to_vec()).unwrap());
            path.strip_prefix(&folder).unwrap().to_str().unwrap().to_owned()
        };
        let size = || usize::try_from(at).unwrap();
        calls.push(match what {
            'o' => {
                // As Linux has them on all its machines.
                let (creates, truncates) = (at & 0o100 != 0, at & 0o1000 != 0);
                Call::Open { file, path: path(one), creates, truncates }
            }
            'c' => Call::Close { file },
            'w' => Call::Write { file, offset: size(), bytes: one.to_vec() },
            't' => Call::Resize { file, size: size(), only_grows: false },
            'a' => Call::Resize { file, size: size(), only_grows: true },
            's' => Call::Sync { file },
            'n' => Call::Rename { from: path(one), to: path(two) },
            'u' => Call::Unlink { path: path(one) },
            '!' => Call::Said(String::from_utf8(one.to_vec()).unwrap()),
            // Mapped to be written and shared: made anew after a crash, or else not simulated.
            'm' if one.ends_with(b"-shm") => continue,
            _ => panic!("not simulated: {what} {} {at}", String::from_utf8_lossy(one)),
        });
    }
    calls
}
