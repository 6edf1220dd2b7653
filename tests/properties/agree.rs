//! How urgent a step is: every screen and the rules say the same of it, in any shop at any moment.

use std::cell::RefCell;
use std::collections::BTreeMap;

use proptest::test_runner::{Config, TestRunner};
use tackfree::plan::effort::Effort;
use tackfree::plan::shop_plan::{Asked, plan};
use tackfree::remind::coming::coming;
use tackfree::remind::due::{Thing, due as told};
use tackfree::remind::notice::Kind;
use tackfree::report::due::Due;
use tackfree::report::today::Today;
use tackfree::shop::Shop;
use tackfree::shop::climate::RoomReading;
use tackfree::shop::due::{Action, Item, Urgency};
use tackfree::shop::entry::{Entry, Fact};
use tackfree::shop::fact::{PlanKept, StepBegun};
use tackfree::shop::plan::ShopPlan;
use tackfree::store::Memory;
use tackfree::time::{Instant, Span, local_date};
use tackfree::units::{Celsius, Humidity};

use super::kept::{fixed, journal, last_moment, starting};
use super::operations::Operation;

/// The shop after the run.
fn shop_after(operations: &[Operation]) -> (Shop, Vec<Entry>) {
    let mut so_far = journal(Shop::default(), Vec::new());
    for operation in operations {
        let last = last_moment(&so_far.entries);
        so_far = journal(so_far.shop, so_far.entries);
        if let Some(asked) = operation.asked(&so_far, last) {
            // What is refused leaves everything as it was.
            asked.of(&mut so_far).ok();
        }
    }
    (so_far.shop, so_far.entries)
}

/// A reading of every room, so old.
fn read(shop: &mut Shop, temp: f64, humidity: f64, at: Instant) {
    let rooms: Vec<String> =
        shop.setup.iter().flat_map(|setup| setup.rooms.iter().map(|r| r.name.clone())).collect();
    for room in rooms {
        let reading = RoomReading {
            at,
            temp: Celsius::new(temp).ok(),
            humidity: Humidity::new(humidity).ok(),
            surface: None,
            extremes: None,
        };
        shop.climate.insert(room, vec![reading].into());
    }
}

/// What reminders say of a lot's next step agrees with its urgency.
fn reminders_agree(item: &Item, things: &[Thing]) {
    let of_lot = || things.iter().filter(|thing| thing.lot() == Some(&item.lot));
    let is = |kinds: &[Kind], late: bool| {
        of_lot().any(|thing| kinds.contains(&thing.kind) && thing.late == late)
    };
    let closing = &[Kind::Closing];
    let ready = &[Kind::Ready, Kind::Cured];
    match (item.action, item.urgency) {
        (Action::Finish, _) => {}
        (Action::Wipe, urgency) => {
            // Past the last start hands may be at it: a notice is late once the last piece should be off.
            let late = is(&[Kind::Wipe], true);
            assert!(!late || urgency == Urgency::Overdue, "{item:?}");
        }
        (_, Urgency::Overdue) => assert!(is(closing, true) && !is(ready, false), "{item:?}"),
        (_, Urgency::Closing) => assert!(is(closing, false) && !is(ready, false), "{item:?}"),
        (_, Urgency::Ready) => {
            assert_eq!(is(ready, false), item.wait.is_some(), "{item:?}");
            assert!(!is(closing, true) && !is(closing, false), "{item:?}");
        }
        (_, Urgency::Next) => {
            let any = is(ready, false) || is(closing, true) || is(closing, false);
            assert!(!any, "{item:?}");
        }
    }
}

/// The rules accept what may be done now, and refuse what may not.
fn the_rules_agree(shop: &Shop, item: &Item, now: Instant) {
    if item.action != Action::Do || item.urgency == Urgency::Overdue {
        return;
    }
    let begun = StepBegun { lot: item.lot.clone(), step: item.step, rack: None };
    let objections = shop.objections(&Fact::StepBegun(begun), now, now);
    let without_rack = item.kind == "coat" && item.rack.is_none();
    if !without_rack {
        let accepted = objections.as_ref().is_ok_and(Vec::is_empty);
        assert_eq!(accepted, item.open, "{item:?}: {objections:?}");
    }
}

/// Once a plan is kept, calendar and reminders say of every step and every move what it says.
fn the_calendar_agrees(
    shop: &Shop,
    entries: &[Entry],
    plan: &ShopPlan,
    items: &[Item],
    now: Instant,
) -> [(&'static str, usize); 2] {
    let mut keeping = journal(shop.clone(), entries.to_vec());
    keeping.record(now, PlanKept { plan: Box::new(plan.clone()) }).unwrap();
    let shop = keeping.shop;
    let (events, things) =
        (coming(&shop, Some(plan), "", now), told(&shop, &Memory::default(), now));
    let start = |of: &str| events.iter().find(|event| event.of == of).map(|event| event.start);
    let mut seen = [("calendar step", 0), ("calendar move", 0)];
    for step in plan.steps.iter().filter(|step| !step.begun) {
        let item = items.iter().find(|item| item.lot.to_string() == step.lot);
        let item = item.filter(|item| item.step == step.step && item.action == Action::Do);
        // A lot that is to be moved may be cured sooner than where it stands.
        if plan.moves.iter().any(|moved| moved.lot == step.lot) {
            continue;
        }
        // Past its window a step stands at the window's end.
        if item.is_some_and(|item| item.until.is_some_and(|until| until <= step.start)) {
            continue;
        }
        assert!(
            item.is_none_or(|item| item.from.is_some_and(|from| from <= step.start)),
            "{item:?} {step:?}"
        );
        assert_eq!(
            start(&format!("{}/{}", step.lot, step.step)),
            Some(step.start),
            "{item:?} {step:?} now {now}"
        );
        seen[0].1 += 1;
    }
    for planned in &plan.moves {
        let of = format!("{}/move/{}", planned.lot, planned.to);
        assert_eq!(
            start(&of).map(|start| start.max(planned.at)),
            Some(start(&of).unwrap_or(now)),
            "{planned:?}"
        );
        let told = things.iter().any(|thing| {
            thing.kind == Kind::Move
                && thing.about == format!("move/{}/to {}", planned.lot, planned.to)
        });
        assert!(!told || planned.at <= now, "{planned:?}");
        seen[1].1 += 1;
    }
    seen
}

fn screens_agree(
    shop: &Shop,
    entries: &[Entry],
    items: &[Item],
    now: Instant,
) -> Option<[(&'static str, usize); 2]> {
    let view = shop.viewpoint(now);
    let due = Due::new(shop, view);
    let states: Vec<(&str, bool)> =
        due.items.iter().map(|item| (item.state, item.closing)).collect();
    let asked = Asked {
        now,
        effort: Effort::Plans(1),
        seed: 1,
        with_new_lots: false,
        sure: None,
        entries,
        kept: None,
    };
    let Ok(plan) = plan(shop, &asked, &|_, _| true) else { return None };
    let today = Today::new(shop, &plan, None, local_date(now, shop.zone()), view);
    let seen = the_calendar_agrees(shop, entries, &plan, items, now);
    for (item, (state, closing)) in items.iter().zip(states) {
        assert_eq!(closing, item.urgency == Urgency::Closing, "{item:?}");
        assert_eq!(state == "overdue", item.urgency == Urgency::Overdue, "{item:?}");
        assert!(item.urgency != Urgency::Ready || state == "ready", "{item:?}");
        assert!(item.urgency != Urgency::Next || state == "next", "{item:?}");
        let lot = item.lot.to_string();
        let first = today.first.iter().any(|shown| shown.lot == lot);
        assert!(first || item.urgency != Urgency::Overdue, "not first: {item:?}");
        let elsewhere = today.soaking.iter().chain(&today.waits).any(|shown| shown.lot == lot)
            || today.steps.iter().any(|step| step.step.plan.lot == lot)
            || today.room_unfit.iter().any(|unfit| unfit.lot == lot);
        assert!(first || elsewhere, "on no line of the sheet: {item:?}");
        // What is offered now is not refused now.
        let now_or_early = |step: &&tackfree::report::today::DayStep| {
            step.step.plan.lot == lot && step.step.plan.step == item.step && step.may_begin_now
        };
        assert!(item.open || !today.steps.iter().any(|step| now_or_early(&step)), "{item:?}");
    }
    Some(seen)
}

#[test]
fn every_screen_and_the_rules_agree_about_every_step() {
    let tally: RefCell<BTreeMap<String, usize>> = RefCell::default();
    let config = Config { failure_persistence: None, ..Config::with_cases(500) };
    let mut runner = TestRunner::new_with_rng(config, fixed());
    let moments = (starting(), 0i64..12_000, 2.0f64..26.0, 30.0f64..95.0, 0i64..400);
    runner
        .run(&moments, |(operations, later, temp, humidity, age)| {
            let (mut shop, entries) = shop_after(&operations);
            let now = Span::minutes(later).after(last_moment(&entries));
            read(&mut shop, temp, humidity, Span::minutes(age).before(now));
            let items = shop.due(now);
            let things = told(&shop, &Memory::default(), now);
            for item in &items {
                reminders_agree(item, &things);
                the_rules_agree(&shop, item, now);
                let unfit = if item.unfit.is_some() { " unfit" } else { "" };
                let seen = format!("{:?} {:?}{unfit}", item.action, item.urgency);
                *tally.borrow_mut().entry(seen).or_default() += 1;
            }
            let planned = screens_agree(&shop, &entries, &items, now);
            *tally.borrow_mut().entry(format!("planned {}", planned.is_some())).or_default() += 1;
            for (what, times) in planned.into_iter().flatten() {
                *tally.borrow_mut().entry(what.to_owned()).or_default() += times;
            }
            Ok(())
        })
        .unwrap();
    // Else nothing was tried.
    let tally = tally.into_inner();
    for seen in [
        "Do Overdue",
        "Do Closing",
        "Do Ready",
        "Do Next",
        "Do Next unfit",
        "planned true",
        "calendar step",
        "calendar move",
    ] {
        assert!(tally.get(seen).is_some_and(|times| *times >= 5), "{seen}: {tally:#?}");
    }
}
