//! The factor that the shop's own touch tests fit.

use chrono::TimeDelta;
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
