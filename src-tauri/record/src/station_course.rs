//! The vapour estimate over the day as a small drawing, and how the times of the day read.

use chrono::{FixedOffset, NaiveDate, NaiveTime};

use crate::{
    block::Column,
    flow::Strip,
    fonts::Fonts,
    mark::{Dash, Mark, Stroke},
    model::When,
    station_model::{EntryKind, StationLog},
    style::{HAIR, Ink, LABEL, RULE, SMALL_STRONG, Style},
    words::moment,
    wrap::Run,
};

/// Seconds of an hour and of a day.
const HOUR: i64 = 3_600;
const DAY: i64 = 24 * HOUR;

/// The day that is told, and the offset its times are read at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Day {
    /// Its beginning, in seconds of a clock at [`Day::offset`]; `None` if the day's name is none.
    begins: Option<i64>,
    offset: FixedOffset,
}

impl Day {
    pub(crate) fn of(log: &StationLog) -> Self {
        let date = NaiveDate::parse_from_str(log.day.trim(), "%Y-%m-%d").ok();
        let begins = date.map(|date| date.and_time(NaiveTime::MIN).and_utc().timestamp());
        let first = log.entries.first().map(|entry| entry.when);
        let offset = first.or_else(|| log.curve.first().map(|(when, _)| *when));
        Self { begins, offset: *offset.unwrap_or(log.printed).offset() }
    }

    /// A moment of this day at its offset as `10:32:07`; any other in full.
    pub(crate) fn time(&self, when: When) -> String {
        if *when.offset() == self.offset && self.second(when).is_some() {
            when.format("%H:%M:%S").to_string()
        } else {
            moment(when)
        }
    }

    /// The offset in words, `+01:00`.
    pub(crate) fn offset(&self) -> String {
        self.offset.to_string()
    }

    /// Seconds since the day began; `None` on another day.
    fn second(&self, when: When) -> Option<i64> {
        let local = when.timestamp().checked_add(i64::from(self.offset.local_minus_utc()))?;
        let second = local.checked_sub(self.begins?)?;
        (0..DAY).contains(&second).then_some(second)
    }
}

/// True for an estimate that can be shown: finite, not negative, and of this world.
pub(crate) fn known(percent: f64) -> bool {
    (0.0..1.0e6).contains(&percent)
}

/// A percentage for reading: at most one decimal, and none if it is zero. What is above 0 is
/// never shown as 0.
pub(crate) fn percent(value: f64) -> String {
    if !known(value) {
        return "not known".to_owned();
    }
    if value > 0.0 && value < 0.1 {
        return "less than 0.1\u{a0}%".to_owned();
    }
    rounded(value)
}

/// The same without judging what can be: for the lines of the drawing.
fn rounded(value: f64) -> String {
    let text = format!("{value:.1}");
    format!("{}\u{a0}%", text.strip_suffix(".0").unwrap_or(&text))
}

/// The highest known estimate and its moment.
pub(crate) fn highest(curve: &[(When, f64)]) -> Option<(When, f64)> {
    let known = curve.iter().copied().filter(|(_, value)| known(*value));
    known.reduce(|best, point| if point.1 > best.1 { point } else { best })
}

/// The estimate at a moment, straight between points; `None` outside them and where it is not
/// known. Where it jumps, the higher side counts.
pub(crate) fn at(curve: &[(When, f64)], when: When) -> Option<f64> {
    let spans = curve.windows(2).filter_map(|pair| match pair {
        [a, b] if (a.0..=b.0).contains(&when) => Some((*a, *b)),
        _ => None,
    });
    let mut found: Option<f64> = None;
    for ((from, a), (to, b)) in spans {
        let exact = [(from, a), (to, b)].into_iter().filter(|(at, _)| *at == when);
        let mut values: Vec<f64> = exact.map(|(_, value)| value).collect();
        if values.is_empty() {
            let (whole, part) = (seconds(to - from), seconds(when - from));
            values.push(a + (b - a) * part / whole);
        }
        for value in values {
            if !known(value) {
                return None;
            }
            found = Some(found.map_or(value, |best| best.max(value)));
        }
    }
    found
}

fn seconds(span: chrono::TimeDelta) -> f64 {
    span.as_seconds_f64()
}

/// The drawing and what it shows in words.
pub(crate) struct Drawing {
    pub(crate) strip: Strip,
    pub(crate) caption: String,
}

/// Room left of the drawing for its numbers, and right of it for the limit's name.
const LEFT: f32 = 80.0;
const RIGHT: f32 = 54.0;
/// Height of a lane of ticks, and of the curve itself, in points.
const LANE: f32 = 15.0;
const HEIGHT: f32 = 118.0;

/// Draws the course of the estimate. `None` if no known point lies in the day.
pub(crate) fn draw(fonts: &Fonts, log: &StationLog, day: &Day, column: Column) -> Option<Drawing> {
    let mut points: Vec<(i64, f64)> =
        log.curve.iter().filter_map(|(when, value)| Some((day.second(*when)?, *value))).collect();
    points.sort_by_key(|(second, _)| *second);
    let top = points.iter().map(|(_, value)| *value).filter(|value| known(*value));
    let top = top.reduce(f64::max)?;
    let limit = Some(log.curve_limit_percent).filter(|limit| known(*limit));
    let axes = Axes::fitting(log, day, &points, top.max(limit.unwrap_or(0.0)), column);
    let ticks = |kind| -> Vec<i64> {
        let entries = log.entries.iter().filter(|entry| entry.kind == kind);
        entries.filter_map(|entry| day.second(entry.when)).collect()
    };
    let (releases, heat) = (ticks(EntryKind::Release), ticks(EntryKind::Heat));
    let mut marks = Vec::new();
    let mut y = 0.0;
    for (name, seconds) in [("flammable used", &releases), ("heat used", &heat)] {
        if !seconds.is_empty() {
            marks.push(text(fonts, LABEL, (column.x, y + 10.5), name));
            let pen = Stroke::solid(1.2, Ink::Full);
            marks.extend(seconds.iter().map(|second| {
                let x = axes.x(*second);
                Mark::Line((x, y + 2.0), (x, y + LANE - 3.0), pen)
            }));
            y += LANE;
        }
    }
    // The uppermost number reaches above its line.
    let bottom = y + 6.0 + HEIGHT;
    marks.extend(axes.grid(fonts, bottom, limit));
    if let Some(limit) = limit {
        let level = bottom - axes.height(limit);
        let pen = Stroke { weight: 1.1, ink: Ink::Rust, dash: Dash::Dashed };
        marks.push(Mark::Line((axes.left, level), (axes.right, level), pen));
        let name = format!("limit {}", percent(limit));
        // A long name goes to two lines rather than out of the frame.
        let run = Run::new(fonts, SMALL_STRONG, &name);
        if run.width(fonts) <= RIGHT - 4.0 {
            marks.push(Mark::Text((axes.right + 4.0, level + 3.3), run));
        } else {
            let lines = ["limit".to_owned(), percent(limit).replace("less than ", "< ")];
            // Not so low that it meets the times.
            let level = level.min(bottom - 9.0);
            for (line, down) in lines.iter().zip([-3.0, 9.0]) {
                marks.push(text(fonts, SMALL_STRONG, (axes.right + 4.0, level + down), line));
            }
        }
    }
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        if known(a.1) && known(b.1) {
            let spot = |(second, value): (i64, f64)| (axes.x(second), bottom - axes.height(value));
            marks.push(Mark::Line(spot(*a), spot(*b), Stroke::solid(1.3, Ink::Full)));
        }
    }
    // A known point between unknown ones has no line to be seen by.
    for (nth, (second, value)) in points.iter().enumerate() {
        let joined = |other: Option<&(i64, f64)>| other.is_some_and(|(_, value)| known(*value));
        let before = nth.checked_sub(1).and_then(|nth| points.get(nth));
        if known(*value) && !joined(before) && !joined(points.get(nth + 1)) {
            let (x, y) = (axes.x(*second), bottom - axes.height(*value));
            marks.push(Mark::rectangle((x - 1.5, y - 1.5), 3.0, 3.0, Some(Ink::Full), None));
        }
    }
    let height = bottom + 17.0;
    Some(Drawing { strip: Strip::new(height, marks), caption: caption(log, day) })
}

fn text(fonts: &Fonts, style: Style, spot: (f32, f32), words: &str) -> Mark {
    Mark::Text(spot, Run::new(fonts, style, words))
}

fn caption(log: &StationLog, day: &Day) -> String {
    let mut words = vec![
        "Estimate in percent of the lower flammable limit, worked out from what was recorded. It \
         is an estimate and no gas detector: what nobody recorded is not in it."
            .to_owned(),
    ];
    if let Some((when, value)) = highest(&log.curve) {
        words.push(format!("Highest: {} at {}.", percent(value), day.time(when)));
    }
    if log.curve.iter().any(|(_, value)| !known(*value)) {
        words.push("Where the line is broken, the estimate is not known.".to_owned());
    }
    if log.curve.iter().any(|(when, _)| day.second(*when).is_none()) {
        words.push("Points on other days are not drawn.".to_owned());
    }
    words.push(log.curve_word.trim().to_owned());
    words.join(" ")
}

/// Where times and percentages stand on the paper.
struct Axes {
    left: f32,
    right: f32,
    /// Hours of the day at the left and right end.
    hours: (i64, i64),
    /// The percentage between two lines, and how many such steps there are.
    step: f64,
    steps: u16,
}

impl Axes {
    /// From the first to the last whole hour of the day's entries and points; up to `top` percent.
    fn fitting(
        log: &StationLog,
        day: &Day,
        points: &[(i64, f64)],
        top: f64,
        column: Column,
    ) -> Self {
        let entries = log.entries.iter().filter_map(|entry| day.second(entry.when));
        let seconds = || entries.clone().chain(points.iter().map(|(second, _)| *second));
        let first = seconds().min().unwrap_or(0) / HOUR;
        let last = (seconds().max().unwrap_or(DAY) + HOUR - 1) / HOUR;
        let hours = (first, last.max(first + 1));
        let step = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0]
            .into_iter()
            .chain(
                (1..=6).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10.0_f64.powi(power))),
            )
            .find(|step| top * 1.08 <= step * 5.0)
            .unwrap_or(1.0e6);
        let steps = (1..5).find(|steps| top * 1.08 <= step * f64::from(*steps)).unwrap_or(5);
        Self { left: column.x + LEFT, right: column.right() - RIGHT, hours, step, steps }
    }

    fn x(&self, second: i64) -> f32 {
        let (first, last) = self.hours;
        let part = number(second - first * HOUR) / number((last - first) * HOUR);
        self.left + (self.right - self.left) * short(part)
    }

    /// How high a percentage stands above the lower line.
    fn height(&self, value: f64) -> f32 {
        HEIGHT * short(value / (self.step * f64::from(self.steps)))
    }

    fn grid(&self, fonts: &Fonts, bottom: f32, limit: Option<f64>) -> Vec<Mark> {
        let hair = Stroke::solid(HAIR, Ink::Soft);
        let full = Stroke::solid(RULE, Ink::Full);
        let mut marks = Vec::new();
        for nth in 0..=self.steps {
            let value = self.step * f64::from(nth);
            let y = bottom - self.height(value);
            let pen = if nth == 0 { full } else { hair };
            // A hairline under the limit's dashes would join them.
            let covered = limit.is_some_and(|limit| self.height(limit - value).abs() < 1.0);
            if nth == 0 || !covered {
                marks.push(Mark::Line((self.left, y), (self.right, y), pen));
            }
            let run = Run::new(fonts, LABEL, &rounded(value));
            let x = self.left - 5.0 - run.width(fonts);
            marks.push(Mark::Text((x, y + 3.3), run));
        }
        marks.push(Mark::Line((self.left, bottom - HEIGHT), (self.left, bottom), full));
        let (first, last) = self.hours;
        // A name needs 40 points.
        let most = number(last - first) * 40.0 / f64::from(self.right - self.left);
        let every = [1, 2, 3, 4, 6, 12].into_iter().find(|hours| number(*hours) >= most);
        let every = every.unwrap_or(24);
        for hour in first..=last {
            let x = self.x(hour * HOUR);
            let named = hour % every == 0;
            let length = if named { 4.0 } else { 2.0 };
            marks.push(Mark::Line((x, bottom), (x, bottom + length), full));
            if named {
                let run = Run::new(fonts, LABEL, &format!("{hour:02}:00"));
                let x = x - run.width(fonts) / 2.0;
                marks.push(Mark::Text((x, bottom + 14.0), run));
            }
        }
        marks
    }
}

/// A count of seconds or hours of a day.
fn number(count: i64) -> f64 {
    i32::try_from(count).map_or(0.0, f64::from)
}

fn short(value: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "a place on a page needs no more digits")]
    let value = value as f32;
    value
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::station_specimen as specimen;

    fn when(text: &str) -> When {
        When::parse_from_rfc3339(text).unwrap()
    }

    #[test]
    fn only_times_of_the_day_are_short() {
        let day = Day::of(&specimen::ordinary());
        assert_eq!(day.time(when("2026-11-25T00:00:00+01:00")), "00:00:00");
        assert_eq!(day.time(when("2026-11-25T23:59:59+01:00")), "23:59:59");
        for other in ["2026-11-26T00:00:00+01:00", "2026-11-24T23:59:59+01:00"] {
            assert_eq!(day.time(when(other)), moment(when(other)));
        }
        let elsewhere = when("2026-11-25T12:00:00+02:00");
        assert_eq!(day.time(elsewhere), moment(elsewhere));
        assert_eq!(day.offset(), "+01:00");
    }

    #[test]
    fn percentages_are_short_and_never_hide_something_above_nothing() {
        for (value, text) in [
            (0.0, "0\u{a0}%"),
            (0.04, "less than 0.1\u{a0}%"),
            (10.0, "10\u{a0}%"),
            (14.26, "14.3\u{a0}%"),
            (f64::NAN, "not known"),
            (-1.0, "not known"),
            (f64::INFINITY, "not known"),
        ] {
            assert_eq!(percent(value), text);
        }
    }

    #[test]
    fn the_estimate_runs_straight_and_is_unknown_where_a_point_is() {
        let at_minute = |minute| when(&format!("2026-11-25T10:{minute:02}:00+01:00"));
        let curve = [
            (at_minute(0), 2.0),
            (at_minute(10), 4.0),
            (at_minute(10), 20.0),
            (at_minute(20), 10.0),
            (at_minute(30), f64::NAN),
        ];
        assert_eq!(at(&curve, at_minute(5)), Some(3.0));
        assert_eq!(at(&curve, at_minute(10)), Some(20.0));
        assert_eq!(at(&curve, at_minute(15)), Some(15.0));
        assert_eq!(at(&curve, at_minute(25)), None);
        assert_eq!(at(&curve, at_minute(40)), None);
        assert_eq!(highest(&curve), Some((at_minute(10), 20.0)));
    }

    #[test]
    fn the_limit_is_drawn_at_its_height_and_named() {
        let fonts = Fonts::load().unwrap();
        let log = specimen::ordinary();
        let column = Column { x: 0.0, width: 470.0 };
        let drawing = draw(&fonts, &log, &Day::of(&log), column).unwrap();
        let level = drawing.strip.marks.iter().find_map(|mark| match mark {
            Mark::Line((_, y), (_, other), stroke) if stroke.dash == Dash::Dashed => {
                assert!((y - other).abs() < 1e-3);
                Some(*y)
            }
            _ => None,
        });
        let text_at = |words: &str| {
            drawing.strip.marks.iter().find_map(|mark| match mark {
                Mark::Text((_, y), run) if run.text == words => Some(*y),
                _ => None,
            })
        };
        // The name of a line stands level with it, 3.3 points below for its capitals.
        assert!((text_at("limit 10\u{a0}%").unwrap() - 3.3 - level.unwrap()).abs() < 0.01);
        let (zero, ten) = (text_at("0\u{a0}%").unwrap(), text_at("20\u{a0}%").unwrap());
        let per_cent = (zero - ten) / 20.0;
        assert!((zero - 3.3 - 10.0 * per_cent - level.unwrap()).abs() < 0.01);
    }

    #[test]
    fn the_scale_of_a_huge_estimate_is_still_in_numbers() {
        let fonts = Fonts::load().unwrap();
        let mut log = specimen::ordinary();
        log.curve[0].1 = 999_999.0;
        let column = Column { x: 0.0, width: 470.0 };
        let marks = draw(&fonts, &log, &Day::of(&log), column).unwrap().strip.marks;
        let texts: Vec<&str> = marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Text(_, run) => Some(run.text.as_str()),
                _ => None,
            })
            .collect();
        assert!(texts.contains(&"1000000\u{a0}%"), "{texts:?}");
        assert!(!texts.contains(&"not known"), "{texts:?}");
    }

    #[test]
    fn without_a_known_point_nothing_is_drawn() {
        let fonts = Fonts::load().unwrap();
        let column = Column { x: 0.0, width: 470.0 };
        let mut log = specimen::ordinary();
        let drawn = |log: &StationLog| draw(&fonts, log, &Day::of(log), column).is_some();
        assert!(drawn(&log));
        log.day = "yesterday".to_owned();
        assert!(!drawn(&log));
        log.day = "2026-11-25".to_owned();
        for point in &mut log.curve {
            point.1 = f64::NAN;
        }
        assert!(!drawn(&log));
    }
}
