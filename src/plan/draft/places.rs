//! Where a run may stand: on racks with room for it, in rooms where its rests and its cure end.

use crate::craft::cure::{Clock, NEAR};
use crate::plan::draft::rates::{Counted, MINUTE, billionths};
use crate::plan::draft::{Draft, Run, touch};
use crate::plan::engine::Minute;
use crate::plan::minutes::up;
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::plan::{NotPlanned, WhyNot};
use crate::shop::setup::{Finish, Rack, Setup};
use crate::time::{Instant, Span};

/// What stands on a curing rack is carried to another where what is left of its cure takes one part of so many; and what cures
/// within the days for which hours to come are taken with care isn't carried where it takes longer than these and so many times
/// as long: one frost there, and it waits for spring (a choice).
const WORTH_CARRYING: Minute = 2;
/// What was carried to a curing rack stays for so long, where its cure ends there: plans of one morning that are worth about the
/// same would send it to and fro (a choice).
const STAYS: Span = Span::days(7);

/// The racks of a run, as resources.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Places {
    /// The rack it stands on and needs.
    pub(super) stands: Option<usize>,
    /// Racks to dry on from its first coat.
    pub(super) dry: Vec<usize>,
    /// Racks it may be carried to after its last coat; it may also stay.
    pub(super) cure: Vec<usize>,
    /// The minute at which time begins to count in the first of the rooms it may dry in, where all are too cold for its first coat.
    pub(super) warm: Option<Minute>,
    /// Billionths of a minute of its cure that it has behind it.
    pub(super) passed: i64,
    /// The finish of its last coat.
    finish: Option<String>,
}

impl Places {
    pub(super) fn last_finish<'s>(&self, setup: &'s Setup) -> Option<&'s Finish> {
        setup.finish(self.finish.as_ref()?)
    }
}

/// A run whose places are looked for.
struct Asked<'a> {
    shop: &'a Shop,
    setup: &'a Setup,
    run: &'a Run,
    now: Instant,
}

impl Asked<'_> {
    fn rack(&self, place: usize) -> Option<&Rack> {
        self.setup.racks.get(place.checked_sub(1)?)
    }

    fn room(&self, place: usize) -> Option<&str> {
        Some(self.rack(place)?.room.as_str())
    }

    /// Whether a rack's room is too cold for a coat whatever the hour.
    fn is_cold(&self, coat: &Finish, place: usize) -> bool {
        let cold = |room| self.shop.cold_of_late(room, coat, self.now).is_some();
        self.room(place).is_some_and(cold)
    }
}

impl Draft {
    /// The racks of a run, or why there are none.
    pub(super) fn places(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        run: &Run,
        lot: Option<&Lot>,
        now: Instant,
    ) -> Result<Places, Box<NotPlanned>> {
        let asked = Asked { shop, setup, run, now };
        let stands = lot.and_then(Lot::rack).and_then(|rack| self.resource_of(rack));
        let next = lot.map_or(1, |lot| lot.next);
        let to_come = run.recipe.numbered().filter(|(number, _)| *number >= next);
        let coats: Vec<&Finish> =
            to_come.filter_map(|(_, step)| setup.finish(step.coat()?)).collect();
        let places = match (coats.last(), lot) {
            (Some(last), _) => self.places_to_coat(&asked, &coats, last, lot, stands),
            (None, Some(lot)) => self.places_to_cure(&asked, lot, stands),
            (None, None) => Ok(Places::default()),
        };
        places.map_err(|why| {
            Box::new(NotPlanned {
                lot: run.lot.to_string(),
                batch: run.lot.batch.clone(),
                pieces: run.pieces,
                to_start: run.to_start,
                why,
            })
        })
    }

    /// With coats to come: each of its rests has to end on the rack, and the cure there or on another.
    fn places_to_coat(
        &mut self,
        asked: &Asked<'_>,
        coats: &[&Finish],
        last: &Finish,
        lot: Option<&Lot>,
        stands: Option<usize>,
    ) -> Result<Places, WhyNot> {
        let between = lot.is_some_and(|lot| lot.last_coat().is_some());
        // A coat that is begun, or has one under it, waits for no warmer room.
        let held = between || lot.is_some_and(|lot| lot.begun.is_some());
        let next = coats.first().filter(|_| !held);
        let cold = |place: &usize| next.is_some_and(|next| asked.is_cold(next, *place));
        let rests = |draft: &mut Self, place: &usize| {
            coats.iter().all(|coat| draft.ends(asked, coat, coat.recoat.min, *place))
        };
        let of_use = |draft: &Self| draft.racks_for(asked, |rack| rack.purpose.dries());
        let (mut dry, mut small) = match stands {
            Some(place) => (vec![place], Vec::new()),
            None => of_use(self),
        };
        let mut dries: Vec<usize> =
            dry.iter().copied().filter(|place| rests(self, place)).collect();
        let mut stands = stands;
        if stands.is_some() && !between && (dries.is_empty() || dries.iter().all(cold)) {
            // Nothing holds it there yet.
            stands = None;
            (dry, small) = of_use(self);
            dries = dry.iter().copied().filter(|place| rests(self, place)).collect();
        }
        let waits = lot.is_some_and(|lot| {
            between && asked.shop.window(lot, lot.next, asked.now).from.is_none()
        });
        if waits || dries.is_empty() {
            small.retain(|place| rests(self, place));
            let (mut elsewhere, _) = if between { of_use(self) } else { Default::default() };
            let other =
                |draft: &Self, place: &usize| !dry.contains(place) && draft.has_room(asked, *place);
            elsewhere.retain(|place| other(self, place) && rests(self, place));
            let never = || Self::never(asked, last, &dry, &elsewhere);
            return Err(self.too_many("dry", &dry, &small, never));
        }
        let cures = asked.shop.cure_time(last);
        let ends = |draft: &mut Self, place: &usize| draft.ends(asked, last, cures, *place);
        let (large, mut small) = self.racks_for(asked, |rack| rack.purpose.cures());
        let cure: Vec<usize> = large.iter().copied().filter(|place| ends(self, place)).collect();
        if cure.is_empty() && asked.run.recipe.steps.iter().any(crate::shop::setup::Step::is_cure) {
            dries.retain(|place| ends(self, place));
            if dries.is_empty() {
                let all: Vec<usize> = dry.iter().chain(&large).copied().collect();
                small.retain(|place| ends(self, place));
                return Err(
                    self.too_many("cure", &all, &small, || Self::never(asked, last, &all, &[]))
                );
            }
        }
        let mut warm = None;
        if let Some(next) = next.filter(|_| dries.iter().all(cold)) {
            warm = dries.iter().filter_map(|place| self.takes_on(asked, next, 1, *place)).min();
        } else {
            dries.retain(|place| !cold(place));
        }
        if !held {
            let covered = coats.split_last().map_or(&[][..], |(_, covered)| covered);
            let risky = |place: &usize| {
                let room = asked.room(*place).unwrap_or_default();
                covered.iter().any(|coat| self.closes_unopened(&coat.name, room))
            };
            if !dries.iter().all(risky) {
                dries.retain(|place| !risky(place));
            }
        }
        let finish = Some(last.name.clone());
        Ok(Places { stands, dry: dries, cure, warm, passed: 0, finish })
    }

    /// With its last coat laid: where it stands, or where it may be carried once it has dried there.
    fn places_to_cure(
        &mut self,
        asked: &Asked<'_>,
        lot: &Lot,
        stands: Option<usize>,
    ) -> Result<Places, WhyNot> {
        let Asked { shop, setup, now, .. } = *asked;
        let (Some(reckoned), Some((_, finish))) = (shop.cure(lot, now), shop.last_coat(lot)) else {
            return Ok(Places::default());
        };
        if let Some(over) = reckoned.at.filter(|at| *at <= now) {
            // What still grabs keeps its slots until the next test.
            let stands = stands.filter(|_| touch::no_sooner(shop, lot, over, now) > now);
            return Ok(Places { stands, ..Places::default() });
        }
        let Some(place) = stands else {
            let never = || Self::never(asked, finish, &[], &[]);
            return reckoned.at.map(|_| Places::default()).ok_or_else(never);
        };
        let behind = shop.cure(lot, self.origin.instant()).map_or(0.0, |then| then.age_hours);
        let left = (reckoned.needs_hours - behind).max(0.0) * 60.0;
        // A minute more: whatever is rounded on the way, the plan is never sooner than the cure itself.
        let left = billionths(left + 1.0);
        let only_cures = setup.racks.get(place - 1).is_some_and(|rack| !rack.purpose.dries());
        let takes = self.takes_on(asked, finish, left, place);
        let here = takes.is_some() || reckoned.at.is_some();
        let dried = shop.may_leave(lot, now).is_some_and(|leave| leave.at.is_some());
        let (mut cure, mut small) = (Vec::new(), Vec::new());
        if dried {
            (cure, small) = self.racks_for(asked, |rack| rack.purpose.cures());
            let whole = shop.cure_time(finish);
            cure.retain(|to| *to != place && self.ends(asked, finish, whole, *to));
        }
        let there = |draft: &mut Self, to: &usize| draft.takes_on(asked, finish, left, *to);
        if only_cures && let Some(takes) = takes {
            let since = lot.on_this_rack_since();
            let stays = since.is_some_and(|since| now < STAYS.after(since));
            let worth = |there: Minute| !stays && there <= takes / WORTH_CARRYING;
            cure.retain(|to| there(self, to).is_some_and(worth));
        }
        let near = NEAR.num_minutes();
        if let Some(takes) = takes.filter(|takes| *takes <= near) {
            let risks =
                |there: Minute| there > near && there >= WORTH_CARRYING.saturating_mul(takes);
            cure.retain(|to| there(self, to).is_some_and(|there| !risks(there)));
        }
        if !here && cure.is_empty() {
            small.retain(|to| there(self, to).is_some());
            let never = || Self::never(asked, finish, &[place], &[]);
            return Err(self.too_many("cure", &[place], &small, never));
        }
        let passed = up(shop.cure_time(finish)).saturating_mul(MINUTE) - left;
        let finish = Some(finish.name.clone());
        Ok(Places { stands, dry: vec![place], cure, warm: None, passed, finish })
    }

    /// The racks of a use that are large enough for the run, held lots left where they are, and the smaller ones.
    fn racks_for(
        &self,
        asked: &Asked<'_>,
        fits: impl Fn(&Rack) -> bool,
    ) -> (Vec<usize>, Vec<usize>) {
        let of_use = (1..).zip(&asked.setup.racks).filter(|(_, rack)| fits(rack));
        let large = |place: &usize| self.slots_left(*place) >= asked.run.pieces;
        of_use.map(|(place, _)| place).partition(large)
    }

    /// Slots of a rack that no held lot has.
    fn slots_left(&self, place: usize) -> u32 {
        let capacity = self.problem.resources.get(place).map_or(0, |rack| rack.capacity);
        u32::try_from(capacity).unwrap_or(0)
    }

    /// That the run has more pieces than those smaller racks take which would do; where none would, and there are larger ones,
    /// what stands against these.
    fn too_many(
        &self,
        wanted: &str,
        large: &[usize],
        small: &[usize],
        against: impl FnOnce() -> WhyNot,
    ) -> WhyNot {
        let most = small.iter().map(|place| self.slots_left(*place)).max().unwrap_or(0);
        if most == 0 && !large.is_empty() {
            return against();
        }
        WhyNot::TooMany { wanted: wanted.to_owned(), most }
    }

    /// Whether a rack has slots free for the run as lots stand now, beside those that are to be carried there.
    fn has_room(&self, asked: &Asked<'_>, place: usize) -> bool {
        let Some(rack) = asked.rack(place) else { return false };
        let there = |lot: &&NotPlanned| match &lot.why {
            WhyNot::NeverDries { elsewhere, .. } => elsewhere.first() == Some(&rack.name),
            WhyNot::TooMany { .. } => false,
        };
        let carried: u32 = self.not_planned.iter().filter(there).map(|lot| lot.pieces).sum();
        let taken = asked.shop.taken(&rack.name).saturating_add(carried);
        taken.saturating_add(asked.run.pieces) <= rack.slots
    }

    /// Whether a time of a finish passes on a rack.
    fn ends(&mut self, asked: &Asked<'_>, finish: &Finish, time: Span, place: usize) -> bool {
        self.takes_on(asked, finish, up(time).saturating_mul(MINUTE), place).is_some()
    }

    /// Minutes that so many billionths of a minute of a finish take on a rack; none where they do not pass.
    fn takes_on(
        &mut self,
        asked: &Asked<'_>,
        finish: &Finish,
        amount: i64,
        place: usize,
    ) -> Option<Minute> {
        let room = asked.room(place)?;
        let counted = Counted { clock: Clock::NoSooner, finish };
        self.takes(asked.shop, counted, amount, room)
    }

    /// What stands against these racks: the rooms they are in; and the racks that would do.
    fn never(asked: &Asked<'_>, finish: &Finish, racks: &[usize], elsewhere: &[usize]) -> WhyNot {
        let room = |rack: &usize| asked.room(*rack).map(str::to_owned);
        let named = |rack: &usize| Some(asked.rack(*rack)?.name.clone());
        let elsewhere = elsewhere.iter().filter_map(named).collect();
        let mut rooms: Vec<String> = racks.iter().filter_map(room).collect();
        rooms.sort_unstable();
        rooms.dedup();
        let warm: Minute = up(asked.shop.cure_time(finish));
        WhyNot::NeverDries { finish: finish.name.clone(), rooms, elsewhere, warm }
    }
}
