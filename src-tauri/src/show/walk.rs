//! A walk through a stage: one step at a time.

use super::away;
use super::checklists::difference;
use super::figure::{figure, kept};
use super::rod::{clock, drawing, find};
use super::teaching::teaching;
use super::{hazards, marked, name, statements, time};
use crate::views::{
    ClockView, EntryView, GateView, GlovesView, LotView, NewerView, PictureName, PositionWord,
    RecordView, StartView, StepLine, StepView, WalkView,
};
use crate::workshop::Workshop;
use coldbench_shop::State;
use coldbench_shop::checklist::{ClockKind, Record, Stage, Step};
use coldbench_shop::figure::figures;
use coldbench_shop::{
    Actor, ClockId, Command, CorrectableKind, Lot, Mark, Moment, Position, Refusal, Rod, RodId,
    Role, StageId, StageRun, StepPlace, StepRun, clock_runs, decide, differences, heat_gate,
    lead_beside,
};
use coldbench_trade::{LengthUnit, Measure, parse_measure};

/// Everything a step's view is made from.
pub(super) struct Here<'a> {
    pub(super) workshop: &'a Workshop,
    id: &'a RodId,
    rod: &'a Rod,
    pub(super) run: &'a StageRun,
    pub(super) stage: &'a Stage,
}

/// The walk as it stands.
pub fn walk(workshop: &Workshop, id: &RodId, stage: &StageId) -> Result<WalkView, Refusal> {
    let state = workshop.state();
    let rod = find(state, id)?;
    let run = rod.stage(stage).ok_or(Refusal::StageNotBegun)?;
    let stage = state.stage_text(&run.digest).ok_or(Refusal::TextUnreadable)?;
    let here = Here { workshop, id, rod, run, stage };
    let (position, step) = match run.position(stage, &state.crew) {
        Position::Step(n, step) => (PositionWord::Step, Some(here.step(n, step))),
        Position::Witness(n, step) => (PositionWord::Witness, Some(here.step(n, step))),
        Position::Finished => (PositionWord::Finished, None),
    };
    let teaching = match run.position(stage, &state.crew) {
        Position::Step(_, step) => teaching(workshop, &here.place(step), run, step),
        _ => None,
    };
    let station = state.stations.get(&run.station);
    Ok(WalkView {
        rod: id.to_string(),
        rod_title: rod.plan.title.clone(),
        stage: stage.id.to_string(),
        title: stage.title.clone(),
        aim: stage.aim.clone(),
        station: run.station.to_string(),
        station_name: station.map_or_else(|| run.station.to_string(), |s| s.name.clone()),
        drawing: drawing(workshop, id, rod),
        position,
        step,
        overview: stage.steps.iter().map(|step| here.line(step)).collect(),
        clocks: run
            .clocks
            .iter()
            .filter(|(_, clock)| clock.ended.is_none())
            .filter_map(|(id, _)| here.clock(id))
            .collect(),
        gloves: here.gloves(),
        newer: here.newer(),
        away: away::away(&here),
        teaching,
    })
}

/// Who signed a step and when; where it is copied from paper, what the paper says of that too.
fn signed_words(state: &State, run: &StepRun, now: Moment) -> Option<String> {
    let signed = marked(state, run.done.as_ref()?, now);
    let Some(paper) = &run.from_paper else { return Some(signed) };
    let done = Mark { by: Some(paper.by.clone()), at: paper.when, ..run.done.clone()? };
    Some(format!("{}, on paper; copied in by {signed}", marked(state, &done, now)))
}

impl Here<'_> {
    fn place(&self, step: &Step) -> StepPlace {
        StepPlace { rod: self.id.clone(), stage: self.stage.id.clone(), step: step.id.clone() }
    }

    fn clock(&self, id: &ClockId) -> Option<ClockView> {
        clock(self.workshop.state(), (self.id, self.rod), self.run, id, self.workshop.now())
    }

    fn line(&self, step: &Step) -> StepLine {
        let (state, now) = (self.workshop.state(), self.workshop.now());
        let signed = self.run.steps.get(&step.id).and_then(|run| signed_words(state, run, now));
        StepLine {
            id: step.id.to_string(),
            what: step.what.clone(),
            signed,
            heat: step.heat,
            left_out: self.left_out(step),
            entries: self.entries(step),
            figures: self
                .run
                .steps
                .get(&step.id)
                .map_or_else(Vec::new, |run| run.figures.iter().map(kept).collect()),
        }
    }

    /// Why a step is left out for this rod: for good once it was passed, else as the sheet stands.
    fn left_out(&self, step: &Step) -> Option<String> {
        if let Some(why) = self.run.left_out.get(&step.id) {
            return Some(why.clone());
        }
        let touched = self.run.steps.contains_key(&step.id);
        step.condition.why_not(&self.rod.plan).filter(|_| !touched)
    }

    /// What the file of this stage says now, where that is another text.
    fn newer(&self) -> Option<NewerView> {
        let (state, library) = (self.workshop.state(), self.workshop.library());
        let newer = library.stage(&self.stage.id)?;
        if newer.digest == self.run.digest || self.run.finished.is_some() {
            return None;
        }
        let ready = library.stage_for(self.rod, &self.stage.id)?;
        let command = Command::MoveStage { rod: self.id.clone(), stage: Box::new(ready) };
        // Whether a lead could; who is at the bench now is no matter.
        let lead =
            state.crew.iter().find(|(_, person)| person.role == Role::Lead && person.present);
        let actor = Actor::PersonNow(lead?.0.clone());
        let refused = decide(state, &actor, command, self.workshop.now()).err();
        Some(NewerView {
            differences: differences(self.stage, &newer.list).iter().map(difference).collect(),
            refused: refused.map(|refusal| refusal.to_string()),
        })
    }

    /// What was entered and signed at a step, each with what it was corrected to.
    fn entries(&self, step: &Step) -> Vec<EntryView> {
        let (state, now) = (self.workshop.state(), self.workshop.now());
        let Some(run) = self.run.steps.get(&step.id).filter(|run| run.done.is_some()) else {
            return Vec::new();
        };
        let corrected: Vec<_> = run.corrections.iter().map(|c| &c.mark.event).collect();
        run.correctables()
            .into_iter()
            // A correction stands under what it corrects.
            .filter(|entry| !corrected.contains(&&entry.mark.event))
            .map(|entry| {
                let name = match entry.kind {
                    CorrectableKind::Value => step.record.as_ref().map(|r| r.name.clone()),
                    CorrectableKind::Lot => step.lot.clone(),
                    CorrectableKind::Words => None,
                };
                let words = match &name {
                    Some(name) => format!("{name}: {}", entry.said),
                    None => entry.said.clone(),
                };
                EntryView {
                    origin: entry.mark.event.origin.clone(),
                    number: u32::try_from(entry.mark.event.number).unwrap_or(u32::MAX),
                    said: if name.is_some() { entry.said.clone() } else { String::new() },
                    words,
                    signed: marked(state, entry.mark, now),
                    corrections: run
                        .corrections
                        .iter()
                        .filter(|c| c.event == entry.mark.event)
                        .map(|c| {
                            let who = marked(state, &c.mark, now);
                            format!("{}. Reason: {} ({who})", c.to.shown(), c.reason)
                        })
                        .collect(),
                }
            })
            .collect()
    }

    fn step(&self, index: usize, step: &Step) -> StepView {
        let (state, now) = (self.workshop.state(), self.workshop.now());
        let empty = StepRun::default();
        let run = self.run.steps.get(&step.id).unwrap_or(&empty);
        let active = self.workshop.active();
        let place =
            StepPlace { rod: self.id.clone(), stage: self.stage.id.clone(), step: step.id.clone() };
        let blocked = match (&active, &run.done) {
            (Some(_), None) => self.workshop.would(Command::SignStep(place.clone())).err(),
            _ => None,
        };
        StepView {
            id: step.id.to_string(),
            number: u32::try_from(index + 1).unwrap_or(u32::MAX),
            what: step.what.clone(),
            key_point: step.key_point.clone(),
            reason: step.reason.clone(),
            caution: step.caution.clone(),
            hazards: hazards(&step.hazards),
            statements: statements(&step.hazards),
            wear: step.wear.clone(),
            understood: active.is_some() && run.understood.iter().any(|mark| mark.by == active),
            figures: if run.done.is_some() {
                run.figures.iter().map(kept).collect()
            } else {
                figures(state, &place, now).iter().map(figure).collect()
            },
            picture: step.picture.map(PictureName),
            record: self.record(step, run),
            lot: step.lot.as_ref().map(|material| LotView {
                material: material.clone(),
                named: run.lot.as_ref().map(|(lot, _)| lot.clone()),
                offered: offered(state, material, now),
                expired: run.lot.as_ref().and_then(|(named, _)| expired(state, named, now)),
                accepted: run
                    .lot_accepted
                    .as_ref()
                    .map(|(reason, mark)| format!("{reason} ({})", marked(state, mark, now))),
            }),
            starts: step.starts.as_ref().map(|c| StartView {
                name: c.name.clone(),
                kind: c.kind.into(),
                minutes: clock_runs(state, self.run, c, &self.place(step), now).unwrap_or_default(),
                running: self.run.started_at(step).and_then(|_| self.clock(&c.id)),
            }),
            waits_for: step.waits_for.as_ref().and_then(|id| self.clock(id)),
            mix_anew: self.mix_anew(step),
            gate: step.heat.then(|| self.gate(step)),
            witness: step.needs_witness(),
            asks_pin: step.is_hold_point(),
            done_by: signed_words(state, run, now),
            source: step.source.clone(),
            notes: run
                .notes
                .iter()
                .map(|(text, mark)| format!("{text} ({})", marked(state, mark, now)))
                .collect(),
            blocked: blocked.map(|refusal| crate::error::ShellError::from(refusal).into()),
        }
    }

    fn record(&self, step: &Step, run: &StepRun) -> Option<RecordView> {
        let record = step.record.as_ref()?;
        let inches = self
            .workshop
            .state()
            .workshop
            .as_ref()
            .is_some_and(|shop| shop.lengths == LengthUnit::Inch);
        let example = example(record, inches);
        let last = run.values.last();
        Some(RecordView {
            name: record.name.clone(),
            limits: record.limits.clone(),
            example: example.to_owned(),
            room: record.room,
            repeat: u32::try_from(record.repeat).unwrap_or(u32::MAX),
            values: if record.repeat > 1 {
                run.values.iter().map(|value| value.reading.text.clone()).collect()
            } else {
                Vec::new()
            },
            value: last.map(|value| value.reading.text.clone()),
            within: last.is_some_and(|value| value.within),
            accepted: last.and_then(|value| value.accepted.as_ref()).map(|(reason, mark)| {
                let (state, now) = (self.workshop.state(), self.workshop.now());
                format!("{reason} ({})", marked(state, mark, now))
            }),
            acceptable: record.is_open_to_judgement(self.stage.uses_heat()),
        })
    }

    /// The gloves that were put on last and are still on.
    fn gloves(&self) -> Option<GlovesView> {
        let on = self.stage.steps.iter().filter_map(|step| {
            let starts = step.starts.as_ref().filter(|it| it.kind == ClockKind::GloveChange)?;
            let clock = self.run.clocks.get(&starts.id).filter(|clock| clock.ended.is_none())?;
            Some((step, &starts.id, clock))
        });
        let (step, id, _) = on.max_by_key(|(_, _, clock)| clock.started.at)?;
        Some(GlovesView { step: step.id.to_string(), clock: self.clock(id)? })
    }

    /// The step whose clock may be started anew: its working time ran out before this step.
    fn mix_anew(&self, step: &Step) -> Option<String> {
        let ends = step.ends.as_ref()?;
        let (starter, clock) = self.stage.clock(ends)?;
        // Gloves can be started anew at any time; nothing is mixed for that.
        if clock.kind != ClockKind::WorkingTime {
            return None;
        }
        let place = StepPlace {
            rod: self.id.clone(),
            stage: self.stage.id.clone(),
            step: starter.id.clone(),
        };
        let anew = Command::StartClock { at: place, minutes: None };
        (starter.id != step.id && self.workshop.would(anew).is_ok()).then(|| starter.id.to_string())
    }

    fn gate(&self, step: &Step) -> GateView {
        let (state, now) = (self.workshop.state(), self.workshop.now());
        let gun_limit = step.gun_limit_c.map_or_else(String::new, |c| format!("{c} °C"));
        // A helper's gate opens only with a lead beside them.
        let gate = heat_gate(state, &self.run.station, step, now).and_then(|id| {
            let person = self.workshop.active();
            person.map_or(Ok(()), |person| lead_beside(state, &person, &id)).map(|()| id)
        });
        match gate {
            Ok(id) => {
                let found = state.clearances.get(&id);
                let watcher = found.map(|clearance| &clearance.watcher);
                GateView {
                    open: true,
                    clearance: Some(id.to_string()),
                    until: found.map(|clearance| time(clearance.until)),
                    watcher: name(state, watcher),
                    watches_alone: self.workshop.active().as_ref() == watcher,
                    gun_limit,
                    missing: Vec::new(),
                }
            }
            Err(refusal) => GateView {
                open: false,
                clearance: None,
                until: None,
                watcher: String::new(),
                watches_alone: false,
                gun_limit,
                missing: match refusal {
                    Refusal::NoClearance { missing, .. } => missing,
                    other => vec![other.to_string()],
                },
            },
        }
    }
}

/// Registered lots that are at hand: those of this material first.
fn offered(state: &State, material: &str, now: Moment) -> Vec<String> {
    let wanted = material.to_lowercase();
    let fits = |lot: &Lot| {
        let what = lot.what.to_lowercase();
        wanted.contains(&what) || what.contains(&wanted)
    };
    let mut lots: Vec<&Lot> = state.lots.values().filter(|lot| !lot.gone).collect();
    // Those past their last day come last.
    let over = |lot: &Lot| lot.expires.is_some_and(|expires| now.date_naive() > expires);
    lots.sort_by_key(|lot| (over(lot), !fits(lot), lot.expires));
    lots.into_iter().map(|lot| lot.marking.clone()).collect()
}

fn expired(state: &State, named: &str, now: Moment) -> Option<String> {
    state.lots_named(named).find_map(|(_, lot)| {
        let expires = lot.expires.filter(|expires| now.date_naive() > *expires)?;
        Some(format!("“{}” was good until {expires}.", lot.marking))
    })
}

/// A value to show beside the field: the usual one of its measure, or the first bound of the limits where
/// the usual one is outside them. A bare number shows itself.
fn example(record: &Record, inches: bool) -> &str {
    let usual = match (record.measure, inches) {
        (Measure::Number, _) => return "",
        (Measure::Length, true) => "5/8 in",
        (Measure::Length, false) => "16.2 mm",
        (measure, _) => measure.example(),
    };
    let first = usual.split(" or ").next().unwrap_or(usual);
    let Ok(value) = parse_measure(first, record.measure, LengthUnit::Millimetre) else {
        return usual;
    };
    let outside = record.least.is_some_and(|least| value < least)
        || record.most.is_some_and(|most| value > most);
    let limits = &record.limits;
    let bound = limits.split_once(" to ").or_else(|| limits.split_once(" or "));
    bound.filter(|_| outside).map_or(usual, |(bound, _)| bound)
}
