//! Files from strangers that nobody thought of: whatever they hold, reading ends, and with a sentence.

use proptest::prelude::*;

use crate::strangers::{made, read, stream, with_table};

/// One way to spoil a file. Places are parts of its length.
#[derive(Debug, Clone)]
enum Damage {
    Flip(f64, u8),
    Cut(f64, f64),
    Double(f64, f64),
    Put(f64, Vec<u8>),
}

impl Damage {
    fn on(&self, pdf: &mut Vec<u8>) {
        let length = pdf.len();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss
        )]
        let place = |part: f64| ((length as f64 * part) as usize).min(length);
        match self {
            Self::Flip(at, bits) => {
                if let Some(byte) = pdf.get_mut(place(*at)) {
                    *byte ^= bits;
                }
            }
            Self::Cut(from, part) => {
                pdf.drain(place(*from)..place((from + part * part).min(1.0)));
            }
            Self::Double(from, part) => {
                let range = place(*from)..place((from + part * part).min(1.0));
                let copy = pdf[range.clone()].to_vec();
                pdf.splice(range.end..range.end, copy);
            }
            Self::Put(at, bytes) => {
                pdf.splice(place(*at)..place(*at), bytes.iter().copied());
            }
        }
    }
}

fn damage() -> impl Strategy<Value = Damage> {
    // The end, where the table is, as often as all the rest.
    let place = || prop_oneof![0.0..1.0, 0.9..1.0];
    let syntax = prop::sample::select(vec![
        "<<",
        ">>",
        "[",
        "]",
        "(",
        ")",
        "<",
        "0 R",
        "1 0 R",
        "/Index[0 1]",
        "/W[1 4 2]",
        "/Size 1",
        "/DecodeParms<</Predictor 12/Columns 7>>",
        "/Kids",
        "/Prev 9",
        "stream\n",
        "endstream",
        "endobj",
        "/Length 99999999999",
        "%",
        "-1",
        "99999999999999999999",
    ]);
    prop_oneof![
        (place(), 1_u8..).prop_map(|(at, bits)| Damage::Flip(at, bits)),
        (place(), 0.0..1.0).prop_map(|(from, part)| Damage::Cut(from, part)),
        (place(), 0.0..0.5).prop_map(|(from, part)| Damage::Double(from, part)),
        (place(), syntax).prop_map(|(at, text)| Damage::Put(at, text.as_bytes().to_vec())),
        (place(), prop::collection::vec(any::<u8>(), 1..20)).prop_map(|(at, b)| Damage::Put(at, b)),
    ]
}

/// Words of PDF syntax in any order, so that damage reaches what lies behind the table.
fn syntax() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "<<",
        ">>",
        "[",
        "]",
        "(record.jsonl)",
        "<41>",
        "(AB)",
        "<8081>",
        "<ffff>",
        "<4>",
        "<>",
        "0",
        "-1",
        "2.5",
        "65536",
        "99999999999",
        "1 0 R",
        "2 0 R",
        "3 0 R",
        "4 0 R",
        "5 0 R",
        "6 0 R",
        "9 0 R",
        "/F",
        "/EF",
        "/UF",
        "/Names",
        "/Kids",
        "/Font",
        "/ToUnicode",
        "",
        "/Contents",
        "/Resources",
        "/XObject",
        "/Subtype/Form",
        "/Type/Page",
        "/Type/Pages",
        "/Count 1",
        "/Annots",
        "/Params",
        "/Size",
        "BT",
        "ET",
        "TJ",
        "Tj",
        "Tf",
        "/F 1 Tf",
        "/F Do",
        "Td",
        "q",
        "re",
        "BI",
        "'",
        "endbfchar",
        "endbfrange",
        "true",
        "null",
        "%",
        "\n",
        "{",
    ]);
    prop::collection::vec(words, 0..30).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_to_an_end(bytes in prop::collection::vec(any::<u8>(), 0..2000), pdf: bool) {
        let mut file = bytes.clone();
        if pdf {
            file = with_table(b"%PDF-1.7\n".to_vec(), "/Root 1 0 R/Size 300", &bytes);
        }
        let [carried, pages] = read(&file);
        prop_assert!(carried.is_some() && pages.is_some());
    }

    #[test]
    fn odd_objects_are_read_to_an_end(odd in prop::collection::vec(syntax(), 8), loose: bool) {
        let [names, tied, pages, page, fonts, font, content, map] = odd.as_slice() else { panic!() };
        let parts = if loose {
            odd.iter().map(|odd| odd.clone().into_bytes()).collect()
        } else {
            let whole = |text: String| text.into_bytes();
            vec![
                whole(format!("<</Pages 2 0 R/Names<</EmbeddedFiles<<{names}>>>>/AF[{tied}]>>")),
                whole(format!("<</Type/Pages/Count 1/Kids[3 0 R {pages}]>>")),
                whole(format!("<</Type/Page/Contents 5 0 R/Resources 4 0 R {page}>>")),
                whole(format!("<</Font<</F 6 0 R {fonts}>>/XObject<</F 8 0 R>>>>")),
                stream("", format!("BT /F 1 Tf {content} ET").as_bytes()),
                whole(format!("<</ToUnicode 7 0 R {font}>>")),
                stream("", map.as_bytes()),
                stream("/Subtype/Form", content.as_bytes()),
            ]
        };
        read(&made(&parts));
    }

    #[test]
    fn a_damaged_record_is_read_to_an_end(damages in prop::collection::vec(damage(), 1..5)) {
        let sound = include_bytes!("../corpus/sound.pdf");
        let mut pdf = sound.to_vec();
        for damage in &damages {
            damage.on(&mut pdf);
        }
        read(&pdf);
    }
}
