//! `spares` through the program, and what rejects make of a promise.

use serde_json::Value;
use snapbox::{assert_data_eq, str};

use crate::craft::sheet::rows;
use crate::harness::{SORREL_LANE, TestShop};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn good_pieces_from_scrap_seen() {
    let mut shop = TestShop::bare();
    let line = "spares --good 132 --scrap 3/40 --per-blank 2";
    let wide = shop.columns(80).run(line).fits().ok();
    let narrow = shop.columns(60).run(line).fits().ok();
    assert_data_eq!(
        format!("{wide}----\n{narrow}"),
        str![[r#"
For 132 good pieces start 153 pieces, from 77 blanks
  21 spare; enough come out in 96 % of cases, 95 % asked for
  scrap seen: 3 of 40
  assumes 1 in 20 is scrapped, until you have more history (for the step least
    seen that still counts 33 %)
----
For 132 good pieces start 153 pieces, from 77 blanks
  21 spare; enough come out in 96 % of cases, 95 % asked for
  scrap seen: 3 of 40
  assumes 1 in 20 is scrapped, until you have more history
    (for the step least seen that still counts 33 %)

"#]]
    );
    // With 2000 pieces seen the prior no longer matters, and is not named.
    let shown = shop.json("spares --good 132 --scrap 100/2000");
    assert_eq!(shown["prior"], Value::Null);
    assert!(number(&shown["prior_share"]) < 0.01, "{shown}");
}

/// The fewest to start as a statistics library finds them, prior Beta(1, 19).
#[test]
fn the_fewest_are_those_found_outside() {
    let shop = TestShop::bare();
    let rows = rows("07_beta_binomial.csv");
    let usual =
        rows.iter().filter(|row| row.text("prior") == "mild_1_19" && row.number("seen_n0") > 0.0);
    let mut compared = 0;
    for row in usual.step_by(4) {
        let (good, scrap, of) = (row.text("good_N"), row.text("scrap_k"), row.text("seen_n0"));
        let sure = row.number("confidence") * 100.0;
        let shown = shop.json(&format!("spares --good {good} --scrap {scrap}/{of} --sure {sure}"));
        // Where the chance is the confidence itself the table's floats fell short of it by a bit.
        if (number(&shown["chance"]) * 100.0 - sure).abs() < 1e-7 {
            continue;
        }
        row.close("start_n", number(&shown["start"]), 0.0);
        row.close("spares", number(&shown["spares"]), 0.0);
        row.close("prob_n", number(&shown["chance"]), 1e-6);
        compared += 1;
    }
    assert!(compared >= 10, "only {compared} answers were compared");
}

#[test]
fn what_can_not_be_is_refused() {
    let shop = TestShop::bare();
    for line in [
        "spares",
        "spares --good 132",
        "spares --good 0 --scrap 0/0",
        "spares --good 132 --scrap 41/40",
        "spares --good 132 --scrap 3",
        "spares --good 132 --scrap 3/40 --sure 100",
        "spares --good 132 --scrap 3/40 --sure nan",
        "spares --good 132 --scrap 3/40 --per-blank 0",
        "spares --good 100000 --scrap 40/40",
        "spares salt --good 132 --scrap 3/40",
    ] {
        shop.run(line).fails(2);
    }
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 40").ok();
    let error = shop.run("spares slat").refused("unknown-name");
    assert!(error.contains("\"salt\""), "{error}");
}

/// A batch of 30 of which 36 are started, on Monday morning.
fn started() -> TestShop {
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 30 --due 2026-04-10").ok();
    shop.run("lot start salt --pieces 36").ok();
    shop
}

#[test]
fn rejects_that_make_the_promise_unlikely_are_said_at_once() {
    let mut shop = started();
    shop.at("2026-03-02 12:12").run("done salt-1").ok();
    let quiet = shop.columns(80).run("lot reject salt-1 --pieces 1 --why 'tool mark'").fits().ok();
    assert!(!quiet.contains("unlikely"), "{quiet}");
    assert_data_eq!(
        shop.at("2026-03-02 12:20").run("lot reject salt-1 --pieces 5 --why cracked").fits().ok(),
        str![[r#"
lot reject: salt-1: 5 pieces at sand P180, cracked, today 12:20
next: salt-1 sand P180, since today 12:12
The 30 pieces promised are unlikely to come out good: 3 % of cases with the 30
  on their way. To be 95 % sure start 12 pieces more, from 12 blanks: tackfree
  lot start salt --pieces 12

"#]]
    );
    let wide = shop.run("batch show salt").fits().ok();
    let narrow = shop.columns(60).run("batch show salt").fits().ok();
    assert_data_eq!(
        format!("{wide}----\n{narrow}"),
        str![[r#"
salt  open
  30 pieces, due Fri 10 Apr; recipe three coats
  36 started: 30 in hand, 6 rejected, 0 shipped
  ! The 30 pieces promised are unlikely to come out good: 3 % of cases with the
    30 on their way. To be 95 % sure start 12 pieces more, from 12 blanks:
    tackfree lot start salt --pieces 12

lot     pieces  rack  state  next       from
salt-1  30            ready  sand P180  today 12:12
----
salt  open
  30 pieces, due Fri 10 Apr; recipe three coats
  36 started: 30 in hand, 6 rejected, 0 shipped
  ! The 30 pieces promised are unlikely to come out good:
    3 % of cases with the 30 on their way. To be 95 % sure
    start 12 pieces more, from 12 blanks: tackfree lot start
    salt --pieces 12

lot     pieces  rack  state  next       from
salt-1  30            ready  sand P180  today 12:12

"#]]
    );
    let spares = &shop.json("batch show salt")["spares"];
    assert_eq!(spares["unlikely"], true);
    let start = spares["start"].as_u64().unwrap();
    assert_eq!(spares["blanks"], start);
    // Doing as it says takes the warning away.
    shop.run(&format!("lot start salt --pieces {start}")).ok();
    let after = &shop.json("batch show salt")["spares"];
    assert_eq!((&after["unlikely"], &after["start"]), (&Value::Bool(false), &Value::from(0)));
    assert!(number(&after["chance_as_it_is"]) >= 0.8, "{after}");
}

#[test]
fn a_batch_is_judged_stage_by_stage() {
    let mut shop = started();
    shop.at("2026-03-02 12:12").run("done salt-1").ok();
    shop.run("lot reject salt-1 --pieces 4 --why cracked").ok();
    shop.at("2026-03-02 12:50").run("done salt-1").ok();
    let shown = shop.json("spares salt");
    let stages = shown["stages"].as_array().unwrap();
    let seen: Vec<_> =
        stages.iter().map(|s| (&s["name"], &s["scrap"], &s["of"], &s["waiting"])).collect();
    let stage = |name: &str, scrap: u32, of: u32, waiting: u32| {
        (Value::from(name), Value::from(scrap), Value::from(of), Value::from(waiting))
    };
    let wanted =
        [stage("turn", 0, 36, 0), stage("sand P180", 4, 36, 0), stage("sand P240", 0, 0, 32)];
    for (got, want) in seen.iter().zip(&wanted) {
        assert_eq!((got.0, got.1, got.2, got.3), (&want.0, &want.1, &want.2, &want.3));
    }
    // A cure needs no hands and is no stage.
    assert_eq!(stages.len(), 11);
    assert!(!stages.iter().any(|stage| stage["name"].as_str().unwrap().starts_with("cure")));
    assert_eq!((&shown["need"], &shown["on_the_way"]), (&Value::from(30), &Value::from(32)));
}

#[test]
fn scrap_of_closed_batches_by_the_same_recipe_counts() {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 09:00", "can open 'hard wax' --name W1 --litres 1"),
        ("2026-03-02 09:00", "batch open rest --recipe 'one coat' --pieces 12"),
        ("2026-03-02 09:00", "lot start rest --pieces 12"),
        ("2026-03-02 09:30", "lot reject rest-1 --pieces 3 --why cracked"),
        ("2026-03-02 10:00", "done rest-1"),
        ("2026-03-02 11:00", "done rest-1 --rack drip-1"),
        ("2026-03-02 12:00", "rags done --how 'spread flat outdoors'"),
        ("2026-03-16 11:00", "done rest-1"),
        ("2026-03-16 12:00", "ship rest-1 --to 'a shop in town'"),
        ("2026-03-16 12:00", "batch close rest"),
        ("2026-03-20 09:00", "batch open other --recipe 'three coats' --pieces 12"),
        ("2026-03-20 09:00", "batch open more --recipe 'one coat' --pieces 12"),
    ] {
        shop.at(at).run(line).ok();
    }
    let shown = shop.json("spares more");
    assert_eq!(shown["seen_in"], serde_json::json!(["more", "rest"]));
    let first = &shown["stages"][0];
    assert_eq!((&first["scrap"], &first["of"]), (&Value::from(3), &Value::from(12)));
    let other = shop.json("spares other");
    assert_eq!(other["stages"][1]["of"], 0, "{other}");
    // Looking at the past opens nothing again.
    assert_eq!(shop.json("rags")["open"], serde_json::json!([]));
    assert_eq!(shop.json("batch list")["batches"].as_array().unwrap().len(), 2);
    assert!(number(&shown["start"]) > number(&other["start"]), "{shown} {other}");
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn blanks_are_rounded_up() {
    let setup =
        SORREL_LANE.replace("wood = \"beech\"\n", "wood = \"beech\"\npieces_per_blank = 4\n");
    let shop = TestShop::with_setup(&setup);
    shop.run("batch open salt --recipe 'three coats' --pieces 30").ok();
    let shown = shop.json("spares salt");
    let start = shown["start"].as_u64().unwrap();
    assert_eq!(shown["blanks"], start.div_ceil(4), "{shown}");
}

#[test]
fn under_its_coats_nothing_is_made_up_for_what_fails_while_enough_is_likely() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 20").ok();
    shop.run("lot start salt --pieces 22 --from 6").ok();
    // Before any coat what is missing goes along with the rest.
    let before = shop.json("spares salt");
    assert!(before["chance_as_it_is"].as_f64() > Some(0.8) && before["start"].as_u64() > Some(0));
    shop.run("lot start salt --pieces 2 --from 6").ok();
    shop.at("2026-03-02 14:00");
    shop.run("done salt-1 --can K7 --rack drip-1").ok();
    shop.run("done salt-2 --can K7 --rack drip-2").ok();
    shop.at("2026-03-02 15:00");
    let mut likely = Vec::new();
    for _ in 0..5 {
        let spares = shop.json("spares salt");
        let (start, chance) =
            (spares["start"].as_u64().unwrap(), number(&spares["chance_as_it_is"]));
        likely.push((chance * 20.0).floor());
        assert_eq!(start == 0, chance >= 0.8, "{spares}");
        let plan = shop.json("plan --effort 20");
        assert_eq!(plan["batches"][0]["to_start"].as_u64(), Some(start), "{plan}");
        if start == 0 && chance < 0.95 {
            let said = shop.run("spares salt").ok();
            assert!(said.contains("more is made up once that is under 80 %"), "{said}");
            assert!(shop.json("spares salt --sure 99")["start"].as_u64() > Some(0));
        }
        shop.run("lot reject salt-1 --pieces 1 --why streaks").ok();
    }
    // Surely enough, likely enough, and not likely.
    let seen = [19.0..21.0, 16.0..19.0, 0.0..16.0];
    assert!(
        seen.iter().all(|part| likely.iter().any(|chance| part.contains(chance))),
        "{likely:?}"
    );
}
