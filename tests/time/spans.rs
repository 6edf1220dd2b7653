//! Spans, ranges and keeping times: what is read, refused, written and shown.

use proptest::prelude::*;
use tackfree::time::{Keeps, Span, SpanError, SpanRange, Zone};

use super::shared::{DUBLIN, at};

fn refusal(text: &str) -> String {
    text.parse::<Span>().unwrap_err().to_string()
}

#[test]
fn spans_are_read_as_humantime_does() {
    for (text, seconds) in [
        ("24h", 86_400),
        ("6m10s", 370),
        ("7d", 604_800),
        ("1h 30m", 5_400),
        ("2 weeks", 1_209_600),
        ("1.5h", 5_400),
        ("90 min", 5_400),
        ("0", 0),
        (" 45s ", 45),
    ] {
        assert_eq!(text.parse(), Ok(Span::seconds(seconds)), "{text}");
    }
}

#[test]
fn what_has_no_fixed_length_or_no_whole_second_is_refused() {
    assert_eq!(
        refusal("1M"),
        "\"M\" in \"1M\" has no fixed length: expected days or weeks, such as \"90d\""
    );
    for text in ["6 months", "1y", "2 yrs", "1h 1month"] {
        assert!(matches!(text.parse::<Span>(), Err(SpanError::Calendar { .. })), "{text}");
    }
    for text in ["500ms", "1us", "3ns", "0.5s", "0.0001h"] {
        assert!(matches!(text.parse::<Span>(), Err(SpanError::BelowSecond { .. })), "{text}");
    }
    assert_eq!(refusal(""), SpanError::Empty.to_string());
    assert_eq!(
        refusal("24"),
        "\"24\" has a number without a unit: expected s, m, h, d or w after each number"
    );
    assert_eq!(
        refusal("3 fortnights"),
        "\"fortnights\" in \"3 fortnights\" is not a unit of time: expected s, m, h, d or w"
    );
    for text in ["-4h", "h", "soon", "4h..6h", "½h"] {
        assert!(matches!(text.parse::<Span>(), Err(SpanError::Unread { .. })), "{text}");
    }
    // 999999999999 weeks, and the text on which humantime itself would overflow.
    for text in ["999999999999w", "366000d", "18446744073709551615s 0.5s 0.5s"] {
        assert!(matches!(text.parse::<Span>(), Err(SpanError::TooLong { .. })), "{text}");
    }
}

#[test]
fn spans_are_shown_in_two_units_at_most() {
    for (seconds, shown, typed) in [
        (0, "0 s", "0s"),
        (45, "45 s", "45s"),
        (370, "6 m 10 s", "6m10s"),
        (600, "10 m", "10m"),
        (7_800, "2 h 10 m", "2h10m"),
        (7_859, "2 h 10 m", "2h10m59s"),
        (3_605, "1 h", "1h5s"),
        (86_400, "24 h", "24h"),
        (172_800, "48 h", "48h"),
        (172_801, "2 d", "2d1s"),
        (273_600, "3 d 4 h", "3d4h"),
        (1_814_400, "21 d", "21d"),
    ] {
        let span = Span::seconds(seconds);
        assert_eq!(span.to_string(), shown);
        assert_eq!(span.typed(), typed);
    }
    assert_eq!(format!("{:>8}|", Span::hours(4)), "     4 h|");
}

#[test]
fn arithmetic_stays_between_nothing_and_the_longest() {
    assert_eq!(Span::seconds(-1), Span::ZERO);
    assert_eq!(Span::try_seconds(-1), Err(SpanError::Negative { seconds: -1 }));
    assert_eq!(Span::hours(i64::MAX), Span::MAX);
    assert_eq!(Span::MAX.saturating_add(Span::seconds(1)), Span::MAX);
    assert_eq!(Span::seconds(22).times(36), Span::seconds(792));
    assert_eq!(Span::seconds(2).times(u64::MAX), Span::MAX);
    assert_eq!((Span::seconds(61).minutes_up(), Span::seconds(60).minutes_up()), (2, 1));
    let (early, late) = (at("2026-03-28T09:00Z"), at("2026-03-28T09:00:40Z"));
    assert_eq!(Span::between(early, late), Span::seconds(40));
    assert_eq!(Span::between(late, early), Span::ZERO);
}

#[test]
fn a_range_has_both_ends_in_order() {
    let range: SpanRange = "24h..7d".parse().unwrap();
    assert_eq!((range.min, range.max), (Span::hours(24), Span::days(7)));
    assert_eq!(range.to_string(), "24 h to 7 d");
    assert_eq!(range.typed(), "24h..7d");
    assert_eq!(
        "24h".parse::<SpanRange>().unwrap_err().to_string(),
        "\"24h\" is a single time: expected the shortest and the longest, such as \"24h..7d\""
    );
    assert_eq!(
        "7d..24h".parse::<SpanRange>().unwrap_err().to_string(),
        "\"7 d..24 h\" ends before it begins: expected the shorter time first, \"24 h..7 d\""
    );
    let open: SpanRange = "24h..".parse().unwrap();
    assert_eq!((open.longest(), open.typed()), (None, "24h..".to_owned()));
    assert_eq!(open.to_string(), "24 h or longer");
    assert!("..7d".parse::<SpanRange>().is_err());
    assert!("10m..1M".parse::<SpanRange>().is_err());
    assert!("10m..10m".parse::<SpanRange>().is_ok());
}

#[test]
fn keeping_times_go_by_the_calendar() {
    for (text, keeps, shown) in [
        ("6 months", Keeps::Months(6), "6 months"),
        ("1 month", Keeps::Months(1), "1 month"),
        ("1 year", Keeps::Months(12), "1 year"),
        ("1y 6M", Keeps::Months(18), "18 months"),
        ("90d", Keeps::For(Span::days(90)), "90 d"),
    ] {
        assert_eq!(text.parse(), Ok(keeps), "{text}");
        assert_eq!(keeps.to_string(), shown);
    }
    for text in ["1 year 10d", "months", "6.5 months", "9999999999 months", "101 years", "", "6 6"]
    {
        assert!(text.parse::<Keeps>().is_err(), "{text}");
    }
}

#[test]
fn a_can_keeps_until_the_same_wall_time_months_later() {
    let until = |text: &str, opened: &str, zone: Zone| {
        text.parse::<Keeps>().unwrap().until(at(opened), zone)
    };
    // Winter into summer: the same wall time is an hour earlier in UTC.
    assert_eq!(until("6 months", "2026-01-10T09:40Z", DUBLIN), at("2026-07-10T09:40+01:00"));
    // The 31st of a month that has 30 days.
    assert_eq!(until("1 month", "2026-08-31T12:00+01:00", DUBLIN), at("2026-09-30T12:00+01:00"));
    assert_eq!(until("1 year", "2028-02-29T12:00Z", DUBLIN), at("2029-02-28T12:00Z"));
    // Into a gap: its end. Into a fold: the first.
    assert_eq!(until("1 month", "2026-02-28T01:30Z", DUBLIN), at("2026-03-28T01:30Z"));
    assert_eq!(until("1 year", "2025-03-29T01:30Z", DUBLIN), at("2026-03-29T01:00Z"));
    assert_eq!(until("1 month", "2026-09-25T01:30+01:00", DUBLIN), at("2026-10-25T01:30+01:00"));
    assert_eq!(until("90d", "2026-01-10T09:40Z", DUBLIN), at("2026-04-10T09:40Z"));
}

#[test]
fn spans_are_stored_as_typed_text() {
    assert_eq!(serde_json::to_string(&Span::seconds(370)).unwrap(), "\"6m10s\"");
    assert!(serde_json::from_str::<Span>("\"1M\"").is_err());
    assert!(serde_json::from_str::<SpanRange>("\"7d..24h\"").is_err());
}

proptest! {
    #[test]
    fn every_span_reads_back_from_storage(seconds in 0..=Span::MAX.as_seconds(), more in 0..1_000_000_i64) {
        let span = Span::seconds(seconds);
        let stored = serde_json::to_string(&span).unwrap();
        prop_assert_eq!(serde_json::from_str::<Span>(&stored).unwrap(), span);
        let range = SpanRange::new(span, span.saturating_add(Span::seconds(more))).unwrap();
        let stored = serde_json::to_string(&range).unwrap();
        prop_assert_eq!(serde_json::from_str::<SpanRange>(&stored).unwrap(), range);
    }

    #[test]
    fn every_keeping_time_reads_back(months in 0..=1200_u32) {
        let keeps = Keeps::Months(months);
        prop_assert_eq!(keeps.typed().parse::<Keeps>(), Ok(keeps));
    }

    #[test]
    fn a_span_shown_reads_back_as_no_more_and_not_much_less(seconds in 0..100_000_000_i64) {
        let span = Span::seconds(seconds);
        let read: Span = span.to_string().parse().unwrap();
        prop_assert!(read <= span);
        let lost = span.as_seconds() - read.as_seconds();
        let step = if seconds > 172_800 { 3_600 } else { 60 };
        prop_assert!(lost < step);
    }

    #[test]
    fn no_text_panics(text in any::<String>(), near in "[0-9.]{0,22} ?(s|m|h|d|w|M|y|ns|months|µs|\\.\\.| ){0,3}[0-9.]{0,22}(s|ns|years|d)?") {
        for text in [text, near] {
            drop(text.parse::<Span>());
            drop(text.parse::<SpanRange>());
            if let Ok(keeps) = text.parse::<Keeps>() {
                let until = keeps.until(at("2026-03-28T09:00Z"), DUBLIN);
                prop_assert!(until >= at("2026-03-28T09:00Z"));
            }
        }
    }
}
