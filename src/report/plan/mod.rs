//! A plan, as it is shown: missed windows, batches, the bound, what would help, the coming days, racks and hands.

mod batches;
mod days;
mod drift;
mod grabbed;
mod moves;
pub(crate) mod no_plan;
mod oil;
mod timeline;

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::carry_off::{CarryOff, carried_off};
use crate::plan::drift::Drift;
use crate::plan::oil::{RunsOut, run_out};
use crate::plan::relief::Relief;
use crate::report::rooms::RoomTaken;
use crate::report::{Page, Report, Tone};
use crate::shop::Shop;
use crate::shop::plan::{MissedWindow, MovePlan, ShopPlan, StayPlan, StepPlan, WaitPlan};
use crate::time::{Stamp, Viewpoint};

pub(crate) use batches::{BatchLine, BoundLine};
pub(crate) use days::InWords;
pub(crate) use grabbed::GrabbedLine;
pub(crate) use moves::NotPlannedLine;
use timeline::Timeline;

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct PlanReport {
    /// The moment it is made for.
    pub(crate) now: Stamp,
    pub(crate) batches: Vec<BatchLine>,
    /// Every step still to come, in order of time.
    pub(crate) steps: Vec<InWords<StepPlan<Stamp>>>,
    /// Where pieces stand from when until when; on a curing rack until the sheet's cure time is reached.
    pub(crate) stays: Vec<StayPlan<Stamp>>,
    /// Lots to carry to another rack, in order of time.
    pub(crate) moves: Vec<MovePlan<Stamp>>,
    /// Lots that can't get through their rests, and so are in no plan.
    pub(crate) not_planned: Vec<NotPlannedLine>,
    /// What has to be moved off a rack, so that others find their slots there.
    pub(crate) carries_off: Vec<CarryOff>,
    /// How many recoat windows no plan keeps.
    pub(crate) windows_missed: usize,
    /// Which, and the abrading each costs.
    pub(crate) missed: Vec<InWords<MissedWindow<Stamp>>>,
    /// When the last good piece is ready.
    pub(crate) ready_at: Stamp,
    /// What no plan can better.
    pub(crate) bound: BoundLine,
    /// Piece-days late.
    pub(crate) lateness: i64,
    /// Piece-minutes between the end of a wait, where it is soonest over, and the start it allows; and by which cures take longer.
    pub(crate) idle: i64,
    /// The waits each finish is expected to ask for, minutes.
    pub(crate) waits: Vec<WaitPlan>,
    /// Lots that wait for a decision, and so are in no plan.
    pub(crate) held: Vec<String>,
    /// Lots that still grabbed when last touched: their steps, or their shipping, wait for a touch test that passes.
    pub(crate) grabbed: Vec<GrabbedLine>,
    /// What each room is taken to be.
    pub(crate) rooms: Vec<RoomTaken>,
    /// Finishes that run out: the coats planned take more than the cans hold.
    pub(crate) oil_runs_out: Vec<RunsOut>,
    /// What would help, the best first.
    pub(crate) would_help: Vec<Relief>,
    /// What moved since a plan was kept.
    pub(crate) drift: Option<Drift>,
    /// The entry under which it is kept, if it was.
    pub(crate) kept: Option<i64>,
    /// Whether it was cut short: the best plan so far.
    pub(crate) cut_short: bool,
    /// Plans looked at.
    pub(crate) evaluations: u64,
    pub(crate) seed: u64,
    /// How long it took.
    pub(crate) seconds: f64,
    #[serde(skip)]
    timeline: Timeline,
    #[serde(skip)]
    days: u32,
}

impl PlanReport {
    /// Without what would help, what moved since a plan was kept, and how it was made; `days` are shown step by step.
    pub(crate) fn new(shop: &Shop, plan: &ShopPlan, days: u32, view: Viewpoint) -> Self {
        let steps: Vec<_> = plan.steps.iter().map(|step| InWords::new(shop, step, view)).collect();
        let missed: Vec<_> =
            plan.missed.iter().map(|missed| InWords::late(missed, &steps, view)).collect();
        Self {
            now: view.stamp(plan.now),
            rooms: RoomTaken::all(shop, view),
            batches: BatchLine::of(plan, shop, view),
            steps,
            stays: plan.stays.iter().map(|stay| stay.seen(view)).collect(),
            moves: plan.moves.iter().map(|planned| planned.seen(view)).collect(),
            not_planned: NotPlannedLine::all(plan),
            carries_off: carried_off(shop, plan, view),
            windows_missed: plan.missed.iter().filter(|missed| missed.coat).count(),
            missed,
            ready_at: view.stamp(plan.ready_at),
            bound: BoundLine::new(plan, view),
            lateness: plan.lateness,
            idle: plan.idle,
            waits: plan.waits.clone(),
            held: plan.held.clone(),
            oil_runs_out: run_out(shop, plan, view),
            grabbed: GrabbedLine::all(shop, view),
            would_help: Vec::new(),
            drift: None,
            kept: None,
            cut_short: false,
            evaluations: plan.evaluations,
            seed: plan.seed,
            seconds: 0.0,
            timeline: Timeline::new(shop, plan),
            days,
        }
    }
}

impl Report for PlanReport {
    fn text(&self, page: &mut Page) {
        InWords::all(&self.missed, page);
        page.heading(Tone::Strong, &format!("Plan from {}", self.now.in_full()));
        RoomTaken::text(&self.rooms, page);
        if self.cut_short {
            page.say("Cut short: the best plan so far.");
        }
        page.gap();
        if self.batches.is_empty() {
            page.say("Nothing to plan: no batch is open. Open one: tackfree batch open NAME --recipe … --pieces N");
            return;
        }
        BatchLine::all(&self.batches, page);
        if !self.held.is_empty() {
            page.hang(format!("Not planned, as they are held: {}", self.held.join(", ")));
        }
        NotPlannedLine::text(&self.not_planned, page);
        GrabbedLine::text(&self.grabbed, page);
        RunsOut::text(&self.oil_runs_out, page);
        page.gap();
        self.bound.text(self, page);
        if let Some(drift) = &self.drift {
            drift.text(page);
        }
        if !self.moves.is_empty() || !self.carries_off.is_empty() {
            page.section(Tone::Strong, "To hold it");
            MovePlan::text(&self.moves, page);
            CarryOff::text(&self.carries_off, page);
        }
        Relief::all(&self.would_help, page);
        if !self.steps.is_empty() {
            if self.days > 0 {
                page.gap();
                InWords::by_day(&self.steps, self.days, page);
            }
            page.section(Tone::Strong, "Racks and hands");
            self.timeline.text(page);
        }
        page.gap();
        match self.kept {
            Some(entry) => {
                page.say(format!("Kept as entry {entry}: today and reminders follow it."));
            }
            None => {
                page.say("Follow it: tackfree plan --keep");
            }
        }
    }
}
