//! The end of the record: what it proves and what not, and where ink signs it.

use crate::{
    block::{Column, heading, labelled, paragraph},
    element::{Element, Role},
    flow::{Anchor, Strip, tie},
    fonts::Fonts,
    head_code,
    mark::{Mark, Stroke, baseline, line_marks},
    model::{Attachment, LedgerHead, When},
    rod_sheet::below,
    style::{BODY, Ink, LABEL, MM, RULE, SECTION, SMALL, STRONG, Style},
    words::{STANDING, count, groups, moment},
    wrap::{Run, fit, wrap},
};

/// Width of the labels, in points.
const LABELS: f32 = 110.0;

/// What a print vouches for, and when.
pub(crate) struct Proof<'a> {
    pub(crate) ledger: &'a LedgerHead,
    pub(crate) printed: When,
    /// What the file carries.
    pub(crate) attached: &'a [Attachment],
}

/// What the record proves: one block, kept on one page.
pub(crate) fn strips(fonts: &Fonts, proof: &Proof<'_>, column: Column) -> Vec<Strip> {
    let ledger = proof.ledger;
    let events = count(ledger.events, "event", "events");
    let mut strips = below(heading(fonts, SECTION, "What this record proves", column), 28.0);
    if let Some(first) = strips.first_mut() {
        let title = "What this record proves".to_owned();
        first.anchor = Some(Anchor { key: "proof".to_owned(), title });
    }
    let last = moment(ledger.last);
    let facts = [
        ("Ledger", ledger.origin.as_str()),
        ("Events", &ledger.events.to_string()),
        ("Last event shown", &last),
    ];
    for (label, text) in facts {
        strips.extend(labelled(fonts, label, &[Run::new(fonts, BODY, text)], column, LABELS));
    }
    let covers = "SHA-256 over the last event and, by the chain, all events before it:";
    strips.extend(labelled(fonts, "Digest", &[Run::new(fonts, BODY, covers)], column, LABELS));
    strips.push(head(fonts, ledger, column).below(8.0));
    let printed = moment(proof.printed);
    let these = if ledger.events == 1 { "This 1 event" } else { &format!("These {events}") };
    let mut say = |style: Style, words: &str, gap: f32| {
        strips.extend(below(paragraph(fonts, &[Run::new(fonts, style, words)], column), gap));
    };
    say(STRONG, &format!("{these}, in this order, existed when this was printed, {printed}."), 9.0);
    say(
        BODY,
        "This cannot show that what was entered is true: a person can sign what did not happen. \
         An owner who holds every key could write another history; this paper would contradict \
         it, because another history ends in another digest. Keep the paper apart from the \
         workshop, where it cannot be changed together with the ledger.",
        4.0,
    );
    strips.extend(checking(fonts, proof.attached, column));
    let standing = format!(
        "{STANDING} Coldbench advises and records; it does not certify that a place is without \
         danger."
    );
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, &standing)], column), 4.0));
    tie(&mut strips);
    strips
}

/// The digest as digits and as a code beside each other, and what the code holds.
fn head(fonts: &Fonts, ledger: &LedgerHead, column: Column) -> Strip {
    const BETWEEN: f32 = 4.0;
    const ABOVE_CAPTION: f32 = 6.0;
    let code = head_code::code(ledger);
    let beside = code
        .as_ref()
        .map_or(column, |code| column.indented((code.width + code.quiet + BETWEEN).max(LABELS)));
    let Strip { mut height, mut marks, .. } = digest(fonts, &ledger.digest, beside);
    let caption = if code.is_some() {
        "The square holds the same for the camera of a phone, in four lines of plain text: the \
         words \u{201c}Coldbench ledger head\u{201d}, the ledger's name (origin), the number of \
         events, and the digest. It holds no link and nothing else."
    } else {
        "The ledger's name is too long for a code, so there is none: compare the digits."
    };
    height += ABOVE_CAPTION;
    for line in paragraph(fonts, &[Run::new(fonts, SMALL, caption)], beside) {
        marks.extend(line.marks.iter().map(|mark| mark.moved(0.0, height)));
        height += line.height;
    }
    if let Some(code) = code {
        // Its left side is level with the text. The white it needs there is in the margin.
        let words = "Square code with what stands beside it: the ledger's name, the number of its \
                     events, and the digest.";
        marks.push(Mark::In(Some(Element::new(Role::Figure(words.to_owned())))));
        marks.push(code.mark.moved(column.x, 0.0));
        height = height.max(code.width + code.quiet);
    }
    Strip::new(height, marks)
}

/// How the paper and its file are checked, and what the file carries.
fn checking(fonts: &Fonts, attached: &[Attachment], column: Column) -> Vec<Strip> {
    let text = |style: Style, words: &str| Run::new(fonts, style, words);
    let runs = if attached.is_empty() {
        vec![text(
            BODY,
            "This file carries no record of its own: to check the paper, compare its digest with \
             the ledger's.",
        )]
    } else {
        vec![
            text(BODY, "To check it: "),
            text(STRONG, "coldbench verify FILE.pdf"),
            text(
                BODY,
                ". The PDF that this was printed from carries its own record inside, so that no \
                 workshop is needed for that; the digest found there must be the one on this \
                 paper. It carries:",
            ),
        ]
    };
    let mut strips = below(paragraph(fonts, &runs, column), 4.0);
    for attachment in attached {
        let words = [Run::on_one_line(fonts, SMALL, &attachment.words)];
        let (set_in, labels) = (column.indented(12.0), LABELS - 12.0);
        strips.extend(below(labelled(fonts, &attachment.name, &words, set_in, labels), 1.0));
    }
    strips
}

/// All digits in groups of four, eight groups to a line, each under the one above.
fn digest(fonts: &Fonts, digits: &str, column: Column) -> Strip {
    const PER_LINE: usize = 8;
    const SIZE: f32 = 13.0;
    const ROW: f32 = 18.0;
    let style = Style { size: SIZE, leading: ROW, ..BODY };
    let step = (column.width / 8.0).min(42.0);
    let mut marks = vec![Mark::In(Some(Element::new(Role::Paragraph)))];
    let mut y = 0.0;
    for line in groups(digits, 4).chunks(PER_LINE) {
        let mut x = column.x;
        for group in line {
            let run = Run::new(fonts, style, group);
            marks.push(Mark::Text((x, y + baseline(SIZE, ROW)), run));
            x += step;
        }
        y += ROW;
    }
    Strip::new(y, marks)
}

/// Where people sign in ink, each by role, meaning and name; role and name may be empty, to be
/// written. One block, kept on one page.
pub(crate) fn ink(
    fonts: &Fonts,
    title: &str,
    signers: &[(&str, &str, &str)],
    column: Column,
) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, title, column), 28.0);
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: "ink".to_owned(), title: title.to_owned() });
    }
    let words = "Sign with a pen after printing. A picture of a signature is no signature.";
    strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, words)], column));
    for (at, (role, meaning, name)) in signers.iter().enumerate() {
        let above = if at == 0 { 14.0 } else { 16.0 };
        strips.push(signer(fonts, role, meaning, name, column).below(above));
    }
    tie(&mut strips);
    strips
}

fn signer(fonts: &Fonts, role: &str, meaning: &str, name: &str, column: Column) -> Strip {
    // At least 70 mm by 12 mm to sign in; a date needs less.
    const SIGN_WIDTH: f32 = 92.0 * MM;
    const SIGN_HEIGHT: f32 = 14.0 * MM;
    const NAME_HEIGHT: f32 = 9.0 * MM;
    const BETWEEN: f32 = 5.0 * MM;
    let line = Stroke::solid(RULE, Ink::Full);
    let right_x = column.x + SIGN_WIDTH + BETWEEN;
    let right_width = (column.right() - right_x).min(60.0 * MM);
    let mut marks = Vec::new();
    let text = |x: f32, y: f32, style: Style, words: &str, width: f32| {
        let run = Run::on_one_line(fonts, style, words);
        Mark::Text((x, y), fit(fonts, run, width))
    };
    let y = baseline(BODY.size, BODY.leading);
    marks.push(text(column.x, y, STRONG, meaning, column.width));

    let name = Run::on_one_line(fonts, BODY, name);
    let lines =
        if name.text.is_empty() { Vec::new() } else { wrap(fonts, &[name], SIGN_WIDTH - 4.0) };
    let mut name_line = NAME_HEIGHT;
    for line in &lines {
        name_line += BODY.leading;
        marks.extend(line_marks(line, column.x + 2.0, name_line - 4.0));
    }
    name_line = name_line.max(BODY.leading + NAME_HEIGHT);
    marks.push(text(right_x + 2.0, name_line - 4.0, BODY, role, right_width - 4.0));
    let sign_line = name_line + SMALL.leading + 2.0 + SIGN_HEIGHT;
    for (y, left, right) in [(name_line, "Printed name", "Role"), (sign_line, "Signature", "Date")]
    {
        let left_end = column.x + SIGN_WIDTH;
        marks.push(Mark::Line((column.x, y), (left_end, y), line));
        let under = y + SMALL.size + 1.0;
        marks.push(text(column.x, under, LABEL, left, SIGN_WIDTH));
        marks.push(text(right_x, under, LABEL, right, right_width));
    }
    marks.push(Mark::Line((right_x, name_line), (right_x + right_width, name_line), line));
    let date_height = SIGN_HEIGHT - 2.0;
    let date = (right_x, sign_line - date_height);
    marks.push(Mark::rectangle(date, right_width, date_height, None, Some(line)));
    Strip::new(sign_line + SMALL.leading, marks)
}

/// Which characters could not be shown, if any.
pub(crate) fn lacking(fonts: &Fonts, column: Column) -> Vec<Strip> {
    let codes = fonts.lacking();
    if codes.is_empty() {
        return Vec::new();
    }
    let words = format!(
        "Characters this font lacks, printed as their Unicode code in square brackets: {}.",
        codes.join(", ")
    );
    below(paragraph(fonts, &[Run::new(fonts, SMALL, &words)], column), 22.0)
}
