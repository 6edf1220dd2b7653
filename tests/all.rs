//! All tests, one binary, one module a subject.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that cannot go on should say so where it is"
)]

mod air;
mod craft;
mod floors;
mod flow;
mod grit;
mod harness;
mod kept;
mod kit;
mod pace;
mod reference;
mod setup_file;
mod spares;
mod time;
