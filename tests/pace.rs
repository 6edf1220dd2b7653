//! `pace` through the program: the stopwatch, and what times say.

use chrono::TimeDelta;
use proptest::prelude::*;
use serde_json::{Value, json};
use snapbox::{assert_data_eq, str};

use crate::craft::sheet::{assert_close, rows};
use crate::harness::{SORREL_LANE, TestShop};
use tackfree::shop::stopwatch::{Key, Pressed, Stopwatch};
use tackfree::time::Instant;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Lot salt-1 of 36 pieces in a batch of 40, nothing done.
fn started() -> TestShop {
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 40 --due 2026-04-10").ok();
    shop.run("lot start salt --pieces 36").ok();
    shop
}

/// Lines of a stopwatch that times pieces of so many seconds one after the other, from 08:00 on.
fn lines(seconds: &[u32]) -> String {
    let mut at = 8 * 3600;
    let mut lines = vec![stamp(at)];
    for piece in seconds {
        at += piece;
        lines.push(format!("{} p", stamp(at)));
    }
    lines.push(format!("{} q", stamp(at + 5)));
    lines.join("\n")
}

fn stamp(seconds: u32) -> String {
    format!("{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

fn step<'v>(shown: &'v Value, name: &str) -> &'v Value {
    shown["steps"].as_array().unwrap().iter().find(|step| step["name"] == name).unwrap()
}

#[test]
fn splits_are_taken_down_key_by_key() {
    let mut shop = started();
    shop.at("2026-03-02 09:30");
    // Two whole pieces, one dropped, one that is ended after its second split.
    let keys = "08:30:00\n08:36:10 s\n08:36:50\n08:37:20\n08:37:45\n08:37:53\n\
                08:40:00 p\n08:46:00\n08:46:38\n08:47:07\n08:47:33\n08:47:40 p\n\
                08:52:00 d\n08:53:00\n08:59:20\n09:00:02 p\n09:00:10 q\n";
    let said = shop.columns(80).run_with("pace time salt-1", keys).fits().ok();
    assert_data_eq!(
        said,
        str![[r#"
pace time: salt-1: times of 3 of turn, 3 of sand P180, 2 of sand P240, 2 of sand
  P320 and 2 of raise the grain, today 09:00
next: salt-1 turn, since today 08:30
3 pieces timed, 1 dropped; see: tackfree pace salt-1

"#]]
    );
    let entry = shop.json("ledger list")["entries"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(
        (&entry["what"], &entry["at"]),
        (&json!("pace time"), &json!("2026-03-02T09:00:10+00:00"))
    );
    let split = |name: &str, seconds: &[u32]| json!({"step": {"name": name, "nth": 1}, "before": 0, "seconds": seconds});
    let wanted = [
        split("turn", &[370, 360, 380]),
        split("sand P180", &[40, 38, 42]),
        split("sand P240", &[30, 29]),
        split("sand P320", &[25, 26]),
        split("raise with water", &[8, 7]),
    ];
    assert_eq!(entry["fact"]["splits"], json!(wanted));
    let line = "pace salt --target 7m";
    let wide = shop.run(line).fits().ok();
    let narrow = shop.columns(60).run(line).fits().ok();
    assert_data_eq!(
        format!("{wide}----\n{narrow}"),
        str![[r#"
salt  three coats

a piece          times  median  best    last ten  reckoned with
turn             3      6m 10s  6m 00s  6m 10s    6m 10s (recipe)
sand P180        3      40s     38s     40s       40s (recipe)
sand P240        2      29.5s   29s     29.5s     30s (recipe)
sand P320        2      25.5s   25s     25.5s     25s (recipe)
raise the grain  2      7.5s    7s      7.5s      8s (recipe)
together                7m 53s  7m 39s  7m 53s

LOST AGAINST THE BEST
  turn  10s a piece, 74 % of all that is lost
  sand P180  2s a piece, 15 % of all that is lost
  raise the grain  0.5s a piece, 4 % of all that is lost
  sand P240  0.5s a piece, 4 % of all that is lost
  sand P320  0.5s a piece, 4 % of all that is lost

LEFT TO DO
  7.5 h of work: 2 days of open time, to tomorrow 08:42 if you did nothing else;
    waits not counted

At 7m 00s a piece for all that was timed (now 7m 53s) 40 pieces would save
  35 min.
----
salt  three coats

a piece    times  median  best    last ten  reckoned
                                            with
turn       3      6m 10s  6m 00s  6m 10s    6m 10s
                                            (recipe)
sand P180  3      40s     38s     40s       40s (recipe)
sand P240  2      29.5s   29s     29.5s     30s (recipe)
sand P320  2      25.5s   25s     25.5s     25s (recipe)
raise the  2      7.5s    7s      7.5s      8s (recipe)
grain
together          7m 53s  7m 39s  7m 53s

LOST AGAINST THE BEST
  turn  10s a piece, 74 % of all that is lost
  sand P180  2s a piece, 15 % of all that is lost
  raise the grain  0.5s a piece, 4 % of all that is lost
  sand P240  0.5s a piece, 4 % of all that is lost
  sand P320  0.5s a piece, 4 % of all that is lost

LEFT TO DO
  7.5 h of work: 2 days of open time, to tomorrow 08:42 if
    you did nothing else; waits not counted

At 7m 00s a piece for all that was timed (now 7m 53s) 40
  pieces would save 35 min.

"#]]
    );
    let shown = shop.json(line);
    let turn = step(&shown, "turn");
    assert_eq!(
        (&turn["median"], &turn["best"], &turn["samples"]),
        (&json!(370.0), &json!(360.0), &json!(3))
    );
    // 370 + 40 + 29.5 + 25.5 + 7.5 s a piece: 52.5 s over the target, for 36 in hand and 4 to start.
    assert_close(number(&shown["target"]["now"]), 472.5);
    assert_close(number(&shown["target"]["saved_hours"]), 52.5 * 40.0 / 3600.0);
    assert_eq!(shown["losses"][0]["name"], "turn");
    let losses: f64 =
        shown["losses"].as_array().unwrap().iter().map(|l| number(&l["share_percent"])).sum();
    assert_close(losses, 100.0);
}

#[test]
fn five_times_stand_in_for_the_recipes_own_and_undo_takes_them_back() {
    let mut shop = started();
    shop.at("2026-03-02 09:30");
    assert_eq!(shop.json("due")["items"][0]["minutes"], 222);
    shop.run_with("pace time salt-1 --splits turn", &lines(&[300, 310, 320, 330])).ok();
    assert_eq!(shop.json("due")["items"][0]["minutes"], 222);
    assert_eq!(step(&shop.json("pace salt"), "turn")["each_from"], "recipe");
    shop.run_with("pace time salt-1 --splits Turn", &lines(&[340])).ok();
    // 36 pieces at 5 m 20 s.
    assert_eq!(shop.json("due")["items"][0]["minutes"], 192);
    let shown = shop.json("pace salt-1");
    assert_eq!(
        (&step(&shown, "turn")["each_from"], &step(&shown, "turn")["each"]),
        (&json!("samples"), &json!(320.0))
    );
    shop.run("undo --why 'the wrong bowl'").ok();
    assert_eq!(shop.json("due")["items"][0]["minutes"], 222);
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn minutes_of_a_step_are_times_too() {
    let mut shop = started();
    shop.at("2026-03-02 12:12").run("done salt-1 --minutes 198").ok();
    let shown = shop.json("pace salt");
    let turn = step(&shown, "turn");
    assert_eq!(
        (&turn["samples"], &turn["median"], &turn["todo"]),
        (&json!(1), &json!(330.0), &json!(4))
    );
    // Without minutes nothing is known.
    shop.at("2026-03-02 13:20").run("done salt-1").ok();
    assert_eq!(step(&shop.json("pace salt"), "sand P180")["samples"], 0);
}

/// Crawford's curve and the hours it leaves, against a statistics library and sums counted outside.
#[test]
fn the_learning_curve_and_the_hours_left_are_those_found_outside() {
    let fits = rows("08_fit.csv");
    let noisy = fits.iter().find(|row| row.text("case") == "noisy_92").unwrap();
    let minutes: Vec<f64> = noisy.json("minutes");
    // The stopwatch takes whole seconds, so the times are drawn out to lose nothing by it: a minute is 1000 s.
    let seconds: Vec<u32> =
        minutes.iter().map(|m| format!("{:.0}", m * 1000.0).parse().unwrap()).collect();
    let mut shop = started();
    shop.at("2026-03-04 23:00");
    let mut at = chrono::NaiveDate::from_ymd_opt(2026, 3, 2).unwrap().and_hms_opt(9, 0, 0).unwrap();
    let mut keys = vec![at.format("%Y-%m-%d %H:%M:%S").to_string()];
    for piece in &seconds {
        at += TimeDelta::seconds(i64::from(*piece));
        keys.push(at.format("%Y-%m-%d %H:%M:%S p").to_string());
    }
    shop.run_with("pace time salt-1 --splits turn", &keys.join("\n")).ok();
    let shown = shop.json("pace salt");
    let turn = step(&shown, "turn");
    let curve = &turn["curve"];
    noisy.close("slope_pct_log", number(&curve["slope_percent"]), 1e-5);
    noisy.close("t1_log", number(&curve["first"]) / 1000.0, 1e-6);
    noisy.close("r2_log", number(&curve["fit"]), 1e-7);
    // Hours left: Σ of T₁·n^b for pieces 1 to 40 of the batch, since none is through that step yet; no floor is reached.
    let (first, exponent) = (noisy.number("t1_log"), noisy.number("b_log"));
    let left: f64 = (1..=40).map(|n| first * f64::from(n).powf(exponent)).sum();
    assert!((number(&turn["left_hours"]) - left * 1000.0 / 3600.0).abs() < 1e-3, "{turn}");
}

#[test]
fn what_is_left_is_laid_over_the_open_hours() {
    let mut shop = started();
    shop.at("2026-03-13 08:30");
    // 40 pieces: 6 m 10 s + 40 + 30 + 25 + 8 + 15 + 20 + 45 s each are 553 s; the coats are one group each, with no waiting in
    // it, in whole minutes 27, 26 and 26. In all 7 h 27 m 40 s: Friday has 6 h 45 m.
    let shown = shop.json("pace salt");
    assert_close(number(&shown["left_hours"]), (553.0 * 40.0 + 79.0 * 60.0) / 3600.0);
    assert_eq!(
        (&shown["open_days"], &shown["open_until"]),
        (&json!(2), &json!("2026-03-16T09:12:40+00:00"))
    );
    assert_data_eq!(
        shop.columns(60).run("pace salt").fits().ok(),
        str![[r#"
salt  three coats
  No times yet. Take some: tackfree pace time LOT, or
    tackfree done LOT --minutes N

LEFT TO DO
  7.5 h of work: 2 days of open time, to Mon 16 Mar 09:12 if
    you did nothing else; waits not counted

"#]]
    );
    let two = TestShop::with_setup(&SORREL_LANE.replace("hands = 1", "hands = 2"));
    two.run("batch open salt --recipe 'three coats' --pieces 40").ok();
    assert_eq!(two.json("pace salt")["open_days"], 1);
}

#[test]
fn earlier_batches_serve_where_a_batch_has_no_times_of_its_own() {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 09:00", "can open 'hard wax' --name W1 --litres 1"),
        ("2026-03-02 09:00", "batch open rest --recipe 'one coat' --pieces 12"),
        ("2026-03-02 09:00", "lot start rest --pieces 12"),
        ("2026-03-02 10:00", "done rest-1 --minutes 5"),
        ("2026-03-02 11:00", "done rest-1 --rack drip-1 --minutes 12"),
        ("2026-03-02 12:00", "rags done --how 'spread flat outdoors'"),
        ("2026-03-16 11:00", "done rest-1"),
        ("2026-03-16 12:00", "ship rest-1 --to 'a shop in town'"),
        ("2026-03-16 12:00", "batch close rest"),
        ("2026-03-16 12:00", "can empty W1"),
        ("2026-03-20 09:00", "batch open more --recipe 'one coat' --pieces 12"),
    ] {
        shop.at(at).run(line).ok();
    }
    let shown = shop.json("pace more");
    assert_eq!(shown["of_earlier"], true);
    assert_eq!(step(&shown, "sand P240")["median"], 25.0);
    assert_eq!(step(&shown, "coat hard wax")["median"], 60.0);
    // The times of a closed batch open neither it nor its rags again.
    assert_eq!(shop.json("rags")["open"], json!([]));
    assert_eq!(shop.json("due")["rags"], json!([]));
    assert_eq!(shop.json("batch list")["batches"].as_array().unwrap().len(), 1);
    assert_eq!(shop.json("lot list")["lots"], json!([]));
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn a_split_may_be_named_that_is_no_step() {
    let mut shop = started();
    shop.at("2026-03-02 09:30");
    let keys = "08:00:00\n08:02:00\n08:05:00\n08:05:10\n08:07:20\n08:10:20\n08:10:30 q\n";
    shop.run_with("pace time salt-1 --splits 'rough out,hollow'", keys).ok();
    let shown = shop.json("pace salt --target 1m --step 'rough out'");
    assert_eq!(
        (&step(&shown, "rough out")["median"], &step(&shown, "hollow")["step"]),
        (&json!(125.0), &Value::Null)
    );
    assert_close(number(&shown["target"]["saved_hours"]), 65.0 * 40.0 / 3600.0);
    // It stands in for no step.
    assert_eq!(shop.json("due")["items"][0]["minutes"], 222);
    let error =
        shop.run_with("pace time salt-1 --splits 'sand P810'", keys).refused("unknown-name");
    assert!(error.contains("sand P180"), "{error}");
}

#[test]
fn what_can_not_be_is_refused_and_nothing_is_recorded() {
    let mut shop = started();
    shop.at("2026-03-02 09:30");
    let entries = shop.json("ledger list")["entries"].as_array().unwrap().len();
    for (keys, found) in [
        ("08:00:00\n08:00:00 s\n", "line 2: a split takes at least a second"),
        ("08:00:00\n07:59:00 s\n", "line 2: that time lies before"),
        ("08:00:00\n08:01:00 x\n", "line 2: "),
        ("yesterday 08:00\n08:01:00\n", "line 2: a split of more than a day"),
        ("s\ns\n", "line 2: a split takes at least a second"),
    ] {
        let error = shop.run_with("pace time salt-1 --splits turn", keys).fails(3);
        assert!(error.contains(found), "{found}: {error}");
    }
    for keys in ["", "08:00:00\n08:05:00 d\n08:06:00 q\n", "08:00:00 q\n"] {
        let error = shop.run_with("pace time salt-1", keys).fails(2);
        assert!(error.contains("no piece was timed"), "{error}");
    }
    shop.run_with("pace time salt-1 --splits turn", "09:00:00\n10:00:00\n").refused("future-time");
    shop.run_with("pace time slat-1", "").refused("unknown-name");
    shop.run("pace slat").refused("unknown-name");
    shop.run("pace salt-2").refused("unknown-name");
    for line in [
        "pace",
        "pace salt --target 0s",
        "pace salt --target 5",
        "pace salt --step turn",
        "pace salt --target 5m",
        "pace time",
    ] {
        shop.run(line).fails(2);
    }
    assert_eq!(shop.json("ledger list")["entries"].as_array().unwrap().len(), entries);
}

proptest! {
    /// Whatever keys come when: no second is counted twice, and every piece counted was begun and not dropped.
    #[test]
    fn a_stopwatch_counts_no_second_twice(splits in 1..5_usize, keys in prop::collection::vec((0..4_u8, -1..400_i64), 0..60)) {
        let mut watch = Stopwatch::new(splits);
        let start = Instant::UNIX_EPOCH;
        // The first key may come a second before this, and still not before the start.
        let (mut at, mut over, mut dropped) = (start + TimeDelta::seconds(1), 0, 0);
        for (key, after) in keys {
            let key = [Key::Split, Key::Next, Key::Drop, Key::Finish][usize::from(key)];
            let then = at + TimeDelta::seconds(after);
            let before = watch.clone();
            if let Ok(pressed) = watch.press(key, then) {
                at = then;
                over += usize::from(pressed == Pressed::Piece);
                dropped += u32::from(pressed == Pressed::Dropped);
            } else {
                // A key that does not count changes nothing.
                prop_assert_eq!(&watch, &before);
            }
        }
        let counted: u32 = (0..splits).flat_map(|split| watch.of_split(split)).sum();
        prop_assert!(i64::from(counted) <= (at - start).num_seconds());
        prop_assert_eq!(watch.pieces(), over);
        prop_assert!(watch.dropped() >= dropped);
        prop_assert!((0..splits).all(|split| watch.of_split(split).iter().all(|seconds| *seconds > 0)));
        prop_assert!(watch.running().is_none_or(|(split, _)| split < splits));
    }
}
