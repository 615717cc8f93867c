//! A checklist to fill in by hand while Coldbench does not run.

use crate::{
    block::{BETWEEN, Column, labelled, paragraph, rule, small},
    caution,
    flow::{Anchor, Page, Strip, no_orphans, paginate, tie, together},
    fonts::Fonts,
    mark::{Mark, Stroke, baseline},
    pages_model::{HandAnswer, HandClock, HandLine, HandList},
    proof,
    rod_sheet::below,
    sheet::Sheet,
    single::{self, Named, WRITE},
    style::{BODY, HAIR, Ink, LABEL, RULE, SMALL, SMALL_STRONG, STEP, STRONG},
    wrap::{Run, fit, wrap},
};

/// A line of the list is moved rather than cut, up to this share of a page.
const WHOLE_LINE: f32 = 0.75;
/// Room left of the text for the number, in points.
const GUTTER: f32 = 30.0;
/// Width of the label "Key point", in points.
const LABELS: f32 = 62.0;
/// What stands at the foot of every page, above the frame's own foot.
const LATER: &str = "To be keyed in later.";
/// Height of that line with the white above it, in points.
const FOOT: f32 = WRITE + 2.0;

/// What it is called.
pub(crate) fn named(list: &HandList) -> Named {
    let (id, title) = (list.text.id.trim(), list.text.title.trim());
    let (tag, of) = match &list.rod {
        Some(rod) => (format!("{}, {id} by hand", rod.id.trim()), format!("{}: ", rod.id.trim())),
        None => (format!("{id} by hand"), String::new()),
    };
    Named {
        tag,
        title: format!("Checklist to fill in by hand, {of}{title}"),
        subject: "Checklist of a rod workshop, to fill in by hand",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, list: &HandList) -> Vec<Page> {
    let sheet = Sheet::of(list.imprint.paper);
    let (column, height) = (sheet.column(), sheet.body_height(fonts) - FOOT);
    let mut strips = head(fonts, list, column);
    for line in &list.lines {
        let mut lines = self::line(fonts, line, column);
        let again = format!("{}, line {} continued", list.text.title.trim(), line.number);
        let again = crate::stage::continued(fonts, &again, column);
        for strip in lines.iter_mut().skip(1) {
            strip.again = Some(std::rc::Rc::clone(&again));
        }
        strips.extend(together(lines, height * WHOLE_LINE));
    }
    strips.extend(later(fonts, column));
    strips.extend(proof::lacking(fonts, column));
    let mut pages = paginate(strips, height);
    // A page may be torn off: each says what becomes of it, and which sheet it is of.
    let of = if list.of_rod && list.rod.is_none() { "Rod" } else { "Station" };
    let foot = page_foot(fonts, list.rod.as_ref().map(|rod| rod.id.trim()), of, column);
    for page in &mut pages {
        page.marks.extend(foot.marks.iter().map(|mark| mark.moved(0.0, height)));
    }
    pages
}

fn page_foot(fonts: &Fonts, rod: Option<&str>, of: &str, column: Column) -> Strip {
    let words = rod.map_or(LATER.to_owned(), |rod| format!("{LATER}\u{a0} {rod}"));
    let words = Run::on_one_line(fonts, SMALL_STRONG, &words);
    let words = fit(fonts, words, column.width * 0.4);
    let beside = column.indented(words.width(fonts) + 14.0);
    let mut strip = single::lines(fonts, &[(of, 2.2), ("Date", 1.4), ("Sheet", 0.8)], beside);
    strip.marks.insert(0, Mark::Text((column.x, WRITE - 4.0), words));
    strip
}

/// Title, what is to be filled in at the top, and which text this is.
fn head(fonts: &Fonts, list: &HandList, column: Column) -> Vec<Strip> {
    let kind = "Checklist to fill in by hand";
    let mut strips = single::title(fonts, kind, &list.text.title, column);
    let aim = list.text.aim.trim();
    if !aim.is_empty() {
        strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, aim)], column), 4.0));
    }
    for notice in &list.notices {
        let words = Run::new(fonts, STRONG, notice.trim());
        strips.extend(below(paragraph(fonts, &[words], column), 4.0));
    }
    match (&list.rod, list.of_rod) {
        (Some(rod), _) => {
            let words = format!("{}, {}", rod.id.trim(), rod.title.trim());
            let words = words.trim_end_matches([',', ' ']).to_owned();
            strips.extend(single::across(fonts, "Rod", &words, column));
            strips.push(single::lines(fonts, &[("Station", 1.0)], column));
        }
        (None, true) => {
            strips.push(single::lines(fonts, &[("Rod", 1.6), ("Station", 1.0)], column));
        }
        (None, false) => strips.push(single::lines(fonts, &[("Station", 1.0)], column)),
    }
    let fields = [("Date", 1.4), ("Sheet number", 0.8), ("of", 0.5)];
    strips.push(single::lines(fonts, &fields, column));
    strips.extend(below(single::text_of(fonts, &list.text, column), 6.0));
    for strip in &mut strips {
        strip.keep = true;
    }
    strips
}

/// One line of the list. The caution stands before it, and with it.
fn line(fonts: &Fonts, line: &HandLine, column: Column) -> Vec<Strip> {
    let text = column.indented(GUTTER);
    let mut strips = if line.closed.trim().is_empty() {
        to_do(fonts, line, text)
    } else {
        let what = Run::new(fonts, BODY, line.what.trim());
        let mut strips = paragraph(fonts, &[what], text);
        strips.extend(paragraph(fonts, &[Run::new(fonts, SMALL_STRONG, line.closed.trim())], text));
        tie(&mut strips);
        strips
    };
    if let Some(first) = strips.first_mut() {
        let number = Run::new(fonts, STEP, &line.number.to_string());
        let y = baseline(STEP.size, first.height);
        first.marks.insert(0, Mark::Text((column.x, y), number));
        first.gap = 9.0;
    }
    if let Some(last) = strips.last_mut() {
        last.keep = true;
    }
    let mut end = rule(column, HAIR, Ink::Soft).below(7.0);
    end.height = 0.0;
    strips.push(end);
    strips
}

fn to_do(fonts: &Fonts, line: &HandLine, text: Column) -> Vec<Strip> {
    let caution = line.caution.as_deref();
    let mut strips = caution::words(fonts, caution, &line.hazards, BODY, STRONG, text);
    if !line.wear.is_empty() {
        let wear = [
            Run::new(fonts, STRONG, "Wear: "),
            Run::new(fonts, BODY, &format!("{}.", line.wear.join(", "))),
        ];
        strips.extend(paragraph(fonts, &wear, text.indented(caution::INSIDE)));
    }
    if let Some(heat) = &line.heat {
        let heat = Run::new(fonts, STRONG.ink(Ink::Rust), heat.trim());
        strips.extend(paragraph(fonts, &[heat], text.indented(caution::INSIDE)));
    }
    caution::bar(&mut strips, text);
    let above = if strips.is_empty() { 0.0 } else { 5.0 };
    let what = Run::new(fonts, STEP, line.what.trim());
    strips.extend(below(paragraph(fonts, &[what], text), above));
    if !line.key_point.trim().is_empty() {
        let words = [Run::new(fonts, BODY, line.key_point.trim())];
        strips.extend(below(labelled(fonts, "Key point", &words, text, LABELS), 1.0));
    }
    tie(&mut strips);
    let mut entries = Vec::new();
    for answer in &line.answers {
        entries.extend(below(self::answer(fonts, answer, text), 5.0));
    }
    if let Some(lot) = &line.lot {
        entries.extend(single::line(fonts, &format!("Lot of: {}", lot.trim()), text));
    }
    for clock in &line.clocks {
        entries.extend(below(self::clock(fonts, clock, text), 4.0));
    }
    if line.heat.is_some() {
        let fields = [("Clearance granted by Coldbench, number", 1.0), ("holds until", 1.0)];
        entries.push(single::lines(fonts, &fields, text));
    }
    let signed = if line.asks { "Answered: initials" } else { "Done: initials" };
    entries.push(sign(fonts, signed, text).below(2.0));
    if line.witness {
        if let Some(last) = entries.last_mut() {
            last.keep = true;
        }
        entries.push(sign(fonts, "Witness: initials", text));
    }
    // Whoever signs sees what they sign for.
    let count = entries.len();
    for strip in entries.iter_mut().rev().skip(1).take(2) {
        strip.keep = true;
    }
    if let (Some(last), true) = (strips.last_mut(), count <= 3) {
        last.keep = true;
    }
    strips.extend(entries);
    strips
}

/// Initials, date and time, under each other in all lines.
fn sign(fonts: &Fonts, what: &str, text: Column) -> Strip {
    const WHAT: f32 = 92.0;
    let label = Run::on_one_line(fonts, LABEL, what);
    let mut strip =
        single::lines(fonts, &[("", 1.1), ("Date", 1.2), ("Time", 0.9)], text.indented(WHAT));
    strip.marks.insert(0, Mark::Text((text.x, WRITE - 4.0), label));
    strip
}

fn answer(fonts: &Fonts, answer: &HandAnswer, text: Column) -> Vec<Strip> {
    match answer {
        HandAnswer::Value { name, limits, times } => value(fonts, name, limits, *times, text),
        HandAnswer::Choice(states) => {
            let mut strips = Vec::new();
            for (state, passes) in states {
                let mut runs = vec![Run::new(fonts, BODY, state.trim())];
                if !passes {
                    runs.push(Run::new(fonts, SMALL_STRONG, "\u{a0} does not pass"));
                }
                strips.extend(below(single::tick(fonts, &runs, text), 1.5));
            }
            tie(&mut strips);
            strips
        }
        HandAnswer::Lines(labels) => {
            let mut strips = Vec::new();
            for label in labels {
                strips.extend(single::line(fonts, label, text));
            }
            tie(&mut strips);
            strips
        }
        HandAnswer::Ticks { head, states, rows } => ticks(fonts, head, states, rows, text),
    }
}

/// What is measured, its limits, and a box for each time.
fn value(fonts: &Fonts, name: &str, limits: &str, times: u32, text: Column) -> Vec<Strip> {
    const BOX: f32 = 112.0;
    const GAP: f32 = 8.0;
    const PER_ROW: u32 = 3;
    let limits = limits.trim();
    // An amount keeps its unit beside it.
    let limits = if limits.len() <= 30 { limits.replace(' ', "\u{a0}") } else { limits.to_owned() };
    let limits = if limits.is_empty() {
        "no limits".to_owned()
    } else {
        format!("must\u{a0}be\u{a0}{limits}")
    };
    let runs =
        [Run::new(fonts, STRONG, name.trim()), Run::new(fonts, BODY, &format!("\u{a0} {limits}"))];
    let frame = |x: f32, y: f32| {
        let edge = Stroke::solid(RULE, Ink::Full);
        Mark::rectangle((x, y), BOX, WRITE - 3.0, None, Some(edge))
    };
    let left = Column { width: text.width - BOX - 12.0, ..text };
    if times <= 1 {
        let words = wrap(fonts, &runs, left.width);
        let mut strips = paragraph(fonts, &runs, left);
        if let Some(first) = strips.first_mut() {
            // One line is level with its box; more begin beside its upper edge.
            let down = if words.len() == 1 { (WRITE - first.height) / 2.0 } else { 0.0 };
            first.marks = first.marks.iter().map(|mark| mark.moved(0.0, down)).collect();
            first.marks.push(frame(text.right() - BOX, 1.0));
        }
        if let (1, Some(only)) = (words.len(), strips.last_mut()) {
            only.height = WRITE;
        }
        tie(&mut strips);
        return strips;
    }
    let mut strips = paragraph(fonts, &runs, text);
    let mut left_over = times;
    while left_over > 0 {
        let here = left_over.min(PER_ROW);
        let mut marks = Vec::new();
        let mut x = text.x;
        for _ in 0..here {
            marks.push(frame(x, 2.0));
            x += BOX + GAP;
        }
        strips.push(Strip::new(WRITE + 2.0, marks));
        left_over -= here;
    }
    no_orphans(&mut strips);
    strips
}

/// One row for each thing and some without a name, with a square under each state.
fn ticks(
    fonts: &Fonts,
    head: &str,
    states: &[String],
    rows: &[String],
    text: Column,
) -> Vec<Strip> {
    const SPARE: usize = 2;
    const SIDE: f32 = 10.0;
    let state_width = text.width * 0.19;
    let count = f32::from(u16::try_from(states.len()).unwrap_or(u16::MAX));
    let name = Column { width: (text.width - state_width * count - BETWEEN).max(60.0), ..text };
    let mut x = name.right() + BETWEEN;
    let columns: Vec<Column> = states
        .iter()
        .map(|_| {
            let cell = Column { x, width: state_width - BETWEEN };
            x += state_width;
            cell
        })
        .collect();
    let end = |strips: &mut Vec<Strip>| {
        if let Some(last) = strips.last_mut() {
            last.height += 3.0;
            let y = last.height;
            let stroke = Stroke::solid(HAIR, Ink::Soft);
            last.marks.push(Mark::Line((text.x, y), (text.right(), y), stroke));
        }
    };
    let mut strips = paragraph(fonts, &[Run::new(fonts, SMALL_STRONG, head.trim())], name);
    for (state, cell) in states.iter().zip(&columns) {
        let cell = paragraph(fonts, &[Run::new(fonts, SMALL_STRONG, state.trim())], *cell);
        strips = crate::rod_sheet::merge(strips, cell);
    }
    end(&mut strips);
    let spare = std::iter::repeat_n("", SPARE);
    for row in rows.iter().map(String::as_str).chain(spare) {
        let mut lines = below(paragraph(fonts, &[small(fonts, row.trim())], name), 3.0);
        if let Some(first) = lines.first_mut() {
            if row.trim().is_empty() {
                first.height = WRITE - 6.0;
            }
            let y = (SMALL.leading - SIDE) / 2.0 + 1.0;
            first.marks.extend(columns.iter().map(|cell| single::square((cell.x, y), SIDE)));
        }
        end(&mut lines);
        tie(&mut lines);
        strips.extend(lines);
    }
    no_orphans(&mut strips);
    strips
}

/// A clock: what it is, and when it was started or ended.
fn clock(fonts: &Fonts, clock: &HandClock, text: Column) -> Vec<Strip> {
    let runs = [Run::new(fonts, STRONG, "Clock \u{a0}"), Run::new(fonts, BODY, clock.words.trim())];
    let mut strips = paragraph(fonts, &runs, text);
    strips.push(if clock.starts {
        single::lines(fonts, &[("Started at", 1.0), ("To end at", 1.0)], text)
    } else {
        single::lines(fonts, &[("Ended at", 1.0), ("Date", 1.0)], text)
    });
    tie(&mut strips);
    strips
}

/// What becomes of the sheet.
fn later(fonts: &Fonts, column: Column) -> Vec<Strip> {
    let title = "These entries are to be keyed in later";
    let mut strips = single::section(fonts, title, column);
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: "later".to_owned(), title: "To be keyed in".to_owned() });
    }
    let words = "Key every entry into Coldbench as soon as it runs again, and write date and time \
                 from this sheet into a note. Until then nobody has signed: this sheet is a note \
                 of what was done, and its clocks are watched by nobody but you. Keep the sheet.";
    strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
    strips.push(
        single::lines(fonts, &[("Keyed in by", 1.6), ("Date", 1.0), ("Time", 0.7)], column)
            .below(6.0),
    );
    tie(&mut strips);
    strips
}
