//! The longest ways through waits and machine sequences, and the critical path among them.

use super::machines::Machines;
use super::problem::Minute;
use super::random::Chance;

/// Sequences and the longest ways through them.
#[derive(Clone)]
pub(super) struct DisjunctiveGraph<'m> {
    machines: &'m Machines,
    pub(super) sequences: Vec<Vec<usize>>,
    pub(super) place: Vec<usize>,
    /// Earliest start of each activity.
    pub(super) head: Vec<Minute>,
    /// The longest way from each activity's start to the end.
    pub(super) tail: Vec<Minute>,
    pub(super) longest: Minute,
    order: Vec<usize>,
}

impl<'m> DisjunctiveGraph<'m> {
    pub(super) fn new(machines: &'m Machines, sequences: Vec<Vec<usize>>) -> Self {
        let acts = machines.length.len();
        let mut ways = Self {
            machines,
            sequences,
            place: vec![0; acts],
            head: vec![0; acts],
            tail: vec![0; acts],
            longest: 0,
            order: Vec::with_capacity(acts),
        };
        for machine in 0..ways.sequences.len() {
            ways.count(machine);
        }
        ways
    }

    pub(super) fn count(&mut self, machine: usize) {
        for (place, &act) in self.sequences[machine].iter().enumerate() {
            self.place[act] = place;
        }
    }

    fn machine_before(&self, act: usize) -> Option<usize> {
        let machine = self.machines.machine[act];
        let place = self.place[act].checked_sub(1)?;
        self.sequences.get(machine).map(|sequence| sequence[place])
    }

    fn machine_after(&self, act: usize) -> Option<usize> {
        self.sequences.get(self.machines.machine[act])?.get(self.place[act] + 1).copied()
    }

    /// Works out heads and tails; false where the sequences contradict the waits.
    pub(super) fn measure(&mut self) -> bool {
        let machines = self.machines;
        let acts = machines.length.len();
        let mut waiting: Vec<usize> = (0..acts)
            .map(|act| machines.before[act].len() + usize::from(self.machine_before(act).is_some()))
            .collect();
        self.order.clear();
        self.order.extend((0..acts).filter(|&act| waiting[act] == 0));
        let mut looked = 0;
        while let Some(&act) = self.order.get(looked) {
            looked += 1;
            self.head[act] = self.head_of(act);
            for next in machines.after[act].iter().map(|next| next.0).chain(self.machine_after(act))
            {
                waiting[next] -= 1;
                if waiting[next] == 0 {
                    self.order.push(next);
                }
            }
        }
        if self.order.len() < acts {
            return false;
        }
        self.longest = 0;
        for k in (0..acts).rev() {
            let act = self.order[k];
            self.tail[act] = self.tail_after(act) + machines.length[act];
            self.longest = self.longest.max(self.head[act] + self.tail[act]);
        }
        true
    }

    pub(super) fn end(&self, act: usize) -> Minute {
        self.head[act] + self.machines.length[act]
    }

    /// The head that the waits alone give.
    pub(super) fn waits_head(&self, act: usize) -> Minute {
        let before = self.machines.before[act].iter();
        before.map(|&(b, gap)| self.end(b) + gap).fold(self.machines.floor[act], Minute::max)
    }

    fn head_of(&self, act: usize) -> Minute {
        self.waits_head(act).max(self.machine_before(act).map_or(Minute::MIN, |b| self.end(b)))
    }

    /// The way from the end of an activity that the waits alone give.
    pub(super) fn waits_tail(&self, act: usize) -> Minute {
        self.machines.after[act].iter().map(|&(a, gap)| gap + self.tail[a]).fold(0, Minute::max)
    }

    fn tail_after(&self, act: usize) -> Minute {
        self.waits_tail(act).max(self.machine_after(act).map_or(0, |a| self.tail[a]))
    }

    /// One critical path, cut into blocks that follow each other on a machine.
    pub(super) fn blocks(&self, chance: &mut Chance) -> Vec<Vec<usize>> {
        let critical = |act: usize| self.head[act] + self.tail[act] == self.longest;
        let mut firsts: Vec<usize> = (0..self.head.len())
            .filter(|&act| critical(act) && self.head[act] == self.machines.floor[act])
            .collect();
        let mut blocks: Vec<Vec<usize>> = Vec::new();
        let mut at = if firsts.is_empty() {
            None
        } else {
            Some(firsts.swap_remove(chance.below(firsts.len())))
        };
        let mut same = false;
        while let Some(act) = at {
            match blocks.last_mut() {
                Some(block) if same => block.push(act),
                _ => blocks.push(vec![act]),
            }
            let end = self.end(act);
            let on_machine =
                self.machine_after(act).filter(|&a| critical(a) && self.head[a] == end);
            let mut waiting = self.machines.after[act].iter();
            let by_wait = waiting
                .find(|&&(a, gap)| critical(a) && self.head[a] == end + gap)
                .map(|next| next.0);
            (at, same) = match (on_machine, by_wait) {
                (Some(a), Some(b)) if a != b && chance.below(2) == 0 => (Some(b), false),
                (Some(a), _) => (Some(a), true),
                (None, next) => (next, false),
            };
        }
        blocks
    }

    /// The length to expect on the ways through the activities between two places of a machine once the
    /// sequence there is `segment`.
    pub(super) fn estimate(&self, machine: usize, from: usize, segment: &[usize]) -> Minute {
        let sequence = &self.sequences[machine];
        let length = &self.machines.length;
        let mut last = from.checked_sub(1).map_or(Minute::MIN, |place| self.end(sequence[place]));
        let mut heads = Vec::with_capacity(segment.len());
        for &act in segment {
            let head = self.waits_head(act).max(last);
            heads.push(head);
            last = head + length[act];
        }
        let mut next = sequence.get(from + segment.len()).map_or(0, |&after| self.tail[after]);
        let mut longest = 0;
        for (&act, head) in segment.iter().zip(heads).rev() {
            next = self.waits_tail(act).max(next) + length[act];
            longest = longest.max(head + next);
        }
        longest
    }
}
