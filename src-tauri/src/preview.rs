//! Pages as they will be printed, one at a time for the screen.

use crate::error::ShellError;
use crate::views::{PaperWord, PreviewView, Printable};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long drawn pages serve: they say the time of print, and clocks run on.
const FRESH: Duration = Duration::from_secs(60);

struct Drawn {
    what: Printable,
    paper: PaperWord,
    /// The ledger's digest when they were drawn.
    head: [u8; 32],
    when: Instant,
    pages: Vec<String>,
}

/// The pages drawn last, so that turning one draws none.
#[derive(Default)]
pub struct Previews(Mutex<Option<Drawn>>);

impl Previews {
    /// One page, counted from 1; past the end, the last one. `draw` is asked for all of them if
    /// those at hand are of something else, of an older ledger, or old.
    ///
    /// # Errors
    /// Those of `draw`.
    pub fn page(
        &self,
        what: &Printable,
        paper: PaperWord,
        head: [u8; 32],
        page: u32,
        draw: impl FnOnce() -> Result<Vec<String>, ShellError>,
    ) -> Result<PreviewView, ShellError> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let serves = |drawn: &Drawn| {
            drawn.what == *what
                && drawn.paper == paper
                && drawn.head == head
                && drawn.when.elapsed() < FRESH
        };
        let drawn = match kept.take() {
            Some(drawn) if serves(&drawn) => drawn,
            _ => Drawn { what: what.clone(), paper, head, when: Instant::now(), pages: draw()? },
        };
        let pages = u32::try_from(drawn.pages.len()).unwrap_or(u32::MAX);
        let page = page.clamp(1, pages.max(1));
        let at = usize::try_from(page).unwrap_or(usize::MAX) - 1;
        let svg = drawn.pages.get(at).cloned().unwrap_or_default();
        *kept = Some(drawn);
        Ok(PreviewView { svg, page, pages })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_drawn_once_for_one_ledger_and_paper() {
        let previews = Previews::default();
        let drawn = std::cell::Cell::new(0);
        let look = |paper, head, page| {
            let what = Printable::BuildLog { rod: "R-1".to_owned() };
            let draw = || {
                drawn.set(drawn.get() + 1);
                Ok(vec!["one".to_owned(), "two".to_owned()])
            };
            let view = previews.page(&what, paper, [head; 32], page, draw).unwrap();
            (view.svg, view.page, view.pages, drawn.get())
        };
        let one = |times| ("one".to_owned(), 1, 2, times);
        let two = |times| ("two".to_owned(), 2, 2, times);
        assert_eq!(look(PaperWord::A4, 1, 1), one(1));
        assert_eq!(look(PaperWord::A4, 1, 2), two(1));
        assert_eq!(look(PaperWord::A4, 1, 99), two(1));
        assert_eq!(look(PaperWord::A4, 1, 0), one(1));
        assert_eq!(look(PaperWord::Letter, 1, 2), two(2));
        assert_eq!(look(PaperWord::Letter, 2, 2), two(3));
    }

    #[test]
    fn what_can_t_be_drawn_leaves_nothing_old_behind() {
        let previews = Previews::default();
        let page = vec!["one".to_owned()];
        let look = |head, draw: &dyn Fn() -> Result<Vec<String>, ShellError>| {
            previews.page(&Printable::CrewTable, PaperWord::A4, [head; 32], 1, draw)
        };
        look(0, &|| Ok(page.clone())).unwrap();
        let failed = || Err(ShellError::Locked);
        assert!(look(1, &failed).is_err());
        assert!(look(0, &failed).is_err());
    }
}
