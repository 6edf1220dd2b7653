//! What the day brings, told once at its opening.

use crate::remind::due::{Thing, Who};
use crate::remind::notice::Kind;
use crate::shop::Shop;
use crate::store::Memory;
use crate::time::{Instant, Span, first_instant_of, local_date, words};

/// So long after the opening it is still news.
const MORNING: Span = Span::minutes(30);

/// Of what is due now, and of what closes today; nothing where that is nothing.
pub(super) fn of_day(shop: &Shop, told: &Memory, due: &[Thing], now: Instant) -> Option<Thing> {
    let setup = shop.setup.as_ref()?;
    let (hours, zone) = (&setup.shop.hours, setup.shop.zone);
    let day = local_date(now, zone);
    let midnight = first_instant_of(day, zone);
    let next =
        day.succ_opt().map_or(Span::days(1).after(midnight), |day| first_instant_of(day, zone));
    let (opens, _) = *hours.stretches(zone, midnight, next).first()?;
    let about = format!("opening/{day}");
    let fresh = opens <= now && now < MORNING.after(opens);
    if !fresh && !told.things.contains(&about) {
        return None;
    }
    let count = |kind: Kind, late: bool| {
        due.iter().filter(|thing| thing.kind == kind && thing.late == late).count()
    };
    let lots = |count: usize, one: &str, many: &str| match count {
        0 => None,
        1 => Some(format!("1 lot {one}")),
        _ => Some(format!("{count} lots {many}")),
    };
    let closing: Vec<(Instant, &Thing)> = due
        .iter()
        .filter(|thing| thing.kind == Kind::Closing && !thing.late)
        .filter_map(|thing| Some((thing.until.filter(|until| *until < next)?, thing)))
        .collect();
    let first = closing.iter().min_by_key(|(until, _)| *until);
    let windows = first.map(|(until, thing)| {
        let first = format!("the first at {}: {}", words::clock(*until, zone), thing.who);
        match closing.len() {
            1 => format!("1 window closes today, at {}: {}", words::clock(*until, zone), thing.who),
            many => format!("{many} windows close today, {first}"),
        }
    });
    let said: Vec<String> = [
        windows,
        lots(count(Kind::Closing, true), "is past its window", "are past their windows"),
        lots(
            count(Kind::Cured, false),
            "has its cure time reached",
            "have their cure time reached",
        ),
        lots(
            count(Kind::Ready, false),
            "is ready for its next step",
            "are ready for their next step",
        ),
        lots(count(Kind::Move, false), "is to be moved", "are to be moved"),
        match count(Kind::Slipping, false) {
            0 => None,
            1 => Some("1 promise is slipping".to_owned()),
            many => Some(format!("{many} promises are slipping")),
        },
    ]
    .into_iter()
    .flatten()
    .collect();
    (!said.is_empty()).then(|| Thing {
        about,
        said,
        ..Thing::bare(Kind::Opening, Who::Shop, opens)
    })
}
