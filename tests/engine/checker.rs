//! Looks an answer through against its problem, from the two JSON documents alone.
//!
//! Shares no code with the engine: one sweep a resource, one look a lag, hours counted stretch by
//! stretch. Everything wrong is named; an empty list is a pass.

use std::collections::BTreeMap;

use serde_json::Value;

/// One thing taken: resource, from, to, units.
type Taken = (usize, i64, i64, i64);

/// Names every rule of `problem` that the plan in `answer` breaks.
pub(super) fn broken(problem: &Value, answer: &Value) -> Vec<String> {
    let starts = numbers(&answer["starts"]);
    let ends = numbers(&answer["ends"]);
    let misses: Vec<(usize, i64, i64)> = list(&answer["misses"])
        .iter()
        .map(|miss| (place(&miss["lag"]), number(&miss["start"]), number(&miss["end"])))
        .collect();
    let chosen = numbers(&answer["holds"]);
    let mut check = Check { problem, starts, ends, misses, chosen, wrong: Vec::new() };
    if check.starts.len() != list(&problem["activities"]).len()
        || check.ends.len() != check.starts.len()
    {
        return vec!["not a start and an end for each activity".to_owned()];
    }
    check.activities();
    check.lags();
    check.extras();
    check.resources(&answer["holds"]);
    check.values(&answer["values"]);
    let (values, bound) = (&answer["values"], &answer["bound"]);
    for what in ["makespan", "lateness"] {
        if bound[what].as_i64().is_some_and(|bound| bound > number(&values[what])) {
            check.wrong.push(format!("the bound on the {what} is above the plan"));
        }
    }
    check.latest(answer);
    check.wrong
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn number(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("a whole number was expected, not {value}"))
}

fn place(value: &Value) -> usize {
    usize::try_from(number(value)).unwrap()
}

/// The place a value names, if it names one.
fn named(value: &Value) -> Option<usize> {
    value.as_u64().map(|place| usize::try_from(place).unwrap())
}

fn numbers(value: &Value) -> Vec<i64> {
    list(value).iter().map(number).collect()
}

struct Check<'v> {
    problem: &'v Value,
    starts: Vec<i64>,
    ends: Vec<i64>,
    misses: Vec<(usize, i64, i64)>,
    /// The resource of each hold.
    chosen: Vec<i64>,
    wrong: Vec<String>,
}

impl<'v> Check<'v> {
    fn activity(&self, index: usize) -> &'v Value {
        &self.problem["activities"][index]
    }

    fn now(&self) -> i64 {
        self.problem["now"].as_i64().unwrap_or(0)
    }

    /// The open stretches an activity keeps to, if it keeps to any.
    fn hours(&self, activity: usize) -> Option<Vec<(i64, i64)>> {
        let calendar = self.activity(activity)["calendar"].as_u64()?;
        let open = list(&self.problem["calendars"][usize::try_from(calendar).unwrap()]["open"]);
        Some(open.iter().map(|stretch| (number(&stretch[0]), number(&stretch[1]))).collect())
    }

    /// Open minutes between two minutes.
    fn open_between(hours: &[(i64, i64)], from: i64, to: i64) -> i64 {
        hours.iter().map(|&(open, close)| (close.min(to) - open.max(from)).max(0)).sum()
    }

    fn activities(&mut self) {
        for index in 0..self.starts.len() {
            let activity = self.activity(index);
            let (start, end) = (self.starts[index], self.ends[index]);
            let latest = activity["latest"].as_i64();
            let begun = latest.is_some_and(|latest| latest < self.now());
            let early = start < activity["earliest"].as_i64().unwrap_or(i64::MIN);
            if (start < self.now() && !begun)
                || early
                || latest.is_some_and(|latest| start > latest)
            {
                self.wrong.push(format!("activity {index} starts at {start}, out of its time"));
            }
            if self.problem["horizon"].as_i64().is_some_and(|horizon| end > horizon) {
                self.wrong.push(format!("activity {index} ends at {end}, after the horizon"));
            }
            if !activity["modal"].is_null() {
                self.modal_length(index);
                continue;
            }
            if self.stays_put(index) {
                continue;
            }
            let pausable = activity["pausable"].as_bool().unwrap_or(true);
            self.in_hours(
                &format!("activity {index}"),
                index,
                pausable,
                (start, end),
                number(&activity["duration"]),
            );
        }
    }

    /// Whether the activity is a transfer from a resource to the same.
    fn stays_put(&self, index: usize) -> bool {
        let holds = list(&self.problem["holds"]);
        holds.iter().zip(&self.chosen).any(|(hold, resource)| {
            let begins = hold["since"]["start"].as_u64() == Some(index as u64);
            let before = named(&hold["follows"]).map(|before| self.chosen[before]);
            begins && before == Some(*resource)
        })
    }

    /// Billionths of a minute that a minute counts for on a hold's resource.
    fn rate(&self, modal: &Value, hold: usize, minute: i64) -> i64 {
        let named = list(&modal["rates"]).iter().find(|rate| rate[0] == self.chosen[hold]);
        named.map_or(0, |rate| self.counts(rate, minute))
    }

    /// Billionths of a minute that a minute counts for at a rate of a resource.
    fn counts(&self, rate: &Value, minute: i64) -> i64 {
        let steps = list(&self.problem["rates"][place(&rate[1])]["steps"]);
        let step = steps.iter().rev().find(|step| number(&step[0]) <= minute).unwrap_or(&steps[0]);
        number(&step[1])
    }

    /// The first minute at which so much has been counted from a minute on, on whichever resource counts fastest.
    fn soonest(&self, modal: &Value, from: i64, amount: i64) -> i64 {
        let rates = list(&modal["rates"]);
        let (mut left, mut minute) = (amount, from);
        while left > 0 {
            left -= rates.iter().map(|rate| self.counts(rate, minute)).max().unwrap();
            minute += 1;
        }
        minute
    }

    /// It lasts until the first minute at which it has counted enough on the resources of its holds.
    fn modal_length(&mut self, index: usize) {
        let activity = self.activity(index);
        let modal = &activity["modal"];
        let passed = modal["passed"].as_i64().unwrap_or(0);
        let mut left = number(&activity["duration"]) * 1_000_000_000 - passed;
        let mut minute = self.starts[index];
        while left > 0 && minute < self.ends[index] {
            let mut holds = list(&modal["holds"]).iter().map(place);
            let last = holds.clone().next_back().unwrap();
            let on = holds.find(|hold| {
                let until = place(&self.problem["holds"][*hold]["until"]["end"]);
                *hold == last || minute < self.ends[until]
            });
            left -= self.rate(modal, on.unwrap(), minute);
            minute += 1;
        }
        if left > 0 || minute != self.ends[index] {
            self.wrong.push(format!("activity {index} does not end when it has counted enough"));
        }
    }

    /// What a lag has counted between two minutes, in billionths.
    fn counted(&self, lag: &Value, from: i64, to: i64) -> i64 {
        match named(&lag["modal"]["holds"][0]) {
            None => (to - from).saturating_mul(1_000_000_000),
            Some(hold) => (from..to).map(|minute| self.rate(&lag["modal"], hold, minute)).sum(),
        }
    }

    fn in_hours(
        &mut self,
        name: &str,
        index: usize,
        pausable: bool,
        (start, end): (i64, i64),
        length: i64,
    ) {
        let fits = match self.hours(index) {
            None => end - start == length,
            Some(hours) if length == 0 => {
                end == start && hours.iter().any(|&(open, close)| open <= start && start < close)
            }
            Some(hours) => {
                let inside = |minute: i64| {
                    hours.iter().any(|&(open, close)| open <= minute && minute < close)
                };
                let whole = hours.iter().any(|&(open, close)| open <= start && end <= close);
                Self::open_between(&hours, start, end) == length
                    && inside(start)
                    && inside(end - 1)
                    && (pausable || whole)
            }
        };
        if !fits {
            self.wrong
                .push(format!("{name} from {start} to {end} is not {length} minutes in its hours"));
        }
    }

    /// The point a lag is counted from.
    fn point(&self, lag: &Value) -> i64 {
        match lag["before"].as_u64() {
            None => number(&lag["at"]),
            Some(before) => {
                let before = usize::try_from(before).unwrap();
                if lag["of"] == "start" { self.starts[before] } else { self.ends[before] }
            }
        }
    }

    fn lags(&mut self) {
        for (index, lag) in list(&self.problem["lags"]).iter().enumerate() {
            let start = self.starts[place(&lag["after"])];
            let point = self.point(lag);
            let counted = self.counted(lag, point, start);
            if lag["min"].as_i64().is_some_and(|min| counted < min * 1_000_000_000) {
                self.wrong.push(format!("lag {index}: started too early"));
            }
            let missed = self.misses.iter().any(|miss| miss.0 == index);
            if missed && lag["soft"].is_null() {
                self.wrong.push(format!("lag {index} is missed and not soft"));
            }
            if !missed && lag["max"].as_i64().is_some_and(|max| counted > max * 1_000_000_000) {
                self.wrong.push(format!("lag {index}: started too late"));
            }
        }
    }

    /// Extras have their length in the hours of the late activity, lie after all it waits for, and leave
    /// no open minute before it but for other extras.
    fn extras(&mut self) {
        for (index, start, end) in self.misses.clone() {
            let lag = &self.problem["lags"][index];
            let after = place(&lag["after"]);
            let length = number(&lag["soft"]["extra"]);
            self.in_hours(&format!("the extra of lag {index}"), after, true, (start, end), length);
            let late = self.starts[after];
            let others: i64 = self
                .misses
                .iter()
                .filter(|other| {
                    other.0 != index && place(&self.problem["lags"][other.0]["after"]) == after
                })
                .filter(|other| other.1 >= end)
                .map(|other| number(&self.problem["lags"][other.0]["soft"]["extra"]))
                .sum();
            let gap = match self.hours(after) {
                Some(hours) => Self::open_between(&hours, end, late),
                None => late - end,
            };
            if end > late || gap != others {
                self.wrong.push(format!(
                    "the extra of lag {index} does not lie straight before activity {after}"
                ));
            }
            let begun =
                self.activity(after)["latest"].as_i64().is_some_and(|latest| latest < self.now());
            if start < self.now() && !begun {
                self.wrong.push(format!("the extra of lag {index} starts before now"));
            }
            for waits in
                list(&self.problem["lags"]).iter().filter(|other| place(&other["after"]) == after)
            {
                if waits["min"].as_i64().is_some_and(|min| start < self.point(waits) + min) {
                    self.wrong.push(format!("the extra of lag {index} starts too early"));
                }
            }
        }
    }

    fn resources(&mut self, chosen: &Value) {
        let mut taken: Vec<Taken> = Vec::new();
        for index in 0..self.starts.len() {
            for need in list(&self.activity(index)["needs"]) {
                taken.push((
                    place(&need[0]),
                    self.starts[index],
                    self.ends[index],
                    number(&need[1]),
                ));
            }
        }
        for &(lag, start, end) in &self.misses {
            let after = place(&self.problem["lags"][lag]["after"]);
            for need in list(&self.activity(after)["needs"]) {
                taken.push((place(&need[0]), start, end, number(&need[1])));
            }
        }
        let chosen = numbers(chosen);
        let holds = list(&self.problem["holds"]);
        if chosen.len() != holds.len() {
            self.wrong.push("not a resource for each hold".to_owned());
            return;
        }
        for (index, (hold, &resource)) in holds.iter().zip(&chosen).enumerate() {
            let kept = named(&hold["follows"]).map(|before| chosen[before]);
            if !numbers(&hold["any_of"]).contains(&resource) && kept != Some(resource) {
                self.wrong.push(format!(
                    "hold {index} is on {resource}, which is not among its resources"
                ));
            }
            let from = match hold["since"]["at"].as_i64() {
                Some(at) => at,
                None => self.starts[place(&hold["since"]["start"])],
            };
            let to = self.ends[place(&hold["until"]["end"])]
                + hold["until"]["plus"].as_i64().unwrap_or(0);
            taken.push((usize::try_from(resource).unwrap(), from, to, number(&hold["units"])));
        }
        self.sweep(&taken);
    }

    fn sweep(&mut self, taken: &[Taken]) {
        for (resource, entry) in list(&self.problem["resources"]).iter().enumerate() {
            let mut changes: BTreeMap<i64, i64> = BTreeMap::new();
            for &(_, from, to, units) in taken.iter().filter(|t| t.0 == resource && t.1 < t.2) {
                *changes.entry(from).or_default() += units;
                *changes.entry(to).or_default() -= units;
            }
            let mut used = 0;
            for (minute, change) in changes {
                used += change;
                if used > number(&entry["capacity"]) {
                    self.wrong
                        .push(format!("resource {resource} has {used} units taken at {minute}"));
                    break;
                }
            }
        }
    }

    fn job_end(job: &Value, ends: &[i64]) -> i64 {
        list(&job["activities"]).iter().map(|act| ends[place(act)]).max().unwrap()
    }

    /// The first minute that a shortest wait allows, wherever that is soonest.
    fn allowed(&self, lag: &Value, min: i64) -> i64 {
        let point = self.point(lag);
        if lag["modal"].is_null() {
            return point + min;
        }
        self.soonest(&lag["modal"], point, min * 1_000_000_000)
    }

    /// By how many minutes an activity takes longer than where time counts fastest.
    fn slowed(&self, act: usize) -> i64 {
        let activity = self.activity(act);
        let modal = &activity["modal"];
        if modal.is_null() {
            return 0;
        }
        let passed = modal["passed"].as_i64().unwrap_or(0);
        let left = number(&activity["duration"]) * 1_000_000_000 - passed;
        self.ends[act] - self.soonest(modal, self.starts[act], left)
    }

    fn values(&mut self, values: &Value) {
        let mut makespan = self.ends.iter().copied().max().unwrap_or(0);
        for demand in list(&self.problem["demands"]) {
            let of = |job: &Value| {
                let job = &self.problem["jobs"][place(job)];
                (Self::job_end(job, &self.ends), number(&job["weight"]))
            };
            let mut jobs: Vec<(i64, i64)> = list(&demand["jobs"]).iter().map(of).collect();
            jobs.sort_unstable();
            let mut wanted = number(&demand["wanted"]);
            makespan = 0;
            for (end, weight) in jobs {
                if wanted > 0 {
                    makespan = makespan.max(end);
                }
                wanted -= weight;
            }
        }
        let mut lateness = 0;
        let mut weights = vec![1; self.starts.len()];
        for job in list(&self.problem["jobs"]) {
            let weight = job["weight"].as_i64().unwrap_or(1);
            for act in list(&job["activities"]) {
                weights[place(act)] = weight;
            }
            if let Some(due) = job["due"].as_i64() {
                let end = Self::job_end(job, &self.ends);
                let days = if end < due { 0 } else { 1 + (end - due) / 1440 };
                lateness += weight * days;
            }
        }
        let overrun: i64 = self
            .misses
            .iter()
            .map(|&(index, ..)| {
                let lag = &self.problem["lags"][index];
                (self.starts[place(&lag["after"])] - self.point(lag) - number(&lag["max"])).max(0)
            })
            .sum();
        let mut idle = 0;
        for (act, weight) in weights.into_iter().enumerate() {
            let lags = list(&self.problem["lags"]).iter().filter(|lag| place(&lag["after"]) == act);
            let allowed =
                lags.filter_map(|lag| Some(self.allowed(lag, lag["min"].as_i64()?))).max();
            let extras = self
                .misses
                .iter()
                .filter(|miss| place(&self.problem["lags"][miss.0]["after"]) == act);
            let begun = extras.map(|miss| miss.1).min().unwrap_or(self.starts[act]);
            let waited = allowed.map_or(0, |allowed| (begun - allowed).max(0));
            idle += weight * (waited + self.slowed(act));
        }
        let misses = i64::try_from(self.misses.len()).unwrap();
        let counted = [misses, overrun, lateness, makespan, idle];
        for (what, counted) in
            ["misses", "overrun", "lateness", "makespan", "idle"].iter().zip(counted)
        {
            if number(&values[what]) != counted {
                self.wrong.push(format!("{what}: {} is said, {counted} was counted", values[what]));
            }
        }
    }

    /// The latest starts are a plan of their own, in which no job ends later.
    fn latest(&mut self, answer: &Value) {
        let latest = numbers(&answer["latest"]);
        if !list(&self.problem["rates"]).is_empty() {
            // A later start takes another time; what is asked of it is that it is no sooner.
            return;
        }
        if latest.len() != self.starts.len() {
            self.wrong.push("not a latest start for each activity".to_owned());
            return;
        }
        if latest.iter().zip(&self.starts).any(|(latest, start)| latest < start) {
            self.wrong.push("a latest start before the start".to_owned());
        }
        let ends: Vec<i64> = (0..latest.len())
            .map(|act| self.later_end(act, latest[act], number(&self.activity(act)["duration"])))
            .collect();
        for job in list(&self.problem["jobs"]) {
            if Self::job_end(job, &ends) > Self::job_end(job, &self.ends) {
                self.wrong.push(format!("with the latest starts {} ends later", job["name"]));
            }
        }
        if ends.iter().max() > self.ends.iter().max() {
            self.wrong.push("with the latest starts the last end is later".to_owned());
        }
        let mut late = Check {
            problem: self.problem,
            chosen: self.chosen.clone(),
            starts: latest,
            ends,
            misses: Vec::new(),
            wrong: Vec::new(),
        };
        late.misses.clone_from(&self.misses);
        late.pull_extras();
        late.activities();
        late.lags();
        late.extras();
        late.resources(&answer["holds"]);
        self.wrong.extend(late.wrong.into_iter().map(|wrong| format!("latest starts: {wrong}")));
    }

    /// The end of so many minutes of an activity from a start.
    fn later_end(&self, act: usize, start: i64, length: i64) -> i64 {
        let Some(hours) = self.hours(act) else {
            return start + length;
        };
        let mut left = length;
        for (open, close) in hours {
            let from = open.max(start);
            if left > 0 && from < close {
                if close - from >= left {
                    return from + left;
                }
                left -= close - from;
            }
        }
        start + left
    }

    /// Puts each extra straight before the (later) start of its activity, several one before the other.
    fn pull_extras(&mut self) {
        let mut order: Vec<usize> = (0..self.misses.len()).collect();
        order.sort_by_key(|&k| std::cmp::Reverse(self.misses[k].1));
        let mut edge: BTreeMap<usize, i64> = BTreeMap::new();
        for k in order {
            let lag = &self.problem["lags"][self.misses[k].0];
            let (after, length) = (place(&lag["after"]), number(&lag["soft"]["extra"]));
            let to = *edge.entry(after).or_insert(self.starts[after]);
            let mut start = to - length;
            if let Some(hours) = self.hours(after) {
                while Self::open_between(&hours, start, to) < length {
                    start -= 1;
                }
            }
            self.misses[k] = (self.misses[k].0, start, self.later_end(after, start, length));
            edge.insert(after, start);
        }
    }
}
