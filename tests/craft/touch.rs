//! The factor that the shop's own touch tests fit.

use std::collections::BTreeMap;

use chrono::TimeDelta;
use proptest::prelude::*;
use tackfree::craft::cure::{self, Factor, TouchTest};

fn tests(list: &[(f64, bool)]) -> Vec<TouchTest> {
    list.iter().map(|&(share, passed)| TouchTest { share, passed }).collect()
}

#[test]
fn touch_tests_only_ever_lengthen_the_cure() {
    let fit = |list: &[(f64, bool)]| cure::fit(&tests(list));
    assert_eq!(fit(&[]), Factor::SHEET);
    assert!((fit(&[(0.4, true), (1.0, true)]).times - 1.0).abs() < 1e-12);
    assert!(
        (fit(&[(0.5, false), (1.4, true)]).times - 1.0).abs() < 1e-12,
        "early failures are expected"
    );
    let late = fit(&[(0.3, false), (1.1, false), (1.4, true), (1.6, true)]);
    assert!((late.times - 1.4).abs() < 1e-12 && !late.open && late.tests == 4);
    let open = fit(&[(0.9, true), (1.2, false)]);
    assert!((open.times - 1.2).abs() < 1e-12 && open.open);
    let mut many: Vec<(f64, bool)> = (0..60).map(|i| (1.0 + f64::from(i) / 100.0, true)).collect();
    many.push((1.3, false));
    assert!((fit(&many).times - 1.0).abs() < 1e-12, "one in 61 does not outweigh the rest");
    assert_eq!(late.needed(TimeDelta::hours(10)), TimeDelta::hours(14));
    assert_eq!(late.needed(TimeDelta::seconds(3)), TimeDelta::seconds(5), "4.2 s, rounded up");
    assert_eq!(late.failed_past_sheet, 1);
}

/// The factor by the max-min formula of isotonic regression (Barlow, Bartholomew, Bremner and Brunk 1972, from memory): at each
/// age the largest, over where a stretch begins, of the smallest share that passes in a stretch from there past that age.
fn by_max_min(list: &[(f64, bool)]) -> (f64, bool) {
    let mut ages: BTreeMap<u64, (f64, i32, i32)> = BTreeMap::new();
    for &(share, passed) in list {
        let (_, good, all) = ages.entry(share.to_bits()).or_insert((share, 0, 0));
        (*good, *all) = (*good + i32::from(passed), *all + 1);
    }
    let ages: Vec<(f64, i32, i32)> = ages.into_values().collect();
    let share = |from: usize, to: usize| {
        let sum = |part: fn(&(f64, i32, i32)) -> i32| {
            f64::from(ages[from..=to].iter().map(part).sum::<i32>())
        };
        sum(|age| age.1) / sum(|age| age.2)
    };
    let fitted = |age: usize| {
        let least = |from| (age..ages.len()).map(|to| share(from, to)).fold(1.0, f64::min);
        (0..=age).map(least).fold(0.0, f64::max)
    };
    match (0..ages.len()).rfind(|&age| fitted(age) < 0.95 - 1e-9) {
        Some(doubted) if ages[doubted].0 >= 1.0 => {
            let next = ages.get(doubted + 1);
            (next.map_or(ages[doubted].0, |age| age.0), next.is_none())
        }
        _ => (1.0, false),
    }
}

proptest! {
    #[test]
    fn the_factor_is_that_of_isotonic_regression(
        list in prop::collection::vec(((5_i32..25).prop_map(|tenths| f64::from(tenths) / 10.0), prop::bool::weighted(0.8)), 0..40)
    ) {
        let factor = cure::fit(&tests(&list));
        let (times, open) = by_max_min(&list);
        prop_assert!((factor.times - times).abs() < 1e-9, "{factor:?}, not {times}");
        prop_assert_eq!(factor.open, open);
    }
}
