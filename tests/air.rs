//! `air` through the program.

use serde_json::Value;
use snapbox::{assert_data_eq, str};

use crate::craft::sheet::{assert_close, rows};
use crate::harness::{SORREL_LANE, TestShop};

const FLAMMABLE: &str =
    "lower_flammable = { mg_m3 = 45000, basis = \"0.8 % by volume, on the sheet\" }\n";

/// The house oil's sheet names both limits.
fn with_both_limits() -> TestShop {
    TestShop::with_setup(
        &SORREL_LANE.replace(
            "use_within = \"6 months\"\n",
            &format!("use_within = \"6 months\"\n{FLAMMABLE}"),
        ),
    )
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn millilitres_show_health_and_fire_apart() {
    let mut shop = with_both_limits();
    let line = "air --ml 250 --finish 'house oil' --hours 1.5 --mixing 5";
    let wide = shop.columns(80).run(line).fits().ok();
    let narrow = shop.columns(60).run(line).fits().ok();
    assert_data_eq!(
        format!("{wide}----\n{narrow}"),
        str![[r#"
house oil  250 ml
  about 105 g of solvent given off (420 g/L on the sheet)
  health: about 1000 m³ of fresh air an hour, to 350 mg/m³ (occupational limit
    on the sheet, 8 h)
  fire: about 31.1 m³ of fresh air an hour, to 11250 mg/m³ (25 % of the lower
    flammable limit, 0.8 % by volume, on the sheet)

Over 1.5 h (given); taking all of the solvent to evaporate in that time; mixing
  factor 5.
Health and fire are reckoned apart: air enough against fire is far from enough
  to breathe.
An estimate from the sheet's figures for air that mixes as assumed; the maker's
  data sheet and local rules govern, and a person qualified to judge decides.
----
house oil  250 ml
  about 105 g of solvent given off (420 g/L on the sheet)
  health: about 1000 m³ of fresh air an hour, to 350 mg/m³
    (occupational limit on the sheet, 8 h)
  fire: about 31.1 m³ of fresh air an hour, to 11250 mg/m³
    (25 % of the lower flammable limit, 0.8 % by volume, on
    the sheet)

Over 1.5 h (given); taking all of the solvent to evaporate
  in that time; mixing factor 5.
Health and fire are reckoned apart: air enough against fire
  is far from enough to breathe.
An estimate from the sheet's figures for air that mixes as
  assumed; the maker's data sheet and local rules govern,
  and a person qualified to judge decides.

"#]]
    );
    let shown = shop.json(line);
    let session = &shown["sessions"][0];
    assert_close(number(&session["given_off_g"]), 105.0);
    // 105 g over 1.5 h is 70 g/h: times 1000 times K 5 over the limit.
    assert_close(number(&session["health"]["m3_per_hour"]), 70.0 * 1000.0 * 5.0 / 350.0);
    assert_close(number(&session["fire"]["m3_per_hour"]), 70.0 * 1000.0 * 5.0 / (45_000.0 / 4.0));
    assert_eq!(session["fire"]["basis"], "0.8 % by volume, on the sheet");
    assert!(shown["caution"].as_str().unwrap().contains("local rules govern"));
}

/// The worked example of the industrial-ventilation manuals, recomputed in SI: a solvent given by its mass.
#[test]
fn the_manuals_example_comes_out() {
    let example = rows("10_example.csv");
    let want = example.iter().find(|row| row.text("step") == "same in SI, Q for K = 5").unwrap();
    // 1.5 US pints of methyl chloroform, 1.32 kg/L, 350 ppm at 70 °F: 24.15 L/mol.
    let (ml, voc) = (1.5 * 473.176_473, 1320.0);
    let mg_m3 = 350.0 * 133.4 / (22.414 * (273.15 + 21.111) / 273.15);
    let setup = SORREL_LANE
        .replace("voc = 420", &format!("voc = {voc}"))
        .replace("mg_m3 = 350", &format!("mg_m3 = {mg_m3}"));
    let shop = TestShop::with_setup(&setup);
    let shown = shop.json(&format!("air --ml {ml} --finish 'house oil' --hours 1 --mixing 5"));
    let got = number(&shown["sessions"][0]["health"]["m3_per_hour"]);
    want.close("value", got, 5.0);
}

#[test]
fn lots_are_reckoned_for_their_next_coat_in_its_own_time() {
    let shop = with_both_limits();
    shop.run("batch open salt --recipe 'three coats' --pieces 36").ok();
    shop.run("lot start salt --pieces 36 --from 6").ok();
    let shown = shop.json("air salt-1");
    let session = &shown["sessions"][0];
    // The first coat goes on bare wood: 151.5027 cm² a piece, 12 m²/L.
    assert!((number(&session["litres"]) - 36.0 * 0.015_150_27 / 12.0).abs() < 1e-7, "{shown}");
    // 36 pieces at 40 s are 24 minutes.
    assert_close(number(&shown["hours"]), 0.4);
    assert_eq!(shown["hours_from"], "hands' time of the coats");
    assert_eq!(session["lots"], serde_json::json!(["salt-1"]));
    assert_eq!(shop.json("air salt-1 --hours 0.8")["hours_from"], "given");
}

#[test]
fn what_the_setup_does_not_say_is_said_to_be_missing() {
    let mut shop = TestShop::with_setup(
        &SORREL_LANE.replace("voc = 300\n", "").replace("area_cm2 = 150\n", ""),
    );
    shop.run("batch open rest --recipe 'one coat' --pieces 12").ok();
    shop.run("lot start rest --pieces 12").ok();
    shop.columns(60);
    assert_data_eq!(
        shop.run("air rest-1").fits().ok(),
        str![[r#"
hard wax  an unknown amount on rest-1
  solvent given off: not known
  missing: how much goes on rest-1 is not known: the piece
    spoon rest has no profile and no area_cm2 in the setup
  missing: what hard wax gives off is not known: no voc in
    the setup (g/L, from the maker's sheet)
  missing: health: no air_limit for hard wax in the setup
  missing: fire: no lower_flammable for hard wax in the
    setup

Over 15 min (hands' time of the coats); taking all of the
  solvent to evaporate in that time; mixing factor 3, common
  practice.
An estimate from the sheet's figures for air that mixes as
  assumed; the maker's data sheet and local rules govern,
  and a person qualified to judge decides.

"#]]
    );
    let session = &shop.json("air rest-1")["sessions"][0];
    assert_eq!((&session["given_off_g"], &session["health"]), (&Value::Null, &Value::Null));
}

#[test]
fn what_can_not_be_is_refused() {
    let shop = TestShop::open();
    for line in [
        "air",
        "air --ml 250",
        "air --ml 0 --finish 'house oil'",
        "air --ml nan --finish 'house oil'",
        "air --ml 250 --finish 'house oil' --hours 0",
        "air --ml 250 --finish 'house oil' --hours inf",
        "air --ml 250 --finish 'house oil' --mixing 11",
        "air salt-1 --ml 250 --finish 'house oil'",
    ] {
        shop.run(line).fails(2);
    }
    let error = shop.run("air --ml 250 --finish 'house oyl'").refused("unknown-name");
    assert!(error.contains("house oil"), "{error}");
    shop.run("air salt-9").refused("unknown-name");
    shop.run("air --rack drip-1").refused("rack-empty");
}

#[test]
fn a_finish_without_fumes_asks_for_no_air() {
    let shop = TestShop::with_setup(&SORREL_LANE.replace("voc = 420", "voc = 0"));
    let session = &shop.json("air --ml 250 --finish 'house oil'")["sessions"][0];
    assert_close(number(&session["health"]["m3_per_hour"]), 0.0);
}
