//! A stage: its heading, which text was signed, and its steps.

use std::rc::Rc;

use crate::{
    block::{Column, heading, labelled, paragraph, rule},
    flow::{Anchor, Strip},
    fonts::Fonts,
    model::{BuildLog, StageRecord, StepState, TextRecord},
    rod_sheet::below,
    step,
    style::{BODY, Ink, LABEL, RULE, SECTION, SMALL, STAGE, STRONG},
    words::{count, groups, moment},
    wrap::Run,
};

/// Width of the labels in a stage's heading, in points.
const LABELS: f32 = 110.0;

/// How the stage at this place in the log is found again.
pub(crate) fn key(at: usize) -> String {
    format!("stage {at}")
}

/// The strips of all stages. Steps no higher than `whole` points are kept on one page.
pub(crate) fn strips(fonts: &Fonts, log: &BuildLog, column: Column, whole: f32) -> Vec<Strip> {
    let mut strips = Vec::new();
    if !log.stages.is_empty() {
        strips.extend(below(heading(fonts, SECTION, "What was done", column), 26.0));
    }
    for (at, stage) in log.stages.iter().enumerate() {
        strips.extend(one(fonts, stage, at, column, whole));
    }
    strips
}

fn one(fonts: &Fonts, stage: &StageRecord, at: usize, column: Column, whole: f32) -> Vec<Strip> {
    let mut strips = head(fonts, stage, at, column);
    let name = Run::on_one_line(fonts, LABEL, &stage.title).text;
    if stage.steps.is_empty() {
        let text = Run::new(fonts, BODY, "This stage has no steps.");
        strips.extend(below(paragraph(fonts, &[text], column), 6.0));
    }
    for (nth, record) in stage.steps.iter().enumerate() {
        // The heading moves with the first step: were that one whole, too much would move.
        let whole = if nth == 0 { 0.0 } else { whole };
        let mut lines = step::strips(fonts, record, column, whole);
        let again = continued(fonts, &format!("{name}, step {} continued", record.number), column);
        for line in lines.iter_mut().skip(1) {
            line.again = Some(Rc::clone(&again));
        }
        strips.extend(lines);
    }
    strips
}

/// What is said about the text of a checklist: what happened, in what it differs, why, and who signed.
pub(crate) fn text_record(fonts: &Fonts, text: &TextRecord, column: Column) -> Vec<Strip> {
    let mut strips = paragraph(fonts, &[Run::new(fonts, STRONG, text.what.trim())], column);
    for line in &text.lines {
        strips.extend(paragraph(
            fonts,
            &[Run::new(fonts, SMALL, line.trim())],
            column.indented(12.0),
        ));
    }
    let digest = groups(text.other_sha256.trim(), 8).join(" ");
    let mut facts = vec![("SHA-256 of the other", digest)];
    if !text.reason.trim().is_empty() {
        facts.push(("Reason", text.reason.trim().to_owned()));
    }
    if let Some((who, event, when)) = &text.signed {
        facts.push(("Signed", format!("{}, {}, event {event}", who.trim(), moment(*when))));
    }
    for (label, value) in facts {
        let run = Run::new(fonts, SMALL, &value);
        strips.extend(labelled(fonts, label, &[run], column.indented(12.0), LABELS));
    }
    // Whoever signed stands with the last of what they signed for.
    let last = strips.len().saturating_sub(1);
    for strip in strips[..last].iter_mut().rev().take(5) {
        strip.keep = true;
    }
    strips
}

/// The line that says what the top of a page belongs to.
pub(crate) fn continued(fonts: &Fonts, text: &str, column: Column) -> Rc<[Strip]> {
    let mut strips = heading(fonts, LABEL, text, column);
    if let Some(last) = strips.last_mut() {
        last.height += 4.0;
    }
    Rc::from(strips)
}

fn head(fonts: &Fonts, stage: &StageRecord, at: usize, column: Column) -> Vec<Strip> {
    let above = if at == 0 { 8.0 } else { 20.0 };
    let mut strips = vec![rule(column, 1.4, Ink::Full).below(above)];
    strips.extend(below(heading(fonts, STAGE, &stage.title, column), 4.0));
    let finished = stage.finished.map_or("not finished".to_owned(), moment);
    let revised = format!("{}, revised {}", stage.checklist.trim(), stage.revised.trim());
    let digest = groups(stage.sha256.trim(), 8).join(" ");
    let facts = [
        ("Station", stage.station.as_str(), BODY),
        ("Begun", &moment(stage.begun), BODY),
        ("Finished", &finished, BODY),
        ("Checklist", &revised, BODY),
        ("SHA-256 of its text", &digest, SMALL),
    ];
    for (label, text, style) in facts {
        let text = if text.trim().is_empty() { "not stated" } else { text };
        strips.extend(labelled(fonts, label, &[Run::new(fonts, style, text)], column, LABELS));
    }
    let mut about = Vec::new();
    for text in &stage.texts {
        about.extend(below(text_record(fonts, text, column), 4.0));
    }
    strips.push(rule(column, RULE, Ink::Full).below(4.0));
    for strip in &mut strips {
        strip.keep = true;
    }
    if let Some(last) = strips.last_mut() {
        last.keep = about.is_empty();
    }
    strips.extend(about);
    if let Some(first) = strips.first_mut() {
        let title = Run::on_one_line(fonts, STAGE, &stage.title).text;
        let done = stage.steps.iter().filter(|step| step.state != StepState::LeftOut).count();
        let steps = u64::try_from(done).unwrap_or(u64::MAX);
        let title = format!("{title} ({})", count(steps, "step", "steps"));
        first.anchor = Some(Anchor { key: key(at), title });
    }
    strips
}
