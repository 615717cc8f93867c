//! A stage that somebody was called away from: who, from which step, and whether heat is still cleared.

use super::walk::Here;
use super::{name, near, time};
use crate::views::AwayView;

/// Who is away from here, if anyone is.
pub fn away(here: &Here<'_>) -> Option<AwayView> {
    let away = here.run.away.last().filter(|away| away.back.is_none())?;
    let step = here.stage.steps.iter().position(|step| step.id == away.step);
    Some(AwayView {
        by: name(here.workshop.state(), away.left.by.as_ref()),
        since: time(away.left.at),
        step: away.step.to_string(),
        number: step.and_then(|index| u32::try_from(index + 1).ok()),
        clearance: here.stage.uses_heat().then(|| clearance(here)),
    })
}

/// What has become of the clearance of the station, in a sentence.
fn clearance(here: &Here<'_>) -> String {
    let (state, now) = (here.workshop.state(), here.workshop.now());
    let station = &here.run.station;
    if let Some((_, live)) = state.live_clearance(station, now) {
        return format!(
            "The station is still cleared for heat, until {}; {} watches.",
            near(live.until, now),
            name(state, Some(&live.watcher))
        );
    }
    let last = state.clearances.values().filter(|c| &c.station == station);
    match last.max_by_key(|clearance| clearance.granted) {
        None => "The station is not cleared for heat.".to_owned(),
        Some(last) => match last.withdrawn {
            Some((at, cause)) => {
                format!("No heat: the clearance was withdrawn {}. {}", near(at, now), cause.words())
            }
            None => format!("No heat: the clearance lapsed {}.", near(last.until, now)),
        },
    }
}
