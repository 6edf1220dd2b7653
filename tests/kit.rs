//! `kit` through the program, and what is left in cans.

use serde_json::{Value, json};
use snapbox::{assert_data_eq, str};

use crate::craft::sheet::rows;
use crate::harness::{SORREL_LANE, TestShop};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Lot salt-1 of 36 pieces, turned; can K7 with a tenth of a litre.
fn turned() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 0.1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 36").ok();
    shop.run("lot start salt --pieces 36").ok();
    shop.at("2026-03-02 12:12").run("done salt-1").ok();
    shop
}

#[test]
fn a_lot_up_to_its_next_coat() {
    let mut shop = turned();
    let line = "kit salt-1 --through coat";
    let wide = shop.columns(80).run(line).fits().ok();
    let narrow = shop.columns(60).run(line).fits().ok();
    assert_data_eq!(
        format!("{wide}----\n{narrow}"),
        str![[r#"
KIT FOR
  salt-1  sand P180               36 pieces
  salt-1  sand P240               36 pieces
  salt-1  sand P320               36 pieces
  salt-1  raise the grain         36 pieces
  salt-1  coat 1 of 3, house oil  36 pieces

STRIPS, CUT BEFORE STARTING
  P180: 5 strips
  P240: 4 strips
  P320: 3 strips

OIL
  house oil: 46 ml; K7 has enough: about 100 ml left

ALSO
  4 cloths: one to apply each finish, one to wipe every 12 pieces (common
    practice)
  2 pairs of gloves
  lidded metal can with water for the used cloths
  cloths with this on them can catch fire by themselves: put each into the can
    as soon as it is used
----
KIT FOR
  salt-1  sand P180               36 pieces
  salt-1  sand P240               36 pieces
  salt-1  sand P320               36 pieces
  salt-1  raise the grain         36 pieces
  salt-1  coat 1 of 3, house oil  36 pieces

STRIPS, CUT BEFORE STARTING
  P180: 5 strips
  P240: 4 strips
  P320: 3 strips

OIL
  house oil: 46 ml; K7 has enough: about 100 ml left

ALSO
  4 cloths: one to apply each finish, one to wipe every 12
    pieces (common practice)
  2 pairs of gloves
  lidded metal can with water for the used cloths
  cloths with this on them can catch fire by themselves: put
    each into the can as soon as it is used

"#]]
    );
    let kit = shop.json(line);
    let strips: Vec<_> =
        kit["strips"].as_array().unwrap().iter().map(|s| (&s["grade"], &s["strips"])).collect();
    assert_eq!(
        strips,
        [(&json!("P180"), &json!(5)), (&json!("P240"), &json!(4)), (&json!("P320"), &json!(3))]
    );
    assert_eq!((&kit["cloths"], &kit["gloves"]), (&json!(4), &json!(2)));
    assert_eq!(kit["metal_can"], "lidded metal can with water for the used cloths");
    assert_eq!(kit["oil"][0]["verdict"], "enough");
}

/// The area of the bowl is that reckoned outside; its first coat goes on bare wood at 12 m²/L, the others at 18.
#[test]
fn oil_is_area_times_pieces_over_spread() {
    let shop = turned();
    let area = rows("06_design_bowl.csv");
    let whole = area.iter().find(|row| row.text("part") == "closed (all five)").unwrap();
    let square_metres = whole.number("area_cm2") / 10_000.0;
    let oil = |line: &str| number(&shop.json(line)["oil"][0]["litres"]);
    assert!((oil("kit salt-1 --steps 6") - 36.0 * square_metres / 12.0).abs() < 1e-6);
    assert!((oil("kit salt-1 --steps 8..9") - 2.0 * 36.0 * square_metres / 18.0).abs() < 1e-6);
    // And the amounts of the table, one coat at a time, on a piece of that area.
    let mut compared = 0;
    for row in rows("09_oil.csv")
        .iter()
        .filter(|row| row.number("area_cm2") > 0.0 && row.number("coats") < 2.0)
    {
        let setup = SORREL_LANE
            .replace("kind = \"hardwax oil\"\n", "")
            .replace("area_cm2 = 150", &format!("area_cm2 = {}", row.text("area_cm2")))
            .replace("coverage = 24.0", &format!("coverage = {}", row.text("spread_m2_l")));
        let shop = TestShop::with_setup(&setup);
        let kit = shop.json(&format!("kit --recipe 'one coat' --pieces {}", row.text("pieces")));
        row.close("oil_ml", number(&kit["oil"][0]["litres"]) * 1000.0, 1e-5);
        compared += 1;
    }
    assert!(compared >= 3, "only {compared} amounts were compared");
}

#[test]
fn coats_draw_their_can_down_and_undo_fills_it_again() {
    let mut shop = turned();
    for (at, line) in [
        ("2026-03-02 13:20", "done salt-1"),
        ("2026-03-02 13:50", "done salt-1"),
        ("2026-03-02 14:10", "done salt-1"),
        ("2026-03-02 14:15", "done salt-1"),
        ("2026-03-03 09:00", "done salt-1 --can K7 --rack drip-1"),
    ] {
        shop.at(at).run(line).ok();
    }
    let left = |shop: &TestShop| number(&shop.json("can list")["cans"][0]["left_litres"]);
    // 45.45 mL went on bare wood.
    assert!((left(&shop) - (0.1 - 0.045_450_8)).abs() < 1e-6, "{}", left(&shop));
    assert_data_eq!(
        shop.columns(100).run("can list").fits().ok(),
        str![[r#"
can  finish     maker's lot  held    left         opened           keeps until      state
K7   house oil               100 ml  about 54 ml  yesterday 08:30  Wed 2 Sep 08:30  open

"#]]
    );
    let kit = shop.json("kit salt-1 --steps 8..9");
    assert_eq!(kit["oil"][0]["verdict"], "short");
    assert!(
        (number(&kit["oil"][0]["short_by_litres"]) - (0.060_601_08 - 0.054_549_2)).abs() < 1e-6,
        "{kit}"
    );
    assert_data_eq!(
        shop.columns(60).run("kit salt-1 --steps 8..9").fits().ok(),
        str![[r#"
KIT FOR
  salt-1  coat 2 of 3, house oil  36 pieces
  salt-1  coat 3 of 3, house oil  36 pieces

OIL
  house oil: 61 ml; K7 is short by 6 ml: about 54 ml left

ALSO
  7 cloths: one to apply each finish, one to wipe every 12
    pieces (common practice)
  2 pairs of gloves
  lidded metal can with water for the used cloths
  cloths with this on them can catch fire by themselves: put
    each into the can as soon as it is used

"#]]
    );
    // What was drawn does not change with the setup.
    shop.write("shop.toml", &SORREL_LANE.replace("coverage_bare = 12.0", "coverage_bare = 6.0"));
    shop.run("setup load shop.toml").ok();
    assert!((left(&shop) - (0.1 - 0.045_450_8)).abs() < 1e-6);
    let coat = shop.json("ledger list")["entries"]
        .as_array()
        .unwrap()
        .iter()
        .rev()
        .find(|e| e["what"] == "done")
        .unwrap()["entry"]
        .clone();
    shop.run(&format!("undo {coat} --why 'wrong can'")).ok();
    assert!((left(&shop) - 0.1).abs() < 1e-9);
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn what_is_not_known_is_said_and_not_guessed() {
    let setup = SORREL_LANE.replace("area_cm2 = 150\n", "");
    let mut shop = TestShop::with_setup(&setup);
    shop.run("can open 'hard wax' --name W1").ok();
    shop.run("batch open rest --recipe 'one coat' --pieces 12").ok();
    shop.run("lot start rest --pieces 12").ok();
    shop.columns(60);
    assert_data_eq!(
        shop.run("kit rest-1 --through coat").fits().ok(),
        str![[r#"
KIT FOR
  rest-1  sand P240      12 pieces
  rest-1  coat hard wax  12 pieces

STRIPS, CUT BEFORE STARTING
  P240: not known: the recipe does not say how many pieces
    one does

OIL
  hard wax: an unknown amount; whether W1 has enough is not
    known: an unknown amount left
    not known: the piece spoon rest has no profile and no
      area_cm2 in the setup

ALSO
  2 cloths: one to apply each finish, one to wipe every 12
    pieces (common practice)
  2 pairs of gloves
  lidded metal can with water for the used cloths
  cloths with this on them can catch fire by themselves: put
    each into the can as soon as it is used

"#]]
    );
    let kit = shop.json("kit rest-1 --through coat");
    assert_eq!(
        (&kit["oil"][0]["litres"], &kit["oil"][0]["verdict"]),
        (&Value::Null, &json!("unknown"))
    );
    assert_eq!(
        (&kit["strips"][0]["strips"], &kit["strips"][0]["more_unknown"]),
        (&Value::Null, &json!(true))
    );
    // A can of known size from which an unknown coat was drawn holds at most that.
    shop.run("can empty W1").ok();
    shop.run("can open 'hard wax' --name W2 --litres 0.5").ok();
    shop.run("done rest-1").ok();
    shop.at("2026-03-02 09:00").run("done rest-1 --rack drip-1").ok();
    let can = shop.json("can list")["cans"][0].clone();
    assert_eq!((&can["left"], &can["left_litres"]), (&json!("at most"), &json!(0.5)));
}

#[test]
fn a_finish_without_spread_is_unknown() {
    let setup =
        SORREL_LANE.replace("kind = \"hardwax oil\"\n", "").replace("coverage = 24.0\n", "");
    let shop = TestShop::with_setup(&setup);
    let kit = shop.json("kit --recipe 'one coat' --pieces 12");
    assert_eq!(kit["oil"][0]["unknown"], json!(["hard wax has no coverage in the setup"]));
}

#[test]
fn a_day_takes_what_is_ready_by_then() {
    let mut shop = turned();
    let tasks = |line: &str| {
        let kit = shop.json(line);
        let names = kit["tasks"]
            .as_array()
            .unwrap()
            .iter()
            .map(|t| format!("{} {}", t["lot"].as_str().unwrap(), t["name"].as_str().unwrap()));
        names.collect::<Vec<_>>()
    };
    // The plan starts the spares that day.
    assert_eq!(tasks("kit"), ["salt-1 sand P180", "salt-2 turn"]);
    assert_eq!(tasks("kit --day tomorrow"), ["salt-1 sand P180", "salt-2 turn"]);
    shop.run("batch change salt --pieces 8").ok();
    assert_eq!(tasks("kit"), ["salt-1 sand P180"]);
    assert_eq!(tasks("kit --day tomorrow"), ["salt-1 sand P180"]);
    for (at, line) in [
        ("2026-03-02 13:20", "done salt-1"),
        ("2026-03-02 13:50", "done salt-1"),
        ("2026-03-02 14:10", "done salt-1"),
        ("2026-03-02 14:15", "done salt-1"),
        ("2026-03-03 09:00", "done salt-1 --can K7 --rack drip-1"),
    ] {
        shop.at(at).run(line).ok();
    }
    // The rub waits for the coat: a day.
    assert_eq!(shop.json("kit --day 2026-03-03")["tasks"], json!([]));
    assert_eq!(shop.json("kit --day 2026-03-04")["tasks"][0]["name"], "rub P400");
    assert_eq!(shop.json("kit --rack drip-1")["tasks"][0]["name"], "rub P400");
    assert!(shop.run("kit").ok().contains("Nothing to lay out"));
}

#[test]
fn a_lot_that_the_plan_starts_today_is_laid_out_for() {
    let shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("plan --keep").ok();
    let today = shop.json("today")["steps"][0].clone();
    let kit = shop.json("kit")["tasks"].clone();
    let of = |task: &Value| [task["lot"].clone(), task["step"].clone(), task["pieces"].clone()];
    assert_eq!(kit.as_array().unwrap().iter().map(of).next().unwrap(), of(&today), "{kit}");
    // The day sheet and the calendar tell how it is started, whenever that is.
    let start = format!("tackfree lot start salt --pieces {}", today["pieces"]);
    assert!(shop.run("today").fits().ok().contains(&start));
    let calendar = shop.run("calendar").ok().replace("\r\n ", "");
    assert!(calendar.contains(&start), "{calendar}");
}

#[test]
fn cans_past_their_time_do_not_count_and_several_count_together() {
    let mut shop = turned();
    shop.run("can open 'house oil' --name K8 --litres 0.1").ok();
    let oil = shop.json("kit salt-1 --steps 6,8..9")["oil"][0].clone();
    assert_eq!((&oil["verdict"], oil["cans"].as_array().unwrap().len()), (&json!("enough"), 2));
    shop.at("2026-10-01 09:00").run("can open 'house oil' --name K9 --litres 0.02").ok();
    let oil = shop.json("kit salt-1 --steps 6")["oil"][0].clone();
    assert_eq!(
        (&oil["verdict"], &oil["cans"][0]["past_its_time"]),
        (&json!("short"), &json!(true))
    );
    assert!((number(&oil["short_by_litres"]) - 0.025_450_8).abs() < 1e-6, "{oil}");
}

#[test]
fn what_can_not_be_is_refused() {
    let shop = turned();
    for line in [
        "kit --recipe 'three coats'",
        "kit --recipe 'three coats' --pieces 0",
        "kit salt-1 --through 13",
        "kit salt-1 --through soon",
        "kit salt-1 --steps 4..2",
        "kit salt-1 --steps 0",
        "kit salt-1 --day tomorrow",
        "kit --day never",
    ] {
        shop.run(line).fails(2);
    }
    shop.run("kit slat-1").refused("unknown-name");
    shop.run("kit --rack loft").refused("rack-empty");
    let error = shop.run("kit --recipe 'three coat' --pieces 3").refused("unknown-name");
    assert!(error.contains("three coats"), "{error}");
}

#[test]
fn an_outline_that_makes_no_piece_and_a_spread_of_nothing_are_refused_with_their_place() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    let crossing = SORREL_LANE
        .replace("[12, 62], [38, 66], [38, 60], [8, 30]", "[38, 66], [12, 62], [38, 60], [8, 30]")
        .replace("[0, 40], [38, 66], [12, 62], [38, 60]", "[0, 40], [38, 66], [12, 20], [12, 62]");
    shop.write("crossing.toml", &crossing);
    assert_data_eq!(
        shop.run("setup check crossing.toml").fits().fails(3),
        str![[r#"
crossing.toml, line 81: profile of "pinch bowl"
  profile = [[0, 0], [0, 40], [38, 66], [12, 20], [12, 62], [8, 30], [8, 0]]
  The profile crosses itself: the edge after point 2 meets the edge after point
  4. Write one line from axis to axis that meets itself nowhere.
error: crossing.toml has 1 fault: nothing is stored
next: fix these and run it again: tackfree setup check crossing.toml

"#]]
    );
    for (from, to, found) in [
        ("[[0, 0], [0, 40]", "[[0, 3], [0, 40]", "does not begin on the axis"),
        ("[8, 30], [8, 0]]", "[8, 30], [8, 1]]", "does not end on the axis"),
        ("[38, 66], [38, 60]", "[38, 0], [38, 60]", "lies on the axis between its ends"),
        ("coverage = 18.0", "coverage = 0", "Coverage of 0"),
        ("coverage_bare = 12.0", "coverage_bare = 0.0", "Coverage of 0"),
    ] {
        shop.write("wrong.toml", &SORREL_LANE.replace(from, to));
        let error = shop.run("setup check wrong.toml").fails(3);
        let error = error.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(error.contains(found), "{found}: {error}");
    }
}
