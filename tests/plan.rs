//! The plan through the program itself, and an independent check of what it says.

mod checker;
mod cold;
mod kept;
mod large;
mod odds;
mod oil;
mod patience;
mod racks;
mod recorded;
mod rooms;
mod scenarios;
mod simulated;
mod touch;
