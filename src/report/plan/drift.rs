//! What moved since a plan was kept, and why.

use serde::Serialize;

use crate::plan::drift::{Drift, Why};
use crate::report::Page;
use crate::report::count::Count;
use crate::report::page::Tone;
use crate::time::Span;
use crate::time::{Stamp, Viewpoint};

/// Steps shown one by one.
const SHOWN: usize = 6;

/// Drift, as it is shown.
#[derive(Debug, Clone, Serialize)]
pub struct DriftReport {
    /// When the kept plan was made.
    pub kept_at: Stamp,
    /// Batches whose date moved.
    pub batches: Vec<MovedLine>,
    pub steps: Vec<MovedLine>,
    /// What happened in between, in words.
    pub why: Vec<String>,
}

/// Something that moved.
#[derive(Debug, Clone, Serialize)]
pub struct MovedLine {
    /// The batch, or the lot.
    pub what: String,
    /// The step's name.
    pub name: Option<String>,
    /// When it was to be.
    pub was: Stamp,
    /// When it will be.
    pub is: Stamp,
}

impl DriftReport {
    pub fn new(drift: &Drift, view: Viewpoint) -> Self {
        let line = |what: &str, name: Option<&str>, was, is| MovedLine {
            what: what.to_owned(),
            name: name.map(str::to_owned),
            was: view.stamp(was),
            is: view.stamp(is),
        };
        let batches = drift.batches.iter();
        let steps = drift.steps.iter();
        Self {
            kept_at: view.stamp(drift.kept_at),
            batches: batches.map(|moved| line(&moved.batch, None, moved.was, moved.is)).collect(),
            steps: steps
                .map(|moved| line(&moved.lot, Some(&moved.name), moved.was, moved.is))
                .collect(),
            why: drift.why.iter().map(|why| because(why, view)).collect(),
        }
    }

    /// Whether any date moved.
    pub fn dates_moved(&self) -> bool {
        !self.batches.is_empty()
    }

    /// Dates that moved, and why.
    pub fn dates(&self, page: &mut Page) {
        for moved in &self.batches {
            let later = if moved.is.at() > moved.was.at() { "later" } else { "sooner" };
            let by =
                Span::between(moved.was.at().min(moved.is.at()), moved.was.at().max(moved.is.at()));
            page.hanging(
                2,
                6,
                &format!(
                    "{} is ready {}, {by} {later} than kept ({})",
                    moved.what,
                    moved.is.moment(),
                    moved.was.moment()
                ),
            );
        }
        for why in &self.why {
            page.hanging(2, 6, &format!("since then: {why}"));
        }
    }

    pub(super) fn text(&self, page: &mut Page) {
        page.gap();
        page.heading(Tone::Strong, &format!("Since the plan was kept, {}", self.kept_at.moment()));
        if self.batches.is_empty() {
            page.line(2, "No date has moved.");
        }
        self.dates(page);
        if self.steps.is_empty() {
            return;
        }
        page.line(2, &format!("{} moved:", Count(self.steps.len() as u64, "step")));
        for moved in self.steps.iter().take(SHOWN) {
            let name = moved.name.as_deref().unwrap_or_default();
            page.hanging(
                4,
                8,
                &format!(
                    "{}  {name}: {} instead of {}",
                    moved.what,
                    moved.is.moment(),
                    moved.was.moment()
                ),
            );
        }
        if self.steps.len() > SHOWN {
            page.line(4, &format!("and {} more", self.steps.len() - SHOWN));
        }
    }
}

fn because(why: &Why, view: Viewpoint) -> String {
    let when = |at| view.stamp(at).moment();
    let minutes = |minutes: i64| Span::seconds(minutes.saturating_mul(60)).to_string();
    match why {
        Why::NotBegun { lot, name, planned } => {
            format!("{lot} was to begin {name} {} and has not", when(*planned))
        }
        Why::DoneLate { lot, name, planned, done } => {
            format!("{lot}: {name} was done {} instead of {}", when(*done), when(*planned))
        }
        Why::Fewer { lot, planned, pieces } => {
            format!("{lot} has {} instead of {planned}", Count(*pieces, "piece"))
        }
        Why::ToStart { batch, planned, pieces } => {
            format!("{batch} takes {pieces} pieces on their way instead of {planned}")
        }
        Why::Room { finish, planned, minutes: now, planned_cure, cure } => format!(
            "{finish} rests at least {} instead of {} and cures {} instead of {}, by the room's last days",
            minutes(*now),
            minutes(*planned),
            minutes(*cure),
            minutes(*planned_cure)
        ),
        Why::NewBatch { batch } => format!("{batch} was taken on"),
        Why::Held { lot } => format!("{lot} is held"),
        Why::Grabbed { lot, touched } => {
            format!("{lot} still grabbed when it was touched {}", when(*touched))
        }
    }
}
