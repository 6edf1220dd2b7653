//! The plan: the scheduling engine, and its adapter from the shop.

pub mod engine;
