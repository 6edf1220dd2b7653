//! Where to begin to look in a long list of marks: a step or two instead of a search.

use super::problem::Minute;

/// Pages at most.
const PAGES: usize = 4096;

/// For each page of a line the last mark before it.
#[derive(Debug, Clone, Default)]
pub(super) struct Index {
    first: Minute,
    /// Pages are two to this power wide.
    width: u32,
    pages: Vec<u32>,
}

impl Index {
    /// Of marks in their order, twice as many pages as marks.
    pub(super) fn of(marks: impl ExactSizeIterator<Item = Minute> + Clone) -> Self {
        let (Some(first), Some(last)) = (marks.clone().next(), marks.clone().last()) else {
            return Self::default();
        };
        let most = Minute::try_from(PAGES.min(2 * marks.len())).unwrap_or(1);
        let width = ((last - first) / most + 1).ilog2() + 1;
        let page = |mark: Minute| usize::try_from((mark - first) >> width).unwrap_or(0);
        let mut pages = Vec::with_capacity(page(last) + 1);
        for (place, mark) in (0..).zip(marks) {
            let until = page(mark) + 1;
            if pages.len() < until {
                let before: u32 = place;
                pages.resize(until, before.saturating_sub(1));
            }
        }
        Self { first, width, pages }
    }

    /// A mark at or before the last one that lies before `t`; the first where there is none.
    pub(super) fn at(&self, t: Minute) -> usize {
        let page = usize::try_from((t - self.first).max(0) >> self.width).unwrap_or(usize::MAX);
        self.pages.get(page).or(self.pages.last()).map_or(0, |&mark| mark as usize)
    }
}
