//! How moments, digests and counts read on paper.

use chrono::TimeDelta;

use crate::model::{ClockRecord, When};

/// The words that stand wherever heat, solvent, air, dust or skin is touched.
pub(crate) const STANDING: &str = "Local codes, the product's safety data sheet and licensed practice come first. An estimate is no gas detector.";

/// The mark of a step that nobody has signed.
pub(crate) const OPEN: &str = "open - not signed";

/// The mark every page of an invented record carries.
pub(crate) const INVENTED: &str = "Demonstration: workshop, people, rod and numbers are invented.";

/// The same for the record of a station.
pub(crate) const INVENTED_STATION: &str =
    "Demonstration: workshop, people, station and numbers are invented.";

/// The same for the single sheets.
pub(crate) const INVENTED_SHEET: &str = "Demonstration: workshop, people and numbers are invented.";

/// A moment as `2026-11-25 10:32:07 +01:00`, its spaces such that no line breaks there.
pub(crate) fn moment(when: When) -> String {
    when.format("%Y-%m-%d\u{a0}%H:%M:%S\u{a0}%:z").to_string()
}

/// The day alone, `2026-11-25`.
pub(crate) fn day(when: When) -> String {
    when.format("%Y-%m-%d").to_string()
}

/// Digits in groups of `size`, so that they can be compared by eye.
pub(crate) fn groups(digits: &str, size: usize) -> Vec<String> {
    let digits: Vec<char> = digits.chars().collect();
    digits.chunks(size.max(1)).map(|group| group.iter().collect()).collect()
}

/// The first four groups of a digest, for the foot of each page.
pub(crate) fn short_digest(digest: &str) -> String {
    let mut short = groups(digest, 4);
    short.truncate(4);
    short.join(" ")
}

/// True for exactly 64 hexadecimal digits.
pub(crate) fn is_digest(digest: &str) -> bool {
    digest.len() == 64 && digest.bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// `1 event`, `2 events`.
pub(crate) fn count(number: u64, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

/// How long a clock was set for, and to when.
pub(crate) fn clock_span(clock: &ClockRecord) -> String {
    let from = moment(clock.begun);
    let length = duration(clock.minutes);
    match clock.begun.checked_add_signed(TimeDelta::minutes(i64::from(clock.minutes))) {
        Some(end) => format!("{length}, from {from} to {}", moment(end)),
        None => format!("{length}, from {from}"),
    }
}

/// Minutes as `45 min`, `3 h` or `36 h 20 min`.
fn duration(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Millimetres for reading: at most one decimal, and none if it is zero.
pub(crate) fn millimetres(value: f64) -> String {
    if !value.is_finite() {
        return "not known".to_owned();
    }
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    let text = if text == "-0" { "0" } else { text };
    format!("{text} mm")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> When {
        When::parse_from_rfc3339(text).unwrap()
    }

    /// As it stands in the PDF: see `pdf::page`.
    fn plain(text: &str) -> String {
        text.replace('\u{a0}', " ")
    }

    #[test]
    fn a_moment_shows_its_offset() {
        assert_eq!(plain(&moment(at("2026-11-25T10:32:07+01:00"))), "2026-11-25 10:32:07 +01:00");
        assert_eq!(plain(&moment(at("2026-11-25T10:32:07.9-03:30"))), "2026-11-25 10:32:07 -03:30");
        assert_eq!(plain(&moment(at("2026-11-25T10:32:07Z"))), "2026-11-25 10:32:07 +00:00");
    }

    #[test]
    fn a_digest_is_grouped_without_loss() {
        let digest = "0123456789abcdef".repeat(4);
        let grouped = groups(&digest, 4);
        assert_eq!(grouped.len(), 16);
        assert_eq!(grouped.concat(), digest);
        assert_eq!(short_digest(&digest), "0123 4567 89ab cdef");
        assert_eq!(groups("abcde", 4), ["abcd", "e"]);
    }

    #[test]
    fn only_64_hexadecimal_digits_are_a_digest() {
        assert!(is_digest(&"aF".repeat(32)));
        assert!(!is_digest(&"a".repeat(63)));
        assert!(!is_digest(&"g".repeat(64)));
        assert!(!is_digest(&"é".repeat(32)));
    }

    #[test]
    fn a_clock_states_its_end_across_midnight() {
        let clock = ClockRecord {
            name: "Grip bond".to_owned(),
            kind: "cure".to_owned(),
            minutes: 1450,
            begun: at("2026-11-25T10:00:00+01:00"),
            who: "M. Ostrander".to_owned(),
        };
        assert_eq!(
            plain(&clock_span(&clock)),
            "24 h 10 min, from 2026-11-25 10:00:00 +01:00 to 2026-11-26 10:10:00 +01:00"
        );
    }

    #[test]
    fn millimetres_are_short_and_honest() {
        assert_eq!(millimetres(230.0), "230 mm");
        assert_eq!(millimetres(1067.25), "1067.2 mm");
        assert_eq!(millimetres(-0.01), "0 mm");
        assert_eq!(millimetres(f64::NAN), "not known");
    }
}
