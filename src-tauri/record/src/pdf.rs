//! From marks to the bytes of a PDF.
//!
//! printpdf lays down pages and embeds the fonts. What it has no way to say, or says with a
//! counter of the process in it, is set afterwards on the object level: language, outline in
//! the order of the record, dates with their offset, and an identity made from the content.

use std::{
    collections::{BTreeMap, HashMap},
    io::{self, Write as _},
    mem::{Discriminant, discriminant},
};

use flate2::{Compression, write::ZlibEncoder};
use lopdf::{Dictionary, Document, Object, StringFormat, dictionary};
use printpdf::{
    Color, FontId, Line, LineDashPattern, LinePoint, Op, PaintMode, PdfDocument, PdfFontHandle,
    PdfPage, PdfParseErrorSeverity, PdfSaveOptions, Point, Polygon, PolygonRing, Pt, Rect, Rgb,
    TextItem, WindingOrder, font::PdfFont, xobject::DictItem,
};

use crate::{
    archive, attach,
    element::Element,
    error::RecordError,
    flow::Anchor,
    fonts::{Face, Fonts},
    mark::{Mark, Spot, Stroke},
    model::{Attachment, When},
    sheet::Sheet,
    structure::{self, Structure},
    style::Ink,
    wrap::Run,
};

/// What the document says about itself.
pub(crate) struct About {
    pub(crate) title: String,
    pub(crate) author: String,
    pub(crate) subject: String,
    pub(crate) printed: When,
    /// Sixteen bytes that follow from the content.
    pub(crate) identity: [u8; 16],
}

/// An entry of the outline: where it points is a page (from 0) and a distance from its top.
pub(crate) struct Entry {
    pub(crate) anchor: Anchor,
    pub(crate) page: usize,
    pub(crate) top: f32,
}

/// Writes pages of marks, measured from the paper's top left corner, as a PDF.
pub(crate) fn write(
    fonts: &Fonts,
    sheet: Sheet,
    pages: &[Vec<Mark>],
    outline: &[Entry],
    about: &About,
    attached: &[Attachment],
) -> Result<Vec<u8>, RecordError> {
    let mut pdf = PdfDocument::new(&about.title);
    for face in Face::ALL {
        let font = PdfFont::new(fonts.font(face).clone());
        pdf.resources.fonts.map.insert(FontId(face.resource().to_owned()), font);
    }
    let mut structure = Structure::default();
    pdf.pages = pages.iter().map(|marks| page(fonts, sheet, marks, &mut structure)).collect();

    let mut warnings = Vec::new();
    let options = PdfSaveOptions { image_optimization: None, ..PdfSaveOptions::default() };
    let mut document = printpdf::to_lopdf_doc(&pdf, &options, &mut warnings);
    if let Some(warning) =
        warnings.iter().find(|warning| warning.severity == PdfParseErrorSeverity::Error)
    {
        return Err(RecordError::Write { reason: warning.msg.clone() });
    }
    finish(&mut document, sheet, outline, structure, about, attached)
        .map_err(|error| RecordError::Write { reason: error.to_string() })?;
    let mut bytes = Vec::new();
    deflate(&mut document)
        .and_then(|()| document.save_to(&mut bytes))
        .map_err(|error| RecordError::Write { reason: error.to_string() })?;
    Ok(bytes)
}

/// Deflates what may be deflated. The library's own way takes twice the time, for two parts in a hundred
/// of the size.
fn deflate(document: &mut Document) -> io::Result<()> {
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if !stream.allows_compression || stream.dict.has(b"Filter") {
            continue;
        }
        let mut deflated = ZlibEncoder::new(Vec::new(), Compression::default());
        deflated.write_all(&stream.content)?;
        stream.set_content(deflated.finish()?);
        stream.dict.set("Filter", "FlateDecode");
    }
    Ok(())
}

fn page(fonts: &Fonts, sheet: Sheet, marks: &[Mark], structure: &mut Structure) -> PdfPage {
    let size = Rect::from_wh(Pt(sheet.width), Pt(sheet.height));
    let mut ops = Ops::default();
    let mut inside = None;
    structure.begin_page();
    for (at, mark) in marks.iter().enumerate() {
        match mark {
            Mark::In(element) => {
                inside = element.as_ref();
                // An empty cell is a cell: without it the row's others would slip to the left.
                if let Some(part) = inside.filter(|element| element.within().is_some()) {
                    structure.piece(part);
                }
            }
            Mark::Text(spot, run) if is_seen(mark) => {
                ops.belong(inside, structure);
                let goes_on = marks.get(at + 1).is_some_and(|next| joins(fonts, *spot, run, next));
                text_of(&mut ops, sheet, *spot, run, inside.is_some() && !goes_on);
            }
            _ if is_seen(mark) => {
                // Only in a drawing does a line say something; elsewhere it parts what the words say.
                ops.belong(inside.filter(|of| of.is_drawing()), structure);
                shape(&mut ops, sheet, mark);
            }
            _ => {}
        }
    }
    ops.end();
    PdfPage { media_box: size.clone(), trim_box: size.clone(), crop_box: size, ops: ops.all }
}

/// True if the next mark goes on where this text ends, in another face or ink.
fn joins(fonts: &Fonts, (x, y): Spot, run: &Run, next: &Mark) -> bool {
    const TOUCHING: f32 = 0.5;
    matches!(next, Mark::Text((next_x, next_y), _)
        if (next_y - y).abs() < TOUCHING && (next_x - x - run.width(fonts)).abs() < TOUCHING)
}

/// With a space behind it where another word follows elsewhere: a reading joins what stands in one
/// piece of the paper (ISO 32000-1, 14.8.2.5), and knows no lines.
fn text_of(ops: &mut Ops, sheet: Sheet, spot: Spot, run: &Run, space: bool) {
    // A space that kept a line together is a plain one for whoever copies it.
    let mut words = run.text.replace('\u{a0}', " ");
    if space && !words.ends_with(' ') {
        words.push(' ');
    }
    let font = PdfFontHandle::External(FontId(run.style.face.resource().to_owned()));
    ops.set(Op::SetFillColor { col: color(run.style.ink) });
    ops.all.push(Op::StartTextSection);
    ops.set(Op::SetFont { font, size: Pt(run.style.size) });
    ops.all.extend([
        Op::SetTextCursor { pos: point(sheet, spot) },
        Op::ShowText { items: vec![TextItem::Text(words)] },
        Op::EndTextSection,
    ]);
}

fn shape(ops: &mut Ops, sheet: Sheet, mark: &Mark) {
    match mark {
        Mark::In(_) | Mark::Text(..) => {}
        Mark::Line(from, to, stroke) => {
            pen(ops, *stroke);
            let points = vec![corner(sheet, *from), corner(sheet, *to)];
            ops.all.push(Op::DrawLine { line: Line { points, is_closed: false } });
        }
        Mark::Shape { corners, fill, edge } => {
            if let Some(stroke) = edge {
                pen(ops, *stroke);
            }
            if let Some(ink) = fill {
                ops.set(Op::SetFillColor { col: color(*ink) });
            }
            let mode = match (fill, edge) {
                (Some(_), Some(_)) => PaintMode::FillStroke,
                (Some(_), None) => PaintMode::Fill,
                (None, Some(_)) => PaintMode::Stroke,
                (None, None) => return,
            };
            let points = corners.iter().map(|spot| corner(sheet, *spot)).collect();
            ops.all.push(polygon(vec![PolygonRing { points }], mode));
        }
        Mark::Blocks(blocks, ink) => {
            ops.set(Op::SetFillColor { col: color(*ink) });
            let rings = blocks.iter().map(|&((x, y), width, height)| {
                let (right, bottom) = (x + width, y + height);
                let corners = [(x, y), (right, y), (right, bottom), (x, bottom)];
                PolygonRing { points: corners.map(|spot| corner(sheet, spot)).to_vec() }
            });
            ops.all.push(polygon(rings.collect(), PaintMode::Fill));
        }
    }
}

fn is_seen(mark: &Mark) -> bool {
    match mark {
        Mark::Text(_, run) => !run.text.trim().is_empty(),
        Mark::Shape { fill, edge, .. } => fill.is_some() || edge.is_some(),
        Mark::Line(..) | Mark::Blocks(..) => true,
        Mark::In(_) => false,
    }
}

fn polygon(rings: Vec<PolygonRing>, mode: PaintMode) -> Op {
    Op::DrawPolygon { polygon: Polygon { rings, mode, winding_order: WindingOrder::NonZero } }
}

fn pen(ops: &mut Ops, stroke: Stroke) {
    ops.set(Op::SetOutlineColor { col: color(stroke.ink) });
    ops.set(Op::SetOutlineThickness { pt: Pt(stroke.weight) });
    ops.set(Op::SetLineDashPattern { dash: LineDashPattern::new(0.0, stroke.dash.pattern()) });
}

/// What is drawn on a page, in order.
#[derive(Default)]
struct Ops {
    all: Vec<Op>,
    /// The colours, the pen and the font in force.
    set: HashMap<Discriminant<Op>, Op>,
    open: Open,
}

/// What is being laid down.
#[derive(Default, PartialEq)]
enum Open {
    #[default]
    Nothing,
    /// No piece of the paper: frames, rules, and what is said again on each page (ISO 32000-1,
    /// 14.8.2.2).
    Artifact,
    Piece(Element),
}

impl Ops {
    /// Sets a colour, a part of the pen or the font, unless it is so already: said again for each mark,
    /// these are a sixth of a page.
    fn set(&mut self, op: Op) {
        let kind = discriminant(&op);
        if self.set.get(&kind) != Some(&op) {
            self.set.insert(kind, op.clone());
            self.all.push(op);
        }
    }

    /// Says what the marks from here on are a piece of, unless that is said already.
    fn belong(&mut self, to: Option<&Element>, structure: &mut Structure) {
        let open = to.map_or(Open::Artifact, |element| Open::Piece(element.clone()));
        if self.open == open {
            return;
        }
        self.end();
        self.all.push(match to {
            None => Op::BeginMarkedContent { tag: "Artifact".to_owned() },
            Some(element) => Op::BeginMarkedContentWithProperties {
                tag: structure::name(element.role()).to_owned(),
                properties: DictItem::Dict {
                    map: BTreeMap::from([(
                        "MCID".to_owned(),
                        DictItem::Int(structure.content(element)),
                    )]),
                },
            },
        });
        self.open = open;
    }

    fn end(&mut self) {
        if std::mem::take(&mut self.open) != Open::Nothing {
            self.all.push(Op::EndMarkedContent);
        }
    }
}

fn color(ink: Ink) -> Color {
    let [r, g, b] = ink.rgb();
    Color::Rgb(Rgb { r, g, b, icc_profile: None })
}

/// PDF counts from the bottom of the page.
fn point(sheet: Sheet, (x, y): Spot) -> Point {
    Point { x: Pt(round(x)), y: Pt(round(sheet.height - y)) }
}

fn corner(sheet: Sheet, spot: Spot) -> LinePoint {
    LinePoint { p: point(sheet, spot), bezier: false }
}

/// A hundredth of a point is finer than any printer, and keeps the file small.
fn round(points: f32) -> f32 {
    (points * 100.0).round() / 100.0
}

fn finish(
    document: &mut Document,
    sheet: Sheet,
    outline: &[Entry],
    structure: Structure,
    about: &About,
    attached: &[Attachment],
) -> lopdf::Result<()> {
    "1.7".clone_into(&mut document.version);
    let info = document.add_object(information(about));
    document.trailer.set("Info", info);
    let identity = Object::String(about.identity.to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![identity.clone(), identity]);

    let outlines = add_outline(document, sheet, outline);
    structure.add(document)?;
    attach::embed(document, attached, about.printed)?;
    archive::add(document, about)?;
    bare_pages(document);
    let catalog = document.catalog_mut()?;
    catalog.set("Lang", Object::string_literal("en"));
    catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true });
    if let Some(outlines) = outlines {
        catalog.set("Outlines", outlines);
        catalog.set("PageMode", "UseOutlines");
    }
    // The information dictionary that this one replaces is dropped here.
    document.prune_objects();
    document.renumber_objects();
    Ok(())
}

/// What printpdf leaves empty on each page says nothing.
fn bare_pages(document: &mut Document) {
    for page in document.get_pages().into_values() {
        if let Ok(page) = document.get_object_mut(page).and_then(Object::as_dict_mut) {
            page.remove(b"Annots");
        }
    }
}

fn information(about: &About) -> Dictionary {
    let date = || Object::string_literal(pdf_date(about.printed));
    dictionary! {
        "Title" => text(&about.title),
        "Author" => text(&about.author),
        "Subject" => text(&about.subject),
        "Creator" => text("Coldbench"),
        "Producer" => text("Coldbench"),
        "CreationDate" => date(),
        "ModDate" => date(),
    }
}

/// `D:20261125103207+01'00'`
pub(crate) fn pdf_date(when: When) -> String {
    let offset = when.format("%:z").to_string().replace(':', "'");
    format!("D:{}{offset}'", when.format("%Y%m%d%H%M%S"))
}

/// A text string for people: UTF-16 with its byte order mark.
pub(crate) fn text(words: &str) -> Object {
    let mut bytes = vec![0xfe, 0xff];
    bytes.extend(words.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

/// Adds the outline's objects, in the order given, and returns the root.
fn add_outline(
    document: &mut Document,
    sheet: Sheet,
    outline: &[Entry],
) -> Option<lopdf::ObjectId> {
    let pages: Vec<lopdf::ObjectId> = document.get_pages().into_values().collect();
    let targets: Vec<(&Entry, lopdf::ObjectId)> =
        outline.iter().filter_map(|entry| Some((entry, *pages.get(entry.page)?))).collect();
    let root = document.new_object_id();
    let ids: Vec<lopdf::ObjectId> = targets.iter().map(|_| document.new_object_id()).collect();
    let (first, last) = (*ids.first()?, *ids.last()?);
    for (at, ((entry, page), id)) in targets.iter().zip(&ids).enumerate() {
        let top = sheet.height - entry.top;
        let destination = vec![
            (*page).into(),
            "XYZ".into(),
            Object::Null,
            Object::Real(round(top)),
            Object::Null,
        ];
        let mut item = dictionary! {
            "Title" => text(&entry.anchor.title),
            "Parent" => root,
            "Dest" => destination,
        };
        if let Some(before) = at.checked_sub(1).and_then(|before| ids.get(before)) {
            item.set("Prev", *before);
        }
        if let Some(after) = ids.get(at + 1) {
            item.set("Next", *after);
        }
        document.set_object(*id, item);
    }
    let count = i64::try_from(ids.len()).unwrap_or(i64::MAX);
    let outlines = dictionary! {
        "Type" => "Outlines",
        "First" => first,
        "Last" => last,
        "Count" => count,
    };
    document.set_object(root, outlines);
    Some(root)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_carry_their_offset() {
        let when = When::parse_from_rfc3339("2026-11-25T10:32:07+01:00").unwrap();
        assert_eq!(pdf_date(when), "D:20261125103207+01'00'");
        let when = When::parse_from_rfc3339("2026-11-25T10:32:07-03:30").unwrap();
        assert_eq!(pdf_date(when), "D:20261125103207-03'30'");
    }
}
