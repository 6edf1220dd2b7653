//! Problems of machines alone, where each activity takes the whole of at most one resource: tabu search
//! over the sequences (Nowicki, Smutnicki 1996; moves and estimates of Balas, Vazacopoulos 1998).
//!
//! A plan is a sequence a machine; the longest way through waits and sequences is its length. Within a
//! block of the critical path an activity is moved behind the last or before the first of the block.

use super::disjunctive::DisjunctiveGraph;
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
    pub(super) length: Vec<Minute>,
    pub(super) floor: Vec<Minute>,
    pub(super) machine: Vec<usize>,
    pub(super) before: Vec<Vec<(usize, Minute)>>,
    pub(super) after: Vec<Vec<(usize, Minute)>>,
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
        let alone = model.components.iter().all(|component| component.acts.len() == 1);
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
            ways: DisjunctiveGraph::new(self, sequences),
            until: vec![0; starts.len() * starts.len()],
            clock: 0,
        };
        tabu.ways.measure();
        let mut best = tabu.ways.clone();
        let (mut spent, mut waiting_time) = (0, 0);
        while spent < moves && best.longest > enough {
            if spent % 256 == 0 && !watch(spent, best.longest) {
                break;
            }
            spent += 1;
            waiting_time += 1;
            if !tabu.step(best.longest, chance) {
                break;
            }
            if tabu.ways.longest < best.longest {
                best.clone_from(&tabu.ways);
                waiting_time = 0;
            } else if waiting_time % PATIENCE == 0 {
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

/// A move: what stands at one place of a machine goes to another.
#[derive(Clone, Copy)]
struct Shift {
    machine: usize,
    from: usize,
    to: usize,
}

struct Tabu<'m> {
    machines: &'m Machines,
    ways: DisjunctiveGraph<'m>,
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
