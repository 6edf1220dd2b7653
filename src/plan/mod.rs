//! The plan: the scheduling engine, which knows nothing of wood, and its adapter from the shop.

mod adopt;
pub mod draft;
pub mod engine;
pub mod labour;
pub mod lots;
pub mod minutes;
pub mod shop_plan;
pub mod sizes;
pub mod waits;
