//! The place of a seal: the file before it stays as it is, and nothing else may be added.

use crate::error::RecordError;
use crate::model::When;
use crate::{
    ReadError, attachment, build_log, page_texts, seal, sealed, specimen, station_log,
    station_specimen,
};

const NAME: &str = "Lower Mill Rods (invented), Größe";

fn when() -> When {
    When::parse_from_rfc3339("2026-11-25T10:32:07-03:30").unwrap()
}

fn sealed_by(pdf: &[u8], mark: &[u8]) -> Vec<u8> {
    seal(pdf, when(), NAME, |_| Ok::<_, RecordError>(mark.to_vec())).unwrap()
}

#[test]
fn the_file_before_stays_as_it_is() {
    let pages = [build_log(&specimen::rich()), station_log(&station_specimen::empty_day())];
    for pdf in pages.map(Result::unwrap) {
        let mut shown = Vec::new();
        let whole = seal(&pdf, when(), NAME, |bytes| {
            shown = bytes.to_vec();
            Ok::<_, RecordError>(vec![0xab, 0xcd])
        });
        let whole = whole.unwrap();
        assert!(whole.starts_with(&pdf));
        let parts = sealed(&whole).unwrap().unwrap();
        assert!(parts.before == pdf && parts.covered == shown);
        assert_eq!(parts.seal[..3], [0xab, 0xcd, 0]);
        assert_eq!(
            whole.len(),
            shown.len() + 2 * parts.seal.len() + 2,
            "a gap that nothing covers"
        );
        assert_eq!(page_texts(&whole).unwrap(), page_texts(&pdf).unwrap());
        assert_eq!(sealed(&pdf).unwrap(), None);
        // Another program reads the same of it.
        let document = lopdf::Document::load_mem(&whole).unwrap();
        let form = document.catalog().unwrap().get(b"AcroForm").unwrap().as_dict().unwrap();
        assert!(form.get(b"NeedAppearances").is_err());
        let (first, last) = document.trailer.get(b"ID").unwrap().as_array().unwrap().split_at(1);
        assert_ne!(first, last, "the identity does not say that something was added");
    }
    let log = specimen::rich();
    let whole = sealed_by(&build_log(&log).unwrap(), &[1]);
    let first = &log.attached[0];
    assert_eq!(attachment(&whole, &first.name, 1 << 20).unwrap(), first.bytes);
}

#[test]
fn nothing_else_may_be_added() {
    let pdf = build_log(&specimen::small()).unwrap();
    let whole = sealed_by(&pdf, &[7; 900]);
    let twice = seal(&whole, when(), NAME, |_| Ok::<_, RecordError>(vec![1]));
    assert!(twice.is_err(), "a second seal");
    let mut more = whole.clone();
    more.extend(b"\n");
    assert_eq!(sealed(&more), Err(ReadError::Added));
    // One more revision that changes nothing, as another program would add it.
    let text = String::from_utf8_lossy(&whole);
    let table = text.rsplit("startxref\n").next().unwrap().split('\n').next().unwrap();
    let root = text.rsplit("/Root ").next().unwrap().split(" 0 R").next().unwrap();
    let at = whole.len();
    let mut more = whole.clone();
    more.extend(
        format!(
            "99 0 obj\n<</Type/XRef/W[1 4 2]/Index[]/Root {root} 0 R/Size 999/Prev {table}/Length 0>>\
             stream\n\nendstream\nendobj\nstartxref\n{at}\n%%EOF"
        )
        .bytes(),
    );
    // Sound as it is, it is no place of a seal.
    assert_eq!(page_texts(&more), page_texts(&whole));
    assert_eq!(sealed(&more), Err(ReadError::Added));
    // The brackets around the seal are of the file, and not of the seal.
    let place = whole.windows(10).rposition(|window| window == b"/Contents<").unwrap() + 9;
    let end = place + 1 + 2 * 3072;
    assert_eq!((whole[place], whole[end]), (b'<', b'>'));
    for (open, close) in [(b'(', b')'), (b' ', b' ')] {
        let mut other = whole.clone();
        (other[place], other[end]) = (open, close);
        assert_eq!(sealed(&other), Err(ReadError::Added));
    }
    // Upper-case digits say the same and are not ours.
    let mut louder = sealed_by(&pdf, &[0xab; 900]);
    let at = louder.windows(6).rposition(|window| window == b"ababab").unwrap();
    louder[at] = b'A';
    assert_eq!(sealed(&louder), Err(ReadError::Added));
}

#[test]
fn no_bit_beside_the_seal_can_be_turned() {
    let pdf = build_log(&specimen::small()).unwrap();
    let whole = sealed_by(&pdf, &[7; 900]);
    let parts = sealed(&whole).unwrap().unwrap();
    for at in (0..whole.len()).step_by(97).chain(pdf.len() - 40..whole.len()) {
        let mut turned = whole.clone();
        turned[at] ^= 1 << (at % 8);
        let seen = sealed(&turned);
        let same = seen == Ok(Some(parts.clone()));
        assert!(!same, "byte {at} was turned unseen");
    }
}

#[test]
fn a_seal_that_is_too_large_is_refused() {
    let pdf = build_log(&specimen::small()).unwrap();
    let error = seal(&pdf, when(), NAME, |_| Ok::<_, RecordError>(vec![1; 3073])).unwrap_err();
    assert!(error.to_string().contains("3073 bytes"), "{error}");
    // Cut between two letters, of which one takes twice the room.
    for long in ["ß".repeat(5000), format!("{}🎣", "a".repeat(510)), "🎣".repeat(511)] {
        let whole = seal(&pdf, when(), &long, |_| Ok::<_, RecordError>(vec![1])).unwrap();
        assert!(sealed(&whole).unwrap().is_some());
        let document = lopdf::Document::load_mem(&whole).unwrap();
        let named = document.objects.values().filter_map(|object| object.as_dict().ok());
        let name =
            named.filter(|seal| seal.has_type(b"Sig")).find_map(|seal| seal.get(b"Name").ok());
        let name = lopdf::decode_text_string(name.unwrap()).unwrap();
        assert!(long.starts_with(&name) && name.chars().count() > 250, "{name:?}");
    }
}
