//! What the single sheets share: their title block, foot, document title, and lines to write on.

use crate::{
    block::{Column, heading, labelled, paragraph, rule},
    error::RecordError,
    finish::{self, one_line},
    flow::{Anchor, Page, Strip, tie},
    fonts::Fonts,
    mark::{Mark, Stroke, baseline},
    pages_model::{Imprint, TextOf},
    pdf::About,
    rod_sheet::{below, close, merge},
    sheet::{Foot, Sheet},
    style::{BODY, HAIR, Ink, LABEL, RULE, SMALL, STRONG, TITLE},
    words::{INVENTED_SHEET, groups, is_digest},
    wrap::Run,
};

/// The share of a page up to which a part is moved rather than cut.
pub(crate) const WHOLE: f32 = 0.33;
/// Width of the labels in the title block, in points.
const LABELS: f32 = 74.0;

/// What a single sheet is called.
pub(crate) struct Named {
    /// In the foot, short.
    pub(crate) tag: String,
    /// As the document's title.
    pub(crate) title: String,
    /// As the document's subject, where the shop is not invented.
    pub(crate) subject: &'static str,
}

/// Refuses a digest that is none.
pub(crate) fn check(imprint: &Imprint) -> Result<(), RecordError> {
    if is_digest(&imprint.ledger.digest) {
        Ok(())
    } else {
        Err(RecordError::Digest { found: imprint.ledger.digest.clone() })
    }
}

/// What stands in the foot of the pages.
pub(crate) fn foot<'a>(imprint: &'a Imprint, named: &'a Named) -> Foot<'a> {
    Foot {
        tag: &named.tag,
        shop: &imprint.shop,
        digest: &imprint.ledger.digest,
        invented: imprint.demo.then_some(INVENTED_SHEET),
    }
}

/// Writes laid-out pages as a PDF. `debug` is the data's debug text: it tells prints apart.
pub(crate) fn write(
    fonts: &Fonts,
    pages: &[Page],
    imprint: &Imprint,
    named: &Named,
    debug: &str,
) -> Result<Vec<u8>, RecordError> {
    let about = About {
        title: one_line(&named.title),
        author: one_line(&imprint.shop),
        subject: if imprint.demo { INVENTED_SHEET } else { named.subject }.to_owned(),
        printed: imprint.printed,
        identity: finish::identity(debug, &[]),
    };
    let sheet = Sheet::of(imprint.paper);
    finish::finish(fonts, sheet, pages, &foot(imprint, named), &about, &[])
}

/// The kind of sheet, its name in large type, and a rule.
pub(crate) fn title(fonts: &Fonts, kind: &str, name: &str, column: Column) -> Vec<Strip> {
    let mut strips = paragraph(fonts, &[Run::on_one_line(fonts, STRONG, kind)], column);
    strips.extend(heading(fonts, TITLE, name, column));
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: "title".to_owned(), title: kind.to_owned() });
    }
    strips.push(rule(column, 1.4, Ink::Full).below(7.0));
    tie(&mut strips);
    strips
}

/// Labelled facts in two columns, a line under each row. What is empty is "not stated".
pub(crate) fn pairs(fonts: &Fonts, rows: &[[(&str, &str); 2]], column: Column) -> Vec<Strip> {
    let (half, other) = halves(column);
    let mut strips = Vec::new();
    for [(label, text), (other_label, other_text)] in rows {
        let left = fact(fonts, label, text, half);
        let mut row = merge(left, fact(fonts, other_label, other_text, other));
        close(&mut row, column, HAIR);
        strips.extend(row);
    }
    strips
}

/// A labelled fact across the column, a line under it.
pub(crate) fn across(fonts: &Fonts, label: &str, text: &str, column: Column) -> Vec<Strip> {
    let mut row = fact(fonts, label, text, column);
    close(&mut row, column, HAIR);
    row
}

fn fact(fonts: &Fonts, label: &str, text: &str, column: Column) -> Vec<Strip> {
    let text = if text.trim().is_empty() { "not stated" } else { text.trim() };
    labelled(fonts, label, &[Run::new(fonts, BODY, text)], column, LABELS)
}

/// The two halves of a column, with white between them.
pub(crate) fn halves(column: Column) -> (Column, Column) {
    let half = Column { x: column.x, width: column.width / 2.0 - 8.0 };
    (half, Column { x: column.x + column.width / 2.0 + 8.0, ..half })
}

/// Which text of a checklist the sheet rests on.
pub(crate) fn text_of(fonts: &Fonts, text: &TextOf, column: Column) -> Vec<Strip> {
    let revised = format!("{}, revised {}", text.id.trim(), text.revised.trim());
    let mut strips = across(fonts, "Checklist", &revised, column);
    let digest = Run::new(fonts, SMALL, &groups(text.sha256.trim(), 8).join(" "));
    let mut row = labelled(fonts, "Its SHA-256", &[digest], column, LABELS);
    close(&mut row, column, RULE);
    strips.extend(row);
    strips
}

/// The head of a part of the sheet, which the outline names.
pub(crate) fn section(fonts: &Fonts, title: &str, column: Column) -> Vec<Strip> {
    let mut strips = below(heading(fonts, crate::style::SECTION, title, column), 22.0);
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: title.to_owned(), title: title.to_owned() });
    }
    strips
}

/// Height of a line that is written on by hand, in points: some 8 mm.
pub(crate) const WRITE: f32 = 24.0;

/// Lines to write on beside each other, each with what it is for: label and share of the width.
pub(crate) fn lines(fonts: &Fonts, fields: &[(&str, f32)], column: Column) -> Strip {
    const BETWEEN: f32 = 10.0;
    const BESIDE: f32 = 4.0;
    let shares: f32 = fields.iter().map(|(_, share)| share).sum();
    let labels: Vec<Run> =
        fields.iter().map(|(label, _)| Run::on_one_line(fonts, LABEL, label)).collect();
    let names: f32 = labels.iter().map(|label| label.width(fonts) + BESIDE).sum();
    let gaps = BETWEEN * f32::from(u16::try_from(fields.len().saturating_sub(1)).unwrap_or(0));
    let room = (column.width - names - gaps).max(0.0);
    let y = WRITE - 4.0;
    let line = Stroke::solid(HAIR * 1.6, Ink::Full);
    let mut marks = Vec::new();
    let mut x = column.x;
    for (label, (_, share)) in labels.into_iter().zip(fields) {
        let from = x + label.width(fonts) + BESIDE;
        let to = from + room * share / shares;
        if !label.text.is_empty() {
            marks.push(Mark::Text((x, y), label));
        }
        marks.push(Mark::Line((from, y + 1.5), (to, y + 1.5), line));
        x = to + BETWEEN;
    }
    Strip::new(WRITE, marks)
}

/// One line to write on, with what it is for; a label too long for the line stands above it.
pub(crate) fn line(fonts: &Fonts, label: &str, column: Column) -> Vec<Strip> {
    const LEAST: f32 = 90.0;
    let run = Run::on_one_line(fonts, LABEL, label);
    if run.width(fonts) + LEAST <= column.width {
        return vec![lines(fonts, &[(label, 1.0)], column)];
    }
    let mut strips = paragraph(fonts, &[run], column);
    strips.push(lines(fonts, &[("", 1.0)], column));
    tie(&mut strips);
    strips
}

/// A square to tick before a text.
pub(crate) fn tick(fonts: &Fonts, runs: &[Run], column: Column) -> Vec<Strip> {
    const SIDE: f32 = 10.0;
    let mut strips = paragraph(fonts, runs, column.indented(18.0));
    if let Some(first) = strips.first_mut() {
        let y = baseline(BODY.size, first.height) - 0.33 * BODY.size - SIDE / 2.0;
        first.marks.push(square((column.x, y), SIDE));
    }
    tie(&mut strips);
    strips
}

/// An empty square.
pub(crate) fn square(spot: (f32, f32), side: f32) -> Mark {
    Mark::rectangle(spot, side, side, None, Some(Stroke::solid(RULE, Ink::Full)))
}
