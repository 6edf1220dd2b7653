//! How many pieces the lots still to start should have: a rack half used is the dearest thing in a shop.

use std::collections::BTreeSet;

use crate::craft::soak::Soak;
use crate::shop::join::HANDFUL;
use crate::shop::setup::{Recipe, Setup, StepWork};

/// Ways to part so many pieces into lots, each worth trying; all of one batch. Empty where there is nothing to start.
pub(crate) fn ways(setup: &Setup, recipe: &Recipe, pieces: u32) -> Vec<Vec<u32>> {
    if pieces == 0 {
        return vec![Vec::new()];
    }
    let slots = usable_slots(setup, recipe);
    let Some(&largest) = slots.first() else { return vec![vec![pieces]] };
    let mut ways = Vec::new();
    // A curing rack smaller than any of these may be the only one in a warm room.
    let all = setup.racks.iter().map(|rack| rack.slots);
    let distinct: BTreeSet<u32> = all.filter(|slots| *slots <= largest).collect();
    // One rack after the other, as they are.
    ways.push(filled(pieces, &slots));
    for size in distinct.iter().rev() {
        ways.push(filled(pieces, &[*size]));
        ways.push(even(pieces, *size));
    }
    if let Some(group) = group(setup, recipe).filter(|group| *group > 1 && *group < largest) {
        ways.push(filled(pieces, &[largest - largest % group]));
    }
    let mut tried = Vec::new();
    ways.retain(|way| {
        let new = !tried.contains(way);
        tried.push(way.clone());
        new
    });
    // A lot of a handful takes a soak, rags and a cure of its own: not where the others can take its pieces.
    let whole = |way: &Vec<u32>| way.iter().all(|lot| *lot > HANDFUL);
    if ways.iter().any(whole) {
        ways.retain(whole);
    }
    ways
}

/// The most pieces a lot of this recipe may have.
pub(crate) fn largest(setup: &Setup, recipe: &Recipe) -> u32 {
    usable_slots(setup, recipe).first().copied().unwrap_or(u32::MAX)
}

/// Slots of the racks a lot of this recipe could stand on, the largest first; no larger than any curing rack takes.
fn usable_slots(setup: &Setup, recipe: &Recipe) -> Vec<u32> {
    if recipe.first_coat().is_none() {
        return Vec::new();
    }
    let curing =
        setup.racks.iter().filter(|rack| rack.purpose.cures()).map(|rack| rack.slots).max();
    let cap = curing.unwrap_or(u32::MAX);
    let mut slots: Vec<u32> = setup
        .racks
        .iter()
        .filter(|rack| rack.purpose.dries())
        .map(|rack| rack.slots.min(cap))
        .collect();
    slots.sort_unstable_by(|a, b| b.cmp(a));
    slots
}

/// Lots of these sizes in turn until nothing is left.
fn filled(pieces: u32, sizes: &[u32]) -> Vec<u32> {
    let mut left = pieces;
    let mut lots = Vec::new();
    for size in sizes.iter().cycle() {
        if left == 0 || *size == 0 {
            break;
        }
        let lot = left.min(*size);
        lots.push(lot);
        left -= lot;
    }
    lots
}

/// As few lots as that size allows, as equal as can be.
fn even(pieces: u32, size: u32) -> Vec<u32> {
    let count = pieces.div_ceil(size.max(1));
    let (each, over) = (pieces / count, pieces % count);
    (0..count).map(|lot| each + u32::from(lot < over)).collect()
}

/// The most pieces in one soak group of any coat of the recipe.
fn group(setup: &Setup, recipe: &Recipe) -> Option<u32> {
    let groups = recipe.steps.iter().filter_map(|step| match &step.work {
        StepWork::Coat { finish, each, wipe } => {
            let soak = setup.finish(finish)?.soak;
            let (each, wipe) = (each.as_delta(), wipe.as_delta());
            let soak = Soak::careful(each, wipe, soak.min.as_delta(), soak.max.as_delta()).ok()?;
            Some(soak.most_in_a_group())
        }
        _ => None,
    });
    groups.min()
}
