//! One run of pieces as activities, waits and holds.

use crate::plan::draft::{Draft, HANDS, NoDraft, Run, What, touch};
use crate::plan::engine::{Activity, Hold, Lag, Minute, Of, Since, Soft, Until};
use crate::plan::labour::minutes;
use crate::plan::minutes::{down, up};
use crate::plan::waits::{Waits, cures_in, dries_in};
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::setup::recipe::Rest;
use crate::shop::setup::{Finish, Rack, Recipe, Setup, Step, StepWork};
use crate::time::{Instant, Span};

/// A run being put down, step by step.
struct Thread<'a> {
    run: usize,
    pieces: u32,
    recipe: &'a Recipe,
    /// The activities of its job.
    activities: Vec<usize>,
    /// The step put down last, with its activity.
    before: Option<(&'a Step, usize)>,
    /// The coat put down last, with its waits.
    coat: Option<(usize, Waits)>,
    first_coat: Option<usize>,
}

impl Draft {
    /// Puts one run down: what it has still to do, where it has to stand, when it is due.
    pub(super) fn add(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        run: &Run,
        lot: Option<&Lot>,
        now: Instant,
    ) -> Result<(), NoDraft> {
        let recipe = run.recipe.clone();
        self.runs.push(run.clone());
        let mut thread = Thread {
            run: self.runs.len() - 1,
            pieces: run.pieces,
            recipe: &recipe,
            activities: Vec::new(),
            before: None,
            coat: None,
            first_coat: None,
        };
        let next = lot.map_or(1, |lot| lot.next);
        let mut cured = None;
        for (number, step) in recipe.numbered().filter(|(number, _)| *number >= next) {
            if step.is_cure() {
                cured = self.cure(shop, setup, &mut thread, lot, now)?;
                continue;
            }
            let never = || NoDraft::NeverDry { lot: run.lot.clone() };
            let activity = match (thread.before, lot) {
                (None, Some(lot)) => {
                    self.first(shop, &thread, lot, (number, step), now).ok_or_else(never)?
                }
                (None, None) => self.step(shop, &thread, (number, step), Some(0)),
                (Some(before), _) => self.following(shop, &thread, before, (number, step)),
            };
            if let Some(coat) = step.coat() {
                self.in_window(shop, &thread, lot, activity, now);
                let rack = lot.and_then(Lot::rack).and_then(|rack| setup.rack(rack));
                let finish = setup.finish(coat);
                let waits = finish.and_then(|finish| Waits::of(shop, setup, finish, rack, now));
                thread.coat = Some((activity, waits.ok_or_else(never)?));
                thread.first_coat = thread.first_coat.or(Some(activity));
            }
            for after_cure in cured.take().into_iter().flatten() {
                self.lag(Lag {
                    before: Some(after_cure),
                    after: activity,
                    min: Some(0),
                    ..Lag::default()
                });
            }
            thread.before = Some((step, activity));
            thread.activities.push(activity);
        }
        thread.activities.extend(cured.into_iter().flatten());
        let test = lot.and_then(|lot| self.test_before_shipping(shop, thread.run, lot, now));
        thread.activities.extend(test);
        if !thread.activities.is_empty() {
            self.job(shop, thread.run, thread.activities);
        }
        Ok(())
    }

    /// A labour step's activity.
    fn step(
        &mut self,
        shop: &Shop,
        thread: &Thread<'_>,
        (number, step): (u32, &Step),
        earliest: Option<Minute>,
    ) -> usize {
        let activity = Activity {
            name: step.name(),
            duration: minutes(shop, thread.recipe, number, thread.pieces),
            calendar: Some(0),
            // A group begun is a group wiped.
            pausable: step.coat().is_none(),
            needs: vec![(HANDS, 1)],
            earliest,
            latest: None,
        };
        self.push(thread.run, What::Step(number), activity)
    }

    /// The next step of a lot there is: not before its rests are over; begun already, what is left of it.
    fn first(
        &mut self,
        shop: &Shop,
        thread: &Thread<'_>,
        lot: &Lot,
        (number, step): (u32, &Step),
        now: Instant,
    ) -> Option<usize> {
        if let Some(begun) = lot.begun {
            return Some(self.begun(shop, thread, (number, step), begun, now));
        }
        let from = touch::no_sooner(shop, lot, shop.window(lot, number, now).from?, now);
        let earliest = self.origin.no_sooner(from).max(0);
        let activity = self.step(shop, thread, (number, step), Some(earliest));
        // Pieces that wait already count as idle from now on, so that what is begun goes before what is not.
        self.lag(Lag { at: Some(earliest), after: activity, min: Some(0), ..Lag::default() });
        let before = lot.done.last();
        let rest = before.and_then(|done| Some((done, lot.recipe.step(done.step)?.rest?)));
        if let Some((done, Rest::Between(range))) = rest {
            let at = Some(self.origin.no_later(range.max.after(done.ended)));
            let soft = Some(Soft { extra: 0 });
            self.lag(Lag { at, after: activity, max: Some(0), soft, ..Lag::default() });
        }
        Some(activity)
    }

    /// What is left of a step that was begun. A coat that was begun is wiped whatever the hour.
    fn begun(
        &mut self,
        shop: &Shop,
        thread: &Thread<'_>,
        step: (u32, &Step),
        begun: Instant,
        now: Instant,
    ) -> usize {
        let activity = self.step(shop, thread, step, Some(0));
        let open = self.open_at_once();
        let behind = match &shop.setup {
            Some(setup) if open => setup.shop.hours.open_span(setup.shop.zone, begun, now),
            _ => Span::between(begun, now),
        };
        if let Some(put) = self.problem.activities.get_mut(activity) {
            let soaks = step.1.coat().is_some();
            put.duration = (put.duration - down(behind)).max(1);
            put.pausable = true;
            if soaks && !open {
                put.calendar = None;
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
        shop: &Shop,
        thread: &Thread<'_>,
        before: (&Step, usize),
        step: (u32, &Step),
    ) -> usize {
        let activity = self.step(shop, thread, step, None);
        let (before, act) = before;
        let after_coat =
            thread.coat.filter(|(coat, _)| *coat == act).map(|(_, waits)| waits.shortest);
        let (min, max) = match before.rest {
            _ if after_coat.is_some() => (after_coat.unwrap_or(0), None),
            Some(Rest::AtLeast(span)) => (up(span), None),
            Some(Rest::Between(range)) => (up(range.min), Some(down(range.max))),
            None => (0, None),
        };
        self.lag(Lag { before: Some(act), after: activity, min: Some(min), ..Lag::default() });
        if let Some(max) = max {
            let soft = Some(Soft { extra: 0 });
            self.lag(Lag {
                before: Some(act),
                after: activity,
                max: Some(max),
                soft,
                ..Lag::default()
            });
        }
        activity
    }

    /// A coat in the window of the one before it, at the price of abrading where that can't be.
    fn in_window(
        &mut self,
        shop: &Shop,
        thread: &Thread<'_>,
        lot: Option<&Lot>,
        coat: usize,
        now: Instant,
    ) {
        let soft = Some(Soft { extra: abrading(shop, thread.recipe, thread.pieces) });
        if let Some((before, waits)) = thread.coat {
            let (before, max) = (Some(before), waits.longest);
            self.lag(Lag { before, after: coat, max, soft, ..Lag::default() });
            return;
        }
        let Some(lot) = lot else { return };
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
    fn cure(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        thread: &mut Thread<'_>,
        lot: Option<&Lot>,
        now: Instant,
    ) -> Result<Option<Vec<usize>>, NoDraft> {
        let Some(last) = self.last_coat(shop, thread, lot, now)? else { return Ok(None) };
        let stands = lot.and_then(Lot::rack).and_then(|rack| self.resource_of(rack));
        let After { cure, move_to } = last;
        let of_rack = |place: usize| setup.racks.get(place.checked_sub(1)?);
        let coated = lot.is_some_and(Lot::coats_done);
        let only_cures =
            stands.and_then(of_rack).is_some_and(|rack| !rack.purpose.dries() && coated);
        if coated && (only_cures || stands.is_none()) {
            if let Some(place) = stands {
                self.stand(thread, true, vec![place], Since::At(0), cure);
            }
            return Ok(Some(vec![cure]));
        }
        let since = match (stands, thread.first_coat) {
            (None, Some(first)) => Since::Start(first),
            _ => Since::At(0),
        };
        let coats = || thread.recipe.steps.iter().filter_map(Step::coat);
        let finishes: Vec<_> = coats().filter_map(|coat| setup.finish(coat)).collect();
        let all = |rack: &Rack, ends: Ends| finishes.iter().all(|f| ends(shop, f, &rack.room, now));
        let dry = if let Some(place) = stands {
            vec![place]
        } else {
            let mut racks = self.fitting(setup, thread, "dry", |rack| rack.purpose.dries())?;
            racks.retain(|rack| of_rack(*rack).is_some_and(|rack| all(rack, dries_in)));
            if racks.is_empty() {
                let lot = self.runs.get(thread.run).map(|run| run.lot.clone());
                return lot.map_or(Ok(None), |lot| Err(NoDraft::NeverDry { lot }));
            }
            racks
        };
        let to =
            self.fitting(setup, thread, "cure", |rack| rack.purpose.cures() && all(rack, cures_in));
        if let Ok(to) = to {
            self.stand(thread, false, dry, since, move_to);
            self.stand(thread, true, to, Since::Start(move_to), cure);
        } else {
            // No curing rack takes so many: it stays where it is.
            self.stand(thread, false, dry, since, cure);
        }
        Ok(Some(vec![move_to, cure]))
    }

    fn stand(
        &mut self,
        thread: &Thread<'_>,
        cures: bool,
        any_of: Vec<usize>,
        since: Since,
        until: usize,
    ) {
        let units = i64::from(thread.pieces);
        let until = Until { end: until, plus: 0 };
        self.hold(thread.run, cures, Hold { units, any_of, since, until });
    }

    /// The racks of a use that are large enough for the run.
    fn fitting(
        &self,
        setup: &Setup,
        thread: &Thread<'_>,
        wanted: &'static str,
        fits: impl Fn(&Rack) -> bool,
    ) -> Result<Vec<usize>, NoDraft> {
        let large = |(_, rack): &(usize, &Rack)| fits(rack) && rack.slots >= thread.pieces;
        let racks: Vec<usize> =
            (1..).zip(&setup.racks).filter(large).map(|(resource, _)| resource).collect();
        if racks.is_empty() {
            let lot = self.runs.get(thread.run).map(|run| run.lot.clone());
            let pieces = thread.pieces;
            return lot.map_or(Ok(racks), |lot| Err(NoDraft::FitsNowhere { lot, pieces, wanted }));
        }
        Ok(racks)
    }

    /// The activities that follow the last coat by themselves: the cure from its end, and the move once it may be.
    fn last_coat(
        &mut self,
        shop: &Shop,
        thread: &Thread<'_>,
        lot: Option<&Lot>,
        now: Instant,
    ) -> Result<Option<After>, NoDraft> {
        let run = thread.run;
        if let Some((coat, waits)) = thread.coat {
            let cure =
                self.push(run, What::Cure, Activity { duration: waits.cure, ..idle("cure") });
            let of = Of::End;
            self.lag(Lag {
                before: Some(coat),
                after: cure,
                of,
                min: Some(0),
                max: Some(0),
                ..Lag::default()
            });
            let move_to = self.push(run, What::Move, idle("move"));
            let min = Some(waits.shortest.min(waits.cure));
            self.lag(Lag { before: Some(coat), after: move_to, min, ..Lag::default() });
            self.moved_by_then(move_to, cure);
            return Ok(Some(After { cure, move_to }));
        }
        let Some((lot, (coat, _))) = lot.and_then(|lot| Some((lot, shop.last_coat(lot)?))) else {
            return Ok(None);
        };
        let never = || NoDraft::NeverDry { lot: lot.name.clone() };
        let cured = shop.cure(lot, now).and_then(|cure| cure.at).ok_or_else(never)?;
        let cured = touch::no_sooner(shop, lot, cured, now);
        if cured <= now {
            return Ok(None);
        }
        let leave = shop.may_leave(lot, now).and_then(|leave| leave.at).ok_or_else(never)?;
        let began = self.origin.no_sooner(coat.ended);
        let duration = (self.origin.no_sooner(cured) - began).max(0);
        let began_then =
            Activity { duration, earliest: Some(began), latest: Some(began), ..idle("cure") };
        let cure = self.push(run, What::Cure, began_then);
        let earliest = Some(self.origin.no_sooner(leave.min(cured)).max(0));
        let move_to = self.push(run, What::Move, Activity { earliest, ..idle("move") });
        self.moved_by_then(move_to, cure);
        Ok(Some(After { cure, move_to }))
    }

    /// Pieces that never move have moved when their cure is over: no slot is held for them after it.
    fn moved_by_then(&mut self, move_to: usize, cure: usize) {
        let (before, max) = (Some(cure), Some(0));
        self.lag(Lag { before, after: move_to, max, ..Lag::default() });
    }
}

/// Whether a wait of a finish ends in a room as it is.
type Ends = fn(&Shop, &Finish, &str, Instant) -> bool;

/// What follows a last coat without hands.
struct After {
    cure: usize,
    move_to: usize,
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
    }
}

/// Minutes of hands to abrade a film that got too hard: as the recipe rubs, else as long as a coat takes to lay.
fn abrading(shop: &Shop, recipe: &Recipe, pieces: u32) -> Minute {
    let rub = recipe.numbered().find(|(_, step)| matches!(step.work, StepWork::Rub { .. }));
    let coat = recipe.numbered().find(|(_, step)| step.coat().is_some());
    rub.or(coat).map_or(1, |(number, _)| minutes(shop, recipe, number, pieces)).max(1)
}
