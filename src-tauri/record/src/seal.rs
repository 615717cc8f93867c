//! The place of the workshop's seal in a PDF: a signature as ISO 32000-1, 12.8 lays it out, its
//! form that of `PAdES` (ETSI EN 319 142-1).
//!
//! It is added after the finished file (an incremental update), so that the file before it stays
//! the very bytes that are drawn again when a log is verified. What a seal is made of and whether
//! it holds, others know: here it is bytes of a bounded length.

use std::{collections::BTreeMap, fmt::Write as _, ops::Range};

use lopdf::{Dictionary, Object, ObjectId};

use crate::{
    error::RecordError,
    finish,
    model::When,
    pdf::{self, pdf_date},
    pdf_file::PdfFile,
    reading::ReadError,
};

/// So many bytes are kept free for the seal; what it leaves over is filled with zeros.
const ROOM: usize = 3072;
/// No name of a workshop that is written into a file is longer, in bytes.
const LONGEST_NAME: usize = 1024;
/// How deep the first page may stand in the tree of pages.
const DEPTH: usize = 16;
/// What a reader program shows beside the seal.
const REASON: &str =
    "This file is as the workshop wrote it. What people signed is in the record inside.";

/// A sealed PDF, taken apart. Whether the seal holds is not known yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealedPdf<'a> {
    /// The file as it was before it was sealed.
    pub before: &'a [u8],
    /// All bytes that the seal is over: those of the file but the seal's own place.
    pub covered: Vec<u8>,
    /// The seal, with the zeros that fill its place.
    pub seal: Vec<u8>,
}

/// Adds a seal to a PDF that this crate has drawn. `sign` is given all bytes that the seal is over
/// and makes it; `when` and `name` are what reader programs show as its time and signer.
///
/// # Errors
/// [`RecordError::Write`], as `E`, if the PDF is none of ours or the seal is too large; what
/// `sign` says.
pub fn seal<E: From<RecordError>>(
    pdf: &[u8],
    when: When,
    name: &str,
    sign: impl FnOnce(&[u8]) -> Result<Vec<u8>, E>,
) -> Result<Vec<u8>, E> {
    let refused = |reason: String| E::from(RecordError::Write { reason });
    let Object::String(name, _) = pdf::text(name) else {
        return Err(refused("the name is no text".to_owned()));
    };
    let name = cut(&name);
    let laid = Laid::out(pdf, &pdf_date(when), name);
    let Laid { mut bytes, place } = laid.map_err(|error| refused(error.to_string()))?;
    let seal = sign(&covered(&bytes, &place))?;
    if seal.len() > ROOM {
        return Err(refused(format!("the seal takes {} bytes, and there are {ROOM}", seal.len())));
    }
    let digits = hex(&seal);
    for (to, digit) in bytes.iter_mut().skip(place.start).zip(digits.bytes()) {
        *to = digit;
    }
    Ok(bytes)
}

/// A name that is not too long, cut between two letters: half of one is none (UTF-16).
fn cut(name: &[u8]) -> &[u8] {
    let Some(short) = name.get(..LONGEST_NAME).filter(|short| short.len() < name.len()) else {
        return name;
    };
    if let [whole @ .., 0xd8..=0xdb, _] = short { whole } else { short }
}

/// Takes a PDF apart that was sealed by [`seal`]; `None` if nothing was ever added to it.
///
/// # Errors
/// [`ReadError::Added`] if what was added is anything but one such seal, to the byte; the others
/// as they say.
pub fn sealed(pdf: &[u8]) -> Result<Option<SealedPdf<'_>>, ReadError> {
    const END: &[u8] = b"%%EOF";
    let file = PdfFile::open(pdf)?;
    let Ok(previous) = file.trailer().get(b"Prev") else { return Ok(None) };
    let previous = usize::try_from(previous.as_i64()?)?;
    // After the table of the file before comes its end: no text of anybody stands there.
    let from = file.table_end(previous)?;
    let tail = pdf.get(from..).ok_or(ReadError::Added)?;
    let end = tail.windows(END.len()).position(|window| window == END).ok_or(ReadError::Added)?;
    let before = pdf.get(..from + end + END.len()).ok_or(ReadError::Added)?;
    let (when, name) = said(&file)?.ok_or(ReadError::Added)?;
    // Laid out anew and compared: whatever is not as we lay it out was added by somebody else.
    let laid = Laid::out(before, &when, &name)?;
    let place = laid.place.clone();
    let around = |bytes: &[u8]| {
        Some([bytes.get(..place.start)?, bytes.get(place.end..)?].map(<[u8]>::to_vec))
    };
    if laid.bytes.len() != pdf.len() || around(&laid.bytes) != around(pdf) {
        return Err(ReadError::Added);
    }
    let seal = pdf.get(place.clone()).and_then(unhex).ok_or(ReadError::Added)?;
    Ok(Some(SealedPdf { before, covered: covered(pdf, &place), seal }))
}

/// The time and the name that a seal states, as they are written.
fn said(file: &PdfFile<'_>) -> Result<Option<(String, Vec<u8>)>, ReadError> {
    let form = file.dictionary(&file.catalog()?, b"AcroForm")?.unwrap_or_default();
    let fields = file.array(&form, b"Fields")?;
    let [field] = fields.as_slice() else { return Ok(None) };
    let Object::Dictionary(field) = file.resolve(field)? else { return Ok(None) };
    let value = file.dictionary(&field, b"V")?.unwrap_or_default();
    let (when, name) = (file.get(&value, b"M")?, file.get(&value, b"Name")?);
    let (Some(Object::String(when, _)), Some(Object::String(name, _))) = (when, name) else {
        return Ok(None);
    };
    // `D:20261125103207+01'00'`: its digits and signs need no escape where they are written.
    let plain = |byte: &u8| byte.is_ascii_digit() || b"D:+-'".contains(byte);
    if when.len() != 23 || !when.iter().all(plain) || name.len() > LONGEST_NAME {
        return Ok(None);
    }
    Ok(Some((when.into_iter().map(char::from).collect(), name)))
}

/// A file with an empty place for its seal.
struct Laid {
    bytes: Vec<u8>,
    /// Where the seal's digits go.
    place: Range<usize>,
}

impl Laid {
    fn out(before: &[u8], when: &str, name: &[u8]) -> Result<Self, ReadError> {
        let file = PdfFile::open(before)?;
        let trailer = file.trailer();
        let (root, info) =
            (trailer.get(b"Root")?.as_reference()?, trailer.get(b"Info")?.as_reference()?);
        let catalog = file.catalog()?;
        let (page_id, page) = first_page(&file, &catalog)?;
        if trailer.has(b"Prev") || catalog.has(b"AcroForm") || page.has(b"Annots") {
            return Err(ReadError::Added);
        }
        let size = u32::try_from(trailer.get(b"Size")?.as_i64()?)?;
        let (field, value) = (size, size.checked_add(1).ok_or(ReadError::Added)?);
        let number = page_id.0;

        let mut bytes = before.to_vec();
        bytes.push(b'\n');
        let mut table = BTreeMap::new();
        let mut begin = |bytes: &mut Vec<u8>, id: u32| -> Result<(), ReadError> {
            table.insert(id, crate::file::row(1, u32::try_from(bytes.len())?, 0));
            Ok(())
        };
        begin(&mut bytes, root.0)?;
        let form = format!("/AcroForm<</Fields[{field} 0 R]/SigFlags 3>>");
        add_entry(&mut bytes, file.written(root)?, &form)?;
        begin(&mut bytes, number)?;
        add_entry(&mut bytes, file.written(page_id)?, &format!("/Annots[{field} 0 R]"))?;
        begin(&mut bytes, field)?;
        // Printed and locked, and of no size: nothing of it is seen on the page.
        add(
            &mut bytes,
            &format!(
                "{field} 0 obj\n<</Type/Annot/Subtype/Widget/FT/Sig/T(Seal)/F 132/Rect[0 0 0 0]/P {number} 0 R/V {value} 0 R>>\nendobj\n"
            ),
        );
        begin(&mut bytes, value)?;
        add(
            &mut bytes,
            &format!(
                "{value} 0 obj\n<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/M({when})/Name<{}>/Reason({REASON})/ByteRange[",
                hex(name)
            ),
        );
        // Four numbers of a fixed width: how long they are must not change where things stand.
        let range = bytes.len();
        add(&mut bytes, &" ".repeat(RANGE));
        add(&mut bytes, "]/Contents<");
        let place = bytes.len()..bytes.len() + 2 * ROOM;
        bytes.resize(place.end, b'0');
        add(&mut bytes, ">>>\nendobj\n");

        let (at, this) = (bytes.len(), value.checked_add(1).ok_or(ReadError::Added)?);
        begin(&mut bytes, this)?;
        let index: Vec<String> = table.keys().map(|id| format!("{id} 1")).collect();
        let rows = table.into_values().collect::<Vec<_>>().concat();
        let first = trailer.get(b"ID")?.as_array()?.first().ok_or(ReadError::Added)?.as_str()?;
        let [kind, place_width, nth_width] = crate::file::COLUMNS;
        add(
            &mut bytes,
            &format!(
                "{this} 0 obj\n<</Type/XRef/W[{kind} {place_width} {nth_width}]/Index[{}]/Root {} 0 R/Info {} 0 R/ID[<{}><{}>]/Size {}/Prev {}/Length {}>>stream\n",
                index.join(" "),
                root.0,
                info.0,
                hex(first),
                hex(&finish::identity_of(&[first, when.as_bytes(), name])),
                u64::from(this) + 1,
                file.last_table()?,
                rows.len(),
            ),
        );
        bytes.extend(rows);
        add(&mut bytes, &format!("\nendstream\nendobj\nstartxref\n{at}\n%%EOF\n"));
        let (opened, closed) = (place.start - 1, place.end + 1);
        let numbers = format!("0 {opened:010} {closed:010} {:010}", bytes.len() - closed);
        for (to, digit) in bytes.iter_mut().skip(range).zip(numbers.bytes()) {
            *to = digit;
        }
        Ok(Self { bytes, place })
    }
}

/// The width of the four numbers.
const RANGE: usize = 34;

fn add(bytes: &mut Vec<u8>, text: &str) {
    bytes.extend_from_slice(text.as_bytes());
}

/// Writes a dictionary object as it stands, with one entry more at its end.
fn add_entry(bytes: &mut Vec<u8>, written: &[u8], entry: &str) -> Result<(), ReadError> {
    const END: &[u8] = b">>\nendobj";
    bytes.extend_from_slice(written.strip_suffix(END).ok_or(ReadError::Added)?);
    add(bytes, entry);
    bytes.extend_from_slice(END);
    bytes.push(b'\n');
    Ok(())
}

fn first_page(
    file: &PdfFile<'_>,
    catalog: &Dictionary,
) -> Result<(ObjectId, Dictionary), ReadError> {
    let mut id = catalog.get(b"Pages")?.as_reference()?;
    for _ in 0..DEPTH {
        let Object::Dictionary(node) = file.resolve(&id.into())? else { break };
        match file.array(&node, b"Kids")?.first() {
            Some(kid) => id = kid.as_reference()?,
            None => return Ok((id, node)),
        }
    }
    Err(ReadError::damaged("its list of pages cannot be read"))
}

/// All bytes but the place of the seal and the brackets around it.
fn covered(bytes: &[u8], place: &Range<usize>) -> Vec<u8> {
    let head = bytes.get(..place.start.saturating_sub(1)).unwrap_or_default();
    let tail = bytes.get(place.end + 1..).unwrap_or_default();
    [head, tail].concat()
}

fn hex(bytes: &[u8]) -> String {
    let mut digits = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        // Writing to a string can't fail.
        let _ = write!(digits, "{byte:02x}");
    }
    digits
}

/// The other way, for digits as we write them.
fn unhex(digits: &[u8]) -> Option<Vec<u8>> {
    let value = |digit: u8| match digit {
        b'0'..=b'9' => Some(digit - b'0'),
        b'a'..=b'f' => Some(digit - b'a' + 10),
        _ => None,
    };
    let pairs = digits.chunks_exact(2);
    pairs.map(|pair| Some(value(pair[0])? << 4 | value(pair[1])?)).collect()
}
