//! A clock that stands before what is recorded already.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::shop::EntryId;
use crate::time::{Instant, Span, Stamp, Viewpoint};

/// Said on top of every answer: the shop is shown as it is recorded, yet its times are reckoned from a clock that can't
/// be right if that entry is.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ClockBehind {
    pub(crate) entry: EntryId,
    pub(crate) recorded: Stamp,
    pub(crate) seconds: i64,
}

impl ClockBehind {
    /// What to say where the latest entry lies ahead of that clock.
    pub(crate) fn new((recorded, entry): (Instant, EntryId), view: Viewpoint) -> Option<Self> {
        let seconds = Span::between(view.now, recorded).as_seconds();
        (seconds > 0).then(|| Self { entry, recorded: view.stamp(recorded), seconds })
    }

    pub(crate) fn text(&self, page: &mut Page) {
        let Self { entry, recorded, seconds } = self;
        let (by, when) = (Span::seconds(*seconds), recorded.moment());
        let said = format!(
            "! The computer's clock stands {by} before entry {entry}, recorded {when}. Everything recorded is shown, but \
             times are reckoned from that clock. If the clock is wrong, set it right; if the entry is wrong, take it \
             back: tackfree undo {entry}"
        );
        page.hang(&said);
        page.gap();
    }
}
