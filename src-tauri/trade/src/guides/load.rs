//! What a test load does to each guide, and what the guides weigh on the rod.

use super::improve::{Improved, Shortcoming, search};
use super::{GuideError, Layout, Ring, Room, zero_or_more};
use crate::bend::{
    Curve, Friction, Guide, GuideLoad, LineLoad, LineSpan, Loads, PointMass, Reel, Stiffness,
    lowest_frequency, solve,
};
use uom::ConstZero;
use uom::si::angle::radian;
use uom::si::f64::{Angle, Force, Frequency, Length, Mass};
use uom::si::ratio::ratio;

/// On which side of the rod reel and guides sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sits {
    /// On top, as with a casting reel: the load pulls the line down onto the blank.
    OnTop,
    /// Underneath, as with a spinning or fly reel.
    Underneath,
}

impl Sits {
    /// A height with the sign that the bend gives it.
    fn signed(self, height: Length) -> Length {
        match self {
            Self::OnTop => -height,
            Self::Underneath => height,
        }
    }
}

/// A test with a load on the line. All guides sit on one side: a spiral bends the rod out of one
/// plane, which is not worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadTest<'a> {
    /// The blank, as long as the rod.
    pub blank: &'a Stiffness,
    /// On which side reel and guides sit.
    pub sits: Sits,
    /// Where the line leaves the reel, from the butt; nearer the butt than the first guide.
    pub reel_from_butt: Length,
    /// How far off the axis of the blank it leaves the reel, zero or more.
    pub reel_height: Length,
    /// The tip-top.
    pub tip_top: Ring,
    /// Pull on the line, zero or more.
    pub pull: Force,
    /// Where the load pulls: 90 degrees is down.
    pub direction: Angle,
    /// How the butt is held: 0 degrees is level, negative with the tip raised.
    pub butt: Angle,
    /// Friction of the line in the rings; None for none.
    pub friction: Option<Friction>,
    /// Whether blank and guides weigh.
    pub own_weight: bool,
}

/// A guide at the test load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideRow {
    /// The guide, from the tip; 0 is the tip-top.
    pub number: usize,
    /// Its place from the tip.
    pub from_tip: Length,
    /// To the next guide towards the butt; from the first guide to the reel.
    pub gap: Length,
    /// Its ring.
    pub ring: Ring,
    /// Force of the line on it.
    pub load: Force,
    /// How much the line turns in it.
    pub turn: Angle,
    /// The least distance between the line that runs on towards the butt, over `gap`, and the
    /// surface of the bent blank; below zero where it would cut into it.
    pub clearance: Length,
    /// Where that is, from the butt.
    pub nearest: Length,
}

/// A layout at a test load.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderLoad {
    /// The tip-top and the guides, from the tip.
    pub rows: Vec<GuideRow>,
    /// The bent rod, with what to tell beside it.
    pub curve: Curve,
}

impl UnderLoad {
    /// How far the layout falls short at this load, with `least_clearance` (zero or more) wanted
    /// between line and blank.
    pub fn shortcoming(&self, least_clearance: Length) -> Result<Shortcoming, GuideError> {
        if !zero_or_more(least_clearance) {
            let what = "The least clearance of line and blank";
            return Err(GuideError::Negative { what, given: least_clearance });
        }
        let short = |row: &GuideRow| least_clearance - row.clearance;
        let shortfall = self.rows.iter().map(short).fold(Length::ZERO, Length::max);
        let turns: Vec<f64> =
            self.rows.iter().skip(1).map(|row| row.turn.get::<radian>()).collect();
        let unevenness = Angle::new::<radian>(spread(&turns));
        Ok(Shortcoming { shortfall, unevenness })
    }
}

/// What the guides weigh, and what that does to the rod held level without a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideWeight {
    /// All guides and the tip-top.
    pub mass: Mass,
    /// How far the tip hangs down without them.
    pub bare_droop: Length,
    /// How far it hangs down with them.
    pub droop: Length,
    /// How fast the rod swings without them: its lowest frequency, the butt held fast.
    pub bare_frequency: Frequency,
    /// How fast it swings with them.
    pub frequency: Frequency,
}

/// What a test load does to the guides at these places; `rings` are theirs, from the tip. The curve
/// is that of [`crate::bend::solve`].
pub fn under_load(
    test: &LoadTest<'_>,
    layout: &Layout,
    rings: &[Ring],
) -> Result<UnderLoad, GuideError> {
    let guides = guides(test, layout, rings)?;
    if !zero_or_more(test.reel_height) {
        let what = "The height of the line at the reel";
        return Err(GuideError::Negative { what, given: test.reel_height });
    }
    let line = LineLoad {
        reel: Reel { from_butt: test.reel_from_butt, height: test.sits.signed(test.reel_height) },
        guides,
        tension: test.pull,
        direction: test.direction,
        friction: test.friction,
    };
    let loads = Loads {
        butt: test.butt,
        own_weight: test.own_weight,
        line: Some(line),
        ..Loads::default()
    };
    let curve = solve(test.blank, &loads)?;
    let (loads, spans): (&[GuideLoad], &[LineSpan]) =
        curve.line().map_or((&[], &[]), |path| (&path.loads, &path.spans));
    // From the tip; the last of the loads is the reel's.
    let places = std::iter::once(Length::ZERO).chain(layout.from_tip().iter().copied());
    let with_ring = places.zip(std::iter::once(&test.tip_top).chain(rings)).enumerate();
    let rows = with_ring
        .zip(loads.iter().rev().zip(spans.iter().rev()))
        .map(|((number, (from_tip, &ring)), (load, span))| GuideRow {
            number,
            from_tip,
            gap: span.to - span.from_butt,
            ring,
            load: load.force,
            turn: load.turn,
            clearance: span.clearance,
            nearest: span.nearest,
        })
        .collect();
    Ok(UnderLoad { rows, curve })
}

/// What guides with these `rings`, from the tip, and the tip-top weigh on the blank; what the blank
/// weighs must be known.
pub fn weight_of_guides(
    blank: &Stiffness,
    layout: &Layout,
    rings: &[Ring],
    tip_top: &Ring,
) -> Result<GuideWeight, GuideError> {
    check(layout, rings, tip_top)?;
    let mut masses = vec![PointMass { from_butt: layout.length(), mass: tip_top.mass }];
    masses.extend(
        layout
            .from_butt()
            .into_iter()
            .zip(rings)
            .map(|(from_butt, ring)| PointMass { from_butt, mass: ring.mass }),
    );
    let mass = masses.iter().map(|point| point.mass).fold(Mass::ZERO, |all, one| all + one);
    let with = |masses: Vec<PointMass>| -> Result<(Length, Frequency), GuideError> {
        let loads = Loads { own_weight: true, masses, ..Loads::default() };
        Ok((solve(blank, &loads)?.tip().y, lowest_frequency(blank, &loads)?))
    };
    let ((bare_droop, bare_frequency), (droop, frequency)) = (with(Vec::new())?, with(masses)?);
    Ok(GuideWeight { mass, bare_droop, droop, bare_frequency, frequency })
}

/// Moves guides within `room` so that the layout falls less short at the test load: see
/// [`Shortcoming::number`], with `least_clearance` wanted between line and blank. Each ring moves
/// with its guide, the tip-top stays. At most `tries` layouts (one or more) are bent; 1000 are mostly
/// enough for a rod with seven guides. The result is never worse than the layout given, and the same
/// input gives the same result. It is the best found near the layout given, which need not be the
/// best there is. Gaps that shrink towards the butt, which nobody would build, are never made worse
/// than they were in the layout given (common practice, no source).
pub fn improve(
    test: &LoadTest<'_>,
    layout: &Layout,
    rings: &[Ring],
    room: &Room,
    least_clearance: Length,
    tries: usize,
) -> Result<Improved, GuideError> {
    // How many times longer a gap is than the next one towards the butt, at worst.
    let shrinks = |layout: &Layout| {
        let gaps = layout.gaps();
        let shrinks = gaps.windows(2).map(|two| two[0] / two[1]);
        shrinks.map(|shrinks| shrinks.get::<ratio>()).fold(1.0, f64::max)
    };
    // A hair, so that rounding does not bar the layout given.
    let allowed = shrinks(layout) + 1e-9;
    search(layout, room, tries, |layout| {
        if shrinks(layout) > allowed {
            let (shortfall, unevenness) = (layout.length(), Angle::FULL_TURN);
            return Ok(Shortcoming { shortfall, unevenness });
        }
        under_load(test, layout, rings)?.shortcoming(least_clearance)
    })
}

/// The guides as the bend takes them: from butt to tip, the tip-top last.
fn guides(test: &LoadTest<'_>, layout: &Layout, rings: &[Ring]) -> Result<Vec<Guide>, GuideError> {
    check(layout, rings, &test.tip_top)?;
    let guide = |from_butt: Length, ring: &Ring| Guide {
        from_butt,
        height: test.sits.signed(ring.height),
        mass: ring.mass,
    };
    let mut guides = vec![guide(layout.length(), &test.tip_top)];
    guides.extend(layout.from_butt().into_iter().zip(rings).map(|(at, ring)| guide(at, ring)));
    guides.reverse();
    Ok(guides)
}

fn check(layout: &Layout, rings: &[Ring], tip_top: &Ring) -> Result<(), GuideError> {
    if rings.len() != layout.count() {
        let (given, count) = (rings.len(), layout.count());
        return Err(GuideError::CountDiffers { what: "Rings", given, count });
    }
    tip_top.check()?;
    rings.iter().try_for_each(Ring::check)
}

/// Root mean square of how far numbers lie from their mean; zero for none.
fn spread(numbers: &[f64]) -> f64 {
    let count = numbers.iter().fold(0.0, |count, _| count + 1.0);
    let mean = numbers.iter().sum::<f64>() / f64::max(count, 1.0);
    let squares: f64 = numbers.iter().map(|number| (number - mean).powi(2)).sum();
    (squares / f64::max(count, 1.0)).sqrt()
}
