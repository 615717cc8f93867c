//! Numbers and times in the words of the bench.

use chrono::TimeDelta;

/// A number without needless decimals.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A temperature in °C, e.g. `140.5 °C`.
pub fn celsius(value: f64) -> String {
    format!("{} °C", number(value))
}

/// Millimetres as metres, to a decimetre.
pub(crate) fn metres(mm: f64) -> String {
    format!("{:.1} m", mm / 1000.0)
}

/// A span of time, e.g. `23 h 40 min` or `45 s`.
pub fn span(span: TimeDelta) -> String {
    let seconds = span.num_seconds().max(0);
    let (hours, minutes) = (seconds / 3600, seconds % 3600 / 60);
    match (hours, minutes) {
        (0, 0) => format!("{seconds} s"),
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}
