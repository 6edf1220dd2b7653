//! Problems of machines alone, where each activity takes the whole of at most one resource: tabu search
//! over the sequences (Nowicki, Smutnicki 1996; moves and estimates of Balas, Vazacopoulos 1998).
//!
//! A plan is a sequence a machine; the longest way through waits and sequences is its length. Within a
//! block of the critical path an activity is moved behind the last or before the first of the block.

use super::model::{Guard, Model, NONE};
use super::problem::Minute;
use super::profile::FAR;
use super::random::Chance;

/// Larger problems are left to the general search.
const MOST_ACTS: usize = 1_500;
/// Moves without a better plan after which the search goes back to the best one and shakes it.
const PATIENCE: u64 = 3_000;

/// The waits of a problem of machines.
pub(super) struct Machines {
    length: Vec<Minute>,
    floor: Vec<Minute>,
    machine: Vec<usize>,
    before: Vec<Vec<(usize, Minute)>>,
    after: Vec<Vec<(usize, Minute)>>,
    count: usize,
}

impl Machines {
    /// The problem, if it is of this kind.
    pub(super) fn of(model: &Model) -> Option<Self> {
        let acts = model.real;
        let plain =
            model.calendars.is_empty() && model.holds.is_empty() && model.windows.is_empty();
        let whole = |act: usize| match &model.acts[act].needs[..] {
            [] => true,
            &[(resource, units)] => units > model.capacity[resource] / 2,
            _ => false,
        };
        let open = |act: usize| model.acts[act].ceiling >= FAR;
        let chained = model
            .arcs()
            .all(|arc| arc.from_end && !arc.to_end && arc.gap >= 0 && arc.guard == Guard::Always);
        let alone = model.items.iter().all(|item| item.acts.len() == 1);
        if !plain
            || !chained
            || !alone
            || acts > MOST_ACTS
            || !(0..acts).all(|a| whole(a) && open(a))
        {
            return None;
        }
        let (mut before, mut after) = (vec![Vec::new(); acts], vec![Vec::new(); acts]);
        for arc in model.arcs() {
            before[arc.to].push((arc.from, arc.gap));
            after[arc.from].push((arc.to, arc.gap));
        }
        Some(Self {
            length: model.acts.iter().map(|act| act.length).collect(),
            floor: model.acts.iter().map(|act| act.floor).collect(),
            machine: model
                .acts
                .iter()
                .map(|act| act.needs.first().map_or(NONE, |need| need.0))
                .collect(),
            before,
            after,
            count: model.capacity.len(),
        })
    }

    /// Improves the starts of a plan with so many moves; stops at `enough`. `watch` is told the moves
    /// made and the best length, and says whether to go on.
    pub(super) fn improve(
        &self,
        starts: &[Minute],
        moves: u64,
        enough: Minute,
        chance: &mut Chance,
        watch: &mut dyn FnMut(u64, Minute) -> bool,
    ) -> (Vec<Minute>, u64) {
        let mut order: Vec<usize> = (0..starts.len()).collect();
        order.sort_by_key(|&act| (starts[act], starts[act] + self.length[act], act));
        let mut sequences = vec![Vec::new(); self.count];
        for act in order {
            if self.machine[act] != NONE {
                sequences[self.machine[act]].push(act);
            }
        }
        let mut tabu = Tabu {
            machines: self,
            ways: Ways::new(self, sequences),
            until: vec![0; starts.len() * starts.len()],
            clock: 0,
        };
        tabu.ways.measure();
        let mut best = tabu.ways.clone();
        let (mut spent, mut idle) = (0, 0);
        while spent < moves && best.longest > enough {
            if spent % 256 == 0 && !watch(spent, best.longest) {
                break;
            }
            spent += 1;
            idle += 1;
            if !tabu.step(best.longest, chance) {
                break;
            }
            if tabu.ways.longest < best.longest {
                best.clone_from(&tabu.ways);
                idle = 0;
            } else if idle % PATIENCE == 0 {
                tabu.ways.clone_from(&best);
                tabu.until.fill(0);
                for _ in 0..=chance.below(8) {
                    tabu.shake(chance);
                }
            }
        }
        (best.head, spent)
    }
}

/// Sequences and the longest ways through them.
#[derive(Clone)]
struct Ways<'m> {
    machines: &'m Machines,
    sequences: Vec<Vec<usize>>,
    place: Vec<usize>,
    /// Earliest start of each activity.
    head: Vec<Minute>,
    /// The longest way from each activity's start to the end.
    tail: Vec<Minute>,
    longest: Minute,
    order: Vec<usize>,
}

impl<'m> Ways<'m> {
    fn new(machines: &'m Machines, sequences: Vec<Vec<usize>>) -> Self {
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

    fn count(&mut self, machine: usize) {
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
    fn measure(&mut self) -> bool {
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

    fn end(&self, act: usize) -> Minute {
        self.head[act] + self.machines.length[act]
    }

    /// The head that the waits alone give.
    fn waits_head(&self, act: usize) -> Minute {
        let before = self.machines.before[act].iter();
        before.map(|&(b, gap)| self.end(b) + gap).fold(self.machines.floor[act], Minute::max)
    }

    fn head_of(&self, act: usize) -> Minute {
        self.waits_head(act).max(self.machine_before(act).map_or(Minute::MIN, |b| self.end(b)))
    }

    /// The way from the end of an activity that the waits alone give.
    fn waits_tail(&self, act: usize) -> Minute {
        self.machines.after[act].iter().map(|&(a, gap)| gap + self.tail[a]).fold(0, Minute::max)
    }

    fn tail_after(&self, act: usize) -> Minute {
        self.waits_tail(act).max(self.machine_after(act).map_or(0, |a| self.tail[a]))
    }

    /// One critical path, cut into blocks that follow each other on a machine.
    fn blocks(&self, chance: &mut Chance) -> Vec<Vec<usize>> {
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
    fn estimate(&self, machine: usize, from: usize, segment: &[usize]) -> Minute {
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

/// A move: what stands at one place of a machine goes to another.
#[derive(Clone, Copy)]
struct Shift {
    machine: usize,
    from: usize,
    to: usize,
}

struct Tabu<'m> {
    machines: &'m Machines,
    ways: Ways<'m>,
    /// For each pair, until when the first may not be put before the second again.
    until: Vec<u64>,
    clock: u64,
}

impl Tabu<'_> {
    /// One move; false where the critical path leaves none, so that the plan can't be shorter.
    fn step(&mut self, best: Minute, chance: &mut Chance) -> bool {
        self.clock += 1;
        let blocks = self.ways.blocks(chance);
        let moves = self.moves(&blocks);
        if moves.is_empty() {
            return blocks.iter().any(|block| block.len() > 1);
        }
        let mut chosen: Option<(Minute, Shift)> = None;
        let mut ties = 0;
        for &shift in &moves {
            let estimate = self.estimate(shift);
            if self.forbidden(shift) && estimate >= best {
                continue;
            }
            match chosen {
                Some((least, _)) if estimate > least => {}
                Some((least, _)) if estimate == least => {
                    ties += 1;
                    if chance.below(ties + 1) == 0 {
                        chosen = Some((estimate, shift));
                    }
                }
                _ => {
                    chosen = Some((estimate, shift));
                    ties = 0;
                }
            }
        }
        let shift = chosen.map_or_else(|| moves[chance.below(moves.len())], |(_, shift)| shift);
        self.make(shift, chance);
        true
    }

    /// The moves within the blocks that surely contradict no wait.
    fn moves(&self, blocks: &[Vec<usize>]) -> Vec<Shift> {
        let ways = &self.ways;
        let mut moves = Vec::new();
        for block in blocks.iter().filter(|block| block.len() > 1) {
            let machine = self.machines.machine[block[0]];
            let (first, last) = (block[0], block[block.len() - 1]);
            for (k, &act) in block.iter().enumerate() {
                let from = ways.place[act];
                let behind = k + 1 < block.len() && ways.tail[last] >= ways.waits_tail(act);
                if behind || k + 2 == block.len() {
                    moves.push(Shift { machine, from, to: ways.place[last] });
                }
                let ahead = k > 0 && ways.end(first) >= ways.waits_head(act);
                if (ahead && block.len() > 2) || (k == 1 && block.len() > 2) {
                    moves.push(Shift { machine, from, to: ways.place[first] });
                }
            }
        }
        moves
    }

    /// The activities between the two places, in the order after the move.
    fn segment(&self, shift: Shift) -> (usize, Vec<usize>) {
        let (low, high) = (shift.from.min(shift.to), shift.from.max(shift.to));
        let mut segment = self.ways.sequences[shift.machine][low..=high].to_vec();
        if shift.from < shift.to {
            segment.rotate_left(1);
        } else {
            segment.rotate_right(1);
        }
        (low, segment)
    }

    fn estimate(&self, shift: Shift) -> Minute {
        let (low, segment) = self.segment(shift);
        self.ways.estimate(shift.machine, low, &segment)
    }

    /// The pairs a move puts the other way round: first and second as they will be.
    fn turned(&self, shift: Shift) -> Vec<(usize, usize)> {
        let sequence = &self.ways.sequences[shift.machine];
        let act = sequence[shift.from];
        if shift.from < shift.to {
            sequence[shift.from + 1..=shift.to].iter().map(|&other| (other, act)).collect()
        } else {
            sequence[shift.to..shift.from].iter().map(|&other| (act, other)).collect()
        }
    }

    fn forbidden(&self, shift: Shift) -> bool {
        let acts = self.machines.length.len();
        self.turned(shift)
            .iter()
            .any(|&(first, second)| self.until[first * acts + second] > self.clock)
    }

    fn make(&mut self, shift: Shift, chance: &mut Chance) {
        let acts = self.machines.length.len();
        let sequence = self.ways.sequences[shift.machine].len();
        let tenure = 10 + sequence / self.machines.count.max(1);
        let tenure = u64::try_from(tenure + chance.below(tenure / 2 + 1)).unwrap_or(10);
        for (first, second) in self.turned(shift) {
            self.until[second * acts + first] = self.clock + tenure;
        }
        self.apply(shift);
        if !self.ways.measure() {
            self.apply(Shift { from: shift.to, to: shift.from, ..shift });
            self.ways.measure();
        }
    }

    fn apply(&mut self, shift: Shift) {
        let sequence = &mut self.ways.sequences[shift.machine];
        let act = sequence.remove(shift.from);
        sequence.insert(shift.to, act);
        self.ways.count(shift.machine);
    }

    /// Turns a random critical pair round.
    fn shake(&mut self, chance: &mut Chance) {
        let blocks = self.ways.blocks(chance);
        let long: Vec<&Vec<usize>> = blocks.iter().filter(|block| block.len() > 1).collect();
        if long.is_empty() {
            return;
        }
        let block = long[chance.below(long.len())];
        let k = chance.below(block.len() - 1);
        let (from, machine) = (self.ways.place[block[k]], self.machines.machine[block[k]]);
        self.make(Shift { machine, from, to: from + 1 }, chance);
    }
}
