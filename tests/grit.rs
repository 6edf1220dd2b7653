//! `grit` through the program.

use serde_json::{Value, json};
use snapbox::{assert_data_eq, str};

use crate::craft::sheet::rows;
use crate::harness::{SORREL_LANE, TestShop};

/// What the program answers on a terminal of 80 and of 60 columns.
fn at_both_widths(shop: &mut TestShop, line: &str) -> String {
    let wide = shop.columns(80).run(line).fits().ok();
    let narrow = shop.columns(60).run(line).fits().ok();
    format!("{wide}----\n{narrow}")
}

fn chosen(ladder: &Value) -> Vec<&str> {
    let rungs = ladder["grades"].as_array().unwrap().iter();
    rungs
        .filter(|rung| rung["chosen"] == true)
        .map(|rung| rung["grade"].as_str().unwrap())
        .collect()
}

#[test]
fn a_ladder_shows_medians_ratios_and_what_to_use() {
    let mut shop = TestShop::bare();
    assert_data_eq!(
        at_both_widths(&mut shop, "grit P150..P400"),
        str![[r#"
P150  P220  P320  P400

use  grade  median   ratio
*    P150   100 µm
     P180   82 µm
*    P220   68 µm    1.47
     P240   58.5 µm
     P280   52.2 µm
*    P320   46.2 µm  1.47
     P360   40.5 µm
*    P400   35 µm    1.32

* to use; P150 is the scratch to start from. No grit jump is too big: none over
1.7 times (common practice).
----
P150  P220  P320  P400

use  grade  median   ratio
*    P150   100 µm
     P180   82 µm
*    P220   68 µm    1.47
     P240   58.5 µm
     P280   52.2 µm
*    P320   46.2 µm  1.47
     P360   40.5 µm
*    P400   35 µm    1.32

* to use; P150 is the scratch to start from. No grit jump is
too big: none over 1.7 times (common practice).

"#]]
    );
    let ladder = shop.json("grit P150..P400");
    assert_eq!(chosen(&ladder), ["P150", "P220", "P320", "P400"]);
    assert_eq!((&ladder["limit"], &ladder["from"]), (&json!(1.7), &json!("P150")));
    assert_eq!(ladder["grades"][0]["ratio"], Value::Null);
    assert_eq!(chosen(&shop.json("grit p180..180")), ["P180"]);
}

/// Medians of FEPA and the ratios of steps as counted outside.
#[test]
fn ladders_show_the_published_medians_and_ratios() {
    let shop = TestShop::bare();
    let whole = shop.json("grit P12..P2500");
    let shown = whole["grades"].as_array().unwrap();
    let published = rows("03_fepa_p.csv");
    assert_eq!(shown.len(), published.len());
    for (row, rung) in published.iter().zip(shown) {
        assert_eq!(rung["grade"], row.text("grade"));
        row.close("median_um", rung["median_um"].as_f64().unwrap(), 0.0);
    }
    let mut compared = 0;
    for row in
        rows("03_steps.csv").iter().filter(|row| row.number("median_ratio") <= 1.7).step_by(6)
    {
        let ladder = shop.json(&format!("grit {}..{}", row.text("from"), row.text("to")));
        assert_eq!(chosen(&ladder), [row.text("from"), row.text("to")]);
        let last = ladder["grades"].as_array().unwrap().last().unwrap();
        row.close("median_ratio", last["ratio"].as_f64().unwrap(), 5e-5);
        compared += 1;
    }
    assert!(compared >= 8, "only {compared} steps were compared");
}

#[test]
fn other_systems_are_only_ever_about() {
    let mut shop = TestShop::bare();
    assert_data_eq!(
        shop.columns(60).run("grit P500").fits().ok(),
        str![[r#"
P500  median 30.2 µm
  about CAMI 360 (28 µm)
  about JIS 400 (30 µm)
  Only about: the systems measure grain in different ways.

"#]]
    );
    assert_data_eq!(
        shop.run("grit 'JIS 8000'").fits().ok(),
        str![[r#"
JIS 8000  median 1.2 µm
  finer than P2500: no P grade is near
  Only about: the systems measure grain in different ways.

"#]]
    );
    for row in rows("03_other_systems.csv").iter().step_by(5) {
        let (system, grade) = (row.text("system"), row.text("grade"));
        let system = if system.contains("CAMI") { "CAMI" } else { "JIS" };
        let shown = shop.json(&format!("grit '{system} {grade}'"));
        row.close("median_um", shown["median_um"].as_f64().unwrap(), 0.0);
        assert!(shown["note"].as_str().unwrap().starts_with("about"), "{shown}");
        // Finer than P2500 by more than half a step nothing is near, whatever a table says.
        if row.number("median_um") >= 7.5 {
            assert_eq!(shown["nearest"], row.text("nearest_p"), "{system} {grade}");
        }
    }
}

#[test]
fn what_is_no_grade_is_refused_with_what_would_be_one() {
    let mut shop = TestShop::bare();
    shop.columns(60);
    assert_data_eq!(
        shop.run("grit P190").fits().fails(2),
        str![[r#"
error: "P190" is not a grade: expected P12 to P2500, such as
  P180
next: did you mean P180? A ladder is typed as P150..P400

"#]]
    );
    assert_data_eq!(
        shop.run("grit P400..P150").fits().fails(2),
        str![[r#"
error: P150 after P400 runs coarser: a ladder goes to finer
  grits
next: turn it round: tackfree grit P150..P400

"#]]
    );
    assert_data_eq!(
        shop.run("grit P3000").fits().fails(2),
        str![[r#"
error: P3000: no published median found; refused rather than
  guessed
next: give a grade from P12 to P2500, such as P180

"#]]
    );
    for line in
        ["grit", "grit ''", "grit P..P", "grit 'CAMI 7'", "grit P150..P400 --check x", "grit -- -1"]
    {
        shop.run(line).fails(2);
    }
    let error = shop.run("grit 184 --json").error();
    assert!(error["next"].as_str().unwrap().contains("P180"), "{error}");
}

#[test]
fn a_recipe_is_held_against_the_largest_step() {
    let mut shop = TestShop::open();
    let sound = shop.json("grit --check 'three coats'");
    assert_eq!((&sound["grades"], &sound["skips"]), (&json!(["P180", "P240", "P320"]), &json!([])));
    let steep = SORREL_LANE.replace("{ sand = \"P180\"", "{ sand = \"P80\"").replace(
        "{ sand = \"P240\", each = \"30s\", strip = 10 }",
        "{ sand = \"P120\", each = \"30s\", strip = 10 }",
    );
    shop = TestShop::with_setup(&steep);
    assert_data_eq!(
        at_both_widths(&mut shop, "grit --check 'three coats'"),
        str![[r#"
three coats: P80  P120  P320
  P120 to P320: a ratio of 2.71, over 1.7; put in P180 and P240
----
three coats: P80  P120  P320
  P120 to P320: a ratio of 2.71, over 1.7; put in P180 and
    P240

"#]]
    );
    let found = shop.json("grit --check 'three coats'");
    assert_eq!(found["skips"][0]["between"], json!(["P180", "P240"]));
    let backwards = SORREL_LANE.replace("{ sand = \"P320\"", "{ sand = \"P100\"");
    shop = TestShop::with_setup(&backwards);
    let error = shop.run("grit --check 'three coats'").fails(2);
    assert!(error.contains("P100 after P240 runs coarser"), "{error}");
    shop.run("grit --check 'three coat'").refused("unknown-name");
    let none = TestShop::bare();
    none.run("grit --check 'three coats'").refused("no-setup");
}

#[test]
fn strips_are_rounded_up() {
    let shop = TestShop::bare();
    assert_eq!(shop.json("grit --strips P180 --pieces 36 --strip 8")["strips"], 5);
    assert_eq!(shop.json("grit --strips P180 --pieces 40 --strip 8")["strips"], 5);
    let error = shop.run("grit --strips P180 --pieces 36 --strip 0").fails(2);
    assert!(error.contains("isn't a whole number of pieces a strip from 1 to 10000"), "{error}");
    shop.run("grit --strips P180 --pieces 36").fails(2);
}
