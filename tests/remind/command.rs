//! The shop's own command: each thing once, whatever becomes of the runs and of the command.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::PermissionsExt as _;

use serde_json::{Value, json};

use super::desk::Recorder;
use super::shop::{in_time, with};
use crate::harness::{TestShop, here};

/// A shop whose one command is that shell script; what it is given stands in `told`, a line a notice.
fn telling(now: &str, script: &str) -> TestShop {
    let shop = with(now, "[remind]\nrun = [\"./tell\", \"to me\"]\n");
    tell(&shop, script);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 200").ok();
    shop
}

fn tell(shop: &TestShop, script: &str) {
    // Written whole before it takes the old one's place: one that runs is not written over.
    let (new, path) = (shop.folder().join("new"), shop.folder().join("tell"));
    fs::write(&new, format!("#!/bin/sh\n{script}\n")).unwrap();
    fs::set_permissions(&new, fs::Permissions::from_mode(0o755)).unwrap();
    fs::rename(new, path).unwrap();
}

fn told(shop: &TestShop) -> Vec<Value> {
    let text = fs::read_to_string(shop.folder().join("told")).unwrap_or_default();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

const TAKES: &str = "cat >> told";

#[test]
fn a_notice_is_one_json_object_and_exit_0_is_told_once_without_any_desktop() {
    let mut shop = telling("2026-03-25T09:48:00Z", TAKES);
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    shop.at("2026-03-25T10:00:00Z");
    let said = shop.run("remind send").ok();
    assert!(
        said.starts_with("Wipe now: salt-1, 36 pieces, start by 10:07 (sent by ./tell)\n"),
        "{said}"
    );
    assert_eq!(
        told(&shop),
        [json!({
            "key": "tackfree-wipe-salt-1",
            "kind": "wipe",
            "urgency": "critical",
            "sound": "alarm-clock-elapsed",
            "summary": "Wipe now: salt-1, 36 pieces, start by 10:07",
            "body": "wipe coat 1 of 2, house oil, 36 pieces on drip-1, the last off by 10:19\nRecord it: tackfree done salt-1",
            "lots": ["salt-1"],
        })]
    );
    assert_eq!(shop.run("remind send").ok(), "Nothing to tell that was not told.\n");
    assert_eq!(told(&shop).len(), 1);
}

#[test]
fn with_a_desktop_both_are_told_each_once_and_one_that_comes_later_too() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let mut shop = telling("2026-03-25T10:00:00Z", TAKES);
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.at("2026-03-26T10:00:00Z");
    shop.run("remind send").ok();
    let recorder = Recorder::start("yes", &[]);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    for minute in [31, 32] {
        shop.at(&format!("2026-03-26T10:{minute}:00Z"));
        shop.run("remind send").ok();
    }
    assert_eq!((told(&shop).len(), recorder.calls().len()), (1, 1));
}

#[test]
fn any_number_of_commands_each_with_its_kinds() {
    let lines = "[[remind.run]]\ncommand = [\"./tell\"]\nkinds = [\"wipe\", \"rags\"]\n\
                 [[remind.run]]\ncommand = [\"sh\", \"-c\", \"cat >> all\"]\n";
    let mut shop = with("2026-03-25T09:48:00Z", lines);
    tell(&shop, TAKES);
    shop.run("batch open salt --recipe 'two coats' --pieces 200").ok();
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.at("2026-03-26T09:48:00Z");
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-2").ok();
    shop.at("2026-03-26T10:00:00Z");
    shop.run("remind send").ok();
    let kinds: Vec<Value> = told(&shop).iter().map(|notice| notice["kind"].clone()).collect();
    assert_eq!(kinds, ["wipe"]);
    assert_eq!(shop.read("all").lines().count(), 2);
}

#[test]
fn what_fails_stays_pending_and_is_told_once_it_does_not() {
    for failing in ["exit 3", "kill -9 $$", "cat >/dev/null; exit 1"] {
        let mut shop = telling("2026-03-25T10:00:00Z", failing);
        shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
        shop.at("2026-03-26T10:00:00Z");
        let run = in_time(&shop, "remind send");
        assert!(run.err.starts_with("1 reminder stays pending: ./tell: "), "{run:?}");
        tell(&shop, TAKES);
        shop.run("remind send").ok();
        shop.run("remind send").ok();
        assert_eq!(told(&shop).len(), 1, "{failing}");
    }
    let mut shop = with("2026-03-25T10:00:00Z", "[remind]\nrun = [\"no such program\"]\n");
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.at("2026-03-26T10:00:00Z");
    assert!(in_time(&shop, "remind send").err.contains("no such program: "));
}

#[test]
fn one_that_does_not_end_is_ended_and_one_that_does_not_read_keeps_nobody() {
    let mut shop = telling("2026-03-25T10:00:00Z", "exec sleep 60");
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.at("2026-03-26T10:00:00Z");
    let run =
        super::shop::under(&["timeout", "10"], &shop.command("remind send")).output().unwrap();
    let err = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(0), "{err}");
    assert!(err.contains("./tell: did not end within 4 s"), "{err}");
    tell(&shop, "exit 0");
    let said = shop.run("remind send").ok();
    assert!(said.contains("(sent by ./tell)"), "{said}");
}

#[test]
fn forty_things_by_six_runs_at_once_are_each_told_once() {
    let mut shop = telling("2026-03-25T10:00:00Z", TAKES);
    for _ in 0..40 {
        shop.run("lot start salt --pieces 1 --rack drip-1 --from 2").ok();
    }
    shop.at("2026-03-26T10:00:00Z");
    let runs: Vec<_> = (0..6)
        .map(|_| {
            let mut command = shop.command("remind send");
            command.stdout(std::process::Stdio::null()).spawn().unwrap()
        })
        .collect();
    for mut run in runs {
        run.wait().unwrap();
    }
    shop.at("2026-03-26T10:01:00Z");
    shop.run("remind send").ok();
    let mut lots: BTreeMap<String, usize> = BTreeMap::new();
    for notice in told(&shop) {
        for lot in notice["lots"].as_array().unwrap() {
            *lots.entry(lot.as_str().unwrap().to_owned()).or_default() += 1;
        }
    }
    assert_eq!(lots.len(), 40);
    assert!(lots.values().all(|times| *times == 1), "{lots:?}");
}

#[test]
fn outside_open_hours_it_is_told_of_soaks_and_rags_alone() {
    let mut shop = telling("2026-03-25T10:00:00Z", TAKES);
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.run("lot start salt --pieces 10 --rack drip-1").ok();
    shop.run("done salt-2").ok();
    shop.at("2026-03-26T21:00:00Z");
    shop.run("remind send").ok();
    let kinds: Vec<Value> = told(&shop).iter().map(|notice| notice["kind"].clone()).collect();
    assert_eq!(kinds, ["rags"]);
}

#[test]
fn the_shops_own_sound_is_made_where_the_desktop_makes_none() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    for (capabilities, heard) in [(&[][..], 1), (&["sound"], 0)] {
        let recorder = Recorder::start("yes", capabilities);
        let lines = "[remind]\nsound = [\"sh\", \"-c\", \"cat >> heard\"]\n";
        let mut shop = with("2026-03-25T09:48:00Z", lines);
        shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
        shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
        shop.run("lot start salt --pieces 36 --rack drip-1").ok();
        shop.run("begin salt-1").ok();
        shop.at("2026-03-25T10:00:00Z");
        shop.run("remind send").ok();
        shop.run("remind send").ok();
        let count = |shop: &TestShop| {
            fs::read_to_string(shop.folder().join("heard")).unwrap_or_default().lines().count()
        };
        assert_eq!(count(&shop), heard);
        shop.run("remind test wipe").ok();
        assert_eq!(count(&shop), heard * 2);
        let last = recorder.calls().pop().unwrap();
        assert_eq!((&last["urgency"], &last["sound"]), (&2.into(), &"alarm-clock-elapsed".into()));
    }
}

#[test]
fn a_setup_that_names_no_kind_or_no_program_is_at_fault() {
    let shop = super::shop::at("2026-03-25T10:00:00Z");
    let setup = shop.read("shop.toml");
    for (lines, said) in [
        ("run = [{ command = [\"a\"], kinds = [\"wype\"] }]", "isn't a kind of reminder"),
        ("run = []", "no program"),
        ("sound = \"beep\"", "a program and its arguments"),
        ("ring = [\"beep\"]", "ring"),
    ] {
        shop.write("wrong.toml", &format!("{setup}\n[remind]\n{lines}\n"));
        let fault = shop.run("setup check wrong.toml").fails(3);
        assert!(fault.to_lowercase().contains(said), "{fault}");
    }
    shop.write("right.toml", &format!("{setup}\n[remind]\nrun = [\"a\"]\n"));
    let changes = shop.run("setup load right.toml").ok();
    assert!(changes.contains("run [\"a\"] added"), "{changes}");
}
