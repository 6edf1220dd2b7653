//! Moments and waits as they are said.

use tackfree::time::words;

use super::shared::{DUBLIN, at};

#[test]
fn moments_are_said_by_the_day() {
    let now = at("2026-03-28T12:10Z");
    for (moment, said) in [
        ("2026-03-28T14:20Z", "today 14:20"),
        ("2026-03-27T16:00Z", "yesterday 16:00"),
        ("2026-03-29T08:30+01:00", "tomorrow 08:30"),
        ("2026-03-30T14:20+01:00", "Mon 30 Mar 14:20"),
        ("2026-01-02T09:00Z", "Fri 2 Jan 09:00"),
        ("2027-03-29T14:20+01:00", "Mon 29 Mar 2027 14:20"),
        ("2025-12-31T23:59Z", "Wed 31 Dec 2025 23:59"),
        ("2026-10-25T01:30+01:00", "Sun 25 Oct 01:30 (+01:00)"),
        ("2026-10-25T01:30+00:00", "Sun 25 Oct 01:30 (+00:00)"),
    ] {
        assert_eq!(words::moment(at(moment), now, DUBLIN), said);
    }
    assert_eq!(words::date("2026-03-27".parse().unwrap(), now, DUBLIN), "yesterday");
    assert_eq!(words::date("2027-01-01".parse().unwrap(), now, DUBLIN), "Fri 1 Jan 2027");
}

#[test]
fn waits_are_said_in_two_units_at_most() {
    let now = at("2026-03-28T12:10Z");
    for (moment, said) in [
        ("2026-03-28T14:20:40Z", "in 2 h 10 m"),
        ("2026-03-28T12:10Z", "now"),
        ("2026-03-28T12:10:45Z", "in 45 s"),
        ("2026-03-25T12:10Z", "3 d ago"),
        ("2026-03-28T11:50Z", "20 m ago"),
        ("2026-04-18T16:10Z", "in 21 d 4 h"),
    ] {
        assert_eq!(words::relative(at(moment), now), said);
    }
    assert_eq!(words::both(at("2026-03-28T14:20Z"), now, DUBLIN), "today 14:20, in 2 h 10 m");
    // Tomorrow at the same wall time is 23 h off, for the clocks go forward.
    let tomorrow = words::both(at("2026-03-29T13:10+01:00"), now, DUBLIN);
    assert_eq!(tomorrow, "tomorrow 13:10, in 24 h");
}

#[test]
fn rfc_3339_carries_the_zones_offset() {
    assert_eq!(words::rfc3339(at("2026-03-30T13:20Z"), DUBLIN), "2026-03-30T14:20:00+01:00");
    assert_eq!(words::rfc3339(at("2026-03-28T13:20Z"), DUBLIN), "2026-03-28T13:20:00+00:00");
}
