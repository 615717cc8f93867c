//! A station: its air, its lists, its clearance.

use super::{AnswerForm, ContainerWord, HazardView, ListWord, StatementsView};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// A station: its air, its flammables, its clearance.
    pub struct StationView {
        /// Id.
        pub id: String,
        /// Name.
        pub name: String,
        /// Room volume as written.
        pub room: Option<String>,
        /// The bench is open until then.
        pub open_until: Option<String>,
        /// What is kept here.
        pub containers: Vec<ContainerView>,
        /// When a flammable was last known to be open or in use here.
        pub last_release: Option<String>,
        /// On what the word about vapour rests now.
        pub vapour: String,
        /// Something is known about vapour.
        pub vapour_known: bool,
        /// The air of its room.
        pub air: AirView,
        /// The watch that is due after heat.
        pub watch: Option<WatchView>,
        /// The latest clearance.
        pub clearance: Option<ClearanceView>,
        /// Every clearance there was, newest first: its reference, and when it was granted.
        pub clearances: Vec<(String, String)>,
        /// Why no heat may be used now; empty under a live clearance.
        pub heat_missing: Vec<String>,
        /// The checklists that can be begun.
        pub lists: Vec<ListLine>,
        /// The checklist in hand.
        pub in_hand: Option<ListView>,
    }
    /// The air of a station's room, as far as it is known.
    pub struct AirView {
        /// Room volume as written.
        pub volume: Option<String>,
        /// Other stations in the same room.
        pub shared_with: Vec<String>,
        /// The last reading of the airflow in words, and who took it when.
        pub flow: Option<String>,
        /// The airflow that counts now, in m³/h; 0 without a reading that counts.
        pub flow_m3_h: f64,
        /// Until when the last reading counts.
        pub reading_until: Option<String>,
        /// The estimate now, in percent of the lower flammable limit.
        pub percent: Option<f64>,
        /// Why it is not known.
        pub unknown: Option<String>,
        /// At or below so many percent heat may begin.
        pub limit_percent: f64,
        /// When it falls to that, the air moving on as it was read.
        pub heat_from: Option<String>,
        /// Exposure of each person who signed anything in the room today, in words.
        pub exposure: Vec<String>,
        /// Exposure limits are passed.
        pub over_exposed: bool,
        /// The course of the estimate: what was, and what comes.
        pub curve: Vec<CurvePoint>,
        /// What was used today, oldest first.
        pub releases: Vec<ReleaseLine>,
        /// What is open, or was opened or used and not set down.
        pub unsaid: Vec<String>,
        /// Products that can be set down as used.
        pub materials: Vec<MaterialLine>,
        /// Days for which the station has anything to print, newest first.
        pub days: Vec<String>,
    }
    /// A point of the curve.
    pub struct CurvePoint {
        /// When.
        pub at: String,
        /// Percent of the lower flammable limit.
        pub percent: f64,
    }
    /// Something that was used.
    pub struct ReleaseLine {
        /// When.
        pub at: String,
        /// What and how much, what for, by whom.
        pub words: String,
    }
    /// A product that can be set down as used.
    pub struct MaterialLine {
        /// Its id.
        pub id: String,
        /// What it is called.
        pub title: String,
        /// Whether it burns, in words; also that nobody knows.
        pub burns: String,
        /// What hurts and what to do about it.
        pub caution: Option<String>,
        /// What is missing for an estimate; then there is no heat after it was used.
        pub missing: Vec<String>,
        /// How much an hour bears at the airflow that counts now; none without one.
        pub hourly: Option<String>,
        /// Amounts that are offered.
        pub amounts: Vec<QuickAmountView>,
    }
    /// An amount that is offered.
    pub struct QuickAmountView {
        /// What for.
        pub name: String,
        /// How much, e.g. `15 mL`.
        pub amount: String,
    }
    /// A watch after heat.
    pub struct WatchView {
        /// Until when.
        pub until: String,
        /// It may be signed now.
        pub over: bool,
        /// Who watches.
        pub watcher: String,
    }
    /// A container.
    pub struct ContainerView {
        /// Id.
        pub id: String,
        /// What is in it.
        pub name: String,
        /// Autoignition temperature as written.
        pub autoignition: Option<String>,
        /// It is open.
        pub open: bool,
    }
    /// A clearance.
    pub struct ClearanceView {
        /// Its reference.
        pub id: String,
        /// It holds now.
        pub live: bool,
        /// From when.
        pub granted: String,
        /// Until when.
        pub until: String,
        /// By whom.
        pub by: String,
        /// Who watches.
        pub watcher: String,
        /// The gun's set temperature.
        pub gun: String,
        /// On what the word about vapour rested.
        pub vapour: String,
        /// How it ended.
        pub ended: Option<String>,
    }
    /// A station checklist that can be begun.
    pub struct ListLine {
        /// Its id.
        pub id: String,
        /// Which.
        pub kind: ListWord,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// When it was last gone through here, and when it is due again; may be empty.
        pub words: String,
        /// It is due: it comes round, and was not gone through in time.
        pub due: bool,
        /// What to do, in the order of its checks, for whoever has no time for a PIN; of urgent lists
        /// alone.
        pub at_once: Vec<String>,
    }
    /// A station checklist in hand.
    pub struct ListView {
        /// Which.
        pub kind: ListWord,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// When it was begun.
        pub begun: String,
        /// Its checks.
        pub checks: Vec<CheckView>,
        /// What is missing before it can be completed.
        pub missing: Vec<String>,
        /// Whoever completes it gives their PIN again.
        pub asks_pin: bool,
        /// Titles of lists that wait until this one is done.
        pub set_aside: Vec<String>,
    }
    /// A check.
    pub struct CheckView {
        /// Id.
        pub id: String,
        /// Number, from 1.
        pub number: u32,
        /// What is asked.
        pub ask: String,
        /// What makes or breaks it.
        pub key_point: String,
        /// Why.
        pub reason: String,
        /// What hurts and what to do about it.
        pub caution: Option<String>,
        /// The hazards in words.
        pub hazards: Vec<HazardView>,
        /// What official statements ask with these hazards, where there are any.
        pub statements: Option<StatementsView>,
        /// The form of the answer.
        pub form: AnswerForm,
        /// The states to pick from.
        pub states: Vec<String>,
        /// Limits in words.
        pub limits: String,
        /// A value that would be taken.
        pub example: String,
        /// The answer so far.
        pub answered: Option<AnsweredView>,
    }
    /// An answer.
    pub struct AnsweredView {
        /// In words.
        pub shown: String,
        /// Whether it passes.
        pub passes: bool,
        /// It is too old to rest a clearance on.
        pub stale: bool,
        /// When.
        pub at: String,
        /// By whom.
        pub by: String,
    }
}

incoming! {
    /// A product as it is written down from its safety data sheet; everything as typed, empty
    /// where the sheet says nothing.
    pub struct MaterialDraft {
        /// What it is called at the bench (section 1).
        pub title: String,
        /// Whose sheet, of which date.
        pub sheet: String,
        /// Hazard codes (section 2).
        pub hazards: Vec<String>,
        /// What hurts and what to do about it.
        pub caution: String,
        /// Density (section 9).
        pub density: String,
        /// Flash point, closed cup.
        pub flash: String,
        /// Initial boiling point.
        pub boils: String,
        /// Autoignition temperature.
        pub autoignition: String,
        /// Lower flammable limit of the product.
        pub lower_limit: String,
        /// What it is made of (section 3).
        pub components: Vec<ComponentDraft>,
        /// An amount to be offered at the bench.
        pub amount: String,
        /// What that amount is used for.
        pub purpose: String,
    }
    /// A component as it is written down.
    pub struct ComponentDraft {
        /// Name.
        pub name: String,
        /// CAS number.
        pub cas: String,
        /// Share by mass, a range as the sheet gives it.
        pub share: String,
        /// Whether it evaporates.
        pub volatile: bool,
        /// Molar mass.
        pub molar_mass: String,
        /// Lower flammable limit.
        pub lower_limit: String,
        /// Exposure limit, eight hours (section 8).
        pub day_limit: String,
        /// Exposure limit, fifteen minutes.
        pub short_limit: String,
        /// Exposure limit that may never be passed.
        pub ceiling: String,
    }
    /// The state of a container, as answered.
    pub struct ContainerAnswer {
        /// Which.
        pub container: String,
        /// Where it is.
        pub state: ContainerWord,
    }
}

/// An answer to a check, as typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(
    tag = "form",
    rename_all = "kebab-case",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum AnswerDraft {
    /// One of the states.
    Choice {
        /// The state.
        state: String,
    },
    /// A value.
    Value {
        /// As typed.
        text: String,
    },
    /// Mean air speed over an opening.
    MeasuredAirflow {
        /// Air speed.
        speed: String,
        /// Free area.
        opening: String,
    },
    /// Air speed at several points of an opening.
    Traverse {
        /// The speeds.
        speeds: Vec<String>,
        /// Area of the opening.
        opening: String,
        /// Free share of it in percent.
        free: String,
    },
    /// Rated flow, cut down for ducts and age, and for the filter.
    FilteredFan {
        /// Rated flow.
        flow: String,
        /// Share counted, in percent.
        share: String,
        /// What the filter takes of that, in percent.
        filter: String,
    },
    /// Rated flow, cut down.
    RatedAirflow {
        /// Rated flow.
        flow: String,
        /// Share counted, in percent.
        share: String,
    },
    /// Where each container is.
    Containers {
        /// A state for each.
        states: Vec<ContainerAnswer>,
    },
    /// Distance to what burns.
    Distance {
        /// As typed.
        nearest: String,
        /// A shield that doesn't burn stands between.
        shielded: bool,
    },
    /// Who watches.
    Watcher {
        /// The person.
        person: String,
    },
    /// No meter at hand.
    NoMeter,
}
