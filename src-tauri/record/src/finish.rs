//! What every printed record shares once its pages are laid out: foot, outline and identity.

use crate::{
    error::RecordError,
    flow::Page,
    fonts::Fonts,
    mark::Mark,
    model::Attachment,
    pdf::{self, About, Entry},
    sheet::{Foot, ORIGIN, Sheet},
    svg,
};

/// Puts frame and foot on the pages and writes them, with an outline of their anchors, as a PDF.
pub(crate) fn finish(
    fonts: &Fonts,
    sheet: Sheet,
    pages: &[Page],
    foot: &Foot<'_>,
    about: &About,
    attached: &[Attachment],
) -> Result<Vec<u8>, RecordError> {
    let (_, from_top) = ORIGIN;
    let outline: Vec<Entry> = pages
        .iter()
        .enumerate()
        .flat_map(|(page, laid)| {
            laid.anchors.iter().map(move |(anchor, top)| Entry {
                anchor: anchor.clone(),
                page,
                top: top + from_top - 6.0,
            })
        })
        .collect();
    let every = sheet.every(fonts, foot, pages.len());
    let pages = own(fonts, sheet, pages);
    pdf::write(fonts, sheet, &every, &pages, &outline, about, attached)
}

/// Puts frame and foot on the pages and draws each as a picture.
pub(crate) fn preview(fonts: &Fonts, sheet: Sheet, pages: &[Page], foot: &Foot<'_>) -> Vec<String> {
    framed(fonts, sheet, pages, foot).iter().map(|marks| svg::page(fonts, sheet, marks)).collect()
}

/// All marks of each page.
pub(crate) fn framed(
    fonts: &Fonts,
    sheet: Sheet,
    pages: &[Page],
    foot: &Foot<'_>,
) -> Vec<Vec<Mark>> {
    let every = sheet.every(fonts, foot, pages.len());
    own(fonts, sheet, pages).into_iter().map(|own| [every.clone(), own].concat()).collect()
}

/// The own marks of each page.
fn own(fonts: &Fonts, sheet: Sheet, pages: &[Page]) -> Vec<Vec<Mark>> {
    let count = pages.len();
    pages.iter().enumerate().map(|(at, page)| sheet.own(fonts, page, at + 1, count)).collect()
}

/// Sixteen bytes that tell one print from another: made from the record's debug text and the
/// content of its attached files, which is no part of that text. Not a proof of anything: that
/// is the ledger's digest.
pub(crate) fn identity(text: &str, attached: &[Attachment]) -> [u8; 16] {
    let attached = attached.iter().map(|attachment| attachment.bytes.as_slice());
    identity_of(&[text.as_bytes()].into_iter().chain(attached).collect::<Vec<_>>())
}

/// The same of any pieces.
pub(crate) fn identity_of(pieces: &[&[u8]]) -> [u8; 16] {
    // The 128-bit FNV-1a hash: unlike the standard library's, the same in every release.
    let hash = pieces.iter().copied().flatten().fold(
        0x6c62_272e_07bb_0142_62b8_2175_6295_c58d_u128,
        |hash, byte| {
            (hash ^ u128::from(*byte)).wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b)
        },
    );
    hash.to_be_bytes()
}

/// Text on one line, single spaces between its words.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
