//! tackfree's own advice, followed to the letter: what `today` says, in its order, moves, touch tests and readings
//! included; a plan kept each morning; rags dealt with at once; promised with `promise` at nineteen in twenty. He is late now
//! and then, forgets to record until the evening, and runs out of a can (`habits`).
//!
//! While it follows it counts what must never happen: a refusal of what was advised, two screens that disagree.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use chrono::{DateTime, NaiveDate, SecondsFormat, TimeDelta};
use serde_json::Value;

use super::habits::{Unrecorded, delay, looks_round, runs_out};
use super::program::{Answer, Faults, Program, first_line, list, moment, text};
use super::screens::Screens;
use super::truth::Bench;
use super::world::{
    FINISHES, Finish, Moment, News, Room, World, day_of, draw, next_open, normal, stretches,
};

/// The loft's thermometer is read at opening, and whenever it was read so long ago: what is read this often is read, by the
/// program's rule, and what isn't counts as the coldest.
const READ_AGAIN: TimeDelta = TimeDelta::hours(4);

/// The setup of the shop.
const SETUP: &str = include_str!("shop.toml");

pub(crate) struct Follower<'w> {
    pub(crate) bench: Bench<'w>,
    program: Program,
    pub(crate) faults: Faults,
    /// Looks at a kept date, and how often it had moved by more than a day.
    pub(crate) looks: (u32, u32),
    /// By the month: how much longer than really the shop's own tests make a cure, as a share.
    pub(crate) learned: BTreeMap<String, Vec<f64>>,
    dates: BTreeMap<String, DateTime<chrono::FixedOffset>>,
    taken: usize,
    imported: Moment,
    unrecorded: Unrecorded,
    /// The hour in which he was late last.
    late: i64,
    /// When the loft's thermometer was read last.
    read: Moment,
    /// The can of each finish that is open, by its number.
    cans: [u32; 2],
    /// What is refused is asked once and then left alone until something else has happened.
    refused: Vec<String>,
}

impl<'w> Follower<'w> {
    pub(crate) fn new(world: &'w World) -> Self {
        let imported =
            stretches(world.first).first().map_or_else(|| next_open(DateTime::UNIX_EPOCH), |s| s.0);
        Self {
            bench: Bench::new(world),
            program: Program { folder: tempfile::tempdir().expect("a folder for the year") },
            faults: Faults::default(),
            looks: (0, 0),
            learned: BTreeMap::new(),
            dates: BTreeMap::new(),
            taken: 0,
            imported: imported - TimeDelta::days(14),
            unrecorded: Unrecorded::default(),
            late: 0,
            read: DateTime::UNIX_EPOCH,
            cans: [0; 2],
            refused: Vec::new(),
        }
    }

    pub(crate) fn live(mut self) -> Self {
        let world = self.bench.world;
        let end = world.last_day();
        let mut at =
            stretches(world.first).first().map_or(DateTime::UNIX_EPOCH, |stretch| stretch.0);
        let setup = self.program.file("shop.toml", SETUP);
        self.must(at, &["setup", "load", &setup]);
        for finish in 0..FINISHES.len() {
            self.open_can(at, finish);
        }
        let mut morning = None;
        while day_of(at) < end {
            at = next_open(at);
            if world.ill.contains(&day_of(at)) {
                at += TimeDelta::days(1)
                    - TimeDelta::minutes((at - stretches(day_of(at))[0].0).num_minutes());
                continue;
            }
            let unrecorded = self.unrecorded.due(at);
            self.record(at, &unrecorded);
            if morning != Some(day_of(at)) {
                morning = Some(day_of(at));
                self.morning(at);
            }
            if at - self.read > READ_AGAIN {
                self.read_loft(at);
            }
            self.take_orders(at);
            if self.bench.all_left(at) {
                break;
            }
            at = self.one_thing(at);
        }
        self
    }

    fn open_can(&mut self, at: Moment, finish: usize) {
        let name = format!("{}-{}", FINISHES[finish].can, self.cans[finish]);
        self.must(at, &["can", "open", FINISHES[finish].name, "--name", &name, "--size", "50l"]);
    }

    fn must(&mut self, at: Moment, words: &[&str]) -> Answer {
        let answer = self.program.run(at, words);
        let spent = self.faults.spent.entry(words[0].to_owned()).or_default();
        *spent = (spent.0 + 1, spent.1 + answer.seconds);
        if answer.seconds > 1.0 {
            self.faults.note("slow", at, &format!("{}: {:.1} s", words.join(" "), answer.seconds));
        }
        if answer.code != 0 {
            self.faults.note(
                "refused",
                at,
                &format!("{}: {}", words.join(" "), first_line(&answer.err)),
            );
        }
        answer
    }

    fn ask(&mut self, at: Moment, words: &[&str]) -> Value {
        let mut words = words.to_vec();
        words.push("--json");
        let answer = self.must(at, &words);
        serde_json::from_str(&answer.out).unwrap_or(Value::Null)
    }

    fn read_loft(&mut self, at: Moment) {
        self.read = at;
        let temp = format!("{:.1}", self.bench.world.temp(Room::Loft, at));
        self.must(at, &["climate", "add", Room::Loft.name(), "--temp", &temp, "--humidity", "60"]);
    }

    /// The loft's thermometer, the logger's week on Mondays, and the plan of the day.
    fn morning(&mut self, at: Moment) {
        self.read_loft(at);
        if at - self.imported > TimeDelta::days(5) || self.taken == 0 {
            self.import(at);
        }
        self.learn(at);
        if self.taken > 0 {
            let plan = self.ask(at, &["plan", "--keep"]);
            self.look(at, &plan);
        }
    }

    /// Once a month: the factor of each finish that cures, against the true one, where that is slower than the sheet.
    fn learn(&mut self, at: Moment) {
        let month = at.format("%Y-%m").to_string();
        let coated = self.bench.lots.iter().filter(|(_, lot)| lot.coated.is_some());
        let lots: Vec<String> = coated.map(|(name, _)| name.clone()).collect();
        if lots.is_empty() || self.learned.contains_key(&month) {
            return;
        }
        let mut words = vec!["cure"];
        words.extend(lots.iter().map(String::as_str));
        let cure = self.ask(at, &words);
        let mut errors = BTreeMap::new();
        for lot in list(&cure, "lots") {
            let finish = FINISHES.iter().find(|finish| lot["coat"]["finish"] == finish.name);
            if let Some((finish, times)) = finish.zip(lot["factor"]["times"].as_f64()) {
                let truth = self.bench.world.truly_needs(finish) / finish.cure_hours;
                errors.insert(finish.name, times / truth.max(1.0) - 1.0);
            }
        }
        if !errors.is_empty() {
            self.learned.insert(month, errors.into_values().collect());
        }
    }

    fn import(&mut self, at: Moment) -> bool {
        let log = self.log(at);
        let file = self.program.file("log.csv", &log);
        self.imported = at;
        self.must(at, &["climate", "import", Room::Oil.name(), &file]).code == 0
    }

    /// Hourly readings since the last import, with a gap now and then.
    fn log(&self, until: Moment) -> String {
        let (world, mut text, mut at) =
            (self.bench.world, String::from("time,temperature,humidity\n"), self.imported);
        while at < until {
            let hour = at.timestamp().unsigned_abs() / 3600;
            if draw(world.seed, "gap", hour / 24) > 0.04 {
                let temp = world.temp(Room::Oil, at) + 0.2 * normal(world.seed, "sensor", hour);
                let stamp = at.to_rfc3339_opts(SecondsFormat::Secs, true);
                writeln!(text, "{stamp},{temp:.1},60").expect("a String takes everything");
            }
            at += TimeDelta::hours(1);
        }
        text
    }

    /// Compares what screens say at one moment, and dates with those of the day before.
    fn look(&mut self, at: Moment, plan: &Value) {
        for batch in list(plan, "batches") {
            let (Some(name), Some(ready)) = (batch["batch"].as_str(), moment(&batch["ready_at"]))
            else {
                continue;
            };
            self.looks.0 += 1;
            if let Some(before) = self.dates.insert(name.to_owned(), ready) {
                self.looks.1 += u32::from((ready - before).abs() > TimeDelta::days(1));
            }
        }
        self.compare(at, plan);
        // Every fourth morning it is asked again at once, and every fourth another plan is looked for.
        match at.timestamp() / 86_400 % 4 {
            0 => {
                let again = self.ask(at, &["plan"]);
                let moved = list(&again["drift"], "steps");
                if let Some(first) = moved.first() {
                    let what = format!("{} steps, {first:?} first", moved.len());
                    self.faults.note("moved", at, &what);
                }
            }
            2 => {
                let other = self.ask(at, &["plan", "--seed", "7"]);
                if let Some(what) = betters(&other, plan) {
                    self.faults.note("false", at, &what);
                }
            }
            _ => {}
        }
    }

    /// Holds five screens of one moment against each other.
    fn compare(&mut self, at: Moment, plan: &Value) {
        let [today, due, calendar, told] =
            [&["today"][..], &["due"], &["calendar"], &["remind", "send"]]
                .map(|words| self.ask(at, words));
        // Before a plan is kept, the calendar has each lot's next step alone.
        let kept = today["kept"] == true;
        let screens = Screens { plan, today, due, calendar, told };
        for what in screens.differ().into_iter().filter(|_| kept) {
            self.faults.note("screens differ", at, &what);
        }
        for what in screens.settled() {
            self.faults.note("settled", at, &what);
        }
    }

    /// Asks for the dates of an order and keeps them; the one called almost sure.
    fn promise(&mut self, at: Moment, order: usize, what: &[&str]) -> Option<NaiveDate> {
        let words = [&["promise"], what].concat();
        let said = self.ask(at, &words);
        let date = |odds: &str| moment(&said["ready_at"][odds]).map(|ready| day_of(ready.to_utc()));
        let dates = date("p50").zip(date("p80")).zip(date("p95"));
        let Some(((half, likely), sure)) = dates else {
            self.faults.note("no date", at, &self.bench.world.orders[order].name);
            return None;
        };
        let kept = &mut self.bench.tally.kept[order];
        kept.odds = Some([half, likely, sure]);
        let share = |odds: &str| said["by_that_day"][odds].as_f64().unwrap_or(0.0);
        kept.said = ["p50", "p80", "p95"].map(|odds| 100.0 * share(odds));
        kept.promised = Some(sure);
        Some(sure)
    }

    fn take_orders(&mut self, at: Moment) {
        while let Some(order) =
            self.bench.world.orders.get(self.taken).filter(|order| order.asked <= at)
        {
            let recipe = self.bench.recipes[order.recipe].name;
            let pieces = order.pieces.to_string();
            let what = ["--recipe", recipe, "--pieces", &pieces];
            self.promise(at, self.taken, &what);
            let promised = &mut self.bench.tally.kept[self.taken].promised;
            let due = promised.get_or_insert(order.wanted).to_string();
            let wanted = order.wanted.to_string();
            let words = [
                "batch",
                "open",
                &order.name,
                "--recipe",
                recipe,
                "--pieces",
                &pieces,
                "--due",
                &due,
                "--wanted",
                &wanted,
            ];
            self.must(at, &words);
            self.taken += 1;
            self.refused.clear();
        }
        for (order, news) in self.bench.news(at) {
            self.refused.clear();
            let name = self.bench.world.orders[order].name.as_str();
            match news {
                News::Pieces(pieces) => {
                    let more = pieces > self.bench.world.orders[order].pieces;
                    let pieces = pieces.to_string();
                    self.must(at, &["batch", "change", name, "--pieces", &pieces]);
                    // More pieces are a new promise.
                    if let Some(due) = more.then(|| self.promise(at, order, &[name])).flatten() {
                        self.must(at, &["batch", "change", name, "--due", &due.to_string()]);
                    }
                }
                News::Cancelled => {
                    let lines = self.unrecorded.all();
                    self.record(at, &lines);
                    self.must(at, &["batch", "cancel", name, "--why", "wanted no more"]);
                    for (lot, pieces) in self.bench.lots_of(order) {
                        let pieces = pieces.to_string();
                        let words = ["lot", "reject", &lot, "--pieces", &pieces, "--why", "spare"];
                        self.must(at, &words);
                        self.bench.drop(&lot, at);
                    }
                }
            }
        }
    }

    /// Does the first thing the day sheet asks for now; gives the moment after it, or of what it says comes next.
    fn one_thing(&mut self, at: Moment) -> Moment {
        let hour = at.timestamp() / 3600;
        if let Some(delay) = delay(self.bench.world, at).filter(|_| self.late != hour) {
            self.late = hour;
            return at + delay;
        }
        if self.taken > 0 && looks_round(self.bench.world, at) {
            let plan = self.ask(at, &["plan"]);
            self.compare(at, &plan);
        }
        let today = self.ask(at, &["today"]);
        let soon = at + TimeDelta::minutes(1);
        let mut next = at + TimeDelta::hours(2);
        let mut comes = |name: &str, line: &Value| {
            let comes = moment(&line[name]).map(|from| from.to_utc());
            next = comes.filter(|comes| *comes > at).map_or(next, |comes| next.min(comes));
            comes.is_some_and(|comes| comes <= at)
        };
        for check in list(&today, "checks") {
            if self.check(at, check) {
                return soon;
            }
        }
        for line in list(&today, "joins") {
            let [lot, into] = ["lot", "into"].map(|part| text(line, part));
            if self.remembers(at, &[&lot, &into]) {
                return at;
            }
            if self.tried(at, &format!("lot join {into} {lot}")) {
                self.bench.join(&lot, &into, at);
                return at;
            }
        }
        for line in list(&today, "carries_off") {
            comes("by", line);
            let by = moment(&line["by"]).map_or(at, |by| by.to_utc().max(at));
            if by <= soon && self.carry(by, line, None) {
                return by;
            }
        }
        // What is moved within the minute is moved before what begins then.
        for line in list(&today, "carries") {
            comes("from", line);
            let from = moment(&line["from"]).map_or(at, |from| from.to_utc().max(at));
            if from <= soon && self.carry(from, line, line["rack"].as_str()) {
                return from;
            }
        }
        for item in list(&today, "waits") {
            if item["action"] == "ship" && comes("from", item) {
                let lot = text(item, "lot");
                if self.tried(at, &format!("ship {lot} --to customer")) {
                    let pieces = self.bench.lots.get(&lot).map_or(0, |lot| lot.pieces);
                    self.close_if_done(at, &lot, pieces);
                    return at + TimeDelta::minutes(2);
                }
            }
        }
        for oil in list(&today["kit"], "oil") {
            let finish = FINISHES.iter().find(|finish| oil["finish"] == finish.name);
            if let Some(finish) = finish.filter(|_| oil["verdict"] == "no can") {
                let lines = self.unrecorded.all();
                self.record(at, &lines);
                self.change_can(at, *finish);
            }
        }
        // The end of abrading that comes straight before a coat.
        let abraded = |step: &Value| {
            let of_lot = |film: &&Value| film["lot"] == step["lot"] && step["kind"] == "coat";
            let film = list(&today, "abrading").iter().find(of_lot)?;
            let (from, until) = (moment(&film["from"])?, moment(&film["until"])?);
            Some((from.to_utc(), until.to_utc()))
        };
        let known =
            |step: &&Value| !self.unrecorded.holds(step["lot"].as_str().unwrap_or_default());
        let steps: Vec<&Value> = list(&today, "steps").iter().filter(known).collect();
        for step in steps {
            let start = moment(&step["start"]).map_or(at, |start| start.to_utc()).max(at);
            let start = if step["may_begin_now"] == true { at } else { start };
            let abraded = abraded(step);
            let (from, start) = abraded
                .filter(|film| film.0 <= soon)
                .map_or((start, start), |film| (film.0, film.1.max(start)));
            if from > soon {
                comes("start", step);
            } else if let Some(end) = self.step(start, step, abraded.is_some()) {
                self.refused.clear();
                return end;
            }
        }
        next.max(soon)
    }

    /// Runs advice that was not refused since anything happened; whether it was recorded.
    fn tried(&mut self, at: Moment, line: &str) -> bool {
        if self.refused.iter().any(|refused| refused == line) {
            return false;
        }
        let words: Vec<&str> = line.split(' ').collect();
        if self.must(at, &words).code == 0 {
            return true;
        }
        self.refused.push(line.to_owned());
        false
    }

    /// Touches a lot, or imports a log, as asked.
    fn check(&mut self, at: Moment, check: &Value) -> bool {
        let lot = text(check, "lot");
        if check["check"] == "touch" {
            if self.remembers(at, &[&lot]) {
                return true;
            }
            let found = if self.bench.is_cured(&lot, at) { "dry-through" } else { "tacky" };
            return self.tried(at, &format!("touch {lot} {found}"));
        }
        let room = if check["room"] == Room::Loft.name() { Room::Loft } else { Room::Oil };
        room == Room::Oil && self.imported < at && self.import(at)
    }

    /// A sheet that asks for something with lots of which a step is not recorded yet reminds him of all that is to be recorded;
    /// whether it did.
    fn remembers(&mut self, at: Moment, lots: &[&str]) -> bool {
        let reminded = lots.iter().any(|lot| self.unrecorded.holds(lot));
        if reminded {
            let lines = self.unrecorded.all();
            self.record(at, &lines);
        }
        reminded
    }

    fn carry(&mut self, at: Moment, carry: &Value, rack: Option<&str>) -> bool {
        let lot = text(carry, "lot");
        let line = rack.map_or(format!("lot move {lot} --off"), |rack| {
            format!("lot move {lot} --rack {rack}")
        });
        if self.remembers(at, &[&lot]) {
            return true;
        }
        let moved = self.tried(at, &line);
        if moved {
            self.bench.stand(&lot, rack.map(|rack| (rack, room_of(rack))), at);
        }
        moved
    }

    /// Begins, does and records a step of the sheet; its end, or nothing where it was refused.
    fn step(&mut self, at: Moment, step: &Value, abraded: bool) -> Option<Moment> {
        let lot = text(step, "lot");
        if step["to_start"] == true {
            return self.start_lot(at, step);
        }
        let known = self.bench.lots.get(&lot)?.clone();
        let really = self.bench.step(&known)?;
        let first_coat = really.coat && known.coated.is_none() && known.rack.is_none();
        let rack = step["rack"].as_str().filter(|_| first_coat);
        let mut begin = words(&format!("begin {lot}"));
        if let Some(rack) = rack {
            begin.extend(words(&format!("--rack {rack}")));
        }
        if abraded {
            begin.extend(words("--anyway abraded"));
        }
        // What is recorded later names no can: none is changed before.
        let changes = really.coat && self.unrecorded.is_empty();
        if changes && runs_out(self.bench.world, &lot, really.number) {
            self.change_can(at, self.bench.recipe(&known).finish);
        }
        // Pieces on a rack remind whoever looks at it.
        let forgets = rack.is_none() && Unrecorded::forgets(self.bench.world, &lot, really.number);
        if !forgets && !self.tried(at, &begin.join(" ")) {
            return None;
        }
        if let Some(rack) = rack {
            self.bench.stand(&lot, Some((rack, room_of(rack))), at);
        }
        let (end, cracked) = self.bench.work(&lot, at);
        let minutes = (end - at).num_minutes().clamp(1, 600);
        let mut lines = vec![words(&format!("done {lot} --minutes {minutes}"))];
        if really.coat {
            let how = ["rags", "done", "--how", "under water in the lidded can"];
            lines.push(how.map(str::to_owned).to_vec());
        }
        if cracked > 0 {
            let number = really.number;
            lines.push(words(&format!(
                "lot reject {lot} --pieces {cracked} --why cracked --step {number}"
            )));
        }
        if forgets {
            let mut all = vec![with_time(begin, at)];
            all.extend(lines.into_iter().map(|line| with_time(line, end)));
            self.unrecorded.keep(&lot, end, all);
        } else {
            self.record(end, &lines);
        }
        if self.bench.lots.get(&lot).is_some_and(|lot| lot.pieces == 0) {
            self.bench.drop(&lot, end);
        }
        Some(end)
    }

    fn start_lot(&mut self, at: Moment, step: &Value) -> Option<Moment> {
        let (batch, pieces) = (text(step, "batch"), step["pieces"].as_u64().unwrap_or(0));
        if step["step"] != 1 || !self.tried(at, &format!("lot start {batch} --pieces {pieces}")) {
            return None;
        }
        let list = self.ask(at, &["lot", "list", &batch]);
        let lots = list["lots"].as_array().cloned().unwrap_or_default();
        let new = lots
            .iter()
            .filter_map(|lot| lot["lot"].as_str())
            .find(|lot| !self.bench.lots.contains_key(*lot))?;
        let order = self.bench.world.orders.iter().position(|order| order.name == batch)?;
        self.bench.start(new, order, pieces as u32, at);
        Some(at)
    }

    /// The can of a finish turns out to be empty.
    fn change_can(&mut self, at: Moment, finish: Finish) {
        let number = FINISHES.iter().position(|other| *other == finish).unwrap_or(0);
        let old = format!("{}-{}", finish.can, self.cans[number]);
        self.must(at, &["can", "empty", &old]);
        self.cans[number] += 1;
        self.open_can(at, number);
    }

    fn record(&mut self, at: Moment, lines: &[Vec<String>]) {
        for line in lines {
            let words: Vec<&str> = line.iter().map(String::as_str).collect();
            self.must(at, &words);
        }
    }

    fn close_if_done(&mut self, at: Moment, lot: &str, pieces: u32) {
        let order = self.bench.lots.get(lot).map(|lot| lot.order);
        self.bench.ship(lot, pieces, at);
        let Some(order) = order else { return };
        let name = &self.bench.world.orders[order].name;
        let in_hand = self.bench.lots.values().any(|lot| lot.order == order);
        if self.bench.tally.kept[order].left.is_some() && !in_hand {
            self.must(at, &["batch", "close", name]);
        }
    }
}

fn words(line: &str) -> Vec<String> {
    line.split(' ').map(str::to_owned).collect()
}

/// The same, recorded later than it happened.
fn with_time(mut line: Vec<String>, at: Moment) -> Vec<String> {
    line.extend(["--at".to_owned(), at.to_rfc3339_opts(SecondsFormat::Secs, true)]);
    line
}

fn room_of(rack: &str) -> Room {
    if rack == "loft" { Room::Loft } else { Room::Oil }
}

/// What a plan does that no plan of the same lots can, as the other one says.
fn betters(other: &Value, plan: &Value) -> Option<String> {
    let lots = |plan: &Value| -> BTreeMap<String, u64> {
        let steps = list(plan, "steps").iter();
        steps.map(|step| (text(step, "lot"), step["pieces"].as_u64().unwrap_or(0))).collect()
    };
    if lots(other) != lots(plan) || other["windows_missed"] != plan["windows_missed"] {
        return None;
    }
    let sooner = moment(&other["ready_at"]) < moment(&plan["bound"]["ready_at"]);
    let less_late = other["lateness"].as_i64() < plan["bound"]["lateness"].as_i64();
    let said = format!("no plan is said to be below {}, one is", plan["bound"]);
    (sooner || less_late).then_some(said)
}
