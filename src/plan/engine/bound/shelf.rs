//! Resources that holds choose among, with the holds that can go nowhere else.

use super::super::model::{Edge, Model};
use super::path::Paths;

/// Resources, how many units they have together, and the holds that can go nowhere else with theirs.
pub(super) struct Shelf {
    pub(super) rack: usize,
    pub(super) room: i64,
    pub(super) holds: Vec<(usize, i64)>,
}

/// For each set of resources named by a hold: by units, and by how many fit on each.
pub(super) fn shelves(model: &Model, paths: &Paths<'_>) -> Vec<Shelf> {
    let mut sets: Vec<&Vec<usize>> = model.holds.iter().map(|hold| &hold.any_of).collect();
    sets.sort();
    sets.dedup();
    let lasts = |hold: usize| match (model.holds[hold].from, model.holds[hold].to) {
        (Edge::Point(from, lead), Edge::Point(to, plus)) => {
            paths.way(from, to).is_some_and(|way| way + lead + plus > 0)
        }
        (Edge::At(at), Edge::Point(to, plus)) => paths.end[to] + plus > at,
        _ => false,
    };
    let mut shelves = Vec::new();
    for set in sets {
        let within = |hold: &usize| model.holds[*hold].any_of.iter().all(|rack| set.contains(rack));
        let holds: Vec<usize> =
            (0..model.holds.len()).filter(|hold| within(hold) && lasts(*hold)).collect();
        let units = |hold: usize| model.holds[hold].units;
        let least = holds.iter().map(|&hold| units(hold)).min().unwrap_or(0);
        let rack = set[0];
        let room = set.iter().map(|&rack| model.capacity[rack]).sum();
        shelves.push(Shelf { rack, room, holds: holds.iter().map(|&h| (h, units(h))).collect() });
        if least > 0 {
            let room = set.iter().map(|&rack| model.capacity[rack] / least).sum();
            shelves.push(Shelf { rack, room, holds: holds.iter().map(|&h| (h, 1)).collect() });
        }
    }
    shelves
}
