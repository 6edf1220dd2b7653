//! What was not read of a room, in one sentence with what would settle it.

use chrono::TimeDelta;

use crate::craft::cure::{Assumed, COLDER_AT_NIGHT, Why};
use crate::report::cure::hours;
use crate::report::refusal::quoted;
use crate::shop::Shop;
use crate::shop::cure::Reckoning;
use crate::time::Viewpoint;
use crate::units::Celsius;

/// After so long the hours count as their mean, and no longer as the slowest of them.
const LONG: TimeDelta = TimeDelta::days(10);

/// What of a reckoned date was not read, if anything was not: beside every such date.
pub(crate) fn of(
    reckoning: &Reckoning,
    shop: &Shop,
    room: Option<&str>,
    view: Viewpoint,
) -> Option<String> {
    let of_kind = |why| reckoning.assumed.iter().filter(move |stretch| stretch.why == why);
    let called = room.map_or_else(|| "the room".to_owned(), str::to_owned);
    if of_kind(Why::NoReadings).next().is_some() {
        let typed = room.map_or_else(|| "ROOM".to_owned(), quoted);
        return Some(format!(
            "nobody reads {called}: the sheet's own time is taken; a reading would tell: tackfree climate add {typed} --temp …"
        ));
    }
    let unread: Vec<&Assumed> = of_kind(Why::Unread).chain(of_kind(Why::BeforeFirst)).collect();
    let last = unread.iter().max_by_key(|stretch| stretch.until)?;
    let first = unread.iter().filter_map(|stretch| stretch.since).min();
    let slowest = first.map_or_else(
        || "taken as the first reading".to_owned(),
        |since| format!("each hour is taken as the slowest since {}", view.stamp(since).date()),
    );
    // What is unread now is of more use to know than how much was unread before.
    let newest = room.and_then(|room| shop.climate.get(room)?.last());
    let still = newest.is_some_and(|reading| reading.at == last.from);
    let what = if still && view.now - last.from > LONG {
        format!("no reading for {} days: import first", (view.now - last.from).num_days())
    } else if still {
        format!("unread since {}: {slowest}", view.stamp(last.from).moment())
    } else {
        let all: f64 = unread.iter().map(|stretch| stretch.hours).sum();
        format!("nobody read {} of this: {slowest}", hours(all))
    };
    let nights =
        unread.iter().rev().find(|s| s.why == Why::Unread).and_then(|s| Celsius::new(s.temp?).ok());
    Some(match nights {
        Some(temp) => format!("{what}; {}", at_night(shop, room, temp, view)),
        None => format!("{what}; enter what you know: tackfree climate import, or climate add"),
    })
}

/// The hours that nobody ever reads, and both ways out.
fn at_night(shop: &Shop, room: Option<&str>, temp: Celsius, view: Viewpoint) -> String {
    let given = room.and_then(|room| shop.setup.as_ref()?.room(room)?.unread_temp).is_some();
    let whence = if given {
        "as the setup says".to_owned()
    } else {
        format!("{:.0} below the coldest reading", view.shown(COLDER_AT_NIGHT))
    };
    format!(
        "nobody reads this room at night: taken as {}, {whence}; a min/max thermometer, or a reading before the heat comes on, would tell",
        view.shown(temp)
    )
}
