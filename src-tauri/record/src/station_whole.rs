//! Tests of whole station logs: what stands where on the pages, and what the file holds.

use lopdf::Document;

use crate::{
    RecordError, finish,
    fonts::Fonts,
    mark::Mark,
    model::{Paper, When},
    sheet::Sheet,
    station_log,
    station_log::{foot, kind_word, lay_out, tag},
    station_model::{EntryKind, StationEntry, StationLog, WatchRecord},
    station_specimen as specimen,
    style::Ink,
    whole::{keeps_to_the_frame, outline, texts, words_of},
    words::{INVENTED_STATION, STANDING},
};

/// A log with everything wrong that a log can have.
fn hostile() -> StationLog {
    let word = "Ölfarbenzuckerwattemaschinenverkäufer".repeat(6);
    let long = format!(
        "{word} \u{0}\u{7}\u{1b}[31m漢\u{202e}\u{2067}שלום العربية 🎣\r\n\t{}",
        "and so on and on ".repeat(200)
    );
    let mut log = specimen::ordinary();
    log.demo = false;
    for text in [&mut log.shop, &mut log.station, &mut log.station_id, &mut log.ledger.origin] {
        text.clone_from(&word);
    }
    log.room.clone_from(&long);
    log.day = format!("2026-11-25 {word}");
    log.curve_word.clone_from(&long);
    log.curve_limit_percent = f64::NAN;
    for entry in &mut log.entries {
        entry.words.clone_from(&long);
        entry.who.clone_from(&word);
    }
    let long_ago = When::parse_from_rfc3339("1970-01-01T00:00:00-12:00").unwrap();
    for when in [long_ago, When::MIN_UTC.into(), When::MAX_UTC.into()] {
        log.entries.push(StationEntry {
            when,
            kind: EntryKind::Heat,
            words: String::new(),
            who: String::new(),
        });
        log.curve.push((when, f64::INFINITY));
        log.watches.push(WatchRecord {
            clearance: word.clone(),
            last_heat: when,
            until: when,
            kept: Some((long_ago, long.clone())),
        });
    }
    for clearance in &mut log.clearances {
        clearance.reference.clone_from(&word);
        clearance.vapour.clone_from(&long);
        clearance.ended = None;
        clearance.checks[0].what.clone_from(&long);
        clearance.checks[1].who.clone_from(&word);
    }
    log
}

/// The same with a drawing that is as hostile as the words.
fn hostile_curve() -> StationLog {
    let mut log = hostile();
    log.day = "2026-11-25".to_owned();
    log.curve_limit_percent = 0.04;
    for (nth, point) in log.curve.iter_mut().enumerate() {
        point.1 = match nth % 5 {
            0 => f64::NAN,
            1 => 987_654.3,
            2 => -5.0,
            3 => 1.0e300,
            _ => 0.0,
        };
    }
    log.paper = Paper::Letter;
    log
}

pub(crate) fn all() -> Vec<(&'static str, StationLog)> {
    let on_letter = StationLog { paper: Paper::Letter, ..specimen::ordinary() };
    vec![
        ("quiet", specimen::quiet()),
        ("ordinary", specimen::ordinary()),
        ("ordinary on Letter", on_letter),
        ("empty", specimen::empty_day()),
        ("overfull", specimen::overfull()),
        ("hostile", hostile()),
        ("hostile curve", hostile_curve()),
    ]
}

/// The marks of each page.
fn pages(fonts: &Fonts, log: &StationLog) -> Vec<Vec<Mark>> {
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(fonts, log, sheet);
    let tag = tag(log);
    finish::framed(fonts, sheet, &pages, &foot(log, &tag))
}

fn words(fonts: &Fonts, log: &StationLog) -> String {
    words_of(&pages(fonts, log))
}

#[test]
fn no_text_leaves_the_frame_or_meets_another() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        keeps_to_the_frame(&fonts, name, Sheet::of(log.paper), &pages(&fonts, &log));
    }
}

#[test]
fn no_line_of_the_drawing_leaves_the_frame() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        let sheet = Sheet::of(log.paper);
        for mark in lay_out(&fonts, &log, sheet).iter().flat_map(|page| &page.marks) {
            let Mark::Line(from, to, _) = mark else { continue };
            for (x, y) in [from, to] {
                let inside = (-0.1..=sheet.column().width + 0.1).contains(x)
                    && (0.0..=sheet.body_height(&fonts) + 1.0).contains(y);
                assert!(inside, "{name}: a line at {x}, {y}");
            }
        }
    }
}

#[test]
fn every_page_says_what_it_belongs_to_and_never_promises() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        let pages = pages(&fonts, &log);
        let count = pages.len();
        for (page, marks) in (1..).zip(&pages) {
            let all: Vec<&str> = texts(marks).map(|(_, _, run)| run.text.as_str()).collect();
            let says = |words: &str| all.contains(&words);
            assert!(says(&format!("Page {page} of {count}")), "{name}, page {page}");
            assert!(says("Ledger 3fa9 1c22 77e0 b1d4"), "{name}, page {page}");
            assert!(all.iter().any(|text| text.starts_with("2026-11-25")), "{name}, page {page}");
            let all = all.join(" ");
            assert!(all.contains(STANDING), "{name}, page {page}");
            assert_eq!(all.contains(INVENTED_STATION), log.demo, "{name}, page {page}");
            assert!(!all.to_lowercase().contains("safe to"), "{name}, page {page}");
        }
    }
}

#[test]
fn nothing_of_the_day_is_hidden() {
    let fonts = Fonts::load().unwrap();
    let log = specimen::ordinary();
    let text = words(&fonts, &log);
    for entry in &log.entries {
        let kind = kind_word(entry.kind);
        assert!(text.contains(kind), "{kind}");
    }
    for said in [
        "Station log, 2026-11-25 Heat corner",
        "60 m³, shared with Bench",
        "17 entries",
        "Times without a date are of 2026-11-25, +01:00 from UTC.",
        "16:58:07 Other Note: the fan rattles at its upper",
        "C-2 15:02:07 15:32:07 15:33:07 by Pim Aldersey",
        "C-3 15:22:07 15:52:07 no watch was signed",
        "It is an estimate and no gas detector",
        "Highest: 16.5 % at 09:41:07.",
        "limit 10 %",
        "flammable used",
        "heat used",
        "Clearances for heat",
        "0.62 m/s through 0.30 m",
        "it does not certify that a place is without danger",
        "These 184 events, in this order, existed when this was printed, 2026-11-25 18:10:07 +01:00.",
        "The square holds the same for the camera of a phone",
        "This file carries no record of its own",
        "I kept this log.",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
}

#[test]
fn an_overfull_day_keeps_every_entry_in_order_under_its_head() {
    let fonts = Fonts::load().unwrap();
    let log = specimen::overfull();
    let pages = pages(&fonts, &log);
    let mut seen = Vec::new();
    let mut with_entries = 0;
    for marks in &pages {
        let all: Vec<&str> = texts(marks).map(|(_, _, run)| run.text.as_str()).collect();
        let numbers = all
            .iter()
            .filter_map(|text| text.strip_prefix("Entry ")?.split(' ').next()?.parse::<u32>().ok());
        let before = seen.len();
        seen.extend(numbers);
        if seen.len() > before {
            with_entries += 1;
            for head in ["Time", "Kind", "What", "Who"] {
                assert!(all.contains(&head), "no {head} above {:?}", &seen[before..]);
            }
        }
    }
    assert_eq!(seen, (1..=400).collect::<Vec<u32>>());
    assert!(with_entries > 8, "{with_entries} pages");
    let text = words_of(&pages);
    assert!(text.contains("2026-11-25 continued"));
    assert!((1..=12).all(|number| text.contains(&format!("C-{number}, heat corner"))));
    // A name too long for its column is split, and stays whole in sum.
    let joined = text.replace(' ', "");
    assert!(joined.contains("Maximiliana-"));
}

#[test]
fn a_day_in_order_says_that_nothing_stands_out() {
    let fonts = Fonts::load().unwrap();
    let text = words(&fonts, &specimen::quiet());
    assert!(text.contains("What stands out Nothing: no set-back of the clock"), "{text}");
}

#[test]
fn an_empty_day_says_so_and_still_proves() {
    let fonts = Fonts::load().unwrap();
    let text = words(&fonts, &specimen::empty_day());
    for said in [
        "Room not measured",
        "0 entries",
        "Nothing was recorded at this station on this day. That does not show",
        "The estimate is not known, so none is drawn: the room has not been measured.",
        "Not known means no heat.",
        "not known on this day: the room has not been measured.",
        "No clearance for heat was granted at this station on this day.",
        "No watch is recorded, and no heat on this day either.",
        "3fa9 1c22 77e0 b1d4 480c 6a5b e1f2 930d 5578 c1aa 04be 96f7 d312 0e8f 6b4c 9a21",
        "I kept this log.",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    assert!(!text.contains("Nothing: no set-back"));
    assert!(!text.contains("Characters this font lacks"));
}

#[test]
fn hostile_text_comes_out_as_codes() {
    let fonts = Fonts::load().unwrap();
    let text = words(&fonts, &hostile());
    for said in ["[U+0000][U+0007][U+001B][31m[U+6F22][U+202E][U+2067]", "[U+1F3A3]"] {
        assert!(text.replace(' ', "").contains(said), "{said}");
    }
    assert!(text.contains("Characters this font lacks, printed as their Unicode code"));
    assert!(text.chars().all(|c| !c.is_control() && c != '\u{202e}'));
}

#[test]
fn rust_is_for_the_limit_alone() {
    let fonts = Fonts::load().unwrap();
    let log = specimen::ordinary();
    let pages = pages(&fonts, &log);
    let marks = pages.iter().flatten();
    let rust = marks.filter(|mark| matches!(mark, Mark::Line(_, _, pen) if pen.ink == Ink::Rust));
    assert_eq!(rust.count(), 1);
}

#[test]
fn the_same_log_gives_the_same_bytes_and_another_gives_others() {
    let log = specimen::ordinary();
    let first = station_log(&log).unwrap();
    assert_eq!(first, station_log(&log).unwrap());
    let mut other = log;
    other.entries[0].who.push('x');
    let id = |bytes: &[u8]| Document::load_mem(bytes).unwrap().trailer.get(b"ID").unwrap().clone();
    assert_ne!(id(&first), id(&station_log(&other).unwrap()));
}

#[test]
fn the_file_names_itself_and_its_parts() {
    let document = Document::load_mem(&station_log(&specimen::ordinary()).unwrap()).unwrap();
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let title = document.get_dictionary(info).unwrap().get(b"Title").unwrap();
    assert_eq!(lopdf::decode_text_string(title).unwrap(), "Station log 2026-11-25: Heat corner");
    assert_eq!(
        outline(&document),
        [
            "Station",
            "What stands out",
            "Course of the vapour estimate",
            "What was recorded",
            "Clearances for heat",
            "Watches after heat",
            "What this record proves",
            "Signature in ink",
        ]
    );
}

#[test]
fn the_worst_day_still_makes_a_file() {
    let fonts = Fonts::load().unwrap();
    for (name, log) in all() {
        let document = Document::load_mem(&station_log(&log).unwrap()).unwrap();
        assert_eq!(document.get_pages().len(), pages(&fonts, &log).len(), "{name}");
    }
}

#[test]
fn a_digest_that_is_none_is_refused() {
    let mut log = specimen::empty_day();
    log.ledger.digest.push('0');
    let error = station_log(&log).unwrap_err();
    assert_eq!(error, RecordError::Digest { found: log.ledger.digest.clone() });
}
