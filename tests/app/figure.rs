//! Figures on the command line: every one answers its own example, and whatever else comes in gets
//! one sentence that names the field. What needs many inputs is asked without starting the program.

use coldbench::figure::{Problem, find};
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Map, Value, json};
use std::io::Write;
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

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
                // In a list that is there, each row needs it.
                let without_list = about.ends_with(" (the list may be left out)")
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
    assert!(figures().len() >= 21, "figures are missing");
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

/// By hand; the blank of the examples falls by 0.6 mm over 300 mm throughout.
#[test]
fn fits_by_hand() {
    // 12.2 - 0.6 x 150 / 300 = 11.9, and the caliper's 0.03 either way.
    let found = worked_out("taper", &example("taper"));
    close(&found["diameter"], 11.9, "mm");
    assert_eq!(found["diameter"]["least"], 11.87);
    // 12 mm lies 0.2 / 0.6 of the way from 300 to 600: 400.
    close(&worked_out("taper-place", &example("taper-place"))["from-butt"][0], 400.0, "mm");
    // A bore of 12.1: 0.1 / 0.6 of the way: 350.
    close(&worked_out("bore-stop", &example("bore-stop"))["stops-at"], 350.0, "mm");
    // At 150 the blank is 12.5: + 2 x 0.03 (blank and bore as read) + 2 x 0.1 = 12.76.
    close(&worked_out("ream", &example("ream"))["butt-end"]["ream-to"], 12.76, "mm");
    // (16 - 0.2 - 12.23) / 0.3 = 11.9: eleven turns; pi x 11 x (12.2 + 11 x 0.15) = 478.62 of tape.
    let tape = worked_out("tape-build-up", &example("tape-build-up"));
    close(&tape["turns"], 11.0, "");
    close(&tape["tape-length"], 478.62, "mm");
    // Two leave 120 - 10 - 30 = 80 free, three (110 - 45) / 2 = 32.5, under 40.
    let set = worked_out("bushings", &example("bushings"));
    assert_eq!(set["bushings"].as_array().unwrap().len(), 3);
    close(&set["free"], 32.5, "mm");
    // pi x 12.3 (the mean) x 194 = 7496.5 mm².
    close(&worked_out("roughening", &example("roughening"))["area"], 74.965, "cm²");
    // The seat's bore of 16 can't pass a fore grip of 24.
    let order = worked_out("assembly-order", &example("assembly-order"));
    assert_eq!(order["order"], json!(["demo seat", "demo fore grip"]));
    // (12.8 - 12.5) / 2 = 0.15 per side all along: pi / 4 x (12.8² - 12.5²), and at the tip end
    // (12.4² - 12.1²); mean 5.89 mm² x 200 mm = 1.173 mL.
    let line = worked_out("glue-line", &example("glue-line"));
    close(&line["thickest"]["gap"], 0.15, "mm");
    close(&line["volume"], 1.17338, "mL");
    assert_eq!(line["fits-bare"], "yes");
}

#[test]
fn adhesive_by_hand() {
    // A bore of 13.0 over 12.6 to 12.0 along 120 mm: 20280 x pi / 4 less pi x 120 / 12 x (12.6² +
    // 12.6 x 12 + 12²) = 15927.87 - 14261.57 = 1666.30 mm³; 30 % lost: / 0.7.
    let volume = worked_out("adhesive-volume", &example("adhesive-volume"));
    close(&volume["joint"], 1.66630, "mL");
    close(&volume["to-mix"], 2.38043, "mL");
    // 8 mL x 1.15 = 9.2 g, 4 mL x 0.97 = 3.88 g, on a scale of 0.1 g 3.9 g.
    let mix = worked_out("mix", &example("mix"));
    close(&mix["resin"], 9.2, "g");
    close(&mix["hardener"], 3.9, "g");
    // 3.5 / 8.4 / 0.42 = 0.99206.
    close(&worked_out("mix-check", &example("mix-check"))["off"], -0.79365, "%");
    // exp(-65500 / 8.31446 x (1 / 298.15 - 1 / 300.15)) = 0.83857; x 30 min, less 5 min.
    let time = worked_out("working-time", &example("working-time"));
    close(&time["left"], 20.157, "min");
    // Six hours at the sheet's own temperature are six hours: 18 of 24 are missing.
    let cure = worked_out("cure", &example("cure"));
    close(&cure["missing"], 18.0, "h");
    close(&cure["ready-at-the-latest-in"], 18.0, "h");
}

#[test]
fn sleeves_and_gloves_by_hand() {
    // 0.762 x (9.525 + 0.762) = t x (14 + t): t = 0.53914.
    close(&worked_out("sleeve-recovered", &example("sleeve-recovered"))["wall"], 0.53914, "mm");
    // 205 / 0.9.
    close(&worked_out("sleeve-cut", &example("sleeve-cut"))["cut"], 227.778, "mm");
    // 19.05 slides over 16.5 and shrinks to 0.8 x 19.05 = 15.2; 1 in is 12.7 when shrunk, no grip.
    assert_eq!(worked_out("sleeve-size", &example("sleeve-size"))["size"], "3/4");
    // Level 2 is 30 min; 12 min is less: x 0.67 = 8.04, 5 of them worn.
    let gloves = worked_out("gloves", &example("gloves"));
    close(&gloves["left"], 3.04, "min");
    assert_eq!(gloves["because-of"], "demo thinner");
}

#[test]
fn air_by_hand() {
    // 15 mL x 0.79 / 60.1 = 0.19717 mol; x 24.055 L = 4.743 L; in 50 m³ 94.86 ppm of 20000 ppm.
    let vapour = worked_out("vapour", &example("vapour"));
    close(&vapour["vapour"], 4.743, "L");
    close(&vapour["fraction-of-lower-limit"], 0.4743, "%");
    // 100 mL are 3.162 % of the limit; 600 / (5 x 50) = 2.4 an hour, so after 10 min x exp(-0.4); and
    // ln(3.162) / 2.4 h = 28.78 min after the release at 10 min it is 1 %.
    let air = worked_out("room-air", &example("room-air"));
    close(&air["fraction-now"], 3.162 * (-0.4_f64).exp(), "%");
    close(&air["at-or-below-the-limit-from"], 38.78, "min");
    // 3 x 50 / 600 h x ln 20 = 15 min x 2.99573.
    close(&worked_out("purge-time", &example("purge-time"))["purge-time"], 44.936, "min");
    // 0.5 m/s x 0.1 m² x 0.8 x 3600 = 144 m³/h; / 36.
    let flow = worked_out("airflow", &example("airflow"));
    close(&flow["flow"], 144.0, "m³/h");
    close(&flow["air-changes"], 4.0, "1/h");
    // 350 cfm x 1.69901 x 0.6 x 0.8 = 285.43.
    let plate = json!({"rated": "350 cfm", "share": "60 %", "lost-to-filter": "20 %"});
    close(&worked_out("airflow", &plate)["flow"], 285.434, "m³/h");
    // 600 m³/h x 0.02 / (5 x 10) = 240 L of vapour; a mL gives 0.79 / 60.1 x 24.055 = 0.3162 L.
    close(&worked_out("solvent-use", &example("solvent-use"))["used-per-hour"], 759.02, "mL");
    // Flash 12 °C, boils at 82 °C.
    let category = worked_out("flammable-category", &example("flammable-category"));
    assert_eq!(
        (&category["category"], &category["hazard-statement"]),
        (&json!("2"), &json!("H225"))
    );
    // 0.8 x 232 = 185.6, but the sleeve bears 135: 15 more than 120.
    let mut gun = example("gun-limit");
    close(&worked_out("gun-limit", &gun)["margin"], 15.0, "K");
    gun.as_object_mut().unwrap().remove("materials");
    close(&worked_out("gun-limit", &gun)["highest-setting"], 185.6, "°C");
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
    ];
    for (name, field, value, words) in cases {
        let mut input = example(name);
        input[field] = json!(value);
        let (code, said) = refused(&figure(name, &input));
        assert_eq!(code, 1, "{said}");
        assert!(said.contains(words), "{said}");
    }
}

/// The place of a declared path in an input, rows at 0; what is missing on the way is made.
fn place<'v>(input: &'v mut Value, path: &str) -> &'v mut Value {
    let mut here = input;
    for name in path.split('.') {
        let (name, is_row) = name.strip_suffix("[]").map_or((name, false), |name| (name, true));
        here = here.as_object_mut().unwrap().entry(name).or_insert(json!({}));
        if is_row {
            if !here.is_array() {
                *here = json!([{}]);
            }
            here = &mut here[0];
        }
    }
    here
}

/// A field that is declared is read: junk in it never goes unseen.
#[test]
fn no_field_is_ignored() {
    let foreign = ["not both", "Leave it out", "Leave this out"];
    for described in figures() {
        for (path, _) in &described.fields {
            let own = path.replace("[]", "[0]");
            let is_name = path.ends_with("name");
            let junk = [json!(null), json!([["x"]])];
            let words = [json!("3 parsecs"), json!("NaN mm"), json!("-5 parsecs"), json!("∞ mm")];
            let words = words.into_iter().filter(|_| !is_name);
            for value in junk.into_iter().chain(words) {
                let mut input = described.example.clone();
                *place(&mut input, path) = value.clone();
                let said = wrong_here(&described.name, &input);
                let named = said.starts_with(&own);
                let excluded = foreign.iter().any(|words| said.contains(words));
                assert!(named || excluded, "{} {path} {value}: {said}", described.name);
            }
        }
    }
}

#[test]
fn what_is_missing_is_named() {
    for described in figures() {
        for (path, _) in described.fields.iter().filter(|(_, optional)| !optional) {
            let mut input = described.example.clone();
            let (above, name) = path.rsplit_once('.').unwrap_or(("", path));
            let object = if above.is_empty() { &mut input } else { place(&mut input, above) };
            assert!(object.as_object_mut().unwrap().remove(name).is_some(), "{path}");
            let said = wrong_here(&described.name, &input);
            let own = path.replace("[]", "[0]");
            assert!(said.starts_with(&format!("{own}: This is missing.")), "{said}");
        }
        let said = wrong(&figure(&described.name, &json!({})));
        assert!(said.contains("This is missing."), "{said}");
    }
}

#[test]
fn what_is_unknown_is_named() {
    for described in figures() {
        let mut input = described.example.clone();
        input["colour"] = json!("red");
        let said = wrong_here(&described.name, &input);
        assert!(said.starts_with("colour: This figure has no such field."), "{said}");
    }
    let mut taper = example("taper");
    taper["measured"][1]["from-tip"] = json!("3 mm");
    let said = wrong(&figure("taper", &taper));
    assert!(said.starts_with("coldbench: measured[1].from-tip: "), "{said}");
    let mut odd = example("taper");
    odd["measured[].diameter"] = json!("3 mm");
    assert!(wrong(&figure("taper", &odd)).contains("no such field"));
}

#[test]
fn a_value_is_refused_where_it_stands() {
    let said = |value: Value| {
        let mut input = example("taper");
        input["measured"][2]["diameter"] = value;
        let said = wrong(&figure("taper", &input));
        assert!(said.starts_with("coldbench: measured[2].diameter: "), "{said}");
        said
    };
    assert!(said(json!("12.4")).contains("“12.4” has no unit"));
    assert!(said(json!("1 ft 2")).contains("“1 ft 2” is not a number with a unit"));
    assert!(said(json!("0")).contains("has no unit"));
    assert!(said(json!(12.4)).contains("must be text"));
    assert!(said(json!("")).contains("empty"));
    assert!(said(json!("-3 mm")).contains("negative"));
    assert!(said(json!("12.4 g")).contains("“g” is not a number with a unit"));
    assert!(said(json!("1e9 mm")).contains("is not a number"));
    assert!(said(json!("999999999999 mm")).contains("longer than 20 m"));
    assert!(said(json!("9".repeat(400))).contains("too long"));
    said(json!("12\u{7}.4\nmm \u{1b}[2J"));
    let huge = [
        ("vapour", "temperature", "99999 °C"),
        ("vapour", "used", "99999999 L"),
        ("purge-time", "room", "99999999 m3"),
        ("purge-time", "mixing", "99999999999"),
        ("working-time", "pot-life", "99999 d"),
        ("mix", "resin-density", "9999999999999 g/mL"),
        ("sleeve-cut", "change", "-99999999 %"),
    ];
    for (name, field, value) in huge {
        let mut input = example(name);
        input[field] = json!(value);
        let said = wrong(&figure(name, &input));
        assert!(said.starts_with(&format!("coldbench: {field}: ")), "{said}");
        assert!(said.contains("Check the unit."), "{said}");
    }
}

#[test]
fn what_is_no_input_at_all() {
    let example = example("purge-time").to_string();
    let twice = example.replace("\"room\"", "\"room\": \"40 m3\", \"room\"");
    let cases: [(&[u8], &str); 12] = [
        (b"", "The input is empty."),
        (b" \n ", "The input is empty."),
        (b"{", "can't be read as JSON"),
        (b"[]", "no JSON object"),
        (b"\"room\"", "no JSON object"),
        (b"3", "no JSON object"),
        (b"null", "no JSON object"),
        (b"{\"room\": NaN}", "can't be read as JSON"),
        (b"{\"room\": 1e999}", "can't be read as JSON"),
        (b"\xff\xfe{}", "can't be read as JSON"),
        (b"{}{}", "trailing characters"),
        (twice.as_bytes(), "the field “room” stands twice"),
    ];
    for (input, words) in cases {
        let said = wrong(&coldbench(&["figure", "purge-time"], input));
        assert!(said.contains(words), "{said}");
    }
    let deep = "[".repeat(100_000);
    assert!(wrong(&coldbench(&["figure", "taper"], deep.as_bytes())).contains("JSON"));
    let nested = "{\"measured\": ".repeat(100) + "3" + &"}".repeat(100);
    assert!(
        wrong(&coldbench(&["figure", "taper"], nested.as_bytes())).contains("measured.measured")
    );
    let long = vec![b' '; 2 * 1024 * 1024];
    assert!(wrong(&coldbench(&["figure", "taper"], &long)).contains("longer than 1 MiB"));
    let mut rows = example_of_many_rows();
    let said = wrong(&figure("taper", &rows));
    assert!(said.starts_with("coldbench: measured: This list is too long."), "{said}");
    rows["measured"] = json!([]);
    assert!(wrong(&figure("taper", &rows)).starts_with("coldbench: measured: "));
}

fn example_of_many_rows() -> Value {
    let mut input = example("taper");
    input["measured"] = json!(vec![json!({"from-butt": "1 mm", "diameter": "3 mm"}); 1000]);
    input
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

/// Every text of an input.
fn texts(value: &mut Value) -> Vec<&mut Value> {
    match value {
        Value::Array(rows) => rows.iter_mut().flat_map(texts).collect(),
        Value::Object(object) => object.values_mut().flat_map(texts).collect(),
        text => vec![text],
    }
}

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "\\PC{0,12}".prop_map(Value::from),
        "[0-9.,/-]{1,6} ?(mm|in|%|min|h|g|mL|°C|m3|cfm|K|ppm)?".prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 16, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::btree_map("(at|bore|measured|parts|[a-z]{1,5})", inner, 0..4)
                .prop_map(|object| Value::Object(object.into_iter().collect::<Map<_, _>>())),
        ]
    })
}

/// It answers or says why not in one sentence; there is nothing else.
fn answers_or_refuses(name: &str, input: &Value) {
    match find(name).and_then(|figure| figure.answer(input.to_string().as_bytes())) {
        Ok(answer) => {
            let answer: Value = serde_json::from_str(&answer).unwrap();
            quantities(&answer["results"], &mut 0);
        }
        Err(problem) => {
            let said = problem.to_string();
            assert!(said.ends_with('.') && !said.contains(char::is_control), "{said:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn anything_gets_an_answer_or_a_sentence(junk in any_json(), at in any::<Index>()) {
        for described in figures() {
            answers_or_refuses(&described.name, &junk);
            let mut input = described.example.clone();
            let mut places = texts(&mut input);
            let place = at.index(places.len());
            *places[place] = junk.clone();
            answers_or_refuses(&described.name, &input);
        }
    }

    /// Well-formed quantities far from the usual.
    #[test]
    fn any_amount_gets_an_answer_or_a_sentence(
        changes in prop::collection::vec((any::<Index>(), -9.0..9.0), 1..3),
    ) {
        for described in figures() {
            let mut input = described.example.clone();
            let mut places = texts(&mut input);
            for (at, power) in &changes {
                let place = at.index(places.len());
                let value = &mut *places[place];
                let text = value.as_str().unwrap();
                let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || ".-/".contains(c));
                *value = json!(format!("{:.9}{unit}", 10_f64.powf(*power)));
            }
            answers_or_refuses(&described.name, &input);
        }
    }
}
