//! From the state of the workshop to the printed build log's plain data.

use crate::show;
use crate::views::{PartDrawn, ReelWord};
use crate::workshop::Workshop;
use coldbench_ledger::digest_hex;
use coldbench_record as page;
use coldbench_shop::checklist::{ClockKind, Step};
use coldbench_shop::{
    Clearance, ClearanceId, Clock, Mark, Refusal, Rod, RodId, StageRun, State, StepRun, Value,
    hazard,
};
use std::collections::BTreeSet;

/// The build log of a rod as it stands.
pub fn build_log(
    workshop: &Workshop,
    id: &RodId,
    paper: page::Paper,
) -> Result<page::BuildLog, Refusal> {
    let state = workshop.state();
    let rod =
        state.rods.get(id).ok_or_else(|| Refusal::Unknown { what: "rod", id: id.to_string() })?;
    let shop = state.workshop.as_ref().ok_or(Refusal::NotFounded)?;
    let head = workshop.head().ok_or(Refusal::NotFounded)?;
    let used: BTreeSet<&ClearanceId> = rod
        .stages
        .iter()
        .flat_map(|run| run.steps.values())
        .filter_map(|step| step.clearance.as_ref())
        .collect();
    Ok(page::BuildLog {
        shop: shop.name.clone(),
        demo: shop.demo,
        rod: rod_sheet(workshop, id, rod)?,
        stages: rod.stages.iter().filter_map(|run| stage(state, run)).collect(),
        clearances: used
            .into_iter()
            .filter_map(|id| Some(clearance(workshop, id, state.clearances.get(id)?)))
            .collect(),
        ledger: page::LedgerHead {
            origin: head.origin.clone(),
            events: head.events,
            digest: digest_hex(&head.digest),
            last: state.latest.unwrap_or_else(|| workshop.now()),
        },
        printed: workshop.now(),
        paper,
    })
}

fn rod_sheet(workshop: &Workshop, id: &RodId, rod: &Rod) -> Result<page::RodSheet, Refusal> {
    let plan = &rod.plan;
    let drawn = show::rod(workshop, id)?.drawing;
    Ok(page::RodSheet {
        id: id.to_string(),
        title: plan.title.clone(),
        customer: plan.customer.clone(),
        wishes: plan.wishes.clone(),
        reel: reel_words(plan.reel.into()).to_owned(),
        blank: plan.blank.clone(),
        length_mm: plan.length.value,
        length_text: plan.length.text.clone(),
        joins_mm: plan.joins.iter().map(|join| join.value).collect(),
        stations: plan
            .diameters
            .iter()
            .map(|row| page::Station {
                from_butt_mm: row.from_butt.value,
                diameter_mm: row.diameter.value,
                from_butt_text: row.from_butt.text.clone(),
                diameter_text: row.diameter.text.clone(),
            })
            .collect(),
        parts: plan
            .parts
            .iter()
            .map(|part| (show::part_words(part.kind).to_owned(), part.description.clone()))
            .collect(),
        fitted: drawn
            .parts
            .into_iter()
            .map(|part| page::Fitted {
                label: show::part_words(part.kind.into()).to_owned(),
                from_mm: part.from_mm,
                to_mm: part.to_mm,
                diameter_mm: part.diameter_mm,
                state: match part.drawn {
                    PartDrawn::Done => page::PartState::Done,
                    PartDrawn::Curing => page::PartState::Curing,
                    PartDrawn::InHand | PartDrawn::ToCome => page::PartState::ToCome,
                },
            })
            .collect(),
    })
}

fn reel_words(reel: ReelWord) -> &'static str {
    match reel {
        ReelWord::Spinning => "Spinning",
        ReelWord::Casting => "Casting",
        ReelWord::Conventional => "Conventional",
        ReelWord::Fly => "Fly",
    }
}

fn stage(state: &State, run: &StageRun) -> Option<page::StageRecord> {
    let text = state.stage_text(&run.digest)?;
    let station = state.stations.get(&run.station);
    Some(page::StageRecord {
        title: text.title.clone(),
        checklist: text.id.to_string(),
        revised: text.revised.clone(),
        sha256: run.digest.to_string(),
        station: station.map_or_else(|| run.station.to_string(), |s| s.name.clone()),
        begun: run.begun,
        finished: run.finished,
        steps: text
            .steps
            .iter()
            .enumerate()
            .map(|(index, step)| one_step(state, run, index, step))
            .collect(),
    })
}

fn one_step(state: &State, run: &StageRun, index: usize, step: &Step) -> page::StepRecord {
    let empty = StepRun::default();
    let done = run.steps.get(&step.id).unwrap_or(&empty);
    let signed = |mark: &Mark, meaning: &str| signature(state, mark, meaning);
    let mut signatures: Vec<page::Signature> = Vec::new();
    signatures.extend(done.done.as_ref().map(|mark| signed(mark, "did this step")));
    signatures.extend(done.witnessed.as_ref().map(|mark| signed(mark, "witnessed this step")));
    let last = done.values.len().saturating_sub(1);
    page::StepRecord {
        number: u32::try_from(index + 1).unwrap_or(u32::MAX),
        what: step.what.clone(),
        key_point: step.key_point.clone(),
        reason: step.reason.clone(),
        hazards: step.hazards.iter().map(|code| hazard_words(code)).collect(),
        caution: step.caution.clone(),
        acknowledged: done
            .understood
            .iter()
            .map(|mark| signed(mark, "read and understood the caution"))
            .collect(),
        values: done
            .values
            .iter()
            .enumerate()
            .map(|(n, value)| value_record(state, step, value, n < last))
            .collect(),
        clocks: done.clock_starts.iter().map(|clock| clock_record(state, clock)).collect(),
        lots: done
            .lot
            .iter()
            .map(|(lot, _)| (step.lot.clone().unwrap_or_default(), lot.clone()))
            .collect(),
        notes: done
            .notes
            .iter()
            .map(|(text, mark)| page::Note {
                who: show::name(state, mark.by.as_ref()),
                when: mark.at,
                text: text.clone(),
            })
            .collect(),
        signatures,
        clearance: done.clearance.as_ref().map(ToString::to_string),
        state: if done.done.is_some() && !done.awaits_witness(step, &state.crew) {
            page::StepState::Signed
        } else {
            page::StepState::Open
        },
    }
}

fn hazard_words(code: &str) -> String {
    let words = hazard::words(code).unwrap_or("Unknown hazard.");
    // Our own short codes say nothing that the words don't; an official code is quoted.
    if code.starts_with(['H', 'E']) { format!("{code} {words}") } else { words.to_owned() }
}

fn signature(state: &State, mark: &Mark, meaning: &str) -> page::Signature {
    let role = mark.by.as_ref().and_then(|person| state.crew.get(person));
    page::Signature {
        who: show::name(state, mark.by.as_ref()),
        role: role.map_or("program", |person| person.role.words()).to_owned(),
        meaning: meaning.to_owned(),
        when: mark.at,
    }
}

fn value_record(state: &State, step: &Step, value: &Value, replaced: bool) -> page::ValueRecord {
    let record = step.record.as_ref();
    page::ValueRecord {
        name: record.map(|record| record.name.clone()).unwrap_or_default(),
        entered: value.reading.text.clone(),
        limits: record.map(|record| record.limits.clone()).unwrap_or_default(),
        within: value.within,
        accepted: value
            .accepted
            .as_ref()
            .map(|(reason, mark)| format!("{reason} ({})", show::name(state, mark.by.as_ref()))),
        replaced,
        who: show::name(state, value.mark.by.as_ref()),
        when: value.mark.at,
    }
}

fn clock_record(state: &State, clock: &Clock) -> page::ClockRecord {
    page::ClockRecord {
        name: clock.name.clone(),
        kind: match clock.kind {
            ClockKind::WorkingTime => "working time",
            ClockKind::Cure => "cure",
            ClockKind::GloveChange => "glove change",
            ClockKind::Watch => "watch after heat",
        }
        .to_owned(),
        minutes: clock.minutes,
        begun: clock.started.at,
        who: show::name(state, clock.started.by.as_ref()),
    }
}

fn clearance(
    workshop: &Workshop,
    id: &ClearanceId,
    clearance: &Clearance,
) -> page::ClearanceRecord {
    let state = workshop.state();
    let station = state.stations.get(&clearance.station);
    let lapsed = workshop.now() >= clearance.until;
    page::ClearanceRecord {
        reference: id.to_string(),
        station: station.map_or_else(|| clearance.station.to_string(), |s| s.name.clone()),
        granted: clearance.granted,
        until: clearance.until,
        granted_by: show::name(state, clearance.by.as_ref()),
        watcher: show::name(state, Some(&clearance.watcher)),
        ended: clearance
            .withdrawn
            .map(|(at, cause)| (at, cause.words().to_owned()))
            .or_else(|| lapsed.then(|| (clearance.until, "It lapsed.".to_owned()))),
        vapour: clearance.vapour.words(),
        checks: checks(state, clearance),
    }
}

/// The answers in the order in which the checklist asks for them.
fn checks(state: &State, clearance: &Clearance) -> Vec<page::CheckRecord> {
    let Some(list) = state.list_text(&clearance.digest) else { return Vec::new() };
    list.checks
        .iter()
        .filter_map(|check| {
            let answered = clearance.answers.get(&check.id)?;
            Some(page::CheckRecord {
                what: check.ask.clone(),
                answer: answered.shown.clone(),
                who: show::name(state, answered.by.as_ref()),
                when: answered.at,
            })
        })
        .collect()
}
