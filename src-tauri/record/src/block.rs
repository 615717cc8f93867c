//! Paragraphs, labelled texts, dotted lines and tables: what the parts of a record are built of.

use std::{iter, rc::Rc, slice};

use crate::{
    element::{Element, Role},
    flow::{self, Strip},
    fonts::Fonts,
    mark::{Dash, Mark, Stroke, baseline, line_marks},
    style::{HAIR, Ink, LABEL, SMALL, SMALL_STRONG, Style},
    wrap::{Line, Run, wrap},
};

/// An upright part of the page that text is set into, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Column {
    pub(crate) x: f32,
    pub(crate) width: f32,
}

impl Column {
    /// The column less its left `by` points.
    pub(crate) fn indented(self, by: f32) -> Self {
        Self { x: self.x + by, width: (self.width - by).max(1.0) }
    }

    /// Its right end.
    pub(crate) fn right(self) -> f32 {
        self.x + self.width
    }
}

/// Lets each line of the text be a strip.
pub(crate) fn paragraph(fonts: &Fonts, runs: &[Run], column: Column) -> Vec<Strip> {
    set(fonts, Role::Paragraph, runs, column)
}

fn set(fonts: &Fonts, role: Role, runs: &[Run], column: Column) -> Vec<Strip> {
    let mut strips: Vec<Strip> = wrap(fonts, runs, column.width)
        .iter()
        .map(|line| line_strip(line, column.x, runs))
        .collect();
    flow::no_orphans(&mut strips);
    flow::all_in(&mut strips, &Element::new(role));
    strips
}

/// A heading: it never stands at the foot of a page, and is never cut.
pub(crate) fn heading(fonts: &Fonts, style: Style, text: &str, column: Column) -> Vec<Strip> {
    let run = Run::on_one_line(fonts, style, text);
    let role = style.heading_level().map_or(Role::Paragraph, Role::Heading);
    let mut strips = set(fonts, role, &[run], column);
    for strip in &mut strips {
        strip.keep = true;
    }
    if let Some(last) = strips.last_mut() {
        last.height += style.size * 0.15;
    }
    strips
}

fn line_strip(line: &Line, x: f32, runs: &[Run]) -> Strip {
    let height = runs.iter().map(|run| run.style.leading).fold(0.0, f32::max);
    let size = runs.iter().map(|run| run.style.size).fold(0.0, f32::max);
    Strip::new(height, line_marks(line, x, baseline(size, height)).collect())
}

/// A label in the left `label_width` points and its text to the right of it.
pub(crate) fn labelled(
    fonts: &Fonts,
    label: &str,
    text: &[Run],
    column: Column,
    label_width: f32,
) -> Vec<Strip> {
    let label_column = Column { x: column.x, width: label_width - 6.0 };
    let label = [Run::on_one_line(fonts, LABEL, label)];
    let text_column = column.indented(label_width);
    let mut cells = [
        Cell::of(fonts, &label, label_column, Side::Left),
        Cell::of(fonts, text, text_column, Side::Left),
    ];
    let whole = Element::new(Role::Paragraph);
    let [label, text] = &mut cells;
    // A label of several lines is read to its end before the text beside it.
    label.element = (label.lines.len() > 1).then(|| Element::new(Role::Paragraph));
    text.element = Some(whole.clone());
    let mut strips = side_by_side(&cells);
    flow::no_orphans(&mut strips);
    flow::all_in(&mut strips, &whole);
    strips
}

/// Which side of its column a text keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Words.
    Left,
    /// Numbers, so that their last digits stand under each other.
    Right,
}

/// A text set into its column.
struct Cell<'a> {
    lines: Vec<Line>,
    column: Column,
    runs: &'a [Run],
    side: Side,
    /// What it is, if it is something by itself.
    element: Option<Element>,
}

impl<'a> Cell<'a> {
    fn of(fonts: &Fonts, runs: &'a [Run], column: Column, side: Side) -> Self {
        Self { lines: wrap(fonts, runs, column.width), column, runs, side, element: None }
    }

    /// Where a line of it begins.
    fn left(&self, line: &Line) -> f32 {
        match self.side {
            Side::Left => self.column.x,
            Side::Right => self.column.right() - line.width,
        }
    }
}

/// Lays cells beside each other, line by line, first baselines level.
fn side_by_side(cells: &[Cell<'_>]) -> Vec<Strip> {
    let styles = || cells.iter().flat_map(|cell| cell.runs.iter().map(|run| run.style));
    let leading = styles().map(|style| style.leading).fold(0.0, f32::max);
    let size = styles().map(|style| style.size).fold(0.0, f32::max);
    let y = baseline(size, leading);
    let count = cells.iter().map(|cell| cell.lines.len()).max().unwrap_or(0);
    (0..count)
        .map(|at| {
            let marks = cells
                .iter()
                .filter_map(|cell| Some((cell.lines.get(at)?, cell)))
                .flat_map(|(line, cell)| {
                    let of = cell.element.iter().map(|element| Mark::In(Some(element.clone())));
                    of.chain(line_marks(line, cell.left(line), y))
                })
                .collect();
            Strip::new(leading, marks)
        })
        .collect()
}

/// Asked on the left, answered on the right, joined by dots. If both do not fit on a line the
/// answer follows below, set in from the left.
pub(crate) fn dotted(fonts: &Fonts, asked: Run, answer: Run, column: Column) -> Vec<Strip> {
    const LEAST_DOTS: f32 = 22.0;
    const BESIDE: f32 = 4.0;
    let (left, right) = (asked.width(fonts), answer.width(fonts));
    let one_line = !asked.text.contains('\n') && !answer.text.contains('\n');
    if one_line && left + right + LEAST_DOTS <= column.width {
        let leading = asked.style.leading.max(answer.style.leading);
        let y = baseline(asked.style.size.max(answer.style.size), leading);
        let answer_x = column.right() - right;
        let (from, to) = (column.x + left + BESIDE, answer_x - BESIDE);
        // Drawn from the right, so that the dots of successive lines stand under each other. A line
        // and no letters: nobody wants the dots read out.
        let leader = Stroke { weight: 1.0, ink: Ink::Soft, dash: Dash::Leader };
        let marks = vec![
            Mark::In(Some(Element::new(Role::Paragraph))),
            Mark::Text((column.x, y), asked),
            Mark::Text((answer_x, y), answer),
            Mark::Line((to, y - 0.5), (from, y - 0.5), leader),
        ];
        return vec![Strip::new(leading, marks)];
    }
    let mut strips = paragraph(fonts, &[asked], column);
    strips.extend(paragraph(fonts, &[answer], column.indented(24.0)));
    if let Some(first) = strips.first_mut() {
        first.keep = true;
    }
    strips
}

/// A line across the column.
pub(crate) fn rule(column: Column, weight: f32, ink: Ink) -> Strip {
    let stroke = Stroke::solid(weight, ink);
    Strip::new(weight, vec![Mark::Line((column.x, 0.0), (column.right(), 0.0), stroke)])
}

/// A table's columns: heading and share of the width.
pub(crate) type Heads<'a> = [(&'a str, f32)];

/// White between the columns of a table, in points.
pub(crate) const BETWEEN: f32 = 8.0;

/// A table whose head is said again on each page. Rows are cut at a line only if they must be.
pub(crate) fn table(
    fonts: &Fonts,
    heads: &Heads<'_>,
    rows: &[Vec<Run>],
    column: Column,
    above_head: &[Strip],
) -> Vec<Strip> {
    table_with(fonts, heads, &[], rows, column, above_head)
}

/// The same with the side that each column keeps to; those beyond the list keep to the left.
pub(crate) fn table_with(
    fonts: &Fonts,
    heads: &Heads<'_>,
    sides: &[Side],
    rows: &[Vec<Run>],
    column: Column,
    above_head: &[Strip],
) -> Vec<Strip> {
    const PAD: f32 = 2.4;
    const WHOLE_ROW: f32 = 120.0;
    let shares: f32 = heads.iter().map(|(_, share)| share).sum();
    let mut x = column.x;
    let columns: Vec<Column> = heads
        .iter()
        .map(|(_, share)| {
            let width = column.width * share / shares;
            let cell = Column { x, width: (width - BETWEEN).max(1.0) };
            x += width;
            cell
        })
        .collect();
    let table = Element::new(Role::Table);
    let set = |cells: &[Run], role: Role, ink: Ink, weight: f32| {
        let row = table.part(Role::Row);
        let cells: Vec<_> = cells
            .iter()
            .zip(&columns)
            .zip(sides.iter().copied().chain(iter::repeat(Side::Left)))
            .map(|((run, cell), side)| Cell {
                element: Some(row.part(role.clone())),
                ..Cell::of(fonts, slice::from_ref(run), *cell, side)
            })
            .collect();
        let mut strips = side_by_side(&cells);
        if let Some(first) = strips.first_mut() {
            first.gap = PAD;
        }
        if let Some(last) = strips.last_mut() {
            last.height += PAD;
            let y = last.height;
            let stroke = Stroke::solid(weight, ink);
            last.marks.push(Mark::Line((column.x, y), (column.right(), y), stroke));
        }
        strips
    };
    let head_cells: Vec<Run> =
        heads.iter().map(|(head, _)| Run::new(fonts, SMALL_STRONG, head)).collect();
    let mut head = set(&head_cells, Role::Head, Ink::Full, 0.6);
    for strip in &mut head {
        strip.keep = true;
    }
    let again: Rc<[Strip]> = above_head.iter().chain(&head).cloned().collect();
    let mut strips = head;
    let count = rows.len();
    for (at, row) in rows.iter().enumerate() {
        let mut lines = set(row, Role::Cell, Ink::Soft, HAIR);
        flow::no_orphans(&mut lines);
        let mut lines = flow::together(lines, WHOLE_ROW);
        for line in &mut lines {
            line.again = Some(Rc::clone(&again));
        }
        // No row stands alone under the head or on the next page.
        if let (Some(last), true) = (lines.last_mut(), at == 0 || at + 2 == count) {
            last.keep = at + 1 < count;
        }
        strips.extend(lines);
    }
    strips
}

/// A run in the small type of tables.
pub(crate) fn small(fonts: &Fonts, text: &str) -> Run {
    Run::new(fonts, SMALL, text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::{BODY, STRONG};

    fn texts(strip: &Strip) -> Vec<&str> {
        strip
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Text(_, run) => Some(run.text.as_str()),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn an_answer_is_joined_by_dots_without_touching() {
        let fonts = Fonts::load().unwrap();
        let column = Column { x: 30.0, width: 300.0 };
        let asked = Run::new(&fonts, BODY, "Resin to hardener");
        let answer = Run::new(&fonts, STRONG, "2.02 : 1");
        let strips = dotted(&fonts, asked, answer, column);
        assert_eq!(strips.len(), 1);
        assert_eq!(texts(&strips[0]), ["Resin to hardener", "2.02 : 1"]);
        let ends: Vec<(f32, f32)> = strips[0]
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Text((x, _), run) => Some((*x, x + run.width(&fonts))),
                // Drawn from the right.
                Mark::Line((right, _), (left, _), _) => Some((*left, *right)),
                _ => None,
            })
            .collect();
        let [asked, answer, dots] = ends.as_slice() else { panic!("{ends:?}") };
        assert!(asked.1 < dots.0 && dots.0 + 100.0 < dots.1 && dots.1 < answer.0);
        assert!((answer.1 - 330.0).abs() < 0.01);
    }

    #[test]
    fn a_long_answer_goes_below_and_stays_with_its_question() {
        let fonts = Fonts::load().unwrap();
        let column = Column { x: 0.0, width: 120.0 };
        let asked = Run::new(&fonts, BODY, "Where the bore stops");
        let answer = Run::new(&fonts, BODY, "at the third mark from the butt, by eye");
        let strips = dotted(&fonts, asked, answer, column);
        assert!(strips.len() >= 3);
        assert!(strips[0].keep);
        assert_eq!(texts(&strips[0]), ["Where the bore stops"]);
    }

    #[test]
    fn every_row_knows_the_head_it_needs_after_a_break() {
        let fonts = Fonts::load().unwrap();
        let column = Column { x: 0.0, width: 200.0 };
        let rows: Vec<Vec<Run>> =
            (0..3).map(|n| vec![small(&fonts, &n.to_string()), small(&fonts, "yes")]).collect();
        let strips = table(&fonts, &[("Check", 1.0), ("Answer", 1.0)], &rows, column, &[]);
        assert_eq!(strips.len(), 4);
        assert!(strips[0].keep && strips[0].again.is_none());
        for strip in &strips[1..] {
            let again = strip.again.as_ref().unwrap();
            assert_eq!(texts(&again[0]), ["Check", "Answer"]);
        }
    }

    #[test]
    fn cells_keep_to_their_columns() {
        let fonts = Fonts::load().unwrap();
        let column = Column { x: 10.0, width: 160.0 };
        let long = "Brzozowieckapodlasinowskaśliwczanka".to_owned();
        let rows = vec![vec![small(&fonts, &long), small(&fonts, &long)]];
        let strips = table(&fonts, &[("A", 1.0), ("B", 1.0)], &rows, column, &[]);
        let mut all = String::new();
        for mark in strips.iter().skip(1).flat_map(|strip| &strip.marks) {
            let Mark::Text((x, _), run) = mark else { continue };
            let limit = if *x < 90.0 { 90.0 } else { 170.0 };
            assert!(x + run.width(&fonts) <= limit);
            all.push_str(&run.text);
        }
        assert_eq!(all.chars().count(), 2 * long.chars().count());
    }
}
