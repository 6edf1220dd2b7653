//! Problems made up from a number, small ones of every kind, and ways to change a problem.

use tackfree::plan::engine::{
    Activity, Hold, Job, Lag, Of, OpenHours, Problem, Resource, Since, Soft, Until,
};

/// Numbers that look like chance (the multiplier is Knuth's), independent of the engine's.
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(2_862_933_555_777_941_757).wrapping_add(3_037_000_493))
    }

    /// A whole number from `least` to `most`.
    pub(super) fn roll(&mut self, least: i64, most: i64) -> i64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        least + i64::try_from(self.0 >> 33).unwrap() % (most - least + 1)
    }

    pub(super) fn place(&mut self, count: usize) -> usize {
        usize::try_from(self.roll(0, i64::try_from(count).unwrap() - 1)).unwrap()
    }

    pub(super) fn chance(&mut self, in_ten: i64) -> bool {
        self.roll(0, 9) < in_ten
    }
}

pub(super) fn activity(duration: i64, needs: &[(usize, i64)]) -> Activity {
    Activity {
        name: String::new(),
        duration,
        calendar: None,
        pausable: true,
        needs: needs.to_vec(),
        earliest: None,
        latest: None,
        modal: None,
    }
}

pub(super) fn resource(capacity: i64) -> Resource {
    Resource { name: String::new(), capacity }
}

pub(super) fn wait(before: usize, after: usize, min: i64) -> Lag {
    Lag { before: Some(before), after, min: Some(min), ..Lag::default() }
}

/// A tiny problem with a little of everything; the last minute is small enough to try every start.
pub(super) fn tiny(seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let count = usize::try_from(dice.roll(2, 4)).unwrap();
    let hours = dice.chance(5);
    let mut problem = Problem {
        format: 1,
        now: Some(0),
        horizon: Some(15),
        resources: vec![resource(dice.roll(1, 2)), resource(dice.roll(1, 3)), resource(2)],
        ..Problem::default()
    };
    if hours {
        let first = dice.roll(3, 5);
        problem.calendars = vec![OpenHours {
            name: String::new(),
            open: vec![(0, first), (first + 2, 12), (13, 15)],
        }];
    }
    for _ in 0..count {
        let mut made = activity(dice.roll(1, 4), &[]);
        if dice.chance(7) {
            made.needs.push((0, 1));
        }
        if hours && dice.chance(7) {
            made.calendar = Some(0);
            made.pausable = dice.chance(5);
        }
        if dice.chance(2) {
            made.earliest = Some(dice.roll(0, 3));
        }
        if dice.chance(1) {
            made.latest = Some(dice.roll(3, 9));
        }
        problem.activities.push(made);
    }
    for after in 1..count {
        tiny_waits(&mut dice, &mut problem, after);
    }
    if dice.chance(5) {
        let since = dice.place(count);
        let until = since + dice.place(count - since);
        let since = if dice.chance(8) { Since::Start(since) } else { Since::At(0) };
        let any_of = if dice.chance(5) { vec![1] } else { vec![1, 2] };
        let until = Until { end: until, plus: dice.roll(0, 2) };
        problem.holds.push(Hold { units: dice.roll(1, 2), any_of, since, until, follows: None });
        if dice.chance(5) {
            let last = dice.place(count);
            let until = Until { end: last, plus: 0 };
            problem.holds.push(Hold {
                units: 1,
                any_of: vec![1, 2],
                since: Since::Start(last),
                until,
                follows: None,
            });
        }
    }
    let all: Vec<usize> = (0..count).collect();
    let (first, second) = all.split_at(1 + dice.place(count - 1));
    for activities in [first, second] {
        let due = dice.chance(5).then(|| dice.roll(2, 10));
        let weight = Some(dice.roll(1, 3));
        problem.jobs.push(Job {
            name: String::new(),
            activities: activities.to_vec(),
            due,
            wish: None,
            promised: None,
            weight,
        });
    }
    problem
}

fn tiny_waits(dice: &mut Dice, problem: &mut Problem, after: usize) {
    if dice.chance(7) {
        let before = dice.place(after);
        let min = dice.roll(0, 3);
        let of = if dice.chance(3) { Of::Start } else { Of::End };
        problem.lags.push(Lag { of, ..wait(before, after, min) });
        if dice.chance(4) {
            let soft = dice.chance(5).then(|| Soft { extra: dice.roll(1, 2) });
            let max = Some(min + dice.roll(0, 4));
            problem.lags.push(Lag { before: Some(before), after, of, max, soft, ..Lag::default() });
        }
    }
}

/// The problem with its activities, resources and jobs in another order and under other names.
pub(super) fn reordered(problem: &Problem) -> Problem {
    let mut dice = Dice::new(99);
    let acts = shuffled(&mut dice, problem.activities.len());
    let resources = shuffled(&mut dice, problem.resources.len());
    let mut turned = problem.clone();
    for (from, &to) in acts.iter().enumerate() {
        turned.activities[to] = problem.activities[from].clone();
        turned.activities[to].name = format!("another name {to}");
        for need in &mut turned.activities[to].needs {
            need.0 = resources[need.0];
        }
    }
    for (from, &to) in resources.iter().enumerate() {
        turned.resources[to] = problem.resources[from].clone();
    }
    for lag in &mut turned.lags {
        lag.before = lag.before.map(|before| acts[before]);
        lag.after = acts[lag.after];
    }
    for hold in &mut turned.holds {
        hold.any_of.iter_mut().for_each(|resource| *resource = resources[*resource]);
        if let Since::Start(act) = hold.since {
            hold.since = Since::Start(acts[act]);
        }
        hold.until.end = acts[hold.until.end];
    }
    for job in &mut turned.jobs {
        job.activities.iter_mut().for_each(|act| *act = acts[*act]);
    }
    turned.lags.reverse();
    turned
}

fn shuffled(dice: &mut Dice, count: usize) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    for k in (1..count).rev() {
        places.swap(k, dice.place(k + 1));
    }
    places
}

/// The problem with every minute later by `by`.
pub(super) fn shifted(problem: &Problem, by: i64) -> Problem {
    let mut later = problem.clone();
    let shift = |minute: &mut Option<i64>| *minute = minute.map(|minute| minute + by);
    later.now = Some(problem.now.unwrap_or(0) + by);
    shift(&mut later.horizon);
    for stretch in later.calendars.iter_mut().flat_map(|calendar| &mut calendar.open) {
        *stretch = (stretch.0 + by, stretch.1 + by);
    }
    for activity in &mut later.activities {
        shift(&mut activity.earliest);
        shift(&mut activity.latest);
    }
    later.lags.iter_mut().for_each(|lag| shift(&mut lag.at));
    later.jobs.iter_mut().for_each(|job| shift(&mut job.due));
    for hold in &mut later.holds {
        if let Since::At(at) = hold.since {
            hold.since = Since::At(at + by);
        }
    }
    later
}
