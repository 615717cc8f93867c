//! From objects to the bytes of a file (ISO 32000-1, 7.5).
//!
//! What leads whoever has it read aloud, or finds their way by its headings, is many small objects: they
//! are packed by the hundred. All that it takes to draw the pages, to find the files inside and to seal the
//! whole stands by itself, so that it can be found again by its own words should the table at the end
//! be lost.

use std::{
    fmt::Write as _,
    io::{self, Write as _},
    thread,
};

use flate2::{Compression, write::ZlibEncoder};
use lopdf::{
    Dictionary, Document, Object, ObjectId, Stream,
    content::{Content, Operation},
    dictionary,
};

/// So many objects make a pack.
const PACK: usize = 400;
/// The widths of a table's columns, in bytes: kind, place or pack, generation or place in the pack.
pub(crate) const COLUMNS: [u8; 3] = [1, 4, 2];
/// The bytes of a row.
pub(crate) const ROW: usize = 7;

/// The sign before a row of a table that states what it has more than the row above.
pub(crate) const UP: u8 = 2;

/// The widths as a table states them.
pub(crate) fn widths() -> Object {
    COLUMNS.map(Object::from).to_vec().into()
}

/// How the rows of a deflated table are written, each by what it has more than the row above.
pub(crate) fn predicted() -> Object {
    dictionary! { "Predictor" => 12, "Columns" => i64::try_from(ROW).unwrap_or_default() }.into()
}

/// Objects that are packed.
#[derive(Default)]
pub(crate) struct Packed(Vec<(ObjectId, Dictionary)>);

impl Packed {
    pub(crate) fn add(&mut self, id: ObjectId, object: Dictionary) {
        self.0.push((id, object));
    }
}

/// Where an object is found.
#[derive(Clone, Copy)]
enum Place {
    At(u32),
    In { pack: u32, nth: u16 },
}

/// Writes the document. Its trailer names catalog, information and identity.
pub(crate) fn write(mut document: Document, packed: &Packed) -> lopdf::Result<Vec<u8>> {
    let mut places: Vec<Option<Place>> = Vec::new();
    for pack in packed.0.chunks(PACK) {
        let id = document.add_object(self::pack(pack)?).0;
        for (nth, ((number, _), _)) in (0..).zip(pack) {
            put(&mut places, *number, Place::In { pack: id, nth });
        }
    }
    deflate(document.objects.values_mut())?;
    // Four bytes above 127 say that the file is none of text (7.5.2).
    let mut bytes = format!("%PDF-{}\n%", document.version).into_bytes();
    bytes.extend([0xc3, 0xa7, 0xc3, 0xac, b'\n']);
    for ((number, _), object) in std::mem::take(&mut document.objects) {
        put(&mut places, number, Place::At(offset(&bytes)?));
        bytes.extend(indirect(number, object)?);
    }
    let table = offset(&bytes)?;
    let number = document.new_object_id().0;
    put(&mut places, number, Place::At(table));
    bytes.extend(indirect(number, self::table(&places, document.trailer)?.into())?);
    bytes.extend(format!("startxref\n{table}\n%%EOF").into_bytes());
    Ok(bytes)
}

fn put(places: &mut Vec<Option<Place>>, number: u32, place: Place) {
    let at = usize::try_from(number).unwrap_or(usize::MAX);
    if places.len() <= at {
        places.resize(at + 1, None);
    }
    if let Some(entry) = places.get_mut(at) {
        *entry = Some(place);
    }
}

fn offset(bytes: &[u8]) -> lopdf::Result<u32> {
    u32::try_from(bytes.len()).map_err(|_| io::Error::other("the file is too large").into())
}

/// An object that others refer to, each word on a line of its own (ISO 19005-3, 6.1.9).
fn indirect(number: u32, object: Object) -> lopdf::Result<Vec<u8>> {
    let mut bytes = format!("{number} 0 obj\n").into_bytes();
    bytes.extend(written(object)?);
    bytes.extend(b"\nendobj\n");
    Ok(bytes)
}

/// An object as it stands in a file. The library writes one only in a file of its own making, or as
/// what an operator is applied to: here one without a name.
fn written(object: Object) -> lopdf::Result<Vec<u8>> {
    let mut bytes = Content { operations: [Operation::new("", vec![object])] }.encode()?;
    // The space before the operator.
    bytes.pop();
    Ok(bytes)
}

/// An object stream (7.5.7).
fn pack(objects: &[(ObjectId, Dictionary)]) -> lopdf::Result<Stream> {
    let (mut index, mut bodies) = (String::new(), Vec::new());
    for ((number, _), object) in objects {
        // Writing to a string can't fail.
        let _ = write!(index, "{number} {} ", bodies.len());
        bodies.extend(written(object.clone().into())?);
        bodies.push(b' ');
    }
    let entries = dictionary! {
        "Type" => "ObjStm",
        "N" => i64::try_from(objects.len()).unwrap_or(i64::MAX),
        "First" => i64::try_from(index.len()).unwrap_or(i64::MAX),
    };
    Ok(Stream::new(entries, [index.into_bytes(), bodies].concat()))
}

/// A row of a table, its columns as [`COLUMNS`] are wide.
pub(crate) fn row(kind: u8, first: u32, second: u16) -> [u8; ROW] {
    let mut row = [0; ROW];
    let columns = [&[kind][..], &first.to_be_bytes(), &second.to_be_bytes()].concat();
    for (to, from) in row.iter_mut().zip(columns) {
        *to = from;
    }
    row
}

/// A cross-reference stream (7.5.8), which is the trailer as well.
fn table(places: &[Option<Place>], trailer: Dictionary) -> lopdf::Result<Stream> {
    let mut rows = Vec::with_capacity(places.len() * (1 + ROW));
    let mut above = [0; ROW];
    for place in places {
        let row = match place {
            None => row(0, 0, u16::MAX),
            Some(Place::At(offset)) => row(1, *offset, 0),
            Some(Place::In { pack, nth }) => row(2, *pack, *nth),
        };
        // Each but for what the row above has: mostly the same everywhere (7.4.4.4).
        rows.push(UP);
        rows.extend(row.iter().zip(above).map(|(byte, above)| byte.wrapping_sub(above)));
        above = row;
    }
    let mut entries = trailer;
    entries.set("Type", "XRef");
    entries.set("DecodeParms", predicted());
    entries.set("Size", i64::try_from(places.len()).unwrap_or(i64::MAX));
    entries.set("W", widths());
    let mut table = Stream::new(entries, rows);
    squeeze(&mut table)?;
    Ok(table)
}

/// Deflates what may be deflated, by as many hands as the machine has: nothing else takes as long.
fn deflate<'a>(objects: impl Iterator<Item = &'a mut Object>) -> io::Result<()> {
    const MOST_HANDS: usize = 4;
    let mut streams: Vec<&mut Stream> = objects
        .filter_map(|object| object.as_stream_mut().ok())
        .filter(|stream| stream.allows_compression && !stream.dict.has(b"Filter"))
        .collect();
    let hands = thread::available_parallelism().map_or(1, usize::from).min(MOST_HANDS);
    let share = streams.len().div_ceil(hands).max(1);
    thread::scope(|scope| {
        for part in streams.chunks_mut(share) {
            // What a hand does not do, for there is none or it fails, is done below.
            let work = || part.iter_mut().try_for_each(|stream| squeeze(stream));
            let _ = thread::Builder::new().spawn_scoped(scope, work);
        }
    });
    streams.into_iter().filter(|stream| !stream.dict.has(b"Filter")).try_for_each(squeeze)
}

fn squeeze(stream: &mut Stream) -> io::Result<()> {
    let mut deflated = ZlibEncoder::new(Vec::new(), Compression::default());
    deflated.write_all(&stream.content)?;
    stream.set_content(deflated.finish()?);
    stream.dict.set("Filter", "FlateDecode");
    Ok(())
}
