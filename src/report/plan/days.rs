//! The coming steps by day, with clock times.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Tone};
use crate::shop::plan::StepPlan;
use crate::shop::setup::recipe::CoatNumber;
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint};

/// What a plan says of a step, with which coat it is and the words a person is told.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct InWords<P> {
    #[serde(flatten)]
    pub plan: P,
    #[serde(flatten)]
    pub(crate) coat: Option<CoatNumber>,
    #[serde(skip)]
    pub(crate) words: String,
}

impl InWords<StepPlan<Stamp>> {
    pub(crate) fn new(shop: &Shop, step: &StepPlan, view: Viewpoint) -> Self {
        let recipe = shop.recipe_planned(step).filter(|_| step.kind == "coat");
        Self {
            plan: step.seen(view),
            coat: recipe.and_then(|recipe| recipe.coat_number(step.step)),
            words: shop.planned_words(step),
        }
    }

    /// The lot, what is done, and on how many pieces where: "36 on drip-1".
    pub(crate) fn what(&self) -> [String; 3] {
        let pieces = match &self.plan.rack {
            Some(rack) => format!("{} on {rack}", self.plan.pieces),
            None => Count(self.plan.pieces, "piece").to_string(),
        };
        let begun = if self.plan.begun { " (begun)" } else { "" };
        [self.plan.lot.clone(), format!("{}{begun}", self.words), pieces]
    }

    /// "08:30-12:12"; the end's day too where it is another.
    pub(crate) fn clock(&self) -> String {
        // Rounded up: what begins at the minute shown is not refused in it.
        let start = self.plan.start.minute_up();
        if start.day() == self.plan.end.day() {
            format!("{}-{}", start.clock(), self.plan.end.clock())
        } else {
            format!("{}-{} {}", start.clock(), self.plan.end.weekday(), self.plan.end.clock())
        }
    }

    /// "no later than Tue 14:10", where there is any room.
    pub(crate) fn latest(&self) -> String {
        if self.plan.begun {
            return "goes on now".to_owned();
        }
        if self.plan.latest_start.at() <= self.plan.start.at() {
            return "no slack".to_owned();
        }
        if self.plan.latest_start.day() == self.plan.start.day() {
            return format!("start by {}", self.plan.latest_start.clock());
        }
        format!("start by {}", self.plan.latest_start.moment())
    }

    /// The steps of the first days on which there are any.
    pub(super) fn by_day(steps: &[Self], days: u32, page: &mut Page) {
        let days = usize::try_from(days).unwrap_or(usize::MAX);
        let by_day = || steps.chunk_by(|a, b| a.plan.start.day() == b.plan.start.day());
        let rows: Vec<[String; 5]> = by_day().take(days).flatten().map(Self::row).collect();
        let columns = page.columns(2, &rows);
        let mut rows = rows.iter();
        for day in by_day().take(days) {
            page.heading(
                Tone::Strong,
                &day.first().map_or_else(String::new, |step| step.plan.start.date()),
            );
            for row in rows.by_ref().take(day.len()) {
                page.row(Tone::Plain, 2, columns, row);
            }
        }
        let later: usize = by_day().skip(days).map(<[Self]>::len).sum();
        if later > 0 {
            let later = Count(later as u64, "more step");
            page.say(format!("… {later}: tackfree plan --days 60"));
        }
    }

    fn row(&self) -> [String; 5] {
        let [lot, words, pieces] = self.what();
        [self.clock(), lot, words, pieces, self.latest()]
    }
}
