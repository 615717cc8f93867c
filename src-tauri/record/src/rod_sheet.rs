//! The first page: whose rod it is, the drawing, and the blank as measured.

use crate::{
    block::{Column, heading, labelled, paragraph, rule, small, table},
    flow::{self, Anchor, Strip, tie, together},
    fonts::Fonts,
    guide_layout,
    model::{RodSheet, When},
    rod, scale,
    style::{BODY, HAIR, Ink, LABEL, RULE, SECTION, STRONG, TITLE},
    words::{millimetres, moment},
    wrap::{Run, wrap},
};

/// Wishes longer than this many lines stand after the drawing, so that it keeps to page one.
const WISHES_BESIDE: usize = 8;
/// Width of the labels in the title block, in points.
const LABELS: f32 = 74.0;

/// What stands over a rod's sheet.
pub(crate) struct Head<'a> {
    /// What kind of paper it is on.
    pub(crate) kind: &'a str,
    pub(crate) shop: &'a str,
    pub(crate) printed: When,
}

/// The strips of the rod sheet. A table no higher than `whole` points is kept on one page.
pub(crate) fn strips(
    fonts: &Fonts,
    rod: &RodSheet,
    head: &Head<'_>,
    column: Column,
    whole: f32,
) -> Vec<Strip> {
    let mut strips = title(fonts, rod, head, column);
    let wishes = [Run::new(fonts, BODY, rod.wishes.trim())];
    let beside = wrap(fonts, &wishes, column.width - LABELS).len() <= WISHES_BESIDE;
    strips.extend(block(fonts, rod, head, column, beside.then_some(&wishes)));
    strips.extend(drawing(fonts, rod, column));
    strips.extend(together(measurements(fonts, rod, column), whole));
    if let Some(layout) = &rod.layout {
        strips.extend(guide_layout::strips(fonts, layout, column, whole));
    }
    if !beside {
        strips.extend(below(heading(fonts, SECTION, "Wishes", column), 20.0));
        strips.extend(paragraph(fonts, &wishes, column));
    }
    strips.extend(together(on_the_blank(fonts, rod, column), whole));
    strips.extend(together(materials(fonts, rod, column), whole));
    strips.extend(together(revisions(fonts, rod, column), whole));
    strips
}

fn title(fonts: &Fonts, rod: &RodSheet, head: &Head<'_>, column: Column) -> Vec<Strip> {
    let kind = Run::new(fonts, STRONG, head.kind);
    let mut strips = paragraph(fonts, &[kind], column);
    let name = if rod.title.trim().is_empty() { &rod.id } else { &rod.title };
    strips.extend(heading(fonts, TITLE, name, column));
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: "rod".to_owned(), title: "Rod sheet".to_owned() });
    }
    strips.push(rule(column, 1.4, Ink::Full).below(7.0));
    tie(&mut strips);
    strips
}

/// The title block: labelled facts in two columns, long ones across both.
fn block(
    fonts: &Fonts,
    rod: &RodSheet,
    head: &Head<'_>,
    column: Column,
    wishes: Option<&[Run; 1]>,
) -> Vec<Strip> {
    let printed = moment(head.printed);
    let pairs = [
        [("Rod", rod.id.as_str()), ("Workshop", head.shop)],
        [("Customer", rod.customer.as_str()), ("Printed", printed.as_str())],
        [("Reel", rod.reel.as_str()), ("Length", rod.length_text.as_str())],
    ];
    let half = Column { x: column.x, width: column.width / 2.0 - 8.0 };
    let other = Column { x: column.x + column.width / 2.0 + 8.0, ..half };
    let fact = |label: &str, text: &str, column: Column| {
        let text = if text.trim().is_empty() { "not stated" } else { text.trim() };
        labelled(fonts, label, &[Run::new(fonts, BODY, text)], column, LABELS)
    };
    let mut strips = Vec::new();
    for [(label, text), (other_label, other_text)] in pairs {
        let mut row = merge(fact(label, text, half), fact(other_label, other_text, other));
        close(&mut row, column, HAIR);
        strips.extend(row);
    }
    let mut row = fact("Blank", &rod.blank, column);
    close(&mut row, column, if wishes.is_some() { HAIR } else { RULE });
    strips.extend(row);
    if let Some(wishes) = wishes {
        let mut row = if rod.wishes.trim().is_empty() {
            fact("Wishes", "", column)
        } else {
            labelled(fonts, "Wishes", wishes, column, LABELS)
        };
        close(&mut row, column, RULE);
        strips.extend(row);
    }
    strips
}

/// Puts two rows of strips beside each other.
pub(crate) fn merge(left: Vec<Strip>, right: Vec<Strip>) -> Vec<Strip> {
    let count = left.len().max(right.len());
    let (mut left, mut right) = (left.into_iter(), right.into_iter());
    (0..count)
        .filter_map(|_| match (left.next(), right.next()) {
            (Some(mut strip), Some(other)) => {
                strip.marks.extend(other.marks);
                strip.height = strip.height.max(other.height);
                Some(strip)
            }
            (strip, other) => strip.or(other),
        })
        .collect()
}

/// Some air around a row of the title block, and a line below it.
pub(crate) fn close(row: &mut [Strip], column: Column, weight: f32) {
    const PAD: f32 = 3.2;
    if let Some(first) = row.first_mut() {
        first.gap = PAD;
    }
    if let Some(last) = row.last_mut() {
        last.height += PAD;
        let line = rule(column, weight, if weight > HAIR { Ink::Full } else { Ink::Soft });
        last.marks.extend(line.marks.iter().map(|mark| mark.moved(0.0, last.height)));
    }
}

fn drawing(fonts: &Fonts, rod: &RodSheet, column: Column) -> Vec<Strip> {
    let Some(drawing) = rod::draw(fonts, rod, column) else {
        let text = "No length and no diameter has been recorded yet, so the rod is not drawn.";
        return below(paragraph(fonts, &[Run::new(fonts, BODY, text)], column), 16.0);
    };
    let mut strips = vec![drawing.strip.below(16.0)];
    if !rod.fitted.is_empty() {
        strips.push(rod::legend(fonts, column).below(8.0));
    }
    flow::drawing(&mut strips, drawn_words(rod));
    strips
        .extend(below(paragraph(fonts, &[Run::new(fonts, LABEL, &drawing.caption)], column), 3.0));
    tie(&mut strips);
    strips
}

/// The drawing in words. Places and diameters stand in the tables below it.
fn drawn_words(rod: &RodSheet) -> String {
    let parts: Vec<String> = rod
        .fitted
        .iter()
        .map(|part| format!("{} ({})", part.label.trim(), rod::state_word(part.state)))
        .collect();
    if parts.is_empty() {
        return "Drawing of the blank from butt to tip, to scale.".to_owned();
    }
    format!("Drawing of the rod from butt to tip, to scale, with {}.", parts.join(", "))
}

/// The measured diameters, in as many narrow tables side by side as there is room for.
fn measurements(fonts: &Fonts, rod: &RodSheet, column: Column) -> Vec<Strip> {
    const SIDE_BY_SIDE: usize = 3;
    const BETWEEN: f32 = 18.0;
    let mut strips = below(heading(fonts, SECTION, "Blank as measured", column), 18.0);
    if rod.stations.is_empty() {
        let text = "No diameter has been recorded yet.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, text)], column));
        return strips;
    }
    let heads = [("No.", 0.5), ("From butt", 1.0), ("Diameter", 1.0)];
    let count = rod.stations.len();
    let rows: Vec<Vec<Run>> = scale::stations(rod)
        .into_iter()
        .enumerate()
        .map(|(at, station)| {
            let texts = [&(at + 1).to_string(), &station.from_butt_text, &station.diameter_text];
            texts.map(|text| small(fonts, text)).to_vec()
        })
        .collect();
    let width = (column.width - 2.0 * BETWEEN) / 3.0;
    let per_table = count.div_ceil(SIDE_BY_SIDE).max(4.min(count));
    let mut tables: Vec<Vec<Strip>> = Vec::new();
    let mut x = column.x;
    for rows in rows.chunks(per_table.max(1)) {
        tables.push(table(fonts, &heads, rows, Column { x, width }, &[]));
        x += width + BETWEEN;
    }
    // Beside each other only if every row is one line high; else they would fall out of step.
    let level = tables.iter().all(|strips| strips.iter().all(|strip| strip.gap > 0.0));
    if level {
        strips.extend(tables.into_iter().reduce(merge).unwrap_or_default());
    } else {
        strips.extend(table(fonts, &heads, &rows, column, &[]));
    }
    strips
}

/// The parts on the blank, with their state in words.
fn on_the_blank(fonts: &Fonts, rod: &RodSheet, column: Column) -> Vec<Strip> {
    let mut strips = Vec::new();
    if !rod.fitted.is_empty() {
        strips.extend(below(heading(fonts, SECTION, "Parts on the blank", column), 18.0));
        let rows: Vec<Vec<Run>> = rod
            .fitted
            .iter()
            .enumerate()
            .map(|(at, part)| {
                [
                    (at + 1).to_string(),
                    part.label.clone(),
                    millimetres(part.from_mm),
                    millimetres(part.to_mm),
                    millimetres(part.diameter_mm),
                    rod::state_word(part.state).to_owned(),
                ]
                .map(|text| small(fonts, &text))
                .to_vec()
            })
            .collect();
        let heads = [
            ("No.", 0.45),
            ("Part", 2.6),
            ("From butt", 1.2),
            ("To", 1.2),
            ("Diameter", 1.2),
            ("State", 1.0),
        ];
        strips.extend(table(fonts, &heads, &rows, column, &[]));
    }
    strips
}

/// The parts of the order.
fn materials(fonts: &Fonts, rod: &RodSheet, column: Column) -> Vec<Strip> {
    let mut strips = Vec::new();
    if !rod.parts.is_empty() {
        strips.extend(below(heading(fonts, SECTION, "Parts and materials", column), 18.0));
        for (label, text) in &rod.parts {
            let text = [Run::new(fonts, BODY, text.trim())];
            strips.extend(below(labelled(fonts, label, &text, column, 110.0), 1.5));
        }
    }
    strips
}

/// What was added or put right: what stood there, what stands there now, why and by whom.
fn revisions(fonts: &Fonts, rod: &RodSheet, column: Column) -> Vec<Strip> {
    const LABELS: f32 = 84.0;
    let mut strips = Vec::new();
    if rod.revisions.is_empty() {
        return strips;
    }
    let title = "Added or put right on this sheet";
    strips.extend(below(heading(fonts, SECTION, title, column), 18.0));
    for revision in &rod.revisions {
        let mut block = Vec::new();
        let was = revision.was.as_deref().unwrap_or("");
        let facts = [
            ("Was", was, BODY),
            ("Now", &revision.now, STRONG),
            ("Reason", &revision.reason, BODY),
        ];
        for (label, words, style) in facts {
            if !words.trim().is_empty() {
                let words = [Run::new(fonts, style, words.trim())];
                block.extend(labelled(fonts, label, &words, column, LABELS));
            }
        }
        let by =
            format!("{}, {}; event {}", revision.who.trim(), moment(revision.when), revision.event);
        block.extend(paragraph(fonts, &[Run::new(fonts, LABEL, &by)], column));
        tie(&mut block);
        strips.extend(below(block, 6.0));
    }
    strips
}

/// White above the first strip.
pub(crate) fn below(mut strips: Vec<Strip>, gap: f32) -> Vec<Strip> {
    if let Some(first) = strips.first_mut() {
        first.gap = gap;
    }
    strips
}
