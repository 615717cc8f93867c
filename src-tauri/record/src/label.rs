//! Where the names on a drawing go, so that no two of them touch.
//!
//! A thin upright line rises from each thing named to the foot of its name. Names stand in rows
//! above each other; the line to a name passes between the names of the rows below.

/// Room between a name and a line or name that is not its own, in points.
const APART: f32 = 3.5;
/// How far inside its name's ends a line must meet it, in points.
const INSIDE: f32 = 3.0;
/// More tags than this on one drawing are not read by anybody.
const MOST: usize = 200;
/// Places tried for a number of rows before one row more is taken.
const TRIES: usize = 4000;

/// A name that wants a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tag {
    /// Where its line stands, from the left, in points.
    pub(crate) at: f32,
    /// How wide the name is, in points.
    pub(crate) width: f32,
}

/// Where a name went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    /// The row, counted from the drawing outwards, from 0.
    pub(crate) row: usize,
    /// The left end of the name, in points.
    pub(crate) left: f32,
}

/// The least distance between two lines for names to find places at all, in points.
const LINES_APART: f32 = 2.0 * APART;

/// Moves lines apart that stand too close for names, each as little as possible and none past
/// another. `None` if there are too many between `left` and `right`.
pub(crate) fn spread(ats: &[f32], left: f32, right: f32) -> Option<Vec<f32>> {
    let mut order: Vec<usize> = (0..ats.len()).collect();
    order.sort_by(|&a, &b| {
        let at = |index: usize| ats.get(index).copied().unwrap_or(0.0);
        at(a).total_cmp(&at(b))
    });
    let step = |count: usize| u16::try_from(count).map_or(f32::MAX, f32::from) * LINES_APART;
    let room = right - left - step(ats.len().saturating_sub(1));
    if room < 0.0 {
        return None;
    }
    // Less its place in the row, a line only has to stay behind the one before it. Lines that
    // would not are pooled, and stand around their mean.
    let mut pools: Vec<(f32, usize)> = Vec::new();
    for (nth, &index) in order.iter().enumerate() {
        let at = ats.get(index).copied().unwrap_or(0.0);
        let mut pool = (at - left - step(nth), 1);
        while let Some(&(mean, size)) = pools.last().filter(|(mean, _)| *mean > pool.0) {
            pools.pop();
            let weight = |size: usize| u16::try_from(size).map_or(1.0, f32::from);
            let sum = mean * weight(size) + pool.0 * weight(pool.1);
            pool = (sum / weight(size + pool.1), size + pool.1);
        }
        pools.push(pool);
    }
    let moved = pools.iter().flat_map(|&(mean, size)| std::iter::repeat_n(mean, size));
    let mut spread = vec![0.0; ats.len()];
    for ((nth, &index), mean) in order.iter().enumerate().zip(moved) {
        if let Some(slot) = spread.get_mut(index) {
            *slot = left + mean.clamp(0.0, room) + step(nth);
        }
    }
    Some(spread)
}

/// Finds a place for each tag between `left` and `right` in as few rows as the search gets by
/// with, or `None` if it finds none in `rows` rows. Names overlap neither each other nor a line.
pub(crate) fn stagger(tags: &[Tag], left: f32, right: f32, rows: usize) -> Option<Vec<Place>> {
    if tags.len() > MOST {
        return None;
    }
    let mut order: Vec<usize> = (0..tags.len()).collect();
    let at = |index: &usize| tags.get(*index).map_or(0.0, |tag| tag.at);
    order.sort_by(|a, b| at(b).total_cmp(&at(a)));
    let sorted: Vec<Tag> = order.iter().filter_map(|&index| tags.get(index).copied()).collect();
    let places = (1..=rows).find_map(|rows| {
        let mut search = Search { tags: &sorted, left, right, rows, tries: TRIES };
        let mut places = Vec::new();
        search.place_rest(&mut places).then_some(places)
    });
    let places = if tags.is_empty() { Vec::new() } else { places? };
    let mut in_order: Vec<(usize, Place)> = order.into_iter().zip(places).collect();
    in_order.sort_by_key(|(index, _)| *index);
    Some(in_order.into_iter().map(|(_, place)| place).collect())
}

/// Tries places one tag after the other, and takes back what leads nowhere.
struct Search<'a> {
    tags: &'a [Tag],
    left: f32,
    right: f32,
    rows: usize,
    tries: usize,
}

impl Search<'_> {
    /// Extends `places` to all tags, or leaves it as it was and says so.
    fn place_rest(&mut self, places: &mut Vec<Place>) -> bool {
        let Some(&tag) = self.tags.get(places.len()) else { return true };
        for row in 0..self.rows {
            for left in self.lefts(tag) {
                if self.tries == 0 {
                    return false;
                }
                self.tries -= 1;
                let place = Place { row, left };
                let mut placed = self.tags.iter().zip(places.iter());
                if placed.all(|(other, theirs)| clear(tag, place, *other, *theirs)) {
                    places.push(place);
                    if self.place_rest(places) {
                        return true;
                    }
                    places.pop();
                }
            }
        }
        false
    }

    /// Left ends the name may take: over the middle of its line first, then to either side.
    fn lefts(&self, tag: Tag) -> Vec<f32> {
        let Tag { at, width } = tag;
        let inside = INSIDE.min(width / 2.0);
        let shares = [0.5, 0.0, 1.0, 0.25, 0.75];
        let mut lefts = Vec::new();
        for share in shares {
            let left = at - inside - (width - 2.0 * inside) * share;
            let left = left.min(self.right - width).max(self.left);
            let meets = left + inside <= at + 0.01 && at <= left + width - inside + 0.01;
            let fits = left + width <= self.right + 0.01;
            if meets && fits && !lefts.contains(&left) {
                lefts.push(left);
            }
        }
        lefts
    }
}

/// Whether two placed tags leave each other alone.
fn clear(tag: Tag, place: Place, other: Tag, theirs: Place) -> bool {
    let covers = |tag: Tag, place: Place, x: f32| {
        x > place.left - APART && x < place.left + tag.width + APART
    };
    match place.row.cmp(&theirs.row) {
        std::cmp::Ordering::Equal => {
            place.left + tag.width + 2.0 * APART <= theirs.left
                || theirs.left + other.width + 2.0 * APART <= place.left
        }
        // Its line passes the other's row on the way up.
        std::cmp::Ordering::Greater => !covers(other, theirs, tag.at),
        std::cmp::Ordering::Less => !covers(tag, place, other.at),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Checks an arrangement with rules written another way than those that made it: every
    /// name and every line as a rectangle, none of which may meet one that is not its own.
    fn assert_apart(tags: &[Tag], places: &[Place], left: f32, right: f32) {
        const ROW: f32 = 10.0;
        let mut boxes = Vec::new();
        for (owner, (tag, place)) in tags.iter().zip(places).enumerate() {
            assert!(place.left >= left - 0.02 && place.left + tag.width <= right + 0.02);
            assert!(place.left <= tag.at && tag.at <= place.left + tag.width, "a line misses");
            let row = f32::from(u16::try_from(place.row).unwrap()) * ROW;
            boxes.push((owner, place.left, place.left + tag.width, row, row + ROW, false));
            boxes.push((owner, tag.at - 0.1, tag.at + 0.1, -5.0, row, true));
        }
        for (nth, a) in boxes.iter().enumerate() {
            for b in &boxes[nth + 1..] {
                let two_lines = a.5 && b.5;
                let meet = a.1 < b.2 && b.1 < a.2 && a.3 < b.4 && b.3 < a.4;
                assert!(!meet || two_lines, "{a:?} meets {b:?}");
            }
        }
    }

    fn tag(at: f32, width: f32) -> Tag {
        Tag { at, width }
    }

    fn rows(places: &[Place]) -> usize {
        places.iter().map(|place| place.row + 1).max().unwrap_or(0)
    }

    #[test]
    fn names_with_room_stand_over_their_lines_in_one_row() {
        let tags = [tag(50.0, 40.0), tag(120.0, 40.0), tag(200.0, 40.0)];
        let places = stagger(&tags, 0.0, 300.0, 5).unwrap();
        assert_eq!(rows(&places), 1);
        assert!((places[1].left - 100.0).abs() < 0.01);
        assert_apart(&tags, &places, 0.0, 300.0);
    }

    #[test]
    fn a_name_at_the_edge_moves_inwards() {
        for at in [6.0, 294.0] {
            let tags = [tag(at, 40.0)];
            let places = stagger(&tags, 0.0, 300.0, 5).unwrap();
            assert_apart(&tags, &places, 0.0, 300.0);
        }
    }

    #[test]
    fn crowded_names_take_rows_and_no_more_than_there_are() {
        let tags: Vec<Tag> = [40.0, 52.0, 64.0, 76.0, 88.0].map(|at| tag(at, 60.0)).to_vec();
        let places = stagger(&tags, 0.0, 300.0, 6).unwrap();
        assert!(rows(&places) > 2);
        assert_apart(&tags, &places, 0.0, 300.0);
        assert_eq!(stagger(&tags, 0.0, 300.0, 2), None);
    }

    #[test]
    fn guides_towards_the_tip_need_few_rows() {
        let ats = [250.0, 290.0, 330.0, 362.0, 388.0, 413.0, 434.0, 449.0];
        let tags = ats.map(|at| tag(at, 38.0));
        let places = stagger(&tags, 0.0, 470.0, 6).unwrap();
        assert_apart(&tags, &places, 0.0, 470.0);
        assert!(rows(&places) <= 4, "{places:?}");
    }

    #[test]
    fn a_name_wider_than_the_drawing_has_no_place() {
        assert_eq!(stagger(&[tag(10.0, 400.0)], 0.0, 300.0, 9), None);
    }

    #[test]
    fn lines_too_close_are_moved_apart_and_others_stay() {
        let near = |a: &[f32], b: &[f32]| {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.01)
        };
        let spread_in = |ats: &[f32]| spread(ats, 0.0, 100.0).unwrap();
        assert!(near(&spread_in(&[10.0, 50.0, 90.0]), &[10.0, 50.0, 90.0]));
        assert!(near(&spread_in(&[50.0, 50.0]), &[46.5, 53.5]));
        // Order is kept, whatever order they come in.
        assert!(near(&spread_in(&[52.0, 20.0, 50.0]), &[54.5, 20.0, 47.5]));
        assert!(near(&spread_in(&[100.0, 99.0]), &[100.0, 93.0]));
        assert!(near(&spread_in(&[]), &[]));
        assert_eq!(spread(&[50.0; 16], 0.0, 100.0), None);
        let fifteen = spread(&[99.0; 15], 0.0, 100.0).unwrap();
        assert!(fifteen.windows(2).all(|pair| pair[1] - pair[0] >= LINES_APART - 0.01));
    }

    #[test]
    fn things_at_one_and_the_same_place_get_places_once_spread() {
        let stems = spread(&[50.0; 5], 0.0, 300.0).unwrap();
        let tags: Vec<Tag> = stems.iter().map(|&at| tag(at, 40.0)).collect();
        let places = stagger(&tags, 0.0, 300.0, 8).unwrap();
        assert_apart(&tags, &places, 0.0, 300.0);
    }

    #[test]
    fn nothing_to_name_is_no_failure() {
        assert_eq!(stagger(&[], 0.0, 300.0, 3), Some(vec![]));
    }

    #[test]
    fn whatever_arrangement_is_found_is_free_of_contact() {
        // A fixed sequence of scattered numbers: the same on every run.
        let mut state = 0x2545_f491_u32;
        let mut next = |below: u16| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f32::from(u16::try_from(state >> 16).unwrap() % below)
        };
        let mut found = 0;
        for _ in 0..400 {
            let count = next(14);
            let mut tags = Vec::new();
            while f32::from(u16::try_from(tags.len()).unwrap()) < count {
                tags.push(tag(5.0 + next(460), 12.0 + next(90)));
            }
            let ats: Vec<f32> = tags.iter().map(|tag| tag.at).collect();
            for (tag, at) in tags.iter_mut().zip(spread(&ats, 5.0, 465.0).unwrap()) {
                tag.at = at;
            }
            if let Some(places) = stagger(&tags, 0.0, 470.0, 7) {
                assert_eq!(places.len(), tags.len());
                assert_apart(&tags, &places, 0.0, 470.0);
                found += 1;
            }
        }
        assert!(found > 300, "only {found} of 400 found a place");
    }
}
