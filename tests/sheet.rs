//! The day sheet and the rules behind it: what is advised is accepted, what is late comes first.

mod checks;
mod joins;
mod room;
mod screens;
mod soaks;
mod week;
