//! A coat that could go on now, in a room whose air speaks against it; and that it does no longer.

use crate::remind::due::Thing;
use crate::remind::notice::Kind;
use crate::shop::air::Against;
use crate::shop::due::{Action, Item};
use crate::shop::setup::Finish;
use crate::shop::{Lot, Shop};
use crate::store::Memory;
use crate::time::{Instant, Viewpoint, local_date, words};

/// Told once a day while the air speaks against the coat, and once when it no longer does.
pub(super) fn of_room(
    shop: &Shop,
    told: &Memory,
    lot: &Lot,
    item: &Item,
    now: Instant,
) -> Option<Thing> {
    let since = item.from.filter(|from| now >= *from)?;
    if item.action != Action::Do || lot.held.is_some() {
        return None;
    }
    let (_, step) = lot.next_step()?;
    let finish = shop.setup.as_ref()?.finish(step.coat()?)?;
    let air = shop.coat_air(lot.rack(), finish, now);
    let (room, reading) = (air.room.as_deref()?, air.reading?);
    let view = shop.viewpoint(now);
    let read = words::moment(reading.at, now, view.zone);
    let about = format!("room/{}/{}", item.lot, item.step);
    let (stage, late, said) = match air.against.first() {
        Some(against) => {
            let day = local_date(now, shop.zone()).to_string();
            let assumed = reading.surface.is_none();
            (day, true, format!("{room} {}", words_of(*against, finish, assumed, view)))
        }
        None if told.things.range(format!("{about}/")..format!("{about}0")).next().is_some() => {
            ("again".to_owned(), false, format!("{room} at {}", view.shown(reading.temp?)))
        }
        None => return None,
    };
    Some(Thing {
        about,
        stage,
        late,
        said: vec![format!("{said}, read {read}")],
        ..Thing::of(Kind::Room, item, since)
    })
}

fn words_of(against: Against, finish: &Finish, assumed: bool, view: Viewpoint) -> String {
    let said = against.by(&whose(finish, "min_temp"), &whose(finish, "max_humidity"), view);
    match against {
        Against::NearDewPoint { .. } if assumed => {
            format!("only {said} (the air's temperature taken for the pieces')")
        }
        Against::NearDewPoint { .. } => format!("only {said}"),
        _ => said,
    }
}

/// Who gives the value under a key of the setup file.
fn whose(finish: &Finish, key: &str) -> String {
    match finish.marked(key) {
        None => "the sheet's".to_owned(),
        Some(mark) => format!("the finish class's ({mark})"),
    }
}
