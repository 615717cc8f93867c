//! The shop's own texts: what they may take away, and a stage in hand that goes on by another one.

use super::{PROSE, keep_text, lead_only, text};
use crate::checklist::{Checklist, Signed, Stage, ToBegin, read};
use crate::command::Override;
use crate::difference::{Compare, Difference, differences, takes_away};
use crate::event::Event;
use crate::ids::{PersonId, RodId, TextDigest};
use crate::refusal::Refusal;
use crate::run::Position;
use crate::state::State;

/// What is lost, a sentence each.
fn lost(found: &[Difference]) -> Vec<String> {
    found.iter().map(Difference::words).collect()
}

/// A text of the shop's own may be gone by where it takes no guard away, or a lead signed for it.
pub(super) fn stands<T: Compare>(
    state: &State,
    title: &str,
    own: &Signed<T>,
    over: Option<&Signed<T>>,
) -> Result<(), Refusal> {
    let Some(over) = over else { return Ok(()) };
    let found = takes_away(&over.list, &own.list);
    let pair = (own.digest.clone(), over.digest.clone());
    if found.is_empty() || state.accepted.contains_key(&pair) {
        return Ok(());
    }
    Err(Refusal::OverrideNotAccepted { title: title.to_owned(), lost: lost(&found) })
}

pub(super) fn accept(
    state: &State,
    person: &PersonId,
    texts: Override,
    reason: &str,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, person, "let the shop's own text take a guard away")?;
    let (id, found, own, over) = match texts {
        Override::Stage { own, shipped } => (
            own.list.id.to_string(),
            takes_away(&shipped.list, &own.list),
            (own.digest, own.source),
            (shipped.digest, shipped.source),
        ),
        Override::List { own, shipped } => (
            own.list.id.clone(),
            takes_away(&shipped.list, &own.list),
            (own.digest, own.source),
            (shipped.digest, shipped.source),
        ),
    };
    if found.is_empty() {
        return Err(Refusal::NothingTakenAway);
    }
    if state.accepted.contains_key(&(own.0.clone(), over.0.clone())) {
        return Err(Refusal::OverrideAccepted);
    }
    let reason = text("The reason", reason, PROSE)?;
    let mut events = kept(state, [own.clone(), over.clone()]);
    events.push(Event::OverrideAccepted {
        id,
        digest: own.0,
        over: over.0,
        takes_away: found,
        reason,
    });
    Ok(events)
}

/// Keeps each text once.
pub(super) fn kept(
    state: &State,
    texts: impl IntoIterator<Item = (TextDigest, String)>,
) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    for (digest, source) in texts {
        let is_here = |event: &Event| matches!(event, Event::TextKept { digest: known, .. } if *known == digest);
        if !events.iter().any(is_here) {
            events.extend(keep_text(state, &digest, source));
        }
    }
    events
}

/// Every clock of the stage that follows an adhesive finds its file.
pub(super) fn adhesives_there(ready: &ToBegin) -> Result<(), Refusal> {
    for product in ready.stage.list.cure_products() {
        let there = ready.products.iter().any(|(_, source)| {
            matches!(read(source).checklist, Some(Checklist::Adhesive(file)) if file.id == product)
        });
        if !there {
            return Err(Refusal::NoAdhesive { product: product.to_owned() });
        }
    }
    Ok(())
}

pub(super) fn move_stage(
    state: &State,
    person: &PersonId,
    rod_id: RodId,
    ready: ToBegin,
) -> Result<Vec<Event>, Refusal> {
    lead_only(state, person, "let a stage go on by another text")?;
    let rod = state
        .rods
        .get(&rod_id)
        .ok_or_else(|| Refusal::Unknown { what: "rod", id: rod_id.to_string() })?;
    let new = &ready.stage.list;
    let run = rod.stage(&new.id).ok_or(Refusal::StageNotBegun)?;
    let old = state.stage_text(&run.digest).ok_or(Refusal::TextUnreadable)?;
    match run.position(old, &state.crew) {
        Position::Finished => {
            return Err(Refusal::StageIsDone { stage: old.title.clone() });
        }
        // What was done has to be witnessed by the text it was done by.
        Position::Witness(..) => return Err(Refusal::AwaitsWitness),
        Position::Step(..) => {}
    }
    if run.digest == ready.stage.digest {
        return Err(Refusal::SameText);
    }
    stands(state, &new.title, &ready.stage, ready.over.as_ref())?;
    adhesives_there(&ready)?;
    for (id, _) in run.steps.iter().filter(|(_, step)| !step.is_empty()) {
        if new.step(id).is_none() {
            let what = old.step(id).map_or_else(String::new, |step| step.what.clone());
            return Err(Refusal::MoveLosesStep { step: id.to_string(), what });
        }
    }
    let signed = |step: &crate::checklist::Step| {
        run.steps.get(&step.id).is_some_and(|step| step.done.is_some())
    };
    for step in new.steps.iter().filter(|step| !signed(step)) {
        let Some(waits) = &step.waits_for else { continue };
        let starter = new.clock(waits).map(|(starter, _)| starter);
        if !run.clocks.contains_key(waits) && starter.is_some_and(signed) {
            return Err(Refusal::MoveNeedsClock { clock: waits.to_string() });
        }
    }
    let found = differences(old, new);
    Ok(moved(state, rod_id, ready, found))
}

fn moved(state: &State, rod: RodId, ready: ToBegin, differences: Vec<Difference>) -> Vec<Event> {
    let ToBegin { stage: Signed { digest, source, list: Stage { id, .. } }, products, over } =
        ready;
    let over_digest = over.as_ref().map(|over| over.digest.clone());
    let shipped = over.map(|over| (over.digest, over.source));
    let digests = unique(&products);
    let texts = [(digest.clone(), source)].into_iter().chain(products).chain(shipped);
    let mut events = kept(state, texts);
    events.push(Event::StageMoved {
        rod,
        stage: id,
        digest,
        products: digests,
        over: over_digest,
        differences,
    });
    events
}

/// The digests, each once.
pub(super) fn unique(products: &[(TextDigest, String)]) -> Vec<TextDigest> {
    let mut digests: Vec<TextDigest> = Vec::new();
    for (digest, _) in products {
        if !digests.contains(digest) {
            digests.push(digest.clone());
        }
    }
    digests
}
