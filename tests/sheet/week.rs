//! A week lived by the day sheet alone: what it says for a minute is recorded in that minute, and nothing of it is refused.

use chrono::{DateTime, FixedOffset, TimeDelta};
use serde_json::Value;

use crate::harness::TestShop;

type Moment = DateTime<FixedOffset>;

fn moment(value: &Value) -> Moment {
    DateTime::parse_from_rfc3339(value.as_str().unwrap()).unwrap()
}

/// As the sheet shows it: the next whole minute.
fn minute_up(at: Moment) -> Moment {
    let over = at.timestamp().rem_euclid(60);
    if over == 0 { at } else { at + TimeDelta::seconds(60 - over) }
}

struct Walk {
    shop: TestShop,
    now: Moment,
    recorded: Vec<String>,
}

impl Walk {
    fn go_to(&mut self, at: Moment) {
        self.now = self.now.max(at);
        self.shop.at(&self.now.to_rfc3339());
    }

    #[track_caller]
    fn does(&mut self, line: &str) {
        self.recorded.push(format!("{} {line}", self.now));
        let run = self.shop.run(line);
        assert_eq!(run.code, 0, "{} {line}: {run}\n{:#?}", self.now, self.recorded);
    }

    /// Does the first thing the sheet offers now; else goes to the next moment it names.
    fn goes_on(&mut self) {
        let today = self.shop.json("today");
        let list = |key: &str| today[key].as_array().unwrap().clone();
        let text = |value: &Value, key: &str| value[key].as_str().unwrap().to_owned();
        for item in list("first") {
            if matches!(item["action"].as_str(), Some("wipe" | "finish")) {
                let minutes = item["minutes"].as_i64().unwrap();
                self.go_to(self.now + TimeDelta::minutes(minutes));
                self.does(&format!("done {}", text(&item, "lot")));
                if item["action"] == "wipe" {
                    self.does("rags done --how 'under water, lidded metal can'");
                }
                return;
            }
        }
        let mut next: Vec<Moment> =
            list("soaking").iter().map(|item| minute_up(moment(&item["from"]))).collect();
        for off in list("carries_off") {
            if moment(&off["from"]) <= self.now {
                return self.does(&format!("lot move {} --off", text(&off, "lot")));
            }
        }
        for carry in list("carries") {
            let from = minute_up(moment(&carry["from"]));
            if from <= self.now {
                let (lot, rack) = (text(&carry, "lot"), text(&carry, "rack"));
                return self.does(&format!("lot move {lot} --rack '{rack}'"));
            }
            next.push(from);
        }
        for step in list("steps") {
            let start = minute_up(moment(&step["start"]));
            if start > self.now && step["may_begin_now"] == false {
                next.push(start);
            } else if start <= self.now || next.is_empty() {
                return self.begins(&step);
            }
        }
        let evening = self.now.date_naive().succ_opt().unwrap().and_hms_opt(8, 30, 0).unwrap();
        next.push(evening.and_local_timezone(self.now.timezone()).unwrap());
        self.go_to(next.into_iter().filter(|at| *at > self.now).min().unwrap());
    }

    fn begins(&mut self, step: &Value) {
        let (lot, batch) = (step["lot"].as_str().unwrap(), step["batch"].as_str().unwrap());
        if step["to_start"] == true {
            self.does(&format!("lot start {batch} --pieces {}", step["pieces"]));
        }
        let first_coat =
            step["kind"] == "coat" && self.shop.json(&format!("lot show {lot}"))["rack"].is_null();
        let rack = step["rack"].as_str().filter(|_| first_coat);
        let rack = rack.map_or_else(String::new, |rack| format!(" --rack '{rack}'"));
        self.does(&format!("begin {lot}{rack}"));
        if step["kind"] != "coat" {
            let length = moment(&step["end"]) - moment(&step["start"]);
            self.go_to(self.now + length);
            self.does(&format!("done {lot}"));
        }
    }
}

fn walk(readings: &[(&str, &str)]) -> Vec<String> {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 2").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 44 --due 2026-04-20").ok();
    shop.run("lot start salt --pieces 24 --from 5").ok();
    for (at, air) in readings {
        shop.at(at).run(&format!("climate add 'oil room' {air}")).ok();
    }
    let now = DateTime::parse_from_rfc3339("2026-03-02T08:40:00+00:00").unwrap();
    let mut walk = Walk { shop, now, recorded: Vec::new() };
    walk.go_to(now);
    let end = now + TimeDelta::days(7);
    for _ in 0..120 {
        if walk.now >= end {
            break;
        }
        walk.goes_on();
    }
    assert!(walk.now >= end, "the sheet goes round in a ring: {:#?}", walk.recorded);
    walk.recorded
}

#[test]
fn nothing_the_sheet_advises_is_refused_for_a_week() {
    let recorded = walk(&[]);
    let done = |what: &str| recorded.iter().filter(|line| line.contains(what)).count();
    assert!(done("begin") >= 8 && done("lot start") >= 1 && done("rags") >= 4, "{recorded:#?}");
}
