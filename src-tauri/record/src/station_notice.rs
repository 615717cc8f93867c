//! What stands out in a station's day: for a reader who has one minute.

use crate::{
    block::{Column, heading, paragraph, small, table},
    flow::{Anchor, Strip, together},
    fonts::Fonts,
    rod_sheet::below,
    station_course::{Day, at, highest, known, percent},
    station_model::{EntryKind, StationLog},
    style::{BODY, SECTION},
    words::count,
    wrap::Run,
};

/// What is said when nothing stands out.
const NOTHING: &str = "Nothing: no set-back of the clock and no withdrawal is recorded, every \
     clearance has an end, every heat is followed by a signed watch, and the estimate is known \
     as far as it is drawn, and not above the limit where heat was used.";

/// The list of what stands out. One no higher than `whole` points is kept on one page.
pub(crate) fn strips(
    fonts: &Fonts,
    log: &StationLog,
    day: &Day,
    column: Column,
    whole: f32,
) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, "What stands out", column), 18.0);
    if let Some(first) = strips.first_mut() {
        let title = "What stands out".to_owned();
        first.anchor = Some(Anchor { key: "notice".to_owned(), title });
    }
    let found = found(log, day);
    if found.is_empty() {
        strips.extend(paragraph(fonts, &[Run::new(fonts, BODY, NOTHING)], column));
        return together(strips, whole);
    }
    let rows: Vec<Vec<Run>> =
        found.iter().map(|(place, what)| vec![small(fonts, place), small(fonts, what)]).collect();
    strips.extend(table(fonts, &[("Where", 1.4), ("What", 4.0)], &rows, column, &[]));
    together(strips, whole)
}

/// What stands out, as place and finding: first what touches heat, then what touches trust.
fn found(log: &StationLog, day: &Day) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut say = |place: String, what: String| found.push((place, what));
    for watch in &log.watches {
        let (heat, until) = (day.time(watch.last_heat), day.time(watch.until));
        let what = match &watch.kept {
            None if watch.until > log.printed => format!(
                "last heat at {heat}; no watch is signed yet: it was to last until {until}, and \
                 this was printed before"
            ),
            None => {
                format!("last heat at {heat}; no watch was signed, though it was due until {until}")
            }
            Some((kept, _)) if *kept < watch.until => {
                format!("signed at {}, before its end at {until}", day.time(*kept))
            }
            Some(_) => continue,
        };
        say(format!("Watch after {}", watch.clearance.trim()), what);
    }
    let last_watched = log.watches.iter().map(|watch| watch.last_heat).max();
    for entry in log.entries.iter().filter(|entry| entry.kind == EntryKind::Heat) {
        let time = day.time(entry.when);
        if last_watched.is_none_or(|watched| entry.when > watched) {
            say(format!("Heat at {time}"), "no watch is recorded after it".to_owned());
        }
        match at(&log.curve, entry.when) {
            Some(estimate) if estimate > log.curve_limit_percent => say(
                format!("Heat at {time}"),
                format!(
                    "the estimate as drawn stood at {}, above the limit of {}",
                    percent(estimate),
                    percent(log.curve_limit_percent)
                ),
            ),
            None if !log.curve.is_empty() => {
                say(format!("Heat at {time}"), "the estimate is not known there".to_owned());
            }
            _ => {}
        }
    }
    for entry in log.entries.iter().filter(|entry| entry.kind == EntryKind::Withdrawal) {
        let words = stated(&entry.words);
        say(format!("Withdrawal at {}", day.time(entry.when)), words);
    }
    for clearance in log.clearances.iter().filter(|clearance| clearance.ended.is_none()) {
        let until = day.time(clearance.until);
        let what = if clearance.until > log.printed {
            format!("it still held when this was printed, until {until} at most")
        } else {
            format!("no end is recorded; by itself it lapsed at {until}")
        };
        say(format!("Clearance {}", clearance.reference.trim()), what);
    }
    estimate(log, &mut say);
    clock(log, day, &mut say);
    found
}

fn estimate(log: &StationLog, say: &mut impl FnMut(String, String)) {
    let place = || "Vapour estimate".to_owned();
    if highest(&log.curve).is_none() {
        say(place(), format!("not known on this day: {}", stated(&log.curve_word)));
        return;
    }
    let gaps = log.curve.iter().filter(|(_, value)| !known(*value)).count();
    if gaps > 0 {
        say(place(), "not known for part of the day: there the line is broken".to_owned());
    }
    if !known(log.curve_limit_percent) {
        say(place(), "the limit for heat is not known".to_owned());
    }
}

/// What was recorded about the clock, and what the times of the entries show by themselves.
fn clock(log: &StationLog, day: &Day, say: &mut impl FnMut(String, String)) {
    for entry in log.entries.iter().filter(|entry| entry.kind == EntryKind::Clock) {
        say(format!("Clock at {}", day.time(entry.when)), stated(&entry.words));
    }
    let mut earlier = log.entries.windows(2).filter_map(|pair| match pair {
        [before, entry] if entry.when < before.when => Some((before, entry)),
        _ => None,
    });
    if let Some((before, entry)) = earlier.next() {
        let all = u64::try_from(earlier.count()).unwrap_or(u64::MAX).saturating_add(1);
        let entries = count(all, "entry bears", "entries bear");
        let (time, after) = (day.time(entry.when), day.time(before.when));
        let what = format!(
            "{entries} an earlier time than the one recorded before; first {time} after {after}"
        );
        say("Order of times".to_owned(), what);
    }
}

fn stated(words: &str) -> String {
    let words = words.trim();
    if words.is_empty() { "no words are recorded".to_owned() } else { words.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::station_specimen as specimen;
    use chrono::TimeDelta;

    fn found_in(log: &StationLog) -> Vec<(String, String)> {
        found(log, &Day::of(log))
    }

    fn pair(place: &str, what: &str) -> (String, String) {
        (place.to_owned(), what.to_owned())
    }

    #[test]
    fn a_day_in_order_has_nothing_to_tell() {
        assert_eq!(found_in(&specimen::quiet()), []);
    }

    #[test]
    fn what_stands_out_is_found_and_nothing_else() {
        assert_eq!(
            found_in(&specimen::ordinary()),
            [
                pair(
                    "Watch after C-3",
                    "last heat at 15:22:07; no watch was signed, though it was due until 15:52:07"
                ),
                pair(
                    "Withdrawal at 15:24:07",
                    "C-3: A flammable was opened or used in the room. Solvent, 0.5 l can, lid off."
                ),
                pair(
                    "Clock at 16:40:07",
                    "The clock shows 16:40:07, after it had shown 16:58:07. Heat waits until the \
                     clock has been looked at."
                ),
                pair(
                    "Order of times",
                    "1 entry bears an earlier time than the one recorded before; first 16:40:07 \
                     after 16:58:07"
                ),
            ]
        );
    }

    #[test]
    fn a_watch_that_still_runs_is_told_from_one_that_was_missed() {
        let mut log = specimen::quiet();
        let until = log.watches[0].until;
        log.watches[0].kept = Some((until - TimeDelta::minutes(1), "x".to_owned()));
        assert!(found_in(&log)[0].1.contains("before its end"));
        log.watches[0].kept = None;
        assert!(found_in(&log)[0].1.contains("no watch was signed"));
        log.printed = until - TimeDelta::minutes(1);
        assert!(found_in(&log)[0].1.contains("no watch is signed yet"));
    }

    #[test]
    fn heat_without_watch_or_estimate_is_told() {
        let mut log = specimen::quiet();
        log.watches.clear();
        let told = |log: &StationLog, words: &str| {
            found_in(log).iter().any(|(place, what)| place.contains("Heat") && what.contains(words))
        };
        assert!(told(&log, "no watch is recorded after it"));
        assert!(!told(&log, "the estimate"));
        log.curve_limit_percent = 0.1;
        assert!(told(&log, "above the limit of 0.1\u{a0}%"));
        for point in &mut log.curve {
            point.1 = f64::NAN;
        }
        assert!(told(&log, "the estimate is not known there"));
        log.curve.clear();
        let last = found_in(&log).pop().unwrap();
        assert_eq!(last.0, "Vapour estimate");
        assert!(last.1.starts_with("not known on this day: "));
    }
}
