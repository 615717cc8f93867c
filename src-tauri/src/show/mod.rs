//! From the state of the workshop to what the screen shows. No rule is decided here.

mod away;
mod checklists;
mod convert;
mod desk;
mod figure;
mod layout;
mod lots;
mod rod;
mod station;
mod teaching;
mod walk;

pub use checklists::checklists;
pub use convert::part_words;
pub use desk::{backups_view, desk, problems, way_back};
pub use layout::{improve_layout, layout, space_guides, try_layout, try_trim};
pub use lots::{lots, rods_with_lot};
pub use rod::{plain_drawing, rod, units};
pub use station::station;
pub use teaching::crew_table;
pub use walk::walk;

use crate::views::{HazardView, StatementsView};
use coldbench_shop::{Mark, Moment, PersonId, State, hazard};

/// A moment as it crosses: RFC 3339.
fn time(at: Moment) -> String {
    at.to_rfc3339()
}

/// A moment in words, as near as needed: `14:05`, or with its day where it is another one.
fn near(at: Moment, now: Moment) -> String {
    let at = at.with_timezone(now.offset());
    if at.date_naive() == now.date_naive() {
        at.format("%H:%M").to_string()
    } else {
        at.format("%a %-d %b, %H:%M").to_string()
    }
}

/// A person's name, also when they have left.
pub fn name(state: &State, person: Option<&PersonId>) -> String {
    match person {
        None => "Coldbench".to_owned(),
        Some(id) => state.crew.get(id).map_or_else(|| id.to_string(), |person| person.name.clone()),
    }
}

fn marked(state: &State, mark: &Mark, now: Moment) -> String {
    format!("{}, {}", name(state, mark.by.as_ref()), near(mark.at, now))
}

/// What official precautionary statements ask with these hazards.
fn statements(codes: &[String]) -> Option<StatementsView> {
    let lines = hazard::precautions(codes.iter().map(String::as_str));
    let edition = hazard::PRECAUTIONS_EDITION.to_owned();
    (!lines.is_empty()).then_some(StatementsView { lines, edition })
}

fn hazards(codes: &[String]) -> Vec<HazardView> {
    codes
        .iter()
        .map(|code| HazardView {
            code: code.clone(),
            words: hazard::words(code).unwrap_or_default().to_owned(),
        })
        .collect()
}
