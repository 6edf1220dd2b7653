//! The points of a way that jobs alike share, and the rules that raise their order statistics.

use super::super::model::{Arc, Edge, Held, Model};
use super::super::problem::Minute;
use super::super::value::Aim;
use super::path::Paths;
use super::work::load;

/// Rounds after which the rise is given up; what it has reached by then is a bound all the same.
const MOST_ROUNDS: usize = 400;
/// Room for holds of no units.
const FAR_MORE: i64 = 1 << 30;

/// One step of the way, with the jobs that have it.
pub(super) struct Step {
    /// The activity of each job that has the step.
    pub(super) acts: Vec<usize>,
    /// The least and the greatest length.
    pub(super) length: Minute,
    pub(super) longest: Minute,
    /// The i-th smallest start and end.
    pub(super) start: Vec<Minute>,
    pub(super) end: Vec<Minute>,
}

/// An arc that all jobs with both its steps keep: `to`'s point no earlier than `from`'s plus `gap`.
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) arc: Arc,
}

/// A kind of resource taken between two points, of which `most` fit at once.
pub(super) struct Room {
    pub(super) from: usize,
    pub(super) lead: Minute,
    pub(super) to: usize,
    pub(super) plus: Minute,
    pub(super) most: usize,
    pub(super) resource: usize,
    /// Minutes by which it has kept jobs waiting.
    pub(super) waited: Minute,
}

/// The steps of the jobs, what links them, and where room is short.
pub(super) struct Line<'m> {
    model: &'m Model,
    pub(super) steps: Vec<Step>,
    links: Vec<Link>,
    pub(super) rooms: Vec<Room>,
}

impl<'m> Line<'m> {
    pub(super) fn new(model: &'m Model, aim: &Aim, paths: &Paths<'_>, jobs: &[usize]) -> Self {
        let ways: Vec<&[usize]> = jobs.iter().map(|&job| &aim.jobs[job].acts[..]).collect();
        let most = ways.iter().map(|way| way.len()).max().unwrap_or(0);
        let at = |way: &[usize], step: usize| (step + way.len()).checked_sub(most).map(|k| way[k]);
        let steps: Vec<Step> = (0..most)
            .map(|step| {
                let acts: Vec<usize> = ways.iter().filter_map(|way| at(way, step)).collect();
                let sorted = |of: &[Minute]| {
                    let mut minutes: Vec<Minute> = acts.iter().map(|&act| of[act]).collect();
                    minutes.sort_unstable();
                    minutes
                };
                let lengths = || acts.iter().map(|&act| model.acts[act].length);
                let length = lengths().min().unwrap_or(0);
                let longest = lengths().max().unwrap_or(0);
                Step { length, longest, start: sorted(&paths.start), end: sorted(&paths.end), acts }
            })
            .collect();
        let mut line = Self { model, steps, links: Vec::new(), rooms: Vec::new() };
        line.link(paths, &ways, most);
        line.hands();
        line.spots();
        line.labour(&ways, most);
        line
    }

    /// The step an activity of the jobs belongs to.
    fn step_of(&self, act: usize) -> Option<usize> {
        self.steps.iter().position(|step| step.acts.contains(&act))
    }

    /// The arcs between steps of a job, with the least gap.
    fn link(&mut self, paths: &Paths<'_>, ways: &[&[usize]], most: usize) {
        let mut links: Vec<Link> = Vec::new();
        for way in ways {
            let skipped = most - way.len();
            for (k, &act) in way.iter().enumerate() {
                for arc in &paths.out[act] {
                    let Some(to) = way.iter().position(|&other| other == arc.to) else {
                        continue;
                    };
                    let (from, to) = (k + skipped, to + skipped);
                    let same = links.iter_mut().find(|link| {
                        let ends =
                            (link.arc.from_end, link.arc.to_end) == (arc.from_end, arc.to_end);
                        link.from == from && link.to == to && ends
                    });
                    match same {
                        Some(link) => link.arc.gap = link.arc.gap.min(arc.gap),
                        None => links.push(Link { from, to, arc: *arc }),
                    }
                }
            }
        }
        self.links = links;
    }

    /// A step takes hands: only so many can be at it at once.
    fn hands(&mut self) {
        for (index, step) in self.steps.iter().enumerate() {
            let Some(&first) = step.acts.first() else {
                continue;
            };
            for &(resource, _) in &self.model.acts[first].needs {
                let units = |&act: &usize| {
                    let needs = self.model.acts[act].needs.iter();
                    needs.filter(|&&(r, _)| r == resource).map(|&(_, units)| units).sum::<i64>()
                };
                let least = step.acts.iter().map(units).min().unwrap_or(0).max(1);
                let room = usize::try_from(self.model.capacity[resource] / least)
                    .unwrap_or(usize::MAX)
                    .max(1);
                let (from, to) = (index, index);
                if step.length > 0 {
                    self.rooms.push(Room {
                        from,
                        lead: 0,
                        to,
                        plus: 0,
                        most: room,
                        resource,
                        waited: 0,
                    });
                }
            }
        }
    }

    /// Holds between the same steps: as many at once as the spots take of the smallest.
    fn spots(&mut self) {
        let mut kinds: Vec<(usize, usize, Vec<usize>)> = Vec::new();
        for (index, hold) in self.model.holds.iter().enumerate() {
            let Edge::Point(last, _) = hold.to else {
                continue;
            };
            let Some(to) = self.step_of(last) else {
                continue;
            };
            let from = match hold.from {
                Edge::Point(first, _) => self.step_of(first),
                Edge::At(_) => None,
            };
            // One that is there already belongs with those that end at the same step.
            let from = from.unwrap_or(usize::MAX);
            match kinds.iter_mut().find(|kind| kind.0 == from && kind.1 == to) {
                Some(kind) => kind.2.push(index),
                None => kinds.push((from, to, vec![index])),
            }
        }
        let there: Vec<(usize, Vec<usize>)> = kinds
            .iter()
            .filter(|kind| kind.0 == usize::MAX)
            .map(|kind| (kind.1, kind.2.clone()))
            .collect();
        for (from, to, held) in kinds.into_iter().filter(|kind| kind.0 != usize::MAX) {
            let first = self.steps[from].start[0];
            let already: Vec<usize> = there
                .iter()
                .filter(|kind| kind.0 == to)
                .flat_map(|kind| kind.1.iter().copied())
                .filter(|&hold| matches!(self.model.holds[hold].from, Edge::At(at) if at <= first))
                .collect();
            let all: Vec<usize> = held.iter().chain(&already).copied().collect();
            // Every job that has the steps has to hold, once, or the i-th are not the same.
            if self.once(&held, |hold| hold.from, from) && self.once(&all, |hold| hold.to, to) {
                self.room(from, to, &held, &all);
            }
        }
    }

    /// Whether each job that has the step has one of the holds there.
    fn once(&self, holds: &[usize], edge: impl Fn(&Held) -> Edge, step: usize) -> bool {
        let mut acts: Vec<usize> = holds
            .iter()
            .filter_map(|&hold| match edge(&self.model.holds[hold]) {
                Edge::Point(act, _) => Some(act),
                Edge::At(_) => None,
            })
            .collect();
        acts.sort_unstable();
        let mut all = self.steps[step].acts.clone();
        all.sort_unstable();
        acts == all
    }

    fn room(&mut self, from: usize, to: usize, held: &[usize], all: &[usize]) {
        let holds = &self.model.holds;
        let mut spots: Vec<usize> = all.iter().flat_map(|&h| holds[h].any_of.clone()).collect();
        spots.sort_unstable();
        spots.dedup();
        let fit = |&spot: &usize| {
            let units =
                all.iter().filter(|&&h| holds[h].any_of.contains(&spot)).map(|&h| holds[h].units);
            units
                .min()
                .map_or(0, |least| self.model.capacity[spot].checked_div(least).unwrap_or(FAR_MORE))
        };
        let by_spot = usize::try_from(spots.iter().map(fit).sum::<i64>()).unwrap_or(usize::MAX);
        // Nor more than the smallest that all spots together have units for.
        let total: i64 = spots.iter().map(|&spot| self.model.capacity[spot]).sum();
        let mut units: Vec<i64> = all.iter().map(|&hold| holds[hold].units).collect();
        units.sort_unstable();
        let sums = units.iter().scan(0_i64, |sum, &units| {
            *sum += units;
            Some(*sum)
        });
        let room = by_spot.min(sums.take_while(|&sum| sum <= total).count()).max(1);
        let lead =
            held.iter().map(|&h| if let Edge::Point(_, lead) = holds[h].from { lead } else { 0 });
        let plus =
            all.iter().map(|&h| if let Edge::Point(_, plus) = holds[h].to { plus } else { 0 });
        let (lead, plus) = (lead.min().unwrap_or(0), plus.min().unwrap_or(0));
        let resource = spots.first().copied().unwrap_or(0);
        self.rooms.push(Room { from, lead, to, plus, most: room, resource, waited: 0 });
    }

    /// Before the i-th start of a step i jobs have all their work up to it behind them.
    fn labour(&mut self, ways: &[&[usize]], most: usize) {
        for step in 0..most {
            let before = self.steps_before(step);
            for resource in 0..self.model.capacity.len() {
                self.labour_before(ways, most, resource, step, &before);
            }
        }
    }

    /// The steps that have ended when a step starts.
    fn steps_before(&self, step: usize) -> Vec<usize> {
        let mut before = vec![step];
        let mut looked = 0;
        while let Some(&at) = before.get(looked) {
            looked += 1;
            for Link { from, to, arc } in &self.links {
                let ended = arc.from_end && !arc.to_end && arc.gap >= 0;
                if *to == at && ended && !before.contains(from) {
                    before.push(*from);
                }
            }
        }
        before.split_off(1)
    }

    fn labour_before(
        &mut self,
        ways: &[&[usize]],
        most: usize,
        resource: usize,
        step: usize,
        steps: &[usize],
    ) {
        let model = self.model;
        let capacity = model.capacity[resource].max(1);
        let at = |way: &[usize], step: usize| (step + way.len()).checked_sub(most).map(|k| way[k]);
        let before: Vec<Vec<usize>> = ways
            .iter()
            .filter(|way| at(way, step).is_some())
            .map(|way| steps.iter().filter_map(|&earlier| at(way, earlier)).collect())
            .collect();
        let acts =
            || before.iter().flatten().copied().filter(|&act| load(model, act, resource) > 0);
        let Some(first) = acts().next() else { return };
        let calendar = model.acts[first].calendar;
        if acts().any(|act| model.acts[act].calendar != calendar) {
            return;
        }
        let earliest = acts().map(|act| model.acts[act].floor).min().unwrap_or(0);
        let mut loads: Vec<i64> = before
            .iter()
            .map(|way| way.iter().map(|&act| load(model, act, resource)).sum())
            .collect();
        loads.sort_unstable();
        let mut work = 0_i64;
        for (i, load) in loads.into_iter().enumerate() {
            work = work.saturating_add(load);
            let minutes = work / capacity + i64::from(work % capacity > 0);
            let done = match calendar {
                Some(calendar) => {
                    let hours = &model.calendars[calendar];
                    hours.closing(hours.open_before(earliest) + minutes)
                }
                None => Some(earliest + minutes),
            };
            if let Some(done) = done.filter(|_| work > 0) {
                let start = &mut self.steps[step].start[i];
                *start = (*start).max(done);
            }
        }
    }

    /// Raises every X until all rules hold.
    pub(super) fn rise(&mut self) {
        for _ in 0..MOST_ROUNDS {
            let mut raised = self.settle_steps();
            for k in 0..self.links.len() {
                raised |= self.follow(k);
            }
            for k in 0..self.rooms.len() {
                raised |= self.wait_for_room(k);
            }
            if !raised {
                break;
            }
        }
    }

    /// Hours, lengths, and the order of the i-th.
    fn settle_steps(&mut self) -> bool {
        let mut raised = false;
        for step in &mut self.steps {
            let act = step.acts[0];
            let mut before = (Minute::MIN, Minute::MIN);
            for i in 0..step.start.len() {
                let back = self.model.start_for_end(act, step.end[i], step.longest);
                let least = step.start[i].max(before.0).max(back);
                let Some((start, end)) = self.model.first(act, least, step.length) else {
                    continue;
                };
                let end = end.max(step.end[i]).max(before.1);
                raised |= start > step.start[i] || end > step.end[i];
                before = (start.max(step.start[i]), end);
                (step.start[i], step.end[i]) = before;
            }
        }
        raised
    }

    fn follow(&mut self, k: usize) -> bool {
        let Link { from, to, arc } = &self.links[k];
        let (from, to) = (&self.steps[*from], &self.steps[*to]);
        let (n, m) = (from.start.len(), to.start.len());
        // Where more have `to`, the last ones match; where fewer do, the first ones.
        let skip = m.saturating_sub(n);
        let points = if arc.from_end { &from.end } else { &from.start };
        let mut wanted = Vec::new();
        for (i, &point) in points.iter().enumerate().take(m.min(n)) {
            let target = if arc.to_end { to.end[i + skip] } else { to.start[i + skip] };
            if point + arc.gap > target {
                wanted.push((i + skip, point + arc.gap));
            }
        }
        let (index, to_end) = (self.links[k].to, arc.to_end);
        let step = &mut self.steps[index];
        let raised = !wanted.is_empty();
        for (i, minute) in wanted {
            if to_end {
                step.end[i] = minute;
            } else {
                step.start[i] = minute;
            }
        }
        raised
    }

    fn wait_for_room(&mut self, k: usize) -> bool {
        let Room { from, lead, to, plus, most, .. } = self.rooms[k];
        let (n, m) = (self.steps[from].start.len(), self.steps[to].end.len());
        // Those that hold already were first.
        let there = m.saturating_sub(n);
        let mut raised = false;
        for i in 0..n {
            let Some(left) = (i + there).checked_sub(most) else {
                continue;
            };
            let free = self.steps[to].end[left] + plus + lead;
            let start = &mut self.steps[from].start[i];
            if free > *start {
                self.rooms[k].waited += free - *start;
                *start = free;
                raised = true;
            }
        }
        raised
    }
}
