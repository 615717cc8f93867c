//! The clearances: on what grounds heat was allowed, and how it ended.

use crate::{
    block::{Column, heading, labelled, paragraph, rule, small, table},
    flow::{Anchor, Strip, together},
    fonts::Fonts,
    model::ClearanceRecord,
    rod_sheet::below,
    stage::{continued, text_record},
    style::{BODY, Ink, RULE, SECTION, STAGE, STRONG},
    words::{STANDING, moment},
    wrap::Run,
};

/// Width of the labels in a clearance's heading, in points.
const LABELS: f32 = 110.0;

/// The strips of all clearances, or the words that there are none. A clearance no higher than
/// `whole` points is kept on one page.
pub(crate) fn strips(
    fonts: &Fonts,
    clearances: &[ClearanceRecord],
    none: &str,
    column: Column,
    whole: f32,
) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, "Clearances for heat", column), 26.0);
    if let Some(first) = strips.first_mut() {
        let title = "Clearances for heat".to_owned();
        first.anchor = Some(Anchor { key: "clearances".to_owned(), title });
    }
    if clearances.is_empty() {
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, none)], column));
        return strips;
    }
    let words = format!("{STANDING} A clearance records what people checked; it measures nothing.");
    strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, &words)], column));
    for strip in &mut strips {
        strip.keep = true;
    }
    for clearance in clearances {
        strips.extend(together(one(fonts, clearance, column), whole));
    }
    strips
}

fn one(fonts: &Fonts, clearance: &ClearanceRecord, column: Column) -> Vec<Strip> {
    let title = format!("{}, {}", clearance.reference.trim(), clearance.station.trim());
    let mut strips = vec![rule(column, RULE, Ink::Full).below(16.0)];
    strips.extend(below(heading(fonts, STAGE, &title, column), 4.0));
    for strip in &mut strips {
        strip.keep = true;
    }
    strips.extend(facts(fonts, clearance, column));
    strips
}

/// When and by whom it was granted, how it ended, and what was checked.
pub(crate) fn facts(fonts: &Fonts, clearance: &ClearanceRecord, column: Column) -> Vec<Strip> {
    let mut strips = Vec::new();
    let granted = format!("{} by {}", moment(clearance.granted), clearance.granted_by.trim());
    let until = moment(clearance.until);
    let ended = match &clearance.ended {
        Some((when, why)) => format!("{}: {}", moment(*when), why.trim()),
        None => "no end is recorded".to_owned(),
    };
    let facts = [
        ("Granted", granted.as_str(), BODY),
        ("Until", &until, BODY),
        ("Watcher", &clearance.watcher, BODY),
        ("Vapour", &clearance.vapour, BODY),
        ("Ended", &ended, if clearance.ended.is_some() { BODY } else { STRONG }),
    ];
    let watch = clearance.watch.as_ref().map(|watch| {
        let until = moment(watch.until);
        match &watch.kept {
            Some((when, who)) => (
                format!("until {until}; signed as kept by {}, {}", who.trim(), moment(*when)),
                BODY,
            ),
            None => (format!("until {until}; not signed as kept"), STRONG),
        }
    });
    let watch = watch.as_ref().map(|(words, style)| ("Watch", words.as_str(), *style));
    for (label, text, style) in facts.into_iter().chain(watch) {
        let text = if text.trim().is_empty() { "not stated" } else { text.trim() };
        strips.extend(labelled(fonts, label, &[Run::new(fonts, style, text)], column, LABELS));
    }
    for strip in &mut strips {
        strip.keep = true;
    }
    if let Some(text) = &clearance.text {
        strips.extend(below(text_record(fonts, text, column), 6.0));
    }
    if clearance.checks.is_empty() {
        let text = Run::new(fonts, STRONG, "No check is recorded.");
        strips.extend(below(paragraph(fonts, &[text], column), 4.0));
        return strips;
    }
    let rows: Vec<Vec<Run>> = clearance
        .checks
        .iter()
        .map(|check| {
            let when = moment(check.when);
            [&check.what, &check.answer, &check.who, &when]
                .map(|text| small(fonts, text.trim()))
                .to_vec()
        })
        .collect();
    let heads = [("Checked", 2.2), ("Found", 2.0), ("By", 1.05), ("When", 1.95)];
    let reference = format!("Clearance {} continued", clearance.reference.trim());
    let again = continued(fonts, &reference, column);
    strips.extend(below(table(fonts, &heads, &rows, column, &again), 6.0));
    strips
}
