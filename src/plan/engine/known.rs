//! Where components were placed before, among the same others: a transposition table (Zobrist, *A New Hashing Method with
//! Application for Game Playing*, 1970).
//!
//! Orders a move apart have most components placed among the same ones, so that most places are known. What is placed is known
//! by its hash alone: a plan leaves the engine only through the check of all its constraints, whatever the hash.

use std::collections::BTreeMap;
use std::hash::{BuildHasher as _, Hash, Hasher as _};

use foldhash::quality::FixedState;

use super::model::Model;
use super::problem::Minute;
use super::schedule::Schedule;

/// The same hashes in every run, so that the same plan is found.
const HASHES: FixedState = FixedState::with_seed(0);

/// Places kept at most (a choice).
const MOST: usize = 1 << 16;

/// What came of placing components, and of shifting them, by what was placed then.
#[derive(Debug, Clone)]
pub(super) struct Known {
    outcomes: BTreeMap<u64, Outcome>,
    /// The hash of all that is placed now, in whatever order it was, and that of each component.
    placed: u64,
    places: Vec<u64>,
}

/// What is done with a component.
#[derive(Clone, Copy, Hash)]
enum Work {
    Place,
    Shift,
}

/// Where a component is afterwards.
#[derive(Debug, Clone)]
struct Outcome {
    /// Whether it was placed, or shifted.
    done: bool,
    at: Vec<(Minute, Minute)>,
    assigned: Vec<usize>,
    missed: Vec<bool>,
    /// What is still wanted of it.
    at_once: Vec<bool>,
    wanted: Vec<usize>,
}

impl Known {
    /// Nothing is known yet. None where places are found so quickly that it isn't worth keeping them: without modes.
    pub(super) fn of(model: &Model) -> Option<Self> {
        let places = vec![0; model.components.len()];
        let known = Self { outcomes: BTreeMap::new(), placed: 0, places };
        Some(known).filter(|_| !model.modes.is_empty())
    }

    /// Nothing is placed any more.
    pub(super) fn clear(&mut self) {
        self.placed = 0;
        self.places.fill(0);
    }

    fn keep(&mut self, asked: u64, outcome: Outcome) {
        if self.outcomes.len() >= MOST {
            self.outcomes.clear();
        }
        self.outcomes.insert(asked, outcome);
    }

    /// A component is in a place of this hash now.
    fn put(&mut self, index: usize, place: u64) {
        self.placed ^= place ^ std::mem::replace(&mut self.places[index], place);
    }
}

impl Schedule<'_> {
    /// As [`Schedule::place`] does, unless it is known what comes of it.
    pub(super) fn place_known(&mut self, index: usize, rank: &[usize]) -> bool {
        let holds = &self.model.components[index].holds;
        self.known_or(index, Work::Place, |plan, known| match known {
            None => plan.place(index, rank),
            Some(known) => {
                plan.take_outcome(index, known);
                if known.done {
                    for &hold in holds {
                        plan.stand(hold, -1);
                    }
                    plan.placed[index] = true;
                    plan.book(index, 1);
                }
                known.done
            }
        })
    }

    /// As [`Schedule::place_sooner`] does, unless it is known what comes of it.
    pub(super) fn place_sooner_known(&mut self, index: usize) -> bool {
        self.known_or(index, Work::Shift, |plan, known| match known {
            None => plan.place_sooner(index),
            Some(known) => {
                if known.done {
                    plan.book(index, -1);
                    plan.take_outcome(index, known);
                    plan.book(index, 1);
                }
                known.done
            }
        })
    }

    /// Does the work on a component: with what is known to come of it, or with nothing, and then what comes of it is kept.
    fn known_or(
        &mut self,
        index: usize,
        work: Work,
        go: impl FnOnce(&mut Self, Option<&Outcome>) -> bool,
    ) -> bool {
        let Some(mut known) = self.known.take() else { return go(self, None) };
        let asked = self.hash_of_asked(known.placed, work, index);
        // Of a contended component ranks decide, too.
        let ranked = self.model.components[index].contended;
        let outcome = known.outcomes.get(&asked).filter(|_| !ranked);
        let new = outcome.is_none();
        let done = go(self, outcome);
        if new && !ranked {
            known.keep(asked, self.outcome(index, done));
        }
        if done {
            known.put(index, self.hash_of_place(index));
        }
        self.known = Some(known);
        done
    }

    /// All that decides what comes of it: what is placed, and what is wanted of the component.
    fn hash_of_asked(&self, placed: u64, work: Work, index: usize) -> u64 {
        let component = &self.model.components[index];
        let mut hasher = HASHES.build_hasher();
        (placed, work, index).hash(&mut hasher);
        for &act in &component.acts {
            (self.at_once[act], self.put_off[act]).hash(&mut hasher);
        }
        for &hold in &component.holds {
            self.wanted[hold].hash(&mut hasher);
        }
        hasher.finish()
    }

    /// All that others may see of a component that is placed.
    fn hash_of_place(&self, index: usize) -> u64 {
        let component = &self.model.components[index];
        let mut hasher = HASHES.build_hasher();
        index.hash(&mut hasher);
        for &act in &component.acts {
            (self.start[act], self.end[act]).hash(&mut hasher);
        }
        for &hold in &component.holds {
            self.assigned[hold].hash(&mut hasher);
        }
        for &window in &component.windows {
            self.missed[window].hash(&mut hasher);
        }
        hasher.finish()
    }

    fn outcome(&self, index: usize, done: bool) -> Outcome {
        let component = &self.model.components[index];
        Outcome {
            done,
            at: self.places(index),
            assigned: component.holds.iter().map(|&hold| self.assigned[hold]).collect(),
            missed: component.windows.iter().map(|&window| self.missed[window]).collect(),
            at_once: component.acts.iter().map(|&act| self.at_once[act]).collect(),
            wanted: component.holds.iter().map(|&hold| self.wanted[hold]).collect(),
        }
    }

    fn take_outcome(&mut self, index: usize, outcome: &Outcome) {
        let component = &self.model.components[index];
        self.put(index, &outcome.at);
        for (&act, &at_once) in component.acts.iter().zip(&outcome.at_once) {
            self.at_once[act] = at_once;
        }
        for (&window, &missed) in component.windows.iter().zip(&outcome.missed) {
            self.miss(window, missed);
        }
        let resources = outcome.assigned.iter().zip(&outcome.wanted);
        for (&hold, (&assigned, &wanted)) in component.holds.iter().zip(resources) {
            (self.assigned[hold], self.wanted[hold]) = (assigned, wanted);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::compile::compile;
    use super::super::neighbourhood::{ActivityList, Pressing};
    use super::super::problem::{
        Activity, Hold, Job, Lag, Modal, OpenHours, Problem, Rate, Resource, Since, Soft, Until,
    };
    use super::super::random::Chance;
    use super::super::schedule::Schedule;
    use super::super::value::Aim;
    use super::Known;

    const MINUTE: i64 = 1_000_000_000;
    const RATES: [(usize, usize); 3] = [(1, 0), (2, 1), (3, 1)];

    /// Lots with a coat, a rest and another coat, hours between them; two racks to dry on, one to cure.
    fn shop(lots: i64) -> Problem {
        let resource = |capacity| Resource { name: String::new(), capacity };
        let open = (0..60).map(|day| (day * 24, day * 24 + 8)).collect();
        let rate = |steps| Rate { name: String::new(), steps };
        let mut problem = Problem {
            format: 1,
            now: Some(0),
            horizon: Some(60 * 24),
            calendars: vec![OpenHours { name: String::new(), open }],
            resources: [1, 6, 4, 9].map(resource).to_vec(),
            rates: vec![
                rate(vec![(0, MINUTE), (100, MINUTE / 2)]),
                rate(vec![(0, MINUTE / 3), (150, 2 * MINUTE)]),
            ],
            ..Problem::default()
        };
        for lot in 0..lots {
            add(&mut problem, lot);
        }
        problem
    }

    fn add(problem: &mut Problem, lot: i64) {
        let work = |duration, modal: Option<Modal>| Activity {
            name: String::new(),
            duration,
            calendar: modal.is_none().then_some(0),
            pausable: duration > 1,
            needs: if modal.is_none() && duration > 0 { vec![(0, 1)] } else { Vec::new() },
            earliest: None,
            latest: None,
            modal,
        };
        let first = problem.activities.len();
        let [coat, again, carry, cure, pack] = [0, 1, 2, 3, 4].map(|k| first + k);
        let (dry, on) = (problem.holds.len(), problem.holds.len() + 1);
        let on_rack = |holds| Some(Modal { holds, rates: RATES.to_vec(), passed: 0 });
        problem.activities.extend([
            work(2 + lot % 3, None),
            work(2, None),
            work(0, None),
            work(50 + 7 * lot, on_rack(vec![dry, on])),
            work(1, None),
        ]);
        let lag = |before, after| Lag { before: Some(before), after, ..Lag::default() };
        let soft = Some(Soft { extra: 3 });
        problem.lags.extend([
            Lag { min: Some(10), modal: on_rack(vec![dry]), ..lag(coat, again) },
            Lag { max: Some(5 + 4 * lot), soft, modal: on_rack(vec![dry]), ..lag(coat, again) },
            Lag { min: Some(5), modal: on_rack(vec![dry]), ..lag(again, carry) },
            Lag { min: Some(0), max: Some(0), ..lag(again, cure) },
            Lag { max: Some(0), ..lag(cure, carry) },
            Lag { min: Some(0), ..lag(carry, pack) },
            Lag { min: Some(0), ..lag(cure, pack) },
        ]);
        let hold = |any_of, since, end, follows| Hold {
            units: 1 + lot % 3,
            any_of,
            since,
            until: Until { end, plus: 0 },
            follows,
        };
        problem.holds.extend([
            hold(vec![1, 2], Since::Start(coat), carry, None),
            hold(vec![3], Since::Start(carry), cure, Some(dry)),
        ]);
        let due = Some(24 * (8 + 5 * lot));
        problem.jobs.push(Job { activities: (coat..=pack).collect(), due, ..Job::default() });
    }

    #[test]
    fn what_is_known_is_what_would_be_found() {
        let problem = shop(7);
        assert_eq!(problem.faults(), []);
        let model = compile(&problem);
        let aim = Aim::new(&problem, &model);
        let mut known = Schedule::knowing(&model, Known::of(&model));
        let mut found = Schedule::new(&model);
        let mut order = ActivityList::by(&model, |act| act);
        let pressing = Pressing { chain: Vec::new(), late: Vec::new(), date: |job| job.due };
        let (mut chance, mut missed) = (Chance::new(5), 0);
        for turn in 0..400 {
            order.disturb(&mut chance, &model, &aim.jobs, &pressing);
            assert_eq!(known.follow(&order), found.follow(&order), "{turn}");
            for shifted in [false, true] {
                if shifted {
                    known.shift_left();
                    found.shift_left();
                }
                let all = |plan: &Schedule<'_>| (plan.plan(), plan.end.clone());
                assert_eq!(all(&known), all(&found), "{turn}, shifted: {shifted}");
            }
            missed += found.missed.iter().filter(|&&missed| missed).count();
        }
        let known = known.known.map_or(0, |known| known.outcomes.len());
        assert!(known > 100 && known < 400 * model.components.len(), "{known}");
        assert!(missed > 0);
    }
}
