//! The stages in one look, and what stands out: for a reader who has five minutes.

use crate::{
    block::{Column, heading, paragraph, small, table},
    flow::{Anchor, Strip, together},
    fonts::Fonts,
    model::{BuildLog, StageRecord, StepRecord, StepState},
    rod_sheet::below,
    stage,
    style::{BODY, SECTION},
    words::{OPEN, count, day},
    wrap::Run,
};

/// What is said when nothing stands out.
const NOTHING: &str = "Nothing: no step is open, no value is outside its limits, no entry was \
     corrected later, no step was signed with its caution unread, and every clearance has an \
     end.";

/// The list of stages with their pages, and the list of what stands out.
pub(crate) fn strips(
    fonts: &Fonts,
    log: &BuildLog,
    column: Column,
    whole: f32,
    page_of: impl Fn(&str) -> Option<usize>,
) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, "Stages at a glance", column), 20.0);
    if let Some(first) = strips.first_mut() {
        let title = "Stages at a glance".to_owned();
        first.anchor = Some(Anchor { key: "glance".to_owned(), title });
    }
    if log.stages.is_empty() {
        let text = "No stage of this rod has been begun.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, text)], column));
        return strips;
    }
    strips.extend(stages(fonts, log, column, page_of));
    let mut strips = together(strips, whole);
    strips.extend(together(outstanding(fonts, log, column), whole));
    strips
}

fn stages(
    fonts: &Fonts,
    log: &BuildLog,
    column: Column,
    page_of: impl Fn(&str) -> Option<usize>,
) -> Vec<Strip> {
    let rows: Vec<Vec<Run>> = log
        .stages
        .iter()
        .enumerate()
        .map(|(at, record)| {
            let signed = record.steps.iter().filter(|step| step.state == StepState::Signed);
            let to_do = record.steps.iter().filter(|step| step.state != StepState::LeftOut);
            let corrections: usize = record.steps.iter().map(|step| step.corrections.len()).sum();
            let page = page_of(&stage::key(at)).map_or(String::new(), |page| page.to_string());
            [
                record.title.clone(),
                format!("{} of {}", signed.count(), to_do.count()),
                if corrections == 0 { "none".to_owned() } else { corrections.to_string() },
                day(record.begun),
                record.finished.map_or("not finished".to_owned(), day),
                page,
            ]
            .map(|text| small(fonts, &text))
            .to_vec()
        })
        .collect();
    let heads = [
        ("Stage", 2.9),
        ("Steps signed", 1.1),
        ("Corrections", 1.0),
        ("Begun", 1.0),
        ("Finished", 1.0),
        ("Page", 0.5),
    ];
    table(fonts, &heads, &rows, column, &[])
}

fn outstanding(fonts: &Fonts, log: &BuildLog, column: Column) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, "What stands out", column), 18.0);
    let found: Vec<(String, String)> = log
        .stages
        .iter()
        .flat_map(in_stage)
        .chain(log.left_out.iter().map(|left_out| {
            let reason = left_out.reason.trim().trim_end_matches('.');
            let who = format!("{}, event {}", left_out.who.trim(), left_out.event);
            (left_out.title.trim().to_owned(), format!("left out on this rod: {reason} ({who})"))
        }))
        .chain(log.clearances.iter().filter(|clearance| clearance.ended.is_none()).map(
            |clearance| {
                let place = format!("Clearance {}", clearance.reference.trim());
                (place, "no end is recorded".to_owned())
            },
        ))
        .chain(log.clearances.iter().filter(|clearance| clearance.watcher_held_gun).map(
            |clearance| {
                let place = format!("Clearance {}", clearance.reference.trim());
                let words = format!(
                    "{} was named as who watches, and used the gun as well",
                    clearance.watcher.trim()
                );
                (place, words)
            },
        ))
        .collect();
    if found.is_empty() {
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, NOTHING)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> =
        found.iter().map(|(place, what)| vec![small(fonts, place), small(fonts, what)]).collect();
    strips.extend(table(fonts, &[("Where", 2.3), ("What", 4.0)], &rows, column, &[]));
    strips
}

/// What stands out in a stage, as place and finding.
fn in_stage(record: &StageRecord) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let numbers = |wanted: fn(&StepRecord) -> bool| -> Vec<u32> {
        record.steps.iter().filter(|step| wanted(step)).map(|step| step.number).collect()
    };
    for text in record.texts.iter().filter(|text| text.signed.is_some()) {
        found.push((record.title.trim().to_owned(), text.what.trim().to_owned()));
    }
    let mut at = |steps: &[u32], what: String| {
        let word = if steps.len() == 1 { "step" } else { "steps" };
        let numbers: Vec<String> = steps.iter().map(u32::to_string).collect();
        found.push((format!("{}, {word} {}", record.title.trim(), numbers.join(", ")), what));
    };
    for step in &record.steps {
        for value in step.values.iter().filter(|value| !value.within && !value.replaced) {
            let verdict = match &value.accepted {
                Some(reason) => {
                    format!("accepted because {}", reason.trim().trim_end_matches('.'))
                }
                None => "not accepted".to_owned(),
            };
            let (name, entered) = (value.name.trim(), value.entered.trim());
            at(&[step.number], format!("{name}, {entered}: outside limits, {verdict}"));
        }
    }
    for step in &record.steps {
        let corrected = u64::try_from(step.corrections.len()).unwrap_or(u64::MAX);
        if corrected > 0 {
            let entries = count(corrected, "entry", "entries");
            at(&[step.number], format!("{entries} corrected later; both stand at the step"));
        }
    }
    let unread = numbers(|step| {
        let caution = step.caution.is_some() || !step.hazards.is_empty();
        caution && step.acknowledged.is_empty() && step.state == StepState::Signed
    });
    if !unread.is_empty() {
        at(&unread, "signed, but nobody is recorded as having understood the caution".to_owned());
    }
    let open = numbers(|step| step.state == StepState::Open);
    if !open.is_empty() {
        at(&open, OPEN.to_owned());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimen;

    #[test]
    fn what_stands_out_is_found_and_nothing_else() {
        let log = specimen::rich();
        let found: Vec<_> = log.stages.iter().flat_map(in_stage).collect();
        let at = |place: &str, what: &str| (place.to_owned(), what.to_owned());
        assert_eq!(
            found,
            [
                at(
                    "Bond the grips, step 2",
                    "Resin to hardener by weight, 100 : 53: outside limits, accepted because \
                     the data sheet of this lot allows 100 : 48 to 100 : 54"
                ),
                at(
                    "Shrink the sleeve over the rear grip, step 2",
                    "2 entries corrected later; both stand at the step"
                ),
                at("Shrink the sleeve over the rear grip, step 3", OPEN),
                at(
                    "Lay out, wrap and finish the guides",
                    "The shop's own text, in place of the one that comes with Coldbench, takes guards away."
                ),
                at("Lay out, wrap and finish the guides", "The stage went on by another text."),
                at("Lay out, wrap and finish the guides, step 3", OPEN),
            ]
        );
    }

    #[test]
    fn open_steps_are_gathered_and_unread_cautions_told() {
        let mut stage = specimen::rich().stages.remove(0);
        for step in &mut stage.steps {
            step.values.clear();
            step.acknowledged.clear();
        }
        stage.steps[2].state = StepState::Open;
        let mut more = stage.steps[2].clone();
        more.number = 4;
        stage.steps.push(more);
        let found = in_stage(&stage);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].0, "Bond the grips, steps 1, 2");
        assert_eq!(found[1], ("Bond the grips, steps 3, 4".to_owned(), OPEN.to_owned()));
    }
}
