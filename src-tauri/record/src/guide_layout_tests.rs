//! Tests of the guides on the page: what stands there, and that nothing leaves it.

use crate::{
    build_log,
    build_log::{foot, lay_out},
    finish,
    fonts::Fonts,
    guide_specimen::{bare, spinning, with},
    mark::{Mark, Spot},
    model::{BentRod, BuildLog, GuideLayout, Paper},
    sheet::Sheet,
    specimen,
    style::MM,
    whole::{keeps_to_the_frame, texts, words_of},
};

const BOTH: [Paper; 2] = [Paper::A4, Paper::Letter];

fn log(layout: GuideLayout, paper: Paper) -> BuildLog {
    let mut log = specimen::empty();
    log.paper = paper;
    log.rod.layout = Some(layout);
    log
}

/// A layout with another curve.
fn curved(curve: BentRod) -> GuideLayout {
    GuideLayout { curve, ..with(3, 1.0, 1.0) }
}

fn pages(fonts: &Fonts, log: &BuildLog) -> Vec<Vec<Mark>> {
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(fonts, log, sheet);
    finish::framed(fonts, sheet, &pages, &foot(log))
}

fn words(layout: GuideLayout) -> String {
    let fonts = Fonts::load().unwrap();
    words_of(&pages(&fonts, &log(layout, Paper::A4)))
}

/// Layouts that a rod, or a mistake, can come to.
fn odd() -> Vec<(&'static str, GuideLayout)> {
    let word = "Ölfarbenzuckerwattemaschinenverkäufer".repeat(4);
    let mut long = with(12, 1.2, 1.0);
    for row in &mut long.rows {
        for text in [&mut row.number, &mut row.ring, &mut row.turned, &mut row.load] {
            text.clone_from(&word);
        }
    }
    for ring in &mut long.curve.rings {
        ring.number.clone_from(&word);
    }
    long.facts.push((word.clone(), word.clone()));
    long.warnings.push(word.clone());
    long.source.clone_from(&word);
    long.curve.load = word;

    let mut no_numbers = with(9, 1.2, 1.0);
    no_numbers.curve.length_mm = f64::NAN;
    for (nth, at) in no_numbers.curve.axis.iter_mut().enumerate() {
        if nth % 3 == 0 {
            *at = (f64::NAN, f64::INFINITY);
        }
    }
    for (nth, ring) in no_numbers.curve.rings.iter_mut().enumerate() {
        match nth % 4 {
            0 => ring.foot.0 = f64::NAN,
            1 => ring.height_mm = f64::NEG_INFINITY,
            2 => ring.from_butt_mm = f64::NAN,
            _ => ring.ring.1 = 1e300,
        }
    }
    let mut far = with(9, 1.2, 1.0);
    far.curve.axis.push((9.0e5, -9.0e5));
    far.curve.axis.push((-9.0e5, 9.0e5));
    let mut towers = with(9, 1.2, -1.0);
    for ring in &mut towers.curve.rings {
        ring.height_mm = 5000.0;
        ring.ring = (ring.foot.0 - 4000.0, ring.foot.1 + 3000.0);
    }
    let mut flat = with(9, 1.2, 1.0);
    for ring in &mut flat.curve.rings {
        (ring.height_mm, ring.ring) = (0.0, ring.foot);
    }
    let mut tiny = with(9, 1.2, 1.0);
    tiny.curve.length_mm = f64::MIN_POSITIVE;
    tiny.curve.axis = vec![(0.0, 0.0); 3];
    tiny.curve.rings.truncate(1);
    tiny.curve.rings[0].foot = (0.0, 0.0);
    tiny.curve.rings[0].ring = (0.0, f64::MIN_POSITIVE);
    tiny.curve.rings[0].from_butt_mm = 0.0;
    let mut plumb = with(9, 1.2, 1.0);
    plumb.curve.length_mm = 100.0;
    plumb.curve.axis = vec![(0.0, 0.0), (5.0, 6000.0)];
    plumb.curve.rings.clear();
    let mut behind = with(9, 1.2, 1.0);
    (behind.curve.rings[0].foot, behind.curve.rings[0].ring) = ((0.0, 0.0), (-32.0, 0.0));
    let no_axis = curved(BentRod { axis: vec![], ..with(9, 1.2, 1.0).curve });
    let one_point = curved(BentRod { axis: vec![(0.0, 0.0)], ..with(9, 1.2, 1.0).curve });
    let nothing = curved(BentRod { length_mm: -1.0, axis: vec![], ..bare(0.0) });
    let mut dense = with(300, 1.2, 1.0);
    dense.curve.axis = dense.curve.axis.iter().cycle().take(9000).copied().collect();
    vec![
        ("ordinary", spinning()),
        ("no guides", GuideLayout { rows: vec![], curve: bare(0.9), ..with(0, 0.9, 1.0) }),
        ("one guide", with(1, 0.5, 1.0)),
        ("60 guides", with(60, 1.3, 1.0)),
        ("60 guides on top", with(60, 1.3, -1.0)),
        ("past vertical", with(11, 2.9, 1.0)),
        ("all round", with(11, 7.5, 1.0)),
        ("up-bent", with(9, -1.2, 1.0)),
        ("up-bent, on top", with(9, -2.8, -1.0)),
        ("straight", with(9, 0.0, 1.0)),
        ("long names", long),
        ("no numbers", no_numbers),
        ("far", far),
        ("towers", towers),
        ("flat", flat),
        ("tiny", tiny),
        ("plumb", plumb),
        ("behind the butt", behind),
        ("no axis", no_axis),
        ("one point", one_point),
        ("nothing", nothing),
        ("dense", dense),
    ]
}

/// Where a mark that is no text reaches.
fn reach(mark: &Mark) -> Vec<Spot> {
    match mark {
        Mark::Line(from, to, _) => vec![*from, *to],
        Mark::Shape { corners, .. } => corners.clone(),
        Mark::Text(..) | Mark::Blocks(..) | Mark::In(_) => vec![],
    }
}

#[test]
fn nothing_leaves_the_frame_whatever_the_rod_does() {
    let fonts = Fonts::load().unwrap();
    for paper in BOTH {
        for (name, layout) in odd() {
            let log = log(layout, paper);
            let sheet = Sheet::of(paper);
            let pages = pages(&fonts, &log);
            keeps_to_the_frame(&fonts, name, sheet, &pages);
            for (x, y) in pages.iter().flatten().flat_map(reach) {
                // The sheet's own marks stand 3 mm outside its frame.
                let inside = x >= 17.0 * MM - 0.1
                    && x <= sheet.width - 7.0 * MM + 0.1
                    && y >= 6.0 * MM
                    && y <= sheet.height - 7.0 * MM + 0.1;
                assert!(inside, "{name} on {paper:?}: a line reaches {x}, {y}");
            }
            let text_area = Sheet::of(paper).body_height(&fonts) + 0.1;
            for page in lay_out(&fonts, &log, sheet) {
                for (x, y) in page.marks.iter().flat_map(reach) {
                    let column = sheet.column();
                    let inside = x >= -0.1 && x <= column.right() + 0.1 && y <= text_area;
                    assert!(inside, "{name} on {paper:?}: {x}, {y} is beside the text");
                    assert!(y >= -0.1, "{name} on {paper:?}: {x}, {y} is above the text");
                }
            }
        }
    }
}

#[test]
fn every_odd_layout_still_makes_a_file() {
    for (name, layout) in odd() {
        assert!(build_log(&log(layout, Paper::A4)).is_ok(), "{name}");
    }
}

#[test]
fn what_was_laid_out_is_on_the_page() {
    let text = words(spinning());
    for said in [
        "Guides",
        "Tip deflection",
        "1068 mm",
        "tip 0.0 mm 2133.6 mm 5 mm 2.2 mm 1.4 N 8.2° 1.3 mm clear",
        "8 94.6 mm 2039.0 mm 94.6 mm 5 mm 6.0 mm 1.4 N 8.2° 3.6 mm clear",
        "4 641.6 mm 1492.0 mm 169.0 mm 6 mm 7.5 mm 1.4 N 8.2° 0 mm touches",
        "1 1421.6 mm 712.0 mm 316.0 mm 30 mm 29.0 mm 1.4 N 8.2° 17.4 mm clear",
        "Load: 1.0 kg on the line.",
        "The line touches the blank from 3 to 4.",
        "Guides drawn 5 times higher.",
        "line touches the blank",
        "Mind: Heights are those of the guide's drawing",
        "Figures: invented for this specimen",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    assert!(!text.contains("Turned"));
    let mut turned = spinning();
    turned.rows[3].turned = "40°".to_owned();
    assert!(words(turned).contains("Turned"));
}

#[test]
fn the_layout_comes_after_the_measurements() {
    let fonts = Fonts::load().unwrap();
    let text = words_of(&pages(&fonts, &specimen::rich()));
    let place = |words: &str| text.find(words).unwrap();
    assert!(place("Blank as measured") < place("Tip deflection"));
    assert!(place("Tip deflection") < place("Parts on the blank"));
    let mut log = specimen::rich();
    log.rod.layout = None;
    assert!(!words_of(&pages(&fonts, &log)).contains("Guides drawn"));
}

#[test]
fn a_missing_part_is_said() {
    let without = |change: fn(&mut BentRod)| {
        let mut curve = with(9, 1.2, 1.0).curve;
        change(&mut curve);
        words(curved(curve))
    };
    assert!(without(|curve| curve.axis.clear()).contains("under load is not known"));
    assert!(without(|curve| curve.length_mm = 0.0).contains("its length is not known"));
    let both = without(|curve| (curve.length_mm, curve.axis) = (0.0, vec![]));
    assert!(both.contains("Neither the rod's length nor its curve is known"));
    let lost = without(|curve| curve.rings[2].foot.0 = f64::NAN);
    assert!(lost.contains("A guide whose place is not known is not drawn."));
    let none = GuideLayout { rows: vec![], curve: bare(0.9), ..with(0, 0.9, 1.0) };
    let none = words(none);
    assert!(none.contains("No guide has been laid out yet."));
    assert!(!none.contains("times higher") && !none.contains("touches the blank from"));
}

#[test]
fn sixty_guides_break_over_pages_under_a_head_each_time() {
    let fonts = Fonts::load().unwrap();
    for paper in BOTH {
        let pages = pages(&fonts, &log(with(60, 1.3, 1.0), paper));
        let mut found = 0;
        let mut broken = 0;
        for marks in &pages {
            let said: Vec<&str> = texts(marks).map(|(_, _, run)| run.text.as_str()).collect();
            let rows = said.iter().filter(|text| ["clear", "touches"].contains(text)).count();
            if rows > 0 {
                assert!(said.contains(&"Height"), "{paper:?}: no head above {rows} rows");
                assert!(rows > 1, "{paper:?}: a row stands alone");
                found += rows;
                broken += 1;
            }
        }
        assert_eq!(found, 61);
        assert!(broken > 1, "{paper:?}");
    }
}

#[test]
fn numbers_end_under_each_other() {
    let fonts = Fonts::load().unwrap();
    let pages = pages(&fonts, &log(spinning(), Paper::A4));
    let ends: Vec<f32> = pages
        .iter()
        .flat_map(|marks| texts(marks))
        .filter(|(_, _, run)| ["1421.6 mm", "94.6 mm", "0.0 mm"].contains(&run.text.as_str()))
        .map(|(x, _, run)| x + run.width(&fonts))
        .collect();
    // The 94.6 mm stand in two columns.
    let first = ends[0];
    assert_eq!(ends.iter().filter(|end| (**end - first).abs() < 0.01).count(), 3, "{ends:?}");
}

#[test]
fn the_bent_rod_is_as_long_on_paper_as_the_straight_one() {
    let fonts = Fonts::load().unwrap();
    let long = |from: &Spot, to: &Spot| (to.0 - from.0).hypot(to.1 - from.1);
    for turn in [0.0, 1.25, 2.9, -1.3] {
        let pages = pages(&fonts, &log(with(8, turn, 1.0), Paper::A4));
        let (mut straight, mut bent) = (0.0_f32, 0.0_f32);
        for mark in pages.iter().flatten() {
            match mark {
                Mark::Line(from, to, stroke) if (stroke.weight - 1.7).abs() < 0.01 => {
                    straight = straight.max(long(from, to));
                }
                Mark::Shape { corners, fill: None, edge: Some(edge) }
                    if (edge.weight - 1.7).abs() < 0.01 =>
                {
                    // There and back.
                    let sides = corners.windows(2).map(|pair| long(&pair[0], &pair[1]));
                    bent = sides.sum::<f32>() / 2.0;
                }
                _ => {}
            }
        }
        // A 2133.6 mm rod at 1:16, the caption's scale for A4, is 133.35 mm long on paper.
        assert!((straight / MM - 133.35).abs() < 0.01, "turned {turn}: {straight}");
        assert!((bent / straight - 1.0).abs() < 0.002, "turned {turn}: {bent}, {straight}");
    }
}

/// Lines of this weight on the pages.
fn lines(layout: GuideLayout, weight: f32) -> usize {
    let fonts = Fonts::load().unwrap();
    let pages = pages(&fonts, &log(layout, Paper::A4));
    let thick = |mark: &&Mark| matches!(mark, Mark::Line(_, _, stroke) if (stroke.weight - weight).abs() < 0.01);
    pages.iter().flatten().filter(thick).count()
}

#[test]
fn a_span_that_touches_is_thicker_and_bears_a_sign() {
    let mut layout = spinning();
    // A span and its sample in the key; two arms of a cross for each.
    assert_eq!((lines(layout.clone(), 1.9), lines(layout.clone(), 1.3)), (2, 4));
    for ring in &mut layout.curve.rings {
        ring.touches = false;
    }
    assert_eq!((lines(layout.clone(), 1.9), lines(layout, 1.3)), (0, 0));
}

#[test]
fn low_guides_are_drawn_high_enough_to_be_seen() {
    let fonts = Fonts::load().unwrap();
    for (name, layout) in odd() {
        if name == "flat" || name == "tiny" {
            continue;
        }
        let pages = pages(&fonts, &log(layout, Paper::A4));
        for mark in pages.iter().flatten() {
            let Mark::Line(from, to, stroke) = mark else { continue };
            if (stroke.weight - 0.9).abs() < 0.01 {
                let long = (to.0 - from.0).hypot(to.1 - from.1) / MM;
                assert!(long > 1.49, "{name}: a guide is {long} mm high on paper");
            }
        }
    }
}
