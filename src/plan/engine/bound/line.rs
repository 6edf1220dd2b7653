//! The points of a way that jobs alike share, and the rules that raise their order statistics.
//!
//! A job may count as several copies that move together: pieces in place of lots. However jobs of many sizes follow each
//! other, the i-th copy to take room waits for the (i − c)-th to give it back, c being the most copies that fit at once.

mod labour;
mod rooms;

use std::collections::BTreeMap;

use super::super::model::{Arc, Model};
use super::super::problem::Minute;
use super::path::Paths;

/// Rounds after which the rise is given up; what it has reached by then is a bound all the same.
const MOST_ROUNDS: usize = 400;

/// The way of a job or the end of it, and as how many copies it counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way<'a> {
    /// The activities that are looked at.
    pub(super) acts: &'a [usize],
    pub(super) whole: &'a [usize],
    pub(super) copies: usize,
}

impl Way<'_> {
    /// Its activity at a step, where the longest way has `most` steps: ways match from the last one back.
    fn at(&self, step: usize, most: usize) -> Option<usize> {
        (step + self.acts.len()).checked_sub(most).map(|k| self.acts[k])
    }
}

/// One step of the way, with the jobs that have it.
pub(super) struct Step {
    /// The activity of each job that has the step.
    acts: Vec<usize>,
    /// The least and the greatest length.
    length: Minute,
    longest: Minute,
    /// The i-th smallest start and end, over the copies of all jobs.
    start: Vec<Minute>,
    pub(super) end: Vec<Minute>,
    /// Whether any of them was raised since hours and lengths were looked at.
    raised: bool,
}

/// Where an activity stands: at which step of which way.
#[derive(Debug, Clone, Copy)]
struct Point {
    step: usize,
    way: usize,
}

/// An arc that all jobs with both its steps keep: `to`'s point no earlier than `from`'s plus `gap`.
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) arc: Arc,
}

/// A kind of resource taken between two points, where `most` copies fit at once.
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
pub(super) struct Line<'a> {
    model: &'a Model,
    paths: &'a Paths<'a>,
    ways: &'a [Way<'a>],
    pub(super) steps: Vec<Step>,
    /// Where each activity stands.
    points: BTreeMap<usize, Point>,
    links: Vec<Link>,
    pub(super) rooms: Vec<Room>,
}

impl<'a> Line<'a> {
    pub(super) fn new(model: &'a Model, paths: &'a Paths<'a>, ways: &'a [Way<'a>]) -> Self {
        let most = ways.iter().map(|way| way.acts.len()).max().unwrap_or(0);
        let steps: Vec<Step> = (0..most)
            .map(|step| {
                let there =
                    || ways.iter().filter_map(|way| Some((way.at(step, most)?, way.copies)));
                let sorted = |of: &[Minute]| {
                    let mut minutes: Vec<Minute> = there()
                        .flat_map(|(act, copies)| std::iter::repeat_n(of[act], copies))
                        .collect();
                    minutes.sort_unstable();
                    minutes
                };
                let lengths = || there().map(|(act, _)| model.acts[act].length);
                let length = lengths().min().unwrap_or(0);
                let longest = lengths().max().unwrap_or(0);
                let acts = there().map(|(act, _)| act).collect();
                let (start, end) = (sorted(&paths.start), sorted(&paths.end));
                Step { acts, length, longest, start, end, raised: true }
            })
            .collect();
        let mut points = BTreeMap::new();
        for (k, way) in ways.iter().enumerate() {
            for (place, &act) in way.acts.iter().enumerate() {
                points.insert(act, Point { step: most - way.acts.len() + place, way: k });
            }
        }
        let mut line =
            Self { model, paths, ways, steps, points, links: Vec::new(), rooms: Vec::new() };
        line.link();
        line.hands();
        line.assignments();
        line.labour();
        line
    }

    /// The arcs between steps of a job, with the least gap.
    fn link(&mut self) {
        let mut links: Vec<Link> = Vec::new();
        for (&act, &Point { step: from, way }) in &self.points {
            for arc in &self.paths.out[act] {
                let Some(&Point { step: to, .. }) =
                    self.points.get(&arc.to).filter(|point| point.way == way)
                else {
                    continue;
                };
                let same = links.iter_mut().find(|link| {
                    let ends = (link.arc.from_end, link.arc.to_end) == (arc.from_end, arc.to_end);
                    link.from == from && link.to == to && ends
                });
                match same {
                    Some(link) => link.arc.gap = link.arc.gap.min(arc.gap),
                    None => links.push(Link { from, to, arc: *arc }),
                }
            }
        }
        self.links = links;
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
            if !std::mem::take(&mut step.raised) {
                continue;
            }
            let act = step.acts[0];
            let mut before = (Minute::MIN, Minute::MIN);
            for (start, end) in step.start.iter_mut().zip(&mut step.end) {
                if *start > before.0 || *end > before.1 {
                    let back = self.model.start_for_end(act, *end, step.longest);
                    let least = (*start).max(before.0).max(back);
                    let place = match self.model.acts[act].modal {
                        // Others of the step may take less time; what each takes at least is known.
                        Some(_) => Some((least, least + step.length)),
                        None => self.model.first(act, least, step.length),
                    };
                    let Some((first, until)) = place else { continue };
                    before = (first.max(*start), until.max(*end).max(before.1));
                }
                raised |= (*start, *end) != before;
                (*start, *end) = before;
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
        step.raised |= raised;
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
        self.steps[from].raised |= raised;
        raised
    }
}
