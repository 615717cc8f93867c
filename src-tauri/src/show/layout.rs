//! How the blank bends and where its guides stand, for the screen.

use super::rod::{find, units};
use crate::views::{
    BentRingView, BentView, DrawnGuide, GuideDraft, GuideLine, LayoutDraft, LayoutView,
    SpacingDraft, SpiralWord, TrimView, Trouble,
};
use crate::workshop::Workshop;
use coldbench_shop::layout::{self, Fault, LayoutPlan, WorkedLayout};
use coldbench_shop::{PartKind, Refusal, Rod, RodId, RodPlan};
use coldbench_trade::spine::BENDING_CAUTION;
use coldbench_trade::{Units, in_millimetres, millimetres, parse_length};

/// What is kept of a rod's layout, worked out; where nothing is, a beginning.
pub fn layout(workshop: &Workshop, id: &RodId) -> Result<LayoutView, Refusal> {
    let rod = find(workshop.state(), id)?;
    let draft = match &rod.plan.layout {
        Some(kept) => LayoutDraft::from(&**kept),
        None => beginning(&rod.plan, units(workshop)),
    };
    try_layout(workshop, id, draft)
}

/// A draft, worked out.
pub fn try_layout(
    workshop: &Workshop,
    id: &RodId,
    draft: LayoutDraft,
) -> Result<LayoutView, Refusal> {
    let rod = find(workshop.state(), id)?;
    Ok(view(rod, draft, units(workshop)))
}

/// A draft with its guides spaced anew.
pub fn space_guides(
    workshop: &Workshop,
    id: &RodId,
    draft: LayoutDraft,
    spacing: SpacingDraft,
) -> Result<LayoutView, Refusal> {
    let (rod, units) = (find(workshop.state(), id)?, units(workshop));
    let plan = as_kept(rod, draft.clone());
    Ok(match layout::spaced(&rod.plan, &plan, &spacing.into(), units) {
        Ok((moved, told)) => {
            LayoutView { told: Some(told), ..view(rod, LayoutDraft::from(&moved), units) }
        }
        Err(fault) => {
            let mut view = view(rod, draft, units);
            view.troubles.push(trouble(fault));
            view
        }
    })
}

/// A draft with its guides moved for the better.
pub fn improve_layout(
    workshop: &Workshop,
    id: &RodId,
    draft: LayoutDraft,
) -> Result<LayoutView, Refusal> {
    let (rod, units) = (find(workshop.state(), id)?, units(workshop));
    let plan = as_kept(rod, draft.clone());
    Ok(match layout::improved(&rod.plan, &plan, units) {
        Ok((moved, told)) => {
            LayoutView { told: Some(told), ..view(rod, LayoutDraft::from(&moved), units) }
        }
        Err(words) => LayoutView { told: Some(words), ..view(rod, draft, units) },
    })
}

/// What cutting so much off would do.
pub fn try_trim(
    workshop: &Workshop,
    id: &RodId,
    draft: LayoutDraft,
    tip: &str,
    butt: &str,
) -> Result<TrimView, Refusal> {
    let (rod, units) = (find(workshop.state(), id)?, units(workshop));
    let mut troubles = Vec::new();
    let mut off = |field: &str, text: &str| {
        if text.trim().is_empty() {
            return millimetres(0.0);
        }
        parse_length(text, units.distances.unit()).unwrap_or_else(|error| {
            let (field, message) = (field.to_owned(), error.to_string());
            troubles.push(trouble(Fault { field, message }));
            millimetres(0.0)
        })
    };
    let (tip, butt) = (off("trim.tip", tip), off("trim.butt", butt));
    let nothing = |troubles, missing| TrimView {
        troubles,
        missing,
        rows: Vec::new(),
        before: Vec::new(),
        after: Vec::new(),
        warnings: Vec::new(),
    };
    let read = match layout::read(&rod.plan, &as_kept(rod, draft), units) {
        Ok(read) => read,
        Err(faults) => {
            troubles.extend(faults.into_iter().map(trouble));
            return Ok(nothing(troubles, None));
        }
    };
    if !troubles.is_empty() {
        return Ok(nothing(troubles, None));
    }
    Ok(match layout::trimmed(&read, tip, butt, units) {
        Ok(figures) => TrimView {
            troubles,
            missing: None,
            rows: figures.rows,
            before: figures.before,
            after: figures.after,
            warnings: figures.warnings,
        },
        Err(words) => nothing(troubles, Some(words)),
    })
}

/// A draft with what the kept layout knows besides: a load test from before a cut stays one.
fn as_kept(rod: &Rod, draft: LayoutDraft) -> LayoutPlan {
    let mut plan = LayoutPlan::from(draft);
    let kept = rod.plan.layout.as_ref().filter(|kept| kept.same_test(&plan));
    plan.tested = kept.and_then(|kept| kept.tested.clone());
    plan
}

fn trouble(fault: Fault) -> Trouble {
    Trouble {
        code: "bad-input".to_owned(),
        message: fault.message,
        field: Some(camel(&fault.field)),
    }
}

/// `guides.2.from-tip` as the screen has it: `guides.2.fromTip`.
fn camel(field: &str) -> String {
    let mut up = false;
    let letter = |letter: char| {
        if letter == '-' {
            up = true;
            return None;
        }
        let shown = if up { letter.to_ascii_uppercase() } else { letter };
        up = false;
        Some(shown)
    };
    field.chars().filter_map(letter).collect()
}

/// What a builder begins with: guides of no weight yet, the reel where the seat is. House values,
/// each to be written over.
fn beginning(plan: &RodPlan, units: Units) -> LayoutDraft {
    let seat = plan
        .part(PartKind::ReelSeat)
        .map_or(plan.length.value * 0.15, |part| f64::midpoint(part.from_mm, part.to_mm));
    let draft = LayoutDraft {
        wall: String::new(),
        modulus: String::new(),
        weight: String::new(),
        ferrule: String::new(),
        test_hang: String::new(),
        test_held: String::new(),
        marks: Vec::new(),
        hang: "500 g".to_owned(),
        held: String::new(),
        reel_from_butt: units.distance(millimetres(seat)),
        reel_height: units.diameter(millimetres(30.0)),
        tip_height: units.diameter(millimetres(6.0)),
        tip_mass: String::new(),
        guides: Vec::new(),
        spiral: SpiralWord::None,
        least_clearance: String::new(),
    };
    let first = plan.length.value * 0.55;
    let spacing = SpacingDraft {
        count: String::new(),
        first: units.distance(millimetres(plan.length.value - first)),
        tip_gap: String::new(),
        spool: String::new(),
    };
    let spaced = layout::spaced(plan, &draft.clone().into(), &spacing.into(), units);
    spaced.map_or(draft, |(plan, _)| {
        let mut draft = LayoutDraft::from(&plan);
        let last = draft.guides.len().saturating_sub(1);
        for (n, guide) in draft.guides.iter_mut().enumerate() {
            let share = if last == 0 { 0.0 } else { count(n) / count(last) };
            // Rings widen towards the reel; to be written over by what is at hand.
            let (size, height) = (6.0 + (14.0 * share * share).round(), 9.0 + 21.0 * share * share);
            *guide = GuideDraft {
                ring: format!("{size:.0} mm"),
                height: units.diameter(millimetres(height)),
                mass: "0.5 g".to_owned(),
                ..guide.clone()
            };
        }
        draft
    })
}

fn count(number: usize) -> f64 {
    u32::try_from(number).map_or(f64::INFINITY, f64::from)
}

fn view(rod: &Rod, draft: LayoutDraft, units: Units) -> LayoutView {
    let plan = as_kept(rod, draft.clone());
    let kept = rod.plan.layout.as_deref() == Some(&plan);
    let mut view = LayoutView {
        draft,
        kept,
        rod_title: rod.plan.title.clone(),
        troubles: Vec::new(),
        missing: None,
        bent: None,
        rows: Vec::new(),
        facts: Vec::new(),
        fitted: Vec::new(),
        warnings: Vec::new(),
        caution: BENDING_CAUTION.to_owned(),
        source: layout::SOURCE.to_owned(),
        told: None,
    };
    match layout::read(&rod.plan, &plan, units) {
        Err(faults) => view.troubles = faults.into_iter().map(trouble).collect(),
        Ok(read) => match layout::work_out(&rod.plan, &read, units) {
            Err(words) => view.missing = Some(words),
            Ok(worked) => fill(&mut view, &rod.plan, worked),
        },
    }
    view
}

fn fill(view: &mut LayoutView, plan: &RodPlan, worked: WorkedLayout) {
    let pairs = |rows: Vec<coldbench_shop::figure::FigureRow>| {
        rows.into_iter().map(|row| (row.label, row.value)).collect()
    };
    let number = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    view.rows = worked
        .rows
        .into_iter()
        .map(|row| GuideLine {
            number: number(row.number),
            from_tip: row.from_tip,
            from_butt: row.from_butt,
            gap: row.gap,
            load: row.load,
            turn: row.turn,
            clearance: row.clearance,
            tight: row.tight,
        })
        .collect();
    view.facts = pairs(worked.facts);
    view.fitted = pairs(worked.fitted);
    view.warnings = worked.warnings;
    let outline = |row: &coldbench_shop::DiameterReading| (row.from_butt.value, row.diameter.value);
    view.bent = Some(BentView {
        length_mm: worked.rod.length_mm,
        straight: worked.rod.straight,
        axis: worked.rod.axis,
        outline: plan.diameters.iter().map(outline).collect(),
        rings: worked
            .rod
            .rings
            .into_iter()
            .map(|ring| BentRingView {
                number: ring.number.map(number),
                from_butt_mm: ring.from_butt_mm,
                height_mm: ring.height_mm,
                foot: ring.foot,
                ring: ring.ring,
                clearance: ring.number.is_some().then_some(ring.clearance),
                tight: ring.tight,
            })
            .collect(),
        load: worked.rod.load,
        pull: (0.0, 1.0),
    });
}

/// The guides of a kept layout on the rod's drawing.
pub(super) fn drawn_guides(plan: &RodPlan, units: Units) -> Vec<DrawnGuide> {
    let Some(kept) = plan.layout.as_deref() else { return Vec::new() };
    let Ok(read) = layout::read(plan, kept, units) else { return Vec::new() };
    let Some(line) = read.loads().line else { return Vec::new() };
    let guide = |guide: &coldbench_trade::bend::Guide| DrawnGuide {
        from_butt_mm: in_millimetres(guide.from_butt),
        height_mm: in_millimetres(guide.height),
    };
    line.guides.iter().map(guide).collect()
}
