//! Rods, stages, steps.

use super::revise::{check_part, units_agree};
use super::{LINE, PROSE, known, lead_only, next, own_text, teach, text, withdraw_room};
use crate::checklist::{ClockKind, ClockStart, CureNeed, Record, Stage, Step, ToBegin};
use crate::crew::Role;
use crate::cure::{self, Ready};
use crate::event::{Event, Moment, StepPlace, WithdrawalCause};
use crate::figure::{self, KeptFigure};
use crate::gate::{heat_gate, lead_beside};
use crate::ids::{ClearanceId, PersonId, RodId, StageId, StationId};
use crate::library::stage_is_satisfied;
use crate::refusal::Refusal;
use crate::rod::{Reading, RodPlan};
use crate::run::{Position, StageRun, StepRun, Value};
use crate::state::{Rod, State};
use crate::words;
use coldbench_trade::{LengthUnit, parse_measure, unit_written};

pub(super) fn begin_rod(state: &State, plan: RodPlan) -> Result<Vec<Event>, Refusal> {
    let lengths = state.workshop.as_ref().map_or(LengthUnit::Millimetre, |w| w.lengths);
    plan.checked_blank(lengths)?;
    let plan = RodPlan {
        title: text("What the rod is called", &plan.title, LINE)?,
        customer: text("The customer", &plan.customer, LINE)?,
        blank: text("The blank", &plan.blank, LINE)?,
        wishes: if plan.wishes.trim().is_empty() {
            String::new()
        } else {
            text("What the customer asked", &plan.wishes, PROSE)?
        },
        ..plan
    };
    plan.parts.iter().try_for_each(|part| check_part(&plan, part))?;
    if !plan.sure {
        units_agree(&plan)?;
    }
    let rod = RodId::new(next("R", state.rods.keys().map(RodId::as_str)));
    Ok(vec![Event::RodBegun { rod, plan }])
}

pub(super) fn begin_stage(
    state: &State,
    rod_id: RodId,
    ready: ToBegin,
    at: StationId,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let rod = state
        .rods
        .get(&rod_id)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: rod_id.to_string() })?;
    let station = state
        .stations
        .get(&at)
        .ok_or_else(|| Refusal::Unknown { what: "station", id: at.to_string() })?;
    let stage = &ready.stage.list;
    if !stage.condition.holds(&rod.plan) {
        return Err(Refusal::NotForThisRod { stage: stage.title.clone() });
    }
    if rod.stage(&stage.id).is_some() {
        return Err(Refusal::StageBegun);
    }
    if rod.left_out.contains_key(&stage.id) {
        return Err(Refusal::StageLeftOut);
    }
    own_text::stands(state, &stage.title, &ready.stage, ready.over.as_ref())?;
    own_text::adhesives_there(&ready)?;
    if let Some(needed) = stage.needs.iter().find(|need| !stage_is_satisfied(rod, need)) {
        return Err(Refusal::NeedsStage { needed: needed.to_string() });
    }
    for need in &stage.cures {
        bond_is_cured(state, rod, need, now)?;
    }
    if station.open_until.is_none_or(|until| now >= until) {
        return Err(Refusal::StationNotOpen { station: station.name.clone() });
    }
    let ToBegin { stage: signed, products, over } = ready;
    let kept = own_text::unique(&products);
    let over_digest = over.as_ref().map(|over| over.digest.clone());
    let shipped = over.map(|over| (over.digest, over.source));
    let texts = [(signed.digest.clone(), signed.source)].into_iter().chain(products).chain(shipped);
    let mut events = own_text::kept(state, texts);
    events.push(Event::StageBegun {
        rod: rod_id,
        stage: signed.list.id,
        digest: signed.digest,
        station: at,
        products: kept,
        over: over_digest,
    });
    Ok(events)
}

pub(super) fn leave_out(
    state: &State,
    person: &PersonId,
    rod_id: RodId,
    stage: &Stage,
    reason: &str,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, person, "leave a stage out")?;
    let rod = state
        .rods
        .get(&rod_id)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: rod_id.to_string() })?;
    if rod.stage(&stage.id).is_some() {
        return Err(Refusal::StageBegun);
    }
    if rod.left_out.contains_key(&stage.id) {
        return Err(Refusal::StageLeftOut);
    }
    if !stage.condition.holds(&rod.plan) {
        return Err(Refusal::NotForThisRod { stage: stage.title.clone() });
    }
    Ok(vec![Event::StageLeftOut {
        rod: rod_id,
        stage: stage.id.clone(),
        title: stage.title.clone(),
        reason: text("The reason", reason, PROSE)?,
    }])
}

pub(super) fn take_in(state: &State, rod_id: RodId, stage: StageId) -> Result<Vec<Event>, Refusal> {
    let rod = state
        .rods
        .get(&rod_id)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: rod_id.to_string() })?;
    if !rod.left_out.contains_key(&stage) {
        return Err(Refusal::NotLeftOut);
    }
    Ok(vec![Event::StageTakenIn { rod: rod_id, stage }])
}

/// A bond of an earlier stage has cured so far. One of which no clock follows an adhesive was judged
/// by its own stage.
fn bond_is_cured(state: &State, rod: &Rod, need: &CureNeed, now: Moment) -> Result<(), Refusal> {
    let Some(run) = rod.stage(&need.stage) else { return Ok(()) };
    let stage = state.stage_text(&run.digest).ok_or(Refusal::TextUnreadable)?;
    match cure::bond_ready(state, run, stage, need.until, now) {
        None => Ok(()),
        Some(ready) if ready.is_reached(now) && !state.clock_is_behind(now) => Ok(()),
        Some(Ready::At(at)) => Err(Refusal::BondCures {
            stage: stage.title.clone(),
            until: format!("until {}", at.with_timezone(now.offset()).format("%a %-d %b %H:%M")),
        }),
        Some(Ready::Never(celsius)) => {
            Err(Refusal::TooColdToCure { name: stage.title.clone(), celsius })
        }
    }
}

/// A step that is next, with everything known about it.
pub(super) struct Here<'a> {
    run: &'a StageRun,
    stage: &'a Stage,
    step: &'a Step,
    pub(super) done: Option<&'a StepRun>,
    clearance: Option<ClearanceId>,
}

impl Here<'_> {
    fn heat_is_not_alone(&self, state: &State, person: &PersonId) -> Result<(), Refusal> {
        self.clearance.as_ref().map_or(Ok(()), |clearance| lead_beside(state, person, clearance))
    }
}

pub(super) fn stage_of<'a>(
    state: &'a State,
    at: &StepPlace,
) -> Result<(&'a StageRun, &'a Stage), Refusal> {
    let rod = state
        .rods
        .get(&at.rod)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: at.rod.to_string() })?;
    let run = rod.stage(&at.stage).ok_or(Refusal::StageNotBegun)?;
    let stage = state.stage_text(&run.digest).ok_or(Refusal::TextUnreadable)?;
    known(stage.step(&at.step).is_some(), "step", at.step.as_str())?;
    Ok((run, stage))
}

/// The step as its text has it, if there is one.
pub(super) fn step_of<'a>(state: &'a State, at: &StepPlace) -> Option<&'a Step> {
    stage_of(state, at).ok().and_then(|(_, stage)| stage.step(&at.step))
}

/// The step that is asked for, if it is next; where it uses heat, only under a live clearance.
pub(super) fn here<'a>(state: &'a State, at: &StepPlace, now: Moment) -> Result<Here<'a>, Refusal> {
    let (run, stage) = stage_of(state, at)?;
    if run.away_since().is_some() {
        return Err(Refusal::IsAway);
    }
    let step = match run.position(stage, &state.crew) {
        Position::Step(_, step) if step.id == at.step => step,
        Position::Step(_, step) => return Err(Refusal::NotThisStep { next: step.what.clone() }),
        Position::Witness(_, _) => return Err(Refusal::AwaitsWitness),
        Position::Finished => {
            return Err(Refusal::NotThisStep { next: "nothing, the stage is done.".to_owned() });
        }
    };
    let clearance = if step.heat { Some(heat_gate(state, &run.station, step, now)?) } else { None };
    Ok(Here { run, stage, step, done: run.steps.get(&step.id), clearance })
}

pub(super) fn understand(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let here = here(state, &at, now)?;
    here.heat_is_not_alone(state, person)?;
    if here.step.caution.is_none() {
        return Err(Refusal::NoCaution);
    }
    // The caution is the door to the work: from here on the lid is off.
    let mut events = released(state, &here, &at, now);
    events.push(Event::CautionUnderstood { at });
    Ok(events)
}

/// A step that uses a flammable puts vapour into the air from its caution to its signature.
fn released(state: &State, here: &Here<'_>, at: &StepPlace, now: Moment) -> Vec<Event> {
    if !here.step.releases_flammable() {
        return Vec::new();
    }
    let station = &here.run.station;
    let used = Event::FlammableUsed { station: station.clone(), at: at.clone() };
    let withdrawn = withdraw_room(state, station, WithdrawalCause::FlammableReleased, now);
    [used].into_iter().chain(withdrawn).collect()
}

pub(super) fn measure(
    state: &State,
    at: StepPlace,
    written: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let here = here(state, &at, now)?;
    let (reading, within) = measured(state, here.step, written)?;
    Ok(vec![Event::ValueMeasured { at, reading, within, when: None }])
}

/// A value as written, and whether it keeps the limits of its step.
pub(super) fn measured(
    state: &State,
    step: &Step,
    written: &str,
) -> Result<(Reading, bool), Refusal> {
    let record = step.record.as_ref().ok_or(Refusal::NoValueAsked)?;
    let bare = state.workshop.as_ref().map_or(LengthUnit::Millimetre, |w| w.lengths);
    let one = |written: &str| {
        let value = parse_measure(written, record.measure, bare)
            .map_err(|error| Refusal::BadValue { field: record.name.clone(), error })?;
        // Whoever reads limits in millimetres writes millimetres, whatever the workshop counts in.
        // Nothing is nothing in every unit.
        let other = record.limits_in.is_some_and(|unit| unit != bare);
        if other && value != 0.0 && unit_written(written).is_none() {
            let (text, limits) = (written.trim().to_owned(), record.limits.clone());
            return Err(Refusal::WhichUnit { text, limits });
        }
        Ok(value)
    };
    let keeps = |value: f64| {
        record.least.is_none_or(|least| value >= least)
            && record.most.is_none_or(|most| value <= most)
    };
    let with_unit = |written: &str| -> Result<String, Refusal> {
        Ok(record.measure.with_unit(&text("The value", written, LINE)?, bare))
    };
    if let Some((first, second)) = written.split_once('/').filter(|_| record.pairs) {
        let (value, other) = (one(first)?, one(second)?);
        let text = format!("{} / {}", with_unit(first)?, with_unit(second)?);
        return Ok((Reading { text, value }, keeps(value) && keeps(other)));
    }
    let value = one(written)?;
    Ok((Reading { text: with_unit(written)?, value }, keeps(value)))
}

pub(super) fn accept(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    reason: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, person, "accept a value outside its limits")?;
    let here = here(state, &at, now)?;
    let outside = here
        .done
        .and_then(|run| run.values.last())
        .is_some_and(|value| !value.within && value.accepted.is_none());
    if !outside {
        return Err(Refusal::NothingToAccept);
    }
    if let Some(record) = &here.step.record
        && !record.is_open_to_judgement(here.stage.uses_heat())
    {
        return Err(Refusal::NotBeforeHeat { name: record.name.clone() });
    }
    Ok(vec![Event::ValueAccepted { at, reason: text("The reason", reason, PROSE)? }])
}

pub(super) fn name_lot(
    state: &State,
    at: StepPlace,
    lot: &str,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let here = here(state, &at, now)?;
    if here.step.lot.is_none() {
        return Err(Refusal::NoLotAsked);
    }
    Ok(vec![Event::LotNamed { at, lot: text("The lot", lot, LINE)? }])
}

/// How many minutes a clock that is started at a step runs, if nobody makes it stricter: by the checklist
/// and, for gloves, by what their file and the open materials make of it, where that is less.
pub fn clock_runs(
    state: &State,
    run: &StageRun,
    clock: &ClockStart,
    at: &StepPlace,
    now: Moment,
) -> Result<u32, Refusal> {
    let written = cure::clock_minutes(state, run, &clock.runs, now)?;
    Ok(match clock.kind {
        ClockKind::GloveChange => figure::fresh_gloves_last(state, at, now)
            .map_or(written, |minutes| minutes.min(written)),
        _ => written,
    })
}

pub(super) fn start_clock(
    state: &State,
    at: StepPlace,
    minutes: Option<u32>,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let (run, stage) = stage_of(state, &at)?;
    let clock = match here(state, &at, now) {
        Ok(here) if run.started_at(here.step).is_none() => here.step.starts.as_ref(),
        Ok(_) => fresh_gloves(run, stage, &at),
        Err(Refusal::NotThisStep { .. }) => {
            mixed_anew(state, run, stage, &at, now).or_else(|| fresh_gloves(run, stage, &at))
        }
        Err(refusal) => return Err(refusal),
    };
    let clock = clock.ok_or(Refusal::NoClockHere)?;
    let written = clock_runs(state, run, clock, &at, now)?;
    let ClockStart { id, kind, name, .. } = clock.clone();
    let minutes = minutes.unwrap_or(written);
    let looser = if kind.is_wait() { minutes < written } else { minutes > written };
    let longest = written.saturating_mul(10);
    if looser || minutes == 0 || minutes > longest {
        return Err(Refusal::ClockLooser { minutes: written });
    }
    Ok(vec![Event::ClockStarted { at, clock: id, counts: kind, name, minutes, when: None }])
}

/// The clock of an earlier step, when its working time ran out before the step that ends it:
/// the mix is thrown away and made anew.
fn mixed_anew<'a>(
    state: &State,
    run: &StageRun,
    stage: &'a Stage,
    at: &StepPlace,
    now: Moment,
) -> Option<&'a ClockStart> {
    let Position::Step(_, next) = run.position(stage, &state.crew) else { return None };
    let ended_here = next.ends.as_ref()?;
    let clock = stage.step(&at.step)?.starts.as_ref()?;
    let over = run.clocks.get(&clock.id).is_some_and(|running| running.is_over(now));
    (&clock.id == ended_here && over && clock.kind == ClockKind::WorkingTime).then_some(clock)
}

/// The clock of gloves that are on: whenever they are changed, it starts again.
fn fresh_gloves<'a>(run: &StageRun, stage: &'a Stage, at: &StepPlace) -> Option<&'a ClockStart> {
    let clock = stage.step(&at.step)?.starts.as_ref()?;
    let worn = run.clocks.get(&clock.id).is_some_and(|running| running.ended.is_none());
    (clock.kind == ClockKind::GloveChange && worn).then_some(clock)
}

pub(super) fn sign(
    state: &State,
    person: &PersonId,
    at: StepPlace,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    sign_what_was_done(state, person, person, at, now, now)
}

/// Signs a step that `doer` did `when`, at that time or later. Whether clocks had run out and lots were
/// good is asked of that time; what it does to the air, of now.
pub(super) fn sign_what_was_done(
    state: &State,
    person: &PersonId,
    doer: &PersonId,
    at: StepPlace,
    when: Moment,
    now: Moment,
) -> Result<Vec<Event>, Refusal> {
    let here = here(state, &at, now)?;
    here.heat_is_not_alone(state, person)?;
    teach::may_do(state, doer, here.run, here.step)?;
    let step = here.step;
    let empty = StepRun::default();
    let done = here.done.unwrap_or(&empty);
    let read = done.understood.iter().any(|mark| mark.by.as_ref() == Some(person));
    if step.caution.is_some() && !read {
        return Err(Refusal::CautionNotRead);
    }
    if let Some(record) = &step.record {
        value_settled(record, done)?;
    }
    if let Some(material) = &step.lot
        && done.lot.is_none()
    {
        return Err(Refusal::LotMissing { material: material.clone() });
    }
    if let Some(lot) = super::lot::expired(state, done, when)
        && done.lot_accepted.is_none()
        && let Some(expires) = lot.expires
    {
        return Err(Refusal::LotExpired { marking: lot.marking.clone(), expires });
    }
    if let Some(clock) = &step.starts
        && here.run.started_at(step).is_none()
    {
        return Err(Refusal::ClockNotStarted { name: clock.name.clone() });
    }
    clocks_allow(&here, state, when, now)?;
    let mut events = released(state, &here, &at, now);
    let figures = figure::figures(state, &at, when).iter().map(KeptFigure::from).collect();
    let lead_sees = teach::lead_sees(state, doer, &at);
    let clearance = here.clearance;
    events.push(Event::StepDone { at, clearance, figures, from_paper: None, lead_sees });
    Ok(events)
}

fn value_settled(record: &Record, done: &StepRun) -> Result<(), Refusal> {
    match done.values.last() {
        None => Err(Refusal::ValueMissing { name: record.name.clone() }),
        Some(value) if value.within || value.accepted.is_some() => {
            let good = |value: &&Value| value.within || value.accepted.is_some();
            let measured = done.values.iter().filter(good).count();
            if measured < record.repeat {
                return Err(Refusal::ValuesMissing {
                    name: record.name.clone(),
                    left: record.repeat - measured,
                });
            }
            Ok(())
        }
        Some(value) => Err(Refusal::OutsideLimits {
            name: record.name.clone(),
            shown: value.reading.text.clone(),
            limits: record.limits.clone(),
        }),
    }
}

fn clocks_allow(here: &Here<'_>, state: &State, when: Moment, now: Moment) -> Result<(), Refusal> {
    if let Some(id) = &here.step.waits_for {
        let name = here.stage.clock(id).map_or_else(|| id.to_string(), |(_, c)| c.name.clone());
        let Some(clock) = here.run.clocks.get(id) else {
            return Err(Refusal::ClockNotStarted { name });
        };
        // A clock set back only makes the wait longer; a clock that is behind proves nothing.
        if !clock.is_over(when) || state.clock_is_behind(now) {
            let left = words::span(clock.runs_out() - when);
            return Err(Refusal::ClockRunning { name, left });
        }
        match cure::wait(state, here.run, here.stage, id, when) {
            Some((_, Ready::At(at))) if at > when => {
                return Err(Refusal::CureGoesOn { name, left: words::span(at - when) });
            }
            Some((_, Ready::Never(celsius))) => {
                return Err(Refusal::TooColdToCure { name, celsius });
            }
            _ => {}
        }
    }
    if let Some(id) = &here.step.ends
        && let Some(clock) = here.run.clocks.get(id)
        && clock.kind == ClockKind::WorkingTime
        && clock.is_over(when)
    {
        return Err(Refusal::WorkingTimeOver { name: clock.name.clone() });
    }
    Ok(())
}

pub(super) fn witness(
    state: &State,
    person: &PersonId,
    at: StepPlace,
) -> Result<Vec<Event>, Refusal> {
    let (run, stage) = stage_of(state, &at)?;
    if run.away_since().is_some() {
        return Err(Refusal::IsAway);
    }
    match run.position(stage, &state.crew) {
        Position::Witness(_, step) if step.id == at.step => {}
        _ => return Err(Refusal::NothingToWitness),
    }
    if run.steps.get(&at.step).and_then(StepRun::doer) == Some(person) {
        return Err(Refusal::OwnWitness);
    }
    if state.crew.get(person).is_none_or(|person| person.role != Role::Lead) {
        return Err(Refusal::LeadOnly { what: "witness a step" });
    }
    Ok(vec![Event::StepWitnessed { at }])
}

pub(super) fn note(state: &State, at: StepPlace, written: &str) -> Result<Vec<Event>, Refusal> {
    stage_of(state, &at)?;
    Ok(vec![Event::NoteWritten { at, text: text("The note", written, PROSE)? }])
}
