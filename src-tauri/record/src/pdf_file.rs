//! A PDF file from anyone: its objects found by its own table, with bounds on time and memory.
//!
//! Only what this program writes is understood: cross-reference streams, and streams that are plain or
//! deflated. What is packed (see [`crate::file`]) is never read here: no part that counts is. The
//! table is followed to the letter and never guessed: parts that other programs do not show must not
//! be read here in place of those that they show.

use std::{
    cell::Cell,
    collections::{BTreeMap, BTreeSet},
    io::Read,
};

use flate2::read::ZlibDecoder;
use lopdf::{Dictionary, Object, ObjectId};

use crate::{
    file::{self, ROW},
    pdf_syntax::{Syntax, is_white},
    reading::ReadError,
};

/// How many bytes may be read or inflated in all, those of an attachment not counted.
const WORK: usize = 32 << 20;
/// How many objects a file may hold.
const OBJECTS: usize = 1_000_000;
/// How many times a file may have been added to.
const REVISIONS: usize = 100;

pub(crate) struct PdfFile<'a> {
    bytes: &'a [u8],
    places: BTreeMap<u32, Place>,
    trailer: Dictionary,
    work: Cell<usize>,
}

/// Where an object is.
#[derive(Clone, Copy)]
enum Place {
    /// It begins here, and has this generation.
    At(usize, u16),
    Removed,
    Packed,
}

/// A stream as it stands in the file.
pub(crate) struct RawStream<'a> {
    pub(crate) dictionary: Dictionary,
    data: &'a [u8],
    /// Where the data ends in the file.
    end: usize,
}

impl<'a> PdfFile<'a> {
    pub(crate) fn open(bytes: &'a [u8]) -> Result<Self, ReadError> {
        if !bytes.starts_with(b"%PDF-") {
            return Err(ReadError::NoPdf);
        }
        let mut file = Self {
            bytes,
            places: BTreeMap::new(),
            trailer: Dictionary::new(),
            work: Cell::new(WORK),
        };
        let mut next = Some(file.last_table()?);
        let mut seen = BTreeSet::new();
        while let Some(at) = next {
            if !seen.insert(at) || seen.len() > REVISIONS {
                return Err(ReadError::damaged(
                    "its tables of contents lead in a circle, or are too many",
                ));
            }
            let trailer = file.table(at)?;
            next = match trailer.get(b"Prev") {
                Ok(at) => Some(usize::try_from(at.as_i64()?).map_err(|_| TABLE)?),
                Err(_) => None,
            };
            // The table at the end of the file is the newest.
            if seen.len() == 1 {
                file.trailer = trailer;
            }
        }
        if file.trailer.has(b"Encrypt") {
            return Err(ReadError::foreign("it is encrypted"));
        }
        Ok(file)
    }

    /// Where the newest table stands.
    pub(crate) fn last_table(&self) -> Result<usize, ReadError> {
        const WORD: &[u8] = b"startxref";
        const TAIL: usize = 1024;
        let from = self.bytes.len().saturating_sub(TAIL);
        let tail = self.bytes.get(from..).unwrap_or_default();
        let end = ReadError::damaged("its end is missing");
        let at = tail.windows(WORD.len()).rposition(|window| window == WORD);
        let at = from + at.ok_or(end.clone())? + WORD.len();
        let (objects, _) = self.phrase(&mut Syntax::new(self.bytes, at))?;
        let offset = objects.first().ok_or(end)?.as_i64()?;
        usize::try_from(offset).map_err(|_| TABLE)
    }

    /// Adds what the table at this offset lists and returns the trailer, which is a part of it.
    fn table(&mut self, at: usize) -> Result<Dictionary, ReadError> {
        let (trailer, content) = self.table_rows(at)?;
        let size = u32::try_from(trailer.get(b"Size")?.as_i64()?)?;
        let parts = match trailer.get(b"Index") {
            Ok(parts) => parts.as_array()?.clone(),
            Err(_) => vec![0.into(), size.into()],
        };
        let mut rows = content.chunks_exact(ROW);
        // Whoever lists an object twice may show either of them.
        let mut least = 0;
        for part in parts.chunks(2) {
            let [first, count] = part else { return Err(TABLE) };
            let (first, count) = (u32::try_from(first.as_i64()?)?, u32::try_from(count.as_i64()?)?);
            for nth in 0..count {
                let number = first.checked_add(nth).ok_or(TABLE)?;
                if number < least || number >= size {
                    return Err(TABLE);
                }
                least = number + 1;
                let place = place(rows.next().ok_or(TABLE)?)?;
                self.places.entry(number).or_insert(place);
                if self.places.len() > OBJECTS {
                    return Err(ReadError::damaged("it lists too many objects"));
                }
            }
        }
        if rows.next().is_some() || !rows.remainder().is_empty() {
            return Err(TABLE);
        }
        Ok(trailer)
    }

    /// The trailer and the rows of the table at this offset, written as we write them.
    fn table_rows(&self, at: usize) -> Result<(Dictionary, Vec<u8>), ReadError> {
        let mut table = self.table_stream(at)?;
        self.charge(table.data.len())?;
        if table.dictionary.get(b"W")? != &file::widths() {
            return Err(ReadError::foreign("its table of contents is laid out in another way"));
        }
        // Only with a filter do its parameters say anything; and nothing can be looked up yet.
        let filter = table.dictionary.get(b"Filter").ok().cloned();
        let differences = match (filter, table.dictionary.remove(b"DecodeParms")) {
            (None | Some(Object::Name(_)), None) => false,
            (Some(Object::Name(_)), Some(known)) if known == file::predicted() => true,
            _ => return Err(ReadError::foreign("it is compressed in another way")),
        };
        let content = self.content(&table, OBJECTS * (1 + ROW))?;
        self.charge(content.len())?;
        Ok((table.dictionary, if differences { summed(&content)? } else { content }))
    }

    /// The table at this offset, as it stands.
    fn table_stream(&self, at: usize) -> Result<RawStream<'a>, ReadError> {
        let mut syntax = Syntax::new(self.bytes, at);
        let (head, word) = self.phrase(&mut syntax)?;
        match (head.as_slice(), word.as_slice()) {
            ([Object::Integer(_), Object::Integer(0)], b"obj") => {}
            (_, b"xref") => {
                return Err(ReadError::foreign("its table of contents is plain text"));
            }
            _ => return Err(TABLE),
        }
        match self.body(&mut syntax)? {
            (Object::Dictionary(dictionary), Some(start)) if dictionary.has_type(b"XRef") => {
                // Nothing can be looked up yet: its length must stand in it.
                let length = dictionary.get(b"Length")?.clone();
                self.raw(dictionary, &length, start)
            }
            _ => Err(TABLE),
        }
    }

    /// Where what the table at this offset holds ends.
    pub(crate) fn table_end(&self, at: usize) -> Result<usize, ReadError> {
        Ok(self.table_stream(at)?.end)
    }

    /// The catalog, where everything else is found.
    pub(crate) fn catalog(&self) -> Result<Dictionary, ReadError> {
        self.dictionary(&self.trailer, b"Root")?.ok_or(ReadError::damaged("it has no catalog"))
    }

    /// The trailer of the newest table.
    pub(crate) fn trailer(&self) -> &Dictionary {
        &self.trailer
    }

    /// An object that is no stream, as it stands in the file, from its number to its last word.
    pub(crate) fn written(&self, id: ObjectId) -> Result<&'a [u8], ReadError> {
        let (Some(Place::At(at, _)), Some((_, None))) =
            (self.places.get(&id.0), self.indirect(id)?)
        else {
            return Err(OBJECT);
        };
        let at = *at;
        let mut syntax = Syntax::new(self.bytes, at);
        self.phrase(&mut syntax)?;
        self.phrase(&mut syntax)?;
        self.bytes.get(at..syntax.at()).ok_or(OBJECT)
    }

    /// The value of a key, references followed; `None` if there is none.
    pub(crate) fn get(
        &self,
        dictionary: &Dictionary,
        key: &[u8],
    ) -> Result<Option<Object>, ReadError> {
        match dictionary.get(key) {
            Ok(object) => self.resolve(object).map(Some),
            Err(_) => Ok(None),
        }
    }

    /// The same for a value that must be a dictionary.
    pub(crate) fn dictionary(
        &self,
        dictionary: &Dictionary,
        key: &[u8],
    ) -> Result<Option<Dictionary>, ReadError> {
        match self.get(dictionary, key)? {
            Some(Object::Dictionary(found)) => Ok(Some(found)),
            Some(Object::Null) | None => Ok(None),
            Some(_) => Err(OBJECT),
        }
    }

    /// The same for a value that must be an array; empty if there is none.
    pub(crate) fn array(
        &self,
        dictionary: &Dictionary,
        key: &[u8],
    ) -> Result<Vec<Object>, ReadError> {
        match self.get(dictionary, key)? {
            Some(Object::Array(found)) => Ok(found),
            Some(Object::Null) | None => Ok(Vec::new()),
            Some(_) => Err(OBJECT),
        }
    }

    /// The object itself, or the one that it refers to. Of a stream, its dictionary.
    pub(crate) fn resolve(&self, object: &Object) -> Result<Object, ReadError> {
        match object {
            Object::Reference(id) => Ok(match self.indirect(*id)? {
                // An object that is a reference again is not worth following: we write none.
                Some((Object::Reference(_), _)) => return Err(OBJECT),
                Some((object, _)) => object,
                None => Object::Null,
            }),
            object => Ok(object.clone()),
        }
    }

    /// The stream that a reference leads to.
    pub(crate) fn stream(&self, reference: &Object) -> Result<RawStream<'a>, ReadError> {
        let stream = ReadError::damaged("a stream in it cannot be read");
        let id = reference.as_reference()?;
        let Some((Object::Dictionary(dictionary), Some(start))) = self.indirect(id)? else {
            return Err(stream);
        };
        let length = self.get(&dictionary, b"Length")?.ok_or(stream)?;
        self.raw(dictionary, &length, start)
    }

    /// A stream whose data begins at `start`.
    fn raw(
        &self,
        dictionary: Dictionary,
        length: &Object,
        start: usize,
    ) -> Result<RawStream<'a>, ReadError> {
        let stream = ReadError::damaged("a stream in it cannot be read");
        let rest = self.bytes.get(start..).ok_or(stream.clone())?;
        let length = usize::try_from(length.as_i64()?)?;
        let (data, after) = rest.split_at_checked(length).ok_or(stream.clone())?;
        let white = after.iter().take_while(|byte| is_white(**byte)).take(2).count();
        if !after.get(white..).unwrap_or_default().starts_with(b"endstream") {
            return Err(stream);
        }
        Ok(RawStream { dictionary, data, end: start + length })
    }

    /// What a stream holds, if that is no more than `most` bytes.
    pub(crate) fn content(
        &self,
        stream: &RawStream<'_>,
        most: usize,
    ) -> Result<Vec<u8>, ReadError> {
        let parameters = self.get(&stream.dictionary, b"DecodeParms")?.unwrap_or(Object::Null);
        let filter = self.get(&stream.dictionary, b"Filter")?.unwrap_or(Object::Null);
        let deflated = match &filter {
            Object::Null => false,
            Object::Name(name) if name == b"FlateDecode" => true,
            _ => return Err(ReadError::foreign("it is compressed in another way")),
        };
        if parameters != Object::Null {
            return Err(ReadError::foreign("it is compressed in another way"));
        }
        let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
        let mut content = Vec::new();
        let read = if deflated {
            ZlibDecoder::new(stream.data).take(limit).read_to_end(&mut content)
        } else {
            stream.data.take(limit).read_to_end(&mut content)
        };
        if content.len() > most {
            return Err(ReadError::TooLarge { most });
        }
        read.map_err(|_| ReadError::damaged("a stream in it cannot be inflated"))?;
        Ok(content)
    }

    /// The same for what pages are made of, which counts as work.
    pub(crate) fn page_content(&self, reference: &Object) -> Result<Vec<u8>, ReadError> {
        let stream = self.stream(reference)?;
        // Long data may inflate to nothing.
        self.charge(stream.data.len())?;
        let content = self.content(&stream, self.work.get())?;
        self.charge(content.len())?;
        Ok(content)
    }

    /// Counts work, and refuses when it has been too much.
    pub(crate) fn charge(&self, bytes: usize) -> Result<(), ReadError> {
        let left = self.work.get().checked_sub(bytes);
        self.work.set(left.ok_or(ReadError::TooLarge { most: WORK })?);
        Ok(())
    }

    /// An object by its number, and where its data begins if it is a stream.
    fn indirect(&self, id: ObjectId) -> Result<Option<(Object, Option<usize>)>, ReadError> {
        let (offset, generation) = match self.places.get(&id.0) {
            Some(Place::At(offset, generation)) => (*offset, *generation),
            Some(Place::Packed) => {
                return Err(ReadError::foreign("it packs what Coldbench never packs"));
            }
            Some(Place::Removed) | None => return Ok(None),
        };
        // We write the first generation alone; of another, programs show each their own.
        if generation != id.1 {
            return Err(TABLE);
        }
        let mut syntax = Syntax::new(self.bytes, offset);
        let (head, word) = self.phrase(&mut syntax)?;
        let here = [Object::Integer(id.0.into()), Object::Integer(id.1.into())];
        if word != b"obj" || head != here {
            return Err(TABLE);
        }
        self.body(&mut syntax).map(Some)
    }

    /// The object after its number, and where its data begins if it is a stream.
    fn body(&self, syntax: &mut Syntax<'_>) -> Result<(Object, Option<usize>), ReadError> {
        let (mut objects, word) = self.phrase(syntax)?;
        let (Some(object), None) = (objects.pop(), objects.pop()) else { return Err(OBJECT) };
        let data = match word.as_slice() {
            b"endobj" => None,
            b"stream" => match self.bytes.get(syntax.at()..).unwrap_or_default() {
                [b'\r', b'\n', ..] => Some(syntax.at() + 2),
                [b'\n', ..] => Some(syntax.at() + 1),
                _ => return Err(OBJECT),
            },
            _ => return Err(OBJECT),
        };
        Ok((object, data))
    }

    fn phrase(&self, syntax: &mut Syntax<'_>) -> Result<(Vec<Object>, Vec<u8>), ReadError> {
        let before = syntax.at();
        let phrase = syntax.phrase().ok_or(OBJECT)?;
        self.charge(syntax.at().saturating_sub(before).saturating_add(1))?;
        Ok(phrase)
    }
}

/// The rows of a table of which each was written by what it has more than the one above.
fn summed(content: &[u8]) -> Result<Vec<u8>, ReadError> {
    let mut rows = Vec::with_capacity(content.len());
    let mut above = [0_u8; ROW];
    for written in content.chunks(1 + ROW) {
        let Some((&file::UP, more)) = written.split_first() else { return Err(TABLE) };
        let more: [u8; ROW] = more.try_into().map_err(|_| TABLE)?;
        for (byte, more) in above.iter_mut().zip(more) {
            *byte = byte.wrapping_add(more);
        }
        rows.extend(above);
    }
    Ok(rows)
}

/// What a row of a table says.
fn place(row: &[u8]) -> Result<Place, ReadError> {
    let (kind, rest) = row.split_first().ok_or(TABLE)?;
    let (first, second) = rest.split_first_chunk().ok_or(TABLE)?;
    let generation = u16::from_be_bytes(second.try_into().map_err(|_| TABLE)?);
    match kind {
        0 => Ok(Place::Removed),
        1 => Ok(Place::At(usize::try_from(u32::from_be_bytes(*first))?, generation)),
        2 => Ok(Place::Packed),
        _ => Err(TABLE),
    }
}

const TABLE: ReadError = ReadError::damaged("its table of contents does not lead to its parts");
const OBJECT: ReadError = ReadError::damaged("a part of it is no PDF, or not what it should be");

/// lopdf's only errors here are those of an object that is of another kind than it should be.
impl From<lopdf::Error> for ReadError {
    fn from(_: lopdf::Error) -> Self {
        OBJECT
    }
}

impl From<std::num::TryFromIntError> for ReadError {
    fn from(_: std::num::TryFromIntError) -> Self {
        TABLE
    }
}
