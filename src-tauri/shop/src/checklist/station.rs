//! What is gone through at a station: from opening the bench to closing it, clearance for heat, what
//! is done after a spill or a splash, and what is looked at now and then.

use super::common;
use super::common::limit;
use super::diagnostic::Findings;
use super::schema::{Hazard, MeasureName};
use super::spanned::Spanned;
use super::wording;
use coldbench_trade::Measure;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

use crate::ids::StepId;

/// Which station checklist it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StationKind {
    /// Gone through before the day's work at the station.
    OpenBench,
    /// Gone through before heat; grants a clearance.
    HeatClearance,
    /// Gone through after the day's work; closes the station.
    CloseBench,
    /// Something was spilt. Beginning it ends every clearance in the room.
    Spill,
    /// Something got on skin or into an eye. Beginning it ends the clearance at the station.
    Contact,
    /// A product that was never on the shelf before.
    NewProduct,
    /// What is looked at every few weeks.
    MonthlyLook,
    /// A list of the shop's own.
    Own,
}

impl StationKind {
    /// All of them, each with its name in a file.
    pub const ALL: [(&'static str, Self); 8] = [
        ("open-bench", Self::OpenBench),
        ("heat-clearance", Self::HeatClearance),
        ("close-bench", Self::CloseBench),
        ("spill", Self::Spill),
        ("contact", Self::Contact),
        ("new-product", Self::NewProduct),
        ("monthly-look", Self::MonthlyLook),
        ("station-list", Self::Own),
    ];

    /// Its name in a file.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(name, _)| name)
    }

    /// Whether something is wrong already when it is begun.
    pub fn is_urgent(self) -> bool {
        matches!(self, Self::Spill | Self::Contact)
    }

    /// The longest it may count once it is done, in minutes; none where nothing rests on it.
    fn counts_at_most(self) -> Option<u32> {
        match self {
            Self::OpenBench => Some(LONGEST_BENCH_MINUTES),
            Self::HeatClearance => Some(LONGEST_CLEARANCE_MINUTES),
            _ => None,
        }
    }
}

/// A checklist of a station.
#[derive(Debug, Clone, PartialEq)]
pub struct StationList {
    /// Stable id.
    pub id: String,
    /// What it is for.
    pub kind: StationKind,
    /// Short title.
    pub title: String,
    /// What is reached when it is done.
    pub aim: String,
    /// Date of this revision, as written.
    pub revised: String,
    /// How long an opened bench or a clearance counts; 0 for other lists.
    pub lasts_minutes: u32,
    /// After how many days it is due again, if it is.
    pub due_again_days: Option<u32>,
    /// The bounds of a heat clearance; `None` for other lists.
    pub limits: Option<HeatLimits>,
    /// The checks, in order; at least one.
    pub checks: Vec<Check>,
}

impl StationList {
    /// The check with this id.
    pub fn check(&self, id: &StepId) -> Option<&Check> {
        self.checks.iter().find(|check| &check.id == id)
    }
}

/// The bounds a heat clearance keeps. A file may make each stricter, never looser.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatLimits {
    /// How long a clearance lasts.
    pub lasts_minutes: u32,
    /// How old an answer may be when the clearance is granted.
    pub answers_fresh_minutes: u32,
    /// Highest vapour, in percent of the lower flammable limit.
    pub vapour_percent_of_lfl: f64,
    /// Least air changes per hour.
    pub air_changes_per_hour: f64,
    /// Least distance to anything that burns, unless shielded, in mm.
    pub distance_mm: f64,
    /// Highest gun setting in percent of the lowest autoignition temperature (°C) at the station.
    pub gun_percent_of_autoignition: f64,
    /// How long after a flammable was open here "nothing measured" means "no data".
    pub release_remembered_hours: u32,
    /// How far the room falls short of mixing at once: it divides the flow (ACGIH's K).
    pub mixing_factor: f64,
    /// How long a reading of the airflow counts; after it no air is taken to move.
    pub air_reading_holds_minutes: u32,
    /// How long the place is watched after the last heat.
    pub watch_minutes: u32,
}

/// What a check of the heat clearance proves; each is needed once (vapour may be left to the
/// estimate).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "proof")]
pub enum Proof {
    /// The ventilation runs, with a reading.
    Airflow,
    /// Each container known to the station is closed and away, or removed.
    Flammables,
    /// Wiping rags are in a lidded metal bin.
    Rags,
    /// What is wet on the work.
    WetWork,
    /// Distance to or shielding from what burns.
    Distance,
    /// The extinguisher.
    Extinguisher,
    /// Who watches.
    Watcher,
    /// The gun's set temperature.
    GunTemperature,
    /// A reading of a combustible-gas meter, if there is one.
    Vapour,
}

const NEEDED: &[(Proof, &str)] = &[
    (Proof::Airflow, "airflow"),
    (Proof::Flammables, "flammables"),
    (Proof::Rags, "rags"),
    (Proof::WetWork, "wet-work"),
    (Proof::Distance, "distance"),
    (Proof::Extinguisher, "extinguisher"),
    (Proof::Watcher, "watcher"),
    (Proof::GunTemperature, "gun-temperature"),
    (Proof::Vapour, "vapour"),
];

/// One question asked at the station.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Unique within the list.
    pub id: StepId,
    /// What is asked, answered by a state or a value.
    pub ask: String,
    /// What makes or breaks it.
    pub key_point: String,
    /// Why.
    pub reason: String,
    /// What hurts and what to do about it.
    pub caution: Option<String>,
    /// Hazard codes.
    pub hazards: Vec<String>,
    /// What it proves for a clearance.
    pub proves: Option<Proof>,
    /// The form of the answer.
    pub answer: AnswerKind,
}

/// The form an answer takes.
#[derive(Debug, Clone, PartialEq)]
pub enum AnswerKind {
    /// One of several states, of which some pass.
    Choice {
        /// All states, as shown.
        states: Vec<String>,
        /// Those that pass.
        pass: Vec<String>,
    },
    /// A measured value within limits.
    Value {
        /// Its kind.
        measure: Measure,
        /// Least value in the kept unit.
        least: Option<f64>,
        /// Greatest value in the kept unit.
        most: Option<f64>,
        /// The limits as written.
        limits: String,
    },
    /// Air speed times opening, or a rated flow cut down.
    Airflow,
    /// The state of each container known to the station.
    Containers,
    /// Distance to what burns, or a shield.
    Distance,
    /// A person of the crew.
    Watcher,
    /// The gun's set temperature.
    GunTemperature,
    /// A meter reading in percent of the lower flammable limit, or no meter.
    Vapour,
}

/// 29 CFR 1915.14(b) (from memory) and 1915.12(b), 1915.13(b)(3) (read): below 10 % of the LEL.
const MOST_VAPOUR_PERCENT: f64 = 10.0;
/// 29 CFR 1910.106(d)(4)(iv): six changes an hour (inside storage rooms; read second hand).
const LEAST_AIR_CHANGES: f64 = 6.0;
/// 29 CFR 1910.252(a)(2)(iii)(A): 35 ft.
const LEAST_DISTANCE_MM: f64 = 35.0 * 304.8;
/// Surfaces below 80 % of the autoignition temperature in °C (Ex equipment practice, read second
/// hand).
const MOST_GUN_PERCENT: f64 = 80.0;
/// Common practice, no source: a clearance for bench heat is good for an hour at most.
const LONGEST_CLEARANCE_MINUTES: u32 = 60;
/// Common practice, no source: an answer given longer ago says little about now.
const OLDEST_ANSWER_MINUTES: u32 = 15;
/// House rule, no source: a day and a night of air changes after the last open container.
const LEAST_REMEMBERED_HOURS: u32 = 24;
/// The mixing factor could be as high as 10: MMWR 28 Oct 1994;43(RR-13). ACGIH's range is 1 to 10
/// (from memory).
const LEAST_MIXING_FACTOR: f64 = 10.0;
/// House rule, no source: an hour after it was read nobody knows whether the fan still runs.
const LONGEST_AIR_READING_MINUTES: u32 = 60;
/// 29 CFR 1910.252(a)(2)(iii)(B): half an hour after the work (read). NFPA 51B asks for an hour
/// (from memory), which the shipped file takes.
const LEAST_WATCH_MINUTES: u32 = 30;
/// Common practice, no source: an opened bench is looked at again after a working day.
const LONGEST_BENCH_MINUTES: u32 = 16 * 60;
/// A list that is due again after more than a year is none that is kept.
const LONGEST_AGAIN_DAYS: u32 = 366;

/// A list that is gone through at a station.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RawList {
    /// The form of the file, always 1.
    #[serde(rename = "format")]
    _format: i64,
    /// What the file describes.
    #[serde(rename = "kind")]
    _kind: String,
    /// A name that stays the same in every revision: small letters, digits and hyphens.
    #[schemars(example = &"open-bench")]
    id: Spanned<String>,
    /// Short title, as on the screen.
    #[schemars(example = &"Open the bench")]
    title: Spanned<String>,
    /// What is reached when the list is done, in a sentence.
    #[schemars(example = &"The bench is clear, dry and warm enough for resin.")]
    aim: Spanned<String>,
    /// The day of this revision. Change it with every edit.
    #[schemars(example = &"2026-11-25")]
    revised: String,
    /// How many minutes it counts: an opened bench 960 at most, a clearance for heat 60 at most. Shorter is
    /// always allowed. Needed there; other lists have none.
    #[schemars(example = 30, range(min = 1, max = LONGEST_BENCH_MINUTES))]
    lasts_minutes: Option<Spanned<u32>>,
    /// After how many days it is due again. Leave it out for a list that is gone through when there is a
    /// reason to.
    #[schemars(example = 31, range(min = 1, max = LONGEST_AGAIN_DAYS))]
    due_again_days: Option<Spanned<u32>>,
    /// The bounds of a clearance for heat. Needed there; other lists have none.
    limits: Option<Spanned<RawLimits>>,
    /// The questions in their order, each one a [[check]].
    #[schemars(length(min = 1))]
    #[serde(default)]
    check: Vec<Spanned<RawCheck>>,
}

/// The bounds of a clearance for heat. Each may be made stricter, never looser.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "limits")]
struct RawLimits {
    /// How many minutes old an answer may be when the clearance is granted.
    #[schemars(example = 15, range(min = 1, max = OLDEST_ANSWER_MINUTES))]
    answers_fresh_minutes: Spanned<u32>,
    /// The most vapour, in percent of the lower flammable limit.
    #[schemars(example = 10.0, range(min = 0.0, max = MOST_VAPOUR_PERCENT))]
    vapour_percent_of_lfl: Spanned<f64>,
    /// The least air changes per hour.
    #[schemars(example = 6.0, range(min = LEAST_AIR_CHANGES))]
    air_changes_per_hour: Spanned<f64>,
    /// The least distance to anything that burns and is not shielded, with its unit: 35 ft or more.
    #[schemars(example = &"35 ft")]
    distance: Spanned<String>,
    /// The highest setting of the gun, in percent of the lowest autoignition temperature (°C) at the
    /// station.
    #[schemars(example = 80.0, range(min = 1.0, max = MOST_GUN_PERCENT))]
    gun_percent_of_autoignition: Spanned<f64>,
    /// How many hours a flammable that was open here is remembered.
    #[schemars(example = 24, range(min = LEAST_REMEMBERED_HOURS))]
    release_remembered_hours: Spanned<u32>,
    // Files of an earlier Coldbench do not have these: the strictest then holds.
    /// How far the room falls short of mixing at once; it divides the airflow. 10 if left out.
    #[schemars(example = 10.0, range(min = LEAST_MIXING_FACTOR))]
    mixing_factor: Option<Spanned<f64>>,
    /// How many minutes a reading of the airflow counts. 60 if left out.
    #[schemars(example = 60, range(min = 1, max = LONGEST_AIR_READING_MINUTES))]
    air_reading_holds_minutes: Option<Spanned<u32>>,
    /// How many minutes the place is watched after the last heat. 60 if left out.
    #[schemars(example = 60, range(min = LEAST_WATCH_MINUTES))]
    watch_minutes: Option<Spanned<u32>>,
}

/// One question at the station. It needs an answer that can be wrong: states of which some don't pass, a
/// measure with a limit, or what it proves.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "check")]
struct RawCheck {
    /// A name of its own within the list: small letters, digits and hyphens.
    #[schemars(example = &"rags")]
    id: Spanned<String>,
    /// What is asked, in a sentence that reads at arm's length.
    #[schemars(example = &"Where are the wiping rags and papers?")]
    ask: Spanned<String>,
    /// What makes or breaks it.
    #[schemars(example = &"Look under the bench, then shut the lid.")]
    key_point: Spanned<String>,
    /// Why it is asked.
    #[schemars(example = &"Oily rags can heat up by themselves.")]
    reason: Spanned<String>,
    /// What hurts, and then what to do about it. Needed where hazards are named. The safety data sheet
    /// comes first.
    #[schemars(
        example = &"Vapour can burn. No reading means no heat. The safety data sheet comes first."
    )]
    caution: Option<Spanned<String>>,
    /// What can hurt: codes of the safety data sheet, or words of this list.
    #[schemars(with = "Vec<Hazard>", example = vec!["H225", "vapour"])]
    #[serde(default)]
    hazards: Vec<Spanned<String>>,
    /// What it proves for a clearance for heat, which needs each of these once. All but rags, wet-work and
    /// extinguisher bring the form of their answer along.
    proves: Option<Spanned<Proof>>,
    /// The answers to choose from, two or more.
    #[schemars(example = vec!["in the lidded metal bin", "lying about"])]
    #[serde(default)]
    states: Vec<String>,
    /// Those of the states that pass; not all of them.
    #[schemars(example = vec!["in the lidded metal bin"])]
    #[serde(default)]
    pass: Vec<Spanned<String>>,
    /// What kind of value is measured, in place of states.
    #[schemars(with = "Option<MeasureName>", example = &"temperature")]
    measure: Option<Measure>,
    /// The least the value may be, with its unit.
    #[schemars(example = &"18 °C")]
    least: Option<Spanned<String>>,
    /// The most the value may be, with its unit.
    #[schemars(example = &"28 °C")]
    most: Option<Spanned<String>>,
}

pub(super) fn read(
    kind: StationKind,
    raw: RawList,
    findings: &mut Findings<'_>,
) -> Option<StationList> {
    common::slug(&raw.id, findings);
    common::not_blank("The title", &raw.title, findings);
    common::not_blank("The aim", &raw.aim, findings);
    if raw.check.is_empty() {
        findings.error(
            "checklist::no-steps",
            raw.id.span(),
            "The checklist has no check.",
            "Add at least one [[check]] with id, ask, key-point and reason.",
        );
        return None;
    }
    common::unique(raw.check.iter().map(|check| &check.get_ref().id), findings);
    // What is looked at now and then follows the way through the shop.
    if !matches!(kind, StationKind::NewProduct | StationKind::MonthlyLook) {
        let hurts = |check: &Spanned<RawCheck>| !check.get_ref().hazards.is_empty();
        let all: Vec<bool> = raw.check.iter().map(hurts).collect();
        if let Some(first) = raw.check.first() {
            wording::critical_first(&all, first.get_ref().id.span(), findings);
        }
    }
    let lasts_minutes = read_lasts(kind, &raw, findings);
    if let Some(days) = &raw.due_again_days
        && !(1..=LONGEST_AGAIN_DAYS).contains(days.get_ref())
    {
        findings.error(
            "checklist::due-out-of-range",
            days.span(),
            format!("A list is due again after 1 to {LONGEST_AGAIN_DAYS} days."),
            "Write for example due-again-days = 31, or take it out.",
        );
    }
    let limits = match (kind, raw.limits) {
        (StationKind::HeatClearance, None) => {
            findings.error(
                "checklist::no-limits",
                raw.id.span(),
                "A heat clearance without limits can't be granted.",
                "Add a [limits] table; the shipped heat-clearance.toml shows one.",
            );
            None
        }
        (StationKind::HeatClearance, Some(limits)) => {
            read_limits(lasts_minutes, limits.into_inner(), findings)
        }
        (_, None) => None,
        (_, Some(limits)) => {
            findings.error(
                "checklist::limits-not-here",
                limits.span(),
                "Limits belong to the heat clearance.",
                "Take the [limits] out of this file.",
            );
            None
        }
    };
    let id_span = raw.id.span();
    let proofs: Vec<Range<usize>> = raw
        .check
        .iter()
        .filter_map(|check| check.get_ref().proves.as_ref().map(Spanned::span))
        .collect();
    let checks: Vec<Check> = raw
        .check
        .into_iter()
        .filter_map(|check| read_check(check.into_inner(), findings))
        .collect();
    if kind == StationKind::HeatClearance {
        need_every_proof(&checks, id_span, findings);
    } else {
        for proves in proofs {
            findings.error(
                "checklist::proof-not-here",
                proves,
                "Only a heat clearance asks for a proof.",
                "Take proves out, and give the check states or a measure.",
            );
        }
    }
    Some(StationList {
        id: raw.id.into_inner(),
        kind,
        title: raw.title.into_inner(),
        aim: raw.aim.into_inner(),
        revised: raw.revised,
        lasts_minutes,
        due_again_days: raw.due_again_days.map(Spanned::into_inner),
        limits,
        checks,
    })
}

/// How long the list counts once it is done; 0 where nothing rests on it.
fn read_lasts(kind: StationKind, raw: &RawList, findings: &mut Findings<'_>) -> u32 {
    let what = match kind {
        StationKind::HeatClearance => "a clearance lasts",
        _ => "a bench counts as open",
    };
    match (kind.counts_at_most(), &raw.lasts_minutes) {
        (Some(most), Some(minutes)) => {
            within(what, minutes, most, findings);
            *minutes.get_ref()
        }
        (Some(most), None) => {
            findings.error(
                "checklist::no-lasts",
                raw.id.span(),
                "The list does not say how long it counts.",
                format!("Write lasts-minutes = a number from 1 to {most}."),
            );
            0
        }
        (None, Some(minutes)) => {
            findings.error(
                "checklist::lasts-not-here",
                minutes.span(),
                "Nothing rests on how long this list counts.",
                "Take lasts-minutes out. Write due-again-days for a list that comes round again.",
            );
            0
        }
        (None, None) => 0,
    }
}

fn need_every_proof(checks: &[Check], span: Range<usize>, findings: &mut Findings<'_>) {
    for (proof, name) in NEEDED {
        let count = checks.iter().filter(|check| check.proves == Some(*proof)).count();
        if count != 1 {
            findings.error(
                "checklist::proof-missing",
                span.clone(),
                format!("{count} checks prove “{name}”; a heat clearance needs exactly one."),
                format!("Give one check proves = \"{name}\"."),
            );
        }
    }
}

fn within(what: &str, minutes: &Spanned<u32>, most: u32, findings: &mut Findings<'_>) {
    if *minutes.get_ref() == 0 || *minutes.get_ref() > most {
        findings.error(
            "checklist::looser-than-bound",
            minutes.span(),
            format!("{} minutes: {what} from 1 to {most} minutes.", minutes.get_ref()),
            "Write a number in that range; shorter is always allowed.",
        );
    }
}

fn stricter(
    name: &str,
    span: Range<usize>,
    looser: bool,
    bound: &str,
    findings: &mut Findings<'_>,
) {
    if looser {
        findings.error(
            "checklist::looser-than-bound",
            span,
            format!("{name} is looser than the bound: {bound}."),
            "Make it as strict as the bound, or stricter.",
        );
    }
}

fn read_limits(
    lasts_minutes: u32,
    raw: RawLimits,
    findings: &mut Findings<'_>,
) -> Option<HeatLimits> {
    within("an answer stays fresh", &raw.answers_fresh_minutes, OLDEST_ANSWER_MINUTES, findings);
    let (vapour, air, gun) = (
        *raw.vapour_percent_of_lfl.get_ref(),
        *raw.air_changes_per_hour.get_ref(),
        *raw.gun_percent_of_autoignition.get_ref(),
    );
    stricter(
        "The vapour limit",
        raw.vapour_percent_of_lfl.span(),
        !(0.0..=MOST_VAPOUR_PERCENT).contains(&vapour),
        "0 to 10 % of the lower flammable limit (29 CFR 1915.12(b) and 1915.13(b)(3))",
        findings,
    );
    stricter(
        "The air change",
        raw.air_changes_per_hour.span(),
        !(air.is_finite() && air >= LEAST_AIR_CHANGES),
        "6 an hour or more (29 CFR 1910.106(d)(4)(iv))",
        findings,
    );
    stricter(
        "The gun setting",
        raw.gun_percent_of_autoignition.span(),
        !(1.0..=MOST_GUN_PERCENT).contains(&gun),
        "1 to 80 % of the lowest autoignition temperature (practice for equipment in explosive atmospheres)",
        findings,
    );
    stricter(
        "The memory of a release",
        raw.release_remembered_hours.span(),
        *raw.release_remembered_hours.get_ref() < LEAST_REMEMBERED_HOURS,
        "24 hours or more (house rule)",
        findings,
    );
    let mixing_factor = raw.mixing_factor.as_ref().map_or(LEAST_MIXING_FACTOR, |k| *k.get_ref());
    if let Some(k) = &raw.mixing_factor {
        stricter(
            "The mixing factor",
            k.span(),
            !(mixing_factor.is_finite() && mixing_factor >= LEAST_MIXING_FACTOR),
            "10 or more; it divides the flow (MMWR 1994;43(RR-13): as high as 10)",
            findings,
        );
    }
    if let Some(minutes) = &raw.air_reading_holds_minutes {
        within("a reading of the air holds", minutes, LONGEST_AIR_READING_MINUTES, findings);
    }
    if let Some(minutes) = &raw.watch_minutes {
        stricter(
            "The watch after heat",
            minutes.span(),
            *minutes.get_ref() < LEAST_WATCH_MINUTES,
            "30 minutes or more (29 CFR 1910.252(a)(2)(iii)(B))",
            findings,
        );
    }
    let distance_mm = limit(&raw.distance, Measure::Length, findings)?;
    // A millimetre of grace, so that "35 ft" and "10.668 m" both pass.
    stricter(
        "The distance",
        raw.distance.span(),
        distance_mm < LEAST_DISTANCE_MM - 1.0,
        "35 ft (10.7 m) or more (29 CFR 1910.252(a)(2)(iii)(A))",
        findings,
    );
    Some(HeatLimits {
        lasts_minutes,
        answers_fresh_minutes: raw.answers_fresh_minutes.into_inner(),
        vapour_percent_of_lfl: vapour,
        air_changes_per_hour: air,
        distance_mm,
        gun_percent_of_autoignition: gun,
        release_remembered_hours: raw.release_remembered_hours.into_inner(),
        mixing_factor,
        air_reading_holds_minutes: raw
            .air_reading_holds_minutes
            .map_or(LONGEST_AIR_READING_MINUTES, Spanned::into_inner),
        watch_minutes: raw.watch_minutes.map_or(2 * LEAST_WATCH_MINUTES, Spanned::into_inner),
    })
}

fn read_check(raw: RawCheck, findings: &mut Findings<'_>) -> Option<Check> {
    common::not_blank("The question", &raw.ask, findings);
    common::not_blank("The key point", &raw.key_point, findings);
    common::not_blank("The reason", &raw.reason, findings);
    common::hazards(&raw.hazards, findings);
    if raw.caution.is_none() && !raw.hazards.is_empty() {
        findings.error(
            "checklist::no-caution",
            raw.id.span(),
            "The check names a hazard but gives no caution.",
            "Write caution = \"…\": what hurts, and what to do about it.",
        );
    }
    let answer = read_answer(&raw, findings)?;
    Some(Check {
        id: StepId::new(raw.id.into_inner()),
        ask: raw.ask.into_inner(),
        key_point: raw.key_point.into_inner(),
        reason: raw.reason.into_inner(),
        caution: raw.caution.map(Spanned::into_inner),
        hazards: raw.hazards.into_iter().map(Spanned::into_inner).collect(),
        proves: raw.proves.map(Spanned::into_inner),
        answer,
    })
}

fn read_answer(raw: &RawCheck, findings: &mut Findings<'_>) -> Option<AnswerKind> {
    match raw.proves.as_ref().map(|proof| *proof.get_ref()) {
        Some(Proof::Airflow) => Some(AnswerKind::Airflow),
        Some(Proof::Flammables) => Some(AnswerKind::Containers),
        Some(Proof::Distance) => Some(AnswerKind::Distance),
        Some(Proof::Watcher) => Some(AnswerKind::Watcher),
        Some(Proof::GunTemperature) => Some(AnswerKind::GunTemperature),
        Some(Proof::Vapour) => Some(AnswerKind::Vapour),
        Some(Proof::Rags | Proof::WetWork | Proof::Extinguisher) | None => {
            read_state_or_value(raw, findings)
        }
    }
}

fn read_state_or_value(raw: &RawCheck, findings: &mut Findings<'_>) -> Option<AnswerKind> {
    let foregone = |findings: &mut Findings<'_>| {
        findings.error(
            "checklist::no-answer",
            raw.id.span(),
            "The check has no answer that could be wrong.",
            "Give states = [\"…\", \"…\"] of which some do not pass, or a measure with limits.",
        );
        None
    };
    if let Some(measure) = raw.measure {
        let bounds = common::bounds(measure, raw.least.as_ref(), raw.most.as_ref(), findings);
        if raw.least.is_none() && raw.most.is_none() {
            return foregone(findings);
        }
        return Some(AnswerKind::Value {
            measure,
            least: bounds.least,
            most: bounds.most,
            limits: bounds.words,
        });
    }
    let any_fails = raw.states.iter().any(|state| !raw.pass.iter().any(|p| p.get_ref() == state));
    if raw.states.len() < 2 || raw.pass.is_empty() || !any_fails {
        return foregone(findings);
    }
    for pass in &raw.pass {
        wording::state(pass.get_ref(), pass.span(), findings);
        if !raw.states.contains(pass.get_ref()) {
            findings.error(
                "checklist::pass-unknown",
                pass.span(),
                format!("“{}” is not among the states.", pass.get_ref()),
                "Write it as it stands in states.",
            );
        }
    }
    Some(AnswerKind::Choice {
        states: raw.states.clone(),
        pass: raw.pass.iter().map(|pass| pass.get_ref().clone()).collect(),
    })
}
