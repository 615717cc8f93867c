//! Whether the trials show a spine, and where.

use super::circular::{Circular, Rayleigh};
use super::doubt::DoubtForm;
use super::outlier::{Outlier, outliers};
use super::verdict::{ReadAt, Short, Trouble, Verdict};
use super::{SIGNIFICANCE, Sides, SpineError, Trials, degrees, shortest, show, show_place, wrap};
use std::fmt;
use uom::si::angle::degree;
use uom::si::curvature::degree_per_meter;
use uom::si::f64::{Angle, Curvature, Length};
use uom::si::length::meter;

/// Fewest trials at an end to say that there is no spine. With so many, a blank whose trials scatter
/// by an angular deviation of 30° is taken for one without a spine once in 44 (100 000 random samples
/// of a von Mises distribution).
const NO_SPINE_NEEDS: usize = 6;
/// Longest distance taken for one on a rod; beyond it a unit was mistaken.
const LONGEST_M: f64 = 20.0;
/// Widest limit that still means agreement, degrees.
const WIDEST_LIMIT: f64 = 45.0;

/// When trials agree. Each above zero and at most 45°.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpineLimits {
    /// The greatest angular deviation of the trials at one end. A single trial farther than this from
    /// others that agree may be a stray.
    pub scatter: Angle,
    /// How far the true mean of one end may lie from the mean of its trials, 95 %.
    pub doubt: Angle,
    /// How far the spine at the tip may lie from that at the butt.
    pub twist: Angle,
}

impl Default for SpineLimits {
    /// Scatter 15°, doubt 22.5°, so that any three trials within 15° of each other pass, and twist
    /// 20°. Common practice, no source.
    ///
    /// Trials of a blank without a spine pass by luck in 0.7 % (one side) or 2.6 % (two) if there are
    /// three, and in 0.1 % or 1.3 % if there are five (a million random samples).
    fn default() -> Self {
        Self { scatter: degrees(15.0), doubt: degrees(22.5), twist: degrees(20.0) }
    }
}

impl SpineLimits {
    fn check(&self) -> Result<(), SpineError> {
        let holds = |limit: Angle| limit.value > 0.0 && limit <= degrees(WIDEST_LIMIT);
        if [self.scatter, self.doubt, self.twist].into_iter().all(holds) {
            Ok(())
        } else {
            Err(SpineError::Limits)
        }
    }
}

/// What was read on one piece of a blank: at the butt end, at the tip end, or at both.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// At the butt end.
    pub butt: Option<Trials>,
    /// At the tip end.
    pub tip: Option<Trials>,
    /// From one scale to the other, above zero and at most 20 m; None if it was not measured.
    pub between: Option<Length>,
}

/// The trials of one end in numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct AtEnd {
    /// Which end.
    pub end: ReadAt,
    /// The sample: its mean, spread and so on.
    pub sample: Circular,
    /// Mean of the trials; None where they cancel.
    pub mean: Option<Angle>,
    /// How far each trial lies from it, in the order given; empty where they cancel.
    pub off: Vec<Angle>,
    /// For each trial that gave both jumps, how far they are from opposite.
    pub from_opposite: Vec<Option<Angle>>,
    /// Half the width of the 95 % interval of the mean, never less than the step of the scale, and
    /// the form that gave it (None for the step); None where the mean may lie anywhere.
    pub doubt: Option<(Angle, Option<DoubtForm>)>,
    /// The test against "all directions alike".
    pub rayleigh: Rayleigh,
    /// Trials that don't belong to the others.
    pub outliers: Vec<Outlier>,
}

/// How the spine turns from butt to tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twist {
    /// From the butt's mean to the tip's, the shorter way round: positive where the scale grows.
    /// The blank may have made whole turns more (half turns, of an axis), which trials at its ends
    /// can't show.
    pub by: Angle,
    /// How far it may be wrong, 95 %: the doubts of both ends as the sides of a right angle. None
    /// where one of the means may lie anywhere.
    pub doubt: Option<Angle>,
    /// Per length between the scales, if that is known.
    pub per_length: Option<Curvature>,
}

/// A spine on which all trials agree. Its text is a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spine {
    at: Angle,
    doubt: Angle,
    sides: Sides,
    butt: usize,
    tip: usize,
}

impl Spine {
    /// Its angle: 0 up to 360°, of an axis its end at 0 up to 180°. Where both ends of the blank were
    /// read, halfway between their means.
    pub fn at(&self) -> Angle {
        self.at
    }

    /// The opposite side, 0 up to 360°.
    pub fn opposite(&self) -> Angle {
        degrees(wrap(self.at.get::<degree>() + 180.0, 360.0))
    }

    /// How far the spine may lie to either side of it, 95 %; where both ends were read, far enough
    /// for the interval of either.
    pub fn doubt(&self) -> Angle {
        self.doubt
    }

    /// Whether it is one side or an axis with two ends.
    pub fn sides(&self) -> Sides {
        self.sides
    }
}

impl fmt::Display for Spine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "The spine lies at {}", show_place(self.at))?;
        if self.sides == Sides::Two {
            write!(f, " and {}", show_place(self.opposite()))?;
        }
        write!(f, ", give or take {} (95 %), from ", show(self.doubt))?;
        let trials = |count: usize| if count == 1 { "trial" } else { "trials" };
        match (self.butt, self.tip) {
            (butt, 0) => write!(f, "{butt} {} at the butt.", trials(butt)),
            (0, tip) => write!(f, "{tip} {} at the tip.", trials(tip)),
            (butt, tip) => write!(f, "{butt} {} at the butt and {tip} at the tip.", trials(butt)),
        }
    }
}

/// What the trials say, and the numbers behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// What they say.
    pub verdict: Verdict,
    /// The numbers of each end that was read, butt first.
    pub ends: Vec<AtEnd>,
    /// If both ends were read and both have a mean.
    pub twist: Option<Twist>,
}

/// Judges the trials. An end shows a spine if there are 3 trials or more, the test of Rayleigh finds
/// a favoured side at 5 %, none is an outlier, and scatter and doubt are within `limits`. It shows
/// none if there are 6 or more and the test finds no favoured side, nor an axis. Anything else, and
/// ends that differ, asks to try again.
pub fn judge(readings: &Readings, limits: &SpineLimits) -> Result<Judged, SpineError> {
    limits.check()?;
    if let Some(between) = readings.between
        && !(between.value > 0.0 && between.get::<meter>() <= LONGEST_M)
    {
        return Err(SpineError::Between);
    }
    let both = [(ReadAt::Butt, &readings.butt), (ReadAt::Tip, &readings.tip)];
    let read: Vec<(ReadAt, &Trials)> =
        both.into_iter().filter_map(|(end, trials)| Some((end, trials.as_ref()?))).collect();
    let Some(&(_, first)) = read.first() else { return Err(SpineError::NoTrial) };
    if read.iter().any(|(_, trials)| trials.sides() != first.sides()) {
        return Err(SpineError::SidesDiffer);
    }
    let mut ends = Vec::with_capacity(2);
    let mut says = Vec::with_capacity(2);
    for (end, trials) in read {
        let at_end = numbers(end, trials, limits)?;
        says.push(say(&at_end, trials, limits)?);
        ends.push(at_end);
    }
    let twist = twist(&ends, readings.between);
    let verdict = weigh(&ends, &says, twist, limits);
    Ok(Judged { verdict, ends, twist })
}

/// A stray trial that was left out, since it was done again. Its text is a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// Which end.
    pub end: ReadAt,
    /// Which trial, counted from 0 in the order given.
    pub trial: usize,
    /// How far from the mean of the others; by sign.
    pub off: Angle,
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let off = self.off.get::<degree>().abs();
        write!(
            f,
            "Trial {} at the {} is left out: it lies {off:.0}° off the others, and was done again.",
            self.trial + 1,
            self.end
        )
    }
}

/// As [`judge`]; but where one trial is a stray and its end has more trials than the `asked` ones,
/// it was done again: it is left out if the rest shows a spine. Never more than one, so that no spine
/// is picked out of scatter. Common practice, no source.
pub fn judge_done_again(
    readings: &Readings,
    limits: &SpineLimits,
    asked: usize,
) -> Result<(Judged, Option<LeftOut>), SpineError> {
    let judged = judge(readings, limits)?;
    let Verdict::TryAgain(troubles) = &judged.verdict else { return Ok((judged, None)) };
    let stray = troubles.iter().find_map(|trouble| match *trouble {
        Trouble::Stray { end, trial, off } => Some(LeftOut { end, trial, off }),
        _ => None,
    });
    let Some(stray) = stray else { return Ok((judged, None)) };
    let mut rest = readings.clone();
    let trials = match stray.end {
        ReadAt::Butt => &mut rest.butt,
        ReadAt::Tip => &mut rest.tip,
    };
    let again = trials.as_ref().filter(|all| all.angles().len() > asked);
    let Some(kept) = again.and_then(|all| all.without(stray.trial)) else {
        return Ok((judged, None));
    };
    *trials = Some(kept);
    let without = judge(&rest, limits)?;
    if matches!(without.verdict, Verdict::Found(_)) {
        return Ok((without, Some(stray)));
    }
    Ok((judged, None))
}

fn numbers(end: ReadAt, trials: &Trials, limits: &SpineLimits) -> Result<AtEnd, SpineError> {
    let sample = trials.sample(trials.sides())?;
    let step = trials.read_to();
    let doubt = match sample.doubt() {
        Ok((half, form)) if half > step => Some((half, Some(form))),
        // The scale hides what the trials would differ by.
        Ok(_) | Err(SpineError::AllAlike) => Some((step, None)),
        Err(_) => None,
    };
    let mean = sample.mean().ok();
    Ok(AtEnd {
        end,
        mean,
        off: mean.map(|mean| sample.off(mean)).unwrap_or_default(),
        from_opposite: trials.from_opposite().to_vec(),
        doubt,
        rayleigh: sample.rayleigh(),
        outliers: outliers(&sample, limits.scatter)?,
        sample,
    })
}

/// What one end says for itself.
enum Says {
    Spine { at: Angle, doubt: Angle },
    Trouble(Vec<Trouble>),
    AllWays,
    TooFew(Short),
}

fn say(at_end: &AtEnd, trials: &Trials, limits: &SpineLimits) -> Result<Says, SpineError> {
    let (end, sample) = (at_end.end, &at_end.sample);
    if let Some(short) = Short::of(end, sample.trials()) {
        return Ok(Says::TooFew(short));
    }
    if !at_end.outliers.is_empty() {
        let stray =
            |outlier: &Outlier| Trouble::Stray { end, trial: outlier.trial, off: outlier.off };
        return Ok(Says::Trouble(at_end.outliers.iter().map(stray).collect()));
    }
    let favoured = at_end.rayleigh.p < SIGNIFICANCE;
    let deviation = sample.angular_deviation();
    if deviation > limits.scatter || !favoured {
        // The same trials as an axis: half of them may lie opposite the other half.
        let axis = trials.sample(Sides::Two)?;
        let as_axis = axis.rayleigh().p < SIGNIFICANCE;
        if as_axis && sample.sides() == Sides::One && axis.angular_deviation() <= limits.scatter {
            return Ok(Says::Trouble(vec![Trouble::TwoSides { end }]));
        }
        if !favoured && !as_axis && sample.trials() >= NO_SPINE_NEEDS {
            return Ok(Says::AllWays);
        }
        let limit = limits.scatter;
        return Ok(Says::Trouble(vec![if deviation > limit {
            Trouble::Scatter { end, deviation, limit }
        } else {
            Trouble::Chance { end, p: at_end.rayleigh.p }
        }]));
    }
    let limit = limits.doubt;
    Ok(match (at_end.mean, at_end.doubt) {
        (Some(at), Some((doubt, _))) if doubt <= limit => Says::Spine { at, doubt },
        (_, doubt) => {
            let doubt = doubt.map(|(half, _)| half);
            Says::Trouble(vec![Trouble::Doubtful { end, doubt, limit }])
        }
    })
}

fn twist(ends: &[AtEnd], between: Option<Length>) -> Option<Twist> {
    let [butt, tip] = ends else { return None };
    let turn = (tip.mean? - butt.mean?).get::<degree>();
    let by = shortest(turn, butt.sample.sides().period());
    let doubts = butt.doubt.zip(tip.doubt);
    Some(Twist {
        by: degrees(by),
        doubt: doubts
            .map(|((butt, _), (tip, _))| degrees(butt.get::<degree>().hypot(tip.get::<degree>()))),
        per_length: between
            .map(|length| Curvature::new::<degree_per_meter>(by / length.get::<meter>())),
    })
}

/// What both ends say together.
fn weigh(ends: &[AtEnd], says: &[Says], twist: Option<Twist>, limits: &SpineLimits) -> Verdict {
    let short = says.iter().filter_map(|says| match says {
        Says::TooFew(short) => Some(*short),
        _ => None,
    });
    let short: Vec<Short> = short.collect();
    if !short.is_empty() {
        return Verdict::TooFew(short);
    }
    if says.iter().all(|says| matches!(says, Says::AllWays)) {
        return Verdict::NoSpine;
    }
    let mut troubles = Vec::new();
    let mut found = Vec::new();
    for (at_end, says) in ends.iter().zip(says) {
        match says {
            Says::Spine { at, doubt } => found.push((*at, *doubt)),
            Says::Trouble(of_end) => troubles.extend(of_end),
            Says::AllWays => troubles.push(Trouble::AllWays { end: at_end.end }),
            Says::TooFew(_) => {}
        }
    }
    if let (true, Some(twist)) = (troubles.is_empty(), twist)
        && twist.by.abs() > limits.twist
    {
        troubles.push(Trouble::Twisted { twist, limit: limits.twist });
    }
    match (found.first(), troubles.is_empty()) {
        (Some(&first), true) => Verdict::Found(between_ends(ends, first, &found, twist)),
        _ => Verdict::TryAgain(troubles),
    }
}

/// The spine halfway between the means of both ends, or at that of the only one.
fn between_ends(
    ends: &[AtEnd],
    first: (Angle, Angle),
    found: &[(Angle, Angle)],
    twist: Option<Twist>,
) -> Spine {
    let sides = ends.first().map_or(Sides::One, |at_end| at_end.sample.sides());
    let half = twist.map_or(0.0, |twist| twist.by.get::<degree>() / 2.0);
    let at = wrap(first.0.get::<degree>() + half, sides.period());
    let widest = found.iter().map(|&(_, doubt)| doubt).fold(first.1, Angle::max);
    let trials = |end: ReadAt| {
        ends.iter().find(|at_end| at_end.end == end).map_or(0, |at_end| at_end.sample.trials())
    };
    Spine {
        at: degrees(at),
        doubt: widest + degrees(half.abs()),
        sides,
        butt: trials(ReadAt::Butt),
        tip: trials(ReadAt::Tip),
    }
}
