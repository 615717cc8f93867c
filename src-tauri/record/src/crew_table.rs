//! The crew table: helpers against stages, where each stands with what is taught.

use crate::{
    block::{Column, paragraph, small, table},
    flow::{Page, Strip, paginate},
    fonts::Fonts,
    pages_model::CrewTable,
    proof::{self, Proof},
    rod_sheet::below,
    sheet::Sheet,
    single::{self, Named},
    style::BODY,
    words::moment,
    wrap::Run,
};

/// People beside each other in one table; more go into the next.
const ABREAST: usize = 3;

/// What it is called.
pub(crate) fn named(_: &CrewTable) -> Named {
    Named {
        tag: "Crew table".to_owned(),
        title: "Crew table".to_owned(),
        subject: "Who of a rod workshop was taught which stage",
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, sheet: &CrewTable) -> Vec<Page> {
    let paper = Sheet::of(sheet.imprint.paper);
    let (column, height) = (paper.column(), paper.body_height(fonts));
    let mut strips = single::title(fonts, "Crew table", &sheet.imprint.shop, column);
    let printed = moment(sheet.imprint.printed);
    let leads = if sheet.leads.is_empty() { String::new() } else { sheet.leads.join(", ") };
    strips.extend(single::across(fonts, "Printed", &printed, column));
    strips.extend(single::across(fonts, "Leads", &leads, column));
    let words = "Leads do every stage. It counts what was signed in Coldbench. Whether somebody can \
                 do a step alone is for a lead to see at the bench. Heat is never used by a helper \
                 alone, and the end of the hand-over is always seen by a lead, whatever stands here.";
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, words)], column), 8.0));
    if sheet.people.is_empty() {
        let words = "No helper is of the crew.";
        strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, words)], column), 8.0));
    }
    let count = sheet.people.len();
    for from in (0..count).step_by(ABREAST) {
        strips.extend(below(abreast(fonts, sheet, from, column), 16.0));
    }
    let imprint = &sheet.imprint;
    let proof = Proof { ledger: &imprint.ledger, printed: imprint.printed, attached: &[] };
    strips.extend(proof::strips(fonts, &proof, column));
    strips.extend(proof::lacking(fonts, column));
    paginate(strips, height)
}

/// Some people beside each other, every stage below.
fn abreast(fonts: &Fonts, sheet: &CrewTable, from: usize, column: Column) -> Vec<Strip> {
    let people: Vec<&str> =
        sheet.people.iter().skip(from).take(ABREAST).map(|name| name.trim()).collect();
    let rows: Vec<Vec<Run>> = sheet
        .stages
        .iter()
        .map(|stage| {
            let mut row = vec![small(fonts, stage.title.trim()), small(fonts, stage.asked.trim())];
            let cells = stage.standings.iter().skip(from).take(ABREAST);
            row.extend(cells.map(|words| small(fonts, words.trim())));
            row
        })
        .collect();
    let mut heads = vec![("Stage", 1.6), ("Asked", 1.2)];
    heads.extend(people.iter().map(|name| (*name, 1.4)));
    table(fonts, &heads, &rows, column, &[])
}
