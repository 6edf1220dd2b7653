//! The calendar's file, read back by two libraries from outside and checked octet by octet for what those let pass.

use crate::harness::here;
use std::path::{Path, PathBuf};
use std::process::Command;

use proptest::prelude::*;
use serde_json::{Value, json};
use tackfree::remind::calendar::{Alarm, Calendar, Event, Trigger, uid};
use tackfree::time::{Instant, Span, words};

const ZONE: chrono_tz::Tz = chrono_tz::Europe::Dublin;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What both libraries find in the file.
pub(super) fn read_by_both(text: &str) -> [Vec<Value>; 2] {
    let python: PathBuf = root().join("target/calendar-python/bin/python3");
    assert!(
        python.exists(),
        "{} is missing: tests/remind/install makes it, with the packages of tests/calendar/requirements.txt",
        python.display()
    );
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop.ics");
    std::fs::write(&file, text).unwrap();
    let output = Command::new(python)
        .arg(root().join("tests/calendar/read.py"))
        .args([file.as_os_str(), ZONE.name().as_ref()])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut found: Value = serde_json::from_slice(&output.stdout).unwrap();
    ["icalendar", "vobject"].map(|library| serde_json::from_value(found[library].take()).unwrap())
}

/// What the libraries let pass: line ends, line lengths, split characters, what must be there once.
pub(super) fn check_octets(text: &str) {
    let body = text.strip_suffix("\r\n").expect("the last line ends with CR LF");
    let lines: Vec<&str> = body.split("\r\n").collect();
    for line in &lines {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
        assert!(!line.is_empty() && !line.contains(['\r', '\n', '\0']), "{line:?}");
    }
    let whole = body.replace("\r\n ", "");
    let logical: Vec<&str> = whole.split("\r\n").collect();
    assert_eq!(logical[..2], ["BEGIN:VCALENDAR", "VERSION:2.0"]);
    assert!(logical[2].starts_with("PRODID:"));
    assert_eq!(logical.last(), Some(&"END:VCALENDAR"));
    for (part, needed) in [
        (
            "VEVENT",
            &["UID:", "DTSTAMP:", "LAST-MODIFIED:", "DTSTART", "SEQUENCE:", "SUMMARY:", "STATUS:"]
                [..],
        ),
        ("VALARM", &["ACTION:DISPLAY", "TRIGGER:", "DESCRIPTION:"][..]),
    ] {
        let begins =
            logical.iter().enumerate().filter(|(_, line)| **line == format!("BEGIN:{part}"));
        for (at, _) in begins {
            let inside =
                logical[at + 1..].iter().take_while(|line| **line != format!("END:{part}"));
            let inside: Vec<_> = inside.take_while(|line| **line != "BEGIN:VALARM").collect();
            for name in needed {
                assert_eq!(
                    inside.iter().filter(|line| line.starts_with(name)).count(),
                    1,
                    "{name}"
                );
            }
        }
    }
}

fn at(text: &str) -> Instant {
    text.parse().unwrap()
}

fn event(start: Instant, minutes: i64) -> Event {
    Event {
        uid: uid("a ledger", &start.to_string()),
        of: "salt-3/7".to_owned(),
        sequence: 0,
        changed: at("2026-03-04T09:00:00Z"),
        start,
        end: Span::minutes(minutes).after(start),
        day: None,
        summary: "salt-3: coat 2 of 2, house oil".to_owned(),
        description: String::new(),
        location: None,
        cancelled: false,
        alarms: Vec::new(),
    }
}

fn expected(event: &Event) -> Value {
    let moment = |at: Instant| at.to_rfc3339_opts(chrono::SecondsFormat::Secs, true);
    let seconds = |trigger| match trigger {
        Trigger::Before(span) => -Span::as_seconds(span),
        Trigger::After(span) => Span::as_seconds(span),
    };
    let alarms = event.alarms.iter().filter(|_| !event.cancelled);
    let alarms: Vec<_> = alarms
        .map(|alarm| json!({"seconds": seconds(alarm.trigger), "text": alarm.text}))
        .collect();
    json!({
        "uid": event.uid,
        "sequence": event.sequence,
        "changed": moment(event.changed),
        "start": moment(event.start),
        "end": moment(event.end),
        "local": words::rfc3339(event.start, ZONE),
        "summary": event.summary,
        "description": event.description,
        "location": event.location,
        "status": if event.cancelled { "CANCELLED" } else { "CONFIRMED" },
        "alarms": alarms,
    })
}

fn check(events: Vec<Event>) {
    let wanted: Vec<Value> = events.iter().map(expected).collect();
    let text = Calendar { name: "Sorrel Lane Turnery; oil, wipe".to_owned(), events }.text();
    check_octets(&text);
    for found in read_by_both(&text) {
        assert_eq!(found, wanted);
    }
}

#[test]
fn a_year_with_both_clock_changes_is_read_at_the_same_moments() {
    let mut events: Vec<Event> = (0..365 * 4)
        .map(|quarter| event(Span::hours(quarter * 6).after(at("2026-01-01T00:30:00Z")), 40))
        .collect();
    // Around the hours that Dublin's clocks skip and show twice.
    for moment in [
        "2026-03-29T00:59:59Z",
        "2026-03-29T01:00:00Z",
        "2026-10-25T00:30:00Z",
        "2026-10-25T01:30:00Z",
    ] {
        events.push(event(at(moment), 90));
    }
    check(events);
}

#[test]
fn whatever_was_typed_comes_through_whole() {
    let typed = "commas, semicolons; back\\slash: \"quotes\"\nsecond line\n\nC:\\new, d\u{e9}j\u{e0} vu \u{2014} \u{1f343}\u{1f343}\u{1f469}\u{200d}\u{1f33e}";
    let long = format!("{}{}", typed.repeat(4), "\u{e9}".repeat(200));
    let mut whole = event(at("2026-03-05T09:40:00Z"), 40);
    whole.summary = "salt-3: coat 2 of 3, 36 pieces; no later than 11 March \u{1f343}".to_owned();
    whole.description = long;
    whole.location = Some("drip-1, oil room; left of the door".to_owned());
    whole.alarms =
        vec![Alarm { trigger: Trigger::Before(Span::minutes(15)), text: typed.to_owned() }];
    check(vec![whole]);
}

#[test]
fn alarms_go_off_after_the_seconds_computed_outside() {
    let file = include_str!("../data/checks/12_duration.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(file.as_bytes());
    let seconds: Vec<i64> = reader.records().map(|row| row.unwrap()[0].parse().unwrap()).collect();
    assert_eq!(seconds.len(), 9);
    let mut rung = event(at("2026-03-28T22:00:00Z"), 40);
    rung.alarms = seconds
        .iter()
        .map(|&s| Alarm {
            trigger: if s < 0 {
                Trigger::Before(Span::seconds(-s))
            } else {
                Trigger::After(Span::seconds(s))
            },
            text: format!("{s}"),
        })
        .collect();
    check(vec![rung]);
}

#[test]
fn a_day_is_a_day_in_whatever_zone() {
    if !here(&["target/calendar-python/bin/python3"]) {
        return;
    }
    let mut day = event(at("2026-03-28T23:00:00Z"), 24 * 60);
    day.day = Some("2026-03-29".parse().unwrap());
    let text = Calendar { name: String::new(), events: vec![day] }.text();
    check_octets(&text);
    for found in read_by_both(&text) {
        assert_eq!(
            (&found[0]["start"], &found[0]["end"]),
            (&"2026-03-29".into(), &"2026-03-29".into())
        );
    }
}

#[test]
fn a_cancelled_event_says_so_and_rings_no_more() {
    let mut gone = event(at("2026-03-05T09:40:00Z"), 0);
    gone.cancelled = true;
    gone.sequence = 7;
    gone.alarms = vec![Alarm { trigger: Trigger::Before(Span::ZERO), text: "now".to_owned() }];
    check(vec![gone]);
}

#[test]
fn a_uid_is_a_uuid_of_its_own_that_stays() {
    let one = uid("ledger", "salt-3/7");
    assert_eq!(one, uid("ledger", "salt-3/7"));
    assert_ne!(one, uid("ledger", "salt-3/8"));
    assert_ne!(one, uid("other", "salt-3/7"));
    assert_ne!(uid("a", "b/c"), uid("ab", "/c"));
    let parts: Vec<usize> = one.split('-').map(str::len).collect();
    assert_eq!(parts, [8, 4, 4, 4, 12]);
    assert_eq!(one.as_bytes()[14], b'8', "version 8: {one}");
    assert!(b"89ab".contains(&one.as_bytes()[19]), "variant: {one}");
}

proptest! {
    #[test]
    fn any_text_leaves_whole_lines(summary in ".*", description in "(?s).{0,300}") {
        let mut any = event(at("2026-03-05T09:40:00Z"), 1);
        any.summary = summary;
        any.description = description;
        check_octets(&Calendar { name: String::new(), events: vec![any] }.text());
    }
}
