//! The letters of the faces that a document uses: their codes on its pages, and the fonts that go
//! into the file with them (ISO 32000-1, 9.7).
//!
//! A character of ASCII is its own code, so that the words of a page can be read in its unpacked
//! content by whoever has nothing else left of the file. Every other character has two bytes, both
//! above ASCII, in the order in which they come.

use std::{collections::HashMap, fmt::Write as _};

use lopdf::{Document, Object, ObjectId, Stream, StringFormat, dictionary};
use subsetter::GlyphRemapper;

use crate::{
    error::RecordError,
    fonts::{Face, Fonts, Glyph},
    style::Style,
};

/// The first code of two bytes.
const WIDE: u16 = 0x8080;
/// So many codes of two bytes have the same first.
const ROW: u16 = 0x80;
/// The codes there are, as a map of them states it: those of one byte, and those of two.
const CODES: &str = "<20> <7e>\n<8080> <ffff>";
/// No part of a map lists more codes than this (Adobe Technical Note 5014).
const PART: usize = 100;

/// What a document uses of each face.
pub(crate) struct Subsets<'a> {
    fonts: &'a Fonts,
    faces: [Subset; 3],
}

#[derive(Default)]
struct Subset {
    /// From the letters of the font file to those of the part that is embedded.
    glyphs: GlyphRemapper,
    /// In the order in which they came.
    used: Vec<Used>,
    /// A bit for each character of ASCII that is used.
    ascii: u128,
    /// The codes of the others.
    wide: HashMap<char, u16>,
}

/// A character that is used.
struct Used {
    code: u16,
    character: char,
    /// The number of its letter in the part that is embedded.
    glyph: u16,
    /// In font units.
    advance: u16,
}

impl<'a> Subsets<'a> {
    pub(crate) fn new(fonts: &'a Fonts) -> Self {
        Self { fonts, faces: Default::default() }
    }

    /// Adds the codes of the text to `codes`. A character that the face lacks has none: what is set
    /// holds no such (see [`Fonts::readable`]).
    pub(crate) fn encode(&mut self, face: Face, text: &str, codes: &mut Vec<u8>) {
        let subset = &mut self.faces[face.at()];
        for character in text.chars() {
            match subset.code(self.fonts, face, character) {
                Some(code) if code < WIDE => codes.extend(u8::try_from(code)),
                Some(code) => codes.extend(code.to_be_bytes()),
                None => {}
            }
        }
    }

    /// Width in points.
    pub(crate) fn width(&self, style: Style, text: &str) -> f32 {
        self.fonts.width(style.face, style.size, text)
    }

    /// Adds the fonts that are used to the document, by the names that its pages give them.
    pub(crate) fn embed(
        &self,
        document: &mut Document,
    ) -> Result<Vec<(&'static str, ObjectId)>, RecordError> {
        let faces = Face::ALL.into_iter().zip(&self.faces);
        faces
            .filter(|(_, subset)| !subset.used.is_empty())
            .map(|(face, subset)| {
                Ok((face.resource(), subset.embed(self.fonts.font(face), face, document)?))
            })
            .collect()
    }
}

impl Subset {
    fn code(&mut self, fonts: &Fonts, face: Face, character: char) -> Option<u16> {
        let ascii = u8::try_from(character).ok().filter(|byte| (b' '..=b'~').contains(byte));
        let known = match ascii {
            Some(byte) => (self.ascii >> byte & 1 == 1).then(|| byte.into()),
            None => self.wide.get(&character).copied(),
        };
        if known.is_some() {
            return known;
        }
        let Glyph { id, advance } = fonts.glyph(face, character)?;
        let glyph = self.glyphs.remap(id);
        let code = if let Some(byte) = ascii {
            self.ascii |= 1 << byte;
            byte.into()
        } else {
            let nth = u16::try_from(self.wide.len()).ok().filter(|nth| *nth < ROW * ROW)?;
            let code = WIDE + nth / ROW * 0x100 + nth % ROW;
            self.wide.insert(character, code);
            code
        };
        self.used.push(Used { code, character, glyph, advance });
        Some(code)
    }

    fn embed(
        &self,
        font: &ttf_parser::Face<'_>,
        face: Face,
        document: &mut Document,
    ) -> Result<ObjectId, RecordError> {
        let name = format!("{}+{}", face.resource(), face.name());
        let descriptor = self.descriptor(font, face, &name, document)?;
        let mut used: Vec<&Used> = self.used.iter().collect();
        used.sort_unstable_by_key(|letter| letter.code);
        let widths: Vec<Object> = used
            .iter()
            .flat_map(|letter| {
                let width = thousandths(font, letter.advance.into());
                [i64::from(letter.code).into(), vec![width].into()]
            })
            .collect();
        let glyphs = document.add_object(Stream::new(dictionary! {}, glyphs(&used)));
        let letters = document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "CIDFontType2",
            "BaseFont" => name.as_str(),
            "CIDSystemInfo" => system(),
            "FontDescriptor" => descriptor,
            "W" => widths,
            "CIDToGIDMap" => glyphs,
        });
        let entries = dictionary! {
            "Type" => "CMap",
            "CMapName" => face.resource(),
            "CIDSystemInfo" => system(),
            "WMode" => 0,
        };
        let codes = document.add_object(Stream::new(entries, self.codes(face)));
        let unicode = document.add_object(Stream::new(dictionary! {}, self.unicode()));
        Ok(document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "Type0",
            "BaseFont" => name.as_str(),
            "Encoding" => codes,
            "DescendantFonts" => vec![letters.into()],
            "ToUnicode" => unicode,
        }))
    }

    /// The measures of the face, and the part of it that is embedded.
    fn descriptor(
        &self,
        font: &ttf_parser::Face<'_>,
        face: Face,
        name: &str,
        document: &mut Document,
    ) -> Result<ObjectId, RecordError> {
        let subset = subsetter::subset(face.bytes(), 0, &self.glyphs)
            .map_err(|error| RecordError::Font { face: face.name(), reason: error.to_string() })?;
        let length = i64::try_from(subset.len()).unwrap_or(i64::MAX);
        let program = document.add_object(Stream::new(dictionary! { "Length1" => length }, subset));
        let bounds = font.global_bounding_box();
        let bounds = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
        Ok(document.add_object(dictionary! {
            "Type" => "FontDescriptor",
            "FontName" => name,
            // Its letters are found by number, not by the names of a standard set.
            "Flags" => 4,
            "FontBBox" => bounds.map(|units| thousandths(font, units.into())).to_vec(),
            "ItalicAngle" => font.italic_angle(),
            "Ascent" => thousandths(font, font.ascender().into()),
            "Descent" => thousandths(font, font.descender().into()),
            "CapHeight" => thousandths(font, font.capital_height().unwrap_or_default().into()),
            // A guess for programs that replace the font; it is embedded.
            "StemV" => if face == Face::SemiBold { 120 } else { 80 },
            "FontFile2" => program,
        }))
    }

    /// The map from codes to the numbers of characters, which are the codes again: programs look for
    /// what a character means by its number, and some do so among the codes alone.
    fn codes(&self, face: Face) -> Vec<u8> {
        // A range of two bytes keeps to one first byte.
        let rows = u16::try_from(self.wide.len()).unwrap_or(u16::MAX).div_ceil(ROW);
        let wide = (0..rows).map(|row| {
            let first = WIDE + row * 0x100;
            format!("<{first:04x}> <{:04x}> {first}", first + ROW - 1)
        });
        let entries = ["<20> <7e> 32".to_owned()].into_iter().chain(wide);
        map(face.resource(), "Identity", 1, "cidrange", entries)
    }

    /// The map from codes to what the letters mean.
    fn unicode(&self) -> Vec<u8> {
        let entries = self.used.iter().map(|Used { code, character, .. }| {
            let mut meaning = String::new();
            for unit in character.encode_utf16(&mut [0; 2]) {
                // Writing to a string can't fail.
                let _ = write!(meaning, "{unit:04x}");
            }
            format!("{} <{meaning}>", digits(*code))
        });
        map("Adobe-Identity-UCS", "UCS", 2, "bfchar", entries)
    }
}

/// Font units in thousandths of the type size: exact for any face of 1000 units per em, like ours.
fn thousandths(font: &ttf_parser::Face<'_>, units: i64) -> Object {
    (units * 1000 / i64::from(font.units_per_em())).into()
}

/// The letter of each character by its number, two bytes each, up to the last that is used.
fn glyphs(used: &[&Used]) -> Vec<u8> {
    let last = used.last().map_or(0, |letter| usize::from(letter.code));
    let mut map = vec![[0; 2]; last + 1];
    for letter in used {
        if let Some(entry) = map.get_mut(usize::from(letter.code)) {
            *entry = letter.glyph.to_be_bytes();
        }
    }
    map.concat()
}

fn digits(code: u16) -> String {
    if code < WIDE { format!("<{code:02x}>") } else { format!("<{code:04x}>") }
}

fn system() -> lopdf::Dictionary {
    dictionary! {
        "Registry" => Object::String(b"Adobe".to_vec(), StringFormat::Literal),
        "Ordering" => Object::String(b"Identity".to_vec(), StringFormat::Literal),
        "Supplement" => 0,
    }
}

/// A map from codes, as ISO 32000-1, 9.7.5.4 and 9.10.3 lay it out.
fn map(
    name: &str,
    ordering: &str,
    kind: u8,
    entry: &str,
    entries: impl Iterator<Item = String>,
) -> Vec<u8> {
    let mut text = format!(
        "%!PS-Adobe-3.0 Resource-CMap\n/CIDInit /ProcSet findresource begin\n12 dict begin\n\
         begincmap\n/CIDSystemInfo 3 dict dup begin\n/Registry (Adobe) def\n\
         /Ordering ({ordering}) def\n/Supplement 0 def\nend def\n/CMapName /{name} def\n\
         /CMapType {kind} def\n/WMode 0 def\n2 begincodespacerange\n{CODES}\nendcodespacerange\n"
    );
    let entries: Vec<String> = entries.collect();
    for part in entries.chunks(PART) {
        // Writing to a string can't fail.
        let _ = writeln!(text, "{} begin{entry}\n{}\nend{entry}", part.len(), part.join("\n"));
    }
    text.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    text.into_bytes()
}
