use super::*;
use crate::checklist::read;
use std::collections::BTreeSet;

/// Every object in the schema that has keys, with a word for where it stands.
fn tables() -> Vec<(String, Map<String, Value>)> {
    let schema = schema();
    let kinds = schema["oneOf"].as_array().unwrap().iter();
    let kinds = kinds.map(|kind| (kind["title"].as_str().unwrap().to_owned(), kind));
    let parts = schema["$defs"].as_object().unwrap().iter();
    kinds
        .chain(parts.map(|(name, part)| (name.clone(), part)))
        .filter_map(|(name, table)| Some((name, table.as_object()?.clone())))
        .filter(|(_, table)| table.contains_key("properties"))
        .collect()
}

#[test]
fn every_key_and_every_word_says_what_it_is() {
    let tables = tables();
    assert!(tables.len() > 20, "tables are missing");
    let is_said = |schema: &Value| {
        schema["description"].as_str().is_some_and(|it| it.ends_with('.') || it.contains(". "))
    };
    for (name, table) in &tables {
        assert_eq!(table["additionalProperties"], json!(false), "{name} takes any key");
        assert!(table.contains_key("description"), "{name} has no doc comment");
        for (key, schema) in table["properties"].as_object().unwrap() {
            assert!(is_said(schema), "{name}: {key} has no doc comment");
        }
    }
    for (name, words) in schema()["$defs"].as_object().unwrap() {
        for word in words["oneOf"].as_array().into_iter().flatten() {
            assert!(is_said(word) && word["const"].is_string(), "{name}: {word}");
        }
    }
}

#[test]
fn nothing_is_null_and_no_line_of_the_source_is_left() {
    let text = schema().to_string();
    assert!(!text.contains("null"), "{text}");
    assert!(!text.contains("\\n"), "{text}");
    assert!(!text.contains("[`"), "a link of the documentation of the source is left");
}

fn words_of(name: &str) -> BTreeSet<String> {
    let schema = schema();
    let words = schema["$defs"][name]["oneOf"].as_array().unwrap_or_else(|| panic!("{name}"));
    words.iter().map(|word| word["const"].as_str().unwrap().to_owned()).collect()
}

const STAGE: &str = "format = 1\nkind = \"stage\"\nid = \"a\"\ntitle = \"A\"\naim = \"A.\"\nrevised = \"2026-01-01\"\n";
const STEP: &str = "[[step]]\nid = \"a\"\nwhat = \"A.\"\nkey-point = \"A.\"\nreason = \"A.\"\n";

/// What is to choose from is what the reader takes: it names all of that when it meets another word.
#[test]
fn the_words_to_choose_from_are_those_of_the_reader() {
    let list = STAGE.replace("\"stage\"", "\"open-bench\"") + "lasts-minutes = 1\n[[check]]\n";
    let adhesive = STAGE.replace("\"stage\"", "\"adhesive\"").replace("aim = \"A.\"\n", "");
    for (name, source) in [
        ("part", format!("{STAGE}part = \"?\"\n")),
        ("reel", format!("{STAGE}only-for = {{ reel = [\"?\"] }}\n")),
        ("guide-path", format!("{STAGE}only-for = {{ guides = \"?\" }}\n")),
        ("pieces", format!("{STAGE}only-for = {{ pieces = \"?\" }}\n")),
        ("grip", format!("{STAGE}only-for = {{ grip = [\"?\"] }}\n")),
        ("measure", format!("{STAGE}{STEP}record = {{ name = \"A\", measure = \"?\" }}\n")),
        ("clock-kind", format!("{STAGE}{STEP}starts = {{ id = \"a\", clock = \"?\" }}\n")),
        ("picture", format!("{STAGE}{STEP}picture = \"?\"\n")),
        ("proof", format!("{list}proves = \"?\"\n")),
        ("by", format!("{adhesive}ratio = {{ by = \"?\" }}\n")),
    ] {
        let message = read(&source).findings[0].message.clone();
        let known = message.strip_prefix("“?” is none of the words that can stand here: ");
        let known = known.unwrap_or_else(|| panic!("{name}: {message}")).trim_end_matches('.');
        let known = known.split(", ").map(|word| word.trim_matches(['“', '”']).to_owned());
        assert_eq!(words_of(name), known.collect(), "{name}");
    }
    let named = |source: String, before: &str| {
        let help = read(&source).findings[0].help.clone();
        let names = help.strip_prefix(before).unwrap_or_else(|| panic!("{help}"));
        names.trim_end_matches('.').split(", ").map(str::to_owned).collect::<BTreeSet<_>>()
    };
    let figure = format!("{STAGE}{STEP}figures = [{{ name = \"????????\" }}]\n");
    assert_eq!(words_of("figure-name"), named(figure, "There are: "));
    let hazard = format!("{STAGE}{STEP}caution = \"A.\"\nhazards = [\"????????????\"]\n");
    assert_eq!(words_of("hazard"), named(hazard, "Known are: "));
}

#[test]
fn the_kinds_are_those_of_the_reader() {
    let help = read("format = 1").findings[0].help.clone();
    let known: BTreeSet<&str> = help.split('"').skip(1).step_by(2).collect();
    assert_eq!(kinds().map(|(kind, _)| kind).collect::<BTreeSet<_>>(), known);
}

/// The example of a table stands in its description.
fn table_in(schema: &Value, key: &str) -> Option<Value> {
    let words = schema["description"].as_str()?;
    let table = words.split('`').find(|words| words.starts_with(&format!("{key} = ")))?;
    let table: Value = toml::from_str(table).unwrap();
    Some(table[key].clone())
}

/// Everything that the schema has an example or a word for, as a value.
fn filled(schema: &Value, all: &Value, without: &[&str]) -> Option<Value> {
    if let Some(example) = schema["examples"].get(0).or(schema.get("const")) {
        return Some(example.clone());
    }
    if let Some(part) = schema["$ref"].as_str() {
        return filled(all.pointer(part.strip_prefix('#')?)?, all, without);
    }
    if let Some(words) = schema.get("oneOf") {
        return Some(words[0]["const"].clone());
    }
    if let Some(items) = schema.get("items") {
        return Some(json!([filled(items, all, without)?]));
    }
    let keys = schema["properties"].as_object()?;
    let keys = keys.iter().filter(|(key, _)| !without.contains(&key.as_str()));
    let taken = |key, of_key| match table_in(of_key, key) {
        Some(table) if without.contains(&TABLES_WHOLE) => Some(table),
        _ => filled(of_key, all, without),
    };
    Some(keys.filter_map(|(key, of_key)| Some((key, taken(key, of_key)?))).collect())
}

/// Among what is left out: the examples inside a table, which is taken as its key shows it.
const TABLES_WHOLE: &str = "tables as their key shows them";

/// A value as it stands in a file, all on one line.
fn inline(value: &Value) -> String {
    match value {
        Value::Object(keys) => {
            let each: Vec<_> =
                keys.iter().map(|(key, v)| format!("{key} = {}", inline(v))).collect();
            format!("{{ {} }}", each.join(", "))
        }
        Value::Array(items) => {
            format!("[{}]", items.iter().map(inline).collect::<Vec<_>>().join(", "))
        }
        plain => plain.to_string(),
    }
}

fn file(keys: &Value) -> String {
    let keys = keys.as_object().unwrap().iter();
    keys.map(|(key, value)| format!("{key} = {}", inline(value))).collect::<Vec<_>>().join("\n")
}

const CLASHES: [&str; 7] = [
    "checklist::left-out-by-heat",
    "checklist::nothing-for-all",
    "checklist::unknown-clock",
    "checklist::unknown-clock",
    "checklist::product-without-cure",
    "checklist::cure-and-minutes",
    "checklist::unknown-clock",
];

/// A file made of all examples is read; what is left to find is that keys are there together that
/// don't go together.
#[test]
fn every_example_is_one_that_the_reader_takes() {
    let schema = schema();
    for (kind, without, left) in [
        // The clocks that it ends and waits for are started nowhere, its one step uses heat and is for
        // some rods only, and its clock has both minutes and a product.
        ("stage", vec!["figures"], CLASHES.as_slice()),
        ("stage", vec![TABLES_WHOLE], &CLASHES[..4]),
        ("open-bench", vec!["proves", "limits"], &[]),
        ("spill", vec!["proves", "limits", "lasts-minutes"], &[]),
        ("heat-clearance", vec![], &["checklist::proof-missing"; 8]),
        ("material", vec![], &[]),
        ("adhesive", vec![], &[]),
        ("adhesive", vec![TABLES_WHOLE], &[]),
        ("sleeve", vec![], &[]),
        ("sleeve", vec![TABLES_WHOLE], &[]),
        ("glove", vec![], &["checklist::level-and-time"]),
    ] {
        let kinds = schema["oneOf"].as_array().unwrap();
        let of_kind = kinds.iter().find(|it| it["title"] == kind).unwrap();
        let source = file(&filled(of_kind, &schema, &without).unwrap());
        let findings = read(&source).findings;
        let codes: Vec<_> = findings.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, left, "{findings:#?}\n{source}");
    }
}

/// A figure takes the keys it reads as the examples write them, and no key is offered that none reads.
#[test]
fn every_key_of_a_figure_is_read_by_one() {
    let schema = schema();
    let figure = &schema["$defs"]["figure"];
    let Some(Value::Object(all)) = filled(figure, &schema, &[]) else { panic!("no keys") };
    let trial = |id| {
        let step = STEP.replace("\"a\"", &format!("\"{id}\""));
        format!("{step}record = {{ name = \"A\", measure = \"angle\" }}\n")
    };
    let trials = trial("spin-the-butt") + &trial("spin-the-tip");
    let findings = |keys: &Map<String, Value>| {
        let figures = inline(&json!([keys]));
        read(&format!("{STAGE}{trials}{STEP}figures = {figures}\n")).findings
    };
    let mut seen = BTreeSet::new();
    for name in words_of("figure-name") {
        let mut keys = all.clone();
        keys.insert("name".to_owned(), json!(name));
        for finding in findings(&keys) {
            let foreign = finding.message.rsplit(' ').next().unwrap().trim_end_matches('.');
            assert_eq!(finding.code, "checklist::figure-foreign-key", "{name}: {finding}");
            assert!(keys.remove(foreign).is_some(), "{name}: {finding}");
        }
        assert_eq!(findings(&keys), [], "{name}");
        for key in keys.keys().filter(|key| !["name", "part"].contains(&key.as_str())) {
            let words = figure["properties"][key]["description"].as_str().unwrap();
            assert!(words.contains(&name), "{key} does not say that {name} reads it: {words}");
        }
        seen.extend(keys.into_iter().map(|(key, _)| key));
    }
    let offered: BTreeSet<String> =
        figure["properties"].as_object().unwrap().keys().cloned().collect();
    assert_eq!(offered.difference(&seen).collect::<Vec<_>>(), Vec::<&String>::new());
}
