//! Lots of materials, and on which rods each was used.

use crate::views::LotLine;
use crate::workshop::Workshop;
use coldbench_shop::State;

/// All lots, those at hand first, with the rods on which each was used.
pub fn lots(workshop: &Workshop) -> Vec<LotLine> {
    let (state, now) = (workshop.state(), workshop.now());
    let mut lots: Vec<LotLine> = state
        .lots
        .iter()
        .map(|(id, lot)| LotLine {
            id: id.to_string(),
            what: lot.what.clone(),
            marking: lot.marking.clone(),
            expires: lot.expires.map(|expires| expires.to_string()),
            expired: lot.expires.is_some_and(|expires| now.date_naive() > expires),
            gone: lot.gone,
            rods: rods_with_lot(state, &lot.marking),
        })
        .collect();
    lots.sort_by_key(|lot| lot.gone);
    lots
}

/// The rods on which a lot was named, registered or not: id and title.
pub fn rods_with_lot(state: &State, marking: &str) -> Vec<(String, String)> {
    let is_it = |named: &str| {
        named.split([',', ';']).any(|part| part.trim().eq_ignore_ascii_case(marking.trim()))
    };
    state
        .rods
        .iter()
        .filter(|(_, rod)| {
            rod.stages
                .iter()
                .flat_map(|run| run.steps.values())
                .filter_map(|step| step.lot.as_ref())
                .any(|(named, _)| is_it(named))
        })
        .map(|(id, rod)| (id.to_string(), rod.plan.title.clone()))
        .collect()
}
