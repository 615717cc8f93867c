//! The sheet of a rod by itself: order, blank, drawing, parts, guides; no steps.

use crate::{
    error::RecordError,
    flow::{Page, paginate},
    fonts::Fonts,
    pages_model::RodPage,
    proof,
    rod_sheet::{self, Head},
    sheet::Sheet,
    single::{self, Named, WHOLE},
};

/// Draws the sheet of a rod without its steps and returns the bytes of the PDF.
///
/// The same data give the same bytes. Text is wrapped, never cut off, except in the foot of the
/// pages, where long names end in an ellipsis.
///
/// # Errors
/// [`RecordError::Digest`] if the ledger's digest is not 64 hexadecimal digits;
/// [`RecordError::Font`] or [`RecordError::Write`] if the program itself is damaged.
pub fn rod_page(page: &RodPage) -> Result<Vec<u8>, RecordError> {
    single::check(&page.imprint)?;
    let fonts = Fonts::load()?;
    let pages = lay_out(&fonts, page);
    single::write(&fonts, &pages, &page.imprint, &named(page), &format!("{page:?}"))
}

/// What it is called.
pub(crate) fn named(page: &RodPage) -> Named {
    let (id, name) = (page.rod.id.trim(), page.rod.title.trim());
    let of = if name.is_empty() { String::new() } else { format!(": {name}") };
    Named {
        tag: format!("{id}, rod sheet"),
        title: format!("Rod sheet {id}{of}"),
        subject: "Sheet of a fishing rod",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, page: &RodPage) -> Vec<Page> {
    let sheet = Sheet::of(page.imprint.paper);
    let (column, height) = (sheet.column(), sheet.body_height(fonts));
    let head = Head { kind: "Rod sheet", shop: &page.imprint.shop, printed: page.imprint.printed };
    let mut strips = rod_sheet::strips(fonts, &page.rod, &head, column, height * WHOLE);
    strips.extend(proof::lacking(fonts, column));
    paginate(&strips, height)
}
