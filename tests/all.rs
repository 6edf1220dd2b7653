//! All tests, one binary, one module a subject.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that cannot go on should say so where it is"
)]

mod craft;
mod floors;
mod flow;
mod harness;
mod kept;
mod properties;
mod reference;
mod setup_file;
mod time;
