//! Rags of a coat, until how they were dealt with is recorded.

use crate::remind::due::{Thing, Who};
use crate::remind::notice::Kind;
use crate::shop::Shop;
use crate::time::{Instant, Span};

/// Rags are first reminded of once a coat's tidying up should be over, then ever more plainly. From about an hour on a
/// heap can set itself on fire, and for days (the reference's topic on rags).
pub(in crate::remind) const RAGS: [Span; 5] =
    [Span::minutes(15), Span::hours(1), Span::hours(3), Span::hours(8), Span::hours(24)];

pub(super) fn of_rags(shop: &Shop, now: Instant) -> impl Iterator<Item = Thing> {
    shop.rags.iter().filter_map(move |(coat, rags)| {
        let stage = stage_of(Span::between(rags.since, now))?;
        let finish = shop.setup.as_ref().and_then(|setup| setup.finish(&rags.finish));
        let lot = shop.lots.get(&rags.lot);
        Some(Thing {
            about: format!("rags/{}/{coat}", rags.lot),
            stage: stage.to_string(),
            late: stage > 0,
            what: rags.finish.clone(),
            pieces: lot.map_or(0, |lot| lot.pieces),
            self_heating: finish.and_then(|finish| finish.self_heating),
            ..Thing::bare(Kind::Rags, Who::Lot(rags.lot.clone()), rags.since)
        })
    })
}
/// How often rags that have lain so long are to have been reminded of, less one; after the last stage once a day.
fn stage_of(lain: Span) -> Option<i64> {
    let day = Span::hours(24).as_seconds();
    let last = i64::try_from(RAGS.len()).unwrap_or(i64::MAX) - 1;
    let whole_days = lain.as_seconds() / day;
    if whole_days > 0 {
        return Some(last + whole_days - 1);
    }
    let reached = RAGS.iter().filter(|stage| **stage <= lain).count();
    i64::try_from(reached).ok().and_then(|reached| (reached > 0).then(|| reached - 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rags_are_reminded_of_at_once_then_hourly_then_daily_without_end() {
        let stage = |hours: i64, minutes: i64| stage_of(Span::minutes(hours * 60 + minutes));
        assert_eq!(stage(0, 14), None);
        assert_eq!(
            [stage(0, 15), stage(0, 59), stage(1, 0), stage(3, 0)],
            [Some(0), Some(0), Some(1), Some(2)]
        );
        assert_eq!([stage(8, 0), stage(23, 59), stage(24, 0)], [Some(3), Some(3), Some(4)]);
        assert_eq!([stage(47, 59), stage(48, 0), stage(24 * 30, 0)], [Some(4), Some(5), Some(33)]);
    }
}
