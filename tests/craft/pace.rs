//! Pace against printed unit factors and a statistics library's fits.

use proptest::prelude::*;
use tackfree::craft::pace::{Curve, PaceError, fit, losses, pace, saved};

use super::sheet::{assert_close, rows};

fn curve(first: f64, slope_percent: f64) -> Curve {
    Curve { first, exponent: (slope_percent / 100.0).log2(), fit: None, samples: 0 }
}

/// The time of one piece, never below the best seen less 20 %.
fn piece(curve: &Curve, number: u32, best: f64) -> f64 {
    (curve.first * f64::from(number).powf(curve.exponent)).max(0.8 * best)
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    factors() + fits() + hours_left()
}

fn factors() -> usize {
    let rows = rows("08_unit_factors.csv");
    for row in &rows {
        let curve = curve(1.0, row.number("slope_pct"));
        let n: u32 = row.whole("n");
        row.close("unit_factor", curve.left(n - 1, 1, 0.0), 1e-6);
        row.close("printed", curve.left(n - 1, 1, 0.0), 5.01e-4);
        row.close("crawford_total", curve.left(0, n, 0.0), 1e-6);
    }
    rows.len() * 3
}

fn fits() -> usize {
    let rows = rows("08_fit.csv");
    for row in &rows {
        let pieces: Vec<u32> = row.json("n");
        let minutes: Vec<f64> = row.json("minutes");
        let samples: Vec<(u32, f64)> = pieces.into_iter().zip(minutes).collect();
        let found = fit(&samples).unwrap();
        row.close("t1_log", found.first, 2e-9);
        row.close("b_log", found.exponent, 1e-9);
        row.close("slope_pct_log", found.slope_percent(), 1e-6);
        row.close("r2_log", found.fit.unwrap(), 1e-9);
        assert_eq!(found.samples, samples.len());
    }
    rows.len() * 4
}

fn hours_left() -> usize {
    let rows = rows("08_hours_left.csv");
    for row in &rows {
        let curve = curve(row.number("t1_min"), row.number("slope_pct"));
        let left = curve.left(row.whole("made"), row.whole("todo"), 0.0);
        row.close("crawford_min", left, 1e-6);
        row.close("crawford_h", left / 60.0, 1e-6);
    }
    rows.len() * 2
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 200);
}

#[test]
fn the_pace_is_the_median_with_the_best_and_the_last_ten_beside_it() {
    let falling: Vec<f64> = (0..21).map(|n| 400.0 - f64::from(n)).collect();
    let found = pace(&falling).unwrap();
    assert_eq!(
        (found.samples, found.median, found.best, found.last_ten),
        (21, 390.0, 380.0, 384.5)
    );
    assert_close(pace(&[300.0, 200.0]).unwrap().median, 250.0);
    assert_eq!(pace(&[]), Err(PaceError::NoSamples));
    for bad in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(pace(&[60.0, bad]), Err(PaceError::NoTime { .. })));
    }
}

#[test]
fn time_is_lost_where_the_median_lies_furthest_over_the_best() {
    let (turn, sand) = ([370.0, 360.0, 400.0], [60.0, 30.0, 90.0]);
    let found = losses([("turn", &turn[..]), ("sand P180", &sand[..]), ("pack", &[])]).unwrap();
    let names: Vec<&str> = found.iter().map(|loss| loss.step.as_str()).collect();
    assert_eq!(names, ["sand P180", "turn"]);
    assert_eq!((found[0].lost, found[1].lost), (30.0, 10.0));
    assert!((found[0].share - 0.75).abs() < 1e-12);
    let even = losses([("turn", &[60.0, 60.0][..])]).unwrap();
    assert_close(even[0].share, 0.0);
}

#[test]
fn a_curve_never_leads_below_the_best_seen_less_a_fifth() {
    let steep = curve(600.0, 70.0);
    assert_close(piece(&steep, 100_000, 300.0), 240.0);
    let floored = steep.left(0, 1000, 300.0);
    let by_hand: f64 = (1..=1000).map(|n| piece(&steep, n, 300.0)).sum();
    assert!((floored - by_hand).abs() < 1e-6, "{floored} {by_hand}");
    let slower = curve(100.0, 110.0);
    let by_hand: f64 = (1..=500).map(|n| piece(&slower, n, 200.0)).sum();
    assert!((slower.left(0, 500, 200.0) - by_hand).abs() < 1e-6);
    assert_close(curve(100.0, 100.0).left(3, 10, 50.0), 1000.0);
    assert_close(curve(100.0, 100.0).left(3, 10, 500.0), 4000.0);
}

#[test]
fn samples_that_give_no_curve_are_refused() {
    assert_eq!(fit(&[]), Err(PaceError::NoSamples));
    assert_eq!(fit(&[(3, 60.0), (3, 70.0)]), Err(PaceError::OnePiece));
    assert_eq!(fit(&[(0, 60.0), (3, 70.0)]), Err(PaceError::NoPiece));
    assert_eq!(fit(&[(1, 60.0), (9, 60.0)]).unwrap().fit, None);
}

#[test]
fn a_target_saves_what_lies_over_it() {
    assert_close(saved(360.0, 300.0, 40), 2400.0);
    assert_close(saved(280.0, 300.0, 40), 0.0);
}

proptest! {
    #[test]
    fn long_sums_agree_with_their_terms(slope in 70.0..115.0_f64, made in 0..5000_u32, todo in 0..20_000_u32, best in 0.0..400.0_f64) {
        let curve = curve(360.0, slope);
        let by_hand: f64 = (made + 1..=made + todo).map(|n| piece(&curve, n, best)).sum();
        let left = curve.left(made, todo, best);
        prop_assert!((left - by_hand).abs() <= 1e-9 * by_hand.max(1.0), "{left} {by_hand}");
    }

    #[test]
    fn a_curve_is_found_again(first in 30.0..900.0_f64, slope in 70.0..110.0_f64, count in 2..40_u32) {
        let curve = curve(first, slope);
        let samples: Vec<(u32, f64)> = (1..=count).map(|n| (n, piece(&curve, n, 0.0))).collect();
        let found = fit(&samples).unwrap();
        prop_assert!((found.first - first).abs() < 1e-6 * first);
        prop_assert!((found.slope_percent() - slope).abs() < 1e-6);
    }

    #[test]
    fn no_numbers_lead_to_none(first in 0.001..1e6_f64, exponent in -50.0..50.0_f64, made: u32, todo: u32, best in -10.0..1e9_f64) {
        let curve = Curve { first, exponent, fit: None, samples: 0 };
        prop_assert!(!curve.left(made, todo, best).is_nan());
    }
}
