//! What a person is to be told now, each thing once.
//!
//! A thing has a key that stays the same while it is the same thing: the lot, the step, and the entry it follows. A step
//! taken back and done again is another thing. What is still not done at a later stage (a window that was closing is
//! shut, rags still lie there) is another thing too, and is told again in plainer words.

use crate::craft::climate;
use crate::remind::notice::Kind;
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::cure::Ground;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::entry::EntryId;
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::plan::StepPlan;
use crate::shop::refusal::Wait;
use crate::shop::setup::Finish;
use crate::time::local::local_date;
use crate::time::{Instant, OpenHours, Span, words};

/// A window is said to be closing while no more open time than this is left of it, beside the step's own minutes: half a
/// working day, in which the step can still be fitted in. Counted in open time, a weekend before the end counts nothing.
const CLOSING: Span = Span::hours(4);

/// Rags are first reminded of once a coat's tidying up should be over, then ever more plainly. From about an hour on a
/// heap can set itself on fire, and for days (the reference's topic on rags).
const RAGS: [Span; 5] =
    [Span::minutes(15), Span::hours(1), Span::hours(3), Span::hours(8), Span::hours(24)];

/// A reading older than this says nothing of the room as it is now.
const STALE: Span = Span::hours(12);

/// One thing to be told.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// The same while it is the same thing.
    pub key: String,
    /// What it is about.
    pub kind: Kind,
    /// Whether it is past its time: a soak that is over, a window that has shut, rags that have lain for an hour.
    pub late: bool,
    pub lot: LotName,
    /// What hands do: "coat house oil".
    pub what: String,
    /// Where the lot stands.
    pub rack: Option<String>,
    pub pieces: u32,
    /// Since when it is so.
    pub since: Instant,
    /// No later.
    pub until: Option<Instant>,
    /// How far `since` rests on readings of the room.
    pub ground: Ground,
    /// "common practice": set where the time is the finish class's and not a sheet's.
    pub from_class: Option<String>,
    /// For a room: what its air is, and what it should be.
    pub air: Option<String>,
    /// For rags: whether they can set themselves on fire, as far as the setup says.
    pub self_heating: Option<bool>,
}

impl Thing {
    /// A thing of a lot's next step, still without its key.
    fn of(kind: Kind, item: &Item, since: Instant) -> Self {
        Self {
            key: String::new(),
            kind,
            late: false,
            lot: item.lot.clone(),
            what: item.name.clone(),
            rack: item.rack.clone(),
            pieces: item.pieces,
            since,
            until: item.until,
            ground: item.ground,
            from_class: item.origin.from_class.clone(),
            air: None,
            self_heating: None,
        }
    }
}

/// Everything to be told as the shop stands at `now`, the most pressing kinds first, told already or not.
pub fn due(shop: &Shop, now: Instant) -> Vec<Thing> {
    let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
    let mut things: Vec<Thing> = shop
        .open_lots()
        .flat_map(|lot| {
            let item = shop.next_item(lot, now);
            [of_lot(shop, hours, lot, &item, now), of_room(shop, lot, &item, now)]
        })
        .flatten()
        .chain(of_rags(shop, now))
        .chain(of_promises(shop, now))
        .collect();
    things.sort_by(|a, b| (a.kind, &a.lot, &a.key).cmp(&(b.kind, &b.lot, &b.key)));
    things
}

/// When things of that kind may be told next: now, or when the shop next opens. `None` where it never opens.
pub fn told_from(shop: &Shop, kind: Kind, now: Instant) -> Option<Instant> {
    match &shop.setup {
        Some(setup) if !kind.at_any_hour() => setup.shop.hours.next_open(setup.shop.zone, now),
        _ => Some(now),
    }
}

fn of_lot(
    shop: &Shop,
    hours: Option<&OpenHours>,
    lot: &Lot,
    item: &Item,
    now: Instant,
) -> Option<Thing> {
    let since = item.from.filter(|from| now >= *from)?;
    let last = lot.done.last().map_or(0, |done| done.entry);
    let thing = |kind: Kind, late: bool, mark: EntryId| {
        let stage = if late { "-late" } else { "" };
        Thing {
            key: format!("{}{stage}/{}/{}/{mark}", kind.word(), item.lot, item.step),
            late,
            ..Thing::of(kind, item, since)
        }
    };
    let overdue = item.urgency == Urgency::Overdue;
    match item.action {
        // Oil sets on a held lot as on any other.
        Action::Wipe => {
            Some(of_wave(shop, lot, now, thing(Kind::Wipe, overdue, since.timestamp())))
        }
        Action::Finish => None,
        Action::Do | Action::Ship if lot.held.is_some() => None,
        Action::Do if overdue => Some(thing(Kind::Closing, true, last)),
        Action::Do if closes_soon(shop, hours, item, now) => {
            Some(thing(Kind::Closing, false, last))
        }
        Action::Do | Action::Ship => {
            // A surface that still grabs waits for its next touch test, whatever the clock says.
            let kind = kind_of(item)?;
            item.grabbed.is_none().then(|| thing(kind, false, last))
        }
    }
}

/// The soak of the wave under way: late only once its last piece should be off, since until then hands are at it. A coat
/// that is not worked in waves is late by the sheet's soak.
fn of_wave(shop: &Shop, lot: &Lot, now: Instant, soak: Thing) -> Thing {
    let waves = shop.waves_begun(lot).unwrap_or_default();
    let Some(wave) = waves.iter().rev().find(|wave| wave.begins <= now) else { return soak };
    let late = now > wave.times.last_off_by;
    let begun = lot.begun.map_or(0, |begun| begun.timestamp());
    let stage = if late { "-late" } else { "" };
    let of =
        if wave.of > 1 { format!(", wave {} of {}", wave.number, wave.of) } else { String::new() };
    Thing {
        key: format!("wipe{stage}/{}/{}/{begun}/{}", lot.name, lot.next, wave.number),
        late,
        what: format!("{}{of}", soak.what),
        pieces: wave.pieces,
        until: Some(if late { wave.times.last_off_by } else { wave.times.wipe_by }),
        ..soak
    }
}

/// A coat that could go on now, in a room whose air speaks against it: told once a day while it is so.
fn of_room(shop: &Shop, lot: &Lot, item: &Item, now: Instant) -> Option<Thing> {
    let since = item.from.filter(|from| now >= *from)?;
    if item.action != Action::Do || lot.held.is_some() {
        return None;
    }
    let (_, step) = lot.next_step()?;
    let finish = shop.setup.as_ref()?.finish(step.coat()?)?;
    let room = shop.room_of(item.rack.as_deref()?)?;
    let reading = shop.climate.get(room)?.iter().rev().find(|reading| reading.at <= now)?;
    if now > STALE.after(reading.at) {
        return None;
    }
    let air = against(finish, reading)?;
    let day = local_date(now, shop.zone());
    Some(Thing {
        key: format!("room/{}/{}/{day}", item.lot, item.step),
        air: Some(format!("{room} {air}, read {}", words::moment(reading.at, now, shop.zone()))),
        ..Thing::of(Kind::Room, item, since)
    })
}

/// What of the room's air speaks against a coat, by the sheet and by the dew point; the first of it.
fn against(finish: &Finish, reading: &RoomReading) -> Option<String> {
    let surface = reading.surface.unwrap_or(reading.temp);
    if let Some(lowest) = finish.min_temp.filter(|lowest| surface < *lowest) {
        return Some(format!(
            "at {surface:.1}, {} lowest is {lowest:.1}",
            whose(finish, "min_temp")
        ));
    }
    let humidity = reading.humidity?;
    if let Some(dampest) = finish.max_humidity.filter(|dampest| humidity > *dampest) {
        let whose = whose(finish, "max_humidity");
        return Some(format!("at {humidity:.0}, {whose} dampest is {dampest:.0}"));
    }
    let margin = climate::margin(reading.temp, humidity, reading.surface);
    let above = margin.margin.filter(|_| !margin.enough)?;
    let assumed =
        if margin.surface_assumed { " (the air's temperature taken for the pieces')" } else { "" };
    Some(format!(
        "only {above:.1} °C above its dew point, at least {:.0} °C is practice{assumed}",
        climate::LEAST_MARGIN
    ))
}

/// Who gives the value under a key of the setup file.
fn whose(finish: &Finish, key: &str) -> String {
    match finish.marked(key) {
        None => "the sheet's".to_owned(),
        Some(mark) => format!("the finish class's ({mark})"),
    }
}

/// What the end of a wait is told as; a step that waited for nothing is known to whoever did the one before. Where nothing
/// in a finish cures its wait was a rest.
fn kind_of(item: &Item) -> Option<Kind> {
    match item.wait? {
        Wait::Cure if item.origin.only_rests.is_none() => Some(Kind::Cured),
        Wait::Rest | Wait::Recoat | Wait::Cure => Some(Kind::Ready),
        Wait::Soak => None,
    }
}

fn closes_soon(shop: &Shop, hours: Option<&OpenHours>, item: &Item, now: Instant) -> bool {
    let Some(until) = item.until else { return false };
    let needed = CLOSING.saturating_add(Span::minutes(i64::from(item.minutes)));
    let left = match hours {
        Some(hours) => hours.open_span(shop.zone(), now, until),
        None => Span::between(now, until),
    };
    left <= needed
}

/// Batches with a promised date whose kept plan has a step that should have been begun by now for the plan's date to
/// stand. Told once for each kept plan: what is still possible then, a new plan says.
fn of_promises(shop: &Shop, now: Instant) -> impl Iterator<Item = Thing> {
    let kept = shop.kept.as_ref();
    let batches = kept.into_iter().flat_map(|plan| &plan.batches);
    batches.filter_map(move |batch| {
        let plan = kept?;
        let (due, ready) = (batch.due?, batch.ready_at?);
        let steps = plan.steps.iter().filter(|step| step.batch == batch.batch);
        let missed = steps.filter(|step| now > step.latest_start && still_to_begin(shop, step));
        let step = missed.min_by_key(|step| step.latest_start)?;
        let said = |at| words::moment(at, now, shop.zone());
        Some(Thing {
            key: format!("slipping/{}/{}", batch.batch, plan.now.timestamp()),
            kind: Kind::Slipping,
            late: false,
            lot: step.lot.parse().ok()?,
            what: format!(
                "{} was to begin by {} for {} to be ready {}, promised for {}",
                step.name,
                said(step.latest_start),
                batch.batch,
                said(ready),
                words::date(due, now, shop.zone())
            ),
            rack: None,
            pieces: step.pieces,
            since: step.latest_start,
            until: None,
            ground: Ground::Readings,
            from_class: None,
            air: None,
            self_heating: None,
        })
    })
}

/// Whether a planned step is neither begun nor behind its lot.
pub(super) fn still_to_begin(shop: &Shop, step: &StepPlan) -> bool {
    let lot = step.lot.parse().ok().and_then(|name: LotName| shop.lots.get(&name));
    let taken_on = || shop.batches.get(&step.batch).is_some_and(|batch| batch.closed.is_none());
    lot.map_or_else(
        || step.to_start && taken_on(),
        |lot| {
            let next = lot.next_step().map_or(lot.next, |(number, _)| number);
            let begun = lot.begun.is_some() && next == step.step;
            lot.pieces > 0 && next <= step.step && !begun
        },
    )
}

fn of_rags(shop: &Shop, now: Instant) -> impl Iterator<Item = Thing> {
    shop.rags.iter().filter_map(move |(coat, rags)| {
        let stage = stage_of(Span::between(rags.since, now))?;
        let finish = shop.setup.as_ref().and_then(|setup| setup.finish(&rags.finish));
        let lot = shop.lots.get(&rags.lot);
        Some(Thing {
            key: format!("rags/{}/{coat}/{stage}", rags.lot),
            kind: Kind::Rags,
            late: stage > 0,
            lot: rags.lot.clone(),
            what: rags.finish.clone(),
            rack: None,
            pieces: lot.map_or(0, |lot| lot.pieces),
            since: rags.since,
            until: None,
            ground: Ground::Readings,
            from_class: None,
            air: None,
            self_heating: finish.and_then(|finish| finish.self_heating),
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
