//! One clearance for heat: from the state of the workshop to the printed page's plain data.

use crate::build_log::{clearance, watch};
use crate::error::ShellError;
use crate::pages::imprint;
use crate::show;
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_record::{ClearancePage, ClearedHeat, TextOf};
use coldbench_shop::{Clearance, ClearanceId, Refusal, State, celsius};

/// A clearance as it was granted, and what came of it.
pub fn clearance_page(
    workshop: &Workshop,
    id: &ClearanceId,
    paper: page::Paper,
) -> Result<ClearancePage, ShellError> {
    let state = workshop.state();
    let unknown = || Refusal::Unknown { what: "clearance", id: id.to_string() };
    let found = state.clearances.get(id).ok_or_else(unknown)?;
    let imprint = imprint(workshop, paper)?;
    let list = state.list_text(&found.digest);
    let unanswered = list.into_iter().flat_map(|list| &list.checks);
    let unanswered = unanswered.filter(|check| !found.answers.contains_key(&check.id));
    Ok(ClearancePage {
        clearance: clearance(state, id, found, imprint.printed),
        text: TextOf {
            title: list.map_or_else(String::new, |list| list.title.clone()),
            aim: list.map_or_else(String::new, |list| list.aim.clone()),
            id: list.map_or_else(String::new, |list| list.id.clone()),
            revised: list.map_or_else(String::new, |list| list.revised.clone()),
            sha256: found.digest.to_string(),
        },
        unanswered: unanswered.map(|check| check.ask.clone()).collect(),
        limits: limits(found),
        heat: heat(state, id),
        watch: watch(state, found),
        imprint,
    })
}

/// What was set, and the bounds that held.
fn limits(clearance: &Clearance) -> Vec<(String, String)> {
    let kept = &clearance.limits;
    let mut limits = vec![
        (
            "Gun",
            format!(
                "set to {}; at most {} % of the lowest autoignition temperature (°C) at the station, and no more than the step allows",
                celsius(clearance.gun_c),
                kept.gun_percent_of_autoignition
            ),
        ),
        ("Air", format!("{} changes an hour or more", kept.air_changes_per_hour)),
        (
            "Vapour",
            format!("{} % of the lower flammable limit at most", kept.vapour_percent_of_lfl),
        ),
        (
            "Distance",
            format!("{:.2} m or more to what burns, or a shield", kept.distance_mm / 1000.0),
        ),
        ("Lasts", format!("{} min at most", kept.lasts_minutes)),
    ];
    limits.extend(
        kept.watch_minutes.map(|minutes| ("Watch", format!("{minutes} min after the last heat"))),
    );
    limits.into_iter().map(|(label, words)| (label.to_owned(), words)).collect()
}

/// Steps with heat that were signed under it, oldest first.
fn heat(state: &State, id: &ClearanceId) -> Vec<ClearedHeat> {
    let mut heat = Vec::new();
    for (rod, found) in &state.rods {
        for run in &found.stages {
            for (step, did) in
                run.steps.iter().filter(|(_, did)| did.clearance.as_ref() == Some(id))
            {
                let Some(done) = &did.done else { continue };
                let text = state.stage_text(&run.digest).and_then(|stage| stage.step(step));
                heat.push(ClearedHeat {
                    when: done.at,
                    rod: rod.to_string(),
                    what: text.map_or_else(|| step.to_string(), |step| step.what.clone()),
                    who: show::name(state, done.by.as_ref()),
                    witness: did
                        .witnessed
                        .as_ref()
                        .map_or_else(String::new, |mark| show::name(state, mark.by.as_ref())),
                });
            }
        }
    }
    heat.sort_by_key(|step| step.when);
    heat
}
