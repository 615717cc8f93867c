//! How a blank bends and where its guides stand: what is written down of it, and what `trade` makes
//! of that for this rod.

mod arrange;
mod read;
mod trim;
mod work;

pub use arrange::{SpacingAsked, improved, spaced};
pub use read::{Fault, ReadLayout, read};
pub use trim::{TrimFigures, trimmed};
pub use work::{BentRing, BentRod, GuideFigures, SOURCE, WorkedLayout, work_out};

use crate::rod::{DiameterReading, Reading};
use serde::{Deserialize, Serialize};

/// What is written down, each as it was written with its unit. What may be empty says so.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct LayoutPlan {
    /// Thickness of the wall; empty for [`read::HOUSE_WALL_MM`].
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wall: String,
    /// Modulus in `GPa`; empty for [`read::HOUSE_MODULUS_GPA`].
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub modulus: String,
    /// What the blank weighs; empty where it was not weighed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub weight: String,
    /// Stiffness of a ferrule against the blank, in percent; empty for the same.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ferrule: String,
    /// What was hung on the bare tip to find the stiffness; empty where no such test was done.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub test_hang: String,
    /// How far the butt pointed up in that test; empty for level.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub test_held: String,
    /// Marks of that test.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkPlan>,
    /// The blank as it was in that test, if it was cut since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tested: Option<Box<TestedBlank>>,
    /// What hangs on the line in the figure.
    pub hang: String,
    /// How far the butt points up; empty for level.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub held: String,
    /// Where the line leaves the reel, from the butt.
    pub reel_from_butt: String,
    /// How far off the axis of the blank it leaves.
    pub reel_height: String,
    /// The height of the ring of the tip-top.
    pub tip_height: String,
    /// What the tip-top weighs; empty for nothing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tip_mass: String,
    /// The guides, from the tip.
    pub guides: Vec<GuidePlan>,
    /// To which side the guides turn round the blank, seen from the butt; `None` if they don't.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spiral: Option<coldbench_trade::guides::Side>,
    /// The least distance of line and blank that is wanted; empty for none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub least_clearance: String,
}

/// A blank that was cut after its load test: stiffness is found on the whole one, then cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct TestedBlank {
    /// Its length.
    pub length: Reading,
    /// Where its pieces met.
    pub joins: Vec<Reading>,
    /// Its diameters.
    pub diameters: Vec<DiameterReading>,
    /// What came off the tip since, in mm.
    pub off_tip: f64,
    /// What came off the butt since, in mm.
    pub off_butt: f64,
}

/// A mark of a load test.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct MarkPlan {
    /// Its place from the butt.
    pub from_butt: String,
    /// How far it went down when the weight came on.
    pub drop: String,
}

/// A guide.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct GuidePlan {
    /// Its place from the tip.
    pub from_tip: String,
    /// What its size is called: about the inside of the ring in mm.
    pub ring: String,
    /// From the axis of the blank to the middle of the ring.
    pub height: String,
    /// What it weighs; empty for nothing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub mass: String,
    /// How far it is turned from the top, in degrees, in a spiral; empty for the reel's side.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub turned: String,
}

impl LayoutPlan {
    /// Whether both have the same load test.
    pub fn same_test(&self, other: &Self) -> bool {
        (&self.test_hang, &self.test_held, &self.marks)
            == (&other.test_hang, &other.test_held, &other.marks)
    }

    /// In words, as a revision of the sheet shows it.
    pub fn words(&self) -> String {
        let places: Vec<&str> = self.guides.iter().map(|guide| guide.from_tip.as_str()).collect();
        let guides = match places.len() {
            0 => "no guides".to_owned(),
            1 => format!("one guide, {} from the tip", places[0]),
            count => format!("{count} guides, from the tip at {}", places.join(", ")),
        };
        format!("layout of {guides}; figured with {} on the line", self.hang)
    }
}

#[cfg(test)]
mod tests;
