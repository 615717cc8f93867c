//! Names on a drawing: texts with the places that were found for them.

use crate::{
    fonts::Fonts,
    label::{self, Place, Tag},
    mark::{Mark, baseline, line_marks},
    style::SMALL,
    wrap::{Line, Run, wrap},
};

/// Height of a line of a name, in points.
pub(crate) const LINE: f32 = 13.4;
/// Height of the strip where lines that were moved aside lead back, in points.
pub(crate) const LEAD: f32 = 9.0;

/// A text that belongs to something at `at`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Name {
    /// Where the thing named is, from the left, in points.
    pub(crate) at: f32,
    /// Where the upright line to the name stands: a little aside if others are close.
    pub(crate) stem: f32,
    lines: Vec<Line>,
    /// Where the text went; `None` if there was no room for it.
    pub(crate) place: Option<Place>,
}

impl Name {
    /// The marks of its text, each line in the middle, from `top` downwards. None without a
    /// place.
    pub(crate) fn marks(&self, top: f32) -> Vec<Mark> {
        let Some(place) = self.place else { return Vec::new() };
        let width = self.tag().width;
        let mut y = top + baseline(SMALL.size, LINE);
        let mut marks = Vec::new();
        for line in &self.lines {
            marks.extend(line_marks(line, place.left + (width - line.width) / 2.0, y));
            y += LINE;
        }
        marks
    }

    /// Height of its text, in points.
    pub(crate) fn height(&self) -> f32 {
        u16::try_from(self.lines.len()).map_or(0.0, f32::from) * LINE
    }

    fn tag(&self) -> Tag {
        Tag { at: self.stem, width: self.lines.iter().map(|line| line.width).fold(0.0, f32::max) }
    }
}

/// The room that names may take.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Room {
    pub(crate) left: f32,
    pub(crate) right: f32,
    /// How many rows of names.
    pub(crate) rows: usize,
    /// How many lines a name may be broken into.
    pub(crate) lines: usize,
}

/// True if a line stands aside from what it names.
pub(crate) fn aside(names: &[Name]) -> bool {
    names.iter().any(|name| (name.stem - name.at).abs() > 0.1)
}

/// How many rows the names take.
pub(crate) fn rows(names: &[Name]) -> usize {
    names.iter().filter_map(|name| name.place).map(|place| place.row + 1).max().unwrap_or(0)
}

/// Finds a place for every text, or `None` if one would have none.
pub(crate) fn all(fonts: &Fonts, texts: &[(f32, String)], room: Room) -> Option<Vec<Name>> {
    let mut names = set(fonts, texts, room.lines);
    let mut chosen: Vec<&mut Name> = names.iter_mut().collect();
    place(&mut chosen, room).then_some(names)
}

/// Gives all of these names places, or none.
fn place(names: &mut [&mut Name], room: Room) -> bool {
    let ats: Vec<f32> = names.iter().map(|name| name.at).collect();
    let Some(stems) = label::spread(&ats, room.left, room.right) else { return false };
    let stemmed = names.iter().zip(&stems);
    let tags: Vec<Tag> = stemmed.map(|(name, &at)| Tag { at, ..name.tag() }).collect();
    let Some(places) = label::stagger(&tags, room.left, room.right, room.rows) else {
        return false;
    };
    for ((name, place), stem) in names.iter_mut().zip(places).zip(stems) {
        name.place = Some(place);
        name.stem = stem;
    }
    true
}

/// Finds a place for as many texts as there is room for, spread over all of them.
pub(crate) fn most(fonts: &Fonts, texts: &[(f32, String)], room: Room) -> Vec<Name> {
    let mut names = set(fonts, texts, room.lines);
    let mut kept: Vec<usize> = (0..names.len()).collect();
    loop {
        let mut chosen: Vec<&mut Name> = names
            .iter_mut()
            .enumerate()
            .filter(|(at, _)| kept.binary_search(at).is_ok())
            .map(|(_, name)| name)
            .collect();
        if place(&mut chosen, room) {
            return names;
        }
        // Leave out every fourth; when that no longer thins them, the last.
        let before = kept.len();
        let thinned = kept.iter().enumerate().filter(|(nth, _)| nth % 4 != 3);
        kept = thinned.map(|(_, &at)| at).collect();
        if kept.len() == before {
            kept.pop();
        }
    }
}

fn set(fonts: &Fonts, texts: &[(f32, String)], lines: usize) -> Vec<Name> {
    let name = |(at, text): &(f32, String)| Name {
        at: *at,
        stem: *at,
        lines: broken(fonts, &Run::on_one_line(fonts, SMALL, text), lines),
        place: None,
    };
    texts.iter().map(name).collect()
}

/// The text on one line or, if it may take two, broken between words where that makes it
/// narrowest. A break after a comma is liked better.
fn broken(fonts: &Fonts, run: &Run, lines: usize) -> Vec<Line> {
    let part = |text: &str| Run { text: text.to_owned(), style: run.style };
    let breaks = run.text.match_indices(' ').map(|(at, _)| run.text.split_at(at));
    let narrowest = breaks
        .map(|(first, second)| (part(first), part(second.trim_start())))
        .map(|(first, second)| {
            let width = first.width(fonts).max(second.width(fonts));
            (if first.text.ends_with(',') { width * 0.7 } else { width }, first, second)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let parts = match narrowest {
        Some((_, first, second)) if lines > 1 => vec![first, second],
        _ => vec![run.clone()],
    };
    parts.iter().flat_map(|part| wrap(fonts, std::slice::from_ref(part), f32::MAX)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Room = Room { left: 0.0, right: 470.0, rows: 4, lines: 1 };

    #[test]
    fn too_many_names_leave_some_out_but_never_all() {
        let fonts = Fonts::load().unwrap();
        let texts: Vec<(f32, String)> =
            (0..60_u8).map(|nth| (200.0 + f32::from(nth) * 0.5, nth.to_string())).collect();
        assert_eq!(all(&fonts, &texts, ROOM), None);
        let names = most(&fonts, &texts, ROOM);
        assert_eq!(names.len(), 60);
        let placed = names.iter().filter(|name| name.place.is_some()).count();
        assert!((2..60).contains(&placed), "{placed} placed");
        assert!(rows(&names) <= ROOM.rows);
    }

    #[test]
    fn a_text_that_fits_nowhere_is_left_out() {
        let fonts = Fonts::load().unwrap();
        let texts = [(10.0, "w".repeat(200)), (60.0, "tip".to_owned())];
        let names = most(&fonts, &texts, ROOM);
        assert!(names[0].place.is_none());
    }

    #[test]
    fn a_name_is_broken_where_that_makes_it_narrowest() {
        let fonts = Fonts::load().unwrap();
        let lines = |text: &str, most| -> Vec<String> {
            let run = Run::new(&fonts, SMALL, text);
            broken(&fonts, &run, most).iter().map(Line::text).collect()
        };
        assert_eq!(lines("Guide 8, size 5", 1), ["Guide 8, size 5"]);
        assert_eq!(lines("Guide 8, size 5", 2), ["Guide 8,", "size 5"]);
        assert_eq!(lines("Tip-top", 2), ["Tip-top"]);
        assert_eq!(lines("Rear grip, cork", 2), ["Rear grip,", "cork"]);
        assert_eq!(lines("Winding check", 2), ["Winding", "check"]);
        assert_eq!(lines("", 2), [""]);
    }
}
