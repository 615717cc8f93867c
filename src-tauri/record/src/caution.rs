//! The caution, always before the deed: a rust bar, the word, what hurts and what to do.

use crate::{
    block::{Column, paragraph},
    flow::Strip,
    fonts::Fonts,
    mark::Mark,
    style::{Ink, Style},
    wrap::Run,
};

/// From the bar's left edge to the words, in points.
pub(crate) const INSIDE: f32 = 12.0;

/// What hurts and the hazards, without the bar; nothing where there is neither.
pub(crate) fn words(
    fonts: &Fonts,
    caution: Option<&str>,
    hazards: &[String],
    style: Style,
    strong: Style,
    text: Column,
) -> Vec<Strip> {
    if caution.is_none() && hazards.is_empty() {
        return Vec::new();
    }
    let inside = text.indented(INSIDE);
    let mut runs = vec![Run::new(fonts, strong.ink(Ink::Rust), "Caution\u{a0} ")];
    runs.extend(caution.map(|caution| Run::new(fonts, style, caution.trim())));
    let mut strips = paragraph(fonts, &runs, inside);
    for hazard in hazards {
        let hazard = Run::new(fonts, strong.ink(Ink::Rust), hazard.trim());
        strips.extend(paragraph(fonts, &[hazard], inside));
    }
    strips
}

/// The bar that runs through the strips.
pub(crate) fn bar(strips: &mut [Strip], text: Column) {
    const BAR: f32 = 3.0;
    for strip in strips {
        let bar = Mark::rectangle((text.x, 0.0), BAR, strip.height, Some(Ink::Rust), None);
        strip.marks.push(bar);
    }
}
