//! Typed moments and dates: every form, every refusal, every clock change.

use chrono::NaiveDateTime;
use proptest::prelude::*;
use tackfree::time::clock;
use tackfree::time::typed::read_rfc3339;
use tackfree::time::{TypedError, Zone, read_date, read_moment};

use super::shared::{DUBLIN, at, rows};

/// A Wednesday in winter.
const NOW: &str = "2026-03-04T14:20:00Z";

#[test]
fn every_form_is_read() {
    for (text, meant) in [
        ("now", NOW),
        ("09:40", "2026-03-04T09:40Z"),
        ("9:40", "2026-03-04T09:40Z"),
        ("09:40:30", "2026-03-04T09:40:30Z"),
        ("yesterday 16:00", "2026-03-03T16:00Z"),
        ("Yesterday  16:00 ", "2026-03-03T16:00Z"),
        ("today 9:40", "2026-03-04T09:40Z"),
        ("today", "2026-03-04T00:00Z"),
        ("tomorrow 08:30", "2026-03-05T08:30Z"),
        ("tomorrow", "2026-03-05T00:00Z"),
        ("mon 09:40", "2026-03-02T09:40Z"),
        ("Monday 09:40", "2026-03-02T09:40Z"),
        ("tue 09:40", "2026-03-03T09:40Z"),
        ("thu 09:40", "2026-02-26T09:40Z"),
        ("wed 18:00", "2026-03-04T18:00Z"),
        ("sat", "2026-02-28T00:00Z"),
        ("2026-03-04 09:40", "2026-03-04T09:40Z"),
        ("2026-07-04 09:40", "2026-07-04T08:40Z"),
        ("2026-03-04T09:40", "2026-03-04T09:40Z"),
        ("2026-03-04T09:40:15", "2026-03-04T09:40:15Z"),
        ("2026-03-04", "2026-03-04T00:00Z"),
        ("2026-07-04", "2026-07-03T23:00Z"),
        ("2026-03-04T09:40:00+00:00", "2026-03-04T09:40Z"),
        ("2026-03-04T09:40:00Z", "2026-03-04T09:40Z"),
        ("2026-03-04t09:40:00z", "2026-03-04T09:40Z"),
        ("2026-03-04T09:40+01:00", "2026-03-04T08:40Z"),
        ("2026-03-04 09:40 -0330", "2026-03-04T13:10Z"),
        ("2026-03-04T09:40:00.750Z", "2026-03-04T09:40Z"),
        ("20m ago", "2026-03-04T14:00Z"),
        ("1h 30m ago", "2026-03-04T12:50Z"),
        ("in 2h", "2026-03-04T16:20Z"),
    ] {
        assert_eq!(read_moment(text, at(NOW), DUBLIN), Ok(at(meant)), "{text}");
    }
}

#[test]
fn what_is_not_a_moment_is_refused_with_what_was_expected() {
    let refusal = |text: &str| read_moment(text, at(NOW), DUBLIN).unwrap_err().to_string();
    assert!(refusal("").starts_with("nothing was written"));
    assert!(refusal("soon").starts_with("\"soon\" is not a time: expected \"09:40\""));
    assert_eq!(
        refusal("2026-02-30 09:40"),
        "there's no date 2026-02-30: expected year-month-day, from 1970-01-01 to 2199-12-31"
    );
    assert_eq!(refusal("25:00"), "there isn't a time of day 25:00: expected 00:00 to 23:59");
    assert_eq!(refusal("24:00"), "there isn't a time of day 24:00: expected 00:00 to 23:59");
    assert!(refusal("2026-03-04T09:40+1").contains("is not an offset from UTC"));
    assert!(refusal("1M ago").contains("has no fixed length"));
    assert!(refusal("in 1M").contains("has no fixed length"));
    assert!(refusal("900000d ago").contains("is too long"));
    assert!(refusal("100000d ago").contains("there's no date"));
    for text in [
        "9",
        "9.40",
        "09:40 yesterday",
        "tomorrow noon",
        "0940",
        "2026-03",
        "26-03-04",
        "ago",
        "in",
    ] {
        assert!(read_moment(text, at(NOW), DUBLIN).is_err(), "{text}");
    }
}

#[test]
fn a_wall_time_that_comes_twice_or_never_is_refused_with_the_offsets_that_settle_it() {
    for row in rows("11_gap_fold.csv") {
        let (zone, typed) = (row.zone(), row.get("local_time"));
        let local: NaiveDateTime = typed.parse().unwrap();
        let error = read_moment(typed, at(NOW), zone).unwrap_err();
        let (before, after) = match (row.get("kind"), &error) {
            ("fold", TypedError::Twice { local: said, before, after })
            | ("gap", TypedError::Never { local: said, before, after }) => {
                assert_eq!(*said, local, "{row:?}");
                (before, after)
            }
            _ => panic!("{error:?} for {row:?}"),
        };
        for (offset, meant) in [(before, row.at("utc_fold0")), (after, row.at("utc_fold1"))] {
            let settled = format!("{}{offset}", local.format("%Y-%m-%dT%H:%M"));
            assert!(error.to_string().contains(&settled), "{error} lacks {settled}");
            assert_eq!(read_moment(&settled, at(NOW), zone), Ok(meant), "{settled}");
        }
    }
}

#[test]
fn the_refusal_names_both_ways_out() {
    let refusal = |text: &str| read_moment(text, at(NOW), DUBLIN).unwrap_err().to_string();
    assert_eq!(
        refusal("2026-10-25 01:30"),
        "2026-10-25 01:30 comes twice: write 2026-10-25T01:30+01:00 or 2026-10-25T01:30+00:00"
    );
    assert_eq!(
        refusal("2026-03-29 01:30:05"),
        "2026-03-29 01:30:05 never comes, the clocks go forward over it: write \
         2026-03-29T01:30:05+00:00 or 2026-03-29T01:30:05+01:00"
    );
}

#[test]
fn a_day_alone_is_its_first_instant_even_where_midnight_is_skipped() {
    let cairo = Zone::Africa__Cairo;
    assert_eq!(read_moment("2026-04-24", at(NOW), cairo), Ok(at("2026-04-24T01:00+03:00")));
    let eve = at("2026-04-23T12:00+02:00");
    assert_eq!(read_moment("tomorrow", eve, cairo), Ok(at("2026-04-24T01:00+03:00")));
}

#[test]
fn today_is_the_shops_day_not_utcs() {
    let late = at("2026-03-05T02:00Z");
    let new_york = Zone::America__New_York;
    assert_eq!(read_moment("09:40", late, new_york), Ok(at("2026-03-04T09:40-05:00")));
    assert_eq!(read_date("today", late, new_york).unwrap().to_string(), "2026-03-04");
}

#[test]
fn dates_are_read_alone() {
    let read = |text: &str| read_date(text, at(NOW), DUBLIN);
    for (text, meant) in [
        ("2026-03-27", "2026-03-27"),
        (" today ", "2026-03-04"),
        ("Tomorrow", "2026-03-05"),
        ("yesterday", "2026-03-03"),
    ] {
        assert_eq!(read(text).unwrap().to_string(), meant);
    }
    assert!(matches!(read("2026-02-29"), Err(TypedError::NoSuchDate { .. })));
    for text in ["fri", "", "2026-03-27 09:40", "27.3.2026", "in 2d"] {
        assert!(matches!(read(text), Err(TypedError::NotADate { .. })), "{text}");
    }
}

#[test]
fn an_overridden_clock_needs_its_offset() {
    assert_eq!(clock::now(Some("2026-03-28T09:40:00+00:00")), Ok(at("2026-03-28T09:40Z")));
    let refused = clock::now(Some("2026-03-28 09:40")).unwrap_err().to_string();
    assert_eq!(
        refused,
        "TACKFREE_NOW: \"2026-03-28 09:40\" is not a moment with its offset: expected \
         \"2026-03-04T09:40:00+00:00\""
    );
    assert!(clock::now(Some("")).is_err());
}

#[test]
fn the_clock_gives_whole_seconds_of_this_century() {
    let now = clock::now(None).unwrap();
    assert_eq!(now.timestamp_subsec_nanos(), 0);
    assert!(now > at("2025-01-01T00:00Z"), "{now}");
}

proptest! {
    #[test]
    fn no_text_panics(
        text in any::<String>(),
        near in "(today|mon|tue|20|in |2026-0[0-9]-[0-9]{1,2}|T| ){0,3}[0-9:.]{0,9}(z|[+-][0-9:]{0,6}| ago|é)?",
    ) {
        for text in [text, near] {
            for zone in [DUBLIN, Zone::Africa__Cairo] {
                drop(read_moment(&text, at(NOW), zone));
                drop(read_date(&text, at(NOW), zone));
                drop(read_rfc3339(&text));
            }
        }
    }

    #[test]
    fn what_is_written_reads_back(seconds in 0..7_000_000_000_i64, zone in prop::sample::select(chrono_tz::TZ_VARIANTS.to_vec())) {
        let moment = tackfree::time::Instant::from_timestamp(seconds, 0).unwrap();
        let written = tackfree::time::words::rfc3339(moment, zone);
        // RFC 3339 has no offsets with seconds; a few zones (Monrovia) still had one in the early 1970s.
        if written.len() == "2026-03-04T09:40:00+00:00".len() {
            prop_assert_eq!(read_rfc3339(&written), Ok(moment));
        }
    }
}
