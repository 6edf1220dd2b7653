//! One run of pieces as activities, waits and holds.

use crate::craft::cure::Clock;
use crate::plan::draft::places::Places;
use crate::plan::draft::rates::Counted;
use crate::plan::draft::{Draft, HANDS, Run, What, touch};
use crate::plan::engine::{Activity, Hold, Lag, Minute, Of, Since, Soft, Until};
use crate::plan::labour::minutes;
use crate::plan::minutes::{down, up};
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::setup::recipe::Rest;
use crate::shop::setup::{Finish, Recipe, Setup, Step, StepWork};
use crate::time::{Instant, Span};

/// A run being put down, step by step.
struct Thread<'a> {
    shop: &'a Shop,
    setup: &'a Setup,
    now: Instant,
    run: usize,
    pieces: u32,
    recipe: &'a Recipe,
    /// Where it may stand.
    places: Places,
    /// The activities of its job.
    activities: Vec<usize>,
    /// The step put down last, with its activity.
    before: Option<(&'a Step, usize)>,
    /// The coat put down last, with its finish.
    coat: Option<(usize, &'a Finish)>,
    /// The hold on the rack it dries on, and what follows it there.
    holds: Vec<usize>,
    /// Pieces cure with no hands until this is over.
    cure: Option<Vec<usize>>,
}

impl Draft {
    /// Puts one run down: what it has still to do, where it has to stand, when it is due.
    pub(super) fn add(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        run: &Run,
        places: Places,
        lot: Option<&Lot>,
        now: Instant,
    ) {
        self.runs.push(run.clone());
        let mut thread = Thread {
            shop,
            setup,
            now,
            run: self.runs.len() - 1,
            pieces: run.pieces,
            recipe: &run.recipe,
            places,
            activities: Vec::new(),
            before: None,
            coat: None,
            holds: Vec::new(),
            cure: None,
        };
        if let Some(lot) = lot {
            self.stand_already(&mut thread, lot);
        }
        let next = lot.map_or(1, |lot| lot.next);
        for (number, step) in run.recipe.numbered().filter(|(number, _)| *number >= next) {
            if step.is_cure() {
                thread.cure = self.cure(&mut thread, lot);
            } else {
                self.labour(&mut thread, lot, (number, step));
            }
        }
        // Of a recipe that names no cure the sheet's is kept all the same, and pieces inspected and packed by what was known of
        // the room may turn out to cure yet.
        let cure_to_come =
            run.recipe.numbered().any(|(number, step)| number >= next && step.is_cure());
        if !cure_to_come && (thread.coat.is_none() || !thread.holds.is_empty()) {
            thread.cure = self.cure(&mut thread, lot);
        }
        let Thread { mut activities, cure, .. } = thread;
        activities.extend(cure.into_iter().flatten());
        let test = lot.and_then(|lot| self.test_before_shipping(shop, thread.run, lot, now));
        activities.extend(test);
        if !activities.is_empty() {
            self.job(shop, thread.run, activities);
        }
    }

    /// A lot that stands on a rack and needs it.
    fn stand_already(&mut self, thread: &mut Thread<'_>, lot: &Lot) {
        if let Some(place) = thread.places.stands {
            let cures = lot.coats_done() && thread.places.cure.is_empty();
            self.stand(thread, cures, vec![place], Since::At(0));
        }
    }

    /// A step for hands, after the one before it.
    fn labour<'a>(&mut self, thread: &mut Thread<'a>, lot: Option<&Lot>, step: (u32, &'a Step)) {
        let activity = match (thread.before, lot) {
            (None, Some(lot)) => self.first(thread, lot, step),
            (None, None) => self.step(thread, step, Some(0)),
            (Some(before), _) => self.following(thread, before, step),
        };
        if let Some(coat) = step.1.coat() {
            self.in_window(thread, lot, activity);
            if thread.coat.is_none()
                && let Some(first) = self.problem.activities.get_mut(activity)
            {
                first.earliest = first.earliest.max(thread.places.warm);
            }
            if thread.holds.is_empty() {
                self.stand(thread, false, thread.places.dry.clone(), Since::Start(activity));
            }
            thread.coat = thread.setup.finish(coat).map(|finish| (activity, finish));
        }
        for after_cure in thread.cure.take().into_iter().flatten() {
            let (before, min) = (Some(after_cure), Some(0));
            self.lag(Lag { before, after: activity, min, ..Lag::default() });
        }
        thread.before = Some((step.1, activity));
        thread.activities.push(activity);
    }

    /// A labour step's activity.
    fn step(
        &mut self,
        thread: &Thread<'_>,
        (number, step): (u32, &Step),
        earliest: Option<Minute>,
    ) -> usize {
        let activity = Activity {
            name: step.name(),
            duration: minutes(thread.shop, thread.recipe, number, thread.pieces),
            calendar: Some(0),
            // A group begun is a group wiped.
            pausable: step.coat().is_none(),
            needs: vec![(HANDS, 1)],
            earliest,
            latest: None,
            modal: None,
        };
        self.push(thread.run, What::Step(number), activity)
    }

    /// The next step of a lot there is: not before its rests are over; begun already, what is left of it.
    fn first(&mut self, thread: &Thread<'_>, lot: &Lot, (number, step): (u32, &Step)) -> usize {
        let Thread { shop, now, .. } = *thread;
        if let Some(begun) = lot.begun {
            return self.begun(thread, lot, (number, step), begun);
        }
        // What comes after a cure that is not over waits for it in the plan, wherever that will be. Pieces that joined the lot
        // may wait for longer.
        let cure = shop.cure(lot, now).and_then(|cure| cure.at).filter(|_| thread.cure.is_some());
        let from = shop.window(lot, number, now).from;
        let from = from.filter(|from| cure.is_none_or(|cure| *from > cure)).unwrap_or(now);
        let earliest = self.origin.no_sooner(touch::no_sooner(shop, lot, from, now)).max(0);
        let activity = self.step(thread, (number, step), Some(earliest));
        // Pieces that wait already count as idle from now on, so that what is begun goes before what is not.
        self.lag(Lag { at: Some(earliest), after: activity, min: Some(0), ..Lag::default() });
        let rest = lot.done.last().and_then(|done| Some((done, lot.recipe.step(done.step)?.rest?)));
        if let Some((done, Rest::Between(range))) = rest {
            let at = Some(self.origin.no_later(range.max.after(done.ended)));
            let soft = Some(Soft { extra: 0 });
            self.lag(Lag { at, after: activity, max: Some(0), soft, ..Lag::default() });
        }
        activity
    }

    /// What is left of a step that was begun. A coat that was begun is wiped whatever the hour, and before all else.
    fn begun(
        &mut self,
        thread: &Thread<'_>,
        lot: &Lot,
        step: (u32, &Step),
        begun: Instant,
    ) -> usize {
        let activity = self.step(thread, step, Some(0));
        self.lag(Lag { at: Some(0), after: activity, min: Some(0), ..Lag::default() });
        let (open, workshop) = (self.open_at_once(), &thread.setup.shop);
        let behind = if open {
            workshop.hours.open_span(workshop.zone, begun, thread.now)
        } else {
            Span::between(begun, thread.now)
        };
        if let Some(put) = self.problem.activities.get_mut(activity) {
            let soaks = step.1.coat().is_some();
            put.duration = (put.duration - down(behind)).max(1);
            put.pausable = true;
            if soaks && !open {
                put.calendar = None;
            }
            if soaks && hands_are_at(thread, lot) {
                put.latest = Some(0);
            }
        }
        activity
    }

    /// Whether the shop is open at minute 0.
    fn open_at_once(&self) -> bool {
        let first = self.problem.calendars.first().and_then(|calendar| calendar.open.first());
        first.is_some_and(|(from, _)| *from == 0)
    }

    /// A step after one that is in the plan too.
    fn following(
        &mut self,
        thread: &Thread<'_>,
        (before, act): (&Step, usize),
        step: (u32, &Step),
    ) -> usize {
        let activity = self.step(thread, step, None);
        let lag = |min, max| Lag { before: Some(act), after: activity, min, max, ..Lag::default() };
        if let Some((_, finish)) = thread.coat.filter(|(coat, _)| *coat == act) {
            self.rest(thread, finish, lag(Some(up(finish.recoat.min)), None));
            return activity;
        }
        let (min, max) = match before.rest {
            Some(Rest::AtLeast(span)) => (up(span), None),
            Some(Rest::Between(range)) => (up(range.min), Some(down(range.max))),
            None => (0, None),
        };
        self.lag(lag(Some(min), None));
        if max.is_some() {
            self.lag(Lag { soft: Some(Soft { extra: 0 }), ..lag(None, max) });
        }
        activity
    }

    /// A wait after a coat, in the room of the rack the pieces stand on.
    fn rest(&mut self, thread: &Thread<'_>, finish: &Finish, mut lag: Lag) {
        let clock = if lag.max.is_some() { Clock::NoLater } else { Clock::NoSooner };
        let holds = thread.holds.first().map_or(&[][..], std::slice::from_ref);
        let modal = self.modal(thread.shop, thread.setup, Counted { clock, finish }, holds);
        lag.modal = Some(modal).filter(|modal| !modal.holds.is_empty());
        self.lag(lag);
    }

    /// A coat in the window of the one before it, at the price of abrading where that can't be.
    fn in_window(&mut self, thread: &Thread<'_>, lot: Option<&Lot>, coat: usize) {
        let Thread { shop, now, .. } = *thread;
        let soft = Some(Soft { extra: abrading(shop, thread.recipe, thread.pieces) });
        if let Some((before, finish)) = thread.coat {
            if let Some(longest) = finish.recoat.longest() {
                let (before, max) = (Some(before), Some(down(longest)));
                self.rest(thread, finish, Lag { before, after: coat, max, soft, ..Lag::default() });
            }
            return;
        }
        // Before a first coat only the rest of the step before it has an end, which that step's own successor keeps.
        let Some(lot) = lot.filter(|lot| lot.last_coat().is_some()) else { return };
        let Some((_, What::Step(number))) = self.activities.get(coat).copied() else { return };
        // A coat that was begun is in time or was recorded late.
        if lot.begun.is_some() && lot.next_step().is_some_and(|(next, _)| next == number) {
            return;
        }
        if let Some(until) = shop.window(lot, number, now).until {
            let at = Some(self.origin.no_later(until));
            self.lag(Lag { at, after: coat, max: Some(0), soft, ..Lag::default() });
        }
    }

    /// The cure, the move to a curing rack, and the slots held until each. Gives the activities the next step waits for.
    fn cure(&mut self, thread: &mut Thread<'_>, lot: Option<&Lot>) -> Option<Vec<usize>> {
        let (cure, earliest) = match thread.coat {
            Some((coat, finish)) => (self.cure_after(thread, coat, finish), None),
            None => self.cure_begun(thread, lot?)?,
        };
        let Some(&drying) = thread.holds.first() else { return Some(vec![cure]) };
        let mut waited_for = vec![cure];
        if thread.places.cure.is_empty() {
            self.until(drying, cure);
        } else {
            let hours = Some(0);
            let carried = Activity { calendar: hours, earliest, ..idle("move") };
            let move_to = self.push(thread.run, What::Move, carried);
            if let Some((coat, finish)) = thread.coat {
                let min = Some(up(finish.recoat.min.min(thread.shop.cure_time(finish))));
                let (before, after) = (Some(coat), move_to);
                self.rest(thread, finish, Lag { before, after, min, ..Lag::default() });
            }
            // Pieces that never move have moved when their cure is over: no slot is held for them after it.
            let (before, max) = (Some(cure), Some(0));
            self.lag(Lag { before, after: move_to, max, ..Lag::default() });
            self.until(drying, move_to);
            self.leave_before_others_come(thread, drying);
            self.stand(thread, true, thread.places.cure.clone(), Since::Start(move_to));
            waited_for.insert(0, move_to);
        }
        if let Some(&last) = thread.holds.last() {
            self.until(last, cure);
        }
        self.ages(thread, cure);
        Some(waited_for)
    }

    /// The cure from a coat's end on.
    fn cure_after(&mut self, thread: &Thread<'_>, coat: usize, finish: &Finish) -> usize {
        let duration = up(thread.shop.cure_time(finish));
        let cure = self.push(thread.run, What::Cure, Activity { duration, ..idle("cure") });
        let (before, min, max) = (Some(coat), Some(0), Some(0));
        self.lag(Lag { before, after: cure, of: Of::End, min, max, ..Lag::default() });
        cure
    }

    /// The cure of a lot whose last coat is laid, and from when it may be carried; none where it is over.
    fn cure_begun(&mut self, thread: &Thread<'_>, lot: &Lot) -> Option<(usize, Option<Minute>)> {
        let Thread { shop, now, .. } = *thread;
        let reckoned = shop.cure(lot, now)?;
        let over = reckoned.at.map(|at| touch::no_sooner(shop, lot, at, now));
        if over.is_some_and(|over| over <= now) {
            return None;
        }
        let leave = shop.may_leave(lot, now).and_then(|leave| leave.at);
        let leave = leave.into_iter().chain(reckoned.at).min().unwrap_or(now);
        let earliest = Some(self.origin.no_sooner(leave).max(0));
        let ages = !thread.holds.is_empty() && thread.places.last_finish(thread.setup).is_some();
        let duration = match over.filter(|_| !ages) {
            Some(over) => self.origin.no_sooner(over),
            None => up(shop.cure_time(shop.last_coat(lot)?.1)),
        };
        let at = Some(0);
        let cure = Activity { duration, earliest: at, latest: at, ..idle("cure") };
        Some((self.push(thread.run, What::Cure, cure), earliest))
    }

    /// Makes a cure take as long as the rooms say that its holds are in; what has been gathered before counts.
    fn ages(&mut self, thread: &Thread<'_>, cure: usize) {
        let Thread { shop, setup, .. } = *thread;
        let Some(finish) = thread.places.last_finish(setup) else { return };
        let counted = Counted { clock: Clock::NoSooner, finish };
        let mut modal = self.modal(shop, setup, counted, &thread.holds);
        modal.passed = thread.places.passed;
        if let Some(cure) = self.problem.activities.get_mut(cure) {
            cure.modal = Some(modal);
        }
    }

    /// Lets a hold last until an activity ends.
    fn until(&mut self, hold: usize, end: usize) {
        if let Some(hold) = self.problem.holds.get_mut(hold) {
            hold.until = Until { end, plus: 0 };
        }
    }

    /// What leaves a rack to which others may be carried has left it a minute before they come: on record no two lots change places.
    fn leave_before_others_come(&mut self, thread: &Thread<'_>, hold: usize) {
        let stands = thread.places.stands.and_then(|place| thread.setup.racks.get(place - 1));
        if stands.is_some_and(|rack| rack.purpose.cures())
            && let Some(hold) = self.problem.holds.get_mut(hold)
        {
            hold.until.plus = 1;
        }
    }

    /// Takes slots from a moment on, after those taken before.
    fn stand(&mut self, thread: &mut Thread<'_>, cures: bool, any_of: Vec<usize>, since: Since) {
        let units = i64::from(thread.pieces);
        let until = Until { end: 0, plus: 0 };
        let follows = thread.holds.last().copied();
        thread.holds.push(self.problem.holds.len());
        self.hold(thread.run, cures, Hold { units, any_of, since, until, follows });
    }
}

/// An activity that needs nobody and runs through.
pub(super) fn idle(name: &str) -> Activity {
    Activity {
        name: name.to_owned(),
        duration: 0,
        calendar: None,
        pausable: true,
        needs: Vec::new(),
        earliest: None,
        latest: None,
        modal: None,
    }
}

/// Minutes of hands to abrade a film that got too hard: as the recipe rubs, else as long as a coat takes to lay.
fn abrading(shop: &Shop, recipe: &Recipe, pieces: u32) -> Minute {
    let rub = recipe.numbered().find(|(_, step)| matches!(step.work, StepWork::Rub { .. }));
    let coat = recipe.numbered().find(|(_, step)| step.coat().is_some());
    rub.or(coat).map_or(1, |(number, _)| minutes(shop, recipe, number, pieces)).max(1)
}

/// Whether hands are at the coat of that lot which is begun: of several, those begun first, as many as there are hands.
fn hands_are_at(thread: &Thread<'_>, lot: &Lot) -> bool {
    let soaks = |other: &&Lot| other.next_step().is_some_and(|(_, step)| step.coat().is_some());
    let earlier = |other: &&Lot| {
        let begun = other.begun.map(|begun| (begun, &other.name));
        begun.is_some() && begun < lot.begun.map(|begun| (begun, &lot.name))
    };
    let ahead = thread.shop.open_lots().filter(soaks).filter(earlier).count();
    ahead < thread.setup.shop.hands as usize
}
