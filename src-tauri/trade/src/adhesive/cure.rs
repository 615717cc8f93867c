//! How far a bond has cured, and when it may be handled, loaded and called cured.

use super::rate::{GAS_CONSTANT, RateCurve, ln_factor};
use super::{Activation, AdhesiveError, above_zero, in_kelvin};
use uom::si::f64::{Ratio, ThermodynamicTemperature, Time};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};
use uom::si::time::second;

/// Longest gap between two readings over which the temperature is taken to go evenly from one to
/// the other, s. Over a longer one the colder of the two counts. A house rule.
pub const LONGEST_GAP_S: f64 = 6.0 * 3600.0;

/// Coldest at which cure counts where the sheet is silent, °C. Source: cold-curing structural
/// epoxies turned to glass and cured slowly at 5 to 10 °C, and did not begin at 0 °C (Int. J. Adhes.
/// Adhes. 35 (2012) 9-16).
const COLDEST_C: f64 = 10.0;

/// What may be lost where °F become °C, K.
const ROUNDING_K: f64 = 1e-6;
/// What may be lost in a sum of times, relative.
const ROUNDING: f64 = 1e-9;

/// What a bond has reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Milestone {
    /// It may be moved with care.
    Handle,
    /// It may be worked on and loaded.
    Load,
    /// It has the strength of the sheet.
    FullCure,
}

/// What the product's sheet says of one milestone.
#[derive(Debug, Clone, PartialEq)]
pub enum Needed {
    /// One time, at the reference temperature.
    Time(Time),
    /// A table of its own, temperature and time, from cold to warm; two rows or more. Between rows
    /// the logarithm of the time is straight in 1/T.
    Table(Vec<(ThermodynamicTemperature, Time)>),
}

/// Temperature at the bond at one time. Two readings at one time are a jump.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When, s.
    pub at: f64,
    /// How warm, -50 to 250 °C.
    pub temperature: ThermodynamicTemperature,
}

/// A figure with its bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The least it may be.
    pub least: Time,
    /// What is likely.
    pub likely: Time,
    /// The most it may be.
    pub most: Time,
}

/// A caution that goes with a cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CureWarning {
    /// For a time it was too cold to cure. That time counts nothing.
    TooCold,
    /// It was warmer than the sheet speaks of. That warmth adds nothing.
    WarmthNotCounted,
    /// Readings lie more than six hours apart. The colder one counts in between.
    LongGap,
    /// For a time there are no readings. That time counts nothing.
    NoReadings,
}

impl std::fmt::Display for CureWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::TooCold => "For a time it was too cold to cure. That time counts nothing.",
            Self::WarmthNotCounted => {
                "It was warmer than the sheet speaks of. That warmth adds nothing."
            }
            Self::LongGap => {
                "Readings lie more than six hours apart. The colder one counts in between."
            }
            Self::NoReadings => "For a time there are no readings. That time counts nothing.",
        };
        f.write_str(words)
    }
}

/// The cure of one product towards one milestone.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// s at the reference temperature.
    needed: f64,
    /// K.
    reference: f64,
    least: RateCurve,
    likely: RateCurve,
    most: RateCurve,
}

/// How far a bond has come towards one milestone.
#[derive(Debug, Clone, PartialEq)]
pub struct CureProgress {
    /// Time at the reference temperature that the history is worth.
    pub equivalent: Span,
    /// Time at the reference temperature that is needed.
    pub needed: Time,
    /// Time at the reference temperature still missing.
    pub missing: Span,
    /// What to mind.
    pub warnings: Vec<CureWarning>,
}

impl CureProgress {
    /// Whether it is reached even if it went as slowly as it may have.
    pub fn reached(&self) -> bool {
        self.missing.most.get::<second>() <= 0.0
    }

    /// The share that is done if it went as slowly as it may have, 0 to 1.
    pub fn share(&self) -> Ratio {
        let share = self.equivalent.least / self.needed;
        Ratio::new::<ratio>(share.get::<ratio>().min(1.0))
    }
}

/// When a milestone is reached, from the end of the readings on, at a temperature held. None: never
/// at that temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadyIn {
    /// The soonest.
    pub soonest: Option<Time>,
    /// What is likely.
    pub likely: Option<Time>,
    /// The latest; the one to plan by.
    pub latest: Option<Time>,
}

impl Cure {
    /// The cure towards one milestone.
    ///
    /// With one time of the sheet, colder goes by Arrhenius, with bounds from the range of
    /// `activation`; warmer adds nothing, so that no bond is ready sooner than the sheet says. With a
    /// table, the table goes before all else: between its rows, bounds come from the rows around and
    /// `activation`; colder than its first row, down to `coldest`, goes by Arrhenius; warmer than its
    /// last row adds nothing. At or above `coldest` cure counts; None where the sheet is silent: 10 °C,
    /// or the coldest row of the table. A row colder than `coldest` counts all the same.
    ///
    /// Source: equivalent age (ASTM C1074 form), interpolation of ln t in 1/T (Arrhenius).
    pub fn new(
        reference: ThermodynamicTemperature,
        needed: &Needed,
        coldest: Option<ThermodynamicTemperature>,
        activation: Activation,
    ) -> Result<Self, AdhesiveError> {
        let reference = in_kelvin(reference)?;
        let coldest = coldest.map(in_kelvin).transpose()?;
        let [gentle, usual, steep] = [activation.least, activation.likely, activation.greatest];
        match needed {
            Needed::Time(time) => {
                let needed = sheet_time(*time)?;
                let silent = ThermodynamicTemperature::new::<degree_celsius>(COLDEST_C);
                let coldest = coldest.unwrap_or(silent.get::<kelvin>());
                if coldest >= reference {
                    return Err(AdhesiveError::Reference);
                }
                let curve = |energy| {
                    let rate = ln_factor(coldest, reference, energy);
                    let begins = (coldest - ROUNDING_K, rate);
                    RateCurve::new(vec![begins, (coldest, rate), (reference, 0.0)])
                };
                let (least, likely, most) = (curve(steep), curve(usual), curve(gentle));
                Ok(Self { needed, reference, least, likely, most })
            }
            Needed::Table(rows) => {
                let (needed, rows) = table(rows, reference)?;
                let coldest = coldest.unwrap_or(f64::INFINITY);
                let curve =
                    |beyond, up, down| RateCurve::new(knots(&rows, coldest, beyond, up, down));
                Ok(Self {
                    needed,
                    reference,
                    least: curve(steep, gentle, steep),
                    // The straight line between rows: no other energies, no other knots.
                    likely: curve(usual, usual, usual),
                    most: curve(gentle, steep, gentle),
                })
            }
        }
    }

    /// Time needed at the reference temperature.
    pub fn needed(&self) -> Time {
        Time::new::<second>(self.needed)
    }

    /// How far a bond made at `from` has come at `now`, both in s. Time before the first reading and
    /// after the last counts nothing, so give one for `now`.
    pub fn progress(
        &self,
        readings: &[Reading],
        from: f64,
        now: f64,
    ) -> Result<CureProgress, AdhesiveError> {
        if !(from.is_finite() && now.is_finite()) {
            return Err(AdhesiveError::Time);
        }
        if now < from {
            return Err(AdhesiveError::Backwards);
        }
        let history = history(readings)?;
        let mut sums = [0.0; 3];
        let (mut covered, mut cold, mut warm, mut gap) = (0.0, false, false, false);
        for pair in history.windows(2) {
            let ((began, first), (ended, last)) = (pair[0], pair[1]);
            let (start, stop) = (began.max(from), ended.min(now));
            if stop <= start {
                continue;
            }
            let apart = ended - began;
            let (first, last) = if apart > LONGEST_GAP_S {
                gap = true;
                (first.min(last), first.min(last))
            } else {
                let at = |time: f64| first + (last - first) * ((time - began) / apart);
                (at(start), at(stop))
            };
            cold |= first.min(last) < self.least.coldest();
            warm |= first.max(last) > self.least.hottest() + ROUNDING_K;
            covered += stop - start;
            for (sum, curve) in sums.iter_mut().zip([&self.least, &self.likely, &self.most]) {
                *sum += curve.over(stop - start, first, last);
            }
        }
        let missing = |done: f64| {
            let missing = self.needed - done;
            Time::new::<second>(if missing > ROUNDING * self.needed { missing } else { 0.0 })
        };
        let [least, likely, most] = sums;
        let warnings = [
            (cold, CureWarning::TooCold),
            (warm, CureWarning::WarmthNotCounted),
            (gap, CureWarning::LongGap),
            (covered < (now - from) * (1.0 - ROUNDING), CureWarning::NoReadings),
        ];
        let time = |seconds| Time::new::<second>(seconds);
        Ok(CureProgress {
            equivalent: Span { least: time(least), likely: time(likely), most: time(most) },
            needed: time(self.needed),
            missing: Span { least: missing(most), likely: missing(likely), most: missing(least) },
            warnings: warnings.into_iter().filter(|(holds, _)| *holds).map(|(_, w)| w).collect(),
        })
    }

    /// How long from the end of `progress` until the milestone is reached if the bond is kept at
    /// `forecast`.
    pub fn ready_in(
        &self,
        progress: &CureProgress,
        forecast: ThermodynamicTemperature,
    ) -> Result<ReadyIn, AdhesiveError> {
        let forecast = in_kelvin(forecast)?;
        let until = |missing: Time, curve: &RateCurve| {
            let (missing, rate) = (missing.get::<second>(), curve.at(forecast));
            if missing <= 0.0 {
                Some(Time::new::<second>(0.0))
            } else {
                (rate > 0.0).then(|| Time::new::<second>(missing / rate))
            }
        };
        Ok(ReadyIn {
            soonest: until(progress.missing.least, &self.most),
            likely: until(progress.missing.likely, &self.likely),
            latest: until(progress.missing.most, &self.least),
        })
    }
}

/// All that the sheet says of one product's cure, each milestone with the same reference.
#[derive(Debug, Clone, PartialEq)]
pub struct CureSheet {
    handle: Cure,
    load: Cure,
    full: Cure,
}

impl CureSheet {
    /// Handling may not need longer than loading, nor loading longer than full cure.
    pub fn new(handle: Cure, load: Cure, full: Cure) -> Result<Self, AdhesiveError> {
        let one_reference = [&load, &full]
            .iter()
            .all(|cure| (cure.reference - handle.reference).abs() <= ROUNDING_K);
        if !one_reference {
            return Err(AdhesiveError::Reference);
        }
        if handle.needed <= load.needed && load.needed <= full.needed {
            Ok(Self { handle, load, full })
        } else {
            Err(AdhesiveError::MilestoneOrder)
        }
    }

    /// The cure towards one milestone.
    pub fn towards(&self, milestone: Milestone) -> &Cure {
        match milestone {
            Milestone::Handle => &self.handle,
            Milestone::Load => &self.load,
            Milestone::FullCure => &self.full,
        }
    }

    /// How far it has come towards each; see [`Cure::progress`].
    pub fn progress(
        &self,
        readings: &[Reading],
        from: f64,
        now: f64,
    ) -> Result<[(Milestone, CureProgress); 3], AdhesiveError> {
        let progress = |milestone: Milestone| {
            let cure = self.towards(milestone);
            cure.progress(readings, from, now).map(|progress| (milestone, progress))
        };
        Ok([
            progress(Milestone::Handle)?,
            progress(Milestone::Load)?,
            progress(Milestone::FullCure)?,
        ])
    }
}

fn sheet_time(time: Time) -> Result<f64, AdhesiveError> {
    let time = time.get::<second>();
    if above_zero(time) { Ok(time) } else { Err(AdhesiveError::SheetTime) }
}

/// Times in s and temperatures in K, in order.
fn history(readings: &[Reading]) -> Result<Vec<(f64, f64)>, AdhesiveError> {
    let mut history: Vec<(f64, f64)> = Vec::with_capacity(readings.len());
    for (row, reading) in readings.iter().enumerate() {
        if !reading.at.is_finite() {
            return Err(AdhesiveError::Time);
        }
        if history.last().is_some_and(|&(before, _)| before > reading.at) {
            return Err(AdhesiveError::ReadingOrder { row });
        }
        history.push((reading.at, in_kelvin(reading.temperature)?));
    }
    Ok(history)
}

/// The time at the reference temperature, and kelvin and ln rate of each row.
fn table(
    rows: &[(ThermodynamicTemperature, Time)],
    reference: f64,
) -> Result<(f64, Vec<(f64, f64)>), AdhesiveError> {
    if rows.len() < 2 {
        return Err(AdhesiveError::TableTooShort);
    }
    let mut known: Vec<(f64, f64)> = Vec::with_capacity(rows.len());
    for (row, &(temperature, time)) in rows.iter().enumerate() {
        let here = (in_kelvin(temperature)?, -sheet_time(time)?.ln());
        if known.last().is_some_and(|before| here.0 <= before.0 || here.1 < before.1) {
            return Err(AdhesiveError::TableOrder { row });
        }
        known.push(here);
    }
    let curve = RateCurve::new(known.clone());
    if !(curve.coldest()..=curve.hottest()).contains(&reference) {
        return Err(AdhesiveError::Reference);
    }
    let needed = 1.0 / curve.at(reference);
    let known = known.into_iter().map(|(at, ln_rate)| (at, ln_rate + needed.ln())).collect();
    Ok((needed, known))
}

/// The knots of a rate through `rows`: down to `coldest` with the energy `beyond`; between two rows
/// the bound that starts from the colder one with the energy `up` and from the warmer one with
/// `down`, but never crossing the straight line between them.
///
/// In 1/T all three are straight. With `up` below and `down` above the energy that joins the rows,
/// the bound is the higher of its two lines and below the straight one; with `up` above and `down`
/// below, the lower of them and above it. Either way there is one knot, where the two lines meet.
fn knots(rows: &[(f64, f64)], coldest: f64, beyond: f64, up: f64, down: f64) -> Vec<(f64, f64)> {
    let mut knots = Vec::with_capacity(2 * rows.len() + 2);
    if let Some(&(first, ln_rate)) = rows.first() {
        let begins = coldest.min(first);
        let slowest = ln_rate + ln_factor(begins, first, beyond);
        knots.push((begins - ROUNDING_K, slowest));
        if begins < first {
            knots.push((begins, slowest));
        }
        knots.push((first, ln_rate));
    }
    for pair in rows.windows(2) {
        let ((cold, ln_cold), (warm, ln_warm)) = (pair[0], pair[1]);
        let joins = GAS_CONSTANT * (ln_warm - ln_cold) / (1.0 / cold - 1.0 / warm);
        if (up < joins && joins < down) || (down < joins && joins < up) {
            // ln_cold + up/R (1/cold - x) = ln_warm - down/R (x - 1/warm)
            let x = (GAS_CONSTANT * (ln_warm - ln_cold) + down / warm - up / cold) / (down - up);
            let at = 1.0 / x;
            if at > cold && at < warm {
                knots.push((at, ln_cold + ln_factor(at, cold, up)));
            }
        }
        knots.push((warm, ln_warm));
    }
    knots
}
