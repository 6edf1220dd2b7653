//! Is there a plan at all? Every way of putting activities that can't run together one behind the other.
//!
//! For problems of activities and waits alone. Among activities that want more of a resource than there
//! is at one moment, some one has to end before another starts (three intervals that meet pairwise meet
//! in one point); each such choice is tried, depth first (De Reyck, Herroelen 1998).

use super::model::Model;
use super::problem::Minute;

/// What came of trying every order.
pub(super) enum Tried {
    /// There is no plan; so many choices were looked into.
    Impossible(u64),
    /// These starts are a plan.
    Possible(Vec<Minute>),
    /// Too many choices.
    Unknown,
}

/// Whether the question can be asked of a model.
pub(super) fn applies(model: &Model) -> bool {
    model.holds.is_empty() && model.windows.is_empty()
}

/// Tries every order, looking into at most `most` choices.
pub(super) fn try_orders(model: &Model, most: u64) -> Tried {
    let mut out = vec![Vec::new(); model.real];
    for arc in model.arcs() {
        out[arc.from].push(*arc);
    }
    let trial = Trial { model, out };
    let all = (0..model.real).collect();
    let floors: Vec<Minute> = model.acts.iter().map(|act| act.floor).collect();
    let mut tried = 1;
    let Some(first) = trial.spread(floors, &[], all) else {
        return Tried::Impossible(tried);
    };
    let mut stack = vec![(first, Vec::new())];
    while let Some((starts, pairs)) = stack.pop() {
        let Some(set) = trial.conflict(&starts) else {
            return Tried::Possible(starts);
        };
        let mut choices = trial.choices(&starts, &set);
        // The last one pushed is looked into first: the one that ends first goes first.
        choices.reverse();
        for (first, second) in choices {
            tried += 1;
            if tried > most {
                return Tried::Unknown;
            }
            let mut more: Vec<(usize, usize)> = pairs.clone();
            more.push((first, second));
            if let Some(next) = trial.spread(starts.clone(), &more, vec![first]) {
                stack.push((next, more));
            }
        }
    }
    Tried::Impossible(tried)
}

struct Trial<'m> {
    model: &'m Model,
    out: Vec<Vec<super::model::Arc>>,
}

impl Trial<'_> {
    /// The least starts that keep the arcs and the pairs; `None` where there are none.
    fn spread(
        &self,
        mut starts: Vec<Minute>,
        pairs: &[(usize, usize)],
        mut raised: Vec<usize>,
    ) -> Option<Vec<Minute>> {
        let model = self.model;
        let mut ends = vec![0; starts.len()];
        for act in 0..starts.len() {
            (starts[act], ends[act]) = self.first(act, starts[act])?;
        }
        while let Some(act) = raised.pop() {
            let arcs = self.out[act].iter().map(|arc| {
                let point = if arc.from_end { ends[act] } else { starts[act] };
                (arc.to, model.asks(arc, point, model.acts[arc.to].length))
            });
            let behind = pairs.iter().filter(|pair| pair.0 == act).map(|pair| (pair.1, ends[act]));
            let asked: Vec<(usize, Minute)> = arcs.chain(behind).collect();
            for (to, least) in asked {
                if least > starts[to] {
                    (starts[to], ends[to]) = self.first(to, least)?;
                    raised.push(to);
                }
            }
        }
        Some(starts)
    }

    fn first(&self, act: usize, least: Minute) -> Option<(Minute, Minute)> {
        let model = self.model;
        let place = model.first(act, least, model.acts[act].length)?;
        (place.0 <= model.acts[act].ceiling && place.1 <= model.horizon).then_some(place)
    }

    /// Activities that run at one moment and together want more than there is, as few as can be.
    fn conflict(&self, starts: &[Minute]) -> Option<Vec<usize>> {
        let model = self.model;
        let end = |act: usize| {
            model
                .first(act, starts[act], model.acts[act].length)
                .map_or(starts[act], |place| place.1)
        };
        let mut moments: Vec<Minute> = starts.to_vec();
        moments.sort_unstable();
        moments.dedup();
        for moment in moments {
            for (resource, &capacity) in model.capacity.iter().enumerate() {
                let units = |act: usize| {
                    let needs = model.acts[act].needs.iter().filter(|need| need.0 == resource);
                    needs.map(|need| need.1).sum::<i64>()
                };
                let mut running: Vec<(i64, usize)> = (0..model.real)
                    .filter(|&act| starts[act] <= moment && moment < end(act) && units(act) > 0)
                    .map(|act| (units(act), act))
                    .collect();
                running.sort_unstable();
                let mut wanted = 0;
                let mut set = Vec::new();
                while let Some((units, act)) = running.pop() {
                    wanted += units;
                    set.push(act);
                    if wanted > capacity {
                        return Some(set);
                    }
                }
            }
        }
        None
    }

    /// Pairs of a set, of which the first may go before the second; the first that ends first.
    fn choices(&self, starts: &[Minute], set: &[usize]) -> Vec<(usize, usize)> {
        let mut choices = Vec::new();
        for &first in set {
            for &second in set {
                if first != second {
                    choices.push((first, second));
                }
            }
        }
        let model = self.model;
        choices.sort_by_key(|&(first, second)| {
            (starts[first] + model.acts[first].length - starts[second], first, second)
        });
        choices
    }
}
