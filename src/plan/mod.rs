//! The plan: the scheduling engine, which knows nothing of wood, and its adapter from the shop.

mod adopt;
mod carry;
pub mod carry_off;
pub mod day;
pub mod draft;
pub mod drift;
pub mod effort;
pub mod engine;
pub mod headway;
pub mod labour;
pub mod lots;
pub mod minutes;
pub mod oil;
pub mod promise;
pub mod relief;
pub mod shop_plan;
pub mod sizes;
pub mod waits;
