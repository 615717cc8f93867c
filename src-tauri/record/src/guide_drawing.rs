//! The rod straight and, below it, bent by its load: to one scale, its butts under each other.

use crate::{
    block::{Column, paragraph},
    flow::{self, Strip, tie},
    fonts::Fonts,
    guide_places::{Frame, Taken},
    mark::{Dash, Mark, Spot, Stroke, baseline},
    model::{BentRing, BentRod},
    names::{self, LEAD, LINE, Room},
    rod_sheet::below,
    scale::{self, to_count, to_points},
    style::{BODY, HAIR, Ink, LABEL, RULE, SMALL},
    wrap::{Run, fit},
};

/// Room left of the butt and right of what reaches furthest, in points.
const SIDES: f32 = 40.0;
/// How high a drawing may become, in points, without its texts.
const HIGHEST: f32 = 280.0;
/// A guide is drawn no lower than this, in millimetres on paper.
const LOWEST_MM: f64 = 1.5;
/// Guides are not enlarged beyond this, in millimetres on paper.
const ENLARGED_MM: f64 = 12.0;
/// A curve is drawn with no more points than this.
const POINTS: usize = 400;
/// More rings than this carry no numbers.
const NUMBERED: usize = 200;
/// A number on the drawing is cut to this width in points; the table has all of it.
const NUMBER: f32 = 44.0;

const BLANK: Stroke = Stroke::solid(1.7, Ink::Full);
const GUIDE: Stroke = Stroke::solid(0.9, Ink::Full);
const LEADER: Stroke = Stroke::solid(HAIR, Ink::Soft);
const LEVEL: Stroke = Stroke { weight: HAIR, ink: Ink::Full, dash: Dash::Axis };
const FREE: Stroke = Stroke { weight: 0.55, ink: Ink::Full, dash: Dash::Dashed };
const TOUCHING: Stroke = Stroke { weight: 1.9, ink: Ink::Full, dash: Dash::Dashed };

/// The drawing with its scale, its key and what must be said below it.
pub(crate) fn strips(fonts: &Fonts, rod: &BentRod, column: Column) -> Vec<Strip> {
    let Some(sketch) = Sketch::of(fonts, rod, column) else {
        let text = "Neither the rod's length nor its curve is known, so it is not drawn.";
        return paragraph(fonts, &[Run::new(fonts, BODY, text)], column);
    };
    let mut strips = Vec::new();
    let mut all_numbered = true;
    for drawn in [sketch.straight(), sketch.bent()].into_iter().flatten() {
        all_numbered &= drawn.all_numbered;
        strips.push(drawn.strip.below(if strips.is_empty() { 6.0 } else { 12.0 }));
    }
    strips.push(sketch.key().below(10.0));
    let load = if rod.load.trim().is_empty() { "its load" } else { rod.load.trim() };
    let words =
        format!("Drawing of the rod with its guides, straight, and bent under {load}, to scale.");
    flow::drawing(&mut strips, words);
    let words = sketch.caption(all_numbered);
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, LABEL, &words)], column), 3.0));
    tie(&mut strips);
    strips
}

/// A ring with numbers that can be drawn, in mm.
struct Ring<'a> {
    of: &'a BentRing,
    /// Its place and its height on the straight rod.
    straight: Option<(f64, f64)>,
    /// Its foot and its ring on the bent rod.
    bent: Option<[(f64, f64); 2]>,
}

impl<'a> Ring<'a> {
    fn of(of: &'a BentRing) -> Self {
        let straight = (scale::usable(of.from_butt_mm) && drawable(of.height_mm))
            .then_some((of.from_butt_mm, of.height_mm));
        let bent = (on_paper(of.foot) && on_paper(of.ring)).then_some([of.foot, of.ring]);
        Self { of, straight, bent }
    }

    fn is_reel(&self) -> bool {
        self.of.number.trim().eq_ignore_ascii_case("reel")
    }

    /// How far it stands off the axis, in mm, on either drawing.
    fn heights(&self) -> impl Iterator<Item = f64> {
        let straight = self.straight.map(|(_, height)| height.abs());
        let bent = self.bent.map(|[foot, ring]| scale::length(ring.0 - foot.0, ring.1 - foot.1));
        straight.into_iter().chain(bent).filter(|height| *height > NOTHING)
    }
}

/// A height below this, in mm, has no direction.
const NOTHING: f64 = 1e-6;

/// True for a coordinate that can stand on paper: finite, and below a kilometre.
fn drawable(millimetres: f64) -> bool {
    scale::usable(millimetres.abs())
}

fn on_paper((x, y): (f64, f64)) -> bool {
    drawable(x) && drawable(y)
}

/// A drawing, and whether every ring found room for its number.
struct Drawn {
    strip: Strip,
    all_numbered: bool,
}

struct Sketch<'a> {
    fonts: &'a Fonts,
    column: Column,
    load: &'a str,
    length: Option<f64>,
    axis: Vec<(f64, f64)>,
    rings: Vec<Ring<'a>>,
    /// 1 to this.
    scale: u32,
    /// The least distance from the butt, in mm: below zero if something reaches behind it.
    least: f64,
    /// How many times higher than to scale the guides are drawn.
    higher: u32,
}

impl<'a> Sketch<'a> {
    /// Nothing if there is nothing that can be drawn.
    fn of(fonts: &'a Fonts, rod: &'a BentRod, column: Column) -> Option<Self> {
        let length = Some(rod.length_mm).filter(|mm| scale::usable(*mm) && *mm > 0.0);
        let mut axis: Vec<_> = rod.axis.iter().copied().filter(|at| on_paper(*at)).collect();
        if axis.len() < 2 {
            axis.clear();
        }
        if length.is_none() && axis.is_empty() {
            return None;
        }
        let rings: Vec<Ring<'_>> = rod.rings.iter().map(Ring::of).collect();
        let straight =
            || rings.iter().filter_map(|ring| ring.straight).filter(|_| length.is_some());
        let bent = || rings.iter().filter_map(|ring| ring.bent).filter(|_| !axis.is_empty());
        let bent = || axis.iter().copied().chain(bent().flatten());
        let across = || straight().chain(length.map(|mm| (mm, 0.0))).chain(bent());
        let (least, most) = range(across().map(|(x, _)| x));
        let high = [range(straight().map(|(_, y)| y)), range(bent().map(|(_, y)| y))];
        let high = high.map(|(top, bottom)| bottom - top);
        let width = f64::from((column.width - 2.0 * SIDES).max(1.0) / to_points(1.0));
        let height = f64::from(HIGHEST / to_points(1.0));
        let [one, other] = high;
        let scale = to_count(((most - least) / width).max(one.max(other) / height).ceil());
        let higher = higher(&rings, scale);
        Some(Self {
            fonts,
            column,
            load: rod.load.trim(),
            length,
            axis,
            rings,
            scale,
            least,
            higher,
        })
    }

    /// A length on paper, in points.
    fn points(&self, mm: f64) -> f32 {
        to_points(mm / f64::from(self.scale))
    }

    /// A place on paper; the axis of the level rod is at 0.
    fn spot(&self, (x, y): (f64, f64)) -> Spot {
        (self.column.x + SIDES + self.points(x - self.least), self.points(y))
    }

    /// How high a guide is drawn, in points.
    fn drawn_height(&self, mm: f64) -> f32 {
        if mm <= NOTHING {
            return 0.0;
        }
        (self.points(mm) * to_points(f64::from(self.higher)) / to_points(1.0))
            .max(to_points(LOWEST_MM))
    }

    /// True if some guide is drawn higher than the others are.
    fn some_raised(&self) -> bool {
        let mut heights = self.rings.iter().flat_map(Ring::heights);
        let times = f64::from(self.higher) / f64::from(self.scale);
        heights.any(|height| height * times < LOWEST_MM - 1e-9)
    }

    /// Where a foot and its ring are drawn, the ring raised.
    fn raised(&self, foot: (f64, f64), ring: (f64, f64)) -> (Spot, Spot) {
        let (dx, dy) = (ring.0 - foot.0, ring.1 - foot.1);
        let height = scale::length(dx, dy);
        let foot = self.spot(foot);
        if height <= NOTHING {
            return (foot, foot);
        }
        let long = self.drawn_height(height);
        let (dx, dy) =
            (to_points(dx / height) / to_points(1.0), to_points(dy / height) / to_points(1.0));
        (foot, (foot.0 + dx * long, foot.1 + dy * long))
    }

    /// The text beside a ring.
    fn number(&self, ring: &Ring<'_>) -> Run {
        fit(self.fonts, Run::on_one_line(self.fonts, SMALL, &ring.of.number), NUMBER)
    }

    /// The rod without a load.
    fn straight(&self) -> Option<Drawn> {
        const ROWS: usize = 4;
        let length = self.length?;
        let placed: Vec<Option<(Spot, Spot)>> = self
            .rings
            .iter()
            .map(|ring| ring.straight.map(|(at, height)| self.raised((at, 0.0), (at, height))))
            .collect();
        let mut marks = vec![Mark::Line(self.spot((0.0, 0.0)), self.spot((length, 0.0)), BLANK)];
        marks.extend(self.guides(&placed, |_| false));
        let texts: Vec<(f32, String)> = self
            .rings
            .iter()
            .zip(&placed)
            .filter_map(|(ring, placed)| Some((placed.as_ref()?.0.0, self.number(ring).text)))
            .take(NUMBERED)
            .collect();
        let room = Room { left: self.column.x, right: self.column.right(), rows: ROWS, lines: 1 };
        let names = names::most(self.fonts, &texts, room);
        let all_numbered =
            names.iter().all(|name| name.place.is_some()) && self.rings.len() <= names.len();

        let ends = placed.iter().flatten().flat_map(|(foot, ring)| [foot.1, ring.1]);
        let (top, bottom) = ends.fold((0.0_f32, 0.0_f32), |(a, b), y| (a.min(y), b.max(y)));
        let names_bottom = top - 5.0 - if names::aside(&names) { LEAD } else { 0.0 };
        for name in names {
            let Some(place) = name.place else { continue };
            let row = names_bottom - u16::try_from(place.row).map_or(0.0, f32::from) * LINE;
            let foot = placed
                .iter()
                .flatten()
                .filter(|(foot, _)| (foot.0 - name.at).abs() < 0.01)
                .map(|(foot, ring)| foot.1.min(ring.1) - 2.2)
                .fold(0.0, f32::min);
            let bend = ((name.stem, names_bottom), (name.at, top - 5.0));
            marks.push(Mark::Line((name.stem, row), bend.0, LEADER));
            marks.push(Mark::Line(bend.0, bend.1, LEADER));
            marks.push(Mark::Line(bend.1, (name.at, foot), LEADER));
            marks.extend(name.marks(row - name.height()));
        }
        marks.push(self.butt());
        Some(Drawn { strip: strip(&marks, self.fonts, bottom + 6.0), all_numbered })
    }

    /// The word at the butt.
    fn butt(&self) -> Mark {
        let word = Run::new(self.fonts, LABEL, "butt");
        let (x, y) = self.spot((0.0, 0.0));
        Mark::Text((x - 5.0 - word.width(self.fonts), y + 3.2), word)
    }

    /// The guides, and the line from ring to ring; thick, with a sign, where it touches.
    fn guides(
        &self,
        placed: &[Option<(Spot, Spot)>],
        touches: impl Fn(&Ring<'_>) -> bool,
    ) -> Vec<Mark> {
        let mut lines = Vec::new();
        let mut signs = Vec::new();
        for (at, pair) in placed.windows(2).enumerate() {
            // Between rings that are not drawn nobody knows where the line runs.
            let [Some((_, from)), Some((_, to))] = pair else { continue };
            let touches = self.rings.get(at + 1).is_some_and(&touches);
            lines.push(Mark::Line(*from, *to, if touches { TOUCHING } else { FREE }));
            if touches {
                signs.extend(sign((f32::midpoint(from.0, to.0), f32::midpoint(from.1, to.1))));
            }
        }
        let mut marks = lines;
        for (ring, placed) in self.rings.iter().zip(placed) {
            let Some((foot, eye)) = placed else { continue };
            marks.push(Mark::Line(*foot, *eye, GUIDE));
            marks.push(eye_mark(*eye, ring.is_reel()));
        }
        marks.extend(signs);
        marks
    }

    /// The rod under load, with the level rod behind it.
    fn bent(&self) -> Option<Drawn> {
        let curve = thinned(self.axis.iter().map(|at| self.spot(*at)).collect());
        let (Some(&first), Some(&last)) = (curve.first(), curve.last()) else { return None };
        let placed: Vec<Option<(Spot, Spot)>> = self
            .rings
            .iter()
            .map(|ring| ring.bent.map(|[foot, ring]| self.raised(foot, ring)))
            .collect();
        let mut taken = Taken::default();
        for pair in curve.windows(2) {
            if let [from, to] = pair {
                taken.line(*from, *to);
            }
        }
        let mut marks = Vec::new();
        if let Some(length) = self.length {
            let level = (self.spot((0.0, 0.0)), self.spot((length, 0.0)));
            taken.line(level.0, level.1);
            marks.push(Mark::Line(level.0, level.1, LEVEL));
        }
        // There and back, so that the corners are joined.
        let back = curve.iter().rev().copied();
        let corners = curve.iter().copied().chain(back).collect();
        marks.push(Mark::Shape { corners, fill: None, edge: Some(BLANK) });
        let guides = self.guides(&placed, |ring| ring.of.touches);
        for mark in &guides {
            if let Mark::Line(from, to, _) = mark {
                taken.line(*from, *to);
            }
        }
        marks.extend(guides);

        let tip = placed.iter().flatten().last().map_or(last, |(_, ring)| *ring);
        let (arrow, end) = arrow(tip, last.1 >= first.1);
        taken.line(tip, end);
        marks.extend(arrow);
        let mut frame = Frame::around(marks.iter().flat_map(spots))?;
        let word = self.butt();
        let butt = text_frame(self.fonts, &word)?;
        taken.frame(butt);
        marks.push(word);
        let load = self.load_name(end, last.1 >= first.1);
        let load = load.map(|(spot, run)| (Frame::of_text(self.fonts, &run, spot), spot, run));
        if let Some((text, spot, run)) = load.filter(|(text, ..)| !text.meets(&butt)) {
            taken.frame(text);
            frame = frame.with(text);
            marks.push(Mark::Text(spot, run));
        }
        let within = Frame {
            left: self.column.x,
            right: self.column.right(),
            top: frame.top - 13.0,
            bottom: frame.bottom + 13.0,
        };
        let mut all_numbered = true;
        let mut numbered = self.rings.iter().zip(&placed).enumerate().collect::<Vec<_>>();
        // The two ends first: they tell the most.
        let end = numbered.len().saturating_sub(1);
        numbered.sort_by_key(|(at, _)| *at != 0 && *at != end);
        for (nth, (_, (ring, placed))) in numbered.into_iter().enumerate() {
            let name = placed.filter(|_| nth < NUMBERED).and_then(|(foot, eye)| {
                self.name(&mut taken, ring, (foot, eye), (first, last), within)
            });
            all_numbered &= name.is_some();
            marks.extend(name);
        }
        Some(Drawn { strip: strip(&marks, self.fonts, frame.bottom + 4.0), all_numbered })
    }

    /// The number of a ring: across the blank from it, or beyond it.
    fn name(
        &self,
        taken: &mut Taken,
        ring: &Ring<'_>,
        (foot, eye): (Spot, Spot),
        (butt, tip): (Spot, Spot),
        within: Frame,
    ) -> Option<Mark> {
        let (dx, dy) = (eye.0 - foot.0, eye.1 - foot.1);
        // As in `scale::length`.
        let long = (dx * dx + dy * dy).sqrt();
        let out = if long > 0.01 {
            (-dx / long, -dy / long)
        } else {
            (0.0, if tip.1 >= butt.1 { -1.0 } else { 1.0 })
        };
        let run = self.number(ring);
        let across = taken.name(self.fonts, &run, foot, out, within);
        across.or_else(|| taken.name(self.fonts, &run, eye, (-out.0, -out.1), within))
    }

    /// What pulls, at the end of its arrow; nothing if it is too long, for the caption says it.
    fn load_name(&self, (x, y): Spot, down: bool) -> Option<(Spot, Run)> {
        const WIDEST: f32 = 180.0;
        let run = Run::on_one_line(self.fonts, SMALL, self.load);
        let width = run.width(self.fonts);
        if self.load.is_empty() || width > WIDEST {
            return None;
        }
        let left =
            (x - width / 2.0).min(self.column.right() - width - 2.0).max(self.column.x + 2.0);
        Some(((left, if down { y + 11.0 } else { y - 5.0 }), run))
    }

    /// A bar of a round length, and what the strokes mean.
    fn key(&self) -> Strip {
        const SAMPLE: f32 = 22.0;
        let y = baseline(SMALL.size, SMALL.leading);
        let middle = y - 3.3;
        let round = round_length(f64::from(self.scale) * 25.0);
        let bar = self.points(round);
        let mut x = self.column.x + 1.0;
        let rule = Stroke::solid(RULE, Ink::Full);
        let mut marks = vec![
            Mark::Line((x, middle), (x + bar, middle), rule),
            Mark::Line((x, middle - 3.0), (x, middle + 3.0), rule),
            Mark::Line((x + bar, middle - 3.0), (x + bar, middle + 3.0), rule),
        ];
        let word = |marks: &mut Vec<Mark>, at: f32, words: &str| {
            let run = Run::new(self.fonts, SMALL, words);
            let end = at + run.width(self.fonts);
            marks.push(Mark::Text((at, y), run));
            end
        };
        x = word(&mut marks, x + bar + 5.0, &format!("{round} mm")) + 16.0;
        marks.push(Mark::Line((x, middle), (x + SAMPLE, middle), BLANK));
        x = word(&mut marks, x + SAMPLE + 5.0, "blank") + 14.0;
        marks.push(Mark::Line((x, middle), (x + SAMPLE, middle), FREE));
        x = word(&mut marks, x + SAMPLE + 5.0, "line") + 14.0;
        if !self.touching().is_empty() {
            marks.push(Mark::Line((x, middle), (x + SAMPLE, middle), TOUCHING));
            marks.extend(sign((x + SAMPLE / 2.0, middle)));
            word(&mut marks, x + SAMPLE + 5.0, "line touches the blank");
        }
        Strip::new(SMALL.leading, marks)
    }

    /// Between which rings the line touches the blank, butt to tip.
    fn touching(&self) -> Vec<String> {
        let pairs = self.rings.windows(2).filter_map(|pair| match pair {
            [from, to] if to.of.touches => {
                Some(format!("{} to {}", from.of.number.trim(), to.of.number.trim()))
            }
            _ => None,
        });
        pairs.collect()
    }

    fn caption(&self, all_numbered: bool) -> String {
        let mut words = vec![format!("Scale 1:{}.", self.scale)];
        words.push(match (self.length.is_some(), self.axis.is_empty()) {
            (true, false) => "Above: the straight rod; below: the rod under load.".to_owned(),
            (true, true) => {
                "The straight rod; its curve under load is not known and not drawn.".to_owned()
            }
            _ => "The rod under load; its length is not known, so it is not drawn straight."
                .to_owned(),
        });
        if !self.load.is_empty() {
            words.push(format!("Load: {}.", self.load.trim_end_matches('.')));
        }
        let raised = self.some_raised();
        if self.higher > 1 {
            words.push(format!("Guides drawn {} times higher.", self.higher));
        }
        if raised {
            let lowest = if self.higher > 1 { "The lowest" } else { "Low guides" };
            words.push(format!("{lowest} are drawn {LOWEST_MM} mm high on paper."));
        }
        if self.higher > 1 || raised {
            words.push("The line lies nearer to the blank than it looks.".to_owned());
        }
        let touching = self.touching();
        if !touching.is_empty() {
            words.push(format!("The line touches the blank from {}.", touching.join(", from ")));
        }
        let drawn = |ring: &Ring<'_>| {
            (self.length.is_none() || ring.straight.is_some())
                && (self.axis.is_empty() || ring.bent.is_some())
        };
        if !self.rings.iter().all(drawn) {
            words.push("A guide whose place is not known is not drawn.".to_owned());
        } else if !all_numbered {
            words.push("Numbers that found no room are in the table only.".to_owned());
        }
        words.join(" ")
    }
}

/// How many times higher than to scale guides must be drawn for the lowest to be seen, as far
/// as the highest allows it.
fn higher(rings: &[Ring<'_>], scale: u32) -> u32 {
    let on_paper = |height: f64| height / f64::from(scale);
    let guides = rings.iter().filter(|ring| !ring.is_reel()).flat_map(Ring::heights);
    let lowest = guides.map(on_paper).fold(f64::INFINITY, f64::min);
    let highest = rings.iter().flat_map(Ring::heights).map(on_paper).fold(0.0, f64::max);
    if lowest >= LOWEST_MM || highest <= 0.0 {
        return 1;
    }
    let wished = to_count((LOWEST_MM / lowest - 1e-9).ceil());
    wished.min(to_count((ENLARGED_MM / highest).floor()))
}

/// The least and the greatest of some numbers and 0.
fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((0.0, 0.0), |(least, most), value| (value.min(least), value.max(most)))
}

/// The greatest of 1, 2, 5, 10, 20 and so on up to `most`; at least 1.
fn round_length(most: f64) -> f64 {
    let mut power = 1.0;
    while power * 10.0 <= most {
        power *= 10.0;
    }
    [5.0, 2.0]
        .into_iter()
        .map(|times| times * power)
        .find(|length| *length <= most)
        .unwrap_or(power)
}

/// The curve with no more points than are seen.
fn thinned(curve: Vec<Spot>) -> Vec<Spot> {
    if curve.len() <= POINTS {
        return curve;
    }
    let last = curve.last().copied();
    let step = curve.len().div_ceil(POINTS - 1);
    curve.into_iter().step_by(step).chain(last).collect()
}

/// The sign of a line that touches: a cross, on a white ground so that it is seen.
fn sign((x, y): Spot) -> Vec<Mark> {
    const ARM: f32 = 2.9;
    let arms = [((x - ARM, y - ARM), (x + ARM, y + ARM)), ((x - ARM, y + ARM), (x + ARM, y - ARM))];
    let stroke =
        |weight, ink| arms.map(|(from, to)| Mark::Line(from, to, Stroke::solid(weight, ink)));
    stroke(3.2, Ink::Paper).into_iter().chain(stroke(1.3, Ink::Full)).collect()
}

/// A ring as seen along the line; the reel as a filled square.
fn eye_mark((x, y): Spot, reel: bool) -> Mark {
    const HALF: f32 = 2.3;
    const RADIUS: f32 = 1.6;
    if reel {
        let corner = (x - HALF, y - HALF);
        return Mark::rectangle(corner, 2.0 * HALF, 2.0 * HALF, Some(Ink::Full), None);
    }
    let turns = (0..12_u8).map(|nth| (f32::from(nth) * 30.0).to_radians().sin_cos());
    let corners = turns.map(|(sin, cos)| (x + RADIUS * cos, y + RADIUS * sin)).collect();
    Mark::Shape { corners, fill: Some(Ink::Paper), edge: Some(Stroke::solid(0.7, Ink::Full)) }
}

/// The arrow of the load from the tip, and where it ends.
fn arrow((x, y): Spot, down: bool) -> (Vec<Mark>, Spot) {
    const LONG: f32 = 26.0;
    const HEAD: f32 = 7.0;
    let to = if down { 1.0 } else { -1.0 };
    let end = (x, y + to * LONG);
    let neck = y + to * (LONG - HEAD);
    let head = vec![end, (x - 2.4, neck), (x + 2.4, neck)];
    let marks = vec![
        Mark::Line((x, y + to * 2.5), (x, neck), Stroke::solid(RULE, Ink::Full)),
        Mark::Shape { corners: head, fill: Some(Ink::Full), edge: None },
    ];
    (marks, end)
}

/// Where a mark reaches, texts left out.
fn spots(mark: &Mark) -> Vec<Spot> {
    match mark {
        Mark::Line(from, to, _) => vec![*from, *to],
        Mark::Shape { corners, .. } => corners.clone(),
        Mark::Text(..) | Mark::Blocks(..) | Mark::In(_) => Vec::new(),
    }
}

/// What a text covers; nothing for other marks.
fn text_frame(fonts: &Fonts, mark: &Mark) -> Option<Frame> {
    match mark {
        Mark::Text(spot, run) => Some(Frame::of_text(fonts, run, *spot)),
        _ => None,
    }
}

/// The marks as a strip that ends no higher than `bottom`.
fn strip(marks: &[Mark], fonts: &Fonts, bottom: f32) -> Strip {
    let texts = marks.iter().filter_map(|mark| text_frame(fonts, mark));
    let lines = Frame::around(marks.iter().flat_map(spots));
    let Some(frame) = texts.chain(lines).reduce(Frame::with) else { return Strip::default() };
    let marks = marks.iter().map(|mark| mark.moved(0.0, -frame.top)).collect();
    Strip::new(frame.bottom.max(bottom) - frame.top, marks)
}
