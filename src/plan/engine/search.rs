//! The search over orders: a few rules to begin with, then moves accepted by a falling threshold,
//! round after round from the best.

use super::answer::Plan;
use super::critical;
use super::justify::Justify;
use super::known::Known;
use super::machines::Machines;
use super::model::Model;
use super::neighbourhood::{ActivityList, Pressing};
use super::problem::Minute;
use super::profile::FAR;
use super::random::Chance;
use super::rules;
use super::schedule::Schedule;
use super::value::{Aim, DateOf, Values};

/// Rounds into which the effort is divided; each begins with the best plan and a wide threshold.
const ROUNDS: u64 = 8;
/// Rounds that bring nothing before patience ends: a round cut short would have been at its widest (a choice).
const SEEN: u64 = 4;

/// A finished plan, kept.
#[derive(Debug, Clone)]
pub(super) struct Complete {
    pub(super) start: Vec<Minute>,
    pub(super) end: Vec<Minute>,
    pub(super) length: Vec<Minute>,
    pub(super) assigned: Vec<usize>,
    pub(super) missed: Vec<bool>,
    pub(super) values: Values,
}

impl Complete {
    pub(super) fn of(schedule: &Schedule<'_>, values: Values) -> Self {
        Self {
            start: schedule.start.clone(),
            end: schedule.end.clone(),
            length: schedule.length.clone(),
            assigned: schedule.assigned.clone(),
            missed: schedule.missed.clone(),
            values,
        }
    }

    /// The schedule with nothing booked.
    pub(super) fn schedule<'m>(&self, model: &'m Model) -> Schedule<'m> {
        let mut schedule = Schedule::new(model);
        schedule.assigned.clone_from(&self.assigned);
        schedule.missed.clone_from(&self.missed);
        schedule.length.clone_from(&self.length);
        schedule.start.clone_from(&self.start);
        schedule.end.clone_from(&self.end);
        schedule
    }

    pub(super) fn plan(&self, model: &Model) -> Plan {
        self.schedule(model).plan()
    }
}

/// What the search is told.
pub(super) struct Task<'a> {
    pub(super) model: &'a Model,
    pub(super) aim: &'a Aim,
    pub(super) effort: u64,
    pub(super) seed: u64,
    pub(super) patience: Option<u64>,
    /// A plan that the answer must not be worse than.
    pub(super) start: Option<Complete>,
    /// An older plan, which may no longer be possible, as an order to begin with.
    pub(super) hint: Option<&'a Plan>,
    /// A last end that nothing betters.
    pub(super) enough: &'a dyn Fn() -> Minute,
    /// Whether a plan of this worth is known to be as good as can be.
    pub(super) good_enough: &'a dyn Fn(&Values) -> bool,
}

/// What the search found.
pub(super) struct Searched {
    pub(super) best: Option<Complete>,
    pub(super) spent: u64,
    /// An activity that found no place in the last plan that failed.
    pub(super) stuck: Option<usize>,
    /// That activity finds no place even with nothing else to do.
    pub(super) alone: bool,
}

/// Runs the search; `watch` is told the evaluations made and the best worth, and says whether to go on. What is `known` is
/// not looked for again.
pub(super) fn search(
    task: &Task<'_>,
    known: &mut Option<Known>,
    watch: &mut dyn FnMut(u64, Option<&Values>) -> bool,
) -> Searched {
    let mut run = Run {
        schedule: Schedule::knowing(task.model, known.take()),
        justify: Justify::of(task.model),
        chance: Chance::new(task.seed),
        best: task.start.clone(),
        best_order: None,
        spent: 0,
        bettered: (task.start.as_ref().map(|start| start.values), 0),
        stopped: false,
        watch,
        task,
    };
    run.begin();
    run.sequence();
    run.rounds();
    let stuck = if run.best.is_none() {
        run.schedule.placed.iter().position(|&placed| !placed)
    } else {
        None
    };
    let alone =
        stuck.is_some_and(|index| !task.model.components[index].contended && run.hopeless(index));
    let stuck = stuck.and_then(|index| {
        task.model.components[index].acts.iter().copied().find(|&act| !task.model.is_extra(act))
    });
    *known = run.schedule.known.take();
    Searched { best: run.best, spent: run.spent, stuck, alone }
}

struct Run<'a, 'w> {
    task: &'a Task<'a>,
    schedule: Schedule<'a>,
    justify: Option<Justify>,
    chance: Chance,
    best: Option<Complete>,
    /// The best order, with its energy.
    best_order: Option<(i64, ActivityList)>,
    spent: u64,
    /// The last plan that was well better than the one before, and what had been spent when it was found.
    bettered: (Option<Values>, u64),
    stopped: bool,
    watch: &'w mut dyn FnMut(u64, Option<&Values>) -> bool,
}

impl Run<'_, '_> {
    /// The rules' orders, and the order of the plan to start from.
    fn begin(&mut self) {
        let mut orders = rules::orders(self.task.model, self.task.aim);
        if let Some(hint) = self.task.hint {
            let order = ActivityList::of(self.task.model, hint);
            orders.insert(0, order.clone().in_modes(self.task.model, hint));
            orders.insert(0, order);
        }
        let hurried: Vec<_> = if self.task.model.changes.is_empty() {
            Vec::new()
        } else {
            orders.iter().map(|order| order.clone().hurried(self.task.model)).collect()
        };
        for mut order in orders.iter().cloned().chain(hurried) {
            if self.best.is_some() && self.over() {
                break;
            }
            self.trial(&mut order);
            if self.free() {
                self.justified(&mut order);
            }
        }
        if !self.task.model.modes.is_empty() && !self.over() {
            self.move_on(orders);
        }
    }

    /// The same orders with all moved on that may be, but for the jobs that are late by it; left out where nothing is well better
    /// by any of them.
    fn move_on(&mut self, orders: Vec<ActivityList>) {
        let Task { model, aim, .. } = *self.task;
        let before = (self.best.clone(), self.best_order.clone());
        for order in orders {
            let mut order = order.moved_on(model);
            let mut bound = true;
            while bound && !self.over() {
                self.trial(&mut order);
                let [late, _] = aim.late(&self.schedule);
                bound = false;
                for job in late {
                    bound |= order.unbind(model, &aim.jobs[job]);
                }
            }
        }
        let better = |best: &Complete, than: &Complete| aim.well_better(&best.values, &than.values);
        if before.0.as_ref().zip(self.best.as_ref()).is_some_and(|(than, best)| !better(best, than))
        {
            (self.best, self.best_order) = before;
        }
    }

    /// Whether plans are so quickly justified that each of them is; elsewhere only what is better is.
    fn free(&self) -> bool {
        matches!(self.justify, Some(Justify::Free(_)))
    }

    /// On machines alone the sequences are searched in place of the orders.
    fn sequence(&mut self) {
        let task = self.task;
        let dated = task.aim.jobs.iter().any(|job| job.due.is_some());
        let Some(machines) = Machines::of(task.model).filter(|_| !dated && !self.over()) else {
            return;
        };
        let Some(best) = self.best.clone() else {
            return;
        };
        let moves = task.effort - self.spent;
        let (before, watch) = (self.spent, &mut *self.watch);
        let mut values = best.values;
        let (starts, spent) = machines.improve(
            &best.start,
            moves,
            (task.enough)(),
            &mut self.chance,
            &mut |n, longest| {
                values.makespan = longest;
                watch(before + n, Some(&values))
            },
        );
        self.spent += spent;
        let mut order = ActivityList::by(task.model, |act| starts[act]);
        self.trial(&mut order);
        self.spent = task.effort;
    }

    /// Whether a component has no place where nothing else is, so that its least fixed point proves there
    /// is no plan.
    fn hopeless(&mut self, index: usize) -> bool {
        self.schedule.clear();
        let given = (0..self.task.model.components.len())
            .filter(|&other| self.task.model.components[other].given);
        for other in given.filter(|&other| other != index) {
            self.schedule.place(other, &[]);
        }
        for hold in 0..self.task.model.holds.len() {
            self.schedule.stand(hold, -1);
        }
        let waits = self.task.model.components[index].waits_for > 0;
        !waits && !self.schedule.place(index, &[])
    }

    fn rounds(&mut self) {
        let Some((_, first)) = self.best_order.clone() else {
            return;
        };
        if first.len() < 2 {
            return;
        }
        let even = self.task.effort.saturating_sub(self.spent) / ROUNDS;
        let steps = self.task.patience.map_or(even, |patience| even.min(patience / SEEN)).max(1);
        while !self.over() {
            let Some((energy, order)) = self.best_order.clone() else {
                return;
            };
            self.descend(order, energy, steps);
        }
    }

    fn over(&self) -> bool {
        self.stopped
            || self.spent >= self.task.effort
            || self.stale()
            || self.best.as_ref().is_some_and(|best| (self.task.good_enough)(&best.values))
    }

    /// Whether nothing better was found for as long as anyone waits.
    fn stale(&self) -> bool {
        let patience = self.task.patience.filter(|_| self.best.is_some());
        patience.is_some_and(|patience| self.spent > 2 * self.bettered.1 + patience)
    }

    /// One round of `steps` evaluations from an order.
    fn descend(&mut self, mut order: ActivityList, mut energy: i64, steps: u64) {
        let (from, to) = (self.spent, self.spent + steps);
        let widest = self.widest();
        let mut pressing = self.reordered(&mut order);
        while self.spent < to && !self.over() {
            let gone = (self.spent - from).saturating_mul(1024) / steps.max(1);
            let left = 1024 - i64::try_from(gone).unwrap_or(1024).min(1024);
            // The threshold falls with the cube of what is left of the round.
            let threshold = (widest * left / 1024 * left / 1024 * left / 1024).max(64);
            let mut next = order.clone();
            if !next.disturb(&mut self.chance, self.task.model, &self.task.aim.jobs, &pressing) {
                continue;
            }
            let mut found = self.trial(&mut next);
            if self.free() {
                found = self.justified(&mut next);
            } else if found < energy {
                let mut again = next.clone();
                let energy = self.justified(&mut again);
                if energy < found {
                    (next, found) = (again, energy);
                }
            }
            let luck = self.chance.share() * self.chance.share() / 1024 * 4;
            if found <= energy.saturating_add(threshold * luck / 1024) {
                order = next;
                energy = found;
                pressing = self.pressing(&mut order);
            }
        }
    }

    /// A tenth of a part of the best plan's length, in the unit of energy.
    fn widest(&self) -> i64 {
        let Some(best) = &self.best else {
            return 64 * 1024;
        };
        let first = best.start.iter().take(self.task.model.real).min().copied().unwrap_or(0);
        (best.values.makespan - first).max(1) * 64 / 50
    }

    fn reordered(&mut self, order: &mut ActivityList) -> Pressing {
        self.schedule.follow(order);
        self.pressing(order)
    }

    /// The jobs that are late, and the pairs that a resource puts one behind the other on the critical chain; where there are no
    /// hours and holds, the order becomes that of the starts, of which such pairs are neighbours.
    fn pressing(&mut self, order: &mut ActivityList) -> Pressing {
        if self.task.model.calendars.is_empty() && self.task.model.holds.is_empty() {
            let start = &self.schedule.start;
            order.sort_by(|act| start[act]);
        }
        let aim = self.task.aim;
        let last = if aim.demands.is_empty() { FAR } else { aim.values(&self.schedule).makespan };
        let (date, late): (DateOf, _) = match aim.late(&self.schedule) {
            [due, wish] if due.is_empty() => (|job| job.wish, wish),
            [due, _] => (|job| job.due, due),
        };
        Pressing { chain: critical::pairs(&self.schedule, last), late, date }
    }

    /// Builds the plan of an order, keeps it if it is the best, and says its energy.
    fn trial(&mut self, order: &mut ActivityList) -> i64 {
        let unplaced = self.schedule.follow(order);
        self.spent += 1;
        if self.spent % 64 == 1 {
            let best = self.best.as_ref().map(|best| &best.values);
            self.stopped |= !(self.watch)(self.spent, best);
        }
        self.weigh(order, unplaced)
    }

    fn weigh(&mut self, order: &mut ActivityList, unplaced: usize) -> i64 {
        let aim = self.task.aim;
        if unplaced > 0 {
            order.advance(self.task.model, &self.schedule.placed);
            let energy = i64::try_from(unplaced).unwrap_or(i64::MAX >> 41) << 40;
            if self.best_order.as_ref().is_none_or(|(least, _)| energy < *least) {
                self.best_order = Some((energy, order.clone()));
            }
            return energy;
        }
        let mut values = aim.values(&self.schedule);
        let mut energy = aim.energy(&self.schedule, &values, 0);
        if !self.task.model.modes.is_empty() && self.promising(energy) {
            self.schedule.shift_left();
            values = aim.values(&self.schedule);
            energy = aim.energy(&self.schedule, &values, 0);
        }
        let better = |best: &Complete| aim.compare(&values, &best.values).is_lt();
        if self.best.as_ref().is_none_or(better) {
            self.best = Some(Complete::of(&self.schedule, values));
            if self.bettered.0.is_none_or(|before| aim.well_better(&values, &before)) {
                self.bettered = (Some(values), self.spent);
            }
            self.best_order = Some((energy, order.clone()));
        } else if self.best_order.as_ref().is_none_or(|(least, _)| energy < *least) {
            self.best_order = Some((energy, order.clone()));
        }
        energy
    }

    /// Whether a plan of this energy may come out as good as the best one once everything is shifted left: it is no more than
    /// a share of it worse (a choice).
    fn promising(&self, energy: i64) -> bool {
        self.best_order.as_ref().is_none_or(|(best, _)| energy <= best + best / 64)
    }

    /// The plan just built, pushed to its end and back to its beginning.
    fn justified(&mut self, order: &mut ActivityList) -> i64 {
        let Some(justify) = &mut self.justify else {
            return i64::MAX;
        };
        if self.schedule.placed.iter().any(|&placed| !placed) {
            return i64::MAX;
        }
        if let Some(again) = justify.order(&self.schedule, self.task.aim) {
            *order = again;
        }
        self.spent += 1;
        self.trial(order)
    }
}
