//! The day sheet: the day's steps with clock times, what is carried, what waits, what to lay out.

use chrono::NaiveDate;
use serde::Serialize;

use crate::plan::carry_off::{CarryOff, carried_off};
use crate::plan::drift::Drift;
use crate::report::due::DueItem;
use crate::report::kit::{KitShown, Task};
use crate::report::ledger::Kept;
use crate::report::page::Tone;
use crate::report::plan::{InWords, no_plan};
use crate::report::rags::{self, OpenRags};
use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::name::LotName;
use crate::shop::plan::{ShopPlan, StepPlan};
use crate::time::{Instant, Span, first_instant_of, local_date};
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, Serialize)]
pub struct Today {
    /// The moment it is made at.
    pub now: Stamp,
    /// The day it is for.
    pub date: String,
    /// When the shop is open that day.
    pub open: Vec<OpenLine>,
    /// Whether it follows a kept plan.
    pub kept: bool,
    /// The day's steps in order.
    pub steps: Vec<DayStep>,
    /// What is carried to a curing rack.
    pub carries: Vec<CarryLine>,
    /// What has to be carried off a rack, so that others find their slots there.
    pub carries_off: Vec<CarryOff>,
    /// Lots that never get through their rests in the rooms as they are taken to be, and so are in no plan.
    pub unfit: Vec<String>,
    /// What waits all day, and until when.
    pub waits: Vec<DueItem>,
    /// What to lay out; null where nothing is needed.
    pub kit: Option<KitShown>,
    /// Rags not yet dealt with.
    pub rags: Vec<OpenRags>,
    /// What moved since the plan was kept.
    pub drift: Option<Drift>,
    /// Whether planning was cut short: it follows the best plan so far.
    pub cut_short: bool,
    /// When the history was last checked and backed up, where it ever was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub history: Option<Kept>,
    #[serde(skip)]
    words: String,
}

/// Open from when until when.
#[derive(Debug, Clone, Serialize)]
pub struct OpenLine {
    pub from: Stamp,
    pub until: Stamp,
}

/// One step of the day.
#[derive(Debug, Clone, Serialize)]
pub struct DayStep {
    #[serde(flatten)]
    pub step: InWords<StepPlan<Stamp>>,
    /// The last start that day with which a coat is wiped before closing, or any step keeps the dates; null where it may
    /// wait for another day.
    pub last_safe_start: Option<Stamp>,
}

/// A lot to carry.
#[derive(Debug, Clone, Serialize)]
pub struct CarryLine {
    pub lot: String,
    pub pieces: u32,
    pub rack: String,
    /// No sooner.
    pub from: Stamp,
}

impl Today {
    /// The sheet of a day.
    pub fn new(
        shop: &Shop,
        plan: &ShopPlan,
        drift: Option<&Drift>,
        day: NaiveDate,
        view: Viewpoint,
    ) -> Self {
        let first = first_instant_of(day, view.zone);
        let next = first_instant_of(day.succ_opt().unwrap_or(day), view.zone);
        let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
        let open = hours.map_or_else(Vec::new, |hours| hours.stretches(view.zone, first, next));
        let of_day = |step: &&StepPlan| step.start < next && step.end > first;
        let steps: Vec<&StepPlan> = plan.steps.iter().filter(of_day).collect();
        let carries = plan.stays.iter().filter(|stay| {
            let moves = plan.stays.iter().any(|before| {
                before.lot == stay.lot && before.until == stay.from && before.rack != stay.rack
            });
            stay.cures && moves && local_date(stay.from, view.zone) == day
        });
        let mut carries_off = carried_off(shop, plan, view);
        carries_off.retain(|off| off.by.day() == day);
        let busy = |lot: &LotName| steps.iter().any(|step| step.lot == lot.to_string());
        let items = shop.due(view.now).into_iter().filter(|item| !busy(&item.lot));
        Self {
            now: view.stamp(view.now),
            date: day.to_string(),
            open: open
                .iter()
                .map(|(from, until)| OpenLine {
                    from: view.stamp(*from),
                    until: view.stamp(*until),
                })
                .collect(),
            kept: drift.is_some(),
            steps: steps.iter().map(|step| DayStep::new(shop, step, &open, next, view)).collect(),
            carries: carries
                .map(|stay| CarryLine {
                    lot: stay.lot.clone(),
                    pieces: stay.pieces,
                    rack: stay.rack.clone(),
                    from: view.stamp(stay.from),
                })
                .collect(),
            carries_off,
            unfit: plan.unfit.clone(),
            waits: items.map(|item| DueItem::new(&item, view)).collect(),
            kit: kit(shop, &steps, view),
            rags: OpenRags::all(shop, view),
            drift: drift.cloned().filter(|drift| drift.dates_moved() || !drift.why.is_empty()),
            cut_short: false,
            history: None,
            words: crate::time::words::date(day, view.now, view.zone),
        }
    }
}

impl DayStep {
    fn new(
        shop: &Shop,
        step: &StepPlan,
        open: &[(Instant, Instant)],
        next: Instant,
        view: Viewpoint,
    ) -> Self {
        let latest = Some(step.latest_start).filter(|latest| *latest < next);
        let last = if step.kind == "coat" && !step.begun {
            let length = Span::between(step.start, step.end);
            let fits = |(from, until): &(Instant, Instant)| {
                let last = length.before(*until);
                (last >= *from).then_some(last)
            };
            let closing = open.iter().rev().find_map(fits);
            [latest, closing].into_iter().flatten().min()
        } else {
            latest
        };
        Self {
            step: InWords::new(shop, step, view),
            last_safe_start: last.map(|last| view.stamp(last)),
        }
    }

    fn last(&self) -> String {
        match self.last_safe_start {
            _ if self.step.plan.begun => "goes on".to_owned(),
            Some(last) if last.at() <= self.step.plan.start.at() => "no later".to_owned(),
            Some(last) => format!("start by {}", last.clock()),
            None => "may wait".to_owned(),
        }
    }
}

/// What the day's steps need.
fn kit(shop: &Shop, steps: &[&StepPlan], view: Viewpoint) -> Option<KitShown> {
    let task = |step: &&StepPlan| {
        Some(Task {
            lot: step.lot.parse().ok(),
            recipe: shop.recipe_planned(step)?,
            step: step.step,
            pieces: step.pieces,
        })
    };
    let tasks: Vec<Task<'_>> = steps.iter().filter_map(task).collect();
    let kit = KitShown::new(shop, &tasks, view).ok()?;
    (!kit.strips.is_empty() || !kit.oil.is_empty()).then_some(kit)
}

impl Report for Today {
    fn text(&self, page: &mut Page) {
        let hours: Vec<String> = self
            .open
            .iter()
            .map(|open| format!("{}-{}", open.from.clock(), open.until.clock()))
            .collect();
        let open = if hours.is_empty() {
            "closed".to_owned()
        } else {
            format!("open {}", hours.join(", "))
        };
        page.heading(Tone::Strong, &format!("{}, {open}", self.words));
        if !self.kept {
            page.line(
                0,
                "No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep",
            );
        }
        if self.cut_short {
            page.line(0, "Cut short: the best plan so far.");
        }
        if let Some(drift) = self.drift.as_ref().filter(|drift| drift.dates_moved()) {
            page.gap();
            page.heading(Tone::Late, "DATES HAVE MOVED");
            drift.dates(page);
        }
        page.gap();
        if self.steps.is_empty() {
            page.line(0, "Nothing for hands.");
        }
        for step in &self.steps {
            let left = format!("{:<11}  {}", step.step.clock(), step.step.what());
            page.pair(0, &left, &step.last());
        }
        for off in &self.carries_off {
            let (by, pieces) = (off.by.clock(), Count(off.pieces, "piece"));
            let left = format!("by {by}     {}  move {pieces} off {}", off.lot, off.rack);
            page.pair(0, &left, &format!("for {}", off.makes_room_for));
        }
        for carry in &self.carries {
            let pieces = Count(carry.pieces, "piece");
            page.pair(
                0,
                &format!(
                    "from {}   {}  move {pieces} to {}",
                    carry.from.clock(),
                    carry.lot,
                    carry.rack
                ),
                "any hour",
            );
        }
        no_plan::left_out(&self.unfit, page);
        if !self.waits.is_empty() {
            page.gap();
            page.heading(Tone::Strong, "Waits");
            for item in &self.waits {
                page.hanging(2, 6, &format!("{}  {}: {}", item.lot, item.words, item.when()));
            }
        }
        if let Some(kit) = &self.kit {
            page.gap();
            page.heading(Tone::Strong, "To lay out");
            kit.text(page);
        }
        rags::remind(&self.rags, page);
        if let Some(history) = &self.history {
            page.gap();
            history.text(page);
        }
    }
}
