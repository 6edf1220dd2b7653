//! What has to be placed together: activities tied to each other by longest waits and holds.

use super::model::{Act, Arc, Component, Edge, Guard, Model, NONE};
use super::problem::Minute;

/// Rounds after which an order that is only a help is good enough.
const MOST_ROUNDS: usize = 2_000;

/// Finds the components of a model and sorts the arcs to them.
pub(super) fn tie(model: &mut Model, arcs: &[Arc]) {
    let count = model.acts.len();
    let mut next = vec![Vec::new(); count];
    for arc in arcs {
        next[arc.from].push(arc.to);
    }
    for hold in &model.holds {
        if let (Edge::Point(a, _), Edge::Point(b, _)) = (hold.from, hold.to) {
            next[a].push(b);
            next[b].push(a);
        }
    }
    // What a mode decides is placed with the holds that choose it.
    for (mode, act) in by_mode(model, arcs) {
        for &hold in &model.modes[mode].holds {
            if let Edge::Point(last, _) = model.holds[hold].to {
                next[act].push(last);
                next[last].push(act);
            }
        }
    }
    model.component_of = components(&next);
    together(model);
    let components = model.component_of.iter().max().map_or(0, |&last| last + 1);
    model.components = vec![Component::default(); components];
    sort_arcs(model, arcs);
    for act in order(model) {
        model.components[model.component_of[act]].acts.push(act);
    }
    for (index, hold) in model.holds.iter().enumerate() {
        if let Edge::Point(act, _) = hold.to {
            model.components[model.component_of[act]].holds.push(index);
        }
    }
    for (index, window) in model.windows.iter().enumerate() {
        model.components[model.component_of[window.after]].windows.push(index);
    }
    for index in 0..components {
        let contended = is_contended(model, &model.components[index]);
        let real = model.real;
        let component = &mut model.components[index];
        component.contended = contended;
        let fixed = |act: usize| model.acts[act].floor >= model.acts[act].ceiling;
        component.given = component.acts.iter().all(|&act| act >= real || fixed(act));
        component.begun =
            component.acts.iter().any(|&act| model.acts[act].modal.is_some() && fixed(act));
        component.entries = if contended {
            component.acts.iter().copied().filter(|&a| a < real).collect()
        } else {
            component.acts.iter().copied().find(|&a| a < real).into_iter().collect()
        };
    }
    count_waits(model);
    model.ways = ways(model);
    model.puts_off = model.components.iter().map(|component| puts_off(model, component)).collect();
}

/// The least way from each activity's start to the last end of its component, by lengths and shortest waits alone.
fn ways(model: &Model) -> Vec<Minute> {
    let mut ways: Vec<Minute> = model.acts.iter().map(|act| act.length.max(0)).collect();
    let after = model.components.iter().flat_map(|component| component.acts.iter().rev());
    for &to in after {
        let always = |arc: &&Arc| arc.guard == Guard::Always && !arc.to_end;
        for arc in model.inner[to].iter().filter(always) {
            let length = if arc.from_end { model.acts[arc.from].length } else { 0 };
            let way = length.saturating_add(arc.gap).saturating_add(ways[to]);
            ways[arc.from] = ways[arc.from].max(way);
        }
    }
    ways
}

/// The modes with the activities whose places they decide.
fn by_mode(model: &Model, arcs: &[Arc]) -> Vec<(usize, usize)> {
    let lengths = model.acts.iter().enumerate().filter_map(|(act, own)| Some((own.modal?, act)));
    let waits = arcs.iter().filter_map(|arc| Some((arc.modal?, arc.to)));
    lengths.chain(waits).collect()
}

/// Where only activities and waits are tied, with no hours or holds, everything is one component: then an
/// activity can go between those of another component (Franck, Neumann, Schwindt 2001).
fn together(model: &mut Model) {
    let alone =
        model.component_of.iter().max().map_or(0, |&last| last + 1) == model.component_of.len();
    if !alone && model.calendars.is_empty() && model.holds.is_empty() && model.windows.is_empty() {
        model.component_of.fill(0);
    }
}

/// Puts each arc with the activity it leads into.
pub(super) fn sort_arcs(model: &mut Model, arcs: &[Arc]) {
    model.inner = vec![Vec::new(); model.acts.len()];
    model.outer = vec![Vec::new(); model.acts.len()];
    for arc in arcs {
        let inside = model.component_of[arc.from] == model.component_of[arc.to];
        let into = if inside { &mut model.inner } else { &mut model.outer };
        into[arc.to].push(*arc);
    }
    wakes(model);
}

/// Notes for each activity those of its component whose places it bears on, itself among them.
fn wakes(model: &mut Model) {
    model.wakes = (0..model.acts.len()).map(|act| vec![act]).collect();
    for arc in model.inner.iter().flatten() {
        model.wakes[arc.from].push(arc.to);
    }
    for (act, &transfer) in model.transfers.iter().enumerate() {
        let aged = |own: &Act| {
            let holds = |mode: usize| model.modes[mode].holds.contains(&transfer);
            transfer != NONE && own.modal.is_some_and(holds)
        };
        let all = model.acts.iter().enumerate().filter(|(_, own)| aged(own));
        model.wakes[act].extend(all.map(|(other, _)| other));
    }
    for woken in &mut model.wakes {
        woken.sort_unstable();
        woken.dedup();
    }
}

/// Counts which components wait for which.
pub(super) fn count_waits(model: &mut Model) {
    for to in 0..model.acts.len() {
        for k in 0..model.outer[to].len() {
            let (from, to) = (model.component_of[model.outer[to][k].from], model.component_of[to]);
            model.components[from].next.push(to);
        }
    }
    for index in 0..model.components.len() {
        let mut next = std::mem::take(&mut model.components[index].next);
        next.sort_unstable();
        next.dedup();
        for &after in &next {
            model.components[after].waits_for += 1;
        }
        model.components[index].next = next;
    }
}

/// Strongly connected components (Kosaraju's two walks), without recursion.
fn components(next: &[Vec<usize>]) -> Vec<usize> {
    const UNSEEN: usize = usize::MAX;
    let count = next.len();
    let mut back = vec![Vec::new(); count];
    for (from, targets) in next.iter().enumerate() {
        for &to in targets {
            back[to].push(from);
        }
    }
    let mut finished = Vec::with_capacity(count);
    let mut seen = vec![false; count];
    for root in 0..count {
        let mut stack = vec![(root, 0)];
        while let Some((at, k)) = stack.pop() {
            if k == 0 && std::mem::replace(&mut seen[at], true) {
                continue;
            }
            if let Some(&to) = next[at].get(k) {
                stack.push((at, k + 1));
                if !seen[to] {
                    stack.push((to, 0));
                }
            } else {
                finished.push(at);
            }
        }
    }
    let mut component = vec![UNSEEN; count];
    let mut found = 0;
    for &root in finished.iter().rev() {
        if component[root] != UNSEEN {
            continue;
        }
        let mut stack = vec![root];
        while let Some(at) = stack.pop() {
            if component[at] == UNSEEN {
                component[at] = found;
                stack.extend(back[at].iter().filter(|&&to| component[to] == UNSEEN));
            }
        }
        found += 1;
    }
    component
}

/// All activities by the minute the arcs alone allow, so that each comes after those it waits for.
fn order(model: &Model) -> Vec<usize> {
    let starts = right_shifted(model);
    let mut order: Vec<usize> = (0..model.acts.len()).collect();
    // An extra of no length stands between what it waits for and the activity it precedes.
    let late = |act: usize| usize::from(model.extra_of[act] != NONE);
    order.sort_by_key(|&act| (starts[act], late(act), act));
    order
}

/// The least starts that the forward arcs and durations allow, without hours or resources.
fn right_shifted(model: &Model) -> Vec<Minute> {
    let mut starts: Vec<Minute> = model.acts.iter().map(|act| act.floor).collect();
    for _ in 0..=model.acts.len().min(MOST_ROUNDS) {
        let mut changed = false;
        for arc in model.arcs() {
            let end = |act: usize| starts[act] + model.acts[act].length;
            let point = if arc.from_end { end(arc.from) } else { starts[arc.from] } + arc.gap;
            let wanted = if arc.to_end { point - model.acts[arc.to].length } else { point };
            if wanted > starts[arc.to] {
                starts[arc.to] = wanted;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    starts
}

/// Whether a transfer of the component may lead to where time counts differently.
fn puts_off(model: &Model, component: &Component) -> bool {
    let transfers = component.acts.iter().map(|&act| model.transfers[act]);
    transfers.filter(|&to| to != NONE).any(|to| {
        let from = model.holds[to].follows.unwrap_or(to);
        let alike = |&on: &usize, &next: &usize| model.counts_alike((from, on), (to, next));
        let of = |hold: usize| &model.holds[hold].any_of;
        !of(from).iter().all(|on| of(to).iter().all(|next| alike(on, next)))
    })
}

/// Whether two activities of the component may want the same resource at once.
fn is_contended(model: &Model, component: &Component) -> bool {
    let held = |resource: usize| {
        component.holds.iter().any(|&hold| model.holds[hold].any_of.contains(&resource))
    };
    for (k, &a) in component.acts.iter().enumerate() {
        if model.acts[a].needs.iter().any(|&(r, _)| held(r)) {
            return true;
        }
        for &b in &component.acts[..k] {
            let shared = model.acts[a]
                .needs
                .iter()
                .any(|&(r, _)| model.acts[b].needs.iter().any(|&(s, _)| s == r));
            if shared && !follows(model, component, b, a) {
                return true;
            }
        }
    }
    false
}

/// Whether arcs inside the component make `b` start after `a` has ended.
fn follows(model: &Model, component: &Component, a: usize, b: usize) -> bool {
    let mut after = vec![a];
    for &act in &component.acts {
        let waits =
            |arc: &Arc| arc.from_end && !arc.to_end && arc.gap >= 0 && after.contains(&arc.from);
        if act != a && model.inner[act].iter().any(waits) {
            after.push(act);
        }
    }
    after.contains(&b)
}
