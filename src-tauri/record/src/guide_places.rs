//! Room for short texts on a drawing that is already full of lines.

use crate::{
    fonts::Fonts,
    mark::{Mark, Spot},
    wrap::Run,
};

/// How closely lines are looked at, in points.
const STEP: f32 = 1.5;
/// White around a text, in points.
const AROUND: f32 = 1.2;
/// Distances from the thing named to the middle of its name, in points, the nearest first.
const AWAY: [f32; 4] = [9.0, 11.0, 13.0, 15.0];
/// Turns off the wished direction that are tried, in degrees. Further aside a name would seem
/// to belong to a neighbour.
const TURNS: [f32; 5] = [0.0, 20.0, -20.0, 40.0, -40.0];

/// An upright rectangle in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    pub(crate) left: f32,
    pub(crate) top: f32,
    pub(crate) right: f32,
    pub(crate) bottom: f32,
}

impl Frame {
    /// The smallest that holds all of the spots; `None` without one.
    pub(crate) fn around(spots: impl IntoIterator<Item = Spot>) -> Option<Self> {
        spots
            .into_iter()
            .map(|(x, y)| Self { left: x, top: y, right: x, bottom: y })
            .reduce(Self::with)
    }

    /// The smallest that holds both.
    pub(crate) fn with(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// What a text covers whose baseline begins at the spot.
    pub(crate) fn of_text(fonts: &Fonts, run: &Run, (x, y): Spot) -> Self {
        let size = run.style.size;
        Self {
            left: x - AROUND,
            top: y - 0.66 * size - AROUND,
            right: x + run.width(fonts) + AROUND,
            bottom: y + 0.2 * size + AROUND,
        }
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    /// True if they share some paper.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn covers(&self, (x, y): Spot) -> bool {
        self.left < x && x < self.right && self.top < y && y < self.bottom
    }
}

/// What is taken on a drawing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Taken {
    spots: Vec<Spot>,
    frames: Vec<Frame>,
}

impl Taken {
    /// A straight line is there.
    pub(crate) fn line(&mut self, from: Spot, to: Spot) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        // As in `scale::length`.
        let length = (dx * dx + dy * dy).sqrt();
        let mut along = 0.0;
        while along < length {
            let share = along / length;
            self.spots.push((from.0 + dx * share, from.1 + dy * share));
            along += STEP;
        }
        self.spots.push(to);
    }

    /// A text or a sign is there.
    pub(crate) fn frame(&mut self, frame: Frame) {
        self.frames.push(frame);
    }

    /// Puts a text near a spot, in this direction if there is room, and says where it went.
    /// It stays inside `within`, and on no line and no other text.
    pub(crate) fn name(
        &mut self,
        fonts: &Fonts,
        run: &Run,
        (x, y): Spot,
        (dx, dy): Spot,
        within: Frame,
    ) -> Option<Mark> {
        let half = run.width(fonts) / 2.0;
        // What is long goes as far aside as it reaches, so that its near end is by the spot.
        let aside = (half - 3.0).max(0.0);
        for away in AWAY {
            for turn in TURNS {
                let (sin, cos) = turn.to_radians().sin_cos();
                let (dx, dy) = (dx * cos - dy * sin, dx * sin + dy * cos);
                let middle = (x + dx * (away + aside), y + dy * away);
                let spot = (middle.0 - half, middle.1 + 0.33 * run.style.size);
                let frame = Frame::of_text(fonts, run, spot);
                let free = within.holds(&frame)
                    && !self.frames.iter().any(|other| other.meets(&frame))
                    && !self.spots.iter().any(|spot| frame.covers(*spot));
                if free {
                    self.frame(frame);
                    return Some(Mark::Text(spot, run.clone()));
                }
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::SMALL;

    const PAGE: Frame = Frame { left: 0.0, top: 0.0, right: 200.0, bottom: 100.0 };

    fn put(taken: &mut Taken, fonts: &Fonts, at: Spot) -> Option<Spot> {
        let run = Run::new(fonts, SMALL, "12");
        taken.name(fonts, &run, at, (0.0, -1.0), PAGE).map(|mark| match mark {
            Mark::Text(spot, _) => spot,
            _ => panic!("a name is a text"),
        })
    }

    #[test]
    fn a_name_goes_where_it_is_wished_if_nothing_is_there() {
        let fonts = Fonts::load().unwrap();
        let (x, y) = put(&mut Taken::default(), &fonts, (100.0, 50.0)).unwrap();
        assert!((x - 95.0).abs() < 0.1 && (y - 44.3).abs() < 0.1, "{x}, {y}");
    }

    #[test]
    fn a_name_stands_on_no_line_and_no_other_name() {
        let fonts = Fonts::load().unwrap();
        let mut taken = Taken::default();
        taken.line((0.0, 43.0), (200.0, 43.0));
        let (_, y) = put(&mut taken, &fonts, (100.0, 50.0)).unwrap();
        assert!(y - 0.66 * SMALL.size > 43.0 || y < 43.0, "{y}");
        let mut taken = Taken::default();
        let first = put(&mut taken, &fonts, (100.0, 50.0)).unwrap();
        let second = put(&mut taken, &fonts, (103.0, 50.0)).unwrap();
        assert!((first.0 - second.0).abs() > 9.0 || (first.1 - second.1).abs() > 8.0);
    }

    #[test]
    fn a_name_without_room_is_left_out() {
        let fonts = Fonts::load().unwrap();
        let mut taken = Taken::default();
        taken.frame(PAGE);
        assert_eq!(put(&mut taken, &fonts, (100.0, 50.0)), None);
        assert_eq!(put(&mut Taken::default(), &fonts, (400.0, 50.0)), None);
    }
}
