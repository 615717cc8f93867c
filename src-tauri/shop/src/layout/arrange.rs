//! Arranging guides: spaced by rule, or moved until a number gets better.

use super::{Fault, GuidePlan, LayoutPlan, read};
use crate::rod::{ReelType, RodPlan};
use coldbench_trade::bend::weight;
use coldbench_trade::guides::{
    self, Ended, Growth, GuideError, LevelWind, Room, SpoolLine, progressive, stripping_guide,
    suggested_count, usual_tip_gap,
};
use coldbench_trade::units::{Angle, Length, degree};
use coldbench_trade::{Units, millimetres};

/// Layouts that are bent while one is made better (about a quarter of a second).
const TRIES: usize = 700;
/// The least gap of two guides (house value, no source), in mm.
const LEAST_GAP_MM: f64 = 40.0;
/// How far the first guide may be moved to either side when a layout is made better (house value,
/// no source), in mm.
const FIRST_ROOM_MM: f64 = 100.0;
/// The steepest line off a spool or level wind (common practice, no source).
const STEEPEST_DEG: f64 = 15.0;
/// How far a hand reaches from the grip, for the stripping guide of a fly rod (common practice, no
/// source), in mm.
const REACH_MM: f64 = 700.0;

/// The layout with its guides moved for the better, and what that came to, in words.
pub fn improved(
    plan: &RodPlan,
    layout: &LayoutPlan,
    units: Units,
) -> Result<(LayoutPlan, String), String> {
    let first = |faults: Vec<Fault>| {
        faults.into_iter().next().map_or_else(String::new, |fault| fault.message)
    };
    let read = read(plan, layout, units).map_err(first)?;
    if read.spiral.is_some() {
        return Err("A spiral bends the rod out of one plane, so its guides can't be moved by figure. Move them by hand.".to_owned());
    }
    let places = read.layout.as_ref().ok_or("There are no guides to move. Add some.")?;
    let farthest = places.from_tip().last().copied().unwrap_or_default();
    let first_at = places.length() - farthest;
    let tightest = places.gaps().into_iter().fold(millimetres(LEAST_GAP_MM), Length::min);
    let room = Room {
        least_gap: tightest,
        first_from: (first_at - millimetres(FIRST_ROOM_MM)).max(millimetres(0.0)),
        first_to: first_at + millimetres(FIRST_ROOM_MM),
    };
    let test = guides::LoadTest {
        blank: &read.blank,
        sits: read.sits,
        reel_from_butt: read.reel_from_butt,
        reel_height: read.reel_height,
        tip_top: read.tip_top,
        pull: weight(read.hang),
        direction: Angle::new::<degree>(90.0),
        butt: read.butt,
        friction: None,
        own_weight: read.own_weight,
    };
    let better = guides::improve(&test, places, &read.rings, &room, read.least_clearance, TRIES)
        .map_err(|error| error.to_string())?;
    let (before, after) = (better.before.number(), better.after.number());
    let told = match better.ended {
        Ended::Better => {
            format!("Moved: the number to lessen fell from {before:.2} to {after:.2}.")
        }
        Ended::BetterUnfinished => format!(
            "Moved: the number to lessen fell from {before:.2} to {after:.2}. More may be found: press again."
        ),
        Ended::NothingBetter | Ended::NothingBetterUnfinished => {
            format!("Nothing better was found near this layout: the number stays at {before:.2}.")
        }
    };
    let how = " It is the larger of the mm that the line lacks in clearance and the degrees by which the guides turn it unevenly (house rule).";
    let mut moved = layout.clone();
    for (guide, at) in moved.guides.iter_mut().zip(better.layout.from_tip()) {
        guide.from_tip = units.distance(*at);
    }
    Ok((moved, format!("{told}{how}")))
}

/// What spacing is asked for; each may be empty.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SpacingAsked {
    /// How many guides.
    pub count: String,
    /// The first guide, from the butt.
    pub first: String,
    /// Gap at the tip.
    pub tip_gap: String,
    /// Diameter of the spool, or travel of the level wind.
    pub spool: String,
}

/// The layout with guides spaced progressively, and where each number came from.
pub fn spaced(
    plan: &RodPlan,
    layout: &LayoutPlan,
    asked: &SpacingAsked,
    units: Units,
) -> Result<(LayoutPlan, String), Fault> {
    let at = |field: &str| {
        let field = field.to_owned();
        move |error: GuideError| Fault { field: field.clone(), message: error.to_string() }
    };
    let length = millimetres(plan.length.value);
    let mut told = Vec::new();
    let given = |field: &str, text: &str| -> Result<Option<Length>, Fault> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        coldbench_trade::parse_length(text, units.distances.unit())
            .map(Some)
            .map_err(|error| Fault { field: field.to_owned(), message: error.to_string() })
    };
    let count = match asked.count.trim() {
        "" => {
            let usual = suggested_count(length).map_err(at("spacing.count"))?;
            told.push(usual.why.to_string());
            usual.value
        }
        text => text.parse().map_err(|_| Fault {
            field: "spacing.count".to_owned(),
            message: "Write how many guides, digits only, e.g. 8.".to_owned(),
        })?,
    };
    let tip_gap = given("spacing.tip-gap", &asked.tip_gap)?.unwrap_or_else(|| {
        let usual = usual_tip_gap();
        told.push(usual.why.to_string());
        usual.value
    });
    let first = if let Some(first) = given("spacing.first", &asked.first)? {
        first
    } else {
        let spool = given("spacing.spool", &asked.spool)?;
        let (first, why) = first_guide(plan, layout, spool, units)?;
        told.push(why);
        first
    };
    let spacing = progressive(length, first, count, tip_gap, Growth::Geometric)
        .map_err(at("spacing.first"))?;
    let mut made = layout.clone();
    let pattern = made.guides.clone();
    made.guides = spacing
        .layout
        .from_tip()
        .iter()
        .enumerate()
        .map(|(n, place)| {
            // Rings stay with their number; further guides are like the one nearest the reel.
            let like = pattern.get(n).or(pattern.last()).cloned().unwrap_or_else(house_guide);
            GuidePlan { from_tip: units.distance(*place), ..like }
        })
        .collect();
    told.push(format!(
        "Each gap is {:.3} times the one before it.",
        spacing.greatest_ratio.get::<coldbench_trade::units::ratio>()
    ));
    Ok((made, told.join(" ")))
}

fn house_guide() -> GuidePlan {
    GuidePlan {
        ring: "6 mm".to_owned(),
        height: "9 mm".to_owned(),
        mass: "0.5 g".to_owned(),
        ..GuidePlan::default()
    }
}

/// Where the first guide goes by the reel.
fn first_guide(
    plan: &RodPlan,
    layout: &LayoutPlan,
    spool: Option<Length>,
    units: Units,
) -> Result<(Length, String), Fault> {
    let fault = |field: &str, message: String| Fault { field: field.to_owned(), message };
    let read = |field: &str, text: &str, unit| {
        coldbench_trade::parse_length(text, unit).map_err(|error| fault(field, error.to_string()))
    };
    let reel = read("reel-from-butt", &layout.reel_from_butt, units.distances.unit())?;
    let height = read("reel-height", &layout.reel_height, units.diameters.unit())?;
    let first = layout.guides.last().cloned().unwrap_or_else(house_guide);
    let ring = read("guides.0.ring", &first.ring, coldbench_trade::LengthUnit::Millimetre)?;
    let ring_height = read("guides.0.height", &first.height, units.diameters.unit())?;
    let steepest = Angle::new::<degree>(STEEPEST_DEG);
    let missing = |what: &str| {
        fault("spacing.spool", format!("Write {what}, or where the first guide is to sit."))
    };
    let in_front = match plan.reel {
        ReelType::Spinning => {
            let spool = spool.ok_or_else(|| missing("how wide the lip of the spool is"))?;
            let line =
                SpoolLine { spool, height, tilt: Angle::new::<degree>(0.0), ring, ring_height };
            line.nearest(steepest)
        }
        ReelType::Casting | ReelType::Conventional => {
            let travel =
                spool.ok_or_else(|| missing("how far the line guide of the reel travels"))?;
            LevelWind { travel, height, ring, ring_height }.nearest(steepest)
        }
        ReelType::Fly => stripping_guide(reel, millimetres(REACH_MM)).map(|at| at.value - reel),
    };
    let in_front = in_front.map_err(|error| fault("spacing.spool", error.to_string()))?;
    let why = match plan.reel {
        ReelType::Fly => {
            "The stripping guide is as far up as a hand reaches (common practice, no source)."
                .to_owned()
        }
        _ => format!(
            "The first guide is where no line off the reel is steeper than {STEEPEST_DEG}° (the angle is common practice, no source)."
        ),
    };
    Ok((reel + in_front, why))
}
