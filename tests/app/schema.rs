//! The schema of checklist files, held against files by a validator that knows nothing of Coldbench.

use crate::bench::read_files;
use boon::{Compiler, SchemaIndex, Schemas};
use coldbench_shop::checklist;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Made by the validator, which holds the schema itself against the draft it names.
struct Validator(Schemas, SchemaIndex);

impl Validator {
    fn new() -> Self {
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler.add_resource("checklist.json", checklist::schema()).unwrap();
        let index = compiler.compile("checklist.json", &mut schemas);
        let index = index.unwrap_or_else(|error| panic!("the schema is none: {error:#}"));
        Self(schemas, index)
    }

    fn check(&self, file: &Value) -> Result<(), String> {
        self.0.validate(file, self.1).map_err(|error| format!("{error:#}"))
    }
}

/// The files that are TOML: path, source, what they say.
fn files(folder: &Path) -> Vec<(PathBuf, String, Value)> {
    read_files(folder)
        .into_iter()
        .filter(|(path, _)| path.extension().is_some_and(|end| end == "toml"))
        .filter_map(|(path, bytes)| {
            let source = String::from_utf8(bytes).ok()?;
            let value = toml::from_str(&source).ok()?;
            Some((path, source, value))
        })
        .collect()
}

#[test]
fn the_shipped_files_hold_to_it() {
    let (validator, shipped) = (Validator::new(), files(&crate::shipped::folder()));
    assert!(shipped.len() > 20, "the shipped files are not there");
    for (path, _, value) in shipped {
        let checked = validator.check(&value);
        assert!(checked.is_ok(), "{}: {}", path.display(), checked.unwrap_err());
    }
}

/// Whatever the reader uses, also where it warns, and where only another file is at fault.
#[test]
fn a_file_that_can_be_used_holds_to_it() {
    let validator = Validator::new();
    let mut used = 0;
    for (path, source, value) in files(&crate::broken::folder()) {
        if checklist::read(&source).checklist.is_some() {
            let checked = validator.check(&value);
            assert!(checked.is_ok(), "{}: {}", path.display(), checked.unwrap_err());
            used += 1;
        }
    }
    assert!(used >= 10, "{used} files can be used");
}

/// What a schema can see: keys nobody knows, types, words that are none of a list, what is missing,
/// numbers past a bound.
const SEEN: &[&str] = &[
    "unreadable",
    "no-format",
    "other-format",
    "no-kind",
    "unknown-kind",
    "unknown-hazard",
    "unknown-figure",
    "no-steps",
    "no-component",
    "no-size",
    "no-against",
    "bad-clock",
    "repeat-out-of-range",
];

#[test]
fn a_file_with_a_fault_that_shows_is_refused() {
    let (validator, mut seen) = (Validator::new(), Vec::new());
    for (path, source, value) in files(&crate::broken::folder()) {
        let codes = checklist::read(&source).findings.into_iter().map(|finding| finding.code);
        let shows = codes.filter_map(|code| code.strip_prefix("checklist::"));
        let shows: Vec<_> = shows.filter(|code| SEEN.contains(code)).collect();
        if !shows.is_empty() {
            assert!(validator.check(&value).is_err(), "{} passes: {shows:?}", path.display());
        }
        seen.extend(shows);
    }
    for code in SEEN {
        assert!(seen.contains(code), "no file shows {code}");
    }
}

/// One slip at a time in a file without any: with more of them, one alone would be enough.
#[test]
fn each_slip_alone_is_refused() {
    let validator = Validator::new();
    let shipped = files(&crate::shipped::folder());
    for (file, from, to) in [
        ("stages/rear-grip.toml", "key-point = ", "keypoint = "),
        ("stages/rear-grip.toml", "part = \"rear-grip\"", "part = \"rear grip\""),
        ("stages/rear-grip.toml", "part = \"rear-grip\"", "colour = \"red\""),
        ("stages/rear-grip.toml", "measure = \"length\"", "measure = \"lenght\""),
        ("stages/rear-grip.toml", "measure = \"length\"", "unit = \"length\""),
        ("stages/rear-grip.toml", "clock = \"glove-change\"", "clock = \"gloves\""),
        ("stages/rear-grip.toml", "minutes = 30", "minutes = \"30\""),
        ("stages/rear-grip.toml", "minutes = 30", "minutes = 0"),
        ("stages/rear-grip.toml", "[\"dust\"]", "[\"dusts\"]"),
        ("stages/rear-grip.toml", "[\"dust\"]", "\"dust\""),
        ("stages/rear-grip.toml", "name = \"ream\"", "name = \"reem\""),
        ("stages/rear-grip.toml", "name = \"ream\"", "name = \"ream\", bears = \"90 °C\""),
        ("stages/rear-grip.toml", "least = \"0.05 mm\"", "least = 0.05"),
        ("stages/rear-grip.toml", "witness = true", "witness = \"yes\""),
        ("stages/sleeve-by-heat.toml", "grip = [\"composite\"]", "grip = [\"wood\"]"),
        ("stages/sleeve-by-heat.toml", "heat = true", "heat = 1"),
        ("stations/heat-clearance.toml", "proves = \"rags\"", "proves = \"rag\""),
        ("stations/heat-clearance.toml", "percent-of-lfl = 10.0", "percent-of-lfl = 10.5"),
        ("stations/heat-clearance.toml", "distance = \"35 ft\"\n", ""),
        ("stations/open-bench.toml", "kind = \"open-bench\"", "kind = \"open-the-bench\""),
        ("materials/acetone.toml", "density = \"0.791 g/mL\"", "density = 0.791"),
        ("materials/acetone.toml", "share = \"100 %\"\n", ""),
        ("materials/slow-cure-epoxy.toml", "by = \"volume\"", "by = \"volumes\""),
        ("materials/slow-cure-epoxy.toml", "load = \"24 h\"", "load = 24"),
        ("materials/slow-cure-epoxy.toml", "load = \"24 h\"", "load = [{ at = \"18 °C\" }]"),
        ("materials/polyolefin-sleeve.toml", "bears = ", "bares = "),
        ("materials/nitrile-gloves.toml", "[[against]]\n", "[[against]]\nlevel = 7\n"),
        ("materials/nitrile-gloves.toml", "format = 1", "format = 2"),
    ] {
        let whole = shipped.iter().find(|(path, ..)| path == Path::new(file));
        let (_, source, _) = whole.unwrap_or_else(|| panic!("{file} is not shipped"));
        assert!(source.contains(from), "{file}: {from} is not there");
        let slipped = source.replacen(from, to, 1);
        assert!(checklist::read(&slipped).checklist.is_none(), "{file} is used with {to}");
        let value = toml::from_str(&slipped).unwrap();
        assert!(validator.check(&value).is_err(), "{file} passes with {to}");
    }
}
