//! All tests, one binary, one module a subject.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that cannot go on should say so where it is"
)]

mod caution;
mod craft;
mod engine;
mod floors;
mod flow;
mod harness;
mod help;
mod kept;
mod plan;
mod properties;
mod reference;
mod remind;
mod setup_file;
mod time;
