//! The build log as a whole: its parts in order.

use std::collections::BTreeMap;

use crate::{
    attach, clearance,
    error::RecordError,
    finish::{self, one_line},
    flow::{Page, page_numbers, paginate},
    fonts::Fonts,
    glance,
    model::BuildLog,
    pdf::About,
    proof::{self, Proof},
    rod_sheet,
    sheet::{Foot, Sheet},
    stage, statements,
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
    let (fonts, sheet, pages) = checked(log)?;
    finish::finish(&fonts, sheet, &pages, &foot(log), &about(log), &log.attached)
}

/// The pages that [`build_log`] prints of the same log, each as an SVG document: the view box in
/// points, the type named as `Source Sans 3` and not embedded. All that people wrote is escaped.
///
/// # Errors
/// Those of [`build_log`] but [`RecordError::Write`].
pub fn build_log_preview(log: &BuildLog) -> Result<Vec<String>, RecordError> {
    let (fonts, sheet, pages) = checked(log)?;
    Ok(finish::preview(&fonts, sheet, &pages, &foot(log)))
}

fn checked(log: &BuildLog) -> Result<(Fonts, Sheet, Vec<Page>), RecordError> {
    if !is_digest(&log.ledger.digest) {
        return Err(RecordError::Digest { found: log.ledger.digest.clone() });
    }
    attach::check(&log.attached)?;
    let fonts = Fonts::load()?;
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(&fonts, log, sheet);
    Ok((fonts, sheet, pages))
}

/// What stands in the foot of the pages.
pub(crate) fn foot(log: &BuildLog) -> Foot<'_> {
    Foot {
        tag: &log.rod.id,
        shop: &log.shop,
        digest: &log.ledger.digest,
        invented: log.demo.then_some(INVENTED),
    }
}

/// The pages, with the page of each stage in the list of stages.
pub(crate) fn lay_out(fonts: &Fonts, log: &BuildLog, sheet: Sheet) -> Vec<Page> {
    let column = sheet.column();
    let height = sheet.body_height(fonts);
    let whole = height * WHOLE;
    let head = rod_sheet::Head { kind: "Build log", shop: &log.shop, printed: log.printed };
    let mut strips = rod_sheet::strips(fonts, &log.rod, &head, column, whole);
    let before = strips.len();
    let glance = |page_of: &BTreeMap<String, usize>| {
        glance::strips(fonts, log, column, whole, |key| page_of.get(key).copied())
    };
    strips.extend(glance(&BTreeMap::new()));
    let list = before..strips.len();
    strips.extend(stage::strips(fonts, log, column, whole));
    strips.extend(statements::strips(fonts, log, column));
    let none = "No clearance was granted for this rod.";
    strips.extend(clearance::strips(fonts, &log.clearances, none, column, whole));
    let proof = Proof { ledger: &log.ledger, printed: log.printed, attached: &log.attached };
    strips.extend(proof::strips(fonts, &proof, column));
    let signers = [
        ("builder", "I built this rod, and this record is mine.", ""),
        ("customer", "I received this rod together with this record.", &log.rod.customer),
    ];
    let ink = proof::ink(fonts, "Signatures in ink", &signers, column);
    // Only now every text has been through the fonts. The ink comes last on the paper.
    strips.extend(proof::lacking(fonts, column));
    strips.extend(ink);
    // A page number never changes the height of its row: with the numbers it breaks the same way.
    let page_of = page_numbers(&strips, height);
    strips.splice(list, glance(&page_of));
    paginate(strips, height)
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
    About {
        title: one_line(&title),
        author: one_line(&log.shop),
        subject,
        printed: log.printed,
        identity: finish::identity(&format!("{log:?}"), &log.attached),
    }
}
