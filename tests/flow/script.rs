//! A script of commands, each with what needs hands before it and after it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde_json::Value;

use crate::harness::TestShop;

/// A shop being taken through a script. Every command is told when it happened, and written down half an hour later.
pub(super) struct Script {
    pub(super) shop: TestShop,
    /// The commands with what was due, as a person would tell it.
    pub(super) told: String,
    /// The rules that refused something.
    pub(super) seen: BTreeSet<String>,
    /// How many commands did what was asked.
    pub(super) done: usize,
}

impl Script {
    pub(super) fn new(shop: TestShop) -> Self {
        Self { shop, told: String::new(), seen: BTreeSet::new(), done: 0 }
    }

    /// At that moment the command does what it is asked.
    #[track_caller]
    pub(super) fn does(&mut self, at: &str, line: &str) -> Value {
        let before = self.due(at);
        let answer = self.shop.json(&format!("{line} --at '{at}'"));
        let after = self.due(at);
        writeln!(self.told, "{at}  {line}\n  before: {before}\n  after:  {after}").unwrap();
        self.done += 1;
        answer
    }

    /// At that moment the rule refuses the command, and nothing has changed.
    #[track_caller]
    pub(super) fn refuses(&mut self, at: &str, line: &str, rule: &str) -> String {
        let before = self.due(at);
        let refused = self.shop.run(&format!("{line} --at '{at}'")).refused(rule);
        assert_eq!(self.due(at), before, "refused and yet something changed: {line}");
        self.seen.insert(rule.to_owned());
        refused
    }

    /// The rule refuses a command that knows no time of its own.
    #[track_caller]
    pub(super) fn refuses_now(&mut self, line: &str, rule: &str) -> String {
        self.seen.insert(rule.to_owned());
        self.shop.run(line).refused(rule)
    }

    /// What needs hands at that moment: "salt-1 2 sand P180 ready; …". The clock stands half an hour later.
    #[track_caller]
    pub(super) fn due(&mut self, at: &str) -> String {
        let wall = chrono::NaiveDateTime::parse_from_str(at, "%Y-%m-%d %H:%M").unwrap();
        let later = wall + chrono::TimeDelta::minutes(30);
        self.shop.at(&later.format("%Y-%m-%d %H:%M").to_string());
        let due = self.shop.json(&format!("due --now '{at}'"));
        let mut said: Vec<String> = due["items"].as_array().unwrap().iter().map(item).collect();
        said.extend(
            due["held"].as_array().unwrap().iter().map(|lot| format!("{} held", word(&lot["lot"]))),
        );
        said.extend((!due["rags"].as_array().unwrap().is_empty()).then(|| "rags".to_owned()));
        if said.is_empty() { "nothing".to_owned() } else { said.join("; ") }
    }
}

fn word(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

fn item(item: &Value) -> String {
    let part = |name: &str| word(&item[name]);
    let mut said = format!("{} {} {} {}", part("lot"), part("step"), part("name"), part("state"));
    if item["state"] == "next" {
        // Month, day and clock: "03-04T15:40".
        write!(said, " from {}", &part("from")[5..16]).unwrap();
    }
    said
}
