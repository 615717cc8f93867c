//! The bend of a rod and its guides.

use super::{SpiralWord, Trouble};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

outgoing! {
    /// A layout of guides worked out.
    pub struct LayoutView {
        /// The draft, as it stands after what was asked.
        pub draft: LayoutDraft,
        /// Whether this is what is kept on the rod's sheet.
        pub kept: bool,
        /// The rod's title.
        pub rod_title: String,
        /// Faults, each at its field.
        pub troubles: Vec<Trouble>,
        /// Why there is no curve though no field is at fault.
        pub missing: Option<String>,
        /// The rod straight and bent.
        pub bent: Option<BentView>,
        /// The tip-top and the guides, from the tip.
        pub rows: Vec<GuideLine>,
        /// What was worked out besides, label and value.
        pub facts: Vec<(String, String)>,
        /// What the load test says, label and value; empty where none was done.
        pub fitted: Vec<(String, String)>,
        /// What to mind.
        pub warnings: Vec<String>,
        /// The caution of the work.
        pub caution: String,
        /// Where the formulas come from.
        pub source: String,
        /// What improving came to, in words.
        pub told: Option<String>,
    }
    /// The rod straight and under load, in mm: away from the butt, and down.
    pub struct BentView {
        /// Length of the rod.
        pub length_mm: f64,
        /// The straight rod: its direction, as the end of a line from the butt.
        pub straight: (f64, f64),
        /// The axis under load, butt to tip.
        pub axis: Vec<(f64, f64)>,
        /// Diameters along the blank, from the butt.
        pub outline: Vec<(f64, f64)>,
        /// The reel, then the guides from butt to tip, the tip-top last.
        pub rings: Vec<BentRingView>,
        /// What hangs on it, in words.
        pub load: String,
        /// Where the load pulls, as a direction of length 1.
        pub pull: (f64, f64),
    }
    /// The reel, a guide or the tip-top on the rod.
    pub struct BentRingView {
        /// Its number from the tip: 0 is the tip-top; none for the reel.
        pub number: Option<u32>,
        /// Its place on the straight rod.
        pub from_butt_mm: f64,
        /// Its height off the axis, below zero for one on top.
        pub height_mm: f64,
        /// Its foot on the bent axis.
        pub foot: (f64, f64),
        /// Its ring.
        pub ring: (f64, f64),
        /// Between the line from it towards the butt and the blank; none for the reel.
        pub clearance: Option<String>,
        /// Whether that line touches the blank, or comes nearer than is wanted.
        pub tight: bool,
    }
    /// A guide in the table.
    pub struct GuideLine {
        /// Its number from the tip; 0 is the tip-top.
        pub number: u32,
        /// Place from the tip.
        pub from_tip: String,
        /// Place from the butt.
        pub from_butt: String,
        /// To the next one towards the butt.
        pub gap: String,
        /// Load on it.
        pub load: String,
        /// How much the line turns in it.
        pub turn: String,
        /// Between line and blank, towards the butt.
        pub clearance: String,
        /// Whether that is less than wanted.
        pub tight: bool,
    }
    /// What cutting the blank does.
    pub struct TrimView {
        /// Faults, each at its field.
        pub troubles: Vec<Trouble>,
        /// Why there is no figure.
        pub missing: Option<String>,
        /// What, before, after.
        pub rows: Vec<(String, String, String)>,
        /// The bent axis before, in mm.
        pub before: Vec<(f64, f64)>,
        /// The bent axis after.
        pub after: Vec<(f64, f64)>,
        /// What to mind.
        pub warnings: Vec<String>,
    }
}

incoming! {
    /// How a blank bends and where its guides stand, as typed. What may be empty is taken as said at
    /// its field.
    pub struct LayoutDraft {
        /// Thickness of the wall; empty for a house value.
        pub wall: String,
        /// Modulus in `GPa`; empty for a house value.
        pub modulus: String,
        /// What the blank weighs; empty where it was not weighed.
        pub weight: String,
        /// Stiffness of a ferrule against the blank, in percent; empty for the same.
        pub ferrule: String,
        /// What was hung on the tip to find the stiffness; empty where no such test was done.
        pub test_hang: String,
        /// How far the butt pointed up in that test, in degrees; empty for level.
        pub test_held: String,
        /// Marks of that test.
        pub marks: Vec<MarkDraft>,
        /// What hangs on the line in the figure.
        pub hang: String,
        /// How far the butt points up, in degrees; empty for level.
        pub held: String,
        /// Where the line leaves the reel, from the butt.
        pub reel_from_butt: String,
        /// How far off the axis it leaves.
        pub reel_height: String,
        /// The height of the ring of the tip-top.
        pub tip_height: String,
        /// What the tip-top weighs; empty for nothing.
        pub tip_mass: String,
        /// The guides, from the tip.
        pub guides: Vec<GuideDraft>,
        /// To which side a spiral turns.
        pub spiral: SpiralWord,
        /// The least distance between line and blank that is wanted; empty for none.
        pub least_clearance: String,
    }
    /// A mark of a load test, as typed.
    pub struct MarkDraft {
        /// Its place from the butt.
        pub from_butt: String,
        /// How far it went down.
        pub drop: String,
    }
    /// A guide as typed.
    pub struct GuideDraft {
        /// Its place from the tip.
        pub from_tip: String,
        /// Its size: about the diameter of the ring in mm.
        pub ring: String,
        /// From the axis of the blank to the middle of the ring.
        pub height: String,
        /// What it weighs; empty for nothing.
        pub mass: String,
        /// How far it is turned round the blank from the top, in degrees; empty for the reel's side.
        pub turned: String,
    }
    /// What spacing is asked for, as typed.
    pub struct SpacingDraft {
        /// How many guides; empty for what is usual.
        pub count: String,
        /// Place of the first guide from the butt; empty for what the reel asks for.
        pub first: String,
        /// Gap between the tip and the next guide; empty for what is usual.
        pub tip_gap: String,
        /// The reel's spool, across; empty where it is unknown.
        pub spool: String,
    }
}
