//! What is told when: open hours, windows, rags, rooms; and what a person puts off.

use serde_json::Value;
use tackfree::remind::due::{Thing, due};
use tackfree::shop::climate::RoomReading;
use tackfree::shop::refusal::Refusal;
use tackfree::store::{self, Memory, Store};
use tackfree::units::{Celsius, Humidity};

use super::desk::Recorder;
use super::shop::{at, loaded};
use crate::harness::{TestShop, here};

/// A shop with a desktop that writes down, where one lot of 36 is coated once on Wednesday, 25 March 2026, at 10:00.
struct Told {
    shop: TestShop,
    recorder: Recorder,
}

impl Told {
    fn shop(now: &str) -> Self {
        let recorder = Recorder::start("yes", &[]);
        let mut shop = at(now);
        shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
        shop.run("can open 'house oil' --name K7").ok();
        shop.run("can open 'oil & wax <fine>' --name W1").ok();
        shop.run("batch open salt --recipe 'two coats' --pieces 132").ok();
        shop.run("batch open wax --recipe waxed --pieces 36").ok();
        Self { shop, recorder }
    }

    fn coated() -> Self {
        let told = Self::shop("2026-03-25T10:00:00Z");
        told.shop.run("lot start salt --pieces 36 --rack drip-1").ok();
        told.shop.run("done salt-1").ok();
        told.shop.run("rags done --how 'under water, can outside'").ok();
        told
    }

    /// What is told for the first time at that moment: the summaries.
    fn at(&mut self, now: &str) -> Vec<String> {
        let calls = self.calls_at(now);
        calls.iter().map(|call| call["summary"].as_str().unwrap().to_owned()).collect()
    }

    fn bodies_at(&mut self, now: &str) -> Vec<String> {
        let calls = self.calls_at(now);
        calls.iter().map(|call| call["body"].as_str().unwrap().to_owned()).collect()
    }

    fn calls_at(&mut self, now: &str) -> Vec<Value> {
        self.shop.at(now);
        let before = self.recorder.calls().len();
        self.shop.run("remind send").ok();
        self.recorder.calls().split_off(before)
    }
}

#[test]
fn a_coat_is_ready_once_its_rest_is_over_and_told_once() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::coated();
    assert!(told.at("2026-03-26T09:59:59Z").is_empty());
    let bodies = told.bodies_at("2026-03-26T10:00:00Z");
    assert_eq!(
        bodies,
        [
            "coat 2 of 2, house oil, 36 pieces on drip-1, no later than Wed 1 Apr 11:00\nRecord it: tackfree done salt-1"
        ]
    );
    assert!(told.at("2026-03-26T10:01:00Z").is_empty());
    assert!(told.at("2026-03-27T16:00:00Z").is_empty());
}

#[test]
fn a_step_taken_back_and_done_again_is_another_thing() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::coated();
    assert_eq!(told.at("2026-03-26T10:00:00Z"), ["Ready: salt-1, coat 2 of 2, house oil"]);
    told.shop.run("done salt-1").ok();
    told.shop.run("undo --why 'wrong lot'").ok();
    assert_eq!(
        told.at("2026-03-26T11:00:00Z"),
        Vec::<String>::new(),
        "the same entry stands before it"
    );
    told.shop.run("done salt-1").ok();
    told.shop.run("rags done --how 'under water, can outside'").ok();
    // Cured 21 days later, a Thursday at noon.
    assert_eq!(told.at("2026-04-16T11:00:00Z"), ["The sheet's cure time is reached: salt-1"]);
}

#[test]
fn a_window_is_said_to_close_half_an_open_day_before_and_to_have_closed() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    // The window closes on Wednesday, 1 April, at 11:00 local; the step takes 23 minutes.
    let mut told = Told::coated();
    told.at("2026-03-26T10:00:00Z");
    // On Tuesday from 15:37 local on 4 h 23 m of open time are left of it.
    assert!(told.at("2026-03-31T14:36:00Z").is_empty());
    assert_eq!(told.at("2026-03-31T14:37:00Z"), ["Window closing: salt-1"]);
    // Again when the day begins on which it closes, and in its last hour.
    assert!(told.at("2026-03-31T16:29:59Z").is_empty());
    assert_eq!(told.at("2026-04-01T07:30:00Z")[0], "Window closing: salt-1");
    assert!(told.at("2026-04-01T08:59:59Z").is_empty());
    assert_eq!(told.at("2026-04-01T09:00:00Z"), ["Window closing: salt-1"]);
    assert!(told.at("2026-04-01T10:00:00Z").is_empty());
    let bodies = told.bodies_at("2026-04-01T10:00:01Z");
    assert_eq!(bodies.len(), 1);
    assert!(
        bodies[0].contains("was to be by today 11:00")
            && bodies[0].contains("--anyway \"abraded\""),
        "{bodies:?}"
    );
    assert!(told.at("2026-04-02T10:00:00Z").is_empty());
}

#[test]
fn past_a_window_it_is_the_coat_that_is_recorded_with_a_reason_not_the_rub_before_it() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    let rubbed = "[[recipe]]\nname = \"rubbed\"\npiece = \"pinch bowl\"\nsteps = [\n  { coat = \"house oil\", each = \"20s\", wipe = \"18s\" },\n  \
        { rub = \"P400\", each = \"15s\" },\n  { coat = \"house oil\", each = \"20s\", wipe = \"18s\" },\n  { cure = \"house oil\" },\n]\n";
    told.shop.write("shop.toml", &format!("{}\n{rubbed}", told.shop.read("shop.toml")));
    told.shop.run("setup load shop.toml").ok();
    told.shop.run("batch open rub --recipe rubbed --pieces 9").ok();
    told.shop.run("lot start rub --pieces 9 --rack drip-1").ok();
    told.shop.run("done rub-1").ok();
    told.shop.run("rags done --how 'under water, can outside'").ok();
    told.at("2026-04-01T09:00:00Z");
    let bodies = told.bodies_at("2026-04-01T10:30:00Z");
    let [body] = bodies.as_slice() else { panic!("{bodies:?}") };
    assert!(
        body.ends_with(
            "Record it: tackfree done rub-1\nAbrade the film before the coat so that it holds, and record the coat with your \
             reason: --anyway \"abraded\""
        ),
        "{body}"
    );
    told.shop.run("done rub-1").ok();
    told.shop.run("done rub-1 --anyway abraded").ok();
}

#[test]
fn a_lot_cured_on_a_sunday_is_told_on_monday_at_opening() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    // Begun on Sunday 1 March at 12:00, so cured on Sunday 22 March.
    let mut told = Told::shop("2026-03-01T12:00:00Z");
    told.shop.run("lot start salt --pieces 36 --rack drip-1 --from 4").ok();
    for closed in ["2026-03-22T11:59:59Z", "2026-03-22T12:00:00Z", "2026-03-23T08:29:59Z"] {
        assert!(told.at(closed).is_empty(), "{closed}");
    }
    let told_what = told.shop.json("remind send");
    assert_eq!(
        (&told_what["quiet"], &told_what["opens"]),
        (&1.into(), &"2026-03-23T08:30:00+00:00".into())
    );
    assert_eq!(
        told.at("2026-03-23T08:30:00Z"),
        ["The sheet's cure time is reached: salt-1", "Today, Mon 23 Mar"]
    );
    let digest = told.recorder.stands().pop().unwrap();
    assert_eq!(digest["body"], "1 lot has its cure time reached\nSee the day: tackfree today");
    assert_eq!(digest["timeout"], 0, "it stays until it is answered");
}

#[test]
fn a_soak_is_told_ahead_at_its_time_and_each_two_minutes_until_it_is_done_at_night_too() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-28T22:00:00Z");
    told.shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    told.shop.run("begin salt-1").ok();
    // 36 pieces go on by 22:12; the last of them, begun at 22:11:40, is to be off twenty minutes later.
    assert!(told.at("2026-03-28T22:09:59Z").is_empty());
    assert_eq!(
        told.at("2026-03-28T22:10:00Z"),
        ["Wipe at 22:12: salt-1, 36 pieces, last start 22:19"]
    );
    assert!(told.at("2026-03-28T22:11:59Z").is_empty());
    assert_eq!(told.at("2026-03-28T22:12:00Z"), ["Wipe now: salt-1, 36 pieces, start by 22:19"]);
    assert!(told.at("2026-03-28T22:13:59Z").is_empty());
    assert_eq!(told.at("2026-03-28T22:14:00Z"), ["Wipe now: salt-1, 36 pieces, start by 22:19"]);
    assert_eq!(told.at("2026-03-28T22:20:00Z"), ["Wipe now: salt-1, 36 pieces, last off by 22:31"]);
    told.at("2026-03-28T22:30:00Z");
    assert!(told.at("2026-03-28T22:31:40Z").is_empty());
    let over = ["Wipe now, the soak is over: salt-1, 36 pieces"];
    assert_eq!(told.at("2026-03-28T22:31:41Z"), over);
    assert_eq!(told.at("2026-03-28T22:33:41Z"), over);
    // All of it one notice; three days later it is no longer to be wiped.
    assert_eq!(told.recorder.standing(), over);
    assert_eq!(told.at("2026-03-31T22:32:00Z").len(), 1);
    let [left] = &told.recorder.stands()[..] else { panic!() };
    assert_eq!(left["summary"], "Oil was left on: salt-1, 36 pieces, since Sat 28 Mar 22:12");
    assert!(!left["body"].as_str().unwrap().contains("Wipe"), "{left}");
    told.shop.run("done salt-1 --anyway 'oil left on' --step 1").ok();
    told.at("2026-03-31T22:33:00Z");
    assert_eq!(told.recorder.standing(), Vec::<String>::new());
}

#[test]
fn a_wipe_is_told_for_the_minute_that_begin_and_due_say() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:30Z");
    told.shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    let begun = told.shop.run("begin salt-1").ok();
    assert!(begun.contains("start wiping from today 10:13"), "{begun}");
    let said = told.at("2026-03-25T10:11:00Z");
    assert_eq!(said, ["Wipe at 10:13: salt-1, 36 pieces, last start 10:20"]);
}

#[test]
fn a_wipe_says_to_name_the_can_where_several_are_open() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:30Z");
    told.shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    told.shop.run("begin salt-1").ok();
    told.shop.run("can open 'house oil' --name K9").ok();
    let said = told.bodies_at("2026-03-25T10:11:00Z");
    assert!(said[0].ends_with("Record it: tackfree done salt-1 --can NAME"), "{said:?}");
}

#[test]
fn under_two_minutes_the_seconds_are_said() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    // 56 pieces are on after 18 m 40 s, and the first must be off twenty minutes after it was begun, 18 s after its wiping.
    told.shop.run("lot start salt --pieces 56 --rack drip-1").ok();
    told.shop.run("begin salt-1").ok();
    let said = told.at("2026-03-25T10:18:00Z");
    assert_eq!(said, ["Wipe at 10:18:40: salt-1, 56 pieces, last start 10:19:42"]);
}

#[test]
fn a_held_lot_is_wiped_all_the_same_and_told_nothing_else() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::coated();
    told.shop.run("lot start salt --pieces 20 --rack drip-1").ok();
    told.shop.at("2026-03-26T09:55:00Z");
    told.shop.run("begin salt-2").ok();
    for lot in ["salt-1", "salt-2"] {
        told.shop.run(&format!("lot hold {lot} --why 'runs in the film'")).ok();
    }
    assert_eq!(told.at("2026-03-26T10:06:00Z"), ["Wipe now: salt-2, 20 pieces, start by 10:14"]);
}

#[test]
fn rags_are_told_at_any_hour_ever_more_plainly_until_they_are_recorded() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T17:00:00Z");
    told.shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    told.shop.run("done salt-1").ok();
    assert!(told.at("2026-03-25T17:14:59Z").is_empty());
    let first = told.bodies_at("2026-03-25T17:15:00Z");
    assert_eq!(first.len(), 1);
    assert!(
        first[0].starts_with(
            "Put them under water in a lidded metal can before you leave the bench.\nsalt-1: house oil, since today 17:00\n"
        ),
        "{first:?}"
    );
    assert!(!first[0].contains("fire"), "{first:?}");
    let mut hours = Vec::new();
    for minute in 16..60 * 50 {
        let moment =
            tackfree::time::Span::minutes(minute).after("2026-03-25T17:00:00Z".parse().unwrap());
        let due = due(&loaded(&told.shop), &Memory::default(), moment);
        let keys: Vec<String> =
            due.iter().map(Thing::key).filter(|key| key.starts_with("rags")).collect();
        if hours.last().is_none_or(|(_, last)| *last != keys) {
            hours.push((minute, keys));
        }
    }
    let stages: Vec<i64> = hours.iter().skip(1).map(|(minute, _)| *minute).collect();
    assert_eq!(stages, [60, 180, 480, 24 * 60, 48 * 60]);
    // One in the morning.
    let night = told.bodies_at("2026-03-26T01:00:00Z");
    assert!(
        night[0].starts_with("Smoke, heat or a sharp smell: leave it, get out, call the fire"),
        "{night:?}"
    );
    assert!(
        night[0].ends_with("Once they are dealt with: tackfree rags done --how \"…\""),
        "{night:?}"
    );
    told.shop.run("remind clear salt-1").ok();
    assert_eq!(
        told.at("2026-03-26T17:00:00Z"),
        ["Oily rags lying: salt-1, 24 h", "Ready: salt-1, coat 2 of 2, house oil"]
    );
    told.shop.run("rags done --how 'under water, can outside'").ok();
    assert!(told.at("2026-03-28T17:00:00Z").iter().all(|summary| !summary.starts_with("Oily")));
}

#[test]
fn where_the_sheet_says_that_rags_do_not_heat_nobody_is_alarmed() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    told.shop.run("lot start wax --pieces 9 --rack drip-1").ok();
    told.shop.run("done wax-1").ok();
    let bodies = told.bodies_at("2026-03-25T13:30:00Z");
    assert_eq!(
        bodies,
        [
            "wax-1: oil & wax <fine>, since today 10:00\nOnce they are dealt with: tackfree rags done --how \"…\""
        ]
    );
}

#[test]
fn several_of_one_kind_are_one_notice_that_names_every_lot() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    for _ in 0..5 {
        told.shop.run("lot start salt --pieces 10 --rack drip-1 --from 2 --did 1=10:00").ok();
    }
    told.shop.run("lot start wax --pieces 9 --rack drip-1 --from 2 --did 1=10:00").ok();
    told.shop.run("lot hold salt-4 --why dust").ok();
    let calls = told.calls_at("2026-03-26T10:00:00Z");
    let said: Vec<_> = calls.iter().map(|call| call["summary"].as_str().unwrap()).collect();
    assert_eq!(said, ["Window closing: wax-1", "Ready: 4 lots"]);
    assert_eq!(
        calls[1]["body"],
        "salt-1 to salt-3, salt-5: coat 2 of 2, house oil, 40 pieces on drip-1, no later than Wed 1 Apr 11:00\n\
         Record it: tackfree done LOT …"
    );
}

#[test]
fn what_is_put_off_comes_again_and_what_is_cleared_does_not() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::coated();
    assert_eq!(told.at("2026-03-26T10:00:00Z"), ["Ready: salt-1, coat 2 of 2, house oil"]);
    let said = told.shop.run("remind later salt-1 20m").ok();
    assert_eq!(said, "salt-1: coat 2 of 2, house oil: told again today 10:20, in 20 m.\n");
    assert!(told.at("2026-03-26T10:19:59Z").is_empty());
    assert_eq!(told.at("2026-03-26T10:20:00Z"), ["Ready: salt-1, coat 2 of 2, house oil"]);
    told.shop.run("remind clear salt-1").ok();
    assert!(told.at("2026-03-27T10:00:00Z").is_empty());
    // The window is another thing.
    assert_eq!(told.at("2026-03-31T15:00:00Z"), ["Window closing: salt-1"]);
}

#[test]
fn a_lot_that_is_not_there_can_not_be_put_off() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let told = Told::coated();
    let said = told.shop.run("remind later salt-9 20m").refused("unknown-name");
    assert!(said.contains("salt-9"), "{said}");
    assert_eq!(
        told.shop.run("remind clear salt-1").ok(),
        "salt-1: nothing of it is due, so nothing is put off.\n"
    );
}

#[test]
fn a_surface_that_grabs_is_not_called_ready() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::coated();
    told.shop.at("2026-03-26T09:00:00Z");
    told.shop.run("touch salt-1 tacky").ok();
    assert!(told.at("2026-03-26T10:00:00Z").is_empty());
    told.shop.run("touch salt-1 tack-free").ok();
    assert_eq!(told.at("2026-03-26T10:00:01Z"), ["Ready: salt-1, coat 2 of 2, house oil"]);
}

#[test]
fn a_room_too_cold_or_too_damp_for_the_coat_that_is_due_is_told_once_a_day() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let read = |told: &Told, at: &str, temp: f64, humidity: f64, surface: Option<f64>| {
        let reading = RoomReading {
            at: at.parse().unwrap(),
            temp: Some(Celsius::new(temp).unwrap()),
            humidity: Some(Humidity::new(humidity).unwrap()),
            surface: surface.map(|surface| Celsius::new(surface).unwrap()),
            extremes: None,
        };
        let mut store = Store::open(&told.shop.database()).unwrap();
        store.add_readings::<Trouble>(at.parse().unwrap(), "oil room", &[reading], None).unwrap();
    };
    let mut told = Told::coated();
    told.at("2026-03-26T10:00:00Z");
    read(&told, "2026-03-26T10:00:00Z", 20.0, 50.0, None);
    assert!(told.at("2026-03-26T10:01:00Z").is_empty());
    // Magnus: 20 °C at 85 % has its dew point at 17.4 °C, 2.6 °C below.
    read(&told, "2026-03-26T10:01:00Z", 20.0, 85.0, None);
    let bodies = told.bodies_at("2026-03-26T10:02:00Z");
    assert!(bodies[0].contains("oil room only 2.6 °C above its dew point, at least 3 °C is practice (the air's temperature taken for the pieces')"), "{bodies:?}");
    assert!(told.at("2026-03-26T10:03:00Z").is_empty());
    // The next day nobody has read the room: the coat is ready again. And by a new reading it is not.
    assert_eq!(told.at("2026-03-27T10:00:00Z").len(), 1);
    read(&told, "2026-03-27T10:00:00Z", 20.0, 60.0, Some(13.0));
    assert_eq!(told.at("2026-03-27T10:00:00Z"), ["Not the air for a coat: salt-1"]);
}

#[derive(Debug)]
struct Trouble;

impl From<Refusal> for Trouble {
    fn from(_: Refusal) -> Self {
        Self
    }
}

impl From<store::Error> for Trouble {
    fn from(_: store::Error) -> Self {
        Self
    }
}

#[test]
fn each_group_of_a_coat_is_told_by_itself() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    // 132 pieces of 20 s on and 18 s off do not fit one soak: groups of 33, each on in 11 minutes and off within 22.
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    told.shop.run("lot start salt --pieces 132 --rack drip-1").ok();
    told.shop.run("begin salt-1").ok();
    let groups = loaded(&told.shop);
    let groups = groups.groups_begun(&groups.lots[&"salt-1".parse().unwrap()]).unwrap();
    assert!(groups.len() > 1);
    for group in &groups {
        let bodies = told.bodies_at(&group.times.wipe_from.to_rfc3339());
        let line = format!(
            "wipe coat 1 of 2, house oil, group {} of {}, {} pieces",
            group.number, group.of, group.pieces
        );
        assert!(bodies.len() == 1 && bodies[0].starts_with(&line), "{line}: {bodies:?}");
    }
    let last = groups.last().unwrap().times.last_off_by;
    assert!(told.at(&last.to_rfc3339())[0].starts_with("Wipe now: salt-1, 44 pieces"));
    let over = tackfree::time::Span::seconds(1).after(last);
    assert_eq!(told.at(&over.to_rfc3339()), ["Wipe now, the soak is over: salt-1, 44 pieces"]);
}

#[test]
fn a_promise_slips_when_the_forecast_passes_its_day_and_again_for_each_further_day() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    told.shop.run("batch open mint --recipe waxed --pieces 9 --due 2026-04-20").ok();
    told.shop.run("lot start mint --pieces 9 --rack drip-1").ok();
    let slips = |told: &mut Told, at: &str| -> Vec<(String, String)> {
        let text = |call: &Value, name: &str| call[name].as_str().unwrap().to_owned();
        let calls = told.calls_at(at).into_iter();
        let said = calls.map(|call| (text(&call, "summary"), text(&call, "body")));
        said.filter(|(summary, _)| summary.starts_with("Promise")).collect()
    };
    // Two coats four hours apart and 21 days of cure: begun by Mon 30 March it is ready in time. No plan is kept.
    for day in ["2026-03-25T10:01:00Z", "2026-03-27T10:00:00Z", "2026-03-30T08:00:00Z"] {
        assert!(slips(&mut told, day).is_empty(), "{day}");
    }
    let said = slips(&mut told, "2026-03-31T08:00:00Z");
    let (summary, body) = &said[0];
    assert_eq!((said.len(), summary.as_str()), (1, "Promise slipping: mint, 1 day late"));
    assert!(
        body.starts_with("ready Tue 21 Apr ") && body.contains("promised for Mon 20 Apr"),
        "{body}"
    );
    assert!(body.ends_with("See why: tackfree plan"), "{body}");
    assert!(slips(&mut told, "2026-03-31T09:00:00Z").is_empty(), "told once a day lost");
    assert_eq!(
        slips(&mut told, "2026-04-01T08:00:00Z")[0].0,
        "Promise slipping: mint, 2 days late"
    );
    // It is one notice, and goes when the promise is another.
    let of_promise = |told: &Told| {
        told.recorder.standing().iter().filter(|summary| summary.starts_with("Promise")).count()
    };
    assert_eq!(of_promise(&told), 1);
    told.shop.run("lot reject mint-1 --pieces 9 --why dropped").ok();
    told.shop.run("batch close mint").ok();
    assert!(slips(&mut told, "2026-04-01T09:00:00Z").is_empty());
    assert_eq!(of_promise(&told), 0);
}

#[test]
fn a_plan_that_is_behind_with_days_in_hand_is_no_slipping_promise() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-25T10:00:00Z");
    told.shop.run("batch open mint --recipe waxed --pieces 9 --due 2026-05-20").ok();
    told.shop.run("lot start mint --pieces 9 --rack drip-1").ok();
    told.shop.run("plan --started --keep --effort 200").ok();
    assert!(told.at("2026-04-02T10:00:00Z").is_empty(), "every step is behind, no date is");
}

#[test]
fn a_window_that_closes_before_the_next_opening_is_told_in_the_last_half_hour() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-27T14:00:00Z");
    told.shop.run("lot start wax --pieces 9 --rack drip-1").ok();
    told.shop.run("done wax-1").ok();
    told.shop.run("rags done --how 'under water, can outside'").ok();
    // From Friday 18:00 to Saturday 14:00, and the shop closes on Friday at 17:30.
    assert!(told.at("2026-03-27T16:59:59Z").is_empty());
    let bodies = told.bodies_at("2026-03-27T17:00:00Z");
    assert_eq!(
        bodies,
        [
            "coat 2 of 2, oil & wax <fine>, 9 pieces on drip-1, no later than tomorrow 14:00; the shop isn't open between today 18:00 and tomorrow 14:00\nBe there then. Record it: tackfree done wax-1"
        ]
    );
    assert!(told.at("2026-03-27T17:29:00Z").is_empty());
}

#[test]
fn what_comes_after_closing_and_closes_before_the_opening_is_told_at_once() {
    if !here(&["dbus-daemon"]) {
        return;
    }
    let mut told = Told::shop("2026-03-27T18:00:00Z");
    told.shop.run("lot start wax --pieces 9 --rack drip-1").ok();
    told.shop.run("done wax-1").ok();
    assert_eq!(told.at("2026-03-27T18:01:00Z"), ["Window in closed hours: wax-1"]);
}
