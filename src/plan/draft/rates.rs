//! How fast each finish dries and cures on each rack, as the rooms are taken to be: the rates of the engine's modes.

use std::collections::BTreeSet;

use chrono::TimeDelta;

use crate::craft::cure::Clock;
use crate::plan::draft::Draft;
use crate::plan::engine::{Minute, Modal, Rate};
use crate::plan::headway::side_by_side;
use crate::shop::Shop;
use crate::shop::setup::{Finish, Setup};
use crate::time::Instant;

/// Hours ahead that are looked at one by one.
const HOURS: i64 = 60 * 24;

/// Hours after them whose mean is taken for all that follow.
const MEAN: i64 = 28 * 24;

/// The share of a recoat window that is over, at most, when its coat may be laid by the slow clock (a choice, no source). In hours
/// that nobody has read the two clocks may cross. A reading will tell in time which of them holds; a plan that took it for a
/// missed window would put off the coat before, which can be laid now.
const STILL_OPEN: f64 = 0.75;

/// Billionths of a minute.
pub(super) const MINUTE: i64 = 1_000_000_000;

/// What counts faster than this counts as this: 64 times the sheet's speed, far from any room.
const FASTEST: f64 = 64.0;

/// What a length is counted by: the finish, and on which of its clocks.
#[derive(Clone, Copy)]
pub(super) struct Counted<'a> {
    pub(super) clock: Clock,
    pub(super) finish: &'a Finish,
}

/// Whether it counts now more and now less, by more than is lost in rounding, pauses aside.
pub(super) fn varies(rate: &Rate) -> bool {
    let counts = || rate.steps.iter().map(|step| step.1).filter(|counts| *counts > 0);
    let (least, most) = (counts().min().unwrap_or(0), counts().max().unwrap_or(0));
    most - least > most / 100
}

impl Draft {
    /// A length counted at the rate of the rack on which these holds last, for those racks.
    pub(super) fn modal(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        counted: Counted<'_>,
        holds: &[usize],
    ) -> Modal {
        let of = |hold: &usize| self.problem.holds.get(*hold).map(|hold| hold.any_of.clone());
        let mut racks: Vec<usize> = holds.iter().filter_map(of).flatten().collect();
        racks.sort_unstable();
        racks.dedup();
        let room = |rack: usize| Some(setup.racks.get(rack.checked_sub(1)?)?.room.clone());
        let rates = racks
            .into_iter()
            .filter_map(|rack| Some((rack, self.rate(shop, counted, &room(rack)?))));
        Modal { rates: rates.collect(), holds: holds.to_vec(), passed: 0 }
    }

    /// Reckons the rates of the finishes that are laid, side by side and once for all the ways in which batches may be parted.
    pub(super) fn know_rates(&mut self, shop: &Shop, setup: &Setup) {
        let laid = shop.finishes_laid().into_iter();
        let finishes: Vec<&Finish> = laid.filter_map(|finish| setup.finish(finish)).collect();
        let rooms: BTreeSet<&str> = setup.racks.iter().map(|rack| rack.room.as_str()).collect();
        let mut wanted = Vec::new();
        for &finish in &finishes {
            for clock in [Clock::NoSooner, Clock::NoLater] {
                // A room's log is counted by one at a time.
                wanted.extend(rooms.iter().map(|room| (Counted { clock, finish }, *room)));
            }
        }
        let reckoned = side_by_side(wanted.len(), |which| {
            let (counted, room) = wanted.get(which)?;
            Some(Rate { name: name(*counted, room), steps: self.steps(shop, *counted, room) })
        });
        self.problem.rates.extend(reckoned.into_iter().flatten());
        // With one room there is none to choose.
        if rooms.len() > 1 {
            let now = self.now;
            let rooms_of = |finish| rooms.iter().map(move |room| (finish, *room));
            let pairs = finishes.into_iter().flat_map(rooms_of);
            let unsure = pairs.filter(|(finish, room)| closes_unopened(shop, finish, room, now));
            let named = |(finish, room): (&Finish, &str)| (finish.name.clone(), room.to_owned());
            self.unsure = unsure.map(named).collect();
        }
    }

    /// Takes time to count as in another.
    pub(super) fn count_like(&mut self, other: &Self) {
        self.problem.rates.clone_from(&other.problem.rates);
        self.unsure.clone_from(&other.unsure);
    }

    /// Whether the window after a coat of a finish may close before it opens, as little as is known of the room.
    pub(super) fn closes_unopened(&self, finish: &str, room: &str) -> bool {
        self.unsure.iter().any(|unsure| unsure.0 == finish && unsure.1 == room)
    }

    /// The rate of a finish in a room.
    fn rate(&mut self, shop: &Shop, counted: Counted<'_>, room: &str) -> usize {
        let name = name(counted, room);
        if let Some(known) = self.problem.rates.iter().position(|rate| rate.name == name) {
            return known;
        }
        let steps = self.steps(shop, counted, room);
        self.problem.rates.push(Rate { name, steps });
        self.problem.rates.len() - 1
    }

    /// The rate hour by hour, to the careful side; then the mean of some weeks, and where a season changes it, of the weeks after
    /// those, to the end of the horizon. The last of them goes on for good.
    fn steps(&self, shop: &Shop, counted: Counted<'_>, room: &str) -> Vec<(Minute, i64)> {
        let Counted { clock, finish } = counted;
        let start = self.origin.instant();
        let until = start + TimeDelta::hours(HOURS);
        let hours = |from, until| hourly(shop, counted, room, from, until);
        let Some(near) = hours(start, until) else { return vec![(0, MINUTE)] };
        let mut steps: Vec<(Minute, i64)> = Vec::new();
        let mut step = |begins: Instant, rate: f64| {
            let rate = careful(clock, rate);
            let rises = steps.last().is_none_or(|last| last.1 < rate);
            // Within its minute a step begins on the careful side, too.
            let from = match clock {
                Clock::NoSooner if rises => self.origin.no_sooner(begins),
                Clock::NoLater if !rises => self.origin.no_sooner(begins),
                Clock::NoSooner | Clock::NoLater => self.origin.no_later(begins),
            };
            // A pause may last to the minute at which the next stretch begins.
            if steps.last().is_some_and(|last| last.0 == from) {
                steps.pop();
            }
            if steps.last().is_none_or(|last| last.1 != rate) {
                steps.push((from, rate));
            }
        };
        for (begins, rate) in near {
            step(begins, rate);
        }
        let seasonal = shop.course_in(clock, finish, room).is_some_and(|course| course.follows());
        let ends = if seasonal {
            until.max(self.origin.of(self.problem.horizon.unwrap_or(0)))
        } else {
            until
        };
        let stretches = (0..).map(|number| until + TimeDelta::hours(number * MEAN));
        for from in stretches.take_while(|from| *from <= ends) {
            let later = hours(from, from + TimeDelta::hours(MEAN)).unwrap_or_default();
            let later: Vec<f64> = later.into_iter().map(|(_, rate)| rate).collect();
            let (mean, ahead) = levelled(&later);
            // By as much as the mean is ever ahead of the hours it begins later.
            let pause = if clock == Clock::NoSooner && mean > 0.0 { ahead / mean } else { 0.0 };
            // Up to a whole minute, but not for what is lost in rounding.
            let minutes = (billionths(pause * 60.0) + MINUTE - 1000) / MINUTE;
            if minutes > 0 {
                step(from, 0.0);
            }
            step(from + TimeDelta::minutes(minutes), mean);
        }
        steps
    }

    /// Minutes that so many billionths of a minute take in a room from now on; none where they do not pass within the plan's
    /// horizon.
    pub(super) fn takes(
        &mut self,
        shop: &Shop,
        counted: Counted<'_>,
        amount: i64,
        room: &str,
    ) -> Option<Minute> {
        let rate = self.rate(shop, counted, room);
        let end = self.problem.rates.get(rate)?.reach(0, amount);
        (end <= self.problem.horizon.unwrap_or(0)).then_some(end)
    }
}

/// Whether the quick clock ends the window after a coat that is laid now before the slow one lets it begin.
fn closes_unopened(shop: &Shop, coat: &Finish, room: &str, now: Instant) -> bool {
    let Some(longest) = coat.recoat.longest() else { return false };
    let ahead = |clock, time| shop.ahead(clock, time, coat, room, now);
    let opens = ahead(Clock::NoSooner, coat.recoat.min);
    let closes = ahead(Clock::NoLater, longest);
    closes.is_some_and(|closes| opens.is_none_or(|opens| opens >= closes))
}

fn name(Counted { clock, finish }: Counted<'_>, room: &str) -> String {
    let which = if clock == Clock::NoSooner { "no sooner" } else { "no later" };
    format!("{} in {room}, {which}", finish.name)
}

/// The rate of each hour in a room; none where it is the sheet's whatever the room. What counts towards the end of a window that
/// would close before it opens counts no faster than leaves it open when its coat may be laid.
fn hourly(
    shop: &Shop,
    Counted { clock, finish }: Counted<'_>,
    room: &str,
    from: Instant,
    until: Instant,
) -> Option<Vec<(Instant, f64)>> {
    let course = shop.course_in(clock, finish, room)?;
    let rates = course.rates(from, until);
    let longest = finish.recoat.longest().filter(|_| clock == Clock::NoLater);
    let Some(longest) = longest else { return Some(rates) };
    let (opens, closes) = (finish.recoat.min.as_hours(), longest.as_hours());
    let most = STILL_OPEN * closes / opens;
    let slow = shop.course_in(Clock::NoSooner, finish, room)?.rates(from, until);
    let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
    // A coat is laid while the shop is open.
    let coats = |hour: usize| {
        let middle = rates.get(hour).map(|(begins, _)| *begins + TimeDelta::minutes(30));
        middle.zip(hours).is_none_or(|(middle, hours)| hours.is_open(shop.zone(), middle))
    };
    let crossed =
        crossed((Reach::new(&slow, opens), Reach::new(&rates, closes)), rates.len(), coats);
    let hours = rates.into_iter().zip(slow).zip(crossed);
    let open = hours.map(|(((begins, rate), (_, slow)), crossed)| {
        (begins, if crossed { rate.min(most * slow) } else { rate })
    });
    Some(open.collect())
}

/// For each hour whether it lies in a window, of a coat laid in an hour in which some are, that closes by the quick rates before it opens by the slow
/// ones.
fn crossed(
    (mut opens, mut closes): (Reach<'_>, Reach<'_>),
    hours: usize,
    coats: impl Fn(usize) -> bool,
) -> Vec<bool> {
    let mut until = 0;
    let crossed = (0..hours).map(|hour| {
        let (open, shut) = (opens.from(hour), closes.from(hour));
        if shut < hours && shut <= open && coats(hour) {
            until = open;
        }
        hour < until
    });
    crossed.collect()
}

/// The hours by which so much is counted, from one hour after the other.
struct Reach<'a> {
    rates: &'a [(Instant, f64)],
    wanted: f64,
    next: usize,
    counted: f64,
}

impl<'a> Reach<'a> {
    const fn new(rates: &'a [(Instant, f64)], wanted: f64) -> Self {
        Self { rates, wanted, next: 0, counted: 0.0 }
    }

    /// The hour at whose beginning it is there, counted from that one on; the end where it never is.
    fn from(&mut self, hour: usize) -> usize {
        if let Some(before) = hour.checked_sub(1).and_then(|before| self.rates.get(before)) {
            self.counted -= before.1;
        }
        while self.counted < self.wanted
            && let Some((_, rate)) = self.rates.get(self.next)
        {
            self.counted += rate;
            self.next += 1;
        }
        if self.counted < self.wanted { self.rates.len() } else { self.next }
    }
}

/// The mean of hourly rates, and the most by which counting at it is ever ahead of counting by the hour, in hours.
fn levelled(rates: &[f64]) -> (f64, f64) {
    let hours = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let mean = rates.iter().sum::<f64>() / hours(rates.len().max(1));
    let (mut counted, mut ahead) = (0.0, 0.0_f64);
    for (hour, rate) in (1..).zip(rates) {
        counted += rate;
        ahead = ahead.max(mean * hours(hour) - counted);
    }
    (mean, ahead)
}

/// A rate in whole billionths, never to the side that would be too soon or too late.
#[expect(clippy::cast_possible_truncation, reason = "the rate is no more than the fastest")]
fn careful(clock: Clock, rate: f64) -> i64 {
    let billionths = rate.clamp(0.0, FASTEST) * 1e9;
    // So little absorbs rounding.
    match clock {
        Clock::NoSooner => (billionths + 1e-3).floor() as i64,
        Clock::NoLater => (billionths - 1e-3).ceil() as i64,
    }
}

/// Minutes in whole billionths.
#[expect(clippy::cast_possible_truncation, reason = "a cast that does not fit saturates")]
pub(super) fn billionths(rate: f64) -> i64 {
    (rate.max(0.0) * 1e9).round() as i64
}

#[cfg(test)]
mod tests {
    use super::{Reach, crossed};
    use crate::time::Instant;

    fn hours(rates: &[f64]) -> Vec<(Instant, f64)> {
        rates.iter().map(|rate| (Instant::UNIX_EPOCH, *rate)).collect()
    }

    /// A window from 8 hours of the slow rate to 24 of the quick one.
    fn of(slow: &[f64], quick: &[f64]) -> Vec<bool> {
        laid_in(slow, quick, |_| true)
    }

    fn laid_in(slow: &[f64], quick: &[f64], coats: impl Fn(usize) -> bool) -> Vec<bool> {
        let (slow, quick) = (hours(slow), hours(quick));
        crossed((Reach::new(&slow, 8.0), Reach::new(&quick, 24.0)), quick.len(), coats)
    }

    #[test]
    fn only_hours_of_windows_that_close_before_they_open_are_crossed() {
        let quick = [1.0; 96];
        assert_eq!(of(&[0.5; 96], &quick), [false; 96], "open from hour 16 to hour 24");
        assert_eq!(of(&[0.25; 96], &quick)[..80], [true; 80], "open from hour 32 on");
        // A cold day counts nothing: what is coated in the eight hours before it, or on it, opens after 24 hours or more.
        let mut slow = [1.0; 96];
        slow[24..48].fill(0.0);
        let crossed = of(&slow, &quick);
        assert_eq!(crossed[..17], [false; 17], "coated at 16 it opens at 24, as the day begins");
        assert_eq!(crossed[17..56], [true; 39]);
        assert_eq!(crossed[56..], [false; 40]);
        // Laid at noon of the first day it opens in time, and by the second the day is over.
        assert_eq!(laid_in(&slow, &quick, |hour| hour % 24 == 12), [false; 96]);
        // What never closes in sight isn't crossed.
        assert_eq!(of(&[0.0; 20], &[1.0; 20]), [false; 20]);
    }
}
