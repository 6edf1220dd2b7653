//! Notices through the program's own commands: on a real daemon, on one that writes down, and on none.

use std::io::{BufRead as _, BufReader};
use std::os::unix::net::UnixListener;

use serde_json::json;

use super::desk::{Desk, Recorder, Shown};
use super::shop::{at, in_time, on_a_terminal};
use crate::harness::{TestShop, here};

/// A Wednesday at ten: salt-1 soaks since 09:48, all on by now, its wipe begun by 10:07:42 at the latest for the first piece
/// to be off after twenty minutes; salt-2 cured on the Sunday before.
fn soak_and_cured() -> TestShop {
    let mut shop = at("2026-03-01T10:00:00Z");
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("lot start salt --pieces 24 --rack drip-1 --from 4").ok();
    shop.at("2026-03-25T09:48:00Z");
    shop.run("begin salt-1").ok();
    shop.at("2026-03-25T10:00:00Z");
    shop
}

fn wipe() -> Shown {
    Shown {
        summary: "Wipe now: salt-1, 36 pieces, start by 10:07".to_owned(),
        body: "wipe coat 1 of 2, house oil, 36 pieces on drip-1, the last off by 10:19\nRecord it: tackfree done salt-1"
            .to_owned(),
        urgency: "critical".to_owned(),
    }
}

fn cured() -> Shown {
    Shown {
        summary: "The sheet's cure time is reached: salt-2".to_owned(),
        body: "inspect, 24 pieces on drip-1 (the sheet's own time: no readings of the room)\n\
               Record it: tackfree done salt-2; they may ship once their last step is done."
            .to_owned(),
        urgency: "normal".to_owned(),
    }
}

#[test]
fn a_soak_and_a_cure_are_read_back_from_a_real_daemon() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &desk.bus.address);
    let sent = shop.json("remind send");
    let outcomes: Vec<_> =
        sent["notices"].as_array().unwrap().iter().map(|n| &n["outcome"]).collect();
    assert_eq!(outcomes, ["sent", "sent"]);
    assert_eq!(desk.read_back(2), [wipe(), cured()]);
    assert_eq!(shop.run("remind send").ok(), "Nothing to tell that was not told.\n");
}

#[test]
fn a_daemon_that_wakes_up_shows_once_what_was_sent_twice() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &desk.bus.address);
    desk.signal("STOP");
    let run = in_time(&shop, "remind send");
    desk.signal("CONT");
    assert_eq!(run.code, 0);
    assert!(run.err.contains("2 reminders stay pending: the desktop gave no answer"), "{run:?}");
    assert!(run.out.contains("Wipe now: salt-1, 36 pieces, start by 10:07 (pending)"), "{run:?}");
    // The lease of a claim is over.
    shop.at("2026-03-25T10:00:30Z");
    shop.run("remind send").ok();
    let mut shown = desk.read_back(2);
    shown.sort_by(|a, b| b.summary.cmp(&a.summary));
    assert_eq!(shown, [wipe(), cured()]);
}

#[test]
fn a_test_notice_arrives() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let mut shop = at("2026-03-25T10:00:00Z");
    shop.set("DBUS_SESSION_BUS_ADDRESS", &desk.bus.address);
    shop.run("remind test").ok();
    assert_eq!(desk.read_back(1)[0].summary, "A test of tackfree's reminders");
}

#[test]
fn a_rooms_air_against_a_coat_leaves_its_window_open() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let mut shop = at("2026-03-25T10:00:00Z");
    let recorder = Recorder::start("yes", &[]);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("done salt-1").ok();
    shop.run("rags done --how 'under water, can outside'").ok();
    shop.at("2026-03-26T10:30:00Z").run("climate add 'oil room' --temp 8 --humidity 90").ok();
    let sent = shop.run("remind send").ok();
    assert!(sent.contains("Not the air for a coat: salt-1"), "{sent}");
    assert!(sent.contains("no later than") && !sent.contains("was to be by"), "{sent}");
}

/// Runs `remind send` where nobody shows anything; everything stays pending and is told once there is a desktop.
fn stays_pending(shop: &mut TestShop, why: &str) {
    let run = in_time(shop, "remind send");
    assert_eq!(run.code, 0, "{run:?}");
    assert!(run.err.starts_with("2 reminders stay pending: ") && run.err.contains(why), "{run:?}");
    assert_eq!(run.err.lines().count(), 1);
    for part in [
        "Wipe now: salt-1, 36 pieces, start by 10:07 (pending)",
        "tackfree done salt-1",
        "cure time is reached: salt-2 (pending)",
    ] {
        assert!(run.out.contains(part), "{run:?}");
    }
    let recorder = Recorder::start("yes", &[]);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.at("2026-03-25T10:00:30Z");
    shop.run("remind send").ok();
    assert_eq!(recorder.calls().len(), 2);
}

#[test]
fn without_a_bus_reminders_are_printed_and_stay_pending() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    stays_pending(&mut soak_and_cured(), "the desktop can't be reached");
}

#[test]
fn on_a_bus_without_a_daemon_they_stay_pending() {
    if !here(&["dunst"]) {
        return;
    }
    let bus = super::desk::Bus::start();
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &bus.address);
    stays_pending(&mut shop, "org.freedesktop.Notifications");
}

#[test]
fn on_a_socket_that_never_answers_they_stay_pending() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut shop = soak_and_cured();
    let path = shop.folder().join("deaf");
    let deaf = UnixListener::bind(&path).unwrap();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &format!("unix:path={}", path.display()));
    stays_pending(&mut shop, "gave no answer");
    drop(deaf);
}

#[test]
fn a_daemon_that_answers_with_an_error_leaves_them_pending() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("error", &[]);
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    stays_pending(&mut shop, "the screen is full");
    assert_eq!(recorder.calls().len(), 2);
}

#[test]
fn a_daemon_that_takes_and_never_answers_leaves_them_pending() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("never", &[]);
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    stays_pending(&mut shop, "gave no answer");
    // The second was not handed over: nobody answered the first.
    assert_eq!(recorder.calls().len(), 1);
}

#[test]
fn urgency_sound_and_a_tag_go_with_a_notice() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &["body", "body-markup"]);
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.run("remind send").ok();
    let calls = recorder.calls();
    let seen: Vec<_> =
        calls.iter().map(|c| json!([c["app"], c["urgency"], c["sound"], c["timeout"]])).collect();
    assert_eq!(
        seen,
        [json!(["tackfree", 2, "alarm-clock-elapsed", 0]), json!(["tackfree", 1, null, -1])]
    );
    let tags: Vec<_> = calls.iter().map(|c| c["tag"].as_str().unwrap()).collect();
    assert!(tags == ["tackfree-wipe-salt-1", "tackfree-cured-salt-2"], "{tags:?}");
}

#[test]
fn markup_is_escaped_where_the_daemon_reads_it_and_nowhere_else() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    for (capabilities, shown) in [
        (&["body"][..], "oil & wax <fine>"),
        (&["body", "body-markup"], "oil &amp; wax &lt;fine&gt;"),
    ] {
        let recorder = Recorder::start("yes", capabilities);
        let mut shop = at("2026-03-25T09:48:00Z");
        shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
        shop.run("batch open salt --recipe waxed --pieces 9").ok();
        shop.run("lot start salt --pieces 9 --rack drip-1").ok();
        shop.run("begin salt-1").ok();
        shop.at("2026-03-25T10:00:00Z");
        shop.run("remind send").ok();
        let calls = recorder.calls();
        let body = calls[0]["body"].as_str().unwrap();
        assert!(body.starts_with(&format!("wipe coat 1 of 2, {shown}, 9 pieces")), "{body}");
    }
}

#[test]
fn watch_prints_plain_lines_into_a_pipe_and_stops_on_ctrl_c() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &[]);
    let mut shop = soak_and_cured();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    let mut watch = shop.command("remind watch").spawn().unwrap();
    let mut lines = BufReader::new(watch.stdout.take().unwrap()).lines().map(Result::unwrap);
    let until_sent: Vec<String> = lines.by_ref().take(9).collect();
    assert_eq!(
        until_sent,
        [
            "Watching. Ctrl-C ends it.",
            "salt-1 wipe coat 1 of 2, house oil: wipe from today 10:00, begin no later than today 10:07",
            "salt-2 inspect: since Sun 22 Mar 10:00",
            "Wipe now: salt-1, 36 pieces, start by 10:07 (sent)",
            "  wipe coat 1 of 2, house oil, 36 pieces on drip-1, the last off by 10:19",
            "  Record it: tackfree done salt-1",
            "The sheet's cure time is reached: salt-2 (sent)",
            "  inspect, 24 pieces on drip-1 (the sheet's own time: no readings of the room)",
            "  Record it: tackfree done salt-2; they may ship once their last step is done.",
        ]
    );
    let kill = std::process::Command::new("kill")
        .args(["-INT", &watch.id().to_string()])
        .status()
        .unwrap();
    assert!(kill.success());
    let rest: Vec<String> = lines.collect();
    assert_eq!(rest, ["Stopped watching. What is still due is still due."]);
    assert_eq!(watch.wait().unwrap().code(), Some(0));
    assert_eq!(recorder.calls().len(), 2);
}

#[test]
fn watch_counts_the_soak_down_with_a_bar_on_a_terminal() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let mut shop = soak_and_cured();
    shop.run("lot start salt --pieces 10 --rack drip-1").ok();
    shop.run("begin salt-3").ok();
    shop.at("2026-03-25T10:05:00Z");
    let script = json!([["salt-2 inspect: since", "\u{3}"]]);
    let shown = on_a_terminal(&shop, "remind watch", &script);
    // Of the 19 m 42 s to the latest start of a wipe 17 m are gone, and 5 m.
    assert!(
        shown
            .contains("salt-1 wipe coat 1 of 2, house oil  [====================>   ]  WIPE NOW, 2 m 42 s left"),
        "{shown}"
    );
    assert!(
        shown.contains(
            "salt-3 wipe coat 1 of 2, house oil  [======>                 ]  5 m 38 s to the wipe"
        ),
        "{shown}"
    );
    assert!(
        shown.contains("wipe coat 1 of 2, house oil, 36 pieces on drip-1, the last off by 10:19"),
        "{shown}"
    );
    // One bell for the wipe that is due, and its line bold and reversed.
    assert_eq!(shown.matches('\u{7}').count(), 1, "{shown}");
    assert!(shown.contains("\u{1b}[1;7msalt-1 wipe coat 1 of 2, house oil"), "{shown}");
    assert!(shown.ends_with("Stopped watching. What is still due is still due.\r\n"), "{shown}");
}

#[test]
fn watch_in_json_says_nothing_but_answers() {
    use std::io::{BufRead as _, BufReader};
    let shop = soak_and_cured();
    let mut watch = shop.command("remind watch --json").spawn().unwrap();
    let mut lines = BufReader::new(watch.stdout.take().unwrap()).lines().map(Result::unwrap);
    let mut answer = String::new();
    for line in lines.by_ref() {
        answer.push_str(&line);
        if line == "}" {
            break;
        }
    }
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    assert_eq!(answer["notices"][0]["outcome"], "failed");
    assert_eq!(answer["notices"][0]["lots"], json!(["salt-1"]));
    let kill = std::process::Command::new("kill").args(["-TERM", &watch.id().to_string()]).status();
    assert!(kill.unwrap().success());
    assert_eq!(lines.count(), 0);
    assert_eq!(watch.wait().unwrap().code(), Some(0));
}

#[test]
fn watch_goes_on_when_another_program_holds_the_database() {
    use std::io::{BufRead as _, BufReader};
    let shop = soak_and_cured();
    let mut watch = shop.command("remind watch").spawn().unwrap();
    let mut lines = BufReader::new(watch.stdout.take().unwrap()).lines().map(Result::unwrap);
    assert!(lines.any(|line| line.starts_with("1 reminder") || line.contains("stay pending")));
    let holder = rusqlite::Connection::open(shop.database()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    assert!(lines.any(|line| line.starts_with("Another program is writing to the database")));
    holder.execute_batch("COMMIT").unwrap();
    shop.run("lot start salt --pieces 10 --rack drip-1").ok();
    shop.run("begin salt-3").ok();
    assert!(lines.any(|line| line.starts_with("salt-3 wipe coat 1 of 2, house oil")));
    let kill = std::process::Command::new("kill").args(["-INT", &watch.id().to_string()]).status();
    assert!(kill.unwrap().success());
    assert_eq!(lines.last().unwrap(), "Stopped watching. What is still due is still due.");
    assert_eq!(watch.wait().unwrap().code(), Some(0));
}
