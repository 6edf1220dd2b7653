//! What a wait rests on, where that is less than a sheet: a time that the finish's class supplied, or a finish that does
//! not cure at all. Shown wherever the time is.

use crate::shop::refusal::Wait;
use crate::shop::setup::Finish;
use crate::shop::{Lot, Shop};

/// What a wait rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Origin {
    /// "common practice": the mark of the class that supplied the time; none where the setup's own file gives it.
    pub(crate) from_class: Option<String>,
    /// The finish, where its cure time is a rest because nothing in it cures.
    pub(crate) only_rests: Option<String>,
}

impl Shop {
    /// What a wait of a lot rests on.
    pub(crate) fn origin(&self, lot: &Lot, wait: Wait) -> Origin {
        let setup = self.setup.as_ref();
        let last = lot.last_coat().and_then(|done| done.coat.as_ref());
        let next = lot.next_step().and_then(|(_, step)| step.coat());
        let (name, key) = match wait {
            Wait::Rest => (None, ""),
            Wait::Soak => (next, "soak"),
            Wait::Recoat => (last.map(|coat| coat.finish.as_str()), "recoat"),
            Wait::Cure => (last.map(|coat| coat.finish.as_str()), "cure"),
        };
        let finish = name.and_then(|name| setup?.finish(name));
        let rests = |finish: &&Finish| wait == Wait::Cure && finish.hardens() == Some(false);
        Origin {
            from_class: finish.and_then(|finish| finish.marked(key)).map(str::to_owned),
            only_rests: finish.filter(rests).map(|finish| finish.name.clone()),
        }
    }
}
