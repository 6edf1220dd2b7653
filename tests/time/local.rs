//! Elapsed time against the wall clock: every row of the elapsed, transition and day-length checks.

use chrono::{NaiveDate, NaiveDateTime, TimeDelta};
use tackfree::time::local::{Reading, offset_at, wall};
use tackfree::time::words::rfc3339;
use tackfree::time::{Span, Zone, first_instant_of, local_date};

use super::shared::{DUBLIN, rows};

#[test]
fn a_rest_is_elapsed_time_whatever_the_clocks_do() {
    for row in rows("11_elapsed.csv") {
        let hours: f64 = row.get("elapsed_h").parse().unwrap();
        #[expect(clippy::cast_possible_truncation, reason = "quarters of hours")]
        let rest = Span::seconds((hours * 3600.0) as i64);
        let start = row.at("local_start");
        let end = rest.after(start);
        assert_eq!(end, row.at("end_utc"), "{row:?}");
        assert_eq!(rfc3339(end, row.zone()), row.get("local_end"), "{row:?}");
        assert_eq!(rest.before(end), start, "{row:?}");
        let naive = wall(start, row.zone()) + rest.as_delta();
        let shift = (wall(end, row.zone()) - naive).num_minutes();
        assert_eq!(shift.to_string(), row.get("wall_shift_min"), "{row:?}");
    }
}

#[test]
fn every_change_of_offset_is_where_the_outside_says() {
    for row in rows("11_transitions.csv") {
        let (zone, change) = (row.zone(), row.at("instant_utc"));
        let before = change - TimeDelta::seconds(1);
        assert_eq!(rfc3339(before, zone), row.get("last_local_before"), "{row:?}");
        assert_eq!(rfc3339(change, zone), row.get("first_local_after"), "{row:?}");
        let seconds =
            offset_at(change, zone).local_minus_utc() - offset_at(before, zone).local_minus_utc();
        assert_eq!((seconds / 60).to_string(), row.get("change_min"), "{row:?}");
    }
}

#[test]
fn a_day_lasts_from_its_first_instant_to_the_next_days() {
    for row in rows("11_day_lengths.csv") {
        let zone = row.zone();
        let date: NaiveDate = row.get("local_date").parse().unwrap();
        let first = first_instant_of(date, zone);
        let next = first_instant_of(date.succ_opt().unwrap(), zone);
        assert_eq!(rfc3339(first, zone), row.get("first_instant"), "{row:?}");
        assert_eq!(rfc3339(next, zone), row.get("next_day_first_instant"), "{row:?}");
        assert_eq!(format!("{:.2}", Span::between(first, next).as_hours()), row.get("hours"));
        assert_eq!(local_date(first, zone), date, "{row:?}");
        assert_eq!(local_date(first - TimeDelta::seconds(1), zone), date.pred_opt().unwrap());
    }
}

#[test]
fn a_wall_time_comes_once_twice_or_never() {
    for row in rows("11_gap_fold.csv") {
        let local: NaiveDateTime = row.get("local_time").parse().unwrap();
        let (fold0, fold1) = (row.at("utc_fold0"), row.at("utc_fold1"));
        match (row.get("kind"), Reading::of(local, row.zone())) {
            ("fold", Reading::Twice(first, second)) => {
                assert_eq!((first, second), (fold0, fold1), "{row:?}");
            }
            // Python reads a time in a gap by the offset before (fold 0) and after (fold 1): one lies past the change,
            // the other before it.
            ("gap", Reading::Never(change)) => {
                assert!(fold1 < change && change <= fold0, "{row:?} {change}");
                assert!(wall(change, row.zone()) > local, "{row:?} {change}");
                assert!(wall(change - TimeDelta::seconds(1), row.zone()) < local, "{row:?}");
            }
            (kind, reading) => panic!("{kind}: {reading:?} for {row:?}"),
        }
    }
}

#[test]
fn the_ends_of_the_calendar_do_not_panic() {
    use tackfree::time::Instant;
    for zone in [DUBLIN, Zone::Pacific__Kiritimati, Zone::America__Los_Angeles] {
        for end in [Instant::MIN_UTC, Instant::MAX_UTC] {
            let date = local_date(end, zone);
            assert_eq!(local_date(first_instant_of(date, zone), zone), date);
        }
        assert_eq!(Span::MAX.after(Instant::MAX_UTC), Instant::MAX_UTC);
        assert_eq!(Span::MAX.before(Instant::MIN_UTC), Instant::MIN_UTC);
    }
}
