//! What official statements ask with each hazard code that the stages name: once, in one place.

use crate::{
    block::{Column, heading, paragraph, rule},
    flow::{Strip, tie},
    fonts::Fonts,
    model::BuildLog,
    rod_sheet::below,
    style::{HAIR, Ink, LABEL, SECTION, SMALL, SMALL_STRONG},
    wrap::Run,
};

/// The strips; none where no hazard has official words.
pub(crate) fn strips(fonts: &Fonts, log: &BuildLog, column: Column) -> Vec<Strip> {
    if log.statements.is_empty() {
        return Vec::new();
    }
    let mut strips = below(heading(fonts, SECTION, "What the hazard codes ask", column), 26.0);
    for (hazard, precautions) in &log.statements {
        let hazard = Run::new(fonts, SMALL_STRONG.ink(Ink::Rust), hazard.trim());
        let mut lines = paragraph(fonts, &[hazard], column);
        for precaution in precautions {
            let words = Run::new(fonts, SMALL, precaution.trim());
            lines.extend(paragraph(fonts, &[words], column.indented(12.0)));
        }
        tie(&mut lines);
        strips.extend(below(lines, 5.0));
    }
    strips.push(rule(column, HAIR, Ink::Soft).below(6.0));
    let edition = Run::new(fonts, LABEL, log.statements_edition.trim());
    strips.extend(paragraph(fonts, &[edition], column));
    strips
}
