//! When a bond that was made has cured so far: worked out from the adhesive's file and from how warm
//! the room was read to be. What was read last is taken to go on.
//!
//! A clock knows nothing of a cold night; the leftover of the same cup is tried all the same.

use crate::checklist::{Adhesive, Checklist, Runs, Stage};
use crate::event::Moment;
use crate::ids::{ClockId, StationId};
use crate::refusal::Refusal;
use crate::run::{Clock, StageRun};
use crate::state::State;
use chrono::TimeDelta;
use coldbench_trade::adhesive::{Milestone, Reading};
use coldbench_trade::units::{ThermodynamicTemperature, Time, degree_celsius, second};

/// When a bond has cured so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ready {
    /// At this time at the latest; it may be past.
    At(Moment),
    /// Never while the room stays as cold as it was read last, in °C.
    Never(f64),
}

impl Ready {
    /// Whether it has cured so far.
    pub fn is_reached(self, now: Moment) -> bool {
        matches!(self, Self::At(at) if at <= now)
    }

    /// Whichever is later.
    #[must_use]
    pub fn later(self, other: Self) -> Self {
        match (self, other) {
            (Self::At(one), Self::At(other)) => Self::At(one.max(other)),
            (never @ Self::Never(_), _) | (_, never) => never,
        }
    }
}

/// How warm a station's room was read to be, in °C: from the last reading before `from` on, up to
/// `now`, in order of time.
pub(crate) fn readings(
    state: &State,
    station: &StationId,
    from: Moment,
    now: Moment,
) -> Vec<(Moment, f64)> {
    let room = state.room_of(station);
    let mut read: Vec<(Moment, f64)> = room
        .map_or(&[][..], |room| room.temperatures.as_slice())
        .iter()
        .copied()
        .filter(|(at, _)| *at <= now)
        .collect();
    read.sort_by_key(|(at, _)| *at);
    let before = read.iter().rposition(|(at, _)| *at <= from).unwrap_or(0);
    read.split_off(before)
}

/// When the bond of a stage that was made at `made` has cured so far; `None` where the adhesive's file
/// was not kept when the stage was begun.
pub fn ready(
    state: &State,
    run: &StageRun,
    product: &str,
    (until, made): (Milestone, Moment),
    now: Moment,
) -> Option<Ready> {
    let cure = adhesive(state, run, product)?.cure.towards(until);
    let celsius = ThermodynamicTemperature::new::<degree_celsius>;
    let since = |at: Moment| (at - made).as_seconds_f64();
    let read = readings(state, &run.station, made, now);
    let Some((_, last)) = read.last().copied() else {
        // Never read: the sheet's own time, which the sheet promises for its own temperature.
        return Some(Ready::At(made + whole(cure.needed())));
    };
    let mut history: Vec<Reading> = read
        .iter()
        .map(|(at, value)| Reading { at: since(*at), temperature: celsius(*value) })
        .collect();
    let end = since(now).max(0.0);
    if history.last().is_some_and(|reading| reading.at < end) {
        history.push(Reading { at: end, temperature: celsius(last) });
    }
    let progress = cure.progress(&history, 0.0, end).ok()?;
    let left = cure.ready_in(&progress, celsius(last)).ok()?.latest;
    if left.is_some_and(|left| left.get::<second>() <= 0.0) {
        // When exactly is past knowing; not before the time of the sheet.
        return Some(Ready::At((made + whole(cure.needed())).min(now)));
    }
    // Counted from when the bond was made, so that the moment does not move while one looks.
    let whole_of = |left: Time| whole(Time::new::<second>(end) + left);
    Some(left.map_or(Ready::Never(last), |left| Ready::At(made + whole_of(left))))
}

/// When the cure began that an earlier clock of the stage stands for.
fn began(run: &StageRun, since: Option<&ClockId>) -> Option<Moment> {
    run.clocks.get(since?).map(|clock| clock.started.at)
}

/// When it would have cured so far at the temperature of the sheet.
fn by_sheet(
    state: &State,
    run: &StageRun,
    product: &str,
    until: Milestone,
    made: Moment,
) -> Option<Moment> {
    adhesive(state, run, product)
        .map(|adhesive| made + whole(adhesive.cure.towards(until).needed()))
}

fn adhesive<'a>(state: &'a State, run: &StageRun, product: &str) -> Option<&'a Adhesive> {
    let texts = run.products.iter().filter_map(|digest| state.texts.get(digest));
    texts.filter_map(|text| text.checklist.as_ref()).find_map(|file| match file {
        Checklist::Adhesive(adhesive) if adhesive.id == product => Some(adhesive),
        _ => None,
    })
}

/// How long a clock runs that is started now. A cure that follows the adhesive takes the time of its
/// sheet, or longer in a colder room; where the room is too cold for it, what the step that waits finds.
pub fn clock_minutes(
    state: &State,
    run: &StageRun,
    runs: &Runs,
    now: Moment,
) -> Result<u32, Refusal> {
    let (product, until, made) = match runs {
        Runs::Minutes(minutes) => return Ok(*minutes),
        Runs::Cure { product, until, since } => {
            (product, *until, began(run, since.as_ref()).unwrap_or(now))
        }
    };
    let missing = || Refusal::NoAdhesive { product: product.clone() };
    let at = match ready(state, run, product, (until, made), now).ok_or_else(missing)? {
        Ready::At(at) => at,
        Ready::Never(_) => by_sheet(state, run, product, until, made).ok_or_else(missing)?,
    };
    let seconds = (at - now).num_seconds().max(60);
    Ok(u32::try_from((seconds + 59) / 60).unwrap_or(u32::MAX))
}

/// A clock as it stands now: that of a cure, which follows the readings of the room, is over only
/// when the adhesive has cured so far. `None` where it was not started.
pub fn wait(
    state: &State,
    run: &StageRun,
    stage: &Stage,
    id: &ClockId,
    now: Moment,
) -> Option<(Clock, Ready)> {
    let clock = run.clocks.get(id)?.clone();
    let by_clock = Ready::At(clock.runs_out());
    let followed = stage.clock(id).and_then(|(_, start)| match &start.runs {
        Runs::Cure { product, until, since } => {
            let made = began(run, since.as_ref()).unwrap_or(clock.started.at);
            ready(state, run, product, (*until, made), now)
        }
        Runs::Minutes(_) => None,
    });
    Some((clock, followed.map_or(by_clock, |followed| followed.later(by_clock))))
}

/// When every bond of a stage has cured so far; `None` where none of its clocks names an adhesive.
pub fn bond_ready(
    state: &State,
    run: &StageRun,
    stage: &Stage,
    until: Milestone,
    now: Moment,
) -> Option<Ready> {
    let cures = stage.steps.iter().filter_map(|step| {
        let start = step.starts.as_ref()?;
        let Runs::Cure { product, since, .. } = &start.runs else { return None };
        let made = run.clocks.get(&start.id)?.started.at;
        let made = began(run, since.as_ref()).unwrap_or(made);
        ready(state, run, product, (until, made), now)
    });
    cures.reduce(Ready::later)
}

/// Up to the next second; what may be lost in a sum of times takes it no further. A century is never at
/// a bench.
fn whole(time: Time) -> TimeDelta {
    let most = 100.0 * 365.0 * 24.0 * 3600.0;
    #[expect(clippy::cast_possible_truncation, reason = "a century of seconds at most")]
    let seconds = (time.get::<second>() - 1e-3).ceil().clamp(0.0, most) as i64;
    TimeDelta::seconds(seconds)
}
