//! What is drawn on one page, as a content stream (ISO 32000-1, 7.8.2).
//!
//! Nothing is said twice: colours, pen and font only where they change, and each text by how far it
//! is from the one before. That is most of the size of a long log.

use pdf_writer::{Content, Name, Settings, Str};

use crate::{
    element::Element,
    fonts::Face,
    mark::{Dash, Spot, Stroke},
    sheet::Sheet,
    structure::{self, Structure},
    style::{Ink, Style},
    subset::Subsets,
};

/// Where a place is on the page, in hundredths of a point from the bottom left corner: finer than any
/// printer, and whole, so that steps add up to where they lead.
type Place = (i32, i32);

pub(crate) struct PageContent {
    sheet: Sheet,
    content: Content,
    fill: Option<Ink>,
    pen_ink: Option<Ink>,
    pen_weight: Option<f32>,
    pen_dash: Option<Dash>,
    font: Option<(Face, f32)>,
    text: Option<Text>,
    /// Filled, and not laid down yet: the next may go on where it ends.
    block: Option<Block>,
    open: Open,
    codes: Vec<u8>,
}

/// An open text object.
#[derive(Clone, Copy)]
struct Text {
    /// Where its last line began.
    began: Place,
    /// Where its last words ended, if there are any.
    ended: Option<Spot>,
}

/// An upright rectangle.
#[derive(Clone, Copy, PartialEq)]
struct Block {
    left: i32,
    right: i32,
    top: i32,
    bottom: i32,
    ink: Ink,
}

/// What is being laid down.
#[derive(PartialEq)]
enum Open {
    Nothing,
    /// No piece of the paper: frames, rules, and what is said again on each page (ISO 32000-1,
    /// 14.8.2.2).
    Artifact,
    Piece(Element),
}

impl PageContent {
    pub(crate) fn new(sheet: Sheet) -> Self {
        Self {
            sheet,
            content: Content::with_settings(Settings { pretty: false }),
            fill: None,
            pen_ink: None,
            pen_weight: None,
            pen_dash: None,
            font: None,
            text: None,
            block: None,
            open: Open::Nothing,
            codes: Vec::new(),
        }
    }

    /// The finished stream.
    pub(crate) fn finish(mut self) -> Vec<u8> {
        self.close();
        self.end_text();
        self.content.finish().into_vec()
    }

    /// What comes is no piece of the paper.
    pub(crate) fn artifact(&mut self) {
        if self.open != Open::Artifact {
            self.close();
            self.end_text();
            self.content.begin_marked_content(Name(b"Artifact"));
            self.open = Open::Artifact;
        }
    }

    /// What comes is a piece of this element: words, or anything if it is a drawing.
    pub(crate) fn piece(&mut self, of: &Element, structure: &mut Structure) {
        let open = Open::Piece(of.clone());
        if self.open != open {
            self.close();
            if of.is_drawing() {
                self.end_text();
            } else {
                self.begin_text();
            }
            let tag = structure::name(of.role()).as_bytes();
            let mut mark = self.content.begin_marked_content_with_properties(Name(tag));
            mark.properties().identify(structure.content(of));
            self.open = open;
        }
    }

    /// Ends what is open. Pieces of words stand in one text object; whatever else is open has those of
    /// its own, which end before it (ISO 32000-1, 14.6.1).
    fn close(&mut self) {
        match &self.open {
            Open::Nothing => return,
            Open::Piece(of) if !of.is_drawing() => {}
            Open::Artifact | Open::Piece(_) => self.end_text(),
        }
        self.content.end_marked_content();
        self.open = Open::Nothing;
    }

    /// What was drawn once for all pages.
    pub(crate) fn shared(&mut self, name: &str) {
        self.artifact();
        self.end_text();
        self.content.x_object(Name(name.as_bytes()));
    }

    /// Words on one line; the spot is the left end of their baseline.
    pub(crate) fn words(&mut self, fonts: &mut Subsets<'_>, spot: Spot, style: Style, words: &str) {
        self.fill_block();
        self.fill(style.ink);
        let text = self.begin_text();
        if self.font != Some((style.face, style.size)) {
            self.content.set_font(Name(style.face.resource().as_bytes()), style.size);
            self.font = Some((style.face, style.size));
        }
        let mut began = text.began;
        if !text.ended.is_some_and(|end| goes_on(end, spot)) {
            began = self.place(spot);
            let (x, y) = (began.0 - text.began.0, began.1 - text.began.1);
            self.content.next_line(points(x), points(y));
        }
        let end = spot.0 + fonts.width(style, words);
        self.text = Some(Text { began, ended: Some((end, spot.1)) });
        self.codes.clear();
        fonts.encode(style.face, words, &mut self.codes);
        self.show();
    }

    /// Shows the codes. Those of ASCII stand as letters, whatever stands beside them.
    fn show(&mut self) {
        let parts = || self.codes.chunk_by(|one, next| one.is_ascii() == next.is_ascii());
        if parts().nth(1).is_none() {
            self.content.show(Str(&self.codes));
            return;
        }
        let mut shown = self.content.show_positioned();
        let mut items = shown.items();
        for part in parts() {
            items.show(Str(part));
        }
    }

    fn begin_text(&mut self) -> Text {
        *self.text.get_or_insert_with(|| {
            self.content.begin_text();
            Text { began: (0, 0), ended: None }
        })
    }

    /// Makes ready for what is no text.
    fn end_text(&mut self) {
        self.fill_block();
        if self.text.take().is_some() {
            self.content.end_text();
        }
    }

    /// A straight line.
    pub(crate) fn line(&mut self, from: Spot, to: Spot, stroke: Stroke) {
        self.end_text();
        self.pen(stroke);
        self.way(&[from, to]);
        self.content.stroke();
    }

    /// A closed shape.
    pub(crate) fn shape(&mut self, corners: &[Spot], fill: Option<Ink>, edge: Option<Stroke>) {
        if let (Some(ink), None, Some(block)) = (fill, edge, self.upright(corners)) {
            self.lay_block(Block { ink, ..block });
            return;
        }
        self.end_text();
        if let Some(stroke) = edge {
            self.pen(stroke);
        }
        if let Some(ink) = fill {
            self.fill(ink);
        }
        self.way(corners);
        match (fill, edge) {
            (Some(_), Some(_)) => self.content.close_fill_nonzero_and_stroke(),
            (Some(_), None) => self.content.fill_nonzero(),
            (None, Some(_)) => self.content.close_and_stroke(),
            (None, None) => self.content.end_path(),
        };
    }

    /// Upright rectangles, each by its top left corner, width and height, filled in one go.
    pub(crate) fn blocks(&mut self, blocks: &[(Spot, f32, f32)], ink: Ink) {
        self.end_text();
        self.fill(ink);
        for &((x, y), width, height) in blocks {
            let ((left, top), (right, bottom)) =
                (self.place((x, y)), self.place((x + width, y + height)));
            self.rectangle(Block { left, right, top, bottom, ink });
        }
        self.content.fill_nonzero();
    }

    /// The corners as a rectangle, if they are one: from the top left to the right.
    fn upright(&self, corners: &[Spot]) -> Option<Block> {
        let corners: [Spot; 4] = corners.try_into().ok()?;
        let [(left, top), b, (right, bottom), d] = corners.map(|spot| self.place(spot));
        let block = Block { left, right, top, bottom, ink: Ink::Full };
        (b == (right, top) && d == (left, bottom)).then_some(block)
    }

    /// Fills a rectangle. One that goes on below the last makes it longer: laid down each by itself, a
    /// seam would show between them.
    fn lay_block(&mut self, block: Block) {
        const TOUCHING: i32 = 1;
        if let Some(above) = &mut self.block
            && (above.left, above.right, above.ink) == (block.left, block.right, block.ink)
            && (above.bottom - block.top).abs() <= TOUCHING
        {
            above.bottom = block.bottom;
            return;
        }
        self.end_text();
        self.block = Some(block);
    }

    fn fill_block(&mut self) {
        if let Some(block) = self.block.take() {
            self.fill(block.ink);
            self.rectangle(block);
            self.content.fill_nonzero();
        }
    }

    fn rectangle(&mut self, Block { left, right, top, bottom, .. }: Block) {
        let (width, height) = (points(right - left), points(top - bottom));
        self.content.rect(points(left), points(bottom), width, height);
    }

    fn way(&mut self, spots: &[Spot]) {
        for (at, spot) in spots.iter().enumerate() {
            let (x, y) = self.place(*spot);
            if at == 0 {
                self.content.move_to(points(x), points(y));
            } else {
                self.content.line_to(points(x), points(y));
            }
        }
    }

    fn fill(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            let [red, green, blue] = colour(ink);
            self.content.set_fill_rgb(red, green, blue);
            self.fill = Some(ink);
        }
    }

    fn pen(&mut self, Stroke { weight, ink, dash }: Stroke) {
        if self.pen_ink != Some(ink) {
            let [red, green, blue] = colour(ink);
            self.content.set_stroke_rgb(red, green, blue);
            self.pen_ink = Some(ink);
        }
        if self.pen_weight != Some(weight) {
            self.content.set_line_width(weight);
            self.pen_weight = Some(weight);
        }
        if self.pen_dash.unwrap_or(Dash::Solid) != dash {
            self.content.set_dash_pattern(dash.pattern().iter().copied(), 0.0);
        }
        self.pen_dash = Some(dash);
    }

    /// PDF counts from the bottom of the page.
    fn place(&self, (x, y): Spot) -> Place {
        (hundredths(x), hundredths(self.sheet.height - y))
    }
}

/// True if words begin where others end.
pub(crate) fn goes_on((end, line): Spot, (x, y): Spot) -> bool {
    const TOUCHING: f32 = 0.02;
    (x - end).abs() < TOUCHING && (y - line).abs() < TOUCHING
}

/// In thousandths: finer than the 255 steps that an ink is given in.
fn colour(ink: Ink) -> [f32; 3] {
    ink.rgb().map(|part| (part * 1000.0).round() / 1000.0)
}

/// To a hundredth of a point, as whatever is drawn.
pub(crate) fn round(length: f32) -> f32 {
    points(hundredths(length))
}

#[allow(clippy::cast_possible_truncation, reason = "it is within the bounds")]
fn hundredths(points: f32) -> i32 {
    // Far outside of any page, and as far as the numbers of a page are exact.
    const MOST: f32 = 8_000_000.0;
    (points * 100.0).round().clamp(-MOST, MOST) as i32
}

#[allow(clippy::cast_precision_loss, reason = "a step between two places is within 2^24")]
fn points(hundredths: i32) -> f32 {
    hundredths as f32 / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        build_log,
        element::Role,
        fonts::Fonts,
        model::Paper,
        specimen, station_log, station_specimen,
        style::{BODY, LABEL, STRONG},
    };

    fn drawn(draw: impl FnOnce(&mut PageContent, &mut Subsets<'_>)) -> String {
        let fonts = Fonts::load().unwrap();
        let mut subsets = Subsets::new(&fonts);
        let mut content = PageContent::new(Sheet::of(Paper::Letter));
        draw(&mut content, &mut subsets);
        content.finish().into_iter().map(char::from).collect()
    }

    #[test]
    fn words_that_go_on_are_not_moved_and_all_others_are() {
        let text = drawn(|page, fonts| {
            let end = 100.0 + fonts.width(STRONG, "outside limits");
            page.words(fonts, (100.0, 92.0), STRONG, "outside limits");
            page.words(fonts, (end, 92.0), LABEL, "; 62 mm");
            page.words(fonts, (end, 92.0), LABEL, "over it");
            page.words(fonts, (100.0, 92.0), BODY, "over the first");
            page.words(fonts, (100.0, 106.7), BODY, "21.5 \u{b0}C");
        });
        assert_eq!(text.matches("Td").count(), 4, "{text}");
        assert!(text.contains("100 700 Td(outside limits)Tj"), "{text}");
        assert!(text.contains("10 Tf(; 62 mm)Tj"), "{text}");
        assert!(text.contains("0 -14.7 Td[(21.5 )<8080>(C)]TJ"), "{text}");
        assert_eq!((text.matches("BT").count(), text.matches("ET").count()), (1, 1));
    }

    #[test]
    fn a_bar_over_several_lines_has_no_seam() {
        let bar = |page: &mut PageContent, top: f32, left: f32, ink: Ink| {
            let corners =
                [(left, top), (left + 3.0, top), (left + 3.0, top + 13.4), (left, top + 13.4)];
            page.shape(&corners, Some(ink), None);
        };
        let text = drawn(|page, _| {
            for line in [0.0, 13.4, 26.8] {
                bar(page, 92.0 + line, 50.0, Ink::Rust);
            }
            bar(page, 132.2, 60.0, Ink::Rust);
            bar(page, 145.6, 60.0, Ink::Full);
            bar(page, 170.0, 60.0, Ink::Full);
        });
        assert_eq!(text.matches(" re").count(), 4, "{text}");
        assert!(text.contains("50 659.8 3 40.2 re"), "{text}");
    }

    /// What begins and ends in a content, without what stands between.
    fn nesting(content: &str) -> Vec<&str> {
        let words = content.split(|c: char| c.is_whitespace() || "/()<>[]".contains(c));
        words.filter(|word| ["BT", "ET", "BMC", "BDC", "EMC"].contains(word)).collect()
    }

    #[test]
    fn every_part_is_closed_before_the_next() {
        let text = drawn(|page, fonts| {
            let mut structure = Structure::default();
            structure.begin_page();
            let [one, two] = [Role::Paragraph, Role::Cell].map(Element::new);
            let figure = Element::new(Role::Figure("a rod".to_owned()));
            let line = |page: &mut PageContent| {
                page.line((0.0, 0.0), (5.0, 5.0), Stroke::solid(1.0, Ink::Full));
            };
            page.artifact();
            page.shape(&[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)], Some(Ink::Soft), None);
            page.words(fonts, (10.0, 5.0), BODY, "a");
            page.piece(&one, &mut structure);
            page.words(fonts, (10.0, 10.0), BODY, "b");
            page.piece(&one, &mut structure);
            page.words(fonts, (10.0, 30.0), BODY, "c");
            page.piece(&two, &mut structure);
            page.words(fonts, (10.0, 50.0), BODY, "d");
            page.piece(&figure, &mut structure);
            line(page);
            page.words(fonts, (10.0, 70.0), BODY, "e");
            line(page);
            page.words(fonts, (10.0, 90.0), BODY, "f");
            page.piece(&two, &mut structure);
            page.words(fonts, (10.0, 110.0), BODY, "g");
        });
        let expected = "BMC BT ET EMC BT BDC EMC BDC EMC ET BDC BT ET BT ET EMC BT BDC EMC ET";
        assert_eq!(nesting(&text).join(" "), expected, "{text}");
    }

    #[test]
    fn on_no_page_two_parts_overlap() {
        let logs = [specimen::rich(), specimen::empty(), specimen::huge()];
        let rods = logs.iter().map(|log| build_log(log).unwrap());
        let station = station_log(&station_specimen::overfull()).unwrap();
        for pdf in rods.chain([station]) {
            let document = lopdf::Document::load_mem(&pdf).unwrap();
            for page in document.get_pages().into_values() {
                let content = document.get_page_content(page);
                let content: String = content.into_iter().map(char::from).collect();
                let mut open = Vec::new();
                let words = nesting(&content);
                assert!(words.len() > 4 && words.contains(&"BT"), "{words:?}");
                for word in words {
                    match word {
                        "ET" => assert_eq!(open.pop(), Some("BT")),
                        "EMC" => assert!(matches!(open.pop(), Some("BMC" | "BDC"))),
                        "BT" => {
                            assert!(!open.contains(&"BT"), "a text object in another");
                            open.push("BT");
                        }
                        begun => open.push(begun),
                    }
                }
                assert!(open.is_empty(), "{open:?} stay open");
            }
        }
    }
}
