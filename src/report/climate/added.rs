//! A reading taken by hand, as it is answered.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::climate::ReadingShown;
use crate::report::{Page, Report};

/// `climate add`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ReadingTaken {
    pub(crate) room: String,
    /// The entry; null where the log has the same reading already.
    pub(crate) entry: Option<i64>,
    pub(crate) reading: ReadingShown,
}

impl Report for ReadingTaken {
    fn text(&self, page: &mut Page) {
        let Self { room, reading, .. } = self;
        let known = if self.entry.is_none() { "; known already, nothing recorded" } else { "" };
        page.hang(format!("{room}, {}: {}{known}", reading.at.moment(), reading.air()));
        for line in [reading.dew(), reading.wood()].into_iter().flatten() {
            page.item(&line);
        }
    }
}
