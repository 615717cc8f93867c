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
    /// Where the last text of an open text object began.
    text: Option<Place>,
    open: Open,
    codes: Vec<u8>,
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
            self.content.begin_marked_content(Name(b"Artifact"));
            self.open = Open::Artifact;
        }
    }

    /// What comes is a piece of this element.
    pub(crate) fn piece(&mut self, of: &Element, structure: &mut Structure) {
        let open = Open::Piece(of.clone());
        if self.open != open {
            self.close();
            let tag = structure::name(of.role()).as_bytes();
            let mut mark = self.content.begin_marked_content_with_properties(Name(tag));
            mark.properties().identify(structure.content(of));
            self.open = open;
        }
    }

    fn close(&mut self) {
        if self.open != Open::Nothing {
            self.content.end_marked_content();
            self.open = Open::Nothing;
        }
    }

    /// What was drawn once for all pages.
    pub(crate) fn shared(&mut self, name: &str) {
        self.artifact();
        self.end_text();
        self.content.x_object(Name(name.as_bytes()));
    }

    /// Words on one line; the spot is the left end of their baseline.
    pub(crate) fn words(&mut self, fonts: &mut Subsets<'_>, spot: Spot, style: Style, words: &str) {
        self.fill(style.ink);
        let (before_x, before_y) = self.text.unwrap_or_else(|| {
            self.content.begin_text();
            (0, 0)
        });
        if self.font != Some((style.face, style.size)) {
            self.content.set_font(Name(style.face.resource().as_bytes()), style.size);
            self.font = Some((style.face, style.size));
        }
        let (x, y) = self.place(spot);
        self.content.next_line(points(x - before_x), points(y - before_y));
        self.text = Some((x, y));
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

    fn end_text(&mut self) {
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
            let (left, bottom) = self.place((x, y + height));
            let (right, top) = self.place((x + width, y));
            self.content.rect(
                points(left),
                points(bottom),
                points(right - left),
                points(top - bottom),
            );
        }
        self.content.fill_nonzero();
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

/// In thousandths: half of what a screen or a press tells apart.
fn colour(ink: Ink) -> [f32; 3] {
    ink.rgb().map(|part| (part * 1000.0).round() / 1000.0)
}

#[allow(clippy::cast_possible_truncation, reason = "beyond 200 kilometres the bound is meant")]
fn hundredths(points: f32) -> i32 {
    (points * 100.0).round() as i32
}

#[allow(clippy::cast_precision_loss, reason = "a page is far smaller than 2^24 hundredths")]
fn points(hundredths: i32) -> f32 {
    hundredths as f32 / 100.0
}
