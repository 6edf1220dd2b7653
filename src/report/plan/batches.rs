//! A line a batch, what no plan can better, what would help.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::relief::{More, Relief};
use crate::report::Page;
use crate::report::page::Tone;
use crate::report::plan::{InWords, PlanReport};
use crate::shop::count::Count;
use crate::shop::plan::{BatchPlan, BoundBy, LimitedBy, MissedWindow, ShopPlan, StepPlan};
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchLine {
    pub(crate) batch: String,
    /// When its last piece is ready; null where it has no lot and nothing to start.
    pub(crate) ready_at: Option<Stamp>,
    pub(crate) due: Option<String>,
    /// Whole local days past it; negative is early.
    pub(crate) days_late: Option<i64>,
    /// hands, racks, drying, open hours, nothing.
    pub(crate) limited_by: &'static str,
    /// The rack, if it is one.
    pub(crate) limiting_rack: Option<String>,
    /// Pieces still to start.
    pub(crate) to_start: u32,
    #[serde(skip)]
    due_words: String,
}

/// What no plan can better.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BoundLine {
    /// With these lots no plan is ready before.
    pub(crate) ready_at: Stamp,
    /// How far the plan is from that, % of the time from now; null where a promised date binds.
    pub(crate) gap_percent: Option<f64>,
    /// With these lots no plan has fewer piece-days late.
    pub(crate) lateness: i64,
    /// path, hands, rack, nothing.
    pub(crate) because: &'static str,
    /// The lot or the rack.
    pub(crate) of: Option<String>,
}

/// Something that would help.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ReliefLine {
    /// In words.
    pub(crate) what: String,
    /// When the last good piece would be ready.
    pub(crate) ready_at: Stamp,
    /// Days by which it would be ready sooner.
    pub(crate) days_won: i64,
    /// Piece-days late saved.
    pub(crate) piece_days_won: i64,
}

impl BatchLine {
    pub(crate) fn new(batch: &BatchPlan, view: Viewpoint) -> Self {
        let (limited_by, limiting_rack) = match &batch.limited_by {
            LimitedBy::Hands => ("hands", None),
            LimitedBy::Rack(rack) => ("racks", Some(rack.clone())),
            LimitedBy::OpenHours => ("open hours", None),
            LimitedBy::Drying => ("drying", None),
            LimitedBy::Nothing => ("nothing", None),
        };
        let words = |due| crate::time::words::date(due, view.now, view.zone);
        Self {
            batch: batch.batch.clone(),
            ready_at: batch.ready_at.map(|at| view.stamp(at)),
            due: batch.due.map(|due| due.to_string()),
            days_late: batch.days_late,
            limited_by,
            limiting_rack,
            to_start: batch.to_start,
            due_words: batch.due.map_or_else(String::new, words),
        }
    }

    /// "cups Fri 23 Oct, 3 days early"; none where nothing of it is to be done.
    pub(crate) fn in_short(&self) -> Option<String> {
        let late = Some(self.lateness()).filter(|late| !late.is_empty());
        let late = late.map_or_else(String::new, |late| format!(", {late}"));
        Some(format!("{} {}{late}", self.batch, self.ready_at?.date()))
    }

    /// "2 days late", "on the day", "1 day early".
    fn lateness(&self) -> String {
        match self.days_late {
            None => String::new(),
            Some(0) => "on the day".to_owned(),
            Some(days) if days > 0 => format!("{} late", Count(days, "day")),
            Some(days) => format!("{} early", Count(-days, "day")),
        }
    }

    fn limit(&self) -> String {
        match (&self.limiting_rack, self.limited_by) {
            (Some(rack), _) => format!("rack {rack}"),
            (None, limit) => limit.to_owned(),
        }
    }

    pub(crate) fn table(batches: &[Self], page: &mut Page) {
        let row = |line: &Self| {
            vec![
                line.batch.clone(),
                line.ready_at.map_or_else(|| "nothing to do".to_owned(), |at| at.moment()),
                line.due_words.clone(),
                line.lateness(),
                line.limit(),
            ]
        };
        let rows: Vec<Vec<String>> = batches.iter().map(row).collect();
        page.table(&["batch", "ready", "promised", "", "held up by"], &rows);
        let to_start: Vec<String> = batches
            .iter()
            .filter(|line| line.to_start > 0)
            .map(|line| format!("{} of {}", Count(line.to_start, "piece"), line.batch))
            .collect();
        if !to_start.is_empty() {
            page.hanging(
                0,
                2,
                &format!("Still to start, spares included: {}", to_start.join(", ")),
            );
        }
    }
}

impl BoundLine {
    pub(crate) fn new(plan: &ShopPlan, view: Viewpoint) -> Self {
        let (because, of) = match &plan.bound.by {
            BoundBy::Nothing => ("nothing", None),
            BoundBy::Path(lot) => ("path", Some(lot.clone())),
            BoundBy::Hands => ("hands", None),
            BoundBy::Rack(rack) => ("rack", Some(rack.clone())),
        };
        let hundredths = |gap: f64| (gap * 100.0).round() / 100.0;
        Self {
            ready_at: view.stamp(plan.bound.ready_at),
            gap_percent: plan.bound.gap_percent.map(hundredths),
            lateness: plan.bound.lateness,
            because,
            of,
        }
    }

    fn reason(&self) -> String {
        let of = self.of.as_deref().unwrap_or_default();
        match self.because {
            "path" => {
                format!(": the steps and rests of {of}, one after the other, take until then")
            }
            "hands" => ": the hands there are have work and waits until then".to_owned(),
            "rack" => format!(": lots have to follow each other over {of}"),
            _ => String::new(),
        }
    }

    /// The bound in a sentence or two.
    pub(super) fn text(&self, plan: &PlanReport, page: &mut Page) {
        if self.because == "nothing" {
            let spares = "All that was ordered is done; what is left to do are spares.";
            page.line(0, if plan.steps.is_empty() { "Nothing to do." } else { spares });
            return;
        }
        let bound = self.ready_at.moment();
        match self.gap_percent {
            Some(gap) if gap <= 0.0 => page.hanging(
                0,
                2,
                &format!("Nothing gets these lots ready sooner{}.", self.reason()),
            ),
            Some(gap) => page.hanging(
                0,
                2,
                &format!(
                    "Nothing gets these lots ready before {bound}{}. This plan is within {gap:.2} % of that.",
                    self.reason()
                ),
            ),
            None if plan.lateness > 0 => {
                let least = match self.lateness {
                    0 => "Whether these lots could all be on time is not proved",
                    least if least == plan.lateness => "With these lots the days late can't be bettered",
                    _ => "With these lots some of it is late whatever the plan",
                };
                let ready = plan.ready_at.moment();
                page.hanging(0, 2, &format!("{least}. The last piece is ready {ready}."));
            }
            None => page.hanging(0, 2, &format!("The last piece is ready {}.", plan.ready_at.moment())),
        }
    }
}

impl InWords<MissedWindow<Stamp>> {
    /// The step that comes too late is planned too, and has its words from there.
    pub(crate) fn late(
        missed: &MissedWindow,
        steps: &[InWords<StepPlan<Stamp>>],
        view: Viewpoint,
    ) -> Self {
        let step = |step: &&InWords<StepPlan<Stamp>>| {
            step.plan.lot == missed.lot && step.plan.step == missed.step
        };
        let step = steps.iter().find(step);
        Self {
            plan: missed.seen(view),
            coat: step.and_then(|step| step.coat),
            words: step.map_or_else(|| missed.name.clone(), |step| step.words.clone()),
        }
    }

    /// All of them, before anything else.
    pub(crate) fn all(missed: &[Self], page: &mut Page) {
        if missed.is_empty() {
            return;
        }
        page.heading(Tone::Late, "NO PLAN KEEPS THESE WINDOWS");
        for line in missed {
            let text = if line.plan.coat {
                format!(
                    "{}  {}: abrade the film first, {} to {}",
                    line.plan.lot,
                    line.words,
                    line.plan.abrade_from.moment(),
                    line.plan.abrade_until.moment()
                )
            } else {
                format!(
                    "{}  {}: later than the recipe's rest allows, {}",
                    line.plan.lot,
                    line.words,
                    line.plan.abrade_until.moment()
                )
            };
            page.hanging(2, 6, &text);
        }
        page.gap();
    }
}

impl ReliefLine {
    pub(crate) fn new(relief: &Relief, view: Viewpoint) -> Self {
        let what = match relief.more {
            More::Rack { slots, cures: false } => {
                format!("one more drying rack of {}", Count(slots, "slot"))
            }
            More::Rack { slots, cures: true } => {
                format!("one more curing rack of {}", Count(slots, "slot"))
            }
            More::Saturday => "one more hour on Saturdays".to_owned(),
            More::Hand => "one more hand".to_owned(),
        };
        Self {
            what,
            ready_at: view.stamp(relief.plan.ready_at),
            days_won: relief.days,
            piece_days_won: relief.lateness,
        }
    }

    pub(crate) fn all(reliefs: &[Self], page: &mut Page) {
        if reliefs.is_empty() {
            return;
        }
        page.gap();
        page.heading(Tone::Strong, "What would help");
        for line in reliefs {
            let mut won = Vec::new();
            if line.piece_days_won > 0 {
                won.push("fewer pieces late, or by fewer days".to_owned());
            }
            if line.days_won > 0 {
                won.push(format!(
                    "the last piece ready {} sooner, {}",
                    Count(line.days_won, "day"),
                    line.ready_at.moment()
                ));
            }
            page.hanging(2, 6, &format!("{}: {}", line.what, won.join("; ")));
        }
    }
}
