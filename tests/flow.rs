//! An order from setup to shipment, through the program itself.

mod looking_back;
mod order;
mod script;
