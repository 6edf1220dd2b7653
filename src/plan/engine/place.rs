//! Where one component goes: the least fixed point of its arcs, hours, resources and holds.
//!
//! Every rule can only raise a start. A window overrun raises the activity before it, a full resource the
//! activity with which the hold begins; so the first place where nothing is raised any more is the
//! earliest there is. A window is given up only when no place exists, and of as many those that are overrun least.

use super::model::{Edge, NONE};
use super::problem::Minute;
use super::profile::FAR;
use super::schedule::{Schedule, UNSET};

/// More windows than this in one component are given up only from the first on, whatever the overrun.
const MOST_WINDOWS: usize = 6;
/// Rounds after which a place is given up.
const MOST_ROUNDS: usize = 200;

/// Starts that no wait would have later.
#[derive(Clone, Copy)]
pub(super) struct Content {
    /// Rounds that are left.
    rounds: usize,
    /// The last end looked at on the way.
    pub(super) last: Minute,
}

impl Schedule<'_> {
    /// Places a component, or says that it has no place now.
    pub(super) fn place(&mut self, index: usize, rank: &[usize]) -> bool {
        let model = self.model;
        let component = &model.components[index];
        if let ([act], true, true) =
            (&component.acts[..], component.holds.is_empty(), component.windows.is_empty())
        {
            return self.place_single(index, *act);
        }
        for &hold in &component.holds {
            self.stand(hold, -1);
        }
        let found = subsets(component.windows.len())
            .find(|given_up| self.place_without(index, rank, *given_up))
            .and_then(|given_up| self.overrun_least(index, rank, given_up));
        if found.is_some() {
            self.placed[index] = true;
            return true;
        }
        for &hold in &component.holds {
            self.stand(hold, 1);
        }
        for &act in &component.acts {
            self.start[act] = UNSET;
        }
        false
    }

    /// Places a component with those of its windows given up.
    fn place_without(&mut self, index: usize, rank: &[usize], given_up: u64) -> bool {
        for (k, &window) in self.model.components[index].windows.iter().enumerate() {
            self.miss(window, given_up >> k & 1 == 1);
        }
        self.place_kept(index, rank) || (self.relax(index) && self.place_kept(index, rank))
    }

    /// Of the ways to give up as many windows as in a place that was found, takes the one that overruns them least; none
    /// where that has no place any more.
    fn overrun_least(&mut self, index: usize, rank: &[usize], found: u64) -> Option<()> {
        let windows = &self.model.components[index].windows;
        let overrun = |plan: &Self| -> Minute {
            let missed = windows.iter().filter(|&&window| plan.missed[window]);
            missed.map(|&window| plan.overrun(window)).sum()
        };
        if found == 0 {
            return Some(());
        }
        let (mut best, mut least) = (found, overrun(self));
        let mut stands = Some(found);
        for other in subsets(windows.len()) {
            if least == 0 || other <= found || other.count_ones() != found.count_ones() {
                continue;
            }
            if stands.is_some() {
                self.book(index, -1);
            }
            stands = self.place_without(index, rank, other).then_some(other);
            let over = stands.map_or(least, |_| overrun(self));
            if over < least {
                (best, least) = (other, over);
            }
        }
        if stands == Some(best) {
            return Some(());
        }
        if stands.is_some() {
            self.book(index, -1);
        }
        self.place_without(index, rank, best).then_some(())
    }

    /// By how many minutes a window is overrun.
    pub(super) fn overrun(&self, window: usize) -> Minute {
        let window = &self.model.windows[window];
        (self.start[window.after] - window.wait.over(self)).max(0)
    }

    /// Places a component with the windows that are kept now.
    fn place_kept(&mut self, index: usize, rank: &[usize]) -> bool {
        self.gather(index);
        if self.model.components[index].contended {
            self.place_contended(index, rank)
        } else {
            self.settle_in_modes(index, FAR)
        }
    }

    /// Lets the component's changes of place wait and its holds take any resource; says whether anything else was wanted.
    fn relax(&mut self, index: usize) -> bool {
        let mut any = false;
        for &act in &self.model.components[index].acts {
            any |= std::mem::replace(&mut self.at_once[act], false);
        }
        for &hold in &self.model.components[index].holds {
            any |= std::mem::replace(&mut self.wanted[hold], NONE) != NONE;
        }
        any
    }

    fn place_single(&mut self, index: usize, act: usize) -> bool {
        let mut least = self.model.acts[act].floor;
        for arc in &self.model.outer[act] {
            least = least.max(self.asked(arc));
        }
        let Some((start, end)) = self.fit(act, least) else {
            return false;
        };
        (self.start[act], self.end[act]) = (start, end);
        self.book_act(act, 1);
        self.placed[index] = true;
        true
    }

    /// Marks a window as overrun or kept, with the length of the extra before its activity.
    pub(super) fn miss(&mut self, window: usize, missed: bool) {
        if self.missed[window] != missed {
            self.missed[window] = missed;
            let window = self.model.windows[window];
            self.length[window.act] += if missed { window.extra } else { -window.extra };
        }
    }

    /// Whether an activity takes place; an extra does when a window is overrun.
    pub(super) fn active(&self, act: usize) -> bool {
        !self.model.is_extra(act) || self.length[act] > 0
    }

    /// The first start at or after `least` where hours and resources allow the activity, and its end.
    pub(super) fn fit(&self, act: usize, mut least: Minute) -> Option<(Minute, Minute)> {
        let model = self.model;
        let ceiling = model.ceiling(act, &self.missed);
        'start: loop {
            let (start, end) = self.first(act, least)?;
            if start > ceiling || end > model.horizon {
                return None;
            }
            for &(resource, units) in &model.acts[act].needs {
                let most = model.capacity[resource] - units;
                if let Some(free) = self.profiles[resource].clash(start, end, most) {
                    least = free;
                    continue 'start;
                }
            }
            return Some((start, end));
        }
    }

    /// The earliest starts that the rest of the plan leaves to the component's activities.
    pub(super) fn gather(&mut self, index: usize) {
        let model = self.model;
        for &act in &model.components[index].acts {
            self.start[act] = UNSET;
            self.end[act] = UNSET;
            let mut least = model.acts[act].floor;
            for arc in &model.outer[act] {
                least = least.max(self.asked(arc));
            }
            self.least[act] = least;
        }
    }

    /// Places a component anew that has been taken out, on the resources and with the misses it had.
    pub(super) fn again(&mut self, index: usize, rank: &[usize]) -> bool {
        let component = &self.model.components[index];
        self.gather(index);
        if component.contended {
            return self.place_contended(index, rank);
        }
        let found = self.settle(index, FAR) && self.together(index);
        if found {
            self.book(index, 1);
        }
        found
    }

    /// Places a component in the modes in which it ends first, if nothing of it ends at `before` or later.
    pub(super) fn settle_in_modes(&mut self, index: usize, before: Minute) -> bool {
        let model = self.model;
        let component = &model.components[index];
        for &hold in &component.holds {
            if !self.fixed_modes {
                self.assigned[hold] = NONE;
            }
        }
        let choose = !self.fixed_modes && !component.holds.is_empty();
        let settled =
            if choose { self.choose_modes(index, before) } else { self.settle(index, before) };
        if settled {
            self.book(index, 1);
        }
        settled
    }

    /// Raises starts until nothing asks for more; resources not chosen are not looked at. Given up where something would end at
    /// `before` or later.
    pub(super) fn settle(&mut self, index: usize, before: Minute) -> bool {
        let content = self.content(index, before);
        content.is_some_and(|content| self.settle_holds(index, before, content))
    }

    /// Raises starts until waits and needs ask for no more, whatever is held; none where something would end at `before` or later.
    pub(super) fn content(&mut self, index: usize, before: Minute) -> Option<Content> {
        for &act in &self.model.components[index].acts {
            self.stale[act] = true;
        }
        let mut content = Content { rounds: MOST_ROUNDS, last: UNSET };
        self.raise(index, before, &mut content).then_some(content)
    }

    /// Raises the starts of what is content further, until what is held has room, too.
    pub(super) fn settle_holds(
        &mut self,
        index: usize,
        before: Minute,
        mut content: Content,
    ) -> bool {
        loop {
            match self.make_room(index, before) {
                Some(false) => return true,
                Some(true) if self.raise(index, before, &mut content) => {}
                None | Some(true) => return false,
            }
        }
    }

    /// Raises starts until no wait asks for more.
    fn raise(&mut self, index: usize, before: Minute, content: &mut Content) -> bool {
        let model = self.model;
        while content.rounds > 0 {
            content.rounds -= 1;
            let mut raised = false;
            for &act in &model.components[index].acts {
                if !std::mem::take(&mut self.stale[act]) || !self.active(act) {
                    continue;
                }
                let mut least = self.least[act];
                for arc in &model.inner[act] {
                    least = least.max(self.asked(arc));
                }
                // What the modes decide may lie elsewhere though nothing asks for more.
                let decided = model.acts[act].modal.is_some() || model.transfers[act] != NONE;
                let again = decided && self.start[act] != UNSET;
                if least > self.start[act] || again {
                    let Some((start, end)) = self.fit(act, least.max(self.start[act])) else {
                        return false;
                    };
                    if end >= before || start.saturating_add(model.ways[act]) >= before {
                        return false;
                    }
                    if (self.start[act], self.end[act]) != (start, end) {
                        raised = true;
                        for &other in &model.wakes[act] {
                            self.stale[other] = true;
                        }
                    }
                    (self.start[act], self.end[act], self.least[act]) = (start, end, start);
                    content.last = content.last.max(end);
                }
            }
            if !raised {
                return true;
            }
        }
        false
    }

    /// Raises what has to wait for room on its resource; says whether anything has, none where there is no room.
    fn make_room(&mut self, index: usize, before: Minute) -> Option<bool> {
        let model = self.model;
        let mut raised = false;
        for &hold in &model.components[index].holds {
            let Some((act, least)) = self.crowded(hold) else { continue };
            self.pressed = true;
            if act == NONE || least >= FAR || least.saturating_add(model.ways[act]) >= before {
                return None;
            }
            self.least[act] = self.least[act].max(least);
            self.stale[act] = true;
            raised = true;
        }
        Some(raised)
    }

    /// If the hold's resource is full: the activity that has to start later (or `NONE`), and when.
    pub(super) fn crowded(&self, hold: usize) -> Option<(usize, Minute)> {
        let assigned = self.assigned[hold];
        if assigned == NONE {
            return None;
        }
        let stay = &self.model.holds[hold];
        if self.kept(hold) {
            return None;
        }
        let (from, to) = self.span(hold);
        let most = self.model.capacity[assigned] - stay.units;
        let free = self.profiles[assigned].clash(from, to, most)?;
        Some(match stay.from {
            Edge::At(_) => (NONE, free),
            Edge::Point(act, lead) => (act, if free >= FAR { FAR } else { free + lead }),
        })
    }

    /// Whether the component's own holds leave each other room where they share a resource.
    pub(super) fn together(&mut self, index: usize) -> bool {
        let holds = &self.model.components[index].holds;
        let shared = |k: usize| {
            let assigned = self.assigned[holds[k]];
            assigned != NONE && holds[..k].iter().any(|&other| self.assigned[other] == assigned)
        };
        if !(1..holds.len()).any(shared) {
            return true;
        }
        let mut free = true;
        let mut taken = Vec::new();
        for &hold in holds.iter().filter(|&&hold| self.assigned[hold] != NONE) {
            if self.crowded(hold).is_some() {
                self.pressed = true;
                free = false;
                break;
            }
            let (from, to) = self.span(hold);
            self.profiles[self.assigned[hold]].take(from, to, self.model.holds[hold].units);
            taken.push((hold, from, to));
        }
        for (hold, from, to) in taken {
            self.profiles[self.assigned[hold]].take(from, to, -self.model.holds[hold].units);
        }
        free
    }

    pub(super) fn finish(&self, index: usize) -> Minute {
        let acts = &self.model.components[index].acts;
        acts.iter().filter(|&&a| self.active(a)).map(|&a| self.end[a]).max().unwrap_or(UNSET)
    }
}

/// Which of `n` windows to give up: none, then each, then each two, the first ones first.
fn subsets(n: usize) -> impl Iterator<Item = u64> {
    let many = (1..=n.min(63)).map(|k| (1 << k) - 1).take_while(move |_| n > MOST_WINDOWS);
    let sizes = (1..=n).take_while(move |_| n <= MOST_WINDOWS);
    let of_size = move |k| (0_u64..1 << n).filter(move |set| set.count_ones() as usize == k);
    std::iter::once(0).chain(many).chain(sizes.flat_map(of_size))
}
