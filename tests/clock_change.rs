//! A rest over a clock change: elapsed time, whatever the clock on the wall did meanwhile.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::harness::{SORREL_LANE, TestShop};
use crate::time::shared::rows;

const ZONES: [&str; 3] = ["Europe/Dublin", "America/New_York", "Australia/Lord_Howe"];

fn read(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).unwrap()
}

/// A shop in that zone with one lot ready for its first coat at that moment.
fn shop(zone: &str, coat: DateTime<FixedOffset>) -> TestShop {
    let mut shop = TestShop::with_setup(&SORREL_LANE.replace("Europe/Dublin", zone));
    shop.at(&(coat - TimeDelta::hours(6)).to_rfc3339());
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --rack drip-1 --from 6").ok();
    shop
}

/// Coats the lot at that moment, and holds that it is ready at the other one: not a minute sooner.
fn ready_at(zone: &str, coat: DateTime<FixedOffset>, ready: &str) {
    let mut shop = shop(zone, coat);
    shop.at(&coat.to_rfc3339()).run("done salt-1").ok();
    let next = shop.json("due")["items"][0].clone();
    assert_eq!(next["from"], ready, "coated {coat} in {zone}");
    let state = |shop: &TestShop| shop.json("due")["items"][0]["state"].clone();
    shop.at(&(read(ready) - TimeDelta::minutes(1)).to_rfc3339());
    assert_eq!(state(&shop), "next", "a minute before {ready} in {zone}");
    shop.run("done salt-1").refused("too-early");
    shop.at(ready);
    assert_eq!(state(&shop), "ready", "at {ready} in {zone}");
    shop.run("done salt-1").ok();
}

/// The coat goes on at 23:30 by the wall clock, the day before the clock changes; both ends are written with the offsets
/// that the check file gives before and after the change.
#[test]
fn a_coat_at_half_past_eleven_before_a_change_is_ready_after_24_hours() {
    let mut changes = 0;
    for row in rows("11_transitions.csv") {
        let (zone, change) = (row.get("zone"), row.get("instant_utc"));
        if !ZONES.contains(&zone) || !change.starts_with("2026-") {
            continue;
        }
        let before = read(row.get("last_local_before"));
        let after = *read(row.get("first_local_after")).offset();
        // Lord Howe's clock springs from 01:59:59 back to 01:30: the day of the change is the day it stands on before.
        let evening = (before.date_naive() - TimeDelta::days(1)).and_hms_opt(23, 30, 0).unwrap();
        let coat = evening.and_local_timezone(*before.offset()).single().unwrap();
        let ready = (coat + TimeDelta::hours(24)).with_timezone(&after);
        let moved = (ready.naive_local() - coat.naive_local() - TimeDelta::hours(24)).num_minutes();
        assert_eq!(moved.to_string(), row.get("change_min"), "{zone} {change}");
        ready_at(zone, coat, &ready.to_rfc3339());
        changes += 1;
    }
    assert_eq!(changes, 6, "both sides of the year in three zones");
}

/// The same at other hours around each change of 2026, as computed outside.
#[test]
fn a_coat_is_ready_when_the_check_rows_say() {
    let mut coats = 0;
    for row in rows("11_elapsed.csv") {
        let (zone, start) = (row.get("zone"), row.get("local_start"));
        if ZONES.contains(&zone) && start.starts_with("2026-") && row.get("elapsed_h") == "24" {
            ready_at(zone, read(start), row.get("local_end"));
            coats += 1;
        }
    }
    assert!(coats >= 18, "{coats} rows");
}
