//! What the single sheets share: the shop's imprint, the text of a checklist, a stage as it holds
//! for a rod.

use crate::error::ShellError;
use crate::workshop::Workshop;
use coldbench_ledger::digest_hex;
use coldbench_record as page;
use coldbench_shop::checklist::{ClockStart, Runs, Stage, Step};
use coldbench_shop::{
    Event, EventRef, Happened, Refusal, Rod, RodId, StageId, StageRun, State, TextDigest,
    clock_minutes, span,
};
use coldbench_trade::adhesive::Milestone;

/// The shop and the printing, as they are now.
pub fn imprint(workshop: &Workshop, paper: page::Paper) -> Result<page::Imprint, ShellError> {
    let state = workshop.state();
    let shop = state.workshop.as_ref().ok_or(Refusal::NotFounded)?;
    let head = workshop.head().ok_or(Refusal::NotFounded)?;
    let printed = workshop.now();
    Ok(page::Imprint {
        shop: shop.name.clone(),
        demo: shop.demo,
        ledger: page::LedgerHead {
            origin: head.origin.clone(),
            events: head.events,
            digest: digest_hex(&head.digest),
            last: state.latest.unwrap_or(printed),
        },
        printed,
        paper,
    })
}

/// The rod with this id.
pub fn rod<'a>(state: &'a State, id: &RodId) -> Result<&'a Rod, ShellError> {
    let unknown = || Refusal::Unknown { what: "rod", id: id.to_string() };
    Ok(state.rods.get(id).ok_or_else(unknown)?)
}

/// A rod by its id and name.
pub fn rod_name(id: &RodId, rod: &Rod) -> page::RodName {
    page::RodName { id: id.to_string(), title: rod.plan.title.clone() }
}

/// Which text a stage is.
pub fn stage_text(stage: &Stage, digest: &TextDigest) -> page::TextOf {
    page::TextOf {
        title: stage.title.clone(),
        aim: stage.aim.clone(),
        id: stage.id.to_string(),
        revised: stage.revised.clone(),
        sha256: digest.to_string(),
    }
}

/// The state in which a stage of a rod is in hand: as it is, or as it would be if the stage were
/// begun at this moment by the text that holds now. Nothing is stored.
pub fn as_if_begun(workshop: &Workshop, id: &RodId, stage: &StageId) -> Result<State, ShellError> {
    let mut state = workshop.state().clone();
    let rod = rod(&state, id)?;
    if rod.stage(stage).is_some() {
        return Ok(state);
    }
    let missing = || ShellError::NoChecklist { what: stage.to_string() };
    let begin = workshop.library().stage_for(rod, stage).ok_or_else(missing)?;
    let station = state.stations.keys().next().cloned();
    let station = station.unwrap_or_else(|| coldbench_shop::StationId::new(""));
    let products: Vec<TextDigest> =
        begin.products.iter().map(|(digest, _)| digest.clone()).collect();
    let digest = begin.stage.digest.clone();
    let texts = begin.products.into_iter().chain([(digest.clone(), begin.stage.source)]);
    let mut events: Vec<Event> =
        texts.map(|(digest, text)| Event::TextKept { digest, text }).collect();
    events.push(Event::StageBegun {
        rod: id.clone(),
        stage: stage.clone(),
        digest,
        station,
        products,
        over: None,
    });
    let at = workshop.now();
    for event in events {
        state.evolve(&Happened { id: EventRef::default(), at, person: None, event });
    }
    Ok(state)
}

/// A stage of a rod in a state that came from [`as_if_begun`]: its run and its text.
pub fn in_hand<'a>(
    state: &'a State,
    id: &RodId,
    stage: &StageId,
) -> Result<(&'a Rod, &'a StageRun, &'a Stage), ShellError> {
    let rod = rod(state, id)?;
    let missing = || ShellError::NoChecklist { what: stage.to_string() };
    let run = rod.stage(stage).ok_or_else(missing)?;
    Ok((rod, run, state.stage_text(&run.digest).ok_or_else(missing)?))
}

/// Why a step is left out on a rod, in a sentence; empty where it is not. What was signed is not
/// left out.
pub fn left_out(rod: &Rod, run: &StageRun, step: &Step) -> String {
    if run.steps.get(&step.id).is_some_and(|done| done.done.is_some()) {
        return String::new();
    }
    run.left_out
        .get(&step.id)
        .cloned()
        .or_else(|| step.condition.why_not(&rod.plan))
        .unwrap_or_default()
}

/// What has to be known before a stage is done on a rod: that it is not for it, or was left out.
pub fn notices(rod: &Rod, stage: &Stage) -> Vec<String> {
    let not_for = stage.condition.why_not(&rod.plan);
    let not_for = not_for.map(|why| format!("This stage is not for this rod. {why}"));
    let left_out = rod.left_out.get(&stage.id);
    let left_out = left_out.map(|it| format!("This stage was left out on this rod: {}", it.reason));
    not_for.into_iter().chain(left_out).collect()
}

/// What a clock counts and how long, in a sentence.
pub fn clock_words(state: &State, run: Option<&StageRun>, clock: &ClockStart) -> String {
    use coldbench_shop::checklist::ClockKind;
    let kind = match clock.kind {
        ClockKind::WorkingTime => "working time",
        ClockKind::Cure => "cure",
        ClockKind::GloveChange => "glove change",
        ClockKind::Watch => "watch after heat",
    };
    let bound = if clock.kind.is_wait() { "at least" } else { "at most" };
    let minutes = match (&clock.runs, run) {
        (Runs::Minutes(minutes), _) => Some(*minutes),
        (runs, Some(run)) => {
            let now = state.latest.unwrap_or(run.begun);
            clock_minutes(state, run, runs, now).ok()
        }
        _ => None,
    };
    let long = match (minutes, &clock.runs) {
        (Some(minutes), runs) => {
            let long = span(chrono::TimeDelta::minutes(i64::from(minutes)));
            let cold = match runs {
                Runs::Cure { .. } => " as the room was read last, longer in a colder one",
                Runs::Minutes(_) => "",
            };
            format!("{bound} {long}{cold}")
        }
        (None, Runs::Cure { until, .. }) => match until {
            Milestone::Handle => "as long as its sheet says until it may be moved".to_owned(),
            Milestone::Load => "as long as its sheet says until it may be loaded".to_owned(),
            Milestone::FullCure => "as long as its sheet says until it is cured in full".to_owned(),
        },
        (None, Runs::Minutes(_)) => String::new(),
    };
    format!("{}: {kind}, {long}.", clock.name.trim())
}

/// What holds where a step uses heat, on a sheet that grants nothing.
pub fn heat_words(step: &Step) -> Option<String> {
    let gun =
        step.gun_limit_c.map_or_else(String::new, |limit| format!(" Gun at {limit} °C at most."));
    let words = "Heat waits for a clearance that Coldbench granted and that still holds; this sheet grants none.";
    step.heat.then(|| format!("{words}{gun}"))
}
