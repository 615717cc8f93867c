//! The rod itself, drawn to scale from its measured diameters, butt at the left.

use crate::{
    block::Column,
    flow::Strip,
    fonts::Fonts,
    mark::{Dash, Mark, Stroke, baseline},
    model::{Fitted, PartState, RodSheet, Station},
    names::{self, LEAD, LINE, Name, Room},
    scale::{self, Measured, Scale},
    style::{HAIR, Ink, LABEL, RULE, SMALL, Style},
    words::millimetres,
    wrap::{Run, fit},
};

/// Room left of the rod for the word "butt", in points.
const BUTT: f32 = 30.0;
/// Room right of the rod for the word "tip" and for names of parts near it, in points: the
/// first that lets every part carry its name is taken.
const TIP: [f32; 3] = [28.0, 48.0, 68.0];
/// Lines that a part's name may take, and the rows that all of them may then rise. If they need
/// more, numbers take their place.
const NAME_ROWS: [(usize, usize); 2] = [(1, 4), (2, 4)];
/// Numbers may rise this many rows; a part beyond them is only in the list.
const NUMBER_ROWS: usize = 12;
/// Distances below the rod may take this many rows.
const DISTANCE_ROWS: usize = 3;

/// A drawing, and what must be said below it.
pub(crate) struct Drawing {
    pub(crate) strip: Strip,
    /// Both scales, and what its numbers and dots mean.
    pub(crate) caption: String,
}

/// Draws the rod, or nothing if no length is known.
pub(crate) fn draw(fonts: &Fonts, rod: &RodSheet, column: Column) -> Option<Drawing> {
    let reach = scale::reach(rod)?;
    let measured = scale::measured(rod);
    let parts: Vec<(usize, Part)> = rod
        .fitted
        .iter()
        .enumerate()
        .filter_map(|(index, fitted)| Some((index, Part::of(fitted, &measured)?)))
        .collect();
    let thickest = measured
        .iter()
        .map(|&(_, diameter)| diameter)
        .chain(parts.iter().map(|(_, part)| part.diameter))
        .fold(0.0, f64::max);
    let sketches = TIP.map(|tip| Sketch {
        fonts,
        column,
        scale: Scale::fitting(reach, thickest, column.width - BUTT - tip),
        measured: measured.clone(),
        reach,
    });
    let [widest, ..] = &sketches;
    let named = NAME_ROWS.iter().find_map(|&(lines, rows)| {
        let mut sketches = sketches.iter();
        sketches.find_map(|sketch| Some((sketch, sketch.named(rod, &parts, lines, rows)?, lines)))
    });
    let numbered = named.is_none();
    let (sketch, names, lines) = named.unwrap_or_else(|| (widest, widest.numbered(rod, &parts), 1));

    let half = (sketch.scale.across(thickest) / 2.0).max(4.0);
    let lead = if names::aside(&names) { LEAD } else { 0.0 };
    let names_height = rows_height(names::rows(&names) * lines);
    let axis = names_height + lead + 5.0 + half;
    let mut marks = sketch.blank(axis);
    marks.extend(sketch.joins(rod, axis));
    marks.extend(sketch.axis(axis));
    for (_, part) in &parts {
        marks.extend(sketch.part(part, axis));
    }
    for name in names {
        let Some(place) = name.place else { continue };
        // Each name stands on its line, at the foot of its row.
        let bottom = names_height - rows_height(place.row * lines);
        let foot = axis - sketch.half_at(name.at, &parts);
        let stroke = Stroke::solid(HAIR, Ink::Soft);
        let bend = ((name.stem, names_height), (name.at, names_height + lead));
        marks.push(Mark::Line((name.stem, bottom), bend.0, stroke));
        marks.push(Mark::Line(bend.0, bend.1, stroke));
        marks.push(Mark::Line(bend.1, (name.at, foot), stroke));
        marks.extend(name.marks(bottom - name.height()));
    }
    let below = sketch.distances(rod, &parts, axis, axis + half + 9.0);
    marks.extend(below.marks);
    let mut caption = sketch.scale.words();
    if sketch.unmeasured().iter().any(Option::is_some) {
        caption.push_str(" Dotted outline: not measured.");
    }
    if numbered {
        caption.push_str(" The parts carry their numbers from the list of parts on the blank.");
    }
    if below.numbered {
        caption.push_str(" The numbers below the rod are those of the measurements.");
    }
    Some(Drawing { strip: Strip::new(below.height, marks), caption })
}

/// The key to the three ways of drawing a part, as one strip.
pub(crate) fn legend(fonts: &Fonts, column: Column) -> Strip {
    let states = [PartState::Done, PartState::Curing, PartState::ToCome];
    let y = baseline(SMALL.size, SMALL.leading);
    let mut x = column.x;
    let mut marks = Vec::new();
    for state in states {
        marks.extend(shape((x, y - 7.5), 22.0, 8.0, state));
        let word = Run::new(fonts, SMALL, state_word(state));
        let width = word.width(fonts);
        marks.push(Mark::Text((x + 27.0, y), word));
        x += 27.0 + width + 20.0;
    }
    Strip::new(SMALL.leading, marks)
}

/// A part's state in a word or two.
pub(crate) fn state_word(state: PartState) -> &'static str {
    match state {
        PartState::Done => "done",
        PartState::Curing => "curing",
        PartState::ToCome => "to come",
    }
}

/// Height of so many lines of names, in points.
fn rows_height(lines: usize) -> f32 {
    u16::try_from(lines).map_or(0.0, f32::from) * LINE
}

/// A part with numbers that can be drawn, in mm.
#[derive(Debug, Clone, Copy)]
struct Part {
    from: f64,
    to: f64,
    diameter: f64,
    state: PartState,
}

impl Part {
    fn of(fitted: &Fitted, measured: &[Measured]) -> Option<Self> {
        if !scale::usable(fitted.from_mm) || !scale::usable(fitted.to_mm) {
            return None;
        }
        let from = fitted.from_mm.min(fitted.to_mm);
        let to = fitted.from_mm.max(fitted.to_mm);
        let stated = fitted.diameter_mm;
        let diameter = if scale::usable(stated) && stated > 0.0 {
            stated
        } else {
            // No diameter stated: a little more than the blank it sits on.
            scale::diameter_at(measured, f64::midpoint(from, to)).unwrap_or(5.0) + 1.0
        };
        Some(Self { from, to, diameter, state: fitted.state })
    }
}

struct Sketch<'a> {
    fonts: &'a Fonts,
    column: Column,
    scale: Scale,
    measured: Vec<Measured>,
    reach: f64,
}

/// What is drawn below the rod.
struct Distances {
    marks: Vec<Mark>,
    /// The height that the whole drawing comes to, in points.
    height: f32,
    /// True if the stations carry their numbers in the table.
    numbered: bool,
}

impl Sketch<'_> {
    fn x(&self, mm: f64) -> f32 {
        self.column.x + BUTT + self.scale.along(mm)
    }

    /// Where names may go, in so many rows of so many lines.
    fn room(&self, lines: usize, rows: usize) -> Room {
        Room { left: self.column.x, right: self.column.right(), rows, lines }
    }

    /// Every part by its name, if all names find room.
    fn named(
        &self,
        rod: &RodSheet,
        parts: &[(usize, Part)],
        lines: usize,
        rows: usize,
    ) -> Option<Vec<Name>> {
        let label = |index: usize| rod.fitted.get(index).map(|part| part.label.clone());
        let texts = self.part_texts(rod, parts, |index| label(index).unwrap_or_default());
        names::all(self.fonts, &texts, self.room(lines, rows))
    }

    /// The parts by their numbers in the list.
    fn numbered(&self, rod: &RodSheet, parts: &[(usize, Part)]) -> Vec<Name> {
        let texts = self.part_texts(rod, parts, |index| (index + 1).to_string());
        names::most(self.fonts, &texts, self.room(1, NUMBER_ROWS))
    }

    /// What is said above parts and joins, with the place it belongs to.
    fn part_texts(
        &self,
        rod: &RodSheet,
        parts: &[(usize, Part)],
        text: impl Fn(usize) -> String,
    ) -> Vec<(f32, String)> {
        let middle = |part: &Part| self.x(f64::midpoint(part.from, part.to));
        let joins = rod.joins_mm.iter().filter(|mm| scale::usable(**mm));
        parts
            .iter()
            .map(|(index, part)| (middle(part), text(*index)))
            .chain(joins.map(|mm| (self.x(*mm), "join".to_owned())))
            .collect()
    }

    /// Half the height of what is drawn at a place, in points.
    fn half_at(&self, x: f32, parts: &[(usize, Part)]) -> f32 {
        let covers = |part: &Part| self.x(part.from) <= x + 1.0 && self.x(part.to) >= x - 1.0;
        let on_top = parts.iter().map(|(_, part)| part).filter(|part| covers(part));
        let thickest = on_top.map(|part| self.scale.across(part.diameter)).fold(0.0, f32::max);
        let on_paper: Vec<Measured> =
            self.measured.iter().map(|&(at, d)| (f64::from(self.x(at)), d)).collect();
        let blank = scale::diameter_at(&on_paper, f64::from(x)).unwrap_or(0.0);
        let blank = self.scale.across(blank);
        thickest.max(blank) / 2.0
    }

    /// The ends of the rod beyond the outermost stations, as (from, to, diameter) in mm.
    fn unmeasured(&self) -> [Option<(f64, f64, f64)>; 2] {
        let first = self.measured.first().filter(|(at, _)| *at > 0.0);
        let last = self.measured.last().filter(|(at, _)| *at < self.reach);
        [first.map(|&(at, d)| (0.0, at, d)), last.map(|&(at, d)| (at, self.reach, d))]
    }

    fn blank(&self, axis: f32) -> Vec<Mark> {
        let mut marks = Vec::new();
        let edge = |&(at, diameter): &Measured| (self.x(at), self.scale.across(diameter) / 2.0);
        let upper = self.measured.iter().map(edge).map(|(x, half)| (x, axis - half));
        let lower = self.measured.iter().rev().map(edge).map(|(x, half)| (x, axis + half));
        marks.push(Mark::Shape {
            corners: upper.chain(lower).collect(),
            fill: Some(Ink::Paper),
            edge: Some(Stroke::solid(RULE, Ink::Full)),
        });
        let dotted = Stroke { weight: RULE, ink: Ink::Full, dash: Dash::Dotted };
        for (from, to, diameter) in self.unmeasured().into_iter().flatten() {
            let half = self.scale.across(diameter) / 2.0;
            for y in [axis - half, axis + half] {
                marks.push(Mark::Line((self.x(from), y), (self.x(to), y), dotted));
            }
        }
        marks
    }

    fn joins(&self, rod: &RodSheet, axis: f32) -> Vec<Mark> {
        let mut marks = Vec::new();
        for &mm in rod.joins_mm.iter().filter(|mm| scale::usable(**mm)) {
            let blank = scale::diameter_at(&self.measured, mm).unwrap_or(0.0);
            let half = self.scale.across(blank) / 2.0 + 4.0;
            for x in [self.x(mm) - 1.3, self.x(mm) + 1.3] {
                let stroke = Stroke::solid(RULE, Ink::Full);
                marks.push(Mark::Line((x, axis - half), (x, axis + half), stroke));
            }
        }
        marks
    }

    /// The centre line and the words at its ends.
    fn axis(&self, axis: f32) -> Vec<Mark> {
        let (from, to) = (self.x(0.0) - 5.0, self.x(self.reach) + 5.0);
        let stroke = Stroke { weight: HAIR, ink: Ink::Full, dash: Dash::Axis };
        let butt = Run::new(self.fonts, LABEL, "butt");
        let y = axis + 3.2;
        vec![
            Mark::Line((from, axis), (to, axis), stroke),
            Mark::Text((from - 3.0 - butt.width(self.fonts), y), butt),
            Mark::Text((to + 3.0, y), Run::new(self.fonts, LABEL, "tip")),
        ]
    }

    fn part(&self, part: &Part, axis: f32) -> Vec<Mark> {
        const NARROWEST: f32 = 1.8;
        let (from, to) = (self.x(part.from), self.x(part.to));
        let width = (to - from).max(NARROWEST);
        let left = f32::midpoint(from, to) - width / 2.0;
        let height = self.scale.across(part.diameter);
        shape((left, axis - height / 2.0), width, height, part.state)
    }

    /// The dimension lines below the rod.
    fn distances(&self, rod: &RodSheet, parts: &[(usize, Part)], axis: f32, top: f32) -> Distances {
        let hair = Stroke::solid(HAIR, Ink::Soft);
        let mut marks = Vec::new();
        let (names, numbered) = self.distance_names(rod);
        for name in &names {
            let half = self.half_at(name.at, parts);
            marks.push(Mark::Line((name.at, axis + half + 2.0), (name.at, top + 4.0), hair));
            // The oblique tick of a dimension line.
            let tick = Stroke::solid(RULE, Ink::Full);
            let ends = ((name.at - 2.2, top + 2.2), (name.at + 2.2, top - 2.2));
            marks.push(Mark::Line(ends.0, ends.1, tick));
        }
        let outer = |pick: fn(f32, f32) -> f32| names.iter().map(|name| name.at).reduce(pick);
        if let (Some(from), Some(to)) = (outer(f32::min), outer(f32::max)) {
            marks.push(Mark::Line((from, top), (to, top), hair));
        }
        let rows = names::rows(&names);
        let names_top = top + 4.0 + if names::aside(&names) { LEAD } else { 0.0 };
        for name in names {
            let Some(place) = name.place else { continue };
            let y = names_top + rows_height(place.row);
            marks.push(Mark::Line((name.at, top + 4.0), (name.stem, names_top), hair));
            marks.push(Mark::Line((name.stem, names_top), (name.stem, y + 1.0), hair));
            marks.extend(name.marks(y));
        }
        let mut height = names_top + 2.0 + rows_height(rows);
        if scale::usable(rod.length_mm) && rod.length_mm > 0.0 {
            marks.extend(self.whole_length(rod, height + 9.0));
            height += 18.0;
        }
        Distances { marks, height, numbered }
    }

    /// What stands at the stations: the distances as entered or, if they find no room, their
    /// numbers in the table, and then true.
    fn distance_names(&self, rod: &RodSheet) -> (Vec<Name>, bool) {
        let texts = |text: fn(usize, &Station) -> String| -> Vec<(f32, String)> {
            let stations = (1..).zip(scale::stations(rod));
            let drawn = stations.filter(|(_, station)| scale::usable(station.from_butt_mm));
            drawn.map(|(nth, station)| (self.x(station.from_butt_mm), text(nth, station))).collect()
        };
        let room = self.room(1, DISTANCE_ROWS);
        let entered = texts(|_, station| station.from_butt_text.clone());
        match names::all(self.fonts, &entered, room) {
            Some(names) => (names, false),
            None => (names::most(self.fonts, &texts(|nth, _| nth.to_string()), room), true),
        }
    }

    /// The whole length, with an arrow at each end and its text in the middle.
    fn whole_length(&self, rod: &RodSheet, y: f32) -> Vec<Mark> {
        let (from, to) = (self.x(0.0), self.x(rod.length_mm));
        let text = if rod.length_text.trim().is_empty() {
            millimetres(rod.length_mm)
        } else {
            rod.length_text.clone()
        };
        let run = Run::on_one_line(self.fonts, Style { size: 11.0, ..SMALL }, &text);
        let run = fit(self.fonts, run, (to - from) / 2.0);
        let width = run.width(self.fonts);
        let middle = f32::midpoint(from, to);
        let clear = width / 2.0 + 5.0;
        let line = Stroke::solid(HAIR, Ink::Full);
        let arrow = |tip: f32, towards: f32| Mark::Shape {
            corners: vec![(tip, y), (tip + towards, y - 1.7), (tip + towards, y + 1.7)],
            fill: Some(Ink::Full),
            edge: None,
        };
        vec![
            Mark::Line((from, y), (middle - clear, y), line),
            Mark::Line((middle + clear, y), (to, y), line),
            arrow(from, 6.0),
            arrow(to, -6.0),
            Mark::Text((middle - width / 2.0, y + 3.5), run),
        ]
    }
}

/// A part's rectangle in the manner of its state.
fn shape((x, y): (f32, f32), width: f32, height: f32, state: PartState) -> Vec<Mark> {
    let edge = Stroke::solid(RULE, Ink::Full);
    let plain = |fill, edge| Mark::rectangle((x, y), width, height, fill, Some(edge));
    match state {
        // A white edge keeps solid parts apart that touch.
        PartState::Done => vec![plain(Some(Ink::Full), Stroke::solid(0.4, Ink::Paper))],
        PartState::Curing => {
            let mut marks = vec![plain(Some(Ink::Paper), edge)];
            marks.extend(hatch((x, y), width, height));
            marks
        }
        PartState::ToCome => vec![plain(None, Stroke { dash: Dash::Dashed, ..edge })],
    }
}

/// Oblique lines across a rectangle.
fn hatch((left, top): (f32, f32), width: f32, height: f32) -> Vec<Mark> {
    const STEP: f32 = 3.6;
    let (right, bottom) = (left + width, top + height);
    let stroke = Stroke::solid(0.6, Ink::Full);
    let mut marks = Vec::new();
    // Each line holds the points whose x and y add up to `sum`.
    let mut sum = left + top + STEP / 2.0;
    while sum < right + bottom {
        let upper_x = (sum - top).min(right);
        let lower_x = (sum - bottom).max(left);
        marks.push(Mark::Line((upper_x, sum - upper_x), (lower_x, sum - lower_x), stroke));
        sum += STEP;
    }
    marks
}
