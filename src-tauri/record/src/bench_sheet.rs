//! One stage of a rod in large type: it hangs over the bench and is read from a metre away.

use std::rc::Rc;

use crate::{
    block::{Column, paragraph, rule},
    caution,
    flow::{Page, Strip, paginate, tie, together},
    fonts::Fonts,
    mark::{Mark, baseline},
    model::FigureRecord,
    pages_model::{BenchSheet, BenchStep},
    proof,
    rod_sheet::below,
    sheet::Sheet,
    single::{self, Named},
    stage::continued,
    style::{BODY, FAR_BODY, FAR_CAUTION, FAR_STEP, FAR_STRONG, Ink, LABEL, RULE},
    wrap::Run,
};

/// Room left of the text for the number, in points.
const GUTTER: f32 = 40.0;

/// What it is called.
pub(crate) fn named(sheet: &BenchSheet) -> Named {
    let (rod, title) = (sheet.rod.id.trim(), sheet.text.title.trim());
    Named {
        tag: format!("{rod}, {}", sheet.text.id.trim()),
        title: format!("Bench sheet {rod}: {title}"),
        subject: "A stage of a fishing rod, for the bench",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, page: &BenchSheet) -> Vec<Page> {
    let sheet = Sheet::of(page.imprint.paper);
    let (column, height) = (sheet.column(), sheet.body_height(fonts));
    let mut strips = head(fonts, page, column);
    for step in &page.steps {
        let mut lines = self::step(fonts, step, column);
        let again = format!("{}, step {} continued", page.text.title.trim(), step.number);
        let again = continued(fonts, &again, column);
        for strip in lines.iter_mut().skip(1) {
            strip.again = Some(Rc::clone(&again));
        }
        strips.extend(together(lines, height));
    }
    strips.extend(proof::lacking(fonts, column));
    paginate(strips, height)
}

fn head(fonts: &Fonts, page: &BenchSheet, column: Column) -> Vec<Strip> {
    let rod = format!("{}, {}", page.rod.id.trim(), page.rod.title.trim());
    let rod = rod.trim_end_matches([',', ' ']).to_owned();
    let mut strips = single::title(fonts, &format!("Bench sheet, {rod}"), &page.text.title, column);
    let words = "It reminds; it records nothing. Sign each step in Coldbench.";
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, words)], column), 4.0));
    for notice in &page.notices {
        let words = Run::new(fonts, FAR_STRONG, notice.trim());
        strips.extend(below(paragraph(fonts, &[words], column), 6.0));
    }
    strips.extend(below(single::text_of(fonts, &page.text, column), 4.0));
    for strip in &mut strips {
        strip.keep = true;
    }
    strips
}

/// A step: the caution first, then what to do, what makes it, and the figures.
fn step(fonts: &Fonts, step: &BenchStep, column: Column) -> Vec<Strip> {
    let text = column.indented(GUTTER);
    let mut strips = if step.left_out.trim().is_empty() {
        to_do(fonts, step, text)
    } else {
        let what = Run::new(fonts, FAR_BODY, step.what.trim());
        let why = format!("Left out on this rod. {}", step.left_out.trim());
        let mut strips = paragraph(fonts, &[what], text);
        strips.extend(paragraph(fonts, &[Run::new(fonts, FAR_STRONG, &why)], text));
        tie(&mut strips);
        strips
    };
    if let Some(first) = strips.first_mut() {
        let number = Run::new(fonts, FAR_STEP, &step.number.to_string());
        // Level with the first line, whatever its size.
        let y = baseline(FAR_STEP.size, first.height).max(0.66 * FAR_STEP.size);
        first.marks.insert(0, Mark::Text((column.x, y), number));
        first.gap = 14.0;
    }
    let mut end = rule(column, RULE, Ink::Soft).below(12.0);
    end.height = 0.0;
    if let Some(last) = strips.last_mut() {
        last.keep = true;
    }
    strips.push(end);
    strips
}

fn to_do(fonts: &Fonts, step: &BenchStep, text: Column) -> Vec<Strip> {
    let strong = FAR_CAUTION.face(crate::fonts::Face::SemiBold);
    let mut strips = caution::words(fonts, step.caution.as_deref(), &[], FAR_CAUTION, strong, text);
    let inside = text.indented(caution::INSIDE);
    if !step.wear.is_empty() {
        let wear = [
            Run::new(fonts, strong, "Wear: "),
            Run::new(fonts, FAR_CAUTION, &format!("{}.", step.wear.join(", "))),
        ];
        strips.extend(paragraph(fonts, &wear, inside));
    }
    if let Some(heat) = &step.heat {
        strips.extend(paragraph(
            fonts,
            &[Run::new(fonts, strong.ink(Ink::Rust), heat.trim())],
            inside,
        ));
    }
    caution::bar(&mut strips, text);
    let above = if strips.is_empty() { 0.0 } else { 8.0 };
    let what = Run::new(fonts, FAR_STEP, step.what.trim());
    strips.extend(below(paragraph(fonts, &[what], text), above));
    // What can hurt stands on the page of what is done.
    tie(&mut strips);
    if !step.key_point.trim().is_empty() {
        let words = Run::new(fonts, FAR_BODY, step.key_point.trim());
        strips.extend(below(paragraph(fonts, &[words], text), 4.0));
    }
    if let Some((name, limits)) = &step.value {
        let limits = limits.trim();
        let limits = if limits.is_empty() { String::new() } else { format!(": {limits}") };
        let runs = [Run::new(fonts, FAR_STRONG, name.trim()), Run::new(fonts, FAR_STRONG, &limits)];
        strips.extend(below(paragraph(fonts, &runs, text), 6.0));
    }
    for figure in &step.figures {
        strips.extend(below(self::figure(fonts, figure, text), 8.0));
    }
    for words in &step.also {
        strips
            .extend(below(paragraph(fonts, &[Run::new(fonts, FAR_BODY, words.trim())], text), 4.0));
    }
    strips
}

/// What was worked out for this rod.
fn figure(fonts: &Fonts, figure: &FigureRecord, text: Column) -> Vec<Strip> {
    let inside = text.indented(caution::INSIDE);
    let mut strips = paragraph(fonts, &[Run::new(fonts, FAR_STRONG, figure.title.trim())], text);
    for (label, amount) in &figure.rows {
        let label = Run::new(fonts, FAR_BODY, label.trim());
        let amount = Run::new(fonts, FAR_STRONG, amount.trim());
        strips.extend(crate::block::dotted(fonts, label, amount, inside));
    }
    for words in &figure.beside {
        strips.extend(paragraph(fonts, &[Run::new(fonts, FAR_BODY, words.trim())], inside));
    }
    if !figure.source.trim().is_empty() {
        let source = format!("Figure: {}", figure.source.trim());
        strips.extend(paragraph(fonts, &[Run::new(fonts, LABEL, &source)], inside));
    }
    tie(&mut strips);
    strips
}
