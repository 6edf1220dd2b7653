//! How much is looked at for a plan.

use crate::plan::engine::{Problem, Settings};
use crate::shop::Shop;

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

/// Lots up to which a plan gets the engine's usual effort.
pub(crate) const FEW_LOTS: u64 = 14;

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

    /// For a shop whose lots still to start have no sizes yet.
    pub(super) fn for_shop(self, shop: &Shop) -> u64 {
        let lots = lots_to_come(shop).max(FEW_LOTS);
        match self {
            Self::Usual { among } => {
                let few = Settings::EFFORT.saturating_mul(FEW_LOTS * FEW_LOTS);
                (few / lots.saturating_mul(lots) / among.max(1)).max(1)
            }
            Self::Plans(plans) => plans,
        }
    }
}

/// How many lots there are and will be, if the drying racks are filled one after the other.
fn lots_to_come(shop: &Shop) -> u64 {
    let racks = || shop.setup.iter().flat_map(|setup| &setup.racks);
    let slots: Vec<u64> =
        racks().filter(|rack| rack.purpose.dries()).map(|rack| u64::from(rack.slots)).collect();
    let racks = u64::try_from(slots.len()).unwrap_or(u64::MAX).max(1);
    let slots = slots.iter().sum::<u64>().max(1);
    let open = shop.batches.values().filter(|batch| batch.closed.is_none());
    let new = open.map(|batch| {
        let missing = u64::from(batch.pieces.saturating_sub(shop.in_hand(&batch.name)));
        missing.saturating_mul(racks).div_ceil(slots)
    });
    new.sum::<u64>() + u64::try_from(shop.open_lots().count()).unwrap_or(u64::MAX)
}
