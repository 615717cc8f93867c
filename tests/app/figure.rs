//! Figures on the command line: every one answers its own example. What each comes to stands in
//! `by_hand`, and what happens to any other input in `refused`.

use coldbench::figure::{Problem, find};
use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

mod by_hand;
mod refused;

fn coldbench(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_coldbench"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It may stop reading before all is written.
    let _ = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

fn figure(name: &str, input: &Value) -> Output {
    coldbench(&["figure", name], input.to_string().as_bytes())
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

/// The one line of a figure that was not worked out, and the exit code.
fn refused(output: &Output) -> (i32, String) {
    let said = text(&output.stderr);
    let code = output.status.code().unwrap_or(-1);
    assert!(code == 1 || code == 2, "{code}: {said}");
    assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    assert!(said.starts_with("coldbench: ") && said.ends_with(".\n"), "{said:?}");
    assert_eq!(said.lines().count(), 1, "{said:?}");
    (code, said.to_owned())
}

fn wrong(output: &Output) -> String {
    let (code, said) = refused(output);
    assert_eq!(code, 2, "{said}");
    said
}

/// The same as `wrong`, without starting the program.
fn wrong_here(name: &str, input: &Value) -> String {
    match find(name).and_then(|figure| figure.answer(input.to_string().as_bytes())) {
        Ok(answer) => panic!("{name} took {input}: {answer}"),
        Err(Problem::Work(said)) => panic!("{name} took {input}: {said}"),
        Err(problem) => {
            let said = problem.to_string();
            assert!(said.ends_with('.') && !said.contains(char::is_control), "{said:?}");
            said
        }
    }
}

struct Described {
    name: String,
    /// Path, and whether it may be left out.
    fields: Vec<(String, bool)>,
    example: Value,
}

/// All figures as the program describes them.
fn figures() -> &'static [Described] {
    static FIGURES: OnceLock<Vec<Described>> = OnceLock::new();
    FIGURES.get_or_init(|| {
        let list = coldbench(&["figure", "--list"], b"");
        assert!(list.status.success() && list.stderr.is_empty());
        let described = text(&list.stdout).lines().map(|line| {
            let (name, about) = line.split_once('\t').unwrap();
            assert!(!about.is_empty() && !about.contains('\t'), "{line}");
            let fields = coldbench(&["figure", name, "--fields"], b"");
            assert!(fields.status.success() && fields.stderr.is_empty());
            let said = text(&fields.stdout);
            let (rows, example) = said.trim_end().split_once("\n\n").unwrap();
            let example: Value = serde_json::from_str(example).unwrap();
            let rows = rows.lines().map(|row| {
                let [path, about, one] = row.split('\t').collect::<Vec<_>>()[..] else {
                    panic!("{row}")
                };
                serde_json::from_str::<Value>(one).unwrap();
                let pointer = format!("/{}", path.replace("[]", "/0").replace('.', "/"));
                // In a list or an object that is there, it is needed.
                let without_list = (about.ends_with(" (the list may be left out)")
                    || about.ends_with(" (the object may be left out)"))
                    && example.pointer(&pointer).is_none();
                let optional = without_list
                    || about.ends_with(" (may be left out)")
                    || about.ends_with(" (one of the two)");
                (path.to_owned(), optional)
            });
            let fields = rows.collect();
            Described { name: name.to_owned(), fields, example }
        });
        described.collect()
    })
}

fn example(name: &str) -> Value {
    figures().iter().find(|figure| figure.name == name).unwrap().example.clone()
}

/// The results of a figure.
fn worked_out(name: &str, input: &Value) -> Value {
    let output = figure(name, input);
    assert!(output.status.success(), "{name}: {}", text(&output.stderr));
    assert!(output.stderr.is_empty());
    let mut answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    answer["results"].take()
}

fn close(got: &Value, expected: f64, unit: &str) {
    let value = got["value"].as_f64().unwrap_or_else(|| panic!("{got}"));
    assert!((value - expected).abs() <= 1e-4 * expected.abs(), "{value} is not {expected}");
    assert_eq!(got["unit"], unit);
}

/// Every quantity of a result has a number, a unit and bounds around it.
fn quantities(value: &Value, count: &mut usize) {
    match value {
        Value::Array(rows) => rows.iter().for_each(|row| quantities(row, count)),
        Value::Object(object) if object.contains_key("unit") => {
            let at = |name: &str| object.get(name).map(|value| value.as_f64().unwrap());
            let value = object["value"].as_f64().unwrap();
            assert!(at("least").is_none_or(|least| least <= value), "{object:?}");
            assert!(at("most").is_none_or(|most| value <= most), "{object:?}");
            assert!(object["unit"].is_string());
            *count += 1;
        }
        Value::Object(object) => object.values().for_each(|value| quantities(value, count)),
        Value::String(text) => assert!(!text.is_empty()),
        other => panic!("{other} in a result"),
    }
}

#[test]
fn every_figure_answers_its_own_example() {
    assert!(figures().len() >= 33, "figures are missing");
    for described in figures() {
        let output = figure(&described.name, &described.example);
        assert!(output.status.success(), "{}: {}", described.name, text(&output.stderr));
        assert!(output.stderr.is_empty());
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let names: Vec<&String> = answer.as_object().unwrap().keys().collect();
        assert_eq!(names.len(), 4, "{names:?}");
        assert_eq!(answer["figure"], described.name);
        assert!(answer["source"].as_str().unwrap().ends_with('.'));
        for warning in answer["warnings"].as_array().unwrap() {
            let warning = warning.as_str().unwrap();
            assert!(warning.ends_with('.') && !warning.contains("safe to"), "{warning}");
        }
        let mut count = 0;
        quantities(&answer["results"], &mut count);
        assert!(
            count > 0
                || described.name == "assembly-order"
                || described.name == "flammable-category"
        );
    }
}

/// The number of a result.
fn value(got: &Value) -> f64 {
    got["value"].as_f64().unwrap_or_else(|| panic!("{got}"))
}

/// Trials at angles, one jump each.
fn trials(angles: &[f64]) -> Value {
    angles.iter().map(|angle| json!({"at": format!("{angle}°")})).collect()
}

/// An invented blank of 2 m from 12 to 2 mm with a wall of 0.8 to 0.4 mm. What it does under load was
/// computed with scipy 1.17 `solve_bvp`.
fn blank() -> Value {
    json!({
        "blank-length": "2 m",
        "measured": [
            {"from-butt": "0 mm", "diameter": "12 mm"},
            {"from-butt": "2 m", "diameter": "2 mm"},
        ],
        "walls": [
            {"from-butt": "0 mm", "thickness": "0.8 mm"},
            {"from-butt": "2 m", "thickness": "0.4 mm"},
        ],
        "modulus": "60 GPa", "butt-angle": "0°", "pull": "2 N",
    })
}

/// `input` with more fields, or other values of them.
fn and(mut input: Value, more: Value) -> Value {
    let Value::Object(more) = more else { panic!("{more}") };
    input.as_object_mut().unwrap().extend(more);
    input
}

/// What was read at the marks is what the blank does, off by at most half a hundredth of a millimetre.
fn read_off() -> Value {
    let marks =
        [("500 mm", "20.07 mm"), ("1 m", "98.92 mm"), ("1.5 m", "284.77 mm"), ("2 m", "646.02 mm")];
    marks.iter().map(|(at, drop)| json!({"from-butt": at, "drop": drop})).collect()
}

/// What can break and fly is told before anything else.
#[test]
fn the_caution_of_a_bent_blank_stands_first() {
    for name in [
        "spine",
        "spine-mark",
        "bend",
        "bend-fit",
        "static-test",
        "trim",
        "frequency",
        "guide-loads",
        "guide-improve",
    ] {
        let output = figure(name, &example(name));
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let first = answer["warnings"][0].as_str().unwrap();
        assert!(
            first.starts_with("A blank ") && first.contains("eye protection"),
            "{name}: {first}"
        );
        assert!(first.contains("data sheet first"), "{name}: {first}");
    }
}

/// One length written in four ways is one length.
#[test]
fn units_are_read() {
    for written in ["15.875 mm", "5/8 in", "0.625\"", "1,5875 cm"] {
        let mut cut = example("sleeve-cut");
        cut["covered"] = json!(written);
        cut["tucked"] = json!("0 mm");
        cut["change"] = json!("0 %");
        close(&worked_out("sleeve-cut", &cut)["cut"], 15.875, "mm");
    }
    let mut cure = example("cure");
    cure["needed"] = json!("1 d");
    cure["now"] = json!("5 h 60 min");
    close(&worked_out("cure", &cure)["missing"], 18.0, "h");
}

/// What is well formed but can't be worked out is another matter: exit code 1, in the trade's words.
#[test]
fn good_input_without_a_figure() {
    let cases = [
        ("taper", "at", "1900 mm", "Nothing was measured at"),
        ("tape-build-up", "bore", "9 mm", "9.00 mm"),
        ("mix-check", "hardener", "5 g", "too much hardener"),
        ("sleeve-size", "smallest", "3 mm", "No sleeve in the list"),
        ("purge-time", "flow", "0 m3/h", "No air moves"),
        ("airflow", "opening", "0 m2", "no air moving"),
        ("vapour", "temperature", "-60 °C", "outside the range"),
        ("static-test", "hung", "90 kg", "This rod can't be worked out under the whole load"),
        ("guide-spacing", "count", "60", "Take fewer guides"),
        ("trim", "hung", "900 kg", "This rod can't be worked out"),
    ];
    for (name, field, value, words) in cases {
        let mut input = example(name);
        input[field] = json!(value);
        let (code, said) = refused(&figure(name, &input));
        assert_eq!(code, 1, "{said}");
        assert!(said.contains(words), "{said}");
    }
    // Nothing is marked from doubt.
    let mut scattered = example("spine-mark");
    scattered["trials"]["butt"] = trials(&[10.0, 80.0, 40.0]);
    let (code, said) = refused(&figure("spine-mark", &scattered));
    assert!(code == 1 && said.contains("No spine yet."), "{said}");
}

#[test]
fn the_verb_itself() {
    let said = wrong(&coldbench(&["figure", "tapper"], b"{}"));
    assert!(said.contains("There is no figure “tapper”."), "{said}");
    let said = wrong(&coldbench(&["figure", "tapper", "--fields"], b""));
    assert!(said.contains("--list"), "{said}");
    for arguments in [&["figure"][..], &["figure", "--fields"], &["figure", "taper", "--list"]] {
        assert_eq!(coldbench(arguments, b"").status.code(), Some(2), "{arguments:?}");
    }
}
