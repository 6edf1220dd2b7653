//! Instants, spans, open hours and typed times, against values computed outside the project.
//!
//! The rows in `tests/data/checks/11_*.csv` come from a newer edition of the IANA data than chrono-tz embeds; where the
//! two ever differ for a row, it is named in the test that leaves it out. So far none does.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "the functions that tests share may stop the test"
)]

mod hours;
mod local;
pub(crate) mod shared;
mod spans;
mod typed;
mod words;
