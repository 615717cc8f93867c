//! The training record of a person: what they did, how often, and who saw it.

use crate::{
    block::{Column, Side, heading, paragraph, rule, small, table, table_with},
    flow::{Page, Strip, paginate, together},
    fonts::Fonts,
    model::When,
    pages_model::{TrainedStage, TrainingRecord},
    proof::{self, Proof},
    rod_sheet::below,
    sheet::Sheet,
    single::{self, Named, WHOLE},
    style::{BODY, Ink, LABEL, RULE, SMALL_STRONG, STAGE},
    words::{count, day, moment},
    wrap::Run,
};

/// What it is called.
pub(crate) fn named(record: &TrainingRecord) -> Named {
    Named {
        tag: format!("{}, training", record.id.trim()),
        title: format!("Training record of {}", record.name.trim()),
        subject: "Training record of a person in a rod workshop",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, record: &TrainingRecord) -> Vec<Page> {
    let sheet = Sheet::of(record.imprint.paper);
    let (column, height) = (sheet.column(), sheet.body_height(fonts));
    let whole = height * WHOLE;
    let name = if record.name.trim().is_empty() { &record.id } else { &record.name };
    let mut strips = single::title(fonts, "Training record", name, column);
    strips.extend(block(fonts, record, column));
    let words = "It counts what was signed in Coldbench. Whether somebody can do a step alone is \
                 for a lead to see at the bench.";
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, words)], column), 8.0));
    strips.extend(together(glance(fonts, record, column), whole));
    strips.extend(together(taught(fonts, record, column), whole));
    strips.extend(done(fonts, record, column, whole));
    strips.extend(together(heat(fonts, record, column), whole));
    strips.extend(together(witnessed(fonts, record, column), whole));
    let signers = [
        ("", "I did what is listed here, and I was shown how.", record.name.trim()),
        ("lead", "I have seen this person work.", ""),
    ];
    // Ink stands by what it signs; the proof comes after it.
    strips.extend(proof::ink(fonts, "Signatures in ink", &signers, column));
    let imprint = &record.imprint;
    let proof = Proof { ledger: &imprint.ledger, printed: imprint.printed, attached: &[] };
    strips.extend(proof::strips(fonts, &proof, column));
    strips.extend(proof::lacking(fonts, column));
    paginate(strips, height)
}

fn block(fonts: &Fonts, record: &TrainingRecord, column: Column) -> Vec<Strip> {
    let joined = record.joined.map_or("not known".to_owned(), day);
    let left =
        record.left.map_or("still of the crew".to_owned(), |left| format!("left {}", day(left)));
    let printed = moment(record.imprint.printed);
    let rows = [
        [("Person", record.id.as_str()), ("Workshop", record.imprint.shop.as_str())],
        [("Role", record.role.as_str()), ("Printed", &printed)],
        [("Joined", &joined), ("Standing", &left)],
    ];
    single::pairs(fonts, &rows, column)
}

/// How often the person did steps of a stage, in sum, and how often that was witnessed.
fn sums(stage: &TrainedStage) -> (u64, u64) {
    let did = stage.steps.iter().map(|step| u64::from(step.times)).sum();
    let seen = stage.steps.iter().flat_map(|step| &step.witnessed);
    (did, seen.map(|(_, times)| u64::from(*times)).sum())
}

fn glance(fonts: &Fonts, record: &TrainingRecord, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Stages at a glance", column);
    if record.stages.is_empty() {
        let words = "No step was signed by this person.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = record
        .stages
        .iter()
        .map(|stage| {
            let (did, seen) = sums(stage);
            [
                stage.title.trim().to_owned(),
                stage.rods.join(", "),
                format!("{} of {}", stage.steps.len(), stage.of_steps),
                did.to_string(),
                seen.to_string(),
                day(stage.first),
                day(stage.last),
            ]
            .map(|text| small(fonts, &text))
            .to_vec()
        })
        .collect();
    let heads = [
        ("Stage", 2.5),
        ("Rods", 1.1),
        ("Steps", 0.9),
        ("Done", 0.65),
        ("Witnessed", 1.0),
        ("First", 1.1),
        ("Last", 1.1),
    ];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    strips
}

/// How each stage was taught: where the person stands, who presented what, who let them do it alone.
fn taught(fonts: &Fonts, record: &TrainingRecord, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Stages taught", column);
    if record.taught.is_empty() {
        let words = "No stage was taught to this person by presenting and witnessed runs.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = record
        .taught
        .iter()
        .map(|stage| {
            let released =
                if stage.released.trim().is_empty() { "nobody" } else { &stage.released };
            [&stage.title, &stage.standing, &stage.witnessed, released]
                .map(|text| small(fonts, text.trim()))
                .to_vec()
        })
        .collect();
    let heads = [("Stage", 1.8), ("Standing", 1.6), ("Runs witnessed", 1.1), ("Released by", 1.6)];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    let lessons = record
        .taught
        .iter()
        .flat_map(|stage| stage.lessons.iter().map(move |lesson| (stage.title.trim(), lesson)));
    let rows: Vec<Vec<Run>> = lessons
        .map(|(title, lesson)| {
            let what = format!("{title}: {}", lesson.what.trim());
            let how = if lesson.told { "told back" } else { "presented" };
            let when = moment(lesson.when);
            [when.as_str(), lesson.rod.trim(), &what, how, lesson.lead.trim()]
                .map(|text| small(fonts, text))
                .to_vec()
        })
        .collect();
    if !rows.is_empty() {
        let heads = [("When", 2.1), ("Rod", 0.8), ("Step", 2.7), ("How", 0.9), ("Lead", 1.2)];
        strips.extend(below(table(fonts, &heads, &rows, column, &[]), 10.0));
    }
    strips
}

/// Names with how often: `Wren Tolliver 2, Pim Aldersey`.
fn people(names: &[(String, u32)]) -> String {
    let name = |(name, times): &(String, u32)| match times {
        1 => name.trim().to_owned(),
        times => format!("{} {times}\u{d7}", name.trim()),
    };
    names.iter().map(name).collect::<Vec<_>>().join(", ")
}

fn span(first: When, last: When) -> [String; 2] {
    [day(first), day(last)]
}

/// Every stage with its steps; those with heat are marked, and stand once more by themselves.
fn done(fonts: &Fonts, record: &TrainingRecord, column: Column, whole: f32) -> Vec<Strip> {
    let mut strips = Vec::new();
    if record.stages.is_empty() {
        return strips;
    }
    strips.extend(single::section(fonts, "Steps done", column));
    for (nth, stage) in record.stages.iter().enumerate() {
        let above = if nth == 0 { 4.0 } else { 16.0 };
        let mut part = vec![rule(column, RULE, Ink::Full).below(above)];
        part.extend(below(heading(fonts, STAGE, &stage.title, column), 3.0));
        let (did, seen) = sums(stage);
        let words = format!(
            "{} for steps done, {} of them witnessed; first {}, last {}",
            count(did, "signature", "signatures"),
            if seen == 0 { "none".to_owned() } else { seen.to_string() },
            moment(stage.first),
            moment(stage.last)
        );
        part.extend(paragraph(fonts, &[Run::new(fonts, LABEL, &words)], column));
        for strip in &mut part {
            strip.keep = true;
        }
        let rows: Vec<Vec<Run>> = stage
            .steps
            .iter()
            .map(|step| {
                let witnessed = if step.witnessed.is_empty() {
                    small(fonts, "no")
                } else {
                    small(fonts, &people(&step.witnessed))
                };
                let [first, last] = span(step.first, step.last);
                vec![
                    small(fonts, step.what.trim()),
                    Run::new(fonts, SMALL_STRONG, if step.heat { "heat" } else { "" }),
                    small(fonts, &step.times.to_string()),
                    witnessed,
                    small(fonts, &first),
                    small(fonts, &last),
                ]
            })
            .collect();
        let heads = [
            ("Step", 3.9),
            ("", 0.75),
            ("Done", 0.6),
            ("Witnessed by", 1.5),
            ("First", 1.15),
            ("Last", 1.15),
        ];
        let sides = [Side::Left, Side::Left, Side::Right];
        let again = format!("{} continued", Run::on_one_line(fonts, LABEL, &stage.title).text);
        let again = crate::stage::continued(fonts, &again, column);
        part.extend(below(table_with(fonts, &heads, &sides, &rows, column, &again), 4.0));
        strips.extend(together(part, whole));
    }
    strips
}

/// Heat apart: every time, under which clearance, and who saw it.
fn heat(fonts: &Fonts, record: &TrainingRecord, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Steps with heat", column);
    if record.heat.is_empty() {
        let words = "No step with heat was signed by this person.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = record
        .heat
        .iter()
        .map(|step| {
            let what = format!("{}: {}", step.stage.trim(), step.what.trim());
            let stated = |text: &str, none: &str| match text.trim() {
                "" => Run::new(fonts, SMALL_STRONG, none),
                text => small(fonts, text),
            };
            vec![
                small(fonts, &moment(step.when)),
                small(fonts, step.rod.trim()),
                small(fonts, &what),
                stated(&step.clearance, "none"),
                stated(&step.witness, "nobody"),
            ]
        })
        .collect();
    let heads =
        [("When", 2.1), ("Rod", 0.8), ("What", 2.6), ("Clearance", 1.0), ("Witnessed by", 1.2)];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    strips
}

fn witnessed(fonts: &Fonts, record: &TrainingRecord, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Steps of others, witnessed", column);
    if record.witnessed.is_empty() {
        let words = "No step of others was witnessed by this person.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = record
        .witnessed
        .iter()
        .map(|step| {
            let [first, last] = span(step.first, step.last);
            let texts = [step.stage.trim(), step.what.trim(), &people(&step.did), &first, &last];
            texts.map(|text| small(fonts, text)).to_vec()
        })
        .collect();
    let heads = [("Stage", 1.7), ("Step", 3.0), ("Done by", 1.4), ("First", 1.1), ("Last", 1.1)];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    strips
}
