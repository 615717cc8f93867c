//! The widths a page names are those of the letters it carries (ISO 19005-3, 6.2.11.5): read from the
//! tables of the embedded font by hand, so that nothing which wrote them is asked.

use crate::{build_log, specimen, station_log, station_specimen};
use lopdf::{Dictionary, Document, Object};

/// A table of an OpenType font, by its tag.
fn table<'a>(font: &'a [u8], tag: &[u8]) -> &'a [u8] {
    let tables = usize::from(short(font, 4));
    (0..tables)
        .map(|n| &font[12 + 16 * n..12 + 16 * (n + 1)])
        .find(|entry| &entry[..4] == tag)
        .map_or_else(
            || panic!("no table {}", String::from_utf8_lossy(tag)),
            |entry| &font[long(entry, 8)..long(entry, 8) + long(entry, 12)],
        )
}

fn short(bytes: &[u8], at: usize) -> u16 {
    u16::from_be_bytes([bytes[at], bytes[at + 1]])
}

fn long(bytes: &[u8], at: usize) -> usize {
    u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap()) as usize
}

/// The advance of a glyph in thousandths of the type size.
fn advance(font: &[u8], glyph: usize) -> f64 {
    let units = f64::from(short(table(font, b"head"), 18));
    let metrics = usize::from(short(table(font, b"hhea"), 34));
    let own = short(table(font, b"hmtx"), 4 * glyph.min(metrics - 1));
    f64::from(own) * 1000.0 / units
}

fn followed<'a>(document: &'a Document, dictionary: &'a Dictionary, key: &[u8]) -> &'a Object {
    document.dereference(dictionary.get(key).unwrap()).unwrap().1
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

/// Every width that a font of the page names, by the number of its character.
fn named(document: &Document, font: &Dictionary) -> Vec<(usize, f64)> {
    let widths = followed(document, font, b"W").as_array().unwrap();
    let mut all = Vec::new();
    let mut at = 0;
    while at < widths.len() {
        let first = usize::try_from(widths[at].as_i64().unwrap()).unwrap();
        if let Ok(list) = widths[at + 1].as_array() {
            all.extend(list.iter().enumerate().map(|(n, width)| (first + n, number(width))));
            at += 2;
        } else {
            let last = usize::try_from(widths[at + 1].as_i64().unwrap()).unwrap();
            all.extend((first..=last).map(|glyph| (glyph, number(&widths[at + 2]))));
            at += 3;
        }
    }
    all
}

#[test]
fn the_widths_a_page_names_are_those_of_its_letters() {
    for pdf in
        [build_log(&specimen::rich()).unwrap(), station_log(&station_specimen::ordinary()).unwrap()]
    {
        let document = Document::load_mem(&pdf).unwrap();
        let mut fonts = 0;
        for object in document.objects.values() {
            let Ok(font) = object.as_dict() else { continue };
            // The fonts that pages name; below each of them is one of its letters.
            if !font.has_type(b"Font") || !font.has(b"DescendantFonts") {
                continue;
            }
            fonts += 1;
            let below = &followed(&document, font, b"DescendantFonts").as_array().unwrap()[0];
            let font = document.dereference(below).unwrap().1.as_dict().unwrap();
            let glyphs = followed(&document, font, b"CIDToGIDMap").as_stream().unwrap();
            let glyphs = glyphs.decompressed_content().unwrap();
            let descriptor = followed(&document, font, b"FontDescriptor").as_dict().unwrap();
            let program = followed(&document, descriptor, b"FontFile2").as_stream().unwrap();
            let program = program.decompressed_content().unwrap();
            let widths = named(&document, font);
            assert!(widths.len() > 10, "a page of so few letters");
            for (number, width) in widths {
                let glyph = usize::from(short(&glyphs, 2 * number));
                assert_ne!(glyph, 0, "{number} is no letter of it");
                let own = advance(&program, glyph);
                // One thousandth is what the standard allows.
                assert!((own - width).abs() <= 1.0, "glyph {glyph}: {width} is named, {own} is it");
            }
        }
        assert!(fonts > 0, "no font was looked at");
    }
}
