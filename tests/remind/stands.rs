//! A notice lives as long as its thing: replaced at the next stage, closed when it is settled, shown again by a new daemon.

use super::desk::{Desk, Recorder};
use super::shop::at;
use crate::harness::{TestShop, here};

fn none() -> Vec<String> {
    Vec::new()
}

/// A shop on a desktop that writes down, with an open can and a batch of 132.
fn shop(now: &str) -> (TestShop, Recorder) {
    let recorder = Recorder::start("yes", &["actions"]);
    let mut shop = at(now);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 132").ok();
    (shop, recorder)
}

fn send(shop: &mut TestShop, now: &str) {
    shop.at(now);
    shop.run("remind send").ok();
}

#[test]
fn each_stage_takes_the_place_of_the_one_before_and_what_is_done_is_closed() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (mut shop, recorder) = shop("2026-03-25T10:00:00Z");
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    for minute in [10, 12, 14, 20, 33] {
        send(&mut shop, &format!("2026-03-25T10:{minute}:00Z"));
    }
    let calls = recorder.calls();
    let replaced: Vec<_> = calls.iter().map(|call| call["replaces"].as_u64().unwrap()).collect();
    assert_eq!(replaced, [0, 1, 1, 1, 1]);
    assert_eq!(recorder.standing().len(), 1);
    shop.run("done salt-1").ok();
    send(&mut shop, "2026-03-25T10:34:00Z");
    assert_eq!(recorder.standing(), none());

    // Its rags: one notice too, until they are dealt with.
    for hour in [11, 12, 14] {
        send(&mut shop, &format!("2026-03-25T{hour}:34:00Z"));
    }
    assert_eq!(recorder.standing(), ["Oily rags lying: salt-1, 4 h 1 m"]);
    shop.run("rags done --how 'under water, can outside'").ok();
    send(&mut shop, "2026-03-25T14:35:00Z");
    assert_eq!(recorder.standing(), none());
}

#[test]
fn what_is_undone_put_off_or_dealt_with_is_closed_without_a_sound() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (mut shop, recorder) = shop("2026-03-25T10:00:00Z");
    for _ in 0..3 {
        shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    }
    send(&mut shop, "2026-03-26T10:00:00Z");
    assert_eq!(recorder.standing(), ["Ready: 3 lots"]);
    shop.run("remind later salt-1 2h").ok();
    send(&mut shop, "2026-03-26T10:01:00Z");
    shop.run("begin salt-2").ok();
    send(&mut shop, "2026-03-26T10:02:00Z");
    assert_eq!(recorder.standing(), ["Ready: salt-3, coat 2 of 2, house oil"]);
    let said: Vec<_> = recorder.calls().iter().map(|call| call["sound"].clone()).collect();
    assert!(said.iter().all(serde_json::Value::is_null), "{said:?}");
    shop.run("undo --why 'wrong lot'").ok();
    send(&mut shop, "2026-03-26T10:03:00Z");
    assert_eq!(
        recorder.standing(),
        ["Ready: salt-3, coat 2 of 2, house oil", "Ready: salt-2, coat 2 of 2, house oil"],
        "what is undone is to be done again"
    );
    shop.run("lot hold salt-2 --why dust").ok();
    shop.run("lot hold salt-3 --why dust").ok();
    send(&mut shop, "2026-03-26T10:04:00Z");
    assert_eq!(recorder.standing(), none());
    // Put off till noon it comes by itself.
    send(&mut shop, "2026-03-26T12:00:00Z");
    assert_eq!(recorder.standing(), ["Ready: salt-1, coat 2 of 2, house oil"]);
}

#[test]
fn a_daemon_started_anew_shows_what_must_not_be_lost_and_only_that() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (mut shop, mut recorder) = shop("2026-03-25T10:00:00Z");
    shop.run("lot start salt --pieces 10 --rack drip-1 --from 2").ok();
    shop.at("2026-03-26T10:00:00Z");
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-2").ok();
    send(&mut shop, "2026-03-26T10:12:00Z");
    assert_eq!(recorder.standing().len(), 2);
    recorder.restart();
    send(&mut shop, "2026-03-26T10:13:00Z");
    assert_eq!(recorder.standing(), ["Wipe now: salt-2, 36 pieces, start by 10:19"]);
    let shown = recorder.calls();
    assert_eq!((shown.len(), &shown[0]["replaces"]), (1, &0.into()), "its number was another's");
    send(&mut shop, "2026-03-26T10:13:30Z");
    assert_eq!(recorder.calls().len(), 1, "once is enough");
    shop.run("done salt-2").ok();
    send(&mut shop, "2026-03-26T10:13:40Z");
    assert_eq!(recorder.standing(), none());
}

#[test]
fn a_soak_is_put_off_no_further_than_its_latest_start() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (mut shop, recorder) = shop("2026-03-25T10:00:00Z");
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    send(&mut shop, "2026-03-25T10:12:00Z");
    assert_eq!(
        shop.run("remind later salt-1 20m").ok(),
        "salt-1: wipe coat 1 of 2, house oil: told again today 10:19, in 7 m 42 s.\n"
    );
    assert_eq!(
        shop.run("remind clear salt-1").ok(),
        "Its wipe is told until it is done: tackfree done salt-1\n"
    );
    send(&mut shop, "2026-03-25T10:14:00Z");
    assert_eq!(recorder.standing(), none());
    send(&mut shop, "2026-03-25T10:19:42Z");
    assert_eq!(recorder.standing(), ["Wipe now: salt-1, 36 pieces, start by 10:19"]);
}

#[test]
fn on_a_real_daemon_a_settled_wipe_leaves_the_screen() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let mut shop = at("2026-03-25T10:00:00Z");
    shop.set("DBUS_SESSION_BUS_ADDRESS", &desk.bus.address);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    for minute in [10, 12, 14, 33] {
        send(&mut shop, &format!("2026-03-25T10:{minute}:00Z"));
    }
    assert!(desk.comes_to(1));
    shop.run("done salt-1").ok();
    send(&mut shop, "2026-03-25T10:34:00Z");
    assert!(desk.comes_to(0));
}

#[test]
fn a_day_of_sixty_events_leaves_only_what_still_means_something() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (shop, recorder) = shop("2026-03-25T08:30:00Z");
    sixty_events(shop, &|only| assert_eq!(recorder.standing(), [only]));
}

#[test]
fn a_day_of_sixty_events_leaves_one_notice_on_a_real_daemon() {
    if !here(&["dunst"]) {
        return;
    }
    let desk = Desk::start();
    let mut shop = at("2026-03-25T08:30:00Z");
    shop.set("DBUS_SESSION_BUS_ADDRESS", &desk.bus.address);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 132").ok();
    sixty_events(shop, &|only| assert!(desk.comes_to(1), "{only}: {}", desk.displayed()));
    let shown = desk.read_back(1);
    assert_eq!(shown[0].summary, "Oily rags lying: mint-1, 20 m");
}

/// The day's events; `look` is told what alone is to stand on the screen.
fn sixty_events(mut shop: TestShop, look: &dyn Fn(&str)) {
    shop.run("batch open mint --recipe waxed --pieces 100").ok();
    shop.run("can open 'oil & wax <fine>' --name W1").ok();
    let events = std::cell::Cell::new(0);
    let event = |shop: &mut TestShop, now: tackfree::time::Instant, line: &str| {
        shop.at(&now.to_rfc3339());
        shop.run(line).ok();
        shop.run("remind send").ok();
        events.set(events.get() + 1);
    };
    let minute = |minute: i64| {
        tackfree::time::Span::minutes(minute).after("2026-03-25T08:30:00Z".parse().unwrap())
    };
    // Ten lots one after the other: started, begun, wiped in time or late, their rags dealt with or not.
    for lot in 1..=10_i64 {
        let begin = (lot - 1) * 45;
        event(&mut shop, minute(begin), "lot start salt --pieces 12 --rack drip-1");
        event(&mut shop, minute(begin), &format!("begin salt-{lot}"));
        shop.at(&minute(begin + 10).to_rfc3339());
        shop.run("remind send").ok();
        let done = if lot % 3 == 0 { 25 } else { 14 };
        event(&mut shop, minute(begin + done), &format!("done salt-{lot}"));
        event(&mut shop, minute(begin + 30), "lot list");
        if lot % 4 != 0 {
            event(&mut shop, minute(begin + 40), "rags done --how 'under water, can outside'");
        }
        event(&mut shop, minute(begin + 44), &format!("lot hold salt-{lot} --why 'a look at it'"));
        event(&mut shop, minute(begin + 44), &format!("lot release salt-{lot}"));
    }
    assert!(events.get() >= 60, "{}", events.get());
    // At eight in the evening nothing is left but what was never recorded: a soak begun and the rags of the day's end.
    event(&mut shop, minute(690), "lot start mint --pieces 9 --rack drip-1");
    event(&mut shop, minute(690), "begin mint-1");
    event(&mut shop, minute(705), "due");
    look("Wipe now: mint-1, 9 pieces, start by 20:19");
    event(&mut shop, minute(710), "done mint-1");
    event(&mut shop, minute(730), "due");
    look("Oily rags lying: mint-1, 20 m");
}

#[test]
fn a_clock_a_year_ahead_for_one_run_takes_nothing_away() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let (mut shop, recorder) = shop("2026-03-25T10:00:00Z");
    shop.run("lot start salt --pieces 10 --rack drip-1").ok();
    shop.run("done salt-1").ok();
    shop.run("rags done --how 'under water, can outside'").ok();
    send(&mut shop, "2027-03-26T10:00:00Z");
    assert_eq!(recorder.standing(), ["Window closed: salt-1"]);
    send(&mut shop, "2026-03-25T10:05:00Z");
    assert_eq!(recorder.standing(), none());
    send(&mut shop, "2026-04-02T10:00:00Z");
    assert_eq!(recorder.standing(), ["Window closed: salt-1"], "when it did close");
}
