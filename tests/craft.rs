//! The trade's arithmetic against values from outside the project, and what must hold of it for any input.
#![allow(clippy::unwrap_used, reason = "what a test builds is possible, or the test fails here")]

mod air;
mod climate;
mod cover;
mod cure;
mod cure_log;
mod cure_properties;
mod cure_unread;
mod grit;
mod pace;
pub(crate) mod sheet;
mod soak;
mod spares;
mod touch;

/// Every subject shows its own values; here they are counted, so that none is lost unnoticed.
#[test]
fn at_least_150_values_from_outside_are_compared() {
    let counts = [
        ("air", air::compare()),
        ("climate", climate::compare()),
        ("cover", cover::compare()),
        ("cure", cure::compare()),
        ("grit", grit::compare()),
        ("pace", pace::compare()),
        ("soak", soak::compare()),
        ("spares", spares::compare()),
    ];
    for (subject, count) in counts {
        assert!(count >= 5, "{subject}: only {count} values from outside");
    }
    let total: usize = counts.iter().map(|(_, count)| count).sum();
    assert!(total >= 150, "only {total} values from outside: {counts:?}");
}
