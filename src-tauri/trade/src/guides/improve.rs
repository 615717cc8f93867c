//! Moving guides until the line runs clearer of the blank and turns more evenly.

use super::{GuideError, Layout, Room, SAME_PLACE_MM, mm};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Shortest step that is tried; nobody places a guide more finely.
const LEAST_STEP_MM: f64 = 0.25;
/// By how much a number must fall to count as better: less is rounding in the bend.
const BETTER: f64 = 1e-6;

/// How good a layout is at one load; less is better, zero is best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortcoming {
    /// By how much the line comes nearer to the blank than it should, where it is worst; zero where
    /// it keeps clear everywhere.
    pub shortfall: Length,
    /// How far the angles by which the line turns at the guides lie from their mean (root mean
    /// square); the tip-top is left out, since its angle is set by where the load pulls.
    pub unevenness: Angle,
}

impl Shortcoming {
    /// The larger of shortfall in millimetres and unevenness in degrees: 1 mm too near the blank
    /// counts as much as 1 degree of unevenness. A house rule without a source.
    pub fn number(&self) -> f64 {
        self.shortfall.get::<millimeter>().max(self.unevenness.get::<degree>())
    }
}

/// A layout after the search.
#[derive(Debug, Clone, PartialEq)]
pub struct Improved {
    /// The best layout found; the one given where nothing was better.
    pub layout: Layout,
    /// The shortcoming of the layout given.
    pub before: Shortcoming,
    /// That of the best one.
    pub after: Shortcoming,
    /// How many layouts were looked at, the one given included.
    pub tried: usize,
    /// Why the search ended.
    pub ended: Ended,
}

/// Why a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ended {
    /// Nothing better was found near the layout given.
    NothingBetter,
    /// A better one was found, and nothing better near that.
    Better,
    /// A better one was found, and all tries were spent before the search was done.
    BetterUnfinished,
    /// Nothing better was found before all tries were spent.
    NothingBetterUnfinished,
}

/// Looks for a layout with a smaller [`Shortcoming::number`] within `room`, by at most `tries` looks
/// (one or more). A look that fails counts as no better; the first one must not fail.
///
/// A direct search: guides are moved one way and the other by a step; what is better is kept, and
/// where nothing is, the step is halved. Moved are each guide alone, each with its neighbours
/// following less and less out to the tip and to the first guide, and where that doesn't help, all
/// of them at once by drawn shares, because the largest of several numbers often falls only when
/// guides move together. The draw always begins alike: the same input gives the same output. It
/// finds what is best nearby, which need not be the best there is. Source: pattern search of the
/// kind of Hooke & Jeeves, J. ACM 8 (1961) 212; drawn directions as in Audet & Dennis, SIAM J.
/// Optim. 17 (2006) 188 (both from memory).
pub(super) fn search(
    start: &Layout,
    room: &Room,
    tries: usize,
    mut look: impl FnMut(&Layout) -> Result<Shortcoming, GuideError>,
) -> Result<Improved, GuideError> {
    room.check()?;
    if let Some(number) = outside(start, room) {
        return Err(GuideError::StartsOutside { number });
    }
    let before = look(start)?;
    let (mut best, mut after) = (start.clone(), before);
    let mut tried = 1;
    let mut step = start.gaps().into_iter().fold(mm(0.0), Length::max) / 4.0;
    let mut finished = true;
    let mut draw = Draw::new();
    let numbers = 1..=start.count();
    while step >= mm(LEAST_STEP_MM) && finished {
        let alone = numbers.clone().map(|number| (number, Way::Alone));
        let together = numbers.clone().map(|number| (number, Way::Together));
        let drawn = numbers.clone().map(|_| (1, Way::Drawn(draw.shares(start.count()))));
        let mut moved = false;
        for (number, way) in alone.chain(together).chain(drawn) {
            if matches!(way, Way::Drawn(_)) && moved {
                break;
            }
            // As far one way as it gets better, then the other way if it never did.
            for by in [step, -step] {
                let mut got = false;
                while let Some(layout) = shifted(&best, number, by, &way, room) {
                    if tried >= tries {
                        finished = false;
                        break;
                    }
                    tried += 1;
                    match look(&layout) {
                        Ok(found) if found.number() < after.number() - BETTER => {
                            (best, after, got) = (layout, found, true);
                        }
                        _ => break,
                    }
                }
                moved |= got;
                if got {
                    break;
                }
            }
        }
        if !moved {
            step /= 2.0;
        }
    }
    let ended = match (best == *start, finished) {
        (true, true) => Ended::NothingBetter,
        (false, true) => Ended::Better,
        (false, false) => Ended::BetterUnfinished,
        (true, false) => Ended::NothingBetterUnfinished,
    };
    Ok(Improved { layout: best, before, after, tried, ended })
}

/// The first guide, from the tip, that does not keep to `room`.
fn outside(layout: &Layout, room: &Room) -> Option<usize> {
    let hair = mm(SAME_PLACE_MM);
    let close = layout.gaps().iter().position(|&gap| gap < room.least_gap - hair);
    let first = layout.length() - layout.reach();
    let off = first < room.first_from - hair || first > room.first_to + hair;
    close.map(|index| index + 1).or(off.then_some(layout.count()))
}

/// How guides are moved.
enum Way {
    /// One guide, as far as its room goes.
    Alone,
    /// One guide and its neighbours: those towards the tip follow by their share of the way from
    /// the tip, those towards the butt by their share of the way from the first guide.
    Together,
    /// Each guide by its share of the step.
    Drawn(Vec<f64>),
}

/// The layout with guides moved by `by`, or None where nothing would move, or not within `room`.
fn shifted(layout: &Layout, number: usize, by: Length, way: &Way, room: &Room) -> Option<Layout> {
    let places = layout.from_tip();
    let at = *places.get(number.checked_sub(1)?)?;
    let reach = layout.reach();
    let moved: Vec<Length> = match way {
        Way::Alone => {
            let moved = layout.moved(number, at + by, room).ok()?;
            let went = moved.from_tip().get(number - 1).map_or(mm(0.0), |&now| (now - at).abs());
            return (went > mm(SAME_PLACE_MM)).then_some(moved);
        }
        Way::Together => {
            let toward_butt = |place: Length| (reach - place) / (reach - at);
            let share = |place| if place <= at { place / at } else { toward_butt(place) };
            places.iter().map(|&place| place + by * share(place)).collect()
        }
        Way::Drawn(shares) => {
            places.iter().zip(shares).map(|(&place, &share)| place + by * share).collect()
        }
    };
    let moved = Layout::new(layout.length(), &moved).ok()?;
    outside(&moved, room).is_none().then_some(moved)
}

/// Numbers that look drawn and are always the same.
struct Draw {
    state: u64,
}

impl Draw {
    fn new() -> Self {
        Self { state: 1 }
    }

    /// As many numbers from -1 to 1.
    fn shares(&mut self, count: usize) -> Vec<f64> {
        (0..count).map(|_| self.share()).collect()
    }

    /// The "minimal standard" generator of Park & Miller, Commun. ACM 31 (1988) 1192 (from memory).
    fn share(&mut self) -> f64 {
        const MODULUS: u64 = 2_147_483_647;
        self.state = self.state * 16_807 % MODULUS;
        let whole = u32::try_from(self.state).unwrap_or(0);
        f64::from(whole) / 1_073_741_823.5 - 1.0
    }
}
