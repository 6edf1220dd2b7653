//! Tiny problems against every start there is.

use serde_json::to_value;
use tackfree::plan::engine::{Failure, Problem, Since, Values, solve};

use super::checker::broken;
use super::{made, settings};

/// Misses, lateness, last end.
type Worth = (i64, i64, i64);
/// Lateness and last end, each on its own.
type Least = (i64, i64);

/// A complete way to do a tiny problem, tried minute by minute.
struct Every<'p> {
    problem: &'p Problem,
    horizon: i64,
    missed: u32,
    starts: Vec<i64>,
    ends: Vec<i64>,
    best: Option<Worth>,
    /// The least lateness and the least last end, each on its own.
    least: Least,
}

impl Every<'_> {
    /// The least (misses, lateness, last end) over all plans.
    ///
    /// With it the least lateness and the least last end among plans that miss as few.
    fn best(problem: &Problem) -> Option<(Worth, Least)> {
        let soft = problem.lags.iter().filter(|lag| lag.soft.is_some()).count();
        let mut best: Option<(Worth, Least)> = None;
        for missed in 0..1_u32 << soft {
            let mut every = Every {
                problem,
                horizon: problem.horizon.unwrap(),
                missed,
                starts: Vec::new(),
                ends: Vec::new(),
                best: None,
                least: (i64::MAX, i64::MAX),
            };
            every.from(0);
            let Some(found) = every.best else { continue };
            best = Some(match best {
                Some((before, _)) if found.0 < before.0 => (found, every.least),
                Some((before, least)) if found.0 == before.0 => {
                    let least = (least.0.min(every.least.0), least.1.min(every.least.1));
                    (before.min(found), least)
                }
                Some(before) => before,
                None => (found, every.least),
            });
        }
        best
    }

    fn open(&self, act: usize, minute: i64) -> bool {
        self.problem.activities[act].calendar.is_none_or(|calendar| {
            self.problem.calendars[calendar]
                .open
                .iter()
                .any(|&(from, to)| from <= minute && minute < to)
        })
    }

    /// The end of `length` minutes of an activity from a start, if its hours allow it.
    fn end(&self, act: usize, start: i64, length: i64, pausable: bool) -> Option<i64> {
        let (mut minute, mut left) = (start, length);
        while left > 0 {
            if minute >= self.horizon {
                return None;
            }
            if self.open(act, minute) {
                left -= 1;
            } else if !pausable || minute == start {
                return None;
            }
            minute += 1;
        }
        Some(minute)
    }

    fn from(&mut self, act: usize) {
        if act == self.problem.activities.len() {
            self.judge();
            return;
        }
        let activity = &self.problem.activities[act];
        let first = activity.earliest.unwrap_or(0).max(0);
        let last = activity.latest.unwrap_or(self.horizon).min(self.horizon);
        for start in first..=last {
            if let Some(end) = self.end(act, start, activity.duration, activity.pausable) {
                self.starts.push(start);
                self.ends.push(end);
                if self.waits_kept(act) {
                    self.from(act + 1);
                }
                self.starts.pop();
                self.ends.pop();
            }
        }
    }

    fn missed(&self, lag: usize) -> bool {
        let before = self.problem.lags[..lag].iter().filter(|lag| lag.soft.is_some()).count();
        self.problem.lags[lag].soft.is_some() && self.missed >> before & 1 == 1
    }

    fn point(&self, lag: usize) -> i64 {
        let lag = &self.problem.lags[lag];
        let before = lag.before.unwrap();
        if lag.of == tackfree::plan::engine::Of::Start {
            self.starts[before]
        } else {
            self.ends[before]
        }
    }

    /// The waits into `act`, all of whose predecessors come before it.
    fn waits_kept(&self, act: usize) -> bool {
        (0..self.problem.lags.len()).filter(|&k| self.problem.lags[k].after == act).all(|k| {
            let (lag, start) = (&self.problem.lags[k], self.starts[act]);
            let early = lag.min.is_some_and(|min| start < self.point(k) + min);
            let late = lag.max.is_some_and(|max| start > self.point(k) + max);
            !early && (!late || self.missed(k))
        })
    }

    /// The extras of the missed lags, each straight before its activity; `None` where one has no room.
    fn extras(&self) -> Option<Vec<(usize, i64, i64)>> {
        let mut extras = Vec::new();
        let mut edge = self.starts.clone();
        for k in (0..self.problem.lags.len()).rev().filter(|&k| self.missed(k)) {
            let lag = &self.problem.lags[k];
            let (act, length) = (lag.after, lag.soft?.extra);
            let mut start = edge[act];
            let mut left = length;
            while left > 0 {
                start -= 1;
                if start < 0 {
                    return None;
                }
                left -= i64::from(self.open(act, start));
            }
            let early = (0..self.problem.lags.len())
                .filter(|&other| self.problem.lags[other].after == act)
                .any(|other| {
                    self.problem.lags[other].min.is_some_and(|min| start < self.point(other) + min)
                });
            if early || start < self.problem.activities[act].earliest.unwrap_or(0) {
                return None;
            }
            extras.push((act, start, self.end(act, start, length, true)?));
            edge[act] = start;
        }
        Some(extras)
    }

    fn judge(&mut self) {
        let Some(extras) = self.extras() else { return };
        let mut taken: Vec<(usize, i64, i64, i64)> = Vec::new();
        for (act, activity) in self.problem.activities.iter().enumerate() {
            for &(resource, units) in &activity.needs {
                taken.push((resource, self.starts[act], self.ends[act], units));
            }
        }
        for &(act, start, end) in &extras {
            for &(resource, units) in &self.problem.activities[act].needs {
                taken.push((resource, start, end, units));
            }
        }
        if !self.holds_fit(0, &mut taken) {
            return;
        }
        let misses = i64::try_from(extras.len()).unwrap();
        let late = |end: i64, due: i64| if end < due { 0 } else { (end - due) / 1440 + 1 };
        let lateness = self.problem.jobs.iter().filter_map(|job| {
            let end = job.activities.iter().map(|&act| self.ends[act]).max()?;
            job.due.map(|due| job.weight.unwrap_or(1) * late(end, due))
        });
        let found = (misses, lateness.sum(), self.ends.iter().copied().max().unwrap());
        self.best = Some(self.best.map_or(found, |best| best.min(found)));
        self.least = (self.least.0.min(found.1), self.least.1.min(found.2));
    }

    fn holds_fit(&self, hold: usize, taken: &mut Vec<(usize, i64, i64, i64)>) -> bool {
        let Some(stay) = self.problem.holds.get(hold) else {
            return self.fits(taken);
        };
        let from = match stay.since {
            Since::Start(act) => self.starts[act],
            Since::At(at) => at,
        };
        let to = self.ends[stay.until.end] + stay.until.plus;
        let large = |resource: &&usize| self.problem.resources[**resource].capacity >= stay.units;
        stay.any_of.iter().filter(large).any(|&resource| {
            taken.push((resource, from, to, stay.units));
            let fits = self.holds_fit(hold + 1, taken);
            taken.pop();
            fits
        })
    }

    fn fits(&self, taken: &[(usize, i64, i64, i64)]) -> bool {
        (0..self.horizon + 4).all(|minute| {
            self.problem.resources.iter().enumerate().all(|(resource, entry)| {
                let now = taken.iter().filter(|t| t.0 == resource && t.1 <= minute && minute < t.2);
                now.map(|t| t.3).sum::<i64>() <= entry.capacity
            })
        })
    }
}

fn compared(values: &Values) -> (i64, i64, i64) {
    (values.violations, values.tardiness, values.makespan)
}

/// No plan is better than the best of all, none is found where there is none, and nearly always the best
/// of all is found (placing a tied group at its earliest place can pass it by).
#[test]
fn tiny_problems_are_done_as_well_as_can_be() {
    let (mut feasible, mut reached, mut refused) = (0, 0, 0);
    for seed in 0..400 {
        let problem = made::tiny(seed);
        let best = Every::best(&problem);
        match (solve(&problem, &settings(300, seed), &mut |_| true), best) {
            (Ok(answer), best) => {
                let wrong = broken(&to_value(&problem).unwrap(), &to_value(&answer).unwrap());
                assert!(wrong.is_empty(), "seed {seed}: {wrong:?}\n{problem:?}\n{answer:?}");
                let Some((best, least)) = best else {
                    panic!("seed {seed}: a plan where there is none")
                };
                assert!(compared(&answer.values) >= best, "seed {seed}: better than the best");
                if answer.values.violations == best.0 {
                    let bound = &answer.bound;
                    assert!(bound.tardiness <= least.0, "seed {seed}: {bound:?} above {least:?}");
                    assert!(bound.makespan <= least.1, "seed {seed}: {bound:?} above {least:?}");
                }
                feasible += 1;
                reached += i32::from(compared(&answer.values) == best);
                if compared(&answer.values) != best {
                    println!("seed {seed}: {:?} for {best:?}", compared(&answer.values));
                }
            }
            (Err(Failure::Refused(why)), Some((best, _))) => {
                assert!(!why.is_proved(), "seed {seed}: refused ({why}) though {best:?} exists");
                println!("seed {seed}: not found, {best:?}");
                feasible += 1;
            }
            (Err(Failure::Refused(_)), None) => refused += 1,
            (Err(failure), _) => panic!("seed {seed}: {failure}"),
        }
    }
    assert!(feasible > 200 && refused > 20, "{feasible} feasible, {refused} not: too one-sided");
    assert!(reached * 100 >= feasible * 97, "{reached} of {feasible}");
}
