//! An independent check of a plan: rebuilt from `plan --json`, the setup file and `lot show --json` alone. It shares no code
//! with the program: hours, rests, groups, slots and dates are reckoned here anew.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::similar_names,
    reason = "seconds of a few years are exact in a f64, and cured and cures are both the trade's words"
)]

use std::collections::BTreeMap;

use chrono::{DateTime, Datelike as _, NaiveDate, NaiveTime, TimeDelta, TimeZone as _, Utc};
use chrono_tz::Tz;
use serde_json::Value;
use toml::Value as Toml;

type At = DateTime<Utc>;

/// What the plan is held against.
pub(super) struct Checker {
    setup: Toml,
    zone: Tz,
    plan: Value,
    lots: BTreeMap<String, Value>,
    /// Hours of the sheet an hour counts for in every room that is not named: on the slow clock, on the quick one.
    pub(super) rates: (f64, f64),
    /// The same in a room, on both clocks.
    pub(super) rooms: BTreeMap<String, f64>,
    /// Pieces still promised of each batch, finished lots not counted; all where none is named.
    pub(super) wanted: BTreeMap<String, i64>,
    faults: Vec<String>,
}

/// A recipe's step as the file writes it.
#[derive(Debug, Clone)]
struct Step {
    kind: &'static str,
    each: i64,
    wipe: i64,
    rest: (i64, Option<i64>),
    finish: Option<String>,
}

/// A finish's times, seconds.
struct Finish {
    soak: (i64, i64),
    recoat: (i64, i64),
    cure: i64,
}

/// One planned step.
#[derive(Debug, Clone)]
struct Planned {
    lot: String,
    step: u32,
    start: At,
    end: At,
    begun: bool,
    pieces: i64,
}

fn at(value: &Value) -> At {
    DateTime::parse_from_rfc3339(value.as_str().unwrap()).unwrap().to_utc()
}

fn seconds(text: &str) -> i64 {
    i64::try_from(humantime::parse_duration(text).unwrap().as_secs()).unwrap()
}

fn range(text: &str) -> (i64, Option<i64>) {
    match text.split_once("..") {
        Some((least, most)) => (seconds(least), Some(seconds(most))),
        None => (seconds(text), None),
    }
}

impl Checker {
    pub(super) fn new(setup: &str, plan: &Value, lots: Vec<Value>) -> Self {
        let setup: Toml = toml::from_str(setup).unwrap();
        let zone = setup["shop"]["timezone"].as_str().unwrap().parse().unwrap();
        let name = |lot: &Value| lot["lot"].as_str().unwrap().to_owned();
        let lots = lots.into_iter().map(|lot| (name(&lot), lot)).collect();
        Self {
            setup,
            zone,
            plan: plan.clone(),
            lots,
            rates: (1.0, 1.0),
            rooms: BTreeMap::new(),
            wanted: BTreeMap::new(),
            faults: Vec::new(),
        }
    }

    /// Everything that is wrong with the plan.
    pub(super) fn faults(mut self) -> Vec<String> {
        let planned = self.planned();
        let mut by_lot: BTreeMap<String, Vec<Planned>> = BTreeMap::new();
        for step in &planned {
            by_lot.entry(step.lot.clone()).or_default().push(step.clone());
        }
        for (lot, mut steps) in by_lot {
            steps.sort_by_key(|step| step.step);
            self.lot(&lot, &steps);
        }
        self.hands(&planned);
        self.slots();
        self.dates();
        self.faults
    }

    fn fault(&mut self, fault: String) {
        self.faults.push(fault);
    }

    fn planned(&self) -> Vec<Planned> {
        let step = |step: &Value| Planned {
            lot: step["lot"].as_str().unwrap().to_owned(),
            step: u32::try_from(step["step"].as_u64().unwrap()).unwrap(),
            start: at(&step["start"]),
            end: at(&step["end"]),
            begun: step["begun"] == true,
            pieces: step["pieces"].as_i64().unwrap(),
        };
        self.plan["steps"].as_array().unwrap().iter().map(step).collect()
    }

    // What the setup says.

    fn finish(&self, name: &str) -> Finish {
        let all = self.setup["finish"].as_array().unwrap();
        let finish = all.iter().find(|finish| finish["name"].as_str() == Some(name)).unwrap();
        let both = |key: &str| {
            let (least, most) = range(finish[key].as_str().unwrap());
            (least, most.unwrap())
        };
        let cure = seconds(finish["cure"].as_str().unwrap());
        Finish { soak: both("soak"), recoat: both("recoat"), cure }
    }

    fn recipe(&self, batch: &str) -> Vec<Step> {
        let name = self.plan["recipes"][batch].as_str().unwrap_or("three coats");
        let all = self.setup["recipe"].as_array().unwrap();
        let recipe = all.iter().find(|recipe| recipe["name"].as_str() == Some(name)).unwrap();
        let step = |step: &Toml| {
            let kinds = ["work", "sand", "raise", "coat", "rub", "cure"];
            let kind = kinds.into_iter().find(|kind| step.get(kind).is_some()).unwrap();
            let time =
                |key: &str| step.get(key).map_or(0, |value| seconds(value.as_str().unwrap()));
            let finish = step.get(kind).filter(|_| matches!(kind, "coat" | "cure"));
            Step {
                kind,
                each: time("each"),
                wipe: time("wipe"),
                rest: step.get("rest").map_or((0, None), |rest| range(rest.as_str().unwrap())),
                finish: finish.map(|finish| finish.as_str().unwrap().to_owned()),
            }
        };
        recipe["steps"].as_array().unwrap().iter().map(step).collect()
    }

    /// Minutes of hands: a coat in the fewest groups, by trying every size and every wait.
    fn minutes(&self, step: &Step, pieces: i64) -> i64 {
        let plain = (pieces * (step.each + step.wipe) + 59) / 60;
        let Some(finish) = step.finish.as_ref().filter(|_| step.kind == "coat" && step.wipe > 0)
        else {
            return plain;
        };
        let (least, most) = self.finish(finish).soak;
        // Seconds that a group of so many takes, if it can be done at all.
        let group = |count: i64| {
            (0..=most).find_map(|wait| {
                let fits = (1..=count).all(|piece| {
                    let applied = piece * step.each;
                    let wiping = count * step.each + wait + (piece - 1) * step.wipe;
                    let off = wiping + step.wipe;
                    wiping - applied >= least && off - (applied - step.each) <= most
                });
                fits.then_some(count * (step.each + step.wipe) + wait)
            })
        };
        let largest = (1..=pieces).rev().find(|count| group(*count).is_some());
        let Some(largest) = largest else { return plain };
        let groups = (pieces + largest - 1) / largest;
        let (each, over) = (pieces / groups, pieces % groups);
        let sizes = (0..groups).map(|group| each + i64::from(group < over));
        let all: i64 = sizes.map(|size| group(size).unwrap()).sum();
        (all + 59) / 60
    }

    /// The open stretches of a local day.
    fn open(&self, date: NaiveDate) -> Vec<(At, At)> {
        let shop = &self.setup["shop"];
        let closed =
            shop.get("closed").and_then(Toml::as_array).into_iter().flatten().any(|days| {
                let days = days.as_str().unwrap();
                let (from, to) = days.split_once("..").unwrap_or((days, days));
                let day = |text: &str| text.parse::<NaiveDate>().unwrap();
                day(from) <= date && date <= day(to)
            });
        let name = date.weekday().to_string().to_lowercase();
        let hours = shop.get("hours").and_then(|hours| hours.get(&name)).and_then(Toml::as_array);
        let moment = |clock: &str| {
            let local = match clock {
                "24:00" => date.succ_opt().unwrap().and_time(NaiveTime::MIN),
                clock => date.and_time(NaiveTime::parse_from_str(clock, "%H:%M").unwrap()),
            };
            self.zone.from_local_datetime(&local).earliest().unwrap().to_utc()
        };
        let stretch = |text: &Toml| {
            let (from, to) = text.as_str().unwrap().split_once('-').unwrap();
            (moment(from), moment(to))
        };
        hours.into_iter().flatten().filter(|_| !closed).map(stretch).collect()
    }

    /// The open stretches between two moments.
    fn open_between(&self, from: At, to: At) -> Vec<(At, At)> {
        let mut date = from.with_timezone(&self.zone).date_naive();
        let last = to.with_timezone(&self.zone).date_naive();
        let mut all: Vec<(At, At)> = Vec::new();
        while date <= last {
            for (opens, closes) in self.open(date) {
                let (opens, closes) = (opens.max(from), closes.min(to));
                match all.last_mut() {
                    Some(before) if before.1 == opens && opens < closes => before.1 = closes,
                    _ if opens < closes => all.push((opens, closes)),
                    _ => {}
                }
            }
            date = date.succ_opt().unwrap();
        }
        all
    }

    // What the plan has to keep.

    fn lot(&mut self, name: &str, steps: &[Planned]) {
        let batch = name.rsplit_once('-').unwrap().0.to_owned();
        let recipe = self.recipe(&batch);
        let known = self.lots.get(name).cloned();
        let next = known.as_ref().map_or(1, |lot| {
            let next = u32::try_from(lot["step"].as_u64().unwrap()).unwrap();
            if recipe[next as usize - 1].kind == "cure" { next + 1 } else { next }
        });
        let wanted: Vec<u32> = (1..)
            .zip(&recipe)
            .filter(|(number, step)| *number >= next && step.kind != "cure")
            .map(|(number, _)| number)
            .collect();
        let found: Vec<u32> = steps.iter().map(|step| step.step).collect();
        if wanted != found {
            self.fault(format!("{name}: steps {found:?}, not {wanted:?}"));
            return;
        }
        if let Some(lot) = &known
            && steps.iter().any(|step| Some(step.pieces) != lot["pieces"].as_i64())
        {
            self.fault(format!("{name}: pieces differ"));
        }
        for step in steps {
            self.step(step, &recipe[step.step as usize - 1]);
        }
        self.waits(name, steps, &recipe, known.as_ref());
        self.stays(name, steps, &recipe, known.as_ref());
    }

    fn step(&mut self, planned: &Planned, step: &Step) {
        let Planned { lot, start, end, .. } = planned;
        let open = self.open_between(*start, *end);
        let worked: TimeDelta = open.iter().map(|(from, to)| *to - *from).sum();
        let minutes = self.minutes(step, planned.pieces);
        let who = format!("{lot} step {}", planned.step);
        if *start < at(&self.plan["now"]) {
            self.fault(format!("{who} starts in the past"));
        }
        if planned.begun {
            if worked > TimeDelta::minutes(minutes) {
                self.fault(format!("{who}: {worked} is more than there was to do"));
            }
            return;
        }
        if worked != TimeDelta::minutes(minutes) {
            self.fault(format!("{who}: {} open minutes, not {minutes}", worked.num_minutes()));
        }
        if open.first().is_none_or(|first| first.0 != *start) {
            self.fault(format!("{who} starts while the shop is closed"));
        }
        if open.last().is_none_or(|last| last.1 != *end) {
            self.fault(format!("{who} ends while the shop is closed"));
        }
        if step.kind == "coat" && open.len() != 1 {
            self.fault(format!("{who}: a group is broken off"));
        }
    }

    /// Hours of the sheet an hour counts for on a rack, on the slow clock and on the quick one.
    fn rates_on(&self, rack: Option<&str>) -> (f64, f64) {
        let all = self.setup["rack"].as_array().unwrap();
        let rack = rack.and_then(|rack| all.iter().find(|one| one["name"].as_str() == Some(rack)));
        let room = rack.and_then(|rack| self.rooms.get(rack["room"].as_str().unwrap()));
        room.map_or(self.rates, |rate| (rate.min(1.0), rate.max(1.0)))
    }

    /// So many seconds of the sheet as elapsed time on a rack, on the slow clock.
    fn slow(&self, seconds: i64, rack: Option<&str>) -> TimeDelta {
        let whole = seconds as f64 * 1000.0 / self.rates_on(rack).0;
        TimeDelta::milliseconds((whole - 1e-3) as i64)
    }

    fn quick(&self, seconds: i64, rack: Option<&str>) -> TimeDelta {
        TimeDelta::milliseconds((seconds as f64 * 1000.0 / self.rates_on(rack).1 + 1e-3) as i64)
    }

    /// Where a lot stands: from, until, rack; whether it cures there.
    fn stands(&self, name: &str) -> Vec<(At, At, String, bool)> {
        let stays = self.plan["stays"].as_array().unwrap();
        let stay = |stay: &Value| {
            let rack = stay["rack"].as_str().unwrap().to_owned();
            (at(&stay["from"]), at(&stay["until"]), rack, stay["cures"] == true)
        };
        let mut stays: Vec<_> = stays.iter().filter(|stay| stay["lot"] == name).map(stay).collect();
        stays.sort_by_key(|stay| stay.0);
        // What is carried off at the first minute has stood where it is on record.
        let stood = self.lots.get(name).and_then(|lot| lot["rack"].as_str());
        if let (Some(rack), Some(first)) = (stood, stays.first().cloned())
            && first.2 != rack
        {
            stays.insert(0, (at(&self.plan["now"]), first.0, rack.to_owned(), false));
        }
        stays
    }

    /// The rack a lot dries on: the first the plan gives it, else the one it stands on.
    fn dries_on(&self, name: &str) -> Option<String> {
        let first = self.stands(name).into_iter().next().map(|stay| stay.2);
        first.or_else(|| self.lots.get(name)?["rack"].as_str().map(str::to_owned))
    }

    /// When a lot coated at a moment is cured, by the rooms of the racks it stands on since.
    fn cured(&self, name: &str, coated: At, cure: i64) -> At {
        let dries = self.dries_on(name);
        let (mut left, mut from) = (cure as f64, coated);
        let stands = self.stands(name);
        for (k, (_, until, rack, _)) in stands.iter().enumerate() {
            let rate = self.rates_on(Some(rack)).0;
            let passes = (*until - from).num_seconds() as f64 * rate;
            if passes >= left - 1e-3 || k + 1 == stands.len() {
                return from + TimeDelta::milliseconds((left * 1000.0 / rate - 1e-3) as i64);
            }
            left -= passes;
            from = *until;
        }
        from + self.slow(cure, dries.as_deref())
    }

    fn waits(&mut self, name: &str, steps: &[Planned], recipe: &[Step], known: Option<&Value>) {
        // What was done, then what is planned: step, end; and start for what is planned.
        let mut done: Vec<(u32, Option<&Planned>, At)> = Vec::new();
        for step in known.iter().flat_map(|lot| lot["steps"].as_array().unwrap()) {
            if !step["done"].is_null() {
                done.push((
                    u32::try_from(step["step"].as_u64().unwrap()).unwrap(),
                    None,
                    at(&step["done"]),
                ));
            }
        }
        for step in steps {
            let before = done.last().copied();
            let what = &recipe[step.step as usize - 1];
            if let Some((number, _, end)) = before.filter(|_| !step.begun) {
                let rest = recipe[number as usize - 1].rest;
                if step.start < end + TimeDelta::seconds(rest.0) {
                    self.fault(format!(
                        "{name} step {}: the rest before it is cut short",
                        step.step
                    ));
                }
            }
            let coat = done
                .iter()
                .rev()
                .find(|(number, ..)| recipe[*number as usize - 1].kind == "coat")
                .copied();
            if let Some((number, _, end)) = coat.filter(|_| !step.begun) {
                let finish = self.finish(recipe[number as usize - 1].finish.as_ref().unwrap());
                let rack = self.dries_on(name);
                let rack = rack.as_deref();
                // What was laid before the rooms were measured otherwise is the program's to say; here the rates hold.
                if step.start + TimeDelta::minutes(1) <= end + self.slow(finish.recoat.0, rack) {
                    self.fault(format!("{name} step {}: too soon after a coat", step.step));
                }
                let missed = self.missed(name, step);
                let late = step.start > end + self.quick(finish.recoat.1, rack);
                if what.kind == "coat" && late && !missed {
                    self.fault(format!("{name} step {}: the window is shut", step.step));
                }
                let cure = recipe.iter().position(|step| step.kind == "cure").unwrap();
                if step.step as usize > cure + 1
                    && step.start + TimeDelta::minutes(1) <= self.cured(name, end, finish.cure)
                {
                    self.fault(format!("{name} step {}: not cured", step.step));
                }
            }
            done.push((step.step, Some(step), step.end));
        }
        for pair in steps.windows(2) {
            if pair[1].start < pair[0].end {
                self.fault(format!(
                    "{name} step {} begins before the one before it ends",
                    pair[1].step
                ));
            }
        }
    }

    /// Whether the window of that step is among the missed, with its abrading straight before.
    fn missed(&mut self, lot: &str, step: &Planned) -> bool {
        let all = self.plan["missed"].as_array().unwrap().clone();
        let found = all.iter().find(|missed| missed["lot"] == lot && missed["step"] == step.step);
        let Some(missed) = found else { return false };
        let (from, until) = (at(&missed["abrade_from"]), at(&missed["abrade_until"]));
        if from >= until || until > step.start || !self.open_between(until, step.start).is_empty() {
            self.fault(format!("{lot} step {}: not abraded straight before", step.step));
        }
        true
    }

    fn stays(&mut self, name: &str, steps: &[Planned], recipe: &[Step], known: Option<&Value>) {
        let Some(last) = recipe.iter().rposition(|step| step.kind == "coat") else { return };
        let number = u32::try_from(last).unwrap() + 1;
        let finish = self.finish(recipe[last].finish.as_ref().unwrap());
        let done = known.and_then(|lot| {
            lot["steps"][last]["done"].as_str().map(|_| at(&lot["steps"][last]["done"]))
        });
        let planned = steps.iter().find(|step| step.step == number).map(|step| step.end);
        let Some(coated) = planned.or(done) else { return };
        let cured = self.cured(name, coated, finish.cure);
        let now = at(&self.plan["now"]);
        let rack = known.and_then(|lot| lot["rack"].as_str());
        if cured <= now || (done.is_some() && rack.is_none()) {
            return;
        }
        let first = steps.iter().find(|step| recipe[step.step as usize - 1].kind == "coat");
        let from = if rack.is_some() { now } else { first.map_or(now, |step| step.start) };
        let stays = self.stands(name);
        let dries = self.dries_on(name);
        let mut until = from;
        for (k, (begins, ends, on, cures)) in stays.iter().enumerate() {
            if *begins > until + TimeDelta::minutes(1) {
                self.fault(format!("{name} is on no rack from {until}"));
            }
            let moved = k > 0 && stays[k - 1].2 != *on;
            if moved {
                let dried = coated + self.slow(finish.recoat.0, dries.as_deref());
                if *begins + TimeDelta::minutes(1) <= dried {
                    self.fault(format!("{name} is carried too soon"));
                }
                if self.open_between(*begins, *begins + TimeDelta::minutes(1)).is_empty() {
                    self.fault(format!("{name} is carried while the shop is closed"));
                }
            }
            until = until.max(*ends);
            // It may cure where it has dried.
            let wanted = if *cures && moved { "cure" } else { "dry" };
            let racks = self.setup["rack"].as_array().unwrap();
            let there = racks.iter().find(|rack| rack["name"].as_str() == Some(on)).unwrap();
            let uses = there["use"].as_array().unwrap();
            let fits = uses.iter().any(|purpose| purpose.as_str() == Some(wanted));
            if !fits && rack != Some(on) {
                self.fault(format!("{name} stands on {on} to {wanted}"));
            }
        }
        if until < cured {
            self.fault(format!("{name} has a rack until {until} and cures until {cured}"));
        }
        if stays.is_empty() {
            self.fault(format!("{name} stands nowhere"));
        }
    }

    fn hands(&mut self, planned: &[Planned]) {
        let hands = self.setup["shop"]["hands"].as_integer().unwrap();
        let mut busy: Vec<(At, i64)> = Vec::new();
        let missed = self.plan["missed"].as_array().unwrap();
        let abrading =
            missed.iter().map(|missed| (at(&missed["abrade_from"]), at(&missed["abrade_until"])));
        for (from, until) in planned.iter().map(|step| (step.start, step.end)).chain(abrading) {
            busy.extend([(from, 1), (until, -1)]);
        }
        if let Some(moment) = overfull(busy, hands) {
            self.fault(format!("more than {hands} hands at {moment}"));
        }
    }

    /// Slots, those of lots that are in no plan included.
    fn slots(&mut self) {
        let stays = self.plan["stays"].as_array().unwrap().clone();
        let now = at(&self.plan["now"]);
        for rack in self.setup["rack"].as_array().unwrap().clone() {
            let (name, slots) =
                (rack["name"].as_str().unwrap(), rack["slots"].as_integer().unwrap());
            let mut taken: Vec<(At, i64)> = Vec::new();
            for stay in stays.iter().filter(|stay| stay["rack"] == name) {
                let pieces = stay["pieces"].as_i64().unwrap();
                taken.extend([(at(&stay["from"]), pieces), (at(&stay["until"]), -pieces)]);
            }
            for lot in self.lots.values() {
                if lot["rack"] == name && !lot["held"].is_null() {
                    taken.push((now, lot["pieces"].as_i64().unwrap()));
                }
            }
            if let Some(moment) = overfull(taken, slots) {
                self.fault(format!("{name}: more than {slots} pieces at {moment}"));
            }
        }
    }

    /// The next open day, where a lot of a batch still grabbed when it was last touched: it doesn't ship before a test passes.
    fn barred(&self, prefix: &str) -> Option<At> {
        let recipe = self.recipe(prefix.trim_end_matches('-'));
        let last = recipe.iter().rposition(|step| step.kind == "coat")?;
        let grabs = |touch: &Value| {
            let stage = touch["stage"].as_str().unwrap();
            ["wet", "tacky", "set-to-touch", "dust-free"].contains(&stage)
        };
        let mut lots = self.lots.iter().filter(|(name, lot)| {
            let coated = !lot["steps"][last]["done"].is_null();
            let touched = lot["touches"].as_array().unwrap().last().is_some_and(grabs);
            name.starts_with(prefix) && lot["held"].is_null() && coated && touched
        });
        lots.next()?;
        let today = at(&self.plan["now"]).with_timezone(&self.zone).date_naive();
        today.iter_days().skip(1).take(400).find_map(|day| Some(self.open(day).first()?.0))
    }

    fn dates(&mut self) {
        let mut last = at(&self.plan["now"]);
        for batch in self.plan["batches"].as_array().unwrap().clone() {
            let name = batch["batch"].as_str().unwrap();
            let prefix = format!("{name}-");
            let of_batch = |value: &&Value| value["lot"].as_str().unwrap().starts_with(&prefix);
            let steps = self.plan["steps"].as_array().unwrap();
            let stays = self.plan["stays"].as_array().unwrap();
            // Each lot is ready with its last step or its cure; the batch with its last promised piece.
            let mut lots: BTreeMap<&str, (At, i64)> = BTreeMap::new();
            let ends = steps.iter().filter(of_batch).map(|step| (step, "end"));
            for (part, end) in ends.chain(stays.iter().filter(of_batch).map(|stay| (stay, "until")))
            {
                let of = lots.entry(part["lot"].as_str().unwrap()).or_insert((At::MIN_UTC, 0));
                *of = (of.0.max(at(&part[end])), part["pieces"].as_i64().unwrap());
            }
            let mut lots: Vec<(At, i64)> = lots.into_values().collect();
            lots.sort_unstable();
            let mut wanted = self.wanted.get(name).copied().unwrap_or(i64::MAX);
            let counted = lots.iter().take_while(|(_, pieces)| {
                let counts = wanted > 0;
                wanted = wanted.saturating_sub(*pieces);
                counts
            });
            let barred = self.barred(&prefix);
            let Some(ready) = counted.map(|lot| lot.0).chain(barred).max() else { continue };
            last = last.max(ready);
            if at(&batch["ready_at"]) != ready {
                self.fault(format!("{name}: ready {}, not {ready}", batch["ready_at"]));
            }
            if let Some(due) = batch["due"].as_str() {
                let due: NaiveDate = due.parse().unwrap();
                let days = ready
                    .with_timezone(&self.zone)
                    .date_naive()
                    .signed_duration_since(due)
                    .num_days();
                if batch["days_late"] != days {
                    self.fault(format!("{name}: {} days late, not {days}", batch["days_late"]));
                }
            }
        }
        if at(&self.plan["ready_at"]) != last {
            self.fault(format!("ready {}, not {last}", self.plan["ready_at"]));
        }
        if at(&self.plan["bound"]["ready_at"]) > last {
            self.fault("the bound is above the plan".to_owned());
        }
        for step in self.plan["steps"].as_array().unwrap().clone() {
            if at(&step["latest_start"]) < at(&step["start"]) {
                self.fault(format!(
                    "{} step {}: latest before the start",
                    step["lot"], step["step"]
                ));
            }
        }
    }
}

/// The first moment at which more than `most` are taken.
fn overfull(mut changes: Vec<(At, i64)>, most: i64) -> Option<At> {
    // At one moment what ends comes before what begins.
    changes.sort_unstable();
    let mut taken = 0;
    changes.into_iter().find_map(|(moment, change)| {
        taken += change;
        (taken > most).then_some(moment)
    })
}
