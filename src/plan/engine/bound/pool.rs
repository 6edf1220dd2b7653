//! Resources that holds choose among, with the holds that can go nowhere else.

use super::super::model::{Edge, Model};
use super::path::Paths;

/// Resources, how many units they have together, and the holds that can go nowhere else with theirs.
pub(super) struct Pool {
    pub(super) assigned: usize,
    pub(super) room: i64,
    pub(super) holds: Vec<(usize, i64)>,
}

/// For each set of resources named by a hold: by units, and by how many fit on each.
pub(super) fn pools(model: &Model, paths: &Paths<'_>) -> Vec<Pool> {
    let mut sets: Vec<&Vec<usize>> = model.holds.iter().map(|hold| &hold.any_of).collect();
    sets.sort();
    sets.dedup();
    let lasts = |hold: usize| match (model.holds[hold].from, model.holds[hold].to) {
        // It may stay on the resource of the hold before.
        _ if model.holds[hold].follows.is_some() => false,
        (Edge::Point(from, lead), Edge::Point(to, plus)) => {
            paths.way(from, to).is_some_and(|way| way + lead + plus > 0)
        }
        (Edge::At(at), Edge::Point(to, plus)) => paths.end[to] + plus > at,
        _ => false,
    };
    let mut pools = Vec::new();
    for set in sets {
        let within =
            |hold: &usize| model.holds[*hold].any_of.iter().all(|assigned| set.contains(assigned));
        let holds: Vec<usize> =
            (0..model.holds.len()).filter(|hold| within(hold) && lasts(*hold)).collect();
        let units = |hold: usize| model.holds[hold].units;
        let least = holds.iter().map(|&hold| units(hold)).min().unwrap_or(0);
        let assigned = set[0];
        let room = set.iter().map(|&assigned| model.capacity[assigned]).sum();
        pools.push(Pool { assigned, room, holds: holds.iter().map(|&h| (h, units(h))).collect() });
        if least > 0 {
            let room = set.iter().map(|&assigned| model.capacity[assigned] / least).sum();
            pools.push(Pool { assigned, room, holds: holds.iter().map(|&h| (h, 1)).collect() });
        }
    }
    pools
}
