//! Tests of the single sheets: what stands where on the pages, and what the files hold.

use lopdf::Document;

use crate::{
    RecordError, SingleSheet, finish,
    flow::Page,
    fonts::Fonts,
    mark::Mark,
    model::Paper,
    pages_model::{
        BenchSheet, ClearancePage, CrewTable, HandAnswer, HandList, Imprint, RodPage, TrainedHeat,
        TrainingRecord, WitnessedStep,
    },
    pages_specimen as specimen,
    sheet::Sheet,
    single::{self, Named},
    whole::{keeps_to_the_frame, outline, texts, words_of},
    words::{INVENTED_SHEET, STANDING},
};

/// A sheet laid out, with what it needs to be finished.
pub(crate) struct Laid {
    pub(crate) name: &'static str,
    imprint: Imprint,
    named: Named,
    pages: Vec<Page>,
    pub(crate) pdf: Vec<u8>,
    again: Vec<u8>,
    /// Its pages as pictures.
    pub(crate) seen: Vec<String>,
}

impl Laid {
    /// The marks of each page, frame and foot with them.
    fn marks(&self, fonts: &Fonts) -> Vec<Vec<Mark>> {
        let sheet = Sheet::of(self.imprint.paper);
        let foot = single::foot(&self.imprint, &self.named);
        finish::framed(fonts, sheet, &self.pages, &foot)
    }

    fn words(&self, fonts: &Fonts) -> String {
        words_of(&self.marks(fonts))
    }
}

/// A word that no column is made for, and a text that goes on and on.
fn hostile() -> (String, String) {
    let word = "Ölfarbenzuckerwattemaschinenverkäufer".repeat(6);
    let long = format!("{word} \u{7}漢\u{202e} {}", "and so on and on ".repeat(120));
    (word, long)
}

/// How a sheet of one kind is laid out and drawn.
macro_rules! laid {
    ($make:ident, $module:ident, $single:ident, $kind:ty) => {
        fn $make(name: &'static str, sheet: &$kind) -> Laid {
            let fonts = Fonts::load().unwrap();
            let single = SingleSheet::$single(sheet.clone());
            Laid {
                name,
                imprint: sheet.imprint.clone(),
                named: crate::$module::named(sheet),
                pages: crate::$module::lay_out(&fonts, sheet),
                pdf: single.pdf().unwrap(),
                again: single.pdf().unwrap(),
                seen: single.preview().unwrap(),
            }
        }
    };
}

laid!(benched, bench_sheet, Bench, BenchSheet);
laid!(by_hand, hand_list, ByHand, HandList);
laid!(trained, training, Training, TrainingRecord);
laid!(crewed, crew_table, CrewTable, CrewTable);
laid!(rod, rod_page, Rod, RodPage);
laid!(cleared, clearance_page, Clearance, ClearancePage);

/// Names and titles that no column is made for, and more stages than a page holds.
fn hostile_crew() -> CrewTable {
    let (word, long) = hostile();
    let mut sheet = specimen::crew();
    sheet.imprint.paper = Paper::Letter;
    sheet.people = vec![word.clone(), long.clone(), word.clone(), word.clone()];
    sheet.leads = vec![word.clone(), long.clone()];
    for stage in &mut sheet.stages {
        stage.title.clone_from(&word);
        stage.asked.clone_from(&word);
        stage.standings = vec![word.clone(); 4];
    }
    sheet.stages = sheet.stages.iter().cycle().take(30).cloned().collect();
    sheet
}

fn hostile_by_hand() -> HandList {
    let (word, long) = hostile();
    let mut list = specimen::hand_stage();
    list.imprint.demo = false;
    list.imprint.paper = Paper::Letter;
    for text in [&mut list.text.title, &mut list.text.id, &mut list.text.sha256] {
        text.clone_from(&word);
    }
    list.notices = vec![long.clone()];
    list.rod = None;
    for line in &mut list.lines {
        line.what.clone_from(&long);
        line.key_point.clone_from(&long);
        line.caution = Some(long.clone());
        line.wear = vec![word.clone()];
        line.lot = Some(long.clone());
        line.answers = vec![
            HandAnswer::Value { name: long.clone(), limits: word.clone(), times: 20 },
            HandAnswer::Value { name: word.clone(), limits: long.clone(), times: 1 },
            HandAnswer::Choice(vec![(long.clone(), false), (word.clone(), true)]),
            HandAnswer::Lines(vec![long.clone(), word.clone()]),
            HandAnswer::Ticks {
                head: word.clone(),
                states: vec![word.clone(), long.clone(), word.clone()],
                rows: vec![long.clone(), word.clone()],
            },
        ];
    }
    list.lines[4].closed = long;
    list
}

/// A person who did much, with names that no column is made for, on Letter paper.
fn hostile_training() -> TrainingRecord {
    let (word, long) = hostile();
    let mut record = specimen::training();
    record.imprint.paper = Paper::Letter;
    record.imprint.demo = false;
    for text in [&mut record.name, &mut record.id, &mut record.role, &mut record.imprint.shop] {
        text.clone_from(&word);
    }
    record.joined = None;
    for stage in &mut record.stages {
        stage.title.clone_from(&word);
        stage.rods = vec![word.clone(); 12];
        for step in &mut stage.steps {
            step.what.clone_from(&long);
            step.witnessed = vec![(word.clone(), u32::MAX), (long.clone(), 0)];
        }
    }
    for stage in &mut record.taught {
        (stage.title, stage.standing) = (word.clone(), long.clone());
        (stage.released, stage.witnessed) = (long.clone(), word.clone());
        for lesson in &mut stage.lessons {
            (lesson.what, lesson.lead) = (long.clone(), word.clone());
        }
    }
    record.heat =
        vec![TrainedHeat { what: long.clone(), rod: word.clone(), ..record.heat[0].clone() }; 3];
    record.witnessed = vec![
        WitnessedStep {
            stage: word.clone(),
            what: long,
            did: vec![(word, 2)],
            ..record.witnessed[0].clone()
        };
        2
    ];
    record
}

/// A person who did 300 steps.
fn busy() -> TrainingRecord {
    let mut record = specimen::training();
    let step = record.stages[0].steps[0].clone();
    for (nth, stage) in record.stages.iter_mut().enumerate() {
        stage.steps = (0..150)
            .map(|number| {
                let mut step = step.clone();
                step.what = format!("Invented step {nth}-{number} of this stage, done with care.");
                step
            })
            .collect();
    }
    record
}

fn hostile_clearance() -> ClearancePage {
    let (word, long) = hostile();
    let mut page = specimen::clearance();
    page.imprint.demo = false;
    page.clearance.reference.clone_from(&word);
    page.clearance.station.clone_from(&word);
    page.clearance.vapour.clone_from(&long);
    page.clearance.checks[0].what.clone_from(&long);
    page.clearance.checks[1].who.clone_from(&word);
    page.clearance.ended = None;
    page.unanswered = vec![long.clone(), word.clone()];
    page.limits = vec![(word.clone(), long.clone())];
    page.heat[0].what = long;
    page.heat[0].who = word;
    page.heat[0].witness = String::new();
    page.watch.as_mut().unwrap().kept = None;
    page
}

fn hostile_bench() -> BenchSheet {
    let (word, long) = hostile();
    let mut page = specimen::bench();
    page.imprint.demo = false;
    page.imprint.paper = Paper::Letter;
    page.rod.id.clone_from(&word);
    page.text.title.clone_from(&word);
    page.notices = vec![long.clone(), word.clone()];
    for step in &mut page.steps {
        step.what.clone_from(&long);
        step.key_point.clone_from(&word);
        step.caution = Some(long.clone());
        step.value = Some((word.clone(), word.clone()));
        step.also = vec![word.clone()];
        step.figures.clone_from(&specimen::bench().steps[1].figures);
        for figure in &mut step.figures {
            figure.title.clone_from(&word);
            figure.rows = vec![(long.clone(), word.clone())];
        }
    }
    page
}

pub(crate) fn all() -> Vec<Laid> {
    let mut letter = specimen::rod();
    letter.imprint.paper = Paper::Letter;
    let mut nothing = specimen::training();
    (nothing.stages, nothing.heat, nothing.witnessed) = (vec![], vec![], vec![]);
    nothing.taught.clear();
    let mut nobody = specimen::crew();
    nobody.people.clear();
    vec![
        by_hand("by hand, stage", &specimen::hand_stage()),
        by_hand("by hand, station", &specimen::hand_station()),
        by_hand("hostile, by hand", &hostile_by_hand()),
        trained("training", &specimen::training()),
        trained("training of nothing", &nothing),
        trained("busy training", &busy()),
        trained("hostile training", &hostile_training()),
        crewed("crew", &specimen::crew()),
        crewed("crew of leads", &nobody),
        crewed("hostile crew", &hostile_crew()),
        rod("rod", &specimen::rod()),
        rod("rod on Letter", &letter),
        cleared("clearance", &specimen::clearance()),
        cleared("hostile clearance", &hostile_clearance()),
        benched("bench", &specimen::bench()),
        benched("hostile bench", &hostile_bench()),
    ]
}

fn title_of(pdf: &[u8]) -> String {
    let document = Document::load_mem(pdf).unwrap();
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let title = document.get_dictionary(info).unwrap().get(b"Title").unwrap();
    lopdf::decode_text_string(title).unwrap()
}

#[test]
fn no_text_leaves_the_frame_or_meets_another() {
    let fonts = Fonts::load().unwrap();
    for laid in all() {
        let sheet = Sheet::of(laid.imprint.paper);
        keeps_to_the_frame(&fonts, laid.name, sheet, &laid.marks(&fonts));
    }
}

#[test]
fn no_line_or_box_leaves_the_text_area() {
    let fonts = Fonts::load().unwrap();
    for laid in all() {
        let sheet = Sheet::of(laid.imprint.paper);
        let (width, height) = (sheet.column().width + 0.1, sheet.body_height(&fonts) + 1.0);
        for mark in laid.pages.iter().flat_map(|page| &page.marks) {
            let spots = match mark {
                Mark::Line(from, to, _) => vec![*from, *to],
                Mark::Shape { corners, .. } => corners.clone(),
                _ => continue,
            };
            for (x, y) in spots {
                let inside = (-0.1..=width).contains(&x) && (0.0..=height).contains(&y);
                assert!(inside, "{}: a line at {x}, {y}", laid.name);
            }
        }
    }
}

#[test]
fn every_page_says_what_it_belongs_to_and_never_promises() {
    let fonts = Fonts::load().unwrap();
    for laid in all() {
        let marks = laid.marks(&fonts);
        for (page, marks) in (1..).zip(&marks) {
            let all: Vec<&str> = texts(marks).map(|(_, _, run)| run.text.as_str()).collect();
            let name = format!("{}, page {page}", laid.name);
            assert!(
                all.contains(&format!("Page {page} of {}", laid.pages.len()).as_str()),
                "{name}"
            );
            assert!(all.contains(&"Ledger 3fa9 1c22 77e0 b1d4"), "{name}");
            let all = all.join(" ");
            assert!(all.contains(STANDING), "{name}");
            assert_eq!(all.contains(INVENTED_SHEET), laid.imprint.demo, "{name}");
            assert!(!all.to_lowercase().contains("safe to"), "{name}");
        }
    }
}

#[test]
fn the_same_data_give_the_same_bytes() {
    for laid in all() {
        assert_eq!(laid.pdf, laid.again, "{}", laid.name);
        assert_eq!(
            Document::load_mem(&laid.pdf).unwrap().get_pages().len(),
            laid.pages.len(),
            "{}",
            laid.name
        );
    }
}

/// No page begins with what belongs to the one before: a table's row has its head, and a head or a
/// title is no last line of a page.
#[test]
fn no_heading_ends_a_page() {
    let fonts = Fonts::load().unwrap();
    for laid in all().iter().filter(|laid| !laid.name.contains("hostile")) {
        let foot = Sheet::of(laid.imprint.paper).body_height(&fonts) - 30.0;
        for page in &laid.pages {
            let lowest = texts(&page.marks)
                .filter(|(_, y, _)| *y < foot)
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(_, _, run)| run);
            let lowest = lowest.unwrap();
            // The steps of a bench sheet are as large as headings.
            assert!(
                lowest.style.size < 15.0 || laid.name == "bench",
                "{}: {:?} ends a page",
                laid.name,
                lowest.text
            );
        }
    }
}

#[test]
fn a_digest_that_is_none_is_refused() {
    let mut list = specimen::hand_stage();
    list.imprint.ledger.digest.pop();
    let found = list.imprint.ledger.digest.clone();
    let list = SingleSheet::ByHand(list);
    let refused = RecordError::Digest { found };
    assert_eq!(list.pdf().unwrap_err(), refused);
    assert_eq!(list.preview().unwrap_err(), refused);
}

#[test]
fn a_list_by_hand_asks_for_all_that_is_recorded() {
    let fonts = Fonts::load().unwrap();
    let laid = by_hand("stage", &specimen::hand_stage());
    let text = laid.words(&fonts);
    for said in [
        "Checklist to fill in by hand Bond the grips",
        "R-0007, Estuary spinning rod for light jigs",
        "Station Date Sheet number of",
        "grip-bonding, revised 2026-10-30",
        "b94d27b9 934d3e08 a52e52d7 da7dabfa c484efe3 7a5380ee 9088f7ac e2efcde9",
        "must be 30 mm to 50 mm",
        "Lot of: Epoxy resin and hardener",
        "Gloves: glove change, 30 min at most. Started at To end at",
        "Witness: initials Date Time",
        "no limits",
        "this sheet grants none",
        "Clearance granted by Coldbench, number holds until",
        "Left out on this rod. Only where the guides run in a spiral.",
        "Ended at Date",
        "These entries are to be keyed in later",
        "Until then nobody has signed",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    // The caution stands before the deed.
    assert!(text.find("Uncured epoxy on skin").unwrap() < text.find("Weigh the resin").unwrap());
    assert_eq!(title_of(&laid.pdf), "Checklist to fill in by hand, R-0007: Bond the grips");
    assert_eq!(
        outline(&Document::load_mem(&laid.pdf).unwrap()),
        ["Checklist to fill in by hand", "To be keyed in"]
    );
    let signed = text.matches("Done: initials").count();
    assert_eq!(signed, 5, "each line but the one left out is signed");
    for page in laid.marks(&fonts) {
        let words = words_of(&[page]);
        assert!(words.contains("To be keyed in later. R-0007 Station Date Sheet"), "{words}");
    }
    let text = by_hand("station", &specimen::hand_station()).words(&fonts);
    for said in [
        "grants no clearance: no heat.",
        "Mean air speed, with its unit",
        "lying out does not pass",
        "closed, in its store",
        "To be keyed in later. Station Date Sheet",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    assert!(!text.contains("Rod "), "{text}");
}

#[test]
fn a_training_record_counts_and_sets_heat_apart() {
    let fonts = Fonts::load().unwrap();
    let laid = trained("training", &specimen::training());
    let text = laid.words(&fonts);
    for said in [
        "Training record Pim Aldersey",
        "Joined 2026-11-03 Standing still of the crew",
        "3 of 4 7 6 2026-11-12 2026-11-23",
        "7 signatures for steps done, 6 of them witnessed; first 2026-11-12 09:20:07 +01:00",
        "Wren Tolliver 2\u{d7},",
        "Bond the grips alone since 2026-11-23 2 of 2 Wren Tolliver",
        "Steps with heat",
        "R-0011 Shrink the sleeve over",
        "none nobody",
        "Steps of others, witnessed",
        "is for a lead to see at the bench",
        "What this record proves",
        "I did what is listed here, and I was shown how.",
        "I have seen this person work.",
    ] {
        let bare = |text: &str| text.split_whitespace().collect::<String>();
        assert!(bare(&text).contains(&bare(said)), "{said:?} is not in {text}");
    }
    assert_eq!(title_of(&laid.pdf), "Training record of Pim Aldersey");
}

#[test]
fn every_step_of_a_busy_person_stands_under_its_head() {
    let fonts = Fonts::load().unwrap();
    let laid = trained("busy", &busy());
    let mut seen = 0;
    for marks in laid.marks(&fonts) {
        let all: Vec<&str> = texts(&marks).map(|(_, _, run)| run.text.as_str()).collect();
        let here = all.iter().filter(|text| text.starts_with("Invented step")).count();
        assert!(here == 0 || all.contains(&"Step"), "{all:?}");
        // No row stands alone on a page.
        assert_ne!(here, 1, "{all:?}");
        seen += here;
    }
    assert_eq!(seen, 300);
}

#[test]
fn a_rod_sheet_shows_the_rod_and_no_step() {
    let fonts = Fonts::load().unwrap();
    let laid = rod("rod", &specimen::rod());
    let text = laid.words(&fonts);
    for said in [
        "Rod sheet Estuary spinning rod for light jigs",
        "Blank as measured",
        "Guides",
        "Parts and materials",
        "Wishes Balances a hand's width",
        "Added or put right on this sheet Was 8.2 mm at 42 in from the butt",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    for other in ["Build log", "Stages at a glance", "Signatures in ink", "Weigh the resin"] {
        assert!(!text.contains(other), "{other:?} is in {text}");
    }
    assert_eq!(title_of(&laid.pdf), "Rod sheet R-0007: Estuary spinning rod for light jigs");
}

#[test]
fn a_clearance_stands_whole_on_its_sheet() {
    let fonts = Fonts::load().unwrap();
    let page = specimen::clearance();
    let laid = cleared("clearance", &page);
    let text = laid.words(&fonts);
    for said in [
        "Clearance for heat C-3, heat corner",
        "heat-clearance, revised 2026-10-30",
        "Air 6 changes an hour or more",
        "Granted 2026-11-24 15:08:07 +01:00 by Wren Tolliver",
        "Watcher Pim Aldersey",
        "Ended 2026-11-24 15:24:07 +01:00: gun off and cooling",
        "Not answered: What does the gas meter read?",
        "Kept 2026-11-24 16:23:07 +01:00 by Pim Aldersey",
        "it measures nothing",
        "I granted this clearance, and this is what was found.",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    let mut open = page;
    (open.watch, open.heat) = (None, vec![]);
    let text = cleared("open", &open).words(&fonts);
    assert!(text.contains("so no watch was due"), "{text}");
    assert_eq!(title_of(&laid.pdf), "Clearance C-3 for heat: heat corner");
}

#[test]
fn a_bench_sheet_reads_from_afar_and_keeps_its_steps_whole() {
    let fonts = Fonts::load().unwrap();
    let page = specimen::bench();
    let laid = benched("bench", &page);
    let sizes = |words: &str| -> Vec<f32> {
        let marks = laid.pages.iter().flat_map(|page| texts(&page.marks));
        marks
            .filter(|(_, _, run)| run.text.contains(words))
            .map(|(_, _, run)| run.style.size)
            .collect()
    };
    for (words, least) in [
        ("Weigh the resin", 20.0),
        ("Shrink the sleeve", 20.0),
        ("Uncured epoxy", 16.0),
        ("Hot air lights", 16.0),
        ("Heat waits for", 16.0),
        ("8.2", 14.0),
        ("A lead witnesses", 14.0),
    ] {
        let found = sizes(words);
        assert!(!found.is_empty() && found.iter().all(|size| *size >= least), "{words}: {found:?}");
    }
    let text = laid.words(&fonts);
    assert!(!text.contains("continued"), "a step was cut: {text}");
    assert!(
        text.contains("Left out on this rod. Only where the guides run in a spiral."),
        "{text}"
    );
    assert!(text.contains("It reminds; it records nothing."), "{text}");
    assert!(text.find("Uncured epoxy").unwrap() < text.find("Weigh the resin").unwrap());
    assert_eq!(title_of(&laid.pdf), "Bench sheet R-0007: Bond the grips");
}
