//! A rod as it is being written down: from what was typed to a plan, each fault at its field.

use crate::error::ShellError;
use crate::show;
use crate::views::{DraftView, PartDraft, RodDraft, Trouble};
use coldbench_shop::{Command, DiameterReading, Part, Reading, RodPlan};
use coldbench_trade::{BlankError, LengthUnit, in_millimetres, parse_length};

use crate::workshop::Workshop;

/// What is wrong with a draft, and the rod drawn once its measurements make a blank.
pub fn check(workshop: &Workshop, draft: &RodDraft) -> DraftView {
    let (plan, mut troubles) = read(workshop, draft);
    let drawing = plan.as_ref().and_then(|plan| {
        plan.checked_blank(lengths(workshop)).ok().map(|_| show::plain_drawing(plan))
    });
    if troubles.is_empty()
        && let Some(plan) = plan
        && let Err(refusal) = workshop.would(Command::BeginRod(Box::new(plan)))
    {
        troubles.push(trouble(None, refusal.to_string()));
    }
    DraftView { troubles, drawing }
}

/// The plan, if nothing is wrong with the draft; else its first fault.
pub fn plan(workshop: &Workshop, draft: &RodDraft) -> Result<RodPlan, ShellError> {
    let (plan, troubles) = read(workshop, draft);
    match (plan, troubles.into_iter().next()) {
        (Some(plan), None) => Ok(plan),
        (_, Some(first)) => Err(ShellError::Field {
            field: first.field.unwrap_or_default(),
            message: first.message,
        }),
        (None, None) => Err(ShellError::Field {
            field: "length".to_owned(),
            message: "The measurements do not make a blank.".to_owned(),
        }),
    }
}

fn lengths(workshop: &Workshop) -> LengthUnit {
    workshop.state().workshop.as_ref().map_or(LengthUnit::Millimetre, |shop| shop.lengths)
}

fn trouble(field: Option<&str>, message: String) -> Trouble {
    Trouble { code: "bad-input".to_owned(), message, field: field.map(str::to_owned) }
}

/// Reads every field; faults are collected, so that all are seen at once.
fn read(workshop: &Workshop, draft: &RodDraft) -> (Option<RodPlan>, Vec<Trouble>) {
    let unit = lengths(workshop);
    let mut troubles = Vec::new();
    for (field, text, what) in [
        ("title", &draft.title, "Write what the rod is called in the shop."),
        ("customer", &draft.customer, "Write for whom the rod is."),
        ("blank", &draft.blank, "Write which blank it is."),
    ] {
        if text.trim().is_empty() {
            troubles.push(trouble(Some(field), what.to_owned()));
        }
    }
    let mut length = |field: &str, text: &str| match parse_length(text, unit) {
        Ok(length) => Some(Reading { text: with_unit(text, unit), value: in_millimetres(length) }),
        Err(error) => {
            troubles.push(trouble(Some(field), error.to_string()));
            None
        }
    };
    let whole = length("length", &draft.length);
    let joins: Vec<Option<Reading>> = draft
        .joins
        .iter()
        .enumerate()
        .map(|(n, text)| length(&format!("joins.{n}"), text))
        .collect();
    let diameters: Vec<Option<DiameterReading>> = draft
        .diameters
        .iter()
        .enumerate()
        .map(|(n, row)| {
            let from_butt = length(&format!("diameters.{n}.fromButt"), &row.from_butt);
            let diameter = length(&format!("diameters.{n}.diameter"), &row.diameter);
            Some(DiameterReading { from_butt: from_butt?, diameter: diameter? })
        })
        .collect();
    let parts: Vec<Option<Part>> = draft
        .parts
        .iter()
        .enumerate()
        .map(|(n, part)| {
            let from = length(&format!("parts.{n}.from"), &part.from);
            let to = length(&format!("parts.{n}.to"), &part.to);
            let diameter = length(&format!("parts.{n}.diameter"), &part.diameter);
            Some(Part {
                kind: part.kind.into(),
                description: described(part),
                from_mm: from?.value,
                to_mm: to?.value,
                diameter_mm: diameter?.value,
            })
        })
        .collect();
    let plan = (|| {
        Some(RodPlan {
            title: draft.title.trim().to_owned(),
            customer: draft.customer.trim().to_owned(),
            wishes: draft.wishes.trim().to_owned(),
            reel: draft.reel.into(),
            grip: draft.grip.into(),
            blank: draft.blank.trim().to_owned(),
            length: whole?,
            joins: joins.into_iter().collect::<Option<_>>()?,
            diameters: diameters.into_iter().collect::<Option<_>>()?,
            parts: parts.into_iter().collect::<Option<_>>()?,
        })
    })();
    if let Some(plan) = &plan {
        if let Err(error) = plan.checked_blank(unit) {
            troubles.push(trouble(Some(&blank_field(&error)), error.to_string()));
        }
        check_parts(plan, &mut troubles);
    }
    (plan, troubles)
}

/// A record carries the unit even where it was taken for granted at the field.
fn with_unit(text: &str, unit: LengthUnit) -> String {
    let text = text.trim();
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '-'));
    match (bare, unit) {
        (false, _) => text.to_owned(),
        (true, LengthUnit::Inch) => format!("{text} in"),
        (true, LengthUnit::Millimetre) => format!("{text} mm"),
    }
}

fn described(part: &PartDraft) -> String {
    let words = part.description.trim();
    if words.is_empty() { show::part_words(part.kind.into()).to_owned() } else { words.to_owned() }
}

fn blank_field(error: &BlankError) -> String {
    match error {
        BlankError::TooFew => "diameters".to_owned(),
        BlankError::NoLength => "length".to_owned(),
        BlankError::NoDiameter { row }
        | BlankError::TooThick { row, .. }
        | BlankError::GrowsTowardsTip { row, .. } => format!("diameters.{row}.diameter"),
        BlankError::BeyondTip { row, .. } | BlankError::NotInOrder { row } => {
            format!("diameters.{row}.fromButt")
        }
        BlankError::JoinOutside { row } => format!("joins.{row}"),
    }
}

fn check_parts(plan: &RodPlan, troubles: &mut Vec<Trouble>) {
    for (n, part) in plan.parts.iter().enumerate() {
        if part.to_mm > plan.length.value {
            let field = format!("parts.{n}.to");
            troubles
                .push(trouble(Some(&field), "This lies beyond the tip of the blank.".to_owned()));
        } else if part.from_mm >= part.to_mm {
            let field = format!("parts.{n}.to");
            let message = "The far end must lie farther from the butt than the near end.";
            troubles.push(trouble(Some(&field), message.to_owned()));
        }
        if part.diameter_mm <= 0.0 {
            let field = format!("parts.{n}.diameter");
            troubles.push(trouble(Some(&field), "A diameter must be more than zero.".to_owned()));
        }
    }
}
