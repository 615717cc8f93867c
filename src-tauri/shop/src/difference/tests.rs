//! What counts as a guard taken away.

use super::*;
use crate::checklist::{Checklist, read};

fn stage(text: &str) -> Stage {
    let read = read(text);
    match read.checklist {
        Some(Checklist::Stage(stage)) => stage,
        _ => panic!("{:?}", read.findings),
    }
}

const SHRINK: &str = r#"format = 1
kind = "stage"
id = "shrink"
title = "Shrink"
aim = "The sleeve sits."
revised = "2026-11-28"

[[step]]
id = "set-gun"
what = "Set the gun."
key-point = "Low."
picture = "gun-in-stand"
reason = "Hot air burns."
record = { name = "Gun", measure = "temperature", most = "140 °C" }

[[step]]
id = "shrink"
what = "Shrink the middle."
key-point = "Keep the gun moving."
reason = "One place gets too hot."
caution = "Heat burns skin and ignites vapour. Keep hands off. The data sheet comes first."
hazards = ["heat", "fumes"]
wear = ["gloves", "eye protection"]
heat = true
gun-limit = "140 °C"
starts = { id = "cool", clock = "watch", name = "Watch", minutes = 60 }

[[step]]
id = "cold"
what = "Feel whether the sleeve is cold."
key-point = "Wait for the watch."
reason = "A warm sleeve moves."
waits-for = "cool"
hold = true
witness = true
record = { name = "Sleeve", measure = "temperature", most = "30 °C" }
"#;

/// Each change of the text, and whether it takes a guard away.
#[test]
fn what_takes_a_guard_away() {
    let shipped = stage(SHRINK);
    let rows: [(&str, &str, bool); 20] = [
        ("Keep the gun moving.", "Move the gun all the time.", false),
        ("One place gets too hot.", "Else it scorches.", false),
        ("picture = \"gun-in-stand\"\n", "", false),
        ("gun-in-stand", "gun-off-sleeve", false),
        ("minutes = 60", "minutes = 90", false),
        ("minutes = 60", "minutes = 45", true),
        ("gun-limit = \"140 °C\"", "gun-limit = \"120 °C\"", false),
        ("gun-limit = \"140 °C\"", "gun-limit = \"150 °C\"", true),
        ("Keep hands off. ", "", true),
        ("[\"heat\", \"fumes\"]", "[\"heat\"]", true),
        ("[\"heat\", \"fumes\"]", "[\"heat\", \"fumes\", \"vapour\"]", false),
        ("\"gloves\", ", "", true),
        ("hold = true\n", "", true),
        ("witness = true\n", "", true),
        ("waits-for = \"cool\"\n", "", true),
        ("most = \"30 °C\"", "most = \"40 °C\"", true),
        ("most = \"30 °C\"", "most = \"25 °C\"", false),
        ("most = \"140 °C\" }\n\n[[step]]", "most = \"130 °C\" }\n\n[[step]]", false),
        (
            "revised = \"2026-11-28\"\n",
            "revised = \"2026-11-28\"\nonly-for = { grip = [\"cork\"] }\n",
            true,
        ),
        ("title = \"Shrink\"", "title = \"Shrink the sleeve\"", false),
    ];
    for (was, now, takes) in rows {
        let changed = SHRINK.replacen(was, now, 1);
        assert_ne!(changed, SHRINK, "{was}");
        let changed = stage(&changed);
        let found = differences(&shipped, &changed);
        assert!(!found.is_empty(), "{was} -> {now} is not seen");
        let taken = takes_away(&shipped, &changed);
        assert_eq!(!taken.is_empty(), takes, "{was} -> {now}: {found:?}");
    }
    assert_eq!(differences(&shipped, &shipped), []);
}

#[test]
fn a_step_gone_is_said_with_what_it_asked() {
    let shipped = stage(SHRINK);
    let end = SHRINK.find("[[step]]\nid = \"cold\"").unwrap();
    let found = takes_away(&shipped, &stage(&SHRINK[..end]));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].words().contains("Feel whether the sleeve is cold"), "{}", found[0].words());
}

#[test]
fn heat_that_is_not_marked_any_more() {
    let cold = SHRINK
        .replace("heat = true\ngun-limit = \"140 °C\"\n", "")
        .replace("id = \"shrink\"\nwhat", "id = \"shrink\"\nsource = \"x\"\nwhat");
    let found = takes_away(&stage(SHRINK), &stage(&cold));
    let of: Vec<&str> = found.iter().map(|found| found.of.as_str()).collect();
    assert_eq!(of, ["uses heat", "highest gun setting"]);
}

#[test]
fn steps_in_another_order() {
    let at = SHRINK.find("[[step]]\nid = \"cold\"").unwrap();
    let (head, cold) = SHRINK.split_at(at);
    let first = head.find("[[step]]").unwrap();
    let (head, steps) = head.split_at(first);
    let cold = cold.replace("waits-for = \"cool\"\n", "");
    let found = takes_away(&stage(SHRINK), &stage(&format!("{head}{cold}\n{steps}")));
    assert!(found.iter().any(|found| found.of == "order of the steps"), "{found:?}");
}
