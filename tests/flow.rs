//! An order from setup to shipment, through the program itself.

mod order;
mod script;
