//! The guides: the rod straight and bent, what was worked out, and a row for each.

use crate::{
    block::{BETWEEN, Column, Side, heading, labelled, paragraph, small, table_with},
    flow::{Strip, together},
    fonts::Fonts,
    guide_drawing,
    model::{GuideLayout, GuideRecord},
    rod_sheet::below,
    style::{BODY, LABEL, SECTION, SMALL_STRONG, STRONG},
    wrap::Run,
};

/// Width of the labels of what was worked out, in points.
const LABELS: f32 = 128.0;
/// What stands in the table where the line touches the blank. It is said in words.
const TOUCHES: &str = "touches";
const CLEAR: &str = "clear";

/// A column of the table: its head, and what stands in it.
type Shown = (&'static str, fn(&GuideRecord) -> &str);

const COLUMNS: [Shown; 10] = [
    ("Guide", |row| &row.number),
    ("From tip", |row| &row.from_tip),
    ("From butt", |row| &row.from_butt),
    ("To next", |row| &row.gap),
    ("Ring", |row| &row.ring),
    ("Height", |row| &row.height),
    ("Turned", |row| &row.turned),
    ("Load", |row| &row.load),
    ("Line turns", |row| &row.turn),
    ("Line to blank", |row| &row.clearance),
];

/// The strips of a layout. A part no higher than `whole` points is kept on one page.
pub(crate) fn strips(
    fonts: &Fonts,
    layout: &GuideLayout,
    column: Column,
    whole: f32,
) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, "Guides", column), 18.0);
    strips.extend(guide_drawing::strips(fonts, &layout.curve, column));
    let mut facts = Vec::new();
    for (label, value) in &layout.facts {
        let value = [Run::new(fonts, BODY, value.trim())];
        facts.extend(below(labelled(fonts, label, &value, column, LABELS), 1.5));
    }
    strips.extend(below(together(facts, whole), 8.0));
    strips.extend(below(rows(fonts, &layout.rows, column), 10.0));
    let mut gap = 8.0;
    for warning in &layout.warnings {
        let words = [Run::new(fonts, STRONG, "Mind: "), Run::new(fonts, BODY, warning.trim())];
        strips.extend(below(paragraph(fonts, &words, column), gap));
        gap = 3.0;
    }
    if !layout.source.trim().is_empty() {
        let source = format!("Figures: {}", layout.source.trim());
        strips.extend(below(paragraph(fonts, &[Run::new(fonts, LABEL, &source)], column), 6.0));
    }
    strips
}

/// The table of the guides.
fn rows(fonts: &Fonts, rows: &[GuideRecord], column: Column) -> Vec<Strip> {
    if rows.is_empty() {
        let text = "No guide has been laid out yet.";
        return paragraph(fonts, &[Run::new(fonts, BODY, text)], column);
    }
    let turned = rows.iter().any(|row| !row.turned.trim().is_empty());
    let columns: Vec<Shown> =
        COLUMNS.into_iter().filter(|(head, _)| turned || *head != "Turned").collect();
    let cells: Vec<Vec<Run>> = rows
        .iter()
        .map(|row| {
            let numbers = columns.iter().map(|(_, text)| small(fonts, text(row).trim()));
            let line = if row.touches {
                Run::new(fonts, SMALL_STRONG, TOUCHES)
            } else {
                small(fonts, CLEAR)
            };
            numbers.chain([line]).collect()
        })
        .collect();
    let names = || columns.iter().map(|(head, _)| *head).chain(["Line"]);
    let wished: Vec<f32> = names()
        .enumerate()
        .map(|(at, head)| {
            // A head may be broken between its words; an amount keeps its unit beside it.
            let words = head.split(' ').map(|word| Run::new(fonts, SMALL_STRONG, word));
            let head = words.map(|word| word.width(fonts)).fold(0.0, f32::max);
            let cells = cells.iter().filter_map(|row| row.get(at));
            cells.map(|run| run.width(fonts)).fold(head, f32::max).ceil()
        })
        .collect();
    let between = BETWEEN * count(wished.len());
    let most = level(&wished, column.width - between);
    let heads: Vec<(&str, f32)> =
        names().zip(wished).map(|(head, width)| (head, width.min(most) + BETWEEN)).collect();
    let sides = vec![Side::Right; columns.len()];
    table_with(fonts, &heads, &sides, &cells, column, &[])
}

/// How wide a column may become so that all of them find room: what is narrower keeps its
/// width, and the others share what is left.
fn level(wished: &[f32], room: f32) -> f32 {
    let mut sorted = wished.to_vec();
    sorted.sort_by(f32::total_cmp);
    let mut left = room;
    for (nth, width) in sorted.iter().enumerate() {
        let share = left / count(sorted.len() - nth);
        if *width > share {
            return share.max(1.0);
        }
        left -= width;
    }
    f32::MAX
}

fn count(number: usize) -> f32 {
    u16::try_from(number).map_or(f32::MAX, f32::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_widest_columns_give_way() {
        let near = |a: f32, b: f32| assert!((a - b).abs() < 1e-4, "{a} is not {b}");
        near(level(&[20.0, 30.0, 40.0], 100.0), f32::MAX);
        near(level(&[20.0, 900.0, 40.0], 100.0), 40.0);
        near(level(&[20.0, 900.0, 400.0], 100.0), 40.0);
        near(level(&[], 100.0), f32::MAX);
    }
}
