//! How much is looked at for a plan.

use crate::plan::engine::{Problem, Settings};

/// How many plans are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// As many as keep a person waiting about as long whatever the shop, or an even share of them: a plan of many lots takes
    /// longer to look at, by about the square of their number.
    Usual {
        /// How many share them.
        among: u64,
    },
    /// So many.
    Plans(u64),
}

impl Effort {
    pub(crate) const USUAL: Self = Self::Usual { among: 1 };

    /// An even share of it.
    pub(super) fn shared(self, among: u64) -> Self {
        match self {
            Self::Usual { among: before } => Self::Usual { among: before * among.max(1) },
            Self::Plans(plans) => Self::Plans((plans / among.max(1)).max(1)),
        }
    }

    pub(super) fn for_problem(self, problem: &Problem) -> u64 {
        match self {
            Self::Usual { among } => (Settings::effort_for(problem) / among.max(1)).max(1),
            Self::Plans(plans) => plans,
        }
    }
}
