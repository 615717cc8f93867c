//! From marks to the bytes of a PDF: pages, fonts, outline, structure, files inside, and what an
//! archive asks for.

use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary};

use crate::{
    archive, attach,
    content::{PageContent, goes_on, round},
    element::Element,
    error::RecordError,
    file::{self, Packed},
    flow::Anchor,
    fonts::Fonts,
    mark::Mark,
    model::{Attachment, When},
    sheet::Sheet,
    structure::Structure,
    subset::Subsets,
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

/// Writes pages of marks, measured from the paper's top left corner, as a PDF. What stands in `every` is
/// drawn on each page, below its own marks.
pub(crate) fn write(
    fonts: &Fonts,
    sheet: Sheet,
    every: &[Mark],
    pages: &[Vec<Mark>],
    outline: &[Entry],
    about: &About,
    attached: &[Attachment],
) -> Result<Vec<u8>, RecordError> {
    let mut subsets = Subsets::new(fonts);
    let mut structure = Structure::default();
    let mut shared = PageContent::new(sheet);
    for mark in every {
        draw(&mut shared, &mut subsets, mark, false);
    }
    let pages: Vec<Vec<u8>> =
        pages.iter().map(|marks| page(fonts, sheet, marks, &mut subsets, &mut structure)).collect();
    let laid = Laid { sheet, shared: shared.finish(), pages };
    let mut document = laid.document(&subsets)?;
    finish(&mut document, sheet, outline, structure, about, attached)
        .and_then(|packed| file::write(document, &packed))
        .map_err(|error| RecordError::Write { reason: error.to_string() })
}

/// The content of a page. What is no piece of the paper comes first, in one part: a rule between two
/// lines of a paragraph must not make two of them.
fn page(
    fonts: &Fonts,
    sheet: Sheet,
    marks: &[Mark],
    subsets: &mut Subsets<'_>,
    structure: &mut Structure,
) -> Vec<u8> {
    let mut content = PageContent::new(sheet);
    content.shared(SHARED);
    for (_, mark) in in_pieces(marks).filter(|(piece, _)| piece.is_none()) {
        draw(&mut content, subsets, mark, false);
    }
    structure.begin_page();
    for (at, (piece, mark)) in in_pieces(marks).enumerate() {
        if let Mark::In(Some(part)) = mark {
            // An empty cell is a cell: without it the row's others would slip to the left.
            if part.within().is_some() {
                structure.piece(part);
            }
        } else if let (Some(of), true) = (piece, is_seen(mark)) {
            content.piece(of, structure);
            draw(&mut content, subsets, mark, !joins(fonts, mark, marks.get(at + 1)));
        }
    }
    content.finish()
}

/// Each mark and what it is a piece of. Only in a drawing does a line say something; elsewhere it parts
/// what the words say.
fn in_pieces(marks: &[Mark]) -> impl Iterator<Item = (Option<&Element>, &Mark)> {
    marks.iter().scan(None, |inside, mark| {
        if let Mark::In(element) = mark {
            *inside = element.as_ref();
        }
        let piece = inside.filter(|of| matches!(mark, Mark::Text(..)) || of.is_drawing());
        Some((piece, mark))
    })
}

/// True if the next mark goes on where this text ends, in another face or ink.
fn joins(fonts: &Fonts, mark: &Mark, next: Option<&Mark>) -> bool {
    match (mark, next) {
        (Mark::Text((x, y), run), Some(Mark::Text(next, _))) => {
            goes_on((x + run.width(fonts), *y), *next)
        }
        _ => false,
    }
}

/// With a space behind a text where another word follows elsewhere: a reading joins what stands in one
/// piece of the paper (ISO 32000-1, 14.8.2.5), and knows no lines.
fn draw(content: &mut PageContent, subsets: &mut Subsets<'_>, mark: &Mark, space: bool) {
    if !is_seen(mark) {
        return;
    }
    match mark {
        Mark::In(_) => {}
        Mark::Text(spot, run) => {
            // A space that kept a line together is a plain one for whoever copies it.
            let mut words = run.text.replace('\u{a0}', " ");
            if space && !words.ends_with(' ') {
                words.push(' ');
            }
            content.words(subsets, *spot, run.style, &words);
        }
        Mark::Line(from, to, stroke) => content.line(*from, *to, *stroke),
        Mark::Shape { corners, fill, edge } => content.shape(corners, *fill, *edge),
        Mark::Blocks(blocks, ink) => content.blocks(blocks, *ink),
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

/// By this name a page draws what is the same on all.
const SHARED: &str = "Frame";

/// The content of all pages.
struct Laid {
    sheet: Sheet,
    shared: Vec<u8>,
    pages: Vec<Vec<u8>>,
}

impl Laid {
    /// A document of these pages and nothing else.
    fn document(self, subsets: &Subsets<'_>) -> Result<Document, RecordError> {
        let mut document = Document::with_version("1.7");
        let (catalog, root) = (document.new_object_id(), document.new_object_id());
        let area: Vec<Object> =
            [0.0, 0.0, self.sheet.width, self.sheet.height].map(|edge| round(edge).into()).into();
        let mut fonts = Dictionary::new();
        for (name, font) in subsets.embed(&mut document)? {
            fonts.set(name, font);
        }
        let shared = document.add_object(Stream::new(
            dictionary! {
                "Type" => "XObject",
                "Subtype" => "Form",
                "BBox" => area.clone(),
                "Resources" => dictionary! { "Font" => fonts.clone() },
            },
            self.shared,
        ));
        let resources = document.add_object(dictionary! {
            "Font" => fonts,
            "XObject" => dictionary! { SHARED => shared },
        });
        let mut pages: Vec<Object> = Vec::new();
        for content in self.pages {
            let content = document.add_object(Stream::new(dictionary! {}, content));
            let page = document.add_object(dictionary! {
                "Type" => "Page",
                "Parent" => root,
                "Contents" => content,
                // A page of an archive does not inherit it (ISO 19005-3, 6.2.2).
                "Resources" => resources,
            });
            pages.push(page.into());
        }
        let count = i64::try_from(pages.len()).unwrap_or(i64::MAX);
        // The size is the same for all, and inherited (ISO 32000-1, 7.7.3.4).
        document.set_object(
            root,
            dictionary! {
                "Type" => "Pages",
                "Count" => count,
                "Kids" => pages,
                "MediaBox" => area,
            },
        );
        document.set_object(catalog, dictionary! { "Type" => "Catalog", "Pages" => root });
        document.trailer.set("Root", catalog);
        Ok(document)
    }
}

fn finish(
    document: &mut Document,
    sheet: Sheet,
    outline: &[Entry],
    structure: Structure,
    about: &About,
    attached: &[Attachment],
) -> lopdf::Result<Packed> {
    let info = document.add_object(information(about));
    document.trailer.set("Info", info);
    let identity = Object::String(about.identity.to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![identity.clone(), identity]);

    let mut packed = Packed::default();
    let outlines = add_outline(document, sheet, outline, &mut packed);
    structure.add(document, &mut packed)?;
    attach::embed(document, attached, about.printed)?;
    archive::add(document, about)?;
    let catalog = document.catalog_mut()?;
    catalog.set("Lang", Object::string_literal("en"));
    catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true });
    if let Some(outlines) = outlines {
        catalog.set("Outlines", outlines);
        catalog.set("PageMode", "UseOutlines");
    }
    Ok(packed)
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
    packed: &mut Packed,
) -> Option<ObjectId> {
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    let targets: Vec<(&Entry, ObjectId)> =
        outline.iter().filter_map(|entry| Some((entry, *pages.get(entry.page)?))).collect();
    let root = document.new_object_id();
    let ids: Vec<ObjectId> = targets.iter().map(|_| document.new_object_id()).collect();
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
        packed.add(*id, item);
    }
    let count = i64::try_from(ids.len()).unwrap_or(i64::MAX);
    let outlines = dictionary! {
        "Type" => "Outlines",
        "First" => first,
        "Last" => last,
        "Count" => count,
    };
    packed.add(root, outlines);
    Some(root)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{element::Role, model::Paper, style::BODY, wrap::Run};

    /// What stands before the first piece of a page belongs to no piece, whatever the page ends with.
    #[test]
    fn every_mark_is_drawn_once() {
        let fonts = Fonts::load().unwrap();
        let mut subsets = Subsets::new(&fonts);
        let text = |words: &str| Mark::Text((60.0, 60.0), Run::new(&fonts, BODY, words));
        let last = Mark::In(Some(Element::new(Role::Paragraph)));
        let marks = [text("Page"), last.clone(), text("words"), Mark::In(None), text("head"), last];
        let sheet = Sheet::of(Paper::A4);
        let drawn = page(&fonts, sheet, &marks, &mut subsets, &mut Structure::default());
        let drawn: String = drawn.into_iter().map(char::from).collect();
        for words in ["(Page)", "(words )", "(head)"] {
            assert_eq!(drawn.matches(words).count(), 1, "{words} in {drawn}");
        }
    }

    #[test]
    fn dates_carry_their_offset() {
        let when = When::parse_from_rfc3339("2026-11-25T10:32:07+01:00").unwrap();
        assert_eq!(pdf_date(when), "D:20261125103207+01'00'");
        let when = When::parse_from_rfc3339("2026-11-25T10:32:07-03:30").unwrap();
        assert_eq!(pdf_date(when), "D:20261125103207-03'30'");
    }
}
