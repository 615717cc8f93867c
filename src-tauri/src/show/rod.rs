//! A rod: its sheet, its drawing, where its stages stand.

use super::layout::drawn_guides;
use super::{marked, near, time};
use crate::views::{
    ClockView, Drawing, DrawnPart, OutlinePoint, PartDrawn, PartLine, RevisionLine, RodLine,
    RodView, StageLine, StandingWord,
};
use crate::workshop::Workshop;
use coldbench_shop::checklist::Stage;
use coldbench_shop::cure::{self, Ready};
use coldbench_shop::{
    ClockId, Moment, Part, PartKind, PartWritten, Position, Refusal, Rod, RodId, RodPlan, StageRun,
    StageStanding, State, Wait, span, standing,
};
use coldbench_trade::{LengthUnit, Units, millimetres};

/// The blank and its parts as planned, everything to come.
pub fn plain_drawing(plan: &RodPlan, units: Units) -> Drawing {
    Drawing {
        length_mm: plan.length.value,
        length: units.distance(millimetres(plan.length.value)),
        joins_mm: plan.joins.iter().map(|join| join.value).collect(),
        outline: plan
            .diameters
            .iter()
            .map(|row| OutlinePoint {
                from_butt_mm: row.from_butt.value,
                diameter_mm: row.diameter.value,
                diameter: units.diameter(millimetres(row.diameter.value)),
            })
            .collect(),
        parts: plan
            .parts
            .iter()
            .map(|part| DrawnPart {
                kind: part.kind.into(),
                label: part.description.clone(),
                from_mm: part.from_mm,
                to_mm: part.to_mm,
                diameter_mm: part.diameter_mm,
                drawn: PartDrawn::ToCome,
                stage: None,
                clock: None,
            })
            .collect(),
        guides: drawn_guides(plan, units),
    }
}

/// A clock of a stage as it crosses, by its id: that of a cure is over when the bond has cured so far.
pub(super) fn clock(
    state: &State,
    rod: (&RodId, &Rod),
    run: &StageRun,
    id: &ClockId,
    now: Moment,
) -> Option<ClockView> {
    let found = run.clocks.get(id)?;
    let text = state.stage_text(&run.digest);
    let wait = text.and_then(|text| cure::wait(state, run, text, id, now));
    let (clock, until) = wait.unwrap_or_else(|| (found.clone(), Ready::At(found.runs_out())));
    Some(waiting(&Wait { clock, until }, rod, run.id.as_str(), now))
}

/// A wait as it crosses.
fn waiting(wait: &Wait, rod: (&RodId, &Rod), stage: &str, now: Moment) -> ClockView {
    let Wait { clock, until } = wait;
    let (runs_out, stalled) = match until {
        Ready::At(at) => (*at, None),
        Ready::Never(celsius) => (clock.runs_out(), Some(too_cold(*celsius))),
    };
    ClockView {
        name: clock.name.clone(),
        kind: clock.kind.into(),
        started: time(clock.started.at),
        runs_out: time(runs_out),
        minutes: clock.minutes,
        over: stalled.is_none() && runs_out <= now,
        stalled,
        rod: rod.0.to_string(),
        rod_title: rod.1.plan.title.clone(),
        stage: stage.to_owned(),
    }
}

/// Every stage that the library has for a rod or that was begun on it, what is needed first.
pub fn stages_of<'a>(workshop: &'a Workshop, rod: &'a Rod) -> Vec<(&'a Stage, StageStanding)> {
    let (state, library) = (workshop.state(), workshop.library());
    let now = workshop.now();
    let mut stages: Vec<(&Stage, StageStanding)> = Vec::new();
    // What was begun by a file that is gone since is still part of the rod.
    let gone = rod
        .stages
        .iter()
        .filter(|run| library.stage(&run.id).is_none())
        .filter_map(|run| state.stage_text(&run.digest));
    for stage in gone.chain(library.stages().iter().map(|signed| &signed.list)) {
        let shown = match rod.stage(&stage.id) {
            Some(run) => state.stage_text(&run.digest).unwrap_or(stage),
            None => stage,
        };
        stages.push((shown, standing(state, library, rod, stage, now)));
    }
    stages
}

fn standing_word(standing: &StageStanding) -> StandingWord {
    match standing {
        StageStanding::NotApplicable(_) => StandingWord::NotApplicable,
        StageStanding::Waits { .. } => StandingWord::Waits,
        StageStanding::Ready => StandingWord::Ready,
        StageStanding::InHand { wait: Some(_), .. } => StandingWord::Curing,
        StageStanding::InHand { wait: None, .. } => StandingWord::InHand,
        StageStanding::Done => StandingWord::Done,
    }
}

fn title(workshop: &Workshop, id: &coldbench_shop::StageId) -> String {
    workshop.library().stage(id).map_or_else(|| id.to_string(), |stage| stage.list.title.clone())
}

fn too_cold(celsius: f64) -> String {
    format!("It does not cure at {celsius:.0} °C, which was read last: warm the room.")
}

/// Until when a stage waits, where only time is waited for.
fn until_of(standing: &StageStanding) -> Option<Moment> {
    match standing {
        StageStanding::InHand { wait: Some(Wait { until: Ready::At(at), .. }), .. }
        | StageStanding::Waits { until: Some(Ready::At(at)), .. } => Some(*at),
        _ => None,
    }
}

fn standing_words(
    workshop: &Workshop,
    rod: &Rod,
    stage: &Stage,
    standing: &StageStanding,
) -> String {
    let now = workshop.now();
    match standing {
        StageStanding::NotApplicable(why) => why.clone(),
        // The standing itself says it all.
        StageStanding::Ready => String::new(),
        StageStanding::Waits { needs, until } => {
            let titles: Vec<String> = needs.iter().map(|need| title(workshop, need)).collect();
            let after = format!("Comes after: {}", titles.join(", "));
            match until {
                None => format!("{after}."),
                Some(Ready::At(at)) => {
                    format!("{after}; not before {} ({} left).", near(*at, now), span(*at - now))
                }
                Some(Ready::Never(celsius)) => format!("{after}. {}", too_cold(*celsius)),
            }
        }
        StageStanding::InHand { done, of, wait: None } => {
            format!("{done} of {of} steps done.")
        }
        StageStanding::InHand { wait: Some(Wait { clock, until: Ready::At(at) }), .. } => {
            format!("{} until {} ({} left).", clock.name, near(*at, now), span(*at - now))
        }
        StageStanding::InHand {
            wait: Some(Wait { clock, until: Ready::Never(celsius) }), ..
        } => {
            format!("{}: {}", clock.name, too_cold(*celsius))
        }
        StageStanding::Done => rod
            .stage(&stage.id)
            .and_then(|run| run.finished)
            .map_or_else(String::new, |at| format!("{}.", near(at, now))),
    }
}

fn applies(standing: &StageStanding) -> bool {
    !matches!(standing, StageStanding::NotApplicable(_))
}

/// The rod drawn as it stands.
pub(super) fn drawing(workshop: &Workshop, id: &RodId, rod: &Rod) -> Drawing {
    let mut drawing = plain_drawing(&rod.plan, units(workshop));
    let stages = stages_of(workshop, rod);
    for part in &mut drawing.parts {
        let kind: PartKind = part.kind.into();
        let Some((stage, standing)) =
            stages.iter().find(|(stage, standing)| stage.part == Some(kind) && applies(standing))
        else {
            continue;
        };
        part.stage = Some(stage.id.to_string());
        part.drawn = match standing {
            StageStanding::Done => PartDrawn::Done,
            StageStanding::InHand { wait: Some(wait), .. } => {
                part.clock = Some(waiting(wait, (id, rod), stage.id.as_str(), workshop.now()));
                PartDrawn::Curing
            }
            StageStanding::InHand { .. } => PartDrawn::InHand,
            _ => PartDrawn::ToCome,
        };
    }
    drawing
}

/// A rod with everything on its sheet.
pub fn rod(workshop: &Workshop, id: &RodId) -> Result<RodView, Refusal> {
    let found = find(workshop.state(), id)?;
    let plan = &found.plan;
    Ok(RodView {
        id: id.to_string(),
        title: plan.title.clone(),
        customer: plan.customer.clone(),
        wishes: plan.wishes.clone(),
        reel: plan.reel.into(),
        grip: plan.grip.into(),
        blank: plan.blank.clone(),
        length: plan.length.text.clone(),
        joins: plan.joins.iter().map(|join| join.text.clone()).collect(),
        diameters: plan
            .diameters
            .iter()
            .map(|row| (row.from_butt.text.clone(), row.diameter.text.clone()))
            .collect(),
        parts: plan.parts.iter().map(part_line).collect(),
        assembly: (!plan.parts.is_empty())
            .then(|| coldbench_shop::figure::assembly(found, units(workshop)))
            .and_then(Result::ok)
            .map(|order| super::figure::figure(&order)),
        revisions: found
            .revisions
            .iter()
            .map(|revised| RevisionLine {
                was: revised.was.clone(),
                now: revised.now.clone(),
                reason: revised.reason.clone(),
                signed: marked(workshop.state(), &revised.mark, workshop.now()),
            })
            .collect(),
        begun: time(found.begun),
        drawing: drawing(workshop, id, found),
        stages: stages_of(workshop, found)
            .iter()
            .map(|(stage, standing)| stage_line(workshop, found, stage, standing))
            .collect(),
    })
}

/// Units in which figures are shown.
pub fn units(workshop: &Workshop) -> Units {
    let shop = workshop.state().workshop.as_ref();
    shop.map_or_else(|| Units::usual(LengthUnit::Millimetre), |shop| shop.units)
}

fn part_line(part: &Part) -> PartLine {
    let mm = |value: f64| format!("{value} mm");
    let written = part.written.clone().unwrap_or_else(|| PartWritten {
        from: mm(part.from_mm),
        to: mm(part.to_mm),
        diameter: mm(part.diameter_mm),
    });
    let bore = part.bore.as_ref();
    PartLine {
        kind: part.kind.into(),
        description: part.description.clone(),
        from: written.from,
        to: written.to,
        diameter: written.diameter,
        thinnest: part.thinnest.as_ref().map_or_else(String::new, |thin| thin.text.clone()),
        bored: part.kind.is_bored(),
        bore_butt: bore.map_or_else(String::new, |bore| bore.butt.text.clone()),
        bore_tip: bore
            .and_then(|bore| bore.tip.as_ref())
            .map_or_else(String::new, |tip| tip.text.clone()),
    }
}

pub(super) fn find<'a>(state: &'a State, id: &RodId) -> Result<&'a Rod, Refusal> {
    state.rods.get(id).ok_or_else(|| Refusal::Unknown { what: "rod", id: id.to_string() })
}

fn stage_line(
    workshop: &Workshop,
    rod: &Rod,
    stage: &Stage,
    standing: &StageStanding,
) -> StageLine {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let done = match standing {
        StageStanding::InHand { done, .. } => *done,
        StageStanding::Done => stage.steps.len(),
        _ => 0,
    };
    StageLine {
        id: stage.id.to_string(),
        title: stage.title.clone(),
        aim: stage.aim.clone(),
        standing: standing_word(standing),
        words: standing_words(workshop, rod, stage, standing),
        until: until_of(standing).map(time),
        done: count(done),
        of: count(stage.steps.len()),
        heat: stage.uses_heat(),
        left_out: rod.left_out.contains_key(&stage.id),
    }
}

/// A rod as one line of the rack, with how soon something can be done on it.
pub(super) fn line(workshop: &Workshop, id: &RodId, rod: &Rod) -> (Urgency, RodLine) {
    let stages = stages_of(workshop, rod);
    let (urgency, next) = next(workshop, rod, &stages);
    let line = RodLine {
        id: id.to_string(),
        title: rod.plan.title.clone(),
        customer: rod.plan.customer.clone(),
        drawing: drawing(workshop, id, rod),
        next,
        can_do_now: matches!(urgency, Urgency::InHand | Urgency::Ready),
        all_done: urgency == Urgency::AllDone,
    };
    (urgency, line)
}

/// What comes first on the rack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Urgency {
    /// A step can be signed.
    InHand,
    /// A stage can be begun.
    Ready,
    /// A clock has to run out, at this time.
    Waits(Option<Moment>),
    /// Nothing is left to do.
    AllDone,
}

fn next(workshop: &Workshop, rod: &Rod, stages: &[(&Stage, StageStanding)]) -> (Urgency, String) {
    for (stage, standing) in stages {
        if let StageStanding::InHand { done, of, wait: None } = standing {
            let step = rod.stage(&stage.id).and_then(|run| step_words(workshop, run));
            let words = step.unwrap_or_default();
            let words = format!("{}: step {} of {of}. {words}", stage.title, done + 1);
            return (Urgency::InHand, words);
        }
    }
    if let Some((stage, _)) = stages.iter().find(|(_, standing)| *standing == StageStanding::Ready)
    {
        return (Urgency::Ready, format!("Begin: {}.", stage.title));
    }
    let waits = stages.iter().filter_map(|(stage, standing)| match standing {
        StageStanding::InHand { wait: Some(_), .. }
        | StageStanding::Waits { until: Some(_), .. } => {
            Some((until_of(standing), stage, standing))
        }
        _ => None,
    });
    // What has no end yet, because the room is too cold, comes last.
    let soonest = waits.min_by_key(|(until, _, _)| (until.is_none(), *until));
    if let Some((until, stage, standing)) = soonest {
        let words = standing_words(workshop, rod, stage, standing);
        let words = match standing {
            StageStanding::Waits { .. } => format!("{}: {words}", stage.title),
            _ => words,
        };
        return (Urgency::Waits(until), words);
    }
    if stages.iter().any(|(_, standing)| matches!(standing, StageStanding::Waits { .. })) {
        return (Urgency::Waits(None), "Waits for a stage that can't be begun.".to_owned());
    }
    if stages.iter().any(|(_, standing)| applies(standing)) {
        (Urgency::AllDone, "Every stage is done. Print the build log.".to_owned())
    } else {
        (Urgency::Waits(None), "No checklist can be used. Look at the findings below.".to_owned())
    }
}

fn step_words(workshop: &Workshop, run: &StageRun) -> Option<String> {
    let stage = workshop.state().stage_text(&run.digest)?;
    match run.position(stage, &workshop.state().crew) {
        Position::Step(_, step) => Some(step.what.clone()),
        Position::Witness(_, step) => Some(format!("A lead witnesses: {}", step.what)),
        Position::Finished => None,
    }
}
