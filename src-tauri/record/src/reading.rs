//! Reading a record back: the files it carries, and what its pages say.
//!
//! The file may come from anyone. It is never run, never repaired, and what it can cost in
//! time and memory is bounded whatever it holds.

use std::{
    collections::{BTreeMap, BTreeSet},
    rc::Rc,
};

use lopdf::{Dictionary, Object, ObjectId};

use crate::{pdf_file::PdfFile, pdf_syntax::Syntax};

/// Why nothing could be read from a file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The file does not begin as a PDF does.
    #[error("This file is no PDF. Choose the PDF that Coldbench wrote.")]
    NoPdf,
    /// The PDF holds no file of the name asked for.
    #[error(
        "This PDF carries no file {name:?}. A print that went through another program loses what it carries: use the PDF that Coldbench wrote."
    )]
    Missing {
        /// The name asked for.
        name: String,
    },
    /// The PDF contradicts itself, or a part of it is gone.
    #[error("This PDF is damaged: {what}. Use another copy of the file.")]
    Damaged {
        /// What does not fit.
        what: &'static str,
    },
    /// Sound as it may be, the PDF is not written the way Coldbench writes.
    #[error(
        "This PDF was written anew by another program: {what}. Use the file as Coldbench wrote it."
    )]
    Foreign {
        /// What gives it away.
        what: &'static str,
    },
    /// Something stands in the PDF, or after it, that Coldbench does not write there.
    #[error(
        "Something was added to this PDF after Coldbench wrote it, or its seal was changed. Use the file as Coldbench wrote it."
    )]
    Added,
    /// More would have to be unpacked than was allowed.
    #[error(
        "This PDF holds more than {most} bytes where less was expected, and was not unpacked. If it is a record of your own, please report this text."
    )]
    TooLarge {
        /// The bound, in bytes.
        most: usize,
    },
}

impl ReadError {
    pub(crate) const fn damaged(what: &'static str) -> Self {
        Self::Damaged { what }
    }

    pub(crate) const fn foreign(what: &'static str) -> Self {
        Self::Foreign { what }
    }
}

/// The content of the file of this name that the PDF carries, if it is no larger than `most`
/// bytes.
///
/// # Errors
/// [`ReadError::Missing`] if it carries no such file; the others as they say.
pub fn attachment(pdf: &[u8], name: &str, most: usize) -> Result<Vec<u8>, ReadError> {
    let file = PdfFile::open(pdf)?;
    let catalog = file.catalog()?;
    let specification = match listed(&file, &catalog, name)? {
        Some(found) => Some(found),
        None => associated(&file, &catalog, name)?,
    };
    let missing = || ReadError::Missing { name: name.to_owned() };
    let specification = specification.ok_or_else(missing)?;
    let named = file.get(&specification, b"UF")?;
    if named.is_some_and(|named| named.as_str().map(text_string).ok().as_deref() != Some(name)) {
        return Err(ReadError::damaged("it lists a file under another name"));
    }
    let embedded = file.dictionary(&specification, b"EF")?.ok_or_else(missing)?;
    let stream = match (embedded.get(b"UF"), embedded.get(b"F")) {
        (Ok(one), Ok(other)) if one != other => {
            return Err(ReadError::damaged("it holds two files under one name"));
        }
        (Ok(stream), _) | (_, Ok(stream)) => stream,
        _ => return Err(missing()),
    };
    let stream = file.stream(stream)?;
    let content = file.content(&stream, most)?;
    let parameters = file.dictionary(&stream.dictionary, b"Params")?.unwrap_or_default();
    let size = file.get(&parameters, b"Size")?.map(|size| size.as_i64()).transpose()?;
    if size.is_some_and(|size| usize::try_from(size) != Ok(content.len())) {
        return Err(ReadError::damaged("a file in it is not as long as it should be"));
    }
    Ok(content)
}

/// The file specification under this name in the list of embedded files.
fn listed(
    file: &PdfFile<'_>,
    catalog: &Dictionary,
    name: &str,
) -> Result<Option<Dictionary>, ReadError> {
    let names = file.dictionary(catalog, b"Names")?.unwrap_or_default();
    let root = file.dictionary(&names, b"EmbeddedFiles")?.unwrap_or_default();
    let mut nodes = vec![root];
    let mut seen = BTreeSet::new();
    let mut found = None;
    while let Some(node) = nodes.pop() {
        for entry in file.array(&node, b"Names")?.chunks(2) {
            let [Object::String(key, _), specification] = entry else {
                return Err(ReadError::damaged("its list of files cannot be read"));
            };
            if text_string(key) == name {
                let Object::Dictionary(specification) = file.resolve(specification)? else {
                    return Err(ReadError::damaged("its list of files cannot be read"));
                };
                // Two could differ, and each program would show its own choice.
                if found.replace(specification).is_some() {
                    return Err(ReadError::damaged("it lists two files of one name"));
                }
            }
        }
        for kid in file.array(&node, b"Kids")? {
            if !seen.insert(kid.as_reference()?) {
                return Err(ReadError::damaged("its list of files leads in a circle"));
            }
            if let Object::Dictionary(kid) = file.resolve(&kid)? {
                nodes.push(kid);
            }
        }
    }
    Ok(found)
}

/// The file specification of this name among those tied to the document.
fn associated(
    file: &PdfFile<'_>,
    catalog: &Dictionary,
    name: &str,
) -> Result<Option<Dictionary>, ReadError> {
    let mut found = None;
    for specification in file.array(catalog, b"AF")? {
        let Object::Dictionary(specification) = file.resolve(&specification)? else { continue };
        let named = match file.get(&specification, b"UF")? {
            Some(named) => Some(named),
            None => file.get(&specification, b"F")?,
        };
        let named =
            named.is_some_and(|named| named.as_str().is_ok_and(|it| text_string(it) == name));
        if named && found.replace(specification).is_some() {
            return Err(ReadError::damaged("it lists two files of one name"));
        }
    }
    Ok(found)
}

/// A text string for people: UTF-16 or UTF-8 if it is marked so, else one byte a letter.
fn text_string(bytes: &[u8]) -> String {
    match bytes {
        [0xfe, 0xff, units @ ..] => utf_16(units),
        [0xef, 0xbb, 0xbf, text @ ..] => String::from_utf8_lossy(text).into_owned(),
        letters => letters.iter().copied().map(char::from).collect(),
    }
}

fn utf_16(bytes: &[u8]) -> String {
    let units: Vec<u16> =
        bytes.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect();
    String::from_utf16_lossy(&units)
}

/// What each page says: its pieces of text in the order in which they are drawn, one a line.
///
/// Two prints of one log say the same. That a file says the same as a print does not show that
/// it looks the same: shapes can be drawn over text, and a font can lie about its letters.
///
/// # Errors
/// Any of [`ReadError`] but [`ReadError::Missing`].
pub fn page_texts(pdf: &[u8]) -> Result<Vec<String>, ReadError> {
    let file = PdfFile::open(pdf)?;
    let catalog = file.catalog()?;
    let root = catalog.get(b"Pages")?.as_reference()?;
    let mut reader = Reader { file: &file, fonts: BTreeMap::new(), shared: BTreeMap::new() };
    let mut texts = Vec::new();
    // What pages draw with may be named once for many.
    let mut nodes = vec![(root, Rc::default())];
    let mut seen = BTreeSet::new();
    let mut said = None;
    while let Some((id, mut means)) = nodes.pop() {
        if !seen.insert(id) {
            return Err(ReadError::damaged("its list of pages leads in a circle"));
        }
        let Object::Dictionary(node) = file.resolve(&id.into())? else { return Err(PAGES) };
        if let Some(own) = file.dictionary(&node, b"Resources")? {
            means = Rc::new(reader.means(&own)?);
        }
        // What is neither the one nor the other, programs show each in their own way.
        if node.has_type(b"Pages") && node.has(b"Kids") {
            said.get_or_insert(node.get(b"Count")?.as_i64()?);
            for kid in file.array(&node, b"Kids")?.iter().rev() {
                nodes.push((kid.as_reference()?, Rc::clone(&means)));
            }
        } else if node.has_type(b"Page") && !node.has(b"Kids") {
            texts.push(reader.page(&node, &means)?);
        } else {
            return Err(PAGES);
        }
    }
    // A program that believes the number shows no more than so many.
    if said.is_some_and(|said| usize::try_from(said) != Ok(texts.len())) {
        return Err(PAGES);
    }
    Ok(texts)
}

const PAGES: ReadError = ReadError::damaged("its list of pages cannot be read");

/// The letters that a font's codes stand for. A code of ASCII has one byte, any other two.
type Letters = BTreeMap<u16, String>;

/// What a content draws with, by name.
#[derive(Default)]
struct Means {
    fonts: Dictionary,
    shared: Dictionary,
}

struct Reader<'a> {
    file: &'a PdfFile<'a>,
    /// Those that were read already.
    fonts: BTreeMap<ObjectId, Rc<Letters>>,
    /// What several pages show: its text.
    shared: BTreeMap<ObjectId, Rc<str>>,
}

impl Reader<'_> {
    fn means(&self, resources: &Dictionary) -> Result<Means, ReadError> {
        Ok(Means {
            fonts: self.file.dictionary(resources, b"Font")?.unwrap_or_default(),
            shared: self.file.dictionary(resources, b"XObject")?.unwrap_or_default(),
        })
    }

    fn page(&mut self, page: &Dictionary, means: &Means) -> Result<String, ReadError> {
        for annotation in self.file.array(page, b"Annots")? {
            let Object::Dictionary(annotation) = self.file.resolve(&annotation)? else {
                return Err(PAGES);
            };
            // That of the seal, which shows nothing.
            let silent =
                matches!(annotation.get(b"Subtype"), Ok(Object::Name(name)) if name == b"Widget");
            if !silent || annotation.has(b"AP") {
                return Err(ReadError::foreign("there is a note on a page"));
            }
        }
        let contents = match page.get(b"Contents") {
            Ok(Object::Array(parts)) => parts.clone(),
            Ok(part) => vec![part.clone()],
            Err(_) => Vec::new(),
        };
        let mut content = Vec::new();
        for part in &contents {
            content.extend(self.file.page_content(part)?);
            content.push(b'\n');
        }
        self.content(&content, means, Shared::Allowed)
    }

    /// What a content says. It draws as we do or is refused: whatever is passed over here, another
    /// program could show.
    fn content(
        &mut self,
        content: &[u8],
        means: &Means,
        shared: Shared,
    ) -> Result<String, ReadError> {
        let mut letters = Rc::default();
        let mut text = String::new();
        let mut piece = String::new();
        let mut syntax = Syntax::new(content, 0);
        loop {
            let phrase = syntax.phrase();
            let (operands, operator) =
                phrase.ok_or(ReadError::damaged("what it draws on a page cannot be read"))?;
            match (operator.as_slice(), operands.as_slice()) {
                (b"", []) => break,
                (b"Do", [Object::Name(name)]) => {
                    end(&mut piece, &mut text);
                    let shown = self.shared(name, means, shared)?;
                    self.file.charge(shown.len())?;
                    text.push_str(&shown);
                }
                (b"Tf", [Object::Name(name), size]) if is_number(size) => {
                    let font = means.fonts.get(name).and_then(Object::as_reference)?;
                    letters = self.letters(font)?;
                }
                (b"TJ", [Object::Array(parts)]) => {
                    for part in parts {
                        show(self.file, part, &letters, &mut piece)?;
                    }
                }
                (b"Tj", [part @ Object::String(..)]) => {
                    show(self.file, part, &letters, &mut piece)?;
                }
                (b"Td", [x, y]) if is_number(x) && is_number(y) => end(&mut piece, &mut text),
                (b"BT" | b"ET", []) => end(&mut piece, &mut text),
                (b"EMC" | b"S" | b"s" | b"f" | b"b" | b"n", [])
                | (b"BMC", [Object::Name(_)])
                | (b"BDC", [Object::Name(_), Object::Dictionary(_)])
                | (b"d", [Object::Array(_), _]) => {}
                (b"m" | b"l" | b"re" | b"w" | b"rg" | b"RG", numbers)
                    if numbers.iter().all(is_number) => {}
                _ => return Err(ReadError::foreign("its pages are drawn in another way")),
            }
        }
        end(&mut piece, &mut text);
        Ok(text)
    }

    /// What several pages show. We draw it straight onto a page, and never within itself.
    fn shared(&mut self, name: &[u8], means: &Means, shared: Shared) -> Result<Rc<str>, ReadError> {
        if shared == Shared::Inside {
            return Err(ReadError::foreign("its pages are drawn in another way"));
        }
        let reference = means.shared.get(name)?;
        let id = reference.as_reference()?;
        if let Some(known) = self.shared.get(&id) {
            return Ok(Rc::clone(known));
        }
        let dictionary = self.file.stream(reference)?.dictionary;
        if dictionary.get(b"Subtype")?.as_name()? != b"Form" {
            return Err(ReadError::foreign("there is a picture on a page"));
        }
        let content = self.file.page_content(reference)?;
        let own = self.file.dictionary(&dictionary, b"Resources")?.unwrap_or_default();
        let own = self.means(&own)?;
        let text: Rc<str> = self.content(&content, &own, Shared::Inside)?.into();
        self.shared.insert(id, Rc::clone(&text));
        Ok(text)
    }

    /// What the codes of a font stand for, by its own map.
    fn letters(&mut self, font: ObjectId) -> Result<Rc<Letters>, ReadError> {
        if let Some(known) = self.fonts.get(&font) {
            return Ok(Rc::clone(known));
        }
        let unknown = ReadError::foreign("a font in it does not say its letters");
        let Object::Dictionary(dictionary) = self.file.resolve(&font.into())? else {
            return Err(ReadError::damaged("a font in it cannot be read"));
        };
        let map = dictionary.get(b"ToUnicode").map_err(|_| unknown)?;
        let letters = Rc::new(map_of(self.file, map)?);
        self.fonts.insert(font, Rc::clone(&letters));
        Ok(letters)
    }
}

/// Whether content that several pages show may be drawn here.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shared {
    Allowed,
    /// It is such content itself.
    Inside,
}

fn is_number(object: &Object) -> bool {
    matches!(object, Object::Integer(_) | Object::Real(_))
}

/// Ends a piece of text: what comes stands elsewhere on the page.
fn end(piece: &mut String, text: &mut String) {
    if !piece.trim().is_empty() {
        // The space at its end parts it from the next for whoever hears it read.
        text.push_str(piece.trim_end());
        text.push('\n');
    }
    piece.clear();
}

/// Adds the letters of a string to the piece. We put nothing else between strings.
fn show(
    file: &PdfFile<'_>,
    part: &Object,
    letters: &Letters,
    piece: &mut String,
) -> Result<(), ReadError> {
    let Object::String(codes, _) = part else {
        return Err(ReadError::foreign("its pages are drawn in another way"));
    };
    let before = piece.len();
    let mut rest = codes.as_slice();
    while let [first, after @ ..] = rest {
        let (code, after) = match after {
            _ if first.is_ascii() => (u16::from(*first), after),
            [second, after @ ..] => (u16::from_be_bytes([*first, *second]), after),
            [] => (0, after),
        };
        rest = after;
        piece.push_str(letters.get(&code).map_or("\u{fffd}", String::as_str));
    }
    file.charge(piece.len() - before)
}

/// Reads a map from codes to letters, the parts of one that name single codes or ranges.
fn map_of(file: &PdfFile<'_>, map: &Object) -> Result<Letters, ReadError> {
    /// What a letter costs in memory, about; a range makes many out of few bytes.
    const LETTER: usize = 64;
    let content = file.page_content(map)?;
    let bad = ReadError::damaged("a font's letters cannot be read");
    let mut letters = Letters::new();
    let mut syntax = Syntax::new(&content, 0);
    loop {
        let (operands, word) = syntax.phrase().ok_or(bad.clone())?;
        match word.as_slice() {
            b"" => return Ok(letters),
            b"endbfchar" => {
                for entry in operands.chunks(2) {
                    let [code, letter] = entry else { return Err(bad) };
                    file.charge(LETTER)?;
                    letters.insert(code_of(code)?, letter_of(letter, 0)?);
                }
            }
            b"endbfrange" => {
                for entry in operands.chunks(3) {
                    let [first, last, letter] = entry else { return Err(bad) };
                    for (code, nth) in (code_of(first)?..=code_of(last)?).zip(0..=u16::MAX) {
                        let letter = match letter {
                            Object::Array(list) => {
                                letter_of(list.get(usize::from(nth)).ok_or(bad.clone())?, 0)?
                            }
                            start => letter_of(start, nth)?,
                        };
                        file.charge(LETTER)?;
                        letters.insert(code, letter);
                    }
                }
            }
            _ => {}
        }
    }
}

fn code_of(object: &Object) -> Result<u16, ReadError> {
    match object.as_str()? {
        [code] if code.is_ascii() => Ok(u16::from(*code)),
        [high, low] if !high.is_ascii() => Ok(u16::from_be_bytes([*high, *low])),
        _ => Err(ReadError::foreign("a font in it does not say its letters")),
    }
}

/// The letters of a code, `nth` after those given. A few at most; none that ends a line.
fn letter_of(object: &Object, nth: u16) -> Result<String, ReadError> {
    const MOST_BYTES: usize = 16;
    let mut units = object.as_str()?.to_vec();
    if units.len() > MOST_BYTES {
        return Err(ReadError::damaged("a font's letters cannot be read"));
    }
    if let [.., high, low] = units.as_mut_slice() {
        [*high, *low] = u16::from_be_bytes([*high, *low]).wrapping_add(nth).to_be_bytes();
    }
    Ok(utf_16(&units).replace(char::is_control, "\u{fffd}"))
}
