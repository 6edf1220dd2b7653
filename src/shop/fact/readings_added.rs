//! A room's readings were taken in.

use super::{Entry, EntryId, Happened, Objections, Shop, Subject, SubjectKind, When};
use crate::shop::count::Count;
use crate::time::Instant;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingsAdded {
    pub room: String,
    /// How many were new.
    pub readings: u32,
    pub first: Instant,
    pub last: Instant,
    /// The file they came from; none for one taken by hand.
    pub file: Option<String>,
    /// SHA-256 over their rows, so that they are proved with the ledger.
    pub digest: String,
}

impl Happened for ReadingsAdded {
    const WORD: &'static str = "climate";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Room, &self.room)]
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        shop.known_room(&self.room).map(|_| Vec::new())
    }

    /// The readings themselves are no part of the fold: the store reads them.
    fn apply(&self, _: &mut Shop, _: &Entry) {}

    fn said(&self, _: &Shop) -> String {
        let file = self.file.as_ref().map_or_else(String::new, |file| format!(" from {file}"));
        format!("{}: {}{file}", self.room, Count(self.readings, "reading"))
    }
}
