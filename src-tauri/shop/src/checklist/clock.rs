//! A clock that a step starts: so many minutes, or as long as an adhesive cures.

use super::common;
use super::diagnostic::Findings;
use super::spanned::Spanned;
use crate::ids::ClockId;
use coldbench_trade::adhesive::Milestone;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// What a clock counts.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "clock-kind")]
pub enum ClockKind {
    /// How long mixed resin can be worked; may be set shorter than the file says, never longer.
    WorkingTime,
    /// How long until the next load; may be set longer, never shorter.
    Cure,
    /// How long gloves are worn; may be set shorter, never longer.
    GloveChange,
    /// How long the place is watched after heat; may be set longer, never shorter.
    Watch,
}

impl ClockKind {
    /// Whether the number is a least time (a wait) rather than a most time.
    pub fn is_wait(self) -> bool {
        matches!(self, Self::Cure | Self::Watch)
    }
}

/// A clock that a step starts.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockStart {
    /// Unique within the stage.
    pub id: ClockId,
    /// What it counts.
    pub kind: ClockKind,
    /// What is shown beside it.
    pub name: String,
    /// How long it runs.
    pub runs: Runs,
}

/// How long a clock runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Runs {
    /// So many minutes, as the file says.
    Minutes(u32),
    /// Until the adhesive has cured so far, worked out from its file and from how warm the room is.
    Cure {
        /// The adhesive, by the id of its file.
        product: String,
        /// How far.
        until: Milestone,
        /// The earlier clock whose start was that of the cure; none: it begins with this clock.
        since: Option<ClockId>,
    },
}

/// Least watch after heat: 29 CFR 1910.252(a)(2)(iii)(B), half an hour.
const LEAST_WATCH_MINUTES: u32 = 30;
/// Longest clock that is taken for one: four weeks.
const LONGEST_CLOCK_MINUTES: u32 = 4 * 7 * 24 * 60;

/// How far an adhesive has cured, as its file says under the keys of the same name.
#[derive(Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "milestone")]
pub(super) enum RawMilestone {
    /// It may be moved with care.
    Handle,
    /// It may be worked on and loaded.
    Load,
    /// It has the strength of its sheet.
    Full,
}

impl From<RawMilestone> for Milestone {
    fn from(raw: RawMilestone) -> Self {
        match raw {
            RawMilestone::Handle => Self::Handle,
            RawMilestone::Load => Self::Load,
            RawMilestone::Full => Self::FullCure,
        }
    }
}

/// A clock that a step starts.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "clock")]
pub(super) struct RawClock {
    /// A name of its own within the stage, for ends and waits-for: small letters, digits and hyphens.
    #[schemars(example = &"cure")]
    pub(super) id: Spanned<String>,
    /// What it counts.
    clock: ClockKind,
    /// What is shown beside it.
    #[schemars(example = &"Cure of the rear grip")]
    name: Spanned<String>,
    /// How many minutes it runs. A watch after heat runs 30 or more. A cure names its product in place of
    /// this.
    #[schemars(example = 45, range(min = 1, max = LONGEST_CLOCK_MINUTES))]
    minutes: Option<Spanned<u32>>,
    /// The adhesive that cures, by the id of its file. Of the clock cure, with until.
    #[schemars(example = &"slow-cure-epoxy")]
    product: Option<Spanned<String>>,
    /// How far it has to cure; how long that takes follows from its file and the warmth of the room.
    until: Option<Spanned<RawMilestone>>,
    /// The earlier clock with which the cure began, by its id. Leave it out where it begins with this one.
    #[schemars(example = &"turning")]
    pub(super) since: Option<Spanned<String>>,
}

pub(super) fn unknown_clock(name: &Spanned<String>, findings: &mut Findings<'_>) {
    findings.error(
        "checklist::unknown-clock",
        name.span(),
        format!("No earlier step starts a clock “{}”.", name.get_ref()),
        "Start the clock in an earlier step with starts = { id = \"…\", … }.",
    );
}

pub(super) fn read(
    raw: RawClock,
    clocks: &mut BTreeSet<String>,
    findings: &mut Findings<'_>,
) -> ClockStart {
    common::slug(&raw.id, findings);
    common::not_blank("The name of the clock", &raw.name, findings);
    let runs = read_runs(&raw, clocks, findings);
    if !clocks.insert(raw.id.get_ref().clone()) {
        findings.error(
            "checklist::id-twice",
            raw.id.span(),
            format!("The clock “{}” is started twice.", raw.id.get_ref()),
            "Give each clock an id of its own.",
        );
    }
    ClockStart {
        id: ClockId::new(raw.id.into_inner()),
        kind: raw.clock,
        name: raw.name.into_inner(),
        runs,
    }
}

/// Minutes, or a product and how far it has to cure; never both.
fn read_runs(raw: &RawClock, clocks: &BTreeSet<String>, findings: &mut Findings<'_>) -> Runs {
    if let Some(product) = &raw.product {
        common::slug(product, findings);
        if raw.clock != ClockKind::Cure {
            findings.error(
                "checklist::product-without-cure",
                product.span(),
                "Only the clock of a cure follows a product.",
                "Write clock = \"cure\", or minutes = a number in place of product and until.",
            );
        }
        if let Some(minutes) = &raw.minutes {
            findings.error(
                "checklist::cure-and-minutes",
                minutes.span(),
                "How long the product cures follows from its file, so minutes says it a second time.",
                "Take minutes out; or take product and until out, and keep the minutes.",
            );
        }
        let until = raw.until.as_ref().map(|until| Milestone::from(*until.get_ref()));
        if until.is_none() {
            findings.error(
                "checklist::cure-without-until",
                product.span(),
                "The clock does not say how far the product has to cure.",
                "Write until = \"handle\", \"load\" or \"full\".",
            );
        }
        let until = until.unwrap_or(Milestone::Load);
        if let Some(since) = raw.since.as_ref().filter(|it| !clocks.contains(it.get_ref())) {
            unknown_clock(since, findings);
        }
        let since = raw.since.as_ref().map(|since| ClockId::new(since.get_ref().clone()));
        return Runs::Cure { product: product.get_ref().clone(), until, since };
    }
    if let Some(since) = &raw.since {
        findings.error(
            "checklist::until-without-product",
            since.span(),
            "The clock says when something began to cure, and not what.",
            "Write product = \"…\" with the id of an adhesive's file.",
        );
    }
    if let Some(until) = &raw.until {
        findings.error(
            "checklist::until-without-product",
            until.span(),
            "The clock says how far something has to cure, and not what.",
            "Write product = \"…\" with the id of an adhesive's file.",
        );
    }
    let Some(written) = &raw.minutes else {
        findings.error(
            "checklist::no-minutes",
            raw.id.span(),
            "The clock does not say how long it runs.",
            "Write minutes = a number; for a cure product = \"…\" and until = \"load\" do as well.",
        );
        return Runs::Minutes(1);
    };
    let minutes = *written.get_ref();
    if minutes == 0 || minutes > LONGEST_CLOCK_MINUTES {
        findings.error(
            "checklist::bad-clock",
            written.span(),
            "A clock runs from one minute to four weeks.",
            "Mend the number of minutes.",
        );
    }
    if raw.clock == ClockKind::Watch && minutes < LEAST_WATCH_MINUTES {
        findings.error(
            "checklist::short-watch",
            written.span(),
            format!("A watch after heat lasts at least {LEAST_WATCH_MINUTES} minutes (29 CFR 1910.252(a)(2)(iii)(B))."),
            "Write 30 or more.",
        );
    }
    Runs::Minutes(minutes)
}
