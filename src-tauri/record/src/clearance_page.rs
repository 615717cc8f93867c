//! One clearance for heat by itself: what was asked and found, what held, how it ended, the watch.

use crate::{
    block::{Column, labelled, paragraph, small, table},
    clearance,
    flow::{Page, Strip, paginate, together},
    fonts::Fonts,
    model::Watch,
    pages_model::ClearancePage,
    proof::{self, Proof},
    rod_sheet::below,
    sheet::Sheet,
    single::{self, Named, WHOLE},
    style::{BODY, SMALL_STRONG, STRONG},
    words::{STANDING, moment},
    wrap::Run,
};

/// Width of the labels of what held, in points.
const LABELS: f32 = 110.0;

/// What it is called.
pub(crate) fn named(page: &ClearancePage) -> Named {
    let reference = page.clearance.reference.trim();
    Named {
        tag: format!("{reference}, clearance"),
        title: format!("Clearance {reference} for heat: {}", page.clearance.station.trim()),
        subject: "Clearance for heat in a rod workshop",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, page: &ClearancePage) -> Vec<Page> {
    let sheet = Sheet::of(page.imprint.paper);
    let (column, height) = (sheet.column(), sheet.body_height(fonts));
    let whole = height * WHOLE;
    let imprint = &page.imprint;
    let name = format!("{}, {}", page.clearance.reference.trim(), page.clearance.station.trim());
    let mut strips = single::title(fonts, "Clearance for heat", &name, column);
    let printed = moment(imprint.printed);
    let rows = [[("Workshop", imprint.shop.as_str()), ("Printed", printed.as_str())]];
    strips.extend(single::pairs(fonts, &rows, column));
    strips.extend(single::text_of(fonts, &page.text, column));
    let words = format!("{STANDING} A clearance records what people checked; it measures nothing.");
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, &words)], column), 8.0));
    strips.extend(together(limits(fonts, page, column), whole));
    strips.extend(single::section(fonts, "As it was granted", column));
    strips.extend(clearance::facts(fonts, &page.clearance, column));
    strips.extend(unanswered(fonts, page, column));
    strips.extend(together(heat(fonts, page, column), whole));
    strips.extend(together(watch(fonts, page, column), whole));
    let signers = [("", "I granted this clearance, and this is what was found.", "")];
    // Ink stands by what it signs; the proof comes after it.
    strips.extend(proof::ink(fonts, "Signature in ink", &signers, column));
    let proof = Proof { ledger: &imprint.ledger, printed: imprint.printed, attached: &[] };
    strips.extend(proof::strips(fonts, &proof, column));
    strips.extend(proof::lacking(fonts, column));
    paginate(strips, height)
}

/// The bounds that held while it was granted.
fn limits(fonts: &Fonts, page: &ClearancePage, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "What was set, and what had to hold", column);
    if page.limits.is_empty() {
        let words = Run::new(fonts, STRONG, "No limit is recorded.");
        strips.extend(paragraph(fonts, &[words], column));
    }
    for (label, text) in &page.limits {
        let text = [Run::new(fonts, BODY, text.trim())];
        strips.extend(below(labelled(fonts, label, &text, column, LABELS), 1.5));
    }
    strips
}

fn unanswered(fonts: &Fonts, page: &ClearancePage, column: Column) -> Vec<Strip> {
    let mut strips = Vec::new();
    for (nth, ask) in page.unanswered.iter().enumerate() {
        let runs =
            [Run::new(fonts, STRONG, "Not answered: \u{a0}"), Run::new(fonts, BODY, ask.trim())];
        strips.extend(below(paragraph(fonts, &runs, column), if nth == 0 { 8.0 } else { 2.0 }));
    }
    strips
}

/// What was done under it.
fn heat(fonts: &Fonts, page: &ClearancePage, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Heat under this clearance", column);
    if page.heat.is_empty() {
        let words = "No step with heat was signed under this clearance.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = page
        .heat
        .iter()
        .map(|step| {
            let witness = match step.witness.trim() {
                "" => Run::new(fonts, SMALL_STRONG, "nobody"),
                witness => small(fonts, witness),
            };
            let texts = [&moment(step.when), step.rod.trim(), step.what.trim(), step.who.trim()];
            texts.map(|text| small(fonts, text)).into_iter().chain([witness]).collect()
        })
        .collect();
    let heads = [("When", 2.1), ("Rod", 0.8), ("What", 2.4), ("By", 1.2), ("Witnessed by", 1.2)];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    strips
}

fn watch(fonts: &Fonts, page: &ClearancePage, column: Column) -> Vec<Strip> {
    let mut strips = single::section(fonts, "Watch after heat", column);
    let Some(Watch { last_heat, until, kept }) = &page.watch else {
        let words = "No heat was signed under this clearance, so no watch was due.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
        return strips;
    };
    let (kept, style) = match kept {
        Some((when, who)) => (format!("{} by {}", moment(*when), who.trim()), BODY),
        None if *until > page.imprint.printed => {
            ("not signed when this was printed".to_owned(), STRONG)
        }
        None => ("no watch was signed".to_owned(), STRONG),
    };
    let facts = [
        ("Last heat", moment(*last_heat), BODY),
        ("Watch until", moment(*until), BODY),
        ("Kept", kept, style),
    ];
    for (label, text, style) in facts {
        let text = [Run::new(fonts, style, &text)];
        strips.extend(labelled(fonts, label, &text, column, LABELS));
    }
    strips
}
