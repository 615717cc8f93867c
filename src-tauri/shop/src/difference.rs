//! In what one text of a checklist differs from another, and what of that takes a guard away: a
//! caution, what to wear, a hold point, a witness, a mark of heat, a wait.
//!
//! A caution that is worded otherwise counts as taken away: whether the new words warn of the same
//! only a person can tell.

use crate::checklist::{
    AnswerKind, Check, ClockKind, ClockStart, HeatLimits, PictureName, Record, Runs, Stage,
    StationKind, StationList, Step,
};
use crate::words::{celsius, number};
use coldbench_trade::adhesive::Milestone;
use serde::{Deserialize, Serialize};

/// One thing in which a text differs from another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Difference {
    /// The step or check, by what it asks for; empty for the text as a whole.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// What of it.
    pub of: String,
    /// What stood there; empty for nothing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub was: String,
    /// What stands there now; empty for nothing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub now: String,
    /// Whether a guard is taken away by it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub takes_away: bool,
}

impl Difference {
    /// In a sentence, for screen and paper.
    pub fn words(&self) -> String {
        let place = if self.place.is_empty() {
            String::new()
        } else {
            format!("“{}” ", self.place.trim_end_matches(['.', '?', '!']))
        };
        let of = if place.is_empty() {
            let mut letters = self.of.chars();
            letters.next().map_or_else(String::new, |first| {
                first.to_uppercase().chain(letters).collect::<String>()
            })
        } else {
            self.of.clone()
        };
        let quoted = |text: &str| format!("“{text}”");
        match (self.was.is_empty(), self.now.is_empty()) {
            (true, _) => format!("{place}{of}: {}, not there before.", quoted(&self.now)),
            (_, true) => format!("{place}{of}: {} is gone.", quoted(&self.was)),
            _ => format!("{place}{of}: {} in place of {}.", quoted(&self.now), quoted(&self.was)),
        }
    }
}

/// A checklist that can be held against another of its kind.
pub trait Compare {
    /// In what `newer` differs from this.
    fn differences(&self, newer: &Self) -> Vec<Difference>;
}

/// In what `newer` differs from `older`, in the order of the newer text.
pub fn differences<T: Compare>(older: &T, newer: &T) -> Vec<Difference> {
    older.differences(newer)
}

/// What `newer` takes away of the guards of `older`.
pub fn takes_away<T: Compare>(older: &T, newer: &T) -> Vec<Difference> {
    older.differences(newer).into_iter().filter(|found| found.takes_away).collect()
}

#[derive(Default)]
struct Found {
    all: Vec<Difference>,
    place: String,
}

impl Found {
    fn note(&mut self, of: &str, was: impl Into<String>, now: impl Into<String>, takes_away: bool) {
        let (was, now) = (was.into(), now.into());
        if was != now {
            let (place, of) = (self.place.clone(), of.to_owned());
            self.all.push(Difference { place, of, was, now, takes_away });
        }
    }

    /// A mark that is there or not.
    fn mark(&mut self, of: &str, was: bool, now: bool) {
        let word = |is: bool| if is { "yes" } else { "no" };
        self.note(of, word(was), word(now), was && !now);
    }

    /// Words of which none may be lost.
    fn list(&mut self, of: &str, was: &[String], now: &[String]) {
        let lost = was.iter().any(|word| !now.contains(word));
        self.note(of, was.join(", "), now.join(", "), lost);
    }
}

impl Compare for Stage {
    fn differences(&self, newer: &Self) -> Vec<Difference> {
        let mut found = Found::default();
        found.note("title", &self.title, &newer.title, false);
        found.note("aim", &self.aim, &newer.aim, false);
        let needs = |stage: &Self| {
            let ids: Vec<&str> = stage.needs.iter().map(crate::ids::StageId::as_str).collect();
            ids.join(", ")
        };
        found.note("what comes first", needs(self), needs(newer), false);
        let cures = |stage: &Self| {
            let each = |need: &crate::checklist::CureNeed| {
                format!("{} cured to {}", need.stage, milestone(need.until))
            };
            stage.cures.iter().map(each).collect::<Vec<_>>()
        };
        found.list("bonds that must be cured", &cures(self), &cures(newer));
        if self.condition != newer.condition {
            let narrower = !newer.condition.takes_all_of(&self.condition);
            found.note("for which rods", "as before", "changed", narrower);
        }
        let heats = self.uses_heat();
        let order = |stage: &Self, other: &Self| -> Vec<String> {
            let both = stage.steps.iter().filter(|step| other.step(&step.id).is_some());
            both.map(|step| step.id.to_string()).collect()
        };
        let (was, now) = (order(self, newer), order(newer, self));
        let held = self.steps.iter().any(|step| step.is_hold_point() || step.waits_for.is_some());
        found.note("order of the steps", was.join(", "), now.join(", "), held);
        for step in &newer.steps {
            found.place.clone_from(&step.what);
            match self.step(&step.id) {
                Some(older) => step_differs(older, step, heats, &mut found),
                None => found.note("step", "", format!("new: {}", step.what), false),
            }
        }
        for step in self.steps.iter().filter(|step| newer.step(&step.id).is_none()) {
            found.place.clone_from(&step.what);
            found.note("step", step.what.as_str(), "taken out", is_guarded(step));
        }
        found.all
    }
}

fn is_guarded(step: &Step) -> bool {
    step.caution.is_some()
        || step.is_hold_point()
        || step.witness
        || step.waits_for.is_some()
        || !step.wear.is_empty()
}

fn step_differs(older: &Step, newer: &Step, heats: bool, found: &mut Found) {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    found.note("what", &older.what, &newer.what, false);
    found.note("key point", &older.key_point, &newer.key_point, false);
    found.note("reason", &older.reason, &newer.reason, false);
    found.note("caution", text(&older.caution), text(&newer.caution), older.caution.is_some());
    found.list("hazards", &older.hazards, &newer.hazards);
    found.list("what to wear", &older.wear, &newer.wear);
    found.mark("uses heat", older.heat, newer.heat);
    let gun = |step: &Step| step.gun_limit_c.map_or_else(String::new, celsius);
    let hotter = match (older.gun_limit_c, newer.gun_limit_c) {
        (Some(was), Some(now)) => now > was,
        (was, _) => was.is_some(),
    };
    found.note("highest gun setting", gun(older), gun(newer), hotter);
    found.mark("hold point", older.hold, newer.hold);
    found.mark("a lead witnesses", older.witness, newer.witness);
    // What is measured before heat is a guard of its own; elsewhere a shop knows its own limits.
    let weaker = heats && is_weaker(older.record.as_ref(), newer.record.as_ref());
    found.note("value", record(older), record(newer), weaker);
    let id = |id: &Option<crate::ids::ClockId>| id.as_ref().map_or("", |id| id.as_str()).to_owned();
    found.note(
        "waits for the clock",
        id(&older.waits_for),
        id(&newer.waits_for),
        older.waits_for.is_some(),
    );
    found.note("ends the clock", id(&older.ends), id(&newer.ends), false);
    let looser = is_looser(older.starts.as_ref(), newer.starts.as_ref());
    found.note("clock", clock(older.starts.as_ref()), clock(newer.starts.as_ref()), looser);
    found.note("lot", text(&older.lot), text(&newer.lot), false);
    found.note("figures", figures(older), figures(newer), false);
    found.note("drawing", drawing(older), drawing(newer), false);
    found.note("source", text(&older.source), text(&newer.source), false);
    if older.condition != newer.condition {
        let narrower = !newer.condition.takes_all_of(&older.condition);
        found.note("for which rods", "as before", "changed", narrower && is_guarded(older));
    }
}

fn record(step: &Step) -> String {
    step.record.as_ref().map_or_else(String::new, |record| {
        let times =
            if record.repeat > 1 { format!(", {} times", record.repeat) } else { String::new() };
        format!("{} ({}){times}", record.name, record.limits)
    })
}

fn is_weaker(older: Option<&Record>, newer: Option<&Record>) -> bool {
    match (older, newer) {
        (None, _) => false,
        (Some(_), None) => true,
        (Some(was), Some(now)) => {
            was.measure != now.measure
                || wider((was.least, was.most), (now.least, now.most))
                || now.repeat < was.repeat
        }
    }
}

/// Whether limits let through what they kept out.
fn wider(was: (Option<f64>, Option<f64>), now: (Option<f64>, Option<f64>)) -> bool {
    let below = was.0.is_some_and(|least| now.0.is_none_or(|now| now < least));
    let above = was.1.is_some_and(|most| now.1.is_none_or(|now| now > most));
    below || above
}

fn milestone(milestone: Milestone) -> &'static str {
    match milestone {
        Milestone::Handle => "handling",
        Milestone::Load => "load",
        Milestone::FullCure => "full cure",
    }
}

fn clock(clock: Option<&ClockStart>) -> String {
    clock.map_or_else(String::new, |clock| match &clock.runs {
        Runs::Minutes(minutes) => format!("{}, {minutes} min", clock.name),
        Runs::Cure { product, until, .. } => {
            format!("{}, {product} cured to {}", clock.name, milestone(*until))
        }
    })
}

/// Whether a wait got shorter, or a time that may be used up longer.
fn is_looser(older: Option<&ClockStart>, newer: Option<&ClockStart>) -> bool {
    let Some(was) = older else { return false };
    let Some(now) = newer else { return true };
    if was.kind != now.kind || was.id != now.id {
        return true;
    }
    match (&was.runs, &now.runs) {
        (Runs::Minutes(was_min), Runs::Minutes(now_min)) => {
            if was.kind.is_wait() {
                now_min < was_min
            } else {
                now_min > was_min
            }
        }
        (Runs::Cure { until: was, .. }, Runs::Cure { until: now, .. }) => {
            let rank = |milestone: &Milestone| match milestone {
                Milestone::Handle => 0,
                Milestone::Load => 1,
                Milestone::FullCure => 2,
            };
            rank(now) < rank(was)
        }
        // A wait that followed the adhesive is typed now: nobody can tell which is longer.
        (Runs::Cure { .. }, Runs::Minutes(_)) => was.kind == ClockKind::Cure,
        (Runs::Minutes(_), Runs::Cure { .. }) => false,
    }
}

fn figures(step: &Step) -> String {
    let names: Vec<&str> = step.figures.iter().map(|figure| figure.kind.name()).collect();
    names.join(", ")
}

fn drawing(step: &Step) -> &'static str {
    step.picture.map_or("", PictureName::name)
}

impl Compare for StationList {
    fn differences(&self, newer: &Self) -> Vec<Difference> {
        let mut found = Found::default();
        found.note("title", &self.title, &newer.title, false);
        found.note("aim", &self.aim, &newer.aim, false);
        let kind = |list: &Self| list.kind.name();
        found.note("kind", kind(self), kind(newer), true);
        let guards = matches!(self.kind, StationKind::OpenBench | StationKind::HeatClearance);
        let minutes = |list: &Self| format!("{} min", list.lasts_minutes);
        let longer = newer.lasts_minutes > self.lasts_minutes;
        found.note("how long it counts", minutes(self), minutes(newer), longer);
        let days = |list: &Self| {
            list.due_again_days.map_or_else(String::new, |days| format!("{days} days"))
        };
        found.note("due again after", days(self), days(newer), false);
        limits_differ(self.limits.as_ref(), newer.limits.as_ref(), &mut found);
        for check in &newer.checks {
            found.place.clone_from(&check.ask);
            match self.check(&check.id) {
                Some(older) => check_differs(older, check, guards, &mut found),
                None => found.note("check", "", format!("new: {}", check.ask), false),
            }
        }
        for check in self.checks.iter().filter(|check| newer.check(&check.id).is_none()) {
            found.place.clone_from(&check.ask);
            let guarded = guards || check.caution.is_some();
            found.note("check", check.ask.as_str(), "taken out", guarded);
        }
        found.all
    }
}

fn check_differs(older: &Check, newer: &Check, guards: bool, found: &mut Found) {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    found.note("question", &older.ask, &newer.ask, guards);
    found.note("key point", &older.key_point, &newer.key_point, false);
    found.note("reason", &older.reason, &newer.reason, false);
    found.note("caution", text(&older.caution), text(&newer.caution), older.caution.is_some());
    found.list("hazards", &older.hazards, &newer.hazards);
    let weaker = guards && lets_more_pass(&older.answer, &newer.answer);
    found.note("answer", answer(&older.answer), answer(&newer.answer), weaker);
}

fn lets_more_pass(older: &AnswerKind, newer: &AnswerKind) -> bool {
    match (older, newer) {
        (AnswerKind::Choice { pass: was, .. }, AnswerKind::Choice { pass: now, .. }) => {
            now.iter().any(|state| !was.contains(state))
        }
        (
            AnswerKind::Value { measure: was, least, most, .. },
            AnswerKind::Value { measure: now, least: now_least, most: now_most, .. },
        ) => was != now || wider((*least, *most), (*now_least, *now_most)),
        (was, now) => was != now,
    }
}

fn answer(answer: &AnswerKind) -> String {
    match answer {
        AnswerKind::Choice { states, pass } => {
            format!("{} (passes: {})", states.join(" / "), pass.join(" / "))
        }
        AnswerKind::Value { limits, .. } => limits.clone(),
        AnswerKind::Airflow => "the airflow".to_owned(),
        AnswerKind::Containers => "each container".to_owned(),
        AnswerKind::Distance => "the distance".to_owned(),
        AnswerKind::Watcher => "who watches".to_owned(),
        AnswerKind::GunTemperature => "the gun's setting".to_owned(),
        AnswerKind::Vapour => "the meter".to_owned(),
    }
}

/// The bounds of a clearance: all of them published or house rules that a file may make stricter, so
/// each that is looser than in the text before is a guard taken away.
fn limits_differ(older: Option<&HeatLimits>, newer: Option<&HeatLimits>, found: &mut Found) {
    let (Some(was), Some(now)) = (older, newer) else {
        if older.is_some() {
            found.note("limits", "as shipped", "", true);
        }
        return;
    };
    let whole = |value: u32| f64::from(value);
    // Name, unit, was, now, and whether more of it is stricter.
    let rows = [
        (
            "answers stay fresh",
            "min",
            whole(was.answers_fresh_minutes),
            whole(now.answers_fresh_minutes),
            false,
        ),
        (
            "vapour",
            "% of the lower flammable limit",
            was.vapour_percent_of_lfl,
            now.vapour_percent_of_lfl,
            false,
        ),
        ("air changes", "an hour", was.air_changes_per_hour, now.air_changes_per_hour, true),
        ("distance", "mm", was.distance_mm, now.distance_mm, true),
        (
            "gun setting",
            "% of the autoignition temperature",
            was.gun_percent_of_autoignition,
            now.gun_percent_of_autoignition,
            false,
        ),
        (
            "a release is remembered",
            "h",
            whole(was.release_remembered_hours),
            whole(now.release_remembered_hours),
            true,
        ),
        ("mixing factor", "", was.mixing_factor, now.mixing_factor, true),
        (
            "a reading of the air counts",
            "min",
            whole(was.air_reading_holds_minutes),
            whole(now.air_reading_holds_minutes),
            false,
        ),
        ("watch after heat", "min", whole(was.watch_minutes), whole(now.watch_minutes), true),
    ];
    for (name, unit, was, now, more_is_stricter) in rows {
        let looser = if more_is_stricter { now < was } else { now > was };
        let shown = |value: f64| format!("{} {unit}", number(value)).trim_end().to_owned();
        found.note(name, shown(was), shown(now), looser);
    }
}

#[cfg(test)]
mod tests;
