//! What moved since a plan was kept, and why.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::plan::drift::{Drift, Why};
use crate::report::{Page, Tone};
use crate::shop::Count;
use crate::time::Span;

/// Steps shown one by one.
const SHOWN: usize = 6;

impl Drift {
    /// Whether any date moved.
    pub(crate) fn dates_moved(&self) -> bool {
        !self.batches.is_empty()
    }

    /// Dates that moved, and why.
    pub(crate) fn dates(&self, page: &mut Page) {
        for moved in &self.batches {
            let later = if moved.is.at() > moved.was.at() { "later" } else { "sooner" };
            let by =
                Span::between(moved.was.at().min(moved.is.at()), moved.was.at().max(moved.is.at()));
            page.hanging(
                2,
                6,
                format!(
                    "{} is ready {}, {by} {later} than kept ({})",
                    moved.what,
                    moved.is.moment(),
                    moved.was.moment()
                ),
            );
        }
        for why in &self.why {
            page.hanging(2, 6, format!("since then: {why}"));
        }
    }

    pub(super) fn text(&self, page: &mut Page) {
        page.section(Tone::Strong, &format!("Since the plan was kept, {}", self.kept_at.moment()));
        if self.batches.is_empty() {
            page.under("No date has moved.");
        }
        self.dates(page);
        if self.steps.is_empty() {
            return;
        }
        page.under(format!("{} moved:", Count(self.steps.len() as u64, "step")));
        for moved in self.steps.iter().take(SHOWN) {
            page.hanging(
                4,
                8,
                format!(
                    "{}  {}: {} instead of {}",
                    moved.what,
                    moved.words,
                    moved.is.moment(),
                    moved.was.moment()
                ),
            );
        }
        if self.steps.len() > SHOWN {
            page.line(4, format!("and {} more", self.steps.len() - SHOWN));
        }
    }
}

impl Serialize for Why {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = |minutes: i64| Span::seconds(minutes.saturating_mul(60));
        match self {
            Self::NotBegun { lot, name, planned } => {
                write!(f, "{lot} was to begin {name} {} and has not", planned.moment())
            }
            Self::DoneLate { lot, name, planned, done } => {
                write!(
                    f,
                    "{lot}: {name} was done {} instead of {}",
                    done.moment(),
                    planned.moment()
                )
            }
            Self::Fewer { lot, planned, pieces } => {
                write!(f, "{lot} has {} instead of {planned}", Count(*pieces, "piece"))
            }
            Self::ToStart { batch, planned, pieces } => {
                write!(f, "{batch} takes {pieces} pieces on their way instead of {planned}")
            }
            Self::Room { finish, planned, minutes: now, planned_cure, cure } => write!(
                f,
                "{finish} rests at least {} instead of {} and cures {} instead of {}, by the room's last days",
                minutes(*now),
                minutes(*planned),
                minutes(*cure),
                minutes(*planned_cure)
            ),
            Self::NewBatch { batch } => write!(f, "{batch} was taken on"),
            Self::Held { lot } => write!(f, "{lot} is held"),
            Self::Grabbed { lot, touched } => {
                write!(f, "{lot} still grabbed when it was touched {}", touched.moment())
            }
        }
    }
}
