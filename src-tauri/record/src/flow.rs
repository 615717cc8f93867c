//! Strips of paper, and how they fall onto pages.
//!
//! Every part of the record is a row of strips, each one line high as a rule. A strip is never
//! cut; what may not be parted is tied together by `keep`.

use std::{collections::BTreeMap, rc::Rc};

use crate::{
    element::{Element, Role},
    mark::Mark,
};

/// Room for rounding when heights are compared, in points.
const SLACK: f32 = 0.05;

/// A piece of the page that is never cut.
#[derive(Debug, Clone, Default)]
pub(crate) struct Strip {
    /// White above it, in points; dropped at the top of a page.
    pub(crate) gap: f32,
    /// Height in points, the gap not counted.
    pub(crate) height: f32,
    /// What is on it, measured from its top left corner.
    pub(crate) marks: Vec<Mark>,
    /// True if the next strip must stand on the same page.
    pub(crate) keep: bool,
    /// What is said again above this strip if a page begins with it: a table's head, the
    /// number of the step it belongs to.
    pub(crate) again: Option<Rc<[Strip]>>,
    /// A place that the outline and the list of stages can point to.
    pub(crate) anchor: Option<Anchor>,
}

impl Strip {
    /// A strip with these marks.
    pub(crate) fn new(height: f32, marks: Vec<Mark>) -> Self {
        Self { height, marks, ..Self::default() }
    }

    /// The same with white above it.
    #[must_use]
    pub(crate) fn below(self, gap: f32) -> Self {
        Self { gap, ..self }
    }

    fn full_height(&self) -> f32 {
        self.gap + self.height
    }
}

/// A named place in the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Anchor {
    /// How places are told apart.
    pub(crate) key: String,
    /// What the outline calls it.
    pub(crate) title: String,
}

/// One page's worth of marks, measured from the top left corner of the text area.
#[derive(Debug, Clone, Default)]
pub(crate) struct Page {
    pub(crate) marks: Vec<Mark>,
    /// The anchors on it, with their distance from the top.
    pub(crate) anchors: Vec<(Anchor, f32)>,
}

/// Ties the strips so that they stay together, if they are no higher than `limit` in all.
pub(crate) fn together(mut strips: Vec<Strip>, limit: f32) -> Vec<Strip> {
    let height: f32 = strips.iter().map(Strip::full_height).sum();
    if height <= limit {
        tie(&mut strips);
    }
    strips
}

/// Ties each strip to the next; the last stays free.
pub(crate) fn tie(strips: &mut [Strip]) {
    let last = strips.len().saturating_sub(1);
    for strip in strips.iter_mut().take(last) {
        strip.keep = true;
    }
}

/// Ties the first two and the last two, so that no line of a paragraph stands alone.
pub(crate) fn no_orphans(strips: &mut [Strip]) {
    let count = strips.len();
    if count > 1 {
        for at in [0, count - 2] {
            if let Some(strip) = strips.get_mut(at) {
                strip.keep = true;
            }
        }
    }
}

/// Makes the strips one piece of the paper.
pub(crate) fn all_in(strips: &mut [Strip], element: &Element) {
    for strip in strips {
        strip.marks.insert(0, Mark::In(Some(element.clone())));
    }
}

/// Makes one paragraph of the paragraphs in the strips, of what is read in one breath: an entry with
/// its limits, the signatures of a step. Each paragraph takes room in the file.
pub(crate) fn one_paragraph(mut strips: Vec<Strip>) -> Vec<Strip> {
    let whole = Element::new(Role::Paragraph);
    for mark in strips.iter_mut().flat_map(|strip| &mut strip.marks) {
        if let Mark::In(Some(part)) = mark {
            *part = whole.clone();
        }
    }
    strips
}

/// Makes the strips a drawing, with the words for whoever does not see it.
pub(crate) fn drawing(strips: &mut [Strip], words: String) {
    all_in(strips, &Element::new(Role::Figure(words)));
}

/// Lets the strips fall onto pages whose text area is `height` points high. At least one page.
pub(crate) fn paginate(mut strips: Vec<Strip>, height: f32) -> Vec<Page> {
    let mut pages = vec![Page::default()];
    for (at, place) in places(&strips, height).into_iter().enumerate() {
        if place.turned {
            pages.push(Page::default());
        }
        if let (Some(strip), Some(page)) = (strips.get_mut(at), pages.last_mut()) {
            page.lay(strip, &place);
        }
    }
    pages
}

/// The page of each anchor, from 1, by its key, once the strips have fallen.
pub(crate) fn page_numbers(strips: &[Strip], height: f32) -> BTreeMap<String, usize> {
    let mut page = 1;
    let mut numbers = BTreeMap::new();
    for (strip, place) in strips.iter().zip(places(strips, height)) {
        page += usize::from(place.turned);
        numbers.extend(strip.anchor.iter().map(|anchor| (anchor.key.clone(), page)));
    }
    numbers
}

/// Where a strip comes to stand.
struct Place {
    /// True if a page begins with it.
    turned: bool,
    /// How far down each of the strips stands that are said again above it.
    again: Vec<f32>,
    /// How far down it stands itself.
    top: f32,
}

fn places(strips: &[Strip], height: f32) -> Vec<Place> {
    let mut fall = Fall { height, places: Vec::with_capacity(strips.len()), used: 0.0 };
    let mut rest = strips;
    while !rest.is_empty() {
        let tied = rest.iter().take_while(|strip| strip.keep).count();
        let (group, after) = rest.split_at((tied + 1).min(rest.len()));
        fall.place_group(group);
        rest = after;
    }
    fall.places
}

struct Fall {
    height: f32,
    places: Vec<Place>,
    used: f32,
}

impl Fall {
    fn place_group(&mut self, group: &[Strip]) {
        let needed: f32 = group.iter().map(Strip::full_height).sum();
        for (nth, strip) in group.iter().enumerate() {
            // After the first of them, only a group higher than a page comes to this.
            let ahead = if nth == 0 { needed } else { strip.full_height() };
            let turned = self.used > 0.0 && self.used + ahead > self.height + SLACK;
            let again = if turned { self.turn(strip) } else { Vec::new() };
            let top = self.place(strip);
            self.places.push(Place { turned, again, top });
        }
    }

    /// Begins a page, and says again what the first strip on it needs above it.
    fn turn(&mut self, first: &Strip) -> Vec<f32> {
        self.used = 0.0;
        let again = first.again.as_deref().unwrap_or_default();
        let again_height: f32 = again.iter().map(Strip::full_height).sum();
        if again_height + first.full_height() > self.height {
            return Vec::new();
        }
        again.iter().map(|head| self.place(head)).collect()
    }

    fn place(&mut self, strip: &Strip) -> f32 {
        if self.used > 0.0 {
            self.used += strip.gap;
        }
        let top = self.used;
        self.used += strip.height;
        top
    }
}

impl Page {
    /// Takes over the marks of a strip. Text that nobody said anything of is a paragraph: a text that no
    /// reading would reach must not come about by leaving something out. What stands before the first
    /// piece of a strip, like the number of a step, belongs to that piece.
    fn lay(&mut self, strip: &mut Strip, place: &Place) {
        for (head, top) in strip.again.iter().flat_map(|again| again.iter()).zip(&place.again) {
            let seen = head.marks.iter().filter(|mark| !matches!(mark, Mark::In(_)));
            self.marks.extend(seen.map(|mark| mark.moved(0.0, *top)));
            self.anchors.extend(head.anchor.iter().map(|anchor| (anchor.clone(), *top)));
        }
        let said = strip.marks.iter().find_map(|mark| match mark {
            Mark::In(Some(element)) => Some(element.clone()),
            _ => None,
        });
        let has_text = || strip.marks.iter().any(|mark| matches!(mark, Mark::Text(..)));
        let first = said.or_else(|| has_text().then(|| Element::new(Role::Paragraph)));
        let after = first.is_some().then_some(Mark::In(None));
        self.marks.extend(first.map(|element| Mark::In(Some(element))));
        self.marks.extend(strip.marks.drain(..).map(|mut mark| {
            mark.move_by(0.0, place.top);
            mark
        }));
        self.marks.extend(after);
        self.anchors.extend(strip.anchor.take().map(|anchor| (anchor, place.top)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        mark::Stroke,
        style::{HAIR, Ink},
    };

    /// A strip whose one mark is a line of the given length: its name, so to say.
    fn strip(name: u8) -> Strip {
        let stroke = Stroke::solid(HAIR, Ink::Full);
        Strip::new(10.0, vec![Mark::Line((0.0, 0.0), (f32::from(name), 0.0), stroke)])
    }

    fn kept(name: u8) -> Strip {
        Strip { keep: true, ..strip(name) }
    }

    fn names(pages: &[Page]) -> Vec<Vec<f32>> {
        pages
            .iter()
            .map(|page| {
                page.marks
                    .iter()
                    .map(|mark| match mark {
                        Mark::Line(_, (x, _), _) => *x,
                        _ => -1.0,
                    })
                    .collect()
            })
            .collect()
    }

    #[test]
    fn nothing_at_all_is_still_a_page() {
        assert_eq!(paginate(Vec::new(), 100.0).len(), 1);
    }

    #[test]
    fn a_page_takes_what_fits_and_no_more() {
        let strips: Vec<Strip> = (1..=5).map(strip).collect();
        assert_eq!(names(&paginate(strips, 20.0)), [vec![1., 2.], vec![3., 4.], vec![5.]]);
    }

    #[test]
    fn a_heading_moves_with_its_first_line() {
        let strips = vec![strip(1), kept(2), strip(3), strip(4)];
        assert_eq!(names(&paginate(strips, 20.0)), [vec![1.], vec![2., 3.], vec![4.]]);
    }

    #[test]
    fn a_tied_group_higher_than_a_page_is_cut_at_a_strip() {
        let strips = vec![strip(1), kept(2), kept(3), kept(4), strip(5)];
        assert_eq!(names(&paginate(strips, 30.0)), [vec![1.], vec![2., 3., 4.], vec![5.]]);
    }

    #[test]
    fn a_table_head_is_said_again_only_after_a_break() {
        let head: Rc<[Strip]> = Rc::from([strip(9)]);
        let row = |name| Strip { again: Some(Rc::clone(&head)), ..strip(name) };
        let strips = vec![kept(9), row(1), row(2), row(3), row(4)];
        assert_eq!(names(&paginate(strips, 30.0)), [vec![9., 1., 2.], vec![9., 3., 4.]]);
    }

    #[test]
    fn the_gap_is_dropped_at_the_top_of_a_page() {
        let strips = vec![strip(1), strip(2).below(15.0), strip(3).below(3.0)];
        let pages = paginate(strips, 24.0);
        assert_eq!(names(&pages), [vec![1.], vec![2., 3.]]);
        assert_eq!(pages[1].marks[0], strip(2).marks[0]);
        assert_eq!(pages[1].marks[1], strip(3).marks[0].moved(0.0, 13.0));
    }

    #[test]
    fn short_parts_stay_whole_and_long_ones_may_part() {
        let part = || vec![strip(2), strip(3), strip(4)];
        let mut strips = vec![strip(1)];
        strips.extend(together(part(), 30.0));
        assert_eq!(names(&paginate(strips, 35.0)), [vec![1.], vec![2., 3., 4.]]);
        let mut strips = vec![strip(1)];
        strips.extend(together(part(), 29.0));
        assert_eq!(names(&paginate(strips, 35.0)), [vec![1., 2., 3.], vec![4.]]);
    }

    #[test]
    fn no_line_of_a_paragraph_stands_alone() {
        let mut lines = vec![strip(2), strip(3), strip(4), strip(5)];
        no_orphans(&mut lines);
        let mut strips = vec![strip(1)];
        strips.extend(lines);
        assert_eq!(names(&paginate(strips.clone(), 20.0)), [vec![1.], vec![2., 3.], vec![4., 5.]]);
        assert_eq!(names(&paginate(strips, 40.0)), [vec![1., 2., 3.], vec![4., 5.]]);
    }

    #[test]
    fn anchors_know_their_page_and_height() {
        let anchor = Anchor { key: "b".to_owned(), title: "B".to_owned() };
        let marked = Strip { anchor: Some(anchor.clone()), ..strip(3) };
        let pages = paginate(vec![strip(1), strip(2), marked], 25.0);
        assert!(pages[0].anchors.is_empty());
        assert_eq!(pages[1].anchors, [(anchor, 0.0)]);
    }
}
