//! The nouns of the shop and its ledger.

pub mod setup;
