//! Promised days that the forecast passes: told when it does, and again for each further day.

use crate::remind::due::{Thing, Who};
use crate::remind::forecast;
use crate::remind::notice::Kind;
use crate::shop::Shop;
use crate::shop::plan::LimitedBy;
use crate::store::Memory;
use crate::time::{Instant, words};

pub(super) fn of_promises(shop: &Shop, told: &Memory, now: Instant) -> impl Iterator<Item = Thing> {
    let open = |batch: &str| shop.batches.get(batch).is_some_and(|batch| batch.closed.is_none());
    let late = forecast::known(told).into_iter().filter(|forecast| forecast.days_late > 0);
    let things: Vec<Thing> = late
        .filter(|forecast| open(&forecast.batch))
        .map(|forecast| {
            let zone = shop.zone();
            let ready = words::moment(forecast.ready_at, now, zone);
            let promised = words::date(forecast.promised, now, zone);
            let dates = format!("ready {ready}, promised for {promised}");
            let held_up = held_up_by(&forecast.held_up_by);
            let days = forecast.days_late;
            Thing {
                about: format!("slipping/{}", forecast.batch),
                stage: days.to_string(),
                what: format!("{days} {}", if days == 1 { "day" } else { "days" }),
                said: [Some(dates), held_up].into_iter().flatten().collect(),
                ..Thing::bare(Kind::Slipping, Who::Batch(forecast.batch), forecast.ready_at)
            }
        })
        .collect();
    things.into_iter()
}

fn held_up_by(limit: &LimitedBy) -> Option<String> {
    let what = match limit {
        LimitedBy::Hands => "hands".to_owned(),
        LimitedBy::Rack(rack) => format!("slots on {rack}"),
        LimitedBy::OpenHours => "closed hours".to_owned(),
        LimitedBy::Drying => "drying and cure".to_owned(),
        LimitedBy::Nothing => return None,
    };
    Some(format!("held up by {what}"))
}
