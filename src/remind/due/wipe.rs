//! The wipe of a coat that soaks: told ahead, at its time, and again until it is recorded.

use crate::remind::due::Thing;
use crate::remind::notice::Kind;
use crate::shop::due::Item;
use crate::shop::group::SoakGroup;
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span};

/// So long before wiping begins it is told: time to put on gloves and lay out cloths.
const AHEAD: Span = Span::minutes(2);

/// So often it is told again from then on.
const AGAIN: Span = Span::minutes(2);

/// So long after the soak is over it is still told as often (a choice): who has not heard it by then is not at the bench,
/// and hears of it each hour.
const AT_THE_BENCH: Span = Span::hours(2);

/// From then on nobody wipes: what is left is a film that has set.
const SET: Span = Span::days(3);

/// The soak of the group under way, or of the one about to be. It is late only once its last piece should be off, since
/// until then hands are at it. A coat that is not worked in groups is late by the sheet's soak.
pub(super) fn of_soak(shop: &Shop, lot: &Lot, item: &Item, now: Instant) -> Option<Thing> {
    let groups = shop.groups_begun(lot).unwrap_or_default();
    let group = groups.iter().rev().find(|group| group.begins <= now);
    let (from, by, over) = match group {
        Some(group) => (group.times.wipe_from, group.times.wipe_by, group.times.last_off_by),
        None => (item.from?, item.until?, item.until?),
    };
    if now < AHEAD.before(from) {
        return None;
    }
    let begun = lot.begun.map_or(0, |begun| begun.timestamp());
    let number = group.map_or(1, |group| group.number);
    Some(Thing {
        about: format!("wipe/{}/{}/{begun}/{number}", lot.name, lot.next),
        stage: stage(from, over, now),
        late: now > over,
        what: format!("{}{}", item.words, group.map_or_else(String::new, of_how_many)),
        pieces: group.map_or(item.pieces, |group| group.pieces),
        until: Some(by),
        over: Some(over),
        ..Thing::of(Kind::Wipe, item, from)
    })
}

/// Whether a coat was left on for so long that wiping is no longer the advice.
pub(in crate::remind) fn has_set(thing: &Thing, now: Instant) -> bool {
    thing.kind == Kind::Wipe && thing.over.is_some_and(|over| now >= SET.after(over))
}

fn of_how_many(group: &SoakGroup) -> String {
    if group.of > 1 { format!(", group {} of {}", group.number, group.of) } else { String::new() }
}

fn stage(from: Instant, over: Instant, now: Instant) -> String {
    let times = |since, each: Span| Span::between(since, now).as_seconds() / each.as_seconds();
    if now < from {
        "ahead".to_owned()
    } else if now <= over {
        format!("now/{}", times(from, AGAIN))
    } else if now < AT_THE_BENCH.after(over) {
        format!("over/{}", times(over, AGAIN))
    } else if now < SET.after(over) {
        format!("left/{}", times(over, Span::hours(1)))
    } else {
        format!("set/{}", times(over, Span::days(1)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wipe_is_told_ahead_each_two_minutes_each_hour_and_each_day() {
        let from: Instant = "2026-03-25T10:12:00Z".parse().unwrap();
        let over: Instant = "2026-03-25T10:31:40Z".parse().unwrap();
        let stages: Vec<(i64, String)> = (-2..60 * 24 * 5)
            .map(|minute| (minute, stage(from, over, from + chrono::TimeDelta::minutes(minute))))
            .collect();
        let mut told: Vec<i64> =
            stages.windows(2).filter(|pair| pair[0].1 != pair[1].1).map(|pair| pair[1].0).collect();
        assert_eq!(stages[0].1, "ahead");
        let last = told.split_off(told.partition_point(|minute| *minute < 140));
        assert!(told.windows(2).all(|pair| pair[1] - pair[0] <= 2), "{told:?}");
        assert_eq!(&last[..3], [140, 200, 260]);
        assert_eq!(last[last.len() - 2..], [60 * 24 * 3 + 20, 60 * 24 * 4 + 20]);
    }
}
