//! What each room is taken to be, and on what grounds: the head of every screen whose dates rest on it.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::{Clock, LONGEST_HELD, LOOK_BACK, NEAR};
use crate::report::Page;
use crate::shop::Shop;
use crate::shop::air::STALE;
use crate::shop::climate::RoomReading;
use crate::shop::setup::{Finish, Setup};
use crate::time::{Span, Viewpoint};
use crate::units::{Celsius, Humidity};

/// Readings of a week from which it can be said how often somebody reads (a choice).
const FEW: usize = 3;

/// One room with a rack in it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RoomTaken {
    pub(crate) room: String,
    /// Whether its last reading speaks of now; else what it is now is assumed.
    pub(crate) read: bool,
    /// In words.
    pub(crate) says: String,
}

impl RoomTaken {
    /// Every room with a rack in it.
    pub(crate) fn all(shop: &Shop, view: Viewpoint) -> Vec<Self> {
        let Some(setup) = &shop.setup else { return Vec::new() };
        let with_rack = |room: &&str| setup.racks.iter().any(|rack| rack.room == *room);
        let rooms = setup.rooms.iter().map(|room| room.name.as_str()).filter(with_rack);
        rooms.map(|room| Self::new(shop, setup, room, view)).collect()
    }

    fn new(shop: &Shop, setup: &Setup, room: &str, view: Viewpoint) -> Self {
        let Some(last) = shop.last_reading(room, view.now) else {
            let says = format!("nobody reads it; taken as {}", sheet_temps(&setup.finishes, view));
            return Self { room: room.to_owned(), read: false, says };
        };
        let temp = last.temp.map_or_else(String::new, |temp| view.shown(temp).to_string());
        let air =
            last.humidity.map_or(temp.clone(), |damp| format!("{temp}, {}", view.shown(damp)));
        let age = Span::between(last.at, view.now);
        let by_season = follows_the_season(shop, setup, room);
        let says = if age <= STALE {
            format!("{air}: {}", against(shop, &setup.finishes, room, view))
        } else {
            let since = view.stamp(last.at).moment();
            let taken = if age.as_delta() <= NEAR {
                "the slowest in the two weeks"
            } else if by_season {
                "the mean of the eight weeks"
            } else {
                "the mean of the two weeks"
            };
            format!(
                "{air} when last read, {since}; each hour since and to come is taken as {taken} before"
            )
        };
        let says = match nights(shop, setup, room, view) {
            Some(temp) => {
                format!("{says}; at night, when nobody reads it, taken as {}", view.shown(temp))
            }
            None if seldom_read(shop, room, view) => format!(
                "{says}; read so seldom that the hours between count as the colder reading: read it in the warm hours too, or hang a logger there"
            ),
            None => says,
        };
        let says = if by_season { format!("{says}; by the season from day 11 on") } else { says };
        let damp = too_damp(shop, setup, room, view);
        let says = if damp.is_empty() {
            says
        } else {
            let finishes = damp.join(", ");
            format!(
                "{says}; too damp for {finishes} most of the time of late, and taken to stay so"
            )
        };
        Self { room: room.to_owned(), read: age <= STALE, says }
    }

    /// A line a room.
    pub(crate) fn text(rooms: &[Self], page: &mut Page) {
        for Self { room, says, .. } in rooms {
            page.hang(format!("{room}: {says}"));
        }
    }
}

/// What is taken for the hours of the coming day that nobody ever reads: it may keep all from curing in a room that looks warm.
fn nights(shop: &Shop, setup: &Setup, room: &str, view: Viewpoint) -> Option<Celsius> {
    let day = Span::days(1).after(view.now);
    let courses = setup.finishes.iter().filter_map(|finish| {
        shop.course_in(Clock::NoSooner, finish, room).map(|course| course.assumed(view.now, day))
    });
    courses.flatten().find_map(|assumed| Celsius::new(assumed.temp?).ok())
}

fn follows_the_season(shop: &Shop, setup: &Setup, room: &str) -> bool {
    let courses = setup.finishes.iter();
    let mut courses = courses.filter_map(|finish| shop.course_in(Clock::NoSooner, finish, room));
    courses.any(|course| course.follows())
}

/// The finishes in use for which most of the last two weeks' readings of a room are too damp: their dates may lie years ahead.
fn too_damp<'s>(shop: &Shop, setup: &'s Setup, room: &str, view: Viewpoint) -> Vec<&'s str> {
    let from = view.now.checked_sub_signed(LOOK_BACK).unwrap_or(view.now);
    let log = shop.climate.get(room).into_iter().flat_map(|log| log.iter());
    let lately = log.filter(|reading| reading.at >= from);
    let read: Vec<Humidity> = lately.filter_map(|reading| reading.humidity).collect();
    let laid = shop.finishes_laid();
    let in_use = setup.finishes.iter().filter(|finish| laid.contains(finish.name.as_str()));
    let damp = in_use.filter(|finish| {
        let over = |most| read.iter().filter(|humidity| **humidity > most).count();
        finish.max_humidity.is_some_and(|most| 2 * over(most) > read.len())
    });
    damp.map(|finish| finish.name.as_str()).collect()
}

/// Whether most of the last week's readings of a room lie so far apart that the hours between count as the colder one.
fn seldom_read(shop: &Shop, room: &str, view: Viewpoint) -> bool {
    let week = Span::days(7).before(view.now);
    let log = shop.climate.get(room).into_iter().flat_map(|log| log.iter());
    let read: Vec<_> = log.filter(|reading| reading.at > week).collect();
    // A min/max thermometer speaks for all hours since it was read last.
    let between = |pair: &&[&RoomReading]| matches!(pair, [a, b] if b.extremes.is_none() && b.at - a.at > LONGEST_HELD);
    let apart = read.windows(2).filter(between).count();
    read.len() > FEW && 2 * apart > read.len() - 1
}

/// What the room's air says to a coat of each finish.
fn against(shop: &Shop, finishes: &[Finish], room: &str, view: Viewpoint) -> String {
    let unfit = |finish: &Finish| {
        let against = shop.air_of(Some(room), finish, view.now).against;
        let said: Vec<String> = against.iter().map(|against| against.said(view)).collect();
        (!said.is_empty()).then(|| format!("no coat of {} ({})", finish.name, said.join(", and ")))
    };
    let unfit: Vec<String> = finishes.iter().filter_map(unfit).collect();
    if unfit.is_empty() { "within the sheets' limits".to_owned() } else { unfit.join("; ") }
}

/// "the sheet's 23 °C".
fn sheet_temps(finishes: &[Finish], view: Viewpoint) -> String {
    let temps = finishes.iter().filter_map(|finish| finish.sheet_temp);
    let temps: BTreeSet<String> = temps.map(|temp| format!("{:.0}", view.shown(temp))).collect();
    match temps.first() {
        Some(temp) if temps.len() == 1 => format!("the sheet's {temp}"),
        _ => "each sheet's own temperature".to_owned(),
    }
}
