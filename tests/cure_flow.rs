//! Cure, recoat windows and coats by the rooms' readings, through the program.

mod coats;
mod rooms;
mod shops;
mod touch;
