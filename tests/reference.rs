//! The safety reference: the schema of its files, what they may never say, and what a question finds.

pub(crate) mod asked;
mod classes;
mod jurisdictions;
pub(crate) mod never;
mod other_words;
mod schema;
