//! One step: the caution before the deed, the deed, and what was recorded at it.

use crate::{
    block::{Column, dotted, heading, labelled, paragraph, rule},
    caution,
    flow::{self, Strip, one_paragraph, tie},
    fonts::Fonts,
    mark::{Dash, Mark, Stroke, baseline},
    model::{
        ClockRecord, CorrectionRecord, FigureRecord, Note, Signature, StepRecord, StepState,
        ValueRecord,
    },
    rod_sheet::below,
    style::{BODY, HAIR, Ink, LABEL, NOTE, SMALL, SMALL_STRONG, STEP, STRONG},
    words::{OPEN, clock_span, moment},
    wrap::Run,
};

/// Room left of the text for the step's number, in points.
const GUTTER: f32 = 30.0;
/// Width of the labels "Key point" and "Reason", in points.
const LABELS: f32 = 62.0;
/// Width of what a signature means, in points.
const MEANING: f32 = 130.0;

/// A correction is moved to the next page rather than cut, up to this height in points.
const WHOLE_CORRECTION: f32 = 160.0;

/// The strips of a step. One no higher than `whole` points is kept on one page.
pub(crate) fn strips(fonts: &Fonts, step: &StepRecord, column: Column, whole: f32) -> Vec<Strip> {
    let text = column.indented(GUTTER);
    if step.state == StepState::LeftOut {
        return flow::together(numbered(fonts, step, left_out(fonts, step, text), column), whole);
    }
    let mut lines = caution(fonts, step, text);
    lines.extend(action(fonts, step, text));
    // What can hurt stands on the page of what is done, and so does the key point.
    tie(&mut lines);
    let mut recorded = Vec::new();
    for figure in &step.figures {
        recorded.extend(below(one_paragraph(self::figure(fonts, figure, text)), 5.0));
    }
    for value in &step.values {
        recorded.extend(below(one_paragraph(self::value(fonts, value, text)), 5.0));
    }
    for (label, lot) in &step.lots {
        let asked = Run::new(fonts, BODY, label.trim());
        let answer = Run::new(fonts, BODY, lot.trim());
        recorded.extend(below(dotted(fonts, asked, answer, text), 3.0));
    }
    for clock in &step.clocks {
        recorded.extend(below(self::clock(fonts, clock, text), 3.0));
    }
    if let Some(reference) = &step.clearance {
        let words = format!("Heat was used under clearance {}.", reference.trim());
        recorded.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, &words)], text), 3.0));
    }
    if let Some((who, when)) = &step.from_paper {
        let words = format!(
            "Done away from Coldbench by {}, {}, and copied in later from a sheet filled in by hand.",
            who.trim(),
            moment(*when)
        );
        recorded
            .extend(below(paragraph(fonts, &[Run::new(fonts, SMALL_STRONG, &words)], text), 3.0));
    }
    for note in &step.notes {
        recorded.extend(below(self::note(fonts, note, text), 4.0));
    }
    for line in &step.interruptions {
        recorded.extend(below(interruption(fonts, line, text), 3.0));
    }
    recorded.extend(below(corrections(fonts, &step.corrections, text), 6.0));
    // A signature stands with the last of what it signs.
    for strip in recorded.iter_mut().rev().take(2) {
        strip.keep = true;
    }
    recorded.extend(below(one_paragraph(signatures(fonts, step, text)), 6.0));
    if let (Some(last), true) = (lines.last_mut(), recorded.len() <= 3) {
        last.keep = true;
    }
    lines.extend(recorded);
    flow::together(numbered(fonts, step, lines, column), whole)
}

/// What was not done, and why.
fn left_out(fonts: &Fonts, step: &StepRecord, text: Column) -> Vec<Strip> {
    let what = Run::new(fonts, BODY, step.what.trim());
    let why = Run::new(fonts, SMALL_STRONG, &format!("Left out. {}", step.left_out.trim()));
    let mut strips = paragraph(fonts, &[what], text);
    strips.extend(paragraph(fonts, &[why], text));
    tie(&mut strips);
    strips
}

/// The step's number before its first line, and a rule below its last.
fn numbered(fonts: &Fonts, step: &StepRecord, mut lines: Vec<Strip>, column: Column) -> Vec<Strip> {
    if let Some(first) = lines.first_mut() {
        let number = Run::new(fonts, STEP, &step.number.to_string());
        let y = baseline(STEP.size, first.height);
        first.marks.insert(0, Mark::Text((column.x, y), number));
        first.gap = 8.0;
    }
    let mut line = rule(column, HAIR, Ink::Soft).below(8.0);
    line.height = 0.0;
    if let Some(last) = lines.last_mut() {
        last.keep = true;
    }
    lines.push(line);
    lines
}

/// The caution, always first: what hurts and what to do, the hazards in words, and who said that
/// they understood it.
fn caution(fonts: &Fonts, step: &StepRecord, text: Column) -> Vec<Strip> {
    use caution::INSIDE;
    if step.caution.is_none() && step.hazards.is_empty() && step.acknowledged.is_empty() {
        return Vec::new();
    }
    // Who understood a caution stands under the word, whatever the caution said.
    let words = step.caution.as_deref().or(Some(""));
    let mut strips = caution::words(fonts, words, &step.hazards, BODY, STRONG, text);
    for signature in &step.acknowledged {
        strips.extend(self::signature(fonts, signature, text.indented(INSIDE), MEANING - INSIDE));
    }
    caution::bar(&mut strips, text);
    one_paragraph(strips)
}

fn action(fonts: &Fonts, step: &StepRecord, text: Column) -> Vec<Strip> {
    let above = if step.caution.is_some() || !step.hazards.is_empty() { 5.0 } else { 0.0 };
    let what = Run::new(fonts, STEP, step.what.trim());
    let mut strips = below(paragraph(fonts, &[what], text), above);
    for (label, words) in [("Key point", &step.key_point), ("Reason", &step.reason)] {
        if !words.trim().is_empty() {
            let words = [Run::new(fonts, BODY, words.trim())];
            strips.extend(below(labelled(fonts, label, &words, text, LABELS), 1.0));
        }
    }
    strips
}

/// What the step told for this rod, as it was when it was signed.
fn figure(fonts: &Fonts, figure: &FigureRecord, text: Column) -> Vec<Strip> {
    const INSIDE: f32 = 12.0;
    let mut strips = heading(fonts, SMALL_STRONG, &figure.title, text);
    let inside = text.indented(INSIDE);
    for (label, amount) in &figure.rows {
        let label = Run::new(fonts, SMALL, label.trim());
        strips.extend(dotted(fonts, label, Run::new(fonts, SMALL_STRONG, amount.trim()), inside));
    }
    for words in &figure.beside {
        strips.extend(paragraph(fonts, &[Run::new(fonts, SMALL, words.trim())], inside));
    }
    if !figure.source.trim().is_empty() {
        let source = format!("Figure: {}", figure.source.trim());
        strips.extend(paragraph(fonts, &[Run::new(fonts, LABEL, &source)], inside));
    }
    strips
}

fn value(fonts: &Fonts, value: &ValueRecord, text: Column) -> Vec<Strip> {
    let asked = Run::new(fonts, BODY, value.name.trim());
    let answer_style = if value.replaced || value.corrected { BODY } else { STRONG };
    let answer = Run::new(fonts, answer_style, value.entered.trim());
    let mut strips = dotted(fonts, asked, answer, text);
    let limits = value.limits.trim();
    let mut runs = Vec::new();
    let mut say = |style, words: &str| runs.push(Run::new(fonts, style, words));
    if value.replaced {
        say(SMALL_STRONG, "replaced by a later entry");
        say(LABEL, "; ");
    }
    if value.corrected {
        say(SMALL_STRONG, "corrected later, see below");
        say(LABEL, "; ");
    }
    let named = if limits.is_empty() { String::new() } else { format!(" ({limits})") };
    match (&value.accepted, value.within) {
        (_, true) if limits.is_empty() => say(LABEL, "no limits set"),
        (_, true) => say(LABEL, &format!("within limits{named}")),
        (Some(reason), false) => {
            say(SMALL_STRONG, "outside limits");
            say(LABEL, &format!("{named}, accepted because "));
            say(SMALL, reason.trim().trim_end_matches('.'));
        }
        (None, false) => {
            say(SMALL_STRONG, "outside limits");
            say(LABEL, &format!("{named}{}", if value.replaced { "" } else { ", not accepted" }));
        }
    }
    say(LABEL, &format!("; {}, {}", value.who.trim(), moment(value.when)));
    if let Some(last) = strips.last_mut() {
        last.keep = true;
    }
    strips.extend(paragraph(fonts, &runs, text.indented(12.0)));
    strips
}

fn clock(fonts: &Fonts, clock: &ClockRecord, text: Column) -> Vec<Strip> {
    let runs = [
        Run::new(fonts, BODY, &format!("Clock, {}: {}. ", clock.kind.trim(), clock.name.trim())),
        Run::new(fonts, LABEL, &format!("{}; begun by {}", clock_span(clock), clock.who.trim())),
    ];
    paragraph(fonts, &runs, text)
}

fn interruption(fonts: &Fonts, line: &Note, text: Column) -> Vec<Strip> {
    let from = format!("{}, {}:  ", line.who.trim(), moment(line.when));
    let runs = [Run::new(fonts, LABEL, &from), Run::new(fonts, BODY, line.text.trim())];
    paragraph(fonts, &runs, text)
}

fn note(fonts: &Fonts, note: &Note, text: Column) -> Vec<Strip> {
    let from = format!("Note, {}, {}:  ", note.who.trim(), moment(note.when));
    let runs = [Run::new(fonts, LABEL, &from), Run::new(fonts, NOTE, note.text.trim())];
    paragraph(fonts, &runs, text)
}

/// What was corrected later: the earlier entry, what it should have said, why and by whom.
fn corrections(fonts: &Fonts, corrections: &[CorrectionRecord], text: Column) -> Vec<Strip> {
    const LABELS: f32 = 84.0;
    const INSIDE: f32 = 12.0;
    if corrections.is_empty() {
        return Vec::new();
    }
    let mut strips = heading(fonts, STRONG, "Corrected later", text);
    for (nth, correction) in corrections.iter().enumerate() {
        let facts = [
            ("Entry", &correction.what, BODY),
            ("Corrected to", &correction.says, STRONG),
            ("Reason", &correction.reason, BODY),
        ];
        let mut block = Vec::new();
        for (label, words, style) in facts {
            let words = [Run::new(fonts, style, words.trim())];
            let label = format!("{label}:");
            block.extend(labelled(fonts, &label, &words, text.indented(INSIDE), LABELS));
        }
        let CorrectionRecord { event, by_event, who, when, .. } = correction;
        let by =
            format!("{}, {}; event {by_event} corrects event {event}", who.trim(), moment(*when));
        block.extend(paragraph(fonts, &[Run::new(fonts, LABEL, &by)], text.indented(INSIDE)));
        let above = if nth == 0 { 0.0 } else { 7.0 };
        // The old entry and the new one are read together.
        strips.extend(flow::together(one_paragraph(below(block, above)), WHOLE_CORRECTION));
    }
    strips
}

fn signatures(fonts: &Fonts, step: &StepRecord, text: Column) -> Vec<Strip> {
    let mut strips = Vec::new();
    for signature in &step.signatures {
        strips.extend(self::signature(fonts, signature, text, MEANING));
    }
    flow::no_orphans(&mut strips);
    if step.state == StepState::Open {
        strips.extend(below(open(fonts, text), 3.0));
    } else if strips.is_empty() {
        let words = "signed, but the log names no signature";
        strips.extend(paragraph(fonts, &[Run::new(fonts, SMALL_STRONG, words)], text));
    }
    strips
}

/// What it means, who in which role, and when, as columns.
fn signature(fonts: &Fonts, signature: &Signature, text: Column, meaning_width: f32) -> Vec<Strip> {
    const WHEN: f32 = 132.0;
    let when = Run::new(fonts, SMALL, &moment(signature.when));
    let meaning = Run::on_one_line(fonts, SMALL_STRONG, &signature.meaning);
    let who = [
        Run::on_one_line(fonts, SMALL, &signature.who),
        Run::on_one_line(fonts, LABEL, &format!(", {}", signature.role.trim())),
    ];
    let left = Column { width: text.width - WHEN, ..text };
    let mut strips = if meaning.width(fonts) <= meaning_width - 8.0 {
        let who_column = left.indented(meaning_width);
        let mut strips = paragraph(fonts, &who, who_column);
        if let Some(first) = strips.first_mut() {
            let y = baseline(SMALL.size, SMALL.leading);
            first.marks.insert(0, Mark::Text((text.x, y), meaning));
        }
        strips
    } else {
        let [name, role] = who;
        let gap = Run::new(fonts, SMALL, "   ");
        paragraph(fonts, &[meaning, gap, name, role], left)
    };
    if let Some(first) = strips.first_mut() {
        let y = baseline(SMALL.size, SMALL.leading);
        let x = text.right() - when.width(fonts);
        first.marks.push(Mark::Text((x, y), when));
    }
    tie(&mut strips);
    strips
}

/// The mark of a step that nobody signed: words in a dashed frame.
fn open(fonts: &Fonts, text: Column) -> Vec<Strip> {
    let words = Run::new(fonts, STRONG, OPEN);
    let height = STRONG.leading + 4.0;
    let frame = Stroke { weight: 0.8, ink: Ink::Full, dash: Dash::Dashed };
    let width = words.width(fonts) + 16.0;
    vec![Strip::new(
        height,
        vec![
            Mark::rectangle((text.x, 0.5), width, height - 1.0, None, Some(frame)),
            Mark::Text((text.x + 8.0, baseline(STRONG.size, height)), words),
        ],
    )]
}
