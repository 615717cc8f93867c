//! Tests of whole records: what stands where on the pages, and what the finished file holds.

use lopdf::{Document, Object};

use crate::{
    RecordError, build_log,
    build_log::{foot, lay_out},
    finish,
    fonts::Fonts,
    mark::Mark,
    model::{BuildLog, Fitted, Paper, PartState, Station},
    sheet::Sheet,
    specimen,
    style::MM,
    words::{INVENTED, STANDING},
    wrap::Run,
};

/// A log with everything wrong that a log can have.
fn hostile() -> BuildLog {
    let word = "Ölfarbenzuckerwattemaschinenverkäufer".repeat(6);
    let long = format!("{word} \u{7}漢\u{202e} {}", "and so on and on ".repeat(200));
    let mut log = specimen::rich();
    log.demo = false;
    log.shop.clone_from(&word);
    log.ledger.origin.clone_from(&word);
    let rod = &mut log.rod;
    for text in [&mut rod.id, &mut rod.title, &mut rod.customer, &mut rod.reel, &mut rod.blank] {
        text.clone_from(&word);
    }
    rod.wishes.clone_from(&long);
    rod.length_text.clone_from(&word);
    rod.joins_mm = vec![f64::NAN, -3.0, 1e300, 700.0, 700.0, 701.0];
    for (nth, part) in (1_u8..).zip(&mut rod.fitted) {
        part.label = format!("{word} {nth}");
    }
    rod.fitted.extend((0..40).map(|_| Fitted {
        label: String::new(),
        from_mm: 2000.0,
        to_mm: 1990.0,
        diameter_mm: f64::NEG_INFINITY,
        state: PartState::Curing,
    }));
    rod.stations.extend((0..90_u8).map(|nth| Station {
        from_butt_mm: 20.0 * f64::from(nth),
        diameter_mm: 16.0 - 0.1 * f64::from(nth),
        from_butt_text: word.clone(),
        diameter_text: word.clone(),
    }));
    rod.parts.push((word.clone(), long.clone()));
    for stage in &mut log.stages {
        stage.title.clone_from(&word);
        stage.sha256.clone_from(&word);
        for step in &mut stage.steps {
            step.what.clone_from(&long);
            step.caution = Some(long.clone());
            step.hazards.push(word.clone());
            step.lots.push((word.clone(), word.clone()));
            for value in &mut step.values {
                value.name.clone_from(&word);
                value.entered.clone_from(&long);
                value.limits.clone_from(&word);
                value.who.clone_from(&word);
            }
            for signature in &mut step.signatures {
                signature.who.clone_from(&word);
                signature.meaning.clone_from(&word);
                signature.role = String::new();
            }
            for note in &mut step.notes {
                note.text.clone_from(&long);
            }
            for correction in &mut step.corrections {
                correction.what.clone_from(&long);
                correction.says.clone_from(&word);
                correction.reason.clone_from(&long);
                correction.who.clone_from(&word);
                (correction.event, correction.by_event) = (u64::MAX, 0);
            }
        }
    }
    log.stages[0].steps.clear();
    for attachment in &mut log.attached {
        attachment.name = format!("{word} {}", attachment.name);
        attachment.words.clone_from(&long);
    }
    for clearance in &mut log.clearances {
        clearance.vapour.clone_from(&long);
        clearance.checks[0].what.clone_from(&long);
        clearance.checks[1].who.clone_from(&word);
    }
    log
}

pub(crate) fn all() -> Vec<(&'static str, BuildLog)> {
    let mut logs = vec![
        ("rich", specimen::rich()),
        ("empty", specimen::empty()),
        ("huge", specimen::huge()),
        ("hostile", hostile()),
    ];
    let mut other = hostile();
    other.paper = Paper::Letter;
    logs.push(("hostile on Letter", other));
    logs
}

pub(crate) fn texts(marks: &[Mark]) -> impl Iterator<Item = (f32, f32, &Run)> {
    marks.iter().filter_map(|mark| match mark {
        Mark::Text((x, y), run) if !run.text.trim().is_empty() => Some((*x, *y, run)),
        _ => None,
    })
}

/// The marks of each page.
fn pages(fonts: &Fonts, log: &BuildLog) -> Vec<Vec<Mark>> {
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(fonts, log, sheet);
    finish::framed(fonts, sheet, &pages, &foot(log))
}

#[test]
fn whoever_was_called_away_is_printed_at_the_step_they_left() {
    let mut log = specimen::rich();
    let left =
        log.stages.iter_mut().flat_map(|stage| &mut stage.steps).find(|s| !s.notes.is_empty());
    let step = left.unwrap();
    let line = |text: &str| crate::model::Note { text: text.to_owned(), ..step.notes[0].clone() };
    step.interruptions = vec![line("Called away."), line("Back again.")];
    let text = words(&Fonts::load().unwrap(), &log);
    let (left, back) = (text.find("Called away."), text.find("Back again."));
    assert!(left.is_some() && left < back, "{text}");
}

#[test]
fn no_text_leaves_the_frame_or_meets_another() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        keeps_to_the_frame(&fonts, name, Sheet::of(log.paper), &pages(&fonts, &log));
    }
}

/// Every text stands inside the frame, and none meets another.
pub(crate) fn keeps_to_the_frame(fonts: &Fonts, name: &str, sheet: Sheet, pages: &[Vec<Mark>]) {
    for (page, marks) in (1..).zip(pages) {
        let mut boxes: Vec<(f32, f32, f32, f32, &str)> = Vec::new();
        for (x, y, run) in texts(marks) {
            let size = run.style.size;
            let (top, bottom) = (y - 0.66 * size, y + 0.15 * size);
            let end = x + run.width(fonts);
            let inside = x >= 20.0 * MM
                && end <= sheet.width - 10.0 * MM + 0.02
                && top >= 6.0 * MM
                && bottom <= sheet.height - 10.0 * MM;
            assert!(inside, "{name}, page {page}: {:?} leaves the frame", run.text);
            for other in &boxes {
                let apart = end <= other.0 + 0.2
                    || other.1 <= x + 0.2
                    || bottom <= other.2
                    || other.3 <= top;
                assert!(apart, "{name}, page {page}: {:?} meets {:?}", run.text, other.4);
            }
            boxes.push((x, end, top, bottom, &run.text));
        }
    }
}

#[test]
fn every_page_says_what_it_belongs_to() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        let pages = pages(&fonts, &log);
        let count = pages.len();
        for (page, marks) in (1..).zip(&pages) {
            let all: Vec<&str> = texts(marks).map(|(_, _, run)| run.text.as_str()).collect();
            let says = |words: &str| all.contains(&words);
            assert!(says(&format!("Page {page} of {count}")), "{name}, page {page}");
            assert!(says("Ledger 3fa9 1c22 77e0 b1d4"), "{name}, page {page}");
            assert!(all.join(" ").contains(STANDING), "{name}, page {page}");
            assert_eq!(says(INVENTED), log.demo, "{name}, page {page}");
            assert!(all.len() > 8, "{name}, page {page} is empty: {all:?}");
        }
    }
}

/// All words of the record in the order in which they were set, single spaces between them.
fn words(fonts: &Fonts, log: &BuildLog) -> String {
    words_of(&pages(fonts, log))
}

/// All words of the pages in the order in which they were set.
pub(crate) fn words_of(pages: &[Vec<Mark>]) -> String {
    let runs = pages.iter().flat_map(|marks| texts(marks)).map(|(_, _, run)| run.text.trim());
    let text = runs.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_caution_stands_before_the_deed() {
    let fonts = Fonts::load().unwrap();
    let text = words(&fonts, &specimen::rich());
    let caution = text.find("Uncured epoxy on skin").unwrap();
    let hazard = text.find("H317 May cause an allergic skin reaction.").unwrap();
    let deed = text.find("Weigh the resin").unwrap();
    assert!(caution < hazard && hazard < deed);
}

#[test]
fn nothing_that_was_recorded_is_hidden() {
    let fonts = Fonts::load().unwrap();
    let text = words(&fonts, &specimen::rich());
    for said in [
        "62 mm",
        "replaced by a later entry",
        "43 mm",
        "outside limits",
        "accepted because",
        "the data sheet of this lot allows",
        "open - not signed",
        "not finished",
        "Heat was used under clearance C-3.",
        "2026-11-24 15:22:07 +01:00",
        "no end is recorded",
        "These 184 events, in this order, existed when this was printed, 2026-11-25 17:40:07 +01:00.",
        "Gun, as set: 130 °C",
        "corrected later, see below",
        "Corrected later Entry: Gun, as set: 130 °C Corrected to: Gun, as set: 120 °C Reason: Read \
         from the dial of the other gun.",
        "Wren Tolliver, 2026-11-24 16:02:07 +01:00; event 142 corrects event 97",
        "2 entries corrected later; both stand at the step",
        "record.jsonl The events of this ledger, one a line.",
        "Characters this font lacks, printed as their Unicode code in square brackets: U+6F22.",
        "b94d27b9 934d3e08 a52e52d7 da7dabfa c484efe3 7a5380ee 9088f7ac e2efcde9",
        "3fa9 1c22 77e0 b1d4 480c 6a5b e1f2 930d 5578 c1aa 04be 96f7 d312 0e8f 6b4c 9a21",
    ] {
        assert!(text.contains(said), "{said:?} is not in the record");
    }
}

#[test]
fn the_proof_says_what_it_shows_and_what_not() {
    let fonts = Fonts::load().unwrap();
    let mut log = specimen::rich();
    let text = words(&fonts, &log);
    for said in [
        "This cannot show that what was entered is true",
        "An owner who holds every key could write another history; this paper would contradict it",
        "Keep the paper apart from the workshop",
        "The square holds the same for the camera of a phone",
        "To check it: coldbench verify FILE.pdf .",
        "carries its own record inside",
    ] {
        assert!(text.contains(said), "{said:?} is not in the record");
    }
    log.attached.clear();
    log.ledger.origin = "x".repeat(2000);
    let text = words(&fonts, &log);
    assert!(text.contains("This file carries no record of its own"));
    assert!(text.contains("too long for a code") && !text.contains("camera"));
}

#[test]
fn an_empty_rod_says_what_is_missing() {
    let fonts = Fonts::load().unwrap();
    let mut log = specimen::empty();
    let text = words(&fonts, &log);
    assert!(text.contains("No stage of this rod has been begun."));
    assert!(text.contains("No clearance was granted for this rod."));
    assert!(!text.contains("Characters this font lacks"));
    log.rod.stations.clear();
    log.rod.length_mm = 0.0;
    assert!(words(&fonts, &log).contains("so the rod is not drawn."));
}

#[test]
fn the_list_of_stages_points_to_their_pages() {
    let fonts = Fonts::load().unwrap();
    let log = specimen::huge();
    let laid = lay_out(&fonts, &log, Sheet::of(log.paper));
    let page_of = |key: &str| {
        laid.iter().position(|page| page.anchors.iter().any(|(a, _)| a.key == key)).unwrap() + 1
    };
    let pages = pages(&fonts, &log);
    let set = || pages.iter().flat_map(|marks| texts(marks));
    let (column, _, _) = set().find(|(_, _, run)| run.text == "Page").unwrap();
    let stated: Vec<usize> = set()
        .filter(|(x, _, _)| (x - column).abs() < 0.01)
        .filter_map(|(_, _, run)| run.text.parse().ok())
        .collect();
    let stages = 0..log.stages.len();
    let expected: Vec<usize> = stages.map(|at| page_of(&format!("stage {at}"))).collect();
    assert_eq!(stated, expected);
    assert!(expected.last() > expected.first());
}

#[test]
fn steps_do_not_begin_at_the_foot_of_a_page() {
    let fonts = Fonts::load().unwrap();
    let log = specimen::huge();
    for marks in pages(&fonts, &log) {
        // The lowest text of the page above the foot is never the deed of a step.
        let foot = Sheet::of(log.paper).height - 10.0 * MM - 40.0;
        let lowest = texts(&marks)
            .filter(|(_, y, _)| *y < foot)
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(_, _, run)| run);
        let lowest = lowest.unwrap();
        assert!(lowest.style.size < 11.5, "{:?} ends a page", lowest.text);
    }
}

#[test]
fn the_same_log_gives_the_same_bytes_and_another_gives_others() {
    let log = specimen::rich();
    let first = build_log(&log).unwrap();
    assert_eq!(first, build_log(&log).unwrap());
    let mut other = log.clone();
    other.ledger.events += 1;
    let mut carries_more = log;
    carries_more.attached[0].bytes[0] ^= 1;
    let id = |bytes: &[u8]| {
        let document = Document::load_mem(bytes).unwrap();
        document.trailer.get(b"ID").unwrap().clone()
    };
    assert_ne!(id(&first), id(&build_log(&other).unwrap()));
    assert_ne!(id(&first), id(&build_log(&carries_more).unwrap()));
}

#[test]
fn the_file_names_itself_its_language_and_its_parts() {
    let log = specimen::rich();
    let document = Document::load_mem(&build_log(&log).unwrap()).unwrap();
    let catalog = document.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let info = document.get_dictionary(info).unwrap();
    let text = |object: &Object| lopdf::decode_text_string(object).unwrap();
    assert_eq!(
        text(info.get(b"Title").unwrap()),
        "Build log R-0007: Estuary spinning rod for light jigs"
    );
    assert_eq!(text(info.get(b"Author").unwrap()), log.shop);
    let created = info.get(b"CreationDate").unwrap().as_str().unwrap();
    assert_eq!(created, b"D:20261125174007+01'00'");

    let titles = outline(&document);
    assert_eq!(
        titles,
        [
            "Rod sheet",
            "Stages at a glance",
            "Bond the grips (3 steps)",
            "Shrink the sleeve over the rear grip (3 steps)",
            "Lay out, wrap and finish the guides (2 steps)",
            "Clearances for heat",
            "What this record proves",
            "Signatures in ink",
        ]
    );
}

/// The titles of the outline in their order.
pub(crate) fn outline(document: &Document) -> Vec<String> {
    let root = document.catalog().unwrap().get(b"Outlines").unwrap().as_reference().unwrap();
    let root = document.get_dictionary(root).unwrap();
    let mut next = root.get(b"First").and_then(Object::as_reference);
    let mut titles = Vec::new();
    while let Ok(id) = next {
        let item = document.get_dictionary(id).unwrap();
        titles.push(lopdf::decode_text_string(item.get(b"Title").unwrap()).unwrap());
        next = item.get(b"Next").and_then(Object::as_reference);
    }
    titles
}

#[test]
fn the_fonts_are_in_the_file() {
    let document = Document::load_mem(&build_log(&specimen::rich()).unwrap()).unwrap();
    let embedded = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dictionary| dictionary.has_type(b"FontDescriptor"))
        .filter(|descriptor| descriptor.has(b"FontFile2"))
        .count();
    assert_eq!(embedded, 3);
}

#[test]
fn the_worst_log_still_makes_a_file() {
    for (name, log) in all() {
        let bytes = build_log(&log).unwrap();
        let document = Document::load_mem(&bytes).unwrap();
        let fonts = Fonts::load().unwrap();
        assert_eq!(document.get_pages().len(), pages(&fonts, &log).len(), "{name}");
    }
}

#[test]
fn a_digest_that_is_none_is_refused() {
    let mut log = specimen::empty();
    log.ledger.digest.pop();
    let error = build_log(&log).unwrap_err();
    assert_eq!(error, RecordError::Digest { found: log.ledger.digest.clone() });
    assert!(error.to_string().starts_with("The ledger's digest must be 64 hexadecimal digits"));
}
