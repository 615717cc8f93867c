//! What makes a PDF one for the archive (PDF/A-3b, ISO 19005-3): it says so in its metadata, and what
//! its colours mean is inside it.
//!
//! The rest that the standard asks for stands elsewhere: fonts embedded with their widths and Unicode
//! values ([`crate::subset`]), attachments with their kind and their relation ([`crate::attach`]), an
//! identity in the trailer, no encryption, no script, nothing that is fetched ([`crate::pdf`]).

use lopdf::{Document, Object, ObjectId, Stream, dictionary};
use moxcms::ColorProfile;
use std::fmt::Write as _;

use crate::pdf::About;

/// Adds metadata and output intent to the document.
pub(crate) fn add(document: &mut Document, about: &About) -> lopdf::Result<()> {
    // Plain text, so that whoever looks into the file finds it without unpacking anything.
    let packet = Stream::new(
        dictionary! { "Type" => "Metadata", "Subtype" => "XML" },
        metadata(about).into_bytes(),
    )
    .with_compression(false);
    let packet = document.add_object(packet);
    let intent = output_intent(document);
    let catalog = document.catalog_mut()?;
    catalog.set("Metadata", packet);
    if let Some(intent) = intent {
        catalog.set("OutputIntents", vec![Object::Reference(intent)]);
    }
    Ok(())
}

/// All colours are sRGB. The day in it is from memory and means nothing. `None` only if the profile can't be written, which a test rules out.
fn output_intent(document: &mut Document) -> Option<ObjectId> {
    let mut icc = ColorProfile::new_srgb().encode().ok()?;
    // The same bytes every time: the header's date (ICC.1:2010, 7.2) is that of the standard (IEC
    // 61966-2-1:1999), not of the moment at which the library writes it.
    for (at, number) in (24..).step_by(2).zip([1999_u16, 10, 18, 0, 0, 0]) {
        icc.get_mut(at..at + 2)?.copy_from_slice(&number.to_be_bytes());
    }
    let profile = Stream::new(dictionary! { "N" => 3 }, icc);
    let profile = document.add_object(profile);
    let name = || Object::string_literal("sRGB IEC61966-2.1");
    Some(document.add_object(dictionary! {
        "Type" => "OutputIntent",
        "S" => "GTS_PDFA1",
        "OutputConditionIdentifier" => name(),
        "Info" => name(),
        "RegistryName" => Object::string_literal("http://www.color.org"),
        "DestOutputProfile" => profile,
    }))
}

/// The metadata as XMP (ISO 16684-1); it says what the information dictionary says.
fn metadata(about: &About) -> String {
    let when = about.printed.format("%Y-%m-%dT%H:%M:%S%:z");
    let (title, author) = (escaped(&about.title), escaped(&about.author));
    let subject = escaped(&about.subject);
    let mut packet = String::new();
    // Writing to a string can't fail.
    let _ = write!(
        packet,
        r#"<?xpacket begin="{bom}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
<pdfaid:part>3</pdfaid:part>
<pdfaid:conformance>B</pdfaid:conformance>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<xmp:CreatorTool>Coldbench</xmp:CreatorTool>
<xmp:CreateDate>{when}</xmp:CreateDate>
<xmp:ModifyDate>{when}</xmp:ModifyDate>
<xmp:MetadataDate>{when}</xmp:MetadataDate>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<pdf:Producer>Coldbench</pdf:Producer>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"#,
        bom = '\u{feff}',
    );
    packet
}

/// Text as XML; characters that no XML may hold go.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '"' => out.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{build_log, specimen};
    use lopdf::Dictionary;

    fn drawn() -> Document {
        Document::load_mem(&build_log(&specimen::rich()).unwrap()).unwrap()
    }

    fn stream<'a>(document: &'a Document, object: &Object) -> &'a Stream {
        document.get_object(object.as_reference().unwrap()).unwrap().as_stream().unwrap()
    }

    #[test]
    fn the_metadata_says_what_the_information_says() {
        let document = drawn();
        let catalog = document.catalog().unwrap();
        let packet = stream(&document, catalog.get(b"Metadata").unwrap());
        assert!(packet.dict.get(b"Filter").is_err(), "the metadata is packed");
        let xmp = String::from_utf8(packet.content.clone()).unwrap();
        for words in [
            "<pdfaid:part>3<",
            "<pdfaid:conformance>B<",
            ">Build log R-0007",
            "<rdf:li>Lower Mill Rods (invented)<",
            "<xmp:CreateDate>2026-11-25T17:40:07+01:00<",
        ] {
            assert!(xmp.contains(words), "{words} is not in {xmp}");
        }
    }

    #[test]
    fn what_xml_can_not_hold_is_kept_out_of_it() {
        assert_eq!(escaped("a<b> & \"c\"\u{7}\u{ffff}"), "a&lt;b&gt; &amp; &quot;c&quot; ");
        let mut log = specimen::rich();
        log.shop = "Rods & <Reels>\u{0}".to_owned();
        let bytes = build_log(&log).unwrap();
        let document = Document::load_mem(&bytes).unwrap();
        let catalog = document.catalog().unwrap();
        let packet = stream(&document, catalog.get(b"Metadata").unwrap());
        let xmp = String::from_utf8(packet.content.clone()).unwrap();
        assert!(xmp.contains("Rods &amp; &lt;Reels&gt;"), "{xmp}");
    }

    #[test]
    fn the_colours_are_those_of_a_profile_inside() {
        let document = drawn();
        let catalog = document.catalog().unwrap();
        let intents = catalog.get(b"OutputIntents").unwrap().as_array().unwrap();
        assert_eq!(intents.len(), 1);
        let intent = document.get_object(intents[0].as_reference().unwrap()).unwrap();
        let intent = intent.as_dict().unwrap();
        assert_eq!(intent.get(b"S").unwrap().as_name().unwrap(), b"GTS_PDFA1");
        let profile = stream(&document, intent.get(b"DestOutputProfile").unwrap());
        let icc = profile.decompressed_content().unwrap();
        // ICC.1: size, version below 5, class and colour space in the header.
        assert_eq!(u32::from_be_bytes(icc[..4].try_into().unwrap()) as usize, icc.len());
        assert_eq!(icc[24..36], [7, 207, 0, 10, 0, 18, 0, 0, 0, 0, 0, 0], "a day of its own");
        assert!(icc[8] < 5 && &icc[12..16] == b"mntr" && &icc[16..20] == b"RGB ");
        let again = moxcms::ColorProfile::new_from_slice(&icc).unwrap();
        assert_eq!(again.color_space, moxcms::DataColorSpace::Rgb);
    }

    /// The rules of ISO 19005-3 that a program can check on what we write, as the open profiles of a
    /// validator state them (CC BY 4.0): clause by clause, in our words.
    #[test]
    fn the_rules_of_the_archive_are_kept() {
        for log in [specimen::rich(), specimen::empty(), specimen::huge()] {
            let bytes = build_log(&log).unwrap();
            // 6.1.2: the header at byte 0, then a comment of four bytes above 127.
            assert!(bytes.starts_with(b"%PDF-1.7\n%"));
            assert!(bytes[10..14].iter().all(|byte| *byte > 127));
            // 6.1.3: an identity, nothing encrypted, nothing after the end but one line end.
            let document = Document::load_mem(&bytes).unwrap();
            assert!(document.trailer.get(b"ID").is_ok());
            assert!(document.trailer.get(b"Encrypt").is_err());
            let tail = bytes.strip_suffix(b"\n").unwrap_or(&bytes);
            assert!(tail.ends_with(b"%%EOF"));
            // 6.1.9: the words around an object stand at the ends of lines.
            for (word, ends) in
                [(&b" obj"[..], &b"\n"[..]), (b"endobj", b"\n"), (b">>stream", b"\n")]
            {
                let places =
                    bytes.windows(word.len()).enumerate().filter(|(_, seen)| *seen == word);
                let mut count = 0;
                for (at, _) in places {
                    assert!(bytes[at + word.len()..].starts_with(ends), "{word:?} at {at}");
                    assert!(word != b"endobj" || bytes[..at].ends_with(b"\n"), "endobj at {at}");
                    count += 1;
                }
                assert!(count > 10, "{word:?} is nowhere");
            }
            for object in document.objects.values() {
                rules_of(&document, object);
            }
            let catalog = document.catalog().unwrap();
            // 6.5, 6.9 to 6.11: no script, no action on opening, no forms, no layers.
            for key in ["OpenAction", "AA", "AcroForm", "OCProperties", "Requirements"] {
                assert!(catalog.get(key.as_bytes()).is_err(), "{key}");
            }
        }
    }

    fn rules_of(document: &Document, object: &Object) {
        match object {
            // 6.1.13: strings, names and numbers within bounds.
            Object::String(bytes, _) => assert!(bytes.len() <= 32_767),
            Object::Name(name) => assert!(name.len() <= 127),
            Object::Integer(number) => assert!(i32::try_from(*number).is_ok()),
            Object::Array(all) => all.iter().for_each(|object| rules_of(document, object)),
            Object::Dictionary(dictionary) => dictionary_rules(document, dictionary),
            Object::Stream(stream) => {
                let filter = stream.dict.get(b"Filter").and_then(Object::as_name).ok();
                // 6.1.7: no LZW, no crypt filter, nothing outside the file.
                assert!(filter.is_none_or(|name| name == b"FlateDecode"), "{filter:?}");
                assert!(stream.dict.get(b"F").is_err());
                dictionary_rules(document, &stream.dict);
            }
            _ => {}
        }
    }

    fn dictionary_rules(document: &Document, dictionary: &Dictionary) {
        let kind = dictionary.get(b"Type").and_then(Object::as_name).unwrap_or_default();
        let has = |key: &str| dictionary.get(key.as_bytes()).is_ok();
        match kind {
            b"Font" => {
                // 6.2.11.4 and .7: every face embedded, its characters known as Unicode.
                if has("DescendantFonts") {
                    assert!(has("ToUnicode"));
                    let system = |key: &[u8]| {
                        let object = match dictionary.get(key).unwrap() {
                            Object::Array(below) => &below[0],
                            object => object,
                        };
                        let object = document.dereference(object).unwrap().1;
                        let of = match object {
                            Object::Stream(stream) => &stream.dict,
                            object => object.as_dict().unwrap(),
                        };
                        of.get(b"CIDSystemInfo").unwrap().clone()
                    };
                    assert_eq!(system(b"Encoding"), system(b"DescendantFonts"));
                } else {
                    let descriptor = dictionary.get(b"FontDescriptor").unwrap();
                    let descriptor =
                        document.get_dictionary(descriptor.as_reference().unwrap()).unwrap();
                    assert!(descriptor.get(b"FontFile2").is_ok());
                    assert!(has("CIDToGIDMap"));
                }
            }
            // 6.2.2: what is drawn has what it needs by itself, and inherits nothing of it.
            b"Page" | b"XObject" => assert!(has("Resources")),
            // 6.2.11.3: a map of codes says of which letters, as the font that it is for.
            b"CMap" => assert!(has("CIDSystemInfo") && has("WMode") && !has("UseCMap")),
            // 6.8: names in both forms, the relation, and the content's kind.
            b"Filespec" => assert!(has("F") && has("UF") && has("AFRelationship") && has("EF")),
            b"EmbeddedFile" => assert!(has("Subtype") && has("Params")),
            // 6.5.1: nothing acts by itself.
            b"Action" => panic!("an action"),
            _ => {}
        }
        // 6.2.8, 6.2.9: no picture alternatives, no code of another language.
        assert!(!has("Alternates") && !has("OPI") && !has("PS"));
        for (_, value) in dictionary {
            rules_of(document, value);
        }
    }
}
