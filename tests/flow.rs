//! An order from setup to shipment, through the program itself.

mod changes;
mod flags;
mod looking_back;
mod order;
mod rack;
mod screens;
mod script;
mod typed;
