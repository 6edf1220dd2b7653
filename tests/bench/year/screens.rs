//! What five screens say at one moment, held against each other.

use chrono::TimeDelta;
use serde_json::Value;

use super::program::{list, moment};

pub(crate) struct Screens<'a> {
    /// The plan kept at that moment.
    pub(crate) plan: &'a Value,
    pub(crate) today: Value,
    pub(crate) due: Value,
    pub(crate) calendar: Value,
    pub(crate) told: Value,
}

impl Screens<'_> {
    /// Each contradiction, in words.
    pub(crate) fn differ(&self) -> Vec<String> {
        let mut found = Vec::new();
        let steps = list(self.plan, "steps");
        for (place, step) in steps.iter().enumerate().filter(|(_, step)| step["begun"] == false) {
            let (lot, number) = (&step["lot"], &step["step"]);
            let first = !steps[..place].iter().any(|before| before["lot"] == *lot);
            let item = list(&self.due, "items").iter().find(|item| item["lot"] == *lot);
            if let Some(item) = item.filter(|_| first && step["to_start"] == false) {
                found.extend(contradicts_due(step, item));
            }
            let of_day = list(&self.today, "steps");
            let in_today =
                of_day.iter().find(|other| other["lot"] == *lot && other["step"] == *number);
            if in_today.is_some_and(|other| other["start"] != step["start"]) {
                found.push(format!(
                    "{lot} step {number}: today and the plan kept this minute differ"
                ));
            }
            let shut = item.is_some_and(|item| {
                item["step"] == *number
                    && moment(&item["until"]) <= moment(&step["start"])
                    && !item["until"].is_null()
            });
            let of = format!("{}/{number}", lot.as_str().unwrap_or_default());
            if !shut && !self.in_calendar(&of, &step["start"]) {
                found.push(format!("{lot} step {number}: the calendar has it elsewhere than the plan kept this minute"));
            }
        }
        for carry in list(self.plan, "moves") {
            let [lot, to] = ["lot", "to"].map(|part| carry[part].as_str().unwrap_or_default());
            if !self.in_calendar(&format!("{lot}/move/{to}"), &carry["at"]) {
                found.push(format!(
                    "{lot}: the calendar has its move to {to} elsewhere than the plan"
                ));
            }
        }
        found
    }

    fn in_calendar(&self, of: &str, start: &Value) -> bool {
        let events = || list(&self.calendar, "events").iter().filter(|event| event["of"] == of);
        events().any(|event| event["start"] == *start && event["cancelled"] == false)
    }

    /// Reminders of what `due`, or for what is to be carried `today`, does not have so.
    pub(crate) fn settled(&self) -> Vec<String> {
        let mut found = Vec::new();
        let carried = ["carries", "carries_off"].into_iter().flat_map(|of| list(&self.today, of));
        let carried: Vec<&Value> = carried.map(|carry| &carry["lot"]).collect();
        for notice in list(&self.told, "notices") {
            let moves = list(notice, "lots").iter().filter(|_| notice["kind"] == "move");
            for lot in moves.filter(|lot| !carried.contains(lot)) {
                found.push(format!("{lot}: told to be carried, today says nothing of it"));
            }
            let wanted = match notice["kind"].as_str() {
                Some("ready" | "cured") => "ready",
                Some("wipe") => "soaking",
                _ => continue,
            };
            for lot in list(notice, "lots") {
                let item = list(&self.due, "items").iter().find(|item| item["lot"] == *lot);
                if item.is_none_or(|item| wanted == "ready" && item["state"] != "ready") {
                    found.push(format!("{lot}: told {}, due says otherwise", notice["kind"]));
                }
            }
        }
        found
    }
}

fn contradicts_due(step: &Value, item: &Value) -> Option<String> {
    let (lot, number) = (&step["lot"], &step["step"]);
    if item["step"] != *number {
        return Some(format!("{lot}: due says step {}, plan says {number}", item["step"]));
    }
    let (from, start) = (moment(&item["from"])?, moment(&step["start"])?);
    (start + TimeDelta::minutes(1) <= from)
        .then(|| format!("{lot} step {number}: due says from {from}, plan says {start}"))
}
