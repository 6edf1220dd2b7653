//! Pace: minutes a piece, where time is lost, what is left.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report, Tone, row};
use crate::shop::left::{Saving, StepTimes, Times};
use crate::shop::setup::in_words;
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint};

/// `pace BATCH`, `pace LOT`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct PaceShown {
    /// The batch or lot.
    pub(crate) of: String,
    pub(crate) recipe: String,
    /// Whether the times are those of earlier batches by the recipe, where it has none of its own.
    pub(crate) of_earlier: bool,
    /// Steps in order, then splits that aren't steps.
    pub(crate) steps: Vec<StepTimes>,
    /// All that was timed, together.
    pub(crate) piece: Option<PieceLine>,
    /// Where time is lost against the best, most first.
    pub(crate) losses: Vec<LossLine>,
    /// Hands' hours left.
    pub(crate) left_hours: f64,
    /// Days the shop is open for that, if hands did nothing else; null where it never is long enough.
    pub(crate) open_days: Option<u32>,
    /// When that would be over, waits apart.
    pub(crate) open_until: Option<Stamp>,
    /// What a target would save.
    pub(crate) target: Option<Saving>,
}

/// All steps and splits that were timed, together. Times in seconds a piece.
#[derive(Debug, Clone, Copy, JsonSchema, Serialize)]
pub(crate) struct PieceLine {
    pub(crate) median: f64,
    pub(crate) best: f64,
    /// The middle times of the last ten.
    pub(crate) last_ten: f64,
}

/// What a step loses against its own best.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LossLine {
    pub(crate) name: String,
    /// Median less best, s a piece.
    pub(crate) lost: f64,
    /// Its share in what all lose, %.
    pub(crate) share_percent: f64,
}

impl PaceShown {
    pub(crate) fn new(
        shop: &Shop,
        (of, recipe): (String, String),
        times: &Times,
        target: Option<Saving>,
        view: Viewpoint,
    ) -> Self {
        let left = times.left();
        let open = (left > 0.0).then(|| shop.open_time(view.now, left)).flatten();
        let losses = times.losses.iter().filter(|loss| loss.lost > 0.0).map(|loss| LossLine {
            name: loss.step.clone(),
            lost: loss.lost,
            share_percent: loss.share * 100.0,
        });
        Self {
            of,
            recipe,
            of_earlier: times.of_earlier,
            steps: times.steps.clone(),
            piece: PieceLine::new(times),
            losses: losses.collect(),
            left_hours: left / 3600.0,
            open_days: open.map(|open| open.days),
            open_until: open.map(|open| view.stamp(open.ends)),
            target,
        }
    }

    fn times_text(&self, timed: &[&StepTimes], page: &mut Page) {
        if self.of_earlier {
            page.under("No times of its own yet: those of earlier batches by this recipe.");
        }
        page.gap();
        let row = |step: &&StepTimes| {
            let [median, best, last] =
                [step.median, step.best, step.last_ten].map(|value| value.map(time));
            let with = step.step.map(|_| format!("{} ({})", time(step.each), step.each_from));
            row![in_words(&step.name), step.samples, median, best, last, with]
        };
        let together = self.piece.filter(|_| timed.len() > 1).map(|piece| {
            let PieceLine { median, best, last_ten } = piece;
            let [median, best, last] = [median, best, last_ten].map(time);
            row!["together", "", median, best, last, ""]
        });
        page.table(
            ["a piece", "times", "median", "best", "last ten", "reckoned with"],
            timed.iter().map(row).chain(together),
        );
    }

    fn losses_text(&self, page: &mut Page) {
        if self.losses.is_empty() {
            return;
        }
        page.section(Tone::Strong, "LOST AGAINST THE BEST");
        for loss in &self.losses {
            let share = format!("{:.0} % of all that is lost", loss.share_percent);
            page.under(format!("{}  {} a piece, {share}", in_words(&loss.name), time(loss.lost)));
        }
    }

    fn left_text(&self, page: &mut Page) {
        page.section(Tone::Strong, "LEFT TO DO");
        if self.left_hours <= 0.0 {
            page.under("nothing");
            return;
        }
        let open = match (self.open_days, &self.open_until) {
            (Some(days), Some(until)) => format!(
                "{} of open time, to {} if you did nothing else; waits not counted",
                Count(days, "day"),
                until.moment()
            ),
            _ => "the shop isn't open long enough in the next two years".to_owned(),
        };
        page.item(format!("{} of work: {open}", hours(self.left_hours)));
    }
}

impl PieceLine {
    fn new(times: &Times) -> Option<Self> {
        let paces = times.steps.iter().filter_map(|step| {
            Some(Self { median: step.median?, best: step.best?, last_ten: step.last_ten? })
        });
        paces.reduce(|all, step| Self {
            median: all.median + step.median,
            best: all.best + step.best,
            last_ten: all.last_ten + step.last_ten,
        })
    }
}

/// "6m 10s", "40s", "7.5s".
fn time(seconds: f64) -> String {
    if seconds < 59.95 {
        let text = format!("{seconds:.1}s");
        return text.replace(".0s", "s");
    }
    let whole = seconds.round();
    let minutes = (whole / 60.0).floor();
    let rest = whole - minutes * 60.0;
    if minutes >= 60.0 {
        let hours = (minutes / 60.0).floor();
        return format!("{hours}h {:02}m", minutes - hours * 60.0);
    }
    format!("{minutes}m {rest:02}s")
}

/// "3.4 h", below an hour "25 min".
fn hours(hours: f64) -> String {
    if hours < 1.0 { format!("{:.0} min", hours * 60.0) } else { format!("{hours:.1} h") }
}

impl Report for PaceShown {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, &format!("{}  {}", self.of, self.recipe));
        let timed: Vec<&StepTimes> = self.steps.iter().filter(|step| step.samples > 0).collect();
        if timed.is_empty() {
            page.item(
                "No times yet. Take some: tackfree pace time LOT, or tackfree done LOT --minutes N",
            );
        } else {
            self.times_text(&timed, page);
            self.losses_text(page);
            learning_text(&timed, page);
        }
        self.left_text(page);
        if let Some(target) = &self.target {
            target.text(page);
        }
    }
}

fn learning_text(timed: &[&StepTimes], page: &mut Page) {
    let learning: Vec<_> =
        timed.iter().filter_map(|step| Some((&step.name, step.curve.as_ref()?))).collect();
    if learning.is_empty() {
        return;
    }
    page.section(Tone::Strong, "WITH PRACTICE");
    for (name, curve) in learning {
        let fit = curve
            .fit
            .map_or_else(|| "all times the same".to_owned(), |fit| format!("fit r² {fit:.2}"));
        page.item(format!(
            "{}: twice the pieces, {:.0} % of the time ({fit})",
            in_words(name),
            curve.slope_percent
        ));
    }
}

impl Saving {
    fn text(&self, page: &mut Page) {
        page.gap();
        let what = self.name.as_deref().map_or("all that was timed".to_owned(), in_words);
        page.hang(format!(
            "At {} a piece for {what} (now {}) {} would save {}.",
            time(self.target),
            time(self.now),
            Count(self.pieces, "piece"),
            hours(self.saved_hours)
        ));
    }
}
