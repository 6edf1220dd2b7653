//! Which lots a command is about: named one by one, or all that stand on a rack.

use std::collections::BTreeSet;

use clap::Args;

use crate::cli::Error;
use crate::shop::{LotName, Refusal, Shop, Subject, SubjectKind};
use crate::store::Scope;

/// Lots by name, or all on a rack.
#[derive(Debug, Clone, Args)]
pub(crate) struct Lots {
    /// Lots, such as salt-3
    #[arg(value_name = "LOT", required_unless_present = "rack")]
    pub(crate) lots: Vec<LotName>,
}

impl Lots {
    pub(crate) fn scope(&self) -> Scope {
        with_lots(&self.lots)
    }

    /// The lots named; where none is, all that stand on the rack.
    pub(crate) fn choose(&self, rack: Option<&str>, shop: &Shop) -> Result<Vec<LotName>, Error> {
        let mut chosen = self.lots.clone();
        if let (true, Some(rack)) = (chosen.is_empty(), rack) {
            shop.known_rack(rack)?;
            chosen = shop.lots_on(rack).map(|lot| lot.name.clone()).collect();
            if chosen.is_empty() {
                return Err(Refusal::RackEmpty { rack: rack.to_owned() }.into());
            }
        }
        let once: BTreeSet<&LotName> = chosen.iter().collect();
        if once.len() < chosen.len() {
            return Err(Error::usage("a lot is named twice", "name each lot once"));
        }
        Ok(chosen)
    }

    /// The rack to put lots on: the one given, where lots are named beside it.
    pub(crate) fn put_on<'a>(&self, rack: Option<&'a str>) -> Option<&'a str> {
        rack.filter(|_| !self.lots.is_empty())
    }
}

/// What is open, and the batches of these lots: where one is closed, the answer is that it is over, not that there is no
/// such lot.
pub(crate) fn with_lots(lots: &[LotName]) -> Scope {
    Scope::With(lots.iter().map(|lot| Subject::new(SubjectKind::Batch, &lot.batch)).collect())
}
