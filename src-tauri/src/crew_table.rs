//! Who of the crew stands where with each stage that is taught: in words, for screen and paper.

use crate::error::ShellError;
use crate::pages::imprint;
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_record::{CrewStage, CrewTable};
use coldbench_shop::{Learning, Moment, PersonId, Role, State, TeachingAsked};

/// The crew table as a sheet.
pub fn crew_table(workshop: &Workshop, paper: page::Paper) -> Result<CrewTable, ShellError> {
    let (state, now) = (workshop.state(), workshop.now());
    let present = state.crew.values().filter(|person| person.present);
    let leads = present.filter(|person| person.role == Role::Lead);
    let leads = leads.map(|person| person.name.clone()).collect();
    let helpers = helpers(state);
    let stages = workshop.library().stages().iter().map(|stage| {
        let id = &stage.list.id;
        let standing = |person: &&PersonId| learning_words(state.learning(person, id, now), now);
        CrewStage {
            title: stage.list.title.clone(),
            asked: asked_words(state.teaching.get(id)),
            standings: helpers.iter().map(standing).collect(),
        }
    });
    Ok(CrewTable {
        imprint: imprint(workshop, paper)?,
        leads,
        people: helpers.iter().map(|id| crate::show::name(state, Some(id))).collect(),
        stages: stages.collect(),
    })
}

/// The helpers who are of the crew.
pub fn helpers(state: &State) -> Vec<&PersonId> {
    let helper =
        |(_, person): &(_, &coldbench_shop::Person)| person.present && person.role == Role::Helper;
    state.crew.iter().filter(helper).map(|(id, _)| id).collect()
}

/// What is asked of the teaching of a stage.
pub fn asked_words(asked: Option<&TeachingAsked>) -> String {
    let Some(asked) = asked.filter(|asked| asked.runs > 0) else { return "none".to_owned() };
    let runs = match asked.runs {
        1 => "1 witnessed run".to_owned(),
        runs => format!("{runs} witnessed runs"),
    };
    match asked.refresh_days {
        Some(1) => format!("{runs}, refresh after 1 day"),
        Some(days) => format!("{runs}, refresh after {days} days"),
        None => runs,
    }
}

/// Where somebody stands with a stage.
pub fn learning_words(learning: Learning, now: Moment) -> String {
    let day = |at: Moment| at.with_timezone(now.offset()).format("%Y-%m-%d");
    match learning {
        Learning::Lead => "lead".to_owned(),
        Learning::NotAsked => "as its steps ask".to_owned(),
        Learning::NotTaught => "not taught yet".to_owned(),
        Learning::Presenting { presented, of } => {
            format!("presenting, {presented} of {of} steps")
        }
        Learning::TryingOut { witnessed, of } => {
            format!("trying out, {witnessed} of {of} runs witnessed")
        }
        Learning::ToBeReleased => "next run alone, then a lead releases".to_owned(),
        Learning::Alone { since } => format!("alone since {}", day(since)),
        Learning::DueForRefresh { since } => {
            format!("due for a refresh, last done {}", day(since))
        }
    }
}
