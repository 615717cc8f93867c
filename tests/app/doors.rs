//! Who comes in: a second window, a wrong folder, a founding that fails, a draft with faults.

use crate::bench::{
    LEAD, LEAD_PIN, act, add_corner, founded, founding, pin, read_files, start, unlock,
};
use coldbench::views::{DiameterDraft, GripWord, PartDraft, PartWord, ReelWord, RodDraft};
use coldbench::{Clock, ShellError, Workshop, draft};
use coldbench_shop::{PersonId, StationId};
use std::fs;
use tempfile::TempDir;

#[test]
fn a_second_window_reads_and_says_why() {
    let (folder, mut first) = founded();
    let mut second = Workshop::open(folder.path(), Clock::Set(first.now())).unwrap();
    let word = second.read_only().unwrap().to_owned();
    assert!(word.contains("Another Coldbench window"), "{word}");
    assert_eq!(second.state(), first.state());
    for error in [
        second.unlock(&PersonId::new(LEAD), &pin(LEAD_PIN)).unwrap_err(),
        second.act(add_corner("No")).unwrap_err(),
        second.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), add_corner("No")).unwrap_err(),
        second.found(founding("No", "No"), &pin("2468")).unwrap_err(),
    ] {
        assert_eq!(error.code(), "read-only", "{error}");
    }
    act(&mut first, add_corner("Rack"));
    assert_ne!(second.state(), first.state());
    second.look_around().unwrap();
    assert_eq!(second.state(), first.state());
    assert!(second.state().stations.contains_key(&StationId::new("S-3")));
    assert_eq!(second.head(), first.head());
    // Once the first is closed, the next to come may write.
    drop(second);
    drop(first);
    let mut third = Workshop::open(folder.path(), Clock::Set(start())).unwrap();
    assert_eq!(third.read_only(), None);
    unlock(&mut third, LEAD, LEAD_PIN);
}

#[test]
fn a_folder_with_other_things_in_it_is_left_alone() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("letter.txt"), "Dear").unwrap();
    let before = read_files(folder.path());
    let error = Workshop::open(folder.path(), Clock::Set(start())).err().unwrap();
    assert!(matches!(error, ShellError::NotEmpty { .. }), "{error}");
    assert!(error.to_string().contains(&folder.path().display().to_string()));
    assert_eq!(read_files(folder.path()), before);
    let file = folder.path().join("letter.txt");
    assert!(Workshop::open(&file, Clock::Set(start())).is_err());
    let absent = folder.path().join("none");
    assert!(Workshop::open_to_read(&absent, Clock::Set(start()), "A look.").is_err());
    assert!(!absent.exists(), "reading made a folder");
}

#[test]
fn a_failed_founding_can_be_tried_again() {
    let folder = TempDir::new().unwrap();
    let inner = folder.path().join("new/shop");
    let mut shop = Workshop::open(&inner, Clock::Set(start())).unwrap();
    let short = shop.found(founding("Loft", "Ines"), &pin("123")).unwrap_err();
    assert_eq!(short.code(), "bad-input", "{short}");
    for (name, lead) in [("", "Ines"), ("Loft", " ")] {
        let error = shop.found(founding(name, lead), &pin(LEAD_PIN)).unwrap_err();
        assert_eq!(error.code(), "bad-input", "{error}");
    }
    assert_eq!(shop.events(), 0);
    // As little is left for the next start as for the next press of the button.
    drop(shop);
    let mut shop = Workshop::open(&inner, Clock::Set(start())).unwrap();
    assert_eq!(shop.read_only(), None);
    shop.found(founding("Loft", "Ines"), &pin(LEAD_PIN)).unwrap();
    unlock(&mut shop, LEAD, LEAD_PIN);
    let again = shop.found(founding("Loft", "Ines"), &pin(LEAD_PIN)).unwrap_err();
    assert_eq!(again.to_string(), "This workshop is set up already.");
    assert_eq!(shop.state().crew[&PersonId::new(LEAD)].name, "Ines");
}

fn good_draft() -> RodDraft {
    let row = |from_butt: &str, diameter: &str| DiameterDraft {
        from_butt: from_butt.to_owned(),
        diameter: diameter.to_owned(),
    };
    RodDraft {
        title: "Draft".to_owned(),
        customer: "Nobody".to_owned(),
        wishes: String::new(),
        reel: ReelWord::Spinning,
        grip: GripWord::Cork,
        blank: "Invented".to_owned(),
        length: "7 ft".to_owned(),
        joins: Vec::new(),
        diameters: vec![row("10 mm", "7/16 in"), row("40 in", "6.5 mm"), row("2120", "1.8")],
        parts: vec![PartDraft {
            kind: PartWord::RearGrip,
            description: String::new(),
            from: "0 mm".to_owned(),
            to: "11 13/16 in".to_owned(),
            diameter: "26 mm".to_owned(),
            thinnest: String::new(),
            bore_butt: String::new(),
            bore_tip: String::new(),
        }],
        sure: false,
    }
}

#[test]
fn a_draft_is_refused_at_the_field() {
    type Change = fn(&mut RodDraft);
    let (_folder, mut shop) = founded();
    let drawn = draft::check(&shop, &good_draft());
    assert!(drawn.troubles.is_empty() && drawn.drawing.is_some());
    let cases: &[(&str, &str, Change)] = &[
        ("diameters.2.diameter", "grows towards the tip", |d| {
            d.diameters[2].diameter = "7 mm".to_owned();
        }),
        ("diameters.1.fromButt", "negative", |d| d.diameters[1].from_butt = "-40 in".to_owned()),
        ("length", "negative", |d| d.length = "-2130 mm".to_owned()),
        ("diameters.0.diameter", "divides by zero", |d| {
            d.diameters[0].diameter = "5/0".to_owned();
        }),
        ("diameters", "at least two places", |d| d.diameters.truncate(1)),
        ("diameters.2.fromButt", "beyond the tip", |d| {
            d.diameters[2].from_butt = "7 ft 1 in".to_owned();
        }),
        ("diameters.1.fromButt", "run from butt to tip", |d| d.diameters.swap(0, 1)),
        ("length", "Enter a length", |d| d.length = "  ".to_owned()),
        ("joins.0", "between butt and tip", |d| d.joins = vec!["2200 mm".to_owned()]),
        ("parts.0.to", "beyond the tip", |d| d.parts[0].to = "2200 mm".to_owned()),
        ("parts.0.diameter", "more than zero", |d| d.parts[0].diameter = "0 mm".to_owned()),
        ("title", "called in the shop", |d| d.title = " ".to_owned()),
    ];
    for (field, words, change) in cases {
        let mut draft = good_draft();
        change(&mut draft);
        let troubles = draft::check(&shop, &draft).troubles;
        let found: Vec<_> =
            troubles.iter().map(|t| (t.field.as_deref().unwrap_or("-"), &t.message)).collect();
        assert!(
            matches!(found.as_slice(), [(at, said)] if at == field && said.contains(words)),
            "{field}, {words}: {found:?}"
        );
        assert!(found[0].1.ends_with('.'), "no sentence: {}", found[0].1);
        // The same fault, sent past the check.
        let error = draft::plan(&shop, &draft).unwrap_err();
        assert!(matches!(&error, ShellError::Field { field: at, .. } if at == field), "{error}");
    }
    // Two faults are both named; and a hand-made plan comes no further than the rules.
    let mut two = good_draft();
    two.length = String::new();
    two.parts[0].from = "1/0 in".to_owned();
    assert_eq!(draft::check(&shop, &two).troubles.len(), 2);
    let mut plan = draft::plan(&shop, &good_draft()).unwrap();
    plan.diameters[1].diameter.value = 0.5;
    let command = coldbench_shop::Command::BeginRod(Box::new(plan));
    assert_eq!(shop.act(command).unwrap_err().code(), "bad-input");
}
