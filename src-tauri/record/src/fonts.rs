//! The three built-in faces: how wide text is, and which characters they can show.

use std::{
    cell::RefCell,
    collections::{BTreeSet, HashMap},
};

use ttf_parser::GlyphId;

use crate::error::RecordError;

/// One cut of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Face {
    /// Running text.
    Regular,
    /// Headings and what must be found at a glance.
    SemiBold,
    /// Notes, and nothing else.
    Italic,
}

impl Face {
    /// Every face, in the order in which they are embedded.
    pub(crate) const ALL: [Self; 3] = [Self::Regular, Self::SemiBold, Self::Italic];

    /// The resource name, which is also the tag of the embedded subset: six capitals (ISO 32000-1, 9.6.4).
    pub(crate) fn resource(self) -> &'static str {
        match self {
            Self::Regular => "CBREGU",
            Self::SemiBold => "CBSEMI",
            Self::Italic => "CBITAL",
        }
    }

    /// The `PostScript` name, which is that of the file.
    pub(crate) fn name(self) -> &'static str {
        self.file().trim_end_matches(".ttf")
    }

    /// Where it stands in [`Face::ALL`].
    pub(crate) fn at(self) -> usize {
        match self {
            Self::Regular => 0,
            Self::SemiBold => 1,
            Self::Italic => 2,
        }
    }

    /// The whole font file.
    pub(crate) fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../fonts/SourceSans3-Regular.ttf"),
            Self::SemiBold => include_bytes!("../fonts/SourceSans3-SemiBold.ttf"),
            Self::Italic => include_bytes!("../fonts/SourceSans3-Italic.ttf"),
        }
    }

    fn file(self) -> &'static str {
        match self {
            Self::Regular => "SourceSans3-Regular.ttf",
            Self::SemiBold => "SourceSans3-SemiBold.ttf",
            Self::Italic => "SourceSans3-Italic.ttf",
        }
    }
}

/// Characters below this code, Latin with its accents, are looked up once and for all.
const LATIN: u32 = 0x300;

/// A letter of a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Glyph {
    /// Its number in the font file.
    pub(crate) id: u16,
    /// Its advance in font units.
    pub(crate) advance: u16,
}

struct Loaded {
    font: ttf_parser::Face<'static>,
    units_per_em: f32,
    /// Each character below [`LATIN`]; `None` if there is no glyph.
    latin: Vec<Option<Glyph>>,
    /// The same for the others, as they are asked for.
    others: RefCell<HashMap<char, Option<Glyph>>>,
}

impl Loaded {
    fn glyph(&self, character: char) -> Option<Glyph> {
        let code = u32::from(character);
        if let Some(glyph) = usize::try_from(code).ok().and_then(|code| self.latin.get(code)) {
            return *glyph;
        }
        let mut others = self.others.borrow_mut();
        *others.entry(character).or_insert_with(|| look_up(&self.font, character))
    }
}

fn look_up(font: &ttf_parser::Face<'_>, character: char) -> Option<Glyph> {
    match font.glyph_index(character) {
        // Glyph 0 is the box that stands for "no such character".
        None | Some(GlyphId(0)) => None,
        Some(id) => Some(Glyph { id: id.0, advance: font.glyph_hor_advance(id)? }),
    }
}

/// The faces, and a memory of the characters they lacked.
pub(crate) struct Fonts {
    loaded: [Loaded; 3],
    lacking: RefCell<BTreeSet<char>>,
}

impl Fonts {
    /// Reads the built-in font files.
    pub(crate) fn load() -> Result<Self, RecordError> {
        let load = |face: Face| -> Result<Loaded, RecordError> {
            let damaged = |reason: String| RecordError::Font { face: face.file(), reason };
            let font = ttf_parser::Face::parse(face.bytes(), 0)
                .map_err(|error| damaged(error.to_string()))?;
            let units_per_em = f32::from(font.units_per_em());
            if units_per_em <= 0.0 {
                return Err(damaged("it states no units per em".to_owned()));
            }
            let characters = (0..LATIN).map(char::from_u32);
            let latin = characters.map(|character| look_up(&font, character?)).collect();
            Ok(Loaded { font, units_per_em, latin, others: RefCell::default() })
        };
        let [regular, semibold, italic] = Face::ALL;
        Ok(Self {
            loaded: [load(regular)?, load(semibold)?, load(italic)?],
            lacking: RefCell::default(),
        })
    }

    fn get(&self, face: Face) -> &Loaded {
        let [regular, semibold, italic] = &self.loaded;
        match face {
            Face::Regular => regular,
            Face::SemiBold => semibold,
            Face::Italic => italic,
        }
    }

    /// The parsed font file.
    pub(crate) fn font(&self, face: Face) -> &ttf_parser::Face<'static> {
        &self.get(face).font
    }

    /// The letter for a character; `None` if the face has none.
    pub(crate) fn glyph(&self, face: Face, character: char) -> Option<Glyph> {
        self.get(face).glyph(character)
    }

    /// Width in points. Characters without a glyph count nothing: see [`Fonts::readable`].
    pub(crate) fn width(&self, face: Face, size: f32, text: &str) -> f32 {
        let loaded = self.get(face);
        let glyphs = text.chars().filter_map(|c| loaded.glyph(c));
        let units: f32 = glyphs.map(|glyph| f32::from(glyph.advance)).sum();
        units * size / loaded.units_per_em
    }

    /// The text in characters this face can show. Line ends of every kind become `\n`, tabs
    /// become spaces, marks that only steer line breaking or joining go, and every other
    /// character without a glyph becomes its code, `[U+6F22]`, and is remembered.
    pub(crate) fn readable(&self, face: Face, text: &str) -> String {
        let loaded = self.get(face);
        let mut out = String::with_capacity(text.len());
        let mut after_return = false;
        for character in text.chars() {
            let line_feed_of_pair = after_return && character == '\n';
            after_return = character == '\r';
            match character {
                '\n' if line_feed_of_pair => {}
                '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                    out.push('\n');
                }
                '\t' => out.push(' '),
                '\u{ad}'
                | '\u{200b}'..='\u{200d}'
                | '\u{2060}'
                | '\u{fe0e}'
                | '\u{fe0f}'
                | '\u{feff}' => {}
                c if !c.is_control() && loaded.glyph(c).is_some() => out.push(c),
                c => {
                    self.lacking.borrow_mut().insert(c);
                    out.push_str(&code(c));
                }
            }
        }
        out
    }

    /// The codes of all characters that had to be replaced so far, in order of code.
    pub(crate) fn lacking(&self) -> Vec<String> {
        self.lacking.borrow().iter().map(|c| format!("U+{:04X}", u32::from(*c))).collect()
    }
}

fn code(character: char) -> String {
    format!("[U+{:04X}]", u32::from(character))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_tabular() {
        let fonts = Fonts::load().unwrap();
        for face in [Face::Regular, Face::SemiBold] {
            let zero = fonts.width(face, 10.0, "0");
            assert!(zero > 4.0 && zero < 6.0);
            for figure in "123456789".chars() {
                let width = fonts.width(face, 10.0, &figure.to_string());
                assert!((width - zero).abs() < 1e-4, "{figure} in {face:?}");
            }
        }
    }

    #[test]
    fn widths_add_up_and_grow_with_size() {
        let fonts = Fonts::load().unwrap();
        let whole = fonts.width(Face::Regular, 10.0, "thread finish");
        let parts = fonts.width(Face::Regular, 10.0, "thread")
            + fonts.width(Face::Regular, 10.0, " finish");
        assert!((whole - parts).abs() < 1e-3);
        let doubled = fonts.width(Face::Regular, 20.0, "thread finish");
        assert!((doubled - 2.0 * whole).abs() < 1e-3);
    }

    #[test]
    fn lacking_characters_show_their_code_and_are_listed_once() {
        let fonts = Fonts::load().unwrap();
        assert_eq!(fonts.readable(Face::Regular, "a漢b🎣 漢"), "a[U+6F22]b[U+1F3A3] [U+6F22]");
        assert_eq!(fonts.lacking(), ["U+6F22", "U+1F3A3"]);
    }

    #[test]
    fn bench_characters_are_there() {
        let fonts = Fonts::load().unwrap();
        let text = "µ ° ½ ≤ ≥ × – — … “Ø” łő ñ 5⅜ Ω";
        for face in Face::ALL {
            assert_eq!(fonts.readable(face, text), text);
        }
        assert!(fonts.lacking().is_empty());
    }

    #[test]
    fn control_characters_never_reach_the_page() {
        let fonts = Fonts::load().unwrap();
        assert_eq!(
            fonts.readable(Face::Regular, "a\r\nb\rc\u{2028}d\te\u{7}f\u{0}\u{202e}"),
            "a\nb\nc\nd e[U+0007]f[U+0000][U+202E]"
        );
        assert_eq!(fonts.readable(Face::Regular, "co\u{ad}op\u{200b}\u{feff}"), "coop");
        assert_eq!(fonts.lacking(), ["U+0000", "U+0007", "U+202E"]);
    }
}
