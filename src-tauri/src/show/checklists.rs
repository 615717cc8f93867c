//! All checklist files: where each comes from, what it changes, what is wrong with it.

use super::{marked, problems};
use crate::folder::CHECKLISTS;
use crate::views::{ChecklistLine, ChecklistsView, DifferenceLine};
use crate::workshop::Workshop;
use coldbench_shop::{Difference, Listed};

/// All files with their findings.
pub fn checklists(workshop: &Workshop) -> ChecklistsView {
    let library = workshop.library();
    let mut listed: Vec<&Listed> = library.listed.iter().collect();
    // Stages in the order of the build; the rest as their files stand.
    listed.sort_by_key(|listed| {
        let stage = library.stages().iter().position(|it| it.list.id.as_str() == listed.id);
        stage.unwrap_or(usize::MAX)
    });
    ChecklistsView {
        folder: workshop.folder().join(CHECKLISTS).display().to_string(),
        files: listed.into_iter().map(|listed| line(workshop, listed)).collect(),
        problems: library.findings.iter().flat_map(problems).collect(),
    }
}

fn line(workshop: &Workshop, listed: &Listed) -> ChecklistLine {
    let (state, now) = (workshop.state(), workshop.now());
    let over = listed.over.as_ref();
    let accepted =
        over.and_then(|over| state.accepted.get(&(over.own.clone(), over.shipped.clone())));
    let takes_away = over.is_some_and(|over| over.differences.iter().any(|it| it.takes_away));
    ChecklistLine {
        id: listed.id.clone(),
        kind: kind_words(listed.kind).to_owned(),
        title: listed.title.clone(),
        path: listed.path.clone(),
        shipped: listed.shipped,
        over: over.is_some(),
        differences: over.into_iter().flat_map(|over| &over.differences).map(difference).collect(),
        held: takes_away && accepted.is_none(),
        accepted: accepted.map(|accepted| {
            format!("{} ({})", accepted.reason, marked(state, &accepted.mark, now))
        }),
    }
}

fn kind_words(kind: &str) -> &'static str {
    match kind {
        "stage" => "Stage",
        "material" => "Material",
        "adhesive" => "Adhesive",
        "sleeve" => "Sleeve",
        "glove" => "Gloves",
        _ => "Station list",
    }
}

/// A difference as it crosses.
pub(super) fn difference(found: &Difference) -> DifferenceLine {
    DifferenceLine {
        place: found.place.clone(),
        of: found.of.clone(),
        was: found.was.clone(),
        now: found.now.clone(),
        takes_away: found.takes_away,
    }
}
