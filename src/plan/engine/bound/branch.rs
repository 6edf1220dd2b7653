//! A bound by branching on which hold gives way to which.
//!
//! With hands left out, a plan is bound by its resources: of holds that at one moment want more than their
//! resources have together, some one has to end before another begins. Each such choice is a branch; its
//! paths give a bound, and the least bound among the branches not looked into holds for every plan. The
//! branch with the least bound is looked into first, up to a number of branches, so that it can stop
//! anywhere.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::super::model::{Arc, Edge, Guard, Model};
use super::super::problem::Minute;
use super::super::value::{Aim, Dated};
use super::path::Paths;
use super::pool::{Pool, pools};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    WeightedTardiness,
    Makespan,
}

/// The least bound among `most` branches, and a resource whose holds gave way; stops at `enough`.
pub(super) fn branch(
    model: &Model,
    aim: &Aim,
    paths: &Paths<'_>,
    wanted: Wanted,
    enough: i64,
    most: u64,
) -> (i64, Option<usize>) {
    let tree = Tree { model, aim, paths, wanted, pools: pools(model, paths) };
    let root = Node { starts: paths.start.clone(), ends: paths.end.clone(), pairs: Vec::new() };
    let mut open = BinaryHeap::from([Reverse((tree.bound(&root), 0_usize))]);
    let mut nodes = vec![Some(root)];
    let (mut looked, mut resource) = (0, None);
    while let Some(&Reverse((bound, index))) = open.peek() {
        let Some(node) = nodes[index].as_ref().filter(|_| bound < enough && looked < most) else {
            return (bound.min(enough), resource);
        };
        looked += 1;
        let Some((assigned, set)) = tree.conflict(node) else { return (bound, resource) };
        resource = Some(assigned);
        let next: Vec<Node> = tree.choices(node, &set);
        nodes[index] = None;
        open.pop();
        for node in next {
            open.push(Reverse((tree.bound(&node).max(bound), nodes.len())));
            nodes.push(Some(node));
        }
    }
    // Every branch came to nothing: no plan that keeps these windows exists, and none is better.
    (enough, resource)
}

/// Earliest minutes, and the pairs of holds put one behind the other.
struct Node {
    starts: Vec<Minute>,
    ends: Vec<Minute>,
    pairs: Vec<Arc>,
}

struct Tree<'a> {
    model: &'a Model,
    aim: &'a Aim,
    paths: &'a Paths<'a>,
    wanted: Wanted,
    pools: Vec<Pool>,
}

impl Tree<'_> {
    fn bound(&self, node: &Node) -> i64 {
        match self.wanted {
            Wanted::Makespan => node.ends.iter().copied().max().unwrap_or(0),
            Wanted::WeightedTardiness => {
                let end = |job: &Dated| job.acts.iter().map(|&act| node.ends[act]).max();
                let ends = self.aim.jobs.iter().map(|job| end(job).unwrap_or(0));
                self.aim.tardiness(&ends.collect::<Vec<_>>())
            }
        }
    }

    fn span(&self, node: &Node, hold: usize) -> (Minute, Minute) {
        let point = |edge: Edge, end: bool| match edge {
            Edge::At(at) => at,
            Edge::Point(act, plus) if end => node.ends[act] + plus,
            Edge::Point(act, lead) => node.starts[act] - lead,
        };
        (point(self.model.holds[hold].from, false), point(self.model.holds[hold].to, true))
    }

    /// Holds that last at one moment and together want more than there is, as few as can be.
    fn conflict(&self, node: &Node) -> Option<(usize, Vec<usize>)> {
        for pool in &self.pools {
            let spans: Vec<_> = pool
                .holds
                .iter()
                .map(|&(hold, units)| (self.span(node, hold), hold, units))
                .collect();
            for &((moment, _), ..) in &spans {
                let mut lasting: Vec<(i64, usize)> = spans
                    .iter()
                    .filter(|&&((from, to), ..)| from <= moment && moment < to)
                    .map(|&(_, hold, units)| (units, hold))
                    .collect();
                if lasting.iter().map(|&(units, _)| units).sum::<i64>() <= pool.room {
                    continue;
                }
                lasting.sort_unstable();
                let mut wanted = 0;
                let mut set = Vec::new();
                while let Some((units, hold)) = lasting.pop().filter(|_| wanted <= pool.room) {
                    wanted += units;
                    set.push(hold);
                }
                return Some((pool.assigned, set));
            }
        }
        None
    }

    /// The node with one pair of the set put in order, for each pair that allows it.
    fn choices(&self, node: &Node, set: &[usize]) -> Vec<Node> {
        let mut nodes = Vec::new();
        for &first in set {
            for &second in set.iter().filter(|&&second| second != first) {
                let (to, from) = (self.model.holds[first].to, self.model.holds[second].from);
                let (Edge::Point(before, plus), Edge::Point(after, lead)) = (to, from) else {
                    continue;
                };
                let mut pairs = node.pairs.clone();
                pairs.push(Arc {
                    from: before,
                    from_end: true,
                    to: after,
                    to_end: false,
                    gap: plus + lead,
                    modal: None,
                    open: None,
                    guard: Guard::Always,
                });
                let (starts, ends) = (node.starts.clone(), node.ends.clone());
                if let Some((starts, ends)) = self.paths.spread_with(&pairs, before, starts, ends) {
                    nodes.push(Node { starts, ends, pairs });
                }
            }
        }
        nodes
    }
}
