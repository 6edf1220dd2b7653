//! What a person, or another program, is shown.

pub mod faults;
