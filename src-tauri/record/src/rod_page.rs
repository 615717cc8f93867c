//! The sheet of a rod by itself: order, blank, drawing, parts, guides; no steps.

use crate::{
    flow::{Page, paginate},
    fonts::Fonts,
    pages_model::RodPage,
    proof,
    rod_sheet::{self, Head},
    sheet::Sheet,
    single::{Named, WHOLE},
};

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
    paginate(strips, height)
}
