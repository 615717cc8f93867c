//! Whatever comes in that is no input gets one sentence that names the field. What needs many inputs
//! is asked without starting the program.

use super::*;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::Map;

/// What one field is to blame for is said at that field.
#[test]
fn a_bad_value_of_spine_bend_and_guides_is_named() {
    let cases = [
        ("spine", "scale-step", "40°", "scale-step: This must lie between 0° and 30°."),
        ("spine", "scale-step", "0°", "scale-step: The scale must be read"),
        ("spine", "sides", "one", "butt[0].opposite: Trial 1 names two jumps"),
        ("spine", "between", "0 mm", "between: "),
        ("spine", "most-twist", "50°", "most-twist: "),
        ("spine-mark", "reel", "fly", "run: A spiral wrap"),
        ("bend", "blank-length", "0 mm", "blank-length: The blank must be longer"),
        ("bend", "modulus", "6000 GPa", "modulus: The modulus must lie"),
        ("bend", "wall", "9 mm", "wall: "),
        ("bend", "weight", "0 g", "weight: "),
        ("bend", "butt-angle", "361°", "butt-angle: "),
        ("bend", "butt-angle", "30", "butt-angle: “30” is no angle."),
        ("bend", "pull", "3 kg", "pull: “3 kg” is not a value with a unit known here."),
        ("bend", "hung", "3 kg", "pull: Give either this or hung, not both."),
        ("bend", "every", "5 mm", "every: This makes more than 200 points."),
        ("bend", "every", "0 mm", "every: This makes more than 200 points."),
        ("bend-fit", "direction", "90°", "direction: What is hung on pulls straight down."),
        ("bend-fit", "factors", "three", "factors: “three” is not known here."),
        ("bend-fit", "reading-error", "0 mm", "reading-error: The error of one reading"),
        ("trim", "cut-at-tip", "3 m", "cut-at-tip: The cuts must be"),
        ("guide-spacing", "count", "2.5", "count: This must be a whole number from 1 to 60."),
        ("guide-spacing", "first-guide", "3 m", "first-guide: The first guide at"),
        ("guide-rings", "knot", "17 mm", "knot: No ring at hand"),
        ("guide-rings", "narrowing", "6", "narrowing: Rings can narrow over 1 to 5 guides"),
        ("guide-rings", "tip", "0.1 mm", "tip: No tip-top tube fits"),
        ("spiral", "tip-height", "3 mm", "tip-height: The ring of the tip-top lies"),
        ("guide-improve", "tries", "0", "tries: This must be a whole number from 1 to 2000."),
        ("guide-improve", "first-from", "900 mm", "first-from: The first guide was to stay"),
        (
            "guide-improve",
            "first-to",
            "710 mm",
            "guides[3].from-tip: Guide 4 is outside the bounds",
        ),
        ("guide-loads", "friction", "2", "friction: The friction of line on a ring"),
        ("guide-loads", "running", "in", "running: Without friction"),
        ("guide-loads", "reel-from-butt", "1 m", "reel-from-butt: The reel must sit nearer"),
    ];
    for (name, field, value, words) in cases {
        let mut input = example(name);
        input[field] = json!(value);
        let said = wrong_here(name, &input);
        assert!(said.starts_with(words), "{name} {field} {value}: {said}");
    }
    let deep = [
        ("spine", "/butt/0/opposite", "270°", "butt[0].opposite: A blank bent too far"),
        ("bend", "/joins/0/factor", "20", "joins: The stiffness of a ferrule"),
        ("bend", "/measured/1/diameter", "70 mm", "measured: The diameter at"),
        ("bend", "/line/guides/1/from-butt", "600 mm", "line.guides: Guides must be given"),
        ("bend", "/line/guides/0/from-butt", "200 mm", "line.reel-from-butt: The reel must sit"),
        ("bend", "/line/running", "up", "line.running: “up” is not known here."),
        ("bend-fit", "/marks/0/drop", "9 m", "marks: The reading at the mark"),
        ("first-guide", "/spinning/ring-height", "9 mm", "spinning.ring-height: A ring"),
        ("first-guide", "/spinning/spool-height", "20 mm", "spinning.spool-height: A spool"),
        ("first-guide", "/spinning/greatest-angle", "0°", "spinning.greatest-angle: "),
        ("guide-rings", "/guides/1/from-tip", "50 mm", "guides[1].from-tip: Guide 2 at"),
        ("spiral", "/angles/1", "190°", "angles[1]: This must lie between 0° and 180°."),
        ("spiral", "/angles/0", "50°", "angles[0]: Guide 1 is turned less far"),
        ("spiral", "/measured/1/diameter", "9 mm", "measured[1].diameter: "),
        ("spiral", "/guides/1/from-tip", "400 mm", "guides[1].from-tip: Guide 2 at"),
        ("spiral", "/guides/1/height", "4 mm", "guides[1].height: The ring of guide 2"),
        ("guide-loads", "/guides/0/height", "1 mm", "guides[0].height: A ring"),
        ("guide-loads", "/tip-top/mass", "300 g", "tip-top.mass: A guide weighs"),
    ];
    for (name, pointer, value, words) in deep {
        let mut input = example(name);
        *input.pointer_mut(pointer).unwrap() = json!(value);
        let said = wrong_here(name, &input);
        assert!(said.starts_with(words), "{name} {pointer} {value}: {said}");
    }
    let without = |name: &str, field: &str| {
        let mut input = example(name);
        input.as_object_mut().unwrap().remove(field);
        wrong_here(name, &input)
    };
    assert!(without("bend", "weight").starts_with("line.guides[0].mass: The weight of the blank"));
    assert!(
        without("bend", "pull").starts_with("hung: This is missing. Give it, or pull instead.")
    );
    assert!(without("first-guide", "spinning").starts_with("spinning: This is missing."));
    let mut both = example("first-guide");
    both["fly"] = json!({"hand": "250 mm", "reach": "500 mm"});
    assert!(wrong_here("first-guide", &both).starts_with("fly: Give either this or spinning"));
    let mut none = example("spine");
    let ends = none.as_object_mut().unwrap();
    ends.remove("butt");
    ends.remove("tip");
    assert!(wrong_here("spine", &none).starts_with("butt: This is missing. Give the trials"));
    let spool = json!({"fly": {"hand": "250 mm", "reach": "3 m"}});
    assert!(wrong_here("first-guide", &spool).starts_with("fly.reach: An arm reaches"));
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
            // Whatever is written there is what was meant.
            let is_name = path.ends_with("name") || path.ends_with("reason");
            let junk = [json!(null), json!([["x"]])];
            let words = [json!("3 parsecs"), json!("NaN mm"), json!("-5 parsecs"), json!("∞ mm")];
            let words = words.into_iter().filter(|_| !is_name);
            for value in junk.into_iter().chain(words) {
                let mut input = described.example.clone();
                // A line that the example leaves out must be whole but for the junk.
                if path.starts_with("line.") {
                    input["line"] = example("bend")["line"].take();
                    input["weight"] = json!("35 g");
                }
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
