//! What is coming, as calendar events: each open lot's next step, what the plan followed has after it, moves, the end of each
//! window, the days promised, rags.

use std::collections::BTreeMap;

use crate::remind::calendar::{Alarm, Event, Trigger, uid};
use crate::remind::due::rags::RAGS;
use crate::remind::wording::touch_first;
use crate::shop::cure::Ground;
use crate::shop::due::{Action, CLOSING, Item, done_command};
use crate::shop::plan::{ShopPlan, StepPlan, ToMove};
use crate::shop::refusal::Wait;
use crate::shop::{Lot, LotName, Shop};
use crate::time::local::wall;
use crate::time::{Instant, OpenHours, Span, Zone, first_instant_of, local_date};

/// Seconds of a quarter of an hour.
const QUARTER: i64 = 15 * 60;

/// An event is so long at least. No longer than it is: the lot's next one may follow at once.
const SHORTEST: Span = Span::minutes(1);

/// A window's end is looked for so far ahead: none of a finish's is longer.
const LONGEST: Span = Span::days(90);

/// The events of what is coming by the plan that is followed, if one is kept, in order of time. `ledger` is a text that is this
/// ledger's own.
pub fn coming(shop: &Shop, plan: Option<&ShopPlan>, ledger: &str, now: Instant) -> Vec<Event> {
    let mut lots: BTreeMap<&str, Vec<&StepPlan>> = BTreeMap::new();
    let steps = plan.iter().flat_map(|plan| &plan.steps);
    for step in steps.filter(|step| still_to_do(shop, step)) {
        lots.entry(&step.lot).or_default().push(step);
    }
    let known: Vec<(String, &Lot)> =
        shop.open_lots().map(|lot| (lot.name.to_string(), lot)).collect();
    let mut events = Vec::new();
    for (name, lot) in &known {
        let planned = lots.remove(name.as_str()).unwrap_or_default();
        if lot.held.is_none() {
            events.extend(of_lot(shop, lot, (plan, &planned), now));
        }
    }
    // What is left is of lots still to start.
    for planned in lots.values() {
        events.extend(in_order(shop, planned, None));
    }
    events.extend(plan.into_iter().flat_map(|plan| of_moves(shop, plan, now)));
    events.extend(of_rags(shop));
    events.extend(of_promises(shop));
    let named = events.into_iter().map(|event| {
        let (uid, changed) = (uid(ledger, &event.of), now);
        Event { uid, changed, ..event }
    });
    let mut events: Vec<Event> = named.collect();
    events.sort_by(|a, b| (a.start, &a.summary).cmp(&(b.start, &b.summary)));
    events
}

/// A lot's next step by its window, no sooner than the plan has it, its window's end, and what the plan has after it. Where the
/// room it stands in never lets that come it is as the plan has it, which may move the lot.
fn of_lot(
    shop: &Shop,
    lot: &Lot,
    (plan, planned): (Option<&ShopPlan>, &[&StepPlan]),
    now: Instant,
) -> Vec<Event> {
    let exact = shop.next_by(plan, lot, now);
    let item = steady(exact.clone());
    let its_own = planned.iter().find(|step| step.step == item.step).copied();
    let Some(next) = by_window(shop, &item, &exact, its_own, now) else {
        return in_order(shop, planned, None);
    };
    let further: Vec<&StepPlan> =
        planned.iter().filter(|step| step.step > item.step).copied().collect();
    // What was planned for the step's end tells by how much all that follows has moved.
    let was = its_own.map_or(next.end, |step| step.end);
    let mut events = in_order(shop, &further, Some((was, next.end)));
    events.extend(window_end(shop, &item, now));
    events.push(next);
    events
}

/// Steps as the plan has them, each moved on by as much as what comes before it has: the waits between them are the lot's
/// rests, and grow no shorter because it is late.
fn in_order(shop: &Shop, planned: &[&StepPlan], before: Option<(Instant, Instant)>) -> Vec<Event> {
    let mut steps = planned.to_vec();
    steps.sort_by_key(|step| step.step);
    let (mut before, mut events) = (before, Vec::new());
    for step in steps {
        let start = match before {
            Some((was, is)) if is > was => {
                let moved = Span::between(was, step.start).after(is);
                next_open(shop, moved.max(step.start))
            }
            Some((_, is)) => step.start.max(is),
            None => step.start,
        };
        let event = by_plan(shop, step, start);
        before = Some((step.end, event.end));
        events.push(event);
    }
    events
}

/// The next moment at which hands are there.
fn next_open(shop: &Shop, at: Instant) -> Instant {
    let setup = shop.setup.as_ref();
    setup.and_then(|setup| setup.shop.hours.next_open(setup.shop.zone, at)).unwrap_or(at)
}

/// Lots to carry to another rack by the plan, until that is recorded.
fn of_moves(shop: &Shop, plan: &ShopPlan, now: Instant) -> Vec<Event> {
    let taken_on = |name: &LotName| {
        let batch = shop.batches.get(&name.batch);
        shop.lots.get(name).map_or_else(
            || batch.is_some_and(|batch| batch.closed.is_none()),
            |lot| lot.pieces > 0 && lot.held.is_none(),
        )
    };
    let event = |ToMove { off, stay }: ToMove<'_>| {
        let name: LotName = stay.lot.parse().ok()?;
        let moved = shop.lots.get(&name).and_then(Lot::rack) == Some(stay.rack.as_str());
        if moved || stay.until <= now || !taken_on(&name) {
            return None;
        }
        let start = if stay.from > now { stay.from } else { next_open(shop, now) };
        let why = plan.why_moved(&stay.lot, &stay.rack);
        let what = format!("{} from {off}", pieces(stay.pieces));
        let record = format!("Record it: tackfree lot move {name} --rack '{}'", stay.rack);
        Some(Event {
            description: [Some(what), why, Some(record)]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join("\n"),
            location: Some(stay.rack.clone()),
            ..bare(
                format!("{name}/move/{}", stay.rack),
                format!("{name}: move to {}", stay.rack),
                start,
                SHORTEST,
            )
        })
    };
    plan.to_move(shop).filter_map(event).collect()
}

/// Rags of a coat, from when they are first reminded of.
fn of_rags(shop: &Shop) -> impl Iterator<Item = Event> {
    shop.rags.iter().map(|(coat, rags)| {
        let [first, ..] = RAGS;
        Event {
            description: format!(
                "Oily rags of {}, lying since {}\nOnce they are dealt with: tackfree rags done --how \"…\"",
                rags.finish,
                moment(rags.since, shop.zone())
            ),
            ..bare(
                format!("rags/{coat}"),
                format!("{}: rags", rags.lot),
                first.after(rags.since),
                Span::ZERO,
            )
        }
    })
}

/// The days promised, of batches that are open.
fn of_promises(shop: &Shop) -> impl Iterator<Item = Event> {
    let open = shop.batches.values().filter(|batch| batch.closed.is_none());
    open.filter_map(|batch| {
        let day = batch.due?;
        let start = first_instant_of(day, shop.zone());
        let who = batch.customer.as_ref().map_or_else(String::new, |who| format!(" for {who}"));
        let summary = format!("{}: promised{who}", batch.name);
        Some(Event {
            description: pieces(batch.pieces),
            day: Some(day),
            alarms: Vec::new(),
            ..bare(format!("promised/{}", batch.name), summary, start, Span::days(1))
        })
    })
}

/// Whether a planned step is not behind its lot, and not begun since it was planned.
fn still_to_do(shop: &Shop, step: &StepPlan) -> bool {
    let lot = step.lot.parse().ok().and_then(|name: LotName| shop.lots.get(&name));
    let taken_on = || shop.batches.get(&step.batch).is_some_and(|batch| batch.closed.is_none());
    lot.map_or_else(
        || step.to_start && taken_on(),
        |lot| {
            let next = lot.next_step().map_or(lot.next, |(number, _)| number);
            let begun = lot.begun.is_some() && next == step.step && !step.begun;
            lot.pieces > 0 && next <= step.step && !begun
        },
    )
}

/// The item with its times in quarters of an hour where they are reckoned from a room's readings, on the careful side:
/// such times drift with each reading, and an event must not move for a minute.
fn steady(mut item: Item) -> Item {
    let reckoned =
        matches!(item.wait, Some(Wait::Recoat | Wait::Cure)) && item.ground != Ground::Sheet;
    if reckoned {
        item.from = item.from.map(|from| quarters(from, QUARTER - 1));
        item.until = item.until.map(|until| quarters(until, 0));
    }
    item
}

fn quarters(at: Instant, more: i64) -> Instant {
    let seconds = at.timestamp().saturating_add(more);
    Instant::from_timestamp(seconds.saturating_sub(seconds.rem_euclid(QUARTER)), 0).unwrap_or(at)
}

/// The event of a lot's next step, not before the plan has it; none while the room as it is never lets it come.
fn by_window(
    shop: &Shop,
    item: &Item,
    exact: &Item,
    planned: Option<&StepPlan>,
    now: Instant,
) -> Option<Event> {
    let zone = shop.zone();
    let planned = planned.filter(|step| item.action == Action::Do || step.begun);
    // What the plan has is neither put off for a drift of minutes nor too late for one.
    let from = exact.from.filter(|exact| planned.is_some_and(|step| *exact <= step.start));
    let from = from.or(item.from)?;
    let until = exact.until.filter(|exact| planned.is_some_and(|step| step.start <= *exact));
    let until = until.or(item.until);
    // What has waited for days is for today, or for the next open day: on the day it became ready nobody looks any more.
    let next_day = local_date(next_open(shop, now), zone);
    let today = first_instant_of(next_day, zone);
    let today = if from > now { from } else { today };
    let (opens, length) = match (item.action, planned) {
        // A soak is wiped when it is over, open or not; all else begins when hands are there.
        (Action::Wipe, _) => (from, Span::minutes(i64::from(item.minutes))),
        (_, Some(step)) => {
            (next_open(shop, from.max(today)).max(step.start), Span::between(step.start, step.end))
        }
        (_, None) => (next_open(shop, from.max(today)), Span::minutes(i64::from(item.minutes))),
    };
    // At its window, not after, though no hand is there then; but not before it opens.
    let start = match until {
        Some(until) if now < until && from <= until && until < opens => from.max(today).min(until),
        _ => opens,
    };
    let of = format!("{}/{}", item.lot, item.step);
    Some(Event {
        description: description(item, item.from?, zone),
        location: item.rack.clone(),
        ..bare(of, format!("{}: {}", item.lot, item.words), start, length.max(SHORTEST))
    })
}

/// The end of a window that is still ahead, with an alarm half a working day before, counted in open time.
fn window_end(shop: &Shop, item: &Item, now: Instant) -> Option<Event> {
    let from = item.from?;
    let ahead = |until: &Instant| *until > now && from <= *until && item.action == Action::Do;
    let until = item.until.filter(ahead)?;
    let needed = CLOSING.saturating_add(Span::minutes(i64::from(item.minutes)));
    let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
    let warns = hours
        .map_or(needed.before(until), |hours| open_time_before(hours, shop.zone(), until, needed));
    let alarm = Alarm {
        trigger: Trigger::Before(Span::between(warns.max(from), until)),
        text: format!("{}: {} no later than {}", item.lot, item.words, moment(until, shop.zone())),
    };
    Some(Event {
        location: item.rack.clone(),
        description: format!("{}\nRecord it: {}", pieces(item.pieces), item.done_command()),
        alarms: vec![alarm],
        ..bare(
            format!("{}/{}/closes", item.lot, item.step),
            format!("{}: window closes, {}", item.lot, item.words),
            until,
            Span::ZERO,
        )
    })
}

/// The moment from which on there is so much open time before `until`.
fn open_time_before(hours: &OpenHours, zone: Zone, until: Instant, needed: Span) -> Instant {
    let mut left = needed;
    for (opens, closes) in hours.stretches(zone, LONGEST.before(until), until).into_iter().rev() {
        let open = Span::between(opens, closes);
        if open >= left {
            return left.before(closes);
        }
        left = Span::seconds(left.as_seconds().saturating_sub(open.as_seconds()));
    }
    until
}

/// The event of a step further on, as the plan has it, or as late as it has become; the first of a lot tells how the lot is started.
fn by_plan(shop: &Shop, step: &StepPlan, start: Instant) -> Event {
    let by = if start == step.start {
        let latest = moment(step.latest_start, shop.zone());
        format!("By the plan that is kept; without moving the date no later than {latest}")
    } else {
        "Later than the plan that is kept".to_owned()
    };
    let planned = shop.recipe_planned(step).and_then(|recipe| recipe.step(step.step));
    let which_can = planned.is_some_and(|planned| shop.asks_which_can(planned, start));
    let done = done_command(&step.lot, which_can);
    let record = if step.starts_lot() {
        format!(
            "Start it: tackfree lot start {} --pieces {}; then record it: {done}",
            step.batch, step.pieces
        )
    } else {
        format!("Record it: {done}")
    };
    let lines = [pieces(step.pieces), by, record];
    Event {
        description: lines.join("\n"),
        location: step.rack.clone(),
        ..bare(
            format!("{}/{}", step.lot, step.step),
            format!("{}: {}", step.lot, shop.planned_words(step)),
            start,
            Span::between(step.start, step.end).max(SHORTEST),
        )
    }
}

/// An event with an alarm at its beginning, still without its UID.
fn bare(of: String, summary: String, start: Instant, length: Span) -> Event {
    let alarm = Alarm { trigger: Trigger::Before(Span::ZERO), text: summary.clone() };
    Event {
        uid: String::new(),
        of,
        sequence: 0,
        changed: start,
        start,
        end: length.after(start),
        day: None,
        summary,
        description: String::new(),
        location: None,
        cancelled: false,
        alarms: vec![alarm],
    }
}

fn pieces(count: u32) -> String {
    format!("{count} {}", if count == 1 { "piece" } else { "pieces" })
}

fn description(item: &Item, from: Instant, zone: Zone) -> String {
    let mut lines = vec![pieces(item.pieces), format!("No sooner than {}", moment(from, zone))];
    if let Some(until) = item.until {
        let no_later =
            if until < from { "Its window may close before, " } else { "No later than " };
        lines.push(format!("{no_later}{}", moment(until, zone)));
    }
    if item.ground == Ground::Sheet {
        lines.push("By the sheet's own times: no readings of the room".to_owned());
    }
    if item.grabbed.is_some() {
        lines.push(touch_first(&item.lot));
    }
    lines.push(match item.action {
        Action::Ship => format!("Record it: tackfree ship {} --to \"…\"", item.lot),
        Action::Do | Action::Finish | Action::Wipe => format!("Record it: {}", item.done_command()),
    });
    lines.join("\n")
}

/// With date and year: it is read on other days than it is written.
fn moment(at: Instant, zone: Zone) -> String {
    wall(at, zone).format("%a %-d %b %Y %H:%M").to_string()
}
