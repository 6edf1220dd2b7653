//! The plan: the scheduling engine, which knows nothing of wood, and its adapter from the shop.

mod adopt;
pub(crate) mod carry_off;
pub(crate) mod day;
pub(crate) mod draft;
pub(crate) mod drift;
pub mod effort;
pub mod engine;
pub(crate) mod headway;
pub(crate) mod labour;
pub(crate) mod lots;
pub(crate) mod minutes;
pub(crate) mod oil;
pub(crate) mod promise;
pub(crate) mod relief;
pub mod shop_plan;
pub(crate) mod sizes;
