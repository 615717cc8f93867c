//! A rod: its drawing, its sheet, where its stages stand.

use super::{
    ClockWord, FigureView, GripWord, LayoutDraft, PartDrawn, PartWord, ReelWord, StandingWord,
    Trouble,
};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// A rod drawn from its measurements. All in mm from the butt.
    pub struct Drawing {
        /// Length of the blank.
        pub length_mm: f64,
        /// The same in the builder's unit.
        pub length: String,
        /// Joins.
        pub joins_mm: Vec<f64>,
        /// Measured diameters, butt to tip.
        pub outline: Vec<OutlinePoint>,
        /// Parts.
        pub parts: Vec<DrawnPart>,
        /// Guides as planned, from butt to tip.
        pub guides: Vec<DrawnGuide>,
    }
    /// A guide as drawn.
    pub struct DrawnGuide {
        /// Its place from the butt.
        pub from_butt_mm: f64,
        /// Its height off the axis, below zero for one on top.
        pub height_mm: f64,
    }
    /// A measured diameter.
    pub struct OutlinePoint {
        /// Distance from the butt.
        pub from_butt_mm: f64,
        /// Diameter.
        pub diameter_mm: f64,
        /// The same in the builder's unit.
        pub diameter: String,
    }
    /// A part as drawn.
    pub struct DrawnPart {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub label: String,
        /// Near end.
        pub from_mm: f64,
        /// Far end.
        pub to_mm: f64,
        /// Greatest diameter.
        pub diameter_mm: f64,
        /// How it is drawn.
        pub drawn: PartDrawn,
        /// The stage that works on it.
        pub stage: Option<String>,
        /// Its clock.
        pub clock: Option<ClockView>,
    }
    /// A clock.
    pub struct ClockView {
        /// What is shown beside it.
        pub name: String,
        /// What it counts.
        pub kind: ClockWord,
        /// When it was started.
        pub started: String,
        /// When it runs out.
        pub runs_out: String,
        /// How long it runs.
        pub minutes: u32,
        /// It has run out.
        pub over: bool,
        /// Why it does not come to its end as things are, in a sentence: the room is too cold.
        pub stalled: Option<String>,
        /// The rod.
        pub rod: String,
        /// The rod's title.
        pub rod_title: String,
        /// The stage.
        pub stage: String,
    }
    /// A rod with everything on its sheet.
    pub struct RodView {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// What the customer asked.
        pub wishes: String,
        /// Reel type.
        pub reel: ReelWord,
        /// Grip material.
        pub grip: GripWord,
        /// The blank.
        pub blank: String,
        /// Length as written.
        pub length: String,
        /// Joins as written.
        pub joins: Vec<String>,
        /// Measurements as written: from the butt, diameter.
        pub diameters: Vec<(String, String)>,
        /// Its parts, in the order in which they were written down.
        pub parts: Vec<PartLine>,
        /// In which order they go on.
        pub assembly: Option<FigureView>,
        /// What was added or put right since it was begun, oldest first.
        pub revisions: Vec<RevisionLine>,
        /// When it was begun.
        pub begun: String,
        /// Its drawing.
        pub drawing: Drawing,
        /// Its stages, what is needed first.
        pub stages: Vec<StageLine>,
    }
    /// A part of a rod, as written.
    pub struct PartLine {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub description: String,
        /// Near end, from the butt.
        pub from: String,
        /// Far end, from the butt.
        pub to: String,
        /// Greatest diameter.
        pub diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        pub thinnest: String,
        /// It has a bore that the blank goes through.
        pub bored: bool,
        /// Its bore at the butt end; empty if not measured.
        pub bore_butt: String,
        /// Its bore at the tip end; empty where it is the same.
        pub bore_tip: String,
    }
    /// Something that was added to a rod's sheet, or put right on it.
    pub struct RevisionLine {
        /// What stood there.
        pub was: Option<String>,
        /// What stands there now.
        pub now: String,
        /// Why; empty where something was added.
        pub reason: String,
        /// By whom and when, in words.
        pub signed: String,
    }
    /// A stage of a rod.
    pub struct StageLine {
        /// Id.
        pub id: String,
        /// Title.
        pub title: String,
        /// What is reached.
        pub aim: String,
        /// Where it stands.
        pub standing: StandingWord,
        /// What the standing leaves unsaid, e.g. what comes first; may be empty.
        pub words: String,
        /// Until when it waits at the least, where only time is waited for.
        pub until: Option<String>,
        /// Steps settled.
        pub done: u32,
        /// All steps.
        pub of: u32,
        /// It uses heat.
        pub heat: bool,
        /// A lead left it out on this rod.
        pub left_out: bool,
    }
    /// What a draft of a rod amounts to.
    pub struct DraftView {
        /// What is wrong, by field.
        pub troubles: Vec<Trouble>,
        /// The rod drawn, once the measurements make a blank.
        pub drawing: Option<Drawing>,
    }
}

incoming! {
    /// A rod as it is being written down; everything as typed.
    pub struct RodDraft {
        /// Title.
        pub title: String,
        /// For whom.
        pub customer: String,
        /// What the customer asked.
        pub wishes: String,
        /// Reel type.
        pub reel: ReelWord,
        /// Grip material.
        pub grip: GripWord,
        /// The blank.
        pub blank: String,
        /// Length of the assembled blank.
        pub length: String,
        /// Joins, from the butt.
        pub joins: Vec<String>,
        /// Measurements.
        pub diameters: Vec<DiameterDraft>,
        /// Parts.
        pub parts: Vec<PartDraft>,
        /// Readings that seem to mix up units were looked at again and stand.
        pub sure: bool,
    }
    /// A measurement as typed.
    pub struct DiameterDraft {
        /// From the butt.
        pub from_butt: String,
        /// Diameter.
        pub diameter: String,
    }
    /// A part as typed.
    pub struct PartDraft {
        /// Kind.
        pub kind: PartWord,
        /// What it is.
        pub description: String,
        /// Near end, from the butt.
        pub from: String,
        /// Far end, from the butt.
        pub to: String,
        /// Greatest diameter.
        pub diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        pub thinnest: String,
        /// Bore at the butt end; may be empty.
        pub bore_butt: String,
        /// Bore at the tip end; empty where it is the same.
        pub bore_tip: String,
    }
}

/// A change of what is written down of a rod, as typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(
    tag = "form",
    rename_all = "kebab-case",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum ChangeDraft {
    /// How long the blank is, and where its pieces meet.
    Blank {
        /// Length of the assembled blank.
        length: String,
        /// Each join, from the butt; none: one piece.
        joins: Vec<String>,
    },
    /// What the rear grip is made of.
    Grip {
        /// The material.
        to: GripWord,
    },
    /// A diameter of the blank.
    Diameter {
        /// The reading it takes the place of, from 0; none: one more.
        row: Option<u32>,
        /// Where, from the butt.
        from_butt: String,
        /// The diameter there.
        diameter: String,
    },
    /// The bore of a part, as it is now.
    Bore {
        /// Which part, from 0.
        part: u32,
        /// At its butt end.
        butt: String,
        /// At its tip end; empty where it is the same.
        tip: String,
    },
    /// A part.
    Part {
        /// The part it takes the place of, from 0; none: one more.
        row: Option<u32>,
        /// Kind.
        kind: PartWord,
        /// What it is.
        description: String,
        /// Near end, from the butt.
        from: String,
        /// Far end, from the butt.
        to: String,
        /// Greatest diameter.
        diameter: String,
        /// Diameter where it is thinnest; empty where it is the same.
        thinnest: String,
    },
    /// How the blank bends and where its guides stand.
    Layout {
        /// The layout.
        layout: Box<LayoutDraft>,
    },
    /// The blank was cut.
    Cut {
        /// Off the tip; empty for nothing.
        tip: String,
        /// Off the butt; empty for nothing.
        butt: String,
    },
}
