//! Three hundred broken files, made from good ones by a slip that a hand makes: each is named at its
//! line, and none is used as if it were whole.

use crate::bench::read_files;
use coldbench_shop::checklist::{Severity, read};

/// Numbers that look drawn and are the same each time (xorshift, Marsaglia 2003).
struct Draw(u64);

impl Draw {
    fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(bound).unwrap()).unwrap()
    }
}

/// What a slip does to a line, if it can happen there.
type Slip = fn(&str) -> Option<String>;

fn key(line: &str) -> Option<&str> {
    let (key, _) = line.split_once(" = ")?;
    key.chars().all(|c| c.is_ascii_lowercase() || c == '-').then_some(key)
}

const SLIPS: [(&str, Slip); 7] = [
    ("a misspelt key", |line| key(line).map(|key| line.replacen(key, &format!("{key}x"), 1))),
    ("a quote forgotten", |line| {
        let quoted = key(line).is_some() && line.ends_with('"');
        quoted.then(|| line.trim_end_matches('"').to_owned())
    }),
    ("a number for a word", |line| {
        matches!(key(line), Some("what" | "reason" | "id" | "title" | "aim"))
            .then(|| format!("{} = 7", key(line).unwrap()))
    }),
    ("a word emptied", |line| {
        matches!(key(line), Some("what" | "reason" | "key-point" | "caution"))
            .then(|| format!("{} = \"  \"", key(line).unwrap()))
    }),
    ("an unknown hazard", |line| {
        (key(line) == Some("hazards")).then(|| line.replacen("[\"", "[\"H999x\", \"", 1))
    }),
    ("a unit of another measure", |line| {
        let limits = line.starts_with("record = ") && line.contains(" mm\"");
        limits.then(|| line.replacen(" mm\"", " furlongs\"", 1))
    }),
    ("a bracket left open", |line| {
        (line == "[[step]]" || line == "[[check]]").then(|| line.replacen("]]", "]", 1))
    }),
];

#[test]
fn three_hundred_slips_are_named_at_their_line() {
    let files = read_files(&crate::shipped::folder());
    let mut good: Vec<String> = files
        .into_iter()
        .filter(|(path, _)| path.starts_with("stages"))
        .map(|(_, bytes)| String::from_utf8(bytes).unwrap())
        .collect();
    good.sort();
    let mut draw = Draw(0x51A7_E5B0_0C5E_ED01);
    let mut made = [0_usize; SLIPS.len()];
    while made.iter().sum::<usize>() < 300 {
        let text = &good[draw.below(good.len())];
        let lines: Vec<&str> = text.lines().collect();
        // Each slip as often as the others, wherever it can happen.
        let rarest = (0..SLIPS.len()).min_by_key(|n| made[*n]).unwrap();
        let (name, slip) = SLIPS[rarest];
        let places: Vec<usize> = (0..lines.len())
            .filter(|n| slip(lines[*n]).is_some_and(|new| new != lines[*n]))
            .collect();
        if places.is_empty() {
            continue;
        }
        let at = places[draw.below(places.len())];
        let broken: String = lines
            .iter()
            .enumerate()
            .map(|(n, line)| if n == at { slip(line).unwrap() } else { (*line).to_owned() } + "\n")
            .collect();
        made[rarest] += 1;
        let found = read(&broken);
        let errors: Vec<_> =
            found.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
        let told = || format!("{name} in line {}:\n{}\n{errors:?}", at + 1, lines[at]);
        assert!(!errors.is_empty(), "not seen: {}", told());
        assert!(found.checklist.is_none(), "used all the same: {}", told());
        // What is left open is seen at its end, a table's key at the table it then lacks.
        let near =
            |line: usize| line == at + 1 || (name.contains("open") && line.abs_diff(at + 1) <= 1);
        assert!(errors.iter().any(|finding| near(finding.line)), "another line: {}", told());
        assert!(errors.iter().all(|finding| !finding.help.is_empty()), "{}", told());
    }
}

/// A file that breaks off anywhere is a file with a fault, or a shorter whole one; never a panic.
#[test]
fn a_file_may_break_off_anywhere() {
    let files = read_files(&crate::shipped::folder());
    let mut draw = Draw(0xB0A7_0001);
    for (path, bytes) in files.iter().filter(|(path, _)| path.extension().is_some()) {
        let text = String::from_utf8(bytes.clone()).unwrap();
        for _ in 0..20 {
            let mut end = draw.below(text.len());
            while !text.is_char_boundary(end) {
                end -= 1;
            }
            let found = read(&text[..end]);
            let named = found.findings.iter().any(|finding| finding.severity == Severity::Error);
            assert!(named || found.checklist.is_some(), "{}: {end}", path.display());
        }
    }
}
