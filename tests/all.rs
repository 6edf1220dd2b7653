//! All tests, one binary, one module a subject.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::needless_raw_string_hashes,
    reason = "a test that cannot go on should say so where it is; snapshots are written with hashes"
)]

mod air;
mod bare;
mod bounds;
mod caution;
mod climate;
mod clock_back;
mod clock_change;
mod craft;
mod cure_flow;
mod engine;
mod floors;
mod flow;
mod fuzz;
mod grit;
mod harness;
mod help;
mod kept;
mod kit;
mod ledger;
mod pace;
mod papers;
mod picture;
mod plan;
mod properties;
mod quote;
mod readme;
mod reference;
mod remind;
mod schema;
mod screens;
mod setup_file;
mod sheet;
mod shell;
mod spares;
mod stock;
mod time;
mod two_at_once;
mod typed_text;
mod units;
mod words;
mod written;
mod year;
