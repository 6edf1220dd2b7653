//! The plan: the scheduling engine, which knows nothing of wood, and its adapter from the shop.

pub mod draft;
pub mod engine;
pub mod lots;
pub mod minutes;
pub mod shop_plan;
