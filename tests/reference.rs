//! The safety reference: the schema of its files, what they may never say, what a question finds, and the counts.

mod classes;
mod jurisdictions;
pub(crate) mod questions;
mod schema;
mod tally;
