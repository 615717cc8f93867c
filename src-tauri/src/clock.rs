//! The wall clock: the only place that asks what time it is.

use chrono::{DateTime, FixedOffset, Local, NaiveDateTime, TimeDelta, TimeZone, Timelike};
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

/// A day and a time as a person writes them (`2026-11-25 14:10`, or with the `T` of a form), in the
/// machine's time zone; of an hour that the clocks ran through twice, the first.
pub fn moment_here(written: &str) -> Option<Moment> {
    let plain = written.replacen('T', " ", 1);
    let read = |form| NaiveDateTime::parse_from_str(&plain, form).ok();
    let read = read("%Y-%m-%d %H:%M").or_else(|| read("%Y-%m-%d %H:%M:%S"))?;
    Some(Local.from_local_datetime(&read).earliest()?.fixed_offset())
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_read_as_people_and_forms_write_it() {
        let shown = |written| moment_here(written).map(|at| at.format("%F %T").to_string());
        assert_eq!(shown("2026-11-25 14:10").as_deref(), Some("2026-11-25 14:10:00"));
        assert_eq!(shown("2026-11-25T14:10").as_deref(), Some("2026-11-25 14:10:00"));
        for nonsense in ["", "14:10", "2026-13-01 10:00", "2026-11-25 25:00", "yesterday"] {
            assert_eq!(shown(nonsense), None, "{nonsense}");
        }
    }
}
