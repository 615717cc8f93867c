//! A rod as it is being written down: from what was typed to a plan, each fault at its field.

use crate::error::ShellError;
use crate::show;
use crate::views::{DraftView, PartDraft, RodDraft, Trouble};
use coldbench_shop::{
    Command, DiameterReading, Part, PartBore, PartWritten, Reading, Refusal, RodPlan,
};
use coldbench_trade::{BlankError, LengthUnit, Measure, in_millimetres, parse_length};

use crate::workshop::Workshop;

/// What is wrong with a draft, and the rod drawn once its measurements make a blank.
pub fn check(workshop: &Workshop, draft: &RodDraft) -> DraftView {
    let (plan, mut troubles) = read(workshop, draft);
    let drawing = plan.as_ref().and_then(|plan| {
        plan.checked_blank(lengths(workshop))
            .ok()
            .map(|_| show::plain_drawing(plan, show::units(workshop)))
    });
    if troubles.is_empty()
        && let Some(plan) = plan
        && let Err(refusal) = workshop.would(Command::BeginRod(Box::new(plan.clone())))
    {
        troubles.push(refused(&plan, &refusal));
    }
    DraftView { troubles, drawing }
}

/// What the rules say of the rod as a whole, at the field it is about where it is about one.
fn refused(plan: &RodPlan, refusal: &Refusal) -> Trouble {
    let field = match refusal {
        Refusal::MixedUnits { at, .. } => plan
            .diameters
            .iter()
            .position(|row| &row.from_butt.text == at)
            .map(|row| format!("diameters.{row}.diameter")),
        Refusal::Unfit { part, .. } | Refusal::BadPart { part } => plan
            .parts
            .iter()
            .position(|known| &known.description == part)
            .map(|row| format!("parts.{row}.boreButt")),
        _ => None,
    };
    Trouble { code: refusal.code().to_owned(), message: refusal.to_string(), field }
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
    let shop = workshop.state().workshop.as_ref();
    let across = lengths(workshop);
    let along = shop.map_or(LengthUnit::Millimetre, |shop| shop.units.distances.unit());
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
    let mut length = |field: &str, text: &str, unit: LengthUnit| match parse_length(text, unit) {
        Ok(length) => Some(Reading {
            // A record carries the unit even where it was taken for granted at the field.
            text: Measure::Length.with_unit(text, unit),
            value: in_millimetres(length),
        }),
        Err(error) => {
            troubles.push(trouble(Some(field), error.to_string()));
            None
        }
    };
    let whole = length("length", &draft.length, along);
    let joins: Vec<Option<Reading>> = draft
        .joins
        .iter()
        .enumerate()
        .map(|(n, text)| length(&format!("joins.{n}"), text, along))
        .collect();
    let diameters: Vec<Option<DiameterReading>> = draft
        .diameters
        .iter()
        .enumerate()
        .map(|(n, row)| {
            let from_butt = length(&format!("diameters.{n}.fromButt"), &row.from_butt, along);
            let diameter = length(&format!("diameters.{n}.diameter"), &row.diameter, across);
            Some(DiameterReading { from_butt: from_butt?, diameter: diameter? })
        })
        .collect();
    let parts: Vec<Option<Part>> = draft
        .parts
        .iter()
        .enumerate()
        .map(|(n, part)| {
            let from = length(&format!("parts.{n}.from"), &part.from, along);
            let to = length(&format!("parts.{n}.to"), &part.to, along);
            let diameter = length(&format!("parts.{n}.diameter"), &part.diameter, across);
            // These may be left out; then there are no figures for them yet.
            let mut maybe = |end: &str, text: &str| match text.trim() {
                "" => Some(None),
                _ => length(&format!("parts.{n}.{end}"), text, across).map(Some),
            };
            let thinnest = maybe("thinnest", &part.thinnest);
            let (butt, tip) =
                (maybe("boreButt", &part.bore_butt), maybe("boreTip", &part.bore_tip));
            let (from, to, diameter) = (from?, to?, diameter?);
            Some(Part {
                kind: part.kind.into(),
                description: described(part),
                from_mm: from.value,
                to_mm: to.value,
                diameter_mm: diameter.value,
                thinnest: thinnest?,
                bore: match (butt?, tip?) {
                    (None, None) => None,
                    (Some(butt), tip) => Some(PartBore { butt, tip }),
                    // Only the tip end was measured: straight, as far as anyone knows.
                    (None, Some(tip)) => Some(PartBore { butt: tip, tip: None }),
                },
                written: Some(PartWritten {
                    from: from.text,
                    to: to.text,
                    diameter: diameter.text,
                }),
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
            layout: None,
            sure: draft.sure,
        })
    })();
    if let Some(plan) = &plan {
        if let Err(error) = plan.checked_blank(across) {
            troubles.push(trouble(Some(&blank_field(&error)), error.to_string()));
        }
        check_parts(plan, &mut troubles);
    }
    (plan, troubles)
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
