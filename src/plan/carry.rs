//! Where pieces are carried to cure: no sooner than they may, no later than there is room.

use crate::plan::draft::{Draft, What};
use crate::plan::engine::{Answer, Minute, Since};

/// A hold as the answer has it.
#[derive(Debug, Clone, Copy)]
struct Taken {
    rack: usize,
    units: i64,
    from: Minute,
    until: Minute,
}

impl Draft {
    /// The same problem with pieces curing only on racks for nothing else, wherever one is large enough: those for both
    /// uses are left to dry on. None where that changes nothing.
    pub(super) fn drying_kept_free(&self, both_uses: &[usize]) -> Option<Self> {
        let mut narrow = self.clone();
        for (hold, (_, cures)) in narrow.problem.holds.iter_mut().zip(&self.holds) {
            let capacity =
                |rack: &usize| self.problem.resources.get(*rack).map_or(0, |r| r.capacity);
            let only = |rack: &&usize| !both_uses.contains(rack) && capacity(rack) >= hold.units;
            let left: Vec<usize> = hold.any_of.iter().filter(only).copied().collect();
            if *cures && hold.any_of.len() > 1 && !left.is_empty() {
                hold.any_of = left;
            }
        }
        (narrow.problem != self.problem).then_some(narrow)
    }

    /// Carries pieces to cure as soon as they may and there is room, on a rack for nothing else before one for both uses:
    /// the engine is content with any time before the cure ends, and a drying rack is better free.
    pub(super) fn carry_early(&self, answer: &mut Answer, both_uses: &[usize]) {
        let mut moves: Vec<(Minute, usize)> = (0..self.activities.len())
            .filter(|act| self.activities.get(*act).is_some_and(|(_, what)| *what == What::Move))
            .map(|act| (self.may_move(answer, act), act))
            .collect();
        moves.sort_unstable();
        for (earliest, act) in moves {
            self.carry(answer, act, earliest, both_uses);
        }
    }

    /// The first minute at which the pieces may be carried.
    fn may_move(&self, answer: &Answer, act: usize) -> Minute {
        let floor = self.problem.activities.get(act).and_then(|act| act.earliest).unwrap_or(0);
        let waits = self
            .problem
            .lags
            .iter()
            .filter(|lag| lag.after == act)
            .filter_map(|lag| Some(answer.ends.get(lag.before?)? + lag.min?));
        waits.max().map_or(floor, |wait| wait.max(floor))
    }

    fn carry(&self, answer: &mut Answer, act: usize, earliest: Minute, both_uses: &[usize]) {
        let holds = &self.problem.holds;
        let Some(to) = holds.iter().position(|hold| hold.since == Since::Start(act)) else {
            return;
        };
        let Some(held) = holds.get(to) else { return };
        let Some(now) = self.taken(answer, to) else { return };
        let from = holds.iter().position(|hold| hold.until.end == act);
        let mut racks = held.any_of.clone();
        // One for nothing else first; else where they stand, which saves the carrying.
        let stands = from.and_then(|from| answer.plan.holds.get(from)).copied();
        racks.sort_by_key(|rack| (both_uses.contains(rack), Some(*rack) != stands, *rack));
        let others: Vec<Taken> = (0..holds.len())
            .filter(|other| *other != to && Some(*other) != from)
            .filter_map(|other| self.taken(answer, other))
            .collect();
        let roomy = |rack: &usize| {
            let capacity = self.problem.resources.get(*rack).map_or(0, |rack| rack.capacity);
            let here = Taken { rack: *rack, units: held.units, from: earliest, until: now.until };
            most(&others, here) + held.units <= capacity
        };
        let Some(rack) = racks.into_iter().find(roomy) else { return };
        if earliest > now.from {
            return;
        }
        for times in [&mut answer.plan.starts, &mut answer.ends] {
            if let Some(time) = times.get_mut(act) {
                *time = earliest;
            }
        }
        answer.values.idle = (answer.values.idle - held.units * (now.from - earliest)).max(0);
        if let Some(place) = answer.plan.holds.get_mut(to) {
            *place = rack;
        }
    }

    /// From when until when a hold lasts.
    pub(super) fn held_between(&self, answer: &Answer, hold: usize) -> Option<(Minute, Minute)> {
        let stay = self.problem.holds.get(hold)?;
        let from = match stay.since {
            Since::Start(act) => *answer.plan.starts.get(act)?,
            Since::At(at) => at,
        };
        Some((from, answer.ends.get(stay.until.end)? + stay.until.plus))
    }

    fn taken(&self, answer: &Answer, hold: usize) -> Option<Taken> {
        let (from, until) = self.held_between(answer, hold)?;
        let units = self.problem.holds.get(hold)?.units;
        Some(Taken { rack: *answer.plan.holds.get(hold)?, units, from, until })
    }
}

/// The most units others take of a rack at any moment of a stay there.
fn most(others: &[Taken], here: Taken) -> i64 {
    let on = |taken: &&Taken| {
        taken.rack == here.rack && taken.from < here.until && here.from < taken.until
    };
    let meeting: Vec<&Taken> = others.iter().filter(on).collect();
    let at = |moment: Minute| -> i64 {
        let then = meeting.iter().filter(|taken| taken.from <= moment && moment < taken.until);
        then.map(|taken| taken.units).sum()
    };
    let moments = meeting.iter().map(|taken| taken.from).chain([here.from]);
    moments.map(|moment| at(moment.max(here.from))).max().unwrap_or(0)
}
