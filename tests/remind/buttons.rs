//! Buttons on the wipe's notice: there while `remind watch` hears them, and what a press does.

use std::io::{BufRead as _, BufReader};
use std::process::Child;

use super::desk::{Desk, Recorder};
use super::shop::at;
use crate::harness::{TestShop, here};

/// A soak that is to be wiped now.
fn soaked(bus: &str) -> TestShop {
    let mut shop = at("2026-03-25T09:48:00Z");
    shop.set("DBUS_SESSION_BUS_ADDRESS", bus);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    shop.at("2026-03-25T10:00:00Z");
    shop
}

/// `remind watch` under way, and the lines it prints.
struct Watched {
    child: Child,
    lines: Box<dyn Iterator<Item = String>>,
}

impl Watched {
    fn start(shop: &TestShop) -> Self {
        let mut child = shop.command("remind watch").spawn().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines().map(Result::unwrap);
        Self { child, lines: Box::new(lines) }
    }

    /// Reads on until a line begins so.
    #[track_caller]
    fn says(&mut self, start: &str) {
        let mut read = Vec::new();
        for line in self.lines.by_ref() {
            read.push(line);
            if read.last().unwrap().starts_with(start) {
                return;
            }
        }
        panic!("{start:?} was not said: {read:#?}");
    }

    fn end(mut self) {
        let kill = std::process::Command::new("kill").arg(self.child.id().to_string()).status();
        assert!(kill.unwrap().success());
        self.says("Stopped watching.");
        assert_eq!(self.child.wait().unwrap().code(), Some(0));
    }
}

const BUTTONS: [&str; 4] = ["wiped", "Wiped", "later", "In 2 min"];

#[test]
fn wiped_is_recorded_and_the_notice_goes() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &["actions"]);
    let shop = soaked(&recorder.bus.address);
    let mut watched = Watched::start(&shop);
    watched.says("Wipe now: salt-1");
    let notice = recorder.stands().pop().unwrap();
    assert_eq!(notice["actions"], serde_json::json!(BUTTONS));
    // No button of ours, and one of another program's notice.
    recorder.press(&notice, "other");
    recorder.press(&serde_json::json!({ "id": 77 }), "wiped");
    recorder.press(&notice, "wiped");
    watched.says("done: salt-1 coat 1 of 2, house oil");
    assert!(!shop.json("lot show salt-1")["steps"][0]["done"].is_null());
    watched.end();
    assert_eq!(recorder.standing(), Vec::<String>::new());
}

#[test]
fn no_button_records_a_coat_that_may_come_from_either_of_two_cans() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &["actions"]);
    let shop = soaked(&recorder.bus.address);
    shop.run("can open 'house oil' --name K9").ok();
    let mut watched = Watched::start(&shop);
    watched.says("Wipe now: salt-1");
    watched.says("  Record it: tackfree done salt-1 --can NAME");
    watched.end();
    assert_eq!(recorder.calls()[0]["actions"], serde_json::json!(BUTTONS[2..]));
}

#[test]
fn in_two_minutes_it_is_told_again_and_not_before() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &["actions"]);
    let mut shop = soaked(&recorder.bus.address);
    let mut watched = Watched::start(&shop);
    watched.says("Wipe now: salt-1");
    recorder.press(&recorder.stands().pop().unwrap(), "later");
    watched.says("salt-1: wipe coat 1 of 2, house oil: told again today 10:02");
    watched.end();
    assert_eq!(recorder.standing(), Vec::<String>::new());
    shop.at("2026-03-25T10:01:00Z").run("remind send").ok();
    assert_eq!(recorder.standing(), Vec::<String>::new());
    shop.at("2026-03-25T10:02:00Z").run("remind send").ok();
    assert_eq!(recorder.standing(), ["Wipe now: salt-1, 36 pieces, start by 10:07"]);
    assert_eq!(recorder.stands()[0]["actions"], serde_json::json!([]), "nobody would hear them");
}

#[test]
fn a_notice_that_another_run_has_shown_gets_its_buttons_once() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &["actions"]);
    let shop = soaked(&recorder.bus.address);
    shop.run("remind send").ok();
    assert_eq!(recorder.stands()[0]["actions"], serde_json::json!([]));
    for _ in 0..2 {
        let mut watched = Watched::start(&shop);
        watched.says("salt-1 wipe");
        watched.end();
    }
    let shown: Vec<_> = recorder.calls().iter().map(|call| call["replaces"].clone()).collect();
    assert_eq!(shown, [0, 1], "in the place of the first one, without another");
    let again = &recorder.calls()[1];
    assert_eq!((&again["actions"], &again["sound"]), (&serde_json::json!(BUTTONS), &().into()));
}

#[test]
fn a_service_without_buttons_is_given_none() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &[]);
    let shop = soaked(&recorder.bus.address);
    let mut watched = Watched::start(&shop);
    watched.says("Wipe now: salt-1");
    watched.end();
    assert_eq!(recorder.calls()[0]["actions"], serde_json::json!([]));
}

#[test]
fn on_a_real_daemon_wiped_is_pressed() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let shop = soaked(&desk.bus.address);
    let mut watched = Watched::start(&shop);
    watched.says("Wipe now: salt-1");
    assert!(desk.comes_to(1));
    desk.press_first();
    watched.says("done: salt-1 coat 1 of 2, house oil");
    assert!(desk.comes_to(0));
    watched.end();
}
