//! The sheet itself: its size, the frame of a drawing sheet, and the foot on every page.

use crate::{
    block::Column,
    flow::Page,
    fonts::Fonts,
    mark::{Mark, Stroke, baseline, line_marks},
    model::Paper,
    style::{HAIR, Ink, LABEL, MM, RULE, SMALL, SMALL_STRONG, Style},
    words::{STANDING, short_digest},
    wrap::{Run, fit, wrap},
};

/// The frame's distance from the left edge: room to punch or bind.
const FRAME_LEFT: f32 = 20.0 * MM;
/// The frame's distance from the other edges.
const FRAME: f32 = 10.0 * MM;
/// From the frame to the text.
const INSET: f32 = 7.0 * MM;
/// Height of the foot's row of cells.
const CELLS: f32 = 17.0;
/// White on either side in such a cell.
const PAD: f32 = 6.0;

/// How far right and down the text area begins.
pub(crate) const ORIGIN: (f32, f32) = (FRAME_LEFT + INSET, FRAME + INSET);

/// What the foot and the upper edge of every page say.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Foot<'a> {
    /// What the record is about, short.
    pub(crate) tag: &'a str,
    pub(crate) shop: &'a str,
    /// The ledger's digest.
    pub(crate) digest: &'a str,
    /// What an invented record says on every page.
    pub(crate) invented: Option<&'static str>,
}

/// Measures of the paper, in points from its top left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sheet {
    pub(crate) width: f32,
    pub(crate) height: f32,
}

impl Sheet {
    pub(crate) fn of(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self { width: 210.0 * MM, height: 297.0 * MM },
            Paper::Letter => Self { width: 612.0, height: 792.0 },
        }
    }

    /// The column of text, measured from the left of the text area.
    pub(crate) fn column(self) -> Column {
        Column { x: 0.0, width: self.width - FRAME_LEFT - FRAME - 2.0 * INSET }
    }

    /// Height of the text area, in points.
    pub(crate) fn body_height(self, fonts: &Fonts) -> f32 {
        let foot = CELLS + self.standing_height(fonts) + INSET * 0.7;
        self.height - 2.0 * FRAME - INSET - foot
    }

    fn frame_width(self) -> f32 {
        self.width - FRAME_LEFT - FRAME
    }

    fn standing_width(self) -> f32 {
        self.frame_width() - 12.0
    }

    fn standing_height(self, fonts: &Fonts) -> f32 {
        let lines = wrap(fonts, &[Run::new(fonts, LABEL, STANDING)], self.standing_width()).len();
        u16::try_from(lines).map_or(0.0, f32::from) * SMALL.leading + 4.0
    }

    /// What is the same on every page, from the paper's top left corner: the frame, and all of the foot
    /// but the number of the page.
    pub(crate) fn every(self, fonts: &Fonts, foot: &Foot<'_>, of: usize) -> Vec<Mark> {
        let mut marks = self.frame();
        if let Some(words) = foot.invented {
            marks.extend(self.invented(fonts, words));
        }
        marks.extend(self.foot(fonts, foot, of));
        marks
    }

    /// A page's own marks, from the paper's top left corner: what is on it, and its number.
    pub(crate) fn own(self, fonts: &Fonts, page: &Page, number: usize, of: usize) -> Vec<Mark> {
        let (dx, dy) = ORIGIN;
        let run = page_number(fonts, number, of);
        let x = self.width - FRAME - Self::page_cell(fonts, of) + PAD;
        let y = self.height - FRAME - CELLS + baseline(SMALL.size, CELLS);
        let mut marks = vec![Mark::Text((x, y), run)];
        marks.extend(page.marks.iter().map(|mark| mark.moved(dx, dy)));
        marks
    }

    /// Width of the cell for a page's number: that of the last, for figures are of one width.
    fn page_cell(fonts: &Fonts, of: usize) -> f32 {
        page_number(fonts, of, of).width(fonts) + 2.0 * PAD
    }

    /// The frame, with a mark at the middle of each side.
    fn frame(self) -> Vec<Mark> {
        const CENTRING: f32 = 3.0 * MM;
        let (left, right) = (FRAME_LEFT, self.width - FRAME);
        let (top, bottom) = (FRAME, self.height - FRAME);
        let (middle, half_way) = (f32::midpoint(left, right), f32::midpoint(top, bottom));
        let edge = Stroke::solid(RULE, Ink::Full);
        let line = |from, to| Mark::Line(from, to, edge);
        vec![
            Mark::rectangle((left, top), right - left, bottom - top, None, Some(edge)),
            line((middle, top - CENTRING), (middle, top)),
            line((middle, bottom), (middle, bottom + CENTRING)),
            line((left - CENTRING, half_way), (left, half_way)),
            line((right, half_way), (right + CENTRING, half_way)),
        ]
    }

    /// The words of an invented record, set into the upper edge of the frame.
    fn invented(self, fonts: &Fonts, words: &str) -> Vec<Mark> {
        let run = Run::new(fonts, SMALL_STRONG, words);
        let width = run.width(fonts);
        let x = FRAME_LEFT + (self.frame_width() - width) / 2.0;
        let clear = (x - 6.0, FRAME - 10.0);
        vec![
            Mark::rectangle(clear, width + 12.0, 17.0, Some(Ink::Paper), None),
            Mark::Text((x, FRAME + 3.3), run),
        ]
    }

    /// The standing words, and below them tag, workshop and ledger in a row of cells, the last of which
    /// is for the number of the page.
    fn foot(self, fonts: &Fonts, foot: &Foot<'_>, of: usize) -> Vec<Mark> {
        let bottom = self.height - FRAME;
        let cells_top = bottom - CELLS;
        let words_top = cells_top - self.standing_height(fonts);
        let hair = Stroke::solid(HAIR, Ink::Full);
        let right = self.width - FRAME;
        let mut marks = vec![
            Mark::Line((FRAME_LEFT, words_top), (right, words_top), hair),
            Mark::Line((FRAME_LEFT, cells_top), (right, cells_top), hair),
        ];
        let standing = [Run::new(fonts, LABEL, STANDING)];
        let mut y = words_top + 2.0;
        for line in wrap(fonts, &standing, self.standing_width()) {
            let x = FRAME_LEFT + (self.frame_width() - line.width) / 2.0;
            marks.extend(line_marks(&line, x, y + baseline(LABEL.size, LABEL.leading)));
            y += LABEL.leading;
        }

        let set = |style: Style, words: &str| Run::on_one_line(fonts, style, words);
        let digest = set(SMALL, &format!("Ledger {}", short_digest(foot.digest)));
        let page_width = Self::page_cell(fonts, of);
        let digest_width = digest.width(fonts) + 2.0 * PAD;
        let left_over = self.frame_width() - page_width - digest_width;
        let tag = fit(fonts, set(SMALL_STRONG, foot.tag), left_over * 0.5 - 2.0 * PAD);
        let tag_width = tag.width(fonts) + 2.0 * PAD;
        let shop = fit(fonts, set(SMALL, foot.shop), left_over - tag_width - 2.0 * PAD);
        let y = cells_top + baseline(SMALL.size, CELLS);
        let mut x = FRAME_LEFT;
        for (run, width) in
            [(tag, tag_width), (shop, left_over - tag_width), (digest, digest_width)]
        {
            marks.push(Mark::Text((x + PAD, y), run));
            x += width;
            marks.push(Mark::Line((x, cells_top), (x, bottom), hair));
        }
        marks
    }
}

fn page_number(fonts: &Fonts, number: usize, of: usize) -> Run {
    Run::on_one_line(fonts, SMALL, &format!("Page {number} of {of}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{build_log::foot, model::BuildLog, specimen, words::INVENTED};

    #[test]
    fn the_foot_stays_inside_the_frame_even_with_long_names() {
        let fonts = Fonts::load().unwrap();
        let mut log = specimen::rich();
        log.rod.id = "R-2026-0007-with-a-very-long-tag-that-nobody-would-write".to_owned();
        log.shop = "The Lower Mill Society for Patient Rods and Slow Resins ".repeat(3);
        for paper in [Paper::A4, Paper::Letter] {
            let sheet = Sheet::of(paper);
            let mut marks = sheet.every(&fonts, &foot(&log), 456);
            marks.extend(sheet.own(&fonts, &Page::default(), 123, 456));
            let mut ends = Vec::new();
            for mark in &marks {
                let Mark::Text((x, y), run) = mark else { continue };
                let end = x + run.width(&fonts);
                assert!(*x >= FRAME_LEFT && end <= sheet.width - FRAME + 0.01, "{run:?}");
                ends.push((*y, *x, end));
            }
            for (at, a) in ends.iter().enumerate() {
                for b in &ends[at + 1..] {
                    let same_line = (a.0 - b.0).abs() < 1.0;
                    assert!(!same_line || a.2 < b.1 || b.2 < a.1, "{a:?} meets {b:?}");
                }
            }
            let page = marks
                .iter()
                .any(|mark| matches!(mark, Mark::Text(_, run) if run.text == "Page 123 of 456"));
            assert!(page);
        }
    }

    #[test]
    fn only_invented_records_say_so() {
        let fonts = Fonts::load().unwrap();
        let mut log = specimen::rich();
        let says = |log: &BuildLog| {
            let marks = Sheet::of(log.paper).every(&fonts, &foot(log), 1);
            marks.iter().any(|mark| matches!(mark, Mark::Text(_, run) if run.text == INVENTED))
        };
        log.demo = true;
        assert!(says(&log));
        log.demo = false;
        assert!(!says(&log));
    }
}
