//! How urgent a step is: every screen and the rules say the same of it, in any shop at any moment.

use std::cell::RefCell;
use std::collections::BTreeMap;

use proptest::test_runner::{Config, TestRunner};
use tackfree::plan::effort::Effort;
use tackfree::plan::shop_plan::{Asked, plan};
use tackfree::remind::due::{Thing, due as told};
use tackfree::remind::notice::Kind;
use tackfree::report::due::Due;
use tackfree::report::today::Today;
use tackfree::shop::Shop;
use tackfree::shop::climate::RoomReading;
use tackfree::shop::due::{Action, Item, Urgency};
use tackfree::shop::entry::{Entry, Fact};
use tackfree::shop::fact::StepBegun;
use tackfree::store::Memory;
use tackfree::time::{Instant, Span, local_date};
use tackfree::units::{Celsius, Humidity, Sureness};

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

fn screens_agree(shop: &Shop, entries: &[Entry], items: &[Item], now: Instant) -> bool {
    let view = shop.viewpoint(now);
    let due = Due::new(shop, view);
    let states: Vec<(&str, bool)> =
        due.items.iter().map(|item| (item.state, item.closing)).collect();
    let asked = Asked {
        now,
        effort: Effort::Plans(1),
        seed: 1,
        with_new_lots: false,
        mend: false,
        sure: Sureness::new(80.0).unwrap(),
        entries,
        kept: None,
    };
    let Ok(plan) = plan(shop, &asked, &|_, _| true) else { return false };
    let today = Today::new(shop, &plan, None, local_date(now, shop.zone()), view);
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
    true
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
            *tally.borrow_mut().entry(format!("planned {planned}")).or_default() += 1;
            Ok(())
        })
        .unwrap();
    // Else nothing was tried.
    let tally = tally.into_inner();
    for seen in ["Do Overdue", "Do Closing", "Do Ready", "Do Next", "Do Next unfit", "planned true"]
    {
        assert!(tally.get(seen).is_some_and(|times| *times >= 5), "{seen}: {tally:#?}");
    }
}
