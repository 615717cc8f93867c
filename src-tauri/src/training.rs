//! What a person did and witnessed: from the state of the workshop to the printed page's plain data.

use crate::crew_table::learning_words;
use crate::error::ShellError;
use crate::events::from_ledger;
use crate::pages::imprint;
use crate::show;
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_record::{
    Lesson, TaughtStage, TrainedHeat, TrainedStage, TrainedStep, TrainingRecord, WitnessedStep,
};
use coldbench_shop::checklist::{Stage, Step};
use coldbench_shop::{
    Event, Learning, Moment, PersonId, Refusal, RodId, StageId, StageRun, State, StepId, StepRun,
};
use std::collections::BTreeMap;

/// A signed step with where it stands.
struct Signed<'a> {
    rod: &'a RodId,
    run: &'a StageRun,
    step: &'a StepId,
    did: &'a StepRun,
    by: &'a PersonId,
    at: Moment,
}

/// The training record of a person of the crew, past or present.
pub fn training(
    workshop: &Workshop,
    id: &PersonId,
    paper: page::Paper,
) -> Result<TrainingRecord, ShellError> {
    let state = workshop.state();
    let unknown = || Refusal::Unknown { what: "person of the crew", id: id.to_string() };
    let person = state.crew.get(id).ok_or_else(unknown)?;
    let (joined, left) = standing(workshop, id)?;
    let signed = signed(state);
    Ok(TrainingRecord {
        imprint: imprint(workshop, paper)?,
        name: person.name.clone(),
        id: id.to_string(),
        role: person.role.words().to_owned(),
        joined,
        left: left.filter(|_| !person.present),
        stages: stages(state, &signed, id),
        taught: taught(workshop, id),
        heat: heat(state, &signed, id),
        witnessed: witnessed(state, &signed, id),
    })
}

/// When somebody joined the crew and when they left it, each the last time.
fn standing(
    workshop: &Workshop,
    id: &PersonId,
) -> Result<(Option<Moment>, Option<Moment>), ShellError> {
    let ledger = workshop.ledger().ok_or(Refusal::NotFounded)?;
    let (mut joined, mut left) = (None, None);
    for stored in ledger.events()? {
        let Some(happened) = from_ledger(&stored)? else { continue };
        match &happened.event {
            Event::PersonJoined { person, .. } if person == id => joined = Some(happened.at),
            Event::PersonLeft { person } if person == id => left = Some(happened.at),
            _ => {}
        }
    }
    Ok((joined, left))
}

/// Every step that somebody signed, oldest first.
fn signed(state: &State) -> Vec<Signed<'_>> {
    let mut all: Vec<Signed<'_>> = Vec::new();
    for (rod, found) in &state.rods {
        for run in &found.stages {
            for (step, did) in &run.steps {
                let (Some(by), Some(at)) = (did.doer(), did.when()) else { continue };
                all.push(Signed { rod, run, step, did, by, at });
            }
        }
    }
    all.sort_by_key(|signed| signed.at);
    all
}

/// A step as its text says it; as an earlier text of the run does, where the newest has it no more.
fn text_of<'a>(state: &'a State, run: &StageRun, step: &StepId) -> Option<&'a Step> {
    let earlier = run.moved.iter().rev().map(|moved| &moved.from);
    [&run.digest].into_iter().chain(earlier).find_map(|digest| state.stage_text(digest)?.step(step))
}

fn stage_of<'a>(state: &'a State, signed: &Signed<'_>) -> Option<&'a Stage> {
    state.stage_text(&signed.run.digest)
}

fn what(state: &State, signed: &Signed<'_>) -> String {
    text_of(state, signed.run, signed.step)
        .map_or_else(|| signed.step.to_string(), |step| step.what.clone())
}

fn title(state: &State, signed: &Signed<'_>) -> String {
    stage_of(state, signed).map_or_else(|| signed.run.id.to_string(), |stage| stage.title.clone())
}

fn uses_heat(state: &State, signed: &Signed<'_>) -> bool {
    let by_text = text_of(state, signed.run, signed.step).is_some_and(|step| step.heat);
    by_text || signed.did.clearance.is_some()
}

fn witness(state: &State, signed: &Signed<'_>) -> Option<String> {
    Some(show::name(state, signed.did.witnessed.as_ref()?.by.as_ref()))
}

/// Counts a name once more.
fn tally(names: &mut Vec<(String, u32)>, name: String) {
    match names.iter_mut().find(|(known, _)| *known == name) {
        Some((_, times)) => *times += 1,
        None => names.push((name, 1)),
    }
}

fn stages(state: &State, signed: &[Signed<'_>], id: &PersonId) -> Vec<TrainedStage> {
    let mut by_stage: Vec<(&StageId, Vec<&Signed<'_>>)> = Vec::new();
    for signed in signed.iter().filter(|signed| signed.by == id) {
        match by_stage.iter_mut().find(|(stage, _)| *stage == &signed.run.id) {
            Some((_, all)) => all.push(signed),
            None => by_stage.push((&signed.run.id, vec![signed])),
        }
    }
    by_stage.into_iter().filter_map(|(_, all)| one_stage(state, &all)).collect()
}

/// What was signed of one stage, oldest first.
fn one_stage(state: &State, all: &[&Signed<'_>]) -> Option<TrainedStage> {
    let (first, last) = (all.first()?, all.last()?);
    let text = stage_of(state, last);
    let mut steps: BTreeMap<(usize, &StepId), TrainedStep> = BTreeMap::new();
    let mut rods: Vec<String> = Vec::new();
    for signed in all {
        let rod = signed.rod.to_string();
        if !rods.contains(&rod) {
            rods.push(rod);
        }
        let place =
            text.and_then(|text| text.steps.iter().position(|step| &step.id == signed.step));
        let step = steps.entry((place.unwrap_or(usize::MAX), signed.step)).or_insert_with(|| {
            TrainedStep {
                what: String::new(),
                heat: false,
                times: 0,
                witnessed: Vec::new(),
                first: signed.at,
                last: signed.at,
            }
        });
        // The words of the newest text that was signed.
        step.what = what(state, signed);
        step.heat |= uses_heat(state, signed);
        step.times += 1;
        step.last = signed.at;
        if let Some(name) = witness(state, signed) {
            tally(&mut step.witnessed, name);
        }
    }
    Some(TrainedStage {
        title: title(state, last),
        of_steps: text.map_or(0, |text| u32::try_from(text.steps.len()).unwrap_or(u32::MAX)),
        rods,
        first: first.at,
        last: last.at,
        steps: steps.into_values().collect(),
    })
}

/// Stages of which witnessed runs are asked, or of which something was presented.
fn taught(workshop: &Workshop, id: &PersonId) -> Vec<TaughtStage> {
    let (state, now) = (workshop.state(), workshop.now());
    let library = workshop.library();
    let mut stages: Vec<&StageId> = library.stages().iter().map(|stage| &stage.list.id).collect();
    // A stage whose file is gone was taught all the same.
    let begun = state.rods.values().flat_map(|rod| &rod.stages).map(|run| &run.id);
    for stage in state.teaching.keys().chain(begun) {
        if !stages.contains(&stage) {
            stages.push(stage);
        }
    }
    let one = |stage: &StageId| {
        let learning = state.learning(id, stage, now);
        let mut lessons: Vec<Lesson> = Vec::new();
        for (all, told) in [(state.presented(id, stage), false), (state.told(id, stage), true)] {
            lessons.extend(all.into_iter().map(|lesson| {
                Lesson {
                    when: lesson.mark.at,
                    rod: lesson.rod.to_string(),
                    what: state
                        .rods
                        .get(lesson.rod)
                        .and_then(|rod| text_of(state, rod.stage(stage)?, lesson.step))
                        .map_or_else(|| lesson.step.to_string(), |step| step.what.clone()),
                    told,
                    lead: show::name(state, lesson.mark.by.as_ref()),
                }
            }));
        }
        lessons.sort_by_key(|lesson| lesson.when);
        let asked = !matches!(learning, Learning::Lead | Learning::NotAsked);
        if !asked && lessons.is_empty() {
            return None;
        }
        let released = state.released(id, stage).map(|(rod, mark)| {
            let lead = show::name(state, mark.by.as_ref());
            format!("{lead}, {}, on {rod}", mark.at.format("%Y-%m-%d"))
        });
        let text = library.stage(stage).map(|stage| stage.list.title.clone());
        Some(TaughtStage {
            title: text.unwrap_or_else(|| stage.to_string()),
            standing: learning_words(learning, now),
            witnessed: match state.runs_asked(stage) {
                0 => state.witnessed_runs(id, stage).to_string(),
                runs => format!("{} of {runs}", state.witnessed_runs(id, stage)),
            },
            released: released.unwrap_or_default(),
            lessons,
        })
    };
    stages.into_iter().filter_map(one).collect()
}

fn heat(state: &State, signed: &[Signed<'_>], id: &PersonId) -> Vec<TrainedHeat> {
    let theirs = signed.iter().filter(|signed| signed.by == id && uses_heat(state, signed));
    let heat = theirs.map(|signed| TrainedHeat {
        when: signed.at,
        rod: signed.rod.to_string(),
        stage: title(state, signed),
        what: what(state, signed),
        clearance: signed.did.clearance.as_ref().map_or_else(String::new, ToString::to_string),
        witness: witness(state, signed).unwrap_or_default(),
    });
    heat.collect()
}

fn witnessed(state: &State, signed: &[Signed<'_>], id: &PersonId) -> Vec<WitnessedStep> {
    let mut seen: Vec<(&StageId, &StepId, WitnessedStep)> = Vec::new();
    for signed in signed {
        let Some(mark) = &signed.did.witnessed else { continue };
        if mark.by.as_ref() != Some(id) {
            continue;
        }
        let name = show::name(state, Some(signed.by));
        let key = (&signed.run.id, signed.step);
        match seen.iter_mut().find(|(stage, step, _)| (*stage, *step) == key) {
            Some((_, _, found)) => {
                tally(&mut found.did, name);
                found.first = found.first.min(mark.at);
                found.last = found.last.max(mark.at);
            }
            None => seen.push((
                key.0,
                key.1,
                WitnessedStep {
                    stage: title(state, signed),
                    what: what(state, signed),
                    did: vec![(name, 1)],
                    first: mark.at,
                    last: mark.at,
                },
            )),
        }
    }
    // By stage, in the order in which the stages were first witnessed.
    let order: Vec<&StageId> = seen.iter().map(|(stage, _, _)| *stage).collect();
    let place = |stage: &StageId| order.iter().position(|known| *known == stage);
    seen.sort_by_key(|(stage, _, _)| place(stage));
    seen.into_iter().map(|(_, _, found)| found).collect()
}
