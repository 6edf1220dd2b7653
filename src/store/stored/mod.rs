//! What the ledger stores, apart from the shop's own nouns: a noun may be renamed or cut otherwise, what is on disk stays.
//!
//! A name or a shape that has been written is never changed: every ledger in `tests/data/ledger` is read and written back byte
//! for byte. A field may be added, with a default for rows that lack it. A kind that has to look otherwise gets a struct in
//! a further file, under the next number, and `read` learns it.

mod form;
mod v1;

use sha2::{Digest as _, Sha256};

use crate::shop::Anyway;
use crate::shop::fact::Fact;
use form::Stored as _;

/// The form that is written.
pub(super) const FORM: i64 = 1;

/// A fact as it is stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its JSON in the ledger.
    pub fact: String,
    /// What the JSON names by its digest alone.
    pub(super) beside: Option<Beside>,
}

/// A text that stands in a table of its own; the ledger holds its digest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Beside {
    pub(super) digest: String,
    pub(super) text: String,
}

impl Written {
    /// What stands in a table of its own.
    pub fn beside(&self) -> Option<&str> {
        self.beside.as_ref().map(|beside| beside.text.as_str())
    }
}

impl Beside {
    pub(super) fn new(text: String) -> Self {
        Self { digest: format!("{:x}", Sha256::digest(&text)), text }
    }
}

/// A fact as it is written now.
pub fn write(fact: &Fact) -> serde_json::Result<Written> {
    let beside = match fact {
        Fact::PlanKept(kept) => {
            Some(Beside::new(serde_json::to_string(&v1::ShopPlan::keep(&kept.plan))?))
        }
        _ => None,
    };
    let digest = beside.as_ref().map(|beside| beside.digest.clone());
    Ok(Written { fact: serde_json::to_string(&v1::Fact::keep(fact, digest))?, beside })
}

/// A fact read back; `beside` finds the text of a digest.
pub fn read(
    form: i64,
    fact: &str,
    beside: impl FnOnce(&str) -> Result<Option<String>, String>,
) -> Result<Fact, String> {
    if form != FORM {
        return Err(format!("it is stored in form {form}, and this tackfree knows form {FORM}"));
    }
    let fact: v1::Fact = serde_json::from_str(fact).map_err(|error| error.to_string())?;
    fact.back(|digest| {
        let text = beside(digest)?.filter(|text| Beside::new(text.clone()).digest == digest);
        let text = text.ok_or_else(|| "its plan was changed or is gone".to_owned())?;
        let plan: v1::ShopPlan = serde_json::from_str(&text).map_err(|error| error.to_string())?;
        Ok(plan.back())
    })
}

pub(super) fn write_anyway(anyway: &Anyway) -> serde_json::Result<String> {
    serde_json::to_string(&v1::Anyway::keep(anyway))
}

pub(super) fn read_anyway(text: &str) -> serde_json::Result<Anyway> {
    serde_json::from_str(text).map(v1::Anyway::back)
}
