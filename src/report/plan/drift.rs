//! What moved since a plan was kept, and why.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::plan::drift::{Drift, Moved, Why};
use crate::report::plan::moves::some;
use crate::report::{Page, Tone};
use crate::shop::Count;
use crate::time::Span;

impl Drift {
    /// Whether any date moved: a date is a day.
    pub(crate) fn dates_moved(&self) -> bool {
        self.on_other_days().next().is_some()
    }

    fn on_other_days(&self) -> impl Iterator<Item = &Moved> {
        self.batches.iter().filter(|moved| moved.was.day() != moved.is.day())
    }

    /// Dates that moved, and why.
    pub(crate) fn dates(&self, page: &mut Page) {
        for moved in self.on_other_days() {
            let later = if moved.is.at() > moved.was.at() { "later" } else { "sooner" };
            let by =
                Span::between(moved.was.at().min(moved.is.at()), moved.was.at().max(moved.is.at()));
            let (what, is, was) = (&moved.what, moved.is.moment(), moved.was.moment());
            page.hanging(2, 6, format!("{what} is ready {is}, {by} {later} than kept ({was})"));
        }
        for why in &self.why {
            page.hanging(2, 6, format!("since then: {why}"));
        }
    }

    pub(super) fn text(&self, page: &mut Page) {
        page.section(Tone::Strong, &format!("Since the plan was kept, {}", self.kept_at.moment()));
        if !self.dates_moved() {
            page.under("No date has moved.");
        }
        self.dates(page);
        if self.steps.is_empty() {
            return;
        }
        page.under(format!("{} moved:", Count(self.steps.len() as u64, "step")));
        some(4, &self.steps, page, |moved| {
            let (is, was) = (moved.is.moment(), moved.was.moment());
            format!("{}  {}: {is} instead of {was}", moved.what, moved.words)
        });
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
                let (done, planned) = (done.moment(), planned.moment());
                write!(f, "{lot}: {name} was done {done} instead of {planned}")
            }
            Self::Fewer { lot, planned, pieces } => {
                write!(f, "{lot} has {} instead of {planned}", Count(*pieces, "piece"))
            }
            Self::ToStart { batch, planned, pieces } => {
                write!(f, "{batch} takes {pieces} pieces on their way instead of {planned}")
            }
            Self::Room { finish, room, planned, minutes: now, planned_cure, cure } => {
                write!(f, "{finish}")?;
                if let Some(room) = room {
                    write!(f, " in the {room}")?;
                }
                let part = |what: &str, is: i64, was: i64| {
                    let (is, was) = (minutes(is).to_string(), minutes(was).to_string());
                    (is != was).then(|| format!(" {what} {is} instead of {was}"))
                };
                let parts =
                    [part("rests at least", *now, *planned), part("cures", *cure, *planned_cure)];
                let parts = parts.into_iter().flatten().collect::<Vec<_>>().join(" and");
                // By less than is said of times so long.
                let parts = if parts.is_empty() { " dries at another pace" } else { &parts };
                write!(f, "{parts}, by the room's last days or touch tests")
            }
            Self::NewBatch { batch } => write!(f, "{batch} was taken on"),
            Self::Held { lot } => write!(f, "{lot} is held"),
            Self::Grabbed { lot, touched } => {
                write!(f, "{lot} still grabbed when it was touched {}", touched.moment())
            }
        }
    }
}
