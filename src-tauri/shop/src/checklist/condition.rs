//! For which rods a stage, or one step of it, is there.

use crate::rod::{GripMaterial, PartKind, ReelType, RodPlan};
use schemars::JsonSchema;
use serde::Deserialize;

/// Which rods a stage or a step applies to; what is left out asks nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(rename = "only-for")]
pub struct Condition {
    /// What the rear grip is made of; leave it out for any.
    #[serde(default)]
    pub grip: Vec<GripMaterial>,
    /// For which kind of reel the rod is; leave it out for any.
    #[serde(default)]
    pub reel: Vec<ReelType>,
    /// In how many pieces the blank comes; leave it out for any.
    #[serde(default)]
    pub pieces: Option<Pieces>,
    /// How the guides run from reel to tip; leave it out for any.
    #[serde(default)]
    pub guides: Option<GuidePath>,
    /// Parts of which the rod's sheet lists at least one; leave it out for any. A sheet that lists no
    /// part at all says nothing, and the rod counts as having it.
    #[serde(default)]
    pub parts: Vec<PartKind>,
}

/// In how many pieces a blank comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "pieces")]
pub enum Pieces {
    /// One, without a join.
    One,
    /// Two or more, with a ferrule at each join.
    Several,
}

/// How the guides run from reel to tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "guide-path")]
pub enum GuidePath {
    /// All on one side of the blank.
    Straight,
    /// From the top at the reel round to below at the tip.
    Spiral,
}

impl Condition {
    /// Whether it asks nothing.
    pub fn is_for_all(&self) -> bool {
        *self == Self::default()
    }

    /// Whether this rod needs the stage or the step.
    pub fn holds(&self, plan: &RodPlan) -> bool {
        self.why_not(plan).is_none()
    }

    /// What the rod lacks for it, in a sentence; `None` if it applies.
    pub fn why_not(&self, plan: &RodPlan) -> Option<String> {
        if !self.grip.is_empty() && !self.grip.contains(&plan.grip) {
            return Some(format!("Only for {}.", listed(&self.grip, |grip| grip.words())));
        }
        if !self.reel.is_empty() && !self.reel.contains(&plan.reel) {
            return Some(format!("Only for {}.", listed(&self.reel, |reel| reel.words())));
        }
        let pieces = if plan.joins.is_empty() { Pieces::One } else { Pieces::Several };
        match self.pieces.filter(|asked| *asked != pieces) {
            Some(Pieces::One) => return Some("Only for a blank in one piece.".to_owned()),
            Some(Pieces::Several) => {
                return Some("Only for a blank in several pieces.".to_owned());
            }
            None => {}
        }
        let spiral = plan.layout.as_ref().is_some_and(|layout| layout.spiral.is_some());
        let path = if spiral { GuidePath::Spiral } else { GuidePath::Straight };
        match self.guides.filter(|asked| *asked != path) {
            Some(GuidePath::Straight) => {
                return Some("Only where the guides stand on one side.".to_owned());
            }
            Some(GuidePath::Spiral) => {
                return Some("Only where the guides run in a spiral.".to_owned());
            }
            None => {}
        }
        let lists = |kind: &PartKind| plan.parts.iter().any(|part| part.kind == *kind);
        if !self.parts.is_empty() && !plan.parts.is_empty() && !self.parts.iter().any(lists) {
            let parts = listed(&self.parts, |part| part.words());
            return Some(format!("The rod's sheet lists no {parts}."));
        }
        None
    }

    /// Whether some rod meets both. Parts never rule each other out: a rod may have them all.
    pub(super) fn goes_with(&self, other: &Self) -> bool {
        fn meets<T: PartialEq>(one: &[T], other: &[T]) -> bool {
            one.is_empty() || other.is_empty() || one.iter().any(|of| other.contains(of))
        }
        fn agrees<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
            one.zip(other).is_none_or(|(one, other)| one == other)
        }
        meets(&self.grip, &other.grip)
            && meets(&self.reel, &other.reel)
            && agrees(self.pieces, other.pieces)
            && agrees(self.guides, other.guides)
    }

    /// Whether every rod that meets `other` meets this too: it leaves out no rod that the other takes.
    pub(crate) fn takes_all_of(&self, other: &Self) -> bool {
        fn holds_all<T: PartialEq>(wide: &[T], narrow: &[T]) -> bool {
            wide.is_empty() || (!narrow.is_empty() && narrow.iter().all(|of| wide.contains(of)))
        }
        holds_all(&self.grip, &other.grip)
            && holds_all(&self.reel, &other.reel)
            && holds_all(&self.parts, &other.parts)
            && (self.pieces.is_none() || self.pieces == other.pieces)
            && (self.guides.is_none() || self.guides == other.guides)
    }
}

fn listed<T>(all: &[T], words: impl Fn(&T) -> &'static str) -> String {
    let words: Vec<&str> = all.iter().map(words).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => (*last).to_owned(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only(toml: &str) -> Condition {
        toml::from_str(toml).unwrap()
    }

    #[test]
    fn two_that_no_rod_meets_are_seen() {
        let fly = only("reel = [\"fly\"]");
        assert!(!fly.goes_with(&only("reel = [\"casting\", \"spinning\"]")));
        assert!(fly.goes_with(&only("reel = [\"fly\"]\ngrip = [\"cork\"]")));
        assert!(fly.goes_with(&Condition::default()));
        assert!(!only("guides = \"spiral\"").goes_with(&only("guides = \"straight\"")));
        assert!(!only("pieces = \"one\"").goes_with(&only("pieces = \"several\"")));
        assert!(only("parts = [\"trim-ring\"]").goes_with(&only("parts = [\"butt-cap\"]")));
    }

    #[test]
    fn a_narrower_one_is_seen() {
        let narrow = only("reel = [\"fly\"]");
        let wide = only("reel = [\"fly\", \"casting\"]");
        assert!(wide.takes_all_of(&narrow) && !narrow.takes_all_of(&wide));
        assert!(Condition::default().takes_all_of(&narrow));
        assert!(!narrow.takes_all_of(&Condition::default()));
        assert!(!only("pieces = \"one\"").takes_all_of(&Condition::default()));
        assert!(!only("guides = \"spiral\"").takes_all_of(&only("guides = \"straight\"")));
    }
}
