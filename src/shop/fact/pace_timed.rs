//! Pieces were timed at the bench.

use super::{Entry, EntryId, Happened, LotName, Objections, Shop, Subject, SubjectKind, When};
use crate::shop::count::all_of;
use crate::shop::pace::{Sample, TimedSplit};
use crate::shop::setup::in_words;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaceTimed {
    pub lot: LotName,
    pub recipe: String,
    pub splits: Vec<TimedSplit>,
}

impl Happened for PaceTimed {
    const WORD: &'static str = "pace time";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let mut subjects = Subject::of_lot(&self.lot, None);
        subjects.push(Subject::new(SubjectKind::Pace, &self.recipe));
        subjects
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        shop.known_lot(&self.lot).map(|_| Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        for split in &self.splits {
            for (number, seconds) in (1..).zip(&split.seconds) {
                let sample = Sample {
                    entry: entry.id,
                    at: entry.at,
                    lot: self.lot.clone(),
                    step: split.step.clone(),
                    number: split.before.saturating_add(number),
                    pieces: 1,
                    seconds: f64::from(*seconds),
                };
                shop.take_sample(&self.recipe, sample);
            }
        }
    }

    fn said(&self, _: &Shop) -> String {
        let of = |split: &TimedSplit| {
            format!("{} of {}", split.seconds.len(), in_words(&split.step.name))
        };
        format!("{}: times of {}", self.lot, all_of(self.splits.iter().map(of)))
    }
}
