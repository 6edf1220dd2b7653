//! Dew point and wood moisture against psychrometric libraries and the Wood Handbook's table.

use proptest::prelude::*;
use tackfree::craft::climate::{dew_point, equilibrium, from_fahrenheit, margin};
use tackfree::units::{Celsius, Humidity};

use super::sheet::{assert_close, rows};

fn air(temp: f64, humidity: f64) -> (Celsius, Humidity) {
    (Celsius::new(temp).unwrap(), Humidity::new(humidity).unwrap())
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    dew_points() + margins() + moisture()
}

fn dew_points() -> usize {
    let rows = rows("01_dew_point.csv");
    let mut count = 0;
    for row in &rows {
        let (temp, humidity) = air(row.number("t_c"), row.number("rh_pct"));
        let dew = dew_point(temp, humidity).unwrap().get();
        row.close("td_wmo_c", dew, 1e-3);
        row.close("td_alduchov_c", dew, if dew >= 0.0 { 0.05 } else { 0.1 });
        row.close("td_murphy_koop_c", dew, if dew >= 0.0 { 0.05 } else { 0.1 });
        row.close("spread_t_minus_td_c", margin(temp, humidity, None).margin.unwrap().get(), 1e-3);
        count += 4;
        if dew >= 0.0 {
            row.close("td_psychrolib_c", dew, 0.05);
            count += 1;
        }
    }
    count
}

fn margins() -> usize {
    let rows = rows("01_dew_margin.csv");
    for row in &rows {
        let temp = Celsius::new(row.number("t_c")).unwrap();
        let limit = Humidity::new(row.number("rh_pct_limit")).unwrap();
        let found = margin(temp, limit, None).margin.unwrap().get();
        assert!((found - row.number("margin_c")).abs() < 0.01, "{found} {temp:?} {limit:?}");
    }
    rows.len()
}

fn moisture() -> usize {
    let table = rows("02_emc_table.csv");
    for row in &table {
        let temp = from_fahrenheit(row.number("t_f")).unwrap();
        let found = equilibrium(temp, Humidity::new(row.number("rh_pct")).unwrap()).unwrap();
        row.close("t_c", temp.get(), 1e-4);
        row.close("emc_table_pct", found.moisture.get(), 0.06);
        assert!(!found.outside_range);
    }
    let exact = rows("02_emc_equation.csv");
    for row in &exact {
        let (temp, humidity) = air(row.number("t_c"), row.number("rh_pct"));
        let found = equilibrium(temp, humidity).unwrap();
        row.close("emc_pct", found.moisture.get(), 1e-5);
        assert_eq!(found.outside_range, temp.get() < -1.2);
    }
    2 * table.len() + exact.len()
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 500);
}

#[test]
fn the_surface_read_decides_and_the_air_stands_in_for_it() {
    let (temp, humidity) = air(15.0, 70.0);
    let assumed = margin(temp, humidity, None);
    assert!(assumed.surface_assumed && assumed.enough);
    let cold = margin(temp, humidity, Some(Celsius::new(11.0).unwrap()));
    assert!(!cold.surface_assumed && !cold.enough);
    // 82.3 % at 15 °C is 3 °C above the dew point: see 01_dew_margin.csv.
    let enough = |humidity| margin(temp, Humidity::new(humidity).unwrap(), None).enough;
    assert!(enough(82.0) && !enough(83.0));
}

#[test]
fn air_without_water_has_no_dew_point() {
    let (temp, dry) = air(20.0, 0.0);
    assert_eq!(dew_point(temp, dry), None);
    let margin = margin(temp, dry, None);
    assert_eq!((margin.margin, margin.enough), (None, true));
    assert_close(equilibrium(temp, dry).unwrap().moisture.get(), 0.0);
}

#[test]
fn what_no_room_has_is_refused_in_words() {
    let damp = Humidity::new(101.0).unwrap_err();
    assert_eq!(damp.to_string(), "relative humidity of 101 isn't possible: expected 0 to 100 %");
    assert!(from_fahrenheit(400.0).unwrap_err().to_string().contains("expected -40 to 60 °C"));
    assert!(Celsius::new(f64::NAN).is_err());
}

proptest! {
    #[test]
    fn the_dew_point_never_lies_above_the_air_and_rises_with_humidity(t in -40.0..60.0_f64, low in 0.1..100.0_f64, more in 0.0..50.0_f64) {
        let (temp, humidity) = air(t, low);
        let dew = dew_point(temp, humidity).unwrap().get();
        prop_assert!(dew <= t + 1e-9);
        let damper = Humidity::new((low + more).min(100.0)).unwrap();
        prop_assert!(dew_point(temp, damper).unwrap().get() >= dew - 1e-9);
        prop_assert!(equilibrium(temp, damper).unwrap().moisture >= equilibrium(temp, humidity).unwrap().moisture);
    }

    #[test]
    fn saturated_air_is_at_its_dew_point_exactly(t in -40.0..60.0_f64) {
        let (temp, humidity) = air(t, 100.0);
        prop_assert_eq!(dew_point(temp, humidity).unwrap().get().to_bits(), t.to_bits());
    }
}
