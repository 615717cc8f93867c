//! The build log as a whole: its parts in order, laid out twice so that page numbers are known.

use std::collections::BTreeMap;

use crate::{
    attach, clearance,
    error::RecordError,
    flow::{Page, Strip, paginate},
    fonts::Fonts,
    glance,
    model::BuildLog,
    pdf::{self, About, Entry},
    proof, rod_sheet,
    sheet::{ORIGIN, Sheet},
    stage,
    words::{INVENTED, is_digest},
};

/// The share of a page up to which a step, a clearance or a table is moved rather than cut.
const WHOLE: f32 = 0.33;

/// Draws the build log of one rod and returns the bytes of the PDF.
///
/// The same log gives the same bytes, in any process and any number of times. Text is wrapped,
/// never cut off, except in the foot of the pages, where long names end in an ellipsis.
///
/// # Errors
/// [`RecordError::Digest`] if the ledger's digest is not 64 hexadecimal digits;
/// [`RecordError::Attachment`] if an attached file's name is no file name or comes twice;
/// [`RecordError::Font`] or [`RecordError::Write`] if the program itself is damaged.
pub fn build_log(log: &BuildLog) -> Result<Vec<u8>, RecordError> {
    if !is_digest(&log.ledger.digest) {
        return Err(RecordError::Digest { found: log.ledger.digest.clone() });
    }
    attach::check(&log.attached)?;
    let fonts = Fonts::load()?;
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(&fonts, log, sheet);
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
    let count = pages.len();
    let marks: Vec<_> = pages
        .iter()
        .enumerate()
        .map(|(at, page)| sheet.finish(&fonts, log, page, at + 1, count))
        .collect();
    pdf::write(&fonts, sheet, &marks, &outline, &about(log), &log.attached)
}

/// The pages, with the page of each stage in the list of stages.
pub(crate) fn lay_out(fonts: &Fonts, log: &BuildLog, sheet: Sheet) -> Vec<Page> {
    let height = sheet.body_height(fonts);
    let first = paginate(&strips(fonts, log, sheet, &BTreeMap::new()), height);
    let mut page_of = BTreeMap::new();
    for (at, page) in first.iter().enumerate() {
        for (anchor, _) in &page.anchors {
            page_of.insert(anchor.key.clone(), at + 1);
        }
    }
    // A page number never changes the height of its row: the second layout breaks the same way.
    paginate(&strips(fonts, log, sheet, &page_of), height)
}

fn strips(
    fonts: &Fonts,
    log: &BuildLog,
    sheet: Sheet,
    page_of: &BTreeMap<String, usize>,
) -> Vec<Strip> {
    let column = sheet.column();
    let whole = sheet.body_height(fonts) * WHOLE;
    let mut strips = rod_sheet::strips(fonts, log, column, whole);
    strips.extend(glance::strips(fonts, log, column, whole, |key| page_of.get(key).copied()));
    strips.extend(stage::strips(fonts, log, column, whole));
    strips.extend(clearance::strips(fonts, log, column, whole));
    strips.extend(proof::strips(fonts, log, column));
    let ink = proof::ink(fonts, log, column);
    // Only now every text has been through the fonts. The ink comes last on the paper.
    strips.extend(proof::lacking(fonts, column));
    strips.extend(ink);
    strips
}

fn about(log: &BuildLog) -> About {
    let rod = &log.rod;
    let name = rod.title.trim();
    let title = if name.is_empty() {
        format!("Build log {}", rod.id)
    } else {
        format!("Build log {}: {name}", rod.id)
    };
    let subject =
        if log.demo { INVENTED.to_owned() } else { "Build log of a fishing rod".to_owned() };
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    About {
        title: one_line(&title),
        author: one_line(&log.shop),
        subject,
        printed: log.printed,
        identity: identity(log),
    }
}

/// Sixteen bytes that tell one print from another. Not a proof of anything: that is the
/// ledger's digest.
fn identity(log: &BuildLog) -> [u8; 16] {
    // The content of attached files is no part of the log's debug text: it goes in as it is.
    let text = format!("{log:?}");
    let attached = log.attached.iter().flat_map(|attachment| &attachment.bytes);
    // The 128-bit FNV-1a hash: unlike the standard library's, the same in every release.
    let hash = text.as_bytes().iter().chain(attached).fold(
        0x6c62_272e_07bb_0142_62b8_2175_6295_c58d_u128,
        |hash, byte| {
            (hash ^ u128::from(*byte)).wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b)
        },
    );
    hash.to_be_bytes()
}
