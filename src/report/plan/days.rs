//! The coming steps by day, with clock times.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::report::page::Tone;
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::plan::StepPlan;
use crate::shop::setup::recipe::CoatNumber;
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

    /// "salt-1  coat house oil, 36 pieces on drip-1".
    pub(crate) fn what(&self) -> String {
        let pieces = Count(self.plan.pieces, "piece");
        let rack = self.plan.rack.as_ref().map_or_else(String::new, |rack| format!(" on {rack}"));
        let begun = if self.plan.begun { " (begun)" } else { "" };
        format!("{}  {}{begun}, {pieces}{rack}", self.plan.lot, self.words)
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
        let mut shown = 0;
        let mut day = None;
        for step in steps {
            if day != Some(step.plan.start.day()) {
                if shown == days {
                    break;
                }
                if shown > 0 {
                    page.gap();
                }
                shown += 1;
                day = Some(step.plan.start.day());
                page.heading(Tone::Strong, &step.plan.start.date());
            }
            page.pair(2, &format!("{:<11}  {}", step.clock(), step.what()), &step.latest());
        }
        let later =
            steps.iter().filter(|step| day.is_some_and(|day| step.plan.start.day() > day)).count();
        if later > 0 {
            page.line(
                2,
                &format!(
                    "and {} on later days: tackfree plan --days 60",
                    Count(later as u64, "step")
                ),
            );
        }
    }
}
