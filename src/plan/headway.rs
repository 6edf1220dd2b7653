//! Long work: how far it is, and work shared out over threads.

use std::num::NonZero;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use crate::plan::engine::Progress;

/// Is told how much is done and of how much, by whichever thread, and says whether to go on.
pub(crate) type Watch<'w> = &'w (dyn Fn(u64, u64) -> bool + Sync);

/// Threads at most: there are few ways to try, and the machine has other things to do.
const MOST_THREADS: usize = 8;

/// How far a piece of work is.
pub(super) struct Headway<'w> {
    watch: Watch<'w>,
    done: AtomicU64,
    of: u64,
    stopped: AtomicBool,
}

impl<'w> Headway<'w> {
    /// At the beginning of so much.
    pub(super) const fn new(watch: Watch<'w>, of: u64) -> Self {
        let (done, stopped) = (AtomicU64::new(0), AtomicBool::new(false));
        Self { watch, done, of, stopped }
    }

    /// So much more is done; says whether to go on.
    pub(super) fn more(&self, by: u64) -> bool {
        let done = self.done.fetch_add(by, Ordering::Relaxed).saturating_add(by);
        let goes_on = (self.watch)(done.min(self.of), self.of);
        self.stopped.fetch_or(!goes_on, Ordering::Relaxed);
        goes_on
    }

    /// Whether it was told not to go on.
    pub(super) fn stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    /// What the engine tells of one search, as a part of the whole.
    pub(super) fn of_search(&self) -> impl FnMut(&Progress<'_>) -> bool {
        let mut before = 0;
        move |progress| {
            // A search that begins again counts from nothing.
            let by = progress.evaluations.checked_sub(before).unwrap_or(progress.evaluations);
            before = progress.evaluations;
            self.more(by)
        }
    }
}

/// The outcomes of `work` for the numbers below `count`, in their order; the same whatever the number of threads.
pub(super) fn side_by_side<R: Send>(count: usize, work: impl Fn(usize) -> R + Sync) -> Vec<R> {
    let next = AtomicU64::new(0);
    let share = || {
        let number = || usize::try_from(next.fetch_add(1, Ordering::Relaxed)).ok();
        std::iter::from_fn(|| number().filter(|number| *number < count))
            .map(|number| (number, work(number)))
            .collect::<Vec<_>>()
    };
    let threads = std::thread::available_parallelism().map_or(1, NonZero::get);
    let others = threads.min(MOST_THREADS).min(count).saturating_sub(1);
    let mut outcomes = std::thread::scope(|scope| {
        let others: Vec<_> = (0..others).map(|_| scope.spawn(share)).collect();
        let mut outcomes = share();
        for other in others {
            match other.join() {
                Ok(more) => outcomes.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        outcomes
    });
    outcomes.sort_unstable_by_key(|(number, _)| *number);
    outcomes.into_iter().map(|(_, outcome)| outcome).collect()
}
