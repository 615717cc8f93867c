//! What is written down of a rod: added to, and put right. What was written stays.

use super::{LINE, PROSE, lead_only, text};
use crate::command::NewChange;
use crate::event::Event;
use crate::ids::{PersonId, RodId};
use crate::layout::{self, LayoutPlan};
use crate::refusal::Refusal;
use crate::rod::{
    DiameterReading, Part, PartBore, PartKind, PartWritten, Reading, RodChange, RodPlan,
};
use crate::state::State;
use coldbench_trade::fit::{FitError, reading_slips};
use coldbench_trade::{LengthUnit, Measure, QuantityError, Units, in_millimetres, parse_length};

/// The same mark written in inches and in millimetres, in mm.
const SAME_PLACE_MM: f64 = 1e-3;

pub(super) fn revise(
    state: &State,
    person: &PersonId,
    rod_id: RodId,
    change: NewChange,
    reason: &str,
    sure: bool,
) -> Result<Vec<Event>, Refusal> {
    let rod = state
        .rods
        .get(&rod_id)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: rod_id.to_string() })?;
    let change = read(state, &rod.plan, change)?;
    let reason = if change.is_correction() {
        if rod.by.as_ref() != Some(person) {
            lead_only(state, person, "put right what another person wrote of a rod")?;
        }
        text("The reason", reason, PROSE)?
    } else if reason.trim().is_empty() {
        String::new()
    } else {
        text("The reason", reason, PROSE)?
    };
    if let RodChange::Diameter { row: None, to } = &change {
        measured_once(&rod.plan, to)?;
    }
    let plan = rod.plan.changed(&change).ok_or(Refusal::Unknown {
        what: "row of this rod",
        id: "that was to be changed".to_owned(),
    })?;
    plan.checked_blank(lengths(state))?;
    if matches!(change, RodChange::Diameter { .. }) && !sure {
        units_agree(&plan)?;
    }
    plan.parts.iter().try_for_each(|part| check_part(&plan, part))?;
    // A fact is never refused for a plan: a layout that no longer fits says so where it is shown.
    if let RodChange::Layout { to } = &change {
        check_layout(state, &plan, to)?;
    }
    Ok(vec![Event::RodRevised { rod: rod_id, change, reason }])
}

/// A layout that is kept can be worked out: every field reads, and the guides are on the rod.
fn check_layout(state: &State, plan: &RodPlan, layout: &LayoutPlan) -> Result<(), Refusal> {
    let units = state.workshop.as_ref().map(|shop| shop.units);
    let units = units.unwrap_or_else(|| Units::usual(LengthUnit::Millimetre));
    let first = |faults: Vec<layout::Fault>| {
        let fault = faults.into_iter().next();
        fault.map_or(Refusal::NoLayout { words: String::new() }, |fault| Refusal::NoLayout {
            words: fault.message,
        })
    };
    let read = layout::read(plan, layout, units).map_err(first)?;
    layout::work_out(plan, &read, units).map(drop).map_err(|words| Refusal::NoLayout { words })
}

/// Readings that seem to mix up inches and millimetres are asked about, never changed.
pub(super) fn units_agree(plan: &RodPlan) -> Result<(), Refusal> {
    match reading_slips(&plan.measured()).into_iter().next() {
        None => Ok(()),
        Some((row, slip)) => {
            let at = plan.diameters.get(row).map(|row| row.from_butt.text.clone());
            Err(Refusal::MixedUnits { at: at.unwrap_or_default(), words: slip.to_string() })
        }
    }
}

/// Whether a part lies on the blank, and its bore leaves something of it.
pub(super) fn check_part(plan: &RodPlan, part: &Part) -> Result<(), Refusal> {
    let lies_on_blank = part.from_mm >= 0.0
        && part.from_mm < part.to_mm
        && part.to_mm <= plan.length.value
        && part.diameter_mm > 0.0
        && part.diameter_mm.is_finite()
        && part
            .thinnest
            .as_ref()
            .is_none_or(|thin| thin.value > 0.0 && thin.value <= part.diameter_mm);
    if !lies_on_blank {
        return Err(Refusal::BadPart { part: part.description.clone() });
    }
    match part.fitted() {
        None => Ok(()),
        Some(fitted) => {
            fitted.and_then(|fitted| fitted.check()).map_err(|error| unfit(part, error))
        }
    }
}

fn unfit(part: &Part, error: FitError) -> Refusal {
    Refusal::Unfit { part: part.description.clone(), error }
}

fn measured_once(plan: &RodPlan, to: &DiameterReading) -> Result<(), Refusal> {
    let there = plan
        .diameters
        .iter()
        .find(|row| (row.from_butt.value - to.from_butt.value).abs() <= SAME_PLACE_MM);
    match there {
        None => Ok(()),
        Some(row) => Err(Refusal::MeasuredTwice {
            at: row.from_butt.text.clone(),
            is: row.diameter.text.clone(),
            now: to.diameter.text.clone(),
        }),
    }
}

fn lengths(state: &State) -> LengthUnit {
    state.workshop.as_ref().map_or(LengthUnit::Millimetre, |shop| shop.lengths)
}

fn read(state: &State, plan: &RodPlan, change: NewChange) -> Result<RodChange, Refusal> {
    let units = state.workshop.as_ref().map(|shop| shop.units);
    let distance = units.map_or(LengthUnit::Millimetre, |units| units.distances.unit());
    let diameter = units.map_or(LengthUnit::Millimetre, |units| units.diameters.unit());
    let place = |what: &str, written: &str| reading(what, written, distance);
    let across = |what: &str, written: &str| reading(what, written, diameter);
    Ok(match change {
        NewChange::Blank { length, joins } => {
            let mut joins: Vec<Reading> = joins
                .iter()
                .filter(|join| !join.trim().is_empty())
                .map(|join| place("Join", join))
                .collect::<Result<_, _>>()?;
            joins.sort_by(|a, b| a.value.total_cmp(&b.value));
            RodChange::Blank { length: place("Length", &length)?, joins }
        }
        NewChange::Grip(to) => RodChange::Grip { to },
        NewChange::Diameter { row, from_butt, diameter } => RodChange::Diameter {
            row,
            to: DiameterReading {
                from_butt: place("From the butt", &from_butt)?,
                diameter: across("Diameter", &diameter)?,
            },
        },
        NewChange::Layout(layout) => {
            let mut layout = written(*layout, units);
            // A load test from before a cut stays one.
            let before = plan.layout.as_ref().filter(|before| before.same_test(&layout));
            layout.tested = before.and_then(|before| before.tested.clone());
            RodChange::Layout { to: Box::new(layout) }
        }
        NewChange::Cut { tip, butt } => {
            let off = |what: &str, text: &str| match text.trim() {
                "" => place(what, "0"),
                text => place(what, text),
            };
            let (tip, butt) = (off("Off the tip", &tip)?, off("Off the butt", &butt)?);
            if tip.value + butt.value <= 0.0 {
                return Err(Refusal::NothingCut);
            }
            if tip.value + butt.value >= plan.length.value {
                return Err(Refusal::CutTooLong { length: plan.length.text.clone() });
            }
            RodChange::Cut { tip, butt }
        }
        NewChange::Bore { part, butt, tip } => {
            RodChange::Bore { part, to: bore(&butt, &tip, diameter)? }
        }
        NewChange::Part { row, kind, description, from, to, diameter, thinnest } => {
            let (from, to) = (place("Near end", &from)?, place("Far end", &to)?);
            let thick = across("Thickest", &diameter)?;
            let thinnest = match thinnest.trim() {
                "" => None,
                written => Some(across("Thinnest", written)?),
            };
            let description = if description.trim().is_empty() {
                named(kind)
            } else {
                text("What the part is", &description, LINE)?
            };
            // The bore stays with the part when its place is put right.
            let bore = row.and_then(|row| plan.parts.get(row)).and_then(|part| part.bore.clone());
            RodChange::Part {
                row,
                to: Part {
                    kind,
                    description,
                    from_mm: from.value,
                    to_mm: to.value,
                    diameter_mm: thick.value,
                    thinnest,
                    bore,
                    written: Some(PartWritten {
                        from: from.text,
                        to: to.text,
                        diameter: thick.text,
                    }),
                },
            }
        }
    })
}

/// A layout with the unit beside every number that was typed without one.
fn written(mut layout: LayoutPlan, units: Option<Units>) -> LayoutPlan {
    let units = units.unwrap_or_else(|| Units::usual(LengthUnit::Millimetre));
    let (along, across) = (units.distances.unit(), units.diameters.unit());
    let with = |text: &mut String, measure: Measure, unit: LengthUnit| {
        if !text.trim().is_empty() {
            *text = measure.with_unit(text, unit);
        }
    };
    let small = LengthUnit::Millimetre;
    with(&mut layout.wall, Measure::Length, across);
    with(&mut layout.reel_height, Measure::Length, across);
    with(&mut layout.tip_height, Measure::Length, across);
    with(&mut layout.least_clearance, Measure::Length, across);
    with(&mut layout.reel_from_butt, Measure::Length, along);
    for text in [&mut layout.weight, &mut layout.test_hang, &mut layout.hang, &mut layout.tip_mass]
    {
        with(text, Measure::Mass, small);
    }
    for text in [&mut layout.test_held, &mut layout.held] {
        with(text, Measure::Angle, small);
    }
    with(&mut layout.ferrule, Measure::Percent, small);
    for mark in &mut layout.marks {
        with(&mut mark.from_butt, Measure::Length, along);
        with(&mut mark.drop, Measure::Length, along);
    }
    for guide in &mut layout.guides {
        with(&mut guide.from_tip, Measure::Length, along);
        with(&mut guide.ring, Measure::Length, small);
        with(&mut guide.height, Measure::Length, across);
        with(&mut guide.mass, Measure::Mass, small);
        with(&mut guide.turned, Measure::Angle, small);
    }
    layout
}

fn named(kind: PartKind) -> String {
    let words = kind.words();
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn bore(butt: &str, tip: &str, unit: LengthUnit) -> Result<PartBore, Refusal> {
    let butt = reading("Bore at the butt end", butt, unit)?;
    let tip =
        if tip.trim().is_empty() { None } else { Some(reading("Bore at the tip end", tip, unit)?) };
    Ok(PartBore { butt, tip })
}

/// A length as written, with the unit that was taken for granted.
fn reading(what: &str, written: &str, unit: LengthUnit) -> Result<Reading, Refusal> {
    let length = parse_length(written, unit).map_err(|error| Refusal::BadValue {
        field: what.to_owned(),
        error: QuantityError::from(error),
    })?;
    Ok(Reading { text: Measure::Length.with_unit(written, unit), value: in_millimetres(length) })
}
