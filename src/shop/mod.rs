//! The nouns of the shop and its ledger.

pub mod nearest;
pub mod setup;
