//! Files from strangers: whatever they hold, reading ends, and with a sentence.

use std::{fs, path::Path};

use crate::{
    ReadError, attachment, build_log, file,
    model::{BuildLog, Paper},
    page_texts, specimen,
    words::groups,
};

/// More than any specimen carries.
const ENOUGH: usize = 1 << 20;
/// The name that everything here is asked for.
const NAME: &str = "record.jsonl";

/// Reads all there is to read. What comes out is true to the original or an error that says so.
pub(crate) fn read(pdf: &[u8]) -> [Option<ReadError>; 2] {
    let errors = [attachment(pdf, NAME, ENOUGH).err(), page_texts(pdf).err()];
    for error in errors.iter().flatten() {
        let text = error.to_string();
        assert!(text.starts_with("This ") && text.ends_with('.'), "{text}");
    }
    errors
}

#[test]
fn what_is_carried_comes_back() {
    let log = specimen::rich();
    let pdf = build_log(&log).unwrap();
    for carried in &log.attached {
        assert_eq!(attachment(&pdf, &carried.name, ENOUGH).as_ref(), Ok(&carried.bytes));
        let size = carried.bytes.len();
        assert_eq!(attachment(&pdf, &carried.name, size).as_ref(), Ok(&carried.bytes));
        let error = attachment(&pdf, &carried.name, size - 1);
        assert_eq!(error, Err(ReadError::TooLarge { most: size - 1 }));
    }
    let missing = ReadError::Missing { name: "other".to_owned() };
    assert_eq!(attachment(&pdf, "other", ENOUGH), Err(missing.clone()));
    let bare = build_log(&specimen::empty()).unwrap();
    assert_eq!(attachment(&bare, "other", ENOUGH), Err(missing));
    assert_eq!(attachment(b"PK\x03\x04", NAME, ENOUGH), Err(ReadError::NoPdf));
    assert_eq!(page_texts(b""), Err(ReadError::NoPdf));
}

#[test]
fn a_file_tied_to_the_document_is_found_without_the_list() {
    let pdf = build_log(&specimen::rich()).unwrap();
    let hidden = replaced(&pdf, b"/EmbeddedFiles", b"/EmbeddedFilex");
    let carried = &specimen::rich().attached[0];
    assert_eq!(attachment(&hidden, NAME, ENOUGH).as_ref(), Ok(&carried.bytes));
    let untied = replaced(&hidden, b"/AF[", b"/Ax[");
    assert!(matches!(attachment(&untied, NAME, ENOUGH), Err(ReadError::Missing { .. })));
}

#[test]
fn pages_say_what_was_printed_on_them() {
    let log = specimen::rich();
    let texts = page_texts(&build_log(&log).unwrap()).unwrap();
    assert_eq!(texts.len(), 10);
    for (page, text) in (1..).zip(&texts) {
        assert!(text.contains(&format!("Page {page} of {}\n", texts.len())), "{text}");
    }
    let proof = texts.iter().find(|text| text.contains("What this record proves\n")).unwrap();
    for group in groups(&log.ledger.digest, 4) {
        assert!(proof.contains(&format!("\n{group}\n")), "{group}");
    }
    // Another print of the same log says the same; of another log, something else.
    let mut other = BuildLog { paper: Paper::A4, ..specimen::rich() };
    assert_eq!(page_texts(&build_log(&other).unwrap()).unwrap(), texts);
    other.stages[1].steps[1].corrections[0].says = "Gun, as set: 125 °C".to_owned();
    let others = page_texts(&build_log(&other).unwrap()).unwrap();
    assert_ne!(others, texts);
    assert!(others.concat().contains("125 °C"));
}

#[test]
fn a_record_of_many_pages_is_within_the_bounds() {
    let texts = page_texts(&build_log(&specimen::huge()).unwrap()).unwrap();
    assert!(texts.len() > 50);
    assert!(texts.concat().contains("round 15"));
}

/// The bytes with the one place that reads `from` reading `to`, of the same length.
fn replaced(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut places = (0..bytes.len()).filter(|at| bytes[*at..].starts_with(from));
    let at = places.next().unwrap();
    assert_eq!(places.next(), None, "{from:?} stands there twice");
    let mut bytes = bytes.to_vec();
    bytes[at..at + to.len()].copy_from_slice(to);
    bytes
}

/// A file of these objects, numbered from 1, the first of them the catalog.
pub(crate) fn made(objects: &[Vec<u8>]) -> Vec<u8> {
    let mut pdf = b"%PDF-1.7\n".to_vec();
    let mut rows = vec![file::row(0, 0, u16::MAX)];
    for (number, object) in (1..).zip(objects) {
        rows.push(file::row(1, u32::try_from(pdf.len()).unwrap(), 0));
        pdf.extend(format!("{number} 0 obj\n").into_bytes());
        pdf.extend(object);
        pdf.extend(b"\nendobj\n");
    }
    with_table(pdf, &format!("/Root 1 0 R/Size {}", rows.len()), &rows.concat())
}

/// The file with a table after it.
pub(crate) fn with_table(mut pdf: Vec<u8>, entries: &str, rows: &[u8]) -> Vec<u8> {
    let at = pdf.len();
    pdf.extend(b"99 0 obj\n");
    pdf.extend(stream(&format!("/Type/XRef/W[1 4 2]{entries}"), rows));
    pdf.extend(format!("\nendobj\nstartxref\n{at}\n%%EOF\n").into_bytes());
    pdf
}

pub(crate) fn stream(entries: &str, data: &[u8]) -> Vec<u8> {
    let head = format!("<<{entries}/Length {}>>stream\n", data.len());
    [head.as_bytes(), data, b"\nendstream"].concat()
}

fn objects(texts: &[&str]) -> Vec<Vec<u8>> {
    texts.iter().map(|text| text.as_bytes().to_vec()).collect()
}

fn deflated(data: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::best());
    std::io::Write::write_all(&mut encoder, data).unwrap();
    encoder.finish().unwrap()
}

#[test]
fn a_bomb_is_an_error() {
    let zeros = stream("/Filter/FlateDecode", &deflated(&vec![0; 64 << 20]));
    let mut parts = objects(&[
        "<</Names<</EmbeddedFiles<</Names[(record.jsonl)<</EF<</F 2 0 R>>>>]>>>>/Pages 3 0 R>>",
    ]);
    parts.push(zeros);
    parts
        .extend(objects(&["<</Type/Pages/Count 1/Kids[4 0 R]>>", "<</Type/Page/Contents 2 0 R>>"]));
    let pdf = made(&parts);
    assert!(pdf.len() < 100_000);
    assert_eq!(attachment(&pdf, NAME, 1000), Err(ReadError::TooLarge { most: 1000 }));
    assert!(matches!(page_texts(&pdf), Err(ReadError::TooLarge { .. })));
    let table = include_bytes!("../corpus/table-that-is-a-bomb.pdf");
    assert!(table.len() < 100_000);
    assert!(matches!(page_texts(table), Err(ReadError::TooLarge { .. })));
}

/// A catalog at byte 9 and a page at byte 41.
const TWO_OBJECTS: &[u8] =
    b"%PDF-1.7\n1 0 obj\n<</Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Page>>\nendobj\n";

#[test]
fn a_table_says_one_thing_of_an_object_and_no_more() {
    let sound = made(&objects(&["<</Pages 2 0 R>>", "<</Type/Pages/Count 0/Kids[]>>"]));
    assert_eq!(page_texts(&sound), Ok(Vec::new()));
    let rows = |rows: &[[u8; file::ROW]], entries: &str| {
        let pdf = TWO_OBJECTS.to_vec();
        page_texts(&with_table(pdf, &format!("/Root 1 0 R/Size 3{entries}"), &rows.concat()))
    };
    let (none, one, two) = (file::row(0, 0, 65_535), file::row(1, 9, 0), file::row(1, 41, 0));
    let empty = Ok(vec![String::new()]);
    assert_eq!(rows(&[none, one, two], ""), empty);
    assert_eq!(rows(&[one, two], "/Index[1 2]"), empty);
    let damaged = |pages| matches!(pages, Err(ReadError::Damaged { .. }));
    assert!(damaged(rows(&[one, two, two], "/Index[1 2 2 1]")), "an object twice");
    assert!(damaged(rows(&[two, one], "/Index[2 1 1 1]")), "back to an earlier one");
    assert!(damaged(rows(&[none, one], "")), "a row too few");
    assert!(damaged(rows(&[none, one, two, two], "")), "a row too many");
    assert!(damaged(rows(&[none, one, file::row(3, 41, 0)], "")), "of an unknown kind");
    assert!(damaged(rows(&[none, one, two], "/Index[1 99999999999]")), "too far");
    assert!(damaged(rows(&[none, one, two, two], "/Index[0 4]")), "more than there are");
    // Some programs show an object of another generation than was asked for.
    let second = |resources| {
        let page = format!("<</Type/Page/Resources {resources}>>");
        page_texts(&made(&objects(&["<</Pages 2 0 R>>", &page, "<<>>"])))
    };
    assert_eq!(second("3 0 R"), empty);
    assert!(damaged(second("3 1 R")), "of a second generation");
    let table = with_table(TWO_OBJECTS.to_vec(), "/Root 1 0 R", &[none, one, two].concat());
    assert!(damaged(page_texts(&table)), "of no size");
    let packed = rows(&[none, one, file::row(2, 1, 0)], "");
    assert!(matches!(packed, Err(ReadError::Foreign { .. })), "a page that is packed");
    assert!(damaged(rows(&[none, one, file::row(0, 0, 0)], "")), "a page that was removed");
}

#[test]
fn a_table_is_written_in_two_ways_and_no_third() {
    let rows = |written: &[u8], entries: &str| {
        let pdf = TWO_OBJECTS.to_vec();
        page_texts(&with_table(pdf, &format!("/Root 1 0 R/Size 3{entries}"), written))
    };
    let up = "/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 7>>";
    // The second and the third row, by what they have more than the one above.
    let none = [2, 0, 0, 0, 0, 0, 255, 255];
    let (one, two) = ([2, 1, 0, 0, 0, 9, 1, 1], [2, 0, 0, 0, 0, 32, 0, 0]);
    let table = [none, one, two].concat();
    assert_eq!(rows(&deflated(&table), up), Ok(vec![String::new()]));
    let foreign = |pages| matches!(pages, Err(ReadError::Foreign { .. }));
    assert!(foreign(rows(&deflated(&table), &up.replace('7', "6"))), "of six columns");
    assert!(foreign(rows(&table, &up.replace("/Filter/FlateDecode", ""))), "for no filter");
    let elsewhere = up.replace("/FlateDecode", " 7 0 R");
    assert!(foreign(rows(&deflated(&table), &elsewhere)), "a filter that is elsewhere");
    let damaged = |pages| matches!(pages, Err(ReadError::Damaged { .. }));
    let mut third = table.clone();
    third[8] = 1;
    assert!(damaged(rows(&deflated(&third), up)), "by what the byte before it has");
    assert!(damaged(rows(&deflated(&table[..20]), up)), "half a row");
    assert!(damaged(rows(&deflated(&table), "/Filter/FlateDecode")), "read as it stands");
}

#[test]
fn circles_and_repeated_work_end() {
    const CATALOG: &str = "<</Pages 2 0 R>>";
    let many = |text: &str, times: usize| text.repeat(times);
    let range = b"<8000><ffff><0041>".repeat(3000);
    let map = |map: &[u8]| stream("", &[map, b"endbfrange"].concat());
    let said =
        |words: &str, times| stream("", format!("BT /F 1 Tf {} ET", many(words, times)).as_bytes());
    let fonts = format!("<</Font<</F 5 0 R/x [{}]>>>>", many("0 ", 90_000));
    let page = |entries: &str| format!("<</Type/Page/Contents 3 0 R{entries}>>");
    let (circle, work) = ("in a circle", "holds more than");
    let (other, part) = ("drawn in another way", "is no PDF, or not what");
    let cases: Vec<(&str, &str, Vec<Vec<u8>>)> = vec![
        (
            "a page tree in itself",
            circle,
            objects(&[CATALOG, "<</Type/Pages/Count 1/Kids[2 0 R]>>"]),
        ),
        (
            "a page twice",
            circle,
            objects(&[CATALOG, "<</Type/Pages/Count 2/Kids[3 0 R 3 0 R]>>", "<</Type/Page>>"]),
        ),
        ("a reference to itself", part, objects(&[CATALOG, "2 0 R"])),
        ("a catalog that is its reference", part, objects(&["1 0 R"])),
        (
            "a length that is its own stream",
            part,
            objects(&[CATALOG, &page(""), "<</Length 3 0 R>>stream\n\nendstream"]),
        ),
        (
            "the same contents over and over",
            work,
            vec![
                CATALOG.into(),
                format!("<</Type/Page/Contents[{}]>>", many("3 0 R ", 30_000)).into_bytes(),
                stream("/Filter/FlateDecode", &deflated(&many("n ", 500_000).into_bytes())),
            ],
        ),
        (
            "a font that gives all letters many times",
            work,
            vec![
                CATALOG.into(),
                page("/Resources 4 0 R").into(),
                said("<4142> Tj", 1),
                fonts.into_bytes(),
                b"<</ToUnicode 6 0 R>>".to_vec(),
                map(&range),
            ],
        ),
        (
            "what pages share in itself",
            other,
            vec![
                CATALOG.into(),
                page("/Resources<</XObject<</F 3 0 R>>>>").into(),
                stream("/Subtype/Form/Resources<</XObject<</F 3 0 R>>>>", b"/F Do"),
            ],
        ),
        (
            "what pages share over and over",
            work,
            vec![
                CATALOG.into(),
                page("/Resources<</XObject<</F 4 0 R>>>>").into(),
                stream("", many("/F Do ", 9_000).as_bytes()),
                {
                    let entries = "/Subtype/Form/Resources<</Font<</F 5 0 R>>>>";
                    stream(entries, format!("BT /F 1 Tf ({}) Tj ET", many("A", 9_000)).as_bytes())
                },
                b"<</ToUnicode 6 0 R>>".to_vec(),
                map(b"<41><41><0041>"),
            ],
        ),
        (
            "a list of files in itself",
            "list of pages cannot be read",
            objects(&["<</Names<</EmbeddedFiles 2 0 R>>/Pages 2 0 R>>", "<</Kids[2 0 R 2 0 R]>>"]),
        ),
    ];
    for (name, expected, parts) in cases {
        let pdf = made(&parts);
        let error = page_texts(&pdf).unwrap_err().to_string();
        assert!(error.contains(expected), "{name}: {error}");
        read(&pdf);
    }
    // Far more names than are used, for each of many pages: looked up once, and in no time.
    let named = (0..20_000).map(|name| format!("/x{name} 0")).collect::<Vec<_>>().concat();
    let kids = (4..5_000).map(|kid| format!("{kid} 0 R ")).collect::<Vec<_>>().concat();
    let tree = format!(
        "<</Type/Pages/Count 4996/Kids[{kids}]/Resources<</Font<<{named}>>/XObject<</F 3 0 R{named}>>>>>>"
    );
    let mut parts = objects(&[CATALOG, &tree]);
    parts.push(stream("/Subtype/Form", b"n /F Do n"));
    parts.extend((4..5_000).map(|_| page("").into_bytes()));
    assert!(page_texts(&made(&parts)).is_err(), "what is shared draws itself");
    parts[2] = stream("/Subtype/Form", b"n");
    assert_eq!(page_texts(&made(&parts)).map(|pages| pages.len()), Ok(4_996));
}

/// Whatever another program would show as text, and we would not read, is refused.
#[test]
fn pages_are_drawn_as_we_draw_them_or_refused() {
    let drawn = |content: &str, page: &str| {
        let mut parts = objects(&[
            "<</Pages 2 0 R>>",
            &format!("<</Type/Page/Contents 3 0 R/Resources 4 0 R{page}>>"),
        ]);
        parts.push(stream("", content.as_bytes()));
        parts.extend(objects(&["<</Font<</F 5 0 R>>>>", "<</ToUnicode 6 0 R>>"]));
        parts.push(stream("", b"<41><5a><0041>endbfrange"));
        page_texts(&made(&parts))
    };
    let ours = "/Artifact BMC 1 w[1 3.5]0 d 0 0 m 9 9 l S 0 0 9 9 re f EMC \
                BT /P<</MCID 0>>BDC .1 .2 .3 rg/F 9 Tf 9 9 Td(AB)Tj[(C)(D)]TJ EMC ET";
    assert_eq!(drawn(ours, ""), Ok(vec!["ABCD\n".to_owned()]));
    assert_eq!(drawn(ours, "/Annots[<</Subtype/Widget>>]"), Ok(vec!["ABCD\n".to_owned()]));
    for other in [
        "BT /F 1 Tf 0[(A)]TJ ET",
        "BT /F 1 Tf[(A)0(B)]TJ ET",
        "BT /F 1 Tf(A)' ET",
        "BT /F 1 Tf 0 0(A)\" ET",
        "/Q/F Do",
        "BT q/F 1 Tf Q(A)Tj ET",
        "BT /F 1 Tf 1 0 0 1 0 0 Tm(A)Tj ET",
        "BT /F 1 Tf 3 Tr(A)Tj ET",
        "/G gs",
        "/Pattern cs",
        "/P scn",
        "1 0 0 1 0 0 cm",
        "BI /W 1 ID EI",
        "/Sh sh",
        "(A) m",
        "(A)",
        "0 Tf",
    ] {
        let pages = drawn(other, "");
        let refused = matches!(pages, Err(ReadError::Foreign { .. } | ReadError::Damaged { .. }));
        assert!(refused, "{other}: {pages:?}");
    }
    for note in
        ["<</Subtype/FreeText/AP<<>>>>", "<</Subtype/Widget/AP<<>>>>", "<</Subtype/Text>>", "7"]
    {
        assert!(drawn(ours, &format!("/Annots[{note}]")).is_err(), "{note}");
    }
}

/// What some programs would show as a page and others not is none, and no record of ours.
#[test]
fn a_page_is_a_page_to_every_program() {
    let tree = |root: &str, page: &str| {
        page_texts(&made(&objects(&["<</Pages 2 0 R>>", root, page, "<</Type/Page>>"])))
    };
    let root = "<</Type/Pages/Count 2/Kids[3 0 R 4 0 R]>>";
    assert_eq!(tree(root, "<</Type/Page>>").map(|pages| pages.len()), Ok(2));
    for (wrong, page) in [
        (root.replace("Count 2", "Count 1").as_str(), "<</Type/Page>>"),
        (&root.replace("/Count 2", ""), "<</Type/Page>>"),
        (&root.replace("/Type/Pages", ""), "<</Type/Page>>"),
        (root, "<</Type/Page/Kids[]>>"),
        (root, "<</Kids[]/Count 0>>"),
        (root, "<</Type/Pages>>"),
        (root, "<<>>"),
        (root, "<</Type/Page/Type/Page>>"),
    ] {
        assert!(tree(wrong, page).is_err(), "{wrong} {page}");
    }
}

#[test]
fn two_files_of_one_name_are_refused() {
    let mut parts = objects(&[
        "<</Names<</EmbeddedFiles<</Names[(a)<</EF<</F 2 0 R>>>>(b)<</EF<</F 3 0 R>>>>]>>>>>>",
    ]);
    parts.extend([stream("", b"one"), stream("", b"two")]);
    let pdf = made(&parts);
    assert_eq!(attachment(&pdf, "b", 3), Ok(b"two".to_vec()));
    let twice = replaced(&pdf, b"(b)", b"(a)");
    assert!(matches!(attachment(&twice, "a", 3), Err(ReadError::Damaged { .. })));
    // The same where they are tied to the document; and one that two programs would call otherwise,
    // or would find another file for.
    let alone = |catalog: &str| {
        let mut parts = objects(&[catalog]);
        parts.extend([stream("", b"one"), stream("", b"two")]);
        attachment(&made(&parts), "a", 3)
    };
    let one = "<</UF(a)/EF<</F 2 0 R>>>>";
    assert_eq!(alone(&format!("<</AF[{one}]>>")), Ok(b"one".to_vec()));
    for wrong in [
        format!("<</AF[{one}{one}]>>"),
        "<</AF[<</UF(a)/EF<</F 2 0 R/UF 3 0 R>>>>]>>".to_owned(),
        "<</Names<</EmbeddedFiles<</Names[(a)<</UF(b)/EF<</F 2 0 R>>>>]>>>>>>".to_owned(),
    ] {
        assert!(matches!(alone(&wrong), Err(ReadError::Damaged { .. })), "{wrong}");
    }
}

/// An older table must not show through a newer one: that is what a viewer shows, too.
#[test]
fn what_was_added_later_counts() {
    let first = build_log(&specimen::small()).unwrap();
    let text = String::from_utf8_lossy(&first);
    let number = |key: &str, end: &str| -> String {
        text.rsplit(key).next().unwrap().split(end).next().unwrap().trim().to_owned()
    };
    let (root, start) = (number("/Root ", " 0 R"), number("startxref", "%%EOF"));
    let added = format!("{root} 0 obj\n<<>>\nendobj\n");
    let row = file::row(1, u32::try_from(first.len() + 1).unwrap(), 0);
    let entries = format!("/Index[{root} 1]/Root {root} 0 R/Size 99/Prev {start}");
    let second = with_table([&first, &b"\n"[..], added.as_bytes()].concat(), &entries, &row);
    assert!(attachment(&first, NAME, ENOUGH).is_ok());
    assert!(matches!(attachment(&second, NAME, ENOUGH), Err(ReadError::Missing { .. })));
    assert!(page_texts(&second).is_err());
}

#[test]
fn a_file_of_another_program_is_told_as_such() {
    let folder = tempfile::tempdir().unwrap();
    let ours = folder.path().join("ours.pdf");
    fs::write(&ours, build_log(&specimen::small()).unwrap()).unwrap();
    for option in ["--object-streams=generate", "--encrypt  owner 256 --"] {
        let theirs = folder.path().join("theirs.pdf");
        let status = std::process::Command::new("qpdf")
            .args(option.split(' '))
            .args([&ours, &theirs])
            .status();
        assert!(status.unwrap().success());
        let pdf = fs::read(theirs).unwrap();
        assert!(matches!(attachment(&pdf, NAME, ENOUGH), Err(ReadError::Foreign { .. })));
        assert!(matches!(page_texts(&pdf), Err(ReadError::Foreign { .. })));
    }
}

/// A real file of ours, and every file that ever broke the reading.
#[test]
fn the_kept_files_are_read() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus");
    let mut names = Vec::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let pdf = fs::read(&path).unwrap();
        let [carried, pages] = read(&pdf);
        if name == "sound.pdf" {
            assert_eq!((carried, pages), (None, None));
            let carried = attachment(&pdf, NAME, ENOUGH).unwrap();
            assert_eq!(carried, specimen::small().attached[0].bytes);
        } else {
            assert!(carried.is_some() || pages.is_some(), "{name}");
        }
        names.push(name);
    }
    assert!(names.contains(&"sound.pdf".to_owned()) && names.len() > 3, "{names:?}");
}
