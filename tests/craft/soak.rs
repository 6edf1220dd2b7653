//! Soak groups against simulations of every piece and dynamic programming over every split.

use chrono::{DateTime, TimeDelta, Utc};
use proptest::prelude::*;
use tackfree::craft::soak::{Soak, SoakError};

use super::sheet::{Row, rows};

fn soak_of(row: &Row, careful: bool) -> Result<Soak, SoakError> {
    let [a, b, s, most] =
        ["a_s", "b_s", "s_s", "S_s"].map(|name| TimeDelta::seconds(row.whole(name)));
    if careful { Soak::careful(a, b, s, most) } else { Soak::between_actions(a, b, s, most) }
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    largest() + waits() + totals() + definitions()
}

fn largest() -> usize {
    let rows = rows("05_wave.csv");
    for row in &rows {
        let soak = soak_of(row, false).unwrap();
        let most = soak.most_in_a_group();
        row.same("n_max", most);
        row.same("wait_s", soak.wait(most).unwrap().num_seconds());
        let groups = soak.groups(most).unwrap();
        assert_eq!((groups.count, groups.wall().num_seconds()), (1, row.whole("wall_s")));
    }
    rows.len() * 3
}

fn waits() -> usize {
    let rows = rows("05_wave_n.csv");
    for row in &rows {
        let found = soak_of(row, false).unwrap().wait(row.whole("n"));
        let want = row.maybe("wait_s").map(|_| TimeDelta::seconds(row.whole("wait_s")));
        assert_eq!(found, want, "{} pieces", row.text("n"));
    }
    rows.len()
}

fn totals() -> usize {
    let rows = rows("05_waves_total.csv");
    for row in &rows {
        let groups = soak_of(row, false).unwrap().groups(row.whole("N")).unwrap();
        row.same("waves", groups.count);
        row.same("wall_s", groups.wall().num_seconds());
        row.same("idle_s", groups.idle.num_seconds());
        row.same("N", groups.sizes().sum::<u32>());
    }
    rows.len() * 3
}

fn definitions() -> usize {
    let rows = rows("05_definitions.csv");
    for row in &rows {
        row.same("n_max", soak_of(row, false).unwrap().most_in_a_group());
        match row.maybe("n_max_conservative") {
            Some(_) => {
                let most = soak_of(row, true).unwrap().most_in_a_group();
                row.same("n_max_conservative", most);
            }
            None => assert!(matches!(soak_of(row, true), Err(SoakError::TooSlow { .. }))),
        }
    }
    rows.len() * 2
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 1000);
}

#[test]
fn a_group_says_when_the_first_and_the_last_must_be_wiped() {
    let span = TimeDelta::seconds;
    let soak = Soak::careful(span(22), span(18), span(600), span(1200)).unwrap();
    let begun: DateTime<Utc> = "2026-03-04T09:40:00Z".parse().unwrap();
    let times = soak.times(begun, 36).unwrap();
    assert_eq!(times.applied - begun, span(36 * 22));
    assert_eq!(times.wipe_from, times.applied, "the first has soaked long enough by then");
    assert_eq!(times.first_off_by - begun, span(1200));
    assert_eq!(times.last_off_by - begun, span(35 * 22 + 1200));
    assert_eq!(times.wipe_by - begun, span(36 * 22 + 1160 - 35 * 22));
    assert_eq!(soak.times(begun, soak.most_in_a_group() + 1), None);
    assert_eq!(soak.times(begun, 0), None);
}

#[test]
fn work_that_takes_no_time_and_soaks_that_run_backwards_are_refused() {
    let span = TimeDelta::seconds;
    let none = Soak::careful(span(0), span(0), span(10), span(20)).unwrap_err();
    assert!(none.to_string().contains("more than 0 together"), "{none}");
    assert!(Soak::careful(span(-1), span(5), span(10), span(20)).is_err());
    assert!(matches!(
        Soak::careful(span(1), span(5), span(30), span(20)),
        Err(SoakError::NoSoak { .. })
    ));
    let slow = Soak::careful(span(300), span(300), span(600), span(1000)).unwrap_err();
    assert_eq!(
        slow.to_string(),
        "one piece takes 1200 s to apply, soak and wipe, and the sheet's longest soak is 1000 s"
    );
    let tight = Soak::careful(span(20), span(10), span(30), span(60)).unwrap();
    assert_eq!(tight.most_in_a_group(), 1, "a single piece that just fits");
    let quick = Soak::careful(span(0), span(1), span(0), TimeDelta::MAX).unwrap();
    assert_eq!(quick.most_in_a_group(), u32::MAX);
    assert_eq!(quick.groups(0).unwrap().count, 0);
}

/// Works a group piece by piece: every soak has to keep both limits of the careful reading.
fn keeps(a: i64, b: i64, s: i64, most: i64, pieces: i64, wipe_from: i64) -> bool {
    (0..pieces).all(|i| {
        let (applied, wiped) = ((i + 1) * a, wipe_from + i * b);
        wiped - applied >= s && wiped + b - i * a <= most
    })
}

proptest! {
    #[test]
    fn the_largest_group_is_the_largest_and_its_times_are_the_edges(
        a in 0..60_i64, b in 1..60_i64, s in 0..300_i64, more in 0..400_i64, size in 1..500_u32,
    ) {
        let span = TimeDelta::seconds;
        let most = s + a + b + more;
        let soak = Soak::careful(span(a), span(b), span(s), span(most)).unwrap();
        let begun = DateTime::<Utc>::UNIX_EPOCH;
        let n = size.min(soak.most_in_a_group());
        let times = soak.times(begun, n).unwrap();
        let (n, from, by) = (i64::from(n), (times.wipe_from - begun).num_seconds(), (times.wipe_by - begun).num_seconds());
        prop_assert!(keeps(a, b, s, most, n, from) && keeps(a, b, s, most, n, by));
        prop_assert!(from == n * a || !keeps(a, b, s, most, n, from - 1));
        prop_assert!(!keeps(a, b, s, most, n, by + 1));
        let over = i64::from(soak.most_in_a_group()) + 1;
        if over < 2000 {
            prop_assert!((over * a..=over * a + most).all(|from| !keeps(a, b, s, most, over, from)));
        }
    }

    #[test]
    fn one_group_more_never_shortens_a_coat(
        a in 0..60_i64, b in 1..60_i64, s in 0..900_i64, more in 0..900_i64, pieces in 1..400_u32, extra in 1..6_u32,
    ) {
        let span = TimeDelta::seconds;
        let soak = Soak::careful(span(a), span(b), span(s), span(s + a + b + more)).unwrap();
        let fewest = soak.groups(pieces).unwrap();
        let count = (fewest.count + extra).min(pieces);
        let split = (0..count).map(|group| pieces / count + u32::from(group < pieces % count));
        let idle: TimeDelta = split.map(|size| soak.wait(size).unwrap()).sum();
        prop_assert!(fewest.idle <= idle);
        prop_assert!(soak.groups(pieces + 1).unwrap().wall() >= fewest.wall());
        prop_assert!(fewest.sizes().all(|size| size >= 1 && size <= soak.most_in_a_group()));
        prop_assert_eq!(fewest.minutes(), (fewest.wall().num_seconds() + 59) / 60);
    }
}
