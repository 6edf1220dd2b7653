//! Open hours against counted minutes, and the rules at the edges.

use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;
use tackfree::time::{
    ClosedDays, HoursError, Instant, OpenHours, Span, Stretch, Zone, first_instant_of,
};

use crate::harness::always_open;

use super::shared::{DUBLIN, at, rows};

fn stretches(text: &str) -> Vec<Stretch> {
    text.split_whitespace().map(|stretch| stretch.parse().expect(stretch)).collect()
}

fn every_day(text: &str) -> OpenHours {
    OpenHours::new(std::array::from_fn(|_| stretches(text)), Vec::new()).unwrap()
}

fn weekdays(text: &str, closed: &str) -> OpenHours {
    let closed = closed.split(';').filter(|days| !days.trim().is_empty());
    let week = std::array::from_fn(|day| if day < 5 { stretches(text) } else { Vec::new() });
    OpenHours::new(week, closed.map(|days| days.parse().unwrap()).collect()).unwrap()
}

fn sorrel_lane() -> OpenHours {
    weekdays("08:30-12:30 13:15-17:30", "2026-03-17; 2026-04-03..2026-04-06")
}

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn days(from: &str, to: &str, zone: Zone) -> (Instant, Instant) {
    (first_instant_of(date(from), zone), first_instant_of(date(to).succ_opt().unwrap(), zone))
}

#[test]
fn open_minutes_are_those_counted_outside() {
    for row in rows("11_open_minutes.csv") {
        let zone = row.zone();
        let (from, to) = days(row.get("local_date"), row.get("local_date"), zone);
        let open = every_day(row.get("windows")).open_span(zone, from, to);
        assert_eq!((open.as_seconds() / 60).to_string(), row.get("open_min"), "{row:?}");
        assert_eq!(open.as_seconds() % 60, 0);
    }
}

#[test]
fn open_weeks_are_those_counted_outside() {
    for row in rows("11_open_weeks.csv") {
        let hours = row.get("hours").strip_prefix("mon-fri ").expect("mon-fri");
        let (from, to) = days(row.get("from"), row.get("to"), row.zone());
        let open = weekdays(hours, row.get("closed")).open_span(row.zone(), from, to);
        assert_eq!((open.as_seconds() / 60).to_string(), row.get("open_min"), "{row:?}");
    }
}

#[test]
fn a_shop_always_open_is_open_for_as_long_as_each_day_lasts() {
    for row in rows("11_day_lengths.csv") {
        let zone = row.zone();
        let (from, to) = days(row.get("local_date"), row.get("local_date"), zone);
        assert_eq!(always_open().stretches(zone, from, to), [(from, to)], "{row:?}");
    }
}

#[test]
fn a_closing_at_midnight_ends_with_the_day_even_where_midnight_comes_twice() {
    // Havana goes back from 01:00 to 00:00 on 1 November 2026.
    let zone = Zone::America__Havana;
    let (from, to) = days("2026-10-31", "2026-11-01", zone);
    assert_eq!(
        every_day("23:00-24:00").stretches(zone, from, to)[0].1,
        at("2026-11-01T00:00-04:00")
    );
    assert_eq!(every_day("23:00-24:00").open_span(zone, from, to), Span::hours(2));
    assert_eq!(every_day("00:00-01:00").open_span(zone, from, to), Span::hours(3));
}

#[test]
fn an_edge_inside_a_change_moves_to_its_end_or_takes_the_longer_reading() {
    let (from, to) = days("2026-03-29", "2026-03-29", DUBLIN);
    let gap = |text: &str| every_day(text).stretches(DUBLIN, from, to);
    assert_eq!(gap("01:30-03:00"), [(at("2026-03-29T01:00Z"), at("2026-03-29T02:00Z"))]);
    assert_eq!(gap("00:30-01:30"), [(at("2026-03-29T00:30Z"), at("2026-03-29T01:00Z"))]);
    assert_eq!(gap("01:10-01:50"), []);
    let (from, to) = days("2026-10-25", "2026-10-25", DUBLIN);
    let fold = |text: &str| every_day(text).stretches(DUBLIN, from, to);
    assert_eq!(fold("01:30-03:00"), [(at("2026-10-25T00:30Z"), at("2026-10-25T03:00Z"))]);
    assert_eq!(fold("00:30-01:30"), [(at("2026-10-24T23:30Z"), at("2026-10-25T01:30Z"))]);
    // Closing as the repeated hour begins, the shop is shut before it.
    assert_eq!(fold("00:30-01:00"), [(at("2026-10-24T23:30Z"), at("2026-10-25T00:00Z"))]);
}

#[test]
fn stretches_are_clipped_and_touching_ones_are_one() {
    let open = every_day("00:00-06:00 22:00-24:00");
    assert_eq!(
        open.stretches(DUBLIN, at("2026-06-15T23:00+01:00"), at("2026-06-16T22:30+01:00")),
        [
            (at("2026-06-15T23:00+01:00"), at("2026-06-16T06:00+01:00")),
            (at("2026-06-16T22:00+01:00"), at("2026-06-16T22:30+01:00")),
        ]
    );
    assert_eq!(open.stretches(DUBLIN, at("2026-06-16T02:00Z"), at("2026-06-16T01:00Z")), []);
}

#[test]
fn the_shop_opens_and_closes_by_the_wall() {
    let open = sorrel_lane();
    let monday = at("2026-03-30T08:30+01:00");
    assert!(open.is_open(DUBLIN, monday));
    assert!(!open.is_open(DUBLIN, monday - TimeDelta::seconds(1)));
    assert!(!open.is_open(DUBLIN, at("2026-03-30T12:30+01:00")));
    assert_eq!(open.next_open(DUBLIN, at("2026-03-27T17:30Z")), Some(monday));
    assert_eq!(open.next_open(DUBLIN, monday), Some(monday));
    // Easter: closed from Friday to Monday.
    let tuesday = at("2026-04-07T08:30+01:00");
    assert_eq!(open.next_open(DUBLIN, at("2026-04-02T17:30+01:00")), Some(tuesday));
    assert_eq!(open.closes(DUBLIN, monday), Some(at("2026-03-30T12:30+01:00")));
    assert_eq!(open.closes(DUBLIN, at("2026-03-30T12:45+01:00")), None);
    assert!(open.is_closed_day(date("2026-04-04")) && open.is_closed_day(date("2026-03-17")));
    assert!(open.is_closed_day(date("2026-03-28")) && !open.is_closed_day(date("2026-03-27")));
}

#[test]
fn a_shop_that_never_opens_or_never_closes_is_answered() {
    let now = at("2026-03-28T09:40Z");
    assert_eq!(OpenHours::default().next_open(DUBLIN, now), None);
    assert!(!OpenHours::default().is_open(DUBLIN, now));
    assert_eq!(always_open().next_open(DUBLIN, now), Some(now));
    assert_eq!(always_open().closes(DUBLIN, now), None);
    let nights = every_day("00:00-06:00 22:00-24:00");
    let closing = Some(at("2026-03-29T06:00+01:00"));
    assert_eq!(nights.closes(DUBLIN, at("2026-03-28T23:30Z")), closing);
}

#[test]
fn faulty_hours_are_refused_with_what_was_expected() {
    let stretch = |text: &str| text.parse::<Stretch>().unwrap_err().to_string();
    assert_eq!(
        stretch("08:30"),
        "\"08:30\" is not a stretch of open hours: expected \"08:30-12:30\""
    );
    assert_eq!(
        stretch("08:30-25:00"),
        "\"25:00\" in \"08:30-25:00\" isn't a time of day: expected 00:00 to 23:59, or 24:00 as an end"
    );
    assert!(stretch("12:30-08:30").contains("closes before it opens"));
    assert!(stretch("08:30-08:30").contains("closes before it opens"));
    for text in ["24:00-24:00", "8-12", "08:3-12:30", "08:60-12:00", "24:01-24:02", "+8:30-12:30"] {
        assert!(text.parse::<Stretch>().is_err(), "{text}");
    }
    assert_eq!("8:30 - 24:00".parse::<Stretch>().unwrap().to_string(), "08:30-24:00");

    let mut week: [Vec<Stretch>; 7] = Default::default();
    week[1] = stretches("13:00-17:30 08:30-13:15");
    assert_eq!(
        OpenHours::new(week.clone(), Vec::new()).unwrap_err().to_string(),
        "tue: 08:30-13:15 and 13:00-17:30 overlap: expected stretches that do not share time"
    );
    week[1] = stretches("13:00-17:30 08:30-13:00");
    assert!(OpenHours::new(week, Vec::new()).is_ok());

    for text in ["2026-02-30", "2026-04-06..", "easter", "17.3.2026"] {
        let error = text.parse::<ClosedDays>().unwrap_err();
        assert!(matches!(error, HoursError::NoSuchDate { .. }), "{text}");
    }
    assert_eq!(
        "2026-04-06..2026-04-03".parse::<ClosedDays>().unwrap_err().to_string(),
        "\"2026-04-06..2026-04-03\" ends before it begins: expected the earlier date first"
    );
}

#[test]
fn hours_are_stored_by_the_names_of_the_days() {
    let open = sorrel_lane();
    let stored = serde_json::to_string(&open).unwrap();
    assert!(stored.contains("\"mon\":[\"08:30-12:30\",\"13:15-17:30\"]"), "{stored}");
    assert!(stored.contains("\"2026-04-03..2026-04-06\""), "{stored}");
    assert_eq!(serde_json::from_str::<OpenHours>(&stored).unwrap(), open);
    for faulty in [
        r#"{"hours":{"mo":["08:30-12:30"]}}"#,
        r#"{"hours":{"mon":["08:30-12:30","12:00-13:00"]}}"#,
        r#"{"hours":{"mon":["12:30-08:30"]}}"#,
    ] {
        assert!(serde_json::from_str::<OpenHours>(faulty).is_err(), "{faulty}");
    }
}

fn any_hours() -> impl Strategy<Value = OpenHours> {
    let day = prop::collection::btree_set(0..=288_u16, 0..6).prop_map(|edges| {
        let edges: Vec<u16> = edges.into_iter().map(|five_minutes| five_minutes * 5).collect();
        edges.chunks_exact(2).map(|pair| Stretch::new(pair[0], pair[1]).unwrap()).collect()
    });
    prop::array::uniform7(day).prop_map(|week| OpenHours::new(week, Vec::new()).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn open_time_adds_up_and_agrees_with_itself(
        open in any_hours(),
        start in 1_767_225_600..1_798_761_600_i64,
        (first, second) in (0..400_000_i64, 0..400_000_i64),
        zone in prop::sample::select(vec![DUBLIN, Zone::Australia__Lord_Howe, Zone::America__Santiago, Zone::Africa__Cairo, Zone::America__Havana]),
    ) {
        let a = Instant::from_timestamp(start, 0).unwrap();
        let (b, c) = (a + TimeDelta::seconds(first), a + TimeDelta::seconds(first + second));
        let whole = open.open_span(zone, a, c);
        prop_assert_eq!(open.open_span(zone, a, b).saturating_add(open.open_span(zone, b, c)), whole);
        let stretches = open.stretches(zone, a, c);
        for pair in stretches.windows(2) {
            prop_assert!(pair[0].1 < pair[1].0);
        }
        prop_assert_eq!(open.is_open(zone, b), open.closes(zone, b).is_some() || open == always_open());
        prop_assert_eq!(open.is_open(zone, b), open.next_open(zone, b) == Some(b));
        if let Some((from, to)) = stretches.first() {
            prop_assert_eq!(open.next_open(zone, a), Some(*from));
            if *to < c {
                prop_assert_eq!(open.closes(zone, *from), Some(*to));
                prop_assert!(!open.is_open(zone, *to));
            }
        }
    }

    #[test]
    fn no_text_panics(text in any::<String>(), near in "[0-9:.]{0,12}[-.]{0,2}[0-9:-]{0,12}") {
        for text in [text, near] {
            drop(text.parse::<Stretch>());
            drop(text.parse::<ClosedDays>());
        }
    }
}
