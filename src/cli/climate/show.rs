//! `climate show`: rooms now, and their last days.

use chrono::Days;

use crate::cli::{Context, Error, Now, number};
use crate::report::climate::room::{RoomShown, RoomsShown};
use crate::store::{Scope, Store};
use crate::time::{Instant, Viewpoint, first_instant_of, local_date};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// One room; all where it is left out
    room: Option<String>,
    /// How many days, today included
    #[arg(long, value_name = "N", default_value_t = 7, value_parser = number::whole("days", 1..=366), allow_negative_numbers = true)]
    days: u32,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &Scope::Open)?;
    let shop = loaded.shop;
    let setup = shop.needs_setup()?;
    let rooms: Vec<&str> = match &args.room {
        Some(room) => vec![shop.known_room(room)?.name.as_str()],
        None => setup.rooms.iter().map(|room| room.name.as_str()).collect(),
    };
    let back = Days::new(u64::from(args.days.saturating_sub(1)));
    let today = local_date(view.now, view.zone);
    let since = first_instant_of(today.checked_sub_days(back).unwrap_or(today), view.zone);
    let store = context.store()?;
    let shown: Result<Vec<RoomShown>, Error> =
        rooms.iter().map(|room| shown(&store, room, since, view)).collect();
    let report = RoomsShown { now: view.stamp(view.now), rooms: shown? };
    context.screen.show(&report)
}

fn shown(store: &Store, room: &str, since: Instant, view: Viewpoint) -> Result<RoomShown, Error> {
    let log = store.readings(room, since, view.now)?;
    let latest = store.last_reading(room, view.now)?;
    Ok(RoomShown::new(room, latest.as_ref(), &log, since, view))
}
