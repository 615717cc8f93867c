//! The wall clock: the only place that asks what time it is.

use chrono::{DateTime, FixedOffset, Local, TimeDelta, Timelike};
use coldbench_shop::Moment;

/// Where the time comes from.
#[derive(Debug, Clone)]
pub enum Clock {
    /// The machine's clock in its own time zone.
    Wall,
    /// A time set by hand, for making the demo workshop's past.
    Set(Moment),
}

impl Clock {
    /// The time now, to the millisecond, which is what the ledger keeps.
    pub fn now(&self) -> Moment {
        let now = match self {
            Self::Wall => wall(),
            Self::Set(moment) => *moment,
        };
        let millis = now.nanosecond() / 1_000_000;
        now.with_nanosecond(millis * 1_000_000).unwrap_or(now)
    }

    /// Moves a set clock on; the wall clock goes by itself.
    pub fn advance(&mut self, by: TimeDelta) {
        if let Self::Set(moment) = self {
            *moment += by;
        }
    }
}

#[cfg(not(debug_assertions))]
fn wall() -> DateTime<FixedOffset> {
    Local::now().fixed_offset()
}

/// In a development build, a test may shift the clock: the file named by
/// `COLDBENCH_TEST_CLOCK` holds a number of minutes. A release build knows no such thing.
#[cfg(debug_assertions)]
fn wall() -> DateTime<FixedOffset> {
    let shift = std::env::var_os("COLDBENCH_TEST_CLOCK")
        .and_then(|path| std::fs::read_to_string(path).ok())
        .and_then(|text| text.trim().parse::<i64>().ok())
        .unwrap_or(0);
    Local::now().fixed_offset() + TimeDelta::minutes(shift)
}
