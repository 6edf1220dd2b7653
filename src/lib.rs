//! tackfree keeps the finishing of small turned pieces on time.
//!
//! The modules are floors; each may use only those above it in this list (a test reads every `use` and says so):
//! `units` and `time`; `craft` and `reference`; `shop`; `plan` and `store`; `remind`; `report` and `cli`.

pub mod cli;
pub mod craft;
pub mod plan;
pub mod reference;
pub mod remind;
pub mod report;
pub mod shop;
pub mod store;
pub mod time;
pub mod units;
